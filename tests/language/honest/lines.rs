//! Lines made shorter, measured the other way, struck as arcs, and drawn of no length.

use crate::honest::drawing::Run;
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::f64::consts::PI;

/// Figures by name, and what is told.
type Drawn = (Vec<(String, f64)>, Vec<(Code, String)>);

/// What a panel's sentences come to, each length of it by name, and the codes told.
fn drawn(sentences: &str) -> Drawn {
    let text = format!("draft \"t\"\nunit mm\npanel a {{\n{sentences}\n}}\n");
    let (_, outcome) = Run::of(&text).drawn();
    let values = outcome
        .pattern
        .values
        .iter()
        .filter_map(|v| match &v.value {
            Value::Length(figure) | Value::Number(figure) | Value::Angle(figure) => {
                Some((v.name.trim_start_matches("a.").to_owned(), *figure))
            }
            _ => None,
        });
    let told = outcome
        .diagnostics
        .iter()
        .map(|d| (d.code, d.message.in_unit(MM).into_owned()));
    (values.collect(), told.collect())
}

#[track_caller]
fn comes_to(sentences: &str, wanted: &[(&str, f64)]) {
    let (values, told) = drawn(sentences);
    assert!(told.is_empty(), "{told:?}");
    for (name, figure) in wanted {
        let found = values
            .iter()
            .find(|(own, _)| own == name)
            .map(|(_, figure)| *figure);
        let off = found.map(|found| (found - figure).abs());
        assert!(
            off.is_some_and(|off| off <= 1e-6 * figure.abs().max(1e-3)),
            "{name} is {found:?}, not {figure}"
        );
    }
}

#[track_caller]
fn is_refused(sentences: &str, code: Code, words: &str) {
    let (_, told) = drawn(sentences);
    assert!(
        told.len() == 1 && told[0].0 == code && told[0].1.contains(words),
        "{told:?}"
    );
}

const LINE: &str = "line l = from origin toward right for 400mm\n";

#[test]
fn extend_by_less_than_nothing_makes_shorter() {
    let line = |rest: &str| format!("{LINE}{rest}");
    comes_to(
        &line(
            "line m = extend l at (end of l) by -30mm\nlength long = length of m\nlength tip = distance from origin to end of m",
        ),
        &[("long", 370.0), ("tip", 370.0)],
    );
    comes_to(
        &line(
            "line m = extend l at origin by -30mm\nlength long = length of m\nlength tip = distance from origin to start of m",
        ),
        &[("long", 370.0), ("tip", 30.0)],
    );
    comes_to(
        &line("line m = extend l at origin by 0mm\nlength long = length of m"),
        &[("long", 400.0)],
    );
    // A curve keeps its bend.
    comes_to(
        "curve q = arc about origin from (origin up 100mm) by 90deg clockwise\ncurve m = extend q at (end of q) by -(pi * 25mm)\nlength long = length of m\nlength off = distance from origin to end of m",
        &[("long", 25.0 * PI), ("off", 100.0)],
    );
    is_refused(
        &line("line m = extend l at origin by -400mm"),
        Code::PastTheEnd,
        "400 mm was to be taken off the l, which is 400 mm long",
    );
}

#[test]
fn along_by_less_than_nothing_is_measured_back_or_refused() {
    let line = |rest: &str| format!("{LINE}{rest}\nlength off = distance from origin to p");
    is_refused(
        &line("point p = -20mm along l from origin")
            .replace("\nlength off = distance from origin to p", ""),
        Code::PastTheEnd,
        "would lie 20 mm before it begins",
    );
    is_refused(
        &line("point p = -20mm along l from end of l")
            .replace("\nlength off = distance from origin to p", ""),
        Code::PastTheEnd,
        "before it begins",
    );
    comes_to(
        &line("point p = -20mm along l from (origin right 100mm) toward right"),
        &[("off", 80.0)],
    );
}

#[test]
fn an_arc_is_struck_by_its_angle_its_end_or_its_length() {
    let arc = |rest: &str| {
        format!(
            "curve c = arc about origin from (origin up 100mm) {rest}\nlength long = length of c\nlength off = distance from origin to end of c\nlength across = distance from start of c to end of c"
        )
    };
    let chord = |degrees: f64| 200.0 * (degrees / 2.0).to_radians().sin().abs();
    for degrees in [1.0f64, 45.0, 90.0, 135.0, 180.0, 270.0, 359.0] {
        for sense in ["clockwise", "anticlockwise"] {
            comes_to(
                &arc(&format!("by {degrees}deg {sense}")),
                &[
                    ("long", degrees.to_radians() * 100.0),
                    ("off", 100.0),
                    ("across", chord(degrees)),
                ],
            );
        }
    }
    comes_to(&arc("by 360deg clockwise"), &[("long", 200.0 * PI)]);
    comes_to(
        &arc("to (origin right 100mm) clockwise"),
        &[("long", 50.0 * PI)],
    );
    comes_to(
        &arc("to (origin right 100mm) anticlockwise"),
        &[("long", 150.0 * PI)],
    );
    comes_to(
        &arc("to (origin up 100mm) anticlockwise"),
        &[("long", 200.0 * PI)],
    );
    comes_to(
        &arc("for 30cm clockwise"),
        &[
            ("long", 300.0),
            ("across", chord(300.0f64 / 100.0 * 180.0 / PI)),
        ],
    );
    // Clockwise from the top is to the right.
    comes_to(
        &format!(
            "{}\nlength right_of_it = distance from (origin right 100mm) to end of c",
            arc("by 90deg clockwise")
        ),
        &[("right_of_it", 0.0)],
    );
    is_refused(
        arc("to (origin right 103mm) clockwise")
            .lines()
            .next()
            .unwrap(),
        Code::CannotBeDrawn,
        "it is 3 mm outside it, whose radius is 100 mm",
    );
    is_refused(
        arc("to (origin right 99.96mm) clockwise")
            .lines()
            .next()
            .unwrap(),
        Code::CannotBeDrawn,
        "it is 0.04 mm inside it",
    );
    is_refused(
        arc("for 2m clockwise").lines().next().unwrap(),
        Code::CannotBeDrawn,
        "more than once",
    );
    is_refused(
        arc("by 90deg").lines().next().unwrap(),
        Code::TurnWithoutSense,
        "",
    );
}

