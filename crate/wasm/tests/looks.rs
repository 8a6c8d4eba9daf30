//! A sheet arranged, its look saved as a view, and columns of her own, as the page asks for them.

#![cfg(target_arch = "wasm32")]

mod crossing;

use crossing::{bring_in, code_of, read, texts, ts};
use fairpen_wasm::session::Session;
use fairpen_wasm::types::{Change, LookColumn, LookParts, LookWidth, SheetLook};
use wasm_bindgen_test::wasm_bindgen_test;

#[wasm_bindgen_test]
fn a_sheet_is_arranged_and_its_look_is_saved_as_a_view() {
    let mut session = Session::new();
    bring_in(&mut session);
    let calves = || "calves".to_owned();
    let look = |session: &Session| -> SheetLook { read(session.look("calves")) };
    assert_eq!(look(&session).frozen, 1, "the first column stays in sight");

    let hide_and_move = LookParts {
        columns: Some(
            [
                ("wean_weight", None),
                ("tag", None),
                ("temper", Some(false)),
                ("gone", Some(true)),
            ]
            .map(|(column, shown)| LookColumn {
                column: column.to_owned(),
                shown,
            })
            .to_vec(),
        ),
        frozen: Some(2),
        ..LookParts::default()
    };
    session
        .change(ts(Change::SetLook {
            sheet: calves(),
            look: hide_and_move,
        }))
        .expect("not refused");
    let aside = LookParts {
        widths: Some(vec![LookWidth {
            column: "tag".to_owned(),
            px: 200,
        }]),
        ..LookParts::default()
    };
    assert!(
        !session
            .keep_look("calves", ts(aside.clone()))
            .expect("not refused")
            .is_empty()
    );
    assert!(
        session
            .keep_look("calves", ts(aside))
            .expect("not refused")
            .is_empty()
    );
    let name = || "Weaning day".to_owned();
    session
        .change(ts(Change::KeepView {
            sheet: calves(),
            name: name(),
        }))
        .expect("not refused");
    let kept = look(&session);
    assert_eq!(kept.columns[2].shown, Some(false));
    assert_eq!((kept.frozen, kept.widths[0].px), (2, 200));
    assert!(kept.views[0].chosen);
    assert_eq!(kept.views[0].missing, ["gone"]);

    session.undo().expect("not refused");
    session.undo().expect("not refused");
    let back = look(&session);
    assert!(back.columns.is_empty() && back.views.is_empty());
    assert_eq!(back.widths[0].px, 200, "undo passes over a width");
    session.redo().expect("not refused");
    session.redo().expect("not refused");

    let mut again = Session::new();
    again
        .open(&session.save().expect("not refused"))
        .expect("a saved book opens");
    assert_eq!(look(&again).columns.len(), 4);
    assert_eq!(look(&again).views[0].name, name());

    let too_wide = LookParts {
        widths: Some(vec![LookWidth {
            column: "tag".to_owned(),
            px: 90_000,
        }]),
        ..LookParts::default()
    };
    assert_eq!(
        code_of(session.keep_look("calves", ts(too_wide))),
        "sheet.look.sound"
    );
    let rename = |column: &str, label: &str| Change::RenameColumn {
        sheet: calves(),
        column: column.to_owned(),
        label: label.to_owned(),
    };
    assert_eq!(
        code_of(session.change(ts(rename("tag", "Number")))),
        "sheet.column.known"
    );
    session
        .change(ts(rename("temper", "Temper at weaning")))
        .expect("not refused");
    session
        .change(ts(Change::RemoveColumn {
            sheet: calves(),
            column: "temper".to_owned(),
        }))
        .expect("not refused");
    assert!(
        texts(&session, &["temper"])
            .iter()
            .all(|row| row[0].is_empty())
    );
    session.undo().expect("not refused");
    assert_eq!(texts(&session, &["temper"])[0], ["2"]);
}
