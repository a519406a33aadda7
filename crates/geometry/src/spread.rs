//! Slashing a part and spreading it: cuts that hinge at one end, or open evenly, dividing the part into pieces that
//! each get one rigid move.
//!
//! Cuts are given in order from the piece that stays; each carries everything beyond it along.

use super::MEETING;
use super::angle::Angle;
use super::fold::parts_between;
use super::moves::{MoveFault, opening};
use super::path::{Path, PathFault};
use super::segment::unit;
use kurbo::{Affine, Point, Vec2};

/// How far a slash opens. Positive opens, negative closes (overlaps).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// Turned about the hinge so that the mouth is this wide, in millimetres, at the slash's open end.
    Mouth(f64),
    /// Turned about the hinge by this angle.
    Turn(Angle),
    /// Moved apart evenly by this width, square to the slash, in millimetres.
    Even(f64),
}

/// A straight cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slash {
    /// The end that stays closed, if it turns.
    pub hinge: Point,
    /// The end that opens.
    pub mouth: Point,
    /// How far.
    pub spread: Spread,
}

/// A part slashed and spread.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadPart {
    cuts: Vec<Cut>,
    moves: Vec<Affine>,
}

#[derive(Clone, Debug, PartialEq)]
struct Cut {
    line: Path,
    from: Point,
    along: Vec2,
    /// Whether the pieces beyond lie to the left of hinge → mouth.
    beyond_left: bool,
}

/// Prepares slashes for a part of which the piece at `fixed` stays where it is.
pub fn spread(slashes: &[Slash], fixed: Point) -> Result<SpreadPart, MoveFault> {
    let mut part = SpreadPart {
        cuts: Vec::with_capacity(slashes.len()),
        moves: vec![Affine::IDENTITY],
    };
    for slash in slashes {
        let along = unit(slash.mouth - slash.hinge);
        if (slash.mouth - slash.hinge).hypot() < MEETING {
            return Err(MoveFault::NoDirection { at: slash.hinge });
        }
        let side = along.cross(fixed - slash.hinge);
        if side.abs() < MEETING {
            return Err(MoveFault::NoDirection { at: fixed });
        }
        let beyond_left = side < 0.0;
        // Opening turns what lies to the left anticlockwise.
        let sense = if beyond_left { -1.0 } else { 1.0 };
        let own = match slash.spread {
            Spread::Mouth(width) => {
                let angle = opening(width.abs(), slash.mouth, slash.hinge)?;
                (angle * (sense * width.signum())).about(slash.hinge)
            }
            Spread::Turn(angle) => (angle * sense).about(slash.hinge),
            Spread::Even(width) => Affine::translate(along.turn_90() * (-sense * width)),
        };
        let before = part.moves.last().copied().unwrap_or(Affine::IDENTITY);
        part.moves.push(before * own);
        let line = Path::endless(slash.hinge, along)?;
        part.cuts.push(Cut {
            line,
            from: slash.hinge,
            along,
            beyond_left,
        });
    }
    Ok(part)
}

impl SpreadPart {
    /// The move of each piece, from the one that stays.
    pub fn moves(&self) -> &[Affine] {
        &self.moves
    }

    /// Which piece a point belongs to: how many cuts it lies beyond. On a cut it belongs to the piece before.
    pub fn piece_of(&self, p: Point) -> usize {
        let beyond = |cut: &Cut| {
            let side = cut.along.cross(p - cut.from);
            if cut.beyond_left {
                side > MEETING
            } else {
                side < -MEETING
            }
        };
        self.cuts.iter().take_while(|cut| beyond(cut)).count()
    }

    /// A point moved with its piece.
    pub fn point(&self, p: Point) -> Point {
        self.moves.get(self.piece_of(p)).map_or(p, |by| *by * p)
    }

    /// A path cut at the slashes, each part moved with its piece, in order along the path.
    pub fn path(&self, path: &Path) -> Result<Vec<(usize, Path)>, PathFault> {
        let mut parts = vec![path.clone()];
        for cut in &self.cuts {
            let mut divided = Vec::with_capacity(parts.len() + 1);
            for part in &parts {
                divided.extend(parts_between(part, &cut.line)?);
            }
            parts = divided;
        }
        let mut moved: Vec<(usize, Path)> = Vec::with_capacity(parts.len());
        for part in parts {
            let piece = self.piece_of(part.point_at(0.5 * part.length()?)?);
            let by = self.moves.get(piece).copied().unwrap_or(Affine::IDENTITY);
            let part = part.transformed(by);
            match moved.last_mut() {
                Some((last, path)) if *last == piece && ends_at(path, &part) => {
                    *path = Path::joined(&[path.clone(), part])?;
                }
                _ => moved.push((piece, part)),
            }
        }
        Ok(moved)
    }
}

fn ends_at(path: &Path, next: &Path) -> bool {
    matches!((path.end(), next.start()), (Ok(end), Ok(start)) if (start - end).hypot() <= MEETING)
}
