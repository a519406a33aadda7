//! Comparisons of revisions, in a real repository made by the test: `REVISION:FILE`, git's external diff, the history.

use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const BLOCK: &str = "draft \"Block\"\nunit cm\nchoose long = 42cm between 30cm and 60cm \"centre back\"\nlength down_to = long\n";

const BACK: &str = "draft \"Back\"\nunit cm\nimport \"block.draft\" as block\nchoose wide = 24cm between 10cm and 40cm \"half\"\n\npanel back {\n  line upper = from origin toward right for wide\n  line side = from end of upper toward down for block.down_to\n  line hem = from end of side toward left for wide\n  line centre = from end of hem to origin\n}\n\npiece back \"Back\" {\n  outline upper, side, hem, centre\n  cut 1 on fold at centre\n  grain along centre\n  allow 1cm\n  finish upper, side, hem \"bound\"\n}\n";

fn git(folder: &Path, arguments: &[&str]) -> String {
    let out = Command::new("git")
        .args([
            "-c",
            "user.name=Cutter",
            "-c",
            "user.email=cutter@ferries.invalid",
            "-c",
            "commit.gpgsign=false",
        ])
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_SYSTEM", "/dev/null")
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "git {arguments:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).unwrap()
}

fn oaktag(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    (
        out.status.code().unwrap(),
        String::from_utf8(out.stdout).unwrap(),
        String::from_utf8(out.stderr).unwrap(),
    )
}

/// Six revisions: the draft, a wider back, a longer block, a slip that does not parse, its mending with a new name of the
/// file, and a remark.
fn repository() -> TempDir {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    git(root, &["init", "-q", "-b", "main"]);
    fs::create_dir(root.join("shirts")).unwrap();
    let save = |name: &str, text: &str, message: &str| {
        fs::write(root.join("shirts").join(name), text).unwrap();
        git(root, &["add", "-A"]);
        git(root, &["commit", "-q", "-m", message]);
    };
    fs::write(root.join("shirts/block.draft"), BLOCK).unwrap();
    save("back.draft", BACK, "Draft the back");
    let wider = BACK.replace("24cm", "25cm");
    save("back.draft", &wider, "Widen the back");
    save(
        "block.draft",
        &BLOCK.replace("42cm", "45cm"),
        "Lengthen the block",
    );
    save(
        "back.draft",
        &wider.replace("toward left for wide", "toward left for"),
        "Slip",
    );
    let mended = wider.replace("on fold at centre", "on fold at centre from main");
    git(root, &["mv", "shirts/back.draft", "shirts/crew-back.draft"]);
    save(
        "crew-back.draft",
        &mended,
        "Mend the slip, call it the crew's",
    );
    save(
        "crew-back.draft",
        &format!("# for the crew\n{mended}"),
        "Say who it is for",
    );
    folder
}

#[test]
fn a_revision_is_read_with_its_imports_of_that_revision() {
    let folder = repository();
    let root = folder.path();
    let (status, out, err) = oaktag(
        root,
        &[
            "compare",
            "HEAD~5:shirts/back.draft",
            "HEAD~4:shirts/back.draft",
        ],
    );
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    assert!(out.contains("wide: 24 cm → 25 cm (+1 cm)"), "{out}");
    assert!(out.contains("hem: 24 cm → 25 cm, 1 cm longer"), "{out}");
    assert!(out.trim_end().ends_with("Recut: Back."), "{out}");
    // Only the block changed between these, three centimetres longer.
    let (_, out, _) = oaktag(
        root,
        &[
            "compare",
            "HEAD~4:shirts/back.draft",
            "HEAD~3:shirts/back.draft",
        ],
    );
    assert!(out.contains("block long: 42 cm → 45 cm (+3 cm)"), "{out}");
    assert!(out.contains("side: 42 cm → 45 cm, 3 cm longer"), "{out}");
    // From a folder of the repository, a path is that folder's.
    let (_, inside, _) = oaktag(
        &root.join("shirts"),
        &["compare", "HEAD~4:back.draft", "HEAD~3:back.draft"],
    );
    assert_eq!(
        inside.lines().skip(1).collect::<Vec<_>>(),
        out.lines().skip(1).collect::<Vec<_>>()
    );
    // A revision beside the file as it lies in the folder.
    let (_, out, _) = oaktag(
        root,
        &[
            "compare",
            "HEAD:shirts/crew-back.draft",
            "shirts/crew-back.draft",
        ],
    );
    assert!(out.contains("No difference"), "{out}");
}

