//! Files brought into sheets that hold rows already: what each row is to the book, and what comes of it.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::office::Office;
use fairpen_engine::book::digest::Digest;
use fairpen_engine::import::merge::{CellState, MergeChoices, RowChoice, RowKind, Why};
use fairpen_engine::sheet::schema::SheetKind;

const HERD: &str = "tag,eid,sex,born,dam,weaned,wean wt,pen\n\
    101,840003000000101,steer,2024-03-01,11,2024-10-01,500,A\n\
    101,,steer,2025-03-02,11,,,\n\
    102,,heifer,2025-03-05,12,,,\n\
    103,840 003 000 000 103,bull,2025-03-09,13,,,B\n\
    104,,heifer,,14,,,\n\
    ,,heifer,2025-03-11,15,,,\n";

#[test]
fn weights_of_a_scale_land_on_the_calves_of_that_season() {
    let mut office = Office::new();
    office.bring("calves.csv", HERD);
    let scale = "Tag,Date,Weight\n101,10/14/2025,512\n 102,10/14/2025,498.5\n0103,10/14/2025,530\n104,10/14/2025,505\n999,10/14/2025,470\n";
    office.show("weaning 2025.csv", scale);
    assert_eq!(
        office.rows(),
        [
            (RowKind::Fills, Why::TagAndYear),
            (RowKind::Fills, Why::TagAndYear),
            // 0103 is another tag than 103.
            (RowKind::New, Why::Nothing),
            (RowKind::Fills, Why::TagAlone),
            (RowKind::New, Why::Nothing),
        ]
    );
    office.choose(MergeChoices {
        add_new: false,
        ..MergeChoices::default()
    });
    let shown = office.desk.import_merge_shown().expect("a merge");
    let notes: Vec<_> = shown
        .plan
        .notes
        .iter()
        .map(|note| (note.code, note.place.line))
        .collect();
    assert_eq!(
        notes,
        [
            ("import.merge.left_out", Some(4)),
            ("import.merge.left_out", Some(6)),
            ("import.merge.tag_alone", Some(5)),
            // 104 has no birth date on record; all have their sex.
            ("import.column.none", Some(5)),
        ]
    );
    office.commit(scale);
    assert_eq!(
        office.column(SheetKind::Calves, "wean_weight"),
        ["500", "512", "498.5", "", "505", ""]
    );
    assert_eq!(
        office.column(SheetKind::Calves, "weigh_date")[1],
        "2025-10-14"
    );
    assert_eq!(
        office.desk.history().undo_words(),
        Some("bringing in weaning 2025.csv (0 rows new, 3 changed)")
    );
    office.holds_together();
}

#[test]
fn a_file_brought_in_twice_changes_nothing() {
    let mut office = Office::new();
    office.bring("calves.csv", HERD);
    office.show("calves again.csv", HERD);
    assert!(office.rows().iter().all(|(kind, _)| *kind == RowKind::Same));
    let refused = office
        .desk
        .import_commit(&Digest::of(HERD.as_bytes()))
        .expect_err("nothing to do");
    assert_eq!(refused.code(), "import.merge.nothing");
    assert_eq!(office.desk.book().calves().n_rows(), 6);
}

#[test]
fn what_differs_is_kept_until_it_is_said_otherwise() {
    let mut office = Office::new();
    office.bring("calves.csv", HERD);
    let text = "tag,eid,sex,born,dam,breed,temper\n\
        103,840-003-000000103,steer,2025-03-09,13,Angus,2\n\
        102,,heifer,2025-03-06,,,3\n\
        105,,bull,2025-03-20,16,,\n";
    office.show("calves 2.csv", text);
    let kinds: Vec<_> = office.rows().iter().map(|(kind, _)| *kind).collect();
    assert_eq!(kinds, [RowKind::Differs, RowKind::Differs, RowKind::New]);
    let rows = office.desk.import_rows(Some(RowKind::Differs), 0, 9);
    let cells: Vec<_> = rows[0]
        .cells
        .iter()
        .map(|cell| (cell.column.as_str(), cell.state))
        .collect();
    assert_eq!(
        cells,
        [
            ("tag", CellState::Same),
            ("eid", CellState::Same),
            ("sex", CellState::Differs),
            ("birth_date", CellState::Same),
            ("breed", CellState::Fills),
            ("dam", CellState::Same),
            ("temper", CellState::Fills),
        ]
    );
    let choices = MergeChoices {
        rows: [(
            0,
            RowChoice::Into {
                row: 3,
                overwrite: true,
            },
        )]
        .into(),
        ..MergeChoices::default()
    };
    office.choose(choices);
    office.commit(text);
    assert_eq!(office.column(SheetKind::Calves, "sex")[3], "steer");
    assert_eq!(
        office.column(SheetKind::Calves, "birth_date")[2],
        "2025-03-05"
    );
    assert_eq!(
        office.column(SheetKind::Calves, "temper"),
        ["", "", "3", "2", "", "", ""]
    );
    assert_eq!(office.column(SheetKind::Calves, "tag")[6], "105");
    office.holds_together();
}

