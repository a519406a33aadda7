//! What the trade would not do on a skirt or a bodice, or what an act for shirts alone is asked there: one sentence each.

use oaktag_language::draft::{self, Inputs};
use oaktag_language::report::{Code, Severity};
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::voice::LengthUnit::Centimetre as CM;

struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = format!("{}/examples/{path}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(full).map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

/// An act, on which garments it is refused, and the sentence.
struct Refused {
    said: &'static str,
    on: &'static [&'static str],
    told: &'static str,
}

const BOTH: &[&str] = &["skirt", "bodice"];
const SKIRT: &[&str] = &["skirt"];

const fn refused(said: &'static str, on: &'static [&'static str], told: &'static str) -> Refused {
    Refused { said, on, told }
}

/// `given.back` and `given.front` are the garment's sheets, `whole` both together as a shirt's acts would have them.
const ALL: &[Refused] = &[
    refused(
        "sleeve_cap from given.back to given.front",
        SKIRT,
        "A cap is drafted to an armhole: back and front each want `armhole`, `underarm` and `shoulder_point`.",
    ),
    refused(
        "sleeve_cap for whole",
        BOTH,
        "A cap is drafted to an armhole: write `shirt_body` or `fitted_body` before `sleeve_cap`; for any other garment `use any_garment` and write `sleeve_cap from BACK to FRONT`.",
    ),
    refused(
        "flat_collar from given.back to given.front with back_end origin, front_end origin",
        SKIRT,
        "A collar is drafted to a neckline: the back wants `neck`, `cb_neck` and `neck_point`, the front `neck`, `cf_neck` and `neck_point`.",
    ),
    refused(
        "flat_collar for whole",
        BOTH,
        "A collar is drafted to a neckline: write `shirt_body` or `fitted_body` before `flat_collar`; for any other garment `use any_garment` and write `flat_collar from BACK to FRONT`.",
    ),
    refused(
        "convertible_collar from given.back to given.front",
        SKIRT,
        "A collar is drafted to a neckline: the back wants `neck` and `cb_neck`, the front `neck` and `cf_neck`.",
    ),
    refused(
        "convertible_collar for whole",
        BOTH,
        "A collar is drafted to a neckline: write `shirt_body` or `fitted_body` before `convertible_collar`; for any other garment `use any_garment` and write `convertible_collar from BACK to FRONT`.",
    ),
    refused(
        "open_neck on given.front along given.front.side",
        SKIRT,
        "A neck is opened on a sheet that has one: it wants `neck`, `neck_point` and, at its centre, `cb_neck` or `cf_neck`.",
    ),
    refused(
        "open_neck on whole",
        BOTH,
        "A neck is opened on a body: write `shirt_body` before `open_neck`; on any other garment `use any_garment` and write `open_neck on SHEET along SHOULDER`.",
    ),
    refused(
        "side_seams on whole",
        BOTH,
        "Side seams are drawn on a body, from its underarm to its hip: write `shirt_body` before `side_seams`.",
    ),
    refused(
        "straight_hem on whole",
        BOTH,
        "`straight_hem` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `straight_hem at POINT on SHEET from EDGE to EDGE`.",
    ),
    refused(
        "lengthen on given.front by 3cm",
        BOTH,
        "`lengthen` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `lengthen at POINT on SHEET by LENGTH`.",
    ),
    refused(
        "side_vents on whole",
        BOTH,
        "`side_vents` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `side_vents along EDGE on SHEET from FOOT by HEIGHT`.",
    ),
    refused(
        "felled_sides on whole",
        BOTH,
        "`felled_sides` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `felled_sides from BACK to FRONT`.",
    ),
    refused(
        "button_row on whole",
        BOTH,
        "Buttons on a whole body are for a shirt: write `shirt_body` or `fitted_body` before them; on any other garment `use any_garment` and write `button_row on SHEET from POINT to POINT`, and a stand as `folded_stand along MIDDLE on SHEET from TOP to HEM toward WAY`.",
    ),
    refused(
        "knife_pleats on given.front",
        BOTH,
        "`knife_pleats` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `knife_pleats at POINT on SHEET toward WAY`.",
    ),
    refused(
        "box_pleat on whole",
        BOTH,
        "`box_pleat` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `box_pleat along MIDDLE on SHEET toward WAY`.",
    ),
    refused(
        "gathered_back on whole",
        BOTH,
        "`gathered_back` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `gathered_back at POINT on SHEET toward WAY`.",
    ),
    refused(
        "patch_pocket on whole",
        BOTH,
        "`patch_pocket` on a whole body is for a shirt: write `shirt_body` or `fitted_body` before it; on any other garment `use any_garment` and write `patch_pocket at POINT on SHEET toward WAY`.",
    ),
    refused(
        "pocket_flap on given.front",
        BOTH,
        "A flap covers a pocket: write `patch_pocket` before `pocket_flap`.",
    ),
    refused(
        "slit_placket on whole",
        BOTH,
        "A sleeve is slit below its cap: write `sleeve_cap` before `slit_placket`; to slit any other edge `use any_garment` and write `slit_placket at POINT on SHEET along EDGE toward WAY`.",
    ),
    refused(
        "single_cuff for whole",
        BOTH,
        "A cuff closes a sleeve drawn to it: write `tower_placket`, `bound_placket` or `slit_placket` before `single_cuff`; for other edges `use any_garment` and write `single_cuff for [EDGE, EDGE]`.",
    ),
    refused(
        "dart_to_side on whole",
        BOTH,
        "A bust dart is moved on a body that has it: write `fitted_body`, which keeps it, before `dart_to_side`; on any other garment `use dart` and write `transfer_dart on SHEET`.",
    ),
];

/// Acts that are refused on a garment.
pub fn acts(garment: &str) -> impl Iterator<Item = &'static str> {
    let on = move |one: &&Refused| one.on.contains(&garment);
    ALL.iter()
        .filter(on)
        .filter_map(|one| one.said.split(' ').next())
}

