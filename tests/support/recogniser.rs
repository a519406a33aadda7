//! A recogniser built from the grammar file: Earley's algorithm (J. Earley, "An efficient context-free parsing
//! algorithm", CACM 1970), with nullable rules completed when predicted (Aycock and Horspool, 2002).

use super::ebnf::{Grammar, Part};
use oaktag_language::syntax::tokens::{Placed, Tok};
use std::collections::{BTreeMap, HashSet};

/// A token as the grammar sees it: its class and its letters.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// `NAME`, `FIGURE` and so on; empty for signs and reserved words.
    pub class: &'static str,
    /// As written.
    pub letters: String,
}

/// Prepared tokens as the grammar sees them.
pub fn seen(text: &str, tokens: &[Placed]) -> Vec<Seen> {
    let see = |(tok, span): &Placed| Seen {
        class: match tok {
            Tok::Name => "NAME",
            Tok::Dotted => "DOTTED",
            Tok::Figure => "FIGURE",
            Tok::Text => "TEXT",
            Tok::TextHead => "TEXT_HEAD",
            Tok::TextMiddle => "TEXT_MIDDLE",
            Tok::TextTail => "TEXT_TAIL",
            Tok::End => "END",
            _ => "",
        },
        letters: text[span.range()].to_string(),
    };
    // Several words that are read as one are several to the grammar.
    let words = |token: &Placed| {
        let one = see(token);
        if !matches!(token.0, Tok::Link(_)) {
            return vec![one];
        }
        let letters = one.letters.split_whitespace();
        letters
            .filter(|word| !word.starts_with('#'))
            .map(|word| Seen {
                class: "",
                letters: word.to_owned(),
            })
            .collect()
    };
    tokens.iter().flat_map(words).collect()
}

#[derive(Clone, Debug, PartialEq)]
enum Symbol {
    Literal(String),
    Class(String),
    Rule(usize),
}

#[derive(Clone, Debug)]
struct Production {
    left: usize,
    right: Vec<Symbol>,
}

/// The grammar as plain productions.
#[derive(Clone, Debug)]
pub struct Recogniser {
    productions: Vec<Production>,
    /// Where each production comes from, for people.
    origins: Vec<String>,
    numbers: BTreeMap<String, usize>,
    nullable: Vec<bool>,
}

impl Recogniser {
    /// Takes the repetitions of the notation apart.
    pub fn new(grammar: &Grammar) -> Self {
        let numbers = grammar
            .rules
            .keys()
            .enumerate()
            .map(|(n, name)| (name.clone(), n))
            .collect();
        let mut made = Self {
            productions: Vec::new(),
            origins: Vec::new(),
            nullable: vec![false; grammar.rules.len()],
            numbers,
        };
        for (name, part) in &grammar.rules {
            made.choices(made.numbers[name], part, name);
        }
        made.find_nullable();
        made
    }

    /// How many productions there are.
    pub fn len(&self) -> usize {
        self.productions.len()
    }

    /// Where a production comes from.
    pub fn origin(&self, production: usize) -> &str {
        &self.origins[production]
    }

    /// The same without one production.
    pub fn without(&self, production: usize) -> Self {
        let mut less = self.clone();
        // A token that no text holds keeps the numbers of the others as they are.
        less.productions[production].right = vec![Symbol::Class("NOTHING".to_string())];
        less.find_nullable();
        less
    }

    fn choices(&mut self, left: usize, part: &Part, origin: &str) {
        let parts = match part {
            Part::OneOf(parts) => parts.as_slice(),
            one => std::slice::from_ref(one),
        };
        for (n, part) in parts.iter().enumerate() {
            let origin = format!("{origin}, choice {}", n + 1);
            let right = match part {
                Part::All(parts) => parts
                    .iter()
                    .map(|part| self.symbol(part, &origin))
                    .collect(),
                one => vec![self.symbol(one, &origin)],
            };
            self.add(left, right, origin);
        }
    }

    fn add(&mut self, left: usize, right: Vec<Symbol>, origin: String) {
        self.productions.push(Production { left, right });
        self.origins.push(origin);
    }

