//! The state of a check: the file being read, the layers of names, the program being built and the messages so far.

use super::Checked;
use super::offers::{Offer, OfferSentence};
use super::operation::OperationCode;
use super::program::{FinalName, Node, Program, Site, SiteId, Slot, StepId, StepInfo};
use super::scope::{Binding, Bound, Layer, LayerKind, Names, Sheet, nearest_word};
use crate::kind::Kind;
use crate::phrase::Table;
use crate::report::{self, Code, Diagnostic, Span};
use crate::syntax::project::Project;
use crate::syntax::tree::{self, SentenceKind};
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

/// Most messages shown of one check; more hide the ones that matter.
const MOST_SHOWN: usize = 60;

/// Most names a misspelt one is held against.
const MOST_COMPARED: usize = 5_000;

/// Most messages kept before they are sorted.
const MOST_KEPT: usize = 1000;

/// The file being checked, and under which name.
#[derive(Clone, Default)]
pub(super) struct FileContext {
    /// Its number in the project.
    pub index: usize,
    /// Prefix of full names drawn in it: `""` in the main draft, `house.` in an import.
    pub prefix: String,
    /// Where each name is first drawn, to tell "drawn further down" from "unknown".
    pub drawn: Rc<BTreeMap<Arc<str>, Span>>,
    /// Names that sentences which could not be read would have drawn.
    pub broken: Rc<BTreeSet<Arc<str>>>,
    /// Every operation the file declares, to tell "further down" from "unknown".
    pub operations: Rc<BTreeMap<Arc<str>, Span>>,
    /// Operations that can be called, by head.
    pub heads: Rc<BTreeMap<String, Vec<usize>>>,
    /// Measures and choices of this file and of the modules it uses, as operations see them.
    pub globals: Rc<Names>,
}

/// A result that an operation gives.
#[derive(Clone)]
pub(super) struct Given {
    /// Its name in a panel; empty otherwise.
    pub name: Arc<str>,
    /// Its kind.
    pub kind: Kind,
}

/// What `give` does in the body being checked.
pub(super) enum GiveFrame {
    /// In an operation: the results as first given.
    Operation {
        /// What the head promises.
        gives: Kind,
        /// As given so far.
        given: Option<Vec<Given>>,
    },
    /// In `each`: the value given at the end.
    Each {
        /// The value, with its kind.
        value: Option<(Node, Kind, Span)>,
    },
}

/// Everything the check keeps in mind.
pub(super) struct Checker<'a> {
    pub project: &'a Project,
    pub table: &'static Table,
    pub program: Program,
    pub diagnostics: Vec<Diagnostic>,
    pub layers: Vec<Layer>,
    pub slots: u32,
    /// What the sentence being checked reads.
    pub reads: Vec<Slot>,
    /// Something in the sentence being checked is wrong: it is left out.
    pub broken: bool,
    pub step: Option<StepId>,
    pub steps_here: usize,
    pub file: FileContext,
    pub operations: Vec<OperationCode<'a>>,
    pub offers: Vec<Offer<'a>>,
    pub gives: Vec<GiveFrame>,
    /// The operation whose body is being checked, by head.
    pub operation: Option<String>,
    /// Body measures by name: number in the program, and whether read.
    pub body_measures: BTreeMap<String, (usize, Rc<Cell<bool>>)>,
    /// Every name drawn in the main draft, to warn of those nothing reads.
    pub fresh: Vec<(Binding, Arc<str>, Kind)>,
    /// Modules already checked, with their operations and measures.
    pub modules: BTreeMap<usize, FileContext>,
    /// Choices set on the import line of the file being checked.
    pub import_settings: Vec<(tree::Word, Typed)>,
    /// Pieces and seams offered by the imports and operations being checked, innermost last.
    pub offering: Vec<Vec<OfferSentence<'a>>>,
    /// Full names of pieces and seams so far.
    pub piece_names: BTreeMap<String, Span>,
    pub seam_names: BTreeMap<String, Span>,
    /// How many imports were checked so far.
    pub imported: usize,
    /// Names carried from sheet to sheet and into branches so far.
    pub copied: usize,
    /// Whether it was told that they are too many.
    pub told_copied: bool,
    /// Where measures and choices are kept.
    pub measure_slots: BTreeSet<Slot>,
}

/// A typed expression.
#[derive(Clone)]
pub(super) struct Typed {
    pub node: Node,
    pub kind: Kind,
    pub span: Span,
    /// Its outermost form.
    pub form: Option<super::program::FormRef>,
    /// The name, where it is a plain one.
    pub name: Option<Arc<str>>,
    /// What a panel holds.
    pub shape: Option<Rc<super::panel::Shape>>,
    /// A plain figure without a unit.
    pub is_figure: bool,
}

