//! How a file is read: what was understood, and what the person chose.
//!
//! Enters: guesses of `import::sniff` and `import::match_header`, changed by the person. Leaves: a plan that
//! reads the same bytes the same way every time.
//! Always true: a plan names every column of the file; nothing is left to chance.

use std::collections::BTreeMap;

use crate::sheet::day::Day;
use crate::sheet::read::stage::StageUnit;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;

/// What a column of the file becomes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// A known column of the sheet, by key.
    Known(String),
    /// A column of the person's own, under the file's header.
    Own,
    /// Left out, by the person's choice only.
    LeaveOut,
    /// A list of checks with a column per month: a mark says that the cow calves in the month of the header.
    CalvingMonth,
    /// A list of checks that gives the day on which each cow is due: it becomes her stage.
    DueDay,
}

/// Order of the parts of a date like 3/4/2026.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 3/4 is March 4.
    MonthFirst,
    /// 3/4 is 3 April.
    DayFirst,
}

/// First day of the count that stands for a date in a spreadsheet's cell.
///
/// Source: ECMA-376 part 1 (Office Open XML), 18.17.4.1: in the 1900 date base serial 1 is 1900-01-01 and the day
/// 1900-02-29, which never was, is counted; so from serial 61 on day 0 is 1899-12-30. In the 1904 date base serial
/// 0 is 1904-01-01.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayCount {
    /// The 1900 date base, which nearly every file has.
    From1900,
    /// The 1904 date base, of older files.
    From1904,
    /// The numbers are no dates: they stay as they stand.
    NotDates,
}

/// Rules of reading as they changed over time. A plan that a book keeps reads by the rules it was made under, so
/// that a file read again gives the same rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rules {
    /// UTF-8 alone; day counts of spreadsheets unread; words for missing kept in texts.
    First,
    /// Windows-1252 and day counts read; words for missing are missing in known texts too.
    Second,
    /// Own columns that hold nothing but numbers, or nothing but dates, are read as such. Single letters in what a
    /// pregnancy check found are asked about.
    Third,
    /// A line of units under the headers is no row. A dash alone is missing. In what a pregnancy check found, a
    /// question mark is asked about, and a stage in the same cell goes to the stage.
    Fourth,
}

/// What becomes of rows of one file that name the same animal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Repeated {
    /// All come in; the checks name them.
    #[default]
    All,
    /// The first comes in, the others are set aside.
    First,
    /// The last comes in, the others are set aside.
    Last,
}

/// How a list of pregnancy checks is read, beyond its columns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckWays {
    /// What words of the result that can be meant several ways mean: by the word in plain form, the position in the
    /// list of results, or `None` where it was said that it is not known.
    pub words: BTreeMap<String, Option<u8>>,
    /// Unit of a stage written as a bare number, where the header does not say it.
    pub stage_unit: Option<StageUnit>,
    /// True when a mark under a month of calving says that the cow is bred.
    pub marks_mean_bred: bool,
    /// Day of the checks, where the list has no column of days; missing when that was not said or is not known.
    pub checked_on: Day,
}

impl Default for CheckWays {
    /// Nothing was said.
    fn default() -> CheckWays {
        CheckWays {
            words: BTreeMap::new(),
            stage_unit: None,
            marks_mean_bred: false,
            checked_on: Day::MISSING,
        }
    }
}

/// Unit of the dam's age where the column gives one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgeUnit {
    /// Years, with or without decimals.
    Years,
    /// Months.
    Months,
    /// Days.
    Days,
}

/// One column of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedColumn {
    /// Header as it stands in the file.
    pub header: String,
    /// What it becomes.
    pub target: Target,
    /// Why this was guessed, in words: `"Wean Wt (lb)" is a way to write weaning weight`.
    pub because: String,
    /// Unit of the weights in this column, where the header says so or the person chose.
    pub weight_unit: Option<WeightUnit>,
    /// Unit of the age in this column (dam_age only).
    pub age_unit: AgeUnit,
}

