//! Where the sizes of a piece are laid on each other: a point that stays where it is (the zero point of the rules), and a
//! line whose direction stays, where one is named. Without a word each piece lies on the corner where its outline begins.

use super::Set;
use kurbo::{Affine, Point, Vec2};
use oaktag_language::pattern::spec::Value;
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_language::voice;

/// `POINT` or `POINT,LINE`, by full names or beginning with the piece's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stack {
    point: String,
    line: Option<String>,
}

impl std::str::FromStr for Stack {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let (point, line) = match typed.split_once(',') {
            Some((point, line)) => (point.trim(), Some(line.trim().to_owned())),
            None => (typed.trim(), None),
        };
        if point.is_empty() || line.as_deref() == Some("") {
            return Err("write a point, or a point and a line: back.underarm,back.centre".into());
        }
        Ok(Self {
            point: point.to_owned(),
            line,
        })
    }
}

/// How one piece of one size lies: its zero point, and the direction that is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lie {
    /// The point all sizes share.
    pub zero: Point,
    /// A unit direction all sizes share; none leaves the sheet's own.
    pub along: Option<Vec2>,
}

impl Lie {
    /// From the piece's sheet to one on which the zero point is the origin and the direction that of the base size.
    pub fn onto(&self, base: &Self) -> Affine {
        let turn = match (self.along, base.along) {
            (Some(own), Some(base)) => base.atan2() - own.atan2(),
            _ => 0.0,
        };
        Affine::rotate(turn) * Affine::translate(-self.zero.to_vec2())
    }
}

/// A point, line or curve by its full name, or by the piece's name and its member's.
fn value<'a>(pattern: &'a Pattern, piece: &Piece, name: &str) -> Option<&'a Value> {
    let member = name
        .strip_prefix(&piece.name)
        .and_then(|rest| rest.strip_prefix('.'));
    let of_piece = member.map(|member| format!("{}.{member}", piece.panel));
    let known = |wanted: &str| pattern.values.iter().find(|value| value.name == wanted);
    let found = of_piece.as_deref().and_then(known).or_else(|| {
        // A full name is for the pieces of that panel alone.
        let (panel, _) = name.rsplit_once('.')?;
        (panel == piece.panel).then(|| known(name)).flatten()
    });
    found.map(|found| &found.value)
}

impl Stack {
    /// How a piece lies by this, where it is meant for that piece.
    fn of(&self, pattern: &Pattern, piece: &Piece) -> Option<Lie> {
        let Value::Point(zero) = value(pattern, piece, &self.point)? else {
            return None;
        };
        let along = match &self.line {
            None => None,
            Some(line) => match value(pattern, piece, line)? {
                Value::Line(path) | Value::Curve(path) => {
                    let way = match path.direction_of_straight() {
                        Some(way) => way,
                        None => path.end().ok()? - path.start().ok()?,
                    };
                    (way.hypot() > 1e-9).then(|| way.normalize())
                }
                _ => None,
            },
        };
        (self.line.is_none() || along.is_some()).then_some(Lie { zero: *zero, along })
    }
}

/// How a piece of a size lies, and on what, in words.
pub fn lie(stacks: &[Stack], pattern: &Pattern, piece: &Piece) -> Option<(Lie, String)> {
    let said = stacks.iter().find_map(|stack| {
        let lie = stack.of(pattern, piece)?;
        let words = match &stack.line {
            Some(line) => format!(
                "{} along {}",
                voice::letters(&stack.point),
                voice::letters(line)
            ),
            None => voice::letters(&stack.point),
        };
        Some((lie, words))
    });
    said.or_else(|| {
        let first = piece.edges.first()?;
        let zero = first.path.start().ok()?;
        let words = format!("the start of {}", voice::letters(&first.name));
        Some((
            Lie { zero, along: None },
            corner_name(pattern, piece, zero).unwrap_or(words),
        ))
    })
}

/// Words of the command line that mean no piece of the base size.
pub fn unknown<'a>(stacks: &'a [Stack], set: &Set) -> Option<&'a str> {
    let base = set.base()?;
    let meant = |stack: &&Stack| {
        let pieces = base.pattern.pieces.iter();
        pieces
            .clone()
            .any(|piece| stack.of(&base.pattern, piece).is_some())
    };
    stacks
        .iter()
        .find(|stack| !meant(stack))
        .map(|stack| stack.point.as_str())
}

/// How near a point lies to a corner that has its name.
const NEAR: f64 = 0.01;

/// What the draft calls a place of a piece.
pub(crate) fn corner_name(pattern: &Pattern, piece: &Piece, at: Point) -> Option<String> {
    pattern.values.iter().find_map(|value| {
        let (panel, member) = value.name.rsplit_once('.').unwrap_or(("", &value.name));
        match &value.value {
            Value::Point(point) if panel == piece.panel && (*point - at).hypot() <= NEAR => {
                Some(voice::letters(member))
            }
            _ => None,
        }
    })
}
