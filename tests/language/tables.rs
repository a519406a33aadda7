//! Tables of bodies as spreadsheets write them, right and wrong. Each wrong table is a file in `tables`, its name says the
//! slip, and what is told of it stands beside it as a person reads it. After a change of wording
//! `UPDATE_EXPECT=1 cargo test --test language tables::` writes them anew, and somebody reads them.

use oaktag_language::draft::bodies::{self, Table};
use oaktag_language::draft::inputs::{Given, Inputs};
use oaktag_language::kind::Dimension;
use oaktag_language::report::{Diagnostic, terminal};
use oaktag_language::syntax::project::{NoFiles, Project};
use std::path::{Path, PathBuf};

const DRAFT: &str = "unit cm
body chest_girth = 96cm between 70cm and 140cm
body shoulder_slope = 22deg between 10deg and 35deg
body half_chest = chest_girth / 2
choose ease = 10cm between 4cm and 20cm
line across = from origin toward shoulder_slope below right for half_chest + ease
check \"across\" that length of across > 30cm
";

fn project() -> Project {
    Project::load(
        "vest.draft",
        DRAFT,
        &NoFiles,
        &oaktag_language::library::module,
    )
}

/// Everything told of a table and of the bodies in it, and how many bodies are drawn without an error.
fn told(name: &str, bytes: &[u8]) -> (String, usize, Vec<Diagnostic>) {
    let text = match bodies::decoded(bytes) {
        Ok(text) => text,
        Err(why) => return (format!("{name}.csv {why}.\n"), 0, Vec::new()),
    };
    let mut project = project();
    let file = project.sources.add(format!("{name}.csv"), &text);
    let checked = oaktag_language::check::check(&project);
    let mut told = Vec::new();
    let mut well = 0;
    match Table::read(&project.sources, file, &checked.program) {
        Err(wrong) => told.extend(wrong),
        Ok(table) => {
            told.extend(table.warnings().to_vec());
            for body in (0..table.len()).map(|at| table.body(at)) {
                let body = match body {
                    Ok(body) => body,
                    Err(wrong) => {
                        told.extend(wrong);
                        continue;
                    }
                };
                let inputs = Inputs {
                    body: Some(body),
                    ..Inputs::default()
                };
                let drawn = oaktag_language::draft::draw(&project, &checked, &inputs).diagnostics;
                well += usize::from(!drawn.iter().any(Diagnostic::is_error));
                told.extend(drawn);
            }
        }
    }
    let unit = checked.program.unit;
    (
        terminal::render(&project.sources, &told, unit, false),
        well,
        told,
    )
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tables")
}

fn wrong_tables() -> Vec<(String, Vec<u8>)> {
    let mut found: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read(&path).unwrap())
        })
        .collect();
    found.sort();
    assert!(found.len() >= 30, "{}", found.len());
    found
}

#[test]
fn each_wrong_table_is_answered_as_it_stands_beside_it() {
    for (name, bytes) in wrong_tables() {
        let (shown, ..) = told(&name, &bytes);
        assert!(!shown.is_empty(), "{name}");
        let shown = format!(
            "{}\n{}\n{shown}",
            String::from_utf8_lossy(&bytes).replace('\0', "␀"),
            "─".repeat(60)
        );
        expect_test::expect_file![folder().join(format!("{name}.txt"))].assert_eq(&shown);
    }
}

#[test]
fn messages_of_tables_speak_as_a_cutter_would() {
    for (name, bytes) in wrong_tables() {
        let (shown, ..) = told(&name, &bytes);
        for word in [
            "invalid",
            "illegal",
            "unexpected",
            "token",
            "parse",
            "UTF8 error",
        ] {
            assert!(!shown.contains(word), "{name}: {shown}");
        }
    }
}

#[test]
fn one_wrong_body_leaves_the_others_standing() {
    for (table, well) in [
        (
            "name,chest_girth,shoulder_slope\nAda,96,22\nBo,98 feet,22\nCy,94,22\n",
            2,
        ),
        (
            "name,chest_girth,shoulder_slope\n\"Ada,96,22\nBo,98,22\nCy,94,22\n",
            2,
        ),
        (
            "measure;A;B;C\nchest girth;88;ninety;96\nshoulder slope;22;22;22\n",
            2,
        ),
    ] {
        let (shown, found, messages) = told("wrong", table.as_bytes());
        assert_eq!(found, well, "{shown}");
        assert!(messages.iter().filter(|d| d.is_error()).count() >= 1);
    }
}

