//! What is doubtful about an entry before it is made.
//!
//! Enters: an entry. Leaves: sentences to ask about, once; and, when a weight would be replaced, the old and the new
//! one in words, and the entry that keeps both.
//! Always true: the rules are those of `check`: the entry is made on a copy of the book and looked over; other animals
//! are named, not the lines of a file.
//! Never: changes the book.

use super::Task;
use super::entry::Entry;
use crate::animals::plain::plain;
use crate::animals::{self, Among, Deed, Found};
use crate::check::code::Code;
use crate::check::{Finding, check};
use crate::desk::Desk;
use crate::error::Error;
use crate::note::{Note, Severity};
use crate::results::Results;
use crate::sheet::apply::apply;
use crate::sheet::column::Value;
use crate::sheet::resolve::resolve;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// What is to be asked before an entry is made.
#[derive(Clone, Debug, Default)]
pub struct Doubts {
    /// What is unlikely, twice, or written over.
    pub sentences: Vec<String>,
    /// The weight on record that would be replaced.
    pub replaced: Option<Replaced>,
}

impl Doubts {
    /// Whether there is nothing to ask.
    pub fn is_empty(&self) -> bool {
        self.sentences.is_empty()
    }
}

/// A weight on record that an entry would replace.
#[derive(Clone, Debug)]
pub struct Replaced {
    /// What is said yes to: `replace 455 lb of 2026-10-13 by 519 lb`.
    pub deed: String,
    /// The entry that keeps both, with its words: the new weight as another weighing, when it is of another day.
    pub keep_both: Option<(String, Entry)>,
}

/// Animals that are named in one sentence.
const MOST_NAMED: usize = 3;

impl Desk {
    /// What is unlikely, twice, or written over.
    ///
    /// # Errors
    /// Those of [`Desk::pad_command`], and `sheet.*` when the entry would be refused.
    pub fn pad_doubts(&self, entry: &Entry) -> Result<Doubts, Error> {
        let command = resolve(self.book(), self.pad_command(entry)?, crate::desk::computed)?;
        let mut book = self.book().clone();
        let _way_back = apply(&mut book, command)?;
        let sheet = entry.task.sheet();
        let row = match (entry.task, entry.row) {
            (Task::Weaning | Task::Birth | Task::Yearling, Some(row)) => row,
            _ => u32::try_from(book.sheet(sheet).n_rows().saturating_sub(1)).unwrap_or(u32::MAX),
        };
        let (mut sentences, replaced) = match self.written_over(entry, &book, row) {
            Some((sentence, replaced)) => (vec![sentence], Some(replaced)),
            None => (Vec::new(), None),
        };
        sentences.extend(self.tag_on_record(entry, &book, row));
        sentences.extend(self.found(entry, &book, row));
        sentences.extend(self.done_already(entry));
        sentences.extend(result_and_stage(entry, &book, row));
        Ok(Doubts {
            sentences,
            replaced,
        })
    }

    /// What the rules of `check` find in the cells entered, and did not find before.
    fn found(&self, entry: &Entry, book: &Workbook, row: u32) -> Vec<String> {
        let results = Results::recalculate(book);
        let findings = check(book, &results);
        let sheet = entry.task.sheet();
        let entered = |finding: &Finding| {
            finding.sheet == sheet
                && finding.row == row
                && book
                    .sheet(sheet)
                    .columns()
                    .get(usize::from(finding.column))
                    .is_some_and(|column| !entry.text(&column.key).is_empty())
        };
        let before: Vec<Note> = self.findings().notes(self.book(), self.results()).collect();
        (0..)
            .zip(&findings.list)
            .filter(|(_, finding)| finding.code.severity() > Severity::Remark && entered(finding))
            // Said with the animals' names.
            .filter(|(_, finding)| finding.code != Code::TagDuplicate)
            .filter_map(|(at, finding)| {
                let note = findings.note(book, &results, at)?;
                if before.contains(&note) {
                    return None;
                }
                Some(match finding.code {
                    Code::DamCalvedTwice => format!(
                        "Dam {} has another calf: {}.",
                        entry.text("dam"),
                        self.calf_in_words(finding.other)
                    ),
                    _ => note.message,
                })
            })
            .collect()
    }

    /// A calf by its tag and what tells it apart: `217 (steer, born 2026-03-09, dam C8, Creek)`.
    fn calf_in_words(&self, row: u32) -> String {
        let animal = self.animal(Task::Calving, SheetKind::Calves, row);
        let tag = match animal.tag.as_str() {
            "" => "no tag",
            tag => tag,
        };
        format!("{tag} ({})", animal.words)
    }

