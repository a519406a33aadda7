//! Where two paths meet: every crossing in order along the first, with touches and shared stretches told apart.
//!
//! A meeting within [`MEETING`] of an end of either path is at that end. Endless lines meet like any other path.

use super::MEETING;
use super::apart::closest;
use super::meet_cubics::Work;
use super::meet_segments::{Hit, Shared, are_near, cross_within, meet_within};
use super::path::{Location, Path};
use super::segment::{self, boxes_near, control_box};
use kurbo::{Line, ParamCurve, PathSeg, Point, Rect, Vec2};

/// One meeting of two paths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// The place where they meet.
    pub point: Point,
    /// The place on the first path.
    pub on_a: Location,
    /// The place on the second path.
    pub on_b: Location,
    /// The paths touch here without plainly crossing: they run in one direction.
    pub tangent: bool,
}

/// A stretch along which two paths lie on each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlap {
    /// Where it begins and ends on the first path, in its order.
    pub on_a: (Location, Location),
    /// The same places on the second path.
    pub on_b: (Location, Location),
    /// Where it begins. Of two endless lines that are one, the point that the first was drawn through.
    pub from: Point,
    /// The point at which the shared stretch ends.
    pub to: Point,
}

/// All meetings of two paths.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Meetings {
    /// Crossings and touches, in order along the first path.
    pub crossings: Vec<Meeting>,
    /// Shared stretches, in order along the first path.
    pub overlaps: Vec<Overlap>,
}

/// The closest approach of two paths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Approach {
    /// How near they come, in millimetres.
    pub gap: f64,
    /// The place on the first path.
    pub at_first: Point,
    /// The place on the second path.
    pub at_second: Point,
}

/// Why two paths have no one meeting.
#[derive(Clone, Debug, PartialEq)]
pub enum MeetFault {
    /// They do not meet.
    NeverMeet {
        /// Their closest approach in millimetres.
        gap: f64,
        /// Its place on the first path.
        at_first: Point,
        /// Its place on the second path.
        at_second: Point,
    },
    /// They meet more than once, and nothing says which meeting is meant.
    SeveralAnswers {
        /// All meetings, in order along the first path.
        points: Vec<Point>,
    },
    /// They run along each other.
    RunTogether {
        /// The point at which the shared stretch begins.
        from: Point,
        /// The point at which it ends.
        to: Point,
    },
}

impl Meetings {
    /// The only meeting of the two paths these came from, or why there is none.
    pub fn only(&self, a: &Path, b: &Path) -> Result<Meeting, MeetFault> {
        self.some(a, b)?;
        match self.crossings.as_slice() {
            [one] => Ok(*one),
            several => Err(MeetFault::SeveralAnswers {
                points: several.iter().map(|m| m.point).collect(),
            }),
        }
    }

    /// The meeting nearest to a point, the first of several as near, or why there is none.
    pub fn nearest_to(&self, p: Point, a: &Path, b: &Path) -> Result<Meeting, MeetFault> {
        self.some(a, b)?;
        let distance = |m: &Meeting| (m.point - p).hypot2();
        let nearest = self
            .crossings
            .iter()
            .min_by(|x, y| distance(x).total_cmp(&distance(y)));
        nearest.copied().ok_or_else(|| never(a, b))
    }

    fn some(&self, a: &Path, b: &Path) -> Result<(), MeetFault> {
        match (self.crossings.first(), self.overlaps.first()) {
            (Some(_), _) => Ok(()),
            (None, Some(o)) => Err(MeetFault::RunTogether {
                from: o.from,
                to: o.to,
            }),
            (None, None) => Err(never(a, b)),
        }
    }
}

fn never(a: &Path, b: &Path) -> MeetFault {
    let Approach {
        gap,
        at_first,
        at_second,
    } = closest_approach(a, b);
    MeetFault::NeverMeet {
        gap,
        at_first,
        at_second,
    }
}

