//! Adding by hand: the sentence is the one that a cutter would say, stands in its step after what it names, and comes out where
//! the hand has set it; by chance places on the drafts of the examples.

use crate::chance::Chance;
use crate::hands_laws::examples;
use kurbo::{Point, Vec2};
use oaktag_language::library;
use oaktag_language::pattern::spec::Value;
use oaktag_language::syntax::project::NoFiles;
use oaktag_studio::hands::{Added, Adding};
use oaktag_studio::session::Session;

const POCKET: &str = "edition 1\ndraft \"A pocket\"\nunit cm\n\npanel pocket {\n  step \"Frame\" {\n    point corner = origin\n    point mouth = corner right 16cm\n    \
    point low = corner down 17cm # as deep as the hand\n    line top = from corner to mouth\n  }\n  step \"Foot\" {\n    point far = mouth down 17cm\n    line side = from mouth to far\n    \
    line foot = from far to low\n    line back = from low to corner\n  }\n}\n\npiece pocket \"Pocket\" {\n  outline top, side, foot, back\n  cut 1\n  grain along back\n  allow 1cm\n  \
    finish top, side, foot, back \"turned\"\n}\n";

fn session(text: &str) -> Session {
    Session::open("a.draft", text, Box::new(NoFiles), library::MODULES)
}

fn point(session: &Session, x: f64, y: f64) -> Result<Added, String> {
    let adding = Adding::Point {
        panel: "pocket".into(),
        at: Point::new(x, y),
        near: 3.0,
    };
    session.hands().add(&adding, None)
}

fn put(text: &str, added: &Added) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    let mut after = units[..added.edit.at.from].to_vec();
    after.extend(added.edit.text.encode_utf16());
    after.extend(&units[added.edit.at.to..]);
    String::from_utf16(&after).unwrap()
}

#[test]
fn a_point_is_said_as_a_cutter_says_it() {
    let session = session(POCKET);
    for (x, y, sentence, after) in [
        // On a line, along it from the nearer end.
        (
            50.3,
            1.0,
            "point top_point = 5cm along top from corner",
            "line top = from corner to mouth",
        ),
        (
            130.0,
            -0.4,
            "point top_point = 3cm along top from mouth",
            "line top = from corner to mouth",
        ),
        (
            161.0,
            -20.2,
            "point side_point = 2cm along side from mouth",
            "line side = from mouth to far",
        ),
        // Level or plumb with a point.
        (
            60.0,
            -169.0,
            "point foot_point = 6cm along foot from low",
            "line foot = from far to low",
        ),
        (
            -40.0,
            -1.0,
            "point point_1 = corner left 4cm",
            "point corner = origin",
        ),
        (
            1.0,
            55.2,
            "point point_1 = corner up 5.5cm",
            "point corner = origin",
        ),
        // Plumb with one and level with another, both off the lines.
        (
            40.2,
            -50.4,
            "point point_1 = corner right 4cm down 5cm",
            "point corner = origin",
        ),
        // Free: from the nearest.
        (
            130.6,
            -150.0,
            "point point_1 = far left 2.9cm up 2cm",
            "point far = mouth down 17cm",
        ),
    ] {
        let added = point(&session, x, y).unwrap();
        assert_eq!(added.sentence, sentence, "{x} {y}");
        let text = put(POCKET, &added);
        let place = text.find(sentence).unwrap();
        let line = text[..place].trim_end().rsplit('\n').next().unwrap().trim();
        assert!(line.starts_with(after), "{sentence} stands after {line}");
        // It stands in the layout of its step.
        assert_eq!(oaktag_language::syntax::tidy(&text).text, text);
        assert!(self::session(&text).outcome().is_whole());
    }
    assert_eq!(
        point(&session, 0.2, -0.2).unwrap_err(),
        "corner is there already"
    );
}

