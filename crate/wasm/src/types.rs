//! Every shape that crosses between engine and page, and nothing else.
//!
//! Enters: engine values. Leaves: plain structs that become TypeScript types.
//! Always true: weights are in the book's unit and texts are ready to show (numbers shown are computed and
//! rounded once, in Rust); conversions are written out field by field.
//! A value that may be missing is `undefined` on the way out; `null` is understood too on the way in.
//! Never: holds logic of the trade.

// long because: every shape of the boundary stands here, so that a review sees the whole of it at once.

use serde::{Deserialize, Serialize};
use tsify::Tsify;

use crate::comparison_types::{CompareChoices, ModelInfo, SuchInfo, WithinInfo};

/// A refusal or a bug, as the page shows it.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct Refusal {
    /// Stable dotted code.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub hint: String,
}

/// A column as the sheet shows it.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ColumnInfo {
    /// Stable key.
    pub key: String,
    /// Header for people.
    pub label: String,
    /// `lb`, `kg`, `days`, `lb/day` or empty.
    pub unit: String,
    /// `text`, `number`, `date` or `code`.
    pub kind: String,
    /// `entered`, `own`, `calculated` (own, by a formula) or `engine`.
    pub origin: String,
    /// One sentence of help.
    pub help: String,
    /// May be typed into.
    pub editable: bool,
    /// Words of a coded column, or words usually put there; empty otherwise.
    pub choices: Vec<String>,
    /// Its cells name an animal or a place that stands on another sheet.
    pub names_another: bool,
    /// Draw a small bar about 100.
    pub bar: bool,
    /// Holds nothing in any row (known columns nobody uses may be folded away).
    pub empty: bool,
    /// A column of the person's own that came with a file.
    pub from_file: bool,
    /// The formula of a calculated column.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub formula: Option<String>,
}

/// A sheet in the list of sheets.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SheetInfo {
    /// Stable key: `calves`.
    pub key: String,
    /// For people.
    pub label: String,
    /// Rows.
    pub n_rows: u32,
    /// What a row is: `one calf`.
    pub a_row_is: String,
    /// What the sheet is for and how it is begun.
    pub what_for: String,
}

/// The state of the book after any change: what the top line and the lists show.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct BookState {
    /// Grows with every change that a figure could depend on.
    pub revision: u32,
    /// Grows with every change of a look.
    pub looks: u32,
    /// The book's name.
    pub title: String,
    /// In a work list for the alley the place whose calves are expected, empty for every place.
    pub work_list: Option<String>,
    /// `lb` or `kg`.
    pub weight_unit: String,
    /// All sheets, in order.
    pub sheets: Vec<SheetInfo>,
    /// Can be undone: what, in words; `undefined` when nothing.
    pub undo: Option<String>,
    /// Can be redone: what, in words.
    pub redo: Option<String>,
    /// Problems by severity: errors, doubtful, remarks.
    pub problems: ProblemCounts,
    /// One or two plain sentences about the fair weights: how many, how many left out and why.
    pub summary: String,
}

/// How many problems.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ProblemCounts {
    /// Figures that cannot be computed.
    pub errors: u32,
    /// Figures that may be wrong.
    pub doubtful: u32,
    /// Worth knowing.
    pub remarks: u32,
    /// Looked at and accepted; in none of the other counts.
    pub accepted: u32,
}

/// One cell's new text.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct CellText {
    /// Permanent key of the row.
    pub row_key: u32,
    /// Key of the column.
    pub column: String,
    /// What was typed.
    pub text: String,
}

/// Rows of a view: positions, and as a check the permanent keys of the first and the last.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct RowsRequest {
    /// Sheet key.
    pub sheet: String,
    /// Position of the first row in the view.
    pub first: u32,
    /// Position of the last row, which is in.
    pub last: u32,
    /// Permanent key of the first row.
    pub first_key: u32,
    /// Permanent key of the last row.
    pub last_key: u32,
}

/// How many rows of a sheet are shown, and how many are not for another reason than a filter.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct RowsAside {
    /// Rows in the view.
    pub shown: u32,
    /// Rows hidden from the view.
    pub hidden: u32,
    /// Rows taken off the record.
    pub taken_off: u32,
}

