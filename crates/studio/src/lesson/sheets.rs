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
        let from = self.traced_from(panel, trees);
        let traced = from.and_then(|from| self.0.get(&from).cloned());
        self.0.insert(panel.to_owned(), traced.unwrap_or_default());
    }

    /// What a panel is traced from, by its full name, where that lies there and the panel does not yet.
    pub(super) fn traced_from(&self, panel: &str, trees: &Trees<'_>) -> Option<String> {
        if self.0.contains_key(panel) {
            return None;
        }
        let last = panel.rsplit('.').next().unwrap_or(panel);
        let mut named = trees.traced.iter().filter(|(name, _)| name == last);
        named.find_map(|(_, from)| {
            let full = super::speech::dotted((*from)?);
            let dotted = format!(".{full}");
            let is_it = |name: &&String| **name == full || name.ends_with(&dotted);
            self.0.keys().find(is_it).cloned()
        })
    }

    /// The member of a panel that is a point lying there.
    pub(super) fn point_at(&self, panel: &str, at: Point) -> Option<String> {
        let sheet = self.0.get(panel)?.iter();
        let mut named = sheet.filter_map(|(member, mark)| match mark {
            Mark::Point(point) if (*point - at).hypot() < super::places::SAME => {
                Some(member.clone())
            }
            _ => None,
        });
        named.next()
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
