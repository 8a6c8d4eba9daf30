//! One animal or place with everything that is said of it elsewhere.
//!
//! Enters: a row of the calves, cows, bulls or places. Leaves: its names, what it was as a calf, and the rows of
//! other sheets that name it.
//! Always true: a row is listed only when its name stands for exactly this animal on its day; a kept heifer's rows
//! as a calf and as a cow are gathered.
//! Never: lists a row that might be another's.

use super::Place;
use crate::animals::find::Lookup;
use crate::animals::kept::{calf_rows, grown_rows};
use crate::animals::links::{StandsFor, columns_of, day_of, names_in};
use crate::animals::names;
use crate::animals::plain::{name_form, plain};
use crate::animals::register::Link;
use crate::animals::spoken;
use crate::animals::{Among, Animal, Deed, Found};
use crate::desk::Desk;
use crate::note::upper_first;
use crate::results::ResultColumn;
use crate::sheet::column::Column;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// Rows listed of each kind; the rest are counted.
pub const MOST_ROWS: usize = 40;

/// Rows of one column that name it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandsIn {
    /// The sheet.
    pub sheet: SheetKind,
    /// The column that names it.
    pub column: &'static str,
    /// `Her calves`.
    pub label: String,
    /// How many there are.
    pub n: usize,
    /// The first of them.
    pub rows: Vec<Place>,
}

/// A figure of an animal as a calf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnFigure {
    /// `Adjusted 205-day weight`.
    pub label: String,
    /// With its unit.
    pub text: String,
    /// Its cell in the calves sheet.
    pub place: Place,
    /// Key of its column.
    pub column: &'static str,
}

/// What is known of a row, gathered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// `Cow 17`.
    pub title: String,
    /// Sentences: birth, names and their days, coming and leaving.
    pub facts: Vec<String>,
    /// Its other rows: as a calf, or as the cow or bull it became.
    pub same: Vec<Place>,
    /// What it did as a calf.
    pub as_calf: Vec<OwnFigure>,
    /// Whom it names that was taken off the record: sheet, permanent key, words.
    pub names_taken_off: Vec<(SheetKind, u32, String)>,
    /// Where else it stands.
    pub stands_in: Vec<StandsIn>,
    /// It can be given a new tag.
    pub can_retag: bool,
    /// It is a heifer that can be kept as a cow.
    pub can_keep: bool,
}

impl Desk {
    /// The card of a row; `None` where rows are no animals and no places.
    pub fn card(&self, sheet: SheetKind, row: u32) -> Option<Card> {
        let table = self.book().sheet(sheet);
        let is_animal = matches!(
            sheet,
            SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls
        );
        if row as usize >= table.n_rows() || !(is_animal || sheet == SheetKind::Places) {
            return None;
        }
        let me = Animal { sheet, row };
        let others = self.same_animal(me);
        let mut mine = vec![me];
        mine.extend(&others);
        let calf = mine.iter().find(|one| one.sheet == SheetKind::Calves);
        let sex = self.said(SheetKind::Calves, row, "sex");
        let gone = self.said(SheetKind::Calves, row, "left_because");
        Some(Card {
            title: self.title_of(sheet, row),
            facts: self.facts(me),
            same: others
                .iter()
                .map(|one| self.place_of(one.sheet, one.row))
                .collect(),
            as_calf: calf.map_or_else(Vec::new, |calf| self.figures(calf.row)),
            names_taken_off: columns_of(sheet)
                .flat_map(|(key, _)| self.names_at(sheet, row, key))
                .flat_map(|named| named.taken_off)
                .collect(),
            stands_in: if is_animal {
                self.stands_in(&mine)
            } else {
                self.place_stands_in(row)
            },
            can_retag: is_animal,
            can_keep: sheet == SheetKind::Calves
                && sex.as_deref() == Some("heifer")
                && others.is_empty()
                && gone.is_none_or(|because| because == "moved to cows"),
        })
    }

    /// The other rows of one animal: a cow's as a calf, a calf's as what it became.
    fn same_animal(&self, me: Animal) -> Vec<Animal> {
        if me.sheet == SheetKind::Calves {
            return grown_rows(self.book(), self.animals(), me.row);
        }
        match calf_rows(self.book(), self.animals(), me)[..] {
            [row] => vec![Animal {
                sheet: SheetKind::Calves,
                row,
            }],
            _ => Vec::new(),
        }
    }

