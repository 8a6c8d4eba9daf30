//! The commands that change a book.
//!
//! Enters: what a person asked for. Leaves: a command, and the words for it.
//! Always true: every command is reversible and a refused one changes nothing (`super::apply`); a cell's
//! text is kept even when it cannot be read as the column's kind.
//! Never: touches the clock, the screen or storage.

use std::sync::Arc;

use super::accepted::Acceptance;
use super::column::{Kind, Value};
use super::look::{Look, LookChange};
use super::remembered::Remembering;
use super::schema::SheetKind;
use super::settings::{Settings, WeightUnit};
use super::table::Table;
use super::workbook::Workbook;
use crate::note::counted;

/// One cell's new text, as typed. Empty text makes it missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellEdit {
    /// Permanent key of the row.
    pub row: u32,
    /// Key of the column.
    pub column: String,
    /// What was typed.
    pub text: String,
}

/// New values for cells of one column; `rows` and `values` are as long as each other. Where a row stands
/// twice the later value holds.
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnValues {
    /// Key of the column.
    pub column: String,
    /// Permanent keys of the rows.
    pub rows: Vec<u32>,
    /// The values.
    pub values: Vec<Value>,
}

/// Where imported rows come from, enough to read them again from the kept file.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportOrigin {
    /// SHA-256 of the file, hexadecimal; the key under which the file is kept.
    pub digest: String,
    /// Name of the file, for people.
    pub file_name: String,
    /// How it was read.
    pub plan: crate::import::plan::ImportPlan,
    /// Unit of the book before, when the book held no weight and takes the unit of the plan with the rows.
    pub unit_before: Option<WeightUnit>,
    /// Which rows of the file came in as new ones and what was chosen, when its rows were held against rows on
    /// record; `None` when all rows came in.
    pub merge: Option<MergeOrigin>,
}

/// How the rows of a file were put to rows on record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MergeOrigin {
    /// Positions, in the table that was read, of the rows that came in as new ones, in order.
    pub rows: Vec<u32>,
    /// What was chosen.
    pub choices: super::merge_choices::MergeChoices,
}

/// What a column of the person's own is made of: enough to make it again.
#[derive(Clone, Debug)]
pub struct OwnColumn {
    /// Stable key.
    pub key: String,
    /// What people read on top.
    pub label: String,
    /// The header it had in its file.
    pub header: Option<String>,
    /// What it holds.
    pub kind: Kind,
    /// Its formula, when it is calculated.
    pub formula: Option<String>,
    /// Position among all columns of the sheet.
    pub position: u32,
}

