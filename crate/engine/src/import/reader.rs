//! A file read from its first byte to its last, once.
//!
//! Enters: a file's name, what is already chosen, and its bytes in chunks. Leaves: a table, the plan it was read
//! by, notes and questions.
//! Always true: the same bytes and choices give the same table, however the bytes are cut; every record of the
//! file is a row, the header, a line above it, or counted as blank.
//! Never: keeps the bytes of the file.

// long because: the start of a file, each field and the end of a record share the state of one pass.

use super::fill::{Filling, Held, Ways};
use super::letters::{self, Letters, Unwrapped};
use super::match_header::guess;
use super::notes::Lines;
use super::plan::{AgeUnit, CheckWays, DateOrder, ImportPlan, Question, Repeated, Rules, Target};
use super::recall::{self, Recalled};
use super::scan::{Scanner, Sink};
use super::sheet_of_file::decide;
use super::sniff::{SAMPLE_BYTES, Sniffed, sniff};
use crate::error::Error;
use crate::note::Note;
use crate::sheet::column::Kind;
use crate::sheet::day::Day;
use crate::sheet::read::{ReadOptions, trimmed, two_digit_year_to};
use crate::sheet::remembered::Remembered;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// What is known before a file is read.
#[derive(Clone, Debug)]
pub struct ImportOptions {
    /// Unit in which the book keeps weights.
    pub book_unit: WeightUnit,
    /// True while the book holds no weight: it then takes the unit of the file.
    pub unit_is_open: bool,
    /// The day the book stands at, from which two-digit years are counted; may be missing.
    pub as_of: Day,
    /// The day that counts as today, from which two-digit years are counted where the book stands at no day; may be
    /// missing.
    pub today: Day,
    /// The sheet, when it was chosen.
    pub sheet: Option<SheetKind>,
    /// How to read the file, when that was settled before.
    pub plan: Option<ImportPlan>,
    /// Ways of reading files that the book remembers; passed over when the plan is given.
    pub remembered: Remembered,
    /// Name of the sheet in a spreadsheet file; empty for a text file.
    pub part: String,
}

impl ImportOptions {
    /// Nothing chosen yet, for a file brought into this book. A book that holds no weight takes the unit of
    /// the first file with weights.
    pub fn for_book(book: &Workbook) -> ImportOptions {
        let settings = &book.settings;
        ImportOptions {
            unit_is_open: !book.holds_weights(),
            remembered: book.remembered.clone(),
            ..ImportOptions::of_book(settings.weight_unit, settings.as_of)
        }
    }

    /// The book's day, else today; may be missing.
    pub fn day(&self) -> Day {
        if self.as_of.is_missing() {
            self.today
        } else {
            self.as_of
        }
    }

    /// Nothing chosen yet, for a book whose unit is settled.
    pub fn of_book(book_unit: WeightUnit, as_of: Day) -> ImportOptions {
        ImportOptions {
            book_unit,
            unit_is_open: false,
            as_of,
            today: Day::MISSING,
            sheet: None,
            plan: None,
            remembered: Remembered::new(),
            part: String::new(),
        }
    }
}

/// What a column of the file came to.
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnReport {
    /// Key of the column in the table; `None` when it is left out.
    pub key: Option<String>,
    /// The first filled cells as they stand in the file.
    pub examples: Vec<String>,
    /// Cells with something in them.
    pub n_filled: u32,
    /// Cells that could not be read as the column's kind.
    pub n_unreadable: u32,
}

/// A file that was read.
#[derive(Clone)]
pub struct Imported {
    /// Its rows.
    pub table: Table,
    /// Unit of the weights in the table; the book is to have it when the rows come in.
    pub table_unit: WeightUnit,
    /// The remembered way it was read by, when there was one.
    pub recalled: Option<Recalled>,
    /// How it was read: one entry per column of the file, columns without a header of their own included.
    pub plan: ImportPlan,
    /// For each column of the plan, what it came to.
    pub columns: Vec<ColumnReport>,
    /// What is doubtful about the file as a whole.
    pub notes: Vec<Note>,
    /// What the file leaves open, whether or not the plan answers it.
    pub questions: Vec<Question>,
    /// The order in which dates written with numbers were read; `None` when there were none that could be
    /// read two ways.
    pub date_order: Option<DateOrder>,
    /// Records without anything in them; they are no rows.
    pub n_blank: u32,
    /// Lines with something in them that stand above the header.
    pub n_above_header: u32,
    /// Lines under the header that were set aside: totals at the foot, and headers once more.
    pub n_set_aside: u32,
}

