//! Binding a phrase to its form: first by head, then by its linking words, then by kinds. The table refuses forms that
//! could take the same call, so at most one fits; where none does, the message names the nearest.

use super::checker::{Checker, Typed};
use super::nearest_form::kind_words;
use super::program::{CallNode, FormRef, Node};
use super::shape::Shape;
use crate::kind::Kind;
use crate::phrase::{Form, Gives, Place, Takes};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, Clause, Expr, ExprKind, Lead, Link, Phrase, Setting, Word};
use std::rc::Rc;
use std::sync::Arc;

/// A phrase with its head settled.
pub(super) struct Said<'a> {
    pub head: Option<&'a Word>,
    pub direct: Option<Vec<&'a Expr>>,
    pub clauses: Vec<(Link, Span, Vec<&'a Expr>)>,
    pub options: &'a [Setting],
    pub span: Span,
}

/// A form that can be called here: a row of the table, which stands for ever, or a draft's own.
#[derive(Clone)]
pub(super) enum FormHere {
    Built(&'static Form),
    Own(Rc<Form>),
}

impl std::ops::Deref for FormHere {
    type Target = Form;

    fn deref(&self) -> &Form {
        match self {
            FormHere::Built(form) => form,
            FormHere::Own(form) => form,
        }
    }
}

/// An argument with its place in the sentence.
pub(super) struct Argument {
    pub link: Option<Link>,
    pub link_span: Span,
    pub items: Vec<Typed>,
}

impl<'a> Checker<'a> {
    pub(super) fn phrase(&mut self, phrase: &'a Phrase, span: Span) -> Typed {
        let mut clauses: Vec<_> = phrase.clauses.iter().map(clause_parts).collect();
        if let Some(message) = self.minus_after_head(phrase, span) {
            self.fail(message);
            return Typed::unknown(span);
        }
        let (head, direct) = match &phrase.lead {
            Lead::Nothing => (None, None),
            Lead::Head { word, direct } => {
                if !self.is_head(&word.text) {
                    return self.unknown_head(word, span);
                }
                (
                    Some(word),
                    (!direct.is_empty()).then(|| direct.iter().collect()),
                )
            }
            Lead::Value(value) => match self.loose_head(value, &clauses) {
                Some((word, operand)) => {
                    if let Some(operand) = operand {
                        clauses.insert(0, (Link::Of, word.span, vec![operand]));
                    }
                    (Some(word), None)
                }
                None => {
                    if let Some(word) = self.misspelt_head(value, &clauses) {
                        return self.unknown_head(word, span);
                    }
                    (None, Some(vec![value]))
                }
            },
        };
        self.bind_phrase(Said {
            head,
            direct,
            clauses,
            options: &phrase.options,
            span,
        })
    }

    /// `HEAD of X` standing alone.
    pub(super) fn head_of(&mut self, head: &'a Word, operand: &'a Expr, span: Span) -> Typed {
        if !self.is_head(&head.text) {
            return self.unknown_head(head, span);
        }
        let clauses = vec![(Link::Of, head.span, vec![operand])];
        self.bind_phrase(Said {
            head: Some(head),
            direct: None,
            clauses,
            options: &[],
            span,
        })
    }

    /// A head that needs no words at all, standing alone: `womens_block`.
    pub(super) fn bare_head(&mut self, name: &'a tree::Name) -> Option<Typed> {
        let [word] = name.words.as_slice() else {
            return None;
        };
        if !self.is_head(&word.text) || self.sees(&word.text).is_some() {
            return None;
        }
        let fits = |(_, form): (FormRef, FormHere)| form.words_fit(false, &[]);
        if !self.candidates(Some(&word.text)).any(fits) {
            return None;
        }
        Some(self.bind_phrase(Said {
            head: Some(word),
            direct: None,
            clauses: Vec::new(),
            options: &[],
            span: name.span,
        }))
    }

