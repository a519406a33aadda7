//! Sentences: each becomes what is done when the draft is drawn.

use super::checker::{Checker, GiveFrame, Given, Typed};
use super::program::{
    ClaimCode, ClothCode, Drawing, Giving, Op, Saying, SayingKind, Site, Slot, Target, Trial,
};
use super::scope::{Bound, LayerKind};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, KindWord, Sentence, SentenceKind};
use std::sync::Arc;

impl KindWord {
    /// The kind, but for lists and panels, which depend on what they hold.
    pub fn kind(self) -> Option<Kind> {
        Some(match self {
            KindWord::Point => Kind::Point,
            KindWord::Line => Kind::Line,
            KindWord::Curve => Kind::Curve,
            KindWord::Length => Kind::LENGTH,
            KindWord::Angle => Kind::ANGLE,
            KindWord::Area => Kind::AREA,
            KindWord::Number => Kind::NUMBER,
            KindWord::Direction => Kind::Direction,
            KindWord::Text => Kind::Text,
            KindWord::Answer => Kind::Answer,
            KindWord::List | KindWord::Panel => return None,
        })
    }
}

impl<'a> Checker<'a> {
    /// Checks sentences in order.
    pub fn sentences(&mut self, sentences: &'a [Sentence]) -> Vec<Op> {
        let mut ops = Vec::with_capacity(sentences.len());
        for sentence in sentences {
            self.reads.clear();
            let outer = std::mem::replace(&mut self.broken, false);
            let done = self.sentence(sentence);
            // What a block did stands even where one sentence in it is wrong.
            if !self.broken || has_block(&sentence.kind) {
                ops.extend(done);
            }
            self.broken = outer;
        }
        ops
    }

    /// A step's words stand before or between what they speak of, so they are filled in when all of it is drawn.
    fn step_sentences(&mut self, sentences: &'a [Sentence]) -> Vec<Op> {
        let mut ops = Vec::with_capacity(sentences.len());
        let (words, drawing): (Vec<&Sentence>, Vec<&Sentence>) =
            sentences.iter().partition(|s| is_words(&s.kind));
        for sentence in drawing.into_iter().chain(words) {
            ops.extend(self.sentences(std::slice::from_ref(sentence)));
        }
        ops
    }

    fn sentence(&mut self, sentence: &'a Sentence) -> Vec<Op> {
        let span = sentence.span;
        match &sentence.kind {
            SentenceKind::Edition(_) => Vec::new(),
            SentenceKind::Draft(text) => self.title(text, span),
            SentenceKind::Unit(word) => {
                self.unit_sentence(word);
                Vec::new()
            }
            SentenceKind::Import(import) => self.import(import, span),
            SentenceKind::Use(module) => {
                self.use_module(module, span);
                Vec::new()
            }
            SentenceKind::Measure(measure) => self.measure(measure, span),
            SentenceKind::Require(claim) => self
                .claim(claim, span, "require")
                .map(|c| Op::Require(Box::new(c)))
                .into_iter()
                .collect(),
            SentenceKind::Check(claim) => self
                .claim(claim, span, "check")
                .map(|c| Op::Check(Box::new(c)))
                .into_iter()
                .collect(),
            SentenceKind::Draw(draw) => self.draw(draw, span),
            SentenceKind::Redraw(redraw) => self.redraw(redraw, span),
            SentenceKind::Panel(panel) => self.panel_sentence(panel),
            SentenceKind::ClothAt(point) => {
                self.cloth_at(point, span);
                Vec::new()
            }
            SentenceKind::Step(step) => {
                let outer = self.open_step(Self::letters(&step.name), span);
                let ops = self.step_sentences(&step.body.sentences);
                self.step = outer;
                ops
            }
            SentenceKind::Note(text) => self.say(SayingKind::Note, text, None, span),
            SentenceKind::Why(text) => self.say(SayingKind::Why, text, None, span),
            SentenceKind::Slip(value, text) => self.say(SayingKind::Slip, text, Some(value), span),
            SentenceKind::Terms(names) => self.terms(names, span),
            SentenceKind::Try(trial) => self.trial(trial, span),
            SentenceKind::If(choice) => self.choose(choice, span),
            SentenceKind::Operation(operation) => {
                self.declare_operation(operation, span);
                Vec::new()
            }
            SentenceKind::Give(values) => self.give(values, span),
            SentenceKind::Piece(piece) => self.piece_sentence(piece, span),
            SentenceKind::TakePieces(name) => self.take_pieces(name),
            SentenceKind::Seam(seam) => self.seam_sentence(seam, span),
            SentenceKind::Cloth(cloth) => {
                self.cloth(cloth);
                Vec::new()
            }
            SentenceKind::Broken => Vec::new(),
        }
    }

