//! The state of a check: the file being read, the layers of names, the program being built and the messages so far.

use super::Checked;
use super::mend::{MOST_TRIED, Tried};
use super::offers::{Offer, Offered};
use super::operation::OperationCode;
use super::program::{
    Figure, FinalName, FormRef, Node, Program, Site, SiteId, Slot, StepId, StepInfo, Target,
};
use super::scope::{Binding, Bound, Layer, LayerKind, Lines, Names, Sheet};
use super::shape::Member;
use crate::kind::Kind;
use crate::phrase::Table;
use crate::report::{self, Code, Diagnostic, Span};
use crate::syntax::project::Project;
use crate::syntax::tree::{self, SentenceKind};
use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

/// Most messages shown of one check; more hide the ones that matter.
const MOST_SHOWN: usize = 60;

/// Most messages kept before they are sorted.
const MOST_KEPT: usize = 1000;

/// The file being checked, and under which name.
#[derive(Clone, Default)]
pub(super) struct FileContext {
    /// Its number in the project.
    pub index: usize,
    /// Sentences that a file has once, with where they stand.
    pub said_once: BTreeMap<&'static str, Span>,
    /// Prefix of full names drawn in it: `""` in the main draft, `house.` in an import.
    pub prefix: String,
    pub title: String,
    /// Where each name is first drawn, to tell "drawn further down" from "unknown".
    pub drawn: Rc<BTreeMap<Arc<str>, Span>>,
    /// Names that are drawn inside an `each`, and whether it is one that is laid out.
    pub in_each: Rc<BTreeMap<Arc<str>, (Span, bool)>>,
    /// Names that sentences which could not be read would have drawn.
    pub broken: Rc<BTreeSet<Arc<str>>>,
    /// Every operation the file declares, to tell "further down" from "unknown".
    pub operations: Rc<BTreeMap<Arc<str>, Span>>,
    /// A module could not be brought in, so that heads which are not known may be its.
    pub heads_lost: bool,
    /// Operations that can be called, by head.
    pub heads: Rc<BTreeMap<String, Vec<usize>>>,
    /// Measures and choices of this file and of the modules it uses, as operations see them.
    pub globals: Rc<Names>,
}

/// What an operation gives.
#[derive(Clone, Default)]
pub(super) struct Given {
    /// The values in order; of a panel by their paths on it.
    pub members: Vec<Member>,
    /// The panel, as the operation knows it.
    pub sheet: Rc<Sheet>,
}

/// The name of a panel and the number of what it offers.
pub(super) type PanelOffers = (Arc<str>, usize);

/// What `give` does in the body being checked.
pub(super) enum GiveFrame {
    /// In an operation: the results as first given.
    Operation {
        /// What the head promises.
        gives: Kind,
        /// As given so far.
        given: Option<Given>,
        /// The name and offers of a panel that is given alone.
        offers: Option<PanelOffers>,
    },
    /// In `each`: the value given at the end.
    Each {
        /// As it was given.
        value: Option<Typed>,
    },
}

/// Where the check stands: what names mean there, and what it is in the midst of. To enter a file, an operation or the home of
/// a default is to swap it whole, so that nothing of one place is left lying in another.
#[derive(Default)]
pub(super) struct Place {
    pub file: FileContext,
    pub layers: Vec<Layer>,
    /// How many slots the routine being made has so far.
    pub slots: u32,
    /// What the sentence being checked reads.
    pub reads: Vec<Slot>,
    /// Something in the sentence being checked is wrong: it is left out.
    pub broken: bool,
    /// Some sentence here could not be read.
    pub lost: bool,
    pub step: Option<StepId>,
    pub steps_here: usize,
    pub gives: Vec<GiveFrame>,
    /// The texts that parameters of the operation being checked may be.
    pub texts: BTreeMap<Slot, super::texts::Texts>,
    /// The operation whose body is being checked, by head.
    pub operation: Option<String>,
    /// The head of that operation says what it needs.
    pub says_needs: bool,
    /// The panels that it is given, as it calls them.
    pub panels: Vec<Arc<str>>,
    /// It is checked before anybody calls it.
    pub is_declared: bool,
    /// Names of its panels that were asked for with `is drawn`, and are not there.
    pub asks: RefCell<BTreeSet<(usize, Arc<str>)>>,
    /// A `require` refuses what the operation is given, by names alone: nothing after it is looked at.
    pub refused: bool,
    /// Choices set on the import line of the file being checked.
    pub import_settings: Vec<(tree::Word, Typed)>,
    /// What each `each` being checked carries on, the innermost last.
    pub carrying: Vec<super::carry::Carrying>,
    /// What was laid out by an `each`, by the names that its block draws.
    pub laid: BTreeMap<Arc<str>, Rc<[super::lay_out::Copy]>>,
    /// What the branches being checked of an `each` that is laid out hang on.
    pub hangs_on: Vec<Node>,
}

