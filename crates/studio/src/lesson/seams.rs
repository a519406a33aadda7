//! Seams as they are sewn: what goes to what, by the labels that are printed on the pieces, and whatever is eased in,
//! gathered, stretched, passed by or left open in words of its own.

use super::places;
use oaktag_language::pattern::spec::{EaseHow, NotchForm};
use oaktag_language::pattern::{
    After, Ease, Opening, Pattern, Seam, SeamEnd, Side, SideEdge, said,
};
use oaktag_language::voice;

/// Lines beside a seam that turn by no more than this many degrees are told to run straight on.
const STRAIGHT: f64 = 0.5;

/// A piece by its label; one that a list would tear apart stands between quotation marks.
pub(super) fn called(piece: &str, pattern: &Pattern) -> String {
    let label = pattern.piece(piece).map(|piece| piece.label.as_str());
    match label.filter(|label| !label.is_empty()) {
        Some(label) if label.contains(',') => format!("“{label}”"),
        Some(label) => label.to_owned(),
        None => voice::name(piece),
    }
}

/// Edges by their pieces: "the upper and the lower of Back".
pub(super) fn edges(edges: &[&SideEdge], pattern: &Pattern) -> String {
    let mut groups: Vec<((&str, bool), Vec<String>)> = Vec::new();
    for edge in edges {
        let of = (edge.piece.as_str(), edge.mirrored);
        let name = voice::the_thing(&edge.edge, "edge");
        match groups.last_mut().filter(|(known, _)| *known == of) {
            Some((_, names)) if names.contains(&name) => {}
            Some((_, names)) => names.push(name),
            None => groups.push((of, vec![name])),
        }
    }
    let said = groups.into_iter().map(|((piece, mirrored), names)| {
        let piece = called(piece, pattern);
        let mirrored = if mirrored { "mirrored " } else { "" };
        format!("{} of {mirrored}{piece}", voice::list(&names))
    });
    voice::list(&said.collect::<Vec<_>>())
}

/// A side, whole.
pub(super) fn side(side: &Side, pattern: &Pattern) -> String {
    edges(&side.edges.iter().collect::<Vec<_>>(), pattern)
}

/// A seam by its name, and what it joins: "Side: the side of Front to the side of Back".
pub(super) fn joined(seam: &Seam, pattern: &Pattern) -> String {
    format!(
        "{}: {} to {}",
        voice::capital(&voice::name(&seam.name)),
        side(&seam.first, pattern),
        side(&seam.second, pattern)
    )
}

/// How a seam is sewn and notched; its lengths are told as a check.
pub(super) fn of_seam(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let mut said = Vec::from_iter(sewn(seam, pattern));
    said.extend(sections(seam, pattern));
    said.extend(passed(seam, pattern));
    said.extend(done(seam, pattern));
    said.extend(ends(seam, pattern));
    for one in &seam.notches {
        let sides = [
            (&seam.first, one.first.as_slice(), &one.said.0),
            (&seam.second, one.second.as_slice(), &one.said.1),
        ];
        let place = places::of_sides(sides, pattern);
        said.push(format!("{} {place}.", notch_words(one.form)));
    }
    said
}

/// What is done to the cloth as the seam is sewn: eased in, gathered, stretched, left open.
pub(super) fn done(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let eases = seam.eases.iter().filter(|ease| ease.most > 0.0);
    let held = eases.map(|one| held(one, seam, pattern));
    let open = seam
        .openings
        .iter()
        .map(|one| opening(one, &seam.first, pattern));
    held.chain(open).collect()
}

pub(super) fn notch_words(form: NotchForm) -> &'static str {
    match form {
        NotchForm::Single => "Notch once",
        NotchForm::Double => "Notch twice",
        NotchForm::Tee => "Mark a T notch",
        NotchForm::Vee => "Cut a V notch",
        NotchForm::Slit => "Snip a slit notch",
    }
}

fn sewn(seam: &Seam, pattern: &Pattern) -> Option<String> {
    let (unit, sewn) = (pattern.unit, seam.sewn?);
    let (a, b) = sewn.widths;
    let widths = if (a - b).abs() < 0.01 {
        format!("{} on both sides", unit.length(a))
    } else {
        format!(
            "{} on {} and {} on {}",
            unit.length(a),
            side(&seam.first, pattern),
            unit.length(b),
            side(&seam.second, pattern)
        )
    };
    Some(format!("Sewn {}: {widths}.", sewn.kind.said()))
}

