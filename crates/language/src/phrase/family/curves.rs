//! Curves: the hollow in a corner, the sweep with end directions, smooth through points, and the blend of an end.

use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::argument::{Arg, Dot, Dots, Length, Line, Number, Placed, Way};
use crate::phrase::call::{Blamed, Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::phrase::wording::ByHand;
use crate::report::{Code, Put};
use crate::say;
use crate::syntax::tree::Link;
use crate::voice::{Words, figure};
use kurbo::{ParamCurveArclen, PathSeg, Point, Vec2};
use oaktag_geometry::curves::{
    CurveFault, Handle, depth_for_fullness, hollow, hollow_by_depth, sweep, sweep_arriving,
    sweep_leaving,
};
use oaktag_geometry::edit::End;
use oaktag_geometry::fair::{blend, smooth};
use oaktag_geometry::path::Path;
use oaktag_geometry::turning::{TurnsBack, turns_back};

const WAY: Takes = Takes::BEARING.or(Takes::POINT);

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Around, Takes::POINT, "corner", "the corner it fills")
            .with("fullness", Takes::NUMBER, "0 is straight, 1 runs into the corner; 0.55 is near an ellipse, 2/3 a parabola (the default)")
            .gives(Kind::Curve)
            .says("The hollow curve in a corner, by fullness: it leaves toward the corner and arrives from it.", "curve scye = from tip to low around corner_point with fullness 0.6")
            .guessed(&["from POINT to OTHER with fullness NUMBER"], "from POINT to OTHER around (POINT down to level of OTHER) with fullness NUMBER")
            .drawn("hollow curve from {from} to {to}, around {around}")
            .by_hand(ByHand::ItsPlaces)
            .means(hollow_full),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Around, Takes::POINT, "corner", "the corner it fills")
            .at(Link::Hollow, Takes::LENGTH, "depth", "how near it passes the corner, measured toward the middle of its chord")
            .gives(Kind::Curve)
            .says("The hollow curve in a corner, by the depth at which it passes the corner.", "curve scye = from tip to low around corner_point hollow 5cm")
            .drawn("hollow curve from {from} to {to}, around {around}, passing {hollow} from the corner")
            .by_hand(ByHand::ItsPlaces)
            .means(hollow_deep),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .optional()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Leaving, WAY, "direction", "which way it leaves")
            .at(Link::LeavingFor, Takes::LENGTH, "length", "how long the pencil keeps that way before it bends to the other; not with `through`")
            .optional()
            .at(Link::LeavingShare, Takes::NUMBER, "share", "the same, as a share of the straight way between the ends; 1/3 where nothing is said")
            .optional()
            .at(Link::Arriving, WAY, "direction", "which way it is going where it arrives")
            .at(Link::ArrivingFor, Takes::LENGTH, "length", "how long it has gone that way where it arrives; not with `through`")
            .optional()
            .at(Link::ArrivingShare, Takes::NUMBER, "share", "the same, as a share; 1/3 where nothing is said")
            .optional()
            .gives(Kind::Curve)
            .says("The sweep: a curve with a direction at each end; with `through`, a smooth one through points. Opposite directions make an S. The longer a direction is kept, the fuller the curve at that end.", "curve hip = from tip to low leaving down arriving down\ncurve side = from tip through spot to low leaving down arriving down\ncurve hem = from low to tip leaving right for 5cm arriving up for 0.2 of the way")
            .guessed(&["s curve from POINT to OTHER", "s_curve from POINT to OTHER", "scurve from POINT to OTHER"], "from POINT to OTHER leaving down arriving down")
            .guessed(&["curve from POINT to OTHER", "smooth from POINT to OTHER", "smooth curve from POINT to OTHER", "sweep from POINT to OTHER", "hollow from POINT to OTHER"], "from POINT to OTHER leaving down arriving right")
            .drawn("smooth curve from {from}[ through {through}] to {to}, leaving {leaving}[ for {leaving for}][ for {leaving share} of the way], arriving {arriving}[ for {arriving for}][ for {arriving share} of the way]")
            .by_hand(ByHand::ItsPlaces)
            .means(swept),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .optional()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Leaving, WAY, "direction", "which way it leaves")
            .gives(Kind::Curve)
            .says("A curve with a direction at its start alone; without `through` it bends evenly, up to a quarter circle as an arc does (within 0.03 %); beyond that strike an `arc`.", "curve neckline = from tip to low leaving down")
            .drawn("smooth curve from {from}[ through {through}] to {to}, leaving {leaving}")
            .by_hand(ByHand::ItsPlaces)
            .means(leaving),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .optional()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Arriving, WAY, "direction", "which way it is going where it arrives")
            .gives(Kind::Curve)
            .says("A curve with a direction at its end alone; without `through` it bends evenly, up to a quarter circle as an arc does (within 0.03 %); beyond that strike an `arc`.", "curve neckline = from tip to low arriving left")
            .drawn("smooth curve from {from}[ through {through}] to {to}, arriving {arriving}")
            .by_hand(ByHand::ItsPlaces)
            .means(arriving),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .gives(Kind::Curve)
            .says("A smooth, fair curve through points (J. D. Hobby, Smooth, easy to compute interpolating splines, 1986).", "curve tail = from tip through spot to low")
            .guessed(&["CURVE flatter by LENGTH", "CURVE flatter LENGTH", "flatten CURVE by LENGTH", "CURVE LENGTH flatter", "CURVE flattened by LENGTH"], "from (start of CURVE) through (LENGTH from (1/2 of the way along CURVE) toward (1/2 of the way from (start of CURVE) to (end of CURVE))) to (end of CURVE)")
            .guessed(&["curve through POINT , OTHER , THIRD", "through POINT , OTHER , THIRD", "smooth through POINT , OTHER , THIRD"], "from POINT through OTHER to THIRD")
            .drawn("smooth curve from {from} through {through} to {to}")
            .by_hand(ByHand::ItsPlaces)
            .means(through),
        form("blend")
            .costs(50)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::From, Takes::POINT, "end", "the end that is redrawn")
            .at(Link::Leaving, WAY, "direction", "which way it leaves that end now")
            .at(Link::Within, Takes::LENGTH, "length", "how much of the line may change")
            .gives(Kind::Curve)
            .says("A line redrawn at one end: square or otherwise there, then run into the old line within a stated length.", "curve eased = blend neck from top leaving square to centre toward right within 3cm")
            .by_hand(ByHand::ItsPlaces)
            .means(blended),
    ]
}

