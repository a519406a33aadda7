//! What moves a seam, an edge or a figure, and by how much: each measure and choice is moved a little both ways, all else
//! kept, and the draft drawn anew (a central difference). Whoever fits reads from it what to change.

use super::ordered;
use crate::sizes::search::axis::given_of;
use oaktag_language::check::{Checked, nearest_word};
use oaktag_language::draft::inputs::{Given, Inputs, Setting};
use oaktag_language::draft::{self, Outcome};
use oaktag_language::kind::Dimension;
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Span;
use oaktag_language::syntax::project::Project;
use oaktag_language::voice::LengthUnit;
use std::num::NonZeroUsize;
use std::ops::ControlFlow;

/// A figure that is asked about.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What of it: `first side`, `ease`; empty where there is one figure.
    pub what: &'static str,
    /// Whether it is a length, an angle, an area or a plain number.
    pub dimension: Dimension,
    /// Its value: millimetres, degrees, square millimetres, a number.
    pub value: f64,
}

/// A measure or choice, and what it does.
#[derive(Clone, Debug)]
pub struct Mover {
    /// The measure or choice, with the import's name before it.
    pub name: String,
    /// A measure of the body, rather than a choice.
    pub of_body: bool,
    /// Worked out here from other measures; this is what it does by itself.
    pub worked_out: bool,
    /// How the figure moves with it.
    pub effect: Effect,
}

/// What a measure or choice does.
#[derive(Clone, Debug)]
pub enum Effect {
    /// Moved by a step: how much each figure changes for a whole one (a centimetre, an inch, a degree, a tenth).
    Figure {
        /// How much is one: millimetres, degrees or a number.
        one: f64,
        /// Whether it is a length, an angle, an area or a plain number.
        dimension: Dimension,
        /// For each figure, the change for one, from drawings a small step apart.
        slopes: Vec<f64>,
        /// For each figure, the change for one more and for one less as they come out; none where that cannot be drawn.
        whole: [Option<Vec<f64>>; 2],
    },
    /// Another word: how much each figure changes; none where that cannot be drawn.
    Words(Vec<(Given, Option<Vec<f64>>)>),
    /// It cannot be moved either way.
    Stuck,
}

/// What moves some figures.
#[derive(Clone, Debug)]
pub struct Why {
    /// The figures as they are.
    pub figures: Vec<Figure>,
    /// What moves them, the strongest first; then what does not.
    pub movers: Vec<Mover>,
}

/// Figures that are smaller than this are nothing.
pub const NOTHING: f64 = 5e-4;

/// The figures of that name in a pattern: a seam's sides and ease, an edge of a piece, a value of the draft.
pub fn figures(pattern: &Pattern, name: &str) -> Vec<Figure> {
    let one = |dimension, value| {
        vec![Figure {
            what: "",
            dimension,
            value,
        }]
    };
    if let Some(seam) = pattern.seam(name) {
        let figure = |what, value| Figure {
            what,
            dimension: Dimension::LENGTH,
            value,
        };
        return vec![
            figure("first side", seam.first.length),
            figure("second side", seam.second.length),
            figure("difference", seam.ease()),
        ];
    }
    if let Some(value) = pattern.values.iter().find(|value| value.name == name) {
        return match &value.value {
            Value::Length(mm) => one(Dimension::LENGTH, *mm),
            Value::Angle(degrees) => one(Dimension::ANGLE, *degrees),
            Value::Area(mm2) => one(Dimension::AREA, *mm2),
            Value::Number(number) => one(Dimension::NUMBER, *number),
            Value::Line(path) | Value::Curve(path) => path
                .length()
                .map_or(Vec::new(), |length| one(Dimension::LENGTH, length)),
            _ => Vec::new(),
        };
    }
    let edge = name
        .rsplit_once('.')
        .and_then(|(piece, edge)| pattern.piece(piece)?.edge(edge));
    edge.map_or(Vec::new(), |edge| one(Dimension::LENGTH, edge.length))
}

/// A name that was probably meant.
pub fn nearest(pattern: &Pattern, name: &str) -> Option<String> {
    let seams = pattern.seams.iter().map(|seam| seam.name.clone());
    let edges = pattern.pieces.iter().flat_map(|piece| {
        piece
            .edges
            .iter()
            .map(|edge| format!("{}.{}", piece.name, edge.name))
    });
    let values = pattern.values.iter().map(|value| value.name.clone());
    let known: Vec<String> = seams.chain(edges).chain(values).collect();
    let known = known
        .iter()
        .filter(|known| !figures(pattern, known).is_empty());
    nearest_word(name, known.map(String::as_str)).map(str::to_owned)
}

/// How an input is moved: how much is one, and how far apart the drawings of the slope are.
fn steps(dimension: Dimension, unit: LengthUnit) -> Option<(f64, f64)> {
    match (dimension, unit) {
        (Dimension::LENGTH, LengthUnit::Inch) => Some((unit.mm(), 1.0)),
        (Dimension::LENGTH, _) => Some((10.0, 1.0)),
        (Dimension::ANGLE, _) => Some((1.0, 0.1)),
        (Dimension::NUMBER, _) => Some((0.1, 0.01)),
        _ => None,
    }
}

/// One drawing to be made: which input, and its value.
struct Asked {
    input: usize,
    value: Given,
}

/// An input as it is.
struct Input {
    name: String,
    of_body: bool,
    worked_out: bool,
    value: Given,
    others: Vec<Given>,
}

