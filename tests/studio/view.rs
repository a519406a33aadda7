//! What a page shows of a draft: places are the draft's own, in UTF-16, and what is offered mends.

use oaktag_language::library;
use oaktag_language::syntax::project::NoFiles;
use oaktag_studio::session::drawn_by::DrawnBy;
use oaktag_studio::session::places::Place;
use oaktag_studio::session::view::{May, View};
use oaktag_studio::session::{BodyOf, Change, Session};

const HEM: &str = "draft \"Überwurf ✂ 𝒳\"\nunit cm\nchoose deep = 30cm between 20cm and 40cm \"how deep\"\nchoose lined = yes \"with a lining\"\npanel cape {\n  step \"Frame\" {\n    point top = origin\n    point low = top down deep\n    if lined { line centre = from top to low } otherwise { line centre = from low to top }\n  }\n}\n";

fn session(text: &str) -> Session {
    Session::open("cape.draft", text, Box::new(NoFiles), library::MODULES)
}

/// The letters at a place, counted as pages count.
fn at(text: &str, from: usize, to: usize) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    String::from_utf16(&units[from..to]).unwrap()
}

/// The sentences that drew or redrew a name.
fn drawn_at(drawn: &DrawnBy, name: &str) -> Vec<Place> {
    let numbers = drawn.names.get(name).map_or(&[][..], Vec::as_slice);
    numbers.iter().map(|at| drawn.sentences[*at]).collect()
}

#[test]
fn places_are_counted_as_pages_count() {
    let View {
        drawn,
        steps,
        choices,
        title,
        ..
    } = session(HEM).view();
    assert_eq!(title, "Überwurf ✂ 𝒳");
    let [low] = drawn_at(&drawn, "cape.low")[..] else {
        panic!("{drawn:?}");
    };
    assert_eq!(at(HEM, low.from, low.to), "point low = top down deep");
    assert_eq!(steps.len(), 1);
    assert!(at(HEM, steps[0].at.from, steps[0].at.to).starts_with("step \"Frame\" {"));
    let deep = &choices[0];
    let declared = deep.at.unwrap();
    assert!(at(HEM, declared.from, declared.to).starts_with("choose deep"));
    let May::Figure {
        least,
        most,
        now,
        unit,
        ..
    } = deep.may
    else {
        panic!("{deep:?}");
    };
    assert_eq!((least, most, now, unit), (20.0, 40.0, 30.0, "cm"));
    let May::Words(words) = &choices[1].may else {
        panic!("{choices:?}");
    };
    assert_eq!(words, &["no", "yes"]);
}

#[test]
fn what_an_act_draws_is_of_the_sentence_that_calls_it() {
    let text = "use body\nuse block\nunit cm\npanel block = womens_block\n";
    let view = session(text).view();
    let places = drawn_at(&view.drawn, "block.back.neck");
    let [place] = places[..] else {
        panic!("{places:?}");
    };
    assert_eq!(at(text, place.from, place.to), "panel block = womens_block");
}

#[test]
fn what_is_offered_mends_where_it_is_put() {
    let wrong = HEM.replace("top down deep", "tpo down deep");
    let mut session = session(&wrong);
    let view = session.view();
    assert!(!view.well && view.unfinished.is_some(), "{view:?}");
    let offer = &view.messages[0].offers[0];
    let units: Vec<u16> = wrong.encode_utf16().collect();
    let mended = String::from_utf16(&units[..offer.at.from]).unwrap()
        + &offer.text
        + &String::from_utf16(&units[offer.at.to..]).unwrap();
    assert_eq!(mended, HEM);
    session.change(Change::Text(mended)).unwrap();
    let view = session.view();
    assert!(view.well && view.messages.is_empty(), "{view:?}");
    assert!(view.has_picture);
    assert!(session.picture().unwrap().contains("<svg"));
}

#[test]
fn a_module_that_is_misspelt_is_told_once() {
    let text = "use bdoy\nuse block\nunit cm\npanel block = womens_block\n";
    let view = session(text).view();
    let offers: Vec<&str> = view
        .messages
        .iter()
        .flat_map(|one| &one.offers)
        .map(|offer| offer.text.as_str())
        .collect();
    assert_eq!(view.messages.len(), 1, "{view:?}");
    assert_eq!(offers, ["body"]);
}

#[test]
fn a_line_is_of_every_sentence_that_drew_or_redrew_it_on_whatever_sheet() {
    let text = "unit cm\npanel front {\n  line top = from origin toward right for 20cm\n  line side = from end of top toward down for 30cm\n  redraw side = from end of top toward down for 32cm\n}\n\
        panel facing traced from front {\n  point middle = origin right 10cm\n}\npanel facing traced from facing {\n  redraw top = from origin toward right for 19cm\n}\n";
    let view = session(text).view();
    assert!(view.well, "{view:?}");
    let said = |name: &str| -> Vec<String> {
        let places = drawn_at(&view.drawn, name).into_iter();
        places.map(|place| at(text, place.from, place.to)).collect()
    };
    let first = "line side = from end of top toward down for 30cm";
    let redrawn = "redraw side = from end of top toward down for 32cm";
    assert_eq!(said("front.side"), [first, redrawn]);
    assert_eq!(said("facing.side"), [first, redrawn]);
    assert_eq!(said("facing.middle"), ["point middle = origin right 10cm"]);
    let top = "line top = from origin toward right for 20cm";
    assert_eq!(said("front.top"), [top]);
    assert_eq!(
        said("facing.top"),
        [top, "redraw top = from origin toward right for 19cm"]
    );
    assert_eq!(view.drawn.sentences.len(), 5);
}

fn example(name: &str) -> (String, Session) {
    let path = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let session = Session::open(name, &text, Box::new(NoFiles), library::MODULES);
    (text, session)
}

