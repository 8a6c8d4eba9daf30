//! Lists as veterinarians write them: which sheet they are for, results with stages beside them, days that stand in no
//! column.

use fairpen_engine::book::digest::Digest;
use fairpen_engine::desk::Desk;
use fairpen_engine::import::plan::{ImportPlan, Question, Target};
use fairpen_engine::results::checked::CheckColumn;
use fairpen_engine::sheet::codes::RESULT;
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::read::stage::StageUnit;
use fairpen_engine::sheet::schema::SheetKind;

#[path = "common/checks_list.rs"]
mod checks_list;

use checks_list::{again, bring, figures, keys, show};

const LIST: &str = "Herd check\nOct 28 2026\nCow #;Preg;Mos;Notes\n1;P;5;\n2;P 120;;bad foot\n3;short bred;;\n\
    4;O;;cull\n5;?;;\n6;–;;ran off\n";

fn texts(desk: &Desk, key: &'static str) -> Vec<String> {
    let column = desk.book().sheet(SheetKind::Checks).known(key);
    (0..column.len())
        .map(|row| match column.value(row) {
            Value::Unreadable(text) => format!("!{text}"),
            Value::Missing => String::new(),
            value => column.shown_value(&value),
        })
        .collect()
}

fn day(text: &str) -> Day {
    fairpen_engine::sheet::read::date::iso(text.as_bytes()).expect("a day")
}

#[test]
fn a_list_of_results_goes_to_the_checks_and_loses_nothing() {
    let mut desk = Desk::new();
    show(&mut desk, "list.csv", LIST);
    let (_, imported) = desk.import_shown().expect("a file");
    assert_eq!(imported.plan.sheet, SheetKind::Checks);
    let suggested = imported
        .questions
        .iter()
        .find_map(|question| match question {
            Question::CheckDay { suggested, n } => Some((suggested.clone(), *n)),
            _ => None,
        });
    assert_eq!(
        suggested,
        Some(((day("2026-10-28"), "Oct 28 2026".to_owned()), 6))
    );
    assert_eq!(
        keys(&desk),
        ["check_day", "word:?", "word:o", "word:p", "word:short bred"]
    );
    again(&mut desk, LIST, |plan| {
        plan.choose_check_day(day("2026-10-28"));
        plan.choose_word("p", RESULT.position("bred"));
        plan.choose_word("o", RESULT.position("open"));
        plan.choose_word("short bred", RESULT.position("bred"));
        plan.choose_word("?", None);
        plan.choose_stage_unit(Some(StageUnit::Days));
    });
    assert!(keys(&desk).is_empty());
    let journal = bring(&mut desk, LIST);
    assert_eq!(
        texts(&desk, "result"),
        ["bred", "bred", "bred", "open", "!?", ""]
    );
    assert_eq!(texts(&desk, "stage"), ["5", "120", "", "", "", ""]);
    // The header says months of its own column, and nothing of what stands beside a result.
    assert_eq!(
        texts(&desk, "stage_unit"),
        ["months", "days", "", "", "", ""]
    );
    assert_eq!(
        texts(&desk, "remarks"),
        ["", "bad foot", "Preg: short bred", "cull", "", "ran off"]
    );
    assert_eq!(texts(&desk, "date"), vec!["2026-10-28"; 6]);

    let mut played = Desk::new();
    played.provide_file(LIST.as_bytes().to_vec());
    assert_eq!(played.replay(&journal).n_set_aside, 0);
    for key in ["result", "stage", "remarks", "date"] {
        assert_eq!(texts(&played, key), texts(&desk, key), "{key}");
    }

    // The next list of that shape asks for its own day, and nothing else.
    show(&mut desk, "list 2.csv", LIST);
    assert_eq!(keys(&desk), ["check_day"]);
}

#[test]
fn two_answers_one_right_after_the_other_both_hold() {
    let mut desk = Desk::new();
    show(&mut desk, "list.csv", LIST);
    let answered = |desk: &Desk, word: &str| {
        let mut plan = desk.import_plan().expect("a file").clone();
        plan.choose_word(word, RESULT.position("bred"));
        plan
    };
    let first = answered(&desk, "p");
    desk.import_by_plan(first).expect("begun");
    // Before the file was read again.
    let second = answered(&desk, "short bred");
    desk.import_by_plan(second).expect("begun");
    desk.import_push(LIST.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
    // Of the 120 beside a letter nobody said whether it counts days.
    assert_eq!(keys(&desk), ["check_day", "word:?", "word:o", "stage_unit"]);
}

#[test]
fn a_day_due_is_a_stage() {
    let list = "ID, PREG STATUS, Due date, Vet\n1,Bred,3/14/2027,Dr. Elm\n2,Open,,Dr. Elm\n3,bred (late),3/20/2027,\n\
        4,bred,April,\n";
    let mut desk = Desk::new();
    show(&mut desk, "list.csv", list);
    let plan = &desk.import_shown().expect("a file").1.plan;
    assert_eq!(plan.sheet, SheetKind::Checks);
    assert_eq!(plan.columns[2].target, Target::DueDay);
    again(&mut desk, list, |plan| {
        plan.choose_check_day(day("2026-10-28"))
    });
    bring(&mut desk, list);
    assert_eq!(
        texts(&desk, "stage"),
        ["due 2027-03-14", "", "late", "due April"]
    );
    assert_eq!(texts(&desk, "remarks"), ["", "", "due 2027-03-20", ""]);
    // 137 days from 2026-10-28 to 2027-03-14, 283 - 137 = 146.
    assert_eq!(figures(&desk, CheckColumn::DaysBredFrom)[0], "146");
    assert_eq!(figures(&desk, CheckColumn::DueFrom)[0], "2027-03-14");
    assert_eq!(figures(&desk, CheckColumn::DueTo)[0], "2027-03-14");
    assert_eq!(figures(&desk, CheckColumn::DueTo)[3], "2027-04-30");
}

#[test]
fn nothing_comes_in_before_the_sheet_is_said() {
    let list = "Tag,Weight,Date\n1,512,2026-10-14\n2,498,2026-10-14\n";
    let mut desk = Desk::new();
    show(&mut desk, "list.csv", list);
    assert_eq!(keys(&desk)[0], "sheet");
    let refused = desk.import_commit(&Digest::of(list.as_bytes()));
    assert_eq!(refused.expect_err("not said").code(), "import.sheet.open");
    again(&mut desk, list, ImportPlan::choose_this_sheet);
    bring(&mut desk, list);
    assert_eq!(desk.book().sheet(SheetKind::Weights).n_rows(), 2);

    // Said otherwise, and remembered.
    let mut desk = Desk::new();
    show(&mut desk, "list.csv", list);
    desk.import_for_sheet(SheetKind::Calves).expect("begun");
    desk.import_push(list.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
    assert!(!keys(&desk).contains(&"sheet".to_owned()));
    bring(&mut desk, list);
    assert_eq!(desk.book().calves().n_rows(), 2);
    show(&mut desk, "list 2.csv", list);
    assert!(!keys(&desk).contains(&"sheet".to_owned()));
}
