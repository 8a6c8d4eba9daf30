//! The one object that the page's workers talk to.
//!
//! Enters: calls. Leaves: shapes of [`crate::types`], bytes, typed arrays; a refusal is thrown as
//! `{ code, message, hint }`.
//! Always true: a change that returns has been made, and the bytes it returns are its journal record; a
//! change that throws changed nothing.
//! Never: keeps anything beyond the page's life; storage is the worker's.

use fairpen_engine::book::digest::Digest;
use fairpen_engine::book::form::day_from;
use std::ops::ControlFlow;

use fairpen_engine::compare::progress::{CompareProgress, Stage};
use fairpen_engine::compare::response::offered;
use fairpen_engine::compare::{comparable_columns, compare_watched};
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::replay::need_files;
use fairpen_engine::error::Error;
use fairpen_engine::note::Severity;
use fairpen_engine::results::ResultColumn;
use fairpen_engine::share::tables;
use fairpen_engine::share::working::calculated::calculated;
use fairpen_engine::share::working::working;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use js_sys::{Array, Function};
use tsify::Ts;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::change::command_of;
use crate::columns::{DOUBTFUL, GridWindow, IN_ERROR, counts_of, info_of, view_of, window_of};
use crate::comparison::{comparable_of, offered_of, spec_of, view_of as comparison_of};
use crate::comparison_types::ResponseOption;
use crate::groups::groups_view;
use crate::imports::{Chosen, chosen_of, preview_of};
use crate::merging::{choices_of, rows_of};
use crate::problems::group_of;
use crate::refusal::{Answer, give, give_all, refused, sheet, take};
use crate::remembered::remembered_of;
use crate::settings_form::form_of;
use crate::types::{
    BookState, Change, ColumnInfo, ComparableColumn, CompareRequest, ComparisonView, GroupsView,
    ImportChoices, ImportMergeChoices, ImportPreview, ImportRow, ProblemCounts, ProblemGroup,
    RememberedFile, ReplayReport, SettingsForm, SheetInfo, ValueCount, ViewSpec, WorkingInfo,
};
use crate::working::info_of as info_of_working;

/// The book in hand, as JavaScript sees it.
#[wasm_bindgen]
#[derive(Default)]
pub struct Session {
    pub(crate) desk: Desk,
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn no_file() -> wasm_bindgen::JsValue {
    thrown(Error::new(
        "import.not_begun",
        "No file is being brought in.",
        "Choose the file again.",
    ))
}

fn thrown(refusal: Error) -> wasm_bindgen::JsValue {
    refused(&refusal)
}

#[wasm_bindgen]
impl Session {
    /// An empty book.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Session {
        Session { desk: Desk::new() }
    }

    /// Version of the engine.
    pub fn version(&self) -> String {
        crate::version()
    }

    /// What the top line and the lists show.
    pub fn state(&self) -> Answer<Ts<BookState>> {
        let book = self.desk.book();
        let history = self.desk.history();
        let findings = self.desk.findings();
        give(BookState {
            revision: u32::try_from(book.revision()).unwrap_or(u32::MAX),
            looks: u32::try_from(book.looks.revision()).unwrap_or(u32::MAX),
            title: book.settings.title.clone(),
            work_list: book.work_list.clone(),
            weight_unit: book.settings.weight_unit.symbol().to_owned(),
            sheets: SheetKind::ALL
                .into_iter()
                .map(|kind| SheetInfo {
                    key: kind.key().to_owned(),
                    label: kind.label().to_owned(),
                    n_rows: count(book.sheet(kind).n_rows()),
                    a_row_is: kind.a_row_is().to_owned(),
                    what_for: kind.what_for().to_owned(),
                })
                .collect(),
            undo: history.undo_words().map(str::to_owned),
            redo: history.redo_words().map(str::to_owned),
            problems: ProblemCounts {
                errors: count(findings.count(Severity::Error)),
                doubtful: count(findings.count(Severity::Doubtful)),
                remarks: count(findings.count(Severity::Remark)),
                accepted: count(findings.accepted.len()),
            },
            summary: self.desk.summary(),
        })
    }

    /// Opens a saved book in place of this one.
    pub fn open(&mut self, bytes: &[u8]) -> Answer<()> {
        self.desk.open(bytes).map_err(thrown)
    }

    /// The book as bytes.
    pub fn save(&self) -> Answer<Vec<u8>> {
        self.desk.save().map_err(thrown)
    }

