//! Names in a figure: new points, new lines with their lengths, then what is used, each new thing behind the number of the act
//! that draws it. A name that finds no room, and every name of a crowded figure, is that number alone, or a letter, and a key
//! beside the figure tells what it stands for: nothing that is drawn goes without a word.

use super::plates::Shown;
use super::sheets::Mark;
use super::speech::Told;
use kurbo::{Affine, Point};
use oaktag_geometry::path::Path;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::canvas::{Canvas, Of};
use oaktag_output::drawing::style::Hand;

/// More new things than this are numbered: their names would hide the drawing.
const CROWD: usize = 16;
/// A name stands no farther from what it names, in millimetres.
const LONGEST_LEADER: f64 = 14.0;
/// Where along a line its name is tried: the middle first, then to either side of it.
const SHARES: [f64; 5] = [0.5, 0.35, 0.65, 0.2, 0.8];

/// The names of a figure while they look for their places.
struct Names<'a> {
    canvas: &'a mut Canvas,
    place: Affine,
    numbers_only: bool,
    lettered: usize,
    key: Vec<(String, String)>,
}

/// Writes all names; numbers and letters, and what they stand for.
pub(super) fn name_all(
    canvas: &mut Canvas,
    place: Affine,
    shown: &Shown,
    unit: LengthUnit,
) -> Vec<(String, String)> {
    let is_point = |mark: &Mark| matches!(mark, Mark::Point(_));
    let crowd = shown
        .new
        .iter()
        .filter(|(name, mark)| !is_point(mark) || !shown.numbers.contains_key(name));
    let mut names = Names {
        canvas,
        place,
        numbers_only: crowd.count() > CROWD,
        lettered: 0,
        key: Vec::new(),
    };
    let told = Told::among(&shown.new);
    for (name, mark) in &shown.new {
        if let Mark::Point(at) = mark {
            match shown.numbers.get(name) {
                Some(number) => names.numbered(name, number, *at),
                None => names.write(
                    Hand::Fresh,
                    name,
                    (&told.name(name), shown.acts.get(name)),
                    &[*at],
                ),
            }
        }
    }
    for (name, mark) in &shown.new {
        let Mark::Line(line) = mark else { continue };
        let letters = match line.length() {
            Ok(length) if !shown.bare => format!("{} {}", told.name(name), unit.length(length)),
            _ => told.name(name),
        };
        let of = (letters.as_str(), shown.acts.get(name));
        names.write(Hand::Fresh, name, of, &spots(line, place));
    }
    let told = Told::among(&shown.used);
    for (name, mark) in &shown.used {
        if let Mark::Point(at) = mark {
            names.write(Hand::Used, name, (&told.name(name), None), &[*at]);
        }
    }
    names.key
}

/// Where on a line its name may stand.
fn spots(line: &Path, place: Affine) -> Vec<Point> {
    if let Some((through, way)) = line.endless_line() {
        let ahead = (place * (through + way) - place * through).normalize();
        let back = place.inverse();
        return vec![back * (place * through + ahead * 12.0), through];
    }
    let Ok(length) = line.length() else {
        return Vec::new();
    };
    let at = SHARES
        .iter()
        .filter_map(|share| line.point_at(length * share).ok());
    at.collect()
}

impl Names<'_> {
    /// A name, behind the number of its act; else that number, or where there is none a letter, with the key.
    fn write(
        &mut self,
        hand: Hand,
        name: &str,
        (letters, act): (&str, Option<&usize>),
        spots: &[Point],
    ) {
        let of = Of::default().named(name);
        let whole = act.map_or(letters.to_owned(), |act| format!("{act} · {letters}"));
        if !self.numbers_only && self.placed(of, &whole, spots, hand) {
            return;
        }
        let short = match act {
            Some(act) => act.to_string(),
            None => letter(self.lettered),
        };
        if self.placed(of, &short, spots, hand) {
            self.lettered += usize::from(act.is_none());
            self.key.push((short, letters.to_owned()));
        } else {
            self.key.push((String::new(), letters.to_owned()));
        }
    }

    /// A point by the number that it has in a table.
    fn numbered(&mut self, name: &str, number: &str, at: Point) {
        if !self.placed(Of::default().named(name), number, &[at], Hand::Fresh) {
            self.key.push((String::new(), format!("point {number}")));
        }
    }

    fn placed(&mut self, of: Of<'_>, letters: &str, spots: &[Point], hand: Hand) -> bool {
        let place = self.place;
        spots.iter().any(|at| {
            let (layer, at) = (Layer::Text, place * *at);
            self.canvas
                .name(layer, of, letters, at, hand, LONGEST_LEADER)
        })
    }
}

/// a, b, … z, aa, ab, …
fn letter(at: usize) -> String {
    let last = char::from(b'a' + u8::try_from(at % 26).unwrap_or(0));
    match at / 26 {
        0 => last.to_string(),
        before => format!("{}{last}", letter(before - 1)),
    }
}
