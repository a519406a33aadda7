//! Hands a seam over as the draft says it.

use super::super::fault::Stop;
use super::super::machine::Machine;
use crate::check::program::{EdgeNameCode, PointCode, SeamCode, SeamEdgeCode, SideCode};
use crate::pattern::spec::{
    self, AsDrawn, CornerSaid, EaseSpec, EdgeName, LostSeam, OpeningSpec, SeamEdgeSpec,
    SeamNotchSpec, SeamPoint, SeamSpec, SideSpec, Tag,
};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic};
use crate::sewing::{SeamSays, Step};
use crate::voice;

impl<'a> Machine<'a> {
    pub(crate) fn seam(&mut self, number: usize) -> Result<(), Stop> {
        let Some(code) = self.program.seams.get(number) else {
            return Ok(());
        };
        self.seam_said(code)
    }

    /// What a seam that is not walked says of the widths of its edges.
    pub(crate) fn widths_of(&mut self, code: &'a SeamCode) -> LostSeam {
        let mut spec = SeamSpec {
            tag: self.tags.tag(code.head),
            name: code.name.clone(),
            ..SeamSpec::default()
        };
        let mut is_known = !code.is_broken && code.edges().all(|edge| edge.when.is_none());
        for (side, to) in [
            (&code.first, &mut spec.first),
            (&code.second, &mut spec.second),
        ] {
            is_known &= side.until.is_none();
            to.edges = side.edges.iter().map(|edge| self.seam_edge(edge)).collect();
        }
        for (says, span) in &code.sentences {
            match says {
                SeamSays::Open { .. } => is_known = false,
                SeamSays::Allow { .. } | SeamSays::Sewn { .. } => match says.carry(self) {
                    Ok(says) => lay(says, self.tags.tag(*span), &mut spec),
                    Err(_) => is_known = false,
                },
                _ => {}
            }
        }
        LostSeam { spec, is_known }
    }

    fn seam_edge(&mut self, edge: &SeamEdgeCode) -> SeamEdgeSpec {
        SeamEdgeSpec {
            name: self.edge_name(&edge.name),
            mirrored: edge.mirrored,
            over: edge.over,
        }
    }

    fn seam_said(&mut self, code: &'a SeamCode) -> Result<(), Stop> {
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
        for (says, span) in &code.sentences {
            let says = says.carry(self)?;
            lay(says, self.tags.tag(*span), &mut spec);
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
            if let Some(when) = &edge.when
                && !self.holds(when)?
            {
                continue;
            }
            // A line that could not be drawn takes the seam with it; one of no length is passed over.
            if let Some(value) = &edge.value
                && self.path_or_nothing(value)?.is_nothing()
            {
                continue;
            }
            edges.push(self.seam_edge(edge));
        }
        let until = match &side.until {
            Some(point) => Some(Step::point(self, point)?),
            None => None,
        };
        Ok(SideSpec { edges, until })
    }

    pub(super) fn edge_name(&mut self, name: &EdgeNameCode) -> EdgeName {
        EdgeName {
            tag: self.tags.tag(name.span),
            owner: name.owner.clone(),
            edge: name.edge.clone(),
            line: name.line.clone(),
        }
    }

    fn seam_points(&mut self, codes: &'a [PointCode]) -> Result<Vec<SeamPoint>, Stop> {
        codes.iter().map(|code| Step::point(self, code)).collect()
    }

    /// The sentence that last drew an edge, for the message where the seam does not fit.
    fn last_drawn(&mut self, edge: &SeamEdgeCode) -> Option<(Tag, String)> {
        let entry = self.entry_of(edge.slot?)?;
        let site = self.record.get(entry)?.site;
        let site = self.program.site(site)?;
        let step = site.step.and_then(|id| self.program.step(id));
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

/// Lays what a sentence says on the seam.
fn lay(says: SeamSays<AsDrawn>, tag: Tag, spec: &mut SeamSpec) {
    match says {
        SeamSays::Ease { held, on, between } => spec.eases.push(EaseSpec {
            tag,
            how: held.how,
            low: held.low,
            high: held.high.unwrap_or(held.low),
            on,
            between,
        }),
        SeamSays::Meets { one, other } => spec.meets.push((tag, one, other)),
        SeamSays::Open { between, words } => spec.openings.push(OpeningSpec {
            tag,
            between,
            words,
        }),
        SeamSays::Corner { at, words } => spec.corners.push(CornerSaid { tag, at, words }),
        SeamSays::Notch { form, at } => spec.notches.push(SeamNotchSpec {
            tag,
            form,
            place: at,
        }),
        SeamSays::Allow { width, on } => {
            if on.is_empty() {
                spec.allowance = Some(width);
            }
            let each = on.into_iter().map(|name| (name, width));
            spec.allowance_on.extend(each);
        }
        SeamSays::Sewn { sewn } => {
            spec.sewn = Some(spec::Sewn {
                tag,
                kind: sewn.how,
                widths: match sewn.widths.as_slice() {
                    [] => sewn.how.usual_widths(),
                    [both] => (*both, *both),
                    [first, second, ..] => (*first, *second),
                },
            });
        }
        SeamSays::Tolerance { width } => spec.tolerance = Some(width),
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
