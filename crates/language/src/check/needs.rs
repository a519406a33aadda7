//! What an operation needs of the panels it is given, as its head says it: `needs (curve body.front.hem)`. Its body sees
//! that and no more, so that it is checked without knowing who will call it, and a call that lacks something is told all of
//! it at once.

use super::checker::Checker;
use super::declaration::kind_of;
use super::nearest_form::kind_words;
use super::operation::{Made, Rows};
use super::program::{NeedInfo, Slot};
use super::scope::{Binding, Bound, LaidOn, Sheet};
use super::shape::{Member, Shape, find, members};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use crate::voice;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;

/// Most names that an operation may need.
const MOST_NEEDS: usize = 500;

/// A kind as it is written, and what it is.
type Likely = (&'static str, fn() -> Kind);

/// Kinds that a name may be of which the head does not say, likeliest first.
const LIKELY: [Likely; 9] = [
    ("point", || Kind::Point),
    ("line", || Kind::Line),
    ("curve", || Kind::Curve),
    ("length", || Kind::LENGTH),
    ("angle", || Kind::ANGLE),
    ("number", || Kind::NUMBER),
    ("list", || Kind::List(Box::new(Kind::Unknown))),
    ("text", || Kind::Text),
    ("panel", || Kind::Panel),
];

/// A name that an operation needs.
#[derive(Clone, Debug)]
pub(super) struct Needed {
    /// On which of its panels.
    argument: usize,
    /// By which path there.
    path: Arc<str>,
    kind: Kind,
    /// Used where it is there, and not missed where it is not.
    if_drawn: bool,
    /// In the author's words.
    doc: Arc<str>,
}

impl Needed {
    /// Whether it lies on a panel that may be missing, and is.
    fn is_on_missing(&self, all: &[Needed], sheet: &Sheet) -> bool {
        all.iter().any(|other| {
            other.if_drawn
                && other.argument == self.argument
                && other.kind == Kind::Panel
                && self
                    .path
                    .strip_prefix(other.path.as_ref())
                    .is_some_and(|rest| rest.starts_with('.'))
                && find(sheet, &other.path).is_none()
        })
    }

    /// As it is declared, for a check before anybody calls.
    fn declared(&self) -> Member {
        Member {
            path: Arc::clone(&self.path),
            kind: self.kind.clone(),
            lines: None,
            guide: None,
            slot: Slot::NONE,
        }
    }
}

impl<'a> Checker<'a> {
    /// What the head of an operation says that it needs.
    pub(super) fn needs_of(&mut self, operation: &'a tree::Operation) -> Option<Rc<[Needed]>> {
        let written = operation.needs.as_ref()?;
        let panels = self.panels_of(operation);
        let mut needs: Vec<Needed> = Vec::new();
        for need in written {
            let doc = need.doc.as_ref().map(Self::letters).unwrap_or_default();
            for name in need.names() {
                let Some((panel, rest)) = name.words.split_first() else {
                    continue;
                };
                let argument = panels.iter().position(|known| *known == panel.text);
                let Some(argument) = argument.filter(|_| !rest.is_empty()) else {
                    let message = say_not_a_panel(&panel.text, rest.is_empty());
                    let mut told = Diagnostic::error(Code::UnknownName, panel.span, message);
                    if let (Some(first), false) = (panels.first(), rest.is_empty()) {
                        told = told.meant(first);
                    }
                    self.fail(told);
                    continue;
                };
                let words: Vec<&str> = rest.iter().map(|word| word.text.as_ref()).collect();
                let path: Arc<str> = words.join(".").into();
                let is_there = |other: &&Needed| other.argument == argument && other.path == path;
                if needs.iter().any(|other| is_there(&other)) {
                    let message =
                        format!("`{}.{path}` stands among the needs already.", panel.text);
                    self.fail(Diagnostic::error(Code::NameDrawnTwice, name.span, message));
                    continue;
                }
                needs.push(Needed {
                    argument,
                    path,
                    kind: kind_of(&need.kind),
                    if_drawn: need.if_drawn,
                    doc: doc.as_str().into(),
                });
            }
        }
        if needs.len() > MOST_NEEDS {
            let message = format!(
                "This needs {} names; {MOST_NEEDS} is the most.",
                needs.len()
            );
            self.fail(Diagnostic::error(
                Code::TooLarge,
                operation.head.span,
                message,
            ));
            needs.truncate(MOST_NEEDS);
        }
        Some(needs.into())
    }

    /// The panels that an operation is given, as it calls them.
    pub(super) fn panels_of(&self, operation: &'a tree::Operation) -> Vec<Arc<str>> {
        let asked = self.asked(operation).into_iter();
        let panels = asked.filter(|one| one.kind == Kind::Panel);
        panels
            .map(|one| Arc::clone(&one.parameter.name.text))
            .collect()
    }

    /// The same for those who show an operation.
    pub(super) fn need_infos(
        &self,
        operation: &'a tree::Operation,
        needs: Option<&Rc<[Needed]>>,
    ) -> Vec<NeedInfo> {
        let panels = self.panels_of(operation);
        let info = |need: &Needed| NeedInfo {
            name: format!(
                "{}.{}",
                panels.get(need.argument).map_or("", AsRef::as_ref),
                need.path
            ),
            kind: need.kind.clone(),
            if_drawn: need.if_drawn,
            doc: need.doc.to_string(),
        };
        needs
            .into_iter()
            .flat_map(|needs| needs.iter())
            .map(info)
            .collect()
    }

    /// What an operation whose head does not say it needs of panels, by what it read of those that it was given.
    pub(super) fn reads_of(
        &self,
        operation: &'a tree::Operation,
        made: &Made,
        rows: &[Rows],
    ) -> Vec<NeedInfo> {
        let panels = self.panels_of(operation);
        let info = |(argument, path): &(usize, Arc<str>)| {
            let mut rows = rows.get(*argument)?.iter().flatten();
            let row = rows.find(|row| row.path == *path)?;
            Some(NeedInfo {
                name: format!("{}.{path}", panels.get(*argument)?),
                kind: row.kind.clone(),
                if_drawn: false,
                doc: String::new(),
            })
        };
        made.members_read().filter_map(info).collect()
    }

    /// What an operation knows of panels before anybody calls: what its head says, with all that may be missing or without;
    /// nothing, where its head does not say.
    pub(super) fn declared_rows(&self, number: usize, with_all: bool) -> Vec<Rows> {
        let Some(operation) = self.operations.get(number) else {
            return Vec::new();
        };
        let panels = self.panels_of(operation.tree).len();
        let rows = |argument: usize| {
            let needs = operation.needs.as_ref()?;
            let empty = Sheet::default();
            let stays = |need: &&Needed| {
                need.argument == argument
                    && (with_all || !need.if_drawn && !need.is_on_missing(needs, &empty))
            };
            Some(needs.iter().filter(stays).map(Needed::declared).collect())
        };
        (0..panels).map(rows).collect()
    }

    /// What an operation knows of the panels it is given: what its head needs of them, or all that is on them.
    pub(super) fn rows(&self, number: usize, panels: &[Option<Rc<Sheet>>]) -> Vec<Rows> {
        let operation = self.operations.get(number);
        let needs = operation.and_then(|operation| operation.needs.as_ref());
        let rows = |(argument, sheet): (usize, &Option<Rc<Sheet>>)| {
            let sheet = sheet.as_ref()?;
            let Some(needs) = needs else {
                return Some(members(sheet));
            };
            let needed = needs.iter().filter(|need| need.argument == argument);
            let needed = needed.map(|need| &need.path);
            let asks = operation.into_iter().flat_map(|operation| &operation.asks);
            let asks = asks.filter(|(of, _)| *of == argument).map(|(_, path)| path);
            let paths: BTreeSet<&Arc<str>> = needed.chain(asks).collect();
            let row = |path: &Arc<str>| row(sheet, path);
            Some(paths.into_iter().filter_map(row).collect())
        };
        panels.iter().enumerate().map(rows).collect()
    }

    /// Whether an operation asked for a name, was told that it is not there, and it is.
    pub(super) fn asks_for_more(
        &self,
        number: usize,
        panels: &[Option<Rc<Sheet>>],
        rows: &[Rows],
    ) -> bool {
        let Some(operation) = self.operations.get(number) else {
            return false;
        };
        operation.needs.is_some()
            && operation.asks.iter().any(|(argument, path)| {
                let rows = rows.get(*argument).and_then(Option::as_ref);
                let knows = |row: &Member| row.path == *path;
                let sheet = panels.get(*argument).and_then(Option::as_ref);
                !rows.is_some_and(|rows| rows.iter().any(knows))
                    && sheet.is_some_and(|sheet| row(sheet, path).is_some())
            })
    }

    /// What an operation asks of the panels it is given, the one that gives it these asks of its own.
    pub(super) fn pass_asks_on(&self, number: usize, panels: &[Option<Rc<Sheet>>]) {
        let operation = self.operations.get(number);
        let asks = operation.into_iter().flat_map(|operation| &operation.asks);
        for (argument, path) in asks {
            let Some(mut sheet) = panels.get(*argument).cloned().flatten() else {
                continue;
            };
            let mut words = path.split('.').peekable();
            while let Some(word) = words.next() {
                let inner = match sheet.members.get(word).map(|binding| &binding.bound) {
                    Some(Bound::Sheet(inner)) if words.peek().is_some() => Rc::clone(inner),
                    Some(_) => break,
                    None => {
                        self.note_asked(sheet.laid_on.as_ref(), word);
                        break;
                    }
                };
                sheet = inner;
            }
        }
    }

    /// What the panels of a call lack, all of it in one message.
    pub(super) fn missing(
        &self,
        number: usize,
        panels: &[Option<Rc<Sheet>>],
        names: &[String],
        call: Span,
    ) -> Option<Diagnostic> {
        let operation = self.operations.get(number)?;
        let needs = operation.needs.as_ref()?;
        let head = operation.tree.head.text.as_ref();
        let mut missing: Vec<String> = Vec::new();
        let mut of_panels: Vec<&str> = Vec::new();
        for need in needs.iter() {
            let Some(sheet) = panels.get(need.argument).and_then(Option::as_ref) else {
                continue;
            };
            if need.is_on_missing(needs, sheet) {
                continue;
            }
            let found = find(sheet, &need.path);
            let wanted = || {
                let words = kind_words(&need.kind);
                let doc = if need.doc.is_empty() { "" } else { ", " };
                format!("`{}`, {words}{doc}{}", need.path, need.doc)
            };
            let is = match found.as_ref().map(|binding| &binding.bound) {
                None if need.if_drawn => continue,
                None => wanted(),
                Some(Bound::OnOneBranch(..)) if need.if_drawn => continue,
                Some(Bound::OnOneBranch(..)) => {
                    format!("{} (drawn only in one branch of an `if`)", wanted())
                }
                Some(Bound::Sheet(_)) if need.kind == Kind::Panel => continue,
                Some(Bound::Value { kind, .. }) if kind.fits(&need.kind) => continue,
                Some(Bound::Value { kind, .. }) => {
                    format!("{} (it is {})", wanted(), kind.with_article())
                }
                Some(Bound::Sheet(_)) => format!("{} (it is a panel)", wanted()),
            };
            missing.push(is);
            let name = names.get(need.argument).map_or("", String::as_str);
            if !of_panels.contains(&name) {
                of_panels.push(name);
            }
        }
        if missing.is_empty() {
            return None;
        }
        let of: Vec<String> = of_panels.iter().map(|name| format!("`{name}`")).collect();
        let message = format!(
            "`{head}` needs what is not on {}: {}.",
            voice::list(&of),
            missing.join("; ")
        );
        let told = Diagnostic::error(Code::UnknownMember, call, message).at("asked for here");
        let told = told.see(operation.tree.head.span, "its head says what it needs");
        Some(told.help(format!(
            "`oaktag phrases {head}` tells what it needs, and what it draws."
        )))
    }

    /// Tells what an operation's body reads and its head does not say, with what to write.
    pub(super) fn hold_needs(&mut self, number: usize) {
        let Some(operation) = self.operations.get(number) else {
            return;
        };
        let (tree, has_optional) = match &operation.needs {
            Some(needs) => (operation.tree, needs.iter().any(|need| need.if_drawn)),
            None => return,
        };
        let rows = self.declared_rows(number, true);
        let before = self.diagnostics.len();
        self.declared_routine(number, &rows);
        let unsaid = self.unsaid.drain(..).collect::<Vec<_>>();
        if unsaid.is_empty() {
            if has_optional {
                let rows = self.declared_rows(number, false);
                self.declared_routine(number, &rows);
                self.unsaid.clear();
            }
            return;
        }
        // What stands after it is wrong only because of it.
        self.diagnostics.truncate(before);
        let mut rows = rows;
        let mut told: Vec<(String, String, Span)> = Vec::new();
        for one in unsaid {
            let likely = self.likely_kind(number, &rows, &one);
            let full = format!("{}{}", one.panel, one.path);
            if told.iter().any(|(_, known, _)| *known == full) {
                continue;
            }
            if let Some(Some(rows)) = rows.get_mut(one.argument) {
                rows.push(one.member(likely.1()));
            }
            told.push((likely.0.to_owned(), full, one.span));
        }
        let Some((_, full, span)) = told.first() else {
            return;
        };
        let names: Vec<String> = told
            .iter()
            .map(|(_, full, _)| format!("`{full}`"))
            .collect();
        let message = if told.len() == 1 {
            format!(
                "The head of `{}` does not say that it needs `{full}`.",
                tree.head.text
            )
        } else {
            format!(
                "The head of `{}` does not say that it needs {}.",
                tree.head.text,
                voice::list(&names)
            )
        };
        let written: Vec<String> = told
            .iter()
            .map(|(kind, full, _)| format!("({kind} {full})"))
            .collect();
        let message = Diagnostic::error(Code::UnknownMember, *span, message)
            .at("read here")
            .see(tree.head.span, "its head")
            .help(format!("Write after `needs`: `{},`", written.join(", ")));
        self.fail(message);
    }

    /// The kind that a name the head does not say most likely is of: the first with which least is wrong.
    fn likely_kind(&mut self, number: usize, rows: &[Rows], unsaid: &Unsaid) -> Likely {
        let [mut best, ..] = LIKELY;
        let mut least = usize::MAX;
        for (word, kind) in LIKELY {
            let mut rows = rows.to_vec();
            if let Some(Some(rows)) = rows.get_mut(unsaid.argument) {
                rows.push(unsaid.member(kind()));
            }
            let before = self.diagnostics.len();
            self.declared_routine(number, &rows);
            let wrong = self.diagnostics.len() - before + self.unsaid.len();
            self.diagnostics.truncate(before);
            self.unsaid.clear();
            if wrong < least {
                (best, least) = ((word, kind), wrong);
            }
        }
        best
    }

    /// Notes a name that is not on a panel an operation was given, where its head says what it needs.
    pub(super) fn note_unsaid(&mut self, sheet: &Sheet, word: &tree::Word) -> bool {
        let laid_on = sheet.laid_on.clone();
        laid_on.is_some_and(|laid_on| self.note_unsaid_on(&laid_on, word))
    }

    /// The same of a name that is not on a sheet laid over such a panel.
    pub(super) fn note_unsaid_on(&mut self, laid_on: &LaidOn, word: &tree::Word) -> bool {
        if !self.here.says_needs {
            return false;
        }
        let panel = self.here.panels.get(laid_on.argument);
        self.unsaid.push(Unsaid {
            argument: laid_on.argument,
            path: [&laid_on.path, word.text.as_ref()].concat().into(),
            panel: format!("{}.", panel.map_or("", AsRef::as_ref)),
            span: word.span,
        });
        self.here.broken = true;
        true
    }

    /// An operation that says what it needs knows no more of a panel, and cannot move the whole of it.
    pub(super) fn whole_panel_is_known(&mut self, shape: Option<&Shape>, span: Span) {
        let is_part = |shape: &Shape| shape.sheet.laid_on.is_some();
        if self.here.says_needs && shape.is_some_and(is_part) {
            let message =
                "This moves all that is on the panel, and the head names only part of it.";
            let told = Diagnostic::error(Code::WordsDoNotFit, span, message);
            self.fail(told.help("Leave `needs` out of the head, or move the lines it names."));
        }
    }

    /// Notes that a name was asked for on a panel that an operation was given.
    pub(super) fn note_asked(&self, laid_on: Option<&LaidOn>, name: &str) {
        if let Some(laid_on) = laid_on {
            let path = [&laid_on.path, name].concat().into();
            self.here.asks.borrow_mut().insert((laid_on.argument, path));
        }
    }
}

/// A name that an operation reads and its head does not say.
#[derive(Clone, Debug)]
pub(super) struct Unsaid {
    argument: usize,
    path: Arc<str>,
    /// The parameter, with a point after it.
    panel: String,
    span: Span,
}

impl Unsaid {
    fn member(&self, kind: Kind) -> Member {
        Member {
            path: Arc::clone(&self.path),
            kind,
            lines: None,
            guide: None,
            slot: Slot::NONE,
        }
    }
}

/// What stands at a path of a panel, as an operation is given it.
fn row(sheet: &Sheet, path: &Arc<str>) -> Option<Member> {
    let Binding {
        bound,
        lines,
        guide,
        ..
    } = find(sheet, path)?;
    let (kind, slot) = match bound {
        Bound::Value { slot, kind, .. } => (kind, slot),
        Bound::Sheet(_) => (Kind::Panel, Slot::NONE),
        Bound::OnOneBranch(..) => return None,
    };
    Some(Member {
        path: Arc::clone(path),
        kind,
        lines,
        guide,
        slot,
    })
}

fn say_not_a_panel(word: &str, alone: bool) -> String {
    if alone {
        format!("`{word}` is all of the panel: name what is needed of it.")
    } else {
        format!("`{word}` is no panel that this act is given.")
    }
}
