//! The veterinarian's list: letters are asked about, stages are figures, and nobody is open who was not checked.

use fairpen_engine::book::{open, save};
use fairpen_engine::desk::Desk;
use fairpen_engine::import::plan::{Repeated, Target};
use fairpen_engine::results::checked::CheckColumn;
use fairpen_engine::share::working::checked::checked;
use fairpen_engine::sheet::codes::RESULT;
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::read::stage::StageUnit;
use fairpen_engine::sheet::schema::SheetKind;

#[path = "common/checks_list.rs"]
mod checks_list;

use checks_list::{again, bring, figures, keys, show};

const LIST: &str = "Cow,Date,Result,Stage\n\
    1,2025-11-03,P,5\n\
    2,2025-11-03,O,\n\
    3,2025-11-03,bred,120 days\n\
    4,2025-11-03,N,4.5\n\
    5,2025-11-03,,early\n\
    6,2025-11-03,open,early\n";

fn results(desk: &Desk) -> Vec<String> {
    let column = desk.book().sheet(SheetKind::Checks).known("result");
    (0..column.len())
        .map(|row| match column.value(row) {
            Value::Unreadable(text) => format!("!{text}"),
            Value::Text(text) => text,
            _ => String::new(),
        })
        .collect()
}

#[test]
fn letters_are_asked_about_and_read_as_was_said() {
    let mut desk = Desk::new();
    show(&mut desk, "preg check.csv", LIST);
    assert_eq!(keys(&desk), ["word:n", "word:o", "word:p", "stage_unit"]);
    again(&mut desk, LIST, |plan| {
        plan.choose_word("p", RESULT.position("bred"));
        plan.choose_word("o", RESULT.position("open"));
        plan.choose_word("n", None);
        plan.choose_stage_unit(Some(StageUnit::Months));
    });
    assert!(keys(&desk).is_empty());
    let journal = bring(&mut desk, LIST);
    assert_eq!(results(&desk), ["bred", "open", "bred", "!N", "", "open"]);
    // 4.5 to 5.5 months of 30.4375 days; the open cow has no days, and neither has one whose result was not read.
    assert_eq!(
        figures(&desk, CheckColumn::DaysBredFrom),
        ["137", "", "120", "", "1", ""]
    );
    assert_eq!(
        figures(&desk, CheckColumn::DaysBredTo),
        ["167", "", "120", "", "94", ""]
    );
    // 2025-11-03 + 283 - 120 days.
    assert_eq!(figures(&desk, CheckColumn::DueFrom)[2], "2026-04-15");
    assert_eq!(figures(&desk, CheckColumn::DueTo)[0], "2026-03-29");
    let working = checked(desk.book(), 0, "days_bred_from").expect("a working");
    assert!(
        working
            .with_numbers
            .contains("5 months, to the nearest month"),
        "{working:?}"
    );

    // Formulas use them; a date stays a date.
    desk.change(Command::AddCalculated {
        sheet: SheetKind::Checks,
        label: "A week before".to_owned(),
        formula: "due_from - 7".to_owned(),
    })
    .expect("a sound formula");
    let cell = desk.shown_cell(SheetKind::Checks, "a_week_before", 2);
    assert_eq!(cell.expect("a column").text, "2026-04-08");
    desk.undo().expect("undone");

    let mut played = Desk::new();
    played.provide_file(LIST.as_bytes().to_vec());
    assert_eq!(played.replay(&journal).n_set_aside, 0);
    assert_eq!(results(&played), results(&desk));
    let opened = open::open(&save::save(desk.book()).expect("saved")).expect("opened");
    let unit = opened.sheet(SheetKind::Checks).known("stage_unit");
    assert_eq!(unit.value(0), Value::Text("months".to_owned()));

    // The next list of that shape asks nothing.
    show(
        &mut desk,
        "preg check 2.csv",
        &LIST.replace("2025-11-03", "2025-11-10"),
    );
    assert!(keys(&desk).is_empty());
}

#[test]
fn a_letter_stays_unread_until_it_is_said() {
    let mut desk = Desk::new();
    show(&mut desk, "preg check.csv", LIST);
    bring(&mut desk, LIST);
    assert_eq!(results(&desk), ["!P", "!O", "bred", "!N", "", "open"]);
    // Typed by the person herself it is read.
    desk.change(Command::SetCells {
        sheet: SheetKind::Checks,
        cells: vec![CellEdit {
            row: 0,
            column: "result".to_owned(),
            text: "P".to_owned(),
        }],
    })
    .expect("typed");
    assert_eq!(results(&desk)[0], "bred");
}

