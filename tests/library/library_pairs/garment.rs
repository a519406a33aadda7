//! A garment of a few lines, drawn in this process, and what a reader of its JSON finds.

use crate::library_pairs::promises;
use geo::{Area, LineString, Polygon, Validation};
use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::report::{Code, Severity};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_output::json;
use serde_json::Value as Json;
use std::collections::BTreeMap;

/// What came of a draft.
pub enum Came {
    /// All is well: its pieces, and what it promises and does not keep.
    Whole(Shape, Vec<String>),
    /// One sentence refuses an act: the words, and the line it stands on.
    Refused(String, String),
    /// Anything else.
    Wrong(Vec<String>),
}

/// Draws a draft.
pub fn draw(text: &str) -> Came {
    let project = Project::load(
        "shirt.draft",
        text,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let outcome = draft::make(&project, &Inputs::default());
    // A pleat to nothing turns the fold off the grain; its act cautions of that, and so does the piece.
    let is_turned = text.contains("box_pleat_to_nothing");
    let told: Vec<_> = outcome
        .diagnostics
        .iter()
        .filter(|told| told.code != Code::Caution)
        .filter(|told| !(is_turned && told.code == Code::FoldAcrossGrain))
        .collect();
    if let [one] = told.as_slice()
        && one.code == Code::Required
        && one.severity == Severity::Error
    {
        let line = project.sources.line(one.place) as usize;
        let line = text.lines().nth(line - 1).unwrap_or_default();
        return Came::Refused(one.message.in_unit(MM).into_owned(), line.to_owned());
    }
    let mut wrong: Vec<String> = told
        .iter()
        .map(|told| format!("{:?}: {}", told.code, told.message.in_unit(MM)))
        .collect();
    if wrong.is_empty() {
        let json = read(&outcome);
        wrong = faults(&json);
        if wrong.is_empty() {
            return Came::Whole(shape(&json), promises::broken(&json, text));
        }
    }
    Came::Wrong(wrong)
}

/// The JSON of a draft.
pub fn drawn_json(text: &str) -> Json {
    let project = Project::load("a.draft", text, &NoFiles, &oaktag_language::library::module);
    read(&draft::make(&project, &Inputs::default()))
}

fn read(outcome: &Outcome) -> Json {
    serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap()
}

/// What a reader that is not the program's own finds wrong.
fn faults(json: &Json) -> Vec<String> {
    let mut wrong = Vec::new();
    for seam in json["seams"].as_array().unwrap() {
        if seam["ok"] != true {
            wrong.push(format!("seam {} does not fit", seam["name"]));
        }
    }
    for edge in json["unwalked"].as_array().unwrap() {
        wrong.push(format!("{edge} is not walked"));
    }
    for piece in pieces(json) {
        let name = &piece["name"];
        let polygon = outline(piece);
        if !polygon.is_valid() {
            wrong.push(format!("{name} crosses itself"));
        }
        let area = polygon.unsigned_area();
        if !(400.0..2_000_000.0).contains(&area) {
            wrong.push(format!("{name} has {area} square millimetres"));
        }
        let edges = edges(piece);
        for (at, edge) in edges.iter().enumerate() {
            let next = &edges[(at + 1) % edges.len()];
            let (end, start) = (edge.points.last().unwrap(), &next.points[0]);
            let gap = (end.0 - start.0).hypot(end.1 - start.1);
            // A dart's mouth lies between two edges.
            if gap > 0.02 && piece["darts"].as_array().is_none_or(Vec::is_empty) {
                wrong.push(format!(
                    "{name}: {gap} mm from {} to {}",
                    edge.name, next.name
                ));
            }
        }
    }
    wrong
}

/// The pieces of a drawing.
pub fn pieces(json: &Json) -> &[Json] {
    json["pieces"].as_array().unwrap()
}

/// An edge as drawn round its piece.
pub struct Edge {
    pub name: String,
    pub length: f64,
    pub points: Vec<(f64, f64)>,
}

/// The edges of a piece.
pub fn edges(piece: &Json) -> Vec<Edge> {
    let edges = piece["edges"].as_array().unwrap();
    edges
        .iter()
        .map(|edge| Edge {
            name: edge["name"].as_str().unwrap().to_owned(),
            length: edge["length_mm"].as_f64().unwrap(),
            points: points(edge["path"].as_str().unwrap()),
        })
        .collect()
}

fn outline(piece: &Json) -> Polygon {
    let mut all: Vec<(f64, f64)> = Vec::new();
    for edge in edges(piece) {
        for point in edge.points {
            let same = |last: &(f64, f64)| (last.0 - point.0).hypot(last.1 - point.1) < 1e-3;
            if !all.last().is_some_and(same) {
                all.push(point);
            }
        }
    }
    if let (Some(first), Some(last)) = (all.first(), all.last())
        && (first.0 - last.0).hypot(first.1 - last.1) < 1e-3
    {
        all.pop();
    }
    Polygon::new(LineString::from(all), Vec::new())
}

/// Points along SVG path data of `M`, `L` and `C`, curves in 64 parts.
pub fn points(path: &str) -> Vec<(f64, f64)> {
    let spaced: String = path
        .chars()
        .flat_map(|c| {
            let letter = c.is_ascii_alphabetic() && c != 'e';
            let parts = if letter {
                [' ', c, ' ']
            } else {
                ['\0', if c == ',' { ' ' } else { c }, '\0']
            };
            parts.into_iter().filter(|c| *c != '\0')
        })
        .collect();
    let mut words = spaced.split_whitespace().peekable();
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut command = String::new();
    while let Some(word) = words.peek() {
        if word.chars().all(|c| c.is_ascii_alphabetic()) {
            command = (*word).to_owned();
            words.next();
            if command == "Z" {
                break;
            }
        }
        let mut point = || {
            let mut next = || words.next().unwrap().parse::<f64>().unwrap();
            (next(), next())
        };
        match command.as_str() {
            "M" | "L" => out.push(point()),
            "C" => {
                let (a, b, c, d) = (*out.last().unwrap(), point(), point(), point());
                for step in 1..=64 {
                    let t = f64::from(step) / 64.0;
                    let u = 1.0 - t;
                    let at = |a: f64, b: f64, c: f64, d: f64| {
                        u * u * u * a + 3.0 * u * u * t * b + 3.0 * u * t * t * c + t * t * t * d
                    };
                    out.push((at(a.0, b.0, c.0, d.0), at(a.1, b.1, c.1, d.1)));
                }
            }
            other => panic!("path command {other}"),
        }
    }
    out
}

/// A value of the drawing in millimetres.
pub fn figure(json: &Json, name: &str) -> Option<f64> {
    let value = &json["values"][name];
    ["mm", "length_mm"]
        .iter()
        .find_map(|key| value[*key].as_f64())
}

/// A point of the drawing.
pub fn point(json: &Json, name: &str) -> Option<(f64, f64)> {
    let value = &json["values"][name];
    Some((value["x"].as_f64()?, value["y"].as_f64()?))
}

/// Pieces by name, with their edges.
pub type Shape = BTreeMap<String, Vec<Edge>>;

/// The pieces of a drawing; of each edge its ends alone.
fn shape(json: &Json) -> Shape {
    let ends = |mut edge: Edge| {
        let last = *edge.points.last().unwrap();
        edge.points.truncate(1);
        edge.points.push(last);
        edge.points.shrink_to_fit();
        edge
    };
    let name = |piece: &Json| piece["name"].as_str().unwrap().to_owned();
    let all = pieces(json).iter();
    all.map(|piece| (name(piece), edges(piece).into_iter().map(ends).collect()))
        .collect()
}

/// Where two drawings of one garment differ by more than a twentieth of a millimetre.
pub fn difference(a: &Shape, b: &Shape) -> Option<String> {
    if a.keys().ne(b.keys()) {
        return Some(format!("pieces {:?} and {:?}", a.keys(), b.keys()));
    }
    for (name, edges) in a {
        let others = &b[name];
        if edges.len() != others.len() {
            return Some(format!(
                "{name}: {} edges and {}",
                edges.len(),
                others.len()
            ));
        }
        for edge in edges {
            let near = |p: &(f64, f64), q: &(f64, f64)| (p.0 - q.0).hypot(p.1 - q.1) <= 0.05;
            let same = |other: &&Edge| {
                let (first, last) = (&edge.points[0], edge.points.last().unwrap());
                let (start, end) = (&other.points[0], other.points.last().unwrap());
                (edge.length - other.length).abs() <= 0.05
                    && (near(first, start) && near(last, end)
                        || near(first, end) && near(last, start))
            };
            let found = others.iter().find(|other| other.name == edge.name);
            if !found.is_some_and(|other| same(&other)) {
                let length = found.map(|other| other.length);
                return Some(format!(
                    "{name}.{}: {} and {length:?}",
                    edge.name, edge.length
                ));
            }
        }
    }
    None
}
