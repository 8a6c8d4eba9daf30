//! What cannot be done is said in plain words, with exit code 2, and nothing is harmed.

mod run;

use std::fs;
use std::path::Path;

use run::{Report, Run, fairpen, repository};

const CALVES: &str = "tag,sex,birth date,birth weight,dam age,wean date,wean weight\n\
                      1,heifer,2026-03-01,70,6,2026-09-25,500\n\
                      2,heifer,2026-03-11,72,6,2026-09-25,520\n";

fn refused(run: &Run, words: &[&str]) {
    assert_eq!((run.code, run.out.as_str()), (2, ""), "{}", run.err);
    for word in words {
        assert!(run.err.contains(word), "{word:?} is not in {:?}", run.err);
    }
    // Two plain sentences, no fault of the program shown to people.
    assert!(!run.err.contains("panicked"), "{}", run.err);
}

fn calves_in(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("calves.csv");
    fs::write(&path, CALVES).expect("written");
    path
}

#[test]
fn a_missing_or_strange_input_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    refused(
        &fairpen(["check".as_ref(), at("nothing.csv").as_os_str()]),
        &["nothing.csv", "there is no such file"],
    );
    fs::write(at("empty.csv"), "").expect("written");
    refused(
        &fairpen(["check".as_ref(), at("empty.csv").as_os_str()]),
        &["is empty"],
    );
    fs::write(at("calves.xlsx"), b"PK\x03\x04[Content_Types].xml and more").expect("written");
    refused(
        &fairpen(["check".as_ref(), at("calves.xlsx").as_os_str()]),
        &[
            "could not be read as a spreadsheet",
            "save the sheet",
            "CSV",
        ],
    );
    fs::write(at("old"), b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1").expect("written");
    refused(
        &fairpen(["check".as_ref(), at("old").as_os_str()]),
        &["could not be read as a spreadsheet"],
    );
    let sheets = repository("crate/wasm-spreadsheet/tests/files/three_sheets.xlsx");
    refused(
        &fairpen(["check".as_ref(), sheets.as_os_str()]),
        &["several sheets", "\"Calves weaned\"", "--sheet"],
    );
    refused(
        &fairpen([
            "check".as_ref(),
            sheets.as_os_str(),
            "--sheet".as_ref(),
            "Bulls".as_ref(),
        ]),
        &["no sheet \"Bulls\"", "\"Calves weaned\""],
    );
    fs::write(at("half.zip"), b"PK\x03\x04 and nothing").expect("written");
    refused(
        &fairpen(["check".as_ref(), at("half.zip").as_os_str()]),
        &[],
    );
    refused(
        &fairpen([
            "check".as_ref(),
            repository("sample-books/two-barns/cows.csv").as_os_str(),
        ]),
        &["cows", "calves.csv"],
    );
    fs::write(at("list.csv"), "apples,pears\n1,2\n").expect("written");
    refused(
        &fairpen(["check".as_ref(), at("list.csv").as_os_str()]),
        &["no header that is known", "wean_weight"],
    );
    let empty = at("empty folder");
    fs::create_dir(&empty).expect("made");
    refused(
        &fairpen(["check".as_ref(), empty.as_os_str()]),
        &["no calves.csv", "cows.csv"],
    );
}

#[test]
fn an_output_that_cannot_be_written_is_refused_before_anything_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let calves = calves_in(folder.path());
    let report = |out: &Path| {
        fairpen([
            "report".as_ref(),
            calves.as_os_str(),
            "--out".as_ref(),
            out.as_os_str(),
        ])
    };
    // A file where the folder should be.
    refused(&report(&calves), &["calves.csv"]);
    assert_eq!(fs::read_to_string(&calves).expect("still there"), CALVES);
    refused(&report(&calves.join("below")), &["below"]);
    // Somebody's own file under a name of ours.
    let out = folder.path().join("out");
    fs::create_dir(&out).expect("made");
    fs::write(out.join("groups.csv"), "my own groups\n").expect("written");
    refused(&report(&out), &["groups.csv", "left alone"]);
    let left: Vec<_> = fs::read_dir(&out)
        .expect("listed")
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(left, ["groups.csv"]);
    assert_eq!(
        fs::read_to_string(out.join("groups.csv")).expect("still there"),
        "my own groups\n"
    );
}

#[test]
fn an_input_is_never_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    // A file that carries our header line, given as the input and named like an output.
    let first = Report::of(&calves_in(folder.path()), &[]);
    assert_eq!(first.csv("adjusted.csv").len(), 2);
    let input = folder.path().join("adjusted.csv");
    let text = "tag,birth_year,sex,dam,dam_age_class,age_days,birth_weight_used,adj_205_weight,contemporary_group,\
                group_size,ratio,rank_in_group,flags\n7,2026,heifer,,,,,,,,,,\n";
    fs::write(&input, text).expect("written");
    let run = fairpen([
        "report".as_ref(),
        input.as_os_str(),
        "--out".as_ref(),
        folder.path().as_os_str(),
    ]);
    refused(&run, &["adjusted.csv", "written over"]);
    assert_eq!(fs::read_to_string(&input).expect("still there"), text);
}

