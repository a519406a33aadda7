//! A comparison as it is read: in the order that matters, first what became of the pattern, then what its author wrote, then
//! what stayed, and at the end what to do with the paper. Terminal, review and page are written from this.

use super::report_pieces::{check, piece_lines, seam};
use super::verdict::{verdict, verdict_words};
use super::words;
use super::{Comparison, Edit, PointMove, SentenceChange, ValueChange, Verdict};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

/// The heading over what a change did to the pattern.
pub const IN_PATTERN: &str = "What changed in the pattern";
/// The heading over what its author wrote.
pub const IN_TEXT: &str = "What the author wrote";

/// A sentence of the report, with what it is about.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// The sentence, figures in the unit of the draft.
    pub words: String,
    /// The author's text before.
    pub old: Option<String>,
    /// The author's text now.
    pub new: Option<String>,
    /// The piece it concerns, by name: a drawing can show it.
    pub piece: Option<String>,
    /// The edge or point of the piece.
    pub name: Option<String>,
}

/// Lines under a heading.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Group {
    /// Empty where the section's own is enough.
    pub heading: String,
    /// What is told under it; never nothing.
    pub lines: Vec<Line>,
}

/// A part of the report.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Section {
    /// Over all of its groups.
    pub heading: &'static str,
    /// Its groups; none that is empty.
    pub groups: Vec<Group>,
}

/// A comparison in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// Of the draft as it is now.
    pub title: String,
    /// `old → new`, as the sides are called.
    pub sides: String,
    /// Sections in order; none that is empty.
    pub sections: Vec<Section>,
    /// What to do with the paper.
    pub verdict: String,
}

/// How much is listed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Detail {
    /// What is on an outline; the rest is counted.
    #[default]
    Outline,
    /// Each point, on an outline or not.
    All,
}

/// A comparison in words, as much of the points as is asked for.
pub fn report(comparison: &Comparison, detail: Detail) -> Report {
    let sections = [
        ("What cannot be drawn", told(&comparison.troubles)),
        ("What does not hold", told(&comparison.faults)),
        (IN_PATTERN, followed(comparison, detail)),
        (IN_TEXT, author(comparison)),
        ("What stayed", stayed(comparison)),
    ];
    let sections = sections.into_iter().map(|(heading, groups)| Section {
        heading,
        groups: groups
            .into_iter()
            .filter(|group| !group.lines.is_empty())
            .collect(),
    });
    Report {
        title: comparison.title.clone(),
        sides: words::sides(comparison),
        sections: sections
            .filter(|section| !section.groups.is_empty())
            .collect(),
        verdict: verdict(comparison),
    }
}

/// What became of a draft, in one line: what to do with its paper, by how much at most, and what no longer holds.
pub fn one_line(comparison: &Comparison) -> String {
    let unit = comparison.print_unit();
    let edges = comparison.pieces.iter().flat_map(|piece| &piece.edges);
    let off = edges.flat_map(|edge| {
        let off = edge.lies.off.iter().map(|off| off.distance_mm);
        off.chain([edge.length_mm.by.abs()])
    });
    let most = off.fold(0.0, f64::max);
    let mut said = vec![verdict(comparison)];
    if most > super::SAME {
        said.push(format!("By up to {}.", words::length(most, unit)));
    }
    let seams = comparison
        .seams
        .iter()
        .filter(|seam| seam.was_ok && !seam.is_ok);
    let seams: Vec<String> = seams.map(|seam| voice::name(&seam.name)).collect();
    if !seams.is_empty() {
        let verb = voice::agree(seams.len(), "fits", "fit");
        said.push(format!("No longer {verb}: {}.", voice::list(&seams)));
    }
    let checks = comparison
        .checks
        .iter()
        .filter(|check| check.was_ok != Some(false) && check.is_ok == Some(false));
    let checks: Vec<String> = checks.map(|check| format!("“{}”", check.text)).collect();
    if !checks.is_empty() {
        let verb = voice::agree(checks.len(), "fails", "fail");
        said.push(format!("Now {verb}: {}.", voice::list(&checks)));
    }
    said.extend(comparison.troubles.first().cloned());
    said.join(" ")
}

pub(super) fn plain(words: impl Into<String>) -> Line {
    Line {
        words: words.into(),
        ..Line::default()
    }
}

fn group(heading: &str, lines: Vec<Line>) -> Group {
    Group {
        heading: heading.to_owned(),
        lines,
    }
}

fn told(messages: &[String]) -> Vec<Group> {
    vec![group("", messages.iter().map(plain).collect())]
}

