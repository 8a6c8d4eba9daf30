//! What may be typed after `fairpen`, and the help that says so.
//!
//! Enters: the command line. Leaves: [`Arguments`].
//! Always true: every option is explained here, with examples, so that no manual is needed.
//! Never: opens a file.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use fairpen_engine::import::plan::Target;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "fairpen",
    version,
    about = "Fair weaning weights: adjusted 205-day weights, contemporary groups, ratios, and an honest\n\
             comparison of places or of any other column",
    after_help = AFTER_HELP,
    disable_help_subcommand = true
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Compute everything and write it to a folder
    #[command(after_help = REPORT_AFTER_HELP)]
    Report(Box<ReportArguments>),
    /// List what is wrong or doubtful in the records
    #[command(after_help = CHECK_AFTER_HELP)]
    Check(CheckArguments),
    /// Show how the numbers of one calf were made
    #[command(after_help = EXPLAIN_AFTER_HELP)]
    Explain(ExplainArguments),
    /// Allot next year's cows to places at random, so that the comparison will be fair
    #[command(after_help = TRIAL_AFTER_HELP)]
    Trial(TrialArguments),
}

const AFTER_HELP: &str = "\
INPUT is one of
  a calves file      a CSV with one line per calf and a line of headers. Other people's headers are
                     understood by plain trade words: \"Wean Wt (lb)\", \"calf id\", \"DOB\" and so on
  a folder           CSVs named by what they hold: calves.csv, cows.csv, bulls.csv, places.csv, ...
  a spreadsheet      .xlsx, .xls or .ods: the sheet with the calves (say which with --sheet where there are
                     several), and sheets named cows, bulls, places, ...
  a saved book       the .zip that Fairpen saves

Examples
  fairpen check calves.csv
  fairpen report calves.csv --out results
  fairpen report herd-folder --out results --compare management
  fairpen report calves.csv --out results --compare \"Pen\" --level \"1\" --level \"2\" --hold creep
  fairpen explain calves.csv 4017
  fairpen trial herd-folder --place \"Pen 1\" --place \"Hill pasture\" --seed 7 --out plan

Exit codes
  0  done
  1  check found errors
  2  could not do it; the reason is on standard error

Fairpen reads your files and never changes them. It uses no network.";

const REPORT_AFTER_HELP: &str = "\
Files written to DIR (a file of an earlier run is replaced; any other file is left alone)
  adjusted.csv     one line per calf: age, adjusted 205-day weight, contemporary group, ratio, rank
  groups.csv       one line per contemporary group
  problems.csv     what is wrong or doubtful, with line, column, what was read and how to mend it
  comparison.json  with --compare: means, differences with intervals, balance, what cannot be separated
  report.json      what was read and how: files, headers, open questions, settings, counts
Weights are in the unit of the calves file (or of the book), named in report.json. Numbers are not
rounded. Nothing recorded is an empty cell in CSV and null in JSON.

A comparison is never sharper than the records: where two things cannot be told apart, it says so.

Examples
  fairpen report calves.csv --out results
  fairpen report calves.csv --out results --compare Mgmt
  fairpen report herd-folder --out results --compare place --level \"Pen 1\" --level \"Hill pasture\"
  fairpen report book.zip --out results --compare management --hold creep --results results.html

Exit codes: 0 done, 2 could not do it. Problems in the records do not stop a report; run check for those.";

const CHECK_AFTER_HELP: &str = "\
One line per problem, on standard output: how much it matters, where it is (file, line, tag, column),
what was read, what is wrong, how to mend it, and its code.
  error     the figure cannot be computed, or the file was not understood here
  doubtful  the figure may be wrong
  remark    worth knowing; the figure stands, marked with what was assumed

Examples
  fairpen check calves.csv
  fairpen check herd-folder --least doubtful

Exit codes: 0 no errors, 1 errors were found, 2 could not read the input.";

const EXPLAIN_AFTER_HELP: &str = "\
Shows what went in, the formula with the numbers put in, where the factors come from, what was
assumed, and what would change the result. When several calves wear the tag, all are shown with their
birth year. A tag that begins with a minus sign goes after two dashes: fairpen explain calves.csv -- -12

