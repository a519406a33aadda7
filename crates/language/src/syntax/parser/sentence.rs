//! Sentences: the file, the block, the choice of the rule by the first word, and leaving a sentence that went astray.

use super::context::{Context, KeepOf};
use super::cursor::{astray, bump, expect, next_letters, next_span, second};
use super::expression::{Rules, made};
use super::fault::{Fault, Want};
use super::model::Model;
use super::{Extra, In, Read, Rule, Tokens, file, message, operation, panel, piece, rule, seam};
use crate::report::Span;
use crate::syntax::starts;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{
    Block, Expr, ExprKind, KindWord, Link, Lost, Sentence, SentenceKind, Step, Taken, Text, Try,
    Word,
};
use chumsky::prelude::*;

/// All sentences of a file.
pub(super) fn whole_file<'s>() -> impl Parser<'s, Tokens<'s>, Vec<Sentence>, Extra<'s>> {
    let block = recursive(|block| {
        let rules = Rules {
            block: block.boxed(),
        };
        braced(sentence(&rules)).map_with(|(mut sentences, span), extra| {
            tear(&mut sentences, extra.state());
            Block { sentences, span }
        })
    });
    let rules = Rules {
        block: block.boxed(),
    };
    let sentence = sentence(&rules);
    rule(move |inp| {
        let mut sentences = Vec::new();
        while inp.peek().is_some() {
            if matches!(inp.peek(), Some(Tok::End | Tok::CloseBrace)) {
                inp.skip();
                continue;
            }
            sentences.push(inp.parse(&sentence)?);
        }
        tear(&mut sentences, inp.state());
        Ok(sentences)
    })
}

/// A line that begins no sentence, and stands further in than the sentence above it, was to go on with that: so that one is
/// torn, and what it would have drawn is not drawn from its half.
fn tear(sentences: &mut [Sentence], context: &mut Context<'_>) {
    for n in 1..sentences.len() {
        let Some([above, line]) = sentences.get_mut(n - 1..=n) else {
            return;
        };
        let begins_none = matches!(&line.kind, SentenceKind::Broken(lost) if lost.word.is_empty());
        if !begins_none || !context.stands_further_in(line.span, above.span) {
            continue;
        }
        let (word, kind, names) = match &above.kind {
            SentenceKind::Draw(draw) => (draw.kind.word(), Some(draw.kind), &draw.names),
            SentenceKind::Redraw(redraw) => ("redraw", None, &redraw.names),
            _ => continue,
        };
        context.broken_names.extend(names.iter().cloned());
        above.kind = SentenceKind::Broken(Lost {
            word,
            kind,
            names: names.clone(),
            is_torn: false,
            blocks: Vec::new(),
        });
    }
}

/// `{`, sentences of any sort, `}`. The sentences never fail, so neither does what follows the brace.
pub(super) fn braced<'s, O: 's>(sentence: Rule<'s, O>) -> Rule<'s, (Vec<O>, Span)> {
    rule(move |inp| {
        let open = expect(
            inp,
            Tok::OpenBrace,
            Want::a("a block, which begins with `{`,"),
        )?;
        let mut sentences = Vec::new();
        loop {
            match inp.peek() {
                Some(Tok::End) => inp.skip(),
                Some(Tok::CloseBrace) => return Ok((sentences, open.to(bump(inp)))),
                None => return Ok((sentences, open.to(open.after()))),
                Some(_) => sentences.push(inp.parse(&sentence)?),
            }
        }
    })
    .boxed()
}

/// Whether the sentence ends before the next token.
pub(super) fn ends_here(inp: &mut In) -> bool {
    matches!(inp.peek(), None | Some(Tok::End | Tok::CloseBrace))
}

/// Leaves a sentence: to its end, reading its blocks on the way so that what is wrong inside them is told too.
pub(super) fn leave<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Vec<Block> {
    let mut blocks = Vec::new();
    while !ends_here(inp) {
        if inp.peek() == Some(Tok::OpenBrace) {
            blocks.extend(inp.parse(&rules.block).ok());
        } else {
            inp.skip();
        }
    }
    blocks
}

/// Leaves a sentence without looking into its block.
pub(super) fn leave_blindly(inp: &mut In) {
    let mut depth = 0_usize;
    loop {
        match inp.peek() {
            None => return,
            Some(Tok::End | Tok::CloseBrace) if depth == 0 => return,
            Some(Tok::OpenBrace) => depth += 1,
            Some(Tok::CloseBrace) => depth -= 1,
            Some(_) => {}
        }
        inp.skip();
    }
}

/// The rules of all sentences of a file or a block.
struct Sentences<'s> {
    rules: Rules<'s>,
    edition: Rule<'s, SentenceKind>,
    draft: Rule<'s, SentenceKind>,
    unit: Rule<'s, SentenceKind>,
    import: Rule<'s, SentenceKind>,
    library: Rule<'s, SentenceKind>,
    body: Rule<'s, SentenceKind>,
    choose: Rule<'s, SentenceKind>,
    require: Rule<'s, SentenceKind>,
    check: Rule<'s, SentenceKind>,
    draw: Rule<'s, SentenceKind>,
    redraw: Rule<'s, SentenceKind>,
    guide: Rule<'s, SentenceKind>,
    panel: Rule<'s, SentenceKind>,
    cloth: Rule<'s, SentenceKind>,
    cloth_at: Rule<'s, SentenceKind>,
    step: Rule<'s, SentenceKind>,
    note: Rule<'s, SentenceKind>,
    why: Rule<'s, SentenceKind>,
    caution: Rule<'s, SentenceKind>,
    slip: Rule<'s, SentenceKind>,
    terms: Rule<'s, SentenceKind>,
    try_until: Rule<'s, SentenceKind>,
    if_else: Rule<'s, SentenceKind>,
    each: Rule<'s, SentenceKind>,
    carry: Rule<'s, SentenceKind>,
    operation: Rule<'s, SentenceKind>,
    give: Rule<'s, SentenceKind>,
    piece: Rule<'s, SentenceKind>,
    pieces: Rule<'s, SentenceKind>,
    seams: Rule<'s, SentenceKind>,
    seam: Rule<'s, SentenceKind>,
    order: Rule<'s, SentenceKind>,
}

