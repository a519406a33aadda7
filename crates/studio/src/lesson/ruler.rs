//! A curve as it is taken off a card (common practice): a ruler laid from end to end, and at round stations along it how far
//! the curve lies out square. Stations stand as near to each other as a flexible ruler laid through them wants, and no nearer.

use kurbo::{ParamCurve, ParamCurveDeriv, PathSeg, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::voice::{INCH, LengthUnit};

/// Ends nearer than this have no straight line between them, in millimetres.
const CLOSED: f64 = 1.0;
/// A flexible ruler through the stations strays no farther from the curve.
const STRAY: f64 = 0.2;
/// At most so many stations between two ends.
const MOST: usize = 14;
/// A curve that runs off its ruler more steeply than this (rise over run) is taken in two parts.
const STEEP: f64 = 4.0;
/// It is halved no more often than this.
const HALVED: usize = 4;
/// A corner turns by more than this (the sine of it); what turns less is one line.
const CORNER: f64 = 0.035;
/// A ruler longer than this, in millimetres, has no stations nearer than half a centimetre.
const FINE: f64 = 40.0;
/// A curve is looked at in so many places of each of its segments.
const LOOKS: u32 = 160;

/// A stretch of a line that one ruler serves.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    pub(super) from: Point,
    pub(super) to: Point,
    /// How far along the ruler, and how far out to the left of it; none where it is straight.
    pub(super) stations: Vec<(f64, f64)>,
}

impl Stretch {
    pub(super) fn chord(&self) -> f64 {
        (self.to - self.from).hypot()
    }

    /// The left of the ruler.
    pub(super) fn left(&self) -> Vec2 {
        let along = (self.to - self.from).normalize();
        Vec2::new(-along.y, along.x)
    }
}

/// A line in stretches from its start to its end: parted at its corners, and where it turns too far for one ruler.
pub(super) fn stretches(path: &Path, unit: LengthUnit) -> Vec<Stretch> {
    let mut found = Vec::new();
    for run in runs(path.segs()) {
        part(&run, unit, 0, &mut found);
    }
    found
}

/// Rows of points between the corners of a line.
fn runs(segs: &[PathSeg]) -> Vec<Vec<Point>> {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut going: Option<Vec2> = None;
    for seg in segs {
        let (leaving, arriving) = ways(seg);
        let turns = going
            .is_none_or(|going| going.dot(leaving) <= 0.0 || going.cross(leaving).abs() > CORNER);
        if turns {
            runs.push(vec![seg.start()]);
        }
        if let Some(run) = runs.last_mut() {
            match seg {
                PathSeg::Line(line) => {
                    // A straight part is looked at too: the ruler may lie across it.
                    run.extend(
                        (1..=LOOKS / 4).map(|at| line.eval(f64::from(at) / f64::from(LOOKS / 4))),
                    );
                }
                curve => {
                    run.extend((1..=LOOKS).map(|at| curve.eval(f64::from(at) / f64::from(LOOKS))))
                }
            }
        }
        going = Some(arriving);
    }
    runs
}

/// Which way a segment leaves its start and arrives at its end.
fn ways(seg: &PathSeg) -> (Vec2, Vec2) {
    let cubic = seg.to_cubic();
    let way = |at: f64| {
        let way = cubic.deriv().eval(at).to_vec2();
        let far = if way.hypot() < 1e-9 {
            seg.end() - seg.start()
        } else {
            way
        };
        far / far.hypot().max(1e-12)
    };
    (way(0.0), way(1.0))
}

fn part(run: &[Point], unit: LengthUnit, halved: usize, found: &mut Vec<Stretch>) {
    let (Some(from), Some(to)) = (run.first().copied(), run.last().copied()) else {
        return;
    };
    let chord = to - from;
    let is_closed = chord.hypot() < CLOSED;
    if !is_closed {
        let profile = Profile::of(run, from, to);
        if profile.is_one_ruler() || halved == HALVED {
            found.push(Stretch {
                from,
                to,
                stations: profile.stations(unit),
            });
            return;
        }
    } else if halved == HALVED {
        return;
    }
    let off = |at: &Point| {
        if is_closed {
            (*at - from).hypot()
        } else {
            (*at - from).cross(chord).abs()
        }
    };
    let farthest = (1..run.len().saturating_sub(1)).max_by(|a, b| {
        let far = |at: usize| run.get(at).map_or(0.0, off);
        far(*a).total_cmp(&far(*b))
    });
    let Some(at) = farthest else { return };
    for half in [run.get(..=at), run.get(at..)].into_iter().flatten() {
        part(half, unit, halved + 1, found);
    }
}

/// A curve over its ruler: how far along, how far out to the left.
struct Profile {
    long: f64,
    places: Vec<Point>,
}

impl Profile {
    fn of(run: &[Point], from: Point, to: Point) -> Self {
        let along = (to - from).normalize();
        let left = Vec2::new(-along.y, along.x);
        let seen = |at: &Point| Point::new((*at - from).dot(along), (*at - from).dot(left));
        Self {
            long: (to - from).hypot(),
            places: run.iter().map(seen).collect(),
        }
    }

    /// Whether it goes on along the ruler all the way, nowhere too steep for the eye.
    fn is_one_ruler(&self) -> bool {
        self.places.windows(2).all(|pair| match pair {
            [a, b] => {
                let by = *b - *a;
                by.hypot() < 1e-9 || (by.x > 0.0 && by.y.abs() <= STEEP * by.x)
            }
            _ => true,
        })
    }