/// A change the page asks for.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(tag = "do", rename_all = "camelCase", rename_all_fields = "camelCase")]
pub enum Change {
    /// Type into cells.
    SetCells {
        /// Sheet key.
        sheet: String,
        /// The cells.
        cells: Vec<CellText>,
    },
    /// Blank rows at the end, then type into them, and into rows that were there: one act, one undo.
    AddRows {
        /// Sheet key.
        sheet: String,
        /// How many.
        n_rows: u32,
        /// Texts of the new rows; `row_key` counts from 0 at the first new row.
        cells: Vec<CellText>,
        /// Texts of rows that were there before, by their permanent keys; a paste may run past the last row.
        existing: Vec<CellText>,
    },
    /// A column of the person's own.
    AddColumn {
        /// Sheet key.
        sheet: String,
        /// Header.
        label: String,
        /// What it holds: `text`, `number`, `weight` or `date`.
        kind: String,
    },
    /// Have the cells of an own column read as another kind.
    SetKind {
        /// Sheet key.
        sheet: String,
        /// Column key.
        column: String,
        /// `text`, `number`, `weight` or `date`.
        kind: String,
    },
    /// Let problems stand, or take them up again.
    Accept {
        /// The problems.
        doubts: Vec<DoubtPlace>,
        /// `false` takes them up again.
        accepted: bool,
    },
    /// A column of the person's own that is calculated.
    AddCalculated {
        /// Sheet key.
        sheet: String,
        /// Header.
        label: String,
        /// Formula.
        formula: String,
    },
    /// Another formula for an own column; an empty one makes it a blank column to type into.
    SetFormula {
        /// Sheet key.
        sheet: String,
        /// Column key.
        column: String,
        /// Formula.
        formula: String,
    },
    /// Forget how files of one shape are read.
    Forget {
        /// `RememberedFile.key`.
        key: String,
    },
    /// Call a column of the person's own otherwise; its key stays.
    RenameColumn {
        /// Sheet key.
        sheet: String,
        /// Column key.
        column: String,
        /// New header.
        label: String,
    },
    /// Take a column of the person's own away with everything in it.
    RemoveColumn {
        /// Sheet key.
        sheet: String,
        /// Column key.
        column: String,
    },
    /// Change parts of the look that a sheet has now, as a step that can be undone.
    SetLook {
        /// Sheet key.
        sheet: String,
        /// The parts.
        look: LookParts,
    },
    /// Save the look that a sheet has now under a name, in place of one of that name.
    KeepView {
        /// Sheet key.
        sheet: String,
        /// Name of the view.
        name: String,
    },
    /// Give a sheet the look saved under a name.
    ShowView {
        /// Sheet key.
        sheet: String,
        /// Name of the view.
        name: String,
    },
    /// Call a saved view otherwise.
    RenameView {
        /// Sheet key.
        sheet: String,
        /// Name before.
        name: String,
        /// New name.
        new_name: String,
    },
    /// Delete a saved view.
    DeleteView {
        /// Sheet key.
        sheet: String,
        /// Name of the view.
        name: String,
    },
    /// Change settings.
    SetSettings {
        /// The settings as shown.
        settings: SettingsForm,
    },
}

/// A problem as far as accepting it goes, see [`ProblemInfo`].
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct DoubtPlace {
    /// Sheet key.
    pub sheet: String,
    /// Permanent key of the row, or `undefined` for a whole column.
    pub row_key: Option<u32>,
    /// Column key, or empty.
    pub column: String,
    /// Stable dotted code.
    pub code: String,
    /// What was read.
    pub read: String,
}

/// The settings a person can change here.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SettingsForm {
    /// The book's name.
    pub title: String,
    /// `lb` or `kg`.
    pub weight_unit: String,
    /// ISO date or empty.
    pub as_of: String,
    /// Age window, days.
    pub window_from_days: i32,
    /// Age window, days.
    pub window_to_days: i32,
    /// `actual_only` or `straight_age`.
    pub outside_window: String,
    /// In the book's unit.
    pub standard_birth_weight_male: f64,
    /// In the book's unit.
    pub standard_birth_weight_female: f64,
    /// Days.
    pub weighed_after_weaning_days: i32,
    /// Days.
    pub birth_window_days: i32,
    /// Days.
    pub weigh_window_days: i32,
}

/// A fact of a selected range: `Mean`, `512.4 lb`.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct RangeFact {
    /// Stable word.
    pub key: String,
    /// For people.
    pub label: String,
    /// For people, with its unit.
    pub value: String,
}

/// What to replace, and where.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ReplaceRequest {
    /// Sheet key.
    pub sheet: String,
    /// The text to look for.
    pub find: String,
    /// What stands in its place.
    pub with: String,
    /// Only cells that hold nothing else.
    pub whole_cell: bool,
    /// Capital and small letters are told apart.
    pub match_case: bool,
    /// First position of the view.
    pub first: u32,
    /// Last position of the view, which is in.
    pub last: u32,
    /// Column keys.
    pub columns: Vec<String>,
}

/// What a replacement would change.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ReplaceCount {
    /// Cells that hold the text and can be changed.
    pub n_cells: u32,
    /// Rows with such cells.
    pub n_rows: u32,
    /// Cells of columns that are worked out; they are left alone.
    pub n_left_alone: u32,
    /// Cells whose new text would not be understood in their column.
    pub n_not_understood: u32,
    /// Position of the first such row, or `undefined`.
    pub first: Option<u32>,
}

/// How the rows of a sheet are shown: sorted and filtered, never changed.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ViewSpec {
    /// Sheet key.
    pub sheet: String,
    /// Sort keys, most important first. Missing sorts last either way.
    pub sort: Vec<SortKey>,
    /// Rows holding this text in any shown column; empty for all.
    pub text: String,
    /// Filters by column; all must hold.
    pub filters: Vec<ColumnFilter>,
}

/// One sort key.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SortKey {
    /// Column key.
    pub column: String,
    /// Largest first.
    pub descending: bool,
}

/// A filter on one column.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ColumnFilter {
    /// Column key.
    pub column: String,
    /// Shown text contains this; empty for any.
    pub contains: String,
    /// Shown text is one of these (blank is the empty text); `undefined` for any.
    pub values: Option<Vec<String>>,
}

/// A column's place in a look.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct LookColumn {
    /// Column key.
    pub column: String,
    /// Shown or hidden by choice; `undefined` shows it when it is in use.
    pub shown: Option<bool>,
}

/// A width that was chosen.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct LookWidth {
    /// Column key.
    pub column: String,
    /// CSS pixels.
    pub px: u32,
}

/// Parts of a look that take the place of those there were; `undefined` leaves a part as it is.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct LookParts {
    /// Columns from left to right; those not named stand behind them.
    pub columns: Option<Vec<LookColumn>>,
    /// Widths that were chosen.
    pub widths: Option<Vec<LookWidth>>,
    /// Leading columns that stay in sight.
    pub frozen: Option<u32>,
    /// Sort keys, most important first.
    pub sort: Option<Vec<SortKey>>,
    /// Filters; all must hold.
    pub filters: Option<Vec<ColumnFilter>>,
}

