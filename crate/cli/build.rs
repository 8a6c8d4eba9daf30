//! Builds the results viewer into the command, when there is one.
//!
//! Enters: `web/dist/results-template.html`, which `cargo xtask build` makes. Leaves: the same bytes, or
//! none, where `results_file.rs` includes them.
//! Always true: the command builds without the page; `--results` then refuses in plain words.
//! Never: builds the page itself.

use std::path::Path;
use std::{env, fs};

fn main() {
    let template =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../web/dist/results-template.html");
    println!("cargo:rerun-if-changed={}", template.display());
    let bytes = fs::read(&template).unwrap_or_default();
    let out = env::var_os("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    fs::write(Path::new(&out).join("results-template.html"), bytes)
        .expect("cargo's own folder can be written to");
}