    fn facts(&self, me: Animal) -> Vec<String> {
        let said = |key: &str| self.said(me.sheet, me.row, key);
        let mut facts = Vec::new();
        let words = self.row_words(me.sheet, me.row, "");
        if !words.is_empty() {
            facts.push(format!("{}.", upper_first(&words)));
        }
        if let Some(eid) = said("eid") {
            facts.push(format!("EID {eid}."));
        }
        if let Some(since) = said("tag_from") {
            facts.push(format!(
                "Tag {} since {since}.",
                said("tag").unwrap_or_default()
            ));
        }
        for name in names::read(&said("names_before").unwrap_or_default()).flatten() {
            facts.push(format!("Before: {}.", name.text()));
        }
        facts
    }

    /// Weights and ratio as a calf.
    fn figures(&self, calf: u32) -> Vec<OwnFigure> {
        let unit = self.book().settings.weight_unit.symbol();
        let mut figures = Vec::new();
        for (key, label, weight) in [
            ("birth_weight", "Birth weight", true),
            (
                ResultColumn::Adj205Weight.key(),
                "Adjusted 205-day weight",
                true,
            ),
            (ResultColumn::Ratio.key(), "Ratio", false),
            (ResultColumn::ContemporaryGroup.key(), "Among", false),
        ] {
            let Some(text) = self.said(SheetKind::Calves, calf, key) else {
                continue;
            };
            figures.push(OwnFigure {
                label: label.to_owned(),
                text: if weight {
                    format!("{text} {unit}")
                } else {
                    text
                },
                place: self.place_of(SheetKind::Calves, calf),
                column: key,
            });
        }
        figures
    }

    fn stands_in(&self, mine: &[Animal]) -> Vec<StandsIn> {
        let mut found = Vec::new();
        for sheet in SheetKind::ALL {
            let table = self.book().sheet(sheet);
            for (key, stands_for) in columns_of(sheet).filter(|_| table.n_rows() > 0) {
                let StandsFor::Animal(among, deed) = stands_for else {
                    continue;
                };
                if !mine.iter().any(|one| among.sheets().contains(&one.sheet)) {
                    continue;
                }
                let lookup = self.animals().among(self.book(), among);
                let rows = rows_naming(&lookup, table, key, deed, mine);
                let label = self.label(sheet, key, deed, mine);
                found.extend(self.listed(sheet, key, label, rows));
            }
        }
        found
    }

    /// The stay that names an animal and began last.
    pub(in crate::desk) fn last_stay(&self, animal: Animal) -> Option<u32> {
        let stays = self.book().sheet(SheetKind::Stays);
        let from = stays.column("from").and_then(Column::days)?;
        let lookup = self.animals().among(self.book(), Among::All);
        rows_naming(&lookup, stays, "animal", Deed::OnHand, &[animal])
            .into_iter()
            .filter(|&row| !from[row as usize].is_missing())
            .max_by_key(|&row| (from[row as usize], row))
    }

    fn listed(
        &self,
        sheet: SheetKind,
        key: &'static str,
        label: String,
        rows: Vec<u32>,
    ) -> Option<StandsIn> {
        (!rows.is_empty()).then(|| StandsIn {
            sheet,
            column: key,
            label,
            n: rows.len(),
            rows: rows
                .iter()
                .take(MOST_ROWS)
                .map(|&row| {
                    let words = self.row_words(sheet, row, key);
                    let title = if sheet == SheetKind::Calves
                        || sheet == SheetKind::Cows
                        || sheet == SheetKind::Bulls
                    {
                        self.title_of(sheet, row)
                    } else {
                        String::new()
                    };
                    let both = [title, words];
                    Place {
                        sheet,
                        row,
                        column: key,
                        words: both
                            .iter()
                            .filter(|text| !text.is_empty())
                            .cloned()
                            .collect::<Vec<_>>()
                            .join(", "),
                    }
                })
                .collect(),
        })
    }

