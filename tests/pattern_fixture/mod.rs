//! The crew shirt of Lower Sound Ferries as a draft would hand it over, built from the worked figures of
//! `tests/data/reference_body_a.json` (see `tests/data/README.md`; there y points down).

#![allow(dead_code)]

use kurbo::{CubicBez, PathSeg, Point};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::*;
use oaktag_language::voice::LengthUnit;
use serde_json::Value as Json;

pub struct Reference(Json);

impl Reference {
    pub fn read() -> Self {
        Self(serde_json::from_str(include_str!("../data/reference_body_a.json")).unwrap())
    }

    pub fn point(&self, name: &str) -> Point {
        self::point(&self.0["points"][name])
    }

    pub fn curve(&self, name: &str) -> Path {
        self.segments(name, 0, usize::MAX)
    }

    /// Segments `from..to` of a curve.
    pub fn segments(&self, name: &str, from: usize, to: usize) -> Path {
        let segments = self.0["curves"][name]["segments"].as_array().unwrap();
        let cubics = segments.iter().map(|s| {
            let at = |n: usize| point(&s[n]);
            PathSeg::Cubic(CubicBez::new(at(0), at(1), at(2), at(3)))
        });
        Path::from_segs(cubics.skip(from).take(to - from).collect()).unwrap()
    }

    pub fn measure(&self, name: &str) -> f64 {
        let measure = &self.0["measures"][name];
        measure["mm"].as_f64().or(measure["mm2"].as_f64()).unwrap()
    }

    pub fn line(&self, from: &str, to: &str) -> Path {
        Path::line(self.point(from), self.point(to)).unwrap()
    }
}

fn point(json: &Json) -> Point {
    Point::new(json[0].as_f64().unwrap(), -json[1].as_f64().unwrap())
}

/// Gives out tags in order.
#[derive(Default)]
pub struct Tags(pub u32);

impl Tags {
    fn next(&mut self) -> Tag {
        self.0 += 1;
        Tag(self.0)
    }
}

pub fn piece(
    tags: &mut Tags,
    name: &str,
    label: &str,
    cut: CutSpec,
    edges: Vec<(&str, Path)>,
) -> PieceSpec {
    let tag = tags.next();
    let edges = edges.into_iter().map(|(edge, path)| EdgeSpec {
        tag: tags.next(),
        name: edge.to_owned(),
        line: format!("{name}.{edge}"),
        path,
        allowance: None,
        finish: None,
        mouth: None,
    });
    PieceSpec {
        is_broken: false,
        tag,
        name: name.to_owned(),
        label: label.to_owned(),
        panel: name.to_owned(),
        edges: edges.collect(),
        cut,
        grain: None,
        grain_words: String::new(),
        default_allowance: None,
        corners: Vec::new(),
        darts: Vec::new(),
        fold_lines: Vec::new(),
        folded_onto: Vec::new(),
        interlining: None,
        notches: Vec::new(),
        marks: Vec::new(),
    }
}

fn fold(count: u32, edge: usize) -> CutSpec {
    CutSpec {
        count,
        alike: false,
        fold_edge: Some(edge),
        whole: false,
        cloth: Some("main".to_owned()),
    }
}

fn pair(count: u32) -> CutSpec {
    CutSpec {
        count,
        alike: false,
        fold_edge: None,
        whole: false,
        cloth: Some("main".to_owned()),
    }
}

/// Says of an edge how it is finished and how wide its allowance is.
fn finish(piece: &mut PieceSpec, edge: &str, words: &str, width: Option<f64>) {
    let edge = piece.edges.iter_mut().find(|one| one.name == edge).unwrap();
    edge.finish = Some(words.to_owned());
    edge.allowance = width.map(Into::into);
}

fn pieces(tags: &mut Tags, r: &Reference) -> Vec<PieceSpec> {
    vec![
        back(tags, r),
        front(tags, r),
        yoke(tags, r),
        sleeve(tags, r),
        stand(tags, r),
        fall(tags, r),
    ]
}

