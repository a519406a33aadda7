//! What the tree says of each token: whether its bracket or its `by` is wanted, whether it stands tight, and how readily a line
//! is broken before it.

use super::own;
use super::places::{Place, Want};
use crate::report::Span;
use crate::syntax::tokens::{Comment, Placed, Tok};
use crate::syntax::tree::{
    Bearing, Block, Clause, Each, EachOver, Expr, ExprKind, Far, File, Lead, Link, Operator,
    Parameter, Phrase, Relation, Sentence, SentenceKind, Setting,
};
use std::collections::HashMap;

/// A place where a line may be broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Mark {
    /// How deep in the sentence: what lies outermost breaks first.
    pub level: u16,
    /// Of one level, the least breaks first.
    pub rank: u8,
    pub manner: Manner,
}

/// The level of what stands in the expressions of a sentence; that of its own words is lower.
pub(super) const INSIDE: u16 = 10;

/// How a sentence goes on over several lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Manner {
    /// Each part on a line of its own.
    All,
    /// What stands on the last line is as much as it holds, so that no short word is left alone.
    Clauses,
    /// Each line is filled.
    List,
}

/// What is to be done at a token.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Note {
    /// A line may begin with it.
    pub mark: Option<Mark>,
    /// So many brackets are opened before it.
    pub opens: u8,
    /// `by` is written before it.
    pub by: bool,
    /// It is not written.
    pub dropped: bool,
    /// It is the sign of what follows, or the bar of a plain fraction: nothing stands between.
    pub tight: bool,
    /// It stands tight behind the token before it.
    pub glued: bool,
}

/// The notes to a text.
#[derive(Debug, Default)]
pub(super) struct Notes {
    /// By the first byte of a token.
    at: HashMap<u32, Note, foldhash::fast::FixedState>,
    /// By the byte behind a token: so many brackets are closed there.
    closes: HashMap<u32, u8, foldhash::fast::FixedState>,
}

impl Notes {
    pub(super) fn of(text: &str, tokens: &[Placed], comments: &[Comment], tree: &File) -> Self {
        let mut reader = Reader {
            text,
            tokens,
            comments,
            notes: Self::default(),
            parts: Vec::new(),
        };
        reader.sentences(&tree.sentences);
        reader.notes
    }

    pub(super) fn at(&self, token: Span) -> Note {
        self.at.get(&token.start).copied().unwrap_or_default()
    }

    pub(super) fn closed_behind(&self, token: Span) -> u8 {
        self.closes.get(&token.end).copied().unwrap_or_default()
    }
}

/// Goes through the tree, and notes.
pub(super) struct Reader<'a> {
    text: &'a str,
    tokens: &'a [Placed],
    comments: &'a [Comment],
    notes: Notes,
    /// Where the expressions of the present sentence stand: linking words outside them are the sentence's own.
    pub(super) parts: Vec<Span>,
}

/// A product is torn where nothing else is left.
const PRODUCT: u16 = u16::MAX - 2;

/// Before the first token behind `=`: the last resort.
pub(super) const BEHIND_EQUALS: Mark = Mark {
    level: u16::MAX,
    rank: 0,
    manner: Manner::List,
};

impl<'a> Reader<'a> {
    fn sentences(&mut self, sentences: &[Sentence]) {
        for sentence in sentences {
            self.sentence(sentence);
        }
    }

    fn block(&mut self, block: &Block) {
        self.sentences(&block.sentences);
    }

