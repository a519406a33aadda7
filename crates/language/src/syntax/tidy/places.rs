//! Which brackets are wanted: where without them something else would be read, and where they help whoever reads aloud.
//! Round all others a bracket says nothing, and goes.

use super::notes::unbracketed;
use crate::syntax::tree::{Comparison, Expr, ExprKind, Lead, Name, Operator, Relation};

/// Where an expression stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// Behind `=`.
    Drawn,
    /// One value behind `give`.
    Whole,
    /// One of several values behind `give`.
    Given,
    /// Behind `that`, `until` or `if`.
    Condition,
    /// Behind a linking word, beside a comparison.
    Argument,
    /// Between commas in square brackets.
    Item,
    /// Like an argument, as the first thing behind a word that is no linking word.
    First,
    /// Behind `notch at`, where `joints` is a word of its own.
    Notched,
    /// Before `meets` in a seam, where it begins the sentence.
    Meeting,
    /// A default that texts to choose from may follow.
    Chosen,
    /// Before the first linking word of a phrase.
    Lead,
    /// Behind `toward`, `leaving`, `arriving`.
    Bearing,
    /// Behind `HEAD of`, `until`, `to level of`.
    Operand,
    /// Before the first direction of a displacement.
    Start,
    /// How far a displacement goes.
    Distance,
    /// Before `clockwise`.
    Turned,
    /// Behind a sign.
    Negated,
    Term {
        right: bool,
    },
    Factor {
        right: bool,
    },
    /// Behind `not`.
    Denied,
    Both {
        right: bool,
    },
    Either {
        right: bool,
    },
}

/// What is wanted round an expression.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Want {
    /// No bracket.
    Bare,
    /// One bracket.
    Brackets,
    /// One where the writer has any.
    AsWritten,
}

/// Expressions by how tightly they hold together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Atom,
    Direction,
    Of,
    Negative,
    Product,
    Additive,
    Displaced,
    Turn,
    Comparison,
    Not,
    Both,
    Either,
    Phrase,
    /// An `each`, a bearing, a text, or what cannot be read.
    Other,
}

fn sort(expr: &Expr) -> Sort {
    match &expr.kind {
        ExprKind::Figure { .. }
        | ExprKind::Answer(_)
        | ExprKind::Origin
        | ExprKind::Name(_)
        | ExprKind::List(_) => Sort::Atom,
        ExprKind::Direction(_) => Sort::Direction,
        ExprKind::Of { .. } => Sort::Of,
        ExprKind::Negative(_) => Sort::Negative,
        ExprKind::Sum { operator, .. } => match operator {
            Operator::Add | Operator::Subtract => Sort::Additive,
            Operator::Multiply | Operator::Divide => Sort::Product,
        },
        ExprKind::Displaced { .. } => Sort::Displaced,
        ExprKind::Turn { .. } => Sort::Turn,
        ExprKind::Compare { .. } | ExprKind::Is { .. } => Sort::Comparison,
        ExprKind::Not(_) => Sort::Not,
        ExprKind::Both(..) => Sort::Both,
        ExprKind::Either(..) => Sort::Either,
        ExprKind::Phrase(_) => Sort::Phrase,
        ExprKind::Text(_)
        | ExprKind::Bearing(_)
        | ExprKind::Each(_)
        | ExprKind::Bracketed(_)
        | ExprKind::Broken => Sort::Other,
    }
}