    /// Whether the sentence stands at a file's left margin; says so where it does not.
    pub fn at_file_level(&mut self, word: &str, span: Span) -> bool {
        let fine = self.layers.len() == 1 && self.step.is_none() && self.operation.is_none();
        if !fine {
            let message =
                format!("`{word}` stands at the left margin of a draft, not inside a block.");
            self.fail(Diagnostic::error(Code::SentenceOutOfPlace, span, message));
        }
        fine
    }

    fn title(&mut self, text: &'a tree::Text, span: Span) -> Vec<Op> {
        if self.at_file_level("draft", span) && self.in_main() {
            self.program.title = Self::letters(text);
        }
        Vec::new()
    }

    fn cloth_at(&mut self, point: &'a tree::Expr, span: Span) {
        let (typed, fine) = self.unbroken(|c| c.wanted(point, &Kind::Point));
        self.broken |= !fine;
        // Where the place itself is wrong, what needs it is missing, and not wrong again.
        let node = if fine {
            typed.node
        } else {
            super::program::Node::Slot(self.slot())
        };
        match self
            .layers
            .iter_mut()
            .rev()
            .find(|layer| layer.kind == LayerKind::Panel)
        {
            Some(layer) => layer.cloth = Some(node),
            None => self.fail(Diagnostic::error(
                Code::SentenceOutOfPlace,
                span,
                "`cloth at` says where a panel's cloth is, so it stands inside a panel.",
            )),
        }
    }

    /// A `require` or a `check`; it is told at what must hold.
    fn claim(&mut self, claim: &'a tree::Claim, span: Span, word: &str) -> Option<ClaimCode> {
        let text = self.text(&claim.text).node;
        let condition = self.condition(&claim.condition);
        let of_measures_alone = self
            .reads
            .iter()
            .all(|slot| matches!(slot, Slot::Global(_)) || self.measure_slots.contains(slot));
        if self.broken {
            return None;
        }
        let site = self.plain_site(span, word);
        if let Some(info) = self.program.sites.get_mut(site.0 as usize) {
            info.value = claim.condition.span;
        }
        Some(ClaimCode {
            site,
            text,
            condition,
            of_measures_alone,
        })
    }