impl Imported {
    /// The questions that the plan does not answer.
    pub fn open_questions(&self) -> impl Iterator<Item = &Question> {
        self.questions
            .iter()
            .filter(|question| !self.plan.answers(question))
    }
}

/// A file being read.
pub struct Reader {
    file_name: String,
    options: ImportOptions,
    unwrapped: Unwrapped,
    /// Bytes held back until there are enough of them to look at.
    sample: Vec<u8>,
    open: Option<Open>,
}

/// A file whose header is known.
pub(super) struct Open {
    scanner: Scanner,
    pub(super) rows: Rows,
    pub(super) plan: ImportPlan,
    pub(super) sniffed: Sniffed,
    pub(super) guessed: Vec<Question>,
    pub(super) recalled: Option<Recalled>,
    pub(super) file_name: String,
    /// The book's day, else today; may be missing.
    pub(super) as_of: Day,
    /// Unit of the book before the file.
    pub(super) book_unit: WeightUnit,
    /// Unit of the weights in the table.
    pub(super) table_unit: WeightUnit,
}

/// The rows as they come in.
pub(super) struct Rows {
    header_line: u32,
    above: bool,
    at: usize,
    any: bool,
    broken: bool,
    pub(super) columns: Vec<Filling>,
    pub(super) n_header_columns: usize,
    pub(super) source_line: Vec<u32>,
    pub(super) n_blank: u32,
    pub(super) first_blank: Option<u32>,
    pub(super) too_few: Lines,
    pub(super) too_many: Lines,
    pub(super) broken_text: Lines,
    /// Lines with cells read as Windows-1252: how many, and the first with its text.
    pub(super) windows_1252: (u32, Option<(u32, String)>),
    /// In a UTF-16 file, its units that are no letter.
    pub(super) utf16_lost: Option<u32>,
    pub(super) above_header: Lines,
    above_text: String,
    own_options: ReadOptions,
    rules: Rules,
    latin: Option<String>,
    headers: Vec<Box<[u8]>>,
    /// True as long as every cell of the record is the header of its column.
    is_header: bool,
    pub(super) header_again: Lines,
    /// True while the line of units under the headers is still to come.
    units_below: bool,
    units_text: String,
    /// The line of units, with its text.
    pub(super) units: Lines,
}

/// Known texts in which a word for missing may be meant as it stands.
const FREE_TEXTS: [&str; 3] = ["note", "remarks", "stage"];

/// Cells beyond the header get columns of their own, up to so many; more are kept in the last of them.
const MOST_EXTRA: usize = 40;

impl Reader {
    /// Begins a file.
    pub fn begin(file_name: &str, options: ImportOptions) -> Reader {
        Reader {
            file_name: file_name.to_owned(),
            options,
            unwrapped: Unwrapped::default(),
            sample: Vec::new(),
            open: None,
        }
    }

    /// Reads the next bytes. Returns the number of rows so far.
    ///
    /// # Errors
    /// When this is no text file with columns, or the plan is not one for this file.
    pub fn push(&mut self, chunk: &[u8]) -> Result<u32, Error> {
        let text = self.unwrapped.push(chunk);
        self.push_text(&text)
    }

    fn push_text(&mut self, chunk: &[u8]) -> Result<u32, Error> {
        if let Some(open) = &mut self.open {
            open.scanner.feed(chunk, &mut open.rows);
            return Ok(open.rows.n_rows());
        }
        // Always the same number of bytes is looked at, so that the cut into chunks cannot change the guess.
        let missing = SAMPLE_BYTES.saturating_sub(self.sample.len());
        let (first, rest) = chunk.split_at(missing.min(chunk.len()));
        self.sample.extend_from_slice(first);
        if rest.is_empty() {
            return Ok(0);
        }
        self.open(false)?;
        self.push_text(rest)
    }

