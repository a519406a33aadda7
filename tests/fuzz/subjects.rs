//! What the fuzzer feeds, and what must hold whatever it feeds: one function for each subject. The fuzzing package and the
//! test that replays its corpus both take them from here, so a finding fails the same assertion in both.

use crate::chance::Chance;
use crate::kinded;
use kurbo::{Affine, CubicBez, Point};
use oaktag::draft::inputs::Inputs;
use oaktag::draft::{self, Outcome};
use oaktag::geometry::LARGEST;
use oaktag::geometry::allowance::{Corner, cut_outline};
use oaktag::geometry::meet::meetings;
use oaktag::geometry::outline::Outline;
use oaktag::geometry::parallel::parallel_of;
use oaktag::geometry::path::Path;
use oaktag::geometry::seam::{Chain, walk};
use oaktag::geometry::self_meet::self_crossings;
use oaktag::geometry::swing::swing;
use oaktag::library;
use oaktag::output::drawing::compose::compose;
use oaktag::output::drawing::manner::Scale;
use oaktag::output::sheet::Sheet;
use oaktag::output::{dxf, json, pages, pdf, svg};
use oaktag::report::{Diagnostic, SourceMap};
use oaktag::syntax::messages::Messages;
use oaktag::syntax::project::{NoFiles, Project};
use oaktag::syntax::{meaning, parse, prepare, tidy};

/// Letters as they come: every token lies in the text, in order, and its letters can be cut out.
pub fn tokens(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut sources = SourceMap::new();
    let file = sources.add("fuzz.draft", text, false);
    let mut messages = Messages::default();
    let (tokens, _) = prepare(text, file, &mut messages);
    let mut before = 0;
    for (_, span) in &tokens {
        let range = span.range();
        assert!(
            range.start >= before && range.end >= range.start,
            "{range:?} after {before}"
        );
        assert!(sources.text(file).get(range.clone()).is_some(), "{range:?}");
        before = range.start;
    }
    well_placed(&sources, &messages.finish());
}

/// A text that can be read, laid out, means the same; laid out again, it stays as it is.
pub fn text(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut sources = SourceMap::new();
    let file = sources.add("fuzz.draft", text, false);
    let parsed = parse(&sources, file);
    well_placed(&sources, &parsed.diagnostics);
    let Ok(once) = tidy(text) else { return };
    let mut again = SourceMap::new();
    let second = again.add("fuzz.draft", &once, false);
    assert_eq!(
        meaning(&parsed.tree),
        meaning(&parse(&again, second).tree),
        "of {text:?}\nas {once:?}"
    );
    assert_eq!(
        tidy(&once).as_deref(),
        Ok(once.as_str()),
        "not a fixed point: {text:?}"
    );
}

/// Any text is checked, drawn and written without a panic.
pub fn draft(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let (project, outcome) = drawn(text);
    well_placed(&project.sources, &outcome.diagnostics);
    well_written(&outcome);
}

/// A draft that means something gets past the checker, and is drawn and written, twice the same.
pub fn kinded(data: &[u8]) {
    let text = kinded::draft(&mut Chance::of_bytes(data.to_vec()));
    let (project, outcome) = drawn(&text);
    let checked = oaktag::check::check(&project);
    let wrong: Vec<Diagnostic> = checked
        .diagnostics
        .iter()
        .filter(|told| told.is_error())
        .cloned()
        .collect();
    let shown = oaktag::report::terminal::render(&project.sources, &wrong, false);
    assert!(
        wrong.is_empty(),
        "{shown}
{text}"
    );
    well_placed(&project.sources, &outcome.diagnostics);
    let written = well_written(&outcome);
    let (_, again) = drawn(&text);
    assert_eq!(
        written,
        well_written(&again),
        "drawn twice, two drawings of\n{text}"
    );
}

/// Any table of bodies is read for a draft, and what is wrong is told at its cell.
pub fn table(data: &[u8]) {
    const DRAFT: &str = "draft \"Table\"\nunit cm\nbody bust_girth = 92cm between 60cm and 150cm\nbody shoulder_slope = 22deg between 5deg and 40deg\nchoose ease = 8cm between 0cm and 20cm\npoint a = origin right bust_girth\n";
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let mut project = Project::load("fuzz.draft", DRAFT, &NoFiles, &library::module);
    let checked = oaktag::check::check(&project);
    let file = project.sources.add("bodies.csv", text, false);
    match draft::bodies::read(&project.sources, file, &checked.program) {
        Err(told) => {
            assert!(!told.is_empty());
            well_placed(&project.sources, &told);
        }
        Ok(rows) => {
            for row in rows {
                match row {
                    Err(told) => well_placed(&project.sources, &told),
                    Ok(body) => {
                        let inputs = Inputs {
                            body: Some(body),
                            ..Inputs::default()
                        };
                        let told = draft::draw(&project, &checked, &inputs).diagnostics;
                        well_placed(&project.sources, &told);
                    }
                }
            }
        }
    }
}

