//! `cargo xtask test`: everything the continuous check runs.
//!
//! - Enters: the working tree.
//! - Leaves: a line per step, a summary, an exit code.
//! - Always true: what needs no browser runs with `--quick`; nothing else is ever left out silently.
//! - Never: rewrites an expectation (that is `bless`).

use std::path::PathBuf;

use anyhow::{Context, Result, bail};

use crate::browser::{self, Browser};
use crate::run::run;
use crate::rust::{WASM, cargo, ensure_target};
use crate::steps::Steps;
use crate::wasm::{self, Effort};
use crate::{build, declarations, node, tree};

/// Run every test there is: format, lints, native tests, documentation, the boundary in Node and Chromium,
/// types, the site, and the browser journeys.
#[derive(clap::Args)]
pub struct Arguments {
    /// Leave out what needs a browser, and build the core with less effort.
    #[arg(long)]
    quick: bool,
}

/// Crates that run on this machine. The boundary runs in Node and a browser instead, and this program apart:
/// named together with the others, its many dependencies would be compiled again with other features.
const NATIVE: [&str; 5] = [
    "fairpen-stats",
    "fairpen-engine",
    "fairpen",
    "fairpen-samples",
    "fairpen-tests",
];

/// Runs the command.
pub fn test(arguments: &Arguments) -> Result<()> {
    let mut steps = Steps::default();
    let effort = if arguments.quick {
        Effort::Quick
    } else {
        Effort::Release
    };

    steps.step("format", || run(cargo()?.args(["fmt", "--all", "--check"])));
    steps.step("lints", lints);
    let node = steps.step("Node and packages", node::ensure);
    let core = steps.step("core", || wasm::build(effort));
    if core {
        steps.step("boundary types as committed", declarations::check);
    } else {
        steps.cannot("boundary types as committed", "the core was not built");
    }
    // Before the native tests: the command carries the results file's template out of web/dist.
    let mut site = false;
    if node && core {
        site = steps.step("site", || build::bundle(effort));
        steps.step("page types", page_types);
        steps.step("page unit tests", || {
            run(node::node()?.arg("unit-tests.mjs"))
        });
        steps.step("boundary in Node", || {
            run(wasm::test_command()?.env("WASM_BINDGEN_TEST_ONLY_NODE", "1"))
        });
        steps.step("measuring scripts can be read", measuring_scripts);
    } else {
        for name in [
            "site",
            "page types",
            "page unit tests",
            "boundary in Node",
            "measuring scripts can be read",
        ] {
            steps.cannot(name, "Node or the core is missing");
        }
    }
    steps.step("native tests", native);
    steps.step("code documentation", documentation);
    if !arguments.quick {
        in_browser(&mut steps, site);
    }
    steps.finish()
}

/// The three groups of crates that share compiled dependencies, as cargo arguments.
fn groups() -> [Vec<&'static str>; 3] {
    let packages = |names: &[&'static str]| -> Vec<&'static str> {
        names.iter().flat_map(|name| ["--package", name]).collect()
    };
    let mut boundary = packages(&wasm::packages());
    boundary.extend(["--target", WASM]);
    [packages(&NATIVE), packages(&["xtask"]), boundary]
}

/// Runs a piece of work for every group, also after one has failed; fails with the first failure.
fn for_each(
    groups: &[Vec<&'static str>],
    work: impl Fn(&[&'static str]) -> Result<()>,
) -> Result<()> {
    let outcomes: Vec<Result<()>> = groups.iter().map(|group| work(group)).collect();
    outcomes.into_iter().collect()
}

/// What the compiler and clippy can say; every warning is an error.
fn lints() -> Result<()> {
    ensure_target()?;
    for_each(&groups(), |group| {
        run(cargo()?.arg("clippy").args(group).args([
            "--no-deps",
            "--all-targets",
            "--",
            "-D",
            "warnings",
        ]))
    })
}

fn native() -> Result<()> {
    for_each(&groups()[..2], |group| {
        run(cargo()?.args(["test", "--no-fail-fast"]).args(group))
    })
}

fn documentation() -> Result<()> {
    ensure_target()?;
    for_each(&groups(), |group| {
        run(cargo()?
            .env("RUSTDOCFLAGS", "-D warnings")
            .args(["doc", "--no-deps"])
            .args(group))
    })
}

/// `bench` is not run here; its programs are compiled with the lints, and its scripts parsed.
fn measuring_scripts() -> Result<()> {
    let folder = tree::root()?.join("tests/browser/bench");
    ["drive.mjs", "worker.mjs", "arquero-worker.js"]
        .iter()
        .try_for_each(|script| run(node::node()?.arg("--check").arg(folder.join(script))))
}

fn page_types() -> Result<()> {
    for project in ["tsconfig.json", "tsconfig.worker.json"] {
        run(node::node()?.args([
            "node_modules/typescript/bin/tsc",
            "--noEmit",
            "--project",
            project,
        ]))?;
    }
    Ok(())
}

fn in_browser(steps: &mut Steps, site: bool) {
    let mut found = None;
    steps.step("browser", || {
        found = Some(browser::ensure()?);
        Ok(())
    });
    let journeys = match journeys() {
        Ok(journeys) => journeys,
        Err(cause) => return steps.cannot("journeys", &format!("{cause:#}")),
    };
    let Some(browser) = found else {
        steps.cannot("boundary in Chromium", "no browser");
        steps.cannot("journeys", "no browser");
        return;
    };
    steps.step("boundary in Chromium", || boundary_in(&browser));
    if !site {
        return steps.cannot("journeys", "the site was not built");
    }
    for journey in journeys {
        let name = journey
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        steps.step(&format!("journey {name}"), || {
            run(node::node()?
                .arg(&journey)
                .env("CHROME_BIN", &browser.program))
        });
    }
}

fn boundary_in(browser: &Browser) -> Result<()> {
    run(wasm::test_command()?
        .env("WASM_BINDGEN_USE_BROWSER", "1")
        .env("CHROMEDRIVER", &browser.driver)
        .env("WASM_BINDGEN_TEST_WEBDRIVER_JSON", &browser.settings))
}

/// The browser journeys, in the order of their names. There is always at least one.
fn journeys() -> Result<Vec<PathBuf>> {
    let folder = tree::root()?.join("tests/browser/journeys");
    let mut journeys: Vec<PathBuf> = std::fs::read_dir(&folder)
        .context("tests/browser/journeys cannot be read.")?
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "mjs"))
        .collect();
    journeys.sort();
    if journeys.is_empty() {
        bail!("tests/browser/journeys holds no journey.");
    }
    Ok(journeys)
}
