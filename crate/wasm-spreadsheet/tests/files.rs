//! Spreadsheet files of three formats become the same plain cells. The herds are invented.
#![cfg(not(target_family = "wasm"))]

use std::io::{Cursor, Write};

use fairpen_wasm_spreadsheet::file::File;
use proptest::prelude::*;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use zip::write::SimpleFileOptions;

fn check(bytes: Vec<u8>, sheet: &str, expected: &str) -> Vec<String> {
    let mut file = File::open(bytes).expect("a spreadsheet");
    let text = file.csv(sheet).expect("a sheet");
    assert_eq!(String::from_utf8(text.bytes).expect("UTF-8"), expected);
    text.remarks
}

fn code(bytes: Vec<u8>) -> &'static str {
    match File::open(bytes) {
        Ok(mut file) => file.sheets().expect_err("nothing to read").code,
        Err(refused) => refused.code,
    }
}

fn xlsx() -> Vec<u8> {
    let day = Format::new().set_num_format("d mmm yyyy");
    let code = Format::new().set_num_format("0000");
    let mut book = Workbook::new();
    book.add_worksheet().set_name("Cover").expect("a name");
    let sheet = book.add_worksheet().set_name("Barn").expect("a name");
    sheet
        .merge_range(0, 1, 0, 4, "Weights of the fall", &Format::new())
        .expect("written");
    for (column, text) in (1..).zip(["Tag", "Born", "Wean wt", "Gain"]) {
        sheet.write(2, column, text).expect("written");
    }
    let born = ExcelDateTime::from_ymd(2026, 3, 4).expect("a day");
    sheet.write_with_format(3, 1, 41, &code).expect("written");
    sheet.write_with_format(3, 2, &born, &day).expect("written");
    sheet.write(3, 3, 583.25).expect("written");
    let formula = Formula::new("D4-80").set_result("503.25");
    sheet.write(3, 4, formula).expect("written");
    sheet.write(5, 1, "077").expect("written");
    sheet.write(5, 3, "n/a").expect("written");
    sheet.write(5, 4, true).expect("written");
    book.save_to_buffer().expect("saved")
}

#[test]
fn an_xlsx_sheet_keeps_its_rows_dates_and_tags() {
    let expected = "Weights of the fall,,,\n\nTag,Born,Wean wt,Gain\n\
                    0041,2026-03-04,583.25,503.25\n\n077,,n/a,yes\n";
    assert!(check(xlsx(), "Barn", expected).is_empty());
    let mut file = File::open(xlsx()).expect("a spreadsheet");
    let sheets = file.sheets().expect("one with cells");
    assert_eq!(sheets.len(), 1, "the empty cover is not offered");
    assert_eq!((sheets[0].n_rows, sheets[0].n_columns), (6, 4));
    assert_eq!(sheets[0].first_texts, ["Tag", "Born", "Wean wt", "Gain"]);
    assert_eq!(
        file.csv("Barns").expect_err("no such sheet").code,
        "import.spreadsheet.no_sheet"
    );
}

#[test]
fn an_old_binary_file_reads_the_same_way() {
    let bytes = include_bytes!("files/old_weights.xls").to_vec();
    let expected = "Calves weaned this fall,,,,\n\nPen,Tag,Born,Wean wt (lb),Remark\n\
                    East barn,0041,2026-03-09,583,\nEast barn,0042,2026-04-09,541.5,limped\n";
    let remarks = check(bytes, "Weaning 2026", expected);
    assert_eq!(remarks.len(), 1, "the pen merged over two calves is said");
}

fn ods(rows: &str) -> Vec<u8> {
    let content = format!(
        r#"<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.3"><office:body><office:spreadsheet><table:table table:name="Pasture">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"#
    );
    let manifest = r#"<?xml version="1.0" encoding="UTF-8"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>"#;
    packed(&[
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", manifest),
        ("content.xml", &content),
    ])
}

fn packed(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        zip.start_file(*name, SimpleFileOptions::default())
            .expect("begun");
        zip.write_all(text.as_bytes()).expect("written");
    }
    zip.finish().expect("finished").into_inner()
}

#[test]
fn an_ods_sheet_reads_the_same_way() {
    let text = |words: &str| {
        format!(
            r#"<table:table-cell office:value-type="string"><text:p>{words}</text:p></table:table-cell>"#
        )
    };
    let rows = format!(
        r#"<table:table-row>{}{}{}</table:table-row><table:table-row table:number-rows-repeated="2"><table:table-cell table:number-columns-repeated="3"/></table:table-row><table:table-row>{}<table:table-cell office:value-type="date" office:date-value="2026-03-04"><text:p>4 Mar</text:p></table:table-cell><table:table-cell office:value-type="float" office:value="583.25"><text:p>583</text:p></table:table-cell></table:table-row><table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="1000"/></table:table-row>"#,
        text("Tag"),
        text("Born"),
        text("Wean wt"),
        text("0041"),
    );
    check(
        ods(&rows),
        "Pasture",
        "Tag,Born,Wean wt\n\n\n0041,2026-03-04,583.25\n",
    );
}

#[test]
fn what_is_no_spreadsheet_is_refused_with_a_reason() {
    assert_eq!(
        code(b"tag,weight\n1,500\n".to_vec()),
        "import.spreadsheet.unreadable"
    );
    assert_eq!(
        code(packed(&[("datapackage.json", "{}")])),
        "import.spreadsheet.unreadable"
    );
    assert_eq!(code(ods("")), "import.spreadsheet.empty");
    let mut cut = xlsx();
    cut.truncate(cut.len() / 2);
    assert_eq!(code(cut), "import.spreadsheet.unreadable");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// A damaged file is refused or read.
    #[test]
    fn damage_never_stops_the_reader(at in 0_usize..5_000, byte: u8, old: bool) {
        let mut bytes = if old {
            include_bytes!("files/old_weights.xls").to_vec()
        } else {
            xlsx()
        };
        let at = at % bytes.len();
        bytes[at] = byte;
        if let Ok(mut file) = File::open(bytes) {
            let _ = file.sheets();
            let _ = file.csv("Barn");
        }
    }
}
