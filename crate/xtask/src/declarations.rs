//! The committed snapshot of the boundary's generated types.
//!
//! - Enters: `web/src/engine/generated/core.d.ts`.
//! - Leaves: agreement with `crate/wasm/fairpen.d.ts.snapshot`, or the lines that differ.
//! - Always true: a change of the boundary shows in review as a change of the snapshot.
//! - Never: rewrites the snapshot in a test.

use std::path::PathBuf;

use anyhow::{Context, Result, bail};

use crate::{tree, wasm};

fn snapshot() -> Result<PathBuf> {
    Ok(tree::root()?.join("crate/wasm/fairpen.d.ts.snapshot"))
}

fn generated() -> Result<String> {
    let text = std::fs::read_to_string(wasm::generated()?.join("core.d.ts"))
        .context("The core's types have not been generated.")?;
    Ok(types_of_the_boundary(&text))
}

/// The part a person wrote: without the raw exports, whose numbering changes with every build.
fn types_of_the_boundary(text: &str) -> String {
    let text = text.replace("\r\n", "\n");
    let end = text.find("\nexport type InitInput").unwrap_or(text.len());
    format!("{}\n", text[..end].trim_end())
}

/// Fails with the differing lines if the types are not those of the snapshot.
pub fn check() -> Result<()> {
    let now = generated()?;
    let kept = std::fs::read_to_string(snapshot()?)
        .unwrap_or_default()
        .replace("\r\n", "\n");
    if now == kept {
        return Ok(());
    }
    bail!(
        "The boundary's types differ from crate/wasm/fairpen.d.ts.snapshot:\n{}\
         If this is meant, run `cargo xtask bless` and look at the change before committing it.",
        difference(&kept, &now)
    )
}

/// Rewrites the snapshot.
pub fn bless() -> Result<()> {
    std::fs::write(snapshot()?, generated()?).context("The snapshot cannot be written.")
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
