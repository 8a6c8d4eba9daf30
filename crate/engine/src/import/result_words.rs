//! What a veterinarian wrote under the result: words that can be meant several ways, and stages in the same cell.
//!
//! Enters: the typed table of a file of checks, with the results that were not read. Leaves: the same table with what
//! is understood and what the person answered, and the questions that are left.
//! Always true: of `P 120` the 120 goes to the stage, never away; a word of several is kept in the remarks when it is
//! read as one of the list.
//! Never: reads a word that was asked about and not answered.

use std::collections::BTreeMap;

use super::notes::{Lines, Notes};
use super::plan::{ImportPlan, Question, Rules};
use crate::note::{Severity, counted};
use crate::sheet::codes::{NO_CODE, RESULT};
use crate::sheet::column::{Cells, Column, Value};
use crate::sheet::read::codes::position;
use crate::sheet::read::stage::is_stage;
use crate::sheet::table::Table;

/// Position of `bred` in the list of results.
pub const BRED: u8 = 0;
/// So many different words are asked about; a column of remarks taken for results is not.
const MOST_WORDS: usize = 12;
/// Longer texts are remarks and no words.
const LONGEST_WORD: usize = 20;

/// A result that was not read at first.
struct Unread {
    row: u32,
    text: String,
    /// The word to ask about, in plain form; empty where the cell holds a stage alone.
    word: String,
    /// The stage in the same cell; empty where there is none.
    stage: String,
}

/// Reads what can be read of the results, asks about the rest. Gives the rows whose stage stood beside the result, in
/// order: the header of the stages says nothing of their unit.
pub(super) fn settle(
    table: &mut Table,
    plan: &ImportPlan,
    header: &str,
    notes: &mut Notes,
    questions: &mut Vec<Question>,
) -> Vec<u32> {
    let Some(column) = table.column("result") else {
        return Vec::new();
    };
    let unread: Vec<Unread> = column
        .unreadable
        .iter()
        .map(|(&row, text)| look_at(row, text, plan.rules))
        .collect();
    ask(&unread, plan, header, questions);
    let meant: Vec<(&Unread, u8)> = unread
        .iter()
        .filter_map(|cell| Some((cell, meaning(cell, plan)?)))
        .collect();
    if let Some(column) = table.column_mut("result") {
        for (cell, means) in &meant {
            column.unreadable.remove(&cell.row);
            if let Cells::Code(codes) = &mut column.cells {
                codes[cell.row as usize] = *means;
            }
        }
    }
    if plan.rules >= Rules::Fourth {
        keep_the_rest(table, header, &meant, notes)
    } else {
        Vec::new()
    }
}

fn look_at(row: u32, text: &str, rules: Rules) -> Unread {
    let (word, stage) = if rules >= Rules::Fourth {
        divide(text)
    } else {
        (text, "")
    };
    Unread {
        row,
        text: text.to_owned(),
        word: plain_word(word),
        stage: stage.to_owned(),
    }
}

/// The word of a result and the stage behind it, which may be blank: `P 120`, `bred 120d`, `P5 mo`, `120`.
fn divide(text: &str) -> (&str, &str) {
    let text = text.trim();
    // "Bred 120 days" is a way to write a stage, and says the result too.
    let first_word = text
        .split(|ch: char| !ch.is_alphabetic())
        .next()
        .unwrap_or("");
    if is_stage(text) && position(&RESULT, first_word).is_none_or(|code| code == NO_CODE) {
        return ("", text);
    }
    let mut before = ' ';
    for (at, ch) in text.char_indices() {
        let begins = (before.is_whitespace() || matches!(before, '(' | ',' | ';' | ':' | '/'))
            && !ch.is_whitespace()
            || before.is_alphabetic() && ch.is_ascii_digit();
        before = ch;
        if !begins || at == 0 {
            continue;
        }
        let word = text[..at].trim_end_matches(|ch: char| {
            ch.is_whitespace() || matches!(ch, '(' | ',' | ';' | ':' | '/')
        });
        let stage = text[at..].trim_end_matches(')').trim();
        if !word.is_empty() && is_stage(stage) {
            return (word, stage);
        }
    }
    (text, "")
}

