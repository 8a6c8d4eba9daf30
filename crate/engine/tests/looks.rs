//! How sheets look, saved views, and columns of her own: kept, taken back, and never in the way of the records.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::{Deed, FORMULAS, act, desk_with_rows, look, picture, typed};
use fairpen_engine::book::{open, save};
use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::look::{
    ColumnPlace, LONGEST_NAME, Look, LookChange, MOST_BYTES, MOST_VIEWS,
};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::view::{ColumnFilter, SortKey};
use proptest::prelude::*;

const SHEET: SheetKind = SheetKind::Calves;

fn place(column: &str, shown: Option<bool>) -> ColumnPlace {
    ColumnPlace {
        column: column.to_owned(),
        shown,
    }
}

fn columns(places: &[(&str, Option<bool>)]) -> LookChange {
    LookChange {
        columns: Some(
            places
                .iter()
                .map(|(key, shown)| place(key, *shown))
                .collect(),
        ),
        ..LookChange::default()
    }
}

fn set_look(desk: &mut Desk, change: LookChange) -> Result<Vec<u8>, String> {
    desk.change(Command::SetLook {
        sheet: SHEET,
        change: Box::new(change),
        view: None,
    })
    .map_err(|refusal| refusal.code().to_owned())
}

fn keep_view(desk: &mut Desk, name: &str) -> Result<Vec<u8>, String> {
    desk.change(Command::KeepView {
        sheet: SHEET,
        name: name.to_owned(),
    })
    .map_err(|refusal| refusal.code().to_owned())
}

fn names(desk: &Desk) -> Vec<&str> {
    desk.looks(SHEET).views.keys().map(String::as_str).collect()
}

proptest! {
    /// What is kept aside is in the journal and in the saved book, and no step of undo.
    #[test]
    fn what_is_kept_aside_comes_back_and_is_no_step(changes in prop::collection::vec(look(), 1..8)) {
        let mut desk = desk_with_rows();
        let saved = desk.save().expect("there is room");
        let step = desk.history().undo_words().map(str::to_owned);
        let mut records = Vec::new();
        for change in changes {
            let before = picture(desk.book());
            match desk.keep_look(SHEET, change) {
                Ok(record) => records.extend(record),
                Err(_) => prop_assert_eq!(picture(desk.book()), before, "a refusal changed the book"),
            }
        }
        prop_assert_eq!(desk.history().undo_words(), step.as_deref());
        prop_assert_eq!(desk.history().redo_words(), None);

        let mut again = Desk::new();
        again.open(&saved).expect("a saved book opens");
        let report = again.replay(&records);
        prop_assert_eq!(report.n_set_aside, 0, "{}", report.message);
        prop_assert_eq!(picture(again.book()), picture(desk.book()));
        prop_assert_eq!(again.history().undo_words(), None);

        let opened = open::open(&save::save(desk.book()).expect("there is room")).expect("a saved book opens");
        prop_assert_eq!(picture(&opened), picture(desk.book()));
    }

    /// Undo passes over what was kept aside: widths and order of rows stay, the typed cell goes back.
    #[test]
    fn undo_leaves_what_was_kept_aside(text in typed(), px in 60_u16..600) {
        let mut desk = desk_with_rows();
        let before = picture(desk.book());
        let typed = Deed::Type(0, vec![(0, 11, text)]);
        act(&mut desk, &typed).expect("a note can be typed");
        let widths = LookChange {
            widths: Some([("tag".to_owned(), px)].into()),
            ..LookChange::default()
        };
        prop_assert!(!desk.keep_look(SHEET, widths.clone()).expect("a width").is_empty());
        prop_assert!(desk.keep_look(SHEET, widths).expect("the same width").is_empty(), "nothing differs");
        desk.undo().expect("the way back is open");
        prop_assert_eq!(desk.looks(SHEET).present.widths.get("tag"), Some(&px));
        let mut now = picture(desk.book());
        let mut then = before;
        // The line of the sheet itself says its look.
        now.remove(1);
        then.remove(1);
        prop_assert_eq!(now, then);
    }
}

#[test]
fn a_look_says_what_it_does() {
    let mut desk = desk_with_rows();
    let words = |desk: &Desk| desk.history().undo_words().unwrap_or_default().to_owned();
    set_look(&mut desk, columns(&[("tag", None), ("note", Some(false))])).expect("hidden");
    assert_eq!(words(&desk), "hiding Note");
    set_look(&mut desk, columns(&[("note", Some(false)), ("tag", None)])).expect("moved");
    assert_eq!(words(&desk), "moving columns of Calves");
    set_look(&mut desk, columns(&[("note", Some(true)), ("tag", None)])).expect("shown");
    assert_eq!(words(&desk), "showing Note");
    let frozen = LookChange {
        n_frozen: Some(3),
        ..LookChange::default()
    };
    set_look(&mut desk, frozen).expect("frozen");
    assert_eq!(words(&desk), "freezing columns of Calves");
}

