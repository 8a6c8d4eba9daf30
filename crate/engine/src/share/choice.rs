//! What is handed over, and what stays home.
//!
//! Enters: a book, its results and a choice. Leaves: the choice made definite, the usual choice, and what
//! stays home in plain sentences.
//! Always true: a column goes only when it was named; names of groups, flags and comparisons that would
//! tell a cell of a column that stays home are replaced or left out.
//! Never: adds a column, a calf or a comparison that was not asked for.

use std::collections::BTreeSet;

use crate::adjust::columns::CalfColumns;
use crate::adjust::dam_age::{DamAgeFrom, DamAges};
use crate::compare::choices::Response;
use crate::compare::result::CompareSpec;
use crate::results::rests_on::rests_on;
use crate::results::{ResultColumn, Results};
use crate::sheet::column::{Column, Origin};
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// What goes into a results file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// Keys of calves columns (entered, own, and the engine's), in the order of the file. Unknown keys are
    /// passed over; a key that stands twice goes once.
    pub columns: Vec<String>,
    /// Rows of the calves; `None` for all.
    pub rows: Option<Vec<u32>>,
    /// The groups table goes along.
    pub groups: bool,
    /// A comparison that goes along.
    pub compare: Option<CompareSpec>,
    /// A line from the ranch, shown on top.
    pub message: String,
    /// Day of the hand-over, ISO; empty when not said. An argument, since the engine has no clock.
    pub made_on: String,
}

/// A column that may go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offered {
    /// Its key.
    pub key: String,
    /// Its label.
    pub label: String,
    /// Goes unless the person says otherwise.
    pub usual: bool,
}

/// Entered columns that go unless the person says otherwise: what the fair weights and the groups rest on.
/// So does what the age of a dam was taken from where she is not on record ([`ages_of_dams`]).
/// Names of parents, electronic IDs, remarks and own columns stay home until they are named.
const USUAL: [&str; 14] = [
    "tag",
    "sex",
    "birth_date",
    "birth_weight",
    "breed",
    "born_as",
    "raised_by",
    "place",
    "management",
    "creep",
    "set_apart",
    "wean_date",
    "weigh_date",
    "wean_weight",
];

/// Computed columns that go unless the person says otherwise.
const USUAL_RESULTS: [ResultColumn; 9] = [
    ResultColumn::DamAgeDays,
    ResultColumn::DamAgeClass,
    ResultColumn::AgeDays,
    ResultColumn::GainPerDay,
    ResultColumn::Adj205Weight,
    ResultColumn::ContemporaryGroup,
    ResultColumn::Ratio,
    ResultColumn::RankInGroup,
    ResultColumn::Flags,
];

/// Entered columns that someone with the computed ones can get back.
const WORKED_OUT: [(&str, &[ResultColumn]); 3] = [
    ("birth_weight", &[ResultColumn::BirthWeightUsed]),
    ("birth_weight", &[ResultColumn::AdjBirthWeight]),
    (
        "wean_weight",
        &[ResultColumn::WeightPerDay, ResultColumn::AgeDays],
    ),
];

/// The columns from which the ages of dams were taken that are not on record in the cows sheet.
fn ages_of_dams(book: &Workbook) -> Vec<&'static str> {
    let calves = CalfColumns::of(book);
    let dams = DamAges::of(book, &calves);
    let mut columns = Vec::new();
    for row in 0..calves.n_rows {
        let key = match dams.birth_dam(&calves, row).from {
            DamAgeFrom::StatedDate => "dam_birth_date",
            DamAgeFrom::StatedYear => "dam_birth_year",
            DamAgeFrom::StatedAge => "dam_age",
            DamAgeFrom::RecordDate | DamAgeFrom::RecordYear | DamAgeFrom::Unknown => continue,
        };
        if !columns.contains(&key) {
            columns.push(key);
        }
    }
    columns
}

/// The columns that may go: those that hold something, then the engine's.
pub fn offered(book: &Workbook) -> Vec<Offered> {
    let ages = ages_of_dams(book);
    let is_usual = |key: &str| USUAL.contains(&key) || ages.contains(&key);
    let entered = book
        .calves()
        .columns()
        .iter()
        .filter(|column| !is_blank(column, None))
        .map(|column| Offered {
            key: column.key.clone(),
            label: column.label.clone(),
            usual: column.origin == Origin::Known && is_usual(&column.key),
        });
    let computed = ResultColumn::ALL.into_iter().map(|column| Offered {
        key: column.key().to_owned(),
        label: column.about().1.to_owned(),
        usual: USUAL_RESULTS.contains(&column),
    });
    let calculated = calculated_columns(book).map(|column| Offered {
        key: column.key.clone(),
        label: column.label.clone(),
        usual: false,
    });
    entered.chain(calculated).chain(computed).collect()
}

