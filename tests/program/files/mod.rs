//! Files: whatever happens to a run, its result is the old file or the new one, whole; nothing outside the folder is read or
//! written; and no letter of a draft or a table becomes more than a letter in what is written.

mod body_names;
mod broken_off;
#[cfg(target_os = "linux")]
mod full;
mod letters;
#[cfg(unix)]
mod outside;
#[cfg(unix)]
mod targets;

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// A draft of one piece for a body.
const SQUARE: &str = "draft \"Square\"\nunit cm\nbody girth = 80cm between 40cm and 160cm\npanel back {\n  point b = origin right girth / 4\n  point c = origin down 30cm\n  line top = from origin to b\n  line slant = from b to c\n  line centre = from c to origin\n}\npiece back \"Back\" {\n  outline top, slant, centre\n  cut 1 from main\n  grain along centre\n  allow 1cm\n  finish top, slant, centre \"bound\"\n}\n";

struct Said {
    status: Option<i32>,
    out: String,
    err: String,
}

impl Said {
    fn of(output: Output) -> Self {
        Self {
            status: output.status.code(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }
}

/// A folder with the draft `square.draft` in it.
struct Folder(TempDir);

impl Folder {
    fn new() -> Self {
        let folder = Self(tempfile::tempdir().unwrap());
        folder.put("square.draft", SQUARE);
        folder
    }

    fn at(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn put(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.at(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.at(name)).unwrap()
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_oaktag"));
        command
            .args(arguments)
            .current_dir(self.0.path())
            .stdin(Stdio::null());
        command
    }

    fn oaktag(&self, arguments: &[&str]) -> Said {
        Said::of(self.command(arguments).output().unwrap())
    }

    /// Runs it on a text from standard input, and does something before that text is there.
    #[cfg(unix)]
    fn oaktag_fed(&self, arguments: &[&str], text: &str, before: impl FnOnce()) -> Said {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        before();
        let mut input = child.stdin.take().unwrap();
        input.write_all(text.as_bytes()).unwrap();
        drop(input);
        Said::of(child.wait_with_output().unwrap())
    }

    /// Every file below it, by its path.
    fn files(&self) -> BTreeMap<String, Vec<u8>> {
        let mut found = BTreeMap::new();
        gather(self.0.path(), self.0.path(), &mut found);
        found
    }

    fn names(&self) -> Vec<String> {
        self.files().into_keys().collect()
    }

    /// How many files are there that a run has begun and not finished.
    fn unfinished(&self) -> usize {
        let names = self.names().into_iter();
        names.filter(|name| name.contains(".oaktag-")).count()
    }
}

fn gather(root: &Path, folder: &Path, found: &mut BTreeMap<String, Vec<u8>>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() && !path.is_symlink() {
            gather(root, &path, found);
        } else {
            let name = path.strip_prefix(root).unwrap().to_string_lossy();
            let bytes = if path.is_file() {
                std::fs::read(&path).unwrap()
            } else {
                Vec::new()
            };
            found.insert(name.into_owned(), bytes);
        }
    }
}
