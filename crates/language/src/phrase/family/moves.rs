//! Moves: pivot, mirror, slide, lay against, slash and open, fold and trace through, cut apart. What is moved keeps its
//! shape.

use super::lines::{copies, joined};
use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::argument::{
    Angle as Angled, Arg, Dot, Dots, Length, Lengths, Line, Lines, Things, Turn, Way,
};
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Gives, Takes, form};
use crate::phrase::value::Value;
use crate::report::{Code, Put};
use crate::say;
use crate::syntax::tree::Link;
use crate::voice::{self, figure};
use kurbo::{Affine, Point};
use oaktag_geometry::MEETING;
use oaktag_geometry::angle::Angle;
use oaktag_geometry::fold::{CutFault, UnfoldFault, cut_along, unfold};
use oaktag_geometry::moves::{lay, mirror, pivot};
use oaktag_geometry::path::Path;
use oaktag_geometry::slash::{Slash, SlashFault, without_stretch};
use oaktag_geometry::swing::pivot_until_on;

const THINGS: Takes = Takes::DRAWN.or(Takes::PANEL);

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("pivot")
            .also(&["rotate"])
            .costs(5)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::About, Takes::POINT, "point", "the point held still")
            .at(Link::By, Takes::TURN, "turn", "an angle and its sense, as seen on the paper")
            .gives_by(Gives::SameAsFirst)
            .says("Turns what is drawn about a point.", "point tip_2, spot_2 = pivot tip, spot about top by 6deg clockwise")
            .guessed(&["rotate THING about POINT by ANGLE", "pivot THING about POINT by ANGLE", "pivot THING by ANGLE about POINT", "turn THING about POINT by ANGLE", "rotate THING by ANGLE about POINT", "rotate THING around POINT by ANGLE", "pivot THING around POINT by ANGLE", "pivot THING at POINT by ANGLE"], "pivot THING about POINT by ANGLE clockwise | pivot THING about POINT by ANGLE anticlockwise")
            .guessed(&["rotate THING about POINT by ANGLE clockwise", "turn THING about POINT by ANGLE clockwise", "rotate THING around POINT by ANGLE clockwise", "pivot THING around POINT by ANGLE clockwise"], "pivot THING about POINT by ANGLE clockwise")
            .guessed(&["rotate THING about POINT by ANGLE anticlockwise", "turn THING about POINT by ANGLE anticlockwise", "rotate THING around POINT by ANGLE anticlockwise", "pivot THING around POINT by ANGLE anticlockwise"], "pivot THING about POINT by ANGLE anticlockwise")
            .thing("{things} turned about {about} by {by}")
            .act("pivot {things} about {about} by {by}")
            .means(pivot_by),
        form("pivot")
            .costs(5)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::About, Takes::POINT, "point", "the point held still")
            .at(Link::By, Takes::ANGLE, "angle", "an angle")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way it goes: what is named first, a line by its middle")
            .gives_by(Gives::SameAsFirst)
            .says("Turns what is drawn about a point, told by which way it moves: so that it drops, or swings toward a point.", "point tip_2, spot_2 = pivot tip, spot about top by 6deg toward down")
            .thing("{things} turned about {about} by {by}, {toward}")
            .act("pivot {things} about {about} by {by}, so that it goes {toward}")
            .means(pivot_toward),
        form("pivot")
            .costs(5)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::About, Takes::POINT, "point", "the point held still")
            .at(Link::Until, Takes::POINT, "point", "the point that must land")
            .at(Link::Onto, Takes::PATH, "line", "on which line")
            .at(Link::Near, Takes::POINT, "point", "which landing; without it, the smallest turn")
            .optional()
            .gives_by(Gives::SameAsFirst)
            .says("Turns what is drawn about a point until one of its points lands on a line.", "point spot_2 = pivot spot about top until tip onto plumb")
            .means(pivot_until),
        form("pivot")
            .costs(50)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::About, Takes::POINT, "point", "the point held still")
            .at(Link::By, Takes::TURN, "turn", "an angle and its sense, as seen on the paper")
            .at(Link::From, Takes::POINT, "slash", "the slash runs from the point held still through this one")
            .at(Link::To, Takes::POINT, "last", "all that lies between the slash and the way through this point turns, in the sense of the turn")
            .gives_by(Gives::SameAsFirst)
            .says("Slash and turn: only what lies between two ways from a point turns about it. A line that the slash cuts keeps its name and is bridged straight; what lies on the slash stays.", "curve opened = pivot neck about corner_point by 6deg clockwise from spot to tip")
            .thing("{things} slashed from {about} through {from}, and what lies from there to {to} turned by {by}")
            .act("slash {things} from {about} through {from}, and pivot what lies from there to {to} by {by}")
            .means(slashed_and_turned),
        form("mirror")
            .also(&["reflect", "flip"])
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::Over, Takes::LINE, "fold", "a straight line")
            .gives_by(Gives::SameAsFirst)
            .says("The other half: what is drawn, traced through a fold.", "curve other_neck = mirror neck over centre")
            .guessed(&["trace THING over LINE", "trace THING through LINE", "reflect THING over LINE", "reflect THING about LINE", "reflect THING in LINE", "reflect THING across LINE", "flip THING over LINE", "flip THING about LINE", "fold THING over LINE", "copy THING over LINE", "mirror THING about LINE", "mirror THING across LINE", "mirror THING on LINE", "mirror THING at LINE", "mirror THING in LINE", "mirror of THING over LINE", "mirror of THING about LINE", "mirror THING along LINE", "mirror THING by LINE", "THING mirrored over LINE", "THING mirrored about LINE"], "mirror THING over LINE")
            .thing("{things} mirrored over {over}")
            .act("mirror {things} over {over}")
            .means(mirrored),
        form("slide")
            .also(&["move", "shift"])
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::By, Takes::LENGTH, "length", "how far")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way")
            .gives_by(Gives::SameAsFirst)
            .says("Slides what is drawn, without turning it.", "curve lower = slide neck by 3cm toward down")
            .guessed(&["raise THING by LENGTH", "lift THING by LENGTH", "raise THING LENGTH"], "slide THING by LENGTH toward up")
            .guessed(&["lower THING by LENGTH", "drop THING by LENGTH", "lower THING LENGTH"], "slide THING by LENGTH toward down")
            .guessed(&["move THING by LENGTH toward DIRECTION", "shift THING by LENGTH toward DIRECTION", "move THING LENGTH DIRECTION", "move THING DIRECTION LENGTH", "move THING DIRECTION by LENGTH", "move THING by LENGTH DIRECTION", "shift THING DIRECTION by LENGTH", "shift THING LENGTH DIRECTION", "slide THING DIRECTION LENGTH", "slide THING DIRECTION by LENGTH", "slide THING LENGTH DIRECTION", "slide THING by LENGTH DIRECTION", "THING moved DIRECTION by LENGTH", "THING LENGTH DIRECTION", "LENGTH DIRECTION of THING", "copy THING DIRECTION LENGTH", "THING DIRECTION LENGTH"], "slide THING by LENGTH toward DIRECTION")
            .means(slide_by),
        form("slide")
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::From, Takes::POINT, "point", "a point of it")
            .at(Link::To, Takes::POINT, "point", "where that point goes")
            .gives_by(Gives::SameAsFirst)
            .says("Slides what is drawn until one point lies on another.", "curve moved = slide neck from top to low")
            .guessed(&["move THING from POINT to OTHER", "shift THING from POINT to OTHER", "copy THING from POINT to OTHER", "slide THING from POINT onto OTHER"], "slide THING from POINT to OTHER")
            .means(slide_to),
        form("slide")
            .costs(50)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::By, Takes::LENGTH, "length", "how far; a negative length folds a strip out")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way; what lies beyond the slash that way slides")
            .at(Link::Along, Takes::LINE, "slash", "the straight slash, right across the sheet")
            .gives_by(Gives::SameAsFirst)
            .says("Slash and spread: only what lies beyond a straight slash slides. A line that the slash cuts keeps its name and is bridged straight; what lies on the slash stays.", "curve wider = slide neck by 3cm toward right along (from spot toward down)")
            .thing("{things} slashed along {along}, and what lies beyond slid by {by} {toward}")
            .act("slash {things} along {along}, and slide what lies beyond by {by} {toward}")
            .means(slashed_and_slid),
        form("spread")
            .costs(100)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::From, Takes::POINT, "slashes", "where it is slashed: from each of these points straight to the nearest place of the edge")
            .many()
            .at(Link::To, Takes::PATH, "edge", "the edge that stays whole, the hinge of every slash")
            .at(Link::By, Takes::LENGTH, "openings", "how far they open at the points, straight across: all alike, or each by a length of its own")
            .many()
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way they open; what lies before the first stays")
            .gives_by(Gives::SameAsFirst)
            .says("Slash and spread from one edge to another: opened at the points, whole at the edge. So a sheet is flared at its hem and kept at its upper edge, or made fuller there and kept at the hem.", "curve opened = spread neck\n    from (1/3 of the way along neck), (2/3 of the way along neck) to level by 2cm toward right")
            .thing("{things} slashed from {from} to {to} and spread by {by} {toward}")
            .act("slash {things} from {from} straight to {to}, and spread each slash by {by} {toward}; {to} stays whole")
            .means(fanned),
        form("spread")
            .costs(100)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::Along, Takes::LINE, "slashes", "straight slashes, right across the sheet")
            .many()
            .at(Link::By, Takes::LENGTH, "openings", "how far they open: all alike, or each by a length of its own; a negative length folds a strip out")
            .many()
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way they open; what lies before the first stays")
            .gives_by(Gives::SameAsFirst)
            .says("Slash and spread evenly: each slash opens alike from end to end, as for gathers at both edges.", "curve fuller = spread neck\n    along (from spot toward down), (from (tip left 2cm) toward down) by 15mm, 1cm toward right")
            .thing("{things} slashed along {along} and spread evenly by {by} {toward}")
            .act("slash {things} along {along}, and spread each slash evenly by {by} {toward}")
            .means(spread_evenly),
        form("lay")
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::From, Takes::POINT, "points", "two points of it, the ends of a seam")
            .many()
            .at(Link::To, Takes::POINT, "points", "the two points they are laid on, in the same order")
            .many()
            .gives_by(Gives::SameAsFirst)
            .says("Lays one part against another along a seam: the first point falls on its fellow, the second in its direction.", "curve laid = lay neck from top, tip to low, spot")
            .means(lay_on),
        form("unfold")
            .costs(50)
            .direct(Takes::PATH, "edges", "the edge, in order, as far as the first fold")
            .many()
            .at(Link::Over, Takes::LINE, "folds", "fold lines in the order they are folded")
            .many()
            .at(Link::Until, Takes::PATH, "line", "where the cloth ends")
            .gives(Kind::Curve)
            .says("Fold and trace through: the edge inside the first fold, traced through it, then through the next, and cut at the cloth's end, so that every layer has the right edge.", "line fold_1 = parallel to plumb by 3cm toward right\nline fold_2 = parallel to fold_1 by 3cm toward right\nline raw = parallel to fold_2 by 2cm toward right\nline neck_on = from tip toward right until fold_1\ncurve strip = unfold neck, neck_on over fold_1, fold_2 until raw")
            .act("{over:fold after fold}")
            .means(unfolded),
        form("cut")
            .costs(50)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::Along, Takes::LINE, "line", "the straight line of the cut")
            .at(Link::Toward, Takes::POINT, "point", "on which side the kept part lies")
            .gives_by(Gives::SameAsFirst)
            .says("Cuts what is drawn along a line and keeps the side toward a point; what lies wholly on the other side is left out.", "curve upper = cut neck along (from spot toward right) toward top")
            .means(cut_things),
        form("cut")
            .costs(50)
            .direct(THINGS, "things", "points, lines, curves, or a whole panel")
            .many()
            .at(Link::From, Takes::POINT, "point", "one end of what is taken off")
            .at(Link::To, Takes::POINT, "point", "its other end")
            .at(Link::Toward, Takes::POINT, "point", "near which the part lies that is kept")
            .gives_by(Gives::SameAsFirst)
            .says("Takes a stretch off: each line that runs through both points loses what lies between them and beyond; the rest keeps its name, and all else is as it was.", "curve upper = cut neck from (1/2 of the way along neck) to tip toward top")
            .means(stretch_off),
    ]
}

