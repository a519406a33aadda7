//! Steps made from the record: entries that belong together, what each does in words, what it uses, and what its figure
//! shows.

use super::asked::Asked;
use super::booklet;
use super::last;
use super::left;
use super::plates;
use super::sheets::{Sheets, parts};
use super::shown::Act;
use super::speech::{self, Speech, numbered, the};
use super::trees::Trees;
use super::wholes;
use super::{Figure, Lesson, Options, Slip, Step, preface};
use kurbo::Size;
use oaktag_language::check::program::{Bound, FormRef, SayingKind, Site, StepId};
use oaktag_language::draft::Outcome;
use oaktag_language::draft::record::{Entry, EntryId, ValueId};
use oaktag_language::kind::Kind;
use oaktag_language::phrase::Value;
use oaktag_language::report::FileId;
use oaktag_language::syntax::project::Project;
use oaktag_language::syntax::tree::{KindWord, MeasureOf, SentenceKind};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The lesson of a drawn draft, every figure in `unit`.
pub(super) fn lesson(
    project: &Project,
    outcome: &Outcome,
    unit: LengthUnit,
    options: &Options,
) -> Lesson {
    let mut maker = Maker::new(project, outcome, unit, options);
    let mut sheets = Sheets::default();
    let top = maker.groups(None);
    let own: Vec<bool> = top
        .iter()
        .map(|group| options.unfold || maker.is_own(group))
        .collect();
    let count = own.iter().filter(|own| **own).count();
    let mut made: Vec<(Step, Vec<String>)> = Vec::new();
    let mut midway = None;
    let mut foreign: BTreeSet<String> = BTreeSet::new();
    for (group, own) in top.iter().zip(own) {
        if !own {
            maker.pass(&group.entries, &mut sheets);
            foreign.extend(
                maker
                    .names(group)
                    .iter()
                    .map(|name| parts(name).0.to_owned()),
            );
            continue;
        }
        for trace in maker.traces(group, made.len() + 1, &mut sheets) {
            made.push((trace, Vec::new()));
        }
        let number = (made.len() + 1).to_string();
        if let Some(step) = maker.step(group, &number, &mut sheets) {
            made.push((step, maker.names(group)));
        }
        if count > 3 && made.len() * 2 >= count && midway.is_none() {
            let words = "All sheets as they are half way through the lesson.";
            let mut own = sheets.clone();
            own.0
                .retain(|panel, _| !foreign.contains(panel) && !maker.untold.contains(panel));
            let room = maker.room_for_wholes();
            midway =
                wholes::sheets(preface::MIDWAY, words, &own, room).map(|plate| (number, plate));
        }
    }
    maker.place_checks(&mut made);
    let steps: Vec<Step> = made.into_iter().map(|(step, _)| step).collect();
    let blocks = maker.blocks(&sheets);
    maker.finished(steps, midway, blocks)
}

/// What steps are made from.
pub(super) struct Maker<'a> {
    pub project: &'a Project,
    pub outcome: &'a Outcome,
    pub unit: LengthUnit,
    pub options: &'a Options,
    pub trees: Trees<'a>,
    /// Figures for a class.
    pub asked: Asked,
    /// The form of each phrase.
    bound: Bound<'a>,
    /// Entries by the entry that called, in order.
    called: BTreeMap<Option<EntryId>, Vec<usize>>,
    /// Panels that an act told as a card lays out, and of which it leaves nothing to be drawn.
    pub(super) untold: BTreeSet<String>,
}

/// Entries that make one step.
pub(super) struct Group {
    pub(super) entries: Vec<usize>,
    step: Option<StepId>,
    call: Option<EntryId>,
}

impl<'a> Maker<'a> {
    fn new(
        project: &'a Project,
        outcome: &'a Outcome,
        unit: LengthUnit,
        options: &'a Options,
    ) -> Self {
        let mut called: BTreeMap<Option<EntryId>, Vec<usize>> = BTreeMap::new();
        for (at, entry) in outcome.record.entries.iter().enumerate() {
            called.entry(entry.call).or_default().push(at);
        }
        Self {
            project,
            outcome,
            unit,
            options,
            trees: Trees::of(project),
            asked: Asked::new(options.class),
            bound: outcome.program.bound(),
            called,
            untold: BTreeSet::new(),
        }
    }

    pub(super) fn entry(&self, at: usize) -> Option<(&'a Entry, &'a Site)> {
        let entry = self.outcome.record.entries.get(at)?;
        let site = self.outcome.program.site(entry.site)?;
        Some((entry, site))
    }

