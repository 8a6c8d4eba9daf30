//! The sheet a file's rows belong to.
//!
//! Enters: a file's name, its headers and first rows. Leaves: one of the eleven sheets, or those to ask about.
//! Always true: where two sheets fit about equally, or none does, the person is asked.
//! Never: overrules a sheet the person chose.

use super::check_day::is_due_header;
use super::match_header::{fit, leads_to};
use super::pregnancy::stage_unit_of;
use super::words::{self, concept};
use crate::sheet::codes::RESULT;
use crate::sheet::read::codes::position;
use crate::sheet::read::stage::month_of;
use crate::sheet::schema::SheetKind;

/// Headers by which calves must fit better before the name of a file is not believed: `fall weights.csv`
/// with tags, sexes, births and weanings holds calves.
const CLEARLY_MORE: usize = 3;

/// Columns of calves that other lists have as well: they speak for no sheet.
const ANYWHERE: [&str; 7] = [
    "tag",
    "eid",
    "weigh_date",
    "place",
    "management",
    "breed",
    "note",
];

/// The sheet of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decided {
    /// The sheet it is shown for.
    pub sheet: SheetKind,
    /// Where it cannot be told: the sheets to ask about, this one among them; else none.
    pub asked: Vec<SheetKind>,
}

impl Decided {
    fn surely(sheet: SheetKind) -> Decided {
        Decided {
            sheet,
            asked: Vec::new(),
        }
    }

    fn between(asked: &[SheetKind]) -> Decided {
        Decided {
            sheet: asked.first().copied().unwrap_or(SheetKind::Calves),
            asked: asked.to_vec(),
        }
    }
}

/// Decides by the name of the file where it names one sheet, else by the headers and the first cells under them.
pub fn decide(file_name: &str, headers: &[String], rows: &[Vec<String>]) -> Decided {
    use SheetKind::{Calves, Checks, Cows, Weights};
    let (calves_by_name, calves_by_rule) = fit(Calves, headers);
    let named = named_by(file_name);
    let strong = strong_for_calves(headers);
    let checks = is_list_of_checks(headers, rows);
    if let Some(sheet) = named {
        let (_, by_rule) = fit(sheet, headers);
        if checks && matches!(sheet, Calves | Cows) && strong < CLEARLY_MORE {
            // The name says one thing, the columns another: `cows 2026.csv` with a column of results.
            return Decided::between(&[Checks, sheet]);
        }
        if by_rule > 0 && calves_by_rule < by_rule + CLEARLY_MORE {
            return Decided::surely(sheet);
        }
    }
    if checks && strong < CLEARLY_MORE {
        return match strong {
            0 => Decided::surely(Checks),
            _ => Decided::between(&[Checks, Calves, Cows]),
        };
    }
    if strong == 0 && has_weighings(headers) {
        // Written by this program, by the keys of the sheet.
        return if fit(Weights, headers).0 >= 3 {
            Decided::surely(Weights)
        } else {
            Decided::between(&[Weights, Calves])
        };
    }
    // The calves sheet has the most words; another one must fit clearly better by its own names.
    let other = SheetKind::ALL
        .into_iter()
        .filter(|&sheet| sheet != Calves)
        .map(|sheet| (sheet, fit(sheet, headers)))
        .filter(|&(_, (by_name, by_rule))| {
            by_name >= 2 && by_name > calves_by_name && by_rule > calves_by_rule
        })
        .max_by_key(|&(sheet, (by_name, by_rule))| {
            (by_rule, by_name, std::cmp::Reverse(sheet.position()))
        });
    if let Some((sheet, _)) = other {
        return Decided::surely(sheet);
    }
    if named == Some(Calves) {
        return Decided::surely(Calves);
    }
    let names_calf = ["tag", "eid"]
        .iter()
        .any(|key| leads_to(Calves, headers, key));
    if !names_calf && names_cow(headers) && fit(Cows, headers).1 >= calves_by_rule {
        return Decided::between(&[Cows, Calves]);
    }
    if strong == 0 && !has_plain_weight(headers) {
        return Decided::between(&[Calves, Cows, Checks, Weights]);
    }
    Decided::surely(Calves)
}

/// Headers that say birth, weaning, sex or a parent: those of calves and of hardly any other list. A cow that alone
/// names the row is no dam.
fn strong_for_calves(headers: &[String]) -> usize {
    let names_calf = ["tag", "eid"]
        .iter()
        .any(|key| leads_to(SheetKind::Calves, headers, key));
    let known = SheetKind::Calves
        .columns()
        .iter()
        .filter(|column| !ANYWHERE.contains(&column.key))
        .filter(|column| names_calf || column.key != "dam")
        .filter(|column| leads_to(SheetKind::Calves, headers, column.key))
        .count();
    known + usize::from(has_plain_weight(headers) && !has_weighings(headers))
}

/// True for an animal, a day and a weight: one weighing a line, or the weaning weights of calves.
fn has_weighings(headers: &[String]) -> bool {
    ["animal", "date", "weight"]
        .iter()
        .all(|key| leads_to(SheetKind::Weights, headers, key))
}

fn has_plain_weight(headers: &[String]) -> bool {
    leads_to(SheetKind::Weights, headers, "weight")
}

