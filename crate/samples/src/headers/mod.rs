//! Small files of invented calves in the plain styles other people give their columns.
//!
//! Enters: nothing but seeds. Leaves: the CSV files of `tests/suite/import/headers/`. Always true:
//! every name is built from plain trade words. Never: the column names of any program's export.

mod field;
mod herd;
mod styles;

use crate::calf::day;
use crate::draw::Draws;
use crate::table::{Table, WrittenFile};

/// Every file in other people's header styles.
pub fn files() -> Vec<WrittenFile> {
    styles::STYLES
        .iter()
        .enumerate()
        .map(|(index, style)| {
            let stream = u64::try_from(index).expect("there are few styles");
            // A weaning day that reads two ways by itself (10/2) in every other file: the file's
            // other dates settle it.
            let weaned = if index % 2 == 0 {
                day(2025, 10, 2)
            } else {
                day(2025, 9, 24)
            };
            let calves = herd::calves(style.calves, weaned, &mut Draws::new(herd::SEED, stream));
            let mut table = Table::new(&style.columns.map_names());
            for calf in &calves {
                table.push(
                    style
                        .columns
                        .0
                        .iter()
                        .map(|(_, field)| field::cell(calf, *field, &style.spelling))
                        .collect(),
                );
            }
            WrittenFile {
                path: format!("headers/{}.csv", style.name),
                bytes: table.bytes(style.layout),
            }
        })
        .collect()
}
