//! From a drawn thing back to the sentences that drew it, through the acts that they call.

use oaktag_language::check::program::{Site, Target};
use oaktag_language::draft::Outcome;
use oaktag_language::draft::record::{Entry, EntryId, ValueId};
use oaktag_language::pattern::spec;
use oaktag_language::phrase::Value;
use std::collections::BTreeMap;

/// The record of a drawing, with what each call of an act did.
pub(crate) struct Trail<'o> {
    outcome: &'o Outcome,
    inner: BTreeMap<EntryId, Vec<EntryId>>,
}

impl<'o> Trail<'o> {
    /// Of a drawing.
    pub(crate) fn of(outcome: &'o Outcome) -> Self {
        let mut inner: BTreeMap<EntryId, Vec<EntryId>> = BTreeMap::new();
        for (at, entry) in (0..).zip(&outcome.record.entries) {
            if let Some(call) = entry.call {
                inner.entry(call).or_default().push(EntryId(at));
            }
        }
        Self { outcome, inner }
    }

    /// The sentence of the draft that drew the last of these names.
    pub(crate) fn root(&self, names: &[String]) -> Option<ValueId> {
        let own = self.outcome.record.entries.iter().enumerate().rev();
        let mut own = own.filter(|(_, entry)| entry.call.is_none());
        own.find_map(|(at, entry)| {
            let mut targets = self.site(entry)?.targets.iter();
            let value = targets.position(|one| names.iter().any(|name| **name == *one.name))?;
            Some(ValueId {
                entry: EntryId(u32::try_from(at).ok()?),
                at: u32::try_from(value).ok()?,
            })
        })
    }

    /// What drew a name that stands on a sheet traced from another: the sentence that drew the same there.
    pub(crate) fn traced(&self, name: &str) -> Option<ValueId> {
        let mut values = self.outcome.pattern.values.iter();
        let value = &values.find(|one| one.name == name)?.value;
        let is_same = |drawn: &Value| match (value, drawn) {
            (spec::Value::Point(a), Value::Point(b)) => a == b,
            (spec::Value::Line(a) | spec::Value::Curve(a), Value::Path(b)) => *a == **b,
            _ => false,
        };
        let last = |name: &str| name.rsplit('.').next().map(str::to_owned);
        let entries = self.outcome.record.entries.iter().enumerate().rev();
        let mut own = entries.filter(|(_, entry)| entry.call.is_none());
        own.find_map(|(at, entry)| {
            let targets = self.site(entry)?.targets.iter().zip(&entry.values);
            let mut same = targets
                .enumerate()
                .filter(|(_, (target, drawn))| is_same(drawn) && last(&target.name) == last(name));
            Some(ValueId {
                entry: EntryId(u32::try_from(at).ok()?),
                at: u32::try_from(same.next()?.0).ok()?,
            })
        })
    }

    /// What a sentence did.
    pub(crate) fn entry(&self, id: EntryId) -> Option<&'o Entry> {
        self.outcome.record.entries.get(id.0 as usize)
    }

    /// The sentence.
    pub(crate) fn site(&self, entry: &Entry) -> Option<&'o Site> {
        self.outcome.program.site(entry.site)
    }

    /// The name of a value where it is drawn.
    pub(crate) fn target(&self, id: ValueId) -> Option<&'o Target> {
        let site = self.site(self.entry(id.entry)?)?;
        site.targets.get(id.at as usize)
    }

    /// Of a value that an act has drawn, the sentence in the act that did: the last that came to the same value.
    pub(crate) fn within(&self, id: ValueId) -> Option<ValueId> {
        let value = self.entry(id.entry)?.values.get(id.at as usize)?;
        let inner = self.inner.get(&id.entry)?.iter().rev();
        let mut same = inner.filter_map(|inner| {
            let values = &self.entry(*inner)?.values;
            let at = values.iter().position(|one| one == value)?;
            Some(ValueId {
                entry: *inner,
                at: u32::try_from(at).ok()?,
            })
        });
        same.next()
    }
}
