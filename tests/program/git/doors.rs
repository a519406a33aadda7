//! A command behind every door: whatever a repository's settings, attributes, hooks and objects say, it is not run.

use super::list::{FIXED, NAMED, instead};
use super::repository::{Repository, another_git, draft, executable, git_in, this_git};
use std::fs;

/// What a hostile hand would write for a key in whose place that value is put: the opposite of a switch, or a command.
fn hostile(repository: &Repository, key: &str, harmless: &str) -> String {
    let command = || repository.command(key);
    match (key, harmless) {
        ("core.fsmonitor", _) => command(),
        ("core.hooksPath", _) => repository.outside().join("hooks").display().to_string(),
        ("core.quotePath", _) | (_, "never") if key != "color.ui" => if harmless == "never" {
            "always"
        } else {
            "true"
        }
        .to_owned(),
        ("color.ui", _) => "always".to_owned(),
        (_, "true") => "false".to_owned(),
        (_, "false") if !key.starts_with("pager.") => "true".to_owned(),
        (_, "auto") => "9".to_owned(),
        (_, "UTF-8") => "UTF-16".to_owned(),
        (_, value) if value.parse::<u32>().is_ok() => "1".to_owned(),
        _ => command(),
    }
}

/// The hooks that githooks(5) tells of.
const HOOKS: [&str; 14] = [
    "fsmonitor-watchman",
    "post-checkout",
    "post-commit",
    "post-index-change",
    "post-merge",
    "post-rewrite",
    "pre-auto-gc",
    "pre-commit",
    "pre-push",
    "pre-rebase",
    "proc-receive",
    "push-to-checkout",
    "reference-transaction",
    "update",
];

/// A repository that has a command behind each door, whose newest revision is signed.
fn with_every_door() -> Repository {
    let it = Repository::new();
    it.put(".gitattributes", "* diff=evil filter=evil merge=evil\n");
    it.commit("Attributes");
    let signed = it.git(&["cat-file", "commit", "HEAD"]).replacen(
        "\n\n",
        "\ngpgsig -----BEGIN PGP SIGNATURE-----\n \n iQ\n -----END PGP SIGNATURE-----\n\n",
        1,
    );
    fs::write(it.outside().join("signed"), signed).unwrap();
    let path = it.outside().join("signed").display().to_string();
    let hash = it.git(&["hash-object", "-t", "commit", "-w", &path]);
    it.git(&["update-ref", "refs/heads/main", hash.trim()]);
    for folder in [it.outside().join("hooks"), it.root().join(".git/hooks")] {
        fs::create_dir_all(&folder).unwrap();
        for hook in HOOKS {
            let command = it.command(&format!("hook-{hook}"));
            executable(&folder.join(hook), &fs::read_to_string(command).unwrap());
        }
    }
    for (key, harmless) in FIXED {
        it.configure(key, &hostile(&it, key, harmless));
    }
    for (section, last, harmless) in NAMED {
        let key = match last {
            "*" => format!("{section}.log"),
            _ => format!("{section}.evil.{last}"),
        };
        let command = hostile(&it, &key, harmless);
        let value = match (section, last) {
            ("alias", _) | ("submodule", _) => format!("!{command}"),
            ("remote", "url" | "pushurl") => format!("ext::{command}"),
            _ => command,
        };
        it.configure(&key, &value);
    }
    it
}

/// The commands that git itself runs there when a person reads the log, which shows that they are live.
fn run_by_git(it: &Repository) -> Vec<String> {
    let root = it.root();
    git_in(&root, &["-c", "core.fsmonitorHookVersion=1", "status"]);
    git_in(&root, &["log", "-1", "--show-signature"]);
    // Its filters would end it before it comes to the difference.
    let unfiltered = ["-c", "filter.evil.process=", "-c", "filter.evil.smudge="];
    for way in ["--no-ext-diff", "--ext-diff"] {
        git_in(&root, &[&unfiltered[..], &["log", "-p", way]].concat());
    }
    it.ran()
}

#[test]
fn no_command_of_a_repository_is_run() {
    let it = with_every_door();
    let live = run_by_git(&it);
    for door in [
        "core_fsmonitor",
        "gpg",
        "diff_evil_textconv",
        "diff_evil_command",
    ] {
        assert!(
            live.iter().any(|ran| ran.starts_with(door)),
            "{door}: {live:?}"
        );
    }
    let before = it.files();
    for said in it.everything() {
        assert_eq!(said.status, Some(0), "{} {}", said.out, said.err);
        assert_eq!(it.ran(), [""; 0], "{} {}", said.out, said.err);
    }
    assert!(it.files() == before, "something of it was written");
}