/// Everything the check keeps in mind.
pub(super) struct Checker<'a> {
    pub here: Place,
    pub project: &'a Project,
    pub table: &'static Table,
    pub program: Program,
    pub diagnostics: Vec<Diagnostic>,
    /// Where figures and letters were looked at, and not only carried over into the program.
    pub looked_at: RefCell<Vec<Span>>,
    pub operations: Vec<OperationCode<'a>>,
    pub offers: Vec<Offer<'a>>,
    /// Some call was refused by names alone, so that what would have followed it reads nothing.
    pub has_refused: bool,
    /// Body measures by name: number in the program, and whether read.
    pub body_measures: BTreeMap<String, (usize, Rc<Cell<bool>>)>,
    /// Every name drawn in the main draft, to warn of those nothing reads.
    pub fresh: Vec<(Binding, Arc<str>, Kind)>,
    /// Steps that say in a note what is drawn in them: a line there is drawn to be looked at.
    pub noted: BTreeSet<StepId>,
    /// Modules already checked, with their operations and measures.
    pub modules: BTreeMap<usize, FileContext>,
    /// Operations of the library are checked though nobody calls them.
    pub holds_library: bool,
    /// Names that were looked for on panels and are not there.
    pub(super) lacking: Vec<String>,
    /// Names that the operation being checked reads, and its head does not say.
    pub(super) unsaid: Vec<super::needs::Unsaid>,
    /// Pieces and seams offered by the imports and operations being checked, innermost last.
    pub offering: Vec<Vec<Offered<'a>>>,
    /// The sentence whose offers are being taken.
    pub taking: Option<Span>,
    /// What the sentences that are taking now leave behind, the outermost first.
    pub(super) left_there: Vec<super::left_there::LeftThere<'a>>,
    /// What is being taken from now, the innermost last.
    pub(super) renamed: Vec<super::taken_from::Renamed>,
    /// Seams of the `each` being laid out, which wait until all copies are there.
    pub(super) waiting: Vec<super::copies::Waiting<'a>>,
    /// Where it says how often an `each` goes round that lays out copies which may not be asked for.
    pub(super) laid_counts: BTreeSet<Span>,
    /// Seams that were laid out, by the name in the block.
    pub(super) laid_seams: BTreeMap<String, Vec<String>>,
    /// Where each piece and each seam was taken from.
    pub(super) piece_homes: BTreeMap<String, super::taken_from::TakenFrom>,
    pub(super) seam_homes: BTreeMap<String, super::taken_from::TakenFrom>,
    /// Full names of pieces and seams so far.
    pub piece_names: BTreeMap<String, Span>,
    pub seam_names: BTreeMap<String, Span>,
    /// Seams as the main draft makes them up, until all are known.
    pub ordered: Vec<&'a tree::Word>,
    /// Places of the texts where something is wrong to read, in order.
    pub(super) wrong: Vec<Span>,
    /// Measures of which a sentence that is wrong to read says the value.
    pub(super) lost_measures: BTreeSet<Arc<str>>,
    /// A module is not brought in, which may say how measures are worked out.
    pub(super) use_lost: bool,
    /// Cloths that are declared by sentences that are wrong.
    pub(super) lost_cloths: BTreeSet<String>,
    /// How many imports were checked so far.
    pub imported: usize,
    /// Names carried from sheet to sheet and into branches so far.
    pub copied: usize,
    /// Whether it was told that they are too many.
    pub told_copied: bool,
    /// Sentences that were tried in place of wrong ones.
    pub(super) tried: &'a Tried,
    /// How many more may be tried.
    pub(super) tries: usize,
    /// Messages of reading in whose place the check has a better one.
    pub(super) answered: Vec<(Span, Code)>,
}

