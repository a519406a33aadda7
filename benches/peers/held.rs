//! Holding what the hand and the script have drawn against what the program has.

use super::ferry_kurbo::Ferry;
use super::ferry_rhai::NAMES;
use kurbo::{CubicBez, ParamCurve, PathSeg, Point};
use oaktag_geometry::path::{Path, PathFault};
use oaktag_language::pattern::spec::{Drawn, Value};
use std::collections::BTreeMap;
use std::error::Error;

/// What the program has drawn, by full name.
pub struct Drawing<'a>(BTreeMap<&'a str, &'a Value>);

impl<'a> Drawing<'a> {
    pub fn of(drawn: &'a Drawn) -> Self {
        let named = drawn.values.iter();
        Self(
            named
                .map(|value| (value.name.as_str(), &value.value))
                .collect(),
        )
    }

    fn value(&self, name: &str) -> Result<&'a Value, Box<dyn Error>> {
        let known = || self.0.keys().copied().collect::<Vec<_>>().join(" ");
        let found = self.0.get(name).copied();
        found.ok_or_else(|| format!("the program has no `{name}` among {}", known()).into())
    }

    fn path(&self, name: &str) -> Result<&'a Path, Box<dyn Error>> {
        match self.value(name)? {
            Value::Line(path) | Value::Curve(path) => Ok(path),
            other => Err(format!("`{name}` is no line: {other:?}").into()),
        }
    }

    /// A point; `end of` a line and `last of` a list are points, too.
    fn point(&self, name: &str) -> Result<Point, Box<dyn Error>> {
        if let Some(line) = name.strip_prefix("end of ") {
            return Ok(self.path(line)?.end().map_err(said)?);
        }
        let value = match name.strip_prefix("last of ") {
            Some(list) => match self.value(list)? {
                Value::List(items) => items.last().ok_or("an empty list")?,
                other => other,
            },
            None => self.value(name)?,
        };
        match value {
            Value::Point(point) => Ok(*point),
            other => Err(format!("`{name}` is no point: {other:?}").into()),
        }
    }
}

/// Holds every point and curve of the hand; how many of each.
pub fn hand(drawing: &Drawing, ferry: &Ferry, same: f64) -> Result<(usize, usize), Box<dyn Error>> {
    if ferry.holds.contains(&false) {
        return Err(format!("by hand not every check holds: {:?}", ferry.holds).into());
    }
    let (points, curves) = (points(ferry), curves(ferry));
    for (name, point) in &points {
        near(name, drawing.point(name)?, *point, same)?;
    }
    let figures = [
        ("house.front.neck_depth", ferry.house_front.neck_depth),
        ("back_armhole", ferry.front.back_armhole),
    ];
    for (name, figure) in figures {
        match drawing.value(name)? {
            Value::Length(wanted) if (wanted - figure).abs() <= same => {}
            other => return Err(format!("{name} is {figure}, the program's {other:?}").into()),
        }
    }
    for (name, segs) in &curves {
        along(name, drawing.path(name)?, segs, same)?;
    }
    Ok((points.len(), curves.len()))
}

/// Holds every point of the script; how many are as sharp as the hand's, and how many as a fitted line is.
pub fn script(
    drawing: &Drawing,
    told: &[rhai::Dynamic],
    same: f64,
    fitted: f64,
) -> Result<(usize, usize), Box<dyn Error>> {
    let Some((holds, figures)) = told.split_first() else {
        return Err("the script gave nothing".into());
    };
    if holds.as_bool() != Ok(true) {
        return Err("in the script not every check holds".into());
    }
    let figures: Vec<f64> = figures
        .iter()
        .map(|figure| figure.as_float())
        .collect::<Result<_, _>>()?;
    let (mut sharp, mut near_enough) = (0, 0);
    for (name, pair) in NAMES.iter().zip(figures.chunks(2)) {
        let [x, y] = pair else { continue };
        let point = Point::new(*x, *y);
        let wanted = drawing.point(name)?;
        if near(name, wanted, point, same).is_ok() {
            sharp += 1;
        } else {
            near(name, wanted, point, fitted)?;
            near_enough += 1;
        }
    }
    Ok((sharp, near_enough))
}

fn near(name: &str, wanted: Point, found: Point, same: f64) -> Result<(), String> {
    let off = (wanted - found).hypot();
    if off <= same {
        return Ok(());
    }
    Err(format!(
        "{name} is {found}, the program's {wanted}: {off} mm off"
    ))
}

fn said(fault: PathFault) -> String {
    format!("{fault:?}")
}

/// Holds a row of segments: those of straight lines by their ends, curves by five places, turned round where need be.
fn along(name: &str, path: &Path, segs: &[PathSeg], same: f64) -> Result<(), Box<dyn Error>> {
    let wanted = path.segs();
    if wanted.len() != segs.len() {
        let (found, wanted) = (segs.len(), wanted.len());
        return Err(format!("{name} has {found} segments, the program's {wanted}").into());
    }
    let mut row = segs.to_vec();
    let start = path.start().map_err(said)?;
    let ends = (
        row.first().map(|seg| seg.start()),
        row.last().map(|seg| seg.end()),
    );
    if let (Some(first), Some(last)) = ends
        && (last - start).hypot() < (first - start).hypot()
    {
        row = row.iter().rev().map(|seg| seg.reverse()).collect();
    }
    for (seg, wanted) in row.iter().zip(wanted) {
        for n in 0..=4 {
            let t = f64::from(n) / 4.0;
            near(name, wanted.eval(t), seg.eval(t), same)?;
        }
    }
    Ok(())
}

