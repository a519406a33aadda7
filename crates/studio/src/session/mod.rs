//! A draft at hand: its text with all that it brings in, the values laid on it, and what was drawn. It is the one door for
//! whatever shows drafts to people, a command line, a page, an editor: what must be the same wherever a draft is shown is
//! decided here, such as which errors leave no drawing and how a body is drawn that differs left from right.
//!
//! ```text
//! open(text, reader, library) → change(text | edit | value | body | unit) → outcome: messages, pattern, record → write(order)
//! ```

pub mod drawn_by;
mod form;
mod many;
pub mod places;
pub(crate) mod trail;
pub mod view;
mod write;

pub use form::{Form, Order, Part, Picture, Subject, Table};
pub use write::{Film, NOTHING_TO_CUT, Refused, Written, no_letters};

use crate::compare::Side;
use crate::sizes::sides;
use oaktag_language::check::program::Program;
use oaktag_language::check::{self, Checked, nearest_word};
use oaktag_language::draft::bodies::{self, Table as Bodies};
use oaktag_language::draft::inputs::{self, Body, Inputs};
use oaktag_language::draft::{self, Outcome};
use oaktag_language::pattern::Kept;
use oaktag_language::report::{Code, Diagnostic, FileId, SourceMap, Span};
use oaktag_language::say;
use oaktag_language::syntax::needed::Module;
use oaktag_language::syntax::project::{Project, Reader};
use oaktag_language::syntax::tree::Sentence;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::Drawing;
use std::ops::Range;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// The modules that a draft may use.
pub(crate) type Library = &'static [Module];

/// What can be changed of a draft at hand.
#[derive(Clone, Debug)]
pub enum Change {
    /// A text in place of the whole one.
    Text(String),
    /// Letters in place of a range of the text's bytes.
    Edit(Range<usize>, String),
    /// A measure or choice: `NAME=VALUE`, as it is typed; the last of a name is the strongest.
    Value(String),
    /// These values and no others, each as [`Change::Value`] takes it.
    Values(Vec<String>),
    /// A body out of a table.
    Body(BodyOf),
    /// No body: the draft's own defaults.
    NoBody,
    /// The unit of figures that people read.
    Unit(LengthUnit),
}

/// A body as it is asked for.
#[derive(Clone, Debug)]
pub struct BodyOf {
    /// What messages call the table.
    pub table: String,
    /// The table as it was read, CSV.
    pub bytes: Vec<u8>,
    /// Which of its bodies.
    pub name: String,
}

/// Why a change was not made; the draft at hand is as it was.
#[derive(Clone, Debug)]
pub enum Unchanged {
    /// Messages, at their places in what was given; of the row of a body, where `of_body` says so.
    Told {
        /// What to tell, in order.
        messages: Vec<Diagnostic>,
        /// Whether a body's own row is wrong, and not what was typed.
        of_body: bool,
    },
    /// There is no such body, in words.
    NoBody(String),
    /// The table cannot be read, in words.
    NoTable(String),
    /// The range is none of the text's.
    NoRange,
}

/// A draft at hand.
pub struct Session {
    name: String,
    text: String,
    reader: Arc<dyn Reader + Send + Sync>,
    library: Library,
    typed: Vec<String>,
    body: Option<BodyOf>,
    unit: Option<LengthUnit>,
    read: Read,
    /// What should be looked at in the table of the body.
    looked_at: Vec<Diagnostic>,
    drawn: OnceLock<Drawn>,
    /// Geometry of the drawing before, for the next.
    kept: Mutex<Kept>,
    /// Set when nobody waits for the drawing any more.
    stopped: Arc<AtomicBool>,
}

/// What was drawn, and how it lies on a sheet.
struct Drawn {
    outcome: Outcome,
    picture: OnceLock<Option<Drawing>>,
}

/// What was read, with the values laid on it.
struct Read {
    project: Project,
    checked: Checked,
    /// The draft's own unit, in which a table's figures stand that name none.
    unit: LengthUnit,
    inputs: Inputs,
}

