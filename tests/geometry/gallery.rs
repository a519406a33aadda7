//! Pictures of the hard cases, written to `target/gallery` to be looked at: sewing lines grey, results in colour.

use crate::common::{bodice, cubic, endless, line, polygon, sides, through};
use kurbo::{PathSeg, Point, Rect, Vec2};
use oaktag_geometry::allowance::{Corner, CutOutline, cut_outline};
use oaktag_geometry::curves::{Handle, hollow, sweep};
use oaktag_geometry::edit::End;
use oaktag_geometry::fair::{blend, smooth};
use oaktag_geometry::fold::unfold;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::outline::Outline;
use oaktag_geometry::parallel::parallel;
use oaktag_geometry::path::Path;
use std::fmt::Write;

const SEWN: &str = "#999";
const CUT: [&str; 6] = ["#c22", "#26c", "#292", "#a4a", "#c80", "#0aa"];

/// A sewing outline with its cut line, each edge's piece in its own colour.
fn cut_picture(name: &str, edges: &[Path], cut: &CutOutline) {
    let sewn = edges.iter().map(|path| (path, SEWN, 0.5));
    let coloured = cut
        .edges
        .iter()
        .map(|edge| (&edge.path, CUT[edge.edge % CUT.len()], 0.6));
    let holes = cut
        .holes
        .iter()
        .flatten()
        .map(|edge| (&edge.path, CUT[edge.edge % CUT.len()], 0.6));
    let turns: Vec<(Point, &str)> = cut
        .edges
        .iter()
        .map(|edge| (edge.path.start().unwrap(), "#000"))
        .collect();
    picture(
        name,
        &sewn.chain(coloured).chain(holes).collect::<Vec<_>>(),
        &turns,
    );
}

#[test]
fn corners_of_every_kind() {
    for (name, corner) in [
        ("corner-mitred", Corner::Mitred),
        ("corner-squared", Corner::Squared { first: 0 }),
        ("corner-turned-back", Corner::TurnedBack { hem: 0 }),
        ("corner-stepped", Corner::Stepped { edge: 1, at: 25.0 }),
    ] {
        for degrees in [40.0, 90.0, 140.0f64] {
            let away = Vec2::from_angle((180.0 - degrees).to_radians()) * 120.0;
            let points = [(-120.0, 0.0), (0.0, 0.0), (away.x, away.y)];
            let cut = cut_outline(
                &polygon(&points),
                &[20.0, 12.0, 6.0],
                &[corner, Corner::Mitred, Corner::Mitred],
            )
            .unwrap();
            cut_picture(&format!("{name}-{degrees}"), &sides(&points), &cut);
        }
    }
    let inward = [
        (0.0, 0.0),
        (140.0, 0.0),
        (140.0, 120.0),
        (80.0, 120.0),
        (80.0, 60.0),
        (0.0, 60.0),
    ];
    for (name, corner) in [
        ("inward-mitred", Corner::Mitred),
        ("inward-stepped", Corner::Stepped { edge: 4, at: 20.0 }),
    ] {
        let corners = [
            Corner::Mitred,
            Corner::Mitred,
            Corner::Mitred,
            Corner::Mitred,
            corner,
            Corner::Mitred,
        ];
        // The inward corner stands between edges 3 and 4.
        let corners = if corner == Corner::Mitred {
            corners
        } else {
            [
                corners[0], corners[0], corners[0], corner, corners[0], corners[0],
            ]
        };
        let cut = cut_outline(
            &polygon(&inward),
            &[10.0, 10.0, 10.0, 15.0, 8.0, 10.0],
            &corners,
        )
        .unwrap();
        cut_picture(name, &sides(&inward), &cut);
    }
}