/// Checks the whole project; the library's operations by themselves, too, where that is asked for.
pub(super) fn run(project: &Project, holds_library: bool) -> Checked {
    let tried = Tried::default();
    let mut checker = Checker::new(project, &tried, holds_library);
    checker.note_wrong();
    checker.settle_unit();
    checker.collect_measures();
    let body = checker.main_file();
    checker.program.body.extend(body);
    checker.finish()
}

#[derive(Clone)]
pub(super) struct Typed {
    pub node: Node,
    pub kind: Kind,
    pub span: Span,
    pub form: Option<super::program::FormRef>,
    /// The name, where it is a plain one.
    pub name: Option<Arc<str>>,
    /// What a panel holds.
    pub shape: Option<Rc<super::shape::Shape>>,
    /// A plain figure without a unit.
    pub is_figure: bool,
    /// Where it is a list of lines that have names: those names.
    pub lines: Option<Lines>,
}

impl Typed {
    pub(super) fn new(node: Node, kind: Kind, span: Span) -> Self {
        Self {
            node,
            kind,
            span,
            form: None,
            name: None,
            shape: None,
            is_figure: false,
            lines: None,
        }
    }

    /// A panel, by its name.
    pub(super) fn of_sheet(name: &str, sheet: &Rc<super::scope::Sheet>, span: Span) -> Self {
        let shape = super::shape::Shape::named(sheet);
        Self {
            name: Some(name.into()),
            shape: Some(Rc::new(shape)),
            ..Self::new(Node::PANEL, Kind::Panel, span)
        }
    }

    /// Stands for something already reported.
    pub(super) fn unknown(span: Span) -> Self {
        Self::new(Node::TOLD, Kind::Unknown, span)
    }
}

impl<'a> Checker<'a> {
    /// Checks something at another place, and gives that place back as it was left.
    pub(super) fn at<T>(&mut self, place: Place, check: impl FnOnce(&mut Self) -> T) -> (T, Place) {
        let outer = std::mem::replace(&mut self.here, place);
        let result = check(self);
        (result, std::mem::replace(&mut self.here, outer))
    }

    /// Checks something at a place of the same routine: its slots go on from there, and what is wrong there is wrong here.
    pub(super) fn beside<T>(
        &mut self,
        place: Place,
        check: impl FnOnce(&mut Self) -> T,
    ) -> (T, Place) {
        let place = Place {
            slots: self.here.slots,
            ..place
        };
        let (result, left) = self.at(place, check);
        self.here.slots = left.slots;
        self.here.broken |= left.broken;
        (result, left)
    }

    fn new(project: &'a Project, tried: &'a Tried, holds_library: bool) -> Self {
        Self {
            here: Place::default(),
            project,
            table: Table::built_in(),
            program: Program::default(),
            diagnostics: Vec::new(),
            looked_at: RefCell::default(),
            operations: Vec::new(),
            offers: Vec::new(),
            has_refused: false,
            body_measures: BTreeMap::new(),
            fresh: Vec::new(),
            noted: BTreeSet::new(),
            modules: BTreeMap::new(),
            holds_library,
            lacking: Vec::new(),
            unsaid: Vec::new(),
            offering: Vec::new(),
            taking: None,
            left_there: Vec::new(),
            renamed: Vec::new(),
            waiting: Vec::new(),
            laid_counts: BTreeSet::new(),
            laid_seams: BTreeMap::new(),
            piece_homes: BTreeMap::new(),
            seam_homes: BTreeMap::new(),
            piece_names: BTreeMap::new(),
            seam_names: BTreeMap::new(),
            ordered: Vec::new(),
            wrong: Vec::new(),
            lost_measures: BTreeSet::new(),
            use_lost: false,
            lost_cloths: BTreeSet::new(),
            imported: 0,
            copied: 0,
            told_copied: false,
            tried,
            tries: MOST_TRIED,
            answered: Vec::new(),
        }
    }