    fn sentence(&mut self, sentence: &Sentence) {
        let outer = std::mem::take(&mut self.parts);
        match &sentence.kind {
            SentenceKind::Import(import) => self.own_settings(&import.with),
            SentenceKind::Measure(measure) => {
                self.part(&measure.default, Place::Chosen, 2);
                self.range(measure.range.as_ref(), 3);
            }
            SentenceKind::Require(claim) | SentenceKind::Check(claim) => {
                self.part(&claim.condition, Place::Condition, 1);
            }
            SentenceKind::Draw(draw) => self.drawn(&draw.value),
            SentenceKind::Redraw(redraw) => self.drawn(&redraw.value),
            SentenceKind::Carry(carry) => self.drawn(&carry.value),
            SentenceKind::Panel(panel) => self.block(&panel.body),
            SentenceKind::ClothAt(place) => self.part(place, Place::Argument, 1),
            SentenceKind::Step(step) => self.block(&step.body),
            SentenceKind::Slip(slip) => {
                self.part(&slip.of, Place::First, 1);
                self.part(&slip.figure, Place::Argument, 1);
            }
            SentenceKind::Try(sought) => {
                self.part(&sought.low, Place::Argument, 2);
                self.part(&sought.high, Place::Argument, 2);
                self.block(&sought.body);
                self.part(&sought.until, Place::Condition, 1);
            }
            SentenceKind::Each(each) => self.each(each, 1),
            SentenceKind::If(branches) => {
                for (condition, block) in &branches.branches {
                    self.part(condition, Place::Condition, 1);
                    self.block(block);
                }
                branches
                    .otherwise
                    .iter()
                    .for_each(|block| self.block(block));
            }
            SentenceKind::Operation(operation) => {
                let places = operation.places.iter().map(|(.., parameter)| parameter);
                let parameters = operation.direct.iter().chain(places);
                for parameter in parameters.chain(&operation.options) {
                    self.parameter(parameter);
                }
                self.block(&operation.body);
            }
            SentenceKind::Give(values) => {
                let place = match values.len() {
                    1 => Place::Whole,
                    _ => Place::Given,
                };
                values.iter().for_each(|value| self.part(value, place, 2));
            }
            SentenceKind::Piece(piece) => self.piece_sentences(&piece.sentences),
            SentenceKind::Seam(seam) => self.seam(seam),
            SentenceKind::Cloth(cloth) => self.own_settings(&cloth.settings),
            SentenceKind::Broken(lost) => lost.blocks.iter().for_each(|block| self.block(block)),
            SentenceKind::Edition(_)
            | SentenceKind::Draft(_)
            | SentenceKind::Unit(_)
            | SentenceKind::Use(_)
            | SentenceKind::Note(_)
            | SentenceKind::Why(_)
            | SentenceKind::Caution(_)
            | SentenceKind::Terms(_)
            | SentenceKind::Take(_)
            | SentenceKind::Order(_) => {}
        }
        self.own_words(sentence.span);
        self.parts = outer;
    }

    /// The value behind `=`.
    fn drawn(&mut self, value: &Expr) {
        self.mark(value.span.start, BEHIND_EQUALS);
        self.part(value, Place::Drawn, 1);
    }

    fn range(&mut self, range: Option<&(Expr, Expr)>, level: u16) {
        if let Some((low, high)) = range {
            self.part(low, Place::Argument, level);
            self.part(high, Place::Argument, level);
        }
    }

    fn parameter(&mut self, parameter: &Parameter) {
        if let Some(default) = &parameter.default {
            self.part(default, Place::Chosen, 6);
        }
        self.range(parameter.range.as_ref(), 6);
    }

    pub(super) fn own_settings(&mut self, settings: &[Setting]) {
        for setting in settings {
            self.part(&setting.value, Place::Argument, 3);
            if let Some(high) = &setting.to {
                self.part(high, Place::Argument, 3);
            }
        }
    }

    /// The linking words of the sentence itself, outside its expressions and its blocks.
    pub(super) fn own_words(&mut self, sentence: Span) {
        self.parts.sort_unstable_by_key(|part| part.start);
        let mut parts = std::mem::take(&mut self.parts).into_iter().peekable();
        let mut at = self.token_from(sentence.start);
        let mut before: Option<Placed> = None;
        let (mut word, mut braces, mut depth) = ("", 0_usize, 0_usize);
        while let Some(&(tok, span)) = self.tokens.get(at) {
            at += 1;
            if span.start >= sentence.end {
                break;
            }
            while parts.next_if(|part| part.end <= span.start).is_some() {}
            match tok {
                Tok::OpenBrace => braces += 1,
                Tok::CloseBrace => braces = braces.saturating_sub(1),
                Tok::OpenRound | Tok::OpenSquare => depth += 1,
                Tok::CloseRound | Tok::CloseSquare => depth = depth.saturating_sub(1),
                _ => {}
            }
            if word.is_empty() {
                word = self.letters(span);
            }
            let inside = parts.peek().is_some_and(|part| part.start <= span.start);
            let begins_part = parts.peek().is_some_and(|part| part.start == span.start);
            if tok == Tok::End || braces > 0 {
                continue;
            }
            let opens = matches!(tok, Tok::OpenRound | Tok::OpenSquare);
            if let Some((earlier, place)) = before
                && (!inside || (begins_part && earlier == Tok::Comma))
            {
                let sight = own::Sight {
                    word,
                    tok,
                    letters: self.letters(span),
                    before: earlier,
                    letters_before: self.letters(place),
                    depth: depth - usize::from(opens),
                };
                if let Some(mark) = own::mark(&sight) {
                    self.mark(span.start, mark);
                }
            }
            before = Some((tok, span));
        }
    }