/// The lengths between places that both sides name.
fn sections(seam: &Seam, pattern: &Pattern) -> Option<String> {
    if seam.sections.len() < 2 {
        return None;
    }
    let unit = pattern.unit;
    let said = seam.sections.iter().map(|one| {
        let (first, second) = one.between.lengths();
        let lengths = unit.lengths_apart(&[first, second], said::least_said(one.ok));
        let both = match lengths.as_slice() {
            [a, b] if a == b => a.clone(),
            _ => lengths.join(" to "),
        };
        match (one.ok, one.open) {
            (false, _) => format!("{both}, which DIFFER"),
            (true, true) => format!("{both} left open"),
            (true, false) => both,
        }
    });
    let said: Vec<String> = said.collect();
    Some(format!("From place to place: {}.", said.join("; ")))
}

/// What is done with an edge that is not as long as its partner.
fn held(ease: &Ease, seam: &Seam, pattern: &Pattern) -> String {
    let unit = pattern.unit;
    let own = if ease.on_first {
        &seam.first
    } else {
        &seam.second
    };
    let lies = |edge: &&SideEdge| {
        let (from, to) = (edge.from, edge.from + edge.length);
        let mut spans = ease.spans.iter();
        spans.any(|(a, b)| b.min(to) - a.max(from) > places::SAME)
    };
    let held: Vec<&SideEdge> = own.edges.iter().filter(lies).collect();
    let thing = edges(&held, pattern);
    let place = match (ease.spans.first(), ease.spans.last()) {
        (Some(first), Some(last)) if ease.placed => {
            format!(", {}", stretch(own, (first.0, last.1), pattern))
        }
        _ => String::new(),
    };
    let over = match ease.spans.as_slice() {
        [(from, to)] if ease.placed && place.starts_with(", from") => {
            format!(", over {}", unit.length(to - from))
        }
        _ => String::new(),
    };
    let amount = if ease.most - ease.least < places::SAME {
        unit.length(ease.least)
    } else {
        format!("{} to {}", unit.length(ease.least), unit.length(ease.most))
    };
    match (ease.how, ease.ratio) {
        (EaseHow::Ease, _) => format!("Ease {thing} in by {amount}{place}{over}."),
        (EaseHow::Gather, Some((low, high))) => {
            let long: f64 = ease.spans.iter().map(|(a, b)| b - a).sum();
            let ratio = if low == high {
                voice::number(low)
            } else {
                format!("{} or {}", voice::number(low), voice::number(high))
            };
            let up = if low == high {
                let (long, short) = (unit.length(long), unit.length(long / low));
                format!(": {long} drawn up to {short}")
            } else {
                String::new()
            };
            format!("Gather {thing} {ratio} to 1{place}{over}{up}.")
        }
        (EaseHow::Gather, None) => format!("Gather {thing}: draw {amount} up{place}{over}."),
        (EaseHow::Stretch, _) => format!("Stretch {thing} by {amount} as you sew{place}{over}."),
    }
}

fn opening(opening: &Opening, first: &Side, pattern: &Pattern) -> String {
    let (from, to) = (opening.from.0, opening.to.0);
    let words = if opening.words.is_empty() {
        String::new()
    } else {
        format!(" for the {}", opening.words)
    };
    let place = stretch(first, (from, to), pattern);
    format!(
        "Open{words}: leave {} unsewn, {place}.",
        pattern.unit.length(to - from)
    )
}

/// A part of a side: "from the corner with the hem on", "between 9.5 cm from the corner with the hem and 2 cm from the neck".
fn stretch(side: &Side, (from, to): (f64, f64), pattern: &Pattern) -> String {
    let lies =
        |edge: &&SideEdge| (edge.from + edge.length).min(to) - edge.from.max(from) > places::SAME;
    let several = side.edges.iter().filter(lies).count() > 1;
    let of = |far: f64| places::along(side, far, several, pattern);
    let (begin, end) = (of(from), of(to));
    let is_corner = |words: &str| words.starts_with("the ") && !several;
    match (is_corner(&begin), is_corner(&end)) {
        (true, false) => format!("from {begin} on"),
        (false, true) => format!("from {end} on"),
        _ => format!("between {begin} and {end}"),
    }
}

/// Darts, pleats and edges that the sides run on over, and pieces that nothing joins.
fn passed(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let sides = [&seam.first, &seam.second];
    sides
        .into_iter()
        .flat_map(|one| passed_by(one, pattern))
        .collect()
}