#[test]
fn what_fits_two_animals_is_asked_and_never_guessed() {
    let mut office = Office::new();
    office.bring("calves.csv", HERD);
    let text = "tag,eid,birth wt\n101,,80\n101,840003000000101,82\n103,840003000000999,79\n103,,78\n103,,77\n";
    office.show("births.csv", text);
    assert_eq!(
        office.rows(),
        [
            (RowKind::Unclear, Why::Several),
            (RowKind::Fills, Why::ElectronicId),
            (RowKind::Unclear, Why::OtherElectronicId),
            (RowKind::Unclear, Why::TwoLines),
            (RowKind::Unclear, Why::TwoLines),
        ]
    );
    let shown = office.desk.import_merge_shown().expect("a merge");
    let unclear = |code: &str| {
        shown
            .plan
            .notes
            .iter()
            .filter(|note| note.code == code)
            .count()
    };
    assert_eq!(unclear("import.merge.unclear"), 4);
    assert_eq!((shown.plan.n_changed, shown.plan.n_left), (1, 4));
    office.choose(MergeChoices {
        rows: [
            (
                0,
                RowChoice::Into {
                    row: 1,
                    overwrite: false,
                },
            ),
            (2, RowChoice::Add),
            (3, RowChoice::LeaveOut),
        ]
        .into(),
        ..MergeChoices::default()
    });
    office.commit(text);
    assert_eq!(
        office.column(SheetKind::Calves, "birth_weight"),
        ["82", "80", "", "", "", "", "79"]
    );
    office.holds_together();
}

#[test]
fn cows_with_another_birth_year_are_asked() {
    let mut office = Office::new();
    office.bring(
        "cows.csv",
        "tag,birth year,breed\n11,2019,Angus\n12,,Angus\n",
    );
    office.show(
        "cows 2.csv",
        "tag,birth year,note\n11,2018,x\n12,2020,y\n13,2021,z\n",
    );
    assert_eq!(
        office.rows(),
        [
            (RowKind::Unclear, Why::OtherYear),
            (RowKind::Fills, Why::TagAlone),
            (RowKind::New, Why::Nothing),
        ]
    );
}

#[test]
fn weighings_checks_and_treatments_are_found_by_animal_and_day() {
    let mut office = Office::new();
    office.bring(
        "weights.csv",
        "animal,date,weight\n1,2025-10-14,500\n1,2025-11-14,560\n",
    );
    let text = "animal,date,weight\n1,2025-10-14,500\n1,2025-11-14,565\n1,2025-12-14,600\n2,,400\n";
    office.show("weights.csv", text);
    assert_eq!(
        office.rows(),
        [
            (RowKind::Same, Why::Key),
            (RowKind::Differs, Why::Key),
            (RowKind::New, Why::Nothing),
            (RowKind::New, Why::KeyMissing),
        ]
    );
    office.commit(text);
    assert_eq!(
        office.column(SheetKind::Weights, "weight"),
        ["500", "560", "600", "400"]
    );
    office.holds_together();

    let mut office = Office::new();
    let text = "animal,date,product,dose\n1,2025-05-01,A,5\n1,2025-05-01,B,2\n";
    office.bring("treatments.csv", text);
    office.show(
        "treatments.csv",
        "animal,date,product,reason\n1,2025-05-01,b,foot\n1,2025-05-01,C,\n",
    );
    assert_eq!(
        office.rows(),
        [(RowKind::Fills, Why::Key), (RowKind::New, Why::Nothing)]
    );
}

#[test]
fn texts_that_cannot_be_read_never_stand_over_a_value() {
    let mut office = Office::new();
    office.bring(
        "calves.csv",
        "tag,born,weaned,wean wt\n1,2025-03-01,2025-10-01,500\n2,2025-03-01,2025-10-01,\n",
    );
    let text = "tag,born,weaned,wean wt\n1,2025-03-01,2025-10-01,about 480\n2,2025-03-01,2025-10-01,about 490\n";
    office.show("calves.csv", text);
    office.choose(MergeChoices {
        overwrite: true,
        ..MergeChoices::default()
    });
    office.commit(text);
    assert_eq!(
        office.column(SheetKind::Calves, "wean_weight"),
        ["500", "!about 490"]
    );
    office.holds_together();
}

#[test]
fn every_row_can_come_in_as_a_new_one() {
    let mut office = Office::new();
    office.bring("calves.csv", HERD);
    office.show("calves.csv", HERD);
    office.choose(MergeChoices {
        match_rows: false,
        ..MergeChoices::default()
    });
    office.commit(HERD);
    assert_eq!(office.desk.book().calves().n_rows(), 12);
    office.holds_together();
}
