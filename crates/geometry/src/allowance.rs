//! The cut line: a closed outline with an allowance of its own width on each edge, or one that changes evenly along it.
//!
//! Every segment is moved outward by its edge's width there, the corners are joined as asked (see `corner`), and where the
//! result crosses itself the part that the positive winding encloses is kept (see `positive`), with true curves and
//! every piece still named by its edge.

use super::corner::{Join, Side, join, untrimmed};
use super::edit::sub_segment;
use super::measure::signed_area_about;
use super::outline::{Outline, winding};
use super::parallel::offset_segment;
use super::path::{Path, PathFault};
use super::positive::{Named, enclosed};
use super::segment::{arc_length, with_start};
use super::taper;
use super::{FITTING, LARGEST, MEETING};
use kurbo::{Line, ParamCurve, PathSeg, Point};

/// A mitre runs out at most this many times the larger of its two widths; beyond it the tip is cut off square
/// (this project's own judgement).
pub const MITRE_LIMIT: f64 = 2.5;

/// How wide the cloth stands beyond an edge, in millimetres: at its start and at its end, and evenly more or less between, by
/// length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Width {
    /// At the start of the edge.
    pub start: f64,
    /// At its end.
    pub end: f64,
}

impl From<f64> for Width {
    fn from(even: f64) -> Width {
        Width {
            start: even,
            end: even,
        }
    }
}

impl Width {
    /// Whether it is one width all along.
    pub fn is_even(self) -> bool {
        self.start == self.end
    }

    /// The widest place.
    pub fn most(self) -> f64 {
        self.start.max(self.end)
    }

    /// The narrowest place.
    pub fn least(self) -> f64 {
        self.start.min(self.end)
    }

    /// After a share of the edge's length.
    pub fn at(self, share: f64) -> f64 {
        self.start + (self.end - self.start) * share
    }

    /// Of a part of the edge, from one share of its length to another.
    pub fn part(self, from: f64, to: f64) -> Width {
        Width {
            start: self.at(from),
            end: self.at(to),
        }
    }

    /// Of the edge walked the other way.
    #[must_use]
    pub fn reversed(self) -> Width {
        Width {
            start: self.end,
            end: self.start,
        }
    }
}

/// How the cut line goes round the corner between two edges. Edges are named by their index as listed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Corner {
    /// Both cut lines run on until they meet; a tip longer than the limit is cut off.
    #[default]
    Mitred,
    /// Cut square to the seam that is sewn first, where its line, run on, reaches the other edge's cut line.
    Squared {
        /// The edge that is sewn first.
        first: usize,
    },
    /// The side's cut line is mirrored in the fold of the hem, so that the hem turned back lies on the side.
    TurnedBack {
        /// The edge that is the fold of the hem.
        hem: usize,
    },
    /// The other edge's width runs on round the corner along this edge, and jumps square to it.
    Stepped {
        /// The edge on which the jump lies.
        edge: usize,
        /// Its distance from the corner along that edge, in millimetres.
        at: f64,
    },
}

/// What is no longer than this, in millimetres, is no piece of a line: twice the last decimal in which lines are written.
const KNOT: f64 = 2e-4;

/// Why an outline has no cut line. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum AllowanceFault {
    /// A width that is negative or not a number.
    Width {
        /// Index of the edge, as listed.
        edge: usize,
        /// The width asked for.
        width: f64,
    },
    /// Not one width and one corner for each edge.
    Count {
        /// How many edges there are.
        edges: usize,
        /// How many widths were given.
        widths: usize,
        /// How many corners were given.
        corners: usize,
    },
    /// A corner names an edge that does not end there.
    NotAtCorner {
        /// The corner, between this edge and the next as listed.
        corner: usize,
        /// The edge it names.
        edge: usize,
    },
    /// A step lies beyond the end of its edge.
    StepBeyond {
        /// Index of the edge, as listed.
        edge: usize,
        /// The distance asked for.
        at: f64,
        /// Length of that edge, in millimetres.
        length: f64,
    },
    /// No single line goes round everything.
    NoCutLine,
    /// An edge cannot be measured.
    Path(PathFault),
}