/// Lines, curves and outlines of any shape and size: answers are finite, or there is a fault in words.
pub fn geometry(data: &[u8]) {
    let mut numbers = Numbers(data);
    let paths: Vec<Path> = (0..3).filter_map(|_| numbers.path()).collect();
    for path in &paths {
        for crossing in self_crossings(path) {
            assert!(crossing.point.is_finite(), "{path:?}");
        }
        // As far away as a yoke is deep, mostly; as far as a table is wide costs a second.
        if let Ok(moved) = parallel_of(path, numbers.number() * 0.1) {
            finite(&moved);
        }
        if let Ok(swung) = swing(numbers.number(), numbers.place(), path) {
            assert!(swung.iter().all(|s| s.point.is_finite()), "{path:?}");
        }
        let place = numbers.place();
        let nearest = path.nearest(place);
        assert!(
            nearest.distance.is_finite() && nearest.point.is_finite(),
            "{path:?}"
        );
    }
    if let [first, second, ..] = paths.as_slice() {
        for meeting in &meetings(first, second).crossings {
            assert!(meeting.point.is_finite(), "{first:?} {second:?}");
        }
        if let (Ok(a), Ok(b)) = (
            Chain::new(std::slice::from_ref(first)),
            Chain::new(std::slice::from_ref(second)),
        ) {
            let notch = numbers.number().abs();
            if let Ok(intervals) = walk(&a, &b, &[(notch, notch)]) {
                assert!(intervals.iter().all(|i| i.ease().is_finite()));
            }
        }
    }
    if let Some(edges) = numbers.ring()
        && let Ok(outline) = Outline::new(&edges)
    {
        assert!(outline.area().is_finite());
        let width = numbers.number().abs() % 60.0;
        let count = edges.len();
        if let Ok(cut) = cut_outline(&outline, &vec![width; count], &vec![Corner::Mitred; count]) {
            assert!(cut.segments().all(|seg| seg.is_finite()), "{edges:?}");
        }
    }
}

fn finite(path: &Path) {
    assert!(path.segs().iter().all(|seg| seg.is_finite()), "{path:?}");
}

/// Numbers out of bytes: two bytes each for a place on the table, now and then eight for anything a number can be.
struct Numbers<'d>(&'d [u8]);

impl Numbers<'_> {
    fn byte(&mut self) -> u8 {
        let (first, rest) = self.0.split_first().unwrap_or((&0, &[]));
        self.0 = rest;
        *first
    }

    fn number(&mut self) -> f64 {
        if self.byte() == 255 {
            let bytes: [u8; 8] = std::array::from_fn(|_| self.byte());
            return f64::from_le_bytes(bytes);
        }
        let (high, low) = (self.byte(), self.byte());
        f64::from(i16::from_be_bytes([high, low])) / 32.0
    }

    fn point(&mut self) -> Point {
        Point::new(self.number(), self.number())
    }

    /// A point on the paper; the language has no other, and these functions are not asked for any.
    fn place(&mut self) -> Point {
        let place = Some(self.point());
        place
            .filter(|p| p.to_vec2().hypot() < LARGEST)
            .unwrap_or_default()
    }

    fn path(&mut self) -> Option<Path> {
        let (a, b) = (self.point(), self.point());
        match self.byte() % 4 {
            0 => Path::line(a, b).ok(),
            1 => Path::endless(a, b - a).ok(),
            2 => Path::cubic(CubicBez::new(a, b, self.point(), self.point())).ok(),
            _ => {
                let first = Path::cubic(CubicBez::new(a, b, self.point(), self.point())).ok()?;
                let second =
                    first.transformed(Affine::translate(first.end().ok()? - first.start().ok()?));
                Path::joined(&[first, second]).ok()
            }
        }
    }

    /// Three to eight edges that follow one another round.
    fn ring(&mut self) -> Option<Vec<Path>> {
        let count = 3 + usize::from(self.byte() % 6);
        let corners: Vec<Point> = (0..count).map(|_| self.point()).collect();
        let next = corners.iter().cycle().skip(1);
        corners
            .iter()
            .zip(next)
            .map(|(a, b)| match self.byte() % 3 {
                0 => Path::cubic(CubicBez::new(*a, self.point(), self.point(), *b)).ok(),
                _ => Path::line(*a, *b).ok(),
            })
            .collect()
    }
}

fn drawn(text: &str) -> (Project, Outcome) {
    let project = Project::load("fuzz.draft", text, &NoFiles, &library::module);
    let outcome = draft::make(&project, &Inputs::default());
    (project, outcome)
}

/// Every message says something, at places that are in its text.
fn well_placed(sources: &SourceMap, told: &[Diagnostic]) {
    for diagnostic in told {
        assert!(!diagnostic.message.trim().is_empty(), "{diagnostic:?}");
        for label in std::iter::once(&diagnostic.primary).chain(&diagnostic.secondary) {
            let text = sources.text(label.span.file);
            assert!(text.get(label.span.range()).is_some(), "{diagnostic:?}");
        }
    }
    let shown = oaktag::report::terminal::render(sources, told, false);
    assert!(told.is_empty() || !shown.is_empty());
}

/// What the writers make of it; no number in it is infinite or none.
fn well_written(outcome: &Outcome) -> Vec<String> {
    let pattern = &outcome.pattern;
    let mut written = Vec::new();
    let json = json::write(pattern).unwrap();
    assert!(
        serde_json::from_str::<serde_json::Value>(&json).is_ok(),
        "{json}"
    );
    written.push(json);
    if pattern.pieces.is_empty() {
        return written;
    }
    let svg = svg::of_drawing(&compose(pattern));
    assert!(!svg.contains("NaN") && !svg.contains("inf "), "{svg}");
    let tree = roxmltree::Document::parse(&svg);
    assert!(tree.is_ok(), "{tree:?}\n{svg}");
    written.push(svg);
    let dxf = dxf::write(pattern, "base");
    assert!(
        dxf.ends_with("EOF\n") || dxf.ends_with("EOF\r\n"),
        "{}",
        dxf.len()
    );
    written.push(dxf);
    if let Ok(document) = pages::lay_out(pattern, Sheet::default(), Scale::Full)
        && document.pages.len() < 40
    {
        let bytes = pdf::write(&document, &[]).bytes;
        assert!(bytes.starts_with(b"%PDF-") && bytes.len() > 500);
        written.push(bytes.iter().map(|byte| char::from(*byte)).collect());
    }
    written
}
