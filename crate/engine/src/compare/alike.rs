//! Which calves are alike: the kinds that matching pairs within.
//!
//! Enters: the used calves, what is compared and what is held equal. Leaves: a kind for each calf.
//! Always true: a calf of whom a trait is not known is of no kind: what is not known is not alike; the compared
//! column is never a trait; kinds are numbered in identity order.
//! Never: looks at a weight.

use std::collections::HashMap;

use super::levels::{Chosen, LevelColumn, NO_LEVEL};
use super::result::CompareSpec;
use super::rows::Rows;
use crate::animals::plain::name_form;
use crate::group::season::Seasons;
use crate::results::Results;
use crate::sheet::codes::{FOSTER, SEX, TWIN};
use crate::sheet::day::Day;
use crate::sheet::read::list::is_unknown;
use crate::sheet::workbook::Workbook;

/// A calf of no kind.
pub(super) const NO_KIND: u32 = u32::MAX;

/// Births of one kind lie in one such period of their season, days.
pub const BIRTH_PERIOD_DAYS: i32 = 21;

/// The kinds of the used calves.
pub(super) struct Kinds {
    /// In words: `season`, `sex`.
    pub by: Vec<String>,
    /// For each row its kind, or [`NO_KIND`].
    pub of_row: Vec<u32>,
}

type Trait<'a> = (String, Box<dyn Fn(usize) -> Option<String> + 'a>);

/// What every calf is matched by.
pub(super) fn kinds(
    book: &Workbook,
    results: &Results,
    rows: &Rows,
    chosen: &Chosen,
    compared: &str,
    spec: &CompareSpec,
) -> Kinds {
    let mut traits: Vec<Trait> = usual_traits(book, results, rows, compared == "birth_year")
        .into_iter()
        .filter(|(key, _, _)| *key != compared)
        .map(|(_, words, values)| -> Trait {
            (
                words.to_owned(),
                Box::new(move |row: usize| values[row].clone()),
            )
        })
        .collect();
    for (key, words, codes, marked) in [
        ("born_as", "single or twin", rows.calves.born_as, TWIN),
        (
            "raised_by",
            "own dam or foster",
            rows.calves.raised_by,
            FOSTER,
        ),
    ] {
        let varies = chosen.all_used(rows).any(|row| codes[row] == marked);
        if key != compared && varies {
            traits.push((
                words.to_owned(),
                Box::new(move |row| Some((codes[row] == marked).to_string())),
            ));
        }
    }
    for key in &spec.hold {
        // The model has refused a column that is not there.
        if let Ok(column) = LevelColumn::find(book, results, rows, key)
            && column.key != compared
        {
            let words = column.label.to_lowercase();
            if !traits.iter().any(|(other, _)| *other == words) {
                traits.push((
                    words,
                    Box::new(move |row| match column.of_row[row] {
                        NO_LEVEL => None,
                        level => Some(level.to_string()),
                    }),
                ));
            }
        }
    }
    numbered(rows, chosen, &traits)
}

/// Season, sex, dam-age class and birth period, each with the key of the column that it is.
fn usual_traits(
    book: &Workbook,
    results: &Results,
    rows: &Rows,
    years_are_compared: bool,
) -> [(&'static str, &'static str, Vec<Option<String>>); 4] {
    let seasons = Seasons::of(&book.settings);
    let names = &book.settings.seasons;
    let season = |born: &Day| {
        let season = seasons.season_of(*born)?;
        if !years_are_compared {
            return Some(season.words(names));
        }
        // Spring with spring, whatever the year.
        let named = names.get(usize::from(season.position));
        Some(named.map_or_else(String::new, |start| start.name.clone()))
    };
    let period = |born: &Day| {
        let days = seasons.days_into(*born)?;
        Some((days / BIRTH_PERIOD_DAYS).to_string())
    };
    let class = |class: &u8| {
        let class = book.settings.factors.classes.get(usize::from(*class))?;
        Some(class.name.clone())
    };
    let sex = |sex: &u8| SEX.key(*sex).map(str::to_owned);
    let birth = rows.calves.birth;
    [
        ("season", "season", birth.iter().map(season).collect()),
        ("sex", "sex", rows.calves.sex.iter().map(sex).collect()),
        (
            "dam_age_class",
            "dam-age class",
            results.adjusted.raising_class.iter().map(class).collect(),
        ),
        ("", "21 days of birth", birth.iter().map(period).collect()),
    ]
}

/// The same kinds, told apart by sire as well; a calf with several possible sires is alike with those of the very
/// same bulls. `None` where sires are compared, held equal already, or not recorded.
pub(super) fn with_sire(
    kinds: &Kinds,
    rows: &Rows,
    chosen: &Chosen,
    compared: &str,
) -> Option<Kinds> {
    if compared == "sire" || kinds.by.iter().any(|words| words == "sire") {
        return None;
    }
    let bulls_of_text: Vec<Option<String>> = rows
        .calves
        .sire
        .texts()
        .map(|text| {
            let mut bulls: Vec<String> = text
                .split(';')
                .map(str::trim)
                .filter(|name| !name.is_empty())
                .map(name_form)
                .collect();
            bulls.sort_unstable();
            bulls.dedup();
            let known = !bulls.is_empty() && !bulls.iter().any(|bull| is_unknown(bull));
            known.then(|| bulls.join("; "))
        })
        .collect();
    let bulls = |row: usize| {
        bulls_of_text
            .get(rows.calves.sire.codes()[row] as usize)
            .cloned()
            .flatten()
    };
    chosen.all_used(rows).find_map(bulls)?;
    let traits: Vec<Trait> = vec![
        (
            String::new(),
            Box::new(|row| {
                Some(kinds.of_row[row])
                    .filter(|&kind| kind != NO_KIND)
                    .map(|kind| kind.to_string())
            }),
        ),
        ("sire".to_owned(), Box::new(bulls)),
    ];
    let mut finer = numbered(rows, chosen, &traits);
    finer.by = kinds
        .by
        .iter()
        .cloned()
        .chain(["sire".to_owned()])
        .collect();
    Some(finer)
}

fn numbered(rows: &Rows, chosen: &Chosen, traits: &[Trait]) -> Kinds {
    let mut numbers: HashMap<Vec<String>, u32> = HashMap::new();
    let mut of_row = vec![NO_KIND; rows.calves.n_rows];
    for row in chosen.all_used(rows) {
        let kind: Option<Vec<String>> = traits.iter().map(|(_, of)| of(row)).collect();
        if let Some(kind) = kind {
            let next = u32::try_from(numbers.len()).unwrap_or(NO_KIND);
            of_row[row] = *numbers.entry(kind).or_insert(next);
        }
    }
    Kinds {
        by: traits.iter().map(|(words, _)| words.clone()).collect(),
        of_row,
    }
}
