//! A results file's way through its own module, as JavaScript sees it: read, computed again, asked about,
//! refused. The payload comes from the engine's own maker. Runs in Node and, when told to, in a browser.
#![cfg(target_arch = "wasm32")]

use fairpen_engine::desk::Desk;
use fairpen_engine::share::choice::Choice;
use fairpen_engine::share::results_file::build;
use fairpen_wasm_results::ResultsReader;
use fairpen_wasm_results::types::{FigureWorking, Refusal, VerificationView};
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;
use wasm_bindgen_test::wasm_bindgen_test;

const HERD: &str = "Tag,Sex,Born,Birth Wt,Dam,Dam age,Pen,Weaned,Wean Wt\n\
    4017,heifer,2026-03-01,80,12,5,Pen 1,2026-09-28,512\n\
    4018,heifer,2026-03-04,78,13,6,Pen 1,2026-09-28,530.5\n\
    10,steer,2026-03-10,88,15,2,Pen 2,2026-09-28,498\n\
    11,steer,2026-03-12,85,16,9,Pen 2,2026-09-28,541\n";

const ADJUSTED: &str = "adj_205_weight";

fn payload() -> String {
    let mut desk = Desk::new();
    desk.import_begin("herd.csv");
    desk.import_push(HERD.as_bytes()).expect("not refused");
    desk.import_finish().expect("not refused");
    desk.import_commit(&"0".repeat(64)).expect("not refused");
    build(desk.book(), desk.results(), &Choice::usual(desk.book()))
        .expect("a file")
        .to_json()
}

fn read<T>(value: Ts<T>) -> T
where
    T: Tsify + serde::de::DeserializeOwned,
    T::JsType: Clone,
{
    value.to_rust().expect("the shape it says")
}

fn verified(payload: &str) -> VerificationView {
    let reader = ResultsReader::new(payload).expect("not refused");
    read(reader.verify().expect("the shape crosses"))
}

fn code_of(refused: Result<ResultsReader, JsValue>) -> String {
    let refusal: Refusal = read(Ts::new_unchecked(refused.err().expect("refused")));
    assert!(!refusal.message.is_empty() && !refusal.hint.is_empty());
    refusal.code
}

fn marks<'a>(found: &'a VerificationView, key: &str) -> &'a str {
    let column = found.columns.iter().find(|column| column.key == key);
    &column.expect("the column was handed over").marks
}

#[wasm_bindgen_test]
fn the_module_says_its_version() {
    assert_eq!(fairpen_wasm_results::version(), env!("CARGO_PKG_VERSION"));
}

#[wasm_bindgen_test]
fn every_figure_is_computed_again() {
    let found = verified(&payload());
    assert_eq!(marks(&found, ADJUSTED), "hhhh");
    assert_eq!(found.differ, 0);
    assert!(found.differences.is_empty());
    assert!(found.recomputed > 8);
    assert!(found.inputs_as_stated && found.contents_as_stated);
}

#[wasm_bindgen_test]
fn a_changed_entry_is_marked_and_told() {
    let payload = payload();
    let changed = payload.replace("530.5", "590.5");
    assert_ne!(payload, changed);
    let found = verified(&changed);
    assert_eq!(marks(&found, ADJUSTED), "hxhh");
    assert!(!found.inputs_as_stated && !found.contents_as_stated);
    let told = found
        .differences
        .iter()
        .find(|difference| difference.what.contains("4018"))
        .expect("the calf is named");
    assert_ne!(told.stated, told.recomputed);
    assert_eq!(found.differences.len(), found.differ as usize);
}

#[wasm_bindgen_test]
fn a_figure_has_its_working_and_a_row_beyond_has_none() {
    let reader = ResultsReader::new(&payload()).expect("not refused");
    let working: FigureWorking = read(
        reader
            .working(0, ADJUSTED)
            .expect("the shape crosses")
            .expect("a working"),
    );
    // 211 days old, a dam of five: (512 - 80) / 211 x 205 + 80 = 499.7 lb, by hand.
    assert_eq!(working.result, "499.7 lb");
    assert!(working.with_numbers.contains("/ 211 x 205"));
    assert!(working.inputs.iter().any(|input| input.value == "512 lb"));
    assert!(reader.working(4, ADJUSTED).expect("no refusal").is_none());
    let group: FigureWorking = read(
        reader
            .group_working(0)
            .expect("the shape crosses")
            .expect("a working"),
    );
    assert!(group.title.starts_with("Mean of the group"));
    assert!(reader.group_working(99).expect("no refusal").is_none());
}

#[wasm_bindgen_test]
fn what_is_damaged_or_newer_is_refused() {
    let whole = payload();
    assert_eq!(code_of(ResultsReader::new("{}")), "share.results.damaged");
    assert_eq!(
        code_of(ResultsReader::new(&whole[..whole.len() - 10])),
        "share.results.damaged"
    );
    assert_eq!(
        code_of(ResultsReader::new(
            r#"{"format":"fairpen-results","version":2}"#
        )),
        "share.results.newer"
    );
}
