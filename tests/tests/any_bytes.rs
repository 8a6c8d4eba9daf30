//! Files of any bytes, and tables of any cells, keep the promises of an import.

use fairpen_tests::any_bytes::hold_to_promises;
use proptest::prelude::*;

/// Cells as they stand in files, good and bad.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => Just(String::new()),
        2 => "[ -~]{0,12}",
        2 => "\\PC{0,6}",
        2 => "[0-9]{1,4}(\\.[0-9]{1,2})?",
        2 => "20[0-9]{2}-[0-1][0-9]-[0-3][0-9]",
        2 => "[0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}",
        1 => "[0-9]{3} (lb|kg|#)",
        1 => prop_oneof![Just("bull"), Just("H"), Just("M"), Just("n/a"), Just("-"), Just("\"a\"\"b\"")]
            .prop_map(str::to_owned),
    ]
}

fn table() -> impl Strategy<Value = String> {
    let header = prop_oneof![
        Just("Tag"),
        Just("Sex"),
        Just("DOB"),
        Just("Birth wt"),
        Just("Wean date"),
        Just("Wean wt (kg)"),
        Just("Weight"),
        Just("Date"),
        Just("Sire"),
        Just("Dam age (mo)"),
        Just("Cow birth year"),
        Just("Pen"),
        Just("Pasture"),
        Just("creep"),
        Just("adj ww"),
        Just("note"),
        Just(""),
        Just("Tag")
    ];
    let row = proptest::collection::vec(cell(), 0..9).prop_map(|cells| cells.join(","));
    let end = prop_oneof![Just("\n"), Just("\r\n"), Just("\r")];
    (
        proptest::collection::vec(header, 1..8),
        proptest::collection::vec(row, 0..25),
        end,
    )
        .prop_map(|(headers, rows, end)| {
            let mut text = headers.join(",");
            for row in rows {
                text.push_str(end);
                text.push_str(&row);
            }
            text
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    #[test]
    fn tables_of_any_cells(text in table(), piece in 1_usize..40) {
        hold_to_promises(text.as_bytes(), piece);
    }

    #[test]
    fn any_bytes_at_all(bytes in proptest::collection::vec(any::<u8>(), 0..400), piece in 1_usize..40) {
        hold_to_promises(&bytes, piece);
    }

    #[test]
    fn any_bytes_of_tables(
        bytes in proptest::collection::vec(
            prop_oneof![
                Just(b','), Just(b'"'), Just(b'\n'), Just(b'\r'), Just(b';'), Just(b'1'), Just(b'/'), Just(b'-'),
                Just(b'a'), Just(b' '), Just(b'\t'), Just(0xc3_u8), any::<u8>().prop_filter("binary", |&byte| byte != 0)
            ],
            0..300,
        ),
        piece in 1_usize..40,
    ) {
        hold_to_promises(&bytes, piece);
    }
}

#[test]
fn a_file_longer_than_what_is_looked_at_first() {
    let mut text = String::from("tag,sex,birth date,wean date,wean wt,extra\n");
    for number in 0..8_000 {
        text.push_str(&format!(
            "{number},{},3/{}/2025,10/2/2025,{},\"x, {number}\"\r\n",
            ["bull", "steer", "heifer"][number % 3],
            1 + number % 28,
            400 + number % 300,
        ));
    }
    assert!(text.len() > 3 * 65_536);
    for piece in [1_000, 65_536, 65_539, 65_540, 200_000] {
        hold_to_promises(text.as_bytes(), piece);
    }
}