fn back(tags: &mut Tags, r: &Reference) -> PieceSpec {
    let edges = vec![
        ("centre", r.line("k0_p", "cbh_p")),
        ("pleat_hem", r.line("cbh_p", "cbh")),
        ("hem", r.curve("hemb")),
        ("side", r.curve("sideb")),
        ("armhole", r.curve("scyeb_body")),
        ("top", r.curve("top_back")),
        ("pleat_top", r.line("k0", "k0_p")),
    ];
    let mut back = piece(tags, "back", "Back", fold(1, 0), edges);
    back.grain = Some(r.line("k0_p", "cbh_p"));
    finish(&mut back, "hem", "turned twice, 5 and 5", Some(10.0));
    finish(&mut back, "pleat_hem", "turned twice, 5 and 5", Some(10.0));
    finish(&mut back, "pleat_top", "folded into the pleat", Some(10.0));
    let pleat = |x: f64| Path::line(Point::new(x, -89.04), Point::new(x, -180.0)).unwrap();
    back.fold_lines = vec![
        (tags.next(), "pleat fold".to_owned(), pleat(-15.0)),
        (tags.next(), "pleat line".to_owned(), pleat(0.0)),
    ];
    back
}

fn front(tags: &mut Tags, r: &Reference) -> PieceSpec {
    let edges = vec![
        ("neck", r.curve("neckf_body")),
        ("neck_on", r.segments("stand_neck", 0, 1)),
        ("neck_fold", r.segments("stand_neck", 1, 5)),
        ("raw_edge", r.line("s3n", "s3h")),
        ("hem_fold", r.curve("stand_hem")),
        ("hem", r.curve("hemf")),
        ("side", r.curve("sidef")),
        ("armhole", r.curve("scyef_body")),
        ("shoulder", r.curve("front_top")),
    ];
    let mut front = piece(tags, "front", "Front", pair(2), edges);
    front.grain = Some(r.line("fn", "cfh"));
    finish(&mut front, "raw_edge", "inside the fold", Some(0.0));
    finish(&mut front, "neck_fold", "inside the stand", Some(7.0));
    finish(&mut front, "hem_fold", "turned twice, 5 and 5", Some(10.0));
    finish(&mut front, "hem", "turned twice, 5 and 5", Some(10.0));
    front.fold_lines = vec![
        (tags.next(), "fold 1".to_owned(), r.line("s1n", "s1h")),
        (tags.next(), "fold 2".to_owned(), r.line("s2n", "s2h")),
    ];
    front.marks = (1..=7)
        .map(|n| MarkSpec {
            tag: tags.next(),
            name: format!("front.button_{n}"),
            shape: Value::Point(r.point(&format!("button_{n}"))),
            text: "button".to_owned(),
            of_list: true,
            side: None,
            button: None,
        })
        .collect();
    front
}

fn yoke(tags: &mut Tags, r: &Reference) -> PieceSpec {
    let edges = vec![
        ("centre", r.line("b0", "k0")),
        ("low", r.curve("yoke_low")),
        ("armhole", r.curve("yoke_scye")),
        ("front", r.curve("yoke_front")),
        ("neck", r.curve("yoke_neck")),
    ];
    let mut yoke = piece(tags, "yoke", "Yoke", fold(2, 0), edges);
    yoke.grain = Some(r.line("b0", "k0"));
    yoke
}

fn sleeve(tags: &mut Tags, r: &Reference) -> PieceSpec {
    let edges = vec![
        ("cap_back", r.curve("capB")),
        ("seam_back", r.curve("seamB")),
        ("hem", r.line("SH_b", "SH_f")),
        ("seam_front", r.curve("seamF")),
        ("cap_front", r.curve("capF")),
    ];
    let mut sleeve = piece(tags, "sleeve", "Sleeve", pair(2), edges);
    sleeve.grain = Some(Path::line(Point::ZERO, Point::new(0.0, -530.0)).unwrap());
    finish(&mut sleeve, "hem", "into the cuff", Some(10.0));
    sleeve.marks = vec![MarkSpec {
        tag: tags.next(),
        name: "sleeve.slit".to_owned(),
        shape: Value::Line(r.line("slit_0", "slit_1")),
        text: "slit".to_owned(),
        of_list: false,
        side: None,
        button: None,
    }];
    sleeve
}

fn stand(tags: &mut Tags, r: &Reference) -> PieceSpec {
    let edges = vec![
        ("low", r.curve("stand_low")),
        ("end", r.curve("stand_end")),
        ("top", r.curve("stand_top")),
        ("centre", r.line("c_CBt", "c_CB")),
    ];
    let mut stand = piece(tags, "stand", "Collar stand", fold(2, 3), edges);
    stand.grain = Some(r.line("c_CBt", "c_CB"));
    finish(&mut stand, "end", "turned", Some(6.0));
    stand
}

