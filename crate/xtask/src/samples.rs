//! `cargo xtask samples`: write the invented sample books.
//!
//! - Enters: the generator, `crate/samples`.
//! - Leaves: `sample-books/` and the import cases of `tests/suite/import`.
//! - Always true: the same generator writes the same bytes.
//! - Never: uses anybody's real records.

use anyhow::Result;

use crate::run::run;
use crate::rust::cargo;
use crate::tree;

/// Write the sample books again from their generator, into sample-books/, and the import
/// cases of the test suite.
#[derive(clap::Args)]
pub struct Arguments {}

/// Runs the command.
pub fn samples(_: &Arguments) -> Result<()> {
    run(cargo()?
        .args(["run", "--package", "fairpen-samples", "--"])
        .arg(tree::root()?.join("sample-books"))
        .arg(tree::root()?.join("tests/suite/import")))
}