impl From<PathFault> for AllowanceFault {
    fn from(fault: PathFault) -> AllowanceFault {
        AllowanceFault::Path(fault)
    }
}

/// The cut line of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOutline {
    /// Anticlockwise, each piece with the edge it belongs to. An edge may come in several pieces, or in none where
    /// its neighbours' allowances swallow it.
    pub edges: Vec<CutEdge>,
    /// Closed gaps inside, where allowances meet round a slot: clockwise.
    pub holes: Vec<Vec<CutEdge>>,
    /// Area that the cut line encloses, holes taken off, in mm².
    pub area: f64,
    /// Whether true curves were kept; otherwise the line is straight pieces within [`FITTING`] of them.
    pub curved: bool,
}

/// A piece of a cut line.
#[derive(Clone, Debug, PartialEq)]
pub struct CutEdge {
    /// Index of its edge, as listed.
    pub edge: usize,
    /// That stretch of the cutting line.
    pub path: Path,
}

impl CutOutline {
    /// All segments of the outer line in order.
    pub fn segments(&self) -> impl Iterator<Item = &PathSeg> {
        self.edges.iter().flat_map(|edge| edge.path.segs())
    }
}

/// One segment of the sewing outline with its allowance.
struct Strip {
    edge: usize,
    width: Width,
    seg: PathSeg,
    /// The segment moved outward.
    row: Vec<PathSeg>,
    /// How it joins the next.
    corner: Corner,
}

/// The cut line of an outline: `widths` (a figure is one width all along) and `corners`, by edge as listed, each corner between
/// its edge and the next.
///
/// A treatment that a corner cannot take (squared or turned back in an inward corner, or one too sharp) gives way to
/// the mitre.
pub fn cut_outline<W: Into<Width> + Copy>(
    outline: &Outline,
    widths: &[W],
    corners: &[Corner],
) -> Result<CutOutline, AllowanceFault> {
    let widths: Vec<Width> = widths.iter().map(|width| (*width).into()).collect();
    let widths = widths.as_slice();
    let found = cut(outline, widths, corners)?;
    if corners.iter().all(|corner| *corner == Corner::Mitred) || holds(&found, outline) {
        return Ok(found);
    }
    // A corner too sharp or a curve too close for what was asked: plain mitres never cut into the piece.
    cut(outline, widths, &vec![Corner::Mitred; corners.len()])
}

/// Whether a cut line leaves the sewing outline inside, looked at on every segment.
fn holds(cut: &CutOutline, outline: &Outline) -> bool {
    let inside = |p: Point| {
        winding(cut.segments(), p) > 0
            || cut
                .edges
                .iter()
                .any(|edge| edge.path.passes(p, 4.0 * FITTING))
    };
    outline
        .segments()
        .all(|(_, seg)| [0.0, 0.25, 0.5, 0.75].iter().all(|t| inside(seg.eval(*t))))
}

fn cut(
    outline: &Outline,
    widths: &[Width],
    corners: &[Corner],
) -> Result<CutOutline, AllowanceFault> {
    let strips = strips(outline, widths, corners)?;
    let raw = raw_outline(&strips);
    let centre = outline.bounds().center();
    let found = enclosed(&raw, centre, outline.area()).ok_or(AllowanceFault::NoCutLine)?;
    let edges = named_paths(&found.outer)?;
    let holes = found
        .holes
        .iter()
        .map(|hole| named_paths(hole))
        .collect::<Result<Vec<_>, _>>()?;
    let area_of = |row: &[Named]| {
        let segs: Vec<PathSeg> = row.iter().map(|named| named.seg).collect();
        signed_area_about(&segs, centre)
    };
    let area = area_of(&found.outer) + found.holes.iter().map(|hole| area_of(hole)).sum::<f64>();
    Ok(CutOutline {
        edges,
        holes,
        area,
        curved: found.curved,
    })
}