    /// The settings a person can change.
    pub fn settings(&self) -> Answer<Ts<SettingsForm>> {
        give(form_of(&self.desk.book().settings))
    }

    /// Makes a change. Append the bytes to the journal before you acknowledge it.
    pub fn change(&mut self, c: Ts<Change>) -> Answer<Vec<u8>> {
        let command = command_of(self.desk.book(), take(c)?)?;
        self.desk.change(command).map_err(thrown)
    }

    /// Takes the last change back; no bytes when there is none.
    pub fn undo(&mut self) -> Answer<Vec<u8>> {
        self.desk.undo().map_err(thrown)
    }

    /// Does it again; no bytes when there is nothing to do again.
    pub fn redo(&mut self) -> Answer<Vec<u8>> {
        self.desk.redo().map_err(thrown)
    }

    /// Applies journal records to the book in hand.
    pub fn replay(&mut self, records: &[u8]) -> Answer<Ts<ReplayReport>> {
        let report = self.desk.replay(records);
        give(ReplayReport {
            applied: report.n_applied,
            set_aside: report.n_set_aside,
            message: report.message,
        })
    }

    /// Digests of the files that the records refer to.
    pub fn need_files(&self, records: &[u8]) -> Vec<String> {
        need_files(records)
    }

    /// Keeps a file in memory for replay and gives its digest.
    pub fn provide_file(&mut self, _name: String, bytes: Vec<u8>) -> String {
        self.desk.provide_file(bytes)
    }

    /// Begins to bring a file in, in chunks.
    pub fn import_begin(&mut self, file_name: &str) {
        self.desk.import_begin(file_name);
    }

    /// The same for a sheet of a spreadsheet file (`part` is its name there, empty for a text file), on the day that
    /// counts as today (ISO, or empty).
    pub fn import_begin_from(&mut self, file_name: &str, part: &str, today: &str) {
        let today = day_from(today).unwrap_or(Day::MISSING);
        self.desk.import_begin_from(file_name, part, today);
    }

    /// Begins to read the file again as if no file like it had ever come in: all its bytes are pushed once more,
    /// then it is finished.
    pub fn import_anew(&mut self) -> Answer<()> {
        self.desk.import_anew(None).map_err(thrown)
    }

    /// The ways of reading files that the book remembers.
    pub fn remembered(&self) -> Answer<Vec<Ts<RememberedFile>>> {
        give_all(remembered_of(self.desk.book()))
    }

    /// Takes the next bytes of the file; gives the rows so far.
    pub fn import_push(&mut self, chunk: &[u8]) -> Answer<u32> {
        self.desk.import_push(chunk).map_err(thrown)
    }

    /// Ends the file; gives what was understood.
    pub fn import_finish(&mut self) -> Answer<Ts<ImportPreview>> {
        self.desk.import_finish().map_err(thrown)?;
        self.import_preview()
    }

    /// Begins to read the file again by what was chosen: all its bytes are pushed once more, then it is
    /// finished.
    pub fn import_choose(&mut self, c: Ts<ImportChoices>) -> Answer<()> {
        let choices: ImportChoices = take(c)?;
        let plan = self.desk.import_plan().ok_or_else(no_file)?;
        match chosen_of(plan, &choices).map_err(thrown)? {
            Chosen::Plan(plan) => self.desk.import_by_plan(*plan),
            Chosen::Sheet(sheet) => self.desk.import_for_sheet(sheet),
        }
        .map_err(thrown)
    }

    /// Says what becomes of the rows when the sheet has rows already; the file need not be given again. Gives what
    /// was understood, anew.
    pub fn import_merge(&mut self, c: Ts<ImportMergeChoices>) -> Answer<Ts<ImportPreview>> {
        let choices = choices_of(take(c)?).map_err(thrown)?;
        self.desk.import_merge(choices).map_err(thrown)?;
        self.import_preview()
    }

    /// Rows of the file beside the record, from the `first` of that kind on, at most `n`. `kind` is `new`, `same`,
    /// `fills`, `differs`, `unclear`, `taken_off`, or empty for all. Nothing while the sheet has no rows.
    pub fn import_rows(&self, first: u32, n: u32, kind: &str) -> Answer<Vec<Ts<ImportRow>>> {
        give_all(rows_of(&self.desk, kind, first, n).map_err(thrown)?)
    }

    /// Gives the file up.
    pub fn import_cancel(&mut self) {
        self.desk.import_cancel();
    }

