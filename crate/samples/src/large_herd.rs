//! A herd of any size for measuring speed, as one CSV file of calves.
//!
//! Enters: a number of rows, a seed. Leaves: the file's bytes, about 64 a row. Always true: ISO dates; 1 in
//! 100 of each weight is blank; a calf in a place is weaned on that place's day, at 165 to 245 days of age,
//! so that place and sex alone make the contemporary groups: 6,000 of them in 1,000,000 rows. Never: sorted
//! by place; neighbours in the file are strangers, as in a file gathered from many herds.

use std::io::{self, Write};

use chrono::{Days, NaiveDate};

use crate::draw::Draws;

/// Rows for each place: with three sexes, 6,000 groups in 1,000,000 rows.
const ROWS_PER_PLACE: u32 = 500;
const SEXES: [(&str, i64); 3] = [("bull", 30), ("heifer", -25), ("steer", 10)];

/// Number of places of a herd of `n_rows` calves.
pub fn n_places(n_rows: u32) -> u32 {
    n_rows.div_ceil(ROWS_PER_PLACE)
}

/// Writes the herd.
///
/// # Errors
/// Those of `out`.
pub fn write(out: &mut impl Write, n_rows: u32, seed: u64) -> io::Result<()> {
    let mut draws = Draws::new(seed, 0);
    let first_weaning = NaiveDate::from_ymd_opt(2026, 9, 21).expect("a day of the calendar");
    writeln!(
        out,
        "tag,birth_date,sex,birth_weight,dam_age,sire,place,management,wean_date,wean_weight"
    )?;
    let n_places = n_places(n_rows);
    for row in 0..n_rows {
        let place = draws.below(n_places);
        let (sex, extra) = *draws.choose(&SEXES);
        let weaned = first_weaning + Days::new(u64::from(place % 21));
        let age = draws.between(165, 245);
        let born = weaned - Days::new(age.unsigned_abs());
        let birth_weight = draws.between(60, 98);
        let dam_age = draws.between(2, 12);
        let gain_hundredths = draws.between(190, 275);
        let wean_weight = birth_weight + age * gain_hundredths / 100 + extra;
        let sire = draws.below(4000);
        write!(out, "C{row:07},{born},{sex},")?;
        if draws.below(100) > 0 {
            write!(out, "{birth_weight}")?;
        }
        let management = if place.is_multiple_of(3) {
            "barn"
        } else {
            "pasture"
        };
        write!(
            out,
            ",{dam_age},S{sire:04},P{place:04},{management},{weaned},"
        )?;
        if draws.below(100) > 0 {
            write!(out, "{wean_weight}")?;
        }
        writeln!(out)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::write;

    #[test]
    fn the_same_seed_gives_the_same_file_with_some_weights_blank() {
        let file = |seed| {
            let mut bytes = Vec::new();
            write(&mut bytes, 2_000, seed).expect("memory takes it");
            String::from_utf8(bytes).expect("plain letters")
        };
        assert_eq!(file(7), file(7));
        assert_ne!(file(7), file(8));
        let blank = file(7).lines().filter(|line| line.ends_with(',')).count();
        assert!((5..60).contains(&blank), "{blank}");
    }
}