Examples
  fairpen explain calves.csv 4017
  fairpen explain herd-folder 4017 --number ratio

Exit codes: 0 done, 2 could not do it.";

const TRIAL_AFTER_HELP: &str = "\
Takes the cows of the cows sheet that are on hand as of the day, without those open at the last check,
and shares them out within age class at calving, bulls of the service and 21 days of expected calving.
Who goes where is drawn; the same input, places, seed and day give the same lists.

Files written to DIR (a file of an earlier run is replaced; any other file is left alone)
  trial.csv    one line per cow, place by place
  trial.json   the kinds that were shared out, and how alike the places are before and after

How many head a place holds and how cows are handled is yours to judge.

Examples
  fairpen trial herd-folder --place \"Pen 1\" --place \"Hill pasture\" --seed 7 --out plan
  fairpen trial book.zip --place \"Pen 1=40\" --place \"Pen 2=40\" --place Hill --seed 2027 --out plan

Exit codes: 0 done, 2 could not do it.";

/// How the input is read; the same for every command.
#[derive(Args, Debug, Default)]
pub struct ReadingArguments {
    /// Unit of weights where a header does not say, and of the results
    #[arg(
        long,
        value_name = "lb|kg",
        hide_possible_values = true,
        help_heading = "Reading the input"
    )]
    pub unit: Option<Unit>,

    /// The sheet of a spreadsheet file that holds the calves. Without it, the sheet named
    /// calves, else the only one with cells in it. Sheets named cows, places, ... are read too
    #[arg(
        long,
        value_name = "NAME",
        verbatim_doc_comment,
        help_heading = "Reading the input"
    )]
    pub sheet: Option<String>,

    /// What 3/4/2026 means, where the file does not show it: March 4, or 3 April
    #[arg(
        long,
        value_name = "month-first|day-first",
        hide_possible_values = true,
        help_heading = "Reading the input"
    )]
    pub date_order: Option<Order>,

    /// What a column of the file is, as 'Header=key': the header as it stands in the file, and
    /// the key of a column (tag, birth_date, wean_weight, ...), own or leave-out. Once per column
    #[arg(
        long = "column",
        value_name = "HEADER=KEY",
        value_parser = read_column,
        verbatim_doc_comment,
        help_heading = "Reading the input"
    )]
    pub columns: Vec<ColumnSaid>,

    /// Read each file as this saved book (.zip) read the last file with the same headers
    #[arg(long, value_name = "BOOK", help_heading = "Reading the input")]
    pub like: Option<PathBuf>,

    /// The day to count as today, as 2026-03-14: a birth after it is an error, and it
    /// tells 1926 from 2026 in a year of two digits. Without it, the day in the settings
    /// or the book, else today's date
    #[arg(long, value_name = "DATE", value_parser = read_day, verbatim_doc_comment, help_heading = "Reading the input")]
    pub as_of: Option<Day>,

    /// Settings to use: a JSON file with the fields that report.json shows under
    /// "settings"; a field left out keeps its usual value
    #[arg(
        long,
        value_name = "FILE",
        verbatim_doc_comment,
        help_heading = "Reading the input"
    )]
    pub settings: Option<PathBuf>,
}

/// `fairpen report`.
#[derive(Args, Debug)]
pub struct ReportArguments {
    /// A calves CSV, a folder of CSVs named by sheet, a spreadsheet
    /// file (.xlsx, .xls, .ods), or a saved book (.zip)
    #[arg(value_name = "INPUT")]
    pub input: PathBuf,

    /// Folder to write to; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,

    /// Compare the levels of this column: its key, or its header in the file
    #[arg(long, value_name = "COLUMN")]
    pub compare: Option<String>,

    /// A level to compare; give it once per level. Without it, every level is compared
    #[arg(long = "level", value_name = "NAME", requires = "compare")]
    pub levels: Vec<String>,