#[test]
fn cut_lines_of_whole_pieces() {
    let edges = bodice();
    let outline = Outline::new(&edges).unwrap();
    let mut corners = [Corner::Mitred; 6];
    corners[0] = Corner::TurnedBack { hem: 0 };
    corners[2] = Corner::Squared { first: 3 };
    corners[3] = Corner::Squared { first: 3 };
    let cut = cut_outline(&outline, &[30.0, 12.0, 10.0, 12.0, 7.0, 0.0], &corners).unwrap();
    cut_picture("bodice", &edges, &cut);
    // A hollow tighter than its allowance, a notch-sized dent, and a slot that closes.
    let dent = [
        (0.0, 0.0),
        (80.0, 0.0),
        (81.5, 3.0),
        (83.0, 0.0),
        (160.0, 0.0),
        (160.0, 60.0),
        (0.0, 60.0),
    ];
    cut_picture(
        "notch-sized-dent",
        &sides(&dent),
        &cut_outline(&polygon(&dent), &[10.0; 7], &[Corner::Mitred; 7]).unwrap(),
    );
    let slot = [
        (0.0, 0.0),
        (160.0, 0.0),
        (160.0, 100.0),
        (86.0, 100.0),
        (86.0, 30.0),
        (74.0, 30.0),
        (74.0, 100.0),
        (0.0, 100.0),
    ];
    cut_picture(
        "slot-that-closes",
        &sides(&slot),
        &cut_outline(&polygon(&slot), &[10.0; 8], &[Corner::Mitred; 8]).unwrap(),
    );
    let tight = vec![
        line((0.0, 0.0), (200.0, 0.0)),
        line((200.0, 0.0), (200.0, 100.0)),
        line((200.0, 100.0), (112.0, 100.0)),
        cubic((112.0, 100.0), (112.0, 70.0), (88.0, 70.0), (88.0, 100.0)),
        line((88.0, 100.0), (0.0, 100.0)),
        line((0.0, 100.0), (0.0, 0.0)),
    ];
    let cut = cut_outline(
        &Outline::new(&tight).unwrap(),
        &[10.0, 10.0, 10.0, 20.0, 10.0, 10.0],
        &[Corner::Mitred; 6],
    )
    .unwrap();
    cut_picture("hollow-tighter-than-its-allowance", &tight, &cut);
    let sharp = [(0.0, 0.0), (150.0, 12.0), (0.0, 24.0)];
    cut_picture(
        "sharp-point",
        &sides(&sharp),
        &cut_outline(&polygon(&sharp), &[10.0, 7.0, 10.0], &[Corner::Mitred; 3]).unwrap(),
    );
    let short = [
        (0.0, 0.0),
        (100.0, 0.0),
        (103.0, 3.0),
        (103.0, 60.0),
        (0.0, 60.0),
    ];
    cut_picture(
        "short-edge-beside-wide",
        &sides(&short),
        &cut_outline(
            &polygon(&short),
            &[30.0, 5.0, 30.0, 10.0, 10.0],
            &[Corner::Mitred; 5],
        )
        .unwrap(),
    );
}

#[test]
fn parallels_and_their_folds() {
    let hairpin = cubic((0.0, 0.0), (150.0, 30.0), (150.0, -10.0), (0.0, 60.0));
    let drawn: Vec<Path> = [-30.0, -10.0, 5.0, 12.0, 20.0, 25.0]
        .iter()
        .filter_map(|d| parallel(&hairpin, *d, 1e-3).ok())
        .collect();
    assert!(drawn.len() >= 5);
    let mut paths = vec![(&hairpin, SEWN, 0.8)];
    paths.extend(drawn.iter().map(|path| (path, CUT[0], 0.4)));
    picture("parallel-hairpin", &paths, &[]);
    let bent = through(&[(0.0, 0.0), (80.0, 0.0), (60.0, 50.0), (140.0, 60.0)]);
    let drawn: Vec<Path> = [-8.0, 8.0, 14.0]
        .iter()
        .map(|d| parallel(&bent, *d, 1e-3).unwrap())
        .collect();
    let mut paths = vec![(&bent, SEWN, 0.8)];
    paths.extend(drawn.iter().map(|path| (path, CUT[1], 0.4)));
    picture("parallel-corners", &paths, &[]);
}

#[test]
fn curves_and_caps() {
    let (t, level) = (Point::ORIGIN, Vec2::new(-1.0, 0.0));
    let back = sweep(
        t,
        level,
        Point::new(-188.34, -127.83),
        level,
        Handle::Length(90.4),
        Handle::Length(71.6),
    )
    .unwrap();
    let front = sweep(
        t,
        -level,
        Point::new(178.8, -127.83),
        -level,
        Handle::Length(78.7),
        Handle::Length(82.2),
    )
    .unwrap();
    picture(
        "sleeve-cap",
        &[(&back, CUT[0], 0.8), (&front, CUT[1], 0.8)],
        &[(t, "#000")],
    );
    let (p, c, q) = (
        Point::new(0.0, 0.0),
        Point::new(0.0, -100.0),
        Point::new(60.0, -100.0),
    );
    let hollows: Vec<Path> = [0.0, 0.3, 0.55228, 0.6, 0.8, 1.0]
        .iter()
        .map(|k| hollow(p, c, q, *k).unwrap())
        .collect();
    let drawn: Vec<(&Path, &str, f64)> = hollows.iter().map(|path| (path, CUT[2], 0.4)).collect();
    picture("hollows", &drawn, &[(c, "#000")]);
    let points = [
        (0.0, 0.0),
        (40.0, 30.0),
        (90.0, 35.0),
        (120.0, 10.0),
        (160.0, -20.0),
        (230.0, -5.0),
    ]
    .map(Point::from);
    let path = smooth(&points, None, None).unwrap();
    let marks: Vec<(Point, &str)> = points.iter().map(|p| (*p, "#000")).collect();
    picture("smooth-s", &[(&path, CUT[0], 0.8)], &marks);
    let hem = cubic((0.0, 0.0), (90.0, 4.0), (180.0, 60.0), (240.0, 70.0));
    let squared = blend(&hem, End::End, Vec2::new(1.0, 0.0), 70.0).unwrap();
    picture(
        "blend-square-at-side",
        &[(&hem, SEWN, 0.5), (&squared, CUT[0], 0.5)],
        &[],
    );
}

