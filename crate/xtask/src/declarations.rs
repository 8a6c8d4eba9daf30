//! The committed snapshots of the boundary's generated types.
//!
//! - Enters: `core.d.ts`, `results.d.ts` and `spreadsheet.d.ts` in `web/src/engine/generated`.
//! - Leaves: agreement with the snapshots beside the crates, or the lines that differ.
//! - Always true: a change of the boundary shows in review as a change of a snapshot.
//! - Never: rewrites a snapshot in a test.

use anyhow::{Context, Result, bail};

use crate::{tree, wasm};

/// Generated types, and where their snapshot stands.
const SNAPSHOTS: [(&str, &str); 3] = [
    ("core.d.ts", "crate/wasm/fairpen.d.ts.snapshot"),
    ("results.d.ts", "crate/wasm-results/results.d.ts.snapshot"),
    (
        "spreadsheet.d.ts",
        "crate/wasm-spreadsheet/spreadsheet.d.ts.snapshot",
    ),
];

fn generated(file: &str) -> Result<String> {
    let text = std::fs::read_to_string(wasm::generated()?.join(file))
        .with_context(|| format!("The types {file} have not been generated."))?;
    Ok(types_of_the_boundary(&text))
}

/// The part a person wrote: without the raw exports, whose numbering changes with every build.
fn types_of_the_boundary(text: &str) -> String {
    let text = text.replace("\r\n", "\n");
    let end = text.find("\nexport type InitInput").unwrap_or(text.len());
    format!("{}\n", text[..end].trim_end())
}

/// Fails with the differing lines if the types are not those of the snapshots.
pub fn check() -> Result<()> {
    let mut differences = String::new();
    for (file, snapshot) in SNAPSHOTS {
        let now = generated(file)?;
        let kept = std::fs::read_to_string(tree::root()?.join(snapshot))
            .unwrap_or_default()
            .replace("\r\n", "\n");
        if now != kept {
            let lines = difference(&kept, &now);
            differences += &format!("The boundary's types differ from {snapshot}:\n{lines}");
        }
    }
    if differences.is_empty() {
        return Ok(());
    }
    bail!(
        "{differences}If this is meant, run `cargo xtask bless` and look at the change before committing it."
    )
}

/// Rewrites the snapshots.
pub fn bless() -> Result<()> {
    for (file, snapshot) in SNAPSHOTS {
        std::fs::write(tree::root()?.join(snapshot), generated(file)?)
            .with_context(|| format!("{snapshot} cannot be written."))?;
    }
    Ok(())
}

/// Lines only in one of the two texts, `-` for the first and `+` for the second.
fn difference(kept: &str, now: &str) -> String {
    let only = |from: &str, other: &str, sign: char| -> String {
        from.lines()
            .filter(|line| !other.lines().any(|known| known == *line))
            .map(|line| format!("  {sign} {line}\n"))
            .collect()
    };
    let lines = only(kept, now, '-') + &only(now, kept, '+');
    if lines.is_empty() {
        "  (the same lines in another order)\n".to_owned()
    } else {
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn raw_exports_are_left_out() {
        let text = "export function version(): string;\n\nexport type InitInput = string;\nexport interface InitOutput {}\n";
        assert_eq!(
            types_of_the_boundary(text),
            "export function version(): string;\n"
        );
    }

    #[test]
    fn the_difference_names_both_sides() {
        assert_eq!(difference("a\nb\n", "a\nc\n"), "  - b\n  + c\n");
        assert_eq!(
            difference("a\nb\n", "b\na\n"),
            "  (the same lines in another order)\n"
        );
    }
}
