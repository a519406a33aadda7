//! Files of a git repository at a revision, asked of the `git` program; nothing of a repository is ever changed, and nothing
//! that its author wrote is run.

mod call;
mod doors;

use super::disk;
use call::Overrides;
use oaktag_language::syntax::project::{LARGEST_TEXT, ReadFault, Reader};
use std::ffi::OsStr;
use std::path::{Component, Path, PathBuf};

/// A repository on this machine.
#[derive(Clone, Debug)]
pub struct Repository {
    root: PathBuf,
    overrides: Overrides,
    /// Some of its objects may have stayed where it was cloned from.
    is_partial: bool,
}

/// What is said of a file that a revision does not have.
pub const NOT_THERE: &str = "there is no such file at that revision";

/// What is said of a link.
pub const A_LINK: &str = "it is a link there";

/// Letters of a revision, at most; no name that git makes comes near it.
const LONGEST_REVISION: usize = 250;

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

/// How git is asked to tell of one.
const ABOUT: &str = "--format=%H%x00%h%x00%cs%x00%s";

impl Revision {
    fn read(line: &str) -> Option<Self> {
        let mut words = line.split('\0').map(str::to_owned);
        Some(Self {
            hash: words.next()?,
            short: words.next()?,
            day: words.next()?,
            subject: words.next()?,
        })
    }
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
    /// The repository that a file lies in, there or not: upward from its folder, the first that has an entry `.git`. A folder
    /// that merely looks like the inside of a repository is none, since a clone may bring one along.
    ///
    /// # Errors
    /// In words, where there is none, or git may not or cannot read it.
    pub fn of(file: &Path) -> Result<Self, String> {
        let here = std::env::current_dir().map_err(|error| disk::reason(&error))?;
        let full = here.join(file);
        let folder = full.ancestors().skip(1).find(|folder| folder.is_dir());
        Self::around(folder.unwrap_or(&here))
    }

    /// The repository around a folder.
    ///
    /// # Errors
    /// As [`Repository::of`].
    pub fn around(folder: &Path) -> Result<Self, String> {
        let folder = folder.canonicalize();
        let folder = folder.map_err(|error| disk::reason(&error))?;
        let root = folder
            .ancestors()
            .find(|folder| folder.join(".git").symlink_metadata().is_ok())
            .ok_or("no git repository is found here")?
            .to_owned();
        call::new_enough()?;
        call::is_trusted(&root)?;
        let mut overrides = call::fixed();
        let listed = call::run(&root, &overrides, ["config", "--list", "--name-only", "-z"])?;
        let listed = text(listed);
        let keys = || listed.split('\0').filter(|key| !key.is_empty());
        for key in keys() {
            if let Some(value) = doors::instead(key) {
                overrides.push((key.to_owned(), value.to_owned()));
            }
        }
        Ok(Self {
            root,
            overrides,
            is_partial: keys().any(doors::promises),
        })
    }

    /// Asks git, which may not find what the repository was only promised.
    fn ask<A: AsRef<OsStr>>(
        &self,
        arguments: impl IntoIterator<Item = A>,
    ) -> Result<Vec<u8>, String> {
        call::run(&self.root, &self.overrides, arguments).map_err(|why| {
            if !self.is_partial {
                return why;
            }
            format!(
                "the repository is a partial clone, some of it is not here, and nothing is fetched ({why}); fetch the rest first: git fetch --refetch --no-filter"
            )
        })
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
        plausible(revision)?;
        let none = || format!("the repository has no revision `{revision}`");
        let asked = format!("{revision}^{{commit}}");
        let found = self.ask([
            "rev-parse",
            "--verify",
            "--quiet",
            "--end-of-options",
            &asked,
        ]);
        let hash = found.map(|out| text(out).trim().to_owned());
        hash.ok().filter(|hash| is_hash(hash)).ok_or_else(none)
    }

    /// The text of a file.
    ///
    /// # Errors
    /// Where there is no such file, or it is no text.
    pub fn read(&self, tree: &Tree, path: &str) -> Result<String, ReadFault> {
        let none = || ReadFault::Unreadable(NOT_THERE.into());
        let listed = match tree {
            Tree::Commit(hash) => self.ask(["ls-tree", "-z", "--full-tree", hash, "--", path]),
            Tree::Index => self.ask(["ls-files", "-z", "--stage", "--", path]),
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
            "120000" => return Err(ReadFault::Unreadable(A_LINK.into())),
            _ => return Err(none()),
        }
        self.blob(hash.unwrap_or(""))
    }

    fn blob(&self, hash: &str) -> Result<String, ReadFault> {
        let size = self.ask(["cat-file", "-s", hash]);
        let size = size.map_err(ReadFault::Unreadable)?;
        let size: u64 = text(size).trim().parse().unwrap_or(u64::MAX);
        if size > LARGEST_TEXT as u64 {
            return Err(ReadFault::TooLarge(size));
        }
        let bytes = self.ask(["cat-file", "blob", hash]);
        let bytes = bytes.map_err(ReadFault::Unreadable)?;
        String::from_utf8(bytes).map_err(|_| ReadFault::NotText)
    }

    /// The revisions in which a file changed, newest first, with the path it had in each, followed through renames.
    ///
    /// # Errors
    /// In words, what `git` said.
    pub fn followed(&self, path: &str) -> Result<Vec<(String, String)>, String> {
        let mut arguments = vec!["log", "--follow", "-z", "--name-status", "--format=%x01%H"];
        arguments.extend(AS_IT_IS);
        arguments.extend(["--", path]);
        let out = self.ask(arguments)?;
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
        let mut arguments = vec!["log", "--topo-order", "--reverse", ABOUT];
        arguments.extend(AS_IT_IS);
        arguments.push("--");
        arguments.extend(paths.iter().map(String::as_str));
        let out = text(self.ask(arguments)?);
        Ok(out.lines().filter_map(Revision::read).collect())
    }