#[test]
fn views_are_saved_chosen_renamed_and_deleted() {
    let mut desk = desk_with_rows();
    let change = LookChange {
        sort: Some(vec![SortKey {
            column: "gone".to_owned(),
            descending: true,
        }]),
        filters: Some(vec![ColumnFilter {
            column: "sex".to_owned(),
            contains: String::new(),
            values: Some(vec!["heifer".to_owned()]),
        }]),
        n_frozen: Some(2),
        ..columns(&[("gone", Some(true)), ("note", Some(false)), ("tag", None)])
    };
    set_look(&mut desk, change).expect("a look may name what is not there");
    keep_view(&mut desk, " Weaning day ").expect("saved");
    let saved: Look = desk.looks(SHEET).present.clone();
    assert_eq!(names(&desk), ["Weaning day"]);

    set_look(&mut desk, LookChange::from(Look::default())).expect("plain");
    assert!(desk.looks(SHEET).present.is_plain());
    let show = |name: &str| Command::ShowView {
        sheet: SHEET,
        name: name.to_owned(),
    };
    desk.change(show("Weaning day")).expect("chosen");
    assert_eq!(desk.looks(SHEET).present, saved);
    assert_eq!(
        desk.history().undo_words(),
        Some("choosing the view Weaning day")
    );
    desk.undo().expect("the way back is open");
    assert!(desk.looks(SHEET).present.is_plain());

    let rename = |name: &str, new_name: &str| Command::RenameView {
        sheet: SHEET,
        name: name.to_owned(),
        new_name: new_name.to_owned(),
    };
    keep_view(&mut desk, "Plain").expect("saved");
    let exists = desk
        .change(rename("Plain", "Weaning day"))
        .expect_err("there is one");
    assert_eq!(exists.code(), "sheet.view.exists");
    desk.change(rename("Weaning day", "Fall")).expect("renamed");
    assert_eq!(names(&desk), ["Fall", "Plain"]);
    assert_eq!(desk.looks(SHEET).views.get("Fall"), Some(&saved));
    assert_eq!(
        desk.history().undo_words(),
        Some("renaming the view Weaning day")
    );
    desk.undo().expect("the way back is open");
    assert_eq!(names(&desk), ["Plain", "Weaning day"]);

    let gone = desk
        .change(show("Fall"))
        .expect_err("it is called otherwise again");
    assert_eq!(gone.code(), "sheet.view.unknown");
    let delete = Command::PutView {
        sheet: SHEET,
        name: "Plain".to_owned(),
        look: None,
    };
    desk.change(delete).expect("deleted");
    assert_eq!(names(&desk), ["Weaning day"]);

    let opened = open::open(&desk.save().expect("there is room")).expect("a saved book opens");
    assert_eq!(picture(&opened), picture(desk.book()));
}

#[test]
fn what_would_not_open_again_is_refused() {
    let mut desk = desk_with_rows();
    let before = picture(desk.book());
    for name in ["", "  ", "two\nlines", &"n".repeat(LONGEST_NAME + 1)] {
        assert_eq!(
            keep_view(&mut desk, name),
            Err("sheet.view.name".to_owned()),
            "{name:?}"
        );
    }
    let twice = columns(&[("tag", None), ("tag", None)]);
    assert_eq!(
        set_look(&mut desk, twice),
        Err("sheet.look.sound".to_owned())
    );
    let long = LookChange {
        filters: Some(vec![ColumnFilter {
            column: "note".to_owned(),
            contains: "n".repeat(MOST_BYTES),
            values: None,
        }]),
        ..LookChange::default()
    };
    assert_eq!(
        set_look(&mut desk, long),
        Err("sheet.look.too_long".to_owned())
    );
    assert_eq!(picture(desk.book()), before);

    for number in 0..MOST_VIEWS {
        keep_view(&mut desk, &format!("view {number}")).expect("there is room");
    }
    assert_eq!(
        keep_view(&mut desk, "one more"),
        Err("sheet.view.too_many".to_owned())
    );
    keep_view(&mut desk, "view 3").expect("one in place of another");
}

/// The largest looks that can be made: each is saved, and opens.
#[test]
fn the_largest_looks_open_again() {
    let mut desk = Desk::new();
    let change = LookChange {
        filters: Some(vec![ColumnFilter {
            column: "note".to_owned(),
            contains: String::new(),
            values: Some(vec!["\u{1}".repeat(1000); 21]),
        }]),
        ..LookChange::default()
    };
    for sheet in SheetKind::ALL {
        let change = Box::new(change.clone());
        let view = None;
        desk.change(Command::SetLook {
            sheet,
            change,
            view,
        })
        .expect("it fits");
        for number in 0..MOST_VIEWS {
            let name = format!("view {number}");
            desk.change(Command::KeepView { sheet, name })
                .expect("there is room");
        }
    }
    let opened = open::open(&desk.save().expect("there is room")).expect("it opens");
    assert_eq!(opened.looks.of(SHEET).views.len(), MOST_VIEWS);
    assert_eq!(picture(&opened), picture(desk.book()));
}

