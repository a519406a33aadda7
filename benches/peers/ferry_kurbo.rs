//! The geometry of `examples/house-block.draft` and `examples/ferry-shirt.draft`, drafted by hand in Rust directly on kurbo:
//! every construction, each solved length by the language's own rule, and what the requirements and checks measure. No
//! names, no texts, no record: the floor for drawing that draft.

use super::tools::*;
use kurbo::{CubicBez, Line, PathSeg, Point, Vec2};

const DOWN: Vec2 = Vec2::new(0.0, -1.0);
const RIGHT: Vec2 = Vec2::new(1.0, 0.0);
const LEFT: Vec2 = Vec2::new(-1.0, 0.0);

/// Measures of the body and choices, in millimetres and degrees, as both drafts have them.
#[derive(Clone, Copy)]
pub struct Figures {
    pub bust_girth: f64,
    pub upper_chest_girth: f64,
    pub hip_girth: f64,
    pub neck_base_girth: f64,
    pub shoulder_length: f64,
    pub shoulder_slope: f64,
    pub back_width: f64,
    pub front_width: f64,
    pub back_waist_length: f64,
    pub scye_depth: f64,
    pub front_waist_length: f64,
    pub neck_to_bust_point: f64,
    pub bust_point_width: f64,
    pub waist_to_hip: f64,
    pub house: [f64; 3],
    pub bust_ease: f64,
    pub hip_ease: f64,
    pub waist_in: f64,
    pub hem_share: f64,
    pub neck_wider: f64,
    pub shoulder_longer: f64,
    pub armhole_lower: f64,
    pub back_length: f64,
    pub tail: f64,
    pub front_shorter: f64,
    pub forward: f64,
    pub pleat: f64,
    pub overlap: f64,
    pub facing: f64,
}

/// As the drafts' own defaults.
pub const DEFAULTS: Figures = Figures {
    bust_girth: 920.0,
    upper_chest_girth: 870.0,
    hip_girth: 1000.0,
    neck_base_girth: 376.0,
    shoulder_length: 125.0,
    shoulder_slope: 22.0,
    back_width: 350.0,
    front_width: 330.0,
    back_waist_length: 410.0,
    scye_depth: 200.0,
    front_waist_length: 440.0,
    neck_to_bust_point: 270.0,
    bust_point_width: 190.0,
    waist_to_hip: 205.0,
    house: [80.0, 40.0, 4.0],
    bust_ease: 100.0,
    hip_ease: 80.0,
    waist_in: 15.0,
    hem_share: 0.6,
    neck_wider: 4.0,
    shoulder_longer: 15.0,
    armhole_lower: 18.0,
    back_length: 720.0,
    tail: 80.0,
    front_shorter: 20.0,
    forward: 20.0,
    pleat: 60.0,
    overlap: 15.0,
    facing: 30.0,
};

/// The house block's back.
pub struct HouseBack {
    pub cb_scye: Point,
    pub cb_waist: Point,
    pub cb_hip: Point,
    pub neck_point: Point,
    pub closed_shoulder_point: Point,
    pub neck_corner: Point,
    pub neck: CubicBez,
    pub across: f64,
    pub blade_point: Point,
    pub dart_in: Point,
    pub dart: f64,
    pub dart_out: Point,
    pub shoulder_point: Point,
    pub armhole_mid: Point,
    pub underarm: Point,
    pub armhole: [CubicBez; 2],
    pub hip_side: Point,
    pub side: CubicBez,
}

/// The house block's front.
pub struct HouseFront {
    pub cf_base: Point,
    pub cf_scye: Point,
    pub cf_hip: Point,
    pub neck_point: Point,
    pub closed_shoulder_point: Point,
    pub neck_depth: f64,
    pub cf_neck: Point,
    pub neck_corner: Point,
    pub neck: CubicBez,
    pub bust_point: Point,
    pub closed_chest_point: Point,
    pub across_front: f64,
    pub dart_in: Point,
    pub dart: f64,
    pub dart_out: Point,
    pub shoulder_point: Point,
    pub chest_point: Point,
    pub armhole: [CubicBez; 2],
    pub hip_side: Point,
    pub side: CubicBez,
}

