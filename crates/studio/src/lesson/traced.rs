//! A sheet that is traced from another: the step that traces it, before anything is drawn on it, and the patterns that have to
//! be drawn first.

use super::Step;
use super::plates::Shown;
use super::sheets::{Mark, Sheet, Sheets, parts};
use super::speech::{START, the, the_thing};
use super::steps::{Group, Maker};
use oaktag_language::kind::Kind;
use oaktag_language::syntax::tree::{SentenceKind, Text, TextPart};
use oaktag_language::voice;
use std::collections::{BTreeMap, BTreeSet};

impl Maker<'_> {
    /// A step for each sheet that a group of acts draws on and that is traced from another, where it lies there not yet.
    pub(super) fn traces(&self, group: &Group, first: usize, sheets: &mut Sheets) -> Vec<Step> {
        let mut steps = Vec::new();
        for at in &group.entries {
            let Some((_, site)) = self.entry(*at) else {
                continue;
            };
            let panel = site.panel.to_string();
            let Some(from) = sheets.traced_from(&panel, &self.trees) else {
                continue;
            };
            let below = sheets.0.get(&from).cloned().unwrap_or_default();
            let mut members = self.wanted_of(&panel, &from, &below);
            members.extend(ends_of(&members, &from, sheets));
            sheets.open(&panel, &self.trees);
            let number = (first + steps.len()).to_string();
            steps.extend(self.trace(&number, (&panel, &from), &members, &below));
        }
        steps
    }

    /// What a panel has from the one it is traced from and does not lie there for nothing: its own sentences or its pieces read it.
    fn wanted_of(&self, panel: &str, from: &str, below: &Sheet) -> BTreeSet<String> {
        let mut wanted = BTreeSet::new();
        let mut own = BTreeSet::new();
        for at in 0..self.outcome.record.entries.len() {
            let Some((entry, site)) = self.entry(at).filter(|(_, site)| *site.panel == *panel)
            else {
                continue;
            };
            own.extend(
                site.targets
                    .iter()
                    .map(|target| parts(&target.name).1.to_owned()),
            );
            for id in &entry.read {
                if let Some((name, ..)) = self.value(*id)
                    && parts(name).0 == from
                {
                    wanted.insert(parts(name).1.to_owned());
                }
            }
        }
        let pieces = self.outcome.pattern.pieces.iter();
        let edges = pieces
            .filter(|piece| piece.panel == panel)
            .flat_map(|piece| &piece.edges);
        let edges = edges.map(|edge| parts(&edge.line).1.to_owned());
        wanted.extend(edges.filter(|member| !own.contains(member)));
        wanted.retain(|member| below.contains_key(member));
        wanted
    }

    fn trace(
        &self,
        number: &str,
        (panel, from): (&str, &str),
        members: &BTreeSet<String>,
        below: &Sheet,
    ) -> Option<Step> {
        let spoken = voice::name(panel);
        let mut step = Step::new(number, &format!("Trace the {spoken}"), &spoken);
        let mut shown = Shown::default();
        let (mut lines, mut points, mut guides) = (Vec::new(), vec![START.to_owned()], Vec::new());
        for (member, mark) in members
            .iter()
            .filter_map(|member| below.get_key_value(member))
        {
            match mark {
                Mark::Point(_) => points.push(the_thing(member, &Kind::Point)),
                Mark::Line(path) if path.is_endless() => {
                    guides.push(the_thing(member, &Kind::Line))
                }
                Mark::Line(_) => lines.push(the_thing(member, &Kind::Line)),
            }
            shown.new.push((format!("{panel}.{member}"), mark.clone()));
        }
        let source = the(from);
        if lines.is_empty() {
            step.does.push(format!(
                "Lay a fresh sheet over {source}: this is the {spoken}."
            ));
        } else {
            step.does.push(format!(
                "Lay a fresh sheet over {source}, and trace off {}: this is the {spoken}.",
                voice::list(&lines)
            ));
        }
        step.does.push(format!(
            "Trace off the points too: {}.",
            voice::list(&points)
        ));
        if !guides.is_empty() {
            step.does.push(format!(
                "Rule on the fresh sheet the guide lines as they lie below: {}.",
                voice::list(&guides)
            ));
        }
        step.plates.extend(self.plate(&step, &shown, (None, 1)));
        (!members.is_empty()).then_some(step)
    }

    /// Patterns of other drafts that sheets of this one are traced from, where their own steps are not shown: "the house (House
    /// block, women's): back and front".
    pub(super) fn blocks(&self, sheets: &Sheets) -> Vec<String> {
        let Some(main) = self.project.files.first().filter(|_| !self.options.unfold) else {
            return Vec::new();
        };
        let mut blocks: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for sentence in &main.tree.sentences {
            let SentenceKind::Import(import) = &sentence.kind else {
                continue;
            };
            let alias = import.name.text.to_string();
            let file = self.project.imports.get(&import.path.span);
            let file = file.and_then(|at| self.project.files.get(*at));
            let title = file.and_then(|file| {
                let mut sentences = file.tree.sentences.iter();
                sentences.find_map(|one| match &one.kind {
                    SentenceKind::Draft(title) => Some(letters(title)),
                    _ => None,
                })
            });
            let traced = self.trees.traced.iter().filter_map(|(_, from)| {
                let full = super::speech::dotted((*from)?);
                let member = full.strip_prefix(&format!("{alias}."))?.to_owned();
                sheets.0.contains_key(&full).then(|| voice::name(&member))
            });
            let traced: BTreeSet<String> = traced.collect();
            if !traced.is_empty() {
                let title = title.map_or(String::new(), |title| format!(" ({title})"));
                let traced: Vec<String> = traced.into_iter().collect();
                blocks.insert(format!("{}{title}", the(&alias)), traced);
            }
        }
        let told = blocks.into_iter();
        told.map(|(block, panels)| format!("{block}: {}", voice::list(&panels)))
            .collect()
    }
}

/// The points that lines begin and end at: sentences name a line's ends by them.
fn ends_of(lines: &BTreeSet<String>, panel: &str, sheets: &Sheets) -> BTreeSet<String> {
    let sheet = sheets.0.get(panel);
    let marks = lines.iter().filter_map(|member| sheet?.get(member));
    let ends = marks.flat_map(|mark| match mark {
        Mark::Line(path) if !path.is_endless() => [path.start().ok(), path.end().ok()],
        _ => [None, None],
    });
    ends.flatten()
        .filter_map(|at| sheets.point_at(panel, at))
        .collect()
}

/// A text without what is filled in.
fn letters(text: &Text) -> String {
    let parts = text.parts.iter().map(|part| match part {
        TextPart::Letters(letters) => letters.to_string(),
        TextPart::Hole(_) => String::new(),
    });
    parts.collect()
}