/// A block on one hook and a style on the other, below a marked folder of the repository.
#[test]
fn a_revision_is_read_with_the_root_that_it_marks() {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    git(root, &["init", "-q", "-b", "main"]);
    for part in ["house/blocks", "house/styles"] {
        fs::create_dir_all(root.join(part)).unwrap();
    }
    let save = |block: &str, message: &str| {
        fs::write(root.join("house/blocks/block.draft"), block).unwrap();
        git(root, &["add", "-A"]);
        git(root, &["commit", "-q", "-m", message]);
    };
    fs::write(root.join("house/oaktag.root"), "").unwrap();
    let style = BACK.replace("\"block.draft\"", "\"../blocks/block.draft\"");
    fs::write(root.join("house/styles/back.draft"), style).unwrap();
    save(BLOCK, "First");
    save(&BLOCK.replace("= 42cm", "= 43cm"), "Longer");
    let draft = "house/styles/back.draft";
    let (end, out, err) = oaktag(root, &["compare", &format!("HEAD~1:{draft}"), draft]);
    assert_eq!(end, 0, "{err}");
    assert!(out.contains("1 cm longer"), "{out}");
    let (_, log, err) = oaktag(root, &["compare", "--log", draft]);
    assert!(err.is_empty(), "{err}");
    assert!(log.contains("Longer") && !log.contains("outside"), "{log}");
    // Without the mark in that revision nothing above the style's own folder is read.
    git(root, &["rm", "-q", "--cached", "house/oaktag.root"]);
    git(root, &["commit", "-q", "-m", "Unmarked"]);
    let (_, out, _) = oaktag(root, &["compare", &format!("HEAD:{draft}"), draft]);
    assert!(
        out.contains("lies outside the folder that this draft may import from"),
        "{out}"
    );
    let asked = [
        "compare",
        "--root",
        "house",
        &format!("HEAD:{draft}"),
        draft,
    ];
    let (end, out, err) = oaktag(root, &asked);
    assert_eq!(end, 0, "{err}");
    assert!(out.contains("No difference"), "{out}");
}

#[test]
fn the_exit_status_says_so_only_when_asked() {
    let folder = repository();
    let sides = ["HEAD~5:shirts/back.draft", "HEAD~4:shirts/back.draft"];
    let run = |more: &[&str], sides: &[&str]| {
        let all: Vec<&str> = ["compare"]
            .iter()
            .chain(more)
            .chain(sides)
            .copied()
            .collect();
        oaktag(folder.path(), &all).0
    };
    assert_eq!(run(&[], &sides), 0);
    assert_eq!(run(&["--exit-code"], &sides), 1);
    assert_eq!(run(&["--exit-code"], &[sides[0], sides[0]]), 0);
}

#[test]
fn a_revision_that_cannot_be_read_is_told_and_one_outside_refused() {
    let folder = repository();
    let root = folder.path();
    let (status, out, _) = oaktag(
        root,
        &[
            "compare",
            "HEAD~3:shirts/back.draft",
            "HEAD~2:shirts/back.draft",
        ],
    );
    assert_eq!(status, 1);
    assert!(
        out.contains("What cannot be drawn") && out.contains("HEAD~2:shirts/back.draft"),
        "{out}"
    );
    let outside = TempDir::new().unwrap();
    fs::write(outside.path().join("back.draft"), BACK).unwrap();
    let path = outside.path().join("back.draft");
    let typed = format!("HEAD:{}", path.display());
    let (status, _, err) = oaktag(root, &["compare", &typed, "shirts/crew-back.draft"]);
    assert_eq!(status, 3);
    assert!(err.contains("no git repository"), "{err}");
    let (status, _, err) = oaktag(
        root,
        &["compare", "HEAD:../back.draft", "shirts/crew-back.draft"],
    );
    assert_eq!(status, 3);
    assert!(err.contains("no git repository"), "{err}");
    let (status, _, err) = oaktag(
        root,
        &[
            "compare",
            "later:shirts/crew-back.draft",
            "shirts/crew-back.draft",
        ],
    );
    assert_eq!(status, 3);
    assert!(err.contains("no revision `later`"), "{err}");
    let (status, _, err) = oaktag(
        outside.path(),
        &["compare", "HEAD:back.draft", "back.draft"],
    );
    assert_eq!(status, 3);
    assert!(err.contains("no git repository"), "{err}");
    let (status, _, err) = oaktag(
        root,
        &[
            "compare",
            "--",
            "--output=x:shirts/crew-back.draft",
            "shirts/crew-back.draft",
        ],
    );
    assert_eq!(status, 3);
    assert!(err.contains("is no revision"), "{err}");
}

