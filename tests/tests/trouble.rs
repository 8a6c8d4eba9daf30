//! The book of troubles: every row has one thing wrong, listed beside it, and the check must say so at that
//! line and column.

use std::collections::BTreeSet;

use fairpen_engine::check::check;
use fairpen_engine::results::Results;
use fairpen_tests::books::{day, folder};
use fairpen_tests::reference::repository;

/// (line, column, code) of every note of a sample book.
fn notes(name: &str) -> BTreeSet<(u32, String, &'static str)> {
    let mut book = folder(&repository("sample-books").join(name));
    book.settings.as_of = day("2026-11-25");
    let results = Results::recalculate(&book);
    let findings = check(&book, &results);
    let notes: Vec<_> = findings.notes(&book, &results).collect();
    assert_eq!(notes.len(), findings.len());
    for note in &notes {
        assert!(
            note.message.ends_with('.') && note.hint.ends_with('.'),
            "{note:?}"
        );
        assert!(
            !note.message.contains('!') && !note.hint.contains('!'),
            "{note:?}"
        );
    }
    notes
        .into_iter()
        .map(|note| {
            (
                note.place.line.unwrap_or(1),
                note.place.column.unwrap_or_default(),
                note.code,
            )
        })
        .collect()
}

#[test]
fn every_listed_trouble_is_found_where_it_is() {
    let found = notes("trouble");
    let path = repository("tests/suite/import/trouble.expect.csv");
    let mut missed = Vec::new();
    let mut n_listed = 0;
    for record in csv::Reader::from_path(path).expect("the list").records() {
        let record = record.expect("a row");
        let (line, column, code) = (&record[0], &record[1], &record[2]);
        if !code.starts_with("check.") {
            continue;
        }
        n_listed += 1;
        let line: u32 = line.parse().expect("a line number");
        if !found
            .iter()
            .any(|(at, in_column, found)| *at == line && in_column == column && *found == code)
        {
            missed.push(format!("{line} {column} {code}"));
        }
    }
    assert!(n_listed > 40, "the list was read: {n_listed}");
    assert!(missed.is_empty(), "{missed:#?}\nfound {found:#?}");
}

#[test]
fn rounded_and_averaged_weights_are_found() {
    let found = notes("rounded-scale");
    for code in ["check.weight.rounded", "check.weight.same"] {
        assert!(
            found
                .iter()
                .any(|(_, column, found)| *found == code && column == "wean_weight"),
            "{code} in {found:?}"
        );
    }
}

#[test]
fn a_sound_book_draws_no_error() {
    let mut book = folder(&repository("sample-books/two-barns"));
    book.settings.as_of = day("2026-11-25");
    let results = Results::recalculate(&book);
    let findings = check(&book, &results);
    let errors: Vec<_> = findings
        .notes(&book, &results)
        .filter(|note| note.severity != fairpen_engine::note::Severity::Remark)
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
}