impl Place {
    /// What is wanted round an expression that has no bracket of its own.
    pub(super) fn wants(self, expr: &Expr) -> Want {
        use Sort::{
            Additive, Atom, Both, Comparison, Direction, Displaced, Either, Negative, Not, Of,
            Other, Phrase, Product, Turn,
        };
        let sort = sort(expr);
        match (self, sort) {
            (Place::Drawn | Place::Whole | Place::Condition, Other) => Want::AsWritten,
            // `answer wide = (half = 40cm)`
            (Place::Drawn, Comparison) if is_equality(expr) => Want::Brackets,
            (Place::Condition, Phrase) => Want::Brackets,
            (Place::Drawn | Place::Whole | Place::Condition, _) => Want::Bare,

            (Place::Given, Atom) if is_name(expr).is_none_or(|name| name.words.len() > 1) => {
                Want::Bare
            }
            (Place::Given, _) => Want::AsWritten,

            (Place::Bearing, Direction) => Want::Bare,
            (_, Other | Direction) => Want::AsWritten,

            // A curve's `square` and a notch's `joints` are words of the sentence there.
            (Place::Bearing, Atom) if is_word(expr, "square") => Want::AsWritten,
            (Place::Notched, Atom) if is_word(expr, "joints") => Want::AsWritten,
            (Place::Bearing, Turn) => Want::AsWritten,

            (Place::Meeting, Atom) if is_name(expr).is_some() => Want::Bare,
            (Place::Meeting, Displaced | Phrase) => Want::Brackets,
            (Place::Meeting, _) => Want::AsWritten,

            // A word there may be the head of the phrase.
            (Place::Lead, Atom) if is_name(expr).is_some_and(|name| name.words.len() == 1) => {
                Want::AsWritten
            }
            (Place::Lead, Of) => Want::AsWritten,

            (Place::First, Of | Negative | Product | Additive | Turn | Atom)
                if begins_oddly(expr) =>
            {
                Want::AsWritten
            }
            (_, Of) if begins_oddly(expr) => Want::AsWritten,

            (Place::Operand, Atom | Of) => Want::Bare,
            (Place::Operand, _) => Want::Brackets,

            (Place::Start, Atom | Of) => Want::Bare,
            (Place::Start, Negative | Product | Additive) => Want::AsWritten,
            (Place::Start, _) => Want::Brackets,

            (Place::Distance, Atom | Of | Negative | Product | Additive) => Want::Bare,
            (Place::Distance, _) => Want::Brackets,

            (Place::Turned, Atom | Of | Negative | Product | Additive) => Want::Bare,
            (Place::Turned, Displaced) => Want::AsWritten,
            (Place::Turned, _) => Want::Brackets,

            (Place::Negated, Atom | Of) => Want::Bare,
            (Place::Negated, _) => Want::Brackets,
            (Place::Term { right: false }, Additive | Negative) => Want::Bare,
            (Place::Term { .. }, Atom | Of | Product) => Want::Bare,
            (Place::Term { .. }, _) => Want::Brackets,
            (Place::Factor { right: false }, Product | Negative) => Want::Bare,
            (Place::Factor { .. }, Atom | Of) => Want::Bare,
            (Place::Factor { .. }, _) => Want::Brackets,

            (Place::Denied, Comparison) if !is_drawn(expr) => Want::Brackets,
            (Place::Denied, Both | Either) => Want::Brackets,
            (Place::Denied, Not) => Want::AsWritten,
            (Place::Both { right: false }, Both) => Want::Bare,
            (Place::Both { .. }, Both | Either) => Want::Brackets,
            (Place::Both { .. }, Comparison) if says_and(expr) => Want::Brackets,
            (Place::Both { .. }, Comparison | Not) => Want::Bare,
            (Place::Either { right: false }, Either) => Want::Bare,
            (Place::Either { .. }, Both | Either) => Want::Brackets,
            (Place::Either { .. } | Place::Denied, Comparison | Not) => Want::Bare,

            (Place::Item, Displaced) => Want::Bare,
            // Beside linking words and comparisons a displacement is heard as one thing only in brackets.
            (_, Displaced | Phrase | Comparison | Not | Both | Either) => Want::Brackets,
            (_, Atom | Of | Negative | Product | Additive | Turn) => Want::Bare,
        }
    }

    /// The place on the right of the same sign or word.
    pub(super) fn to_the_right(self) -> Self {
        match self {
            Place::Both { .. } => Place::Both { right: true },
            Place::Either { .. } => Place::Either { right: true },
            place => place,
        }
    }
}

fn is_equality(expr: &Expr) -> bool {
    let equal = Comparison::Equal;
    matches!(&expr.kind, ExprKind::Compare { comparison, .. } if *comparison == equal)
}

fn is_drawn(expr: &Expr) -> bool {
    matches!(&expr.kind, ExprKind::Is { relation, .. } if **relation == Relation::Drawn)
}

/// `a is between b and c`: another `and` behind it would be heard with it.
fn says_and(expr: &Expr) -> bool {
    let ExprKind::Is { relation, .. } = &expr.kind else {
        return false;
    };
    matches!(
        **relation,
        Relation::Between { .. } | Relation::Than { up_to: Some(_), .. }
    )
}

fn is_name(expr: &Expr) -> Option<&Name> {
    match &expr.kind {
        ExprKind::Name(name) => Some(name),
        _ => None,
    }
}

fn is_word(expr: &Expr, word: &str) -> bool {
    is_name(expr).is_some_and(|name| name.words.first().is_some_and(|w| &*w.text == word))
}

/// Whether it begins, its brackets gone, with what may not stand right behind a word: a sign, a direction, or `level of`, which
/// behind `to` is another word.
fn begins_oddly(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Negative(_) | ExprKind::Direction(_) => true,
        ExprKind::Of { head, .. } => &*head.text == "level",
        ExprKind::Sum { left, .. } => begins_oddly(unbracketed(left)),
        ExprKind::Turn { angle, .. } => begins_oddly(unbracketed(angle)),
        ExprKind::Displaced { from, .. } => begins_oddly(unbracketed(from)),
        ExprKind::Phrase(phrase) => match &phrase.lead {
            Lead::Value(value) => begins_oddly(unbracketed(value)),
            _ => false,
        },
        _ => false,
    }
}
