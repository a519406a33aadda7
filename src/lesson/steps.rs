//! Steps made from the record: entries that belong together, what each does in words, what it uses, and what its figure
//! shows.

use super::plates::{self, Shown};
use super::sheets::{Mark, Sheets, parts};
use super::speech::{Speech, capital, drawn_by, row, spoken, the, unbracketed};
use super::trees::Trees;
use super::{Check, Figure, Lesson, Options, Slip, Step, terms};
use crate::check::program::{FormRef, SayingKind, Site, StepId};
use crate::draft::Outcome;
use crate::draft::record::{Entry, EntryId};
use crate::geometry::path::Path;
use crate::kind::Kind;
use crate::kind::unit::LengthUnit;
use crate::pattern::{figure, spec};
use crate::phrase::Value;
use crate::phrase::aid::Aid;
use crate::report::FileId;
use crate::syntax::project::Project;
use crate::syntax::tree::{Expr, ExprKind, KindWord, MeasureOf, SentenceKind, Try};
use kurbo::{ParamCurve, PathSeg};
use std::collections::BTreeMap;

/// Makes the lesson.
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
    for (group, own) in top.iter().zip(own) {
        if !own {
            maker.pass(group, &mut sheets);
            continue;
        }
        let number = (made.len() + 1).to_string();
        let title = maker.title(group);
        if let Some(step) = maker.step(group, &number, &mut sheets) {
            made.push((step, maker.names(group)));
        }
        if count > 3 && made.len() * 2 >= count && midway.is_none() {
            let words = "All sheets as they are half way through the lesson.";
            midway = plates::sheets("Half way", words, &sheets).map(|plate| (title, plate));
        }
    }
    maker.place_checks(&mut made);
    let steps: Vec<Step> = made.into_iter().map(|(step, _)| step).collect();
    maker.finished(steps, midway)
}

struct Maker<'a> {
    project: &'a Project,
    outcome: &'a Outcome,
    unit: LengthUnit,
    options: &'a Options,
    trees: Trees<'a>,
    /// Entries by the entry that called, in order.
    called: BTreeMap<Option<EntryId>, Vec<usize>>,
}

