//! Seams: two sides of edges, what is eased, where notches stand, how wide the allowance is.

use super::checker::Checker;
use super::offers::OfferSentence;
use super::program::{NotchPlaceCode, Op, PointCode, SeamCode, SeamEdgeCode, SeamSay};
use super::scope::nearest_word;
use crate::kind::Kind;
use crate::pattern::spec::SeamKind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, NotchPlace, SeamSentence, SeamSentenceKind};
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

impl<'a> Checker<'a> {
    /// `seam …`
    pub fn seam_sentence(&mut self, seam: &'a tree::Seam, span: Span) -> Vec<Op> {
        if self.offer(OfferSentence::Seam(seam, span)) {
            return Vec::new();
        }
        self.lower_seam(seam, span)
    }

    /// Checks a seam here and now.
    pub fn lower_seam(&mut self, seam: &'a tree::Seam, span: Span) -> Vec<Op> {
        let name = seam.name.text.to_string();
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
        let from = seam.from.as_ref().map(|point| self.seam_point(point));
        let mut code = SeamCode {
            taken: self.taken(span),
            name,
            span,
            head: seam.second.last().map_or(span, |edge| Span {
                start: span.start,
                ..edge.name.span
            }),
            first,
            second,
            from,
            sentences: Vec::new(),
        };
        for sentence in &seam.sentences {
            let (say, fine) = self.unbroken(|c| c.seam_say(sentence, &code));
            if fine {
                code.sentences.extend(say);
            }
        }
        if self.broken {
            return Vec::new();
        }
        let number = self.program.seams.len();
        self.program.seams.push(code);
        vec![Op::Seam(number)]
    }

