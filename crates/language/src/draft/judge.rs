//! The pattern is built and its faults told where the draft says what they concern.

use super::handover::Tags;
use crate::check::program::{Node, PieceCode, Program, Slot};
use crate::pattern::spec::Drawn;
use crate::pattern::{self, Kept, Pattern};
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::voice::Words;
use std::cell::LazyCell;
use std::collections::BTreeMap;

/// Builds the pattern and tells its faults. Where something before went wrong, a seam or a finish may be missing only
/// because of that, so that edges left over are not told.
pub(super) fn judge(
    drawn: &Drawn,
    tags: &Tags,
    program: &Program,
    before: &[Diagnostic],
    kept: Option<&mut Kept>,
) -> (Pattern, Vec<Diagnostic>) {
    let (pattern, faults) = pattern::build_after(drawn, kept);
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
                fault.pieces.contains(&piece.name)
                    && before.iter().any(|one| one.is_error() && inside(one.place))
            })
    };
    let faults = faults
        .into_iter()
        .filter(|fault| !follows(fault.code) && !broken(fault));
    let redrawn = LazyCell::new(|| Redrawn::of(program));
    let told = faults.map(|fault| {
        let (code, tag) = (fault.code, fault.place);
        let span = tags.place(tag).unwrap_or_default();
        let see = |(tag, words)| Some((tags.place(tag)?, words));
        let mut told = fault.placed(span, see, |tag| tags.place(tag));
        // The library's own sentence comes second.
        if let Some(taken) = tags.taken(tag) {
            told.place = taken;
            let own = std::mem::replace(&mut told.label, "taken here".into());
            told.see.insert(0, (span, own));
        }
        told.message = std::mem::take(&mut told.message).sentence();
        let notes = std::mem::take(&mut told.notes).into_iter();
        told.notes = notes.map(Words::sentence).collect();
        told.help = told.help.take().map(Words::sentence);
        if code == Code::OutlineOpen {
            told = redrawn.blame(told);
        }
        told
    });
    (pattern, together(told.collect()))
}

/// An edge that crosses itself because its curve turns back is told once, at the edge, with what is said of the curve.
pub(super) fn tell_loops_once(
    before: &mut Vec<Diagnostic>,
    told: &mut [Diagnostic],
    program: &Program,
) {
    before.retain_mut(|turn| {
        if turn.code != Code::CurveTurnsBack {
            return true;
        }
        let holds = |span: Span| {
            span.file == turn.place.file
                && span.start <= turn.place.start
                && turn.place.end <= span.end
        };
        let sites = program.sites.iter().filter(|site| holds(site.span));
        let drawn: Vec<Slot> = sites
            .flat_map(|site| site.targets.iter().map(|target| target.slot))
            .collect();
        let edges = program.pieces.iter().flat_map(PieceCode::outline);
        let is_drawn = |value: &Node| matches!(value, Node::Slot(slot) if drawn.contains(slot));
        let edges: Vec<Span> = edges
            .filter(|edge| is_drawn(&edge.value))
            .map(|edge| edge.span)
            .collect();
        let crosses_itself = |one: &&mut Diagnostic| {
            one.code == Code::OutlineCrosses && one.see.is_empty() && edges.contains(&one.place)
        };
        let Some(crossing) = told.iter_mut().find(crosses_itself) else {
            return true;
        };
        crossing
            .see
            .push((turn.place, "its curve turns back here".into()));
        crossing.help = turn.help.take();
        crossing.cures.append(&mut turn.cures);
        false
    });
}

/// Outline edges that are redrawn lines: where the edge is named, where it was redrawn, and in words.
struct Redrawn(BTreeMap<Span, (Span, Words)>);

impl Redrawn {
    fn of(program: &Program) -> Self {
        let mut sites: BTreeMap<Slot, (Span, Words)> = BTreeMap::new();
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
                let words = say!("`{}` was redrawn here{}", target.name, step);
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
        let places =
            std::iter::once(diagnostic.place).chain(diagnostic.see.iter().map(|(span, _)| *span));
        let redrawn = places.filter_map(|place| self.0.get(&place));
        let latest = redrawn.max_by_key(|(span, _)| *span).cloned();
        diagnostic.seen(latest)
    }
}

/// Gaps that one redraw opened are told together.
fn together(told: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut kept: Vec<Diagnostic> = Vec::with_capacity(told.len());
    for diagnostic in told {
        let redraw = diagnostic.see.last().cloned();
        // Edges of pieces that one sentence takes are told together.
        let first = kept.iter_mut().find(|other| {
            diagnostic.code == Code::EdgeNotWalked
                && other.code == Code::EdgeNotWalked
                && other.place == diagnostic.place
        });
        if let Some(first) = first {
            first.notes.push(diagnostic.message.clone());
            continue;
        }
        let same = kept.iter_mut().find(|other| {
            diagnostic.code == Code::OutlineOpen
                && other.code == Code::OutlineOpen
                && redraw
                    .as_ref()
                    .is_some_and(|(_, words)| words.mentions("redrawn"))
                && other.see.last() == redraw.as_ref()
        });
        match same {
            Some(other) => other.notes.push(diagnostic.message.clone()),
            None => kept.push(diagnostic),
        }
    }
    kept
}
