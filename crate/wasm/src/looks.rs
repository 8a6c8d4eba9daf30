//! Looks and saved views as they cross.
//!
//! Enters: parts of a look. Leaves: how a sheet looks, and the journal records of what was kept aside.
//! Always true: hiding, moving, freezing and views are given by [`crate::types::Change`], which can be undone;
//! here widths, sorting and filters are kept, which undo passes over.

use fairpen_engine::desk::Desk;
use fairpen_engine::error::Error;
use fairpen_engine::sheet::look::{ColumnPlace, Look, LookChange};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::view;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::columns::{filter_of, sort_key_of};
use crate::refusal::{Answer, give, refused, sheet, take};
use crate::session::Session;
use crate::types::{ColumnFilter, LookColumn, LookParts, LookWidth, SheetLook, SortKey, ViewInfo};

#[wasm_bindgen]
impl Session {
    /// How a sheet looks now, and its saved views.
    pub fn look(&self, sheet_key: &str) -> Answer<Ts<SheetLook>> {
        give(look_of(&self.desk, sheet(sheet_key)?))
    }

    /// Keeps parts of the look that a sheet has now, as no step of undo. No bytes when nothing differs.
    pub fn keep_look(&mut self, sheet_key: &str, parts: Ts<LookParts>) -> Answer<Vec<u8>> {
        let change = change_of(take(parts)?).map_err(|refusal| refused(&refusal))?;
        self.desk
            .keep_look(sheet(sheet_key)?, change)
            .map_err(|refusal| refused(&refusal))
    }
}

/// Parts of a look as the engine takes them.
///
/// # Errors
/// `sheet.look.sound` for a width or a number of columns beyond all measure.
pub fn change_of(parts: LookParts) -> Result<LookChange, Error> {
    let beyond = || {
        Error::new(
            "sheet.look.sound",
            "This look has a width or a number of columns that cannot be.",
            "This is a fault in the program: please report it.",
        )
    };
    let small = |number: u32| u16::try_from(number).map_err(|_| beyond());
    Ok(LookChange {
        columns: parts.columns.map(|columns| {
            columns
                .into_iter()
                .map(|LookColumn { column, shown }| ColumnPlace { column, shown })
                .collect()
        }),
        widths: parts
            .widths
            .map(|widths| {
                widths
                    .into_iter()
                    .map(|LookWidth { column, px }| Ok((column, small(px)?)))
                    .collect::<Result<_, Error>>()
            })
            .transpose()?,
        n_frozen: parts.frozen.map(small).transpose()?,
        sort: parts
            .sort
            .map(|keys| keys.into_iter().map(sort_key_of).collect()),
        filters: parts
            .filters
            .map(|filters| filters.into_iter().map(filter_of).collect()),
    })
}

fn look_of(desk: &Desk, sheet: SheetKind) -> SheetLook {
    let looks = desk.looks(sheet);
    let Look {
        columns,
        widths,
        n_frozen,
        sort,
        filters,
    } = &looks.present;
    let there = desk.column_keys(sheet);
    SheetLook {
        columns: columns
            .iter()
            .map(|place| LookColumn {
                column: place.column.clone(),
                shown: place.shown,
            })
            .collect(),
        widths: widths
            .iter()
            .map(|(column, px)| LookWidth {
                column: column.clone(),
                px: u32::from(*px),
            })
            .collect(),
        frozen: u32::from(*n_frozen).max(1),
        sort: sort
            .iter()
            .map(|view::SortKey { column, descending }| SortKey {
                column: column.clone(),
                descending: *descending,
            })
            .collect(),
        filters: filters
            .iter()
            .map(|filter| ColumnFilter {
                column: filter.column.clone(),
                contains: filter.contains.clone(),
                values: filter.values.clone(),
            })
            .collect(),
        views: looks
            .views
            .iter()
            .map(|(name, look)| ViewInfo {
                name: name.clone(),
                chosen: look.shows_the_same(&looks.present),
                missing: look.missing(&there),
            })
            .collect(),
    }
}
