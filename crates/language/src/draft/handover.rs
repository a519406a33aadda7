//! What is handed over to be cut and sewn: pieces and seams with every figure worked out, and every value by name.

mod seam;

use super::fault::Stop;
use super::machine::Machine;
use crate::check::program::{DartCode, EdgeCode, EdgeRef, Node, PieceCode, PieceSay, Slot};
use crate::kind::{Dimension, Kind};
use crate::pattern::WearerSide;
use crate::pattern::spec::{
    self, ClothSpec, CornerSpec, DartSpec, EdgeSpec, MarkSpec, NamedValue, PieceNotchSpec,
    PieceSpec, Tag,
};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::voice::{self, figure};
use oaktag_geometry::path::Path;
use std::collections::BTreeMap;

/// Which place in the text each tag stands for.
#[derive(Clone, Debug, Default)]
pub struct Tags {
    /// Each place, with the sentence that took what is said there.
    places: Vec<(Span, Option<Span>)>,
    /// The sentence that takes what is being handed over now.
    pub(super) taken: Option<Span>,
}

impl Tags {
    /// A tag for a place.
    pub fn tag(&mut self, span: Span) -> Tag {
        self.places.push((span, self.taken));
        Tag(u32::try_from(self.places.len() - 1).unwrap_or(u32::MAX))
    }

    /// The place of a tag.
    pub fn place(&self, tag: Tag) -> Option<Span> {
        self.places.get(tag.0 as usize).map(|(span, _)| *span)
    }

    /// The draft's own sentence that took what stands at the tag's place, where the library says it.
    pub fn taken(&self, tag: Tag) -> Option<Span> {
        self.places.get(tag.0 as usize)?.1
    }
}

/// The largest button that is taken for one, in millimetres.
const LARGEST_BUTTON: f64 = 100.0;

/// What a sentence says of all that it marks.
#[derive(Clone, Copy)]
struct Said<'w> {
    words: &'w str,
    side: Option<WearerSide>,
    button: Option<spec::Button>,
    of_list: bool,
    span: Span,
}

/// Most pieces of line in one outline, since each is held against every other.
const MOST_IN_OUTLINE: usize = 1_000;

