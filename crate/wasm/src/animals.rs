//! Animals in hand as they cross: what a name stands for, cards, offers, new tags, kept heifers.
//!
//! Enters: cells, rows, what is typed. Leaves: shapes of [`crate::types`], journal records.
//! Always true: days cross as ISO texts, rows by their permanent keys; the engine finds and refuses.

use fairpen_engine::book::form::day_from;
use fairpen_engine::desk::animal::Place;
use fairpen_engine::desk::animal::card::{Card, OwnFigure, StandsIn};
use fairpen_engine::desk::animal::named::Named;
use fairpen_engine::desk::animal::retag::NameKind;
use fairpen_engine::error::Error;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give_all, refused, sheet};
use crate::session::Session;
use crate::types::{
    CardInfo, ChosenPlace, DoubleInfo, LinkedPlace, NameOffer, NamedByInfo, NamedInfo,
    OwnFigureInfo, StandsInInfo, TakenOffRow,
};

#[wasm_bindgen]
impl Session {
    /// What the names in a cell stand for; nothing where the column names nothing or the cell is blank.
    pub fn names_at(
        &self,
        sheet_key: &str,
        row_key: u32,
        column: &str,
    ) -> Answer<Vec<Ts<NamedInfo>>> {
        let kind = sheet(sheet_key)?;
        let book = self.desk.book();
        let names = self.desk.names_at(kind, self.row(kind, row_key), column);
        give_all(
            names
                .into_iter()
                .map(|named| named_of(book, named))
                .collect(),
        )
    }

    /// Names to offer while one is typed, at most `most`. `row_key` is `undefined` for a row to come.
    pub fn names_like(
        &self,
        sheet_key: &str,
        row_key: Option<u32>,
        column: &str,
        typed: &str,
        most: u32,
    ) -> Answer<Vec<Ts<NameOffer>>> {
        let kind = sheet(sheet_key)?;
        let row = row_key.map(|key| self.row(kind, key));
        let offers = self
            .desk
            .names_like(kind, column, row, typed, most as usize);
        give_all(
            offers
                .into_iter()
                .map(|offer| NameOffer {
                    text: offer.text,
                    words: offer.words,
                })
                .collect(),
        )
    }

    /// One animal or place with all that is said of it elsewhere; nothing where rows are neither.
    pub fn card(&self, sheet_key: &str, row_key: u32) -> Answer<Vec<Ts<CardInfo>>> {
        let kind = sheet(sheet_key)?;
        let book = self.desk.book();
        let card = self.desk.card(kind, self.row(kind, row_key));
        give_all(card.into_iter().map(|card| card_of(book, card)).collect())
    }

    /// Gives an animal a new tag or electronic ID from a day (ISO) on; the old one stays with its days. Gives the
    /// journal record.
    pub fn retag(
        &mut self,
        sheet_key: &str,
        row_key: u32,
        what: &str,
        name: &str,
        from: &str,
    ) -> Answer<Vec<u8>> {
        let kind = sheet(sheet_key)?;
        let what = NameKind::from_key(what).ok_or_else(|| {
            refused(&Error::new(
                "sheet.not_resolved",
                format!("There is no name called \"{what}\"."),
                "This is a fault in the program: please report it.",
            ))
        })?;
        self.desk
            .retag(kind, self.row(kind, row_key), what, name, day(from))
            .map_err(|refusal| refused(&refusal))
    }

    /// Who names the animal of a row by the tag or electronic ID that `text` is typed over; nothing where nobody does.
    pub fn named_by(
        &self,
        sheet_key: &str,
        row_key: u32,
        column: &str,
        text: &str,
    ) -> Answer<Vec<Ts<NamedByInfo>>> {
        let kind = sheet(sheet_key)?;
        let by = NameKind::from_key(column).and_then(|what| {
            self.desk
                .named_by(kind, self.row(kind, row_key), what, text)
        });
        give_all(
            by.into_iter()
                .map(|by| NamedByInfo {
                    title: by.title,
                    name: by.name,
                    n: u32::try_from(by.n).unwrap_or(u32::MAX),
                    words: by.words,
                })
                .collect(),
        )
    }

