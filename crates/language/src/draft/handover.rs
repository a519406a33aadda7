//! What is handed over to be cut and sewn: pieces and seams with every figure worked out, and every value by name.

mod redrawn;
mod says;
mod seam;
mod taper;

use super::fault::Stop;
use super::machine::Machine;
use crate::check::program::{ButtonCode, Node, PieceCode, PieceOp, Slot};
use crate::kind::{Dimension, Kind};
use crate::pattern::Allowance;
use crate::pattern::spec::{
    self, AsDrawn, ClothSpec, CornerSpec, DartSpec, EdgeSpec, MarkSpec, NamedValue, PieceNotchSpec,
    PieceSpec, Tag,
};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::sewing::{EdgeRef, PieceSays, PieceStep};
use crate::voice::{self, figure};
use kurbo::{Affine, Point};
use oaktag_geometry::path::Path;
use std::cell::LazyCell;
use std::collections::BTreeMap;

/// Which place in the text each tag stands for.
#[derive(Clone, Debug, Default)]
pub(super) struct Tags {
    /// Each place, with the sentence that took what is said there.
    places: Vec<(Span, Option<Span>)>,
    /// The sentence that takes what is being handed over now.
    pub(super) taken: Option<Span>,
}

impl Tags {
    /// A tag for a place.
    pub(super) fn tag(&mut self, span: Span) -> Tag {
        self.places.push((span, self.taken));
        Tag(u32::try_from(self.places.len() - 1).unwrap_or(u32::MAX))
    }

    /// The place of a tag.
    pub(super) fn place(&self, tag: Tag) -> Option<Span> {
        self.places.get(tag.0 as usize).map(|(span, _)| *span)
    }

    /// The draft's own sentence that took what stands at the tag's place, where the library says it.
    pub(super) fn taken(&self, tag: Tag) -> Option<Span> {
        self.places.get(tag.0 as usize)?.1
    }
}

/// The largest button that is taken for one, in millimetres.
const LARGEST_BUTTON: f64 = 100.0;

/// Most pieces of line in one outline, since each is held against every other.
const MOST_IN_OUTLINE: usize = 1_000;

/// A value with its kind, for those who do not evaluate.
pub(super) fn spec_value(value: &Value, kind: &Kind) -> spec::Value {
    match value {
        Value::Point(point) => spec::Value::Point(*point),
        Value::Path(path) if *kind == Kind::Line => spec::Value::Line(Path::clone(path)),
        Value::Path(path) => spec::Value::Curve(Path::clone(path)),
        Value::Quantity(figure) | Value::Turn(figure) => match kind {
            Kind::Quantity(Dimension::LENGTH) => spec::Value::Length(*figure),
            Kind::Quantity(Dimension::ANGLE) | Kind::Turn => spec::Value::Angle(*figure),
            Kind::Quantity(Dimension::AREA) => spec::Value::Area(*figure),
            _ => spec::Value::Number(*figure),
        },
        Value::Direction(way) => spec::Value::Direction(*way),
        Value::Text(text) => spec::Value::Text(text.to_string()),
        Value::Answer(answer) => spec::Value::Answer(*answer),
        Value::List(items) => {
            let item = if let Kind::List(item) = kind {
                (**item).clone()
            } else {
                Kind::Unknown
            };
            spec::Value::List(items.iter().map(|value| spec_value(value, &item)).collect())
        }
        Value::Bearing(_) | Value::Absent => spec::Value::List(Vec::new()),
    }
}

impl<'a> Machine<'a> {
    /// Every value by full name, and the cloths.
    pub(super) fn hand_over(&mut self) {
        // Few names are of lists of lines.
        let program = self.program;
        let slots = LazyCell::new(|| {
            let all = program.names.iter();
            let slots = all.map(|name| (name.name.as_str(), name.slot));
            slots.collect::<BTreeMap<&str, Slot>>()
        });
        let mut values = Vec::with_capacity(program.names.len());
        for name in &program.names {
            let Some(mut value) = self.value(name.slot).cloned() else {
                continue;
            };
            if !name.lines.is_empty() {
                // Lines that were redrawn are not what the list was made of.
                let known = name.lines.iter().map(|line| slots.get(line.as_str()));
                let newest: Option<Vec<Option<&Value>>> =
                    known.map(|slot| Some(self.value(*slot?))).collect();
                let newest = newest.unwrap_or_default();
                if newest.iter().any(Option::is_none) {
                    self.lost_lists.push(name.name.clone());
                    continue;
                }
                let lines = newest.iter().flatten();
                if !newest.is_empty() && lines.clone().all(|line| matches!(line, Value::Path(_))) {
                    value = Value::List(lines.map(|line| Value::clone(line)).collect());
                }
            }
            if matches!(value, Value::Absent | Value::Bearing(_)) {
                continue;
            }
            let site = self
                .entry_of(name.slot)
                .and_then(|id| self.record.get(id))
                .map_or(name.site, |entry| entry.site);
            let Some(site) = self.program.site(site) else {
                continue;
            };
            let step = site
                .step
                .and_then(|id| self.program.step(id))
                .map(|step| step.number);
            let value = spec_value(&value, &name.kind);
            let named = |name: String, value: spec::Value| NamedValue {
                name,
                value,
                file: self.sources.name(site.span.file).to_owned(),
                line: self.sources.line(site.span),
                step,
            };
            // The items of a list can be named too: `buttons_1` and on.
            let items = if let spec::Value::List(items) = &value {
                items.clone()
            } else {
                Vec::new()
            };
            values.push(named(name.name.clone(), value));
            for (at, item) in items.into_iter().enumerate() {
                let own = format!("{}_{}", name.name, at + 1);
                if !program.names.iter().any(|other| other.name == own) {
                    values.push(named(own, item));
                }
            }
        }
        self.drawn.values.append(&mut values);
        self.drawn.redrawn = self.redrawn();
        self.drawn.order.clone_from(&self.program.order);
        for cloth in &self.program.cloths {
            if let Ok(spec) = self.cloth_spec(cloth) {
                self.drawn.cloths.push(spec);
            }
        }
    }

