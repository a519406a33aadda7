//! A thing of the drawing that a hand holds, kept while it is dragged; places are the sheet's, millimetres with y down.

use super::picture::Pictured;
use super::question::{DragAsked, Shown, Sort};
use super::{AtHand, Wrong, json_of};
use crate::hands::{Bench, Dragged, End, Hands, Mover, Movers, Search, Thing, Track, handle};
use crate::session::Session;
use crate::session::view::{Offer, View};
use kurbo::{Affine, Point, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::Value;
use oaktag_language::voice;
use oaktag_output::svg;
use serde::Serialize;

/// What a hand holds.
#[derive(Default)]
pub(super) struct Grip {
    /// What is tried on.
    bench: Option<Bench>,
    held: Option<Held>,
}

/// A thing of a text with what moves it; none of a thing that is not drawn.
struct Held {
    text: String,
    thing: Thing,
    search: Option<Search>,
    /// What was tried of a mover.
    track: (usize, Track),
}

/// A thing of the drawing, where it lies, and what could move it.
#[derive(Serialize)]
pub(super) struct Taken {
    thing: Thing,
    /// It was taken on the half that only mirrors what is drawn.
    mirrored: bool,
    x: f64,
    y: f64,
    handles: Vec<HandleShown>,
    /// For each mover how far the thing goes on the sheet, right and down, for one of its unit.
    ways: Vec<(f64, f64)>,
    #[serde(flatten)]
    moves: Movers,
}

/// The handle of a curve, and the end that it is of.
#[derive(Serialize)]
struct HandleShown {
    end: End,
    x: f64,
    y: f64,
    from_x: f64,
    from_y: f64,
}

/// What a drag comes to, as a page shows it.
#[derive(Serialize)]
struct Drawn {
    edit: Option<Offer>,
    file: Option<String>,
    written: String,
    stopped: Option<String>,
    x: f64,
    y: f64,
    /// What stands beside the drawing, where it was asked for.
    beside: Option<View>,
}

/// A frame of a drag.
#[derive(Serialize)]
struct Frame<'d> {
    #[serde(flatten)]
    drawn: &'d Drawn,
    picture: &'d Pictured<'d>,
}

impl AtHand {
    /// Takes hold of a thing that is shown in the drawing.
    ///
    /// # Errors
    /// Why it cannot be taken, in words.
    pub(super) fn take(&mut self, shown: &Shown, most: usize) -> Result<Taken, String> {
        let found = Found::of(&self.session, shown)?;
        self.hold(&found.thing, most);
        let search = self
            .grip
            .held
            .as_ref()
            .and_then(|held| held.search.as_ref());
        let moves = search.map(|search| search.found.clone());
        let moves = moves.ok_or_else(|| "it is not drawn now".to_owned())?;
        let at = found.lie * found.at;
        let way = |one: &Mover| {
            let way = found.lie * (found.at + Vec2::new(one.right, one.up)) - at;
            (way.x, way.y)
        };
        Ok(Taken {
            ways: moves.movers.iter().map(way).collect(),
            handles: found.handles(&self.session.outcome().pattern),
            thing: found.thing,
            mirrored: found.mirrored,
            x: at.x,
            y: at.y,
            moves,
        })
    }

    /// Holds a thing, and looks for so many figures that move it.
    fn hold(&mut self, thing: &Thing, most: usize) {
        let text = self.session.text();
        let held = self.grip.held.take();
        let held = held.filter(|held| held.thing == *thing && held.text == text);
        let mut hands = hands(&self.session, self.grip.bench.take());
        let mut held = held.unwrap_or_else(|| Held {
            text: text.to_owned(),
            thing: thing.clone(),
            search: hands.search(thing),
            track: Default::default(),
        });
        if let Some(search) = &mut held.search {
            hands.find(thing, search, most);
        }
        self.grip.bench = Some(hands.into_bench());
        self.grip.held = Some(held);
    }

