//! Where things are in the working tree.
//!
//! - Enters: the folder the command was started in.
//! - Leaves: absolute paths.
//! - Always true: they are found at run time, so a moved or copied tree works.
//! - Never: creates or changes anything.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

/// The folder that holds the workspace's `Cargo.toml`.
pub fn root() -> Result<PathBuf> {
    let start = std::env::current_dir().context("The current folder cannot be read.")?;
    start
        .ancestors()
        .find(|folder| folder.join("crate/xtask/Cargo.toml").is_file())
        .map(Path::to_path_buf)
        .context("Start this from inside Fairpen's own folder: no crate/xtask/Cargo.toml was found above here.")
}

/// The folder of the page's sources.
pub fn web() -> Result<PathBuf> {
    Ok(root()?.join("web"))
}

/// Cargo's output folder: `target`, or what `CARGO_TARGET_DIR` says.
pub fn target() -> Result<PathBuf> {
    let root = root()?;
    // Cargo takes an empty name for no name.
    Ok(
        match std::env::var_os("CARGO_TARGET_DIR").filter(|folder| !folder.is_empty()) {
            Some(folder) => root.join(folder),
            None => root.join("target"),
        },
    )
}