    fn label(&self, sheet: SheetKind, key: &str, deed: Deed, mine: &[Animal]) -> String {
        let whose = match mine.first().map(|one| one.sheet) {
            Some(SheetKind::Bulls) => "His",
            Some(SheetKind::Cows) => "Her",
            _ => "Its",
        };
        match (sheet, key, deed) {
            (SheetKind::Calves, "raised_dam", _) => "Calves she raised for others".to_owned(),
            (SheetKind::Calves, "sire", _) => "Calves by him, or that may be".to_owned(),
            (SheetKind::Calves, _, _) => format!("{whose} calves"),
            (SheetKind::Cows, _, _) => format!("{whose} daughters among the cows"),
            (SheetKind::Bulls, _, _) => format!("{whose} sons among the bulls"),
            _ => sheet.label().to_owned(),
        }
    }

    fn place_stands_in(&self, row: u32) -> Vec<StandsIn> {
        let names = self.book().sheet(SheetKind::Places).column("name");
        let Some(name) = names
            .and_then(Column::texts)
            .and_then(|texts| texts.get(row as usize))
        else {
            return Vec::new();
        };
        let wanted = plain(name);
        let mut found = Vec::new();
        for sheet in SheetKind::ALL {
            let table = self.book().sheet(sheet);
            for (key, _) in
                columns_of(sheet).filter(|(_, stands_for)| *stands_for == StandsFor::Place)
            {
                let column = table.known(key);
                let Some(texts) = column.texts() else {
                    continue;
                };
                let mut holds: Vec<Option<bool>> = vec![None; texts.n_texts()];
                let mut rows = Vec::new();
                for (row, &code) in (0_u32..).zip(texts.codes()) {
                    let Some(known) = holds.get_mut(code as usize) else {
                        continue;
                    };
                    if *known.get_or_insert_with(|| {
                        names_in(column, row as usize).any(|name| plain(name) == wanted)
                    }) {
                        rows.push(row);
                    }
                }
                let label = if sheet == SheetKind::Calves {
                    "Calves raised here".to_owned()
                } else {
                    sheet.label().to_owned()
                };
                found.extend(self.listed(sheet, key, label, rows));
            }
        }
        found
    }
}

/// Rows whose names stand for one of these rows, in the order of their keys.
fn rows_naming(
    lookup: &Lookup,
    table: &Table,
    key: &'static str,
    deed: Deed,
    mine: &[Animal],
) -> Vec<u32> {
    rows_naming_by(lookup, table, key, deed, mine, |_| true)
}

/// Those of them that name it so, alone or in words: `17`, `cow 17`.
pub(super) fn rows_naming_as(
    lookup: &Lookup,
    table: &Table,
    key: &'static str,
    deed: Deed,
    me: Animal,
    name: &str,
) -> Vec<u32> {
    let wanted = name_form(name);
    let so = |text: &str| {
        name_form(text) == wanted
            || spoken::read(text).is_some_and(|told| name_form(told.name) == wanted)
    };
    rows_naming_by(lookup, table, key, deed, &[me], so)
}

fn rows_naming_by(
    lookup: &Lookup,
    table: &Table,
    key: &'static str,
    deed: Deed,
    mine: &[Animal],
    so: impl Fn(&str) -> bool,
) -> Vec<u32> {
    let column = table.known(key);
    let Some(texts) = column.texts() else {
        return Vec::new();
    };
    // For each distinct text the links of its names that may be this animal, looked up once.
    let mut of_text: Vec<Option<Vec<Vec<Link>>>> = vec![None; texts.n_texts()];
    let mut rows = Vec::new();
    for (row, &code) in (0_u32..).zip(texts.codes()) {
        if code == NO_TEXT {
            continue;
        }
        let at = row as usize;
        let links = of_text[code as usize].get_or_insert_with(|| {
            names_in(column, at)
                .filter(|name| so(name))
                .map(|name| lookup.links(name))
                .filter(|links| lookup.may_be(links, mine))
                .collect()
        });
        let names_me = links.iter().any(|links| {
            matches!(lookup.find(links, deed, day_of(table, key, at)), Found::One(one) if mine.contains(&one))
        });
        if names_me {
            rows.push(row);
        }
    }
    rows
}