/// The closest approach of two paths; gap zero where they meet.
pub fn closest_approach(a: &Path, b: &Path) -> Approach {
    if let (Some((p, d)), Some((q, e))) = (a.endless_line(), b.endless_line()) {
        let cross = d.cross(e);
        if cross.abs() > 1e-12 {
            let at = p + d * ((q - p).cross(e) / cross);
            return Approach {
                gap: 0.0,
                at_first: at,
                at_second: at,
            };
        }
        let foot = q + e * e.dot(p - q);
        return Approach {
            gap: (foot - p).hypot(),
            at_first: p,
            at_second: foot,
        };
    }
    let (wa, wb) = (Window::on(a, b), Window::on(b, a));
    let (at_first, at_second) = closest(wa.segs(), wb.segs());
    Approach {
        gap: (at_second - at_first).hypot(),
        at_first,
        at_second,
    }
}

/// All meetings of two paths, in order along the first.
pub fn meetings(a: &Path, b: &Path) -> Meetings {
    if let (Some(first), Some(second)) = (a.endless_line(), b.endless_line()) {
        return endless_meetings(first, second);
    }
    if apart(a, b) {
        return Meetings::default();
    }
    let (wa, wb) = (Window::on(a, b), Window::on(b, a));
    let mut found = Found {
        a,
        b,
        wa: &wa,
        wb: &wb,
        crossings: Vec::new(),
        overlaps: Vec::new(),
        ends_on: 0,
    };
    found.ends();
    found.segments();
    if found.overlaps.is_empty() && found.crossings.len() < 2 {
        let crossings = found.crossings;
        return Meetings {
            crossings,
            overlaps: Vec::new(),
        };
    }
    found.settle()
}

/// Whether the boxes of two drawn paths keep them from meeting.
fn apart(a: &Path, b: &Path) -> bool {
    let around = |path: &Path| {
        path.segs()
            .iter()
            .map(control_box)
            .reduce(|x, y| x.union(y))
    };
    match (around(a), around(b)) {
        (Some(a), Some(b)) => !boxes_near(&a, &b, MEETING),
        _ => false,
    }
}

fn endless_meetings((p, d): (Point, Vec2), (q, e): (Point, Vec2)) -> Meetings {
    let cross = d.cross(e);
    let between = q - p;
    let at = |t: f64| Location { segment: 0, t };
    if cross.abs() > 1e-12 {
        let (t, u) = (between.cross(e) / cross, between.cross(d) / cross);
        let meeting = Meeting {
            point: p + d * t,
            on_a: at(t),
            on_b: at(u),
            tangent: false,
        };
        return Meetings {
            crossings: vec![meeting],
            overlaps: Vec::new(),
        };
    }
    if d.cross(between).abs() > MEETING {
        return Meetings::default();
    }
    let u = e.dot(p - q);
    let overlap = Overlap {
        on_a: (at(0.0), at(0.0)),
        on_b: (at(u), at(u)),
        from: p,
        to: p,
    };
    Meetings {
        crossings: Vec::new(),
        overlaps: vec![overlap],
    }
}

/// The segments of a path that another can meet: its own, or the stretch of an endless line beside the other path.
pub(crate) enum Window<'p> {
    Own(&'p [PathSeg]),
    Stretch {
        line: [PathSeg; 1],
        from: f64,
        length: f64,
    },
}

