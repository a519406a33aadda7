//! Ranges as they are declared, `between A and B`: plain figures, smaller one first, of the kind of what they bound.

use super::checker::Checker;
use super::program::{Node, Range};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic};
use crate::syntax::tree::{self, Expr, ExprKind};

impl<'a> Checker<'a> {
    /// The range of a measure or choice.
    pub(super) fn measure_range(&mut self, measure: &'a tree::Measure) -> Option<Range> {
        let wanted = plain_kind(&measure.default);
        let range = measure.range.as_ref()?;
        if wanted == Some(Kind::NUMBER)
            && let Some(kind) = plain_kind(&range.0).filter(|kind| *kind != Kind::NUMBER)
        {
            let default = self.expression(&measure.default);
            self.must_be(default, &kind);
            return None;
        }
        self.range(range, wanted.as_ref())
    }

    /// The range of an operation's argument.
    pub(super) fn argument_range(
        &mut self,
        parameter: &'a tree::Parameter,
        kind: &Kind,
    ) -> Option<Range> {
        self.range(parameter.range.as_ref()?, Some(kind))
    }

    fn range(&mut self, (low, high): &'a (Expr, Expr), wanted: Option<&Kind>) -> Option<Range> {
        let span = low.span.to(high.span);
        let ends = [self.expression(low), self.expression(high)];
        self.here.reads.clear();
        // An end without a unit has the other's.
        let with_unit = ends.iter().find(|end| !end.is_figure);
        let beside = with_unit.map(|end| end.kind.clone());
        let wanted = wanted.cloned().or(beside);
        for end in &ends {
            if let Some(wanted) = &wanted
                && !end.kind.fits(wanted)
            {
                let kinds = std::slice::from_ref(wanted);
                let message = self.kind_mismatch(end, &wanted.with_article(), kinds);
                self.fail(message);
                return None;
            }
        }
        let [a, b] = ends.map(|end| self.plain_figure(&end.node));
        let (Some(a), Some(b)) = (a, b) else {
            if !self.here.broken {
                let message = "A range is made of plain figures, since bodies are drawn from it.";
                self.fail(Diagnostic::error(Code::MeasureDisagrees, span, message));
            }
            return None;
        };
        if a > b {
            let (low, high) = (self.said(low.span), self.said(high.span));
            let message = format!("This range runs backwards: from {low} to {high}.");
            let diagnostic = Diagnostic::error(Code::MeasureDisagrees, span, message);
            self.fail(diagnostic.help("Write the smaller figure first."));
            return None;
        }
        Some(Range {
            low: a,
            high: b,
            span,
        })
    }

    fn plain_figure(&self, node: &Node) -> Option<f64> {
        match node {
            Node::Negative(inner) => self.plain_figure(inner).map(|figure| -figure),
            node => self.look_at(node),
        }
    }
}

/// The kind of a plain figure.
pub(super) fn plain_kind(expr: &Expr) -> Option<Kind> {
    match &expr.kind {
        ExprKind::Figure { unit, .. } => {
            Some(unit.map_or(Kind::NUMBER, |unit| Kind::Quantity(unit.measure().0)))
        }
        _ => None,
    }
}
