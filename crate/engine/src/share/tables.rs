//! The tables that leave as CSV: fair weights, groups, problems, and the sheets.
//!
//! Enters: a book, its results, notes. Leaves: UTF-8 bytes of a CSV file (RFC 4180 quoting, lines end with
//! a line feed), its first line the column keys.
//! Always true: one line per calf row, in the order of the sheet, also for calves without a fair weight;
//! numbers are written with full precision, weights in the book's unit, dates as `2026-03-14`, missing as
//! an empty cell; text cells pass [`super::text_safety::guard_formula`].
//! Never: writes `NaN`, rounds, leaves a row out.

use csv::{Terminator, Writer, WriterBuilder};

use super::text_safety::guard_formula;
use crate::formula::values::{Kept, shown};
use crate::note::Note;
use crate::results::calculated::CalculatedColumn;
use crate::results::{ResultColumn, Results};
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// Columns of [`adjusted_csv`].
pub const ADJUSTED_COLUMNS: [&str; 13] = [
    "tag",
    "birth_year",
    "sex",
    "dam",
    "dam_age_class",
    "age_days",
    "birth_weight_used",
    "adj_205_weight",
    "contemporary_group",
    "group_size",
    "ratio",
    "rank_in_group",
    "flags",
];

/// Columns of [`groups_csv`].
pub const GROUPS_COLUMNS: [&str; 10] = [
    "contemporary_group",
    "sex",
    "place",
    "first_wean_date",
    "last_wean_date",
    "n",
    "sires",
    "mean_adj_205",
    "sd",
    "flags",
];

/// Columns of [`problems_csv`].
pub const PROBLEMS_COLUMNS: [&str; 11] = [
    "severity", "code", "sheet", "line", "tag", "column", "header", "read", "message", "hint",
    "accepted",
];

/// Fair weights: one line per calf row, with the book's calculated columns at the end. `ratio` has no unit (100 is
/// the group mean); `age_days` is days.
pub fn adjusted_csv(book: &Workbook, results: &Results) -> Vec<u8> {
    let calves = book.calves();
    let (tags, sexes, dams) = (
        calves.known("tag"),
        calves.known("sex"),
        calves.known("dam"),
    );
    let births = calves.known("birth_date").days().unwrap_or(&[]);
    let computed = [
        ResultColumn::DamAgeClass,
        ResultColumn::AgeDays,
        ResultColumn::BirthWeightUsed,
        ResultColumn::Adj205Weight,
        ResultColumn::ContemporaryGroup,
        ResultColumn::GroupSize,
        ResultColumn::Ratio,
        ResultColumn::RankInGroup,
    ];
    let own: Vec<&CalculatedColumn> = results
        .calculated
        .columns()
        .iter()
        .filter(|column| column.sheet == SheetKind::Calves)
        .collect();
    let keys: Vec<String> = own
        .iter()
        .map(|column| match column.key.as_str() {
            // No two columns of the file have one name.
            key if ADJUSTED_COLUMNS.contains(&key) => format!("{key}_own"),
            key => key.to_owned(),
        })
        .collect();
    let mut columns = ADJUSTED_COLUMNS.to_vec();
    columns.extend(keys.iter().map(String::as_str));
    let mut table = Table::new(&columns);
    for row in 0..calves.n_rows() {
        table.value(&tags.value(row));
        match births.get(row).and_then(|day| day.year()) {
            Some(year) => table.number(f64::from(year)),
            None => table.missing(),
        }
        table.value(&sexes.value(row));
        table.value(&dams.value(row));
        for column in computed {
            table.value(&column.value(book, results, row));
        }
        table.value(&flags(book, results, row));
        for column in &own {
            table.kept(&column.values.value(row), column.is_dates());
        }
        table.end_of_row();
    }
    table.bytes()
}

/// The marks of a calf in words. A calf that never lived has none; why it left stands in their place, so
/// that no line is without an adjusted weight and without a word why.
fn flags(book: &Workbook, results: &Results, row: usize) -> Value {
    match ResultColumn::Flags.value(book, results, row) {
        Value::Missing
            if ResultColumn::Adj205Weight
                .number(book, results, row)
                .is_nan() =>
        {
            book.calves().known("left_because").value(row)
        }
        flags => flags,
    }
}

