//! Collars solved to a neckline, their layers, and what another collar changes.

use super::card::*;
use oaktag_language::voice::LengthUnit::Millimetre as MM;

#[test]
fn a_stand_and_fall_comes_out_as_worked_out_by_quadrature() {
    let outcome = sound(&[YOKED, COLLAR]);
    let (values, r) = (values(&outcome), reference());
    for (name, wanted) in [
        ("collar.stand.lower", "stand_lower_edge_total"),
        ("collar.stand.upper", "stand_upper_edge_cb_to_cf"),
        ("collar.fall.sewn", "fall_sewn_edge"),
        ("collar.fall.outer", "fall_outer_edge"),
        ("collar.under_fall.sewn", "fall_sewn_edge"),
    ] {
        near(figure(&values, name), measure(&r, wanted), 0.01);
    }
    for (name, wanted) in [
        ("collar.stand.cf_low", "c_CF"),
        ("collar.stand.cf_top", "c_CFt"),
    ] {
        same_place(point(&values, name), reference_point(&r, wanted), 0.01);
    }
    for (name, wanted) in [
        ("collar_stand", "area_stand_half"),
        ("collar_fall", "area_fall_half"),
    ] {
        near(
            piece(&outcome, name).drawn_area.unwrap(),
            measure(&r, wanted),
            1.0,
        );
    }
    let marks: Vec<Point> = piece(&outcome, "collar_stand")
        .notches
        .iter()
        .flat_map(|notch| notch.marks.iter().map(|mark| mark.sewing))
        .collect();
    for name in ["c_shoulder", "c_yokeseam", "c_CF"] {
        let wanted = reference_point(&r, name);
        assert!(
            marks.iter().any(|mark| (*mark - wanted).hypot() < 0.01),
            "{name}: {marks:?}"
        );
    }
}

/// Under layer against upper: each outer edge 1 to 2.5 mm shorter, within 0.5 (this project's own judgement); the sewn edge
/// is one and the same.
#[test]
fn under_layers_are_smaller_at_their_outer_edges_only() {
    let convertible = "panel collar = convertible_collar for shirt";
    let flat = "panel collar = flat_collar for shirt with front_round 0mm";
    let spear = "panel collar = stand_and_fall for shirt with front_length 110mm, tilt 40deg";
    for (line, upper, under, together) in [
        (COLLAR, "fall", "under_fall", 4.0),
        (spear, "fall", "under_fall", 4.0),
        (convertible, "collar_upper", "collar_under", 4.0),
        (flat, "collar_upper", "collar_under", 3.0),
    ] {
        let outcome = sound(&[YOKED, line]);
        let values = values(&outcome);
        let length = |layer: &str, edge: &str| figure(&values, &format!("collar.{layer}.{edge}"));
        near(length(upper, "sewn"), length(under, "sewn"), 1e-6);
        let shorter = ["outer", "front_edge"].map(|edge| length(upper, edge) - length(under, edge));
        near(shorter[0] + shorter[1], together, 0.001);
        for one in shorter {
            assert!((0.5..=3.0).contains(&one), "{line}: {shorter:?}");
        }
        let deeper = length(upper, "centre_back") - length(under, "centre_back");
        assert!((0.3..2.0).contains(&deeper), "{line}: {deeper}");
    }
}

#[test]
fn a_stand_may_be_level_or_as_high_in_front_as_behind() {
    for stand in [
        "stand_rise 0mm",
        "stand_front 32mm",
        "stand_front 40mm",
        "stand_rise 40mm",
    ] {
        let line = format!("panel collar = stand_and_fall for shirt with {stand}");
        sound(&[YOKED, &line]);
    }
    let level = "panel collar = band_collar for shirt with ends \"edge\", band_rise 0mm";
    // Without rise both edges are straight and as long: a strip, which stands away from the neck.
    let values = values(&sound(&[YOKED, level]));
    near(
        figure(&values, "collar.band.upper_edge"),
        measure(&reference(), "half_neckline_cb_to_cf"),
        0.01,
    );
}

