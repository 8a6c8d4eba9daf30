//! A file being brought in: read in chunks, shown before anything changes, then added as one command.
//!
//! Enters: the bytes of a file in chunks, and choices. Leaves: what was understood, and the command.
//! Always true: the book does not change before [`Desk::import_commit`]; a choice reads the same bytes
//! again, so that what is shown is what will come in.
//! Never: keeps the file; the caller holds it, gives it again for each reading, and keeps it under its
//! digest.

pub mod asked_names;
mod with_rows;

// long because: reading, choosing and bringing in share the state of one file.

use std::sync::Arc;

use asked_names::{AsFileHas, AskedName, put};
use with_rows::NamesPut;

use super::Desk;
use crate::book::digest::is_digest;
use crate::error::Error;
use crate::import::merge::by_record::{Renamed, as_in_file, name_by_record};
use crate::import::merge::{
    self, Columns, ComparedCell, Merge, MergeChoices, MergeRow, Plan as MergePlan, RowChoice,
    RowKind,
};
use crate::import::plan::{ImportPlan, Question, Target};
use crate::import::recall::Recalled;
use crate::import::{ImportOptions, Imported, Reader};
use crate::note::{Note, Place, Severity};
use crate::sheet::day::Day;
use crate::sheet::edit::{Command, ImportOrigin, MergeOrigin};
use crate::sheet::remembered::Remembered;
use crate::sheet::resolve::settle_keys;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// A file being brought in.
pub struct BringingIn {
    file_name: String,
    /// The reading under way.
    reader: Option<Reader>,
    /// What the last whole reading understood.
    imported: Option<Imported>,
    /// Its rows held against the rows on record; `None` when the sheet has none.
    merge: Option<Merge>,
    choices: MergeChoices,
    /// Name of the sheet in a spreadsheet file; empty for a text file.
    part: String,
    /// The day that counts as today; missing when nobody said.
    today: Day,
    /// The remembered way it was first read by, until it is read anew.
    recalled: Option<Recalled>,
    /// True when the person changed how it is read.
    changed: bool,
    /// The plan of the reading under way, when it was changed: a further choice builds on it.
    next_plan: Option<ImportPlan>,
    /// Rows whose animal got the tag that its electronic ID has on record.
    renamed: Vec<Renamed>,
    /// Names that fit several animals.
    asked: Vec<AskedName>,
    /// Cells in which such names were told apart, as the file has them.
    as_file_has: AsFileHas,
}

/// A file that could be read as an earlier one was.
#[derive(Clone, Copy)]
pub struct RecalledShown<'a> {
    /// The way.
    pub way: &'a Recalled,
    /// True when the person changed something since.
    pub changed: bool,
}

/// What the rows of a file come to, by the choices made.
pub struct MergeShown<'a> {
    /// Each row against the record.
    pub merge: &'a Merge,
    /// The choices.
    pub choices: &'a MergeChoices,
    /// What happens when the file comes in.
    pub plan: MergePlan,
}

/// A row of the file beside the row on record.
pub struct ShownRow<'a> {
    /// Position among the rows of the file.
    pub row: u32,
    /// Its line in the file.
    pub line: u32,
    /// What it is to the book.
    pub outcome: &'a MergeRow,
    /// The choice made for it alone.
    pub choice: Option<RowChoice>,
    /// The row on record it is held against: the one it fits, the one chosen, else the first it may be.
    pub against: Option<u32>,
    /// Permanent key of the row taken off that it is held against instead.
    pub against_taken_off: Option<u32>,
    /// Its cells.
    pub cells: Vec<ComparedCell>,
}

fn not_begun() -> Error {
    Error::new(
        "import.not_begun",
        "No file is being brought in.",
        "Choose the file again.",
    )
}

impl BringingIn {
    /// Holds the rows of the file against the record again, which has changed under them.
    pub(super) fn held_anew(&mut self, find: impl FnOnce(&Table) -> Merge) {
        if let (Some(imported), Some(merge)) = (&self.imported, &mut self.merge) {
            *merge = find(&imported.table);
            self.choices.rows.clear();
        }
    }
}

impl Desk {
    fn options(&self) -> ImportOptions {
        ImportOptions::for_book(&self.book)
    }

