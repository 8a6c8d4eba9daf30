//! `cargo xtask pictures`: the README's pictures, from the last full test run.
//!
//! - Enters: `target/screenshots`, written by the browser journeys of `cargo xtask test`.
//! - Leaves: the named ones in `docs/pictures`, for review.
//! - Always true: a picture of the README is one that a journey took of the running page.
//! - Never: takes or changes a picture.

use std::fs;

use anyhow::{Context, Result};

use crate::tree;

/// The pictures that the README shows.
const SHOWN: [&str; 17] = [
    "start-1280.png",
    "bring-in-1280.png",
    "adding-1280.png",
    "animals-which-1280.png",
    "calves-1280.png",
    "versions-1280.png",
    "columns-frozen-1280.png",
    "corrected-1280.png",
    "formula-1280.png",
    "fair-1280.png",
    "working-1280.png",
    "groups-1280.png",
    "compare-1280.png",
    "hand-over-1280.png",
    "results-file-1280.png",
    "compare-390.png",
    "alley-weight-390.png",
];

/// Copy the README's pictures from the last full test run into docs/pictures, for review.
#[derive(clap::Args)]
pub struct Arguments {}

/// Runs the command.
pub fn pictures(_: &Arguments) -> Result<()> {
    let from = tree::target()?.join("screenshots");
    let to = tree::root()?.join("docs/pictures");
    fs::create_dir_all(&to)?;
    for name in SHOWN {
        fs::copy(from.join(name), to.join(name)).with_context(|| {
            format!("{name} was not found. Run `cargo xtask test` first: its browser journeys take the pictures.")
        })?;
    }
    println!(
        "{} pictures copied to docs/pictures. Look at them before committing.",
        SHOWN.len()
    );
    Ok(())
}