#[test]
fn half_a_circle_skirt_has_its_waist() {
    // Waist 73 cm, half a circle: radius 73 over pi.
    comes_to(
        "length radius = 73cm / pi\ncurve waist = arc about origin from (origin down radius) by 180deg anticlockwise\nlength round_it = length of waist\nnumber twice = 2 * pi",
        &[
            ("radius", 730.0 / PI),
            ("round_it", 730.0),
            ("twice", 2.0 * PI),
        ],
    );
}

/// A strip whose upper end is a lap that may be nothing.
const LAP: &str = r#"
draft "Lap"
unit mm
choose lap = 0mm between 0mm and 30mm
panel a {
  line hem = from origin toward right for 200mm
  line side = from end of hem toward up for 100mm
  line overlap = from end of side toward up for lap
  line upper = from end of overlap toward left for 200mm
  line slant = from end of upper to (origin up 100mm)
  line centre = from end of slant to origin
  curve whole = join side, overlap
  length long = length of whole
  length of_lap = length of overlap
  area cloth_area = area of [hem, side, overlap, upper, slant, centre]
}
panel b {
  line edge = from origin toward right for 60mm
  line up_edge = from end of edge toward up for 100mm
  line lap_edge = from end of up_edge toward up for lap
  line back_edge = from end of lap_edge to origin
}
piece a "A" { outline a.hem, a.side, a.overlap, a.upper, a.slant, a.centre
  cut 2
  grain along side
  allow 10mm
  allow 20mm on overlap
  finish hem, upper, slant, centre "bound"
}
piece b "B" { outline b.edge, b.up_edge, b.lap_edge, b.back_edge
  cut 2
  grain along up_edge
  allow 10mm
  allow 20mm on lap_edge
  finish edge, back_edge "bound"
}
seam side joins a.side to b.up_edge
seam lap joins a.overlap to b.lap_edge { allow 20mm }
check "area" that a.cloth_area >= 0cm * 1cm
check "lap" that a.of_lap = lap
check "long" that a.long is 100mm longer than lap
"#;

#[test]
fn a_line_of_no_length_is_nothing() {
    for (lap, edges, seams) in [("0mm", [4, 3], 1), ("20mm", [6, 4], 2)] {
        let run = Run::of(LAP).set(&format!("lap={lap}"));
        let (_, outcome) = run.drawn();
        let told: Vec<_> = outcome
            .diagnostics
            .iter()
            .filter(|d| d.is_error())
            .collect();
        assert!(told.is_empty(), "{lap}: {}", run.shown());
        let pattern = &outcome.pattern;
        let found: Vec<usize> = pattern
            .pieces
            .iter()
            .map(|piece| piece.edges.len())
            .collect();
        assert_eq!(found, edges, "{lap}");
        assert_eq!(pattern.seams.len(), seams, "{lap}");
        assert!(pattern.pieces.iter().all(|piece| piece.cutting.is_some()));
    }
}

#[test]
fn a_line_of_no_length_leads_nowhere() {
    let none = |rest: &str| format!("line l = from origin to origin\n{rest}");
    comes_to(
        &none("length long = length of l\nlength off = distance from start of l to end of l"),
        &[("long", 0.0), ("off", 0.0)],
    );
    comes_to(
        &none(
            "line m = reverse of l\nline n = mirror m over (from origin toward up)\ncurve both = join l, n\nlength long = length of both",
        ),
        &[("long", 0.0)],
    );
    comes_to(
        "line l = from origin toward right for 50mm\nline m = part of l from (end of l) to (end of l)\nlength long = length of m",
        &[("long", 0.0)],
    );
    for act in [
        "line m = square to l at origin",
        "line m = extend l at origin by 3mm",
        "line m = parallel to l by 3mm toward up",
        "line m = from (origin up 5mm) toward along l for 3mm",
        "point p = where l meets (from (origin left 5mm) toward right)",
    ] {
        let (_, told) = drawn(&none(act));
        let codes: Vec<Code> = told
            .iter()
            .map(|(code, _)| *code)
            .filter(|code| *code != Code::NameUnused)
            .collect();
        assert_eq!(codes, [Code::NoLength], "{act}: {told:?}");
    }
}
