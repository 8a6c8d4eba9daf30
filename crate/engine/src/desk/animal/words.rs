//! A row in a few words.
//!
//! Enters: a row. Leaves: `heifer, born 2026-03-04, 512 lb at weaning, ratio 104`.
//! Always true: weights carry their unit; what is blank is left out.

use super::Place;
use crate::animals::spoken::word;
use crate::desk::Desk;
use crate::note::upper_first;
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;

/// What is said of a row: words before a cell, its column, words after.
type Part = (&'static str, &'static str, &'static str);

const fn parts(sheet: SheetKind) -> &'static [Part] {
    match sheet {
        SheetKind::Calves => &[
            ("", "sex", ""),
            ("born ", "birth_date", ""),
            ("dam ", "dam", ""),
            ("", "wean_weight", " at weaning"),
            ("ratio ", "ratio", ""),
            ("", "left_because", ""),
        ],
        SheetKind::Cows => &[
            ("born ", "birth_date", ""),
            ("born in ", "birth_year", ""),
            ("came ", "came_on", ""),
            ("left ", "left_on", ""),
        ],
        SheetKind::Bulls => &[
            ("", "name", ""),
            ("born ", "birth_date", ""),
            ("", "service", ""),
        ],
        SheetKind::Exposures => &[
            ("", "season", ""),
            ("cow ", "cow", ""),
            ("from ", "from", ""),
            ("to ", "to", ""),
            ("AI ", "ai_date", ""),
            ("bulls ", "bulls", ""),
        ],
        SheetKind::Checks => &[
            ("", "date", ""),
            ("cow ", "cow", ""),
            ("", "result", ""),
            ("", "stage", ""),
        ],
        SheetKind::Places => &[("", "name", ""), ("", "kind", "")],
        SheetKind::Stays => &[
            ("", "animal", ""),
            ("", "place", ""),
            ("from ", "from", ""),
            ("to ", "to", ""),
        ],
        SheetKind::Weights => &[("", "date", ""), ("", "animal", ""), ("", "weight", "")],
        SheetKind::WeighDays => &[("", "date", ""), ("", "places", "")],
        SheetKind::Scores => &[
            ("", "date", ""),
            ("", "animal", ""),
            ("", "what", ""),
            ("", "value", ""),
        ],
        SheetKind::Treatments => &[
            ("", "date", ""),
            ("", "animal", ""),
            ("", "place", ""),
            ("", "product", ""),
            ("withdrawal ", "withdrawal_days", " days"),
        ],
    }
}

/// The column that names a row.
pub(super) const fn naming(sheet: SheetKind) -> &'static str {
    match sheet {
        SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls => "tag",
        SheetKind::Exposures | SheetKind::Checks => "cow",
        SheetKind::Places => "name",
        SheetKind::WeighDays => "date",
        SheetKind::Stays | SheetKind::Weights | SheetKind::Scores | SheetKind::Treatments => {
            "animal"
        }
    }
}

/// `Cow 17`, `Calf without a tag`; of other sheets what names the row.
fn title(sheet: SheetKind, tag: Option<String>) -> String {
    let kind = match word(sheet) {
        "" => return tag.unwrap_or_else(|| sheet.label().to_owned()),
        kind => kind,
    };
    let title = match tag {
        Some(tag) => format!("{kind} {tag}"),
        None => format!("{kind} without a tag"),
    };
    upper_first(&title)
}

impl Desk {
    /// A cell as shown, `None` when blank.
    pub(in crate::desk) fn said(&self, sheet: SheetKind, row: u32, key: &str) -> Option<String> {
        let text = self.shown_cell(sheet, key, row as usize)?.text;
        (!text.is_empty()).then_some(text)
    }

    /// `Cow 17`, `Calf without a tag`, `Pen 1`.
    pub(in crate::desk) fn title_of(&self, sheet: SheetKind, row: u32) -> String {
        let tag = self
            .said(sheet, row, naming(sheet))
            .or_else(|| self.said(sheet, row, "name"))
            .or_else(|| self.said(sheet, row, "eid"));
        title(sheet, tag)
    }

    /// What is said of a row; cells of `but` are left out.
    pub(super) fn row_words(&self, sheet: SheetKind, row: u32, but: &str) -> String {
        let unit = self.book().settings.weight_unit.symbol();
        let born_on = self.said(sheet, row, "birth_date").is_some();
        parts(sheet)
            .iter()
            .filter(|(_, key, _)| *key != but && !(born_on && *key == "birth_year"))
            .filter_map(|(before, key, after)| {
                let text = self.said(sheet, row, key)?;
                let unit = if key.ends_with("weight") {
                    format!(" {unit}")
                } else {
                    String::new()
                };
                Some(format!("{before}{text}{unit}{after}"))
            })
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// A row that was taken off, in words: `Cow 008, born 2019-04-02`.
    pub(in crate::desk) fn off_words(&self, sheet: SheetKind, key: u32) -> String {
        let cell = |column: &str| -> Option<String> {
            let off = self.book().sheet(sheet).taken_off()?;
            let at = off.keys().binary_search(&key).ok()?;
            let column = off.rows().column(column)?;
            match column.value(at) {
                Value::Missing => None,
                value => Some(column.shown_value(&value)),
            }
        };
        let unit = self.book().settings.weight_unit.symbol();
        let mut words = title(
            sheet,
            cell("tag").or_else(|| cell("name")).or_else(|| cell("eid")),
        );
        for (before, key, after) in parts(sheet) {
            let born_on = *key == "birth_year" && cell("birth_date").is_some();
            if let Some(text) = cell(key).filter(|_| *key != "name" && !born_on) {
                let unit = if key.ends_with("weight") {
                    format!(" {unit}")
                } else {
                    String::new()
                };
                words.push_str(&format!(", {before}{text}{unit}{after}"));
            }
        }
        words
    }

    /// A row to open, with its title and words.
    pub(in crate::desk) fn place_of(&self, sheet: SheetKind, row: u32) -> Place {
        let title = self.title_of(sheet, row);
        let words = self.row_words(sheet, row, naming(sheet));
        Place {
            sheet,
            row,
            column: naming(sheet),
            words: if words.is_empty() {
                title
            } else {
                format!("{title}, {words}")
            },
        }
    }
}