    fn symbol(&mut self, part: &Part, origin: &str) -> Symbol {
        match part {
            Part::Literal(letters) => Symbol::Literal(letters.clone()),
            Part::Token(class) => Symbol::Class(class.clone()),
            Part::Rule(name) => Symbol::Rule(self.numbers[name]),
            Part::All(_) | Part::OneOf(_) => {
                let fresh = self.fresh();
                self.choices(fresh, part, &format!("{origin} (group)"));
                Symbol::Rule(fresh)
            }
            Part::Optional(inner) => {
                let fresh = self.fresh();
                self.add(fresh, Vec::new(), format!("{origin}, {inner:?} left out"));
                self.choices(fresh, inner, &format!("{origin}, {inner:?} put in"));
                Symbol::Rule(fresh)
            }
            Part::Any(inner) | Part::Some(inner) => {
                let one = self.symbol(inner, origin);
                let fresh = self.fresh();
                let least = if matches!(part, Part::Any(_)) {
                    Vec::new()
                } else {
                    vec![one.clone()]
                };
                self.add(fresh, least, format!("{origin}, {inner:?} the least"));
                self.add(
                    fresh,
                    vec![Symbol::Rule(fresh), one],
                    format!("{origin}, {inner:?} once more"),
                );
                Symbol::Rule(fresh)
            }
        }
    }

    fn fresh(&mut self) -> usize {
        self.nullable.push(false);
        self.nullable.len() - 1
    }

    fn find_nullable(&mut self) {
        self.nullable.fill(false);
        loop {
            let mut changed = false;
            for production in &self.productions {
                let empty = production
                    .right
                    .iter()
                    .all(|symbol| matches!(symbol, Symbol::Rule(rule) if self.nullable[*rule]));
                if empty && !self.nullable[production.left] {
                    self.nullable[production.left] = true;
                    changed = true;
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// Whether a rule derives exactly these tokens; else how far it came.
    pub fn accepts(&self, rule: &str, tokens: &[Seen]) -> Result<(), usize> {
        self.run(rule, tokens).map(|_| ())
    }

    /// The productions that were completed on the way.
    pub fn completed(&self, rule: &str, tokens: &[Seen]) -> Result<HashSet<usize>, usize> {
        self.run(rule, tokens)
    }

    fn run(&self, rule: &str, tokens: &[Seen]) -> Result<HashSet<usize>, usize> {
        let start = self.numbers[rule];
        let mut by_left = vec![Vec::new(); self.nullable.len()];
        for (n, production) in self.productions.iter().enumerate() {
            by_left[production.left].push(n);
        }
        let mut chart: Vec<Column> = vec![Column::default()];
        for &production in &by_left[start] {
            chart[0].add((production, 0, 0));
        }
        let mut completed = HashSet::new();
        for at in 0..=tokens.len() {
            let mut next = Column::default();
            let mut n = 0;
            while n < chart[at].items.len() {
                let (production, dot, origin) = chart[at].items[n];
                n += 1;
                match self.productions[production].right.get(dot) {
                    Some(Symbol::Rule(rule)) => {
                        for &predicted in &by_left[*rule] {
                            chart[at].add((predicted, 0, at));
                        }
                        chart[at]
                            .waiting
                            .entry(*rule)
                            .or_default()
                            .push((production, dot, origin));
                        if self.nullable[*rule] {
                            chart[at].add((production, dot + 1, origin));
                        }
                    }
                    Some(symbol) => {
                        if tokens.get(at).is_some_and(|token| fits(symbol, token)) {
                            next.add((production, dot + 1, origin));
                        }
                    }
                    None => {
                        completed.insert(production);
                        let left = self.productions[production].left;
                        let waiting = chart[origin]
                            .waiting
                            .get(&left)
                            .cloned()
                            .unwrap_or_default();
                        for (production, dot, origin) in waiting {
                            chart[at].add((production, dot + 1, origin));
                        }
                    }
                }
            }
            if at < tokens.len() {
                if next.items.is_empty() {
                    return Err(at);
                }
                chart.push(next);
            }
        }
        let whole = |&(production, dot, origin): &Item| {
            let Production { left, right } = &self.productions[production];
            *left == start && origin == 0 && dot == right.len()
        };
        if chart[tokens.len()].items.iter().any(whole) {
            Ok(completed)
        } else {
            Err(tokens.len())
        }
    }
}

type Item = (usize, usize, usize);

#[derive(Default)]
struct Column {
    items: Vec<Item>,
    known: HashSet<Item>,
    waiting: BTreeMap<usize, Vec<Item>>,
}

impl Column {
    fn add(&mut self, item: Item) {
        if self.known.insert(item) {
            self.items.push(item);
        }
    }
}

fn fits(symbol: &Symbol, token: &Seen) -> bool {
    match symbol {
        Symbol::Literal(letters) => *letters == token.letters && !token.class.starts_with("TEXT"),
        Symbol::Class(class) => class == token.class,
        Symbol::Rule(_) => false,
    }
}
