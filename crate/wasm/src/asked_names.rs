//! Names of a file that fit several animals, as they cross.
//!
//! Enters: what the desk asks about, and choices. Leaves: [`ImportName`]s, the preview anew.
//! Always true: a choice is the place of an animal among those shown.
//! Never: chooses.

use fairpen_engine::desk::bring_in::asked_names::ShownName;
use fairpen_engine::sheet::schema::SheetKind;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give_all, refused};
use crate::session::Session;
use crate::types::{ImportMayMean, ImportName, ImportPreview};

#[wasm_bindgen]
impl Session {
    /// Names of the file that fit several animals, from the `first` on, at most `n`.
    pub fn import_names(&self, first: u32, n: u32) -> Answer<Vec<Ts<ImportName>>> {
        let sheet = self
            .desk
            .import_shown()
            .map(|(_, imported)| imported.plan.sheet);
        let names = self.desk.import_names(first as usize, n as usize);
        give_all(names.into_iter().map(|name| name_of(name, sheet)).collect())
    }

    /// Says which animal a name of a row means, by its place in `ImportName.mayMean`; `undefined` leaves it for later.
    /// The file need not be given again. Gives what was understood, anew.
    pub fn import_name(
        &mut self,
        row: u32,
        column: &str,
        nth: u32,
        choice: Option<u32>,
    ) -> Answer<Ts<ImportPreview>> {
        self.desk
            .import_name(row, column, nth, choice)
            .map_err(|refusal| refused(&refusal))?;
        self.import_preview()
    }
}

fn name_of(shown: ShownName<'_>, sheet: Option<SheetKind>) -> ImportName {
    let asked = shown.asked;
    ImportName {
        row: asked.row,
        line: shown.line,
        column: asked.column.to_owned(),
        label: sheet
            .and_then(|sheet| sheet.column(asked.column))
            .map_or(asked.column, |known| known.label)
            .to_owned(),
        nth: asked.nth,
        name: asked.name.clone(),
        on: shown.on,
        may_mean: shown
            .may_mean
            .into_iter()
            .map(|one| ImportMayMean {
                words: one.place.words,
                text: one.text,
            })
            .collect(),
        chosen: asked.chosen,
    }
}
