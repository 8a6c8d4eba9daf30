//! What the property tests of editing and of the saved book share.

pub mod cells;
pub mod office;

use fairpen_engine::book::digest::Digest;
use fairpen_engine::book::form::kind_word;
use fairpen_engine::desk::Desk;
use fairpen_engine::import::merge::MergeChoices;
use fairpen_engine::import::plan::Target;
use fairpen_engine::sheet::accepted::{Acceptance, Doubt};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::look::{ColumnPlace, LookChange};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::set_kind::OWN_KINDS;
use fairpen_engine::sheet::settings::{OutsideWindow, Settings, WeightUnit};
use fairpen_engine::sheet::table::Table;
use fairpen_engine::sheet::view::{ColumnFilter, SortKey};
use fairpen_engine::sheet::workbook::Workbook;
use proptest::prelude::*;

/// Everything a book holds, cell for cell and bit for bit, as lines that can be compared and read.
pub fn picture(book: &Workbook) -> Vec<String> {
    let mut lines = vec![format!(
        "{:?} {:?} {:?}",
        book.settings, book.accepted, book.remembered
    )];
    for kind in SheetKind::ALL {
        let table = book.sheet(kind);
        lines.push(format!("{:?}", book.looks.of(kind)));
        lines.extend(picture_of(table));
        if let Some(off) = table.taken_off() {
            lines.push(format!("taken off {:?}", off.keys()));
            // Headers and formulas are of the sheet's columns.
            lines.extend(picture_of(off.rows()).into_iter().map(|line| {
                let cells = line.find('[').map_or("", |at| &line[at..]);
                let key = line.trim_start().split(' ').next().unwrap_or("");
                format!("{key} {cells}")
            }));
        }
    }
    lines
}

/// A sheet in the same way.
pub fn picture_of(table: &Table) -> Vec<String> {
    let mut lines = Vec::new();
    {
        lines.push(format!(
            "{} {} {:?}",
            table.kind.key(),
            table.n_rows(),
            table.source_line
        ));
        for column in table.columns() {
            let mut cells = Vec::new();
            for row in 0..table.n_rows() {
                cells.push(match column.value(row) {
                    Value::Number(number) => format!("{number} {:x}", number.to_bits()),
                    value => format!("{value:?}"),
                });
            }
            assert_eq!(
                column.len(),
                table.n_rows(),
                "{} has a cell per row",
                column.key
            );
            lines.push(format!(
                "  {} {:?} {:?} {} {:?} {:?} {cells:?}",
                column.key,
                column.label,
                column.header,
                kind_word(column.kind),
                column.origin,
                column.formula
            ));
        }
    }
    lines
}

/// Texts as people type them, and some that nobody should.
pub fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        3 => (0_u32..9000).prop_map(|n| format!("{}.{}", n / 10, n % 10)),
        2 => (1_u32..13, 1_u32..32, 2020_i32..2027).prop_map(|(m, d, y)| format!("{m}/{d}/{y}")),
        2 => prop::sample::select(vec![
            "", "heifer", "steer", "bull", "twin", "Pen 1", "Pen 2", "2026-03-14", "abt 500", "n/a",
            "=1+1", "+cmd|' /C calc'!A0", "@SUM(A1)", "a;b", "\"quoted\"", "line\nline", "\r", " x ",
            "512 kg", "1,234", "0", "-0", "1e308", "\u{feff}", "\u{1f}", "ß 牛 🐄", "2026-02-30", "13/13/26",
        ]).prop_map(str::to_owned),
        1 => any::<String>(),
    ]
}

const COLUMNS: [(SheetKind, &[&str]); 3] = [
    (
        SheetKind::Calves,
        &[
            "tag",
            "sex",
            "birth_date",
            "birth_weight",
            "dam",
            "dam_age",
            "sire",
            "place",
            "wean_date",
            "wean_weight",
            "born_as",
            "note",
        ],
    ),
    (
        SheetKind::Cows,
        &["tag", "birth_date", "birth_year", "age_from"],
    ),
    (SheetKind::Places, &["name", "kind", "area"]),
];

