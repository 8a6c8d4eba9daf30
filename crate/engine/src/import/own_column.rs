//! Keys and labels of columns of the person's own.
//!
//! Enters: a header and the keys already there. Leaves: a key and a label no other column has.
//! Always true: lower_snake_case, never a known key of the sheet nor one of a result.
//! Never: changes a header that people read, unless it is blank or stands there twice.

use crate::sheet::own_key::own_key;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// Keys of the columns that later steps work out; no own column may take one.
const KEPT_FOR_RESULTS: [&str; 13] = [
    "dam_age_days",
    "dam_age_class",
    "age_days",
    "birth_weight_used",
    "adj_birth_weight",
    "gain_per_day",
    "weight_per_day",
    "adj_205_weight",
    "contemporary_group",
    "group_size",
    "ratio",
    "rank_in_group",
    "flags",
];

/// A key made from a header: `Temper (1-5)` becomes `temper_1_5`.
pub fn key_for(sheet: SheetKind, table: &Table, header: &str) -> String {
    own_key(sheet, header, |key| {
        table.column(key).is_some() || KEPT_FOR_RESULTS.contains(&key)
    })
}

/// A label from a header: the header itself, numbered when another column has it.
pub fn label_for(table: &Table, header: &str, position: usize) -> String {
    let header = header.trim();
    if header.is_empty() {
        return numbered(&format!("Column {}", position + 1), " ", |label| {
            has_label(table, label)
        });
    }
    numbered(header, " ", |label| has_label(table, label))
}

fn has_label(table: &Table, label: &str) -> bool {
    table
        .columns()
        .iter()
        .any(|column| column.label.eq_ignore_ascii_case(label))
}

fn numbered(stem: &str, between: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(stem) {
        return stem.to_owned();
    }
    let mut number = 2_u32;
    loop {
        let name = format!("{stem}{between}{number}");
        if !taken(&name) {
            return name;
        }
        number += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_labels_stand_once() {
        let mut table = Table::new(SheetKind::Calves);
        let key = |table: &Table, header: &str| key_for(SheetKind::Calves, table, header);
        assert_eq!(key(&table, "Temper (1-5)"), "temper_1_5");
        assert_eq!(key(&table, "Ratio"), "ratio_2");
        assert_eq!(key(&table, "Tag"), "tag_2");
        assert_eq!(key(&table, "#"), "column");
        assert_eq!(label_for(&table, "tag", 0), "tag 2");
        assert_eq!(label_for(&table, " ", 3), "Column 4");
        table.add_column(crate::sheet::column::Column::new(
            "temper",
            "Temper",
            crate::sheet::column::Kind::Text,
            crate::sheet::column::Origin::Own,
        ));
        assert_eq!(key(&table, "temper"), "temper_2");
        assert_eq!(label_for(&table, "Temper", 0), "Temper 2");
    }
}
