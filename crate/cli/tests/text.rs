//! What people read: help, the working, and text that a spreadsheet could run.

mod run;

use std::fs;

use run::{Report, fairpen, repository, snapshot};

#[test]
fn help_needs_no_manual() {
    for (name, arguments) in [
        ("help.txt", vec!["--help"]),
        ("help-report.txt", vec!["report", "--help"]),
        ("help-check.txt", vec!["check", "--help"]),
        ("help-explain.txt", vec!["explain", "--help"]),
        ("help-trial.txt", vec!["trial", "--help"]),
    ] {
        let run = fairpen(arguments);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{name}");
        snapshot(name, &run.out);
    }
    let version = fairpen(["--version"]);
    assert_eq!(
        (version.code, version.out),
        (0, format!("fairpen {}\n", env!("CARGO_PKG_VERSION")))
    );
    let nothing = fairpen(Vec::<&str>::new());
    assert_eq!(nothing.code, 2);
    assert!(
        nothing.err.contains("fairpen report") || nothing.err.contains("Usage"),
        "{}",
        nothing.err
    );
}

#[test]
fn explain_shows_the_working() {
    let book = repository("sample-books/two-barns");
    let book = book.to_str().expect("UTF-8");
    let run = fairpen(["explain", book, "6002", "--as-of", "2026-11-01"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    snapshot("explain.txt", &run.out);
    let one = fairpen([
        "explain",
        book,
        "6002",
        "--number",
        "ratio",
        "--as-of",
        "2026-11-01",
    ]);
    assert_eq!(one.code, 0);
    assert!(
        one.out.contains("Ratio") && !one.out.contains("Gain per day of"),
        "{}",
        one.out
    );
}

#[test]
fn every_calf_that_wears_the_tag_is_shown() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("calves.csv");
    let text = "tag,sex,birth date,birth weight,dam age,wean date,wean weight\n\
                0A7,heifer,2025-03-01,70,6,2025-09-25,500\n\
                0A7,bull,2026-03-11,72,6,2026-09-25,520\n\
                -12,bull,2026-03-11,72,6,2026-09-25,520\n";
    fs::write(&path, text).expect("written");
    let path = path.to_str().expect("UTF-8");
    let both = fairpen(["explain", path, "a7", "--number", "adj_205_weight"]);
    assert_eq!((both.code, both.err.as_str()), (0, ""));
    assert!(
        both.out.contains("Calf 0A7, born 2025") && both.out.contains("Calf 0A7, born 2026"),
        "{}",
        both.out
    );
    let minus = fairpen(["explain", path, "--number", "adj_205_weight", "--", "-12"]);
    assert!(
        minus.out.contains("Calf -12, born 2026"),
        "{}{}",
        minus.out,
        minus.err
    );
}

#[test]
fn text_that_a_spreadsheet_could_run_is_made_harmless() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("calves.csv");
    let text = "tag,sex,birth date,birth weight,dam,dam age,pen,wean date,wean weight\n\
                =1+1,heifer,2026-03-01,70,@cow,6,+pen,2026-09-25,500\n\
                -12,heifer,2026-03-11,72,+4,6,+pen,2026-09-25,520\n\
                \"\t=2\",bull,2026-03-11,72,,6,+pen,2026-09-25,=9*9\n";
    fs::write(&path, text).expect("written");
    let report = Report::of(&path, &[]);
    let rows = report.csv("adjusted.csv");
    let cells = |column: &str| {
        rows.iter()
            .map(|row| row[column].clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(cells("tag")[..2], ["'=1+1", "-12"]);
    assert!(cells("tag")[2].starts_with('\''), "{:?}", cells("tag"));
    assert_eq!(cells("dam"), ["'@cow", "+4", ""]);
    assert_eq!(report.csv("groups.csv")[0]["place"], "'+pen");
    let read: Vec<String> = report
        .csv("problems.csv")
        .into_iter()
        .filter(|problem| problem["column"] == "wean_weight")
        .map(|problem| problem["read"].clone())
        .collect();
    assert!(read.contains(&"'=9*9".to_owned()), "{read:?}");
    // No cell of any table begins with what a spreadsheet could run, but for plain numbers.
    for name in ["adjusted.csv", "groups.csv", "problems.csv"] {
        for (column, cell) in report.csv(name).into_iter().flatten() {
            let runs =
                cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && cell.parse::<f64>().is_err();
            assert!(!runs, "{name}, {column}: {cell:?}");
        }
    }
}