fn strips(
    outline: &Outline,
    widths: &[Width],
    corners: &[Corner],
) -> Result<Vec<Strip>, AllowanceFault> {
    let count = outline.edges().len();
    if widths.len() != count || corners.len() != count {
        return Err(AllowanceFault::Count {
            edges: count,
            widths: widths.len(),
            corners: corners.len(),
        });
    }
    let each = widths.iter().enumerate();
    let mut each = each.flat_map(|(edge, width)| [(edge, width.start), (edge, width.end)]);
    if let Some((edge, width)) = each.find(|(_, w)| !(*w >= 0.0 && *w <= LARGEST / 100.0)) {
        return Err(AllowanceFault::Width { edge, width });
    }
    let mut spans: Vec<Span> = Vec::with_capacity(count);
    for (position, edge) in outline.edges().iter().enumerate() {
        let after = outline
            .edges()
            .get(position + 1)
            .or(outline.edges().first())
            .map_or(0, |e| e.index);
        let listed = if outline.was_clockwise() {
            after
        } else {
            edge.index
        };
        let corner = corners.get(listed).copied().unwrap_or_default();
        let named = match corner {
            Corner::Mitred => edge.index,
            Corner::Squared { first } => first,
            Corner::TurnedBack { hem } => hem,
            Corner::Stepped { edge, .. } => edge,
        };
        if named != edge.index && named != after {
            return Err(AllowanceFault::NotAtCorner {
                corner: listed,
                edge: named,
            });
        }
        let width = widths.get(edge.index).copied().unwrap_or(0.0.into());
        let width = if edge.reversed {
            width.reversed()
        } else {
            width
        };
        spans.push((edge.index, width, edge.path.clone(), corner));
    }
    let spans = stepped(spans)?;
    let mut strips = Vec::new();
    for (edge, whole, path, corner) in spans {
        let last = path.segs().len().saturating_sub(1);
        let length = if whole.is_even() { 1.0 } else { path.length()? };
        let mut gone = 0.0;
        for (at, seg) in path.segs().iter().enumerate() {
            let (row, width) = if whole.is_even() {
                (evenly(seg, whole.start), whole)
            } else {
                let long = arc_length(seg, taper::EXACT);
                let width = whole.part(gone / length, (gone + long) / length);
                gone += long;
                (taper::outside(seg, width, long), width)
            };
            let corner = if at == last { corner } else { Corner::Mitred };
            strips.push(Strip {
                edge,
                width,
                seg: *seg,
                row,
                corner,
            });
        }
    }
    Ok(strips)
}

/// A segment moved outward by one width.
fn evenly(seg: &PathSeg, width: f64) -> Vec<PathSeg> {
    if width == 0.0 {
        vec![*seg]
    } else {
        offset_segment(seg, -width, FITTING)
    }
}

type Span = (usize, Width, Path, Corner);

