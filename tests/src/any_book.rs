//! What must hold when any bytes are opened as a book, or played as a journal.
//!
//! Enters: bytes. Leaves: nothing; a broken promise ends the run with a message.
//! Always true: the property test and the fuzzer ask for the same promises: a file is refused with a sentence, or it
//! is a book whose results can be computed and which saves and opens to the same bytes again; a journal never stops
//! the program.
//! Never: asks that the bytes make sense.

use std::sync::OnceLock;

use fairpen_engine::book::{open, save};
use fairpen_engine::check::check;
use fairpen_engine::desk::Desk;
use fairpen_engine::results::Results;

use crate::packed::{overwritten, pack, parts};

/// A small book with rows, a text that was not understood, an own column and a remembered way of reading.
///
/// # Panics
/// Never: the book is sound.
pub fn sound() -> &'static [u8] {
    static BOOK: OnceLock<Vec<u8>> = OnceLock::new();
    BOOK.get_or_init(|| {
        let text = "Tag,Sex,Born,Birth wt,Dam,Sire,Place,Weaned,Wean wt,Temper\n\
                    1,heifer,2026-03-01,80,C1,B1,Pen 1,2026-09-28,512,2\n\
                    2,steer,2026-03-04,abt 85,C2,B1; B2,Creek,2026-09-28,530.5,3\n";
        let mut desk = Desk::new();
        desk.import_begin("calves.csv");
        desk.import_push(text.as_bytes()).expect("text");
        let imported = desk.import_finish().expect("a table");
        let mut plan = imported.plan.clone();
        plan.choose(9, fairpen_engine::import::plan::Target::Own);
        desk.import_by_plan(plan).expect("begun");
        desk.import_push(text.as_bytes()).expect("text");
        desk.import_finish().expect("a table");
        desk.import_commit(&"0".repeat(64)).expect("rows");
        desk.save().expect("saved")
    })
}

/// A file made of the bytes: as they are, or as one part of a sound book, which the first byte chooses.
pub fn file_of(bytes: &[u8]) -> Vec<u8> {
    let Some((&choice, rest)) = bytes.split_first() else {
        return Vec::new();
    };
    if choice % 16 == 0 {
        return rest.to_vec();
    }
    if choice % 16 == 1 {
        return overwritten(sound(), rest);
    }
    let mut all = parts(sound());
    let at = usize::from(choice) % all.len();
    let part = &mut all[at].1;
    *part = if choice & 0x40 == 0 {
        overwritten(part, rest)
    } else {
        rest.to_vec()
    };
    pack(&all)
}

/// Opens the bytes as a book and as a journal.
///
/// # Panics
/// When a promise is broken.
pub fn hold_to_promises(bytes: &[u8]) {
    match open::open(bytes) {
        Err(refused) => assert!(!refused.message().is_empty() && !refused.hint().is_empty()),
        Ok(book) => {
            let results = Results::recalculate(&book);
            let findings = check(&book, &results);
            let _said = findings.notes(&book, &results).count();
            let saved = save::save(&book).expect("what was opened can be saved");
            let again = open::open(&saved).expect("what was saved opens");
            let twice = save::save(&again).expect("and can be saved");
            assert!(saved == twice, "it opens to another book");
        }
    }
}

/// Plays bytes as a journal over a sound book: as they are, and as the payload of one sound record.
///
/// # Panics
/// When a promise is broken.
pub fn play(bytes: &[u8]) {
    let mut record = b"FPJ\x01".to_vec();
    let length = u32::try_from(bytes.len()).expect("a short text");
    record.extend(length.to_le_bytes());
    record.extend(crc32fast::hash(bytes).to_le_bytes());
    record.extend(bytes);
    for journal in [bytes, &record] {
        let mut desk = Desk::new();
        desk.open(sound()).expect("a sound book");
        let report = desk.replay(journal);
        assert_eq!(report.message.is_empty(), report.n_set_aside == 0);
        let saved = desk.save().expect("a book that can be saved");
        open::open(&saved).expect("what was saved opens");
    }
}
