//! A repository in a folder of its own, beside a folder in which every planted command leaves a file of its name.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

pub const BLOCK: &str = "draft \"Block\"\nlength long = 42cm\n";

/// A draft that imports the block, as wide as that.
pub fn draft(wide: &str) -> String {
    format!(
        "draft \"Back\"\nimport \"block.draft\" as block\npoint p = origin right {wide} down block.long\n"
    )
}

pub struct Said {
    pub status: Option<i32>,
    pub out: String,
    pub err: String,
}

pub struct Repository {
    folder: TempDir,
}

impl Repository {
    /// Three revisions of `shirts/back.draft`, of which the second gave it that name.
    pub fn new() -> Self {
        let it = Self {
            folder: TempDir::new().unwrap(),
        };
        fs::create_dir_all(it.root().join("shirts")).unwrap();
        fs::create_dir_all(it.ran_folder()).unwrap();
        it.git(&["init", "-q", "-b", "main"]);
        it.put("shirts/block.draft", BLOCK);
        it.put("shirts/half.draft", &draft("24cm"));
        it.commit("Draft the back");
        it.git(&["mv", "shirts/half.draft", "shirts/back.draft"]);
        it.commit("Call it the back");
        it.put("shirts/back.draft", &draft("25cm"));
        it.commit("Widen it");
        it
    }

    pub fn root(&self) -> PathBuf {
        self.folder.path().join("ferries")
    }

    /// The folder that the repository lies in.
    pub fn outside(&self) -> &Path {
        self.folder.path()
    }

    fn ran_folder(&self) -> PathBuf {
        self.folder.path().join("ran")
    }

    /// A command that leaves a file of that name when it is run, and fails.
    pub fn command(&self, name: &str) -> String {
        let name: String = name
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() || c == '-' {
                    c
                } else {
                    '_'
                }
            })
            .collect();
        let path = self.folder.path().join(format!("run-{name}"));
        let touched = self.ran_folder().join(&name);
        executable(
            &path,
            &format!("#!/bin/sh\n: > '{}'\nexit 1\n", touched.display()),
        );
        path.display().to_string()
    }

    /// The names of the commands that were run, which are forgotten.
    pub fn ran(&self) -> Vec<String> {
        let entries = fs::read_dir(self.ran_folder()).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| {
                let path = entry.unwrap().path();
                fs::remove_file(&path).unwrap();
                path.file_name().unwrap().to_string_lossy().into_owned()
            })
            .collect();
        names.sort();
        names
    }

    pub fn put(&self, name: &str, text: &str) {
        let path = self.root().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub fn commit(&self, message: &str) {
        self.git(&["add", "-A", "-f"]);
        self.git(&["commit", "-q", "-m", message]);
    }

    pub fn commit_nothing(&self, message: &str) {
        self.git(&["commit", "-q", "--allow-empty", "-m", message]);
    }

    pub fn git(&self, arguments: &[&str]) -> String {
        let said = git_in(&self.root(), arguments);
        assert_eq!(said.status, Some(0), "git {arguments:?}: {}", said.err);
        said.out
    }

    /// Adds to the repository's own configuration.
    pub fn configure(&self, key: &str, value: &str) {
        let file = self.root().join(".git/config");
        self.git(&[
            "config",
            "--file",
            file.to_str().unwrap(),
            "--add",
            key,
            value,
        ]);
    }

    pub fn oaktag(&self, from: &Path, arguments: &[&str], surroundings: &[(&str, &str)]) -> Said {
        let mut command = Command::new(env!("CARGO_BIN_EXE_oaktag"));
        command.args(arguments).current_dir(from);
        command.envs(surroundings.iter().copied());
        said(command)
    }

    /// What every way of asking for revisions says, from the folder and from outside.
    pub fn everything(&self) -> Vec<Said> {
        let root = self.root();
        let shirts = root.join("shirts");
        let ask = |from: &Path, words: &[&str]| self.oaktag(from, words, &[]);
        let mut all = vec![
            ask(&root, &["compare", "--log", "shirts/back.draft"]),
            ask(&shirts, &["compare", "--log", "back.draft"]),
            ask(
                self.outside(),
                &["compare", "--log", "ferries/shirts/back.draft"],
            ),
            ask(
                &root,
                &[
                    "compare",
                    "HEAD~1:shirts/back.draft",
                    "HEAD:shirts/back.draft",
                ],
            ),
            ask(
                self.outside(),
                &[
                    "compare",
                    "HEAD:ferries/shirts/back.draft",
                    "ferries/shirts/back.draft",
                ],
            ),
        ];
        // As git's external diff, with one side of the index and one of the folder.
        let (old, new) = (
            self.outside().join("old.draft"),
            self.outside().join("new.draft"),
        );
        fs::write(&old, draft("24cm")).unwrap();
        fs::write(&new, draft("26cm")).unwrap();
        let (old, new) = (old.to_str().unwrap(), new.to_str().unwrap());
        let hex = "1".repeat(40);
        let words = [
            "compare",
            "shirts/back.draft",
            old,
            &hex,
            "100644",
            new,
            &hex,
            "100644",
        ];
        all.push(ask(&root, &words));
        all
    }

    /// Every file of the repository, the folder `.git` among them.
    pub fn files(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let mut found = BTreeMap::new();
        gather(&self.root(), &mut found);
        found
    }
}

fn gather(folder: &Path, found: &mut BTreeMap<PathBuf, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, found);
        } else {
            let bytes = fs::read(&path).unwrap();
            found.insert(path, bytes);
        }
    }
}

pub fn executable(path: &Path, text: &str) {
    fs::write(path, text).unwrap();
    fs::set_permissions(path, fs::Permissions::from_mode(0o755)).unwrap();
}

/// Git as anybody calls it, with what the repository says.
pub fn git_in(folder: &Path, arguments: &[&str]) -> Said {
    let mut command = Command::new("git");
    command
        .args([
            "-c",
            "user.name=Cutter",
            "-c",
            "user.email=cutter@ferries.invalid",
        ])
        .args(["-c", "commit.gpgsign=false"])
        .args(arguments)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_SYSTEM", "/dev/null")
        .env("GIT_TERMINAL_PROMPT", "0");
    // `init` makes the folder it is said in.
    if fs::create_dir_all(folder).is_ok() {
        command.current_dir(folder);
    }
    said(command)
}

fn said(mut command: Command) -> Said {
    let output = command.stdin(Stdio::null()).output().unwrap();
    Said {
        status: output.status.code(),
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// A folder with a program `git` in it that is that shell script, to be put before all others.
pub fn another_git(script: &str) -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    executable(
        &folder.path().join("git"),
        &format!("#!/bin/sh\n{script}\n"),
    );
    let path = format!(
        "{}:{}",
        folder.path().display(),
        std::env::var("PATH").unwrap()
    );
    (folder, path)
}

/// Where the git of this machine lies.
pub fn this_git() -> String {
    let path = std::env::var_os("PATH").unwrap();
    let found = std::env::split_paths(&path).map(|folder| folder.join("git"));
    let found = found.into_iter().find(|git| git.is_file()).unwrap();
    found.display().to_string()
}