/// Divides the edges on which a width runs on round a corner, so that each span has a width of its own.
fn stepped(spans: Vec<Span>) -> Result<Vec<Span>, AllowanceFault> {
    let neighbour = |at: usize, by: usize| {
        spans
            .get((at + by) % spans.len().max(1))
            .map(|span| (span.0, span.1, span.3))
    };
    let mut divided: Vec<Span> = Vec::with_capacity(spans.len() + 4);
    for (at, (edge, width, path, corner)) in spans.iter().enumerate() {
        let length = path.length()?;
        let step_of = |corner: Corner| match corner {
            Corner::Stepped { edge: on, at } if on == *edge && at > MEETING => Some(at),
            _ => None,
        };
        let (before, width_before, corner_before) =
            neighbour(at, spans.len() - 1).unwrap_or((*edge, *width, Corner::Mitred));
        let (after, width_after, _) = neighbour(at, 1).unwrap_or((*edge, *width, *corner));
        let from_start = if before == *edge {
            None
        } else {
            step_of(corner_before)
        };
        let from_end = if after == *edge {
            None
        } else {
            step_of(*corner)
        };
        for step in from_start.iter().chain(from_end.iter()) {
            if step.is_nan() || *step >= length - MEETING {
                return Err(AllowanceFault::StepBeyond {
                    edge: *edge,
                    at: *step,
                    length,
                });
            }
        }
        let mut cuts: Vec<f64> = from_start
            .iter()
            .copied()
            .chain(from_end.map(|step| length - step))
            .collect();
        if let [first, second] = cuts.as_slice()
            && second - first <= MEETING
        {
            return Err(AllowanceFault::StepBeyond {
                edge: *edge,
                at: *first,
                length,
            });
        }
        cuts.dedup();
        let parts = path.split_at(&cuts)?;
        let last = parts.len() - 1;
        let shares = |at: usize| match at {
            0 => 0.0,
            at => cuts.get(at - 1).map_or(1.0, |cut| cut / length),
        };
        for (n, part) in parts.into_iter().enumerate() {
            let own = if n == 0 && from_start.is_some() {
                width_before.end.into()
            } else if n == last && from_end.is_some() {
                width_after.start.into()
            } else {
                width.part(shares(n), shares(n + 1))
            };
            let corner = match corner {
                _ if n < last => Corner::Stepped {
                    edge: *edge,
                    at: 0.0,
                },
                Corner::Stepped { at, .. } if *at > MEETING => Corner::Mitred,
                other => *other,
            };
            divided.push((*edge, own, part, corner));
        }
    }
    Ok(divided)
}

