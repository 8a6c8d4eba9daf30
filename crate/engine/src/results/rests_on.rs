//! What a calculated column is worked out from.
//!
//! Enters: a book and a column. Leaves: the columns behind it.
//! Always true: each column once, those behind other calculated columns too, also where formulas go round.
//! Never: evaluates a formula.

use crate::formula::parse::parse;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The columns that a calculated column is worked out from, itself left out, those of other calculated columns
/// on the way among them, each once: sheet and key.
pub fn rests_on(book: &Workbook, sheet: SheetKind, key: &str) -> Vec<(SheetKind, String)> {
    let mut found: Vec<(SheetKind, String)> = Vec::new();
    let mut open = vec![(sheet, key.to_owned())];
    while let Some((sheet, key)) = open.pop() {
        let formula = book
            .sheet(sheet)
            .column(&key)
            .and_then(|column| column.formula.as_deref());
        let Some(tree) = formula.and_then(|formula| parse(formula).ok()) else {
            continue;
        };
        for (name, _) in tree.columns() {
            let of = match name.sheet.as_deref() {
                None => Some(sheet),
                Some(named) => SheetKind::from_key(named),
            };
            let Some(of) = of else { continue };
            let column = (of, name.key.clone());
            if !found.contains(&column) {
                found.push(column.clone());
                open.push(column);
            }
        }
    }
    found
}