    fn finish(mut self) -> Checked {
        self.settle_order();
        self.warn_of_unused();
        self.program.slots = self.here.slots;
        let names = self
            .here
            .layers
            .first()
            .map(|layer| layer.names.clone())
            .unwrap_or_default();
        self.final_names("", &names);
        self.program
            .names
            .sort_by(|a, b| (a.site, &a.name).cmp(&(b.site, &b.name)));
        self.program.sort_names_by_slot();
        let mut seen = BTreeSet::new();
        let read = self.project.diagnostics.iter();
        let read = read.filter(|one| !self.answered.contains(&(one.place, one.code)));
        let mut diagnostics: Vec<Diagnostic> = read.cloned().collect();
        diagnostics.extend(self.diagnostics);
        diagnostics.sort_by_key(|d| (d.place.file, d.place.start));
        let unit = self.program.unit;
        let said = |d: &Diagnostic| d.message.in_unit(unit).into_owned();
        diagnostics.retain(|d| seen.insert((d.place, d.code, said(d))));
        if self.has_refused || diagnostics.iter().any(Diagnostic::is_error) {
            // Whatever a wrong sentence read looks unread.
            diagnostics.retain(|d| !matches!(d.code, Code::NameUnused | Code::MeasureUnused));
        }
        self.program.is_wrong = diagnostics.iter().any(Diagnostic::is_error);
        let diagnostics = report::at_most(diagnostics, MOST_SHOWN);
        Checked {
            program: Arc::new(self.program),
            diagnostics,
            looked_at: self.looked_at.into_inner(),
        }
    }

    pub(super) fn final_names(&mut self, prefix: &str, names: &Names) {
        for (name, binding) in names {
            let full = format!("{prefix}{name}");
            match &binding.bound {
                // What is on the panels of a list has its names there.
                Bound::Value { kind, .. } if kind.holds_panels() => {}
                Bound::Value {
                    slot,
                    kind,
                    site: Some(site),
                } => {
                    let lines = binding.lines.iter().flat_map(|lines| lines.iter());
                    let lines = lines.map(|line| format!("{prefix}{}", line.join(".")));
                    self.program.names.push(FinalName {
                        lines: lines.collect(),
                        name: full,
                        slot: *slot,
                        kind: kind.clone(),
                        site: *site,
                    });
                }
                Bound::Sheet(sheet) => {
                    self.final_names(&format!("{full}."), &sheet.members);
                    if sheet.is_open {
                        self.program.not_drawn.push(full);
                    }
                }
                Bound::OnOneBranch(_, drawn) => {
                    for (slot, kind, site) in drawn {
                        self.program.names.push(FinalName {
                            name: full.clone(),
                            slot: *slot,
                            kind: kind.clone(),
                            site: *site,
                            lines: Vec::new(),
                        });
                    }
                }
                Bound::Value { site: None, .. } => {}
            }
        }
    }

    fn main_file(&mut self) -> Vec<super::program::Op> {
        let Some(file) = self.project.file(0) else {
            return Vec::new();
        };
        self.enter_file(0, String::new());
        self.sentences(&file.tree.sentences)
    }

