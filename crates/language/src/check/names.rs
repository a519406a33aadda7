//! Looking names up and binding fresh ones, with a message that helps where a name is not there.

use super::checker::Checker;
use super::program::Mention;
use super::scope::{Binding, Bound, LayerKind, Sheet, nearest_word};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::rc::Rc;
use std::sync::Arc;

/// Most names a misspelt one is held against.
const MOST_COMPARED: usize = 5_000;

impl<'a> Checker<'a> {
    /// Looks a single word up, innermost layer first.
    pub(super) fn find(&self, word: &str) -> Option<Binding> {
        self.sees(word).cloned()
    }

    /// The meaning of a single word, innermost layer first.
    pub(super) fn sees(&self, word: &str) -> Option<&Binding> {
        let mut layers = self.here.layers.iter().rev();
        layers.find_map(|layer| layer.names.get(word))
    }

    /// Every name that can be seen from here.
    pub(super) fn visible(&self) -> impl Iterator<Item = &str> {
        self.here
            .layers
            .iter()
            .rev()
            .flat_map(|layer| layer.names.keys().map(AsRef::as_ref))
    }

    /// Whether a word begins a phrase here.
    pub(super) fn is_head(&self, word: &str) -> bool {
        self.table.is_head(word) || self.here.file.heads.contains_key(word)
    }

    /// The sheet and the word a dotted name ends on.
    pub(super) fn resolve(&mut self, name: &tree::Name) -> Option<Binding> {
        let (first, rest) = name.words.split_first()?;
        let found = match self.own_layer(first, rest.is_empty()) {
            Some(layer) => layer,
            None => self
                .find(&first.text)
                .or_else(|| self.unknown(first, rest.is_empty()))?,
        };
        let mut current = found;
        self.mention(first.span, current.span);
        for (at, word) in rest.iter().enumerate() {
            current.used.set(true);
            let so_far = || {
                let words = name.words.iter().take(at + 1);
                let words: Vec<&str> = words.map(|word| word.text.as_ref()).collect();
                words.join(".")
            };
            let Bound::Sheet(sheet) = &current.bound else {
                let kind = match &current.bound {
                    Bound::Value { kind, .. } => kind.with_article(),
                    _ => "not drawn on every branch".into(),
                };
                let so_far = so_far();
                let message =
                    format!("`{so_far}` is {kind}, and only a panel has names inside it.");
                self.fail(
                    Diagnostic::error(Code::UnknownMember, word.span, message)
                        .see(current.span, current.origin(&so_far)),
                );
                return None;
            };
            let found = sheet.members.get(&word.text).cloned();
            current = match found {
                Some(found) => found,
                None => self.no_member(&Rc::clone(sheet), word, &so_far())?,
            };
            self.mention(word.span, current.span);
        }
        current.used.set(true);
        Some(current)
    }

    /// Where what has this full name is drawn, as seen from here.
    pub(super) fn at_path(&self, path: &str) -> Option<Span> {
        let mut words = path.split('.');
        let mut found = self.sees(words.next()?)?;
        for word in words {
            let Bound::Sheet(sheet) = &found.bound else {
                return None;
            };
            found = sheet.members.get(word)?;
        }
        Some(found.span)
    }

    /// Keeps where a name is read, for who asks where it is drawn; of the library nobody asks.
    pub(super) fn mention(&mut self, at: Span, of: Span) {
        if !self.project.sources.is_library(at.file) {
            self.program.mentions.push(Mention { at, of });
        }
    }

    /// `back.x` while panel `back` is being drawn means the sheet under the hand.
    pub(super) fn own_layer(&self, first: &tree::Word, alone: bool) -> Option<Binding> {
        if alone {
            return None;
        }
        let layer = self
            .here
            .layers
            .iter()
            .rev()
            .find(|l| l.kind == LayerKind::Panel && l.name == first.text)?;
        let sheet = Sheet {
            full_name: layer.prefix.trim_end_matches('.').to_owned(),
            members: Rc::clone(&layer.names),
            cloth: layer.cloth.clone(),
            is_open: layer.is_open,
            laid_on: layer.laid_on.clone(),
            ..Sheet::default()
        };
        Some(Binding::new(Bound::Sheet(Rc::new(sheet)), first.span))
    }

