//! The walk of a seam as a picture: both sides laid straight along each other from their starts, at true size, with the
//! places that meet, the sections between them, what is held in, darts, pleats and openings, and a key to its lines. On paper it
//! is the proof.

use super::drawing::manner::Scale;
use super::drawing::style::{Hand, Pen};
use super::drawing::title::TITLES;
use super::drawing::{Anchor, Drawing, Layer, Shape, Text, text};
use kurbo::{BezPath, Point, Vec2};
use oaktag_language::pattern::spec::EaseHow;
use oaktag_language::pattern::{
    After, Decided, Ease, Interval, Pattern, Seam, Side, SideEdge, said,
};
use oaktag_language::voice;

/// White round the picture.
const MARGIN: f64 = 20.0;
/// Between the lines of both sides.
const APART: f64 = 36.0;
/// From a side to the names of its edges, beyond what stands at its joints, and to the end of what is written of it.
const NAMES: f64 = 13.0;
const ROOM: f64 = 30.0;
/// Half the length of the tick at a joint.
const TICK: f64 = 3.0;
/// From one line of words to the next.
const LINE: f64 = 5.6;
/// The least width, so that the head has room.
const LEAST: f64 = 180.0;
/// The length of the bar that proves the scale.
const BAR: f64 = 100.0;
/// The length of a line in the key.
const SAMPLE: f64 = 32.0;
/// The lines of a walk: pens, the names that such a line may have, or any, and what it is.
const KEY: [(Pen, &[&str], &str); 8] = [
    (Pen::Cut, &[], "side of the seam, edge by edge"),
    (Pen::Notch, &[], "notch, joint of two edges, or end"),
    (Pen::NotchGuide, &[], "places that meet"),
    (Pen::Held, &[], "held in with ease"),
    (Pen::Mark, &["gather"], "gathered"),
    (Pen::Mark, &["stretch"], "stretched"),
    (
        Pen::Mark,
        &["dart", "pleat", "over", "seam"],
        "what the side runs on over",
    ),
    (Pen::Open, &[], "left open"),
];

/// Draws the walk of a seam; where nothing decides which ends meet, both ways round.
pub fn draw(pattern: &Pattern, seam: &Seam, scale: Scale) -> Drawing {
    let title = format!("{}: seam {}", pattern.title, voice::letters(&seam.name));
    let title = match &pattern.unfinished {
        Some(unfinished) => format!("{title}. {}", unfinished.said()),
        None => title,
    };
    let mut sheet = Sheet {
        drawing: Drawing::new(&title),
        pattern,
        scale: scale.factor(),
        down: MARGIN,
    };
    sheet.head(seam, &title, scale);
    let turned = turned(seam);
    if seam.decided == Decided::Unsure {
        sheet.reading(seam, "One reading");
        sheet.reading(&turned, "The other reading");
    } else {
        sheet.reading(seam, "");
    }
    for words in said::of_seam(seam, pattern) {
        sheet.words(&words, Hand::Sheet);
    }
    sheet.key();
    let long = seam.first.length.max(seam.second.length) * sheet.scale;
    let widest = sheet.drawing.bounds().map_or(0.0, |bounds| bounds.x1);
    sheet.drawing.width = (long + 2.0 * MARGIN).max(widest + MARGIN).max(LEAST);
    sheet.drawing.height = sheet.down + MARGIN;
    sheet.drawing
}

/// The seam with its second side walked from the other end.
fn turned(seam: &Seam) -> Seam {
    let long = seam.second.length;
    let over = |at: f64| long - at;
    let mut turned = seam.clone();
    turned.second = seam.second.reversed();
    for place in &mut turned.places {
        place.at.1 = over(place.at.1);
    }
    for notch in &mut turned.notches {
        notch.second = notch.second.iter().map(|at| over(*at)).collect();
        notch.main.1 = over(notch.main.1);
    }
    for ease in turned.eases.iter_mut().filter(|ease| !ease.on_first) {
        for span in &mut ease.spans {
            *span = (over(span.1), over(span.0));
        }
    }
    turned
}