#[test]
fn between_two_points_go_lines_and_curves() {
    let session = session(POCKET);
    let line = |ends: [&str; 2], is_curve| {
        let adding = Adding::Line {
            panel: "pocket".into(),
            ends: ends.map(|end| format!("pocket.{end}")),
            is_curve,
        };
        session.hands().add(&adding, None)
    };
    let across = line(["corner", "far"], false).unwrap();
    assert_eq!(across.sentence, "line corner_far = from corner to far");
    let bent = line(["corner", "far"], true).unwrap();
    assert_eq!(
        bent.sentence,
        "curve corner_far = from corner to far leaving down arriving right"
    );
    let shallow = line(["low", "far"], true).unwrap();
    assert_eq!(
        shallow.sentence,
        "curve low_far = from low to far leaving 20deg below right arriving 20deg above right"
    );
    let beside = line(["corner", "low"], true).unwrap();
    assert_eq!(
        beside.sentence,
        "curve corner_low = from corner to low leaving 70deg below right arriving 70deg below left"
    );
    for added in [across, bent, shallow, beside] {
        let text = put(POCKET, &added);
        assert!(
            self::session(&text).outcome().is_whole(),
            "{}",
            added.sentence
        );
        assert!(added.line.is_some());
    }
    assert!(line(["corner", "corner"], false).is_err());
    assert!(line(["corner", "nowhere"], false).is_err());
}

#[test]
fn a_notch_is_measured_from_the_nearer_corner() {
    let session = session(POCKET);
    let notch = |x, y| {
        let at = Point::new(x, y);
        session.hands().add(
            &Adding::Notch {
                piece: "pocket".into(),
                at,
            },
            None,
        )
    };
    let added = notch(165.0, -50.2).unwrap();
    assert_eq!(
        added.sentence,
        "notch single at (5cm along side from mouth)"
    );
    let text = put(POCKET, &added);
    let after = self::session(&text);
    assert!(
        after.outcome().is_whole(),
        "{:?}",
        after.outcome().diagnostics
    );
    let notches = &after.outcome().pattern.piece("pocket").unwrap().notches;
    assert_eq!(notches.len(), 1);
    assert!((notches[0].marks[0].sewing - Point::new(160.0, -50.0)).hypot() < 1e-6);
    assert_eq!(oaktag_language::syntax::tidy(&text).text, text);
}

#[test]
fn a_name_that_is_given_is_taken_or_refused() {
    let session = session(POCKET);
    let at = Point::new(60.0, -60.0);
    let adding = Adding::Point {
        panel: "pocket".into(),
        at,
        near: 1.0,
    };
    let named = |name| {
        session
            .hands()
            .add(&adding, Some(name))
            .map(|added| added.sentence)
    };
    assert_eq!(
        named("button").unwrap(),
        "point button = corner right 6cm down 6cm"
    );
    assert!(named("far").is_err());
    assert!(named("start").is_err());
    assert!(named("a b").is_err());
}

#[test]
fn a_point_set_anywhere_comes_out_where_it_was_set() {
    let seeds: usize = std::env::var("OAKTAG_DRAGS")
        .ok()
        .map_or(1, |all| all.parse().unwrap_or(12));
    let (mut set, mut refused) = (0, Vec::new());
    for example in examples() {
        let session = example.session();
        let pattern = &session.outcome().pattern;
        let points = pattern.values.iter().filter_map(|one| match &one.value {
            Value::Point(at) => Some((one.name.clone(), *at)),
            _ => None,
        });
        let points: Vec<(String, Point)> = points.collect();
        if points.is_empty() || !session.outcome().is_whole() {
            continue;
        }
        let mut hands = session.hands();
        for seed in 0..seeds {
            let mut chance = Chance::new(31 * seed as u64 + example.file.len() as u64);
            let (name, near) = &points[chance.below(points.len())];
            let panel = name.rsplit_once('.').map_or("", |(panel, _)| panel);
            let mut off = || chance.below(1601) as f64 / 10.0 - 80.0;
            let far = Vec2::new(off(), off());
            let at = *near + far;
            let adding = Adding::Point {
                panel: panel.to_owned(),
                at,
                near: 2.0,
            };
            let added = match hands.add(&adding, None) {
                Ok(added) => added,
                // What is drawn in another file cannot be added to in this one.
                Err(why) if why.contains("another file") => continue,
                Err(why) => {
                    refused.push(format!("{}: {panel} at {at}: {why}", example.file));
                    continue;
                }
            };
            set += 1;
            // Within what was near, and what is rounded.
            let off = (added.at - at).hypot();
            assert!(
                off < 2.0 + 1.5,
                "{}: {} is {off} off",
                example.file,
                added.sentence
            );
            let after = example.with(&put(&example.text, &added));
            assert!(
                after.outcome().is_whole(),
                "{}: {}",
                example.file,
                added.sentence
            );
        }
    }
    println!("{set} points set, {} refused: {refused:#?}", refused.len());
    assert!(set > 4 * refused.len(), "{refused:?}");
}