impl Session {
    /// Opens a draft: `name` is what messages call it, and what it imports is read by `reader`.
    pub fn open(
        name: &str,
        text: &str,
        reader: Box<dyn Reader + Send + Sync>,
        library: Library,
    ) -> Self {
        let read = Read::of(&Project::default(), name, text, reader.as_ref(), library);
        Self {
            name: name.to_owned(),
            text: text.to_owned(),
            reader: Arc::from(reader),
            library,
            typed: Vec::new(),
            body: None,
            unit: None,
            read,
            looked_at: Vec::new(),
            drawn: OnceLock::new(),
            kept: Mutex::default(),
            stopped: Arc::default(),
        }
    }

    /// From here on a drawing ends soon after `stopped` is set, by another thread that has a newer text. What is then drawn is of
    /// no use, and the draft is at hand again after the next change.
    pub fn stop_by(&mut self, stopped: Arc<AtomicBool>) {
        self.stopped = stopped;
    }

    /// Changes the draft at hand; what was drawn of it is drawn anew when it is asked for.
    ///
    /// # Errors
    /// Why it was not changed.
    pub fn change(&mut self, change: Change) -> Result<(), Unchanged> {
        match change {
            Change::Text(text) => self.set_text(text),
            Change::Edit(range, letters) => {
                if self.text.get(range.clone()).is_none() {
                    return Err(Unchanged::NoRange);
                }
                let mut text = self.text.clone();
                text.replace_range(range, &letters);
                self.set_text(text)
            }
            Change::Value(typed) => {
                let setting = inputs::setting(&mut self.read.project.sources, &typed);
                let setting = setting.map_err(|wrong| Unchanged::told(vec![wrong]))?;
                self.read.inputs.set.push(setting);
                self.typed.push(typed);
                self.drawn = OnceLock::new();
                Ok(())
            }
            Change::Values(all) => {
                let sources = &mut self.read.project.sources;
                let settings = all.iter().map(|typed| inputs::setting(sources, typed));
                let (set, wrong): (Vec<_>, Vec<_>) = settings.partition(Result::is_ok);
                if !wrong.is_empty() {
                    let wrong = wrong.into_iter().filter_map(Result::err);
                    return Err(Unchanged::told(wrong.collect()));
                }
                self.read.inputs.set = set.into_iter().flatten().collect();
                self.typed = all;
                self.drawn = OnceLock::new();
                Ok(())
            }
            Change::Body(of) => {
                self.looked_at.clear();
                self.read.lay_body(&of, &mut self.looked_at)?;
                self.body = Some(of);
                self.drawn = OnceLock::new();
                Ok(())
            }
            Change::NoBody => {
                (self.body, self.read.inputs.body) = (None, None);
                self.looked_at.clear();
                self.drawn = OnceLock::new();
                Ok(())
            }
            Change::Unit(unit) => {
                self.unit = Some(unit);
                self.read.in_unit(unit);
                self.drawn = OnceLock::new();
                Ok(())
            }
        }
    }

    /// Reads a text in place of the one before, and lays the same values on it.
    fn set_text(&mut self, text: String) -> Result<(), Unchanged> {
        if self.refigure(&text) {
            self.text = text;
            return Ok(());
        }
        let (before, reader) = (&self.read.project, self.reader.as_ref());
        let mut read = Read::of(before, &self.name, &text, reader, self.library);
        for typed in &self.typed {
            let setting = inputs::setting(&mut read.project.sources, typed);
            let setting = setting.map_err(|wrong| Unchanged::told(vec![wrong]))?;
            read.inputs.set.push(setting);
        }
        if let Some(unit) = self.unit {
            read.in_unit(unit);
        }
        let mut looked_at = Vec::new();
        if let Some(of) = &self.body {
            read.lay_body(of, &mut looked_at)?;
        }
        (self.text, self.read, self.looked_at) = (text, read, looked_at);
        self.drawn = OnceLock::new();
        Ok(())
    }

