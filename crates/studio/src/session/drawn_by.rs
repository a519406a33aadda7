//! Which sentences of the draft's own text drew what: from a thing of the drawing one goes to them, and from one of them to it.

use super::Session;
use super::places::Place;
use oaktag_language::check::program::Slot;
use oaktag_language::draft::Outcome;
use oaktag_language::report::Span;
use oaktag_language::syntax::tree::{Sentence, SentenceKind};
use serde::Serialize;
use std::collections::BTreeMap;

/// The sentences that drew things, and of each name those that drew or redrew it, in order.
#[derive(Debug, Default, Serialize)]
pub struct DrawnBy {
    /// Each once.
    pub sentences: Vec<Place>,
    /// Each name, with numbers of `sentences`. What is on a sheet that was traced, or came by an import, and was drawn by no
    /// sentence of this text has the one that laid that sheet.
    pub names: BTreeMap<String, Vec<usize>>,
}

/// A value where it was drawn.
struct Drawn {
    at: Option<usize>,
    /// The value that it stands in place of.
    over: Option<Slot>,
}

/// Of what was drawn; `place` knows the places of the draft's own text.
pub(super) fn drawn_by(
    session: &Session,
    outcome: &Outcome,
    place: &dyn Fn(Span) -> Option<Place>,
) -> DrawnBy {
    let mut told = DrawnBy::default();
    let mut known = BTreeMap::new();
    let mut number = |span: Span| {
        let place = place(span)?;
        let sentences = &mut told.sentences;
        Some(*known.entry(place).or_insert_with(|| {
            sentences.push(place);
            sentences.len() - 1
        }))
    };
    let mut names: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let mut by_slot = BTreeMap::new();
    // What an act draws is of the sentence that calls it, which has all that it gives among its names.
    let own = outcome.record.entries.iter();
    for entry in own.filter(|entry| entry.call.is_none()) {
        let Some(site) = outcome.program.site(entry.site) else {
            continue;
        };
        let at = number(site.span);
        for target in &site.targets {
            let over = target.replaces.or(target.lies_over);
            by_slot.insert(target.slot, Drawn { at, over });
            let list = names.entry(target.name.to_string()).or_default();
            list.extend(at.filter(|at| list.last() != Some(at)));
        }
    }
    let sheets = sheets(session.own_sentences());
    for last in &outcome.program.names {
        let mut list = Vec::new();
        let mut slot = Some(last.slot);
        // Values never turn back on themselves, but a text of a thousand sheets is read to the end only once.
        while let Some(drawn) = slot.and_then(|slot| by_slot.get(&slot)) {
            list.extend(drawn.at.filter(|at| !list.contains(at)));
            slot = drawn.over;
        }
        list.reverse();
        if list.is_empty() {
            let sheet = last.name.split('.').next().unwrap_or_default();
            list.extend(sheets.get(sheet).and_then(|span| number(*span)));
        }
        names.insert(last.name.clone(), list);
    }
    names.retain(|_, list| !list.is_empty());
    told.names = names;
    told
}

/// The sentence that lays each sheet last, without what is drawn on it, and the one that brings in what is imported.
fn sheets(sentences: &[Sentence]) -> BTreeMap<&str, Span> {
    let mut found = BTreeMap::new();
    for sentence in sentences {
        match &sentence.kind {
            SentenceKind::Panel(panel) => {
                let end = panel
                    .traced_from
                    .as_ref()
                    .map_or(panel.name.span, |name| name.span)
                    .end;
                found.insert(
                    &*panel.name.text,
                    Span {
                        end,
                        ..sentence.span
                    },
                );
            }
            SentenceKind::Import(import) => {
                found.insert(&*import.name.text, sentence.span);
            }
            _ => {}
        }
    }
    found
}