/// All that is told of a draft but cautions.
fn told(text: &str) -> Vec<(Code, Severity, String)> {
    let project = Project::load(
        "a.draft",
        text,
        &Examples,
        &oaktag_language::library::module,
    );
    let outcome = draft::make(&project, &Inputs::default());
    let told = outcome.diagnostics.iter();
    told.filter(|told| told.code != Code::Caution)
        .map(|told| {
            (
                told.code,
                told.severity,
                told.message.in_unit(CM).into_owned(),
            )
        })
        .collect()
}

#[test]
fn what_the_trade_would_not_do_is_refused_in_one_sentence() {
    let mut wrong = Vec::new();
    for one in ALL {
        for garment in one.on {
            let file = if *garment == "skirt" {
                "straight-skirt.draft"
            } else {
                "princess-bodice.draft"
            };
            let text = format!(
                "draft \"Refused\"\nunit cm\nuse shirt\nuse any_garment\nuse dart\nimport \"{file}\" as given\n\
                 panel whole {{\n  panel back traced from given.back {{}}\n  panel front traced from given.front {{}}\n}}\n\
                 panel laid = {}\n",
                one.said
            );
            let told = told(&text);
            if told != [(Code::Required, Severity::Error, one.told.to_owned())] {
                wrong.push(format!("{garment}, {}: {told:#?}", one.said));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What cannot be laid again says what is there, and what to do.
#[test]
fn an_act_that_cannot_be_laid_once_more_says_so() {
    let front = "panel front {\n  line centre = from (origin right 30cm) toward down for 60cm\n  line hem = from end of centre toward left for 30cm\n  line side = from end of hem toward up for 60cm\n  line waist = from end of side to start of centre\n}\n";
    let all = [
        (
            "knife_pleats at (N / 8 of the way along front.waist) on front toward left with take 2cm",
            5,
            "No more than four pleats are laid on one sheet: write the next by hand, `slide SHEET by TAKE toward WAY along SLASH`.",
        ),
        (
            "box_pleat along front.centre on front toward right",
            2,
            "One pleat alone lies on the fold of a sheet: give it a larger take in place of a second.",
        ),
        (
            "patch_pocket at (front.hem_corner right N * 5cm) on front toward right",
            3,
            "No more than two pockets are set on one sheet, pocket and pocket_2: set a third on a sheet of its own, and mark its drills from there.",
        ),
        (
            "button_row on front from (origin right N * 1cm) to (origin right N * 1cm down 20cm)",
            3,
            "No more than two rows of buttons are set on one sheet: mark a third by hand, as a list of points.",
        ),
        (
            "side_vents along front.side on front from start of front.side by 2cm",
            3,
            "No more than two vents are cut on one sheet, vent and vent_2: open a third in its seam, `open between POINT and HEIGHT from POINT`.",
        ),
        (
            "folded_stand along front.centre on front from front.waist to front.hem toward right",
            2,
            "One button stand alone is drawn on a sheet: a second, on another edge, wants a sheet of its own.",
        ),
    ];
    for (said, times, wanted) in all {
        let said = said.replace("front.hem_corner", "(origin down 20cm)");
        let mut text = format!("draft \"Again\"\nunit cm\nuse any_garment\n{front}");
        for n in 1..=times {
            text.push_str(&format!(
                "panel front = {}\n",
                said.replace('N', &n.to_string())
            ));
        }
        let told = told(&text);
        let refused: Vec<&String> = told
            .iter()
            .filter(|(code, ..)| *code == Code::Required)
            .map(|(.., words)| words)
            .collect();
        assert_eq!(refused, [wanted], "{text}\n{told:#?}");
        let errors = told
            .iter()
            .filter(|(_, severity, _)| *severity == Severity::Error);
        assert_eq!(errors.count(), 1, "{text}\n{told:#?}");
    }
}