    /// Says that a sheet has no such name; where it may still turn up, nothing.
    fn no_member(&mut self, sheet: &Sheet, word: &tree::Word, owner: &str) -> Option<Binding> {
        if sheet.is_open {
            // What panel this will be is known only where the operation is called.
            self.here.broken = true;
            return None;
        }
        if self.note_unsaid(sheet, word) {
            return None;
        }
        if self.here.operation.is_some() {
            self.lacking.push(format!("{owner}.{}", word.text));
        }
        let message = format!(
            "{} `{owner}` has no `{}`.",
            if sheet.is_file { "File" } else { "Panel" },
            word.text
        );
        let mut diagnostic = Diagnostic::error(Code::UnknownMember, word.span, message);
        if let Some(near) = nearest_word(&word.text, sheet.members.keys().map(AsRef::as_ref)) {
            diagnostic = diagnostic
                .help(format!("Did you mean `{owner}.{near}`?"))
                .offer(word.span, near);
        } else if sheet.members.len() <= 24 {
            let names: Vec<&str> = sheet.members.keys().map(AsRef::as_ref).collect();
            diagnostic = diagnostic.note(format!(
                "It has {}.",
                if names.is_empty() {
                    "nothing on it".into()
                } else {
                    names.join(", ")
                }
            ));
        }
        self.fail(diagnostic);
        None
    }

    pub(super) fn unknown(&mut self, word: &tree::Word, alone: bool) -> Option<Binding> {
        let text = word.text.as_ref();
        if self.here.layers.iter().any(|layer| layer.is_open) {
            self.here.broken = true;
            return None;
        }
        if alone && self.is_head(text) {
            let diagnostic = Diagnostic::error(
                Code::PhraseNeedsBrackets,
                word.span,
                format!(
                    "`{text}` begins a phrase, and a phrase inside a phrase stands in brackets."
                ),
            )
            .help(format!("Put brackets round it: `({text} …)`."));
            self.fail(diagnostic);
            return None;
        }
        if self.here.file.broken.contains(&word.text) {
            // The sentence that would have drawn it is reported already.
            self.here.broken = true;
            return None;
        }
        if let Some(&later) = self.here.file.drawn.get(&word.text)
            && later != word.span
        {
            let diagnostic = if later.start > word.span.start {
                Diagnostic::error(
                    Code::NameDrawnLater,
                    word.span,
                    format!("`{text}` is drawn only further down."),
                )
                .at("used here")
                .see(later, "drawn here")
                .help("A draft is read from the top: move that sentence up, or this one down.")
            } else {
                let mut diagnostic = Diagnostic::error(
                    Code::UnknownName,
                    word.span,
                    format!("`{text}` cannot be seen from here."),
                )
                .at("not in sight")
                .see(later, "drawn here, in another panel or block");
                if let Some(owner) = self.owner_of(text) {
                    diagnostic = diagnostic
                        .help(format!(
                            "It is drawn on `{owner}`: for that one write `{owner}.{text}`."
                        ))
                        .offer(word.span, format!("{owner}.{text}"));
                }
                diagnostic
            };
            self.fail(diagnostic);
            return None;
        }
        match self.drawn_in_each(word) {
            Some(Ok(told)) => {
                self.fail(told);
                return None;
            }
            Some(Err(())) => {
                self.here.broken = true;
                return None;
            }
            None => {}
        }
        if alone && let Some(told) = self.in_library(word) {
            self.fail_once(text, told);
            return None;
        }
        let mut diagnostic = Diagnostic::error(
            Code::UnknownName,
            word.span,
            format!("Nothing called `{text}` has been drawn."),
        );
        if self.is_flooded() {
            self.fail(diagnostic);
            return None;
        }
        let is_near = nearest_word(text, self.visible().take(MOST_COMPARED)).is_some();
        let below = self.here.layers.last();
        let below = below.and_then(|layer| layer.laid_on.clone());
        if let (false, Some(below)) = (is_near, below)
            && self.note_unsaid_on(&below, word)
        {
            return None;
        }
        let visible = self.visible().take(MOST_COMPARED);
        if let Some(near) = nearest_word(text, visible) {
            let near = near.to_owned();
            let found = self.find(&near);
            diagnostic = diagnostic.at("no such name").meant(&near);
            // `gore_n`, where an `each` lays out `gore`
            let laid_out = near.strip_suffix("_1");
            if let Some(base) = laid_out.filter(|base| text.starts_with(base) && text != *base) {
                diagnostic = diagnostic.help(format!(
                    "A copy is called by its number, as in `{near}`. Within the `each`, `{base}` is the copy at hand, and in a seam `next {base}.EDGE` is of the one after; outside it a seam takes `each {base}.EDGE` of all."
                ));
                diagnostic.offers.clear();
            }
            if let Some(found) = found {
                diagnostic = diagnostic.see(found.span, found.origin(&near));
            }
        } else if let Some(head) = self.nearest_operation(text) {
            diagnostic = diagnostic.meant(&head);
        } else if let Some(owner) = self.owner_of(text) {
            diagnostic = diagnostic
                .help(format!(
                    "It is drawn on `{owner}`: for that one write `{owner}.{text}`."
                ))
                .offer(word.span, format!("{owner}.{text}"));
        } else if let Some((near, at)) = self.nearest_below(word) {
            diagnostic = diagnostic
                .at("no such name")
                .see(at, format!("`{near}` is drawn here, further down"))
                .help(format!(
                    "Was `{near}` meant? Then move one of the two sentences."
                ));
        }
        self.fail(diagnostic);
        None
    }

