//! Whole small files through the reader: what is read, what is said, what is asked.

// long because: one small file for each promise of the reader.

use fairpen_engine::import::plan::{DateOrder, DayCount, Question, Rules, Target};
use fairpen_engine::import::{ImportOptions, Imported, Reader, read_all};
use fairpen_engine::results::ResultColumn;
use fairpen_engine::sheet::codes::STEER;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;

#[path = "common/cells.rs"]
mod cells;

use cells::column_texts;

fn options() -> ImportOptions {
    let as_of = Day::from_ymd(2026, 11, 1).expect("a real day");
    ImportOptions::of_book(WeightUnit::Pound, as_of)
}

fn read(text: &str) -> Imported {
    read_all(text.as_bytes(), "herd.csv", options()).expect("a table")
}

fn shown(imported: &Imported, key: &str) -> Vec<String> {
    column_texts(&imported.table, key)
}

/// Codes of the notes; the small files here lack columns on purpose.
fn codes(imported: &Imported) -> Vec<&str> {
    imported
        .notes
        .iter()
        .map(|note| note.code)
        .filter(|&code| code != "import.column.none")
        .collect()
}

#[test]
fn dates_of_all_columns_settle_the_order_together() {
    let month_first =
        read("tag,born,weaned,wean wt\n1,3/14/2025,10/2/2025,500\n2,3/4/2025,10/2/2025,510\n");
    assert_eq!(
        shown(&month_first, "wean_date"),
        ["2025-10-02", "2025-10-02"]
    );
    assert_eq!(month_first.date_order, Some(DateOrder::MonthFirst));
    assert!(month_first.questions.is_empty());

    let day_first =
        read("tag,born,weaned,wean wt\n1,14/3/2025,2/10/2025,500\n2,4.3.2025,2/10/2025,510\n");
    assert_eq!(shown(&day_first, "wean_date"), ["2025-10-02", "2025-10-02"]);
    assert_eq!(
        shown(&day_first, "birth_date"),
        ["2025-03-14", "2025-03-04"]
    );
    assert!(day_first.questions.is_empty());
}

#[test]
fn dates_against_the_order_of_the_others_stay_as_they_stand() {
    let mixed = read("tag,born\n1,3/14/2025\n2,3/15/2025\n3,16/3/2025\n4,2/30/2025\n");
    assert_eq!(
        shown(&mixed, "birth_date"),
        ["2025-03-14", "2025-03-15", "!16/3/2025", "!2/30/2025"]
    );
    assert_eq!(codes(&mixed), ["import.date.order"]);
    assert_eq!(mixed.columns[1].n_unreadable, 2);
}

#[test]
fn dates_that_read_two_ways_are_asked_about_and_the_answer_holds() {
    let text = "tag,born\n1,3/4/2025\n2,5/6/2025\n3,7/7/2025\n";
    let open = read(text);
    assert_eq!(
        shown(&open, "birth_date"),
        ["2025-03-04", "2025-05-06", "2025-07-07"]
    );
    assert_eq!(codes(&open), ["import.date.ambiguous"]);
    let question = Question::DateOrder {
        example: "3/4/2025".to_owned(),
        n: 2,
    };
    assert_eq!(open.questions, std::slice::from_ref(&question));

    let mut plan = open.plan;
    plan.date_order = Some(DateOrder::DayFirst);
    let answered = ImportOptions {
        plan: Some(plan),
        ..options()
    };
    let answered = read_all(text.as_bytes(), "herd.csv", answered).expect("a table");
    assert_eq!(
        shown(&answered, "birth_date"),
        ["2025-04-03", "2025-06-05", "2025-07-07"]
    );
    assert_eq!(answered.questions, [question]);
    assert!(codes(&answered).is_empty());
}

