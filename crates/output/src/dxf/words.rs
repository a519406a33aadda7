//! The words in the block of a piece, all of them inside its boundary: at each edge how it is sewn, beside each mark what it is,
//! and what a cutting room reads of the whole, in smaller letters where the piece is small. Layer 1 has what a machine reads,
//! 15 what people do.

use super::groups::Groups;
use super::{LETTERS, SMALL};
use crate::drawing::frame::TextFrame;
use crate::drawing::grain_line;
use crate::drawing::region::Region;
use crate::path_data::bez;
use crate::{cut_list, edges};
use kurbo::{Point, Rect, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{ClothSpec, MarkSpec, NotchForm, Value};
use oaktag_language::pattern::{Edge, Pattern, Piece, WearerSide};
use oaktag_language::voice;

/// Heights tried for the words of the whole, for those at an edge or a mark, and for a line by itself, in millimetres.
const BLOCK: [f64; 7] = [LETTERS, 4.0, 3.0, 2.5, 2.0, 1.5, 1.2];
const BESIDE: [f64; 3] = [SMALL, 2.0, 1.5];
const ALONE: [f64; 5] = [2.5, 2.0, 1.5, 1.2, 1.0];
/// From line to line, in heights. A letter of the one face that release 12 is sure to have is at most as wide as high.
const LEADING: f64 = 1.5;
/// Places tried across a piece and down.
const PLACES: (u32, u32) = (12, 16);
/// Along an edge, as shares of it, and how far inside it.
const SHARES: [f64; 7] = [0.5, 0.4, 0.6, 0.25, 0.75, 0.12, 0.88];
const GAPS: [f64; 4] = [1.0, 3.0, 6.0, 10.0];

/// A line on its layer.
type Line = (u16, String);

/// Writes all words of a piece.
pub(super) fn write(out: &mut Groups, pattern: &Pattern, piece: &Piece, outer: &Path, size: &str) {
    let mut sheet = Sheet::of(out, piece, outer);
    for mark in &piece.marks {
        if let Some(at) = named_at(mark).filter(|_| !mark.words().is_empty()) {
            sheet.beside(at, &mark.words());
        }
    }
    let mut lines = of_piece(pattern, piece, size);
    for sewn in edges::of(pattern, piece) {
        if !sheet.at_edge(sewn.edge, &sewn.words) {
            let name = voice::letters(&sewn.edge.name);
            lines.push((15, format!("{name}: {}", sewn.words)));
        }
    }
    sheet.block(&lines);
}

/// Where the words of a mark belong.
fn named_at(mark: &MarkSpec) -> Option<Point> {
    match &mark.shape {
        Value::Point(at) => Some(*at),
        Value::Line(path) | Value::Curve(path) if !path.is_endless() => {
            path.point_at(path.length().ok()? / 2.0).ok()
        }
        _ => None,
    }
}

/// What a cutting room reads of the whole.
fn of_piece(pattern: &Pattern, piece: &Piece, size: &str) -> Vec<Line> {
    let name = piece.cut.cloth.as_deref().unwrap_or("");
    let cloth = pattern.cloths.iter().find(|one| one.name == name);
    let label = cloth.map_or("", |cloth| cloth.label.as_str());
    let material = match label {
        "" => voice::letters(name),
        label => format!("{}, {label}", voice::letters(name)),
    };
    let category = WearerSide::split(&piece.name).map_or(piece.name.as_str(), |(stem, _)| stem);
    let category = match piece.inside_of {
        Some(_) => "interlining".to_owned(),
        None => voice::letters(category),
    };
    let one_way = |cloth: &ClothSpec| cut_list::one_way(cloth, pattern.unit);
    let how = [piece.cut_words()]
        .into_iter()
        .chain(cloth.and_then(one_way));
    let how: Vec<String> = how.filter(|words| !words.is_empty()).collect();
    let (number, of) = piece.number;
    let mut annotation = vec![format!("piece {number} of {of}")];
    annotation.extend(how.iter().cloned());
    let mut lines = vec![
        (1, format!("Piece Name: {}", piece.label)),
        (1, format!("Size: {size}")),
        (1, format!("Quantity: {}", piece.cut.count)),
        (1, format!("Category: {category}")),
        (1, format!("Annotation: {}", annotation.join("; "))),
    ];
    if !material.is_empty() {
        lines.push((1, format!("Material: {material}")));
    }
    lines.push((15, format!("Piece {number} of {of}")));
    let issue = Some(pattern.issue.words()).filter(|issue| !issue.is_empty());
    lines.extend(issue.into_iter().chain(how).map(|line| (15, line)));
    let folded = piece.fold_lines.iter().filter_map(|(name, path)| {
        let onto = piece.laid_onto(path)?;
        let (name, onto) = (voice::letters(name), voice::letters(onto));
        Some((15, format!("Lay {name} onto {onto}")))
    });
    lines.extend(folded);
    lines.extend(notches(piece).map(|line| (15, line)));
    lines.extend(piece.cautions.iter().map(|caution| (15, caution.clone())));
    lines
}

/// How many notches there are of each form, where they are not all alike.
fn notches(piece: &Piece) -> Option<String> {
    let forms = [
        NotchForm::Single,
        NotchForm::Double,
        NotchForm::Tee,
        NotchForm::Vee,
        NotchForm::Slit,
    ];
    let counted = forms.iter().map(|form| {
        let of_form = piece.notches.iter().filter(|notch| notch.form == *form);
        (of_form.count(), form)
    });
    let counted: Vec<String> = counted
        .filter(|(count, _)| *count > 0)
        .map(|(count, form)| format!("{count} {}", form.word()))
        .collect();
    (counted.len() > 1).then(|| format!("Notches: {}", counted.join(", ")))
}

/// The inside of a boundary, y up, and what already stands there.
struct Sheet<'a> {
    out: &'a mut Groups,
    inside: Region,
    bounds: Rect,
    taken: Vec<TextFrame>,
}

