//! All the files of one draft: the draft itself, its imports and the library modules they use, read through a [`Reader`]
//! so that nothing here touches a disk.

use super::kept;
use super::needed::{Module, Needed};
use super::parser::{Parsed, parse_text};
use super::plain_words::plain_words;
use super::tree::{self, SentenceKind, TextPart};
use crate::report::{Code, Diagnostic, FileId, SourceMap, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Most files one draft may import, so that a run ends.
pub const MOST_FILES: usize = 200;

/// Largest text of one file, in bytes.
pub const LARGEST_TEXT: usize = 8 * 1024 * 1024;

/// Why an imported file cannot be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadFault {
    /// It leads outside the root, by `..`, by an absolute path or by a link.
    OutsideFolder,
    /// There is no such file, or it cannot be read; the system's reason.
    Unreadable(String),
    /// It is not text.
    NotText,
    /// It is larger than [`LARGEST_TEXT`]; bytes.
    TooLarge(u64),
}

/// The one way in which a project comes by the drafts that it imports.
pub trait Reader {
    /// The main draft's folder, as the names that it reads are counted from: below the root of all that it may import.
    fn home(&self) -> &str {
        ""
    }

    /// The text of `path`, which is relative to the root and uses `/`.
    ///
    /// # Errors
    /// As [`ReadFault`] says.
    fn read(&self, path: &str) -> Result<String, ReadFault>;
}

/// A reader that has nothing, for drafts that stand alone.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoFiles;

impl Reader for NoFiles {
    fn read(&self, _path: &str) -> Result<String, ReadFault> {
        Err(ReadFault::Unreadable(
            "this draft is read without a folder, so it can import nothing".into(),
        ))
    }
}

/// One file of the project.
#[derive(Clone, Debug)]
pub struct ProjectFile {
    /// Where its text is.
    pub id: FileId,
    /// What its text says.
    pub tree: tree::File,
    /// Names that a sentence which could not be read would have drawn.
    pub broken_names: Vec<tree::Word>,
}

/// A draft with everything it reads.
#[derive(Clone, Debug, Default)]
pub struct Project {
    /// The text of each file, for messages.
    pub sources: SourceMap,
    /// Every file, the main draft first; those of the library are shared with the project that was read before.
    pub files: Vec<Arc<ProjectFile>>,
    /// Which file an import sentence means, by the place of its path.
    pub imports: BTreeMap<Span, usize>,
    /// Library modules by name.
    pub modules: BTreeMap<String, usize>,
    /// Heads of operations in these modules that the draft does not name, so that they were not read.
    pub heads_unread: Vec<&'static str>,
    /// What was wrong with letters, sentences and files.
    pub diagnostics: Vec<Diagnostic>,
}

impl Project {
    /// Reads a draft and all it names. `name` is what messages call the draft, relative to its folder; `library` gives a module
    /// by its name. It never fails: what cannot be read is told in [`Project::diagnostics`], and the rest stands.
    pub fn load(
        name: &str,
        text: &str,
        reader: &dyn Reader,
        library: &dyn Fn(&str) -> Option<&'static Module>,
    ) -> Project {
        Self::load_after(&Project::default(), name, text, reader, library)
    }

    /// The same, where that draft or another was read before out of the same library: where both need the same of it, it is
    /// not read again.
    pub fn load_after(
        before: &Project,
        name: &str,
        text: &str,
        reader: &dyn Reader,
        library: &dyn Fn(&str) -> Option<&'static Module>,
    ) -> Project {
        let mut loading = Loading {
            project: Project::default(),
            before,
            reader,
            library,
            by_path: BTreeMap::new(),
            used: Vec::new(),
        };
        let home = reader.home();
        let file_name = name.rsplit('/').next().unwrap_or(name);
        let full = within_root(home, file_name).unwrap_or_default();
        loading.add(name, text, home, &mut vec![(full, None)]);
        loading.modules();
        loading.project
    }

    /// The file of that number.
    pub fn file(&self, at: usize) -> Option<&ProjectFile> {
        self.files.get(at).map(AsRef::as_ref)
    }
}

struct Loading<'a> {
    project: Project,
    before: &'a Project,
    reader: &'a dyn Reader,
    library: &'a dyn Fn(&str) -> Option<&'static Module>,
    by_path: BTreeMap<String, usize>,
    /// Modules that the draft's own files use.
    used: Vec<tree::Word>,
}

/// The files being read, from the draft down, each with the place that named it.
type Trail = Vec<(String, Option<Span>)>;

