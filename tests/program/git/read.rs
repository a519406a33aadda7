//! The draft's own repository is the one that is read, from any folder and whatever anybody's settings say.

use super::repository::{Repository, another_git, git_in};
use std::fs;
use std::path::Path;

fn log(it: &Repository, from: &Path, file: &str, around: &[(&str, &str)]) -> String {
    let said = it.oaktag(from, &["compare", "--log", file], around);
    assert_eq!(
        (said.status, said.err.as_str()),
        (Some(0), ""),
        "{}",
        said.out
    );
    said.out
}

#[test]
fn the_log_is_the_same_from_any_folder() {
    let it = Repository::new();
    let from_root = log(&it, &it.root(), "shirts/back.draft", &[]);
    assert!(!from_root.contains("Cannot be drawn"), "{from_root}");
    assert_eq!(
        from_root
            .lines()
            .filter(|line| !line.starts_with(' '))
            .count(),
        3,
        "{from_root}"
    );
    let other = Repository::new();
    other.commit_nothing("Another one");
    let full = it.root().join("shirts/back.draft").display().to_string();
    for (from, file) in [
        (it.outside().to_owned(), "ferries/shirts/back.draft"),
        (it.root().join("shirts"), "back.draft"),
        (other.root(), full.as_str()),
        (other.root().join("shirts"), full.as_str()),
        (it.root().join(".git"), "../shirts/back.draft"),
    ] {
        assert_eq!(log(&it, &from, file, &[]), from_root, "{}", from.display());
    }
    // What git tells its children of another repository is not listened to.
    let git_dir = other.root().join(".git").display().to_string();
    let around = [
        ("GIT_DIR", git_dir.as_str()),
        ("GIT_WORK_TREE", "/"),
        ("GIT_INDEX_FILE", "/nowhere"),
    ];
    assert_eq!(
        log(&it, &it.root(), "shirts/back.draft", &around),
        from_root
    );
}

#[test]
fn a_revision_is_of_the_repository_around_the_file() {
    let it = Repository::new();
    let other = Repository::new();
    let full = it.root().join("shirts/back.draft").display().to_string();
    let typed = format!("HEAD~1:{full}");
    let said = it.oaktag(&other.root(), &["compare", &typed, &full], &[]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert!(
        said.out.contains("+ point p = origin right 25cm"),
        "{}",
        said.out
    );
    // A folder that was there once is looked for from here.
    it.git(&["mv", "shirts", "crew"]);
    it.commit("Call it the crew's");
    let said = it.oaktag(
        &it.root(),
        &[
            "compare",
            "HEAD~1:shirts/back.draft",
            "HEAD:crew/back.draft",
        ],
        &[],
    );
    assert_eq!(said.status, Some(0), "{}", said.err);
}

#[test]
fn settings_do_not_change_what_is_read() {
    let it = Repository::new();
    let before = log(&it, &it.root(), "shirts/back.draft", &[]);
    let settings = "[log]\n\tshowRoot = false\n\tfollow = true\n\tabbrevCommit = true\n\tdate = relative\n\tdecorate = full\n\tdiffMerges = off\n[i18n]\n\tlogOutputEncoding = utf-16\n\tcommitEncoding = latin1\n[diff]\n\torderFile = /nowhere\n\trelative = true\n\trenames = false\n\trenameLimit = 1\n\tnoprefix = true\n\tmnemonicPrefix = true\n\texternal = false\n[core]\n\tabbrev = 39\n\tquotePath = true\n[color]\n\tui = always\n[format]\n\tpretty = fuller\n\tnotes = true\n";
    let home = it.outside().join("home");
    fs::create_dir_all(&home).unwrap();
    fs::write(home.join(".gitconfig"), settings).unwrap();
    let around = [("HOME", home.to_str().unwrap())];
    assert_eq!(log(&it, &it.root(), "shirts/back.draft", &around), before);
    assert_eq!(
        log(&it, &it.root().join("shirts"), "back.draft", &around),
        before
    );
    let config = it.root().join(".git/config");
    let own = fs::read_to_string(&config).unwrap();
    fs::write(&config, own + settings).unwrap();
    assert_eq!(log(&it, &it.root(), "shirts/back.draft", &[]), before);
    assert_eq!(
        log(&it, &it.root().join("shirts"), "back.draft", &[]),
        before
    );
}

#[test]
fn a_linked_working_folder_is_read_as_its_own() {
    let it = Repository::new();
    it.git(&["worktree", "add", "-q", "../second", "HEAD~1"]);
    let second = it.outside().join("second");
    let out = log(&it, &second, "shirts/back.draft", &[]);
    assert_eq!(
        out.lines().filter(|line| !line.starts_with(' ')).count(),
        2,
        "{out}"
    );
}

#[test]
fn odd_revisions_are_refused_before_git_is_called() {
    let it = Repository::new();
    let called = it.command("called");
    let (_folder, path) = another_git(&called);
    let long = "a".repeat(5_000);
    for odd in [
        "^HEAD",
        "HEAD..HEAD~1",
        "HEAD^!",
        "HEAD^@",
        "HEAD^-",
        "HEAD\nmain",
        "-x",
        "--upload-pack=touch RAN",
        &long,
    ] {
        let typed = format!("{odd}:shirts/back.draft");
        let said = it.oaktag(
            &it.root(),
            &["compare", "--", &typed, "shirts/back.draft"],
            &[("PATH", &path)],
        );
        assert_eq!(said.status, Some(3), "{odd}: {}", said.err);
        assert!(said.err.contains("is no revision"), "{odd}: {}", said.err);
        assert_eq!(it.ran(), [""; 0], "{odd}");
    }
    for even in [
        "HEAD",
        "HEAD^",
        "HEAD~1",
        "main@{0}",
        "@{1}",
        "HEAD^{/Call}",
    ] {
        let typed = format!("{even}:shirts/back.draft");
        let said = it.oaktag(&it.root(), &["compare", &typed, "shirts/back.draft"], &[]);
        assert_eq!(said.status, Some(0), "{even}: {}", said.err);
    }
}

#[test]
fn a_folder_named_git_that_is_no_repository_is_told() {
    let it = Repository::new();
    let folder = it.outside().join("plain");
    fs::create_dir_all(folder.join(".git")).unwrap();
    fs::write(folder.join("back.draft"), "point p = origin\n").unwrap();
    let said = it.oaktag(&folder, &["compare", "--log", "back.draft"], &[]);
    assert_eq!(said.status, Some(3));
    assert!(
        said.err.contains("is no git repository that can be read"),
        "{}",
        said.err
    );
    let said = git_in(&folder, &["status"]);
    assert_ne!(said.status, Some(0), "git reads it: {}", said.out);
}
