//! Hands on the drawing: what moves a thing is known by closed forms, and for every point of the examples a drag is held to the
//! laws of two-way editing.

use crate::chance::Chance;
use kurbo::{Point, Vec2};
use oaktag_language::library;
use oaktag_language::pattern::spec::Value;
use oaktag_language::syntax::project::NoFiles;
use oaktag_studio::hands::{Fineness, Movers, Thing};
use oaktag_studio::session::{Change, Session};

const BAG: &str = "draft \"Überwurf ✂\"\nunit cm\nbody wrist = 16cm between 10cm and 30cm\nchoose deep = 30cm between 20cm and 40cm \"how deep\"\n\
    panel bag {\n  point top = origin\n  point low = top down deep\n  point side = low right 12cm\n  point turned = 4cm from side toward 30deg above right\n  \
    point half = 1/2 of the way from low to side\n  point cuff = top right wrist\n  line hem = from low to side\n  point dot = 3.5cm along hem from low\n}\n";

fn session(text: &str) -> Session {
    Session::open("bag.draft", text, Box::new(NoFiles), library::MODULES)
}

fn point(name: &str) -> Thing {
    Thing::Point(name.to_owned())
}

fn movers(session: &Session, thing: &Thing) -> Movers {
    session.hands().movers(thing, 20).unwrap()
}

/// The figures with how far each moves a thing.
fn said(movers: &Movers) -> Vec<(&str, f64, f64)> {
    let round = |far: f64| (far * 1000.0).round() / 1000.0 + 0.0;
    let all = movers.movers.iter();
    all.map(|one| (one.written.as_str(), round(one.right), round(one.up)))
        .collect()
}

#[test]
fn figures_move_points_as_closed_forms_say() {
    let session = session(BAG);
    let of = |name: &str| movers(&session, &point(name));
    assert_eq!(said(&of("bag.low")), [("30cm", 0.0, -10.0)]);
    // Its own figure first.
    assert_eq!(
        said(&of("bag.side")),
        [("12cm", 10.0, 0.0), ("30cm", 0.0, -10.0)]
    );
    // Half of the way: the fraction stays, and the side carries it half as far.
    assert_eq!(
        said(&of("bag.half")),
        [("12cm", 5.0, 0.0), ("30cm", 0.0, -10.0)]
    );
    let turned = of("bag.turned");
    let by: Vec<&str> = turned
        .movers
        .iter()
        .map(|one| one.written.as_str())
        .collect();
    assert_eq!(by, ["4cm", "30deg", "12cm", "30cm"]);
    let long = &turned.movers[0];
    let way = Vec2::new(long.right, long.up);
    assert!(
        (way - Vec2::from_angle(30_f64.to_radians()) * 10.0).hypot() < 1e-6,
        "{way:?}"
    );
    // A degree turns four centimetres by a sixtieth of a circle's radius.
    let turn = &turned.movers[1];
    assert!((Vec2::new(turn.right, turn.up).hypot() - 40.0 * 1_f64.to_radians()).abs() < 1e-3);
    assert_eq!(
        said(&of("bag.dot")),
        [("3.5cm", 10.0, 0.0), ("30cm", 0.0, -10.0)]
    );
    let held = of("bag.cuff");
    assert!(held.movers.is_empty());
    assert_eq!(held.held, ["held by wrist, a measure of the body"]);
    assert_eq!(of("bag.top").movers.len(), 0);
    assert!(session.hands().movers(&point("bag.none"), 9).is_none());
    // The middle of the hem hangs on its ends.
    let on = movers(&session, &Thing::On("bag.hem".to_owned(), 0.5));
    assert_eq!(said(&on), [("12cm", 5.0, 0.0), ("30cm", 0.0, -10.0)]);
    assert_eq!(on.movers[1].range, Some((20.0, 40.0)));
    assert_eq!(
        on.movers[1].of,
        "choose deep = 30cm between 20cm and 40cm \"how deep\""
    );
}

