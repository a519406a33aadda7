//! Values given from outside: `--set NAME=VALUE` and a body's measures. They are read by the language's own rules, units
//! and all.

use crate::kind::Dimension;
use crate::pattern::WearerSide;
use crate::report::{Code, Diagnostic, FileId, SourceMap, Span};
use crate::say;
use crate::syntax::parse;
use crate::syntax::tree::{Expr, ExprKind, SentenceKind, TextPart};
use crate::voice::Words;
use std::collections::BTreeMap;

/// A value given from outside.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// A figure: millimetres, degrees or a number.
    Figure(f64, Dimension),
    /// One of the words that the draft lists.
    Text(String),
    /// The words `yes` and `no`.
    Answer(bool),
}

/// One `NAME=VALUE`.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// `bust_ease` or `house.bust_ease`; for one side of the wearer, `shoulder_slope.left`.
    pub name: String,
    /// Before it is held against the kind and range that the draft declares.
    pub value: Given,
    /// Where it stands, for messages.
    pub span: Span,
}

/// One wearer: a name, and values by the names of measures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    /// What it is called: a size or a person.
    pub name: String,
    /// By full name, as in a table's heading.
    pub measures: BTreeMap<String, Setting>,
}

/// Everything given from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inputs {
    /// Settings, strongest of all.
    pub set: Vec<Setting>,
    /// The body, where one is given.
    pub body: Option<Body>,
}

impl Inputs {
    /// Settings and measures given for one side of the wearer alone: `shoulder_slope.left`.
    pub fn sided(&self) -> impl Iterator<Item = &Setting> {
        let measures = self.body.iter().flat_map(|body| body.measures.values());
        let all = self.set.iter().chain(measures);
        all.filter(|setting| WearerSide::split(&setting.name).is_some())
    }

    /// What holds for one side: what was given for it, and the plain value where nothing was.
    pub fn of_side(&self, side: WearerSide) -> Inputs {
        let here = |setting: &Setting| {
            let (stem, of) = WearerSide::split(&setting.name)?;
            (of == side).then(|| Setting {
                name: stem.to_owned(),
                ..setting.clone()
            })
        };
        let is_plain = |setting: &&Setting| WearerSide::split(&setting.name).is_none();
        // The last is the strongest.
        let plain = self.set.iter().filter(is_plain).cloned();
        let set = plain.chain(self.set.iter().filter_map(here)).collect();
        let body = self.body.as_ref().map(|body| {
            let plain = body.measures.values().filter(is_plain).cloned();
            let all = plain.chain(body.measures.values().filter_map(here));
            Body {
                name: body.name.clone(),
                measures: all.map(|one| (one.name.clone(), one)).collect(),
            }
        });
        Inputs { set, body }
    }
}

/// What a text is called that holds one setting.
pub(super) const SET: &str = "--set";

/// Reads `NAME=VALUE` as typed on a command line.
///
/// # Errors
/// A message at the place in the setting itself.
pub fn setting(sources: &mut SourceMap, typed: &str) -> Result<Setting, Diagnostic> {
    let file = sources.add(SET, typed);
    let whole = Span::new(file, 0, typed.len());
    let Some((name, value)) = typed.split_once('=') else {
        let message = "A setting is a name, `=` and a value.";
        let wrong = Diagnostic::error(Code::NothingToSet, whole, message);
        return Err(wrong.help("Write `--set bust_ease=10cm`."));
    };
    let start = name.len() + 1;
    let span = Span::new(file, start, typed.len());
    let wrong = |why: Words| Diagnostic::error(Code::NothingToSet, span, why);
    let value = given(value).map_err(wrong)?;
    Ok(Setting {
        name: name.trim().to_owned(),
        value,
        span: Span::new(file, 0, name.len()),
    })
}

/// Reads a value: a figure with its unit, a text in quotation marks or a bare word, yes or no.
///
/// # Errors
/// What is wrong with it.
pub fn given(text: &str) -> Result<Given, Words> {
    let text = text.trim();
    let mut sources = SourceMap::new();
    let file = sources.add("value", &format!("choose value = {text}"));
    if let Some(found) = read(&sources, file) {
        return found;
    }
    let word = text.trim_matches('"');
    let is_word = !word.is_empty()
        && word
            .chars()
            .all(|c| c.is_alphanumeric() || c == '_' || c == ' ' || c == '-')
        && word.starts_with(char::is_alphabetic);
    if is_word {
        return Ok(Given::Text(word.to_owned()));
    }
    Err(say!(
        "`{}` is no value: write a figure with its unit, such as `94cm`, a word, yes or no.",
        text
    ))
}