/// How a sheet looks now, and its saved views.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SheetLook {
    /// Columns from left to right; those not named stand behind them. Some may not be there any more.
    pub columns: Vec<LookColumn>,
    /// Widths that were chosen.
    pub widths: Vec<LookWidth>,
    /// Leading columns that stay in sight, at least 1.
    pub frozen: u32,
    /// Sort keys, most important first.
    pub sort: Vec<SortKey>,
    /// Filters; all must hold.
    pub filters: Vec<ColumnFilter>,
    /// Saved views, by name.
    pub views: Vec<ViewInfo>,
}

/// A saved view.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ViewInfo {
    /// Its name.
    pub name: String,
    /// The sheet looks like this now.
    pub chosen: bool,
    /// Keys of columns that it names and that are not there now.
    pub missing: Vec<String>,
}

/// A distinct value of a column.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ValueCount {
    /// As shown; empty for missing.
    pub text: String,
    /// Rows.
    pub n: u32,
}

/// A problem, as a person reads it.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ProblemInfo {
    /// Stable dotted code.
    pub code: String,
    /// `error`, `doubtful` or `remark`.
    pub severity: String,
    /// Sheet key, or empty for the whole file.
    pub sheet: String,
    /// Permanent key of the row, or `undefined`.
    pub row_key: Option<u32>,
    /// `line 14 (tag 4017), column "Wean Wt"`.
    pub place: String,
    /// Column key, or empty.
    pub column: String,
    /// What was read.
    pub read: String,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub hint: String,
}

/// Problems of one kind together.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ProblemGroup {
    /// Stable dotted code.
    pub code: String,
    /// Severity.
    pub severity: String,
    /// What they have in common, a short sentence.
    pub title: String,
    /// How many there are in all.
    pub n: u32,
    /// The first of them (up to a stated number).
    pub problems: Vec<ProblemInfo>,
}

/// A column of a file about to be brought in.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportColumn {
    /// Header in the file.
    pub header: String,
    /// Known column key, `calving_month`, `own`, or `leave_out`.
    pub target: String,
    /// Why, in words.
    pub because: String,
    /// `lb`, `kg` or empty when not a weight or not said.
    pub weight_unit: String,
    /// `years`, `months` or `days` (dam age only; empty otherwise).
    pub age_unit: String,
    /// Unit of this column's cells in `ImportPreview.first_rows`: `lb`, `kg`, `years`, or empty.
    pub shown_unit: String,
    /// First few cells as they stand in the file.
    pub examples: Vec<String>,
    /// Cells with something in them.
    pub n_filled: u32,
    /// Cells that could not be read as the target's kind.
    pub n_unreadable: u32,
}

/// Something the file leaves open.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportQuestion {
    /// `date_order`, `day_count`, `weight_unit`, `male`, `summary_rows`, `repeated`, `stage_unit`, `month_marks`,
    /// `two_columns:` and the key of the known column, `word:` and a word of a result, `check_day`, or `sheet`:
    /// nothing comes in before that one is answered.
    pub key: String,
    /// The question, in words.
    pub question: String,
    /// Possible answers: key and words.
    pub answers: Vec<ImportAnswer>,
    /// The answer in use meanwhile; empty where nothing is taken before it is said.
    pub current: String,
    /// True when a day (year-month-day) can be given as the answer too.
    pub takes_day: bool,
}

/// One possible answer.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportAnswer {
    /// Key, to give back.
    pub key: String,
    /// In words.
    pub words: String,
}

/// What was understood of a file, before anything changes.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportPreview {
    /// Name of the file.
    pub file_name: String,
    /// Sheet its rows go to.
    pub sheet: String,
    /// `comma`, `semicolon` or `tab`.
    pub separator: String,
    /// `lb` or `kg`: unit of weights where a column does not say.
    pub weight_unit: String,
    /// `lb` or `kg`: unit of the weights once they are in. A book without weights takes the file's unit.
    pub book_unit: String,
    /// Rows that will come in.
    pub n_rows: u32,
    /// Every column of the file.
    pub columns: Vec<ImportColumn>,
    /// What is asked and not answered yet.
    pub questions: Vec<ImportQuestion>,
    /// What was asked and answered; another answer can still be given.
    pub answered: Vec<ImportQuestion>,
    /// What is doubtful.
    pub problems: Vec<ProblemGroup>,
    /// The targets that can be chosen: key and label.
    pub targets: Vec<ImportAnswer>,
    /// One plain sentence: what was understood.
    pub summary: String,
    /// The first rows as they will stand, one list per row, in the order of `columns`.
    pub first_rows: Vec<Vec<String>>,
    /// The rows held against the rows on record; `undefined` when the sheet has none yet.
    pub merge: Option<ImportMerge>,
    /// Names in its rows that fit several animals on record.
    pub names_asked: u32,
    /// Those of them for which one was chosen.
    pub names_chosen: u32,
    /// The remembered way it was read by, if any.
    pub remembered: Option<ImportRemembered>,
    /// The next file like this one will be read as this one is now.
    pub will_be_remembered: bool,
}

/// The way by which a file like this one was read before.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportRemembered {
    /// To forget it.
    pub key: String,
    /// Name of the earlier file.
    pub file_name: String,
    /// Day on which it came in, ISO; empty when not known.
    pub on: String,
    /// What of it does not fit this file, in sentences.
    pub misfits: Vec<String>,
    /// Something was chosen otherwise since.
    pub changed: bool,
}