impl<'a> Sheet<'a> {
    fn of(out: &'a mut Groups, piece: &Piece, outer: &Path) -> Self {
        let outline = bez(outer);
        let grain = grain_line(piece).map(|(a, b)| TextFrame {
            centre: a.midpoint(b),
            along: (b - a).normalize(),
            half_width: (b - a).hypot() / 2.0,
            half_height: 0.5,
        });
        Self {
            out,
            bounds: kurbo::Shape::bounding_box(&outline),
            inside: Region::of(&outline),
            taken: grain.into_iter().collect(),
        }
    }

    fn is_free(&self, frame: &TextFrame) -> bool {
        self.inside.holds(frame) && !self.taken.iter().any(|other| other.overlaps(frame))
    }

    /// Writes lines one below another into a box.
    fn put(&mut self, lines: &[Line], frame: TextFrame, height: f64) {
        // The file's y runs up, so that what is down on a sheet is up here.
        let up = frame.across();
        let corner = frame.centre - frame.along * frame.half_width + up * frame.half_height;
        for (row, (layer, letters)) in (0u32..).zip(lines) {
            let at = corner - up * (height * (1.0 + LEADING * f64::from(row)));
            let turn = frame.along.atan2().to_degrees();
            self.out.turned_text(*layer, (at, turn), height, letters);
        }
        self.taken.push(frame);
    }

    /// The words of a mark, beside it on whichever side there is room; where there is none, on it.
    fn beside(&mut self, at: Point, letters: &str) {
        let line = [(15, letters.to_owned())];
        for height in BESIDE {
            let frame = frame(&line, height, Vec2::new(1.0, 0.0));
            let across = Vec2::new(SMALL + frame.half_width, 0.0);
            let up = Vec2::new(0.0, SMALL + frame.half_height);
            for off in [across, -across, up, -up] {
                let centre = at + off;
                let frame = TextFrame { centre, ..frame };
                if self.is_free(&frame) {
                    return self.put(&line, frame, height);
                }
            }
        }
        let [.., height] = BESIDE;
        self.out.text(15, at, height, letters);
    }

    /// How an edge is sewn, along it on the inside; whether there was room.
    fn at_edge(&mut self, edge: &Edge, words: &str) -> bool {
        let line = [(15, words.to_owned())];
        for height in BESIDE {
            for share in SHARES {
                let Ok(at) = edge.path.location_at(edge.length * share) else {
                    continue;
                };
                let (point, inward) = (edge.path.point(at), edge.path.normal_at(at));
                let way = edge.path.tangent_at(at);
                let reads = way.x > 1e-9 || (way.x.abs() <= 1e-9 && way.y > 0.0);
                let frame = frame(&line, height, if reads { way } else { -way });
                for gap in GAPS {
                    let centre = point + inward * (gap + frame.half_height);
                    let frame = TextFrame { centre, ..frame };
                    if self.is_free(&frame) {
                        self.put(&line, frame, height);
                        return true;
                    }
                }
            }
        }
        false
    }

    /// Lines that belong together, level or upright, in letters as large as there is room for; else each by itself.
    fn block(&mut self, lines: &[Line]) {
        if !self.found(lines, &BLOCK) {
            for line in lines {
                let line = std::slice::from_ref(line);
                if !self.found(line, &ALONE) {
                    self.at_least_on_it(line);
                }
            }
        }
    }

    fn found(&mut self, lines: &[Line], heights: &[f64]) -> bool {
        for height in heights {
            for along in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)] {
                let frame = frame(lines, *height, along);
                let mut places = self.places().into_iter();
                let place = places.find(|centre| {
                    let centre = *centre;
                    self.is_free(&TextFrame { centre, ..frame })
                });
                if let Some(centre) = place {
                    self.put(lines, TextFrame { centre, ..frame }, *height);
                    return true;
                }
            }
        }
        false
    }

    /// A line for which there is no room: it begins on the piece.
    fn at_least_on_it(&mut self, line: &[Line]) {
        let places = self.places();
        let on = places.iter().find(|place| self.inside.contains(**place));
        let at = on.copied().unwrap_or(self.bounds.center());
        let [.., height] = ALONE;
        for (layer, letters) in line {
            self.out.text(*layer, at, height, letters);
        }
    }

    /// Places on the piece, those nearest to its middle first.
    fn places(&self) -> Vec<Point> {
        let (columns, rows) = PLACES;
        let share = |n: u32, count: u32| f64::from(n) / f64::from(count);
        let places = (1..columns).flat_map(|column| {
            (1..rows).map(move |row| (share(column, columns), share(row, rows)))
        });
        let b = self.bounds;
        let places = places.map(|(x, y)| Point::new(b.x0 + b.width() * x, b.y0 + b.height() * y));
        let mut places: Vec<Point> = places.collect();
        // In thousandths: mirror places are alike on every machine.
        let far = |p: &Point| ((*p - b.center()).hypot() * 1e3) as u64;
        places.sort_by_key(far);
        places
    }
}

/// The box of lines one below another, its middle at the origin.
fn frame(lines: &[Line], height: f64, along: Vec2) -> TextFrame {
    let longest = lines.iter().map(|(_, letters)| letters.chars().count());
    let longest = longest.max().unwrap_or(0) as f64;
    let rows = lines.len().max(1) as f64;
    TextFrame {
        centre: Point::ORIGIN,
        along,
        half_width: height * longest / 2.0,
        half_height: height * (1.0 + LEADING * (rows - 1.0)) / 2.0,
    }
}
