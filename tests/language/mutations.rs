//! Sound drafts are broken in the ways hands break them, and every break must be answered at its place: on the changed
//! line or next to it, and for a line taken out, where what it drew is used. No break may bring the program down.
//!
//! Breaks that leave a lawful draft (a line cut where a sentence may end) are counted and left aside.

use crate::drawing;
use crate::mutation;

use drawing::Run;
use mutation::{Break, Kind, Sheet};
use oaktag_language::report::{Code, Diagnostic};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

/// Breaks of one kind tried on one draft.
const TRIED: usize = 60;

/// Breaks of one kind tried on one draft, where each of their offers is tried too.
const OFFERS_TRIED: usize = 12;

/// What became of the breaks of one kind.
#[derive(Default)]
struct Tally {
    tried: usize,
    lawful: usize,
    near: usize,
    elsewhere: Vec<String>,
}

fn drafts() -> Vec<(String, String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let files = [
        "tests/data/drafts/block.draft",
        "tests/data/drafts/button-stand.draft",
        "tests/data/drafts/sleeve.draft",
        "examples/house-block.draft",
        "examples/ferry-shirt.draft",
    ];
    let read = |file: &&str| {
        let path = root.join(file);
        let folder = path.parent().unwrap().display().to_string();
        (
            file.to_string(),
            folder,
            std::fs::read_to_string(path).unwrap(),
        )
    };
    files.iter().map(read).collect()
}

fn errors(told: Vec<Diagnostic>) -> Vec<Diagnostic> {
    told.into_iter().filter(Diagnostic::is_error).collect()
}

/// Putting in place what is offered makes the message go, whatever else is still wrong.
#[test]
fn what_is_offered_makes_its_message_go() {
    let (mut offers, mut wrong) = (0, String::new());
    for kind in Kind::ALL {
        for (name, folder, text) in drafts() {
            for broken in Sheet::read(&text).breaks(*kind, OFFERS_TRIED) {
                let (project, outcome) = Run::of(&broken.text).within(&folder).drawn();
                for message in outcome.diagnostics {
                    for offer in &message.offers {
                        let place = project.sources.bytes(offer.place);
                        if offer.place.file.0 != 0 || broken.text.get(place.clone()).is_none() {
                            continue;
                        }
                        let mut mended = broken.text.clone();
                        mended.replace_range(place, &offer.text);
                        offers += 1;
                        let told = Run::of(&mended).within(&folder).told();
                        let again = |one: &Diagnostic| {
                            (one.code, one.place, &one.message)
                                == (message.code, message.place, &message.message)
                        };
                        if told.iter().any(again) {
                            let said = message.message.in_unit(MM);
                            wrong += &format!("{name}: {}: {said}: {}\n", broken.what, offer.text);
                        }
                    }
                }
            }
        }
    }
    assert!(offers >= 100, "{offers} offers");
    assert!(wrong.is_empty(), "{wrong}");
}

/// Whether one of the messages stands where the break is felt.
fn is_near(broken: &Break, lines: &[usize]) -> bool {
    lines
        .iter()
        .any(|line| broken.felt.iter().any(|felt| felt.abs_diff(*line) <= 1))
}

#[test]
fn breaks_are_answered_at_their_place() {
    let mut all = Tally::default();
    for kind in Kind::ALL {
        let mut tally = Tally::default();
        for (name, folder, text) in drafts() {
            let sound = Run::of(&text).within(&folder);
            assert_eq!(errors(sound.told()), [], "{name}");
            for broken in Sheet::read(&text).breaks(*kind, TRIED) {
                try_one(&name, &folder, &broken, &mut tally);
            }
        }
        let answered = tally.tried - tally.lawful;
        println!(
            "{kind:?}: {} tried, {} lawful, {} of {answered} answered at their place",
            tally.tried, tally.lawful, tally.near
        );
        tally
            .elsewhere
            .iter()
            .for_each(|line| println!("   {line}"));
        assert!(answered >= 40, "{kind:?}: too few");
        assert!(
            tally.lawful * 100 <= tally.tried * kind.most_lawful(),
            "{kind:?}"
        );
        all.tried += tally.tried;
        all.lawful += tally.lawful;
        all.near += tally.near;
        assert!(
            tally.near * 100 >= answered * 95,
            "{kind:?}: {} of {answered}",
            tally.near
        );
    }
    let answered = all.tried - all.lawful;
    println!("all: {} of {answered} answered at their place", all.near);
}

fn try_one(name: &str, folder: &str, broken: &Break, tally: &mut Tally) {
    tally.tried += 1;
    let run = Run::of(&broken.text).within(folder);
    let drawn = catch_unwind(AssertUnwindSafe(|| run.drawn()));
    let Ok((project, outcome)) = drawn else {
        panic!("{name}: {} brought it down", broken.what);
    };
    let told = errors(outcome.diagnostics);
    if told.is_empty() {
        tally.lawful += 1;
        return;
    }
    let in_draft = told.iter().filter(|d| d.place.file.0 == 0);
    // A bracket left open is told at both ends: where it was opened, and where its fellow belongs.
    let places = in_draft.flat_map(|d| {
        let is_bracket = d.code == Code::BracketUnmatched;
        let fellow = d
            .see
            .iter()
            .filter(move |_| is_bracket)
            .map(|(span, _)| *span);
        std::iter::once(d.place).chain(fellow)
    });
    let lines: Vec<usize> = places.map(|span| project.sources.line(span)).collect();
    if is_near(broken, &lines) {
        tally.near += 1;
    } else {
        let first = told
            .first()
            .map(|d| d.message.in_unit(MM).into_owned())
            .unwrap_or_default();
        tally.elsewhere.push(format!(
            "{name}: {}: told at {lines:?}: {first}",
            broken.what
        ));
    }
}
