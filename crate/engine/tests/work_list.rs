//! Work lists for the alley: what goes out, and what is offered on them. The herd is invented.

#[path = "common/alley.rs"]
#[allow(dead_code, reason = "each test file uses its part")]
mod alley;

use alley::{enter, entry, herd};
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::pad::entry::Entry;
use fairpen_engine::sheet::day::Day;

#[test]
fn a_work_list_holds_the_animals_to_expect_and_nothing_private() {
    let mut desk = herd();
    let note = Entry {
        cells: vec![("note".to_owned(), "bought at a loss".to_owned())],
        ..entry(Task::Birth, Some(0), "2026-03-04", &[])
    };
    enter(&mut desk, &note);
    assert_eq!(
        desk.work_list_places(),
        [("Creek".to_owned(), 1), ("East barn".to_owned(), 2)],
        "one of Creek has left"
    );
    let list = desk.work_list(Some("East barn"));
    assert_eq!(list.settings.title, "Work list: East barn");
    assert_eq!(list.work_list.as_deref(), Some("East barn"));
    assert!(list.calves().known("note").holds_nothing());
    let all = desk.work_list(None);
    assert_eq!(all.calves().n_rows(), 3, "one has left");
    let bytes = fairpen_engine::book::save::save(&all).expect("saved");
    let mut phone = Desk::new();
    phone.open(&bytes).expect("a book");
    assert_eq!(
        phone.pad_animals(Task::Weaning, "0117", Day::MISSING, 1)[0].tag,
        "0117"
    );
    assert_eq!(phone.book().work_list.as_deref(), Some(""));
}

#[test]
fn a_calf_that_is_not_on_the_work_list_is_offered_last_and_only_by_its_whole_name() {
    let list = herd().work_list(Some("East barn"));
    let bytes = fairpen_engine::book::save::save(&list).expect("saved");
    let mut phone = Desk::new();
    phone.open(&bytes).expect("a book");
    let found = |text: &str, most: usize| -> Vec<(String, bool)> {
        phone
            .pad_animals(Task::Weaning, text, Day::MISSING, most)
            .into_iter()
            .map(|animal| (animal.tag, animal.off_list))
            .collect()
    };
    assert_eq!(
        found("17", 10),
        [("0117".to_owned(), false), ("117".to_owned(), false)]
    );
    assert_eq!(found("217", 10), [("217".to_owned(), true)]);
    assert_eq!(found("1172", 10), [], "it has left");
    assert!(
        herd()
            .pad_animals(Task::Weaning, "217", Day::MISSING, 9)
            .iter()
            .all(|animal| !animal.off_list),
        "a book that is no work list expects every animal"
    );
}
