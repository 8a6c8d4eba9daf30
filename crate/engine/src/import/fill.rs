//! One column of a file, filled cell by cell.
//!
//! Enters: the bytes of the column's fields, row by row. Leaves: typed cells, the texts that could not be read,
//! and the dates whose day and month could stand either way.
//! Always true: one cell per row; no allocation for a field that is a plain number, an ISO date, or a text seen
//! before.
//! Never: decides the order of day and month (`order` does, at the end of the file).

// long because: the quick way of every kind of cell stands beside the slow one, and both fill the same state.

use std::collections::{BTreeMap, VecDeque};

use super::day_count;
use super::letters::{self, Letters};
use super::plan::{DateOrder, DayCount, Rules};
use crate::sheet::codes::{Codes, NO_CODE, RESULT};
use crate::sheet::column::{Cells, Kind};
use crate::sheet::day::Day;
use crate::sheet::interned::Interned;
use crate::sheet::read::date::{DateText, NumericDate, iso, parse};
use crate::sheet::read::number::{plain_decimal, read_weight, years};
use crate::sheet::read::{
    Read, ReadOptions, convert_weight, is_word_for_missing, read_cell, trimmed,
};

/// So many cells of a column are kept as they stand, to be shown.
const N_EXAMPLES: usize = 4;

/// What goes beyond the reading of one cell.
#[derive(Clone, Copy, Debug)]
pub struct Ways {
    /// The rules of the plan.
    pub rules: Rules,
    /// How day counts of spreadsheets are read, where that was said.
    pub day_count: Option<DayCount>,
    /// True when words for missing are missing in a text too.
    pub words_for_missing: bool,
    /// True when a dash alone is missing in a text in which other words for missing are not.
    pub dashes_missing: bool,
}

impl Ways {
    /// True for a word that stands for missing in this text.
    #[inline]
    fn means_missing(&self, text: &str) -> bool {
        if self.dashes_missing && self.rules >= Rules::Fourth {
            let plain = trimmed(text);
            return !plain.is_empty() && plain.chars().all(|ch| matches!(ch, '-' | '–' | '—'));
        }
        self.words_for_missing
            && self.rules >= Rules::Second
            && text
                .bytes()
                .next()
                .is_some_and(|first| !first.is_ascii_digit())
            && is_word_for_missing_name(trimmed(text))
    }

    /// For a text kept as it stands.
    pub fn plain(rules: Rules) -> Ways {
        Ways {
            rules,
            day_count: None,
            words_for_missing: false,
            dashes_missing: false,
        }
    }
}

/// A column being filled.
pub struct Filling {
    kind: Kind,
    options: ReadOptions,
    ways: Ways,
    /// `None` for a column that is left out: it is only counted.
    cells: Option<Cells>,
    /// Texts that could not be read, by row.
    pub unreadable: BTreeMap<u32, String>,
    /// The first cells as they stand in the file.
    pub examples: Vec<String>,
    /// Cells with something in them.
    pub n_filled: u32,
    /// Dates that wait for the order of day and month.
    pub waiting: Waiting,
    /// Weights that gave a unit other than the column's.
    pub other_unit: Counted,
    /// Dates with two-digit years read as 20xx.
    pub short_years: Counted,
    /// Dates with two-digit years read as 19xx.
    pub old_short_years: Counted,
    /// Dates with a time of day, which is left off.
    pub times: Counted,
    /// Day counts of spreadsheets.
    pub day_counts: Counted,
    /// Words for missing.
    pub missing_words: Counted,
    /// Numbers with a sign between thousands.
    pub thousands: Counted,
    /// The first of them as read, in the unit it was written in.
    pub thousands_as_read: f64,
    words: Vec<(Box<[u8]>, Option<u8>)>,
    last_word: usize,
}

/// A count with its first example.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counted {
    /// How many.
    pub n: u32,
    /// The first: its row and its text.
    pub first: Option<(u32, String)>,
    /// Rows of the last ones, as many as can be taken off the end again.
    last: VecDeque<u32>,
}

/// So many rows may be taken off the end of a file (totals, or a second line of headers).
const MOST_OFF: usize = 16;

impl Counted {
    fn add(&mut self, row: u32, text: &str) {
        self.n += 1;
        if self.first.is_none() {
            self.first = Some((row, text.to_owned()));
        }
        if self.last.len() == MOST_OFF {
            let _older = self.last.pop_front();
        }
        self.last.push_back(row);
    }

    fn drop_from(&mut self, row: u32) {
        while self.last.pop_back_if(|last| *last >= row).is_some() {
            self.n -= 1;
        }
        if self.first.as_ref().is_some_and(|(first, _)| *first >= row) {
            self.first = None;
        }
    }
}

