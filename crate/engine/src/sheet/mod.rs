//! The ground everything stands on: the book, its sheets, typed columns, and the commands that change them.
//!
//! Enters: typed text and imported tables. Leaves: typed columns.
//! Always true: see `column` (missing is not zero, nothing read is lost) and `table` (rows keep their key).
//! Never: knows a rule of the trade.

pub mod accepted;
pub mod apply;
mod apply_rows;
pub mod codes;
pub mod column;
pub mod day;
pub mod edit;
pub mod history;
pub mod interned;
pub mod look;
mod look_apply;
pub mod merge_choices;
pub mod natural;
pub mod order;
mod own_column;
pub mod own_key;
pub mod put;
pub mod range_filter;
pub mod read;
pub mod remembered;
pub mod resolve;
pub mod schema;
pub mod set_kind;
pub mod settings;
pub mod settings_rules;
pub mod table;
pub mod taken_off;
pub mod view;
pub mod workbook;
pub mod write;
