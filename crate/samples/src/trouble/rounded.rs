//! `rounded-scale/calves.csv`: weights that are not what a scale read.
//!
//! Enters: the sane rows. Leaves: one file. Always true: every weaning weight ends in 0 or 5, and one
//! pen has one weight for all. Never: any other trouble.

use super::herd;
use crate::calf::COLUMNS;
use crate::table::{Table, WrittenFile};

const PEN_WITH_ONE_WEIGHT: &str = "Pen 3";

/// The file.
pub fn file() -> WrittenFile {
    let mut table = Table::new(&COLUMNS);
    let [place, management, weight, note] =
        ["place", "management", "wean_weight", "note"].map(herd::position);
    for (number, mut cells) in herd::calves(45).into_iter().enumerate() {
        cells.truncate(COLUMNS.len());
        if number % 4 == 3 {
            cells[place] = PEN_WITH_ONE_WEIGHT.to_owned();
            cells[management] = "bedded pen".to_owned();
            cells[weight] = "515".to_owned();
        } else {
            let pounds: i64 = cells[weight].parse().expect("sane rows have whole weights");
            cells[weight] = ((pounds + 2) / 5 * 5).to_string();
        }
        if number == 0 {
            cells[note] = "Invented record".to_owned();
        }
        table.push(cells);
    }
    table.file("rounded-scale/calves.csv")
}
