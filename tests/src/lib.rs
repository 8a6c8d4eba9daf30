//! What the tests share: books from files and texts, the reference numbers, and the suite of text cases.
//!
//! Enters: files of this repository. Leaves: books and rows.
//! Always true: a cell is read by the engine's own reader of typed cells; how a whole file is understood is
//! tested apart, with import.
//! Never: works out an expected number.

pub mod any_book;
pub mod any_bytes;
pub mod any_formula;
pub mod any_spreadsheet;
pub mod books;
pub mod formula_columns;
pub mod imports;
pub mod packed;
pub mod reference;
pub mod suite;