fn fall(tags: &mut Tags, r: &Reference) -> PieceSpec {
    let edges = vec![
        ("sew", r.curve("fall_sew")),
        ("end", r.curve("fall_end")),
        ("out", r.curve("fall_out")),
        ("centre", r.line("fall_CBo", "fall_CB")),
    ];
    let mut fall = piece(tags, "fall", "Collar fall", fold(2, 3), edges);
    fall.grain = Some(r.line("fall_CBo", "fall_CB"));
    finish(&mut fall, "end", "turned", Some(6.0));
    finish(&mut fall, "out", "turned", Some(6.0));
    fall
}

fn seam(tags: &mut Tags, name: &str, first: &[&str], second: &[&str], width: f64) -> SeamSpec {
    let tag = tags.next();
    let mut side = |lines: &[&str]| SideSpec {
        edges: lines.iter().map(|line| edge(tags, line)).collect(),
        until: None,
    };
    SeamSpec {
        tag,
        name: name.to_owned(),
        first: side(first),
        second: side(second),
        from: Vec::new(),
        toward: Vec::new(),
        eases: Vec::new(),
        meets: Vec::new(),
        openings: Vec::new(),
        corners: Vec::new(),
        tolerance: None,
        notches: Vec::new(),
        allowance: Some(width),
        sewn: None,
        allowance_on: Vec::new(),
        last_changed: Vec::new(),
        is_broken: false,
    }
}

/// A panel's line as a seam names it.
pub fn edge(tags: &mut Tags, line: &str) -> SeamEdgeSpec {
    let (panel, name) = line.split_once('.').unwrap();
    SeamEdgeSpec {
        name: EdgeName {
            tag: tags.next(),
            owner: Some(panel.to_owned()),
            edge: name.to_owned(),
            line: line.to_owned(),
        },
        mirrored: false,
        over: false,
    }
}

pub fn at(name: &str, point: Point) -> SeamPoint {
    SeamPoint {
        point,
        name: name.to_owned(),
        panel: name.split_once('.').map(|(panel, _)| panel.to_owned()),
    }
}

/// An end of a seam where the lines beside it are meant to turn.
fn corner(tags: &mut Tags, name: &str, point: Point) -> CornerSaid {
    CornerSaid {
        tag: tags.next(),
        at: at(name, point),
        words: "the front edge".to_owned(),
    }
}

fn seams(tags: &mut Tags, r: &Reference) -> Vec<SeamSpec> {
    let mut side = seam(tags, "side", &["front.side"], &["back.side"], 10.0);
    side.notches = vec![SeamNotchSpec {
        tag: tags.next(),
        form: NotchForm::Single,
        place: SeamNotchPlace::Measured {
            distance: 180.0,
            from: at("back.underarm", r.point("ub")),
        },
    }];
    let yoke_back = seam(tags, "yoke_back", &["yoke.low"], &["back.top"], 10.0);
    let yoke_front = seam(
        tags,
        "yoke_front",
        &["yoke.front"],
        &["front.shoulder"],
        10.0,
    );
    let mut neck = seam(
        tags,
        "neck",
        &["stand.low"],
        &["yoke.neck", "front.neck", "front.neck_on"],
        7.0,
    );
    neck.from = vec![at("yoke.cb_neck", r.point("b0"))];
    neck.notches = vec![SeamNotchSpec {
        tag: tags.next(),
        form: NotchForm::Single,
        place: SeamNotchPlace::Joints,
    }];
    neck.corners = vec![corner(tags, "stand.end", r.point("c_end"))];
    let mut collar = seam(tags, "collar", &["fall.sew"], &["stand.top"], 6.0);
    collar.corners = vec![corner(tags, "fall.front", r.point("fall_front"))];
    let underarm = seam(
        tags,
        "underarm",
        &["sleeve.seam_front"],
        &["sleeve.seam_back"],
        10.0,
    );
    vec![
        side,
        yoke_back,
        yoke_front,
        armhole(tags, r),
        underarm,
        neck,
        collar,
    ]
}

