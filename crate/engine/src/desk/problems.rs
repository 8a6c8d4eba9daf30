//! What is doubtful in the book, as people ask for it.
//!
//! Enters: the book in hand. Leaves: problems by kind, and what is to be said of one cell.
//! Always true: looked for once after each change, when first asked; counts are of all there are.
//! Never: changes a figure.

use super::Desk;
use crate::check::code::Code;
use crate::check::{Finding, Findings, WHOLE_COLUMN, check, words};
use crate::note::{Note, Place, Severity};
use crate::sheet::schema::SheetKind;

/// Problems of one kind.
#[derive(Clone, Debug)]
pub struct ProblemKind {
    /// Stable dotted code.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What they have in common.
    pub title: String,
    /// How many there are.
    pub n: u32,
    /// The first of them.
    pub first: Vec<Note>,
}

impl Desk {
    /// Everything doubtful.
    pub fn findings(&self) -> &Findings {
        self.findings
            .get_or_init(|| check(&self.book, &self.results))
    }

    /// Problems by kind: errors first, then by how many; of each kind the first `most`.
    pub fn problems(&self, most: usize) -> Vec<ProblemKind> {
        self.by_kind(&self.findings().list, most)
    }

    /// Problems that were accepted, in the same way.
    pub fn accepted_problems(&self, most: usize) -> Vec<ProblemKind> {
        self.by_kind(&self.findings().accepted, most)
    }

    fn by_kind(&self, list: &[Finding], most: usize) -> Vec<ProblemKind> {
        let mut kinds: Vec<(Code, ProblemKind)> = Vec::new();
        for finding in list {
            let position = match kinds.iter().position(|(code, _)| *code == finding.code) {
                Some(position) => position,
                None => {
                    kinds.push((
                        finding.code,
                        ProblemKind {
                            code: finding.code.key(),
                            severity: finding.code.severity(),
                            title: finding.code.title().to_owned(),
                            n: 0,
                            first: Vec::new(),
                        },
                    ));
                    kinds.len() - 1
                }
            };
            let (_, kind) = &mut kinds[position];
            kind.n += 1;
            if kind.first.len() < most {
                kind.first
                    .extend(words::note(&self.book, &self.results, finding));
            }
        }
        let mut kinds: Vec<ProblemKind> = kinds.into_iter().map(|(_, kind)| kind).collect();
        fairpen_stats::in_order::order_by(&mut kinds, |a, b| {
            b.severity
                .cmp(&a.severity)
                .then_with(|| b.n.cmp(&a.n))
                .then_with(|| a.code.cmp(b.code))
        });
        kinds
    }

    /// The worst that was found about a cell.
    pub fn severity_of_cell(&self, sheet: SheetKind, row: u32, column: usize) -> Option<Severity> {
        let (from, to) = self.findings_of_row(sheet, row);
        self.findings().list[from..to]
            .iter()
            .filter(|finding| usize::from(finding.column) == column)
            .map(|finding| finding.code.severity())
            .max()
    }

    /// What is to be said of a cell, a sentence or more; empty when nothing.
    pub fn remark(&self, sheet: SheetKind, row: u32, key: &str) -> String {
        if let Some(words) = self.unreadable_words(sheet, key, row as usize) {
            return words;
        }
        if let Some(words) = self.error_words(sheet, row as usize, key) {
            return words;
        }
        let Some(column) = self.book.sheet(sheet).column_position(key) else {
            return String::new();
        };
        let (from, to) = self.findings_of_row(sheet, row);
        (from..to)
            .filter(|&at| usize::from(self.findings().list[at].column) == column)
            .filter_map(|at| self.findings().note(&self.book, &self.results, at))
            .map(|note| format!("{} {}", note.message, note.hint))
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// Where the findings of a row stand in the list, which is in the order of sheets and rows.
    fn findings_of_row(&self, sheet: SheetKind, row: u32) -> (usize, usize) {
        if row == WHOLE_COLUMN {
            return (0, 0);
        }
        let list = &self.findings().list;
        let place = |finding: &Finding| (finding.sheet, finding.row.wrapping_add(1));
        let wanted = (sheet, row + 1);
        (
            list.partition_point(|finding| place(finding) < wanted),
            list.partition_point(|finding| place(finding) <= wanted),
        )
    }
}

/// A place of a file in words: `line 14 (tag 4017), column "Wean Wt"`.
pub fn place_in_file(place: &Place) -> String {
    let mut words = match (place.line, place.row) {
        (Some(line), _) => format!("line {line}"),
        (None, Some(row)) => format!("row {}", u64::from(row) + 1),
        (None, None) => String::new(),
    };
    if let Some(tag) = tag_of(place) {
        words = if words.is_empty() {
            format!("tag {tag}")
        } else {
            format!("{words} (tag {tag})")
        };
    }
    let column = place
        .header
        .clone()
        .or_else(|| label_of(place))
        .or_else(|| place.column.clone());
    if let Some(column) = column {
        if !words.is_empty() {
            words.push_str(", ");
        }
        words.push_str(&format!("column \"{column}\""));
    }
    of_sheet(place, words)
}

/// A place of the book in words, as its sheet shows it: `tag 4017, Weaning weight`.
pub fn place_in_book(place: &Place) -> String {
    let row = match (tag_of(place), place.row) {
        (Some(tag), _) => Some(format!("tag {tag}")),
        (None, Some(row)) => Some(format!("row {}", u64::from(row) + 1)),
        (None, None) => None,
    };
    let column = label_of(place)
        .or_else(|| place.header.clone())
        .or_else(|| place.column.clone());
    let words: Vec<String> = row.into_iter().chain(column).collect();
    of_sheet(place, words.join(", "))
}

fn tag_of(place: &Place) -> Option<&str> {
    place.tag.as_deref().filter(|tag| !tag.is_empty())
}

/// What a known column is called on its sheet.
fn label_of(place: &Place) -> Option<String> {
    let known = place.sheet?.column(place.column.as_deref()?)?;
    Some(known.label.to_owned())
}

/// The words with the sheet before them, unless it is the calves' own.
fn of_sheet(place: &Place, words: String) -> String {
    match place.sheet {
        Some(sheet) if sheet != SheetKind::Calves => format!("{}: {words}", sheet.label()),
        _ => words,
    }
}