/// Everything moved alike; one thing stays one, several stay a list.
fn moved(things: &Value, by: Affine) -> Value {
    match things {
        Value::Point(point) => Value::Point(by * *point),
        Value::Path(path) => path.transformed(by).into(),
        Value::List(items) => Value::List(items.iter().map(|item| moved(item, by)).collect()),
        other => other.clone(),
    }
}

fn pivot_by(
    c: &mut Call,
    things: Arg<Things>,
    about: Arg<Dot>,
    by: Arg<Turn>,
) -> Result<Value, Fault> {
    c.leave(Aid::Turn {
        centre: *about,
        degrees: *by,
    });
    Ok(moved(&things, pivot(*about, Angle::from_degrees(*by))))
}

fn pivot_until(
    c: &mut Call,
    things: Arg<Things>,
    about: Arg<Dot>,
    until: Arg<Dot>,
    onto: Arg<Line>,
    near: Option<Arg<Dot>>,
) -> Result<Value, Fault> {
    let turns = pivot_until_on(*until, *about, &onto)
        .map_err(|f| Fault::from(f).label(&until, "").label(&onto, ""))?;
    let chosen = match near {
        Some(near) => turns.iter().min_by(|a, b| {
            (a.1.point - *near)
                .hypot2()
                .total_cmp(&(b.1.point - *near).hypot2())
        }),
        None => turns.first(),
    };
    let Some((turn, _)) = chosen else {
        let message = "No turn brings the point onto the line.";
        return Err(Fault::new(Code::NeverMeet, message).label(&onto, ""));
    };
    c.leave(Aid::Turn {
        centre: *about,
        degrees: turn.degrees(),
    });
    Ok(moved(&things, pivot(*about, *turn)))
}

