//! Limits of what a draft says, each with a draft just past it and one just within.

use crate::limits::drawing::Run;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::fmt::Write;

/// The errors of a draft, by code and words.
fn told(run: &Run) -> Vec<(Code, String)> {
    let errors = run.told().into_iter().filter(|told| told.is_error());
    errors
        .map(|told| (told.code, told.message.in_unit(MM).into_owned()))
        .collect()
}

/// Past the limit it is told with that code and in these words, within it nothing is.
fn limit(code: Code, words: &str, draft: impl Fn(usize) -> Run, within: usize, past: usize) {
    let beyond = told(&draft(past));
    let is_it = |(found, message): &(Code, String)| *found == code && message.contains(words);
    assert!(beyond.iter().any(is_it), "{past}: {beyond:?}");
    let inside = told(&draft(within));
    assert!(inside.is_empty(), "{within}: {inside:?}");
}

/// A draft of repeated text, with the numbers from 0.
fn repeated(before: &str, each: &str, after: &str) -> impl Fn(usize) -> Run {
    let [before, each, after] = [before, each, after].map(str::to_owned);
    move |count| {
        let mut text = before.clone();
        (0..count).for_each(|n| text.push_str(&each.replace("{n}", &n.to_string())));
        Run::of(&(text + &after))
    }
}

#[test]
fn files() {
    let draft = |count: usize| {
        let mut text = String::new();
        (1..count).for_each(|n| writeln!(text, "import \"f{n}.draft\" as f_{n}").unwrap());
        let mut run = Run::of(&text);
        for n in 1..count {
            run = run.beside(&format!("f{n}.draft"), "point p = origin\n");
        }
        run
    };
    limit(Code::TooLarge, "may bring in 200 files", draft, 200, 201);
}

#[test]
fn imports_of_one_file() {
    let draft = |count: usize| {
        let mut text = String::new();
        (0..count).for_each(|n| writeln!(text, "import \"f.draft\" as f_{n}").unwrap());
        Run::of(&text).beside("f.draft", "point p = origin\n")
    };
    limit(Code::TooLarge, "more than 400 times", draft, 400, 401);
}

#[test]
fn brackets() {
    let draft = |deep: usize| {
        let text = format!(
            "length hem = {}94cm{}\n",
            "(".repeat(deep),
            ")".repeat(deep)
        );
        Run::of(&text)
    };
    limit(Code::TooLarge, "64", draft, 64, 65);
}

#[test]
fn words_in_a_sentence() {
    let draft = repeated("panel back {\n  list l = [origin", ", origin", "]\n}\n");
    limit(Code::TooLarge, "10000", draft, 4_990, 5_010);
}

#[test]
fn signs_in_a_chain() {
    let draft = repeated("number a = 1", " + 1", "\n");
    limit(
        Code::TooLarge,
        "chains more than 400 signs",
        draft,
        395,
        405,
    );
}

#[test]
fn measures() {
    let draft = repeated("", "body m_{n} = 1cm between 0cm and 2cm\n", "");
    limit(Code::TooLarge, "at most 2000 measures", draft, 2_000, 2_001);
}

#[test]
fn operations() {
    let each = "operation op_{n} (length l) gives length \"Itself.\" {\n  give l\n}\n";
    limit(
        Code::TooLarge,
        "1000 is the most",
        repeated("", each, ""),
        1_000,
        1_001,
    );
}

/// Panels within panels: each level gives twice the names of the one below.
#[test]
fn names_given() {
    let draft = |levels: usize| {
        let mut text = "operation sheet_0 (point p) gives panel \"One.\" {\n  point a = p right 1cm\n  give a\n}\n".to_owned();
        for n in 1..=levels {
            let below = n - 1;
            writeln!(
                text,
                "operation sheet_{n} (point p) gives panel \"Two.\" {{\n  panel a = sheet_{below} p\n  panel b = sheet_{below} p\n  give a, b\n}}"
            )
            .unwrap();
        }
        Run::of(&(text + &format!("panel all = sheet_{levels} origin\n")))
    };
    limit(Code::TooLarge, "5000", draft, 9, 13);
}