/// A value with its kind, for those who do not evaluate.
pub fn spec_value(value: &Value, kind: &Kind) -> spec::Value {
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
    pub fn hand_over(&mut self) {
        let all = self.program.names.iter();
        let slots: BTreeMap<&str, Slot> = all.map(|name| (name.name.as_str(), name.slot)).collect();
        for name in &self.program.names {
            let Some(mut value) = self.value(name.slot).cloned() else {
                continue;
            };
            // Lines that were redrawn are not what the list was made of.
            let newest = name.lines.iter().map(|line| {
                let value = self.value(*slots.get(line.as_str())?)?;
                matches!(value, Value::Path(_)).then(|| value.clone())
            });
            if let (false, Some(lines)) = (
                name.lines.is_empty(),
                newest.collect::<Option<Vec<Value>>>(),
            ) {
                value = Value::List(lines.into());
            }
            if matches!(value, Value::Absent | Value::Bearing(_)) {
                continue;
            }
            let site = self
                .entry_of(name.slot)
                .and_then(|id| self.record.get(id))
                .map_or(name.site, |entry| entry.site);
            let Some(site) = self.program.sites.get(site.0 as usize) else {
                continue;
            };
            let step = site
                .step
                .and_then(|id| self.program.steps.get(id.0 as usize))
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
            let mut all = vec![named(name.name.clone(), value)];
            for (at, item) in items.into_iter().enumerate() {
                let own = format!("{}_{}", name.name, at + 1);
                if !self.program.names.iter().any(|other| other.name == own) {
                    all.push(named(own, item));
                }
            }
            self.drawn.values.extend(all);
        }
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
        };
        for (name, node) in &cloth.settings {
            match name.as_str() {
                "width" => spec.width = Some(self.figure(node)?),
                "thickness" => spec.thickness = Some(self.figure(node)?),
                "stripe" => spec.stripe = Some(self.figure(node)?),
                "warp" => spec.shrinkage.0 = self.figure(node)?,
                "weft" => spec.shrinkage.1 = self.figure(node)?,
                _ => spec.nap = self.holds(node)?,
            }
        }
        Ok(spec)
    }

    /// Declares a piece.
    pub fn piece(&mut self, number: usize) -> Result<(), Stop> {
        let Some(code) = self.program.pieces.get(number) else {
            return Ok(());
        };
        self.tags.taken = code.taken;
        let mut spec = PieceSpec {
            tag: self.tags.tag(code.head),
            name: code.name.clone(),
            label: self.letters(&code.label)?,
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
        };
        self.piece_says(&code.sentences, &mut spec, code)?;
        for (line, seam, width) in &self.program.offered_edges {
            let width = width.as_ref().map(|node| self.figure(node)).transpose()?;
            for edge in spec.edges.iter_mut().filter(|edge| edge.line == *line) {
                edge.allowance = edge.allowance.or(width);
                edge.finish
                    .get_or_insert_with(|| format!("sewn in seam {}", voice::letters(seam)));
            }
        }
        self.drawn.pieces.push(spec);
        Ok(())
    }

    fn piece_says(
        &mut self,
        says: &'a [PieceSay],
        spec: &mut PieceSpec,
        code: &PieceCode,
    ) -> Result<(), Stop> {
        for say in says {
            self.piece_say(say, spec, code)?;
        }
        Ok(())
    }

    fn piece_say(
        &mut self,
        say: &'a PieceSay,
        spec: &mut PieceSpec,
        code: &PieceCode,
    ) -> Result<(), Stop> {
        match say {
            PieceSay::Outline(edges) => {
                // An edge of no length is passed over.
                spec.edges = edges
                    .iter()
                    .filter_map(|edge| self.edge(edge).transpose())
                    .collect::<Result<_, _>>()?;
                let parts: usize = spec.edges.iter().map(|edge| edge.path.segs().len()).sum();
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
            PieceSay::Cut {
                count,
                alike,
                fold,
                cloth,
                span,
            } => {
                let count = self.whole_count(count, *span)?;
                let fold_edge = match fold {
                    Some(fold) => {
                        let at = position(spec, fold);
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
                    alike: *alike,
                    fold_edge,
                    cloth: cloth.clone(),
                };
            }
            PieceSay::Grain(line, words) => {
                spec.grain = Some(Path::clone(self.path(line)?.as_ref()));
                spec.grain_words.clone_from(words);
            }
            PieceSay::Allow(width, edges) => {
                let width = self.figure(width)?;
                if edges.is_empty() {
                    spec.default_allowance = Some(width);
                }
                for edge in edges {
                    if let Some(edge) = position(spec, edge).and_then(|at| spec.edges.get_mut(at)) {
                        edge.allowance = Some(width);
                    }
                }
            }
            PieceSay::Corner((a, b), treatment, span) => {
                let name = |edge: &EdgeRef, spec: &PieceSpec| {
                    let found = position(spec, edge).and_then(|at| spec.edges.get(at));
                    found.map_or_else(|| edge.name.clone(), |edge| edge.name.clone())
                };
                let edges = (name(a, spec), name(b, spec));
                let same = |corner: &CornerSpec| {
                    corner.edges == edges
                        || (corner.edges.1.clone(), corner.edges.0.clone()) == edges
                };
                spec.corners.retain(|corner| !same(corner));
                spec.corners.push(CornerSpec {
                    tag: self.tags.tag(*span),
                    edges,
                    treatment: *treatment,
                });
            }
            PieceSay::Finish(edges, text) => {
                let text = self.letters(text)?;
                for edge in edges {
                    if let Some(edge) = position(spec, edge).and_then(|at| spec.edges.get_mut(at)) {
                        edge.finish = Some(text.clone());
                    }
                }
            }
            PieceSay::Fold(lines, onto) => {
                let target = match onto {
                    Some((_, node, _)) => Some(Path::clone(self.path(node)?.as_ref())),
                    None => None,
                };
                for (at, (name, node, span)) in lines.iter().chain(onto).enumerate() {
                    let path = Path::clone(self.path_or_nothing(node)?.as_ref());
                    // A fold of no length folds nothing.
                    if path.is_nothing() {
                        continue;
                    }
                    if let Some(target) = target.clone().filter(|_| at < lines.len()) {
                        spec.folded_onto.push((path.clone(), target));
                    }
                    // The piece's own fold is no line inside it.
                    let own = spec.cut.fold_edge.and_then(|at| spec.edges.get(at));
                    if own.is_some_and(|edge| edge.path == path) {
                        continue;
                    }
                    spec.fold_lines
                        .push((self.tags.tag(*span), name.clone(), path));
                }
            }
            PieceSay::Interline(count, alike, cloth, inside, span) => {
                spec.interlining = Some(spec::InterliningSpec {
                    tag: self.tags.tag(*span),
                    count: self.whole_count(count, *span)?,
                    alike: *alike,
                    cloth: cloth.clone(),
                    inside: self.figure(inside)?,
                });
            }
            PieceSay::Notch(form, places, span) => {
                for (place, along_from) in places {
                    let place = self.seam_place(place)?;
                    let from = along_from.as_ref();
                    spec.notches.push(PieceNotchSpec {
                        tag: self.tags.tag(*span),
                        form: *form,
                        place,
                        along_from: from.map(|point| self.seam_point(point)).transpose()?,
                    });
                }
            }
            PieceSay::Dart(dart, span) => {
                let dart = self.dart(dart, *span)?;
                spec.darts.push(dart);
            }
            PieceSay::Mark(shapes, text, side, button, span) => {
                let words = self.letters(text)?;
                let button = match button {
                    Some((diameter, thickness)) => Some(self.button(diameter, thickness, *span)?),
                    None => None,
                };
                let said = Said {
                    words: &words,
                    side: *side,
                    button,
                    of_list: false,
                    span: *span,
                };
                for (name, kind, node) in shapes {
                    let value = self.eval(node)?;
                    self.mark(spec, name, kind, value, said);
                }
            }
            PieceSay::If(branches, otherwise) => {
                for (condition, says) in branches {
                    if self.holds(condition)? {
                        return self.piece_says(says, spec, code);
                    }
                }
                self.piece_says(otherwise, spec, code)?;
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

    fn mark(
        &mut self,
        spec: &mut PieceSpec,
        name: &str,
        kind: &Kind,
        value: Value,
        said: Said<'_>,
    ) {
        if let (Value::List(items), Kind::List(item)) = (&value, kind) {
            for (at, one) in items.iter().enumerate() {
                let said = Said {
                    of_list: true,
                    ..said
                };
                self.mark(spec, &format!("{name}_{}", at + 1), item, one.clone(), said);
            }
            return;
        }
        let shape = spec_value(&value, kind);
        spec.marks.push(MarkSpec {
            tag: self.tags.tag(said.span),
            name: name.to_owned(),
            shape,
            text: said.words.to_owned(),
            of_list: said.of_list,
            side: said.side,
            button: said.button,
        });
    }

    /// A button's size, as far as there are such buttons.
    fn button(
        &mut self,
        diameter: &'a Node,
        thickness: &'a Node,
        span: Span,
    ) -> Result<spec::Button, Stop> {
        let button = spec::Button {
            diameter: self.figure(diameter)?,
            thickness: self.figure(thickness)?,
        };
        let likely = button.diameter > 0.0
            && button.diameter <= LARGEST_BUTTON
            && button.thickness >= 0.0
            && button.thickness <= LARGEST_BUTTON;
        if likely {
            return Ok(button);
        }
        let message = say!(
            "A button is at most {} across and through, and more than nothing across, not {} and {}.",
            figure::spoken(LARGEST_BUTTON),
            figure::spoken(button.diameter),
            figure::spoken(button.thickness)
        );
        Err(Diagnostic::error(Code::OutOfRange, span, message).into())
    }

    fn dart(&mut self, code: &'a DartCode, span: Span) -> Result<DartSpec, Stop> {
        let mut maybe = |node: &'a Option<Node>| node.as_ref().map(|n| self.figure(n)).transpose();
        let (drill, sewn) = (maybe(&code.drill)?, maybe(&code.sewn)?);
        let mut point = |node: &'a Option<Node>| node.as_ref().map(|n| self.point(n)).transpose();
        let (other_apex, pressed) = (point(&code.other_apex)?, point(&code.pressed)?);
        let legs = match &code.legs {
            Some((one, other)) => Some((
                Path::clone(self.path(one)?.as_ref()),
                Path::clone(self.path(other)?.as_ref()),
            )),
            None => None,
        };
        Ok(DartSpec {
            tag: self.tags.tag(span),
            mouth: (self.point(&code.mouth.0)?, self.point(&code.mouth.1)?),
            apex: self.point(&code.apex)?,
            other_apex,
            legs,
            pressed,
            drill,
            sewn,
            of_base: code.of_base,
        })
    }

    /// None for an edge of no length.
    fn edge(&mut self, edge: &'a EdgeCode) -> Result<Option<EdgeSpec>, Stop> {
        let path = Path::clone(self.path_or_nothing(&edge.value)?.as_ref());
        Ok((!path.is_nothing()).then(|| EdgeSpec {
            tag: self.tags.tag(edge.span),
            name: edge.name.clone(),
            line: edge.line.clone(),
            path,
            allowance: None,
            finish: None,
            mouth: None,
        }))
    }
}

/// Which of a piece's edges is meant: that line, or, where the piece has been given another outline, that name.
fn position(spec: &PieceSpec, edge: &EdgeRef) -> Option<usize> {
    let of_line = spec.edges.iter().position(|one| one.line == edge.line);
    of_line.or_else(|| spec.edges.iter().position(|one| one.name == edge.name))
}