/// The shirt's back.
pub struct Back {
    pub neck: Vec<CubicBez>,
    pub cb_neck: Point,
    pub shoulder_point: Point,
    pub neck_point: Point,
    pub underarm: Point,
    pub armhole_mid: Point,
    pub waist_side: Point,
    pub hip_side: Point,
    pub cb_hem: Point,
    pub side_hem: Point,
    pub side: [PathSeg; 3],
    pub hem: CubicBez,
    pub yoke_centre: Point,
    pub yoke_end: Point,
    pub yoke_armhole: Vec<CubicBez>,
    pub top_end: Point,
    pub turned: Vec<CubicBez>,
    pub top: [PathSeg; 2],
    pub armhole: [CubicBez; 2],
    pub pleat_top: Point,
    pub pleat_hem: Point,
}

/// The shirt's front.
pub struct Front {
    pub neck: Vec<CubicBez>,
    pub neck_point: Point,
    pub cf_neck: Point,
    pub shoulder_point: Point,
    pub turned_underarm: Point,
    pub cf_scye: Point,
    pub underarm: Point,
    pub armhole_mid: Point,
    pub armhole: Vec<CubicBez>,
    pub back_armhole: f64,
    pub side: [PathSeg; 3],
    pub waist_side: Point,
    pub side_hem: Point,
    pub cf_hem: Point,
    pub hem: CubicBez,
    pub seam_neck: Point,
    pub seam_armhole: Point,
    pub strip_neck: Vec<CubicBez>,
    pub strip_armhole: Vec<CubicBez>,
    pub neck_fold: Row,
    pub hem_fold: Row,
    pub buttons: Vec<Point>,
}

/// The yoke.
pub struct Yoke {
    pub strip_neck: Vec<CubicBez>,
    pub strip_armhole: Vec<CubicBez>,
    pub neck: Vec<CubicBez>,
    pub armhole: Vec<CubicBez>,
}

/// All that is drawn.
pub struct Ferry {
    pub house_back: HouseBack,
    pub house_front: HouseFront,
    pub back: Back,
    pub front: Front,
    pub yoke: Yoke,
    /// Whether each requirement held, and each check.
    pub holds: [bool; 14],
}

/// Drafts the shirt; nothing where a line cannot be drawn.
pub fn ferry(f: &Figures) -> Option<Ferry> {
    let limits = [
        f.bust_girth >= f.upper_chest_girth,
        11.0 + 1.4 * (f.bust_girth - f.upper_chest_girth) / 10.0 <= 42.0,
        f.back_length - f.tail > f.back_waist_length + f.waist_to_hip,
    ];
    let house_back = house_back(f);
    let (house_front, scye_wide) = house_front(f, &house_back)?;
    let (back, back_wide, yoke_below) = back(f, &house_back)?;
    let (front, front_wide) = front(f, &house_front, &house_back, &back)?;
    let yoke = yoke(&back, &front);
    let strip = length(&front.strip_armhole);
    let longer = front.back_armhole - (length(&front.armhole) + strip);
    let shoulder = (back.shoulder_point - back.neck_point).hypot();
    let front_shoulder = (front.shoulder_point - front.neck_point).hypot();
    let necks = length(&[house_back.neck]) + length(&[house_front.neck]);
    let sides = length(&[house_back.side]) - length(&[house_front.side]);
    let (back_hem, back_side) = (back.hem.p3 - back.hem.p2, DOWN);
    let holds = [
        limits[0],
        limits[1],
        limits[2],
        scye_wide,
        back_wide,
        yoke_below,
        front_wide,
        (necks - 0.5 * (f.neck_base_girth + f.house[2])).abs() <= 0.5,
        sides.abs() <= 0.5,
        (0.0..=15.0).contains(&longer),
        (shoulder - front_shoulder).abs() <= 1e-3,
        smooth_over(&back.neck, true, &yoke.strip_neck)?,
        smooth_over(&back.yoke_armhole, false, &yoke.strip_armhole)?,
        (corner(-back_hem, -back_side) - 90.0).abs() <= 0.5,
    ];
    Some(Ferry {
        house_back,
        house_front,
        back,
        front,
        yoke,
        holds,
    })
}

/// The angle between two ways that leave a corner, in degrees.
fn corner(u: Vec2, v: Vec2) -> f64 {
    u.cross(v).atan2(u.dot(v)).to_degrees().abs()
}

