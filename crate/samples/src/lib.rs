//! Generator of the invented sample books and of the files in other people's header styles.
//!
//! Enters: nothing; seeds and true effects are constants, documented in `sample-books/README.md`.
//! Leaves: files as bytes. Always true: the bytes are the same on every machine, so the committed
//! files can be compared with a fresh run. Never: a real ranch, person, animal or figure.

pub mod calf;
pub mod draw;
pub mod five_years;
pub mod growth;
mod headers;
pub mod large_herd;
mod readme;
pub mod table;
mod trouble;
pub mod two_barns;

use table::WrittenFile;

/// Every file below `sample-books/`.
pub fn sample_books() -> Vec<WrittenFile> {
    let mut files = vec![readme::file()];
    files.extend(two_barns::files());
    files.extend(five_years::files());
    files.extend(trouble::files());
    files
}

/// Every file below `tests/suite/import/` that the generator writes: the header styles, and the notes
/// that the book of troubles should draw.
pub fn import_cases() -> Vec<WrittenFile> {
    let mut files = headers::files();
    files.push(trouble::expected());
    files
}