/// How files of one shape are read, as a person settled it.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct RememberedFile {
    /// To forget it.
    pub key: String,
    /// Name of the file it was settled for.
    pub file_name: String,
    /// Name of the sheet in a spreadsheet file, or empty.
    pub part: String,
    /// Day on which that file came in, ISO; empty when not known.
    pub on: String,
    /// Label of the sheet its rows go to.
    pub sheet: String,
    /// The headers of the file.
    pub headers: Vec<String>,
    /// What is done with it, in sentences.
    pub choices: Vec<String>,
}

/// The rows of a file held against the rows on record.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportMerge {
    /// Rows that fit nothing on record.
    pub new_rows: u32,
    /// Rows that say nothing new.
    pub same_rows: u32,
    /// Rows that only fill blanks of a row on record.
    pub changed_rows: u32,
    /// Rows that say something else than the row on record.
    pub conflict_rows: u32,
    /// Rows of which it is not clear which row on record they are.
    pub unclear_rows: u32,
    /// Rows that fit a row taken off the record.
    pub taken_off_rows: u32,
    /// What is chosen.
    pub choices: ImportMergeChoices,
    /// Rows that will come in as new ones, by these choices.
    pub will_add: u32,
    /// Rows on record that will change.
    pub will_change: u32,
    /// Rows taken off that come back.
    pub will_bring_back: u32,
    /// Rows of the file of which something stays out; `problems` names them.
    pub will_leave: u32,
    /// One plain sentence: what will happen.
    pub summary: String,
}

/// What becomes of the rows of a file when the sheet has rows.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportMergeChoices {
    /// False: every row comes in as a new one and nothing else is asked.
    pub match_rows: bool,
    /// New rows come in.
    pub add_new: bool,
    /// Blank cells on record are filled.
    pub fill_blanks: bool,
    /// Cells on record that differ are overwritten.
    pub overwrite: bool,
    /// What becomes of rows that fit a row taken off: `bring_back`, `add`, `leave_out`, or empty while nobody has said.
    pub taken_off: String,
    /// Choices for single rows; a reading of the file forgets them.
    pub rows: Vec<ImportRowChoice>,
}

/// A choice for one row of a file.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportRowChoice {
    /// `ImportRow.row`.
    pub row: u32,
    /// `add`, `leave_out`, `fill` (into `rowKey`, the record kept where it differs), `overwrite` (into `rowKey`),
    /// `bring_back` (the row taken off, filled) or `bring_back_over` (the same, written over where it differs).
    pub choice: String,
    /// The row on record, for `fill` and `overwrite`; the key of the row taken off, for `bring_back` and
    /// `bring_back_over`.
    pub row_key: Option<u32>,
}

/// A row of a file beside the row on record.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportRow {
    /// Position among the rows of the file, to give back.
    pub row: u32,
    /// Its line in the file.
    pub line: u32,
    /// What the animal, place or day of the row is called; empty when nothing names it.
    pub name: String,
    /// `new`, `same`, `fills`, `differs`, `unclear` or `taken_off`.
    pub kind: String,
    /// By what it was found, or why it is unclear, in words.
    pub because: String,
    /// Choice made for it alone: as in `ImportRowChoice`, or empty.
    pub choice: String,
    /// The row on record shown beside it; `undefined` for a new one.
    pub against: Option<u32>,
    /// Rows on record it may be, when unclear.
    pub candidates: Vec<ImportCandidate>,
    /// Rows taken off that it fits, by their permanent keys.
    pub taken_off: Vec<ImportCandidate>,
    /// The row taken off that is shown beside it instead.
    pub against_taken_off: Option<u32>,
    /// Its cells.
    pub cells: Vec<ImportCell>,
}

/// A row on record that a row of a file may be.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportCandidate {
    /// Its key.
    pub row_key: u32,
    /// In words: its first filled cells.
    pub words: String,
}

/// A name of a row of a file that fits several animals on record.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportName {
    /// Position among the rows of the file, to give back.
    pub row: u32,
    /// Its line in the file.
    pub line: u32,
    /// Column key, to give back.
    pub column: String,
    /// What people read on top.
    pub label: String,
    /// Which name of the cell it is, from 0, to give back.
    pub nth: u32,
    /// As the file has it.
    pub name: String,
    /// Day the row speaks of, ISO, or empty.
    pub on: String,
    /// The animals it fits.
    pub may_mean: Vec<ImportMayMean>,
    /// Place in `mayMean` of the one that was chosen.
    pub chosen: Option<u32>,
}

/// An animal that a name may mean.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportMayMean {
    /// What tells it apart: tag, birth, place.
    pub words: String,
    /// What would be written for it; `undefined` where no words tell it from the others.
    pub text: Option<String>,
}

/// A cell of a file beside the record's.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportCell {
    /// Column key.
    pub column: String,
    /// What people read on top.
    pub label: String,
    /// What the file says, with its unit.
    pub incoming: String,
    /// What is on record.
    pub on_record: String,
    /// `silent` (the file says nothing), `same`, `fills`, `differs` or `unread`.
    pub state: String,
}

/// What the person changed in an import: only what is given is changed.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportChoices {
    /// Targets by column position.
    pub targets: Vec<ImportTargetChoice>,
    /// Answers by question key.
    pub answers: Vec<ImportAnswerChoice>,
    /// Sheet key.
    pub sheet: Option<String>,
}

/// A target chosen for a column.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportTargetChoice {
    /// Position of the column in the file.
    pub position: u32,
    /// Known column key, `own` or `leave_out`.
    pub target: String,
}

/// An answer to a question.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ImportAnswerChoice {
    /// Question key.
    pub question: String,
    /// Answer key.
    pub answer: String,
}

