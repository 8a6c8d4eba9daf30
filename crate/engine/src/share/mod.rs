//! What leaves: tables, the results file, and the working behind each number.
//!
//! Enters: a book and its results. Leaves: texts and bytes for people and other programs.
//! Always true: only what was chosen goes out; text that another program could run as a formula is
//! neutralised; numbers are written with full precision, rounding is for people.
//! Never: computes a result of its own.

pub mod choice;
pub mod results_file;
pub mod tables;
pub mod text_safety;
pub mod trial_list;
pub mod working;

use crate::error::Error;
use crate::results::Results;
use crate::sheet::workbook::Workbook;
use choice::Choice;

pub use results_file::render::render;
pub use results_file::verify::verify;

/// The whole results file: the template filled with what was chosen of a book.
///
/// `template` is `results-template.html` of the built site.
///
/// # Errors
///
/// What [`results_file::build`] and [`render`] refuse.
pub fn results_html(
    template: &str,
    book: &Workbook,
    results: &Results,
    choice: &Choice,
) -> Result<String, Error> {
    render(template, &results_file::build(book, results, choice)?)
}
