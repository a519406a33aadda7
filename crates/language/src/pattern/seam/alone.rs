//! A seam of which only one side is here, as where a piece is drawn without its partner: it is not walked, but what is known of its
//! notches by that side alone stands on the pieces.

use super::super::spec::{NotchForm, SeamNotchPlace, SeamNotchSpec, SeamPoint, SeamSpec};
use super::places::DOUBLE;
use super::reading::{self, Tip, end_named};
use super::side::{Ground, Sorting, Taken};
use super::{SeamNotch, Side};
use crate::pattern::PlaceSaid;

/// The side that is here, and its notches; their places on the other side mean nothing.
#[derive(Clone, Debug)]
pub(crate) struct Alone {
    /// The seam, by its name in the draft.
    pub(crate) name: String,
    /// The side that is here.
    pub(crate) side: Side,
    /// Its notches, each with its places on that side first.
    pub(crate) notches: Vec<SeamNotch>,
}

/// The side that is here with its notches; none where its edges leave a gap.
pub(super) fn alone(
    ground: &Ground<'_>,
    index: usize,
    spec: &SeamSpec,
    taken: &[Taken],
) -> Option<Alone> {
    let sorting = Sorting::new(ground, index, taken);
    let chains = sorting.chains();
    if sorting.gap(&chains).is_some() {
        return None;
    }
    let (chain, _) = reading::assembled(ground, &sorting, chains, &spec.from);
    let tips = reading::tips(ground, &sorting, &chain)?;
    let side = sorting.side(&chain);
    let place = |notch: &SeamNotchSpec| -> Vec<(f64, f64)> {
        let find = |point: &SeamPoint| side.find(ground, point);
        match &notch.place {
            SeamNotchPlace::Measured { distance, from } => {
                let far = |end: usize| {
                    if end == 0 {
                        (*distance, 1.0)
                    } else {
                        (side.length - distance, -1.0)
                    }
                };
                end(ground, spec, from, &tips)
                    .map(far)
                    .into_iter()
                    .collect()
            }
            SeamNotchPlace::Pair(a, b) => find(a)
                .or(find(b))
                .map(|at| (at, 1.0))
                .into_iter()
                .collect(),
            SeamNotchPlace::One(point) => find(point).map(|at| (at, 1.0)).into_iter().collect(),
            SeamNotchPlace::Joints => side.joints().into_iter().map(|at| (at, 1.0)).collect(),
        }
    };
    let mut notches = Vec::new();
    for notch in &spec.notches {
        for (at, way) in place(notch) {
            let mut first = vec![at];
            if notch.form == NotchForm::Double {
                first.push(at + way * DOUBLE);
            }
            let inside =
                |at: &f64| (-super::SAME_PLACE..=side.length + super::SAME_PLACE).contains(at);
            if first.iter().all(inside) {
                notches.push(SeamNotch {
                    tag: notch.tag,
                    form: notch.form,
                    second: Vec::new(),
                    main: (at, at),
                    said: <(PlaceSaid, PlaceSaid)>::default(),
                    first,
                });
            }
        }
    }
    Some(Alone {
        name: spec.name.clone(),
        side,
        notches,
    })
}

/// Which end of the side a point names: its own, or the one that meets the end of the other side that it is.
fn end(ground: &Ground<'_>, spec: &SeamSpec, named: &SeamPoint, tips: &[Tip; 2]) -> Option<usize> {
    let own = |point: &SeamPoint| Some(end_named(ground, point, tips)?.0);
    if let Some(end) = own(named) {
        return Some(end);
    }
    let start = spec.from.iter().find_map(own)?;
    let is_start = spec
        .from
        .iter()
        .any(|point| point.name == named.name && super::side::same(point.point, named.point));
    Some(if is_start { start } else { 1 - start })
}
