//! `fairpen trial`: next year's cows allotted to places at random.
//!
//! Enters: an input, places and a seed. Leaves: `trial.csv`, the list by place, `trial.json` with how alike the places
//! are, and a summary.
//! Always true: the same input, places, seed and day give the same lists.
//! Never: changes an input, or a file that this command did not write.

use std::fmt::Write as _;

use fairpen_engine::share::trial_list::{TRIAL_COLUMNS, trial_csv};
use fairpen_engine::trial::{Plan, TrialBalance, TrialPlace, TrialSpec, plan};
use serde::Serialize;

use crate::args::TrialArguments;
use crate::document::{self, CountDocument, MADE_BY, present, to_bytes};
use crate::failure::{DONE, Failure};
use crate::output::{self, Mark, OutputFile};
use crate::reading::open_input;
use crate::summary::{self, count};

/// Plans and writes.
pub fn run(arguments: &TrialArguments) -> Result<u8, Failure> {
    let opened = open_input(&arguments.input, &arguments.reading)?;
    let spec = TrialSpec {
        places: arguments.places.clone(),
        seed: arguments.seed,
        today: opened.book.settings.as_of,
    };
    let plan = plan(&opened.book, &opened.results, &spec)?;
    let files = [
        OutputFile {
            path: arguments.out.join("trial.csv"),
            bytes: trial_csv(&plan),
            mark: Mark::BeginsWith(format!("{},", TRIAL_COLUMNS[..4].join(","))),
        },
        OutputFile {
            path: arguments.out.join("trial.json"),
            bytes: to_bytes(&TrialDocument::new(&plan))?,
            mark: document::MARK,
        },
    ];
    for file in &files {
        output::may_write(&file.path, &file.mark, &opened.paths)?;
    }
    output::make_folder(&arguments.out)?;
    output::write_all(&files)?;
    let mut text = String::new();
    summary::read(&mut text, &opened);
    allotted(&mut text, &plan);
    let _ = writeln!(text, "\nWritten");
    for file in &files {
        let _ = writeln!(text, "  {}", file.path.display());
    }
    output::say(&text)?;
    Ok(DONE)
}

/// A place as typed: `Pen 1`, or `Pen 1=40` for forty head.
pub fn read_place(text: &str) -> Result<TrialPlace, String> {
    let (name, head) = match text.rsplit_once('=') {
        Some((name, head)) => {
            let head = head
                .trim()
                .parse::<u32>()
                .map_err(|_| "not of the form 'Name' or 'Name=head', like 'Pen 1=40'".to_owned())?;
            (name, Some(head))
        }
        None => (text, None),
    };
    if name.trim().is_empty() {
        return Err("a place has no name; write it like 'Pen 1=40'".to_owned());
    }
    Ok(TrialPlace {
        name: name.trim().to_owned(),
        head,
    })
}

fn allotted(text: &mut String, plan: &Plan) {
    let _ = writeln!(text, "\nAllotted by seed {}", plan.spec.seed);
    for place in &plan.places {
        let _ = writeln!(text, "  {}: {}", place.name, count(place.cows.len(), "cow"));
    }
    if !plan.left_over.is_empty() {
        let _ = writeln!(text, "  left over: {}", count(plan.left_over.len(), "cow"));
    }
    for (reason, n) in &plan.set_aside {
        let _ = writeln!(text, "  not allotted: {n} {reason}");
    }
    let worst = plan
        .balance
        .iter()
        .filter(|line| line.after.is_finite())
        .max_by(|one, other| one.after.total_cmp(&other.after));
    if let Some(worst) = worst {
        let _ = writeln!(
            text,
            "  Least alike: {}, {:.2} standard deviations apart{}.",
            worst.words,
            worst.after,
            if worst.before.is_finite() {
                format!(" ({:.2} as they stand now)", worst.before)
            } else {
                String::new()
            }
        );
    }
    for caution in &plan.cautions {
        let _ = writeln!(text, "  Mind: {caution}");
    }
}

/// `trial.json`; its fields are explained in `docs/trial.md`.
#[derive(Serialize)]
struct TrialDocument {
    made_by: &'static str,
    as_of: String,
    seed: u32,
    places: Vec<PlaceDocument>,
    left_over: Vec<String>,
    set_aside: Vec<CountDocument>,
    kinds: Vec<KindDocument>,
    balance: Vec<BalanceDocument>,
    cautions: Vec<String>,
    method: String,
}

#[derive(Serialize)]
struct PlaceDocument {
    name: String,
    kind: Option<&'static str>,
    head: usize,
    cows: Vec<String>,
}

#[derive(Serialize)]
struct KindDocument {
    age_class: String,
    bulls: String,
    expected_calving: String,
    per_place: Vec<u32>,
}

#[derive(Serialize)]
struct BalanceDocument {
    key: String,
    words: String,
    kind: &'static str,
    values: Vec<Option<f64>>,
    before: Option<f64>,
    after: Option<f64>,
}

impl TrialDocument {
    fn new(plan: &Plan) -> TrialDocument {
        let tags = |cows: &[usize]| -> Vec<String> {
            cows.iter().map(|&at| plan.cows[at].tag.clone()).collect()
        };
        TrialDocument {
            made_by: MADE_BY,
            as_of: plan.as_of.iso(),
            seed: plan.spec.seed,
            places: plan
                .places
                .iter()
                .map(|place| PlaceDocument {
                    name: place.name.clone(),
                    kind: place.kind,
                    head: place.cows.len(),
                    cows: tags(&place.cows),
                })
                .collect(),
            left_over: tags(&plan.left_over),
            set_aside: CountDocument::list(&plan.set_aside),
            kinds: plan
                .kinds
                .iter()
                .map(|kind| {
                    let [age_class, bulls, expected_calving] = kind.words.clone();
                    KindDocument {
                        age_class,
                        bulls,
                        expected_calving,
                        per_place: kind.per_place.clone(),
                    }
                })
                .collect(),
            balance: plan.balance.iter().map(balance).collect(),
            cautions: plan.cautions.clone(),
            method: plan.method.clone(),
        }
    }
}

fn balance(line: &TrialBalance) -> BalanceDocument {
    BalanceDocument {
        key: line.key.clone(),
        words: line.words.clone(),
        kind: line.kind,
        values: line.values.iter().copied().map(present).collect(),
        before: present(line.before),
        after: present(line.after),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_typed_with_or_without_head() {
        let place = |text: &str| read_place(text).map(|place| (place.name, place.head));
        assert_eq!(place("Pen 1"), Ok(("Pen 1".to_owned(), None)));
        assert_eq!(place(" Pen 1 = 40"), Ok(("Pen 1".to_owned(), Some(40))));
        assert!(place("Pen 1=many").is_err() && place("=40").is_err() && place("").is_err());
    }
}
