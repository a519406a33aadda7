//! What is to be drafted of a cut cloth: how its cuts are sewn, what each seam says and holds, where each piece lies on its
//! panel. A plan is plain data, so that a failing one can be made smaller.

use crate::cloth::{Cloth, Place, Span};

/// How the pieces of a garment are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// Each once, right side up.
    Once,
    /// Each twice, alike.
    Alike,
    /// Each as a mirrored pair.
    Pairs,
}

/// How the edge at the centre of a half is dealt with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Centre {
    Fold,
    Twin,
    Finished,
}

/// Which starts a seam names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    Nothing,
    First,
    Second,
    Both,
    /// Both, and the second wrongly.
    Wrong,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    Notch(&'static str),
    Meets,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    Ease,
    Gather,
    Stretch,
}

/// The figure of an ease, a gather or a stretch as it is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Said {
    Length(f64),
    Lengths(f64, f64),
    /// Of the partner, 0.03 for `3%`.
    Share(f64),
    Shares(f64, f64),
    /// Of the partner, 1.5 for one and a half to one.
    Ratio(f64),
    Ratios(f64, f64),
}

/// An ease, a gather or a stretch: what is said, and what is there.
#[derive(Clone, Debug)]
pub struct Ease {
    pub act: Act,
    /// The side of which it is said.
    pub side: usize,
    /// The part of the seam where it may lie.
    pub part: (f64, f64),
    pub said: Said,
    pub between: bool,
    /// `between` names its ends by lengths from the edge's end.
    pub by_length: bool,
    /// The side that is longer, the places where, and by how much.
    pub longer: usize,
    pub spots: Vec<(f64, f64)>,
}

/// What a seam says or holds. Places are lengths along the uncut seam.
#[derive(Clone, Debug)]
pub enum Item {
    /// A point on each side.
    Pair {
        at: [f64; 2],
        how: How,
    },
    /// `notch … at LENGTH from P`, P an end of a side.
    Far {
        at: f64,
        side: usize,
        high: bool,
        form: &'static str,
    },
    /// A point on one side, carried to the other.
    One {
        at: f64,
        side: usize,
        form: &'static str,
    },
    Joints,
    Ease(Ease),
    /// `off` is how much longer one leg is.
    Dart {
        side: usize,
        at: f64,
        width: f64,
        depth: f64,
        off: f64,
    },
    /// `off` is how far the second fold lies beyond its place.
    Pleat {
        side: usize,
        at: f64,
        width: f64,
        inside: bool,
        off: f64,
    },
    Over {
        side: usize,
        at: f64,
        width: f64,
        said: bool,
    },
    /// The edge of one side runs on beyond the seam's end; `off` is how far the point named lies from it.
    Until {
        side: usize,
        high: bool,
        extra: f64,
        off: f64,
    },
    Open {
        side: usize,
        part: (f64, f64),
    },
    Tolerance(f64),
    /// A difference that no sentence states.
    Longer {
        side: usize,
        at: f64,
        by: f64,
    },
    /// An edge of a side that is not named.
    LeftOut {
        side: usize,
        edge: usize,
    },
}

/// A seam.
#[derive(Clone, Debug)]
pub struct Seam {
    /// The lines it runs along, in order.
    pub legs: Vec<Span>,
    /// The lines of its right side, where that lies elsewhere on the cloth: edges that make it a tube.
    pub other: Option<Vec<Span>>,
    /// The face whose centre edge it joins to its own twin.
    pub twin: Option<usize>,
    /// The side right of its way is named first.
    pub turned: bool,
    /// `from` names its far end.
    pub high: bool,
    pub from: From,
    /// Chance for the order in which edges are written.
    pub order: u64,
    /// Where a side's edge is broken into two.
    pub breaks: [Vec<f64>; 2],
    pub items: Vec<Item>,
}

impl Seam {
    /// The lines of a side.
    pub fn legs_of(&self, side: usize) -> &[Span] {
        match &self.other {
            Some(other) if side == 1 => other,
            _ => &self.legs,
        }
    }

    pub fn length(&self) -> f64 {
        self.legs.iter().map(Span::length).sum()
    }

    /// The place at a length along it; where legs meet, on the later leg or, seen from below, the earlier.
    pub fn place(&self, side: usize, at: f64, below: bool) -> (usize, Place) {
        let mut before = 0.0;
        for (n, leg) in self.legs_of(side).iter().enumerate() {
            let long = leg.length();
            let last = n + 1 == self.legs.len();
            let within = if below {
                at <= before + long + 1e-6
            } else {
                at < before + long - 1e-6
            };
            if within || last {
                let on = (at - before).clamp(0.0, long);
                return (n, (leg.line, leg.from + on * (leg.to - leg.from).signum()));
            }
            before += long;
        }
        unreachable!("a seam has legs")
    }

    /// The length along it of a place on one of its legs.
    pub fn base(&self, side: usize, leg: usize, s: f64) -> f64 {
        let legs = self.legs_of(side);
        let before: f64 = legs[..leg].iter().map(Span::length).sum();
        before + (s - legs[leg].from).abs()
    }

    /// Differences of length on a side: where, and how much.
    pub fn added(&self, side: usize) -> Vec<(f64, f64)> {
        let mut found = Vec::new();
        for item in &self.items {
            match item {
                Item::Ease(ease) if ease.longer == side => found.extend(&ease.spots),
                Item::Longer { side: on, at, by } if *on == side => found.push((*at, *by)),
                _ => {}
            }
        }
        found
    }

