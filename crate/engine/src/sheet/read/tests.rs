use super::*;
use crate::sheet::codes;
use crate::sheet::column::Kind;

fn options() -> ReadOptions {
    ReadOptions {
        two_digit_year_to: 27,
        ..ReadOptions::of_book(WeightUnit::Pound)
    }
}

fn date(text: &str, options: &ReadOptions) -> String {
    match read_cell(Kind::Date, text, options) {
        Ok(Read::Day { day, .. }) => day.iso(),
        Ok(Read::Missing) => "missing".to_owned(),
        Ok(other) => format!("{other:?}"),
        Err(reason) => format!("{reason:?}"),
    }
}

fn number(kind: Kind, text: &str, options: &ReadOptions) -> Result<f64, Unreadable> {
    match read_cell(kind, text, options)? {
        Read::Number { number, .. } => Ok(number),
        Read::Missing => Ok(f64::NAN),
        other => panic!("{other:?}"),
    }
}

#[test]
fn dates_are_read_however_they_are_written() {
    for (text, expected) in [
        ("2026-03-14", "2026-03-14"),
        ("2026/03/14", "2026-03-14"),
        ("2026-3-4", "2026-03-04"),
        ("20260314", "2026-03-14"),
        ("3/14/2026", "2026-03-14"),
        ("03/14/26", "2026-03-14"),
        (" 3 / 14 / 2026 ", "2026-03-14"),
        ("3-14-2026", "2026-03-14"),
        ("14.3.2026", "2026-03-14"),
        ("3/4/2026", "2026-03-04"),
        ("14-Mar-2026", "2026-03-14"),
        ("14-MAR-26", "2026-03-14"),
        ("14 March 2026", "2026-03-14"),
        ("14Mar2026", "2026-03-14"),
        ("Mar 14, 2026", "2026-03-14"),
        ("March 14th, 2026", "2026-03-14"),
        ("Sat, Mar 14, 2026", "2026-03-14"),
        ("2026 Mar 14", "2026-03-14"),
        ("Sept. 2, 2025", "2025-09-02"),
        ("2026-03-14T07:30:00", "2026-03-14"),
        ("2026-03-14 07:30", "2026-03-14"),
        ("3/14/2026 12:00:00 AM", "2026-03-14"),
        ("2/29/2024", "2024-02-29"),
        ("3/14/98", "1998-03-14"),
        ("3/14/27", "2027-03-14"),
        ("3/14/28", "1928-03-14"),
        ("", "missing"),
        (" n/a ", "missing"),
        ("-", "missing"),
        (".", "missing"),
        ("NONE", "missing"),
        ("2026-02-30", "DateImpossible"),
        ("2/30/2026", "DateImpossible"),
        ("31-Feb-2026", "DateImpossible"),
        ("13/13/2026", "DateImpossible"),
        ("0/5/2026", "DateImpossible"),
        ("20261301", "DateImpossible"),
        ("45731", "DateSerial"),
        ("2026", "Date"),
        ("Mar 2026", "Date"),
        ("spring", "Date"),
        ("3/14", "DateNoYear"),
        ("3/14/226", "Date"),
        ("-3/4/2026", "Date"),
        ("3/4/2026?", "Date"),
        ("3/4/2026 3/5/2026", "Date"),
        ("14-Mrz-2026", "Date"),
    ] {
        assert_eq!(date(text, &options()), expected, "{text}");
    }
}

#[test]
fn a_told_order_is_kept_to() {
    let day_first = ReadOptions {
        date_order: Some(DateOrder::DayFirst),
        ..options()
    };
    let month_first = ReadOptions {
        date_order: Some(DateOrder::MonthFirst),
        ..options()
    };
    assert_eq!(date("3/4/2026", &day_first), "2026-04-03");
    assert_eq!(date("3/4/2026", &month_first), "2026-03-04");
    assert_eq!(date("14/3/2026", &month_first), "DateOtherOrder");
    assert_eq!(date("3/14/2026", &day_first), "DateOtherOrder");
    assert_eq!(date("14/3/2026", &options()), "2026-03-14");
    assert_eq!(date("2026-03-14", &day_first), "2026-03-14");
}

