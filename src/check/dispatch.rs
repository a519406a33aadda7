//! Binding a phrase to its form: first by head, then by its linking words, then by kinds. The table refuses forms that
//! could take the same call, so at most one fits; where none does, the message names the nearest.

use super::checker::{Checker, Typed};
use super::panel::Shape;
use super::program::{CallNode, FormRef, Node};
use super::scope::nearest_word;
use crate::kind::Kind;
use crate::phrase::{Form, Gives, Meaning, Place, Takes};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{Clause, Expr, ExprKind, Lead, Link, Operator, Phrase, Setting, Word};
use std::rc::Rc;
use std::sync::Arc;

/// Words a cutter may try for a head, and the head that does it.
const OTHER_WORDS: &[(&str, &str)] = &[
    ("rotate", "pivot"),
    ("reflect", "mirror"),
    ("flip", "mirror"),
    ("offset", "parallel"),
    ("perpendicular", "square"),
    ("intersection", "where"),
    ("intersect", "where"),
    ("connect", "join"),
    ("lengthen", "extend"),
];

/// A phrase with its head settled.
struct Said<'a> {
    head: Option<&'a Word>,
    direct: Option<Vec<&'a Expr>>,
    clauses: Vec<(Link, Span, Vec<&'a Expr>)>,
    options: &'a [Setting],
    span: Span,
}

/// An argument with its place in the sentence.
struct Argument {
    link: Option<Link>,
    link_span: Span,
    items: Vec<Typed>,
}