/// Whether two curves run on smoothly from an end of the first to the start of the second.
fn smooth_over(first: &[CubicBez], at_end: bool, second: &[CubicBez]) -> Option<bool> {
    let leaving = if at_end {
        let last = first.last()?;
        last.p2 - last.p3
    } else {
        let start = first.first()?;
        start.p1 - start.p0
    };
    let other = second.first()?;
    Some((corner(leaving, other.p1 - other.p0) - 180.0).abs() <= 2.0)
}

fn house_back(f: &Figures) -> HouseBack {
    let half = 0.5 * (f.bust_girth + f.house[0]);
    let hip_out = 0.25 * (f.hip_girth + f.house[1]) - 0.5 * half;
    let cb_scye = Point::new(0.0, -(f.scye_depth + 12.0));
    let cb_waist = Point::new(0.0, -f.back_waist_length);
    let cb_hip = Point::new(0.0, cb_waist.y - f.waist_to_hip);
    let neck_point = Point::new(f.neck_base_girth / 5.0 - 3.0, f.neck_base_girth / 18.0);
    let (sin, cos) = (f.shoulder_slope - 3.0).to_radians().sin_cos();
    let along = Vec2::new(cos, -sin);
    let closed_shoulder_point = neck_point + along * f.shoulder_length;
    let neck_corner =
        Straight::square_to(neck_point, along).meets(Straight::new(Point::ORIGIN, RIGHT));
    let neck = hollow(Point::ORIGIN, neck_corner, neck_point, 0.62);
    let across = 0.5 * f.back_width + 5.0;
    let blade_point = Point::new(0.55 * across, 0.42 * cb_scye.y);
    let dart_in = neck_point + along * (0.42 * f.shoulder_length);
    let dart = 2.0 * (11.0 / (2.0 * (dart_in - blade_point).hypot())).asin();
    let turn = Turn::clockwise(blade_point, dart);
    let (dart_out, shoulder_point) = (turn.point(dart_in), turn.point(closed_shoulder_point));
    let armhole_mid = Point::new(across, 0.5 * (closed_shoulder_point.y + cb_scye.y));
    let underarm = Point::new(0.5 * half - 5.0, cb_scye.y);
    let armhole = armhole(
        [shoulder_point, armhole_mid, underarm],
        shoulder_point - dart_out,
    );
    let hip_side = Point::new(0.5 * half - 5.0 + hip_out, cb_hip.y);
    HouseBack {
        cb_scye,
        cb_waist,
        cb_hip,
        neck_point,
        closed_shoulder_point,
        neck_corner,
        neck,
        across,
        blade_point,
        dart_in,
        dart,
        dart_out,
        shoulder_point,
        armhole_mid,
        underarm,
        armhole,
        hip_side,
        side: swept(underarm, DOWN, hip_side, DOWN),
    }
}

/// An armhole: square to the shoulder, through a point, along the scye line.
fn armhole(points: [Point; 3], shoulder: Vec2) -> [CubicBez; 2] {
    let [p, m, q] = points;
    let leaving = sense(unit(shoulder).turn_90(), m - p);
    smooth(points, leaving, sense(RIGHT, q - m))
}

