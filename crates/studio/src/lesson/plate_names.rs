//! Names in a figure: new points, new lines with their lengths, then what is used. A name that finds no room, and every
//! name of a crowded step, is written as a number instead, and a key beside the figure tells what it stands for: nothing
//! that is drawn goes without a word.

use super::plates::Shown;
use super::sheets::Mark;
use super::speech::Told;
use kurbo::{Affine, Point};
use oaktag_geometry::path::Path;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::ink::Hand;
use oaktag_output::plate::{Of, Plate};

/// More new things than this are numbered: their names would hide the drawing.
const CROWD: usize = 16;
/// A name stands no farther from what it names, in millimetres.
const LONGEST_LEADER: f64 = 14.0;
/// Where along a line its name is tried: the middle first, then to either side of it.
const SHARES: [f64; 5] = [0.5, 0.35, 0.65, 0.2, 0.8];

/// Names under way.
struct Names<'a> {
    plate: &'a mut Plate,
    place: Affine,
    numbers_only: bool,
    numbered: usize,
    key: Vec<(String, String)>,
}

/// Writes all names; numbers and what they stand for.
pub(super) fn name_all(
    plate: &mut Plate,
    place: Affine,
    shown: &Shown,
    unit: LengthUnit,
) -> Vec<(String, String)> {
    let mut names = Names {
        plate,
        place,
        numbers_only: shown.new.len() > CROWD,
        numbered: 0,
        key: Vec::new(),
    };
    let told = Told::among(&shown.new);
    for (name, mark) in &shown.new {
        if let Mark::Point(at) = mark {
            names.write("new", Hand::Fresh, name, &told.name(name), &[*at]);
        }
    }
    for (name, mark) in &shown.new {
        let Mark::Line(line) = mark else { continue };
        let letters = match line.length() {
            Ok(length) => format!("{} {}", told.name(name), unit.length(length)),
            Err(_) => told.name(name),
        };
        names.write("new", Hand::Fresh, name, &letters, &spots(line, place));
    }
    let told = Told::among(&shown.used);
    for (name, mark) in &shown.used {
        if let Mark::Point(at) = mark {
            let letters = told.name(name);
            names.write("used", Hand::ConstructionName, name, &letters, &[*at]);
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
    fn write(
        &mut self,
        class: &'static str,
        hand: Hand,
        name: &str,
        letters: &str,
        spots: &[Point],
    ) {
        let of = Of {
            name: Some(name),
            ..Of::default()
        };
        if !self.numbers_only && self.placed(class, of, letters, spots, hand) {
            return;
        }
        let number = (self.numbered + 1).to_string();
        if self.placed(class, of, &number, spots, hand) {
            self.numbered += 1;
            self.key.push((number, letters.to_owned()));
        } else {
            self.key.push((String::new(), letters.to_owned()));
        }
    }

    fn placed(
        &mut self,
        class: &'static str,
        of: Of<'_>,
        letters: &str,
        spots: &[Point],
        hand: Hand,
    ) -> bool {
        let place = self.place;
        let mut spots = spots.iter();
        spots.any(|at| {
            let at = place * *at;
            self.plate
                .name_within(class, of, letters, at, hand, LONGEST_LEADER)
        })
    }
}
