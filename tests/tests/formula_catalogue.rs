//! The list of functions in `docs/formulas.md` is the catalogue.

use fairpen_engine::formula::function::GROUPS;
use fairpen_tests::reference::repository;

/// The list as it stands in the document.
fn list() -> String {
    let mut text = String::new();
    for (group, functions) in GROUPS {
        text.push_str(&format!(
            "\n### {}\n\n| function | what it gives | example | standard |\n| --- | --- | --- | --- |\n",
            group.label
        ));
        for function in functions {
            text.push_str(&format!(
                "| `{}` | {} | `{}` | {} |\n",
                function.signature(),
                function.help,
                function.example.replace('|', "\\|"),
                function.section
            ));
        }
    }
    text
}

#[test]
fn the_document_lists_every_function_as_the_catalogue_has_it() {
    let document = std::fs::read_to_string(repository("docs/formulas.md")).expect("the document");
    assert!(
        document.contains(&list()),
        "put this in docs/formulas.md, under \"Functions\":\n{}",
        list()
    );
}
