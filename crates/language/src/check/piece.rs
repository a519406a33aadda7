//! Pieces: which lines of a panel make one, and how it is cut. Bare names inside a piece are its edges, then the panel.

use super::checker::Checker;
use super::mend::Frame;
use super::offers::OfferSentence;
use super::program::{ButtonCode, LineCode, MarkCode, Node, Op, PieceCode, PieceOp, TextNode};
use super::says::Saying;
use super::scope::{Bound, Layer, LayerKind, Sheet, nearest_word};
use crate::kind::Kind;
use crate::pattern::spec::CornerTreatment;
use crate::report::{Code, Diagnostic, Span};
use crate::sewing::{EdgeRef, PieceSays};
use crate::syntax::tree::{self, PieceSentence, PieceSentenceKind, SentenceKind};
use crate::voice;
use std::rc::Rc;

/// Most pieces traced one from another.
const MOST_TRACED: usize = 64;

/// A piece being checked.
#[derive(Clone)]
pub(super) struct Making {
    /// The panel's full name.
    pub(super) panel: String,
    /// Its edges as outlined so far, in any branch.
    pub(super) edges: Vec<MadeEdge>,
    /// What is being said is of a piece that another is traced from: what it says of an edge that the outline has lost
    /// since is passed over.
    pub(super) is_base: bool,
    /// A sentence of it is wrong.
    pub(super) is_broken: bool,
}

/// An edge of a piece being checked.
#[derive(Clone)]
pub(super) struct MadeEdge {
    /// Its name in the piece.
    pub(super) name: String,
    /// The panel line's full name.
    pub(super) line: String,
    value: Node,
}

/// The words printed on a piece, and the number of the copy that they belong to.
type Label<'a> = (&'a tree::Text, Option<String>);

impl Making {
    /// An edge that the outline names.
    pub(super) fn note(&mut self, name: &str, line: &str, value: &Node) {
        let known = |edge: &&mut MadeEdge| edge.name == name && edge.line == line;
        match self.edges.iter_mut().find(known) {
            Some(edge) => edge.value = value.clone(),
            None => self.edges.push(MadeEdge {
                name: name.to_owned(),
                line: line.to_owned(),
                value: value.clone(),
            }),
        }
    }

    /// Whether an edge bears that name.
    pub(super) fn has(&self, name: &str) -> bool {
        self.edges.iter().any(|edge| edge.name == name)
    }
}

impl<'a> Checker<'a> {
    /// `piece …`
    pub(super) fn piece_sentence(&mut self, piece: &'a tree::Piece, span: Span) -> Vec<Op> {
        let offered = OfferSentence::Piece(piece, span);
        if self.waits(offered) || self.offer(offered) {
            return Vec::new();
        }
        self.lower_piece(piece, span, None)
    }

    /// Checks a piece here and now; `given` is the panel an operation gave, where the piece is offered by one.
    pub(super) fn lower_piece(
        &mut self,
        piece: &'a tree::Piece,
        span: Span,
        given: Option<&Rc<Sheet>>,
    ) -> Vec<Op> {
        let name = self.piece_called(&piece.name);
        let home = self.taken_from();
        self.piece_homes.entry(name.clone()).or_insert(home);
        if let Some(&first) = self.piece_names.get(&name) {
            let diagnostic = Diagnostic::error(
                Code::NameDrawnTwice,
                piece.name.span,
                format!("There is a piece `{name}` already."),
            );
            self.fail(diagnostic.see(first, "declared here first"));
        }
        self.piece_names.insert(name.clone(), piece.name.span);
        let mut making = Making {
            panel: String::new(),
            edges: Vec::new(),
            is_base: false,
            is_broken: self.is_wrong(span),
        };
        let mut sentences = Vec::new();
        let label = self.say_piece(piece, given, &mut making, &mut sentences, 0);
        self.finish_piece(piece, name, label, span, making, sentences)
    }

