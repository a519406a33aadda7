//! `compare --against` and `--card`, as they are called: a block changed, and the drafts of a folder that import it.

use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const BLOCK: &str = "draft \"Block\"\nunit cm\nchoose long = 42cm between 30cm and 60cm \"centre back\"\nlength down_to = long\n";

fn style(title: &str, wide: &str) -> String {
    format!(
        "draft \"{title}\"\nunit cm\nimport \"../block.draft\" as block\n\npanel back {{\n  line upper = from origin toward right for {wide}\n  line side = from end of upper toward down for block.down_to\n  line hem = from end of side toward left for {wide}\n  line centre = from end of hem to origin\n}}\n\npiece back \"Back\" {{\n  outline upper, side, hem, centre\n  cut 1 on fold at centre\n  grain along centre\n  allow 1cm\n  finish upper, side, hem \"bound\"\n}}\n"
    )
}

fn oaktag(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .arg("compare")
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        out.status.code().unwrap(),
        text(out.stdout),
        text(out.stderr),
    )
}

/// Two styles on the block, one that needs it no longer than it was, and one that stands alone.
fn house() -> TempDir {
    let folder = TempDir::new().unwrap();
    let put = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    fs::create_dir_all(folder.path().join("styles/old")).unwrap();
    put("oaktag.root", "");
    put("before.draft", BLOCK);
    put("block.draft", &BLOCK.replace("42cm", "45cm"));
    put("styles/crew.draft", &style("Crew", "24cm"));
    let deep = style("Cook", "26cm").replace("../block", "../../block");
    put("styles/old/cook.draft", &deep);
    let short = style("Deck", "24cm") + "\ncheck \"short enough\" that block.long < 44cm\n";
    put("styles/deck.draft", &short);
    put("styles/alone.draft", "draft \"Alone\"\npoint p = origin\n");
    folder
}

#[test]
fn a_change_is_told_for_every_draft_that_imports_it() {
    let folder = house();
    let (status, out, err) = oaktag(
        folder.path(),
        &["before.draft", "block.draft", "--against", "styles"],
    );
    assert_eq!(err, "");
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!(
        lines,
        [
            "3 drafts of styles import block.draft; 3 change.",
            "  crew.draft: Recut: Back. By up to 3 cm.",
            "  deck.draft: Recut: Back. By up to 3 cm. Now fails: “short enough”.",
            "  old/cook.draft: Recut: Back. By up to 3 cm.",
        ]
    );
    assert_eq!(status, 1, "a check fails");
    let (_, out, _) = oaktag(
        folder.path(),
        &[
            "before.draft",
            "block.draft",
            "--against",
            "styles",
            "--format",
            "json",
        ],
    );
    let rows: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(rows.as_array().unwrap().len(), 3);
    assert_eq!(rows[0]["comparison"]["pieces"][0]["verdict"], "recut");
    let (_, out, _) = oaktag(
        folder.path(),
        &[
            "before.draft",
            "block.draft",
            "--against",
            "styles",
            "--format",
            "markdown",
        ],
    );
    assert!(out.contains("- **crew.draft**: Recut: Back."), "{out}");
    let (status, out, _) = oaktag(
        folder.path(),
        &["block.draft", "block.draft", "--against", "styles/old"],
    );
    assert!(
        status == 0 && out.contains("imports block.draft; 0 change."),
        "{out}"
    );
    let (status, _, err) = oaktag(folder.path(), &["block.draft", "--against", "styles"]);
    assert!(
        status == 2 && err.contains("--against takes OLD and NEW"),
        "{err}"
    );
    let (status, _, err) = oaktag(
        folder.path(),
        &["before.draft", "block.draft", "--against", "nowhere"],
    );
    assert!(status == 3 && err.contains("nowhere"), "{err}");
}

#[test]
fn a_card_is_one_page_of_the_sheet_asked_for() {
    let folder = house();
    let run = |out: &str, more: &[&str]| {
        let mut all = vec![
            "styles/crew.draft",
            "styles/deck.draft",
            "--card",
            "-o",
            out,
        ];
        all.extend(more);
        oaktag(folder.path(), &all)
    };
    for (more, wide, high) in [
        (&[][..], 595.276, 841.89),
        (&["--sheet", "letter"][..], 612.0, 792.0),
    ] {
        let (_, out, err) = run("card.pdf", more);
        assert!(out.contains("card.pdf written."), "{err}");
        let pdf = crate::reader::Pdf::read(&fs::read(folder.path().join("card.pdf")).unwrap());
        assert_eq!(pdf.pages.len(), 1);
        let size = pdf.pages[0].size;
        assert!(
            (size.0 - wide).abs() < 0.01 && (size.1 - high).abs() < 0.01,
            "{size:?}"
        );
        let text = pdf.text(1).replace(char::is_whitespace, "");
        assert!(
            text.contains("Deck") && text.contains("Was:styles/crew.draft"),
            "{text}"
        );
    }
    for name in ["card.svg", "card.png"] {
        let (_, out, err) = run(name, &["--revision", "C"]);
        assert!(
            out.contains("written") && folder.path().join(name).is_file(),
            "{err}"
        );
    }
    for (name, more, why) in [
        (
            "card.html",
            &[][..],
            "a card is written as .svg, .pdf or .png.",
        ),
        (
            "card.pdf",
            &["--sheet", "a0"][..],
            "a card is printed on a4 or letter.",
        ),
    ] {
        let (status, _, err) = run(name, more);
        assert!(status == 2 && err.contains(why), "{err}");
    }
}
