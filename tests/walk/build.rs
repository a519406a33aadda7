//! Pieces out of faces: each run of cloth broken into edges, with what is inserted where its seams hold ease, darts and
//! pleats. What is inserted runs straight on along the edge; an edge that no seam joins takes up the difference.

use crate::cloth::Span;
use crate::plan::{Centre, Item, Plan, Seam, Words};
use kurbo::{Affine, Line as Straight, ParamCurve, PathSeg, Point, Vec2};

/// What a part of an outline is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Cloth,
    /// Cloth let in, part of the edge it stands in.
    Let,
    /// The mouth of a dart.
    Mouth,
    /// What a pleat takes up, an edge of its own.
    Take,
    /// An edge that is passed by.
    Over,
}

/// A part of an outline, in its direction; `from` and `to` are places of its line.
#[derive(Clone, Debug)]
pub struct Chunk {
    pub segs: Vec<PathSeg>,
    pub line: usize,
    pub from: f64,
    pub to: f64,
    pub kind: Kind,
    /// Begins an edge.
    begins: bool,
}

/// An edge of a piece, in outline direction.
#[derive(Clone, Debug)]
pub struct Edge {
    pub line: usize,
    pub from: f64,
    pub to: f64,
    pub kind: Kind,
    pub segs: Vec<PathSeg>,
    pub words: Words,
}

/// A dart, pleat or end of a side as it is drawn.
#[derive(Clone, Debug)]
pub enum Mark {
    Dart {
        a: Point,
        b: Point,
        apex: Point,
    },
    Pleat {
        from: [Point; 2],
        to: [Point; 2],
    },
    /// A pleat laid onto the edge at the centre.
    Centre {
        from: [Point; 2],
        onto: usize,
    },
}

/// A piece, in the cloth's place.
#[derive(Clone, Debug)]
pub struct Piece {
    pub edges: Vec<Edge>,
    pub chunks: Vec<Chunk>,
    pub marks: Vec<Mark>,
    /// The edge on the fold.
    pub fold: Option<usize>,
}

/// A part of an outline with what is marked there: a depth and how far it lies off, and whether it is a dart.
type Laid = (Chunk, Option<(f64, f64)>, bool);

/// Where something is let in.
struct Spot {
    s: f64,
    long: f64,
    kind: Kind,
    begins: bool,
    mark: Option<(f64, f64)>,
    dart: bool,
}

const SAME: f64 = 1e-6;

/// Whether two places are one.
pub fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME
}

/// The span of a face that takes up differences: the longest edge of the cloth that is neither at the centre nor beside a
/// fold, where it must stay square.
pub fn slack(plan: &Plan, face: usize) -> Option<usize> {
    let spans = &plan.cloth.faces[face];
    (0..spans.len())
        .filter(|n| {
            let line = spans[*n].line;
            let centre = line == 0 && plan.lays[face].centre != Centre::Finished;
            let count = spans.len();
            let beside = [(*n + 1) % count, (*n + count - 1) % count];
            let at_fold = plan.lays[face].centre == Centre::Fold
                && beside.iter().any(|other| spans[*other].line == 0);
            !plan.cloth.is_sewn(line) && !centre && !at_fold
        })
        .max_by(|a, b| spans[*a].length().total_cmp(&spans[*b].length()))
}

/// All pieces; none where they cannot be drawn cleanly.
pub fn pieces(plan: &Plan) -> Option<Vec<Piece>> {
    (0..plan.cloth.faces.len())
        .map(|face| piece(plan, face))
        .collect()
}