    fn cloth_spec(
        &mut self,
        cloth: &'a crate::check::program::ClothCode,
    ) -> Result<ClothSpec, Stop> {
        let mut spec = ClothSpec {
            name: cloth.name.clone(),
            label: self.letters(&cloth.label)?,
            width: None,
            thickness: None,
            shrinkage: (0.0, 0.0),
            nap: false,
            stripe: None,
            plaid: None,
            one_way: false,
        };
        for (name, node) in &cloth.settings {
            match name.as_str() {
                "width" => spec.width = Some(self.figure(node)?),
                "thickness" => spec.thickness = Some(self.figure(node)?),
                "stripe" => spec.stripe = Some(self.figure(node)?),
                "plaid" => spec.plaid = Some(self.figure(node)?),
                "one_way" => spec.one_way = self.holds(node)?,
                "warp" => spec.shrinkage.0 = self.figure(node)?,
                "weft" => spec.shrinkage.1 = self.figure(node)?,
                _ => spec.nap = self.holds(node)?,
            }
        }
        Ok(spec)
    }

    pub(super) fn piece(&mut self, number: usize) -> Result<(), Stop> {
        let Some(code) = self.program.pieces.get(number) else {
            return Ok(());
        };
        let mut spec = self.piece_begun(code);
        spec.label = self.letters(&code.label)?;
        self.piece_ops(&code.sentences, &mut spec, code)?;
        for (line, seam, width) in &self.program.offered_edges {
            let width = width.as_ref().map(|node| self.figure(node)).transpose()?;
            // A seam that is lost may be the one that takes it.
            let is_lost = !self.program.lost_seams.is_empty();
            spec.is_broken |= is_lost && spec.edges.iter().any(|edge| edge.line == *line);
            for edge in spec.edges.iter_mut().filter(|edge| edge.line == *line) {
                edge.allowance = edge.allowance.take().or(width.map(Allowance::from));
                edge.finish
                    .get_or_insert_with(|| format!("sewn in seam {}", voice::letters(seam)));
            }
        }
        self.drawn.pieces.push(spec);
        Ok(())
    }

    fn piece_begun(&mut self, code: &PieceCode) -> PieceSpec {
        self.tags.taken = code.taken;
        PieceSpec {
            tag: self.tags.tag(code.head),
            name: code.name.clone(),
            label: voice::capital(&voice::letters(&code.name)),
            panel: code.panel.clone(),
            edges: Vec::new(),
            cut: spec::CutSpec::default(),
            grain: None,
            grain_words: String::new(),
            default_allowance: None,
            corners: Vec::new(),
            fold_lines: Vec::new(),
            folded_onto: Vec::new(),
            interlining: None,
            notches: Vec::new(),
            darts: Vec::new(),
            marks: Vec::new(),
            is_broken: code.is_broken,
        }
    }

    /// A piece that cannot be made, as far as it goes: edges that are drawn, its fold and its grain.
    pub(super) fn piece_as_far(&mut self, code: &'a PieceCode) -> spec::LostPiece {
        let mut spec = self.piece_begun(code);
        if let Ok(label) = self.letters(&code.label) {
            spec.label = label;
        }
        let mut missing = Vec::new();
        self.as_far(&code.sentences, &mut spec, &mut missing, code);
        spec.is_broken = true;
        spec::LostPiece { spec, missing }
    }

