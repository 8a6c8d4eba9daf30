//! The columns of a sheet as they are shown: the sheet's own and those that the engine makes.
//!
//! Enters: a sheet and a column's key. Leaves: what people must know of the column, and its cells.
//! Always true: keys are unique in a sheet; a column that the engine makes is never one of the sheet's own.
//! Never: changes a cell.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::Desk;
use crate::animals::links::stands_for;
use crate::group::NO_GROUP;
use crate::results::as_calf::AsCalfColumn;
use crate::results::calculated::CalculatedColumn;
use crate::results::made::Made;
use crate::results::{ResultColumn, Shown};
use crate::sheet::column::{Column, Kind, Origin, Value};
use crate::sheet::day::Day;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::read::explain_unreadable;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::view::Series;
use crate::sheet::write::{fixed, full, up_to};

/// What people must know of a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnAbout {
    /// Stable key.
    pub key: String,
    /// Header.
    pub label: String,
    /// `lb`, `kg`, `days`, `lb/day`, or empty.
    pub unit: String,
    /// `text`, `number`, `date` or `code`.
    pub kind: &'static str,
    /// `entered`, `own`, `calculated` (own, by a formula) or `engine`.
    pub origin: &'static str,
    /// One sentence of help.
    pub help: String,
    /// May be typed into.
    pub editable: bool,
    /// Words of a coded column, or usually put into a column of text.
    pub choices: Vec<&'static str>,
    /// Its cells name an animal or a place of another sheet.
    pub names_another: bool,
    /// Draw a small bar about 100.
    pub bar: bool,
    /// Holds nothing in any row.
    pub empty: bool,
    /// A column of the person's own that came with a file.
    pub from_file: bool,
    /// The formula of a calculated column.
    pub formula: Option<String>,
}

/// A cell as it is shown.
#[derive(Clone, Debug, PartialEq)]
pub struct ShownCell {
    /// Text for people; empty when missing.
    pub text: String,
    /// The number, or the date as days since 1970-01-01; NaN otherwise.
    pub value: f64,
    /// True when its text was not understood.
    pub unreadable: bool,
    /// True when a formula gave an error.
    pub error: bool,
}