fn armhole(tags: &mut Tags, r: &Reference) -> SeamSpec {
    let (cap, body) = (
        ["sleeve.cap_back", "sleeve.cap_front"],
        ["back.armhole", "yoke.armhole", "front.armhole"],
    );
    let mut armhole = seam(tags, "armhole", &cap, &body, 10.0);
    armhole.from = vec![
        at("back.underarm", r.point("ub")),
        at("sleeve.under_back", r.point("SU_b")),
    ];
    armhole.eases = vec![EaseSpec {
        tag: tags.next(),
        how: EaseHow::Ease,
        low: Amount::Length(4.0),
        high: Amount::Length(12.0),
        on: cap.map(|line| edge(tags, line).name).to_vec(),
        between: None,
    }];
    let mut notch = |form: NotchForm, place: SeamNotchPlace| SeamNotchSpec {
        tag: tags.next(),
        form,
        place,
    };
    let measured = |distance: f64, name: &str, p: &str| SeamNotchPlace::Measured {
        distance,
        from: at(name, r.point(p)),
    };
    armhole.notches = vec![
        notch(NotchForm::Double, measured(85.0, "back.underarm", "ub")),
        notch(NotchForm::Single, measured(75.0, "front.underarm", "uf")),
        notch(
            NotchForm::Single,
            SeamNotchPlace::Pair(
                at("sleeve.crown", r.point("T")),
                at("yoke.natural_shoulder", r.point("sf_y")),
            ),
        ),
        notch(NotchForm::Single, SeamNotchPlace::Joints),
    ];
    armhole
}

/// Names of the reference's points as the draft would call them.
const POINTS: &[(&str, &str)] = &[
    ("back.cb_yoke", "k0"),
    ("back.pleat_top", "k0_p"),
    ("back.cb_waist", "B2"),
    ("back.cb_hip", "B3"),
    ("back.cb_scye", "B1"),
    ("back.pleat_hem", "cbh_p"),
    ("back.cb_hem", "cbh"),
    ("back.side_hem", "eb"),
    ("back.side_hip", "hb"),
    ("back.side_waist", "wb"),
    ("back.underarm", "ub"),
    ("back.armhole_mid", "ab"),
    ("back.yoke_armhole", "y2"),
    ("back.blade_level", "bl"),
    ("front.neck_point", "nf"),
    ("front.yoke_neck", "g1"),
    ("front.yoke_armhole", "g2"),
    ("front.shoulder_point", "sf"),
    ("front.cf_neck", "fn"),
    ("front.cf_hem", "cfh"),
    ("front.fold_1_neck", "s1n"),
    ("front.fold_2_neck", "s2n"),
    ("front.raw_neck", "s3n"),
    ("front.raw_hem", "s3h"),
    ("front.side_hem", "ef"),
    ("front.side_hip", "hf"),
    ("front.side_waist", "wf"),
    ("front.underarm", "uf"),
    ("front.chest_point", "cf"),
    ("front.bust_point", "BP"),
    ("front.neck_corner", "neckf_corner"),
    ("yoke.cb_neck", "b0"),
    ("yoke.cb_yoke", "k0"),
    ("yoke.neck_point", "nb"),
    ("yoke.natural_shoulder", "sf_y"),
    ("yoke.armhole_low", "y1"),
    ("yoke.front_neck", "g1_y"),
    ("yoke.front_armhole", "g2_y"),
    ("sleeve.crown", "T"),
    ("sleeve.under_back", "SU_b"),
    ("sleeve.under_front", "SU_f"),
    ("sleeve.hem_back", "SH_b"),
    ("sleeve.hem_front", "SH_f"),
    ("stand.cb", "c_CB"),
    ("stand.cf", "c_CF"),
    ("stand.end", "c_end"),
    ("stand.cf_top", "c_CFt"),
    ("stand.cb_top", "c_CBt"),
    ("fall.cb", "fall_CB"),
    ("fall.front", "fall_front"),
    ("fall.point", "fall_point"),
    ("fall.cb_out", "fall_CBo"),
];

fn values(r: &Reference, pieces: &[PieceSpec]) -> Vec<NamedValue> {
    let mut line = 10;
    let mut named = |name: &str, value: Value| {
        line += 1;
        NamedValue {
            name: name.to_owned(),
            value,
            file: "ferry-shirt.draft".to_owned(),
            line,
            step: Some(1),
        }
    };
    let mut values: Vec<NamedValue> = Vec::new();
    for (name, point) in POINTS {
        values.push(named(name, Value::Point(r.point(point))));
    }
    for panel in ["back", "front"] {
        for (guide, level) in [
            ("scye_line", "B1"),
            ("waist_line", "B2"),
            ("hip_line", "B3"),
        ] {
            let path = Path::endless(r.point(level), kurbo::Vec2::new(1.0, 0.0)).unwrap();
            values.push(named(&format!("{panel}.{guide}"), Value::Line(path)));
        }
    }
    values.push(named("front.centre", Value::Line(r.line("fn", "cfh"))));
    values.push(named("front.neck_whole", Value::Curve(r.curve("neckf"))));
    values.push(named("front.armhole_whole", Value::Curve(r.curve("scyef"))));
    for edge in pieces.iter().flat_map(|piece| &piece.edges) {
        let value = if edge.path.is_straight() {
            Value::Line(edge.path.clone())
        } else {
            Value::Curve(edge.path.clone())
        };
        values.push(named(&edge.line, value));
    }
    values.push(named("half", Value::Length(500.0)));
    values.push(named("back.dart", Value::Angle(6.5959)));
    values.push(named(
        "levels",
        Value::List(vec![Value::Length(212.0), Value::Length(410.0)]),
    ));
    values
}

