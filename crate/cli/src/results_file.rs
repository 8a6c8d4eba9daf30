//! The results file: one HTML page to hand over.
//!
//! Enters: an opened input and the viewer that was built into this command. Leaves: the page's bytes.
//! Always true: without the viewer it is refused before anything is computed.
//! Never: holds more than the usual choice: names of parents, electronic tags, remarks and own columns stay
//! home.

use std::path::Path;

use fairpen_engine::compare::result::CompareSpec;
use fairpen_engine::share::choice::Choice;
use fairpen_engine::share::results_html;
use fairpen_engine::sheet::day::Day;

use crate::failure::Failure;
use crate::output::Mark;
use crate::reading::Opened;

/// The viewer, empty when the command was built without it; see `build.rs`.
static TEMPLATE: &str = include_str!(concat!(env!("OUT_DIR"), "/results-template.html"));

/// How a results file of an earlier run is known.
pub const MARK: Mark = Mark::Holds("<meta name=\"generator\" content=\"fairpen\"");

/// Refuses when there is no viewer, or the path is no HTML file.
pub fn must_be_possible(path: &Path) -> Result<(), Failure> {
    if TEMPLATE.is_empty() {
        return Err(Failure::new(
            "--results cannot be used: this command was built without the results viewer.",
            "Build it with: cargo xtask build",
        ));
    }
    let ending = path
        .extension()
        .map(|ending| ending.to_string_lossy().to_lowercase())
        .unwrap_or_default();
    if !["html", "htm"].contains(&ending.as_str()) {
        return Err(Failure::new(
            format!("The results file {} does not end in .html.", path.display()),
            "Give it a name such as results.html, so that a browser opens it.",
        ));
    }
    Ok(())
}

/// The page, with the usual columns, every calf, the groups, and the comparison when there is one.
pub fn write(
    opened: &Opened,
    compare: Option<&CompareSpec>,
    made_on: Day,
) -> Result<Vec<u8>, Failure> {
    let choice = Choice {
        compare: compare.cloned(),
        made_on: made_on.iso(),
        ..Choice::usual(&opened.book)
    };
    Ok(results_html(TEMPLATE, &opened.book, &opened.results, &choice)?.into_bytes())
}
