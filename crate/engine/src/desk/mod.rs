//! The book in hand: a workbook with its results, its history and the views of its sheets.
//!
//! Enters: commands, journal records, saved books. Leaves: journal records to append, and everything that
//! is shown.
//! Always true: results belong to the book as it stands; a refused change changes nothing; every accepted
//! change gives exactly one journal record, and playing the records again gives the same book.
//! Never: touches storage, the clock or the screen. The page's boundary and tests are built on this alone.

pub mod animal;
pub mod bring_in;
pub mod columns;
pub mod formulas;
pub mod looks;
pub mod pad;
pub mod problems;
pub mod range;
pub mod replace;
pub mod replay;
pub mod rows;
pub mod summary;
pub mod views;

use std::cell::OnceCell;
use std::collections::BTreeMap;

use crate::animals::find::Animals;
use crate::book::digest::Digest;
use crate::book::record::{Record, Way, command_form};
use crate::book::{journal, open, save};
use crate::check::Findings;
use crate::error::Error;
use crate::results::Results;
use crate::results::made::Made;
use crate::sheet::apply::apply;
use crate::sheet::edit::Command;
use crate::sheet::history::{History, Step};
use crate::sheet::resolve::resolve;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The book in hand.
#[derive(Default)]
pub struct Desk {
    book: Workbook,
    results: Results,
    /// What is doubtful; looked for when first asked after a change.
    findings: OnceCell<Findings>,
    /// The names of all animals; each sheet read when first asked after a change.
    animals: Animals,
    history: History,
    /// A file being brought in.
    bringing_in: Option<bring_in::BringingIn>,
    /// Permanent keys of the rows shown per sheet, in order; `None` for all rows as they stand.
    shown: [Option<Vec<u32>>; SheetKind::ALL.len()],
    /// Rows hidden and put in, per sheet.
    placing: [rows::Placing; SheetKind::ALL.len()],
    /// Files given for replay, by digest.
    files: BTreeMap<String, Vec<u8>>,
}

/// The label of a column that the engine makes.
fn computed(sheet: SheetKind, key: &str) -> Option<&'static str> {
    Made::from_key(sheet, key).map(|column| column.about().label)
}

impl Desk {
    /// An empty book.
    pub fn new() -> Desk {
        let mut desk = Desk::default();
        desk.recalculate();
        desk
    }

    /// The book.
    pub fn book(&self) -> &Workbook {
        &self.book
    }

    /// What follows from it.
    pub fn results(&self) -> &Results {
        &self.results
    }

    /// What can be undone and redone.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// Opens a saved book in place of this one. Nothing changes when it is refused.
    ///
    /// # Errors
    /// `book.*`, see [`open::open`].
    pub fn open(&mut self, bytes: &[u8]) -> Result<(), Error> {
        self.book = open::open(bytes)?;
        self.history.clear();
        self.shown = Default::default();
        self.placing = Default::default();
        self.after_change();
        Ok(())
    }

    /// The book as bytes.
    ///
    /// # Errors
    /// `book.save`.
    pub fn save(&self) -> Result<Vec<u8>, Error> {
        save::save(&self.book)
    }

    /// Makes a change and gives the journal record to append before the change is acknowledged.
    ///
    /// # Errors
    /// `sheet.*`; nothing changed then.
    pub fn change(&mut self, command: Command) -> Result<Vec<u8>, Error> {
        let command = self.resolved(command)?;
        let words = command.words(&self.book);
        self.change_called(command, words)
    }

    /// A command made definite, or a refusal.
    fn resolved(&self, command: Command) -> Result<Command, Error> {
        self.refuse_formulas(&command)?;
        self.refuse_removal(&command)?;
        resolve(&self.book, command, computed)
    }

    /// The names of all animals of the book.
    pub fn animals(&self) -> &Animals {
        &self.animals
    }

    /// Makes a resolved change under these words.
    fn change_called(&mut self, command: Command, words: String) -> Result<Vec<u8>, Error> {
        let record = self.record(Way::Done, &words, &command)?;
        let of_looks = command.is_of_looks();
        let back = apply(&mut self.book, command)?;
        self.history.did(words, back);
        self.after(of_looks);
        Ok(record)
    }

    /// Takes the last change back; no bytes when there is none.
    ///
    /// # Errors
    /// `sheet.*`, when the way back is closed; nothing changed then.
    pub fn undo(&mut self) -> Result<Vec<u8>, Error> {
        let Some(Step { words, command }) = self.history.take_undo() else {
            return Ok(Vec::new());
        };
        let record = self.record(Way::Undone, &words, &command)?;
        let of_looks = command.is_of_looks();
        let again = apply(&mut self.book, command)?;
        self.history.undid(words, again);
        self.after(of_looks);
        Ok(record)
    }

    /// Does the change taken back last again; no bytes when there is none.
    ///
    /// # Errors
    /// `sheet.*`, when the change is not possible any more; nothing changed then.
    pub fn redo(&mut self) -> Result<Vec<u8>, Error> {
        let Some(Step { words, command }) = self.history.take_redo() else {
            return Ok(Vec::new());
        };
        let record = self.record(Way::Redone, &words, &command)?;
        let of_looks = command.is_of_looks();
        let back = apply(&mut self.book, command)?;
        self.history.redid(words, back);
        self.after(of_looks);
        Ok(record)
    }

    /// Keeps a file for replay and gives its digest.
    pub fn provide_file(&mut self, bytes: Vec<u8>) -> String {
        let digest = Digest::of(&bytes);
        self.files.insert(digest.clone(), bytes);
        digest
    }

    fn record(&self, way: Way, words: &str, command: &Command) -> Result<Vec<u8>, Error> {
        let command = command_form(&self.book, command).ok_or_else(|| {
            Error::new(
                "sheet.not_resolved",
                "This change was not read before it was made.",
                "This is a fault in the program: please report it.",
            )
        })?;
        Ok(journal::encode(&Record {
            way,
            words: words.to_owned(),
            command,
        }))
    }

    /// No result depends on a look.
    fn after(&mut self, of_looks: bool) {
        if !of_looks {
            self.after_change();
        }
    }

    fn after_change(&mut self) {
        self.recalculate();
        for kind in SheetKind::ALL {
            self.follow_rows(kind);
        }
    }

    fn recalculate(&mut self) {
        self.results = Results::recalculate(&self.book);
        self.findings = OnceCell::new();
        self.animals = Animals::new();
    }
}