    /// A value before a linking word that is a head after all: a single word that begins a phrase, or a loose
    /// `HEAD of X`.
    fn loose_head(
        &self,
        value: &'a Expr,
        clauses: &[(Link, Span, Vec<&'a Expr>)],
    ) -> Option<(&'a Word, Option<&'a Expr>)> {
        match &value.kind {
            ExprKind::Name(name) => match name.words.as_slice() {
                [word] if self.sees(&word.text).is_some() => {
                    // The word is a name too: it is the head where its phrase has these words.
                    let links: Vec<Link> = clauses.iter().map(|(link, ..)| *link).collect();
                    let mut forms = self.candidates(Some(&word.text));
                    let fits = forms.any(|(_, form)| form.words_fit(false, &links));
                    fits.then_some((word, None))
                }
                [word] if self.is_head(&word.text) => Some((word, None)),
                _ => None,
            },
            ExprKind::Of { head, operand } if self.is_loose(&head.text) => {
                Some((head, Some(operand)))
            }
            _ => None,
        }
    }

    /// A word before linking words that no value can stand before, and that nothing drawn is called: a head, misspelt.
    fn misspelt_head(
        &self,
        value: &'a Expr,
        clauses: &[(Link, Span, Vec<&'a Expr>)],
    ) -> Option<&'a Word> {
        let ExprKind::Name(name) = &value.kind else {
            return None;
        };
        let [word] = name.words.as_slice() else {
            return None;
        };
        let known = self.sees(&word.text).is_some()
            || self.here.file.drawn.contains_key(&word.text)
            || self.here.file.broken.contains(&word.text)
            || self.here.file.operations.contains_key(&word.text)
            || self.here.layers.iter().any(|layer| layer.is_open);
        let links: Vec<Link> = clauses.iter().map(|(link, ..)| *link).collect();
        let fits = || {
            let mut forms = self.candidates(None);
            forms.any(|(_, form)| form.words_fit(true, &links))
        };
        (!known && !fits()).then_some(word)
    }

    /// Whether a head takes linking words beside `of`.
    fn is_loose(&self, head: &str) -> bool {
        self.candidates(Some(head)).any(|(_, form)| !form.tight)
    }

    /// The forms a head has here.
    fn candidates(&self, head: Option<&str>) -> impl Iterator<Item = (FormRef, FormHere)> {
        let built = self.table.with_head(head.unwrap_or_default());
        let built = built.map(|(at, form)| (FormRef::Built(at), FormHere::Built(form)));
        let own = head.and_then(|head| self.here.file.heads.get(head));
        let own = own.into_iter().flatten().filter_map(|&at| {
            let form = Rc::clone(&self.operations.get(at)?.form);
            Some((FormRef::Operation(at), FormHere::Own(form)))
        });
        built.chain(own)
    }

    fn bind_phrase(&mut self, said: Said<'a>) -> Typed {
        if !self.clauses_once(&said) {
            return Typed::unknown(said.span);
        }
        let head = said.head.map(|word| word.text.as_ref());
        let links: Vec<Link> = said.clauses.iter().map(|(link, ..)| *link).collect();
        let forms = self.candidates(head);
        let fitting: Vec<(FormRef, FormHere)> = forms
            .filter(|(_, form)| form.words_fit(said.direct.is_some(), &links))
            .collect();
        if fitting.is_empty() {
            let forms: Vec<_> = self.candidates(head).collect();
            let message = self.words_do_not_fit(&said, &forms, &links);
            self.fail(message);
            // Whatever else is wrong inside is told too.
            self.arguments(&said);
            return Typed::unknown(said.span);
        }
        let (arguments, fine) = self.unbroken(|c| c.arguments(&said));
        if !fine {
            self.here.broken = true;
            let mut own = fitting.iter();
            let own = own.find(|(form, _)| matches!(form, FormRef::Operation(_)));
            let Some((reference, form)) = own else {
                return Typed::unknown(said.span);
            };
            // What it would draw has its names all the same, and no values.
            let told = self.diagnostics.len();
            let typed = self.build(*reference, form, arguments, &said);
            self.diagnostics.truncate(told);
            self.here.broken = true;
            return typed;
        }
        let chosen = fitting
            .iter()
            .find(|(_, form)| arguments.iter().all(|a| argument_fits(form, a)));
        let Some((reference, form)) = chosen else {
            let message = self.wrong_argument(&fitting, &arguments);
            self.fail(message);
            return Typed::unknown(said.span);
        };
        self.build(*reference, form, arguments, &said)
    }

    fn clauses_once(&mut self, said: &Said<'a>) -> bool {
        for (at, (link, span, _)) in said.clauses.iter().enumerate() {
            let earlier = said
                .clauses
                .iter()
                .take(at)
                .find(|(other, ..)| other == link);
            if let Some((_, first, _)) = earlier {
                if let Some(message) = self.inner_phrase(said, at) {
                    self.fail(message);
                    return false;
                }
                let message = format!("`{}` stands twice in this phrase.", link.word());
                let diagnostic = Diagnostic::error(Code::WordsDoNotFit, *span, message)
                    .at("again here")
                    .see(*first, "first here")
                    .help("A phrase inside a phrase stands in brackets.");
                self.fail(diagnostic);
                return false;
            }
        }
        true
    }

    fn arguments(&mut self, said: &Said<'a>) -> Vec<Argument> {
        let mut arguments = Vec::with_capacity(said.clauses.len() + 1);
        if let Some(direct) = &said.direct {
            let items: Vec<Typed> = direct.iter().map(|expr| self.expression(expr)).collect();
            let link_span = items.first().map_or(said.span, |typed| typed.span);
            arguments.push(Argument {
                link: None,
                link_span,
                items,
            });
        }
        for (link, span, exprs) in &said.clauses {
            let items = exprs.iter().map(|expr| self.expression(expr)).collect();
            arguments.push(Argument {
                link: Some(*link),
                link_span: *span,
                items,
            });
        }
        arguments
    }

    fn build(
        &mut self,
        reference: FormRef,
        form: &Form,
        arguments: Vec<Argument>,
        said: &Said<'a>,
    ) -> Typed {
        let options = self.options(form, said);
        let unnamed_in = said.span;
        let items = arguments.iter().flat_map(|argument| &argument.items);
        let mut given = items.filter(|item| item.kind == Kind::Panel);
        let unnamed = given.find(|item| item.shape.as_ref().is_some_and(|shape| shape.is_fresh()));
        if let Some(unnamed) = unnamed {
            let is_item = unnamed.shape.as_ref().is_some_and(|shape| shape.is_item());
            let message = if is_item {
                "A panel out of a list is given a name before it is worked with."
            } else {
                "A panel is given a name before it is worked with."
            };
            let said = self.said(unnamed.span);
            let help = format!(
                "Give it a name on a line before, as in `panel one = {}`.",
                said.trim_matches(['(', ')'])
            );
            let told = Diagnostic::error(Code::WrongKind, unnamed.span, message).help(help);
            self.fail(told);
            return Typed::unknown(unnamed_in);
        }
        let row = match reference {
            FormRef::Built(row) => row,
            FormRef::Operation(number) => {
                if let (Some(head), Some(operation)) = (said.head, self.operations.get(number)) {
                    self.mention(head.span, operation.span);
                }
                let arguments = arguments.into_iter().map(|a| (a.link, a.items)).collect();
                return self.call_operation(number, form, arguments, options, said.span);
            }
        };
        let count = form.places.len() + form.options.len();
        let mut args: Vec<Option<Node>> = vec![None; count];
        let mut names: Vec<Option<Arc<str>>> = vec![None; count];
        let mut spans = vec![said.span; count];
        let mut first: Vec<Kind> = Vec::new();
        let mut shape: Option<Rc<Shape>> = None;
        let item_of = match form.gives {
            Gives::ItemOf(at) | Gives::LikeItemsOf(at) => Some(at),
            Gives::Kind(_) | Gives::SameAsFirst | Gives::RootOfFirst => None,
        };
        let mut list: Option<(Kind, Option<Rc<Shape>>)> = None;
        for argument in arguments {
            let Some(at) = form.place_of(argument.link) else {
                continue;
            };
            let many = form.places.get(at).is_some_and(|place| place.many);
            let span = argument
                .items
                .iter()
                .map(|t| t.span)
                .reduce(Span::to)
                .unwrap_or(argument.link_span);
            if at == 0 {
                if !matches!(form.gives, Gives::Kind(_)) {
                    first = argument.items.iter().map(|t| t.kind.clone()).collect();
                }
                shape = argument.items.first().and_then(|t| t.shape.clone());
            }
            if let (true, [item]) = (item_of == Some(at), argument.items.as_slice()) {
                list = Some((item.kind.clone(), item.shape.clone()));
            }
            if let (Some(name), [item]) = (names.get_mut(at), argument.items.as_slice()) {
                *name = item.name.clone();
            }
            let node = argument_node(argument.items, many);
            set(&mut args, at, Some(node));
            set(&mut spans, at, span);
        }
        for (at, typed) in options {
            set(&mut spans, form.places.len() + at, typed.span);
            set(&mut args, form.places.len() + at, Some(typed.node));
        }
        let kind = result_kind(form, &first, list.as_ref().map(|(kind, _)| kind));
        let call = CallNode {
            form: row,
            args: args.into(),
            names: names.into(),
            spans: spans.into(),
            span: said.span,
        };
        let mut typed = Typed::new(Node::Call(Box::new(call)), kind, said.span);
        typed.form = Some(reference);
        if let (Kind::Panel, Gives::ItemOf(_)) = (&typed.kind, &form.gives) {
            typed.shape = list.and_then(|(_, shape)| shape);
        } else if typed.kind == Kind::Panel {
            self.whole_panel_is_known(shape.as_deref(), said.span);
            typed.shape = shape.map(|shape| Rc::new(shape.moved()));
        }
        typed
    }

    fn options(&mut self, form: &Form, said: &Said<'a>) -> Vec<(usize, Typed)> {
        let mut options: Vec<(usize, Typed)> = Vec::new();
        for setting in said.options {
            let name = setting.name.text.as_ref();
            let Some(at) = form.options.iter().position(|option| option.name == name) else {
                let message = self.unknown_option(form, &setting.name);
                self.fail(self.or_left_out(message, setting, said.options));
                continue;
            };
            if options.iter().any(|(other, _)| *other == at) {
                self.fail(Diagnostic::error(
                    Code::UnknownOption,
                    setting.name.span,
                    format!("`{name}` is set twice."),
                ));
                continue;
            }
            if let Some(to) = &setting.to {
                let message = format!("`{name}` takes one value, not a range.");
                self.fail(Diagnostic::error(Code::UnknownOption, to.span, message));
            }
            let typed = self.expression(&setting.value);
            let Some(option) = form.options.get(at) else {
                continue;
            };
            let fits = option.takes.takes(&typed.kind)
                && option
                    .kind
                    .as_ref()
                    .is_none_or(|kind| typed.kind.fits(kind));
            if !fits {
                let wanted = option
                    .kind
                    .as_ref()
                    .map_or_else(|| option.takes.words(), kind_words);
                let message = self.kind_mismatch(&typed, &wanted, &kinds_of(option.takes));
                self.fail(message);
            }
            options.push((at, typed));
        }
        for (at, option) in form.options.iter().enumerate() {
            if option.required && !options.iter().any(|(given, _)| *given == at) {
                let message = format!("`{}` must be set: {}", option.name, option.doc);
                self.fail(
                    Diagnostic::error(Code::UnknownOption, said.span, message)
                        .help(format!("Add `with {} …`.", option.name)),
                );
            }
        }
        options
    }
}

fn clause_parts(clause: &Clause) -> (Link, Span, Vec<&Expr>) {
    (
        clause.link,
        clause.link_span,
        clause.arguments.iter().collect(),
    )
}

fn set<T>(row: &mut [T], at: usize, value: T) {
    if let Some(place) = row.get_mut(at) {
        *place = value;
    }
}

/// One value as it is; several, or a single item for a place that takes several, as a list. A list given to such a
/// place stands for its items.
fn argument_node(items: Vec<Typed>, many: bool) -> Node {
    let single = items.len() == 1;
    let mut nodes: Vec<Node> = Vec::with_capacity(items.len());
    for item in items {
        match (&item.shape, many) {
            (Some(shape), true) => nodes.extend(shape.drawn().map(Node::Slot)),
            _ if single => return item.node,
            _ => nodes.push(item.node),
        }
    }
    Node::List(nodes)
}

pub(super) fn argument_fits(form: &Form, argument: &Argument) -> bool {
    let Some(place) = form
        .place_of(argument.link)
        .and_then(|at| form.places.get(at))
    else {
        return false;
    };
    (place.many || argument.items.len() == 1)
        && argument.items.iter().all(|item| item_fits(place, item))
}

pub(super) fn item_fits(place: &Place, item: &Typed) -> bool {
    if let Some(kind) = &place.kind {
        let one_of_many = matches!(kind, Kind::List(inner) if place.many && item.kind.fits(inner));
        return one_of_many || item.kind.fits(kind);
    }
    if place.takes.takes(&item.kind) {
        return true;
    }
    match &item.kind {
        Kind::List(inner) if place.many => **inner != Kind::Panel && place.takes.takes(inner),
        _ => false,
    }
}

pub(super) fn kinds_of(takes: Takes) -> Vec<Kind> {
    [
        Kind::Point,
        Kind::Line,
        Kind::Curve,
        Kind::LENGTH,
        Kind::ANGLE,
        Kind::AREA,
        Kind::NUMBER,
        Kind::Direction,
        Kind::Turn,
        Kind::LengthRound,
        Kind::PointRound,
        Kind::Text,
        Kind::Answer,
    ]
    .into_iter()
    .filter(|kind| takes.takes(kind))
    .collect()
}

fn result_kind(form: &Form, first: &[Kind], list: Option<&Kind>) -> Kind {
    match &form.gives {
        Gives::Kind(kind) => kind.clone(),
        Gives::SameAsFirst => match first {
            [one] => one.clone(),
            several => {
                let joined = several
                    .iter()
                    .try_fold(Kind::Unknown, |all, kind| all.joined(kind));
                Kind::List(Box::new(joined.unwrap_or(Kind::Unknown)))
            }
        },
        Gives::ItemOf(_) | Gives::LikeItemsOf(_) => match list {
            Some(Kind::List(item)) => (**item).clone(),
            Some(one) => one.clone(),
            // Several, one by one: of one kind, as the check of arguments saw.
            _ => first
                .iter()
                .try_fold(Kind::Unknown, |all, kind| all.joined(kind))
                .unwrap_or(Kind::Unknown),
        },
        Gives::RootOfFirst => match first {
            [Kind::Quantity(dimension)] => dimension.root().map_or(Kind::Unknown, Kind::Quantity),
            _ => Kind::Unknown,
        },
    }
}
