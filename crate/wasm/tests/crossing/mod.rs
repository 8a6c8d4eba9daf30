//! What the tests of the boundary share: values in and out, and a small herd.

#![allow(dead_code, reason = "each test file uses its part")]

use fairpen_wasm::session::Session;
use fairpen_wasm::types::Refusal;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;

/// A small herd as a file, with one weight that cannot be read and a column of its own.
pub const HERD: &str = "Tag,Sex,Born,Birth Wt,Dam,Dam age,Pen,Weaned,Wean Wt,Temper\n\
    4017,heifer,2026-03-01,80,12,5,Pen 1,2026-09-28,512,2\n\
    4018,heifer,2026-03-04,78,13,6,Pen 1,2026-09-28,530.5,3\n\
    9,heifer,2026-03-06,82,14,3,Pen 1,2026-09-28,abt 500,1\n\
    10,steer,2026-03-10,88,15,2,Pen 2,2026-09-28,498,2\n\
    4017A,steer,2026-03-12,85,16,9,Pen 2,2026-09-28,541,4\n";

/// A value on its way in.
pub fn ts<T: Tsify + serde::Serialize>(value: T) -> Ts<T> {
    value.into_ts().expect("plain shapes cross")
}

/// A value on its way out.
pub fn read<T>(value: Result<Ts<T>, JsValue>) -> T
where
    T: Tsify + serde::de::DeserializeOwned,
    T::JsType: Clone,
{
    value
        .expect("not refused")
        .to_rust()
        .expect("the shape it says")
}

/// The code of a refusal, which has its message and its hint.
pub fn code_of(refused: Result<impl Sized, JsValue>) -> String {
    let thrown = refused.err().expect("refused");
    let refusal: Refusal = Ts::new_unchecked(thrown)
        .to_rust()
        .expect("a refusal has its shape");
    assert!(!refusal.message.is_empty() && !refusal.hint.is_empty());
    refusal.code
}

/// Brings the herd in, in pieces; gives the record.
pub fn bring_in(session: &mut Session) -> Vec<u8> {
    session.import_begin("herd.csv");
    for piece in HERD.as_bytes().chunks(50) {
        session.import_push(piece).expect("not refused");
    }
    let preview = read(session.import_finish());
    assert_eq!(preview.n_rows, 5);
    assert_eq!(preview.columns.len(), 10);
    assert_eq!(preview.columns[8].target, "wean_weight");
    assert_eq!(preview.columns[8].n_unreadable, 1);
    assert_eq!(preview.columns[9].target, "own");
    assert_eq!(preview.first_rows[0][0], "4017");
    let digest = session.provide_file("herd.csv".to_owned(), HERD.as_bytes().to_vec());
    assert_eq!(digest, Session::digest(HERD.as_bytes()));
    session.import_commit(&digest).expect("not refused")
}

/// Texts of all rows of the calves.
pub fn texts(session: &Session, columns: &[&str]) -> Vec<Vec<String>> {
    let names = columns.iter().map(|&c| c.to_owned()).collect();
    let window = session.window("calves", 0, 50, names).expect("not refused");
    let cells: Vec<String> = window.text().split('\u{1f}').map(str::to_owned).collect();
    assert_eq!(cells.len(), window.row_keys().len() * columns.len());
    assert_eq!(window.values().len(), cells.len());
    assert_eq!(window.flags().len(), cells.len());
    cells
        .chunks(columns.len())
        .map(<[String]>::to_vec)
        .collect()
}