/// Dates whose day and month could stand either way, until the whole file has been seen.
///
/// Files hold few different days: every text is kept and read once.
#[derive(Default)]
pub struct Waiting {
    rows: Vec<u32>,
    texts: Interned,
    dates: Vec<NumericDate>,
}

impl Waiting {
    fn text_in(&self, row: u32) -> Option<&str> {
        let at = self.rows.binary_search(&row).ok()?;
        self.texts.get(at)
    }

    fn drop_from(&mut self, row: u32) {
        let n_kept = self.rows.partition_point(|&at| at < row);
        self.rows.truncate(n_kept);
        self.texts.truncate(n_kept);
    }

    /// Each date with its row and text, in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = (u32, &str, NumericDate)> {
        self.rows
            .iter()
            .zip(self.texts.codes())
            .map(|(&row, &code)| {
                let text = self.texts.text_of(code).unwrap_or("");
                (row, text, self.dates[code as usize])
            })
    }
}

/// A cell that came in, looked at again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CellSeen {
    /// Nothing there, or its column is left out.
    Missing,
    /// A value of the column's kind, in words.
    Read(String),
    /// A text that is not of the column's kind.
    Unreadable(String),
}

/// What a cell held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// Nothing but white space.
    Nothing,
    /// Something.
    Text,
    /// Something, read as Windows-1252.
    Windows1252,
    /// Something with bytes that are no letters; the sign for a lost character stands in their place.
    BrokenText,
}

impl Held {
    fn text(letters: Letters) -> Held {
        match letters {
            Letters::Utf8 => Held::Text,
            Letters::Windows1252 => Held::Windows1252,
            Letters::Lost => Held::BrokenText,
        }
    }
}

impl Filling {
    /// A column of this kind; `keep` is false for one that is left out.
    pub fn new(kind: Kind, options: ReadOptions, ways: Ways, keep: bool) -> Filling {
        Filling {
            kind,
            options,
            ways,
            cells: keep.then(|| Cells::empty(kind)),
            unreadable: BTreeMap::new(),
            examples: Vec::new(),
            n_filled: 0,
            waiting: Waiting::default(),
            other_unit: Counted::default(),
            short_years: Counted::default(),
            old_short_years: Counted::default(),
            times: Counted::default(),
            day_counts: Counted::default(),
            missing_words: Counted::default(),
            thousands: Counted::default(),
            thousands_as_read: f64::NAN,
            words: Vec::new(),
            last_word: 0,
        }
    }

    /// Two-digit years up to this one are 20xx.
    pub fn two_digit_year_to(&self) -> u8 {
        self.options.two_digit_year_to
    }

    /// What the column holds.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// Adds the cell of a row.
    #[inline]
    pub fn push(&mut self, row: u32, bytes: &[u8]) -> Held {
        let is_blank = bytes.first().is_none_or(|&first| {
            (first <= b' ' && bytes.trim_ascii().is_empty())
                // A no-break space alone is nothing either.
                || (first <= b' ' || first >= 0x80)
                    && trimmed(&letters::read_by(self.ways.rules, bytes).0).is_empty()
        });
        if is_blank {
            self.push_missing();
            return Held::Nothing;
        }
        self.n_filled += 1;
        if self.examples.len() < N_EXAMPLES {
            self.examples
                .push(letters::read_by(self.ways.rules, bytes).0.into_owned());
        }
        if bytes[0] >= 0x80 && self.is_old_dash(bytes) {
            return self.push_old_dash(row, bytes);
        }
        match (&mut self.cells, self.kind) {
            (None, _) => Held::Text,
            (Some(Cells::Number(numbers)), kind) => {
                match plain_number(kind, bytes, &self.options) {
                    Some(number) => {
                        numbers.push(number);
                        Held::Text
                    }
                    None => self.push_slowly(row, bytes),
                }
            }
            (Some(Cells::Day(days)), _) => match iso(bytes) {
                Some(day) => {
                    days.push(day);
                    Held::Text
                }
                None => self.push_date(row, bytes),
            },
            (Some(Cells::Code(_)), Kind::Code(codes)) => self.push_word(row, bytes, codes),
            (Some(Cells::Text(texts)), Kind::List) if is_one_plain_name(bytes) => {
                // ASCII, so that nothing is lost here.
                texts.push(std::str::from_utf8(bytes).unwrap_or_default());
                Held::Text
            }
            (Some(Cells::Text(texts)), Kind::Text) => match std::str::from_utf8(bytes) {
                Ok(text) if self.ways.means_missing(text) => {
                    self.missing_words.add(row, trimmed(text));
                    texts.push("");
                    Held::Text
                }
                Ok(text) => {
                    let ends = [bytes[0], bytes[bytes.len() - 1]];
                    let has_no_space = ends.iter().all(|byte| (b'!'..0x7f).contains(byte));
                    texts.push(if has_no_space { text } else { trimmed(text) });
                    Held::Text
                }
                Err(_) => self.push_slowly(row, bytes),
            },
            _ => self.push_slowly(row, bytes),
        }
    }

