//! What stands at a place, in a few lines: a name with its kind and its figure, a phrase or an act with its form, a sentence.

use super::Editor;
use super::acts::asks;
use crate::session::places::Place;
use oaktag_language::check::program::{OperationInfo, Site, StepId};
use oaktag_language::pattern::said;
use oaktag_language::phrase::{Form, Table, Value};
use oaktag_language::report::Span;
use oaktag_language::syntax::sentences::{self, Row};
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::voice;
use serde::Serialize;

/// Most forms that are shown of one head.
const MOST_FORMS: usize = 5;

/// What is said of a place.
#[derive(Debug, PartialEq, Serialize)]
pub struct Hover {
    /// The word that it is said of.
    pub at: Place,
    /// What it is: `hem: a curve, 48.2 cm`.
    pub title: String,
    /// More of it.
    pub lines: Vec<String>,
}

impl Editor<'_> {
    /// What stands at a place; nothing where no word does.
    pub fn hover(&self, at: usize) -> Option<Hover> {
        let byte = self.units.byte(at);
        let mut tokens = self.tokens();
        let (_, bytes) = tokens.find(|((tok, _), at)| {
            at.start <= byte && byte < at.end && !matches!(tok, Tok::Newline | Tok::End)
        })?;
        let here = self.units.place(bytes.clone());
        let hover = |(title, lines)| Hover {
            at: here,
            title,
            lines,
        };
        // A line that is redrawn is read and drawn by one word, and is then what it was drawn to.
        let declared = self.declared_at(byte);
        let declared = declared.or_else(|| Some(self.mention_at(byte)?.of));
        if let Some(said) = declared.and_then(|of| self.named(of)) {
            return Some(hover(said));
        }
        let word = self.letters(bytes.clone());
        if let Some(act) = self.act(word) {
            return Some(hover(act_said(act)));
        }
        let table = Table::built_in();
        if self.begins_sentence(bytes.start) {
            let rows: Vec<&Row> = rows_of(word).collect();
            if !rows.is_empty() {
                return Some(hover(rows_said(&rows)));
            }
        }
        if table.is_head(word) {
            return Some(hover(forms_said(table, word)));
        }
        None
    }

    /// What is drawn or declared there, with its value as of then.
    fn named(&self, of: Span) -> Option<(String, Vec<String>)> {
        let outcome = self.session.outcome();
        let program = &outcome.program;
        let unit = self.session.unit();
        if let Some(code) = program.measures.iter().find(|code| code.name_span == of) {
            let used = outcome.pattern.measures.iter();
            let used = used.into_iter().find(|used| used.name == code.name);
            let is = used.map(|used| said::value(&used.value, unit));
            let is = is.unwrap_or_else(|| code.kind.with_article());
            let texts = (!code.text.is_empty()).then(|| code.text.clone());
            return Some((format!("{}: {is}", code.name), texts.into_iter().collect()));
        }
        if let Some(act) = program.operations.iter().find(|act| act.span == of) {
            return Some(act_said(act));
        }
        let drawn = |site: &&Site| site.targets.iter().any(|target| target.span == of);
        let mut sites = (0..).zip(&program.sites);
        let (number, site) = sites.find(|(_, site)| drawn(site))?;
        let at = site.targets.iter().position(|target| target.span == of)?;
        let target = site.targets.get(at)?;
        let entries = outcome.record.entries.iter().rev();
        let entry = entries
            .into_iter()
            .find(|entry| entry.site.0 == number)
            .and_then(|entry| entry.values.get(at));
        let mut title = format!("{}: {}", target.name, target.kind.with_article());
        match entry {
            Some(Value::Path(path)) => {
                // An endless line has no length.
                if let Ok(length) = path.length() {
                    title = format!("{title}, {}", unit.length(length));
                }
            }
            Some(value) => {
                if let Some(figure) = self.figure_said(value, &target.kind) {
                    title = format!("{}: {figure}", target.name);
                }
            }
            None => {}
        }
        let step = site.step.and_then(|step: StepId| program.step(step));
        let step = step.map(|step| format!("Drawn in step {}, {}.", step.number, step.name));
        Some((title, step.into_iter().collect()))
    }

    /// The act of that head which the draft can call.
    pub(super) fn act(&self, head: &str) -> Option<&OperationInfo> {
        let mut acts = self.session.program().operations.iter();
        acts.find(|act| act.form.head.as_deref() == Some(head))
    }
}

/// The sentences that begin with a word.
pub(super) fn rows_of(word: &str) -> impl Iterator<Item = &'static Row> {
    let begins = move |row: &&Row| match row.form.strip_prefix("KIND") {
        Some(_) => row.is_called(word),
        None => row.form.split([' ', '[']).next() == Some(word),
    };
    sentences::ALL.iter().filter(begins)
}

fn rows_said(rows: &[&Row]) -> (String, Vec<String>) {
    let mut forms = rows.iter().map(|row| format!("{}: {}", row.form, row.doc));
    match rows {
        [one] => (one.form.to_owned(), vec![one.doc.to_owned()]),
        _ => (
            forms.next().unwrap_or_default(),
            forms.take(MOST_FORMS).collect(),
        ),
    }
}

/// An act, with what it needs; what it draws is more than a glance takes in.
fn act_said(act: &OperationInfo) -> (String, Vec<String>) {
    let mut asked = asks(act);
    asked.retain(|line| !line.starts_with("Draws"));
    form_said(&act.form, &asked)
}

fn form_said(form: &Form, more: &[String]) -> (String, Vec<String>) {
    let doc = (!form.doc.is_empty()).then(|| form.doc.to_string());
    let options = form.options.iter().map(|option| {
        let doc = option.doc.trim();
        match doc.is_empty() {
            true => format!("with {} …", option.name),
            false => format!("with {} …: {doc}", option.name),
        }
    });
    let lines = doc.into_iter().chain(more.iter().cloned()).chain(options);
    (form.signature(), lines.collect())
}

fn forms_said(table: &Table, head: &str) -> (String, Vec<String>) {
    let forms: Vec<&Form> = table
        .forms()
        .iter()
        .filter(|form| form.head.as_deref() == Some(head))
        .collect();
    match forms.as_slice() {
        [one] => form_said(one, &[]),
        several => {
            let said = |form: &&Form| format!("{}: {}", form.signature(), form.doc);
            let lines = several.iter().take(MOST_FORMS).map(said);
            let count = voice::count(several.len(), "form");
            (format!("{head}: a phrase of {count}"), lines.collect())
        }
    }
}
