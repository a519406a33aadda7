//! What is drawn anew: which value each name stands for, through tracing and operations, and which of them a later
//! sentence put another in the place of. A check that read such a value no longer tells of the finished draft.

use super::condition::{EQUAL, Finding};
use super::fault::Stop;
use super::machine::{Frame, MOST_WORK, Machine};
use crate::check::program::{ClaimCode, Drawing, Node, SiteId, Slot};
use crate::pattern::spec::Anew;
use crate::phrase::Value;
use crate::voice::Words;
use std::collections::BTreeSet;
use std::ops::Range;
use std::rc::Rc;
use std::sync::Arc;

/// So many values looked at are one work.
const LOOKED_AT: u64 = 8;

/// The number of a value that a sentence drew; it keeps it under whatever name it is handed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Thing(u32);

/// A value, and what it was drawn or worked out from: a range of [`Lines::reads`].
#[derive(Clone, Debug)]
struct Known {
    value: Value,
    reads: Range<usize>,
}

/// One value put in the place of another; none where the name is no longer on the sheet.
#[derive(Clone, Debug)]
struct Change {
    old: Thing,
    new: Option<Thing>,
    /// The call of an operation whose panel was laid over the old sheet.
    laid_by: Option<u32>,
    name: Arc<str>,
    by: Rc<str>,
}

/// A judged check, and what it read.
#[derive(Clone, Debug)]
struct Judged<'a> {
    claim: &'a ClaimCode,
    read: Vec<(Slot, Option<Thing>, Value)>,
    /// How many slots the row of sentences has that it stands in.
    slots: usize,
    /// How many changes there were.
    at: usize,
    /// The calls it stands in.
    calls: Vec<u32>,
    /// What is told where it fails.
    message: Option<Words>,
    found: Vec<Finding>,
}

/// Every value with what became of it.
#[derive(Default)]
pub(super) struct Lines<'a> {
    known: Vec<Known>,
    /// What sentences read, one after another, each once and in order.
    reads: Vec<Thing>,
    changes: Vec<Change>,
    judged: Vec<Judged<'a>>,
    /// Calls of operations so far.
    calls: u32,
    /// The call that ended last, and what it gave.
    last: u32,
    given: Vec<Option<Thing>>,
}

/// How the draft ends: what is on a sheet, and what was changed.
struct Ending<'p> {
    /// Of each value its name there, and whether that is on a panel that pieces are made of.
    on_sheets: Vec<(Option<&'p str>, bool)>,
    /// What was changed, with the numbers of its changes, in order.
    changes: Vec<(Thing, usize)>,
}

impl<'p> Ending<'p> {
    fn name(&self, thing: Thing) -> Option<&'p str> {
        self.on_sheets.get(thing.0 as usize)?.0
    }

    fn is_in_pieces(&self, thing: Thing) -> bool {
        let on_sheet = self.on_sheets.get(thing.0 as usize);
        on_sheet.is_some_and(|(_, in_pieces)| *in_pieces)
    }
}

