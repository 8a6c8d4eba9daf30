//! What kind of text file this is, from its first bytes.
//!
//! Enters: the first bytes of a file. Leaves: its separator, its header line, its first rows, and whether its
//! numbers have decimal commas.
//! Always true: the same first bytes give the same answer, however they arrived.
//! Never: reads past the sample; changes a byte.

use super::plan::Rules;
use super::scan::{Record, Records, Scanner};
use super::units_line::Units;
use super::{letters, words};
use crate::error::Error;

/// This many bytes are looked at before a file is read.
pub const SAMPLE_BYTES: usize = 64 * 1024;
/// This many records of the sample are looked at.
const SAMPLE_RECORDS: usize = 250;
/// The header is looked for in the first records only.
const HEADER_WITHIN: usize = 12;
/// More columns than this are no sheet of animals.
pub const MAX_COLUMNS: usize = 1_000;

/// What the sample shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Sniffed {
    /// Field separator: `,` `;` or tab.
    pub delimiter: u8,
    /// Line of the header, 1 is the first.
    pub header_line: u32,
    /// The headers, without spaces at their ends.
    pub headers: Vec<String>,
    /// The line of units right under the header, when there is one. It is none of the rows.
    pub units: Option<Units>,
    /// The first rows under the header.
    pub rows: Vec<Vec<String>>,
    /// True when numbers have decimal commas.
    pub decimal_comma: bool,
}

/// Looks at the first bytes of a file, without a mark, UTF-16 turned into UTF-8. `whole` when there are no more.
///
/// # Errors
/// When this is no text with columns: empty, a spreadsheet file, or another kind of file.
pub fn sniff(
    sample: &[u8],
    whole: bool,
    delimiter: Option<u8>,
    rules: Rules,
) -> Result<Sniffed, Error> {
    refuse_other_files(sample)?;
    let (delimiter, records) = match delimiter {
        Some(delimiter) => (delimiter, records_of(sample, whole, delimiter)),
        None => best_delimiter(sample, whole),
    };
    let header_at = header_position(&records).ok_or_else(|| {
        Error::new(
            "import.file.empty",
            "The file holds no rows.",
            "Choose a file with a line of headers and a line for each animal.",
        )
    })?;
    let texts = |fields: &[Vec<u8>]| -> Vec<String> {
        fields
            .iter()
            .map(|field| crate::sheet::read::trimmed(&letters::read_by(rules, field).0).to_owned())
            .collect()
    };
    let (header_line, header_fields) = &records[header_at];
    let mut headers = texts(header_fields);
    // A separator at the end of every line makes no column.
    let rows: Vec<Vec<String>> = records[header_at + 1..]
        .iter()
        .map(|(_, fields)| texts(fields))
        .collect();
    let units = rows.first().and_then(|row| Units::of(row));
    let rows = match units {
        Some(_) => rows[1..].to_vec(),
        None => rows,
    };
    let used = |at: usize| {
        rows.iter()
            .any(|row| row.get(at).is_some_and(|cell| !cell.is_empty()))
    };
    while headers.len() > 1
        && headers.last().is_some_and(String::is_empty)
        && !used(headers.len() - 1)
    {
        headers.pop();
    }
    if headers.len() > MAX_COLUMNS {
        return Err(Error::new(
            "import.file.columns",
            format!(
                "The file has {} columns; {MAX_COLUMNS} is the most that can be read.",
                headers.len()
            ),
            "Take away the columns that are not about the animals and save it again.",
        ));
    }
    let decimal_comma = delimiter != b',' && has_decimal_commas(&rows);
    Ok(Sniffed {
        delimiter,
        header_line: *header_line,
        headers,
        units,
        rows,
        decimal_comma,
    })
}

fn refuse_other_files(sample: &[u8]) -> Result<(), Error> {
    let save_as_csv =
        "Open it in the program that made it and save it as CSV (UTF-8), then bring that in.";
    if sample.starts_with(b"PK\x03\x04") || sample.starts_with(b"\xd0\xcf\x11\xe0") {
        return Err(Error::new(
            "import.file.spreadsheet",
            "This is a packed or spreadsheet file where text was expected.",
            save_as_csv,
        ));
    }
    if sample.contains(&0) || sample.starts_with(b"%PDF") || sample.starts_with(b"\x1f\x8b") {
        return Err(Error::new(
            "import.file.other",
            "This is not a text file with columns.",
            save_as_csv,
        ));
    }
    Ok(())
}

/// The records of the sample that are whole and hold something.
fn records_of(sample: &[u8], whole: bool, delimiter: u8) -> Vec<Record> {
    let mut records = Records::default();
    let mut scanner = Scanner::new(delimiter);
    scanner.feed(sample, &mut records);
    if whole || records.records.is_empty() {
        scanner.finish(&mut records);
    }
    records
        .records
        .into_iter()
        .filter(|(_, fields)| fields.iter().any(|field| !field.trim_ascii().is_empty()))
        .take(SAMPLE_RECORDS)
        .collect()
}