    /// Brings the rows in from the file kept under `digest` (SHA-256, hexadecimal); gives the journal
    /// record.
    pub fn import_commit(&mut self, digest: &str) -> Answer<Vec<u8>> {
        self.desk.import_commit(digest).map_err(thrown)
    }

    /// The digest of bytes, for a browser that makes none itself.
    pub fn digest(bytes: &[u8]) -> String {
        Digest::of(bytes)
    }

    pub(crate) fn import_preview(&self) -> Answer<Ts<ImportPreview>> {
        let (file_name, imported) = self.desk.import_shown().ok_or_else(no_file)?;
        give(preview_of(&self.desk, file_name, imported))
    }

    /// What is doubtful, by kind; of each kind the first `per_group`.
    pub fn problems(&self, per_group: u32) -> Answer<Vec<Ts<ProblemGroup>>> {
        let kinds = self.desk.problems(per_group as usize);
        give_all(
            kinds
                .into_iter()
                .map(|kind| group_of(self.desk.book(), kind))
                .collect(),
        )
    }

    /// What was doubtful and is accepted, in the same way.
    pub fn accepted_problems(&self, per_group: u32) -> Answer<Vec<Ts<ProblemGroup>>> {
        let kinds = self.desk.accepted_problems(per_group as usize);
        give_all(
            kinds
                .into_iter()
                .map(|kind| group_of(self.desk.book(), kind))
                .collect(),
        )
    }

    /// All columns of a sheet, in order.
    pub fn columns(&self, sheet_key: &str) -> Answer<Vec<Ts<ColumnInfo>>> {
        let columns = self.desk.columns(sheet(sheet_key)?);
        give_all(columns.into_iter().map(info_of).collect())
    }

    /// Shows a sheet sorted and filtered; gives the number of rows shown.
    pub fn set_view(&mut self, v: Ts<ViewSpec>) -> Answer<u32> {
        let spec: ViewSpec = take(v)?;
        let kind = sheet(&spec.sheet)?;
        Ok(count(self.desk.set_view(kind, &view_of(spec))))
    }

    /// Rows of the view from position `first` on, at most `n`.
    pub fn window(
        &self,
        sheet_key: &str,
        first: u32,
        n: u32,
        columns: Vec<String>,
    ) -> Answer<GridWindow> {
        let kind = sheet(sheet_key)?;
        let window = self.desk.window(kind, first as usize, n as usize, &columns);
        let positions: Vec<Option<usize>> = columns
            .iter()
            .map(|key| self.desk.book().sheet(kind).column_position(key))
            .collect();
        let marks = |row_key: u32, column: usize| {
            let row = self.row(kind, row_key);
            let severity = positions
                .get(column)
                .copied()
                .flatten()
                .and_then(|position| self.desk.severity_of_cell(kind, row, position));
            match severity {
                Some(Severity::Error) => IN_ERROR,
                Some(Severity::Doubtful) => DOUBTFUL,
                Some(Severity::Remark) | None => 0,
            }
        };
        Ok(window_of(window, columns.len().max(1), marks))
    }

    /// A cell as it is typed over, in full precision.
    pub fn raw(&self, sheet_key: &str, row_key: u32, column: &str) -> Answer<String> {
        let kind = sheet(sheet_key)?;
        let row = self.row(kind, row_key);
        Ok(self.desk.raw_cell(kind, column, row as usize))
    }

    /// What is to be said of a cell; empty when nothing.
    pub fn remark(&self, sheet_key: &str, row_key: u32, column: &str) -> Answer<String> {
        let kind = sheet(sheet_key)?;
        Ok(self.desk.remark(kind, self.row(kind, row_key), column))
    }

    /// The distinct shown texts of a column with their counts.
    pub fn values(&self, sheet_key: &str, column: &str) -> Answer<Vec<Ts<ValueCount>>> {
        give_all(counts_of(self.desk.values(sheet(sheet_key)?, column)))
    }

    /// Where Ctrl with an arrow goes from position `from`; `direction` is 1 or -1.
    pub fn edge(&self, sheet_key: &str, from: u32, column: &str, direction: i32) -> Answer<u32> {
        let kind = sheet(sheet_key)?;
        Ok(count(self.desk.edge(
            kind,
            from as usize,
            column,
            direction >= 0,
        )))
    }

