//! `cargo xtask bless`: rewrite what the tests compare with.
//!
//! - Enters: the working tree.
//! - Leaves: rewritten expectations in `tests/suite`, the snapshot of the boundary's types, and the kept files
//!   of a new version of the book.
//! - Always true: the change is left for a person to review; nothing is committed.
//! - Never: touches reference numbers from independent software or published examples.

use anyhow::Result;

use crate::run::run;
use crate::rust::cargo;
use crate::wasm::{self, Effort};
use crate::{declarations, node};

/// The environment variable by which suite tests know to rewrite instead of compare.
const BLESS: &str = "FAIRPEN_BLESS";

/// Rewrite the expected results of the text cases and the snapshot of the boundary's types, for review.
#[derive(clap::Args)]
pub struct Arguments {}

/// Runs the command.
pub fn bless(_: &Arguments) -> Result<()> {
    run(cargo()?.env(BLESS, "1").args([
        "test",
        "--package",
        "fairpen-tests",
        "--package",
        "fairpen",
        "--package",
        "fairpen-engine",
    ]))?;
    node::ensure()?;
    wasm::build(Effort::Quick)?;
    declarations::bless()?;
    println!(
        "\nRewritten. Look at `git diff` before committing: each change is a change of behaviour."
    );
    Ok(())
}
