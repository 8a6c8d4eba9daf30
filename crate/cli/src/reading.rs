//! An input turned into a book.
//!
//! Enters: the path of an input and how to read it. Leaves: [`Opened`]: the book, its results, what was
//! understood of each file, and everything doubtful.
//! Always true: nothing is asked; what a file leaves open is read one stated way and listed as a question;
//! results are in the unit the calves file is in, unless a settings file says otherwise.
//! Never: drops a row, or answers a question silently.

use std::path::{Path, PathBuf};

use fairpen_engine::book::open::open;
use fairpen_engine::check::check;
use fairpen_engine::import::plan::{DateOrder, ImportPlan, PlannedColumn, Target};
use fairpen_engine::import::reader::{ImportOptions, Imported, read_all};
use fairpen_engine::note::{Note, Place, Severity};
use fairpen_engine::results::Results;
use fairpen_engine::sheet::codes::plain_words;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::remembered::Remembered;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::{Settings, WeightUnit};
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_engine::sheet::{apply::apply, edit::Command};

use fairpen_wasm_spreadsheet::refusal::MERGED;

use crate::args::{ColumnSaid, Order, ReadingArguments, Unit};
use crate::failure::Failure;
use crate::input::{self, Input, InputFile};
use crate::settings;
use crate::today::today;

/// A file that was read.
pub struct FileRead {
    /// Its name, without the folders above it.
    pub name: String,
    /// SHA-256, hexadecimal.
    pub sha256: String,
    /// Rows it gave.
    pub n_rows: usize,
    /// How it was read and what it left open; `None` for a saved book.
    pub understood: Option<Understood>,
}

/// How a file was read.
pub struct Understood {
    /// The plan.
    pub plan: ImportPlan,
    /// For each column of the plan: key in the table, filled cells, unreadable cells.
    pub columns: Vec<(Option<String>, u32, u32)>,
    /// What it leaves open, with the reading that was used.
    pub questions: Vec<OpenQuestion>,
    /// Records without anything in them.
    pub n_blank: u32,
    /// Lines above the header.
    pub n_above_header: u32,
}

/// A question that nobody was there to answer.
pub struct OpenQuestion {
    /// The question in words.
    pub question: String,
    /// How it was read.
    pub read_as: String,
    /// How to answer it.
    pub answer_with: String,
}

/// An input, opened and computed.
pub struct Opened {
    /// The book.
    pub book: Workbook,
    /// Everything computed from it.
    pub results: Results,
    /// What was read, in the order of the sheets.
    pub files: Vec<FileRead>,
    /// Names of files that were not read.
    pub not_read: Vec<String>,
    /// Where they lie, so that nothing is written over them.
    pub paths: Vec<PathBuf>,
    /// Everything doubtful: about the files first, then about the records.
    pub notes: Vec<Note>,
    /// What is doubtful in a saved book and was accepted there.
    pub accepted: Vec<Note>,
    /// Where the day that counts as today came from, in words.
    pub as_of_from: &'static str,
}

impl Opened {
    /// How many notes matter this much.
    pub fn count(&self, severity: Severity) -> usize {
        self.notes
            .iter()
            .filter(|note| note.severity == severity)
            .count()
    }
}

/// Opens and computes an input.
pub fn open_input(path: &Path, how: &ReadingArguments) -> Result<Opened, Failure> {
    let input = input::read(path, how.sheet.as_deref())?;
    let mut paths = input.paths();
    paths.extend(how.settings.clone());
    let (book, files, not_read, mut notes, as_of_from) = match input {
        Input::Book(file) => {
            let (book, read, as_of_from) = saved_book(&file, how)?;
            (book, vec![read], Vec::new(), Vec::new(), as_of_from)
        }
        Input::Tables { files, not_read } => {
            let tables = tables(&files, how)?;
            (
                tables.book,
                tables.files,
                not_read,
                tables.notes,
                tables.as_of_from,
            )
        }
    };
    let results = Results::recalculate(&book);
    let findings = check(&book, &results);
    notes.extend(findings.notes(&book, &results));
    let accepted = findings.accepted_notes(&book, &results).collect();
    Ok(Opened {
        book,
        results,
        files,
        not_read,
        paths,
        notes,
        accepted,
        as_of_from,
    })
}

