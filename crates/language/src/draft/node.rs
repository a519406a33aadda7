//! What expressions are worth.

use super::fault::{Stop, in_phrase, with_step};
use super::machine::{Frame, MOST_CALLS, MOST_ITEMS, Machine};
use super::printed::printed;
use crate::check::program::{
    BearingNode, CallNode, DisplacedNode, EachNode, EachOverNode, FarNode, Node, OperationCall,
    Routine, Slot, SumNode, TextNode,
};
use crate::kind::Kind;
use crate::phrase::{Bearing, Call, Fault, Meaning, Reach, Table, Value, first_meeting};
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::syntax::tree::Operator;
use crate::voice::{self, Words, figure};
use kurbo::{Point, Vec2};
use oaktag_geometry::angle::Angle;
use std::sync::Arc;

impl<'a> Machine<'a> {
    /// What a node is worth.
    ///
    /// # Errors
    /// Where it cannot be drawn, or needs what was not.
    pub(super) fn eval(&mut self, node: &'a Node) -> Result<Value, Stop> {
        match node {
            Node::Known(value) => Ok(value.clone()),
            Node::Figure(at) => {
                let figure = self.program.figures.get(*at as usize);
                Ok(figure.map_or(Value::Absent, |figure| Value::Quantity(figure.value)))
            }
            Node::Slot(slot) => self.value(*slot).cloned().ok_or(Stop::Missing(*slot)),
            Node::Sum(sum) => self.sum(sum),
            Node::Negative(inner) => Ok(Value::Quantity(-self.figure(inner)?)),
            Node::Call(call) => self.call(call),
            Node::Operation(call) => self.operation(call),
            Node::Displaced(displaced) => self.displaced(displaced),
            Node::Turn(angle, clockwise) => {
                let degrees = self.figure(angle)?;
                Ok(Value::Turn(if *clockwise { degrees } else { -degrees }))
            }
            Node::Bearing(bearing) => self.bearing(bearing),
            Node::Compare(_) | Node::Not(_) | Node::Both(..) | Node::Either(..) => {
                self.holds(node).map(Value::Answer)
            }
            Node::List(nodes) => {
                self.charge(nodes.len() as u64)?;
                let mut items = Vec::with_capacity(nodes.len());
                for node in nodes {
                    match (node, self.eval(node)?) {
                        (Node::Spread(_), Value::List(inner)) => {
                            self.charge(inner.len() as u64)?;
                            items.extend(inner.iter().cloned());
                        }
                        (_, item) => items.push(item),
                    }
                }
                Ok(Value::List(items.into()))
            }
            Node::Spread(inner) => self.eval(inner),
            Node::Each(each) => self.each(each),
            Node::Text(_) => self
                .letters(node)
                .map(|letters| Value::Text(letters.into())),
        }
    }

    pub(super) fn figure(&mut self, node: &'a Node) -> Result<f64, Stop> {
        match self.eval(node)? {
            Value::Quantity(figure) | Value::Turn(figure) => Ok(figure),
            _ => Err(self.wrong_kind("A figure is wanted here.")),
        }
    }

    pub(super) fn point(&mut self, node: &'a Node) -> Result<Point, Stop> {
        match self.eval(node)? {
            Value::Point(point) => Ok(point),
            _ => Err(self.wrong_kind("A point is wanted here.")),
        }
    }

    /// The check of kinds lets no such value through; still, it is a message and not a panic.
    pub(super) fn wrong_kind(&self, wanted: &'static str) -> Stop {
        Diagnostic::error(Code::WrongKind, self.here(), wanted).into()
    }

    /// The place of the sentence being carried out.
    pub(super) fn here(&self) -> Span {
        self.site
            .and_then(|id| self.program.site(id))
            .map(|site| site.value)
            .unwrap_or_default()
    }

    /// A text with its figures, which wait for the unit of a message.
    pub(super) fn words(&mut self, node: &'a Node) -> Result<Words, Stop> {
        let Node::Text(parts) = node else {
            return Ok(printed(&self.eval(node)?, &Kind::Text));
        };
        let mut words = Words::default();
        for part in parts {
            match part {
                TextNode::Letters(letters) => words.push(letters),
                TextNode::Value(node, kind) => words.push(printed(&self.eval(node)?, kind)),
            }
        }
        Ok(words)
    }