fn house_front(f: &Figures, back: &HouseBack) -> Option<(HouseFront, bool)> {
    let half = 0.5 * (f.bust_girth + f.house[0]);
    let hip_out = 0.25 * (f.hip_girth + f.house[1]) - 0.5 * half;
    let cf_base = Point::new(half, 0.0);
    let cf_scye = Point::new(half, back.cb_scye.y);
    let cf_hip = Point::new(half, back.cb_hip.y);
    let neck_point = Point::new(
        half - (f.neck_base_girth / 5.0 - 5.0),
        f.front_waist_length - f.back_waist_length,
    );
    let (sin, cos) = (f.shoulder_slope + 1.0).to_radians().sin_cos();
    let along = Vec2::new(-cos, -sin);
    let closed_shoulder_point = neck_point + along * f.shoulder_length;
    let square = Straight::square_to(neck_point, along);
    let neck_at = |depth: f64| {
        let cf_neck = Point::new(half, neck_point.y - depth);
        let neck_corner = square.meets(Straight::new(cf_neck, RIGHT));
        (
            cf_neck,
            neck_corner,
            hollow(neck_point, neck_corner, cf_neck, 0.60),
        )
    };
    let wanted = 0.5 * (f.neck_base_girth + f.house[2]) - length(&[back.neck]);
    let neck_depth = solve(|depth| length(&[neck_at(depth).2]) - wanted, 30.0, 150.0)?;
    let (cf_neck, neck_corner, neck) = neck_at(neck_depth);
    let plumb = half - 0.5 * f.bust_point_width;
    let aside = plumb - neck_point.x;
    let reach = (f.neck_to_bust_point * f.neck_to_bust_point - aside * aside).sqrt();
    let landings = [reach, -reach].map(|by| Point::new(plumb, neck_point.y + by));
    let bust_point = nearer(landings, cf_scye);
    let across_front = half - (0.5 * f.front_width + 3.0);
    let closed_chest_point = Point::new(across_front, 0.5 * (closed_shoulder_point.y + cf_scye.y));
    let dart_in = neck_point.midpoint(closed_shoulder_point);
    let dart = (11.0 + 1.4 * (f.bust_girth - f.upper_chest_girth) / 10.0).to_radians();
    let turn = Turn::clockwise(bust_point, -dart);
    let dart_out = turn.point(dart_in);
    let shoulder_point = turn.point(closed_shoulder_point);
    let chest_point = turn.point(closed_chest_point);
    let hip_side = Point::new(half - (0.5 * half + 5.0 + hip_out), cf_hip.y);
    let front = HouseFront {
        cf_base,
        cf_scye,
        cf_hip,
        neck_point,
        closed_shoulder_point,
        neck_depth,
        cf_neck,
        neck_corner,
        neck,
        bust_point,
        closed_chest_point,
        across_front,
        dart_in,
        dart,
        dart_out,
        shoulder_point,
        chest_point,
        armhole: armhole(
            [shoulder_point, chest_point, back.underarm],
            shoulder_point - dart_out,
        ),
        hip_side,
        side: swept(back.underarm, DOWN, hip_side, DOWN),
    };
    let scye = chest_point.x - back.armhole_mid.x;
    Some((front, scye >= f.bust_girth / 10.0))
}

fn nearer([a, b]: [Point; 2], to: Point) -> Point {
    if (a - to).hypot2() <= (b - to).hypot2() {
        a
    } else {
        b
    }
}

/// The neck made wider all along, toward a point.
fn wider(neck: CubicBez, by: f64, toward: Point) -> Vec<CubicBez> {
    use kurbo::{ParamCurve, ParamCurveDeriv, ParamCurveNearest};
    let t = neck.nearest(toward, 1e-9).t;
    let along = neck.deriv().eval(t).to_vec2();
    let left = along.cross(toward - neck.eval(t)) >= 0.0;
    beside(neck, if left { by } else { -by })
}