fn piece(plan: &Plan, face: usize) -> Option<Piece> {
    let spans = &plan.cloth.faces[face];
    let slack = slack(plan, face);
    let first = slack.map_or(0, |n| n + 1);
    let mut chunks = Vec::new();
    for n in 0..spans.len() {
        let index = (first + n) % spans.len();
        let spots = spots(plan, face, index);
        let own = |spot: &Spot| span_end(&spans[index], spot.s);
        if slack == Some(index) && !spots.is_empty() || slack.is_none() && !spots.iter().all(own) {
            return None;
        }
        chunks.extend(cut_up(plan, face, &spans[index], &spots));
    }
    let (chunks, marks) = moved(plan, face, slack, chunks)?;
    let mut edges: Vec<Edge> = Vec::new();
    for chunk in &chunks {
        if chunk.kind == Kind::Mouth {
            continue;
        }
        match edges.last_mut() {
            Some(edge) if !chunk.begins => {
                edge.segs.extend(&chunk.segs);
                edge.to = chunk.to;
            }
            _ => edges.push(Edge {
                line: chunk.line,
                from: chunk.from,
                to: chunk.to,
                kind: chunk.kind,
                segs: chunk.segs.clone(),
                words: match chunk.kind {
                    Kind::Over => Words::Said("vent"),
                    _ => plan.words[face][chunk.line],
                },
            }),
        }
    }
    let fold = (plan.lays[face].centre == Centre::Fold)
        .then(|| edges.iter().position(|edge| edge.line == 0))
        .flatten();
    let mut made = Piece {
        edges,
        chunks,
        marks,
        fold,
    };
    if let (Some(onto), Some(_)) = (fold, pleat(plan, face)) {
        let count = spans.len();
        let centre = spans.iter().position(|span| span.line == 0)?;
        let (before, after) = (
            spans[(centre + count - 1) % count],
            spans[(centre + 1) % count],
        );
        let from = [
            made.node((before.line, before.to), true)?,
            made.node((after.line, after.from), true)?,
        ];
        made.marks.push(Mark::Centre { from, onto });
    }
    made.is_clean().then_some(made)
}

fn span_end(span: &Span, s: f64) -> bool {
    same(s, span.from) || same(s, span.to)
}

/// How much a pleat at the centre of a face takes up.
fn pleat(plan: &Plan, face: usize) -> Option<f64> {
    let lay = &plan.lays[face];
    lay.pleat.filter(|_| lay.centre == Centre::Fold)
}

/// The side of a seam's leg on which a span of a face lies.
fn side_of(leg: &Span, span: &Span) -> usize {
    usize::from((leg.to - leg.from).signum() != (span.to - span.from).signum())
}

/// Whether anything is let into a face, so that its edges no longer lie where the cloth's did.
pub fn is_changed(plan: &Plan, face: usize) -> bool {
    let count = plan.cloth.faces[face].len();
    (0..count).any(|index| !spots(plan, face, index).is_empty())
}

/// Every leg of a seam with its side.
fn legs(seam: &Seam) -> impl Iterator<Item = (usize, usize, &Span)> {
    (0..2).flat_map(|side| {
        let legs = seam.legs_of(side).iter().enumerate();
        legs.map(move |(n, leg)| (side, n, leg))
    })
}

/// What the seams let into a span.
fn spots(plan: &Plan, face: usize, index: usize) -> Vec<Spot> {
    let span = &plan.cloth.faces[face][index];
    let mut found = Vec::new();
    if let Some(wide) = pleat(plan, face) {
        let spans = &plan.cloth.faces[face];
        let count = spans.len();
        for (beside, s) in [
            ((index + 1) % count, span.to),
            ((index + count - 1) % count, span.from),
        ] {
            if spans[beside].line == 0 {
                found.push(Spot {
                    s,
                    long: wide,
                    kind: Kind::Let,
                    begins: false,
                    mark: None,
                    dart: false,
                });
            }
        }
    }
    for seam in &plan.seams {
        if seam.twin.is_some_and(|on| on != face) {
            continue;
        }
        for (side, n, leg) in legs(seam) {
            if leg.line != span.line || side != side_of(leg, span) {
                continue;
            }
            let mut spot = |at: f64, long: f64, kind: Kind, begins: bool, mark, dart: bool| {
                let (on, (_, s)) = seam.place(side, at, false);
                if on == n && span.has(s) {
                    found.push(Spot {
                        s,
                        long,
                        kind,
                        begins,
                        mark,
                        dart,
                    });
                }
            };
            for (at, by) in seam.added(side) {
                spot(at, by, Kind::Let, false, None, false);
            }
            for item in &seam.items {
                match *item {
                    Item::Dart {
                        side: on,
                        at,
                        width,
                        depth,
                        off,
                    } if on == side => {
                        spot(at, width, Kind::Mouth, true, Some((depth, off)), true);
                    }
                    Item::Pleat {
                        side: on,
                        at,
                        width,
                        inside,
                        off,
                    } if on == side => {
                        let kind = if inside { Kind::Let } else { Kind::Take };
                        spot(at, width, kind, !inside, Some((38.0, off)), false);
                    }
                    Item::Over {
                        side: on,
                        at,
                        width,
                        ..
                    } if on == side => {
                        spot(at, width, Kind::Over, true, None, false);
                    }
                    _ => {}
                }
            }
            for item in &seam.items {
                let Item::Until {
                    side: on,
                    high,
                    extra,
                    ..
                } = *item
                else {
                    continue;
                };
                let at = if high { seam.length() } else { 0.0 };
                let (end, (_, s)) = seam.place(side, at, high);
                let ours = same(s, span.from) || same(s, span.to);
                if on == side && end == n && ours {
                    found.push(Spot {
                        s,
                        long: extra,
                        kind: Kind::Let,
                        begins: false,
                        mark: None,
                        dart: false,
                    });
                }
            }
        }
    }
    found
}

