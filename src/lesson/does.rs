//! What to do, a sentence an action: the statement's own words, this body's figures beside the formula, and what a hand
//! needs beyond them to draw a curve.

use super::speech::{Speech, capital, row, spoken, the, unbracketed};
use super::steps::Maker;
use crate::check::program::Site;
use crate::draft::record::Entry;
use crate::geometry::path::Path;
use crate::kind::Kind;
use crate::phrase::Value;
use crate::phrase::aid::Aid;
use crate::syntax::tree::{Expr, ExprKind, KindWord, SentenceKind, Try};
use kurbo::{ParamCurve, PathSeg};

impl Maker<'_> {
    /// What to do for an entry.
    pub fn sentences(&self, entry: &Entry, site: &Site) -> Vec<String> {
        let Some(sentence) = self.trees.sentence(site) else {
            return Vec::new();
        };
        let speech = self.speech(entry);
        let names: Vec<String> = site
            .targets
            .iter()
            .map(|target| format!("the {}", spoken(&target.name)))
            .collect();
        let names = row(&names);
        match &sentence.kind {
            SentenceKind::Draw(draw) if draw.kind == KindWord::Panel => {
                vec![self.call(&speech, site, &draw.value)]
            }
            SentenceKind::Draw(draw) => self.drawn(&speech, site, &names, &draw.value, false),
            SentenceKind::Redraw(draw) => self.drawn(&speech, site, &names, &draw.value, true),
            SentenceKind::Try(tried) => vec![self.tried(&speech, site, &names, tried)],
            _ => Vec::new(),
        }
    }

    /// A panel that an operation or a move of a whole panel gives.
    fn call(&self, speech: &Speech<'_>, site: &Site, value: &Expr) -> String {
        let operations = &self.outcome.program.operations;
        let text = self.project.sources.slice(site.value);
        let head = text
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .next()
            .unwrap_or("");
        let doc = operations
            .iter()
            .find(|one| one.form.head.as_deref() == Some(head))
            .map_or(String::new(), |one| format!(" {}", one.form.doc));
        format!("Follow this operation: {}.{doc}", speech.act(value))
    }

    fn drawn(
        &self,
        speech: &Speech<'_>,
        site: &Site,
        names: &str,
        value: &Expr,
        again: bool,
    ) -> Vec<String> {
        let Some(kind) = site.targets.first().map(|target| &target.kind) else {
            return Vec::new();
        };
        let expr = unbracketed(value);
        match kind {
            Kind::Point => vec![marked(&speech.act(expr), names, again)],
            Kind::Line | Kind::Curve => {
                let mut said = vec![lined(&speech.act(expr), names, again)];
                said.extend(self.told_of_lines(speech, site, expr));
                vec![said.join(" ")]
            }
            Kind::Quantity(_) | Kind::Turn => {
                vec![self.worked_out(speech, names, kind, expr, again)]
            }
            Kind::Direction => vec![format!("Take {names}: {}.", speech.noun(expr))],
            Kind::Answer => {
                let answer = matches!(speech.entry.values.first(), Some(Value::Answer(true)));
                vec![format!(
                    "Decide {names}: {}.",
                    if answer { "yes" } else { "no" }
                )]
            }
            Kind::List(item) => self.listed(speech, names, item, expr),
            _ => Vec::new(),
        }
    }

    fn listed(&self, speech: &Speech<'_>, names: &str, item: &Kind, expr: &Expr) -> Vec<String> {
        let Some(Value::List(items)) = speech.entry.values.first() else {
            return Vec::new();
        };
        // A list of what is drawn already is a name for it, nothing to do.
        if !matches!(expr.kind, ExprKind::Each(_))
            || !matches!(item, Kind::Point | Kind::Line | Kind::Curve)
        {
            return Vec::new();
        }
        vec![format!(
            "Do this {} times; together they are {names}.",
            items.len()
        )]
    }

    fn worked_out(
        &self,
        speech: &Speech<'_>,
        names: &str,
        kind: &Kind,
        expr: &Expr,
        again: bool,
    ) -> String {
        let Some(Value::Quantity(figure) | Value::Turn(figure)) = speech.entry.values.first()
        else {
            return format!("Work out {names}.");
        };
        let value = speech.printed(*figure, kind);
        let (formula, values) = (speech.formula(expr), speech.with_values(expr));
        let word = if again { "Work out anew" } else { "Work out" };
        let mut steps = vec![formula.clone()];
        if values != formula && values != value {
            steps.push(values);
        }
        if formula == value {
            return format!("{} is {value}.", capital(names));
        }
        format!("{word} {names}: {} = {value}.", steps.join(" = "))
    }

    /// What cannot be read off the sentence of a line: its length, and for a curve where it passes.
    fn told_of_lines(&self, speech: &Speech<'_>, site: &Site, expr: &Expr) -> Vec<String> {
        let mut told = Vec::new();
        let fresh = matches!(speech.head_of(expr).as_str(), "" | "parallel" | "blend");
        for (target, value) in site.targets.iter().zip(&speech.entry.values) {
            let Value::Path(path) = value else { continue };
            let Ok(length) = path.length() else { continue };
            let name = capital(&the(target.name.rsplit('.').next().unwrap_or("")));
            let long = self.unit.length(length);
            // The length of a straight line, or of one that was moved, stands among the checks.
            if path.is_straight() || !fresh {
                continue;
            }
            let corner = self.passes(speech.entry, path);
            let places = self.places(path, length);
            told.push(format!(
                "{name} measures {long}{corner}. To draw it by hand, mark {places}."
            ));
        }
        told
    }

    /// How far from its corner a hollow curve passes.
    fn passes(&self, entry: &Entry, path: &Path) -> String {
        let corner = entry.aids.iter().find_map(|aid| match aid {
            Aid::Corner { at, .. } => Some(*at),
            _ => None,
        });
        match (corner, path.segs()) {
            (Some(corner), [PathSeg::Cubic(cubic)]) => {
                let depth = (cubic.eval(0.5) - corner).hypot();
                format!(", and passes {} from the corner", self.unit.length(depth))
            }
            _ => String::new(),
        }
    }

    /// Three places on a curve, each by its distances from both ends, to be found with two rulers.
    fn places(&self, path: &Path, length: f64) -> String {
        let (Ok(start), Ok(end)) = (path.start(), path.end()) else {
            return String::new();
        };
        let places: Vec<String> = [0.25, 0.5, 0.75]
            .into_iter()
            .filter_map(|share| path.point_at(length * share).ok())
            .map(|at| {
                format!(
                    "{} from its start and {} from its end",
                    self.unit.length((at - start).hypot()),
                    self.unit.length((at - end).hypot())
                )
            })
            .collect();
        format!("a point {}", places.join(", one "))
    }

    fn tried(&self, speech: &Speech<'_>, site: &Site, names: &str, tried: &Try) -> String {
        let Some(kind) = site.targets.first().map(|target| &target.kind) else {
            return String::new();
        };
        let wanted = self.project.sources.slice(tried.until.span);
        let wanted = said_aloud(wanted);
        let bounds = (speech.figure(&tried.low), speech.figure(&tried.high));
        let found = match (&speech.entry.trial, speech.entry.values.first()) {
            (Some(trial), _) => speech.printed(trial.found, kind),
            (None, Some(Value::Quantity(figure))) => speech.printed(*figure, kind),
            _ => return String::new(),
        };
        format!(
            "Find {names} between {} and {}, so that {wanted}. Here it is {found}; with it, do the following.",
            bounds.0, bounds.1
        )
    }
}