    fn is_measure(&self, site: &Site) -> bool {
        self.trees
            .sentence(site)
            .is_some_and(|sentence| matches!(sentence.kind, SentenceKind::Measure(_)))
    }

    fn is_call(site: &Site) -> bool {
        matches!(site.form, Some(FormRef::Operation(_)))
    }

    /// Whether an entry follows an act of the library or of the draft.
    pub(super) fn calls(&self, entry: &Entry) -> bool {
        self.outcome
            .program
            .site(entry.site)
            .is_some_and(Self::is_call)
    }

    /// The entries of a group and of all that they call, by their places in the record.
    pub(super) fn inside_of(&self, group: &Group) -> BTreeSet<usize> {
        let mut found: BTreeSet<usize> = BTreeSet::new();
        let mut open = group.entries.clone();
        while let Some(at) = open.pop() {
            found.insert(at);
            let id = EntryId(u32::try_from(at).unwrap_or(u32::MAX));
            open.extend(self.called.get(&Some(id)).into_iter().flatten());
        }
        found
    }

    /// Whether it makes a whole panel: moves one, or calls an operation for one.
    fn makes_panel(&self, site: &Site) -> bool {
        self.trees.sentence(site).is_some_and(|sentence| {
            matches!(&sentence.kind, SentenceKind::Draw(draw) if draw.kind == KindWord::Panel)
        })
    }

    /// Whether it leaves something on the paper.
    fn draws(site: &Site) -> bool {
        fn on_paper(kind: &Kind) -> bool {
            match kind {
                Kind::Point | Kind::Line | Kind::Curve => true,
                Kind::List(item) => on_paper(item),
                _ => false,
            }
        }
        site.targets.iter().any(|target| on_paper(&target.kind))
    }