#[test]
fn two_digit_years_look_back_from_the_books_day() {
    let read = read("tag,dob,cow birth year\n1,3/14/25,19\n2,14-Mar-26,98\n");
    assert_eq!(shown(&read, "birth_date"), ["2025-03-14", "2026-03-14"]);
    assert_eq!(shown(&read, "dam_birth_year"), ["2019", "1998"]);
    assert_eq!(codes(&read), ["import.date.two_digit_year"]);
}

#[test]
fn weights_come_into_the_books_unit_by_header_cell_or_answer() {
    let header = read("tag,birth wt (kg)\n1,36\n");
    assert_eq!(
        shown(&header, "birth_weight"),
        [(36.0 / 0.453_592_37).to_string()]
    );

    let mixed = read("tag,birth wt\n1,80\n2,36 kg\n3,81 lb\n");
    assert_eq!(
        shown(&mixed, "birth_weight"),
        [
            "80".to_owned(),
            (36.0 / 0.453_592_37).to_string(),
            "81".to_owned()
        ]
    );
    assert_eq!(codes(&mixed), ["import.weight.unit_mixed"]);

    let text = "tag,wean date,wean wt\n1,2025-10-02,230\n2,2025-10-02,251\n3,2025-10-02,244\n";
    let unclear = read(text);
    assert_eq!(codes(&unclear), ["import.weight.unit_unclear"]);
    assert_eq!(
        unclear.questions,
        [Question::WeightUnit {
            header: "wean wt".to_owned(),
            median: 244.0
        }]
    );
    let mut plan = unclear.plan;
    plan.choose_weight_unit(WeightUnit::Kilogram);
    let answered = ImportOptions {
        plan: Some(plan),
        ..options()
    };
    let answered = read_all(text.as_bytes(), "herd.csv", answered).expect("a table");
    assert_eq!(
        shown(&answered, "wean_weight")[0],
        (230.0 / 0.453_592_37).to_string()
    );
    assert!(codes(&answered).is_empty());
}

#[test]
fn males_are_asked_about_and_the_answer_holds() {
    let text = "tag,sex\n1,M\n2,F\n3,male\n4,str\n";
    let open = read(text);
    assert_eq!(open.questions, [Question::Male { n: 2 }]);
    assert_eq!(shown(&open, "sex"), ["male", "heifer", "male", "steer"]);
    let mut plan = open.plan;
    plan.male_means = Some(STEER);
    let answered = ImportOptions {
        plan: Some(plan),
        ..options()
    };
    let answered = read_all(text.as_bytes(), "herd.csv", answered).expect("a table");
    assert_eq!(
        shown(&answered, "sex"),
        ["steer", "heifer", "steer", "steer"]
    );
}

#[test]
fn words_for_missing_are_missing_only_where_a_value_is_due() {
    let read = read("tag,sex,born,birth wt,wean wt,sire,note\n-,n/a,none,.,na,N/A,none\n");
    for key in ["sex", "birth_date", "birth_weight", "wean_weight", "sire"] {
        assert_eq!(shown(&read, key), [""], "{key}");
    }
    // A dash is nobody's tag; in a note it may be meant.
    assert_eq!(shown(&read, "tag"), [""]);
    assert_eq!(shown(&read, "note"), ["none"]);
}

#[test]
fn ragged_and_blank_lines_are_told_and_nothing_is_lost() {
    let text = "My calves\n\nTag,Sex,Born\n1,bull\n\n2,steer,2025-03-01,late,,again\n,,\n3,heifer,2025-03-02,\n";
    let read = read(text);
    assert_eq!(shown(&read, "tag"), ["1", "2", "3"]);
    assert_eq!(read.table.source_line, [4, 6, 8]);
    assert_eq!((read.n_blank, read.n_above_header), (3, 1));
    assert_eq!(
        codes(&read),
        [
            "import.cells.too_few",
            "import.cells.too_many",
            "import.header.above",
            "import.rows.blank"
        ]
    );
    assert_eq!(read.notes[0].place.line, Some(4));
    assert_eq!(read.notes[1].place.line, Some(6));
    assert_eq!(read.plan.columns.len(), 6);
    assert_eq!(shown(&read, "column_4"), ["", "late", ""]);
    assert_eq!(shown(&read, "column_6"), ["", "again", ""]);
}

