//! A spreadsheet file: its kind, its sheets, their cells.
//!
//! Enters: bytes. Leaves: lists of sheets, and sheets as text.
//! Always true: what is not a spreadsheet, is locked, or unpacks to too much is refused before it is read.
//! Never: runs a macro, follows a link, or computes a formula.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use calamine::{Data, Dimensions, Ods, Range, Reader, Style, Xls, Xlsx, XlsxError};
use zip::ZipArchive;

use crate::SheetListed;
use crate::cell::{text_of, text_of_ref};
use crate::compound::{claims_too_much, runs_in_circles};
use crate::grid::{Grid, Merged, SheetText};
use crate::refusal::{Refused, locked, no_sheet, nothing_in_it, too_large, unreadable};

/// Most bytes that a packed file may say it unpacks to.
const MOST_UNPACKED: u64 = 1 << 30;
/// The first bytes of the compound files that hold XLS, and of locked XLSX files (MS-CFB, 2.2).
const COMPOUND: [u8; 8] = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];

type Bytes = Cursor<Vec<u8>>;

enum Kind {
    Xlsx(Box<Xlsx<Bytes>>),
    Xls(Box<Xls<Bytes>>),
    Ods(Box<Ods<Bytes>>),
}

/// A spreadsheet file in hand.
pub struct File {
    kind: Kind,
    read: BTreeMap<String, (Grid, Vec<String>)>,
}

/// Whether bytes begin as a spreadsheet file does: a ZIP or a compound file.
pub fn may_be_spreadsheet(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(&COMPOUND)
}

impl File {
    /// Opens a file.
    ///
    /// # Errors
    /// `import.spreadsheet.unreadable`, `.locked`, `.too_large`.
    pub fn open(bytes: Vec<u8>) -> Result<File, Refused> {
        let kind = guarded(|| {
            if bytes.starts_with(&COMPOUND) {
                compound(bytes)
            } else {
                packed(bytes)
            }
        })?;
        Ok(File {
            kind,
            read: BTreeMap::new(),
        })
    }

    /// The sheets that hold something, in the order of the file.
    ///
    /// # Errors
    /// `import.spreadsheet.empty` when none does; those of [`File::csv`].
    pub fn sheets(&mut self) -> Result<Vec<SheetListed>, Refused> {
        let mut listed = Vec::new();
        for name in self.names() {
            let (grid, _) = self.grid(&name)?;
            let (n_rows, n_columns) = grid.size();
            if n_rows > 0 {
                listed.push(SheetListed {
                    first_texts: grid.first_texts(),
                    name,
                    n_rows,
                    n_columns,
                });
            }
        }
        if listed.is_empty() {
            return Err(nothing_in_it());
        }
        Ok(listed)
    }

    /// The cells of a sheet.
    ///
    /// # Errors
    /// `import.spreadsheet.no_sheet`, `.unreadable`, `.too_large`.
    pub fn csv(&mut self, name: &str) -> Result<SheetText, Refused> {
        if !self.names().iter().any(|known| known == name) {
            return Err(no_sheet(name));
        }
        let (grid, remarks) = self.grid(name)?;
        Ok(SheetText {
            bytes: grid.to_csv()?,
            remarks: remarks.clone(),
        })
    }

    fn names(&self) -> Vec<String> {
        match &self.kind {
            Kind::Xlsx(file) => file.sheet_names(),
            Kind::Xls(file) => file.sheet_names(),
            Kind::Ods(file) => file.sheet_names(),
        }
    }

    fn grid(&mut self, name: &str) -> Result<&(Grid, Vec<String>), Refused> {
        if !self.read.contains_key(name) {
            let (mut grid, merged) = guarded(|| cells(&mut self.kind, name))?;
            let merged: Vec<Merged> = merged.iter().map(region).collect();
            let remarks = grid.spread(&merged)?;
            self.read.insert(name.to_owned(), (grid, remarks));
        }
        self.read.get(name).ok_or_else(|| no_sheet(name))
    }
}

/// Reads with a library that stops the program on some kinds of damage: that too is only a file that cannot
/// be read. (In WebAssembly, where a stop cannot be caught, the page starts the module anew.)
fn guarded<T>(read: impl FnOnce() -> Result<T, Refused>) -> Result<T, Refused> {
    catch_unwind(AssertUnwindSafe(read)).unwrap_or_else(|_| Err(unreadable("it is damaged")))
}

