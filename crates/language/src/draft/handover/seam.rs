//! Hands a seam over as the draft says it.

use super::super::fault::Stop;
use super::super::machine::Machine;
use crate::check::program::{
    AmountCode, EdgeNameCode, NotchPlaceCode, PlaceCode, PointCode, SeamEdgeCode, SeamSay, SideCode,
};
use crate::pattern::spec::{
    self, Amount, CornerSaid, EaseHow, EaseSpec, EdgeName, OpeningSpec, SeamEdgeSpec,
    SeamNotchPlace, SeamNotchSpec, SeamPlace, SeamPoint, SeamSpec, SideSpec, Tag,
};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic};
use crate::voice;

impl<'a> Machine<'a> {
    /// Declares a seam.
    pub fn seam(&mut self, number: usize) -> Result<(), Stop> {
        let Some(code) = self.program.seams.get(number) else {
            return Ok(());
        };
        self.tags.taken = code.taken;
        let mut spec = SeamSpec {
            tag: self.tags.tag(code.head),
            name: code.name.clone(),
            first: self.side(&code.first)?,
            second: self.side(&code.second)?,
            from: self.seam_points(&code.from)?,
            toward: self.seam_points(&code.toward)?,
            eases: Vec::new(),
            meets: Vec::new(),
            openings: Vec::new(),
            corners: Vec::new(),
            tolerance: None,
            notches: Vec::new(),
            sewn: None,
            allowance: None,
            allowance_on: Vec::new(),
            last_changed: Vec::new(),
            is_broken: code.is_broken,
        };
        // Nothing is sewn to nothing.
        if spec.first.edges.is_empty() && spec.second.edges.is_empty() {
            return Ok(());
        }
        if spec.first.edges.is_empty() || spec.second.edges.is_empty() {
            let message = format!(
                "Seam {} sews an edge to one of no length.",
                voice::name(&spec.name)
            );
            return Err(Diagnostic::error(Code::NoLength, code.head, message).into());
        }
        for say in &code.sentences {
            self.seam_say(say, &mut spec)?;
        }
        let mut parts = 0;
        for edge in code.edges() {
            if let Some(Value::Path(path)) = edge.slot.and_then(|slot| self.value(slot)) {
                parts += path.segs().len();
            }
        }
        self.charge(10 * parts as u64)?;
        for edge in code.edges() {
            spec.last_changed.extend(self.last_drawn(edge));
        }
        know_by_place(&mut spec);
        self.drawn.seams.push(spec);
        Ok(())
    }

    fn side(&mut self, side: &'a SideCode) -> Result<SideSpec, Stop> {
        let mut edges = Vec::with_capacity(side.edges.len());
        for edge in &side.edges {
            // A line that could not be drawn takes the seam with it; one of no length is passed over.
            if let Some(value) = &edge.value
                && self.path_or_nothing(value)?.is_nothing()
            {
                continue;
            }
            edges.push(SeamEdgeSpec {
                name: self.edge_name(&edge.name),
                mirrored: edge.mirrored,
                over: edge.over,
            });
        }
        let until = match &side.until {
            Some(point) => Some(self.seam_point(point)?),
            None => None,
        };
        Ok(SideSpec { edges, until })
    }

    fn edge_name(&mut self, name: &EdgeNameCode) -> EdgeName {
        EdgeName {
            tag: self.tags.tag(name.span),
            owner: name.owner.clone(),
            edge: name.edge.clone(),
            line: name.line.clone(),
        }
    }