fn author(comparison: &Comparison) -> Vec<Group> {
    let unit = comparison.print_unit();
    let mut groups = vec![group(
        "Values",
        comparison
            .values
            .iter()
            .map(|one| value(one, unit))
            .collect(),
    )];
    let renamed = comparison.renamed.iter().map(|one| {
        plain(format!(
            "{} {} is now {}",
            one.kind,
            voice::name(&one.old),
            voice::name(&one.new)
        ))
    });
    groups.push(group("Names", renamed.collect()));
    let mut files: Vec<&str> = Vec::new();
    for sentence in &comparison.sentences {
        if !files.contains(&sentence.file.as_str()) {
            files.push(&sentence.file);
        }
    }
    for file in files {
        let own = comparison.sentences.iter().filter(|one| one.file == file);
        groups.push(group(
            &format!("Sentences in {file}"),
            sentences(&own.collect::<Vec<_>>()),
        ));
    }
    groups
}

/// A figure before and after.
pub(super) fn value(change: &ValueChange, unit: LengthUnit) -> Line {
    let printed = match (&change.figures, change.kind) {
        (Some(by), "length") => Some(words::Printed::lengths(by, unit)),
        (Some(by), "area") => Some(words::Printed::areas(by, unit)),
        _ => None,
    };
    let by = printed.map_or(String::new(), |printed| format!(" ({})", printed.signed()));
    let name = voice::name(&change.name);
    let whose = if change.of_body { ", of the body" } else { "" };
    plain(format!("{name}{whose}: {} → {}{by}", change.was, change.is))
}

/// One by one; what only bears new names is counted, and so is what stands in a block that is new as a whole.
fn sentences(changes: &[&SentenceChange]) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    let mut blocks: Vec<(usize, String, usize)> = Vec::new();
    let mut renamed = 0;
    for change in changes {
        if change.edit == Edit::Renamed {
            renamed += 1;
            continue;
        }
        let inside = |(.., place, _): &&mut (usize, String, usize)| {
            change.edit == Edit::Added
                && (change.place == *place || change.place.starts_with(&format!("{place}, ")))
        };
        if let Some((.., count)) = blocks.iter_mut().find(inside) {
            *count += 1;
            continue;
        }
        if let Some(place) = block(change) {
            blocks.push((lines.len(), place, 0));
        }
        lines.push(sentence(change));
    }
    for (at, _, count) in blocks {
        if let Some(line) = lines.get_mut(at)
            && count > 0
        {
            let more = voice::count(count, "sentence");
            line.words.push_str(&format!(", with {more} in it"));
        }
    }
    if renamed > 0 {
        let verb = voice::agree(renamed, "has", "have");
        let names = voice::count(renamed, "sentence");
        lines.push(plain(format!(
            "{names} {verb} the new names and no other change"
        )));
    }
    lines
}

/// The place of the sentences in a panel, a piece or a seam that is new as a whole.
fn block(change: &SentenceChange) -> Option<String> {
    let words = change.new.as_ref().filter(|_| change.edit == Edit::Added)?;
    let mut words = words.split(|c: char| c.is_whitespace() || c == '{');
    let (kind, name) = (words.next()?, words.next()?);
    match kind {
        "panel" => Some(voice::name(name)),
        "piece" | "seam" => Some(format!("{kind} {name}")),
        _ => None,
    }
}

fn sentence(change: &SentenceChange) -> Line {
    let did = match change.edit {
        Edit::Changed => "changed",
        Edit::Renamed => "renamed",
        Edit::Moved => "moved",
        Edit::Added => "new",
        Edit::TakenOut => "taken out",
    };
    let at = match (change.old_line, change.new_line) {
        (Some(old), Some(new)) if old != new => format!("line {old}, now {new}"),
        (_, Some(line)) => format!("line {line}"),
        (Some(line), None) => format!("line {line} before"),
        (None, None) => String::new(),
    };
    let place = if change.place.is_empty() {
        String::new()
    } else {
        format!("{}, ", change.place)
    };
    let moved = change.edit == Edit::Moved;
    Line {
        words: format!("{}{at}: {did}", voice::capital(&place)),
        old: change.old.clone().filter(|_| !moved),
        new: change.new.clone(),
        ..Line::default()
    }
}

fn followed(comparison: &Comparison, detail: Detail) -> Vec<Group> {
    let unit = comparison.print_unit();
    let mut groups = vec![group(
        "Measures worked out",
        comparison
            .worked_out
            .iter()
            .map(|one| value(one, unit))
            .collect(),
    )];
    for piece in &comparison.pieces {
        let lines = piece_lines(piece, unit);
        let heading = format!("{}: {}", piece.label, verdict_words(piece.verdict));
        groups.push(group(&heading, lines));
    }
    groups.push(group("Points moved", points(comparison, detail, unit)));
    groups.push(group(
        "Figures",
        comparison
            .figures
            .iter()
            .map(|one| value(one, unit))
            .collect(),
    ));
    groups.push(group(
        "Seams",
        comparison.seams.iter().map(|one| seam(one, unit)).collect(),
    ));
    groups.push(group("Making up", order(comparison)));
    groups.push(group(
        "Checks",
        comparison.checks.iter().map(check).collect(),
    ));
    let came = comparison
        .cautions_added
        .iter()
        .map(|text| plain(format!("New caution: {text}")));
    let went = comparison
        .cautions_gone
        .iter()
        .map(|text| plain(format!("Caution gone: {text}")));
    groups.push(group("Cautions", came.chain(went).collect()));
    groups.push(group("Names that came or went", names(comparison, detail)));
    groups
}

