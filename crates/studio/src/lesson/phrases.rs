//! Phrases of the language as a teacher says them: by the templates of the row that each was bound to, one as a thing ("the
//! point half way from a to b") and one as an act ("from a, go half of the way to b"). A form that reads well as it is
//! written has none, and is said so, word by word.

use super::speech::{START, Speech, dotted, the_thing, unbracketed};
use oaktag_language::kind::Kind;
use oaktag_language::phrase::Form;
use oaktag_language::phrase::Value;
use oaktag_language::phrase::wording::{Manner, Part};
use oaktag_language::syntax::tree::{Expr, ExprKind, Far, Lead, Link, Name, Setting};
use oaktag_language::voice;

/// A phrase with the form it was bound to.
pub(super) struct Said<'e> {
    pub form: &'e Form,
    pub direct: Vec<&'e Expr>,
    clauses: Vec<(Link, Vec<&'e Expr>)>,
    pub options: &'e [Setting],
    /// What its direct argument is called instead, where that is what the sentence draws anew.
    itself: Option<&'static str>,
}

impl<'e> Said<'e> {
    fn all(&self, link: Link) -> Option<&[&'e Expr]> {
        self.clauses
            .iter()
            .find(|(of, _)| *of == link)
            .map(|(_, all)| all.as_slice())
    }

    pub(super) fn one(&self, link: Link) -> Option<&'e Expr> {
        self.all(link)?.first().copied()
    }

    /// What stands in a place of the form.
    fn place(&self, at: usize) -> Option<&[&'e Expr]> {
        match self.form.places.get(at)?.link {
            Some(link) => self.all(link),
            None => Some(&self.direct),
        }
    }
}

impl<'a> Speech<'a> {
    /// What a value is, as a thing.
    pub(super) fn noun(&self, expr: &Expr) -> String {
        match &expr.kind {
            ExprKind::Name(name) => self.called(name),
            ExprKind::Origin => START.to_owned(),
            ExprKind::Bracketed(inner) => self.noun(inner),
            ExprKind::Displaced { from, moves } => {
                let (legs, from) = (self.legs(moves, false), self.noun(from));
                if legs.is_empty() {
                    return from;
                }
                match moves.first().map(|leg| &leg.far) {
                    Some(Far::Until(_) | Far::LevelOf(_)) => {
                        format!("the point reached from {from} {legs}")
                    }
                    _ if legs.ends_with("to the right") || legs.ends_with("to the left") => {
                        format!("the point {legs} of {from}")
                    }
                    _ => format!("the point {legs} from {from}"),
                }
            }
            ExprKind::Of { head, operand } => {
                let worded = self.said(expr).and_then(|said| self.thing(&said));
                worded.unwrap_or_else(|| {
                    let head = voice::own_name(&head.text);
                    format!("the {head} of {}", self.noun(operand))
                })
            }
            ExprKind::Direction(_) | ExprKind::Bearing(_) => self.way(expr),
            ExprKind::List(items) => {
                voice::list(&items.iter().map(|item| self.noun(item)).collect::<Vec<_>>())
            }
            ExprKind::Phrase(_) => match self.said(expr) {
                Some(said) => self.thing(&said).unwrap_or_else(|| self.as_written(&said)),
                None => self.sources.slice(expr.span).replace('_', " "),
            },
            ExprKind::Each(_) => "one for each".to_owned(),
            ExprKind::Text(_) | ExprKind::Answer(_) => self.sources.slice(expr.span).to_owned(),
            ExprKind::Turn { .. }
            | ExprKind::Figure { .. }
            | ExprKind::Sum { .. }
            | ExprKind::Negative(_) => self.figure(expr),
            _ => self.sources.slice(expr.span).replace('_', " "),
        }
    }

    /// A name as a thing; what its own sentence draws anew is the old one.
    fn called(&self, name: &Name) -> String {
        let drawn = self.as_drawn(name);
        let kind = self
            .read(&dotted(name))
            .map_or(&Kind::Unknown, |(_, kind)| kind);
        let said = the_thing(&drawn, kind);
        match said.strip_prefix("the ") {
            Some(rest) if self.is_old(name) => format!("the old {rest}"),
            _ => said,
        }
    }

    /// What a name stands for, where that is a text.
    fn text(&self, name: &Name) -> Option<&'a str> {
        match self.read(&dotted(name))?.0 {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// What to do for a value; it begins with a small letter and has no full stop.
    pub(super) fn act(&self, expr: &Expr) -> String {
        let expr = unbracketed(expr);
        match &expr.kind {
            ExprKind::Displaced { from, moves } => match self.legs(moves, true) {
                legs if legs.is_empty() => self.noun(from),
                legs => format!("from {}, {legs}", self.noun(from)),
            },
            ExprKind::Phrase(_) => match self.said(expr) {
                Some(mut said) => {
                    if self.is_all_old(&said.direct) {
                        said.itself = Some(if said.direct.len() > 1 { "them" } else { "it" });
                    }
                    self.doing(&said)
                }
                None => self.noun(expr),
            },
            _ => self.noun(expr),
        }
    }

    /// The form that a phrase was bound to.
    pub(super) fn form(&self, expr: &Expr) -> Option<&'a Form> {
        let span = unbracketed(expr).span;
        self.bound.get(&(self.entry.site, span)).copied()
    }

