//! `draw` as it is called: every option with every ending, what is refused, and what is said. The files themselves are
//! read elsewhere.

use std::path::Path;
use std::process::{Command, Stdio};

struct Said {
    status: i32,
    out: String,
    err: String,
}

/// Draws the ferry shirt into a folder.
fn draw(folder: &Path, out: &str, options: &[&str]) -> Said {
    draw_of("examples/ferry-shirt.draft", folder, out, options)
}

/// Draws an example into a folder.
fn draw_of(draft: &str, folder: &Path, out: &str, options: &[&str]) -> Said {
    let output = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(["draw", draft, "-o"])
        .arg(folder.join(out))
        .args(options)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .unwrap();
    Said {
        status: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// The first bytes of each kind of file.
const BEGINNINGS: [(&str, &[u8]); 7] = [
    ("a.pdf", b"%PDF-1.7"),
    ("a.svg", b"<?xml"),
    ("a.dxf", b"  0\nSECTION"),
    ("a.png", b"\x89PNG\r\n\x1a\n"),
    ("a.txt", b"Ferry crew shirt, body\n"),
    ("a.csv", b"cloth,cloth_label,number,of,piece,"),
    ("a.json", b"{"),
];

#[test]
fn every_ending_is_drawn_and_drawn_alike() {
    let folder = tempfile::tempdir().unwrap();
    for (name, beginning) in BEGINNINGS {
        let said = draw(folder.path(), name, &[]);
        assert_eq!(said.status, 0, "{name}: {}", said.err);
        assert!(
            said.out.contains(&format!("{name} written")),
            "{}",
            said.out
        );
        let bytes = std::fs::read(folder.path().join(name)).unwrap();
        assert!(bytes.starts_with(beginning), "{name}");
        draw(folder.path(), &format!("again-{name}"), &[]);
        assert!(
            bytes == std::fs::read(folder.path().join(format!("again-{name}"))).unwrap(),
            "{name} twice"
        );
    }
}

/// What goes with which ending; what does not is told, with what does, and nothing is written.
#[test]
fn options_go_with_their_endings() {
    let folder = tempfile::tempdir().unwrap();
    let pictures = ["a.pdf", "a.svg", "a.png"];
    let all = BEGINNINGS.map(|(name, _)| name);
    for (options, endings) in [
        (&["--sheet", "a4"][..], &["a.pdf"][..]),
        (&["--sheet", "roll:914mm"], &["a.pdf"]),
        (&["--sheet", "fit"], &all),
        (&["--lay"], &pictures),
        (&["--table", "finished"], &["a.csv"]),
        (&["--gap", "5mm"], &["a.txt"]),
        (&["--lay", "--gap", "0.25in"], &pictures),
        (&["--scale", "1:2"], &pictures),
        (&["--scale", "1:1"], &all),
        (&["--layers", "cut,notches"], &pictures),
        (&["--piece", "back"], &all),
        (&["--allowances", "off"], &all),
        (&["--unfold"], &all),
        (&["--hairlines"], &["a.svg"]),
        (&["--resolution", "50"], &["a.png"]),
    ] {
        for name in all {
            let _ = std::fs::remove_file(folder.path().join(name));
            let said = draw_of("examples/first-steps.draft", folder.path(), name, options);
            let goes = endings.contains(&name);
            assert_eq!(
                said.status,
                if goes { 0 } else { 2 },
                "{name} {options:?}: {}",
                said.err
            );
            assert_eq!(folder.path().join(name).exists(), goes);
            assert!(
                goes || said.err.contains(&format!("{} goes with .", options[0])),
                "{}",
                said.err
            );
        }
    }
}

#[test]
fn slips_are_told_with_what_to_write() {
    let folder = tempfile::tempdir().unwrap();
    for (name, options, words) in [
        (
            "a.pdf",
            &["--sheet", "a5"][..],
            "a4, letter, a3, tabloid, a0, fit, or roll:WIDTH",
        ),
        ("a.pdf", &["--sheet", "roll:914"], "roll:914mm"),
        (
            "a.pdf",
            &["--sheet", "roll:10mm"],
            "between 300 mm and 2000 mm",
        ),
        ("a.pdf", &["--sheet", "roll:350mm"], "it wants one of"),
        ("a.pdf", &["--piece", "bcak"], "Did you mean `back`?"),
        ("a.pdf", &["--scale", "1:3"], "1:4"),
        ("a.svg", &["--layers", "cut,swe"], "sew"),
        ("a.svg", &["--allowances", "none"], "off"),
        ("a.png", &["--resolution", "5000"], "10 to 1200"),
        ("a.png", &["--resolution", "1000"], "--resolution"),
        ("a.bmp", &[], ".pdf, .svg, .dxf, .png, .txt, .csv or .json"),
    ] {
        let said = draw(folder.path(), name, options);
        assert_eq!(said.status, 2, "{options:?}: {}", said.err);
        assert!(said.err.contains(words), "{options:?}: {}", said.err);
        assert!(!folder.path().join(name).exists());
    }
}

#[test]
fn the_report_says_how_many_sheets_and_what_to_do_first() {
    let folder = tempfile::tempdir().unwrap();
    let said = draw(folder.path(), "a.pdf", &["--sheet", "letter"]);
    for words in [
        "Back  cut 1 on the fold",
        "pages of Letter",
        "Print page 1 alone at 100 %",
        "100 mm wide",
    ] {
        assert!(said.out.contains(words), "{words}: {}", said.out);
    }
    let said = draw(folder.path(), "a.pdf", &["--unfold", "--piece", "back"]);
    assert!(
        said.out.contains("Back  cut 1, unfolded") && !said.out.contains("Front"),
        "{}",
        said.out
    );
    let said = draw(folder.path(), "a.png", &[]);
    assert!(
        said.out.contains("72 dots per inch") && said.out.contains("not for cutting"),
        "{}",
        said.out
    );
}

/// Neither the table that the body comes from, nor anything for a cutting room where there is no piece.
#[test]
fn a_table_of_bodies_is_not_written_over_and_no_piece_is_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(
        at.join("a.draft"),
        "panel a {\n  line l = from origin toward right for 10cm\n}\n",
    )
    .unwrap();
    std::fs::write(at.join("crew.svg"), "name\nmate\n").unwrap();
    let run = |arguments: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_oaktag"))
            .args(arguments)
            .current_dir(at)
            .output()
            .unwrap();
        (
            output.status.code().unwrap(),
            String::from_utf8(output.stderr).unwrap(),
        )
    };
    let (status, err) = run(&[
        "draw",
        "a.draft",
        "--body",
        "crew.svg:mate",
        "-o",
        "crew.svg",
    ]);
    assert!(
        status == 2 && err.contains("over the table of bodies"),
        "{err}"
    );
    assert_eq!(
        std::fs::read_to_string(at.join("crew.svg")).unwrap(),
        "name\nmate\n"
    );
    let (status, err) = run(&["draw", "a.draft", "-o", "a.dxf"]);
    assert!(
        status == 1 && err.contains("a cutting room wants pieces"),
        "{err}"
    );
    assert!(!at.join("a.dxf").exists());
}

