//! What is asked while a file comes in: rows that fit an animal taken off the record, and names that fit two animals.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::office::Office;
use fairpen_engine::check::code::Code;
use fairpen_engine::desk::animal::named::Standing;
use fairpen_engine::import::merge::{MergeChoices, RowChoice, RowKind, TakenOffChoice, Why};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

const COWS: &str = "tag,eid,born,breed\n\
    008,840003000000008,2019-04-02,\n\
    009,,2020-03-05,Angus\n\
    010,840003000000010,2018-02-20,\n";

/// A herd from which cows 008 and 009 were taken off.
fn herd() -> Office {
    let mut office = Office::new();
    office.bring("cows.csv", COWS);
    office.take_off(SheetKind::Cows, &[0, 1]);
    office
}

const AGAIN: &str = "tag,eid,born,breed\n\
    008,,2019-04-02,Hereford\n\
    009,,2020-03-05,Hereford\n\
    010,,2018-02-20,Angus\n\
    011,,2021-02-20,Angus\n";

#[test]
fn a_row_of_an_animal_that_was_taken_off_is_asked_about() {
    let mut office = herd();
    office.show("cows.csv", AGAIN);
    assert_eq!(
        office.rows(),
        [
            (RowKind::TakenOff, Why::TagAndYear),
            (RowKind::TakenOff, Why::TagAndYear),
            (RowKind::Fills, Why::TagAndYear),
            (RowKind::New, Why::Nothing),
        ]
    );
    let shown = office.desk.import_merge_shown().expect("a sheet with rows");
    assert_eq!(shown.plan.added, [3]);
    assert!(shown.plan.brought_back.is_empty());
    assert_eq!(shown.plan.n_left, 2);
    let note = shown
        .plan
        .notes
        .iter()
        .find(|note| note.code == "import.merge.taken_off")
        .expect("it is said");
    assert_eq!(note.place.line, Some(2));
    let rows = office.desk.import_rows(Some(RowKind::TakenOff), 0, 10);
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[1].against, None);
    assert_eq!(rows[1].against_taken_off, Some(1));
    let breed = rows[1]
        .cells
        .iter()
        .find(|cell| cell.column == "breed")
        .expect("it is in the file");
    assert_eq!(breed.on_record, Value::Text("Angus".to_owned()));
    // Unanswered they stay out, and nothing comes back.
    office.commit(AGAIN);
    assert_eq!(office.column(SheetKind::Cows, "tag"), ["010", "011"]);
    assert_eq!(office.desk.book().sheet(SheetKind::Cows).n_taken_off(), 2);
    office.holds_together();
}

#[test]
fn all_of_them_come_back_and_are_updated() {
    let mut office = herd();
    office.show("cows.csv", AGAIN);
    office.choose(MergeChoices {
        taken_off: Some(TakenOffChoice::BringBack),
        ..MergeChoices::default()
    });
    office.commit(AGAIN);
    assert_eq!(
        office.column(SheetKind::Cows, "tag"),
        ["008", "009", "010", "011"]
    );
    // Blanks are filled; what differs is kept, since nobody chose to write over it.
    assert_eq!(
        office.column(SheetKind::Cows, "breed"),
        ["Hereford", "Angus", "Angus", "Angus"]
    );
    assert_eq!(office.column(SheetKind::Cows, "eid")[0], "840003000000008");
    office.holds_together();
}

#[test]
fn each_of_them_can_be_chosen_for() {
    let mut office = herd();
    office.show("cows.csv", AGAIN);
    office.choose(MergeChoices {
        taken_off: Some(TakenOffChoice::Add),
        rows: [(
            1,
            RowChoice::BringBack {
                key: 1,
                overwrite: true,
            },
        )]
        .into(),
        ..MergeChoices::default()
    });
    office.commit(AGAIN);
    assert_eq!(
        office.column(SheetKind::Cows, "tag"),
        ["009", "010", "008", "011"]
    );
    assert_eq!(office.column(SheetKind::Cows, "breed")[0], "Hereford");
    assert_eq!(office.desk.book().sheet(SheetKind::Cows).n_taken_off(), 1);
    office.holds_together();
}

#[test]
fn they_can_be_left_out_and_a_row_that_is_not_off_cannot_come_back() {
    let mut office = herd();
    office.show("cows.csv", AGAIN);
    let refused = office.desk.import_merge(MergeChoices {
        rows: [(
            0,
            RowChoice::BringBack {
                key: 2,
                overwrite: false,
            },
        )]
        .into(),
        ..MergeChoices::default()
    });
    assert_eq!(
        refused.map_err(|error| error.code()),
        Err("import.merge.row")
    );
    office.choose(MergeChoices {
        taken_off: Some(TakenOffChoice::LeaveOut),
        ..MergeChoices::default()
    });
    office.commit(AGAIN);
    assert_eq!(office.column(SheetKind::Cows, "tag"), ["010", "011"]);
    office.holds_together();
}