#[test]
fn git_shows_a_draft_through_it() {
    let folder = repository();
    let root = folder.path();
    fs::write(root.join(".gitattributes"), "*.draft diff=oaktag\n").unwrap();
    let command = format!("{} compare", env!("CARGO_BIN_EXE_oaktag"));
    git(root, &["config", "diff.oaktag.command", &command]);
    let out = git(root, &["diff", "HEAD~5", "HEAD~4"]);
    assert!(out.contains("wide: 24 cm → 25 cm (+1 cm)"), "{out}");
    // The block of each revision is read, not today's: its length does not differ between these two.
    assert!(!out.contains("block long"), "{out}");
    assert!(out.contains("side"), "{out}");
    let out = git(root, &["show", "--ext-diff", "HEAD~2"]);
    assert!(out.contains("cannot be drawn"), "{out}");
    let out = git(root, &["diff", "-M", "HEAD~3", "HEAD"]);
    assert!(out.contains("crew-back.draft"), "{out}");
    // What lies in the folder, not yet committed, with its imports beside it.
    let path = root.join("shirts/crew-back.draft");
    let text = fs::read_to_string(&path).unwrap().replace("25cm", "26cm");
    fs::write(&path, text).unwrap();
    let out = git(root, &["diff"]);
    assert!(out.contains("wide: 25 cm → 26 cm (+1 cm)"), "{out}");
    git(root, &["add", "shirts"]);
    let out = git(root, &["diff", "--cached"]);
    assert!(out.contains("wide: 25 cm → 26 cm (+1 cm)"), "{out}");
}

