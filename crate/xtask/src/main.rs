//! The project's own commands: `cargo xtask serve`, `test`, `build`, `bless`, `bench`, `samples`,
//! `pictures`.
//!
//! - Enters: the command line, the working tree.
//! - Leaves: files under `target/`, `web/dist`, `web/src/engine/generated`; `bless`, `samples` and
//!   `pictures` also rewrite committed files. Exit code 0 only if every step passed.
//! - Always true: each command does its own set-up and names in plain words what it could not install.
//! - Never: holds anything of the herd or of the page; nothing here ships.

mod bench;
mod bless;
mod browser;
mod build;
mod declarations;
mod node;
mod pictures;
mod run;
mod rust;
mod samples;
mod serve;
mod steps;
mod test;
mod tree;
mod wasm;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Fairpen's own commands. Each does its own set-up; run one with --help for what it does.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Serve(serve::Arguments),
    Test(test::Arguments),
    Build(build::Arguments),
    Bless(bless::Arguments),
    Bench(bench::Arguments),
    Samples(samples::Arguments),
    Pictures(pictures::Arguments),
    /// Cargo calls this to run the boundary's tests in Node or a browser.
    #[command(name = wasm::TEST_RUNNER, hide = true, disable_help_flag = true)]
    RunWasmTest {
        #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
        arguments: Vec<std::ffi::OsString>,
    },
}

fn main() -> ExitCode {
    let outcome = match Arguments::parse().command {
        Command::Serve(arguments) => serve::serve(&arguments),
        Command::Test(arguments) => test::test(&arguments),
        Command::Build(arguments) => build::build(&arguments),
        Command::Bless(arguments) => bless::bless(&arguments),
        Command::Bench(arguments) => bench::bench(&arguments),
        Command::Samples(arguments) => samples::samples(&arguments),
        Command::Pictures(arguments) => pictures::pictures(&arguments),
        Command::RunWasmTest { arguments } => wasm::run_test(arguments),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(cause) => {
            eprintln!("\n{cause:#}");
            ExitCode::FAILURE
        }
    }
}
