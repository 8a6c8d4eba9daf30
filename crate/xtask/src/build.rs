//! `cargo xtask build`: the release site and the release command.
//!
//! - Enters: the working tree.
//! - Leaves: `web/dist` and `target/release/fairpen`.
//! - Always true: the command is built after the site, so that it can carry the results file's template.
//! - Never: publishes anything.

use anyhow::{Context, Result};

use crate::run::run;
use crate::rust::{cargo, toml_list, without_local_paths};
use crate::wasm::{self, Effort};
use crate::{node, tree};

/// Build what ships: the site in web/dist, the one-file program web/dist/fairpen.html, and the fairpen
/// command in target/release.
#[derive(clap::Args)]
pub struct Arguments {
    /// Leave the command line out; build the site alone.
    #[arg(long)]
    site_only: bool,
}

/// Runs the command.
pub fn build(arguments: &Arguments) -> Result<()> {
    site(Effort::Release)?;
    if !arguments.site_only {
        command_line()?;
    }
    Ok(())
}

/// Builds the core and `web/dist`.
pub fn site(effort: Effort) -> Result<()> {
    node::ensure()?;
    wasm::build(effort)?;
    bundle(effort)
}

/// Builds `web/dist` from a core that is already there.
pub fn bundle(effort: Effort) -> Result<()> {
    let mut command = node::node()?;
    command.arg("build.mjs");
    if effort == Effort::Release {
        command.arg("--release");
    }
    run(&mut command).context("The page could not be bundled.")
}

/// Builds the release `fairpen` command. Its build script takes `web/dist/results-template.html` in.
fn command_line() -> Result<()> {
    let flags = toml_list(&without_local_paths()?);
    run(cargo()?
        .args(["build", "--release", "--package", "fairpen"])
        .args(["--config", &format!("build.rustflags={flags}")]))?;
    println!("\nThe site is in {}", tree::web()?.join("dist").display());
    println!(
        "The command is {}",
        tree::target()?
            .join("release/fairpen")
            .with_extension(std::env::consts::EXE_EXTENSION)
            .display()
    );
    Ok(())
}
