//! The pattern is built and its faults told where the draft says what they concern.

use super::handover::Tags;
use crate::check::program::{Node, PieceCode, Program, Slot};
use crate::pattern::spec::Drawn;
use crate::pattern::{self, Pattern};
use crate::report::{Code, Diagnostic, Severity, Span};
use crate::voice;
use std::cell::LazyCell;
use std::collections::BTreeMap;

/// Builds the pattern and tells its faults. Where something before went wrong, a seam or a finish may be missing only
/// because of that, so that edges left over are not told.
pub fn judge(
    drawn: &Drawn,
    tags: &Tags,
    program: &Program,
    before: &[Diagnostic],
) -> (Pattern, Vec<Diagnostic>) {
    let (pattern, faults) = pattern::build(drawn);
    let unit = program.unit;
    let misnamed = faults.iter().any(|fault| fault.code == Code::UnknownEdge);
    let went_wrong = misnamed || before.iter().any(Diagnostic::is_error);
    let follows = |code: Code| {
        went_wrong
            && matches!(
                code,
                Code::EdgeNotWalked
                    | Code::NoAllowance
                    | Code::SeamNotTaken
                    | Code::SeamUnsure
                    | Code::EdgesApart
                    | Code::CornerUnpaired
                    | Code::LineBreaks
            )
    };
    // An outline may be open only because a sentence of its piece, such as a dart, could not be read.
    let broken = |fault: &pattern::Fault| {
        fault.code == Code::OutlineOpen
            && program.pieces.iter().any(|piece| {
                let inside = |span: Span| {
                    span.file == piece.span.file
                        && span.start >= piece.span.start
                        && span.end <= piece.span.end
                };
                fault.pieces().contains(&piece.name)
                    && before
                        .iter()
                        .any(|one| one.is_error() && inside(one.primary.span))
            })
    };
    let faults = faults
        .iter()
        .filter(|fault| !follows(fault.code) && !broken(fault));
    let redrawn = LazyCell::new(|| Redrawn::of(program));
    let told = faults.map(|fault| {
        let span = tags.place(fault.tag).unwrap_or_default();
        let mut diagnostic = match fault.severity {
            Severity::Error => Diagnostic::error(fault.code, span, sentence(&fault.message(unit))),
            Severity::Warning => {
                Diagnostic::warning(fault.code, span, sentence(&fault.message(unit)))
            }
        };
        diagnostic = match tags.taken(fault.tag) {
            // The library's own sentence comes second.
            Some(taken) => {
                diagnostic.primary.span = taken;
                diagnostic.at("taken here").see(span, fault.label(unit))
            }
            None => diagnostic.at(fault.label(unit)),
        };
        for (tag, words) in fault.see(unit) {
            if let Some(place) = tags.place(tag) {
                diagnostic = diagnostic.see(place, words);
            }
        }
        diagnostic.notes = fault
            .notes(unit)
            .iter()
            .map(|note| sentence(note))
            .collect();
        diagnostic.help = fault.help(unit).map(|help| sentence(&help));
        if fault.code == Code::OutlineOpen {
            diagnostic = redrawn.blame(diagnostic);
        }
        diagnostic
    });
    (pattern, together(told.collect()))
}

/// Outline edges that are redrawn lines: where the edge is named, where it was redrawn, and in words.
struct Redrawn(BTreeMap<Span, (Span, String)>);

impl Redrawn {
    fn of(program: &Program) -> Self {
        let mut sites: BTreeMap<Slot, (Span, String)> = BTreeMap::new();
        for site in &program.sites {
            let step = site.step.and_then(|id| program.step(id));
            let step = step.map_or(String::new(), |step| {
                format!(", in step {}, \"{}\"", step.number, step.name)
            });
            for target in site
                .targets
                .iter()
                .filter(|target| target.replaces.is_some())
            {
                let words = format!("`{}` was redrawn here{step}", target.name);
                sites.insert(target.slot, (target.span, words));
            }
        }
        let mut edges = BTreeMap::new();
        for edge in program.pieces.iter().flat_map(PieceCode::outline) {
            if let Node::Slot(slot) = &edge.value
                && let Some(site) = sites.get(slot)
            {
                edges.insert(edge.span, site.clone());
            }
        }
        Self(edges)
    }

    /// Names the redraw that opened an outline.
    fn blame(&self, diagnostic: Diagnostic) -> Diagnostic {
        let places = std::iter::once(diagnostic.primary.span)
            .chain(diagnostic.secondary.iter().map(|label| label.span));
        let latest = places.filter_map(|place| self.0.get(&place)).max();
        match latest.cloned() {
            Some((span, words)) => diagnostic.see(span, words),
            None => diagnostic,
        }
    }
}

/// Gaps that one redraw opened are told together.
fn together(told: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut kept: Vec<Diagnostic> = Vec::with_capacity(told.len());
    for diagnostic in told {
        let redraw = diagnostic.secondary.last().cloned();
        // Edges of pieces that one sentence takes are told together.
        let first = kept.iter_mut().find(|other| {
            diagnostic.code == Code::EdgeNotWalked
                && other.code == Code::EdgeNotWalked
                && other.primary.span == diagnostic.primary.span
        });
        if let Some(first) = first {
            first.notes.push(diagnostic.message);
            continue;
        }
        let same = kept.iter_mut().find(|other| {
            diagnostic.code == Code::OutlineOpen
                && other.code == Code::OutlineOpen
                && redraw.as_ref().is_some_and(|r| r.text.contains("redrawn"))
                && other.secondary.last() == redraw.as_ref()
        });
        match same {
            Some(other) => other.notes.push(diagnostic.message),
            None => kept.push(diagnostic),
        }
    }
    kept
}

/// With a capital letter first and a full stop at the end.
fn sentence(words: &str) -> String {
    let words = voice::capital(words.trim());
    if words.ends_with(['.', '!', '?', '…']) {
        words
    } else {
        format!("{words}.")
    }
}
