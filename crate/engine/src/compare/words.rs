//! The words of a comparison, rendered from values alone.
//!
//! Enters: a verdict and names. Leaves: plain sentences.
//! Always true: no sentence says more than its verdict; weights stand in the book's unit.
//! Never: decides anything.

use super::levels::LevelColumn;
use super::model::Fitted;
use super::model_facts::{Measure, RandomEffect, RepeatBy, Such, Unit};
use super::response::Compared;
use super::result::{Level, Pair, Verdict};
use crate::note::upper_first;
use crate::results::ResultColumn;
use crate::results::rests_on::rests_on;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::workbook::Workbook;
use crate::sheet::write::spoken;

/// How to speak of the compared column.
pub(super) struct Words {
    unit: WeightUnit,
    key: String,
    label: String,
    measure: Measure,
    age_days: i32,
    confidence: f64,
    rests_on: Vec<String>,
}

impl Words {
    pub fn new(book: &Workbook, column: &LevelColumn, compared: &Compared) -> Words {
        Words {
            unit: book.settings.weight_unit,
            key: column.key.clone(),
            label: column.label.to_lowercase(),
            measure: compared.measure.clone(),
            age_days: book.settings.standard_age_days,
            confidence: book.settings.confidence,
            rests_on: rests_on(book, SheetKind::Calves, &column.key)
                .into_iter()
                .filter(|(sheet, key)| {
                    *sheet == SheetKind::Calves && compared.columns.contains(key)
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

    /// A number rounded for speech, with its unit: `14 lb`.
    pub fn weight(&self, number: f64) -> String {
        self.amount(number, self.measure.spoken_decimals)
    }

    /// `were`, or `gained`.
    pub fn were(&self) -> &'static str {
        self.saying().were
    }

    /// `heavier`, `more` or `higher`.
    pub fn more(&self) -> &'static str {
        self.saying().more
    }

    /// True when what is compared is a weight.
    pub fn of_weights(&self) -> bool {
        self.measure.unit == Unit::Weight
    }

    /// The same without the unit.
    pub fn whole(&self, number: f64) -> String {
        self.bare(number, self.measure.spoken_decimals)
    }

    /// A number in the book's unit with so many decimals, and its unit: `14 lb`.
    fn amount(&self, number: f64, decimals: usize) -> String {
        let unit = self.measure.unit_words(self.unit);
        let space = if unit.is_empty() { "" } else { " " };
        format!("{}{space}{unit}", self.bare(number, decimals))
    }

    fn bare(&self, number: f64, decimals: usize) -> String {
        spoken(self.measure.shown(self.unit, number), decimals)
    }

    /// Decimals for speech: one more where the ends of an interval would come out alike, or nearly.
    fn decimals(&self, lower: f64, upper: f64) -> usize {
        let usual = self.measure.spoken_decimals;
        let width = self.measure.shown(self.unit, upper) - self.measure.shown(self.unit, lower);
        let step = (0..usual).fold(1.0, |step, _| step / 10.0);
        usual + usize::from(width < 2.0 * step)
    }

    /// How sentences say that one level has more than another.
    fn saying(&self) -> Saying {
        let age = self.age_days;
        match (self.measure.key.as_str(), &self.measure.unit) {
            ("age_adjusted", _) => {
                Saying::weight(format!("At {age} days"), format!(" at {age} days"))
            }
            ("actual_with_age", _) => {
                Saying::weight("At one age".to_owned(), " at one age".to_owned())
            }
            ("birth_weight", _) => Saying::weight("At birth".to_owned(), " at birth".to_owned()),
            ("yearling", _) => Saying::weight("At 365 days".to_owned(), " at 365 days".to_owned()),
            ("gain", _) => Saying {
                lead: "From birth to weaning".to_owned(),
                tail: " in gain from birth to weaning".to_owned(),
                were: "gained",
                more: "more",
                less: "less",
            },
            (_, Unit::Weight) => {
                let column = self.measure.words.clone();
                Saying::weight(format!("By {column}"), format!(" by {column}"))
            }
            _ => {
                let column = self.measure.words.clone();
                Saying {
                    lead: format!("By {column}"),
                    tail: format!(" by {column}"),
                    were: "were",
                    more: "higher",
                    less: "lower",
                }
            }
        }
    }

    fn held(&self, fitted: &Fitted) -> String {
        let held = fitted.held_words();
        if held.is_empty() {
            String::new()
        } else {
            format!(" Held equal: {}.", list(&held))
        }
    }

    /// A few sentences for a pair's verdict and how far it reaches.
    pub fn sentence(
        &self,
        verdict: &Verdict,
        such: Option<&Such>,
        levels: &[Level],
        pair: (usize, usize),
        fitted: &Fitted,
    ) -> String {
        let (one, other) = (
            self.calves(&levels[pair.0].name),
            self.calves(&levels[pair.1].name),
        );
        let saying = self.saying();
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
                let decimals = self.decimals(*lower, *upper);
                format!(
                    "{} {heavier} {} about {} {} than {lighter}, likely between {} and {}.{}{}",
                    saying.lead,
                    saying.were,
                    self.amount(*by, decimals),
                    saying.more,
                    self.bare(*lower, decimals),
                    self.amount(*upper, decimals),
                    self.held(fitted),
                    self.reach(such, pair, levels, fitted),
                )
            }
            Verdict::NotShown { lower, upper } => {
                let decimals = self.decimals(*lower, *upper);
                format!(
                    "These records do not show that {one} and {other} differ{}: {one} could be anywhere from {} {} to {} {}.{}{}",
                    saying.tail,
                    self.amount(-lower, decimals),
                    saying.less,
                    self.amount(*upper, decimals),
                    saying.more,
                    self.held(fitted),
                    self.reach(such, pair, levels, fitted),
                )
            }
            Verdict::CannotSeparate { with } => format!(
                "These records cannot separate {one} and {other} from {}, so there is no fair difference to give.",
                list(with),
            ),
            Verdict::TooFew { n_first, n_second } => format!(
                "There are too few calves with a fair weight to compare {one} ({n_first}) and {other} ({n_second}).",
            ),
        }
    }

