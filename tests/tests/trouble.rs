//! What the check says of whole sample books. The book of troubles is held to its list in `imported_files`.

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
