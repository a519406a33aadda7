//! Sleeves, cuffs, collars and pockets of the library on a body typed in from a card: their solved lengths against figures
//! worked out outside this program (`tests/data/reference_body_a.json`, by 48-point quadrature) and against closed forms,
//! and what may change, and what may not, when one part is exchanged for another.

mod card;
mod collars;
mod cuffs;
mod pockets;
mod sleeves;

use card::*;
use oaktag_language::voice::LengthUnit::Millimetre as MM;

#[test]
fn every_part_fits_a_body_without_yoke_or_button_stand() {
    for lower in ["tower_placket", "bound_placket", "slit_placket"] {
        for cuff in ["single_cuff", "double_cuff"] {
            let (lower, cuff) = (
                format!("panel sleeve = {lower} on sleeve"),
                format!("panel cuff = {cuff} for sleeve"),
            );
            sound(&[PLAIN, CAP, &lower, &cuff]);
        }
    }
    for line in [
        "panel sleeve = short_sleeve on sleeve with hem_depth 20mm",
        "panel sleeve = three_quarter_sleeve on sleeve with hem_depth 20mm",
    ] {
        sound(&[PLAIN, CAP, line]);
    }
    for line in [
        "panel collar = band_collar for shirt with ends \"edge\"",
        "panel collar = band_collar for shirt with ends \"front\"",
        "panel collar = convertible_collar for shirt",
        "panel collar = flat_collar for shirt",
        "panel shirt = patch_pocket on shirt with shape \"rounded\"",
        "panel loop = hanger_loop for shirt",
    ] {
        sound(&[PLAIN, line]);
    }
    let outcome = sound(&[PLAIN, COLLAR]);
    let told = outcome
        .diagnostics
        .iter()
        .find(|d| d.code == Code::Caution)
        .unwrap();
    assert!(
        told.message.in_unit(MM).contains("nothing to button on"),
        "{}",
        told.message.in_unit(MM)
    );
}

/// The modules and the card are in the one canonical layout, and every operation says what it gives.
#[test]
fn the_modules_are_tidy_and_documented() {
    for path in [
        "stdlib/sleeve.draft",
        "stdlib/placket.draft",
        "stdlib/cuff.draft",
        "stdlib/collar.draft",
        "stdlib/pocket.draft",
        "tests/data/library/card_body.draft",
    ] {
        let text = folder(path);
        assert_eq!(oaktag_language::syntax::tidy(&text).text, text, "{path}");
        let mut rest = text.as_str();
        while let Some(at) = rest.find("\noperation ") {
            rest = &rest[at + 1..];
            let (head, _) = rest.split_once(" {\n").unwrap();
            let doc = head.rsplit_once("gives ").unwrap().1;
            assert!(doc.contains('"') && doc.ends_with('"'), "{path}: {head}");
            assert!(doc.len() > 30, "{path}: {doc}");
        }
    }
}

/// What the head of an operation says that it needs is all that its body reads: each is checked by itself, knowing no more
/// of its panels.
#[test]
fn heads_that_say_what_they_need_say_all_of_it() {
    use oaktag_language::check;
    use oaktag_language::library;
    use oaktag_language::report::Diagnostic;
    use oaktag_language::syntax::project::{NoFiles, Project};
    let mut text = String::new();
    for module in library::MODULES {
        text.push_str(&format!("use {}\n", module.name));
        // Only what is named is read.
        for operation in module.operations {
            text.push_str(&format!("# {}\n", operation.head));
        }
    }
    let project = Project::load("library", &text, &NoFiles, &library::module);
    let checked = check::check_with_library(&project);
    let told = checked.diagnostics.iter().filter(|told| told.is_error());
    let told: Vec<&Diagnostic> = told.collect();
    assert!(told.is_empty(), "{told:#?}");
    let operations = checked.program.operations.iter();
    let saying = operations.filter(|one| !one.needs.is_empty() && !one.draws.is_empty());
    assert!(saying.count() > 25);
}
