//! Declaring an operation: its head line made into a form like those of the table, and refused where it could be taken
//! for another.

use super::checker::Checker;
use super::operation::OperationCode;
use super::program::OperationInfo;
use super::texts::Texts;
use crate::kind::Kind;
use crate::phrase::form::overlap;
use crate::phrase::wording::Taught;
use crate::phrase::{Form, Gives, Meaning, Option_, Place, Takes};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, KindPhrase, KindWord, Link, Parameter, SentenceKind};
use std::rc::Rc;

/// Most operations one draft may declare or bring in.
const MOST_OPERATIONS: usize = 1_000;

/// A parameter with its place in the sentence.
pub(super) struct Asked<'a> {
    pub(super) link: Option<Link>,
    pub(super) is_option: bool,
    pub(super) parameter: &'a Parameter,
    pub(super) kind: Kind,
}

impl<'a> Checker<'a> {
    /// `operation …`
    pub(super) fn declare_operation(&mut self, operation: &'a tree::Operation, span: Span) {
        if !self.at_file_level("operation", span) {
            return;
        }
        let number = self.operations.len();
        if number >= MOST_OPERATIONS {
            let message = format!("This is act {}; {MOST_OPERATIONS} is the most.", number + 1);
            self.fail(Diagnostic::error(
                Code::TooLarge,
                operation.head.span,
                message,
            ));
            return;
        }
        let form = self.operation_form(operation);
        let head = operation.head.text.to_string();
        self.refuse_overlap(operation, &form);
        if self.sees(&head).is_some() {
            let message = format!(
                "`{head}` is already the name of something drawn, so no phrase can begin with it."
            );
            self.fail(Diagnostic::error(
                Code::NameBeginsAPhrase,
                operation.head.span,
                message,
            ));
        }
        let form = Rc::new(form);
        let needs = self.needs_of(operation);
        self.program.operations.push(OperationInfo {
            form: Form::clone(&form),
            span,
            needs: self.need_infos(operation, needs.as_ref()),
            draws: Vec::new(),
        });
        let home = self.here.file.clone();
        self.operations
            .push(OperationCode::new(form, (operation, span), home, needs));
        if !self.always_gives(&operation.body.sentences) {
            let message = format!("`{head}` does not always give something.");
            let help = "End it with `give`; where `if` chooses, every branch gives.";
            self.fail(
                Diagnostic::error(Code::SentenceOutOfPlace, operation.head.span, message)
                    .help(help),
            );
        }
        // Checked once on its own, so that a slip is told even where nobody calls it; panels are left open. The library
        // is held by its tests, and a user who takes one operation of it should not wait for all.
        if self.holds_library || !self.project.sources.is_library(span.file) {
            match &operation.needs {
                Some(_) => self.hold_needs(number),
                None => {
                    let open = self.declared_rows(number, true);
                    self.routine(number, &open);
                }
            }
        }
        // From here on it can be called: an operation sees only those above it.
        Rc::make_mut(&mut self.here.file.heads)
            .entry(head)
            .or_default()
            .push(number);
    }

