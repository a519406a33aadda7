//! What a page shows of a draft: places are the draft's own, in UTF-16, and what is offered mends.

use oaktag_language::library;
use oaktag_language::syntax::project::NoFiles;
use oaktag_studio::session::view::{May, View};
use oaktag_studio::session::{Change, Session};

const HEM: &str = "draft \"Überwurf ✂ 𝒳\"\nunit cm\nchoose deep = 30cm between 20cm and 40cm \"how deep\"\nchoose lined = yes \"with a lining\"\npanel cape {\n  step \"Frame\" {\n    point top = origin\n    point low = top down deep\n    if lined { line centre = from top to low } otherwise { line centre = from low to top }\n  }\n}\n";

fn session(text: &str) -> Session {
    Session::open("cape.draft", text, Box::new(NoFiles), library::MODULES)
}

/// The letters at a place, counted as pages count.
fn at(text: &str, from: usize, to: usize) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    String::from_utf16(&units[from..to]).unwrap()
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
    let low = drawn["cape.low"];
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
    let place = view.drawn["block.back.neck"];
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
    assert!(view.picture.is_some_and(|picture| picture.contains("<svg")));
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
