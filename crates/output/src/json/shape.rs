//! The shapes of the contract, key by key in the order written; `pattern.schema.json` describes them.

use serde::Serialize;
use serde::ser::SerializeMap;
use std::collections::BTreeSet;

#[derive(Serialize)]
pub(super) struct Whole<'a> {
    pub(super) format: Format,
    pub(super) title: &'a str,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) unfinished: bool,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    pub(super) not_drawn: &'a [String],
    pub(super) unit: &'static str,
    pub(super) issue: IssueOut<'a>,
    pub(super) measures: Keyed<MeasureOut<'a>>,
    pub(super) values: Keyed<NamedOut<'a>>,
    pub(super) pieces: Vec<PieceOut<'a>>,
    pub(super) seams: Vec<SeamOut<'a>>,
    pub(super) order: &'a [String],
    pub(super) checks: Vec<CheckOut<'a>>,
    pub(super) cloths: Vec<ClothOut<'a>>,
    pub(super) unwalked: Vec<UnwalkedOut<'a>>,
    pub(super) cautions: &'a [String],
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    pub(super) sides: &'a [String],
}

#[derive(Serialize)]
pub(super) struct IssueOut<'a> {
    pub(super) body: Option<&'a str>,
    pub(super) made_for: Option<&'a str>,
    pub(super) revision: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct Format {
    pub(super) name: &'static str,
    pub(super) version: u32,
}

/// An object whose keys stand in the order given; of a key given twice the last value counts.
pub(super) struct Keyed<T>(pub(super) Vec<(String, T)>);

impl<T: Serialize> Serialize for Keyed<T> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut seen = BTreeSet::new();
        let mut kept: Vec<&(String, T)> = self
            .0
            .iter()
            .rev()
            .filter(|(key, _)| seen.insert(key))
            .collect();
        kept.reverse();
        let mut map = serializer.serialize_map(Some(kept.len()))?;
        for (key, value) in kept {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}

#[derive(Serialize)]
pub(super) struct MeasureOut<'a> {
    pub(super) of_body: bool,
    pub(super) worked_out: bool,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) example: bool,
    #[serde(flatten)]
    pub(super) value: ValueOut,
    pub(super) text: &'a str,
}

#[derive(Serialize)]
pub(super) struct NamedOut<'a> {
    #[serde(flatten)]
    pub(super) value: ValueOut,
    pub(super) file: &'a str,
    pub(super) line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) step: Option<usize>,
}

/// A value by its kind; only the fields of that kind are written.
#[derive(Serialize, Default)]
pub(super) struct ValueOut {
    pub(super) kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) x: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) y: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) mm2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) value: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) length_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) endless: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) path: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) items: Option<Vec<ValueOut>>,
}

#[derive(Serialize)]
pub(super) struct PieceOut<'a> {
    pub(super) name: &'a str,
    pub(super) label: &'a str,
    pub(super) number: usize,
    pub(super) of: usize,
    pub(super) panel: &'a str,
    pub(super) cut: CutOut<'a>,
    pub(super) area_mm2: Option<f64>,
    pub(super) drawn_area_mm2: Option<f64>,
    pub(super) cut_area_mm2: Option<f64>,
    pub(super) edges: Vec<EdgeOut<'a>>,
    pub(super) sewing: Option<LineOut>,
    pub(super) cutting: Option<LineOut>,
    pub(super) cutting_holes: Vec<LineOut>,
    pub(super) grain: Option<LineOut>,
    pub(super) folds: Vec<FoldOut<'a>>,
    pub(super) mirror_line: Option<LineOut>,
    pub(super) corners: Vec<CornerOut<'a>>,
    pub(super) notches: Vec<NotchOut<'a>>,
    pub(super) darts: Vec<DartOut<'a>>,
    pub(super) marks: Vec<MarkOut<'a>>,
    pub(super) cautions: &'a [String],
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) unfinished: bool,
}

#[derive(Serialize)]
pub(super) struct CutOut<'a> {
    pub(super) count: u32,
    pub(super) alike: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) left: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) right: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) shown: Option<&'static str>,
    pub(super) fold: Option<&'a str>,
    pub(super) cloth: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct EdgeOut<'a> {
    pub(super) name: &'a str,
    pub(super) line: &'a str,
    pub(super) length_mm: f64,
    pub(super) path: String,
    pub(super) as_drawn: bool,
    pub(super) allowance_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) allowance_end_mm: Option<f64>,
    pub(super) on_fold: bool,
    pub(super) mirrored: bool,
    pub(super) finish: Option<&'a str>,
    pub(super) seams: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) dart: Option<usize>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) pleated: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) parts: Vec<PartOut>,
}

/// A part of an edge with an allowance of its own.
#[derive(Serialize)]
pub(super) struct PartOut {
    pub(super) from_mm: f64,
    pub(super) to_mm: f64,
    pub(super) allowance_mm: f64,
}

#[derive(Serialize)]
pub(super) struct DartOut<'a> {
    pub(super) a: [f64; 2],
    pub(super) b: [f64; 2],
    pub(super) apex: [f64; 2],
    pub(super) other_apex: Option<[f64; 2]>,
    pub(super) legs_mm: [f64; 2],
    pub(super) pressed: &'a str,
    pub(super) drills: Vec<[f64; 2]>,
    pub(super) sewn_mm: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct LineOut {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) length_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) endless: Option<bool>,
    pub(super) path: String,
}

#[derive(Serialize)]
pub(super) struct FoldOut<'a> {
    pub(super) name: &'a str,
    pub(super) onto: Option<&'a str>,
    #[serde(flatten)]
    pub(super) line: LineOut,
}

