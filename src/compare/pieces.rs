//! Pieces before and after. A piece is known by its name, then by its shape wherever it lies and whatever it is called,
//! then by its panel or most of its edges. What its paper needs is decided here: keep, relabel, recut.

use super::fit::{self, Fit};
use super::names::Names;
use super::{Change, EdgeChange, PieceChange, Rename, SAME, Side, Verdict, notches, seams, words};
use crate::output::number::{AREA_DECIMALS, DEGREE_DECIMALS, MM_DECIMALS, rounded};
use crate::pattern::spec::{Button, MarkSpec, PrintUnit, Value};
use crate::pattern::{Edge, Piece, figure};
use kurbo::{Affine, Point};
use std::collections::BTreeMap;

/// What became of the pieces.
pub(super) struct Pieces {
    pub changes: Vec<PieceChange>,
    pub renames: Vec<Rename>,
}

/// Which piece of the new side an old one is, in the order of the new side, then those that are gone.
pub(super) fn pairs<'a>(
    names: &Names<'_>,
    old: &'a [Piece],
    new: &'a [Piece],
) -> Vec<(Option<&'a Piece>, Option<&'a Piece>)> {
    let mut left: Vec<&Piece> = old.iter().collect();
    let mut pairs: Vec<(Option<&Piece>, Option<&Piece>)> = Vec::new();
    for piece in new {
        let at = left.iter().position(|other| other.name == piece.name);
        pairs.push((at.map(|at| left.remove(at)), Some(piece)));
    }
    type Fits<'f> = &'f dyn Fn(&Piece, &Piece) -> bool;
    let shape: Fits<'_> = &|old, new| fit::same_outline(old, new, SAME).is_some();
    let panel: Fits<'_> =
        &|old, new| names.panel(&old.panel) == new.panel && share_of_edges(names, old, new) >= 0.5;
    for fits in [shape, panel] {
        for (before, after) in &mut pairs {
            if let (None, Some(piece)) = (&before, &after) {
                *before = left
                    .iter()
                    .position(|other| fits(other, piece))
                    .map(|at| left.remove(at));
            }
        }
    }
    pairs.extend(left.into_iter().map(|piece| (Some(piece), None)));
    pairs
}

fn share_of_edges(names: &Names<'_>, old: &Piece, new: &Piece) -> f64 {
    let common = old.edges.iter().filter(|edge| {
        new.edges
            .iter()
            .any(|other| names.value(&edge.line) == other.line)
    });
    common.count() as f64 / old.edges.len().max(new.edges.len()).max(1) as f64
}

/// Compares the pieces.
pub(super) fn compare(names: &Names<'_>, old: Side<'_>, new: Side<'_>) -> Pieces {
    let called: BTreeMap<String, String> = seams::pairs(names, old, new)
        .into_iter()
        .filter_map(|(old, new)| Some((old?.name.clone(), new?.name.clone())))
        .collect();
    let mut pieces = Pieces {
        changes: Vec::new(),
        renames: Vec::new(),
    };
    for (before, after) in pairs(
        names,
        &old.outcome.pattern.pieces,
        &new.outcome.pattern.pieces,
    ) {
        let change = match (before, after) {
            (Some(before), Some(after)) => {
                let change = Pair {
                    names,
                    old: before,
                    new: after,
                    seams: &called,
                    unit: new.outcome.pattern.unit,
                }
                .change();
                if let Some(was) = &change.was_named {
                    pieces.renames.push(Rename {
                        kind: "piece",
                        old: was.clone(),
                        new: change.name.clone(),
                    });
                }
                change
            }
            (None, Some(piece)) => alone(piece, Verdict::New),
            (Some(piece), None) => alone(piece, Verdict::Gone),
            (None, None) => continue,
        };
        pieces.changes.push(change);
    }
    pieces
}

