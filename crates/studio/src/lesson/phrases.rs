//! Phrases of the language as a teacher says them. A form that reads well as it is written is said so, word by word; the
//! others have a wording of their own here, one as a thing ("the point half way from a to b") and one as an act ("from a,
//! go half of the way to b").

use super::speech::{Speech, dotted, the, unbracketed};
use oaktag_language::phrase::Table;
use oaktag_language::syntax::tree::{Expr, ExprKind, Far, Lead, Link, Phrase, Setting};
use oaktag_language::voice;

/// A phrase with its head settled.
pub(super) struct Said<'e> {
    pub head: String,
    pub direct: Vec<&'e Expr>,
    pub clauses: Vec<(Link, Vec<&'e Expr>)>,
    pub options: &'e [Setting],
}

impl<'e> Said<'e> {
    pub fn all(&self, link: Link) -> Option<&[&'e Expr]> {
        self.clauses
            .iter()
            .find(|(of, _)| *of == link)
            .map(|(_, all)| all.as_slice())
    }

    pub fn one(&self, link: Link) -> Option<&'e Expr> {
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
                if legs.is_empty() {
                    return from;
                }
                match moves.first().map(|leg| &leg.far) {
                    Some(Far::Until(_)) => format!("the point reached from {from} {legs}"),
                    _ => format!("the point {legs} from {from}"),
                }
            }
            ExprKind::Of { head, operand } => {
                format!(
                    "the {} of {}",
                    voice::own_name(&head.text),
                    self.noun(operand)
                )
            }
            ExprKind::Direction(_) | ExprKind::Bearing(_) => self.way(expr),
            ExprKind::List(items) => {
                voice::list(&items.iter().map(|item| self.noun(item)).collect::<Vec<_>>())
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
            ExprKind::Displaced { from, moves } => match self.legs(moves, true) {
                legs if legs.is_empty() => self.noun(from),
                legs => format!("from {}, {legs}", self.noun(from)),
            },
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
    pub(crate) fn head_of(&self, expr: &Expr) -> String {
        match &unbracketed(expr).kind {
            ExprKind::Phrase(phrase) => self.settled(phrase).head,
            ExprKind::Of { head, .. } => head.text.to_string(),
            _ => String::new(),
        }
    }

    pub(super) fn settled<'e>(&self, phrase: &'e Phrase) -> Said<'e> {
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
    pub(super) fn as_written(&self, said: &Said<'_>) -> String {
        let mut words = Vec::new();
        if !said.head.is_empty() {
            words.push(voice::own_name(&said.head));
        }
        if !said.direct.is_empty() {
            words.push(self.arguments(&said.direct));
        }
        for (link, arguments) in &said.clauses {
            let spoken = match link {
                Link::Toward => {
                    let ways: Vec<String> = arguments.iter().map(|way| self.toward(way)).collect();
                    voice::list(&ways)
                }
                Link::Leaving | Link::Arriving => {
                    let ways: Vec<String> = arguments.iter().map(|way| self.way(way)).collect();
                    format!("{} {}", link.word(), voice::list(&ways))
                }
                _ => format!("{} {}", link.word(), self.arguments(arguments)),
            };
            words.push(spoken);
        }
        format!("{}{}", words.join(" "), self.options(said))
    }

    pub(super) fn arguments(&self, arguments: &[&Expr]) -> String {
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
        voice::list(&said)
    }

    pub(super) fn options(&self, said: &Said<'_>) -> String {
        let options: Vec<String> = said
            .options
            .iter()
            .map(|option| {
                let value = match &option.value.kind {
                    ExprKind::List(items) => voice::list(
                        &items
                            .iter()
                            .map(|item| self.figure(item))
                            .collect::<Vec<_>>(),
                    ),
                    ExprKind::Text(_) | ExprKind::Answer(_) => {
                        self.sources.slice(option.value.span).to_owned()
                    }
                    _ if self.value(&option.value).is_some() => {
                        // A value handed on under its own name needs no formula.
                        let figure = self.figure(&option.value);
                        let own = format!(" ({})", voice::own_name(&option.name.text));
                        figure
                            .strip_suffix(&own)
                            .map_or(figure.clone(), str::to_owned)
                    }
                    _ => self.noun(&option.value),
                };
                format!("{} {value}", voice::own_name(&option.name.text))
            })
            .collect();
        if options.is_empty() {
            String::new()
        } else {
            format!(", with {}", voice::list(&options))
        }
    }
}