    /// Where the text differs in one figure alone, writes that into what was read and checked; says whether it did.
    fn refigure(&mut self, text: &str) -> bool {
        let Some(figure) = self.read.project.refigured(text) else {
            return false;
        };
        let stands = !self.read.checked.looked_at(figure.span) && self.imports_stand();
        if !stands || !self.read.project.refigure(&figure) {
            return false;
        }
        // What was drawn holds the program, which is then copied before it is changed.
        self.drawn = OnceLock::new();
        self.read.checked.set_figure(figure.span, figure.value);
        true
    }

    /// Whether the reader gives the same for every import as when it was read.
    fn imports_stand(&self) -> bool {
        let sources = self.sources();
        let files = self.read.project.files.iter().skip(1);
        let own = files.filter(|file| !sources.is_library(file.id));
        let mut texts = own.filter_map(|file| sources.get(file.id));
        texts.all(|file| {
            let text = self.reader.read(&file.name);
            text.is_ok_and(|text| text.strip_prefix('\u{feff}').unwrap_or(&text) == &*file.text)
        })
    }

    /// What messages call the draft.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The draft as it is written now.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Every text that messages point into.
    pub fn sources(&self) -> &SourceMap {
        &self.read.project.sources
    }

    /// What should be looked at in the table that the body was taken from.
    pub fn looked_at(&self) -> &[Diagnostic] {
        &self.looked_at
    }

    /// Another draft at hand that is as this one, to try changes on; `reader` reads what it imports.
    pub(crate) fn twin(&self, reader: Arc<dyn Reader + Send + Sync>) -> Self {
        Self {
            name: self.name.clone(),
            text: self.text.clone(),
            reader,
            library: self.library,
            typed: self.typed.clone(),
            body: self.body.clone(),
            unit: self.unit,
            read: Read {
                project: self.read.project.clone(),
                checked: self.read.checked.clone(),
                unit: self.read.unit,
                inputs: self.read.inputs.clone(),
            },
            looked_at: self.looked_at.clone(),
            drawn: OnceLock::new(),
            kept: Mutex::default(),
            stopped: Arc::default(),
        }
    }

    /// What reads its imports.
    pub(crate) fn reader(&self) -> Arc<dyn Reader + Send + Sync> {
        Arc::clone(&self.reader)
    }

    /// Whether a measure or choice has a value beside the text: typed, or of a body.
    pub(crate) fn is_given(&self, name: &str) -> bool {
        let mut typed = self.typed.iter().filter_map(|typed| typed.split_once('='));
        let column = self.read.inputs.body.as_ref();
        typed.any(|(known, _)| known.trim() == name)
            || column.is_some_and(|body| body.measures.contains_key(name))
    }

    /// The draft's own text among the others; none where it could not be read at all.
    pub fn own_file(&self) -> Option<FileId> {
        self.read.project.files.first().map(|file| file.id)
    }

    /// The files that import sentences bring in, by the places of their paths; of every file.
    pub(crate) fn imported(&self) -> impl Iterator<Item = (Span, FileId)> {
        let project = &self.read.project;
        let of = |(span, at): (&Span, &usize)| Some((*span, project.file(*at)?.id));
        project.imports.iter().filter_map(of)
    }

    /// The sentences of the draft's own text.
    pub(crate) fn own_sentences(&self) -> &[Sentence] {
        let own = self.read.project.files.first();
        own.map_or(&[], |file| &file.tree.sentences)
    }