#[test]
fn a_drag_goes_to_the_nearest_step_and_stops_at_the_range() {
    let session = session(BAG);
    let mut hands = session.hands();
    let thing = point("bag.low");
    let mover = hands.movers(&thing, 9).unwrap().movers.remove(0);
    for (to, written, y, stopped) in [
        (Point::new(0.0, -333.4), "33.3cm", -333.0, None),
        // What lies beside the way counts for nothing.
        (Point::new(70.0, -251.0), "25.1cm", -251.0, None),
        (
            Point::new(0.0, -900.0),
            "40cm",
            -400.0,
            Some("40cm is the most here"),
        ),
        (
            Point::new(0.0, 50.0),
            "20cm",
            -200.0,
            Some("20cm is the least here"),
        ),
        (Point::new(5.0, -300.2), "30cm", -300.0, None),
    ] {
        let dragged = hands.drag(&thing, &mover, to, Fineness::AsWritten).unwrap();
        assert_eq!(
            (dragged.written.as_str(), dragged.stopped.as_deref()),
            (written, stopped),
            "{to}"
        );
        assert!((dragged.y - y).abs() < 1e-6, "{to}: {}", dragged.y);
        assert_eq!(dragged.edit.is_none(), written == "30cm", "{to}");
    }
    let fine = hands
        .drag(&thing, &mover, Point::new(0.0, -333.4), Fineness::Fine)
        .unwrap();
    assert_eq!(fine.written, "33.34cm");
    // An angle: to the right of straight up there is nothing nearer than sixty degrees.
    let thing = point("bag.turned");
    let turn = hands.movers(&thing, 9).unwrap().movers.remove(1);
    let side = Point::new(120.0, -300.0);
    let to = side + Vec2::from_angle(50_f64.to_radians()) * 40.0;
    let dragged = hands.drag(&thing, &turn, to, Fineness::AsWritten).unwrap();
    assert_eq!(dragged.written, "50deg");
}

#[test]
fn a_divisor_goes_no_farther_than_one_drag_should() {
    let text = "unit cm\nchoose girth = 90cm between 60cm and 120cm\npanel back {\n  point underarm = origin down girth / 4\n}\n";
    let session = session(text);
    let mut hands = session.hands();
    let thing = point("back.underarm");
    let all = hands.movers(&thing, 9).unwrap().movers;
    let fourth = all.iter().find(|one| one.written == "4").unwrap();
    // Twice as deep by half the divisor.
    let dragged = hands
        .drag(&thing, fourth, Point::new(0.0, -450.0), Fineness::AsWritten)
        .unwrap();
    assert_eq!(dragged.written, "2");
    // Above the origin there is nothing: it goes toward it, and stops.
    let dragged = hands
        .drag(&thing, fourth, Point::new(0.0, 900.0), Fineness::AsWritten)
        .unwrap();
    assert_eq!(
        dragged.stopped.as_deref(),
        Some("140 is as far as one drag goes"),
        "{dragged:?}"
    );
}

#[test]
fn an_option_of_the_library_is_offered_that_is_not_written_yet() {
    let text = "use body\nuse shirt\nunit cm\npanel block = womens_block\npanel shirt = shirt_body on block with ease 10cm\n";
    let session = session(text);
    let mut hands = session.hands();
    let thing = point("shirt.front.underarm");
    let movers = hands.movers(&thing, 40).unwrap();
    let deeper = movers
        .movers
        .iter()
        .find(|one| one.written.contains("armhole_deeper"))
        .unwrap();
    assert!(deeper.is_option);
    assert_eq!(deeper.written, "armhole_deeper 18mm");
    assert!(deeper.up < -0.9, "{deeper:?}");
    let here = thing.place(session.outcome()).unwrap();
    let to = here + Vec2::new(0.0, -7.0);
    let dragged = hands.drag(&thing, deeper, to, Fineness::AsWritten).unwrap();
    let edit = dragged.edit.unwrap();
    assert_eq!(edit.text, ", armhole_deeper 25mm");
    assert!(
        movers
            .held
            .iter()
            .any(|why| why.contains("a measure of the body")),
        "{:?}",
        movers.held
    );
}

