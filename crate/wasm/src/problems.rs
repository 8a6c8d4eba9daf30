//! Problems as they cross.
//!
//! Enters: notes. Leaves: [`ProblemGroup`]s.

use fairpen_engine::desk::problems::{ProblemKind, place_in_book, place_in_file};
use fairpen_engine::note::{Note, Place};
use fairpen_engine::sheet::workbook::Workbook;

use crate::types::{ProblemGroup, ProblemInfo};

/// A kind of problems as it crosses.
pub fn group_of(book: &Workbook, kind: ProblemKind) -> ProblemGroup {
    ProblemGroup {
        code: kind.code.to_owned(),
        severity: kind.severity.key().to_owned(),
        title: kind.title,
        n: kind.n,
        problems: kind
            .first
            .iter()
            .map(|note| {
                let row = note.place.sheet.zip(note.place.row);
                ProblemInfo {
                    row_key: row.map(|(sheet, row)| book.sheet(sheet).key_of(row)),
                    ..info_of(note, place_in_book)
                }
            })
            .collect(),
    }
}

/// Notes about a file by their code, worst first; of each code the first `most`.
pub fn groups_of_notes(notes: &[Note], most: usize) -> Vec<ProblemGroup> {
    let mut groups: Vec<(&Note, ProblemGroup)> = Vec::new();
    for note in notes {
        let position = match groups.iter().position(|(first, _)| first.code == note.code) {
            Some(position) => position,
            None => {
                groups.push((
                    note,
                    ProblemGroup {
                        code: note.code.to_owned(),
                        severity: note.severity.key().to_owned(),
                        title: note.message.clone(),
                        n: 0,
                        problems: Vec::new(),
                    },
                ));
                groups.len() - 1
            }
        };
        let (_, group) = &mut groups[position];
        group.n += 1;
        if group.problems.len() < most {
            group.problems.push(info_of(note, place_in_file));
        }
    }
    groups.sort_by_key(|(note, _)| std::cmp::Reverse(note.severity));
    groups.into_iter().map(|(_, group)| group).collect()
}

fn info_of(note: &Note, words: fn(&Place) -> String) -> ProblemInfo {
    ProblemInfo {
        code: note.code.to_owned(),
        severity: note.severity.key().to_owned(),
        sheet: note
            .place
            .sheet
            .map_or_else(String::new, |sheet| sheet.key().to_owned()),
        row_key: note.place.row,
        place: words(&note.place),
        column: note.place.column.clone().unwrap_or_default(),
        read: note.read.clone(),
        message: note.message.clone(),
        hint: note.hint.clone(),
    }
}
