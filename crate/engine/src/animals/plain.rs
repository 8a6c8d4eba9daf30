//! Names as they are compared.
//!
//! Enters: a tag, an electronic ID or another name as somebody wrote it. Leaves: the form to compare by.
//! Always true: case and spaces do not tell two names apart; zeros in front do.
//! Never: turns a name into a number.

/// A name to compare by: lower case, single spaces. Zeros in front count: 012 and 12 are two tags.
pub fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !plain.is_empty() {
            plain.push(' ');
        }
        plain.extend(word.chars().flat_map(char::to_lowercase));
    }
    plain
}

/// An electronic ID to compare by: its digits, whatever stands between them.
pub fn plain_electronic_id(text: &str) -> String {
    let digits: String = text
        .chars()
        .filter(|ch| !(ch.is_whitespace() || matches!(ch, '-' | '_')))
        .collect();
    if digits.bytes().all(|byte| byte.is_ascii_digit()) {
        digits
    } else {
        plain(text)
    }
}

/// Digits of an electronic ID (ISO 11784: three of country or maker, twelve of the animal).
const ELECTRONIC_ID_DIGITS: usize = 15;

/// The one form under which a name of an animal is kept: fifteen digits are an electronic ID, whatever stands
/// between them; anything else is compared as [`plain`] has it, so that tag 17-3 is not tag 173.
pub fn name_form(text: &str) -> String {
    let digits = plain_electronic_id(text);
    let is_id =
        digits.len() == ELECTRONIC_ID_DIGITS && digits.bytes().all(|byte| byte.is_ascii_digit());
    if is_id { digits } else { plain(text) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_fifteen_digits_lose_what_stands_between_them() {
        assert_eq!(name_form("840 003-123456789"), "840003123456789");
        assert_eq!(name_form("17-3"), "17-3");
        assert_eq!(name_form("  B  17 "), "b 17");
        assert_ne!(name_form("012"), name_form("12"));
    }
}
