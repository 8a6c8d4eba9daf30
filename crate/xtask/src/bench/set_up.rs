//! What the measurements need: programs, herds, a folder to serve.
//!
//! - Enters: the working tree.
//! - Leaves: files under `target/bench`; engines ready to start.
//! - Always true: a herd is made once from its seed; a table engine that cannot be had is named with the reason.
//! - Never: installs anything outside `target` and `web/node_modules`.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

use super::engine::Engine;
use crate::run::{on_path, printed, run};
use crate::rust::cargo;
use crate::{tree, wasm};

/// Seed of the herds.
const SEED: &str = "205";
const POLARS: &str = "polars==2.1.0";

fn folder() -> Result<PathBuf> {
    let folder = tree::target()?.join("bench");
    std::fs::create_dir_all(&folder).context("target/bench cannot be made.")?;
    Ok(folder)
}

/// The engine as a program of this machine.
pub struct Native {
    program: PathBuf,
}

/// Builds it.
pub fn native(already_built: bool) -> Result<Native> {
    if !already_built {
        run(cargo()?.args([
            "build",
            "--release",
            "--package",
            "fairpen-engine",
            "--example",
            "measure",
        ]))?;
    }
    let program = tree::target()?
        .join("release/examples/measure")
        .with_extension(std::env::consts::EXE_EXTENSION);
    if !program.is_file() {
        bail!("The measuring program was not built. Run this without --no-build once.");
    }
    Ok(Native { program })
}

impl Native {
    /// Starts it on a herd.
    pub fn start(&self, herd: &Path) -> Result<Engine> {
        Engine::start(
            "the engine",
            Command::new(&self.program).arg("run").arg(herd),
        )
    }
}

/// Where a herd's file is.
pub fn herd_path(n_rows: u32) -> Result<PathBuf> {
    Ok(folder()?.join(format!("herd-{n_rows}.csv")))
}

/// The file of a herd, made if it is not there.
pub fn herd(native: &Native, n_rows: u32) -> Result<PathBuf> {
    let path = herd_path(n_rows)?;
    if !path.is_file() {
        let half = path.with_extension("half");
        run(Command::new(&native.program)
            .arg("herd")
            .arg(&half)
            .args([&n_rows.to_string(), SEED]))?;
        std::fs::rename(&half, &path).context("target/bench cannot be written.")?;
    }
    Ok(path)
}

/// Polars in a Python environment of its own.
pub struct Polars {
    python: PathBuf,
    script: PathBuf,
}

/// Installs Polars under `target/bench`, or says why not.
pub fn polars() -> Result<Polars> {
    let environment = folder()?.join("python");
    let python = ["bin/python", "Scripts/python.exe"]
        .map(|inside| environment.join(inside))
        .into_iter()
        .find(|python| python.is_file());
    let ready =
        |python: &Path| printed(Command::new(python).args(["-c", "import polars"])).is_some();
    let script = tree::root()?.join("crate/xtask/src/bench/polars_run.py");
    if let Some(python) = python.filter(|python| ready(python)) {
        return Ok(Polars { python, script });
    }
    let system = on_path(&["python3", "python"])
        .context("Python 3 was not found. Install it to compare with Polars.")?;
    run(Command::new(system).args(["-m", "venv"]).arg(&environment)).context(
        "Python could not make an environment (on Debian: apt-get install python3-venv).",
    )?;
    let python = ["bin/python", "Scripts/python.exe"]
        .map(|inside| environment.join(inside))
        .into_iter()
        .find(|python| python.is_file())
        .context("Python made an environment without a Python in it.")?;
    run(Command::new(&python).args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        POLARS,
    ]))
    .context("pip could not install Polars; it needs the network the first time.")?;
    Ok(Polars { python, script })
}

impl Polars {
    /// Starts it on a herd, on one thread.
    pub fn start(&self, herd: &Path) -> Result<Engine> {
        Engine::start(
            "Polars",
            Command::new(&self.python)
                .arg(&self.script)
                .arg(herd)
                .env("POLARS_MAX_THREADS", "1"),
        )
    }
}

/// The folder that the measuring page is served from.
pub struct Site {
    /// Where it is.
    pub folder: PathBuf,
    /// Why arquero is not in it, if it is not.
    pub arquero_missing: Option<String>,
}