/// Something to do to a book. Rows and sheets are drawn freely, so some of it is refused.
#[derive(Clone, Debug)]
pub enum Deed {
    Type(usize, Vec<(u32, usize, String)>),
    AddRows(usize, u32, Vec<(u32, usize, String)>),
    AddColumn(usize, String),
    DropColumn(usize, String),
    AddCalculated(usize, String, usize),
    SetFormula(usize, String, Option<usize>),
    RenameColumn(usize, String, String),
    RemoveColumn(usize, String),
    Look(usize, LookChange),
    KeepView(usize, String),
    ShowView(usize, String),
    RenameView(usize, String, String),
    DeleteView(usize, String),
    Settings(bool, i32, bool, String),
    Import(u8),
    Accept(usize, Option<u32>, usize, Option<String>),
    SetKind(usize, String, usize),
    TakeOff(usize, Vec<u32>),
    BringBack(usize, Vec<u32>),
    Undo,
    Redo,
}

pub fn deed() -> impl Strategy<Value = Deed> {
    let cells = || prop::collection::vec((0_u32..14, 0_usize..14, typed()), 0..6);
    prop_oneof![
        6 => (0_usize..3, cells()).prop_map(|(sheet, cells)| Deed::Type(sheet, cells)),
        3 => (0_usize..3, 0_u32..5, cells()).prop_map(|(s, n, cells)| Deed::AddRows(s, n, cells)),
        1 => (0_usize..3, "[a-c ]{0,3}|Tag|Ratio").prop_map(|(s, label)| Deed::AddColumn(s, label)),
        1 => (0_usize..3, "[a-c]{1,2}|tag|x").prop_map(|(s, key)| Deed::DropColumn(s, key)),
        1 => (0_usize..3, "[a-c]{1,2}", 0..FORMULAS.len())
            .prop_map(|(s, label, formula)| Deed::AddCalculated(s, label, formula)),
        1 => (0_usize..3, "[a-c]{1,2}|tag", prop::option::of(0..FORMULAS.len()))
            .prop_map(|(s, key, formula)| Deed::SetFormula(s, key, formula)),
        1 => (0_usize..3, "[a-c]{1,2}|tag", "[a-d ]{0,3}|Tag")
            .prop_map(|(s, key, label)| Deed::RenameColumn(s, key, label)),
        2 => (0_usize..3, "[a-c]{1,2}|tag|temper_1_5")
            .prop_map(|(s, key)| Deed::RemoveColumn(s, key)),
        2 => (0_usize..3, look()).prop_map(|(s, change)| Deed::Look(s, change)),
        1 => (0_usize..3, "[vw ]{0,2}").prop_map(|(s, name)| Deed::KeepView(s, name)),
        1 => (0_usize..3, "[vw]").prop_map(|(s, name)| Deed::ShowView(s, name)),
        1 => (0_usize..3, "[vw]", "[vw]{1,2}").prop_map(|(s, from, to)| Deed::RenameView(s, from, to)),
        1 => (0_usize..3, "[vw]").prop_map(|(s, name)| Deed::DeleteView(s, name)),
        1 => (any::<bool>(), 100_i32..300, any::<bool>(), ".{0,8}")
            .prop_map(|(kg, to, straight, title)| Deed::Settings(kg, to, straight, title)),
        1 => (0_usize..3, prop::option::of(0_u32..9), 0_usize..14, prop::option::of("[0-9a]{0,2}"))
            .prop_map(|(sheet, row, column, read)| Deed::Accept(sheet, row, column, read)),
        2 => (0_usize..3, "a|temper_1_5|pen|[bc]|tag", 0..OWN_KINDS.len())
            .prop_map(|(sheet, key, kind)| Deed::SetKind(sheet, key, kind)),
        1 => (0_u8..9).prop_map(Deed::Import),
        3 => (0_usize..3, prop::collection::vec(0_u32..14, 0..4))
            .prop_map(|(sheet, rows)| Deed::TakeOff(sheet, rows)),
        1 => (0_usize..3, prop::collection::vec(0_u32..14, 0..3))
            .prop_map(|(sheet, rows)| Deed::BringBack(sheet, rows)),
        3 => Just(Deed::Undo),
        2 => Just(Deed::Redo),
    ]
}

/// Parts of a look, of columns that are there and of some that are not.
pub fn look() -> impl Strategy<Value = LookChange> {
    const KEYS: [&str; 6] = ["tag", "note", "a", "b", "ratio", "gone"];
    let key = || prop::sample::select(KEYS.to_vec()).prop_map(str::to_owned);
    let places = prop::collection::btree_map(key(), any::<Option<bool>>(), 0..6)
        .prop_map(|places| {
            places
                .into_iter()
                .map(|(column, shown)| ColumnPlace { column, shown })
                .collect::<Vec<_>>()
        })
        .prop_shuffle();
    let sort = (key(), any::<bool>())
        .prop_map(|(column, descending)| vec![SortKey { column, descending }]);
    let filter = (
        key(),
        typed(),
        prop::option::of(prop::collection::vec(typed(), 0..3)),
    )
        .prop_map(|(column, contains, values)| {
            vec![ColumnFilter {
                column,
                contains,
                values,
            }]
        });
    (
        prop::option::of(places),
        prop::option::of(prop::collection::btree_map(key(), 0_u16..2100, 0..3)),
        prop::option::of(0_u16..5),
        prop::option::of(sort),
        prop::option::of(filter),
    )
        .prop_map(|(columns, widths, n_frozen, sort, filters)| LookChange {
            columns,
            widths,
            n_frozen,
            sort,
            filters,
        })
}

