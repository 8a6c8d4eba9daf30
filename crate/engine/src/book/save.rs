//! A book to bytes.
//!
//! Enters: a workbook. Leaves: a ZIP: `datapackage.json`, `settings.json`, `looks.json` where a sheet was
//! arranged, one CSV per sheet in use, and `unreadable.csv` where some text was not understood; rows that were
//! taken off in files of their own.
//! Always true: the same book gives the same bytes; `open(save(book))` is the book, cell for cell.
//! Never: writes results, which follow from the book, or the steps behind it.

use std::io::{Cursor, Write};

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::acceptance::acceptance_form;
use super::form::settings_form;
use super::look_form::looks_file;
use super::package::{
    DESCRIPTOR, Descriptor, FORMAT, Field, FieldNotes, LOOKS, Resource, SETTINGS, SettingsFile,
    TAKEN_OFF, TAKEN_OFF_UNREADABLE, UNREADABLE, VERSION,
};
use super::remembered_form::remembered_form;
use super::table_csv::{Beside, write_table};
use crate::error::Error;
use crate::sheet::accepted::Acceptance;
use crate::sheet::column::{Column, Origin};
use crate::sheet::remembered::Remembering;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::taken_off::TakenOff;
use crate::sheet::workbook::Workbook;

/// The bytes of a book.
///
/// # Errors
/// `book.save` when there is not enough memory or a sheet outgrows the ZIP format.
pub fn save(book: &Workbook) -> Result<Vec<u8>, Error> {
    write_book(book).map_err(|cause| {
        Error::new(
            "book.save",
            format!("The book could not be written: {cause}."),
            "Close other pages to free memory and try again. Nothing in the book was lost.",
        )
    })
}

fn write_book(book: &Workbook) -> Result<Vec<u8>, Box<dyn std::error::Error>> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let n_rows: usize = SheetKind::ALL
        .into_iter()
        .map(|kind| book.sheet(kind).n_rows())
        .sum();
    // A large book is saved while somebody waits: level 1 takes a fraction of the time for a quarter more
    // bytes. A small one may be small.
    let level = if n_rows > 20_000 { 1 } else { 6 };
    let options = SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated)
        .compression_level(Some(level));
    let sheets: Vec<(&Table, Saved<'_>)> = SheetKind::ALL
        .into_iter()
        .map(|kind| (book.sheet(kind), Saved::of(book.sheet(kind))))
        .filter(|(table, saved)| table.n_rows() > 0 || !saved.columns.is_empty())
        .collect();
    let off: Vec<(&TakenOff, Saved<'_>)> = SheetKind::ALL
        .into_iter()
        .filter_map(|kind| book.sheet(kind).taken_off())
        .map(|off| (off, Saved::of_taken_off(off.rows())))
        .collect();
    let is_unreadable = |table: &Table| {
        table
            .columns()
            .iter()
            .any(|column| !column.unreadable.is_empty())
    };
    let any_unreadable = sheets.iter().any(|(table, _)| is_unreadable(table));
    let any_off_unreadable = off.iter().any(|(off, _)| is_unreadable(off.rows()));

    let mut resources: Vec<Resource> = sheets
        .iter()
        .map(|(table, saved)| Resource::new(table.kind.key(), table.kind.label(), saved.fields()))
        .collect();
    if any_unreadable {
        resources.push(unreadable_resource(
            UNREADABLE,
            "Texts that were not understood where they stand",
        ));
    }
    resources.extend(off.iter().map(|(off, saved)| {
        let kind = off.rows().kind;
        Resource::new(
            &format!("{TAKEN_OFF}{}", kind.key()),
            &format!("{}: rows that were taken off the record", kind.label()),
            saved.fields(),
        )
    }));
    if any_off_unreadable {
        resources.push(unreadable_resource(
            TAKEN_OFF_UNREADABLE,
            "Texts that were not understood in rows that were taken off the record",
        ));
    }
    let descriptor = Descriptor::new(&book.settings.title, resources);
    zip.start_file(DESCRIPTOR, options)?;
    zip.write_all(&serde_json::to_vec_pretty(&descriptor)?)?;
    zip.start_file(SETTINGS, options)?;
    zip.write_all(&serde_json::to_vec_pretty(&SettingsFile {
        format: FORMAT.to_owned(),
        version: VERSION,
        settings: settings_form(&book.settings),
        accepted: book
            .accepted
            .iter()
            .map(|(doubt, read)| {
                acceptance_form(&Acceptance {
                    doubt: doubt.clone(),
                    read: Some(read.clone()),
                })
            })
            .collect(),
        remembered: book
            .remembered
            .iter()
            .map(|(shape, way)| {
                remembered_form(&Remembering {
                    shape: shape.clone(),
                    way: Some(Box::new(way.clone())),
                })
            })
            .collect(),
        work_list: book.work_list.clone(),
    })?)?;
    if let Some(looks) = looks_file(&book.looks) {
        zip.start_file(LOOKS, options)?;
        zip.write_all(&serde_json::to_vec_pretty(&looks)?)?;
    }
    for (table, saved) in &sheets {
        zip.start_file(format!("{}.csv", table.kind.key()), options)?;
        write_table(&mut zip, table, &saved.columns, &saved.names(None))?;
    }
    if any_unreadable {
        zip.start_file(format!("{UNREADABLE}.csv"), options)?;
        write_unreadable(&mut zip, sheets.iter().map(|(table, _)| *table))?;
    }
    for (off, saved) in &off {
        zip.start_file(format!("{TAKEN_OFF}{}.csv", off.rows().kind.key()), options)?;
        write_table(
            &mut zip,
            off.rows(),
            &saved.columns,
            &saved.names(Some(off.keys())),
        )?;
    }
    if any_off_unreadable {
        zip.start_file(format!("{TAKEN_OFF_UNREADABLE}.csv"), options)?;
        write_unreadable(&mut zip, off.iter().map(|(off, _)| off.rows()))?;
    }
    Ok(zip.finish()?.into_inner())
}

/// What of a sheet is written.
struct Saved<'a> {
    columns: Vec<&'a Column>,
    /// Name of the column of source lines, when any row has one.
    line_name: Option<String>,
    /// Name of the column of permanent keys, for rows that were taken off.
    key_name: Option<String>,
}