fn cells(kind: &mut Kind, name: &str) -> Result<(Grid, Vec<Dimensions>), Refused> {
    match kind {
        Kind::Xlsx(file) => xlsx_cells(file, name),
        Kind::Xls(file) => {
            let merged = file.merge_cells_by_sheet_name(name).unwrap_or_default();
            let range = file
                .worksheet_range(name)
                .map_err(|cause| unreadable(&cause.to_string()))?;
            Ok((cells_of(&range)?, merged))
        }
        Kind::Ods(file) => {
            let range = file
                .worksheet_range(name)
                .map_err(|cause| unreadable(&cause.to_string()))?;
            Ok((cells_of(&range)?, Vec::new()))
        }
    }
}

fn region(cells: &Dimensions) -> Merged {
    Merged {
        rows: (cells.start.0, cells.end.0),
        columns: (cells.start.1, cells.end.1),
    }
}

fn compound(bytes: Vec<u8>) -> Result<Kind, Refused> {
    // Before any reader sees it: that is the only time to stop one that would not end.
    if runs_in_circles(&bytes) {
        return Err(unreadable("its parts refer to each other in a circle"));
    }
    // A locked XLSX file is a compound file too.
    if let Err(XlsxError::Password) = Xlsx::new(Cursor::new(bytes.clone())) {
        return Err(locked());
    }
    if claims_too_much(&bytes) {
        return Err(unreadable(
            "it claims more rows and columns than a sheet can have",
        ));
    }
    match Xls::new(Cursor::new(bytes)) {
        Ok(file) => Ok(Kind::Xls(Box::new(file))),
        Err(calamine::XlsError::Password) => Err(locked()),
        Err(cause) => Err(unreadable(&cause.to_string())),
    }
}

fn packed(bytes: Vec<u8>) -> Result<Kind, Refused> {
    let open_document = {
        let mut archive = ZipArchive::new(Cursor::new(&bytes))
            .map_err(|_| unreadable("it is neither an Excel nor an OpenDocument file"))?;
        let mut unpacked: u64 = 0;
        for at in 0..archive.len() {
            let part = archive
                .by_index_raw(at)
                .map_err(|cause| unreadable(&cause.to_string()))?;
            unpacked = unpacked.saturating_add(part.size());
        }
        if unpacked > MOST_UNPACKED {
            return Err(too_large());
        }
        archive.index_for_name("content.xml").is_some()
    };
    if open_document {
        match Ods::new(Cursor::new(bytes)) {
            Ok(file) => Ok(Kind::Ods(Box::new(file))),
            Err(calamine::OdsError::Password) => Err(locked()),
            Err(cause) => Err(unreadable(&cause.to_string())),
        }
    } else {
        match Xlsx::new(Cursor::new(bytes)) {
            Ok(file) => Ok(Kind::Xlsx(Box::new(file))),
            Err(XlsxError::Password) => Err(locked()),
            Err(cause) => Err(unreadable(&cause.to_string())),
        }
    }
}

/// The cells one by one as they stand in the file: a sheet that says it is huge takes no room.
fn xlsx_cells(file: &mut Xlsx<Bytes>, name: &str) -> Result<(Grid, Vec<Dimensions>), Refused> {
    let merged = file.merge_cells_by_sheet_name(name).unwrap_or_default();
    let damaged = |cause: XlsxError| unreadable(&cause.to_string());
    let mut cells = match file.worksheet_cells_reader(name) {
        Ok(cells) => cells,
        // A chart on a sheet of its own has no cells.
        Err(XlsxError::NotAWorksheet(_)) => return Ok((Grid::default(), Vec::new())),
        Err(cause) => return Err(damaged(cause)),
    };
    let formats: Vec<Option<String>> = cells.styles().iter().map(format_code).collect();
    let mut grid = Grid::default();
    while let Some((cell, style)) = cells.next_cell_with_style_id().map_err(damaged)? {
        let (row, column) = cell.get_position();
        let format = formats.get(style).and_then(Option::as_deref);
        grid.put(row, column, text_of_ref(cell.get_value(), format))?;
    }
    Ok((grid, merged))
}

fn format_code(style: &Style) -> Option<String> {
    style
        .number_format
        .as_ref()
        .map(|format| format.format_code.clone())
}

fn cells_of(range: &Range<Data>) -> Result<Grid, Refused> {
    let mut grid = Grid::default();
    let (first_row, first_column) = range.start().unwrap_or_default();
    for (row, column, value) in range.used_cells() {
        let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
            return Err(too_large());
        };
        let row = first_row.saturating_add(row);
        grid.put(
            row,
            first_column.saturating_add(column),
            text_of(value, None),
        )?;
    }
    Ok(grid)
}