    /// Those, and what a fold or an end that lies astray takes from a side.
    fn differs(&self, side: usize) -> Vec<(f64, f64)> {
        let mut found = self.added(side);
        for item in &self.items {
            match *item {
                Item::Pleat {
                    side: on, at, off, ..
                } if on == side => found.push((at + off / 2.0, -off)),
                Item::Until {
                    side: on,
                    high,
                    off,
                    ..
                } if on == side => {
                    found.push((
                        if high {
                            self.length() - off / 2.0
                        } else {
                            off / 2.0
                        },
                        -off,
                    ));
                }
                _ => {}
            }
        }
        found
    }

    /// How far along a side a place of it lies, from the low end.
    pub fn position(&self, side: usize, at: f64) -> f64 {
        let added = self.differs(side);
        at + added
            .iter()
            .filter(|(spot, _)| *spot < at)
            .map(|(_, by)| by)
            .sum::<f64>()
    }

    pub fn tolerance(&self) -> f64 {
        let said = self.items.iter().find_map(|item| match item {
            Item::Tolerance(width) => Some(*width),
            _ => None,
        });
        said.unwrap_or(0.5)
    }
}

/// How a face becomes a piece on its panel.
#[derive(Clone, Debug)]
pub struct Lay {
    /// The face on whose panel it is drawn, in its place on the cloth; its own, where it has a panel to itself.
    pub on: usize,
    pub turn: f64,
    pub at: (f64, f64),
    pub mirrored: bool,
    pub centre: Centre,
    /// A pleat at the centre, of a piece on the fold: how wide.
    pub pleat: Option<f64>,
    /// Which edge the outline names first, and whether it goes clockwise.
    pub begin: usize,
    pub backward: bool,
    /// Chance for the way each line is drawn.
    pub drawn: u64,
}

/// The words of a finish.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// No `finish` at all.
    Missing,
    /// `finish` without words.
    Bare,
    Said(&'static str),
}

/// A garment.
#[derive(Clone, Debug)]
pub struct Plan {
    pub cloth: Cloth,
    pub cut: Cut,
    pub seams: Vec<Seam>,
    pub lays: Vec<Lay>,
    /// By face and line.
    pub words: Vec<Vec<Words>>,
    pub scale: f64,
    /// What was changed after it was made true.
    pub change: Option<Change>,
}

/// A fault that was planted, or a lawful change.
#[derive(Clone, Debug)]
pub struct Change {
    pub what: &'static str,
    pub lawful: bool,
    /// The plan's own figures show it.
    pub measured: bool,
    pub seam: usize,
    /// The face it concerns, where it is no matter of lengths.
    pub face: Option<usize>,
}

impl Plan {
    /// Which face lies on a side (0 left, 1 right) of a leg at a place, and which of its spans.
    pub fn face_at(&self, leg: &Span, side: usize, s: f64) -> Option<(usize, usize)> {
        let way = (leg.to - leg.from).signum() * if side == 0 { 1.0 } else { -1.0 };
        for (face, spans) in self.cloth.faces.iter().enumerate() {
            for (n, span) in spans.iter().enumerate() {
                let same = span.line == leg.line && (span.to - span.from).signum() == way;
                if same && span.has(s) {
                    return Some((face, n));
                }
            }
        }
        None
    }

    /// Places along a seam where the faces of a side change, ends left out.
    pub fn joints(&self, seam: &Seam, side: usize) -> Vec<f64> {
        let mut found: Vec<f64> = Vec::new();
        let sides = if seam.twin.is_some() { 0 } else { side };
        for (n, leg) in seam.legs_of(sides).iter().enumerate() {
            if n > 0 {
                found.push(seam.base(sides, n, leg.from));
            }
            let way = (leg.to - leg.from).signum() * if sides == 0 { 1.0 } else { -1.0 };
            let whole = Span { ..*leg };
            for span in self.cloth.faces.iter().flatten() {
                if span.line == leg.line && (span.to - span.from).signum() == way {
                    for s in [span.from, span.to] {
                        if whole.has(s) {
                            found.push(seam.base(sides, n, s));
                        }
                    }
                }
            }
        }
        found.sort_by(f64::total_cmp);
        found.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        found
    }

    /// Joints and breaks of a side together.
    pub fn stops(&self, seam: &Seam, side: usize) -> Vec<f64> {
        let mut found = self.joints(seam, side);
        let on = if seam.twin.is_some() { 0 } else { side };
        found.extend(&seam.breaks[on]);
        for item in &seam.items {
            match item {
                Item::Dart {
                    side: at_side, at, ..
                }
                | Item::Over {
                    side: at_side, at, ..
                }
                | Item::Pleat {
                    side: at_side,
                    at,
                    inside: false,
                    ..
                } if *at_side == side => {
                    found.push(*at);
                }
                _ => {}
            }
        }
        found.sort_by(f64::total_cmp);
        found.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        found
    }

    /// Sharp turns along a seam, where its legs meet among them, and by how much.
    pub fn corners(&self, seam: &Seam) -> Vec<(f64, f64)> {
        let mut found = Vec::new();
        for (n, leg) in seam.legs.iter().enumerate() {
            let line = &self.cloth.lines[leg.line];
            for (s, turn) in line.corners() {
                if leg.has(s) {
                    found.push((seam.base(0, n, s), turn));
                }
            }
            if n > 0 {
                let before = &seam.legs[n - 1];
                let way = |leg: &Span, s: f64| {
                    self.cloth.lines[leg.line].way(s) * (leg.to - leg.from).signum()
                };
                let turn = crate::line::angle(way(before, before.to), way(leg, leg.from));
                found.push((seam.base(0, n, leg.from), turn));
            }
        }
        found
    }
}