/// Entries that make one step.
struct Group {
    entries: Vec<usize>,
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
            called,
        }
    }

    fn entry(&self, at: usize) -> Option<(&'a Entry, &'a Site)> {
        let entry = self.outcome.record.entries.get(at)?;
        let site = self.outcome.program.sites.get(entry.site.0 as usize)?;
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

    /// The steps of the draft, or of one call.
    fn groups(&self, call: Option<EntryId>) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        let mut last: Option<(FileId, Option<StepId>, String)> = None;
        for at in self.called.get(&call).into_iter().flatten() {
            let Some((_, site)) = self.entry(*at) else {
                continue;
            };
            if self.is_measure(site) {
                continue;
            }
            let panel = if site.step.is_some() {
                String::new()
            } else {
                site.panel.clone()
            };
            let key = (site.span.file, site.step, panel);
            let alone = site.step.is_none() && Self::is_call(site);
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

    fn pass(&self, group: &Group, sheets: &mut Sheets) {
        for at in &group.entries {
            if let Some((entry, site)) = self.entry(*at) {
                sheets.apply(site, entry, &self.trees);
            }
        }
    }

    fn names(&self, group: &Group) -> Vec<String> {
        let sites = group.entries.iter().filter_map(|at| self.entry(*at));
        sites
            .flat_map(|(_, site)| site.targets.iter().map(|target| target.name.to_string()))
            .collect()
    }

    fn title(&self, group: &Group) -> String {
        let step = group
            .step
            .and_then(|id| self.outcome.program.steps.get(id.0 as usize));
        if let Some(step) = step {
            return step.name.clone();
        }
        let Some((_, site)) = group.entries.first().and_then(|at| self.entry(*at)) else {
            return String::new();
        };
        match (&site.form, site.panel.as_str()) {
            (Some(FormRef::Operation(_)), _) => capital(&self.head(site)),
            (_, "") => "Figures".to_owned(),
            (_, panel) => capital(&figure::name(panel)),
        }
    }

    /// The head word of an operation's call.
    fn head(&self, site: &Site) -> String {
        let text = self.project.sources.slice(site.value);
        spoken(
            text.split(|c: char| !c.is_alphanumeric() && c != '_')
                .find(|word| !word.is_empty())
                .unwrap_or(""),
        )
    }

    fn step(&mut self, group: &Group, number: &str, sheets: &mut Sheets) -> Option<Step> {
        let title = self.title(group);
        let (_, first) = group.entries.first().and_then(|at| self.entry(*at))?;
        let panel = figure::name(&first.panel);
        let mut step = Step {
            number: number.to_owned(),
            title: title.clone(),
            panel: panel.clone(),
            notes: Vec::new(),
            does: Vec::new(),
            figures: self.figures(group),
            plate: None,
            locator: None,
            measures: Vec::new(),
            checks: Vec::new(),
            slips: Vec::new(),
            whys: Vec::new(),
            cautions: Vec::new(),
            terms: Vec::new(),
            inside: Vec::new(),
        };
        let shown = self.shown(group, sheets);
        for at in &group.entries {
            let Some((entry, site)) = self.entry(*at) else {
                continue;
            };
            step.does.extend(self.sentences(entry, site));
            self.measured(entry, site, &mut step.measures);
            if self.options.unfold && Self::is_call(site) {
                let id = EntryId(u32::try_from(*at).unwrap_or(u32::MAX));
                step.inside.extend(self.inside(id, number));
            }
        }
        self.said(group, &mut step);
        let words = format!(
            "{} new, {} used.",
            count(shown.new.len(), "thing"),
            count(shown.used.len(), "point")
        );
        let caption = format!("Step {number}: {title}");
        (step.plate, step.locator) =
            plates::step(&caption, &words, &shown, self.unit, self.options.scale);
        let is_empty = step.does.is_empty() && step.notes.is_empty();
        (!is_empty).then_some(step)
    }

    fn inside(&mut self, call: EntryId, number: &str) -> Vec<Step> {
        let mut sheets = Sheets::default();
        let mut steps = Vec::new();
        for group in self.groups(Some(call)) {
            let own = format!("{number}.{}", steps.len() + 1);
            steps.extend(self.step(&group, &own, &mut sheets));
        }
        steps
    }

    /// What the figure shows; afterwards the sheets hold what is new.
    fn shown(&self, group: &Group, sheets: &mut Sheets) -> Shown {
        let mut shown = Shown::default();
        let own: Vec<EntryId> = group
            .entries
            .iter()
            .map(|at| EntryId(u32::try_from(*at).unwrap_or(u32::MAX)))
            .collect();
        let mut panels: Vec<String> = Vec::new();
        let mut new: BTreeMap<String, Mark> = BTreeMap::new();
        for at in &group.entries {
            let Some((entry, site)) = self.entry(*at) else {
                continue;
            };
            for (target, value) in site.targets.iter().zip(&entry.values) {
                let Some(mark) = Mark::of(value) else {
                    continue;
                };
                let (panel, member) = parts(&target.name);
                if !panels.iter().any(|known| known == panel) {
                    panels.push(panel.to_owned());
                    sheets.open(panel, &self.trees);
                }
                let before = sheets.0.get(panel).and_then(|sheet| sheet.get(member));
                match before {
                    Some(before) if *before == mark => continue,
                    Some(before) if matches!(before, Mark::Line(_)) => {
                        shown.replaced.push(before.clone())
                    }
                    _ => {}
                }
                if !new.contains_key(target.name.as_ref()) {
                    shown.new.push((target.name.to_string(), mark.clone()));
                } else if let Some(place) = shown
                    .new
                    .iter_mut()
                    .find(|(name, _)| **name == *target.name)
                {
                    place.1 = mark.clone();
                }
                new.insert(target.name.to_string(), mark);
            }
            shown.aids.extend(entry.aids.iter().cloned());
            for id in entry.read.iter().filter(|id| !own.contains(id)) {
                let Some((read, from)) = self.entry(id.0 as usize) else {
                    continue;
                };
                let several = from.targets.len() > 1;
                for (target, value) in from.targets.iter().zip(&read.values) {
                    if several && !self.mentions(group, &target.name) {
                        continue;
                    }
                    let Some(mark) = Mark::of(value) else {
                        continue;
                    };
                    if !shown.used.iter().any(|(name, _)| **name == *target.name) {
                        shown.earlier.push(mark.clone());
                        shown.used.push((target.name.to_string(), mark));
                    }
                }
            }
        }
        for panel in &panels {
            let sheet = sheets.0.get(panel).into_iter().flatten();
            let is_new = |member: &str| {
                new.contains_key(&format!("{panel}.{member}")) || new.contains_key(member)
            };
            shown.earlier.extend(
                sheet
                    .filter(|(member, _)| !is_new(member))
                    .map(|(_, mark)| mark.clone()),
            );
        }
        self.pass(group, sheets);
        shown
    }

    /// Figures that the step uses and did not work out itself.
    fn figures(&self, group: &Group) -> Vec<Figure> {
        let mut found: Vec<Figure> = Vec::new();
        let own = self.names(group);
        let entries = group.entries.iter().filter_map(|at| self.entry(*at));
        for id in entries.flat_map(|(entry, _)| &entry.read) {
            let Some((read, site)) = self.entry(id.0 as usize) else {
                continue;
            };
            let drawn = drawn_by(&self.outcome.program, read);
            let several = drawn.len() > 1;
            for (full, kind, value) in drawn {
                if several && !self.mentions(group, full) {
                    continue;
                }
                let (Value::Quantity(figure) | Value::Turn(figure)) = value else {
                    continue;
                };
                let name = capital(&spoken(full));
                if own.iter().any(|one| one == full) || found.iter().any(|one| one.name == name) {
                    continue;
                }
                found.push(Figure {
                    name,
                    value: self.speech(read).printed(*figure, kind),
                    formula: self.formula(read, site),
                    text: String::new(),
                });
            }
        }
        found
    }

    /// Whether a sentence of the group names a member: of a whole panel that was read, most members were not meant.
    fn mentions(&self, group: &Group, full: &str) -> bool {
        let member = parts(full).1;
        let mut sites = group.entries.iter().filter_map(|at| self.entry(*at));
        sites.any(|(_, site)| {
            let text = self.project.sources.slice(site.value);
            text.split(|c: char| !c.is_alphanumeric() && c != '_')
                .any(|word| word == member)
        })
    }

    /// How a figure comes about; "measured", "chosen".
    fn formula(&self, entry: &Entry, site: &Site) -> String {
        let Some(sentence) = self.trees.sentence(site) else {
            return String::new();
        };
        match &sentence.kind {
            SentenceKind::Draw(draw) => self.speech(entry).formula(&draw.value),
            SentenceKind::Redraw(draw) => self.speech(entry).formula(&draw.value),
            SentenceKind::Measure(measure) if measure.of == MeasureOf::Body => {
                "measured".to_owned()
            }
            SentenceKind::Measure(_) => "chosen".to_owned(),
            SentenceKind::Try(_) => "found by trying".to_owned(),
            _ => String::new(),
        }
    }

    fn speech<'s>(&'s self, entry: &'s Entry) -> Speech<'s> {
        Speech {
            sources: &self.project.sources,
            program: &self.outcome.program,
            record: &self.outcome.record,
            unit: self.unit,
            entry,
        }
    }

    /// What to do for an entry.
    fn sentences(&self, entry: &Entry, site: &Site) -> Vec<String> {
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

    fn measured(&self, entry: &Entry, site: &Site, measures: &mut Vec<(String, String)>) {
        let mut measure = |name: String, value: &Value| {
            if let Value::Path(path) = value
                && let Ok(length) = path.length()
            {
                measures.retain(|(known, _)| *known != name);
                measures.push((name, self.unit.length(length)));
            }
        };
        for (target, value) in site.targets.iter().zip(&entry.values) {
            let name = capital(&spoken(&target.name));
            if let Value::List(items) = value {
                for (at, item) in items.iter().enumerate() {
                    measure(format!("{name} {}", at + 1), item);
                }
            }
            measure(name, value);
        }
    }

    /// The author's words of a step.
    fn said(&self, group: &Group, step: &mut Step) {
        if group.step.is_none() {
            return;
        }
        for said in &self.outcome.record.said {
            let site = self.outcome.program.sites.get(said.site.0 as usize);
            if said.call != group.call || site.and_then(|site| site.step) != group.step {
                continue;
            }
            match said.kind {
                SayingKind::Note => step.notes.push(said.text.clone()),
                SayingKind::Why => step.whys.push(said.text.clone()),
                SayingKind::Caution => step.cautions.push(said.text.clone()),
                SayingKind::Terms => step.terms.push(said.text.clone()),
                SayingKind::Slip => step.slips.push(Slip {
                    figure: said.slip.clone().unwrap_or_default(),
                    text: said.text.clone(),
                }),
            }
        }
    }

    /// Each check at the last step that draws something it reads.
    fn place_checks(&self, made: &mut [(Step, Vec<String>)]) {
        for check in &self.outcome.pattern.checks {
            let decides = |names: &Vec<String>| {
                check
                    .reads
                    .iter()
                    .any(|read| names.iter().any(|name| name == read))
            };
            if let Some((step, _)) = made.iter_mut().rev().find(|(_, names)| decides(names)) {
                step.checks.push(checked(check));
            }
        }
    }

    fn finished(
        &self,
        steps: Vec<Step>,
        midway: Option<(String, crate::output::plate::Plate)>,
    ) -> Lesson {
        let pattern = &self.outcome.pattern;
        let used = |of_body: bool| -> Vec<Figure> {
            let measures = pattern
                .measures
                .iter()
                .filter(|measure| measure.of_body == of_body);
            measures.map(|measure| self.used(measure)).collect()
        };
        let words = "Every piece as it is cut: the sewing line heavy, the cutting line thin.";
        let mut lesson = Lesson {
            title: pattern.title.clone(),
            unit: match self.unit {
                LengthUnit::Millimetre => "millimetres",
                LengthUnit::Centimetre => "centimetres",
                LengthUnit::Inch => "inches",
            },
            body: used(true),
            choices: used(false),
            steps,
            midway,
            last: plates::pieces("The pieces", words, pattern),
            pieces: pattern
                .pieces
                .iter()
                .map(|piece| (piece.label.clone(), piece.cut_words()))
                .collect(),
            checks: pattern.checks.iter().map(checked).collect(),
            seams: pattern.seams.iter().map(|seam| self.sewn(seam)).collect(),
            cautions: pattern.cautions.clone(),
            terms: Vec::new(),
            scale: self.options.scale,
        };
        lesson.terms = terms::used(&lesson);
        lesson
    }

    fn used(&self, measure: &spec::MeasureUsed) -> Figure {
        let value = match &measure.value {
            spec::Value::Length(mm) => self.unit.length(*mm),
            spec::Value::Angle(degrees) => self.unit.of_kind(&Kind::ANGLE, *degrees),
            spec::Value::Area(mm2) => self.unit.area(*mm2),
            spec::Value::Number(number) => figure::number(*number),
            spec::Value::Text(text) => text.clone(),
            spec::Value::Answer(answer) => if *answer { "yes" } else { "no" }.to_owned(),
            _ => String::new(),
        };
        Figure {
            name: capital(&figure::name(&measure.name)),
            value,
            formula: if measure.worked_out {
                "worked out".to_owned()
            } else {
                String::new()
            },
            text: measure.text.clone(),
        }
    }

    fn sewn(&self, seam: &crate::pattern::Seam) -> Check {
        Check {
            text: format!("{} to {}", seam.first.spoken(), seam.second.spoken()),
            measured: format!(
                "{} and {}",
                self.unit.length(seam.first.length),
                self.unit.length(seam.second.length)
            ),
            wanted: if seam.is_eased() {
                let (low, high) = seam.wanted;
                format!(
                    "the first longer by {} to {}",
                    self.unit.length(low),
                    self.unit.length(high)
                )
            } else {
                format!("equal, within {}", self.unit.length(seam.tolerance))
            },
            ok: seam.ok,
        }
    }
}

fn checked(check: &spec::Check) -> Check {
    Check {
        text: check.text.clone(),
        measured: check.measured.clone(),
        wanted: check.wanted.clone(),
        ok: check.ok,
    }
}

fn count(number: usize, word: &str) -> String {
    if number == 1 {
        format!("1 {word}")
    } else {
        format!("{number} {word}s")
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
