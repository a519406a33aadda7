//! Drafts made to break the program end with a clear message. What is bounded is counted: messages, sentences carried
//! out, and what they leave. Seconds and megabytes are measured elsewhere.

use crate::drawing;

use drawing::Run;
use oaktag_language::draft::Outcome;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::fmt::Write;

/// Draws it, and holds it to the bounds that every draft is held to.
fn drawn(run: &Run) -> Outcome {
    let (_, outcome) = run.drawn();
    assert!(
        outcome.diagnostics.len() <= 100,
        "{} messages",
        outcome.diagnostics.len()
    );
    assert!(
        outcome.record.sentences <= 3_000_000,
        "{}",
        outcome.record.sentences
    );
    assert!(outcome.record.entries.len() <= 3_000_000);
    outcome
}

fn codes(text: &str) -> Vec<Code> {
    drawn(&Run::of(text))
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .map(|d| d.code)
        .collect()
}

#[test]
fn a_hundred_thousand_open_brackets() {
    for bracket in ["(", "[", "{", "( ", "(\n", "each n from 1 to 2 {"] {
        let text = format!("length hem = {}94cm\n", bracket.repeat(100_000));
        let told = codes(&text);
        let fitting = [Code::TooLarge, Code::BracketUnmatched];
        assert!(
            told.iter().any(|code| fitting.contains(code)),
            "{bracket}: {told:?}"
        );
        assert!(told.len() < 100, "{bracket}");
    }
}

#[test]
fn a_sentence_of_a_million_words() {
    let text = format!("length hem = 1cm{}\n", " + 1cm".repeat(500_000));
    assert!(codes(&text).contains(&Code::TooLarge));
}

#[test]
fn one_line_as_long_as_a_file_may_be() {
    let text = format!("length {} = 1cm\n", "x".repeat(7_000_000));
    let told = drawn(&Run::of(&text)).diagnostics;
    let longest = told
        .iter()
        .map(|d| d.message.in_unit(MM).len())
        .max()
        .unwrap_or(0);
    assert!(longest < 300, "{longest}");
    assert!(Run::of(&text).shown().len() < 10_000);
}

#[test]
fn each_inside_each() {
    let deep = |levels: usize, rounds: usize| {
        let mut text = "panel back {\n  list marks = ".to_owned();
        for level in 0..levels {
            write!(text, "each n{level} from 1 to {rounds} {{ give (").unwrap();
        }
        text.push_str("origin");
        text.push_str(&") }".repeat(levels));
        text.push_str("\n}\n");
        text
    };
    assert_eq!(codes(&deep(20, 10)), [Code::TooManySteps]);
    assert_eq!(codes(&deep(3, 10_000)), [Code::TooManySteps]);
    assert!(codes(&deep(2_000, 2)).contains(&Code::TooLarge));
}

#[test]
fn huge_counts() {
    for count in ["1000000", "999999999999999", "10000 * 10000 * 10000"] {
        let text = format!(
            "panel back {{\n  list marks = each n from 1 to {count} {{ give origin }}\n}}\n"
        );
        assert_eq!(codes(&text), [Code::TooManySteps], "{count}");
    }
    assert_eq!(
        codes("panel back {\n  list marks = each n from 5 to 1 { give origin }\n}\n"),
        []
    );
}

#[test]
fn an_operation_that_calls_itself() {
    let text = "operation deep (length l) gives length \"Deeper.\" {\n  give deep l\n}\nlength hem = deep 3cm\n";
    assert_eq!(codes(text), [Code::OperationNotAbove]);
}

#[test]
fn operations_that_call_each_other_twice() {
    let mut text =
        "operation half_0 (length l) gives length \"Half.\" {\n  give l / 2\n}\n".to_owned();
    for n in 1..=40 {
        let below = n - 1;
        writeln!(
            text,
            "operation half_{n} (length l) gives length \"Half.\" {{\n  length a = half_{below} l\n  length b = half_{below} l\n  give a + b\n}}"
        )
        .unwrap();
    }
    text.push_str("length hem = half_40 94cm\npoint cb_hem = origin down hem\n");
    assert_eq!(codes(&text), [Code::TooManySteps]);
}

#[test]
fn operations_that_give_panels_of_panels() {
    let mut text = "operation sheet_0 (point p) gives panel \"One.\" {\n  point a = p right 1cm\n  give a\n}\n".to_owned();
    for n in 1..=40 {
        let below = n - 1;
        writeln!(
            text,
            "operation sheet_{n} (point p) gives panel \"Two.\" {{\n  panel a = sheet_{below} p\n  panel b = sheet_{below} p\n  give a, b\n}}"
        )
        .unwrap();
    }
    text.push_str("panel all = sheet_40 origin\n");
    let codes = codes(&text);
    assert!(codes.contains(&Code::TooLarge), "{codes:?}");
}

