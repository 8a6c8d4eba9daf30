//! A way of reading a file, remembered and forgotten, as the page asks for it.

#![cfg(target_arch = "wasm32")]

mod crossing;

use crossing::{read, ts};
use fairpen_wasm::session::Session;
use fairpen_wasm::types::{Change, ImportChoices, ImportTargetChoice, RememberedFile};
use wasm_bindgen_test::wasm_bindgen_test;

#[wasm_bindgen_test]
fn a_way_of_reading_is_remembered_and_forgotten() {
    let file = "EID,VID,Wt,Date,Gate\n840003000000001,401,512,2026-05-04,2\n";
    let mut session = Session::new();
    let show = |session: &mut Session, day: &str| {
        session.import_begin_from("weights may.csv", "", day);
        session.import_push(file.as_bytes()).expect("not refused");
        read(session.import_finish())
    };
    let first = show(&mut session, "2026-05-04");
    assert!(first.remembered.is_none() && !first.will_be_remembered);
    session
        .import_choose(ts(ImportChoices {
            targets: vec![ImportTargetChoice {
                position: 4,
                target: "leave_out".to_owned(),
            }],
            ..ImportChoices::default()
        }))
        .expect("not refused");
    session.import_push(file.as_bytes()).expect("not refused");
    assert!(read(session.import_finish()).will_be_remembered);
    session
        .import_commit(&Session::digest(file.as_bytes()))
        .expect("not refused");

    let again = show(&mut session, "2026-06-04");
    let way = again.remembered.expect("remembered");
    assert_eq!(
        (way.file_name.as_str(), way.on.as_str()),
        ("weights may.csv", "2026-05-04")
    );
    assert_eq!(again.columns[4].target, "leave_out");
    session.import_anew().expect("not refused");
    session.import_push(file.as_bytes()).expect("not refused");
    assert_eq!(read(session.import_finish()).columns[4].target, "own");
    session.import_cancel();

    let listed: Vec<RememberedFile> = session
        .remembered()
        .expect("not refused")
        .into_iter()
        .map(|file| read(Ok(file)))
        .collect();
    assert_eq!((listed.len(), &listed[0].key), (1, &way.key));
    assert!(
        listed[0]
            .choices
            .iter()
            .any(|choice| choice == "\"Gate\" is left out.")
    );
    session
        .change(ts(Change::Forget { key: way.key }))
        .expect("not refused");
    assert!(session.remembered().expect("not refused").is_empty());
}