    /// Adds a missing cell.
    #[inline]
    pub fn push_missing(&mut self) {
        match &mut self.cells {
            None => {}
            Some(Cells::Text(texts)) => texts.push(""),
            Some(Cells::Number(numbers)) => numbers.push(f64::NAN),
            Some(Cells::Day(days)) => days.push(Day::MISSING),
            Some(Cells::Code(codes)) => codes.push(NO_CODE),
        }
    }

    /// Cells so far; none in a column that is left out.
    pub fn n_rows(&self) -> usize {
        self.cells.as_ref().map_or(0, Cells::len)
    }

    /// Adds a text beyond the header to a row, after what the row already holds here.
    pub fn push_beyond(&mut self, row: u32, text: &str) {
        let row_at = row as usize;
        let Some(Cells::Text(texts)) = &mut self.cells else {
            return;
        };
        let text = trimmed(text);
        if texts.len() > row_at {
            let joined = format!("{}; {text}", texts.get(row_at).unwrap_or(""));
            texts.set(row_at, &joined);
        } else {
            texts.push(text);
            self.n_filled += 1;
            if self.examples.len() < N_EXAMPLES {
                self.examples.push(text.to_owned());
            }
        }
    }

    /// Takes the cell of a row off the end again: the row turned out to be blank.
    pub fn drop_row(&mut self, row: u32) {
        if let Some(cells) = &mut self.cells {
            cells.resize(row as usize);
        }
    }

    /// The cell of a row.
    pub fn cell(&self, row: u32) -> CellSeen {
        if let Some(text) = self.unreadable.get(&row) {
            return CellSeen::Unreadable(text.clone());
        }
        let at = row as usize;
        let read = match &self.cells {
            None => None,
            Some(Cells::Text(texts)) => texts.get(at).map(str::to_owned),
            Some(Cells::Number(numbers)) => numbers
                .get(at)
                .filter(|number| !number.is_nan())
                .map(f64::to_string),
            Some(Cells::Day(days)) => match self.waiting.text_in(row) {
                Some(text) => Some(text.to_owned()),
                None => days
                    .get(at)
                    .filter(|day| !day.is_missing())
                    .map(|day| day.iso()),
            },
            Some(Cells::Code(codes)) => match self.kind {
                Kind::Code(of) => codes
                    .get(at)
                    .and_then(|&code| of.key(code))
                    .map(str::to_owned),
                _ => None,
            },
        };
        read.filter(|text| !text.is_empty())
            .map_or(CellSeen::Missing, CellSeen::Read)
    }

    /// Takes the rows from this one on off the end again.
    pub fn drop_from(&mut self, row: u32) {
        let n_rows = u32::try_from(self.n_rows()).unwrap_or(u32::MAX);
        let n_off = (row..n_rows)
            .filter(|&row| self.cell(row) != CellSeen::Missing)
            .count();
        self.n_filled -= u32::try_from(n_off).unwrap_or(0).min(self.n_filled);
        if let Some(cells) = &mut self.cells {
            cells.resize(row as usize);
        }
        drop(self.unreadable.split_off(&row));
        self.waiting.drop_from(row);
        for counted in [
            &mut self.other_unit,
            &mut self.short_years,
            &mut self.old_short_years,
            &mut self.times,
            &mut self.day_counts,
            &mut self.missing_words,
            &mut self.thousands,
        ] {
            counted.drop_from(row);
        }
    }

    /// Settles the waiting dates and hands out the cells; `None` when the column is left out.
    pub fn finish(&mut self, order: DateOrder) -> Option<Cells> {
        let mut cells = self.cells.take()?;
        if let Cells::Day(days) = &mut cells {
            for (row, text, date) in self.waiting.iter() {
                match date.day(order) {
                    Some(day) => days[row as usize] = day,
                    None => {
                        self.unreadable.insert(row, text.to_owned());
                    }
                }
            }
        }
        Some(cells)
    }

    /// True for a dash alone under the rules that took it for a text.
    #[cold]
    fn is_old_dash(&self, bytes: &[u8]) -> bool {
        self.ways.rules < Rules::Fourth
            && trimmed(&letters::read_by(self.ways.rules, bytes).0) == DASH
    }