    /// Begins to bring a file in; one begun before is given up.
    pub fn import_begin(&mut self, file_name: &str) {
        self.import_begin_from(file_name, "", Day::MISSING);
    }

    /// The same for a sheet of a spreadsheet file, by its name there (empty for a text file), on the day that
    /// counts as today.
    pub fn import_begin_from(&mut self, file_name: &str, part: &str, today: Day) {
        let options = ImportOptions {
            part: part.to_owned(),
            today,
            ..self.options()
        };
        self.bringing_in = Some(BringingIn {
            file_name: file_name.to_owned(),
            reader: Some(Reader::begin(file_name, options)),
            imported: None,
            merge: None,
            choices: MergeChoices::default(),
            part: part.to_owned(),
            today,
            recalled: None,
            changed: false,
            next_plan: None,
            renamed: Vec::new(),
            asked: Vec::new(),
            as_file_has: AsFileHas::new(),
        });
    }

    /// Takes the next bytes and gives the number of rows so far.
    ///
    /// # Errors
    /// `import.*`, see [`Reader::push`]. The reading ends then: a first one gives the file up, a later one
    /// leaves what was understood before.
    pub fn import_push(&mut self, chunk: &[u8]) -> Result<u32, Error> {
        let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
        let reader = file.reader.as_mut().ok_or_else(not_begun)?;
        let pushed = reader.push(chunk);
        if pushed.is_err() {
            self.reading_failed();
        }
        pushed
    }

    /// Ends the file and gives what was understood.
    ///
    /// # Errors
    /// `import.*`, see [`Reader::finish`]; what stays then is as in [`Desk::import_push`].
    pub fn import_finish(&mut self) -> Result<&Imported, Error> {
        let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
        let reader = file.reader.take().ok_or_else(not_begun)?;
        match reader.finish() {
            Ok(mut imported) => {
                let renamed = self.named_by_record(&mut imported);
                let merge = self.held_against_record(&mut imported);
                let asked = self.names_to_ask(&imported.table, merge.as_ref());
                if merge.is_some() {
                    // Calves on record may have what the file lacks: said with what becomes of the rows.
                    imported
                        .notes
                        .retain(|note| note.code != "import.column.none");
                }
                let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
                file.merge = merge;
                file.renamed = renamed;
                file.asked = asked;
                file.as_file_has.clear();
                file.next_plan = None;
                if imported.recalled.is_some() {
                    file.recalled.clone_from(&imported.recalled);
                }
                // Another reading may number the rows otherwise.
                file.choices.rows.clear();
                Ok(file.imported.insert(imported))
            }
            Err(error) => {
                self.reading_failed();
                Err(error)
            }
        }
    }

    /// Animals that the file names by an electronic ID on record get their tags; that is said.
    fn named_by_record(&self, imported: &mut Imported) -> Vec<Renamed> {
        let renamed = name_by_record(&self.book, &mut imported.table);
        if let Some(first) = renamed.first() {
            imported.notes.push(Note {
                code: "import.animal.on_record",
                severity: Severity::Remark,
                place: Place {
                    sheet: Some(imported.plan.sheet),
                    line: imported.table.source_line.get(first.row as usize).copied(),
                    ..Place::default()
                },
                read: first.electronic_id.clone(),
                message: format!(
                    "{} an animal by an electronic ID that is on record, first {} in the line named here: its tag {} was taken.",
                    match renamed.len() {
                        1 => "1 line names".to_owned(),
                        n => format!("{n} lines name"),
                    },
                    first.electronic_id,
                    first.tag
                ),
                hint: "Nothing to mend, if the electronic IDs on record are right.".to_owned(),
            });
        }
        renamed
    }

    fn held_against_record(&self, imported: &mut Imported) -> Option<Merge> {
        let here = self.book.sheet(imported.plan.sheet);
        if here.n_rows() == 0 && here.n_taken_off() == 0 {
            return None;
        }
        let positions: Vec<Option<usize>> = imported
            .columns
            .iter()
            .map(|report| imported.table.column_position(report.key.as_deref()?))
            .collect();
        // Too many own columns are refused when the file comes in; the rows can be shown all the same.
        let _refused_later = settle_keys(&self.book, &mut imported.table, super::computed);
        for (report, position) in imported.columns.iter_mut().zip(positions) {
            report.key = position.map(|at| imported.table.columns()[at].key.clone());
        }
        Some(merge::find(&self.book, &imported.table))
    }