/// What moves the figures of a name; none where the drawing has no such figure.
pub fn why(
    project: &Project,
    checked: &Checked,
    inputs: &Inputs,
    base: &Outcome,
    name: &str,
    threads: NonZeroUsize,
) -> Option<Why> {
    let figures_now = figures(&base.pattern, name);
    if figures_now.is_empty() {
        return None;
    }
    let all = inputs_of(checked, base);
    let unit = checked.program.unit;
    let asked: Vec<Asked> = all
        .iter()
        .enumerate()
        .flat_map(|(at, input)| asked(at, input, unit))
        .collect();
    let mut drawn: Vec<Option<Vec<f64>>> = Vec::with_capacity(asked.len());
    let work = |number: usize| {
        let asked = asked.get(number)?;
        let input = all.get(asked.input)?;
        let mut inputs = inputs.clone();
        inputs.set.push(Setting {
            name: input.name.clone(),
            value: asked.value.clone(),
            span: Span::default(),
        });
        let outcome = draft::draw(project, checked, &inputs);
        // A seam or check may fail so far away from where it holds; a line that is missing may not.
        let found = figures(&outcome.pattern, name);
        (found.len() == figures_now.len() && outcome.is_whole())
            .then(|| found.iter().map(|figure| figure.value).collect())
    };
    ordered::in_order(0..asked.len(), threads, work, |_, values| {
        drawn.push(values.ok().flatten());
        ControlFlow::Continue(())
    });
    let now: Vec<f64> = figures_now.iter().map(|figure| figure.value).collect();
    let mut movers: Vec<Mover> = all
        .iter()
        .enumerate()
        .map(|(at, input)| {
            let of_input = asked
                .iter()
                .zip(&drawn)
                .filter(|(asked, _)| asked.input == at);
            let of_input: Vec<(&Given, Option<&Vec<f64>>)> = of_input
                .map(|(asked, values)| (&asked.value, values.as_ref()))
                .collect();
            Mover {
                name: input.name.clone(),
                of_body: input.of_body,
                worked_out: input.worked_out,
                effect: effect(input, &of_input, &now, unit),
            }
        })
        .collect();
    movers.sort_by(|a, b| strength(b).total_cmp(&strength(a)));
    Some(Why {
        figures: figures_now,
        movers,
    })
}

fn inputs_of(checked: &Checked, base: &Outcome) -> Vec<Input> {
    let codes = checked.program.measures.iter().filter(|code| !code.is_idle);
    codes
        .filter_map(|code| {
            let used = base
                .drawn
                .measures
                .iter()
                .find(|used| used.name == code.name)?;
            let value = given_of(&used.value)?;
            let others = match &value {
                Given::Answer(answer) => vec![Given::Answer(!answer)],
                Given::Text(_) => code
                    .choices
                    .iter()
                    .map(|choice| Given::Text(choice.clone()))
                    .filter(|choice| *choice != value)
                    .collect(),
                Given::Figure(..) => Vec::new(),
            };
            Some(Input {
                name: code.name.clone(),
                of_body: used.of_body,
                worked_out: used.worked_out,
                value,
                others,
            })
        })
        .collect()
}

/// The drawings that tell what an input does: half a step either way, a whole one more and less, or each other word.
fn asked(at: usize, input: &Input, unit: LengthUnit) -> Vec<Asked> {
    let of = |value: Given| Asked { input: at, value };
    match &input.value {
        Given::Figure(figure, dimension) => match steps(*dimension, unit) {
            Some((one, apart)) => [-apart / 2.0, apart / 2.0, -apart, apart, one, -one]
                .into_iter()
                .map(|by| of(Given::Figure(figure + by, *dimension)))
                .collect(),
            None => Vec::new(),
        },
        _ => input.others.iter().cloned().map(of).collect(),
    }
}

fn effect(
    input: &Input,
    drawn: &[(&Given, Option<&Vec<f64>>)],
    now: &[f64],
    unit: LengthUnit,
) -> Effect {
    let less = |a: &[f64], b: &[f64]| -> Vec<f64> { a.iter().zip(b).map(|(a, b)| a - b).collect() };
    let Given::Figure(_, dimension) = &input.value else {
        let words = drawn.iter().map(|(value, found)| {
            let change = found.map(|found| less(found, now));
            ((*value).clone(), change)
        });
        return Effect::Words(words.collect());
    };
    let (Some((one, apart)), [back, on, far_back, far_on, more, fewer]) =
        (steps(*dimension, unit), drawn)
    else {
        return Effect::Stuck;
    };
    // At an end of its range an input can be moved one way alone.
    let change = match (back.1, on.1, far_back.1, far_on.1) {
        (Some(back), Some(on), ..) => less(on, back),
        (_, _, _, Some(on)) => less(on, now),
        (_, _, Some(back), _) => less(now, back),
        _ => return Effect::Stuck,
    };
    Effect::Figure {
        one,
        dimension: *dimension,
        slopes: change.iter().map(|change| change * one / apart).collect(),
        whole: [more, fewer].map(|(_, found)| found.map(|found| less(found, now))),
    }
}

/// The largest change of any figure.
pub fn strength(mover: &Mover) -> f64 {
    let largest = |values: &[f64]| values.iter().map(|value| value.abs()).fold(0.0, f64::max);
    match &mover.effect {
        Effect::Figure { slopes, .. } => largest(slopes),
        Effect::Words(words) => {
            let changes = words.iter().filter_map(|(_, change)| change.as_deref());
            changes.map(largest).fold(0.0, f64::max)
        }
        Effect::Stuck => 0.0,
    }
}