impl Loading<'_> {
    fn add(&mut self, name: &str, text: &str, folder: &str, trail: &mut Trail) -> usize {
        let id = self.project.sources.add(name, text);
        let parsed = parse_text(self.project.sources.text(id), id);
        let at = self.take(id, parsed);
        let sentences = self.project.files.get(at).map(|file| &file.tree.sentences);
        let mut imports = Vec::new();
        for sentence in sentences.into_iter().flatten() {
            match &sentence.kind {
                SentenceKind::Import(import) => imports.push(import.clone()),
                SentenceKind::Use(module) => self.used.push(module.clone()),
                _ => {}
            }
        }
        for import in &imports {
            self.import(import, folder, trail);
        }
        at
    }

    /// Takes a file of the map into the project, as it was read.
    fn take(&mut self, id: FileId, parsed: Parsed) -> usize {
        self.project.diagnostics.extend(parsed.diagnostics);
        let at = self.project.files.len();
        self.edition(&parsed.tree);
        self.project.files.push(Arc::new(ProjectFile {
            id,
            tree: parsed.tree,
            broken_names: parsed.broken_names,
        }));
        at
    }

    /// Reads the modules that are used, and those they use; of each only what the draft needs.
    fn modules(&mut self) {
        let mut found: Vec<&'static Module> = Vec::new();
        for module in std::mem::take(&mut self.used) {
            let name = module.text.as_ref();
            if !self.find_module(name, &mut found) {
                let words = format!("The library has no module `{name}`.");
                let diagnostic = Diagnostic::error(Code::UnknownModule, module.span, words);
                self.project.diagnostics.push(diagnostic);
            }
        }
        if found.is_empty() {
            return;
        }
        let ids: Vec<FileId> = self.project.files.iter().map(|file| file.id).collect();
        let draft_words: BTreeSet<&str> = ids
            .iter()
            .flat_map(|id| plain_words(self.project.sources.text(*id)))
            .collect();
        let needed = Needed::of(&found, &draft_words);
        if !self.take_over(&found, &needed) {
            for module in &found {
                let id = module.id();
                let shown = format!("<library>/{}.draft", module.name);
                self.project.sources.add_module(id, shown, module.text);
                let parsed = match kept::sentences(module, &needed) {
                    Some(sentences) => Parsed::whole(tree::File { sentences }),
                    None => parse_text(&needed.text(module), id),
                };
                let at = self.take(id, parsed);
                self.project.modules.insert(module.name.to_owned(), at);
            }
        }
        self.project.heads_unread = needed.left_out;
    }

    /// Takes the modules over as they were read before, where they were the same, of which the same was needed; says whether
    /// it did.
    fn take_over(&mut self, found: &[&'static Module], needed: &Needed) -> bool {
        let before = self.before;
        let files: Option<Vec<&Arc<ProjectFile>>> = found
            .iter()
            .map(|module| before.files.get(*before.modules.get(module.name)?))
            .collect();
        let Some(files) = files else { return false };
        let is_same = before.modules.len() == found.len() && before.heads_unread == needed.left_out;
        if !is_same {
            return false;
        }
        for (module, file) in found.iter().zip(files) {
            let at = self.project.files.len();
            let sources = &mut self.project.sources;
            sources.take_module(&before.sources, file.id);
            let told = before.diagnostics.iter();
            let told = told.filter(|told| told.place.file == file.id);
            self.project.diagnostics.extend(told.cloned());
            self.project.files.push(Arc::clone(file));
            self.project.modules.insert(module.name.to_owned(), at);
        }
        true
    }

    /// A module and all it uses, each once; false where there is none of that name.
    fn find_module(&self, name: &str, found: &mut Vec<&'static Module>) -> bool {
        if found.iter().any(|known| known.name == name) {
            return true;
        }
        let Some(module) = (self.library)(name) else {
            return false;
        };
        found.push(module);
        let mut inner = module.uses.iter();
        inner.all(|inner| self.find_module(inner, found))
    }

    /// Refuses any edition but the one.
    fn edition(&mut self, tree: &tree::File) {
        let Some(SentenceKind::Edition(said)) = tree.sentences.first().map(|s| &s.kind) else {
            return;
        };
        if let tree::ExprKind::Figure {
            value: 1.0,
            unit: None,
        } = said.kind
        {
            return;
        }
        let words = format!(
            "This program knows edition 1; `{}` is another.",
            self.project.sources.slice(said.span)
        );
        let help = "Write `edition 1`, or use a newer program for a newer draft.";
        self.project.diagnostics.push(
            Diagnostic::error(Code::UnknownEdition, said.span, words)
                .help(help)
                .offer(said.span, "1"),
        );
    }

    fn import(&mut self, import: &tree::Import, folder: &str, trail: &mut Trail) {
        let span = import.path.span;
        let Some(path) = plain(&import.path) else {
            let words = "An import's path is plain text, without figures in it.";
            self.project
                .diagnostics
                .push(Diagnostic::error(Code::FileUnreadable, span, words));
            return;
        };
        let Some(full) = within_root(folder, &path) else {
            self.refuse(span, &path, ReadFault::OutsideFolder);
            return;
        };
        if !full.ends_with(".draft") {
            let words = format!("`{path}` is no draft: the name of one ends in `.draft`.");
            let told = Diagnostic::error(Code::FileUnreadable, span, words);
            self.project.diagnostics.push(told);
            return;
        }
        if trail.iter().any(|(name, _)| *name == full) {
            let circle: Vec<&str> = trail
                .iter()
                .map(|(name, _)| name.as_str())
                .chain([full.as_str()])
                .collect();
            let words = format!("These files import each other: {}.", circle.join(" → "));
            let mut message = Diagnostic::error(Code::ImportCircle, span, words)
                .help("Take out one of these imports, so that one file comes first.");
            for (_, named) in trail.iter() {
                if let Some(place) = named {
                    message = message.see(*place, "imported here");
                }
            }
            self.project.diagnostics.push(message);
            return;
        }
        if let Some(&known) = self.by_path.get(&full) {
            self.project.imports.insert(span, known);
            return;
        }
        if self.project.files.len() >= MOST_FILES {
            let words = format!("A draft may bring in {MOST_FILES} files; this is one more.");
            self.project
                .diagnostics
                .push(Diagnostic::error(Code::TooLarge, span, words));
            return;
        }
        match self.reader.read(&full) {
            Ok(text) => {
                let inner = full
                    .rsplit_once('/')
                    .map_or("", |(folder, _)| folder)
                    .to_owned();
                trail.push((full.clone(), Some(span)));
                let at = self.add(&full, &text, &inner, trail);
                trail.pop();
                self.by_path.insert(full, at);
                self.project.imports.insert(span, at);
            }
            Err(fault) => self.refuse(span, &path, fault),
        }
    }

    fn refuse(&mut self, span: Span, path: &str, fault: ReadFault) {
        let message = match fault {
            ReadFault::OutsideFolder => Diagnostic::error(
                Code::ImportOutsideFolder,
                span,
                format!("`{path}` lies outside the folder that this draft may import from."),
            )
            .help("Put the file into the draft's folder or below it, or a file `oaktag.root` into the folder that holds both; an import never leaves that folder, by `..` or by a link."),
            ReadFault::Unreadable(why) => {
                Diagnostic::error(Code::FileUnreadable, span, format!("`{path}` cannot be read: {why}."))
            }
            ReadFault::NotText => {
                Diagnostic::error(Code::FileUnreadable, span, format!("`{path}` is not a text file (UTF-8)."))
            }
            ReadFault::TooLarge(bytes) => Diagnostic::error(
                Code::TooLarge,
                span,
                format!("`{path}` is {bytes} bytes long; a draft may have {LARGEST_TEXT}."),
            ),
        };
        self.project.diagnostics.push(message);
    }
}

/// The letters of a text without figures.
pub fn plain(text: &tree::Text) -> Option<String> {
    let letters = |part: &TextPart| match part {
        TextPart::Letters(letters) => Some(letters.to_string()),
        TextPart::Hole(_) => None,
    };
    text.parts.iter().map(letters).collect()
}

/// `path` taken from `folder`, both below the root; none where it leaves the root.
fn within_root(folder: &str, path: &str) -> Option<String> {
    if path.starts_with('/') || path.contains('\\') || path.contains(':') || path.contains('\0') {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            name => parts.push(name),
        }
    }
    Some(parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::within_root;

    #[test]
    fn an_import_stays_below_the_draft() {
        assert_eq!(within_root("", "a.draft").as_deref(), Some("a.draft"));
        assert_eq!(
            within_root("parts", "../a.draft").as_deref(),
            Some("a.draft")
        );
        assert_eq!(within_root("", "../a.draft"), None);
        assert_eq!(within_root("", "/etc/passwd"), None);
        assert_eq!(within_root("parts", "x/../../../a"), None);
        assert_eq!(within_root("", r"C:\a"), None);
    }
}