    /// Position of a row in the view; -1 when it is filtered out.
    pub fn position(&self, sheet_key: &str, row_key: u32) -> Answer<i32> {
        let position = self.desk.position_of(sheet(sheet_key)?, row_key);
        Ok(position.and_then(|at| i32::try_from(at).ok()).unwrap_or(-1))
    }

    /// The next position after `from` whose row holds the text in one of the columns, going round at the end;
    /// -1 when no row does. `from` of -1 starts at the top.
    pub fn find(
        &self,
        sheet_key: &str,
        text: &str,
        from: i32,
        columns: Vec<String>,
    ) -> Answer<i32> {
        let kind = sheet(sheet_key)?;
        let from = usize::try_from(from).ok();
        let found = self.desk.find(kind, text, from, &columns);
        Ok(found.and_then(|at| i32::try_from(at).ok()).unwrap_or(-1))
    }

    /// The working behind a number of a calf.
    pub fn working(&self, row_key: u32, column: &str) -> Answer<Ts<WorkingInfo>> {
        let (book, results) = (self.desk.book(), self.desk.results());
        let row = self.row(SheetKind::Calves, row_key) as usize;
        let working = match ResultColumn::from_key(column) {
            Some(column) => working(book, results, row, column),
            None => calculated(book, results, SheetKind::Calves, row, column),
        };
        give(info_of_working(
            book,
            working.ok_or_else(|| {
                thrown(Error::new(
                    "share.working.unknown",
                    "There is no working for this cell.",
                    "Choose a calf, and a column that is worked out.",
                ))
            })?,
        ))
    }

    /// A table as CSV: `adjusted`, `groups`, `problems`, or a sheet by its key.
    pub fn csv(&self, table: &str) -> Answer<String> {
        let (book, results) = (self.desk.book(), self.desk.results());
        let bytes = match table {
            "adjusted" => tables::adjusted_csv(book, results),
            "groups" => tables::groups_csv(book, results),
            "problems" => {
                let findings = self.desk.findings();
                let notes: Vec<_> = findings.notes(book, results).collect();
                let accepted: Vec<_> = findings.accepted_notes(book, results).collect();
                tables::problems_csv(&notes, &accepted)
            }
            key => tables::sheet_csv(book, results, sheet(key)?),
        };
        String::from_utf8(bytes).map_err(|_| {
            thrown(Error::new(
                "share.table.text",
                "The table could not be written as text.",
                "This is a fault in the program: please report it.",
            ))
        })
    }

    /// The contemporary groups.
    pub fn groups(&self) -> Answer<Ts<GroupsView>> {
        give(groups_view(&self.desk))
    }

    /// The columns that can be compared.
    pub fn comparable(&self) -> Answer<Vec<Ts<ComparableColumn>>> {
        let columns = comparable_columns(self.desk.book(), self.desk.results());
        give_all(comparable_of(columns))
    }

    /// What can be compared of the calves beside the usual weaning weight.
    pub fn compare_responses(&self) -> Answer<Vec<Ts<ResponseOption>>> {
        give_all(offered_of(offered(self.desk.book(), self.desk.results())))
    }

    /// Compares levels of a column. `told` hears of each step: the stage from 0, how many there are, the steps
    /// within it, and the stage in words; it stops the work by answering `false`.
    pub fn compare(
        &self,
        r: Ts<CompareRequest>,
        told: Option<Function>,
    ) -> Answer<Ts<ComparisonView>> {
        let request: CompareRequest = take(r)?;
        let spec = spec_of(&request).map_err(thrown)?;
        let mut tell = |progress: CompareProgress| heard(told.as_ref(), progress);
        let comparison = compare_watched(self.desk.book(), self.desk.results(), &spec, &mut tell)
            .map_err(thrown)?;
        give(comparison_of(&self.desk, &comparison))
    }
}

fn heard(told: Option<&Function>, progress: CompareProgress) -> ControlFlow<()> {
    let Some(told) = told else {
        return ControlFlow::Continue(());
    };
    let stage = Stage::ALL
        .iter()
        .position(|stage| *stage == progress.stage)
        .unwrap_or(0);
    let said = Array::of4(
        &JsValue::from(count(stage)),
        &JsValue::from(count(Stage::ALL.len())),
        &JsValue::from(count(progress.step)),
        &JsValue::from(progress.stage.words()),
    );
    match told.apply(&JsValue::NULL, &said) {
        Ok(answer) if answer.is_falsy() && !answer.is_undefined() => ControlFlow::Break(()),
        _ => ControlFlow::Continue(()),
    }
}
