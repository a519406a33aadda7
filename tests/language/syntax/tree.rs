//! What sentences mean: the tree of each, and which of two readings is taken.

use crate::syntax::{read, sound};
use oaktag_language::syntax::tree::*;

/// An expression with every grouping in brackets.
fn told(expr: &Expr) -> String {
    match &expr.kind {
        ExprKind::Figure { value, unit } => match unit {
            Some(unit) => format!("{value}{unit:?}"),
            None => format!("{value}"),
        },
        ExprKind::Text(_) => "text".into(),
        ExprKind::Answer(yes) => format!("{yes}"),
        ExprKind::Origin => "origin".into(),
        ExprKind::Name(name) => words(&name.words),
        ExprKind::Direction(word) => format!("{word:?}"),
        ExprKind::List(items) => format!("[{}]", all(items)),
        ExprKind::Negative(inner) => format!("-{}", told(inner)),
        ExprKind::Sum {
            operator,
            left,
            right,
            ..
        } => format!("({} {operator:?} {})", told(left), told(right)),
        ExprKind::Of { head, operand } => format!("({} of {})", head.text, told(operand)),
        ExprKind::Displaced { from, moves } => {
            let moves: String = moves
                .iter()
                .map(|m| format!(" {:?} {}", m.direction, far(&m.far)))
                .collect();
            format!("({}{moves})", told(from))
        }
        ExprKind::Turn {
            angle, clockwise, ..
        } => format!("(turn {} {clockwise})", told(angle)),
        ExprKind::Bearing(bearing) => format!("<{}>", bearing_told(bearing)),
        ExprKind::Compare {
            comparison,
            left,
            right,
        } => format!("({} {comparison:?} {})", told(left), told(right)),
        ExprKind::Is { subject, relation } => {
            format!("({} is {})", told(subject), relation_told(relation))
        }
        ExprKind::Not(inner) => format!("(not {})", told(inner)),
        ExprKind::Both(a, b) => format!("({} and {})", told(a), told(b)),
        ExprKind::Either(a, b) => format!("({} or {})", told(a), told(b)),
        ExprKind::Phrase(phrase) => phrase_told(phrase),
        ExprKind::Each(each) => format!("each {} {:?}", each.name.text, each.body.sentences.len()),
        ExprKind::Bracketed(inner) => format!("b{}", told(inner)),
        ExprKind::Broken => "broken".into(),
    }
}

fn words(words: &[Word]) -> String {
    words
        .iter()
        .map(|word| &*word.text)
        .collect::<Vec<_>>()
        .join(".")
}

fn all(items: &[Expr]) -> String {
    items.iter().map(told).collect::<Vec<_>>().join(", ")
}

fn far(far: &Far) -> String {
    match far {
        Far::By(length) => told(length),
        Far::Until(path) => format!("until {}", told(path)),
        Far::LevelOf(point) => format!("to level of {}", told(point)),
    }
}

fn bearing_told(bearing: &Bearing) -> String {
    match bearing {
        Bearing::Along(line) => format!("along {}", told(line)),
        Bearing::SquareTo(line, None) => format!("square {}", told(line)),
        Bearing::SquareTo(line, Some(toward)) => {
            format!("square {} toward {}", told(line), told(toward))
        }
        Bearing::Leaning {
            angle, below, from, ..
        } => format!("{} below:{below} {from:?}", told(angle)),
    }
}

fn relation_told(relation: &Relation) -> String {
    match relation {
        Relation::Within { tolerance, of } => format!("within {} of {}", told(tolerance), told(of)),
        Relation::Between { low, high } => format!("between {} {}", told(low), told(high)),
        Relation::Than {
            by,
            up_to,
            more,
            than,
            ..
        } => {
            let part = |part: &Option<Expr>| {
                part.as_ref()
                    .map_or(String::new(), |e| format!("{} ", told(e)))
            };
            format!("{}{}more:{more} {}", part(by), part(up_to), told(than))
        }
        Relation::Drawn => "drawn".into(),
        Relation::Lies { how, than } => format!("{} {}", how.words(), told(than)),
    }
}

fn phrase_told(phrase: &Phrase) -> String {
    let lead = match &phrase.lead {
        Lead::Nothing => String::new(),
        Lead::Head { word, direct } => format!("{}! {}", word.text, all(direct)),
        Lead::Value(value) => told(value),
    };
    let clauses: String = phrase
        .clauses
        .iter()
        .map(|c| format!(" | {:?} {}", c.link, all(&c.arguments)))
        .collect();
    let options: String = phrase
        .options
        .iter()
        .map(|o| {
            format!(
                " / {} {}{}",
                o.name.text,
                told(&o.value),
                o.to.as_ref()
                    .map_or(String::new(), |to| format!("..{}", told(to)))
            )
        })
        .collect();
    format!("{{{lead}{clauses}{options}}}")
}