    /// A seam to panels that are drawn where it is taken: told once, and its own edges count as accounted for.
    fn is_only_offered(&mut self, seam: &'a tree::Seam) -> bool {
        let edges = || seam.first.iter().chain(&seam.second);
        let mut absent: Vec<String> = Vec::new();
        for edge in edges() {
            let Some(first) = edge
                .name
                .words
                .first()
                .filter(|_| edge.name.words.len() > 1)
            else {
                continue;
            };
            if self.sees(&first.text).is_some() {
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
            [first @ .., last] => format!("the panels {} and {last} are drawn", first.join(", ")),
            [] => String::new(),
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
            SeamSentenceKind::Allow(width, on) if on.is_empty() => Some(width),
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

    fn seam_side(&mut self, edges: &'a [tree::SeamEdge]) -> Vec<SeamEdgeCode> {
        let mut codes = Vec::with_capacity(edges.len());
        for edge in edges {
            for name in self.lines_meant(&edge.name) {
                let Some((line, value)) = self.panel_line(&name) else {
                    continue;
                };
                let slot = Self::slot_of(&value);
                codes.push(SeamEdgeCode {
                    line,
                    mirrored: edge.mirrored,
                    value,
                    slot,
                    span: edge.name.span,
                });
            }
        }
        codes
    }

    /// A line is itself; the name of a list of lines stands for all of them, as they are on the newest sheet.
    pub fn lines_meant(&mut self, name: &tree::Name) -> Vec<tree::Name> {
        let alone = vec![name.clone()];
        let Some((list, owner)) = name.words.split_last() else {
            return alone;
        };
        let (before, told) = (self.broken, self.diagnostics.len());
        let found = self.resolve(name);
        if found.is_none() {
            // Told where it is asked for as a line.
            self.broken = before;
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

    fn seam_say(&mut self, sentence: &'a SeamSentence, seam: &SeamCode) -> Option<SeamSay> {
        let span = sentence.span;
        Some(match &sentence.kind {
            SeamSentenceKind::Ease { low, high, on } => {
                let low = self.wanted(low, &Kind::LENGTH).node;
                let high = high
                    .as_ref()
                    .map(|high| self.wanted(high, &Kind::LENGTH).node);
                let lines = self.seam_lines(on, seam);
                let on_first = lines
                    .iter()
                    .all(|line| seam.first.iter().any(|edge| edge.line == *line));
                let on_second = lines
                    .iter()
                    .all(|line| seam.second.iter().any(|edge| edge.line == *line));
                if !on_first && !on_second {
                    let message = "Ease lies on one side of a seam, and these edges are of both.";
                    self.fail(Diagnostic::error(Code::UnknownEdge, span, message));
                }
                SeamSay::Ease(low, high, on_first)
            }
            SeamSentenceKind::Notch(notch) => {
                let form = self.notch_form(notch.form.as_ref());
                SeamSay::Notch(form, self.notch_place(&notch.place, span)?, span)
            }
            SeamSentenceKind::Allow(width, on) => {
                let width = self.wanted(width, &Kind::LENGTH).node;
                SeamSay::Allow(width, self.seam_lines(on, seam))
            }
            SeamSentenceKind::Sewn(how, widths) => {
                let kind = self.seam_kind(how, widths.len())?;
                let widths = widths.iter();
                let widths = widths.map(|width| self.wanted(width, &Kind::LENGTH).node);
                SeamSay::Sewn(kind, widths.collect(), span)
            }
            SeamSentenceKind::Tolerance(width) => {
                SeamSay::Tolerance(self.wanted(width, &Kind::LENGTH).node)
            }
            SeamSentenceKind::Broken => return None,
        })
    }

    /// How a seam is sewn, where it takes so many widths.
    fn seam_kind(&mut self, how: &tree::Word, widths: usize) -> Option<SeamKind> {
        let known = SEWN.iter().find(|row| row.0 == how.text.as_ref());
        let Some((word, kind, wanted, sample)) = known else {
            let words = SEWN.map(|row| row.0);
            let message = format!(
                "No seam is sewn `{}`; it is plain, felled, french, bound or faced.",
                how.text
            );
            let mut diagnostic =
                Diagnostic::error(Code::WordsDoNotFit, how.span, message).at("no such seam");
            diagnostic.help =
                nearest_word(&how.text, words).map(|near| format!("Did you mean `{near}`?"));
            self.fail(diagnostic);
            return None;
        };
        if widths == 0 || widths == *wanted {
            return Some(*kind);
        }
        let takes = match wanted {
            0 => "no width, since its allowance is said by `allow`",
            1 => "one width, that of the binding",
            _ => "two widths, one for each side in the order the seam names them",
        };
        let stand = if widths == 1 {
            "one stands"
        } else {
            "more stand"
        };
        let message = format!("A seam sewn {word} takes {takes}; {stand} here.");
        self.fail(
            Diagnostic::error(Code::WordsDoNotFit, how.span, message)
                .help(format!("Write `{sample}`.")),
        );
        None
    }

    /// `order a, b, c`: seams as they are made up, in the main draft.
    pub fn order(&mut self, names: &'a [tree::Word], span: Span) {
        if !self.at_file_level("order", span) || !self.first_time("order", span) {
            return;
        }
        if self.in_main() {
            self.ordered = names.iter().collect();
        }
    }

    /// Holds the order against the seams that there are, once all are known.
    pub fn settle_order(&mut self) {
        let mut seen: BTreeMap<&str, Span> = BTreeMap::new();
        for word in std::mem::take(&mut self.ordered) {
            let name: &str = &word.text;
            let known = self.seam_names.contains_key(name);
            if known && !seen.contains_key(name) {
                seen.insert(name, word.span);
                self.program.order.push(name.to_owned());
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
                        (Some(near), _) => diagnostic.help(format!("Did you mean `{near}`?")),
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

    fn notch_place(&mut self, place: &'a NotchPlace, span: Span) -> Option<NotchPlaceCode> {
        Some(match place {
            NotchPlace::Measured { distance, from } => NotchPlaceCode::Measured(
                self.wanted(distance, &Kind::LENGTH).node,
                self.seam_point(from),
            ),
            NotchPlace::Points(points) => {
                let mut nodes = points
                    .iter()
                    .map(|point| self.seam_point(point))
                    .collect::<Vec<_>>()
                    .into_iter();
                match (nodes.next(), nodes.next(), nodes.next()) {
                    (Some(one), None, None) => NotchPlaceCode::One(one),
                    (Some(one), Some(other), None) => NotchPlaceCode::Pair(one, other),
                    _ => {
                        let message = "A seam's notch stands at one point, or at a point and its fellow on the other side.";
                        self.fail(Diagnostic::error(Code::WordsDoNotFit, span, message));
                        return None;
                    }
                }
            }
            NotchPlace::Joints => NotchPlaceCode::Joints,
        })
    }

    /// A point with its full name, which tells the side it lies on.
    fn seam_point(&mut self, expr: &'a tree::Expr) -> PointCode {
        let value = self.wanted(expr, &Kind::Point).node;
        let name = if let tree::ExprKind::Name(name) = &expr.kind {
            self.full_name(name)
        } else {
            String::new()
        };
        PointCode { value, name }
    }

    /// The full names of some of the seam's own lines.
    fn seam_lines(&mut self, names: &'a [tree::Name], seam: &SeamCode) -> Vec<String> {
        let mut lines = Vec::new();
        for name in names {
            for line in self.lines_meant(name) {
                lines.extend(self.seam_line(&line, seam));
            }
        }
        lines
    }

    /// The full name of one of the seam's own lines.
    fn seam_line(&mut self, name: &tree::Name, seam: &SeamCode) -> Option<String> {
        let (line, _) = self.panel_line(name)?;
        if seam
            .first
            .iter()
            .chain(&seam.second)
            .any(|edge| edge.line == line)
        {
            return Some(line);
        }
        let message = format!("`{}` is not an edge of this seam.", self.said(name.span));
        let edges: Vec<&str> = seam
            .first
            .iter()
            .chain(&seam.second)
            .map(|edge| edge.line.as_str())
            .collect();
        self.fail(
            Diagnostic::error(Code::UnknownEdge, name.span, message)
                .note(format!("It joins {}.", edges.join(", "))),
        );
        None
    }
}
