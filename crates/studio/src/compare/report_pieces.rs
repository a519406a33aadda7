//! What a report says of a piece, its edges and its notches, and of seams and checks.

use super::report::{Line, plain};
use super::{
    Change, CheckChange, EdgeChange, Laid, NewPiece, NotchChange, PieceChange, SAME, SeamChange,
};
use super::{inside, words};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

pub(super) fn piece_lines(piece: &PieceChange, unit: LengthUnit) -> Vec<Line> {
    let of_piece = |line: Line| Line {
        piece: Some(piece.name.clone()),
        ..line
    };
    let mut lines = Vec::new();
    if let Some(was) = &piece.was_named {
        lines.push(plain(format!("was called {}", voice::name(was))));
    }
    if let Some(is_new) = &piece.is_new {
        lines.extend(fresh(is_new, unit).map(plain));
    }
    if let Some(laid) = &piece.laid {
        lines.push(plain(slid(piece, laid, unit)));
    }
    // Areas are printed to a tenth of a square centimetre.
    if let Some(area) = piece.area_mm2.as_ref().filter(|area| area.by.abs() >= 5.0) {
        let printed = words::Printed::areas(area, unit);
        lines.push(plain(format!(
            "area {} → {} ({})",
            printed.old,
            printed.new,
            printed.signed()
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
                    voice::name(name),
                    unit.length(*length)
                ))
            })
            .collect()
    };
    lines.extend(lone("new", &piece.edges_added));
    lines.extend(lone("gone:", &piece.edges_gone));
    if let Some(off) = piece.cutting_mm {
        lines.push(plain(if off.is_finite() {
            format!("cutting line: up to {} elsewhere", words::length(off, unit))
        } else {
            "cutting line: on one side alone".to_owned()
        }));
    }
    lines.extend(notches(&piece.notches, unit));
    lines.extend(inside::lines(&piece.inside, unit).into_iter().map(plain));
    lines.extend(piece.notes.iter().map(plain));
    lines.into_iter().map(of_piece).collect()
}

/// What a new piece is: how it is cut, how large, of what area.
fn fresh(piece: &NewPiece, unit: LengthUnit) -> impl Iterator<Item = String> {
    let cloth = piece.cloth.as_ref().map(|cloth| format!("from {cloth}"));
    let cut = (!piece.cut.is_empty()).then(|| piece.cut.clone());
    let cut: Vec<String> = cut.into_iter().chain(cloth).collect();
    let half = if piece.on_fold { "half of it " } else { "" };
    let size = piece.size_mm.map(|(wide, high)| {
        format!(
            "{half}{} wide by {} high inside the sewing line",
            unit.length(wide),
            unit.length(high)
        )
    });
    let area = piece
        .area_mm2
        .map(|area| format!("area {}", unit.area(area)));
    let cut = (!cut.is_empty()).then(|| cut.join(", "));
    [cut, size, area].into_iter().flatten()
}

/// How a piece lies on its sheet, which changes nothing of it.
fn slid(piece: &PieceChange, laid: &Laid, unit: LengthUnit) -> String {
    let mut ways = Vec::new();
    if laid.right_mm.hypot(laid.up_mm) > SAME {
        ways.push(words::way(laid.right_mm, laid.up_mm, unit));
    }
    if laid.turned_deg.abs() >= 0.005 {
        ways.push(format!("turned {}", words::turn(laid.turned_deg)));
    }
    let way = ways.join(", ");
    if piece.verdict.keeps_outline() {
        format!("the same shape, {way} on its sheet")
    } else {
        format!("{way} on its sheet; what follows is told as if it had stayed")
    }
}

