//! Any bytes opened as a spreadsheet file, as a book and as a journal keep the promises of both.

use fairpen_tests::{any_book, any_spreadsheet};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn a_spreadsheet_file_is_read_or_refused(
        choice in 0_u8..9,
        rest in prop_oneof![
            prop::collection::vec(any::<u8>(), 0..300),
            "[ -~]{0,120}".prop_map(String::into_bytes),
        ],
    ) {
        let bytes: Vec<u8> = [choice].into_iter().chain(rest).collect();
        any_spreadsheet::hold_to_promises(&any_spreadsheet::file_of(&bytes));
    }

    #[test]
    fn a_book_is_opened_or_refused(
        choice in any::<u8>(),
        rest in prop_oneof![
            prop::collection::vec(any::<u8>(), 0..80),
            "[ -~]{0,80}".prop_map(String::into_bytes),
        ],
    ) {
        let bytes: Vec<u8> = [choice].into_iter().chain(rest).collect();
        any_book::hold_to_promises(&any_book::file_of(&bytes));
    }

    #[test]
    fn a_journal_never_stops_the_program(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        any_book::play(&bytes);
    }
}

#[test]
fn sound_files_are_opened() {
    any_book::hold_to_promises(any_book::sound());
    assert!(fairpen_engine::book::open::open(any_book::sound()).is_ok());
    any_book::play(
        br#"{"way":"done","words":"x","command":{"remember":[{"headers":["b","a"],"way":null}]}}"#,
    );
    // The parts of the file that the fuzzer exchanges are found: nothing exchanged is the file itself.
    for choice in [2_u8, 4, 5, 6] {
        let file = any_spreadsheet::file_of(&[choice]);
        let mut file = fairpen_wasm_spreadsheet::file::File::open(file).expect("a sound file");
        assert!(!file.sheets().expect("sheets").is_empty());
    }
    let ods = r#"<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet><table:table table:name="A"><table:table-row><table:table-cell office:value-type="string"><text:p>Tag</text:p></table:table-cell></table:table-row></table:table></office:spreadsheet></office:body></office:document-content>"#;
    let file = any_spreadsheet::file_of(&[&[8], ods.as_bytes()].concat());
    let mut file = fairpen_wasm_spreadsheet::file::File::open(file).expect("a sound file");
    assert_eq!(file.sheets().expect("sheets")[0].name, "A");
}

#[test]
fn a_column_without_a_header_keeps_its_name_from_one_saving_to_the_next() {
    // The first letter of a header is a comma: found by fuzzing.
    any_book::hold_to_promises(&any_book::file_of(b"27v,"));
}
