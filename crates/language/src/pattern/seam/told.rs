//! What is said of a seam that cannot be walked, or cannot be sewn as stated: figures, what was wanted, and what to write.

mod lengths;
mod places;

pub(super) use lengths::{between_astray, differs, ease_astray, ease_less, not_shared, section};
use places::nearest;
pub(super) use places::{beyond, crossed, no_end, off, place_off, same_side};

use super::super::fault::Fault;
use super::super::piece::Piece;
use super::super::spec::{CornerSaid, EdgeName, SeamEdgeSpec, SeamPoint, SeamSpec, Tag, Value};
use super::judge::lengths;
use super::places::Walked;
use super::reading::{Laid, Tip};
use super::side::{Ground, Meant, Node, Sorting, is_on_panel, panel_of, same};
use super::walk::Walk;
use super::{EQUAL, Seam, Side, SideEdge};
use crate::report::{Code, Put};
use crate::say;
use crate::voice::say::Part;
use crate::voice::{self, Words, figure};
use kurbo::Point;
use std::collections::BTreeSet;

fn spoken(spec: &SeamSpec) -> String {
    voice::name(&spec.name)
}

fn seam(spec: &SeamSpec, words: impl Part) -> Words {
    say!("seam {}: {}", spoken(spec), words)
}

/// A point as people say it.
fn said(point: &SeamPoint) -> String {
    if point.name.is_empty() {
        "the point".to_owned()
    } else {
        voice::name(&point.name)
    }
}

/// The name of a point that lies at a place of a panel's line.
fn name_at(ground: &Ground<'_>, piece: usize, line: &str, at: Point) -> Option<String> {
    let of_piece = ground.pieces.get(piece).map_or("", |p| p.panel.as_str());
    let named = |panel: &str| {
        let mut values = ground.values.iter();
        let lies = |value: &&super::super::spec::NamedValue| {
            matches!(value.value, Value::Point(p) if same(p, at)) && panel_of(&value.name) == panel
        };
        values.find(lies).map(|value| value.name.clone())
    };
    named(panel_of(line)).or_else(|| named(of_piece))
}

fn edge_of<'a>(ground: &Ground<'a>, tip: &Tip) -> Option<&'a super::super::piece::Edge> {
    ground
        .pieces
        .get(tip.corner.piece)?
        .edges
        .get(tip.corner.edge)
}

/// An end as a draft writes it.
pub(super) fn tip_written(ground: &Ground<'_>, tip: &Tip) -> String {
    let Some(edge) = edge_of(ground, tip) else {
        return String::new();
    };
    if let Some(name) = name_at(ground, tip.corner.piece, &edge.line, tip.place) {
        return name;
    }
    // The line as it was drawn, not as the outline walks it.
    let starts = edge.path.start().is_ok_and(|start| same(start, tip.place)) == edge.as_drawn;
    let which = if starts { "start" } else { "end" };
    format!("({which} of {})", edge.line)
}

/// An end as people say it.
pub(super) fn tip_said(ground: &Ground<'_>, tip: &Tip) -> String {
    let written = tip_written(ground, tip);
    let bare = written.trim_start_matches('(').trim_end_matches(')');
    match bare.split_once(" of ") {
        Some((which, line)) => format!("the {which} of {}", voice::name(line)),
        None => voice::name(bare),
    }
}

/// The point of a panel that lies at a place of a side, by name.
pub(super) fn named_at(ground: &Ground<'_>, side: &Side, at: f64) -> Option<String> {
    let (index, along) = side.locate(at)?;
    let edge = side.edges.get(index)?;
    name_at(
        ground,
        edge.at.0,
        &edge.line,
        edge.path.point_at(along).ok()?,
    )
}

/// A place of a side as a draft writes it.
fn place_written(ground: &Ground<'_>, side: &Side, at: f64) -> Option<String> {
    let (index, along) = side.locate(at)?;
    let edge = side.edges.get(index)?;
    let point = edge.path.point_at(along).ok()?;
    let line = edge.written();
    Some(named_at(ground, side, at).unwrap_or_else(|| {
        let of_piece = ground.pieces.get(edge.at.0);
        let drawn = of_piece.and_then(|piece| piece.edges.get(edge.at.1));
        let starts = drawn.is_some_and(|drawn| {
            drawn.path.start().is_ok_and(|start| same(start, point)) == drawn.as_drawn
        });
        let which = if starts { "start" } else { "end" };
        format!("({which} of {line})")
    }))
}

