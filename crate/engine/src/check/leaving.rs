//! How calves were raised and how they left.
//!
//! Enters: the calves. Leaves: findings.
//! Never: decides which of two contradicting cells is right.

use super::Look;
use super::code::Code;
use crate::sheet::codes::{BORN_DEAD, FOSTER, NO_CODE, OWN_DAM};
use crate::sheet::day::Day;
use crate::sheet::interned::NO_TEXT;

pub(super) fn look(look: &mut Look) {
    let calves = look.calves;
    let (left_on, left_because, raised_dam) = (
        look.column("left_on"),
        look.column("left_because"),
        look.column("raised_dam"),
    );
    let before = |one: Day, other: Day| one.days_since(other).is_some_and(|days| days < 0);
    let unreadable = &calves.table.known("left_because").unreadable;
    for (row, key) in look.rows() {
        let (left, reason) = (calves.left_on[row], calves.left_because[row]);
        let weaned = !calves.wean_date[row].is_missing() || !calves.wean_weight[row].is_nan();
        if reason == BORN_DEAD && weaned {
            look.add(Code::BornDeadWeaned, left_because, key, 0);
        } else if before(left, calves.birth[row]) {
            look.add(Code::LeftBeforeBirth, left_on, key, 0);
        } else if before(left, calves.wean_date[row]) || before(left, calves.weigh_date[row]) {
            look.add(Code::LeftWeanedAfter, left_on, key, 0);
        }
        if !left.is_missing() && reason == NO_CODE && !unreadable.contains_key(&key) {
            look.add(Code::LeftWithoutReason, left_because, key, 0);
        }
        if left.is_missing() && reason != NO_CODE && look.lived(row) {
            look.add(Code::LeftWithoutDate, left_on, key, 0);
        }
        let raised_on = calves.raised_dam.codes()[row];
        if calves.raised_by[row] == FOSTER && raised_on == NO_TEXT {
            look.add(Code::FosterWithoutDam, raised_dam, key, 0);
        }
        if calves.raised_by[row] == OWN_DAM
            && calves
                .raised_dam
                .text_of(raised_on)
                .is_some_and(|raised| calves.dam.get(row) != Some(raised))
        {
            look.add(Code::OwnDamButOther, raised_dam, key, 0);
        }
    }
}
