//! The ticket of every draft, with an order of making up or without: each seam with its width, each edge with its length and its
//! finish, darts, interlinings, and buttons with their holes counted, measured and set apart, held against the JSON.

use crate::example_drafts::{as_json, example};
use crate::paper::drafts_of_all;
use oaktag_language::voice::letters;
use oaktag_output::{json, ticket};
use serde_json::Value as Json;

/// The lines below a heading, up to the next empty one, each with single blanks.
fn below(text: &str, heading: &str) -> Vec<String> {
    let lines = text.lines().skip_while(|line| !line.starts_with(heading));
    let own = lines.take_while(|line| !line.trim().is_empty());
    own.map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect()
}

#[test]
fn every_ticket_says_how_seams_and_edges_are_sewn() {
    let (mut edges, mut seams, mut darts, mut orders) = (0, 0, 0, 0);
    for (name, pattern) in drafts_of_all() {
        let text = ticket::text(&pattern, 0.0);
        let read: Json = serde_json::from_str(&json::write(&pattern).unwrap()).unwrap();
        orders += usize::from(text.contains("Making up, in this order"));
        let order = [below(&text, "Making up"), below(&text, "Seams")].concat();
        for seam in read["seams"].as_array().unwrap() {
            let seam = letters(seam["name"].as_str().unwrap());
            let said = order.iter().any(|line| line.contains(&seam));
            assert!(said, "{name}: {seam} is not in {order:#?}");
            seams += 1;
        }
        let told = below(&text, "Edges: length, allowance and finish");
        let sewing = below(&text, "Darts and seams");
        for piece in read["pieces"].as_array().unwrap() {
            let label = piece["label"].as_str().unwrap();
            let head = format!("{} {label}", piece["number"]);
            let from = told.iter().position(|line| *line == head);
            let own = &told[from.map_or(0, |at| at + 1)..];
            let own: Vec<&String> = own
                .iter()
                .take_while(|line| line.starts_with('('))
                .collect();
            // One that is made of its piece is cut on its line all round, which its label says.
            let is_made = pattern
                .piece(piece["name"].as_str().unwrap())
                .unwrap()
                .inside_of
                .is_some();
            let is_edge =
                |edge: &&Json| !is_made && edge["on_fold"] == false && edge["finish"].is_string();
            for edge in piece["edges"].as_array().unwrap().iter().filter(is_edge) {
                let (of, finish) = (
                    letters(edge["name"].as_str().unwrap()),
                    edge["finish"].as_str().unwrap(),
                );
                let long = pattern.unit.length(edge["length_mm"].as_f64().unwrap());
                let row = own
                    .iter()
                    .find(|line| line.contains(&format!(") {of} {long}")) && line.contains(finish));
                assert!(
                    row.is_some(),
                    "{name}, {head}: {of} {long} {finish} in {own:#?}"
                );
                edges += 1;
            }
            let told = sewing
                .iter()
                .filter(|line| line.starts_with(&format!("{label}: dart")));
            let wanted = piece["darts"].as_array().unwrap().len();
            assert!(told.count() >= wanted, "{name}, {head}: {sewing:#?}");
            darts += wanted;
            if piece["name"].as_str().unwrap().ends_with("_interlining") {
                let cloth = piece["cut"]["cloth"].as_str().unwrap();
                let cut = below(&text, &format!("Cut from {cloth}"));
                assert!(
                    cut.iter().any(|line| line.starts_with(&head)),
                    "{name}: {cut:?}"
                );
            }
        }
    }
    assert!(
        edges > 200 && seams > 80 && darts >= 8,
        "{edges} {seams} {darts}"
    );
    assert!(orders > 3, "{orders}");
}

/// Seven buttons and seven holes, told apart by the side that has them; how far apart they are is measured in the JSON.
#[test]
fn buttons_and_holes_are_counted_measured_and_set_apart() {
    let outcome = example("womens-crew-shirt.draft", &[]);
    let text = ticket::text(&outcome.pattern, 0.0);
    let told = below(&text, "Marks, buttons and holes");
    let read = as_json(&outcome);
    let pieces = read["pieces"].as_array().unwrap().iter();
    let front = pieces
        .clone()
        .find(|piece| piece["name"] == "front")
        .unwrap();
    for (word, side, size) in [
        ("buttonhole", "right", "buttonhole_mm"),
        ("button", "left", ""),
    ] {
        let marks = front["marks"].as_array().unwrap().iter();
        let marks: Vec<&Json> = marks.filter(|mark| mark["text"] == word).collect();
        let heights: Vec<f64> = marks
            .iter()
            .map(|mark| mark["y"].as_f64().unwrap())
            .collect();
        let gaps: Vec<f64> = heights.windows(2).map(|pair| pair[0] - pair[1]).collect();
        assert!(gaps.iter().all(|gap| (gap - gaps[0]).abs() < 0.001));
        let measure = match size {
            "" => marks[0]["button"]["diameter_mm"].as_f64().unwrap(),
            hole => {
                let ends = &marks[0][hole];
                ends[0][1].as_f64().unwrap() - ends[1][1].as_f64().unwrap()
            }
        };
        let unit = outcome.pattern.unit;
        let line = told.iter().find(|line| {
            line.starts_with(&format!("{} {word}, wearer's {side} alone", marks.len()))
        });
        let line = line.unwrap_or_else(|| panic!("{word}: {told:#?}"));
        for figure in [measure, gaps[0]] {
            let said = unit.length(figure);
            assert!(line.contains(&said), "{said} is not in {line}");
        }
    }
}

/// A tie at the side of a half cut on the fold is sewn on twice; a button on the fold itself once.
#[test]
fn marks_of_a_piece_on_the_fold_are_counted_on_both_halves() {
    let text = "unit cm\npanel back {\n  point top = origin\n  point low = top down 40cm\n  point low_side = low right 20cm\n  point top_side = top right 20cm\n  point tie = top_side left 1cm down 10cm\n  point middle = top down 5cm\n  line centre = from top to low\n  line hem = from low to low_side\n  line side = from low_side to top_side\n  line upper = from top_side to top\n}\npiece back \"Back\" {\n  outline centre, hem, side, upper\n  cut 1 on fold at centre\n  grain along centre\n  allow 1cm\n  finish hem, side, upper \"bound\"\n  mark tie \"tie\"\n  mark middle \"button\"\n}\n";
    let (_, outcome) = crate::drawing::Run::of(text).drawn();
    let pattern = outcome.pattern;
    let told = below(&ticket::text(&pattern, 0.0), "Marks, buttons");
    assert_eq!(
        told,
        [
            "Marks, buttons and holes, on each piece",
            "1 Back",
            "2 tie",
            "1 button"
        ]
    );
}
