//! Phrases as acts, where it is not enough to name the thing: "set the ruler to 27 cm, hold its end on the neck point".

use super::phrases::Said;
use super::speech::Speech;
use oaktag_language::kind::Kind;
use oaktag_language::syntax::tree::Link;
use oaktag_language::voice;

impl Speech<'_> {
    /// A phrase as an act, where it is not enough to name the thing.
    pub(super) fn doing(&self, said: &Said<'_>) -> Option<String> {
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
                    None if self.is_nothing(far) => at(Link::From)?,
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
            "join" => self.joining(said),
            "extend" => format!(
                "lengthen {} at {} {}",
                self.noun(direct?),
                at(Link::At)?,
                match said.one(Link::By) {
                    Some(by) => format!("by {}", self.figure(by)),
                    None => format!("until {}", at(Link::Until)?),
                }
            ),
            "unfold" => self.unfolding(said)?,
            "mirror" | "pivot" | "slide" | "lay" => self.as_written(said),
            "arc" => format!(
                "set the point of the compasses on {}, open them to {}, and strike an arc {}",
                at(Link::About)?,
                at(Link::From)?,
                self.round(said)?
            ),
            "reverse" => format!("take {} the other way", at(Link::Of)?),
            "part" => format!("take {}", self.thing(said)?),
            _ => return None,
        })
    }

    /// Lines end to end; those without a name are phrases with commas of their own.
    fn joining(&self, said: &Said<'_>) -> String {
        let lines: Vec<String> = said.direct.iter().map(|one| self.noun(one)).collect();
        if lines.iter().any(|line| line.contains(',')) {
            return format!("join end to end {}", lines.join("; then "));
        }
        format!("join {} into one line", voice::list(&lines))
    }

    /// Fold after fold, traced through.
    fn unfolding(&self, said: &Said<'_>) -> Option<String> {
        let folds = said.all(Link::Over)?;
        let until = said.one(Link::Until)?;
        let next = folds.iter().skip(1).chain(std::iter::once(&until));
        let acts: Vec<String> = folds
            .iter()
            .zip(next)
            .enumerate()
            .map(|(at, (fold, next))| {
                let traced = if at == 0 {
                    self.arguments(&said.direct)
                } else {
                    "that".to_owned()
                };
                format!(
                    "fold the paper on {} and trace {traced} through as far as {}",
                    self.noun(fold),
                    self.noun(next)
                )
            })
            .collect();
        Some(acts.join(", then "))
    }
}
