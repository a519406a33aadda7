//! What to do, a sentence an action: the statement's own words, and this body's figures beside the formula.

use super::asked::Asked;
use super::sheets::Sheets;
use super::speech::{START, Speech, numbered, the, the_thing, unbracketed};
use super::steps::Maker;
use super::told::{self, Told};
use oaktag_language::check::program::Site;
use oaktag_language::draft::record::Entry;
use oaktag_language::kind::Kind;
use oaktag_language::phrase::form::{Form, Takes};
use oaktag_language::phrase::{Meaning, Value};
use oaktag_language::syntax::tree::{Expr, ExprKind, KindWord, SentenceKind, TextPart, Try};
use oaktag_language::voice;

/// How something comes to be drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    First,
    /// In the place of what was drawn before.
    Again,
    /// It is what an `each` carries on to the next time.
    CarriedOn,
}

impl Maker<'_> {
    /// What to do for an entry; with what its first sentence says of the line it leaves.
    pub(super) fn sentences(
        &self,
        entry: &Entry,
        site: &Site,
        leaves: Option<&str>,
        lies: &Sheets,
    ) -> Vec<String> {
        let speech = self.speech(entry);
        let names: Vec<String> = site
            .targets
            .iter()
            .map(|target| {
                let own = target.name.rsplit('.').next().unwrap_or_default();
                the_thing(own, &target.kind)
            })
            .collect();
        let names = voice::list(&names);
        if let Some(begun) = self.trees.begun(site) {
            return self.drawn(&speech, site, &names, &begun.from, (Way::First, None), lies);
        }
        let Some(sentence) = self.trees.sentence(site) else {
            return Vec::new();
        };
        match &sentence.kind {
            SentenceKind::Draw(draw) if draw.kind == KindWord::Panel => {
                let names = draw
                    .names
                    .iter()
                    .map(|name| the(&numbered(site, &name.text)));
                let names = voice::list(&names.collect::<Vec<_>>());
                vec![self.call(&speech, &names, &draw.value)]
            }
            SentenceKind::Draw(draw) => {
                self.drawn(&speech, site, &names, &draw.value, (Way::First, None), lies)
            }
            SentenceKind::Redraw(draw) => self.drawn(
                &speech,
                site,
                &names,
                &draw.value,
                (Way::Again, leaves),
                lies,
            ),
            SentenceKind::Carry(carry) => self.drawn(
                &speech,
                site,
                &names,
                &carry.value,
                (Way::CarriedOn, None),
                lies,
            ),
            SentenceKind::Try(tried) => vec![self.tried(&speech, site, &names, tried)],
            other => {
                debug_assert!(!matches!(told::of(other), Told::AsDeed));
                Vec::new()
            }
        }
    }

    /// A panel that an operation or a move of a whole panel gives.
    fn call(&self, speech: &Speech<'_>, names: &str, value: &Expr) -> String {
        let form = speech.form(value);
        let called = form.filter(|form| matches!(form.meaning, Meaning::Operation));
        let doc = called.map_or(String::new(), |one| format!(" {}", one.doc));
        // What it is called inside is asked by whoever follows it there.
        let inside = called.filter(|_| self.options.unfold);
        let handed = inside.map_or(String::new(), |one| handed(speech, one, value));
        if called.is_none() {
            return format!("Draw {names}: {}.", speech.act(value));
        }
        format!("Follow this act: {}.{doc}{handed}", speech.act(value))
    }

    fn drawn(
        &self,
        speech: &Speech<'_>,
        site: &Site,
        names: &str,
        value: &Expr,
        (way, leaves): (Way, Option<&str>),
        lies: &Sheets,
    ) -> Vec<String> {
        let Some(kind) = site.targets.first().map(|target| &target.kind) else {
            return Vec::new();
        };
        let expr = unbracketed(value);
        match kind {
            Kind::Point => {
                let mut said = vec![with_rest(marked(&speech.act(expr), names, way), leaves)];
                said.extend(self.by_ruler(speech.entry, site));
                vec![said.join(" ")]
            }
            Kind::Line | Kind::Curve => {
                let mut said = vec![with_rest(lined(&speech.act(expr), names, way), leaves)];
                said.extend(self.told_of_lines(speech, site, expr, lies));
                vec![said.join(" ")]
            }
            Kind::Quantity(_) | Kind::Turn => {
                vec![self.worked_out(speech, names, kind, expr, way)]
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
        if let Some(row) = self.row_of_points(speech, names, items, expr) {
            return vec![row];
        }
        // A list of what is drawn already is a name for it, nothing to do.
        if !matches!(expr.kind, ExprKind::Each(_))
            || !matches!(item, Kind::Point | Kind::Line | Kind::Curve)
        {
            return Vec::new();
        }
        vec![format!(
            "Do this {}; together they are {names}.",
            voice::count(items.len(), "time")
        )]
    }

    fn worked_out(
        &self,
        speech: &Speech<'_>,
        names: &str,
        kind: &Kind,
        expr: &Expr,
        way: Way,
    ) -> String {
        let Some(Value::Quantity(figure) | Value::Turn(figure)) = speech.entry.values.first()
        else {
            return format!("Work out {names}.");
        };
        let value = speech.printed(*figure, kind);
        let (formula, values) = (speech.formula(expr), speech.with_values(expr));
        let word = match way {
            Way::First => "Work out",
            Way::Again => "Work out anew",
            Way::CarriedOn => "For the next time, work out",
        };
        let mut steps = vec![formula.clone()];
        if values != formula && values != value && speech.knows_all(expr) {
            steps.push(values);
        }
        if formula == value {
            return format!("{} is {value}.", voice::capital(names));
        }
        if speech.asked.is_some_and(Asked::asks) {
            steps.truncate(1);
        }
        let value = speech.asked_by_name(expr, value);
        format!("{word} {names}: {} = {value}.", steps.join(" = "))
    }

    fn tried(&self, speech: &Speech<'_>, site: &Site, names: &str, tried: &Try) -> String {
        let Some(kind) = site.targets.first().map(|target| &target.kind) else {
            return String::new();
        };
        let wanted = speech.condition(&tried.until);
        let bounds = (speech.figure(&tried.low), speech.figure(&tried.high));
        let found = match (&speech.entry.trial, speech.entry.values.first()) {
            (Some(trial), _) => speech.printed(trial.found, kind),
            (None, Some(Value::Quantity(figure))) => speech.printed(*figure, kind),
            _ => return String::new(),
        };
        let otherwise = tried.otherwise.as_ref().map_or(String::new(), |text| {
            let words: String = text
                .parts
                .iter()
                .map(|part| match part {
                    TextPart::Letters(letters) => letters.to_string(),
                    TextPart::Hole(hole) => match speech.value(hole) {
                        Some((figure, kind)) => speech.printed(figure, &kind),
                        None => speech.formula(hole),
                    },
                })
                .collect();
            format!(" If none will do: {words}")
        });
        format!(
            "Find {names} between {} and {}, so that {wanted}. Here it is {found}; with it, do the following.{otherwise}",
            bounds.0, bounds.1
        )
    }
}

/// What is called otherwise inside an operation than outside it: points, lines and panels that it is handed.
fn handed(speech: &Speech<'_>, form: &Form, value: &Expr) -> String {
    let drawn = |takes: Takes| !takes.disjoint(Takes::DRAWN.or(Takes::PANEL));
    let places = form
        .places
        .iter()
        .filter(|place| drawn(place.takes))
        .map(|place| (&place.name, speech.argument(value, place.link)));
    let options = form
        .options
        .iter()
        .filter(|option| drawn(option.takes))
        .map(|option| (&option.name, speech.option(value, &option.name)));
    let named = places.chain(options).filter_map(|(name, argument)| {
        let (inside, outside) = (the(name), speech.noun(argument?));
        (inside != outside).then(|| format!("{inside} is {outside}"))
    });
    let named: Vec<String> = named.collect();
    if named.is_empty() {
        return String::new();
    }
    format!(" Inside it, {}.", named.join("; "))
}

/// A sentence with something said behind it: "Redraw the neck, …; the old line is no longer used."
fn with_rest(sentence: String, rest: Option<&str>) -> String {
    match (rest, sentence.strip_suffix('.')) {
        (Some(rest), Some(begun)) => format!("{begun}; {rest}."),
        _ => sentence,
    }
}

/// "Mark the neck point: from the nape, measure 9.6 cm to the right."
fn marked(act: &str, names: &str, way: Way) -> String {
    let word = match way {
        Way::First => "Mark",
        Way::Again => "Mark anew",
        Way::CarriedOn => "For the next time, mark",
    };
    if act == START {
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
fn lined(act: &str, names: &str, way: Way) -> String {
    if way == Way::CarriedOn {
        return format!("For the next time, {act}: this is {names}.");
    }
    let again = way == Way::Again;
    match act.strip_prefix("draw ") {
        Some(rest) => format!("{} {names}, {rest}.", if again { "Redraw" } else { "Draw" }),
        // It says of itself how it is moved.
        None if again && [" it ", " them "].iter().any(|itself| act.contains(itself)) => {
            format!("Redraw {names}: {act}.")
        }
        None if act.starts_with("the ") => {
            format!(
                "Take {act}: this is {}{names}.",
                if again { "now " } else { "" }
            )
        }
        None => format!(
            "{}: this is {}{names}.",
            voice::capital(act),
            if again { "now " } else { "" }
        ),
    }
}