#[test]
fn folds_and_crossings() {
    let neck = Path::joined(&[
        hollow(
            Point::new(436.12, -1.07),
            Point::new(472.48, -86.73),
            Point::new(510.0, -86.73),
            0.6,
        )
        .unwrap(),
        line((510.0, -86.73), (525.0, -86.73)),
    ])
    .unwrap();
    let fold = |x: f64| line((x, -60.0), (x, -130.0));
    let open = |x: f64| endless((x, 0.0), (0.0, 1.0));
    let made = unfold(&neck, &[open(525.0), open(555.0)], &open(585.0)).unwrap();
    let (f1, f2, raw) = (fold(525.0), fold(555.0), fold(585.0));
    let mut paths = vec![(&f1, SEWN, 0.3), (&f2, SEWN, 0.3), (&raw, SEWN, 0.3)];
    paths.extend(
        made.layers
            .iter()
            .zip(CUT)
            .map(|(path, colour)| (path, colour, 0.7)),
    );
    picture(
        "button-stand-unfolded",
        &paths,
        &made.points.iter().map(|p| (*p, "#000")).collect::<Vec<_>>(),
    );

    let a = cubic(
        (0.0, 150.0),
        (100.0 / 3.0, -450.0),
        (200.0 / 3.0, 550.0),
        (100.0, -50.0),
    );
    let b = cubic(
        (150.0, 0.0),
        (-450.0, 100.0 / 3.0),
        (550.0, 200.0 / 3.0),
        (-50.0, 100.0),
    );
    let met = meetings(&a, &b);
    let marks: Vec<(Point, &str)> = met.crossings.iter().map(|m| (m.point, "#000")).collect();
    picture(
        "nine-crossings",
        &[(&a, CUT[0], 0.5), (&b, CUT[1], 0.5)],
        &marks,
    );
}

/// A picture under a name: each path with a colour and a pen width in millimetres, and marked points.
pub fn picture(name: &str, paths: &[(&Path, &str, f64)], points: &[(Point, &str)]) {
    let bounds = paths.iter().filter_map(|p| p.0.bounds().ok());
    let marked = points.iter().map(|p| Rect::from_points(p.0, p.0));
    let b = bounds
        .chain(marked)
        .reduce(|a, b| a.union(b))
        .unwrap()
        .inflate(8.0, 8.0);
    let mut text = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='900' viewBox='{:.3} {:.3} {:.3} {:.3}'>\n\
         <rect x='{:.3}' y='{:.3}' width='{:.3}' height='{:.3}' fill='white'/>\n",
        b.x0,
        -b.y1,
        b.width(),
        b.height(),
        b.x0,
        -b.y1,
        b.width(),
        b.height()
    );
    for (path, colour, pen) in paths {
        writeln!(
            text,
            "<path d='{}' fill='none' stroke='{colour}' stroke-width='{pen}'/>",
            data(path)
        )
        .unwrap();
    }
    for (p, colour) in points {
        writeln!(
            text,
            "<circle cx='{:.3}' cy='{:.3}' r='1.2' fill='{colour}'/>",
            p.x, -p.y
        )
        .unwrap();
    }
    text.push_str("</svg>\n");
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/gallery");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(format!("{name}.svg")), text).unwrap();
}

fn data(path: &Path) -> String {
    let mut text = String::new();
    let at = |p: Point| format!("{:.4} {:.4}", p.x, -p.y);
    for (n, seg) in path.segs().iter().enumerate() {
        match seg {
            PathSeg::Line(l) => {
                let begin = if n == 0 {
                    format!("M{}", at(l.p0))
                } else {
                    String::new()
                };
                write!(text, "{begin}L{}", at(l.p1)).unwrap();
            }
            PathSeg::Cubic(c) => {
                let begin = if n == 0 {
                    format!("M{}", at(c.p0))
                } else {
                    String::new()
                };
                write!(text, "{begin}C{} {} {}", at(c.p1), at(c.p2), at(c.p3)).unwrap();
            }
            PathSeg::Quad(_) => unreachable!("paths hold lines and cubics"),
        }
    }
    text
}