fn leave_corner(c: &mut Call, from: Point, at: Point, to: Point) {
    c.leave(Aid::Corner { at, from, to });
}

fn hollow_full(
    c: &mut Call,
    from: Arg<Dot>,
    to: Arg<Dot>,
    corner: Arg<Dot>,
    fullness: Option<Arg<Number>>,
) -> Result<Value, Fault> {
    leave_corner(c, *from, *corner, *to);
    let full = fullness.as_deref().copied().unwrap_or(2.0 / 3.0);
    hollow(*from, *corner, *to, full)
        .map(Value::from)
        .map_err(|f| match &fullness {
            Some(fullness) => Fault::from(f).label(fullness, ""),
            None => Fault::from(f),
        })
}

fn hollow_deep(
    c: &mut Call,
    from: Arg<Dot>,
    to: Arg<Dot>,
    corner: Arg<Dot>,
    depth: Arg<Length>,
) -> Result<Value, Fault> {
    leave_corner(c, *from, *corner, *to);
    hollow_by_depth(*from, *corner, *to, *depth)
        .map(Value::from)
        .map_err(|fault| {
            let mut said = Fault::from(fault.clone()).label(&depth, "");
            if let CurveFault::Depth { .. } = fault {
                let usual = depth_for_fullness(*from, *corner, *to, 0.6);
                said = said.note(say!(
                    "A fullness of 0.6 would be {} deep.",
                    figure::length(usual)
                ));
            }
            said
        })
}

/// Which way it leaves, settled by the way to its next point.
fn leave(
    way: &Arg<Way>,
    from: Point,
    through: Option<&Arg<Dots>>,
    to: Point,
) -> Result<Vec2, Fault> {
    let next = through.and_then(|points| points.first()).unwrap_or(&to);
    way.settled(from, Some(*next - from))
}

/// Which way it is going at its end, settled by the way from its last point; `arriving` a point means going on toward it.
fn arrive(
    way: &Arg<Way>,
    from: Point,
    through: Option<&Arg<Dots>>,
    to: Point,
) -> Result<Vec2, Fault> {
    let last = through.and_then(|points| points.last()).unwrap_or(&from);
    way.settled(to, Some(to - *last))
}