    fn draw(&mut self, draw: &'a tree::Draw, span: Span) -> Vec<Op> {
        let value = self.expression(&draw.value);
        let kind = match draw.kind {
            KindWord::Panel => return self.panel_value(&draw.names, value, span),
            KindWord::List => match (&value.kind, draw.names.len()) {
                (Kind::List(_), 1) => value.kind.clone(),
                (Kind::Unknown, _) => Kind::List(Box::new(Kind::Unknown)),
                _ => {
                    let message = self.kind_mismatch(&value, "a list", &[]);
                    self.fail(message);
                    Kind::List(Box::new(Kind::Unknown))
                }
            },
            word => word.kind().unwrap_or(Kind::Unknown),
        };
        let count = draw.names.len();
        let value = self.as_many(value, &kind, count, span);
        let kind = if kind == Kind::Curve && count == 1 && value.kind == Kind::Line {
            Kind::Curve
        } else {
            kind
        };
        let mut targets = Vec::with_capacity(count);
        for word in &draw.names {
            let slot = self.slot();
            let name = format!("{}{}", self.prefix(), word.text).into();
            targets.push(Target {
                name,
                kind: kind.clone(),
                slot,
                span: word.span,
                replaces: None,
            });
        }
        let op = self.drawing(targets, value, count > 1, span, &draw.names);
        let site = if let Op::Draw(drawing) = &op {
            Some(drawing.site)
        } else {
            None
        };
        let slots: Vec<Slot> = if let Op::Draw(drawing) = &op {
            drawing.targets.to_vec()
        } else {
            Vec::new()
        };
        for (word, slot) in draw.names.iter().zip(slots) {
            self.bind(
                word,
                Bound::Value {
                    slot,
                    kind: kind.clone(),
                    site,
                },
            );
        }
        vec![op]
    }

    fn redraw(&mut self, redraw: &'a tree::Redraw, span: Span) -> Vec<Op> {
        let value = self.expression(&redraw.value);
        let mut targets = Vec::new();
        let mut rebound = Vec::new();
        for word in &redraw.names {
            let Some((old, old_slot, kind)) = self.redrawable(word) else {
                continue;
            };
            let kind =
                if kind == Kind::Line && value_kind(&value, redraw.names.len()) == Kind::Curve {
                    Kind::Curve
                } else {
                    kind
                };
            let slot = self.slot();
            let name = format!("{}{}", self.prefix(), word.text).into();
            targets.push(Target {
                name,
                kind: kind.clone(),
                slot,
                span: word.span,
                replaces: Some(old_slot),
            });
            rebound.push((word, old, slot, kind));
        }
        if targets.len() < redraw.names.len() {
            self.broken = true;
            return Vec::new();
        }
        let count = targets.len();
        let kind = targets
            .iter()
            .try_fold(Kind::Unknown, |all, target| all.joined(&target.kind));
        let value = match kind {
            Some(kind) => self.as_many(value, &kind, count, span),
            None => {
                self.fail(Diagnostic::error(
                    Code::WrongKind,
                    span,
                    "The names redrawn together are of different kinds.",
                ));
                value
            }
        };
        let op = self.drawing(targets, value, count > 1, span, &redraw.names);
        let site = if let Op::Draw(drawing) = &op {
            Some(drawing.site)
        } else {
            None
        };
        for (word, old, slot, kind) in rebound {
            let binding = old.redrawn(Bound::Value { slot, kind, site }, word.span);
            if let Some(layer) = self.layer() {
                layer.names.insert(Arc::clone(&word.text), binding);
            }
        }
        vec![op]
    }

    /// The name a `redraw` replaces, from the panel under the hand.
    fn redrawable(&mut self, word: &tree::Word) -> Option<(super::scope::Binding, Slot, Kind)> {
        let is_open = self.layers.last().is_some_and(|layer| layer.is_open);
        let in_panel = self
            .layers
            .last()
            .is_some_and(|layer| layer.kind == LayerKind::Panel);
        let own = self
            .layers
            .last()
            .and_then(|layer| layer.names.get(&word.text))
            .cloned();
        match own.as_ref().map(|binding| (&binding.bound, binding)) {
            Some((Bound::Value { slot, kind, .. }, binding)) if in_panel => {
                Some((binding.clone(), *slot, kind.clone()))
            }
            Some((Bound::OnOneBranch(span, _), _)) => {
                let message = format!("`{}` is drawn only in one branch of an `if`.", word.text);
                let diagnostic = Diagnostic::error(Code::DrawnOnOneBranch, word.span, message)
                    .at("not drawn on every branch")
                    .see(*span, "drawn only when this holds");
                self.fail(diagnostic);
                None
            }
            None if is_open => {
                self.broken = true;
                None
            }
            _ => {
                let diagnostic = self.nothing_to_redraw(word, in_panel, own.map(|b| b.span));
                self.fail(diagnostic);
                None
            }
        }
    }