/// Where a span is broken into parts: edges begin at some, at others a point is wanted.
fn stops(plan: &Plan, face: usize, span: &Span) -> Vec<(f64, bool)> {
    let mut found: Vec<(f64, bool)> = Vec::new();
    for seam in &plan.seams {
        if seam.twin.is_some_and(|on| on != face) {
            continue;
        }
        for (side, n, leg) in legs(seam) {
            if leg.line != span.line || side != side_of(leg, span) {
                continue;
            }
            found.extend([(leg.from, true), (leg.to, true)]);
            let mut points: Vec<(f64, bool)> =
                seam.breaks[side].iter().map(|at| (*at, true)).collect();
            let mut wanted = |at: f64| points.push((at, false));
            let twin = seam.twin.is_some();
            for item in &seam.items {
                match item {
                    Item::Pair { at, .. } => {
                        wanted(at[side]);
                        if twin {
                            wanted(at[1]);
                        }
                    }
                    Item::One { at, side: on, .. } if *on == side => wanted(*at),
                    Item::Ease(ease) if ease.side == side => {
                        wanted(ease.part.0);
                        wanted(ease.part.1);
                    }
                    Item::Open { side: on, part } if *on == side => {
                        wanted(part.0);
                        wanted(part.1);
                    }
                    Item::Pleat {
                        side: on, at, off, ..
                    } if *on == side && *off != 0.0 => {
                        wanted(*at + off);
                    }
                    Item::Until {
                        side: on,
                        high,
                        off,
                        ..
                    } if *on == side && *off != 0.0 => {
                        wanted(if *high { seam.length() - off } else { *off });
                    }
                    _ => {}
                }
            }
            for (at, begins) in points {
                let (on, (_, s)) = seam.place(side, at, false);
                if on == n {
                    found.push((s, begins));
                }
            }
        }
    }
    found.retain(|(s, _)| span.has(*s));
    found
}

fn cut_up(plan: &Plan, face: usize, span: &Span, spots: &[Spot]) -> Vec<Laid> {
    let forward = span.to > span.from;
    let mut stops = stops(plan, face, span);
    stops.extend(
        spots
            .iter()
            .filter(|spot| span.has(spot.s))
            .map(|spot| (spot.s, spot.begins)),
    );
    stops.push((span.to, true));
    stops.sort_by(|a, b| {
        if forward {
            a.0.total_cmp(&b.0)
        } else {
            b.0.total_cmp(&a.0)
        }
    });
    let line = &plan.cloth.lines[span.line];
    let mut found = Vec::new();
    let mut from = span.from;
    let mut begins = true;
    let let_in = |at: f64, begins: &mut bool, found: &mut Vec<_>| {
        for spot in spots.iter().filter(|spot| same(spot.s, at)) {
            let way = line.way(at) * if forward { 1.0 } else { -1.0 };
            let own = matches!(spot.kind, Kind::Mouth | Kind::Take | Kind::Over);
            let chunk = Chunk {
                segs: vec![PathSeg::Line(Straight::new(
                    Point::ORIGIN,
                    Point::ORIGIN + way * spot.long,
                ))],
                line: span.line,
                from: at,
                to: at,
                kind: spot.kind,
                begins: own || *begins,
            };
            *begins = own;
            found.push((chunk, spot.mark, spot.dart));
        }
    };
    let_in(span.from, &mut begins, &mut found);
    let mut n = 0;
    while n < stops.len() {
        let to = stops[n].0;
        let mut breaks = false;
        while n < stops.len() && same(stops[n].0, to) {
            breaks |= stops[n].1;
            n += 1;
        }
        found.push((
            Chunk {
                segs: line.part(from, to),
                line: span.line,
                from,
                to,
                kind: Kind::Cloth,
                begins,
            },
            None,
            false,
        ));
        begins = breaks && !same(to, span.to);
        let_in(to, &mut begins, &mut found);
        from = to;
    }
    found
}