    /// A text with its figures in the draft's unit.
    pub(super) fn letters(&mut self, node: &'a Node) -> Result<String, Stop> {
        Ok(self.words(node)?.in_unit(self.program.unit).into_owned())
    }

    fn sum(&mut self, sum: &'a SumNode) -> Result<Value, Stop> {
        let (left, right) = (self.figure(&sum.left)?, self.figure(&sum.right)?);
        let figure = match sum.operator {
            Operator::Add => left + right,
            Operator::Subtract => left - right,
            Operator::Multiply => left * right,
            Operator::Divide if right == 0.0 => {
                let message = "This divides by nothing: what stands below the line is 0.";
                let told = Diagnostic::error(Code::FigureUndefined, sum.right_span, message);
                return Err(told.at("0 here").seen(self.origin(&sum.right)).into());
            }
            Operator::Divide => left / right,
        };
        if figure.is_finite() {
            Ok(Value::Quantity(figure))
        } else {
            let message = "This comes out larger than any figure that can be written.";
            Err(Diagnostic::error(Code::FigureTooLarge, sum.span, message).into())
        }
    }

    fn call(&mut self, call: &'a CallNode) -> Result<Value, Stop> {
        let base = self.arguments.len();
        let value = self.carried_out(call, base);
        self.arguments.truncate(base);
        value
    }

    /// Carries out a phrase whose arguments stand from a place on.
    fn carried_out(&mut self, call: &'a CallNode, base: usize) -> Result<Value, Stop> {
        for arg in &call.args {
            let value = match arg {
                Some(node) => Some(self.eval(node)?),
                None => None,
            };
            self.arguments.push(value);
        }
        let Some((form, Meaning::Built(function))) = Table::built_in()
            .get(call.form)
            .map(|form| (form, &form.meaning))
        else {
            let message = "This phrase has no meaning of its own.";
            return Err(Diagnostic::error(Code::UnknownPhrase, call.span, message).into());
        };
        let args = self.arguments.get(base..).unwrap_or_default();
        self.charge(super::work::cost(form, args))?;
        if self.records() {
            self.keep_figures(call, form, base);
        }
        let aids = self.records().then_some(&mut self.aids);
        let mut said = Call {
            names: &call.names,
            aids,
            more_work: 0,
            remarks: Vec::new(),
        };
        let args = self.arguments.get_mut(base..).unwrap_or_default();
        let meant = function.carry_out(&mut said, args);
        let (more_work, remarks) = (said.more_work, said.remarks);
        // What is refused has cost as much, and says why before the draft is left for its work.
        let charged = self.charge(more_work);
        let value = meant.map_err(|fault| {
            let origin = |place: usize| self.origin(call.args.get(place)?.as_ref()?);
            in_phrase(call.span, &call.spans, fault, origin)
        })?;
        charged?;
        for remark in remarks {
            self.remark(call, remark);
        }
        let size = super::work::size_of_all([&value]);
        self.charge(size)?;
        if size > super::machine::MOST_PARTS {
            return Err(super::work::too_many_parts(call.span));
        }
        Ok(value)
    }

    /// Tells what a phrase remarks, once for a place; a trial says nothing of what it only tries.
    fn remark(&mut self, call: &CallNode, remark: Fault) {
        if self.quiet > 0 {
            return;
        }
        let origin = |_| None;
        let mut told = in_phrase(call.span, &call.spans, remark, origin);
        if let Some(place) = self.caller() {
            let inner = std::mem::replace(&mut told.place, place);
            told = told.see(inner, "drawn here");
        }
        let is_told = |one: &Diagnostic| one.code == told.code && one.place == told.place;
        if !self.diagnostics.iter().any(is_told) {
            self.diagnostics
                .push(with_step(told, self.program, self.site));
        }
    }

    /// The draft's own sentence that called, inside an operation.
    fn caller(&self) -> Option<Span> {
        let call = self.frames.get(1)?.call?;
        let entry = self.record.entries.get(call.0 as usize)?;
        Some(self.program.site(entry.site)?.span)
    }

    /// Keeps the figures among the arguments of a phrase.
    fn keep_figures(&mut self, call: &CallNode, form: &crate::phrase::Form, base: usize) {
        for (at, span) in call.spans.iter().enumerate() {
            let value = self.arguments.get(base + at).and_then(Option::as_ref);
            let Some(Value::Quantity(figure) | Value::Turn(figure)) = value else {
                continue;
            };
            let figure = Value::Quantity(*figure);
            self.keep_worked(*span, &figure, kind_at(form, at));
        }
    }