fn points(ferry: &Ferry) -> Vec<(&'static str, Point)> {
    let (hb, hf) = (&ferry.house_back, &ferry.house_front);
    let (b, f) = (&ferry.back, &ferry.front);
    let mut all = vec![
        ("house.back.cb_scye", hb.cb_scye),
        ("house.back.cb_waist", hb.cb_waist),
        ("house.back.cb_hip", hb.cb_hip),
        ("house.back.neck_point", hb.neck_point),
        ("house.back.closed_shoulder_point", hb.closed_shoulder_point),
        ("house.back.neck_corner", hb.neck_corner),
        ("house.back.blade_point", hb.blade_point),
        ("house.back.dart_in", hb.dart_in),
        ("house.back.dart_out", hb.dart_out),
        ("house.back.shoulder_point", hb.shoulder_point),
        ("house.back.armhole_mid", hb.armhole_mid),
        ("house.back.underarm", hb.underarm),
        ("house.back.hip_side", hb.hip_side),
        ("house.front.cf_base", hf.cf_base),
        ("house.front.cf_scye", hf.cf_scye),
        ("house.front.cf_hip", hf.cf_hip),
        ("house.front.neck_point", hf.neck_point),
        (
            "house.front.closed_shoulder_point",
            hf.closed_shoulder_point,
        ),
        ("house.front.cf_neck", hf.cf_neck),
        ("house.front.neck_corner", hf.neck_corner),
        ("house.front.bust_point", hf.bust_point),
        ("house.front.closed_chest_point", hf.closed_chest_point),
        ("house.front.dart_in", hf.dart_in),
        ("house.front.dart_out", hf.dart_out),
        ("house.front.shoulder_point", hf.shoulder_point),
        ("house.front.chest_point", hf.chest_point),
        ("house.front.hip_side", hf.hip_side),
    ];
    all.extend([
        ("back.cb_neck", b.cb_neck),
        ("back.shoulder_point", b.shoulder_point),
        ("back.neck_point", b.neck_point),
        ("back.underarm", b.underarm),
        ("back.armhole_mid", b.armhole_mid),
        ("back.waist_side", b.waist_side),
        ("back.hip_side", b.hip_side),
        ("back.cb_hem", b.cb_hem),
        ("back.side_hem", b.side_hem),
        ("back.yoke_centre", b.yoke_centre),
        ("back.yoke_end", b.yoke_end),
        ("back.top_end", b.top_end),
        ("back.pleat_top", b.pleat_top),
        ("back.pleat_hem", b.pleat_hem),
        ("front.neck_point", f.neck_point),
        ("front.cf_neck", f.cf_neck),
        ("front.shoulder_point", f.shoulder_point),
        ("front.turned_underarm", f.turned_underarm),
        ("front.cf_scye", f.cf_scye),
        ("front.underarm", f.underarm),
        ("front.armhole_mid", f.armhole_mid),
        ("front.waist_side", f.waist_side),
        ("front.side_hem", f.side_hem),
        ("front.cf_hem", f.cf_hem),
        ("front.seam_neck", f.seam_neck),
        ("front.seam_armhole", f.seam_armhole),
    ]);
    all.extend(
        f.buttons
            .last()
            .map(|last| ("last of front.buttons", *last)),
    );
    all
}

fn curves(ferry: &Ferry) -> Vec<(&'static str, Vec<PathSeg>)> {
    let cubics = |row: &[CubicBez]| row.iter().copied().map(PathSeg::Cubic).collect::<Vec<_>>();
    let (hb, hf) = (&ferry.house_back, &ferry.house_front);
    let (b, f, y) = (&ferry.back, &ferry.front, &ferry.yoke);
    vec![
        ("house.back.neck", cubics(&[hb.neck])),
        ("house.back.armhole", cubics(&hb.armhole)),
        ("house.back.side", cubics(&[hb.side])),
        ("house.front.neck", cubics(&[hf.neck])),
        ("house.front.armhole", cubics(&hf.armhole)),
        ("house.front.side", cubics(&[hf.side])),
        ("back.neck", cubics(&b.neck)),
        ("back.side", b.side.to_vec()),
        ("back.hem", cubics(&[b.hem])),
        ("back.yoke_armhole", cubics(&b.yoke_armhole)),
        ("back.yoke_armhole_turned", cubics(&b.turned)),
        ("back.top", b.top.to_vec()),
        ("back.armhole", cubics(&b.armhole)),
        ("front.neck", cubics(&f.neck)),
        ("front.armhole", cubics(&f.armhole)),
        ("front.side", f.side.to_vec()),
        ("front.hem", cubics(&[f.hem])),
        ("front.strip_neck", cubics(&f.strip_neck)),
        ("front.strip_armhole", cubics(&f.strip_armhole)),
        ("front.neck_fold", f.neck_fold.clone()),
        ("front.hem_fold", f.hem_fold.clone()),
        ("yoke.strip_neck", cubics(&y.strip_neck)),
        ("yoke.strip_armhole", cubics(&y.strip_armhole)),
        ("yoke.neck", cubics(&y.neck)),
        ("yoke.armhole", cubics(&y.armhole)),
    ]
}