/// One input behind a number.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct WorkingInputInfo {
    /// In words.
    pub words: String,
    /// With its unit.
    pub value: String,
    /// Sheet of the cell, or empty.
    pub sheet: String,
    /// Row of the cell, or `undefined`.
    pub row_key: Option<u32>,
    /// Column of the cell, or empty.
    pub column: String,
}

/// The working behind one number.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct WorkingInfo {
    /// Column key.
    pub column: String,
    /// In words.
    pub title: String,
    /// The result with its unit, or why there is none.
    pub result: String,
    /// What went in.
    pub inputs: Vec<WorkingInputInfo>,
    /// In words.
    pub formula: String,
    /// With the numbers put in.
    pub with_numbers: String,
    /// Where the factor was published.
    pub source: String,
    /// A sentence each.
    pub assumed: Vec<String>,
    /// A sentence each.
    pub would_change: Vec<String>,
}

/// A contemporary group as shown. Numbers in the book's unit; `text` fields are rounded for people.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct GroupInfo {
    /// Name.
    pub name: String,
    /// Part key and its words, in the order of the rule.
    pub parts: Vec<ImportAnswer>,
    /// Sex in words.
    pub sex: String,
    /// Place.
    pub place: String,
    /// Calves.
    pub n: u32,
    /// Distinct sires.
    pub n_sires: u32,
    /// First to last birth, for people.
    pub births: String,
    /// First to last weighing, for people.
    pub weighings: String,
    /// Mean.
    pub mean: f64,
    /// Mean, rounded.
    pub mean_text: String,
    /// Standard deviation; `undefined` for one calf.
    pub sd: Option<f64>,
    /// Rounded.
    pub sd_text: String,
    /// What to mind.
    pub flags: Vec<String>,
    /// Tag of each calf, in identity order.
    pub tags: Vec<String>,
    /// Row key of each calf.
    pub row_keys: Vec<u32>,
    /// Adjusted weight of each calf.
    pub weights: Vec<f64>,
}

/// The groups view.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct GroupsView {
    /// One or two plain sentences.
    pub sentence: String,
    /// How groups are formed, a sentence each.
    pub rule: Vec<String>,
    /// The groups.
    pub groups: Vec<GroupInfo>,
    /// Calves without a group: reason and how many.
    pub left_out: Vec<ValueCount>,
    /// Unit of weights.
    pub unit: String,
}

/// A column that can be compared.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ComparableColumn {
    /// Key.
    pub key: String,
    /// Label.
    pub label: String,
    /// Its levels with counts.
    pub levels: Vec<ValueCount>,
}

/// What to compare.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct CompareRequest {
    /// Column key.
    pub column: String,
    /// Levels; empty for all.
    pub levels: Vec<String>,
    /// Seasons; empty for all.
    pub seasons: Vec<String>,
    /// Keys of further columns to hold equal.
    pub hold: Vec<String>,
    /// How it is made.
    #[serde(default)]
    pub choices: CompareChoices,
}

/// An estimate with its interval, in the book's unit, with texts for people.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct EstimateInfo {
    /// Estimate.
    pub value: f64,
    /// Standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
    /// p value, or `undefined`.
    pub p: Option<f64>,
    /// Estimate rounded with unit.
    pub text: String,
    /// `3 to 25 lb`.
    pub interval_text: String,
    /// `0.012`, `< 0.001`, or empty.
    pub p_text: String,
}

/// A level, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct LevelInfo {
    /// Name.
    pub name: String,
    /// Calves used.
    pub n: u32,
    /// Left out, with reasons.
    pub left_out: Vec<ValueCount>,
    /// Mean as weighed; NaN never crosses, `undefined` instead.
    pub raw_mean: Option<f64>,
    /// Rounded.
    pub raw_mean_text: String,
    /// Mean adjusted for age alone.
    pub age_adjusted_mean: Option<f64>,
    /// Rounded.
    pub age_adjusted_mean_text: String,
    /// Mean adjusted by published factors.
    pub adjusted_mean: Option<f64>,
    /// Rounded.
    pub adjusted_mean_text: String,
    /// Least-squares mean, or `undefined`.
    pub ls_mean: Option<EstimateInfo>,
    /// Places.
    pub places: Vec<String>,
    /// The numbers of its calves, for the picture (at most 2,000; beyond that, quantiles serve).
    pub weights: Vec<f64>,
}

/// A step from raw to fair.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct StepInfo {
    /// Key.
    pub key: String,
    /// In words.
    pub words: String,
    /// First minus second, or `undefined`.
    pub difference: Option<EstimateInfo>,
}

/// A pair, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct PairInfo {
    /// Position of the first level.
    pub first: u32,
    /// Position of the second level.
    pub second: u32,
    /// First minus second with the interval that decides, or `undefined`.
    pub difference: Option<EstimateInfo>,
    /// The same by itself, adjusted for no other pair.
    pub alone: Option<EstimateInfo>,
    /// Within each class that was asked for.
    pub within: Vec<WithinInfo>,
    /// Judged by places or seasons, or `undefined`.
    pub such: Option<SuchInfo>,
    /// From raw to fair.
    pub steps: Vec<StepInfo>,
    /// `differs`, `not_shown`, `cannot_separate` or `too_few`.
    pub verdict: String,
    /// In plain words.
    pub sentence: String,
}

/// A balance row, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct BalanceInfo {
    /// Key.
    pub key: String,
    /// In words.
    pub words: String,
    /// `share`, `day`, `weight` or `number`.
    pub kind: String,
    /// One per level, or `undefined`.
    pub values: Vec<Option<f64>>,
    /// One per level, for people.
    pub texts: Vec<String>,
    /// Largest standardised difference, or `undefined`.
    pub standardised_difference: Option<f64>,
    /// True when large enough to mind (over 0.25).
    pub large: bool,
}

