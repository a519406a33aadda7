//! What lies on each panel's sheet as the lesson goes on: points and lines under the names they have by then.

use super::trees::Trees;
use kurbo::Point;
use oaktag_geometry::path::Path;
use oaktag_language::check::program::Site;
use oaktag_language::draft::record::Entry;
use oaktag_language::phrase::Value;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Something drawn that a figure can show.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Mark {
    Point(Point),
    Line(Arc<Path>),
}

impl Mark {
    pub(super) fn of(value: &Value) -> Option<Self> {
        match value {
            Value::Point(point) => Some(Mark::Point(*point)),
            Value::Path(path) => Some(Mark::Line(Arc::clone(path))),
            _ => None,
        }
    }
}

/// What a value draws, by name: of a list, its points and lines one by one.
pub(super) fn marks(name: &str, value: &Value) -> Vec<(String, Mark)> {
    if let Value::List(items) = value {
        let numbered = items.iter().enumerate();
        return numbered
            .flat_map(|(at, item)| marks(&format!("{name}_{}", at + 1), item))
            .collect();
    }
    Mark::of(value)
        .map(|mark| (name.to_owned(), mark))
        .into_iter()
        .collect()
}

/// Everything on a panel by member.
pub(super) type Sheet = BTreeMap<String, Mark>;

/// The sheets by panel's full name.
#[derive(Clone, Debug, Default)]
pub(super) struct Sheets(pub BTreeMap<String, Sheet>);

/// Panel and member of a full name.
pub(super) fn parts(name: &str) -> (&str, &str) {
    name.rsplit_once('.').unwrap_or(("", name))
}

impl Sheets {
    /// Lays the sheet of a panel out: traced, where the draft says from what and it has none yet.
    pub(super) fn open(&mut self, panel: &str, trees: &Trees<'_>) {
        if self.0.contains_key(panel) {
            return;
        }
        let last = panel.rsplit('.').next().unwrap_or(panel);
        let from = trees
            .traced
            .iter()
            .filter(|(name, _)| name == last)
            .find_map(|(_, from)| {
                let full = super::speech::dotted((*from)?);
                let dotted = format!(".{full}");
                self.0
                    .iter()
                    .find(|(name, _)| **name == full || name.ends_with(&dotted))
                    .map(|(_, sheet)| sheet.clone())
            });
        self.0.insert(panel.to_owned(), from.unwrap_or_default());
    }

    /// A panel that is laid over another has all that is on it.
    pub(super) fn lay(&mut self, site: &Site) {
        let Some(lays) = site.lays.as_ref().filter(|lays| lays.panel != lays.over) else {
            return;
        };
        let below = self.0.iter().filter_map(|(name, sheet)| {
            let rest = name.strip_prefix(lays.over.as_ref())?;
            let is_on_it = rest.is_empty() || rest.starts_with('.');
            is_on_it.then(|| (format!("{}{rest}", lays.panel), sheet.clone()))
        });
        let below: Vec<(String, Sheet)> = below.collect();
        self.0.extend(below);
    }

    /// Draws what an entry drew.
    pub(crate) fn apply(&mut self, site: &Site, entry: &Entry, trees: &Trees<'_>) {
        self.lay(site);
        let drawn = site.targets.iter().zip(&entry.values);
        for (target, value) in drawn.filter(|(target, _)| !target.kind.holds_panels()) {
            for (name, mark) in marks(&target.name, value) {
                let (panel, member) = parts(&name);
                self.open(panel, trees);
                if let Some(sheet) = self.0.get_mut(panel) {
                    sheet.insert(member.to_owned(), mark);
                }
            }
        }
    }
}
