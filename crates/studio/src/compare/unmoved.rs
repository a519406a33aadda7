//! Whether anything was moved at all, and where nothing was, in what the sides differ all the same.

use super::{Comparison, Edit, Verdict};
use oaktag_language::voice;

/// "Nothing moved: only names differ."; none where something moved, or nothing differs.
pub(super) fn said(comparison: &Comparison) -> Option<String> {
    let is_kept = |verdict| matches!(verdict, Verdict::Keep | Verdict::Relabel);
    let pieces = &comparison.pieces;
    if comparison.is_empty()
        || !comparison.is_whole
        || !comparison.troubles.is_empty()
        || !pieces.iter().all(|piece| is_kept(piece.verdict))
    {
        return None;
    }
    let of_sheet = !comparison.panels.is_empty() || pieces.iter().any(|one| one.laid.is_some());
    let of_drawing = !comparison.points.is_empty()
        || !comparison.names_added.is_empty()
        || !comparison.names_gone.is_empty();
    let mut kinds: Vec<(&str, bool)> = [
        (of_sheet, "the place on the sheet", false),
        (of_drawing, "what is drawn beside the pieces", false),
    ]
    .into_iter()
    .chain(kinds(comparison))
    .filter_map(|(differs, said, several)| differs.then_some((said, several)))
    .collect();
    if kinds.is_empty() {
        kinds.push(("the text", false));
    }
    let begin = if of_sheet || of_drawing {
        "No piece changed"
    } else {
        "Nothing moved"
    };
    let several = kinds.len() > 1 || kinds.iter().any(|(_, several)| *several);
    let verb = if several { "differ" } else { "differs" };
    let kinds: Vec<&str> = kinds.into_iter().map(|(said, _)| said).collect();
    Some(format!("{begin}: only {} {verb}.", voice::list(&kinds)))
}

/// In what else two sides may differ, and whether it is said of several.
fn kinds(comparison: &Comparison) -> [(bool, &'static str, bool); 10] {
    let relabelled = |piece: &super::PieceChange| !piece.notes.is_empty();
    let seams = &comparison.seams;
    let tolerances = seams.iter().any(|seam| seam.tolerance_mm.is_some());
    // What is said of its sections follows from what may pass.
    let says = |seam: &super::SeamChange| {
        let said = seam.said.is_some() && seam.tolerance_mm.is_none();
        seam.sewn.is_some() || said || seam.added || seam.gone
    };
    [
        (!comparison.renamed.is_empty(), "names", true),
        (
            comparison.pieces.iter().any(relabelled),
            "words on the pieces",
            true,
        ),
        (
            comparison
                .values
                .iter()
                .chain(&comparison.worked_out)
                .count()
                > 0,
            "values",
            true,
        ),
        (tolerances, "the tolerance at a seam", false),
        (seams.iter().any(says), "how seams are sewn", false),
        (comparison.order.is_some(), "the order of making up", false),
        (!comparison.checks.is_empty(), "checks", true),
        (!comparison.figures.is_empty(), "figures", true),
        (
            !comparison.cautions_added.is_empty() || !comparison.cautions_gone.is_empty(),
            "cautions",
            true,
        ),
        (comparison.sentences.iter().any(is_words), "words", true),
    ]
}

/// A sentence that is for the reader alone.
fn is_words(change: &super::SentenceChange) -> bool {
    const FOR_THE_READER: [&str; 7] = [
        "note ", "why ", "slip ", "terms ", "caution ", "step ", "draft ",
    ];
    let text = change.new.as_ref().or(change.old.as_ref());
    change.edit != Edit::Renamed
        && text.is_some_and(|text| FOR_THE_READER.iter().any(|word| text.starts_with(word)))
}