impl Lines<'_> {
    /// How many changes and judged checks there are.
    pub(super) fn so_far(&self) -> (usize, usize) {
        (self.changes.len(), self.judged.len())
    }

    /// Changes and checks of a sentence that failed are taken back with it.
    pub(super) fn take_back(&mut self, (changes, judged): (usize, usize)) {
        self.changes.truncate(changes);
        self.judged.truncate(judged);
    }

    /// The number of a call that begins.
    pub(super) fn next_call(&mut self) -> u32 {
        self.calls += 1;
        self.calls
    }

    /// A call has ended, and gave these.
    pub(super) fn given_by(&mut self, call: u32, given: Vec<Option<Thing>>) {
        (self.last, self.given) = (call, given);
    }

    fn of(&self, thing: Thing) -> Option<&Known> {
        self.known.get(thing.0 as usize)
    }

    /// Keeps what a sentence reads.
    fn read(&mut self, things: impl Iterator<Item = Thing>) -> Range<usize> {
        let from = self.reads.len();
        self.reads.extend(things);
        if let Some(new) = self.reads.get_mut(from..) {
            new.sort_unstable();
        }
        let mut end = from;
        for at in from..self.reads.len() {
            let Some(thing) = self.reads.get(at).copied() else {
                break;
            };
            let is_new = end == from || self.reads.get(end - 1) != Some(&thing);
            if let (true, Some(place)) = (is_new, self.reads.get_mut(end)) {
                *place = thing;
                end += 1;
            }
        }
        self.reads.truncate(end);
        from..end
    }

    fn add(&mut self, value: Value, reads: Range<usize>) -> Thing {
        self.known.push(Known { value, reads });
        Thing(u32::try_from(self.known.len() - 1).unwrap_or(u32::MAX))
    }

    fn changes_of<'s>(
        &'s self,
        thing: Thing,
        since: usize,
        ending: &'s Ending<'s>,
    ) -> impl Iterator<Item = &'s Change> {
        let first = ending.changes.partition_point(|one| *one < (thing, since));
        let later = ending.changes.iter().skip(first);
        let later = later.take_while(move |(of, _)| *of == thing);
        later.filter_map(|(_, at)| self.changes.get(*at))
    }

    /// What came in the place of a value at last; none where that is not one value.
    fn newest(&self, thing: Thing, since: usize, ending: &Ending<'_>) -> Option<Thing> {
        let mut newest = thing;
        // Each change leads on to another value, so there are no more steps than changes.
        for _ in 0..=self.changes.len() {
            let later = self.changes_of(newest, since, ending);
            let next: BTreeSet<Option<Thing>> = later.map(|change| change.new).collect();
            let mut next = next.into_iter();
            match (next.next(), next.next()) {
                (None, _) => return Some(newest),
                (Some(Some(one)), None) => newest = one,
                _ => return None,
            }
        }
        None
    }

    fn is_drawn(&self, thing: Thing) -> bool {
        let value = self.of(thing).map(|known| &known.value);
        matches!(value, Some(Value::Path(_) | Value::Point(_)))
    }

    /// Changes since a check of what it read, and of what the figures in it were worked out from; and whether all of
    /// them are of what it read itself.
    fn since<'s>(
        &'s self,
        check: &Judged<'_>,
        ending: &'s Ending<'s>,
        looked_at: &mut u64,
    ) -> (Vec<&'s Change>, bool) {
        let (mut found, mut is_direct) = (Vec::new(), true);
        let mut seen = BTreeSet::new();
        let read = check.read.iter().filter_map(|(_, thing, _)| *thing);
        let mut next: Vec<(Thing, bool)> = read.map(|thing| (thing, true)).collect();
        next.reverse();
        while let Some((thing, is_read)) = next.pop() {
            *looked_at += 1;
            if ending.is_in_pieces(thing) || !seen.insert(thing) {
                continue;
            }
            // What a figure was worked out from is not overtaken by what the same act gives in its place.
            let is_own = |call: &u32| !is_read && check.calls.contains(call);
            let mut later = self.changes_of(thing, check.at, ending);
            if let Some(change) = later.find(|change| !change.laid_by.as_ref().is_some_and(is_own))
            {
                found.push(change);
                is_direct &= is_read;
                continue;
            }
            if let Some(known) = self.of(thing)
                && (!self.is_drawn(thing) || ending.name(thing).is_none())
            {
                let reads = self.reads.get(known.reads.clone()).unwrap_or_default();
                next.extend(reads.iter().rev().map(|read| (*read, false)));
            }
        }
        (found, is_direct)
    }

    /// Where an act drew lines anew, that its figures are new goes without saying.
    fn told(&self, changes: &[&Change], ending: &Ending<'_>) -> Vec<Anew> {
        let draws = |by: &str| {
            changes
                .iter()
                .any(|other| *other.by == *by && self.is_drawn(other.old))
        };
        let mut told: Vec<Anew> = Vec::new();
        for change in changes {
            let is_figure = !self.is_drawn(change.old);
            // Inside an act its panel has another name.
            let newest = self.newest(change.old, 0, ending);
            let name = newest.and_then(|newest| ending.name(newest));
            let one = Anew {
                name: on_its_panel(name.unwrap_or(&change.name)).to_owned(),
                by: change.by.to_string(),
                is_gone: change.new.is_none(),
                is_figure,
            };
            if !(told.contains(&one) || is_figure && draws(&change.by)) {
                told.push(one);
            }
        }
        told
    }
}

impl<'a> Machine<'a> {
    /// Which value is in a slot.
    pub(super) fn thing_of(&self, slot: Slot) -> Option<Thing> {
        thing_in(&self.frames, slot)
    }

    /// Says which value is in a slot.
    pub(super) fn keep_thing(&mut self, slot: Slot, thing: Option<Thing>) {
        let (frame, at) = match slot {
            Slot::Local(at) => (self.frames.last_mut(), at as usize),
            Slot::Global(at) => (self.frames.first_mut(), at as usize),
        };
        if let Some(place) = frame.and_then(|frame| frame.things.get_mut(at)) {
            *place = thing;
        }
    }

