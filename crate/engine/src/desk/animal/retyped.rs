//! A tag or electronic ID that is typed over while other rows name it.
//!
//! Enters: a row, its column, what is typed. Leaves: who names the animal by what stands there now.
//! Always true: a row is counted only when its name is the one typed over and stands for exactly this animal; case and
//! spaces do not make another name.
//! Never: changes a name; giving a new one from a day on is `retag`.

use super::card::rows_naming_as;
use super::retag::NameKind;
use crate::animals::Animal;
use crate::animals::links::{StandsFor, columns_of};
use crate::animals::plain::name_form;
use crate::desk::Desk;
use crate::note::counted;
use crate::sheet::schema::SheetKind;

/// Who names an animal by the name that would go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedBy {
    /// The animal: `Cow 17`.
    pub title: String,
    /// The name that stands there now.
    pub name: String,
    /// How many rows name it so.
    pub n: usize,
    /// Where, in words: `5 rows of Calves (Dam), 2 rows of Weights (Animal)`.
    pub words: String,
}

impl Desk {
    /// Who names the animal of a row by the name that `text` is typed over; `None` where nobody does, or where the name
    /// stays the same.
    pub fn named_by(
        &self,
        sheet: SheetKind,
        row: u32,
        what: NameKind,
        text: &str,
    ) -> Option<NamedBy> {
        let name = self.raw_cell(sheet, what.key(), row as usize);
        if name.trim().is_empty() || name_form(&name) == name_form(text) {
            return None;
        }
        let me = Animal { sheet, row };
        let mut said: Vec<String> = Vec::new();
        let mut n = 0;
        for by in SheetKind::ALL {
            let table = self.book().sheet(by);
            for (key, stands_for) in columns_of(by).filter(|_| table.n_rows() > 0) {
                let StandsFor::Animal(among, deed) = stands_for else {
                    continue;
                };
                if !among.sheets().contains(&sheet) {
                    continue;
                }
                let lookup = self.animals().among(self.book(), among);
                let rows = rows_naming_as(&lookup, table, key, deed, me, &name);
                if !rows.is_empty() {
                    n += rows.len();
                    let label = by.column(key).map_or(key, |known| known.label);
                    said.push(format!(
                        "{} of {} ({label})",
                        counted(rows.len(), "row"),
                        by.label()
                    ));
                }
            }
        }
        (n > 0).then(|| NamedBy {
            title: self.title_of(sheet, row),
            name,
            n,
            words: said.join(", "),
        })
    }
}
