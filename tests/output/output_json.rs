//! The JSON held against its schema (JSON Schema 2020-12, by a validator that is not ours) and read back.

use crate::pattern_fixture;

use kurbo::{BezPath, ParamCurveArclen, Shape};
use oaktag_language::pattern::build;
use oaktag_language::pattern::spec::{Drawn, NamedValue, Value};
use oaktag_output::json;
use serde_json::Value as Json;

fn written(drawn: &Drawn) -> Json {
    serde_json::from_str(&json::write(&build(drawn).0).unwrap()).unwrap()
}

fn faults(instance: &Json) -> Vec<String> {
    let schema: Json = serde_json::from_str(json::SCHEMA).unwrap();
    let (mut schemas, mut compiler) = (boon::Schemas::new(), boon::Compiler::new());
    compiler.set_default_draft(boon::Draft::V2020_12);
    compiler
        .add_resource("pattern.schema.json", schema)
        .unwrap();
    let number = compiler
        .compile("pattern.schema.json", &mut schemas)
        .unwrap();
    match schemas.validate(instance, number) {
        Ok(()) => Vec::new(),
        Err(error) => error.to_string().lines().map(str::to_owned).collect(),
    }
}

/// Every kind of value, with what is hard to write.
fn hard_values() -> Vec<NamedValue> {
    let line = oaktag_geometry::path::Path::endless(
        kurbo::Point::new(-0.0, 1e-9),
        kurbo::Vec2::new(1.0, 0.0),
    )
    .unwrap();
    let all = [
        Value::Line(line),
        Value::Number(f64::NAN),
        Value::Length(-0.00001),
        Value::Area(1e300),
        Value::Answer(true),
        Value::Text("<b> & \"quoted\" 😀 שלום \u{1}".to_owned()),
        Value::Direction(kurbo::Vec2::new(0.0, -1.0)),
        Value::List(vec![Value::Answer(false), Value::List(vec![])]),
    ];
    let named = |(n, value)| NamedValue {
        name: format!("hard.value_{n}"),
        value,
        file: "hard \"file\".draft".to_owned(),
        line: 1,
        step: None,
    };
    all.into_iter().enumerate().map(named).collect()
}

#[test]
fn the_schema_is_a_schema() {
    let schema: Json = serde_json::from_str(json::SCHEMA).unwrap();
    let (mut schemas, mut compiler) = (boon::Schemas::new(), boon::Compiler::new());
    compiler.set_default_draft(boon::Draft::V2020_12);
    compiler
        .add_resource("pattern.schema.json", schema)
        .unwrap();
    // Compiling holds the schema against the meta-schema of its draft.
    compiler
        .compile("pattern.schema.json", &mut schemas)
        .unwrap();
}