    #[cold]
    fn push_old_dash(&mut self, row: u32, bytes: &[u8]) -> Held {
        let (text, letters) = letters::read_by(self.ways.rules, bytes);
        match (&mut self.cells, self.kind) {
            (Some(Cells::Text(texts)), _) => texts.push(trimmed(&text)),
            (None, _) => {}
            _ => self.push_unreadable(row, trimmed(&text)),
        }
        Held::text(letters)
    }

    fn push_unreadable(&mut self, row: u32, text: &str) {
        self.push_missing();
        self.unreadable.insert(row, text.to_owned());
    }

    fn push_slowly(&mut self, row: u32, bytes: &[u8]) -> Held {
        let (text, letters) = letters::read_by(self.ways.rules, bytes);
        match read_cell(self.kind, &text, &self.options) {
            Ok(Read::Missing) => {
                self.missing_words.add(row, trimmed(&text));
                self.push_missing();
            }
            Ok(Read::Text(value)) if self.ways.means_missing(&value) => {
                self.missing_words.add(row, &value);
                self.push_missing();
            }
            Ok(Read::Text(value)) => {
                if let Some(Cells::Text(texts)) = &mut self.cells {
                    texts.push(&value);
                }
            }
            Ok(Read::Number { number, said_unit }) => {
                if let Some(Cells::Number(numbers)) = &mut self.cells {
                    numbers.push(number);
                }
                if said_unit.is_some_and(|unit| unit != self.options.weight_unit) {
                    self.other_unit.add(row, &text);
                }
                if parts_thousands(&text, self.options.decimal_comma) {
                    if self.thousands.n == 0 {
                        self.thousands_as_read =
                            read_weight(trimmed(&text), self.options.decimal_comma)
                                .map_or(number, |(number, _)| number);
                    }
                    self.thousands.add(row, trimmed(&text));
                }
            }
            Ok(Read::Code(position)) => {
                if let Some(Cells::Code(codes)) = &mut self.cells {
                    codes.push(position);
                }
            }
            Ok(Read::Day { day, .. }) => {
                if let Some(Cells::Day(days)) = &mut self.cells {
                    days.push(day);
                }
            }
            Err(_) => self.push_unreadable(row, trimmed(&text)),
        }
        Held::text(letters)
    }

    fn push_date(&mut self, row: u32, bytes: &[u8]) -> Held {
        let (lossy, letters) = letters::read_by(self.ways.rules, bytes);
        let text = trimmed(&lossy);
        let seen = self
            .waiting
            .texts
            .code_of(text)
            .map(|code| self.waiting.dates[code as usize]);
        let parsed = match seen {
            Some(date) => Ok(DateText::Numeric(date)),
            None if is_word_for_missing(text) => {
                self.missing_words.add(row, text);
                self.push_missing();
                return Held::text(letters);
            }
            None => parse(text.as_bytes(), self.options.two_digit_year_to),
        };
        match parsed {
            Ok(read) => {
                if read.short_year() {
                    if read.year().is_some_and(|year| year < 2000) {
                        self.old_short_years.add(row, text);
                    } else {
                        self.short_years.add(row, text);
                    }
                }
                if text.contains(':') {
                    self.times.add(row, text);
                }
                let day = match read {
                    DateText::Day { day, .. } => day,
                    DateText::Numeric(date) => {
                        self.waiting.rows.push(row);
                        self.waiting.texts.push(text);
                        if self.waiting.texts.n_texts() > self.waiting.dates.len() {
                            self.waiting.dates.push(date);
                        }
                        Day::MISSING
                    }
                };
                if let Some(Cells::Day(days)) = &mut self.cells {
                    days.push(day);
                }
            }
            Err(_) => self.push_day_count(row, text),
        }
        Held::text(letters)
    }

    /// A text in a column of dates that is no date: a day count, or unreadable.
    fn push_day_count(&mut self, row: u32, text: &str) {
        let counted = day_count::read(text).filter(|_| self.ways.rules >= Rules::Second);
        let Some((serial, has_time)) = counted else {
            self.push_unreadable(row, text);
            return;
        };
        self.day_counts.add(row, text);
        let base = self.ways.day_count.unwrap_or(DayCount::From1900);
        let Some(day) = day_count::day(serial, base) else {
            self.push_unreadable(row, text);
            return;
        };
        if has_time {
            self.times.add(row, text);
        }
        if let Some(Cells::Day(days)) = &mut self.cells {
            days.push(day);
        }
    }