impl<'s> Sentences<'s> {
    fn new(rules: &Rules<'s>) -> Self {
        Self {
            rules: rules.clone(),
            edition: file::edition(rules),
            draft: file::draft(rules),
            unit: file::unit(),
            import: file::import(rules),
            library: file::library(),
            body: file::body(rules),
            choose: file::choose(rules),
            require: file::require(rules),
            check: file::check(rules),
            draw: panel::draw(rules),
            redraw: panel::redraw(rules),
            guide: panel::guide(rules),
            panel: panel::panel(rules),
            cloth: piece::cloth(rules),
            cloth_at: panel::cloth_at(rules),
            step: panel::step(rules),
            note: panel::saying(rules, SentenceKind::Note, Model::Note),
            why: panel::saying(rules, SentenceKind::Why, Model::Why),
            caution: panel::saying(rules, SentenceKind::Caution, Model::Caution),
            slip: panel::slip(rules),
            terms: panel::terms(),
            try_until: panel::try_until(rules),
            if_else: panel::if_else(rules),
            each: panel::each(rules),
            carry: panel::carry(rules),
            operation: operation::operation(rules),
            give: operation::give(rules),
            piece: piece::piece(rules),
            pieces: piece::take(Taken::Pieces),
            seams: piece::take(Taken::Seams),
            seam: seam::seam(rules),
            order: seam::order(),
        }
    }

    /// The rule that the first word chooses.
    fn of_word(&self, inp: &mut In<'s, '_>, word: &str) -> Option<&Rule<'s, SentenceKind>> {
        Some(match word {
            "point" | "line" | "curve" | "length" | "angle" | "area" | "number" | "direction"
            | "text" | "list" | "answer" => &self.draw,
            "redraw" => &self.redraw,
            "guide" => &self.guide,
            "step" => &self.step,
            "note" => &self.note,
            "panel" if panel::is_drawn(inp) => &self.draw,
            "panel" => &self.panel,
            "body" => &self.body,
            "choose" => &self.choose,
            "try" => &self.try_until,
            "give" => &self.give,
            "carry" => &self.carry,
            "why" => &self.why,
            "caution" => &self.caution,
            "slip" => &self.slip,
            "terms" => &self.terms,
            "piece" => &self.piece,
            "pieces" => &self.pieces,
            "seams" => &self.seams,
            "seam" => &self.seam,
            "order" => &self.order,
            "check" => &self.check,
            "require" => &self.require,
            "operation" => &self.operation,
            "cloth" if second(inp) == Some(Tok::Link(crate::syntax::tree::Link::At)) => {
                &self.cloth_at
            }
            "cloth" => &self.cloth,
            "draft" => &self.draft,
            "unit" => &self.unit,
            "import" => &self.import,
            "use" => &self.library,
            "edition" => &self.edition,
            _ => return None,
        })
    }

    fn read(&self, inp: &mut In<'s, '_>) -> Read<SentenceKind> {
        match inp.peek() {
            Some(Tok::If) => inp.parse(&self.if_else),
            Some(Tok::Each) => inp.parse(&self.each),
            Some(Tok::Name) => {
                let word = next_letters(inp);
                match self.of_word(inp, word) {
                    Some(rule) => inp.parse(rule),
                    None => Err(not_a_sentence(inp)),
                }
            }
            _ => Err(not_a_sentence(inp)),
        }
    }
}

