//! Formulas of the book in hand: what is wrong with one, what could be typed, what it would give.
//!
//! Enters: the text of a formula and the column it is for. Leaves: findings, offers, values.
//! Always true: a formula that is refused changed nothing; what is shown while typing changes nothing.
//! Never: keeps a formula that was not given by a change.

use super::Desk;
use crate::error::Error;
use crate::formula::complete::{Completion, complete};
use crate::formula::names::Holds;
use crate::formula::parse::parse;
use crate::formula::trouble::{Trouble, Weight};
use crate::formula::values::shown;
use crate::results::calculated::{preview, users};
use crate::results::formula_check::{BookNames, troubles};
use crate::sheet::edit::Command;
use crate::sheet::schema::SheetKind;

impl Desk {
    /// What is wrong or doubtful in a formula for a column, and what it gives; `key` is empty for a column to
    /// come.
    pub fn check_formula(&self, sheet: SheetKind, key: &str, text: &str) -> (Vec<Trouble>, Holds) {
        troubles(&self.book, &self.results, sheet, key, text)
    }

    /// What could stand at a byte of a formula's text.
    pub fn complete_formula(&self, sheet: SheetKind, text: &str, cursor: usize) -> Completion {
        let names = BookNames::with_results(&self.book, &self.results);
        complete(sheet.key(), text, cursor, &names)
    }

    /// What a formula would give in some rows, as people would read it; nothing when it cannot be read or
    /// names what is not there.
    pub fn preview_formula(
        &self,
        sheet: SheetKind,
        key: &str,
        text: &str,
        rows: &[u32],
    ) -> Vec<String> {
        let (troubles, gives) = self.check_formula(sheet, key, text);
        if troubles
            .iter()
            .any(|trouble| trouble.weight == Weight::Error)
        {
            return Vec::new();
        }
        let Ok(tree) = parse(text) else {
            return Vec::new();
        };
        let dates = gives.numbers == Some(crate::formula::names::Numbers::Dates);
        preview(&self.book, &self.results, sheet, &tree, rows)
            .iter()
            .map(|value| shown(value, dates))
            .collect()
    }

    /// Refuses a change that would give a column a formula that cannot work.
    pub(super) fn refuse_formulas(&self, command: &Command) -> Result<(), Error> {
        let (sheet, key, text) = match command {
            Command::AddCalculated { sheet, formula, .. } => (*sheet, "", formula),
            Command::SetFormula {
                sheet,
                column,
                formula: Some(formula),
            } if !formula.trim().is_empty() => (*sheet, column.as_str(), formula),
            Command::Together(commands) => {
                return commands
                    .iter()
                    .try_for_each(|command| self.refuse_formulas(command));
            }
            _ => return Ok(()),
        };
        let (troubles, _) = self.check_formula(sheet, key, text.trim());
        match troubles
            .into_iter()
            .find(|trouble| trouble.weight == Weight::Error)
        {
            Some(trouble) => Err(Error::new(trouble.code, trouble.message, trouble.hint)),
            None => Ok(()),
        }
    }

    /// Refuses to take a column away that a formula uses.
    pub(super) fn refuse_removal(&self, command: &Command) -> Result<(), Error> {
        let Command::RemoveColumn { sheet, column: key } = command else {
            return Ok(());
        };
        let users: Vec<String> = users(&self.book, *sheet, key)
            .into_iter()
            .map(|(there, label)| {
                if there == *sheet {
                    label
                } else {
                    format!("{label} ({})", there.label())
                }
            })
            .collect();
        let Some((last, others)) = users.split_last() else {
            return Ok(());
        };
        let label = self
            .book
            .sheet(*sheet)
            .column(key)
            .map_or(key.as_str(), |column| column.label.as_str());
        let named = if others.is_empty() {
            format!("the formula of {last} uses it")
        } else {
            format!("the formulas of {} and {last} use it", others.join(", "))
        };
        Err(Error::new(
            "sheet.column.in_formula",
            format!("{label} cannot be taken away: {named}."),
            "Change those formulas first, or hide the column.",
        ))
    }

    /// What is to be said of a cell where a formula gave an error.
    pub(super) fn error_words(&self, sheet: SheetKind, row: usize, key: &str) -> Option<String> {
        let column = self.results.calculated.column(sheet, key)?;
        let error = column.error(row)?;
        if !column.circle.is_empty() {
            return Some(format!(
                "{error}: the formulas go round in a circle: {}.",
                column.circle.join(" needs ")
            ));
        }
        Some(format!("{error}: {}", error.words()))
    }
}