fn back(f: &Figures, house: &HouseBack) -> Option<(Back, bool, bool)> {
    let quarter = 0.25 * (f.bust_girth + f.bust_ease);
    let hip_quarter = 0.25 * (f.hip_girth + f.hip_ease);
    let neck = wider(house.neck, f.neck_wider, house.blade_point);
    let along = unit(house.closed_shoulder_point - house.neck_point);
    let cb_neck = meeting(&neck, Straight::new(Point::ORIGIN, DOWN))?.2;
    let shoulder_point = house.neck_point + along * (f.shoulder_length + f.shoulder_longer);
    let neck_point = meeting(&neck, Straight::new(house.neck_point, along))?.2;
    let underarm = Point::new(quarter, house.cb_scye.y - f.armhole_lower);
    let middle = shoulder_point.midpoint(underarm);
    let wide = middle.x - cb_neck.x >= 0.5 * f.back_width + 13.0;
    let armhole_mid = Point::new(house.across + 8.0, middle.y);
    let first = armhole(
        [shoulder_point, armhole_mid, underarm],
        shoulder_point - neck_point,
    );
    let waist_side = Point::new(quarter - f.waist_in, house.cb_waist.y);
    let hip_side = Point::new(hip_quarter, house.cb_hip.y);
    let cb_hem = Point::new(0.0, -f.back_length);
    let side_hem = Point::new(hip_quarter, cb_hem.y + f.tail);
    let [upper, lower] = smooth([underarm, waist_side, hip_side], DOWN, DOWN);
    let side = [
        PathSeg::Cubic(upper),
        PathSeg::Cubic(lower),
        PathSeg::Line(Line::new(hip_side, side_hem)),
    ];
    let hem = hem(cb_hem, side_hem, RIGHT, hip_quarter);
    let yoke_centre = Point::new(cb_neck.x, house.blade_point.y);
    let below = shoulder_point.y - yoke_centre.y >= 5.0;
    let cut = meeting(&first, Straight::new(yoke_centre, RIGHT))?;
    let yoke_armhole = part_to(&first, cut);
    let turn = Turn::clockwise(house.blade_point, 0.8 * house.dart);
    let top_end = turn.point(cut.2);
    let turned: Vec<CubicBez> = yoke_armhole.iter().map(|c| turn.curve(*c)).collect();
    let over = swept(
        house.blade_point,
        RIGHT,
        top_end,
        unit(top_end - house.blade_point),
    );
    let top = [
        PathSeg::Line(Line::new(yoke_centre, house.blade_point)),
        PathSeg::Cubic(over),
    ];
    let last = turned.last()?;
    let armhole = smooth(
        [top_end, armhole_mid, underarm],
        last.p3 - last.p2,
        sense(RIGHT, underarm - armhole_mid),
    );
    let pleated = LEFT * (0.5 * f.pleat);
    let back = Back {
        neck,
        cb_neck,
        shoulder_point,
        neck_point,
        underarm,
        armhole_mid,
        waist_side,
        hip_side,
        cb_hem,
        side_hem,
        side,
        hem,
        yoke_centre,
        yoke_end: cut.2,
        yoke_armhole,
        top_end,
        turned,
        top,
        armhole,
        pleat_top: yoke_centre + pleated,
        pleat_hem: cb_hem + pleated,
    };
    Some((back, wide, below))
}

fn hem(centre: Point, side: Point, way: Vec2, hip_quarter: f64) -> CubicBez {
    sweep(
        centre,
        way,
        side,
        way,
        0.50 * hip_quarter,
        0.35 * hip_quarter,
    )
}

