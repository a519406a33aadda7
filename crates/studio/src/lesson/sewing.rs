//! What is done with a drawn outline, a sentence an act: traced off, cut, marked, finished and sewn, in the order that the
//! draft gives. Read from the finished pattern, so that it holds whichever branch or operation a piece came from.

use super::places;
use super::seams::notch_words;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{ClothSpec, CornerTreatment, MarkSpec};
use oaktag_language::pattern::{Edge, Notch, NotchMark, Pattern, Piece};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use oaktag_output::cut_list;

/// What is done with a piece.
pub(super) fn of_piece(piece: &Piece, pattern: &Pattern) -> Vec<String> {
    let unit = pattern.unit;
    let mut said = vec![outline(piece, unit), cut(piece, &pattern.cloths)];
    said.extend(grain(piece));
    said.extend(allowances(piece, unit));
    for (before, after, treatment) in &piece.corners {
        let (Some(a), Some(b)) = (piece.edges.get(*before), piece.edges.get(*after)) else {
            continue;
        };
        said.push(format!(
            "Where {} meets {}, {}.",
            named(a),
            named(b),
            corner(*treatment)
        ));
    }
    said.extend(finishes(piece));
    said.extend(folds(piece));
    let darts = piece.darts_said(pattern);
    said.extend(darts.iter().zip(&piece.darts).map(|(words, dart)| {
        let how = if dart.other_apex.is_none() {
            ": notch both legs at the edge, and let the folded dart be caught in the seam"
        } else {
            ", to a point at either end"
        };
        format!("Sew the {words}{how}.")
    }));
    said.extend(
        piece
            .notches
            .iter()
            .filter_map(|one| notch(one, piece, unit)),
    );
    said.extend(marks(piece, unit));
    said.extend(piece.cautions.iter().map(|text| format!("Caution: {text}")));
    said.retain(|sentence| !sentence.is_empty());
    said
}

fn named(edge: &Edge) -> String {
    voice::the_thing(&edge.name, "edge")
}

fn the(edges: &[&Edge]) -> String {
    let names: Vec<String> = edges.iter().map(|edge| named(edge)).collect();
    voice::list(&names)
}

fn outline(piece: &Piece, unit: LengthUnit) -> String {
    if let Some((of, inside)) = &piece.inside_of {
        return if *inside < 0.01 {
            format!("Trace the sewing line of {of} off.")
        } else {
            let inside = unit.length(*inside);
            format!("Trace the sewing line of {of} off, {inside} inside it; not at a fold.")
        };
    }
    let drawn = |edge: &&Edge| !edge.mirrored && edge.mouth.is_none();
    let edges: Vec<&Edge> = piece.edges.iter().filter(drawn).collect();
    if edges.is_empty() {
        return String::new();
    }
    format!("Trace the outline off: {}.", the(&edges))
}

fn cut(piece: &Piece, cloths: &[ClothSpec]) -> String {
    let words = piece.cut_words();
    let cloth = piece.cut.cloth.as_ref().map(|name| {
        let label = cloths.iter().find(|cloth| cloth.name == *name);
        let label = label
            .map(|cloth| cloth.label.as_str())
            .filter(|text| !text.is_empty());
        format!(" from {}", label.unwrap_or(name))
    });
    let cloth = cloth.unwrap_or_default();
    let fold = piece.cut.fold_edge.and_then(|at| piece.edges.get(at));
    match fold {
        Some(fold) if piece.cut.count > 0 => format!(
            "Cut {}{cloth}, {} on the fold of the cloth.",
            piece.cut.count,
            named(fold)
        ),
        Some(fold) => format!("Lay {} on the fold of the cloth{cloth}.", named(fold)),
        None if words.is_empty() => String::new(),
        None if cloth.is_empty() => format!("{}.", voice::capital(&words)),
        None => format!("{},{cloth}.", voice::capital(&words)),
    }
}

