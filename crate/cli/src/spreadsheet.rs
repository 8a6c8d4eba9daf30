//! The sheets of a spreadsheet file.
//!
//! Enters: the file, and the name of the sheet with the calves where one was given. Leaves: the text of each
//! sheet that is read, with what it is for, and the names of the others.
//! Always true: a sheet goes where its own name says; the calves are never guessed among several.
//! Never: computes a formula; its last result is read.

use fairpen_engine::sheet::codes::plain_words;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_wasm_spreadsheet::file::File;
use fairpen_wasm_spreadsheet::refusal::Refused;

use crate::failure::Failure;
use crate::input::InputFile;

/// Sheets to read, each with what it is for, and the names of the others.
pub type Sheets = (Vec<(SheetKind, InputFile)>, Vec<String>);

/// The sheets to read, in the order of the sheets of a book, and the names of those that are not.
pub fn sheets(file: InputFile, calves_sheet: Option<&str>) -> Result<Sheets, Failure> {
    let refused = |refused: &Refused| {
        Failure::new(
            format!("{}: {}", file.path.display(), refused.message),
            refused.hint,
        )
    };
    let mut spreadsheet =
        quietly(|| File::open(file.bytes.clone())).map_err(|cause| refused(&cause))?;
    let listed = quietly(|| spreadsheet.sheets()).map_err(|cause| refused(&cause))?;
    let names: Vec<String> = listed.into_iter().map(|sheet| sheet.name).collect();
    let calves = calves_among(&names, calves_sheet, &file)?;
    let mut read = Vec::new();
    let mut not_read = Vec::new();
    for name in names {
        let kind = if name == calves {
            Some(SheetKind::Calves)
        } else {
            kind_of(&name).filter(|&kind| kind != SheetKind::Calves)
        };
        let whole_name = format!("{} ({name})", file.name);
        match kind {
            Some(kind) if !read.iter().any(|(taken, _)| *taken == kind) => {
                let text = quietly(|| spreadsheet.csv(&name)).map_err(|cause| refused(&cause))?;
                read.push((
                    kind,
                    InputFile {
                        name: whole_name,
                        path: file.path.clone(),
                        part: name.clone(),
                        bytes: text.bytes,
                        sha256: file.sha256.clone(),
                        remarks: text.remarks,
                    },
                ));
            }
            _ => not_read.push(whole_name),
        }
    }
    read.sort_by_key(|(kind, _)| *kind);
    Ok((read, not_read))
}

/// The name of the sheet that holds the calves.
fn calves_among(
    names: &[String],
    wanted: Option<&str>,
    file: &InputFile,
) -> Result<String, Failure> {
    let list = names
        .iter()
        .map(|name| format!("\"{name}\""))
        .collect::<Vec<_>>()
        .join(", ");
    if let Some(wanted) = wanted {
        return names
            .iter()
            .find(|name| plain_words(name) == plain_words(wanted))
            .cloned()
            .ok_or_else(|| {
                Failure::new(
                    format!(
                        "{} has no sheet \"{wanted}\" with cells in it.",
                        file.path.display()
                    ),
                    format!("Give one of its sheets: {list}."),
                )
            });
    }
    let named = names
        .iter()
        .find(|name| kind_of(name) == Some(SheetKind::Calves));
    match (named, names) {
        (Some(name), _) => Ok(name.clone()),
        (None, [only]) => Ok(only.clone()),
        (None, _) => Err(Failure::new(
            format!("{} has several sheets: {list}.", file.path.display()),
            "Say with --sheet NAME which one holds the calves.",
        )),
    }
}

fn kind_of(name: &str) -> Option<SheetKind> {
    let plain = plain_words(name);
    SheetKind::ALL
        .into_iter()
        .find(|kind| plain_words(kind.key()) == plain)
}

/// Reads without the panic message of a library that stops at some kinds of damage: the refusal says it.
fn quietly<T>(read: impl FnOnce() -> T) -> T {
    let loud = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let answer = read();
    std::panic::set_hook(loud);
    answer
}