    /// The steps of the draft, or of one call.
    fn groups(&self, call: Option<EntryId>) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        let mut last: Option<(FileId, Option<StepId>, Arc<str>, bool)> = None;
        for at in self.called.get(&call).into_iter().flatten() {
            let Some((_, site)) = self.entry(*at) else {
                continue;
            };
            if self.is_measure(site) {
                continue;
            }
            let panel = if site.step.is_some() {
                "".into()
            } else {
                Arc::clone(&site.panel)
            };
            // Beside the panels, what is worked out is not what is drawn.
            let draws = panel.is_empty() && site.step.is_none() && Self::draws(site);
            let key = (site.span.file, site.step, panel, draws);
            let alone = site.step.is_none() && (Self::is_call(site) || self.makes_panel(site));
            match groups
                .last_mut()
                .filter(|_| !alone && last.as_ref() == Some(&key))
            {
                Some(group) => group.entries.push(*at),
                None => groups.push(Group {
                    entries: vec![*at],
                    step: site.step,
                    call,
                }),
            }
            last = (!alone).then_some(key);
        }
        groups
    }

    /// Whether it is the draft's own, not an import's.
    fn is_own(&self, group: &Group) -> bool {
        let main = self.project.files.first().map(|file| file.id);
        group
            .entries
            .first()
            .and_then(|at| self.entry(*at))
            .map(|(_, site)| site.span.file)
            == main
    }

    pub(super) fn pass(&self, entries: &[usize], sheets: &mut Sheets) {
        for at in entries {
            if let Some((entry, site)) = self.entry(*at) {
                sheets.apply(site, entry, &self.trees);
            }
        }
    }

    /// The room for a picture of the whole.
    pub(super) fn room_for_wholes(&self) -> Size {
        match self.options.paper {
            Some(page) => booklet::room_for_wholes(page),
            None => plates::SCREEN,
        }
    }

    /// The room for a picture of one piece beside what is said of it.
    pub(super) fn room_for_piece(&self) -> Size {
        match self.options.paper {
            Some(page) => booklet::room_for_piece(page),
            None => plates::SCREEN,
        }
    }

    fn names(&self, group: &Group) -> Vec<String> {
        let sites = group.entries.iter().filter_map(|at| self.entry(*at));
        sites
            .flat_map(|(_, site)| site.targets.iter().map(|target| target.name.to_string()))
            .collect()
    }

    fn title(&self, group: &Group) -> String {
        let step = group.step.and_then(|id| self.outcome.program.step(id));
        if let Some(step) = step {
            return step.name.clone();
        }
        let Some((entry, site)) = group.entries.first().and_then(|at| self.entry(*at)) else {
            return String::new();
        };
        match (site.form, &*site.panel) {
            (Some(FormRef::Operation(called)), _) => {
                let called = self.outcome.program.operations.get(called);
                let head = called.and_then(|one| one.form.head.as_deref());
                voice::capital(&voice::own_name(head.unwrap_or_default()))
            }
            _ if self.makes_panel(site) => self.panel_title(entry, site),
            (_, "") if Self::draws(site) => self.drawn_title(group),
            (_, "") => "Figures".to_owned(),
            (_, panel) => voice::capital(&voice::name(panel)),
        }
    }

    /// "Front: mirror the back over the fold"
    fn panel_title(&self, entry: &Entry, site: &Site) -> String {
        let Some(sentence) = self.trees.sentence(site) else {
            return String::new();
        };
        match &sentence.kind {
            SentenceKind::Draw(draw) => {
                let names: Vec<String> = draw
                    .names
                    .iter()
                    .map(|name| voice::own_name(&numbered(site, &name.text)))
                    .collect();
                let act = self.speech(entry).act(&draw.value);
                format!("{}: {act}", voice::capital(&voice::list(&names)))
            }
            _ => String::new(),
        }
    }

    /// "Draw the fold and the edge", of what is drawn beside the panels.
    fn drawn_title(&self, group: &Group) -> String {
        let names: Vec<String> = self.names(group).iter().map(|name| the(name)).collect();
        match names.as_slice() {
            [_] | [_, _] | [_, _, _] => format!("Draw {}", voice::list(&names)),
            _ => "Draw the lines beside the panels".to_owned(),
        }
    }

    fn step(&mut self, group: &Group, number: &str, sheets: &mut Sheets) -> Option<Step> {
        let title = self.title(group);
        let (_, first) = group.entries.first().and_then(|at| self.entry(*at))?;
        let panels = self.sheets_of(group);
        let panel = if panels.len() > 1 {
            voice::list(&panels)
        } else {
            voice::name(&first.panel)
        };
        let mut step = Step::new(number, &title, &panel);
        step.figures = self.figures(group);
        step.class = self.options.class;
        let is_followed = match group.entries.as_slice() {
            [only] => self
                .entry(*only)
                .is_some_and(|(_, site)| Self::is_call(site)),
            _ => false,
        };
        if is_followed && !self.options.unfold {
            step.figures.clear();
            self.card(group, &mut step, sheets);
            self.said(group, &mut step);
            return Some(step);
        }
        for name in self.names(group) {
            self.untold.remove(parts(&name).0);
        }
        let leaves = self.leaves(group);
        let mut lies = sheets.clone();
        let mut acts: Vec<Act> = Vec::new();
        for at in &group.entries {
            let Some((entry, site)) = self.entry(*at) else {
                continue;
            };
            let behind = left::behind(&leaves, *at);
            let act = step.does.len() + 1;
            let said = self
                .asked
                .of_act(number, act, || self.sentences(entry, site, behind, &lies));
            step.tables.extend(self.tables(entry, site, act, &lies));
            acts.push((*at, act));
            if panels.len() > 1 && !site.panel.is_empty() {
                let sheet = voice::name(&site.panel);
                step.does.extend(
                    said.iter()
                        .map(|words| format!("On the {sheet}: {}", voice::small(words))),
                );
            } else {
                step.does.extend(said);
            }
            let act = act.min(step.does.len());
            step.draws
                .extend(self.drawn_by(*at).map(|name| (name, act)));
            lies.apply(site, entry, &self.trees);
            if self.options.unfold && Self::is_call(site) {
                let id = EntryId(u32::try_from(*at).unwrap_or(u32::MAX));
                let before = step.inside.len();
                step.inside.extend(self.inside(id, number, before));
            }
        }
        step.does.extend(left::at_end(&leaves, panels.len() > 1));
        self.said(group, &mut step);
        if is_followed {
            // What it draws is told, shown and measured inside.
            self.pass(&group.entries, sheets);
            step.figures.clear();
        } else {
            (step.plates, step.measures) = self.pictured(&step, &acts, sheets);
            for (name, length) in &mut step.measures {
                let told = std::mem::take(length);
                *length = self.asked.measured(name, told, &step.does);
            }
        }
        let is_empty = step.does.is_empty() && step.notes.is_empty();
        (!is_empty).then_some(step)
    }

    /// The sheets that a step draws on, as spoken, in order. What a panel holds lies on its own sheet.
    fn sheets_of(&self, group: &Group) -> Vec<String> {
        let entries = group.entries.iter().filter_map(|at| self.entry(*at));
        let all: Vec<&str> = entries
            .map(|(_, site)| &*site.panel)
            .filter(|panel| !panel.is_empty())
            .collect();
        let mut found: Vec<String> = Vec::new();
        for panel in &all {
            let within = |other: &&str| {
                panel
                    .strip_prefix(*other)
                    .is_some_and(|rest| rest.starts_with('.'))
            };
            let sheet = voice::name(panel);
            if !all.iter().any(within) && !found.contains(&sheet) {
                found.push(sheet);
            }
        }
        found
    }

    fn inside(&mut self, call: EntryId, number: &str, before: usize) -> Vec<Step> {
        let mut sheets = Sheets::default();
        let mut steps = Vec::new();
        for group in self.groups(Some(call)) {
            let own = format!("{number}.{}", before + steps.len() + 1);
            steps.extend(self.step(&group, &own, &mut sheets));
        }
        steps
    }

    /// Figures that the step uses and did not work out itself.
    fn figures(&self, group: &Group) -> Vec<Figure> {
        let mut found: Vec<Figure> = Vec::new();
        let own = self.names(group);
        let entries = group.entries.iter().filter_map(|at| self.entry(*at));
        for id in entries.flat_map(|(entry, _)| &entry.read) {
            let (Some((read, site)), Some((full, kind, value))) =
                (self.entry(id.entry.0 as usize), self.value(*id))
            else {
                continue;
            };
            let (Value::Quantity(figure) | Value::Turn(figure)) = value else {
                continue;
            };
            let name = voice::capital(&voice::own_name(full));
            if own.iter().any(|one| one == full) || found.iter().any(|one| one.name == name) {
                continue;
            }
            found.push(Figure {
                name,
                value: self
                    .asked
                    .used(*id)
                    .unwrap_or_else(|| self.speech(read).printed(*figure, kind)),
                formula: self.formula(read, site),
                text: String::new(),
            });
        }
        found
    }

    /// The full name, kind and value of what a sentence read.
    pub(super) fn value(&self, id: ValueId) -> Option<(&'a str, &'a Kind, &'a Value)> {
        speech::value_of(&self.outcome.program, &self.outcome.record, id)
    }

    /// How a figure comes about; "measured", "chosen".
    fn formula(&self, entry: &Entry, site: &Site) -> String {
        if let Some(begun) = self.trees.begun(site) {
            return self.speech(entry).formula(&begun.from);
        }
        let Some(sentence) = self.trees.sentence(site) else {
            return String::new();
        };
        match &sentence.kind {
            SentenceKind::Draw(draw) => self.speech(entry).formula(&draw.value),
            SentenceKind::Redraw(draw) => self.speech(entry).formula(&draw.value),
            SentenceKind::Carry(carry) => self.speech(entry).formula(&carry.value),
            SentenceKind::Measure(measure) => {
                let named = self.outcome.program.measures.iter();
                let named = named
                    .filter(|code| code.site == entry.site)
                    .map(|code| &code.name);
                let mut used = named.flat_map(|name| {
                    let used = self.outcome.pattern.measures.iter();
                    used.filter(move |used| used.name == *name)
                });
                let said = used.next().and_then(last::provenance);
                let otherwise = match measure.of {
                    MeasureOf::Body => "measured",
                    _ => "chosen",
                };
                said.unwrap_or(otherwise).to_owned()
            }
            SentenceKind::Try(_) => "found by trying".to_owned(),
            _ => String::new(),
        }
    }

    pub(crate) fn speech<'s>(&'s self, entry: &'s Entry) -> Speech<'s> {
        Speech {
            sources: &self.project.sources,
            program: &self.outcome.program,
            record: &self.outcome.record,
            bound: &self.bound,
            unit: self.unit,
            entry,
            trees: &self.trees,
            asked: self.asked.while_open(),
        }
    }

    /// The author's words of a step.
    fn said(&self, group: &Group, step: &mut Step) {
        if group.step.is_none() {
            return;
        }
        for said in &self.outcome.record.said {
            let site = self.outcome.program.site(said.site);
            if said.call != group.call || site.and_then(|site| site.step) != group.step {
                continue;
            }
            match said.kind {
                SayingKind::Note => step.notes.push(said.text.clone()),
                SayingKind::Why => step.whys.push(said.text.clone()),
                SayingKind::Caution => step.cautions.push(said.text.clone()),
                SayingKind::Terms => step.terms.push(said.text.clone()),
                SayingKind::Slip => {
                    let (of, figure) = said.slip.clone().unwrap_or_default();
                    let text = said.text.clone();
                    step.slips.push(Slip { of, figure, text });
                }
            }
        }
    }
}