fn alone(piece: &Piece, verdict: Verdict) -> PieceChange {
    PieceChange {
        name: piece.name.clone(),
        was_named: None,
        label: piece.label.clone(),
        verdict,
        area_mm2: None,
        moved_mm: None,
        turned_deg: None,
        edges: Vec::new(),
        edges_kept: Vec::new(),
        edges_added: Vec::new(),
        edges_gone: Vec::new(),
        notches: Vec::new(),
        notes: Vec::new(),
    }
}

/// A piece on both sides.
struct Pair<'a> {
    names: &'a Names<'a>,
    old: &'a Piece,
    new: &'a Piece,
    seams: &'a BTreeMap<String, String>,
    unit: PrintUnit,
}

impl Pair<'_> {
    fn change(&self) -> PieceChange {
        let (old, new) = (self.old, self.new);
        let laid = self.laid();
        let edges = self.edges(laid.as_ref());
        let notches = notches::changes(self.names, old, new, |seam| self.seam(seam));
        let (recut, relabel) = self.notes(laid.as_ref());
        let area = old
            .area()
            .zip(new.area())
            .map(|(a, b)| Change::of(a, b, AREA_DECIMALS));
        let is_recut = edges.changed.iter().any(EdgeChange::is_change)
            || !edges.added.is_empty()
            || !edges.gone.is_empty()
            || !notches.is_empty()
            || !recut.is_empty()
            || self.cutting_line_differs(laid.as_ref());
        let is_relabel = !relabel.is_empty()
            || old.name != new.name
            || old.label != new.label
            || edges.changed.iter().any(|edge| edge.was_named.is_some());
        let same = !is_recut;
        PieceChange {
            name: new.name.clone(),
            was_named: (old.name != new.name).then(|| old.name.clone()),
            label: new.label.clone(),
            verdict: if is_recut {
                Verdict::Recut
            } else if is_relabel {
                Verdict::Relabel
            } else {
                Verdict::Keep
            },
            area_mm2: area.filter(|area| area.by.abs() > 1.0),
            moved_mm: laid
                .filter(|fit| same && fit.shift.hypot() > SAME)
                .map(|fit| {
                    (
                        rounded(fit.shift.x, MM_DECIMALS),
                        rounded(fit.shift.y, MM_DECIMALS),
                    )
                }),
            turned_deg: laid
                .filter(|fit| same && fit.turned.abs() > 0.01)
                .map(|fit| rounded(fit.turned, DEGREE_DECIMALS)),
            edges: edges.changed,
            edges_kept: edges.kept,
            edges_added: edges.added,
            edges_gone: edges.gone,
            notches,
            notes: recut.into_iter().chain(relabel).collect(),
        }
    }

    fn seam(&self, old: &str) -> String {
        self.seams
            .get(old)
            .cloned()
            .unwrap_or_else(|| old.to_owned())
    }

    /// How the old outline is laid over the new, where both are one shape.
    fn laid(&self) -> Option<Fit> {
        fit::same_outline(self.old, self.new, SAME).map(|(_, fit)| fit)
    }

    /// The old edge that became a new one: by its line, by its name, or by its place on one shape.
    fn old_edge(&self, at: usize, new: &Edge) -> Option<&Edge> {
        let by_line = self
            .old
            .edges
            .iter()
            .find(|edge| self.names.value(&edge.line) == new.line);
        let by_name = || self.old.edges.iter().find(|edge| edge.name == new.name);
        let by_place = || {
            let (first, _) = fit::same_outline(self.old, self.new, SAME)?;
            let count = self.new.edges.len();
            self.old.edges.get((at + count - first) % count.max(1))
        };
        by_line.or_else(by_name).or_else(by_place)
    }

    fn edges(&self, laid: Option<&Fit>) -> Edges {
        let mut edges = Edges::default();
        let mut used: Vec<&str> = Vec::new();
        for (at, new) in self.new.edges.iter().enumerate() {
            let old = self
                .old_edge(at, new)
                .filter(|old| !used.contains(&old.name.as_str()));
            let Some(old) = old else {
                edges
                    .added
                    .push((new.name.clone(), rounded(new.length, MM_DECIMALS)));
                continue;
            };
            used.push(&old.name);
            let change = edge_change(old, new, laid);
            if change.is_change() || change.was_named.is_some() {
                edges.changed.push(change);
            } else {
                edges.kept.push(new.name.clone());
            }
        }
        let gone = self
            .old
            .edges
            .iter()
            .filter(|edge| !used.contains(&edge.name.as_str()));
        edges.gone = gone
            .map(|edge| (edge.name.clone(), rounded(edge.length, MM_DECIMALS)))
            .collect();
        edges
    }

    /// A corner treatment, or a neighbour's allowance, may move the cutting line of an edge that itself is the same.
    fn cutting_line_differs(&self, laid: Option<&Fit>) -> bool {
        match (&self.old.cutting, &self.new.cutting, laid) {
            (Some(old), Some(new), Some(laid)) => {
                let moved = |p: &Point| laid.turn_and_shift * *p;
                let far = |p: Point| new.nearest(p).distance > SAME * 5.0;
                fit::places(old).iter().map(moved).any(far)
            }
            (None, None, _) => false,
            (Some(_), Some(_), None) => true,
            _ => true,
        }
    }

    /// What else is on the paper: first what must be drawn afresh, then what can be written on.
    fn notes(&self, laid: Option<&Fit>) -> (Vec<String>, Vec<String>) {
        let (old, new) = (self.old, self.new);
        let turn = laid.map_or(Affine::IDENTITY, |fit| fit.turn_and_shift);
        let (mut recut, mut relabel) = (Vec::new(), Vec::new());
        let way = |piece: &Piece, turn: Affine| {
            let grain = piece.grain.as_ref()?.start_tangent();
            Some((turn * grain.to_point()) - (turn * Point::ORIGIN))
        };
        if let (Some(a), Some(b)) = (way(old, turn), way(new, Affine::IDENTITY)) {
            // A grain line has no sense: half a turn is none.
            let angle = a.cross(b).atan2(a.dot(b)).to_degrees();
            let angle = (angle + 90.0).rem_euclid(180.0) - 90.0;
            if angle.abs() > 0.01 {
                recut.push(format!("grain turned by {:.1}°", angle.abs()));
            }
        }
        self.marks(turn, &mut recut, &mut relabel);
        if old.fold_lines.len() != new.fold_lines.len() {
            recut.push(format!(
                "fold lines: {} before, {} now",
                old.fold_lines.len(),
                new.fold_lines.len()
            ));
        } else if laid.is_some() && self.folds_moved(turn) {
            recut.push("a fold line moved".to_owned());
        }
        if old.cut_words() != new.cut_words() {
            relabel.push(format!(
                "{} → {}",
                said(&old.cut_words()),
                said(&new.cut_words())
            ));
        }
        if old.cut.cloth != new.cut.cloth {
            let cloth = |piece: &Piece| {
                piece
                    .cut
                    .cloth
                    .clone()
                    .unwrap_or_else(|| "no cloth named".into())
            };
            relabel.push(format!("from {} → {}", cloth(old), cloth(new)));
        }
        if old.label != new.label {
            relabel.push(format!("was “{}”", old.label));
        }
        (recut, relabel)
    }

    fn folds_moved(&self, turn: Affine) -> bool {
        let pairs = self.old.fold_lines.iter().zip(&self.new.fold_lines);
        pairs.into_iter().any(|((_, a), (_, b))| {
            let (a, b) = (fit::places(a), fit::places(b));
            a.len() != b.len()
                || a.iter()
                    .zip(&b)
                    .any(|(a, b)| (turn * *a - *b).hypot() > SAME)
        })
    }

    /// Marks for the cloth: what stands elsewhere wants new paper, what is another button or word other words.
    fn marks(&self, turn: Affine, notes: &mut Vec<String>, words: &mut Vec<String>) {
        let unit = self.unit;
        let called = |name: &str| self.names.value(name);
        for mark in &self.new.marks {
            let named = |other: &&MarkSpec| called(&other.name) == mark.name;
            let alike = |other: &&MarkSpec| named(other) && other.words() == mark.words();
            let old = &self.old.marks;
            let before = old.iter().find(alike).or_else(|| old.iter().find(named));
            let what = if mark.text.is_empty() {
                &mark.name
            } else {
                &mark.text
            };
            let name =
                crate::pattern::figure::name(mark.name.rsplit('.').next().unwrap_or(&mark.name));
            if let Some(before) = before {
                if before.words() != mark.words() {
                    words.push(format!(
                        "mark {name}: “{}” → “{}”",
                        before.words(),
                        mark.words()
                    ));
                }
                if before.button != mark.button {
                    words.push(format!(
                        "mark {name}: {} → {}",
                        button(before.button, unit),
                        button(mark.button, unit)
                    ));
                }
            }
            match before.map(|before| (&before.shape, &mark.shape)) {
                None => notes.push(format!("new mark: {} ({name})", what)),
                Some((Value::Point(a), Value::Point(b))) if (turn * *a - *b).hypot() > SAME => {
                    notes.push(format!("mark moved: {what} ({name})"));
                }
                Some(_) => {}
            }
        }
        for mark in &self.old.marks {
            if !self
                .new
                .marks
                .iter()
                .any(|other| other.name == called(&mark.name))
            {
                notes.push(format!(
                    "mark gone: {}",
                    if mark.text.is_empty() {
                        &mark.name
                    } else {
                        &mark.text
                    }
                ));
            }
        }
    }
}

