//! The tree's files, and Rust source without its comments.
//!
//! - Enters: the working tree.
//! - Leaves: paths and text.
//! - Always true: what git ignores is left out.
//! - Never: reads a file that is not text as if it were.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The folder that holds the workspace.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the tests package lies inside the workspace")
        .to_path_buf()
}

/// Every file that is tracked or would be if it were added, with `/` between folders, sorted.
pub fn files() -> Vec<String> {
    let listed = Command::new("git")
        .current_dir(root())
        .args([
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
        ])
        .output()
        .expect("git lists the files of the tree");
    assert!(
        listed.status.success(),
        "git could not list the files: {}",
        String::from_utf8_lossy(&listed.stderr)
    );
    let text = String::from_utf8(listed.stdout).expect("file names are UTF-8");
    let mut files: Vec<String> = text
        .split('\0')
        // A file removed but not yet committed is still listed.
        .filter(|path| !path.is_empty() && root().join(path).is_file())
        .map(str::to_owned)
        .collect();
    files.sort();
    files.dedup();
    assert!(files.len() > 20, "too few files were found to be the tree");
    files
}

/// The text of a file; `None` if it is not UTF-8.
pub fn text(path: &str) -> Option<String> {
    String::from_utf8(std::fs::read(root().join(path)).expect("a listed file can be read")).ok()
}

/// Rust source with comments and the insides of string literals blanked; line numbers stay.
pub fn code_only(source: &str) -> String {
    split(source).0
}

/// The string literals of Rust source, each with its line number from 1. Escapes are left as written.
pub fn literals(source: &str) -> Vec<(usize, String)> {
    split(source).1
}

fn split(source: &str) -> (String, Vec<(usize, String)>) {
    let characters: Vec<char> = source.chars().collect();
    let mut code = String::with_capacity(source.len());
    let mut literals = Vec::new();
    let mut line = 1;
    let mut at = 0;
    let starts = |at: usize, what: &str| {
        what.chars()
            .enumerate()
            .all(|(offset, wanted)| characters.get(at + offset) == Some(&wanted))
    };
    while at < characters.len() {
        let end = if starts(at, "//") {
            (at..characters.len())
                .find(|&index| characters[index] == '\n')
                .unwrap_or(characters.len())
        } else if starts(at, "/*") {
            (at + 2..characters.len())
                .find(|&index| starts(index, "*/"))
                .map_or(characters.len(), |index| index + 2)
        } else if let Some((open, hashes)) = raw_string(&characters, at) {
            let close: String = std::iter::once('"')
                .chain(std::iter::repeat_n('#', hashes))
                .collect();
            let end = (open..characters.len())
                .find(|&index| starts(index, &close))
                .unwrap_or(characters.len());
            literals.push((line, characters[open..end].iter().collect()));
            (end + close.len()).min(characters.len())
        } else if characters[at] == '"' {
            let mut end = at + 1;
            while end < characters.len() && characters[end] != '"' {
                end += if characters[end] == '\\' { 2 } else { 1 };
            }
            let end = end.min(characters.len());
            literals.push((line, characters[at + 1..end].iter().collect()));
            (end + 1).min(characters.len())
        } else if characters[at] == '\'' && characters.get(at + 1) == Some(&'\\') {
            // '\'' and '\"' would look like the start of something else.
            (at + 3..characters.len())
                .find(|&index| characters[index] == '\'')
                .map_or(characters.len(), |index| index + 1)
        } else if starts(at, "'\"'") {
            at + 3
        } else {
            code.push(characters[at]);
            if characters[at] == '\n' {
                line += 1;
            }
            at += 1;
            continue;
        };
        code.push(' ');
        for &character in &characters[at..end] {
            if character == '\n' {
                code.push('\n');
                line += 1;
            }
        }
        at = end;
    }
    (code, literals)
}

/// Where the text of a raw string starts and how many `#` close it, if one starts here.
fn raw_string(characters: &[char], at: usize) -> Option<(usize, usize)> {
    let before_is_word =
        at > 0 && (characters[at - 1].is_alphanumeric() || characters[at - 1] == '_');
    if characters[at] != 'r' || before_is_word {
        return None;
    }
    let hashes = characters[at + 1..]
        .iter()
        .take_while(|&&character| character == '#')
        .count();
    (characters.get(at + 1 + hashes) == Some(&'"')).then_some((at + 2 + hashes, hashes))
}

#[test]
fn comments_and_strings_are_told_from_code() {
    let source = "a // crate::x\n/* \" */ b(\"crate::\\\"y\", r#\"z\"w\"#, '\"', '\\'') // \"\nc";
    let (code, literals) = split(source);
    assert!(!code.contains("crate"), "{code}");
    assert_eq!(code.split_whitespace().count(), 7, "{code}");
    assert_eq!(code.lines().count(), 3);
    assert_eq!(
        literals,
        [(2, "crate::\\\"y".to_owned()), (2, "z\"w".to_owned())]
    );
}
