//! Cut lines as a strict reader of polygons takes them: no point twice, no piece of nothing, no line across another.

use crate::honest::drawing::Run;
use geo::{LineString, Polygon, Validation};
use kurbo::{BezPath, PathEl};
use std::path::Path;

/// Every draft of the examples and of the library's page that draws pieces.
fn drafts() -> Vec<(String, Run)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = Vec::new();
    for folder in ["examples", "examples/method", "stdlib/examples"] {
        let folder = root.join(folder);
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "draft") {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                let text = std::fs::read_to_string(&path).unwrap();
                all.push((name.clone(), Run::of(&text).called(&name).within(&folder)));
            }
        }
    }
    all
}

/// The points of a ring as it is written, curves in chords.
fn ring(data: &str) -> LineString {
    let path = BezPath::from_svg(data).unwrap();
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut last = None;
    for element in path.elements() {
        if let (Some(last), Some(end)) = (last, element.end_point()) {
            assert_ne!(last, end, "a piece of nothing in {data}");
        }
        last = element.end_point().or(last);
    }
    kurbo::flatten(path, 0.01, |element| {
        let far = |p: kurbo::Point| {
            let last = points.last();
            last.is_none_or(|last: &(f64, f64)| (last.0 - p.x).hypot(last.1 - p.y) > 1e-9)
        };
        if let PathEl::MoveTo(p) | PathEl::LineTo(p) = element
            && far(p)
        {
            points.push((p.x, p.y));
        }
    });
    LineString::from(points)
}

#[test]
fn every_cut_line_is_a_valid_polygon() {
    let mut rings = 0;
    for (name, run) in drafts() {
        let json = oaktag_output::json::write(&run.drawn().1.pattern);
        let json: serde_json::Value = serde_json::from_str(&json.unwrap()).unwrap();
        for shapes in json["pieces"].as_array().unwrap() {
            let piece = &shapes["name"];
            for line in ["cutting", "sewing"] {
                let Some(data) = shapes[line]["path"].as_str() else {
                    continue;
                };
                let mut ring = ring(data);
                ring.close();
                let faults = Polygon::new(ring, Vec::new()).validation_errors();
                assert!(
                    faults.is_empty(),
                    "{name}, {piece}, {line}: {faults:?} in {data}"
                );
                rings += 1;
            }
        }
    }
    assert!(rings > 200, "{rings} rings");
}
