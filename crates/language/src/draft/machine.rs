//! Carrying out the sentences: frames of values, the record, and the bounds within which every draft ends.

use super::anew::{Lines, Thing};
use super::fault::{Stop, with_step};
use super::handover::Tags;
use super::inputs::Inputs;
use super::record::{Entry, EntryId, Record, Said, TrialSummary, ValueId, Worked};
use crate::check::program::{
    Branches, Drawing, Node, Op, Program, Saying, SayingKind, SiteId, Slot,
};
use crate::kind::Kind;
use crate::pattern::spec::Drawn;
use crate::phrase::Value;
use crate::phrase::aid::Aid;
use crate::report::{Code, Diagnostic, SourceMap, Span};
use crate::voice::{self, Words};
use oaktag_geometry::LARGEST;
use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, Ordering};

/// Most work done in one run, trials included: a sentence is one, a phrase as much as [`super::work`] says.
pub(super) const MOST_WORK: u64 = 3_000_000;

/// So much work is done between two looks at whether anybody still waits for it.
const BETWEEN_LOOKS: u64 = 2_000;

/// Most items in one list.
pub(super) const MOST_ITEMS: usize = 10_000;

/// Most items of a list, and pieces of line, in one value.
pub(super) const MOST_PARTS: u64 = 20_000;

/// Most operations inside one another.
pub(super) const MOST_CALLS: usize = 64;

/// What a run leaves.
pub(super) struct Done {
    pub drawn: Drawn,
    pub tags: Tags,
    pub record: Record,
    pub diagnostics: Vec<Diagnostic>,
}

/// Values of the draft itself, or of one call of an operation.
#[derive(Default)]
pub(super) struct Frame {
    pub values: Vec<Option<Value>>,
    /// Which entry drew each value, and as which of its own.
    pub drawn_by: Vec<Option<ValueId>>,
    /// Which value each is, whatever it is called.
    pub things: Vec<Option<Thing>>,
    /// Results given so far.
    pub results: Vec<Option<Value>>,
    /// Which values they are.
    pub given: Vec<Option<Thing>>,
    /// The operation called, and which call it is.
    pub routine: Option<usize>,
    pub number: u32,
    /// The entry of the sentence that called.
    pub call: Option<EntryId>,
}

impl Frame {
    pub(super) fn new(slots: u32) -> Self {
        let slots = slots as usize;
        Self {
            values: vec![None; slots],
            drawn_by: vec![None; slots],
            things: vec![None; slots],
            ..Self::default()
        }
    }
}

pub(super) struct Machine<'a> {
    pub program: &'a Program,
    pub sources: &'a SourceMap,
    pub inputs: &'a Inputs,
    /// The draft's own frame first, then one for each call being carried out.
    pub frames: Vec<Frame>,
    pub record: Record,
    /// What became of each value that was drawn.
    pub lines: Lines<'a>,
    pub drawn: Drawn,
    pub tags: Tags,
    pub diagnostics: Vec<Diagnostic>,
    /// Inside a trial or an operation the first fault ends it all.
    pub strict: u32,
    /// Inside a trial nothing is recorded.
    pub quiet: u32,
    /// Whether what each sentence did is recorded at all.
    pub recording: bool,
    /// Aids left by the sentence being carried out.
    pub aids: Vec<Aid>,
    /// Arguments of the phrases being carried out, those of the innermost last; none where one is left out.
    pub arguments: Vec<Option<Value>>,
    /// Figures worked out in the sentence being carried out.
    pub worked: Vec<Worked>,
    /// Which time in each `each` being carried out.
    pub times: Vec<u32>,
    /// The sentence being carried out.
    pub site: Option<SiteId>,
    /// Work done so far.
    pub work: u64,
    /// Too much was done; nothing more is.
    pub exhausted: bool,
    /// Told from another thread that nobody waits for the drawing any more.
    pub stopped: Option<&'a AtomicBool>,
    /// More work than this is begun only after a look at that, and at how much there may be.
    pub until: u64,
    /// A `require` refused the body: limits and measures are still told, nothing more is drawn.
    pub refused: bool,
    /// The next entry is for this call.
    pub calling: Option<EntryId>,
    /// Numbers of pieces that could not be handed over.
    pub lost_pieces: Vec<usize>,
    /// Places of the draft's own values that sentences would have filled which were not carried out.
    pub lost: BTreeSet<Slot>,
    /// Lists of lines of which one is not drawn, by name.
    pub lost_lists: Vec<String>,
}

