//! Views: what is sorted, filtered and searched is what is shown, by the plainest way to say it.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::{act, deed, desk_with_rows};
use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::view::{ColumnFilter, SortKey, ViewSpec};
use proptest::prelude::*;

const KEYS: [&str; 9] = [
    "tag",
    "sex",
    "birth_date",
    "wean_weight",
    "place",
    "note",
    "adj_205_weight",
    "flags",
    "contemporary_group",
];

fn shown(desk: &Desk, row: u32, key: &str) -> String {
    desk.shown_cell(SheetKind::Calves, key, row as usize)
        .map_or_else(String::new, |cell| cell.text)
}

fn rows(desk: &Desk) -> Vec<u32> {
    (0..desk.n_shown(SheetKind::Calves))
        .filter_map(|position| desk.row_at(SheetKind::Calves, position))
        .collect()
}

proptest! {
    #[test]
    fn filters_and_searches_agree_with_the_shown_text(
        deeds in prop::collection::vec(deed(), 0..20),
        column in prop::sample::select(&KEYS[..]),
        contains in "[0-9a-eP.-]{0,2}",
        text in "[0-9a-eP.-]{0,2}",
        by_value in any::<bool>(),
    ) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let n_rows = desk.book().calves().n_rows() as u32;
        let value = shown(&desk, 0, column);
        let spec = ViewSpec {
            sort: Vec::new(),
            text: text.clone(),
            filters: vec![ColumnFilter {
                column: column.to_owned(),
                contains: contains.clone(),
                values: by_value.then(|| vec![value.clone(), String::new()]),
            }],
        };
        let n = desk.set_view(SheetKind::Calves, &spec);
        let has = |whole: &str, part: &str| whole.to_lowercase().contains(&part.to_lowercase());
        let columns = desk.column_keys(SheetKind::Calves);
        let plain: Vec<u32> = (0..n_rows)
            .filter(|&row| has(&shown(&desk, row, column), &contains))
            .filter(|&row| {
                let cell = shown(&desk, row, column);
                !by_value || cell == value || cell.is_empty()
            })
            .filter(|&row| text.is_empty() || columns.iter().any(|key| has(&shown(&desk, row, key), &text)))
            .collect();
        prop_assert_eq!(n, plain.len());
        prop_assert_eq!(rows(&desk), plain);

        desk.set_view(SheetKind::Calves, &ViewSpec::default());
        let counted: u32 = desk.values(SheetKind::Calves, column).iter().map(|(_, n)| n).sum();
        prop_assert_eq!(counted, n_rows);
        for (value, n) in desk.values(SheetKind::Calves, column) {
            let there = (0..n_rows).filter(|&row| shown(&desk, row, column) == value).count();
            prop_assert_eq!(n as usize, there, "{}", value);
        }
    }

    #[test]
    fn sorting_keeps_every_row_and_puts_missing_last(
        deeds in prop::collection::vec(deed(), 0..20),
        first in prop::sample::select(&KEYS[..]),
        second in prop::sample::select(&KEYS[..]),
        descending in any::<(bool, bool)>(),
    ) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let n_rows = desk.book().calves().n_rows() as u32;
        let key = |column: &str, descending| SortKey { column: column.to_owned(), descending };
        let spec = ViewSpec {
            sort: vec![key(first, descending.0), key(second, descending.1)],
            ..ViewSpec::default()
        };
        desk.set_view(SheetKind::Calves, &spec);
        let order = rows(&desk);
        let mut sorted = order.clone();
        sorted.sort_unstable();
        prop_assert_eq!(sorted, (0..n_rows).collect::<Vec<_>>());
        let value = |row: u32, column: &str| {
            desk.shown_cell(SheetKind::Calves, column, row as usize).expect("a column")
        };
        let blank = |row: u32, column: &str| {
            let cell = value(row, column);
            cell.text.is_empty() || cell.unreadable
        };
        for pair in order.windows(2) {
            prop_assert!(!blank(pair[0], first) || blank(pair[1], first), "missing is last");
            let (a, b) = (value(pair[0], first), value(pair[1], first));
            if !a.value.is_nan() && !b.value.is_nan() {
                let in_order = if descending.0 { a.value >= b.value } else { a.value <= b.value };
                prop_assert!(in_order);
            }
            let tied = a.text == b.text && a.value.to_bits() == b.value.to_bits();
            if tied && blank(pair[0], second) == blank(pair[1], second) && first != second {
                let (a, b) = (value(pair[0], second), value(pair[1], second));
                if a.text == b.text && a.value.to_bits() == b.value.to_bits() {
                    prop_assert!(pair[0] < pair[1], "ties keep their order");
                }
            }
        }
        for (position, &row) in order.iter().enumerate() {
            prop_assert_eq!(desk.position_of(SheetKind::Calves, desk.book().calves().key_of(row)), Some(position));
        }
    }
}

#[test]
fn an_edit_never_moves_a_row_on_the_screen() {
    let mut desk = desk_with_rows();
    let spec = ViewSpec {
        sort: vec![SortKey {
            column: "wean_weight".to_owned(),
            descending: true,
        }],
        ..ViewSpec::default()
    };
    desk.set_view(SheetKind::Calves, &spec);
    let before = rows(&desk);
    act(
        &mut desk,
        &common::Deed::Type(0, vec![(before[0], 9, "1".to_owned())]),
    )
    .expect("sound");
    assert_eq!(rows(&desk), before);
    act(&mut desk, &common::Deed::AddRows(0, 2, Vec::new())).expect("sound");
    assert_eq!(rows(&desk)[..before.len()], before[..]);
    assert_eq!(rows(&desk).len(), before.len() + 2);
    desk.undo().expect("the way back is open");
    assert_eq!(rows(&desk), before);
}

#[test]
fn the_edge_of_data_is_where_ctrl_with_an_arrow_goes() {
    let mut desk = Desk::new();
    let tags = ["qa", "qb", "", "", "qc", "qd", "qe", ""];
    let cells = (0..)
        .zip(tags)
        .map(|(row, tag)| (row, 0, tag.to_owned()))
        .collect();
    act(
        &mut desk,
        &common::Deed::AddRows(0, tags.len() as u32, cells),
    )
    .expect("sound");
    let edge = |from, forward| desk.edge(SheetKind::Calves, from, "tag", forward);
    assert_eq!(
        [
            edge(0, true),
            edge(1, true),
            edge(2, true),
            edge(4, true),
            edge(6, true)
        ],
        [1, 4, 4, 6, 7]
    );
    assert_eq!(
        [
            edge(7, false),
            edge(6, false),
            edge(4, false),
            edge(1, false),
            edge(0, false)
        ],
        [6, 4, 1, 0, 0]
    );
    let shown = ["tag".to_owned(), "place".to_owned()];
    let find = |text: &str, from| desk.find(SheetKind::Calves, text, from, &shown);
    assert_eq!(find("QD", None), Some(5));
    assert_eq!(find("qa", Some(0)), Some(0), "round at the end");
    let hidden = desk.find(SheetKind::Calves, "QD", None, &["place".to_owned()]);
    assert_eq!(hidden, None, "only the columns shown are looked through");
}
