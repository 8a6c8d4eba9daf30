//! Text that a spreadsheet could run as a formula, made harmless on the way out.
//!
//! Enters: the text of a cell of an exported CSV file. Leaves: the same text, with an apostrophe in front
//! where a spreadsheet could take it for a formula.
//! Always true: a guarded text keeps every character it had, after one apostrophe; text that is a plain
//! number and nothing more stays as it is, since a number runs nothing and a tag like `-12` must still match.
//! Never: touches numbers and dates the engine wrote itself, or what is inside a book.
//!
//! The practice: OWASP Application Security Verification Standard 5.0, requirement 1.2.10 (a single quote
//! before a field whose first character is `=`, `+`, `-`, `@`, tab or null), and OWASP, "CSV Injection"
//! (carriage return, line feed, and the full-width forms of the four signs). The apostrophe is chosen over
//! a leading tab or blank because it can be seen and taken off again; a tab is itself on the list.

use std::borrow::Cow;

/// The text as it may stand in a CSV file that a spreadsheet opens.
pub fn guard_formula(text: &str) -> Cow<'_, str> {
    if could_run(text) && !is_plain_number(text) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// True when a spreadsheet could take the text for a formula. Blanks and invisible characters in front do
/// not hide a sign: some programs trim them before they look.
fn could_run(text: &str) -> bool {
    if matches!(
        text.as_bytes().first(),
        Some(b'0'..=b'9' | b'A'..=b'Z' | b'a'..=b'z')
    ) {
        return false;
    }
    for ch in text.chars() {
        match ch {
            '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠' => return true,
            '\t' | '\r' | '\n' | '\0' => return true,
            _ if ch.is_whitespace() || ch.is_control() => {}
            // Zero-width and direction marks, soft hyphen, byte-order mark.
            '\u{ad}'
            | '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{2064}'
            | '\u{2066}'..='\u{2069}'
            | '\u{feff}' => {}
            _ => return false,
        }
    }
    false
}

/// One sign, digits, at most one decimal point: `-12`, `+4`, `-0.5`.
fn is_plain_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, "0"));
    let all_digits =
        |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    all_digits(whole) && all_digits(fraction)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn check(text: &str, expected: &str) {
        assert_eq!(guard_formula(text), expected, "{text:?}");
    }

    #[test]
    fn what_could_run_gets_an_apostrophe() {
        check("=1+1", "'=1+1");
        check(
            "=HYPERLINK(\"http://example.org\")",
            "'=HYPERLINK(\"http://example.org\")",
        );
        check("@SUM(A1)", "'@SUM(A1)");
        check("+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0");
        check("-2+3", "'-2+3");
        check("- twin of 4012", "'- twin of 4012");
        check("\t=1", "'\t=1");
        check("\r=1", "'\r=1");
        check("  =1", "'  =1");
        check("\u{feff}=1", "'\u{feff}=1");
        check("＝1", "'＝1");
    }

    #[test]
    fn what_cannot_run_stays() {
        for text in [
            "",
            "4017",
            "007",
            "17D;41C",
            "Angus x Hereford",
            "2026-03-14",
            "'quoted",
            "(left eye)",
            "a=b",
        ] {
            check(text, text);
        }
    }

    #[test]
    fn a_tag_that_is_a_signed_number_stays_a_tag() {
        for tag in ["-12", "+4", "-0.5"] {
            check(tag, tag);
        }
        check("-12-3", "'-12-3");
        check("-12A", "'-12A");
        check("--12", "'--12");
        check("-", "'-");
        check("-1.2.3", "'-1.2.3");
        check("-1e5", "'-1e5");
    }

    proptest! {
        #[test]
        fn nothing_a_person_wrote_is_lost(text in "\\PC*|[=+@\\t -]{0,4}.*") {
            let guarded = guard_formula(&text);
            prop_assert!(guarded == text || guarded.strip_prefix('\'') == Some(text.as_str()));
            // Once is enough: guarding again changes nothing.
            let again = guard_formula(&guarded);
            prop_assert_eq!(again.as_ref(), guarded.as_ref());
        }
    }
}