    /// A further column to hold equal in the comparison; may be given more than once
    #[arg(long = "hold", value_name = "COLUMN", requires = "compare")]
    pub hold: Vec<String>,

    /// A difference in weight to ask about: would these records have shown it, and how many
    /// calves would it take. May be given more than once
    #[arg(
        long = "difference",
        value_name = "WEIGHT",
        value_parser = read_weight,
        requires = "compare",
        verbatim_doc_comment
    )]
    pub differences: Vec<f64>,
    /// How the comparison is made.
    #[command(flatten)]
    pub choosing: ChoosingArguments,

    /// Also write the results file: one HTML page to hand over, which opens anywhere and checks itself
    #[arg(long, value_name = "FILE.html")]
    pub results: Option<PathBuf>,

    /// How the input is read.
    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// How a comparison is made; what is not said is as usual.
#[derive(Args, Debug, Default)]
pub struct ChoosingArguments {
    /// What is compared: age_adjusted (usual), actual_with_age, birth_weight, gain, yearling, or a column of
    /// numbers by its key or header
    #[arg(long, value_name = "WHAT", requires = "compare")]
    pub of: Option<String>,

    /// How means are weighed
    #[arg(long, value_name = "HOW", requires = "compare", value_parser = ["equal", "observed"])]
    pub margins: Option<String>,

    /// How several pairs are judged; usual is tukey_kramer for three levels or more
    #[arg(long, value_name = "HOW", requires = "compare", conflicts_with = "against",
        value_parser = ["unadjusted", "tukey_kramer", "holm"])]
    pub pairs: Option<String>,

    /// Compare each level with this one only
    #[arg(long, value_name = "LEVEL", requires = "compare")]
    pub against: Option<String>,

    /// Let the difference differ between the sexes, or the dam-age classes, and tell it for each; may be
    /// given for both
    #[arg(long = "within", value_name = "WHAT", requires = "compare",
        value_parser = ["sex", "dam_age_class"])]
    pub within: Vec<String>,

    /// What the model takes as drawn at random
    #[arg(long, value_name = "WHAT", requires = "compare", value_parser = ["supported", "none"])]
    pub random: Option<String>,

    /// How degrees of freedom are had where something is random
    #[arg(long, value_name = "HOW", requires = "compare",
        value_parser = ["kenward_roger", "satterthwaite"])]
    pub degrees: Option<String>,

    /// Whether the model speaks of these places or counts each place as a draw of such places
    #[arg(long, value_name = "WHICH", requires = "compare", value_parser = ["these", "such"])]
    pub places: Option<String>,
}

/// `fairpen check`.
#[derive(Args, Debug)]
pub struct CheckArguments {
    /// A calves CSV, a folder of CSVs named by sheet, a spreadsheet
    /// file (.xlsx, .xls, .ods), or a saved book (.zip)
    #[arg(value_name = "INPUT")]
    pub input: PathBuf,

    /// List only what matters at least this much
    #[arg(
        long,
        value_name = "remark|doubtful|error",
        default_value = "remark",
        hide_default_value = true,
        hide_possible_values = true
    )]
    pub least: Least,

    /// How the input is read.
    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// `fairpen explain`.
#[derive(Args, Debug)]
pub struct ExplainArguments {
    /// A calves CSV, a folder of CSVs named by sheet, a spreadsheet
    /// file (.xlsx, .xls, .ods), or a saved book (.zip)
    #[arg(value_name = "INPUT")]
    pub input: PathBuf,

    /// The calf's tag
    #[arg(value_name = "TAG")]
    pub tag: String,

    /// Only this number, by its column key in adjusted.csv: adj_205_weight, ratio, ...
    #[arg(long, value_name = "KEY")]
    pub number: Option<String>,

    /// How the input is read.
    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// `fairpen trial`.
#[derive(Args, Debug)]
pub struct TrialArguments {
    /// A folder of CSVs named by sheet (with cows.csv), a spreadsheet
    /// file (.xlsx, .xls, .ods), or a saved book (.zip)
    #[arg(value_name = "INPUT")]
    pub input: PathBuf,