/// Carries out a program; `recording` says whether what each sentence did is wanted, too.
pub(super) fn run(
    program: &Program,
    sources: &SourceMap,
    inputs: &Inputs,
    recording: bool,
    stopped: Option<&AtomicBool>,
) -> Done {
    let mut machine = Machine {
        program,
        sources,
        inputs,
        frames: vec![Frame::new(program.slots)],
        record: Record::default(),
        lines: Lines::default(),
        drawn: Drawn {
            title: program.title.clone(),
            unit: program.unit,
            ..Drawn::default()
        },
        tags: Tags::default(),
        diagnostics: Vec::new(),
        strict: 0,
        quiet: 0,
        recording,
        aids: Vec::new(),
        arguments: Vec::new(),
        worked: Vec::new(),
        times: Vec::new(),
        site: None,
        work: 0,
        exhausted: false,
        stopped,
        until: stopped.map_or(MOST_WORK, |_| BETWEEN_LOOKS),
        refused: false,
        calling: None,
        lost_pieces: Vec::new(),
        lost: BTreeSet::new(),
        lost_lists: Vec::new(),
    };
    machine.check_settings();
    // A `Stop` here has been told where it happened.
    let _ = machine.ops(&program.body);
    machine.settle_checks();
    machine.withhold_seams();
    machine.hand_over();
    machine.tell_left_out();
    machine.hand_over_lost();
    Done {
        drawn: machine.drawn,
        tags: machine.tags,
        record: machine.record,
        diagnostics: machine.diagnostics,
    }
}

impl<'a> Machine<'a> {
    /// Carries out a row of sentences.
    ///
    /// # Errors
    /// Only inside a trial or an operation.
    pub(super) fn ops(&mut self, ops: &'a [Op]) -> Result<(), Stop> {
        for op in ops {
            let done = self.charge(1).and_then(|()| {
                self.record.sentences += 1;
                self.op(op)
            });
            if let Err(stop) = done {
                self.stopped(op, stop)?;
            }
        }
        Ok(())
    }

    /// Counts work, so that every draft ends.
    ///
    /// # Errors
    /// Where no more is done; that is told once.
    #[inline]
    pub(super) fn charge(&mut self, work: u64) -> Result<(), Stop> {
        self.work = self.work.saturating_add(work);
        match self.work <= self.until {
            true => Ok(()),
            false => self.go_on(),
        }
    }

    #[cold]
    fn go_on(&mut self) -> Result<(), Stop> {
        let stopped = self
            .stopped
            .is_some_and(|told| told.load(Ordering::Relaxed));
        if !stopped && self.work <= MOST_WORK {
            self.until = (self.work + BETWEEN_LOOKS).min(MOST_WORK);
            return Ok(());
        }
        if !self.exhausted {
            self.exhaust();
        }
        Err(Stop::Exhausted)
    }

    fn exhaust(&mut self) {
        self.exhausted = true;
        let site = self.site.and_then(|id| self.program.site(id));
        let span = site.map(|site| site.span).unwrap_or_default();
        let message = format!(
            "This draft is more work than any pattern needs: it was stopped here after {} sentences, trials included.",
            self.record.sentences
        );
        let help = "Take fewer rounds of `each`, fewer `try` inside one another, or fewer acts that call others.";
        let diagnostic = Diagnostic::error(Code::TooManySteps, span, message).help(help);
        // First, since it is why things are missing; later messages may be too many to be shown.
        self.diagnostics
            .insert(0, with_step(diagnostic, self.program, self.site));
    }

