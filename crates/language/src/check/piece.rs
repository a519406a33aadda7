//! Pieces: which lines of a panel make one, and how it is cut. Bare names inside a piece are its edges, then the panel.

use super::checker::Checker;
use super::offers::OfferSentence;
use super::program::{DartCode, EdgeRef, Node, Op, PieceCode, PieceSay, TextNode};
use super::scope::{Bound, Layer, LayerKind, Sheet, nearest_word};
use crate::kind::Kind;
use crate::pattern::WearerSide;
use crate::pattern::spec::CornerTreatment;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, PieceSentence, PieceSentenceKind};
use crate::voice;
use std::rc::Rc;

/// Most pieces traced one from another.
const MOST_TRACED: usize = 64;

/// A piece being checked.
pub(super) struct Making {
    /// The panel's full name.
    pub(super) panel: String,
    /// Its edges as outlined so far, in any branch.
    pub(super) edges: Vec<MadeEdge>,
    /// What is being said is of a piece that another is traced from: what it says of an edge that the outline has lost
    /// since is passed over.
    pub(super) is_base: bool,
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
    pub fn piece_sentence(&mut self, piece: &'a tree::Piece, span: Span) -> Vec<Op> {
        if self.offer(OfferSentence::Piece(piece, span)) {
            return Vec::new();
        }
        self.lower_piece(piece, span, None)
    }

