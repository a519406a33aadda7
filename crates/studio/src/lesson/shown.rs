//! What the figures of a step show: of all its acts or, where they are many, of a few at a time; each new thing by the number
//! of the act that draws it.

use super::booklet;
use super::left::Left;
use super::plates::{self, Shown};
use super::sheets::{Mark, Sheets, marks, parts};
use super::speech::Told;
use super::steps::Maker;
use super::{Plate, Step};
use oaktag_language::draft::record::EntryId;
use oaktag_language::phrase::Value;
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use std::collections::BTreeMap;

/// Acts that draw, more than these, have more than one figure …
const MOST_ACTS: usize = 6;
/// … of about so many acts each.
const ACTS: usize = 5;
/// So many things are named in the words for who cannot see a figure.
const MOST_NAMED: usize = 12;

/// An entry of a step, and the number of the sentence that tells it.
pub(super) type Act = (usize, usize);

impl Maker<'_> {
    /// The figures of a step, and how long its new lines are; afterwards the sheets hold what is new.
    pub(super) fn pictured(
        &self,
        step: &Step,
        acts: &[Act],
        sheets: &mut Sheets,
    ) -> (Vec<Plate>, Vec<(String, String)>) {
        let mut shown: Vec<((usize, usize), Shown)> = Vec::new();
        for entries in self.shares(acts) {
            let own: Vec<usize> = entries.iter().map(|(entry, _)| *entry).collect();
            let mut one = self.shown(&own, sheets);
            for (entry, act) in entries {
                one.acts
                    .extend(self.drawn_by(*entry).map(|name| (name, *act)));
            }
            let (first, last) = (entries.first(), entries.last());
            let (Some((_, first)), Some((_, last))) = (first, last) else {
                continue;
            };
            if !one.new.is_empty() {
                shown.push(((*first, *last), one));
            }
        }
        let all = shown
            .iter()
            .flat_map(|(_, shown)| shown.new.iter().cloned());
        let measures = measures(&newest(all.collect()), self.unit);
        let is_one = shown.len() == 1;
        let count = shown.len();
        let plates = shown.into_iter().filter_map(|(acts, shown)| {
            let acts = (!is_one).then_some(acts);
            self.plate(step, &shown, (acts, count))
        });
        (plates.collect(), measures)
    }

    /// One figure of a step that has so many.
    pub(super) fn plate(
        &self,
        step: &Step,
        shown: &Shown,
        (acts, count): (Option<(usize, usize)>, usize),
    ) -> Option<Plate> {
        let caption = format!("Step {}: {}", step.number, step.title);
        let room = match (self.options.paper, self.options.scale) {
            (Some(page), scale) => {
                booklet::room_for_figure(step, page, (scale.is_none(), count, shown.new.len()))
            }
            (None, Some(_)) => plates::ENDLESS,
            (None, None) => plates::SCREEN,
        };
        let size = (self.options.scale, room);
        let picture = plates::step(&caption, &words(shown), shown, self.unit, size)?;
        Some(Plate {
            acts,
            of: String::new(),
            drawing: picture.plate,
            locator: picture.locator,
            key: picture.key,
            scale: picture.scale,
        })
    }

    /// The acts of a step, a few that draw together.
    fn shares<'s>(&self, acts: &'s [Act]) -> Vec<&'s [Act]> {
        let draws = |act: &&Act| self.drawn_by(act.0).next().is_some();
        let count = acts.iter().filter(draws).count();
        if count <= MOST_ACTS {
            return vec![acts];
        }
        let shares = count.div_ceil(ACTS);
        let each = count.div_ceil(shares);
        let (mut found, mut from, mut drawn) = (Vec::new(), 0, 0);
        for (at, act) in acts.iter().enumerate() {
            if draws(&act) {
                if drawn == each {
                    found.extend(acts.get(from..at));
                    (from, drawn) = (at, 0);
                }
                drawn += 1;
            }
        }
        found.extend(acts.get(from..));
        found
    }

    /// Full names of what an entry leaves on the paper.
    pub(super) fn drawn_by(&self, entry: usize) -> impl Iterator<Item = String> {
        let drawn = self.entry(entry).into_iter().flat_map(|(entry, site)| {
            let drawn = site.targets.iter().zip(&entry.values);
            drawn.flat_map(|(target, value)| marks(&target.name, value))
        });
        drawn.map(|(name, _)| name)
    }

    /// What the figure shows; afterwards the sheets hold what is new.
    pub(super) fn shown(&self, entries: &[usize], sheets: &mut Sheets) -> Shown {
        let mut shown = Shown {
            bare: self.asked.asks(),
            ..Shown::default()
        };
        let own: Vec<EntryId> = entries
            .iter()
            .map(|at| EntryId(u32::try_from(*at).unwrap_or(u32::MAX)))
            .collect();
        let mut panels: Vec<String> = Vec::new();
        let mut new: BTreeMap<String, Mark> = BTreeMap::new();
        for at in entries {
            let Some((entry, site)) = self.entry(*at) else {
                continue;
            };
            sheets.lay(site);
            // What lies on the panels of a list is drawn there.
            let drawn = site.targets.iter().zip(&entry.values);
            let drawn = drawn.filter(|(target, _)| !target.kind.holds_panels());
            let is_list = |(_, value): &(_, &Value)| matches!(value, Value::List(_));
            let (lists, single): (Vec<_>, Vec<_>) = drawn.partition(is_list);
            let drawn = single.into_iter().chain(lists);
            let drawn = drawn.flat_map(|(target, value)| marks(&target.name, value));
            for (name, mark) in drawn {
                let (panel, member) = parts(&name);
                // What a list gathers has its own name already.
                let is_known = |known: &Mark| *known == mark;
                if !site.targets.iter().any(|target| *target.name == *name)
                    && (shown.new.iter().any(|(_, known)| is_known(known))
                        || sheets
                            .0
                            .values()
                            .flat_map(|sheet| sheet.values())
                            .any(is_known))
                {
                    continue;
                }
                if !panels.iter().any(|known| known == panel) {
                    panels.push(panel.to_owned());
                    sheets.open(panel, &self.trees);
                }
                let before = sheets.0.get(panel).and_then(|sheet| sheet.get(member));
                match before {
                    Some(before) if *before == mark => continue,
                    Some(before) if Left::of(before, &mark).is_some() => {
                        shown.replaced.push(before.clone());
                    }
                    _ => {}
                }
                match shown.new.iter_mut().find(|(known, _)| *known == name) {
                    Some(place) => place.1 = mark.clone(),
                    None => shown.new.push((name.clone(), mark.clone())),
                }
                new.insert(name, mark);
            }
            shown.aids.extend(entry.aids.iter().cloned());
            for id in entry.read.iter().filter(|id| !own.contains(&id.entry)) {
                let Some((name, _, value)) = self.value(*id) else {
                    continue;
                };
                let Some(mark) = Mark::of(value) else {
                    continue;
                };
                if !shown.used.iter().any(|(known, _)| known == name) {
                    shown.earlier.push(mark.clone());
                    shown.used.push((name.to_owned(), mark));
                }
            }
        }
        for panel in &panels {
            let sheet = sheets.0.get(panel).into_iter().flatten();
            let is_new = |member: &str| {
                new.contains_key(&format!("{panel}.{member}")) || new.contains_key(member)
            };
            shown.earlier.extend(
                sheet
                    .filter(|(member, _)| !is_new(member))
                    .map(|(_, mark)| mark.clone()),
            );
        }
        // What is drawn anew from itself is shown as it was, not as it is.
        let Shown {
            earlier, replaced, ..
        } = &mut shown;
        earlier.retain(|mark| !replaced.contains(mark));
        self.pass(entries, sheets);
        shown
    }
}