    /// Begins a file: a fresh layer and context.
    pub(super) fn enter_file(&mut self, index: usize, prefix: String) {
        let file = self.project.file(index);
        let drawn = file.map(|f| drawn_names(&f.tree.sentences));
        let in_each = file.map(|f| super::lay_out::names_in_each(&f.tree.sentences));
        let operations = file.map(|f| declared_operations(&f.tree.sentences));
        let broken = file.map(|f| f.broken_names.iter().map(|b| Arc::clone(&b.text)).collect());
        self.here.file = FileContext {
            index,
            prefix: prefix.clone(),
            drawn: Rc::new(drawn.unwrap_or_default()),
            in_each: Rc::new(in_each.unwrap_or_default()),
            broken: Rc::new(broken.unwrap_or_default()),
            operations: Rc::new(operations.unwrap_or_default()),
            ..FileContext::default()
        };
        self.here.layers = vec![Layer::new(LayerKind::File, "", prefix)];
        self.here.step = None;
        self.here.steps_here = 0;
    }

    /// Whether the file is the one the user asked for.
    pub(super) fn in_main(&self) -> bool {
        self.here.file.index == 0 && self.here.operation.is_none()
    }

    /// The text of a span. What was said of it does not stand where a figure in it is changed.
    pub(super) fn said(&self, span: Span) -> &'a str {
        self.looked_at.borrow_mut().push(span);
        self.project.sources.slice(span)
    }

    /// Whether letters stand in a figure.
    pub(super) fn has_letters(&self, figure: Span) -> bool {
        let letters = self.project.sources.slice(figure);
        letters.contains(|c: char| c.is_alphabetic())
    }

    /// A figure as it stands in the text; whether it is looked at is for those who use it to say.
    pub(super) fn written_figure(&mut self, value: f64, span: Span) -> Node {
        let at = u32::try_from(self.program.figures.len()).unwrap_or(u32::MAX);
        self.program.figures.push(Figure { value, span });
        Node::Figure(at)
    }

    /// What a node comes to that is a figure and nothing else: what follows from it does not stand where it is changed.
    pub(super) fn look_at(&self, node: &Node) -> Option<f64> {
        if let Node::Figure(at) = node
            && let Some(figure) = self.program.figures.get(*at as usize)
        {
            self.looked_at.borrow_mut().push(figure.span);
        }
        self.program.figure_of(node)
    }

    /// Reports, and leaves the sentence out.
    pub(super) fn fail(&mut self, message: Diagnostic) {
        self.here.broken = true;
        self.report(message);
    }

    /// Whether so much is wrong already that looking for suggestions would only cost time.
    pub(super) fn is_flooded(&self) -> bool {
        self.diagnostics.len() >= MOST_SHOWN
    }

    /// Reports with the step it is in.
    pub(super) fn report(&mut self, mut message: Diagnostic) {
        if self.diagnostics.len() >= MOST_KEPT {
            return;
        }
        if let Some(step) = self.here.step.and_then(|id| self.program.step(id)) {
            message = message.in_step(step.number, step.name.clone());
        }
        self.diagnostics.push(message);
    }

    /// A fresh place for a value.
    pub(super) fn slot(&mut self) -> Slot {
        let slot = Slot::Local(self.here.slots);
        self.here.slots = self.here.slots.saturating_add(1);
        slot
    }

    pub(super) fn layer(&mut self) -> Option<&mut Layer> {
        self.here.layers.last_mut()
    }

    /// Prefix of full names drawn here.
    pub(super) fn prefix(&self) -> String {
        self.here
            .layers
            .last()
            .map(|layer| layer.prefix.clone())
            .unwrap_or_default()
    }

    /// The full name of what is drawn here under a name.
    pub(super) fn drawn_name(&self, name: &str) -> Arc<str> {
        let layer = self.here.layers.last();
        layer
            .map_or_else(|| name.to_owned(), |layer| layer.full(name))
            .into()
    }

    /// The panel being drawn, by full name.
    pub(super) fn panel(&self) -> Arc<str> {
        self.here
            .layers
            .iter()
            .rev()
            .find(|layer| layer.kind == LayerKind::Panel)
            .map_or_else(|| "".into(), |layer| Arc::clone(&layer.full_name))
    }

    /// Records a sentence that draws these names, where its value stands, and what has been read for it.
    pub(super) fn site(
        &mut self,
        span: Span,
        targets: Vec<Target>,
        value: Span,
        form: Option<FormRef>,
    ) -> SiteId {
        let id = self.next_site();
        let site = Site {
            span,
            targets,
            value,
            form,
            step: self.here.step,
            reads: std::mem::take(&mut self.here.reads),
            panel: self.panel(),
            lays: None,
            copy: self.round().map(|round| round.number),
        };
        self.program.sites.push(site);
        id
    }

    /// The number of the sentence that is recorded next.
    pub(super) fn next_site(&self) -> SiteId {
        SiteId(u32::try_from(self.program.sites.len()).unwrap_or(u32::MAX))
    }

    /// Records a sentence that draws nothing by name.
    pub(super) fn plain_site(&mut self, span: Span) -> SiteId {
        self.site(span, Vec::new(), span, None)
    }

    pub(super) fn open_step(&mut self, name: String, span: Span) -> Option<StepId> {
        self.here.steps_here += 1;
        let id = StepId(u32::try_from(self.program.steps.len()).unwrap_or(u32::MAX));
        let info = StepInfo {
            number: self.here.steps_here,
            name,
            span,
            file: self.here.file.prefix.trim_end_matches('.').to_owned(),
        };
        self.program.steps.push(info);
        self.here.step.replace(id)
    }

    /// Runs `f` with its own list of reads, and returns what it read.
    pub(super) fn reading<T>(&mut self, f: impl FnOnce(&mut Self) -> T) -> (T, Vec<Slot>) {
        let outer = std::mem::take(&mut self.here.reads);
        let result = f(self);
        let mut reads = std::mem::replace(&mut self.here.reads, outer);
        let mut seen = BTreeSet::new();
        reads.retain(|slot| seen.insert(*slot));
        self.here.reads.extend(reads.iter().copied());
        (result, reads)
    }

    /// Runs `f` and says whether a sentence in it went wrong; the outer sentence is not touched by it.
    pub(super) fn unbroken<T>(&mut self, f: impl FnOnce(&mut Self) -> T) -> (T, bool) {
        let outer = std::mem::replace(&mut self.here.broken, false);
        let result = f(self);
        let fine = !std::mem::replace(&mut self.here.broken, outer);
        (result, fine)
    }
}