    /// Checks a piece here and now; `given` is the panel an operation gave, where the piece is offered by one.
    pub fn lower_piece(
        &mut self,
        piece: &'a tree::Piece,
        span: Span,
        given: Option<&Rc<Sheet>>,
    ) -> Vec<Op> {
        let name = self.piece_called(&piece.name);
        let home = self.taken_from().to_owned();
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
        sentences: &mut Vec<PieceSay>,
        depth: usize,
    ) -> Option<&'a tree::Text> {
        let mut label = piece.label.as_ref();
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
            && let Some((base, _, sheet, home, passed)) = self.offered_piece(from)
        {
            let outer = std::mem::replace(&mut making.is_base, true);
            let mut lower = |c: &mut Self| {
                let below = c.say_piece(base, sheet.as_ref(), making, sentences, depth + 1);
                label = label.or(below);
            };
            match (&home, &sheet) {
                (Some(home), Some(sheet)) => self.at_home(home, sheet, passed, lower),
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
        label: Option<&'a tree::Text>,
        span: Span,
        making: Making,
        sentences: Vec<PieceSay>,
    ) -> Vec<Op> {
        let label = match label {
            // Two imports of one file have pieces of one label; paper tells them apart.
            Some(text) if name != *piece.name.text => {
                let whose = format!(" ({})", voice::letters(self.taken_from()));
                let label = TextNode::Value(self.text(text).node, Kind::Text);
                Node::Text([label, TextNode::Letters(whose.into())].into())
            }
            Some(text) => self.text(text).node,
            None => Node::Known(crate::phrase::Value::Text(
                voice::capital(&voice::letters(&name)).into(),
            )),
        };
        if making.edges.is_empty() && !self.here.broken {
            let message = format!("Piece `{name}` has no outline.");
            self.fail(
                Diagnostic::error(Code::OutlineOpen, piece.name.span, message)
                    .help("Name its edges in order: `outline neck, shoulder, armhole, …`."),
            );
        }
        if self.here.broken {
            return Vec::new();
        }
        let number = self.program.pieces.len();
        self.program.pieces.push(PieceCode {
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
        });
        vec![Op::Piece(number)]
    }

    /// Sentences that alter a traced piece, in the taker's own names, on the panel it was traced with.
    fn own_sentences(
        &mut self,
        piece: &'a tree::Piece,
        panel: &str,
        making: &mut Making,
        sentences: &mut Vec<PieceSay>,
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
            match self.piece_say(sentence, making) {
                // A new outline stands where the old one stood, so that what was said of its edges still holds.
                Some(say @ PieceSay::Outline(_)) => {
                    sentences.retain(|old| !matches!(old, PieceSay::Outline(_)));
                    sentences.insert(0, say);
                }
                Some(say) => sentences.push(say),
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
        let help = match near {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!("Name the panel: `piece {} of PANEL`.", piece.name.text),
        };
        self.fail(Diagnostic::error(Code::UnknownEdge, piece.name.span, message).help(help));
        None
    }

    fn piece_sentences(
        &mut self,
        piece: &'a tree::Piece,
        panel: &Rc<Sheet>,
        making: &mut Making,
    ) -> Vec<PieceSay> {
        making.panel = panel.full_name.clone();
        let mut layer = Layer::new(
            LayerKind::Panel,
            piece.name.text.as_ref(),
            format!("{}.", panel.full_name),
        );
        layer.names = panel.members.clone();
        layer.cloth = panel.cloth.clone();
        self.here.layers.push(layer);
        let says = piece
            .sentences
            .iter()
            .filter_map(|sentence| self.piece_say(sentence, making))
            .collect();
        self.here.layers.pop();
        says
    }

    fn piece_say(&mut self, sentence: &'a PieceSentence, making: &mut Making) -> Option<PieceSay> {
        let span = sentence.span;
        let (say, fine) = self.unbroken(|c| c.piece_say_inner(&sentence.kind, span, making));
        // One wrong sentence does not take the piece away from the seams that need it.
        if !fine && matches!(sentence.kind, PieceSentenceKind::Outline(_)) {
            self.here.broken = true;
        }
        say.filter(|_| fine)
    }

    /// Where a draft declares its cloths, a piece is cut from one of them.
    fn known_cloth(&mut self, word: &tree::Word) {
        let names = self.program.cloths.iter().map(|cloth| cloth.name.as_str());
        let names: Vec<String> = names.map(str::to_owned).collect();
        if names.is_empty() || names.iter().any(|name| *name == *word.text) {
            return;
        }
        let message = format!("No cloth is called `{}`.", word.text);
        let near = super::scope::nearest_word(&word.text, names.iter().map(String::as_str));
        let help = match near {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!(
                "Write `from {}`, or declare the cloth.",
                names.join("` or `from ")
            ),
        };
        self.fail(Diagnostic::error(Code::UnknownName, word.span, message).help(help));
    }

    fn piece_say_inner(
        &mut self,
        kind: &'a PieceSentenceKind,
        span: Span,
        making: &mut Making,
    ) -> Option<PieceSay> {
        Some(match kind {
            PieceSentenceKind::Outline(edges) => PieceSay::Outline(self.outline(edges, making)),
            PieceSentenceKind::Cut {
                count,
                alike,
                fold,
                cloth,
            } => {
                let count_span = count.span;
                let count = self.wanted(count, &Kind::NUMBER).node;
                let fold = fold.as_ref().and_then(|name| self.edge_name(name, making));
                if let Some(word) = cloth {
                    self.known_cloth(word);
                }
                PieceSay::Cut {
                    count,
                    alike: *alike,
                    fold,
                    cloth: cloth.as_ref().map(|word| word.text.to_string()),
                    span: count_span,
                }
            }
            PieceSentenceKind::Grain(line) => {
                let node = self.wanted(line, &Kind::Curve).node;
                PieceSay::Grain(node, self.line_words(line))
            }
            PieceSentenceKind::Allow(width, edges) => {
                let width = self.wanted(width, &Kind::LENGTH).node;
                let edges = self.edge_names(edges, making);
                PieceSay::Allow(width, edges)
            }
            PieceSentenceKind::Corner { edges, treatment } => {
                self.corner(edges, treatment, span, making)?
            }
            PieceSentenceKind::Finish(edges, text) => {
                let edges = self.edge_names(edges, making);
                PieceSay::Finish(edges, self.maybe_text(text.as_ref()))
            }
            PieceSentenceKind::Fold(lines, onto) => {
                let found = lines.iter().filter_map(|name| self.fold_line(name));
                let found = found.collect();
                let onto = onto.as_ref().and_then(|name| self.fold_line(name));
                PieceSay::Fold(found, onto)
            }
            PieceSentenceKind::Interline {
                count,
                alike,
                cloth,
                inside,
            } => {
                let count = self.wanted(count, &Kind::NUMBER).node;
                let inside = self.wanted(inside, &Kind::LENGTH).node;
                if let Some(word) = cloth {
                    self.known_cloth(word);
                }
                let cloth = cloth.as_ref().map(|word| word.text.to_string());
                PieceSay::Interline(count, *alike, cloth, inside, span)
            }
            PieceSentenceKind::Notch(notch) => {
                let form = self.notch_form(notch.form.as_ref());
                PieceSay::Notch(form, self.own_notches(&notch.place, span)?, span)
            }
            PieceSentenceKind::Dart(dart) => {
                PieceSay::Dart(Box::new(self.dart(dart, making.is_base)), span)
            }
            PieceSentenceKind::Mark {
                what,
                text,
                side,
                settings,
            } => {
                let shapes = what.iter();
                let shapes = shapes
                    .filter_map(|shape| self.marked(shape, making))
                    .collect();
                let text = self.maybe_text(text.as_ref());
                let side = side.map(|side| match side == tree::DirectionWord::Left {
                    true => WearerSide::Left,
                    false => WearerSide::Right,
                });
                PieceSay::Mark(shapes, text, side, self.button(settings, span), span)
            }
            PieceSentenceKind::If(branches, otherwise) => {
                let (open, otherwise) = self.open_branches(branches, Some(otherwise));
                let branches = open
                    .into_iter()
                    .map(|(condition, says)| {
                        (
                            self.condition(condition),
                            says.iter()
                                .filter_map(|s| self.piece_say(s, making))
                                .collect(),
                        )
                    })
                    .collect();
                PieceSay::If(
                    branches,
                    otherwise
                        .into_iter()
                        .flatten()
                        .filter_map(|s| self.piece_say(s, making))
                        .collect(),
                )
            }
            PieceSentenceKind::Broken => return None,
        })
    }

    /// A line as the draft calls it: "along the centre".
    fn line_words(&self, line: &tree::Expr) -> String {
        let (name, is_name) = match &line.kind {
            tree::ExprKind::Name(name) => (name.words.last().map_or("", |word| &word.text), true),
            _ => (self.said(line.span), false),
        };
        let words = voice::letters(name);
        let words = words.trim_matches(['(', ')']);
        if is_name {
            format!("along the {words}")
        } else {
            format!("along the line drawn {words}")
        }
    }

    fn dart(&mut self, dart: &'a tree::Dart, of_base: bool) -> DartCode {
        let mut point = |expr: &'a tree::Expr| self.wanted(expr, &Kind::Point).node;
        let mouth = (point(&dart.mouth.0), point(&dart.mouth.1));
        let apex = point(&dart.apex);
        let other_apex = dart.other_apex.as_ref().map(&mut point);
        let pressed = dart.pressed.as_ref().map(&mut point);
        let mut length = |expr: &'a tree::Expr| self.wanted(expr, &Kind::LENGTH).node;
        let drill = dart.drill.as_ref().map(&mut length);
        let sewn = dart.sewn.as_ref().map(&mut length);
        let legs = dart.legs.as_ref().and_then(|(one, other)| {
            let one = self.panel_line(one).map(|(_, node)| node);
            let other = self.panel_line(other).map(|(_, node)| node);
            one.zip(other)
        });
        DartCode {
            mouth,
            apex,
            other_apex,
            legs,
            pressed,
            drill,
            sewn,
            of_base,
        }
    }

    fn fold_line(&mut self, name: &'a tree::Name) -> Option<(String, Node, Span)> {
        let (_, node) = self.panel_line(name)?;
        Some((name.words.last()?.text.to_string(), node, name.span))
    }

    fn marked(&mut self, expr: &'a tree::Expr, making: &Making) -> Option<(String, Kind, Node)> {
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
        Some((name, typed.kind, typed.node))
    }

    /// `with diameter D, thickness T`
    fn button(&mut self, settings: &'a [tree::Setting], span: Span) -> Option<(Node, Node)> {
        let (mut diameter, mut thickness) = (None, None);
        for setting in settings {
            let name = setting.name.text.as_ref();
            let place = match name {
                "diameter" => &mut diameter,
                "thickness" => &mut thickness,
                _ => {
                    let message = format!("A mark has no `{name}`.");
                    let near = nearest_word(name, ["diameter", "thickness"]);
                    let help = near.map_or(
                        "Of a button it takes `with diameter 12mm, thickness 3mm`.".to_owned(),
                        |near| format!("Did you mean `{near}`?"),
                    );
                    let place = setting.name.span;
                    self.fail(Diagnostic::error(Code::UnknownOption, place, message).help(help));
                    continue;
                }
            };
            *place = Some(self.wanted(&setting.value, &Kind::LENGTH).node);
        }
        match (diameter, thickness) {
            (Some(diameter), Some(thickness)) => Some((diameter, thickness)),
            (None, None) => None,
            (diameter, _) => {
                let lacks = if diameter.is_none() {
                    "diameter"
                } else {
                    "thickness"
                };
                let message =
                    format!("A button has a diameter and a thickness; the {lacks} is missing.");
                let help = "Its buttonhole is as long as both together: `with diameter 12mm, thickness 3mm`.";
                self.fail(Diagnostic::error(Code::UnknownOption, span, message).help(help));
                None
            }
        }
    }

    fn corner(
        &mut self,
        edges: &'a [tree::Name],
        treatment: &[tree::Word],
        span: Span,
        making: &Making,
    ) -> Option<PieceSay> {
        let words: Vec<&str> = treatment.iter().map(|w| w.text.as_ref()).collect();
        let what = match words.as_slice() {
            ["turned", "back"] => CornerTreatment::TurnedBack,
            ["squared"] => CornerTreatment::Squared,
            ["stepped"] => CornerTreatment::Stepped,
            ["mitred"] => CornerTreatment::Mitred,
            _ => {
                let message = "A corner is mitred, squared, turned back or stepped.";
                let place = treatment.iter().map(|word| word.span).reduce(Span::to);
                self.fail(
                    Diagnostic::error(Code::WordsDoNotFit, place.unwrap_or(span), message)
                        .help("Write it after the two edges: `corner hem, side turned back`."),
                );
                return None;
            }
        };
        let names: Vec<EdgeRef> = edges
            .iter()
            .filter_map(|name| self.edge_name(name, making))
            .collect();
        match names.as_slice() {
            [a, b] => Some(PieceSay::Corner((a.clone(), b.clone()), what, span)),
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
