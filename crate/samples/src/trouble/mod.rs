//! The book of troubles: a sane little herd in which each row has one thing wrong.
//!
//! Enters: nothing but the seed. Leaves: `trouble/calves.csv`, its README, the list of expected notes,
//! and `rounded-scale/calves.csv`. Always true: line numbers in the lists count the header as line 1,
//! as a spreadsheet shows them, and no cell but the last holds a line break. Never: a row whose
//! trouble is not in the list.

mod check_list;
mod herd;
mod history_list;
mod import_list;
mod kinds;
mod rounded;

use csv::{QuoteStyle, Terminator, WriterBuilder};

use crate::table::{Table, WrittenFile};
use kinds::{Kind, SAID_ABOVE, Touch};

/// Every kind of trouble, in the order of the file.
fn kinds() -> impl Iterator<Item = &'static Kind> {
    import_list::READING
        .iter()
        .chain(&check_list::ANIMALS)
        .chain(&history_list::HISTORIES)
        .chain([&import_list::UNCLOSED])
}

/// One line of the file on its way to disk.
enum Line {
    Cells(Vec<String>),
    Bytes(Vec<u8>),
}

/// One line of the list of troubles.
struct Listed {
    line: usize,
    tag: String,
    column: &'static str,
    code: &'static str,
    what: &'static str,
}

/// The files of the book, below `sample-books/`.
pub fn files() -> Vec<WrittenFile> {
    let (bytes, listed) = book();
    vec![
        WrittenFile {
            path: "trouble/calves.csv".to_owned(),
            bytes,
        },
        WrittenFile {
            path: "trouble/README.md".to_owned(),
            bytes: readme(&listed).into_bytes(),
        },
        rounded::file(),
    ]
}

/// Troubles of a day decades ahead.
const FAR_AHEAD: [&str; 2] = ["check.birth_date.future", "check.wean_date.future"];

/// The expected notes as a table, for the tests: `trouble.expect.csv`.
pub fn expected() -> WrittenFile {
    let mut table = Table::new(&["line", "column", "code", "what"]);
    for entry in book().1 {
        table.push(vec![
            entry.line.to_string(),
            entry.column.to_owned(),
            entry.code.to_owned(),
            entry.what.to_owned(),
        ]);
        // A day far ahead is doubtful in the records, and is told while the file comes in as well.
        if FAR_AHEAD.contains(&entry.code) {
            table.push(vec![
                entry.line.to_string(),
                entry.column.to_owned(),
                "import.date.far".to_owned(),
                format!("{}, said while it comes in", entry.what),
            ]);
        }
    }
    table.file("trouble.expect.csv")
}

fn book() -> (Vec<u8>, Vec<Listed>) {
    let needed: usize = kinds().map(|kind| kind.rows).sum();
    let mut calves = herd::calves(needed).into_iter();
    let mut lines = vec![Line::Cells(herd::header())];
    let mut listed = Vec::new();
    for Kind {
        code,
        column,
        what,
        rows,
        touch,
    } in kinds()
    {
        let mut taken: Vec<Vec<String>> = calves.by_ref().take(*rows).collect();
        let new_lines: Vec<Line> = match touch {
            Touch::Header => Vec::new(),
            Touch::Cells(change) => {
                change(&mut taken);
                taken.iter().cloned().map(Line::Cells).collect()
            }
            Touch::Bytes(change) => vec![Line::Bytes(change(&taken[0]))],
        };
        lines.extend(new_lines);
        if *code == SAID_ABOVE {
            continue;
        }
        // In a pair the second row is the one that shows the trouble.
        let line = if *rows == 0 { 1 } else { lines.len() };
        // A blank line carries no tag.
        let tag = if *code == "import.rows.blank" {
            String::new()
        } else {
            taken
                .last()
                .map(|cells| cells[0].clone())
                .unwrap_or_default()
        };
        listed.push(Listed {
            line,
            tag,
            column,
            code,
            what,
        });
    }
    (bytes(lines), listed)
}

fn bytes(lines: Vec<Line>) -> Vec<u8> {
    let mut file = Vec::new();
    for line in lines {
        match line {
            Line::Cells(cells) => file.extend(record(&cells)),
            Line::Bytes(bytes) => file.extend(bytes),
        }
    }
    file
}

/// One line of cells, with its line feed. Rows may be short or long here: that is the point.
fn record(cells: &[String]) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::Any(b'\n'))
        .quote_style(QuoteStyle::Necessary)
        .flexible(true)
        .from_writer(Vec::new());
    writer
        .write_record(cells)
        .expect("writing to memory does not fail");
    writer
        .into_inner()
        .expect("writing to memory does not fail")
}

fn readme(listed: &[Listed]) -> String {
    let mut text = include_str!("readme.md").to_owned();
    for entry in listed {
        let tag = if entry.tag.is_empty() {
            "(none)"
        } else {
            &entry.tag
        };
        let column = if entry.column.is_empty() {
            "(whole row)"
        } else {
            entry.column
        };
        text.push_str(&format!(
            "| {} | {tag} | {column} | {} | `{}` |\n",
            entry.line, entry.what, entry.code
        ));
    }
    text
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn at_least_thirty_five_kinds_are_listed() {
        let codes: BTreeSet<&str> = kinds().map(|kind| kind.code).collect();
        assert!(codes.len() >= 35, "{}", codes.len());
    }

    #[test]
    fn listed_lines_are_the_lines_of_the_file() {
        let (bytes, listed) = book();
        let lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
        for entry in listed
            .iter()
            .filter(|entry| entry.line > 1 && !entry.tag.is_empty())
        {
            let start = format!("{},", entry.tag);
            let line = lines[entry.line - 1];
            assert!(
                line.starts_with(start.as_bytes()) || line.is_empty() || line.starts_with(b","),
                "line {} does not begin with {start}",
                entry.line
            );
        }
    }
}
