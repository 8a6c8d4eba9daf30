//! The budgets, each beside what was measured.
//!
//! - Enters: what was measured.
//! - Leaves: a line per budget, and for a missed one by how much and the likely next step.
//! - Always true: a budget that could not be measured is said to be so, never counted as met.
//! - Never: rounds before it decides.

use super::answer::{median, median_ratio};
use super::{Herd, Measured};

/// The rows for which a calculated column has a budget.
pub const FORMULA_ROWS: u32 = 100_000;

/// One budget.
pub struct Line {
    pub work: String,
    pub budget: String,
    /// `None` where it was not measured.
    pub measured: Option<f64>,
    pub limit: f64,
    /// How a figure of it is written.
    pub write: fn(f64) -> String,
    /// What would probably be done next if it is missed.
    pub next: &'static str,
}

impl Line {
    /// Whether the budget is met; `None` where it was not measured.
    pub fn met(&self) -> Option<bool> {
        self.measured.map(|measured| measured <= self.limit)
    }
}

fn times(ratio: f64) -> String {
    format!("{ratio:.2} x")
}

fn milliseconds(ms: f64) -> String {
    if ms < 10.0 {
        format!("{ms:.2} ms")
    } else {
        format!("{ms:.0} ms")
    }
}

/// The browser reports tasks from 50 ms on, and none below.
fn task(ms: f64) -> String {
    if ms == 0.0 {
        "none from 50 ms on".to_owned()
    } else {
        milliseconds(ms)
    }
}

fn kilobytes(bytes: f64) -> String {
    format!("{:.0} KB", bytes / 1000.0)
}

fn megabytes(bytes: f64) -> String {
    format!("{:.0} MB", bytes / 1e6)
}

/// All budgets that this command measures; those of the largest herd name its size.
pub fn lines(measured: &Measured) -> Vec<Line> {
    let mut lines = Vec::new();
    if let Some(herd) = measured.herds.last() {
        of_herd(herd, &mut lines);
    }
    of_page(measured, &mut lines);
    lines
}

fn of_herd(herd: &Herd, lines: &mut Vec<Line>) {
    let n = super::report::whole(u64::from(herd.n_rows));
    lines.push(Line {
        work: format!("{n} calves, CSV to ranked, in the worker, warm"),
        budget: "0.7 x Polars, one thread".to_owned(),
        measured: median_ratio(&herd.page, &herd.polars),
        limit: 0.7,
        write: times,
        next: "Forming groups reads each column once for every row of every group, out of the order it lies in: \
               gather what groups need in one pass. Then the digest of the file, which the browser can make itself.",
    });
    lines.push(Line {
        work: format!("{n} calves, the first run in a fresh browser"),
        budget: "0.9 x Polars, first run".to_owned(),
        measured: median_ratio(&herd.page_cold, &herd.polars_cold),
        limit: 0.9,
        write: times,
        next: "Less code on the way of a field, so that the browser's optimising compiler takes over sooner.",
    });
    let long = herd.person["long_tasks"].as_array().map(|tasks| {
        tasks
            .iter()
            .filter_map(serde_json::Value::as_f64)
            .fold(0.0, f64::max)
    });
    lines.push(Line {
        work: format!("longest task on the page, import and recalculation of {n} calves"),
        budget: "50 ms".to_owned(),
        measured: long,
        limit: 50.0,
        write: task,
        next: "Find what the page itself does meanwhile.",
    });
    // Where the system does not say what the process held, the engine's own memory stands for it.
    let grown = herd.person["process_bytes"]
        .as_f64()
        .zip(herd.person["empty_process_bytes"].as_f64())
        .map(|(most, empty)| most - empty);
    lines.push(Line {
        work: format!("memory of the tab above an empty one's, at its most, {n} calves"),
        budget: "300 MB".to_owned(),
        measured: grown.or(herd.person["memory_bytes"].as_f64()),
        limit: 300e6,
        write: megabytes,
        next: "Keep the file outside the module's memory while it is read, and free the import's spare room.",
    });
}

