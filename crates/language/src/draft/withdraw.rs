//! What is taken back where a sentence fails, and what cannot be judged because of it.

use super::fault::{Stop, quoted};
use super::machine::Machine;
use super::record::NotJudged;
use crate::check::program::{Node, Op, PieceCode, Slot};
use crate::pattern::spec::EdgeName;
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
            match op {
                Op::Draw(drawing) => {
                    for slot in &drawing.targets {
                        self.put(*slot, None, None);
                    }
                }
                Op::Carry { to, .. } => self.put(*to, None, None),
                Op::Try(trial) => {
                    self.put(trial.slot, None, None);
                    self.withdraw(&trial.body);
                }
                Op::If(choice) => {
                    for (_, body) in &choice.branches {
                        self.withdraw(body);
                    }
                    self.withdraw(&choice.otherwise);
                }
                _ => {}
            }
        }
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
        let lost: Vec<&PieceCode> = lost.filter_map(|at| program.pieces.get(*at)).collect();
        if lost.is_empty() {
            return;
        }
        let edges = self.drawn.pieces.iter().flat_map(|piece| &piece.edges);
        let outlined: BTreeSet<String> = edges.map(|edge| edge.line.clone()).collect();
        let piece_of = |name: &EdgeName| {
            let is_of = |piece: &&&PieceCode| {
                let is_piece = name.owner.as_ref() == Some(&piece.name);
                let mut edges = piece.outline().into_iter();
                edges.any(|edge| edge.line == name.line || is_piece && edge.name == name.edge)
            };
            let missing = lost.iter().find(is_of)?;
            let stands = !name.line.is_empty() && outlined.contains(&name.line);
            (!stands || name.owner.as_ref() == Some(&missing.name)).then_some(missing)
        };
        let mut withheld = Vec::new();
        self.drawn.seams.retain(|seam| {
            let mut edges = seam.first.edges.iter().chain(&seam.second.edges);
            let Some(piece) = edges.find_map(|edge| piece_of(&edge.name)) else {
                return true;
            };
            let piece = voice::name(&piece.name);
            let why = format!("piece {piece} could not be made");
            withheld.push(NotJudged::seam(seam.name.clone(), &why));
            false
        });
        self.record.not_judged.extend(withheld);
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
