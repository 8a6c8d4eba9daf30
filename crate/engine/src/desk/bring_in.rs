//! A file being brought in: read in chunks, shown before anything changes, then added as one command.
//!
//! Enters: the bytes of a file in chunks, and choices. Leaves: what was understood, and the command.
//! Always true: the book does not change before [`Desk::import_commit`]; a choice reads the same bytes
//! again, so that what is shown is what will come in.
//! Never: keeps the file; the caller holds it, gives it again for each reading, and keeps it under its
//! digest.

use std::sync::Arc;

use super::Desk;
use crate::book::digest::is_digest;
use crate::error::Error;
use crate::import::plan::{ImportPlan, Target};
use crate::import::{ImportOptions, Imported, Reader};
use crate::sheet::edit::{Command, ImportOrigin};
use crate::sheet::schema::SheetKind;

/// A file being brought in.
pub struct BringingIn {
    file_name: String,
    /// The reading under way.
    reader: Option<Reader>,
    /// What the last whole reading understood.
    imported: Option<Imported>,
}

fn not_begun() -> Error {
    Error::new(
        "import.not_begun",
        "No file is being brought in.",
        "Choose the file again.",
    )
}

impl Desk {
    fn options(&self) -> ImportOptions {
        ImportOptions::for_book(&self.book)
    }

    /// Begins to bring a file in; one begun before is given up.
    pub fn import_begin(&mut self, file_name: &str) {
        self.bringing_in = Some(BringingIn {
            file_name: file_name.to_owned(),
            reader: Some(Reader::begin(file_name, self.options())),
            imported: None,
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
            Ok(imported) => {
                let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
                Ok(file.imported.insert(imported))
            }
            Err(error) => {
                self.reading_failed();
                Err(error)
            }
        }
    }

    fn reading_failed(&mut self) {
        self.bringing_in = self.bringing_in.take().and_then(|file| {
            file.imported.is_some().then_some(BringingIn {
                reader: None,
                ..file
            })
        });
    }

    /// What was understood of the file being brought in, with its name.
    pub fn import_shown(&self) -> Option<(&str, &Imported)> {
        let file = self.bringing_in.as_ref()?;
        Some((&file.file_name, file.imported.as_ref()?))
    }

    /// Begins to read the file again by a changed plan: its bytes are to be given once more.
    ///
    /// # Errors
    /// `import.not_begun`.
    pub fn import_by_plan(&mut self, plan: ImportPlan) -> Result<(), Error> {
        let options = ImportOptions {
            sheet: Some(plan.sheet),
            plan: Some(plan),
            ..self.options()
        };
        self.import_again(options)
    }

    /// Begins to read the file again for another sheet; what was chosen for its columns is guessed anew.
    ///
    /// # Errors
    /// `import.not_begun`.
    pub fn import_for_sheet(&mut self, sheet: SheetKind) -> Result<(), Error> {
        let options = ImportOptions {
            sheet: Some(sheet),
            ..self.options()
        };
        self.import_again(options)
    }

    fn import_again(&mut self, options: ImportOptions) -> Result<(), Error> {
        let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
        file.reader = Some(Reader::begin(&file.file_name, options));
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
    /// `import.not_begun`, `import.digest.malformed`, `import.still_reading`, `import.nothing_to_bring`,
    /// `sheet.*`; the file can still be brought in otherwise then.
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
        let file = self.bringing_in.take().ok_or_else(not_begun)?;
        let imported = file.imported.ok_or_else(not_begun)?;
        let unit = self.book.settings.weight_unit;
        self.change(Command::Import {
            table: Arc::new(imported.table),
            origin: Box::new(ImportOrigin {
                digest: digest.to_owned(),
                file_name: file.file_name,
                plan: imported.plan,
                unit_before: (imported.table_unit != unit).then_some(unit),
            }),
        })
    }
}