    pub(super) fn part(&mut self, expr: &Expr, place: Place, level: u16) {
        self.parts.push(expr.span);
        self.expr(expr, place, INSIDE + level);
    }

    /// Settles the brackets round an expression, and goes on inside it.
    fn expr(&mut self, expr: &Expr, place: Place, level: u16) {
        let mut layers = Vec::new();
        let mut inner = expr;
        while let ExprKind::Bracketed(within) = &inner.kind {
            layers.push(inner.span);
            inner = within;
        }
        let kept = match place.wants(inner) {
            Want::Bare => 0,
            Want::Brackets => 1,
            Want::AsWritten => layers.len().min(1),
        };
        if !self.commented(expr.span) {
            if kept > layers.len() {
                self.note(inner.span.start).opens += 1;
                *self.notes.closes.entry(inner.span.end).or_default() += 1;
            }
            for layer in layers.iter().take(layers.len().saturating_sub(kept)) {
                self.note(layer.start).dropped = true;
                self.note(layer.end.saturating_sub(1)).dropped = true;
            }
        }
        self.inside(inner, level);
    }

    fn inside(&mut self, expr: &Expr, level: u16) {
        match &expr.kind {
            ExprKind::List(items) => self.list(items, level),
            ExprKind::Negative(inner) => {
                self.note(expr.span.start).tight = true;
                self.expr(inner, Place::Negated, level + 1);
            }
            ExprKind::Sum {
                operator,
                sign,
                left,
                right,
            } => self.sum(*operator, *sign, left, right, level),
            ExprKind::Of { operand, .. } => self.expr(operand, Place::Operand, level + 1),
            ExprKind::Displaced { from, moves } => {
                self.expr(from, Place::Start, level + 1);
                for leg in moves {
                    self.next_in_list(leg.span.start, level);
                    match &leg.far {
                        Far::By(far) => self.distance(leg.span, far, level + 1),
                        Far::Until(path) => self.expr(path, Place::Operand, level + 1),
                        Far::LevelOf(point) => self.expr(point, Place::Operand, level + 1),
                    }
                }
            }
            ExprKind::Turn { angle, .. } => self.expr(angle, Place::Turned, level),
            ExprKind::Bearing(bearing) => self.bearing(bearing, level),
            ExprKind::Compare { left, right, .. } => {
                self.side(left, level);
                self.break_behind(left.span, level, 0);
                self.side(right, level);
            }
            ExprKind::Is { subject, relation } => {
                self.side(subject, level);
                self.break_behind(subject.span, level, 0);
                self.relation(relation, level + 1);
            }
            ExprKind::Not(inner) => self.expr(inner, Place::Denied, level + 1),
            ExprKind::Both(left, right) => {
                self.joined(left, right, Place::Both { right: false }, level);
            }
            ExprKind::Either(left, right) => {
                self.joined(left, right, Place::Either { right: false }, level);
            }
            ExprKind::Phrase(phrase) => self.phrase(phrase, level),
            ExprKind::Each(each) => self.each(each, level),
            ExprKind::Bracketed(inner) => self.inside(inner, level),
            ExprKind::Figure { .. }
            | ExprKind::Text(_)
            | ExprKind::Answer(_)
            | ExprKind::Origin
            | ExprKind::Name(_)
            | ExprKind::Direction(_)
            | ExprKind::Broken => {}
        }
    }

    fn sum(&mut self, operator: Operator, sign: Span, left: &Expr, right: &Expr, level: u16) {
        let adds = matches!(operator, Operator::Add | Operator::Subtract);
        let plain = |expr: &Expr| matches!(expr.kind, ExprKind::Figure { unit: None, .. });
        if operator == Operator::Divide && plain(left) && plain(right) {
            let note = self.note(sign.start);
            (note.tight, note.glued) = (true, true);
        } else {
            let level = if adds { level } else { PRODUCT };
            self.next_in_list(sign.start, level);
        }
        let same = matches!(&unbracketed(left).kind, ExprKind::Sum { operator, .. }
            if adds == matches!(operator, Operator::Add | Operator::Subtract));
        let left_level = if same { level } else { level + 1 };
        let place = |right| match adds {
            true => Place::Term { right },
            false => Place::Factor { right },
        };
        self.expr(left, place(false), left_level);
        self.expr(right, place(true), level + 1);
    }