#[test]
fn pieces_seams_and_darts_lead_to_their_sentences() {
    let (text, session) = example("straight-skirt.draft");
    let view = session.view();
    let said = |place: Place| at(&text, place.from, place.to);
    assert!(
        view.pieces
            .iter()
            .all(|piece| piece.at.is_some() && piece.side.is_none())
    );
    let back = view
        .pieces
        .iter()
        .find(|piece| piece.name == "back")
        .unwrap();
    assert!(said(back.at.unwrap()).starts_with("piece back"));
    let darts: Vec<String> = back.darts.iter().map(|place| said(*place)).collect();
    assert!(
        darts.len() == 2 && darts.iter().all(|dart| dart.starts_with("dart ")),
        "{darts:?}"
    );
    for seam in &view.seams {
        assert!(
            said(seam.at.unwrap()).starts_with(&format!("seam {}", seam.name)),
            "{seam:?}"
        );
    }
    // What the library offers is of the sentence that takes it.
    let (text, session) = example("womens-crew-shirt.draft");
    let view = session.view();
    let said = |place: Place| at(&text, place.from, place.to);
    let cuff = view
        .pieces
        .iter()
        .find(|piece| piece.name == "cuff")
        .unwrap();
    assert_eq!(said(cuff.at.unwrap()), "pieces of cuff");
}

#[test]
fn of_a_body_that_differs_left_from_right_both_figures_are_told_and_which_piece_is_of_which_side() {
    let (_, mut session) = example("womens-crew-shirt.draft");
    assert!(session.view().sides.is_empty());
    session
        .change(Change::Value("shoulder_slope.left=26deg".into()))
        .unwrap();
    let view = session.view();
    assert!(view.well && view.has_picture, "{:?}", view.messages);
    assert!(
        view.sides[0].contains("shoulder slope 26° left, 22° right"),
        "{:?}",
        view.sides
    );
    let slopes: Vec<_> = view
        .choices
        .iter()
        .filter(|one| one.name.starts_with("shoulder_slope"))
        .collect();
    let [slope] = slopes[..] else {
        panic!("{slopes:?}");
    };
    let sides = slope.sides.as_ref().unwrap();
    assert_eq!((sides.left.now, sides.right.now), (26.0, 22.0));
    assert_eq!(
        (&*sides.left.typed, &*slope.value),
        ("26deg", "26° left, 22° right")
    );
    assert!(matches!(slope.may, May::Figure { .. }), "{slope:?}");
    let side = |name: &str| {
        view.pieces
            .iter()
            .find(|piece| piece.name == name)
            .map(|piece| piece.side)
    };
    assert_eq!(side("front.left"), Some(Some("left")));
    assert_eq!(side("front.right"), Some(Some("right")));
    assert_eq!((side("front"), side("pocket")), (None, Some(None)));
    let armholes: Vec<_> = view
        .seams
        .iter()
        .filter(|seam| seam.name.starts_with("armhole"))
        .collect();
    let said: Vec<_> = armholes
        .iter()
        .map(|seam| (&*seam.said, seam.side, seam.at.is_some()))
        .collect();
    assert_eq!(
        said,
        [
            ("armhole, left", Some("left"), true),
            ("armhole, right", Some("right"), true)
        ]
    );
    // Lines of either side are the panel's, which sentences have drawn.
    let front = view
        .pieces
        .iter()
        .find(|piece| piece.name == "front.left")
        .unwrap();
    assert!(
        !drawn_at(&view.drawn, &format!("{}.armhole", front.panel)).is_empty(),
        "{front:?}"
    );
    // A body of a table says it the same way.
    let path = format!("{}/examples/sizes.csv", env!("CARGO_MANIFEST_DIR"));
    let sizes = std::fs::read_to_string(path).unwrap();
    let row = |name: &str, figure: &str| format!("{name}{}\n", format!(",{figure}").repeat(7));
    let table =
        sizes + &row("Shoulder slope left [deg]", "26") + &row("Shoulder slope right [deg]", "22");
    session.change(Change::Values(Vec::new())).unwrap();
    session
        .change(Change::Body(BodyOf {
            table: "sizes.csv".into(),
            bytes: table.into_bytes(),
            name: "44".into(),
        }))
        .unwrap();
    let of_table = session.view();
    let told = of_table.sides.first();
    assert_eq!(told, view.sides.first(), "{:?}", of_table.messages);
}

#[test]
fn where_one_wrong_word_would_leave_nothing_what_stood_before_it_is_drawn_and_marked() {
    let (text, _) = example("womens-crew-shirt.draft");
    let wrong = text.replace("folded_stand on", "foldde_stand on");
    let picture = session(&wrong).picture().unwrap();
    assert!(picture.contains("UNFINISHED"), "{picture}");
    // Line by line what is drawn of the text that ends there.
    let before = wrong.split_once("panel shirt = foldde").unwrap().0;
    let before = session(before).picture().unwrap();
    let lines = |picture: &str| -> Vec<String> {
        let lines = picture
            .lines()
            .filter(|line| line.starts_with("<path") && line.contains("data-name"))
            // A name finds its place anew on a sheet that bears more words.
            .filter(|line| !line.contains("class=\"leader\""));
        lines
            .map(|line| {
                line.split(" d=")
                    .last()
                    .unwrap()
                    .split('"')
                    .nth(1)
                    .unwrap()
                    .to_owned()
            })
            .collect()
    };
    let (drawn, wanted) = (lines(&picture), lines(&before));
    assert!(drawn.len() > 40, "{picture}");
    // Only where they lie on the sheet may differ.
    assert_eq!(drawn.len(), wanted.len());
}
