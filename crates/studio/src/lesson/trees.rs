//! Finds the sentence of the text that an entry of the record carried out.

use oaktag_language::check::program::Site;
use oaktag_language::report::Span;
use oaktag_language::syntax::project::Project;
use oaktag_language::syntax::tree::{
    Block, Carried, Each, Expr, ExprKind, KindWord, Name, Sentence, SentenceKind,
};
use std::collections::BTreeMap;

/// Sentences by where they and the first name they draw stand.
pub(super) struct Trees<'a> {
    sentences: BTreeMap<Span, &'a Sentence>,
    /// What an `each` carries on, by where the name stands in its head.
    carried: BTreeMap<Span, &'a Carried>,
    /// Panels by name, with what they are traced from, in the order of the text.
    pub traced: Vec<(String, Option<&'a Name>)>,
}

/// The value that a sentence draws with.
pub(super) fn value(sentence: &Sentence) -> Option<&Expr> {
    match &sentence.kind {
        SentenceKind::Draw(draw) if draw.kind != KindWord::Panel => Some(&draw.value),
        SentenceKind::Redraw(draw) => Some(&draw.value),
        SentenceKind::Carry(carry) => Some(&carry.value),
        _ => None,
    }
}

impl<'a> Trees<'a> {
    pub(super) fn of(project: &'a Project) -> Self {
        let mut trees = Self {
            sentences: BTreeMap::new(),
            carried: BTreeMap::new(),
            traced: Vec::new(),
        };
        for file in &project.files {
            trees.all(&file.tree.sentences);
        }
        trees
    }

    /// The sentence of a site.
    pub(super) fn sentence(&self, site: &Site) -> Option<&'a Sentence> {
        let by_name = site
            .targets
            .first()
            .and_then(|target| self.sentences.get(&target.span));
        by_name.or_else(|| self.sentences.get(&site.span)).copied()
    }

    /// The value that a site draws with.
    pub(super) fn value(&self, site: &Site) -> Option<&'a Expr> {
        match self.begun(site) {
            Some(begun) => Some(&begun.from),
            None => value(self.sentence(site)?),
        }
    }

    /// What an `each` begins with, where a site is that.
    pub(super) fn begun(&self, site: &Site) -> Option<&'a Carried> {
        self.carried.get(&site.targets.first()?.span).copied()
    }

    fn all(&mut self, sentences: &'a [Sentence]) {
        for sentence in sentences {
            self.one(sentence);
        }
    }

    fn block(&mut self, block: &'a Block) {
        self.all(&block.sentences);
    }

    fn one(&mut self, sentence: &'a Sentence) {
        use SentenceKind as K;
        self.sentences.insert(sentence.span, sentence);
        match &sentence.kind {
            K::Draw(draw) => {
                self.named(draw.names.first().map(|name| name.span), sentence);
                self.expression(&draw.value);
            }
            K::Redraw(draw) => {
                self.named(draw.names.first().map(|name| name.span), sentence);
                self.expression(&draw.value);
            }
            K::Try(tried) => {
                self.named(Some(tried.name.span), sentence);
                self.block(&tried.body);
            }
            K::Each(each) => self.each(each),
            K::Carry(carry) => self.named(Some(carry.name.span), sentence),
            K::Measure(measure) => self.named(Some(measure.name.span), sentence),
            K::Panel(panel) => {
                self.traced
                    .push((panel.name.text.to_string(), panel.traced_from.as_ref()));
                self.block(&panel.body);
            }
            K::Step(step) => self.block(&step.body),
            K::Operation(operation) => self.block(&operation.body),
            K::If(choice) => {
                choice
                    .branches
                    .iter()
                    .for_each(|(_, block)| self.block(block));
                choice.otherwise.iter().for_each(|block| self.block(block));
            }
            _ => {}
        }
    }

    fn named(&mut self, name: Option<Span>, sentence: &'a Sentence) {
        if let Some(name) = name {
            self.sentences.insert(name, sentence);
        }
    }

    fn each(&mut self, each: &'a Each) {
        for carried in &each.carried {
            self.carried.insert(carried.name.span, carried);
        }
        self.block(&each.body);
    }

    /// The sentences inside the `each` of a value.
    fn expression(&mut self, value: &'a Expr) {
        match &value.kind {
            ExprKind::Each(each) => {
                self.each(each);
            }
            ExprKind::Bracketed(inner) => self.expression(inner),
            _ => {}
        }
    }
}
