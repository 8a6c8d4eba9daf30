//! The committed sample books are what the generator writes.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use fairpen_samples::table::WrittenFile;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn same_as_committed(folder: &Path, files: &[WrittenFile]) {
    for file in files {
        let path = folder.join(&file.path);
        let committed =
            fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        assert!(
            committed == file.bytes,
            "{} differs from what the generator writes; run: cargo run -p fairpen-samples -- sample-books",
            path.display()
        );
    }
}

fn files_below(folder: &Path, prefix: &str, found: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).expect("the folder is committed") {
        let entry = entry.expect("the folder can be read");
        if entry.file_name() == ".gitattributes" {
            continue;
        }
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            files_below(&entry.path(), &format!("{name}/"), found);
        } else {
            found.insert(name);
        }
    }
}

#[test]
fn sample_books_are_what_the_generator_writes() {
    same_as_committed(
        &root().join("sample-books"),
        &fairpen_samples::sample_books(),
    );
}

#[test]
fn no_sample_book_comes_from_elsewhere() {
    let mut found = BTreeSet::new();
    files_below(&root().join("sample-books"), "", &mut found);
    let written: BTreeSet<String> = fairpen_samples::sample_books()
        .into_iter()
        .map(|file| file.path)
        .collect();
    assert_eq!(found, written);
}

#[test]
fn import_cases_are_what_the_generator_writes() {
    same_as_committed(
        &root().join("tests/suite/import"),
        &fairpen_samples::import_cases(),
    );
}
