//! A book to bytes.
//!
//! Enters: a workbook. Leaves: a ZIP: `datapackage.json`, `settings.json`, `looks.json` where a sheet was
//! arranged, one CSV per sheet in use, and `unreadable.csv` where some text was not understood.
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
    UNREADABLE, VERSION,
};
use super::remembered_form::remembered_form;
use super::table_csv::write_table;
use crate::error::Error;
use crate::sheet::accepted::Acceptance;
use crate::sheet::column::{Column, Origin};
use crate::sheet::remembered::Remembering;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
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
    let n_unreadable: usize = sheets
        .iter()
        .flat_map(|(table, _)| table.columns())
        .map(|column| column.unreadable.len())
        .sum();

    let mut resources: Vec<Resource> = sheets
        .iter()
        .map(|(table, saved)| Resource::new(table.kind.key(), table.kind.label(), saved.fields()))
        .collect();
    if n_unreadable > 0 {
        resources.push(unreadable_resource());
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
    })?)?;
    if let Some(looks) = looks_file(&book.looks) {
        zip.start_file(LOOKS, options)?;
        zip.write_all(&serde_json::to_vec_pretty(&looks)?)?;
    }
    for (table, saved) in &sheets {
        zip.start_file(format!("{}.csv", table.kind.key()), options)?;
        write_table(&mut zip, table, &saved.columns, saved.line_name.as_deref())?;
    }
    if n_unreadable > 0 {
        zip.start_file(format!("{UNREADABLE}.csv"), options)?;
        write_unreadable(&mut zip, &sheets)?;
    }
    Ok(zip.finish()?.into_inner())
}

/// What of a sheet is written.
struct Saved<'a> {
    columns: Vec<&'a Column>,
    /// Name of the column of source lines, when any row has one.
    line_name: Option<String>,
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
        let line_name = has_lines.then(|| {
            let mut name = "source_line".to_owned();
            while table.column(&name).is_some() {
                name.push('_');
            }
            name
        });
        Saved { columns, line_name }
    }

    fn fields(&self) -> Vec<Field> {
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
            .collect()
    }
}

fn unreadable_resource() -> Resource {
    Resource::new(
        UNREADABLE,
        "Texts that were not understood where they stand",
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

fn write_unreadable(to: &mut impl Write, sheets: &[(&Table, Saved<'_>)]) -> Result<(), csv::Error> {
    let mut csv = csv::Writer::from_writer(to);
    csv.write_record(["sheet", "row", "column", "text"])?;
    for (table, _) in sheets {
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
