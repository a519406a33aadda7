//! Drafts merged by git itself, in repositories made by the test, with the two lines of configuration that the help shows.

use crate::chance::Chance;
use crate::edits::{edit, sentences};
use oaktag_language::draft::{self, Inputs};
use oaktag_language::library;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::syntax::tidy;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

/// Pairs of edits that are merged through git.
const PAIRS: u64 = 24;

fn git(folder: &Path, arguments: &[&str]) -> Output {
    Command::new("git")
        .args([
            "-c",
            "user.name=Cutter",
            "-c",
            "user.email=cutter@ferries.invalid",
        ])
        .args(["-c", "commit.gpgsign=false"])
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_SYSTEM", "/dev/null")
        .output()
        .unwrap()
}

fn done(folder: &Path, arguments: &[&str]) {
    let out = git(folder, arguments);
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "git {arguments:?}: {said}");
}

/// A repository whose drafts git merges by sentence, or by line.
struct Merges {
    folder: TempDir,
}

impl Merges {
    /// Two branches from one text: `ours`, which is out, and `theirs`.
    fn new(base: &str, ours: &str, theirs: &str, by_sentence: bool) -> Self {
        let it = Self {
            folder: TempDir::new().unwrap(),
        };
        let root = it.folder.path();
        done(root, &["init", "-q", "-b", "ours"]);
        if by_sentence {
            let driver = format!(
                "'{}' merge %O %A %B --path %P",
                env!("CARGO_BIN_EXE_oaktag")
            );
            done(root, &["config", "merge.oaktag.driver", &driver]);
            fs::write(root.join(".gitattributes"), "*.draft merge=oaktag\n").unwrap();
        }
        fs::create_dir(root.join("shirts and skirts")).unwrap();
        it.commit(base);
        done(root, &["checkout", "-q", "-b", "theirs"]);
        it.commit(theirs);
        done(root, &["checkout", "-q", "ours"]);
        it.commit(ours);
        it
    }

    fn file(&self) -> std::path::PathBuf {
        self.folder.path().join("shirts and skirts/back.draft")
    }

    fn commit(&self, text: &str) {
        fs::write(self.file(), text).unwrap();
        done(self.folder.path(), &["add", "-A"]);
        done(
            self.folder.path(),
            &["commit", "-q", "--allow-empty", "-m", "A step"],
        );
    }

    /// Whether git merged it, what it said, and what then lies in the folder.
    fn merged(&self) -> (bool, String, String) {
        let out = git(self.folder.path(), &["merge", "-q", "-m", "Both", "theirs"]);
        let said = [out.stdout, out.stderr].concat();
        (
            out.status.success(),
            String::from_utf8(said).unwrap(),
            fs::read_to_string(self.file()).unwrap(),
        )
    }
}

const BACK: &str = "draft \"Back\"
unit cm

choose ease = 10cm between 2cm and 20cm \"all round\"
choose long = 42cm between 30cm and 60cm \"centre back\"

panel back {
  line upper = from origin toward right for 24cm + ease / 4
  line side = from end of upper toward down for long
  line hem = from end of side toward left for 24cm + ease / 4
  line centre = from end of hem to origin
}

piece back \"Back\" {
  outline upper, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish upper, side, hem \"bound\"
}
";

fn both(
    ours: &[(&str, &str)],
    theirs: &[(&str, &str)],
    by_sentence: bool,
) -> (bool, String, String) {
    let put = |edits: &[(&str, &str)]| {
        edits.iter().fold(BACK.to_owned(), |text, (old, new)| {
            assert!(text.contains(old), "{old}");
            text.replace(old, new)
        })
    };
    Merges::new(BACK, &put(ours), &put(theirs), by_sentence).merged()
}

#[test]
fn neighbouring_sentences_do_not_clash() {
    let (ours, theirs) = (
        [("ease = 10cm", "ease = 12cm")],
        [("long = 42cm", "long = 44cm")],
    );
    let (is_merged, said, text) = both(&ours, &theirs, true);
    assert!(is_merged, "{said}");
    assert!(
        text.contains("ease = 12cm") && text.contains("long = 44cm"),
        "{text}"
    );
    assert_eq!(tidy(&text).text, text);
    // By lines they do.
    assert!(!both(&ours, &theirs, false).0);
}

