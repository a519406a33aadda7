//! Drafts that mean something, made by chance: every name is known where it stands, every place of every phrase holds a
//! kind that it takes, panels close into pieces and pieces into seams. So a draft gets past the checker and into the
//! geometry, where it may well ask for what cannot be drawn. The phrases come from the program's own table, so a phrase
//! that is added is tried without a word here.

use super::chance::Chance;
use oaktag_language::kind::{Dimension, Kind};
use oaktag_language::phrase::form::{Form, Gives, Place, Takes};
use oaktag_language::phrase::table::Table;
use oaktag_language::syntax::tree::Link;
use std::fmt::Write;

/// Phrases may stand so deep inside each other.
const DEEP: usize = 3;

/// A name that may be used, and its kind.
#[derive(Clone)]
struct Known {
    name: String,
    kind: Kind,
}

/// What is in hand while a draft is made.
struct Maker<'c> {
    chance: &'c mut Chance,
    text: String,
    known: Vec<Known>,
    /// Operations that may be called, with the kind each gives; none is a panel.
    operations: Vec<(String, Option<usize>)>,
    names: usize,
    indent: usize,
    /// Inside an `each` that is laid out, in which no other stands.
    is_laid_out: bool,
}

/// A draft of a few panels, their pieces and a seam. Shorter chances make shorter drafts.
pub fn draft(chance: &mut Chance) -> String {
    let mut maker = Maker {
        chance,
        text: String::new(),
        known: Vec::new(),
        operations: Vec::new(),
        names: 0,
        indent: 0,
        is_laid_out: false,
    };
    maker.whole();
    maker.text
}

/// The kinds that a name can be given.
const NAMED: [(&str, Kind); 10] = [
    ("point", Kind::Point),
    ("line", Kind::Line),
    ("curve", Kind::Curve),
    ("length", Kind::Quantity(Dimension::LENGTH)),
    ("angle", Kind::Quantity(Dimension::ANGLE)),
    ("area", Kind::Quantity(Dimension::AREA)),
    ("number", Kind::Quantity(Dimension::NUMBER)),
    ("direction", Kind::Direction),
    ("text", Kind::Text),
    ("answer", Kind::Answer),
];

