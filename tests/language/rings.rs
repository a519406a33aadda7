//! Sides of several pieces: rings that seams close, rows of pieces that no seam joins, edges closed by themselves. All are
//! straight strips and squares, so that every place along them is known by construction.

use crate::drawing::Run;

use kurbo::Point;
use oaktag_language::pattern::{After, Decided, Pattern, Seam};
use oaktag_language::report::Code;

/// A strip 100 mm deep: `top` runs to the right from `p0` to `p1`, `p2` and `p3` lie below them, and `m` on `top`.
#[derive(Clone)]
struct Strip {
    name: &'static str,
    wide: u32,
    /// Where `p0` lies.
    at: (i32, i32),
    /// How far `m` lies from `p0`.
    m: u32,
}

impl Strip {
    fn written(&self) -> String {
        let Strip { name, wide, m, .. } = self;
        let (x, y) = self.at;
        format!(
            "panel {name} {{
  point p0 = origin right {x}mm down {y}mm
  point p1 = p0 right {wide}mm
  point p2 = p1 down 100mm
  point p3 = p0 down 100mm
  point m = p0 right {m}mm
  line top = from p0 to p1
  line right_side = from p1 to p2
  line low = from p2 to p3
  line left_side = from p3 to p0
}}
piece {name} {{
  outline top, right_side, low, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish low \"bound\"
}}
"
        )
    }
}

fn strip(name: &'static str, wide: u32, at: (i32, i32), m: u32) -> Strip {
    Strip { name, wide, at, m }
}

fn drawn(strips: &[Strip], seams: &str) -> (Pattern, Vec<(Code, String)>) {
    let strips: String = strips.iter().map(Strip::written).collect();
    run(&format!("{strips}{seams}"))
}

fn run(text: &str) -> (Pattern, Vec<(Code, String)>) {
    let (_, outcome) = Run::of(&format!("draft \"Rings\"\nunit mm\n{text}")).drawn();
    let told = outcome.diagnostics.iter().filter(|told| told.is_error());
    let unit = outcome.pattern.unit;
    let told = told.map(|told| (told.code, told.message.in_unit(unit).into_owned()));
    let told = told.collect();
    (outcome.pattern, told)
}

fn pieces(seam: &Seam) -> Vec<&str> {
    let edges = seam.first.edges.iter();
    edges.map(|edge| edge.piece.as_str()).collect()
}

/// The places of notches, which are as far along on both sides.
fn mains(seam: &Seam) -> Vec<f64> {
    let mains = seam.notches.iter().map(|notch| notch.main);
    mains
        .map(|(first, second)| {
            assert!((first - second).abs() < 1e-6, "{first} {second}");
            first
        })
        .collect()
}

fn near(found: &[f64], wanted: &[f64]) {
    let close = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-6;
    assert!(
        found.len() == wanted.len() && found.iter().zip(wanted).all(close),
        "{found:?}, wanted {wanted:?}"
    );
}

/// A tube of three pieces is walked in the order in which they are written, from the joint where the list begins.
#[test]
fn a_ring_is_walked_in_the_order_in_which_it_is_written() {
    let strips = [
        strip("a", 100, (0, 0), 10),
        strip("b", 150, (0, 500), 10),
        strip("c", 50, (0, 1000), 10),
        strip("band", 300, (0, 1500), 10),
    ];
    let long = |name: &str| strips.iter().find(|one| one.name == name).unwrap().wide;
    for order in [
        ["a", "b", "c"],
        ["a", "c", "b"],
        ["b", "a", "c"],
        ["b", "c", "a"],
        ["c", "a", "b"],
        ["c", "b", "a"],
    ] {
        let [x, y, z] = order;
        let (pattern, told) = drawn(
            &strips,
            &format!(
                "seam crown joins {x}.top, {y}.top, {z}.top to band.top
seam ab joins a.right_side to b.left_side from a.p1, b.p0
seam bc joins b.right_side to c.left_side from b.p1, c.p0
seam ca joins c.right_side to a.left_side from c.p1, a.p0
seam close joins band.right_side to band.left_side from band.p1, band.p0
"
            ),
        );
        assert!(told.is_empty(), "{told:?}");
        let seam = pattern.seam("crown").unwrap();
        assert_eq!(seam.decided, Decided::Whole);
        assert_eq!(pieces(seam), order);
        let begins: Vec<f64> = seam.first.edges.iter().map(|edge| edge.from).collect();
        let (x, y) = (f64::from(long(x)), f64::from(long(y)));
        near(&begins, &[0.0, x, x + y]);
        let after: Vec<After> = seam.first.edges.iter().map(|edge| edge.after).collect();
        assert_eq!(after, [After::Start, After::Seam, After::Seam]);
    }
}

