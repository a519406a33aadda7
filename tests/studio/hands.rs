//! Hands on the drawing: what moves a thing is known by closed forms. `hands_laws.rs` holds the drags of the examples to the laws
//! of two-way editing.

use kurbo::{Point, Vec2};
use oaktag_language::library;
use oaktag_language::syntax::project::{NoFiles, ReadFault, Reader};
use oaktag_studio::hands::{End, Fineness, Movers, Thing};
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
    // Half of the way: the fraction is a figure of its own, and the side carries the point half as far.
    assert_eq!(
        said(&of("bag.half")),
        [
            ("1/2", 120.0, 0.0),
            ("12cm", 5.0, 0.0),
            ("30cm", 0.0, -10.0)
        ]
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
    let top = of("bag.top");
    assert!(top.movers.is_empty());
    assert_eq!(
        top.held,
        ["held by `point top = origin`, where no figure moves it"]
    );
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

#[test]
fn a_value_beside_the_text_holds() {
    let mut session = session(BAG);
    session.change(Change::Value("deep=25cm".into())).unwrap();
    let low = movers(&session, &point("bag.low"));
    assert!(low.movers.is_empty());
    assert_eq!(low.held, ["held by deep, which is given beside the text"]);
}

/// The first figure that moves a thing, dragged so far; what is then written.
fn pulled(session: &Session, thing: &Thing, mover: usize, by: Vec2) -> String {
    let mut hands = session.hands();
    let mover = hands.movers(thing, mover + 1).unwrap().movers.remove(mover);
    let here = thing.place(session.outcome()).unwrap();
    let dragged = hands.drag(thing, &mover, here + by, Fineness::AsWritten);
    dragged.unwrap().written
}

const CLOTH: &str = "unit cm\npanel back {\n  point nape = origin\n  point side = nape right 20cm down 30cm\n  point low = nape down 30cm\n  \
    line centre = from nape to low\n  line hem = from low to side\n  line edge = parallel to centre by 20cm toward right\n  \
    curve neck = from nape to (nape right 20cm) leaving 30deg below right for 8cm arriving right\n  line inner = from (nape right 20cm) to side\n  \
    list spots = [(nape down 3cm), (nape down 6cm)]\n}\n\
    piece back \"Back\" {\n  outline centre, hem, inner, neck\n  cut 1\n  grain along centre\n  allow 1cm\n  finish centre, hem, inner, neck \"turned\"\n  \
    notch single at (8cm along hem from low)\n  mark spots \"button\"\n}\n";

#[test]
fn fractions_move_in_a_step_of_their_own() {
    let session = session(BAG);
    // A sixteenth of 12 cm is 7.5 mm.
    let half = point("bag.half");
    assert_eq!(pulled(&session, &half, 0, Vec2::new(8.0, 0.0)), "9/16");
    assert_eq!(pulled(&session, &half, 0, Vec2::new(61.0, 0.0)), "1");
    assert_eq!(pulled(&session, &half, 0, Vec2::new(-61.0, 0.0)), "0");
}

#[test]
fn handles_parallels_notches_and_rows_of_buttons_are_moved_by_their_figures() {
    let session = session(CLOTH);
    assert!(
        session.outcome().is_whole(),
        "{:?}",
        session.outcome().diagnostics
    );
    let start = Thing::Handle("back.neck".into(), End::Start);
    let own = movers(&session, &start);
    let by: Vec<&str> = own.movers.iter().map(|one| one.written.as_str()).collect();
    // Its length, 8 cm at 30 degrees below the level, and the angle.
    assert_eq!(by[..2], ["30deg", "8cm"], "{by:?}");
    let place = start.place(session.outcome()).unwrap();
    let way = Vec2::from_angle(-30_f64.to_radians());
    assert!((place - (way * 80.0).to_point()).hypot() < 1e-6, "{place}");
    assert_eq!(pulled(&session, &start, 1, way * 20.0), "10cm");
    // At the other end nothing is written yet: a third of the way.
    let end = Thing::Handle("back.neck".into(), End::End);
    let offered = movers(&session, &end);
    let written = offered.movers.iter().position(|one| one.is_option).unwrap();
    assert_eq!(offered.movers[written].written, "for 0.33 of the way");
    let pulled_out = pulled(&session, &end, written, Vec2::new(-20.0, 0.0));
    assert_eq!(pulled_out, "for 0.43 of the way");
    let parallel = Thing::On("back.edge".into(), 0.5);
    assert_eq!(
        pulled(&session, &parallel, 0, Vec2::new(7.0, 3.0)),
        "20.7cm"
    );
    let notches = &session.outcome().pattern.piece("back").unwrap().notches;
    assert_eq!(notches.len(), 1);
    let notch = Thing::Notch("back".into(), 0);
    assert_eq!(movers(&session, &notch).movers[0].written, "8cm");
    let at = notch.place(session.outcome()).unwrap();
    let along = if at.x > 1.0 {
        Vec2::new(6.0, 0.0)
    } else {
        Vec2::new(0.0, 6.0)
    };
    assert_eq!(pulled(&session, &notch, 0, along), "8.6cm");
    let button = Thing::Mark("back".into(), 1);
    assert_eq!(pulled(&session, &button, 0, Vec2::new(0.0, -5.0)), "6.5cm");
    // The same as a point, by its number in the list.
    assert_eq!(
        pulled(&session, &point("back.spots_2"), 0, Vec2::new(0.0, -5.0)),
        "6.5cm"
    );
}

#[test]
fn a_figure_at_which_the_thing_turns_back_moves_it() {
    // Level with the lower of two points: a hair either way is up.
    let text = "unit cm\npanel a {\n  point top = origin\n  length far = magnitude of (10cm - 10cm)\n  point low = top down by 5cm + far\n}\n";
    let session = session(text);
    let all = movers(&session, &point("a.low"));
    assert_eq!(all.movers.len(), 3, "{all:?}");
    assert_eq!(
        pulled(&session, &point("a.low"), 1, Vec2::new(0.0, -13.0)),
        "11.3cm"
    );
}

#[test]
fn a_choice_below_nothing_has_its_sign() {
    let text = "unit cm\nchoose longer = 0cm between -10cm and 30cm \"than it was\"\npanel a {\n  point low = origin down by 20cm + longer\n}\n";
    let plain = session(text);
    let low = point("a.low");
    let which = movers(&plain, &low).movers;
    let which = which.iter().position(|one| one.range.is_some()).unwrap();
    assert_eq!(pulled(&plain, &low, which, Vec2::new(0.0, 13.0)), "-1.3cm");
    assert_eq!(pulled(&plain, &low, which, Vec2::new(0.0, 900.0)), "-10cm");
    let less = session(&text.replace("= 0cm", "= -4cm"));
    let which = movers(&less, &low).movers;
    let which = which.iter().position(|one| one.range.is_some()).unwrap();
    assert_eq!(pulled(&less, &low, which, Vec2::new(0.0, -50.0)), "1cm");
    assert_eq!(pulled(&less, &low, which, Vec2::new(0.0, 5.0)), "-4.5cm");
}

/// One import, under any name.
struct One(&'static str);

impl Reader for One {
    fn read(&self, _: &str) -> Result<String, ReadFault> {
        Ok(self.0.to_owned())
    }
}

#[test]
fn a_figure_of_an_import_says_where_it_stands_and_a_choice_of_it_is_set_here() {
    const BLOCK: &str = "unit cm\nchoose deep = 30cm between 20cm and 40cm \"how deep\"\npanel back {\n  point nape = origin\n  \
        point low = nape down deep\n  point side = low right 12cm\n}\n";
    let text = "unit cm\nimport \"block.draft\" as house\npanel back traced from house.back {\n  point out = side right 2cm\n}\n";
    let session = Session::open("style.draft", text, Box::new(One(BLOCK)), library::MODULES);
    let out = point("back.out");
    let mut hands = session.hands();
    let all = hands.movers(&out, 9).unwrap().movers;
    let by: Vec<_> = all
        .iter()
        .map(|one| (one.written.as_str(), one.file.clone()))
        .collect();
    let block = Some(("block.draft".to_owned(), 6));
    assert_eq!(
        by,
        [("2cm", None), ("with deep 30cm", None), ("12cm", block)]
    );
    let here = out.place(session.outcome()).unwrap();
    let set = hands.drag(
        &out,
        &all[1],
        here + Vec2::new(0.0, -15.0),
        Fineness::AsWritten,
    );
    assert_eq!(set.unwrap().edit.unwrap().text, " with deep 31.5cm");
    let far = hands
        .drag(
            &out,
            &all[2],
            here + Vec2::new(9.0, 0.0),
            Fineness::AsWritten,
        )
        .unwrap();
    assert_eq!(
        (far.file.as_deref(), far.written.as_str()),
        (Some("block.draft"), "12.9cm")
    );
    let (from, to) = (all[2].at.from, all[2].at.to);
    assert_eq!(&BLOCK[from..to], "12cm");
}
