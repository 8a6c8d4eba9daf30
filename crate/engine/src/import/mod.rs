//! Bytes of a file to a typed table and notes.
//!
//! Enters: bytes in chunks, and a plan. Leaves: a table, notes and questions.
//! Always true: no row is dropped silently; what could not be read stays in its cell as it was read.
//! Never: guesses where a file can be read two ways; it asks, and says which reading it shows meanwhile.

mod about_file;
mod about_years;
pub mod check_day;
pub mod day_count;
pub mod fill;
mod finish;
pub mod letters;
pub mod match_header;
pub mod merge;
pub mod notes;
pub mod order;
pub mod own_column;
mod own_kind;
pub mod plan;
pub mod pregnancy;
pub mod reader;
pub mod recall;
mod repeated;
mod result_words;
pub mod scan;
pub mod sheet_of_file;
pub mod sniff;
pub mod summary_rows;
pub mod synonyms;
pub mod units_line;
pub mod words;

pub use reader::{ColumnReport, ImportOptions, Imported, Reader, read_all};
