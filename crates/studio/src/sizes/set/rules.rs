//! Grade rules, derived: how far each corner of a piece moves from size to size, right and up, its zero point kept. A draft
//! is drawn anew for each size, so that rules are what came out of it and never what went in; where they are not constant
//! over the set, a step of the measures breaks there, or a construction has jumped.

use super::Set;
use super::stack::{self, Stack};
use super::table::ALIKE;
use kurbo::{Point, Vec2};
use oaktag_language::pattern::Piece;
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

/// A step is a jump where it differs from the middle one by more than this (this project's own figure): no step of a body
/// moves a corner so.
const JUMP: f64 = 8.0;

/// How one corner moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// The name of the piece that has the corner.
    pub piece: String,
    /// The corner: a point's name, or the edges that meet in it.
    pub corner: String,
    /// Where it lies in each size, from the zero point.
    pub places: Vec<Vec2>,
}

/// What a rule does over the set.
#[derive(Clone, Debug, PartialEq)]
pub enum Steadiness {
    /// The same step all through.
    Constant(Vec2),
    /// Steps differ from size to size, none of them much.
    Varies,
    /// One step, to the size of that number, is far from the others.
    Jumps(usize),
}

impl Rule {
    /// From each size to the next.
    pub fn steps(&self) -> Vec<Vec2> {
        let next = self.places.iter().skip(1);
        self.places.iter().zip(next).map(|(a, b)| *b - *a).collect()
    }

    /// What it does over the set.
    pub fn steadiness(&self) -> Steadiness {
        let steps = self.steps();
        let side = |pick: fn(&Vec2) -> f64| {
            let mut sorted: Vec<f64> = steps.iter().map(pick).collect();
            sorted.sort_by(f64::total_cmp);
            let middle = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0);
            let spread = match (sorted.first(), sorted.last()) {
                (Some(low), Some(high)) => high - low,
                _ => 0.0,
            };
            (middle, spread)
        };
        let ((x, wide), (y, high)) = (side(|v| v.x), side(|v| v.y));
        if wide <= ALIKE && high <= ALIKE {
            let sum = steps.iter().fold(Vec2::ZERO, |sum, step| sum + *step);
            return Steadiness::Constant(sum / steps.len().max(1) as f64);
        }
        let jump = steps
            .iter()
            .position(|step| (*step - Vec2::new(x, y)).hypot() > JUMP);
        jump.map_or(Steadiness::Varies, |at| Steadiness::Jumps(at + 1))
    }
}

/// The rules of every piece, and the corners that some size lacks.
pub fn rules(set: &Set, stacks: &[Stack]) -> (Vec<Rule>, Vec<String>) {
    let (mut rules, mut missing) = (Vec::new(), Vec::new());
    let Some(base) = set.base() else {
        return (rules, missing);
    };
    for piece in &base.pattern.pieces {
        for (at, edge) in piece.edges.iter().enumerate() {
            let before = piece
                .edges
                .get((at + piece.edges.len() - 1) % piece.edges.len());
            let Ok(place) = edge.path.start() else {
                continue;
            };
            let between = || {
                let before = before.map_or("", |edge| edge.name.as_str());
                format!("{} and {}", voice::name(before), voice::name(&edge.name))
            };
            let corner = stack::corner_name(&base.pattern, piece, place).unwrap_or_else(between);
            let places: Option<Vec<Vec2>> = set
                .sizes
                .iter()
                .map(|size| {
                    let piece_there = size.pattern.piece(&piece.name)?;
                    let lie = stack::lie(stacks, &size.pattern, piece_there)?.0;
                    let base_lie = stack::lie(stacks, &base.pattern, piece)?.0;
                    let point = start_of(piece_there, &edge.name)?;
                    Some((lie.onto(&base_lie) * point).to_vec2())
                })
                .collect();
            match places {
                Some(places) => rules.push(Rule {
                    piece: piece.name.clone(),
                    corner,
                    places,
                }),
                None => missing.push(format!("{}, {corner}", voice::name(&piece.name))),
            }
        }
    }
    (rules, missing)
}

fn start_of(piece: &Piece, edge: &str) -> Option<Point> {
    piece.edge(edge)?.path.start().ok()
}

/// The rules for people.
pub fn text(set: &Set, stacks: &[Stack], rules: &[Rule]) -> String {
    let Some(base) = set.base() else {
        return String::new();
    };
    let unit = base.pattern.unit;
    let wide = rules
        .iter()
        .map(|rule| rule.corner.chars().count())
        .max()
        .unwrap_or(0);
    let mut text = format!(
        "\nGrade rules: how far each corner moves right and up from size to size, in {}\n",
        unit.words()
    );
    let mut last = "";
    for rule in rules {
        if rule.piece != last {
            last = &rule.piece;
            let piece = base.pattern.piece(&rule.piece);
            let zero = piece.and_then(|piece| stack::lie(stacks, &base.pattern, piece));
            let zero = zero.map_or(String::new(), |(_, words)| format!(", zero at {words}"));
            text.push_str(&format!("  {}{zero}\n", voice::name(&rule.piece)));
        }
        text.push_str(&format!(
            "    {:wide$}  {}\n",
            rule.corner,
            words(set, rule, unit)
        ));
    }
    text
}

fn words(set: &Set, rule: &Rule, unit: LengthUnit) -> String {
    let pair = |step: Vec2| format!("{}, {}", unit.bare(step.x), unit.bare(step.y));
    match rule.steadiness() {
        Steadiness::Constant(step) => pair(step),
        Steadiness::Varies => {
            let steps: Vec<String> = rule.steps().into_iter().map(pair).collect();
            format!("varies: {}", steps.join("; "))
        }
        Steadiness::Jumps(at) => {
            let name = set.sizes.get(at).map_or("", |size| size.name.as_str());
            let steps: Vec<String> = rule.steps().into_iter().map(pair).collect();
            format!("JUMPS at {name}: {}", steps.join("; "))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(places: &[(f64, f64)]) -> Rule {
        Rule {
            piece: "back".into(),
            corner: "underarm".into(),
            places: places.iter().map(|(x, y)| Vec2::new(*x, *y)).collect(),
        }
    }

    #[test]
    fn steady_rules_are_told_from_others() {
        let steady = rule(&[(0.0, 0.0), (10.0, -4.0), (20.1, -8.0)]);
        assert!(
            matches!(steady.steadiness(), Steadiness::Constant(step) if (step.x - 10.05).abs() < 1e-9)
        );
        let breaks = rule(&[(0.0, 0.0), (10.0, 0.0), (20.0, 0.0), (35.0, 0.0)]);
        assert_eq!(breaks.steadiness(), Steadiness::Varies);
        let jumps = rule(&[
            (0.0, 0.0),
            (10.0, 0.0),
            (20.0, 0.0),
            (60.0, 0.0),
            (70.0, 0.0),
        ]);
        assert_eq!(jumps.steadiness(), Steadiness::Jumps(3));
    }
}
