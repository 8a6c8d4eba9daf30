//! The file's headers and the columns they name.
//!
//! Enters: headers and the first rows under them. Leaves: for each column of the file what it becomes, and why.
//! Always true: no two columns of a file become the same known column; the surer match wins, and the other is
//! kept as a column of the person's own and asked about.
//! Never: leaves a column out.

use super::plan::{AgeUnit, PlannedColumn, Question, Target};
use super::pregnancy::guess_stage;
use super::synonyms::{ELECTRONIC_NAMES, LOOK_AT_CELLS, Leads, rules};
use super::words::{self, HeaderWords, concept};
use crate::sheet::column::Kind;
use crate::sheet::read::{Read, ReadOptions, Unreadable, read_cell};
use crate::sheet::schema::{KnownColumn, SheetKind};
use crate::sheet::settings::WeightUnit;

/// What the headers say.
#[derive(Clone, Debug, PartialEq)]
pub struct Guess {
    /// One entry per column of the file, in order.
    pub columns: Vec<PlannedColumn>,
    /// Known columns that more than one column of the file claims.
    pub questions: Vec<Question>,
}

/// A column's claim on a known one.
#[derive(Clone, Copy, Debug)]
struct Claim {
    leads: Leads,
    sure: u8,
}

/// Matches headers to the columns of a sheet.
pub fn guess(
    sheet: SheetKind,
    headers: &[String],
    rows: &[Vec<String>],
    decimal_comma: bool,
) -> Guess {
    let found: Vec<HeaderWords> = headers.iter().map(|header| words::read(header)).collect();
    let claims: Vec<Option<Claim>> = found.iter().map(|found| claim(sheet, found)).collect();
    let mut keys: Vec<Option<(&'static str, u8)>> = claims
        .iter()
        .enumerate()
        .map(|(at, claim)| claim.and_then(|claim| settle(sheet, claim, at, rows, decimal_comma)))
        .collect();
    electronic_only_alone(&mut keys);
    let questions = keep_the_surest(&mut keys, headers);
    let mut plain = plain_words(sheet, &claims, &mut keys);
    if let Some(at) = sex_by_cells(sheet, &claims, &keys, rows, decimal_comma) {
        keys[at] = Some(("sex", 0));
        plain[at] = Some("holds nothing but words for the sex");
    }
    let columns = headers
        .iter()
        .zip(&found)
        .enumerate()
        .map(|(at, (header, found))| {
            let key = keys[at].map(|(key, _)| key);
            let because = match (key, plain[at]) {
                (Some(_), Some(because)) => format!("\"{header}\" {because}"),
                (Some(key), None) => because_matched(sheet, key, header, found),
                (None, _) => because_own(&questions, header, found),
            };
            PlannedColumn {
                header: header.clone(),
                target: key.map_or(Target::Own, |key| Target::Known(key.to_owned())),
                because,
                weight_unit: unit_of(sheet, key, found),
                age_unit: found
                    .age_unit
                    .filter(|_| key == Some("dam_age"))
                    .unwrap_or(AgeUnit::Years),
            }
        })
        .collect();
    let mut guess = Guess { columns, questions };
    if sheet == SheetKind::Checks {
        guess_stage(&mut guess, headers, rows);
    }
    guess
}

/// How many headers name a column of the sheet by its key or label, and how many by any rule.
pub fn fit(sheet: SheetKind, headers: &[String]) -> (usize, usize) {
    let (mut by_name, mut by_rule) = (0, 0);
    let mut seen: Vec<Leads> = Vec::new();
    for header in headers {
        if let Some(claim) = claim(sheet, &words::read(header))
            && !seen.contains(&claim.leads)
            && !matches!(claim.leads, Leads::PlainWeight | Leads::PlainDate)
        {
            seen.push(claim.leads);
            by_name += usize::from(claim.sure >= 90);
            by_rule += 1;
        }
    }
    (by_name, by_rule)
}

/// True when a header of the file names this column of the sheet, surely enough not to look at the cells.
pub fn leads_to(sheet: SheetKind, headers: &[String], key: &str) -> bool {
    headers.iter().any(|header| {
        claim(sheet, &words::read(header)).is_some_and(|claim| match claim.leads {
            Leads::To(to) => to == key && claim.sure >= LOOK_AT_CELLS,
            Leads::ByCells(keys) => keys.contains(&key),
            Leads::PlainWeight | Leads::PlainDate => false,
        })
    })
}

/// The surest claim of a header.
fn claim(sheet: SheetKind, found: &HeaderWords) -> Option<Claim> {
    // The words stand without their unit: "Weaned kg" is not the label "Weaned", which is a day.
    let unit_fits =
        |column: &KnownColumn| found.weight_unit.is_none() || matches!(column.kind, Kind::Weight);
    let named = |column: &&KnownColumn| {
        unit_fits(column)
            && (column.key.replace('_', " ") == found.plain
                || column.label.to_lowercase() == found.plain)
    };
    if let Some(column) = sheet.columns().iter().find(named) {
        let by_key = column.key.replace('_', " ") == found.plain;
        return Some(Claim {
            leads: Leads::To(column.key),
            sure: if by_key { 100 } else { 90 },
        });
    }
    let mut concepts = found.concepts;
    if sheet == SheetKind::Calves {
        // In a calf's row the cow is its dam and the bull its sire.
        if concepts & concept::COW != 0 {
            concepts = concepts & !concept::COW | concept::DAM;
        }
        if concepts & concept::BULL != 0 && concepts & concept::SEX == 0 {
            concepts = concepts & !concept::BULL | concept::SIRE;
        }
    }
    rules(sheet)
        .iter()
        .filter(|rule| {
            concepts & rule.needs == rule.needs && concepts & !(rule.needs | rule.may) == 0
        })
        .filter(|rule| match rule.leads {
            Leads::To(key) => sheet.column(key).is_some(),
            _ => true,
        })
        .max_by_key(|rule| (rule.needs.count_ones(), rule.sure))
        .map(|rule| Claim {
            leads: rule.leads,
            sure: rule.sure,
        })
}

/// The key a claim comes to, after a look at the cells where the rule wants one.
fn settle(
    sheet: SheetKind,
    claim: Claim,
    at: usize,
    rows: &[Vec<String>],
    decimal_comma: bool,
) -> Option<(&'static str, u8)> {
    match claim.leads {
        Leads::To(key) if claim.sure >= LOOK_AT_CELLS => Some((key, claim.sure)),
        Leads::To(key) => {
            let (n_read, n_filled) = readable(sheet, key, at, rows, decimal_comma);
            (n_read > 0 || n_filled == 0).then_some((key, claim.sure))
        }
        // Whatever was written under "Preg" is what the check found, unless it is the day: letters and short remarks
        // are asked about.
        Leads::ByCells(keys) if sheet == SheetKind::Checks && keys.contains(&"result") => {
            let (n_days, n_filled) = readable(sheet, "date", at, rows, decimal_comma);
            let is_date = n_filled > 0 && n_days * 2 > n_filled;
            Some((if is_date { "date" } else { "result" }, claim.sure))
        }
        Leads::ByCells(keys) => keys
            .iter()
            .find(|key| {
                let (n_read, n_filled) = readable(sheet, key, at, rows, decimal_comma);
                n_filled == 0 || n_read * 2 > n_filled
            })
            .map(|&key| (key, claim.sure)),
        Leads::PlainWeight | Leads::PlainDate => None,
    }
}

/// The only column without a meaning of its own whose cells all say a sex, and not all the same one, where no
/// header names the sex: a header such as `S` says nothing, its cells do.
fn sex_by_cells(
    sheet: SheetKind,
    claims: &[Option<Claim>],
    keys: &[Option<(&'static str, u8)>],
    rows: &[Vec<String>],
    decimal_comma: bool,
) -> Option<usize> {
    if sheet != SheetKind::Calves || keys.iter().flatten().any(|(key, _)| *key == "sex") {
        return None;
    }
    let says_sex = |&at: &usize| {
        let (n_read, n_filled) = readable(sheet, "sex", at, rows, decimal_comma);
        let mut cells = rows.iter().filter_map(|row| row.get(at));
        let first = cells.next();
        n_read == n_filled && n_read > 1 && cells.any(|cell| Some(cell) != first)
    };
    let mut found = (0..claims.len())
        .filter(|&at| claims[at].is_none() && keys[at].is_none())
        .filter(says_sex);
    found.next().filter(|_| found.next().is_none())
}

/// How many of a column's first cells can be read as a known column's kind, of how many filled ones.
fn readable(
    sheet: SheetKind,
    key: &str,
    at: usize,
    rows: &[Vec<String>],
    decimal_comma: bool,
) -> (usize, usize) {
    let Some(kind) = sheet.column(key).map(|column| column.kind) else {
        return (0, 0);
    };
    let options = ReadOptions {
        decimal_comma,
        ..ReadOptions::of_book(WeightUnit::Pound)
    };
    let (mut n_read, mut n_filled) = (0, 0);
    for cell in rows.iter().filter_map(|row| row.get(at)) {
        let fits = match read_cell(kind, cell, &options) {
            Ok(Read::Missing) => continue,
            Ok(Read::Number { number, .. }) => {
                !matches!(kind, Kind::Number("year")) || (1900.0..2100.0).contains(&number)
            }
            Ok(_) | Err(Unreadable::DateSerial) => true,
            Err(_) => false,
        };
        n_filled += 1;
        n_read += usize::from(fits);
    }
    (n_read, n_filled)
}

/// An electronic ID names the animal of a row only where no tag does; beside a tag it is no rival to ask about.
fn electronic_only_alone(keys: &mut [Option<(&'static str, u8)>]) {
    let by_tag = |key: &Option<(&str, u8)>| matches!(key, Some(("animal" | "cow", sure)) if *sure != ELECTRONIC_NAMES);
    if keys.iter().any(by_tag) {
        for key in keys.iter_mut() {
            if matches!(key, Some(("animal" | "cow", ELECTRONIC_NAMES))) {
                *key = None;
            }
        }
    }
}

/// Leaves every known column to its surest claim (the first in the file among equals), and asks about the rest.
fn keep_the_surest(keys: &mut [Option<(&'static str, u8)>], headers: &[String]) -> Vec<Question> {
    let mut questions = Vec::new();
    let mut asked: Vec<&str> = Vec::new();
    for at in 0..keys.len() {
        let Some((key, _)) = keys[at] else { continue };
        let claiming: Vec<usize> = (0..keys.len())
            .filter(|&other| keys[other].is_some_and(|(other_key, _)| other_key == key))
            .collect();
        if claiming.len() < 2 || asked.contains(&key) {
            continue;
        }
        asked.push(key);
        let surest = claiming
            .iter()
            .copied()
            .max_by_key(|&other| (keys[other].map(|(_, sure)| sure), std::cmp::Reverse(other)));
        // The one taken comes first.
        let mut named: Vec<String> = surest.iter().map(|&at| headers[at].clone()).collect();
        for &other in claiming.iter().filter(|&&other| Some(other) != surest) {
            named.push(headers[other].clone());
            keys[other] = None;
        }
        questions.push(Question::TwoColumns {
            column: key.to_owned(),
            headers: named,
        });
    }
    questions
}

/// Gives a plain "weight" and a plain "date" to the weaning, where nothing else is and the file bears it out.
fn plain_words(
    sheet: SheetKind,
    claims: &[Option<Claim>],
    keys: &mut [Option<(&'static str, u8)>],
) -> Vec<Option<&'static str>> {
    let mut because = vec![None; keys.len()];
    if sheet != SheetKind::Calves {
        return because;
    }
    let plain = |wanted: Leads| {
        claims
            .iter()
            .position(|claim| claim.is_some_and(|claim| claim.leads == wanted))
    };
    let taken = |keys: &[Option<(&'static str, u8)>], key: &str| {
        keys.iter().flatten().any(|(taken, _)| *taken == key)
    };
    let weight_at = plain(Leads::PlainWeight).filter(|_| !taken(keys, "wean_weight"));
    let has_weight = weight_at.is_some() || taken(keys, "wean_weight");
    let no_other_day = ["wean_date", "weigh_date", "yearling_date"]
        .iter()
        .all(|key| !taken(keys, key));
    // A scale's file sent to the calves: nothing but the animal, the day and the weight.
    let nothing_else = ["birth_date", "birth_weight", "yearling_weight"]
        .iter()
        .all(|key| !taken(keys, key));
    if let (Some(at), Some(_)) = (plain(Leads::PlainDate), weight_at)
        && no_other_day
        && nothing_else
    {
        keys[at] = Some(("weigh_date", 0));
        because[at] = Some("is the day of the only weight: taken as the day of weighing");
    } else if let Some(at) = plain(Leads::PlainDate)
        && has_weight
        && no_other_day
        && taken(keys, "birth_date")
    {
        keys[at] = Some(("wean_date", 0));
        because[at] = Some("is the only date beside the birth: taken as the day of weaning");
    }
    if let Some(at) = weight_at
        && (taken(keys, "wean_date") || taken(keys, "weigh_date"))
    {
        keys[at] = Some(("wean_weight", 0));
        because[at] = Some(
            "does not say which weight: taken as the weaning weight, since there is a weaning or weighing day and no other weaning weight",
        );
    }
    because
}

fn because_matched(sheet: SheetKind, key: &str, header: &str, found: &HeaderWords) -> String {
    let label = sheet.column(key).map_or(key, |column| column.label);
    if key.replace('_', " ") == found.plain || label.to_lowercase() == found.plain {
        format!("\"{header}\" is its name here")
    } else {
        format!("\"{header}\" is a way to write {}", label.to_lowercase())
    }
}

fn because_own(questions: &[Question], header: &str, found: &HeaderWords) -> String {
    for question in questions {
        if let Question::TwoColumns { headers, .. } = question
            && headers.iter().skip(1).any(|other| other == header)
        {
            return format!(
                "\"{}\" was taken for the same column, so this one is kept as your own",
                headers[0]
            );
        }
    }
    if header.is_empty() {
        "it has no header, so it is kept as your own".to_owned()
    } else if found.worked_out {
        format!(
            "\"{header}\" is a worked-out figure: it is kept as your own and not used, adjusted weights are worked out here"
        )
    } else {
        format!("\"{header}\" names no column known here, so it is kept as your own")
    }
}

fn unit_of(sheet: SheetKind, key: Option<&str>, found: &HeaderWords) -> Option<WeightUnit> {
    let column = sheet.column(key?)?;
    found
        .weight_unit
        .filter(|_| matches!(column.kind, Kind::Weight))
}
