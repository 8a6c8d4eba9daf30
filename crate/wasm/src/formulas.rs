//! Formulas as they cross.
//!
//! Enters: the text of a formula and a place in it, in UTF-16 units as JavaScript counts. Leaves: findings,
//! offers and the catalogue of functions.
//! Always true: nothing here changes the book; a formula is given by [`crate::types::Change`].

use fairpen_engine::error::Error;
use fairpen_engine::formula::complete::Kind;
use fairpen_engine::formula::function::{Function, Group, all};
use fairpen_engine::formula::names::{Holds, Numbers};
use fairpen_engine::formula::trouble::{Span, Trouble, Weight};
use fairpen_engine::results::made::Made;
use fairpen_engine::share::working::as_calf::as_calf;
use fairpen_engine::share::working::calculated::calculated;
use fairpen_engine::share::working::checked::checked;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give, give_all, refused, sheet};
use crate::session::Session;
use crate::types::{
    FormulaCheck, FormulaCompletion, FormulaFunction, FormulaOffer, FormulaParameter,
    FormulaTrouble, WorkingInfo,
};
use crate::working::info_of as info_of_working;

#[wasm_bindgen]
impl Session {
    /// What can be said of a formula for a column (an empty key for a column to come), and what it would give
    /// in some rows.
    pub fn check_formula(
        &self,
        sheet_key: &str,
        column: &str,
        text: &str,
        rows: Vec<u32>,
    ) -> Answer<Ts<FormulaCheck>> {
        let kind = sheet(sheet_key)?;
        let (troubles, gives) = self.desk.check_formula(kind, column, text);
        let usable = troubles
            .iter()
            .all(|trouble| trouble.weight != Weight::Error);
        give(FormulaCheck {
            usable,
            troubles: troubles
                .into_iter()
                .map(|trouble| trouble_of(trouble, text))
                .collect(),
            gives: word_of(gives).to_owned(),
            preview: if usable && !rows.is_empty() {
                let table = self.desk.book().sheet(kind);
                let rows: Vec<u32> = rows.iter().filter_map(|&key| table.row_of(key)).collect();
                self.desk.preview_formula(kind, column, text, &rows)
            } else {
                Vec::new()
            },
        })
    }

    /// What could stand at the cursor of a formula.
    pub fn complete_formula(
        &self,
        sheet_key: &str,
        text: &str,
        cursor: u32,
    ) -> Answer<Ts<FormulaCompletion>> {
        let at = byte_at(text, cursor as usize);
        let completion = self.desk.complete_formula(sheet(sheet_key)?, text, at);
        let replaces = completion.replaces.utf16(text);
        let argument = completion.inside.map_or(0, |inside| {
            let n = inside.function.parameters.len();
            let repeats = inside.function.repeats.max(1);
            match inside.argument.checked_sub(n) {
                Some(beyond) => n.saturating_sub(repeats) + beyond % repeats,
                None => inside.argument,
            }
        });
        give(FormulaCompletion {
            start: count(replaces.start),
            end: count(replaces.end),
            offers: completion
                .offers
                .into_iter()
                .map(|offer| FormulaOffer {
                    kind: match offer.kind {
                        Kind::Function => "function",
                        Kind::Column => "column",
                        Kind::Sheet => "sheet",
                    }
                    .to_owned(),
                    name: offer.name,
                    insert: offer.insert,
                    detail: offer.detail,
                    help: offer.help,
                })
                .collect(),
            inside: completion
                .inside
                .map(|inside| function_of(inside.group, inside.function)),
            argument: count(argument),
        })
    }

    /// All functions of the formula language, group by group.
    pub fn formula_functions(&self) -> Answer<Vec<Ts<FormulaFunction>>> {
        give_all(
            all()
                .map(|(group, function)| function_of(group, function))
                .collect(),
        )
    }

    /// The working behind a calculated cell of any sheet.
    pub fn calculated_working(
        &self,
        sheet_key: &str,
        row_key: u32,
        column: &str,
    ) -> Answer<Ts<WorkingInfo>> {
        let (book, results) = (self.desk.book(), self.desk.results());
        let kind = sheet(sheet_key)?;
        let row = self.row(kind, row_key) as usize;
        let working = match Made::from_key(kind, column) {
            Some(Made::Check(_)) => checked(book, row, column),
            Some(Made::AsCalf(..)) => as_calf(book, results, kind, row, column),
            _ => calculated(book, results, kind, row, column),
        };
        give(info_of_working(
            book,
            working.ok_or_else(|| {
                refused(&Error::new(
                    "share.working.unknown",
                    "There is no working for this cell.",
                    "Choose a cell of a calculated column.",
                ))
            })?,
        ))
    }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// The byte of a text at a place counted in UTF-16 units.
fn byte_at(text: &str, units: usize) -> usize {
    let mut before = 0;
    for (at, character) in text.char_indices() {
        if before >= units {
            return at;
        }
        before += character.len_utf16();
    }
    text.len()
}

fn trouble_of(trouble: Trouble, text: &str) -> FormulaTrouble {
    let Span { start, end } = trouble.span.utf16(text);
    FormulaTrouble {
        code: trouble.code.to_owned(),
        error: trouble.weight == Weight::Error,
        start: count(start),
        end: count(end),
        message: trouble.message,
        hint: trouble.hint,
    }
}

fn word_of(gives: Holds) -> &'static str {
    match (gives.numbers, gives.texts, gives.logicals) {
        (None, false, false) => "",
        (Some(Numbers::Plain), false, false) => "number",
        (Some(Numbers::Dates), false, false) => "date",
        (None, true, false) => "text",
        (None, false, true) => "logical",
        _ => "mixed",
    }
}

fn function_of(group: Group, function: &Function) -> FormulaFunction {
    FormulaFunction {
        name: function.name.to_owned(),
        group: group.label.to_owned(),
        signature: function.signature(),
        parameters: function
            .parameters
            .iter()
            .map(|parameter| FormulaParameter {
                name: parameter.name.to_owned(),
                optional: parameter.optional,
                whole: parameter.takes.is_whole(),
            })
            .collect(),
        repeats: count(function.repeats),
        help: function.help.to_owned(),
        example: function.example.to_owned(),
        section: function.section.to_owned(),
    }
}
