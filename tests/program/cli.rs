//! The program as it is called: exit statuses, standard input, what goes where, and that no file is ever left half
//! written or written over by mistake.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const SOUND: &str = "draft \"Square\"\nunit cm\nchoose wide = 20cm between 10cm and 40cm\npanel back {\n  point b = origin right by wide\n  point c = origin down 30cm\n  line top = from origin to b\n  line slant = from b to c\n  line centre = from c to origin\n}\npiece back \"Back\" {\n  outline top, slant, centre\n  cut 1 from main\n  grain along centre\n  allow 1cm\n  finish top, slant, centre \"bound\"\n}\n";
const BROKEN: &str = "panel back {\n  point b = origin right 20\n}\n";

struct Said {
    status: i32,
    out: String,
    err: String,
}

fn oaktag(folder: &Path, arguments: &[&str]) -> Said {
    said(command(folder, arguments).output().unwrap())
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_oaktag"));
    command
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null());
    command
}

fn said(output: Output) -> Said {
    Said {
        status: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

fn with_input(folder: &Path, arguments: &[&str], text: &str) -> Said {
    let mut child = command(folder, arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(text.as_bytes())
        .unwrap();
    said(child.wait_with_output().unwrap())
}

/// A folder with a sound and a broken draft.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("sound.draft"), SOUND).unwrap();
    std::fs::write(folder.path().join("broken.draft"), BROKEN).unwrap();
    folder
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn the_status_tells_how_it_went() {
    let folder = folder();
    let at = folder.path();
    for (arguments, status) in [
        (&["check", "sound.draft"][..], 0),
        (&["check", "broken.draft"], 1),
        (&["check", "sound.draft", "broken.draft"], 1),
        (&["check", "sound.draft", "absent.draft"], 3),
        (&["check", "absent.draft"], 3),
        (&["check", "."], 3),
        (&["check"], 2),
        (&["chekc", "sound.draft"], 2),
        (&["check", "sound.draft", "--set", "wide"], 2),
        (&["check", "sound.draft", "--set", "wide=15 cm"], 2),
        (&["check", "sound.draft", "--set", "wide=15cm"], 0),
        (&["check", "sound.draft", "--set", "wide=90cm"], 1),
        (&["check", "sound.draft", "--set", "wdie=15cm"], 1),
        (&["draw", "sound.draft", "-o", "out.svg"], 0),
        (&["draw", "broken.draft", "-o", "none.svg"], 1),
        (&["draw", "sound.draft", "-o", "out.bmp"], 2),
        (&["draw", "sound.draft"], 2),
        (&["draw", "absent.draft", "-o", "none.svg"], 3),
        (&["draw", "sound.draft", "-o", "nowhere/out.svg"], 3),
        (&["tidy", "--check", "sound.draft"], 0),
        (&["tidy", "absent.draft"], 3),
        (&["phrases"], 0),
        (&["phrases", "swing"], 0),
        (&["phrases", "swnig"], 2),
        (&["explain"], 0),
        (&["explain", "never-meet"], 0),
        (&["explain", "never-met"], 2),
        (&["completions", "bash"], 0),
        (&["completions", "abacus"], 2),
        (&["--help"], 0),
        (&["--version"], 0),
        (&[], 2),
    ] {
        let said = oaktag(at, arguments);
        assert_eq!(
            said.status, status,
            "{arguments:?}\n{}{}",
            said.out, said.err
        );
        let is_silent = said.out.is_empty() && said.err.is_empty();
        assert!(
            !is_silent || arguments[0] == "tidy",
            "{arguments:?} says nothing"
        );
    }
}

#[test]
fn messages_go_to_standard_error_and_results_to_standard_output() {
    let folder = folder();
    let said = oaktag(folder.path(), &["check", "broken.draft"]);
    assert!(said.err.contains("unit-missing") && !said.out.contains("unit-missing"));
    let said = oaktag(folder.path(), &["check", "--quiet", "sound.draft"]);
    assert_eq!((said.out.as_str(), said.err.as_str()), ("", ""));
    let said = oaktag(folder.path(), &["check", "absent.draft"]);
    assert_eq!(said.out, "");
    assert!(said.err.contains("there is no such file"), "{}", said.err);
    let said = oaktag(folder.path(), &["explain", "never-met"]);
    assert!(said.err.contains("never-meet"), "{}", said.err);
}

#[test]
fn no_escape_reaches_a_file_or_a_pipe() {
    let folder = folder();
    let evil = "draft \"\u{1b}[31mred\u{7}\"\npanel back {\n  point \u{1b}[2J = 3\n}\n";
    std::fs::write(folder.path().join("evil.draft"), evil).unwrap();
    let said = oaktag(folder.path(), &["check", "evil.draft"]);
    assert!(
        !said.err.contains('\u{1b}') && !said.err.contains('\u{7}'),
        "{:?}",
        said.err
    );
    assert!(
        !said.out.contains('\u{1b}') && !said.out.contains('\u{7}'),
        "{:?}",
        said.out
    );
}

#[test]
fn a_dash_reads_standard_input() {
    let folder = folder();
    let at = folder.path();
    assert_eq!(with_input(at, &["check", "-"], SOUND).status, 0);
    let said = with_input(at, &["check", "-"], BROKEN);
    assert_eq!(said.status, 1);
    assert!(said.err.contains("<standard input>:2"), "{}", said.err);
    let said = with_input(at, &["draw", "-", "-o", "from-input.svg"], SOUND);
    assert_eq!(said.status, 0, "{}", said.err);
    assert!(at.join("from-input.svg").exists());
    let said = with_input(at, &["tidy", "-"], "length   a =   3cm\n");
    assert_eq!((said.status, said.out.as_str()), (0, "length a = 3cm\n"));
    let said = with_input(
        at,
        &["check", "-"],
        "import \"sound.draft\" as square_file\n",
    );
    assert_eq!(said.status, 0, "{}", said.err);
}

#[test]
fn json_is_one_value_on_standard_output() {
    let folder = folder();
    let said = oaktag(
        folder.path(),
        &["check", "--format", "json", "broken.draft"],
    );
    assert_eq!((said.status, said.err.as_str()), (1, ""));
    let value: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    let told = &value["diagnostics"][0];
    assert_eq!(value["ok"], false);
    assert_eq!(told["code"], "unit-missing");
    assert_eq!(
        (told["line"].as_u64(), told["column"].as_u64()),
        (Some(2), Some(26))
    );
    assert_eq!(told["severity"], "error");
    assert!(told["help"].as_str().unwrap().contains("20mm"));
    let said = oaktag(
        folder.path(),
        &["check", "--format", "json", "sound.draft", "broken.draft"],
    );
    let value: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(value.as_array().map(Vec::len), Some(2));
}

#[test]
fn tidy_lays_out_in_place_and_its_check_changes_nothing() {
    let folder = folder();
    let at = folder.path();
    let loose = "# kept\nlength   a =   3cm\n";
    std::fs::write(at.join("loose.draft"), loose).unwrap();
    let said = oaktag(at, &["tidy", "--check", "loose.draft", "sound.draft"]);
    assert_eq!((said.status, said.out.as_str()), (1, "loose.draft\n"));
    assert_eq!(
        std::fs::read_to_string(at.join("loose.draft")).unwrap(),
        loose
    );
    assert_eq!(oaktag(at, &["tidy", "loose.draft"]).status, 0);
    assert_eq!(
        std::fs::read_to_string(at.join("loose.draft")).unwrap(),
        "# kept\nlength a = 3cm\n"
    );
    assert_eq!(oaktag(at, &["tidy", "--check", "loose.draft"]).status, 0);
    let torn = "length a = (3cm\n";
    std::fs::write(at.join("torn.draft"), torn).unwrap();
    let said = oaktag(at, &["tidy", "torn.draft"]);
    assert_eq!(said.status, 1);
    assert!(said.err.contains("left as it is"), "{}", said.err);
    let mixed = "length   b = 3cm\nlength  a = (3cm\n";
    let said = with_input(at, &["tidy", "-"], mixed);
    assert_eq!(
        (said.status, said.out.as_str()),
        (1, "length b = 3cm\nlength  a = (3cm\n")
    );
    assert_eq!(
        std::fs::read_to_string(at.join("torn.draft")).unwrap(),
        torn
    );
}

#[test]
fn a_drawing_never_goes_over_a_file_it_reads() {
    let folder = folder();
    let at = folder.path();
    std::fs::write(at.join("block.json"), SOUND).unwrap();
    let said = oaktag(at, &["draw", "block.json", "-o", "./block.json"]);
    assert_eq!(said.status, 2);
    assert_eq!(
        std::fs::read_to_string(at.join("block.json")).unwrap(),
        SOUND
    );
    #[cfg(unix)]
    {
        let main = "import \"block.draft\" as block\npanel back traced from block.back {\n}\n";
        std::fs::write(at.join("main.draft"), main).unwrap();
        // One file under two names.
        std::fs::rename(at.join("block.json"), at.join("block.draft")).unwrap();
        std::os::unix::fs::symlink("block.draft", at.join("block.json")).unwrap();
        let said = oaktag(at, &["draw", "main.draft", "-o", "block.json"]);
        assert_eq!(said.status, 2, "{}", said.err);
        assert_eq!(
            std::fs::read_to_string(at.join("block.draft")).unwrap(),
            SOUND
        );
        std::os::unix::fs::symlink(at.join("sound.draft"), at.join("link.svg")).unwrap();
        assert_eq!(
            oaktag(at, &["draw", "sound.draft", "-o", "link.svg"]).status,
            2
        );
        assert_eq!(
            std::fs::read_to_string(at.join("sound.draft")).unwrap(),
            SOUND
        );
    }
}

#[test]
fn a_file_is_written_whole_or_not_at_all() {
    let folder = folder();
    let at = folder.path();
    std::fs::write(at.join("old.svg"), "old").unwrap();
    std::fs::write(at.join("old.pdf"), "old").unwrap();
    // What is cut from stays as it was; a picture is written, and says that it lacks something.
    for name in ["old.pdf", "old.svg"] {
        let drawn = oaktag(at, &["draw", "broken.draft", "-o", name]);
        assert_eq!(drawn.status, 1);
    }
    assert_eq!(std::fs::read_to_string(at.join("old.pdf")).unwrap(), "old");
    std::fs::remove_file(at.join("old.pdf")).unwrap();
    let unfinished = std::fs::read_to_string(at.join("old.svg")).unwrap();
    assert!(
        unfinished.contains("<title>UNFINISHED</title>"),
        "{unfinished}"
    );
    assert_eq!(
        oaktag(at, &["draw", "sound.draft", "-o", "old.svg"]).status,
        0
    );
    let text = std::fs::read_to_string(at.join("old.svg")).unwrap();
    assert!(text.trim_end().ends_with("</svg>"));
    assert_eq!(
        oaktag(at, &["draw", "sound.draft", "-o", "new.json"]).status,
        0
    );
    let value: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(at.join("new.json")).unwrap()).unwrap();
    assert!(
        value["pieces"]
            .as_array()
            .is_some_and(|pieces| pieces.len() == 1)
    );
    std::fs::create_dir(at.join("folder.svg")).unwrap();
    assert_eq!(
        oaktag(at, &["draw", "sound.draft", "-o", "folder.svg"]).status,
        3
    );
    // Nothing else is left lying about.
    assert_eq!(
        names(at),
        [
            "broken.draft",
            "folder.svg",
            "new.json",
            "old.svg",
            "sound.draft"
        ]
    );
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let locked = folder.path().join("locked");
    std::fs::create_dir(&locked).unwrap();
    std::fs::set_permissions(&locked, std::fs::Permissions::from_mode(0o555)).unwrap();
    let can_write = std::fs::write(locked.join("probe"), "").is_ok();
    let said = oaktag(
        folder.path(),
        &["draw", "sound.draft", "-o", "locked/out.svg"],
    );
    // Some users may write anywhere; for them there is nothing to refuse.
    assert_eq!(said.status, if can_write { 0 } else { 3 }, "{}", said.err);
    if !can_write {
        assert!(said.err.contains("permission is denied"), "{}", said.err);
    }
    std::fs::set_permissions(&locked, std::fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn an_import_cannot_leave_the_folder_by_a_link() {
    #[cfg(unix)]
    {
        let folder = folder();
        let inner = folder.path().join("inner");
        std::fs::create_dir(&inner).unwrap();
        std::os::unix::fs::symlink(folder.path().join("sound.draft"), inner.join("link.draft"))
            .unwrap();
        std::fs::write(inner.join("main.draft"), "import \"link.draft\" as outer\n").unwrap();
        let said = oaktag(&inner, &["check", "main.draft"]);
        assert_eq!(said.status, 1);
        assert!(said.err.contains("import-outside-folder"), "{}", said.err);
    }
}

#[test]
fn what_is_no_text_or_too_long_is_refused() {
    let folder = folder();
    let at = folder.path();
    std::fs::write(at.join("picture.draft"), [0xff, 0xfe, 0x00, 0x01]).unwrap();
    let said = oaktag(at, &["check", "picture.draft"]);
    assert_eq!(said.status, 3);
    assert!(said.err.contains("not a text file"), "{}", said.err);
    std::fs::write(at.join("long.draft"), vec![b'a'; 9 * 1024 * 1024]).unwrap();
    let said = oaktag(at, &["check", "long.draft"]);
    assert_eq!(said.status, 3);
    assert!(
        said.err.contains("longer than a draft may be"),
        "{}",
        said.err
    );
}

#[test]
fn completions_know_every_command() {
    let folder = folder();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let said = oaktag(folder.path(), &["completions", shell]);
        for command in ["check", "draw", "tidy", "phrases", "explain"] {
            assert!(said.out.contains(command), "{shell}: {command}");
        }
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let folder = folder();
    let mut child = command(folder.path(), &["phrases"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

/// The page that `explain` prints holds the example and the cure.
#[test]
fn explain_prints_the_whole_page() {
    let folder = folder();
    let said = oaktag(folder.path(), &["explain", "turn-without-sense"]);
    for words in [
        "turn-without-sense",
        "For example",
        "pivot tip about origin by 6deg",
        "Cure: ",
    ] {
        assert!(said.out.contains(words), "{words}:\n{}", said.out);
    }
}

/// A seam whose allowances differ is drawn, and says so on its pieces: every command takes it for a drawing.
#[test]
fn a_judged_fault_leaves_a_picture_for_every_command() {
    let folder = folder();
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors");
    let draft = "allowances-that-differ.draft";
    std::fs::copy(here.join(draft), folder.path().join(draft)).unwrap();
    for name in ["drawn.svg", "drawn.json", "drawn.pdf", "lesson.html"] {
        let word = if name == "lesson.html" {
            "lesson"
        } else {
            "draw"
        };
        let run = oaktag(folder.path(), &[word, draft, "-o", name]);
        assert_eq!(run.status, 1, "{name}: {}", run.err);
        assert!(folder.path().join(name).exists(), "{name}: {}", run.err);
    }
    let why = oaktag(folder.path(), &["check", draft, "--why", "side"]);
    assert!(!why.err.contains("mend the draft first"), "{}", why.err);
    let alike = oaktag(folder.path(), &["compare", draft, draft]);
    assert!(!alike.out.contains("annot be drawn"), "{}", alike.out);
}

#[test]
fn a_setting_is_a_value_and_nothing_after_it() {
    let folder = folder();
    for more in ["between 1cm and 90cm", "\"hello\"", "# a word"] {
        let set = format!("wide=12cm {more}");
        let run = oaktag(
            folder.path(),
            &["check", "-q", "sound.draft", "--set", &set],
        );
        assert_eq!(run.status, 2, "{set}");
        assert!(run.err.contains("nothing after it"), "{}", run.err);
    }
}

#[test]
fn compare_says_that_a_setting_lies_on_both_sides() {
    let folder = folder();
    let told = |set: &str| oaktag(folder.path(), &["compare", "sound.draft", set, "wide=12cm"]).err;
    assert!(told("--set").contains("--set wide=12cm holds for both sides"));
    assert!(!told("--new-set").contains("both sides"));
}

/// `check` says in its report how many messages there are, and the messages below it do not again; where there is no report,
/// they do.
#[test]
fn how_many_there_are_is_said_once() {
    let folder = folder();
    let two = "panel back {\n  point b = origin right 20\n  point c = origin down 30\n}\n";
    std::fs::write(folder.path().join("two.draft"), two).unwrap();
    let count = |said: &Said| {
        let all = format!("{}\n{}", said.out, said.err);
        all.matches("2 errors").count()
    };
    let told = oaktag(folder.path(), &["check", "two.draft"]);
    assert_eq!(
        (told.status, count(&told)),
        (1, 1),
        "{}\n{}",
        told.out,
        told.err
    );
    assert!(told.out.contains("2 errors"), "{}", told.out);
    let quiet = oaktag(folder.path(), &["check", "--quiet", "two.draft"]);
    assert_eq!(count(&quiet), 1, "{}", quiet.err);
    assert!(quiet.err.starts_with("2 errors.\n"), "{}", quiet.err);
}