fn read(sources: &SourceMap, file: FileId) -> Option<Result<Given, Words>> {
    let parsed = parse(sources, file);
    if let Some(first) = parsed.diagnostics.first() {
        return Some(Err(match &first.help {
            Some(help) => say!("{} {}", first.message, help),
            None => first.message.clone(),
        }));
    }
    let [sentence] = parsed.tree.sentences.as_slice() else {
        return None;
    };
    let SentenceKind::Measure(measure) = &sentence.kind else {
        return None;
    };
    let text = sources.text(file);
    let end = measure.default.span.end as usize;
    let after = text.get(end..).unwrap_or_default().trim();
    if !after.is_empty() {
        let value = sources.slice(measure.default.span);
        return Some(Err(say!(
            "A setting is a value with nothing after it: `{}` is followed by `{}`.",
            value,
            after
        )));
    }
    plain(&measure.default).map(Ok)
}

fn plain(expr: &Expr) -> Option<Given> {
    Some(match &expr.kind {
        ExprKind::Figure { value, unit } => {
            let (dimension, scale) = unit.map_or((Dimension::NUMBER, 1.0), |unit| unit.measure());
            Given::Figure(value * scale, dimension)
        }
        ExprKind::Negative(inner) => match plain(inner)? {
            Given::Figure(figure, dimension) => Given::Figure(-figure, dimension),
            _ => return None,
        },
        ExprKind::Bracketed(inner) => plain(inner)?,
        ExprKind::Answer(answer) => Given::Answer(*answer),
        ExprKind::Text(text) => match text.parts.as_slice() {
            [TextPart::Letters(letters)] => Given::Text(letters.to_string()),
            _ => return None,
        },
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_has_its_own_value_or_the_plain_one() {
        let of = |name: &str, figure| Setting {
            name: name.into(),
            value: Given::Figure(figure, Dimension::ANGLE),
            span: Span::default(),
        };
        let body = [
            of("slope", 22.0),
            of("slope.right", 26.0),
            of("neck.left", 1.0),
        ];
        let inputs = Inputs {
            set: vec![of("drop.left", 4.0), of("drop", 2.0)],
            body: Some(Body {
                name: "mate".into(),
                measures: body.map(|one| (one.name.clone(), one)).into(),
            }),
        };
        assert_eq!(inputs.sided().count(), 3);
        let (left, right) = (
            inputs.of_side(WearerSide::Left),
            inputs.of_side(WearerSide::Right),
        );
        assert_eq!(left.set, [of("drop", 2.0), of("drop", 4.0)]);
        assert_eq!(right.set, [of("drop", 2.0)]);
        let (left, right) = (left.body.unwrap(), right.body.unwrap());
        assert_eq!(left.measures["slope"], of("slope", 22.0));
        assert_eq!(left.measures["neck"], of("neck", 1.0));
        assert_eq!(right.measures["slope"], of("slope", 26.0));
        assert!(!right.measures.contains_key("neck"));
    }

    #[test]
    fn values_are_read_by_the_rules_of_the_language() {
        assert_eq!(given("10cm"), Ok(Given::Figure(100.0, Dimension::LENGTH)));
        // 15.75 times 25.4, as closely as binary figures have it.
        let Ok(Given::Figure(inches, Dimension::LENGTH)) = given("15 3/4in") else {
            panic!("15 3/4in is a length");
        };
        assert!((inches - 400.05).abs() < 1e-9, "{inches}");
        assert_eq!(given("(-3deg)"), Ok(Given::Figure(-3.0, Dimension::ANGLE)));
        assert_eq!(given("0.6"), Ok(Given::Figure(0.6, Dimension::NUMBER)));
        assert_eq!(given("yes"), Ok(Given::Answer(true)));
        assert_eq!(given("left"), Ok(Given::Text("left".into())));
        assert!(given("94 cm").is_err());
        for more in [
            " between 0cm and 1cm",
            " \"hello\"",
            " # a word",
            " of \"a\", \"b\"",
        ] {
            let told = given(&format!("3cm{more}")).unwrap_err();
            assert!(told.mentions("nothing after it"), "{told:?}");
        }
        assert_eq!(given(" (3cm) "), Ok(Given::Figure(30.0, Dimension::LENGTH)));
        assert!(given("1,5cm").is_err());
    }
}
