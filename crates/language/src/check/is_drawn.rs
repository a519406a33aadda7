//! `NAME is drawn`: whether a name is there. It is settled before any figure is known, so that an operation can say what
//! must come before it, and draw again only what there is.

use super::checker::Checker;
use super::program::Node;
use super::scope::{Bound, Sheet};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic};
use crate::syntax::tree::{Expr, ExprKind, Name, Relation};
use std::rc::Rc;

/// Each condition with what it leads to, and what is done where none holds.
type Branches<'a, T> = (Vec<(&'a Expr, &'a T)>, Option<&'a T>);

impl<'a> Checker<'a> {
    /// What a condition comes to by names alone; nothing where it needs figures, or a panel that is not known yet.
    pub(super) fn settled(&self, condition: &Expr) -> Option<bool> {
        match &condition.kind {
            ExprKind::Bracketed(inner) => self.settled(inner),
            ExprKind::Not(inner) => self.settled(inner).map(|answer| !answer),
            ExprKind::Both(a, b) => match (self.settled(a), self.settled(b)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            },
            ExprKind::Either(a, b) => match (self.settled(a), self.settled(b)) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (Some(false), Some(false)) => Some(false),
                _ => None,
            },
            ExprKind::Is { subject, relation } => match (&subject.kind, relation.as_ref()) {
                (ExprKind::Name(name), Relation::Drawn) => self.is_drawn(name),
                _ => None,
            },
            _ => None,
        }
    }

    /// The branches that figures must decide between, and the last one. A branch that names alone rule out is not looked
    /// at, nor what follows one that they decide for.
    pub(super) fn open_branches<T>(
        &self,
        branches: &'a [(Expr, T)],
        otherwise: Option<&'a T>,
    ) -> Branches<'a, T> {
        let mut open = Vec::new();
        for (condition, branch) in branches {
            match self.settled(condition) {
                Some(true) => return (open, Some(branch)),
                Some(false) => {}
                None => open.push((condition, branch)),
            }
        }
        (open, otherwise)
    }

    /// Whether a name is there; nothing where the panel it may be on is not known.
    fn is_drawn(&self, name: &Name) -> Option<bool> {
        let (first, rest) = name.words.split_first()?;
        let Some((last, panels)) = rest.split_last() else {
            let there = self
                .sees(&first.text)
                .is_some_and(|binding| !matches!(binding.bound, Bound::OnOneBranch(..)));
            if !there && let Some(layer) = self.here.layers.last() {
                self.note_asked(layer.laid_on.as_ref(), &first.text);
            }
            let open = self.here.layers.iter().any(|layer| layer.is_open);
            let open = open || self.here.file.broken.contains(&first.text);
            return if open && !there { None } else { Some(there) };
        };
        let mut sheet = self.sheet_of(first)?;
        for word in panels {
            let Bound::Sheet(inner) = &sheet.members.get(&word.text)?.bound else {
                return None;
            };
            sheet = Rc::clone(inner);
        }
        match sheet.members.get(&last.text) {
            Some(binding) => Some(!matches!(binding.bound, Bound::OnOneBranch(..))),
            None if sheet.is_open => None,
            None => {
                self.note_asked(sheet.laid_on.as_ref(), &last.text);
                Some(false)
            }
        }
    }

    /// Whether the panel that a dotted name lies on is not known, since the sentence that draws it is wrong or refused.
    pub(super) fn is_on_open_panel(&self, name: &Name) -> bool {
        let Some((first, rest)) = name.words.split_first() else {
            return false;
        };
        let mut sheet = self.sheet_of(first);
        for word in rest {
            match sheet {
                Some(here) if !here.is_open => {
                    sheet = match here.members.get(&word.text).map(|b| &b.bound) {
                        Some(Bound::Sheet(inner)) => Some(Rc::clone(inner)),
                        _ => return false,
                    };
                }
                open => return open.is_some(),
            }
        }
        sheet.is_some_and(|sheet| sheet.is_open)
    }

    fn sheet_of(&self, word: &crate::syntax::tree::Word) -> Option<Rc<Sheet>> {
        let own = self.own_layer(word, false);
        match &own.as_ref().or_else(|| self.sees(&word.text))?.bound {
            Bound::Sheet(sheet) => Some(Rc::clone(sheet)),
            _ => None,
        }
    }

    /// `NAME is drawn` as a condition. Of a dotted name only the last word may be missing.
    pub(super) fn asked_whether_drawn(&mut self, subject: &'a Expr) -> Node {
        let ExprKind::Name(name) = &subject.kind else {
            let message = "Only a name can be asked about with `is drawn`.";
            let told = Diagnostic::error(Code::WordsDoNotFit, subject.span, message);
            self.fail(
                told.help(
                    "Ask it of the name of what may be there, as in `body.back.hem is drawn`.",
                ),
            );
            return Node::TOLD;
        };
        if let [panels @ .., _] = name.words.as_slice()
            && let (Some(first), Some(last)) = (panels.first(), panels.last())
        {
            let owner = Name {
                words: panels.to_vec(),
                span: first.span.to(last.span),
            };
            if self.sheet_named(&owner).is_none() {
                self.here.broken = true;
                return Node::TOLD;
            }
        }
        match self.is_drawn(name) {
            Some(answer) => {
                if let [word] = name.words.as_slice()
                    && let Some(binding) = self.sees(&word.text)
                {
                    binding.used.set(true);
                }
                Node::Known(Value::Answer(answer))
            }
            // What panel this will be is known only where the operation is called.
            None => {
                self.here.broken = true;
                Node::TOLD
            }
        }
    }
}
