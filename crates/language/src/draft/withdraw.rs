//! What is taken back where a sentence fails, and what cannot be judged because of it.

use super::fault::{Stop, quoted};
use super::machine::Machine;
use super::record::NotJudged;
use crate::check::program::{Node, Op, PieceCode, Slot};
use crate::pattern::spec::{EdgeName, LostSeam, SeamSpec};
use crate::phrase::Value;
use crate::report::Diagnostic;
use crate::say;
use crate::voice;
use std::collections::BTreeSet;

/// How much has been told and judged at some place of the draft.
#[derive(Clone, Copy)]
pub(super) struct SoFar {
    checks: usize,
    margins: usize,
    said: usize,
    cautions: usize,
    diagnostics: usize,
    exhausted: bool,
    lines: (usize, usize),
}

impl<'a> Machine<'a> {
    /// Nothing that these sentences draw is left standing.
    pub(super) fn withdraw(&mut self, ops: &'a [Op]) {
        for op in ops {
            each_target(op, &mut |slot| self.put(slot, None, None));
        }
    }

    /// What a sentence would have drawn that was not carried out is missing at the end.
    pub(super) fn lose(&mut self, op: &'a Op) {
        if let Op::Measure(number) = op {
            let measure = self.program.measures.get(*number);
            self.lost.extend(measure.map(|measure| measure.slot));
        }
        each_target(op, &mut |slot| {
            self.lost.insert(slot);
        });
        self.lose_sewing(op, true);
    }

    /// Pieces and seams of a sentence that was not carried out; of one that hangs on a condition it is not known whether it
    /// would be there.
    fn lose_sewing(&mut self, op: &'a Op, is_certain: bool) {
        match op {
            Op::Seam(number) => {
                if let Some(code) = self.program.seams.get(*number) {
                    let mut lost = self.widths_of(code);
                    lost.is_known &= is_certain;
                    self.drawn.lost.seams.push(lost);
                }
            }
            Op::Piece(number) if !is_certain => self.lost_pieces.push(*number),
            Op::If(choice) => {
                let bodies = choice.branches.iter().flat_map(|(_, body)| body);
                for op in bodies.chain(&choice.otherwise) {
                    self.lose_sewing(op, false);
                }
            }
            _ => {}
        }
    }

    /// Hands over what is missing, for those who draw the rest.
    pub(super) fn hand_over_lost(&mut self) {
        let program = self.program;
        if !self.diagnostics.iter().any(Diagnostic::is_error)
            && program.not_drawn.is_empty()
            && !program.is_wrong
        {
            return;
        }
        let mut tried: BTreeSet<Slot> = BTreeSet::new();
        for op in &program.body {
            each_target(op, &mut |slot| {
                tried.insert(slot);
            });
        }
        let settled = program.body.iter().filter_map(|op| match op {
            Op::Measure(number) => program.measures.get(*number),
            _ => None,
        });
        tried.extend(settled.map(|measure| measure.slot));
        let mut names: Vec<String> = Vec::new();
        for name in &program.names {
            let is_lost = !tried.contains(&name.slot) || self.lost.contains(&name.slot);
            let is_missing = match self.value(name.slot) {
                None => is_lost,
                Some(value) => matches!(value, Value::Absent),
            };
            if is_missing {
                names.push(name.name.clone());
            }
        }
        let mut pieces = Vec::new();
        let lost = std::mem::take(&mut self.lost_pieces).into_iter();
        let lost = lost.filter_map(|number| program.pieces.get(number));
        for code in program.broken_pieces.iter().chain(lost) {
            pieces.push(self.piece_as_far(code));
        }
        names.append(&mut self.lost_lists);
        // An interlining is not made of a piece that may ask for another.
        let inside = self.drawn.pieces.iter();
        let inside = inside.filter(|piece| piece.is_broken && piece.interlining.is_some());
        names.extend(inside.map(|piece| format!("{}_interlining", piece.name)));
        names.extend(program.not_drawn.iter().cloned());
        names.extend(program.lost_pieces.iter().cloned());
        names.extend(pieces.iter().map(|piece| piece.spec.name.clone()));
        let mut seen = BTreeSet::new();
        names.retain(|name| seen.insert(name.clone()));
        let lost = &mut self.drawn.lost;
        lost.names = names;
        lost.pieces = pieces;
        lost.words = program
            .lost_seams
            .iter()
            .map(|one| one.words.clone())
            .collect();
        lost.order = program.order_lost;
    }

