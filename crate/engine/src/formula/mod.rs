//! Calculated columns: the row-and-column subset of OpenFormula (OASIS ODF 1.3 part 4).
//!
//! Enters: the text of a formula, columns by sheet and key, and the day that counts as today.
//! Leaves: a tree with the place of every part, findings a person can act on, and one value per row.
//! Always true: a formula is a pure function of the columns; an error is a value and stops nothing; a column
//! key is this row's value in a scalar place and the whole column where a list is asked for.
//! Never: changes a sheet, reads a clock, or goes deeper than [`tree::DEEPEST`] whatever the text.
//!
//! It stands on the ground beside `sheet` and not inside it: a sheet keeps a formula as text and needs no
//! arithmetic to do so, while this module needs days and written numbers from `sheet` and nothing else.
//!
//! [`token`] and [`parse`] read a text, [`mod@print`] writes a tree, [`order`] puts formulas in the order of
//! their needs, [`check`] and [`complete`] serve the person who types, [`evaluate`] computes column by column,
//! [`function`] is the catalogue.

pub mod cell;
pub mod check;
pub mod complete;
mod criterion;
mod criterion_groups;
mod criterion_sums;
mod date_serial;
pub mod error_value;
pub mod evaluate;
pub mod function;
mod functions;
mod held;
pub mod names;
mod number_format;
mod operators;
pub mod order;
pub mod parse;
pub mod print;
mod rounding;
mod sample;
mod tally;
mod text_value;
pub mod token;
pub mod tree;
pub mod trouble;
pub mod values;
pub mod vector;
mod wildcard;
