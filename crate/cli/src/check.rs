//! `fairpen check`: what is wrong or doubtful, one line each.
//!
//! Enters: an input. Leaves: lines on standard output, and exit code 1 when there are errors.
//! Always true: the exit code counts every error that was not accepted in the book, also those that
//! `--least` hides.
//! Never: writes a file.

use std::fmt::Write as _;

use fairpen_engine::note::{Note, Severity};

use crate::args::{CheckArguments, Least};
use crate::failure::{DONE, ERRORS_FOUND, Failure};
use crate::reading::open_input;
use crate::{output, summary};

/// Lists the problems.
pub fn run(arguments: &CheckArguments) -> Result<u8, Failure> {
    let opened = open_input(&arguments.input, &arguments.reading)?;
    let least = match arguments.least {
        Least::Remark => Severity::Remark,
        Least::Doubtful => Severity::Doubtful,
        Least::Error => Severity::Error,
    };
    let mut text = String::new();
    for note in opened.notes.iter().filter(|note| note.severity >= least) {
        let _ = writeln!(text, "{}", line(note));
    }
    for note in opened.accepted.iter().filter(|note| note.severity >= least) {
        let _ = writeln!(text, "accepted {}", line(note));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    summary::read(&mut text, &opened);
    let _ = writeln!(text, "\n{}.", summary::problems(&opened));
    output::say(&text)?;
    Ok(if opened.count(Severity::Error) > 0 {
        ERRORS_FOUND
    } else {
        DONE
    })
}

/// `error: calves line 14, tag 5013, wean_weight (header "Wean Wt"), read "abt 500": ... [code]`.
fn line(note: &Note) -> String {
    let place = &note.place;
    let mut at = Vec::new();
    match (place.sheet, place.line) {
        (Some(sheet), Some(line)) => at.push(format!("{} line {line}", sheet.key())),
        (Some(sheet), None) => at.push(sheet.key().to_owned()),
        (None, Some(line)) => at.push(format!("line {line}")),
        (None, None) => {}
    }
    at.extend(place.tag.as_ref().map(|tag| format!("tag {}", plain(tag))));
    match (&place.column, &place.header) {
        (Some(column), Some(header)) if column != header => {
            at.push(format!("{column} (header \"{}\")", plain(header)));
        }
        (Some(column), _) => at.push(column.clone()),
        (None, Some(header)) => at.push(format!("header \"{}\"", plain(header))),
        (None, None) => {}
    }
    if !note.read.is_empty() {
        at.push(format!("read \"{}\"", plain(&note.read)));
    }
    let place = if at.is_empty() {
        String::new()
    } else {
        format!(" {}:", at.join(", "))
    };
    format!(
        "{}:{place} {} {} [{}]",
        note.severity.key(),
        note.message,
        note.hint,
        note.code
    )
}

/// Text of a file as it may stand on a screen: one line, no control characters.
fn plain(text: &str) -> String {
    text.chars()
        .map(|ch| if ch.is_control() { ' ' } else { ch })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use fairpen_engine::note::Place;
    use fairpen_engine::sheet::schema::SheetKind;

    #[test]
    fn a_line_says_where_what_and_how_to_mend_it() {
        let note = Note {
            code: "import.number.unreadable",
            severity: Severity::Error,
            place: Place {
                sheet: Some(SheetKind::Calves),
                row: Some(12),
                line: Some(14),
                tag: Some("5013".to_owned()),
                column: Some("wean_weight".to_owned()),
                header: Some("Wean Wt".to_owned()),
            },
            read: "abt\n\u{1b}[31m500".to_owned(),
            message: "This is not a number.".to_owned(),
            hint: "Type the number alone.".to_owned(),
        };
        assert_eq!(
            line(&note),
            "error: calves line 14, tag 5013, wean_weight (header \"Wean Wt\"), read \"abt  [31m500\": \
             This is not a number. Type the number alone. [import.number.unreadable]"
        );
    }
}
