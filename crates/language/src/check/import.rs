//! Imports and library modules: what a file brings in, and what it may use of it.

use super::checker::{Checker, FileContext, Place, Typed};
use super::offers::{Home, Offer, OfferSentence, Offered};
use super::program::Op;
use super::scope::{Binding, Bound, Names, Sheet, nearest_word};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, MeasureOf, SentenceKind};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// Most files checked as imports; one that is brought in under two names is checked twice.
const MOST_IMPORTS: usize = 400;

impl<'a> Checker<'a> {
    /// `import "block.draft" as block with …`
    pub(super) fn import(&mut self, import: &'a tree::Import, span: Span) -> Vec<Op> {
        if !self.at_file_level("import", span) {
            return Vec::new();
        }
        self.imported += 1;
        if self.imported > MOST_IMPORTS {
            if self.imported == MOST_IMPORTS + 1 {
                let message = format!(
                    "Files are brought in more than {MOST_IMPORTS} times here, each under its own name."
                );
                self.fail(
                    Diagnostic::error(Code::TooLarge, span, message)
                        .help("Bring a file in once, and use it under that one name."),
                );
            }
            self.here.broken = true;
            return Vec::new();
        }
        let Some(&index) = self.project.imports.get(&import.path.span) else {
            // Already told why it cannot be read; its names are not known, and not asked for.
            let sheet = Sheet {
                full_name: import.name.text.to_string(),
                is_file: true,
                is_open: true,
                ..Sheet::default()
            };
            self.bind(&import.name, Bound::Sheet(Rc::new(sheet)));
            return Vec::new();
        };
        let settings: Vec<_> = import
            .with
            .iter()
            .map(|s| (s.name.clone(), self.expression(&s.value)))
            .collect();
        let Some(file) = self.project.file(index) else {
            return Vec::new();
        };
        let prefix = format!("{}{}.", self.here.file.prefix, import.name.text);
        let place = Place {
            import_settings: settings,
            ..Place::default()
        };
        let (ops, left) = self.beside(place, |c| {
            c.enter_file(index, prefix.clone());
            c.offering.push(Vec::new());
            c.sentences(&file.tree.sentences)
        });
        let offered = self.offering.pop().unwrap_or_default();
        let members = left.layers.first().map(|layer| layer.names.clone());
        let members = members.unwrap_or_default();
        let (heads, left_over) = (left.file.heads, left.import_settings);
        self.report_left_over(left_over, &members, import);
        let number = self.offers.len();
        self.offers.push(Offer {
            sentences: offered,
            home: Home::File {
                prefix: prefix.clone(),
                names: members.clone(),
                laid: Rc::new(left.laid),
            },
        });
        // Operations of an import are called by their own head.
        self.learn_heads(heads);
        let sheet = Sheet {
            full_name: prefix.trim_end_matches('.').to_owned(),
            members: Rc::new(super::panel::traced(&members)),
            is_file: true,
            offers: Some(number),
            ..Sheet::default()
        };
        self.bind(&import.name, Bound::Sheet(Rc::new(sheet)));
        ops
    }

    /// Operations that another file brings in, each by its own head.
    fn learn_heads(&mut self, heads: Rc<BTreeMap<String, Vec<usize>>>) {
        for (head, numbers) in Rc::unwrap_or_clone(heads) {
            let known = Rc::make_mut(&mut self.here.file.heads);
            let known = known.entry(head).or_default();
            let fresh: Vec<usize> = numbers
                .into_iter()
                .filter(|number| !known.contains(number))
                .collect();
            known.extend(fresh);
        }
    }

    fn report_left_over(
        &mut self,
        left_over: Vec<(tree::Word, Typed)>,
        members: &Names,
        import: &tree::Import,
    ) {
        for (word, _) in left_over {
            let message = format!("The imported file has no choice `{}`.", word.text);
            let mut diagnostic = Diagnostic::error(Code::NothingToSet, word.span, message);
            if self.body_measures.contains_key(word.text.as_ref()) {
                diagnostic = diagnostic.help("It is a measure of the body: one value for the whole run. Declare it in this draft, or set it with `--set`.");
            } else if let Some(near) = nearest_word(&word.text, members.keys().map(AsRef::as_ref)) {
                diagnostic = diagnostic.meant(near);
            }
            self.report(diagnostic.see(import.path.span, "this file"));
        }
    }

    /// `use shirt`
    pub(super) fn use_module(&mut self, word: &tree::Word, span: Span) {
        if !self.at_file_level("use", span) {
            return;
        }
        let Some(&index) = self.project.modules.get(word.text.as_ref()) else {
            return;
        };
        if !self.modules.contains_key(&index) {
            self.read_module(index);
        }
        let Some(module) = self.modules.get(&index).cloned() else {
            return;
        };
        self.learn_heads(module.heads);
        let names: Vec<Arc<str>> = module.globals.keys().cloned().collect();
        for name in names {
            if let Some((number, used)) = self.body_measures.get(name.as_ref()).cloned()
                && let Some(code) = self.program.measures.get(number)
                && self.sees(&name).is_none()
            {
                let bound = Bound::Value {
                    slot: code.slot,
                    kind: code.kind.clone(),
                    site: Some(code.site),
                };
                self.bind_measure(
                    &name,
                    Binding {
                        bound,
                        span: word.span,
                        used,
                        traced: true,
                        lines: None,
                        items: None,
                        guide: None,
                    },
                );
            }
        }
    }

    fn read_module(&mut self, index: usize) {
        // Entered before it is read: modules may use each other.
        self.modules.insert(index, FileContext::default());
        let Some(file) = self.project.file(index) else {
            return;
        };
        for sentence in &file.tree.sentences {
            let allowed = matches!(
                sentence.kind,
                SentenceKind::Edition(_)
                    | SentenceKind::Use(_)
                    | SentenceKind::Operation(_)
                    | SentenceKind::Broken(_)
                    | SentenceKind::Draft(_)
            ) || matches!(&sentence.kind, SentenceKind::Measure(m) if m.of == MeasureOf::Body);
            if !allowed {
                let message = "A library module has measures and acts, nothing else.";
                self.report(Diagnostic::error(
                    Code::SentenceOutOfPlace,
                    sentence.span,
                    message,
                ));
            }
        }
        let wanted = |kind: &SentenceKind| !matches!(kind, SentenceKind::Draft(_));
        let (_, left) = self.beside(Place::default(), |c| {
            c.enter_file(index, String::new());
            for sentence in file.tree.sentences.iter().filter(|s| wanted(&s.kind)) {
                c.sentences(std::slice::from_ref(sentence));
            }
        });
        self.modules.insert(index, left.file);
    }

    /// Puts a piece or seam of an import or operation among what is offered.
    pub(super) fn offer(&mut self, sentence: OfferSentence<'a>) -> bool {
        match self.offering.last_mut() {
            Some(offered) => {
                offered.push(Offered::alone(sentence));
                true
            }
            None => false,
        }
    }
}