#[test]
fn a_date_that_reads_two_ways_says_so() {
    let two_ways = |text: &str| match read_cell(Kind::Date, text, &options()) {
        Ok(Read::Day {
            two_ways,
            short_year,
            ..
        }) => (two_ways, short_year),
        other => panic!("{other:?}"),
    };
    assert_eq!(two_ways("3/4/26"), (true, true));
    assert_eq!(two_ways("3/3/2026"), (false, false));
    assert_eq!(two_ways("3/14/26"), (false, true));
    assert_eq!(two_ways("14-Mar-26"), (false, true));
}

#[test]
fn numbers_are_read_however_they_are_written() {
    for (text, expected) in [
        ("512", 512.0),
        ("512.5", 512.5),
        ("512.", 512.0),
        (".5", 0.5),
        ("0.1", 0.1),
        ("1,234", 1234.0),
        ("1,234.5", 1234.5),
        ("1 234", 1234.0),
        ("1\u{a0}234", 1234.0),
        ("12,345,678", 12_345_678.0),
        ("-3.5", -3.5),
        ("+3", 3.0),
        ("1e3", 1000.0),
        (" 42 ", 42.0),
        ("123456789.123456789", 123_456_789.123_456_79),
        ("007", 7.0),
    ] {
        assert_eq!(
            number(Kind::Number(""), text, &options()),
            Ok(expected),
            "{text}"
        );
    }
    for text in ["n/a", "NA", "-", ".", "none", "#N/A", "unknown", "?", "  "] {
        assert!(
            number(Kind::Number(""), text, &options()).is_ok_and(f64::is_nan),
            "{text}"
        );
    }
    for text in [
        "abc", "12a", "1,23", "0,272", "1,2345", ",123", "1.2.3", "--3", "5-6", "inf", "0x10",
        "1e999", "512 lb", "12/14", "est 512", "512*",
    ] {
        assert!(
            number(Kind::Number(""), text, &options()).is_err(),
            "{text}"
        );
    }
    assert_eq!(
        number(Kind::Number(""), "32,7", &options()),
        Err(Unreadable::NumberDecimalComma)
    );
}

#[test]
fn decimal_commas_when_told() {
    let comma = ReadOptions {
        decimal_comma: true,
        ..options()
    };
    for (text, expected) in [
        ("32,7", 32.7),
        ("1.234,5", 1234.5),
        ("1.234", 1234.0),
        ("235.4", 235.4),
        ("235", 235.0),
    ] {
        assert_eq!(
            number(Kind::Number(""), text, &comma),
            Ok(expected),
            "{text}"
        );
    }
}

#[test]
fn weights_carry_their_unit_into_the_books() {
    let said = |text: &str, options: &ReadOptions| match read_cell(Kind::Weight, text, options) {
        Ok(Read::Number { number, said_unit }) => Ok((number, said_unit)),
        Err(reason) => Err(reason),
        other => panic!("{other:?}"),
    };
    let pounds = options();
    assert_eq!(said("512", &pounds), Ok((512.0, None)));
    assert_eq!(
        said("512 lb", &pounds),
        Ok((512.0, Some(WeightUnit::Pound)))
    );
    assert_eq!(
        said("1,012lbs.", &pounds),
        Ok((1012.0, Some(WeightUnit::Pound)))
    );
    assert_eq!(said("512#", &pounds), Ok((512.0, Some(WeightUnit::Pound))));
    assert_eq!(
        said("100 kg", &pounds),
        Ok((100.0 / 0.453_592_37, Some(WeightUnit::Kilogram)))
    );
    assert_eq!(said("512 stone", &pounds), Err(Unreadable::Number));
    assert_eq!(said("lb", &pounds), Err(Unreadable::Number));
    let kilograms = ReadOptions {
        weight_unit: WeightUnit::Kilogram,
        book_unit: WeightUnit::Kilogram,
        ..options()
    };
    assert_eq!(said("232.5", &kilograms), Ok((232.5, None)));
    assert_eq!(
        said("500 lb", &kilograms),
        Ok((500.0 * 0.453_592_37, Some(WeightUnit::Pound)))
    );
}

