//! `cargo xtask samples`: write the invented sample books.
//!
//! - Enters: the generator, `crate/samples`.
//! - Leaves: `sample-books/`.
//! - Always true: the same generator writes the same bytes.
//! - Never: uses anybody's real records.

use anyhow::Result;

use crate::run::run;
use crate::rust::cargo;
use crate::tree;

/// Write the sample books again from their generator, into sample-books/.
#[derive(clap::Args)]
pub struct Arguments {}

/// Runs the command.
pub fn samples(_: &Arguments) -> Result<()> {
    run(cargo()?
        .args(["run", "--package", "fairpen-samples", "--"])
        .arg(tree::root()?.join("sample-books")))
}