/// What became of the calves of a level.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ReachedInfo {
    /// Level name.
    pub level: String,
    /// Started.
    pub started: u32,
    /// Born dead or aborted.
    pub born_dead: u32,
    /// Died before weaning.
    pub died: u32,
    /// Sold or moved before weaning.
    pub sold_early: u32,
    /// Weighed.
    pub weighed: u32,
    /// No weight.
    pub no_weight: u32,
    /// Treated by themselves before weaning; `undefined` where the book has no treatments.
    pub treated: Option<u32>,
    /// Cows that started, each once in a season.
    pub cows_started: u32,
    /// Weight weaned per cow started, for people.
    pub weaned_per_cow_text: String,
}

/// A term of the model, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TermInfo {
    /// In words.
    pub words: String,
    /// In the model.
    pub used: bool,
    /// Why not.
    pub because: String,
    /// Test in words, or empty: `F 3.1 with 2 and 160 d.f., p 0.048`.
    pub test: String,
}

/// Two levels, like with like, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct MatchedInfo {
    /// Position of the first level.
    pub first: u32,
    /// Position of the second level.
    pub second: u32,
    /// The model says otherwise.
    pub model_is_off: bool,
    /// In plain words.
    pub sentence: String,
}

/// What a pair could have shown, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct CouldSeeInfo {
    /// Position of the first level.
    pub first: u32,
    /// Position of the second level.
    pub second: u32,
    /// What the interval rests on: `calves`, `places` or `seasons`.
    pub units: String,
    /// How many of them both levels have.
    pub n: u32,
    /// In plain words.
    pub sentence: String,
    /// The usual differences asked about.
    pub at: Vec<SeenInfo>,
    /// To ask about another, with its difference put in; `undefined` without an interval.
    pub asks: Option<SeenRequest>,
}

/// A difference that records could have shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SeenInfo {
    /// The difference asked about: `20 lb`.
    pub difference_text: String,
    /// The chance that it shows: `64 in 100`.
    pub chance_text: String,
    /// How many it would take in all, for people.
    pub needed_text: String,
}

/// A difference to ask about.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SeenRequest {
    /// Standard error of the difference of the pair, the book's unit.
    pub se: f64,
    /// Its degrees of freedom.
    pub df: f64,
    /// Lower end of its interval.
    pub lower: f64,
    /// Upper end of its interval.
    pub upper: f64,
    /// What the interval rests on: `calves`.
    pub units: String,
    /// How many of them both levels have.
    pub n: u32,
    /// The difference asked about, the book's unit.
    pub difference: f64,
}

/// A comparison, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ComparisonView {
    /// The book's revision it stands on.
    pub revision: u32,
    /// What was asked.
    pub request: CompareRequest,
    /// Label of the column.
    pub column_label: String,
    /// Unit of what is compared; may be empty.
    pub unit: String,
    /// What is compared and how.
    pub model: ModelInfo,
    /// Headline.
    pub sentence: String,
    /// Cautions, most important first.
    pub cautions: Vec<String>,
    /// Levels.
    pub levels: Vec<LevelInfo>,
    /// Pairs.
    pub pairs: Vec<PairInfo>,
    /// What differs between the levels.
    pub balance: Vec<BalanceInfo>,
    /// Terms.
    pub terms: Vec<TermInfo>,
    /// What cannot be separated.
    pub aliased: Vec<String>,
    /// What became of the others.
    pub reached: Vec<ReachedInfo>,
    /// Like with like: every pair once, and once more by sire too where sires are recorded.
    pub matched: Vec<MatchedInfo>,
    /// What the records could have shown, for every pair.
    pub could_see: Vec<CouldSeeInfo>,
    /// Calves in the model.
    pub n_used: u32,
    /// `sd 38 lb with 160 d.f.`
    pub residual_text: String,
    /// One line of method.
    pub method: String,
}

/// A place to send cows to.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialPlaceRequest {
    /// Name.
    pub name: String,
    /// Head it takes, or `undefined`: it shares equally what the others leave.
    pub head: Option<u32>,
}

/// A trial to plan.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialRequest {
    /// Two or more places.
    pub places: Vec<TrialPlaceRequest>,
    /// Fixes the draw.
    pub seed: u32,
    /// Today, ISO; counts where the settings have no day.
    pub today: String,
}

/// A cow of a plan, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialCowInfo {
    /// Permanent key of her row.
    pub row_key: u32,
    /// Tag.
    pub tag: String,
    /// Age class at calving, or empty.
    pub age_class: String,
    /// Bulls of her service, or empty.
    pub bulls: String,
    /// Expected calving date, ISO, or empty.
    pub due: String,
    /// Where it is known from, or empty.
    pub due_from: String,
    /// Where she is now, or empty.
    pub now_in: String,
}

/// The list of a place.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialListInfo {
    /// The place; empty for the cows left over.
    pub name: String,
    /// Its cows, in order of tag.
    pub cows: Vec<TrialCowInfo>,
}

/// How the places differ in a trait, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialBalanceInfo {
    /// In words.
    pub words: String,
    /// One per place, for people.
    pub texts: Vec<String>,
    /// Apart as the cows stand now, in standard deviations, or empty.
    pub before_text: String,
    /// Apart as allotted, or empty.
    pub after_text: String,
    /// True when what is left is large enough to mind (over 0.25).
    pub large: bool,
}

/// A kind of cows that was shared out, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialKindInfo {
    /// Age class, bulls, calving period.
    pub words: Vec<String>,
    /// Cows of each place, and last those left over where there are any.
    pub per_place: Vec<u32>,
}