fn type_in(desk: &mut Desk, row: u32, column: &str, text: &str) {
    let cell = CellEdit {
        row,
        column: column.to_owned(),
        text: text.to_owned(),
    };
    desk.change(Command::SetCells {
        sheet: SHEET,
        cells: vec![cell],
    })
    .expect("it can be typed into");
}

fn remove(desk: &mut Desk, column: &str) -> Result<Vec<u8>, fairpen_engine::error::Error> {
    desk.change(Command::RemoveColumn {
        sheet: SHEET,
        column: column.to_owned(),
    })
}

#[test]
fn a_column_goes_with_everything_in_it_and_comes_back_whole() {
    let mut desk = desk_with_rows();
    let saved = desk.save().expect("there is room");
    type_in(&mut desk, 0, "a", "left hind");
    let before = picture(desk.book());
    let record = remove(&mut desk, "a").expect("no formula uses it");
    assert!(desk.book().sheet(SHEET).column("a").is_none());
    assert_eq!(
        desk.history().undo_words(),
        Some("taking the column a away")
    );
    let after = picture(desk.book());
    let back = desk.undo().expect("the way back is open");
    assert_eq!(picture(desk.book()), before);

    let mut again = Desk::new();
    again.open(&saved).expect("a saved book opens");
    type_in(&mut again, 0, "a", "left hind");
    assert_eq!(again.replay(&record).n_applied, 1);
    assert_eq!(picture(again.book()), after);
    assert_eq!(again.replay(&back).n_applied, 1);
    assert_eq!(picture(again.book()), before);

    let fixed = remove(&mut desk, "tag").expect_err("a fixed column stays");
    assert_eq!(fixed.code(), "sheet.column.known");
}

#[test]
fn a_column_that_a_formula_uses_stays_and_the_formula_is_named() {
    let mut desk = desk_with_rows();
    assert_eq!(FORMULAS[1], "LEN(a) + 1");
    act(&mut desk, &Deed::AddCalculated(0, "Length".to_owned(), 1)).expect("a good formula");
    desk.change(Command::AddCalculated {
        sheet: SheetKind::Cows,
        label: "How many".to_owned(),
        formula: "COUNTA('calves'.a)".to_owned(),
    })
    .expect("a good formula");
    let refusal = remove(&mut desk, "a").expect_err("two formulas use it");
    assert_eq!(refusal.code(), "sheet.column.in_formula");
    assert!(
        refusal.message().contains("How many (Cows)"),
        "{}",
        refusal.message()
    );
    assert!(
        refusal.message().contains("Length"),
        "{}",
        refusal.message()
    );
    remove(&mut desk, "length").expect("no formula uses it");
    desk.undo().expect("the way back is open");
    let formula = desk
        .book()
        .sheet(SHEET)
        .column("length")
        .and_then(|column| column.formula.clone());
    assert_eq!(
        formula.as_deref(),
        Some("LEN(a) + 1"),
        "it comes back with its formula"
    );
}

#[test]
fn a_renamed_column_keeps_its_key_and_its_file() {
    let mut desk = desk_with_rows();
    let rename = |desk: &mut Desk, column: &str, label: &str| {
        desk.change(Command::RenameColumn {
            sheet: SHEET,
            column: column.to_owned(),
            label: label.to_owned(),
        })
        .map_err(|refusal| refusal.code().to_owned())
    };
    let label = |desk: &Desk, key: &str| {
        desk.book()
            .sheet(SHEET)
            .column(key)
            .map(|column| column.label.clone())
    };
    assert_eq!(
        rename(&mut desk, "tag", "Number"),
        Err("sheet.column.known".to_owned())
    );
    assert_eq!(
        rename(&mut desk, "temper_1_5", " Note "),
        Err("sheet.column.label".to_owned())
    );
    rename(&mut desk, "temper_1_5", " Temper ").expect("renamed");
    assert_eq!(label(&desk, "temper_1_5").as_deref(), Some("Temper"));
    assert_eq!(
        desk.history().undo_words(),
        Some("renaming the column Temper (1-5)")
    );

    // The same file again: its column goes where it went before.
    let n_columns = desk.book().sheet(SHEET).columns().len();
    act(&mut desk, &Deed::Import(3)).expect("the file comes in again");
    assert_eq!(desk.book().sheet(SHEET).columns().len(), n_columns);
    assert_eq!(label(&desk, "temper_1_5").as_deref(), Some("Temper"));
    desk.undo().expect("the way back is open");
    desk.undo().expect("the way back is open");
    assert_eq!(label(&desk, "temper_1_5").as_deref(), Some("Temper (1-5)"));
}
