//! A plan drafted, walked by the program, and what it told.

use crate::build;
use crate::chance::Chance;
use crate::draw;
use crate::plan::{Item, Plan, Words};
use crate::table::{self, Decided, Expected};
use crate::text::{self, Draft};
use kurbo::Point;
use oaktag_language::draft::{Inputs, Outcome};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_output::json;
use serde_json::Value as Json;

/// A plan, what must be found of its seams, and its draft.
pub struct Garment {
    pub plan: Plan,
    pub expected: Vec<Expected>,
    pub draft: Draft,
}

/// Drafts a plan; nothing where its pieces cannot be drawn cleanly.
pub fn garment(plan: Plan) -> Option<Garment> {
    let pieces = build::pieces(&plan)?;
    let sides = table::sides(&plan, &pieces);
    if sides
        .iter()
        .flatten()
        .any(|side| side.iter().all(|edge| edge.over))
    {
        return None;
    }
    let expected = table::expected(&plan, &pieces, &sides);
    if text::is_loose(&plan, &pieces, &sides) || table::has_bite(&plan, &pieces, &sides) {
        return None;
    }
    let draft = text::write(&plan, &pieces, &sides);
    Some(Garment {
        plan,
        expected,
        draft,
    })
}

/// A true garment by chance.
pub fn by_chance(seed: u64) -> (Garment, Chance) {
    let mut chance = Chance::new(seed);
    loop {
        let Some(mut plan) = draw::plan(&mut chance) else {
            continue;
        };
        for round in 0.. {
            let Some(made) = garment(plan.clone()) else {
                break;
            };
            // Words that alone would make ends meet that do not are no true draft.
            if !is_misled(&made) {
                return (made, chance);
            }
            if round > 6 {
                let bare = |words: &mut Words| *words = Words::Bare;
                plan.words.iter_mut().flatten().for_each(bare);
            } else {
                plan.words = draw::words(&plan, &mut chance);
            }
        }
    }
}

/// Whether finishes alone would have ends meet that do not.
pub fn is_misled(garment: &Garment) -> bool {
    let crossed = |one: &Expected| one.decided == Decided::Finish && one.crossed;
    garment.expected.iter().any(crossed)
}

/// What the program says of a seam.
#[derive(Clone, Debug)]
pub struct Seen {
    pub ok: bool,
    /// An error stands at the seam, or at a piece that it joins; their codes.
    pub told: Vec<&'static str>,
    pub decided: String,
    /// The reading is the crossed one.
    pub crossed: bool,
}

/// What the program says of a garment.
pub struct Told {
    pub seams: Vec<Seen>,
    /// Errors that belong to no seam.
    pub stray: Vec<String>,
    pub codes: Vec<&'static str>,
    pub json: Json,
    pub outcome: Outcome,
}

/// Draws a draft in-process.
pub fn outcome(text: &str) -> Outcome {
    let project = Project::load("a.draft", text, &NoFiles, &oaktag_language::library::module);
    oaktag_language::draft::make(&project, &Inputs::default())
}

/// Runs the program over a garment.
pub fn told(garment: &Garment) -> Told {
    let outcome = outcome(&garment.draft.text);
    let json: Json = serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap();
    let draft = &garment.draft;
    let mut stray = Vec::new();
    let mut codes: Vec<Vec<&'static str>> = vec![Vec::new(); draft.seams.len()];
    for message in outcome.diagnostics.iter().filter(|one| one.is_error()) {
        let at = message.place.start as usize;
        let code = message.code.name();
        if let Some(seam) = draft.seams.iter().position(|range| range.contains(&at)) {
            codes[seam].push(code);
        } else if let Some(face) = draft.pieces.iter().position(|range| range.contains(&at)) {
            let name = format!(" {}.", text::piece_name(face));
            for (seam, range) in draft.seams.iter().enumerate() {
                if draft.text[range.clone()].contains(&name) {
                    codes[seam].push(code);
                }
            }
        } else {
            stray.push(format!("{code}: {}", message.message.in_unit(MM)));
        }
    }
    let seams = codes
        .into_iter()
        .enumerate()
        .map(|(seam, told)| seen(&json, garment, seam, told))
        .collect();
    Told {
        seams,
        stray,
        codes: outcome
            .diagnostics
            .iter()
            .map(|one| one.code.name())
            .collect(),
        json,
        outcome,
    }
}

fn seen(json: &Json, garment: &Garment, seam: usize, told: Vec<&'static str>) -> Seen {
    let name = format!("s{}", seam + 1);
    let found = json["seams"]
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["name"] == name.as_str());
    let Some(found) = found else {
        return Seen {
            ok: false,
            told,
            decided: "not walked".to_owned(),
            crossed: false,
        };
    };
    let turned = garment.plan.seams[seam].turned;
    let begins_high = ["first", "second"].map(|word| {
        let side = usize::from((word == "second") != turned);
        let first = &found[word]["edges"][0];
        let begin = first_point(first["path"].as_str().unwrap());
        let [low, high] = &garment.draft.ends[seam][side];
        if low.0 == high.0 {
            (begin - high.1).hypot() < (begin - low.1).hypot()
        } else {
            first["piece"] == high.0.as_str()
        }
    });
    Seen {
        ok: found["ok"] == true,
        told,
        decided: found["decided"].as_str().unwrap_or("").to_owned(),
        crossed: begins_high[0] != begins_high[1],
    }
}

fn first_point(path: &str) -> Point {
    let mut figures = path[1..]
        .split([' ', ','])
        .map(|word| word.parse::<f64>().unwrap());
    let (x, y) = (figures.next().unwrap(), figures.next().unwrap());
    Point::new(x, y)
}

/// Under which kinds a seam is counted.
pub fn kinds(garment: &Garment, seam: usize) -> Vec<&'static str> {
    let plan = &garment.plan;
    let one = &plan.seams[seam];
    let mut found = Vec::new();
    let mut put = |kind| {
        if !found.contains(&kind) {
            found.push(kind);
        }
    };
    if one.twin.is_some() {
        put("with its own twin");
    }
    if one
        .legs
        .iter()
        .any(|leg| plan.cloth.rings().iter().any(|ring| ring.0 == leg.line))
    {
        put("a ring");
    }
    if one.other.is_some() {
        put("along a tube");
    }
    if (0..2).any(|side| !plan.joints(one, side).is_empty()) {
        put("over another seam");
    }
    if one.breaks.iter().any(|breaks| !breaks.is_empty()) {
        put("several edges");
    }
    for item in &one.items {
        match item {
            Item::Ease(ease) => put(match (ease.act, ease.between) {
                (crate::plan::Act::Ease, true) => "eased between",
                (crate::plan::Act::Ease, false) => "eased",
                (crate::plan::Act::Gather, _) => "gathered",
                (crate::plan::Act::Stretch, _) => "stretched",
            }),
            Item::Dart { .. } => put("darted"),
            Item::Pleat { .. } => put("pleated"),
            Item::Over { .. } => put("over an edge"),
            Item::Until { .. } => put("until"),
            Item::Open { .. } => put("open in part"),
            Item::Joints => put("notched at joints"),
            _ => {}
        }
    }
    if found.is_empty() {
        found.push("plain");
    }
    found
}
