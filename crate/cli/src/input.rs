//! The files of an input.
//!
//! Enters: the path that was given. Leaves: the bytes of its files, each with the sheet it is for.
//! Always true: a folder's files are taken in the order of the sheets; what is in a folder and was not read
//! is named; a sheet of a spreadsheet file is read as if it had been saved as CSV.
//! Never: looks into sub-folders, changes anything.

use std::fs;
use std::path::{Path, PathBuf};

use fairpen_engine::book::digest::Digest;
use fairpen_engine::sheet::codes::plain_words;
use fairpen_engine::sheet::schema::SheetKind;

use crate::failure::Failure;
use crate::spreadsheet;

/// A file's bytes.
pub struct InputFile {
    /// Its name, without the folders above it.
    pub name: String,
    /// Where it lies.
    pub path: PathBuf,
    /// Name of the sheet in a spreadsheet file; empty for a text file.
    pub part: String,
    /// All of it; of a spreadsheet file the text of one sheet.
    pub bytes: Vec<u8>,
    /// SHA-256 of the file on the disk, hexadecimal.
    pub sha256: String,
    /// What was done to make it plain text, in sentences.
    pub remarks: Vec<String>,
}

/// What was given.
pub enum Input {
    /// CSV files, each for a sheet; one of them the calves.
    Tables {
        /// In the order of the sheets.
        files: Vec<(SheetKind, InputFile)>,
        /// Names of other files of the folder, which were not read.
        not_read: Vec<String>,
    },
    /// A saved book.
    Book(InputFile),
}

impl Input {
    /// The files, wherever they came from.
    pub fn paths(&self) -> Vec<PathBuf> {
        match self {
            Input::Tables { files, .. } => {
                files.iter().map(|(_, file)| file.path.clone()).collect()
            }
            Input::Book(file) => vec![file.path.clone()],
        }
    }
}

const SAVE_AS_CSV: &str = "Open it in the program it came from and save it as CSV (UTF-8).";

/// Reads what lies at the path. `calves_sheet` names the sheet of a spreadsheet file that holds the calves.
pub fn read(path: &Path, calves_sheet: Option<&str>) -> Result<Input, Failure> {
    let there = fs::metadata(path).map_err(|error| Failure::of_path("read", path, &error))?;
    if there.is_dir() {
        return folder(path);
    }
    let file = file(path)?;
    let container = container(&file);
    if let (Some(sheet), false) = (calves_sheet, matches!(container, Container::Spreadsheet)) {
        return Err(Failure::new(
            format!(
                "There is no sheet \"{sheet}\" in {}: it is no spreadsheet file.",
                path.display()
            ),
            "Leave --sheet out.",
        ));
    }
    match container {
        Container::Book => Ok(Input::Book(file)),
        Container::Spreadsheet => {
            let (files, not_read) = spreadsheet::sheets(file, calves_sheet)?;
            Ok(Input::Tables { files, not_read })
        }
        Container::Text => Ok(Input::Tables {
            files: vec![(SheetKind::Calves, file)],
            not_read: Vec::new(),
        }),
    }
}

fn file(path: &Path) -> Result<InputFile, Failure> {
    let bytes = fs::read(path).map_err(|error| Failure::of_path("read", path, &error))?;
    if bytes.is_empty() {
        return Err(Failure::new(
            format!("{} is empty.", path.display()),
            "Give a file with a line of headers and one line per calf.",
        ));
    }
    Ok(InputFile {
        name: name_of(path),
        path: path.to_owned(),
        part: String::new(),
        sha256: Digest::of(&bytes),
        bytes,
        remarks: Vec::new(),
    })
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

enum Container {
    Text,
    Spreadsheet,
    Book,
}

/// What kind of file it is, by its first bytes; the ending decides only between kinds that begin alike.
fn container(file: &InputFile) -> Container {
    // The compound file of older spreadsheet programs.
    if file.bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Container::Spreadsheet;
    }
    if !file.bytes.starts_with(b"PK\x03\x04") {
        return Container::Text;
    }
    let beginning = &file.bytes[..file.bytes.len().min(4096)];
    let holds = |text: &[u8]| beginning.windows(text.len()).any(|part| part == text);
    let ending = Path::new(&file.name)
        .extension()
        .map(|ending| ending.to_string_lossy().to_lowercase())
        .unwrap_or_default();
    let by_ending = ["xlsx", "xlsm", "xltx", "ods", "ots", "numbers"].contains(&ending.as_str());
    if by_ending || holds(b"[Content_Types].xml") || holds(b"application/vnd.oasis.opendocument") {
        Container::Spreadsheet
    } else {
        Container::Book
    }
}

fn folder(path: &Path) -> Result<Input, Failure> {
    let mut found: Vec<(SheetKind, PathBuf)> = Vec::new();
    let mut not_read = Vec::new();
    let entries = fs::read_dir(path).map_err(|error| Failure::of_path("list", path, &error))?;
    for entry in entries {
        let entry = entry
            .map_err(|error| Failure::of_path("list", path, &error))?
            .path();
        match sheet_of(&entry) {
            Some(sheet) if entry.is_file() => found.push((sheet, entry)),
            _ => not_read.push(name_of(&entry)),
        }
    }
    // The system lists a folder in any order.
    found.sort();
    not_read.sort();
    if let Some(pair) = found.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        return Err(Failure::new(
            format!(
                "{} and {} are both for the {} sheet.",
                name_of(&pair[0].1),
                name_of(&pair[1].1),
                pair[0].0.key()
            ),
            "Leave one of them in the folder.",
        ));
    }
    if !found.iter().any(|(sheet, _)| *sheet == SheetKind::Calves) {
        let names: Vec<String> = SheetKind::ALL
            .iter()
            .map(|sheet| format!("{}.csv", sheet.key()))
            .collect();
        return Err(Failure::new(
            format!("There is no calves.csv in the folder {}.", path.display()),
            format!("Name each file by what it holds: {}.", names.join(", ")),
        ));
    }
    let mut files = Vec::with_capacity(found.len());
    for (sheet, path) in found {
        let file = file(&path)?;
        if !matches!(container(&file), Container::Text) {
            return Err(Failure::new(
                format!("{} is named .csv but is no text file.", path.display()),
                SAVE_AS_CSV,
            ));
        }
        files.push((sheet, file));
    }
    Ok(Input::Tables { files, not_read })
}

/// The sheet a file is for, by its name: `weigh_days.csv`, `Weigh Days.CSV`.
fn sheet_of(path: &Path) -> Option<SheetKind> {
    let ending = path.extension()?.to_string_lossy().to_lowercase();
    if !["csv", "tsv", "txt"].contains(&ending.as_str()) {
        return None;
    }
    let stem = plain_words(&path.file_stem()?.to_string_lossy());
    SheetKind::ALL
        .into_iter()
        .find(|sheet| plain_words(sheet.key()) == stem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_known_by_their_names() {
        assert_eq!(sheet_of(Path::new("a/calves.csv")), Some(SheetKind::Calves));
        assert_eq!(
            sheet_of(Path::new("a/Weigh Days.CSV")),
            Some(SheetKind::WeighDays)
        );
        assert_eq!(
            sheet_of(Path::new("a/weigh_days.txt")),
            Some(SheetKind::WeighDays)
        );
        assert_eq!(sheet_of(Path::new("a/calves.json")), None);
        assert_eq!(sheet_of(Path::new("a/calves")), None);
        assert_eq!(sheet_of(Path::new("a/my calves.csv")), None);
    }
}