#[test]
fn an_unclosed_quote_is_named_by_its_line() {
    let read = read("tag,note\n1,ok\n2,\"open\n3,x\n");
    assert_eq!(read.table.n_rows(), 2);
    assert_eq!(codes(&read), ["import.quote.unclosed"]);
    assert_eq!(read.notes[0].place.line, Some(3));
    assert_eq!(shown(&read, "note")[1], "open\n3,x");
}

#[test]
fn letters_of_windows_1252_are_read_and_the_others_named_by_their_line() {
    let bytes = b"tag,place,birth wt\n1,Pe\xf1a,80\n2,East\x97\xa0,81\n3,\xa0,\xa082\xa0\n4,Pe\xc3\xb1a,83\n";
    let read = read_all(bytes, "herd.csv", options()).expect("a table");
    assert_eq!(
        shown(&read, "place"),
        ["Pe\u{f1}a", "East\u{2014}", "", "Pe\u{f1}a"]
    );
    assert_eq!(shown(&read, "birth_weight"), ["80", "81", "82", "83"]);
    assert_eq!(codes(&read), ["import.encoding.windows_1252"]);
    assert_eq!(read.notes[0].place.line, Some(2));
    assert!(read.notes[0].message.starts_with("3 lines have"));

    let bytes = b"tag,place,birth wt\n1,Pe\x81a,80\n2,East,81\n";
    let read = read_all(bytes, "herd.csv", options()).expect("a table");
    assert_eq!(shown(&read, "place"), ["Pe\u{fffd}a", "East"]);
    assert_eq!(codes(&read), ["import.encoding.invalid"]);
    assert_eq!(read.notes[0].place.line, Some(2));
}

#[test]
fn a_plan_from_before_reads_letters_and_words_as_it_did() {
    let bytes = b"tag,dam,born\n1,Pe\xf1a,45736\n2,n/a,2025-03-01\n";
    let mut plan = read_all(bytes, "herd.csv", options())
        .expect("a table")
        .plan;
    plan.rules = Rules::First;
    let again = ImportOptions {
        plan: Some(plan),
        ..options()
    };
    let read = read_all(bytes, "herd.csv", again).expect("a table");
    assert_eq!(shown(&read, "dam"), ["Pe\u{fffd}a", "n/a"]);
    assert_eq!(shown(&read, "birth_date"), ["!45736", "2025-03-01"]);
}

#[test]
fn headers_that_stand_again_are_set_aside_and_named() {
    let read = read("tag,sex,born\n1,bull,3/14/2025\n\ntag,sex,born\n2,heifer,2025-03-02\ntag,,\n");
    assert_eq!(shown(&read, "tag"), ["1", "2", "tag"]);
    assert_eq!(shown(&read, "birth_date"), ["2025-03-14", "2025-03-02", ""]);
    assert_eq!(
        codes(&read),
        ["import.rows.header_again", "import.rows.blank"]
    );
    assert_eq!(read.notes[0].place.line, Some(4));
    assert_eq!(read.table.source_line, [2, 5, 6]);
}

#[test]
fn utf_16_reads_as_utf_8_does_however_it_is_cut() {
    let text = "tag,place,birth wt\n1,Pe\u{f1}a,80\n2,\u{1f404} barn,81\n";
    let plain = read(text);
    for (mark, low_first) in [([0xFF, 0xFE], true), ([0xFE, 0xFF], false)] {
        let units = text.encode_utf16().map(|unit| {
            if low_first {
                unit.to_le_bytes()
            } else {
                unit.to_be_bytes()
            }
        });
        let bytes: Vec<u8> = mark.into_iter().chain(units.flatten()).collect();
        let mut reader = Reader::begin("herd.csv", options());
        for chunk in bytes.chunks(3) {
            reader.push(chunk).expect("a text file");
        }
        let read = reader.finish().expect("a table");
        for key in ["tag", "place", "birth_weight"] {
            assert_eq!(shown(&read, key), shown(&plain, key));
        }
        assert_eq!(codes(&read), ["import.encoding.utf16"]);
    }
}

