//! What a report says of a piece, its edges and its notches, and of seams and checks.

use super::report::{Line, plain};
use super::words;
use super::{CheckChange, EdgeChange, NotchChange, PieceChange, SAME, SeamChange, pieces};
use crate::pattern::figure;
use crate::pattern::spec::PrintUnit;

pub(super) fn piece_lines(piece: &PieceChange, unit: PrintUnit) -> Vec<Line> {
    let of_piece = |line: Line| Line {
        piece: Some(piece.name.clone()),
        ..line
    };
    let mut lines = Vec::new();
    if let Some(was) = &piece.was_named {
        lines.push(plain(format!("was called {}", figure::name(was))));
    }
    if let Some((right, up)) = piece.moved_mm {
        let turned = piece.turned_deg.map_or(String::new(), |by| {
            format!(
                ", turned {:.1}° {}",
                by.abs(),
                if by > 0.0 {
                    "clockwise"
                } else {
                    "anticlockwise"
                }
            )
        });
        lines.push(plain(format!(
            "the same shape, {} on its sheet{turned}",
            words::way(right, up, unit)
        )));
    }
    // Areas are printed to a tenth of a square centimetre.
    if let Some(area) = piece.area_mm2.as_ref().filter(|area| area.by.abs() >= 5.0) {
        let sign = if area.by < 0.0 { "−" } else { "+" };
        let areas = (
            figure::area(area.old, unit),
            figure::area(area.new, unit),
            figure::area(area.by.abs(), unit),
        );
        lines.push(plain(format!(
            "area {} → {} ({sign}{})",
            areas.0, areas.1, areas.2
        )));
    }
    for edge in &piece.edges {
        lines.extend(edge_lines(edge, unit));
    }
    let lone = |word: &str, edges: &[(String, f64)]| -> Vec<Line> {
        let edges = edges.iter();
        edges
            .map(|(name, length)| Line {
                name: Some(name.clone()),
                ..plain(format!(
                    "{word} edge {}, {}",
                    figure::name(name),
                    figure::spoken(*length, unit)
                ))
            })
            .collect()
    };
    lines.extend(lone("new", &piece.edges_added));
    lines.extend(lone("gone:", &piece.edges_gone));
    lines.extend(piece.notches.iter().map(|one| notch(one, unit)));
    lines.extend(piece.notes.iter().map(plain));
    lines.into_iter().map(of_piece).collect()
}

fn edge_lines(edge: &EdgeChange, unit: PrintUnit) -> Vec<Line> {
    let name = figure::name(&edge.name);
    let said = |words: String| Line {
        name: Some(edge.name.clone()),
        ..plain(words)
    };
    let mut lines = Vec::new();
    if let Some(was) = &edge.was_named {
        lines.push(said(format!("{name}: was called {}", figure::name(was))));
    }
    let length = &edge.length_mm;
    if length.is_change() {
        let (old, new) = (
            figure::spoken(length.old, unit),
            figure::spoken(length.new, unit),
        );
        lines.push(said(format!(
            "{name}: {old} → {new}, {}",
            words::longer(length, unit)
        )));
    } else if edge.reshaped_mm > SAME {
        let off = words::length(edge.reshaped_mm, unit);
        lines.push(said(format!(
            "{name}: the same length, another line, up to {off} away"
        )));
    }
    if let Some((old, new)) = &edge.allowance {
        let (old, new) = (pieces::allowance(*old, unit), pieces::allowance(*new, unit));
        lines.push(said(format!("{name}: allowance {old} → {new}")));
    }
    if let Some((old, new)) = &edge.finish {
        let said_or = |finish: &Option<String>| match finish.as_deref() {
            None => "none".to_owned(),
            Some("") => "finished".to_owned(),
            Some(words) => words.to_owned(),
        };
        lines.push(said(format!(
            "{name}: finish {} → {}",
            said_or(old),
            said_or(new)
        )));
    }
    if let Some(on_fold) = edge.on_fold {
        lines.push(said(format!(
            "{name}: {}",
            if on_fold {
                "now on the fold"
            } else {
                "no longer on the fold"
            }
        )));
    }
    lines
}

