//! Pieces before and after. A piece is known by its name and panel, then by its shape wherever it lies and whatever it is
//! called, then by most of its edges. What its paper needs is decided here: keep, mark or notch anew, recut.

use super::figures::Held;
use super::fit;
use super::frame;
use super::inside;
use super::lies;
use super::names::Names;
use super::notches::{self, Ground, Pair};
use super::piece_change::{AllowanceChange, EdgeChange, NewPiece, PieceChange, Verdict, WidthOut};
use super::{Change, Rename, SAME, Side, corners, seams};
use kurbo::Affine;
use oaktag_language::pattern::{Edge, Pattern, Piece};
use oaktag_language::voice::LengthUnit;
use oaktag_output::number::{AREA_DECIMALS, MM_DECIMALS, rounded};

/// A cutting line that lies this near to its old one, in millimetres, is that one: corners of allowances are worked out from
/// edges that themselves may differ by as much as counts as none.
const SAME_CUT: f64 = 4.0 * SAME;

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
    let mut pairs: Vec<(Option<&Piece>, Option<&Piece>)> =
        new.iter().map(|piece| (None, Some(piece))).collect();
    type Fits<'f> = &'f dyn Fn(&Piece, &Piece) -> bool;
    let panel: Fits<'_> = &|old, new| names.panel(&old.panel) == new.panel;
    let name: Fits<'_> = &|old, new| old.name == new.name;
    let shape: Fits<'_> = &|old, new| fit::same_outline(old, new, SAME).is_some();
    let edges: Fits<'_> = &|old, new| share_of_edges(names, old, new) >= 0.5;
    let steps: [&[Fits<'_>]; 5] = [
        &[name, panel],
        &[panel, shape],
        &[panel, edges],
        &[name],
        &[shape],
    ];
    for fits in steps {
        for (before, after) in &mut pairs {
            if let (None, Some(piece)) = (&before, &after) {
                *before = left
                    .iter()
                    .position(|other| fits.iter().all(|fits| fits(other, piece)))
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

pub(super) fn compare(names: &Names<'_>, old: Side<'_>, new: Side<'_>, held: &Held) -> Pieces {
    let seams = seams::pairs(names, old, new)
        .into_iter()
        .filter_map(|(old, new)| Some((old?.name.clone(), new?.name.clone())))
        .collect();
    let (before, after) = (&old.outcome.pattern, &new.outcome.pattern);
    let all = pairs(names, &before.pieces, &after.pieces);
    let both = all
        .iter()
        .filter_map(|(old, new)| {
            let (old, new) = ((*old)?, (*new)?);
            let held = held.get(&new.panel).copied();
            Some(Pair::of(names, old, new, held))
        })
        .collect();
    let ground = Ground {
        old,
        new,
        pairs: both,
        seams,
    };
    let mut laid = ground.pairs.iter();
    let mut pieces = Pieces {
        changes: Vec::new(),
        renames: Vec::new(),
    };
    for one in all {
        let change = match one {
            (Some(_), Some(_)) => {
                let Some(pair) = laid.next() else { continue };
                Both {
                    names,
                    ground: &ground,
                    pair,
                }
                .change()
            }
            (None, Some(piece)) => {
                let mut change = alone(piece, Verdict::New);
                change.is_new = Some(fresh(piece, after));
                change
            }
            // Where a sentence cannot be read nobody knows whether it spoke of this piece.
            (Some(piece), None) if !new.outcome.is_whole() => alone(piece, Verdict::NotDrawn),
            (Some(piece), None) => alone(piece, Verdict::Gone),
            (None, None) => continue,
        };
        if let Some(was) = &change.was_named {
            pieces.renames.push(Rename {
                kind: "piece",
                old: was.clone(),
                new: change.name.clone(),
            });
        }
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
        frame: Affine::IDENTITY,
        laid: None,
        is_new: None,
        area_mm2: None,
        edges: Vec::new(),
        edges_kept: Vec::new(),
        edges_added: Vec::new(),
        edges_gone: Vec::new(),
        cutting_mm: None,
        notches: Vec::new(),
        inside: Vec::new(),
        notes: Vec::new(),
    }
}

/// What a new piece is.
fn fresh(piece: &Piece, pattern: &Pattern) -> NewPiece {
    let round = piece.sewing.as_ref().and_then(|path| path.bounds().ok());
    let size = round.map(|round| {
        (
            rounded(round.width(), MM_DECIMALS),
            rounded(round.height(), MM_DECIMALS),
        )
    });
    NewPiece {
        cut: piece.cut_words(),
        cloth: piece.cut.cloth.as_ref().map(|name| cloth(name, pattern)),
        on_fold: piece.on_fold(),
        size_mm: size,
        area_mm2: piece.area().map(|area| rounded(area, AREA_DECIMALS)),
    }
}

/// What a cloth is called for people.
fn cloth(name: &str, pattern: &Pattern) -> String {
    let known = pattern.cloths.iter().find(|cloth| cloth.name == name);
    known
        .map(|cloth| cloth.label.clone())
        .filter(|label| !label.is_empty())
        .unwrap_or_else(|| oaktag_language::voice::name(name))
}

/// A piece on both sides.
struct Both<'a> {
    names: &'a Names<'a>,
    ground: &'a Ground<'a>,
    pair: &'a Pair<'a>,
}

impl Both<'_> {
    fn change(&self) -> PieceChange {
        let (old, new, frame) = (self.pair.old, self.pair.new, self.pair.frame);
        let edges = self.edges();
        let notches = notches::changes(self.ground, self.pair);
        let inside = inside::changes(self.names, self.pair);
        let notes = self.notes();
        let area = old
            .area()
            .zip(new.area())
            .map(|(a, b)| Change::of(a, b, AREA_DECIMALS));
        let of_edges = edges.changed.iter().any(EdgeChange::is_change)
            || !edges.added.is_empty()
            || !edges.gone.is_empty();
        let cutting = self.cutting().filter(|off| *off > SAME_CUT);
        let is_relabel = !notes.is_empty()
            || old.name != new.name
            || edges.changed.iter().any(|edge| edge.was_named.is_some());
        let verdict = match (
            of_edges || cutting.is_some(),
            notches.as_slice(),
            inside.as_slice(),
        ) {
            (true, ..) => Verdict::Recut,
            (false, [], []) if is_relabel => Verdict::Relabel,
            (false, [], []) => Verdict::Keep,
            (false, [], _) => Verdict::Mark,
            (false, _, []) => Verdict::Notch,
            // The notches of a fold line go with it.
            (false, ..) => Verdict::NotchAndMark,
        };
        PieceChange {
            name: new.name.clone(),
            was_named: (old.name != new.name).then(|| old.name.clone()),
            label: new.label.clone(),
            verdict,
            frame,
            laid: frame::told(frame, old),
            is_new: None,
            area_mm2: area.filter(|area| area.by.abs() > 1.0),
            edges: edges.changed,
            edges_kept: edges.kept,
            edges_added: edges.added,
            edges_gone: edges.gone,
            cutting_mm: cutting
                .filter(|_| !of_edges)
                .map(|off| rounded(off, MM_DECIMALS)),
            notches,
            inside,
            notes,
        }
    }

    fn edges(&self) -> Edges {
        let mut edges = Edges::default();
        let mut is_used = vec![false; self.pair.old.edges.len()];
        for (at, (new, was)) in self.pair.new.edges.iter().zip(&self.pair.edges).enumerate() {
            let old = was.and_then(|was| {
                if let Some(used) = is_used.get_mut(was) {
                    *used = true;
                }
                self.pair.old.edges.get(was)
            });
            let Some(old) = old else {
                edges
                    .added
                    .push((new.name.clone(), rounded(new.length, MM_DECIMALS)));
                continue;
            };
            let change = self.edge(at, old, new);
            if change.is_change() || change.was_named.is_some() {
                edges.changed.push(change);
            } else {
                edges.kept.push(new.name.clone());
            }
        }
        let olds = self.pair.old.edges.iter().zip(is_used);
        edges.gone = olds
            .filter(|(_, is_used)| !is_used)
            .map(|(edge, _)| (edge.name.clone(), rounded(edge.length, MM_DECIMALS)))
            .collect();
        edges
    }

    fn edge(&self, at: usize, old: &Edge, new: &Edge) -> EdgeChange {
        let called =
            |end| corners::called(&self.ground.new.outcome.pattern, self.pair.new, at, end);
        let found = lies::found(&old.path.transformed(self.pair.frame), &new.path);
        let length_mm = Change::mm(old.length, new.length);
        let moved_end = found.as_ref().and_then(|found| {
            let moved = (found.ends.0.hypot() > SAME, found.ends.1.hypot() > SAME);
            (moved.0 != moved.1 && length_mm.is_change()).then(|| called(moved.1))
        });
        let lies = found.map(|found| found.told(true, called));
        EdgeChange {
            name: new.name.clone(),
            was_named: (old.name != new.name).then(|| old.name.clone()),
            length_mm,
            lies: lies.unwrap_or_default(),
            moved_end,
            allowance: self.allowance(at, old, new),
            finish: (old.finish != new.finish).then(|| (old.finish.clone(), new.finish.clone())),
            on_fold: (old.on_fold != new.on_fold).then_some(new.on_fold),
        }
    }

    /// The allowance of an edge on either side, where it is another.
    fn allowance(&self, at: usize, old: &Edge, new: &Edge) -> Option<AllowanceChange> {
        let same = match (&old.allowance, &new.allowance) {
            (Some(one), Some(other)) => one.is_like(other, SAME),
            (one, other) => one.is_none() && other.is_none(),
        };
        if same {
            return None;
        }
        let unit = self.ground.new.outcome.pattern.unit;
        let edges = &self.pair.old.edges;
        let before = edges.iter().position(|edge| std::ptr::eq(edge, old));
        Some(AllowanceChange {
            old: WidthOut::of(old),
            new: WidthOut::of(new),
            words: (
                allowance_words(self.pair.old, before, unit),
                allowance_words(self.pair.new, Some(at), unit),
            ),
        })
    }

    /// How far the cutting line lies from the old one: a corner treatment moves it, though no edge changes. Where one side
    /// has none, it is as another line.
    fn cutting(&self) -> Option<f64> {
        match (&self.pair.old.cutting, &self.pair.new.cutting) {
            (Some(old), Some(new)) => {
                let old = old.transformed(self.pair.frame);
                let off = |one: &oaktag_geometry::path::Path,
                           other: &oaktag_geometry::path::Path| {
                    let places = lies::places(one).into_iter();
                    let points = places.filter_map(|at| one.point_at(at).ok());
                    points
                        .map(|p| other.nearest(p).distance)
                        .fold(0.0, f64::max)
                };
                Some(off(&old, new).max(off(new, &old)))
            }
            (None, None) => None,
            (Some(_), None) | (None, Some(_)) => Some(f64::INFINITY),
        }
    }

    /// What is written on the paper otherwise.
    fn notes(&self) -> Vec<String> {
        let (old, new) = (self.pair.old, self.pair.new);
        let unit: LengthUnit = self.ground.new.outcome.pattern.unit;
        let mut notes = inside::other_words(self.names, self.pair, unit);
        let said = |piece: &Piece| {
            let words = piece.cut_words();
            if words.is_empty() {
                "no count".to_owned()
            } else {
                words
            }
        };
        if old.cut_words() != new.cut_words() {
            notes.push(format!("{} → {}", said(old), said(new)));
        }
        if old.cut.cloth != new.cut.cloth {
            let cloth = |piece: &Piece| {
                piece
                    .cut
                    .cloth
                    .clone()
                    .unwrap_or_else(|| "no cloth named".into())
            };
            notes.push(format!("from {} → {}", cloth(old), cloth(new)));
        }
        if old.label != new.label {
            notes.push(format!("was “{}”", old.label));
        }
        notes
    }
}

#[derive(Default)]
struct Edges {
    changed: Vec<EdgeChange>,
    kept: Vec<String>,
    added: Vec<(String, f64)>,
    gone: Vec<(String, f64)>,
}

/// The words for an allowance.
fn allowance_words(piece: &Piece, at: Option<usize>, unit: LengthUnit) -> String {
    let said = at.and_then(|at| piece.allowance_said(at, unit));
    let edge = at.and_then(|at| piece.edges.get(at));
    let allowance = edge.and_then(|edge| edge.allowance.as_ref());
    match (said, allowance) {
        (Some(_), Some(all)) if all.width.most() == 0.0 => "0".into(),
        (Some(said), _) => said,
        (None, _) => "none".to_owned(),
    }
}