    pub(super) fn asked(&self, operation: &'a tree::Operation) -> Vec<Asked<'a>> {
        let direct = operation.direct.iter().map(|p| (None, false, p));
        let places = operation
            .places
            .iter()
            .map(|(link, _, p)| (Some(*link), false, p));
        let options = operation.options.iter().map(|p| (None, true, p));
        direct
            .chain(places)
            .chain(options)
            .map(|(link, is_option, parameter)| Asked {
                link,
                is_option,
                parameter,
                kind: kind_of(&parameter.kind),
            })
            .collect()
    }

    fn operation_form(&mut self, operation: &'a tree::Operation) -> Form {
        let mut form = Form {
            head: Some(operation.head.text.to_string().into()),
            tight: false,
            guessed: Vec::new(),
            places: Vec::new(),
            options: Vec::new(),
            gives: Gives::Kind(kind_of(&operation.gives)),
            doc: operation
                .doc
                .as_ref()
                .map(Self::letters)
                .unwrap_or_default()
                .into(),
            example: "".into(),
            also: &[],
            taught: Taught::AS_WRITTEN,
            weight: 1,
            meaning: Meaning::Operation,
        };
        for asked in self.asked(operation) {
            let name = asked.parameter.name.text.to_string();
            let mut doc = asked
                .parameter
                .doc
                .as_ref()
                .map(Self::letters)
                .unwrap_or_default();
            let texts = Texts::of_parameter(asked.parameter);
            if let Some(texts) = &texts {
                let join = if doc.is_empty() { "" } else { "; " };
                doc = format!("{doc}{join}{}", texts.quoted());
            }
            let default = asked.parameter.default.as_ref();
            let default = default.map(|default| self.wanted(default, &asked.kind));
            if let Some(texts) = &texts {
                self.hold_default(texts, default.as_ref(), &asked.kind);
            }
            if let Some(typed) = &default {
                doc = format!(
                    "{doc}{}default {}",
                    if doc.is_empty() { "" } else { "; " },
                    self.said(typed.span)
                );
            }
            if let Some((low, high)) = &asked.parameter.range {
                let (low, high) = (self.said(low.span), self.said(high.span));
                let join = if doc.is_empty() { "" } else { ", " };
                doc = format!("{doc}{join}between {low} and {high}");
            }
            let takes = Takes::of(&asked.kind);
            let kind = Some(asked.kind.clone());
            let optional = asked.parameter.default.is_some();
            if asked.is_option {
                form.options.push(Option_ {
                    name: name.into(),
                    takes,
                    doc: doc.into(),
                    required: !optional,
                    kind,
                });
            } else {
                let many = matches!(asked.kind, Kind::List(_));
                form.places.push(Place {
                    link: asked.link,
                    takes,
                    many,
                    optional,
                    name: name.into(),
                    doc: doc.into(),
                    kind,
                });
            }
        }
        form
    }

    fn refuse_overlap(&mut self, operation: &tree::Operation, form: &Form) {
        let head = operation.head.text.as_ref();
        let built = self
            .table
            .with_head(head)
            .map(|(_, other)| (other.signature(), overlap(form, other), None));
        let own = self
            .here
            .file
            .heads
            .get(head)
            .into_iter()
            .flatten()
            .filter_map(|&at| self.operations.get(at));
        let own = own.map(|other| {
            (
                other.form.signature(),
                overlap(form, &other.form),
                Some(other.span),
            )
        });
        let clash = built.chain(own).find(|(_, clash, _)| *clash);
        if let Some((signature, _, span)) = clash {
            let message = format!("`{head}` with these words could also be another phrase.");
            let mut diagnostic =
                Diagnostic::error(Code::FormsOverlap, operation.head.span, message)
                    .at("taken already")
                    .note(format!("There is  {signature}"))
                    .help("Take another head word, or a linking word that tells them apart.");
            if let Some(span) = span {
                diagnostic = diagnostic.see(span, "the other one is declared here");
            }
            self.fail(diagnostic);
        }
    }

    fn always_gives(&self, sentences: &[tree::Sentence]) -> bool {
        sentences.iter().any(|sentence| match &sentence.kind {
            SentenceKind::Give(_) | SentenceKind::Broken(_) => true,
            SentenceKind::Step(step) => self.always_gives(&step.body.sentences),
            SentenceKind::If(choice) => {
                let all = choice
                    .branches
                    .iter()
                    .all(|(_, block)| self.always_gives(&block.sentences));
                all && choice
                    .otherwise
                    .as_ref()
                    .is_some_and(|block| self.always_gives(&block.sentences))
            }
            _ => false,
        })
    }
}

/// The kind a parameter or result is declared with.
pub(super) fn kind_of(phrase: &KindPhrase) -> Kind {
    let kind = match phrase.kind {
        KindWord::Panel => Kind::Panel,
        KindWord::List => Kind::List(Box::new(Kind::Unknown)),
        word => word.kind().unwrap_or(Kind::Unknown),
    };
    if phrase.is_list && phrase.kind != KindWord::List {
        Kind::List(Box::new(kind))
    } else {
        kind
    }
}
