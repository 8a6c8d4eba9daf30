//! One sheet as CSV, in the saved book.
//!
//! Enters: a table, or the bytes of one of our own CSV files and its fields. Leaves: the other.
//! Always true: UTF-8, comma, header first, quotes where needed (RFC 4180); dates ISO, numbers in full
//! precision with a decimal point, codes by key; texts unchanged to the byte.
//! Never: neutralises text that looks like a formula: a saved book is for opening again, and giving tables
//! to other programs is `share`'s work.

use crate::note::counted;
use std::fmt::Write as _;
use std::io::Write;

use super::form::{day_from, kind_from};
use super::package::Resource;
use crate::error::Error;
use crate::sheet::apply::MOST_ROWS;
use crate::sheet::codes::NO_CODE;
use crate::sheet::column::Value;
use crate::sheet::column::{Cells, Column, Kind, Origin};
use crate::sheet::day::Day;
use crate::sheet::own_key::own_key;
use crate::sheet::put::value_of;
use crate::sheet::read::ReadOptions;
use crate::sheet::resolve::MOST_OWN_COLUMNS;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::table::Table;

/// What stands in a file beside the columns of the sheet.
pub struct Beside<'a> {
    /// Name of the column of source lines, if there is one.
    pub line_name: Option<&'a str>,
    /// Name of the column of permanent keys and the keys, for rows that were taken off.
    pub keys: Option<(&'a str, &'a [u32])>,
}

/// Writes a sheet.
///
/// # Errors
/// When the bytes cannot be taken.
pub fn write_table(
    to: &mut impl Write,
    table: &Table,
    columns: &[&Column],
    beside: &Beside<'_>,
) -> Result<(), csv::Error> {
    let mut csv = csv::Writer::from_writer(to);
    for column in columns {
        csv.write_field(&column.key)?;
    }
    if let Some(name) = beside.line_name {
        csv.write_field(name)?;
    }
    if let Some((name, _)) = beside.keys {
        csv.write_field(name)?;
    }
    csv.write_record(None::<&[u8]>)?;
    let mut number = String::new();
    for row in 0..table.n_rows() {
        for column in columns {
            number.clear();
            let text: &str = match &column.cells {
                Cells::Text(cells) => cells.get(row).unwrap_or(""),
                Cells::Code(cells) => match (column.kind, cells.get(row)) {
                    (Kind::Code(codes), Some(&code)) => codes.key(code).unwrap_or(""),
                    _ => "",
                },
                Cells::Number(cells) => {
                    if let Some(value) = cells.get(row).filter(|value| !value.is_nan()) {
                        let _always = write!(number, "{value}");
                    }
                    &number
                }
                Cells::Day(cells) => {
                    if let Some(day) = cells.get(row) {
                        number.push_str(&day.iso());
                    }
                    &number
                }
            };
            csv.write_field(text)?;
        }
        if beside.line_name.is_some() {
            let line = table.source_line.get(row).copied().unwrap_or(0);
            csv.write_field(if line == 0 {
                String::new()
            } else {
                line.to_string()
            })?;
        }
        if let Some((_, keys)) = beside.keys {
            csv.write_field(keys.get(row).map_or_else(String::new, u32::to_string))?;
        }
        csv.write_record(None::<&[u8]>)?;
    }
    csv.flush()?;
    Ok(())
}

/// Where a field of the CSV file goes.
enum Goes {
    /// To the column at this position.
    Column(usize),
    /// To the source lines.
    SourceLine,
    /// To the permanent keys.
    Key,
}

/// A sheet as read.
pub struct ReadTable {
    /// Its rows.
    pub table: Table,
    /// Permanent keys of the rows, where the file says them; `u32::MAX` for what is no key.
    pub keys: Vec<u32>,
}

/// Reads a sheet from one of our own CSV files, also when another program has changed it since: columns it
/// added come in as own columns of text, cells that are no value of their column stay as text.
///
/// # Errors
/// `book.sheet.*`, naming the file and the line.
pub fn read_table(
    sheet: SheetKind,
    bytes: &[u8],
    resource: &Resource,
    unit: WeightUnit,
) -> Result<ReadTable, Error> {
    let path = resource.path.as_str();
    let mut csv = csv::ReaderBuilder::new().flexible(true).from_reader(bytes);
    let header = csv
        .headers()
        .map_err(|cause| unreadable_file(path, &cause))?
        .clone();
    let mut table = Table::new(sheet);
    let goes = place_fields(&mut table, &header, resource)?;
    let mut cells: Vec<Column> = table.columns().to_vec();
    let mut lines: Vec<u32> = Vec::new();
    let mut keys: Vec<u32> = Vec::new();
    let mut record = csv::StringRecord::new();
    let options = ReadOptions::of_book(unit);
    let mut n_rows = 0;
    while csv
        .read_record(&mut record)
        .map_err(|cause| unreadable_file(path, &cause))?
    {
        if record.len() > goes.len() {
            let line = record.position().map_or(0, csv::Position::line);
            return Err(Error::new(
                "book.sheet.too_many_cells",
                format!(
                    "{path}, line {line}: there are {} but {}.",
                    counted(record.len(), "cell"),
                    counted(goes.len(), "column")
                ),
                "If another program changed the file, take the extra cells out. Otherwise open an older copy of the book.",
            ));
        }
        n_rows += 1;
        if n_rows > MOST_ROWS {
            return Err(Error::new(
                "book.sheet.too_many_rows",
                format!("{path} has more than {MOST_ROWS} rows."),
                "Split the records over two books.",
            ));
        }
        let mut line = 0;
        for (at, goes) in goes.iter().enumerate() {
            let text = record.get(at).unwrap_or("");
            match goes {
                Goes::Column(position) => push_cell(&mut cells[*position], text, &options),
                Goes::SourceLine => line = text.parse().unwrap_or(0),
                Goes::Key => keys.push(text.parse().unwrap_or(u32::MAX)),
            }
        }
        lines.push(line);
    }
    table.resize(n_rows);
    table.source_line = lines;
    for goes in &goes {
        if let Goes::Column(position) = goes {
            let filled = &mut cells[*position];
            // Another program typed over a calculated column: what was typed counts.
            if !filled.holds_nothing() {
                filled.formula = None;
            }
            if let Some(column) = table.column_mut(&filled.key) {
                std::mem::swap(column, filled);
            }
        }
    }
    Ok(ReadTable { table, keys })
}