/// The calculated columns of the calves.
pub fn calculated_columns(book: &Workbook) -> impl Iterator<Item = &Column> {
    let columns = book.calves().columns().iter();
    columns.filter(|column| column.formula.is_some())
}

impl Choice {
    /// The usual columns, every calf and the groups.
    pub fn usual(book: &Workbook) -> Choice {
        Choice {
            columns: offered(book)
                .into_iter()
                .filter(|column| column.usual)
                .map(|column| column.key)
                .collect(),
            groups: true,
            ..Choice::default()
        }
    }

    /// True when the column goes.
    pub fn has(&self, key: &str) -> bool {
        self.columns.iter().any(|column| column == key)
    }

    /// The rows that go, in the order of the file: those asked for that exist, each once.
    pub fn rows_of(&self, book: &Workbook) -> Vec<u32> {
        let n_rows = u32::try_from(book.calves().n_rows()).unwrap_or(u32::MAX);
        match &self.rows {
            None => (0..n_rows).collect(),
            Some(rows) => {
                let mut taken = vec![false; n_rows as usize];
                rows.iter()
                    .copied()
                    .filter(|&row| {
                        row < n_rows && !std::mem::replace(&mut taken[row as usize], true)
                    })
                    .collect()
            }
        }
    }

    /// True when nothing of this column stays home: it goes, or no calf has anything entered in it.
    pub fn is_open(&self, book: &Workbook, key: &str) -> bool {
        let blank = || {
            book.calves()
                .column(key)
                .is_some_and(|column| column.formula.is_none() && is_blank(column, None))
        };
        self.has(key) || blank()
    }

    /// The columns of which nothing stays home, to be asked about for every calf: [`Choice::is_open`] reads a
    /// whole column each time.
    pub fn open_columns(&self, book: &Workbook) -> BTreeSet<String> {
        let blank = book
            .calves()
            .columns()
            .iter()
            .filter(|column| is_blank(column, None))
            .map(|column| column.key.clone());
        self.columns.iter().cloned().chain(blank).collect()
    }

    /// What stays home, a sentence each.
    pub fn stays_home(&self, book: &Workbook, results: &Results) -> Vec<String> {
        let rows = self.rows_of(book);
        let mut sentences = Vec::new();
        let n_all = book.calves().n_rows();
        let n_home = n_all - rows.len();
        if n_home > 0 {
            sentences.push(if n_all == 1 {
                "The one calf.".to_owned()
            } else {
                format!("{n_home} of the {n_all} calves.")
            });
        }
        let labels: Vec<&str> = book
            .calves()
            .columns()
            .iter()
            .filter(|column| {
                !self.has(&column.key)
                    && (column.formula.is_some() || !is_blank(column, Some(&rows)))
            })
            .map(|column| column.label.as_str())
            .collect();
        if !labels.is_empty() {
            sentences.push(format!("Columns of the calves: {}.", labels.join(", ")));
        }
        for (key, from) in WORKED_OUT {
            if !self.is_open(book, key) && from.iter().all(|column| self.has(column.key())) {
                let label = book.calves().known(key).label.as_str();
                let from: Vec<&str> = from.iter().map(|column| column.about().1).collect();
                sentences.push(format!(
                    "{label} stays home, but can be worked out from {}.",
                    from.join(" and ").to_lowercase()
                ));
            }
        }
        for column in calculated_columns(book).filter(|column| self.has(&column.key)) {
            let from = self.home_columns_behind(book, &column.key);
            if !from.is_empty() {
                sentences.push(format!(
                    "{} goes along with its formula, and is worked out from what stays home: {}.",
                    column.label,
                    from.join(", ")
                ));
            }
        }
        let sheets: Vec<String> = SheetKind::ALL
            .into_iter()
            .filter(|sheet| *sheet != SheetKind::Calves && book.sheet(*sheet).n_rows() > 0)
            .filter(|sheet| *sheet != SheetKind::Places || !self.has("place"))
            .filter(|sheet| *sheet != SheetKind::Cows || !self.has("dam_age_days"))
            .map(|sheet| sheet.label().to_lowercase())
            .collect();
        if !sheets.is_empty() {
            sentences.push(format!("The whole of these sheets: {}.", sheets.join(", ")));
        }
        if self.has("place") && book.sheet(SheetKind::Places).n_rows() > 0 {
            sentences.push(
                "Of the places only the name and the kind (pen, lot or pasture) go along."
                    .to_owned(),
            );
        }
        if self.has("dam_age_days") && book.sheet(SheetKind::Cows).n_rows() > 0 {
            sentences.push(
                "Of the cows only their age at calving goes along, in the rows of the calves they bore or raised."
                    .to_owned(),
            );
        }
        if (self.groups || self.has("contemporary_group"))
            && !results.groups.groups.is_empty()
            && self.names_groups_by_number(book)
        {
            sentences.push(
                "The names of the groups: they are numbered, since a name would tell a column that stays home.".to_owned(),
            );
        }
        if let Some(spec) = &self.compare
            && !self.compare_goes(book, spec)
        {
            sentences.push(
                "The comparison: the column it compares stays home, so the comparison does too."
                    .to_owned(),
            );
        }
        sentences
    }