#[test]
fn panels_traced_into_panels() {
    let mut text = "panel sheet_0 {\n  point a = origin\n}\n".to_owned();
    for n in 1..=40 {
        let below = n - 1;
        writeln!(
            text,
            "panel sheet_{n} {{\n  panel left_one traced from sheet_{below} {{\n  }}\n  panel right_one traced from sheet_{below} {{\n  }}\n}}"
        )
        .unwrap();
    }
    let codes = codes(&text);
    assert!(codes.contains(&Code::TooLarge), "{codes:?}");
}

#[test]
fn many_sheets_of_a_large_panel() {
    let mut text = "panel back {\n".to_owned();
    for n in 0..2_000 {
        writeln!(text, "  point p{n} = origin right {n}mm").unwrap();
    }
    text.push_str("}\n");
    text.push_str(&"panel back traced from back {\n}\n".repeat(2_000));
    let codes = codes(&text);
    assert!(codes.contains(&Code::TooLarge), "{codes:?}");
}

#[test]
fn figures_without_end() {
    for (text, code) in [
        ("length hem = 1e308cm\n", Code::UnknownUnit),
        (
            &*format!("length hem = {}cm\n", "9".repeat(400)),
            Code::FigureTooLarge,
        ),
        (
            &*format!("length hem = {}cm\n", "9".repeat(300)),
            Code::FigureTooLarge,
        ),
        (
            &*format!(
                "panel back {{\n  point far = origin right {}mm\n}}\n",
                "9".repeat(30)
            ),
            Code::FigureTooLarge,
        ),
        (
            &*format!("number a = {0} * {0}\n", "9".repeat(200)),
            Code::FigureTooLarge,
        ),
        (
            "panel back {\n  line a = from origin to (origin right 0.0000001mm)\n  line b = square to a at origin\n}\n",
            Code::NoLength,
        ),
    ] {
        assert_eq!(codes(text), [code], "{text:.60}");
    }
}

#[test]
fn curves_of_no_length() {
    for value in [
        "from origin to origin leaving right arriving down",
        "from origin to origin around origin with fullness 0.5",
        "from origin to origin around (origin right 3cm) with fullness 0.5",
        "from origin through origin to origin leaving right arriving down",
        "from origin through origin, origin to (origin right 3cm)",
        "from origin to (origin right 3cm) leaving right for 0cm arriving right for 0cm",
        "parallel to (from origin to origin) by 1cm toward right",
        "join (from origin to origin), (from origin to (origin right 1cm))",
    ] {
        let text = format!("panel back {{\n  curve a = {value}\n  point p = start of a\n}}\n");
        let codes = codes(&text);
        assert!(codes.len() <= 1, "{value}: {codes:?}");
    }
}

#[test]
fn files_that_import_each_other() {
    let run = Run::of("import \"one.draft\" as one\n")
        .beside("one.draft", "import \"two.draft\" as two\n")
        .beside("two.draft", "import \"one.draft\" as one\n");
    let told = drawn(&run).diagnostics;
    assert_eq!(
        told.iter().map(|d| d.code).collect::<Vec<_>>(),
        [Code::ImportCircle]
    );
}

#[test]
fn files_that_each_import_the_next_twice() {
    let text = |n: usize| {
        format!(
            "import \"file-{0}.draft\" as one_{0}\nimport \"file-{0}.draft\" as two_{0}\npoint p{0} = origin\n",
            n + 1
        )
    };
    let mut run = Run::of(&text(0)).beside("file-41.draft", "point last_point = origin\n");
    for n in 1..=40 {
        run = run.beside(&format!("file-{n}.draft"), &text(n));
    }
    let outcome = drawn(&run);
    assert!(outcome.diagnostics.iter().any(|d| d.code == Code::TooLarge));
}

#[test]
fn try_inside_try_six_deep() {
    let mut text = "panel back {\n".to_owned();
    for n in 0..6 {
        writeln!(text, "  try v{n} between 0cm and 10cm {{").unwrap();
    }
    text.push_str("  curve c = from origin to (origin right 1cm + v0 + v1 + v2 + v3 + v4 + v5 up 3cm) leaving right arriving up\n");
    for n in 0..6 {
        writeln!(text, "  }} until length of c = {}cm", 90 + n).unwrap();
    }
    text.push_str("}\n");
    let codes = codes(&text);
    assert_eq!(codes, [Code::TooManySteps]);
}

