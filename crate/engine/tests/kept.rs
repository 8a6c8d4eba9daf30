//! What is kept: the saved book and the journal give back the book, and no bytes make them panic.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::{Deed, FILES, act, deed, desk_with_rows, picture};
use fairpen_engine::book::{journal, open::open, save::save};
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::replay::need_files;
use fairpen_engine::sheet::schema::SheetKind;
use proptest::prelude::*;

/// Plays records again on a fresh desk, with the files they need.
fn replayed(records: &[u8]) -> (Desk, fairpen_engine::desk::replay::ReplayReport) {
    let mut desk = Desk::new();
    let needed = need_files(records);
    let mut given = Vec::new();
    for (_, text) in FILES {
        given.push(desk.provide_file(text.as_bytes().to_vec()));
    }
    assert!(needed.iter().all(|digest| given.contains(digest)));
    let report = desk.replay(records);
    (desk, report)
}

proptest! {
    #[test]
    fn a_saved_book_opens_cell_for_cell(deeds in prop::collection::vec(deed(), 0..25)) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let bytes = save(desk.book()).expect("it fits in memory");
        let opened = open(&bytes).expect("our own bytes open");
        prop_assert_eq!(picture(&opened), picture(desk.book()));
        prop_assert_eq!(save(&opened).expect("it fits in memory"), bytes, "the same book, the same bytes");
    }

    #[test]
    fn the_journal_gives_back_book_and_history(deeds in prop::collection::vec(deed(), 0..30)) {
        let mut desk = Desk::new();
        let mut records = Vec::new();
        for deed in &deeds {
            if let Ok(record) = act(&mut desk, deed) {
                records.extend(record);
            }
        }
        let (mut again, report) = replayed(&records);
        prop_assert_eq!(&report.message, "");
        prop_assert_eq!(report.n_set_aside, 0);
        prop_assert_eq!(picture(again.book()), picture(desk.book()));
        prop_assert_eq!(again.history().undo_words(), desk.history().undo_words());
        prop_assert_eq!(again.history().redo_words(), desk.history().redo_words());
        again.undo().expect("the way back is open");
        desk.undo().expect("the way back is open");
        prop_assert_eq!(picture(again.book()), picture(desk.book()));
    }

    #[test]
    fn a_snapshot_and_later_records_give_back_the_book(
        before in prop::collection::vec(deed(), 0..10),
        after in prop::collection::vec(deed(), 0..10),
    ) {
        let mut desk = desk_with_rows();
        for deed in &before {
            let _refused = act(&mut desk, deed);
        }
        let snapshot = desk.save().expect("it fits in memory");
        let mut records = Vec::new();
        for deed in &after {
            if let Ok(record) = act(&mut desk, deed) {
                records.extend(record);
            }
        }
        let mut again = Desk::new();
        again.open(&snapshot).expect("our own bytes open");
        for (_, text) in FILES {
            again.provide_file(text.as_bytes().to_vec());
        }
        let report = again.replay(&records);
        prop_assert_eq!(&report.message, "");
        prop_assert_eq!(picture(again.book()), picture(desk.book()));
    }

    #[test]
    fn no_bytes_make_opening_panic(
        places in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8),
        cut in any::<prop::sample::Index>(),
        cuts in any::<bool>(),
    ) {
        let mut desk = desk_with_rows();
        for sheet in 0..2 {
            act(&mut desk, &Deed::TakeOff(sheet, vec![1, 3])).expect("they are there");
        }
        let mut bytes = save(desk.book()).expect("it fits in memory");
        for (place, byte) in places {
            let at = place.index(bytes.len());
            bytes[at] = byte;
        }
        if cuts {
            bytes.truncate(cut.index(bytes.len()));
        }
        if let Err(refusal) = open(&bytes) {
            prop_assert!(!refusal.message().is_empty() && !refusal.hint().is_empty());
        }
    }

    #[test]
    fn no_bytes_make_replay_panic(
        places in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        cut in any::<prop::sample::Index>(),
        junk in prop::collection::vec(any::<u8>(), 0..40),
    ) {
        let mut desk = Desk::new();
        let mut records = Vec::new();
        for which in 0..3 {
            records.extend(act(&mut desk, &Deed::Import(which)).expect("a sound file"));
            records.extend(desk.undo().expect("the way back is open"));
            records.extend(desk.redo().expect("the way on is open"));
        }
        for (place, byte) in places {
            let at = place.index(records.len());
            records[at] = byte;
        }
        records.truncate(cut.index(records.len() + 1));
        records.extend(junk);
        let n_whole = journal::decode(&records).records.len() as u32;
        let (again, report) = replayed_with(&records);
        prop_assert!(report.n_applied <= n_whole);
        prop_assert_eq!(report.n_set_aside == 0, report.message.is_empty());
        picture(again.book());
    }

    #[test]
    fn hostile_descriptions_are_refused_or_read(description in ".{0,200}", settings in ".{0,200}") {
        let bytes = zip_of(&[("datapackage.json", description.as_bytes()), ("settings.json", settings.as_bytes())]);
        prop_assert!(open(&bytes).is_err());
    }
}