#[test]
fn day_counts_words_for_missing_and_times_are_read_and_said() {
    let text = "tag,dam,born,weaned,wean wt,note\n\
        007,n/a,45736,2025-10-02 07:45,500,n/a\n\
        \u{a0}8 ,-,45740.5,10/2/2025,.,-\n\
        9,Nan,none,?,512,none\n";
    let open = read(text);
    assert_eq!(shown(&open, "tag"), ["007", "8", "9"]);
    assert_eq!(shown(&open, "dam"), ["", "", "Nan"]);
    assert_eq!(shown(&open, "birth_date"), ["2025-03-20", "2025-03-24", ""]);
    assert_eq!(shown(&open, "wean_date"), ["2025-10-02", "2025-10-02", ""]);
    assert_eq!(shown(&open, "note")[..2], ["n/a", "-"]);
    let counted: Vec<(&str, Option<&str>, Option<u32>)> = open
        .notes
        .iter()
        .filter(|note| {
            matches!(note.code, "import.date.serial" | "import.date.time")
                || note.code == "import.missing.word"
        })
        .map(|note| (note.code, note.place.column.as_deref(), note.place.line))
        .collect();
    for expected in [
        ("import.missing.word", Some("dam"), Some(2)),
        ("import.missing.word", Some("birth_date"), Some(4)),
        ("import.missing.word", Some("wean_date"), Some(4)),
        ("import.missing.word", Some("wean_weight"), Some(3)),
        ("import.date.serial", Some("birth_date"), Some(2)),
        ("import.date.time", Some("birth_date"), Some(3)),
        ("import.date.time", Some("wean_date"), Some(2)),
    ] {
        assert!(counted.contains(&expected), "{expected:?} in {counted:?}");
    }
    assert_eq!(counted.len(), 7);
    let asked = open.questions.iter().map(Question::key).collect::<Vec<_>>();
    assert_eq!(asked, ["date_order", "day_count"]);

    for (count, born) in [
        (DayCount::From1904, ["2029-03-21", "2029-03-25", ""]),
        (DayCount::NotDates, ["!45736", "!45740.5", ""]),
    ] {
        let mut plan = open.plan.clone();
        plan.choose_day_count(count);
        let again = ImportOptions {
            plan: Some(plan),
            ..options()
        };
        let read = read_all(text.as_bytes(), "herd.csv", again).expect("a table");
        assert_eq!(shown(&read, "birth_date"), born);
    }
}

#[test]
fn a_scale_file_with_date_and_time_is_weights_by_tag() {
    let text = "EID,VID,Date Time,Weight\n840 003 123456789,0101,3/14/2026 8:15,512\n840-003-123456790,102,3/14/2026 8:17,498\n";
    let read = read(text);
    assert_eq!(read.plan.sheet, SheetKind::Weights);
    assert_eq!(shown(&read, "animal"), ["0101", "102"]);
    assert_eq!(shown(&read, "date"), ["2026-03-14", "2026-03-14"]);
    assert_eq!(shown(&read, "weight"), ["512", "498"]);
    assert_eq!(shown(&read, "eid")[0], "840 003 123456789");
    // It may be the weaning weights of calves; in a file called "scale" or "weights" nothing is asked.
    assert_eq!(
        read.questions,
        [Question::Sheet {
            sheets: vec![SheetKind::Weights, SheetKind::Calves]
        }]
    );
    assert_eq!(codes(&read), ["import.date.time"]);
}

