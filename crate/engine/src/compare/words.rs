//! The words of a comparison, rendered from values alone.
//!
//! Enters: a verdict and names. Leaves: plain sentences.
//! Always true: no sentence says more than its verdict; weights stand in the book's unit.
//! Never: decides anything.

use super::levels::LevelColumn;
use super::model::Fitted;
use super::result::{Level, Pair, Verdict};
use crate::results::ResultColumn;
use crate::results::rests_on::rests_on;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::workbook::Workbook;
use crate::sheet::write::with_minus;

/// How to speak of the compared column.
pub(super) struct Words {
    unit: WeightUnit,
    key: String,
    label: String,
    age_days: i32,
    confidence: f64,
    rests_on: Vec<String>,
}

/// Columns that hold the compared weight, or are worked out from it.
const OF_THE_WEIGHT: [&str; 6] = [
    "wean_weight",
    "gain_per_day",
    "weight_per_day",
    "adj_205_weight",
    "ratio",
    "rank_in_group",
];

impl Words {
    pub fn new(book: &Workbook, column: &LevelColumn) -> Words {
        Words {
            unit: book.settings.weight_unit,
            key: column.key.clone(),
            label: column.label.to_lowercase(),
            age_days: book.settings.standard_age_days,
            confidence: book.settings.confidence,
            rests_on: rests_on(book, SheetKind::Calves, &column.key)
                .into_iter()
                .filter(|(sheet, key)| {
                    *sheet == SheetKind::Calves && OF_THE_WEIGHT.contains(&key.as_str())
                })
                .map(|(sheet, key)| {
                    let known = sheet.column(&key).map(|known| known.label);
                    let computed = ResultColumn::from_key(&key).map(|column| column.about().1);
                    known.or(computed).map_or(key.clone(), str::to_lowercase)
                })
                .collect(),
        }
    }

    /// Labels of the columns of the compared weight that a calculated column is worked out from.
    pub fn rests_on(&self) -> &[String] {
        &self.rests_on
    }

    /// `calves in Pen 1`, `bedded pen calves`, `calves by 17D`.
    pub fn calves(&self, level: &str) -> String {
        match self.key.as_str() {
            "place" | "season" => format!("calves in {level}"),
            "sire" => format!("calves by {level}"),
            "dam_age_class" => format!("calves from dams of age class {level}"),
            "birth_year" => format!("calves born in {level}"),
            "creep" if level == "yes" => "calves with creep".to_owned(),
            "creep" if level == "no" => "calves without creep".to_owned(),
            "sex" => format!("{level}s"),
            "management" | "breed" => format!("{level} calves"),
            _ => format!("calves with {}: {level}", self.label),
        }
    }

    /// A weight in the book's unit, rounded to the whole unit: `14 lb`.
    pub fn weight(&self, pounds: f64) -> String {
        format!("{} {}", self.whole(pounds), self.unit.symbol())
    }

    /// The same without the unit.
    pub fn whole(&self, pounds: f64) -> String {
        let rounded = self.unit.from_pounds(pounds).round();
        // No "-0".
        with_minus(format!("{}", if rounded == 0.0 { 0.0 } else { rounded }))
    }

    fn held(&self, fitted: &Fitted) -> String {
        let held = fitted.held_words();
        if held.is_empty() {
            String::new()
        } else {
            format!(" Held equal: {}.", list(&held))
        }
    }

    /// One or two sentences for a pair's verdict.
    pub fn sentence(
        &self,
        verdict: &Verdict,
        levels: &[Level],
        pair: (usize, usize),
        fitted: &Fitted,
    ) -> String {
        let (one, other) = (
            self.calves(&levels[pair.0].name),
            self.calves(&levels[pair.1].name),
        );
        let age = self.age_days;
        match verdict {
            Verdict::Differs {
                heavier,
                by,
                lower,
                upper,
            } => {
                let (heavier, lighter) = if *heavier == pair.0 {
                    (one, other)
                } else {
                    (other, one)
                };
                format!(
                    "At {age} days {heavier} were about {} heavier than {lighter}, likely between {} and {}.{}",
                    self.weight(*by),
                    self.whole(*lower),
                    self.weight(*upper),
                    self.held(fitted),
                )
            }
            Verdict::NotShown { lower, upper } => format!(
                "These records do not show that {one} and {other} differ at {age} days: {one} could be anywhere from {} lighter to {} heavier.{}",
                self.weight(-lower),
                self.weight(*upper),
                self.held(fitted),
            ),
            Verdict::CannotSeparate { with } => format!(
                "These records cannot separate {one} and {other} from {}, so there is no fair difference to give.",
                list(with),
            ),
            Verdict::TooFew { n_first, n_second } => format!(
                "There are too few calves with a fair weight to compare {one} ({n_first}) and {other} ({n_second}).",
            ),
        }
    }

    /// The headline when there are several pairs.
    pub fn headline_of_many(&self, pair: &Pair, n_pairs: usize, n_differ: usize) -> String {
        let shown = match n_differ {
            0 => format!("None of the {n_pairs} pairs is shown to differ."),
            1 => format!("One of the {n_pairs} pairs is shown to differ."),
            n => format!("{n} of the {n_pairs} pairs are shown to differ."),
        };
        if pair.difference.is_some() {
            format!("{shown} The clearest: {}", lower_first(&pair.sentence))
        } else {
            pair.sentence.clone()
        }
    }

    /// One tangle of the model as a sentence.
    pub fn tangle(&self, what: &str, with: &[String]) -> String {
        if with.is_empty() {
            upper_first(&format!("{what} does not vary among the calves used."))
        } else {
            upper_first(&format!("{what} cannot be told apart from {}.", list(with)))
        }
    }

    /// One line of method.
    pub fn method(&self, fitted: &Fitted, book: &Workbook) -> String {
        let held = fitted.held_words();
        let held = if held.is_empty() {
            "nothing else (nothing else varies)".to_owned()
        } else {
            list(&held)
        };
        format!(
            "Least squares for unequal numbers (Harvey 1960) on weaning weight put on {} days by age alone; held equal: {held}; least-squares means with equal margins; {} % intervals from the residual spread. Dam-age classes: {}.",
            self.age_days,
            (self.confidence * 100.0).round(),
            book.settings.factors.name,
        )
    }

    /// The column's label in lower case.
    pub fn label(&self) -> &str {
        &self.label
    }

    /// The column's key.
    pub fn key(&self) -> &str {
        &self.key
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// A phrase with a capital first letter.
fn upper_first(phrase: &str) -> String {
    let mut letters = phrase.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A sentence with a small first letter, to follow a colon. Names keep theirs.
fn lower_first(sentence: &str) -> String {
    for start in ["At ", "These ", "There "] {
        if let Some(rest) = sentence.strip_prefix(start) {
            return format!("{}{rest}", start.to_lowercase());
        }
    }
    sentence.to_owned()
}
