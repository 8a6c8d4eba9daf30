//! Cells whose text is not of the column's kind, in every sheet.
//!
//! Enters: the texts kept beside the columns. Leaves: a finding per cell.
//! Never: reads a text again; the reason is worked out when the finding is put into words.

use super::code::Code;
use super::{Finding, Look};
use crate::sheet::schema::SheetKind;

pub(super) fn look(look: &mut Look) {
    for sheet in SheetKind::ALL {
        for (at, column) in (0_u16..).zip(look.book.sheet(sheet).columns()) {
            look.found
                .extend(column.unreadable.keys().map(|&row| Finding {
                    code: Code::Unreadable,
                    sheet,
                    column: at,
                    row,
                    other: 0,
                }));
        }
    }
}
