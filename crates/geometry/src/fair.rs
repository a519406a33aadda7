//! Fair curves through points, and running a line smoothly into another direction.
//!
//! The method is J. D. Hobby's, "Smooth, easy to compute interpolating splines" (Discrete & Computational Geometry 1,
//! 1986): directions at the points are solved so that a simple measure of curvature is continuous, then each piece is
//! one cubic. Two limits are added, so that nothing wiggles: the direction at a point never leaves the angle between
//! the straight lines that meet there, and handles stop short of where they would cross. So each piece bends one way,
//! except where the row of points itself turns the other way, where it changes once.

use super::curves::{CurveFault, apart_points};
use super::edit::End;
use super::path::Path;
use super::segment::unit;
use kurbo::{CubicBez, PathSeg, Point, Vec2};
use std::f64::consts::PI;

/// The direction at a point keeps at least this share of the turn there from either straight line, so that the curve
/// bends on both sides of the point.
const LEAST_SHARE: f64 = 0.05;

/// Leaning over a straight line by less than this share of the angle at its other end leaves no room to bend one way.
const LEAST_LEAN: f64 = 0.2;

/// The direction at a point never leans over a straight line by more than this, in radians.
const MOST_LEAN: f64 = 1.0;

/// A handle at an end with a direction of its own is not shortened below this share of the chord.
const LEAST_HANDLE: f64 = 0.1;

/// A smooth curve through at least two points, with a direction at either end where one is given.
pub fn smooth(
    points: &[Point],
    start: Option<Vec2>,
    end: Option<Vec2>,
) -> Result<Path, CurveFault> {
    apart_points(points)?;
    let directed = |d: Option<Vec2>| d.is_none_or(|d| unit(d) != Vec2::ZERO);
    if !directed(start) || !directed(end) {
        return Err(CurveFault::NoDirection);
    }
    let chords: Vec<Vec2> = points
        .iter()
        .zip(points.iter().skip(1))
        .map(|(a, b)| *b - *a)
        .collect();
    let turns: Vec<f64> = chords
        .iter()
        .zip(chords.iter().skip(1))
        .map(|(a, b)| turn(*a, *b))
        .collect();
    let first = start.zip(chords.first()).map(|(d, chord)| turn(*chord, d));
    let last = end.zip(chords.last()).map(|(d, chord)| turn(d, *chord));
    let leaving = leaving_angles(&chords, &turns, first, last);
    let mut segs = Vec::with_capacity(chords.len());
    // At the last point `leaving` holds the arriving angle with its sign changed.
    let inner = turns.iter().copied().chain(std::iter::once(0.0));
    let pieces = points
        .iter()
        .zip(&chords)
        .zip(leaving.iter().zip(leaving.iter().skip(1)).zip(inner));
    for ((p, chord), ((out, next), turned)) in pieces {
        let asked = (segs.is_empty() && start.is_some())
            || (segs.len() + 1 == chords.len() && end.is_some());
        segs.push(PathSeg::Cubic(piece(
            *p,
            *chord,
            *out,
            -turned - next,
            asked,
        )));
    }
    Ok(Path::from_segs(segs)?)
}

/// The angle by which `to` is turned from `from`, in radians, positive anticlockwise.
fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

/// For each point the angle from the next chord to the curve's direction there, kept between the chords.
fn leaving_angles(
    chords: &[Vec2],
    turns: &[f64],
    first: Option<f64>,
    last: Option<f64>,
) -> Vec<f64> {
    let lengths: Vec<f64> = chords.iter().map(|chord| chord.hypot()).collect();
    let mut rows: Vec<Row> = Vec::with_capacity(chords.len() + 1);
    let turn_at = |k: usize| turns.get(k).copied().unwrap_or(0.0);
    rows.push(match first {
        Some(angle) => Row {
            before: 0.0,
            own: 1.0,
            after: 0.0,
            value: angle,
        },
        None => Row {
            before: 0.0,
            own: 1.0,
            after: 1.0,
            value: -turn_at(0),
        },
    });
    for (k, (d, e)) in lengths.iter().zip(lengths.iter().skip(1)).enumerate() {
        rows.push(Row {
            before: 1.0 / d,
            own: 2.0 / d + 2.0 / e,
            after: 1.0 / e,
            value: -(2.0 * turn_at(k) / d + turn_at(k + 1) / e),
        });
    }
    rows.push(match last {
        Some(angle) => Row {
            before: 0.0,
            own: 1.0,
            after: 0.0,
            value: -angle,
        },
        None => Row {
            before: 1.0,
            own: 1.0,
            after: 0.0,
            value: 0.0,
        },
    });
    let mut angles = solved(&rows);
    // Two points without directions leave the last row without a value: the line between them.
    if chords.len() == 1 && first.is_none() && last.is_none() {
        angles.iter_mut().for_each(|angle| *angle = 0.0);
    }
    keep_between(&mut angles, turns);
    // A free end bends as a circle would: as much at the end as at its neighbour.
    if let (None, [own, next, ..], Some(turned)) = (first, angles.as_mut_slice(), turns.first()) {
        *own = -turned - *next;
    }
    if let (None, [.., before, own]) = (last, angles.as_mut_slice()) {
        *own = -*before;
    }
    angles
}