/// The separator under which most records have the same number of fields, and more than one.
fn best_delimiter(sample: &[u8], whole: bool) -> (u8, Vec<Record>) {
    let mut best = (b',', Vec::new());
    let mut best_score = (0_usize, 0_usize);
    for delimiter in [b',', b';', b'\t'] {
        let records = records_of(sample, whole, delimiter);
        let mut counts: Vec<usize> = records.iter().map(|(_, fields)| fields.len()).collect();
        fairpen_stats::in_order::order(&mut counts);
        let (mut width, mut n_alike) = (0, 0);
        for alike in counts.chunk_by(|a, b| a == b) {
            if alike[0] > 1 && alike.len() >= n_alike {
                (width, n_alike) = (alike[0], alike.len());
            }
        }
        let per_thousand = n_alike * 1_000 / records.len().max(1);
        let score = (per_thousand, width);
        if score > best_score || best.1.is_empty() {
            best_score = score;
            best = (delimiter, records);
        }
    }
    best
}

/// The header is the first record, unless that names nothing and one soon after names several columns
/// (lines with a title stand above it). Two names are enough under lines of one cell each, which are titles.
fn header_position(records: &[Record]) -> Option<usize> {
    let n_named = |fields: &[Vec<u8>]| {
        fields
            .iter()
            .filter(|field| {
                let found = words::read(&String::from_utf8_lossy(field));
                found.concepts != 0 && found.concepts & words::concept::UNKNOWN == 0
            })
            .count()
    };
    let (_, first) = records.first()?;
    if n_named(first) >= 2 {
        return Some(0);
    }
    let n_filled = |fields: &[Vec<u8>]| {
        fields
            .iter()
            .filter(|field| !field.trim_ascii().is_empty())
            .count()
    };
    let n_titles = records
        .iter()
        .take_while(|(_, fields)| n_filled(fields) == 1)
        .count();
    let below = records
        .iter()
        .take(HEADER_WITHIN)
        .enumerate()
        .position(|(at, (_, fields))| n_named(fields) >= if at == n_titles { 2 } else { 3 });
    Some(below.unwrap_or(0))
}

/// True when more cells are numbers with a decimal comma than with a decimal point.
fn has_decimal_commas(rows: &[Vec<String>]) -> bool {
    let with = |sign: char| {
        rows.iter()
            .flatten()
            .filter(|cell| {
                cell.split_once(sign).is_some_and(|(whole, fraction)| {
                    let digits = |text: &str| {
                        !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
                    };
                    digits(whole) && digits(fraction)
                })
            })
            .count()
    };
    with(',') > with('.')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(text: &str) -> Sniffed {
        sniff(text.as_bytes(), true, None, Rules::Second).expect("a text file")
    }

    #[test]
    fn separators_and_decimal_signs_are_told_apart() {
        assert_eq!(seen("tag,sex\n1,bull\n").delimiter, b',');
        assert_eq!(seen("tag\tsex, born\n1\tbull\n").delimiter, b'\t');
        let comma = seen("tag;birth wt kg;note\n1;32,7;a, b\n2;33,1;c\n");
        assert_eq!((comma.delimiter, comma.decimal_comma), (b';', true));
        let notes = seen("tag,note\n1,quiet; good\n2,a; b\n");
        assert_eq!((notes.delimiter, notes.decimal_comma), (b',', false));
        assert_eq!(seen("tag\n1\n2\n").delimiter, b',');
    }

    #[test]
    fn the_header_is_found_under_blank_lines_and_a_title() {
        let blank = seen("\n\ntag,sex\n1,bull\n");
        assert_eq!(
            (blank.header_line, blank.headers.len(), blank.rows.len()),
            (3, 2, 1)
        );
        let title = seen("Calves of 2025,,\n,,\nTag,Sex,Birth date\n1,bull,2025-03-01\n");
        assert_eq!((title.header_line, title.headers.len()), (3, 3));
        let unknown = seen("x1,x2\n1,2\n");
        assert_eq!(unknown.header_line, 1);
        assert_eq!(seen("tag,sex,\n1,bull,\n").headers.len(), 2);
    }

    #[test]
    fn other_files_are_refused_with_what_to_do() {
        for (bytes, code) in [
            (&b""[..], "import.file.empty"),
            (b" \n\n", "import.file.empty"),
            (b"PK\x03\x04rest", "import.file.spreadsheet"),
            (b"tag\0\x01\x02", "import.file.other"),
        ] {
            let refused = sniff(bytes, true, None, Rules::Second).expect_err("not a table");
            assert_eq!(refused.code(), code);
            assert!(!refused.hint().is_empty());
        }
    }
}