/// In which order the seams are sewn now, and were.
fn order(comparison: &Comparison) -> Vec<Line> {
    let Some((was, is)) = &comparison.order else {
        return Vec::new();
    };
    let said = |names: &[String]| -> String {
        let names: Vec<String> = names.iter().map(|name| voice::name(name)).collect();
        if names.is_empty() {
            "none stated".to_owned()
        } else {
            names.join(", ")
        }
    };
    vec![plain(format!("order: {} → {}", said(was), said(is)))]
}

fn names(comparison: &Comparison, detail: Detail) -> Vec<Line> {
    let said = |word: &str, names: &[String]| {
        const MOST: usize = 12;
        let most = if detail == Detail::All {
            usize::MAX
        } else {
            MOST
        };
        let names: Vec<String> = names.iter().map(|name| voice::name(name)).collect();
        (!names.is_empty()).then(|| plain(format!("{word}: {}", voice::few(&names, most))))
    };
    said("New", &comparison.names_added)
        .into_iter()
        .chain(said("Gone", &comparison.names_gone))
        .collect()
}

fn points(comparison: &Comparison, detail: Detail, unit: LengthUnit) -> Vec<Line> {
    let panels = comparison.panels.iter().map(|panel| {
        let name = voice::name(&panel.panel);
        let name = if name.is_empty() {
            "what stands outside panels".to_owned()
        } else {
            name
        };
        plain(format!(
            "{name}, as a whole: {}",
            words::way(panel.right_mm, panel.up_mm, unit)
        ))
    });
    let shown = |point: &&PointMove| point.on_outline || detail == Detail::All;
    let moved = comparison.points.iter().filter(shown).map(|point| Line {
        name: Some(point.name.clone()),
        ..plain(format!(
            "{}: {}{}",
            voice::name(&point.name),
            words::way(point.right_mm, point.up_mm, unit),
            if point.right_mm.abs() > super::SAME && point.up_mm.abs() > super::SAME {
                format!(", {} in all", words::length(point.distance_mm, unit))
            } else {
                String::new()
            }
        ))
    });
    let mut lines: Vec<Line> = panels.chain(moved).collect();
    let rest = comparison
        .points
        .iter()
        .filter(|point| !shown(point))
        .count();
    if rest > 0 {
        let begin = if lines.is_empty() { "" } else { "and " };
        let verb = voice::agree(rest, "is", "are");
        lines.push(plain(format!(
            "{begin}{} that {verb} no corner of a piece",
            voice::count(rest, "point")
        )));
    }
    lines
}

fn stayed(comparison: &Comparison) -> Vec<Group> {
    let stayed = &comparison.stayed;
    let mut lines = Vec::new();
    for piece in &comparison.pieces {
        match piece.verdict {
            Verdict::Keep => lines.push(Line {
                piece: Some(piece.name.clone()),
                ..plain(format!("{}: every edge, notch and mark", piece.label))
            }),
            Verdict::Recut if piece.edges_kept.is_empty() => {}
            Verdict::Recut => {
                let names: Vec<String> = piece
                    .edges_kept
                    .iter()
                    .map(|name| voice::name(name))
                    .collect();
                lines.push(Line {
                    piece: Some(piece.name.clone()),
                    ..plain(format!("{}: {}", piece.label, voice::list(&names)))
                });
            }
            verdict if verdict.keeps_outline() => lines.push(Line {
                piece: Some(piece.name.clone()),
                ..plain(format!("{}: every edge", piece.label))
            }),
            _ => {}
        }
    }
    if !stayed.seams.is_empty() {
        let names: Vec<String> = stayed.seams.iter().map(|name| voice::name(name)).collect();
        lines.push(plain(format!(
            "{} {}",
            voice::agree(names.len(), "Seam", "Seams"),
            voice::list(&names)
        )));
    }
    let counts = [
        (stayed.measures, "measure or choice", "measures and choices"),
        (stayed.points, "point", "points"),
        (stayed.lines, "line", "lines"),
        (stayed.figures, "figure", "figures"),
        (stayed.checks, "check", "checks"),
    ];
    let counts: Vec<String> = counts
        .into_iter()
        .filter(|(number, ..)| *number > 0)
        .map(|(number, one, more)| format!("{number} {}", voice::agree(number, one, more)))
        .collect();
    if !counts.is_empty() {
        lines.push(plain(voice::list(&counts)));
    }
    vec![group("", lines)]
}