    /// Where a named value was drawn, and how long or large it is.
    fn origin(&self, node: &Node) -> Option<(Span, Words)> {
        let Node::Slot(slot) = node else { return None };
        let by = self.drawn_as(*slot)?;
        let site = self.program.site(self.record.get(by.entry)?.site)?;
        let target = site.targets.get(by.at as usize)?;
        let value = self.value(*slot)?;
        let name = target.name.rsplit('.').next().unwrap_or_default();
        let words = match value {
            Value::Path(path) => match path.length() {
                Ok(length) => say!("`{}` is drawn here, {} long", name, figure::spoken(length)),
                Err(_) => say!("`{}` is drawn here, endless", name),
            },
            Value::Quantity(_) | Value::Turn(_) => {
                say!("`{}` is {}", name, printed(value, &target.kind))
            }
            _ => say!("`{}` is drawn here", name),
        };
        Some((target.span, words))
    }

    fn operation(&mut self, call: &'a OperationCall) -> Result<Value, Stop> {
        let Some(routine) = self.program.routines.get(call.routine) else {
            let message = "This act could not be read.";
            return Err(Diagnostic::error(Code::UnknownPhrase, call.span, message).into());
        };
        if self.frames.len() > MOST_CALLS {
            let message = format!("More than {MOST_CALLS} acts call each other here.");
            return Err(Diagnostic::error(Code::TooManySteps, call.span, message).into());
        }
        let mut frame = Frame::new(routine.slots);
        frame.call = self.calling;
        frame.results = vec![None; routine.results];
        frame.routine = Some(call.routine);
        frame.number = self.lines.next_call();
        for (slot, passed) in routine.arguments.iter().zip(&call.args) {
            let node = &passed.node;
            let (by, thing) = if let Node::Slot(slot) = node {
                (self.drawn_as(*slot), self.thing_of(*slot))
            } else {
                (None, None)
            };
            // A member of a panel may be missing; only what needs it is left out.
            let value = match self.eval(node) {
                Ok(value) => Some(value),
                Err(Stop::Missing(_)) if passed.is_member && !routine.refuses => None,
                Err(stop) => return Err(stop),
            };
            if let Slot::Local(at) = *slot {
                set(&mut frame.values, at, value);
                set(&mut frame.drawn_by, at, by);
                set(&mut frame.things, at, thing);
            }
        }
        self.hold_arguments(&frame, routine, call)?;
        for (_, kind, span, at) in &call.shown {
            let slot = routine.arguments.get(*at);
            let value = slot.and_then(|slot| match slot {
                Slot::Local(at) | Slot::Global(at) => frame.values.get(*at as usize)?.clone(),
            });
            if let Some(value) = value {
                self.keep_worked(*span, &value, Some(kind.clone()));
            }
        }
        let (site, aids) = (self.site, std::mem::take(&mut self.aids));
        let worked = std::mem::take(&mut self.worked);
        self.frames.push(frame);
        self.strict += 1;
        let done = self.ops(&routine.body);
        self.strict -= 1;
        let frame = self.frames.pop().unwrap_or_default();
        self.lines.given_by(frame.number, frame.given);
        let inner_site = std::mem::replace(&mut self.site, site);
        self.aids = aids;
        self.worked = worked;
        if let Err(stop) = done {
            let step = inner_site
                .and_then(|id| self.program.site(id))
                .and_then(|site| site.step);
            let step = step.and_then(|id| self.program.step(id));
            let inside = match step {
                Some(step) => say!("in `{}`, step \"{}\"", routine.head, step.name),
                None => say!("in `{}`", routine.head),
            };
            let stop = missing_outside(stop, routine, call);
            return Err(stop.called_from(call.span, inside, self.given_values(call)));
        }
        let mut results = frame
            .results
            .into_iter()
            .map(|result| result.unwrap_or(Value::Absent));
        if routine.gives_panel {
            return Ok(Value::List(results.collect()));
        }
        results.next().ok_or_else(|| {
            let message = format!("`{}` gave nothing here.", routine.head);
            Diagnostic::error(Code::CannotBeDrawn, call.span, message).into()
        })
    }

    fn displaced(&mut self, displaced: &'a DisplacedNode) -> Result<Value, Stop> {
        let mut at = self.point(&displaced.from)?;
        for (way, far) in &displaced.legs {
            at += *way * self.far(at, *way, far)?;
        }
        Ok(Value::Point(at))
    }