    fn seam_say(&mut self, say: &'a SeamSay, spec: &mut SeamSpec) -> Result<(), Stop> {
        match say {
            SeamSay::Ease {
                how,
                low,
                high,
                on,
                between,
                span,
            } => {
                let low = self.amount(*how, low)?;
                let high = match high {
                    Some(high) => self.amount(*how, high)?,
                    None => low,
                };
                let between = match between {
                    Some((a, b)) => Some((self.seam_place(a)?, self.seam_place(b)?)),
                    None => None,
                };
                spec.eases.push(EaseSpec {
                    tag: self.tags.tag(*span),
                    how: *how,
                    low,
                    high,
                    on: on.iter().map(|name| self.edge_name(name)).collect(),
                    between,
                });
            }
            SeamSay::Meets(one, other, span) => {
                let (one, other) = (self.seam_point(one)?, self.seam_point(other)?);
                spec.meets.push((self.tags.tag(*span), one, other));
            }
            SeamSay::Open((a, b), words, span) => {
                let between = (self.seam_place(a)?, self.seam_place(b)?);
                spec.openings.push(OpeningSpec {
                    tag: self.tags.tag(*span),
                    between,
                    words: self.letters(words)?,
                });
            }
            SeamSay::Corner(at, words, span) => {
                let at = self.seam_point(at)?;
                spec.corners.push(CornerSaid {
                    tag: self.tags.tag(*span),
                    at,
                    words: self.letters(words)?,
                });
            }
            SeamSay::Notch(form, place, span) => {
                let place = match place {
                    NotchPlaceCode::Measured(distance, from) => SeamNotchPlace::Measured {
                        distance: self.figure(distance)?,
                        from: self.seam_point(from)?,
                    },
                    NotchPlaceCode::Pair(one, other) => {
                        SeamNotchPlace::Pair(self.seam_point(one)?, self.seam_point(other)?)
                    }
                    NotchPlaceCode::One(point) => SeamNotchPlace::One(self.seam_point(point)?),
                    NotchPlaceCode::Joints => SeamNotchPlace::Joints,
                };
                spec.notches.push(SeamNotchSpec {
                    tag: self.tags.tag(*span),
                    form: *form,
                    place,
                });
            }
            SeamSay::Allow(width, lines) => {
                let width = self.figure(width)?;
                if lines.is_empty() {
                    spec.allowance = Some(width);
                }
                for line in lines {
                    let name = self.edge_name(line);
                    spec.allowance_on.push((name, width));
                }
            }
            SeamSay::Sewn(kind, widths, span) => {
                let widths = widths
                    .iter()
                    .map(|width| self.figure(width))
                    .collect::<Result<Vec<f64>, Stop>>()?;
                spec.sewn = Some(spec::Sewn {
                    tag: self.tags.tag(*span),
                    kind: *kind,
                    widths: match widths.as_slice() {
                        [] => kind.usual_widths(),
                        [both] => (*both, *both),
                        [first, second, ..] => (*first, *second),
                    },
                });
            }
            SeamSay::Tolerance(width) => spec.tolerance = Some(self.figure(width)?),
        }
        Ok(())
    }

    fn amount(&mut self, how: EaseHow, code: &'a AmountCode) -> Result<Amount, Stop> {
        Ok(match code {
            AmountCode::Length(node) => Amount::Length(self.figure(node)?),
            AmountCode::Number(node) if how == EaseHow::Gather => Amount::Ratio(self.figure(node)?),
            AmountCode::Number(node) => Amount::Share(self.figure(node)?),
        })
    }

    pub(super) fn seam_place(&mut self, code: &'a PlaceCode) -> Result<SeamPlace, Stop> {
        Ok(match code {
            PlaceCode::At(point) => SeamPlace::At(self.seam_point(point)?),
            PlaceCode::Measured(far, from) => {
                SeamPlace::Measured(self.figure(far)?, self.seam_point(from)?)
            }
        })
    }

    fn seam_points(&mut self, codes: &'a [PointCode]) -> Result<Vec<SeamPoint>, Stop> {
        codes.iter().map(|code| self.seam_point(code)).collect()
    }

    pub(super) fn seam_point(&mut self, code: &'a PointCode) -> Result<SeamPoint, Stop> {
        Ok(SeamPoint {
            point: self.point(&code.value)?,
            name: code.name.clone(),
            panel: code.panel.clone(),
        })
    }

    /// The sentence that last drew an edge, for the message where the seam does not fit.
    fn last_drawn(&mut self, edge: &SeamEdgeCode) -> Option<(Tag, String)> {
        let entry = self.entry_of(edge.slot?)?;
        let site = self.record.get(entry)?.site;
        let site = self.program.sites.get(site.0 as usize)?;
        let step = site
            .step
            .and_then(|id| self.program.steps.get(id.0 as usize));
        let words = match step {
            Some(step) => format!(
                "`{}` was last drawn in step {}, \"{}\"",
                edge.name.line, step.number, step.name
            ),
            None => format!("`{}` was last drawn here", edge.name.line),
        };
        let span = site.span;
        Some((self.tags.tag(span), words))
    }
}

/// A point of a panel that has no edge in the seam is drawn for it: it is known by its place alone.
fn know_by_place(spec: &mut SeamSpec) {
    let edges = spec.first.edges.iter().chain(&spec.second.edges);
    let panels: Vec<Option<String>> = edges
        .map(|edge| Some(edge.name.line.rsplit_once('.')?.0.to_owned()))
        .collect();
    // A piece's own edge says nothing of its panel here.
    let Some(panels) = panels.into_iter().collect::<Option<Vec<String>>>() else {
        return;
    };
    let foreign = |panel: &String| !panels.contains(panel);
    for point in spec.points_mut() {
        if point.panel.as_ref().is_some_and(foreign) {
            point.panel = None;
        }
    }
}