/// The day that counts as today, and where it came from.
fn as_of(
    how: &ReadingArguments,
    settings: &Settings,
    said_by: &'static str,
) -> (Day, &'static str) {
    match how.as_of {
        Some(day) => (day, "--as-of"),
        None if settings.as_of.is_missing() => (today(), "today's date"),
        None => (settings.as_of, said_by),
    }
}

fn saved_book(
    file: &InputFile,
    how: &ReadingArguments,
) -> Result<(Workbook, FileRead, &'static str), Failure> {
    if how.unit.is_some()
        || how.date_order.is_some()
        || !how.columns.is_empty()
        || how.like.is_some()
    {
        return Err(Failure::new(
            "A saved book has its unit, its dates and its columns settled, so --unit, --date-order, --column and --like do not go with it.",
            "Leave them out. To see a book in the other unit, give a settings file with \"weight_unit\".",
        ));
    }
    let mut book = open(&file.bytes).map_err(|error| Failure::of_file(&file.path, &error))?;
    let mut said_by = "the book";
    let mut chosen = book.settings.clone();
    if let Some(path) = &how.settings {
        let file = settings::with_file(&chosen, path)?;
        if file.gives("as_of") {
            said_by = "the settings file";
        }
        chosen = file.settings;
    }
    let (day, as_of_from) = as_of(how, &chosen, said_by);
    chosen.as_of = day;
    // As an edit of the settings, so that a change of unit converts the weights.
    let _way_back = apply(&mut book, Command::SetSettings(Box::new(chosen)))?;
    let read = FileRead {
        name: file.name.clone(),
        sha256: file.sha256.clone(),
        n_rows: SheetKind::ALL
            .iter()
            .map(|&sheet| book.sheet(sheet).n_rows())
            .sum(),
        understood: None,
    };
    Ok((book, read, as_of_from))
}

struct Tables {
    book: Workbook,
    files: Vec<FileRead>,
    notes: Vec<Note>,
    as_of_from: &'static str,
}

