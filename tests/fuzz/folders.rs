//! Subjects that are more than one text: a table with the journal of a batch over it, and a folder `.git` of ordinary files.

use crate::chance::Chance;
use oaktag::cli::git::{Repository, Tree};
use oaktag_language::draft::bodies::Table;
use oaktag_language::library;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_studio::sizes::journal;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// Any table with any journal, parted by the first byte that no text holds: what is kept of the journal goes with the table, and
/// the journal that is then written can be cut off anywhere and goes on.
pub fn batch(data: &[u8]) {
    const DRAFT: &str = "draft \"Batch\"\nunit cm\nbody bust_girth = 92cm between 60cm and 150cm\npoint a = origin right bust_girth\n";
    let mut parts = data.splitn(2, |byte| *byte == 0xff);
    let (table, rest) = (
        parts.next().unwrap_or_default(),
        parts.next().unwrap_or_default(),
    );
    let Ok(text) = std::str::from_utf8(table) else {
        return;
    };
    let mut project = Project::load("fuzz.draft", DRAFT, &NoFiles, &library::module);
    let checked = oaktag_language::check::check(&project);
    let file = project.sources.add("bodies.csv", text);
    let Ok(table) = Table::read(&project.sources, file, &checked.program) else {
        return;
    };
    let name = |number| (number < table.len()).then(|| table.name(number));
    let mark = journal::mark_of(&project.sources, &[]);
    let heading = journal::heading(&mark);
    for whole in [rest.to_vec(), [heading.as_bytes(), rest].concat()] {
        let Ok(kept) = journal::read(&whole, &mark, name) else {
            continue;
        };
        assert!(kept.answers.len() <= table.len() && kept.bytes <= whole.len());
        for (number, answer) in kept.answers.iter().enumerate() {
            assert_eq!(Some(&answer.name), name(number).as_ref());
        }
        let lines: String = kept
            .answers
            .iter()
            .map(|answer| answer.json_line())
            .collect();
        let again = heading.clone() + &lines;
        for cut in [
            0,
            1,
            heading.len() - 1,
            heading.len(),
            again.len() / 2,
            again.len(),
        ] {
            let read = journal::read(&again.as_bytes()[..cut], &mark, name);
            assert!(
                read.is_ok_and(|kept| kept.bytes <= cut),
                "cut at {cut}: {again}"
            );
        }
    }
}

/// What a hostile hand writes into a configuration, `RAN` being a command that leaves a file.
const LINES: [&str; 10] = [
    "[core]\n\tfsmonitor = RAN\n",
    "[core]\n\tpager = RAN\n\teditor = RAN\n\tsshCommand = RAN\n",
    "[log]\n\tshowSignature = true\n[gpg]\n\tprogram = RAN\n",
    "[core]\n\trepositoryformatversion = 1\n[extensions]\n\tpartialClone = o\n[remote \"o\"]\n\tpromisor = true\n\turl = \"ext::RAN\"\n\tuploadpack = RAN\n[protocol \"ext\"]\n\tallow = always\n",
    "[diff]\n\texternal = RAN\n[diff \"d\"]\n\tcommand = RAN\n\ttextconv = RAN\n",
    "[alias]\n\tlog = !RAN\n\tls-tree = !RAN\n",
    "[core]\n\thooksPath = ..\n\tworktree = /\n\tbare = true\n",
    "[include]\n\tpath = ../block.draft\n",
    "[log]\n\tshowRoot = false\n[i18n]\n\tlogOutputEncoding = utf-16\n",
    "[filter \"d\"]\n\tclean = RAN\n\tsmudge = RAN\n\tprocess = RAN\n\trequired = true\n",
];

/// The repository that is damaged: two revisions of a draft and what it imports.
fn sound() -> &'static Path {
    static MADE: OnceLock<PathBuf> = OnceLock::new();
    MADE.get_or_init(|| {
        let root = tempfile::tempdir().unwrap().keep();
        let git = |words: &[&str]| {
            let mut command = Command::new("git");
            command.args([
                "-c",
                "user.name=Cutter",
                "-c",
                "user.email=cutter@ferries.invalid",
            ]);
            command
                .args(["-c", "commit.gpgsign=false"])
                .args(words)
                .current_dir(&root);
            command
                .env("GIT_CONFIG_GLOBAL", "/dev/null")
                .env("GIT_CONFIG_SYSTEM", "/dev/null");
            assert!(command.output().unwrap().status.success(), "{words:?}");
        };
        git(&["init", "-q", "--template="]);
        std::fs::write(root.join(".gitattributes"), "* diff=d filter=d\n").unwrap();
        for wide in ["24cm", "25cm"] {
            std::fs::write(
                root.join("back.draft"),
                format!("point p = origin right {wide}\n"),
            )
            .unwrap();
            git(&["add", "-A"]);
            git(&["commit", "-q", "-m", wide]);
        }
        root
    })
}

/// A folder `.git` of ordinary files, some of them damaged: it is read or refused in words, and no command of it is run.
pub fn git_folder(data: &[u8]) {
    let mut chance = Chance::of_bytes(data.to_vec());
    let folder = tempfile::tempdir().unwrap();
    let (root, ran) = (folder.path().join("r"), folder.path().join("ran"));
    copy(sound(), &root);
    let mut files = Vec::new();
    list(&root.join(".git"), &mut files);
    files.sort();
    let config = root.join(".git/config");
    for _ in 0..chance.below(4) {
        let mut text = std::fs::read(&config).unwrap();
        let touch = format!("\"touch '{}'; false\"", ran.display());
        text.extend(
            chance
                .one_of(&LINES)
                .replace("\"ext::RAN\"", "\"ext::sh -c touch% RAN\"")
                .replace("RAN", &touch)
                .bytes(),
        );
        std::fs::write(&config, text).unwrap();
    }
    for _ in 0..chance.below(6) {
        let file = chance.one_of(&files).clone();
        let mut bytes = std::fs::read(&file).unwrap_or_default();
        let at = chance.below(bytes.len() + 1);
        match chance.below(4) {
            0 => bytes.truncate(at),
            1 => bytes.insert(at, u8::try_from(chance.below(256)).unwrap()),
            2 => bytes
                .iter_mut()
                .skip(at)
                .take(1)
                .for_each(|byte| *byte ^= 0x21),
            _ => {
                let _ = std::fs::remove_file(&file);
                continue;
            }
        }
        // Git makes its objects read-only.
        let _ = std::fs::remove_file(&file);
        std::fs::write(&file, bytes).unwrap();
    }
    let draft = root.join("back.draft");
    if let Ok(repository) = Repository::of(&draft) {
        let told = |why: &String| assert!(!why.trim().is_empty());
        let _ = repository.followed("back.draft").inspect_err(told);
        let _ = repository.log(&["back.draft".to_owned()]).inspect_err(told);
        let _ = repository.read(&Tree::Index, "back.draft");
        if let Ok(hash) = repository.commit("HEAD") {
            let _ = repository.read(&Tree::Commit(hash), "back.draft");
        }
        let (old, new) = ("0".repeat(40), "1".repeat(40));
        let _ = repository.trees_of("back.draft", &old, &new);
    }
    assert!(!ran.exists(), "a command was run");
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let (path, target) = entry.map(|e| (e.path(), to.join(e.file_name()))).unwrap();
        if path.is_dir() {
            copy(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

fn list(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            list(&path, files);
        } else {
            files.push(path);
        }
    }
}