/// Two bodies, 965 mm and 22°, 880 mm and 21.5°, however a spreadsheet writes them.
#[test]
fn one_table_in_every_dress() {
    let dresses: Vec<Vec<u8>> = vec![
        b"name,chest_girth,shoulder_slope\nAda,96.5,22\nBo,88,21.5\n".to_vec(),
        b"name;chest_girth;shoulder_slope\r\nAda;96,5;22\r\nBo;88;21,5\r\n".to_vec(),
        b"name\tchest_girth\tshoulder_slope\nAda\t96,5\t22\nBo\t88,0\t21,5\n".to_vec(),
        b"sep=;\nname;chest_girth;shoulder_slope\nAda;96,5;22\nBo;88;21,5\n".to_vec(),
        b"\xef\xbb\xbfname,chest_girth,shoulder_slope\nAda,\"96,5\",22\nBo,88,\"21,5\"\n".to_vec(),
        b"Size;Chest girth [mm];Shoulder slope (deg)\n\nAda;965;22\n;;\nBo;880;21,5\n".to_vec(),
        b"name,chest girth,shoulder slope\n,mm,deg\nAda,965,22\nBo,880,21.5\n".to_vec(),
        b"name,shoe,chest_girth,shoulder_slope,remarks\nAda,38,96.5 cm,22deg,\"likes it, long\"\nBo,41,880mm,21.5,\n".to_vec(),
        "name;Ada;Bo\nChest girth;96,5;88\nShoulder slope;22°;21,5°\n".as_bytes().to_vec(),
        b"measure;unit;Ada;Bo\nchest_girth;mm;965;880\nshoulder_slope;deg;22;21,5\n".to_vec(),
        b"size [mm],chest_girth,shoulder_slope\nAda,965,22\nBo,880,21.5\n".to_vec(),
        b"[in],Ada,Bo\nChest girth,965mm,88cm\nShoulder slope,22,21.5\n".to_vec(),
        b"mm;Ada;Bo\nChest girth;965;880\nShoulder slope;22;21,5\n".to_vec(),
        b"name [mm],chest girth [cm],shoulder slope\nAda,96.5,22\nBo,88,21.5\n".to_vec(),
        wide("name\tchest_girth\tshoulder_slope\r\nAda\t96,5\t22\r\nBo\t88\t21,5\r\n"),
    ];
    for (number, bytes) in dresses.iter().enumerate() {
        let text = bodies::decoded(bytes).unwrap();
        let mut project = project();
        let file = project.sources.add("crew.csv", &text);
        let checked = oaktag_language::check::check(&project);
        let table = Table::read(&project.sources, file, &checked.program).unwrap();
        assert!(table.warnings().is_empty(), "{number}");
        let figures: Vec<_> = (0..table.len())
            .map(|at| {
                let body = table.body(at).unwrap();
                let figure = |name: &str, wanted| match body.measures[name].value {
                    Given::Figure(figure, found) if found == wanted => (figure * 1e6).round() / 1e6,
                    ref other => panic!("{other:?}"),
                };
                (
                    body.name.clone(),
                    figure("chest_girth", Dimension::LENGTH),
                    figure("shoulder_slope", Dimension::ANGLE),
                )
            })
            .collect();
        let wanted = [
            ("Ada".to_owned(), 965.0, 22.0),
            ("Bo".to_owned(), 880.0, 21.5),
        ];
        assert_eq!(figures, wanted, "dress {number}");
    }
}

/// UTF-16 with its mark, the small end first.
fn wide(text: &str) -> Vec<u8> {
    let letters = text.encode_utf16().flat_map(u16::to_le_bytes);
    [0xff, 0xfe].into_iter().chain(letters).collect()
}

/// An inch is 25.4 mm (the international yard and pound agreement of 1959, from memory); the figures are worked out by hand.
#[test]
fn inches_as_a_tailor_writes_them() {
    let bodies = b"name,chest_girth [in],shoulder_slope\nAda,37 1/2,22\nBo,38in,21\nCy,96.5cm,21\n";
    let (shown, well, _) = told("inches", bodies);
    assert_eq!(well, 3, "{shown}");
    let mut project = project();
    let file = project
        .sources
        .add("inches.csv", std::str::from_utf8(bodies).unwrap());
    let checked = oaktag_language::check::check(&project);
    let table = Table::read(&project.sources, file, &checked.program).unwrap();
    for (at, wanted) in [952.5, 965.2, 965.0].into_iter().enumerate() {
        let body = table.body(at).unwrap();
        let Given::Figure(mm, Dimension::LENGTH) = body.measures["chest_girth"].value else {
            panic!("{:?}", body.measures["chest_girth"]);
        };
        assert!((mm - wanted).abs() < 1e-9, "{}: {mm}", body.name);
        // Half the chest and 10 cm of ease, drawn.
        let inputs = Inputs {
            body: Some(body),
            ..Inputs::default()
        };
        let outcome = oaktag_language::draft::draw(&project, &checked, &inputs);
        let values = &outcome.pattern.values;
        let across = values.iter().find(|value| value.name == "across").unwrap();
        let oaktag_language::pattern::spec::Value::Line(across) = &across.value else {
            panic!("{across:?}");
        };
        let long = across.length().unwrap();
        assert!((long - (wanted / 2.0 + 100.0)).abs() < 1e-9, "{long}");
    }
}