/// Help that shows each of these to be written, which are offered too, behind what leads all of them.
pub(super) fn one_of(
    fault: Fault,
    help: &str,
    tag: Tag,
    put: Put,
    lead: &str,
    all: Vec<String>,
) -> Fault {
    let shown: Vec<String> = all.iter().map(|one| format!("`{lead}{one}`")).collect();
    let fault = fault.help(format!("{help} {}", voice::either(&shown)));
    all.into_iter()
        .fold(fault, |fault, one| fault.cure(tag, put, one))
}

// ---- edges

/// An edge that is not to be had.
pub(super) fn not_had(seam: &str, name: &EdgeName, meant: &Meant, pieces: &[Piece]) -> Fault {
    let seam = voice::name(seam);
    let written = match (&name.owner, name.line.is_empty()) {
        (_, false) => name.line.clone(),
        (Some(owner), true) => format!("{owner}.{}", name.edge),
        (None, true) => name.edge.clone(),
    };
    let of = |at: &(usize, usize)| {
        let piece = pieces.get(at.0)?;
        Some(format!("{}.{}", piece.name, piece.edges.get(at.1)?.name))
    };
    match meant {
        Meant::Several(all) => {
            let names: Vec<String> = all.iter().filter_map(of).collect();
            let message = format!(
                "seam {seam}: {} is an edge of {} pieces",
                voice::name(&written),
                all.len()
            );
            let fault = Fault::error(Code::EdgeShared, name.tag, message)
                .at("which piece's?")
                .note("A seam joins edges of pieces.");
            one_of(fault, "Write", name.tag, Put::Over, "", names)
        }
        Meant::NotOf(piece) => {
            let edges: Vec<String> = pieces
                .get(*piece)
                .map(|piece| {
                    let own = piece.edges.iter().filter(|edge| edge.mouth.is_none());
                    own.map(|edge| edge.name.clone()).collect()
                })
                .unwrap_or_default();
            let owner = name.owner.as_deref().unwrap_or_default();
            let message = format!(
                "seam {seam}: piece {} has no edge {}",
                voice::name(owner),
                voice::name(&name.edge)
            );
            Fault::error(Code::UnknownEdge, name.tag, message)
                .at("no such edge")
                .note(format!("Its edges are {}.", edges.join(", ")))
        }
        Meant::One(..) | Meant::Nowhere => {
            let message = format!("seam {seam}: no piece outlines {}", voice::name(&written));
            Fault::warning(Code::SeamNotTaken, name.tag, message)
                .at("in no piece's outline")
                .note("The seam is not walked, so nothing shows that it fits. The side that is here has only the notches that it can place by itself.")
                .help(format!(
                    "Outline {written} in a piece, or take the piece that does."
                ))
        }
    }
}

pub(super) fn pleated(spec: &SeamSpec, edge: &SeamEdgeSpec) -> Fault {
    let message = seam(
        spec,
        format!(
            "{} lies in a pleat, folded away before the seam is sewn",
            voice::name(&edge.name.line)
        ),
    );
    Fault::error(Code::EdgesApart, edge.name.tag, message)
        .at("in the pleat")
        .help("Leave it out: the seam runs on over the pleat.")
}

