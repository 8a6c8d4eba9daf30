//! docs/benchmarks.md.
//!
//! - Enters: everything measured.
//! - Leaves: the page's text.
//! - Always true: ratios come first and absolute figures beside them; a missed budget says by how much.
//! - Never: names a folder, or a day that was not given.

use std::fmt::Write;

use super::budget::{Line, lines, middle, ratio, size};
use super::{Herd, Measured};

/// A whole number with commas.
pub fn whole(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// The whole page.
pub fn markdown(measured: &Measured, date: Option<&str>) -> String {
    let mut text = String::from("# Benchmarks\n\nWritten by `cargo xtask bench`; do not edit.\n\n");
    if let Some(date) = date {
        let _ = writeln!(text, "Measured on {date}.\n");
    }
    text.push_str(
        "The work: the bytes of a CSV file of calves (10 columns, ISO dates, 1 in 100 of each weight blank) to \
         adjusted 205-day weights, contemporary groups, ratios and ranks in group. The engines take turns in every \
         round; a ratio is the median of the ratios round by round, a time the median of its rounds. All engines \
         gave the same ratios and ranks (count, sum, sum of squares and sum of ranks, to 1 in 1,000,000,000), or \
         this page would not have been written.\n\n\
         Fairpen does more in the same time than the others: it reads every cell by its kind and keeps what it \
         could not read, marks what was assumed for each calf, names each group and its reasons; in the page it \
         also makes a digest of the file and a journal record.\n\n\
         One thread each. Polars: eager, from a file in the disk's cache. Fairpen on this machine: the same file, \
         in pieces of 256 KiB. In the page: a worker that holds the bytes and feeds them in pieces of 256 KiB. \
         \"First\" is the first run in a fresh process or browser; starting up is not counted.\n\n",
    );
    for (name, cause) in [
        ("Polars", &measured.polars_missing),
        ("arquero", &measured.arquero_missing),
    ] {
        if let Some(cause) = cause {
            let cause = cause.lines().next().unwrap_or_default();
            let _ = writeln!(text, "{name} did not take part: {cause}\n");
        }
    }
    budgets(&mut text, measured);
    text.push_str("\n## Herds: CSV to ranked\n\n");
    text.push_str("| calves | file | Fairpen | Polars | ratio | Fairpen in the page | to Polars | arquero in the page | ratio |\n|---|---|---|---|---|---|---|---|---|\n");
    for herd in &measured.herds {
        warm(&mut text, herd);
    }
    text.push_str("\nThe first run:\n\n| calves | Fairpen | Polars | ratio | Fairpen in the page | to Polars |\n|---|---|---|---|---|---|\n");
    for herd in &measured.herds {
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} | {} |",
            whole(u64::from(herd.n_rows)),
            middle(&herd.native_cold),
            middle(&herd.polars_cold),
            ratio(&herd.native_cold, &herd.polars_cold),
            middle(&herd.page_cold),
            ratio(&herd.page_cold, &herd.polars_cold),
        );
    }
    text.push_str("\nA file dropped on a fresh page, read from the disk piece by piece:\n\n| calves | time | engine's memory at its most | the page's process at its most | before |\n|---|---|---|---|---|\n");
    for herd in &measured.herds {
        let said = &herd.person;
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} |",
            whole(u64::from(herd.n_rows)),
            middle(said["ms"].as_f64().as_slice()),
            size(said["memory_bytes"].as_f64()),
            size(said["process_bytes"].as_f64()),
            size(said["empty_process_bytes"].as_f64()),
        );
    }
    sorts(&mut text, measured);
    scrolling(&mut text, measured);
    formulas(&mut text, measured);
    let _ = writeln!(
        text,
        "\nThe core module: {} bytes, {} with gzip.",
        whole(measured.page.core_bytes),
        whole(measured.page.core_gzip_bytes)
    );
    text.push_str("\n## Machine and versions\n\n");
    let _ = writeln!(text, "{} rounds.\n", measured.rounds);
    for (name, version) in &measured.versions {
        let _ = writeln!(text, "- {name}: {version}");
    }
    text
}

fn budgets(text: &mut String, measured: &Measured) {
    let lines = lines(measured);
    text.push_str("## Budgets\n\n| work | budget | measured | met |\n|---|---|---|---|\n");
    for line in &lines {
        let (said, met) = match (line.measured, line.met()) {
            (Some(figure), Some(true)) => ((line.write)(figure), "yes"),
            (Some(figure), _) => ((line.write)(figure), "no"),
            _ => ("not measured".to_owned(), "not known"),
        };
        let _ = writeln!(text, "| {} | {} | {said} | {met} |", line.work, line.budget);
    }
    let missed: Vec<&Line> = lines
        .iter()
        .filter(|line| line.met() == Some(false))
        .collect();
    if !missed.is_empty() {
        text.push_str("\nNot met:\n\n");
    }
    for line in missed {
        let over = line.measured.unwrap_or(f64::NAN) / line.limit;
        let _ = writeln!(
            text,
            "- {}: {:.0} % over. Likely next step: {}",
            line.work,
            (over - 1.0) * 100.0,
            line.next
        );
    }
}

fn warm(text: &mut String, herd: &Herd) {
    let n_arquero = herd.arquero.len().min(herd.page.len());
    let _ = writeln!(
        text,
        "| {} | {} | {} | {} | {} | {} | {} | {} | {} |",
        whole(u64::from(herd.n_rows)),
        size(Some(herd.csv_bytes as f64)),
        middle(&herd.native),
        middle(&herd.polars),
        ratio(&herd.native, &herd.polars),
        middle(&herd.page),
        ratio(&herd.page, &herd.polars),
        middle(&herd.arquero),
        ratio(&herd.page[..n_arquero], &herd.arquero),
    );
}

