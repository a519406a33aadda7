//! Names in a figure: new points, new lines with their lengths, then what is used. A name that finds no room, and every
//! name of a crowded step, is written as a number instead, and a key beside the figure tells what it stands for: nothing
//! that is drawn goes without a word.

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
    numbered: usize,
    key: Vec<(String, String)>,
}

/// Writes all names; numbers and what they stand for.
pub(super) fn name_all(
    canvas: &mut Canvas,
    place: Affine,
    shown: &Shown,
    unit: LengthUnit,
) -> Vec<(String, String)> {
    let mut names = Names {
        canvas,
        place,
        numbers_only: shown.new.len() > CROWD,
        numbered: 0,
        key: Vec::new(),
    };
    let told = Told::among(&shown.new);
    for (name, mark) in &shown.new {
        if let Mark::Point(at) = mark {
            names.write(Hand::Fresh, name, &told.name(name), &[*at]);
        }
    }
    for (name, mark) in &shown.new {
        let Mark::Line(line) = mark else { continue };
        let letters = match line.length() {
            Ok(length) if !shown.bare => format!("{} {}", told.name(name), unit.length(length)),
            _ => told.name(name),
        };
        names.write(Hand::Fresh, name, &letters, &spots(line, place));
    }
    let told = Told::among(&shown.used);
    for (name, mark) in &shown.used {
        if let Mark::Point(at) = mark {
            let letters = told.name(name);
            names.write(Hand::Used, name, &letters, &[*at]);
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
    fn write(&mut self, hand: Hand, name: &str, letters: &str, spots: &[Point]) {
        let of = Of::default().named(name);
        if !self.numbers_only && self.placed(of, letters, spots, hand) {
            return;
        }
        let number = (self.numbered + 1).to_string();
        if self.placed(of, &number, spots, hand) {
            self.numbered += 1;
            self.key.push((number, letters.to_owned()));
        } else {
            self.key.push((String::new(), letters.to_owned()));
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
