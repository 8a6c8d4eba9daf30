//! A file being brought in: read in chunks, shown before anything changes, then added as one command.
//!
//! Enters: the bytes of a file in chunks, and choices. Leaves: what was understood, and the command.
//! Always true: the book does not change before [`Desk::import_commit`]; a choice reads the same bytes
//! again, so that what is shown is what will come in.
//! Never: keeps the file beyond the import; the page keeps it under its digest.

use std::sync::Arc;

use super::Desk;
use crate::book::digest::Digest;
use crate::error::Error;
use crate::import::plan::{ImportPlan, Target};
use crate::import::{ImportOptions, Imported, Reader, read_all};
use crate::sheet::edit::{Command, ImportOrigin};
use crate::sheet::schema::SheetKind;

/// Room made at once for a file; larger ones make more as they come.
const MOST_ROOM: usize = 256 << 20;

/// A file being brought in.
pub struct BringingIn {
    file_name: String,
    bytes: Vec<u8>,
    digest: Digest,
    reader: Option<Reader>,
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
        let settings = &self.book.settings;
        ImportOptions::of_book(settings.weight_unit, settings.as_of)
    }

    /// Begins to bring a file in; one begun before is given up.
    pub fn import_begin(&mut self, file_name: &str, expected_bytes: usize) {
        self.bringing_in = Some(BringingIn {
            file_name: file_name.to_owned(),
            bytes: Vec::with_capacity(expected_bytes.min(MOST_ROOM)),
            digest: Digest::new(),
            reader: Some(Reader::begin(file_name, self.options())),
            imported: None,
        });
    }

    /// Takes the next bytes and gives the number of rows so far.
    ///
    /// # Errors
    /// `import.*`, see [`Reader::push`]; the file is given up then.
    pub fn import_push(&mut self, chunk: &[u8]) -> Result<u32, Error> {
        let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
        let reader = file.reader.as_mut().ok_or_else(not_begun)?;
        let pushed = reader.push(chunk);
        file.digest.push(chunk);
        file.bytes.extend_from_slice(chunk);
        if pushed.is_err() {
            self.bringing_in = None;
        }
        pushed
    }

    /// Ends the file and gives what was understood.
    ///
    /// # Errors
    /// `import.*`, see [`Reader::finish`]; the file is given up then.
    pub fn import_finish(&mut self) -> Result<&Imported, Error> {
        let mut file = self.bringing_in.take().ok_or_else(not_begun)?;
        let reader = file.reader.take().ok_or_else(not_begun)?;
        let imported = reader.finish()?;
        let file = self.bringing_in.insert(file);
        Ok(file.imported.insert(imported))
    }

    /// What was understood of the file being brought in, with its name.
    pub fn import_shown(&self) -> Option<(&str, &Imported)> {
        let file = self.bringing_in.as_ref()?;
        Some((&file.file_name, file.imported.as_ref()?))
    }

    /// Reads the file again by a changed plan.
    ///
    /// # Errors
    /// `import.*`; what was understood before stays then.
    pub fn import_by_plan(&mut self, plan: ImportPlan) -> Result<&Imported, Error> {
        let options = ImportOptions {
            sheet: Some(plan.sheet),
            plan: Some(plan),
            ..self.options()
        };
        self.import_again(options)
    }

    /// Reads the file again for another sheet; what was chosen for its columns is guessed anew.
    ///
    /// # Errors
    /// `import.*`; what was understood before stays then.
    pub fn import_for_sheet(&mut self, sheet: SheetKind) -> Result<&Imported, Error> {
        let options = ImportOptions {
            sheet: Some(sheet),
            ..self.options()
        };
        self.import_again(options)
    }

    fn import_again(&mut self, options: ImportOptions) -> Result<&Imported, Error> {
        let file = self.bringing_in.as_mut().ok_or_else(not_begun)?;
        let imported = read_all(&file.bytes, &file.file_name, options)?;
        Ok(file.imported.insert(imported))
    }

    /// Gives the file up.
    pub fn import_cancel(&mut self) {
        self.bringing_in = None;
    }

    /// Brings the rows in. Gives the journal record and the digest under which the file is to be kept.
    ///
    /// # Errors
    /// `import.nothing_to_bring`, `sheet.*`; the file can still be brought in otherwise then.
    pub fn import_commit(&mut self) -> Result<(Vec<u8>, String), Error> {
        let mut file = self.bringing_in.take().ok_or_else(not_begun)?;
        let imported = file.imported.take().ok_or_else(not_begun)?;
        if imported.table.n_rows() == 0
            || imported
                .plan
                .columns
                .iter()
                .all(|column| column.target == Target::LeaveOut)
        {
            file.imported = Some(imported);
            self.bringing_in = Some(file);
            return Err(Error::new(
                "import.nothing_to_bring",
                "Nothing would come in: there are no rows, or every column is left out.",
                "Choose what at least one column becomes.",
            ));
        }
        let digest = file.digest.finish();
        let record = self.change(Command::Import {
            table: Arc::new(imported.table),
            origin: Box::new(ImportOrigin {
                digest: digest.clone(),
                file_name: file.file_name,
                plan: imported.plan,
            }),
        })?;
        Ok((record, digest))
    }
}
