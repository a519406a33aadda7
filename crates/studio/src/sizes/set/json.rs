//! A size set as JSON: every size's pattern, where its pieces lie on each other, the table by size and the rules derived. A
//! stable contract of its own, described by `sizes.schema.json` beside this file; a pattern in it holds to the pattern's.

use super::Set;
use super::laid::stacked;
use super::rules::{Rule, Steadiness};
use super::stack::Stack;
use super::table::{Row, unit_name};
use kurbo::Affine;
use oaktag_language::kind::Dimension;
use oaktag_output::json;
use oaktag_output::number::{AREA_DECIMALS, DEGREE_DECIMALS, MM_DECIMALS, rounded};
use serde::Serialize;
use std::borrow::Cow;

/// Number of the contract: raised when a key changes its meaning or goes, not when one is added.
pub(crate) const VERSION: u32 = 1;

/// The schema (JSON Schema 2020-12) that every output holds to.
pub const SCHEMA: &str = include_str!("sizes.schema.json");

#[derive(Serialize)]
struct Whole<'a, P> {
    format: Format,
    title: &'a str,
    base: &'a str,
    sizes: Vec<SizeOut<'a, P>>,
    nest: Vec<NestOut<'a>>,
    table: Vec<RowOut<'a>>,
    rules: Vec<RuleOut<'a>>,
}

#[derive(Serialize)]
struct Format {
    name: &'static str,
    version: u32,
}

#[derive(Serialize)]
struct SizeOut<'a, P> {
    name: &'a str,
    ok: bool,
    wrong: Vec<Cow<'a, str>>,
    pattern: P,
}

#[derive(Serialize)]
struct NestOut<'a> {
    piece: &'a str,
    stacked_on: String,
    sizes: Vec<LieOut<'a>>,
}

#[derive(Serialize)]
struct LieOut<'a> {
    size: &'a str,
    turned_deg: f64,
    dx_mm: f64,
    dy_mm: f64,
}

#[derive(Serialize)]
struct RowOut<'a> {
    group: &'static str,
    name: &'a str,
    unit: &'static str,
    values: Vec<Option<f64>>,
}

#[derive(Serialize)]
struct RuleOut<'a> {
    piece: &'a str,
    corner: &'a str,
    constant: bool,
    steps_mm: Vec<[f64; 2]>,
}

/// Writes a set as JSON text, ending with a newline.
///
/// # Errors
/// None that a set can cause; the encoder's own are passed on.
pub fn write(
    set: &Set,
    stacks: &[Stack],
    pieces: &[String],
    rows: &[Row],
    rules: &[Rule],
) -> Result<String, serde_json::Error> {
    let base = set.base();
    let whole = Whole {
        format: Format {
            name: "oaktag-sizes",
            version: VERSION,
        },
        title: base.map_or("", |base| &base.pattern.title),
        base: base.map_or("", |base| &base.name),
        sizes: sizes(set),
        nest: nest(set, stacks, pieces),
        table: rows.iter().map(row).collect(),
        rules: rules.iter().map(rule).collect(),
    };
    let mut text = serde_json::to_string_pretty(&whole)?;
    text.push('\n');
    Ok(text)
}

fn sizes(set: &Set) -> Vec<SizeOut<'_, impl Serialize + '_>> {
    set.sizes
        .iter()
        .map(|size| SizeOut {
            name: &size.name,
            ok: size.is_well(),
            wrong: size
                .told
                .iter()
                .filter(|told| told.is_error())
                .map(|told| told.message.in_unit(size.pattern.unit))
                .collect(),
            pattern: json::view(&size.pattern),
        })
        .collect()
}

fn nest<'a>(set: &'a Set, stacks: &[Stack], pieces: &[String]) -> Vec<NestOut<'a>> {
    let stacked = stacked(set, stacks, pieces);
    let one = |(at, place): (usize, Affine)| {
        let [cos, sin, _, _, dx, dy] = place.as_coeffs();
        Some(LieOut {
            size: &set.sizes.get(at)?.name,
            turned_deg: rounded(sin.atan2(cos).to_degrees(), DEGREE_DECIMALS),
            dx_mm: rounded(dx, MM_DECIMALS),
            dy_mm: rounded(dy, MM_DECIMALS),
        })
    };
    stacked
        .into_iter()
        .map(|stacked| NestOut {
            piece: &stacked.base.name,
            stacked_on: stacked.on,
            sizes: stacked
                .sizes
                .iter()
                .filter_map(|(at, _, place)| one((*at, *place)))
                .collect(),
        })
        .collect()
}

fn row(row: &Row) -> RowOut<'_> {
    let decimals = match row.dimension {
        Dimension::AREA => AREA_DECIMALS,
        Dimension::ANGLE => DEGREE_DECIMALS,
        _ => MM_DECIMALS,
    };
    RowOut {
        group: row.group.heading(),
        name: &row.name,
        unit: unit_name(row.dimension),
        values: row
            .values
            .iter()
            .map(|value| value.map(|value| rounded(value, decimals)))
            .collect(),
    }
}

fn rule(rule: &Rule) -> RuleOut<'_> {
    let steps = rule.steps();
    RuleOut {
        piece: &rule.piece,
        corner: &rule.corner,
        constant: matches!(rule.steadiness(), Steadiness::Constant(_)),
        steps_mm: steps
            .iter()
            .map(|step| [step.x, step.y].map(|mm| rounded(mm, MM_DECIMALS)))
            .collect(),
    }
}