fn grain(piece: &Piece) -> Option<String> {
    piece.grain.as_ref()?;
    Some(format!("Draw the grain arrow {}.", piece.grain_words))
}

/// Widths, each with its edges, and then those that taper.
fn allowances(piece: &Piece, unit: LengthUnit) -> Vec<String> {
    let mut widths: Vec<(f64, Vec<&Edge>)> = Vec::new();
    let mut tapering = Vec::new();
    for (at, edge) in piece.edges.iter().enumerate() {
        if edge.on_fold || edge.mirrored || edge.mouth.is_some() {
            continue;
        }
        let Some(allowance) = &edge.allowance else {
            continue;
        };
        if let Some(from) = piece.tapers_from(at) {
            let [first, last] = allowance.ends_said(unit);
            tapering.push(format!(
                "Let the allowance of {} run evenly from {first} at {from} to {last} at its other end.",
                named(edge)
            ));
            continue;
        }
        let width = allowance.width.start;
        match widths
            .iter_mut()
            .find(|(known, _)| (known - width).abs() < 0.01)
        {
            Some((_, edges)) => edges.push(edge),
            None => widths.push((width, vec![edge])),
        }
    }
    let mut said = Vec::from_iter(even(&widths, piece, tapering.is_empty(), unit));
    said.append(&mut tapering);
    said
}

fn even(
    widths: &[(f64, Vec<&Edge>)],
    piece: &Piece,
    is_all: bool,
    unit: LengthUnit,
) -> Option<String> {
    if let ([(width, _)], true) = (widths, is_all) {
        if *width < 0.01 {
            return Some("Cut on the line: it has no allowance.".to_owned());
        }
        let fold = if piece.on_fold() {
            ", none at the fold"
        } else {
            ""
        };
        let width = unit.length(*width);
        return Some(format!("Add {width} for the seams all round{fold}."));
    }
    let said: Vec<String> = widths
        .iter()
        .map(|(width, edges)| {
            if *width < 0.01 {
                format!("nothing to {}", the(edges))
            } else {
                format!("{} to {}", unit.length(*width), the(edges))
            }
        })
        .collect();
    (!said.is_empty()).then(|| format!("Add outside the sewing line: {}.", said.join("; ")))
}

fn corner(treatment: CornerTreatment) -> &'static str {
    match treatment {
        CornerTreatment::Mitred => "let both cutting lines run on until they meet",
        CornerTreatment::Squared => "cut the corner square to the seam that is sewn first",
        CornerTreatment::TurnedBack => {
            "fold the hem up and trace the side through, so that the corner lies flat when it is turned"
        }
        CornerTreatment::Stepped => "let each width run straight on, with a step between",
    }
}

fn finishes(piece: &Piece) -> Vec<String> {
    let mut found: Vec<(&str, Vec<&Edge>)> = Vec::new();
    for edge in piece.edges.iter().filter(|edge| !edge.mirrored) {
        let Some(finish) = edge.finish.as_deref() else {
            continue;
        };
        match found.iter_mut().find(|(known, _)| *known == finish) {
            Some((_, edges)) => edges.push(edge),
            None => found.push((finish, vec![edge])),
        }
    }
    let said = found.into_iter().map(|(finish, edges)| {
        let names = voice::capital(&the(&edges));
        if finish.is_empty() {
            format!("{names}: finish by itself, no seam takes it.")
        } else {
            format!("{names}: {finish}.")
        }
    });
    said.collect()
}

