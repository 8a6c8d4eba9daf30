//! What could stand where someone is typing.
//!
//! Enters: the text so far, the place of the cursor, and what there is to name. Leaves: what could be put in,
//! and the function whose arguments are being typed.
//! Always true: works on text that is not yet a formula; nothing is offered inside a text.
//! Never: changes the text.

use super::function::{Function, Group, all, find};
use super::names::{ColumnAbout, Names};
use super::print::column_text;
use super::token::continues_a_name;
use super::tree::ColumnName;
use super::trouble::Span;

/// Most that is offered.
const MOST: usize = 40;

/// What an offer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A function.
    Function,
    /// A column.
    Column,
    /// A sheet.
    Sheet,
}

/// Something that could be put in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// What it is.
    pub kind: Kind,
    /// What people read: a key or a name.
    pub name: String,
    /// The text to put in.
    pub insert: String,
    /// A function's signature, a column's label.
    pub detail: String,
    /// One sentence.
    pub help: String,
}

/// A function whose arguments are being typed.
#[derive(Clone, Copy)]
pub struct Inside {
    /// The function.
    pub function: &'static Function,
    /// Its group.
    pub group: Group,
    /// Which argument, 0 for the first.
    pub argument: usize,
}

/// What could stand at the cursor.
pub struct Completion {
    /// What the offers take the place of.
    pub replaces: Span,
    /// Offers, the likeliest first.
    pub offers: Vec<Offer>,
    /// The function around the cursor.
    pub inside: Option<Inside>,
}

/// What could stand at a byte of a text in a formula of a sheet.
pub fn complete(sheet: &str, text: &str, cursor: usize, names: &dyn Names) -> Completion {
    let mut cursor = cursor.min(text.len());
    while !text.is_char_boundary(cursor) {
        cursor -= 1;
    }
    let before = &text[..cursor];
    let state = State::of(before);
    let replaces = Span::new(word_start(before), cursor);
    let offers = if state.in_text {
        Vec::new()
    } else {
        offers(sheet, &before[replaces.start..], names)
    };
    Completion {
        replaces,
        offers,
        inside: state.inside(),
    }
}

/// Where the word at the end of a text begins, with its sheet if there is one.
fn word_start(before: &str) -> usize {
    let mut start = before.len();
    for (at, character) in before.char_indices().rev() {
        if !continues_a_name(character) && !matches!(character, '\'' | '$') {
            break;
        }
        start = at;
    }
    // A number is no word.
    if before[start..].starts_with(|first: char| first.is_ascii_digit()) {
        before.len()
    } else {
        start
    }
}

fn offers(sheet: &str, word: &str, names: &dyn Names) -> Vec<Offer> {
    let plain: String = word
        .chars()
        .filter(|character| !matches!(character, '\'' | '$'))
        .collect();
    let mut found: Vec<(u8, Offer)> = Vec::new();
    if let Some((of_sheet, begun)) = plain.split_once('.') {
        for column in names.columns(of_sheet) {
            if let Some(rank) = fits(&column, begun) {
                found.push((rank, offer_of_column(Some(of_sheet), &column)));
            }
        }
    } else {
        for column in names.columns(sheet) {
            if let Some(rank) = fits(&column, &plain) {
                found.push((rank, offer_of_column(None, &column)));
            }
        }
        let upper = plain.to_ascii_uppercase();
        for (group, function) in all() {
            let rank = if function.name == upper {
                0
            } else if !plain.is_empty() && function.name.starts_with(&upper) {
                2
            } else if plain.is_empty() || function.name.contains(&upper) {
                5
            } else {
                continue;
            };
            found.push((rank, offer_of_function(group, function)));
        }
        for other in names.sheets() {
            if other != sheet && other.starts_with(&plain.to_lowercase()) {
                found.push((
                    4,
                    Offer {
                        kind: Kind::Sheet,
                        insert: format!("'{other}'."),
                        detail: "sheet".to_owned(),
                        help: "Its columns can be looked into as a whole.".to_owned(),
                        name: other,
                    },
                ));
            }
        }
    }
    // A stable sort keeps the order of the sheet and of the catalogue within a rank.
    found.sort_by_key(|(rank, _)| *rank);
    found
        .into_iter()
        .take(MOST)
        .map(|(_, offer)| offer)
        .collect()
}

/// How well a column fits what has been typed; `None` when it does not.
fn fits(column: &ColumnAbout, begun: &str) -> Option<u8> {
    let begun = begun.to_lowercase();
    if column.key.starts_with(&begun) {
        Some(1)
    } else if column.key.contains(&begun) || column.label.to_lowercase().contains(&begun) {
        Some(3)
    } else {
        None
    }
}