    fn as_far(
        &mut self,
        ops: &'a [PieceOp],
        spec: &mut PieceSpec,
        missing: &mut Vec<String>,
        code: &PieceCode,
    ) {
        for op in ops {
            match op {
                PieceOp::Says {
                    says,
                    span,
                    of_base,
                } => match says.as_ref() {
                    PieceSays::Outline { edges } => {
                        missing.clear();
                        spec.edges.clear();
                        for edge in edges {
                            match PieceStep::outline(self, std::slice::from_ref(edge)) {
                                Ok(drawn) => spec.edges.extend(drawn),
                                Err(_) => missing.push(edge.name.clone()),
                            }
                        }
                    }
                    PieceSays::Cut { .. } | PieceSays::Grain { .. } => {
                        if let Ok(says) = says.carry(self) {
                            let tag = self.tags.tag(*span);
                            // A fold that is not drawn is missing already.
                            let _ = self.lay(says, (tag, *of_base), spec, code);
                        }
                    }
                    _ => {}
                },
                PieceOp::If(branches, otherwise) => {
                    let mut case = Some(otherwise);
                    for (condition, ops) in branches {
                        match self.holds(condition) {
                            Ok(true) => case = Some(ops),
                            Ok(false) => continue,
                            Err(_) => case = None,
                        }
                        break;
                    }
                    if let Some(ops) = case {
                        self.as_far(ops, spec, missing, code);
                    }
                }
            }
        }
    }

    fn piece_ops(
        &mut self,
        ops: &'a [PieceOp],
        spec: &mut PieceSpec,
        code: &PieceCode,
    ) -> Result<(), Stop> {
        for op in ops {
            match op {
                PieceOp::Says {
                    says,
                    span,
                    of_base,
                } => {
                    let says = says.carry(self)?;
                    let tag = self.tags.tag(*span);
                    self.lay(says, (tag, *of_base), spec, code)?;
                }
                PieceOp::If(branches, otherwise) => {
                    let mut ops = otherwise;
                    for (condition, case) in branches {
                        if self.holds(condition)? {
                            ops = case;
                            break;
                        }
                    }
                    self.piece_ops(ops, spec, code)?;
                }
            }
        }
        Ok(())
    }

    /// Lays what a sentence says on the piece; with its tag, and whether it is said of the piece this one is traced from.
    fn lay(
        &mut self,
        says: PieceSays<AsDrawn>,
        (tag, of_base): (Tag, bool),
        spec: &mut PieceSpec,
        code: &PieceCode,
    ) -> Result<(), Stop> {
        match says {
            PieceSays::Outline { edges } => {
                let parts: usize = edges.iter().map(|edge| edge.path.segs().len()).sum();
                spec.edges = edges;
                // Every edge is held against every other to see whether they cross.
                let pairs = (parts as u64).saturating_mul(parts as u64);
                if parts > MOST_IN_OUTLINE {
                    let message = format!(
                        "This outline is made of {parts} pieces of line; {MOST_IN_OUTLINE} is the most."
                    );
                    let told = Diagnostic::error(Code::TooLarge, code.head, message)
                        .help("Draw it with fewer corners; a smooth edge is one curve.");
                    return Err(told.into());
                }
                self.charge(pairs / 8)?;
            }
            PieceSays::Cut {
                count,
                alike,
                fold,
                whole,
                cloth,
            } => {
                let fold_edge = match fold {
                    Some(fold) => {
                        let at = position(spec, &fold);
                        if at.is_none() {
                            let message = format!(
                                "`{}` has no length here, so nothing lies on a fold.",
                                fold.name
                            );
                            return Err(
                                Diagnostic::error(Code::NoLength, fold.span, message).into()
                            );
                        }
                        at
                    }
                    None => None,
                };
                spec.cut = spec::CutSpec {
                    count,
                    alike,
                    fold_edge,
                    whole,
                    cloth,
                };
            }
            PieceSays::Grain {
                along: (path, words),
                across,
            } => {
                let words = if across {
                    format!("square to {words}")
                } else {
                    words
                };
                spec.grain = Some(if across { square_across(&path) } else { path });
                spec.grain_words = words;
            }
            PieceSays::Allow {
                width,
                to: Some(last),
                on,
                from: Some(from),
            } => taper::lay(spec, &on, (width, last), &from)?,
            PieceSays::Allow { width, on, .. } => {
                if on.is_empty() {
                    spec.default_allowance = Some(width);
                }
                on_edges(spec, &on, |edge| edge.allowance = Some(width.into()));
            }
            PieceSays::Corner {
                edges: (a, b),
                treatment,
            } => {
                let name = |edge: EdgeRef| {
                    let found = position(spec, &edge).and_then(|at| spec.edges.get(at));
                    found.map_or(edge.name, |edge| edge.name.clone())
                };
                let (a, b) = (name(a), name(b));
                let same = |(one, other): &(String, String)| {
                    (*one == a && *other == b) || (*one == b && *other == a)
                };
                spec.corners.retain(|corner| !same(&corner.edges));
                spec.corners.push(CornerSpec {
                    tag,
                    edges: (a, b),
                    treatment,
                });
            }
            PieceSays::Finish { edges, words } => {
                on_edges(spec, &edges, |edge| edge.finish = Some(words.clone()));
            }
            PieceSays::Fold { lines, onto } => {
                if let Some((_, _, target)) = &onto {
                    let laid = lines.iter();
                    spec.folded_onto
                        .extend(laid.map(|(_, _, path)| (path.clone(), target.clone())));
                }
                // The piece's own fold is no line inside it.
                let own = spec.cut.fold_edge.and_then(|at| spec.edges.get(at));
                let inside =
                    |line: &(Tag, String, Path)| own.is_none_or(|edge| edge.path != line.2);
                spec.fold_lines
                    .extend(lines.into_iter().chain(onto).filter(inside));
            }
            PieceSays::Interline {
                count,
                alike,
                cloth,
                inside,
            } => {
                spec.interlining = Some(spec::InterliningSpec {
                    tag,
                    count,
                    alike,
                    cloth,
                    inside,
                });
            }
            PieceSays::Notch { form, at } => {
                spec.notches
                    .extend(at.into_iter().map(|own| PieceNotchSpec {
                        tag,
                        form,
                        place: own.place,
                        along_from: own.along_from,
                    }));
            }
            PieceSays::Dart {
                mouth: (one, other),
                apex,
                other_apex,
                legs,
                pressed,
                drill,
                sewn,
            } => spec.darts.push(DartSpec {
                tag,
                mouth: (one.point, other.point),
                apex: apex.point,
                other_apex: other_apex.map(|apex| apex.point),
                legs: legs.map(|(one, other)| (one.2, other.2)),
                pressed: pressed.map(|toward| toward.point),
                drill,
                sewn,
                of_base,
            }),
            PieceSays::Mark {
                what,
                words,
                side,
                button,
            } => {
                spec.marks.extend(what.into_iter().map(|marked| MarkSpec {
                    tag,
                    name: marked.name,
                    shape: marked.shape,
                    text: words.clone(),
                    of_list: marked.of_list,
                    side,
                    button,
                }));
            }
        }
        Ok(())
    }

