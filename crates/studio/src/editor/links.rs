//! Which files a draft names, and by which of its sentences what stands in another file is in it.

use super::Editor;
use crate::session::places::Place;
use oaktag_language::report::{FileId, Span};
use oaktag_language::syntax::tree::SentenceKind;
use std::collections::BTreeSet;

/// Where a name of a file leads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leads {
    /// To a draft, by its path below the root.
    Draft(String),
    /// To a module of the library.
    Module(&'static str),
}

impl Editor<'_> {
    /// Each name of a file in the draft's own text that leads to one.
    pub fn leads(&self) -> Vec<(Place, Leads)> {
        let sentences = self.session.own_sentences().iter();
        let found = sentences.filter_map(|sentence| match &sentence.kind {
            SentenceKind::Import(import) => {
                let (_, file) = self.imported(import.path.span)?;
                let name = self.session.sources().name(file).to_owned();
                Some((self.place(import.path.span)?, Leads::Draft(name)))
            }
            SentenceKind::Use(module) => {
                let mut modules = self.session.modules();
                let module_here = modules.find(|one| one.name == &*module.text)?;
                Some((self.place(module.span)?, Leads::Module(module_here.name)))
            }
            _ => None,
        });
        found.collect()
    }

    /// The name of a file by which the draft's own text brings in another file, itself or through others.
    pub fn brings_in(&self, file: FileId) -> Option<Place> {
        if self.session.sources().is_library(file) {
            let links = self.leads().into_iter();
            let mut modules = links.filter(|(_, leads)| matches!(leads, Leads::Module(_)));
            let name = self.session.sources().name(file);
            let own = modules
                .clone()
                .find(|(_, leads)| matches!(leads, Leads::Module(of) if name.contains(&format!("/{of}."))));
            return own.or_else(|| modules.next()).map(|(place, _)| place);
        }
        let imports: Vec<(Span, FileId)> = self.session.imported().collect();
        let mut own = imports.iter().filter(|(path, _)| path.file == self.own);
        let (path, _) = own.find(|(_, first)| {
            let mut reached = BTreeSet::from([*first]);
            loop {
                let inner = imports
                    .iter()
                    .filter(|(path, _)| reached.contains(&path.file));
                let more: BTreeSet<FileId> = inner.map(|(_, file)| *file).collect();
                let before = reached.len();
                reached.extend(more);
                if reached.len() == before {
                    return reached.contains(&file);
                }
            }
        })?;
        self.place(*path)
    }

    fn imported(&self, path: Span) -> Option<(Span, FileId)> {
        self.session.imported().find(|(at, _)| *at == path)
    }
}
