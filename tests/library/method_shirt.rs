//! The whole shirt of the drafting method, `examples/method/shirt.draft`, held against every point, measure and curve
//! length of `tests/data/reference_body_a.json`: figures worked out once outside this program by 48-point quadrature.
//! There y points down the sheet; the program's points up.

use crate::example_drafts;

use example_drafts::{as_json, example};
use serde_json::{Map, Value as Json};

/// Points and lengths agree to this, in millimetres.
const DRAWN_TO: f64 = 0.01;

fn reference() -> Json {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/reference_body_a.json"
    );
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Every value whose full name ends on `name`.
fn called<'a>(values: &'a Map<String, Json>, name: &str) -> Vec<&'a Json> {
    let is_it = |full: &&String| full.rsplit('.').next() == Some(name);
    let found = values.keys().filter(is_it);
    found.map(|full| &values[full]).collect()
}

#[test]
fn every_figure_of_the_reference_comes_out() {
    let output = as_json(&example("method/shirt.draft", &[]));
    let values = output["values"].as_object().unwrap();
    let reference = reference();
    let mut off = Vec::new();
    for (name, point) in reference["points"].as_object().unwrap() {
        let (x, y) = (point[0].as_f64().unwrap(), -point[1].as_f64().unwrap());
        let near = |v: &&Json| {
            v["kind"] == "point"
                && (v["x"].as_f64().unwrap() - x).abs() <= DRAWN_TO
                && (v["y"].as_f64().unwrap() - y).abs() <= DRAWN_TO
        };
        if !called(values, name).iter().any(near) {
            off.push(format!("point {name}"));
        }
    }
    for (name, measure) in reference["measures"].as_object().unwrap() {
        let unit = ["mm", "deg", "mm2", "value"]
            .into_iter()
            .find(|unit| !measure[unit].is_null())
            .unwrap();
        let (wanted, within) = (
            measure[unit].as_f64().unwrap(),
            measure["within"].as_f64().unwrap(),
        );
        // The reference is rounded to four decimals.
        let near = |v: &&Json| {
            v[unit]
                .as_f64()
                .is_some_and(|found| (found - wanted).abs() <= within + 1e-4)
        };
        if !called(values, name).iter().any(near) {
            off.push(format!("measure {name}"));
        }
    }
    for (name, curve) in reference["curves"].as_object().unwrap() {
        let wanted = curve["length"].as_f64().unwrap();
        let near = |v: &&Json| {
            v["length_mm"]
                .as_f64()
                .is_some_and(|found| (found - wanted).abs() <= DRAWN_TO)
        };
        if !called(values, name).iter().any(near) {
            off.push(format!("curve {name}"));
        }
    }
    assert!(off.is_empty(), "{off:#?}");
}

#[test]
fn the_solved_lengths_follow_the_neck_and_the_armhole() {
    let deeper = vec!["cf_neck_drop=20mm".to_owned(), "scye_drop=30mm".to_owned()];
    let output = as_json(&example("method/shirt.draft", &deeper));
    let length = |name: &str| output["values"][name]["mm"].as_f64().unwrap();
    let neck = length("body.measured.half_neckline_cb_to_cf");
    assert!(neck > 205.0, "{neck}");
    for sewn in [
        "stand.stand_lower_edge_to_cf",
        "one_piece.one_sewn_edge",
        "mandarin.mandarin_sewn_edge",
    ] {
        assert!((length(sewn) - neck).abs() < 0.001, "{sewn}");
    }
    let ease = length("totals.cap_back") + length("totals.cap_front")
        - length("body.measured.armhole_total");
    assert!((ease - 8.0).abs() < 0.001, "{ease}");
}