/// A planned trial, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TrialView {
    /// As of this day, ISO, or empty.
    pub as_of: String,
    /// The places, and last the cows left over where there are any.
    pub lists: Vec<TrialListInfo>,
    /// Cows not allotted: why and how many.
    pub set_aside: Vec<ValueCount>,
    /// How alike the places are.
    pub balance: Vec<TrialBalanceInfo>,
    /// The kinds.
    pub kinds: Vec<TrialKindInfo>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// How it was made.
    pub method: String,
}

/// What goes into a results file.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct HandOverRequest {
    /// Columns of the calves sheet to include (entered, own and engine), in order.
    pub columns: Vec<String>,
    /// Row keys of the calves to include; `undefined` for all.
    pub row_keys: Option<Vec<u32>>,
    /// Include the groups table.
    pub groups: bool,
    /// Include this comparison, or `undefined`.
    pub compare: Option<CompareRequest>,
    /// A line from the ranch, shown on top.
    pub message: String,
    /// Day of the hand-over, ISO (the page knows the clock, the engine does not).
    pub made_on: String,
}

/// What will go and what stays home, before the file is made.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct HandOverPreview {
    /// Calves included.
    pub n_calves: u32,
    /// Columns that can go: key, label, and whether it goes in the present choice.
    pub columns: Vec<HandOverColumn>,
    /// What stays home, a sentence each.
    pub stays_home: Vec<String>,
    /// How many figures will be `recomputed`, `from_totals`, `stated`.
    pub recomputed: u32,
    /// Figures recomputed from included group totals.
    pub from_totals: u32,
    /// Figures stated only.
    pub stated: u32,
}

/// A column that may go.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct HandOverColumn {
    /// Key.
    pub key: String,
    /// Label.
    pub label: String,
    /// Goes in the present choice.
    pub goes: bool,
    /// Goes unless the person says otherwise.
    pub usual: bool,
}

/// What became of the journal's records.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ReplayReport {
    /// Records applied.
    pub applied: u32,
    /// Records set aside, and one for a damaged end.
    pub set_aside: u32,
    /// What a person must know; empty when everything was applied.
    pub message: String,
}

/// Something wrong or doubtful in a formula.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FormulaTrouble {
    /// Stable dotted code.
    pub code: String,
    /// True when the formula cannot be used; false for a remark.
    pub error: bool,
    /// First place, in UTF-16 units as JavaScript counts.
    pub start: u32,
    /// Place after the last.
    pub end: u32,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub hint: String,
}

/// What can be said of a formula before it is given.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FormulaCheck {
    /// Can be used.
    pub usable: bool,
    /// Findings, in the order of the text.
    pub troubles: Vec<FormulaTrouble>,
    /// `number`, `date`, `text`, `logical`, `mixed`, or empty when not known.
    pub gives: String,
    /// What it gives in the rows asked for; empty when it cannot be used.
    pub preview: Vec<String>,
}

/// Something that could be put into a formula.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FormulaOffer {
    /// `function`, `column` or `sheet`.
    pub kind: String,
    /// Key or name.
    pub name: String,
    /// Text to put in, in place of what stands from `start` to `end` of the completion.
    pub insert: String,
    /// A function's signature, a column's label.
    pub detail: String,
    /// One sentence.
    pub help: String,
}

/// One argument of a function.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FormulaParameter {
    /// Name in the help.
    pub name: String,
    /// May be left out.
    pub optional: bool,
    /// A column key here means the whole column.
    pub whole: bool,
}

/// A function of the formula language.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FormulaFunction {
    /// Name.
    pub name: String,
    /// Label of its group.
    pub group: String,
    /// How it is written.
    pub signature: String,
    /// What it takes.
    pub parameters: Vec<FormulaParameter>,
    /// How many of the last parameters may come again and again.
    pub repeats: u32,
    /// One sentence.
    pub help: String,
    /// An example.
    pub example: String,
    /// Section of the standard.
    pub section: String,
}

/// What could stand at the cursor of a formula.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FormulaCompletion {
    /// Where the word at the cursor begins, in UTF-16 units.
    pub start: u32,
    /// Where it ends.
    pub end: u32,
    /// The likeliest first.
    pub offers: Vec<FormulaOffer>,
    /// The function whose arguments are being typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inside: Option<FormulaFunction>,
    /// Which of its parameters, 0 for the first; those that repeat are counted back to themselves.
    pub argument: u32,
}

/// An animal to tap in the alley.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct PadAnimal {
    /// Sheet key.
    pub sheet: String,
    /// Permanent key of its row, or `undefined` for a cow known only as a dam.
    pub row_key: Option<u32>,
    /// Its tag.
    pub tag: String,
    /// What to write where it is named, so that no other is meant.
    pub call: String,
    /// What tells it apart.
    pub words: String,
    /// What is written there already, or empty.
    pub last: String,
    /// The book is a work list, and the animal is not on it.
    pub off_list: bool,
}

/// One fact about one animal, as typed in the alley.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct PadEntry {
    /// `weaning`, `birth`, `yearling`, `weighing`, `calving` or `pregnancy`.
    pub task: String,
    /// The calf's row for weaning, birth and yearling weights; `undefined`, with a tag among the cells, for a calf that
    /// is not on record.
    pub row_key: Option<u32>,
    /// ISO date.
    pub day: String,
    /// Texts by column of the task's sheet.
    pub cells: Vec<PadCell>,
}

/// One text of an entry.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct PadCell {
    /// Column key.
    pub column: String,
    /// What was typed.
    pub text: String,
}