fn mirrored(things: Arg<Things>, over: Arg<Line>) -> Result<Value, Fault> {
    let by = mirror(&over).map_err(|f| Fault::from(f).label(&over, ""))?;
    Ok(moved(&things, by))
}

fn slide_by(things: Arg<Things>, by: Arg<Length>, toward: Arg<Way>) -> Result<Value, Fault> {
    let at = match &*things {
        Value::Point(point) => *point,
        Value::Path(path) => path.start().unwrap_or_default(),
        _ => Point::ORIGIN,
    };
    let way = toward.settled(at, None)?;
    Ok(moved(&things, Affine::translate(way * *by)))
}

/// The place by which something is known: a point itself, a line's middle, the first of several.
fn known_by(things: &Value) -> Option<Point> {
    match things {
        Value::Point(point) => Some(*point),
        Value::Path(path) => {
            let middle = path.length().ok().map(|length| path.point_at(length / 2.0));
            middle?.ok()
        }
        Value::List(items) => items.iter().find_map(known_by),
        _ => None,
    }
}

fn pivot_toward(
    c: &mut Call,
    things: Arg<Things>,
    about: Arg<Dot>,
    by: Arg<Angled>,
    toward: Arg<Way>,
) -> Result<Value, Fault> {
    let at = known_by(&things).unwrap_or(*about);
    let arm = at - *about;
    let way = toward.settled(at, None)?;
    // The way it sets out when it turns clockwise, y being up.
    let clockwise = kurbo::Vec2::new(arm.y, -arm.x);
    let along = clockwise.dot(way);
    if along.abs() <= arm.hypot() * 1f64.to_radians().sin() {
        let message = "This way runs straight to or from the point held still, so it does not tell which way to turn.";
        return Err(Fault::new(Code::WhichSense, message)
            .help(
                "Name another direction, or write `clockwise` or `anticlockwise` after the angle.",
            )
            .cure_at(&toward, Put::Led("toward"), "clockwise")
            .cure_at(&toward, Put::Led("toward"), "anticlockwise")
            .label(&toward, "which way round?"));
    }
    let degrees = if along > 0.0 { *by } else { -*by };
    c.leave(Aid::Turn {
        centre: *about,
        degrees,
    });
    Ok(moved(&things, pivot(*about, Angle::from_degrees(degrees))))
}