    fn nothing_to_redraw(
        &self,
        word: &tree::Word,
        in_panel: bool,
        own: Option<Span>,
    ) -> Diagnostic {
        let text = word.text.as_ref();
        if !in_panel {
            let message = format!("`{text}` cannot be redrawn here: a line is redrawn on a panel.");
            let mut diagnostic = Diagnostic::error(Code::NothingToRedraw, word.span, message)
                .help("Trace the panel, `panel back traced from back { … }`, and redraw the line on the fresh sheet.");
            if let Some(span) = own {
                diagnostic = diagnostic.see(span, format!("`{text}` is drawn here"));
            }
            return diagnostic;
        }
        let message = format!("There is no `{text}` on this panel to redraw.");
        let mut diagnostic = Diagnostic::error(Code::NothingToRedraw, word.span, message);
        let members: Vec<&str> = self
            .layers
            .last()
            .map(|l| l.names.keys().map(AsRef::as_ref).collect())
            .unwrap_or_default();
        if let Some(near) = super::scope::nearest_word(text, members) {
            diagnostic = diagnostic.help(format!("Did you mean `{near}`?"));
        } else {
            diagnostic = diagnostic.help(
                "To draw it for the first time, begin with its kind: `point`, `line`, `curve` …",
            );
        }
        diagnostic
    }

    /// Holds a value against `count` names of `kind`.
    fn as_many(&mut self, value: Typed, kind: &Kind, count: usize, span: Span) -> Typed {
        if count == 1 {
            if let (Kind::List(item), true) = (&value.kind, !matches!(kind, Kind::List(_)))
                && item.fits(kind)
            {
                let message = "This gives several values, and there is one name for them.";
                self.fail(
                    Diagnostic::error(Code::NamesAndValues, value.span, message)
                        .at("several values")
                        .help("Write as many names as values, separated by commas."),
                );
                return Typed::unknown(value.span);
            }
            if value.kind == Kind::Bearing && *kind == Kind::Direction {
                let message =
                    "A direction `along` or `square to` a line is settled only where it is used.";
                self.fail(
                    Diagnostic::error(Code::WrongKind, value.span, message)
                        .help("Name the line instead, or write `direction of LINE at POINT`."),
                );
                return Typed::unknown(value.span);
            }
            return self.must_be(value, kind);
        }
        match &value.kind {
            Kind::List(item) if item.fits(kind) => {
                if let super::program::Node::List(nodes) = &value.node
                    && nodes.len() != count
                {
                    self.count_differs(nodes.len(), count, span);
                } else if let Some(things) = things_of(&value)
                    && things != count
                {
                    self.count_differs(things, count, span);
                }
                value
            }
            Kind::Unknown => value,
            _ => {
                let message = format!(
                    "There are {count} names, and this gives {}.",
                    value.kind.with_article()
                );
                self.fail(
                    Diagnostic::error(Code::NamesAndValues, value.span, message)
                        .at(value.kind.with_article())
                        .help("Write as many names as values."),
                );
                Typed::unknown(value.span)
            }
        }
    }

    fn count_differs(&mut self, values: usize, names: usize, span: Span) {
        let message = format!("There are {names} names for {values} values.");
        self.fail(
            Diagnostic::error(Code::NamesAndValues, span, message)
                .help("Write as many names as values."),
        );
    }