fn notch(change: &NotchChange, unit: PrintUnit) -> Line {
    let which = match (&change.seam, change.number) {
        (Some(seam), Some(number)) => format!("notch {number} of seam {}", figure::name(seam)),
        (Some(seam), None) => format!("notch of seam {}", figure::name(seam)),
        (None, _) => "notch".to_owned(),
    };
    let edge = figure::name(&change.edge);
    let at = |mm: f64| figure::spoken(mm, unit);
    let form = change
        .form
        .as_ref()
        .map_or(String::new(), |(old, new)| format!(", {old} → {new}"));
    let words = match (change.old_mm, change.new_mm) {
        (Some(old), Some(new)) => format!(
            "{which} on {edge}: {} → {} from its start{form}",
            at(old),
            at(new)
        ),
        (None, Some(new)) => format!("new {which} on {edge}, {} from its start", at(new)),
        (Some(old), None) => format!("gone: {which} on {edge}, {} from its start", at(old)),
        (None, None) => format!("{which} on {edge}{form}"),
    };
    Line {
        name: Some(change.edge.clone()),
        ..plain(words)
    }
}

pub(super) fn seam(change: &SeamChange, unit: PrintUnit) -> Line {
    let name = figure::name(&change.name);
    if change.added {
        return plain(format!(
            "{name}: new{}",
            if change.is_ok { "" } else { ", does not fit" }
        ));
    }
    if change.gone {
        return plain(format!("{name}: gone"));
    }
    let mut parts = Vec::new();
    for (which, side) in [
        ("first side", &change.first_mm),
        ("second side", &change.second_mm),
    ] {
        if let Some(side) = side.filter(|side| side.is_change()) {
            let (old, new) = (
                figure::spoken(side.old, unit),
                figure::spoken(side.new, unit),
            );
            parts.push(format!("{which} {old} → {new}"));
        }
    }
    if let Some(ease) = change.ease_mm.filter(|ease| ease.is_change()) {
        let (old, new) = (
            figure::spoken(ease.old, unit),
            figure::spoken(ease.new, unit),
        );
        parts.push(format!("ease {old} → {new}"));
    }
    if let Some((was, is)) = &change.sewn {
        let said = |how: &Option<String>| how.clone().unwrap_or_else(|| "as it comes".to_owned());
        parts.push(format!("sewn {} → {}", said(was), said(is)));
    }
    let state = match (change.was_ok, change.is_ok) {
        (true, false) => "; it fitted and no longer does",
        (false, true) => "; it fits now",
        (false, false) => "; it still does not fit",
        (true, true) => "; it fits as before",
    };
    if let Some(said) = &change.said {
        let told = |words: &[String]| words.join("; ");
        parts.push(match (said.was.is_empty(), said.is.is_empty()) {
            (true, _) => format!("now {}", told(&said.is)),
            (false, true) => format!("no longer {}", told(&said.was)),
            (false, false) => format!("{} → {}", told(&said.was), told(&said.is)),
        });
    }
    plain(format!("{name}: {}{state}", parts.join(", ")))
}

pub(super) fn check(change: &CheckChange) -> Line {
    let text = &change.text;
    let words = match (change.was_ok, change.is_ok) {
        (Some(true), Some(false)) => format!("“{text}” held and now fails"),
        (Some(false), Some(true)) => format!("“{text}” failed and now holds"),
        (Some(true), Some(true)) => format!("“{text}” still holds"),
        (Some(false), Some(false)) => format!("“{text}” still fails"),
        (None, Some(ok)) => format!("“{text}” is new and {}", if ok { "holds" } else { "fails" }),
        (Some(_), None) => format!("“{text}” is gone"),
        (None, None) => text.clone(),
    };
    let figures = match (&change.was, &change.is) {
        (Some(was), Some(is)) => format!(": {was} → {is}"),
        (None, Some(is)) => format!(": {is}"),
        (Some(was), None) => format!(": it was {was}"),
        (None, None) => String::new(),
    };
    plain(format!("{words}{figures}"))
}