/// How a file is read.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportPlan {
    /// The sheet its rows go to.
    pub sheet: SheetKind,
    /// Field separator: `,` `;` or tab.
    pub delimiter: u8,
    /// Line of the header, 1 is the first. Lines before it (titles) are left out, and said so.
    pub header_line: u32,
    /// True when numbers are written with a decimal comma.
    pub decimal_comma: bool,
    /// Order of parts in dates written with numbers; `None`: from the file's own evidence, else month first,
    /// with a note.
    pub date_order: Option<DateOrder>,
    /// Two-digit years up to this one are 20xx, later ones 19xx.
    pub two_digit_year_to: u8,
    /// What "male" means in this file: `None` not said, else the code position of bull or steer.
    pub male_means: Option<u8>,
    /// Unit of weights where the column does not say.
    pub weight_unit: WeightUnit,
    /// Every column of the file, in order.
    pub columns: Vec<PlannedColumn>,
    /// How numbers like 45736 in a column of dates are read; `None` when that was not said: by the 1900 date base.
    pub day_count: Option<DayCount>,
    /// The rules it was made under.
    pub rules: Rules,
    /// True when rows at the foot that look like totals come in as rows all the same.
    pub keep_summary_rows: bool,
    /// What becomes of rows that name the same animal.
    pub repeated: Repeated,
    /// How a list of pregnancy checks is read.
    pub checks: CheckWays,
    /// Keys of the questions that the person answered. Not kept in the book: a file that is read again asks
    /// nothing.
    pub answered: Vec<String>,
}

impl ImportPlan {
    /// Chooses what a column becomes. Another column that became the same known one is kept as the person's own.
    pub fn choose(&mut self, position: usize, target: Target) {
        let standing = self.columns.get(position).map(|column| &column.target);
        let settled: Vec<String> = [standing, Some(&target)]
            .into_iter()
            .flatten()
            .filter_map(|target| match target {
                Target::Known(key) => Some(two_columns_key(key)),
                Target::Own | Target::LeaveOut | Target::CalvingMonth | Target::DueDay => None,
            })
            .collect();
        for key in settled {
            self.answer(key);
        }
        if matches!(target, Target::Known(_) | Target::DueDay) {
            for column in &mut self.columns {
                if column.target == target {
                    column.target = Target::Own;
                    "another column was chosen in its place".clone_into(&mut column.because);
                }
            }
        }
        if let Some(column) = self.columns.get_mut(position) {
            column.target = target;
            "chosen by you".clone_into(&mut column.because);
        }
    }

    /// Says the unit of all weights whose header gives none.
    pub fn choose_weight_unit(&mut self, unit: WeightUnit) {
        self.answer("weight_unit".to_owned());
        self.weight_unit = unit;
        for column in &mut self.columns {
            column.weight_unit = super::words::read(&column.header).weight_unit;
        }
    }
}

impl ImportPlan {
    /// Says which part of the dates comes first.
    pub fn choose_date_order(&mut self, order: DateOrder) {
        self.answer("date_order".to_owned());
        self.date_order = Some(order);
    }

    /// Says what "male" means: the code position of bull or steer, or `None` when that is not known.
    pub fn choose_male(&mut self, means: Option<u8>) {
        self.answer("male".to_owned());
        self.male_means = means;
    }

    /// Says how day counts of spreadsheets are read.
    pub fn choose_day_count(&mut self, count: DayCount) {
        self.answer("day_count".to_owned());
        self.day_count = Some(count);
    }

    /// Says whether the rows at the foot that look like totals come in.
    pub fn choose_summary_rows(&mut self, keep: bool) {
        self.answer("summary_rows".to_owned());
        self.keep_summary_rows = keep;
    }

    /// Says what becomes of rows that name the same animal.
    pub fn choose_repeated(&mut self, repeated: Repeated) {
        self.answer("repeated".to_owned());
        self.repeated = repeated;
    }

    /// Says what a word of the result means: a position in the list of results, or `None` when it is not known.
    pub fn choose_word(&mut self, word: &str, means: Option<u8>) {
        self.answer(word_key(word));
        self.checks.words.insert(word.to_owned(), means);
    }

    /// Says the unit of stages written as bare numbers; `None` when it is not known.
    pub fn choose_stage_unit(&mut self, unit: Option<StageUnit>) {
        self.answer("stage_unit".to_owned());
        self.checks.stage_unit = unit;
    }

    /// Says whether a mark under a month of calving means that the cow is bred.
    pub fn choose_marks(&mut self, mean_bred: bool) {
        self.answer("month_marks".to_owned());
        self.checks.marks_mean_bred = mean_bred;
    }

    /// Says the day of all checks of a list without a column of days; missing when it is not known.
    pub fn choose_check_day(&mut self, day: Day) {
        self.answer("check_day".to_owned());
        self.checks.checked_on = day;
    }

