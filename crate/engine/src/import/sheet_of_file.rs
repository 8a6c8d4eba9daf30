//! The sheet a file's rows belong to.
//!
//! Enters: a file's name and headers. Leaves: one of the eleven sheets.
//! Always true: a file that says nothing else holds calves.
//! Never: overrules a sheet the person chose.

use super::match_header::{fit, leads_to};
use super::words;
use crate::sheet::schema::SheetKind;

/// Headers by which calves must fit better before the name of a file is not believed: `fall weights.csv`
/// with tags, sexes, births and weanings holds calves.
const CLEARLY_MORE: usize = 3;

/// Decides by the name of the file where it names one sheet, else by the headers.
pub fn sheet_of(file_name: &str, headers: &[String]) -> SheetKind {
    let (calves_by_name, calves_by_rule) = fit(SheetKind::Calves, headers);
    if let Some(sheet) = named_by(file_name) {
        let (_, by_rule) = fit(sheet, headers);
        if by_rule > 0 && calves_by_rule < by_rule + CLEARLY_MORE {
            return sheet;
        }
    }
    if is_scale_file(headers) {
        return SheetKind::Weights;
    }
    // The calves sheet has the most words; another one must fit clearly better by its own names.
    SheetKind::ALL
        .into_iter()
        .filter(|&sheet| sheet != SheetKind::Calves)
        .map(|sheet| (sheet, fit(sheet, headers)))
        .filter(|&(_, (by_name, by_rule))| {
            by_name >= 2 && by_name > calves_by_name && by_rule > calves_by_rule
        })
        .max_by_key(|&(sheet, (by_name, by_rule))| {
            (by_rule, by_name, std::cmp::Reverse(sheet.position()))
        })
        .map_or(SheetKind::Calves, |(sheet, _)| sheet)
}

/// True for an animal, a day and a weight that is not said to be of birth, weaning or a year: one weighing a line.
fn is_scale_file(headers: &[String]) -> bool {
    let has = |keys: &[&str]| {
        keys.iter()
            .all(|key| leads_to(SheetKind::Weights, headers, key))
    };
    let of_calves = SheetKind::Calves
        .columns()
        .iter()
        .filter(|column| !matches!(column.key, "tag" | "eid" | "weigh_date" | "note"))
        .any(|column| leads_to(SheetKind::Calves, headers, column.key));
    has(&["animal", "date", "weight"]) && !of_calves
}

/// The sheet whose name, and no other's, stands in the name of the file.
fn named_by(file_name: &str) -> Option<SheetKind> {
    let name = file_name.rsplit(['/', '\\']).next().unwrap_or(file_name);
    // A sheet of a spreadsheet file: its own name says more than the file's.
    let of_sheet = name
        .strip_suffix(')')
        .and_then(|name| name.rsplit_once(" ("))
        .and_then(|(_, sheet)| named_in(sheet));
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    of_sheet.or_else(|| named_in(stem))
}

fn named_in(text: &str) -> Option<SheetKind> {
    let plain = words::read(text).plain;
    let named = |names: &[&str]| {
        names
            .iter()
            .any(|wanted| format!(" {plain} ").contains(&format!(" {wanted} ")))
    };
    let mut found = SheetKind::ALL.into_iter().filter(|sheet| {
        named(match sheet {
            SheetKind::Calves => &["calves", "calf", "weaning", "weaned"],
            SheetKind::Cows => &["cows", "cow", "dams"],
            SheetKind::Bulls => &["bulls", "bull", "sires"],
            SheetKind::Exposures => &["exposures", "exposure", "breeding", "turnout"],
            SheetKind::Checks => &["checks", "preg", "pregnancy"],
            SheetKind::Places => &["places", "pens", "pastures"],
            SheetKind::Stays => &["stays", "moves"],
            SheetKind::Weights => &["weights", "weighings"],
            SheetKind::WeighDays => &["weigh days"],
            SheetKind::Scores => &["scores"],
            SheetKind::Treatments => &["treatments", "treatment"],
        })
    });
    found.next().filter(|_| found.next().is_none())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn name_first_then_headers_then_calves() {
        let headers = |text: &str| text.split(',').map(str::to_owned).collect::<Vec<_>>();
        let calves = headers("tag,sex,birth_date,dam,wean_date,wean_weight");
        for (name, line, sheet) in [
            ("calves.csv", "tag,sex", SheetKind::Calves),
            ("My Cows 2025.csv", "tag,born", SheetKind::Cows),
            ("C:\\herd\\places.csv", "name,kind,note", SheetKind::Places),
            ("weigh_days.csv", "date,scale", SheetKind::WeighDays),
            (
                "fall weights.xlsx (Cows)",
                "cow,birth date",
                SheetKind::Cows,
            ),
            ("cows.xlsx (Sheet1)", "tag,born", SheetKind::Cows),
            ("export.csv", "animal,date,weight", SheetKind::Weights),
            (
                "export.csv",
                "cow,date,result,stage,method",
                SheetKind::Checks,
            ),
            (
                "export.csv",
                "season,cow,from,to,bulls",
                SheetKind::Exposures,
            ),
            (
                "export.csv",
                "tag,birth_year,age_from,came_on,came_as",
                SheetKind::Cows,
            ),
            (
                "export.csv",
                "EID,VID,Date Time,Weight (lb)",
                SheetKind::Weights,
            ),
            ("export.csv", "tag,sex,date,weight", SheetKind::Calves),
            ("weaning 2025.csv", "tag,date,weight", SheetKind::Calves),
            ("export.csv", "a,b,c", SheetKind::Calves),
            ("cows.csv", "x,y", SheetKind::Calves),
        ] {
            assert_eq!(sheet_of(name, &headers(line)), sheet, "{name} {line}");
        }
        assert_eq!(sheet_of("cows and calves.csv", &calves), SheetKind::Calves);
        assert_eq!(sheet_of("herd.csv", &calves), SheetKind::Calves);
        assert_eq!(sheet_of("fall weights.csv", &calves), SheetKind::Calves);
    }
}
