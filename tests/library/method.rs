//! The worked example of the drafting method, said in the language in `examples/method`, held against figures that were
//! worked out once outside this program: `tests/data/reference_body_a.json`, by 48-point quadrature, confirmed against
//! polylines of 20,000 chords to 0.0001 mm. There y points down the sheet; the program's points up.

use crate::example_drafts;

use example_drafts::as_json;
use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveNearest, PathSeg, Point};
use oaktag_language::draft::Outcome;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};

/// Points agree to this, in millimetres: what is drawn is drawn to 0.01 (common practice asks for less).
const DRAWN_TO: f64 = 0.01;

/// What of the reference belongs to the sleeve, its cuff, the collars and the pocket, which the body does not draw.
const OTHER_PARTS: &[&str] = &[
    // Sleeve and cuff.
    "T",
    "SU_b",
    "SU_f",
    "SH_b",
    "SH_f",
    "slit_0",
    "slit_1",
    "pl1_a",
    "pl1_b",
    "pl2_a",
    "pl2_b",
    "cap_b1",
    "cap_b2",
    "cap_f",
    "cap_yoke_b",
    "cap_yoke_f",
    "capB",
    "capF",
    "seamB",
    "seamF",
    "cap_height",
    "sleeve_width_back_half",
    "sleeve_width_front_half",
    "sleeve_width_at_underarm",
    "cuff_closed",
    "cuff_lap",
    "cuff_length",
    "sleeve_hem_width",
    "sleeve_length_without_cuff",
    "sleeve_seam_back",
    "sleeve_seam_front",
    "cap_back_greatest_round",
    "cap_back_greatest_hollow",
    "cap_front_greatest_hollow",
    "cap_front_greatest_round",
    "cap_back",
    "cap_front",
    "cap_ease",
    "cap_crown_to_back_yoke_seam",
    "cap_crown_to_front_yoke_seam",
    "area_sleeve",
    // Collar stand and fall.
    "c_CB",
    "c_CF",
    "c_end",
    "c_CBt",
    "c_CFt",
    "c_corner",
    "c_shoulder",
    "c_yokeseam",
    "stand_low",
    "stand_top",
    "stand_end",
    "stand_solved_cb_cf_run",
    "stand_lower_edge_to_cf",
    "stand_lower_edge_total",
    "stand_upper_edge_cb_to_cf",
    "stand_angle_at_cf",
    "area_stand_half",
    "fall_CB",
    "fall_front",
    "fall_CBo",
    "fall_point",
    "fall_sew",
    "fall_out",
    "fall_end",
    "fall_solved_run",
    "fall_sewn_edge",
    "fall_outer_edge",
    "area_fall_half",
    // One-piece, mandarin and flat collar.
    "one_CB",
    "one_front",
    "one_CBo",
    "one_point",
    "one_sew",
    "one_out",
    "one_end",
    "one_solved_run",
    "one_sewn_edge",
    "one_outer_edge",
    "m_CF",
    "m_CBt",
    "m_CFt",
    "mandarin_solved_run",
    "mandarin_sewn_edge",
    "mandarin_top_edge",
    "fl_CF",
    "fl_sf",
    "fl_CBo",
    "fl_CFo",
    "fl_sho",
    "flat_collar_overlap_angle",
    "flat_collar_neck_edge",
    // Pocket.
    "pk_in",
    "pk_out",
    "pocket_width",
    "pocket_depth",
];

/// Draws the body with settings as typed after `--set`.
fn drawn(set: &[String]) -> Outcome {
    example_drafts::example("method/body.draft", set)
}

fn reference() -> Json {
    let text = include_str!("../data/reference_body_a.json");
    serde_json::from_str(text).unwrap()
}

/// All values under the last part of their names.
fn by_last_name(output: &Json) -> BTreeMap<String, Vec<(String, Json)>> {
    let mut found: BTreeMap<String, Vec<(String, Json)>> = BTreeMap::new();
    for (full, value) in output["values"].as_object().unwrap() {
        let last = full.rsplit('.').next().unwrap();
        found
            .entry(last.to_owned())
            .or_default()
            .push((full.clone(), value.clone()));
    }
    found
}

/// Compares one kind of thing in the reference with all values of those names, and gives the names that no value has.
fn compare(
    kind: &str,
    output: &Json,
    wrong: &dyn Fn(&Json, &Json) -> Option<String>,
) -> BTreeSet<String> {
    let values = by_last_name(output);
    let (mut missing, mut told) = (BTreeSet::new(), Vec::new());
    for (name, wanted) in reference()[kind].as_object().unwrap() {
        let Some(same_name) = values.get(name) else {
            missing.insert(name.clone());
            continue;
        };
        let faults = same_name
            .iter()
            .filter_map(|(full, value)| Some(format!("{full}: {}", wrong(value, wanted)?)));
        told.extend(faults);
    }
    assert!(
        told.is_empty(),
        "{kind} differ from the reference:\n{}",
        told.join("\n")
    );
    missing
}

fn wrong_point(value: &Json, wanted: &Json) -> Option<String> {
    let found = Point::new(value["x"].as_f64()?, value["y"].as_f64()?);
    let wanted = sheet_point(wanted);
    ((found - wanted).hypot() > DRAWN_TO).then(|| format!("{found:?}, wanted {wanted:?}"))
}

/// A point of the reference, turned to y up.
fn sheet_point(pair: &Json) -> Point {
    Point::new(pair[0].as_f64().unwrap(), -pair[1].as_f64().unwrap())
}

