//! The working behind each figure: what it says, and that it says the figure itself.

use fairpen_engine::results::{ResultColumn, Results};
use fairpen_engine::share::working::{Working, working};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_engine::sheet::write::MINUS;
use fairpen_tests::books::{calves, fill, folder};
use fairpen_tests::reference::repository;

fn of(book: &Workbook, row: usize, column: ResultColumn) -> Working {
    working(book, &Results::recalculate(book), row, column).expect("a row of the sheet")
}

/// 512 lb at 215 days, 80 lb at birth, a steer of a dam of 2 years: (512 - 80) / 215 x 205 + 80 + 60
/// = 551.9 lb, by hand.
fn one_steer() -> Workbook {
    calves(
        "tag,sex,birth_date,birth_weight,dam,dam_age,wean_date,wean_weight
         4017,steer,2026-03-01,80,C1,2,2026-10-02,512",
    )
}

#[test]
fn an_adjusted_weight_shows_its_formula_with_the_numbers_put_in() {
    let working = of(&one_steer(), 0, ResultColumn::Adj205Weight);
    assert_eq!(working.title, "Adjusted 205-day weight of 4017");
    assert_eq!(working.result, "551.9 lb");
    assert_eq!(
        working.with_numbers,
        "(512 − 80) / 215 x 205 + 80 + 60 = 551.9 lb"
    );
    assert!(
        working
            .source
            .contains("60 lb for a steer of a dam of class 2")
    );
    assert_eq!(
        working.would_change.last().map(String::as_str),
        Some("One lb more at weaning would add 0.95 lb.")
    );
    let weight = &working.inputs[0];
    assert_eq!(
        (weight.value.as_str(), &weight.cell),
        (
            "512 lb",
            &Some(("calves".to_owned(), 0, "wean_weight".to_owned()))
        )
    );
}

#[test]
fn kilograms_are_said_in_kilograms() {
    let mut book = one_steer();
    book.settings.weight_unit = WeightUnit::Kilogram;
    let working = of(&book, 0, ResultColumn::Adj205Weight);
    // 60 lb are 27.2 kg: (512 - 80) / 215 x 205 + 80 + 27.2 = 519.1 kg.
    assert_eq!(working.result, "519.1 kg");
    assert_eq!(
        working.with_numbers,
        "(512 − 80) / 215 x 205 + 80 + 27.2 = 519.1 kg"
    );
}

#[test]
fn the_age_of_a_dam_names_the_cell_it_comes_from() {
    let mut book = one_steer();
    fill(
        &mut book,
        SheetKind::Cows,
        "tag,birth_date\nC9,2020-01-01\nC1,2022-03-01",
    );
    let working = of(&book, 0, ResultColumn::DamAgeDays);
    assert_eq!(working.with_numbers, "2026-03-01 − 2022-03-01 = 1461 days");
    assert!(working.inputs.iter().any(|input| input.cell
        == Some(("cows".to_owned(), 1, "birth_date".to_owned()))
        && input.value == "2022-03-01"));
}

#[test]
fn a_missing_figure_says_why_and_what_would_give_it() {
    let book = calves(
        "tag,sex,birth_date,wean_date,wean_weight
         1,steer,2026-03-01,2026-06-01,300
         2,,2026-03-01,2026-10-01,500
         3,steer,2026-03-01,2026-10-01,500",
    );
    let young = of(&book, 0, ResultColumn::Adj205Weight);
    assert!(
        young
            .result
            .starts_with("None. Weighed younger than the age window"),
        "{young:?}"
    );
    assert!(young.with_numbers.is_empty());
    let no_sex = of(&book, 1, ResultColumn::Adj205Weight);
    assert!(
        no_sex
            .would_change
            .iter()
            .any(|words| words.contains("bull, steer or heifer"))
    );
    let alone = of(&book, 2, ResultColumn::Ratio);
    assert_eq!(
        alone.result,
        "None. Alone in its group, so there is no ratio."
    );
}

#[test]
fn a_ratio_names_mean_and_members() {
    let book = calves(
        "tag,sex,birth_date,birth_weight,dam_age,wean_date,wean_weight,sire
         1,steer,2026-03-01,80,5,2026-09-22,500,A
         2,steer,2026-03-01,80,5,2026-09-22,540,B",
    );
    let working = of(&book, 1, ResultColumn::Ratio);
    assert_eq!(working.with_numbers, "100 x 540 / 520 = 103.8");
    assert!(working.inputs.iter().any(|input| input.value == "2 calves"));
    assert!(working.inputs.iter().any(|input| input.value == "520 lb"));
    assert_eq!(of(&book, 1, ResultColumn::RankInGroup).result, "1 of 2");
    assert_eq!(
        of(&book, 0, ResultColumn::RankInGroup).with_numbers,
        "1 + 1 = 2"
    );
}

/// Every figure of two books: a working exists, ends in the figure's own number, and reads plainly.
#[test]
fn every_figure_of_the_sample_books_has_its_working() {
    for name in ["two-barns", "trouble"] {
        let book = folder(&repository("sample-books").join(name));
        let results = Results::recalculate(&book);
        for row in 0..book.calves().n_rows() {
            for column in ResultColumn::ALL {
                let working = working(&book, &results, row, column).expect("a row of the sheet");
                let value = column.value(&book, &results, row);
                let at = format!("{name} row {row} {}: {working:?}", column.key());
                assert_eq!(working.column, column.key());
                assert!(
                    !working.result.is_empty() && !working.formula.is_empty(),
                    "{at}"
                );
                match value {
                    Value::Missing if column == ResultColumn::Flags => {}
                    Value::Missing => {
                        assert!(working.result.starts_with("None"), "{at}");
                        assert!(working.with_numbers.is_empty(), "{at}");
                    }
                    Value::Text(text) => assert_eq!(working.result, text, "{at}"),
                    Value::Number(number) => {
                        let said: f64 = working
                            .result
                            .split(' ')
                            .next()
                            .and_then(|word| word.replace(MINUS, "-").parse().ok())
                            .unwrap_or_else(|| panic!("{at}"));
                        assert!((said - number).abs() <= 0.0501, "{at}: {number}");
                        assert!(
                            working
                                .with_numbers
                                .contains(working.result.split(" of ").next().expect("a word")),
                            "{at}"
                        );
                    }
                    other => panic!("{at}: {other:?}"),
                }
            }
        }
        assert!(working(&book, &results, book.calves().n_rows(), ResultColumn::Ratio).is_none());
    }
}