    fn drawing(
        &mut self,
        targets: Vec<Target>,
        value: Typed,
        apart: bool,
        span: Span,
        names: &[tree::Word],
    ) -> Op {
        let slots: Box<[Slot]> = targets.iter().map(|target| target.slot).collect();
        let mut reads = std::mem::take(&mut self.reads);
        reads.sort();
        reads.dedup();
        let first = names.first().map_or("", |word| word.text.as_ref());
        let path = self.site_path();
        let id = if path.is_empty() {
            first.to_owned()
        } else {
            format!("{path}/{first}")
        };
        let panel = self.panel();
        let site = self.site(Site {
            id,
            span,
            targets,
            value: value.span,
            form: value.form,
            step: self.step,
            reads,
            panel,
        });
        Op::Draw(Box::new(Drawing {
            site,
            targets: slots,
            value: value.node,
            apart,
        }))
    }

    fn say(
        &mut self,
        kind: SayingKind,
        text: &'a tree::Text,
        value: Option<&'a tree::Expr>,
        span: Span,
    ) -> Vec<Op> {
        let slip = value.map(|value| {
            let typed = self.expression(value);
            if !matches!(typed.kind, Kind::Quantity(_) | Kind::Unknown) {
                let message = self.kind_mismatch(&typed, "a figure", &[]);
                self.fail(message);
            }
            (typed.node, typed.kind)
        });
        let text = self.text(text).node;
        let site = self.plain_site(span, "say");
        vec![Op::Say(Box::new(Saying {
            kind,
            site,
            text,
            slip,
        }))]
    }

    fn terms(&mut self, names: &'a [tree::Name], span: Span) -> Vec<Op> {
        let words: Vec<String> = names
            .iter()
            .map(|name| self.said(name.span).replace(['_', '.'], " "))
            .collect();
        for name in names {
            // A term is a word of the trade; where it is a name too, it has been used.
            if let [word] = name.words.as_slice()
                && let Some(binding) = self.find(&word.text)
            {
                binding.used.set(true);
            }
        }
        let text = super::program::Node::Known(crate::phrase::Value::Text(words.join(", ").into()));
        let site = self.plain_site(span, "terms");
        vec![Op::Say(Box::new(Saying {
            kind: SayingKind::Terms,
            site,
            text,
            slip: None,
        }))]
    }

    fn trial(&mut self, trial: &'a tree::Try, span: Span) -> Vec<Op> {
        let low = self.expression(&trial.low);
        let kind = match &low.kind {
            Kind::Quantity(_) | Kind::Unknown => low.kind.clone(),
            _ => {
                let message = self.kind_mismatch(&low, "a length, an angle or a number", &[]);
                self.fail(message);
                Kind::Unknown
            }
        };
        let high = self.wanted(&trial.high, &kind);
        let bounds_fine = !self.broken;
        let slot = self.slot();
        let site_reads = std::mem::take(&mut self.reads);
        let name: Arc<str> = format!("{}{}", self.prefix(), trial.name.text).into();
        let target = Target {
            name,
            kind: kind.clone(),
            slot,
            span: trial.name.span,
            replaces: None,
        };
        let path = self.site_path();
        let id = if path.is_empty() {
            trial.name.text.to_string()
        } else {
            format!("{path}/{}", trial.name.text)
        };
        let panel = self.panel();
        let site = self.site(Site {
            id,
            span,
            targets: vec![target],
            value: trial.until.span,
            form: None,
            step: self.step,
            reads: site_reads,
            panel,
        });
        self.bind(
            &trial.name,
            Bound::Value {
                slot,
                kind: kind.clone(),
                site: Some(site),
            },
        );
        let body = self.sentences(&trial.body.sentences);
        self.broken = false;
        let equality = self.equality(&trial.until);
        let Some(equality) = equality.filter(|_| bounds_fine && !self.broken) else {
            self.broken = true;
            return Vec::new();
        };
        let Kind::Quantity(dimension) = kind else {
            return Vec::new();
        };
        let trial = Trial {
            site,
            slot,
            dimension,
            low: low.node,
            high: high.node,
            body,
            left: equality.left,
            right: equality.right,
            than: equality.than,
            sides: equality.dimension,
            wanted: trial.until.span,
            subject: equality.subject,
        };
        vec![Op::Try(Box::new(trial))]
    }

