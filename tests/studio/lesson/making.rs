//! The order of making up, held against cloths whose order is known: a rectangle is cut in two, each part again, and so on; what
//! was cut last is sewn first, since every cut ends at one that was made before it. And against what anybody who sews knows of
//! the examples.

use crate::chance::Chance;
use crate::lesson::{example, taught};
use oaktag_studio::lesson::Options;
use std::fmt::Write;

/// A rectangle of whole centimetres: left, low, right, high.
#[derive(Clone, Copy)]
struct Part([usize; 4]);

/// A cut that was made across a part, from one of its rims to the other.
struct Cut {
    name: String,
    upright: bool,
    at: usize,
    from: usize,
    to: usize,
}

impl Cut {
    /// Whether an end of it lies on another.
    fn ends_at(&self, other: &Cut) -> bool {
        self.upright != other.upright
            && [self.from, self.to].contains(&other.at)
            && (other.from..=other.to).contains(&self.at)
    }
}

/// Cuts a part in two, and the parts again.
fn cut(part: Part, deep: usize, chance: &mut Chance, cuts: &mut Vec<Cut>, left: &mut Vec<Part>) {
    let Part([x0, y0, x1, y1]) = part;
    if deep == 0 || (!cuts.is_empty() && chance.below(4) == 0) {
        left.push(part);
        return;
    }
    let upright = chance.below(2) == 0;
    let (low, high) = if upright { (x0, x1) } else { (y0, y1) };
    if high - low < 12 {
        left.push(part);
        return;
    }
    // Ends of cuts that meet from both sides would be one place or two: every cut has a line of its own.
    let at = low + 5 + chance.below(high - low - 10);
    let taken = cuts
        .iter()
        .any(|one| one.upright == upright && one.at.abs_diff(at) < 2);
    if taken {
        left.push(part);
        return;
    }
    let (from, to) = if upright { (y0, y1) } else { (x0, x1) };
    let number = cuts.len();
    cuts.push(Cut {
        name: format!("cut_{number}"),
        upright,
        at,
        from,
        to,
    });
    let [one, other] = if upright {
        [[x0, y0, at, y1], [at, y0, x1, y1]]
    } else {
        [[x0, y0, x1, at], [x0, at, x1, y1]]
    };
    cut(Part(one), deep - 1, chance, cuts, left);
    cut(Part(other), deep - 1, chance, cuts, left);
}

/// The draft that sews the parts together again, its seams in an order by chance.
fn draft(cuts: &[Cut], parts: &[Part], chance: &mut Chance) -> String {
    let mut text = "draft \"Cut up\"\nunit cm\n".to_owned();
    for (number, Part([x0, y0, x1, y1])) in parts.iter().enumerate() {
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
        let _ = writeln!(text, "panel p{number} {{");
        for (at, (x, y)) in corners.iter().enumerate() {
            let _ = writeln!(text, "  point c{at} = origin right {x}cm up {y}cm");
        }
        for (at, side) in ["low", "right_side", "high", "left_side"]
            .iter()
            .enumerate()
        {
            let _ = writeln!(text, "  line {side} = from c{at} to c{}", (at + 1) % 4);
        }
        let _ = writeln!(
            text,
            "}}\npiece p{number} \"Part {number}\" {{\n  outline low, right_side, high, left_side\n  cut 1\n  grain along left_side\n  allow 1cm"
        );
        let outer = [
            ("low", *y0 == 0),
            ("right_side", *x1 == 160),
            ("high", *y1 == 160),
            ("left_side", *x0 == 0),
        ];
        for (side, _) in outer.iter().filter(|(_, is_outer)| *is_outer) {
            let _ = writeln!(text, "  finish {side} \"bound\"");
        }
        text.push_str("}\n");
    }
    let mut seams: Vec<String> = cuts.iter().map(|cut| seam(cut, parts)).collect();
    while !seams.is_empty() {
        text.push_str(&seams.remove(chance.below(seams.len())));
    }
    text
}

fn seam(cut: &Cut, parts: &[Part]) -> String {
    let beside = |before: bool| {
        let mut found: Vec<(usize, String)> = parts
            .iter()
            .enumerate()
            .filter_map(|(number, Part([x0, y0, x1, y1]))| {
                let (low, high, from, to, names) = if cut.upright {
                    (x0, x1, y0, y1, ["right_side", "left_side"])
                } else {
                    (y0, y1, x0, x1, ["high", "low"])
                };
                let (edge, name) = if before {
                    (high, names[0])
                } else {
                    (low, names[1])
                };
                let lies = *edge == cut.at && *from >= cut.from && *to <= cut.to;
                lies.then(|| (*from, format!("p{number}.{name}")))
            })
            .collect();
        found.sort();
        let names: Vec<String> = found.into_iter().map(|(_, name)| name).collect();
        names
    };
    let (one, other) = (beside(true), beside(false));
    format!(
        "seam {} joins {} to {}\n",
        cut.name,
        one.join(", "),
        other.join(", ")
    )
}

/// The names of the seams in the order in which they are sewn.
fn sewn(order: &[String]) -> Vec<String> {
    let named = order.iter().filter_map(|said| {
        let rest = said.strip_prefix("Sew the ")?;
        Some(rest.split([':', '.']).next()?.replace(' ', "_"))
    });
    named.collect()
}