fn edge_lines(edge: &EdgeChange, unit: LengthUnit) -> Vec<Line> {
    let name = voice::name(&edge.name);
    let said = |words: String| Line {
        name: Some(edge.name.clone()),
        ..plain(words)
    };
    let mut lines = Vec::new();
    if let Some(was) = &edge.was_named {
        lines.push(said(format!("{name}: was called {}", voice::name(was))));
    }
    let mut parts = words::lies(&edge.lies, unit);
    if edge.length_mm.is_change() {
        let printed = words::Printed::lengths(&edge.length_mm, unit);
        let end = edge.moved_end.as_ref().filter(|_| parts.is_empty());
        let end = end.map_or(String::new(), |end| format!(" at {end}"));
        parts.push(format!(
            "{} → {}, {}{end}",
            printed.old,
            printed.new,
            words::longer(&edge.length_mm, unit)
        ));
    }
    if !parts.is_empty() {
        lines.push(said(format!("{name}: {}", parts.join("; "))));
    }
    if let Some(change) = &edge.allowance {
        let (old, new) = &change.words;
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

/// Notches, those that go with one edge in one line.
fn notches(changes: &[NotchChange], unit: LengthUnit) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for change in changes {
        if !change.goes_with_edge() {
            lines.push(Line {
                name: Some(change.edge.clone()),
                ..plain(notch(change, unit))
            });
            continue;
        }
        if told.contains(&change.edge.as_str()) {
            continue;
        }
        told.push(&change.edge);
        let own = changes
            .iter()
            .filter(|other| other.goes_with_edge() && other.edge == change.edge);
        let mut froms: Vec<(&str, Vec<String>)> = Vec::new();
        let mut at: Vec<String> = Vec::new();
        for one in own {
            let far = one.new_mm.unwrap_or(0.0);
            if far <= SAME {
                at.push(format!("at {}", one.from));
                continue;
            }
            let far = unit.length(far);
            match froms.iter_mut().find(|(from, _)| *from == one.from) {
                Some((_, far_ones)) => far_ones.push(far),
                None => froms.push((&one.from, vec![far])),
            }
        }
        let count = at.len() + froms.iter().map(|(_, far)| far.len()).sum::<usize>();
        let froms = froms
            .into_iter()
            .map(|(from, far)| format!("{} from {from}", voice::list(&far)));
        let places: Vec<String> = at.into_iter().chain(froms).collect();
        let edge = voice::name(&change.edge);
        let (notches, verb) = if count == 1 {
            (which(change), "goes")
        } else {
            (voice::count(count, "notch"), "go")
        };
        lines.push(Line {
            name: Some(change.edge.clone()),
            ..plain(format!(
                "{notches} on {edge} {verb} with it, still {}",
                places.join(", and ")
            ))
        });
    }
    lines
}

fn which(change: &NotchChange) -> String {
    match (&change.seam, change.number) {
        (Some(seam), Some(number)) => format!("notch {number} of seam {}", voice::name(seam)),
        (Some(seam), None) => format!("notch of seam {}", voice::name(seam)),
        (None, _) => "notch".to_owned(),
    }
}

fn notch(change: &NotchChange, unit: LengthUnit) -> String {
    let which = which(change);
    let edge = voice::name(&change.edge);
    let from = &change.from;
    let at = |mm: f64| {
        if mm.abs() <= SAME {
            format!("at {from}")
        } else {
            format!("{} from {from}", unit.length(mm))
        }
    };
    let form = change
        .form
        .as_ref()
        .map_or(String::new(), |(old, new)| format!(", {old} → {new}"));
    match (change.old_mm, change.new_mm) {
        (Some(old), Some(new)) if (old - new).abs() <= SAME => {
            format!("{which} on {edge}, {}{form}", at(new))
        }
        (Some(old), Some(new)) => {
            let printed = words::Printed::lengths(&Change::mm(old, new), unit);
            format!(
                "{which} on {edge}: {} → {} from {from}{form}",
                printed.old, printed.new
            )
        }
        (None, Some(new)) => format!("new {which} on {edge}, {}", at(new)),
        (Some(old), None) => format!("gone: {which} on {edge}, {}", at(old)),
        (None, None) => format!("{which} on {edge}{form}"),
    }
}

pub(super) fn seam(change: &SeamChange, unit: LengthUnit) -> Line {
    let name = voice::name(&change.name);
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
            let printed = words::Printed::lengths(&side, unit);
            parts.push(format!("{which} {} → {}", printed.old, printed.new));
        }
    }
    if let Some(ease) = change.ease_mm.filter(|ease| ease.is_change()) {
        let printed = words::Printed::lengths(&ease, unit);
        parts.push(format!("ease {} → {}", printed.old, printed.new));
    }
    if let Some(tolerance) = &change.tolerance_mm {
        let printed = words::Printed::lengths(tolerance, unit);
        parts.push(format!("may differ by {} → {}", printed.old, printed.new));
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
    let is_then = change.is_overtaken.is_some();
    let holds = |ok: bool| match (ok, is_then) {
        (true, false) => "holds",
        (false, false) => "fails",
        (true, true) => "held then",
        (false, true) => "failed then",
    };
    let words = match (change.was_ok, change.is_ok) {
        (Some(was), Some(ok)) if was == ok && !is_then => format!("“{text}” still {}", holds(ok)),
        (Some(was), Some(ok)) if was == ok => format!("“{text}” {}", holds(ok)),
        (Some(was), Some(ok)) => {
            let was = if was { "held" } else { "failed" };
            format!("“{text}” {was} and now {}", holds(ok))
        }
        (None, Some(ok)) => format!("“{text}” is new and {}", holds(ok)),
        (Some(_), None) => format!("“{text}” is gone"),
        (None, None) => text.clone(),
    };
    let figures = match (&change.was, &change.is) {
        (Some(was), Some(is)) if was == is => format!(": {is}"),
        (Some(was), Some(is)) => format!(": {was} → {is}"),
        (None, Some(is)) => format!(": {is}"),
        (Some(was), None) => format!(": it was {was}"),
        (None, None) => String::new(),
    };
    let since = match (&change.was_overtaken, &change.is_overtaken) {
        (_, Some(since)) => format!("; {since}"),
        (Some(_), None) if change.is.is_some() => {
            "; what it measures is no longer drawn anew afterwards".to_owned()
        }
        _ => String::new(),
    };
    plain(format!("{words}{figures}{since}"))
}