fn names_cow(headers: &[String]) -> bool {
    headers.iter().any(|header| {
        let concepts = words::read(header).concepts;
        concepts & concept::COW != 0 && concepts & !(concept::COW | concept::ID) == 0
    })
}

/// True for an animal and what a pregnancy check says of it: a result, a stage, a day due, or months with marks.
fn is_list_of_checks(headers: &[String], rows: &[Vec<String>]) -> bool {
    if !leads_to(SheetKind::Checks, headers, "cow") {
        return false;
    }
    let mut n_months = 0;
    for (at, header) in headers.iter().enumerate() {
        let found = words::read(header).concepts;
        let only = |allowed: u64| found & !allowed == 0;
        let says_check = found & concept::CHECK != 0
            && only(
                concept::CHECK | concept::RESULT | concept::COW | concept::STAGE | concept::HOW,
            );
        let says_stage = found & concept::STAGE != 0 && only(concept::STAGE | concept::HOW);
        let says_result =
            found & concept::RESULT != 0 && only(concept::RESULT) && holds_results(rows, at);
        let says_unit = stage_unit_of(header).is_some() && words::read(header).plain.contains(' ');
        if says_check || says_stage || says_result || says_unit || is_due_header(header) {
            return true;
        }
        n_months += usize::from(month_of(header).is_some());
    }
    n_months >= 2
}

/// True when most filled cells of a column are results of a check, or letters alone.
fn holds_results(rows: &[Vec<String>], at: usize) -> bool {
    let (mut n_filled, mut n_results) = (0, 0);
    for cell in rows.iter().filter_map(|row| row.get(at)) {
        if cell.is_empty() {
            continue;
        }
        n_filled += 1;
        let is_letter = cell.chars().count() == 1;
        n_results += usize::from(is_letter || position(&RESULT, cell).is_some());
    }
    n_results > 0 && n_results * 2 >= n_filled
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
            assert_eq!(
                decide(name, &headers(line), &[]).sheet,
                sheet,
                "{name} {line}"
            );
        }
        assert_eq!(
            decide("cows and calves.csv", &calves, &[]),
            Decided::surely(SheetKind::Calves)
        );
        assert_eq!(
            decide("herd.csv", &calves, &[]),
            Decided::surely(SheetKind::Calves)
        );
        assert_eq!(
            decide("fall weights.csv", &calves, &[]),
            Decided::surely(SheetKind::Calves)
        );
    }

    #[test]
    fn a_list_that_fits_two_sheets_is_asked_about() {
        use SheetKind::{Calves, Checks, Cows, Weights};
        let headers = |text: &str| {
            text.split([',', ';'])
                .map(|header| header.trim().to_owned())
                .collect::<Vec<_>>()
        };
        let row = |text: &str| vec![headers(text)];
        for (name, line, cells, asked) in [
            ("list.csv", "Cow #;Preg;Mos;Notes", "12;P;5;", &[][..]),
            ("list.csv", "ID, PREG STATUS, Due date, Vet", "12,P,,", &[]),
            ("list.csv", "Tag,Status", "12,O", &[]),
            ("list.csv", "Tag,Bred/Open", "12,O", &[]),
            ("list.csv", "Cow,Mar,Apr", "12,x,", &[]),
            (
                "cows.csv",
                "Cow #;Preg;Mos;Notes",
                "12;P;5;",
                &[Checks, Cows],
            ),
            (
                "list.csv",
                "Tag,Born,Preg",
                "12,2020-03-01,P",
                &[Checks, Calves, Cows],
            ),
            (
                "list.csv",
                "EID,VID,Date,Weight,Lot",
                ",12,2026-10-14,512,3",
                &[Weights, Calves],
            ),
            (
                "list.csv",
                "Tag,Weight,Date",
                "12,512,2026-10-14",
                &[Weights, Calves],
            ),
            (
                "scale weights.csv",
                "Tag,Weight,Date",
                "12,512,2026-10-14",
                &[],
            ),
            ("weaning.csv", "Tag,Weight,Date", "12,512,2026-10-14", &[]),
            ("list.csv", "animal,date,weight", "12,2026-10-14,512", &[]),
            (
                "list.csv",
                "Tag,Status",
                "12,sold",
                &[Calves, Cows, Checks, Weights],
            ),
            (
                "list.csv",
                "cow,birth date,breed",
                "12,2020-03-01,",
                &[Cows, Calves],
            ),
            (
                "list.csv",
                "tag,sex,born,dam,wean wt,preg",
                "12,H,2026-03-01,4,512,",
                &[],
            ),
            (
                "list.csv",
                "p,q,r",
                "1,2,3",
                &[Calves, Cows, Checks, Weights],
            ),
        ] {
            let decided = decide(name, &headers(line), &row(cells));
            assert_eq!(decided.asked, asked, "{name} {line}");
        }
        let first = |line: &str, cells: &str| decide("list.csv", &headers(line), &row(cells)).sheet;
        for (line, cells) in [
            ("Cow #;Preg;Mos;Notes", "12;P;5;"),
            ("ID, PREG STATUS, Due date, Vet", "12,P,,"),
            ("Tag,Status", "12,O"),
            ("Cow,Mar,Apr", "12,x,"),
        ] {
            assert_eq!(first(line, cells), Checks, "{line}");
        }
    }
}