impl<'p> Window<'p> {
    pub(crate) fn on(path: &'p Path, beside: &Path) -> Window<'p> {
        let Some((through, direction)) = path.endless_line() else {
            return Window::Own(path.segs());
        };
        let mut range = (f64::INFINITY, f64::NEG_INFINITY);
        for seg in beside.segs() {
            let r = control_box(seg);
            for corner in [(r.x0, r.y0), (r.x1, r.y0), (r.x0, r.y1), (r.x1, r.y1)] {
                let along = direction.dot(Point::from(corner) - through);
                range = (range.0.min(along), range.1.max(along));
            }
        }
        let (from, length) = (range.0 - 1.0, range.1 - range.0 + 2.0);
        let line = Line::new(
            through + direction * from,
            through + direction * (from + length),
        );
        Window::Stretch {
            line: [PathSeg::Line(line)],
            from,
            length,
        }
    }

    pub(crate) fn segs(&self) -> &[PathSeg] {
        match self {
            Window::Own(segs) => segs,
            Window::Stretch { line, .. } => line,
        }
    }

    fn location(&self, segment: usize, t: f64) -> Location {
        match self {
            Window::Own(_) => Location { segment, t },
            Window::Stretch { from, length, .. } => Location {
                segment: 0,
                t: from + length * t,
            },
        }
    }
}

struct Found<'p> {
    a: &'p Path,
    b: &'p Path,
    wa: &'p Window<'p>,
    wb: &'p Window<'p>,
    crossings: Vec<Meeting>,
    overlaps: Vec<Overlap>,
    /// How many ends of either path lie on the other.
    ends_on: usize,
}

/// Whether two places on a path are surely no farther apart along it than [`MEETING`]: nowhere does a segment run faster
/// than along its longest handle.
fn surely_near(window: &Window<'_>, one: Location, other: Location) -> bool {
    let apart = (one.t - other.t).abs();
    let fastest = match window {
        Window::Stretch { .. } => 1.0,
        Window::Own(_) if one.segment != other.segment => return one == other,
        Window::Own(segs) => match segs.get(one.segment) {
            Some(PathSeg::Cubic(c)) => {
                let handles = [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2];
                3.0 * handles.map(Vec2::hypot).into_iter().fold(0.0, f64::max)
            }
            Some(seg) => segment::size(seg),
            None => return false,
        },
    };
    apart * fastest <= MEETING
}

impl<'p> Found<'p> {
    /// Ends of either path that lie on the other.
    fn ends(&mut self) {
        for (own, other, first) in [(self.a, self.b, true), (self.b, self.a, false)] {
            let (Ok(start), Ok(end)) = (own.start(), own.end()) else {
                continue;
            };
            for (p, place) in [(start, own.start_location()), (end, own.end_location())] {
                if !other.passes(p, MEETING) {
                    continue;
                }
                self.ends_on += 1;
                let there = self.at_end(other, other.nearest(p).location);
                let (on_a, on_b) = if first {
                    (place, there)
                } else {
                    (there, place)
                };
                self.meet(Meeting {
                    point: p,
                    on_a,
                    on_b,
                    tangent: false,
                });
            }
        }
    }

    /// Keeps a meeting, once where it is plain that another is the same.
    fn meet(&mut self, meeting: Meeting) {
        let same = |known: &&mut Meeting| {
            surely_near(self.wa, known.on_a, meeting.on_a)
                && surely_near(self.wb, known.on_b, meeting.on_b)
        };
        match self.crossings.iter_mut().find(same) {
            Some(known) => known.tangent |= meeting.tangent,
            None => self.crossings.push(meeting),
        }
    }

    /// The place itself, or the end of the path if it lies within [`MEETING`] of it.
    fn at_end(&self, path: &Path, at: Location) -> Location {
        let p = path.point(at);
        let near = |end: Location| {
            (path.point(end) - p).hypot() <= MEETING
                && (path.length_to(end) - path.length_to(at)).abs() <= 2.0 * MEETING
        };
        if path.is_endless() {
            at
        } else if near(path.start_location()) {
            path.start_location()
        } else if near(path.end_location()) {
            path.end_location()
        } else {
            at
        }
    }

