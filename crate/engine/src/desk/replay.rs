//! Playing the journal again.
//!
//! Enters: journal bytes, and the files that its imports refer to. Leaves: the book as it was, and a
//! report of what could not be done.
//! Always true: a record that does not fit is set aside and said, and so is everything behind damage;
//! what follows a record set aside is applied only where it still belongs (row counts are checked).
//! Never: stops or panics on a damaged journal.

use crate::note::counted;

use super::Desk;
use crate::book::journal;
use crate::book::record::{NotReady, Record, Way, command_from, files_needed};
use crate::import::{ImportOptions, read_all};
use crate::sheet::apply::apply;
use crate::sheet::edit::ImportOrigin;
use crate::sheet::resolve::resolve;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// What became of the records.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReplayReport {
    /// Records applied.
    pub n_applied: u32,
    /// Records set aside, and one for a damaged end.
    pub n_set_aside: u32,
    /// What a person must know; empty when everything was applied.
    pub message: String,
}

/// The digests of the files that the records refer to, each once, in order.
pub fn need_files(records: &[u8]) -> Vec<String> {
    let mut digests: Vec<String> = Vec::new();
    for record in journal::decode(records).records.into_iter().flatten() {
        for digest in files_needed(&record.command) {
            if !digests.contains(&digest) {
                digests.push(digest);
            }
        }
    }
    digests
}

impl Desk {
    /// Applies records to the book in hand. Files given for it are let go afterwards.
    pub fn replay(&mut self, records: &[u8]) -> ReplayReport {
        let read = journal::decode(records);
        let mut report = ReplayReport::default();
        let mut reasons: Vec<String> = Vec::new();
        for record in read.records {
            let outcome = match record {
                Some(record) => self.replay_one(record),
                None => Err("a change written by a later version of Fairpen".to_owned()),
            };
            match outcome {
                Ok(()) => report.n_applied += 1,
                Err(reason) => {
                    report.n_set_aside += 1;
                    reasons.push(reason);
                }
            }
        }
        if read.n_damaged_bytes > 0 {
            report.n_set_aside += 1;
            reasons.push(format!(
                "the end of the journal, which is damaged ({})",
                counted(read.n_damaged_bytes, "byte")
            ));
        }
        report.message = message(&reasons);
        self.files.clear();
        self.shown = Default::default();
        self.placing = Default::default();
        self.after_change();
        report
    }

    /// Applies one record, or says in words what was set aside.
    fn replay_one(&mut self, record: Record) -> Result<(), String> {
        let set_aside = |words: &str, why: &str| format!("{words}: {why}");
        let words = record.words;
        let (book, files) = (&self.book, &self.files);
        let mut rows_of_file = |origin: &ImportOrigin, n_rows: u32| {
            let bytes = files
                .get(&origin.digest)
                .ok_or_else(|| "its file is not there any more".to_owned())?;
            read_again(bytes, origin, n_rows, book)
        };
        let command = match command_from(book, record.command, &mut rows_of_file) {
            Ok(command) => resolve(book, command, super::computed)
                .map_err(|refusal| set_aside(&words, refusal.message()))?,
            Err(NotReady::OtherBook) => {
                return Err(set_aside(&words, "it does not belong to this book"));
            }
            Err(NotReady::File(why)) => return Err(set_aside(&words, &why)),
        };
        let step = match record.way {
            Way::Done | Way::Aside => None,
            Way::Undone => self.history.take_undo(),
            Way::Redone => self.history.take_redo(),
        };
        match apply(&mut self.book, command) {
            Ok(inverse) => {
                match record.way {
                    Way::Done => self.history.did(words, inverse),
                    Way::Undone => self.history.undid(words, inverse),
                    Way::Redone => self.history.redid(words, inverse),
                    Way::Aside => {}
                }
                Ok(())
            }
            Err(refusal) => {
                // The step stays where it was.
                if let Some(step) = step {
                    match record.way {
                        Way::Undone => self.history.redid(step.words, step.command),
                        _ => self.history.undid(step.words, step.command),
                    }
                }
                Err(set_aside(&words, refusal.message()))
            }
        }
    }
}

fn message(reasons: &[String]) -> String {
    match reasons {
        [] => String::new(),
        [one] => format!("One change could not be brought back and was set aside: {one}."),
        many => {
            let listed: Vec<&str> = many.iter().take(5).map(String::as_str).collect();
            let more = if many.len() > 5 {
                format!("; and {} more", many.len() - 5)
            } else {
                String::new()
            };
            format!(
                "{} changes could not be brought back and were set aside: {}{more}.",
                many.len(),
                listed.join("; ")
            )
        }
    }
}

/// The rows of a kept file, read by the plan they were first read by; those that came in, when others did not.
fn read_again(
    bytes: &[u8],
    origin: &ImportOrigin,
    n_rows: u32,
    book: &Workbook,
) -> Result<Table, String> {
    let options = ImportOptions {
        plan: Some(origin.plan.clone()),
        sheet: Some(origin.plan.sheet),
        unit_is_open: origin.unit_before.is_some(),
        ..ImportOptions::of_book(book.settings.weight_unit, book.settings.as_of)
    };
    let mut table = read_all(bytes, &origin.file_name, options)
        .map_err(|refusal| refusal.message().to_owned())?
        .table;
    if let Some(merge) = &origin.merge {
        if merge
            .rows
            .last()
            .is_some_and(|&last| last as usize >= table.n_rows())
        {
            return Err(format!(
                "its file gives {} now and gave more then",
                counted(table.n_rows(), "row")
            ));
        }
        table = table.select(&merge.rows);
    }
    if table.n_rows() != n_rows as usize {
        return Err(format!(
            "its file gives {} now and gave {n_rows} then",
            counted(table.n_rows(), "row")
        ));
    }
    Ok(table)
}
