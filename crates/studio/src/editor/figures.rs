//! Figures that stand beside the text: what a length or a number that is worked out comes to.

use super::Editor;
use oaktag_language::draft::record::Entry;
use oaktag_language::kind::{Dimension, Kind};
use oaktag_language::phrase::Value;
use oaktag_language::voice;
use serde::Serialize;
use std::collections::BTreeMap;

/// A figure beside the text.
#[derive(Debug, PartialEq, Serialize)]
pub struct FigureBeside {
    /// The code unit after which it stands.
    pub at: usize,
    /// As people read it: `12.36 cm`.
    pub text: String,
}

impl Editor<'_> {
    /// What each sentence of the draft's own text that works out a figure came to, in order. A figure that is written out is
    /// not said again, nor is one in an `each`, which comes to several.
    pub fn figures(&self) -> Vec<FigureBeside> {
        let outcome = self.session.outcome();
        let mut found = BTreeMap::new();
        for entry in &outcome.record.entries {
            let Some(site) = outcome.program.site(entry.site) else {
                continue;
            };
            let (Some(value), true) = (self.bytes(site.value), is_once(entry)) else {
                continue;
            };
            let written = self.letters(value.clone());
            if written
                .bytes()
                .all(|byte| byte.is_ascii_alphanumeric() || byte == b'.')
                && written.starts_with(|letter: char| letter.is_ascii_digit())
            {
                continue;
            }
            let drawn = site.targets.iter().zip(&entry.values);
            let said = drawn.map(|(target, value)| self.figure_said(value, &target.kind));
            // A panel has figures among much else.
            let Some(said) = said.collect::<Option<Vec<String>>>() else {
                continue;
            };
            if said.is_empty() {
                continue;
            }
            // Of `try` the value is its whole block: the figure stands beside the name.
            let name = site
                .targets
                .last()
                .and_then(|target| self.bytes(target.span));
            let at = match (written.contains('{'), name) {
                (true, Some(name)) => name.end,
                _ => value.end,
            };
            found.insert(at, said.join(", "));
        }
        let beside = |(at, text)| FigureBeside {
            at: self.units.unit(at),
            text,
        };
        found.into_iter().map(beside).collect()
    }

    /// A figure as people read it; nothing of what is no figure.
    pub(super) fn figure_said(&self, value: &Value, kind: &Kind) -> Option<String> {
        let (Value::Quantity(figure), Kind::Quantity(dimension)) = (value, kind) else {
            return None;
        };
        let unit = self.session.unit();
        Some(match *dimension {
            Dimension::LENGTH => unit.length(*figure),
            Dimension::ANGLE => voice::angle(*figure),
            Dimension::AREA => unit.area(*figure),
            Dimension::NUMBER => voice::number(*figure),
            _ => return None,
        })
    }
}

/// Carried out by the draft itself, outside of each `each`.
fn is_once(entry: &Entry) -> bool {
    entry.call.is_none() && entry.times.is_empty()
}