/// Each alone, so that none stands in another's way.
#[test]
fn no_door_alone_is_open_either() {
    let it = Repository::new();
    let path = it.root().join(".git/config");
    let plain = fs::read_to_string(&path).unwrap();
    let named = NAMED.map(|(section, last, harmless)| (format!("{section}.evil.{last}"), harmless));
    let fixed = FIXED.map(|(key, harmless)| (key.to_owned(), harmless));
    for (key, harmless) in fixed.into_iter().chain(named) {
        let key = key.replace("evil.*", "log");
        fs::write(&path, &plain).unwrap();
        it.configure(&key, &hostile(&it, &key, harmless));
        let said = it.oaktag(&it.root(), &["compare", "--log", "shirts/back.draft"], &[]);
        assert_eq!(said.status, Some(0), "{key}: {}", said.err);
        assert_eq!(it.ran(), [""; 0], "{key}");
    }
}

/// A folder of ordinary files that looks like the inside of a repository, whose missing text would be fetched by a command.
#[test]
fn a_clone_that_brings_a_repository_along_as_files_is_read_from_its_own() {
    let inner = Repository::new();
    inner.git(&["tag", "inner", "HEAD~1"]);
    forget(&inner, "HEAD~1:shirts/back.draft");
    let it = Repository::new();
    it.put(
        "pattern/back.draft",
        &draft("24cm")
            .replace("import \"block.draft\" as block\n", "")
            .replace(" down block.long", ""),
    );
    let copied = std::process::Command::new("cp")
        .args(["-r", "objects", "refs", "HEAD"])
        .arg(it.root().join("pattern"))
        .current_dir(inner.root().join(".git"))
        .status();
    assert!(copied.unwrap().success());
    let fetch = it.command("fetched");
    it.put(
        "pattern/config",
        &format!("[core]\n\trepositoryformatversion = 1\n\tbare = false\n\tworktree = .\n\tfsmonitor = {fetch}\n[extensions]\n\tpartialClone = origin\n[remote \"origin\"]\n\tpromisor = true\n\turl = \"ext::{fetch}\"\n[protocol \"ext\"]\n\tallow = always\n"),
    );
    it.commit("A pattern");
    let cloned = it.outside().join("cloned");
    let said = git_in(it.outside(), &["clone", "-q", "ferries", "cloned"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let pattern = cloned.join("pattern");
    git_in(&pattern, &["cat-file", "blob", "HEAD~1:shirts/back.draft"]);
    assert_eq!(it.ran(), ["fetched"], "the command is live");
    for (from, words) in [
        (&cloned, vec!["compare", "--log", "pattern/back.draft"]),
        (&pattern, vec!["compare", "--log", "back.draft"]),
        (
            &cloned,
            vec!["compare", "HEAD:pattern/back.draft", "pattern/back.draft"],
        ),
        (&pattern, vec!["compare", "HEAD:back.draft", "back.draft"]),
    ] {
        let said = it.oaktag(from, &words, &[]);
        assert_eq!(said.status, Some(0), "{words:?} {}", said.err);
        assert_eq!(it.ran(), [""; 0], "{words:?}");
    }
    // What only the repository inside has is not there.
    let said = it.oaktag(
        &pattern,
        &["compare", "inner:shirts/back.draft", "back.draft"],
        &[],
    );
    assert_eq!(said.status, Some(3), "{}", said.out);
    assert_eq!(it.ran(), [""; 0]);
}

/// Takes an object away as though it had never been fetched.
fn forget(it: &Repository, named: &str) -> String {
    let hash = it.git(&["rev-parse", named]);
    let (folder, name) = hash.trim().split_at(2);
    fs::remove_file(it.root().join(".git/objects").join(folder).join(name)).unwrap();
    hash.trim().to_owned()
}

#[test]
fn what_a_partial_clone_was_promised_is_not_fetched() {
    for promised in ["HEAD~1:shirts/back.draft", "HEAD~1:shirts", "HEAD~1"] {
        let it = Repository::new();
        let hash = forget(&it, promised);
        let fetch = it.command("fetched");
        it.configure("core.repositoryformatversion", "1");
        for (key, value) in [
            ("extensions.partialClone", "evil"),
            ("remote.evil.promisor", "true"),
            ("remote.evil.url", &format!("ext::{fetch}")),
            ("remote.evil.uploadpack", &fetch),
            ("protocol.ext.allow", "always"),
            ("core.sshCommand", &fetch),
        ] {
            it.configure(key, value);
        }
        git_in(&it.root(), &["cat-file", "-p", &hash]);
        assert_eq!(it.ran(), ["fetched"], "the command is live: {promised}");
        let words = ["compare", "--log", "shirts/back.draft"];
        let said = it.oaktag(&it.root(), &words, &[]);
        assert_eq!(it.ran(), [""; 0], "{promised}");
        assert_eq!(
            said.status,
            Some(3),
            "{promised}: {} {}",
            said.out,
            said.err
        );
        assert!(
            said.err.contains("is a partial clone") && said.err.contains("git fetch"),
            "{}",
            said.err
        );
        let words = ["compare", "HEAD~1:shirts/back.draft", "shirts/back.draft"];
        let said = it.oaktag(&it.root(), &words, &[]);
        assert_eq!(it.ran(), [""; 0], "{promised}");
        assert_eq!(
            said.status,
            Some(3),
            "{promised}: {} {}",
            said.out,
            said.err
        );
    }
}

#[test]
fn an_old_git_is_refused_before_it_reads_anything() {
    let it = Repository::new();
    let called = it.command("called");
    let script = format!("case \"$1\" in version) echo 'git version 2.38.1';; *) {called};; esac");
    let (_folder, path) = another_git(&script);
    let words = ["compare", "--log", "shirts/back.draft"];
    let said = it.oaktag(&it.root(), &words, &[("PATH", &path)]);
    assert_eq!(said.status, Some(3), "{}", said.err);
    assert!(
        said.err.contains("version 2.38.1") && said.err.contains("git 2.45 or later"),
        "{}",
        said.err
    );
    assert_eq!(it.ran(), [""; 0]);
}

/// What git refuses a person who stands in the folder it refuses here, too, though the folder is named to it.
#[test]
fn a_repository_of_another_user_is_refused_until_it_is_said_to_be_safe() {
    let it = Repository::new();
    let script = format!(
        "GIT_TEST_ASSUME_DIFFERENT_OWNER=1 exec '{}' \"$@\"",
        this_git()
    );
    let (_folder, path) = another_git(&script);
    let words = ["compare", "--log", "shirts/back.draft"];
    let home = it.outside().join("home");
    fs::create_dir_all(&home).unwrap();
    let around = [("PATH", path.as_str()), ("HOME", home.to_str().unwrap())];
    let said = it.oaktag(&it.root(), &words, &around);
    assert_eq!(said.status, Some(3), "{}", said.out);
    assert!(
        said.err.contains("belongs to another user") && said.err.contains("safe.directory"),
        "{}",
        said.err
    );
    fs::write(home.join(".gitconfig"), "[safe]\n\tdirectory = *\n").unwrap();
    let said = it.oaktag(&it.root(), &words, &around);
    assert_eq!(said.status, Some(0), "{}", said.err);
}

/// Keys of git's own list that run something and are not on ours belong to commands that are never called.
#[test]
fn every_key_of_git_that_runs_something_is_on_the_list() {
    const ENDINGS: [&str; 25] = [
        "cmd",
        "command",
        "program",
        "hook",
        "hookspath",
        "helper",
        "pager",
        "editor",
        "textconv",
        "external",
        "driver",
        "gitproxy",
        "askpass",
        "clean",
        "smudge",
        "process",
        "vcs",
        "uploadpack",
        "receivepack",
        "promisor",
        "insteadof",
        "difffilter",
        "fsmonitor",
        "pushurl",
        "tool",
    ];
    const NEVER_CALLED: [&str; 16] = [
        "browser.",
        "difftool.",
        "guitool.",
        "man.",
        "mergetool.",
        "sendemail.",
        "imap.",
        "instaweb.",
        "help.",
        "web.",
        "merge.tool",
        "merge.guitool",
        "notes.rewrite.",
        "gitcvs.",
        "rerere.",
        "fsck.",
    ];
    const RUNS_NOTHING: [&str; 5] = [
        "advice.",
        "column.clean",
        "receive.",
        "color.pager",
        "receive.shallowUpdate",
    ];
    let listed = git_in(&std::env::temp_dir(), &["help", "--config"]).out;
    let fixed: Vec<String> = FIXED
        .iter()
        .map(|(key, _)| key.to_ascii_lowercase())
        .collect();
    let mut seen = 0;
    for key in listed
        .lines()
        .map(str::trim)
        .filter(|key| key.contains('.') && !key.contains(' '))
    {
        let last = key.rsplit('.').next().unwrap().to_ascii_lowercase();
        let runs = ENDINGS.iter().any(|ending| last.ends_with(ending)) || key.ends_with("<cmd>");
        let left_out = NEVER_CALLED
            .iter()
            .chain(&RUNS_NOTHING)
            .any(|left| key.starts_with(left));
        if !runs || left_out || key.starts_with("fetch.fsck") || last == "cachetextconv" {
            continue;
        }
        seen += 1;
        let is_on_it = fixed.contains(&key.to_ascii_lowercase()) || instead(key).is_some();
        assert!(is_on_it, "{key}");
    }
    assert!(seen > 20, "{seen}: {listed}");
}