    /// Ends the file.
    ///
    /// # Errors
    /// As [`Reader::push`].
    pub fn finish(mut self) -> Result<Imported, Error> {
        let held = self.unwrapped.finish();
        self.push_text(&held)?;
        if self.open.is_none() {
            self.open(true)?;
        }
        let Some(mut open) = self.open else {
            return Err(Error::new(
                "import.file.empty",
                "The file holds no rows.",
                "Choose a file with a line of headers and a line for each animal.",
            ));
        };
        let unclosed = open.scanner.finish(&mut open.rows);
        if self.unwrapped.is_utf16() {
            open.rows.utf16_lost = Some(self.unwrapped.n_lost);
        }
        Ok(super::finish::finish(open, unclosed))
    }

    fn open(&mut self, whole: bool) -> Result<(), Error> {
        let sample = std::mem::take(&mut self.sample);
        let given = self.options.plan.take();
        let rules = given.as_ref().map_or(Rules::Fourth, |plan| plan.rules);
        let sniffed = sniff(
            &sample,
            whole,
            given.as_ref().map(|plan| plan.delimiter),
            rules,
        )?;
        let way = recall::best(
            &self.options.remembered,
            &self.options.part,
            &sniffed.headers,
            self.options.sheet,
        )
        .filter(|_| given.is_none());
        let sheet = given.as_ref().map(|plan| plan.sheet).or(self.options.sheet);
        let sheet = sheet.or(way.map(|(_, way)| way.plan.sheet));
        let decided = decide(&self.file_name, &sniffed.headers, &sniffed.rows);
        let is_said = sheet.is_some();
        let sheet = sheet.unwrap_or(decided.sheet);
        let mut guess = guess(
            sheet,
            &sniffed.headers,
            &sniffed.rows,
            sniffed.decimal_comma,
        );
        let is_new = given.is_none();
        if is_new && let Some(units) = &sniffed.units {
            units.lay_under(sheet, &mut guess.columns);
        }
        if !decided.asked.is_empty() {
            guess.questions.insert(
                0,
                Question::Sheet {
                    sheets: decided.asked,
                },
            );
        }
        let mut plan = match given {
            Some(plan) => fitting(plan, &sniffed)?,
            None => ImportPlan {
                sheet,
                delimiter: sniffed.delimiter,
                header_line: sniffed.header_line,
                decimal_comma: sniffed.decimal_comma,
                date_order: sniffed.units.as_ref().and_then(|units| units.date_order()),
                two_digit_year_to: two_digit_year_to(self.options.day()),
                male_means: None,
                // A file that says kilograms in one header means them in the next.
                weight_unit: guess
                    .columns
                    .iter()
                    .find_map(|column| column.weight_unit)
                    .unwrap_or(self.options.book_unit),
                columns: guess.columns,
                day_count: None,
                rules: Rules::Fourth,
                keep_summary_rows: false,
                repeated: Repeated::All,
                checks: CheckWays::default(),
                // The line of units says it.
                answered: sniffed
                    .units
                    .as_ref()
                    .and_then(|units| units.date_order())
                    .map(|_| "date_order".to_owned())
                    .into_iter()
                    .collect(),
            },
        };
        let recalled = way.map(|(shape, way)| recall::lay_over(&mut plan, shape, way));
        if is_new && is_said {
            plan.choose_this_sheet();
        }
        let table_unit = if self.options.unit_is_open {
            plan.weight_unit
        } else {
            self.options.book_unit
        };
        let mut rows = Rows::new(&plan, table_unit);
        rows.units_below = plan.rules >= Rules::Fourth && sniffed.units.is_some();
        let mut open = Open {
            scanner: Scanner::new(plan.delimiter),
            rows,
            plan,
            sniffed,
            guessed: guess.questions,
            recalled,
            file_name: self.file_name.clone(),
            as_of: self.options.day(),
            book_unit: self.options.book_unit,
            table_unit,
        };
        open.scanner.feed(&sample, &mut open.rows);
        self.open = Some(open);
        Ok(())
    }
}

/// Reads a whole file.
///
/// # Errors
/// As [`Reader::push`].
pub fn read_all(bytes: &[u8], file_name: &str, options: ImportOptions) -> Result<Imported, Error> {
    let mut reader = Reader::begin(file_name, options);
    reader.push(bytes)?;
    reader.finish()
}

