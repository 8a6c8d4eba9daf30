//! `cargo xtask bench`: the measurements behind docs/benchmarks.md.
//!
//! - Enters: the working tree; which sizes and how many rounds.
//! - Leaves: docs/benchmarks.md.
//! - Always true: a measurement runs the code that ships, in the release profile; the engines take turns in
//!   every round; an answer on which they differ fails the command.
//! - Never: names this machine's folders; leaves out a missed budget.

mod answer;
mod budget;
mod engine;
mod report;
mod set_up;

use anyhow::{Context, Result, bail};
use serde_json::{Value, json};

use answer::{agree, median, milliseconds};
use engine::Engine;
use set_up::{Native, herd, native, node_site};

use crate::wasm::Effort;
use crate::{browser, build, node, tree};

/// Measure import to ratio beside general-purpose table engines, and what the page asks of the engine; write
/// docs/benchmarks.md.
#[derive(clap::Args)]
pub struct Arguments {
    /// Herds of 1,000 and 100,000 calves only, and few rounds. Prints; leaves docs/benchmarks.md as it is.
    #[arg(long)]
    quick: bool,
    /// How often each engine takes its turn on each herd.
    #[arg(long, default_value_t = 7)]
    rounds: usize,
    /// The day to name in docs/benchmarks.md, as 2026-11-25; none is named without it.
    #[arg(long)]
    date: Option<String>,
    /// Use the release build that is already there.
    #[arg(long)]
    no_build: bool,
}

/// Milliseconds of each engine on one herd, in the order of the rounds; empty where it did not run.
#[derive(Default)]
struct Herd {
    n_rows: u32,
    csv_bytes: u64,
    native: Vec<f64>,
    native_cold: Vec<f64>,
    polars: Vec<f64>,
    polars_cold: Vec<f64>,
    page: Vec<f64>,
    page_cold: Vec<f64>,
    arquero: Vec<f64>,
    person: Value,
    /// Calculated columns; only on the herd that has a budget for them.
    formulas: Value,
}

/// What was measured on the page beside the herds.
#[derive(Default)]
struct Page {
    sorts: Value,
    windows: Value,
    keystrokes: Vec<Value>,
    scroll: Value,
    core_bytes: u64,
    core_gzip_bytes: u64,
}

/// Everything measured.
struct Measured {
    herds: Vec<Herd>,
    page: Page,
    /// Why Polars did not run, where it did not.
    polars_missing: Option<String>,
    arquero_missing: Option<String>,
    versions: Vec<(String, String)>,
    rounds: usize,
}

/// Runs the command.
pub fn bench(arguments: &Arguments) -> Result<()> {
    if let Some(date) = &arguments.date
        && (date.len() != 10
            || !date
                .bytes()
                .all(|byte| byte.is_ascii_digit() || byte == b'-'))
    {
        bail!("--date takes a day as 2026-11-25, not \"{date}\".");
    }
    node::ensure()?;
    let browser = browser::ensure()?;
    if !arguments.no_build {
        build::site(Effort::Release)?;
    }
    let program = native(arguments.no_build)?;
    let polars = set_up::polars();
    let site = node_site()?;
    let sizes: &[u32] = if arguments.quick {
        &[1_000, 100_000]
    } else {
        &[1_000, 100_000, 1_000_000]
    };
    let rounds = if arguments.quick {
        3
    } else {
        arguments.rounds.max(3)
    };

    let mut page = Engine::start(
        "the page",
        node::node()?
            .arg(tree::root()?.join("tests/browser/bench/drive.mjs"))
            .arg(&site.folder)
            .env("CHROME_BIN", &browser.program),
    )?;
    let mut measured = Measured {
        herds: Vec::new(),
        page: Page::default(),
        polars_missing: polars.as_ref().err().map(|cause| format!("{cause:#}")),
        arquero_missing: site.arquero_missing.clone(),
        versions: set_up::versions(),
        rounds,
    };
    if let Some(cause) = &measured.polars_missing {
        println!("Polars cannot take part, Fairpen is measured alone: {cause}");
    }
    if let Some(cause) = &measured.arquero_missing {
        println!("arquero cannot take part: {cause}");
    }
    for &n_rows in sizes {
        println!("\n--- {n_rows} calves");
        let herd = measure_herd(
            n_rows,
            rounds,
            &program,
            polars.as_ref().ok(),
            &site,
            &mut page,
        )?;
        measured.herds.push(herd);
    }
    println!("\n--- the page");
    measured.page = measure_page(&site, &mut page, sizes[sizes.len() - 1])?;
    if let Ok(polars) = &polars {
        let mut asked = polars.start(&set_up::herd_path(sizes[0])?)?;
        let said = asked.ask_line("version")?;
        let version = said["version"].as_str().unwrap_or("?").to_owned();
        measured.versions.push(("Polars".to_owned(), version));
    }
    let text = report::markdown(&measured, arguments.date.as_deref());
    if arguments.quick {
        println!("\n{text}");
        return Ok(());
    }
    let path = tree::root()?.join("docs/benchmarks.md");
    std::fs::write(&path, text).context("docs/benchmarks.md cannot be written.")?;
    println!("\nWritten: docs/benchmarks.md");
    Ok(())
}

