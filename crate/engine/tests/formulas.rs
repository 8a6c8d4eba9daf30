//! Calculated columns in a book: given, used, taken back, kept, and what goes wrong with them.

use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::view::{ColumnFilter, SortKey, ViewSpec};

const CALVES: SheetKind = SheetKind::Calves;

fn typed(sheet: SheetKind, rows: &[(u32, &str, &str)]) -> Command {
    Command::SetCells {
        sheet,
        cells: rows
            .iter()
            .map(|(row, column, text)| CellEdit {
                row: *row,
                column: (*column).to_owned(),
                text: (*text).to_owned(),
            })
            .collect(),
    }
}

/// Four calves of one group, and two cows.
fn desk() -> Desk {
    let mut desk = Desk::new();
    let mut change = |command| desk.change(command).expect("not refused");
    for (sheet, n_rows) in [(CALVES, 4), (SheetKind::Cows, 2)] {
        change(Command::AddRows { sheet, n_rows });
    }
    change(typed(
        SheetKind::Cows,
        &[
            (0, "tag", "12"),
            (0, "birth_date", "2019-03-01"),
            (1, "tag", "13"),
            (1, "birth_date", "2023-02-10"),
        ],
    ));
    for (row, tag, dam, birth, wean) in [
        (0, "401", "12", "80", "512"),
        (1, "402", "13", "", "540"),
        (2, "403", "99", "90", "abt 500"),
        (3, "404", "", "84", "486"),
    ] {
        change(typed(
            CALVES,
            &[
                (row, "tag", tag),
                (row, "dam", dam),
                (row, "sex", "heifer"),
                (row, "birth_date", "2026-03-01"),
                (row, "birth_weight", birth),
                (row, "wean_date", "2026-09-28"),
                (row, "wean_weight", wean),
            ],
        ));
    }
    desk
}

fn add(desk: &mut Desk, label: &str, formula: &str) {
    desk.change(Command::AddCalculated {
        sheet: CALVES,
        label: label.to_owned(),
        formula: formula.to_owned(),
    })
    .unwrap_or_else(|refusal| panic!("{formula}: {refusal}"));
}

fn shown(desk: &Desk, key: &str) -> Vec<String> {
    (0..desk.book().sheet(CALVES).n_rows())
        .map(|row| {
            desk.shown_cell(CALVES, key, row)
                .expect("a column of the sheet")
                .text
        })
        .collect()
}

fn refused(desk: &mut Desk, command: Command) -> &'static str {
    desk.change(command).expect_err("refused").code()
}

#[test]
fn values_follow_the_cells_they_are_made_of() {
    let mut desk = desk();
    add(&mut desk, "Gain", "wean_weight - birth_weight");
    // A blank counts as 0; a cell that was not understood is no number.
    assert_eq!(shown(&desk, "gain"), ["432", "540", "#VALUE!", "402"]);
    desk.change(typed(CALVES, &[(2, "wean_weight", "500.5")]))
        .expect("not refused");
    assert_eq!(shown(&desk, "gain"), ["432", "540", "410.5", "402"]);
    assert_eq!(desk.raw_cell(CALVES, "gain", 2), "410.5");
}