/// A condition as it is read aloud: names without their signs, figures as they stand.
fn said_aloud(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let is_letter = |at: usize| letters.get(at).is_some_and(|c| c.is_alphabetic());
    let said = letters.iter().enumerate().map(|(at, c)| match c {
        '_' => ' ',
        '.' if at > 0 && is_letter(at - 1) && is_letter(at + 1) => ' ',
        '*' => '×',
        c => *c,
    });
    said.collect::<String>()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// "Mark the neck point: from the nape, measure 9.6 cm to the right."
fn marked(act: &str, names: &str, again: bool) -> String {
    let word = if again { "Mark anew" } else { "Mark" };
    if act == "the starting point of the sheet" {
        return format!("{word} {names}: it is {act}, and everything is measured from here.");
    }
    if act.starts_with("the ") {
        return format!("{word} {names} at {act}.");
    }
    if act.starts_with("where ") {
        return format!("{word} {names} {act}.");
    }
    format!("{word} {names}: {act}.")
}

/// "Draw the shoulder, a straight line from …", "Square out …: this is the scye line."
fn lined(act: &str, names: &str, again: bool) -> String {
    match act.strip_prefix("draw ") {
        Some(rest) => format!("{} {names}, {rest}.", if again { "Redraw" } else { "Draw" }),
        None if act.starts_with("the ") => {
            format!(
                "Take {act}: this is {}{names}.",
                if again { "now " } else { "" }
            )
        }
        None => format!(
            "{}: this is {}{names}.",
            capital(act),
            if again { "now " } else { "" }
        ),
    }
}