fn tables(files: &[(SheetKind, InputFile)], how: &ReadingArguments) -> Result<Tables, Failure> {
    let mut book = Workbook::new();
    let mut unit_is_settled = false;
    if let Some(path) = &how.settings {
        let file = settings::with_file(&book.settings, path)?;
        unit_is_settled = file.gives("weight_unit");
        book.settings = file.settings;
    }
    let (day, as_of_from) = as_of(how, &book.settings, "the settings file");
    book.settings.as_of = day;

    let remembered = match &how.like {
        None => Remembered::new(),
        Some(path) => remembered_in(path)?,
    };
    let mut not_there: Vec<&ColumnSaid> = how.columns.iter().collect();
    let single = files.len() == 1 && how.sheet.is_none();
    let mut files_read = Vec::with_capacity(files.len());
    let mut notes = Vec::new();
    for (sheet, file) in files {
        let for_book = ImportOptions::for_book(&book);
        let options = |plan| ImportOptions {
            sheet: (!single).then_some(*sheet),
            plan,
            unit_is_open: for_book.unit_is_open && !unit_is_settled,
            remembered: remembered.clone(),
            part: file.part.clone(),
            ..for_book.clone()
        };
        let read = |options| {
            read_all(&file.bytes, &file.name, options)
                .map_err(|error| Failure::of_file(&file.path, &error))
        };
        let mut imported = read(options(None))?;
        if imported.plan.sheet != *sheet {
            return Err(Failure::new(
                format!(
                    "{} looks like a file of {}, not of calves.",
                    file.path.display(),
                    imported.plan.sheet.key().replace('_', " ")
                ),
                "Put it in a folder together with calves.csv and give the folder. If it does hold calves, name it \
                 calves.csv, put it in a folder, and give the folder.",
            ));
        }
        let mut plan = imported.plan.clone();
        not_there.retain(|said| !choose(&mut plan, said));
        refuse_strangers(file, &plan)?;
        notes.extend(
            imported
                .recalled
                .as_ref()
                .map(|recalled| recalled.note(*sheet)),
        );
        if let Some(unit) = how.unit {
            plan.choose_weight_unit(match unit {
                Unit::Lb => WeightUnit::Pound,
                Unit::Kg => WeightUnit::Kilogram,
            });
        }
        if let Some(order) = how.date_order {
            plan.choose_date_order(match order {
                Order::MonthFirst => DateOrder::MonthFirst,
                Order::DayFirst => DateOrder::DayFirst,
            });
        }
        if plan != imported.plan {
            imported = read(options(Some(plan)))?;
        }
        files_read.push(file_read(file, &imported));
        notes.extend(file.remarks.iter().map(|remark| Note {
            code: MERGED,
            severity: Severity::Remark,
            place: Place {
                sheet: Some(*sheet),
                ..Place::default()
            },
            read: String::new(),
            message: remark.clone(),
            hint: "Nothing to mend, if it belongs to each of these rows.".to_owned(),
        }));
        notes.append(&mut imported.notes);
        // The calves come first: a book without weights takes their unit.
        book.settings.weight_unit = imported.table_unit;
        *book.sheet_mut(*sheet) = imported.table;
    }
    if let Some(said) = not_there.first() {
        return Err(Failure::new(
            format!(
                "No file has a column \"{}\" in a sheet where it could go to that column.",
                said.header
            ),
            "Give the header as it stands in the file, and a key of its sheet.",
        ));
    }
    Ok(Tables {
        book,
        files: files_read,
        notes,
        as_of_from,
    })
}

/// Says what a column of the file is; false when the file has no such header or its sheet no such column.
fn choose(plan: &mut ImportPlan, said: &ColumnSaid) -> bool {
    if let Target::Known(key) = &said.target
        && plan.sheet.column(key).is_none()
    {
        return false;
    }
    let position = plan
        .columns
        .iter()
        .position(|column| column.header == said.header)
        .or_else(|| {
            plan.columns
                .iter()
                .position(|column| plain_words(&column.header) == plain_words(&said.header))
        });
    if let Some(position) = position {
        plan.choose(position, said.target.clone());
    }
    position.is_some()
}

/// The ways of reading that a saved book remembers.
fn remembered_in(path: &Path) -> Result<Remembered, Failure> {
    let bytes = std::fs::read(path).map_err(|error| Failure::of_path("read", path, &error))?;
    let book = open(&bytes).map_err(|error| Failure::of_file(path, &error))?;
    Ok(book.remembered)
}

/// A file none of whose headers is known is no file for this sheet.
fn refuse_strangers(file: &InputFile, plan: &ImportPlan) -> Result<(), Failure> {
    let known = |column: &PlannedColumn| matches!(column.target, Target::Known(_));
    if plan.columns.iter().any(known) {
        return Ok(());
    }
    let keys: Vec<&str> = plan
        .sheet
        .columns()
        .iter()
        .map(|column| column.key)
        .collect();
    Err(Failure::new(
        format!("{} has no header that is known.", file.path.display()),
        format!(
            "Put a line of headers on top of the file, each a common word for one of: {}.",
            keys.join(", ")
        ),
    ))
}

fn file_read(file: &InputFile, imported: &Imported) -> FileRead {
    FileRead {
        name: file.name.clone(),
        sha256: file.sha256.clone(),
        n_rows: imported.table.n_rows(),
        understood: Some(Understood {
            plan: imported.plan.clone(),
            columns: imported
                .columns
                .iter()
                .map(|column| (column.key.clone(), column.n_filled, column.n_unreadable))
                .collect(),
            questions: crate::question::left_open(imported),
            n_blank: imported.n_blank,
            n_above_header: imported.n_above_header,
        }),
    }
}
