//! The `fairpen` command: files and flags around the engine.
//!
//! Enters: arguments, files, today's date. Leaves: files, lines of text and an exit code.
//! Always true: exit code 0 is done, 1 is "check found errors", 2 is "could not do it", with the reason in
//! plain words on standard error; a number comes from the engine and from nowhere else.
//! Never: asks anything, uses a network, changes an input.

mod args;
mod beside;
mod check;
mod choosing;
mod comparison;
mod comparison_model;
mod document;
mod explain;
mod failure;
mod input;
mod output;
mod question;
mod reading;
mod report;
mod results_file;
mod settings;
mod spreadsheet;
mod summary;
mod today;
mod trial;

use std::process::ExitCode;

use clap::Parser;

use args::{Arguments, Command};

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(refusal) => {
            // clap prints help and version to standard output and refusals to standard error.
            let code = if refusal.use_stderr() {
                failure::COULD_NOT
            } else {
                0
            };
            return match refusal.print() {
                Ok(()) => ExitCode::from(code),
                Err(_) => ExitCode::from(failure::COULD_NOT),
            };
        }
    };
    let done = match &arguments.command {
        Command::Report(report) => report::run(report),
        Command::Check(check) => check::run(check),
        Command::Explain(explain) => explain::run(explain),
        Command::Trial(trial) => trial::run(trial),
    };
    match done {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            failure.print();
            ExitCode::from(failure::COULD_NOT)
        }
    }
}