    /// Notes what a sentence has drawn, and what it drew anew.
    pub(super) fn note_lines(&mut self, drawing: &Drawing, values: &[Value]) {
        let given = match &drawing.value {
            Node::Operation(_) => std::mem::take(&mut self.lines.given),
            _ => Vec::new(),
        };
        let Some(site) = self.program.site(drawing.site) else {
            return;
        };
        if self.quiet > 0 {
            return;
        }
        let reads = site.reads.iter();
        let reads = reads.filter_map(|slot| thing_in(&self.frames, *slot));
        let reads = self.lines.read(reads);
        let mut changed: Vec<(Thing, Option<Thing>, Arc<str>)> = Vec::new();
        let mut made = Vec::new();
        for (at, (target, value)) in site.targets.iter().zip(values).enumerate() {
            let over = target.replaces.or(target.lies_over);
            let old = over.and_then(|slot| self.thing_of(slot));
            let is_same =
                |thing: &Thing| self.lines.of(*thing).is_some_and(|one| one.value == *value);
            // What an operation gives of the panel it was given, and what is drawn as it was, is still that.
            let kept = given.get(at).copied().flatten().or(old).filter(is_same);
            let kept = kept.or(old.filter(is_same));
            let thing = kept.unwrap_or_else(|| self.lines.add(value.clone(), reads.clone()));
            if !drawing.gone.is_empty() {
                made.push(thing);
            }
            self.keep_thing(target.slot, Some(thing));
            if let Some(old) = old.filter(|old| *old != thing) {
                changed.push((old, Some(thing), Arc::clone(&target.name)));
            }
        }
        let gone = drawing.gone.iter();
        let gone =
            gone.filter_map(|(name, slot)| Some((self.thing_of(*slot)?, None, Arc::clone(name))));
        changed.extend(gone.filter(|(thing, ..)| !made.contains(thing)));
        self.changed(drawing, changed);
    }

    fn changed(&mut self, drawing: &Drawing, changed: Vec<(Thing, Option<Thing>, Arc<str>)>) {
        let Some((_, _, name)) = changed.first() else {
            return;
        };
        let called = match &drawing.value {
            Node::Operation(call) => Some(call.routine),
            _ => None,
        };
        let by = match self.act_of(drawing.site, called) {
            none if none.is_empty() => {
                format!("panel `{}`", name.split('.').next().unwrap_or(name))
            }
            by => by,
        };
        let (by, laid_by): (Rc<str>, _) = (by.into(), called.map(|_| self.lines.last));
        let changes = changed.into_iter().map(|(old, new, name)| {
            let by = Rc::clone(&by);
            Change {
                old,
                new,
                laid_by,
                name,
                by,
            }
        });
        self.lines.changes.extend(changes);
    }

    /// What a check belongs to.
    pub(super) fn owner_of(&self, claim: &ClaimCode) -> String {
        if self.frames.len() == 1 && !claim.import.is_empty() {
            return claim.import.clone();
        }
        self.act_of(claim.site, None)
    }

    /// What the draft calls the act a sentence belongs to: the operation it called, else the step, else the panel.
    fn act_of(&self, site: SiteId, called: Option<usize>) -> String {
        let Some(info) = self.program.site(site) else {
            return String::new();
        };
        let outermost = self.frames.get(1).and_then(|frame| frame.routine);
        let routine = outermost.or(called);
        if let Some(routine) = routine.and_then(|number| self.program.routines.get(number)) {
            return format!("`{}`", routine.head);
        }
        let step = info.step.and_then(|id| self.program.step(id));
        match step {
            Some(step) if step.file.is_empty() => {
                format!("step {}, \"{}\"", step.number, step.name)
            }
            Some(step) => format!("step {} of `{}`", step.number, step.file),
            None if info.panel.is_empty() => String::new(),
            None => format!("panel `{}`", info.panel),
        }
    }

    /// Keeps what a check read.
    pub(super) fn note_judged(
        &mut self,
        claim: &'a ClaimCode,
        message: Option<Words>,
        found: Vec<Finding>,
    ) {
        let site = self.program.site(claim.site);
        let reads: BTreeSet<Slot> = site
            .into_iter()
            .flat_map(|site| &site.reads)
            .copied()
            .collect();
        let read = reads.into_iter();
        let read =
            read.filter_map(|slot| Some((slot, self.thing_of(slot), self.value(slot)?.clone())));
        let judged = Judged {
            claim,
            read: read.collect(),
            slots: self.frames.last().map_or(0, |frame| frame.values.len()),
            at: self.lines.changes.len(),
            calls: self
                .frames
                .iter()
                .skip(1)
                .map(|frame| frame.number)
                .collect(),
            message,
            found,
        };
        self.lines.judged.push(judged);
    }