/// A button and the hole it wants.
fn button(button: Option<Button>, unit: PrintUnit) -> String {
    button.map_or("no button".to_owned(), |button| {
        format!(
            "button {} across and {} thick, hole {}",
            figure::spoken(button.diameter, unit),
            figure::spoken(button.thickness, unit),
            figure::spoken(button.hole(), unit)
        )
    })
}

fn said(words: &str) -> &str {
    if words.is_empty() { "no count" } else { words }
}

#[derive(Default)]
struct Edges {
    changed: Vec<EdgeChange>,
    kept: Vec<String>,
    added: Vec<(String, f64)>,
    gone: Vec<(String, f64)>,
}

fn edge_change(old: &Edge, new: &Edge, laid: Option<&Fit>) -> EdgeChange {
    let (from, to) = (fit::places(&old.path), fit::places(&new.path));
    let off = match laid {
        Some(laid) => {
            let pairs = from.iter().zip(&to);
            pairs
                .map(|(a, b)| (laid.turn_and_shift * *a - *b).hypot())
                .fold(0.0, f64::max)
        }
        None => fit::fit(&from, &to).map_or(0.0, |fit| fit.off),
    };
    EdgeChange {
        name: new.name.clone(),
        was_named: (old.name != new.name).then(|| old.name.clone()),
        length_mm: Change::mm(old.length, new.length),
        reshaped_mm: rounded(off, MM_DECIMALS),
        allowance: differs(old.allowance, new.allowance).then_some((old.allowance, new.allowance)),
        finish: (old.finish != new.finish).then(|| (old.finish.clone(), new.finish.clone())),
        on_fold: (old.on_fold != new.on_fold).then_some(new.on_fold),
    }
}

fn differs(old: Option<f64>, new: Option<f64>) -> bool {
    match (old, new) {
        (Some(a), Some(b)) => (a - b).abs() > SAME,
        (None, None) => false,
        _ => true,
    }
}

/// The words for an allowance.
pub(super) fn allowance(width: Option<f64>, unit: crate::pattern::spec::PrintUnit) -> String {
    width.map_or_else(
        || "none".to_owned(),
        |mm| {
            if mm == 0.0 {
                "0".into()
            } else {
                words::length(mm, unit)
            }
        },
    )
}