#[test]
fn names_carried() {
    let draft = |sheets: usize| {
        let mut text = "panel back {\n".to_owned();
        (0..2_000).for_each(|n| writeln!(text, "  point p{n} = origin right {n}mm").unwrap());
        Run::of(&(text + "}\n" + &"panel back traced from back {\n}\n".repeat(sheets)))
    };
    limit(Code::TooLarge, "more than 300000 names", draft, 20, 160);
}

#[test]
fn work() {
    let draft = |rounds: usize| {
        let text = format!(
            "panel back {{\n  list l = each a from 1 to {rounds} {{ give (each b from 1 to 50 {{ give (origin right 1mm * b) }}) }}\n}}\n"
        );
        Run::of(&text)
    };
    let told_of = |rounds: usize| told(&draft(rounds));
    assert!(told_of(100).is_empty(), "{:?}", told_of(100));
    let told = told_of(10_000);
    assert!(
        told.iter()
            .any(|(code, _)| matches!(code, Code::TooManySteps | Code::TooLarge)),
        "{told:?}"
    );
}

/// Each level tries 25 places and refines each change of sign, so that the levels multiply: work ends them, never time.
#[test]
fn a_try_inside_a_try() {
    let draft = |levels: usize| {
        let mut text = "panel back {\n".to_owned();
        let mut sum = String::from("1cm");
        for n in 0..levels {
            writeln!(text, "  try v{n} between 0cm and 10cm {{").unwrap();
            write!(sum, " + v{n}").unwrap();
        }
        writeln!(text, "  line l = from origin to (origin right {sum})").unwrap();
        for n in (0..levels).rev() {
            writeln!(text, "  }} until length of l = {}cm", 6 + n).unwrap();
        }
        Run::of(&(text + "}\n"))
    };
    assert!(told(&draft(1)).is_empty(), "{:?}", told(&draft(1)));
    let beyond = told(&draft(6));
    assert_eq!(beyond.len(), 1, "{beyond:?}");
    let ended = [Code::TooManySteps, Code::NothingSolves];
    assert!(ended.contains(&beyond[0].0), "{beyond:?}");
}

/// A curve to and fro through so many points, which crosses itself beside each of them.
fn wound(points: usize, end: &str) -> Run {
    let mut text = "unit mm\npanel back {\n".to_owned();
    for n in 0..points {
        writeln!(
            text,
            "  point p{n} = origin right {}mm up {}mm",
            3 * n,
            40 * (n % 2)
        )
        .unwrap();
    }
    let through: Vec<String> = (1..points - 1).map(|n| format!("p{n}")).collect();
    let last = points - 1;
    writeln!(
        text,
        "  curve w = from p0 through {} to p{last}",
        through.join(", ")
    )
    .unwrap();
    Run::of(&(text + end + "}\n"))
}

#[test]
fn parallels_wound_through_themselves() {
    let draft = |points| wound(points, "  curve r = parallel to w by 0.001mm toward up\n");
    limit(Code::TooLarge, "more than 3000000 pairs", draft, 300, 1_200);
    // Within the limit each, they are work together.
    let draft = |rounds| {
        let end = format!(
            "  list q = each k from 1 to {rounds} {{\n    curve r = parallel to w by 0.001mm toward up\n    give start of r\n  }}\n"
        );
        wound(200, &end)
    };
    limit(
        Code::TooManySteps,
        "more work than any pattern",
        draft,
        2,
        2_000,
    );
}

#[test]
fn rounds() {
    let draft = |count: usize| {
        let text =
            format!("panel back {{\n  list l = each n from 1 to {count} {{ give origin }}\n}}\n");
        Run::of(&text)
    };
    limit(
        Code::TooManySteps,
        "10000 is the most",
        draft,
        10_000,
        10_001,
    );
}

#[test]
fn parts() {
    let draft = |levels: usize| {
        let mut text = "panel back {\n  list l0 = [origin, origin]\n".to_owned();
        (1..=levels).for_each(|n| writeln!(text, "  list l{n} = [l{0}, l{0}]", n - 1).unwrap());
        Run::of(&(text + "}\n"))
    };
    limit(Code::TooLarge, "more than 20000 parts", draft, 12, 14);
}

