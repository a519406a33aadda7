//! Which name of the old side is which of the new: the same name first, then members of a panel that was renamed, then
//! names in one panel that are drawn by one formula, then those that are one shape.

use super::{Rename, SAME, Side};
use oaktag_language::check::program::Program;
use oaktag_language::pattern::spec::{MeasureUsed, NamedValue, Value};
use std::collections::{BTreeMap, BTreeSet};

/// So much of all their members two panels have in common where one is the other renamed.
const MOSTLY: f64 = 0.75;

/// Beyond so many pairs nobody looks for renames: names then came and went.
const MOST_PAIRS: usize = 1_000_000;

pub(super) struct Names<'a> {
    /// Values of both sides.
    pub values: Vec<(&'a NamedValue, &'a NamedValue)>,
    /// Measures and choices of both sides.
    pub measures: Vec<(&'a MeasureUsed, &'a MeasureUsed)>,
    /// What was renamed: measures, panels, then values outside renamed panels.
    pub renames: Vec<Rename>,
    pub added: Vec<String>,
    pub gone: Vec<String>,
    /// Old panel names to new ones, where they differ.
    panels: BTreeMap<String, String>,
    /// Old names of values to new ones, where they differ.
    lines: BTreeMap<String, String>,
}

impl Names<'_> {
    /// What a panel is called on the new side.
    pub(super) fn panel(&self, old: &str) -> String {
        self.panels
            .get(old)
            .cloned()
            .unwrap_or_else(|| old.to_owned())
    }

    /// What a value is called on the new side.
    pub(super) fn value(&self, old: &str) -> String {
        self.lines
            .get(old)
            .cloned()
            .unwrap_or_else(|| old.to_owned())
    }
}

/// The panel of a full name; empty at the file's level.
pub(super) fn panel_of(name: &str) -> &str {
    name.rsplit_once('.').map_or("", |(panel, _)| panel)
}

fn member_of(name: &str) -> &str {
    name.rsplit_once('.').map_or(name, |(_, member)| member)
}

/// The kind of a value in one word.
pub(super) fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Point(_) => "point",
        Value::Line(_) => "line",
        Value::Curve(_) => "curve",
        Value::Length(_) => "length",
        Value::Angle(_) => "angle",
        Value::Area(_) => "area",
        Value::Number(_) => "number",
        Value::Direction(_) => "direction",
        Value::Text(_) => "text",
        Value::Answer(_) => "answer",
        Value::List(_) => "list",
    }
}

/// Pairs the names of two sides.
pub(super) fn pair<'a>(old: Side<'a>, new: Side<'a>) -> Names<'a> {
    let (before, after) = (&old.outcome.pattern, &new.outcome.pattern);
    let mut renames = Vec::new();
    let measures = measures(&before.measures, &after.measures, &mut renames);
    let (olds, news) = (latest(&before.values), latest(&after.values));
    let panels = panels(&olds, &news, &mut renames);
    let mut pairing = Pairing {
        left: olds,
        fresh: news,
        paired: BTreeMap::new(),
    };
    pairing.by_name(|name| Some(name.to_owned()));
    let called = |name: &str| {
        let panel = panel_of(name);
        panels
            .get(panel)
            .map(|panel| format!("{panel}.{}", member_of(name)))
    };
    pairing.by_name(called);
    // A measure is a value, too.
    let of_measures: BTreeMap<&str, &str> = measures
        .iter()
        .map(|(old, new)| (old.name.as_str(), new.name.as_str()))
        .collect();
    pairing.by_name(|name| Some((*of_measures.get(name)?).to_owned()));
    let (old_formulas, new_formulas) = (formulas(old), formulas(new));
    let in_one_panel = |old: &NamedValue, new: &NamedValue| {
        let panel = panel_of(&old.name);
        panels.get(panel).map_or(panel, String::as_str) == panel_of(&new.name)
            && kind_of(&old.value) == kind_of(&new.value)
    };
    let before_shape = pairing.paired.len();
    let mut renamed: Vec<(String, String, &'static str)> = Vec::new();
    for fits in [true, false] {
        let found = pairing.by(|old, new| {
            in_one_panel(old, new)
                && if fits {
                    let formula = old_formulas.get(old.name.as_str());
                    formula.is_some() && formula == new_formulas.get(new.name.as_str())
                } else {
                    same_shape(&old.value, &new.value)
                }
        });
        renamed.extend(found);
    }
    debug_assert!(before_shape <= pairing.paired.len());
    // An item of a list goes with its list.
    let of_list = |name: &str| {
        renamed
            .iter()
            .any(|(old, ..)| name.starts_with(&format!("{old}_")))
    };
    let mut lines: BTreeMap<String, String> = BTreeMap::new();
    for (old, new, kind) in &renamed {
        if !of_list(old) {
            renames.push(Rename {
                kind,
                old: old.clone(),
                new: new.clone(),
            });
        }
    }
    let values: Vec<(&NamedValue, &NamedValue)> = pairing.paired.into_values().collect();
    for (old, new) in &values {
        if old.name != new.name {
            lines.insert(old.name.clone(), new.name.clone());
        }
    }
    let list =
        |values: Vec<&NamedValue>| values.into_iter().map(|value| value.name.clone()).collect();
    Names {
        values,
        measures,
        renames,
        added: list(pairing.fresh),
        gone: list(pairing.left),
        panels,
        lines,
    }
}

/// Of a name given twice the last value counts, as in the JSON.
fn latest(values: &[NamedValue]) -> Vec<&NamedValue> {
    let mut seen = BTreeSet::new();
    let mut kept: Vec<&NamedValue> = values
        .iter()
        .rev()
        .filter(|value| seen.insert(value.name.as_str()))
        .collect();
    kept.reverse();
    kept
}

/// Values not yet paired, and pairs by the place on the new side.
struct Pairing<'a> {
    left: Vec<&'a NamedValue>,
    fresh: Vec<&'a NamedValue>,
    paired: BTreeMap<(usize, String), (&'a NamedValue, &'a NamedValue)>,
}