#[test]
fn the_engines_results_other_sheets_and_other_formulas_can_be_used() {
    let mut desk = desk();
    add(
        &mut desk,
        "Above",
        "adj_205_weight - AVERAGE(adj_205_weight)",
    );
    add(&mut desk, "Twice above", "2 * above");
    add(&mut desk, "Of group", "contemporary_group & \"!\"");
    add(
        &mut desk,
        "Cow born",
        "INDEX('cows'.birth_date; MATCH(dam; 'cows'.tag; 0))",
    );
    add(
        &mut desk,
        "Group mean",
        "AVERAGEIFS(adj_205_weight; contemporary_group; contemporary_group)",
    );
    let number = |key: &str, row| desk.shown_cell(CALVES, key, row).expect("a column").value;
    assert!(number("above", 0).is_finite());
    assert!((number("twice_above", 0) - 2.0 * number("above", 0)).abs() < 1e-9);
    let group = desk
        .shown_cell(CALVES, "contemporary_group", 0)
        .expect("a column")
        .text;
    assert_eq!(shown(&desk, "of_group")[0], format!("{group}!"));
    assert_eq!(
        shown(&desk, "cow_born"),
        ["2019-03-01", "2023-02-10", "#N/A", "#N/A"]
    );
    let about = desk
        .columns(CALVES)
        .into_iter()
        .find(|about| about.key == "cow_born")
        .expect("a column");
    assert_eq!(
        (about.kind, about.origin, about.editable),
        ("date", "calculated", false)
    );
    let ratio = number("ratio", 0);
    let own = 100.0 * number("adj_205_weight", 0) / number("group_mean", 0);
    assert!((ratio - own).abs() < 1e-9, "{ratio} {own}");
}

#[test]
fn what_cannot_work_is_refused_and_changes_nothing() {
    let mut desk = desk();
    add(&mut desk, "One", "wean_weight + 1");
    add(&mut desk, "Two", "one * 2");
    let revision = desk.book().revision();
    let set = |column: &str, formula: &str| Command::SetFormula {
        sheet: CALVES,
        column: column.to_owned(),
        formula: Some(formula.to_owned()),
    };
    for (command, code) in [
        (set("one", "wean_weight +"), "formula.part"),
        (set("one", "wean_wieght"), "formula.column.unknown"),
        (set("one", "two - 1"), "formula.cycle"),
        (set("one", "one"), "formula.cycle"),
        (set("wean_weight", "1"), "sheet.column.known"),
        (set("nothing", "1"), "sheet.column.unknown"),
        (typed(CALVES, &[(0, "one", "5")]), "sheet.column.calculated"),
    ] {
        assert_eq!(refused(&mut desk, command), code);
    }
    let circle = desk.change(set("one", "two - 1")).expect_err("refused");
    assert_eq!(
        circle.message(),
        "The formula would need its own result: One needs Two needs One."
    );
    assert_eq!(desk.book().revision(), revision);
    desk.change(Command::AddColumn {
        sheet: CALVES,
        label: "Frame".to_owned(),
        kind: fairpen_engine::sheet::column::Kind::Text,
    })
    .expect("not refused");
    desk.change(typed(CALVES, &[(1, "frame", "5")]))
        .expect("not refused");
    assert_eq!(
        refused(&mut desk, set("frame", "1")),
        "sheet.formula.not_blank"
    );
}

#[test]
fn a_formula_is_taken_back_and_done_again() {
    let mut desk = desk();
    add(&mut desk, "Gain", "wean_weight - birth_weight");
    let set = |formula: Option<&str>| Command::SetFormula {
        sheet: CALVES,
        column: "gain".to_owned(),
        formula: formula.map(str::to_owned),
    };
    desk.change(set(Some("wean_weight / 2")))
        .expect("not refused");
    assert_eq!(shown(&desk, "gain")[0], "256");
    assert_eq!(
        desk.history().undo_words(),
        Some("changing the formula of Gain")
    );
    desk.undo().expect("not refused");
    assert_eq!(shown(&desk, "gain")[0], "432");
    desk.redo().expect("not refused");
    assert_eq!(shown(&desk, "gain")[0], "256");
    desk.change(set(None)).expect("not refused");
    desk.change(typed(CALVES, &[(0, "gain", "7")]))
        .expect("an own column again");
    for _ in 0..4 {
        desk.undo().expect("not refused");
    }
    assert!(desk.book().sheet(CALVES).column("gain").is_none());
    desk.redo().expect("not refused");
    assert_eq!(shown(&desk, "gain")[0], "432");
}