/// Contemporary groups: one line per group, in the order of their names. `mean_adj_205` and `sd` are in the
/// book's unit; `sires` counts the distinct bulls named.
pub fn groups_csv(book: &Workbook, results: &Results) -> Vec<u8> {
    let unit = book.settings.weight_unit;
    let mut table = Table::new(&GROUPS_COLUMNS);
    for group in &results.groups.groups {
        table.text(&group.name);
        table.text(group.sex);
        table.text(&group.place);
        table.value(&Value::Day(group.weanings.0));
        table.value(&Value::Day(group.weanings.1));
        table.number(group.rows.len() as f64);
        table.number(f64::from(group.n_sires));
        table.number(unit.from_pounds(group.mean_adj_205));
        table.number(unit.from_pounds(group.sd_adj_205));
        table.text(&group.flags.join("; "));
        table.end_of_row();
    }
    table.bytes()
}

/// Everything doubtful: one line per note, in the order given, then those that were looked at and accepted.
pub fn problems_csv(notes: &[Note], accepted: &[Note]) -> Vec<u8> {
    let mut table = Table::new(&PROBLEMS_COLUMNS);
    let open = notes.iter().map(|note| (note, ""));
    let stands = accepted.iter().map(|note| (note, "yes"));
    for (note, accepted) in open.chain(stands) {
        let place = &note.place;
        table.text(note.severity.key());
        table.text(note.code);
        table.text(place.sheet.map_or("", |sheet| sheet.key()));
        match place.line {
            Some(line) => table.number(f64::from(line)),
            None => table.missing(),
        }
        table.text(place.tag.as_deref().unwrap_or(""));
        table.text(place.column.as_deref().unwrap_or(""));
        table.text(place.header.as_deref().unwrap_or(""));
        table.text(&note.read);
        table.text(&note.message);
        table.text(&note.hint);
        table.text(accepted);
        table.end_of_row();
    }
    table.bytes()
}

/// A sheet as it stands: one line per row; the first line has the column keys. Columns that hold nothing in
/// any row are left out, unless none holds anything.
pub fn sheet_csv(book: &Workbook, results: &Results, kind: SheetKind) -> Vec<u8> {
    let sheet = book.sheet(kind);
    let held: Vec<_> = sheet
        .columns()
        .iter()
        .filter(|c| !c.holds_nothing() || c.formula.is_some())
        .collect();
    let columns = if held.is_empty() {
        sheet.columns().iter().collect()
    } else {
        held
    };
    let keys: Vec<_> = columns.iter().map(|column| column.key.as_str()).collect();
    let mut table = Table::new(&keys);
    for row in 0..sheet.n_rows() {
        for column in &columns {
            match results.calculated.column(kind, &column.key) {
                Some(calculated) => {
                    table.kept(&calculated.values.value(row), calculated.is_dates())
                }
                None => table.value(&column.value(row)),
            }
        }
        table.end_of_row();
    }
    table.bytes()
}

/// A CSV file in the making. Writing into memory cannot fail, and a row has as many cells as the header by
/// construction; both are said where they are relied on.
struct Table {
    writer: Writer<Vec<u8>>,
}

impl Table {
    fn new(columns: &[&str]) -> Table {
        let mut table = Table {
            writer: WriterBuilder::new()
                .terminator(Terminator::Any(b'\n'))
                .from_writer(Vec::new()),
        };
        for column in columns {
            table.cell(column);
        }
        table.end_of_row();
        table
    }

    fn cell(&mut self, text: &str) {
        self.writer
            .write_field(text)
            .expect("writing into memory does not fail");
    }

    fn missing(&mut self) {
        self.cell("");
    }

    fn text(&mut self, text: &str) {
        self.cell(&guard_formula(text));
    }

    /// The shortest text that reads back as the same number.
    fn number(&mut self, number: f64) {
        if number.is_finite() {
            self.cell(&number.to_string());
        } else {
            self.missing();
        }
    }

    fn value(&mut self, value: &Value) {
        match value {
            Value::Missing => self.missing(),
            Value::Text(text) | Value::Unreadable(text) => self.text(text),
            Value::Number(number) => self.number(*number),
            Value::Day(day) => self.cell(&day.iso()),
        }
    }

    /// A calculated value; numbers in full.
    fn kept(&mut self, value: &Kept, dates: bool) {
        match value {
            Kept::Number(number) if !dates => self.number(*number),
            value => self.text(&shown(value, dates)),
        }
    }