fn of_page(measured: &Measured, lines: &mut Vec<Line>) {
    let page = &measured.page;
    let n = measured
        .herds
        .last()
        .map_or(0, |herd| u64::from(herd.n_rows));
    let n = super::report::whole(n);
    let slowest = page.sorts.as_object().and_then(|columns| {
        columns
            .values()
            .filter_map(serde_json::Value::as_f64)
            .reduce(f64::max)
    });
    lines.push(Line {
        work: format!("sort {n} rows, the slowest column"),
        budget: "60 ms".to_owned(),
        measured: slowest,
        limit: 60.0,
        write: milliseconds,
        next: "Keep the order of a text column's distinct texts from one sort to the next.",
    });
    lines.push(Line {
        work: format!("a 50-row window of all columns, {n} rows, 95th percentile"),
        budget: "2 ms".to_owned(),
        measured: page.windows["p95_ms"].as_f64(),
        limit: 2.0,
        write: milliseconds,
        next: "Write cell texts straight into the window's one text.",
    });
    of_scrolling(&page.scroll, &n, lines);
    let formulas = measured.herds.iter().find_map(|herd| {
        herd.formulas
            .as_object()?
            .values()
            .filter_map(|formula| formula["ms"].as_f64())
            .reduce(f64::max)
    });
    lines.push(Line {
        work: format!(
            "a calculated column over {} rows, the slowest measured",
            super::report::whole(u64::from(FORMULA_ROWS))
        ),
        budget: "50 ms".to_owned(),
        measured: formulas,
        limit: 50.0,
        write: milliseconds,
        next: "Compute a formula on whole columns where it now goes row by row.",
    });
    for (said, (budget, limit)) in page
        .keystrokes
        .iter()
        .zip([("one frame, 16.7 ms", 16.7), ("50 ms", 50.0)])
    {
        let n = super::report::whole(said["n_rows"].as_u64().unwrap_or(0));
        lines.push(Line {
            work: format!("keystroke to changed results, {n} calves, without painting"),
            budget: budget.to_owned(),
            measured: said["all_ms"].as_f64(),
            limit,
            write: milliseconds,
            next: "Look for problems only in the rows that a change can touch.",
        });
    }
    lines.push(Line {
        work: "core module, gzip".to_owned(),
        budget: "200 KB".to_owned(),
        measured: (page.core_gzip_bytes > 0).then_some(page.core_gzip_bytes as f64),
        limit: 200e3,
        write: kilobytes,
        next: "See which crates the module carries and move what an import or a comparison alone needs.",
    });
}

/// Frames and long tasks of the sheet, whichever way it is scrolled.
fn of_scrolling(scroll: &serde_json::Value, n: &str, lines: &mut Vec<Line>) {
    let ways = || scroll.as_object().into_iter().flatten();
    let frames = |way: &serde_json::Value| way["frames_per_second"].as_f64();
    let at_rest = frames(&scroll["at rest"]);
    let slowest = ways().filter_map(|(_, way)| frames(way)).reduce(f64::min);
    lines.push(Line {
        work: format!("scrolling {n} rows by wheel, thumb and Page Down: time of a frame, against the page at rest"),
        budget: "1.05 x".to_owned(),
        measured: at_rest.zip(slowest).map(|(rest, slow)| rest / slow),
        limit: 1.05,
        write: times,
        next: "See which frames are late, and what was drawn in them.",
    });
    let longest = scroll.is_object().then(|| {
        ways()
            .filter_map(|(_, way)| way["long_tasks"].as_array())
            .flatten()
            .filter_map(serde_json::Value::as_f64)
            .fold(0.0, f64::max)
    });
    lines.push(Line {
        work: format!("longest task on the page while {n} rows are scrolled"),
        budget: "50 ms".to_owned(),
        measured: longest,
        limit: 50.0,
        write: task,
        next: "Find what the page itself does meanwhile.",
    });
}

/// The middle time in words, or a dash.
pub fn middle(times: &[f64]) -> String {
    median(times).map_or_else(|| "-".to_owned(), milliseconds)
}

/// A ratio in words, or a dash.
pub fn ratio(ours: &[f64], theirs: &[f64]) -> String {
    median_ratio(ours, theirs).map_or_else(|| "-".to_owned(), times)
}

/// A size in words, or a dash.
pub fn size(bytes: Option<f64>) -> String {
    bytes.map_or_else(|| "-".to_owned(), megabytes)
}