/// Only the layers asked for, with what proves the scale.
#[test]
fn layers_are_left_out_where_they_are_not_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    draw(folder.path(), "a.svg", &["--layers", "cut,grain"]);
    let text = std::fs::read_to_string(folder.path().join("a.svg")).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    for (id, is_there) in [
        ("cut", true),
        ("grain", true),
        ("test-square", true),
        ("sew", false),
        ("text", false),
        ("construction", false),
    ] {
        let group = document
            .descendants()
            .find(|node| node.attribute("id") == Some(id))
            .unwrap();
        assert_eq!(
            group.has_children() && group.children().any(|node| node.is_element()),
            is_there,
            "{id}"
        );
    }
}

#[test]
fn a_letter_no_face_has_is_told_and_the_file_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let draft = "draft \"漢 shirt\"\npanel a {\n  line l = from origin toward right for 10cm\n}\n";
    std::fs::write(folder.path().join("a.draft"), draft).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(["draw", "a.draft", "-o", "a.pdf", "--sheet", "a4"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{err}");
    assert!(
        err.contains("漢 (U+6F22)") && err.contains("a box stands in their place"),
        "{err}"
    );
    assert!(folder.path().join("a.pdf").exists());
}

/// So it is for a batch, once for all its files.
#[test]
fn a_batch_tells_a_missing_letter_once() {
    let folder = tempfile::tempdir().unwrap();
    let draft = "draft \"漢 shirt\"\nbody wide = 10cm\npanel a {\n  line l = from origin toward right for wide\n}\n";
    std::fs::write(folder.path().join("a.draft"), draft).unwrap();
    std::fs::write(
        folder.path().join("crew.csv"),
        "name,wide\none,10cm\ntwo,12cm\n",
    )
    .unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args([
            "draw",
            "a.draft",
            "--bodies",
            "crew.csv",
            "-o",
            "{name}.pdf",
        ])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{err}");
    assert_eq!(err.matches("漢 (U+6F22)").count(), 1, "{err}");
    assert!(folder.path().join("two.pdf").exists());
}

/// The lines of a class in a drawing: what they belong to, and how far they run from left to right, in millimetres.
fn level_lines(svg: &str, class: &str) -> Vec<(String, f64)> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let lines = document
        .descendants()
        .filter(|node| node.attribute("class") == Some(class))
        .filter(|node| node.attribute("data-name") != Some("key"));
    let ends = |node: &roxmltree::Node<'_, '_>| {
        let data = node.attribute("d")?;
        let figures: Vec<f64> = data
            .split(|c: char| c.is_whitespace() || c.is_alphabetic())
            .filter(|part| !part.is_empty())
            .map(|part| part.parse().unwrap())
            .collect();
        let level = figures.len() == 4 && (figures[1] - figures[3]).abs() < 1e-9;
        level.then(|| figures[2] - figures[0])
    };
    lines
        .filter_map(|node| {
            let name = node.attribute("data-name").unwrap_or("").to_owned();
            Some((name, ends(&node)?))
        })
        .collect()
}