fn free_name(table: &Table, name: &str) -> String {
    let mut name = name.to_owned();
    while table.column(&name).is_some() {
        name.push('_');
    }
    name
}

impl<'a> Saved<'a> {
    fn of(table: &'a Table) -> Saved<'a> {
        let mut columns: Vec<&Column> = table
            .columns()
            .iter()
            .filter(|column| {
                column.origin == Origin::Own || column.header.is_some() || !column.holds_nothing()
            })
            .collect();
        if columns.is_empty() && table.n_rows() > 0 {
            // Blank rows are rows: one column carries them.
            columns.extend(table.columns().first());
        }
        let has_lines = table.source_line.iter().any(|&line| line != 0);
        Saved {
            columns,
            line_name: has_lines.then(|| free_name(table, "source_line")),
            key_name: None,
        }
    }

    /// Rows that were taken off: only what they hold. Their columns are those of the sheet.
    fn of_taken_off(table: &'a Table) -> Saved<'a> {
        let holding = |column: &&Column| !column.holds_nothing();
        Saved {
            columns: table.columns().iter().filter(holding).collect(),
            key_name: Some(free_name(table, "row_key")),
            ..Saved::of(table)
        }
    }

    /// The columns beside those of the sheet, by name, and what they hold.
    fn names<'n>(&'n self, keys: Option<&'n [u32]>) -> Beside<'n> {
        Beside {
            line_name: self.line_name.as_deref(),
            keys: self.key_name.as_deref().zip(keys),
        }
    }

    fn fields(&self) -> Vec<Field> {
        let keys = self.key_name.iter().map(|name| {
            let notes = FieldNotes {
                origin: "row_key".to_owned(),
                ..FieldNotes::default()
            };
            Field::plain(name, "Permanent key of the row", "integer", Some(notes))
        });
        let lines = self.line_name.iter().map(|name| {
            let notes = FieldNotes {
                origin: "source_line".to_owned(),
                ..FieldNotes::default()
            };
            Field::plain(
                name,
                "Line of the file it came from",
                "integer",
                Some(notes),
            )
        });
        self.columns
            .iter()
            .map(|column| Field::of(column))
            .chain(lines)
            .chain(keys)
            .collect()
    }
}

fn unreadable_resource(name: &str, title: &str) -> Resource {
    Resource::new(
        name,
        title,
        vec![
            Field::plain("sheet", "Sheet", "string", None),
            Field::plain(
                "row",
                "Row, 1 is the first under the header",
                "integer",
                None,
            ),
            Field::plain("column", "Column", "string", None),
            Field::plain("text", "Text as it was read", "string", None),
        ],
    )
}

fn write_unreadable<'a>(
    to: &mut impl Write,
    sheets: impl Iterator<Item = &'a Table>,
) -> Result<(), csv::Error> {
    let mut csv = csv::Writer::from_writer(to);
    csv.write_record(["sheet", "row", "column", "text"])?;
    for table in sheets {
        for column in table.columns() {
            for (row, text) in &column.unreadable {
                let row = (u64::from(*row) + 1).to_string();
                csv.write_record([table.kind.key(), &row, &column.key, text])?;
            }
        }
    }
    csv.flush()?;
    Ok(())
}