    /// A sentence that was not carried out: its names are missing, and the rest goes on.
    fn stopped(&mut self, op: &'a Op, stop: Stop) -> Result<(), Stop> {
        if self.strict > 0 {
            return Err(stop);
        }
        self.lose(op);
        self.not_judged_in(op, &self.why_left_out(&stop));
        match (op, stop) {
            // Counted as not judged.
            (Op::Check(_) | Op::Seam(_), Stop::Missing(_)) | (_, Stop::Exhausted) => {}
            (_, Stop::Missing(_)) => self.record.left_out += 1,
            (_, Stop::Told(told)) => {
                let told = with_step(told, self.program, self.site);
                self.diagnostics.push(told);
            }
        }
        Ok(())
    }

    fn op(&mut self, op: &'a Op) -> Result<(), Stop> {
        if self.refused && !matches!(op, Op::Measure(_) | Op::Require(_)) {
            self.lose(op);
            self.not_judged_in(op, "the draft refuses this body");
            return Ok(());
        }
        match op {
            Op::Measure(number) => self.settle_measure(*number),
            Op::Draw(drawing) => self.draw(drawing),
            Op::Number { slot, figure } => {
                self.put(*slot, Some(Value::Quantity(*figure)), None);
                Ok(())
            }
            Op::Carry { from, to } => {
                let (value, by) = (self.value(*from).cloned(), self.drawn_as(*from));
                if value.is_none() && self.frames.len() == 1 {
                    self.lost.insert(*to);
                }
                let thing = self.thing_of(*from);
                self.put(*to, value, by);
                self.keep_thing(*to, thing);
                Ok(())
            }
            Op::Try(trial) => self.trial(trial),
            Op::If(choice) => self.choose(choice),
            Op::Require(claim) => self.require(claim),
            Op::Check(claim) => self.check(claim),
            Op::Say(saying) => self.say(saying),
            Op::Give(givings) => {
                for giving in givings {
                    let value = self.eval(&giving.value)?;
                    let thing = match &giving.value {
                        Node::Slot(slot) => self.thing_of(*slot),
                        _ => None,
                    };
                    if let Some(frame) = self.frames.last_mut() {
                        if frame.results.len() <= giving.result {
                            frame.results.resize(giving.result + 1, None);
                        }
                        frame.given.resize(frame.results.len(), None);
                        if let Some(place) = frame.given.get_mut(giving.result) {
                            *place = thing;
                        }
                        if let Some(place) = frame.results.get_mut(giving.result) {
                            *place = Some(value);
                        }
                    }
                }
                Ok(())
            }
            Op::Piece(number) => self.piece(*number),
            Op::Seam(number) => self.seam(*number),
        }
    }

    /// The value in a slot.
    pub(super) fn value(&self, slot: Slot) -> Option<&Value> {
        let (frame, at) = match slot {
            Slot::Local(at) => (self.frames.last()?, at),
            Slot::Global(at) => (self.frames.first()?, at),
        };
        frame.values.get(at as usize)?.as_ref()
    }

    /// The entry that drew what is in a slot.
    pub(super) fn entry_of(&self, slot: Slot) -> Option<EntryId> {
        Some(self.drawn_as(slot)?.entry)
    }

    /// Which value of which entry is in a slot.
    pub(super) fn drawn_as(&self, slot: Slot) -> Option<ValueId> {
        let (frame, at) = match slot {
            Slot::Local(at) => (self.frames.last()?, at),
            Slot::Global(at) => (self.frames.first()?, at),
        };
        frame.drawn_by.get(at as usize).copied().flatten()
    }

