//! Garments of known truth: a drawn cloth is cut along chance paths, its pieces are moved, turned and mirrored, and a draft
//! is written that sews them together again. What is true of each seam is known from the uncut cloth, never from the walk.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    missing_docs,
    unreachable_pub,
    reason = "a test that fails should say so where it does"
)]

use oaktag_language::voice::LengthUnit::Millimetre as MM;

mod again;
mod build;
#[path = "../support/chance.rs"]
#[allow(dead_code, reason = "each test takes what it needs")]
mod chance;
mod change;
mod cloth;
mod draw;
mod dress;
mod judge;
mod line;
mod piece;
mod plan;
mod proof;
mod run;
mod second;
mod sheet;
mod table;
mod text;

#[test]
fn drafts_hold_the_lengths_of_their_plans() {
    for seed in 0..400 {
        let (garment, _) = run::by_chance(seed);
        // Without its seams and darts, which are not needed to measure an edge.
        let text: String = garment.draft.text[..garment.draft.seams[0].start]
            .lines()
            .filter(|line| !line.trim_start().starts_with("dart "))
            .map(|line| format!("{line}\n"))
            .collect();
        let outcome = run::outcome(&text);
        let pieces = outcome.pattern.pieces;
        for message in outcome.diagnostics.iter().filter(|one| one.is_error()) {
            assert_eq!(
                message.code.name(),
                "outline-open",
                "seed {seed}: {}\n{text}",
                message.message.in_unit(MM)
            );
        }
        let plan = &garment.plan;
        let made = build::pieces(plan).unwrap();
        for (seam, both) in table::sides(plan, &made).iter().enumerate() {
            for (side, edges) in both.iter().enumerate() {
                let of = |edge: &table::SideEdge| {
                    let piece = &pieces[edge.face];
                    let name = &garment.draft.names[edge.face][edge.edge];
                    piece
                        .edges
                        .iter()
                        .find(|one| one.name == *name)
                        .unwrap()
                        .length
                };
                let drawn: f64 = edges.iter().filter(|edge| !edge.over).map(of).sum();
                let mut wanted = plan.seams[seam].position(side, plan.seams[seam].length());
                let twin = plan.seams[seam].twin.is_some();
                for item in &plan.seams[seam].items {
                    match item {
                        plan::Item::Pleat {
                            side: on,
                            width,
                            inside: true,
                            ..
                        } if *on == side || twin => wanted += width,
                        plan::Item::Until {
                            side: on, extra, ..
                        } if *on == side => wanted += extra,
                        _ => {}
                    }
                }
                for edge in edges {
                    let own = &made[edge.face].edges;
                    let beside = [edge.edge + 1, edge.edge + own.len() - 1];
                    let centre = beside
                        .iter()
                        .filter(|n| own[*n % own.len()].line == 0)
                        .count();
                    let lay = &plan.lays[edge.face];
                    if let (Some(wide), plan::Centre::Fold) = (lay.pleat, lay.centre) {
                        wanted += wide * f64::from(u8::from(centre > 0));
                    }
                }
                assert!(
                    (drawn - wanted).abs() < 1e-4,
                    "seed {seed}, seam {seam}, side {side}: {drawn} {wanted}\n{text}"
                );
            }
        }
    }
}

/// `OAKTAG_GARMENTS=100000 cargo test --test walk four_figures -- --nocapture` runs so many and prints the table;
/// `OAKTAG_SEED=17` prints the garments of a seed that are told wrongly.
#[test]
fn four_figures() {
    let asked = |name: &str| {
        std::env::var(name)
            .ok()
            .and_then(|text| text.parse::<u64>().ok())
    };
    let seeds = match asked("OAKTAG_SEED") {
        Some(seed) => seed..seed + 1,
        None => 0..asked("OAKTAG_GARMENTS").unwrap_or(2_000),
    };
    let figures = proof::run(seeds);
    println!("{}", figures.summary());
    let mut shown: Vec<&str> = Vec::new();
    for wrong in &figures.wrong {
        if !shown.contains(&wrong.what) || std::env::var("OAKTAG_ALL").is_ok() {
            shown.push(wrong.what);
            println!("{}", proof::printed(wrong));
        }
    }
    assert!(
        figures.wrong.is_empty(),
        "{} told wrongly",
        figures.wrong.len()
    );
    assert!(figures.without_from * 2 >= figures.seams);
}

#[test]
fn ten_sizes_have_one_reading() {
    let differ: Vec<(u64, usize)> = (0..60)
        .filter_map(|seed| proof::in_ten_sizes(seed).map(|seam| (seed, seam)))
        .collect();
    assert!(differ.is_empty(), "seed and seam: {differ:?}");
}

/// `OAKTAG_SHOW=17` prints a seed's garment and what is expected of it and told.
#[test]
fn one_garment_shown() {
    let asked = std::env::var("OAKTAG_SHOW")
        .ok()
        .and_then(|text| text.parse().ok());
    let garment = proof::of_seed(asked.unwrap_or(1));
    let text = proof::told_of(&garment);
    assert!(text.contains("seam s1"));
    if asked.is_some() {
        println!("{text}");
    }
}

/// `OAKTAG_FILE=a.draft` prints what is told of a draft, and its seams as the JSON has them.
#[test]
fn one_draft_told() {
    let Ok(path) = std::env::var("OAKTAG_FILE") else {
        return;
    };
    let outcome = run::outcome(&std::fs::read_to_string(path).unwrap());
    for message in &outcome.diagnostics {
        println!(
            "{}: {} {:?}",
            message.code.name(),
            message.message.in_unit(MM),
            message.notes
        );
    }
    let json = oaktag_output::json::write(&outcome.pattern).unwrap();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    for seam in json["seams"].as_array().unwrap() {
        for key in [
            "name", "ok", "decided", "first", "second", "places", "sections", "notches", "eases",
        ] {
            println!("{key}: {}", seam[key]);
        }
    }
}
