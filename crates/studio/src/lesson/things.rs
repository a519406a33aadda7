//! Phrases as things, where the written words need help: "the point half way from the nape to the waist".

use super::phrases::Said;
use super::speech::{Speech, unbracketed};
use oaktag_language::kind::Kind;
use oaktag_language::syntax::tree::{Expr, ExprKind, Link};
use oaktag_language::voice;

impl Speech<'_> {
    /// A phrase as a thing, where the written words need help.
    pub(super) fn thing(&self, said: &Said<'_>) -> Option<String> {
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
                    None if self.is_nothing(far) => at(Link::From)?,
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
            "arc" => format!(
                "the arc about {} from {} {}",
                at(Link::About)?,
                at(Link::From)?,
                self.round(said)?
            ),
            _ => return None,
        })
    }

    /// How far an arc goes, and which way round.
    pub(super) fn round(&self, said: &Said<'_>) -> Option<String> {
        if let Some(by) = said.one(Link::By) {
            return Some(format!("by {}", self.figure(by)));
        }
        let (word, far) = match (said.one(Link::To), said.one(Link::For)) {
            (Some(to), _) => ("to", to),
            (None, far) => ("for", far?),
        };
        let ExprKind::Turn {
            angle, clockwise, ..
        } = &unbracketed(far).kind
        else {
            return None;
        };
        let sense = if *clockwise {
            "clockwise"
        } else {
            "anticlockwise"
        };
        Some(format!("{word} {}, {sense}", self.noun(angle)))
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
    pub(super) fn reach(&self, said: &Said<'_>) -> Option<String> {
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
    pub(super) fn line(&self, said: &Said<'_>, article: &str) -> Option<String> {
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
                voice::list(
                    &points
                        .iter()
                        .map(|point| self.noun(point))
                        .collect::<Vec<_>>()
                )
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
}