/// Keeps the direction at each point between the straight lines that meet there; where the row begins or has just ended
/// turning the other way it may cross over them on that side, and the change of bend then falls on the point itself.
fn keep_between(angles: &mut [f64], turns: &[f64]) {
    let solved = angles.to_vec();
    let other_way = |at: Option<usize>, turned: f64| {
        at.and_then(|at| turns.get(at))
            .is_some_and(|t| t * turned < 0.0)
    };
    let mut leans_over_next = false;
    for (k, (angle, turned)) in angles.iter_mut().skip(1).zip(turns).enumerate() {
        let bend = turned.signum();
        // How far the direction leans over the line before, or over the line after; never both.
        let (over_before, over_after) = (-bend * *angle - turned.abs(), bend * *angle);
        let arriving = solved.get(k).copied().unwrap_or(0.0).abs();
        let leaving = solved
            .get(k + 2)
            .zip(turns.get(k + 1))
            .map_or(0.0, |(next, t)| (t + next).abs());
        let crosses = |over: f64, beyond: f64| over > LEAST_LEAN * beyond && over < MOST_LEAN;
        // Two neighbours leaning over the line between them would bend it once too often.
        let before = !leans_over_next
            && other_way(k.checked_sub(1), *turned)
            && crosses(over_before, arriving);
        leans_over_next = other_way(Some(k + 1), *turned) && crosses(over_after, leaving);
        let free = before || leans_over_next;
        if !free {
            let share = if *turned == 0.0 {
                0.0
            } else {
                (-*angle / turned).clamp(LEAST_SHARE, 1.0 - LEAST_SHARE)
            };
            *angle = -turned * share;
        }
    }
}

/// One row of a system in which each unknown touches only its neighbours.
struct Row {
    before: f64,
    own: f64,
    after: f64,
    value: f64,
}

/// Elimination downward, substitution upward.
fn solved(rows: &[Row]) -> Vec<f64> {
    let mut swept: Vec<(f64, f64)> = Vec::with_capacity(rows.len());
    for row in rows {
        let (after, value) = swept.last().copied().unwrap_or((0.0, 0.0));
        let own = row.own - row.before * after;
        let own = if own.abs() < 1e-300 { 1.0 } else { own };
        swept.push((row.after / own, (row.value - row.before * value) / own));
    }
    let mut next = 0.0;
    let mut answers: Vec<f64> = swept
        .iter()
        .rev()
        .map(|(after, value)| {
            next = value - after * next;
            next
        })
        .collect();
    answers.reverse();
    answers
}

/// The cubic over a chord that leaves it by `out` and arrives with the chord turned `into` from its direction. `asked`
/// says that one of the two was asked for rather than solved.
fn piece(p: Point, chord: Vec2, out: f64, into: f64, asked: bool) -> CubicBez {
    let length = chord.hypot();
    let (mut a, mut b) = (
        length * velocity(out, into) / 3.0,
        length * velocity(into, out) / 3.0,
    );
    // Bending one way: stop short of where the two end directions meet. Where a direction asked for at an end leaves no
    // room for that, the curve may bend twice rather than kink.
    let apex = out + into;
    if out * into > 0.0 && apex.abs() < PI {
        let (most_a, most_b) = (
            into.sin().abs() / apex.sin().abs(),
            out.sin().abs() / apex.sin().abs(),
        );
        if !asked || most_a.min(most_b) > LEAST_HANDLE {
            a = a.min(0.95 * length * most_a);
            b = b.min(0.95 * length * most_b);
        }
    }
    let along = unit(chord);
    let turned = |angle: f64| along * angle.cos() + along.turn_90() * angle.sin();
    let q = p + chord;
    CubicBez::new(p, p + turned(out) * a, q - turned(-into) * b, q)
}

/// Hobby's handle length, as three times the share of the chord.
fn velocity(own: f64, other: f64) -> f64 {
    let ((s, c), (so, co)) = (own.sin_cos(), other.sin_cos());
    let five = 5.0_f64.sqrt();
    let above = 2.0 + 2.0_f64.sqrt() * (s - so / 16.0) * (so - s / 16.0) * (c - co);
    let below = 1.0 + 0.5 * (five - 1.0) * c + 0.5 * (3.0 - five) * co;
    (above / below.max(0.1)).clamp(0.1, 6.0)
}

/// The path with the stretch at one end redrawn: it now leaves (or reaches) that end in a new direction and runs into
/// the old line `within` millimetres along it, in the old line's direction there.
///
/// `direction` points along the path as it is walked; at the start, the way it leaves, and at the end, the way it
/// arrives.
pub fn blend(path: &Path, at: End, direction: Vec2, within: f64) -> Result<Path, CurveFault> {
    let length = path.length()?;
    if !(within > super::MEETING && within <= length + super::MEETING) {
        return Err(CurveFault::Stretch {
            wanted: within,
            length,
        });
    }
    if at == End::End {
        return blend(&path.reversed(), End::Start, -direction, within).map(|path| path.reversed());
    }
    let join = path.location_at(within)?;
    let (p, q) = (path.start()?, path.point(join));
    let (u, v) = (unit(direction), path.tangent_at(join));
    if u == Vec2::ZERO {
        return Err(CurveFault::NoDirection);
    }
    let chord = q - p;
    if chord.hypot() < super::MEETING {
        return Err(CurveFault::Stretch {
            wanted: within,
            length,
        });
    }
    let drawn = PathSeg::Cubic(piece(p, chord, turn(chord, u), turn(v, chord), true));
    if (length - within).abs() <= super::MEETING {
        return Ok(Path::from_segs(vec![drawn])?);
    }
    let rest = path.part(join, path.end_location())?;
    Ok(Path::from_segs([&[drawn], rest.segs()].concat())?)
}
