//! No figure that is none reaches a line: whatever figures a draft of straight and bent lines is given, each is told or all
//! that is written is finite.

use crate::limits::drawing::Run;
use oaktag_output::drawing::compose::compose;
use oaktag_output::{json, svg};

/// Lengths, some of them none, no length at all, or far too long.
const LENGTHS: [&str; 22] = [
    "0mm",
    "3cm",
    "-3cm",
    "0.0000001mm",
    "9999999mm",
    "10000001mm",
    "999999999999999999999999999999mm",
    "(1cm / 0)",
    "(1cm / (1 - 1))",
    "(0cm / 0)",
    "(1cm * 100000000000000)",
    "(3cm / 0.0000000000000001)",
    "(root of (0cm * 0cm))",
    "(root of (0cm * 1cm - 1cm * 1cm))",
    "(3cm * (root of -1))",
    "(3cm * (tangent of 90deg))",
    "(3cm / (cosine of 90deg))",
    "(3cm / (sine of 0deg))",
    "(3cm * (tangent of 89.9999999999deg))",
    "(3cm / (sine of 180deg))",
    "(9999999mm * 9999999 * 9999999 * 9999999 * 9999999)",
    "(1000000000000cm * 1cm / 1cm)",
];

/// What is drawn with one or two of them.
const DRAWN: [&str; 10] = [
    "line a = from origin to (origin right L up K)",
    "line a = from origin toward (L / 1cm * 1deg) below right for K",
    "curve a = from origin to (origin right L up K) leaving right arriving up",
    "curve a = from origin to (origin right L) leaving up for K arriving down for K",
    "curve a = from origin to (origin right 10cm) around (origin right L up K) with fullness 0.6",
    "curve a = from origin through (origin right L up K) to (origin right 20cm) leaving up arriving down",
    "curve a = parallel to (from origin to (origin right 10cm up 5cm) leaving right arriving up) by L toward left",
    "line a = extend (from origin to (origin right K)) by L",
    "line a = from origin to (pivot (origin right K) about (origin up L) by 30deg clockwise)",
    "line a = from origin to (swing K from origin onto (from (origin up L) toward right))",
];

#[test]
fn no_figure_that_is_none_reaches_a_path() {
    let (mut told, mut written) = (0, 0);
    for drawn in DRAWN {
        for (number, long) in LENGTHS.iter().enumerate() {
            for wide in [LENGTHS[1], LENGTHS[(number * 7 + 3) % LENGTHS.len()]] {
                let line = drawn.replace('L', long).replace('K', wide);
                let text = format!("unit cm\npanel back {{\n  {line}\n  point e = end of a\n}}\n");
                let (_, outcome) = Run::of(&text).drawn();
                if outcome.has_errors() {
                    told += 1;
                } else {
                    written += 1;
                }
                // What could be drawn is drawn, whatever was told.
                is_finite(&svg::of_drawing(&compose(&outcome.pattern)), &line);
                let data: serde_json::Value =
                    serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap();
                numbers_only(&data, &line);
            }
        }
    }
    assert!(told > 100 && written > 50, "{told} told, {written} written");
}

/// Every figure of every path and place.
fn is_finite(svg: &str, line: &str) {
    let page = roxmltree::Document::parse(svg).unwrap();
    for node in page.descendants() {
        for attribute in node.attributes() {
            if !matches!(
                attribute.name(),
                "d" | "x" | "y" | "width" | "height" | "viewBox" | "points" | "transform"
            ) {
                continue;
            }
            let parted = |c: char| !(c.is_alphanumeric() || matches!(c, '.' | '-' | '+'));
            for word in attribute
                .value()
                .split(parted)
                .filter(|word| !word.is_empty())
            {
                let lower = word.to_ascii_lowercase();
                assert!(
                    !lower.contains("nan") && !lower.contains("inf"),
                    "{line}: {word}"
                );
                let figure = word.trim_matches(|c: char| c.is_ascii_alphabetic());
                let read = figure.parse::<f64>();
                assert!(
                    figure.is_empty() || read.is_ok_and(f64::is_finite),
                    "{line}: {word}"
                );
            }
        }
    }
}

/// JSON has no word for what is no figure: serde_json writes `null`, which no measure of the schema may be.
fn numbers_only(value: &serde_json::Value, line: &str) {
    match value {
        serde_json::Value::Object(keys) => {
            for (key, value) in keys {
                let is_figure = matches!(
                    key.as_str(),
                    "x" | "y" | "mm" | "deg" | "mm2" | "value" | "length_mm"
                );
                assert!(!is_figure || !value.is_null(), "{line}: {key}");
                numbers_only(value, line);
            }
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| numbers_only(item, line)),
        serde_json::Value::String(text) => {
            assert!(
                !text.contains("NaN") && !text.contains("inf"),
                "{line}: {text}"
            );
        }
        _ => {}
    }
}