#[test]
fn two_columns_for_one_are_asked_about() {
    let read = read("Tag,Pen,Pasture,Calf ID\n1,A,East,x\n");
    assert_eq!(shown(&read, "place"), ["A"]);
    assert_eq!(shown(&read, "pasture"), ["East"]);
    assert_eq!(shown(&read, "tag"), ["1"]);
    let asked = |column: &str, headers: [&str; 2]| Question::TwoColumns {
        column: column.to_owned(),
        headers: headers.map(str::to_owned).to_vec(),
    };
    assert_eq!(
        read.questions[1..],
        [
            asked("tag", ["Tag", "Calf ID"]),
            asked("place", ["Pen", "Pasture"])
        ]
    );
    let mut plan = read.plan;
    plan.choose(2, Target::Known("place".to_owned()));
    assert_eq!(plan.columns[1].target, Target::Own);
    plan.columns[3].target = Target::LeaveOut;
    let chosen = ImportOptions {
        plan: Some(plan),
        ..options()
    };
    let chosen =
        read_all(b"Tag,Pen,Pasture,Calf ID\n1,A,East,x\n", "herd.csv", chosen).expect("a table");
    assert_eq!(shown(&chosen, "place"), ["East"]);
    assert_eq!(shown(&chosen, "pen"), ["A"]);
    assert_eq!(chosen.columns[3].key, None);
    assert_eq!(codes(&chosen), ["import.column.left_out"]);
}

#[test]
fn own_columns_take_no_key_of_a_result() {
    let keys: Vec<&str> = ResultColumn::ALL
        .iter()
        .map(|column| column.key())
        .collect();
    let read = read(&format!(
        "tag,{}\n1{}\n",
        keys.join(","),
        ",x".repeat(keys.len())
    ));
    let own = read
        .table
        .columns()
        .iter()
        .filter(|column| column.header.is_some())
        .skip(1);
    let mut n_own = 0;
    for column in own {
        n_own += 1;
        assert_eq!(ResultColumn::from_key(&column.key), None, "{}", column.key);
    }
    assert_eq!(n_own, keys.len());
}

#[test]
fn headers_missing_twice_or_unknown_are_told() {
    let read = read("tag,,note,note\n1,a,b,c\n");
    assert_eq!(codes(&read), ["import.header.blank", "import.header.twice"]);
    assert_eq!(shown(&read, "note"), ["b"]);
    assert_eq!(shown(&read, "note_2"), ["c"]);
    assert_eq!(shown(&read, "column_2"), ["a"]);
    let unknown = read_all(b"x1,x2\n1,2\n", "herd.csv", options()).expect("a table");
    assert_eq!(codes(&unknown), ["import.header.unknown"]);
}

#[test]
fn a_plan_for_another_file_or_with_one_column_twice_is_refused() {
    let plan = read("tag,sex,pen\n1,bull,A\n").plan;
    let refused = |text: &str, plan| {
        let given = ImportOptions {
            plan: Some(plan),
            ..options()
        };
        match read_all(text.as_bytes(), "herd.csv", given) {
            Err(refused) => refused.code(),
            Ok(_) => "read",
        }
    };
    assert_eq!(
        refused("tag,sex\n1,bull\n", plan.clone()),
        "import.plan.other_file"
    );
    let mut twice = plan.clone();
    twice.columns[2].target = Target::Known("tag".to_owned());
    assert_eq!(
        refused("tag,sex,pen\n1,bull,A\n", twice),
        "import.plan.twice"
    );
    let mut nowhere = plan;
    nowhere.columns[2].target = Target::Known("bunk".to_owned());
    assert_eq!(
        refused("tag,sex,pen\n1,bull,A\n", nowhere),
        "import.plan.column"
    );
}