impl<'a> Checker<'a> {
    /// Types a phrase.
    pub fn phrase(&mut self, phrase: &'a Phrase, span: Span) -> Typed {
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
            Lead::Value(value) => match self.loose_head(value) {
                Some((word, operand)) => {
                    if let Some(operand) = operand {
                        clauses.insert(0, (Link::Of, word.span, vec![operand]));
                    }
                    (Some(word), None)
                }
                None => (None, Some(vec![value])),
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
    pub fn head_of(&mut self, head: &'a Word, operand: &'a Expr, span: Span) -> Typed {
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

    /// A value before a linking word that is a head after all: a single word that begins a phrase, or a loose
    /// `HEAD of X`.
    fn loose_head(&self, value: &'a Expr) -> Option<(&'a Word, Option<&'a Expr>)> {
        match &value.kind {
            ExprKind::Name(name) => match name.words.as_slice() {
                [word] if self.is_head(&word.text) => Some((word, None)),
                _ => None,
            },
            ExprKind::Of { head, operand } if self.is_loose(&head.text) => {
                Some((head, Some(operand)))
            }
            _ => None,
        }
    }

    /// Whether a head takes linking words beside `of`.
    fn is_loose(&self, head: &str) -> bool {
        self.candidates(Some(head))
            .iter()
            .any(|(_, form)| !form.tight)
    }

    /// The forms a head has here.
    fn candidates(&self, head: Option<&str>) -> Vec<(FormRef, Rc<Form>)> {
        let built = self.table.with_head(head.unwrap_or_default());
        let mut forms: Vec<(FormRef, Rc<Form>)> = built
            .map(|(at, form)| (FormRef::Built(at), Rc::new(form.clone())))
            .collect();
        if let Some(head) = head {
            for &at in self.file.heads.get(head).into_iter().flatten() {
                if let Some(operation) = self.operations.get(at) {
                    forms.push((FormRef::Operation(at), Rc::clone(&operation.form)));
                }
            }
        }
        forms
    }

    /// `pivot -3cm about p`: the minus subtracts from a head, which no value is.
    fn minus_after_head(&self, phrase: &'a Phrase, span: Span) -> Option<Diagnostic> {
        let Lead::Value(value) = &phrase.lead else {
            return None;
        };
        let ExprKind::Sum {
            operator: Operator::Subtract,
            sign,
            left,
            right,
        } = &value.kind
        else {
            return None;
        };
        let ExprKind::Name(name) = &left.kind else {
            return None;
        };
        let [word] = name.words.as_slice() else {
            return None;
        };
        if !self.is_head(&word.text) || self.find(&word.text).is_some() {
            return None;
        }
        let head = word.text.as_ref();
        let message = format!("A `-` after a word subtracts, and `{head}` is no figure.");
        let rest = self.said(Span {
            start: right.span.end,
            end: span.end,
            ..span
        });
        let help = format!(
            "A figure below nothing takes brackets: `{head} (-{}){rest}`.",
            self.said(right.span)
        );
        Some(
            Diagnostic::error(Code::PhraseNeedsBrackets, sign.to(right.span), message)
                .at("a negative figure?")
                .help(help),
        )
    }

    fn unknown_head(&mut self, word: &Word, span: Span) -> Typed {
        let text = word.text.as_ref();
        if let Some(&place) = self.file.operations.get(&word.text) {
            let message = self.not_above(word, place);
            self.fail(message);
            return Typed::unknown(span);
        }
        let is_name = self.find(text).is_some();
        let message = if is_name {
            format!("`{text}` is something drawn, and no phrase begins with it.")
        } else {
            format!("No phrase begins with `{text}`.")
        };
        let mut diagnostic = Diagnostic::error(Code::UnknownPhrase, word.span, message);
        if is_name {
            diagnostic = diagnostic.help(
                "A linking word such as `to`, `from`, `along` or a comma is missing after it.",
            );
        } else {
            let heads = self
                .table
                .heads()
                .chain(self.file.heads.keys().map(String::as_str));
            let most = if self.is_flooded() { 0 } else { 5_000 };
            let words: Vec<&str> = heads.chain(self.visible()).take(most).collect();
            let trade = OTHER_WORDS.iter().find(|(other, _)| *other == text);
            if let Some((_, own)) = trade {
                diagnostic = diagnostic.help(format!("Write `{own}`: `oaktag phrases {own}`."));
            } else if let Some(near) = nearest_word(text, words) {
                diagnostic = diagnostic.help(format!("Did you mean `{near}`?"));
            } else {
                diagnostic = diagnostic.help("`oaktag phrases` lists every phrase there is.");
            }
        }
        self.fail(diagnostic);
        Typed::unknown(span)
    }

    /// An operation sees only those above it, so none can call itself.
    fn not_above(&self, word: &Word, place: Span) -> Diagnostic {
        let text = word.text.as_ref();
        let is_itself = self.operation.as_deref() == Some(text);
        let message = if is_itself {
            format!("`{text}` calls itself, and no draft would ever end that way.")
        } else {
            format!("`{text}` is declared only further down.")
        };
        let help = if is_itself {
            "To do a thing several times, write `each`; to find a figure, `try`."
        } else {
            "An operation sees only those above it: move that one up."
        };
        Diagnostic::error(Code::OperationNotAbove, word.span, message)
            .at("called here")
            .see(place, "declared here")
            .help(help)
    }

    fn bind_phrase(&mut self, said: Said<'a>) -> Typed {
        if !self.clauses_once(&said) {
            return Typed::unknown(said.span);
        }
        let forms = self.candidates(said.head.map(|word| word.text.as_ref()));
        let links: Vec<Link> = said.clauses.iter().map(|(link, ..)| *link).collect();
        let fitting: Vec<(FormRef, Rc<Form>)> = forms
            .iter()
            .filter(|(_, form)| form.words_fit(said.direct.is_some(), &links))
            .cloned()
            .collect();
        if fitting.is_empty() {
            let message = self.words_do_not_fit(&said, &forms, &links);
            self.fail(message);
            // Whatever else is wrong inside is told too.
            self.arguments(&said);
            return Typed::unknown(said.span);
        }
        let (arguments, fine) = self.unbroken(|c| c.arguments(&said));
        if !fine {
            self.broken = true;
            return Typed {
                kind: self.likely_kind(&fitting),
                ..Typed::unknown(said.span)
            };
        }
        let chosen = fitting
            .iter()
            .find(|(_, form)| arguments.iter().all(|a| argument_fits(form, a)));
        let Some((reference, form)) = chosen else {
            let message = self.wrong_argument(&fitting, &arguments);
            self.fail(message);
            return Typed::unknown(said.span);
        };
        self.build(*reference, &Rc::clone(form), arguments, &said)
    }

    /// Where arguments are wrong, the kind the phrase would have had; `Unknown` keeps further messages away.
    fn likely_kind(&self, _fitting: &[(FormRef, Rc<Form>)]) -> Kind {
        Kind::Unknown
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

    /// `from tip to foot from tip onto centre`: the last argument before the clause at `at` is a bare head.
    fn inner_phrase(&self, said: &Said<'a>, at: usize) -> Option<Diagnostic> {
        let (_, _, arguments) = said.clauses.get(at.checked_sub(1)?)?;
        let last = arguments.last()?;
        let ExprKind::Name(name) = &last.kind else {
            return None;
        };
        let [word] = name.words.as_slice() else {
            return None;
        };
        if !self.is_head(&word.text) || self.find(&word.text).is_some() {
            return None;
        }
        let inner = word.span.to(said.span);
        let inner = Span {
            start: word.span.start,
            ..inner
        };
        let message = format!(
            "`{}` begins a phrase, and a phrase inside a phrase stands in brackets.",
            word.text
        );
        let letters: Vec<&str> = self.said(inner).split_whitespace().collect();
        Some(
            Diagnostic::error(Code::PhraseNeedsBrackets, inner, message)
                .at("a phrase of its own")
                .help(format!("Write `({})`.", letters.join(" "))),
        )
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

    fn words_do_not_fit(
        &self,
        said: &Said<'a>,
        forms: &[(FormRef, Rc<Form>)],
        links: &[Link],
    ) -> Diagnostic {
        let direct = said.direct.is_some();
        let off = |form: &Form| {
            let (missing, extra) = form.words_off(direct, links);
            missing.len() + extra.len()
        };
        let mut nearest: Vec<&Rc<Form>> = forms.iter().map(|(_, form)| form).collect();
        nearest.sort_by_key(|form| off(form));
        let word = |link: Option<Link>| match link {
            None => "what it is done to, right after the head".to_owned(),
            Some(link) => format!("`{}`", link.word()),
        };
        let subject = said
            .head
            .map_or("A phrase".to_owned(), |head| format!("`{}`", head.text));
        let Some(first) = nearest.first() else {
            return Diagnostic::error(
                Code::WordsDoNotFit,
                said.span,
                "No phrase has these linking words.",
            );
        };
        let (missing, extra) = first.words_off(direct, links);
        let list = |links: &[Option<Link>]| {
            links
                .iter()
                .map(|l| word(*l))
                .collect::<Vec<_>>()
                .join(" and ")
        };
        let message = match (missing.is_empty(), extra.is_empty()) {
            (false, true) => format!("{subject} stops short: {} is missing.", list(&missing)),
            (true, false) => format!("{subject} does not take {} here.", list(&extra)),
            _ => format!(
                "{subject} wants {} and does not take {}.",
                list(&missing),
                list(&extra)
            ),
        };
        let place = extra
            .first()
            .and_then(|link| said.clauses.iter().find(|(l, ..)| Some(*l) == *link))
            .map_or_else(
                || said.head.map_or(said.span, |_| said.span),
                |(_, span, _)| *span,
            );
        let mut diagnostic = Diagnostic::error(Code::WordsDoNotFit, place, message);
        diagnostic = diagnostic.at(match extra.as_slice() {
            [] => "stops short",
            _ => "not in this phrase",
        });
        let shown = if said.head.is_some() { 3 } else { 2 };
        for (at, form) in nearest.iter().take(shown).enumerate() {
            let word = if at == 0 { "It is said" } else { "or        " };
            diagnostic = diagnostic.note(format!("{word}  {}", form.signature()));
        }
        if !extra.is_empty() {
            diagnostic = diagnostic.help(
                "If these words belong to a phrase of their own, put that phrase in brackets.",
            );
        }
        diagnostic
    }

    fn wrong_argument(
        &self,
        fitting: &[(FormRef, Rc<Form>)],
        arguments: &[Argument],
    ) -> Diagnostic {
        let fits = |form: &Form| arguments.iter().filter(|a| argument_fits(form, a)).count();
        let best = fitting
            .iter()
            .map(|(_, form)| form)
            .max_by_key(|form| fits(form));
        let Some(form) = best else {
            return Diagnostic::error(Code::WrongKind, Span::default(), "No form fits.");
        };
        for argument in arguments {
            let Some(place) = form
                .place_of(argument.link)
                .and_then(|at| form.places.get(at))
            else {
                continue;
            };
            if !place.many && argument.items.len() > 1 {
                let message = format!(
                    "{} takes one value, and here stand {}.",
                    place_words(form, place),
                    argument.items.len()
                );
                let span = argument
                    .items
                    .get(1)
                    .map_or(argument.link_span, |typed| typed.span);
                return Diagnostic::error(Code::WordsDoNotFit, span, message)
                    .at("one too many")
                    .note(format!("It is said  {}", form.signature()));
            }
            if let Some(wrong) = argument.items.iter().find(|item| !item_fits(place, item)) {
                let kinds = kinds_of(place.takes);
                let wanted = place
                    .kind
                    .as_ref()
                    .map_or_else(|| either_path(&place.takes.words()), Kind::with_article);
                let mut diagnostic = self.kind_mismatch(wrong, &wanted, &kinds);
                if diagnostic.code == Code::WrongKind {
                    diagnostic = diagnostic.note(format!("It is said  {}", form.signature()));
                }
                return diagnostic;
            }
        }
        Diagnostic::error(
            Code::WrongKind,
            arguments.first().map_or(Span::default(), |a| a.link_span),
            "No form fits these kinds.",
        )
        .note(format!("It is said  {}", form.signature()))
    }

    fn build(
        &mut self,
        reference: FormRef,
        form: &Form,
        arguments: Vec<Argument>,
        said: &Said<'a>,
    ) -> Typed {
        let options = self.options(form, said);
        if let (FormRef::Operation(number), Meaning::Operation(_)) = (reference, form.meaning) {
            let arguments: Vec<(Option<Link>, Vec<Typed>)> =
                arguments.into_iter().map(|a| (a.link, a.items)).collect();
            return self.call_operation(number, form, arguments, options, said.span);
        }
        let FormRef::Built(row) = reference else {
            return Typed::unknown(said.span);
        };
        let count = form.places.len() + form.options.len();
        let mut args: Vec<Option<Node>> = vec![None; count];
        let mut names: Vec<Option<Arc<str>>> = vec![None; count];
        let mut spans = vec![said.span; count];
        let mut first: Vec<Kind> = Vec::new();
        let mut shape: Option<Rc<Shape>> = None;
        let mut list_kinds: Vec<Option<Kind>> = vec![None; count];
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
                first = argument.items.iter().map(|t| t.kind.clone()).collect();
                shape = argument.items.first().and_then(|t| t.shape.clone());
            }
            if let (Some(kind), [item]) = (list_kinds.get_mut(at), argument.items.as_slice()) {
                *kind = Some(item.kind.clone());
            }
            if let (Some(name), [item]) = (names.get_mut(at), argument.items.as_slice()) {
                *name = item.name.clone();
            }
            let node = argument_node(argument.items, many);
            set(&mut args, at, Some(node));
            set(&mut spans, at, span);
        }
        let mut lengths = vec![false; count];
        for (at, typed) in options {
            set(
                &mut lengths,
                form.places.len() + at,
                typed.kind == Kind::LENGTH,
            );
            set(&mut spans, form.places.len() + at, typed.span);
            set(&mut args, form.places.len() + at, Some(typed.node));
        }
        let kind = result_kind(form, &first, &list_kinds);
        let call = CallNode {
            form: row,
            args: args.into(),
            lengths: lengths.into(),
            names: names.into(),
            spans: spans.into(),
            span: said.span,
        };
        let mut typed = Typed::new(Node::Call(Box::new(call)), kind, said.span);
        typed.form = Some(reference);
        if typed.kind == Kind::Panel {
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
                self.fail(message);
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
                    .map_or_else(|| either_path(&option.takes.words()), Kind::with_article);
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

    fn unknown_option(&self, form: &Form, name: &Word) -> Diagnostic {
        let phrase = form
            .head
            .as_deref()
            .map_or("This phrase".to_owned(), |head| format!("`{head}`"));
        let message = format!("{phrase} has no option `{}`.", name.text);
        let diagnostic = Diagnostic::error(Code::UnknownOption, name.span, message);
        if let Some(near) = nearest_word(&name.text, form.options.iter().map(|o| o.name.as_ref())) {
            return diagnostic.help(format!("Did you mean `{near}`?"));
        }
        let options: Vec<&str> = form.options.iter().map(|o| o.name.as_ref()).collect();
        match options.as_slice() {
            [] => diagnostic.note("It has no options at all."),
            _ => diagnostic.note(format!("It has {}.", options.join(", "))),
        }
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
            (Some(shape), true) => nodes.extend(shape.drawn_nodes()),
            _ if single && (!many || matches!(item.kind, Kind::List(_))) => return item.node,
            _ if single && many => return item.node,
            _ => nodes.push(item.node),
        }
    }
    Node::List(nodes)
}

fn argument_fits(form: &Form, argument: &Argument) -> bool {
    let Some(place) = form
        .place_of(argument.link)
        .and_then(|at| form.places.get(at))
    else {
        return false;
    };
    (place.many || argument.items.len() == 1)
        && argument.items.iter().all(|item| item_fits(place, item))
}

fn item_fits(place: &Place, item: &Typed) -> bool {
    if let Some(kind) = &place.kind {
        let one_of_many = matches!(kind, Kind::List(inner) if place.many && item.kind.fits(inner));
        return one_of_many || item.kind.fits(kind);
    }
    if place.takes.takes(&item.kind) {
        return true;
    }
    match &item.kind {
        Kind::List(inner) if place.many => place.takes.takes(inner),
        _ => false,
    }
}

fn kinds_of(takes: Takes) -> Vec<Kind> {
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
        Kind::Text,
        Kind::Answer,
    ]
    .into_iter()
    .filter(|kind| takes.takes(kind))
    .collect()
}

fn result_kind(form: &Form, first: &[Kind], kinds: &[Option<Kind>]) -> Kind {
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
        Gives::ItemOf(at) => match kinds.get(*at) {
            Some(Some(Kind::List(item))) => (**item).clone(),
            Some(Some(one)) => one.clone(),
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

/// "`onto` of `swing`", "what `pivot` is done to".
fn place_words(form: &Form, place: &Place) -> String {
    let head = form
        .head
        .as_deref()
        .map_or(String::new(), |head| format!(" of `{head}`"));
    match place.link {
        Some(link) => format!("`{}`{head}", link.word()),
        None => format!("The first place{head}"),
    }
}

/// A place that takes a curve takes a line too.
pub(super) fn either_path(words: &str) -> String {
    words.replace("a curve", "a line or a curve")
}