/// The walk at true size: each side's lines are together as long as the JSON has the side, and the bar is 100 mm.
#[test]
fn the_walk_of_a_seam_is_drawn_at_true_size() {
    let folder = tempfile::tempdir().unwrap();
    let shirt = "examples/womens-crew-shirt.draft";
    let said = draw_of(shirt, folder.path(), "w.svg", &["--seam", "armhole"]);
    assert_eq!(said.status, 0, "{}", said.err);
    draw_of(shirt, folder.path(), "w.json", &[]);
    let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).unwrap();
    let (svg, json) = (read("w.svg"), read("w.json"));
    let pattern: serde_json::Value = serde_json::from_str(&json).unwrap();
    let seams = pattern["seams"].as_array().unwrap();
    let seam = seams.iter().find(|seam| seam["name"] == "armhole").unwrap();
    let lines = level_lines(&svg, "cut");
    let of = |names: &[&str]| -> f64 {
        let mine = lines
            .iter()
            .filter(|(name, _)| names.iter().any(|own| name.contains(own)));
        mine.map(|(_, long)| long).sum()
    };
    let length = |side: &str| seam[side]["length_mm"].as_f64().unwrap();
    assert!((of(&["cap"]) - length("first")).abs() < 0.01);
    assert!((of(&["armhole"]) - length("second")).abs() < 0.01);
    let bar: Vec<f64> = level_lines(&svg, "square")
        .into_iter()
        .map(|line| line.1)
        .collect();
    assert_eq!(bar, [100.0]);
    // Half as long at half scale.
    draw_of(
        shirt,
        folder.path(),
        "h.svg",
        &["--seam", "armhole", "--scale", "1:2"],
    );
    let half: f64 = level_lines(&read("h.svg"), "cut")
        .iter()
        .map(|line| line.1)
        .sum();
    assert!((2.0 * half - length("first") - length("second")).abs() < 0.02);
}

#[test]
fn a_walk_that_is_unsure_is_drawn_both_ways_round() {
    let folder = tempfile::tempdir().unwrap();
    let draft = folder.path().join("unsure.draft");
    let panel = |name: &str, right: &str| {
        format!(
            "panel {name} {{\n  point a = origin right {right}\n  line side = from a toward down for 50cm\n  line hem = from end of side toward left for 20cm\n  line top = from end of hem to a\n}}\npiece {name} {{\n  outline side, hem, top\n  cut 2\n  allow 1cm\n  finish hem, top\n}}\n"
        )
    };
    let text = format!(
        "draft \"Unsure\"\nunit cm\n{}{}seam side joins f.side to b.side from f.a {{\n  notch single at 10cm from f.a\n}}\n",
        panel("f", "0cm"),
        panel("b", "30cm")
    );
    std::fs::write(&draft, text).unwrap();
    let said = draw_of(
        draft.to_str().unwrap(),
        folder.path(),
        "u.svg",
        &["--seam", "side"],
    );
    assert_eq!(said.status, 1);
    assert!(said.err.contains("[seam-unsure]"), "{}", said.err);
    let svg = std::fs::read_to_string(folder.path().join("u.svg")).unwrap();
    assert!(svg.contains("One reading") && svg.contains("The other reading"));
    assert_eq!(level_lines(&svg, "cut").len(), 4);
}

#[test]
fn a_seam_that_is_not_there_is_told_with_those_that_are() {
    let folder = tempfile::tempdir().unwrap();
    let said = draw(folder.path(), "s.svg", &["--seam", "sid"]);
    assert_eq!(said.status, 2);
    assert!(
        said.err.contains("no seam `sid`") && said.err.contains("Did you mean `side`?"),
        "{}",
        said.err
    );
    let said = draw(folder.path(), "s.dxf", &["--seam", "side"]);
    assert_eq!(said.status, 2);
    assert!(
        said.err.contains("--seam goes with .pdf, .svg or .png"),
        "{}",
        said.err
    );
}
