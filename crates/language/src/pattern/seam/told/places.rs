//! Notches and other places that are not on the seam, or change their order along it.

use super::super::super::fault::Fault;
use super::super::super::spec::{SeamNotchSpec, SeamPlace, SeamPoint, SeamSpec, Tag};
use super::super::places::Walked;
use super::super::reading::end_named;
use super::super::{SeamNotch, Side};
use super::{said, seam};
use crate::report::Code;
use crate::say;
use crate::voice::figure;

/// The edge of a side nearest to a point and how far it is.
pub(super) fn nearest(side: &Side, named: &SeamPoint) -> Option<(String, f64)> {
    let far = side
        .edges
        .iter()
        .map(|edge| (edge.spoken(), edge.path.nearest(named.point).distance));
    far.min_by(|a, b| a.1.total_cmp(&b.1))
}

pub(in super::super) fn beyond(
    spec: &SeamSpec,
    notch: &SeamNotchSpec,
    wanted: f64,
    length: f64,
) -> Fault {
    let message = seam(
        spec,
        say!(
            "a notch at {} falls off the seam, which is {} long",
            figure::spoken(wanted),
            figure::length(length)
        ),
    );
    Fault::error(Code::NotchOffSeam, notch.tag, message)
        .help("Give a distance within the shorter side.")
}

/// What lies nearer than this cannot be told apart in centimetres of two places.
const SMALL: f64 = 0.1;

/// How far a point lies from either side, as further lines of a fault.
pub(super) fn how_far(walked: &Walked<'_>, point: &SeamPoint, mut fault: Fault) -> Fault {
    for laid in [walked.first, walked.second] {
        let Some((edge, far)) = nearest(&laid.side, point) else {
            continue;
        };
        let found = laid.side.find(walked.ground, point);
        let words = if let Some(at) = found {
            say!(
                "It lies on {}, {} from an end of that side.",
                edge,
                figure::length(at.min(laid.side.length - at))
            )
        } else if far <= super::super::SAME_PLACE {
            say!("It lies on {}, but on another sheet.", edge)
        } else if far < SMALL {
            say!("It lies less than {} from {}.", figure::length(SMALL), edge)
        } else {
            say!("It lies {} from {}.", figure::length(far), edge)
        };
        fault = fault.note(words);
    }
    fault
}

pub(in super::super) fn no_end(
    walked: &Walked<'_>,
    notch: &SeamNotchSpec,
    from: &SeamPoint,
) -> Fault {
    let message = seam(
        walked.spec,
        format!(
            "a notch is measured from {}, where the seam neither begins nor ends",
            said(from)
        ),
    );
    let fault = Fault::error(Code::NotchOffSeam, notch.tag, message);
    how_far(walked, from, fault)
        .help("Measure from an end of the seam, or name the point itself: `notch single at POINT`")
}

pub(in super::super) fn off(walked: &Walked<'_>, tag: Tag, point: &SeamPoint) -> Fault {
    let message = seam(walked.spec, format!("{} lies on neither side", said(point)));
    how_far(
        walked,
        point,
        Fault::error(Code::NotchOffSeam, tag, message),
    )
}

/// A place of an opening that is not on the seam.
pub(in super::super) fn place_off(walked: &Walked<'_>, tag: Tag, place: &SeamPlace) -> Fault {
    let SeamPlace::Measured { far, from } = place else {
        return off(walked, tag, place.point());
    };
    let ended = [walked.first, walked.second]
        .into_iter()
        .find(|laid| end_named(walked.ground, from, &laid.tips).is_some());
    let Some(laid) = ended else {
        let words = format!("it is measured from {}, which is no end of it", said(from));
        let fault = Fault::error(Code::NotchOffSeam, tag, seam(walked.spec, &words));
        return how_far(walked, from, fault);
    };
    let message = seam(
        walked.spec,
        say!(
            "{} from {} falls off it: it is {} long",
            figure::spoken(*far),
            said(from),
            figure::length(laid.side.length)
        ),
    );
    Fault::error(Code::NotchOffSeam, tag, message)
}

pub(in super::super) fn same_side(
    spec: &SeamSpec,
    tag: Tag,
    a: &SeamPoint,
    b: &SeamPoint,
) -> Fault {
    let message = seam(
        spec,
        format!(
            "{} and {} lie on the same side, where a pair has one on each",
            said(a),
            said(b)
        ),
    );
    Fault::error(Code::NotchOffSeam, tag, message)
}

pub(in super::super) fn crossed(
    spec: &SeamSpec,
    notches: &[SeamNotch],
    a: (f64, f64),
    b: (f64, f64),
) -> Fault {
    let message = seam(
        spec,
        say!(
            "two places change order from one side to the other: at {} and {} on the first side, at {} and {} on the second",
            figure::length(a.0),
            figure::length(b.0),
            figure::length(a.1),
            figure::length(b.1)
        ),
    );
    let notch = |at| notches.iter().find(|notch| notch.main == at);
    let fault = Fault::error(
        Code::NotchOffSeam,
        notch(b).or(notch(a)).map_or(spec.tag, |notch| notch.tag),
        message,
    );
    match (notch(a), notch(b)) {
        (Some(other), Some(_)) => fault.see(other.tag, "the other notch"),
        _ => fault,
    }
}