/// Two tubes of two halves each, with one side seam that runs through both and one in each alone: the joint that is of both
/// tubes is where the seam between them begins.
#[test]
fn a_ring_of_two_halves_begins_at_the_joint_that_meets_one_of_the_other_side() {
    let strips = [
        strip("tf", 100, (0, 0), 30),
        strip("tb", 140, (0, 500), 30),
        strip("sf", 100, (0, 1000), 30),
        strip("sb", 140, (0, 1500), 30),
    ];
    let waist = "seam waist joins tf.top, tb.top to sf.top, sb.top {
  notch single at tf.m, sf.m
  notch single at tb.m, sb.m
}
";
    let left = "seam left_through joins tf.left_side, sf.left_side to tb.right_side, sb.right_side from tf.p3, tb.p2
seam right_above joins tf.right_side to tb.left_side from tf.p1, tb.p0
seam right_below joins sf.right_side to sb.left_side from sf.p1, sb.p0
";
    let right = "seam right_through joins tf.right_side, sf.right_side to tb.left_side, sb.left_side from tf.p2, tb.p3
seam left_above joins tf.left_side to tb.right_side from tf.p0, tb.p1
seam left_below joins sf.left_side to sb.right_side from sf.p0, sb.p1
";
    // From the front's side of the joint the front comes first, from the back's side the back.
    for (seams, front_first, back_first) in [
        (left, [30.0, 130.0], [110.0, 210.0]),
        (right, [70.0, 210.0], [30.0, 170.0]),
    ] {
        let (pattern, told) = drawn(&strips, &format!("{waist}{seams}"));
        assert!(told.is_empty(), "{told:?}");
        let seam = pattern.seam("waist").unwrap();
        assert_eq!(seam.decided, Decided::Places);
        let wanted = if pieces(seam) == ["tf", "tb"] {
            front_first
        } else {
            assert_eq!(pieces(seam), ["tb", "tf"]);
            back_first
        };
        near(&mains(seam), &wanted);
    }
    // Where both side seams are made of each tube alone, nothing says where the waist begins.
    let (_, told) = drawn(
        &strips,
        &format!(
            "{waist}seam left_above joins tf.left_side to tb.right_side from tf.p0, tb.p1
seam left_below joins sf.left_side to sb.right_side from sf.p0, sb.p1
seam right_above joins tf.right_side to tb.left_side from tf.p1, tb.p0
seam right_below joins sf.right_side to sb.left_side from sf.p1, sb.p0
"
        ),
    );
    let codes: Vec<Code> = told.iter().map(|told| told.0).collect();
    assert_eq!(codes, [Code::SeamUnsure], "{told:?}");
}

