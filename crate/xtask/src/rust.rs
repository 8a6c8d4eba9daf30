//! The Rust side of set-up, and cargo itself.
//!
//! - Enters: the toolchain that runs this.
//! - Leaves: a ready WebAssembly target; `Command`s for the same cargo.
//! - Always true: a missing target is added through rustup if rustup is there.
//! - Never: changes the default toolchain.

use std::process::Command;

use anyhow::{Result, bail};

use crate::run::{on_path, printed, run};
use crate::tree;

/// The target of the page's core.
pub const WASM: &str = "wasm32-unknown-unknown";

/// The cargo that started this command, in the workspace's folder.
pub fn cargo() -> Result<Command> {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(tree::root()?);
    Ok(command)
}

/// Makes sure code can be compiled for WebAssembly.
pub fn ensure_target() -> Result<()> {
    let library = printed(Command::new("rustc").current_dir(tree::root()?).args([
        "--print",
        "target-libdir",
        "--target",
        WASM,
    ]));
    if library.is_some_and(|folder| std::path::Path::new(&folder).is_dir()) {
        return Ok(());
    }
    if on_path(&["rustup"]).is_none() {
        bail!(
            "Rust's {WASM} target is missing and rustup, which installs it, was not found.\n\
             Install rustup from https://rustup.rs and try again."
        );
    }
    println!("Adding Rust's {WASM} target.");
    run(Command::new("rustup")
        .current_dir(tree::root()?)
        .args(["target", "add", WASM]))
}

/// Compiler flags that keep the building person's folders out of what ships.
///
/// Panic messages name source files; without this they would name the home folder too.
pub fn without_local_paths() -> Result<Vec<String>> {
    let mut flags = vec![format!(
        "--remap-path-prefix={}=fairpen",
        tree::root()?.display()
    )];
    let home = std::env::var_os("CARGO_HOME")
        .map(std::path::PathBuf::from)
        .or_else(|| std::env::home_dir().map(|home| home.join(".cargo")));
    if let Some(home) = home {
        flags.push(format!("--remap-path-prefix={}=cargo", home.display()));
    }
    Ok(flags)
}

/// A list of strings as TOML, for cargo's `--config`.
pub fn toml_list(items: &[String]) -> String {
    let quoted: Vec<String> = items
        .iter()
        .map(|item| format!("\"{}\"", item.replace('\\', "\\\\").replace('"', "\\\"")))
        .collect();
    format!("[{}]", quoted.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_with_backslashes_and_blanks_survives_toml() {
        let list = toml_list(&[r"C:\two words\xtask.exe".to_owned(), "run".to_owned()]);
        assert_eq!(list, r#"["C:\\two words\\xtask.exe", "run"]"#);
    }
}