    /// What a revision is.
    ///
    /// # Errors
    /// In words, where it is none.
    pub fn about(&self, revision: &str) -> Result<Revision, String> {
        let hash = self.commit(revision)?;
        let mut arguments = vec!["log", "--max-count=1", ABOUT];
        arguments.extend(AS_IT_IS);
        arguments.extend([hash.as_str(), "--"]);
        let out = text(self.ask(arguments)?);
        let found = out.lines().next().and_then(Revision::read);
        found.ok_or_else(|| format!("git tells nothing of `{revision}`"))
    }

    /// The trees in which a path held two blobs, one before the other: the commit that put the new one in place of the old,
    /// and its parent; otherwise the newest commit that held each.
    pub fn trees_of(&self, path: &str, old: &str, new: &str) -> (Option<Tree>, Option<Tree>) {
        let mut arguments = vec!["log", "--all", "--raw", "--no-abbrev", "--format=%x01%H"];
        arguments.extend(AS_IT_IS);
        arguments.extend(["--no-renames", "--diff-merges=separate", "--", path]);
        let out = self.ask(arguments).map(text).unwrap_or_default();
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

    /// Reads what a draft of the repository imports: from `root`, a folder of the repository, and below; where none is
    /// asked for from the nearest at or above the draft's that bears the mark in that tree, else from the draft's own.
    ///
    /// # Errors
    /// In words: the draft does not lie below `root`.
    pub fn reader(&self, tree: Tree, draft: &str, root: Option<&str>) -> Result<Beside, String> {
        let folder = draft.rsplit_once('/').map_or("", |(folder, _)| folder);
        let root = match root {
            Some(root) => root,
            None => {
                let marked = |folder: &&str| {
                    let mark = below(folder, disk::ROOT_MARK);
                    self.read(&tree, &mark).is_ok()
                };
                let mut above = std::iter::successors(Some(folder), |folder| {
                    let upper = folder.rsplit_once('/').map(|(upper, _)| upper);
                    upper.or((!folder.is_empty()).then_some(""))
                });
                above.find(marked).unwrap_or(folder)
            }
        };
        let home = match root {
            "" => Some(folder),
            _ => folder.strip_prefix(root).and_then(|rest| match rest {
                "" => Some(rest),
                _ => rest.strip_prefix('/'),
            }),
        };
        let home = home.ok_or_else(|| format!("it does not lie below {root}"))?;
        Ok(Beside {
            repository: self.clone(),
            tree,
            root: root.to_owned(),
            home: home.to_owned(),
        })
    }
}

/// A reader of what a draft imports at one revision.
pub struct Beside {
    repository: Repository,
    tree: Tree,
    root: String,
    home: String,
}

impl Beside {
    /// The folder of the repository that the draft may import from.
    pub fn root(&self) -> &str {
        &self.root
    }
}

/// A name in a folder of a repository; the top one has none.
pub fn below(folder: &str, name: &str) -> String {
    match folder {
        "" => name.to_owned(),
        _ => format!("{folder}/{name}"),
    }
}

impl Reader for Beside {
    fn home(&self) -> &str {
        &self.home
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        self.repository.read(&self.tree, &below(&self.root, path))
    }
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Said to every log: no program of the author's in between, and no setting of anybody's.
const AS_IT_IS: [&str; 9] = [
    "--no-ext-diff",
    "--no-textconv",
    "--no-show-signature",
    "--no-color",
    "--no-mailmap",
    "--no-relative",
    "--encoding=UTF-8",
    "--find-renames",
    "-O/dev/null",
];

/// Refuses what is certainly no one revision. Git is not asked: to it some of these are options, ranges or the reverse.
///
/// # Errors
/// In words.
pub fn plausible(revision: &str) -> Result<(), String> {
    let is_odd = revision.is_empty()
        || revision.len() > LONGEST_REVISION
        || revision.starts_with(['-', '^'])
        || revision.chars().any(char::is_control)
        || ["..", "^!", "^@", "^-", "\\"]
            .iter()
            .any(|range| revision.contains(range));
    if is_odd {
        let shown: String = revision.chars().take(80).collect();
        return Err(format!("`{shown}` is no revision"));
    }
    Ok(())
}

/// Whether a text is a commit's full name, by either of git's hashes.
fn is_hash(text: &str) -> bool {
    matches!(text.len(), 40 | 64) && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_revisions_are_no_business_of_git() {
        let long = "a".repeat(5_000);
        for odd in [
            "",
            "-x",
            "--upload-pack=touch RAN",
            "^HEAD",
            "HEAD..HEAD~1",
            "HEAD...main",
            "HEAD^!",
            "HEAD^@",
            "HEAD^-1",
            "HEAD\nmain",
            "HEAD\u{1b}[2J",
            &long,
        ] {
            assert!(plausible(odd).is_err(), "{odd}");
        }
        for even in [
            "HEAD",
            "HEAD~3",
            "HEAD^",
            "HEAD^2~1",
            "main@{yesterday}",
            "v1.2",
            "wip/neck-line",
            "@{2 days ago}",
            "HEAD^{/neck}",
            "4a7c1f2",
        ] {
            assert!(plausible(even).is_ok(), "{even}");
        }
    }
}