fn measures(r: &Reference) -> Vec<MeasureUsed> {
    let of = |group: &str| r.0[group].as_object().unwrap().clone();
    let body = of("body").into_iter().map(|(name, value)| {
        let value = value.as_f64().unwrap();
        let value = if name == "shoulder_slope" {
            Value::Angle(value)
        } else {
            Value::Length(value)
        };
        MeasureUsed {
            worked_out: name == "scye_depth",
            example: false,
            name,
            of_body: true,
            value,
            text: String::new(),
        }
    });
    let design = of("design")
        .into_iter()
        .take(12)
        .map(|(name, value)| MeasureUsed {
            name,
            of_body: false,
            value: match value["kind"].as_str().unwrap() {
                "angle" => Value::Angle(value["value"].as_f64().unwrap()),
                "number" => Value::Number(value["value"].as_f64().unwrap()),
                _ => Value::Length(value["value"].as_f64().unwrap()),
            },
            text: String::new(),
            worked_out: false,
            example: false,
        });
    body.chain(design).collect()
}

/// The whole shirt, every seam of which fits.
pub fn shirt() -> Drawn {
    let r = Reference::read();
    let mut tags = Tags::default();
    let pieces = pieces(&mut tags, &r);
    let seams = seams(&mut tags, &r);
    Drawn {
        redrawn: Vec::new(),
        lost: Default::default(),
        order: Vec::new(),
        title: "Ferry crew shirt, Lower Sound Ferries".to_owned(),
        unit: LengthUnit::Centimetre,
        measures: measures(&r),
        values: values(&r, &pieces),
        pieces,
        seams,
        checks: vec![Check {
            tag: tags.next(),
            text: "armhole balance".to_owned(),
            measured: "0.72 cm".to_owned(),
            wanted: "between 0 and 1.5 cm".to_owned(),
            ok: true,
            reads: vec!["back.armhole".to_owned(), "front.armhole".to_owned()],
            of: String::new(),
            redrawn: Vec::new(),
        }],
        cloths: vec![ClothSpec {
            name: "main".to_owned(),
            label: "cotton twill, washed".to_owned(),
            width: Some(1500.0),
            thickness: Some(0.3),
            shrinkage: (0.02, 0.01),
            nap: false,
            stripe: None,
            plaid: None,
            one_way: false,
        }],
        cautions: Vec::new(),
    }
}

/// The shirt with one line drawn longer than it was: stretched from its start, wherever it is used. What follows it in an
/// outline is moved so that the piece still closes.
pub fn stretched(drawn: &Drawn, line: &str, by: f64) -> Drawn {
    let mut drawn = drawn.clone();
    for piece in &mut drawn.pieces {
        let Some(at) = piece.edges.iter().position(|edge| edge.line == line) else {
            continue;
        };
        let start = piece.edges[at].path.start().unwrap();
        let grow = kurbo::Affine::scale_about(by, start);
        let (old, new) = (
            piece.edges[at].path.end().unwrap(),
            grow * piece.edges[at].path.end().unwrap(),
        );
        piece.edges[at].path = piece.edges[at].path.transformed(grow);
        for (n, edge) in piece.edges.iter_mut().enumerate() {
            let ends = (edge.path.start().unwrap(), edge.path.end().unwrap());
            if n != at && ((ends.0 - old).hypot() < 0.01 || (ends.1 - old).hypot() < 0.01) {
                edge.path = moved_end(&edge.path, old, new);
            }
        }
    }
    drawn
}

/// A path with its end at `old` joined on to `new` by a straight line.
fn moved_end(path: &Path, old: Point, new: Point) -> Path {
    let extra = Path::line(old, new).unwrap();
    if (path.end().unwrap() - old).hypot() < 0.01 {
        Path::joined(&[path.clone(), extra]).unwrap()
    } else {
        Path::joined(&[extra.reversed(), path.clone()]).unwrap()
    }
}