fn slide_to(things: Arg<Things>, from: Arg<Dot>, to: Arg<Dot>) -> Result<Value, Fault> {
    Ok(moved(&things, Affine::translate(*to - *from)))
}

fn lay_on(things: Arg<Things>, from: Arg<Dots>, to: Arg<Dots>) -> Result<Value, Fault> {
    let ([a, b], [p, q]) = (from.as_slice(), to.as_slice()) else {
        let message = "Two points are laid on two others: the ends of the seam on either part.";
        return Err(Fault::new(Code::NamesAndValues, message)
            .label(&from, "")
            .label(&to, ""));
    };
    let (by, _gap) = lay(*a, *b, *p, *q)?;
    Ok(moved(&things, by))
}

fn unfolded(edges: Arg<Lines>, over: Arg<Lines>, until: Arg<Line>) -> Result<Value, Fault> {
    for lines in [&edges, &over] {
        if lines.iter().any(|line| line.is_nothing()) {
            let message = "A line of no length is neither a fold nor traced through one.";
            return Err(Fault::new(Code::NoLength, message).label(lines, "no length"));
        }
    }
    let edge = joined(&edges, &copies(&edges))?;
    let folds = copies(&over);
    let first = folds
        .first()
        .ok_or_else(|| Fault::new(Code::CannotBeDrawn, "There is no fold to trace through."))?;
    // The edge may have been drawn from the fold inward.
    let near = |p: Result<Point, _>| p.map_or(f64::MAX, |p: Point| first.nearest(p).distance);
    let edge = if near(edge.start()) < near(edge.end()) {
        edge.reversed()
    } else {
        edge
    };
    let unfolded = unfold(&edge, &folds, &until).map_err(|fault| unfold_fault(fault, &edges))?;
    let strips = unfolded.layers.get(1..).unwrap_or_default();
    Ok(Path::joined(strips)?.into())
}

