//! How long a recalculation takes: `cargo run --release --example measure_recalculation -- 100000`.

use std::time::Instant;

use fairpen_engine::adjust::adjust;
use fairpen_engine::check::check;
use fairpen_engine::group::group;
use fairpen_engine::results::Results;
use fairpen_engine::sheet::column::Cells;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;

fn main() {
    let n_rows: usize = std::env::args()
        .nth(1)
        .and_then(|text| text.parse().ok())
        .unwrap_or(100_000);
    let book = invented(n_rows);
    for _ in 0..4 {
        let start = Instant::now();
        let mut adjusted = adjust(&book);
        let adjusting = start.elapsed();
        let groups = group(&book, &mut adjusted);
        let grouping = start.elapsed() - adjusting;
        let n_groups = groups.groups.len();
        let results = Results { adjusted, groups };
        let start = Instant::now();
        let findings = check(&book, &results);
        println!(
            "{n_rows} rows: adjust {adjusting:?}, group {grouping:?} ({n_groups} groups), check {:?} ({} findings)",
            start.elapsed(),
            findings.len()
        );
    }
}

/// A plain invented herd: 30 births a place, a few hundred places, ten years.
fn invented(n_rows: usize) -> Workbook {
    let mut book = Workbook::new();
    let table = book.sheet_mut(SheetKind::Calves);
    table.resize(n_rows);
    let day = |row: usize| {
        Day::from_ymd(2015 + (row % 10) as i32, 3, 1)
            .expect("a real day")
            .plus((row * 7 % 60) as i32)
    };
    let mut fill = |key: &str, cell: &dyn Fn(usize) -> String| {
        let column = table.column_mut(key).expect("a known column");
        for row in 0..n_rows {
            let text = cell(row);
            match &mut column.cells {
                Cells::Text(cells) => cells.set(row, &text),
                Cells::Number(cells) => cells[row] = text.parse().unwrap_or(f64::NAN),
                Cells::Code(cells) => cells[row] = text.parse().expect("a position"),
                Cells::Day(cells) => {
                    cells[row] = Day::from_count(text.parse().expect("a count"));
                }
            }
        }
    };
    fill("tag", &|row| format!("{}", 100_000 + row * 7 % n_rows));
    fill("sex", &|row| (row % 3).to_string());
    fill("birth_date", &|row| day(row).count().to_string());
    fill("birth_weight", &|row| (70 + row % 25).to_string());
    fill("dam", &|row| format!("C{}", row));
    fill("dam_age", &|row| (2 + row % 10).to_string());
    fill("sire", &|row| format!("B{}", row % 40));
    fill("place", &|row| format!("Pen {}", row / 3 % 200));
    fill("wean_date", &|row| {
        Day::from_ymd(2015 + (row % 10) as i32, 10, 1)
            .expect("a real day")
            .count()
            .to_string()
    });
    fill("wean_weight", &|row| (430 + row * 13 % 190).to_string());
    book
}