type Moved = (Vec<Chunk>, Vec<Mark>);

/// Moves each chunk by what was let in before it, and fits the last span into what is left.
fn moved(plan: &Plan, face: usize, slack: Option<usize>, chunks: Vec<Laid>) -> Option<Moved> {
    let slack_line = slack.map(|n| plan.cloth.faces[face][n].line);
    let mut offset = Vec2::ZERO;
    let mut done: Vec<Chunk> = Vec::new();
    let mut marks = Vec::new();
    // The first chunk may have been let in where the slack edge ends.
    let natural = |n: usize| {
        chunks[n..]
            .iter()
            .find(|(chunk, ..)| chunk.kind == Kind::Cloth)
            .map(|(chunk, ..)| chunk.segs[0].eval(0.0))
    };
    let mut fit: Option<Affine> = None;
    for (n, (chunk, mark, dart)) in chunks.iter().enumerate() {
        let mut chunk = chunk.clone();
        if Some(chunk.line) == slack_line {
            let fit = *fit.get_or_insert_with(|| {
                let a = chunk.segs[0].eval(0.0);
                let b = chunks
                    .last()
                    .and_then(|(last, ..)| last.segs.last())
                    .map_or(a, |seg| seg.eval(1.0));
                similar(a, b, a + offset)
            });
            chunk.segs = chunk.segs.iter().map(|seg| fit * *seg).collect();
            done.push(chunk);
            continue;
        }
        if chunk.kind == Kind::Cloth {
            let by = Affine::translate(offset);
            chunk.segs = chunk.segs.iter().map(|seg| by * *seg).collect();
        } else {
            let begin = match done.last() {
                Some(last) => last.segs[last.segs.len() - 1].eval(1.0),
                None => natural(n)? + offset,
            };
            let by = Affine::translate(begin.to_vec2());
            chunk.segs = chunk.segs.iter().map(|seg| by * *seg).collect();
            let long = chunk.segs[0].eval(1.0) - chunk.segs[0].eval(0.0);
            offset += long;
            if let Some((depth, off)) = *mark {
                let (a, b) = (begin, begin + long);
                let way = long / long.hypot();
                let inward = Vec2::new(-way.y, way.x);
                marks.push(if *dart {
                    // Off the middle by x, the legs differ by about 2x·(w/2)/leg.
                    let leg = (depth * depth + long.hypot2() / 4.0).sqrt();
                    let apex = a + long / 2.0 + inward * depth + way * (off * leg / long.hypot());
                    Mark::Dart { a, b, apex }
                } else {
                    let c = b + way * off;
                    Mark::Pleat {
                        from: [a, a + inward * depth],
                        to: [c, c + inward * depth],
                    }
                });
            }
        }
        done.push(chunk);
    }
    Some((done, marks))
}

/// What moves `a` to `to` and leaves `b` where it is, turning and scaling.
fn similar(a: Point, b: Point, to: Point) -> Affine {
    let (old, new) = (a - b, to - b);
    let scale = new.hypot() / old.hypot();
    let turn = old.cross(new).atan2(old.dot(new));
    Affine::translate(b.to_vec2())
        * Affine::rotate(turn)
        * Affine::scale(scale)
        * Affine::translate(-b.to_vec2())
}