impl Typed {
    pub fn new(node: Node, kind: Kind, span: Span) -> Self {
        Self {
            node,
            kind,
            span,
            form: None,
            name: None,
            shape: None,
            is_figure: false,
        }
    }

    /// Stands for something already reported.
    pub fn unknown(span: Span) -> Self {
        Self::new(
            Node::Known(crate::phrase::Value::Absent),
            Kind::Unknown,
            span,
        )
    }
}

impl<'a> Checker<'a> {
    /// Checks the whole project.
    pub fn run(project: &'a Project) -> Checked {
        let mut checker = Self {
            project,
            table: Table::built_in(),
            program: Program::default(),
            diagnostics: Vec::new(),
            layers: Vec::new(),
            slots: 0,
            reads: Vec::new(),
            broken: false,
            step: None,
            steps_here: 0,
            file: FileContext::default(),
            operations: Vec::new(),
            offers: Vec::new(),
            gives: Vec::new(),
            operation: None,
            body_measures: BTreeMap::new(),
            fresh: Vec::new(),
            modules: BTreeMap::new(),
            import_settings: Vec::new(),
            offering: Vec::new(),
            piece_names: BTreeMap::new(),
            seam_names: BTreeMap::new(),
            imported: 0,
            copied: 0,
            told_copied: false,
            measure_slots: BTreeSet::new(),
        };
        checker.settle_unit();
        checker.collect_measures();
        let body = checker.main_file();
        checker.program.body.extend(body);
        checker.finish()
    }

    fn finish(mut self) -> Checked {
        self.warn_of_unused();
        self.program.slots = self.slots;
        let names = self
            .layers
            .first()
            .map(|layer| layer.names.clone())
            .unwrap_or_default();
        self.final_names("", &names);
        self.program
            .names
            .sort_by(|a, b| (a.site, &a.name).cmp(&(b.site, &b.name)));
        let mut seen = BTreeSet::new();
        let mut diagnostics = self.project.diagnostics.clone();
        diagnostics.extend(self.diagnostics);
        diagnostics.sort_by_key(|d| (d.primary.span.file, d.primary.span.start));
        diagnostics.retain(|d| seen.insert((d.primary.span, d.code, d.message.clone())));
        if diagnostics.iter().any(Diagnostic::is_error) {
            // Whatever a wrong sentence read looks unread.
            diagnostics.retain(|d| !matches!(d.code, Code::NameUnused | Code::MeasureUnused));
        }
        let diagnostics = report::at_most(diagnostics, MOST_SHOWN);
        Checked {
            program: Arc::new(self.program),
            diagnostics,
        }
    }