    /// `right 5cm`, but `right by quarter`.
    fn distance(&mut self, direction: Span, far: &Expr, level: u16) {
        let figure = match &unbracketed(far).kind {
            ExprKind::Negative(inner) => unbracketed(inner),
            _ => unbracketed(far),
        };
        let wanted = !matches!(figure.kind, ExprKind::Figure { .. });
        let next = self.tokens.get(self.token_from(direction.end)).copied();
        if let Some((tok, by)) = next
            && !self.commented(direction.to(far.span))
        {
            let written = tok == Tok::Link(Link::By);
            if written && !wanted {
                self.note(by.start).dropped = true;
            } else if wanted && !written {
                self.note(far.span.start).by = true;
            }
        }
        self.expr(far, Place::Distance, level);
    }

    fn bearing(&mut self, bearing: &Bearing, level: u16) {
        match bearing {
            Bearing::Along(line) => self.expr(line, Place::Operand, level + 1),
            Bearing::SquareTo(line, toward) => {
                self.expr(line, Place::Operand, level + 1);
                if let Some(toward) = toward {
                    self.expr(toward, Place::Bearing, level + 1);
                }
            }
            Bearing::Leaning { angle, .. } => self.expr(angle, Place::Argument, level + 1),
        }
    }

    fn side(&mut self, side: &Expr, level: u16) {
        self.expr(side, Place::Argument, level + 1);
    }

    fn relation(&mut self, relation: &Relation, level: u16) {
        match relation {
            Relation::Within { tolerance, of } => {
                // Up to its own `of` no word may take one, so that brackets round one are wanted all the way in.
                if !names_of(tolerance) {
                    self.expr(tolerance, Place::Argument, level + 1);
                }
                self.side(of, level);
            }
            Relation::Between { low, high } => {
                self.side(low, level);
                self.side(high, level);
            }
            Relation::Than {
                by, up_to, than, ..
            } => {
                let ends = by.iter().chain(up_to);
                ends.for_each(|end| self.side(end, level));
                self.side(than, level);
            }
            Relation::Lies { than, .. } => self.side(than, level),
            Relation::Drawn => {}
        }
    }

    /// `a and b and c`, `a or b`
    fn joined(&mut self, left: &Expr, right: &Expr, place: Place, level: u16) {
        let of_both = matches!(place, Place::Both { .. });
        let same = match &unbracketed(left).kind {
            ExprKind::Both(..) => of_both,
            ExprKind::Either(..) => !of_both,
            _ => false,
        };
        self.expr(left, place, if same { level } else { level + 1 });
        self.break_behind(left.span, level, 0);
        self.expr(right, place.to_the_right(), level + 1);
    }

    fn phrase(&mut self, phrase: &Phrase, level: u16) {
        match &phrase.lead {
            Lead::Nothing => {}
            Lead::Head { word, direct } => {
                for (n, part) in direct.iter().enumerate() {
                    if n > 0 {
                        self.next_in_list(part.span.start, level + 1);
                    }
                    let place = match n {
                        0 if &*word.text == crate::syntax::tree::NEXT => Place::Given,
                        0 => Place::First,
                        _ => Place::Argument,
                    };
                    self.expr(part, place, level + 2);
                }
            }
            Lead::Value(value) => self.expr(value, Place::Lead, level + 1),
        }
        // A head does not stand alone at the end of a line.
        let bare = match &phrase.lead {
            Lead::Nothing => true,
            Lead::Head { direct, .. } => direct.is_empty(),
            Lead::Value(value) => matches!(value.kind, ExprKind::Name(_)),
        };
        let leaves = phrase.clauses.iter().any(|c| c.link == Link::Leaving);
        for (n, clause) in phrase.clauses.iter().enumerate() {
            if let Some(rank) = rank(clause.link, leaves)
                && !(n == 0 && bare)
            {
                self.may_break(clause.link_span.start, level, rank);
            }
            self.clause(clause, level);
        }
        if let Some(first) = phrase.options.first() {
            let name = self.token_from(first.name.span.start);
            if let Some(&(Tok::Link(Link::With), with)) = self.tokens.get(name.wrapping_sub(1)) {
                self.may_break(with.start, level, 0);
            }
        }
        for (n, option) in phrase.options.iter().enumerate() {
            if n > 0 {
                let mark = Mark {
                    level: level + 1,
                    rank: 0,
                    manner: Manner::All,
                };
                self.mark(option.name.span.start, mark);
            }
            let values = [Some(&option.value), option.to.as_ref()];
            for value in values.into_iter().flatten() {
                self.expr(value, Place::Argument, level + 2);
            }
        }
    }