/// Each fold line, what it is laid onto, and where their ends are notched.
fn folds(piece: &Piece) -> Vec<String> {
    let is_target = |path: &Path| piece.folded_onto.iter().any(|(_, onto)| onto == path);
    let own = |(_, path): &&(String, Path)| piece.laid_onto(path).is_some() || !is_target(path);
    let said = piece.fold_lines.iter().filter(own).map(|(name, path)| {
        let onto = piece.laid_onto(path);
        let target = piece
            .fold_lines
            .iter()
            .filter(|(name, _)| Some(name.as_str()) == onto);
        let lines: Vec<&Path> = target.map(|(_, path)| path).chain([path]).collect();
        let mut edges: Vec<&Edge> = Vec::new();
        let on_it = piece
            .notches
            .iter()
            .filter(|notch| lines.iter().any(|line| on_fold(notch, line)));
        for edge in on_it.filter_map(|notch| piece.edges.get(notch.edge)) {
            if !edges.iter().any(|known| known.name == edge.name) {
                edges.push(edge);
            }
        }
        let (onto, notch) = match onto {
            Some(onto) => (
                format!(", and lay it onto {}", voice::the_thing(onto, "line")),
                "notch both where they meet",
            ),
            None => (String::new(), "notch it where it meets"),
        };
        let notched = if edges.is_empty() {
            String::new()
        } else {
            format!("; {notch} {}", the(&edges))
        };
        let line = voice::the_thing(name, "line");
        format!("Fold along {line}{onto}{notched}.")
    });
    said.collect()
}

/// Whether a notch stands where a fold line meets the edge.
fn on_fold(notch: &Notch, fold: &Path) -> bool {
    let mut marks = notch.marks.iter();
    marks.all(|mark| fold.nearest(mark.sewing).distance <= places::SAME)
}

/// A notch of the piece's own; those of seams are told with their seam, those of darts and folds with them.
fn notch(one: &Notch, piece: &Piece, unit: LengthUnit) -> Option<String> {
    let of_dart = |mark: &NotchMark| {
        piece.darts.iter().any(|dart| {
            let at = |end: kurbo::Point| (end - mark.sewing).hypot() < places::SAME;
            dart.other_apex.is_none() && (at(dart.mouth.0) || at(dart.mouth.1))
        })
    };
    let of_fold = piece.fold_lines.iter().any(|(_, path)| on_fold(one, path));
    if one.seam.is_some() || of_fold || one.marks.iter().any(of_dart) {
        return None;
    }
    let place = places::of_notch(one, piece, unit)?;
    Some(format!("{} {place}.", notch_words(one.form)))
}

/// Marks for the cloth, those of a row together.
fn marks(piece: &Piece, unit: LengthUnit) -> Vec<String> {
    let mut rows: Vec<(String, &MarkSpec, usize)> = Vec::new();
    let of_dart = |mark: &&MarkSpec| piece.darts.iter().all(|dart| dart.tag != mark.tag);
    for mark in piece.marks.iter().filter(of_dart) {
        let member = mark.name.rsplit('.').next().unwrap_or(&mark.name);
        let member = match mark.of_list {
            true => member.rsplit_once('_').map_or(member, |(list, _)| list),
            false => member,
        };
        let name = voice::the(member);
        match rows.iter_mut().find(|(known, one, _)| {
            *known == name && one.words() == mark.words() && one.button == mark.button
        }) {
            Some((.., count)) => *count += 1,
            None => rows.push((name, mark, 1)),
        }
    }
    let said = rows.into_iter().map(|(name, mark, count)| {
        let times = if count > 1 {
            format!(", {count} of them")
        } else {
            String::new()
        };
        let words = mark.words();
        let text = if words.is_empty() {
            String::new()
        } else {
            format!("{words}: ")
        };
        let button = mark.button.map_or(String::new(), |button| {
            format!(
                "; a button {} across and {} thick wants a hole of {}",
                unit.length(button.diameter),
                unit.length(button.thickness),
                unit.length(button.hole())
            )
        });
        format!("Mark on the cloth, {text}{name}{times}{button}.")
    });
    said.collect()
}

/// Cloths, as they are bought.
pub(super) fn cloths(pattern: &Pattern) -> Vec<String> {
    let said = pattern.cloths.iter().map(|cloth| {
        let label = if cloth.label.is_empty() {
            voice::name(&cloth.name)
        } else {
            cloth.label.clone()
        };
        format!("{label}{}", cut_list::cloth_facts(cloth, pattern.unit))
    });
    said.collect()
}