fn wrong_measure(value: &Json, wanted: &Json) -> Option<String> {
    let within = wanted["within"].as_f64().unwrap();
    let unit = ["mm", "deg", "mm2", "value"]
        .into_iter()
        .find(|unit| !wanted[unit].is_null())
        .unwrap();
    let wanted = wanted[unit].as_f64().unwrap();
    match value[unit].as_f64() {
        Some(found) if (found - wanted).abs() <= within => None,
        found => Some(format!("{found:?} {unit}, wanted {wanted} within {within}")),
    }
}

/// As point sets and by length: the two may be cut into segments differently, and drawn either way round.
fn wrong_curve(value: &Json, wanted: &Json) -> Option<String> {
    let length = wanted["length"].as_f64().unwrap();
    let found_length = value["length_mm"].as_f64()?;
    if (found_length - length).abs() > DRAWN_TO {
        return Some(format!("{found_length} long, wanted {length}"));
    }
    let found: Vec<PathSeg> = BezPath::from_svg(value["path"].as_str()?)
        .unwrap()
        .segments()
        .collect();
    let segments = wanted["segments"].as_array().unwrap();
    let wanted: Vec<PathSeg> = segments
        .iter()
        .map(|s| {
            CubicBez::new(
                sheet_point(&s[0]),
                sheet_point(&s[1]),
                sheet_point(&s[2]),
                sheet_point(&s[3]),
            )
            .into()
        })
        .collect();
    let apart = farthest(&found, &wanted).max(farthest(&wanted, &found));
    (apart > DRAWN_TO).then(|| format!("{apart} apart"))
}

/// The farthest that samples of one path lie from another, in millimetres.
fn farthest(from: &[PathSeg], to: &[PathSeg]) -> f64 {
    const EACH: u32 = 24;
    let samples = from
        .iter()
        .flat_map(|seg| (0..=EACH).map(|n| seg.eval(f64::from(n) / f64::from(EACH))));
    let off = |p: Point| {
        to.iter()
            .map(|seg| seg.nearest(p, 1e-6).distance_sq)
            .fold(f64::INFINITY, f64::min)
            .sqrt()
    };
    samples.map(off).fold(0.0, f64::max)
}

#[test]
fn the_body_comes_out_as_worked_out() {
    let outcome = drawn(&[]);
    assert!(outcome.diagnostics.is_empty(), "{:#?}", outcome.diagnostics);
    let output = as_json(&outcome);
    let mut missing = compare("points", &output, &wrong_point);
    missing.extend(compare("measures", &output, &wrong_measure));
    missing.extend(compare("curves", &output, &wrong_curve));
    let others: BTreeSet<String> = OTHER_PARTS.iter().map(|&name| name.to_owned()).collect();
    assert_eq!(missing, others);
}

#[test]
fn it_is_drawn_for_the_body_and_the_design_of_the_reference() {
    let (output, reference) = (as_json(&drawn(&[])), reference());
    let plain = |value: &Json| {
        ["mm", "deg", "value"]
            .into_iter()
            .find_map(|unit| value[unit].as_f64())
    };
    let mut seen = 0;
    for (full, used) in output["measures"].as_object().unwrap() {
        let name = full.rsplit('.').next().unwrap();
        let wanted = match used["of_body"].as_bool().unwrap() {
            true => reference["body"][name].as_f64(),
            false => reference["design"][name]["value"].as_f64(),
        };
        assert_eq!(
            plain(used),
            Some(wanted.unwrap_or_else(|| panic!("{name} is not in the reference"))),
            "{name}"
        );
        seen += 1;
    }
    // Fifteen measures; the ease and fullness of the block, the share, and the shirt's own.
    assert_eq!(seen, 15 + 16 + 1 + 20);
}

#[test]
fn a_larger_measure_moves_the_lines_and_every_seam_still_closes() {
    let as_drafted = as_json(&drawn(&[]));
    let measures = as_drafted["measures"].as_object().unwrap();
    for (name, used) in measures.iter().filter(|(_, used)| used["of_body"] == true) {
        let raised = match (used["mm"].as_f64(), used["deg"].as_f64()) {
            (Some(mm), _) => format!("{name}={:.4}mm", mm * 1.03),
            (None, Some(degrees)) => format!("{name}={:.4}deg", degrees * 1.03),
            (None, None) => panic!("{name} is neither a length nor an angle"),
        };
        let outcome = drawn(std::slice::from_ref(&raised));
        let output = as_json(&outcome);
        let (before, after) = (
            as_drafted["values"].as_object().unwrap(),
            output["values"].as_object().unwrap(),
        );
        // A longer front takes more buttons; all else has the names it had.
        let lasting = |name: &&String| !name.starts_with("front.button_");
        assert!(
            before
                .keys()
                .filter(lasting)
                .eq(after.keys().filter(lasting)),
            "{raised}: something was not drawn"
        );
        assert!(
            before.values().ne(after.values()),
            "{raised}: nothing moved"
        );
        assert_eq!(outcome.pattern.seams.len(), 3);
        for seam in &outcome.pattern.seams {
            assert!(
                seam.ok && seam.first.length > 50.0,
                "{raised}: seam {} does not fit",
                seam.name
            );
        }
        for piece in &outcome.pattern.pieces {
            assert!(
                piece.sewing.is_some(),
                "{raised}: piece {} does not close",
                piece.name
            );
        }
        // A longer back or front shifts the balance of the armholes: the check says so, and nothing else is wrong.
        for told in &outcome.diagnostics {
            assert_eq!(told.code, Code::CheckFails, "{raised}: {told:#?}");
            assert!(
                told.message.in_unit(MM).contains("armhole balance")
                    && told.message.in_unit(MM).contains("found"),
                "{}",
                told.message.in_unit(MM)
            );
            assert!(
                name.ends_with("waist_length"),
                "{raised}: {}",
                told.message.in_unit(MM)
            );
        }
    }
}