    /// Where one of its movers can bring it, and the drawing there.
    pub(super) fn dragged(&mut self, asked: &DragAsked) -> Result<Vec<u8>, Wrong> {
        let Some((drawn, svg)) = self.drawn(asked) else {
            return json_of(&None::<String>);
        };
        let has = asked.has.as_deref();
        self.given.answer(svg, has, |picture| {
            json_of(&Frame {
                drawn: &drawn,
                picture,
            })
        })
    }

    fn drawn(&mut self, asked: &DragAsked) -> Option<(Drawn, String)> {
        let thing = &asked.thing;
        self.hold(thing, asked.mover + 1);
        let lie = lie(&self.session, &asked.piece, asked.mirrored)?;
        let held = self.grip.held.as_mut()?;
        let mover = held.search.as_ref()?.found.movers.get(asked.mover)?.clone();
        if held.track.0 != asked.mover {
            held.track = (asked.mover, Track::default());
        }
        let mut hands = hands(&self.session, self.grip.bench.take());
        let to = lie.inverse() * Point::from(asked.to);
        let dragged = hands.drag_on(thing, &mover, to, asked.fineness, &mut held.track.1);
        let drawn = dragged.and_then(|dragged| drawn(&self.session, &hands, asked, dragged));
        self.grip.bench = Some(hands.into_bench());
        drawn
    }

    /// Something done by hands on the draft at hand.
    pub(super) fn by_hand<T>(&mut self, act: impl FnOnce(&mut Hands<'_>) -> T) -> T {
        let mut hands = hands(&self.session, self.grip.bench.take());
        let done = act(&mut hands);
        self.grip.bench = Some(hands.into_bench());
        done
    }
}

fn hands(session: &Session, bench: Option<Bench>) -> Hands<'_> {
    match bench {
        Some(bench) => session.hands_with(bench),
        None => session.hands(),
    }
}

fn drawn(
    session: &Session,
    hands: &Hands<'_>,
    asked: &DragAsked,
    dragged: Dragged,
) -> Option<(Drawn, String)> {
    let tried = hands.tried_last();
    // The pieces keep their places until the thing is let go of.
    let now = tried.drawing_where(session.drawing()?)?;
    let place = now.place_of(&asked.piece)?;
    let mirror = mirror(&tried.outcome().pattern, &asked.piece, asked.mirrored);
    let at = place * mirror * Point::new(dragged.x, dragged.y);
    let drawn = Drawn {
        edit: dragged.edit,
        file: dragged.file,
        written: dragged.written,
        stopped: dragged.stopped,
        x: at.x,
        y: at.y,
        beside: asked.beside.then(|| View {
            // Places are of the text as it was asked about.
            pieces: Vec::new(),
            drawn: Default::default(),
            steps: Vec::new(),
            ..tried.view()
        }),
    };
    Some((drawn, svg::of_drawing(&now)))
}

/// From a piece's own coordinates to the sheet's.
pub(super) fn lie(session: &Session, piece: &str, mirrored: bool) -> Option<Affine> {
    let place = session.drawing()?.place_of(piece)?;
    Some(place * mirror(&session.outcome().pattern, piece, mirrored))
}

/// Over the line that mirrors the half of a piece that is not drawn.
fn mirror(pattern: &Pattern, piece: &str, mirrored: bool) -> Affine {
    let piece = pattern.piece(piece).filter(|_| mirrored);
    let line = piece.and_then(|piece| piece.mirror_line.as_ref());
    let ends = line.and_then(|(_, line)| line.start().ok().zip(line.end().ok()));
    ends.map_or(Affine::IDENTITY, |(from, to)| {
        Affine::reflect(from, to - from)
    })
}

/// A thing of the drawing as the draft knows it.
struct Found {
    thing: Thing,
    at: Point,
    lie: Affine,
    mirrored: bool,
}

