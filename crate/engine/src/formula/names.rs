//! What there is to name in a formula, and what it holds.
//!
//! Enters: the sheets and columns of a book. Leaves: what check and completion need to know of them.
//! Always true: a column is named by its key.
//! Never: holds a value.

/// What numbers stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Numbers {
    /// Plain numbers.
    Plain,
    /// Dates.
    Dates,
}

/// What a column or a part of a formula may hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Holds {
    /// Numbers, and of which kind.
    pub numbers: Option<Numbers>,
    /// Texts.
    pub texts: bool,
    /// TRUE and FALSE.
    pub logicals: bool,
}

impl Holds {
    /// Plain numbers.
    pub const NUMBERS: Holds = Holds {
        numbers: Some(Numbers::Plain),
        texts: false,
        logicals: false,
    };
    /// Dates.
    pub const DATES: Holds = Holds {
        numbers: Some(Numbers::Dates),
        ..Holds::NUMBERS
    };
    /// Texts.
    pub const TEXTS: Holds = Holds {
        numbers: None,
        texts: true,
        logicals: false,
    };
    /// TRUE and FALSE.
    pub const LOGICALS: Holds = Holds {
        numbers: None,
        texts: false,
        logicals: true,
    };

    /// One or the other; dates and plain numbers together are plain numbers.
    pub fn or(self, other: Holds) -> Holds {
        Holds {
            numbers: match (self.numbers, other.numbers) {
                (None, numbers) | (numbers, None) => numbers,
                (Some(Numbers::Dates), Some(Numbers::Dates)) => Some(Numbers::Dates),
                _ => Some(Numbers::Plain),
            },
            texts: self.texts || other.texts,
            logicals: self.logicals || other.logicals,
        }
    }
}

/// What is known of a column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ColumnAbout {
    /// Its key.
    pub key: String,
    /// What people read on top.
    pub label: String,
    /// One sentence on it; may be empty.
    pub help: String,
    /// What it holds.
    pub holds: Holds,
    /// Holds only a few words, none of which reads as a number.
    pub words: bool,
    /// In how many rows nothing stands.
    pub n_blank: usize,
}

/// What there is to name.
pub trait Names {
    /// The sheets.
    fn sheets(&self) -> Vec<String>;

    /// The columns of a sheet, in the order in which they are shown; none when there is no such sheet.
    fn columns(&self, sheet: &str) -> Vec<ColumnAbout>;

    /// A column of a sheet.
    fn column(&self, sheet: &str, key: &str) -> Option<ColumnAbout> {
        self.columns(sheet)
            .into_iter()
            .find(|column| column.key == key)
    }
}

/// The name most like another, when it is like it at all.
pub fn nearest<'n>(name: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let name = name.to_lowercase();
    let far = name.chars().count() / 3 + 1;
    names
        .map(|other| (distance(&name, &other.to_lowercase()), other))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, other)| other)
}

/// How many letters must be put in, taken out or changed (the distance of V. Levenshtein, 1965).
fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().take(80).collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (above, letter) in one.chars().take(80).enumerate() {
        let mut corner = row[0];
        row[0] = above + 1;
        for (at, &across) in other.iter().enumerate() {
            let kept = corner + usize::from(letter != across);
            corner = row[at + 1];
            row[at + 1] = kept.min(corner + 1).min(row[at] + 1);
        }
    }
    row[other.len()]
}
