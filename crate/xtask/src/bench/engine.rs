//! An engine in a process of its own that answers line by line.
//!
//! - Enters: a prepared command; lines.
//! - Leaves: its answers, as JSON.
//! - Always true: one question, one answer; the process ends when it is let go of.
//! - Never: times anything itself; the engines hold the clock, so that pipes do not count.

use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use anyhow::{Context, Result, bail};
use serde_json::Value;

/// A running engine.
pub struct Engine {
    name: String,
    child: Child,
    /// `None` once it was told that no more is coming.
    input: Option<ChildStdin>,
    output: BufReader<ChildStdout>,
}

impl Engine {
    /// Starts it.
    pub fn start(name: &str, command: &mut Command) -> Result<Engine> {
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .with_context(|| format!("Could not start {name}."))?;
        let input = child.stdin.take();
        let output = child.stdout.take().context("An engine without output.")?;
        Ok(Engine {
            name: name.to_owned(),
            child,
            input,
            output: BufReader::new(output),
        })
    }

    /// Asks in JSON.
    pub fn ask(&mut self, question: &Value) -> Result<Value> {
        self.ask_line(&question.to_string())
    }

    /// Asks in a word.
    pub fn ask_line(&mut self, line: &str) -> Result<Value> {
        let name = &self.name;
        let gone = || format!("{name} stopped at: {line}");
        let input = self.input.as_mut().with_context(gone)?;
        writeln!(input, "{line}").with_context(gone)?;
        input.flush().with_context(gone)?;
        let mut answer = String::new();
        self.output.read_line(&mut answer).with_context(gone)?;
        if answer.is_empty() {
            bail!(gone());
        }
        let answer: Value = serde_json::from_str(&answer)
            .with_context(|| format!("{name} answered what is no JSON: {answer}"))?;
        if let Some(failure) = answer["failure"].as_str() {
            bail!("{name} failed at {line}: {failure}");
        }
        Ok(answer)
    }
}

impl Drop for Engine {
    fn drop(&mut self) {
        // The end of its input is the sign to end.
        self.input = None;
        let _ = self.child.wait();
    }
}