/// A change of a book.
#[derive(Clone)]
pub enum Command {
    /// Types texts into cells. Read into [`Command::PutCells`] before it is applied.
    SetCells {
        /// The sheet.
        sheet: SheetKind,
        /// The cells.
        cells: Vec<CellEdit>,
    },
    /// Puts values into cells: typed texts once read, or values put back as they were.
    PutCells {
        /// The sheet.
        sheet: SheetKind,
        /// The values, column by column.
        columns: Vec<ColumnValues>,
    },
    /// Adds blank rows at the end.
    AddRows {
        /// The sheet.
        sheet: SheetKind,
        /// How many.
        n_rows: u32,
    },
    /// Takes the last rows off (the way back from `AddRows` and `Import`).
    DropRows {
        /// The sheet.
        sheet: SheetKind,
        /// How many.
        n_rows: u32,
        /// Own columns to take away with them, those that came with the rows.
        columns: Vec<String>,
        /// Headers that columns had before the rows came.
        headers: Vec<(String, Option<String>)>,
        /// Where the rows came from, so that they can come back; `None` for typed rows.
        origin: Option<Box<ImportOrigin>>,
    },
    /// Adds the rows of an imported table at the end, with its own columns.
    Import {
        /// The rows, already read by `import`, with weights in the book's unit. Moved into the book, and
        /// handed back by the way back, so that they never stand in memory twice.
        table: Arc<Table>,
        /// Where they come from.
        origin: Box<ImportOrigin>,
    },
    /// Takes rows off the record. They count in nothing and are met nowhere until they are brought back.
    TakeOff {
        /// The sheet.
        sheet: SheetKind,
        /// Their permanent keys.
        rows: Vec<u32>,
    },
    /// Brings rows back that were taken off, cell for cell and where they stood.
    BringBack {
        /// The sheet.
        sheet: SheetKind,
        /// Their permanent keys.
        rows: Vec<u32>,
    },
    /// Adds a column of the person's own.
    AddColumn {
        /// The sheet.
        sheet: SheetKind,
        /// What people read on top; the key is made from it.
        label: String,
        /// What it holds.
        kind: Kind,
    },
    /// Has the cells of a column of the person's own read as another kind.
    SetKind {
        /// The sheet.
        sheet: SheetKind,
        /// Its key.
        column: String,
        /// What it holds from now on.
        kind: Kind,
    },
    /// Adds a column of the person's own that is calculated.
    AddCalculated {
        /// The sheet.
        sheet: SheetKind,
        /// What people read on top; the key is made from it.
        label: String,
        /// Its formula.
        formula: String,
    },
    /// Gives a column of the person's own another formula, a first one, or none. A first one is refused while
    /// the column holds anything.
    SetFormula {
        /// The sheet.
        sheet: SheetKind,
        /// Its key.
        column: String,
        /// The formula; `None` makes it a blank column to type into.
        formula: Option<String>,
    },
    /// Puts a blank column of the person's own at its place (the way back from `DropColumn`).
    PutColumn {
        /// The sheet.
        sheet: SheetKind,
        /// The column.
        column: OwnColumn,
    },
    /// Takes a column of the person's own away. Refused while it holds anything.
    DropColumn {
        /// The sheet.
        sheet: SheetKind,
        /// Its key.
        column: String,
    },
    /// Calls a column of the person's own otherwise. Its key stays.
    RenameColumn {
        /// The sheet.
        sheet: SheetKind,
        /// Its key.
        column: String,
        /// What people read on top.
        label: String,
    },
    /// Takes a column of the person's own away with everything in it.
    RemoveColumn {
        /// The sheet.
        sheet: SheetKind,
        /// Its key.
        column: String,
    },
    /// Changes parts of the look that a sheet has now.
    SetLook {
        /// The sheet.
        sheet: SheetKind,
        /// The parts.
        change: Box<LookChange>,
        /// The saved view that the parts are taken from; for the words alone.
        view: Option<String>,
    },
    /// Saves a look under a name, in place of the one that has the name, or deletes the one that has it.
    PutView {
        /// The sheet.
        sheet: SheetKind,
        /// Name of the view.
        name: String,
        /// The look; `None` deletes.
        look: Option<Box<Look>>,
    },
    /// Saves the look that a sheet has now under a name.
    KeepView {
        /// The sheet.
        sheet: SheetKind,
        /// Name of the view.
        name: String,
    },
    /// Gives a sheet the look saved under a name.
    ShowView {
        /// The sheet.
        sheet: SheetKind,
        /// Name of the view.
        name: String,
    },
    /// Calls a saved view otherwise.
    RenameView {
        /// The sheet.
        sheet: SheetKind,
        /// Name before.
        name: String,
        /// New name.
        new_name: String,
    },
    /// Replaces the settings. When the unit of weights changes, the weights in the sheets are converted:
    /// no animal gets heavier by a setting.
    SetSettings(Box<Settings>),
    /// Accepts doubts, or takes acceptances back.
    Accept(Vec<Acceptance>),
    /// Remembers how files of one shape are read, or forgets it.
    Remember(Vec<Remembering>),
    /// Several commands as one: all are applied in order, or none.
    Together(Vec<Command>),
}

