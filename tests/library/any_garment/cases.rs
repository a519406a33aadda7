//! The cases of `skirt.txt`, `bodice.txt`, `darts.txt` and `trousers.txt`, read and drawn.

use crate::library_pairs::garment::{Came, draw, drawn_json};
use serde_json::Value as Json;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// A draft with an act laid on it.
pub struct Case {
    pub name: String,
    pub text: String,
}

/// The garments, each with the acts laid on it.
const TABLES: &[(&str, &str, &str)] = &[
    ("skirt", "straight-skirt.draft", include_str!("skirt.txt")),
    (
        "bodice",
        "princess-bodice.draft",
        include_str!("bodice.txt"),
    ),
    ("darted", "", include_str!("darts.txt")),
    ("trousers", "trousers.draft", include_str!("trousers.txt")),
];

/// The darted bodice that dart acts are laid on.
const DARTED: &str = include_str!("darted.draft");

/// A garment's draft without anything laid on it. Its own check of the waist reads a line of its construction, which a slash
/// opens with all else.
pub fn garment(name: &str) -> String {
    let (_, file, _) = TABLES.iter().find(|(known, ..)| *known == name).unwrap();
    let whole = if file.is_empty() {
        DARTED.to_owned()
    } else {
        let path = format!("{}/examples/{file}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).unwrap()
    };
    // A sentence a line: the tables change whole ones.
    let (mut text, mut margin): (Vec<String>, usize) = (Vec::new(), 0);
    for line in whole.lines() {
        let indent = line.len() - line.trim_start().len();
        match text.last_mut() {
            Some(last) if indent >= margin + 4 => *last = format!("{last} {}", line.trim()),
            _ => {
                text.push(line.to_owned());
                margin = indent;
            }
        }
    }
    text.retain(|line| !line.starts_with("check \"waist as sewn\""));
    let unit = text
        .iter()
        .position(|line| line.starts_with("unit "))
        .unwrap();
    text.insert(unit + 1, "use any_garment".to_owned());
    text.insert(unit + 2, "use dart".to_owned());
    text.join("\n") + "\n"
}

/// The cases of a garment.
pub fn cases(garment_name: &str) -> Vec<Case> {
    let (.., table) = TABLES
        .iter()
        .find(|(known, ..)| *known == garment_name)
        .unwrap();
    let base = garment(garment_name);
    let told = table.split("\n== ").skip(1);
    told.map(|told| {
        let (name, lines) = told.split_once('\n').unwrap();
        Case {
            name: name.to_owned(),
            text: changed(&base, lines),
        }
    })
    .collect()
}

/// The case of that name.
pub fn case(garment_name: &str, name: &str) -> Json {
    let found = cases(garment_name)
        .into_iter()
        .find(|case| case.name == name);
    drawn_json(
        &found
            .unwrap_or_else(|| panic!("{garment_name}: no {name}"))
            .text,
    )
}

/// A draft with what a case writes before its pieces, and its changes: `@` goes on to a line, `-` takes it or another below it
/// out, `+` puts one in there.
fn changed(base: &str, lines: &str) -> String {
    let mut text: Vec<String> = base.lines().map(str::to_owned).collect();
    let is_change = |line: &&str| line.starts_with(['@', '-', '+']);
    let lines: Vec<&str> = lines.lines().filter(|line| !line.is_empty()).collect();
    let own = lines.iter().filter(|line| !is_change(line));
    let own = own
        .filter(|line| **line != "works")
        .map(|line| (*line).to_owned());
    let pieces = text.iter().position(|line| line.starts_with("piece "));
    let pieces = pieces.unwrap();
    text.splice(pieces..pieces, own.collect::<Vec<_>>());
    let (mut from, mut at) = (0, 0);
    for change in lines.iter().filter(|line| is_change(line)) {
        let (sign, rest) = change.split_at(1);
        let rest = rest.trim();
        match sign {
            "@" => {
                let found = text.iter().position(|line| line.trim().starts_with(rest));
                from = found.unwrap_or_else(|| panic!("no line {rest}"));
                at = from + 1;
            }
            "-" if rest.is_empty() => {
                text.remove(from);
                at = from;
            }
            "-" => {
                let below = text.iter().skip(from).position(|line| line.trim() == rest);
                at = from + below.unwrap_or_else(|| panic!("no line {rest}"));
                text.remove(at);
            }
            _ => {
                text.insert(at, rest.to_owned());
                at += 1;
            }
        }
    }
    text.join("\n") + "\n"
}

#[test]
fn every_act_works_on_the_skirt_the_bodice_and_the_trousers() {
    let all: Vec<(&str, Case)> = TABLES
        .iter()
        .flat_map(|(name, ..)| cases(name).into_iter().map(|case| (*name, case)))
        .collect();
    assert!(all.len() > 45, "{}", all.len());
    let (next, wrong) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some((name, case)) = all.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let what = match draw(&case.text) {
                        Came::Whole(..) => continue,
                        Came::Refused(words, _) => format!("refused: {words}"),
                        Came::Wrong(what) => what.join("\n"),
                    };
                    let told = format!("{name}, {}: {what}\n{}", case.name, case.text);
                    wrong.lock().unwrap().push(told);
                }
            });
        }
    });
    let wrong = wrong.into_inner().unwrap();
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// Each act of the list is tried on skirt and bodice, or refused there.
#[test]
fn no_act_of_the_list_is_left_out() {
    let listed = [
        "sleeve_cap",
        "flat_collar",
        "convertible_collar",
        "open_neck",
        "straight_hem",
        "side_seams",
        "button_row",
        "folded_stand",
        "single_stand",
        "band_stand",
        "knife_pleats",
        "box_pleat",
        "gathered_back",
        "patch_pocket",
        "pocket_flap",
        "side_vents",
        "felled_sides",
        "lengthen",
        "slit_placket",
        "single_cuff",
        "dart_to_side",
        "transfer_dart",
        "split_dart",
        "dart_to_seam",
    ];
    for (garment, others) in [("skirt", &["skirt"][..]), ("bodice", &["bodice", "darted"])] {
        for act in listed {
            let works = others.iter().any(|name| {
                let all = cases(name);
                all.iter()
                    .any(|case| case.name.split(',').next() == Some(act))
            });
            let refused = super::refused::acts(garment).any(|head| head == act);
            assert!(works || refused, "{garment}: {act} is tried nowhere");
        }
    }
}