/// What is to be asked before an entry is made in the alley.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct PadDoubts {
    /// What is unlikely, twice, or written over; empty when there is nothing to ask.
    pub sentences: Vec<String>,
    /// What is said yes to when a weight on record would be replaced: `replace 455 lb of 2026-10-13 by 519 lb`; else
    /// empty.
    pub replaces: String,
    /// In words, how both can be kept; empty when they cannot.
    pub keep_both: String,
    /// The entry that keeps both.
    pub other_entry: Option<PadEntry>,
}

/// An entry as it stands in the records.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct PadDone {
    /// Permanent key of its row.
    pub row_key: u32,
    /// The animal's tag.
    pub tag: String,
    /// What was entered.
    pub words: String,
}

/// What differs between an earlier state of the book and the present one.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct BookDifferenceInfo {
    /// The sheets with rows in either state.
    pub sheets: Vec<SheetDifferenceInfo>,
    /// The settings or the name of the book differ.
    pub settings: bool,
}

/// What differs in one sheet. Rows that are alike in every filled cell count as the same.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SheetDifferenceInfo {
    /// The sheet as people call it.
    pub label: String,
    /// Rows then.
    pub n_then: u32,
    /// Rows now.
    pub n_now: u32,
    /// Rows that stand in both.
    pub n_same: u32,
    /// Cells that say something else, the first of them.
    pub cells: Vec<CellDifferenceInfo>,
    /// All such cells.
    pub n_cells: u32,
    /// Rows that were there then only, the first of them, by tag or name.
    pub gone: Vec<String>,
    /// All such rows.
    pub n_gone: u32,
    /// Rows that came since, the first of them, by tag or name.
    pub came: Vec<String>,
    /// All such rows.
    pub n_came: u32,
    /// Her own columns that were there then and are not now.
    pub columns_then: Vec<String>,
    /// Her own columns that came since.
    pub columns_now: Vec<String>,
    /// Columns with another formula.
    pub formulas: Vec<String>,
}

/// A cell that says something else than it did.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct CellDifferenceInfo {
    /// The row, by its present tag or name.
    pub row: String,
    /// Label of the column.
    pub column: String,
    /// Then; empty when blank.
    pub then: String,
    /// Now; empty when blank.
    pub now: String,
}

/// A row that can be opened.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct LinkedPlace {
    /// Sheet key.
    pub sheet: String,
    /// Permanent key of the row.
    pub row_key: u32,
    /// The column to go to.
    pub column: String,
    /// What tells it apart.
    pub words: String,
}

/// A row that a name may stand for.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ChosenPlace {
    /// The row.
    pub place: LinkedPlace,
    /// What the whole cell must hold to stand for it and no other.
    pub cell_text: String,
}

/// A name in a cell and what it stands for.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct NamedInfo {
    /// As written.
    pub name: String,
    /// `one`, `not_there`, `none_fits`, `several`, `taken_off` or `unknown`.
    pub standing: String,
    /// One sentence; empty for `one`.
    pub words: String,
    /// The row, or those that might be meant.
    pub places: Vec<ChosenPlace>,
    /// Rows taken off the record that may be meant, for `taken_off`.
    pub taken_off: Vec<TakenOffRow>,
    /// Sheets on which a row for the name can be added.
    pub add_to: Vec<String>,
}

/// A row that was taken off the record.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct TakenOffRow {
    /// Sheet key.
    pub sheet: String,
    /// Permanent key of the row.
    pub row_key: u32,
    /// What tells it apart.
    pub words: String,
}

/// A row that would stand twice if it came back.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct DoubleInfo {
    /// Permanent key of the row that would come back.
    pub row_key: u32,
    /// That row in words.
    pub words: String,
    /// The row on record that it would double; `undefined` where that would come back with it.
    pub other: Option<LinkedPlace>,
    /// The other row in words.
    pub other_words: String,
    /// What both have: `the same electronic ID`.
    pub same: String,
}

/// Who names an animal by a name that is being typed over.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct NamedByInfo {
    /// The animal: `Cow 17`.
    pub title: String,
    /// The name that stands there now.
    pub name: String,
    /// How many rows name it so.
    pub n: u32,
    /// Where, in words.
    pub words: String,
}

/// A name to offer.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct NameOffer {
    /// What the whole cell would hold.
    pub text: String,
    /// What it stands for, in words.
    pub words: String,
}

/// Rows of one column that name an animal or a place.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct StandsInInfo {
    /// Sheet key.
    pub sheet: String,
    /// The column that names it.
    pub column: String,
    /// `Her calves`.
    pub label: String,
    /// How many rows there are.
    pub n: u32,
    /// The first of them.
    pub rows: Vec<LinkedPlace>,
}

/// A figure of an animal as a calf.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct OwnFigureInfo {
    /// `Adjusted 205-day weight`.
    pub label: String,
    /// With its unit.
    pub text: String,
    /// Its cell.
    pub place: LinkedPlace,
}

/// One animal or place with all that is said of it elsewhere.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct CardInfo {
    /// `Cow 17`.
    pub title: String,
    /// Sentences about it.
    pub facts: Vec<String>,
    /// Its other rows: as a calf, or as what it became.
    pub same: Vec<LinkedPlace>,
    /// What it did as a calf.
    pub as_calf: Vec<OwnFigureInfo>,
    /// Whom it names that was taken off the record.
    pub names_taken_off: Vec<TakenOffRow>,
    /// Where else it stands.
    pub stands_in: Vec<StandsInInfo>,
    /// It can be given a new tag.
    pub can_retag: bool,
    /// It is a heifer that can be kept as a cow.
    pub can_keep: bool,
}