impl Command {
    /// True when it changes looks alone, so that no result can differ after it.
    pub fn is_of_looks(&self) -> bool {
        match self {
            Command::SetLook { .. } | Command::PutView { .. } => true,
            Command::Together(commands) => {
                !commands.is_empty() && commands.iter().all(Command::is_of_looks)
            }
            _ => false,
        }
    }

    /// What it does, in words that fit after "Undo": `typing in Weaning weight`.
    pub fn words(&self, book: &Workbook) -> String {
        let label = |sheet: SheetKind, key: &str| {
            book.sheet(sheet)
                .column(key)
                .map_or_else(|| key.to_owned(), |column| column.label.clone())
        };
        let cells_words = |sheet: SheetKind, columns: &[(&str, usize)]| match columns {
            [(column, 1)] => format!("typing in {}", label(sheet, column)),
            [(column, n)] => format!("typing in {n} cells of {}", label(sheet, column)),
            _ => format!(
                "typing in {} cells",
                columns.iter().map(|(_, n)| n).sum::<usize>()
            ),
        };
        match self {
            Command::SetCells { sheet, cells } => {
                let mut columns: Vec<(&str, usize)> = Vec::new();
                for cell in cells {
                    match columns.iter_mut().find(|(key, _)| *key == cell.column) {
                        Some((_, n)) => *n += 1,
                        None => columns.push((&cell.column, 1)),
                    }
                }
                cells_words(*sheet, &columns)
            }
            Command::PutCells { sheet, columns } => cells_words(
                *sheet,
                &columns
                    .iter()
                    .map(|c| (c.column.as_str(), c.rows.len()))
                    .collect::<Vec<_>>(),
            ),
            Command::AddRows { sheet, n_rows } => {
                format!("adding {} to {}", rows_words(*n_rows), sheet.label())
            }
            Command::DropRows { sheet, n_rows, .. } => {
                format!("taking {} off {}", rows_words(*n_rows), sheet.label())
            }
            Command::TakeOff { sheet, rows } => format!(
                "taking {} off {}",
                rows_words(u32::try_from(rows.len()).unwrap_or(u32::MAX)),
                sheet.label()
            ),
            Command::BringBack { sheet, rows } => format!(
                "bringing {} back to {}",
                rows_words(u32::try_from(rows.len()).unwrap_or(u32::MAX)),
                sheet.label()
            ),
            Command::Import { table, origin } => format!(
                "bringing in {} ({})",
                origin.file_name,
                rows_words(u32::try_from(table.n_rows()).unwrap_or(u32::MAX))
            ),
            Command::AddColumn { label, .. } | Command::AddCalculated { label, .. } => {
                format!("adding the column {}", label.trim())
            }
            Command::SetKind {
                sheet,
                column,
                kind,
            } => format!(
                "making {} a column of {}",
                label(*sheet, column),
                kind_words(*kind)
            ),
            Command::SetFormula { sheet, column, .. } => {
                format!("changing the formula of {}", label(*sheet, column))
            }
            Command::PutColumn { column, .. } => format!("adding the column {}", column.label),
            Command::DropColumn { sheet, column } => {
                format!("taking the column {} away", label(*sheet, column))
            }
            Command::RenameColumn { sheet, column, .. } => {
                format!("renaming the column {}", label(*sheet, column))
            }
            Command::RemoveColumn { sheet, column } => {
                format!("taking the column {} away", label(*sheet, column))
            }
            Command::SetLook {
                sheet,
                change,
                view,
            } => look_words(book, *sheet, change, view.as_deref()),
            Command::PutView { name, look, .. } => match look {
                Some(_) => format!("saving the view {name}"),
                None => format!("deleting the view {name}"),
            },
            Command::KeepView { name, .. } => format!("saving the view {name}"),
            Command::ShowView { name, .. } => format!("choosing the view {name}"),
            Command::RenameView { name, .. } => format!("renaming the view {name}"),
            Command::SetSettings(_) => "changing the settings".to_owned(),
            Command::Accept(list) => match list.as_slice() {
                [one] if one.read.is_some() => "letting a problem stand".to_owned(),
                [_] => "taking up a problem again".to_owned(),
                _ => format!("letting {} stand", counted(list.len(), "problem")),
            },
            Command::Remember(list) => match list.as_slice() {
                [Remembering { way: None, .. }] => "forgetting how a file is read".to_owned(),
                _ => "remembering how a file is read".to_owned(),
            },
            Command::Together(commands)
                if let [
                    Command::Import { table, origin },
                    Command::PutCells { columns, .. },
                    ..,
                ] = &commands[..] =>
            {
                let mut rows: Vec<u32> = columns.iter().flat_map(|c| c.rows.clone()).collect();
                fairpen_stats::in_order::order(&mut rows);
                rows.dedup();
                format!(
                    "bringing in {} ({} new, {} changed)",
                    origin.file_name,
                    rows_words(u32::try_from(table.n_rows()).unwrap_or(u32::MAX)),
                    rows.len()
                )
            }
            Command::Together(commands)
                if let [
                    Command::PutView {
                        name, look: None, ..
                    },
                    Command::PutView { look: Some(_), .. },
                ] = &commands[..] =>
            {
                format!("renaming the view {name}")
            }
            // A column is emptied before it is taken away.
            Command::Together(commands)
                if matches!(
                    &commands[..],
                    [Command::PutCells { .. }, Command::DropColumn { .. }]
                ) =>
            {
                commands
                    .last()
                    .map_or_else(String::new, |last| last.words(book))
            }
            // The rest of a batch follows from its first command: rows added, then typed into.
            Command::Together(commands) => commands
                .first()
                .map_or_else(String::new, |first| first.words(book)),
        }
    }
}

