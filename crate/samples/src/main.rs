//! `fairpen-samples BOOKS_FOLDER [IMPORT_CASES_FOLDER]`: writes the sample books, and the import cases
//! (files in other people's header styles, expected notes) when a second folder is named.
//!
//! Enters: folder names. Leaves: files on disk. Always true: a second run changes nothing. Never:
//! removing a file.

use std::path::Path;
use std::process::ExitCode;

use fairpen_samples::table::WrittenFile;

fn main() -> ExitCode {
    let folders: Vec<String> = std::env::args().skip(1).collect();
    let result = match folders.as_slice() {
        [books] => write_all(Path::new(books), &fairpen_samples::sample_books()),
        [books, cases] => write_all(Path::new(books), &fairpen_samples::sample_books())
            .and_then(|()| write_all(Path::new(cases), &fairpen_samples::import_cases())),
        _ => Err(
            "give the folder to write to, as in: cargo run -p fairpen-samples -- sample-books"
                .to_owned(),
        ),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}

fn write_all(folder: &Path, files: &[WrittenFile]) -> Result<(), String> {
    for file in files {
        let path = folder.join(&file.path);
        if let Some(parent) = path.parent() {
            std::fs::create_dir_all(parent)
                .map_err(|error| format!("cannot make the folder {}: {error}", parent.display()))?;
        }
        std::fs::write(&path, &file.bytes)
            .map_err(|error| format!("cannot write {}: {error}", path.display()))?;
        println!("{}", path.display());
    }
    Ok(())
}