    fn far(&mut self, at: Point, way: Vec2, far: &'a FarNode) -> Result<f64, Stop> {
        let (node, name, place) = match far {
            FarNode::By(length, span) => {
                let length = self.figure(length)?;
                self.keep_worked(*span, &Value::Quantity(length), Some(Kind::LENGTH));
                return Ok(length);
            }
            FarNode::Until(node, name, place) => (node, name, place),
        };
        let found = match self.eval(node)? {
            Value::Point(level) => Ok((level - at).dot(way)),
            Value::Path(path) => first_meeting(at, way, &path),
            _ => Err(Reach::Never(0.0)),
        };
        let said = |name: &Option<Arc<str>>| match name {
            Some(name) => voice::the(name),
            None => "it".to_owned(),
        };
        let fault = match found {
            Ok(distance) if distance >= -oaktag_geometry::MEETING => return Ok(distance.max(0.0)),
            Ok(distance) | Err(Reach::Behind(distance)) => {
                let message = say!(
                    "This way leads away from {}: it lies {} behind.",
                    said(name),
                    figure::length(distance.abs())
                );
                Fault::new(Code::NeverMeet, message).help("Turn the direction round.")
            }
            Err(Reach::Never(gap)) => {
                let message = say!(
                    "This way never reaches {}: it passes {} beyond its end.",
                    said(name),
                    figure::length(gap)
                );
                Fault::new(Code::NeverMeet, message).help("Draw that line longer, or endless.")
            }
        };
        let origin = |_| self.origin(node);
        let told = in_phrase(*place, &[*place], fault.label(0, ""), origin);
        Err(told.at("not reached").into())
    }

    fn bearing(&mut self, bearing: &'a BearingNode) -> Result<Value, Stop> {
        let bearing = match bearing {
            BearingNode::At(point) => Bearing::At(self.point(point)?),
            BearingNode::AwayFrom(point) => Bearing::AwayFrom(self.point(point)?),
            BearingNode::Along(line) => Bearing::Along(self.path(line)?),
            BearingNode::SquareTo(line, toward) => {
                let line = self.path(line)?;
                let toward = match toward {
                    Some(node) => Some(Box::new(as_bearing(self.eval(node)?))),
                    None => None,
                };
                Bearing::SquareTo(line, toward)
            }
            BearingNode::Leaning {
                angle,
                span,
                below,
                from,
            } => {
                let degrees = self.figure(angle)?;
                self.keep_worked(*span, &Value::Quantity(degrees), Some(Kind::ANGLE));
                return Ok(Value::Direction(leaning(degrees, *below, *from)));
            }
        };
        Ok(Value::Bearing(Box::new(bearing)))
    }

    /// A line or curve.
    pub(super) fn path(
        &mut self,
        node: &'a Node,
    ) -> Result<Arc<oaktag_geometry::path::Path>, Stop> {
        let path = self.path_or_nothing(node)?;
        if path.is_nothing() {
            let message = "Here this line has no length, so it leads nowhere.";
            let told = Diagnostic::error(Code::NoLength, self.here(), message);
            return Err(told.seen(self.origin(node)).into());
        }
        Ok(path)
    }

    /// A line or curve, of no length too.
    pub(super) fn path_or_nothing(
        &mut self,
        node: &'a Node,
    ) -> Result<Arc<oaktag_geometry::path::Path>, Stop> {
        match self.eval(node)? {
            Value::Path(path) => Ok(path),
            Value::Absent => {
                let message =
                    "Nothing of this line is left: it lay wholly on the other side of a cut.";
                Err(Diagnostic::error(Code::CannotBeDrawn, self.here(), message).into())
            }
            _ => Err(self.wrong_kind("A line is wanted here.")),
        }
    }