    fn give(&mut self, values: &'a [tree::Expr], span: Span) -> Vec<Op> {
        let typed: Vec<Typed> = values.iter().map(|value| self.expression(value)).collect();
        let Some(frame) = self.gives.pop() else {
            let message = "`give` ends an operation or an `each`, and here is neither.";
            self.fail(Diagnostic::error(Code::SentenceOutOfPlace, span, message));
            return Vec::new();
        };
        let (frame, ops) = match frame {
            GiveFrame::Each { .. } => (self.give_in_each(typed, span), Vec::new()),
            GiveFrame::Operation { gives, given } => {
                self.give_in_operation(gives, given, typed, values, span)
            }
        };
        self.gives.push(frame);
        ops
    }

    fn give_in_each(&mut self, typed: Vec<Typed>, span: Span) -> GiveFrame {
        if self
            .layers
            .last()
            .is_none_or(|layer| layer.kind != LayerKind::Each)
        {
            self.fail(Diagnostic::error(
                Code::SentenceOutOfPlace,
                span,
                "`give` stands at the end of the `each` block itself.",
            ));
        }
        let mut typed = typed.into_iter();
        match (typed.next(), typed.next()) {
            (Some(one), None) => GiveFrame::Each {
                value: Some((one.node, one.kind, span)),
            },
            _ => {
                self.fail(
                    Diagnostic::error(
                        Code::NamesAndValues,
                        span,
                        "`each` collects one value each time.",
                    )
                    .help("To collect several, give a list: `give [a, b]`."),
                );
                GiveFrame::Each {
                    value: Some((
                        super::program::Node::Known(crate::phrase::Value::Absent),
                        Kind::Unknown,
                        span,
                    )),
                }
            }
        }
    }

    fn give_in_operation(
        &mut self,
        gives: Kind,
        given: Option<Vec<Given>>,
        typed: Vec<Typed>,
        values: &[tree::Expr],
        span: Span,
    ) -> (GiveFrame, Vec<Op>) {
        let mut results = Vec::new();
        let mut nodes = Vec::new();
        if gives == Kind::Panel {
            for (value, expr) in typed.into_iter().zip(values) {
                self.give_member(value, expr, &mut results, &mut nodes);
            }
            if results.len() > super::panel::MOST_GIVEN {
                let message = format!(
                    "This operation gives a panel of {} names; {} is the most.",
                    results.len(),
                    super::panel::MOST_GIVEN
                );
                self.fail(Diagnostic::error(Code::TooLarge, span, message));
                (results, nodes) = (Vec::new(), Vec::new());
            }
        } else {
            let mut values = typed.into_iter();
            match (values.next(), values.next()) {
                (Some(one), None) => {
                    let one = self.must_be(one, &gives);
                    results.push(Given {
                        name: "".into(),
                        kind: gives.clone(),
                    });
                    nodes.push(one.node);
                }
                _ => {
                    let message =
                        format!("This operation gives {}, one value.", gives.with_article());
                    self.fail(
                        Diagnostic::error(Code::NamesAndValues, span, message)
                            .help("Several results are a panel: write `gives panel`."),
                    );
                }
            }
        }
        if let Some(first) = &given {
            let same = first.len() == results.len()
                && first
                    .iter()
                    .zip(&results)
                    .all(|(a, b)| a.name == b.name && b.kind.fits(&a.kind));
            if !same {
                self.fail(Diagnostic::error(
                    Code::NamesAndValues,
                    span,
                    "Every `give` of an operation gives the same names, in the same order.",
                ));
            }
        }
        let ops = nodes
            .into_iter()
            .enumerate()
            .map(|(result, value)| Giving { value, result })
            .collect();
        let frame = GiveFrame::Operation {
            gives,
            given: given.or(Some(results)),
        };
        (frame, vec![Op::Give(ops)])
    }