/// Two edges of a side with a gap between.
pub(super) fn apart(spec: &SeamSpec, sorting: &Sorting<'_>, one: Node, other: Node) -> Fault {
    let of = |node: Node| {
        let taken = sorting.one(node)?;
        let piece = sorting.ground.pieces.get(taken.piece)?;
        Some((taken, piece, piece.edges.get(taken.edge)?))
    };
    let (Some((a, _, first)), Some((b, piece, second))) = (of(one), of(other)) else {
        return Fault::error(
            Code::EdgesApart,
            spec.tag,
            seam(spec, "its edges leave a gap"),
        );
    };
    let (x, y) = (voice::name(&first.name), voice::name(&second.name));
    let message = seam(spec, format!("between {x} and {y} the side leaves a gap"));
    let mut fault = Fault::error(Code::EdgesApart, b.tag, message)
        .at("begins beyond the gap")
        .see(a.tag, "ends before the gap");
    let count = piece.edges.len();
    let between = |from: usize, to: usize| {
        let mut names = Vec::new();
        let mut at = (from + 1) % count.max(1);
        while at != to && names.len() < count {
            if let Some(edge) = piece.edges.get(at).filter(|edge| edge.mouth.is_none()) {
                names.push((edge.name.clone(), edge.length));
            }
            at = (at + 1) % count.max(1);
        }
        names
    };
    if a.piece == b.piece {
        let long = |way: &[(String, f64)]| way.iter().map(|one| one.1).sum::<f64>();
        let (ahead, back) = (between(a.edge, b.edge), between(b.edge, a.edge));
        let way = if long(&ahead) <= long(&back) {
            ahead
        } else {
            back
        };
        if let [(name, length)] = way.as_slice() {
            fault = fault
                .note(
                    say!("Between them lies {}, {} long.", voice::name(name), figure::length(*length)),
                )
                .help(format!(
                    "If it is sewn, name it too; if it is passed by, write `over {}.{name}` between the two.",
                    piece.name
                ))
                .cure(b.tag, Put::Before, format!("over {}.{name}, ", piece.name))
                .cure(b.tag, Put::Before, format!("{}.{name}, ", piece.name));
        } else {
            let names: Vec<String> = way.iter().map(|one| voice::name(&one.0)).collect();
            fault = fault
                .note(format!("Between them lie {}.", voice::list(&names)))
                .help("Name every edge that is sewn; before one that is passed by, write `over`");
        }
    }
    fault
}

// ---- ends

/// A `from` at no end of either side.
pub(super) fn start(walk: &Walk<'_>, from: &SeamPoint, sides: [&Laid; 2]) -> Fault {
    let place = said(from);
    let message = seam(
        walk.spec,
        format!("the walk is to start from {place}, where neither side ends"),
    );
    let mut fault = Fault::error(Code::SeamBroken, walk.spec.tag, message);
    // A start that is right stays, and the other is an end of the other side.
    let right = walk.spec.from.iter().find(|other| *other != from);
    let kept = right.map_or(String::new(), |right| format!("{}, ", right.name));
    let (mut ends, mut starts) = (Vec::new(), Vec::new());
    for laid in sides {
        let has = |right: &SeamPoint| {
            let mut tips = laid.tips.iter();
            tips.any(|tip| tip_written(walk.ground, tip) == right.name)
        };
        let here = laid.tips.iter().map(|tip| tip_written(walk.ground, tip));
        if !right.is_some_and(|right| right.name.is_empty() || has(right)) {
            starts.extend(here.map(|end| format!("{kept}{end}")));
        }
        let nearest = laid.tips.iter().min_by(|a, b| {
            let far = |tip: &Tip| (tip.place - from.point).hypot();
            far(a).total_cmp(&far(b))
        });
        ends.extend(laid.tips.iter().map(|tip| tip_written(walk.ground, tip)));
        let Some((tip, edge)) = nearest.zip(laid.side.edges.first()) else {
            continue;
        };
        let elsewhere = edge_of(walk.ground, tip).is_some_and(|edge| {
            same(tip.place, from.point)
                && !is_on_panel(walk.ground, from, tip.corner.piece, &edge.line)
        });
        let words = if elsewhere {
            say!(
                "{} lies there on another sheet, which says nothing of this one",
                place
            )
        } else {
            say!(
                "{} is {} from its nearer end",
                place,
                figure::length((tip.place - from.point).hypot())
            )
        };
        fault = fault.see(edge.tag, words);
    }
    let help = format!("Name an end of either side: {}.", voice::list(&ends));
    starts.into_iter().fold(fault.help(help), |fault, start| {
        fault.cure(walk.spec.tag, Put::From, start)
    })
}