fn offer_of_column(sheet: Option<&str>, column: &ColumnAbout) -> Offer {
    Offer {
        kind: Kind::Column,
        name: column.key.clone(),
        insert: column_text(&ColumnName {
            sheet: sheet.map(str::to_owned),
            key: column.key.clone(),
        }),
        detail: column.label.clone(),
        help: column.help.clone(),
    }
}

fn offer_of_function(_: Group, function: &Function) -> Offer {
    let nothing = if function.parameters.is_empty() {
        "()"
    } else {
        "("
    };
    Offer {
        kind: Kind::Function,
        name: function.name.to_owned(),
        insert: format!("{}{nothing}", function.name),
        detail: function.signature(),
        help: function.help.to_owned(),
    }
}

/// Where the end of a text stands: inside a quoted text, and inside which brackets.
struct State<'t> {
    in_text: bool,
    /// For each open bracket the name before it and the separators since.
    open: Vec<(&'t str, usize)>,
}

impl<'t> State<'t> {
    fn of(before: &'t str) -> State<'t> {
        let mut state = State {
            in_text: false,
            open: Vec::new(),
        };
        let mut quoted_sheet = false;
        for (at, character) in before.char_indices() {
            match character {
                '"' if !quoted_sheet => state.in_text = !state.in_text,
                '\'' if !state.in_text => quoted_sheet = !quoted_sheet,
                _ if state.in_text || quoted_sheet => {}
                '(' | '{' => {
                    let head = before[..at].trim_end();
                    let start = head
                        .char_indices()
                        .rev()
                        .take_while(|(_, character)| continues_a_name(*character))
                        .last()
                        .map_or(head.len(), |(at, _)| at);
                    let name = if character == '(' { &head[start..] } else { "" };
                    state.open.push((name, 0));
                }
                ')' | '}' => {
                    state.open.pop();
                }
                ';' | ',' => {
                    if let Some((_, separators)) = state.open.last_mut() {
                        *separators += 1;
                    }
                }
                _ => {}
            }
        }
        state
    }

    fn inside(&self) -> Option<Inside> {
        self.open.iter().rev().find_map(|(name, separators)| {
            let function = find(&name.to_ascii_uppercase())?;
            let (group, _) = all().find(|(_, other)| other.name == function.name)?;
            Some(Inside {
                function,
                group,
                argument: *separators,
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::names::Holds;
    use super::*;

    struct Herd;

    impl Names for Herd {
        fn sheets(&self) -> Vec<String> {
            vec!["calves".to_owned(), "cows".to_owned()]
        }

        fn columns(&self, sheet: &str) -> Vec<ColumnAbout> {
            let keys: &[&str] = match sheet {
                "calves" => &["tag", "birth_weight", "wean_weight", "205_day"],
                "cows" => &["tag", "birth_date"],
                _ => &[],
            };
            keys.iter()
                .map(|key| ColumnAbout {
                    key: (*key).to_owned(),
                    label: key.replace('_', " "),
                    holds: Holds::NUMBERS,
                    ..ColumnAbout::default()
                })
                .collect()
        }
    }

    fn names(text: &str) -> Vec<String> {
        complete("calves", text, text.len(), &Herd)
            .offers
            .into_iter()
            .map(|offer| offer.insert)
            .collect()
    }

    #[test]
    fn offers_follow_what_was_typed() {
        assert_eq!(names("1+wean")[0], "wean_weight");
        assert_eq!(names("1+weight"), ["birth_weight", "wean_weight"]);
        assert_eq!(names("averagei"), ["AVERAGEIF(", "AVERAGEIFS("]);
        assert_eq!(names("INDEX('cows'.b"), ["'cows'.birth_date"]);
        assert_eq!(names("INDEX(cows.b"), ["'cows'.birth_date"]);
        assert!(names("day").contains(&"$$'205_day'".to_owned()));
        assert!(names("\"wean").is_empty());
        assert!(names("12").len() > 10);
        assert!(names("co").contains(&"'cows'.".to_owned()));
    }

    #[test]
    fn the_function_around_the_cursor_is_known() {
        let text = "ROUND(wean_weight/AVERAGEIFS(wean_weight; sex, \"a;(\"; ";
        let inside = complete("calves", text, text.len(), &Herd)
            .inside
            .expect("inside a function");
        assert_eq!((inside.function.name, inside.argument), ("AVERAGEIFS", 3));
        let inside = complete("calves", text, 8, &Herd)
            .inside
            .expect("inside a function");
        assert_eq!((inside.function.name, inside.argument), ("ROUND", 0));
        assert!(complete("calves", "wean(1", 4, &Herd).inside.is_none());
    }
}