/// A draft in inches: fractions, decimals and feet-free figures of its text, and what is set, in millimetres.
#[test]
fn a_draft_in_inches_is_drawn_in_millimetres() {
    let text = "unit in\nbody girth = 38in between 20in and 60in\nchoose ease = 3/8in between 0in and 2in\nlength whole = girth + ease\nlength quarter_in = 1 1/4in\nlength both_units = 2.5in + 1cm\narea patch = 2in * 3in\n";
    let mut project = Project::load(
        "in.draft",
        text,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let drawn = |project: &Project, inputs: &Inputs| {
        let outcome = oaktag_language::draft::make(project, inputs);
        let told = terminal::render(
            &project.sources,
            &outcome.diagnostics,
            outcome.program.unit,
            false,
        );
        assert!(!outcome.has_errors(), "{told}");
        let figure = |name: &str| {
            let value = outcome
                .pattern
                .values
                .iter()
                .find(|value| value.name == name);
            match value.unwrap().value {
                oaktag_language::pattern::spec::Value::Length(figure)
                | oaktag_language::pattern::spec::Value::Area(figure) => figure,
                ref other => panic!("{name}: {other:?}"),
            }
        };
        ["whole", "quarter_in", "both_units", "patch"]
            .map(|name| (figure(name) * 1e6).round() / 1e6)
    };
    // 38 3/8 in, 1 1/4 in, 2 1/2 in and 10 mm, 6 square inches.
    assert_eq!(
        drawn(&project, &Inputs::default()),
        [974.725, 31.75, 73.5, 3870.96]
    );
    let set = ["girth=40in", "ease=1/2in"]
        .map(|typed| oaktag_language::draft::inputs::setting(&mut project.sources, typed).unwrap());
    let inputs = Inputs {
        set: set.to_vec(),
        ..Inputs::default()
    };
    assert_eq!(drawn(&project, &inputs)[0], 1028.7);
}

/// A message names the cell as a spreadsheet does.
#[test]
fn a_wrong_cell_is_named_by_row_and_column() {
    let (shown, ..) = told(
        "crew",
        b"name,chest_girth,shoulder_slope\nAda,96,22\n\nBo,98 feet,22\n",
    );
    for words in [
        "Row 4, column B",
        "`Bo`",
        "`chest_girth`",
        "`feet` is no unit",
    ] {
        assert!(shown.contains(words), "{shown}");
    }
}

/// No text whatever ends the program: pieces of tables put together at random (xorshift, as Marsaglia gives it).
#[test]
fn no_table_is_too_broken_to_be_answered() {
    let parts = [
        "name",
        "chest_girth",
        "shoulder_slope",
        ",",
        ";",
        "\t",
        "\n",
        "\r\n",
        "\"",
        "96",
        "96,5",
        "1/2",
        " ",
        "cm",
        "[",
        "]",
        "(",
        "unit",
        "é",
        "\u{a0}",
        "-",
        "#",
        "=",
        "sep=",
        "😀",
        "e+9",
        "9999999999999999999",
        "°",
    ];
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut next = |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below as u64).unwrap()
    };
    let project = project();
    let checked = oaktag_language::check::check(&project);
    for _ in 0..4_000 {
        let mut text = String::from(if next(2) == 0 {
            "name,chest_girth\n"
        } else {
            ""
        });
        for _ in 0..next(40) {
            text.push_str(parts[next(parts.len())]);
        }
        let mut sources = oaktag_language::report::SourceMap::new();
        let file = sources.add("t.csv", &text);
        if let Ok(table) = Table::read(&sources, file, &checked.program) {
            for at in 0..table.len() {
                let _ = table.body(at);
            }
        }
    }
}

/// A length that goes up by size: the column of a choice is taken for each body, and an empty cell leaves the draft's own.
#[test]
fn a_choice_is_taken_for_each_body() {
    let mut project = project();
    let text = "size,chest_girth,shoulder_slope,ease\n36,92,22,8\n38,96,22,\n40,100,22,12\n";
    let file = project.sources.add("sizes.csv", text);
    let checked = oaktag_language::check::check(&project);
    let table = Table::read(&project.sources, file, &checked.program).unwrap();
    assert!(table.warnings().is_empty());
    let long = |at: usize| {
        let inputs = Inputs {
            body: Some(table.body(at).unwrap()),
            ..Inputs::default()
        };
        let drawn = oaktag_language::draft::draw(&project, &checked, &inputs);
        assert!(!drawn.diagnostics.iter().any(Diagnostic::is_error));
        let ease = drawn.pattern.measures.iter().find(|m| m.name == "ease");
        format!("{:?}", ease.unwrap().value)
    };
    for (at, mm) in [(0, "80.0"), (1, "100.0"), (2, "120.0")] {
        assert!(long(at).contains(mm), "{}", long(at));
    }
}
