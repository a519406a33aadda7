//! The two sides of a comparison: files, files of a git repository at a revision, and what git hands to an external diff.

use super::End;
use super::disk;
use super::git::{self, Repository, Tree, plausible};
use super::load::{self, Root, Values, why};
use super::told;
use oaktag_language::draft::Outcome;
use oaktag_language::library;
use oaktag_language::syntax::project::{NoFiles, Reader};
use oaktag_studio::compare::Side;
use oaktag_studio::session::Session;
use std::path::{Path, PathBuf};

/// A side as it was asked for.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    /// What to call it.
    label: String,
    from: From,
}

#[derive(Clone, Debug)]
enum From {
    /// A file of this machine, with its imports beside it.
    File(PathBuf),
    /// `REVISION:FILE`
    Revision(String, String),
    /// A file of a repository at a commit.
    Commit(Repository, String, String),
    /// A text git wrote to a temporary file, as `path` of the repository; its imports are of that tree, or beside the
    /// path in the working folder.
    Blob {
        text: PathBuf,
        path: String,
        tree: Option<(Repository, Tree)>,
    },
    /// No file on this side.
    Nothing,
}

impl Asked {
    /// As typed: a file, or a revision and a file.
    pub(super) fn typed(typed: &str) -> Self {
        let from = match typed.split_once(':') {
            Some((revision, file))
                if !Path::new(typed).exists() && !revision.is_empty() && !file.is_empty() =>
            {
                From::Revision(revision.to_owned(), file.to_owned())
            }
            _ => From::File(PathBuf::from(typed)),
        };
        Self {
            label: typed.to_owned(),
            from,
        }
    }

    /// The file, whichever revision of it is asked for.
    pub(super) fn path(&self) -> &Path {
        match &self.from {
            From::File(path) => path,
            From::Revision(_, file) => Path::new(file),
            From::Commit(.., path) | From::Blob { path, .. } => Path::new(path),
            From::Nothing => Path::new(""),
        }
    }

    /// What it is called on paper: of a revision the first letters of its commit and its day, too.
    pub(super) fn on_paper(&self) -> String {
        let told = match &self.from {
            From::Revision(revision, file) => Repository::of(Path::new(file))
                .and_then(|repository| repository.about(revision))
                .ok(),
            _ => None,
        };
        match told {
            Some(told) => format!("{} ({}, {})", self.label, told.short, told.day),
            None => self.label.clone(),
        }
    }

    /// A commit of a repository, by the path the draft has there.
    pub(super) fn of_commit(label: &str, repository: &Repository, hash: &str, path: &str) -> Self {
        Self {
            label: label.to_owned(),
            from: From::Commit(repository.clone(), hash.to_owned(), path.to_owned()),
        }
    }
}

/// The sides that git's external diff hands over: a path, and a temporary file and a blob's name for each side.
///
/// # Errors
/// In words, where there is no repository.
pub(super) fn from_git(
    path: &str,
    old: (&str, &str),
    new: (&str, &str),
    new_path: Option<&str>,
) -> Result<(Asked, Asked), String> {
    let repository = Repository::around(Path::new("."))?;
    let new_path = new_path.unwrap_or(path);
    let (before, after) = repository.trees_of(path, old.1, new.1);
    let side = |(file, hex): (&str, &str), path: &str, tree: Option<Tree>, label: &str| {
        let is_nothing = file == "/dev/null" || hex == ".";
        // A file of the working folder has no name yet among the blobs.
        let in_folder = hex.chars().all(|c| c == '0') || Path::new(file) == Path::new(path);
        let from = if is_nothing {
            From::Nothing
        } else {
            let tree = if in_folder {
                None
            } else {
                Some((repository.clone(), tree.unwrap_or(Tree::Index)))
            };
            From::Blob {
                text: PathBuf::from(file),
                path: path.to_owned(),
                tree,
            }
        };
        Asked {
            label: format!("{label}/{path}"),
            from,
        }
    };
    Ok((
        side(old, path, before, "a"),
        side(new, new_path, after, "b"),
    ))
}

/// A side, read and drawn.
pub(super) struct Loaded {
    label: String,
    /// The file it was read from, and the folders of its imports.
    file: Option<(PathBuf, Root)>,
    /// What it imports, as its repository names it.
    brought: Vec<String>,
    session: Session,
    half: Outcome,
}