/// Formulas to give: good ones, ones that may go round in a circle, and ones that are refused.
pub const FORMULAS: [&str; 8] = [
    "tag & \"!\"",
    "LEN(a) + 1",
    "b",
    "c & a",
    "IFERROR(ratio / 100; \"none\")",
    "COUNTIF('calves'.tag; tag)",
    "birth_date + 1",
    "1 +",
];

/// Files to bring in: with own columns, with a unit of its own, and with text that is not understood.
pub const FILES: [(&str, &str); 3] = [
    (
        "calves.csv",
        "Tag,Sex,Born,Birth Wt,Temper (1-5),Weaned,Wean Wt\n\
         1,heifer,2026-03-01,80,2,2026-09-28,512\n\
         2,steer,2026-03-04,abt 85,3,2026-09-28,530.5\n",
    ),
    (
        "barn.csv",
        "tag;sex;birth_date;wean_weight (kg);pen;a\n\
         7;bull;14/03/2026;232,5;Pen 3;x\n\
         8;heifer;15/03/2026;240;Pen 3;\n",
    ),
    (
        "few calves.csv",
        "Tag,Note,A\n9,\"=1+1, really\",=2\n10,,\n",
    ),
];

/// Does it. `Ok` with the journal record when it was accepted.
pub fn act(desk: &mut Desk, deed: &Deed) -> Result<Vec<u8>, fairpen_engine::error::Error> {
    let edits = |sheet: usize, cells: &[(u32, usize, String)], first: u32| -> Vec<CellEdit> {
        let (_, columns) = COLUMNS[sheet];
        cells
            .iter()
            .map(|(row, column, text)| CellEdit {
                row: first + row,
                column: columns
                    .get(*column)
                    .copied()
                    .unwrap_or(if column % 2 == 0 { "ratio" } else { "a" })
                    .to_owned(),
                text: text.clone(),
            })
            .collect()
    };
    match deed {
        Deed::Undo => desk.undo(),
        Deed::Redo => desk.redo(),
        Deed::Type(sheet, cells) => desk.change(Command::SetCells {
            sheet: COLUMNS[*sheet].0,
            cells: edits(*sheet, cells, 0),
        }),
        Deed::AddRows(sheet, n_rows, cells) => {
            let kind = COLUMNS[*sheet].0;
            let first = desk.book().sheet(kind).n_keys() as u32;
            desk.change(Command::Together(vec![
                Command::AddRows {
                    sheet: kind,
                    n_rows: *n_rows,
                },
                Command::SetCells {
                    sheet: kind,
                    cells: edits(*sheet, cells, first),
                },
            ]))
        }
        Deed::Accept(sheet, row, column, read) => {
            let (kind, columns) = COLUMNS[*sheet];
            desk.change(Command::Accept(vec![Acceptance {
                doubt: Doubt {
                    sheet: kind,
                    row: *row,
                    column: columns.get(*column).copied().unwrap_or("").to_owned(),
                    code: "check.gain.range".to_owned(),
                },
                read: read.clone(),
            }]))
        }
        // Of the rows drawn those that are there, so that most of it is done; without one it is refused.
        Deed::TakeOff(sheet, rows) => {
            let kind = COLUMNS[*sheet].0;
            let table = desk.book().sheet(kind);
            let rows = rows.iter().copied();
            desk.change(Command::TakeOff {
                sheet: kind,
                rows: rows.filter(|&key| table.row_of(key).is_some()).collect(),
            })
        }
        Deed::BringBack(sheet, rows) => {
            let kind = COLUMNS[*sheet].0;
            let table = desk.book().sheet(kind);
            let rows = rows.iter().copied();
            desk.change(Command::BringBack {
                sheet: kind,
                rows: rows.filter(|&key| table.is_taken_off(key)).collect(),
            })
        }
        Deed::SetKind(sheet, key, kind) => desk.change(Command::SetKind {
            sheet: COLUMNS[*sheet].0,
            column: key.clone(),
            kind: OWN_KINDS[*kind],
        }),
        Deed::AddColumn(sheet, label) => desk.change(Command::AddColumn {
            sheet: COLUMNS[*sheet].0,
            kind: OWN_KINDS[label.len() % OWN_KINDS.len()],
            label: label.clone(),
        }),
        Deed::DropColumn(sheet, key) => desk.change(Command::DropColumn {
            sheet: COLUMNS[*sheet].0,
            column: key.clone(),
        }),
        Deed::AddCalculated(sheet, label, formula) => desk.change(Command::AddCalculated {
            sheet: COLUMNS[*sheet].0,
            label: label.clone(),
            formula: FORMULAS[*formula].to_owned(),
        }),
        Deed::SetFormula(sheet, key, formula) => desk.change(Command::SetFormula {
            sheet: COLUMNS[*sheet].0,
            column: key.clone(),
            formula: formula.map(|formula| FORMULAS[formula].to_owned()),
        }),
        Deed::RenameColumn(sheet, key, label) => desk.change(Command::RenameColumn {
            sheet: COLUMNS[*sheet].0,
            column: key.clone(),
            label: label.clone(),
        }),
        Deed::RemoveColumn(sheet, key) => desk.change(Command::RemoveColumn {
            sheet: COLUMNS[*sheet].0,
            column: key.clone(),
        }),
        Deed::Look(sheet, change) => desk.change(Command::SetLook {
            sheet: COLUMNS[*sheet].0,
            change: Box::new(change.clone()),
            view: None,
        }),
        Deed::KeepView(sheet, name) => desk.change(Command::KeepView {
            sheet: COLUMNS[*sheet].0,
            name: name.clone(),
        }),
        Deed::ShowView(sheet, name) => desk.change(Command::ShowView {
            sheet: COLUMNS[*sheet].0,
            name: name.clone(),
        }),
        Deed::RenameView(sheet, name, new_name) => desk.change(Command::RenameView {
            sheet: COLUMNS[*sheet].0,
            name: name.clone(),
            new_name: new_name.clone(),
        }),
        Deed::DeleteView(sheet, name) => desk.change(Command::PutView {
            sheet: COLUMNS[*sheet].0,
            name: name.clone(),
            look: None,
        }),
        Deed::Settings(kilograms, to, straight, title) => {
            desk.change(Command::SetSettings(Box::new(Settings {
                title: title.clone(),
                weight_unit: if *kilograms {
                    WeightUnit::Kilogram
                } else {
                    WeightUnit::Pound
                },
                window_to_days: *to,
                outside_window: if *straight {
                    OutsideWindow::StraightAge
                } else {
                    OutsideWindow::ActualOnly
                },
                ..desk.book().settings.clone()
            })))
        }
        Deed::Import(which) => {
            let (name, text) = FILES[usize::from(*which) % FILES.len()];
            desk.import_begin(name);
            for piece in text.as_bytes().chunks(7) {
                desk.import_push(piece)?;
            }
            desk.import_finish()?;
            if usize::from(*which) >= 2 * FILES.len() {
                // Read otherwise than guessed, which is remembered.
                let mut plan = desk
                    .import_shown()
                    .map(|(_, imported)| imported.plan.clone())
                    .expect("a file that was read");
                plan.choose(plan.columns.len() - 1, Target::LeaveOut);
                desk.import_by_plan(plan)?;
                desk.import_push(text.as_bytes())?;
                desk.import_finish()?;
            }
            // Rows meet rows on record, or all come in as new ones.
            desk.import_merge(MergeChoices {
                match_rows: usize::from(*which) < FILES.len(),
                overwrite: which % 2 == 1,
                ..MergeChoices::default()
            })?;
            desk.import_commit(&Digest::of(text.as_bytes()))
        }
    }
}

/// A desk with some rows to work on.
pub fn desk_with_rows() -> Desk {
    let mut desk = Desk::new();
    for deed in [
        Deed::Import(0),
        Deed::AddRows(
            0,
            3,
            vec![(0, 0, "4017".to_owned()), (1, 9, "abt 500".to_owned())],
        ),
        Deed::AddRows(1, 2, vec![(0, 0, "12".to_owned())]),
        Deed::AddRows(
            2,
            1,
            vec![(0, 0, "Pen 1".to_owned()), (0, 1, "pen".to_owned())],
        ),
        Deed::AddColumn(0, "a".to_owned()),
    ] {
        act(&mut desk, &deed).expect("a sound beginning");
    }
    desk
}
