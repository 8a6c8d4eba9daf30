//! Starting other programs.
//!
//! - Enters: a prepared `Command`.
//! - Leaves: its success, or a sentence with the command line that failed.
//! - Always true: output goes straight to the terminal unless it is asked for.
//! - Never: goes through a shell.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

/// Runs the command to its end. Fails if it cannot be started or ends with another code than 0.
pub fn run(command: &mut Command) -> Result<()> {
    let shown = shown(command);
    let status = command
        .status()
        .with_context(|| format!("Could not start: {shown}"))?;
    if !status.success() {
        bail!("This failed ({status}): {shown}");
    }
    Ok(())
}

/// Runs the command and returns what it printed, without the line end. `None` if it cannot run or fails.
pub fn printed(command: &mut Command) -> Option<String> {
    let output = command.stderr(Stdio::null()).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| text.trim().to_owned())
}

/// The first program of these names on the search path.
pub fn on_path(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    names.iter().find_map(|name| {
        folders
            .iter()
            .map(|folder| {
                folder
                    .join(name)
                    .with_extension(std::env::consts::EXE_EXTENSION)
            })
            .find(|file| file.is_file())
    })
}

/// The command line as a person would type it.
fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let name = program
        .file_name()
        .unwrap_or(program.as_os_str())
        .to_string_lossy()
        .into_owned();
    let arguments = command.get_args().map(|argument| {
        let text = argument.to_string_lossy();
        if text.contains(' ') {
            format!("'{text}'")
        } else {
            text.into_owned()
        }
    });
    std::iter::once(name)
        .chain(arguments)
        .collect::<Vec<_>>()
        .join(" ")
}
