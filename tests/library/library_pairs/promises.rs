//! What an act promises in figures, held against the drawing.

use crate::library_pairs::garment::{figure, point, points};
use serde_json::Value as Json;

/// Promises of the acts in a draft that its drawing does not keep.
pub fn broken(json: &Json, text: &str) -> Vec<String> {
    let mut broken = Vec::new();
    let mut holds = |what: &str, found: Option<f64>, wanted: f64| {
        if let Some(found) = found
            && (found - wanted).abs() > 0.02
        {
            broken.push(format!(
                "{what}: {found} mm, and {wanted} mm were asked for"
            ));
        }
    };
    let back = |name: &str| point(json, &format!("shirt.back.{name}"));
    // The back is as long as it says, and as was asked for.
    if let (Some(neck), Some(hem), Some(long)) = (
        back("cb_neck"),
        back("cb_hem"),
        figure(json, "shirt.back.finished_back_length"),
    ) {
        holds("back length", Some(neck.1 - hem.1), long);
        if text.contains("back_length 78cm") && !text.contains("open_neck") {
            let more = if text.contains("lengthen on shirt by 4cm") {
                40.0
            } else if text.contains("lengthen on shirt by (-15mm)") {
                -15.0
            } else {
                0.0
            };
            holds("back length asked for", Some(long), 780.0 + more);
        }
    }
    let sides = ["back", "front"].map(|piece| figure(json, &format!("shirt.{piece}.side")));
    if let ([Some(back), Some(front)], false) = (sides, text.contains("dart_to_side")) {
        holds("side seams", Some(back), front);
    }
    let apart = |a: &str, b: &str| {
        let (a, b) = (back(a)?, back(b)?);
        Some((a.0 - b.0).hypot(a.1 - b.1))
    };
    if text.contains("box_pleat on shirt") {
        let take = if text.contains("take 4cm") {
            40.0
        } else {
            60.0
        };
        holds("pleat", apart("pleat_top", "start_of_top"), take / 2.0);
        holds("pleat at the hem", apart("pleat_hem", "cb_hem"), take / 2.0);
    }
    if text.contains("knife_pleats") {
        holds("side pleat", apart("pleat_inner", "pleat_outer"), 25.0);
    }
    if text.contains("collar_size") || text.contains("neck_to_size on shirt for 42cm") {
        holds("collar size", figure(json, "shirt.half_neckline"), 210.0);
    }
    if text.contains("side_vents on shirt\n") {
        holds("vent", figure(json, "shirt.back.vent"), 80.0);
    }
    // What earlier acts checked holds on what stands: the balance of the armholes, the neckline's length.
    let shirt = |name: &str| figure(json, &format!("shirt.{name}"));
    if let (Some(behind), Some(before), Some(taken_out)) = (
        shirt("armhole_back"),
        shirt("armhole_front"),
        shirt("back.taken_out"),
    ) {
        let surplus = behind - before - taken_out;
        holds("armhole balance", Some(surplus), surplus.clamp(0.0, 15.0));
    }
    let necks = [
        shirt("yoke.neck").or(shirt("back.neck")),
        shirt("front.neck"),
        shirt("band.neck_part"),
    ];
    if let ([Some(behind), Some(before), on_band], Some(half)) = (necks, shirt("half_neckline")) {
        holds(
            "half neckline",
            Some(half),
            behind + before + on_band.unwrap_or(0.0),
        );
    }
    // What is folded under at the neck and the hem is what lies over it, turned over the first fold.
    for (fold, line, on) in [
        ("neck_fold", "neck", "neck_on"),
        ("hem_fold", "hem", "hem_on"),
    ] {
        let path = |name: &str| {
            let path = json["values"][format!("shirt.front.{name}")]["path"].as_str();
            path.map(points).unwrap_or_default()
        };
        let under = path(fold);
        let (over, beyond) = (path(line), path(on));
        if let (Some(axis), Some(start)) = (path("fold_1").first(), under.first()) {
            let first_fold = path("fold_2").first().map_or(f64::MAX, |next| next.0);
            holds("the fold begins at the stand's edge", Some(start.0), axis.0);
            for place in under.iter().filter(|place| place.0 <= first_fold + 0.01) {
                let mirrored = (2.0 * axis.0 - place.0, place.1);
                let off = [&over, &beyond]
                    .into_iter()
                    .map(|path| off_path(mirrored, path));
                let off = off.fold(f64::MAX, f64::min);
                holds(&format!("{fold} off {line} turned over"), Some(off), 0.0);
            }
        }
    }
    broken
}

/// How far a place lies off a path of straight parts.
fn off_path(place: (f64, f64), path: &[(f64, f64)]) -> f64 {
    let off = path.windows(2).map(|ends| {
        let [a, b] = [ends[0], ends[1]];
        let (x, y) = (b.0 - a.0, b.1 - a.1);
        let along = ((place.0 - a.0) * x + (place.1 - a.1) * y) / (x * x + y * y).max(1e-12);
        let along = along.clamp(0.0, 1.0);
        (place.0 - a.0 - along * x).hypot(place.1 - a.1 - along * y)
    });
    off.fold(f64::MAX, f64::min)
}