fn declared_operations(sentences: &[tree::Sentence]) -> BTreeMap<Arc<str>, Span> {
    let mut declared = BTreeMap::new();
    for sentence in sentences {
        if let SentenceKind::Operation(operation) = &sentence.kind {
            declared
                .entry(Arc::clone(&operation.head.text))
                .or_insert(operation.head.span);
        }
    }
    declared
}

/// Every name a file draws, with the place where it first does.
pub(super) fn drawn_names(sentences: &[tree::Sentence]) -> BTreeMap<Arc<str>, Span> {
    let mut names = BTreeMap::new();
    collect_drawn(sentences, &mut names);
    names
}

fn collect_drawn(sentences: &[tree::Sentence], names: &mut BTreeMap<Arc<str>, Span>) {
    for sentence in sentences {
        let fresh: &[tree::Word] = match &sentence.kind {
            SentenceKind::Draw(draw) => &draw.names,
            SentenceKind::Measure(measure) => std::slice::from_ref(&measure.name),
            SentenceKind::Import(import) => std::slice::from_ref(&import.name),
            SentenceKind::Panel(panel) => std::slice::from_ref(&panel.name),
            SentenceKind::Try(trial) => std::slice::from_ref(&trial.name),
            _ => &[],
        };
        for word in fresh {
            names.entry(Arc::clone(&word.text)).or_insert(word.span);
        }
        match &sentence.kind {
            SentenceKind::Panel(panel) => collect_drawn(&panel.body.sentences, names),
            SentenceKind::Step(step) => collect_drawn(&step.body.sentences, names),
            SentenceKind::Try(trial) => collect_drawn(&trial.body.sentences, names),
            SentenceKind::If(choice) => {
                let blocks = choice
                    .branches
                    .iter()
                    .map(|(_, block)| block)
                    .chain(&choice.otherwise);
                blocks.for_each(|block| collect_drawn(&block.sentences, names));
            }
            _ => {}
        }
    }
}
