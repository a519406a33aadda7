//! Breaks of a sound draft, made on its text alone by rules that know nothing of the checker: which words are names, where
//! they are drawn and where they are used is read off the lines.

use std::collections::BTreeSet;

/// A way of breaking a draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A used name is misspelt.
    NameMisspelt,
    /// A figure loses its unit.
    UnitDropped,
    /// A bracket is lost.
    BracketLost,
    /// The second half of a line is cut off.
    HalfCut,
    /// A line is moved above one that it needs.
    MovedAbove,
    /// A line is taken out whose name is used later.
    TakenOut,
    /// A word of the language is misspelt.
    WordMisspelt,
}

impl Kind {
    /// All of them.
    pub const ALL: &'static [Kind] = &[
        Kind::NameMisspelt,
        Kind::UnitDropped,
        Kind::BracketLost,
        Kind::HalfCut,
        Kind::MovedAbove,
        Kind::TakenOut,
    ];

    /// How many in a hundred may leave a lawful draft: a sentence cut in half often ends where one may end.
    pub fn most_lawful(self) -> usize {
        if self == Kind::HalfCut { 45 } else { 10 }
    }
}

/// A broken draft.
pub struct Break {
    /// The whole text.
    pub text: String,
    /// Lines, from 1, where it is felt.
    pub felt: Vec<usize>,
    /// In words.
    pub what: String,
}

/// A word of a line that is a name.
#[derive(Clone)]
struct Use {
    line: usize,
    at: usize,
    word: String,
}

/// A draft by lines.
pub struct Sheet {
    lines: Vec<String>,
    /// The panel each line stands in.
    panels: Vec<String>,
    /// Names each line draws, where it is a sentence of one line.
    drawn: Vec<Vec<String>>,
    uses: Vec<Use>,
}

const DRAWING: &[&str] = &[
    "point",
    "line",
    "curve",
    "length",
    "angle",
    "body",
    "choose",
    "number",
    "direction",
];

/// Words between the parts of a sentence.
const LINKING: &[&str] = &[
    "from",
    "through",
    "around",
    "toward",
    "onto",
    "about",
    "over",
    "along",
    "until",
    "near",
    "with",
    "leaving",
    "arriving",
    "hollow",
    "meets",
    "between",
    "and",
    "that",
    "within",
    "than",
    "joins",
    "down",
    "left",
    "right",
    "square",
    "parallel",
    "extend",
    "part",
    "pivot",
    "mirror",
    "slide",
    "swing",
    "length",
    "where",
    "foot",
    "start",
    "end",
    "origin",
    "clockwise",
    "longer",
    "traced",
];

impl Sheet {
    /// Reads the lines.
    pub fn read(text: &str) -> Self {
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let mut panel = String::new();
        let mut panels = Vec::new();
        for line in &lines {
            if let Some(rest) = line.strip_prefix("panel ") {
                panel = rest.split([' ', '{']).next().unwrap_or("").to_owned();
            } else if line.starts_with('}') {
                panel.clear();
            }
            panels.push(panel.clone());
        }
        let drawn: Vec<Vec<String>> = lines.iter().map(|line| names_drawn(line)).collect();
        let known: BTreeSet<String> = drawn.iter().flatten().cloned().collect();
        let mut uses = Vec::new();
        for (at, line) in lines.iter().enumerate() {
            let own = &drawn[at];
            let own_end = if own.is_empty() {
                0
            } else {
                line.find('=').unwrap_or(0)
            };
            for (place, word) in words(line) {
                if place >= own_end && known.contains(&word) && !after_kind(line, place) {
                    uses.push(Use {
                        line: at,
                        at: place,
                        word,
                    });
                }
            }
        }
        Self {
            lines,
            panels,
            drawn,
            uses,
        }
    }

    /// Breaks of a kind, at most so many, evenly spread over the draft so that every run makes the same.
    pub fn breaks(&self, kind: Kind, most: usize) -> Vec<Break> {
        let mut all = match kind {
            Kind::NameMisspelt => self.misspelt(),
            Kind::UnitDropped => self.without_unit(),
            Kind::BracketLost => self.without_bracket(),
            Kind::HalfCut => self.cut(),
            Kind::MovedAbove => self.moved(),
            Kind::TakenOut => self.taken_out(),
            Kind::WordMisspelt => self.words_misspelt(),
        };
        if all.len() > most {
            let step = all.len() as f64 / most as f64;
            let keep: BTreeSet<usize> = (0..most).map(|n| (n as f64 * step) as usize).collect();
            let mut at = 0;
            all.retain(|_| {
                at += 1;
                keep.contains(&(at - 1))
            });
        }
        all
    }

    fn with_line(&self, at: usize, line: String, what: String) -> Break {
        let mut lines = self.lines.clone();
        lines[at] = line;
        Break {
            text: joined(&lines),
            felt: vec![at + 1],
            what: format!("line {}: {what}", at + 1),
        }
    }