#[test]
fn operations_inside_one_another() {
    let draft = |levels: usize| {
        let mut text =
            "operation op_0 (length l) gives length \"Itself.\" {\n  give l\n}\n".to_owned();
        for n in 1..levels {
            let below = n - 1;
            writeln!(
                text,
                "operation op_{n} (length l) gives length \"Itself.\" {{\n  length a = op_{below} l\n  give a\n}}"
            )
            .unwrap();
        }
        writeln!(text, "length hem = op_{} 94cm", levels - 1).unwrap();
        Run::of(&text)
    };
    limit(Code::TooManySteps, "More than 64 acts", draft, 64, 65);
}

#[test]
fn coordinates() {
    let draft = |metres: usize| {
        Run::of(&format!(
            "panel back {{\n  point far = origin right {metres}m\n}}\n"
        ))
    };
    limit(
        Code::FigureTooLarge,
        "larger than any paper",
        draft,
        10_000,
        10_001,
    );
}

/// An outline of so many sides, round.
#[test]
fn sides_of_an_outline() {
    let draft = |sides: usize| {
        let mut text = "panel back {\n  point c = origin\n  point p0 = c right 1m\n".to_owned();
        for n in 1..sides {
            let turn = 360.0 * n as f64 / sides as f64;
            let (x, y) = (
                turn.to_radians().cos() * 1000.0,
                turn.to_radians().sin() * 1000.0,
            );
            writeln!(
                text,
                "  point p{n} = c right ({x:.4} * 1mm) up ({y:.4} * 1mm)"
            )
            .unwrap();
        }
        for n in 0..sides {
            writeln!(text, "  line l{n} = from p{n} to p{}", (n + 1) % sides).unwrap();
        }
        text.push_str("}\npiece back \"Back\" {\n  outline l0");
        (1..sides).for_each(|n| write!(text, ", l{n}").unwrap());
        Run::of(&(text + "\n  cut 1\n  grain along l0\n}\n"))
    };
    let beyond = told(&draft(1_001));
    assert!(
        beyond.iter().any(|(code, _)| *code == Code::TooLarge),
        "{beyond:?}"
    );
}

#[test]
fn buttons() {
    let draft = |across: usize| {
        let text = format!(
            "unit mm\npanel back {{\n  point b = origin right 400mm\n  point c = origin down 400mm\n  line top = from origin to b\n  line slant = from b to c\n  line centre = from c to origin\n}}\npiece back \"Back\" {{\n  outline top, slant, centre\n  cut 1\n  grain along centre\n  mark (origin right 100mm down 100mm) \"button\" with diameter {across}mm, thickness 3mm\n}}\n"
        );
        Run::of(&text)
    };
    limit(Code::OutOfRange, "A button is at most", draft, 100, 101);
}

#[test]
fn messages() {
    for (line, most) in [
        // Of the reading, of the check, of the run.
        ("  point p{n} = origin ) right 3cm\n", 50),
        ("  point p{n} = nothing_{n} right 3cm\n", 60),
        (
            "  line l{n} = from origin toward (origin right 0mm) for 1cm\n",
            100,
        ),
    ] {
        let told = repeated("panel back {\n", line, "}\n")(500).told();
        assert!(
            told.len() <= most + 1 && told.len() + 1 >= most,
            "{line}: {}",
            told.len()
        );
        let mut said = told
            .iter()
            .flat_map(|told| told.notes.iter().chain([&told.message]));
        let said = said.any(|words| words.mentions("not shown"));
        assert!(said, "{line}: {:?}", told.last());
    }
    let long = Run::of(&format!("length a = {}\n", "b".repeat(5_000))).told();
    let longest = long.iter().flat_map(|told| {
        let said = told.message.in_unit(MM).into_owned();
        let words = said.split(' ').map(|word| word.chars().count());
        words.collect::<Vec<usize>>()
    });
    assert!(longest.max().unwrap() <= 84, "{long:?}");
    assert!(
        long.iter()
            .all(|told| told.message.in_unit(MM).chars().count() <= 2_001)
    );
}

#[test]
fn copies_that_an_each_lays_out() {
    let draft = |count: usize| {
        Run::of(&format!(
            "each n from 1 to {count} {{\n  point spot = origin right n * 1cm\n}}\n"
        ))
    };
    limit(Code::TooLarge, "60 is the most", draft, 60, 61);
}