fn replayed_with(records: &[u8]) -> (Desk, fairpen_engine::desk::replay::ReplayReport) {
    let mut desk = Desk::new();
    for (_, text) in FILES {
        desk.provide_file(text.as_bytes().to_vec());
    }
    let report = desk.replay(records);
    (desk, report)
}

fn zip_of(files: &[(&str, &[u8])]) -> Vec<u8> {
    use std::io::Write;
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated);
    for (name, bytes) in files {
        zip.start_file(*name, options).expect("a fresh file");
        zip.write_all(bytes).expect("memory takes it");
    }
    zip.finish().expect("memory takes it").into_inner()
}

const SETTINGS: &[u8] = br#"{"format":"fairpen-book","version":1}"#;

fn code_of(files: &[(&str, &[u8])]) -> &'static str {
    open(&zip_of(files))
        .map(|_| ())
        .expect_err("refused")
        .code()
}

fn descriptor(resources: &str) -> Vec<u8> {
    format!(r#"{{"resources":[{resources}]}}"#).into_bytes()
}

#[test]
fn odd_files_are_refused_in_plain_words() {
    assert_eq!(
        open(b"Tag,Sex\n1,heifer\n")
            .map(|_| ())
            .expect_err("refused")
            .code(),
        "book.not_a_book"
    );
    assert_eq!(
        code_of(&[("word/document.xml", b"<xml/>")]),
        "book.not_a_book"
    );
    assert_eq!(
        code_of(&[
            ("settings.json", br#"{"format":"other","version":1}"#),
            ("datapackage.json", b"{}")
        ]),
        "book.not_a_book"
    );
    assert_eq!(
        code_of(&[
            (
                "settings.json",
                br#"{"format":"fairpen-book","version":99}"#
            ),
            ("datapackage.json", b"{}")
        ]),
        "book.later_version"
    );
    assert_eq!(
        code_of(&[("settings.json", SETTINGS), ("datapackage.json", b"[]")]),
        "book.description"
    );
    let missing =
        descriptor(r#"{"name":"calves","path":"../../etc/passwd","schema":{"fields":[]}}"#);
    assert_eq!(
        code_of(&[("settings.json", SETTINGS), ("datapackage.json", &missing)]),
        "book.file_missing"
    );
    let calves = descriptor(r#"{"name":"calves","path":"calves.csv","schema":{"fields":[]}}"#);
    let with = |csv: &[u8]| {
        code_of(&[
            ("settings.json", SETTINGS),
            ("datapackage.json", &calves),
            ("calves.csv", csv),
        ])
    };
    assert_eq!(with(b"tag,tag\n1,2\n"), "book.sheet.columns");
    assert_eq!(with(b"tag,sex\n1,heifer,x\n"), "book.sheet.too_many_cells");
    assert_eq!(with(b"tag\n\xff\xfe\n"), "book.sheet.unreadable");
    let unsound = br#"{"format":"fairpen-book","version":1,"settings":{"window_from_days":300}}"#;
    assert_eq!(
        code_of(&[("settings.json", unsound), ("datapackage.json", &calves)]),
        "sheet.settings.window"
    );
}

#[test]
fn a_file_that_unpacks_without_end_is_refused() {
    // 1 GiB and some of blank lines pack into about a megabyte.
    let blank = vec![b' '; (1 << 20) * 12];
    let zip = zip_of(&[("settings.json", &blank), ("datapackage.json", b"{}")]);
    assert!(zip.len() < 1 << 20);
    assert_eq!(
        open(&zip).map(|_| ()).expect_err("refused").code(),
        "book.too_large"
    );
    let many: Vec<(String, Vec<u8>)> = (0..100).map(|n| (format!("{n}.csv"), Vec::new())).collect();
    let many: Vec<(&str, &[u8])> = many
        .iter()
        .map(|(n, b)| (n.as_str(), b.as_slice()))
        .collect();
    assert_eq!(code_of(&many), "book.too_large");
}

#[test]
fn a_book_that_another_program_changed_still_opens() {
    let calves = descriptor(
        r#"{"name":"calves","path":"calves.csv","schema":{"fields":[{"name":"tag"},{"name":"wean_weight"}]}},
           {"name":"somebody_elses","path":"else.csv","schema":{"fields":[]}}"#,
    );
    let csv =
        b"tag,wean_weight,Frame,sex,birth_date\n4017,\"512 lb\",5,HFR,3/14/2026\n4018,heavy\n";
    let book = open(&zip_of(&[
        ("settings.json", SETTINGS),
        ("datapackage.json", &calves),
        ("calves.csv", csv),
    ]))
    .expect("it opens");
    let shown = |key: &str, row: usize| book.calves().column(key).expect("there").shown(row);
    assert_eq!(shown("wean_weight", 0), "512");
    assert_eq!(shown("sex", 0), "heifer");
    assert_eq!(shown("birth_date", 0), "2026-03-14");
    assert_eq!(shown("frame", 0), "5");
    assert_eq!(shown("wean_weight", 1), "heavy");
    assert!(
        book.calves()
            .known("wean_weight")
            .numbers()
            .expect("weights")[1]
            .is_nan()
    );
}

#[test]
fn rows_taken_off_are_taken_as_they_come() {
    let described = descriptor(
        r#"{"name":"calves","path":"calves.csv","schema":{"fields":[{"name":"tag"}]}},
           {"name":"taken_off_calves","path":"off.csv","schema":{"fields":[{"name":"tag"},
             {"name":"key","fairpen":{"origin":"row_key"}}]}},
           {"name":"taken_off_unreadable","path":"texts.csv","schema":{"fields":[]}}"#,
    );
    let with = |off: &[u8]| {
        open(&zip_of(&[
            ("settings.json", SETTINGS),
            ("datapackage.json", &described),
            ("calves.csv", b"tag\n1\n2\n3\n"),
            ("off.csv", off),
            (
                "texts.csv",
                b"sheet,row,column,text\ncalves,2,wean_weight,abt 500\n",
            ),
        ]))
        .expect("it opens")
    };
    let keys = |book: &fairpen_engine::sheet::workbook::Workbook| {
        let calves = book.calves();
        let on: Vec<u32> = (0..3).map(|row| calves.key_of(row)).collect();
        let off = calves.taken_off().expect("two rows");
        assert_eq!(off.rows().known("tag").shown(1), "9");
        assert_eq!(off.rows().known("wean_weight").shown(1), "abt 500");
        (on, off.keys().to_vec())
    };
    assert_eq!(
        keys(&with(b"tag,key\n8,1\n9,3\n")),
        (vec![0, 2, 4], vec![1, 3])
    );
    // Keys that cannot be: the rows are there all the same, behind the others.
    for nonsense in [
        &b"tag,key\n8,3\n9,1\n"[..],
        b"tag,key\n8,1\n9,1\n",
        b"tag,key\n8,1\n9,5\n",
        b"tag,key\n8,\n9,4294967295\n",
        b"tag\n8\n9\n",
    ] {
        assert_eq!(keys(&with(nonsense)), (vec![0, 1, 2], vec![3, 4]));
    }
}

#[test]
fn a_change_that_fails_on_replay_is_set_aside_and_said() {
    let mut desk = Desk::new();
    let import = act(&mut desk, &Deed::Import(0)).expect("a sound file");
    let rows = act(
        &mut desk,
        &Deed::AddRows(0, 1, vec![(0, 0, "99".to_owned())]),
    )
    .expect("sound");
    let typed = act(&mut desk, &Deed::Type(0, vec![(0, 0, "98".to_owned())])).expect("sound");
    let cows = act(
        &mut desk,
        &Deed::AddRows(1, 1, vec![(0, 0, "12".to_owned())]),
    )
    .expect("sound");
    let records: Vec<u8> = [import, rows, typed, cows].concat();

    let mut without_file = Desk::new();
    let report = without_file.replay(&records);
    assert_eq!((report.n_applied, report.n_set_aside), (1, 3));
    assert!(report.message.contains("calves.csv"), "{}", report.message);
    // Nothing landed on rows it does not belong to; what stands alone came back.
    assert_eq!(without_file.book().calves().n_rows(), 0);
    assert_eq!(
        without_file
            .book()
            .sheet(fairpen_engine::sheet::schema::SheetKind::Cows)
            .n_rows(),
        1
    );
}

#[test]
fn a_damaged_tail_is_set_aside_and_said() {
    let mut desk = Desk::new();
    let mut records = act(&mut desk, &Deed::Import(0)).expect("a sound file");
    let whole = picture(desk.book());
    let last = act(&mut desk, &Deed::Type(0, vec![(0, 0, "98".to_owned())])).expect("sound");
    records.extend(&last[..last.len() - 3]);
    let (again, report) = replayed_with(&records);
    assert_eq!((report.n_applied, report.n_set_aside), (1, 1));
    assert!(report.message.contains("damaged"), "{}", report.message);
    assert_eq!(picture(again.book()), whole);
}

/// Version 1 of both forms, as written when it was new: later versions must still read them.
#[test]
fn the_first_version_opens() {
    let record = include_bytes!("kept/version-1.journal");
    let mut desk = Desk::new();
    let report = desk.replay(record);
    assert_eq!(
        (
            report.n_applied,
            report.n_set_aside,
            report.message.as_str()
        ),
        (3, 0, "")
    );
    let from_journal = picture(desk.book());
    let opened = open(include_bytes!("kept/version-1.zip")).expect("it opens");
    assert_eq!(picture(&opened), from_journal);
}

/// Every version of the forms leaves its files for later versions to open. `cargo xtask bless` writes those of
/// a new version, and never over files that are there.
#[test]
fn the_files_of_this_version_are_kept() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/kept");
    let version = journal::VERSION;
    let [records_at, book_at] =
        ["journal", "zip"].map(|ending| folder.join(format!("version-{version}.{ending}")));
    if std::env::var_os("FAIRPEN_BLESS").is_some() && !records_at.exists() && !book_at.exists() {
        let (records, book) = files_of_this_version();
        std::fs::write(&records_at, records).expect("it can be written");
        std::fs::write(&book_at, book).expect("it can be written");
    }
    assert!(
        records_at.exists() && book_at.exists(),
        "the files of version {version} are missing: run `cargo xtask bless`"
    );
}

/// A journal and the book it comes to.
fn files_of_this_version() -> (Vec<u8>, Vec<u8>) {
    let mut desk = Desk::new();
    let mut records = Vec::new();
    for deed in [
        Deed::AddRows(
            0,
            2,
            vec![
                (0, 0, "4017".to_owned()),
                (0, 1, "hfr".to_owned()),
                (0, 2, "2026-03-14".to_owned()),
                (0, 9, "512.5".to_owned()),
                (1, 9, "abt 500".to_owned()),
                (1, 11, "=1+1".to_owned()),
            ],
        ),
        Deed::AddColumn(0, "Frame".to_owned()),
        Deed::Settings(true, 260, true, "Two barns".to_owned()),
    ] {
        records.extend(act(&mut desk, &deed).expect("sound"));
    }
    (records, desk.save().expect("it fits in memory"))
}

#[test]
fn looks_from_elsewhere_are_read_or_refused() {
    let with_looks = |looks: &str| {
        zip_of(&[
            ("settings.json", SETTINGS),
            ("datapackage.json", &descriptor("")),
            ("looks.json", looks.as_bytes()),
        ])
    };
    let code = |looks: &str| {
        open(&with_looks(looks))
            .map(|_| ())
            .expect_err("refused")
            .code()
    };
    // What is not known is passed over, what is missing is as usual, a column need not be there.
    let looks = r#"{"format":"fairpen-book","later":1,"sheets":[
        {"sheet":"moons","present":{"frozen":3}},
        {"sheet":"calves","present":{"frozen":2,"later":[]},
         "views":[{"name":"Fall","look":{"columns":[{"column":"gone"},{"column":"tag","shown":false}]}},{"name":"Plain"}]}]}"#;
    let book = open(&with_looks(looks)).expect("sound looks");
    let calves = book.looks.of(SheetKind::Calves);
    assert_eq!(calves.present.n_frozen, 2);
    assert_eq!(calves.views["Fall"].columns[1].shown, Some(false));
    assert_eq!(
        calves.views["Fall"].missing(&["tag".to_owned()]),
        ["gone".to_owned()]
    );
    assert!(calves.views["Plain"].is_plain());

    assert_eq!(code("[]"), "book.description");
    assert_eq!(
        code(r#"{"format":"","sheets":[{"sheet":"calves","views":[{"name":" "}]}]}"#),
        "sheet.view.name"
    );
    assert_eq!(
        code(
            r#"{"format":"","sheets":[{"sheet":"calves","present":{"columns":[{"column":"a"},{"column":"a"}]}}]}"#
        ),
        "sheet.look.sound"
    );
    assert_eq!(
        code(r#"{"format":"","sheets":[{"sheet":"calves","present":{"widths":{"tag":70000}}}]}"#),
        "book.description"
    );
}