    fn misspelt(&self) -> Vec<Break> {
        let known: BTreeSet<&String> = self.drawn.iter().flatten().collect();
        let mut breaks = Vec::new();
        for (n, used) in self.uses.iter().enumerate() {
            let wrong = misspell(&used.word, n);
            if known.contains(&wrong) {
                continue;
            }
            let line = &self.lines[used.line];
            let after = &line[used.at + used.word.len()..];
            let line = format!("{}{wrong}{after}", &line[..used.at]);
            breaks.push(self.with_line(used.line, line, format!("{} for {}", wrong, used.word)));
        }
        breaks
    }

    /// Words of the language: what begins the line, and those that link its parts or say which way.
    fn words_misspelt(&self) -> Vec<Break> {
        let known: BTreeSet<&String> = self.drawn.iter().flatten().collect();
        let mut breaks = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            for (nth, (place, word)) in words(line).into_iter().enumerate() {
                let is_first = nth == 0 && line[..place].trim().is_empty();
                if word.len() < 3 || !(is_first || LINKING.contains(&word.as_str())) {
                    continue;
                }
                let wrong = misspell(&word, at + nth);
                if known.contains(&wrong) || known.contains(&word) || wrong == word {
                    continue;
                }
                let after = &line[place + word.len()..];
                let line = format!("{}{wrong}{after}", &line[..place]);
                breaks.push(self.with_line(at, line, format!("{wrong} for {word}")));
            }
        }
        breaks
    }

    fn without_unit(&self) -> Vec<Break> {
        let mut breaks = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            for (place, unit) in units(line) {
                let shorter = format!("{}{}", &line[..place], &line[place + unit.len()..]);
                breaks.push(self.with_line(at, shorter, format!("without its {unit} at {place}")));
            }
        }
        breaks
    }

    fn without_bracket(&self) -> Vec<Break> {
        let mut breaks = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            for (place, bracket) in code(line).filter(|(_, c)| "()[]{}".contains(*c)) {
                let shorter = format!("{}{}", &line[..place], &line[place + 1..]);
                breaks.push(self.with_line(at, shorter, format!("without {bracket} at {place}")));
            }
        }
        breaks
    }

    fn cut(&self) -> Vec<Break> {
        let mut breaks = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            let words = line.trim();
            if words.len() < 8 || words.starts_with('#') {
                continue;
            }
            let start = line.len() - line.trim_start().len();
            let middle = (start + words.len() / 2..line.len())
                .find(|n| line.is_char_boundary(*n))
                .unwrap();
            breaks.push(self.with_line(at, line[..middle].to_owned(), "cut in half".to_owned()));
        }
        breaks
    }

    /// Whether a line is a whole sentence: it opens no bracket that stays open, and the next does not go on with it.
    fn is_whole(&self, at: usize) -> bool {
        let line = &self.lines[at];
        let depth: i32 = code(line)
            .map(|(_, c)| match c {
                '(' | '[' | '{' => 1,
                ')' | ']' | '}' => -1,
                _ => 0,
            })
            .sum();
        let indent = |line: &str| line.len() - line.trim_start().len();
        let goes_on = self
            .lines
            .get(at + 1)
            .is_some_and(|next| indent(next) > indent(line) && !next.trim().is_empty());
        let goes_on_from = at > 0 && indent(line) > indent(&self.lines[at - 1]) + 2;
        depth == 0 && !goes_on && !goes_on_from
    }

    /// A line that needs what another draws is put right above that one.
    fn moved(&self) -> Vec<Break> {
        let mut breaks = Vec::new();
        for used in &self.uses {
            let (at, line) = (used.line, &self.lines[used.line]);
            if self.drawn[at].is_empty() || !self.is_whole(at) || is_full_name(line, used.at) {
                continue;
            }
            let draws = |n: &usize| {
                self.drawn[*n].contains(&used.word)
                    && self.panels[*n] == self.panels[at]
                    && self.is_whole(*n)
                    && !self.lines[*n].contains("redraw")
            };
            // The only one of its name above, so that nothing else can be meant.
            let above: Vec<usize> = (0..at).filter(draws).collect();
            let others = (0..at)
                .filter(|n| self.drawn[*n].contains(&used.word))
                .count();
            let ([above], 1) = (above.as_slice(), others) else {
                continue;
            };
            let mut lines = self.lines.clone();
            let moved = lines.remove(at);
            lines.insert(*above, moved);
            breaks.push(Break {
                text: joined(&lines),
                felt: vec![*above + 1],
                what: format!(
                    "line {} moved above line {}, which draws {}",
                    at + 1,
                    above + 1,
                    used.word
                ),
            });
        }
        breaks
    }

    fn taken_out(&self) -> Vec<Break> {
        let mut breaks = Vec::new();
        for at in 0..self.lines.len() {
            if self.drawn[at].is_empty() || !self.is_whole(at) || self.lines[at].contains("redraw")
            {
                continue;
            }
            let names = &self.drawn[at];
            // Felt wherever a line after it says one of its names; one less line stands above those now.
            let felt: Vec<usize> = self
                .uses
                .iter()
                .filter(|used| used.line > at && names.contains(&used.word))
                .filter(|used| self.means(used, at))
                .map(|used| used.line)
                .collect();
            if felt.is_empty() {
                continue;
            }
            let mut lines = self.lines.clone();
            let gone = lines.remove(at);
            breaks.push(Break {
                text: joined(&lines),
                felt,
                what: format!("line {} taken out: {}", at + 1, gone.trim()),
            });
        }
        breaks
    }

    /// Whether a use can mean what a line draws: in the same panel, by the panel's name, or drawn at the margin.
    fn means(&self, used: &Use, drawn: usize) -> bool {
        let panel = &self.panels[drawn];
        let line = &self.lines[used.line];
        if is_full_name(line, used.at) {
            return line[..used.at].ends_with(&format!("{panel}."));
        }
        panel.is_empty()
            || self.panels[used.line] == *panel
            || line.trim_start().starts_with("outline")
    }
}