/// All engines in turn on one herd.
fn measure_herd(
    n_rows: u32,
    rounds: usize,
    program: &Native,
    polars: Option<&set_up::Polars>,
    site: &set_up::Site,
    page: &mut Engine,
) -> Result<Herd> {
    let path = herd(program, n_rows)?;
    let name = site.take_in(&path)?;
    let mut out = Herd {
        n_rows,
        csv_bytes: std::fs::metadata(&path)
            .context("The herd cannot be read.")?
            .len(),
        ..Herd::default()
    };
    page.ask(&json!({ "do": "open", "data": name }))?;
    let mut native = program.start(&path)?;
    let mut table = polars.map(|polars| polars.start(&path)).transpose()?;
    let answer = native.ask_line("run")?;
    // The first runs warm each engine up and are held against each other.
    for _ in 0..2 {
        agree(
            "Fairpen in the page",
            &page.ask(&json!({ "do": "run" }))?,
            &answer,
        )?;
    }
    if let Some(table) = &mut table {
        agree("Polars", &table.ask_line("run")?, &answer)?;
    }
    // arquero takes seconds for a large herd: it takes fewer turns.
    let arquero_rounds = if n_rows > 200_000 { 3 } else { rounds };
    for round in 0..rounds {
        out.native.push(milliseconds(&native.ask_line("run")?)?);
        if let Some(table) = &mut table {
            out.polars.push(milliseconds(&table.ask_line("run")?)?);
        }
        out.page
            .push(milliseconds(&page.ask(&json!({ "do": "run" }))?)?);
        if site.arquero_missing.is_none() && round < arquero_rounds {
            let said = page.ask(&json!({ "do": "arquero" }))?;
            agree("arquero", &said, &answer)?;
            out.arquero.push(milliseconds(&said)?);
        }
        out.native_cold
            .push(milliseconds(&program.start(&path)?.ask_line("run")?)?);
        if let Some(polars) = polars {
            out.polars_cold
                .push(milliseconds(&polars.start(&path)?.ask_line("run")?)?);
        }
        let cold = page.ask(&json!({ "do": "cold", "data": name }))?;
        out.page_cold.push(milliseconds(&cold)?);
        println!("round {} of {rounds}", round + 1);
    }
    if n_rows == budget::FORMULA_ROWS {
        out.formulas = page.ask(&json!({ "do": "formulas" }))?;
    }
    out.person = page.ask(&json!({ "do": "person", "file": path.to_string_lossy() }))?;
    for (engine, times) in [
        ("native", &out.native),
        ("Polars", &out.polars),
        ("page", &out.page),
        ("page, first", &out.page_cold),
        ("arquero", &out.arquero),
    ] {
        if let Some(middle) = median(times) {
            println!("{engine}: {middle:.1} ms");
        }
    }
    Ok(out)
}

/// Sorting, windows, keystrokes and scrolling; the herd measured last, of `n_rows`, stands in the page.
fn measure_page(site: &set_up::Site, page: &mut Engine, n_rows: u32) -> Result<Page> {
    let small = |n_rows: u32| -> Result<String> { site.take_in(&herd(&native(true)?, n_rows)?) };
    let demo = ["calves.csv", "cows.csv", "places.csv"]
        .map(|file| site.take_in(&tree::root()?.join("sample-books/two-barns").join(file)))
        .into_iter()
        .collect::<Result<Vec<_>>>()?;
    let five_thousand = vec![small(5_000)?];
    let sorts = page.ask(&json!({ "do": "sorts", "rounds": 4 }))?;
    let windows = page.ask(&json!({ "do": "windows", "n": 300 }))?;
    let keystrokes = [demo, five_thousand]
        .into_iter()
        .map(|files| page.ask(&json!({ "do": "keystrokes", "files": files, "n": 60 })))
        .collect::<Result<Vec<_>>>()?;
    let scroll = page.ask(&json!({
        "do": "scroll",
        "site": tree::web()?.join("dist").to_string_lossy(),
        "file": herd(&native(true)?, n_rows)?.to_string_lossy(),
        "n_rows": n_rows,
    }))?;
    let (core_bytes, core_gzip_bytes) = site.core_size()?;
    Ok(Page {
        sorts,
        windows,
        keystrokes,
        scroll,
        core_bytes,
        core_gzip_bytes,
    })
}