    /// What a piece says, what it is traced from first; its label.
    fn say_piece(
        &mut self,
        piece: &'a tree::Piece,
        given: Option<&Rc<Sheet>>,
        making: &mut Making,
        sentences: &mut Vec<PieceOp>,
        depth: usize,
    ) -> Option<Label<'a>> {
        let label = piece.label.as_ref();
        let mut label = label.map(|text| (text, self.number_after(text)));
        if piece.traced_from.is_some() && depth >= MOST_TRACED {
            let message =
                format!("Pieces are traced one from another more than {MOST_TRACED} times here.");
            let help = "Trace it from a piece nearer to the first.";
            self.fail(Diagnostic::error(Code::TooLarge, piece.name.span, message).help(help));
            return label;
        }
        if let Some(from) = &piece.traced_from
            && self.is_on_open_panel(from)
        {
            // What should have drawn the panel is told already.
            self.here.broken = true;
            return label;
        }
        if let Some(from) = &piece.traced_from
            && let Some((base, sheet, home, passed)) = self.offered_piece(from)
        {
            let outer = std::mem::replace(&mut making.is_base, true);
            let mut lower = |c: &mut Self| {
                let below = c.say_piece(base, sheet.as_ref(), making, sentences, depth + 1);
                label = label.take().or(below);
            };
            match (&home, &sheet) {
                (Some((home, copy)), Some(sheet)) => {
                    self.at_home(home, sheet, (passed, copy.clone()), lower);
                }
                _ => lower(self),
            }
            making.is_base = outer;
            if piece.of.is_none() {
                let panel = making.panel.clone();
                self.own_sentences(piece, &panel, making, sentences);
                return label;
            }
        }
        if let Some(panel) = self.panel_of(piece, given) {
            sentences.extend(self.piece_sentences(piece, &panel, making));
        }
        label
    }

    fn finish_piece(
        &mut self,
        piece: &'a tree::Piece,
        name: String,
        label: Option<Label<'a>>,
        span: Span,
        making: Making,
        sentences: Vec<PieceOp>,
    ) -> Vec<Op> {
        let label = match label {
            Some((text, number)) => {
                let own = match number {
                    Some(number) => {
                        let label = format!("{}{number}", Self::letters(text));
                        Node::Known(crate::phrase::Value::Text(label.into()))
                    }
                    None => self.text(text).node,
                };
                // Two imports of one file, or two panels of one act, have pieces of one label; paper tells them apart.
                match self.whose(&piece.name) {
                    Some(whose) => {
                        let whose = format!(" ({})", voice::letters(whose));
                        let own = TextNode::Value(own, Kind::Text);
                        Node::Text([own, TextNode::Letters(whose.into())].into())
                    }
                    None => own,
                }
            }
            None => Node::Known(crate::phrase::Value::Text(
                voice::capital(&voice::letters(&name)).into(),
            )),
        };
        let is_unread = |one: &PieceSentence| matches!(one.kind, PieceSentenceKind::Broken);
        if making.edges.is_empty() && piece.sentences.iter().any(is_unread) {
            // Its outline may be the sentence that could not be read.
            self.here.broken = true;
        }
        if making.edges.is_empty() && !self.here.broken {
            let message = format!("Piece `{name}` has no outline.");
            self.fail(
                Diagnostic::error(Code::OutlineOpen, piece.name.span, message)
                    .help("Name its edges in order: `outline neck, shoulder, armhole, …`."),
            );
        }
        let code = PieceCode {
            taken: self.taken(span),
            name,
            label,
            panel: making.panel,
            span,
            head: Span {
                start: span.start,
                ..piece.name.span
            },
            sentences,
            is_broken: making.is_broken || self.here.broken,
        };
        if self.here.broken {
            self.lose_piece(&code.name, span);
            self.program.broken_pieces.push(code);
            return Vec::new();
        }
        let number = self.program.pieces.len();
        self.program.pieces.push(code);
        vec![Op::Piece(number)]
    }

    /// Sentences that alter a traced piece, in the taker's own names, on the panel it was traced with.
    fn own_sentences(
        &mut self,
        piece: &'a tree::Piece,
        panel: &str,
        making: &mut Making,
        sentences: &mut Vec<PieceOp>,
    ) {
        let mut layer = Layer::new(LayerKind::Panel, panel, format!("{panel}."));
        for edge in &making.edges {
            if let Node::Slot(slot) = &edge.value {
                let bound = Bound::Value {
                    slot: *slot,
                    kind: Kind::Curve,
                    site: None,
                };
                layer.put(
                    edge.name.as_str().into(),
                    super::scope::Binding::new(bound, piece.name.span),
                );
            }
        }
        self.here.layers.push(layer);
        for sentence in &piece.sentences {
            match self.piece_op(sentence, making) {
                // A new outline stands where the old one stood, so that what was said of its edges still holds.
                Some(op) if op.outline().is_some() => {
                    sentences.retain(|old| old.outline().is_none());
                    sentences.insert(0, op);
                }
                Some(op) => sentences.push(op),
                None => {}
            }
        }
        self.here.layers.pop();
    }

    /// The panel a piece takes its lines from.
    fn panel_of(&mut self, piece: &'a tree::Piece, given: Option<&Rc<Sheet>>) -> Option<Rc<Sheet>> {
        if let Some(of) = &piece.of {
            let own = given.filter(|sheet| !sheet.is_file);
            if let (Some(given), [word]) = (own, of.words.as_slice())
                && let Some(Bound::Sheet(inner)) = given.members.get(&word.text).map(|b| &b.bound)
            {
                return Some(Rc::clone(inner));
            }
            return self.sheet_named(of);
        }
        if let Some(given) = given.filter(|sheet| !sheet.is_file) {
            let inner = given.members.get(&piece.name.text).map(|b| b.bound.clone());
            return Some(if let Some(Bound::Sheet(inner)) = inner {
                inner
            } else {
                Rc::clone(given)
            });
        }
        let name = tree::Name {
            words: vec![piece.name.clone()],
            span: piece.name.span,
        };
        if self.sees(&piece.name.text).is_some() {
            return self.sheet_named(&name);
        }
        let panels = self.visible().filter(|word| {
            self.find(word)
                .is_some_and(|b| matches!(b.bound, Bound::Sheet(_)))
        });
        let near = nearest_word(&piece.name.text, panels).map(str::to_owned);
        let message = format!(
            "There is no panel `{}` for this piece to take its lines from.",
            piece.name.text
        );
        let told = Diagnostic::error(Code::UnknownEdge, piece.name.span, message);
        self.fail(match near {
            Some(near) => told.meant(&near),
            None => told.help(format!(
                "Name the panel: `piece {} of PANEL`.",
                piece.name.text
            )),
        });
        None
    }

    fn piece_sentences(
        &mut self,
        piece: &'a tree::Piece,
        panel: &Rc<Sheet>,
        making: &mut Making,
    ) -> Vec<PieceOp> {
        making.panel = panel.full_name.clone();
        let mut layer = Layer::new(
            LayerKind::Panel,
            piece.name.text.as_ref(),
            format!("{}.", panel.full_name),
        );
        layer.names = panel.members.clone();
        layer.cloth = panel.cloth.clone();
        // What should have drawn the panel is told already, and not again at each of its lines.
        layer.is_open = panel.is_open;
        making.is_broken |= panel.is_open;
        self.here.layers.push(layer);
        let ops = self.piece_ops(&piece.sentences, making);
        self.here.layers.pop();
        ops
    }

    fn piece_ops(&mut self, sentences: &'a [PieceSentence], making: &mut Making) -> Vec<PieceOp> {
        let ops = sentences.iter();
        ops.filter_map(|sentence| self.piece_op(sentence, making))
            .collect()
    }

    fn piece_op(&mut self, sentence: &'a PieceSentence, making: &mut Making) -> Option<PieceOp> {
        let told = self.diagnostics.len();
        let op = self.said_of_piece(sentence, making);
        self.mend(sentence.span, told, Frame::Piece, &mut |c, tree| {
            let Some(SentenceKind::Piece(piece)) = tree.sentences.first().map(|one| &one.kind)
            else {
                return false;
            };
            let mut sentences = piece.sentences.iter();
            sentences.all(|one| c.said_of_piece(one, &mut making.clone()).is_some())
        });
        op
    }

    fn said_of_piece(
        &mut self,
        sentence: &'a PieceSentence,
        making: &mut Making,
    ) -> Option<PieceOp> {
        let said = &mut *making;
        let (op, fine) = self.unbroken(|c| match &sentence.kind {
            PieceSentenceKind::Says(says) => {
                let (span, of_base) = (sentence.span, said.is_base);
                let says = Box::new(says.carry(&mut Saying::new(c, said, span)).ok()?);
                Some(PieceOp::Says {
                    says,
                    span,
                    of_base,
                })
            }
            PieceSentenceKind::If(branches, otherwise) => {
                let (open, otherwise) = c.open_branches(branches, Some(otherwise));
                let branches = open.into_iter().map(|(condition, sentences)| {
                    (c.condition(condition), c.piece_ops(sentences, said))
                });
                let branches = branches.collect();
                let otherwise = otherwise.map(|sentences| c.piece_ops(sentences, said));
                Some(PieceOp::If(branches, otherwise.unwrap_or_default()))
            }
            PieceSentenceKind::Broken => None,
        });
        making.is_broken |= !fine || matches!(sentence.kind, PieceSentenceKind::Broken);
        // One wrong sentence does not take the piece away from the seams that need it.
        let is_outline = matches!(
            sentence.kind,
            PieceSentenceKind::Says(PieceSays::Outline { .. })
        );
        self.here.broken |= !fine && is_outline;
        op.filter(|_| fine || is_outline)
    }

    /// Where a draft declares its cloths, a piece is cut from one of them.
    pub(super) fn known_cloth(&mut self, word: &tree::Word) {
        let names = self.program.cloths.iter().map(|cloth| cloth.name.as_str());
        let names: Vec<String> = names.map(str::to_owned).collect();
        let is_lost = self.lost_cloths.contains(word.text.as_ref());
        if names.is_empty() || is_lost || names.iter().any(|name| *name == *word.text) {
            return;
        }
        let message = format!("No cloth is called `{}`.", word.text);
        let near = super::scope::nearest_word(&word.text, names.iter().map(String::as_str));
        let told = Diagnostic::error(Code::UnknownName, word.span, message);
        self.fail(match near {
            Some(near) => told.meant(near),
            None => {
                let help = format!(
                    "Write `from {}`, or declare the cloth.",
                    names.join("` or `from ")
                );
                names
                    .iter()
                    .fold(told.help(help), |told, name| told.offer(word.span, name))
            }
        });
    }

    /// A line as the draft calls it: "along the centre".
    pub(super) fn line_words(&self, line: &tree::Expr) -> String {
        let (name, is_name) = match &line.kind {
            tree::ExprKind::Name(name) => (name.words.last().map_or("", |word| &word.text), true),
            _ => (self.said(line.span), false),
        };
        if is_name {
            return format!("along {}", voice::the_thing(name, "line"));
        }
        let words = voice::letters(name);
        format!("along the line drawn {}", words.trim_matches(['(', ')']))
    }

    pub(super) fn named_line(&mut self, name: &tree::Name) -> Option<LineCode> {
        let (_, value) = self.panel_line(name)?;
        Some(LineCode {
            name: name.words.last()?.text.to_string(),
            value,
            span: name.span,
        })
    }

    pub(super) fn marked(&mut self, expr: &'a tree::Expr, making: &Making) -> Option<MarkCode> {
        let typed = self.expression(expr);
        let fine = match &typed.kind {
            Kind::Point | Kind::Line | Kind::Curve => true,
            Kind::List(item) => matches!(**item, Kind::Point | Kind::Line | Kind::Curve),
            Kind::Unknown => return None,
            _ => false,
        };
        if !fine {
            let message = self.kind_mismatch(&typed, "a point, a line or a curve", &[]);
            self.fail(message);
            return None;
        }
        let name = typed
            .name
            .as_ref()
            .map_or_else(|| "mark".into(), |name| format!("{}.{name}", making.panel));
        Some(MarkCode {
            name,
            kind: typed.kind,
            value: typed.node,
        })
    }

    /// `with diameter D, thickness T`
    pub(super) fn button(
        &mut self,
        settings: &'a [tree::Setting],
        span: Span,
    ) -> Option<ButtonCode> {
        let (mut diameter, mut thickness) = (None, None);
        for setting in settings {
            let name = setting.name.text.as_ref();
            let place = match name {
                "diameter" => &mut diameter,
                "thickness" => &mut thickness,
                _ => {
                    let message = format!("A mark has no `{name}`.");
                    let near = nearest_word(name, ["diameter", "thickness"]);
                    let told = Diagnostic::error(Code::UnknownOption, setting.name.span, message);
                    self.fail(match near {
                        Some(near) => told.meant(near),
                        None => {
                            told.help("Of a button it takes `with diameter 12mm, thickness 3mm`.")
                        }
                    });
                    continue;
                }
            };
            *place = Some(self.wanted(&setting.value, &Kind::LENGTH).node);
        }
        match (diameter, thickness) {
            (Some(diameter), Some(thickness)) => Some(ButtonCode {
                diameter,
                thickness,
                span,
            }),
            (None, None) => None,
            (diameter, _) => {
                let (lacks, such) = if diameter.is_none() {
                    ("diameter", "diameter 12mm")
                } else {
                    ("thickness", "thickness 3mm")
                };
                let message =
                    format!("A button has a diameter and a thickness; the {lacks} is missing.");
                let said = settings.iter().map(|one| one.name.span.to(one.value.span));
                let said = said.reduce(Span::to).unwrap_or(span);
                let help = format!(
                    "Write `with {}, {such}`, or what it measures: its buttonhole is as long as both together.",
                    self.said(said)
                );
                self.fail(
                    Diagnostic::error(Code::UnknownOption, span, message)
                        .help(help)
                        .offer(said.after(), format!(", {such}")),
                );
                None
            }
        }
    }

    pub(super) fn corner_treatment(
        &mut self,
        treatment: &[tree::Word],
        span: Span,
    ) -> Option<CornerTreatment> {
        let words: Vec<&str> = treatment.iter().map(|w| w.text.as_ref()).collect();
        match words.as_slice() {
            ["turned", "back"] => Some(CornerTreatment::TurnedBack),
            ["squared"] => Some(CornerTreatment::Squared),
            ["stepped"] => Some(CornerTreatment::Stepped),
            ["mitred"] => Some(CornerTreatment::Mitred),
            _ => {
                let message = "A corner is mitred, squared, turned back or stepped.";
                let place = treatment.iter().map(|word| word.span).reduce(Span::to);
                let ways = ["mitred", "squared", "turned back", "stepped"].map(str::to_owned);
                let told = Diagnostic::error(Code::WordsDoNotFit, place.unwrap_or(span), message);
                self.fail(told.write_one_of(&ways));
                None
            }
        }
    }

    pub(super) fn corner_edges(
        &mut self,
        edges: &[tree::Name],
        span: Span,
        making: &Making,
    ) -> Option<(EdgeRef, EdgeRef)> {
        let edges = edges.iter();
        let found: Vec<EdgeRef> = edges
            .filter_map(|name| self.edge_name(name, making))
            .collect();
        match <[EdgeRef; 2]>::try_from(found) {
            Ok([a, b]) => Some((a, b)),
            _ => {
                if !self.here.broken {
                    self.fail(Diagnostic::error(
                        Code::WordsDoNotFit,
                        span,
                        "A corner lies between two edges: `corner hem, side turned back`.",
                    ));
                }
                None
            }
        }
    }
}