    /// At the end: says of each check what it read that was drawn anew since, unless it comes to the same.
    pub(super) fn settle_checks(&mut self) {
        // Most batches are of drafts without any.
        if self.lines.changes.is_empty() {
            return;
        }
        let ending = self.ending();
        let judged = std::mem::take(&mut self.lines.judged);
        let most = judged.iter().map(|one| one.slots).max().unwrap_or(0);
        self.frames
            .push(Frame::new(u32::try_from(most).unwrap_or(u32::MAX)));
        self.quiet += 1;
        for (number, one) in judged.iter().enumerate() {
            // Told as too much work.
            if self.settle_check(number, one, &ending).is_err() {
                break;
            }
        }
        self.quiet -= 1;
        self.frames.pop();
    }

    fn settle_check(
        &mut self,
        number: usize,
        one: &Judged<'a>,
        ending: &Ending<'_>,
    ) -> Result<(), Stop> {
        let mut looked_at = 0;
        let (changes, is_direct) = self.lines.since(one, ending, &mut looked_at);
        let told = self.lines.told(&changes, ending);
        self.charge(looked_at / LOOKED_AT)?;
        if told.is_empty() || (is_direct && self.comes_to_the_same(one, ending)) {
            return Ok(());
        }
        if let Some(message) = &one.message {
            let mut all = self.diagnostics.iter_mut();
            if let Some(failed) = all.find(|told| told.message == *message) {
                failed.notes.push(Words::from(Anew::said(&told)).sentence());
            }
        }
        if let Some(check) = self.drawn.checks.get_mut(number) {
            check.redrawn = told;
        }
        Ok(())
    }

    fn ending(&self) -> Ending<'a> {
        let pieces = self.program.pieces.iter();
        let panels: BTreeSet<&str> = pieces.map(|piece| piece.panel.as_str()).collect();
        let mut on_sheets = vec![(None, false); self.lines.known.len()];
        // Names of a panel follow one another.
        let mut last = ("", false);
        for name in &self.program.names {
            let thing = self.thing_of(name.slot);
            let Some(place) = thing.and_then(|thing| on_sheets.get_mut(thing.0 as usize)) else {
                continue;
            };
            place.0 = place.0.or(Some(name.name.as_str()));
            if let Some((panel, _)) = name.name.rsplit_once('.') {
                if panel != last.0 {
                    last = (panel, panels.contains(panel));
                }
                place.1 |= last.1;
            }
        }
        let changes = self.lines.changes.iter().enumerate();
        let mut changes: Vec<(Thing, usize)> = changes.map(|(at, one)| (one.old, at)).collect();
        changes.sort_unstable();
        Ending { on_sheets, changes }
    }

    /// Whether a check, judged again on the newest of all it read, finds the same.
    fn comes_to_the_same(&mut self, one: &Judged<'a>, ending: &Ending<'_>) -> bool {
        // It costs what it cost before, so that half of the work is enough for all.
        if self.work > MOST_WORK / 2 {
            return false;
        }
        for (slot, thing, value) in &one.read {
            let value = match thing {
                None => value.clone(),
                Some(thing) => {
                    let newest = self.lines.newest(*thing, one.at, ending);
                    match newest.and_then(|newest| self.lines.of(newest)) {
                        Some(newest) => newest.value.clone(),
                        None => return false,
                    }
                }
            };
            // A measure is no value of the row, and no check changes it.
            if let Slot::Local(_) = slot {
                self.put(*slot, Some(value), None);
            }
        }
        let mut findings = Vec::new();
        let done = self.findings(&one.claim.condition, &mut findings);
        for (slot, ..) in &one.read {
            if let Slot::Local(_) = slot {
                self.put(*slot, None, None);
            }
        }
        let unit = self.program.unit;
        let same = |(a, b): (&Finding, &Finding)| {
            let reads = |a: &Words, b: &Words| a.in_unit(unit) == b.in_unit(unit);
            reads(&a.measured, &b.measured)
                && reads(&a.wanted, &b.wanted)
                && (a.margin == b.margin || (a.margin - b.margin).abs() <= EQUAL)
        };
        done.is_ok()
            && findings.len() == one.found.len()
            && one.found.iter().zip(&findings).all(same)
    }
}

fn thing_in(frames: &[Frame], slot: Slot) -> Option<Thing> {
    let (frame, at) = match slot {
        Slot::Local(at) => (frames.last()?, at),
        Slot::Global(at) => (frames.first()?, at),
    };
    frame.things.get(at as usize).copied().flatten()
}

/// A full name without what its panel stands in: `shirt.back.side` is `back.side`.
fn on_its_panel(name: &str) -> &str {
    let dots = name.rmatch_indices('.');
    dots.map(|(at, _)| at)
        .nth(1)
        .and_then(|at| name.get(at + 1..))
        .unwrap_or(name)
}