#[test]
fn the_journal_and_the_saved_book_keep_formulas() {
    let mut desk = desk();
    let mut records = Vec::new();
    for command in [
        Command::AddCalculated {
            sheet: CALVES,
            label: "Gain".to_owned(),
            formula: " wean_weight - birth_weight ".to_owned(),
        },
        Command::SetFormula {
            sheet: CALVES,
            column: "gain".to_owned(),
            formula: Some("ROUND(wean_weight/2.2046; 1)".to_owned()),
        },
    ] {
        records.extend(desk.change(command).expect("not refused"));
    }
    let saved = desk.save().expect("saved");
    let mut opened = Desk::new();
    opened.open(&saved).expect("opened");
    assert_eq!(shown(&opened, "gain"), shown(&desk, "gain"));
    assert_eq!(opened.save().expect("saved"), saved);

    let mut replayed = self::desk();
    let report = replayed.replay(&records);
    assert_eq!(
        (report.n_applied, report.n_set_aside),
        (2, 0),
        "{}",
        report.message
    );
    assert_eq!(shown(&replayed, "gain"), shown(&desk, "gain"));
    replayed.undo().expect("not refused");
    assert_eq!(shown(&replayed, "gain")[0], "432");
}

#[test]
fn calculated_columns_sort_and_filter() {
    let mut desk = desk();
    add(
        &mut desk,
        "Part",
        "IF(tag=\"402\"; \"none\"; wean_weight / 100)",
    );
    assert_eq!(shown(&desk, "part"), ["5.12", "none", "#VALUE!", "4.86"]);
    let order = |desk: &mut Desk, descending| {
        let n = desk.set_view(
            CALVES,
            &ViewSpec {
                sort: vec![SortKey {
                    column: "part".to_owned(),
                    descending,
                }],
                ..ViewSpec::default()
            },
        );
        (0..n)
            .filter_map(|at| desk.row_at(CALVES, at))
            .collect::<Vec<_>>()
    };
    assert_eq!(order(&mut desk, false), [3, 0, 1, 2]);
    assert_eq!(order(&mut desk, true), [2, 1, 0, 3]);
    let n = desk.set_view(
        CALVES,
        &ViewSpec {
            filters: vec![ColumnFilter {
                column: "part".to_owned(),
                values: Some(vec!["#VALUE!".to_owned()]),
                ..ColumnFilter::default()
            }],
            ..ViewSpec::default()
        },
    );
    assert_eq!((n, desk.row_at(CALVES, 0)), (1, Some(2)));
    assert_eq!(desk.values(CALVES, "part").len(), 4);
    let window = desk.window(CALVES, 0, 1, &["part".to_owned()]);
    assert_eq!(window.errors, [true]);
    assert!(desk.remark(CALVES, 2, "part").starts_with("#VALUE!: "));
}

#[test]
fn a_column_that_is_gone_leaves_an_error_and_comes_back() {
    let mut desk = desk();
    desk.change(Command::AddColumn {
        sheet: CALVES,
        label: "Frame".to_owned(),
        kind: fairpen_engine::sheet::column::Kind::Text,
    })
    .expect("not refused");
    add(&mut desk, "More", "LEN(frame) + 1");
    assert_eq!(shown(&desk, "more")[0], "1");
    desk.change(Command::DropColumn {
        sheet: CALVES,
        column: "frame".to_owned(),
    })
    .expect("a blank column may go");
    assert_eq!(shown(&desk, "more")[0], "#NAME?");
    desk.undo().expect("not refused");
    assert_eq!(shown(&desk, "more")[0], "1");
}