    /// A place, with the head it takes or without: 'Pen 1=40', 'Hill'. Give it once per place; those
    /// without a number share equally what the others leave
    #[arg(long = "place", value_name = "NAME[=HEAD]", required = true, value_parser = crate::trial::read_place, verbatim_doc_comment)]
    pub places: Vec<fairpen_engine::trial::TrialPlace>,

    /// A whole number that fixes the draw; choose it before you look at the lists
    #[arg(long, value_name = "NUMBER")]
    pub seed: u32,

    /// Folder to write to; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,

    /// How the input is read.
    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// A unit of weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Unit {
    /// Pounds.
    Lb,
    /// Kilograms.
    Kg,
}

/// Order of the parts of a date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Order {
    /// 3/4 is March 4.
    MonthFirst,
    /// 3/4 is 3 April.
    DayFirst,
}

/// How much a problem must matter to be listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Least {
    /// Everything.
    Remark,
    /// What may be wrong, and errors.
    Doubtful,
    /// Errors alone.
    Error,
}

/// A column of the file, and what it is said to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnSaid {
    /// Its header, as typed.
    pub header: String,
    /// What it becomes.
    pub target: Target,
}

fn read_column(text: &str) -> Result<ColumnSaid, String> {
    // A header may hold a sign of equality, a key does not.
    let (header, key) = text
        .rsplit_once('=')
        .map(|(header, key)| (header.trim(), key.trim()))
        .filter(|(header, key)| !header.is_empty() && !key.is_empty())
        .ok_or_else(|| "not of the form 'Header=key', like 'Wt 1=wean_weight'".to_owned())?;
    let target = match key {
        "own" => Target::Own,
        "leave-out" => Target::LeaveOut,
        key if SheetKind::ALL
            .iter()
            .any(|sheet| sheet.column(key).is_some()) =>
        {
            Target::Known(key.to_owned())
        }
        key => {
            return Err(format!(
                "no sheet has a column \"{key}\"; give one of its keys, own, or leave-out"
            ));
        }
    };
    Ok(ColumnSaid {
        header: header.to_owned(),
        target,
    })
}

fn read_weight(text: &str) -> Result<f64, String> {
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|weight| weight.is_finite() && *weight > 0.0)
        .ok_or_else(|| "not a weight above zero, like 15".to_owned())
}

fn read_day(text: &str) -> Result<Day, String> {
    let parts: Vec<&str> = text.split('-').collect();
    let day = match parts.as_slice() {
        [year, month, day] if year.len() == 4 => {
            let number = |text: &str| text.parse::<u32>().ok();
            year.parse::<i32>()
                .ok()
                .zip(number(month).zip(number(day)))
                .and_then(|(year, (month, day))| Day::from_ymd(year, month, day))
        }
        _ => None,
    };
    day.ok_or_else(|| {
        "not a day of the calendar written as year-month-day, like 2026-03-14".to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_sound() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn days_are_days_of_the_calendar() {
        assert_eq!(read_day("2026-03-14").ok(), Day::from_ymd(2026, 3, 14));
        for text in [
            "2026-02-30",
            "26-03-14",
            "3/14/2026",
            "2026-3",
            "",
            "2026--3-14",
        ] {
            assert!(read_day(text).is_err(), "{text}");
        }
    }

    #[test]
    fn columns_are_said_by_header_and_key() {
        let said = read_column("Wt = lb? =wean_weight").expect("sound");
        assert_eq!(said.header, "Wt = lb?");
        assert_eq!(said.target, Target::Known("wean_weight".to_owned()));
        assert_eq!(
            read_column("a=leave-out").map(|said| said.target),
            Ok(Target::LeaveOut)
        );
        for text in ["wean_weight", "=tag", "Tag=", "Tag=colour"] {
            assert!(read_column(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_level_without_a_comparison_is_refused() {
        assert!(
            Arguments::try_parse_from([
                "fairpen", "report", "in.csv", "--out", "out", "--level", "x"
            ])
            .is_err()
        );
    }
}
