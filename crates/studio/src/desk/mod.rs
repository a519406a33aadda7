//! What a page asks about a draft, as JSON, and what it is answered: the same whether the page asks a server or the language in
//! its own browser. An answer is a file or JSON; one that begins with [`WRONG`] says what is wrong instead.

mod after;
mod grip;
mod picture;
mod question;
mod set;

pub use question::{AddAsked, Asked, BodyAsked, DragAsked, Question, Shown, Sort, What};

use crate::compare::{self, overlay, report, text};
use crate::lesson;
use crate::session::{
    BodyOf, Change, Form, Order, Part, Picture, Refused, Session, Subject, Table, Unchanged,
};
use oaktag_language::library;
use oaktag_language::pattern::Issue;
use oaktag_language::report::{Diagnostic, json};
use oaktag_language::syntax::project::{ReadFault, Reader};
use oaktag_language::syntax::tidy;
use oaktag_output::letters;
use oaktag_output::sheet::Sheet;
use serde::Serialize;
use serde_json::json;
use std::collections::BTreeMap;

/// What an answer begins with that is no file: what is wrong stands behind it, as JSON.
pub const WRONG: u8 = 0;

/// Reads what a draft may import, for the draft of that name.
pub type Readers<'r> = &'r dyn Fn(&str) -> Box<dyn Reader + Send + Sync>;

/// The draft that was asked about last, kept for the next question.
#[derive(Default)]
pub struct Desk {
    at_hand: Option<AtHand>,
}

struct AtHand {
    session: Session,
    values: Vec<String>,
    body: Option<BodyAsked>,
    files: BTreeMap<String, String>,
    grip: grip::Grip,
    given: picture::Given,
}

/// What is wrong, as an answer tells it.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Wrong {
    /// In words.
    Said {
        /// The words.
        said: String,
    },
    /// What has to be laid at hand first: `faces`, those of paper.
    Wants {
        /// What.
        wants: &'static str,
        /// In words.
        said: &'static str,
    },
    /// Messages, as `check --format json` writes them.
    Told(serde_json::Value),
}

impl Wrong {
    fn said(words: impl Into<String>) -> Self {
        Self::Said { said: words.into() }
    }
}

impl Desk {
    /// Answers a question, JSON as [`Question`] has it. `readers` reads for a draft what it imports, where the question does
    /// not hand it over.
    pub fn answer(&mut self, question: &[u8], readers: Readers<'_>) -> Vec<u8> {
        let answered = serde_json::from_slice(question)
            .map_err(|why| Wrong::said(why.to_string()))
            .and_then(|question| self.answered(&question, readers));
        answered.unwrap_or_else(|wrong| {
            let mut bytes = vec![WRONG];
            bytes.extend(serde_json::to_vec(&wrong).unwrap_or_default());
            bytes
        })
    }