/// Pieces in a row that no seam joins run one way: that in which the first leaves the seam's start, or the last its end.
#[test]
fn pieces_in_a_row_run_the_way_that_from_gives_one_of_them() {
    let row = |two: (i32, i32), from: &str| {
        let strips = [
            strip("one", 100, (0, 0), 40),
            strip("third", 200, (0, 500), 30),
            strip("two", 300, two, 10),
        ];
        let (pattern, told) = drawn(
            &strips,
            &format!(
                "seam row joins one.top, third.top to two.top from {from} {{
  notch single at one.m
  notch single at third.m
}}
"
            ),
        );
        assert!(told.is_empty(), "{from}: {told:?}");
        let seam = pattern.seam("row").unwrap().clone();
        assert_eq!(seam.decided, Decided::From);
        (pieces(&seam).join(" "), mains(&seam))
    };
    for (two, from, order, wanted) in [
        // Both starts lie in one place, and the points are called alike.
        ((0, 0), "one.p0, two.p0", "one third", [40.0, 130.0]),
        ((-200, 0), "one.p1, two.p1", "one third", [60.0, 270.0]),
        ((0, 900), "one.p0, two.p0", "one third", [40.0, 130.0]),
        ((0, 900), "one.p1, two.p0", "one third", [60.0, 270.0]),
        ((0, 900), "third.p0, two.p0", "third one", [30.0, 240.0]),
        ((0, 900), "third.p1, two.p0", "third one", [170.0, 260.0]),
    ] {
        let (found, places) = row(two, from);
        assert_eq!(found, order, "{from}");
        near(&places, &wanted);
    }
}

/// Without `from`, edges of one panel that touch tell the way of a row; on another sheet they say nothing.
#[test]
fn pieces_in_a_row_run_the_way_in_which_edges_of_one_panel_touch() {
    let part = |name: &str, left: u32, right: u32, m: u32| {
        format!(
            "  point {name}_m = origin right {m}mm
  line {name} = from (origin right {left}mm) to (origin right {right}mm)
  line {name}_right = from end of {name} toward down for 100mm
  line {name}_low = from end of {name}_right toward left for {}mm
  line {name}_left = from end of {name}_low to start of {name}
",
            right - left
        )
    };
    let piece = |panel: &str, name: &str| {
        format!(
            "piece {name}_part of {panel} {{
  outline {name}, {name}_right, {name}_low, {name}_left
  cut 2
  grain along {name}_left
  allow 10mm
  finish {name}_right, {name}_low, {name}_left \"bound\"
}}
"
        )
    };
    let (short, long) = (part("short", 0, 100, 30), part("long", 100, 300, 150));
    let draft = |panels: &str, [a, b]: [&str; 2]| {
        run(&format!(
            "{panels}{}{}{}seam row joins {a}.short, {b}.long to two.top {{
  notch single at {a}.short_m, two.m
  notch single at {b}.long_m, (two.p0 right 150mm)
}}
",
            piece(a, "short"),
            piece(b, "long"),
            strip("two", 300, (0, 500), 30).written(),
        ))
    };
    let (pattern, told) = draft(&format!("panel row {{\n{short}{long}}}\n"), ["row", "row"]);
    assert!(told.is_empty(), "{told:?}");
    let seam = pattern.seam("row").unwrap();
    assert_eq!(seam.decided, Decided::Places);
    assert_eq!(pieces(seam), ["short_part", "long_part"]);
    near(&mains(seam), &[30.0, 150.0]);
    let apart = format!("panel west {{\n{short}}}\npanel east {{\n{long}}}\n");
    let (_, told) = draft(&apart, ["west", "east"]);
    let codes: Vec<Code> = told.iter().map(|told| told.0).collect();
    assert_eq!(codes, [Code::SeamUnsure], "{told:?}");
}