    fn push_word(&mut self, row: u32, bytes: &[u8], codes: &'static Codes) -> Held {
        let same = |(word, _): &(Box<[u8]>, Option<u8>)| word.as_ref() == bytes;
        let known = if self.words.get(self.last_word).is_some_and(same) {
            Some(self.last_word)
        } else {
            self.words.iter().position(same)
        };
        let at = match known {
            Some(at) => at,
            None => {
                let (text, _) = letters::read_by(self.ways.rules, bytes);
                let position = crate::sheet::read::codes::position(codes, trimmed(&text))
                    .filter(|_| !is_asked(codes, trimmed(&text), self.ways.rules));
                // A column of names that was taken for words must not make every look-up long.
                if self.words.len() >= 64 {
                    self.words.clear();
                }
                self.words.push((bytes.into(), position));
                self.words.len() - 1
            }
        };
        self.last_word = at;
        match (self.words[at].1, &mut self.cells) {
            (Some(position), Some(Cells::Code(cells))) => {
                cells.push(position);
                if position == NO_CODE {
                    let (text, _) = letters::read_by(self.ways.rules, bytes);
                    self.missing_words.add(row, trimmed(&text));
                }
                Held::Text
            }
            _ => {
                let (text, letters) = letters::read_by(self.ways.rules, bytes);
                self.push_unreadable(row, trimmed(&text));
                Held::text(letters)
            }
        }
    }
}

/// A letter alone for what a pregnancy check found: B may be bred or a bull calf, O open or a sign for none. A question
/// mark may be a cow to look at again, or one whose tag could not be read.
fn is_asked(codes: &Codes, text: &str, rules: Rules) -> bool {
    let mut signs = text.chars();
    let one = signs.next().filter(|_| signs.next().is_none());
    std::ptr::eq(codes, &RESULT)
        && (rules >= Rules::Third && one.is_some_and(char::is_alphabetic)
            || rules >= Rules::Fourth && text.contains('?'))
}

/// A dash alone, which the first rules took for a text.
const DASH: &str = "–";

/// Words for missing that are nobody's name: a cow may be called Nan or Na.
fn is_word_for_missing_name(text: &str) -> bool {
    const WORDS: [&str; 12] = [
        "n/a", "#n/a", "n.a.", "none", "unknown", "unk", "-", "--", ".", "?", "—", DASH,
    ];
    text.len() <= 8 && WORDS.iter().any(|word| text.eq_ignore_ascii_case(word))
}

/// True for letters and digits with a digit among them: one name, without spaces or signs that divide names,
/// and no word for missing, which all lack digits. Most sires are written so.
#[inline]
fn is_one_plain_name(bytes: &[u8]) -> bool {
    bytes.iter().all(u8::is_ascii_alphanumeric) && bytes.iter().any(u8::is_ascii_digit)
}

/// True for `1,272` (with a decimal comma `1.272`): the sign of thousands before three digits and no more.
fn parts_thousands(text: &str, decimal_comma: bool) -> bool {
    let sign = if decimal_comma { '.' } else { ',' };
    text.split_once(sign).is_some_and(|(_, after)| {
        let n_digits = after.bytes().take_while(u8::is_ascii_digit).count();
        n_digits == 3
    })
}

/// The number of a field of digits, in the book's unit; `None` when it takes a closer look.
#[inline]
fn plain_number(kind: Kind, bytes: &[u8], options: &ReadOptions) -> Option<f64> {
    if options.decimal_comma {
        return None;
    }
    let number = plain_decimal(bytes)?;
    match kind {
        Kind::Weight => Some(convert_weight(
            number,
            options.weight_unit,
            options.book_unit,
        )),
        Kind::Number("years") => Some(years(number, options.age_unit)),
        // A year with two digits takes a closer look.
        Kind::Number("year") => Some(number).filter(|&year| year >= 100.0),
        _ => Some(number),
    }
}

#[cfg(test)]
mod tests {
    use super::is_one_plain_name;
    use crate::sheet::read::list;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_plain_name_reads_as_the_list_reader_reads_it(text in "[a-zA-Z0-9 ;/,.#?-]{1,9}") {
            if is_one_plain_name(text.as_bytes()) {
                let read = list::read(&text);
                prop_assert_eq!(read.as_deref(), Some(text.as_str()));
            }
        }
    }

    #[test]
    fn words_for_missing_and_several_names_take_the_longer_way() {
        for text in ["na", "none", "unk", "S1/S2", "S1;S2", "7 ", "S-1", "Sam"] {
            assert!(!is_one_plain_name(text.as_bytes()), "{text}");
        }
        assert!(is_one_plain_name(b"S0123"));
    }
}
