//! Ways of reading that a person settled for files of one shape.
//!
//! Enters: a plan under which a file came in. Leaves: the same plan, for the next file of that shape.
//! Always true: a way is known by the headers of its file and the name of its sheet in a spreadsheet file, not by
//! the name of the file, which changes from time to time; all ways together stay small beside the book.
//! Never: comes with the program. Every way is one that a person made.

use std::collections::BTreeMap;

use super::codes::plain_words;
use super::day::Day;
use super::workbook::Workbook;
use crate::import::plan::ImportPlan;

/// Most ways of a book; the oldest goes first.
pub const MOST_WAYS: usize = 200;
/// Most bytes of all ways together, about; far under the most that a description in a saved book may have.
const MOST_BYTES: usize = 1 << 20;

/// What files of one kind have in common.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shape {
    /// Name of the sheet in a spreadsheet file, as it stands there; empty for a text file.
    pub part: String,
    /// The headers in plain words, sorted; where two columns have the same one it stands twice.
    pub headers: Vec<String>,
}

impl Shape {
    /// The shape of a file with these headers. Blank ones say nothing about it.
    pub fn of<'a>(part: &str, headers: impl IntoIterator<Item = &'a str>) -> Shape {
        let mut headers: Vec<String> = headers
            .into_iter()
            .map(plain_words)
            .filter(|header| !header.is_empty())
            .collect();
        headers.sort();
        Shape {
            part: part.to_owned(),
            headers,
        }
    }
}

/// How a file was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Name of that file, for people.
    pub file_name: String,
    /// Day on which it came in; missing when nobody said.
    pub on: Day,
    /// How it was read, with the questions that were answered.
    pub plan: ImportPlan,
}

/// All ways of a book.
pub type Remembered = BTreeMap<Shape, Way>;

/// A way to remember, or to forget.
#[derive(Clone, Debug, PartialEq)]
pub struct Remembering {
    /// Which files.
    pub shape: Shape,
    /// How they are read; `None` forgets it.
    pub way: Option<Box<Way>>,
}

/// Bytes that a way takes in a saved book, about.
fn size(shape: &Shape, way: &Way) -> usize {
    let of_columns: usize = way
        .plan
        .columns
        .iter()
        .map(|column| 200 + 2 * column.header.len())
        .sum();
    let of_headers: usize = shape.headers.iter().map(|header| 10 + header.len()).sum();
    500 + shape.part.len() + way.file_name.len() + of_columns + of_headers
}

/// What it takes to remember one more way: the way itself, and the oldest ones that make room for it. Nothing when
/// it is too large to be kept.
pub fn with_room(remembered: &Remembered, shape: Shape, way: Way) -> Vec<Remembering> {
    let mut bytes = size(&shape, &way);
    if bytes > MOST_BYTES {
        return Vec::new();
    }
    let mut others: Vec<(&Shape, &Way)> = remembered
        .iter()
        .filter(|(other, _)| **other != shape)
        .collect();
    others.sort_by_key(|(_, way)| std::cmp::Reverse(way.on));
    let mut n = 1;
    let mut list: Vec<Remembering> = others
        .into_iter()
        .filter(|(other, way)| {
            bytes += size(other, way);
            n += 1;
            n > MOST_WAYS || bytes > MOST_BYTES
        })
        .map(|(other, _)| Remembering {
            shape: other.clone(),
            way: None,
        })
        .collect();
    list.push(Remembering {
        shape,
        way: Some(Box::new(way)),
    });
    list
}

/// Remembers and forgets. Gives what takes it back.
pub(super) fn remember(book: &mut Workbook, list: Vec<Remembering>) -> Vec<Remembering> {
    let mut back: Vec<Remembering> = list
        .into_iter()
        .map(|Remembering { shape, way }| {
            let before = match way {
                Some(way) => book.remembered.insert(shape.clone(), *way),
                None => book.remembered.remove(&shape),
            };
            Remembering {
                shape,
                way: before.map(Box::new),
            }
        })
        .collect();
    // A shape may stand twice: the last put back is the first that stood there.
    back.reverse();
    book.touch();
    back
}