fn unfold_fault(fault: UnfoldFault, edges: &Arg<Lines>) -> Fault {
    let words = match &fault {
        UnfoldFault::NotAtFold { gap, .. } => {
            say!("it stops {} short of the first fold", figure::length(*gap))
        }
        UnfoldFault::TooShort { fold, gap, .. } => say!(
            "inside fold {} it is too short, and folded over it stops {} short of the next line",
            fold + 1,
            figure::length(*gap)
        ),
        UnfoldFault::Move(fault) => return Fault::from(fault.clone()),
        UnfoldFault::Path(fault) => return Fault::from(fault.clone()),
        UnfoldFault::NoFolds => "there is no line to fold over".into(),
    };
    Fault::new(Code::CannotBeDrawn, say!("This edge cannot be traced through its folds: {}.", words))
        .help("Draw the edge as far as the first fold, at least as long as the strip between the folds is wide.")
        .label(edges, "")
}

fn slashed_and_turned(
    c: &mut Call,
    things: Arg<Things>,
    about: Arg<Dot>,
    by: Arg<Turn>,
    from: Arg<Dot>,
    to: Arg<Dot>,
) -> Result<Value, Fault> {
    c.leave(Aid::Turn {
        centre: *about,
        degrees: *by,
    });
    let slash = Slash::turning(*about, Angle::from_degrees(*by), *from, *to);
    let slash = slash.map_err(|fault| slash_fault(fault).label(&from, "").label(&to, ""))?;
    slashed(&things, &slash)
}

fn slashed_and_slid(
    things: Arg<Things>,
    by: Arg<Length>,
    toward: Arg<Way>,
    along: Arg<Line>,
) -> Result<Value, Fault> {
    let way = toward.settled(along.point(along.start_location()), None)?;
    let slash = Slash::sliding(&along, way, *by);
    let slash = slash.map_err(|fault| slash_fault(fault).label(&along, ""))?;
    slashed(&things, &slash)
}

fn fanned(
    things: Arg<Things>,
    from: Arg<Dots>,
    to: Arg<Line>,
    by: Arg<Lengths>,
    toward: Arg<Way>,
) -> Result<Value, Fault> {
    let wide = one_each(&by, from.len())?;
    let slashes = from.iter().zip(wide);
    let slashes: Vec<_> = slashes
        .map(|(open, wide)| (*open, to.nearest(*open).point, wide))
        .collect();
    let way = toward.settled(from.first().copied().unwrap_or_default(), None)?;
    let row = Slash::fan(&slashes, way);
    spread(
        &things,
        row.map_err(|fault| slash_fault(fault).label(&from, "").label(&to, ""))?,
    )
}

fn spread_evenly(
    things: Arg<Things>,
    along: Arg<Lines>,
    by: Arg<Lengths>,
    toward: Arg<Way>,
) -> Result<Value, Fault> {
    let wide = one_each(&by, along.len())?;
    let lines: Vec<_> = along.iter().map(AsRef::as_ref).zip(wide).collect();
    let first = lines
        .first()
        .map(|(line, _)| line.point(line.start_location()));
    let way = toward.settled(first.unwrap_or_default(), None)?;
    let row = Slash::row(&lines, way);
    spread(
        &things,
        row.map_err(|fault| slash_fault(fault).label(&along, ""))?,
    )
}

