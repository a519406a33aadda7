//! What is done with a drawn outline, a sentence an act: traced off, cut, marked, finished and sewn, in the order that the
//! draft gives. Read from the finished pattern, so that it holds whichever branch or operation a piece came from.

use super::speech::{capital, row};
use crate::output::cut_list;
use crate::pattern::spec::{ClothSpec, CornerTreatment, MarkSpec, NotchForm, PrintUnit, Value};
use crate::pattern::{Edge, Notch, NotchMark, Pattern, Piece, Seam, Side, figure, said};

/// What is done with a piece.
pub(super) fn of_piece(piece: &Piece, pattern: &Pattern) -> Vec<String> {
    let unit = pattern.unit;
    let mut said = vec![outline(piece, unit), cut(piece, &pattern.cloths)];
    said.extend(grain(piece, pattern));
    said.extend(allowances(piece, unit));
    for (before, after, treatment) in &piece.corners {
        let (Some(a), Some(b)) = (piece.edges.get(*before), piece.edges.get(*after)) else {
            continue;
        };
        said.push(format!(
            "Where the {} meets the {}, {}.",
            name(a),
            name(b),
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

fn name(edge: &Edge) -> String {
    figure::name(&edge.name)
}

fn the(edges: &[&Edge]) -> String {
    let names: Vec<String> = edges
        .iter()
        .map(|edge| format!("the {}", name(edge)))
        .collect();
    row(&names)
}

fn outline(piece: &Piece, unit: PrintUnit) -> String {
    if let Some((of, inside)) = &piece.inside_of {
        return if *inside < 0.01 {
            format!("Trace the sewing line of {of} off.")
        } else {
            let inside = figure::spoken(*inside, unit);
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
        format!(", from {}", label.unwrap_or(name))
    });
    let fold = piece.cut.fold_edge.and_then(|at| piece.edges.get(at));
    let fold = fold.map_or(String::new(), |edge| {
        format!("; the {} lies on it", name(edge))
    });
    if words.is_empty() {
        return String::new();
    }
    format!("{}{fold}{}.", capital(&words), cloth.unwrap_or_default())
}

fn grain(piece: &Piece, pattern: &Pattern) -> Option<String> {
    let grain = piece.grain.as_ref()?;
    let is_it = |value: &Value| match value {
        Value::Line(path) | Value::Curve(path) => path.segs() == grain.segs(),
        _ => false,
    };
    let mut values = pattern.values.iter().rev();
    let line = values.find(|one| is_it(&one.value)).map(|one| {
        let member = one.name.rsplit('.').next().unwrap_or(&one.name);
        format!("along the {}", figure::name(member))
    });
    Some(format!(
        "Draw the grain arrow {}.",
        line.unwrap_or_else(|| "as the picture has it".to_owned())
    ))
}

/// Widths, each with its edges.
fn allowances(piece: &Piece, unit: PrintUnit) -> Option<String> {
    let mut widths: Vec<(f64, Vec<&Edge>)> = Vec::new();
    for edge in piece
        .edges
        .iter()
        .filter(|edge| !edge.on_fold && !edge.mirrored && edge.mouth.is_none())
    {
        let Some(width) = edge.allowance else {
            continue;
        };
        match widths
            .iter_mut()
            .find(|(known, _)| (known - width).abs() < 0.01)
        {
            Some((_, edges)) => edges.push(edge),
            None => widths.push((width, vec![edge])),
        }
    }
    if let [(width, _)] = widths.as_slice()
        && *width < 0.01
    {
        return Some("Cut on the line: it has no allowance.".to_owned());
    }
    if let [(width, _)] = widths.as_slice() {
        return Some(format!(
            "Add {} for the seams all round{}.",
            figure::spoken(*width, unit),
            if piece.on_fold() {
                ", none at the fold"
            } else {
                ""
            }
        ));
    }
    let said: Vec<String> = widths
        .iter()
        .map(|(width, edges)| {
            if *width < 0.01 {
                format!("nothing to {}", the(edges))
            } else {
                format!("{} to {}", figure::spoken(*width, unit), the(edges))
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
        let names = capital(&the(&edges));
        if finish.is_empty() {
            format!("{names}: finish by itself, no seam takes it.")
        } else {
            format!("{names}: {finish}.")
        }
    });
    said.collect()
}

fn folds(piece: &Piece) -> Option<String> {
    let names: Vec<String> = piece
        .fold_lines
        .iter()
        .map(|(name, _)| format!("the {}", figure::name(name)))
        .collect();
    (!names.is_empty()).then(|| {
        format!(
            "Fold along {}: notch both ends of each fold line.",
            row(&names)
        )
    })
}

/// A notch of the piece's own; those of seams are told with their seam.
fn notch(one: &Notch, piece: &Piece, unit: PrintUnit) -> Option<String> {
    let of_dart = |mark: &NotchMark| {
        piece.darts.iter().any(|dart| {
            let at = |end: kurbo::Point| (end - mark.sewing).hypot() < 0.01;
            dart.other_apex.is_none() && (at(dart.mouth.0) || at(dart.mouth.1))
        })
    };
    if one.seam.is_some() || one.marks.iter().any(of_dart) {
        return None;
    }
    let edge = piece.edges.get(one.edge)?;
    let before = one.edge.checked_sub(1).or(piece.edges.len().checked_sub(1));
    let before = piece.edges.get(before?)?;
    let at: Vec<String> = one
        .marks
        .iter()
        .map(|mark| figure::spoken(mark.from_start, unit))
        .collect();
    Some(format!(
        "{} on the {}, {} along it from its corner with the {}.",
        notch_words(one.form),
        name(edge),
        row(&at),
        name(before)
    ))
}

fn notch_words(form: NotchForm) -> &'static str {
    match form {
        NotchForm::Single => "Notch once",
        NotchForm::Double => "Notch twice",
        NotchForm::Tee => "Mark a T notch",
        NotchForm::Vee => "Cut a V notch",
        NotchForm::Slit => "Snip a slit notch",
    }
}

/// Marks for the cloth, those of a row together.
fn marks(piece: &Piece, unit: PrintUnit) -> Vec<String> {
    let mut rows: Vec<(String, &MarkSpec, usize)> = Vec::new();
    let of_dart = |mark: &&MarkSpec| piece.darts.iter().all(|dart| dart.tag != mark.tag);
    for mark in piece.marks.iter().filter(of_dart) {
        let member = mark.name.rsplit('.').next().unwrap_or(&mark.name);
        let name = figure::name(member);
        let name = name
            .trim_end_matches(|c: char| c.is_ascii_digit())
            .trim_end()
            .to_owned();
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
            format!(": {words}")
        };
        let button = mark.button.map_or(String::new(), |button| {
            format!(
                "; a button {} across and {} thick wants a hole of {}",
                figure::spoken(button.diameter, unit),
                figure::spoken(button.thickness, unit),
                figure::spoken(button.hole(), unit)
            )
        });
        format!("Mark the {name} on the cloth{times}{text}{button}.")
    });
    said.collect()
}

/// How a seam is sewn and notched; its lengths are told as a check.
pub(super) fn of_seam(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let unit = pattern.unit;
    let mut said = Vec::new();
    if let Some(sewn) = seam.sewn {
        let (a, b) = sewn.widths;
        let widths = if (a - b).abs() < 0.01 {
            format!("{} on both sides", figure::spoken(a, unit))
        } else {
            format!(
                "{} on {} and {} on {}",
                figure::spoken(a, unit),
                seam.first.spoken(),
                figure::spoken(b, unit),
                seam.second.spoken()
            )
        };
        said.push(format!("Sewn {}: {widths}.", sewn.kind.said()));
    }
    let more = said::of_seam(seam, pattern);
    said.extend(more.iter().map(|words| format!("{}.", capital(words))));
    let at = |side: &Side, places: &[f64]| {
        let places: Vec<String> = places.iter().map(|at| figure::spoken(*at, unit)).collect();
        format!("{} from the start of {}", row(&places), side.spoken())
    };
    for one in &seam.notches {
        said.push(format!(
            "{}: {}, and {}.",
            notch_words(one.form),
            at(&seam.first, &one.first),
            at(&seam.second, &one.second)
        ));
    }
    said
}

/// Cloths, as they are bought.
pub(super) fn cloths(pattern: &Pattern) -> Vec<String> {
    let said = pattern.cloths.iter().map(|cloth| {
        let label = if cloth.label.is_empty() {
            figure::name(&cloth.name)
        } else {
            cloth.label.clone()
        };
        format!("{label}{}", cut_list::cloth_facts(cloth, pattern.unit))
    });
    said.collect()
}

/// The order of making up, a sentence a seam; none where the draft states none.
pub(super) fn order(pattern: &Pattern) -> Vec<String> {
    let steps = pattern.making_up();
    let said = steps.into_iter().map(|step| {
        let how = if step.how.is_empty() {
            String::new()
        } else {
            format!(": {}", step.how)
        };
        format!("Sew the {}{how}.", step.seam)
    });
    said.collect()
}