    /// What the rows of the file come to, when the sheet has rows already and they are matched.
    pub fn import_merge_shown(&self) -> Option<MergeShown<'_>> {
        let file = self.bringing_in.as_ref()?;
        let imported = file.imported.as_ref()?;
        let merge = file.merge.as_ref()?;
        let here = self.book.sheet(imported.plan.sheet);
        let mut plan = if file.choices.match_rows {
            merge::carry_out(here, &imported.table, merge, &file.choices)
        } else {
            MergePlan {
                added: (0..u32::try_from(imported.table.n_rows()).unwrap_or(u32::MAX)).collect(),
                ..MergePlan::default()
            }
        };
        plan.notes.extend(merge::still_needed(
            here,
            &imported.table,
            &imported.plan,
            merge,
            &file.choices,
        ));
        Some(MergeShown {
            merge,
            choices: &file.choices,
            plan,
        })
    }

    /// Says what becomes of the rows. The file need not be read again.
    ///
    /// # Errors
    /// `import.not_begun`; `import.merge.row` when a row of the file or on record is not there.
    pub fn import_merge(&mut self, choices: MergeChoices) -> Result<(), Error> {
        let (_, imported) = self.import_shown().ok_or_else(not_begun)?;
        let here = self.book.sheet(imported.plan.sheet);
        let n_here = here.n_rows();
        let n_rows = imported.table.n_rows();
        let there = choices.rows.iter().all(|(&row, choice)| {
            let on_record = match choice {
                RowChoice::Into { row, .. } => (*row as usize) < n_here,
                RowChoice::BringBack { key, .. } => here.is_taken_off(*key),
                RowChoice::Add | RowChoice::LeaveOut => true,
            };
            (row as usize) < n_rows && on_record
        });
        if !there {
            return Err(Error::new(
                "import.merge.row",
                "A choice was made for a row that is not there.",
                "Choose one of the rows shown.",
            ));
        }
        if let Some(file) = &mut self.bringing_in {
            file.choices = choices;
        }
        Ok(())
    }

    /// Rows of the file beside the record: of one kind, or of all, from the `first` on, at most `n`.
    pub fn import_rows(&self, kind: Option<RowKind>, first: usize, n: usize) -> Vec<ShownRow<'_>> {
        let Some((file, imported, merge)) = self
            .bringing_in
            .as_ref()
            .and_then(|file| Some((file, file.imported.as_ref()?, file.merge.as_ref()?)))
        else {
            return Vec::new();
        };
        let here = self.book.sheet(imported.plan.sheet);
        let columns = Columns::of(here, &imported.table);
        let off = here.taken_off();
        let columns_off = off.map(|off| Columns::of(off.rows(), &imported.table));
        (0_u32..)
            .zip(&merge.rows)
            .filter(|(_, outcome)| kind.is_none_or(|kind| outcome.kind == kind))
            .skip(first)
            .take(n)
            .map(|(row, outcome)| {
                let choice = file.choices.rows.get(&row).copied();
                let against = match choice {
                    Some(RowChoice::Into { row, .. }) => Some(row),
                    Some(RowChoice::Add | RowChoice::BringBack { .. }) => None,
                    None | Some(RowChoice::LeaveOut) if outcome.kind == RowKind::TakenOff => None,
                    _ => outcome.target.or(outcome.candidates.first().copied()),
                };
                let against_taken_off = match choice {
                    Some(RowChoice::BringBack { key, .. }) => Some(key),
                    None | Some(RowChoice::LeaveOut) if outcome.kind == RowKind::TakenOff => {
                        outcome.taken_off.first().copied()
                    }
                    _ => None,
                };
                let off_row = off.zip(against_taken_off).and_then(|(off, key)| {
                    u32::try_from(off.keys().binary_search(&key).ok()?).ok()
                });
                let cells = match (&columns_off, off_row) {
                    (Some(columns), Some(at)) => columns.cells(row, Some(at)),
                    _ => columns.cells(row, against),
                };
                ShownRow {
                    row,
                    line: imported.table.source_line[row as usize],
                    outcome,
                    choice,
                    against,
                    against_taken_off,
                    cells,
                }
            })
            .collect()
    }

    /// The remembered way by which the file was read, if any.
    pub fn import_recalled(&self) -> Option<RecalledShown<'_>> {
        let file = self.bringing_in.as_ref()?;
        Some(RecalledShown {
            way: file.recalled.as_ref()?,
            changed: file.changed,
        })
    }

    /// True when the next file like this one will be read as this one is now: when its reading was changed, or
    /// taken from a file that was not quite like it.
    pub fn import_will_be_remembered(&self) -> bool {
        self.bringing_in
            .as_ref()
            .is_some_and(|file| file.to_remember(&self.book).is_some())
    }

    fn reading_failed(&mut self) {
        self.bringing_in = self.bringing_in.take().and_then(|file| {
            file.imported.is_some().then_some(BringingIn {
                reader: None,
                next_plan: None,
                ..file
            })
        });
    }

    /// What was understood of the file being brought in, with its name.
    pub fn import_shown(&self) -> Option<(&str, &Imported)> {
        let file = self.bringing_in.as_ref()?;
        Some((&file.file_name, file.imported.as_ref()?))
    }

    /// The plan that a further choice builds on: that of the reading under way, else that of what is shown. Two answers
    /// given one right after the other both hold.
    pub fn import_plan(&self) -> Option<&ImportPlan> {
        let file = self.bringing_in.as_ref()?;
        let shown = file.imported.as_ref().map(|imported| &imported.plan);
        file.next_plan.as_ref().or(shown)
    }

    /// Begins to read the file again by a changed plan: its bytes are to be given once more.
    ///
    /// # Errors
    /// `import.not_begun`.
    pub fn import_by_plan(&mut self, plan: ImportPlan) -> Result<(), Error> {
        let options = ImportOptions {
            sheet: Some(plan.sheet),
            plan: Some(plan.clone()),
            ..self.options()
        };
        self.import_again(options)?;
        if let Some(file) = &mut self.bringing_in {
            file.next_plan = Some(plan);
            file.changed = true;
        }
        Ok(())
    }

    /// Begins to read the file again for another sheet; what was chosen for its columns is guessed anew.
    ///
    /// # Errors
    /// `import.not_begun`.
    pub fn import_for_sheet(&mut self, sheet: SheetKind) -> Result<(), Error> {
        self.import_anew(Some(sheet))
    }

    /// Begins to read the file again as if no file like it had ever come in; `sheet`, when it was chosen.
    ///
    /// # Errors
    /// `import.not_begun`.
    pub fn import_anew(&mut self, sheet: Option<SheetKind>) -> Result<(), Error> {
        let options = ImportOptions {
            sheet,
            remembered: Remembered::new(),
            ..self.options()
        };
        self.import_again(options)?;
        if let Some(file) = &mut self.bringing_in {
            // What is guessed is what she wants from now on, when another way is remembered.
            file.changed = sheet.is_some() || file.recalled.is_some();
            file.recalled = None;
        }
        Ok(())
    }

    fn import_again(&mut self, options: ImportOptions) -> Result<(), Error> {
        let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
        let options = ImportOptions {
            today: file.today,
            ..options
        };
        file.reader = Some(Reader::begin(&file.file_name, options));
        file.next_plan = None;
        Ok(())
    }

    /// Gives the file up.
    pub fn import_cancel(&mut self) {
        self.bringing_in = None;
    }

    /// Brings the rows in, from the file kept under `digest` (SHA-256, 64 hexadecimal digits). Gives the
    /// journal record.
    ///
    /// # Errors
    /// `import.not_begun`, `import.digest.malformed`, `import.still_reading`, `import.sheet.open`, `import.nothing_to_bring`,
    /// `import.merge.nothing`, `sheet.*`; the file can still be brought in otherwise then.
    pub fn import_commit(&mut self, digest: &str) -> Result<Vec<u8>, Error> {
        let file = self.bringing_in.as_ref().ok_or_else(not_begun)?;
        if file.reader.is_some() {
            return Err(Error::new(
                "import.still_reading",
                "The file has not been read to its end.",
                "Wait until it has, then bring it in.",
            ));
        }
        let imported = file.imported.as_ref().ok_or_else(not_begun)?;
        if imported
            .open_questions()
            .any(|question| matches!(question, Question::Sheet { .. }))
        {
            return Err(Error::new(
                "import.sheet.open",
                "It is not said yet which sheet the rows belong to.",
                "Choose the sheet first.",
            ));
        }
        if !is_digest(digest) {
            return Err(Error::new(
                "import.digest.malformed",
                "The name under which the file would be kept is no digest.",
                "This is a fault of the program: choose the file again, and tell the makers.",
            ));
        }
        let nothing_taken = imported
            .plan
            .columns
            .iter()
            .all(|column| column.target == Target::LeaveOut);
        if imported.table.n_rows() == 0 || nothing_taken {
            return Err(Error::new(
                "import.nothing_to_bring",
                "Nothing would come in: there are no rows, or every column is left out.",
                "Choose what at least one column becomes.",
            ));
        }
        let plan = self
            .import_merge_shown()
            .map(|shown| (shown.plan, shown.choices.clone()))
            .filter(|(plan, _)| {
                plan.added.len() < imported.table.n_rows()
                    || !plan.changes.is_empty()
                    || !plan.brought_back.is_empty()
            });
        if let Some((plan, _)) = &plan
            && plan.added.is_empty()
            && plan.changes.is_empty()
            && plan.brought_back.is_empty()
        {
            return Err(Error::new(
                "import.merge.nothing",
                "Nothing would change: everything taken from this file is on record already.",
                "Look at the lines that stay out; what differs or is unclear is for you to choose.",
            ));
        }
        let plan = plan.map(|(plan, mut choices)| {
            let here = self.book.sheet(imported.plan.sheet);
            for choice in choices.rows.values_mut() {
                if let RowChoice::Into { row, .. } = choice {
                    *row = here.key_of(*row);
                }
            }
            (plan, choices)
        });
        let file = self.bringing_in.take().ok_or_else(not_begun)?;
        let remembering = file.to_remember(&self.book);
        let mut imported = file.imported.ok_or_else(not_begun)?;
        // The file is read again when the journal is played: its rows come in as they stand there, and the tags on
        // record and the names told apart are put over them.
        let names = NamesPut::of(&file.renamed, &file.as_file_has, &imported.table);
        for (&(row, column), text) in &file.as_file_has {
            put(&mut imported.table, column, row, text);
        }
        as_in_file(&mut imported.table, &file.renamed);
        let unit = self.book.settings.weight_unit;
        let sheet = imported.plan.sheet;
        let first_key = u32::try_from(self.book.sheet(sheet).n_keys()).unwrap_or(u32::MAX);
        let mut origin = Box::new(ImportOrigin {
            digest: digest.to_owned(),
            file_name: file.file_name,
            plan: imported.plan,
            unit_before: (imported.table_unit != unit).then_some(unit),
            merge: None,
        });
        let Some((plan, choices)) = plan else {
            let import = Command::Import {
                table: Arc::new(imported.table),
                origin,
            };
            let names = names.command(sheet, first_key, None);
            let mut commands = vec![import];
            commands.extend(remembering.map(Command::Remember));
            commands.extend(names);
            return self.change(match commands.len() {
                1 => commands.remove(0),
                _ => Command::Together(commands),
            });
        };
        let names = names.command(sheet, first_key, Some(&plan.added));
        let table = Arc::new(imported.table.select(&plan.added));
        origin.merge = Some(MergeOrigin {
            rows: plan.added,
            choices,
        });
        // The columns of the person's own, and the unit of a book without weights, come with the new rows; so
        // these go first.
        let mut commands = vec![Command::Import { table, origin }];
        if !plan.brought_back.is_empty() {
            commands.push(Command::BringBack {
                sheet,
                rows: plan.brought_back,
            });
        }
        if !plan.changes.is_empty() {
            commands.push(Command::PutCells {
                sheet,
                columns: plan.changes,
            });
        }
        commands.extend(remembering.map(Command::Remember));
        commands.extend(names);
        self.change(Command::Together(commands))
    }
}