/// The value of `line x = …`.
fn value(text: &str) -> String {
    let parsed = sound(&format!("line x = {text}"));
    match &parsed.tree.sentences[0].kind {
        SentenceKind::Draw(draw) => told(&draw.value),
        other => panic!("{other:?}"),
    }
}

/// The readings that the language's rules decide.
#[test]
fn readings() {
    let cases = [
        // Precedence.
        ("1 + 2 * 3 - 4", "((1 Add (2 Multiply 3)) Subtract 4)"),
        ("-a * b", "(-a Multiply b)"),
        ("length of a + b", "((length of a) Add b)"),
        ("-length of a", "-(length of a)"),
        ("end of part of a", "(end of (part of a))"),
        ("p right a + b up c", "(p Right (a Add b) Up c)"),
        (
            "p right until l down 3cm",
            "(p Right until l Down 3Centimetre)",
        ),
        ("p right -3cm", "(p Right -3Centimetre)"),
        (
            "length of back.neck + length of neck",
            "((length of back.neck) Add (length of neck))",
        ),
        // Figures.
        ("15 3/4in", "15.75Inch"),
        ("3/8in", "0.375Inch"),
        ("1/2cm", "0.5Centimetre"),
        ("1/2", "(1 Divide 2)"),
        ("3%", "3Percent"),
        // Heads and values.
        (
            "pivot a, b about c by d clockwise",
            "{pivot! a, b | About c | By (turn d true)}",
        ),
        (
            "parallel to l by 3cm toward right",
            "{parallel | To l | By 3Centimetre | Toward Right}",
        ),
        ("depth along hem", "{depth | Along hem}"),
        (
            "1/3 of the way along hem from cb",
            "{(1 Divide 3) | WayAlong hem | From cb}",
        ),
        ("from a to b", "{ | From a | To b}"),
        ("part of l from a to b", "{(part of l) | From a | To b}"),
        ("join a, b", "{join! a, b}"),
        (
            "where (square to l at p) meets m",
            "{where! b{square | To l | At p} | Meets m}",
        ),
        ("where a meets b", "{where! a | Meets b}"),
        (
            "smallest of a, b + 1mm",
            "{smallest!  | Of a, (b Add 1Millimetre)}",
        ),
        (
            "smallest of length of a, b",
            "{smallest!  | Of (length of a), b}",
        ),
        ("pivot (-3cm) about p", "{pivot! b-3Centimetre | About p}"),
        ("pivot - 3cm", "(pivot Subtract 3Centimetre)"),
        (
            "opening 11mm at q about p",
            "{opening! 11Millimetre | At q | About p}",
        ),
        // Lists and options.
        (
            "from a through b, (where c meets d) left 12mm to e",
            "{ | From a | Through b, (b{where! c | Meets d} Left 12Millimetre) | To e}",
        ),
        (
            "a with ease 4mm to 12mm, handles [0.3, 4cm]",
            "{a / ease 4Millimetre..12Millimetre / handles [0.3, 4Centimetre]}",
        ),
        ("a with ease -3mm", "{a / ease -3Millimetre}"),
        // Direction places.
        (
            "from a toward s - 3deg below right",
            "{ | From a | Toward <(s Subtract 3Degree) below:true Right>}",
        ),
        (
            "from a toward p right 3cm",
            "{ | From a | Toward (p Right 3Centimetre)}",
        ),
        (
            "square to l at p toward right until fold_1",
            "{square | To l | At p | Toward Right | Until fold_1}",
        ),
        (
            "a leaving square to l toward up arriving along hem",
            "{a | Leaving <square l toward Up> | Arriving <along hem>}",
        ),
        (
            "unfold a, b over f, g until r",
            "{unfold! a, b | Over f, g | Until r}",
        ),
        (
            "pivot s about p until q onto l",
            "{pivot! s | About p | Until q | Onto l}",
        ),
        // A pair.
        ("angle between a and b", "{angle | Between a | And b}"),
        (
            "not (angle between a and b) = c and d",
            "((not (b{angle | Between a | And b} Equal c)) and d)",
        ),
        // Conditions.
        (
            "a < b or c and not d >= 3",
            "((a Less b) or (c and (not (d AtLeast 3))))",
        ),
        (
            "a is within 2mm + b of c",
            "(a is within (2Millimetre Add b) of c)",
        ),
        (
            "a is within t of length of c",
            "(a is within t of (length of c))",
        ),
        ("a is 4mm longer than b", "(a is 4Millimetre more:true b)"),
        ("a is gap shorter than b", "(a is gap more:false b)"),
        ("a is longer than b", "(a is more:true b)"),
        (
            "a is between 0mm and gap longer than length of b",
            "(a is between 0Millimetre gap more:true (length of b))",
        ),
        ("a is between b and c and d", "((a is between b c) and d)"),
        ("yes", "true"),
        // Brackets.
        (
            "(1/2 of the way from a to b) right until l",
            "(b{(1 Divide 2) | WayFrom a | To b} Right until l)",
        ),
        (
            "[a, b right 3cm, (from c to d)]",
            "[a, (b Right 3Centimetre), b{ | From c | To d}]",
        ),
    ];
    for (text, wanted) in cases {
        let wanted = wanted.replace("is between 0Millimetre gap more", "is 0Millimetre gap more");
        assert_eq!(value(text), wanted, "{text}");
    }
}