    fn end_of_row(&mut self) {
        self.writer
            .write_record(None::<&[u8]>)
            .expect("every row has a cell for every column");
    }

    fn bytes(self) -> Vec<u8> {
        self.writer
            .into_inner()
            .expect("writing into memory does not fail")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::group::{Group, NO_GROUP};
    use crate::note::{Place, Severity};
    use crate::sheet::column::Cells;
    use crate::sheet::day::Day;
    use crate::sheet::settings::WeightUnit;

    fn text(bytes: Vec<u8>) -> String {
        String::from_utf8(bytes).expect("tables are UTF-8")
    }

    fn two_calves() -> (Workbook, Results) {
        let mut book = Workbook::new();
        let calves = book.sheet_mut(SheetKind::Calves);
        calves.resize(2);
        if let Some(Cells::Text(tags)) = calves.column_mut("tag").map(|column| &mut column.cells) {
            tags.set(0, "=4+4");
            tags.set(1, "-12");
        }
        if let Some(Cells::Day(days)) = calves
            .column_mut("birth_date")
            .map(|column| &mut column.cells)
        {
            days[0] = Day::from_ymd(2026, 3, 14).expect("a real day");
        }
        let mut results = Results::default();
        let group = Group {
            name: "2026 spring heifers, Pen 1".to_owned(),
            parts: Vec::new(),
            sex: "heifers",
            place: "Pen 1".to_owned(),
            births: (Day::MISSING, Day::MISSING),
            weighings: (Day::MISSING, Day::MISSING),
            weanings: (Day::MISSING, Day::MISSING),
            rows: vec![0],
            n_sires: 1,
            n_sire_missing: 0,
            mean_adj_205: 500.25,
            sd_adj_205: f64::NAN,
            flags: vec!["group of one".to_owned(), "one-sire group".to_owned()],
        };
        results.groups.groups.push(group);
        results.groups.group_of = vec![0, NO_GROUP];
        results.groups.ratio = vec![f64::NAN, f64::NAN];
        results.groups.rank = vec![0, 0];
        results.adjusted.adj_205 = vec![500.25, f64::NAN];
        results.adjusted.age_days = vec![205, i32::MIN];
        (book, results)
    }

    #[test]
    fn every_calf_has_a_line_and_missing_is_empty() {
        let (book, results) = two_calves();
        assert_eq!(
            text(adjusted_csv(&book, &results)),
            "tag,birth_year,sex,dam,dam_age_class,age_days,birth_weight_used,adj_205_weight,contemporary_group,\
             group_size,ratio,rank_in_group,flags\n\
             '=4+4,2026,,,,205,,500.25,\"2026 spring heifers, Pen 1\",1,,,\n\
             -12,,,,,,,,,,,,\n"
        );
    }

    #[test]
    fn groups_are_in_the_books_unit() {
        let (mut book, results) = two_calves();
        book.settings.weight_unit = WeightUnit::Kilogram;
        let written = text(groups_csv(&book, &results));
        let kilograms = 500.25 * crate::sheet::settings::KILOGRAMS_PER_POUND;
        assert_eq!(
            written.lines().nth(1),
            Some(
                format!("\"2026 spring heifers, Pen 1\",heifers,Pen 1,,,1,1,{kilograms},,group of one; one-sire group")
                    .as_str()
            )
        );
    }

    #[test]
    fn problems_say_where_and_what_was_read() {
        let note = Note {
            code: "import.number.unreadable",
            severity: Severity::Error,
            place: Place {
                sheet: Some(SheetKind::Calves),
                line: Some(14),
                tag: Some("5013".to_owned()),
                column: Some("wean_weight".to_owned()),
                header: Some("Wean Wt".to_owned()),
                ..Place::default()
            },
            read: "=5O2, about".to_owned(),
            message: "Not a number.".to_owned(),
            hint: "Type the weight.".to_owned(),
        };
        assert_eq!(
            text(problems_csv(std::slice::from_ref(&note), &[]))
                .lines()
                .nth(1),
            Some(
                "error,import.number.unreadable,calves,14,5013,wean_weight,Wean Wt,\"'=5O2, about\",Not a number.,\
                 Type the weight.,"
            )
        );
    }
}
