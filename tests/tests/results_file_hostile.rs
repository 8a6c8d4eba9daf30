//! Hostile text in a book: in the results file it is text and nothing else.

use std::collections::BTreeMap;

use fairpen_engine::compare::result::CompareSpec;
use fairpen_engine::results::Results;
use fairpen_engine::share::choice::Choice;
use fairpen_engine::share::results_file::build;
use fairpen_engine::share::results_file::payload::Payload;
use fairpen_engine::share::{render, verify};
use fairpen_engine::sheet::column::{Cells, Column, Kind, Origin};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::books::{calves, put};
use proptest::prelude::*;

const TEMPLATE: &str =
    "<title><!--fairpen:title--></title><!--fairpen:body--><!--fairpen:payloads-->";

/// The elements a results file may have.
const ELEMENTS: [&str; 35] = [
    "title", "header", "h1", "h2", "h3", "p", "div", "section", "ul", "li", "dl", "dt", "dd",
    "code", "table", "caption", "thead", "tbody", "tr", "th", "td", "span", "details", "summary",
    "svg", "line", "circle", "script", "strong", "a", "b", "i", "em", "br", "hr",
];

/// Pieces that have broken pages and readers elsewhere: markup, ends of elements, slots of the template,
/// entities, formulas, directions, joined and odd characters, and length.
fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("<script>alert(1)</script>".to_owned()),
        Just("</script><img src=x onerror=alert(1)>".to_owned()),
        Just("<!--fairpen:payloads-->".to_owned()),
        Just("<!--fairpen:body-->".to_owned()),
        Just("]]>--><svg/onload=alert(1)>".to_owned()),
        Just("\" onmouseover=\"alert(1)".to_owned()),
        Just("' autofocus onfocus='x".to_owned()),
        Just("&lt;b&gt;&#x3c;".to_owned()),
        Just("=HYPERLINK(\"http://x\")".to_owned()),
        Just("\u{202e}54321\u{2066}".to_owned()),
        Just("👩‍🌾🐂\u{200d}\u{fe0f}".to_owned()),
        Just("\u{0}\u{1b}[31m\u{7f}".to_owned()),
        Just("\\u003cscript\\u003e`${x}`".to_owned()),
        Just("line\r\nline\ttab".to_owned()),
        Just("x".repeat(10_000)),
        any::<String>(),
        "[ -~]{0,40}",
    ];
    proptest::collection::vec(piece, 1..4).prop_map(|pieces| pieces.concat())
}

fn book(texts: &[String]) -> Workbook {
    let mut book = calves(
        "tag,sex,birth_date,birth_weight,dam_age,wean_date,wean_weight
         1,steer,2026-03-01,80,5,2026-09-28,500
         2,steer,2026-03-02,82,4,2026-09-28,540
         3,steer,2026-03-03,78,3,2026-09-28,520
         4,steer,2026-03-04,81,6,2026-09-28,560",
    );
    book.settings.title.clone_from(&texts[0]);
    for (key, text) in ["breed", "place", "set_apart", "management"]
        .into_iter()
        .zip(&texts[1..])
    {
        put(&mut book, SheetKind::Calves, 0, key, text);
    }
    put(
        &mut book,
        SheetKind::Calves,
        2,
        "place",
        &format!("other {}", texts[2]),
    );
    put(&mut book, SheetKind::Calves, 3, "wean_weight", &texts[3]);
    let table = book.sheet_mut(SheetKind::Calves);
    if let Some(Cells::Text(cells)) = table.column_mut("tag").map(|column| &mut column.cells) {
        cells.set(1, &texts[5]);
    }
    table.add_column(Column::new("own", &texts[6], Kind::Text, Origin::Own));
    if let Some(Cells::Text(cells)) = table.column_mut("own").map(|column| &mut column.cells) {
        cells.set(0, &texts[7]);
    }
    book
}

/// The elements of a page by name, and every `<` that starts none of those allowed.
fn elements(html: &str) -> (BTreeMap<&str, usize>, Vec<&str>) {
    let (mut found, mut wrong) = (BTreeMap::new(), Vec::new());
    for (at, _) in html.match_indices('<') {
        let rest = &html[at + 1..];
        let name_starts = rest.strip_prefix('/').unwrap_or(rest);
        let end = name_starts
            .find(|ch: char| !ch.is_ascii_alphanumeric())
            .unwrap_or(0);
        let name = &name_starts[..end];
        let tag = rest.find('>').map(|end| &rest[..end]);
        if ELEMENTS.contains(&name)
            && tag.is_some_and(|tag| {
                attributes_are_plain(&tag[tag.find(name).unwrap_or(0) + name.len()..])
            })
        {
            *found.entry(name).or_insert(0) += 1;
        } else {
            wrong.push(&rest[..rest.floor_char_boundary(60)]);
        }
    }
    (found, wrong)
}

/// ` name="value" name="value"`, no handler, no address.
fn attributes_are_plain(mut text: &str) -> bool {
    loop {
        text = text.trim_start().trim_end_matches('/');
        if text.is_empty() {
            return true;
        }
        let Some((name, rest)) = text.split_once("=\"") else {
            return false;
        };
        let Some((_, rest)) = rest.split_once('"') else {
            return false;
        };
        let known = name
            .chars()
            .all(|ch| ch.is_ascii_alphanumeric() || ch == '-');
        if !known || name.starts_with("on") || ["href", "src", "style"].contains(&name) {
            return false;
        }
        text = rest;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn hostile_text_is_only_ever_text(texts in proptest::collection::vec(hostile(), 9)) {
        let book = book(&texts);
        let results = Results::recalculate(&book);
        let mut choice = Choice::usual(&book);
        choice.columns.push("own".to_owned());
        choice.message.clone_from(&texts[8]);
        choice.compare = Some(CompareSpec { column: "place".to_owned(), ..CompareSpec::default() });
        let payload = build(&book, &results, &choice)
            .or_else(|_| build(&book, &results, &Choice { compare: None, ..choice.clone() }))
            .expect("a file");
        let read = Payload::from_json(&payload.to_json()).expect("reads");
        prop_assert_eq!(&read, &payload);
        let found = verify(&read);
        prop_assert_eq!(found.counts.differ, 0, "{:?}", found.differences);
        let html = render(TEMPLATE, &payload).expect("a page");
        let (elements, wrong) = elements(&html);
        prop_assert!(wrong.is_empty(), "{wrong:?}");
        prop_assert_eq!(elements.get("script"), Some(&2), "the payload alone, opened and closed");
        let turns = |ch: char| matches!(ch, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
        let misleads = html.contains(|ch: char| turns(ch) || ch.is_control());
        prop_assert!(!misleads, "a character that turns or controls text");
    }
}