struct Sheet<'a> {
    drawing: Drawing,
    pattern: &'a Pattern,
    scale: f64,
    /// How far down the sheet is used.
    down: f64,
}

impl Sheet<'_> {
    fn text(&mut self, layer: Layer, letters: &str, at: Point, anchor: Anchor, hand: Hand) {
        let text = Text::new(letters, at, anchor, hand);
        self.drawing.add(layer, None, None, Shape::Text(text));
    }

    fn words(&mut self, letters: &str, hand: Hand) {
        self.down += LINE.max(hand.size() * text::LEADING);
        let at = Point::new(MARGIN, self.down);
        self.text(Layer::Title, letters, at, Anchor::Start, hand);
    }

    fn line(&mut self, layer: Layer, name: &str, a: Point, b: Point, pen: Pen) {
        let mut path = BezPath::new();
        path.move_to(a);
        path.line_to(b);
        self.drawing
            .add(layer, None, Some(name), Shape::Stroke(path, pen));
    }

    /// What it is, at which scale, and a bar that proves it, which is true to the paper at any scale.
    fn head(&mut self, seam: &Seam, title: &str, scale: Scale) {
        let long = seam.first.length.max(seam.second.length) * self.scale;
        let (letters, hand) = text::shrunk(
            &text::printable(text::heading(title)),
            &TITLES,
            long.max(LEAST),
        );
        self.words(&letters, hand);
        self.down += text::DESCENT * hand.size();
        let unit = self.pattern.unit;
        let how = format!(
            "{}, both sides laid straight. Figures in {}.",
            scale.words(),
            unit.words()
        );
        self.words(&how, Hand::Sheet);
        let lengths = format!(
            "{} to {}, {}: {}",
            unit.length(seam.first.length),
            unit.length(seam.second.length),
            seam.decided.said(),
            match (seam.ok, seam.decided) {
                (true, _) => "fits",
                (false, Decided::Unsure) => "not decided which ends meet",
                (false, _) => "does not fit",
            }
        );
        self.words(&lengths, Hand::Heading);
        self.down += 9.0;
        let (a, b) = (
            Point::new(MARGIN, self.down),
            Point::new(MARGIN + BAR, self.down),
        );
        self.line(Layer::TestSquare, "bar", a, b, Pen::Square);
        for end in [a, b] {
            let up = Vec2::new(0.0, 2.5);
            self.line(Layer::TestSquare, "bar", end - up, end + up, Pen::Square);
        }
        let at = Point::new(MARGIN + BAR + 3.0, self.down + 1.5);
        let words = "100 mm: measure it before you trust the walk";
        self.text(Layer::TestSquare, words, at, Anchor::Start, Hand::Sheet);
        self.down += 6.0;
    }

    /// What each kind of line is that has been drawn.
    fn key(&mut self) {
        let is_drawn = |pen: Pen, names: &[&str]| {
            let mut items = self.drawing.items();
            items.any(|item| {
                let name = item.name.as_deref().unwrap_or_default();
                let named = names.is_empty() || names.contains(&name);
                named && matches!(&item.shape, Shape::Stroke(_, other) if *other == pen)
            })
        };
        let rows = KEY
            .iter()
            .filter(|(pen, names, _)| is_drawn(*pen, names))
            .map(|(pen, _, words)| (*pen, *words));
        let rows: Vec<(Pen, &str)> = rows.collect();
        self.down += LINE;
        self.words("Lines", Hand::Heading);
        for row in rows {
            self.down += LINE + 0.8;
            let at = Point::new(MARGIN, self.down);
            self.drawing.key_row(row, at, SAMPLE);
        }
    }

    /// One way in which the sides may lie along each other.
    fn reading(&mut self, seam: &Seam, words: &str) {
        if !words.is_empty() {
            self.words(words, Hand::Heading);
        }
        let upper = self.down + ROOM;
        let lower = upper + APART;
        let sides = [(&seam.first, upper, -1.0), (&seam.second, lower, 1.0)];
        for (of_first, (side, level, away)) in sides.into_iter().enumerate() {
            self.side(side, level, away);
            for opening in &seam.openings {
                let span = if of_first == 0 {
                    (opening.from.0, opening.to.0)
                } else {
                    (opening.from.1, opening.to.1)
                };
                let y = level + away * 2.0;
                let (a, b) = (self.at(span.0, y), self.at(span.1, y));
                self.line(Layer::Marks, "open", a, b, Pen::Open);
                if of_first == 0 {
                    self.opened(&opening.words, a, b);
                }
            }
            let eases = seam.eases.iter();
            for ease in eases.filter(|ease| ease.most > 0.0 && ease.on_first == (of_first == 0)) {
                self.held(ease, level, away);
            }
        }
        self.places(seam, upper, lower);
        self.down = lower + ROOM;
    }

    /// What a part is left open for, above its dots.
    fn opened(&mut self, words: &str, a: Point, b: Point) {
        let letters = match words.trim() {
            "" => "open".to_owned(),
            words => format!("open: {words}"),
        };
        let hands = [Hand::EdgeName, Hand::PointSmall];
        let (letters, hand) = text::shrunk(&text::printable(&letters), &hands, b.x - a.x);
        let middle = Point::new(f64::midpoint(a.x, b.x), a.y - 2.0);
        self.text(Layer::Text, &letters, middle, Anchor::Middle, hand);
    }

    fn at(&self, along: f64, y: f64) -> Point {
        Point::new(MARGIN + along * self.scale, y)
    }

    fn side(&mut self, side: &Side, level: f64, away: f64) {
        for (index, edge) in side.edges.iter().enumerate() {
            let (a, b) = (
                self.at(edge.from, level),
                self.at(edge.from + edge.length, level),
            );
            self.line(Layer::Sew, &edge.spoken(), a, b, Pen::Cut);
            self.joint(edge, a, away);
            let length = self.pattern.unit.bare(edge.length);
            let room = b.x - a.x - 2.0;
            let full = format!("{} {length}", edge.spoken());
            let short = format!("{} {length}", voice::letters(&edge.edge));
            let fits =
                |letters: &&String| text::width(letters, Hand::EdgeName.size(), false) <= room;
            // Names that find no room on their edge stand in two rows, one above the other.
            let row = if fits(&&full) || fits(&&short) {
                0.0
            } else {
                6.0 + 5.0 * f64::from(u8::from(index % 2 == 1))
            };
            let letters = [full, short.clone()]
                .into_iter()
                .find(|one| fits(&one))
                .unwrap_or(short);
            let y = level + away * (NAMES + row) + if away > 0.0 { 3.0 } else { 0.0 };
            let middle = Point::new((a.x + b.x) / 2.0, y);
            self.text(
                Layer::Text,
                &letters,
                middle,
                Anchor::Middle,
                Hand::EdgeName,
            );
        }
        let end = self.at(side.length, level);
        self.tick(end);
    }

    fn tick(&mut self, at: Point) {
        let up = Vec2::new(0.0, TICK);
        self.line(Layer::Notches, "end", at - up, at + up, Pen::Notch);
    }

    /// Where an edge begins: a tick, over a dart or a pleat a small wedge on the outer side.
    fn joint(&mut self, edge: &SideEdge, at: Point, away: f64) {
        self.tick(at);
        let words = match edge.after {
            After::Dart => "dart",
            After::Pleat => "pleat",
            After::Over => "over",
            After::Seam => "seam",
            After::Start | After::Touch | After::Apart => return,
        };
        let tip = at + Vec2::new(0.0, away * 6.0);
        let half = Vec2::new(1.8, 0.0);
        let mut wedge = BezPath::new();
        wedge.move_to(at);
        wedge.line_to(tip - half);
        wedge.line_to(tip + half);
        wedge.close_path();
        self.drawing.add(
            Layer::Marks,
            None,
            Some(words),
            Shape::Stroke(wedge, Pen::Mark),
        );
        let y = tip.y + if away > 0.0 { 4.0 } else { -1.0 };
        let beside = Point::new(at.x + 2.5, y);
        self.text(Layer::Text, words, beside, Anchor::Start, Hand::PointName);
    }

    /// Where an edge is held in or pulled, beside its line.
    fn held(&mut self, ease: &Ease, level: f64, away: f64) {
        for (from, to) in &ease.spans {
            let y = level - away * 3.0;
            let (a, b) = (self.at(*from, y), self.at(*to, y));
            let mut path = BezPath::new();
            path.move_to(a);
            if ease.how == EaseHow::Gather {
                let waves = ((b.x - a.x) / 4.0).floor().clamp(1.0, 1000.0);
                let step = (b.x - a.x) / waves;
                for wave in 0..waves as u32 {
                    let x = a.x + f64::from(wave) * step;
                    path.curve_to(
                        (x + step / 3.0, y - 2.0),
                        (x + 2.0 * step / 3.0, y + 2.0),
                        (x + step, y),
                    );
                }
            } else {
                path.line_to(b);
            }
            let pen = if ease.how == EaseHow::Ease {
                Pen::Held
            } else {
                Pen::Mark
            };
            self.drawing.add(
                Layer::Marks,
                None,
                Some(ease.how.word()),
                Shape::Stroke(path, pen),
            );
        }
    }

    /// Places that meet, and the lengths between them.
    fn places(&mut self, seam: &Seam, upper: f64, lower: f64) {
        let mut stops: Vec<(f64, f64)> = vec![(0.0, 0.0)];
        stops.extend(seam.places.iter().map(|place| place.at));
        stops.push((seam.first.length, seam.second.length));
        for (a, b) in &stops {
            let (from, to) = (self.at(*a, upper + TICK), self.at(*b, lower - TICK));
            self.line(Layer::Notches, "meets", from, to, Pen::NotchGuide);
        }
        for notch in &seam.notches {
            for (places, level, away) in [(&notch.first, upper, -1.0), (&notch.second, lower, 1.0)]
            {
                for at in places {
                    let on = self.at(*at, level);
                    let tip = on + Vec2::new(0.0, away * 4.0);
                    self.line(Layer::Notches, "notch", on, tip, Pen::Notch);
                }
            }
        }
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        let judged = |between: Interval| {
            let mut sections = seam.sections.iter();
            sections
                .find(|section| section.between == between)
                .is_none_or(|section| section.ok)
        };
        let pairs = stops.iter().zip(stops.iter().skip(1)).enumerate();
        for (index, (from, to)) in pairs {
            let between = Interval {
                from: *from,
                to: *to,
            };
            let (first, second) = between.lengths();
            if first <= 0.01 && second <= 0.01 {
                continue;
            }
            let unit = self.pattern.unit;
            let letters = format!("{} : {}", unit.bare(first), unit.bare(second));
            let hand = if judged(between) {
                Hand::EdgeName
            } else {
                Hand::Caution
            };
            let room = first.min(second) * self.scale;
            let row = if text::width(&letters, hand.size(), hand.bold()) <= room {
                0.0
            } else {
                f64::from(u8::from(index % 2 == 0)) * 10.0 - 5.0
            };
            let x = (from.0 + to.0 + from.1 + to.1) / 4.0;
            let at = self.at(x, f64::midpoint(upper, lower) + 1.5 + row);
            self.text(Layer::Text, &letters, at, Anchor::Middle, hand);
        }
    }
}