#[test]
fn typing_a_formula_is_helped() {
    let mut desk = desk();
    let (troubles, _) = desk.check_formula(CALVES, "", "wean_weight - birth_weight");
    assert_eq!(troubles.len(), 1, "{troubles:?}");
    assert_eq!(
        (troubles[0].code, troubles[0].message.as_str()),
        (
            "formula.blank",
            "Birth weight is blank in 1 row, and counts as 0 there."
        )
    );
    assert_eq!(
        desk.preview_formula(CALVES, "", "birth_date + 205", &[0, 3]),
        ["2026-09-22", "2026-09-22"]
    );
    assert!(
        desk.preview_formula(CALVES, "", "birth_date +", &[0])
            .is_empty()
    );
    let offers = desk.complete_formula(CALVES, "100 * adj_2", 11).offers;
    assert_eq!(offers[0].insert, "adj_205_weight");
    add(&mut desk, "Late", "wean_date");
    let (_, gives) = desk.check_formula(CALVES, "", "late + 1");
    assert_eq!(gives, fairpen_engine::formula::names::Holds::DATES);
}

#[test]
fn the_working_shows_this_rows_values() {
    use fairpen_engine::share::working::calculated::calculated;
    let mut desk = desk();
    add(
        &mut desk,
        "Part",
        "100 * wean_weight / AVERAGE(birth_weight) - birth_weight",
    );
    let working = calculated(desk.book(), desk.results(), CALVES, 0, "part").expect("a row");
    assert_eq!(
        working.with_numbers,
        format!(
            "100 * 512 / AVERAGE(birth_weight) - 80 = {}",
            shown(&desk, "part")[0]
        )
    );
    let words: Vec<&str> = working
        .inputs
        .iter()
        .map(|input| input.words.as_str())
        .collect();
    assert_eq!(
        words,
        [
            "Weaning weight",
            "Birth weight, the whole column of Calves",
            "Birth weight"
        ]
    );
    let blank = calculated(desk.book(), desk.results(), CALVES, 1, "part").expect("a row");
    assert!(
        blank.with_numbers.contains("(blank)"),
        "{}",
        blank.with_numbers
    );
    assert!(calculated(desk.book(), desk.results(), CALVES, 9, "part").is_none());
}

#[test]
fn a_circle_in_a_book_from_elsewhere_is_an_error_and_not_the_end() {
    let mut desk = desk();
    add(&mut desk, "One", "1");
    add(&mut desk, "Two", "one");
    add(&mut desk, "Three", "two + 1");
    let mut book = desk.book().clone();
    for (key, formula) in [("one", "two"), ("three", "1 +")] {
        let column = book.sheet_mut(CALVES).column_mut(key).expect("a column");
        column.formula = Some(formula.to_owned());
    }
    let results = fairpen_engine::results::Results::recalculate(&book);
    let column = |key: &str| results.calculated.column(CALVES, key).expect("a column");
    use fairpen_engine::formula::error_value::ErrorValue;
    assert_eq!(column("one").error(0), Some(ErrorValue::Reference));
    assert_eq!(column("one").circle, ["One", "Two", "One"]);
    assert_eq!(column("two").error(3), Some(ErrorValue::Reference));
    assert_eq!(column("three").error(0), Some(ErrorValue::Name));
}

#[test]
fn blanks_of_what_is_worked_out_are_counted_and_said() {
    let mut desk = desk();
    // A calf without a weight has no ratio, and would be called light.
    desk.change(Command::Together(vec![Command::AddRows {
        sheet: CALVES,
        n_rows: 1,
    }]))
    .expect("a row");
    let codes = |text: &str| {
        let (troubles, _) = desk.check_formula(CALVES, "", text);
        troubles
            .into_iter()
            .map(|trouble| (trouble.code, trouble.span.start))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        codes("IF(ratio<95;\"cull\";\"keep\")"),
        [("formula.blank", 3)]
    );
    assert_eq!(codes("100 - adj_205_weight"), [("formula.blank", 6)]);
    assert_eq!(codes("IF(ISBLANK(ratio);NA();ratio<95)"), []);
    assert_eq!(
        codes("Weaning weight - Birth weight"),
        [("formula.label", 0)]
    );
    assert_eq!(codes("TODAY() + 1"), [("formula.today", 0)]);
}