/// What a change of a look does, in words: `hiding Ratio`.
fn look_words(
    book: &Workbook,
    sheet: SheetKind,
    change: &LookChange,
    view: Option<&str>,
) -> String {
    if let Some(name) = view {
        return format!("choosing the view {name}");
    }
    let Some(columns) = &change.columns else {
        return match change.n_frozen {
            Some(_) => format!("freezing columns of {}", sheet.label()),
            None => format!("changing the look of {}", sheet.label()),
        };
    };
    let before = &book.looks.of(sheet).present.columns;
    let shown_before = |key: &str| {
        let place = before.iter().find(|place| place.column == key);
        place.and_then(|place| place.shown)
    };
    let turned = |to: bool| -> Vec<&str> {
        columns
            .iter()
            .filter(|place| place.shown == Some(to) && shown_before(&place.column) != Some(to))
            .map(|place| place.column.as_str())
            .collect()
    };
    let named = |keys: &[&str]| match keys {
        [key] => book
            .sheet(sheet)
            .column(key)
            .map_or_else(|| (*key).to_owned(), |column| column.label.clone()),
        keys => counted(keys.len(), "column"),
    };
    match (&turned(false)[..], &turned(true)[..]) {
        ([], []) if columns.is_empty() => format!("choosing the columns of {}", sheet.label()),
        ([], []) => format!("moving columns of {}", sheet.label()),
        (hidden, []) => format!("hiding {}", named(hidden)),
        ([], shown) => format!("showing {}", named(shown)),
        _ => format!("choosing the columns of {}", sheet.label()),
    }
}

/// What a column of a kind holds, in the plural.
pub fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::Text => "text",
        Kind::List => "names",
        Kind::Weight => "weights",
        Kind::Number(_) => "numbers",
        Kind::Date => "dates",
        Kind::Code(_) => "words of a list",
    }
}

fn rows_words(n_rows: u32) -> String {
    if n_rows == 1 {
        "1 row".to_owned()
    } else {
        format!("{n_rows} rows")
    }
}