/// A square of 100 mm as one closed edge, begun at its own corner `k0`; `m` lies 30 mm from there toward `k1`.
#[test]
fn a_closed_edge_begins_where_from_says_and_goes_first_toward_its_point() {
    const CORNERS: [(f64, f64); 4] = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
    let square = |name: &str, y: u32, order: [usize; 4]| {
        let points = CORNERS.iter().enumerate().map(|(index, (right, down))| {
            let down = down + f64::from(y);
            format!("  point k{index} = origin right {right}mm down {down}mm\n")
        });
        let points: String = points.collect();
        let [a, b, c, d] = order;
        format!(
            "panel {name} {{
{points}  point m = k0 right 30mm
  line s1 = from k{a} to k{b}
  line s2 = from k{b} to k{c}
  line s3 = from k{c} to k{d}
  line s4 = from k{d} to k{a}
  curve rim = join s1, s2, s3, s4
}}
piece {name} {{
  outline rim
  cut 2
  allow 10mm
}}
"
        )
    };
    // The place so far along from a corner, one way round or the other.
    let walked = |start: usize, onward: bool, far: f64| {
        let side = (far / 100.0).floor();
        let corner = |steps: usize| {
            let steps = if onward { steps } else { 4 - steps % 4 };
            CORNERS[(start + steps) % 4]
        };
        let at = side as usize;
        let (a, b) = (corner(at), corner(at + 1));
        let share = far / 100.0 - side;
        (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
    };
    let mut held = 0;
    for drawn in [[0, 1, 2, 3], [0, 3, 2, 1], [2, 3, 0, 1]] {
        for start in 0..4 {
            for onward in [true, false] {
                let toward = (start + if onward { 1 } else { 3 }) % 4;
                let text = format!(
                    "{}{}seam rim joins lid.rim to base.rim from lid.k{start}, base.k2 toward lid.k{toward}, base.k3 {{
  notch single at lid.m
  notch single at 20mm from lid.k{start}
}}
",
                    square("lid", 0, drawn),
                    square("base", 500, [1, 2, 3, 0]),
                );
                let (pattern, told) = run(&text);
                assert!(told.is_empty(), "{drawn:?} {start} {onward}: {told:?}");
                let seam = pattern.seam("rim").unwrap();
                assert_eq!(seam.decided, Decided::From);
                // From `k0` the point lies 30 mm on, or 30 mm short of a whole round.
                let m = if onward {
                    100.0 * ((4 - start) % 4) as f64 + 30.0
                } else {
                    (100.0 * start as f64 - 30.0).rem_euclid(400.0)
                };
                let mut wanted = [m, 20.0];
                wanted.sort_by(f64::total_cmp);
                near(&mains(seam), &wanted);
                for (name, start, onward, y) in
                    [("lid", start, onward, 0.0), ("base", 2, true, 500.0)]
                {
                    let piece = pattern.piece(name).unwrap();
                    assert_eq!(piece.notches.len(), 2, "{name}");
                    for far in wanted {
                        let (x, down) = walked(start, onward, far);
                        let place = Point::new(x, -down - y);
                        let at = |mark: Point| (mark - place).hypot() < 1e-6;
                        let found = piece.notches.iter().any(|notch| at(notch.marks[0].sewing));
                        assert!(
                            found,
                            "{drawn:?} {start} {onward} {name} {far}: {:?}",
                            piece.notches
                        );
                        held += 1;
                    }
                }
            }
        }
    }
    assert_eq!(held, 3 * 4 * 2 * 2 * 2);
}

/// Strips that lie over each other have the same points at the same places: the one that is named is meant.
#[test]
fn a_ring_of_like_strips_begins_at_the_one_that_is_named() {
    let like = ["one", "two", "three"].map(|name| strip(name, 120, (0, 0), 30));
    let mut all = like.to_vec();
    all.push(strip("band", 360, (0, 0), 30));
    let joined = "seam one_two joins one.right_side to two.left_side
seam two_three joins two.right_side to three.left_side
seam three_one joins three.right_side to one.left_side
seam ends joins band.right_side to mirrored band.left_side
";
    for first in ["one", "two", "three"] {
        let seams = format!(
            "{joined}seam waist joins one.top, two.top, three.top to band.top from {first}.p0, band.p0"
        );
        let (pattern, told) = drawn(&all, &seams);
        let waist = pattern.seams.iter().find(|seam| seam.name == "waist");
        let waist = waist.unwrap_or_else(|| panic!("{told:?}"));
        let order: Vec<&str> = ["one", "two", "three", "one", "two"].to_vec();
        let from = order.iter().position(|name| *name == first).unwrap_or(0);
        assert_eq!(pieces(waist), order[from..from + 3], "{first}: {told:?}");
        assert_eq!(waist.decided, Decided::From, "{first}: {told:?}");
    }
}
