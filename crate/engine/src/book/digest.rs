//! The name under which an imported file is kept: a digest of its bytes.
//!
//! Enters: bytes in chunks. Leaves: SHA-256 in hexadecimal (FIPS 180-4).
//! Always true: the same bytes give the same name on every machine.
//! Never: keeps the bytes.

use sha2::{Digest as _, Sha256};

/// A digest under way.
#[derive(Clone, Default)]
pub struct Digest(Sha256);

impl Digest {
    /// Nothing read yet.
    pub fn new() -> Digest {
        Digest::default()
    }

    /// Takes the next bytes.
    pub fn push(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// 64 hexadecimal digits.
    pub fn finish(self) -> String {
        self.0
            .finalize()
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }

    /// The digest of bytes at hand.
    pub fn of(bytes: &[u8]) -> String {
        let mut digest = Digest::new();
        digest.push(bytes);
        digest.finish()
    }
}

/// Whether a text has the form of a digest: 64 hexadecimal digits in lower case.
pub fn is_digest(text: &str) -> bool {
    text.len() == 64
        && text
            .bytes()
            .all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The one-block message "abc" of the standard's examples (NIST, FIPS 180-4, SHA-256 example).
    #[test]
    fn agrees_with_the_standards_example() {
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Digest::of(b"abc"), expected);
        assert!(is_digest(expected));
        assert!(!is_digest(&expected[1..]) && !is_digest(&expected.to_uppercase()));
        let mut in_parts = Digest::new();
        in_parts.push(b"a");
        in_parts.push(b"bc");
        assert_eq!(in_parts.finish(), expected);
    }
}