#[test]
fn one_sentence_changed_twice_is_told_in_the_figures_of_both() {
    let (is_merged, said, text) = both(
        &[("ease = 10cm", "ease = 12cm")],
        &[("ease = 10cm", "ease = 9cm"), ("allow 1cm", "allow 15mm")],
        true,
    );
    assert!(!is_merged);
    let line = "back.draft, line 4: both versions change `ease`: 12 cm in ours, 9 cm in theirs, 10 cm before.";
    assert!(said.contains(line), "{said}");
    let marks = "<<<<<<< ours\nchoose ease = 12cm between 2cm and 20cm \"all round\"\n=======\nchoose ease = 9cm between 2cm and 20cm \"all round\"\n>>>>>>> theirs\n";
    assert!(
        text.contains(marks) && text.contains("allow 15mm"),
        "{text}"
    );
}

#[test]
fn what_reads_well_and_means_what_neither_meant_is_told() {
    // By lines each of these merges without a word.
    type Edits<'a> = &'a [(&'a str, &'a str)];
    let clashes: [(Edits<'_>, Edits<'_>, &str); 4] = [
        (
            &[("upper", "top")],
            &[("  allow 1cm\n", "  allow 1cm\n  mark upper \"stitch\"\n")],
            "reads `upper`, which the other version takes out or calls otherwise",
        ),
        (
            &[("unit cm\n", "unit cm\nlength more = 3cm\n")],
            &[("\"centre back\"\n", "\"centre back\"\nlength more = 4cm\n")],
            "both versions add `more`: 3 cm in ours, 4 cm in theirs",
        ),
        (
            &[(
                "  line side",
                "  redraw upper = from origin toward right for 30cm\n  line side",
            )],
            &[(
                "  line centre = from end of hem to origin\n",
                "  line centre = from end of hem to origin\n  length wide = length of upper\n",
            )],
            "of theirs reads `upper`: there it is `line upper = from origin toward right for 24cm + ease / 4`",
        ),
        (
            &[(
                "  cut 1 on fold at centre\n",
                "  cut 1 on fold at centre\n  allow 2cm on hem\n",
            )],
            &[("  allow 1cm\n", "  allow 1cm\n  allow 3cm on hem\n")],
            "both versions say something of one thing: `allow 2cm on hem` in ours, `allow 3cm on hem` in theirs",
        ),
    ];
    for (ours, theirs, told) in clashes {
        let (is_merged, said, text) = both(ours, theirs, true);
        assert!(!is_merged, "{text}");
        assert!(said.contains(told), "{said}");
        assert!(text.contains("<<<<<<< ours\n"), "{text}");
    }
}

#[test]
fn an_error_that_neither_version_has_is_told() {
    let (is_merged, said, text) = both(
        &[("between 2cm and 20cm", "between 2cm and 11cm")],
        &[
            (
                "panel back {\n",
                "require \"the ease must be more than a tenth of the length\" that ease > long / 4\n\npanel back {\n",
            ),
            ("ease = 10cm", "ease = 10cm"),
        ],
        true,
    );
    // The requirement fails in theirs already, so that it is theirs to mend, and no clash.
    assert!(is_merged, "{said}\n{text}");
    assert!(
        said.contains("has the errors that its versions had"),
        "{said}"
    );
    let (is_merged, said, _) = both(
        &[("ease = 10cm", "ease = 4cm")],
        &[(
            "panel back {\n",
            "require \"the ease must be more than a tenth of the length\" that ease > long / 10\n\npanel back {\n",
        )],
        true,
    );
    assert!(!is_merged);
    assert!(
        said.contains("Neither ours nor theirs has this error. No mark stands in the text"),
        "{said}"
    );
}

#[test]
fn what_cannot_be_read_is_merged_by_lines() {
    let (is_merged, said, text) = both(
        &[("line hem = from end", "line hem = from from end")],
        &[("allow 1cm", "allow 15mm")],
        true,
    );
    assert!(is_merged, "{said}");
    assert!(
        said.contains("merged by lines, since ours cannot be read (line 10:"),
        "{said}"
    );
    assert!(
        text.contains("from from end") && text.contains("allow 15mm"),
        "{text}"
    );
}