    /// How far out it lies there.
    fn out(&self, far: f64) -> f64 {
        let pair = self.places.windows(2).find_map(|pair| match pair {
            [a, b] if far <= b.x && b.x > a.x => Some((*a, *b)),
            _ => None,
        });
        pair.map_or(0.0, |(a, b)| {
            a.y + (b.y - a.y) * ((far - a.x) / (b.x - a.x)).clamp(0.0, 1.0)
        })
    }

    /// Round stations enough for a flexible ruler; none for a straight line.
    fn stations(&self, unit: LengthUnit) -> Vec<(f64, f64)> {
        let off = self.places.iter().map(|at| at.y.abs());
        if off.fold(0.0, f64::max) < STRAY / 3.0 {
            return Vec::new();
        }
        let rounds: [f64; 6] = match unit {
            LengthUnit::Inch => [4.0, 2.0, 1.0, 0.5, 0.25, 0.125].map(|inches| inches * INCH),
            LengthUnit::Millimetre | LengthUnit::Centimetre => [100.0, 50.0, 20.0, 10.0, 5.0, 2.0],
        };
        let coarse = rounds.iter().copied().find(|step| self.long / step > 3.5);
        // No station nearer to another than a pencil's care is worth.
        let fine = if self.long > FINE { 5.0 } else { 2.0 };
        let rounds = rounds.iter().copied().filter(|round| *round >= fine * 0.6);
        let rounds: Vec<f64> = rounds.collect();
        let step = coarse.unwrap_or(rounds.last().copied().unwrap_or(1.0));
        let mut at: Vec<f64> = Vec::new();
        let mut next = step;
        while next < self.long - 0.25 * step {
            at.push(next);
            next += step;
        }
        while at.len() < MOST {
            let Some(more) = self.wanting(&at, &rounds) else {
                break;
            };
            at.push(more);
            at.sort_by(f64::total_cmp);
        }
        at.into_iter().map(|far| (far, self.out(far))).collect()
    }

    /// A round station where the flexible ruler strays most; none where it keeps to the curve.
    fn wanting(&self, at: &[f64], rounds: &[f64]) -> Option<f64> {
        let ends = [(0.0, 0.0), (self.long, 0.0)];
        let mut knots: Vec<(f64, f64)> = at.iter().map(|far| (*far, self.out(*far))).collect();
        knots.insert(0, ends[0]);
        knots.push(ends[1]);
        let bent = Bent::through(&knots);
        let mut worst = (STRAY, None);
        for pair in knots.windows(2) {
            let [(low, _), (high, _)] = pair else {
                continue;
            };
            for share in [0.25, 0.5, 0.75] {
                let far = low + (high - low) * share;
                let step = 0.05 * (high - low);
                let rise = (self.out(far + step) - self.out(far - step)) / (2.0 * step);
                // What matters is how far off square to the curve.
                let stray = (bent.out(far) - self.out(far)).abs() / rise.hypot(1.0);
                if stray > worst.0 {
                    worst = (stray, Some((*low, *high)));
                }
            }
        }
        let (low, high) = worst.1?;
        let middle = (low + high) / 2.0;
        rounds.iter().find_map(|round| {
            let near = (middle / round).round() * round;
            let clear = 0.2 * (high - low);
            (near > low + clear && near < high - clear).then_some(near)
        })
    }
}

/// A flexible ruler through places, its ends free: the natural cubic spline (textbook construction).
struct Bent<'k> {
    knots: &'k [(f64, f64)],
    /// How strongly it bends at each.
    bends: Vec<f64>,
}

impl<'k> Bent<'k> {
    fn through(knots: &'k [(f64, f64)]) -> Self {
        let mut bends = vec![0.0; knots.len()];
        // Each inner place gives a row of a tridiagonal system; it is solved downward, then upward.
        let mut rows: Vec<(f64, f64)> = vec![(0.0, 0.0)];
        for three in knots.windows(3) {
            let [(a, p), (b, q), (c, r)] = three else {
                continue;
            };
            let (one, two) = (b - a, c - b);
            let wanted = 6.0 * ((r - q) / two - (q - p) / one);
            let (above, right) = rows.last().copied().unwrap_or_default();
            let mid = 2.0 * (one + two) - one * above;
            rows.push((two / mid, (wanted - one * right) / mid));
        }
        let mut below = 0.0;
        for (bend, (share, right)) in bends.iter_mut().zip(&rows).rev() {
            *bend = right - share * below;
            below = *bend;
        }
        Self { knots, bends }
    }

    fn out(&self, far: f64) -> f64 {
        let spans = self.knots.windows(2).zip(self.bends.windows(2));
        let mut spans = spans.filter_map(|(knots, bends)| match (knots, bends) {
            ([(a, p), (b, q)], [m, n]) if far <= *b => Some((*a, *p, *b, *q, *m, *n)),
            _ => None,
        });
        let Some((a, p, b, q, m, n)) = spans.next() else {
            return 0.0;
        };
        let long = b - a;
        let (left, right) = ((b - far) / long, (far - a) / long);
        let bend = (left.powi(3) - left) * m + (right.powi(3) - right) * n;
        left * p + right * q + bend * long * long / 6.0
    }
}
