//! Well-formed drafts, made by chance from the grammar file, in a plain layout or in a wild one with comments, blank
//! lines and continuation lines. They are sentences of the grammar; what they would draw makes no sense.

use super::chance::Chance;
use super::ebnf::{Grammar, Part};
use std::collections::BTreeMap;

/// Makes drafts.
pub struct Generator<'a> {
    grammar: &'a Grammar,
    /// The fewest rules inside each other that a rule needs.
    depths: BTreeMap<String, usize>,
}

/// Rules may stand so deep inside each other before the shortest way is taken.
const DEEP: usize = 14;

impl<'a> Generator<'a> {
    /// A maker for a grammar.
    pub fn new(grammar: &'a Grammar) -> Self {
        let mut made = Self {
            grammar,
            depths: BTreeMap::new(),
        };
        loop {
            let mut changed = false;
            for (name, part) in &grammar.rules {
                let depth = made.depth(part).map(|d| d + 1);
                if let Some(depth) = depth
                    && made.depths.get(name) != Some(&depth)
                {
                    made.depths.insert(name.clone(), depth);
                    changed = true;
                }
            }
            if !changed {
                return made;
            }
        }
    }

    fn depth(&self, part: &Part) -> Option<usize> {
        match part {
            Part::Literal(_) | Part::Token(_) | Part::Optional(_) | Part::Any(_) => Some(0),
            Part::Rule(name) => self.depths.get(name).copied(),
            Part::All(parts) => parts
                .iter()
                .map(|p| self.depth(p))
                .try_fold(0, |most, d| Some(most.max(d?))),
            Part::OneOf(parts) => parts.iter().filter_map(|p| self.depth(p)).min(),
            Part::Some(part) => self.depth(part),
        }
    }

    /// The tokens of a rule; `END` is a newline.
    pub fn tokens(&self, rule: &str, chance: &mut Chance) -> Vec<String> {
        let mut out = Vec::new();
        self.part(&Part::Rule(rule.to_string()), chance, 0, &mut out);
        out
    }

    /// A draft of so many sentences, one a line.
    pub fn plain(&self, seed: u64, sentences: usize) -> String {
        self.draft(seed, sentences, false)
    }

    /// A draft of so many sentences in a wild layout.
    pub fn wild(&self, seed: u64, sentences: usize) -> String {
        self.draft(seed, sentences, true)
    }

    fn draft(&self, seed: u64, sentences: usize, wild: bool) -> String {
        let mut chance = Chance::new(seed);
        let mut tokens = Vec::new();
        for _ in 0..sentences {
            tokens.extend(self.tokens("sentence", &mut chance));
            tokens.push("\n".to_string());
        }
        lay_out(&Self::together(tokens), &mut chance, wild)
    }

    /// Words that are read as one stand on one line.
    fn together(tokens: Vec<String>) -> Vec<String> {
        let mut out: Vec<String> = Vec::with_capacity(tokens.len());
        for token in tokens {
            let joins = matches!(
                (out.last().map(String::as_str), token.as_str()),
                (Some("of"), "the")
                    | (Some("of the"), "way")
                    | (Some("of the way"), "from" | "along")
                    | (Some("to"), "level")
                    | (Some("to level"), "of")
            );
            match out.last_mut().filter(|_| joins) {
                Some(last) => {
                    last.push(' ');
                    last.push_str(&token);
                }
                None => out.push(token),
            }
        }
        out
    }

    fn part(&self, part: &Part, chance: &mut Chance, depth: usize, out: &mut Vec<String>) {
        match part {
            Part::Literal(letters) => out.push(letters.clone()),
            Part::Token(class) => out.push(token(class, chance)),
            Part::Rule(name) => self.part(&self.grammar.rules[name], chance, depth + 1, out),
            Part::All(parts) => parts.iter().for_each(|p| self.part(p, chance, depth, out)),
            Part::OneOf(parts) => {
                let least = parts.iter().filter_map(|p| self.depth(p)).min().unwrap();
                let short: Vec<_> = parts
                    .iter()
                    .filter(|p| self.depth(p) == Some(least))
                    .collect();
                let choice = if depth > DEEP {
                    *chance.one_of(&short)
                } else {
                    chance.one_of(parts)
                };
                self.part(choice, chance, depth, out);
            }
            Part::Optional(part) => {
                if depth <= DEEP && chance.once_in(2) {
                    self.part(part, chance, depth, out);
                }
            }
            Part::Any(part) => self.repeat(part, chance, depth, out),
            Part::Some(part) => {
                self.part(part, chance, depth, out);
                self.repeat(part, chance, depth, out);
            }
        }
    }