/// The plan, when it is one for this file.
fn fitting(mut plan: ImportPlan, sniffed: &Sniffed) -> Result<ImportPlan, Error> {
    // Columns of cells beyond the header are made anew while the file is read.
    while plan.columns.len() > sniffed.headers.len()
        && plan
            .columns
            .last()
            .is_some_and(|column| column.header.is_empty())
    {
        plan.columns.pop();
    }
    plan.header_line = sniffed.header_line;
    let same_headers = plan.columns.len() == sniffed.headers.len()
        && plan
            .columns
            .iter()
            .zip(&sniffed.headers)
            .all(|(column, header)| column.header == *header);
    if !same_headers {
        return Err(Error::new(
            "import.plan.other_file",
            "The file's headers are not the ones this way of reading was made for.",
            "Bring the file in as a new one.",
        ));
    }
    for (at, column) in plan.columns.iter().enumerate() {
        let Target::Known(key) = &column.target else {
            continue;
        };
        if plan.sheet.column(key).is_none() {
            return Err(Error::new(
                "import.plan.column",
                format!(
                    "There is no column \"{key}\" in the sheet {}.",
                    plan.sheet.label()
                ),
                "Choose another column for it.",
            ));
        }
        if plan.columns[..at]
            .iter()
            .any(|other| other.target == column.target)
        {
            return Err(Error::new(
                "import.plan.twice",
                format!("Two columns of the file are both set to \"{key}\"."),
                "Choose one of them and keep the other as your own.",
            ));
        }
    }
    Ok(plan)
}

impl Rows {
    fn new(plan: &ImportPlan, book_unit: WeightUnit) -> Rows {
        let options = ReadOptions {
            weight_unit: plan.weight_unit,
            book_unit,
            age_unit: AgeUnit::Years,
            decimal_comma: plan.decimal_comma,
            date_order: plan.date_order,
            two_digit_year_to: plan.two_digit_year_to,
            year: None,
        };
        let columns: Vec<Filling> = plan
            .columns
            .iter()
            .map(|column| {
                let kind = match &column.target {
                    Target::Known(key) => plan
                        .sheet
                        .column(key)
                        .map_or(Kind::Text, |known| known.kind),
                    Target::DueDay => Kind::Date,
                    Target::Own | Target::LeaveOut | Target::CalvingMonth => Kind::Text,
                };
                let options = ReadOptions {
                    weight_unit: column.weight_unit.unwrap_or(plan.weight_unit),
                    age_unit: column.age_unit,
                    ..options
                };
                let ways = Ways {
                    rules: plan.rules,
                    day_count: plan.day_count,
                    words_for_missing: matches!(&column.target, Target::Known(key) if !FREE_TEXTS.contains(&key.as_str())),
                    dashes_missing: matches!(&column.target, Target::Known(key) if key == "stage"),
                };
                let keep = column.target != Target::LeaveOut;
                Filling::new(kind, options, ways, keep)
            })
            .collect();
        Rows {
            header_line: plan.header_line,
            above: true,
            at: 0,
            any: false,
            broken: false,
            n_header_columns: columns.len(),
            columns,
            source_line: Vec::new(),
            n_blank: 0,
            first_blank: None,
            too_few: Lines::default(),
            too_many: Lines::default(),
            broken_text: Lines::default(),
            windows_1252: (0, None),
            utf16_lost: None,
            above_header: Lines::default(),
            above_text: String::new(),
            own_options: options,
            rules: plan.rules,
            latin: None,
            headers: plan
                .columns
                .iter()
                .map(|column| column.header.as_bytes().into())
                .collect(),
            is_header: false,
            header_again: Lines::default(),
            units_below: false,
            units_text: String::new(),
            units: Lines::default(),
        }
    }

    pub(super) fn n_rows(&self) -> u32 {
        // Rows are counted in 32 bits throughout; a file of that many does not fit in memory.
        u32::try_from(self.source_line.len()).unwrap_or(u32::MAX)
    }