#[test]
fn other_sheets_read_their_own_columns() {
    let cows = read_all(
        b"cow,birth date,mother,note\n7,3/14/2019,2,x\n",
        "cows.csv",
        options(),
    )
    .expect("a table");
    assert_eq!(cows.plan.sheet, SheetKind::Cows);
    assert_eq!(shown(&cows, "tag"), ["7"]);
    assert_eq!(shown(&cows, "birth_date"), ["2019-03-14"]);
    assert_eq!(shown(&cows, "dam"), ["2"]);
    let weights = read("animal,date,weight\n7,2025-10-02,500 lb\n");
    assert_eq!(weights.plan.sheet, SheetKind::Weights);
    assert_eq!(shown(&weights, "weight"), ["500"]);
}

#[test]
fn rows_of_totals_at_the_foot_are_set_aside_named_and_brought_in_on_demand() {
    let text = "Weaning 2025\nTag,Sex,Born,Dam,Wean wt\n1,bull,2025-03-01,a,500\nTotal 5,steer,2025-03-02,b,510\n\
        ,,,,\nTotal,45 head,,,1010\nHerd average,,2025-03-02,,505\nMin,,2025-03-01\nMax,,2025-03-02,,510\n";
    let set_aside = read(text);
    assert_eq!(shown(&set_aside, "tag"), ["1", "Total 5"]);
    assert_eq!(set_aside.table.source_line, [3, 4]);
    assert_eq!(
        set_aside
            .columns
            .iter()
            .map(|column| column.n_filled)
            .collect::<Vec<_>>(),
        [2, 2, 2, 2, 2]
    );
    let lines: Vec<_> = set_aside
        .notes
        .iter()
        .filter(|note| note.code == "import.rows.summary")
        .map(|note| (note.place.line, note.read.as_str()))
        .collect();
    assert_eq!(
        lines,
        [
            (Some(6), "Total, and 2 more cells"),
            (Some(7), "Herd average, and 2 more cells"),
            (Some(8), "Min, and 1 more cell"),
            (Some(9), "Max, and 2 more cells"),
        ]
    );
    assert!(!codes(&set_aside).contains(&"import.cells.too_few"));
    assert!(codes(&set_aside).contains(&"import.header.above"));
    let question = Question::SummaryRows {
        n: 4,
        line: 6,
        word: "Total".to_owned(),
    };
    assert_eq!(set_aside.questions, std::slice::from_ref(&question));

    let mut plan = set_aside.plan;
    plan.choose_summary_rows(true);
    let kept = ImportOptions {
        plan: Some(plan),
        ..options()
    };
    let kept = read_all(text.as_bytes(), "herd.csv", kept).expect("a table");
    assert_eq!(kept.table.n_rows(), 6);
    assert_eq!(kept.questions, [question]);
    assert_eq!(kept.open_questions().count(), 0);
    assert!(!codes(&kept).contains(&"import.rows.summary"));
}

#[test]
fn an_animal_with_such_a_name_stays_a_row() {
    let tags = |text: &str| shown(&read(text), "tag");
    let head = "tag,sex,born,dam,wean wt\n1,bull,2025-03-01,a,500\n";
    for (last, stays) in [
        ("Max,,2025-03-04,,500\n", true),
        ("Max,steer,,,500\n", true),
        ("Max,,,77,500\n", true),
        ("Max,,,,500\n", false),
        ("Max,,2025-03-04,,500\nTotal,,,,1000\n", true),
        ("Total,heifer,2025-03-04,,500\n", true),
        ("Average,,2025-03-04,,500\n", false),
        ("Total,,,2,1000\n", false),
        ("Total 5,,,,500\n", true),
        ("Total,,,,500\n2,bull,2025-03-01,b,500\n", true),
    ] {
        let n_rows = tags(&format!("{head}{last}")).len();
        assert_eq!(n_rows > 1, stays, "{last}");
    }
}