/// A column of a sheet, wherever it comes from.
pub(super) enum Found<'a> {
    Entered(&'a Column),
    Calculated(&'a CalculatedColumn),
    Engine(Made),
}

impl Desk {
    pub(super) fn find_column(&self, sheet: SheetKind, key: &str) -> Option<Found<'_>> {
        if let Some(column) = self.book.sheet(sheet).column(key) {
            return Some(match self.results.calculated.column(sheet, key) {
                Some(calculated) => Found::Calculated(calculated),
                None => Found::Entered(column),
            });
        }
        Made::from_key(sheet, key).map(Found::Engine)
    }

    /// Keys of all columns of a sheet in the order in which they are shown.
    pub fn column_keys(&self, sheet: SheetKind) -> Vec<String> {
        self.book
            .sheet(sheet)
            .columns()
            .iter()
            .map(|column| column.key.clone())
            .chain(
                Made::all(sheet)
                    .iter()
                    .map(|column| column.about().key.to_owned()),
            )
            .collect()
    }

    /// All columns of a sheet in the order in which they are shown.
    pub fn columns(&self, sheet: SheetKind) -> Vec<ColumnAbout> {
        self.column_keys(sheet)
            .iter()
            .filter_map(|key| self.find_column(sheet, key))
            .map(|found| {
                let about = self.about_found(sheet, &found);
                let Found::Engine(column) = found else {
                    return about;
                };
                let n_rows = self.book.sheet(sheet).n_rows();
                ColumnAbout {
                    empty: (0..n_rows)
                        .all(|row| column.value(&self.book, &self.results, row) == Value::Missing),
                    ..about
                }
            })
            .collect()
    }

    /// What must be known of a column, without looking whether the engine's columns hold anything.
    pub(super) fn about_found(&self, sheet: SheetKind, found: &Found<'_>) -> ColumnAbout {
        match found {
            Found::Entered(column) => self.about_entered(sheet, column),
            Found::Calculated(column) => self.about_calculated(column),
            Found::Engine(column) => self.about_engine(*column),
        }
    }

    fn about_entered(&self, sheet: SheetKind, column: &Column) -> ColumnAbout {
        let symbol = self.book.settings.weight_unit.symbol();
        let own = column.origin == Origin::Own;
        ColumnAbout {
            key: column.key.clone(),
            label: column.label.clone(),
            unit: match column.kind {
                Kind::Weight => symbol,
                // A year is a date's part and no unit.
                Kind::Number("year") => "",
                Kind::Number(unit) => unit,
                _ => "",
            }
            .to_owned(),
            kind: match column.kind {
                Kind::Text | Kind::List => "text",
                Kind::Weight | Kind::Number(_) => "number",
                Kind::Date => "date",
                Kind::Code(_) => "code",
            },
            origin: if own { "own" } else { "entered" },
            help: match sheet.column(&column.key) {
                Some(known) => known.help.to_owned(),
                None => match &column.header {
                    Some(header) => format!("A column of your own, from the header \"{header}\"."),
                    None => "A column of your own.".to_owned(),
                },
            },
            editable: true,
            choices: match column.kind {
                Kind::Code(codes) => codes.words.iter().map(|word| word.key).collect(),
                _ => sheet.usual_words(&column.key).to_vec(),
            },
            names_another: stands_for(sheet, &column.key).is_some(),
            bar: false,
            empty: column.holds_nothing(),
            from_file: own && column.header.is_some(),
            formula: None,
        }
    }

    fn about_calculated(&self, calculated: &CalculatedColumn) -> ColumnAbout {
        let key = &calculated.key;
        let column = self.book.sheet(calculated.sheet).column(key);
        let formula = column.and_then(|column| column.formula.clone());
        ColumnAbout {
            key: key.clone(),
            label: column.map_or_else(|| key.clone(), |column| column.label.clone()),
            unit: String::new(),
            kind: if calculated.is_dates() {
                "date"
            } else if calculated.gives.numbers.is_some() && !calculated.gives.texts {
                "number"
            } else {
                "text"
            },
            origin: "calculated",
            help: format!("Calculated: {}", formula.as_deref().unwrap_or_default()),
            editable: false,
            choices: Vec::new(),
            names_another: false,
            bar: false,
            empty: false,
            from_file: false,
            formula,
        }
    }

    fn about_engine(&self, made: Made) -> ColumnAbout {
        let about = made.about();
        ColumnAbout {
            key: about.key.to_owned(),
            label: about.label.to_owned(),
            unit: made.unit(&self.book.settings),
            kind: match about.shown {
                Shown::Text => "text",
                Shown::Date => "date",
                _ => "number",
            },
            origin: "engine",
            help: about.help.to_owned(),
            editable: false,
            choices: Vec::new(),
            names_another: false,
            bar: made == Made::Calf(ResultColumn::Ratio),
            empty: false,
            from_file: false,
            formula: None,
        }
    }

    /// A cell as it is shown; `None` when there is no such column.
    pub fn shown_cell(&self, sheet: SheetKind, key: &str, row: usize) -> Option<ShownCell> {
        Some(match self.find_column(sheet, key)? {
            Found::Entered(column) => {
                let value = column.value(row);
                ShownCell {
                    text: column.shown_value(&value),
                    unreadable: matches!(value, Value::Unreadable(_)),
                    error: false,
                    value: match value {
                        Value::Number(number) => number,
                        Value::Day(day) => f64::from(day.count()),
                        _ => f64::NAN,
                    },
                }
            }
            Found::Calculated(column) => {
                let series = calculated_series(column);
                ShownCell {
                    text: series.shown(row),
                    unreadable: false,
                    error: column.error(row).is_some(),
                    value: series.number(row),
                }
            }
            Found::Engine(column) => {
                let value = column.value(&self.book, &self.results, row);
                ShownCell {
                    text: shown_made(column, &value),
                    unreadable: false,
                    error: false,
                    value: match value {
                        Value::Number(number) => number,
                        Value::Day(day) => f64::from(day.count()),
                        _ => f64::NAN,
                    },
                }
            }
        })
    }

    /// A cell as it is typed over, in full precision; empty when missing or when there is no such column.
    pub fn raw_cell(&self, sheet: SheetKind, key: &str, row: usize) -> String {
        match self.find_column(sheet, key) {
            Some(Found::Entered(column)) => column.raw(row),
            Some(Found::Calculated(column)) => calculated_series(column).raw(row),
            Some(Found::Engine(column)) => match column.value(&self.book, &self.results, row) {
                Value::Number(number) => full(number),
                value => shown_made(column, &value),
            },
            None => String::new(),
        }
    }

    /// Why the text of a cell was not understood and how to mend it; `None` when it was.
    pub fn unreadable_words(&self, sheet: SheetKind, key: &str, row: usize) -> Option<String> {
        let column = self.book.sheet(sheet).column(key)?;
        match column.value(row) {
            Value::Unreadable(text) => {
                let explained = explain_unreadable(column.kind, &text);
                Some(format!("{} {}", explained.message, explained.hint))
            }
            _ => None,
        }
    }

    /// A column to sort, filter or search by.
    pub(super) fn series(&self, sheet: SheetKind, key: &str) -> Option<Series<'_>> {
        Some(match self.find_column(sheet, key)? {
            Found::Entered(column) => Series::Entered(column),
            Found::Calculated(column) => calculated_series(column),
            Found::Engine(Made::Calf(column)) => self.engine_series(column),
            Found::Engine(column) => self.series_beside(sheet, column),
        })
    }

    /// A column that the engine makes for a smaller sheet.
    fn series_beside(&self, sheet: SheetKind, column: Made) -> Series<'_> {
        let n_rows = self.book.sheet(sheet).n_rows();
        let values = (0..n_rows).map(|row| column.value(&self.book, &self.results, row));
        if column.about().shown == Shown::Text {
            let mut position: BTreeMap<String, u32> = BTreeMap::new();
            let mut texts = Vec::new();
            let codes = values
                .map(|value| match value {
                    Value::Text(text) => *position.entry(text).or_insert_with_key(|text| {
                        texts.push(Cow::Owned(text.clone()));
                        u32::try_from(texts.len() - 1).unwrap_or(NO_TEXT)
                    }),
                    _ => NO_TEXT,
                })
                .collect();
            return Series::Texts { codes, texts };
        }
        Series::Numbers {
            values: values
                .map(|value| match value {
                    Value::Number(number) => number,
                    Value::Day(day) => f64::from(day.count()),
                    _ => f64::NAN,
                })
                .collect(),
            show: show_number(column),
        }
    }

    fn engine_series(&self, column: ResultColumn) -> Series<'_> {
        let n_rows = self.book.calves().n_rows();
        let groups = &self.results.groups;
        let adjusted = &self.results.adjusted;
        match column {
            ResultColumn::DamAgeClass => Series::Texts {
                codes: adjusted
                    .dam_age_class
                    .iter()
                    .map(|&class| {
                        if class == u8::MAX {
                            NO_TEXT
                        } else {
                            u32::from(class)
                        }
                    })
                    .collect(),
                texts: self
                    .book
                    .settings
                    .factors
                    .classes
                    .iter()
                    .map(|class| Cow::Borrowed(class.name.as_str()))
                    .collect(),
            },
            ResultColumn::ContemporaryGroup => Series::Texts {
                codes: groups
                    .group_of
                    .iter()
                    .map(|&group| if group == NO_GROUP { NO_TEXT } else { group })
                    .collect(),
                texts: groups
                    .groups
                    .iter()
                    .map(|group| Cow::Borrowed(group.name.as_str()))
                    .collect(),
            },
            ResultColumn::Flags => {
                let mut position: BTreeMap<u32, u32> = BTreeMap::new();
                let mut texts = Vec::new();
                let codes = (0..n_rows)
                    .map(|row| {
                        let Some(marks) = adjusted.marks.get(row).filter(|marks| marks.0 != 0)
                        else {
                            return NO_TEXT;
                        };
                        *position.entry(marks.0).or_insert_with(|| {
                            texts.push(Cow::Owned(column.text_of(&self.book, &self.results, row)));
                            u32::try_from(texts.len() - 1).unwrap_or(NO_TEXT)
                        })
                    })
                    .collect();
                Series::Texts { codes, texts }
            }
            _ => {
                let borrowed = match (column, self.book.settings.weight_unit) {
                    (ResultColumn::Adj205Weight, WeightUnit::Pound) => Some(&adjusted.adj_205),
                    (ResultColumn::Ratio, _) => Some(&groups.ratio),
                    _ => None,
                };
                Series::Numbers {
                    values: match borrowed {
                        Some(values) => Cow::Borrowed(values),
                        None => (0..n_rows)
                            .map(|row| column.number(&self.book, &self.results, row))
                            .collect(),
                    },
                    show: show_number(Made::Calf(column)),
                }
            }
        }
    }
}

