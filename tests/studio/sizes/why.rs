//! What moves a figure, held against drawings a millimetre apart that are made without it, and against closed forms.

use crate::sizes::{BOX, oaktag, text};
use oaktag_language::draft::inputs::{Given, Inputs, setting};
use oaktag_language::draft::{self};
use oaktag_language::kind::Dimension;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_studio::sizes::why::{self, Effect, Why};
use std::num::NonZeroUsize;

fn asked(draft: &str, name: &str) -> Why {
    let project = Project::load(
        "why.draft",
        draft,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let checked = oaktag_language::check::check(&project);
    let base = draft::draw(&project, &checked, &Inputs::default());
    why::why(
        &project,
        &checked,
        &Inputs::default(),
        &base,
        name,
        NonZeroUsize::new(2).unwrap(),
    )
    .unwrap()
}

/// What a centimetre more of an input does to each figure, as it is told.
fn told(why: &Why, input: &str) -> Vec<f64> {
    let mover = why.movers.iter().find(|mover| mover.name == input).unwrap();
    match &mover.effect {
        Effect::Figure { slopes, .. } => slopes.clone(),
        other => panic!("{other:?}"),
    }
}

/// The lengths of both sides of a seam with one value typed in.
fn sides(draft: &str, seam: &str, typed: &str) -> (f64, f64) {
    let mut project = Project::load(
        "why.draft",
        draft,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let set = vec![setting(&mut project.sources, typed).unwrap()];
    let outcome = draft::make(
        &project,
        &Inputs {
            set,
            ..Inputs::default()
        },
    );
    let seam = outcome
        .pattern
        .seam(seam)
        .unwrap_or_else(|| panic!("{typed}: {:?}", outcome.diagnostics));
    (seam.first.length, seam.second.length)
}

#[test]
fn closed_forms_of_a_box() {
    let side = asked(BOX, "side");
    for (figure, wanted) in told(&side, "long").iter().zip([10.0, 10.0, 0.0]) {
        assert!((figure - wanted).abs() < 1e-6, "{figure} {wanted}");
    }
    assert!(
        told(&side, "chest")
            .iter()
            .all(|figure| figure.abs() < 1e-9)
    );
    // A quarter of the chest.
    let hem = asked(BOX, "back.hem");
    assert!((told(&hem, "chest")[0] - 2.5).abs() < 1e-6);
    assert!(why::strength(&hem.movers[0]) > 2.0 && hem.movers[0].name == "chest");
}

/// Every measure of the shirt against its armhole: half a millimetre less and half a millimetre more, typed in.
#[test]
fn drawings_a_millimetre_apart_say_the_same() {
    let path = format!(
        "{}/examples/womens-crew-shirt.draft",
        env!("CARGO_MANIFEST_DIR")
    );
    let shirt = std::fs::read_to_string(path).unwrap();
    let why = asked(&shirt, "armhole");
    let base = {
        let project = Project::load(
            "why.draft",
            &shirt,
            &NoFiles,
            &oaktag_language::library::module,
        );
        draft::make(&project, &Inputs::default())
    };
    let mut held = 0;
    for used in base.drawn.measures.iter().filter(|used| used.of_body) {
        let oaktag_language::pattern::spec::Value::Length(mm) = used.value else {
            continue;
        };
        let at = |by: f64| {
            sides(
                &shirt,
                "armhole",
                &format!("{}={:.4}mm", used.name, mm + by),
            )
        };
        let (less, more) = (at(-0.5), at(0.5));
        let slopes = told(&why, &used.name);
        for (found, wanted) in slopes
            .iter()
            .zip([10.0 * (more.0 - less.0), 10.0 * (more.1 - less.1)])
        {
            assert!(
                (found - wanted).abs() < 0.02,
                "{}: {found}, drawn {wanted}",
                used.name
            );
        }
        held += 1;
    }
    assert!(held >= 15, "{held}");
}

#[test]
fn words_and_bends_are_told() {
    let draft = BOX.replace(
        "choose depth = 3cm\n",
        "choose shape = \"straight\" of \"straight\", \"short\"\nif shape = \"short\" { length less = 2cm } otherwise { length less = 0cm }\n",
    );
    let draft = draft.replace("for long\n  line upper", "for long - less\n  line upper");
    let why = asked(&draft, "side");
    let mover = why
        .movers
        .iter()
        .find(|mover| mover.name == "shape")
        .unwrap();
    let Effect::Words(words) = &mover.effect else {
        panic!("{mover:?}");
    };
    assert_eq!(words[0].0, Given::Text("short".into()));
    assert!((words[0].1.as_ref().unwrap()[0] + 20.0).abs() < 1e-6);
    // The smaller of two: a centimetre more of it helps until the other is the smaller.
    let bends = BOX
        .replace(
            "length finished_chest = chest\n",
            "length wide = smallest of (chest / 4), 22.05cm\n",
        )
        .replace("right for chest / 4", "right for wide");
    let hem = asked(&bends, "back.hem");
    let mover = hem
        .movers
        .iter()
        .find(|mover| mover.name == "chest")
        .unwrap();
    let Effect::Figure {
        whole: [more, fewer],
        dimension,
        ..
    } = &mover.effect
    else {
        panic!("{mover:?}");
    };
    assert_eq!(*dimension, Dimension::LENGTH);
    assert!((more.as_ref().unwrap()[0] - 0.5).abs() < 1e-6);
    assert!((fewer.as_ref().unwrap()[0] + 2.5).abs() < 1e-6);
}

#[test]
fn the_command_tells_it_in_the_drafts_unit() {
    let out = oaktag(&["check", "--why", "back.neck", "examples/deck-vest.draft"]);
    let said = text(&out.stdout);
    assert_eq!(out.status.code(), Some(0), "{said}");
    assert!(
        said.contains("1 cm more chest girth") && said.contains("+0.097 cm"),
        "{said}"
    );
    assert!(said.contains("Not moved by: head girth"), "{said}");
    let none = oaktag(&["check", "--why", "back.nek", "examples/deck-vest.draft"]);
    assert_eq!(none.status.code(), Some(2));
    assert!(
        text(&none.stderr).contains("Did you mean `back.neck`"),
        "{}",
        text(&none.stderr)
    );
}