fn front(
    f: &Figures,
    house: &HouseFront,
    house_back: &HouseBack,
    back: &Back,
) -> Option<(Front, bool)> {
    let quarter = 0.25 * (f.bust_girth + f.bust_ease);
    let hip_quarter = 0.25 * (f.hip_girth + f.hip_ease);
    let neck = wider(house.neck, f.neck_wider, house.bust_point);
    let along = unit(house.closed_shoulder_point - house.neck_point);
    let neck_point = meeting(&neck, Straight::new(house.neck_point, along))?.2;
    let cf_neck = neck.last()?.p3;
    let shoulder = (back.shoulder_point - back.neck_point).hypot();
    let to_shoulder = unit(house.closed_shoulder_point - neck_point);
    let shoulder_point = neck_point + to_shoulder * shoulder;
    let across = house.across_front - 10.0;
    let armhole_at = |share: f64| {
        let turn = Turn::clockwise(house.bust_point, share * house.dart);
        let turned_underarm = turn.point(house_back.underarm);
        let cf_scye = Point::new(house.cf_base.x, turned_underarm.y);
        let underarm = Point::new(cf_scye.x - quarter, cf_scye.y - f.armhole_lower);
        let middle = shoulder_point.lerp(underarm, 0.55);
        let armhole_mid = Point::new(across, middle.y);
        let drawn = armhole([shoulder_point, armhole_mid, underarm], to_shoulder);
        (turned_underarm, cf_scye, underarm, armhole_mid, drawn)
    };
    let mut drawn = armhole_at(f.hem_share);
    let middle = shoulder_point.lerp(drawn.2, 0.55);
    let wide = drawn.1.x - middle.x >= 0.5 * f.front_width + 13.0;
    let back_armhole = length(&back.yoke_armhole) + length(&back.armhole);
    let longer = back_armhole - length(&drawn.4);
    if !(-1e-3..=15.0 + 1e-3).contains(&longer) {
        let share = solve(
            |share| back_armhole - (length(&armhole_at(share).4) + 7.0),
            0.0,
            1.0,
        )?;
        drawn = armhole_at(share);
    }
    let (turned_underarm, cf_scye, underarm, armhole_mid, whole) = drawn;
    let slide = Vec2::new(underarm.x + back.underarm.x, underarm.y - back.underarm.y);
    let over = |p: Point| Point::new(slide.x - p.x, slide.y + p.y);
    let side = back.side.map(|seg| each_of(&seg, over));
    let side_hem = over(back.side_hem);
    let cf_hem = Point::new(house.cf_base.x, side_hem.y - (f.tail - f.front_shorter));
    let hem = hem(cf_hem, side_hem, LEFT, hip_quarter);
    let normal = to_shoulder.turn_90();
    let moved = neck_point + sense(normal, cf_neck - neck_point) * f.forward;
    let line = Straight::new(moved, to_shoulder);
    let (on_neck, on_armhole) = (meeting(&neck, line)?, meeting(&whole, line)?);
    let (strip_neck, strip_armhole) = (part_to(&neck, on_neck), part_to(&whole, on_armhole));
    let (neck, armhole) = (part_from(&neck, on_neck), part_from(&whole, on_armhole));
    let folds = [0.0, 1.0, 2.0].map(|n| house.cf_base.x + f.overlap + n * f.facing);
    let neck_fold = stand(neck.iter().copied(), cf_neck, folds);
    let hem_fold = stand([reversed(hem)], cf_hem, folds);
    let to_bust = cf_neck.y - house.bust_point.y;
    let above_bust = (to_bust / 95.0 - 0.75).ceil().max(1.0);
    let pitch = to_bust / (above_bust + 0.75);
    let below_first = ((cf_neck.y - cf_hem.y - 110.0) / pitch - 0.75).floor();
    let buttons = (0..=below_first as i64).map(|n| cf_neck + DOWN * ((n as f64 + 0.75) * pitch));
    let front = Front {
        neck_point,
        cf_neck,
        shoulder_point,
        turned_underarm,
        cf_scye,
        underarm,
        armhole_mid,
        back_armhole,
        side,
        waist_side: over(back.waist_side),
        side_hem,
        cf_hem,
        hem,
        seam_neck: on_neck.2,
        seam_armhole: on_armhole.2,
        strip_neck,
        strip_armhole,
        neck_fold,
        hem_fold,
        buttons: buttons.collect(),
        neck,
        armhole,
    };
    Some((front, wide))
}

fn reversed(c: CubicBez) -> CubicBez {
    CubicBez::new(c.p3, c.p2, c.p1, c.p0)
}

/// An edge that ends at the centre front, carried on to the first fold and traced through both.
fn stand(edge: impl IntoIterator<Item = CubicBez>, centre: Point, [f1, f2, raw]: [f64; 3]) -> Row {
    let mut whole: Row = edge.into_iter().map(PathSeg::Cubic).collect();
    whole.push(PathSeg::Line(Line::new(centre, Point::new(f1, centre.y))));
    let mut strips = folded(&whole, f1, f2);
    let second = folded(&strips, f2, raw);
    strips.extend(second);
    strips
}

fn yoke(back: &Back, front: &Front) -> Yoke {
    let (a, b) = (front.neck_point, front.shoulder_point);
    let (c, d) = (back.neck_point, back.shoulder_point);
    let (u, v) = (unit(b - a), unit(d - c));
    let (cos, sin) = (u.dot(v), u.cross(v));
    let laid = |p: Point| {
        let w = p - a;
        c + Vec2::new(cos * w.x - sin * w.y, sin * w.x + cos * w.y)
    };
    let lay = |row: &[CubicBez]| row.iter().map(|c| each(*c, laid)).collect::<Vec<_>>();
    let (strip_neck, strip_armhole) = (lay(&front.strip_neck), lay(&front.strip_armhole));
    let back_to_front = strip_armhole.iter().rev().map(|c| reversed(*c));
    Yoke {
        neck: [back.neck.as_slice(), &strip_neck].concat(),
        armhole: back_to_front
            .chain(back.yoke_armhole.iter().copied())
            .collect(),
        strip_neck,
        strip_armhole,
    }
}