    /// The modules of the library that it uses, with those that they use.
    pub(crate) fn modules(&self) -> impl Iterator<Item = &'static Module> {
        let used = &self.read.project.modules;
        let library = self.library.iter();
        library.filter(|module| used.contains_key(module.name))
    }

    /// Another text in place of the draft's own, checked with the same imports, and where it is among them.
    pub(crate) fn checked_as(&self, text: &str) -> (Checked, FileId) {
        let (before, reader) = (&self.read.project, self.reader.as_ref());
        let read = Read::of(before, &self.name, text, reader, self.library);
        let own = read.project.files.first().map(|file| file.id);
        (read.checked, own.unwrap_or_default())
    }

    /// The files that the draft brings in, the library's aside: below the root of its imports.
    pub fn imports(&self) -> impl Iterator<Item = &str> {
        let sources = self.sources();
        let files = sources.files().skip(1);
        let own = files.filter(|(id, _)| !sources.is_library(*id));
        // Settings and tables are texts of their own, and no files of the draft.
        let is_read = |id| self.read.project.files.iter().any(|file| file.id == id);
        own.filter(move |(id, _)| is_read(*id))
            .map(|(_, file)| file.name.as_str())
    }

    /// Whether a value is given for one side of the wearer alone.
    pub fn is_sided(&self) -> bool {
        self.read.inputs.sided().next().is_some()
    }

    /// The draft drawn for its values: both sides of a body that differs left from right.
    pub fn outcome(&self) -> &Outcome {
        &self.drawn().outcome
    }

    /// Its pieces on one sheet, as a page shows them; none where nothing can be drawn.
    pub fn drawing(&self) -> Option<&Drawing> {
        let drawn = self.drawn();
        let picture = drawn.picture.get_or_init(|| match self.instead() {
            Some(before) => write::picture(&before, None),
            None => write::picture(&drawn.outcome, None),
        });
        picture.as_ref()
    }

    /// The same with each piece where it lies in another drawing.
    pub(crate) fn drawing_where(&self, before: &Drawing) -> Option<Drawing> {
        write::picture(self.outcome(), Some(before))
    }

    fn drawn(&self) -> &Drawn {
        let read = &self.read;
        self.drawn.get_or_init(|| Drawn {
            picture: OnceLock::new(),
            outcome: if self.is_sided() {
                sides::draw(&read.project, &read.checked, &read.inputs)
            } else {
                // What a thread that broke down left is whole: each part is put in place at once.
                let kept = self.kept.lock();
                let mut kept = kept.unwrap_or_else(PoisonError::into_inner);
                draft::draw_after(
                    &read.project,
                    &read.checked,
                    &read.inputs,
                    &mut kept,
                    &self.stopped,
                )
            },
        })
    }

    /// What stands before the first sentence that is wrong, drawn, and marked as the draft is; none where nothing of its own text is
    /// wrong.
    pub(super) fn drawn_before(&self) -> Option<Outcome> {
        let own = self.own_file()?;
        let outcome = self.outcome();
        let wrong = outcome.diagnostics.iter().filter(|told| told.is_error());
        let wrong = wrong.filter(|told| told.place.file == own);
        let wrong = wrong.map(|told| told.place.start).min()?;
        let mut sentences = self.own_sentences().iter();
        let first = sentences.find(|one| one.span.start <= wrong && wrong <= one.span.end)?;
        let text = self.text.get(..self.sources().bytes(first.span).start)?;
        let (before, reader) = (&self.read.project, self.reader.as_ref());
        let mut read = Read::of(before, &self.name, text, reader, self.library);
        let sources = &mut read.project.sources;
        let set = self.typed.iter();
        let set = set.filter_map(|typed| inputs::setting(sources, typed).ok());
        read.inputs.set = set.collect();
        if let Some(unit) = self.unit {
            read.in_unit(unit);
        }
        if let Some(of) = &self.body {
            read.lay_body(of, &mut Vec::new()).ok()?;
        }
        let mut drawn = sides::draw(&read.project, &read.checked, &read.inputs);
        drawn
            .pattern
            .unfinished
            .clone_from(&outcome.pattern.unfinished);
        Some(drawn)
    }

    /// The draft drawn as one half, as a lesson teaches it and a comparison holds it against another.
    pub fn half(&self) -> Outcome {
        draft::draw(&self.read.project, &self.read.checked, &self.read.inputs)
    }

    /// One side of a comparison.
    pub fn side<'a>(&'a self, label: &'a str, half: &'a Outcome) -> Side<'a> {
        Side {
            label,
            project: &self.read.project,
            outcome: half,
        }
    }
}

