//! Files of a git repository at a revision, asked of the `git` program; nothing of a repository is ever changed.

use super::disk;
use crate::syntax::project::{LARGEST_TEXT, ReadFault, Reader};
use std::ffi::OsStr;
use std::path::{Component, Path, PathBuf};
use std::process::{Command, Stdio};

/// A repository on this machine.
#[derive(Clone, Debug)]
pub struct Repository {
    root: PathBuf,
}

/// One revision of a file in a row of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revision {
    /// The commit's full name.
    pub hash: String,
    /// Its first letters.
    pub short: String,
    /// Its day, as year-month-day.
    pub day: String,
    /// Its first line of message.
    pub subject: String,
}

/// What a file is at a revision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tree {
    /// A commit, by full name.
    Commit(String),
    /// What is staged.
    Index,
}

impl Repository {
    /// The repository around a folder.
    ///
    /// # Errors
    /// In words, where there is none or `git` is not there.
    pub fn around(folder: &Path) -> Result<Self, String> {
        let root = run(folder, ["rev-parse", "--show-toplevel"])
            .map_err(|why| format!("no git repository is found here: {why}"))?;
        let root = PathBuf::from(text(root).trim_end_matches(['\n', '\r']));
        let root = root.canonicalize().map_err(|error| disk::reason(&error))?;
        Ok(Self { root })
    }

    /// A path of this machine as the repository names it.
    ///
    /// # Errors
    /// In words, where it lies outside.
    pub fn path(&self, file: &Path) -> Result<String, String> {
        let here = std::env::current_dir().and_then(|here| here.canonicalize());
        let here = here.map_err(|error| disk::reason(&error))?;
        let mut full = PathBuf::new();
        for part in here.join(file).components() {
            match part {
                Component::ParentDir => drop(full.pop()),
                Component::CurDir => {}
                other => full.push(other),
            }
        }
        // A folder of the path may be a link; a file that is gone cannot be asked.
        let full = match (
            full.parent().and_then(|parent| parent.canonicalize().ok()),
            full.file_name(),
        ) {
            (Some(parent), Some(name)) => parent.join(name),
            _ => full,
        };
        let inside = full
            .strip_prefix(&self.root)
            .map_err(|_| format!("{} lies outside the git repository", file.display()))?;
        let parts: Vec<&str> = inside
            .components()
            .filter_map(|part| part.as_os_str().to_str())
            .collect();
        Ok(parts.join("/"))
    }

    /// The commit a revision means.
    ///
    /// # Errors
    /// In words, where it means none.
    pub fn commit(&self, revision: &str) -> Result<String, String> {
        if revision.is_empty() || revision.starts_with('-') {
            return Err(format!("`{revision}` is no revision"));
        }
        let asked = format!("{revision}^{{commit}}");
        let found = run(
            &self.root,
            [
                "rev-parse",
                "--verify",
                "--quiet",
                "--end-of-options",
                &asked,
            ],
        );
        found
            .map(|out| text(out).trim().to_owned())
            .map_err(|_| format!("the repository has no revision `{revision}`"))
    }

    /// The text of a file.
    ///
    /// # Errors
    /// Where there is no such file, or it is no text.
    pub fn read(&self, tree: &Tree, path: &str) -> Result<String, ReadFault> {
        let none = || ReadFault::Unreadable("there is no such file at that revision".into());
        let listed = match tree {
            Tree::Commit(hash) => run(
                &self.root,
                ["ls-tree", "-z", "--full-tree", hash, "--", path],
            ),
            Tree::Index => run(&self.root, ["ls-files", "-z", "--stage", "--", path]),
        };
        let listed = text(listed.map_err(ReadFault::Unreadable)?);
        let entry = listed
            .split('\0')
            .find(|entry| entry.split_once('\t').is_some_and(|(_, at)| at == path));
        let (about, _) = entry
            .and_then(|entry| entry.split_once('\t'))
            .ok_or_else(none)?;
        let mut words = about.split_whitespace();
        let mode = words.next().unwrap_or("");
        let hash = match tree {
            Tree::Commit(_) => words.nth(1),
            Tree::Index => words.next(),
        };
        match mode {
            "100644" | "100755" => {}
            "120000" => return Err(ReadFault::Unreadable("it is a link there".into())),
            _ => return Err(none()),
        }
        self.blob(hash.unwrap_or(""))
    }

    fn blob(&self, hash: &str) -> Result<String, ReadFault> {
        let size = run(&self.root, ["cat-file", "-s", hash]).map_err(ReadFault::Unreadable)?;
        let size: u64 = text(size).trim().parse().unwrap_or(u64::MAX);
        if size > LARGEST_TEXT as u64 {
            return Err(ReadFault::TooLarge(size));
        }
        let bytes = run(&self.root, ["cat-file", "blob", hash]).map_err(ReadFault::Unreadable)?;
        String::from_utf8(bytes).map_err(|_| ReadFault::NotText)
    }

