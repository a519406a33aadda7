//! Messages where no form fits a phrase: the nearest head, the nearest words, the argument of the wrong kind.

use super::checker::{Checker, Typed};
use super::dispatch::{Argument, FormHere, Said, argument_fits, item_fits, kinds_of};
use super::program::FormRef;
use super::scope::nearest_word;
use crate::kind::Kind;
use crate::library;
use crate::phrase::{Form, Place};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{ExprKind, Lead, Link, Operator, Phrase, SentenceKind, Setting, Word};
use crate::voice;

impl<'a> Checker<'a> {
    /// `pivot -3cm about p`: the minus subtracts from a head, which no value is.
    pub(super) fn minus_after_head(&self, phrase: &'a Phrase, span: Span) -> Option<Diagnostic> {
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
        if !self.is_head(&word.text) || self.sees(&word.text).is_some() {
            return None;
        }
        let head = word.text.as_ref();
        let message = format!("A `-` after a word subtracts, and `{head}` is no figure.");
        let rest = self.said(Span {
            start: right.span.end,
            end: span.end,
            ..span
        });
        let figure = format!("(-{})", self.said(right.span));
        let place = sign.to(right.span);
        Some(
            Diagnostic::error(Code::PhraseNeedsBrackets, place, message)
                .at("a negative figure?")
                .help(format!(
                    "A negative figure takes brackets: `{head} {figure}{rest}`."
                ))
                .offer(place, figure),
        )
    }