#[test]
fn a_shirt_holds_to_the_schema() {
    let mut drawn = pattern_fixture::shirt();
    drawn.values.extend(hard_values());
    let found = faults(&written(&drawn));
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_draft_with_nothing_in_it_holds_to_the_schema() {
    assert!(faults(&written(&Drawn::default())).is_empty());
}

/// A schema that lets anything pass proves nothing: each of these must be refused.
#[test]
fn the_schema_refuses_what_is_wrong() {
    let good = written(&pattern_fixture::shirt());
    let spoilt: [(&str, Json); 9] = [
        ("/format/version", Json::from(2)),
        ("/values/back.underarm/x", Json::Null),
        ("/values/back.underarm/kind", Json::from("spot")),
        ("/values/back.dart/deg", Json::from("6")),
        ("/pieces/0/edges/0/path", Json::from("M0,0 Q1,1 2,2")),
        ("/pieces/0/sewing", Json::from("M0 0")),
        ("/seams/0/first/edges", Json::Array(Vec::new())),
        ("/pieces/0/notches/0/form", Json::from("round")),
        ("/unit", Json::from("ell")),
    ];
    for (at, wrong) in spoilt {
        let mut instance = good.clone();
        *instance.pointer_mut(at).unwrap_or_else(|| panic!("{at}")) = wrong;
        assert!(!faults(&instance).is_empty(), "{at}");
    }
    for at in ["/values/back.underarm", "/pieces/0", "/seams/0", "/format"] {
        let mut instance = good.clone();
        let object = instance.pointer_mut(at).unwrap().as_object_mut().unwrap();
        object.insert("surprise".to_owned(), Json::from(1));
        assert!(!faults(&instance).is_empty(), "{at}");
    }
}

/// SVG path data is read by kurbo's parser; the lengths written beside it must be those of the paths.
#[test]
fn lengths_are_those_of_the_paths_beside_them() {
    let whole = written(&pattern_fixture::shirt());
    let mut seen = 0;
    let mut check = |object: &Json| {
        let (Some(path), Some(length)) = (object["path"].as_str(), object["length_mm"].as_f64())
        else {
            return;
        };
        let read: f64 = BezPath::from_svg(path)
            .unwrap()
            .segments()
            .map(|seg| seg.arclen(1e-9))
            .sum();
        assert!(
            (read - length).abs() < 1e-3,
            "{read} against {length}: {path}"
        );
        seen += 1;
    };
    whole["values"]
        .as_object()
        .unwrap()
        .values()
        .for_each(&mut check);
    for piece in whole["pieces"].as_array().unwrap() {
        piece["edges"]
            .as_array()
            .unwrap()
            .iter()
            .for_each(&mut check);
        check(&piece["sewing"]);
        check(&piece["cutting"]);
    }
    assert!(seen > 60, "{seen}");
}

/// y is up: the area of an outline that runs anticlockwise is positive, and equals the one written (Green's theorem, by
/// kurbo).
#[test]
fn outlines_run_anticlockwise_with_y_up() {
    let whole = written(&pattern_fixture::shirt());
    for piece in whole["pieces"].as_array().unwrap() {
        for (path, area) in [("sewing", "drawn_area_mm2"), ("cutting", "cut_area_mm2")] {
            let read = BezPath::from_svg(piece[path]["path"].as_str().unwrap())
                .unwrap()
                .area();
            let wanted = piece[area].as_f64().unwrap();
            assert!(
                read > 0.0 && (read - wanted).abs() < 0.5,
                "{read} against {wanted}"
            );
        }
    }
    let waist = &whole["values"]["back.cb_waist"];
    assert_eq!(waist["y"].as_f64(), Some(-410.0));
}

#[test]
fn the_same_pattern_gives_the_same_bytes() {
    let drawn = pattern_fixture::shirt();
    let once = json::write(&build(&drawn).0).unwrap();
    assert_eq!(once, json::write(&build(&drawn).0).unwrap());
    assert!(!once.contains("-0.0,") && !once.contains("NaN") && !once.contains("null.0"));
    let keys: Vec<&str> = once
        .lines()
        .filter_map(|line| line.strip_prefix("  \""))
        .collect();
    let order: Vec<&str> = keys
        .iter()
        .filter_map(|line| line.split('"').next())
        .collect();
    let wanted = [
        "format", "title", "unit", "issue", "measures", "values", "pieces", "seams", "order",
        "checks", "cloths", "unwalked", "cautions",
    ];
    assert_eq!(order, wanted);
}

/// What the schema says of a seam's ease and of where a notch stands.
#[test]
fn ease_is_what_the_first_side_has_more_and_a_notch_stands_where_it_says() {
    let whole = written(&pattern_fixture::shirt());
    let figure = |at: &Json, key: &str| at[key].as_f64().unwrap_or_else(|| panic!("{key}: {at}"));
    let mut eased = 0;
    for seam in whole["seams"].as_array().unwrap() {
        let by = figure(&seam["first"], "length_mm") - figure(&seam["second"], "length_mm");
        assert!((figure(seam, "ease_mm") - by).abs() < 2e-4, "{seam}");
        for interval in seam["intervals"].as_array().unwrap() {
            let by = figure(interval, "first_mm") - figure(interval, "second_mm");
            assert!(
                (figure(interval, "ease_mm") - by).abs() < 2e-4,
                "{interval}"
            );
        }
        eased += usize::from(by.abs() > 1.0);
    }
    assert!(eased > 0);
    let mut stood = 0;
    for piece in whole["pieces"].as_array().unwrap() {
        for notch in piece["notches"].as_array().unwrap() {
            let edges = piece["edges"].as_array().unwrap();
            let edge = edges
                .iter()
                .find(|edge| edge["name"] == notch["edge"])
                .unwrap();
            let line = oaktag_geometry::path::Path::from_segs(
                BezPath::from_svg(edge["path"].as_str().unwrap())
                    .unwrap()
                    .segments()
                    .collect(),
            )
            .unwrap();
            for mark in notch["marks"].as_array().unwrap() {
                let at = line.point_at(figure(mark, "along_mm")).unwrap();
                let there = kurbo::Point::new(figure(mark, "x"), figure(mark, "y"));
                assert!((at - there).hypot() < 0.01, "{}: {mark}", piece["name"]);
                stood += 1;
            }
        }
    }
    assert!(stood > 5, "{stood}");
}