/// The moved segments and their joins, closed, crossings and all.
fn raw_outline(strips: &[Strip]) -> Vec<Named> {
    let next = |at: usize| strips.get(at + 1).or(strips.first());
    let joined = |at: usize, strip: &Strip, plain: bool| {
        let Some(after) = next(at) else {
            return Join::default();
        };
        let (one, two) = (
            Side::ending(strip.edge, strip.width, &strip.seg, &strip.row),
            { Side::starting(after.edge, after.width, &after.seg, &after.row) },
        );
        if plain {
            untrimmed(&one, &two)
        } else {
            join(&one, &two, strip.corner)
        }
    };
    let mut joins: Vec<Join> = strips
        .iter()
        .enumerate()
        .map(|(at, strip)| joined(at, strip, false))
        .collect();
    // Where both ends of a strip are cut so far back that nothing is left, neither is cut: the winding decides.
    let mut plain = vec![false; strips.len()];
    loop {
        let mut changed = false;
        for at in 0..strips.len() {
            let before = if at == 0 { strips.len() - 1 } else { at - 1 };
            let eaten = match (
                joins.get(before).and_then(|j| j.cut_after),
                joins.get(at).and_then(|j| j.cut_before),
            ) {
                (Some(start), Some(end)) => start >= end,
                _ => false,
            };
            for which in [before, at] {
                let place = (
                    plain.get_mut(which),
                    joins.get_mut(which),
                    strips.get(which),
                );
                if let (true, (Some(mark @ false), Some(slot), Some(strip))) = (eaten, place) {
                    (*mark, *slot) = (true, joined(which, strip, true));
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    let mut raw: Vec<Named> = Vec::with_capacity(strips.len() * 4);
    for (at, (strip, own)) in strips.iter().zip(&joins).enumerate() {
        let before = if at == 0 {
            joins.last()
        } else {
            joins.get(at - 1)
        };
        let from = before.and_then(|j| j.cut_after).unwrap_or((0, 0.0));
        let to = own
            .cut_before
            .unwrap_or((strip.row.len().saturating_sub(1), 1.0));
        for (n, seg) in strip.row.iter().enumerate() {
            let t0 = if n == from.0 { from.1 } else { 0.0 };
            let t1 = if n == to.0 { to.1 } else { 1.0 };
            if n >= from.0 && n <= to.0 && t1 > t0 {
                append(&mut raw, strip.edge, sub_segment(seg, t0, t1));
            }
        }
        for (edge, seg) in &own.pieces {
            append(&mut raw, *edge, *seg);
        }
    }
    close(&mut raw);
    raw
}

/// Adds a segment where the last ended, bridging what small gap there is.
fn append(raw: &mut Vec<Named>, edge: usize, seg: PathSeg) {
    let Some(end) = raw.last().map(|named| named.seg.end()) else {
        raw.push(Named { edge, seg });
        return;
    };
    let gap = (seg.start() - end).hypot();
    if gap > MEETING {
        raw.push(Named {
            edge,
            seg: PathSeg::Line(Line::new(end, seg.start())),
        });
        raw.push(Named { edge, seg });
    } else {
        raw.push(Named {
            edge,
            seg: if gap > 0.0 { with_start(seg, end) } else { seg },
        });
    }
}

fn close(raw: &mut Vec<Named>) {
    raw.retain(|named| super::segment::size(&named.seg) > 1e-7);
    if let (Some(last), Some(first)) = (
        raw.last().map(|named| (named.edge, named.seg.end())),
        raw.first_mut(),
    ) {
        let gap = (first.seg.start() - last.1).hypot();
        if gap > MEETING {
            let seg = PathSeg::Line(Line::new(last.1, first.seg.start()));
            raw.push(Named { edge: last.0, seg });
        } else if gap > 0.0 {
            first.seg = with_start(first.seg, last.1);
        }
    }
}

/// A ring without the knots of nothing that trimming leaves between two pieces.
fn without_knots(row: &[Named]) -> Vec<Named> {
    let sized = |named: &&Named| super::segment::size(&named.seg) > KNOT;
    let mut kept: Vec<Named> = row.iter().filter(sized).cloned().collect();
    let mut at = kept.last().map(|named| named.seg.end());
    for named in &mut kept {
        if let Some(end) = at.filter(|end| *end != named.seg.start()) {
            named.seg = with_start(named.seg, end);
        }
        at = Some(named.seg.end());
    }
    kept
}

/// Neighbours of one edge become one path; the row begins where an edge begins.
pub(super) fn named_paths(row: &[Named]) -> Result<Vec<CutEdge>, AllowanceFault> {
    let row = without_knots(row);
    let turn = row
        .iter()
        .zip(row.iter().skip(1))
        .position(|(a, b)| a.edge != b.edge)
        .map_or(0, |at| at + 1);
    let mut paths: Vec<CutEdge> = Vec::new();
    let mut open: Option<(usize, Vec<PathSeg>)> = None;
    for named in row.iter().cycle().skip(turn).take(row.len()) {
        match &mut open {
            Some((edge, segs)) if *edge == named.edge => segs.push(named.seg),
            _ => {
                finish(open.take(), &mut paths)?;
                open = Some((named.edge, vec![named.seg]));
            }
        }
    }
    finish(open, &mut paths)?;
    let first = paths
        .iter()
        .enumerate()
        .min_by_key(|(_, path)| path.edge)
        .map_or(0, |(at, _)| at);
    paths.rotate_left(first);
    Ok(paths)
}

fn finish(
    open: Option<(usize, Vec<PathSeg>)>,
    paths: &mut Vec<CutEdge>,
) -> Result<(), AllowanceFault> {
    let Some((edge, segs)) = open else {
        return Ok(());
    };
    match Path::from_segs(segs) {
        Ok(path) => paths.push(CutEdge { edge, path }),
        // A hair's breadth between two longer pieces.
        Err(PathFault::NoLength { .. }) => {}
        Err(other) => return Err(other.into()),
    }
    Ok(())
}