#[test]
fn a_title_of_one_cell_stands_above_two_headers() {
    let read = read("Weights of 2025\n\nTag,Weaning weight\n1,500\n2,510\n");
    assert_eq!(shown(&read, "wean_weight"), ["500", "510"]);
    let above: Vec<_> = read
        .notes
        .iter()
        .filter(|note| note.code == "import.header.above")
        .map(|note| (note.place.line, note.read.as_str()))
        .collect();
    assert_eq!(above, [(Some(1), "Weights of 2025")]);
}

#[test]
fn needed_columns_that_nothing_was_taken_for_are_named() {
    let named = |imported: &Imported| -> Vec<String> {
        imported
            .notes
            .iter()
            .filter(|note| note.code == "import.column.none")
            .map(|note| note.message.split(';').next().unwrap_or("").to_owned())
            .collect()
    };
    assert_eq!(
        named(&read(
            "tag,gnder,dob,weighed\n1,bull,2025-03-01,2025-10-02\n"
        )),
        [
            "No column was taken for Sex",
            "No column was taken for Weaning weight"
        ]
    );
    assert_eq!(
        named(&read("tag,sex,wean wt\n1,bull,500\n")),
        [
            "No column was taken for Born",
            "No column was taken for the day of weighing or weaning"
        ]
    );
    let whole = read("tag,sex,dob,weaned,wean wt\n1,bull,2025-03-01,2025-10-02,500\n");
    assert!(whole.notes.is_empty(), "{:?}", whole.notes);
}

#[test]
fn a_sign_between_thousands_is_told_with_the_number_read() {
    let said = |text: &str| -> Vec<(Option<u32>, String, String)> {
        read(text)
            .notes
            .into_iter()
            .filter(|note| note.code == "import.number.thousands")
            .map(|note| (note.place.line, note.read, note.message))
            .collect()
    };
    assert_eq!(
        said("tag,yearling wt kg\n1,\"1,272\"\n2,512\n"),
        [(
            Some(2),
            "1,272".to_owned(),
            "\"1,272\" in \"yearling wt kg\", line 2, was read as 1272.".to_owned()
        )]
    );
    let two = said("tag;birth wt;yearling wt\n1;32,7;900\n2;33,1;1.012,5\n3;34,5;1.013\n");
    assert_eq!(two.len(), 1);
    assert_eq!(
        two[0].2,
        "2 numbers in \"yearling wt\" have a sign between thousands: \"1.012,5\" in line 3 was read as 1012.5, and so on."
    );
    assert!(said("tag,note,wean wt\n1,\"1,272\",512.5\n").is_empty());
    // Nobody writes thousands after a zero: not read, and said by the check.
    let zero = read("tag,wean wt\n1,\"0,272\"\n");
    assert_eq!(shown(&zero, "wean_weight"), ["!0,272"]);
}

/// A header that says nothing, over cells that say it all; a second such column, or one with a single sex, is
/// not taken.
#[test]
fn a_lone_column_of_sexes_is_the_sex() {
    let target = |text: &str, at: usize| {
        let options = ImportOptions::of_book(WeightUnit::Pound, Day::MISSING);
        let imported = read_all(text.as_bytes(), "terse.csv", options).expect("a table");
        imported.plan.columns[at].target.clone()
    };
    let sex = Target::Known("sex".to_owned());
    let terse = "ID,S,DOB,BW,WD,WW\n1,steer,2026-03-01,80,2026-10-01,520\n2,heifer,2026-03-02,75,2026-10-01,500\n";
    assert_eq!(target(terse, 1), sex);
    let one_sex = terse.replace("steer", "heifer");
    assert_eq!(target(&one_sex, 1), Target::Own);
    let twice = terse
        .replace("DOB", "T")
        .replace("2026-03-01", "B")
        .replace("2026-03-02", "H");
    assert_eq!(target(&twice, 1), Target::Own);
    let named = terse
        .replace("BW", "Sex")
        .replace(",80,", ",H,")
        .replace(",75,", ",S,");
    assert_eq!(target(&named, 1), Target::Own);
    assert_eq!(target(&named, 3), sex);
}