    /// Puts a value into a slot.
    pub(super) fn put(&mut self, slot: Slot, value: Option<Value>, by: Option<ValueId>) {
        let (frame, at) = match slot {
            Slot::Local(at) => (self.frames.last_mut(), at as usize),
            Slot::Global(at) => (self.frames.first_mut(), at as usize),
        };
        let Some(frame) = frame else { return };
        if let Some(place) = frame.values.get_mut(at) {
            *place = value;
        }
        if let Some(place) = frame.things.get_mut(at) {
            *place = None;
        }
        if let Some(place) = frame.drawn_by.get_mut(at) {
            *place = by;
        }
    }

    fn draw(&mut self, drawing: &'a Drawing) -> Result<(), Stop> {
        self.site = Some(drawing.site);
        self.aids.clear();
        self.worked.clear();
        for slot in &drawing.targets {
            self.put(*slot, None, None);
        }
        let before = self.told_so_far();
        // The entry stands before those of an operation it calls.
        let entry = self.open_entry(drawing.site);
        let outer = std::mem::replace(&mut self.calling, entry);
        let value = self.eval(&drawing.value);
        self.calling = outer;
        self.site = Some(drawing.site);
        let values = value.and_then(|value| self.values_for(drawing, value));
        match values {
            Ok(values) => {
                for ((slot, value), at) in drawing.targets.iter().zip(&values).zip(0..) {
                    let by = entry.map(|entry| ValueId { entry, at });
                    self.put(*slot, Some(value.clone()), by);
                }
                self.note_lines(drawing, &values);
                self.close_entry(entry, values, None);
                Ok(())
            }
            Err(stop) => {
                self.abandon_entry(entry);
                self.take_back(before);
                Err(stop)
            }
        }
    }

    fn values_for(&mut self, drawing: &Drawing, value: Value) -> Result<Vec<Value>, Stop> {
        let span = self
            .program
            .site(drawing.site)
            .map(|site| site.value)
            .unwrap_or_default();
        let values = match value {
            Value::List(items) if drawing.apart => items.to_vec(),
            one => vec![one],
        };
        if values.len() != drawing.targets.len() {
            let message = format!(
                "{} for {}.",
                voice::count(drawing.targets.len(), "name"),
                voice::count(values.len(), "value")
            );
            return Err(Diagnostic::error(Code::NamesAndValues, span, message).into());
        }
        let size = super::work::size_of_all(&values);
        self.charge(size)?;
        if size > MOST_PARTS {
            return Err(super::work::too_many_parts(span));
        }
        if !values.iter().all(reasonable) {
            let message = "This comes out as no figure, or one larger than any paper.";
            let told = Diagnostic::error(Code::FigureTooLarge, span, message);
            return Err(told
                .note("Everything is drawn within 10 km of the origin.")
                .into());
        }
        Ok(values)
    }

    /// Whether what is being done is recorded.
    pub(super) fn records(&self) -> bool {
        self.recording && self.quiet == 0
    }

    /// Begins the entry of a sentence, so that what it calls comes after it.
    pub(super) fn open_entry(&mut self, site: SiteId) -> Option<EntryId> {
        if !self.records() {
            return None;
        }
        let info = self.program.site(site)?;
        let read = info.reads.iter();
        let read = read.filter_map(|slot| self.drawn_as(*slot)).collect();
        let replaced = info
            .targets
            .iter()
            .filter_map(|target| self.drawn_as(target.replaces?))
            .collect();
        let call = self.frames.last().and_then(|frame| frame.call);
        let id = EntryId(u32::try_from(self.record.entries.len()).unwrap_or(u32::MAX));
        let entry = Entry {
            site,
            values: Vec::new(),
            call,
            times: self.times.clone(),
            read,
            replaced,
            aids: Vec::new(),
            trial: None,
            worked: Vec::new(),
        };
        self.record.entries.push(entry);
        Some(id)
    }