    /// The revisions in which a file changed, newest first, with the path it had in each, followed through renames.
    ///
    /// # Errors
    /// In words, what `git` said.
    pub fn followed(&self, path: &str) -> Result<Vec<(String, String)>, String> {
        let out = run(
            &self.root,
            [
                "log",
                "--follow",
                "-z",
                "--name-status",
                "--no-ext-diff",
                "--format=%x01%H",
                "--",
                path,
            ],
        )?;
        let mut found = Vec::new();
        for entry in text(out).split('\u{1}').skip(1) {
            let mut words = entry
                .split('\0')
                .map(|word| word.trim_start_matches('\n'))
                .filter(|word| !word.is_empty());
            let Some(hash) = words.next() else { continue };
            let rest: Vec<&str> = words.collect();
            // A letter, then one path, or two where it was renamed: the last is the one it has there.
            let at = rest.last().filter(|_| rest.len() > 1);
            found.push((
                hash.to_owned(),
                at.map_or_else(|| path.to_owned(), |at| (*at).to_owned()),
            ));
        }
        Ok(found)
    }

    /// The revisions in which any of the paths changed, oldest first.
    ///
    /// # Errors
    /// In words, what `git` said.
    pub fn log(&self, paths: &[String]) -> Result<Vec<Revision>, String> {
        let format = "--format=%H%x00%h%x00%cs%x00%s";
        let mut arguments = vec![
            "log",
            "--topo-order",
            "--reverse",
            "--no-ext-diff",
            format,
            "--",
        ];
        arguments.extend(paths.iter().map(String::as_str));
        let out = text(run(&self.root, arguments)?);
        let revisions = out.lines().filter_map(|line| {
            let mut words = line.split('\0').map(str::to_owned);
            Some(Revision {
                hash: words.next()?,
                short: words.next()?,
                day: words.next()?,
                subject: words.next()?,
            })
        });
        Ok(revisions.collect())
    }

    /// The trees in which a path held two blobs, one before the other: the commit that put the new one in place of the old,
    /// and its parent; otherwise the newest commit that held each.
    pub fn trees_of(&self, path: &str, old: &str, new: &str) -> (Option<Tree>, Option<Tree>) {
        let arguments = [
            "log",
            "--all",
            "--no-ext-diff",
            "--no-renames",
            "--raw",
            "--no-abbrev",
            "-m",
            "--format=%x01%H",
            "--",
            path,
        ];
        let out = run(&self.root, arguments).map(text).unwrap_or_default();
        let (mut before, mut after, mut exact) = (None, None, None);
        for entry in out.split('\u{1}').skip(1) {
            let Some(hash) = entry.split_whitespace().next() else {
                continue;
            };
            for line in entry.lines().filter(|line| line.starts_with(':')) {
                let words: Vec<&str> = line.split_whitespace().collect();
                let (was, is) = (
                    words.get(2).copied().unwrap_or(""),
                    words.get(3).copied().unwrap_or(""),
                );
                if was == old && is == new {
                    exact.get_or_insert_with(|| hash.to_owned());
                }
                if was == old {
                    before.get_or_insert_with(|| format!("{hash}^"));
                }
                if is == old {
                    before.get_or_insert_with(|| hash.to_owned());
                }
                if is == new {
                    after.get_or_insert_with(|| hash.to_owned());
                }
            }
        }
        let tree = |named: Option<String>| {
            named
                .and_then(|named| self.commit(&named).ok())
                .map(Tree::Commit)
        };
        match exact {
            Some(hash) => (tree(Some(format!("{hash}^"))), tree(Some(hash))),
            None => (tree(before), tree(after)),
        }
    }

    /// Reads imports beside a draft of the repository.
    pub fn reader(&self, tree: Tree, draft: &str) -> Beside {
        let folder = draft
            .rsplit_once('/')
            .map_or("", |(folder, _)| folder)
            .to_owned();
        Beside {
            repository: self.clone(),
            tree,
            folder,
        }
    }
}

/// A reader of the files beside a draft at one revision.
pub struct Beside {
    repository: Repository,
    tree: Tree,
    folder: String,
}

impl Reader for Beside {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = if self.folder.is_empty() {
            path.to_owned()
        } else {
            format!("{}/{path}", self.folder)
        };
        self.repository.read(&self.tree, &full)
    }
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Runs `git` in a folder and gives what it wrote.
fn run<A: AsRef<OsStr>>(
    folder: &Path,
    arguments: impl IntoIterator<Item = A>,
) -> Result<Vec<u8>, String> {
    let output = Command::new("git")
        .arg("-c")
        .arg("core.quotePath=false")
        .arg("-c")
        .arg("log.showSignature=false")
        .args(arguments)
        .current_dir(folder)
        .env_remove("GIT_EXTERNAL_DIFF")
        .env("GIT_LITERAL_PATHSPECS", "1")
        .env("GIT_OPTIONAL_LOCKS", "0")
        .env("LC_ALL", "C")
        .stdin(Stdio::null())
        .output()
        .map_err(|error| format!("the program git cannot be run: {}", disk::reason(&error)))?;
    if output.status.success() {
        return Ok(output.stdout);
    }
    let said = text(output.stderr);
    let said = said
        .lines()
        .next()
        .unwrap_or("")
        .trim_start_matches("fatal: ");
    Err(if said.is_empty() {
        "git found nothing".to_owned()
    } else {
        said.to_owned()
    })
}