    fn answered(&mut self, question: &Question, readers: Readers<'_>) -> Result<Vec<u8>, Wrong> {
        if let Asked::Tidy = &question.asked {
            let tidied = tidy(&question.text);
            return json_of(&BTreeMap::from([("text", tidied.text)]));
        }
        let is_on_paper = matches!(question.asked, Asked::Pdf { .. } | Asked::Png { .. });
        if is_on_paper && !letters::are_at_hand() {
            return Err(Wrong::Wants {
                wants: "faces",
                said: "The letters of paper are not at hand.",
            });
        }
        let one = self.at_hand_for(question, readers)?;
        match &question.asked {
            Asked::Hold { shown, most } => return said_or(one.take(shown, *most)),
            Asked::Drag(asked) => return one.dragged(asked),
            Asked::Add(asked) => return said_or(one.add(asked)),
            Asked::Picture { has } => {
                let Some(svg) = one.session.picture() else {
                    return json_of(&None::<String>);
                };
                return one.given.answer(svg, has.as_deref(), |one| json_of(one));
            }
            _ => {}
        }
        let session = &one.session;
        match &question.asked {
            Asked::View => json_of(&session.view()),
            Asked::Messages => Err(told(session, &session.outcome().diagnostics)),
            Asked::Svg { pieces } => {
                let mut order = order(Form::Svg(Picture::default()), question);
                order.part.pieces.clone_from(pieces);
                file(session, &order)
            }
            Asked::Pdf { sheet } => {
                let sheet = match sheet {
                    Some(name) => name.parse().map_err(Wrong::said)?,
                    None => Sheet::default(),
                };
                file(
                    session,
                    &order(Form::Pdf(Picture::default(), sheet), question),
                )
            }
            Asked::Png { resolution } => {
                let form = Form::Png(Picture::default(), resolution.unwrap_or(50.0));
                file(session, &order(form, question))
            }
            Asked::Dxf => file(session, &order(Form::Dxf, question)),
            Asked::Json => file(session, &order(Form::Json, question)),
            Asked::Txt => file(session, &order(Form::Ticket(Default::default()), question)),
            Asked::Csv => file(session, &order(Form::Csv(Table::default()), question)),
            Asked::Walk { seam } => {
                let picture = Picture {
                    subject: Subject::Seam(seam.clone()),
                    ..Picture::default()
                };
                file(session, &order(Form::Svg(picture), question))
            }
            Asked::Lesson => {
                let written = session.lesson(&session.half(), &lesson::Options::default());
                written
                    .map(|written| written.bytes)
                    .map_err(|refused| wrong_of(session, refused))
            }
            Asked::After { step } => {
                let text = after::text_after(session, *step)
                    .ok_or_else(|| Wrong::said(format!("there is no step {step}")))?;
                let other = opened(question, &text, readers)?;
                file(&other, &order(Form::Svg(Picture::default()), question))
            }
            Asked::Compare { with } => {
                let older = opened(question, with, readers)?;
                let (old, new) = (older.half(), session.half());
                let (old, new) = (older.side("before", &old), session.side("now", &new));
                let compared = compare::compare(old, new, &compare::Options::default());
                let compared = compared.map_err(|why| Wrong::said(format!("{why:?}")))?;
                let report = report::report(&compared, report::Detail::Outline);
                json_of(&BTreeMap::from([
                    ("words", text::plain(&report)),
                    ("picture", overlay::svg(&compared, old, new)),
                ]))
            }
            Asked::Bodies { table, csv } => {
                let mut read = Session::open(
                    &question.name,
                    &question.text,
                    reader(question, readers),
                    library::MODULES,
                );
                let (names, wrong) = read
                    .names_in(table, csv.as_bytes())
                    .map_err(|why| unchanged(&read, why))?;
                let said = wrong.iter().map(|told| told.message.in_unit(read.unit()));
                let said: Vec<_> = said.collect();
                json_of(&json!({
                    "names": names,
                    "said": (!said.is_empty()).then(|| said.join(" ")),
                }))
            }
            Asked::Complete { at } => json_of(&session.editor().completions(*at)),
            Asked::Hover { at } => json_of(&session.editor().hover(*at)),
            Asked::Why { thing } => json_of(&session.editor().why(thing)),
            Asked::Define { at } => json_of(&session.editor().definition(*at)),
            Asked::Mentions { at } => json_of(&session.editor().mentions(*at)),
            Asked::Rename { at, to } => json_of(&session.editor().rename(*at, to)),
            Asked::Colours => json_of(&session.editor().colours()),
            Asked::Figures => json_of(&session.editor().figures()),
            Asked::Folds => json_of(&session.editor().folds()),
            Asked::Tidy
            | Asked::Picture { .. }
            | Asked::Hold { .. }
            | Asked::Drag(_)
            | Asked::Add(_) => Err(Wrong::said("it is answered already")),
        }
    }

    /// The draft of a question: the one at hand with its text and values changed, where it is the same.
    fn at_hand_for(
        &mut self,
        question: &Question,
        readers: Readers<'_>,
    ) -> Result<&mut AtHand, Wrong> {
        let kept = self
            .at_hand
            .take()
            .filter(|one| one.session.name() == question.name && one.files == question.files);
        let mut one = match kept {
            Some(one) => one,
            None => AtHand {
                session: Session::open(
                    &question.name,
                    &question.text,
                    reader(question, readers),
                    library::MODULES,
                ),
                values: Vec::new(),
                body: None,
                files: question.files.clone(),
                grip: grip::Grip::default(),
                given: picture::Given::default(),
            },
        };
        let session = &mut one.session;
        if session.text() != question.text {
            let changed = session.change(Change::Text(question.text.clone()));
            changed.map_err(|why| unchanged(session, why))?;
        }
        if one.values != question.values {
            let values = Change::Values(question.values.clone());
            session
                .change(values)
                .map_err(|why| unchanged(session, why))?;
            one.values.clone_from(&question.values);
            one.grip = grip::Grip::default();
        }
        if one.body != question.body {
            let changed = match &question.body {
                Some(body) => session.change(Change::Body(body.of_table())),
                None => session.change(Change::NoBody),
            };
            changed.map_err(|why| unchanged(session, why))?;
            one.body.clone_from(&question.body);
            one.grip = grip::Grip::default();
        }
        Ok(self.at_hand.insert(one))
    }
}