fn joined(lines: &[String]) -> String {
    let mut text = lines.join("\n");
    text.push('\n');
    text
}

/// The letters of a line outside texts and comments, with their places; holes of texts are code.
fn code(line: &str) -> impl Iterator<Item = (usize, char)> {
    let (mut in_text, mut in_hole, mut in_comment) = (false, false, false);
    line.char_indices().filter(move |(_, c)| {
        match c {
            '"' if !in_comment && !in_hole => {
                in_text = !in_text;
                return false;
            }
            '{' if in_text => {
                in_hole = true;
                return false;
            }
            '}' if in_hole => {
                in_hole = false;
                return false;
            }
            '#' if !in_text => in_comment = true,
            _ => {}
        }
        !in_comment && (!in_text || in_hole)
    })
}

/// Words that may be names, with their places.
fn words(line: &str) -> Vec<(usize, String)> {
    let mut found: Vec<(usize, String)> = Vec::new();
    for (at, c) in code(line).filter(|(_, c)| c.is_alphanumeric() || *c == '_') {
        match found.last_mut() {
            Some((start, word)) if *start + word.len() == at => word.push(c),
            _ => found.push((at, c.to_string())),
        }
    }
    found.retain(|(_, word)| word.starts_with(char::is_alphabetic));
    found
}

/// Names a sentence of one line draws.
fn names_drawn(line: &str) -> Vec<String> {
    let words = line.trim_start();
    let Some((kind, rest)) = words.split_once(' ') else {
        return Vec::new();
    };
    let Some((names, _)) = rest.split_once(" =") else {
        return Vec::new();
    };
    if !DRAWING.contains(&kind) {
        return Vec::new();
    }
    names.split(", ").map(str::to_owned).collect()
}

/// Whether the word stands where a sentence names what it is: after `redraw`, `try`, `piece` and the like.
fn after_kind(line: &str, at: usize) -> bool {
    let before = line[..at].trim();
    let is_head = matches!(
        before,
        "try" | "panel" | "piece" | "seam" | "step" | "terms" | "operation" | "import"
    );
    is_head || before.starts_with("terms ") || before.starts_with("draft")
}

fn is_full_name(line: &str, at: usize) -> bool {
    line[..at].ends_with('.')
}

/// One slip of the pen: a letter dropped, doubled or swapped with its neighbour.
fn misspell(word: &str, n: usize) -> String {
    let mut letters: Vec<char> = word.chars().collect();
    let at = n % letters.len().max(1);
    match n % 3 {
        0 if letters.len() > 2 => {
            letters.remove(at);
        }
        1 if at + 1 < letters.len() && letters[at] != letters[at + 1] => letters.swap(at, at + 1),
        _ => letters.insert(at, letters[at]),
    }
    letters.into_iter().collect()
}

/// Units that stand tight against a figure, with their places.
fn units(line: &str) -> Vec<(usize, &'static str)> {
    let code: BTreeSet<usize> = code(line).map(|(at, _)| at).collect();
    let mut found = Vec::new();
    for unit in ["mm", "cm", "in", "deg", "m"] {
        for (at, _) in line.match_indices(unit) {
            let before = line[..at].ends_with(|c: char| c.is_ascii_digit());
            let after =
                line[at + unit.len()..].starts_with(|c: char| c.is_alphanumeric() || c == '_');
            if before && !after && code.contains(&at) {
                found.push((at, unit));
            }
        }
    }
    found.sort();
    found
}