/// A word to compare by: in lower case, with single spaces. Signs stay: `P-` is not `P`.
fn plain_word(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// The result of a word of the list behind which a stage stands. Letters alone and question marks are asked about.
fn known(cell: &Unread) -> Option<u8> {
    if cell.stage.is_empty() || cell.word.chars().count() < 2 || cell.word.contains('?') {
        return None;
    }
    position(&RESULT, &cell.word).filter(|&code| code != NO_CODE)
}

fn meaning(cell: &Unread, plan: &ImportPlan) -> Option<u8> {
    known(cell).or_else(|| plan.checks.words.get(&cell.word).copied().flatten())
}

fn ask(unread: &[Unread], plan: &ImportPlan, header: &str, questions: &mut Vec<Question>) {
    let mut words: BTreeMap<&str, u32> = BTreeMap::new();
    for cell in unread.iter().filter(|cell| known(cell).is_none()) {
        if cell.word.chars().count() <= LONGEST_WORD {
            *words.entry(&cell.word).or_default() += 1;
        }
    }
    if words.len() > MOST_WORDS {
        // An answer that was given is never taken back by another file's length.
        words.retain(|word, _| word.chars().count() <= 1 || plan.checks.words.contains_key(*word));
    }
    questions.extend(words.into_iter().map(|(word, n)| Question::Word {
        header: header.to_owned(),
        word: word.to_owned(),
        n,
    }));
}

/// Stages go to the stage of a bred cow, where it is blank; every other word that the result does not say goes to
/// the remarks.
fn keep_the_rest(
    table: &mut Table,
    header: &str,
    meant: &[(&Unread, u8)],
    notes: &mut Notes,
) -> Vec<u32> {
    let (mut with_stage, mut first) = (Vec::new(), None);
    let mut in_remarks = Lines::default();
    for (cell, means) in meant {
        let line = table
            .source_line
            .get(cell.row as usize)
            .copied()
            .unwrap_or(0);
        let blank = table
            .column("stage")
            .is_some_and(|stage| stage.value(cell.row as usize) == Value::Missing);
        if !cell.stage.is_empty() && *means == BRED && blank {
            if let Some(stage) = table.column_mut("stage") {
                let _missing = stage.put(cell.row, Value::Text(cell.stage.clone()));
            }
            with_stage.push(cell.row);
            first.get_or_insert((line, cell.text.clone()));
        } else if !cell.stage.is_empty() || cell.word.contains(' ') {
            add_remark(table, cell.row, &format!("{header}: {}", cell.text));
            in_remarks.add(line, || cell.text.clone());
        }
    }
    if let Some((line, text)) = first {
        notes.cell(
            "import.checks.stage_in_result",
            Severity::Remark,
            header,
            Some(line),
            text.clone(),
            format!(
                "{} of \"{header}\" {} a stage too, first \"{text}\" in line {line}. The stage stands under Stage.",
                counted(with_stage.len(), "cell"),
                if with_stage.len() == 1 { "holds" } else { "hold" }
            ),
            "Nothing to mend, if that is what was meant.",
        );
    }
    notes.lines(
        "import.checks.words_kept",
        Severity::Remark,
        &in_remarks,
        "The result says more than one of the known words; the whole text stands in the remarks too.",
        "Nothing to mend.",
    );
    with_stage
}

/// Adds a text to the remarks of a row.
pub(super) fn add_remark(table: &mut Table, row: u32, text: &str) {
    let Some(column) = table.column_mut("remarks") else {
        return;
    };
    let text = match remark(column, row) {
        Some(before) => format!("{before}; {text}"),
        None => text.to_owned(),
    };
    let _before = column.put(row, Value::Text(text));
}

fn remark(column: &Column, row: u32) -> Option<String> {
    match column.value(row as usize) {
        Value::Text(text) if !text.is_empty() => Some(text),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::divide;

    #[test]
    fn a_stage_behind_a_word_is_found() {
        for (text, parts) in [
            ("P 120", ("P", "120")),
            ("P120", ("P", "120")),
            ("P 5 mo", ("P", "5 mo")),
            ("P5 mo", ("P", "5 mo")),
            ("bred 120d", ("bred", "120d")),
            ("Bred, early", ("Bred", "early")),
            ("bred (3 to 4 months)", ("bred", "3 to 4 months")),
            ("P due Mar", ("P", "due Mar")),
            ("P- 120", ("P-", "120")),
            ("120", ("", "120")),
            ("3 to 4 months", ("", "3 to 4 months")),
            ("due March 14", ("", "due March 14")),
            ("preg late", ("preg", "late")),
            ("short bred", ("short bred", "")),
            ("P", ("P", "")),
            ("A1", ("A", "1")),
            ("?", ("?", "")),
        ] {
            assert_eq!(divide(text), parts, "{text}");
        }
    }
}