/// Any sentence of a file or a block; one that goes astray is told and left.
fn sentence<'s>(rules: &Rules<'s>) -> Rule<'s, Sentence> {
    let sentences = Sentences::new(rules);
    rule(move |inp| {
        let begun = inp.save();
        let before = inp.cursor();
        let chain = inp.state().chain_left;
        let told = std::mem::replace(&mut inp.state().told, false);
        inp.state().first = next_letters(inp);
        let kind = match sentences.read(inp) {
            Ok(kind) => {
                finish(inp, |inp| drop(leave(inp, &sentences.rules)));
                kind
            }
            Err(fault) => {
                message::tell(inp, &fault);
                let here = inp.save();
                inp.rewind(begun);
                let head = Head::read(inp);
                inp.rewind(here);
                head.rest(inp, &sentences.rules)
            }
        };
        let state = inp.state();
        state.chain_left = chain;
        state.told = told;
        state.at_top = false;
        state.keep_of = KeepOf::None;
        let span = inp.span_since(&before);
        Ok(Sentence { kind, span })
    })
    .boxed()
}

/// After a whole sentence: what still stands there is told and left.
pub(super) fn finish<'s>(inp: &mut In<'s, '_>, leave: impl FnOnce(&mut In<'s, '_>)) {
    if !ends_here(inp) {
        let fault = astray(inp, Want::a("the end of the sentence"));
        message::tell(inp, &fault);
        leave(inp);
    }
}

/// A fault for a line that begins with no sentence word; the message is given here.
fn not_a_sentence(inp: &mut In) -> Fault {
    let (span, found) = (next_span(inp), inp.peek());
    let letters = inp.state().slice(span);
    let then = second(inp);
    let is_told = inp.state().told_above.take() == Some(span);
    if !is_told && let Some(message) = message::not_a_sentence(found, letters, then, span) {
        inp.state().tell(message);
    }
    // Take the word, so that leaving always goes on.
    inp.skip();
    Fault::told(span)
}

/// What can be told from the first words of a broken sentence.
struct Head {
    word: &'static str,
    kind: Option<KindWord>,
    names: Vec<Word>,
    is_torn: bool,
    span: Span,
}

impl Head {
    fn read(inp: &mut In) -> Self {
        let span = next_span(inp);
        let first = inp.peek();
        let letters = next_letters(inp);
        let known = starts::SENTENCES
            .iter()
            .chain(starts::KINDS)
            .find(|word| **word == letters);
        let word = match first {
            Some(Tok::If) => "if",
            Some(Tok::Each) => "each",
            _ => known.copied().unwrap_or(""),
        };
        inp.skip();
        let mut kind = panel::kind_word(word);
        if word == "guide" {
            kind = panel::kind_word(next_letters(inp));
            inp.skip();
        }
        if word == "import" {
            while !ends_here(inp) && inp.peek() != Some(Tok::Link(Link::As)) {
                inp.skip();
            }
            inp.skip();
        }
        let mut names = Vec::new();
        let mut is_torn = false;
        while inp.peek() == Some(Tok::Name) {
            let place = bump(inp);
            names.push(inp.state().word(place));
            is_torn = inp.peek() == Some(Tok::Comma);
            if is_torn {
                inp.skip();
            } else {
                break;
            }
        }
        Self {
            word,
            kind,
            names,
            is_torn,
            span,
        }
    }

    /// Leaves the sentence and keeps of it what can be kept.
    fn rest<'s>(mut self, inp: &mut In<'s, '_>, rules: &Rules<'s>) -> SentenceKind {
        inp.state().broken_names.extend(self.names.iter().cloned());
        let mut blocks = match self.word {
            "piece" | "seam" | "cloth" => {
                leave_blindly(inp);
                Vec::new()
            }
            _ => leave(inp, rules),
        };
        let broken = |span| -> Expr { made(ExprKind::Broken, span) };
        match (self.word, blocks.len()) {
            ("step", 1..) => {
                let name = Text {
                    parts: Vec::new(),
                    span: self.span,
                };
                let sentences = blocks
                    .iter_mut()
                    .flat_map(|block| block.sentences.drain(..));
                SentenceKind::Step(Step {
                    name,
                    body: Block {
                        sentences: sentences.collect(),
                        span: self.span,
                    },
                })
            }
            ("try", 1..) if !self.names.is_empty() => {
                let name = self.names.swap_remove(0);
                SentenceKind::Try(Try {
                    low: broken(name.span),
                    high: broken(name.span),
                    until: broken(name.span),
                    otherwise: None,
                    name,
                    body: blocks.swap_remove(0),
                })
            }
            _ => SentenceKind::Broken(Lost {
                word: self.word,
                kind: self.kind,
                names: self.names,
                is_torn: self.is_torn,
                blocks,
            }),
        }
    }
}