impl Loaded {
    /// Reads and draws a side.
    ///
    /// # Errors
    /// Where it cannot be read, or its values make no sense, which has been told.
    pub(super) fn load(asked: &Asked, values: &Values) -> Result<Self, End> {
        let refused = |why: String| {
            told::line(&format!("{}: {why}.", asked.label));
            End::NoFile
        };
        let root = &values.root;
        let mut file = None;
        let (mut session, brought) = match &asked.from {
            From::File(path) => {
                file = Some((path.clone(), root.clone()));
                (load::session(&path.to_string_lossy(), root)?, Vec::new())
            }
            From::Revision(revision, file) => of_revision(revision, file, root).map_err(refused)?,
            From::Commit(repository, hash, path) => {
                let tree = Tree::Commit(hash.clone());
                let read = repository.read(&tree, path);
                let text = read.map_err(|fault| refused(why(&fault)))?;
                of_tree(repository, tree, path, &text, root).map_err(refused)?
            }
            From::Blob { text, path, tree } => {
                of_blob(text, path, tree.as_ref(), root).map_err(refused)?
            }
            From::Nothing => (
                opened(&asked.label, "draft \"\"\n", Box::new(NoFiles)),
                Vec::new(),
            ),
        };
        load::set(&mut session, &values.set)?;
        load::lay_body(&mut session, values.body.as_deref())?;
        Ok(Self {
            label: asked.label.clone(),
            file,
            brought,
            half: session.half(),
            session,
        })
    }

    /// For comparing.
    pub(super) fn side(&self) -> Side<'_> {
        self.session.side(&self.label, &self.half)
    }

    /// Its text.
    pub(super) fn text(&self) -> &str {
        self.session.text()
    }

    /// The files that it imports, the library's aside, as the repository names it was read from.
    pub(super) fn brought(&self) -> impl Iterator<Item = &str> {
        self.brought.iter().map(String::as_str)
    }

    /// Whether a path is one of the files it was read from.
    pub(super) fn reads(&self, path: &Path) -> bool {
        let Some((file, root)) = &self.file else {
            return false;
        };
        disk::same_file(file, path)
            || load::brings_in(&self.session, &file.to_string_lossy(), root, path)
    }
}

/// A draft opened, and what it imports as its repository names it.
type Opened = (Session, Vec<String>);

fn opened(name: &str, text: &str, reader: Box<dyn Reader + Send + Sync>) -> Session {
    Session::open(name, text, reader, library::MODULES)
}

/// The repository is the one around the file, from whichever folder it is named. A path after `/` is the repository's own;
/// any other is of the folder the program was started in, or the repository's own where there is none such.
fn of_revision(revision: &str, file: &str, root: &Root) -> Result<Opened, String> {
    plausible(revision)?;
    let own = file
        .strip_prefix('/')
        .filter(|_| !Path::new(file).is_absolute() || !Path::new(file).exists());
    // A draft that is gone from a folder that is gone, too, is looked for from here.
    let repository = match own {
        Some(_) => Repository::of(Path::new("here"))?,
        None => Repository::of(Path::new(file))?,
    };
    let tree = Tree::Commit(repository.commit(revision)?);
    let (path, text) = match own {
        Some(path) => (path.to_owned(), repository.read(&tree, path)),
        None => {
            let path = repository.path(Path::new(file))?;
            match repository.read(&tree, &path) {
                Ok(text) => (path, Ok(text)),
                Err(fault) => match repository.read(&tree, file) {
                    Ok(text) => (file.to_owned(), Ok(text)),
                    Err(_) => (path, Err(fault)),
                },
            }
        }
    };
    let text = text.map_err(|fault| why(&fault))?;
    of_tree(&repository, tree, &path, &text, root)
}

fn of_tree(
    repository: &Repository,
    tree: Tree,
    path: &str,
    text: &str,
    root: &Root,
) -> Result<Opened, String> {
    let folder = root.folder.as_deref();
    let folder = folder.map(|folder| repository.path(folder)).transpose()?;
    let reader = repository.reader(tree, path, folder.as_deref())?;
    let from = reader.root().to_owned();
    let session = opened(path, text, Box::new(reader));
    let brought = session.imports().map(|name| git::below(&from, name));
    let brought = brought.collect();
    Ok((session, brought))
}

fn of_blob(
    text: &Path,
    path: &str,
    tree: Option<&(Repository, Tree)>,
    root: &Root,
) -> Result<Opened, String> {
    let text = disk::read_text(text).map_err(|fault| why(&fault))?;
    match tree {
        Some((repository, tree)) => of_tree(repository, tree.clone(), path, &text, root),
        None => {
            // The folder may be gone with the file.
            let reader: Box<dyn Reader + Send + Sync> = match root.of(Path::new(path)) {
                Ok(folder) => Box::new(folder),
                Err(_) => Box::new(NoFiles),
            };
            Ok((opened(path, &text, reader), Vec::new()))
        }
    }
}