/// Nothing decides which ends meet, or corners contradict each other.
pub(super) fn unsure(walk: &Walk<'_>, first: &Laid, second: &Laid, contradiction: bool) -> Fault {
    let spec = walk.spec;
    let message = seam(
        spec,
        if contradiction {
            "the edges beside its ends want different readings"
        } else {
            "nothing says which ends meet"
        },
    );
    let mut fault = Fault::error(Code::SeamUnsure, spec.tag, message);
    let mut clauses = Vec::new();
    let other = second.reversed();
    for (laid, turned) in [(second, false), (&other, true)] {
        let ([a, a_end], [b, b_end]) = (&first.tips, &laid.tips);
        let walked = Walked {
            ground: walk.ground,
            spec,
            first,
            second: laid,
            ends_known: true,
        };
        let reading = if first.closed && laid.closed {
            if turned {
                "If one goes the other way".to_owned()
            } else {
                "If both go the way they are drawn".to_owned()
            }
        } else {
            format!(
                "If {} meets {}, and {} meets {}",
                tip_said(walk.ground, a),
                tip_said(walk.ground, b),
                tip_said(walk.ground, a_end),
                tip_said(walk.ground, b_end)
            )
        };
        let lengths = lengths(&walked).into_iter();
        let lengths = lengths
            .map(|(one, other)| say!("{} to {}", figure::length(one), figure::length(other)));
        fault = fault.note(say!("{}: {}.", reading, Words::joined(lengths, ", ")));
        clauses.push(format!(
            "{}, {}",
            tip_written(walk.ground, a),
            tip_written(walk.ground, b)
        ));
    }
    let fault = if first.closed || second.closed {
        fault.help("Write where both begin and which way each goes: `from P, Q toward R, S`")
    } else {
        let (tag, lead) = (spec.tag, "Write after the edges");
        one_of(fault, lead, tag, Put::From, "from ", clauses)
    };
    let fault = fault.print(format!(
        "Seam {}: not decided which ends meet",
        spoken(spec)
    ));
    on_pieces(fault, [&first.side, &second.side])
}

/// The fault, printed on every piece that has an edge in these sides.
pub(crate) fn on_pieces(fault: Fault, sides: [&Side; 2]) -> Fault {
    let edges = sides.into_iter().flat_map(|side| &side.edges);
    let pieces: BTreeSet<&str> = edges.map(|edge| edge.piece.as_str()).collect();
    pieces.into_iter().fold(fault, Fault::on_piece)
}

/// A side that is to stop at a point off it.
pub(super) fn stops_off(spec: &SeamSpec, side: &Side, until: &SeamPoint) -> Fault {
    let message = seam(
        spec,
        format!("{} does not pass {}", side.spoken(), said(until)),
    );
    let mut fault = Fault::error(Code::SeamBroken, spec.tag, message);
    if let Some((edge, far)) = nearest(side, until) {
        fault = fault.note(say!("It lies {} from {}.", figure::length(far), edge));
    }
    fault.help("After `until` name a point on the side, where the seam stops.")
}

pub(super) fn no_corner(walked: &Walked<'_>, corner: &CornerSaid) -> Fault {
    let message = seam(
        walked.spec,
        format!(
            "a corner is said at {}, where it does not end",
            said(&corner.at)
        ),
    );
    let ends = walked.first.tips.iter().chain(&walked.second.tips);
    let ends: Vec<String> = ends.map(|tip| tip_written(walked.ground, tip)).collect();
    let why = match corner.words.as_str() {
        "" => String::new(),
        words => format!(" \"{words}\""),
    };
    let help = format!("Its ends are {}.", voice::list(&ends));
    let fault = Fault::error(Code::SeamBroken, corner.tag, message).help(help);
    ends.iter().fold(fault, |fault, end| {
        fault.cure(corner.tag, Put::Over, format!("corner at {end}{why}"))
    })
}