impl<'a> Pairing<'a> {
    /// Pairs each old value with the new one of the name it would have there.
    fn by_name(&mut self, called: impl Fn(&str) -> Option<String>) {
        let fresh = std::mem::take(&mut self.fresh);
        let places: BTreeMap<&str, (usize, &'a NamedValue)> = fresh
            .iter()
            .enumerate()
            .map(|(at, value)| (value.name.as_str(), (at, *value)))
            .collect();
        let mut used = BTreeSet::new();
        for old in std::mem::take(&mut self.left) {
            let found = called(&old.name).and_then(|name| places.get(name.as_str()).copied());
            match found.filter(|(at, _)| used.insert(*at)) {
                Some((at, new)) => {
                    self.paired.insert((at, new.name.clone()), (old, new));
                }
                None => self.left.push(old),
            }
        }
        let rest = fresh
            .iter()
            .enumerate()
            .filter(|(at, _)| !used.contains(at));
        self.fresh = rest.map(|(_, value)| *value).collect();
    }

    /// Pairs what fits, and gives the pairs of differing names.
    fn by(
        &mut self,
        fits: impl Fn(&NamedValue, &NamedValue) -> bool,
    ) -> Vec<(String, String, &'static str)> {
        let mut renamed = Vec::new();
        if self.left.len().saturating_mul(self.fresh.len()) > MOST_PAIRS {
            return renamed;
        }
        let fresh = std::mem::take(&mut self.fresh);
        for (at, new) in fresh.into_iter().enumerate() {
            match self.left.iter().position(|old| fits(old, new)) {
                Some(found) => {
                    let old = self.left.remove(found);
                    if old.name != new.name {
                        renamed.push((old.name.clone(), new.name.clone(), kind_of(&new.value)));
                    }
                    self.paired.insert((at, new.name.clone()), (old, new));
                }
                None => self.fresh.push(new),
            }
        }
        renamed
    }
}

fn measures<'a>(
    old: &'a [MeasureUsed],
    new: &'a [MeasureUsed],
    renames: &mut Vec<Rename>,
) -> Vec<(&'a MeasureUsed, &'a MeasureUsed)> {
    let mut left: Vec<&MeasureUsed> = old.iter().collect();
    let mut pairs = Vec::new();
    let mut fresh = Vec::new();
    for one in new {
        match left.iter().position(|other| other.name == one.name) {
            Some(at) => pairs.push((left.remove(at), one)),
            None => fresh.push(one),
        }
    }
    for one in fresh {
        let same = |other: &&MeasureUsed| {
            other.of_body == one.of_body && other.value == one.value && other.text == one.text
        };
        if let Some(at) = left.iter().position(same) {
            let other = left.remove(at);
            renames.push(Rename {
                kind: "measure",
                old: other.name.clone(),
                new: one.name.clone(),
            });
            pairs.push((other, one));
        }
    }
    pairs
}

/// Panels that are gone and panels that are new, where most of their members have one name.
fn panels(
    old: &[&NamedValue],
    new: &[&NamedValue],
    renames: &mut Vec<Rename>,
) -> BTreeMap<String, String> {
    let members = |values: &[&NamedValue]| {
        let mut panels: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for value in values {
            let panel = panel_of(&value.name);
            if !panel.is_empty() {
                panels
                    .entry(panel.to_owned())
                    .or_default()
                    .insert(member_of(&value.name).to_owned());
            }
        }
        panels
    };
    let (mut before, mut after) = (members(old), members(new));
    let both: Vec<String> = before
        .keys()
        .filter(|panel| after.contains_key(*panel))
        .cloned()
        .collect();
    for panel in both {
        before.remove(&panel);
        after.remove(&panel);
    }
    let mut found = BTreeMap::new();
    for (panel, its) in before {
        let share = |other: &BTreeSet<String>| {
            let common = its.intersection(other).count();
            common as f64 / its.union(other).count().max(1) as f64
        };
        let best = after
            .iter()
            .max_by(|a, b| share(a.1).total_cmp(&share(b.1)));
        if let Some((name, others)) = best
            && share(others) >= MOSTLY
        {
            let name = name.clone();
            after.remove(&name);
            renames.push(Rename {
                kind: "panel",
                old: panel.clone(),
                new: name.clone(),
            });
            found.insert(panel, name);
        }
    }
    found
}

/// The formula of each name, its words and signs with one space between.
fn formulas(side: Side<'_>) -> BTreeMap<&str, String> {
    let program: &Program = &side.outcome.program;
    let names = program.names.iter().filter_map(|name| {
        let site = program.site(name.site)?;
        let text = side.project.sources.slice(site.value);
        let formula: Vec<&str> = text.split_whitespace().collect();
        (!formula.is_empty()).then(|| (name.name.as_str(), formula.join(" ")))
    });
    names.collect()
}

/// Whether two values are one shape in one place.
fn same_shape(old: &Value, new: &Value) -> bool {
    match (old, new) {
        (Value::Line(a) | Value::Curve(a), Value::Line(b) | Value::Curve(b)) => {
            let (a, b) = (super::fit::places(a), super::fit::places(b));
            !a.is_empty()
                && a.len() == b.len()
                && a.iter().zip(&b).all(|(a, b)| (*a - *b).hypot() <= SAME)
        }
        (Value::Point(a), Value::Point(b)) => (*a - *b).hypot() <= SAME,
        _ => false,
    }
}