    fn repeat(&self, part: &Part, chance: &mut Chance, depth: usize, out: &mut Vec<String>) {
        while depth <= DEEP && chance.once_in(3) {
            self.part(part, chance, depth, out);
        }
    }
}

fn token(class: &str, chance: &mut Chance) -> String {
    let choices: &[&str] = match class {
        "NAME" => &[
            "neck",
            "a",
            "b_2",
            "guide",
            "hem_line",
            "schräge",
            "crown",
            "inner_point",
            "x",
        ],
        "DOTTED" => &["back.neck", "arm.sleeve.crown", "front.b_2"],
        "FIGURE" => &[
            "94cm", "0.5", "3/8in", "15 3/4in", "12deg", "3%", "7", "100mm",
        ],
        "TEXT" => &["\"Frame\"", "\"\"", "\"half {{ open\"", "\"größe 😀\""],
        "TEXT_HEAD" => &["\"the {", "\"{", "\"{{ {"],
        "TEXT_MIDDLE" => &["} and {", "}{"],
        "TEXT_TAIL" => &["} neck\"", "}\""],
        "END" => &["\n"],
        other => panic!("no token {other}"),
    };
    (*chance.one_of(choices)).to_string()
}

/// Puts tokens on lines.
fn lay_out(tokens: &[String], chance: &mut Chance, wild: bool) -> String {
    let mut out = String::new();
    let mut before = "\n";
    let mut in_hole = false;
    for (n, token) in tokens.iter().enumerate() {
        let next = tokens.get(n + 1).map_or("", String::as_str);
        if token == "\n" {
            // A closing brace ends a sentence itself.
            if next != "}" || chance.once_in(2) {
                end_line(&mut out, chance, wild);
            }
        } else {
            if before != "\n" {
                let ends_hole = token.starts_with('}') && token.len() > 1;
                space(
                    &mut out,
                    before,
                    token,
                    chance,
                    wild && !in_hole && !ends_hole,
                );
            }
            if token.starts_with('"') || token.starts_with('}') {
                in_hole = token.ends_with('{') && token.len() > 1;
            }
            out.push_str(token);
            if token == "{" && (chance.once_in(2) && wild || next == "}" && !wild) {
                end_line(&mut out, chance, wild);
            }
        }
        before = token;
    }
    out
}

fn end_line(out: &mut String, chance: &mut Chance, wild: bool) {
    if wild && chance.once_in(6) {
        out.push_str("  # a remark: {\"x");
    }
    out.push('\n');
    if !wild {
        return;
    }
    while chance.once_in(4) {
        let blank: &[&str] = &["\n", "   \n", "# alone\n", "\t  #indented \n"];
        let chosen: &&str = chance.one_of(blank);
        out.push_str(chosen);
    }
    if chance.once_in(2) {
        out.push_str("   ");
    }
}

fn space(out: &mut String, before: &str, token: &str, chance: &mut Chance, wild: bool) {
    let open = matches!(before, "(" | "[");
    let close = matches!(token, ")" | "]");
    let hole =
        token.starts_with('}') && token.len() > 1 || before.ends_with('{') && before.len() > 1;
    if !wild || hole {
        out.push(' ');
        return;
    }
    let goes_on = matches!(before, "," | "=" | "+" | "*" | "from" | "to" | "at" | "by")
        || matches!(token, "to" | "until" | "else" | "right" | "*" | "<=");
    match chance.below(6) {
        0 if goes_on => out.push_str("\n     "),
        1 if goes_on => out.push_str("  # and so on\n  \n"),
        2 if open || close => {}
        3 => out.push_str("   "),
        4 => out.push('\t'),
        _ => out.push(' '),
    }
}
