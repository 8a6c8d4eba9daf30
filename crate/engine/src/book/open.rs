//! Bytes to a book.
//!
//! Enters: bytes from anywhere. Leaves: a workbook, or a refusal that says what is wrong with the file.
//! Always true: opens every version up to the one written today; never panics, never takes more memory
//! than the stated limits, whatever the bytes claim.
//! Never: opens a book in part.

use std::io::{Cursor, Read};

use zip::ZipArchive;
use zip::result::ZipError;

use super::acceptance::acceptance_from;
use super::form::settings_from;
use super::look_form::{LooksFile, SheetWritten, looks_from};
use super::package::{
    DESCRIPTOR, Descriptor, FORMAT, LOOKS, Resource, SETTINGS, SettingsFile, TAKEN_OFF,
    TAKEN_OFF_UNREADABLE, UNREADABLE, VERSION,
};
use super::remembered_form::remembered_from;
use super::table_csv::{ReadTable, read_table};
use crate::error::Error;
use crate::sheet::apply::apply;
use crate::sheet::edit::Command;
use crate::sheet::look::Look;
use crate::sheet::remembered::{Remembering, with_room};
use crate::sheet::schema::SheetKind;
use crate::sheet::settings_rules;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Most files in the ZIP.
pub const MOST_FILES: usize = 64;
/// Most bytes of all files of a book together, unpacked.
pub const MOST_BYTES: u64 = 1 << 30;
/// Most bytes of a description.
const MOST_DESCRIPTION_BYTES: u64 = 8 << 20;
/// Most bytes of the looks: as many as may be saved, with room for what stands around the texts.
const MOST_LOOKS_BYTES: u64 = 128 << 20;

const OLDER_COPY: &str = "Open an older copy of the book.";

/// The book of these bytes.
///
/// # Errors
/// `book.*`: not a book, damaged, of a later version, or too large.
pub fn open(bytes: &[u8]) -> Result<Workbook, Error> {
    let mut files = Files::new(bytes)?;
    let settings: SettingsFile = files.description(SETTINGS, MOST_DESCRIPTION_BYTES)?;
    if settings.format != FORMAT {
        return Err(not_a_book());
    }
    if settings.version > VERSION {
        return Err(Error::new(
            "book.later_version",
            format!(
                "The book was saved in version {} of the format; this program knows versions up to {VERSION}.",
                settings.version
            ),
            "Open it with a newer Fairpen.",
        ));
    }
    let descriptor: Descriptor = files.description(DESCRIPTOR, MOST_DESCRIPTION_BYTES)?;
    let accepted = settings.accepted;
    let remembered = settings.remembered;
    let work_list = settings.work_list;
    let settings = settings_from(settings.settings).ok_or_else(|| {
        Error::new(
            "book.settings",
            "The settings of the book hold a word that is not known.",
            OLDER_COPY,
        )
    })?;
    settings_rules::check(&settings)?;

    let mut book = Workbook::new();
    let unit = settings.weight_unit;
    book.settings = settings;
    book.work_list = work_list;
    let mut seen: Vec<&str> = Vec::new();
    for resource in &descriptor.resources {
        if seen.contains(&resource.name.as_str()) {
            return Err(Error::new(
                "book.sheet.twice",
                format!("The book holds the sheet {} twice.", resource.name),
                OLDER_COPY,
            ));
        }
        seen.push(&resource.name);
        // Resources that other programs added are not ours to read.
        if let Some(sheet) = SheetKind::from_key(&resource.name) {
            let bytes = files.read(&resource.path, MOST_BYTES)?;
            *book.sheet_mut(sheet) = read_table(sheet, &bytes, resource, unit)?.table;
        }
    }
    if let Some(resource) = descriptor.resources.iter().find(|r| r.name == UNREADABLE) {
        let bytes = files.read(&resource.path, MOST_BYTES)?;
        put_unreadable(resource, &bytes, &mut book.sheets_mut().collect::<Vec<_>>())?;
    }
    bring_in_taken_off(&mut book, &descriptor, &mut files)?;
    if files.holds(LOOKS) {
        put_looks(&mut book, files.description(LOOKS, MOST_LOOKS_BYTES)?)?;
    }
    // What a later version doubts is not ours to judge; what is no longer there needs no acceptance.
    for acceptance in accepted.into_iter().filter_map(acceptance_from) {
        let table = book.sheet(acceptance.doubt.sheet);
        let row_is_there = acceptance
            .doubt
            .row
            .is_none_or(|row| (row as usize) < table.n_keys());
        if let (Some(read), true) = (acceptance.read, row_is_there) {
            book.accepted.insert(acceptance.doubt, read);
        }
    }
    // A way of reading that is not known only has to be settled once more; one too many goes, as in use.
    for remembering in remembered.into_iter().filter_map(remembered_from) {
        if let Some(way) = remembering.way {
            for Remembering { shape, way } in with_room(&book.remembered, remembering.shape, *way) {
                match way {
                    Some(way) => book.remembered.insert(shape, *way),
                    None => book.remembered.remove(&shape),
                };
            }
        }
    }
    Ok(book)
}

/// Looks are put as a person's would be, so that none that could not be made is taken in.
fn put_looks(book: &mut Workbook, file: LooksFile) -> Result<(), Error> {
    for SheetWritten {
        sheet,
        present,
        views,
    } in looks_from(file)
    {
        let _plain = apply(
            book,
            Command::SetLook {
                sheet,
                change: Box::new(present),
                view: None,
            },
        )?;
        for (name, look) in views {
            let mut whole = Look::default();
            let _plain = whole.take(look);
            let look = Some(Box::new(whole));
            let _none = apply(book, Command::PutView { sheet, name, look })?;
        }
    }
    Ok(())
}