    pub(super) fn unknown_head(&mut self, word: &Word, span: Span) -> Typed {
        let text = word.text.as_ref();
        if let Some(&place) = self.here.file.operations.get(&word.text) {
            let message = self.not_above(word, place);
            self.fail(message);
            return Typed::unknown(span);
        }
        let is_name = self.sees(text).is_some();
        let is_lost = self.here.file.heads_lost || self.here.file.broken.contains(&word.text);
        if is_lost && !is_name {
            // The sentence that declares it, or brings it in, is reported already.
            self.here.broken = true;
            return Typed::unknown(span);
        }
        if !is_name && let Some(told) = self.in_library(word) {
            self.fail_once(text, told);
            return Typed::unknown(span);
        }
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
                .chain(self.here.file.heads.keys().map(String::as_str))
                .chain(self.project.heads_unread.iter().copied());
            let most = if self.is_flooded() { 0 } else { 5_000 };
            let words: Vec<&str> = heads.chain(self.visible()).take(most).collect();
            let near = nearest_word(text, words.iter().copied());
            let also = self.table.forms().iter().flat_map(|form| form.also);
            let also = nearest_word(text, also.copied().take(most));
            let also = also.and_then(|word| self.table.head_also(word));
            let exact = self.table.head_also(text);
            if let Some(own) = exact.or(also.filter(|_| near.is_none())) {
                diagnostic = diagnostic
                    .help(format!("Write `{own}`: `oaktag phrases {own}`."))
                    .offer(word.span, own);
            } else if let Some(near) = near {
                diagnostic = diagnostic.meant(near);
            } else if let Some(told) = self.called_otherwise(word) {
                diagnostic = told;
            } else {
                diagnostic = diagnostic.help("`oaktag phrases` lists every phrase there is.");
            }
        }
        self.fail(diagnostic);
        Typed::unknown(span)
    }

    /// A word that is an act of modules the draft does not use.
    pub(super) fn in_library(&self, word: &Word) -> Option<Diagnostic> {
        let text = word.text.as_ref();
        let modules = self.unused_modules(text);
        if modules.is_empty() {
            return None;
        }
        let message =
            format!("`{text}` is an act of the library, and the draft does not use its module.");
        let lines: Vec<String> = modules.iter().map(|one| format!("`use {one}`")).collect();
        let (place, before) = self.where_modules_stand();
        let told = Diagnostic::error(Code::UnknownPhrase, word.span, message).help(format!(
            "Write {} at the head of the draft.",
            voice::either(&lines)
        ));
        Some(modules.iter().fold(told, |told, module| {
            let line = if before {
                format!("use {module}\n")
            } else {
                format!("\nuse {module}")
            };
            told.offer(place, line)
        }))
    }

    /// A word by which others call an act of the library.
    fn called_otherwise(&self, word: &Word) -> Option<Diagnostic> {
        let text = word.text.as_ref();
        let act = library::act_also(text)?;
        let message = format!("The library calls it `{act}`; no phrase begins with `{text}`.");
        let told = Diagnostic::error(Code::UnknownPhrase, word.span, message);
        Some(match self.unused_modules(act).first() {
            Some(module) => told
                .help(format!(
                    "Write `{act}`, and `use {module}` at the head of the draft."
                ))
                .offer(word.span, act),
            None => told.write(act),
        })
    }

    /// Tells that an act's module is not used, unless it may be brought by one that is misspelt, or by one that was asked for
    /// already.
    pub(super) fn fail_once(&mut self, head: &str, told: Diagnostic) {
        if self.use_lost || self.is_brought(&self.unused_modules(head)) {
            self.here.broken = true;
        } else {
            self.fail(told);
        }
    }

    fn is_brought(&self, modules: &[&'static str]) -> bool {
        let told = self.diagnostics.iter();
        let told = told.filter(|told| told.code == Code::UnknownPhrase);
        let offers = told.flat_map(|told| &told.offers);
        let mut brought: Vec<&str> = offers
            .filter_map(|offer| offer.text.trim().strip_prefix("use "))
            .collect();
        let mut at = 0;
        while let Some(module) = brought.get(at).and_then(|name| library::module(name)) {
            at += 1;
            for inner in module.uses {
                if !brought.contains(inner) {
                    brought.push(inner);
                }
            }
        }
        modules.iter().any(|module| brought.contains(module))
    }

    /// The modules that have an act, where the draft uses none of them.
    fn unused_modules(&self, head: &str) -> Vec<&'static str> {
        let modules: Vec<&str> = library::modules_of(head).collect();
        let used = |module: &&str| self.project.modules.contains_key(*module);
        if modules.iter().any(used) {
            return Vec::new();
        }
        modules
    }

    /// Where a module is named: behind the last sentence of the head, or before all.
    fn where_modules_stand(&self) -> (Span, bool) {
        let file = self.project.file(0);
        let sentences = file.into_iter().flat_map(|file| &file.tree.sentences);
        let mut head = sentences.take_while(|sentence| {
            matches!(
                sentence.kind,
                SentenceKind::Edition(_)
                    | SentenceKind::Draft(_)
                    | SentenceKind::Unit(_)
                    | SentenceKind::Import(_)
                    | SentenceKind::Use(_)
            )
        });
        match head.by_ref().last() {
            Some(last) => (last.span.after(), false),
            None => (Span::default(), true),
        }
    }

    /// An operation sees only those above it, so none can call itself.
    pub(super) fn not_above(&self, word: &Word, place: Span) -> Diagnostic {
        let text = word.text.as_ref();
        let is_itself = self.here.operation.as_deref() == Some(text);
        let message = if is_itself {
            format!("`{text}` calls itself, and no draft would ever end that way.")
        } else {
            format!("`{text}` is declared only further down.")
        };
        let help = if is_itself {
            "To do a thing several times, write `each`; to find a figure, `try`."
        } else {
            "An act sees only those above it: move that one up."
        };
        Diagnostic::error(Code::OperationNotAbove, word.span, message)
            .at("called here")
            .see(place, "declared here")
            .help(help)
    }

    /// `from tip to foot from tip onto centre`: the last argument before the clause at `at` is a bare head.
    pub(super) fn inner_phrase(&self, said: &Said<'a>, at: usize) -> Option<Diagnostic> {
        let (_, _, arguments) = said.clauses.get(at.checked_sub(1)?)?;
        let last = arguments.last()?;
        let ExprKind::Name(name) = &last.kind else {
            return None;
        };
        let [word] = name.words.as_slice() else {
            return None;
        };
        if !self.is_head(&word.text) || self.sees(&word.text).is_some() {
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
                .write(&format!("({})", letters.join(" "))),
        )
    }

    pub(super) fn words_do_not_fit(
        &self,
        said: &Said<'a>,
        forms: &[(FormRef, FormHere)],
        links: &[Link],
    ) -> Diagnostic {
        let direct = said.direct.is_some();
        let off = |form: &Form| {
            let (missing, extra) = form.words_off(direct, links);
            missing.len() + extra.len()
        };
        let mut nearest: Vec<&Form> = forms.iter().map(|(_, form)| &**form).collect();
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
            voice::list(&links.iter().map(|l| word(*l)).collect::<Vec<_>>())
        };
        let message = match (missing.is_empty(), extra.is_empty()) {
            (false, true) => {
                let are = voice::agree(missing.len(), "is", "are");
                format!("{subject} stops short: {} {are} missing.", list(&missing))
            }
            (true, false) => format!("{subject} does not take {} here.", list(&extra)),
            _ => format!(
                "{subject} takes {}, and not {}.",
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

    pub(super) fn wrong_argument(
        &self,
        fitting: &[(FormRef, FormHere)],
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
                    "{} takes one value, not {}.",
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
                    .map_or_else(|| place.takes.words(), kind_words);
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

    /// The same message, with the option left out for whoever wants that.
    pub(super) fn or_left_out(
        &self,
        told: Diagnostic,
        option: &Setting,
        all: &[Setting],
    ) -> Diagnostic {
        let end = |one: &Setting| one.to.as_ref().unwrap_or(&one.value).span;
        if !told.offers.is_empty() {
            return told;
        }
        let at = all.iter().position(|one| std::ptr::eq(one, option));
        let before = at.and_then(|at| all.get(at.checked_sub(1)?));
        let next = at.and_then(|at| all.get(at + 1));
        let whole = option.name.span.to(end(option));
        let place = match (before, next) {
            (Some(before), _) => Span {
                start: end(before).end,
                ..whole
            },
            (None, Some(next)) => Span {
                end: next.name.span.start,
                ..whole
            },
            (None, None) => {
                let text = self.project.sources.text(whole.file);
                let from = self.project.sources.bytes(whole);
                let with = text.get(..from.start).map(str::trim_end);
                let Some(kept) = with.and_then(|text| text.strip_suffix("with")) else {
                    return told;
                };
                let kept = kept.trim_end().len();
                self.project.sources.span(whole.file, kept..from.end)
            }
        };
        let help = format!("Leave `{}` out.", option.name.text);
        told.help(help).offer(place, "")
    }

    pub(super) fn unknown_option(&self, form: &Form, name: &Word) -> Diagnostic {
        let phrase = form
            .head
            .as_deref()
            .map_or("This phrase".to_owned(), |head| format!("`{head}`"));
        let message = format!("{phrase} has no option `{}`.", name.text);
        let diagnostic = Diagnostic::error(Code::UnknownOption, name.span, message);
        if let Some(near) = nearest_word(&name.text, form.options.iter().map(|o| o.name.as_ref())) {
            return diagnostic.meant(near);
        }
        let has = |other: &&Form| other.options.iter().any(|one| one.name == *name.text);
        if let Some(other) = self.table.forms().iter().find(has) {
            let (option, said) = (&name.text, other.signature());
            return diagnostic.note(format!("`{option}` belongs to  {said}"));
        }
        let own = self.here.file.heads.get(name.text.as_ref());
        if own.is_some() || self.table.is_head(&name.text) {
            return diagnostic.note(format!(
                "`{}` begins a phrase: `oaktag phrases {}`.",
                name.text, name.text
            ));
        }
        let options: Vec<String> = form
            .options
            .iter()
            .map(|option| format!("`{}`", option.name))
            .collect();
        match options.as_slice() {
            [] => diagnostic.note("It takes no options."),
            _ => diagnostic.note(format!("It takes {}.", voice::list(&options))),
        }
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

/// A kind as a place asks for it: one that takes a curve takes a line too.
pub(super) fn kind_words(kind: &Kind) -> String {
    match kind {
        Kind::Curve => "a line or a curve".into(),
        kind => kind.with_article(),
    }
}
