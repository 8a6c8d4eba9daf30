//! Columns said by hand, and files read as a saved book read one like them.

mod run;

use std::fs;
use std::path::Path;

use fairpen_engine::desk::Desk;
use fairpen_engine::import::plan::{DateOrder, Target};
use run::{Report, fairpen, number, same};

const HERD: &str = "Nr,Sort,Came,Wt 1,Off,Wt 2\n\
    1,heifer,3/4/2026,78,9/28/2026,512\n\
    2,heifer,3/6/2026,80,9/28/2026,540\n";

fn herd(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("calves.csv");
    fs::write(&path, HERD).expect("written");
    path
}

#[test]
fn columns_said_by_hand_are_used() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = herd(folder.path());
    let report = Report::of(
        &path,
        &[
            "--column",
            "Sort=sex",
            "--column",
            "came=birth_date",
            "--column",
            "Wt 1=birth_weight",
            "--column",
            "Off=wean_date",
            "--column",
            "Wt 2=wean_weight",
        ],
    );
    let rows = report.csv("adjusted.csv");
    // From March 4 to September 28 are 208 days.
    same("age", number(&rows[0]["age_days"]), Some(208.0));
    assert!(number(&rows[0]["adj_205_weight"]).is_some());
    let headers = &report.json("report.json")["files"][0]["read_as"]["headers"];
    assert_eq!(headers[3]["column"], "birth_weight");
}

#[test]
fn a_column_that_is_not_there_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = herd(folder.path());
    for (said, words) in [
        ("Wt 3=wean_weight", "No file has a column \"Wt 3\""),
        ("Wt 2=came_as", "No file has a column \"Wt 2\""),
        ("Wt 2=colour", "no sheet has a column \"colour\""),
        ("wean_weight", "Header=key"),
    ] {
        let run = fairpen([
            "check".as_ref(),
            path.as_os_str(),
            "--column".as_ref(),
            said.as_ref(),
        ]);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{said}");
        assert!(run.err.contains(words), "{said}: {}", run.err);
    }
}

#[test]
fn a_file_is_read_as_a_book_read_one_like_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = herd(folder.path());
    let mut desk = Desk::new();
    desk.import_begin("first.csv");
    desk.import_push(HERD.as_bytes()).expect("text");
    let mut plan = desk.import_finish().expect("a table").plan.clone();
    for (at, key) in [
        (1, "sex"),
        (2, "birth_date"),
        (3, "birth_weight"),
        (4, "wean_date"),
        (5, "wean_weight"),
    ] {
        plan.choose(at, Target::Known(key.to_owned()));
    }
    plan.choose_this_sheet();
    plan.choose_date_order(DateOrder::MonthFirst);
    desk.import_by_plan(plan).expect("begun");
    desk.import_push(HERD.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
    desk.import_commit(&"0".repeat(64)).expect("rows");
    let book = folder.path().join("book.zip");
    fs::write(&book, desk.save().expect("saved")).expect("written");

    let like = book.to_str().expect("UTF-8");
    let report = Report::of(&path, &["--like", like]);
    let rows = report.csv("adjusted.csv");
    same("age", number(&rows[0]["age_days"]), Some(208.0));
    let said = report
        .csv("problems.csv")
        .into_iter()
        .find(|row| row["code"] == "import.recalled")
        .expect("it is said");
    assert!(said["message"].contains("first.csv"), "{said:?}");
}
