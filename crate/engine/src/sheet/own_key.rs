//! The key of a column of the person's own, made from its header.
//!
//! Enters: a header and the keys in use. Leaves: a key.
//! Always true: the key is lower_snake_case, never empty, never longer than 64 characters, and stands for
//! no other column of the sheet, no known column and no column the engine makes.
//! Never: changes the header itself, which stays the column's label.

use super::codes::plain_words;
use super::schema::SheetKind;

const LONGEST: usize = 60;

/// A free key for a header in a sheet. `taken` says which further keys are in use (own columns of the
/// sheet, columns the engine makes).
pub fn own_key(sheet: SheetKind, header: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut base = String::new();
    for ch in plain_words(header).chars() {
        if ch.is_alphanumeric() {
            base.push(ch);
        } else if !base.is_empty() && !base.ends_with('_') {
            base.push('_');
        }
        if base.len() >= LONGEST {
            break;
        }
    }
    let base = match base.trim_end_matches('_') {
        "" => "column".to_owned(),
        base => base.to_owned(),
    };
    let in_use = |key: &str| sheet.column(key).is_some() || taken(key);
    if !in_use(&base) {
        return base;
    }
    (2_u32..)
        .map(|number| format!("{base}_{number}"))
        .find(|key| !in_use(key))
        .expect("there are more numbers than columns")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_plain_and_free() {
        let none = |_: &str| false;
        assert_eq!(
            own_key(SheetKind::Calves, "Hip Height (in)", none),
            "hip_height_in"
        );
        assert_eq!(own_key(SheetKind::Calves, "Tag", none), "tag_2");
        assert_eq!(own_key(SheetKind::Calves, "  *** ", none), "column");
        assert_eq!(
            own_key(SheetKind::Calves, "Größe", |key| key == "größe"),
            "größe_2"
        );
    }
}
