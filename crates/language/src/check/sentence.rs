//! Sentences: each becomes what is done when the draft is drawn.

use super::checker::{Checker, Typed};
use super::program::{ClaimCode, ClothCode, Op, Saying, SayingKind, Slot, Target, Trial};
use super::range::plain_kind;
use super::scope::{Bound, LayerKind};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, ExprKind, KindWord, Sentence, SentenceKind};

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
    pub(super) fn sentences(&mut self, sentences: &'a [Sentence]) -> Vec<Op> {
        let mut ops = Vec::with_capacity(sentences.len());
        for sentence in sentences {
            if self.here.refused {
                break;
            }
            self.here.reads.clear();
            let outer = std::mem::replace(&mut self.here.broken, false);
            let told = self.diagnostics.len();
            let done = self.sentence(sentence);
            self.mend_sentence(sentence, told);
            if self.is_wrong_itself(sentence) {
                self.lose_names(sentence);
                self.lose_ops(&done);
            } else if !self.here.broken || has_block(&sentence.kind) {
                // What a block did stands even where one sentence in it is wrong.
                ops.extend(done);
            }
            self.here.broken = outer;
        }
        ops
    }

    /// A step's words stand before or between what they speak of. They say the figures of their own place; what names
    /// something that is drawn further down is filled in when all of the step is drawn.
    fn step_sentences(&mut self, sentences: &'a [Sentence]) -> Vec<Op> {
        let mut ops = Vec::with_capacity(sentences.len());
        let mut words: Vec<(&Sentence, Option<Vec<Op>>)> = Vec::new();
        for sentence in sentences {
            let one = std::slice::from_ref(sentence);
            if !is_words(&sentence.kind) {
                ops.extend(self.sentences(one));
                continue;
            }
            let (told, sites) = (self.diagnostics.len(), self.program.sites.len());
            let said = self.sentences(one);
            let is_fine = self.diagnostics.len() == told;
            if !is_fine {
                self.diagnostics.truncate(told);
                self.program.sites.truncate(sites);
            }
            words.push((sentence, is_fine.then_some(said)));
        }
        for (sentence, said) in words {
            match said {
                Some(said) => ops.extend(said),
                None => ops.extend(self.sentences(std::slice::from_ref(sentence))),
            }
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
            SentenceKind::Require(claim) => {
                let told = self.claim(claim, span);
                // What an operation cannot be laid over is told by the call alone.
                self.here.refused |= self.here.operation.is_some()
                    && !self.here.is_declared
                    && !self.here.broken
                    && self.settled(&claim.condition) == Some(false);
                told.map(|c| Op::Require(Box::new(c))).into_iter().collect()
            }
            SentenceKind::Check(claim) => self
                .claim(claim, span)
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
                let name = self.numbered_words(&step.name);
                let outer = self.open_step(name, span);
                let ops = self.step_sentences(&step.body.sentences);
                self.here.step = outer;
                ops
            }
            SentenceKind::Note(text) => self.say(SayingKind::Note, text, None, span),
            SentenceKind::Why(text) => self.say(SayingKind::Why, text, None, span),
            SentenceKind::Caution(text) => self.say(SayingKind::Caution, text, None, span),
            SentenceKind::Slip(slip) => self.say(SayingKind::Slip, &slip.text, Some(slip), span),
            SentenceKind::Terms(names) => self.terms(names, span),
            SentenceKind::Try(trial) => self.trial(trial, span),
            SentenceKind::Each(each) => self.lay_out(each),
            SentenceKind::Carry(carry) => self.carry(carry, span),
            SentenceKind::If(choice) => self.choose(choice, span),
            SentenceKind::Operation(operation) => {
                self.declare_operation(operation, span);
                Vec::new()
            }
            SentenceKind::Give(values) => self.give(values, span),
            SentenceKind::Piece(piece) => self.piece_sentence(piece, span),
            SentenceKind::Take(take) => self.take(take),
            SentenceKind::Seam(seam) => self.seam_sentence(seam, span),
            SentenceKind::Order(names) => {
                self.order(names, span);
                Vec::new()
            }
            SentenceKind::Cloth(cloth) => {
                self.cloth(cloth);
                Vec::new()
            }
            SentenceKind::Broken(lost) => self.lose(lost, span),
        }
    }

    /// Whether the sentence stands at a file's left margin; says so where it does not.
    pub(super) fn at_file_level(&mut self, word: &str, span: Span) -> bool {
        let fine = self.here.layers.len() == 1
            && self.here.step.is_none()
            && self.here.operation.is_none();
        if !fine {
            let message =
                format!("`{word}` stands at the left margin of a draft, not inside a block.");
            self.fail(Diagnostic::error(Code::SentenceOutOfPlace, span, message));
        }
        fine
    }

    /// Whether a sentence that a file has once is there for the first time; says so where it is not.
    pub(super) fn first_time(&mut self, word: &'static str, span: Span) -> bool {
        let Some(&first) = self.here.file.said_once.get(word) else {
            self.here.file.said_once.insert(word, span);
            return true;
        };
        let message = format!("A draft has one `{word}`, and this is a second.");
        let diagnostic = Diagnostic::error(Code::SentenceOutOfPlace, span, message);
        self.fail(
            diagnostic
                .see(first, "the first is here")
                .help("Take one of them out."),
        );
        false
    }

    fn title(&mut self, text: &'a tree::Text, span: Span) -> Vec<Op> {
        if self.at_file_level("draft", span) && self.first_time("draft", span) {
            self.here.file.title = Self::letters(text);
            if self.in_main() {
                self.program.title.clone_from(&self.here.file.title);
            }
        }
        Vec::new()
    }

    fn cloth_at(&mut self, point: &'a tree::Expr, span: Span) {
        let (typed, fine) = self.unbroken(|c| c.wanted(point, &Kind::Point));
        self.here.broken |= !fine;
        // Where the place itself is wrong, what needs it is missing, and not wrong again.
        let node = if fine {
            typed.node
        } else {
            super::program::Node::Slot(self.slot())
        };
        match self
            .here
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
    fn claim(&mut self, claim: &'a tree::Claim, span: Span) -> Option<ClaimCode> {
        let text = self.text(&claim.text).node;
        let condition = self.condition(&claim.condition);
        if self.here.broken {
            return None;
        }
        let site = self.plain_site(span);
        if let Some(info) = self.program.site_mut(site) {
            info.value = claim.condition.span;
        }
        let import = self.here.file.prefix.trim_end_matches('.');
        let import = match self.here.file.title.trim() {
            _ if import.is_empty() || self.here.operation.is_some() => String::new(),
            "" => format!("`{import}`"),
            title => title.to_owned(),
        };
        Some(ClaimCode {
            site,
            import,
            text,
            condition,
        })
    }

    fn say(
        &mut self,
        kind: SayingKind,
        text: &'a tree::Text,
        slip: Option<&'a tree::Slip>,
        span: Span,
    ) -> Vec<Op> {
        let slip = slip.map(|slip| {
            let of = self.expression(&slip.of);
            let kind = match of.kind {
                Kind::Line | Kind::Curve => Kind::LENGTH,
                Kind::Quantity(_) | Kind::Unknown => of.kind.clone(),
                _ => {
                    let message =
                        self.kind_mismatch(&of, "a figure, or a line that is measured", &[]);
                    self.fail(message);
                    Kind::Unknown
                }
            };
            let figure = self.wanted(&slip.figure, &kind);
            (self.measured_words(&slip.of, &of), figure.node, figure.kind)
        });
        let text = self.text(text).node;
        if let (SayingKind::Note, Some(step)) = (kind, self.here.step) {
            self.noted.insert(step);
        }
        let site = self.plain_site(span);
        vec![Op::Say(Box::new(Saying {
            kind,
            site,
            text,
            slip,
        }))]
    }

    /// What a slip is made in, in words: "the hip quarter", "the length of the hem".
    fn measured_words(&self, of: &'a tree::Expr, typed: &Typed) -> String {
        let words = self.spoken(of);
        match typed.kind {
            Kind::Line | Kind::Curve => format!("the length of {words}"),
            _ => words,
        }
    }

    /// An expression as it is said: "the run from the neck point to the tip", "overlap + 2 × facing".
    fn spoken(&self, expr: &'a tree::Expr) -> String {
        let all = |many: &'a [tree::Expr]| {
            let said: Vec<String> = many.iter().map(|one| self.spoken(one)).collect();
            crate::voice::list(&said)
        };
        match &expr.kind {
            ExprKind::Name(_) => crate::voice::the(self.said(expr.span)),
            ExprKind::Bracketed(inner) => self.spoken(inner),
            ExprKind::Of { head, operand } => {
                let head = crate::voice::name(&head.text);
                format!("the {head} of {}", self.spoken(operand))
            }
            ExprKind::Sum { .. } => {
                let signs = self.said(expr.span).split(' ').map(|word| match word {
                    "*" => "×",
                    "/" => "÷",
                    "-" => "−",
                    word => word,
                });
                crate::voice::name(&signs.collect::<Vec<_>>().join(" "))
            }
            ExprKind::Phrase(phrase) => {
                let lead = match &phrase.lead {
                    tree::Lead::Nothing => String::new(),
                    tree::Lead::Head { word, direct } => {
                        let head = crate::voice::name(&word.text);
                        format!("the {head} {}", all(direct))
                    }
                    tree::Lead::Value(value) => self.spoken(value),
                };
                let clauses = phrase.clauses.iter().map(|clause| {
                    let arguments = all(&clause.arguments);
                    format!("{} {arguments}", clause.link.word())
                });
                let words: Vec<String> = std::iter::once(lead.trim_end().to_owned())
                    .chain(clauses)
                    .collect();
                words.join(" ")
            }
            _ => crate::voice::letters(self.said(expr.span)),
        }
    }

    fn terms(&mut self, names: &'a [tree::Name], span: Span) -> Vec<Op> {
        let words: Vec<String> = names
            .iter()
            .map(|name| crate::voice::letters(self.said(name.span)))
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
        let site = self.plain_site(span);
        vec![Op::Say(Box::new(Saying {
            kind: SayingKind::Terms,
            site,
            text,
            slip: None,
        }))]
    }

    fn trial(&mut self, trial: &'a tree::Try, span: Span) -> Vec<Op> {
        let low = self.expression(&trial.low);
        let low = match plain_kind(&trial.high) {
            Some(kind) if low.is_figure && kind != Kind::NUMBER => self.must_be(low, &kind),
            _ => low,
        };
        let kind = match &low.kind {
            Kind::Quantity(_) | Kind::Unknown => low.kind.clone(),
            _ => {
                let message = self.kind_mismatch(&low, "a length, an angle or a number", &[]);
                self.fail(message);
                Kind::Unknown
            }
        };
        let high = self.wanted(&trial.high, &kind);
        let bounds_fine = !self.here.broken;
        let slot = self.slot();
        let name = self.drawn_name(&trial.name.text);
        let target = Target::new(name, kind.clone(), slot, trial.name.span);
        let site = self.site(span, vec![target], trial.until.span, None);
        self.bind(
            &trial.name,
            Bound::Value {
                slot,
                kind: kind.clone(),
                site: Some(site),
            },
        );
        let body = self.sentences(&trial.body.sentences);
        self.here.broken = false;
        let otherwise = trial.otherwise.as_ref().map(|text| self.text(text).node);
        let (equality, reads) = self.reading(|c| c.equality(&trial.until));
        // What was there before is read by the condition as well; what the block draws is its own.
        let earlier = reads.into_iter().filter(|read| match (read, slot) {
            (Slot::Local(read), Slot::Local(own)) => *read < own,
            _ => true,
        });
        if let Some(site) = self.program.site_mut(site) {
            site.reads.extend(earlier);
        }
        let Some(equality) = equality.filter(|_| bounds_fine && !self.here.broken) else {
            self.here.broken = true;
            self.lose_ops(&body);
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
            otherwise,
        };
        vec![Op::Try(Box::new(trial))]
    }

    fn cloth(&mut self, cloth: &'a tree::Cloth) {
        let label = self.maybe_text(cloth.label.as_ref());
        let mut settings = Vec::new();
        for setting in &cloth.settings {
            let name = setting.name.text.as_ref();
            let kind = match name {
                "width" | "thickness" | "stripe" | "plaid" => Kind::LENGTH,
                "warp" | "weft" => Kind::NUMBER,
                "nap" | "one_way" => Kind::Answer,
                _ => {
                    let words = [
                        "width",
                        "thickness",
                        "stripe",
                        "plaid",
                        "warp",
                        "weft",
                        "nap",
                        "one_way",
                    ];
                    let near = super::scope::nearest_word(name, words);
                    let message = format!("A cloth has no `{name}`.");
                    let told = Diagnostic::error(Code::UnknownOption, setting.name.span, message);
                    self.fail(match near {
                        Some(near) => told.meant(near),
                        None => told.help(
                            "It has width, thickness, stripe, plaid, warp, weft, nap and one_way.",
                        ),
                    });
                    continue;
                }
            };
            let typed = self.wanted(&setting.value, &kind);
            settings.push((name.to_owned(), typed.node));
        }
        if self.here.broken {
            self.lost_cloths.insert(cloth.name.text.to_string());
        } else {
            self.program.cloths.push(ClothCode {
                name: cloth.name.text.to_string(),
                label,
                settings,
            });
        }
    }
}

fn is_words(kind: &SentenceKind) -> bool {
    matches!(
        kind,
        SentenceKind::Note(_)
            | SentenceKind::Why(_)
            | SentenceKind::Caution(_)
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
            | SentenceKind::Each(_)
            | SentenceKind::Import(_)
    )
}