#[test]
fn the_history_lists_what_each_revision_did_to_the_pattern() {
    let folder = repository();
    let root = folder.path();
    let (status, out, err) = oaktag(root, &["compare", "--log", "shirts/crew-back.draft"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    let heads: Vec<&str> = out.lines().filter(|line| !line.starts_with(' ')).collect();
    assert_eq!(heads.len(), 6, "{out}");
    let order = [
        "Draft the back",
        "Widen the back",
        "Lengthen the block",
        "Slip",
        "Mend the slip",
        "Say who it is for",
    ];
    for (head, subject) in heads.iter().zip(order) {
        assert!(head.contains(subject), "{head}");
    }
    assert!(heads[0].contains("shirts/back.draft") && heads[5].contains("shirts/crew-back.draft"));
    assert!(out.contains("The first that can be drawn."));
    assert!(out.contains("block long: 42 cm → 45 cm (+3 cm)"), "{out}");
    assert!(out.contains("Cannot be drawn: line 9"), "{out}");
    assert!(out.contains("Only comments or layout"), "{out}");
    let (status, json, _) = oaktag(
        root,
        &[
            "compare",
            "--log",
            "--format",
            "json",
            "shirts/crew-back.draft",
        ],
    );
    assert_eq!(status, 0);
    let rows: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(rows.as_array().unwrap().len(), 6);
    assert_eq!(
        oaktag(
            root,
            &[
                "compare",
                "--log",
                "--format",
                "json",
                "shirts/crew-back.draft"
            ]
        )
        .1,
        json
    );
}

/// A tidy draft keeps one sentence a line: a value that changed is one line of git's own diff.
#[test]
fn a_changed_value_is_one_line_of_the_text() {
    let folder = repository();
    let root = folder.path();
    let lines = |of: &str| git(root, &["diff", "--numstat", &format!("{of}~1"), of]);
    assert!(lines("HEAD~4").starts_with("1\t1\t"), "{}", lines("HEAD~4"));
    assert!(lines("HEAD~3").starts_with("1\t1\t"), "{}", lines("HEAD~3"));
    assert!(lines("HEAD").starts_with("1\t0\t"), "{}", lines("HEAD"));
    for name in ["crew-back.draft", "block.draft"] {
        let (status, _, err) = oaktag(&root.join("shirts"), &["tidy", "--check", name]);
        assert_eq!(status, 0, "{err}");
    }
}

#[test]
fn bodies_and_values_are_compared_too() {
    let folder = repository();
    let shirts = folder.path().join("shirts");
    let (status, out, err) = oaktag(
        &shirts,
        &["compare", "crew-back.draft", "--new-set", "wide=30cm"],
    );
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    assert!(out.contains("wide: 25 cm → 30 cm (+5 cm)"), "{out}");
    let (status, _, err) = oaktag(
        &shirts,
        &["compare", "crew-back.draft", "-o", "crew-back.draft"],
    );
    assert_eq!(status, 2, "{err}");
    let before = fs::read_to_string(shirts.join("crew-back.draft")).unwrap();
    fs::copy(shirts.join("crew-back.draft"), shirts.join("notes.md")).unwrap();
    let (status, _, err) = oaktag(
        &shirts,
        &["compare", "notes.md", "crew-back.draft", "-o", "notes.md"],
    );
    assert_eq!(status, 2, "{err}");
    assert_eq!(fs::read_to_string(shirts.join("notes.md")).unwrap(), before);
}

/// The example's own history: another pleat, another overlap, another neck. Each is one line of the text, which stays tidy,
/// and each is told as the value it is.
#[test]
fn a_history_of_the_example_is_one_line_a_value() {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    git(root, &["init", "-q", "-b", "main"]);
    let examples = format!("{}/examples", env!("CARGO_MANIFEST_DIR"));
    for name in ["house-block.draft", "ferry-shirt.draft"] {
        fs::copy(format!("{examples}/{name}"), root.join(name)).unwrap();
    }
    let save = |message: &str| {
        git(root, &["add", "-A"]);
        git(root, &["commit", "-q", "-m", message]);
    };
    save("Draft the shirt");
    for (old, new, said) in [
        ("pleat = 6cm", "pleat = 8cm", "pleat: 6 cm → 8 cm (+2 cm)"),
        (
            "overlap = 1.5cm",
            "overlap = 2cm",
            "overlap: 1.5 cm → 2 cm (+0.5 cm)",
        ),
        (
            "neck_wider = 4mm",
            "neck_wider = 6mm",
            "neck wider: 0.4 cm → 0.6 cm (+0.2 cm)",
        ),
    ] {
        let path = root.join("ferry-shirt.draft");
        let text = fs::read_to_string(&path).unwrap();
        assert_eq!(text.matches(old).count(), 1);
        fs::write(&path, text.replace(old, new)).unwrap();
        save(said);
        let (status, _, err) = oaktag(root, &["tidy", "--check", "ferry-shirt.draft"]);
        assert_eq!(status, 0, "{err}");
        let lines = git(root, &["diff", "--numstat", "HEAD~1", "HEAD"]);
        assert_eq!(lines, "1\t1\tferry-shirt.draft\n");
        let sides = [
            "compare",
            "HEAD~1:ferry-shirt.draft",
            "HEAD:ferry-shirt.draft",
        ];
        let (status, out, err) = oaktag(root, &sides);
        assert_eq!(status, 0, "{err}");
        assert!(out.contains(said), "{out}");
        assert!(
            !out.contains("Sentences in"),
            "a value is told as a value: {out}"
        );
    }
}

/// A revision that only gives a name, and one that moves a line: the history says what became of the pattern, and counts
/// sentences where there are many.
#[test]
fn the_history_says_what_moved_and_that_nothing_did() {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    git(root, &["init", "-q", "-b", "main"]);
    let examples = format!("{}/examples", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(format!("{examples}/first-steps.draft")).unwrap();
    let save = |text: &str, message: &str| {
        fs::write(root.join("back.draft"), text).unwrap();
        git(root, &["add", "-A"]);
        git(root, &["commit", "-q", "-m", message]);
    };
    save(&text, "Draft the half back");
    let renamed = text.replace("armhole", "scye");
    save(&renamed, "Say scye");
    save(
        &renamed.replace("fullness 0.6", "fullness 0.55"),
        "Hollow the neck less",
    );
    let (status, out, err) = oaktag(root, &["compare", "--log", "back.draft"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    let parts: Vec<&str> = out.split("Say scye").collect();
    let (of_names, of_neck) = parts[1].split_once("Hollow the neck less").unwrap();
    assert!(
        of_names.contains("    Nothing moved: only names differ."),
        "{of_names}"
    );
    assert!(
        of_neck.contains("    Half back: neck: lies up to "),
        "{of_neck}"
    );
    assert!(of_neck.contains("    Recut: Half back."), "{of_neck}");
    // A piece that cannot be drawn is the last word, and the status says that something is wrong.
    let broken = renamed.replace("line hem = from end", "line square = from end");
    save(&broken.replace("hem, side", "square, side"), "Slip");
    let (status, out, _) = oaktag(root, &["compare", "HEAD~1:back.draft", "back.draft"]);
    assert_eq!(status, 1);
    assert!(out.trim_end().ends_with("Not drawn: Half back."), "{out}");
}
