//! Which module of the engine may use which.
//!
//! A step may use the types of earlier steps, never of later ones: then a change of a late step cannot
//! change an early number. The compiler lets modules of one crate use each other freely.

use crate::source::{code_only, files, text};

/// Used by everything, and free to use each other.
const GROUND: [&str; 5] = ["error", "note", "trade", "sheet", "formula"];

/// The steps, in the order a weight travels them. Each may use the ground and what stands before it.
const STEPS: [&str; 16] = [
    "animals", "import", "pedigree", "adjust", "group", "results", "check", "compare", "trial",
    "season", "merit", "money", "picks", "book", "share", "desk",
];

/// What goes against the order, each with its reason.
const EXCEPTIONS: [(&str, &str, &str); 2] = [
    (
        "sheet",
        "import::plan",
        "the command that brings a file in carries the plan she agreed to; a plan is plain data",
    ),
    (
        "import",
        "results::ResultColumn",
        "her own columns must not take the key of one that is worked out; only the keys are used",
    ),
];

const ENGINE: &str = "crate/engine/src/";

#[test]
fn modules_use_only_what_stands_before_them() {
    let mut wrong = Vec::new();
    let mut seen = 0;
    for path in files() {
        let Some(inside) = path
            .strip_prefix(ENGINE)
            .filter(|inside| inside.ends_with(".rs"))
        else {
            continue;
        };
        let module = inside
            .split('/')
            .next()
            .unwrap_or(inside)
            .trim_end_matches(".rs");
        if module == "lib" {
            continue;
        }
        if !GROUND.contains(&module) && !STEPS.contains(&module) {
            wrong.push(format!(
                "{path}: the module `{module}` has no place in the order; give it one in tests/tests/tidy/direction.rs"
            ));
            continue;
        }
        let source = text(&path).expect("Rust source is UTF-8");
        for (line, used) in uses(&source, depth(inside)) {
            seen += 1;
            if !allowed(module, &used) {
                wrong.push(format!("{path}:{line}: `{module}` may not use `{used}`"));
            }
        }
    }
    assert!(seen > 20, "only {seen} uses were found; the scan is broken");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn allowed(module: &str, used: &str) -> bool {
    let first = used.split("::").next().unwrap_or(used);
    let known = |name: &str| GROUND.contains(&name) || STEPS.contains(&name);
    // A type or function that lib.rs itself re-exports.
    if first == module || !known(first) {
        return true;
    }
    let excepted = EXCEPTIONS.iter().any(|(from, to, _)| {
        *from == module && (used == *to || used.starts_with(&format!("{to}::")))
    });
    let place = |name: &str| STEPS.iter().position(|step| *step == name);
    let in_order = match (place(module), place(first)) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(own), Some(other)) => other < own,
    };
    excepted || in_order
}

/// How many `super` lead from a file to the crate's root.
fn depth(inside: &str) -> usize {
    let folders = inside.matches('/').count();
    if inside.ends_with("/mod.rs") {
        folders
    } else {
        folders + 1
    }
}

/// Paths from the crate's root, `a::b` for `crate::a::b` and for each name of `crate::{a::b, c}`.
fn uses(source: &str, depth: usize) -> Vec<(usize, String)> {
    let code = code_only(source);
    let to_root = "super::".repeat(depth);
    let mut found = Vec::new();
    for start in ["crate::", to_root.as_str()] {
        for (at, _) in code.match_indices(start) {
            let before = code[..at].chars().next_back();
            if before.is_some_and(|character| {
                character.is_alphanumeric() || matches!(character, '_' | ':' | '$')
            }) {
                continue;
            }
            let line = code[..at].matches('\n').count() + 1;
            let rest = &code[at + start.len()..];
            found.extend(paths(rest).into_iter().map(|path| (line, path)));
        }
    }
    found
}

/// The path at the start of the text, or each path of a list in braces.
fn paths(text: &str) -> Vec<String> {
    let path = |text: &str| -> String {
        text.chars()
            .take_while(|&character| character.is_alphanumeric() || matches!(character, '_' | ':'))
            .collect::<String>()
            .trim_end_matches("::")
            .to_owned()
    };
    let Some(list) = text.strip_prefix('{') else {
        return vec![path(text)];
    };
    let mut found = Vec::new();
    let mut nested = 0;
    let mut item = String::new();
    for character in list.chars() {
        match character {
            '{' => nested += 1,
            '}' if nested == 0 => break,
            '}' => nested -= 1,
            ',' if nested == 0 => found.push(std::mem::take(&mut item)),
            _ if nested == 0 && !character.is_whitespace() => item.push(character),
            _ => {}
        }
    }
    found.push(item);
    found
        .iter()
        .map(|item| path(item))
        .filter(|item| !item.is_empty())
        .collect()
}

#[test]
fn a_use_of_a_later_step_is_found_in_every_form() {
    let source = "use crate::sheet::day::Day;\nuse crate::{adjust::Adjusted, share, sheet::{a, b}};\n// crate::merit\nfn f() { super::super::picks::p(); }";
    let found: Vec<String> = uses(source, 2).into_iter().map(|(_, path)| path).collect();
    assert_eq!(
        found,
        [
            "sheet::day::Day",
            "adjust::Adjusted",
            "share",
            "sheet",
            "picks::p"
        ]
    );
    assert!(allowed("adjust", "sheet::day::Day"));
    assert!(allowed("compare", "adjust::Adjusted"));
    assert!(!allowed("adjust", "share"));
    assert!(!allowed("sheet", "import::csv"));
    assert!(allowed("sheet", "import::plan::ImportPlan"));
}
