//! Heifers kept as cows: one act for many, one undo, and their own figures on the cows sheet.

#[path = "common/herd.rs"]
mod herd;

use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;
use herd::{add, cell, day, herd};

#[test]
fn heifers_are_kept_together_and_one_undo_takes_it_back() {
    let mut desk = herd();
    let before = (
        cell(&desk, SheetKind::Calves, 1, "left_because"),
        desk.book().sheet(SheetKind::Cows).n_rows(),
    );
    desk.keep_as_cows(&[1, 0], day(2025, 5, 20))
        .expect("both are heifers");
    assert_eq!(
        desk.history().undo_words(),
        Some("keeping 2 heifers as cows")
    );
    let row = 2;
    for (key, text) in [
        ("tag", "41"),
        ("eid", "999000000000041"),
        ("birth_date", "2024-03-22"),
        ("breed", "Angus"),
        ("sire", "Stone; 44F"),
        ("dam", "17-x"),
        ("came_on", "2025-05-20"),
        ("came_as", "raised"),
    ] {
        assert_eq!(cell(&desk, SheetKind::Cows, row, key), text, "{key}");
    }
    assert_eq!(
        cell(&desk, SheetKind::Calves, 1, "left_because"),
        "moved to cows"
    );
    let card = desk.card(SheetKind::Cows, row).expect("a card");
    assert_eq!(card.same.len(), 1);
    assert!(
        card.as_calf
            .iter()
            .any(|figure| figure.label == "Adjusted 205-day weight"),
        "{:?}",
        card.as_calf
    );
    // She has her own row now; the other 17 is the cow that was there, told apart by the day.
    assert_eq!(
        desk.keep_as_cows(&[1], day(2025, 5, 20))
            .expect_err("she is a cow")
            .code(),
        "sheet.keep.already"
    );
    desk.undo().expect("undo");
    assert_eq!(
        (
            cell(&desk, SheetKind::Calves, 1, "left_because"),
            desk.book().sheet(SheetKind::Cows).n_rows()
        ),
        before
    );
    assert!(desk.card(SheetKind::Calves, 1).expect("a card").can_keep);
}

#[test]
fn a_kept_heifer_has_her_own_figures_on_the_cows_sheet() {
    let mut desk = herd();
    // Of one breed, the two heifers are a group.
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row: 0,
            column: "breed".to_owned(),
            text: "Angus".to_owned(),
        }],
    })
    .expect("a cell");
    desk.keep_as_cows(&[1, 0], day(2025, 5, 20))
        .expect("both are heifers");
    let shown = |desk: &Desk, sheet, key: &str, row| {
        let cell = desk.shown_cell(sheet, key, row).expect("a column");
        cell.text
    };
    for (own, as_calf) in [
        ("own_birth_weight", "birth_weight"),
        ("own_adj_205_weight", "adj_205_weight"),
        ("own_ratio", "ratio"),
        ("own_contemporary_group", "contemporary_group"),
    ] {
        let calf = shown(&desk, SheetKind::Calves, as_calf, 1);
        assert!(!calf.is_empty(), "{as_calf}");
        assert_eq!(shown(&desk, SheetKind::Cows, own, 2), calf, "{own}");
        assert_eq!(
            shown(&desk, SheetKind::Cows, own, 0),
            "",
            "cow 17 was no calf here"
        );
    }
    // Formulas of the cows sheet use them, and a bull's sheet has the same columns.
    desk.change(Command::AddCalculated {
        sheet: SheetKind::Cows,
        label: "Above".to_owned(),
        formula: "own_ratio - 100".to_owned(),
    })
    .expect("a sound formula");
    let ratio: f64 = shown(&desk, SheetKind::Cows, "own_ratio", 2)
        .parse()
        .expect("a number");
    let above = desk
        .shown_cell(SheetKind::Cows, "above", 2)
        .expect("a column")
        .value;
    assert!((above - (ratio - 100.0)).abs() < 0.051);
    assert_eq!(shown(&desk, SheetKind::Bulls, "own_ratio", 0), "");
    // A second calf with her tag and birth day fits as well: then neither is hers.
    add(
        &mut desk,
        SheetKind::Calves,
        &["tag,sex,birth_date", "41,heifer,2024-03-22"],
    );
    desk.change(Command::SetCells {
        sheet: SheetKind::Cows,
        cells: vec![CellEdit {
            row: 2,
            column: "eid".to_owned(),
            text: String::new(),
        }],
    })
    .expect("a cell");
    assert_eq!(shown(&desk, SheetKind::Cows, "own_ratio", 2), "");
}

#[test]
fn only_heifers_that_are_here_are_kept() {
    let mut desk = herd();
    let refused = |desk: &mut Desk, rows: &[u32], on: Day| {
        desk.keep_as_cows(rows, on)
            .expect_err("refused")
            .code()
            .to_owned()
    };
    let on = day(2025, 5, 20);
    assert_eq!(refused(&mut desk, &[], on), "sheet.keep.nobody");
    assert_eq!(refused(&mut desk, &[1, 2], on), "sheet.keep.heifer");
    assert_eq!(refused(&mut desk, &[1], Day::MISSING), "sheet.keep.day");
    assert_eq!(refused(&mut desk, &[1], day(2023, 1, 1)), "sheet.keep.day");
    assert_eq!(refused(&mut desk, &[99], on), "sheet.animal.row");
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row: 1,
            column: "left_because".to_owned(),
            text: "sold".to_owned(),
        }],
    })
    .expect("a reason");
    assert_eq!(refused(&mut desk, &[1], on), "sheet.keep.left");
    assert_eq!(desk.book().sheet(SheetKind::Cows).n_rows(), 1);
}
