//! Where in the text a new sentence goes: in the step, after what it names is drawn.

use super::Hands;
use super::candidates::roots;
use crate::session::trail::Trail;
use oaktag_language::syntax::tree::{Block, Sentence, SentenceKind};

/// A place for a sentence.
#[derive(Clone, Debug)]
pub(super) struct Spot {
    /// The byte of the text before which it goes.
    pub at: usize,
    /// What stands before it, and after it.
    pub before: String,
    pub after: String,
    /// The panel that it stands on: what is drawn there goes by its own name.
    pub within: String,
}

impl Spot {
    /// A full name as it is written there.
    pub(super) fn called<'n>(&self, full: &'n str) -> &'n str {
        let own = full.strip_prefix(&self.within);
        match self.within.is_empty() {
            true => full,
            false => own.and_then(|own| own.strip_prefix('.')).unwrap_or(full),
        }
    }
}

/// A sheet of a panel, and the panel's full name.
type Sheet<'t> = (&'t Block, String);

impl Hands<'_> {
    /// Places for a sentence that draws on a panel and names what is drawn, the best first.
    pub(super) fn spots(&self, panel: &str, names: &[String]) -> Vec<Spot> {
        let sources = self.session.sources();
        let trail = Trail::of(self.session.outcome());
        let drawn = roots(&trail, names).into_iter().filter_map(|id| {
            let span = trail.site(trail.entry(id.entry)?)?.span;
            (span.file == self.own).then(|| sources.bytes(span).end)
        });
        let drawn = drawn.max();
        let own = self.session.own_sentences();
        let mut sheets = Vec::new();
        walk(own, "", panel, &mut sheets);
        // A sheet of the panel itself goes before one of the panel around it.
        sheets.sort_by_key(|(_, name)| name.len());
        let is_here = |one: &&Sheet<'_>| {
            let bytes = sources.bytes(one.0.span);
            drawn.is_some_and(|end| bytes.start < end && end <= bytes.end)
        };
        let is_later = |one: &&Sheet<'_>| sources.bytes(one.0.span).start >= drawn.unwrap_or(0);
        let mut spots = Vec::new();
        if panel.is_empty() {
            spots.extend(drawn.and_then(|end| self.after(own, end)));
        } else if let Some((block, name)) = sheets.iter().rfind(is_here) {
            let spot = drawn.and_then(|end| self.after(&block.sentences, end));
            spots.extend(spot.map(|spot| spot.on(name)));
        } else if let Some((block, name)) = sheets.iter().rfind(is_later) {
            let spot = match block.sentences.last() {
                Some(last) => self.behind(last),
                None => self.first(block),
            };
            spots.push(spot.on(name));
        }
        // On no sheet of its own: after the sentence that made the panel what it is.
        let root = panel.split('.').next().unwrap_or_default();
        let around = panel.rsplit_once('.').map_or("", |(around, _)| around);
        let makes = |one: &&Sentence| {
            let bytes = sources.bytes(one.span);
            let has_drawn = drawn.is_some_and(|end| bytes.start < end && end <= bytes.end);
            has_drawn || makes_panel(one, root)
        };
        let top = own.iter().rfind(makes);
        let top = top.or(own.last().filter(|_| panel.is_empty()));
        spots.extend(top.map(|one| {
            let spot = self.behind(one);
            // A panel on a panel takes a sheet of each that is around it.
            let (mut before, mut after) = (spot.before.clone(), String::new());
            for (depth, name) in around
                .split('.')
                .filter(|name| !name.is_empty())
                .enumerate()
            {
                let indent = "  ".repeat(depth);
                before.push_str(&format!("panel {name} traced from {name} {{\n{indent}  "));
                after.insert_str(0, &format!("\n{indent}}}"));
            }
            Spot {
                before,
                after: after + &spot.after,
                ..spot.on(around)
            }
        }));
        spots
    }

    /// After the sentence that ends where that is drawn, in the step that it stands in.
    fn after(&self, sentences: &[Sentence], end: usize) -> Option<Spot> {
        let bytes = |one: &Sentence| self.session.sources().bytes(one.span);
        let mut all = sentences.iter();
        let holds = all.find(|one| bytes(one).start < end && end <= bytes(one).end)?;
        match &holds.kind {
            SentenceKind::Step(step) => self.after(&step.body.sentences, end),
            _ => Some(self.behind(holds)),
        }
    }

    /// Behind a sentence, on a line of its own.
    pub(super) fn behind(&self, sentence: &Sentence) -> Spot {
        self.behind_bytes(self.session.sources().bytes(sentence.span))
    }

    pub(super) fn behind_bytes(&self, bytes: std::ops::Range<usize>) -> Spot {
        let text = self.session.text();
        let indent = self.indent(bytes.start);
        let rest = text.get(bytes.end..).unwrap_or_default();
        let rest = rest.split('\n').next().unwrap_or_default();
        let is_last = matches!(rest.trim_start().chars().next(), None | Some('#'));
        Spot {
            at: bytes.end
                + if is_last {
                    rest.trim_end_matches('\r').len()
                } else {
                    0
                },
            before: format!("\n{indent}"),
            after: if is_last {
                String::new()
            } else {
                format!("\n{indent}")
            },
            within: String::new(),
        }
    }

    /// The first sentence of a block that has none.
    fn first(&self, block: &Block) -> Spot {
        let bytes = self.session.sources().bytes(block.span);
        let indent = self.indent(bytes.start);
        Spot {
            at: bytes.start + 1,
            before: format!("\n{indent}  "),
            after: format!("\n{indent}"),
            within: String::new(),
        }
    }

    /// The blanks before the first letter of a line.
    pub(super) fn indent(&self, byte: usize) -> &str {
        let text = self.session.text();
        let before = text.get(..byte).unwrap_or_default();
        let line = before.rfind('\n').map_or(0, |at| at + 1);
        let line = text.get(line..byte).unwrap_or_default();
        let letters = line.find(|c: char| c != ' ' && c != '\t');
        line.get(..letters.unwrap_or(line.len()))
            .unwrap_or_default()
    }
}

impl Spot {
    fn on(self, panel: &str) -> Self {
        Self {
            within: panel.to_owned(),
            ..self
        }
    }
}

/// Every sheet of a panel and of those around it.
fn walk<'t>(sentences: &'t [Sentence], path: &str, panel: &str, sheets: &mut Vec<Sheet<'t>>) {
    for sentence in sentences {
        match &sentence.kind {
            SentenceKind::Panel(own) => {
                let full = match path {
                    "" => own.name.text.to_string(),
                    _ => format!("{path}.{}", own.name.text),
                };
                if full == panel {
                    sheets.push((&own.body, full));
                } else if panel.starts_with(&format!("{full}.")) {
                    sheets.push((&own.body, full.clone()));
                    walk(&own.body.sentences, &full, panel, sheets);
                }
            }
            SentenceKind::Step(step) => walk(&step.body.sentences, path, panel, sheets),
            _ => {}
        }
    }
}

/// Whether a sentence at the left margin makes or changes a panel of that name.
fn makes_panel(sentence: &Sentence, root: &str) -> bool {
    match &sentence.kind {
        SentenceKind::Panel(panel) => *panel.name.text == *root,
        SentenceKind::Draw(draw) => draw.names.iter().any(|name| {
            let first = name.text.split('.').next();
            first == Some(root)
        }),
        SentenceKind::Step(step) => step.body.sentences.iter().any(|one| makes_panel(one, root)),
        _ => false,
    }
}