    fn clause(&mut self, clause: &Clause, level: u16) {
        let place = match clause.link {
            Link::Toward | Link::Leaving | Link::Arriving => Place::Bearing,
            Link::Until | Link::LevelOf => Place::Operand,
            _ => Place::Argument,
        };
        for (n, argument) in clause.arguments.iter().enumerate() {
            if n > 0 {
                self.next_in_list(argument.span.start, level + 1);
            }
            self.expr(argument, place, level + 2);
        }
    }

    fn list(&mut self, items: &[Expr], level: u16) {
        for (n, item) in items.iter().enumerate() {
            if n > 0 {
                self.next_in_list(item.span.start, level);
            }
            self.expr(item, Place::Item, level + 1);
        }
    }

    fn each(&mut self, each: &Each, level: u16) {
        match &each.over {
            EachOver::Count { from, to } => {
                self.part(from, Place::Argument, level + 1);
                self.part(to, Place::Argument, level + 1);
            }
            EachOver::Items(items) => self.part(items, Place::Argument, level + 1),
        }
        for carried in &each.carried {
            self.part(&carried.from, Place::Argument, level + 1);
        }
        self.block(&each.body);
    }

    fn may_break(&mut self, byte: u32, level: u16, rank: u8) {
        let mark = Mark {
            level,
            rank,
            manner: Manner::Clauses,
        };
        self.mark(byte, mark);
    }

    /// The next of several things of one sort.
    fn next_in_list(&mut self, byte: u32, level: u16) {
        let mark = Mark {
            level,
            rank: 0,
            manner: Manner::List,
        };
        self.mark(byte, mark);
    }

    /// A line may begin with the word behind an expression.
    fn break_behind(&mut self, expr: Span, level: u16, rank: u8) {
        let next = self.tokens.get(self.token_from(expr.end)).copied();
        if let Some((_, word)) = next {
            self.may_break(word.start, level, rank);
        }
    }

    fn mark(&mut self, byte: u32, mark: Mark) {
        let note = self.note(byte);
        note.mark = Some(note.mark.map_or(mark, |other| other.min(mark)));
    }

    fn note(&mut self, byte: u32) -> &mut Note {
        self.notes.at.entry(byte).or_default()
    }

    /// The first token that begins at a byte or behind it, ends of sentences left aside.
    fn token_from(&self, byte: u32) -> usize {
        let mut at = self.tokens.partition_point(|(_, span)| span.start < byte);
        while self.tokens.get(at).is_some_and(|(tok, _)| *tok == Tok::End) {
            at += 1;
        }
        at
    }

    fn commented(&self, within: Span) -> bool {
        let at = self
            .comments
            .partition_point(|comment| comment.span.start < within.start);
        let next = self.comments.get(at);
        next.is_some_and(|comment| comment.span.start < within.end)
    }

    fn letters(&self, span: Span) -> &'a str {
        self.text.get(span.range()).unwrap_or("")
    }
}

/// Without brackets round it.
pub(super) fn unbracketed(expr: &Expr) -> &Expr {
    match &expr.kind {
        ExprKind::Bracketed(inner) => unbracketed(inner),
        _ => expr,
    }
}

/// Whether an `of` stands in a sum, in brackets or not.
fn names_of(expr: &Expr) -> bool {
    match &unbracketed(expr).kind {
        ExprKind::Of { .. } => true,
        ExprKind::Negative(inner) => names_of(inner),
        ExprKind::Sum { left, right, .. } => names_of(left) || names_of(right),
        _ => false,
    }
}

/// How readily a line breaks before a linking word; none where the word holds on to what stands before it.
fn rank(link: Link, leaves: bool) -> Option<u8> {
    match link {
        Link::Leaving => Some(1),
        Link::Arriving if !leaves => Some(1),
        Link::Arriving => Some(2),
        Link::And
        | Link::Of
        | Link::LeavingFor
        | Link::LeavingShare
        | Link::ArrivingFor
        | Link::ArrivingShare => None,
        // `from A to B`, `from A through B to C` are said in one breath.
        Link::To | Link::Through | Link::WayFrom | Link::WayAlong => Some(4),
        _ => Some(3),
    }
}