    /// Labels of what a calculated column is worked out from and stays home itself.
    fn home_columns_behind(&self, book: &Workbook, key: &str) -> Vec<String> {
        rests_on(book, SheetKind::Calves, key)
            .into_iter()
            .filter_map(|(sheet, key)| match sheet {
                SheetKind::Calves => {
                    let column = book.calves().column(&key)?;
                    (!self.is_open(book, &key)).then(|| column.label.clone())
                }
                other => {
                    let column = book.sheet(other).column(&key)?;
                    Some(format!("{} ({})", column.label, other.label()))
                }
            })
            .collect()
    }

    /// True when a group's name could tell something of a column that stays home.
    pub fn names_groups_by_number(&self, book: &Workbook) -> bool {
        GROUP_INPUTS.iter().any(|key| !self.is_open(book, key))
    }

    /// True when the comparison names nothing that stays home.
    pub fn compare_goes(&self, book: &Workbook, spec: &CompareSpec) -> bool {
        columns_behind(book, &spec.column)
            .iter()
            .all(|key| self.is_open(book, key))
            && spec.hold.iter().all(|key| self.is_open(book, key))
            && (spec.seasons.is_empty() || self.is_open(book, "birth_date"))
            && self.response_goes(book, &spec.choices.response)
    }
}

/// Whether what is compared may go.
impl Choice {
    fn response_goes(&self, book: &Workbook, response: &Response) -> bool {
        let open = |keys: &[&str]| keys.iter().all(|key| self.is_open(book, key));
        match response {
            Response::AgeAdjusted | Response::ActualWithAge => true,
            Response::BirthWeight | Response::Gain => open(&["birth_weight"]),
            Response::Yearling => open(&["yearling_weight", "yearling_date"]),
            Response::Column(key) => columns_behind(book, key)
                .iter()
                .all(|key| self.is_open(book, key)),
        }
    }
}

/// The entered columns that the rule of the groups reads (house rule 26).
pub const GROUP_INPUTS: [&str; 11] = [
    "birth_date",
    "sex",
    "breed",
    "place",
    "management",
    "creep",
    "born_as",
    "raised_by",
    "set_apart",
    "wean_date",
    "weigh_date",
];

/// The columns whose cells a compared column repeats, found the way a comparison finds it: by key, by the
/// file's own header, or by label. The management that groups go by takes in the kind of the place.
fn columns_behind(book: &Workbook, wanted: &str) -> Vec<String> {
    let plain = |text: &str| text.trim().to_lowercase();
    let columns = book.calves().columns();
    let found = columns
        .iter()
        .find(|column| column.key == wanted)
        .or_else(|| {
            columns.iter().find(|column| {
                plain(&column.key) == plain(wanted)
                    || column
                        .header
                        .as_deref()
                        .is_some_and(|header| plain(header) == plain(wanted))
                    || plain(&column.label) == plain(wanted)
            })
        });
    match (wanted, found.map(|column| column.key.as_str())) {
        ("season" | "birth_year", _) => vec!["birth_date".to_owned()],
        (_, Some("management")) => vec!["management".to_owned(), "place".to_owned()],
        (_, Some(key)) => vec![key.to_owned()],
        (other, None) => vec![other.to_owned()],
    }
}

/// True when a column holds nothing in the rows (`None`: in any row), not even text that waits to be mended.
pub fn is_blank(column: &Column, rows: Option<&[u32]>) -> bool {
    let blank = |row: usize| matches!(column.value(row), crate::sheet::column::Value::Missing);
    match rows {
        None => (0..column.len()).all(blank),
        Some(rows) => rows.iter().all(|&row| blank(row as usize)),
    }
}