#[test]
fn a_sheet_whose_rows_were_all_taken_off_asks_too() {
    let mut office = herd();
    office.take_off(SheetKind::Cows, &[2]);
    office.show("cows.csv", COWS);
    assert_eq!(
        office.rows().iter().map(|row| row.0).collect::<Vec<_>>(),
        [RowKind::TakenOff; 3]
    );
    office.choose(MergeChoices {
        taken_off: Some(TakenOffChoice::BringBack),
        ..MergeChoices::default()
    });
    office.commit(COWS);
    assert_eq!(office.column(SheetKind::Cows, "tag"), ["008", "009", "010"]);
    office.holds_together();
}

#[test]
fn what_could_be_two_stays_asked_even_when_all_come_back() {
    let mut office = Office::new();
    // Two calves of one tag, neither with a birth date; and a cow of another year.
    office.bring("calves.csv", "tag,sex\n17,steer\n17,heifer\n18,steer\n");
    office.take_off(SheetKind::Calves, &[0, 1, 2]);
    let file = "tag,wean wt\n17,500\n18,510\n18,520\n19,530\n";
    office.show("calves.csv", file);
    assert_eq!(
        office.rows(),
        [
            (RowKind::TakenOff, Why::Several),
            (RowKind::TakenOff, Why::TwoLines),
            (RowKind::TakenOff, Why::TwoLines),
            (RowKind::New, Why::Nothing),
        ]
    );
    office.choose(MergeChoices {
        taken_off: Some(TakenOffChoice::BringBack),
        ..MergeChoices::default()
    });
    let shown = office.desk.import_merge_shown().expect("rows taken off");
    assert!(shown.plan.brought_back.is_empty());
    assert_eq!(shown.plan.added, [3]);
    assert_eq!(shown.plan.n_left, 3);
}

#[test]
fn an_electronic_id_of_one_taken_off_goes_before_a_tag_on_record() {
    let mut office = herd();
    // Another 008 was typed in meanwhile, without an electronic ID.
    office.change(Command::Together(vec![
        Command::AddRows {
            sheet: SheetKind::Cows,
            n_rows: 1,
        },
        Command::SetCells {
            sheet: SheetKind::Cows,
            cells: [("tag", "008"), ("birth_date", "2019-04-02")]
                .into_iter()
                .map(|(column, text)| CellEdit {
                    row: 3,
                    column: column.to_owned(),
                    text: text.to_owned(),
                })
                .collect(),
        },
    ]));
    // By tag and year the row on record is the one; by the electronic ID it is the one taken off: asked.
    office.show("cows.csv", "tag,eid,born\n008,,2019-04-02\n");
    assert_eq!(office.rows(), [(RowKind::Same, Why::TagAndYear)]);
    office.show("cows.csv", "tag,eid,born\n008,840003000000008,2019-04-02\n");
    assert_eq!(office.rows(), [(RowKind::TakenOff, Why::ElectronicId)]);
    let shown = office.desk.import_merge_shown().expect("rows");
    assert_eq!(shown.merge.rows[0].candidates, [1]);
    assert_eq!(shown.merge.rows[0].taken_off, [0]);
}

/// Cow 17 and calf 17 of 2025; two cows 30 of one year, alike.
fn two_seventeens() -> Office {
    let mut office = Office::new();
    office.bring(
        "cows.csv",
        "tag,born\n17,2019-04-02\n30,2020-03-01\n30,2020-03-01\n31,2020-03-01\n",
    );
    office.bring(
        "calves.csv",
        "tag,sex,born,pen\n17,steer,2025-03-04,North\n18,steer,2025-03-05,North\n",
    );
    office
}

const SCALE: &str = "tag,date,weight\n17,2025-10-01,512\n18,2025-10-01,498\n17,2025-10-02,1210\n30,2025-10-02,1300\n";

#[test]
fn a_name_that_fits_two_is_asked_with_the_animals_it_fits() {
    let mut office = two_seventeens();
    office.show("weights.csv", SCALE);
    assert_eq!(office.desk.import_names_asked(), (3, 0));
    let names = office.desk.import_names(0, 10);
    let first = &names[0];
    assert_eq!((first.line, first.asked.name.as_str()), (2, "17"));
    assert_eq!(first.on, "2025-10-01");
    let said: Vec<(&str, Option<&str>)> = first
        .may_mean
        .iter()
        .map(|one| (one.place.words.as_str(), one.text.as_deref()))
        .collect();
    assert_eq!(
        said,
        [
            ("Cow 17, born 2019-04-02", Some("cow 17")),
            ("Calf 17, steer, born 2025-03-04, in North", Some("calf 17")),
        ]
    );
    // No words tell the two cows 30 apart.
    assert_eq!(
        names[2]
            .may_mean
            .iter()
            .map(|one| one.text.clone())
            .collect::<Vec<_>>(),
        [None, None]
    );
    let alike = office.desk.import_name(3, "animal", 0, Some(0));
    assert_eq!(
        alike.map_err(|error| error.code()),
        Err("import.name.alike")
    );
    let nobody = office.desk.import_name(1, "animal", 0, Some(0));
    assert_eq!(nobody.map_err(|error| error.code()), Err("import.name.row"));
}

