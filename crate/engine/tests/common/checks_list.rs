//! Lists of pregnancy checks brought in, and what the sheet shows of them.

use fairpen_engine::book::digest::Digest;
use fairpen_engine::desk::Desk;
use fairpen_engine::import::plan::{ImportPlan, Question};
use fairpen_engine::results::checked::CheckColumn;
use fairpen_engine::sheet::schema::SheetKind;

pub fn show(desk: &mut Desk, name: &str, text: &str) {
    desk.import_begin(name);
    desk.import_push(text.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
}

pub fn again(desk: &mut Desk, text: &str, change: impl FnOnce(&mut ImportPlan)) {
    let mut plan = desk.import_plan().expect("a file").clone();
    change(&mut plan);
    desk.import_by_plan(plan).expect("begun");
    desk.import_push(text.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
}

pub fn keys(desk: &Desk) -> Vec<String> {
    let (_, imported) = desk.import_shown().expect("a file");
    imported.open_questions().map(Question::key).collect()
}

pub fn figures(desk: &Desk, column: CheckColumn) -> Vec<String> {
    (0..desk.book().sheet(SheetKind::Checks).n_rows())
        .map(|row| {
            desk.shown_cell(SheetKind::Checks, column.key(), row)
                .expect("a column")
                .text
        })
        .collect()
}

pub fn bring(desk: &mut Desk, text: &str) -> Vec<u8> {
    desk.import_commit(&Digest::of(text.as_bytes()))
        .expect("rows")
}