    /// An operation, read or unread, that a misspelt name may have meant.
    fn nearest_operation(&self, text: &str) -> Option<String> {
        let heads = self.here.file.heads.keys().map(String::as_str);
        let heads = heads.chain(self.project.heads_unread.iter().copied());
        nearest_word(text, heads.take(MOST_COMPARED)).map(str::to_owned)
    }

    /// A name drawn further down that a misspelt one may have meant.
    pub(super) fn nearest_below(&self, word: &tree::Word) -> Option<(Arc<str>, Span)> {
        let below = self
            .here
            .file
            .drawn
            .iter()
            .filter(|(_, at)| at.start > word.span.end);
        let below: Vec<(&Arc<str>, &Span)> = below.take(MOST_COMPARED).collect();
        let near = nearest_word(&word.text, below.iter().map(|(name, _)| name.as_ref()))?;
        let (name, at) = below.iter().find(|(name, _)| name.as_ref() == near)?;
        Some((Arc::clone(name), **at))
    }

    /// A panel in sight that has this name on it.
    pub(super) fn owner_of(&self, text: &str) -> Option<String> {
        let mut sheets = self
            .here
            .layers
            .iter()
            .rev()
            .flat_map(|layer| layer.names.iter());
        sheets.find_map(|(name, binding)| match &binding.bound {
            Bound::Sheet(sheet) if sheet.members.contains_key(text) => Some(name.to_string()),
            _ => None,
        })
    }

    /// Binds a fresh name in the innermost layer; names seen from here may not be drawn again.
    pub(super) fn bind(&mut self, word: &tree::Word, bound: Bound) {
        let name = Arc::clone(&word.text);
        let is_name_too =
            self.table.is_name_too(&name) && !self.here.file.heads.contains_key(&*name);
        if self.is_head(&name) && !is_name_too {
            let message =
                format!("`{name}` begins a phrase, so it cannot be a name: one word, one meaning.");
            let help = format!(
                "Give it a name of more than one word, such as `{name}_line` or `my_{name}`."
            );
            self.fail(
                Diagnostic::error(Code::NameBeginsAPhrase, word.span, message)
                    .at("the head of a phrase")
                    .help(help),
            );
        } else if let Some(old) = self.sees(&name).filter(|old| !self.may_hide(&name, old)) {
            let message =
                format!("`{name}` is drawn already; a name is drawn once and never changes.");
            let help = if old.traced {
                format!(
                    "It came with the sheet this one is traced from: to change it, write `redraw {name} = …`."
                )
            } else if let Some(help) = self.how_to_carry(word) {
                help
            } else {
                "Take another name; to change a line, trace the panel and `redraw` it there."
                    .to_owned()
            };
            let diagnostic = Diagnostic::error(Code::NameDrawnTwice, word.span, message)
                .at("drawn again")
                .see(old.span, "drawn here first")
                .help(help);
            self.fail(diagnostic);
        }
        let binding = Binding::new(bound, word.span);
        if let (true, Bound::Value { kind, .. }) = (self.in_main(), &binding.bound) {
            self.fresh
                .push((binding.clone(), Arc::clone(&name), kind.clone()));
        }
        if let Some(layer) = self.layer() {
            layer.put(name, binding);
        }
    }

    /// What a fresh name may stand in front of: a name that only one branch of an `if` drew, and, in an operation, a
    /// measure or choice of its file.
    pub(super) fn may_hide(&self, name: &str, old: &Binding) -> bool {
        if matches!(old.bound, Bound::OnOneBranch(..)) {
            return self
                .here
                .layers
                .last()
                .is_some_and(|layer| layer.names.contains_key(name));
        }
        self.here.operation.is_some()
            && !self
                .here
                .layers
                .iter()
                .skip(1)
                .any(|layer| layer.names.contains_key(name))
    }
}