    fn give_member(
        &mut self,
        value: Typed,
        expr: &tree::Expr,
        results: &mut Vec<Given>,
        nodes: &mut Vec<super::program::Node>,
    ) {
        let tree::ExprKind::Name(name) = &expr.kind else {
            let message = "The results of a panel are given by name.";
            self.fail(
                Diagnostic::error(Code::NamesAndValues, expr.span, message)
                    .help("Draw it under a name first, and give that name."),
            );
            return;
        };
        let Some(last) = name.words.last() else {
            return;
        };
        match &value.shape {
            Some(shape) => {
                let members = shape
                    .given
                    .iter()
                    .zip(shape.drawn_nodes())
                    .map(|((path, kind), node)| (path.clone(), kind.clone(), node));
                let shared =
                    shape
                        .shared
                        .iter()
                        .filter_map(|(path, binding)| match &binding.bound {
                            Bound::Value { slot, kind, .. } => Some((
                                path.clone(),
                                kind.clone(),
                                super::program::Node::Slot(*slot),
                            )),
                            _ => None,
                        });
                for (path, kind, node) in members.chain(shared).collect::<Vec<_>>() {
                    results.push(Given {
                        name: format!("{}.{path}", last.text).into(),
                        kind,
                    });
                    nodes.push(node);
                }
            }
            None => {
                results.push(Given {
                    name: Arc::clone(&last.text),
                    kind: value.kind,
                });
                nodes.push(value.node);
            }
        }
    }

    fn cloth(&mut self, cloth: &'a tree::Cloth) {
        let label = self.maybe_text(cloth.label.as_ref());
        let mut settings = Vec::new();
        for setting in &cloth.settings {
            let name = setting.name.text.as_ref();
            let kind = match name {
                "width" | "thickness" | "stripe" => Kind::LENGTH,
                "warp" | "weft" => Kind::NUMBER,
                "nap" => Kind::Answer,
                _ => {
                    let words = ["width", "thickness", "stripe", "warp", "weft", "nap"];
                    let near = super::scope::nearest_word(name, words);
                    let help = near.map_or(
                        "It has width, thickness, stripe, warp, weft and nap.".to_owned(),
                        |near| format!("Did you mean `{near}`?"),
                    );
                    self.fail(
                        Diagnostic::error(
                            Code::UnknownOption,
                            setting.name.span,
                            format!("A cloth has no `{name}`."),
                        )
                        .help(help),
                    );
                    continue;
                }
            };
            let typed = self.wanted(&setting.value, &kind);
            settings.push((name.to_owned(), typed.node));
        }
        if !self.broken {
            self.program.cloths.push(ClothCode {
                name: cloth.name.text.to_string(),
                label,
                settings,
            });
        }
    }
}

/// How many values a phrase gives that turns or moves what it is given.
fn things_of(value: &Typed) -> Option<usize> {
    let super::program::Node::Call(call) = &value.node else {
        return None;
    };
    match call.args.first() {
        Some(Some(super::program::Node::List(items))) if matches!(value.kind, Kind::List(_)) => {
            Some(items.len())
        }
        _ => None,
    }
}

fn value_kind(value: &Typed, names: usize) -> Kind {
    match &value.kind {
        Kind::List(item) if names > 1 => (**item).clone(),
        kind => kind.clone(),
    }
}

fn is_words(kind: &SentenceKind) -> bool {
    matches!(
        kind,
        SentenceKind::Note(_)
            | SentenceKind::Why(_)
            | SentenceKind::Slip(..)
            | SentenceKind::Terms(_)
    )
}

fn has_block(kind: &SentenceKind) -> bool {
    matches!(
        kind,
        SentenceKind::Panel(_)
            | SentenceKind::Step(_)
            | SentenceKind::If(_)
            | SentenceKind::Import(_)
    )
}