impl Found {
    fn of(session: &Session, shown: &Shown) -> Result<Self, String> {
        let outcome = session.outcome();
        let pattern = &outcome.pattern;
        let lost = |name: &str| format!("{} is not drawn now", voice::name(name));
        let place = |mirrored| lie(session, &shown.piece, mirrored);
        let plain = place(false).ok_or_else(|| lost(&shown.piece))?;
        let spot = |lie: Affine| shown.at.map(|at| lie.inverse() * Point::from(at));
        let mut mirrored = false;
        let thing = match shown.sort {
            Sort::Start => Thing::Handle(shown.called.clone(), End::Start),
            Sort::End => Thing::Handle(shown.called.clone(), End::End),
            Sort::Notch => Thing::Notch(
                shown.piece.clone(),
                nearest_notch(pattern, &shown.piece, spot(plain))
                    .ok_or_else(|| lost(&shown.called))?,
            ),
            Sort::Mark => {
                let mut marks = pattern
                    .piece(&shown.piece)
                    .into_iter()
                    .flat_map(|one| &one.marks);
                let at = marks.position(|mark| mark.name == shown.called);
                Thing::Mark(shown.piece.clone(), at.ok_or_else(|| lost(&shown.called))?)
            }
            Sort::Named => {
                let (thing, over) = named(pattern, shown, spot(plain), place(true).and_then(spot))
                    .ok_or_else(|| {
                        format!("{} is no point and no line", voice::name(&shown.called))
                    })?;
                mirrored = over;
                thing
            }
        };
        let lie = place(mirrored).ok_or_else(|| lost(&shown.piece))?;
        let at = thing.place(outcome).ok_or_else(|| lost(&shown.called))?;
        Ok(Self {
            thing,
            at,
            lie,
            mirrored,
        })
    }

    fn handles(&self, pattern: &Pattern) -> Vec<HandleShown> {
        let Thing::On(name, _) = &self.thing else {
            return Vec::new();
        };
        let Some(path) = crate::hands::line(pattern, name) else {
            return Vec::new();
        };
        let shown = |end| {
            let (from, at) = handle(path, end)?;
            let (from, at) = (self.lie * from, self.lie * at);
            Some(HandleShown {
                end,
                x: at.x,
                y: at.y,
                from_x: from.x,
                from_y: from.y,
            })
        };
        [End::Start, End::End]
            .into_iter()
            .filter_map(shown)
            .collect()
    }
}

/// A point, or the place on a line nearest to where it was taken; on the mirrored half, where that is nearer.
fn named(
    pattern: &Pattern,
    shown: &Shown,
    at: Option<Point>,
    mirrored: Option<Point>,
) -> Option<(Thing, bool)> {
    let name = shown.called.clone();
    let value = crate::hands::value(pattern, &name)?;
    let far = |p: Point| match value {
        Value::Point(own) => Some(own.distance(p)),
        Value::Line(path) | Value::Curve(path) => Some(path.nearest(p).distance),
        _ => None,
    };
    let plain = at.and_then(far).unwrap_or_default();
    let over = mirrored
        .and_then(far)
        .is_some_and(|over| over + 1e-6 < plain);
    let at = if over { mirrored } else { at };
    match value {
        Value::Point(_) => Some((Thing::Point(name), over)),
        Value::Line(path) | Value::Curve(path) => {
            let share = at.and_then(|at| {
                Some(path.length_to(path.nearest(at).location) / path.length().ok()?)
            });
            Some((Thing::On(name, share.unwrap_or(0.5).clamp(0.0, 1.0)), over))
        }
        _ => None,
    }
}

/// The notch that is cut nearest to a place.
fn nearest_notch(pattern: &Pattern, piece: &str, at: Option<Point>) -> Option<usize> {
    let notches = pattern.piece(piece)?.notches.iter().enumerate();
    let far = |marks: &[oaktag_language::pattern::NotchMark]| {
        let away = marks.iter().map(|mark| {
            let way: Vec2 = mark.cut - at.unwrap_or(mark.cut);
            way.hypot()
        });
        away.fold(f64::INFINITY, f64::min)
    };
    let nearest = notches.min_by(|(_, a), (_, b)| far(&a.marks).total_cmp(&far(&b.marks)));
    nearest.map(|(at, _)| at)
}