    /// A phrase with its form; none of anything else.
    pub(super) fn said<'e>(&self, expr: &'e Expr) -> Option<Said<'e>>
    where
        'a: 'e,
    {
        let phrase = match &unbracketed(expr).kind {
            ExprKind::Phrase(phrase) => phrase,
            ExprKind::Of { operand, .. } => {
                return Some(Said {
                    form: self.form(expr)?,
                    direct: Vec::new(),
                    clauses: vec![(Link::Of, vec![operand])],
                    options: &[],
                    itself: None,
                });
            }
            _ => return None,
        };
        let form = self.form(expr)?;
        let clauses = phrase.clauses.iter();
        let mut clauses: Vec<(Link, Vec<&Expr>)> = clauses
            .map(|clause| (clause.link, clause.arguments.iter().collect()))
            .collect();
        let direct = match &phrase.lead {
            Lead::Nothing => Vec::new(),
            Lead::Head { direct, .. } => direct.iter().collect(),
            Lead::Value(value) if form.head.is_none() => vec![value],
            // The value was the head itself, or `HEAD of X`.
            Lead::Value(value) => {
                if let ExprKind::Of { operand, .. } = &value.kind {
                    clauses.insert(0, (Link::Of, vec![operand]));
                }
                Vec::new()
            }
        };
        Some(Said {
            form,
            direct,
            clauses,
            options: &phrase.options,
            itself: None,
        })
    }

    /// A phrase as a thing, where its own words do not read well.
    fn thing(&self, said: &Said<'_>) -> Option<String> {
        let words = self.worded(&said.form.taught.thing(said.form)?, said)?;
        // Of two it is the larger, and a multiple of 1 is a whole number.
        let two = said.place(0).is_some_and(|all| all.len() == 2);
        Some(match said.form.head.as_deref() {
            Some("largest") if two => words.replacen("the largest", "the larger", 1),
            Some("smallest") if two => words.replacen("the smallest", "the smaller", 1),
            _ => match words.strip_suffix(" a multiple of 1") {
                Some(begun) => format!("{begun} a whole number"),
                None => words,
            },
        })
    }

    fn doing(&self, said: &Said<'_>) -> String {
        let act = said.form.taught.act(said.form);
        act.and_then(|act| self.worded(&act, said))
            .or_else(|| self.thing(said))
            .unwrap_or_else(|| self.as_written(said))
    }

    /// A template filled in, and what is set with it.
    fn worded(&self, template: &[Part], said: &Said<'_>) -> Option<String> {
        let words = self.filled(template, said, true)?;
        Some(format!("{words}{}", self.options(said)))
    }

    /// A template filled in; none where a place was not given. A figure that comes to nothing is one too, unless `even_nothing`
    /// is said.
    fn filled(&self, template: &[Part], said: &Said<'_>, even_nothing: bool) -> Option<String> {
        let mut words = String::new();
        for part in template {
            match part {
                Part::Letters(letters) => words.push_str(letters),
                Part::Place(at, manner) => {
                    let all = said.place(*at)?;
                    let one = all.first()?;
                    if *manner == Manner::Figure && !even_nothing && self.is_nothing(one) {
                        return None;
                    }
                    words.push_str(&self.in_manner(*manner, one, all, said)?);
                }
                Part::Where(this, that) => {
                    let this = self.filled(this, said, false);
                    let words_or = this.or_else(|| self.filled(that, said, true));
                    words.push_str(&words_or?);
                }
            }
        }
        Some(words)
    }

    fn in_manner(
        &self,
        manner: Manner,
        one: &Expr,
        all: &[&Expr],
        said: &Said<'_>,
    ) -> Option<String> {
        Some(match manner {
            Manner::Thing => self.noun(one),
            Manner::Figure => self.figure(one),
            Manner::Way => self.toward(one),
            Manner::Course => self.arriving(one),
            Manner::WithSense => self.with_sense(one),
            Manner::List => match said.itself {
                Some(itself) if all.as_ptr() == said.direct.as_ptr() => itself.to_owned(),
                _ => self.arguments(all),
            },
            Manner::EndToEnd => self.end_to_end(all),
            Manner::FoldAfterFold => self.fold_after_fold(all, said)?,
        })
    }

    /// How far round a circle, and which way.
    fn with_sense(&self, far: &Expr) -> String {
        match &unbracketed(far).kind {
            ExprKind::Turn {
                angle, clockwise, ..
            } => format!("{}, {}", self.noun(angle), super::ways::sense(*clockwise)),
            _ => self.noun(far),
        }
    }

    /// Lines end to end; those without a name are phrases with commas of their own.
    fn end_to_end(&self, lines: &[&Expr]) -> String {
        let lines: Vec<String> = lines.iter().map(|line| self.noun(line)).collect();
        if lines.iter().any(|line| line.contains(',')) {
            return format!("end to end {}", lines.join("; then "));
        }
        format!("{} into one line", voice::list(&lines))
    }

    /// Fold after fold, the edge traced through each as far as the next.
    fn fold_after_fold(&self, folds: &[&Expr], said: &Said<'_>) -> Option<String> {
        let until = said.one(Link::Until)?;
        let next = folds.iter().skip(1).chain(std::iter::once(&until));
        let mut traced = self.arguments(&said.direct);
        let mut acts = Vec::new();
        for (fold, next) in folds.iter().zip(next) {
            acts.push(format!(
                "fold the paper on {} and trace {traced} through as far as {}",
                self.noun(fold),
                self.noun(next)
            ));
            "that".clone_into(&mut traced);
        }
        Some(acts.join(", then "))
    }

    /// Word by word as the draft has it, names and figures spoken.
    fn as_written(&self, said: &Said<'_>) -> String {
        let mut words = Vec::new();
        words.extend(said.form.head.as_deref().map(voice::own_name));
        match said.itself {
            Some(itself) => words.push(itself.to_owned()),
            None if said.direct.is_empty() => {}
            None => words.push(self.arguments(&said.direct)),
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
        voice::list(&said)
    }

    fn options(&self, said: &Said<'_>) -> String {
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
                    ExprKind::Name(name) if self.text(name).is_some() => {
                        voice::text(self.text(name).unwrap_or_default())
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
