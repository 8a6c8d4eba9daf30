//! Every code a person may meet is explained in `docs/errors.md`, and nothing else is.

use std::collections::{BTreeMap, BTreeSet};

use crate::source::{code_only, files, literals, text};

const ENGINE: &str = "crate/engine/src/";
/// The reader of spreadsheet files links no engine; its refusals stand with those of the import.
const SPREADSHEETS: &str = "crate/wasm-spreadsheet/src/";

#[test]
fn every_code_is_explained_and_every_explanation_has_its_code() {
    let document = text("docs/errors.md").expect("docs/errors.md is UTF-8");
    let explained: BTreeSet<&str> = document
        .lines()
        .filter(|line| line.starts_with('#'))
        .flat_map(|line| line.split('`').skip(1).step_by(2))
        .collect();
    let used = codes();
    let mut wrong: Vec<String> = used
        .iter()
        .filter(|(code, _)| !explained.contains(code.as_str()))
        .map(|(code, place)| format!("{place}: `{code}` has no heading in docs/errors.md"))
        .collect();
    wrong.extend(
        explained
            .iter()
            .filter(|code| !used.contains_key(**code))
            .map(|code| format!("docs/errors.md: `{code}` is explained but never used")),
    );
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Codes in the sources of the engine and of the reader of spreadsheet files, each with the first place it stands: dotted words that begin with the
/// name of one of the engine's modules.
fn codes() -> BTreeMap<String, String> {
    let sources: Vec<String> = files()
        .into_iter()
        .filter(|path| path.starts_with(ENGINE) && path.ends_with(".rs"))
        .collect();
    let modules: BTreeSet<String> = sources
        .iter()
        .filter_map(|path| path[ENGINE.len()..].split('/').next())
        .map(|name| name.trim_end_matches(".rs").to_owned())
        .collect();
    let readers = files()
        .into_iter()
        .filter(|path| path.starts_with(SPREADSHEETS) && path.ends_with(".rs"));
    let mut codes = BTreeMap::new();
    for path in &sources.iter().cloned().chain(readers).collect::<Vec<_>>() {
        let source = text(path).expect("Rust source is UTF-8");
        for (line, literal) in literals(&source) {
            if is_code(&literal, &modules) {
                codes
                    .entry(literal)
                    .or_insert_with(|| format!("{path}:{line}"));
            }
        }
    }
    codes
}

fn is_code(literal: &str, modules: &BTreeSet<String>) -> bool {
    let words: Vec<&str> = literal.split('.').collect();
    let word = |text: &&str| {
        !text.is_empty()
            && text.chars().all(|character| {
                character.is_ascii_lowercase() || character.is_ascii_digit() || character == '_'
            })
    };
    words.len() >= 2 && words.iter().all(word) && modules.contains(words[0])
}

/// A refusal's code must begin with a module's name, or the rule above would never see it.
#[test]
fn refusals_use_codes_that_begin_with_a_module() {
    let modules: BTreeSet<String> = files()
        .iter()
        .filter_map(|path| path.strip_prefix(ENGINE))
        .filter_map(|inside| inside.split('/').next())
        .map(|name| name.trim_end_matches(".rs").to_owned())
        .collect();
    let mut wrong = Vec::new();
    for path in files()
        .iter()
        .filter(|path| path.starts_with(ENGINE) && path.ends_with(".rs"))
    {
        let source = text(path).expect("Rust source is UTF-8");
        let code = code_only(&source);
        for (number, line) in code.lines().enumerate() {
            if !line.contains("Error::new(") {
                continue;
            }
            // The code is the first literal on this line or, where it did not fit, the next one.
            let first = literals(&source)
                .into_iter()
                .find(|(at, _)| *at == number + 1 || *at == number + 2);
            if let Some((at, literal)) = first.filter(|(_, literal)| !literal.contains(' '))
                && !is_code(&literal, &modules)
            {
                wrong.push(format!(
                    "{path}:{at}: the code `{literal}` does not begin with a module of the engine"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn file_names_and_numbers_are_no_codes() {
    let modules = BTreeSet::from(["import".to_owned(), "check".to_owned()]);
    assert!(is_code("import.date.ambiguous", &modules));
    assert!(is_code("check.dam_age.unknown", &modules));
    for other in [
        "calves.csv",
        "0.1",
        "import",
        "import.",
        "Import.date",
        "check.a b",
    ] {
        assert!(!is_code(other, &modules), "{other}");
    }
}