#[test]
fn the_other_collars_come_out_as_worked_out_by_quadrature() {
    let r = reference();
    let outcome = sound(&[YOKED, "panel collar = convertible_collar for shirt"]);
    let values_of = values(&outcome);
    near(
        figure(&values_of, "collar.collar_upper.sewn"),
        measure(&r, "one_sewn_edge"),
        0.01,
    );
    near(
        figure(&values_of, "collar.collar_upper.outer"),
        measure(&r, "one_outer_edge"),
        0.01,
    );
    for ends in ["edge", "front"] {
        let line = format!("panel collar = band_collar for shirt with ends \"{ends}\"");
        let values_of = values(&sound(&[YOKED, &line]));
        near(
            figure(&values_of, "collar.band.upper_edge"),
            measure(&r, "mandarin_top_edge"),
            0.01,
        );
        same_place(
            point(&values_of, "collar.band.cf_low"),
            reference_point(&r, "m_CF"),
            0.01,
        );
        same_place(
            point(&values_of, "collar.band.cf_top"),
            reference_point(&r, "m_CFt"),
            0.01,
        );
    }
    let outcome = sound(&[
        YOKED,
        "panel collar = flat_collar for shirt with front_round 0mm",
    ]);
    let upper = piece(&outcome, "collar_upper");
    near(
        upper.edge("sewn").unwrap().length,
        measure(&r, "flat_collar_neck_edge"),
        0.01,
    );
    let ends = |edge: &str| {
        let path = &upper.edge(edge).unwrap().path;
        [path.start().unwrap(), path.end().unwrap()]
    };
    for (edge, wanted) in [("sewn", "fl_CF"), ("outer", "fl_CFo"), ("outer", "fl_CBo")] {
        let wanted = reference_point(&r, wanted);
        let off = ends(edge).map(|end| (end - wanted).hypot());
        assert!(
            off[0].min(off[1]) < 0.05,
            "{edge} {wanted:?}: {:?}",
            ends(edge)
        );
    }
}

/// A band instead of a stand and fall: nothing of the fall is left, the neck seam fits, the body stays.
#[test]
fn another_collar_changes_nothing_but_the_collar() {
    let before = sound(&[YOKED, COLLAR]);
    let half = measure(&reference(), "half_neckline_cb_to_cf");
    for (ends, sewn) in [("edge", half + 15.0), ("front", half)] {
        let line = format!("panel collar = band_collar for shirt with ends \"{ends}\"");
        let after = sound(&[YOKED, &line]);
        let now = names(&after);
        assert!(
            !now.iter()
                .any(|name| name.contains("fall") || name.contains("stand")),
            "{now:?}"
        );
        let neck = after.pattern.seam("neck").unwrap();
        near(neck.first.length, sewn, 0.01);
        for kept in ["back", "front", "yoke"] {
            assert_eq!(piece(&before, kept).sewing, piece(&after, kept).sewing);
            // Beyond a band that ends at centre front the neck is faced, and its allowance the front's own.
            if (kept, ends) != ("front", "front") {
                assert_eq!(piece(&before, kept).cutting, piece(&after, kept).cutting);
            }
        }
        // Shoulder, front seam and centre front stand at the same distances on both sides.
        for notch in &neck.notches {
            near(notch.first[0], notch.second[0], 0.001);
        }
        let at: Vec<f64> = neck.notches.iter().map(|notch| notch.first[0]).collect();
        for (found, wanted) in at.iter().zip([0.0, 81.3773, 101.39, half]) {
            near(*found, wanted, 0.01);
        }
    }
    let asked = drawn(&[YOKED, "panel collar = band_collar for shirt"]);
    let told = asked.diagnostics.iter().find(|d| d.is_error()).unwrap();
    assert!(
        told.message.in_unit(MM).contains("`ends` must be set"),
        "{}",
        told.message.in_unit(MM)
    );
}

#[test]
fn a_deeper_neck_takes_every_collar_with_it() {
    let deeper = "panel shirt traced from shirt {
  panel front traced from front {
    redraw cf_neck = cf_neck down 14mm
    redraw neck = from (start of neck) to cf_neck leaving (direction of neck at (start of neck)) arriving right
    redraw neck_on = slide neck_on by 14mm toward down
    redraw front_edge = from (start of front_edge) to (end of neck_on)
  }
  redraw half_neckline = length of yoke.neck + length of front.neck
  redraw neckline = [yoke.neck, front.neck, front.neck_on]
}";
    for collar in [
        COLLAR,
        "panel collar = band_collar for shirt with ends \"edge\"",
        "panel collar = convertible_collar for shirt",
        "panel collar = flat_collar for shirt",
    ] {
        let (before, after) = (
            sound(&[YOKED, CAP, TOWER, collar]),
            sound(&[YOKED, deeper, CAP, TOWER, collar]),
        );
        let neck = |outcome: &Outcome| outcome.pattern.seam("neck").unwrap().first.length;
        assert!(neck(&after) > neck(&before) + 5.0, "{collar}");
        assert_eq!(
            piece(&before, "sleeve").sewing,
            piece(&after, "sleeve").sewing
        );
        assert_eq!(piece(&before, "yoke").sewing, piece(&after, "yoke").sewing);
    }
}