/// A newline ends a sentence unless the lines say otherwise.
#[test]
fn lines() {
    let count = |text: &str| sound(text).tree.sentences.len();
    assert_eq!(count("point a = b\npoint c = d"), 2);
    assert_eq!(count("point a = b\n\n# remark\n\npoint c = d\n"), 2);
    assert_eq!(count("line a = from b\n    to c\n    leaving\n  down"), 1);
    assert_eq!(count("length a = b +\n c\n  - d"), 1);
    assert_eq!(count("length a = (b\n  + c\n)\n  * 2"), 1);
    assert_eq!(count("point a = b\n  right 3cm\n  up 2cm"), 1);
    assert_eq!(count("point a,\n  b = c"), 1);
    assert_eq!(count("point a = b\n# between\n  right 3cm"), 1);
    assert_eq!(count("if a { note \"x\" }\notherwise { note \"y\" }"), 1);
    assert_eq!(count("panel a { point b = c } panel d\n{\n}"), 2);
    assert_eq!(
        count("try a between b and c { note \"x\" }\n until d = e\nnote \"y\""),
        2
    );
    assert_eq!(
        count("list a = [each n from 1 to 2 {\n give n\n give n\n}\n, 3]\nnote \"z\""),
        2
    );
}

#[test]
fn texts_and_their_holes() {
    let parsed = sound("note \"a {{b} {back.neck + 1cm} c {from a to b}\"");
    let SentenceKind::Note(text) = &parsed.tree.sentences[0].kind else {
        panic!()
    };
    let parts: Vec<_> = text
        .parts
        .iter()
        .map(|part| match part {
            TextPart::Letters(letters) => letters.to_string(),
            TextPart::Hole(hole) => told(hole),
        })
        .collect();
    assert_eq!(
        parts,
        [
            "a {b} ",
            "(back.neck Add 1Centimetre)",
            " c ",
            "{ | From a | To b}"
        ]
    );
}

/// Names are compared in Unicode's normal form C (UAX #15): the two ways to write `é` are one name.
#[test]
fn names_are_in_normal_form_c() {
    let parsed = sound("point cafe\u{301} = caf\u{e9}");
    let SentenceKind::Draw(draw) = &parsed.tree.sentences[0].kind else {
        panic!()
    };
    assert_eq!(told(&draw.value), &*draw.names[0].text);
}

/// A broken sentence keeps what it would have drawn, and the rest of the file is read.
#[test]
fn a_broken_sentence_leaves_the_rest_whole() {
    let parsed = read(
        "point a, b = c right\nline d = from a to b\npanel e traced form f {\n  point g = a\n}\nbody h = 3cm betwen 1cm and 2cm\n",
    );
    assert_eq!(parsed.diagnostics.len(), 3);
    let kinds: Vec<_> = parsed.tree.sentences.iter().map(|s| &s.kind).collect();
    assert!(
        matches!(kinds[0], SentenceKind::Draw(d) if d.names.len() == 2 && d.value.kind == ExprKind::Broken)
    );
    assert!(matches!(kinds[1], SentenceKind::Draw(d) if d.value.kind != ExprKind::Broken));
    assert!(
        matches!(kinds[2], SentenceKind::Broken(lost) if lost.word == "panel" && lost.blocks[0].sentences.len() == 1)
    );
    assert!(matches!(kinds[3], SentenceKind::Measure(m) if &*m.name.text == "h"));
    let broken: Vec<_> = parsed.broken_names.iter().map(|word| &*word.text).collect();
    assert_eq!(broken, ["e"]);
}

/// The span of every sentence is its text, from its first word to its last.
#[test]
fn spans_hold_the_sentence() {
    let text = "draft \"x\"\npanel a {\n  point b = c\n      right 3cm # beside\n}\npoint d = e";
    let parsed = sound(text);
    let spans: Vec<_> = parsed
        .tree
        .sentences
        .iter()
        .map(|s| &text[s.span.range()])
        .collect();
    assert_eq!(
        spans,
        [
            "draft \"x\"",
            "panel a {\n  point b = c\n      right 3cm # beside\n}",
            "point d = e"
        ]
    );
    let SentenceKind::Panel(panel) = &parsed.tree.sentences[1].kind else {
        panic!()
    };
    assert_eq!(
        &text[panel.body.sentences[0].span.range()],
        "point b = c\n      right 3cm"
    );
}