fn place_fields(
    table: &mut Table,
    header: &csv::StringRecord,
    resource: &Resource,
) -> Result<Vec<Goes>, Error> {
    let path = &resource.path;
    let mut goes = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for name in header {
        if seen.contains(&name) {
            return Err(Error::new(
                "book.sheet.columns",
                format!("{path} has two columns called {name}."),
                "If another program changed the file, give one of them another name. Otherwise open an older copy of the book.",
            ));
        }
        seen.push(name);
        let field = resource
            .schema
            .fields
            .iter()
            .find(|field| field.name == name);
        let notes = field
            .and_then(|field| field.fairpen.clone())
            .unwrap_or_default();
        if notes.origin == "source_line" {
            goes.push(Goes::SourceLine);
            continue;
        }
        if notes.origin == "row_key" {
            goes.push(Goes::Key);
            continue;
        }
        let position = match table.column_position(name) {
            Some(position) => position,
            None => {
                if table.columns().len() - table.kind.columns().len() >= MOST_OWN_COLUMNS {
                    return Err(Error::new(
                        "book.sheet.columns",
                        format!("{path} has more than {MOST_OWN_COLUMNS} columns of your own."),
                        "Take out columns that you do not need.",
                    ));
                }
                let kind = kind_from(&notes.kind).unwrap_or(Kind::Text);
                // A column that another program added may have any header.
                let key = if field.is_some() && !name.is_empty() {
                    name.to_owned()
                } else {
                    own_key(table.kind, name, |key| table.column(key).is_some())
                };
                // A column without a header of any kind is called by its key, as it will be saved.
                let label = field.map_or(name, |field| field.title.as_str());
                let label = [label, name, &key]
                    .into_iter()
                    .find(|label| !label.is_empty())
                    .unwrap_or(&key);
                table.add_column(Column::new(&key, label, kind, Origin::Own));
                table.columns().len() - 1
            }
        };
        let key = table.columns()[position].key.clone();
        if let Some(column) = table.column_mut(&key) {
            column.header = notes.header;
            if column.origin == Origin::Own {
                column.formula = notes.formula;
            }
        }
        goes.push(Goes::Column(position));
    }
    Ok(goes)
}

fn push_cell(column: &mut Column, text: &str, options: &ReadOptions) {
    let row = u32::try_from(column.len()).expect("rows are counted against MOST_ROWS");
    let not_ours = match &mut column.cells {
        Cells::Text(cells) => {
            cells.push(text);
            false
        }
        Cells::Number(cells) => {
            let number = text.parse().ok().filter(|number: &f64| !number.is_nan());
            cells.push(number.unwrap_or(f64::NAN));
            number.is_none() && !text.is_empty()
        }
        Cells::Day(cells) => {
            let day = day_from(text);
            cells.push(day.unwrap_or(Day::MISSING));
            day.is_none() && !text.is_empty()
        }
        Cells::Code(cells) => {
            let code = match column.kind {
                Kind::Code(codes) => codes.words.iter().position(|word| word.key == text),
                _ => None,
            };
            cells.push(
                code.and_then(|code| u8::try_from(code).ok())
                    .unwrap_or(NO_CODE),
            );
            code.is_none() && !text.is_empty()
        }
    };
    if not_ours {
        // Another program changed the cell: it is read as if it had been typed.
        let value = value_of(column.kind, text, options);
        if value != Value::Missing {
            let _missing = column.put(row, value);
        }
    }
}

fn unreadable_file(path: &str, cause: &csv::Error) -> Error {
    let place = cause.position().map_or_else(String::new, |position| {
        format!(", line {}", position.line())
    });
    let what = match cause.kind() {
        csv::ErrorKind::Utf8 { .. } => "the text is not UTF-8".to_owned(),
        _ => "the file cannot be read as CSV".to_owned(),
    };
    Error::new(
        "book.sheet.unreadable",
        format!("{path}{place}: {what}."),
        "If another program changed the file, save it as CSV in UTF-8. Otherwise open an older copy of the book.",
    )
}