    /// The weight in the cell that the entry would replace.
    fn written_over(&self, entry: &Entry, book: &Workbook, row: u32) -> Option<(String, Replaced)> {
        let what = match entry.task {
            Task::Weaning => "weaning weight",
            Task::Birth => "birth weight",
            Task::Yearling => "yearling weight",
            Task::Weighing | Task::Calving | Task::Pregnancy => return None,
        };
        let (key, _) = entry.task.columns();
        entry.row?;
        let (old, old_day) = self.written(entry.task, row)?;
        let column = book.sheet(entry.task.sheet()).column(key)?;
        let new = column.shown_value(&column.value(row as usize));
        let new_day = (entry.task != Task::Birth).then(|| entry.day.iso());
        if entry.text(key).is_empty() || (old == new && old_day == new_day) {
            return None;
        }
        let unit = self.book().settings.weight_unit.symbol();
        let of_day = |weight: &str, day: &Option<String>| match day {
            Some(day) => format!("{weight} {unit} of {day}"),
            None => format!("{weight} {unit}"),
        };
        let sentence = format!(
            "Calf {} has a {what} of {} already. {} would replace it.",
            self.calf_in_words(row),
            of_day(&old, &old_day),
            of_day(&new, &new_day)
        );
        let deed = format!(
            "replace {} by {}",
            of_day(&old, &old_day),
            of_day(&new, &new_day.clone().filter(|_| old == new))
        );
        let keep_both = (new_day.is_some() && new_day != old_day).then(|| {
            let one = animals::Animal {
                sheet: SheetKind::Calves,
                row,
            };
            let call = self
                .animals()
                .call(self.book(), one, Among::All, Deed::OnHand, entry.day);
            (
                format!("keep both: {new} {unit} as another weighing"),
                Entry {
                    task: Task::Weighing,
                    row: None,
                    day: entry.day,
                    cells: vec![
                        ("animal".to_owned(), call),
                        ("weight".to_owned(), entry.text(key).to_owned()),
                    ],
                },
            )
        });
        // A calf without a name cannot stand on another sheet.
        let keep_both = keep_both.filter(|(_, entry)| !entry.text("animal").is_empty());
        Some((sentence, Replaced { deed, keep_both }))
    }

    /// Calves that carry the tag of a new one: those born in its year, or any, where that is not known.
    fn tag_on_record(&self, entry: &Entry, book: &Workbook, row: u32) -> Option<String> {
        let tag = plain(entry.text("tag"));
        if tag.is_empty() || !(entry.task == Task::Calving || entry.is_of_unknown_calf()) {
            return None;
        }
        let year = |book: &Workbook, row: u32| {
            let days = book.calves().known("birth_date").days()?;
            days.get(row as usize)?.year()
        };
        let born = year(book, row);
        let calves = self.book().calves();
        let tags = calves.known("tag").texts()?;
        let alike: Vec<String> = (0_u32..)
            .zip(0..calves.n_rows())
            .filter(|&(_, at)| tags.get(at).is_some_and(|other| plain(other) == tag))
            .filter(|&(other, _)| match (born, year(self.book(), other)) {
                (Some(born), Some(other)) => born == other,
                _ => true,
            })
            .map(|(other, at)| {
                let left = self
                    .shown_cell(SheetKind::Calves, "left_on", at)
                    .map(|cell| cell.text)
                    .filter(|text| !text.is_empty());
                match left {
                    Some(left) => format!("{}, left {left}", self.calf_in_words(other)),
                    None => self.calf_in_words(other),
                }
            })
            .collect();
        let more = match alike.len().saturating_sub(MOST_NAMED) {
            0 => String::new(),
            n => format!("; and {n} more"),
        };
        let listed = alike
            .into_iter()
            .take(MOST_NAMED)
            .collect::<Vec<_>>()
            .join("; ");
        (!listed.is_empty()).then(|| {
            let tells = [
                entry.text("sex").to_owned(),
                match entry.text("dam") {
                    "" => String::new(),
                    dam => format!("dam {dam}"),
                },
            ];
            let tells: Vec<String> = tells.into_iter().filter(|text| !text.is_empty()).collect();
            let this = match (entry.task, tells.is_empty()) {
                (Task::Calving, false) => {
                    format!(" This one: born {}, {}.", entry.day.iso(), tells.join(", "))
                }
                (Task::Calving, true) => format!(" This one: born {}.", entry.day.iso()),
                _ => " A row of its own would be made for this one.".to_owned(),
            };
            format!("The tag is on record already: {listed}{more}.{this}")
        })
    }

    /// A check or a weighing of the same animal on the same day.
    fn done_already(&self, entry: &Entry) -> Option<String> {
        let (animal_key, words) = match entry.task {
            Task::Weighing => ("animal", "was weighed"),
            Task::Pregnancy => ("cow", "was checked"),
            _ => return None,
        };
        let animal = entry.text(animal_key);
        let table = self.book().sheet(entry.task.sheet());
        let animals = table.known(animal_key).texts()?;
        let days = table.known("date").days()?;
        let who = |name: &str| {
            let found = self
                .animals()
                .find(self.book(), Among::All, name, Deed::OnHand, entry.day);
            match found {
                Found::One(one) => Some(one),
                _ => None,
            }
        };
        let (name, one) = (plain(animal), who(animal));
        let twice = (0..animals.len())
            .filter(|&row| days.get(row) == Some(&entry.day))
            .filter_map(|row| animals.get(row))
            .any(|other| plain(other) == name || (one.is_some() && who(other) == one));
        twice.then(|| format!("{animal} {words} on this day already."))
    }
}

/// A stage says that she is bred; a result that says otherwise, or none, does not go with it.
fn result_and_stage(entry: &Entry, book: &Workbook, row: u32) -> Option<String> {
    let stage = entry.text("stage");
    if entry.task != Task::Pregnancy || stage.is_empty() {
        return None;
    }
    let cow = entry.text("cow");
    match book
        .sheet(SheetKind::Checks)
        .known("result")
        .value(row as usize)
    {
        Value::Text(result) if result == "open" => Some(format!(
            "{cow} is open, with the stage \"{stage}\". An open cow has no stage: is she bred, or does the stage belong to another cow?"
        )),
        Value::Text(result) if result == "not checked" => Some(format!(
            "{cow} was not checked, with the stage \"{stage}\". Where does the stage come from?"
        )),
        Value::Missing => Some(format!(
            "The stage \"{stage}\" stands without a result. It does not say by itself that {cow} is bred."
        )),
        _ => None,
    }
}
