//! Files brought into a book, with its journal.

use super::cells::column_texts;
use super::picture;
use fairpen_engine::book::digest::Digest;
use fairpen_engine::desk::Desk;
use fairpen_engine::import::merge::{MergeChoices, RowKind, Why};
use fairpen_engine::sheet::edit::Command;
use fairpen_engine::sheet::schema::SheetKind;

/// A desk with its journal and the files it was given.
#[derive(Default)]
pub struct Office {
    pub desk: Desk,
    pub journal: Vec<u8>,
    pub files: Vec<Vec<u8>>,
}

impl Office {
    pub fn new() -> Office {
        Office::default()
    }

    pub fn show(&mut self, name: &str, text: &str) {
        self.desk.import_begin(name);
        self.desk.import_push(text.as_bytes()).expect("text");
        self.desk.import_finish().expect("a table");
    }

    pub fn commit(&mut self, text: &str) {
        let digest = Digest::of(text.as_bytes());
        let record = self
            .desk
            .import_commit(&digest)
            .expect("something to bring");
        self.journal.extend(record);
        self.files.push(text.as_bytes().to_vec());
    }

    pub fn bring(&mut self, name: &str, text: &str) {
        self.show(name, text);
        self.commit(text);
    }

    pub fn choose(&mut self, choices: MergeChoices) {
        self.desk
            .import_merge(choices)
            .expect("rows that are there");
    }

    /// Kind and reason of every row of the file shown.
    pub fn rows(&self) -> Vec<(RowKind, Why)> {
        let shown = self.desk.import_merge_shown().expect("a sheet with rows");
        shown
            .merge
            .rows
            .iter()
            .map(|row| (row.kind, row.why))
            .collect()
    }

    pub fn column(&self, sheet: SheetKind, key: &str) -> Vec<String> {
        column_texts(self.desk.book().sheet(sheet), key)
    }

    /// Undo takes the last import back whole, redo brings it again, and the journal gives both.
    pub fn holds_together(mut self) {
        let after = picture(self.desk.book());
        let record = self.desk.undo().expect("the way back is open");
        assert_ne!(picture(self.desk.book()), after);
        let before = picture(self.desk.book());
        self.journal.extend(record);
        let undone = self.replayed();
        assert_eq!(picture(undone.book()), before);
        self.journal.extend(self.desk.redo().expect("and forth"));
        assert_eq!(picture(self.desk.book()), after);
        let mut again = self.replayed();
        assert_eq!(picture(again.book()), after);
        again.undo().expect("the way back is open");
        assert_eq!(picture(again.book()), before);
    }

    pub fn replayed(&self) -> Desk {
        let mut desk = Desk::new();
        for file in &self.files {
            desk.provide_file(file.clone());
        }
        let report = desk.replay(&self.journal);
        assert_eq!(report.message, "");
        desk
    }

    /// Makes a change and keeps its record.
    pub fn change(&mut self, command: Command) {
        let record = self.desk.change(command).expect("it can be done");
        self.journal.extend(record);
    }

    /// Takes rows off by their permanent keys.
    pub fn take_off(&mut self, sheet: SheetKind, rows: &[u32]) {
        self.change(Command::TakeOff {
            sheet,
            rows: rows.to_vec(),
        });
    }
}
