//! Patterns: `?` is any one character, `*` any number of them, `~` takes the next one as it stands.
//!
//! Enters: a pattern and a text. Leaves: whether, or where, they fit.
//! Always true: case does not matter (the host's choice, OpenFormula 3.4).
//! Never: takes more time than the length of the pattern times that of the text for one place.

/// A pattern, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    parts: Vec<Part>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Part {
    Letter(char),
    AnyOne,
    AnyNumber,
}

/// Letters without regard to case.
pub fn folded(text: &str) -> Vec<char> {
    text.chars().map(small).collect()
}

/// One letter for one letter, so that places stay places.
fn small(letter: char) -> char {
    letter.to_lowercase().next().unwrap_or(letter)
}

/// Whether a text holds anything that makes it a pattern.
pub fn is_pattern(text: &str) -> bool {
    text.contains(['?', '*', '~'])
}

impl Pattern {
    /// Reads a pattern.
    pub fn new(text: &str) -> Pattern {
        let mut parts = Vec::new();
        let mut characters = text.chars().peekable();
        while let Some(character) = characters.next() {
            match character {
                '?' => parts.push(Part::AnyOne),
                '*' => {
                    if parts.last() != Some(&Part::AnyNumber) {
                        parts.push(Part::AnyNumber);
                    }
                }
                '~' if matches!(characters.peek(), Some('?' | '*' | '~')) => {
                    parts.extend(characters.next().map(Part::Letter));
                }
                _ => parts.push(Part::Letter(small(character))),
            }
        }
        Pattern { parts }
    }

    /// Whether the whole text fits.
    pub fn fits(&self, text: &str) -> bool {
        fits(&self.parts, &folded(text))
    }

    /// The first place at or after `from`, counted in characters from 0, where the pattern fits.
    pub fn find(&self, text: &[char], from: usize) -> Option<usize> {
        let star = self
            .parts
            .iter()
            .position(|part| *part == Part::AnyNumber)
            .unwrap_or(self.parts.len());
        let (head, tail) = self.parts.split_at(star);
        let mut tail = tail.to_vec();
        if tail.last() != Some(&Part::AnyNumber) {
            tail.push(Part::AnyNumber);
        }
        let begins = |rest: &[char]| {
            head.len() <= rest.len()
                && head
                    .iter()
                    .zip(rest)
                    .all(|(part, letter)| *part == Part::AnyOne || *part == Part::Letter(*letter))
        };
        let start = (from..=text.len()).find(|&start| begins(&text[start..]))?;
        // What follows the first star is not there for a later start if it is not for this one.
        fits(&tail, &text[start + head.len()..]).then_some(start)
    }
}

fn fits(parts: &[Part], text: &[char]) -> bool {
    let (mut part, mut at) = (0, 0);
    // Where to go on when a try fails: after the last `*`, one character further.
    let mut again: Option<(usize, usize)> = None;
    while at < text.len() {
        match parts.get(part) {
            Some(Part::AnyNumber) => {
                again = Some((part + 1, at));
                part += 1;
                continue;
            }
            Some(Part::AnyOne) => {
                part += 1;
                at += 1;
                continue;
            }
            Some(Part::Letter(letter)) if *letter == text[at] => {
                part += 1;
                at += 1;
                continue;
            }
            // Fits already, whatever follows.
            None if parts.last() == Some(&Part::AnyNumber) => return true,
            _ => {}
        }
        let Some((next, from)) = again else {
            return false;
        };
        again = Some((next, from + 1));
        part = next;
        at = from + 1;
    }
    parts[part.min(parts.len())..]
        .iter()
        .all(|part| *part == Part::AnyNumber)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_fit_whole_texts() {
        for (pattern, text, expected) in [
            ("A*", "a101", true),
            ("?1*", "B18", true),
            ("?1*", "C220", false),
            ("tag", "RED tag lost", false),
            ("*tag*", "RED tag lost", true),
            ("a~*b", "a*b", true),
            ("a~*b", "aXb", false),
            ("*a*b", "aab", true),
            ("", "", true),
            ("*", "", true),
            ("", "x", false),
            ("a?", "a", false),
        ] {
            assert_eq!(
                Pattern::new(pattern).fits(text),
                expected,
                "{pattern} {text}"
            );
        }
        assert_eq!(Pattern::new("l?me").find(&folded("so lame"), 0), Some(3));
        assert_eq!(Pattern::new("n").find(&folded("none none"), 1), Some(2));
        assert_eq!(Pattern::new("x*").find(&folded("none"), 0), None);
    }
}