/// Drafts that stand alone.
fn examples() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir("examples").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "draft") {
            let text = std::fs::read_to_string(&path).unwrap();
            if !text.contains("import \"") {
                found.push((path.display().to_string(), text));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn what_is_dragged_is_where_it_was_promised_by_one_figure() {
    let seeds: u64 = std::env::var("OAKTAG_DRAGS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(3);
    let (mut dragged_at_all, mut held) = (0, 0);
    for (file, text) in examples() {
        let session = session(&text);
        let points: Vec<String> = session
            .outcome()
            .pattern
            .values
            .iter()
            .filter(|value| matches!(value.value, Value::Point(_)))
            .map(|value| value.name.clone())
            .collect();
        if points.is_empty() {
            continue;
        }
        let mut hands = session.hands();
        for seed in 0..seeds {
            let mut chance = Chance::new(seed * 7919 + file.len() as u64);
            let thing = point(&points[chance.below(points.len())]);
            let here = thing.place(session.outcome()).unwrap();
            let all = hands.movers(&thing, 3).unwrap();
            let Some(mover) = all.movers.first() else {
                held += 1;
                // Nothing moves it, and a reason is given, or it is a place that nothing sets.
                let is_origin = here.to_vec2().hypot() < 1e-9;
                assert!(
                    !all.held.is_empty() || is_origin || all.movers.is_empty(),
                    "{file}: {thing:?}"
                );
                continue;
            };
            dragged_at_all += 1;
            // Putting back what was got changes nothing.
            let still = hands
                .drag(&thing, mover, here, Fineness::AsWritten)
                .unwrap();
            assert!(still.edit.is_none(), "{file}: {thing:?} {still:?}");
            let to = here + Vec2::new(mover.right, mover.up) * mover.step * 2.0;
            let Some(dragged) = hands.drag(&thing, mover, to, Fineness::AsWritten) else {
                continue;
            };
            let Some(edit) = &dragged.edit else {
                continue;
            };
            // Getting after putting gives what was put, in the text itself.
            let units: Vec<u16> = text.encode_utf16().collect();
            let mut put = units[..edit.at.from].to_vec();
            put.extend(edit.text.encode_utf16());
            put.extend(&units[edit.at.to..]);
            let put = String::from_utf16(&put).unwrap();
            let after = self::session(&put);
            let found = thing.place(after.outcome()).unwrap();
            let promised = Point::new(dragged.x, dragged.y);
            assert!(
                (found - promised).hypot() < 1e-6,
                "{file}: {thing:?} {edit:?}"
            );
            // No step of the figure is nearer.
            let off = (promised - to).hypot();
            assert!(
                off <= (here - to).hypot() + 1e-9,
                "{file}: {thing:?} {edit:?}"
            );
            // One figure differs, and the text stays in its layout.
            let was = oaktag_language::syntax::tidy(&text).text == text;
            let is = oaktag_language::syntax::tidy(&put).text == put;
            assert!(
                !was || is || edit.text.len() > edit.at.to - edit.at.from,
                "{file}: {edit:?}"
            );
        }
    }
    println!("{dragged_at_all} dragged, {held} held");
    assert!(
        dragged_at_all > held,
        "{dragged_at_all} dragged, {held} held"
    );
}

#[test]
fn a_value_beside_the_text_holds() {
    let mut session = session(BAG);
    session.change(Change::Value("deep=25cm".into())).unwrap();
    let low = movers(&session, &point("bag.low"));
    assert!(low.movers.is_empty());
    assert_eq!(low.held, ["held by deep, which is given beside the text"]);
}
