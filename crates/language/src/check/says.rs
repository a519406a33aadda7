//! What the sentences of pieces and seams say, from the tree to the checked program, part by part. Where a part is wrong,
//! the checker tells it, goes on to the other parts, and leaves the sentence out.

use super::checker::Checker;
use super::piece::Making;
use super::program::{
    AmountCode, AsChecked, ButtonCode, CountCode, EdgeCode, EdgeNameCode, GrainCode, LineCode,
    MarkCode, Node, PointCode, SeamCode,
};
use crate::kind::Kind;
use crate::pattern::spec::{CornerTreatment, NotchForm, SeamKind};
use crate::report::Span;
use crate::sewing::{EdgeRef, Held, OwnNotch, PieceStep, SeamNotchPlace, SeamStep, SewnAs, Step};
use crate::syntax::tree::{self, AsWritten};

/// A sentence of a block being checked: of a piece in the making, or of a seam.
pub(super) struct Saying<'c, 'a, C> {
    checker: &'c mut Checker<'a>,
    of: C,
    span: Span,
}

/// The sentence cannot be taken on, which has been told.
pub(super) struct Told;

impl<'c, 'a, C> Saying<'c, 'a, C> {
    pub(super) fn new(checker: &'c mut Checker<'a>, of: C, span: Span) -> Self {
        Self { checker, of, span }
    }
}

impl<'a, C> Step<'a, AsWritten, AsChecked> for Saying<'_, 'a, C> {
    type Stop = Told;

    fn length(&mut self, length: &'a tree::Expr) -> Result<Node, Told> {
        Ok(self.checker.wanted(length, &Kind::LENGTH).node)
    }

    fn point(&mut self, point: &'a tree::Expr) -> Result<PointCode, Told> {
        Ok(self.checker.seam_point(point))
    }

    fn text(&mut self, words: &'a Option<tree::Text>) -> Result<Node, Told> {
        Ok(self.checker.maybe_text(words.as_ref()))
    }

    fn notch_form(&mut self, form: &'a Option<tree::Word>) -> Result<NotchForm, Told> {
        Ok(self.checker.notch_form(form.as_ref()))
    }
}

impl<'a> PieceStep<'a, AsWritten, AsChecked> for Saying<'_, 'a, &mut Making> {
    fn count(&mut self, count: &'a tree::Expr) -> Result<CountCode, Told> {
        Ok(CountCode {
            value: self.checker.wanted(count, &Kind::NUMBER).node,
            span: count.span,
        })
    }

    fn cloth(&mut self, cloth: &'a Option<tree::Word>) -> Result<Option<String>, Told> {
        if let Some(word) = cloth {
            self.checker.known_cloth(word);
        }
        Ok(cloth.as_ref().map(|word| word.text.to_string()))
    }

    fn outline(&mut self, lines: &'a [tree::OutlineEdge]) -> Result<Vec<EdgeCode>, Told> {
        Ok(self.checker.outline(lines, self.of))
    }

    fn edge(&mut self, edge: &'a Option<tree::Name>) -> Result<Option<EdgeRef>, Told> {
        let edge = edge.as_ref();
        Ok(edge.and_then(|name| self.checker.edge_name(name, self.of)))
    }

    fn edges(&mut self, edges: &'a [tree::Name]) -> Result<Vec<EdgeRef>, Told> {
        Ok(self.checker.edge_names(edges, self.of))
    }

    fn corner(&mut self, edges: &'a Vec<tree::Name>) -> Result<(EdgeRef, EdgeRef), Told> {
        let found = self.checker.corner_edges(edges, self.span, self.of);
        found.ok_or(Told)
    }

    fn treatment(&mut self, words: &'a Vec<tree::Word>) -> Result<CornerTreatment, Told> {
        let found = self.checker.corner_treatment(words, self.span);
        found.ok_or(Told)
    }

    fn grain(&mut self, along: &'a tree::Expr) -> Result<GrainCode, Told> {
        Ok(GrainCode {
            line: self.checker.wanted(along, &Kind::Curve).node,
            words: self.checker.line_words(along),
        })
    }

    fn line(&mut self, line: &'a Option<tree::Name>) -> Result<Option<LineCode>, Told> {
        let line = line.as_ref();
        Ok(line.and_then(|name| self.checker.named_line(name)))
    }

    fn lines(&mut self, lines: &'a [tree::Name]) -> Result<Vec<LineCode>, Told> {
        let lines = lines.iter();
        Ok(lines
            .filter_map(|name| self.checker.named_line(name))
            .collect())
    }

    fn legs(
        &mut self,
        legs: &'a Option<(tree::Name, tree::Name)>,
    ) -> Result<Option<(LineCode, LineCode)>, Told> {
        Ok(legs.as_ref().and_then(|(one, other)| {
            let one = self.checker.named_line(one);
            one.zip(self.checker.named_line(other))
        }))
    }

    fn notches(&mut self, at: &'a tree::NotchPlace) -> Result<Vec<OwnNotch<AsChecked>>, Told> {
        self.checker.own_notches(at, self.span).ok_or(Told)
    }

    fn marked(&mut self, what: &'a [tree::Expr]) -> Result<Vec<MarkCode>, Told> {
        let what = what.iter();
        Ok(what
            .filter_map(|shape| self.checker.marked(shape, self.of))
            .collect())
    }

    fn button(&mut self, settings: &'a Vec<tree::Setting>) -> Result<Option<ButtonCode>, Told> {
        Ok(self.checker.button(settings, self.span))
    }
}

impl<'a> SeamStep<'a, AsWritten, AsChecked> for Saying<'_, 'a, &SeamCode> {
    fn held(&mut self, held: &'a Held<tree::Expr>) -> Result<Held<AmountCode>, Told> {
        held.carry(|much| self.checker.ease_amount(much, held.how).ok_or(Told))
    }

    fn seam_edges(&mut self, edges: &'a [tree::Name]) -> Result<Vec<EdgeNameCode>, Told> {
        Ok(self.checker.seam_lines(edges, self.of))
    }

    fn seam_notch(&mut self, at: &'a tree::NotchPlace) -> Result<SeamNotchPlace<AsChecked>, Told> {
        self.checker.notch_place(at, self.span).ok_or(Told)
    }

    fn sewn(
        &mut self,
        sewn: &'a SewnAs<tree::Word, tree::Expr>,
    ) -> Result<SewnAs<SeamKind, Node>, Told> {
        let how = self.checker.seam_kind(&sewn.how, &sewn.widths);
        Ok(SewnAs {
            how: how.ok_or(Told)?,
            widths: sewn
                .widths
                .iter()
                .map(|width| self.length(width))
                .collect::<Result<_, _>>()?,
        })
    }
}