    /// What a sentence may tell beside what it draws.
    pub(super) fn told_so_far(&self) -> SoFar {
        SoFar {
            checks: self.drawn.checks.len(),
            margins: self.record.margins.len(),
            said: self.record.said.len(),
            cautions: self.drawn.cautions.len(),
            diagnostics: self.diagnostics.len(),
            exhausted: self.exhausted,
            lines: self.lines.so_far(),
        }
    }

    /// Checks, words and warnings of an act that could not be drawn are taken back with it.
    pub(super) fn take_back(&mut self, to: SoFar) {
        self.drawn.checks.truncate(to.checks);
        self.lines.take_back(to.lines);
        self.record.margins.truncate(to.margins);
        self.record.said.truncate(to.said);
        self.drawn.cautions.truncate(to.cautions);
        // That it was too much is told first of all.
        let first = usize::from(self.exhausted && !to.exhausted);
        self.diagnostics.truncate(to.diagnostics + first);
    }

    /// Why a sentence was not carried out.
    pub(super) fn why_left_out(&self, stop: &Stop) -> String {
        match stop {
            Stop::Missing(slot) => match self.name_of(*slot) {
                Some(name) => format!("it needs `{name}`, which was not drawn"),
                None => "what it needs was not drawn".into(),
            },
            Stop::Exhausted => "the draft is left before it".into(),
            Stop::Told(_) => "it cannot be worked out".into(),
        }
    }

    /// The name drawn into a slot of the draft itself.
    fn name_of(&self, slot: Slot) -> Option<String> {
        let (Slot::Local(at) | Slot::Global(at)) = slot;
        drawn_into(&self.program.body, Slot::Local(at), &|site| {
            let site = self.program.sites.get(site as usize)?;
            let target = site.targets.iter().find(|t| t.slot == Slot::Local(at));
            Some(target?.name.to_string())
        })
        .or_else(|| {
            let measures = &self.program.measures;
            let measure = measures.iter().find(|m| m.slot == Slot::Local(at))?;
            Some(measure.name.clone())
        })
    }

    /// Counts the checks and seams of a sentence that was not carried out.
    pub(super) fn not_judged_in(&mut self, op: &'a Op, why: &str) {
        let mut found = Vec::new();
        self.judging(op, why, &mut BTreeSet::new(), &mut found);
        self.record.not_judged.extend(found);
        if let Op::Piece(number) = op {
            self.lost_pieces.push(*number);
        }
    }

    /// An operation's own are counted once, however often it is called below this sentence.
    fn judging(
        &self,
        op: &'a Op,
        why: &str,
        called: &mut BTreeSet<usize>,
        found: &mut Vec<NotJudged>,
    ) {
        match op {
            Op::Check(claim) => {
                let name = match &claim.text {
                    Node::Known(crate::phrase::Value::Text(text)) => text.to_string(),
                    // Its figures may be those that are missing.
                    _ => self.check_as_written(claim.site.0),
                };
                found.push(NotJudged::check(name, why));
            }
            Op::Seam(number) => {
                let name = self.program.seams.get(*number).map(|s| s.name.clone());
                found.push(NotJudged::seam(name.unwrap_or_default(), why));
            }
            Op::If(choice) => {
                let bodies = choice.branches.iter().flat_map(|(_, body)| body);
                for op in bodies.chain(&choice.otherwise) {
                    self.judging(op, why, called, found);
                }
            }
            Op::Draw(drawing) => {
                if let Node::Operation(call) = &drawing.value
                    && called.insert(call.routine)
                    && let Some(routine) = self.program.routines.get(call.routine)
                {
                    for op in &routine.body {
                        self.judging(op, why, called, found);
                    }
                }
            }
            _ => {}
        }
    }

    /// The text of a check with its braces as they stand.
    fn check_as_written(&self, site: u32) -> String {
        let site = self.program.sites.get(site as usize);
        let words = quoted(self.sources, site.map(|s| s.span).unwrap_or_default());
        let text = words.split('"').nth(1).unwrap_or_default();
        text.to_owned()
    }