#[test]
fn what_was_chosen_is_found_again_and_the_rest_stays_marked() {
    let mut office = two_seventeens();
    office.show("weights.csv", SCALE);
    office
        .desk
        .import_name(0, "animal", 0, Some(1))
        .expect("the calf");
    office
        .desk
        .import_name(2, "animal", 0, Some(0))
        .expect("the cow");
    assert_eq!(office.desk.import_names_asked(), (3, 2));
    office.commit(SCALE);
    assert_eq!(
        office.column(SheetKind::Weights, "animal"),
        ["calf 17", "18", "cow 17", "30"]
    );
    let standing = |row: u32| office.desk.names_at(SheetKind::Weights, row, "animal")[0].standing;
    assert_eq!(
        [0, 1, 2, 3].map(standing),
        [
            Standing::One,
            Standing::One,
            Standing::One,
            Standing::Several
        ]
    );
    let marked: Vec<u32> = office
        .desk
        .findings()
        .list
        .iter()
        .filter(|finding| finding.code == Code::NameSeveral)
        .map(|finding| finding.row)
        .collect();
    assert_eq!(marked, [3]);
    office.holds_together();
}

#[test]
fn a_choice_taken_back_leaves_the_cell_as_the_file_has_it() {
    let mut office = two_seventeens();
    office.show("weights.csv", SCALE);
    for choice in [Some(1), Some(0), None] {
        office
            .desk
            .import_name(0, "animal", 0, choice)
            .expect("it is asked");
    }
    office.commit(SCALE);
    assert_eq!(office.column(SheetKind::Weights, "animal")[0], "17");
    office.holds_together();
}

#[test]
fn the_file_once_more_is_the_same_once_the_names_are_told_apart() {
    let mut office = two_seventeens();
    for _ in 0..2 {
        office.show("weights.csv", SCALE);
        office
            .desk
            .import_name(0, "animal", 0, Some(1))
            .expect("the calf");
        office
            .desk
            .import_name(2, "animal", 0, Some(0))
            .expect("the cow");
        if office.desk.book().sheet(SheetKind::Weights).n_rows() == 0 {
            office.commit(SCALE);
        }
    }
    assert_eq!(
        office.rows().iter().map(|row| row.0).collect::<Vec<_>>(),
        [RowKind::Same; 4]
    );
    // A row that is on record word for word is not asked about again.
    assert_eq!(office.desk.import_names(2, 1).len(), 0);
}

#[test]
fn a_dam_and_each_sire_of_a_list_are_asked_about_too() {
    let mut office = Office::new();
    office.bring(
        "cows.csv",
        "tag,eid,born\n17,840003000000017,2019-04-02\n17,840003000000117,2020-04-02\n",
    );
    office.bring(
        "bulls.csv",
        "tag,name,born\n12B,Stone,2019-02-01\n44F,,2018-02-01\n44F,,2017-02-01\n",
    );
    let file = "tag,sex,born,dam,sire\n1,steer,2025-03-04,17,12B; 44F\n";
    office.show("calves.csv", file);
    let asked: Vec<(&str, u32)> = office
        .desk
        .import_names(0, 10)
        .iter()
        .map(|one| (one.asked.column, one.asked.nth))
        .collect();
    assert_eq!(asked, [("dam", 0), ("sire", 1)]);
    office.desk.import_name(0, "dam", 0, Some(1)).expect("she");
    office.desk.import_name(0, "sire", 1, Some(0)).expect("he");
    office.commit(file);
    assert_eq!(office.column(SheetKind::Calves, "dam"), ["840003000000117"]);
    assert_eq!(
        office.column(SheetKind::Calves, "sire"),
        ["12B; bull 44F born 2018"]
    );
    office.holds_together();
}

#[test]
fn tags_on_record_go_to_the_new_rows_when_rows_were_taken_off() {
    let mut office = herd();
    office.bring(
        "weights.csv",
        "tag,date,weight\n010,2025-09-01,1100\n010,2025-09-02,1110\n",
    );
    office.take_off(SheetKind::Weights, &[0]);
    office.bring(
        "weights.csv",
        "eid,date,weight\n840003000000010,2025-10-01,1200\n",
    );
    assert_eq!(office.column(SheetKind::Weights, "animal"), ["010", "010"]);
    assert_eq!(
        office.column(SheetKind::Weights, "weight"),
        ["1110", "1200"]
    );
    office.holds_together();
}