#[allow(clippy::too_many_arguments, reason = "as many as its row has places")]
fn swept(
    c: &mut Call,
    from: Arg<Dot>,
    through: Option<Arg<Dots>>,
    to: Arg<Dot>,
    leaving: Arg<Way>,
    leaving_for: Option<Arg<Length>>,
    leaving_share: Option<Arg<Number>>,
    arriving: Arg<Way>,
    arriving_for: Option<Arg<Length>>,
    arriving_share: Option<Arg<Number>>,
) -> Result<Value, Fault> {
    let way_out = leave(&leaving, *from, through.as_ref(), *to)?;
    let way_in = arrive(&arriving, *from, through.as_ref(), *to)?;
    if let Some(through) = &through {
        let lengths = leaving_for.as_ref().or(arriving_for.as_ref());
        let shares = leaving_share.as_ref().or(arriving_share.as_ref());
        if lengths.is_some() || shares.is_some() {
            let message = "`for` belongs to a curve of one sweep; a curve through points finds by itself how long it keeps a direction.";
            let help =
                "Leave out `for` and what follows it, or draw two curves that meet in the point.";
            let said = Fault::new(Code::WordsDoNotFit, message).help(help);
            return Err(match (lengths, shares) {
                (Some(length), _) => said.label(length, "").cure_at(length, Put::Led("for"), ""),
                (None, Some(share)) => said.label(share, ""),
                (None, None) => said,
            });
        }
        return smooth_curve(c, *from, through, *to, (Some(way_out), Some(way_in)));
    }
    let out = Kept::new(&leaving, leaving_for.as_ref(), leaving_share.as_ref());
    let into = Kept::new(&arriving, arriving_for.as_ref(), arriving_share.as_ref());
    let swept = |out, into| sweep(*from, way_out, *to, way_in, out, into);
    let curve = swept(out.handle, into.handle)?;
    if let Some(turn) = first_turn(&curve) {
        let chord = (*to - *from).hypot();
        let turns = |out, into| swept(out, into).is_ok_and(|curve| first_turn(&curve).is_some());
        let shorter = [
            out.shorter(chord, |shorter| turns(shorter, into.handle)),
            into.shorter(chord, |shorter| turns(out.handle, shorter)),
        ];
        let remark = turning_back(&turn);
        c.remarks.push(match shorter {
            [None, None] => remark.help("Turn one of the two ways, or keep both for less."),
            [one, other] => {
                let words = one
                    .iter()
                    .map(|found| say!("`for {}` where it leaves", found.words));
                let more = other.iter();
                let more = more.map(|found| say!("`for {}` where it arrives", found.words));
                let words = Words::joined(words.chain(more), ", or ");
                let remark = remark.help(say!(
                    "Turn one of the two ways, or keep it for less: {}.",
                    words
                ));
                let found = [one, other].into_iter().flatten();
                found.fold(remark, |remark, found| {
                    remark.cure(Blamed::Argument(found.at), found.put, found.letters)
                })
            }
        });
    }
    Ok(curve.into())
}

/// How long a curve keeps a way, and where that is said.
struct Kept {
    handle: Handle,
    /// The length, the share, or else the way.
    at: usize,
    is_said: bool,
}

/// A length or share for which a curve keeps a way and does not turn back.
struct Shorter {
    at: usize,
    put: Put,
    words: Words,
    letters: Words,
}

/// Lengths are offered in steps of a millimetre, shares in hundredths.
const SHARES: f64 = 100.0;

impl Kept {
    fn new(way: &Arg<Way>, length: Option<&Arg<Length>>, share: Option<&Arg<Number>>) -> Self {
        let (handle, at) = match (length, share) {
            (Some(mm), _) => (Handle::Length(**mm), Some(mm.place())),
            (None, Some(share)) => (Handle::Share(**share), Some(share.place())),
            (None, None) => (Handle::default(), None),
        };
        Self {
            handle,
            at: at.unwrap_or_else(|| way.place()),
            is_said: at.is_some(),
        }
    }

    /// The longest that does, by halving what is left between one that does and one that does not.
    fn shorter(&self, chord: f64, turns: impl Fn(Handle) -> bool) -> Option<Shorter> {
        let (most, step, of): (f64, f64, fn(f64) -> Handle) = match self.handle {
            Handle::Share(share) if self.is_said => (share, 1.0 / SHARES, Handle::Share),
            Handle::Share(share) => (share * chord, 1.0, Handle::Length),
            Handle::Length(mm) => (mm, 1.0, Handle::Length),
        };
        let steps = (most / step).floor();
        let (mut fine, mut long) = (1.0_f64, steps);
        if steps < 2.0 || turns(of(fine * step)) {
            return None;
        }
        while long - fine > 1.0 {
            let middle = ((fine + long) / 2.0).floor();
            if turns(of(middle * step)) {
                long = middle;
            } else {
                fine = middle;
            }
        }
        let words: Words = match of(fine * step) {
            Handle::Share(share) => crate::voice::decimals(share, 2).into(),
            Handle::Length(mm) => figure::written(mm).into(),
        };
        let said = match (self.is_said, self.handle) {
            (true, Handle::Share(_)) => say!("{} of the way", words),
            _ => words.clone(),
        };
        Some(Shorter {
            at: self.at,
            put: if self.is_said { Put::Over } else { Put::After },
            letters: if self.is_said {
                words
            } else {
                say!(" for {}", words)
            },
            words: said,
        })
    }
}