#[test]
fn lists_of_lists_of_lists() {
    let mut text = "panel back {\n  list l0 = [origin, origin]\n".to_owned();
    for n in 1..=40 {
        writeln!(text, "  list l{n} = [l{0}, l{0}]", n - 1).unwrap();
    }
    text.push_str("}\n");
    let codes = codes(&text);
    assert_eq!(codes, [Code::TooLarge]);
}

#[test]
fn lines_made_of_copies_of_themselves() {
    let mut text = "panel back {\n  line fold_line = from origin toward right\n  curve c0 = from origin to (origin down 1cm)\n".to_owned();
    for n in 1..=40 {
        let below = n - 1;
        writeln!(
            text,
            "  curve m{n} = slide c{below} from start of c{below} to end of c{below}"
        )
        .unwrap();
        writeln!(text, "  curve c{n} = join c{below}, m{n}").unwrap();
    }
    text.push_str("}\n");
    let outcome = drawn(&Run::of(&text));
    let codes: Vec<_> = outcome
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .map(|d| d.code)
        .collect();
    assert_eq!(codes.len(), 1, "{codes:?}");
    let limits = [Code::TooLarge, Code::TooManySteps, Code::FigureTooLarge];
    assert!(limits.contains(&codes[0]), "{codes:?}");
}

#[test]
fn a_mistake_on_every_line() {
    for line in [
        "  point p = nothing_{n} right 3cm\n",
        "  point p{n} = origin rigth 3cm\n",
        "  piont p{n} = origin\n",
        "  point p{n} = square\n",
    ] {
        let mut text = "panel back {\n".to_owned();
        for n in 0..20_000 {
            text.push_str(&line.replace("{n}", &n.to_string()));
        }
        text.push_str("}\n");
        let outcome = drawn(&Run::of(&text));
        assert!(
            outcome.diagnostics.len() <= 100,
            "{line}: {}",
            outcome.diagnostics.len()
        );
        assert!(
            outcome.diagnostics.len() >= 20,
            "{line}: {}",
            outcome.diagnostics.len()
        );
    }
}

#[test]
fn a_check_that_fails_on_every_line() {
    let mut text = "length hem = 94cm\n".to_owned();
    for n in 0..20_000 {
        writeln!(text, "check \"check {n}\" that hem > {n}m").unwrap();
    }
    let outcome = drawn(&Run::of(&text));
    let told = |code| outcome.diagnostics.iter().any(|d| d.code == code);
    assert!(told(Code::CheckFails) && told(Code::TooManySteps));
    let fail = outcome.pattern.checks.iter().filter(|check| !check.ok);
    assert!(fail.count() <= 5_001);
}

#[test]
fn many_branches_over_many_names() {
    let mut text = "choose pleat = yes\npanel back {\n".to_owned();
    for n in 0..5_000 {
        writeln!(text, "  if pleat {{\n    point p{n} = origin\n  }} otherwise {{\n    point p{n} = origin right 1cm\n  }}").unwrap();
    }
    text.push_str("}\n");
    let codes = codes(&text);
    assert!(
        codes.is_empty() || codes.contains(&Code::TooLarge),
        "{codes:?}"
    );
}

#[test]
fn many_operations_above_each_other() {
    let mut text = String::new();
    for n in 0..3_000 {
        writeln!(
            text,
            "operation op_{n} (length l) gives length \"Itself.\" {{\n  give l\n}}"
        )
        .unwrap();
    }
    let codes = codes(&text);
    assert!(codes.contains(&Code::TooLarge), "{codes:?}");
}

/// Nobody reads it, but it is drawn: the grid that finds lines under a name ends where the drawing ends.
#[test]
fn a_name_wider_than_any_sheet() {
    let name = "x".repeat(200_000);
    let text = format!(
        "unit cm\npanel back {{\n  point {name} = origin\n  point b = origin right 20cm\n  point c = b down 30cm\n  line top = from origin to b\n  line side = from b to c\n  line slant = from c to origin\n}}\npiece back \"{name}\" {{\n  outline top, side, slant\n  cut 1\n  grain along side\n}}\n"
    );
    let outcome = drawn(&Run::of(&text));
    let svg = oaktag_output::svg::write(&outcome.pattern);
    assert!(svg.len() > 200_000);
}