fn passed_by(side: &Side, pattern: &Pattern) -> Vec<String> {
    let pairs = || side.edges.iter().zip(side.edges.iter().skip(1));
    let over = |after: After| -> Vec<(&SideEdge, &SideEdge)> {
        pairs().filter(|(_, edge)| edge.after == after).collect()
    };
    let both = |pairs: &[(&SideEdge, &SideEdge)]| {
        let mut found: Vec<&SideEdge> = Vec::new();
        for edge in pairs.iter().flat_map(|(a, b)| [*a, *b]) {
            let known = |one: &&SideEdge| one.edge == edge.edge && one.piece == edge.piece;
            if !found.iter().any(known) {
                found.push(edge);
            }
        }
        let verb = if found.len() > 1 { "run" } else { "runs" };
        format!("{} {verb} on over", edges(&found, pattern))
    };
    let mut said = Vec::new();
    for (after, act, one, many) in [
        (After::Dart, "Sew", "dart", "darts"),
        (After::Pleat, "Fold", "pleat", "pleats"),
    ] {
        let found = over(after);
        match found.len() {
            0 => {}
            1 => said.push(format!("{act} the {one} first: {} it.", both(&found))),
            n => said.push(format!(
                "{act} the {n} {many} first: {} them.",
                both(&found)
            )),
        }
    }
    for (before, edge) in over(After::Over) {
        let name = between(before, edge, pattern).unwrap_or_else(|| "what lies there".to_owned());
        said.push(format!(
            "Pass by {name}: it overlaps here and is not caught."
        ));
    }
    let apart = over(After::Apart);
    if !apart.is_empty() {
        let mut names: Vec<String> = Vec::new();
        for edge in &side.edges {
            let name = called(&edge.piece, pattern);
            if names.last() != Some(&name) {
                names.push(name);
            }
        }
        said.push(format!(
            "No seam joins {}: lay them end to end as they are named.",
            voice::list(&names)
        ));
    }
    said
}

/// The edge of a piece that lies between two others which a side takes.
fn between(before: &SideEdge, after: &SideEdge, pattern: &Pattern) -> Option<String> {
    let piece = pattern.piece(&before.piece)?;
    let at = |one: &SideEdge| piece.edges.iter().position(|edge| edge.name == one.edge);
    let (from, to, count) = (at(before)?, at(after)?, piece.edges.len());
    let passed = if (from + 2) % count == to {
        (from + 1) % count
    } else if (to + 2) % count == from {
        (to + 1) % count
    } else {
        return None;
    };
    let name = voice::the_thing(&piece.edges.get(passed)?.name, "edge");
    Some(format!("{name} of {}", called(&before.piece, pattern)))
}

/// How lines run on over the seam at its ends.
fn ends(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let mut straight = Vec::new();
    let mut told = Vec::new();
    for end in &seam.ends {
        let (one, other) = beside(end, pattern);
        let step = said::step(end, pattern.unit);
        let angle = voice::angle(end.angle);
        match &end.corner {
            Some(words) if words.is_empty() => told.push(format!(
                "{} and {other} make a corner of {angle}{step}, as meant.",
                voice::capital(&one)
            )),
            Some(words) => told.push(format!(
                "{} and {other} make a corner of {angle}{step}: {words}.",
                voice::capital(&one)
            )),
            None if end.ok && (end.angle - 180.0).abs() <= STRAIGHT => {
                straight.push(format!("{one} into {other}{step}"));
            }
            None if end.ok => told.push(format!(
                "{} runs on into {other} at {angle}{step}.",
                voice::capital(&one)
            )),
            None => told.push(format!(
                "{} and {other} DO NOT RUN ON: {angle}{step}.",
                voice::capital(&one)
            )),
        }
    }
    if !straight.is_empty() {
        told.insert(
            0,
            format!(
                "These lines run straight on over it: {}.",
                straight.join("; ")
            ),
        );
    }
    told
}

/// Both edges beside an end; of one edge and its twin, the twin's as such.
fn beside(end: &SeamEnd, pattern: &Pattern) -> (String, String) {
    let of = |piece: &str, edge: &str| {
        let (name, piece) = (voice::the_thing(edge, "edge"), called(piece, pattern));
        (name, piece)
    };
    let (one, first) = of(&end.pieces.0, &end.edges.0);
    let (other, second) = of(&end.pieces.1, &end.edges.1);
    let said = format!("{one} of {first}");
    if one != other {
        (said, format!("{other} of {second}"))
    } else if first == second {
        (said, "that of its twin".to_owned())
    } else {
        (said, format!("that of {second}"))
    }
}
