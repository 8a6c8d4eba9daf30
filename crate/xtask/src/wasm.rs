//! The WebAssembly modules: compiled, bound to JavaScript, made small, tested.
//!
//! - Enters: `crate/wasm`, `crate/wasm-results`, `crate/wasm-spreadsheet`.
//! - Leaves: `web/src/engine/generated/core.js`, `core.d.ts`, `core_bg.wasm`, and the same named `results`
//!   and `spreadsheet`.
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

/// The modules: package, compiled file, name of the bindings, and how wasm-opt makes it small. The core is
/// made fast; the results file's module is made short, since every file that is handed over carries it, and so
/// is the spreadsheets' module, which somebody waits for in a barn.
const MODULES: [(&str, &str, &str, &str); 3] = [
    ("fairpen-wasm", "fairpen_wasm.wasm", "core", "-O2"),
    (
        "fairpen-wasm-results",
        "fairpen_wasm_results.wasm",
        "results",
        "-Oz",
    ),
    (
        "fairpen-wasm-spreadsheet",
        "fairpen_wasm_spreadsheet.wasm",
        "spreadsheet",
        "-Oz",
    ),
];

/// The packages of the modules.
pub fn packages() -> [&'static str; 3] {
    MODULES.map(|(package, ..)| package)
}

/// Compiles the modules and writes their bindings and types.
pub fn build(effort: Effort) -> Result<()> {
    rust::ensure_target()?;
    let profile = match effort {
        Effort::Quick => "quick",
        Effort::Release => "release",
    };
    let flags = toml_list(&without_local_paths()?);
    let mut command = cargo()?;
    command.arg("build");
    for (package, ..) in MODULES {
        command.args(["--package", package]);
    }
    run(command
        .args(["--lib", "--target", WASM, "--profile", profile])
        .args(["--config", &format!("target.{WASM}.rustflags={flags}")]))?;
    for (_, file, name, level) in MODULES {
        let compiled = tree::target()?.join(WASM).join(profile).join(file);
        bind(compiled, name)?;
        if effort == Effort::Release {
            optimise(name, level)?;
        }
    }
    Ok(())
}

/// Writes a module's bindings and types.
fn bind(compiled: PathBuf, name: &str) -> Result<()> {
    let bindgen: [OsString; 10] = [
        "wasm-bindgen".into(),
        "--target".into(),
        "web".into(),
        "--out-name".into(),
        name.into(),
        "--remove-producers-section".into(),
        "--ts-typed-array-buffers".into(),
        "--out-dir".into(),
        generated()?.into(),
        compiled.into(),
    ];
    wasm_bindgen_cli::wasm_bindgen::run_cli_with_args(bindgen)
        .with_context(|| format!("The bindings of {name} could not be generated."))
}

/// Runs wasm-opt over a generated module, in place.
fn optimise(name: &str, level: &str) -> Result<()> {
    let module = generated()?.join(format!("{name}_bg.wasm"));
    run(node::node()?
        .args(["node_modules/binaryen/bin/wasm-opt", level])
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
        .arg(&module)
        .arg("-o")
        .arg(&module))
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
    command.arg("test");
    for package in packages() {
        command.args(["--package", package]);
    }
    command
        .args(["--target", WASM])
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