/// Of what is drawn more than once under one name, the newest.
fn newest(all: Vec<(String, Mark)>) -> Vec<(String, Mark)> {
    let mut found: Vec<(String, Mark)> = Vec::new();
    for (name, mark) in all {
        match found.iter_mut().find(|(known, _)| *known == name) {
            Some(place) => place.1 = mark,
            None => found.push((name, mark)),
        }
    }
    found
}

/// A figure for those who cannot see it: "New: neck, shoulder. Used: blade point."
fn words(shown: &Shown) -> String {
    let named = |word: &str, of: &[(String, Mark)]| {
        let told = Told::among(of);
        let names: Vec<String> = of.iter().map(|(name, _)| told.name(name)).collect();
        (!names.is_empty()).then(|| format!("{word}: {}.", voice::few(&names, MOST_NAMED)))
    };
    let new = named("New", &shown.new);
    let used = named("Used", &shown.used);
    let said: Vec<String> = new.into_iter().chain(used).collect();
    said.join(" ")
}

/// Lengths of what is new.
fn measures(new: &[(String, Mark)], unit: LengthUnit) -> Vec<(String, String)> {
    let told = Told::among(new);
    let lengths = new.iter().filter_map(|(name, mark)| match mark {
        Mark::Line(path) => {
            let length = path.length().ok()?;
            // A tape is laid along a curve; a straight line is measured.
            let how = if path.is_straight() {
                "measure it"
            } else {
                "lay the tape along it"
            };
            let length = format!("{how}, {}", unit.length(length));
            Some((voice::capital(&told.name(name)), length))
        }
        Mark::Point(_) => None,
    });
    lengths.collect()
}