    /// A seam whose piece could not be made is not judged.
    pub(super) fn withhold_seams(&mut self) {
        let program = self.program;
        let lost = self.lost_pieces.iter();
        let lost = lost.filter_map(|at| program.pieces.get(*at));
        let lost: Vec<&PieceCode> = lost.chain(&program.broken_pieces).collect();
        let unknown = program.lost_pieces.iter();
        let unknown = unknown.filter(|name| lost.iter().all(|piece| piece.name != **name));
        let unknown: Vec<&String> = unknown.collect();
        if lost.is_empty() && unknown.is_empty() && !program.pieces_lost {
            return;
        }
        let mut outlined: BTreeSet<(&str, &str)> = BTreeSet::new();
        for piece in &self.drawn.pieces {
            for edge in &piece.edges {
                outlined.insert(("", edge.line.as_str()));
                outlined.insert((piece.name.as_str(), edge.name.as_str()));
            }
        }
        let why = |name: &EdgeName| {
            let is_of = |piece: &&&PieceCode| {
                let is_piece = name.owner.as_ref() == Some(&piece.name);
                let mut edges = piece.outline().into_iter();
                edges.any(|edge| edge.line == name.line || is_piece && edge.name == name.edge)
            };
            let owner = name.owner.as_deref().unwrap_or_default();
            let stands = !name.line.is_empty() && outlined.contains(&("", name.line.as_str()));
            let missing = match lost.iter().find(is_of) {
                Some(missing) => (!stands || owner == missing.name).then_some(&missing.name)?,
                None => {
                    let has_edge = outlined.contains(&(owner, name.edge.as_str()));
                    let mut by_name = unknown.iter();
                    let own = by_name.find(|piece| **piece == owner).copied();
                    // An outline that could not be read may have any line.
                    let any = || unknown.first().copied();
                    match own {
                        Some(own) => own,
                        None if stands || has_edge => return None,
                        None if program.pieces_lost && unknown.is_empty() => {
                            return Some("one of its pieces is not taken".to_owned());
                        }
                        None => any()?,
                    }
                }
            };
            Some(format!("piece {} could not be made", voice::name(missing)))
        };
        let mut withheld = Vec::new();
        let mut specs = Vec::new();
        let is_certain = |seam: &SeamSpec| {
            let mut sides = [&seam.first, &seam.second].into_iter();
            seam.openings.is_empty() && !seam.is_broken && sides.all(|side| side.until.is_none())
        };
        self.drawn.seams.retain(|seam| {
            let mut edges = seam.first.edges.iter().chain(&seam.second.edges);
            let Some(why) = edges.find_map(|edge| why(&edge.name)) else {
                return true;
            };
            withheld.push(NotJudged::seam(seam.name.clone(), &why));
            specs.push(LostSeam {
                spec: seam.clone(),
                is_known: is_certain(seam),
            });
            false
        });
        self.record.not_judged.extend(withheld);
        self.drawn.lost.seams.extend(specs);
    }

    /// Tells with the last error how many sentences were left out, and what was not judged.
    pub(super) fn tell_left_out(&mut self) {
        let (lines, not_judged) = (
            self.record.left_out,
            NotJudged::count(&self.record.not_judged),
        );
        let Some(last) = self.diagnostics.iter_mut().rev().find(|d| d.is_error()) else {
            return;
        };
        if lines > 0 {
            let (need, were) = match lines {
                1 => ("needs", "was"),
                _ => ("need", "were"),
            };
            let lines = voice::count(lines as usize, "line");
            last.notes
                .push(say!("{} that {} it {} not drawn.", lines, need, were));
        }
        if !not_judged.is_empty() {
            last.notes.push(say!("Not judged: {}.", not_judged));
        }
    }
}

/// Every place that a sentence fills.
fn each_target(op: &Op, fill: &mut impl FnMut(Slot)) {
    match op {
        Op::Draw(drawing) => drawing.targets.iter().for_each(|slot| fill(*slot)),
        Op::Carry { to, .. } | Op::Number { slot: to, .. } => fill(*to),
        Op::Try(trial) => {
            fill(trial.slot);
            trial.body.iter().for_each(|op| each_target(op, fill));
        }
        Op::If(choice) => {
            let bodies = choice.branches.iter().flat_map(|(_, body)| body);
            let all = bodies.chain(&choice.otherwise);
            all.for_each(|op| each_target(op, fill));
        }
        _ => {}
    }
}

/// The site of the sentence that draws into a slot, told by its name.
fn drawn_into(ops: &[Op], slot: Slot, name: &impl Fn(u32) -> Option<String>) -> Option<String> {
    ops.iter().find_map(|op| match op {
        Op::Draw(drawing) if drawing.targets.contains(&slot) => name(drawing.site.0),
        Op::Carry { from, to } if *to == slot => drawn_into(ops, *from, name),
        Op::Try(trial) if trial.slot == slot => name(trial.site.0),
        Op::Try(trial) => drawn_into(&trial.body, slot, name),
        Op::If(choice) => choice
            .branches
            .iter()
            .map(|(_, body)| body)
            .chain([&choice.otherwise])
            .find_map(|body| drawn_into(body, slot, name)),
        _ => None,
    })
}
