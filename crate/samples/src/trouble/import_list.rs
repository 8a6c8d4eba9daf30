//! Troubles of the file itself: header, rows, dates, numbers, codes.
//!
//! Enters: the ways to put a trouble in. Leaves: the list, in the order of the file. Always true:
//! nothing here needs to know what a calf is. Never: a trouble that another row's trouble hides.

use super::herd::position;
use super::kinds::{AFTER_BIRTH, Kind, SAID_ABOVE, clear, header, one, raw, set};

/// Troubles met while reading.
pub static READING: [Kind; 22] = [
    header(
        "import.header.twice",
        "note",
        "a second column is named note",
    ),
    one(
        "import.header.blank",
        "",
        "a cell in the last column, which has no name",
        |rows| {
            let last = rows[0].len() - 1;
            rows[0][last] = "kept?".to_owned();
        },
    ),
    one(
        "import.cells.too_few",
        "",
        "the row stops after the sex",
        |rows| rows[0].truncate(3),
    ),
    one(
        "import.cells.too_many",
        "",
        "two cells more than the header",
        |rows| {
            rows[0].extend(["more".to_owned(), "and more".to_owned()]);
        },
    ),
    raw(
        "import.rows.blank",
        "",
        "only delimiters, and an empty line under it",
        |cells| {
            let mut line = vec![b','; cells.len() - 1];
            line.push(b'\n');
            line
        },
    ),
    raw(SAID_ABOVE, "", "an empty line", |_| b"\n".to_vec()),
    raw(
        "import.encoding.invalid",
        "",
        "a byte that is a letter in no encoding read here (81) in the breed",
        |cells| {
            let text = cells
                .join(",")
                .replace("Angus x Hereford", "Angus crois\u{1}");
            let mut line: Vec<u8> = text
                .bytes()
                .map(|byte| if byte == 1 { 0x81 } else { byte })
                .collect();
            line.push(b'\n');
            line
        },
    ),
    one(
        "import.date.impossible",
        "birth_date",
        "30 February",
        |rows| set(rows, "birth_date", "2025-02-30"),
    ),
    one("import.date.impossible", "wean_date", "month 13", |rows| {
        set(rows, "wean_date", "2025-13-09")
    }),
    one(
        "import.date.ambiguous",
        "birth_date",
        "3 April or 4 March",
        |rows| {
            set(rows, "birth_date", "03/04/2025");
        },
    ),
    one(
        "import.date.two_digit_year",
        "birth_date",
        "a year of two digits",
        |rows| {
            set(rows, "birth_date", "19-Mar-25");
        },
    ),
    one(
        "import.date.unreadable",
        "birth_date",
        "a word where a date belongs",
        |rows| {
            set(rows, "birth_date", "early March");
        },
    ),
    one(
        "import.date.serial",
        "birth_date",
        "a spreadsheet's day number (45736 is 2025-03-20)",
        |rows| {
            set(rows, "birth_date", "45736");
        },
    ),
    one(
        "import.number.unreadable",
        "wean_weight",
        "a word before the number",
        |rows| {
            set(rows, "wean_weight", "about 510");
        },
    ),
    one(
        "import.number.unreadable",
        "birth_weight",
        "the letter O for a zero",
        |rows| {
            set(rows, "birth_weight", "8O");
        },
    ),
    one(
        "import.number.thousands",
        "yearling_weight",
        "a comma between thousands: read as 1012",
        |rows| {
            set(rows, "yearling_weight", "1,012");
        },
    ),
    one(
        "import.weight.unit_mixed",
        "wean_weight",
        "kg in a column of lb",
        |rows| {
            set(rows, "wean_weight", "236 kg");
        },
    ),
    one(
        "import.code.unknown",
        "sex",
        "a word that is no sex of a calf",
        |rows| set(rows, "sex", "cow?"),
    ),
    one(
        "import.code.unknown",
        "creep",
        "neither yes nor no",
        |rows| set(rows, "creep", "some days"),
    ),
    one(
        "import.code.unknown",
        "born_as",
        "neither single nor twin",
        |rows| set(rows, "born_as", "early"),
    ),
    one(
        "import.code.unknown",
        "raised_by",
        "not own dam, foster or bottle",
        |rows| {
            set(rows, "raised_by", "the neighbor");
        },
    ),
    one(
        "import.code.unknown",
        "left_because",
        "a reason that is not known",
        |rows| {
            clear(rows, &AFTER_BIRTH);
            set(rows, "left_on", "2025-06-18");
            set(rows, "left_because", "vanished");
        },
    ),
];

/// The quote that never closes. It stands last in the file because it swallows what follows.
pub static UNCLOSED: Kind = raw(
    "import.quote.unclosed",
    "",
    "a quote opens in the note and never closes",
    |cells| {
        let note = position("note");
        let mut cells = cells.to_vec();
        cells[note] = "\"gentle, keep".to_owned();
        let mut line = cells.join(",").into_bytes();
        line.push(b'\n');
        line
    },
);
