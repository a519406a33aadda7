//! What is read before a nested drawing: how many sizes, which line is which, how one of them is printed.

use super::nest::pen;
use super::{Set, Size};
use oaktag_language::voice;
use oaktag_output::drawing::preface::Preface;
use oaktag_output::drawing::style::{Hand, Pen};

/// The words and the key of a nest.
pub(super) fn preface(set: &Set, base: &Size, for_print: bool) -> Preface {
    let left_out = set.not_well();
    let said = format!(
        "{} nested, {} the base, cutting lines. Each is drawn anew from its measures ({}).",
        voice::count(set.sizes.len() - left_out.len(), "size"),
        base.name,
        base.pattern.unit.words()
    );
    let mut lines = vec![
        (said, Hand::Sheet),
        (
            "Nothing here has been sewn. Cut from a single size, printed alone.".to_owned(),
            Hand::Sheet,
        ),
    ];
    if for_print {
        let how = "To print one size: hide the others in the reader's list of layers, and show sewing lines and marks.";
        lines.push((how.to_owned(), Hand::Sheet));
    }
    lines.extend(left_out_words(set).map(|words| (words, Hand::Caution)));
    let sizes = set.sizes.iter().enumerate();
    let sizes = sizes.filter(|(_, size)| size.is_well());
    let mut key: Vec<(Pen, String)> = sizes
        .map(|(at, size)| (pen(set, at), size.name.clone()))
        .collect();
    let pieces = || base.pattern.pieces.iter();
    if pieces().any(|piece| piece.on_fold()) {
        key.push((Pen::FoldEdge, "lies on the fold".to_owned()));
    }
    key.push((
        Pen::Construction,
        "how a corner or a notch grows".to_owned(),
    ));
    Preface { lines, key }
}

/// Which sizes are left out, and why; none where all are there.
pub(super) fn left_out_words(set: &Set) -> Option<String> {
    let names = set.not_well();
    let words = || format!("LEFT OUT, not well: {}. Check tells why.", names.join(", "));
    (!names.is_empty()).then(words)
}
