//! Words that would tell what stays home.
//!
//! Enters: words the engine made of cells (names of groups, flags, sentences) and the choice. Leaves: the
//! words that may go.
//! Always true: words made of a column that stays home do not go; where they are missed the file says so.
//! Never: changes the words that go.

use std::collections::BTreeSet;

use crate::adjust::marks::Marks;
use crate::group::Group;
use crate::share::choice::Choice;
use crate::sheet::column::{Kind, Value};
use crate::sheet::workbook::Workbook;

/// Said in the place of flags that stay home, where they are the reason that a figure is missing.
pub const REASON_STAYS_HOME: &str = "the reason stays home";

/// What may be said under a choice.
pub struct Guard {
    /// Columns of which nothing stays home.
    open: BTreeSet<String>,
    /// Texts of columns that stay home, with the label of the column.
    private: Vec<(String, String)>,
}

impl Guard {
    /// Collects the words that must not go.
    pub fn new(book: &Workbook, choice: &Choice) -> Guard {
        let mut private = Vec::new();
        for column in book.calves().columns() {
            // A few letters that stand in a sentence by themselves are no telling; words of code lists are
            // the program's own (the balance and the flags are held back by column below).
            if choice.has(&column.key) || matches!(column.kind, Kind::Code(_)) {
                continue;
            }
            let mut texts: Vec<String> = (0..column.len())
                .filter_map(|row| match column.value(row) {
                    Value::Text(text) => Some(text),
                    _ => None,
                })
                .flat_map(|text| {
                    text.split(';')
                        .map(|part| part.trim().to_owned())
                        .collect::<Vec<_>>()
                })
                .filter(|text| text.chars().any(char::is_alphabetic))
                .collect();
            fairpen_stats::in_order::order(&mut texts);
            texts.dedup();
            private.extend(texts.into_iter().map(|text| (text, column.label.clone())));
        }
        Guard {
            open: choice.open_columns(book),
            private,
        }
    }

    fn open(&self, keys: &[&str]) -> bool {
        keys.iter().all(|key| self.open.contains(*key))
    }

    /// The label of a column that stays home and that the words would tell something of.
    pub fn tells(&self, words: &str) -> Option<&str> {
        self.private
            .iter()
            .find(|(text, _)| holds_whole(words, text))
            .map(|(_, label)| label.as_str())
    }

    /// The sentences that may go; those left out are made good by one that says so.
    pub fn sentences(&self, sentences: &[String]) -> Vec<String> {
        let mut may_go: Vec<String> = sentences
            .iter()
            .filter(|sentence| self.tells(sentence).is_none())
            .cloned()
            .collect();
        let mut labels: Vec<&str> = sentences
            .iter()
            .filter_map(|sentence| self.tells(sentence))
            .collect();
        fairpen_stats::in_order::order(&mut labels);
        labels.dedup();
        if !labels.is_empty() {
            may_go.push(format!(
                "{} more {} left out here, since {} would tell what stays home: {}.",
                sentences.len() - may_go.len(),
                if sentences.len() - may_go.len() == 1 {
                    "sentence is"
                } else {
                    "sentences are"
                },
                if sentences.len() - may_go.len() == 1 {
                    "it"
                } else {
                    "they"
                },
                labels.join(", ")
            ));
        }
        may_go
    }

    /// The flags of a calf that may go.
    pub fn flags(&self, marks: Marks, has_figure: bool) -> String {
        let mut words: Vec<&str> = Vec::new();
        let mut held_back = false;
        for (mark, word, _) in Marks::ALL {
            if !marks.has(*mark) {
                continue;
            }
            if self.open(columns_of_mark(*mark)) {
                words.push(word);
            } else {
                held_back = true;
            }
        }
        if held_back && !has_figure {
            words.push(REASON_STAYS_HOME);
        }
        words.join("; ")
    }

    /// What made a group, the parts that may go, with labels.
    pub fn parts(&self, group: &Group) -> Vec<(String, String)> {
        group
            .parts
            .iter()
            .filter_map(|part| {
                let (label, columns) = about_part(part.key)?;
                self.open(columns)
                    .then(|| (label.to_owned(), part.words.clone()))
            })
            .collect()
    }

    /// True when a line of the balance table or a reason may go, by the column before the colon of its key.
    pub fn balance(&self, key: &str) -> bool {
        match key.split(':').next().unwrap_or(key) {
            "season" | "birth_date" => self.open(&["birth_date"]),
            "age_days" | "dam_age_class" | "dam_age" => true,
            // A mean of figures that are worked out; whose calves they are stays with the dams.
            "earlier_ratio" => self.open(&["dam"]),
            // Of the weigh days, which never go.
            "hours_off_feed" | "hours_off_water" | "hauled" | "scale" => false,
            "weighed" => self.open(&["wean_date", "weigh_date"]),
            column => self.open(&[column]),
        }
    }
}

/// The entered columns whose cells a flag repeats. What only says that something is missing repeats none.
fn columns_of_mark(mark: Marks) -> &'static [&'static str] {
    match mark {
        Marks::MALE_UNSPECIFIED => &["sex"],
        Marks::FOSTER | Marks::RAISING_AGE_UNKNOWN | Marks::BOTTLE => &["raised_by"],
        Marks::TWIN => &["born_as"],
        Marks::SET_APART => &["set_apart"],
        Marks::WEIGHED_LATE => &["wean_date", "weigh_date"],
        _ => &[],
    }
}

fn about_part(key: &str) -> Option<(&'static str, &'static [&'static str])> {
    Some(match key {
        "season" => ("Season", &["birth_date"]),
        "sex" => ("Sex", &["sex"]),
        "breed" => ("Breed", &["breed"]),
        "place" => ("Place", &["place"]),
        "management" => ("Management", &["management", "place"]),
        "creep" => ("Creep", &["creep"]),
        "born_as" => ("Born as", &["born_as"]),
        "raised_by" => ("Raised by", &["raised_by"]),
        "births" => ("Births", &["birth_date"]),
        "weighed" => ("Weighed", &["wean_date", "weigh_date"]),
        "weighed_late" => ("Weighed late", &["wean_date", "weigh_date"]),
        "set_apart" => ("Set apart", &["set_apart"]),
        "window" => ("Age window", &[]),
        _ => return None,
    })
}

/// True when `text` stands in `words` with no letter or digit next to it.
fn holds_whole(words: &str, text: &str) -> bool {
    let joins = |ch: Option<char>| ch.is_some_and(char::is_alphanumeric);
    words.match_indices(text).any(|(at, found)| {
        !joins(words[..at].chars().next_back()) && !joins(words[at + found.len()..].chars().next())
    })
}

#[cfg(test)]
mod tests {
    use super::holds_whole;

    #[test]
    fn a_name_counts_only_as_a_whole_word() {
        assert!(holds_whole("Every calf by 17D was in Pen 1.", "17D"));
        assert!(!holds_whole("Every calf by 17Doe was in Pen 1.", "17D"));
        assert!(holds_whole("Größe", "Größe"));
        assert!(!holds_whole("no such thing", "uc"));
    }
}