#[test]
fn comments_and_blank_lines_stay_with_their_sentence() {
    let (is_merged, said, text) = both(
        &[("choose long", "# for the crew\nchoose long")],
        &[
            ("long = 42cm", "long = 44cm"),
            ("  allow 1cm\n", "  allow 1cm # all round\n"),
        ],
        true,
    );
    assert!(is_merged, "{said}");
    assert!(
        text.contains("# for the crew\nchoose long = 44cm"),
        "{text}"
    );
    assert!(text.contains("  allow 1cm # all round\n"), "{text}");
}

#[test]
fn the_command_line_says_what_it_cannot_do() {
    let folder = TempDir::new().unwrap();
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let (base, ours) = (
        put("base.draft", BACK),
        put("ours.draft", &BACK.replace("10cm", "12cm")),
    );
    let theirs = put(
        "theirs.draft",
        &BACK.replace("42cm", "44cm").replace('\n', "\r\n"),
    );
    let run = |arguments: &[&str]| {
        let out = Command::new(env!("CARGO_BIN_EXE_oaktag"))
            .arg("merge")
            .args(arguments)
            .output()
            .unwrap();
        (
            out.status.code().unwrap(),
            String::from_utf8(out.stdout).unwrap(),
            String::from_utf8(out.stderr).unwrap(),
        )
    };
    let (status, out, err) = run(&[&base, &ours, &theirs, "--print"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    assert!(
        out.contains("ease = 12cm") && out.contains("long = 44cm"),
        "{out}"
    );
    assert_eq!(
        fs::read_to_string(&ours).unwrap(),
        BACK.replace("10cm", "12cm"),
        "left as it is"
    );
    // The ends of lines are those of ours.
    let (status, out, _) = run(&[&base, &theirs, &ours, "--print"]);
    assert!(
        status == 0
            && out.contains("ease = 12cm")
            && out.lines().count() == out.matches("\r\n").count()
    );
    let (status, _, err) = run(&[&base, &ours, &format!("{theirs}.gone")]);
    assert!(status == 3 && err.contains("cannot be read"), "{err}");
}

/// Chance edits of a draft on two branches: what git merges holds every sentence of both, and is as right as they are.
#[test]
fn chance_edits_are_merged_by_git() {
    let path = format!("{}/examples/deck-vest.draft", env!("CARGO_MANIFEST_DIR"));
    let base = tidy(&fs::read_to_string(path).unwrap()).text;
    let is_right = |text: &str| {
        let project = Project::load("back.draft", text, &NoFiles, &library::module);
        !draft::make(&project, &Inputs::default()).has_errors()
    };
    let [mut clean, mut clashed, mut by_lines] = [0_u64; 3];
    for seed in 0..PAIRS {
        let mut chance = Chance::new(7_000 + seed);
        let near = (seed % 3 > 0).then(|| chance.within(0.05, 0.95));
        let mut side = |mark: &str| {
            let changed = edit(&base, &mut chance, mark, near)?;
            (is_right(&changed) && changed != base).then(|| tidy(&changed).text)
        };
        let (Some(ours), Some(theirs)) = (side("mine"), side("other")) else {
            continue;
        };
        by_lines += u64::from(!Merges::new(&base, &ours, &theirs, false).merged().0);
        let (is_merged, said, text) = Merges::new(&base, &ours, &theirs, true).merged();
        let marks = ["<<<<<<<", "=======", ">>>>>>>"];
        let lines = text.lines();
        let lines = lines.filter(|line| !marks.iter().any(|mark| line.starts_with(mark)));
        let both: String = lines.map(|line| format!("{line}\n")).collect();
        let [b, o, t, m] = [&base, &ours, &theirs, &both].map(|text| sentences(text));
        for (words, count) in o.iter().chain(&t) {
            let is_new = b.get(words).is_none_or(|was| was < count);
            assert!(
                !is_new || m.contains_key(words),
                "{seed}: {words} is lost\n{text}"
            );
        }
        if is_merged {
            clean += 1;
            assert!(is_right(&text), "{seed}: {text}");
            assert_eq!(tidy(&text).text, text, "{seed}");
        } else {
            clashed += 1;
            assert!(said.contains("back.draft"), "{seed}: {said}");
        }
    }
    println!("{clean} merged by git, {clashed} to be settled; by lines {by_lines} clash.");
    assert!(clean > 0);
}