    /// Ends the entry with its values.
    pub(super) fn close_entry(
        &mut self,
        id: Option<EntryId>,
        values: Vec<Value>,
        trial: Option<TrialSummary>,
    ) {
        let aids = std::mem::take(&mut self.aids);
        let worked = std::mem::take(&mut self.worked);
        if let Some(entry) = id.and_then(|id| self.record.entries.get_mut(id.0 as usize)) {
            entry.values = values;
            entry.aids = aids;
            entry.worked = worked;
            entry.trial = trial;
        }
    }

    /// Keeps a figure that stands at a place of the sentence; nobody asks for it while a trial is being drawn.
    pub(super) fn keep_worked(&mut self, span: Span, value: &Value, kind: Option<Kind>) {
        if let (true, Some(kind), Value::Quantity(figure) | Value::Turn(figure)) =
            (self.records(), kind, value)
        {
            self.worked.push(Worked {
                span,
                figure: *figure,
                kind,
            });
        }
    }

    /// Nothing came of it: the entry and all it called are taken back.
    pub(super) fn abandon_entry(&mut self, id: Option<EntryId>) {
        if let Some(id) = id {
            self.record.entries.truncate(id.0 as usize);
        }
    }

    fn choose(&mut self, choice: &'a Branches) -> Result<(), Stop> {
        for (condition, body) in &choice.branches {
            if self.holds(condition)? {
                return self.ops(body);
            }
        }
        self.ops(&choice.otherwise)
    }

    fn say(&mut self, saying: &'a Saying) -> Result<(), Stop> {
        if self.quiet > 0 {
            return Ok(());
        }
        self.site = Some(saying.site);
        let text = self.words(&saying.text)?;
        let slip = match &saying.slip {
            Some((of, node, kind)) => {
                let figure = super::printed::printed(&self.eval(node)?, kind);
                Some((of.clone(), figure.in_unit(self.program.unit).into_owned()))
            }
            None => None,
        };
        let letters = text.in_unit(self.program.unit).into_owned();
        if saying.kind == SayingKind::Caution {
            self.caution(saying.site, text, &letters);
        }
        if !self.recording {
            return Ok(());
        }
        let call = self.frames.last().and_then(|frame| frame.call);
        self.record.said.push(Said {
            site: saying.site,
            kind: saying.kind,
            text: letters,
            slip,
            call,
        });
        Ok(())
    }

    /// Warns, at the draft's own sentence where an operation says it, and puts it among what is printed.
    fn caution(&mut self, site: SiteId, text: Words, letters: &str) {
        let span_of = |id: SiteId| self.program.site(id).map(|s| s.span);
        let called = self.frames.get(1).and_then(|frame| frame.call);
        let caller = called.and_then(|entry| self.record.entries.get(entry.0 as usize));
        let place = caller.map_or(site, |entry| entry.site);
        let is_empty = letters.trim().is_empty();
        let words = if is_empty {
            "This caution says nothing.".into()
        } else {
            text
        };
        let mut warning =
            Diagnostic::warning(Code::Caution, span_of(place).unwrap_or_default(), words);
        if place != site
            && let Some(inner) = span_of(site)
        {
            warning = warning.see(inner, "said here");
        }
        if !is_empty {
            self.drawn.cautions.push(letters.to_owned());
        }
        self.diagnostics
            .push(with_step(warning, self.program, Some(place)));
    }
}

/// Whether a value is finite and on the paper.
fn reasonable(value: &Value) -> bool {
    match value {
        Value::Point(point) => {
            point.is_finite() && point.x.abs() <= LARGEST && point.y.abs() <= LARGEST
        }
        Value::Quantity(figure) | Value::Turn(figure) => {
            figure.is_finite() && figure.abs() <= LARGEST * LARGEST
        }
        Value::Direction(way) => way.is_finite(),
        Value::List(items) => items.iter().all(reasonable),
        Value::Path(_) | Value::Bearing(_) | Value::Text(_) | Value::Answer(_) | Value::Absent => {
            true
        }
    }
}