fn calculated_series(column: &CalculatedColumn) -> Series<'_> {
    Series::Calculated {
        values: &column.values,
        dates: column.is_dates(),
    }
}

impl ResultColumn {
    fn text_of(
        self,
        book: &crate::sheet::workbook::Workbook,
        results: &crate::results::Results,
        row: usize,
    ) -> String {
        shown_result(self, &self.value(book, results, row))
    }
}

/// How people see a number of a column that the engine makes.
fn show_number(column: Made) -> fn(f64) -> String {
    match (column, column.about().shown) {
        // A birth weight that was typed is shown as it was typed.
        (
            Made::Calf(ResultColumn::BirthWeightUsed) | Made::AsCalf(_, AsCalfColumn::BirthWeight),
            _,
        ) => |number| up_to(number, 1),
        (_, Shown::Date) => |count| {
            Day::from_ymd(1970, 1, 1).map_or_else(String::new, |day| day.plus(count as i32).iso())
        },
        (_, Shown::Text | Shown::Whole) => |number| fixed(number, 0),
        (_, Shown::Weight | Shown::OneDecimal) => |number| fixed(number, 1),
        (_, Shown::WeightPerDay) => |number| fixed(number, 2),
    }
}

/// A result as people read it.
pub fn shown_result(column: ResultColumn, value: &Value) -> String {
    shown_made(Made::Calf(column), value)
}

/// A value of a column that the engine makes, as people read it.
fn shown_made(column: Made, value: &Value) -> String {
    match value {
        Value::Missing => String::new(),
        Value::Text(text) | Value::Unreadable(text) => text.clone(),
        Value::Day(day) => day.iso(),
        Value::Number(number) => show_number(column)(*number),
    }
}