    /// What the difference speaks of; a general claim only where places or seasons bear it out.
    fn reach(
        &self,
        such: Option<&Such>,
        pair: (usize, usize),
        levels: &[Level],
        fitted: &Fitted,
    ) -> String {
        let Some(such) = such else {
            if fitted.scope.model_counts_places {
                return " The places are counted as draws, so this speaks of such places."
                    .to_owned();
            }
            return if fitted.scope.places.iter().all(|&n| n == 0) {
                " This speaks of these calves only.".to_owned()
            } else {
                " This speaks of these calves in these places.".to_owned()
            };
        };
        let judged = match such.by {
            RepeatBy::Places => format!(
                "Judged by places ({} against {})",
                such.n_first, such.n_second
            ),
            RepeatBy::WithinPlaces => format!("Judged within {} places", such.n_first),
            RepeatBy::Seasons => format!("Judged season by season ({} of them)", such.n_first),
        };
        let such_words = match such.by {
            RepeatBy::Places | RepeatBy::WithinPlaces => "such places",
            RepeatBy::Seasons => "such seasons",
        };
        let saying = self.saying();
        let Such { difference, .. } = such;
        let decimals = self.decimals(difference.lower, difference.upper);
        let names = (&levels[pair.0].name, &levels[pair.1].name);
        if such.differs {
            let (ahead, behind, by, lower, upper) = if difference.value > 0.0 {
                (
                    names.0,
                    names.1,
                    difference.value,
                    difference.lower,
                    difference.upper,
                )
            } else {
                (
                    names.1,
                    names.0,
                    -difference.value,
                    -difference.upper,
                    -difference.lower,
                )
            };
            format!(
                " {judged}, it holds for {such_words} too: {ahead} {} {} than {behind}, likely between {} and {}.",
                self.amount(by, decimals),
                saying.more,
                self.bare(lower, decimals),
                self.amount(upper, decimals),
            )
        } else {
            format!(
                " {judged}, these records do not show it for {such_words}: {} against {} could be anywhere from {} {} to {} {}.",
                names.0,
                names.1,
                self.amount(-difference.lower, decimals),
                saying.less,
                self.amount(difference.upper, decimals),
                saying.more,
            )
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

    /// How it was made.
    pub fn method(&self, fitted: &Fitted, book: &Workbook) -> String {
        let facts = &fitted.facts;
        let held = fitted.held_words();
        let held = if held.is_empty() {
            "nothing else (nothing else varies)".to_owned()
        } else {
            list(&held)
        };
        let percent = (self.confidence * 100.0).round();
        let kind = if facts.mixed {
            let random: Vec<String> = facts
                .random
                .iter()
                .filter(|effect| effect.used)
                .map(named_with_levels)
                .collect();
            format!(
                "Mixed model by restricted maximum likelihood on {}; held equal: {held}; random, with how many: {}.{}",
                self.measure.words,
                list(&random),
                shared_words(&facts.random),
            )
        } else {
            format!(
                "Least squares for unequal numbers (Harvey 1960) on {}; held equal: {held}; nothing random.",
                self.measure.words
            )
        };
        let degrees = match facts.degrees {
            "kenward_roger" => {
                "Degrees of freedom and standard errors by Kenward and Roger's method (1997)"
            }
            "satterthwaite" => "Degrees of freedom by Satterthwaite's method",
            _ => "Degrees of freedom of the residual",
        };
        let several = match facts.several {
            "tukey_kramer" => "intervals and p of all pairs together by Tukey and Kramer's method",
            "dunnett" => {
                "intervals and p of all comparisons with one level together by Dunnett's method"
            }
            "holm" => "p of all pairs together by Holm's method, intervals by Bonferroni's",
            _ => "each pair by itself",
        };
        format!(
            "{kind} {degrees}{}; {percent} % intervals; {several}{}. Least-squares means with {} margins, covariates at their means. Dam-age classes: {}.",
            because(&facts.degrees_because),
            because(&facts.several_because),
            facts.margins,
            book.settings.factors.name,
        )
    }

    /// The column's label in lower case.
    pub fn label(&self) -> &str {
        &self.label
    }

    /// The key of what is compared of the calves.
    pub fn measure_key(&self) -> &str {
        &self.measure.key
    }

    /// The column's key.
    pub fn key(&self) -> &str {
        &self.key
    }
}

/// How sentences put more and less.
struct Saying {
    lead: String,
    tail: String,
    were: &'static str,
    more: &'static str,
    less: &'static str,
}

impl Saying {
    fn weight(lead: String, tail: String) -> Saying {
        Saying {
            lead,
            tail,
            were: "were",
            more: "heavier",
            less: "lighter",
        }
    }
}

fn because(words: &str) -> String {
    if words.is_empty() {
        String::new()
    } else {
        format!(" ({words})")
    }
}

/// How calves of several possible bulls were taken, where there are any.
fn shared_words(random: &[RandomEffect]) -> String {
    random
        .iter()
        .filter(|effect| effect.used && effect.shared > 0)
        .map(|effect| {
            format!(
                " {} with several possible bulls share them in equal parts.",
                if effect.shared == 1 {
                    "1 calf".to_owned()
                } else {
                    format!("{} calves", effect.shared)
                }
            )
        })
        .collect()
}

/// `cow that raised the calf (120)`.
fn named_with_levels(effect: &RandomEffect) -> String {
    format!("{} ({})", effect.words, effect.levels)
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// A sentence with a small first letter, to follow a colon. Names keep theirs.
fn lower_first(sentence: &str) -> String {
    for start in ["At ", "By ", "From ", "These ", "There "] {
        if let Some(rest) = sentence.strip_prefix(start) {
            return format!("{}{rest}", start.to_lowercase());
        }
    }
    sentence.to_owned()
}
