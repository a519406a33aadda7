//! Figures that are known before anything is drawn.

use super::cases::{case, garment};
use crate::library_pairs::garment::{drawn_json, figure, pieces, point};
use serde_json::Value as Json;

/// Close enough, in millimetres: the JSON writes four places, and lengths along joined curves add up to a little more.
const SAME: f64 = 0.005;

fn edge(json: &Json, piece: &str, name: &str) -> f64 {
    let piece = pieces(json)
        .iter()
        .find(|one| one["name"] == piece)
        .unwrap();
    let edges = piece["edges"].as_array().unwrap();
    let edge = edges.iter().find(|edge| edge["name"] == name);
    edge.unwrap_or_else(|| panic!("no {name}"))["length_mm"]
        .as_f64()
        .unwrap()
}

fn near(what: &str, found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() <= SAME,
        "{what}: {found}, wanted {wanted}"
    );
}

fn apart(json: &Json, a: &str, b: &str) -> f64 {
    let (a, b) = (point(json, a).unwrap(), point(json, b).unwrap());
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// A slash adds to every line it crosses what it opens, and to no other.
#[test]
fn a_pleat_adds_its_take_to_what_it_crosses() {
    let (plain, two) = (
        drawn_json(&garment("skirt")),
        case("skirt", "knife_pleats, two"),
    );
    let grown = |name: &str| edge(&two, "front", name) - edge(&plain, "front", name);
    near("hem", grown("hem"), 50.0);
    near("waist, inner", grown("waist_inner"), 30.0);
    near("waist, outer", grown("waist_outer"), 20.0);
    near("side", grown("side"), 0.0);
    near("centre", grown("centre"), 0.0);
    let gathered = case("skirt", "gathered_back");
    let grown = |name: &str| edge(&gathered, "back", name) - edge(&plain, "back", name);
    near("gathers in the waist", grown("waist_1"), 40.0);
    near("and in the hem", grown("hem"), 40.0);
    near("not in the next part", grown("waist_2"), 0.0);
    near(
        "what is let in",
        figure(&gathered, "back.gathered").unwrap(),
        40.0,
    );
}

#[test]
fn a_sheet_is_longer_by_what_was_asked() {
    let plain = drawn_json(&garment("skirt"));
    for (name, by) in [
        ("lengthen", 50.0),
        ("lengthen, shorter", -60.0),
        ("straight_hem", -40.0),
    ] {
        let longer = case("skirt", name);
        for piece in ["back", "front"] {
            for line in ["side", "centre"] {
                let grown = edge(&longer, piece, line) - edge(&plain, piece, line);
                near(&format!("{name}, {piece} {line}"), grown, by);
            }
            near(
                "hem",
                edge(&longer, piece, "hem"),
                edge(&plain, piece, "hem"),
            );
        }
    }
}

#[test]
fn a_vent_parts_its_edge() {
    let (plain, vented) = (drawn_json(&garment("skirt")), case("skirt", "side_vents"));
    for piece in ["back", "front"] {
        near("vent", edge(&vented, piece, "vent"), 150.0);
        let sewn = edge(&vented, piece, "side");
        near("side", sewn, edge(&plain, piece, "side") - 150.0);
    }
}

/// Moved, a dart is the same angle about the same point, as wide as its leg is long: 2 r sin(a / 2). The edges that turned are
/// as long as before and have their names, and the points that lie on them turned with them.
#[test]
fn a_dart_that_is_moved_keeps_its_angle_and_its_edges_their_names() {
    let plain = drawn_json(&garment("darted"));
    let moved = case("darted", "transfer_dart, to the side");
    let angle = |json: &Json, apex: &str, a: &str, b: &str| {
        let [apex, a, b] = [apex, a, b].map(|name| point(json, name).unwrap());
        let way = |p: (f64, f64)| (p.1 - apex.1).atan2(p.0 - apex.0);
        (way(a) - way(b)).abs()
    };
    let dart = angle(
        &plain,
        "front.bust_point",
        "front.dart_in",
        "front.dart_out",
    );
    let leg = apart(&moved, "front.bust_point", "front.slash_kept");
    let mouth = apart(&moved, "front.slash_kept", "front.slash_moved");
    near("mouth", mouth, 2.0 * leg * (dart / 2.0).sin());
    near(
        "the old dart is closed",
        apart(&moved, "front.dart_in", "front.dart_out"),
        0.0,
    );
    for name in [
        "armhole",
        "shoulder_inner",
        "shoulder_outer",
        "neck",
        "centre",
        "hip_edge",
    ] {
        near(
            name,
            edge(&moved, "front", name),
            edge(&plain, "front", name),
        );
    }
    near(
        "what turned of the side",
        edge(&moved, "front", "edge_moved"),
        50.0,
    );
    let rest = edge(&moved, "front", "side") + 50.0;
    near("the side", rest, edge(&plain, "front", "side"));
    let turned = |name: &str| apart(&moved, "front.bust_point", name);
    let before = |name: &str| apart(&plain, "front.bust_point", name);
    for name in [
        "front.underarm",
        "front.chest_point",
        "front.shoulder_point",
    ] {
        near(name, turned(name), before(name));
    }
}

/// Notches stand on the edges of old names, so far from their ends as before.
#[test]
fn the_notches_of_armhole_and_side_stand_where_they_stood() {
    let notches = |json: &Json| -> Vec<(String, String, f64)> {
        let front = pieces(json)
            .iter()
            .find(|piece| piece["name"] == "front")
            .unwrap();
        let mut all: Vec<_> = front["notches"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|notch| !notch["seam"].is_null())
            .map(|notch| {
                let text = |key: &str| notch[key].as_str().unwrap().to_owned();
                let along = notch["marks"][0]["along_mm"].as_f64().unwrap();
                // Counted from the end that no dart is cut into: of the side that is the hip.
                let along = if text("edge") == "side" {
                    edge(json, "front", "side") - along
                } else {
                    along
                };
                (text("seam"), text("edge"), along)
            })
            .collect();
        all.sort_by(|a, b| a.partial_cmp(b).unwrap());
        all
    };
    let plain = notches(&drawn_json(&garment("darted")));
    assert!(plain.len() >= 3, "{plain:?}");
    for name in ["transfer_dart, to the side", "split_dart"] {
        let moved = notches(&case("darted", name));
        assert_eq!(plain.len(), moved.len(), "{name}: {plain:?}\n{moved:?}");
        for (a, b) in plain.iter().zip(&moved) {
            assert_eq!((&a.0, &a.1), (&b.0, &b.1), "{name}");
            near(&format!("{name}, notch of {} on {}", a.0, a.1), b.2, a.2);
        }
    }
}

/// Two darts by one act: each is as wide as its own angle and leg, and the waist is closed.
#[test]
fn two_darts_are_moved_by_one_act() {
    let (plain, moved) = (
        drawn_json(&garment("skirt")),
        case("skirt", "transfer_dart, two"),
    );
    near(
        "first closed",
        apart(&moved, "back.dart_in_2", "back.dart_out_2"),
        0.0,
    );
    near(
        "second closed",
        apart(&moved, "back.dart_in_1", "back.dart_out_1"),
        0.0,
    );
    let sides = ["side", "edge_2_moved", "edge_moved"].map(|name| edge(&moved, "back", name));
    near("side", sides.iter().sum(), edge(&plain, "back", "side"));
    for name in ["waist_1", "waist_2", "waist_3", "hem", "centre"] {
        near(name, edge(&moved, "back", name), edge(&plain, "back", name));
    }
}