    fn segments(&mut self) {
        let (wa, wb) = (self.wa, self.wb);
        let (mut hits, mut shared): (Vec<Hit>, Vec<Shared>) = (Vec::new(), Vec::new());
        let mut work = Work::new();
        if let ([a], [b]) = (wa.segs(), wb.segs()) {
            // Two ends at least lie on the other segment where the two lie along each other.
            if self.ends_on >= 2 {
                meet_within(a, b, &mut hits, &mut shared, &mut work);
            } else if are_near(a, b) {
                cross_within(a, b, &mut hits, &mut shared, &mut work);
            }
            self.keep((0, a), 0, &mut hits, &mut shared);
            return;
        }
        let boxes: Vec<Rect> = wb.segs().iter().map(control_box).collect();
        for (i, seg_a) in wa.segs().iter().enumerate() {
            let box_a = control_box(seg_a);
            for (j, (seg_b, box_b)) in wb.segs().iter().zip(&boxes).enumerate() {
                if boxes_near(&box_a, box_b, MEETING) {
                    meet_within(seg_a, seg_b, &mut hits, &mut shared, &mut work);
                    self.keep((i, seg_a), j, &mut hits, &mut shared);
                }
            }
        }
    }

    /// Keeps what two segments share.
    fn keep(
        &mut self,
        (i, seg_a): (usize, &PathSeg),
        j: usize,
        hits: &mut Vec<Hit>,
        shared: &mut Vec<Shared>,
    ) {
        for hit in hits.drain(..) {
            let on_a = self.at_end(self.a, self.wa.location(i, hit.a));
            let on_b = self.at_end(self.b, self.wb.location(j, hit.b));
            self.meet(Meeting {
                point: seg_a.eval(hit.a),
                on_a,
                on_b,
                tangent: hit.tangent,
            });
        }
        for stretch in shared.drain(..) {
            self.overlaps.push(Overlap {
                on_a: (
                    self.wa.location(i, stretch.a.0),
                    self.wa.location(i, stretch.a.1),
                ),
                on_b: (
                    self.wb.location(j, stretch.b.0),
                    self.wb.location(j, stretch.b.1),
                ),
                from: seg_a.eval(stretch.a.0),
                to: seg_a.eval(stretch.a.1),
            });
        }
    }

    /// Orders everything along the first path, joins stretches that follow on, and keeps each meeting once.
    fn settle(mut self) -> Meetings {
        let order =
            |x: &Location, y: &Location| x.partial_cmp(y).unwrap_or(std::cmp::Ordering::Equal);
        self.overlaps.sort_by(|x, y| order(&x.on_a.0, &y.on_a.0));
        let mut overlaps: Vec<Overlap> = Vec::new();
        for next in self.overlaps.drain(..) {
            match overlaps.last_mut() {
                Some(last) if (next.from - last.to).hypot() <= 2.0 * MEETING => {
                    (last.on_a.1, last.on_b.1, last.to) = (next.on_a.1, next.on_b.1, next.to);
                }
                _ => overlaps.push(next),
            }
        }
        let lengths = |m: &Meeting| (self.a.length_to(m.on_a), self.b.length_to(m.on_b));
        let ranges: Vec<(f64, f64)> = overlaps
            .iter()
            .map(|o| {
                (
                    self.a.length_to(o.on_a.0) - 2.0 * MEETING,
                    self.a.length_to(o.on_a.1) + 2.0 * MEETING,
                )
            })
            .collect();
        let mut kept: Vec<(Meeting, (f64, f64))> = Vec::with_capacity(self.crossings.len());
        for meeting in &self.crossings {
            let (along_a, along_b) = lengths(meeting);
            let inside = ranges
                .iter()
                .any(|(from, to)| *from <= along_a && along_a <= *to);
            let same = |k: &&mut (Meeting, (f64, f64))| {
                (k.1.0 - along_a).abs() <= 2.0 * MEETING && (k.1.1 - along_b).abs() <= 2.0 * MEETING
            };
            if inside {
                continue;
            }
            match kept.iter_mut().find(same) {
                Some(known) => known.0.tangent |= meeting.tangent,
                None => kept.push((*meeting, (along_a, along_b))),
            }
        }
        kept.sort_by(|x, y| x.1.0.total_cmp(&y.1.0).then(x.1.1.total_cmp(&y.1.1)));
        Meetings {
            crossings: kept.into_iter().map(|k| k.0).collect(),
            overlaps,
        }
    }
}
