//! Phrases of the language as a teacher says them. A form that reads well as it is written is said so, word by word; the
//! others have a wording of their own here, one as a thing ("the point half way from a to b") and one as an act ("from a,
//! go half of the way to b").

use super::speech::{Speech, dotted, row, spoken, the, unbracketed};
use crate::kind::Kind;
use crate::phrase::Table;
use crate::syntax::tree::{
    Bearing, DirectionWord, Displacement, Expr, ExprKind, Far, Lead, Link, Phrase, Setting,
};

/// A phrase with its head settled.
struct Said<'e> {
    head: String,
    direct: Vec<&'e Expr>,
    clauses: Vec<(Link, Vec<&'e Expr>)>,
    options: &'e [Setting],
}

impl<'e> Said<'e> {
    fn all(&self, link: Link) -> Option<&[&'e Expr]> {
        self.clauses
            .iter()
            .find(|(of, _)| *of == link)
            .map(|(_, all)| all.as_slice())
    }

    fn one(&self, link: Link) -> Option<&'e Expr> {
        self.all(link)?.first().copied()
    }
}

impl Speech<'_> {
    /// What a value is, as a thing.
    pub fn noun(&self, expr: &Expr) -> String {
        match &expr.kind {
            ExprKind::Name(name) => the(&dotted(name)),
            ExprKind::Origin => "the starting point of the sheet".to_owned(),
            ExprKind::Bracketed(inner) => self.noun(inner),
            ExprKind::Displaced { from, moves } => {
                let (legs, from) = (self.legs(moves, false), self.noun(from));
                match moves.first().map(|leg| &leg.far) {
                    Some(Far::Until(_)) => format!("the point reached from {from} {legs}"),
                    _ => format!("the point {legs} from {from}"),
                }
            }
            ExprKind::Of { head, operand } => {
                format!("the {} of {}", spoken(&head.text), self.noun(operand))
            }
            ExprKind::Direction(_) | ExprKind::Bearing(_) => self.way(expr),
            ExprKind::List(items) => {
                row(&items.iter().map(|item| self.noun(item)).collect::<Vec<_>>())
            }
            ExprKind::Phrase(phrase) => {
                let said = self.settled(phrase);
                self.thing(&said).unwrap_or_else(|| self.as_written(&said))
            }
            ExprKind::Each(_) => "one for each".to_owned(),
            ExprKind::Text(_) | ExprKind::Answer(_) => self.sources.slice(expr.span).to_owned(),
            ExprKind::Turn { .. }
            | ExprKind::Figure { .. }
            | ExprKind::Sum { .. }
            | ExprKind::Negative(_) => self.figure(expr),
            _ => self.sources.slice(expr.span).replace('_', " "),
        }
    }

    /// What to do for a value; it begins with a small letter and has no full stop.
    pub fn act(&self, expr: &Expr) -> String {
        let expr = unbracketed(expr);
        match &expr.kind {
            ExprKind::Displaced { from, moves } => {
                format!("from {}, {}", self.noun(from), self.legs(moves, true))
            }
            ExprKind::Phrase(phrase) => {
                let said = self.settled(phrase);
                self.doing(&said)
                    .or_else(|| self.thing(&said))
                    .unwrap_or_else(|| self.as_written(&said))
            }
            _ => self.noun(expr),
        }
    }

    /// The head of a phrase, or none: `pivot`.
    pub fn head_of(&self, expr: &Expr) -> String {
        match &unbracketed(expr).kind {
            ExprKind::Phrase(phrase) => self.settled(phrase).head,
            ExprKind::Of { head, .. } => head.text.to_string(),
            _ => String::new(),
        }
    }

    fn legs(&self, moves: &[Displacement], act: bool) -> String {
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
                }
            })
            .collect();
        let measured = moves
            .first()
            .is_some_and(|leg| matches!(leg.far, Far::By(_)));
        let said = if moves.len() > 1 {
            legs.join(", then ")
        } else {
            row(&legs)
        };
        match (act, measured) {
            (true, true) => format!("measure {said}"),
            (true, false) => format!("go {said}"),
            (false, _) => said,
        }
    }

    /// A direction.
    pub fn way(&self, expr: &Expr) -> String {
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
                let level = matches!(from, DirectionWord::Left | DirectionWord::Right);
                let word = if *below { "below" } else { "above" };
                let of = if level { "the level" } else { "the plumb line" };
                format!("{} {word} {of}, to the {}", self.figure(angle), side(*from))
            }
            _ => self.noun(expr),
        }
    }

    /// A way taken: "toward the right", but "square to the hem", "19° below the level".
    fn toward(&self, expr: &Expr) -> String {
        let way = self.way(expr);
        match &unbracketed(expr).kind {
            ExprKind::Bearing(_) => way,
            ExprKind::Direction(DirectionWord::Up) => "straight up".to_owned(),
            ExprKind::Direction(DirectionWord::Down) => "straight down".to_owned(),
            ExprKind::Direction(word) => direction(*word).to_owned(),
            _ => format!("toward {way}"),
        }
    }

    fn settled<'e>(&self, phrase: &'e Phrase) -> Said<'e> {
        let mut clauses: Vec<(Link, Vec<&Expr>)> = phrase
            .clauses
            .iter()
            .map(|clause| (clause.link, clause.arguments.iter().collect()))
            .collect();
        let (head, direct) = match &phrase.lead {
            Lead::Nothing => (String::new(), Vec::new()),
            Lead::Head { word, direct } => (word.text.to_string(), direct.iter().collect()),
            Lead::Value(value) => match &value.kind {
                ExprKind::Name(name) if name.words.len() == 1 && self.is_head(&dotted(name)) => {
                    (dotted(name), Vec::new())
                }
                ExprKind::Of { head, operand } if self.is_loose(&head.text) => {
                    clauses.insert(0, (Link::Of, vec![operand]));
                    (head.text.to_string(), Vec::new())
                }
                _ => (String::new(), vec![value]),
            },
        };
        Said {
            head,
            direct,
            clauses,
            options: &phrase.options,
        }
    }

    fn is_head(&self, word: &str) -> bool {
        Table::built_in().is_head(word)
            || self
                .program
                .operations
                .iter()
                .any(|one| one.form.head.as_deref() == Some(word))
    }

    fn is_loose(&self, head: &str) -> bool {
        Table::built_in()
            .with_head(head)
            .any(|(_, form)| !form.tight)
            || self
                .program
                .operations
                .iter()
                .any(|one| one.form.head.as_deref() == Some(head))
    }

    /// Word by word as the draft has it, names and figures spoken.
    fn as_written(&self, said: &Said<'_>) -> String {
        let mut words = Vec::new();
        if !said.head.is_empty() {
            words.push(spoken(&said.head));
        }
        if !said.direct.is_empty() {
            words.push(self.arguments(&said.direct));
        }
        for (link, arguments) in &said.clauses {
            let spoken = match link {
                Link::Toward | Link::Leaving | Link::Arriving => {
                    let ways: Vec<String> = arguments.iter().map(|way| self.way(way)).collect();
                    format!("{} {}", link.word(), row(&ways))
                }
                _ => format!("{} {}", link.word(), self.arguments(arguments)),
            };
            words.push(spoken);
        }
        format!("{}{}", words.join(" "), self.options(said))
    }

    fn arguments(&self, arguments: &[&Expr]) -> String {
        let said: Vec<String> = arguments
            .iter()
            .map(|one| {
                if self.value(one).is_some() {
                    self.figure(one)
                } else {
                    self.noun(one)
                }
            })
            .collect();
        row(&said)
    }

    fn options(&self, said: &Said<'_>) -> String {
        let options: Vec<String> = said
            .options
            .iter()
            .map(|option| {
                let value = match &option.value.kind {
                    ExprKind::List(items) => row(&items
                        .iter()
                        .map(|item| self.figure(item))
                        .collect::<Vec<_>>()),
                    ExprKind::Text(_) | ExprKind::Answer(_) => {
                        self.sources.slice(option.value.span).to_owned()
                    }
                    _ if self.value(&option.value).is_some() => self.figure(&option.value),
                    _ => self.noun(&option.value),
                };
                format!("{} {value}", spoken(&option.name.text))
            })
            .collect();
        if options.is_empty() {
            String::new()
        } else {
            format!(", with {}", row(&options))
        }
    }

    /// A phrase as a thing, where the written words need help.
    fn thing(&self, said: &Said<'_>) -> Option<String> {
        let at = |link: Link| said.one(link).map(|one| self.noun(one));
        let direct = said.direct.first().copied();
        let near = at(Link::Near).map_or(String::new(), |near| format!(", the one near {near}"));
        Some(match said.head.as_str() {
            "" => match (direct, at(Link::Along)) {
                (Some(share), Some(along)) => {
                    let from = at(Link::From).map_or(String::new(), |from| format!(" from {from}"));
                    format!("the point {} along {along}{from}", self.share(share))
                }
                (Some(far), None) => match at(Link::To) {
                    Some(to) => format!(
                        "the point {} of the way from {} to {to}",
                        self.figure(far),
                        at(Link::From)?
                    ),
                    None => format!(
                        "the point {} from {} {}",
                        self.figure(far),
                        at(Link::From)?,
                        self.toward(said.one(Link::Toward)?)
                    ),
                },
                (None, _) => self.line(said, "the")?,
            },
            "where" => format!(
                "where {} meets {}{near}",
                self.noun(direct?),
                at(Link::Meets)?
            ),
            "foot" => format!(
                "the foot of the square from {} onto {}",
                at(Link::From)?,
                at(Link::Onto)?
            ),
            "nearest" => format!(
                "the point of {} nearest to {}",
                at(Link::On)?,
                at(Link::To)?
            ),
            "nearest_end" => format!("the end of {} nearer to {}", at(Link::Of)?, at(Link::To)?),
            "square" => match at(Link::From) {
                Some(from) => format!("the square from {from} onto {}", at(Link::Onto)?),
                None => format!(
                    "the square to {} at {}{}",
                    at(Link::To)?,
                    at(Link::At)?,
                    self.reach(said)?
                ),
            },
            "parallel" => match said.one(Link::By) {
                Some(by) => format!(
                    "the parallel to {} at {} {}",
                    at(Link::To)?,
                    self.figure(by),
                    self.toward(said.one(Link::Toward)?)
                ),
                None => format!(
                    "the parallel to {} through {}",
                    at(Link::To)?,
                    at(Link::At)?
                ),
            },
            "part" => format!(
                "the part of {} from {} {}",
                at(Link::Of)?,
                at(Link::From)?,
                match at(Link::To) {
                    Some(to) => format!("to {to}"),
                    None => format!("toward {}", at(Link::Toward)?),
                }
            ),
            "distance" | "rise" | "run" => format!(
                "the {} from {} to {}",
                said.head,
                at(Link::From)?,
                at(Link::To)?
            ),
            "direction" => format!(
                "the way {}",
                match at(Link::Of) {
                    Some(of) => format!("{of} runs at {}", at(Link::At)?),
                    None => format!("from {} to {}", at(Link::From)?, at(Link::To)?),
                }
            ),
            "opening" => format!(
                "the angle whose mouth is {} at {}, seen from {}",
                self.figure(direct?),
                at(Link::At)?,
                at(Link::About)?
            ),
            "smallest" | "largest" => format!(
                "the {} of {}",
                said.head,
                self.arguments(said.all(Link::Of)?)
            ),
            "mirror" => format!(
                "{} mirrored over {}",
                self.arguments(&said.direct),
                at(Link::Over)?
            ),
            "pivot" if said.one(Link::By).is_some() => format!(
                "{} turned about {} by {}",
                self.arguments(&said.direct),
                at(Link::About)?,
                self.figure(said.one(Link::By)?)
            ),
            "join" => format!("{} joined", self.arguments(&said.direct)),
            _ => return None,
        })
    }

    /// A phrase as an act, where it is not enough to name the thing.
    fn doing(&self, said: &Said<'_>) -> Option<String> {
        let at = |link: Link| said.one(link).map(|one| self.noun(one));
        let direct = said.direct.first().copied();
        let near = at(Link::Near).map_or(String::new(), |near| format!(", near {near}"));
        Some(match said.head.as_str() {
            "" => match (direct, at(Link::Along)) {
                (Some(share), Some(along)) => {
                    let from = at(Link::From).map_or("from where it begins".to_owned(), |from| {
                        format!("from {from}")
                    });
                    let is_share = self
                        .value(share)
                        .is_some_and(|(_, kind)| kind == Kind::NUMBER);
                    let toward = said
                        .one(Link::Toward)
                        .map_or(String::new(), |to| format!(" {}", self.toward(to)));
                    if is_share {
                        format!(
                            "along {along}, {from}, go {} of its length{toward}",
                            self.figure(share)
                        )
                    } else {
                        format!(
                            "along {along}, {from}, measure {}{toward}",
                            self.figure(share)
                        )
                    }
                }
                (Some(far), None) => match at(Link::To) {
                    Some(to) => format!(
                        "on the straight way from {} to {to}, go {} of it",
                        at(Link::From)?,
                        self.figure(far)
                    ),
                    None => format!(
                        "from {}, measure {} {}",
                        at(Link::From)?,
                        self.figure(far),
                        self.toward(said.one(Link::Toward)?)
                    ),
                },
                (None, _) => format!("draw {}", self.line(said, "a")?),
            },
            "foot" => format!(
                "square from {} onto {}, and mark its foot",
                at(Link::From)?,
                at(Link::Onto)?
            ),
            "swing" => format!(
                "set the ruler to {}, hold its end on {} and swing it onto {}{near}{}",
                self.figure(direct?),
                at(Link::From)?,
                at(Link::Onto)?,
                said.one(Link::Toward)
                    .map_or(String::new(), |to| format!(", {}", self.toward(to)))
            ),
            "square" => match at(Link::From) {
                Some(from) => format!("square from {from} onto {}", at(Link::Onto)?),
                None => format!(
                    "at {}, square out from {}{}",
                    at(Link::At)?,
                    at(Link::To)?,
                    self.reach(said)?
                ),
            },
            "parallel" => format!("draw {}", self.thing(said)?.replacen("the ", "a ", 1)),
            "join" => format!("join {} into one line", self.arguments(&said.direct)),
            "extend" => format!(
                "lengthen {} at {} {}",
                self.noun(direct?),
                at(Link::At)?,
                match said.one(Link::By) {
                    Some(by) => format!("by {}", self.figure(by)),
                    None => format!("until {}", at(Link::Until)?),
                }
            ),
            "mirror" | "pivot" | "slide" | "lay" => self.as_written(said),
            "reverse" => format!("take {} the other way", at(Link::Of)?),
            "part" => format!("take {}", self.thing(said)?),
            _ => return None,
        })
    }

    fn share(&self, share: &Expr) -> String {
        let is_share = self
            .value(share)
            .is_some_and(|(_, kind)| kind == Kind::NUMBER);
        if is_share {
            format!("{} of the length", self.figure(share))
        } else {
            self.figure(share)
        }
    }

    /// How far a line goes.
    fn reach(&self, said: &Said<'_>) -> Option<String> {
        let toward = said
            .one(Link::Toward)
            .map_or(String::new(), |to| format!(" {}", self.toward(to)));
        let until = said
            .one(Link::Until)
            .map(|until| format!(" until {}", self.noun(until)));
        let long = said
            .one(Link::For)
            .map(|long| format!(", {} long", self.figure(long)));
        Some(format!("{toward}{}", until.or(long).unwrap_or_default()))
    }

    /// A line or curve from somewhere to somewhere.
    fn line(&self, said: &Said<'_>, article: &str) -> Option<String> {
        let from = self.noun(said.one(Link::From)?);
        let Some(to) = said.one(Link::To).map(|to| self.noun(to)) else {
            let endless = said.one(Link::For).is_none() && said.one(Link::Until).is_none();
            let guide = if endless {
                "guide line"
            } else {
                "straight line"
            };
            return Some(format!(
                "{article} {guide} from {from}{}",
                self.reach(said)?
            ));
        };
        let through = said.all(Link::Through).map_or(String::new(), |points| {
            format!(
                " through {}",
                row(&points
                    .iter()
                    .map(|point| self.noun(point))
                    .collect::<Vec<_>>())
            )
        });
        if let Some(corner) = said.one(Link::Around) {
            let hollow = said.one(Link::Hollow).map_or(String::new(), |depth| {
                format!(", passing {} from the corner", self.figure(depth))
            });
            return Some(format!(
                "{article} hollow curve from {from} to {to}, around {}{hollow}{}",
                self.noun(corner),
                self.options(said)
            ));
        }
        let end = |link: Link, word: &str| {
            said.one(link).map_or(String::new(), |way| {
                format!(", {word} {}", self.arriving(way))
            })
        };
        let ends = format!(
            "{}{}",
            end(Link::Leaving, "leaving"),
            end(Link::Arriving, "arriving")
        );
        if ends.is_empty() && through.is_empty() {
            return Some(format!("{article} straight line from {from} to {to}"));
        }
        Some(format!(
            "{article} smooth curve from {from}{through} to {to}{ends}{}",
            self.options(said)
        ))
    }

    /// The way a curve goes at its end: "downward", "square to the shoulder".
    fn arriving(&self, way: &Expr) -> String {
        match &unbracketed(way).kind {
            ExprKind::Direction(word) => direction(*word).to_owned(),
            ExprKind::Bearing(_) => self.way(way),
            _ => format!("toward {}", self.way(way)).replace("toward the way", "the way"),
        }
    }
}

fn direction(word: DirectionWord) -> &'static str {
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

fn side(word: DirectionWord) -> &'static str {
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

fn opposite(word: DirectionWord) -> DirectionWord {
    match word {
        DirectionWord::Up => DirectionWord::Down,
        DirectionWord::Down => DirectionWord::Up,
        DirectionWord::Left => DirectionWord::Right,
        DirectionWord::Right => DirectionWord::Left,
        other => other,
    }
}
