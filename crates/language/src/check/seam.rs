//! Seams: two sides of edges, what is eased, where notches stand, how wide the allowance is.

use super::checker::Checker;
use super::mend::Frame;
use super::offers::OfferSentence;
use super::program::{
    AmountCode, AsChecked, EdgeNameCode, Node, Op, PointCode, SeamCode, SeamEdgeCode, SideCode,
};
use super::says::Saying;
use super::scope::{Bound, nearest_word};
use crate::kind::Kind;
use crate::pattern::spec::SeamKind;
use crate::report::{Code, Diagnostic, Span};
use crate::sewing::{EaseHow, SeamNotchPlace, SeamSays};
use crate::syntax::tree::{self, NEXT, NotchPlace, SeamSentenceKind, SentenceKind};
use crate::voice;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The ways to sew a seam: the word, the kind, how many widths it takes, and how it is written.
const SEWN: [(&str, SeamKind, usize, &str); 5] = [
    ("plain", SeamKind::Plain, 0, "sewn plain"),
    ("felled", SeamKind::Felled, 2, "sewn felled 6mm, 16mm"),
    ("french", SeamKind::French, 0, "sewn french"),
    ("bound", SeamKind::Bound, 1, "sewn bound 7mm"),
    ("faced", SeamKind::Faced, 0, "sewn faced"),
];

/// The points of a seam's `from`; where it has none, the place for them, behind its edges.
fn starts_of(seam: &tree::Seam) -> Option<Span> {
    if let (Some(first), Some(last)) = (seam.from.first(), seam.from.last()) {
        return Some(first.span.to(last.span));
    }
    let edge = seam.second.edges.last().map(|edge| edge.name.span);
    let until = seam.second.until.as_ref().map(|point| point.span);
    until.or(edge).map(Span::after)
}

impl<'a> Checker<'a> {
    /// `seam …`
    pub(super) fn seam_sentence(&mut self, seam: &'a tree::Seam, span: Span) -> Vec<Op> {
        let offered = OfferSentence::Seam(seam, span);
        if self.waits(offered) || self.offer(offered) {
            return Vec::new();
        }
        self.lower_seam(seam, span)
    }

