//! The book of troubles: every trouble that was put into it is found, at its line.

mod run;

use run::{Report, csv_rows, fairpen, repository};

#[test]
fn check_lists_every_trouble_at_its_line_and_says_there_are_errors() {
    let book = repository("sample-books/trouble/calves.csv");
    let check = fairpen(["check".as_ref(), book.as_os_str()]);
    assert_eq!((check.code, check.err.as_str()), (1, ""));
    let problems = Report::of(&book, &[]).csv("problems.csv");
    let mut missed = Vec::new();
    let expected = csv_rows(&repository("tests/suite/import/trouble.expect.csv"));
    assert!(expected.len() > 60);
    for trouble in &expected {
        // Troubles of the header have no line of their own.
        let of_header = trouble["line"] == "1";
        let in_table = problems.iter().any(|problem| {
            (problem["line"] == trouble["line"] || of_header && problem["line"].is_empty())
                && problem["code"] == trouble["code"]
                && problem["column"] == trouble["column"]
        });
        let place = if of_header {
            "calves".to_owned()
        } else {
            format!("calves line {}", trouble["line"])
        };
        let code = format!("[{}]", trouble["code"]);
        let on_screen = check.out.lines().any(|line| {
            line.ends_with(&code)
                && line
                    .split([',', ':'])
                    .any(|part| part.trim().ends_with(&place))
        });
        if !in_table || !on_screen {
            missed.push(format!(
                "{} {} {} table {in_table} screen {on_screen}",
                trouble["line"], trouble["column"], trouble["code"]
            ));
        }
    }
    assert!(missed.is_empty(), "\n{}", missed.join("\n"));
}

#[test]
fn every_problem_says_how_to_mend_it() {
    let problems = Report::of(&repository("sample-books/trouble"), &[]).csv("problems.csv");
    for problem in &problems {
        for column in ["severity", "code", "sheet", "message", "hint"] {
            assert_ne!(problem[column], "", "{problem:?}");
        }
    }
    // Every line of the file that holds anything is still a calf.
    let report = Report::of(&repository("sample-books/trouble"), &[]);
    let document = report.json("report.json");
    assert_eq!(document["calves"]["rows"], report.csv("adjusted.csv").len());
    assert_eq!(document["files"][0]["read_as"]["blank_lines"], 2);
}

#[test]
fn a_sound_file_gives_exit_code_0_and_least_hides_remarks_only() {
    let book = repository("sample-books/two-barns");
    let all = fairpen(["check".as_ref(), book.as_os_str()]);
    assert_eq!((all.code, all.err.as_str()), (0, ""));
    assert!(all.out.lines().any(|line| line.starts_with("remark: ")));
    let errors = fairpen([
        "check".as_ref(),
        book.as_os_str(),
        "--least".as_ref(),
        "error".as_ref(),
    ]);
    assert_eq!(errors.code, 0);
    assert!(!errors.out.lines().any(|line| line.starts_with("remark: ")));
    let trouble = repository("sample-books/trouble");
    let hidden = fairpen([
        "check".as_ref(),
        trouble.as_os_str(),
        "--least".as_ref(),
        "error".as_ref(),
    ]);
    assert_eq!(hidden.code, 1);
    assert!(hidden.out.lines().any(|line| line.starts_with("error: ")));
    assert!(
        !hidden
            .out
            .lines()
            .any(|line| line.starts_with("doubtful: "))
    );
}