    /// Says that the rows belong to the sheet that the plan has.
    pub fn choose_this_sheet(&mut self) {
        self.answer("sheet".to_owned());
    }

    /// Says that none of the columns asked about is the known one.
    pub fn choose_none(&mut self, column: &str) {
        let target = Target::Known(column.to_owned());
        if let Some(position) = self.columns.iter().position(|c| c.target == target) {
            self.choose(position, Target::Own);
        }
        self.answer(two_columns_key(column));
    }

    /// True when the person answered the question.
    pub fn answers(&self, question: &Question) -> bool {
        self.answered.contains(&question.key())
    }

    fn answer(&mut self, key: String) {
        if !self.answered.contains(&key) {
            self.answered.push(key);
        }
    }
}

fn word_key(word: &str) -> String {
    format!("word:{word}")
}

fn two_columns_key(column: &str) -> String {
    format!("two_columns:{column}")
}

/// Something the file leaves open and the person is asked. It is found again whenever the file is read; whether
/// it was answered is for the plan to say.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// The headers fit several sheets about equally, or none: which one? Nothing comes in before it is answered.
    Sheet {
        /// The sheets that they fit, the likelier ones first.
        sheets: Vec<SheetKind>,
    },
    /// A list of checks has no column of days: on which day were they checked?
    CheckDay {
        /// A day that stands above the headers or in the name of the file, with its text; missing when none does.
        suggested: (Day, String),
        /// How many rows.
        n: u32,
    },
    /// All dates of the file fit both orders: month first or day first?
    DateOrder {
        /// A date as it stands in the file.
        example: String,
        /// How many dates are open.
        n: u32,
    },
    /// Numbers stand where dates are due: a spreadsheet's count of days, or no dates?
    DayCount {
        /// The first as it stands in the file.
        example: String,
        /// That day by the 1900 date base and by the 1904 one.
        days: [crate::sheet::day::Day; 2],
        /// How many.
        n: u32,
    },
    /// Weights carry no unit and look like kilograms.
    WeightUnit {
        /// Header of the weight column.
        header: String,
        /// Its median, as read.
        median: f64,
    },
    /// Males are not said to be bulls or steers.
    Male {
        /// How many.
        n: u32,
    },
    /// Two columns of the file claim the same known column.
    TwoColumns {
        /// Key of the known column.
        column: String,
        /// Their headers.
        headers: Vec<String>,
    },
    /// Rows at the foot look like totals or means: are they animals all the same?
    SummaryRows {
        /// How many.
        n: u32,
        /// Line of the first.
        line: u32,
        /// The word it begins with.
        word: String,
    },
    /// Rows name the same animal, or the same animal and day: do all of them come in?
    Repeated {
        /// How many rows.
        n: u32,
        /// Lines of the first ones that meet.
        lines: [u32; 2],
        /// What names them.
        name: String,
    },
    /// A word of the result of a pregnancy check can be meant several ways.
    Word {
        /// Header of the column.
        header: String,
        /// The word in plain form.
        word: String,
        /// How many cells.
        n: u32,
    },
    /// Stages are bare numbers: of days, weeks or months?
    StageUnit {
        /// Header of the column.
        header: String,
        /// The first.
        example: String,
        /// How many.
        n: u32,
    },
    /// Columns of months hold marks: is a marked cow bred?
    MonthMarks {
        /// Their headers.
        headers: Vec<String>,
        /// Marked cows whose result is blank.
        n: u32,
    },
}

impl Question {
    /// Key of the question in its file.
    pub fn key(&self) -> String {
        match self {
            Question::Sheet { .. } => "sheet".to_owned(),
            Question::CheckDay { .. } => "check_day".to_owned(),
            Question::DateOrder { .. } => "date_order".to_owned(),
            Question::DayCount { .. } => "day_count".to_owned(),
            Question::WeightUnit { .. } => "weight_unit".to_owned(),
            Question::Male { .. } => "male".to_owned(),
            Question::SummaryRows { .. } => "summary_rows".to_owned(),
            Question::TwoColumns { column, .. } => two_columns_key(column),
            Question::Repeated { .. } => "repeated".to_owned(),
            Question::Word { word, .. } => word_key(word),
            Question::StageUnit { .. } => "stage_unit".to_owned(),
            Question::MonthMarks { .. } => "month_marks".to_owned(),
        }
    }
}