impl BodyAsked {
    fn of_table(&self) -> BodyOf {
        BodyOf {
            table: self.table.clone(),
            bytes: self.text.clone().into_bytes(),
            name: self.name.clone(),
        }
    }
}

/// Another text of the same draft, with the same values laid on it.
fn opened(question: &Question, text: &str, readers: Readers<'_>) -> Result<Session, Wrong> {
    let reader = reader(question, readers);
    let mut session = Session::open(&question.name, text, reader, library::MODULES);
    let mut lay = |change| match session.change(change) {
        // An older text may not know a value or a body's column: it is drawn without.
        Ok(()) | Err(Unchanged::Told { .. }) => Ok(()),
        Err(why) => Err(unchanged(&session, why)),
    };
    lay(Change::Values(question.values.clone()))?;
    if let Some(body) = &question.body {
        lay(Change::Body(body.of_table()))?;
    }
    Ok(session)
}

/// What reads the imports of a draft: texts that came with the question, else whatever the desk stands on.
fn reader(question: &Question, readers: Readers<'_>) -> Box<dyn Reader + Send + Sync> {
    if question.files.is_empty() {
        return readers(&question.name);
    }
    let home = question.name.rsplit_once('/').map(|(folder, _)| folder);
    Box::new(Handed {
        files: question.files.clone(),
        home: home.unwrap_or_default().to_owned(),
    })
}

/// Texts that came with a question, by their paths below the root.
struct Handed {
    files: BTreeMap<String, String>,
    home: String,
}

impl Reader for Handed {
    fn home(&self) -> &str {
        &self.home
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let text = self.files.get(path).cloned();
        text.ok_or_else(|| ReadFault::Unreadable("there is no such draft here".into()))
    }
}

fn order(form: Form, question: &Question) -> Order {
    Order {
        part: Part::default(),
        issue: Issue::default(),
        form,
        unfinished: question.unfinished,
    }
}

fn file(session: &Session, order: &Order) -> Result<Vec<u8>, Wrong> {
    let written = session.write(order);
    written
        .map(|written| written.bytes)
        .map_err(|refused| wrong_of(session, refused))
}

/// An answer, or in words why there is none: nothing is wrong with the draft, then.
fn said_or(answer: Result<impl Serialize, String>) -> Result<Vec<u8>, Wrong> {
    match answer {
        Ok(answer) => json_of(&answer),
        Err(said) => json_of(&BTreeMap::from([("said", said)])),
    }
}

fn json_of(value: &impl Serialize) -> Result<Vec<u8>, Wrong> {
    serde_json::to_vec(value).map_err(|why| Wrong::said(why.to_string()))
}

fn told(session: &Session, messages: &[Diagnostic]) -> Wrong {
    let value = json::all_to_json(session.sources(), messages, session.unit());
    Wrong::Told(value)
}

fn wrong_of(session: &Session, refused: Refused) -> Wrong {
    match refused {
        Refused::Unfinished(_) => told(session, &session.outcome().diagnostics),
        Refused::Asked(words) | Refused::Failed(words) => Wrong::said(words),
        Refused::Nothing(words) => Wrong::said(words),
    }
}

fn unchanged(session: &Session, why: Unchanged) -> Wrong {
    match why {
        Unchanged::Told { messages, .. } => told(session, &messages),
        Unchanged::NoBody(words) | Unchanged::NoTable(words) => Wrong::said(words),
        Unchanged::NoRange => Wrong::said("there is no such place in the text"),
    }
}