    /// Which rows taken off would stand twice if they came back, by their permanent keys.
    pub fn doubles(&self, sheet_key: &str, row_keys: Vec<u32>) -> Answer<Vec<Ts<DoubleInfo>>> {
        let book = self.desk.book();
        let doubles = self.desk.doubles(sheet(sheet_key)?, &row_keys);
        give_all(
            doubles
                .into_iter()
                .map(|one| DoubleInfo {
                    row_key: one.key,
                    words: one.words,
                    other: one.other.map(|place| place_of(book, place)),
                    other_words: one.other_words,
                    same: one.same.to_owned(),
                })
                .collect(),
        )
    }

    /// Keeps heifers as cows from a day (ISO) on. Gives the journal record.
    pub fn keep_as_cows(&mut self, row_keys: Vec<u32>, from: &str) -> Answer<Vec<u8>> {
        let rows: Vec<u32> = row_keys
            .into_iter()
            .map(|key| self.row(SheetKind::Calves, key))
            .collect();
        self.desk
            .keep_as_cows(&rows, day(from))
            .map_err(|refusal| refused(&refusal))
    }
}

fn day(text: &str) -> Day {
    day_from(text).unwrap_or(Day::MISSING)
}

fn place_of(book: &Workbook, place: Place) -> LinkedPlace {
    LinkedPlace {
        sheet: place.sheet.key().to_owned(),
        row_key: book.sheet(place.sheet).key_of(place.row),
        column: place.column.to_owned(),
        words: place.words,
    }
}

fn off_of((sheet, row_key, words): (SheetKind, u32, String)) -> TakenOffRow {
    TakenOffRow {
        sheet: sheet.key().to_owned(),
        row_key,
        words,
    }
}

fn named_of(book: &Workbook, named: Named) -> NamedInfo {
    NamedInfo {
        name: named.name,
        standing: named.standing.key().to_owned(),
        words: named.words,
        places: named
            .places
            .into_iter()
            .map(|(place, cell_text)| ChosenPlace {
                place: place_of(book, place),
                cell_text,
            })
            .collect(),
        taken_off: named.taken_off.into_iter().map(off_of).collect(),
        add_to: named
            .add_to
            .into_iter()
            .map(|sheet| sheet.key().to_owned())
            .collect(),
    }
}

fn card_of(book: &Workbook, card: Card) -> CardInfo {
    CardInfo {
        title: card.title,
        facts: card.facts,
        same: card
            .same
            .into_iter()
            .map(|place| place_of(book, place))
            .collect(),
        as_calf: card
            .as_calf
            .into_iter()
            .map(|figure| figure_of(book, figure))
            .collect(),
        names_taken_off: card.names_taken_off.into_iter().map(off_of).collect(),
        stands_in: card
            .stands_in
            .into_iter()
            .map(|rows| stands_in_of(book, rows))
            .collect(),
        can_retag: card.can_retag,
        can_keep: card.can_keep,
    }
}

fn figure_of(book: &Workbook, figure: OwnFigure) -> OwnFigureInfo {
    OwnFigureInfo {
        label: figure.label,
        text: figure.text,
        place: LinkedPlace {
            column: figure.column.to_owned(),
            ..place_of(book, figure.place)
        },
    }
}

fn stands_in_of(book: &Workbook, stands_in: StandsIn) -> StandsInInfo {
    StandsInInfo {
        sheet: stands_in.sheet.key().to_owned(),
        column: stands_in.column.to_owned(),
        label: stands_in.label,
        n: u32::try_from(stands_in.n).unwrap_or(u32::MAX),
        rows: stands_in
            .rows
            .into_iter()
            .map(|place| place_of(book, place))
            .collect(),
    }
}