fn sorts(text: &mut String, measured: &Measured) {
    let Some(columns) = measured.page.sorts.as_object() else {
        return;
    };
    let n = measured
        .herds
        .last()
        .map_or(0, |herd| u64::from(herd.n_rows));
    let _ = writeln!(text, "\n## Sorting {} rows in the worker\n", whole(n));
    text.push_str("| column | time |\n|---|---|\n");
    let mut columns: Vec<(&String, f64)> = columns
        .iter()
        .filter_map(|(name, ms)| Some((name, ms.as_f64()?)))
        .collect();
    columns.sort_by(|one, other| other.1.total_cmp(&one.1));
    for (name, ms) in columns {
        let _ = writeln!(text, "| {name} | {ms:.1} ms |");
    }
}

fn scrolling(text: &mut String, measured: &Measured) {
    let Some(ways) = measured.page.scroll.as_object() else {
        return;
    };
    let n = measured
        .herds
        .last()
        .map_or(0, |herd| u64::from(herd.n_rows));
    let _ = writeln!(text, "\n## Scrolling {} rows on the page\n", whole(n));
    text.push_str(
        "Seconds of scrolling without a pause, in a window of 1,280 x 800, without a graphics card. \"At rest\" is \
         the same page untouched: what the display can do here. \"Rows stand after\" is the time from the last \
         movement until every row on show has its text.\n\n\
         | | frames a second | middle frame | 99 of 100 frames within | longest | tasks from 50 ms on | rows stand after |\n\
         |---|---|---|---|---|---|---|\n",
    );
    for (way, said) in ways {
        let ms = |key: &str| middle(said[key].as_f64().as_slice());
        let _ = writeln!(
            text,
            "| {way} | {:.1} | {} | {} | {} | {} | {} |",
            said["frames_per_second"].as_f64().unwrap_or(f64::NAN),
            ms("middle_ms"),
            ms("p99_ms"),
            ms("longest_ms"),
            said["long_tasks"].as_array().map_or(0, Vec::len),
            ms("settled_ms"),
        );
    }
}

fn formulas(text: &mut String, measured: &Measured) {
    let Some((herd, formulas)) = measured
        .herds
        .iter()
        .find_map(|herd| Some((herd, herd.formulas.as_object()?)))
    else {
        return;
    };
    let _ = writeln!(
        text,
        "\n## Calculated columns over {} rows in the worker\n",
        whole(u64::from(herd.n_rows))
    );
    text.push_str(
        "The time of the formula alone, and of the whole change with all weights, groups and ratios made anew.\n\n\
         | column | formula | alone | the whole change |\n|---|---|---|---|\n",
    );
    for (name, said) in formulas {
        let _ = writeln!(
            text,
            "| {name} | `{}` | {} | {} |",
            said["formula"].as_str().unwrap_or_default(),
            middle(said["ms"].as_f64().as_slice()),
            middle(said["with_everything_ms"].as_f64().as_slice()),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::Page;

    fn measured(page_ms: f64) -> Measured {
        Measured {
            herds: vec![Herd {
                n_rows: 1_000_000,
                page: vec![page_ms],
                polars: vec![100.0],
                ..Herd::default()
            }],
            page: Page::default(),
            polars_missing: None,
            arquero_missing: None,
            versions: Vec::new(),
            rounds: 1,
        }
    }

    #[test]
    fn numbers_have_commas() {
        assert_eq!(whole(7), "7");
        assert_eq!(whole(1_000), "1,000");
        assert_eq!(whole(1_234_567), "1,234,567");
    }

    #[test]
    fn scrolling_is_held_against_the_page_at_rest() {
        let mut measured = measured(70.0);
        measured.page.scroll = serde_json::json!({
            "at rest": { "frames_per_second": 60.0, "long_tasks": [] },
            "by the wheel": { "frames_per_second": 50.0, "long_tasks": [70.0] },
        });
        let text = markdown(&measured, None);
        assert!(text.contains("| 1.05 x | 1.20 x | no |"), "{text}");
        assert!(
            text.contains("are scrolled | 50 ms | 70 ms | no |"),
            "{text}"
        );
        assert!(text.contains("| by the wheel | 50.0 |"), "{text}");
    }

    #[test]
    fn the_slowest_formula_stands_for_all() {
        let mut measured = measured(70.0);
        measured.herds[0].formulas = serde_json::json!({
            "quick": { "formula": "a+b", "ms": 2.0, "with_everything_ms": 90.0 },
            "slow": { "formula": "RANK(a;a)", "ms": 60.0, "with_everything_ms": 150.0 },
        });
        let text = markdown(&measured, None);
        assert!(text.contains("| 50 ms | 60 ms | no |"), "{text}");
        assert!(
            text.contains("| slow | `RANK(a;a)` | 60 ms | 150 ms |"),
            "{text}"
        );
    }

    #[test]
    fn a_missed_budget_says_by_how_much_and_an_unmeasured_one_is_not_met() {
        let text = markdown(&measured(140.0), None);
        assert!(text.contains("warm: 100 % over"), "{text}");
        assert!(
            text.contains("| 0.9 x Polars, first run | not measured | not known |"),
            "{text}"
        );
        assert!(!text.contains("Measured on"));
        let text = markdown(&measured(70.0), Some("2026-11-25"));
        assert!(text.contains("| 0.70 x | yes |"), "{text}");
        assert!(text.contains("Measured on 2026-11-25."));
    }
}