    /// A cell beyond the header. Nothing is lost: it gets a column of its own.
    #[cold]
    fn field_beyond(&mut self, at: usize, text: &[u8]) {
        if text.trim_ascii().is_empty() {
            return;
        }
        let row = self.n_rows();
        let at = at.min(self.n_header_columns + MOST_EXTRA - 1);
        while self.columns.len() <= at {
            let mut column =
                Filling::new(Kind::Text, self.own_options, Ways::plain(self.rules), true);
            for _ in 0..row {
                column.push_missing();
            }
            self.columns.push(column);
        }
        self.any = true;
        let (text, letters) = letters::read_by(self.rules, text);
        self.broken |= letters == Letters::Lost;
        if letters == Letters::Windows1252 {
            self.latin.get_or_insert_with(|| text.clone().into_owned());
        }
        self.columns[at].push_beyond(row, &text);
    }
}

impl Sink for Rows {
    #[inline]
    fn field(&mut self, text: &[u8]) {
        let at = self.at;
        self.at += 1;
        if self.above {
            if !self.above_text.is_empty() {
                self.above_text.push(' ');
            }
            self.above_text
                .push_str(&letters::read_by(self.rules, text.trim_ascii()).0);
            return;
        }
        if self.units_below {
            let text = letters::read_by(self.rules, text).0;
            if !trimmed(&text).is_empty() {
                if !self.units_text.is_empty() {
                    self.units_text.push_str(", ");
                }
                self.units_text.push_str(trimmed(&text));
            }
            return;
        }
        if at >= self.n_header_columns {
            self.field_beyond(at, text);
            return;
        }
        if at == 0 || self.is_header {
            let header = &*self.headers[at];
            self.is_header = text.trim_ascii() == header
                || !text.is_ascii()
                    && trimmed(&letters::read_by(self.rules, text).0).as_bytes() == header;
        }
        let row = self.source_line.len() as u32;
        match self.columns[at].push(row, text) {
            Held::Nothing => {}
            Held::Text => self.any = true,
            Held::Windows1252 => {
                self.any = true;
                self.latin
                    .get_or_insert_with(|| letters::read(text).0.into_owned());
            }
            Held::BrokenText => {
                self.any = true;
                self.broken = true;
            }
        }
    }

    #[inline]
    fn record(&mut self, line: u32) {
        let n_fields = std::mem::take(&mut self.at);
        let any = std::mem::take(&mut self.any);
        let broken = std::mem::take(&mut self.broken);
        if self.above {
            self.above = line < self.header_line;
            let text = std::mem::take(&mut self.above_text);
            if self.above && !text.trim().is_empty() {
                self.above_header.add(line, || text.trim().to_owned());
            } else if self.above {
                self.blank_line(line);
            }
            return;
        }
        if self.units_below {
            let text = std::mem::take(&mut self.units_text);
            if text.is_empty() {
                self.blank_line(line);
            } else {
                self.units_below = false;
                self.units.add(line, || text);
            }
            return;
        }
        let row = self.source_line.len() as u32;
        let is_header = std::mem::take(&mut self.is_header);
        // A single column of tags may hold a tag called Tag.
        if is_header && n_fields == self.n_header_columns && n_fields > 1 && any {
            for column in &mut self.columns {
                column.drop_from(row);
            }
            self.header_again.add(line, String::new);
            self.latin = None;
            return;
        }
        if !any {
            self.blank_line(line);
            for column in self.columns.iter_mut().take(n_fields) {
                column.drop_row(row);
            }
            return;
        }
        if n_fields < self.n_header_columns {
            for column in &mut self.columns[n_fields..self.n_header_columns] {
                column.push_missing();
            }
            self.too_few.add(line, || n_fields.to_string());
        }
        if self.columns.len() > self.n_header_columns {
            self.fill_beyond(row, line);
        }
        if let Some(text) = self.latin.take() {
            self.windows_1252.0 += 1;
            self.windows_1252.1.get_or_insert((line, text));
        }
        if broken {
            self.broken_text.add(line, String::new);
        }
        self.source_line.push(line);
    }

    fn blank_line(&mut self, line: u32) {
        self.first_blank = self.first_blank.or(Some(line));
        self.n_blank += 1;
    }
}

impl Rows {
    /// Makes the columns beyond the header as long as the others.
    #[cold]
    fn fill_beyond(&mut self, row: u32, line: u32) {
        let mut beyond = 0_u32;
        for column in &mut self.columns[self.n_header_columns..] {
            if column.n_rows() > row as usize {
                beyond += 1;
            } else {
                column.push_missing();
            }
        }
        if beyond > 0 {
            self.too_many.add(line, || beyond.to_string());
        }
    }
}