/// Where a curve first turns back on itself.
fn first_turn(curve: &Path) -> Option<TurnsBack> {
    let mut gone = 0.0;
    for seg in curve.segs() {
        if let PathSeg::Cubic(cubic) = seg
            && let Some(turn) = turns_back(cubic)
        {
            return Some(turn.farther(gone));
        }
        gone += seg.arclen(ALONG);
    }
    None
}

/// How far along it turns is told to so many millimetres.
const ALONG: f64 = 1e-3;

fn turning_back(turn: &TurnsBack) -> Fault {
    let message = match turn {
        TurnsBack::Loop { along, long, .. } => say!(
            "This curve runs over itself {} along it, in a loop {} round.",
            figure::length(*along),
            figure::length(*long)
        ),
        TurnsBack::Point { along, .. } => say!(
            "This curve comes to a point {} along it, and runs back from there.",
            figure::length(*along)
        ),
    };
    Fault::warning(Code::CurveTurnsBack, Blamed::Phrase, message)
        .note("It can be drawn so, but neither cut nor sewn.")
}

fn leaving(
    c: &mut Call,
    from: Arg<Dot>,
    through: Option<Arg<Dots>>,
    to: Arg<Dot>,
    leaving: Arg<Way>,
) -> Result<Value, Fault> {
    let way_out = leave(&leaving, *from, through.as_ref(), *to)?;
    match &through {
        Some(through) => smooth_curve(c, *from, through, *to, (Some(way_out), None)),
        None => Ok(bent(c, sweep_leaving(*from, way_out, *to)?)),
    }
}

fn arriving(
    c: &mut Call,
    from: Arg<Dot>,
    through: Option<Arg<Dots>>,
    to: Arg<Dot>,
    arriving: Arg<Way>,
) -> Result<Value, Fault> {
    let way_in = arrive(&arriving, *from, through.as_ref(), *to)?;
    match &through {
        Some(through) => smooth_curve(c, *from, through, *to, (None, Some(way_in))),
        None => Ok(bent(c, sweep_arriving(*from, *to, way_in)?)),
    }
}

/// A curve with one way said.
fn bent(c: &mut Call, curve: Path) -> Value {
    if let Some(turn) = first_turn(&curve) {
        c.remarks.push(
            turning_back(&turn)
                .help("Turn the way, or say at the other end which way it goes there."),
        );
    }
    curve.into()
}

fn through(c: &mut Call, from: Arg<Dot>, through: Arg<Dots>, to: Arg<Dot>) -> Result<Value, Fault> {
    smooth_curve(c, *from, &through, *to, (None, None))
}

/// A curve through points, with the ways it goes at its ends where they are known.
fn smooth_curve(
    c: &mut Call,
    from: Point,
    through: &Arg<Dots>,
    to: Point,
    (way_out, way_in): (Option<Vec2>, Option<Vec2>),
) -> Result<Value, Fault> {
    let points = [&[from], through.as_slice(), &[to]].concat();
    let curve = smooth(&points, way_out, way_in)?;
    if let Some(turn) = first_turn(&curve) {
        let help = "Turn a way, or set the points farther apart where it turns.";
        c.remarks.push(turning_back(&turn).help(help));
    }
    Ok(curve.into())
}

fn blended(
    line: Arg<Line>,
    from: Arg<Dot>,
    leaving: Arg<Way>,
    within: Arg<Length>,
) -> Result<Value, Fault> {
    let end = line
        .end_near(*from)
        .map_err(|f| Fault::from(f).label(&line, "endless"))?;
    let (place, inward) = match end {
        End::Start => (line.start()?, line.start_tangent()),
        End::End => (line.end()?, -line.end_tangent()),
    };
    let leave = leaving.settled(place, Some(inward))?;
    // Geometry wants the direction along the path as it is walked.
    let along = if end == End::Start { leave } else { -leave };
    blend(&line, end, along, *within)
        .map(Value::from)
        .map_err(|f| Fault::from(f).label(&within, ""))
}
