//! What lies where, how long a file may grow, and what must never be committed.

use crate::source::{files, text};

/// The top level holds these names and no others, so that a newcomer can take it in at a glance.
const TOP_LEVEL: [&str; 15] = [
    ".cargo",
    ".ci",
    ".gitattributes",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "crate",
    "docs",
    "rust-toolchain.toml",
    "sample-books",
    "tests",
    "web",
];

/// Lines a source file may have without saying why.
const LONGEST: usize = 500;

#[test]
fn the_top_level_holds_the_fixed_names() {
    for path in files() {
        let name = path.split('/').next().unwrap_or(&path);
        assert!(
            TOP_LEVEL.contains(&name),
            "`{name}` does not belong at the top level"
        );
    }
}

#[test]
fn long_files_say_why() {
    let mut wrong = Vec::new();
    for path in files() {
        let source = ["rs", "ts", "mjs", "css"]
            .iter()
            .any(|end| path.ends_with(&format!(".{end}")));
        if !source || !(path.starts_with("crate/") || path.starts_with("web/src/")) {
            continue;
        }
        let text = text(&path).expect("source is UTF-8");
        let lines = text.lines().count();
        if lines > LONGEST && !text.contains("long because: ") {
            wrong.push(format!(
                "{path} has {lines} lines; split it, or say in it `// long because: REASON`"
            ));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn no_file_names_a_folder_of_somebodys_machine() {
    // Put together here so that this file does not break its own rule.
    let homes = ["home", "root", "Users", "work", "tmp"].map(|name| format!("/{name}/"));
    let mut wrong = Vec::new();
    for path in files() {
        let Some(text) = text(&path) else { continue };
        for (number, line) in text.lines().enumerate() {
            for home in &homes {
                if line
                    .match_indices(home.as_str())
                    .any(|(at, _)| starts_a_path(&line[..at]))
                {
                    wrong.push(format!("{path}:{}: {}", number + 1, line.trim()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Whether what stands before a slash leaves it the start of an absolute path, not the middle of an address.
fn starts_a_path(before: &str) -> bool {
    before.chars().next_back().is_none_or(|character| {
        !(character.is_alphanumeric() || matches!(character, '.' | '-' | '_' | '}' | '/'))
    })
}

#[test]
fn an_absolute_path_is_told_from_an_address() {
    assert!(starts_a_path(""));
    assert!(starts_a_path("in "));
    assert!(starts_a_path("\""));
    assert!(!starts_a_path("https://example.org"));
    assert!(!starts_a_path("./some"));
}