    fn final_names(&mut self, prefix: &str, names: &Names) {
        for (name, binding) in names {
            let full = format!("{prefix}{name}");
            match &binding.bound {
                Bound::Value {
                    slot,
                    kind,
                    site: Some(site),
                } => {
                    self.program.names.push(FinalName {
                        name: full,
                        slot: *slot,
                        kind: kind.clone(),
                        site: *site,
                    });
                }
                Bound::Sheet(sheet) => {
                    self.final_names(&format!("{full}."), &sheet.members.clone())
                }
                Bound::OnOneBranch(_, drawn) => {
                    for (slot, kind, site) in drawn {
                        self.program.names.push(FinalName {
                            name: full.clone(),
                            slot: *slot,
                            kind: kind.clone(),
                            site: *site,
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
    pub fn enter_file(&mut self, index: usize, prefix: String) {
        let file = self.project.file(index);
        let drawn = file.map(|f| drawn_names(&f.tree.sentences));
        let operations = file.map(|f| declared_operations(&f.tree.sentences));
        let broken = file.map(|f| f.broken_names.iter().map(|b| Arc::clone(&b.text)).collect());
        self.file = FileContext {
            index,
            prefix: prefix.clone(),
            drawn: Rc::new(drawn.unwrap_or_default()),
            broken: Rc::new(broken.unwrap_or_default()),
            operations: Rc::new(operations.unwrap_or_default()),
            ..FileContext::default()
        };
        self.layers = vec![Layer::new(LayerKind::File, "", prefix)];
        self.step = None;
        self.steps_here = 0;
    }

    /// Whether the file is the one the user asked for.
    pub fn in_main(&self) -> bool {
        self.file.index == 0 && self.operation.is_none()
    }

    /// The text of a span.
    pub fn said(&self, span: Span) -> &'a str {
        self.project.sources.slice(span)
    }

    /// Reports, and leaves the sentence out.
    pub fn fail(&mut self, message: Diagnostic) {
        self.broken = true;
        self.report(message);
    }

    /// Whether so much is wrong already that looking for suggestions would only cost time.
    pub fn is_flooded(&self) -> bool {
        self.diagnostics.len() >= MOST_SHOWN
    }

    /// Reports with the step it is in.
    pub fn report(&mut self, mut message: Diagnostic) {
        if self.diagnostics.len() >= MOST_KEPT {
            return;
        }
        if let Some(step) = self
            .step
            .and_then(|id| self.program.steps.get(id.0 as usize))
        {
            message = message.in_step(step.number, step.name.clone());
        }
        self.diagnostics.push(message);
    }

    /// A fresh place for a value.
    pub fn slot(&mut self) -> Slot {
        let slot = Slot::Local(self.slots);
        self.slots = self.slots.saturating_add(1);
        slot
    }

    /// The innermost layer.
    pub fn layer(&mut self) -> Option<&mut Layer> {
        self.layers.last_mut()
    }

    /// Prefix of full names drawn here.
    pub fn prefix(&self) -> String {
        self.layers
            .last()
            .map(|layer| layer.prefix.clone())
            .unwrap_or_default()
    }

    /// The panel being drawn, by full name.
    pub fn panel(&self) -> String {
        self.layers
            .iter()
            .rev()
            .find(|layer| layer.kind == LayerKind::Panel)
            .map(|layer| layer.prefix.trim_end_matches('.').to_owned())
            .unwrap_or_default()
    }

    /// Records a sentence.
    pub fn site(&mut self, site: Site) -> SiteId {
        let id = SiteId(u32::try_from(self.program.sites.len()).unwrap_or(u32::MAX));
        self.program.sites.push(site);
        id
    }

    /// Records a sentence that draws nothing by name.
    pub fn plain_site(&mut self, span: Span, word: &str) -> SiteId {
        let reads = std::mem::take(&mut self.reads);
        let id = format!("{}/{word}", self.site_path());
        let panel = self.panel();
        self.site(Site {
            id,
            span,
            targets: Vec::new(),
            value: span,
            form: None,
            step: self.step,
            reads,
            panel,
        })
    }

    /// `back/Neck`
    pub fn site_path(&self) -> String {
        let mut path = self.panel().replace('.', "/");
        if let Some(step) = self
            .step
            .and_then(|id| self.program.steps.get(id.0 as usize))
        {
            if !path.is_empty() {
                path.push('/');
            }
            path.push_str(&step.name);
        }
        path
    }

    /// Opens a step.
    pub fn open_step(&mut self, name: String, span: Span) -> Option<StepId> {
        self.steps_here += 1;
        let id = StepId(u32::try_from(self.program.steps.len()).unwrap_or(u32::MAX));
        let info = StepInfo {
            number: self.steps_here,
            name,
            span,
            panel: self.panel(),
            within: self.step,
            operation: self.operation.clone(),
            file: self.file.prefix.trim_end_matches('.').to_owned(),
        };
        self.program.steps.push(info);
        self.step.replace(id)
    }

    /// Looks a single word up, innermost layer first.
    pub fn find(&self, word: &str) -> Option<Binding> {
        self.layers
            .iter()
            .rev()
            .find_map(|layer| layer.names.get(word))
            .cloned()
    }

    /// Every name that can be seen from here.
    pub fn visible(&self) -> impl Iterator<Item = &str> {
        self.layers
            .iter()
            .rev()
            .flat_map(|layer| layer.names.keys().map(AsRef::as_ref))
    }

    /// Whether a word begins a phrase here.
    pub fn is_head(&self, word: &str) -> bool {
        self.table.is_head(word) || self.file.heads.contains_key(word)
    }

    /// The sheet and the word a dotted name ends on.
    pub fn resolve(&mut self, name: &tree::Name) -> Option<Binding> {
        let (first, rest) = name.words.split_first()?;
        let found = match self.own_layer(first, rest.is_empty()) {
            Some(layer) => layer,
            None => self
                .find(&first.text)
                .or_else(|| self.unknown(first, rest.is_empty()))?,
        };
        let mut current = found;
        let mut so_far = first.text.to_string();
        for word in rest {
            current.used.set(true);
            let Bound::Sheet(sheet) = &current.bound else {
                let kind = match &current.bound {
                    Bound::Value { kind, .. } => kind.with_article(),
                    _ => "not drawn on every branch".into(),
                };
                let message =
                    format!("`{so_far}` is {kind}, and only a panel has names inside it.");
                self.fail(
                    Diagnostic::error(Code::UnknownMember, word.span, message)
                        .see(current.span, current.origin(&so_far)),
                );
                return None;
            };
            let sheet = Rc::clone(sheet);
            current = self.member(&sheet, word, &so_far)?;
            so_far = format!("{so_far}.{}", word.text);
        }
        current.used.set(true);
        Some(current)
    }

    /// `back.x` while panel `back` is being drawn means the sheet under the hand.
    fn own_layer(&self, first: &tree::Word, alone: bool) -> Option<Binding> {
        if alone {
            return None;
        }
        let layer = self
            .layers
            .iter()
            .rev()
            .find(|l| l.kind == LayerKind::Panel && l.name == first.text)?;
        let sheet = Sheet {
            full_name: layer.prefix.trim_end_matches('.').to_owned(),
            members: layer.names.clone(),
            cloth: layer.cloth.clone(),
            ..Sheet::default()
        };
        Some(Binding::new(Bound::Sheet(Rc::new(sheet)), first.span))
    }

    fn member(&mut self, sheet: &Sheet, word: &tree::Word, owner: &str) -> Option<Binding> {
        if let Some(found) = sheet.members.get(&word.text) {
            return Some(found.clone());
        }
        if sheet.is_open {
            // What panel this will be is known only where the operation is called.
            self.broken = true;
            return None;
        }
        let message = format!(
            "{} `{owner}` has no `{}`.",
            if sheet.is_file { "File" } else { "Panel" },
            word.text
        );
        let mut diagnostic = Diagnostic::error(Code::UnknownMember, word.span, message);
        if let Some(near) = nearest_word(&word.text, sheet.members.keys().map(AsRef::as_ref)) {
            diagnostic = diagnostic.help(format!("Did you mean `{owner}.{near}`?"));
        } else if sheet.members.len() <= 24 {
            let names: Vec<&str> = sheet.members.keys().map(AsRef::as_ref).collect();
            diagnostic = diagnostic.note(format!(
                "It has {}.",
                if names.is_empty() {
                    "nothing on it".into()
                } else {
                    names.join(", ")
                }
            ));
        }
        self.fail(diagnostic);
        None
    }

    fn unknown(&mut self, word: &tree::Word, alone: bool) -> Option<Binding> {
        let text = word.text.as_ref();
        if self.layers.iter().any(|layer| layer.is_open) {
            self.broken = true;
            return None;
        }
        if alone && self.is_head(text) {
            let diagnostic = Diagnostic::error(
                Code::PhraseNeedsBrackets,
                word.span,
                format!(
                    "`{text}` begins a phrase, and a phrase inside a phrase stands in brackets."
                ),
            )
            .help(format!("Put brackets round it: `({text} …)`."));
            self.fail(diagnostic);
            return None;
        }
        if self.file.broken.contains(&word.text) {
            // The sentence that would have drawn it is reported already.
            self.broken = true;
            return None;
        }
        if let Some(&later) = self.file.drawn.get(&word.text) {
            let diagnostic = if later.start > word.span.start {
                Diagnostic::error(
                    Code::NameDrawnLater,
                    word.span,
                    format!("`{text}` is drawn only further down."),
                )
                .at("used here")
                .see(later, "drawn here")
                .help("A draft is read from the top: move that sentence up, or this one down.")
            } else {
                let mut diagnostic = Diagnostic::error(
                    Code::UnknownName,
                    word.span,
                    format!("`{text}` cannot be seen from here."),
                )
                .at("not in sight")
                .see(later, "drawn here, in another panel or block");
                if let Some(owner) = self.owner_of(text) {
                    diagnostic = diagnostic.help(format!("Write its full name: `{owner}.{text}`."));
                }
                diagnostic
            };
            self.fail(diagnostic);
            return None;
        }
        let mut diagnostic = Diagnostic::error(
            Code::UnknownName,
            word.span,
            format!("Nothing called `{text}` has been drawn."),
        );
        if self.is_flooded() {
            self.fail(diagnostic);
            return None;
        }
        let visible = self.visible().take(MOST_COMPARED);
        if let Some(near) = nearest_word(text, visible) {
            let near = near.to_owned();
            let found = self.find(&near);
            diagnostic = diagnostic
                .at("no such name")
                .help(format!("Did you mean `{near}`?"));
            if let Some(found) = found {
                diagnostic = diagnostic.see(found.span, found.origin(&near));
            }
        } else if let Some(owner) = self.owner_of(text) {
            diagnostic = diagnostic.help(format!("Write its full name: `{owner}.{text}`."));
        } else if let Some((near, at)) = self.nearest_below(word) {
            diagnostic = diagnostic
                .at("no such name")
                .see(at, format!("`{near}` is drawn here, further down"))
                .help(format!(
                    "Did you mean `{near}`? Then move one of the two sentences."
                ));
        }
        self.fail(diagnostic);
        None
    }

    /// A name drawn further down that a misspelt one may have meant.
    fn nearest_below(&self, word: &tree::Word) -> Option<(Arc<str>, Span)> {
        let below = self
            .file
            .drawn
            .iter()
            .filter(|(_, at)| at.start > word.span.end);
        let below: Vec<(&Arc<str>, &Span)> = below.take(MOST_COMPARED).collect();
        let near = nearest_word(&word.text, below.iter().map(|(name, _)| name.as_ref()))?;
        let (name, at) = below.iter().find(|(name, _)| name.as_ref() == near)?;
        Some((Arc::clone(name), **at))
    }

    /// A panel in sight that has this name on it.
    fn owner_of(&self, text: &str) -> Option<String> {
        let mut sheets = self
            .layers
            .iter()
            .rev()
            .flat_map(|layer| layer.names.iter());
        sheets.find_map(|(name, binding)| match &binding.bound {
            Bound::Sheet(sheet) if sheet.members.contains_key(text) => Some(name.to_string()),
            _ => None,
        })
    }

    /// Binds a fresh name in the innermost layer; names seen from here may not be drawn again.
    pub fn bind(&mut self, word: &tree::Word, bound: Bound) {
        let name = Arc::clone(&word.text);
        if self.is_head(&name) {
            let message =
                format!("`{name}` begins a phrase, so it cannot be a name: one word, one meaning.");
            let help = format!(
                "Give it a name of more than one word, such as `{name}_line` or `my_{name}`."
            );
            self.fail(
                Diagnostic::error(Code::NameBeginsAPhrase, word.span, message)
                    .at("the head of a phrase")
                    .help(help),
            );
        } else if let Some(old) = self.find(&name).filter(|old| !self.may_hide(&name, old)) {
            let message =
                format!("`{name}` is drawn already; a name is drawn once and never changes.");
            let help = if old.traced {
                format!(
                    "It came with the sheet this one is traced from: to change it, write `redraw {name} = …`."
                )
            } else {
                "Take another name; to change a line, trace the panel and `redraw` it there."
                    .to_owned()
            };
            let diagnostic = Diagnostic::error(Code::NameDrawnTwice, word.span, message)
                .at("drawn again")
                .see(old.span, "drawn here first")
                .help(help);
            self.fail(diagnostic);
        }
        let binding = Binding::new(bound, word.span);
        if let (true, Bound::Value { kind, .. }) = (self.in_main(), &binding.bound) {
            self.fresh
                .push((binding.clone(), Arc::clone(&name), kind.clone()));
        }
        if let Some(layer) = self.layer() {
            layer.names.insert(name, binding);
        }
    }

    /// What a fresh name may stand in front of: a name that only one branch of an `if` drew, and, in an operation, a
    /// measure or choice of its file.
    fn may_hide(&self, name: &str, old: &Binding) -> bool {
        if matches!(old.bound, Bound::OnOneBranch(..)) {
            return self
                .layers
                .last()
                .is_some_and(|layer| layer.names.contains_key(name));
        }
        self.operation.is_some()
            && !self
                .layers
                .iter()
                .skip(1)
                .any(|layer| layer.names.contains_key(name))
    }

    /// Runs `f` with its own list of reads, and returns what it read.
    pub fn reading<T>(&mut self, f: impl FnOnce(&mut Self) -> T) -> (T, Vec<Slot>) {
        let outer = std::mem::take(&mut self.reads);
        let result = f(self);
        let mut reads = std::mem::replace(&mut self.reads, outer);
        let mut seen = BTreeSet::new();
        reads.retain(|slot| seen.insert(*slot));
        self.reads.extend(reads.iter().copied());
        (result, reads)
    }

    /// Runs `f` and says whether a sentence in it went wrong; the outer sentence is not touched by it.
    pub fn unbroken<T>(&mut self, f: impl FnOnce(&mut Self) -> T) -> (T, bool) {
        let outer = std::mem::replace(&mut self.broken, false);
        let result = f(self);
        let fine = !std::mem::replace(&mut self.broken, outer);
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