#[test]
fn a_second_run_replaces_the_first_and_takes_its_comparison_away() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let book = repository("sample-books/two-barns");
    let report = |more: &[&str]| {
        let mut arguments = vec![
            "report".as_ref(),
            book.as_os_str(),
            "--out".as_ref(),
            out.as_os_str(),
        ];
        arguments.extend(more.iter().map(|argument| std::ffi::OsStr::new(*argument)));
        fairpen(arguments)
    };
    assert_eq!(report(&["--compare", "management"]).code, 0);
    assert!(out.join("comparison.json").is_file());
    fs::write(out.join("mine.txt"), "mine").expect("written");
    let second = report(&[]);
    assert_eq!(second.code, 0, "{}", second.err);
    assert!(!out.join("comparison.json").exists());
    assert!(second.out.contains("Taken away"));
    let mut names: Vec<String> = fs::read_dir(&out)
        .expect("listed")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "adjusted.csv",
            "groups.csv",
            "mine.txt",
            "problems.csv",
            "report.json"
        ]
    );
}

#[test]
fn wrong_options_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let calves = calves_in(folder.path());
    let calves = calves.to_str().expect("UTF-8");
    let out = folder.path().join("out");
    let out = out.to_str().expect("UTF-8");
    refused(&fairpen(["report", calves]), &["--out"]);
    refused(
        &fairpen(["check", calves, "--as-of", "2026-02-30"]),
        &["2026-03-14"],
    );
    refused(
        &fairpen(["check", calves, "--unit", "stone"]),
        &["lb", "kg"],
    );
    refused(
        &fairpen([
            "report",
            calves,
            "--out",
            out,
            "--compare",
            "no such column",
        ]),
        &["no such column"],
    );
    refused(&fairpen(["explain", calves, "99"]), &["99"]);
    refused(
        &fairpen(["explain", calves, "1", "--number", "weight"]),
        &["adj_205_weight"],
    );
    assert!(
        !Path::new(out).exists(),
        "nothing is made for a report that is refused"
    );
    let settings = folder.path().join("settings.json");
    fs::write(&settings, "{\"window_from\": 150}").expect("written");
    let settings = settings.to_str().expect("UTF-8");
    refused(
        &fairpen(["check", calves, "--settings", settings]),
        &["window_from", "is not a setting"],
    );
}

#[test]
fn settings_change_what_is_computed_and_are_reported() {
    let folder = tempfile::tempdir().expect("a folder");
    let calves = calves_in(folder.path());
    let settings = folder.path().join("settings.json");
    fs::write(
        &settings,
        "{\"window_to_days\": 200, \"weight_unit\": \"kg\"}",
    )
    .expect("written");
    let how = [
        "--settings",
        settings.to_str().expect("UTF-8"),
        "--unit",
        "lb",
    ];
    let report = Report::of(&calves, &[&how[..], &["--as-of", "2026-10-01"]].concat());
    let rows = report.csv("adjusted.csv");
    // 208 days of age is outside now; the younger calf of 198 days stays, in kilograms.
    assert_eq!(rows[0]["adj_205_weight"], "");
    let pounds = (520.0 - 72.0) / 198.0 * 205.0 + 72.0;
    run::same(
        "in kilograms",
        run::number(&rows[1]["adj_205_weight"]),
        Some(pounds * 0.453_592_37),
    );
    let document = report.json("report.json");
    assert_eq!(document["settings"]["window_to_days"], 200);
    assert_eq!(
        (&document["as_of"], &document["as_of_from"]),
        (&"2026-10-01".into(), &"--as-of".into())
    );
    // The settings of a report are a settings file: the same run again.
    fs::write(&settings, document["settings"].to_string()).expect("written");
    let again = Report::of(&calves, &how);
    assert_eq!(again.csv("adjusted.csv"), rows);
    assert_eq!(again.json("report.json")["as_of_from"], "the settings file");
}

#[test]
fn open_questions_are_said_and_options_settle_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("calves.csv");
    // No date of it shows whether the day or the month comes first.
    let text = CALVES
        .replace("2026-03-01", "3/1/2026")
        .replace("2026-03-11", "3/11/2026")
        .replace("2026-09-25", "9/10/2026");
    fs::write(&path, text).expect("written");
    let open = Report::of(&path, &[]);
    let questions =
        |report: &Report| report.json("report.json")["files"][0]["read_as"]["questions"].clone();
    assert_eq!(questions(&open)[0]["read_as"], "month first");
    assert!(open.run.out.contains("--date-order"), "{}", open.run.out);
    let age = |report: &Report| report.csv("adjusted.csv")[0]["age_days"].clone();
    assert_eq!(age(&open), "193");
    let settled = Report::of(&path, &["--date-order", "day-first"]);
    assert_eq!(questions(&settled), serde_json::json!([]));
    // 3 January to 9 October.
    assert_eq!(age(&settled), "279");
}

#[test]
fn a_file_without_the_viewer_or_with_it_keeps_its_word() {
    let folder = tempfile::tempdir().expect("a folder");
    let calves = calves_in(folder.path());
    let out = folder.path().join("out");
    let page = folder.path().join("results.html");
    let arguments = [
        "report".as_ref(),
        calves.as_os_str(),
        "--out".as_ref(),
        out.as_os_str(),
        "--results".as_ref(),
        page.as_os_str(),
    ];
    let run = fairpen(arguments);
    if repository("web/dist/results-template.html").is_file() {
        assert_eq!((run.code, run.err.as_str()), (0, ""));
        let text = fs::read_to_string(&page).expect("written");
        assert!(text.starts_with("<!doctype html>"));
        // A second run may replace its own page, and nobody else's.
        assert_eq!(fairpen(arguments).code, 0);
        fs::write(&page, "<p>my own page</p>").expect("written");
        refused(&fairpen(arguments), &["left alone"]);
    } else {
        refused(&run, &["without the results viewer", "cargo xtask build"]);
        assert!(!page.exists() && !out.exists());
    }
}