impl Maker<'_> {
    fn whole(&mut self) {
        let unit = *self.chance.one_of(&["cm", "mm", "in"]);
        self.line("edition 1");
        self.line("draft \"By chance\"");
        let line = format!("unit {unit}");
        self.line(line);
        for _ in 0..self.chance.below(3) {
            self.measure();
        }
        let everywhere = self.known.len();
        for _ in 0..self.chance.below(3) {
            self.operation();
            self.known.truncate(everywhere);
        }
        let mut panels = Vec::new();
        for _ in 0..=self.chance.below(2) {
            let panel = self.name("panel");
            self.panel(&panel);
            self.known.truncate(everywhere);
            panels.push(panel);
        }
        self.sheets();
        if self.chance.once_in(3) {
            self.copies();
        }
        for panel in &panels {
            self.piece(panel);
        }
        if let [first, second, ..] = panels.as_slice() {
            self.seam(first, second);
        }
    }

    fn line(&mut self, line: impl AsRef<str>) {
        let indent = "  ".repeat(self.indent);
        let _ = writeln!(self.text, "{indent}{}", line.as_ref());
    }

    fn name(&mut self, stem: &str) -> String {
        self.names += 1;
        format!("{stem}_{}", self.names)
    }

    fn learn(&mut self, name: &str, kind: Kind) {
        self.known.push(Known {
            name: name.to_owned(),
            kind,
        });
    }

    fn measure(&mut self) {
        let name = self.name("m");
        let word = *self.chance.one_of(&["body", "choose"]);
        let size = 1 + self.chance.below(90);
        let line = format!("{word} {name} = {size}cm between 0.5cm and 100cm");
        self.line(line);
        self.learn(&name, Kind::Quantity(Dimension::LENGTH));
    }

    /// A panel whose outline `e_0` to `e_3` closes, and what chance draws in it.
    fn panel(&mut self, panel: &str) {
        let line = format!("panel {panel} {{");
        self.line(line);
        self.indent += 1;
        let (wide, long) = (8 + self.chance.below(40), 8 + self.chance.below(60));
        let (lean, dip) = (self.chance.below(6), self.chance.below(5));
        self.line("point c_0 = origin");
        let line = format!("point c_1 = c_0 right {wide}cm down {dip}cm");
        self.line(line);
        let line = format!("point c_2 = c_1 down {long}cm left {lean}cm");
        self.line(line);
        let line = format!("point c_3 = c_0 down {long}cm");
        self.line(line);
        let neck = match self.chance.below(3) {
            0 => "curve e_0 = from c_0 to c_1 leaving right".to_owned(),
            1 => format!(
                "curve e_0 = from c_0 through (c_0 right {}cm down 2cm) to c_1",
                wide / 2
            ),
            _ => "curve e_0 = from c_0 to c_1 around (c_0 right 5cm down 1cm) with fullness 0.5"
                .to_owned(),
        };
        self.line(&neck);
        self.line("line e_1 = from c_1 to c_2");
        self.line("line e_2 = from c_2 to c_3");
        self.line("line e_3 = from c_3 to c_0");
        for point in ["c_0", "c_1", "c_2", "c_3"] {
            self.learn(point, Kind::Point);
        }
        self.learn("e_0", Kind::Curve);
        for line in ["e_1", "e_2", "e_3"] {
            self.learn(line, Kind::Line);
        }
        for _ in 0..self.chance.below(6) {
            self.sentence(0);
        }
        self.indent -= 1;
        self.line("}");
    }

    fn sentence(&mut self, depth: usize) {
        match self.chance.below(if depth < 2 { 13 } else { 8 }) {
            0..=5 => self.drawing(),
            6 => {
                let answer = self.answer(0);
                let line = format!("check \"by chance\" that {answer}");
                self.line(line);
            }
            7 => {
                let shown = self.value(Takes::FIGURE, DEEP);
                let kind = *self.chance.one_of(&["note", "why", "caution"]);
                if shown.chars().all(|c| c.is_alphanumeric() || c == '_') {
                    let line = format!("{kind} \"it is {{{shown}}} here\"");
                    self.line(line);
                } else {
                    let line = format!("slip {shown} is {shown} \"another way\"");
                    self.line(line);
                }
            }
            8 => {
                let title = self.name("Step");
                let line = format!("step \"{title}\" {{");
                self.line(line);
                // What a step draws stays known after it.
                self.indent += 1;
                for _ in 0..=self.chance.below(3) {
                    self.sentence(depth + 1);
                }
                self.indent -= 1;
                self.line("}");
            }
            9 => {
                let answer = self.answer(0);
                self.inner(&format!("if {answer} {{"), depth);
            }
            10 => self.trial(depth),
            11 => self.each(),
            _ if self.is_laid_out => self.drawing(),
            _ => self.laid_out(),
        }
    }

    /// A block whose names are forgotten at its end.
    fn inner(&mut self, opening: &str, depth: usize) {
        let outside = self.known.len();
        self.line(opening);
        self.indent += 1;
        for _ in 0..=self.chance.below(2) {
            self.sentence(depth + 1);
        }
        self.indent -= 1;
        self.line("}");
        self.known.truncate(outside);
    }

    /// An operation between two points, over which the corners `c_0` to `c_3` are set up; it may call those above it.
    fn operation(&mut self) {
        let head = self.name("made");
        let gives = (!self.chance.once_in(3)).then(|| self.chance.below(5));
        let kind = gives.map_or("panel", |at| NAMED[at].0);
        let line = format!(
            "operation {head} from (point start_at) to (point end_at) by (length far_down)"
        );
        self.line(line);
        let line = format!("    gives {kind} \"By chance.\" {{");
        self.line(line);
        self.indent += 1;
        for line in [
            "point c_0 = start_at",
            "point c_1 = end_at",
            "point c_2 = c_1 down far_down",
            "point c_3 = c_0 down far_down",
        ] {
            self.line(line);
        }
        for point in ["c_0", "c_1", "c_2", "c_3"] {
            self.learn(point, Kind::Point);
        }
        self.learn("far_down", Kind::Quantity(Dimension::LENGTH));
        for _ in 0..self.chance.below(3) {
            match self.chance.below(4) {
                0 => self.trial(2),
                1 => self.each(),
                _ => self.drawing(),
            }
        }
        let given = match gives {
            None => "c_2, c_3".to_owned(),
            Some(at) => {
                let value = self.value(Takes::of(&NAMED[at].1), 1);
                let line = format!("{kind} given_one = {value}");
                self.line(line);
                "given_one".to_owned()
            }
        };
        let line = format!("give {given}");
        self.line(line);
        self.indent -= 1;
        self.line("}");
        self.operations.push((head, gives));
    }

    /// A panel for every operation that gives one.
    fn sheets(&mut self) {
        for (head, gives) in self.operations.clone() {
            if gives.is_none() {
                let far = 1 + self.chance.below(30);
                let name = self.name("sheet");
                let line =
                    format!("panel {name} = {head} from origin to (origin right 20cm) by {far}cm");
                self.line(line);
                let (list, item) = (self.name("n"), self.name("sheet"));
                let line = format!("list {list} = [{name}, {name}]");
                self.line(line);
                let line = format!("panel {item} = item 2 from {list}");
                self.line(line);
            }
        }
    }

    fn drawing(&mut self) {
        let given: Vec<(String, usize)> = self
            .operations
            .iter()
            .filter_map(|(head, gives)| Some((head.clone(), (*gives)?)))
            .collect();
        if !given.is_empty() && self.chance.once_in(4) {
            let (head, at) = self.chance.one_of(&given).clone();
            let (word, kind) = NAMED[at].clone();
            let (first, second) = (
                self.operand(Takes::POINT, DEEP),
                self.operand(Takes::POINT, DEEP),
            );
            let far = self.operand(Takes::LENGTH, DEEP);
            let name = self.name("n");
            let line = format!("{word} {name} = {head} from {first} to {second} by {far}");
            self.line(line);
            self.learn(&name, kind);
            return;
        }
        let (word, kind) = self.chance.one_of(&NAMED).clone();
        let value = self.value(Takes::of(&kind), 0);
        let name = self.name("n");
        let line = format!("{word} {name} = {value}");
        self.line(line);
        // A line kept as a curve is a curve from there on.
        self.learn(&name, kind);
    }

    fn trial(&mut self, depth: usize) {
        let outside = self.known.len();
        let name = self.name("t");
        let line = format!(
            "try {name} between 0cm and {}cm {{",
            1 + self.chance.below(20)
        );
        self.line(line);
        self.indent += 1;
        self.learn(&name, Kind::Quantity(Dimension::LENGTH));
        let moved = self.name("n");
        let line = format!("point {moved} = c_1 down {name}");
        self.line(line);
        self.learn(&moved, Kind::Point);
        for _ in 0..self.chance.below(2) {
            self.sentence(depth + 2);
        }
        self.indent -= 1;
        let wanted = 5 + self.chance.below(40);
        let line = format!("}} until (distance from c_0 to {moved}) = {wanted}cm");
        self.line(line);
        self.known.truncate(outside);
    }

    fn each(&mut self) {
        let outside = self.known.len();
        let (list, number, item) = (self.name("n"), self.name("i"), self.name("n"));
        let times = 1 + self.chance.below(5);
        let carried = self.chance.once_in(2).then(|| self.name("n"));
        let carrying = match &carried {
            Some(name) => {
                let from = self.operand(Takes::LENGTH, DEEP);
                format!(" carrying {name} from {from}")
            }
            None => String::new(),
        };
        let line = format!("list {list} = each {number} from 1 to {times}{carrying} {{");
        self.line(line);
        self.indent += 1;
        if let Some(name) = &carried {
            self.learn(name, Kind::Quantity(Dimension::LENGTH));
        }
        self.learn(&number, Kind::Quantity(Dimension::NUMBER));
        let value = self.value(Takes::POINT, 1);
        let line = format!("point {item} = {value}");
        self.line(line);
        let line = format!("give {item}");
        self.line(line);
        if let Some(name) = carried {
            let next = self.value(Takes::LENGTH, 1);
            let line = format!("carry {name} = {next}");
            self.line(line);
        }
        self.indent -= 1;
        self.line("}");
        self.known.truncate(outside);
    }

    /// An `each` whose block is laid out, with some drawing in it.
    fn laid_out(&mut self) {
        let outside = self.known.len();
        let number = self.name("i");
        let line = format!("each {number} from 1 to {} {{", 1 + self.chance.below(4));
        self.line(line);
        self.indent += 1;
        self.is_laid_out = true;
        self.learn(&number, Kind::Quantity(Dimension::NUMBER));
        for _ in 0..=self.chance.below(2) {
            self.sentence(2);
        }
        self.is_laid_out = false;
        self.indent -= 1;
        self.line("}");
        self.known.truncate(outside);
    }

    /// Panels, pieces and seams that an `each` lays out, as often as is chosen.
    fn copies(&mut self) {
        let outside = self.known.len();
        let (chosen, number, place) = (self.name("m"), self.name("i"), self.name("n"));
        let (least, more) = (1 + self.chance.below(3), self.chance.below(3));
        let line = format!(
            "choose {chosen} = {least} between {least} and {}",
            least + more
        );
        self.line(line);
        let ring = *self.chance.one_of(&["", " all round"]);
        let line = format!("each {number} from 1 to {chosen}{ring} carrying {place} from 0cm {{");
        self.line(line);
        self.indent += 1;
        self.learn(&number, Kind::Quantity(Dimension::NUMBER));
        self.learn(&place, Kind::Quantity(Dimension::LENGTH));
        let (panel, seam) = (self.name("panel"), self.name("seam"));
        self.is_laid_out = true;
        self.panel(&panel);
        self.is_laid_out = false;
        self.piece(&panel);
        let line = format!("seam {seam} joins {panel}.e_1 to next {panel}.e_3");
        self.line(line);
        let line = format!("carry {place} = {place} + length of {panel}.e_2");
        self.line(line);
        self.indent -= 1;
        self.line("}");
        self.known.truncate(outside);
    }

    /// Something of a kind that is taken.
    fn value(&mut self, takes: Takes, depth: usize) -> String {
        let known: Vec<String> = self
            .known
            .iter()
            .filter(|k| takes.takes(&k.kind))
            .map(|k| k.name.clone())
            .collect();
        let plain = depth >= DEEP || self.chance.once_in(3);
        if plain && !known.is_empty() {
            return self.chance.one_of(&known).clone();
        }
        if plain && let Some(literal) = self.literal(takes) {
            return literal;
        }
        let forms: Vec<(&Form, Takes)> = Table::built_in()
            .forms()
            .iter()
            .filter_map(|form| Some((form, gives(form, takes)?)))
            .collect();
        if depth < DEEP && !forms.is_empty() && !self.chance.once_in(6) {
            let (form, first) = *self.chance.one_of(&forms);
            return self.phrase(form, first, depth + 1);
        }
        if let Some(literal) = self.literal(takes) {
            return literal;
        }
        match known.as_slice() {
            [] if Takes::LIST == takes => "[c_0, c_1]".into(),
            [] => "c_0".into(),
            known => self.chance.one_of(known).clone(),
        }
    }

    fn phrase(&mut self, form: &Form, first: Takes, depth: usize) -> String {
        let mut out = form.head.as_deref().unwrap_or_default().to_owned();
        let mut kept = false;
        for (at, place) in form.places.iter().enumerate() {
            let is_share = matches!(place.link, Some(Link::LeavingShare | Link::ArrivingShare));
            // A way is kept for a length or for a share, never for both.
            if place.optional && (self.chance.once_in(2) || is_share && kept) {
                continue;
            }
            kept = matches!(place.link, Some(Link::LeavingFor | Link::ArrivingFor));
            let takes = if at == 0 { first } else { place.takes };
            if let Some(link) = place.link {
                let _ = write!(out, " {}", link.word());
            }
            let arguments: Vec<String> = (0..self.arguments(place))
                .map(|_| self.operand(takes, depth))
                .collect();
            let _ = write!(out, " {}", arguments.join(", "));
            if is_share {
                out.push_str(" of the way");
            }
        }
        let mut word = " with";
        for option in &form.options {
            if option.required || self.chance.once_in(3) {
                let value = self.operand(option.takes, DEEP);
                let _ = write!(out, "{word} {} {value}", option.name);
                word = ",";
            }
        }
        out.trim().to_owned()
    }

    fn arguments(&mut self, place: &Place) -> usize {
        // Several things moved at once would need several names.
        if place.many && place.link.is_some_and(|link| link != Link::Of) {
            1 + self.chance.below(2)
        } else {
            1
        }
    }

    fn operand(&mut self, takes: Takes, depth: usize) -> String {
        let value = self.value(takes, depth);
        let bare = value
            .chars()
            .all(|c| c.is_alphanumeric() || c == '_' || c == '.')
            || value.starts_with('[');
        if bare { value } else { format!("({value})") }
    }

    fn literal(&mut self, takes: Takes) -> Option<String> {
        let kinds: Vec<&Kind> = NAMED
            .iter()
            .map(|(_, kind)| kind)
            .filter(|kind| takes.takes(kind))
            .collect();
        if kinds.is_empty() {
            return match () {
                () if takes.takes(&Kind::Turn) => {
                    Some(format!("{}deg clockwise", self.chance.below(180)))
                }
                () if takes.takes(&Kind::LengthRound) => {
                    Some(format!("{}mm anticlockwise", self.chance.below(180)))
                }
                () if takes.takes(&Kind::PointRound) => Some("c_2 clockwise".into()),
                () if takes.takes(&Kind::List(Box::new(Kind::Point))) => {
                    Some("[c_0, c_1, c_2]".into())
                }
                () => None,
            };
        }
        let n = self.chance.below(60);
        match self.chance.one_of(&kinds) {
            Kind::Point => Some(format!(
                "c_{} {} {n}mm",
                n % 4,
                self.chance.one_of(&["up", "down", "left", "right"])
            )),
            Kind::Line => Some("from c_0 to c_2".into()),
            Kind::Curve => Some("from c_0 through c_1 to c_2".into()),
            Kind::Quantity(Dimension::LENGTH) => {
                Some(format!("{n}{}", self.chance.one_of(&["mm", "cm", "/4in"])))
            }
            Kind::Quantity(Dimension::ANGLE) => Some(format!("{n}deg")),
            Kind::Quantity(Dimension::AREA) => Some(format!("{n}cm * 3cm")),
            Kind::Quantity(Dimension::NUMBER) => Some(format!("0.{n}")),
            Kind::Direction => {
                Some((*self.chance.one_of(&["up", "down", "left", "right"])).to_owned())
            }
            Kind::Text => Some("\"words\"".into()),
            Kind::Answer => Some((*self.chance.one_of(&["yes", "no"])).to_owned()),
            _ => None,
        }
    }

    fn answer(&mut self, depth: usize) -> String {
        let (a, b) = (
            self.operand(Takes::LENGTH, DEEP - 1),
            self.operand(Takes::LENGTH, DEEP),
        );
        match self.chance.below(if depth < 1 { 7 } else { 4 }) {
            0 => format!("{a} >= {b}"),
            1 => format!("{a} is within 2mm of {b}"),
            2 => format!("{a} is between 1cm and 20cm"),
            3 => format!("{a} is between 0mm and 15mm longer than {b}"),
            4 => format!("{} and {}", self.answer(depth + 1), self.answer(depth + 1)),
            5 => format!("{} or {}", self.answer(depth + 1), self.answer(depth + 1)),
            _ => format!("not ({})", self.answer(depth + 1)),
        }
    }

    fn piece(&mut self, panel: &str) {
        let folded = self.chance.once_in(3);
        let fold = if folded {
            "1 on fold at e_3"
        } else {
            *self.chance.one_of(&["2", "1", "4 alike"])
        };
        let line = format!("piece {panel} \"By chance & <so>\" {{");
        self.line(line);
        self.indent += 1;
        self.line("outline e_0, e_1, e_2, e_3");
        let line = format!("cut {fold}");
        self.line(line);
        let grain = *self
            .chance
            .one_of(&["e_3", "e_1", "(from c_0 toward 45deg below right)"]);
        let line = format!("grain along {grain}");
        self.line(line);
        let line = format!("allow {}mm", self.chance.below(20));
        self.line(line);
        if self.chance.once_in(2) {
            let line = format!("allow {}mm on e_2", self.chance.below(40));
            self.line(line);
        }
        if self.chance.once_in(3) {
            let corner = *self
                .chance
                .one_of(&["squared", "mitred", "stepped", "turned back"]);
            let line = format!("corner e_1, e_2 {corner}");
            self.line(line);
        }
        if self.chance.once_in(2) {
            let kind = *self.chance.one_of(&["single", "double", "T", "slit", "V"]);
            let line = format!(
                "notch {kind} at (1/{} of the way along e_1)",
                2 + self.chance.below(9)
            );
            self.line(line);
        }
        if self.chance.once_in(2) {
            self.line("mark (c_0 right 2cm down 5cm) \"button\" with diameter 11mm, thickness 3mm");
        }
        self.line("finish e_0, e_2, e_3");
        self.indent -= 1;
        self.line("}");
    }

    fn seam(&mut self, first: &str, second: &str) {
        let line = format!("seam side joins {first}.e_1 to {second}.e_1 {{");
        self.line(line);
        self.indent += 1;
        if self.chance.once_in(2) {
            let line = format!("ease {}mm on {first}.e_1", self.chance.below(30));
            self.line(line);
        }
        if self.chance.once_in(2) {
            let line = format!("notch at {}mm from {first}.c_1", self.chance.below(200));
            self.line(line);
        }
        let sewn =
            *self
                .chance
                .one_of(&["sewn plain", "sewn felled", "sewn french", "tolerance 3mm"]);
        self.line(sewn);
        self.indent -= 1;
        self.line("}");
    }
}

/// What the first place of a form must take for the form to give what is wanted; none where it gives something else.
fn gives(form: &Form, wanted: Takes) -> Option<Takes> {
    let first = form.places.first()?.takes;
    match &form.gives {
        Gives::Kind(kind) => (*kind != Kind::Unknown && wanted.takes(kind)).then_some(first),
        Gives::SameAsFirst => NAMED
            .iter()
            .map(|(_, kind)| kind)
            .find(|kind| wanted.takes(kind) && first.takes(kind))
            .map(Takes::of),
        Gives::ItemOf(_) | Gives::LikeItemsOf(_) | Gives::RootOfFirst => None,
    }
}