#[test]
fn the_unit_of_the_header_goes_to_bare_numbers() {
    let mut desk = Desk::new();
    let list = "Cow,Date,Status,Days bred\n1,2025-11-03,bred,90\n2,2025-11-03,bred,4 mo\n";
    show(&mut desk, "preg.csv", list);
    assert!(keys(&desk).is_empty());
    bring(&mut desk, list);
    assert_eq!(figures(&desk, CheckColumn::DaysBredFrom), ["90", "107"]);
}

#[test]
fn marks_under_months_are_stages_and_bred_only_when_said() {
    let list = "Cow,Date,Mar,Apr,May\n1,2025-11-03,x,,\n2,2025-11-03,,,\n3,2025-11-03,,X,x\n";
    let mut desk = Desk::new();
    show(&mut desk, "preg.csv", list);
    let plan = &desk.import_shown().expect("a file").1.plan;
    assert!(
        plan.columns[2..]
            .iter()
            .all(|column| column.target == Target::CalvingMonth)
    );
    assert_eq!(keys(&desk), ["month_marks"]);
    again(&mut desk, list, |plan| plan.choose_marks(true));
    bring(&mut desk, list);
    assert_eq!(results(&desk), ["bred", "", "bred"]);
    let stage = desk.book().sheet(SheetKind::Checks).known("stage");
    assert_eq!(stage.value(0), Value::Text("calves in Mar".to_owned()));
    assert_eq!(stage.value(1), Value::Missing);
    assert_eq!(figures(&desk, CheckColumn::DueFrom), ["2026-03-01", "", ""]);
    assert_eq!(figures(&desk, CheckColumn::DueTo), ["2026-03-31", "", ""]);
}

#[test]
fn of_repeated_rows_all_the_first_or_the_last_come_in() {
    let file = "tag,sex,wean_weight\n1,H,500\n2,S,510\n1,H,505\n";
    for (repeated, weights) in [
        (Repeated::All, vec![500.0, 510.0, 505.0]),
        (Repeated::First, vec![500.0, 510.0]),
        (Repeated::Last, vec![510.0, 505.0]),
    ] {
        let mut desk = Desk::new();
        show(&mut desk, "calves.csv", file);
        assert!(keys(&desk).contains(&"repeated".to_owned()));
        again(&mut desk, file, |plan| plan.choose_repeated(repeated));
        let journal = bring(&mut desk, file);
        let numbers = desk
            .book()
            .calves()
            .known("wean_weight")
            .numbers()
            .expect("numbers");
        assert_eq!(numbers, weights);
        let mut played = Desk::new();
        played.provide_file(file.as_bytes().to_vec());
        assert_eq!(played.replay(&journal).n_set_aside, 0);
        assert_eq!(
            played.book().calves().known("wean_weight").numbers(),
            Some(&weights[..])
        );
    }
}

#[test]
fn a_scale_that_knows_only_electronic_ids_meets_the_animals_on_record() {
    let mut desk = Desk::new();
    let herd = "tag,eid,sex,birth_date\n0101,840 003 000 000 101,H,2025-03-01\n102,,S,2025-03-02\n";
    show(&mut desk, "calves.csv", herd);
    bring(&mut desk, herd);
    let first = "animal,date,weight\n0101,2025-10-14,512\n102,2025-10-14,530\n";
    show(&mut desk, "weights.csv", first);
    bring(&mut desk, first);
    // The same weighings again, one by electronic ID, and one of an animal that nobody knows.
    let second = "EID,VID,Date,Weight\n840003000000101,,2025-10-14,512\n840003000000102,102,2025-10-14,530\n\
        840003000000103,,2025-10-14,498\n";
    show(&mut desk, "scale weights.csv", second);
    let shown = desk.import_merge_shown().expect("a sheet with rows");
    assert_eq!(
        shown.merge.rows[0].target,
        Some(0),
        "found by its electronic ID"
    );
    assert_eq!(shown.merge.rows[1].target, Some(1));
    assert_eq!(shown.plan.added, [2]);
    // Its tag is on record, in other words; the record is kept.
    bring(&mut desk, second);
    let weights = desk.book().sheet(SheetKind::Weights);
    assert_eq!(weights.n_rows(), 3);
    assert_eq!(
        weights.known("animal").value(0),
        Value::Text("0101".to_owned())
    );
    assert_eq!(
        weights.known("animal").value(2),
        Value::Text("840003000000103".to_owned())
    );
}