#[test]
fn what_was_cut_last_is_sewn_first() {
    let (mut drafts, mut pairs) = (0, 0);
    for seed in 0..40 {
        let mut chance = Chance::new(seed);
        let (mut cuts, mut parts) = (Vec::new(), Vec::new());
        cut(
            Part([0, 0, 160, 160]),
            4,
            &mut chance,
            &mut cuts,
            &mut parts,
        );
        if cuts.len() < 3 {
            continue;
        }
        let text = draft(&cuts, &parts, &mut chance);
        let (lesson, json) = taught(&text, &Options::default());
        assert!(
            json["seams"]
                .as_array()
                .unwrap()
                .iter()
                .all(|seam| seam["ok"] == true),
            "seed {seed}:\n{text}"
        );
        let order = sewn(&lesson.order);
        assert_eq!(order.len(), cuts.len(), "seed {seed}: {:?}", lesson.order);
        let place = |name: &str| order.iter().position(|one| one == name).unwrap();
        for cut in &cuts {
            for outer in cuts.iter().filter(|outer| cut.ends_at(outer)) {
                assert!(
                    place(&cut.name) < place(&outer.name),
                    "seed {seed}: {} ends at {}: {order:?}\n{text}",
                    cut.name,
                    outer.name
                );
                pairs += 1;
            }
        }
        // The rim is finished when the seams that end there are sewn.
        let rim = lesson
            .order
            .iter()
            .position(|said| said.starts_with("Finish"))
            .unwrap();
        let last = lesson
            .order
            .iter()
            .rposition(|said| said.starts_with("Sew the"))
            .unwrap();
        assert!(rim > last, "{:?}", lesson.order);
        drafts += 1;
    }
    assert!(drafts > 25 && pairs > 100, "{drafts} drafts, {pairs} pairs");
}

/// What comes before what on the examples, as those who sew have it (common practice).
#[test]
fn parts_are_made_up_in_the_order_of_work() {
    for (file, before) in [
        (
            "womens-crew-shirt.draft",
            [
                ("Make up Patch pocket", "Sew the side"),
                ("Fold Back along the pleat line", "Sew the yoke"),
                ("Make up Placket overlap", "Sew the cuff"),
                ("Make up Placket underlap", "Sew the cuff"),
                ("Finish the hem slit of Sleeve", "Sew the cuff"),
                (
                    "Fold Sleeve along fold 1 (laid onto pleat line 1)",
                    "Sew the cuff",
                ),
                ("Lay “Cuff, interlining” on Cuff", "Sew the cuff"),
                ("Sew the fall edge", "Sew the fall to stand"),
                ("Sew the fall edge", "Sew the under fall to stand"),
                ("Sew the fall to stand", "Sew the neck"),
                ("Sew the under fall to stand", "Sew the neck"),
                ("Fold Front along fold 1 and fold 2", "Sew the neck"),
                (
                    "Sew the side",
                    "Finish the pleat base and the hem of Back and the hem of Front",
                ),
                ("Sew the neck", "Last, work the buttonholes"),
            ]
            .as_slice(),
        ),
        (
            "straight-skirt.draft",
            &[
                ("Sew the 2 darts of Back", "Sew the waist"),
                ("Sew the dart of Front", "Sew the waist"),
                ("Sew the side", "Sew the waist"),
                ("Sew the centre back", "Sew the waist"),
                ("Lay “Waistband, interlining” on Waistband", "Sew the waist"),
                ("Sew the waist", "Fold Waistband along the fold line"),
                ("Sew the side", "Finish the hem"),
            ],
        ),
        (
            "fitted-blouse.draft",
            &[
                ("Sew the shoulder", "Sew the armhole"),
                ("Sew the side", "Sew the armhole"),
                ("Sew the sleeve seam", "Sew the armhole"),
            ],
        ),
    ] {
        let (lesson, _) = taught(&example(file), &Options::default());
        let place = |words: &str| {
            let found = lesson.order.iter().position(|said| said.starts_with(words));
            found.unwrap_or_else(|| panic!("{file}: {words}: {:#?}", lesson.order))
        };
        for (first, then) in before {
            assert!(
                place(first) < place(then),
                "{file}: {first}, {then}: {:#?}",
                lesson.order
            );
        }
        assert!(lesson.order_found.contains("How this order is found"));
    }
}

/// The fitted blouse states no order, so that the sleeve is set in the round; where the draft says otherwise, that stands.
#[test]
fn an_order_that_the_draft_says_stands() {
    let text = example("fitted-blouse.draft");
    let stated = format!("{text}\norder shoulder, armhole, side, sleeve_seam\n");
    let names = ["shoulder", "armhole", "side", "sleeve_seam"].map(str::to_owned);
    let of = |text: &str| {
        let (lesson, _) = taught(text, &Options::default());
        let order = sewn(&lesson.order);
        order
            .into_iter()
            .filter(|name| names.contains(name))
            .collect::<Vec<_>>()
    };
    assert_eq!(of(&stated), names);
    assert_eq!(of(&text).last().map(String::as_str), Some("armhole"));
}
