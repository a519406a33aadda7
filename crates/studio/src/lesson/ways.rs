//! Ways and distances as they are said: "2 cm down, then 1 cm to the right", "square to the hem", "19° below the level".

use super::angles;
use super::speech::{Speech, dotted, unbracketed};
use oaktag_language::phrase::Value;
use oaktag_language::syntax::tree::{Bearing, DirectionWord, Displacement, Expr, ExprKind, Far};
use oaktag_language::voice;

impl Speech<'_> {
    /// Legs of a way; empty where none of them goes anywhere.
    pub(super) fn legs(&self, moves: &[Displacement], act: bool) -> String {
        let moves: Vec<&Displacement> = moves.iter().filter(|leg| !self.is_void(leg)).collect();
        let legs: Vec<String> = moves
            .iter()
            .map(|leg| {
                let way = direction(leg.direction);
                match &leg.far {
                    Far::By(length) => match self.value(length) {
                        // Less than nothing to the right is so much to the left.
                        Some((figure, kind)) if figure < 0.0 => format!(
                            "{} {} ({})",
                            self.printed(-figure, &kind),
                            direction(opposite(leg.direction)),
                            self.formula(length)
                        ),
                        _ => format!("{} {way}", self.figure(length)),
                    },
                    Far::Until(target) => format!("{way} until {}", self.noun(target)),
                    Far::LevelOf(target) => format!("{way} until level with {}", self.noun(target)),
                }
            })
            .collect();
        let measured = moves
            .first()
            .is_some_and(|leg| matches!(leg.far, Far::By(_)));
        let said = if moves.len() > 1 {
            legs.join(", then ")
        } else {
            voice::list(&legs)
        };
        match (act && !moves.is_empty(), measured) {
            (true, true) => format!("measure {said}"),
            (true, false) => format!("go {said}"),
            (false, _) => said,
        }
    }

    /// Whether a leg is of no length.
    fn is_void(&self, leg: &Displacement) -> bool {
        match &leg.far {
            Far::By(length) => self.is_nothing(length),
            Far::Until(_) | Far::LevelOf(_) => false,
        }
    }

    /// Whether a length is none.
    pub(super) fn is_nothing(&self, length: &Expr) -> bool {
        let figure = self.value(length);
        figure.is_some_and(|(figure, _)| figure.abs() < super::places::SAME)
    }

    /// A way by itself: "the right", "square to the hem".
    pub(super) fn way(&self, expr: &Expr) -> String {
        match &unbracketed(expr).kind {
            ExprKind::Direction(word) => format!("the {}", side(*word)),
            ExprKind::Bearing(Bearing::Along(line)) => format!("along {}", self.noun(line)),
            ExprKind::Bearing(Bearing::SquareTo(line, toward)) => {
                let toward = toward
                    .as_ref()
                    .map_or(String::new(), |to| format!(", toward {}", self.way(to)));
                format!("square to {}{toward}", self.noun(line))
            }
            ExprKind::Bearing(Bearing::Leaning {
                angle, below, from, ..
            }) => {
                let (figure, degrees) = (self.figure(angle), self.value(angle));
                let (words, falls) = match (from, below) {
                    (DirectionWord::Left | DirectionWord::Right, true) => {
                        (format!("below the level, to the {}", side(*from)), "down")
                    }
                    (DirectionWord::Left | DirectionWord::Right, false) => {
                        (format!("above the level, to the {}", side(*from)), "up")
                    }
                    // Below turns clockwise, as seen on the paper.
                    _ => {
                        let to_left = (*from == DirectionWord::Down) == *below;
                        let aside = direction(if to_left {
                            DirectionWord::Left
                        } else {
                            DirectionWord::Right
                        });
                        (format!("{aside} of straight {}", direction(*from)), aside)
                    }
                };
                // What a ruler does: so far down, or aside, in a round length.
                let slope =
                    degrees.and_then(|(degrees, _)| angles::slope(self.unit, degrees, falls));
                let slope = slope.map_or(String::new(), |slope| format!(" ({slope})"));
                format!("{figure} {words}{slope}")
            }
            _ => self.noun(expr),
        }
    }

    /// A way taken: "toward the right", but "square to the hem", "19° below the level".
    pub(super) fn toward(&self, expr: &Expr) -> String {
        let way = self.way(expr);
        if let ExprKind::Name(name) = &unbracketed(expr).kind
            && let Some((Value::Direction(_), _)) = self.read(&dotted(name))
        {
            let name = name.words.last().map_or("", |word| &word.text);
            return format!("in the direction {}", voice::own_name(name));
        }
        match &unbracketed(expr).kind {
            ExprKind::Bearing(_) => way,
            ExprKind::Direction(DirectionWord::Up) => "straight up".to_owned(),
            ExprKind::Direction(DirectionWord::Down) => "straight down".to_owned(),
            ExprKind::Direction(word) => direction(*word).to_owned(),
            _ => match way.strip_prefix("the way ") {
                Some(rest) => format!("in the direction {rest}"),
                None => format!("toward {way}"),
            },
        }
    }

    /// The way a curve goes at its end: "downward", "square to the shoulder".
    pub(super) fn arriving(&self, way: &Expr) -> String {
        match &unbracketed(way).kind {
            ExprKind::Direction(word) => direction(*word).to_owned(),
            ExprKind::Bearing(_) => self.way(way),
            _ => format!("toward {}", self.way(way)).replace("toward the way", "the way"),
        }
    }
}

pub(super) fn sense(clockwise: bool) -> &'static str {
    if clockwise {
        "clockwise"
    } else {
        "anticlockwise"
    }
}

pub(super) fn direction(word: DirectionWord) -> &'static str {
    match word {
        DirectionWord::Up => "up",
        DirectionWord::Down => "down",
        DirectionWord::Left => "to the left",
        DirectionWord::Right => "to the right",
        DirectionWord::Inside => "inside",
        DirectionWord::Outside => "outside",
        DirectionWord::Clockwise => "clockwise",
        DirectionWord::Anticlockwise => "anticlockwise",
    }
}

pub(super) fn side(word: DirectionWord) -> &'static str {
    match word {
        DirectionWord::Up => "upper side",
        DirectionWord::Down => "lower side",
        DirectionWord::Left => "left",
        DirectionWord::Right => "right",
        DirectionWord::Inside => "inside",
        DirectionWord::Outside => "outside",
        DirectionWord::Clockwise => "clockwise side",
        DirectionWord::Anticlockwise => "anticlockwise side",
    }
}

pub(super) fn opposite(word: DirectionWord) -> DirectionWord {
    match word {
        DirectionWord::Up => DirectionWord::Down,
        DirectionWord::Down => DirectionWord::Up,
        DirectionWord::Left => DirectionWord::Right,
        DirectionWord::Right => DirectionWord::Left,
        other => other,
    }
}