#[derive(Serialize)]
pub(super) struct CornerOut<'a> {
    pub(super) edges: [&'a str; 2],
    pub(super) treatment: &'static str,
}

#[derive(Serialize)]
pub(super) struct NotchOut<'a> {
    pub(super) form: &'static str,
    pub(super) edge: &'a str,
    pub(super) seam: Option<&'a str>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    pub(super) also: &'a [String],
    pub(super) number: Option<usize>,
    pub(super) marks: Vec<NotchMarkOut>,
}

#[derive(Serialize)]
pub(super) struct NotchMarkOut {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) along_mm: f64,
    pub(super) cut_x: f64,
    pub(super) cut_y: f64,
    pub(super) depth_mm: f64,
}

#[derive(Serialize)]
pub(super) struct MarkOut<'a> {
    pub(super) name: &'a str,
    pub(super) text: &'a str,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) drill: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) side: Option<&'static str>,
    #[serde(flatten)]
    pub(super) value: ValueOut,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) button: Option<ButtonOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) buttonhole_mm: Option<[[f64; 2]; 2]>,
}

#[derive(Serialize)]
pub(super) struct ButtonOut {
    pub(super) diameter_mm: f64,
    pub(super) thickness_mm: f64,
}

#[derive(Serialize)]
pub(super) struct SeamOut<'a> {
    pub(super) name: &'a str,
    pub(super) first: SideOut<'a>,
    pub(super) second: SideOut<'a>,
    pub(super) ease_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) sewn: Option<&'static str>,
    pub(super) wanted_mm: [f64; 2],
    pub(super) tolerance_mm: f64,
    pub(super) ok: bool,
    pub(super) decided: &'static str,
    pub(super) notches: Vec<SeamNotchOut>,
    pub(super) intervals: Vec<IntervalOut>,
    pub(super) places: Vec<PlaceOut>,
    pub(super) sections: Vec<SectionOut>,
    pub(super) eases: Vec<EaseOut<'a>>,
    pub(super) openings: Vec<OpeningOut<'a>>,
    pub(super) ends: Vec<EndOut<'a>>,
}

#[derive(Serialize)]
pub(super) struct PlaceOut {
    pub(super) first_mm: f64,
    pub(super) second_mm: f64,
    pub(super) how: &'static str,
}

#[derive(Serialize)]
pub(super) struct SectionOut {
    pub(super) first_from_mm: f64,
    pub(super) first_mm: f64,
    pub(super) second_from_mm: f64,
    pub(super) second_mm: f64,
    pub(super) least_mm: f64,
    pub(super) most_mm: f64,
    pub(super) open: bool,
    pub(super) ok: bool,
}

#[derive(Serialize)]
pub(super) struct EaseOut<'a> {
    pub(super) how: &'static str,
    pub(super) side: &'static str,
    pub(super) edges: &'a str,
    pub(super) spans_mm: Vec<[f64; 2]>,
    pub(super) least_mm: f64,
    pub(super) most_mm: f64,
}

#[derive(Serialize)]
pub(super) struct OpeningOut<'a> {
    pub(super) first_mm: [f64; 2],
    pub(super) second_mm: [f64; 2],
    pub(super) words: &'a str,
}

#[derive(Serialize)]
pub(super) struct EndOut<'a> {
    pub(super) pieces: [&'a str; 2],
    pub(super) edges: [&'a str; 2],
    pub(super) angle_deg: f64,
    pub(super) step_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) corner: Option<&'a str>,
    pub(super) ok: bool,
}

#[derive(Serialize)]
pub(super) struct SideOut<'a> {
    pub(super) length_mm: f64,
    pub(super) edges: Vec<SideEdgeOut<'a>>,
}

#[derive(Serialize)]
pub(super) struct SideEdgeOut<'a> {
    pub(super) line: &'a str,
    pub(super) piece: &'a str,
    pub(super) edge: &'a str,
    pub(super) after: &'static str,
    pub(super) mirrored: bool,
    pub(super) length_mm: f64,
    pub(super) from_mm: f64,
    pub(super) path: String,
}

#[derive(Serialize)]
pub(super) struct SeamNotchOut {
    pub(super) number: usize,
    pub(super) form: &'static str,
    pub(super) first_mm: Vec<f64>,
    pub(super) second_mm: Vec<f64>,
}

#[derive(Serialize)]
pub(super) struct IntervalOut {
    pub(super) first_mm: f64,
    pub(super) second_mm: f64,
    pub(super) ease_mm: f64,
}

#[derive(Serialize)]
pub(super) struct CheckOut<'a> {
    pub(super) text: &'a str,
    pub(super) measured: &'a str,
    pub(super) wanted: &'a str,
    pub(super) ok: bool,
    pub(super) of: &'a str,
    pub(super) stands: bool,
    pub(super) redrawn: Vec<AnewOut<'a>>,
}

#[derive(Serialize)]
pub(super) struct AnewOut<'a> {
    pub(super) name: &'a str,
    pub(super) by: &'a str,
    pub(super) gone: bool,
}

#[derive(Serialize)]
pub(super) struct ClothOut<'a> {
    pub(super) name: &'a str,
    pub(super) label: &'a str,
    pub(super) width_mm: Option<f64>,
    pub(super) thickness_mm: Option<f64>,
    pub(super) shrinkage: [f64; 2],
    pub(super) nap: bool,
    pub(super) stripe_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) plaid_mm: Option<f64>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) one_way: bool,
}

#[derive(Serialize)]
pub(super) struct UnwalkedOut<'a> {
    pub(super) piece: &'a str,
    pub(super) edge: &'a str,
}