    fn each(&mut self, each: &'a EachNode) -> Result<Value, Stop> {
        let items: Vec<Value> = match &each.over {
            EachOverNode::Items(list) => match self.eval(list)? {
                Value::List(items) => items.to_vec(),
                one => vec![one],
            },
            EachOverNode::Count(from, to) => {
                let (from, to) = (self.figure(from)?, self.figure(to)?);
                self.counted(from, to, each.span)?
            }
        };
        let mut given = Vec::with_capacity(items.len());
        for (time, item) in items.into_iter().enumerate() {
            match (&each.members, item) {
                (Some(members), Value::List(drawn)) => {
                    for (slot, value) in members.iter().zip(drawn.iter()) {
                        self.put(*slot, Some(value.clone()), None);
                    }
                }
                (_, item) => self.put(each.slot, Some(item), None),
            }
            self.charge(1)?;
            self.times.push(u32::try_from(time).unwrap_or(u32::MAX));
            self.strict += 1;
            let done = self.carry_on(each, time == 0).and_then(|()| {
                self.ops(&each.body)?;
                self.eval(&each.give)
            });
            self.strict -= 1;
            self.times.pop();
            given.push(done?);
        }
        Ok(Value::List(given.into()))
    }

    /// What is carried begins as the head says, and is from then on what the block made of it.
    fn carry_on(&mut self, each: &'a EachNode, begins: bool) -> Result<(), Stop> {
        for carried in &each.carried {
            if begins {
                self.ops(std::slice::from_ref(&carried.begin))?;
                continue;
            }
            let (value, by) = (
                self.value(carried.next).cloned(),
                self.drawn_as(carried.next),
            );
            self.put(carried.slot, value, by);
        }
        Ok(())
    }

    fn counted(&self, from: f64, to: f64, span: Span) -> Result<Vec<Value>, Stop> {
        let whole = |x: f64| (x - x.round()).abs() < 1e-9;
        if !whole(from) || !whole(to) {
            let message = "`each` counts whole numbers.";
            let help = "Round the last one first: `round_down X to 1`.";
            let told = Diagnostic::error(Code::FigureUndefined, span, message);
            return Err(told.help(help).into());
        }
        let count = (to.round() - from.round() + 1.0).max(0.0);
        if count > MOST_ITEMS as f64 {
            let message = format!(
                "This `each` would go round {} times; {MOST_ITEMS} is the most.",
                voice::decimals(count, 0)
            );
            return Err(Diagnostic::error(Code::TooManySteps, span, message).into());
        }
        Ok((0..count as u32)
            .map(|n| Value::Quantity(from.round() + f64::from(n)))
            .collect())
    }
}

/// What an operation lacks, as its caller knows it.
fn missing_outside(stop: Stop, routine: &Routine, call: &OperationCall) -> Stop {
    let Stop::Missing(slot @ Slot::Local(_)) = stop else {
        return stop;
    };
    let at = routine.arguments.iter().position(|own| *own == slot);
    match at
        .and_then(|at| call.args.get(at))
        .map(|passed| &passed.node)
    {
        Some(Node::Slot(given)) => Stop::Missing(*given),
        _ => Stop::Missing(slot),
    }
}

/// A direction that leans by an angle below or above a level or plumb one. For up and down, `below` leans toward
/// what lies clockwise, as a hand reads the paper.
fn leaning(degrees: f64, below: bool, from: Vec2) -> Vec2 {
    let down = Vec2::new(0.0, -1.0);
    let toward = if from.y.abs() < 0.5 {
        if below { down } else { -down }
    } else {
        let clockwise = Vec2::new(from.y, -from.x);
        if below { clockwise } else { -clockwise }
    };
    let (sin, cos) = Angle::from_degrees(degrees).sin_cos();
    from * cos + toward * sin
}

fn as_bearing(value: Value) -> Bearing {
    match value {
        Value::Direction(way) => Bearing::Fixed(way),
        Value::Point(point) => Bearing::At(point),
        Value::Bearing(bearing) => *bearing,
        _ => Bearing::Fixed(Vec2::ZERO),
    }
}

fn set<T>(row: &mut [Option<T>], at: u32, value: Option<T>) {
    if let Some(place) = row.get_mut(at as usize) {
        *place = value;
    }
}

/// The kind of figure that stands in a place of a form, where it takes one only.
fn kind_at(form: &crate::phrase::Form, at: usize) -> Option<Kind> {
    let places = form.places.iter().map(|place| place.takes);
    let takes = places
        .chain(form.options.iter().map(|option| option.takes))
        .nth(at)?;
    let kinds = [
        Kind::LENGTH,
        Kind::ANGLE,
        Kind::Turn,
        Kind::AREA,
        Kind::NUMBER,
    ];
    let mut taken = kinds.into_iter().filter(|kind| takes.takes(kind));
    match (taken.next(), taken.next()) {
        (Some(one), None) => Some(one),
        _ => None,
    }
}