/// Puts the measuring page together with the core that ships.
pub fn node_site() -> Result<Site> {
    let site = folder()?.join("site");
    std::fs::create_dir_all(&site).context("target/bench/site cannot be made.")?;
    let from = tree::root()?.join("tests/browser/bench");
    let copy = |from: PathBuf| -> Result<()> {
        let name = from.file_name().context("a file has a name")?.to_owned();
        std::fs::copy(&from, site.join(name))
            .with_context(|| format!("{} cannot be copied.", from.display()))?;
        Ok(())
    };
    for name in ["page.html", "arquero-worker.js"] {
        copy(from.join(name))?;
    }
    // A static host knows the kind of a .js file, and a browser refuses a module of another kind.
    std::fs::copy(from.join("worker.mjs"), site.join("worker.js"))
        .context("worker.mjs cannot be copied.")?;
    for name in ["core.js", "core_bg.wasm"] {
        copy(wasm::generated()?.join(name))?;
    }
    let arquero = copy(tree::web()?.join("node_modules/arquero/dist/arquero.min.js"));
    Ok(Site {
        folder: site,
        arquero_missing: arquero
            .err()
            .map(|_| "npm did not install it (web/package.json names it)".to_owned()),
    })
}

impl Site {
    /// Makes a file part of the site; gives its name there.
    pub fn take_in(&self, file: &Path) -> Result<String> {
        let name = file.file_name().context("a file has a name")?;
        std::fs::copy(file, self.folder.join(name))
            .with_context(|| format!("{} cannot be copied.", file.display()))?;
        Ok(name.to_string_lossy().into_owned())
    }

    /// Bytes of the core, plain and as gzip makes them.
    pub fn core_size(&self) -> Result<(u64, u64)> {
        let script = "const b=require('fs').readFileSync(process.argv[1]);\
                      console.log(b.length,require('zlib').gzipSync(b,{level:9}).length)";
        let said = printed(
            Command::new("node")
                .args(["-e", script])
                .arg(self.folder.join("core_bg.wasm")),
        )
        .context("Node could not compress the core.")?;
        let mut sizes = said.split_whitespace().map(str::parse);
        match (sizes.next(), sizes.next()) {
            (Some(Ok(plain)), Some(Ok(compressed))) => Ok((plain, compressed)),
            _ => bail!("Node gave no sizes: {said}"),
        }
    }
}

/// Names and versions of what takes part, and the machine.
pub fn versions() -> Vec<(String, String)> {
    let first_line = |text: String| text.lines().next().unwrap_or_default().to_owned();
    let mut out = Vec::new();
    let mut add = |name: &str, version: Option<String>| {
        if let Some(version) = version.filter(|version| !version.is_empty()) {
            out.push((name.to_owned(), version));
        }
    };
    let processor = std::fs::read_to_string("/proc/cpuinfo")
        .ok()
        .and_then(|text| {
            let line = text.lines().find(|line| line.starts_with("model name"))?;
            Some(line.split_once(':')?.1.trim().to_owned())
        });
    let memory = std::fs::read_to_string("/proc/meminfo")
        .ok()
        .and_then(|text| {
            let kilobytes: f64 = text
                .lines()
                .next()?
                .split_whitespace()
                .nth(1)?
                .parse()
                .ok()?;
            Some(format!("{:.0} GiB", kilobytes / 1_048_576.0))
        });
    add("Processor", processor);
    let n = std::thread::available_parallelism().ok();
    add("Cores", n.map(|n| n.to_string()));
    add("Memory", memory);
    add(
        "System",
        Some(format!(
            "{} on {}",
            std::env::consts::OS,
            std::env::consts::ARCH
        )),
    );
    add(
        "Rust",
        printed(Command::new("rustc").arg("--version")).map(first_line),
    );
    add("Node", printed(Command::new("node").arg("--version")));
    let chromium = crate::browser::ensure().ok();
    add(
        "Browser",
        chromium
            .and_then(|browser| printed(Command::new(browser.program).arg("--version")))
            .map(first_line),
    );
    let arquero = tree::web()
        .ok()
        .and_then(|web| std::fs::read_to_string(web.join("node_modules/arquero/package.json")).ok())
        .and_then(|text| serde_json::from_str::<serde_json::Value>(&text).ok())
        .and_then(|package| package["version"].as_str().map(str::to_owned));
    add("arquero", arquero);
    out
}