    /// Checks a seam here and now.
    pub(super) fn lower_seam(&mut self, seam: &'a tree::Seam, span: Span) -> Vec<Op> {
        let name = self.seam_called(&seam.name);
        let home = self.taken_from();
        self.seam_homes.entry(name.clone()).or_insert(home);
        if let Some(&first) = self.seam_names.get(&name) {
            let diagnostic = Diagnostic::error(
                Code::NameDrawnTwice,
                seam.name.span,
                format!("There is a seam `{name}` already."),
            );
            self.fail(diagnostic.see(first, "declared here first"));
        }
        self.seam_names.insert(name.clone(), seam.name.span);
        if self.is_only_offered(seam) {
            return Vec::new();
        }
        let first = self.seam_side(&seam.first);
        let second = self.seam_side(&seam.second);
        let mut points = |points: &'a [tree::Expr]| -> Vec<PointCode> {
            points.iter().map(|point| self.seam_point(point)).collect()
        };
        let (from, toward) = (points(&seam.from), points(&seam.toward));
        self.starts_of(seam);
        let mut code = SeamCode {
            taken: self.taken(span),
            name,
            head: seam.second.edges.last().map_or(span, |edge| Span {
                start: span.start,
                ..edge.name.span
            }),
            first,
            second,
            from,
            toward,
            span,
            starts: starts_of(seam).unwrap_or(span.after()),
            sentences: Vec::new(),
            is_broken: false,
        };
        for sentence in &seam.sentences {
            let told = self.diagnostics.len();
            let said = self.said_of_seam(sentence, &code);
            self.mend(sentence.span, told, Frame::Seam, &mut |c, tree| {
                let Some(SentenceKind::Seam(seam)) = tree.sentences.first().map(|one| &one.kind)
                else {
                    return false;
                };
                let mut sentences = seam.sentences.iter();
                sentences.all(|one| c.said_of_seam(one, &code).is_some())
            });
            match said {
                Some(said) => code.sentences.push((said, sentence.span)),
                None => code.is_broken = true,
            }
        }
        code.is_broken |= self.is_wrong(span);
        if self.here.broken {
            self.lose_seam(span);
            return Vec::new();
        }
        let number = self.program.seams.len();
        self.program.seams.push(code);
        vec![Op::Seam(number)]
    }

    fn said_of_seam(
        &mut self,
        sentence: &'a tree::SeamSentence,
        seam: &SeamCode,
    ) -> Option<SeamSays<AsChecked>> {
        let SeamSentenceKind::Says(says) = &sentence.kind else {
            return None;
        };
        let span = sentence.span;
        let (says, fine) = self.unbroken(|c| says.carry(&mut Saying::new(c, seam, span)).ok());
        says.filter(|_| fine)
    }

    /// A seam to panels that are drawn where it is taken: told once, and its own edges count as accounted for.
    fn is_only_offered(&mut self, seam: &'a tree::Seam) -> bool {
        let edges = || seam.edges();
        let mut absent: Vec<String> = Vec::new();
        for edge in edges() {
            let Some(first) = edge
                .name
                .words
                .first()
                .filter(|_| edge.name.words.len() > 1 && !edge.each)
            else {
                continue;
            };
            let is_piece = |name: &str| self.is_piece(name);
            if self.sees(&first.text).is_some()
                || is_piece(&first.text)
                || is_piece(&self.piece_called(first))
            {
                continue;
            }
            if nearest_word(&first.text, self.visible()).is_some() {
                return false;
            }
            let name = format!("`{}`", first.text);
            if !absent.contains(&name) {
                absent.push(name);
            }
        }
        if absent.is_empty() || absent.len() == edges().count() {
            return false;
        }
        let panels = match absent.as_slice() {
            [one] => format!("the panel {one} is drawn"),
            all => format!("the panels {} are drawn", voice::list(all)),
        };
        let message = format!(
            "Seam `{}` is only offered here: {panels} where it is taken.",
            seam.name.text
        );
        self.report(
            Diagnostic::warning(Code::SeamNotTaken, seam.name.span, message)
                .at("offered")
                .help("It is walked in the draft that takes it with `pieces of …`."),
        );
        let mut widths = seam.sentences.iter().filter_map(|s| match &s.kind {
            SeamSentenceKind::Says(SeamSays::Allow { width, on }) if on.is_empty() => Some(width),
            _ => None,
        });
        let width = widths
            .next_back()
            .map(|width| self.wanted(width, &Kind::LENGTH).node);
        for edge in edges() {
            if edge
                .name
                .words
                .first()
                .is_some_and(|first| self.sees(&first.text).is_some())
                && let Some((line, _)) = self.panel_line(&edge.name)
            {
                self.program
                    .offered_edges
                    .push((line, seam.name.text.to_string(), width.clone()));
            }
        }
        true
    }

    fn seam_side(&mut self, side: &'a tree::SeamSide) -> SideCode {
        let mut edges = Vec::with_capacity(side.edges.len());
        for edge in &side.edges {
            let meant = if edge.each {
                self.each_copy(&edge.name, |c| c.edges_meant(&edge.name))
            } else {
                let meant = self.edges_meant(&edge.name).into_iter();
                meant.map(|one| (one, None)).collect()
            };
            for ((name, value), when) in meant {
                edges.push(SeamEdgeCode {
                    name,
                    mirrored: edge.mirrored,
                    over: edge.over,
                    slot: value.as_ref().and_then(Self::slot_of),
                    value,
                    when,
                });
            }
        }
        let until = side.until.as_ref().map(|point| self.seam_point(point));
        SideCode { edges, until }
    }

    /// The edges that a name stands for: panel lines, which a piece outlines, or the edge of a piece by its name there.
    fn edges_meant(&mut self, name: &tree::Name) -> Vec<(EdgeNameCode, Option<Node>)> {
        let mut found = Vec::new();
        for line in self.lines_meant(name) {
            let Some((last, owners)) = line.words.split_last() else {
                continue;
            };
            let owner = owners.last().map(|word| self.piece_called(word));
            let code = |line: String| EdgeNameCode {
                owner: owner.clone(),
                edge: last.text.to_string(),
                line,
                span: name.span,
            };
            if owners.len() == 1
                && owner.as_deref().is_some_and(|owner| self.is_piece(owner))
                && !self.is_panel_line(&line)
            {
                if let (Some(word), Some(piece)) = (owners.last(), &owner) {
                    let piece = self.piece_names.get(piece).copied();
                    piece.into_iter().for_each(|of| self.mention(word.span, of));
                }
                found.push((code(String::new()), None));
                continue;
            }
            if let Some((full, node)) = self.panel_line(&line) {
                found.push((code(full), Some(node)));
            }
        }
        found
    }

    /// Whether a piece is called so, here or farther down the file.
    fn is_piece(&self, name: &str) -> bool {
        self.piece_names.contains_key(name)
            || self
                .own_pieces()
                .any(|(piece, _)| *piece.name.text == *name)
    }

    /// Whether a name is a line of a panel that is drawn.
    fn is_panel_line(&self, name: &tree::Name) -> bool {
        let Some((last, owners)) = name.words.split_last() else {
            return false;
        };
        let mut bound = owners.first().and_then(|first| self.find(&first.text));
        for word in owners.iter().skip(1).chain(std::iter::once(last)) {
            bound = match bound.map(|found| found.bound) {
                Some(Bound::Sheet(sheet)) => sheet.members.get(&word.text).cloned(),
                _ => None,
            };
        }
        bound.is_some()
    }

    /// One start, or one of each side; two ways, or none.
    fn starts_of(&mut self, seam: &'a tree::Seam) {
        if let Some(third) = seam.from.get(2) {
            let message = "A seam has two starts at most, one of each side.";
            self.fail(Diagnostic::error(Code::WordsDoNotFit, third.span, message));
        }
        if let Some(first) = seam.toward.first()
            && seam.from.is_empty()
        {
            let message = "`toward` says which way a closed edge goes first; say before it, with `from`, where the edge begins.";
            let fault = Diagnostic::error(Code::WordsDoNotFit, first.span, message);
            self.fail(fault.help("Write `from P, Q toward R, S`."));
        }
    }

    /// A line is itself; the name of a list of lines stands for all of them, as they are on the newest sheet.
    pub(super) fn lines_meant(&mut self, name: &tree::Name) -> Vec<tree::Name> {
        let alone = vec![name.clone()];
        let Some((list, owner)) = name.words.split_last() else {
            return alone;
        };
        let (before, told) = (self.here.broken, self.diagnostics.len());
        let found = self.resolve(name);
        if found.is_none() {
            // Told where it is asked for as a line.
            self.here.broken = before;
            self.diagnostics.truncate(told);
        }
        let Some(lines) = found.and_then(|binding| binding.lines) else {
            return alone;
        };
        let word = |text: &Arc<str>| tree::Word {
            text: Arc::clone(text),
            span: list.span,
        };
        lines
            .iter()
            .map(|line| tree::Name {
                words: owner.iter().cloned().chain(line.iter().map(word)).collect(),
                span: name.span,
            })
            .collect()
    }

    /// A length, or a plain number: a share of the partner, of a gather the ratio.
    pub(super) fn ease_amount(&mut self, expr: &'a tree::Expr, how: EaseHow) -> Option<AmountCode> {
        let typed = self.expression(expr);
        if typed.kind == Kind::LENGTH || typed.kind == Kind::Unknown {
            return Some(AmountCode::Length(typed.node));
        }
        if typed.kind == Kind::NUMBER {
            return Some(AmountCode::Number(typed.node));
        }
        let wanted = match how {
            EaseHow::Gather => "a length or how many go to one, such as 1.5,",
            EaseHow::Ease | EaseHow::Stretch => "a length or a share such as 3%",
        };
        let message = self.kind_mismatch(&typed, wanted, &[]);
        self.fail(message);
        None
    }

    /// How a seam is sewn, where it takes so many widths.
    pub(super) fn seam_kind(
        &mut self,
        how: &tree::Word,
        widths: &[tree::Expr],
    ) -> Option<SeamKind> {
        let known = SEWN.iter().find(|row| row.0 == how.text.as_ref());
        let Some((word, kind, wanted, sample)) = known else {
            let words = SEWN.map(|row| row.0);
            let message = format!(
                "No seam is sewn `{}`; it is plain, felled, french, bound or faced.",
                how.text
            );
            let mut diagnostic =
                Diagnostic::error(Code::WordsDoNotFit, how.span, message).at("no such seam");
            if let Some(near) = nearest_word(&how.text, words) {
                diagnostic = diagnostic.meant(near);
            }
            self.fail(diagnostic);
            return None;
        };
        if widths.is_empty() || widths.len() == *wanted {
            return Some(*kind);
        }
        let takes = match wanted {
            0 => "no width, since its allowance is said by `allow`",
            1 => "one width, that of the binding",
            _ => "two widths, one for each side in the order the seam names them",
        };
        let stand = if widths.len() == 1 {
            "one stands"
        } else {
            "more stand"
        };
        let message = format!("A seam sewn {word} takes {takes}; {stand} here.");
        let whole = widths.iter().map(|width| width.span);
        let whole = whole.fold(how.span, Span::to);
        self.fail(
            Diagnostic::error(Code::WordsDoNotFit, how.span, message)
                .help(format!("Write `{sample}`."))
                .offer(whole, sample.trim_start_matches("sewn ")),
        );
        None
    }

    /// `order a, b, c`: seams as they are made up, in the main draft.
    pub(super) fn order(&mut self, names: &'a [tree::Word], span: Span) {
        if !self.at_file_level("order", span) || !self.first_time("order", span) {
            return;
        }
        if self.in_main() {
            self.ordered = names.iter().collect();
        }
    }

    /// Holds the order against the seams that there are, once all are known.
    pub(super) fn settle_order(&mut self) {
        let mut seen: BTreeMap<&str, Span> = BTreeMap::new();
        for word in std::mem::take(&mut self.ordered) {
            let name: &str = &word.text;
            if let Some(all) = self
                .laid_seams
                .get(name)
                .filter(|_| !seen.contains_key(name))
            {
                self.program.order.extend(all.iter().cloned());
                seen.insert(name, word.span);
                continue;
            }
            let declared = self.seam_names.get(name).copied();
            let known = declared.is_some();
            if let Some(declared) = declared {
                self.mention(word.span, declared);
            }
            if known && !seen.contains_key(name) {
                seen.insert(name, word.span);
                self.program.order.push(name.to_owned());
                continue;
            }
            self.program.order_lost = true;
            if self.program.pieces_lost && !known {
                // It may well be one of those that are not taken.
                continue;
            }
            let diagnostic = match seen.get(name) {
                Some(first) => Diagnostic::error(
                    Code::NameDrawnTwice,
                    word.span,
                    format!("Seam `{name}` stands in the order twice."),
                )
                .see(*first, "first here"),
                None => {
                    let names: Vec<&str> = self.seam_names.keys().map(String::as_str).collect();
                    let message = format!("There is no seam `{name}` to make up.");
                    let diagnostic = Diagnostic::error(Code::UnknownEdge, word.span, message);
                    match (nearest_word(name, names.iter().copied()), names.is_empty()) {
                        (Some(near), _) => diagnostic.meant(near),
                        (None, true) => diagnostic.note("The draft has no seams."),
                        (None, false) => {
                            diagnostic.note(format!("Its seams are {}.", names.join(", ")))
                        }
                    }
                }
            };
            self.diagnostics.push(diagnostic);
        }
    }

    pub(super) fn notch_place(
        &mut self,
        place: &'a NotchPlace,
        span: Span,
    ) -> Option<SeamNotchPlace<AsChecked>> {
        Some(match place {
            NotchPlace::Measured { distance, from } => SeamNotchPlace::Measured {
                distance: self.wanted(distance, &Kind::LENGTH).node,
                from: self.seam_point(from),
            },
            NotchPlace::Points(points) => {
                let mut nodes = points
                    .iter()
                    .map(|point| self.seam_point(point))
                    .collect::<Vec<_>>()
                    .into_iter();
                match (nodes.next(), nodes.next(), nodes.next()) {
                    (Some(one), None, None) => SeamNotchPlace::One(one),
                    (Some(one), Some(other), None) => SeamNotchPlace::Pair(one, other),
                    _ => {
                        let message = "A seam's notch stands at one point, or at a point and its fellow on the other side.";
                        self.fail(Diagnostic::error(Code::WordsDoNotFit, span, message));
                        return None;
                    }
                }
            }
            NotchPlace::Joints => SeamNotchPlace::Joints,
        })
    }

    /// A point with its full name and its panel, which tell the side it lies on.
    pub(super) fn seam_point(&mut self, expr: &'a tree::Expr) -> PointCode {
        let value = self.wanted(expr, &Kind::Point).node;
        let mut panels = self.panels_in(expr.span);
        let name = if let tree::ExprKind::Name(name) = &expr.kind {
            self.full_name(name)
        } else {
            String::new()
        };
        PointCode {
            value,
            name,
            panel: (panels.len() == 1).then(|| panels.remove(0)),
        }
    }

    /// The panels of the names that stand in a place of the text.
    fn panels_in(&self, span: Span) -> Vec<String> {
        let letters = self.said(span);
        let words = letters.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == '.'));
        let mut is_next = false;
        let full = words.filter_map(|dotted| {
            // `next gore.left` is a name of the next copy.
            if std::mem::replace(&mut is_next, dotted == NEXT) {
                return self.panel_of_name(&format!("{NEXT} {dotted}"), span);
            }
            self.panel_of_name(dotted, span)
        });
        let mut panels: Vec<String> = full.collect();
        panels.sort_unstable();
        panels.dedup();
        panels
    }

    /// The panel of a dotted name.
    fn panel_of_name(&self, dotted: &str, span: Span) -> Option<String> {
        let word = |text: &str| tree::Word {
            text: text.into(),
            span,
        };
        let words: Vec<tree::Word> = dotted.split('.').map(word).collect();
        self.find(&words.first()?.text)?;
        let full = self.full_name(&tree::Name { words, span });
        let (panel, _) = full.rsplit_once('.')?;
        Some(panel.to_owned())
    }

    /// Some of the seam's own edges.
    pub(super) fn seam_lines(
        &mut self,
        names: &[tree::Name],
        seam: &SeamCode,
    ) -> Vec<EdgeNameCode> {
        let mut lines = Vec::new();
        for name in names {
            for (line, _) in self.edges_meant(name) {
                let is = |edge: &SeamEdgeCode| {
                    let named = edge.name.edge == line.edge && edge.name.owner == line.owner;
                    (!line.line.is_empty() && edge.name.line == line.line) || named
                };
                if seam.edges().any(is) {
                    lines.push(line);
                    continue;
                }
                let message = format!("`{}` is not an edge of this seam.", self.said(name.span));
                let edges: Vec<&str> = seam.edges().map(|edge| self.said(edge.name.span)).collect();
                self.fail(
                    Diagnostic::error(Code::UnknownEdge, name.span, message)
                        .note(format!("It joins {}.", edges.join(", "))),
                );
            }
        }
        lines
    }
}
