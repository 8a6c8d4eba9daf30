//! The core: compiled, bound to JavaScript, made small, tested.
//!
//! - Enters: `crate/wasm`.
//! - Leaves: `web/src/engine/generated/core.js`, `core.d.ts`, `core_bg.wasm`.
//! - Always true: the bindings come from the library of the same version as the crate's `wasm-bindgen`.
//! - Never: needs an installed `wasm-bindgen` or `wasm-opt`.

use std::ffi::OsString;
use std::path::PathBuf;

use anyhow::{Context, Result};

use crate::run::run;
use crate::rust::{WASM, cargo, toml_list, without_local_paths};
use crate::{node, rust, tree};

/// The hidden command by which this program is its own test runner.
pub const TEST_RUNNER: &str = "run-wasm-test";

/// How much time to spend on the core.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// Compiles in seconds after a change; for `serve` and `test --quick`.
    Quick,
    /// What ships: whole-program optimisation, then wasm-opt.
    Release,
}

/// The folder of the generated bindings.
pub fn generated() -> Result<PathBuf> {
    Ok(tree::web()?.join("src/engine/generated"))
}

/// Compiles the core and writes its bindings and types.
pub fn build(effort: Effort) -> Result<()> {
    rust::ensure_target()?;
    let profile = match effort {
        Effort::Quick => "quick",
        Effort::Release => "release",
    };
    let flags = toml_list(&without_local_paths()?);
    run(cargo()?
        .args([
            "build",
            "--package",
            "fairpen-wasm",
            "--lib",
            "--target",
            WASM,
            "--profile",
            profile,
        ])
        .args(["--config", &format!("target.{WASM}.rustflags={flags}")]))?;
    let compiled = tree::target()?
        .join(WASM)
        .join(profile)
        .join("fairpen_wasm.wasm");
    let generated = generated()?;
    let bindgen: [OsString; 10] = [
        "wasm-bindgen".into(),
        "--target".into(),
        "web".into(),
        "--out-name".into(),
        "core".into(),
        "--remove-producers-section".into(),
        "--ts-typed-array-buffers".into(),
        "--out-dir".into(),
        generated.clone().into(),
        compiled.into(),
    ];
    wasm_bindgen_cli::wasm_bindgen::run_cli_with_args(bindgen)
        .context("The core's bindings could not be generated.")?;
    if effort == Effort::Release {
        optimise()?;
    }
    Ok(())
}

/// Runs wasm-opt over the generated core, in place.
fn optimise() -> Result<()> {
    let core = generated()?.join("core_bg.wasm");
    run(node::node()?
        .args(["node_modules/binaryen/bin/wasm-opt", "-O2"])
        // What the compiler and the bindings may have used; wasm-opt refuses a module that uses more.
        .args([
            "--enable-bulk-memory",
            "--enable-nontrapping-float-to-int",
            "--enable-sign-ext",
        ])
        .args([
            "--enable-mutable-globals",
            "--enable-reference-types",
            "--enable-multivalue",
            "--enable-simd",
        ])
        .arg(&core)
        .arg("-o")
        .arg(&core))
}

/// The cargo command that runs the boundary's tests. The caller says where through the environment.
pub fn test_command() -> Result<std::process::Command> {
    rust::ensure_target()?;
    let itself = std::env::current_exe().context("This program's own file cannot be found.")?;
    // Through --config and not an environment variable: cargo splits the latter at blanks.
    let runner = toml_list(&[
        itself.to_string_lossy().into_owned(),
        TEST_RUNNER.to_owned(),
    ]);
    let mut command = cargo()?;
    command
        .args(["test", "--package", "fairpen-wasm", "--target", WASM])
        .args(["--config", &format!("target.{WASM}.runner={runner}")]);
    Ok(command)
}

/// Runs one compiled test file; cargo calls this.
pub fn run_test(arguments: Vec<OsString>) -> Result<()> {
    let name = OsString::from("wasm-bindgen-test-runner");
    wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(
        std::iter::once(name).chain(arguments),
    )
}
