//! Fingerprints of a file.
//!
//! Enters: a payload. Leaves: SHA-256 (FIPS 180-4, the sha2 crate), hexadecimal.
//! Always true: the digest of the inputs is over a written-out form that any program can make again
//! (`docs/results-file.md`): lines that end in a line feed, fields with tabs between them, and `\\`, `\t`,
//! `\n`, `\r` in a field written so.
//! Never: covers a cell that is not in the file; a short column could be guessed from such a digest.

use super::shown::CALCULATED;
use std::fmt::Write;

use sha2::{Digest, Sha256};

use super::payload::{Cell, DigestRecord, Payload};

/// Both digests of a payload.
pub fn of(payload: &Payload) -> DigestRecord {
    let mut bare = payload.clone();
    bare.digest = DigestRecord::default();
    DigestRecord {
        inputs: hexadecimal(inputs(payload).as_bytes()),
        contents: hexadecimal(bare.to_json().as_bytes()),
    }
}

/// The written-out form of the settings and the entered cells.
pub fn inputs(payload: &Payload) -> String {
    let settings = &payload.settings;
    let mut text = String::new();
    let mut line = |fields: &[&str]| {
        for (at, field) in fields.iter().enumerate() {
            if at > 0 {
                text.push('\t');
            }
            for ch in field.chars() {
                match ch {
                    '\\' => text.push_str("\\\\"),
                    '\t' => text.push_str("\\t"),
                    '\n' => text.push_str("\\n"),
                    '\r' => text.push_str("\\r"),
                    ch => text.push(ch),
                }
            }
        }
        text.push('\n');
    };
    line(&["fairpen-inputs", "1"]);
    for (key, value) in [
        ("weight_unit", payload.weight_unit.clone()),
        ("window_from_days", settings.window_from_days.to_string()),
        ("window_to_days", settings.window_to_days.to_string()),
        ("outside_window", settings.outside_window.clone()),
        ("standard_age_days", settings.standard_age_days.to_string()),
        (
            "standard_birth_weight_male_lb",
            settings.standard_birth_weight_male_lb.to_string(),
        ),
        (
            "standard_birth_weight_female_lb",
            settings.standard_birth_weight_female_lb.to_string(),
        ),
        (
            "weighed_after_weaning_days",
            settings.weighed_after_weaning_days.to_string(),
        ),
        ("birth_window_days", settings.birth_window_days.to_string()),
        ("weigh_window_days", settings.weigh_window_days.to_string()),
        ("confidence", settings.confidence.to_string()),
    ] {
        line(&["setting", key, &value]);
    }
    for (name, month, day) in &settings.seasons {
        line(&["season", name, &month.to_string(), &day.to_string()]);
    }
    for class in &settings.factors.classes {
        line(&[
            "factor",
            &class.name,
            &class.from_days.to_string(),
            &class.to_days.to_string(),
            &class.birth_lb.to_string(),
            &class.weaning_male_lb.to_string(),
            &class.weaning_female_lb.to_string(),
        ]);
    }
    for (name, kind) in &payload.place_kinds {
        line(&["place", name, kind]);
    }
    for (row, days) in &payload.raising_ages {
        line(&["raising_age", &row.to_string(), &days.to_string()]);
    }
    for column in payload
        .columns
        .iter()
        .filter(|column| column.origin != "engine" && column.origin != CALCULATED)
    {
        line(&["column", &column.key, &column.kind]);
        for cell in &column.cells {
            match cell {
                Cell::Missing => line(&["missing"]),
                Cell::Number(number) => line(&["number", &number.to_string()]),
                Cell::Text(words) => line(&["text", words]),
                Cell::Unreadable { unreadable } => line(&["unreadable", unreadable]),
            }
        }
    }
    text
}

fn hexadecimal(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .fold(String::with_capacity(64), |mut text, byte| {
            write!(text, "{byte:02x}").expect("a String takes every text");
            text
        })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_digest_is_sha_256() {
        // FIPS 180-4, example of the one-block message "abc".
        assert_eq!(
            super::hexadecimal(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