    /// How often something is cut.
    fn whole_count(&mut self, count: &'a Node, span: Span) -> Result<u32, Stop> {
        let count = self.figure(count)?;
        if !(0.0..=1000.0).contains(&count) || (count - count.round()).abs() > 1e-9 {
            let message = format!(
                "A piece is cut a whole number of times, not {}.",
                crate::voice::decimals(count, 3)
            );
            return Err(Diagnostic::error(Code::OutOfRange, span, message).into());
        }
        Ok(count.round() as u32)
    }

    /// A button's size, as far as there are such buttons.
    fn likely_button(&mut self, code: &'a ButtonCode) -> Result<spec::Button, Stop> {
        let button = spec::Button {
            diameter: self.figure(&code.diameter)?,
            thickness: self.figure(&code.thickness)?,
        };
        let likely = button.diameter > 0.0
            && button.diameter <= LARGEST_BUTTON
            && button.thickness >= 0.0
            && button.thickness <= LARGEST_BUTTON;
        if likely {
            return Ok(button);
        }
        let message = say!(
            "A button is at most {} across and thick, and more than nothing across, not {} and {}.",
            figure::spoken(LARGEST_BUTTON),
            figure::spoken(button.diameter),
            figure::spoken(button.thickness)
        );
        Err(Diagnostic::error(Code::OutOfRange, code.span, message).into())
    }
}

/// Changes those of a piece's edges that a sentence names; what is said of an edge the outline has lost is passed over.
fn on_edges(spec: &mut PieceSpec, edges: &[EdgeRef], mut change: impl FnMut(&mut EdgeSpec)) {
    for edge in edges {
        if let Some(edge) = position(spec, edge).and_then(|at| spec.edges.get_mut(at)) {
            change(edge);
        }
    }
}

/// Which of a piece's edges is meant: that line, or, where the piece has been given another outline, that name.
fn position(spec: &PieceSpec, edge: &EdgeRef) -> Option<usize> {
    let of_line = spec.edges.iter().position(|one| one.line == edge.line);
    of_line.or_else(|| spec.edges.iter().position(|one| one.name == edge.name))
}

/// A line of the same length square to another, through its middle.
fn square_across(along: &Path) -> Path {
    let middle = match along.endless_line() {
        Some((through, _)) => through,
        None => {
            let ends = along.start().ok().zip(along.end().ok());
            ends.map_or(Point::ORIGIN, |(start, end)| start.midpoint(end))
        }
    };
    let quarter = Affine::rotate_about(std::f64::consts::FRAC_PI_2, middle);
    along.transformed(quarter)
}