pub(super) fn wrong_side_up(walked: &Walked<'_>, seam: &Seam) -> Option<Fault> {
    let pieces = walked.ground.pieces;
    let single = |edge: &SideEdge| {
        let piece = pieces.get(edge.at.0)?;
        let one_way = piece.cut.count == 1 || (piece.cut.alike && piece.cut.count > 0);
        (!piece.on_fold() && one_way).then_some(piece)
    };
    let sense = |edge: &SideEdge| (edge.along.1 > edge.along.0) != edge.mirrored;
    let mut singles = seam
        .first
        .edges
        .iter()
        .filter_map(|a| Some((a, single(a)?)));
    let (a, one, b, other) = singles.find_map(|(a, one)| {
        let mut others = seam.second.edges.iter();
        let (b, other) = others.find_map(|b| {
            let other = single(b)?;
            (sense(a) == sense(b)).then_some((b, other))
        })?;
        Some((a, one, b, other))
    })?;
    let (x, y) = (voice::name(&one.name), voice::name(&other.name));
    let name = spoken(walked.spec);
    let message = if x == y {
        format!("seam {name}: {x} would have to be turned over to be sewn to itself so")
    } else {
        format!("seam {name}: {x} and {y} cannot both be sewn right side out")
    };
    let mut fault = Fault::warning(Code::WrongSideUp, b.tag, message)
        .at("lies wrong side up")
        .see(a.tag, "right side up")
        .note(
            "Each is cut one way up only, and its outline runs the same way round along the seam.",
        )
        .on_piece(&one.name)
        .on_piece(&other.name)
        .print(format!(
            "Seam {name}: {x} and {y} lie wrong side to wrong side"
        ));
    fault = if x == y {
        let ends = [walked.first.tips.first(), walked.second.tips.last()];
        let ends = ends.map(|tip| tip.map_or(String::new(), |tip| tip_written(walked.ground, tip)));
        let (tag, lead) = (walked.spec.tag, "Read it the other way round:");
        one_of(fault, lead, tag, Put::From, "from ", vec![ends.join(", ")])
    } else {
        let lead = format!(
            "Draw {y} the other way round with `mirror`, cut both as pairs, or, if it is a layer that is turned over, write"
        );
        let mirrored = format!("mirrored {}", b.written());
        one_of(fault, &lead, b.tag, Put::Over, "", vec![mirrored])
    };
    Some(fault)
}

// ---- places

/// A corner without a partner.
pub(super) fn unpaired(
    walked: &Walked<'_>,
    of_first: bool,
    at: f64,
    turn: f64,
    away: &[f64],
) -> Fault {
    let (own, other) = if of_first {
        (&walked.first.side, &walked.second.side)
    } else {
        (&walked.second.side, &walked.first.side)
    };
    let after = own
        .edges
        .iter()
        .position(|edge| (edge.from - at).abs() < EQUAL);
    let after = after.unwrap_or(1);
    let name = |index: usize| own.edges.get(index).map_or(String::new(), SideEdge::spoken);
    let message = seam(
        walked.spec,
        say!(
            "{} turns by {} into {}, and nothing says where that corner lies on the other side",
            name(after.saturating_sub(1)),
            figure::angle(turn.abs()),
            name(after)
        ),
    );
    let tag = own
        .edges
        .get(after)
        .map_or(walked.spec.tag, |edge| edge.tag);
    let here = place_written(walked.ground, own, at).unwrap_or_default();
    let fault = Fault::error(Code::CornerUnpaired, tag, message);
    let there = match away {
        [one] => place_written(walked.ground, other, *one),
        _ => None,
    };
    let tag = walked.spec.tag;
    match (there, away.is_empty()) {
        (Some(there), _) => {
            let (lead, meets) = (
                "If the two corners meet, write in the seam",
                format!("{here} meets {there}"),
            );
            one_of(fault, lead, tag, Put::Inside, "", vec![meets])
        }
        (None, true) => {
            let notch = format!("notch single at {here}");
            fault
                .help(format!("Carry it over with `{notch}` in the seam, or name the point that it meets: `{here} meets POINT`"))
                .cure(tag, Put::Inside, notch)
        }
        (None, false) => fault.help(format!(
            "Name the point that it meets: `{here} meets POINT`"
        )),
    }
}

// ---- ease

fn names(side: &Side) -> String {
    let mut names: Vec<String> = side.edges.iter().map(SideEdge::written).collect();
    names.dedup();
    names.join(", ")
}