impl Read {
    fn of(before: &Project, name: &str, text: &str, reader: &dyn Reader, library: Library) -> Self {
        let find = |name: &str| library.iter().find(|module| module.name == name);
        let mut project = Project::load_after(before, name, text, reader, &find);
        name_modules(&mut project, library);
        let checked = check::check(&project);
        Self {
            project,
            unit: checked.program.unit,
            checked,
            inputs: Inputs::default(),
        }
    }

    fn in_unit(&mut self, unit: LengthUnit) {
        self.checked.program = self.program_in(unit);
    }

    fn program_in(&self, unit: LengthUnit) -> Arc<Program> {
        if self.checked.program.unit == unit {
            return Arc::clone(&self.checked.program);
        }
        let mut program = (*self.checked.program).clone();
        program.unit = unit;
        Arc::new(program)
    }

    /// A table read for the draft.
    fn table(&mut self, name: &str, bytes: &[u8]) -> Result<Bodies, Unchanged> {
        let (table, wrong) = self.table_as_far(name, bytes)?;
        wrong.map_or(Ok(table), |wrong| Err(Unchanged::told(wrong)))
    }

    /// A table as far as it can be read, and what is wrong with it.
    fn table_as_far(
        &mut self,
        name: &str,
        bytes: &[u8],
    ) -> Result<(Bodies, Option<Vec<Diagnostic>>), Unchanged> {
        let text = bodies::decoded(bytes);
        let text = text.map_err(|why| Unchanged::NoTable(format!("{name}: {why}")))?;
        let id = self.project.sources.add(name, &text);
        let program = self.program_in(self.unit);
        Ok(Bodies::read_as_far(&self.project.sources, id, &program))
    }

    /// Lays a body of a table on the draft; what should be looked at in the table is added to `looked_at`.
    fn lay_body(&mut self, of: &BodyOf, looked_at: &mut Vec<Diagnostic>) -> Result<(), Unchanged> {
        let table = self.table(&of.table, &of.bytes)?;
        looked_at.extend_from_slice(table.warnings());
        self.inputs.body = Some(body(&table, of)?);
        Ok(())
    }
}

/// The body of that name.
fn body(table: &Bodies, of: &BodyOf) -> Result<Body, Unchanged> {
    let names: Vec<String> = (0..table.len()).map(|at| table.name(at)).collect();
    if let Some(at) = names.iter().position(|known| *known == of.name) {
        return table.body(at).map_err(|messages| Unchanged::Told {
            messages,
            of_body: true,
        });
    }
    let near = near(&of.name, names.iter().map(String::as_str));
    Err(Unchanged::NoBody(format!(
        "{} has no body `{}`.{near}",
        of.table, of.name
    )))
}

impl Unchanged {
    fn told(messages: Vec<Diagnostic>) -> Self {
        Self::Told {
            messages,
            of_body: false,
        }
    }
}

/// What stands behind a name that is not there: the nearest that is, or nothing.
pub fn near<'n>(name: &str, known: impl Iterator<Item = &'n str>) -> String {
    nearest_word(name, known)
        .map(|near| format!(" Did you mean `{near}`?"))
        .unwrap_or_default()
}

/// A module that the library has not got may be one misspelt.
fn name_modules(project: &mut Project, library: Library) {
    for told in &mut project.diagnostics {
        if told.code != Code::UnknownModule {
            continue;
        }
        let modules = library.iter().map(|module| module.name);
        let near = nearest_word(project.sources.slice(told.place), modules.clone());
        *told = match near {
            Some(near) => told.clone().meant(near),
            None => {
                let all = modules.collect::<Vec<_>>().join(", ");
                told.clone().help(say!("It has {}.", all))
            }
        };
    }
}