/// Rows that were taken off stand beside their sheets.
fn bring_in_taken_off(
    book: &mut Workbook,
    descriptor: &Descriptor,
    files: &mut Files<'_>,
) -> Result<(), Error> {
    let mut off: Vec<ReadTable> = Vec::new();
    for resource in &descriptor.resources {
        let sheet = resource.name.strip_prefix(TAKEN_OFF);
        if let Some(sheet) = sheet.and_then(SheetKind::from_key) {
            let bytes = files.read(&resource.path, MOST_BYTES)?;
            let unit = book.settings.weight_unit;
            off.push(read_table(sheet, &bytes, resource, unit)?);
        }
    }
    let texts = descriptor
        .resources
        .iter()
        .find(|resource| resource.name == TAKEN_OFF_UNREADABLE);
    if let Some(resource) = texts {
        let bytes = files.read(&resource.path, MOST_BYTES)?;
        let mut tables: Vec<&mut Table> = off.iter_mut().map(|read| &mut read.table).collect();
        put_unreadable(resource, &bytes, &mut tables)?;
    }
    for ReadTable { table, keys } in off {
        book.sheet_mut(table.kind).set_taken_off(keys, table);
    }
    Ok(())
}

fn not_a_book() -> Error {
    Error::new(
        "book.not_a_book",
        "This file is not a Fairpen book.",
        "Choose a file that was saved with Save a copy. To bring in a table, use Bring in.",
    )
}

/// The files of a ZIP, read within limits.
struct Files<'a> {
    zip: ZipArchive<Cursor<&'a [u8]>>,
    left: u64,
}

impl<'a> Files<'a> {
    fn new(bytes: &'a [u8]) -> Result<Files<'a>, Error> {
        let zip = ZipArchive::new(Cursor::new(bytes)).map_err(|_| not_a_book())?;
        if zip.len() > MOST_FILES {
            return Err(too_large());
        }
        Ok(Files {
            zip,
            left: MOST_BYTES,
        })
    }

    fn read(&mut self, path: &str, most: u64) -> Result<Vec<u8>, Error> {
        let most = most.min(self.left);
        let file = self.zip.by_name(path).map_err(|cause| match cause {
            ZipError::FileNotFound => Error::new(
                "book.file_missing",
                format!("{path} is missing in the book."),
                OLDER_COPY,
            ),
            _ => damaged(path),
        })?;
        if file.size() > most {
            return Err(too_large());
        }
        // The stated size may lie: memory grows with what is there, up to the limit.
        let mut bytes = Vec::new();
        file.take(most + 1)
            .read_to_end(&mut bytes)
            .map_err(|_| damaged(path))?;
        let length = bytes.len() as u64;
        if length > most {
            return Err(too_large());
        }
        self.left -= length;
        Ok(bytes)
    }

    fn holds(&self, path: &str) -> bool {
        self.zip.index_for_name(path).is_some()
    }

    fn description<T: serde::de::DeserializeOwned>(
        &mut self,
        path: &str,
        most: u64,
    ) -> Result<T, Error> {
        if !self.holds(path) {
            return Err(not_a_book());
        }
        let bytes = self.read(path, most)?;
        serde_json::from_slice(&bytes).map_err(|cause| {
            Error::new(
                "book.description",
                format!(
                    "{path}, line {}: this is not as a book has it.",
                    cause.line()
                ),
                OLDER_COPY,
            )
        })
    }
}

fn damaged(path: &str) -> Error {
    Error::new(
        "book.damaged",
        format!("{path} in the book is damaged and cannot be unpacked."),
        OLDER_COPY,
    )
}

fn too_large() -> Error {
    Error::new(
        "book.too_large",
        format!(
            "The file unpacks to more than {MOST_FILES} files or {} MB. A book never does.",
            MOST_BYTES >> 20
        ),
        "Choose a file that was saved with Save a copy.",
    )
}

fn put_unreadable(
    resource: &Resource,
    bytes: &[u8],
    tables: &mut [&mut Table],
) -> Result<(), Error> {
    let path = &resource.path;
    let refuse = |line: u64| {
        Error::new(
            "book.unreadable",
            format!(
                "{path}, line {line}: this does not name a sheet, row, column and text of the book."
            ),
            OLDER_COPY,
        )
    };
    let mut csv = csv::Reader::from_reader(bytes);
    for record in csv.records() {
        let record =
            record.map_err(|cause| refuse(cause.position().map_or(0, csv::Position::line)))?;
        let line = record.position().map_or(0, csv::Position::line);
        let mut cells = record.iter();
        let (Some(sheet), Some(row), Some(column), Some(text)) =
            (cells.next(), cells.next(), cells.next(), cells.next())
        else {
            return Err(refuse(line));
        };
        let table = SheetKind::from_key(sheet)
            .and_then(|sheet| tables.iter_mut().find(|table| table.kind == sheet))
            .ok_or_else(|| refuse(line))?;
        let row = row
            .parse::<u32>()
            .ok()
            .and_then(|row| row.checked_sub(1))
            .filter(|row| (*row as usize) < table.n_rows())
            .ok_or_else(|| refuse(line))?;
        let column = table
            .column_mut(column)
            .filter(|_| !text.is_empty())
            .ok_or_else(|| refuse(line))?;
        // A cell that another program has filled since keeps what it was filled with.
        if column.is_blank_in(row as usize, row as usize + 1) {
            column.unreadable.insert(row, text.to_owned());
        }
    }
    Ok(())
}