#[test]
fn ages_are_years_whatever_the_unit() {
    let months = ReadOptions {
        age_unit: AgeUnit::Months,
        ..options()
    };
    assert_eq!(number(Kind::Number("years"), "4", &options()), Ok(4.0));
    assert_eq!(number(Kind::Number("years"), "4 yrs", &options()), Ok(4.0));
    assert_eq!(number(Kind::Number("years"), "30 mo", &options()), Ok(2.5));
    assert_eq!(number(Kind::Number("years"), "30", &months), Ok(2.5));
    assert_eq!(number(Kind::Number("years"), "3 yr", &months), Ok(3.0));
    assert!(number(Kind::Number("years"), "old", &options()).is_err());
}

#[test]
fn a_year_left_out_is_given_when_it_is_known() {
    let known = ReadOptions {
        year: Some(2026),
        ..options()
    };
    for (text, expected) in [
        ("3/14", "2026-03-14"),
        ("14/3", "2026-03-14"),
        ("3-14", "2026-03-14"),
        ("14 Mar", "2026-03-14"),
        ("March 14th", "2026-03-14"),
        ("mar 14", "2026-03-14"),
        ("3/14/25", "2025-03-14"),
        ("2026-03-14", "2026-03-14"),
        ("2/29", "DateImpossible"),
        ("13/13", "DateImpossible"),
        ("3.14", "Date"),
        ("3 14", "Date"),
        ("14", "Date"),
        ("soon", "Date"),
    ] {
        assert_eq!(date(text, &known), expected, "{text}");
    }
    assert_eq!(
        date("3/14", &options()),
        "DateNoYear",
        "in a file nobody says which year"
    );
    assert_eq!(
        date(
            "2/29",
            &ReadOptions {
                year: Some(2028),
                ..known
            }
        ),
        "2028-02-29"
    );
}

#[test]
fn years_with_two_digits_are_years_of_the_calendar() {
    for (text, expected) in [
        ("2019", 2019.0),
        ("19", 2019.0),
        ("'19", 2019.0),
        ("98", 1998.0),
    ] {
        assert_eq!(
            number(Kind::Number("year"), text, &options()),
            Ok(expected),
            "{text}"
        );
    }
}

#[test]
fn words_of_a_list_come_before_words_for_missing() {
    let code = |list, text| read_cell(Kind::Code(list), text, &options());
    assert_eq!(
        code(&codes::SEX, "steer calf"),
        Ok(Read::Code(codes::STEER))
    );
    assert_eq!(code(&codes::SEX, "n/a"), Ok(Read::Missing));
    assert_eq!(code(&codes::SEX, "cow"), Err(Unreadable::Code("sex")));
    assert_eq!(code(&codes::YES_NO, "none"), Ok(Read::Code(1)));
    assert_eq!(code(&codes::RESULT, "?"), Ok(Read::Code(2)));
}

#[test]
fn several_bulls_keep_their_names_and_order() {
    let list = |text| match read_cell(Kind::List, text, &options()) {
        Ok(Read::Text(names)) => names.into_owned(),
        Ok(Read::Missing) => String::new(),
        other => panic!("{other:?}"),
    };
    assert_eq!(list("41C"), "41C");
    assert_eq!(list("bull A/bull B"), "bull A; bull B");
    assert_eq!(list("41C; 17D ;52F"), "41C; 17D; 52F");
    assert_eq!(list("41C, 17D"), "41C; 17D");
    assert_eq!(list("Smith, Old; 17D"), "Smith, Old; 17D");
    assert_eq!(list(" / "), "");
    assert_eq!(list("N/A"), "");
}

#[test]
fn a_reason_names_what_was_read_and_how_to_mend_it() {
    for (kind, raw, code) in [
        (Kind::Date, "2/30/2026", "import.date.impossible"),
        (Kind::Date, "14/3/2026", "import.date.impossible"),
        (Kind::Date, "soon", "import.date.unreadable"),
        (Kind::Weight, "heavy", "import.number.unreadable"),
        (Kind::Code(&codes::SEX), "cow", "import.code.unknown"),
    ] {
        let explained = explain_unreadable(kind, raw);
        assert_eq!(explained.code, code, "{raw}");
        assert!(explained.message.contains(raw), "{raw}");
        assert!(explained.hint.ends_with('.'), "{raw}");
    }
}
