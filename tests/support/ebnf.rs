//! Reads the grammar file (W3C EBNF) into rules.

use std::collections::BTreeMap;

/// What may stand in a rule.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// `'step'`
    Literal(String),
    /// `NAME`
    Token(String),
    /// `expression`
    Rule(String),
    /// `a b c`
    All(Vec<Part>),
    /// `a | b | c`
    OneOf(Vec<Part>),
    /// `a?`
    Optional(Box<Part>),
    /// `a*`
    Any(Box<Part>),
    /// `a+`
    Some(Box<Part>),
}

/// All rules; the first one is where a file begins.
#[derive(Clone, Debug)]
pub struct Grammar {
    /// The name of the first rule.
    pub start: String,
    /// Each rule by its name.
    pub rules: BTreeMap<String, Part>,
}

impl Grammar {
    /// Reads the notation; every rule that is named must be there.
    pub fn read(text: &str) -> Result<Self, String> {
        let words = words(&without_comments(text)?)?;
        let mut reader = Reader {
            words: &words,
            at: 0,
        };
        let mut rules = BTreeMap::new();
        let mut start = None;
        while let Some(name) = reader.rule_begins() {
            reader.at += 2;
            start.get_or_insert(name.clone());
            let body = reader.choice()?;
            if rules.insert(name.clone(), body).is_some() {
                return Err(format!("the rule {name} stands twice"));
            }
        }
        if reader.at < words.len() {
            return Err(format!("no rule begins with {}", words[reader.at]));
        }
        let grammar = Self {
            start: start.ok_or("no rules")?,
            rules,
        };
        grammar.complete()?;
        Ok(grammar)
    }

    /// Every rule that is named is there, and every rule that is there is named.
    fn complete(&self) -> Result<(), String> {
        let mut named = vec![self.start.clone()];
        for part in self.rules.values() {
            names_in(part, &mut named);
        }
        if let Some(missing) = named.iter().find(|name| !self.rules.contains_key(*name)) {
            return Err(format!("the rule {missing} is missing"));
        }
        match self.rules.keys().find(|name| !named.contains(name)) {
            Some(idle) => Err(format!("no rule uses {idle}")),
            None => Ok(()),
        }
    }

    /// All literals.
    pub fn literals(&self) -> Vec<String> {
        fn gather(part: &Part, found: &mut Vec<String>) {
            match part {
                Part::Literal(letters) => found.push(letters.clone()),
                Part::Token(_) | Part::Rule(_) => {}
                Part::All(parts) | Part::OneOf(parts) => {
                    parts.iter().for_each(|p| gather(p, found))
                }
                Part::Optional(part) | Part::Any(part) | Part::Some(part) => gather(part, found),
            }
        }
        let mut found = Vec::new();
        self.rules
            .values()
            .for_each(|part| gather(part, &mut found));
        found.sort();
        found.dedup();
        found
    }
}

fn names_in(part: &Part, named: &mut Vec<String>) {
    match part {
        Part::Rule(name) => named.push(name.clone()),
        Part::Literal(_) | Part::Token(_) => {}
        Part::All(parts) | Part::OneOf(parts) => parts.iter().for_each(|p| names_in(p, named)),
        Part::Optional(part) | Part::Any(part) | Part::Some(part) => names_in(part, named),
    }
}

fn without_comments(text: &str) -> Result<String, String> {
    let mut out = String::new();
    let mut rest = text;
    while let Some(begin) = rest.find("/*") {
        out.push_str(&rest[..begin]);
        let end = rest[begin..].find("*/").ok_or("a comment is not closed")?;
        rest = &rest[begin + end + 2..];
    }
    out.push_str(rest);
    Ok(out)
}

fn words(text: &str) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '\'' => rest[1..].find('\'').ok_or("a literal is not closed")? + 2,
            ':' if rest.starts_with("::=") => 3,
            '|' | '?' | '*' | '+' | '(' | ')' => 1,
            c if c.is_ascii_alphabetic() => rest
                .find(|c: char| !c.is_ascii_alphanumeric() && c != '_')
                .unwrap_or(rest.len()),
            other => return Err(format!("the notation has no {other}")),
        };
        found.push(rest[..length].to_string());
        rest = rest[length..].trim_start();
    }
    Ok(found)
}

struct Reader<'a> {
    words: &'a [String],
    at: usize,
}

impl Reader<'_> {
    fn word(&self, ahead: usize) -> &str {
        self.words.get(self.at + ahead).map_or("", String::as_str)
    }

    fn rule_begins(&self) -> Option<String> {
        (self.word(1) == "::=").then(|| self.word(0).to_string())
    }

    fn choice(&mut self) -> Result<Part, String> {
        let mut choices = vec![self.sequence()?];
        while self.word(0) == "|" {
            self.at += 1;
            choices.push(self.sequence()?);
        }
        Ok(if choices.len() == 1 {
            choices.remove(0)
        } else {
            Part::OneOf(choices)
        })
    }

    fn sequence(&mut self) -> Result<Part, String> {
        let mut parts = Vec::new();
        while !matches!(self.word(0), "" | "|" | ")") && self.rule_begins().is_none() {
            parts.push(self.repeated()?);
        }
        match parts.len() {
            0 => Err(format!("an empty choice before {:?}", self.word(0))),
            1 => Ok(parts.remove(0)),
            _ => Ok(Part::All(parts)),
        }
    }

    fn repeated(&mut self) -> Result<Part, String> {
        let part = self.single()?;
        let made = match self.word(0) {
            "?" => Part::Optional(Box::new(part)),
            "*" => Part::Any(Box::new(part)),
            "+" => Part::Some(Box::new(part)),
            _ => return Ok(part),
        };
        self.at += 1;
        Ok(made)
    }

    fn single(&mut self) -> Result<Part, String> {
        let word = self.word(0).to_string();
        self.at += 1;
        if word == "(" {
            let inner = self.choice()?;
            if self.word(0) != ")" {
                return Err(format!("a group is not closed before {:?}", self.word(0)));
            }
            self.at += 1;
            return Ok(inner);
        }
        if let Some(literal) = word.strip_prefix('\'') {
            return Ok(Part::Literal(literal.trim_end_matches('\'').to_string()));
        }
        if word.chars().all(|c| c.is_ascii_uppercase() || c == '_') {
            return Ok(Part::Token(word));
        }
        Ok(Part::Rule(word))
    }
}