/// A length for each slash: one for all of them, or as many.
fn one_each(by: &Arg<Lengths>, slashes: usize) -> Result<Vec<f64>, Fault> {
    match by.as_slice() {
        [all] => Ok(vec![*all; slashes]),
        each if each.len() == slashes => Ok(each.to_vec()),
        each => {
            let message = format!(
                "{} for {}: give one length for all of them, or one for each.",
                voice::capital(&voice::count(each.len(), "length")),
                voice::count(slashes, "slash")
            );
            Err(Fault::new(Code::NamesAndValues, message).label(by, ""))
        }
    }
}

/// Things through one slash after the other.
fn spread(things: &Value, row: Vec<Slash>) -> Result<Value, Fault> {
    row.iter()
        .try_fold(things.clone(), |things, slash| slashed(&things, slash))
}

fn slashed(things: &Value, slash: &Slash) -> Result<Value, Fault> {
    one_by_one(things, &|value| match value {
        Value::Point(point) => Ok(Value::Point(slash.point(*point))),
        Value::Path(path) => Ok(slash.path(path)?.into()),
        other => Ok(other.clone()),
    })
}

fn slash_fault(fault: SlashFault) -> Fault {
    match fault {
        SlashFault::Move(fault) => Fault::from(fault),
        SlashFault::AlongItself => Fault::new(
            Code::CannotBeDrawn,
            "The slash runs the very way that things are to slide, so nothing opens.",
        )
        .help("Slide square to the slash."),
        SlashFault::Cross(one, other) => {
            let message = format!(
                "Slash {} and slash {} cross each other on the way.",
                one.min(other) + 1,
                one.max(other) + 1
            );
            Fault::new(Code::CannotBeDrawn, message)
                .help("Slashes that are spread one after the other lie beside each other.")
        }
    }
}

/// What comes of each thing; of a list among them, what is left of it.
fn one_by_one(
    things: &Value,
    one: &dyn Fn(&Value) -> Result<Value, Fault>,
) -> Result<Value, Fault> {
    let Value::List(items) = things else {
        return one(things);
    };
    let items = items.iter().map(|item| match one_by_one(item, one)? {
        Value::List(inner) => {
            let left = inner.iter().filter(|value| !matches!(value, Value::Absent));
            Ok(Value::List(left.cloned().collect()))
        }
        value => Ok(value),
    });
    Ok(Value::List(items.collect::<Result<_, Fault>>()?))
}

fn cut_things(things: Arg<Things>, line: Arg<Line>, keep: Arg<Dot>) -> Result<Value, Fault> {
    one_by_one(&things, &|value| match value {
        Value::Point(point) => Ok(if same_side(*point, *keep, &line) {
            Value::Point(*point)
        } else {
            Value::Absent
        }),
        Value::Path(path) if path.is_endless() => Ok(Value::Path(path.clone())),
        Value::Path(path) => {
            let parts = cut_along(path, &line, *keep).map_err(|fault| {
                let fault = match fault {
                    CutFault::Path(fault) => Fault::from(fault),
                    CutFault::NoSide { .. } => Fault::new(
                        Code::WhichSense,
                        "The point lies on the cut itself, so it does not tell which side is kept.",
                    )
                    .help("Name a point well off the line."),
                };
                fault.label(&line, "").label(&keep, "")
            })?;
            let nearest = parts.into_iter().min_by(|a, b| {
                a.nearest(*keep)
                    .distance
                    .total_cmp(&b.nearest(*keep).distance)
            });
            Ok(nearest.map_or(Value::Absent, Value::from))
        }
        other => Ok(other.clone()),
    })
}

fn stretch_off(
    things: Arg<Things>,
    from: Arg<Dot>,
    to: Arg<Dot>,
    keep: Arg<Dot>,
) -> Result<Value, Fault> {
    one_by_one(&things, &|value| match value {
        Value::Path(path) => {
            let left = without_stretch(path, *from, *to, *keep)?;
            Ok(left.map_or_else(|| value.clone(), Value::from))
        }
        other => Ok(other.clone()),
    })
}

fn same_side(point: Point, keep: Point, line: &Path) -> bool {
    let near = line.nearest(keep).point;
    let foot = line.nearest(point).point;
    (point - foot).hypot() <= MEETING || (point - foot).dot(keep - near) > 0.0
}
