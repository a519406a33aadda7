//! Drafts of any size: for reading, with and without slips, and for checking and drawing, by points, by pieces and by lines.

use super::chance::Chance;
use std::fmt::Write;

const BLOCK: &str = include_str!("../../tests/data/drafts/block.draft");
const SLEEVE: &str = include_str!("../../tests/data/drafts/sleeve.draft");

/// A text of about so many bytes that can be read (names are drawn again and again, which reading does not ask about).
pub fn text(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + BLOCK.len() + SLEEVE.len());
    while text.len() < bytes {
        text.push_str(BLOCK);
        text.push_str(SLEEVE);
    }
    text
}

/// The same with a slip on about every third line, as hands make them.
pub fn text_with_slips(bytes: usize) -> String {
    let mut chance = Chance::new(7);
    let mut slipped = String::with_capacity(bytes + bytes / 8);
    for line in text(bytes).lines() {
        let words: Vec<&str> = line.split(' ').collect();
        match chance.below(21) {
            // A bracket opened and never closed, or closed and never opened.
            0 => slipped.push_str(&line.replacen('=', "= (", 1)),
            1 => slipped.push_str(&format!("{line})")),
            // The unit apart from its figure; a decimal comma; no unit at all.
            2 => slipped.push_str(&line.replace("cm", " cm")),
            3 => slipped.push_str(&line.replacen('.', ",", 1)),
            // A word lost; a word twice; two words exchanged by their letters.
            4 => slipped.push_str(&words.get(..words.len() - 1).unwrap_or_default().join(" ")),
            5 => slipped.push_str(&format!("{line} {}", words.last().unwrap_or(&""))),
            6 => slipped.push_str(&line.replace("from", "form").replace("to", "ot")),
            // A quotation mark never closed; a sign that no draft has; a brace too many.
            7 if line.contains('"') => slipped.push_str(&line.replacen('"', "", 1)),
            7 => slipped.push_str(&format!("{line} § ;")),
            8 if chance.below(8) == 0 => slipped.push_str(&format!("{line} }}")),
            _ => slipped.push_str(line),
        }
        slipped.push('\n');
    }
    slipped
}

/// Texts made to be slow: the same opening bracket again and again, and blocks inside one another, never closed.
pub fn unclosed(count: usize, opening: &str) -> String {
    format!("draft \"Unclosed\"\n{}", opening.repeat(count))
}

/// A draft of so many points, with a line to each and a curve to every other, forty to a panel.
pub fn points(count: usize) -> String {
    let mut chance = Chance::new(11);
    let mut text = String::from(
        "draft \"Points\"\nunit cm\nbody chest_girth = 96cm between 70cm and 140cm \"fullest part, tape level\"\n",
    );
    let mut left = count;
    let mut panel = 0;
    while left > 0 {
        panel += 1;
        let _ = writeln!(
            text,
            "panel sheet_{panel} {{\n  point p_0 = origin right {panel}cm"
        );
        for n in 1..left.min(40) + 1 {
            let (last, across) = (n - 1, chance.between(1.0, 4.0));
            let (down, share) = (chance.between(1.0, 9.0), chance.between(30.0, 60.0));
            let _ = writeln!(
                text,
                "  point p_{n} = p_{last} right chest_girth / {share:.1} + {across:.2}cm down {down:.2}cm"
            );
            let _ = writeln!(text, "  line l_{n} = from p_{last} to p_{n}");
            if n % 2 == 0 {
                let two = n - 2;
                let _ = writeln!(
                    text,
                    "  curve c_{n} = from p_{two} to p_{n} leaving right arriving down"
                );
            }
        }
        text.push_str("}\n");
        left = left.saturating_sub(40);
    }
    text
}

/// A draft of one piece whose outline has about so many points: a square with one side cut in shallow scallops.
pub fn outline(count: usize) -> String {
    let count = count.max(4);
    let mut text =
        String::from("draft \"Outline\"\nunit cm\npanel sheet {\n  point p_0 = origin\n");
    for n in 1..=count {
        let last = n - 1;
        let _ = writeln!(text, "  point p_{n} = p_{last} right 2cm");
        let _ = writeln!(
            text,
            "  curve e_{n} = from p_{last} to p_{n} leaving 20deg above right arriving 20deg below right"
        );
    }
    let _ = writeln!(
        text,
        "  point low = p_{count} down 30cm\n  line side = from p_{count} to low\n  point corner = origin down 30cm\n  line hem = from low to corner\n  line centre = from corner to p_0\n}}"
    );
    let edges: Vec<String> = (1..=count).map(|n| format!("e_{n}")).collect();
    let _ = writeln!(
        text,
        "piece sheet \"Sheet\" {{\n  outline {0}, side, hem, centre\n  cut 1\n  grain along centre\n  finish {0}, side, hem, centre \"turned once\"\n  allow 1cm\n}}",
        edges.join(", ")
    );
    text
}

/// The head of a draft of parts.
const HEAD: &str = "edition 1
# Parts of a shirt for the Lower Sound Ferries, each with figures of its own.
draft \"Parts\"
unit cm
body trunk_girth = 96cm between 70cm and 140cm \"fullest part, tape level\"
body trunk_length = 41cm between 35cm and 50cm \"nape to waist\"
choose part_ease = 12cm between 4cm and 24cm \"room to move, all round\"
cloth shirting \"poplin\" width 150cm
";

/// A draft of so many pieces, each drawn from nothing; every two are sewn together at the side.
pub fn pieces(count: usize) -> String {
    let mut chance = Chance::new(13);
    let mut text = HEAD.to_owned();
    for number in 0..count {
        let figures = Figures::of(number, &mut chance);
        part(&mut text, number, &figures, &Extras::default());
    }
    for pair in 0..count / 2 {
        seam(&mut text, pair);
    }
    text
}

/// A draft of about so many lines as a cutter would write it: panels in steps, with notes and reasons, darts, yokes,
/// facings, pockets and a solved depth here and there, pieces, seams and checks.
pub fn lines(count: usize) -> String {
    lines_after(HEAD, count)
}

/// The same, after the whole crew shirt out of the library.
pub fn lines_with_library(count: usize, shirt: &str) -> String {
    let head: String = HEAD
        .lines()
        .skip_while(|line| !line.starts_with("body"))
        .map(|line| format!("{line}\n"))
        .collect();
    // Cloths, bodies and choices stand before what is drawn; the shirt's own order comes last.
    let (before, drawn) = shirt.split_at(shirt.find("panel ").unwrap_or(shirt.len()));
    let whole = lines_after(
        &format!("{before}{head}"),
        count.saturating_sub(shirt.lines().count()),
    );
    format!("{whole}{drawn}")
}

fn lines_after(head: &str, count: usize) -> String {
    let mut chance = Chance::new(17);
    let mut text = head.to_owned();
    let mut number = 0;
    while text.lines().count() < count || number % 2 == 1 {
        let figures = Figures::of(number, &mut chance);
        let extras = Extras {
            dart: chance.below(3) > 0,
            yoke: chance.below(3) > 0,
            facing: chance.below(2) > 0,
            pocket: chance.below(2) > 0,
            solved: number % 4 == 1,
            words: true,
        };
        part(&mut text, number, &figures, &extras);
        if number % 2 == 1 {
            seam(&mut text, number / 2);
        }
        number += 1;
    }
    text
}

/// Figures of one part; both of a pair have the same side.
struct Figures {
    scye: f64,
    low: f64,
    neck: f64,
    rise: f64,
    shoulder: f64,
    slope: f64,
    full: f64,
    flare: f64,
}

impl Figures {
    fn of(number: usize, chance: &mut Chance) -> Self {
        let pair = 1 + number as u64 / 2;
        let mut pair = Chance::new(pair.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        Self {
            scye: pair.between(4.0, 5.0),
            low: pair.between(18.0, 34.0),
            flare: pair.between(0.0, 4.0),
            neck: chance.between(1.0, 12.0),
            rise: chance.between(18.0, 26.0),
            shoulder: chance.between(11.5, 13.5),
            slope: chance.between(16.0, 24.0),
            full: chance.between(0.55, 0.65),
        }
    }
}

/// What a part has beside its outline.
#[derive(Default)]
struct Extras {
    dart: bool,
    yoke: bool,
    facing: bool,
    pocket: bool,
    solved: bool,
    words: bool,
}

fn part(text: &mut String, number: usize, f: &Figures, extras: &Extras) {
    let _ = writeln!(text, "\npanel part_{number} {{");
    frame(text, f, extras.words);
    neck(text, f, extras);
    armhole(text, f, extras.words);
    for (wanted, step) in [
        (extras.dart, DART),
        (extras.yoke, YOKE),
        (extras.facing, FACING),
        (extras.pocket, POCKET),
    ] {
        if wanted {
            text.push_str(step);
        }
    }
    text.push_str("}\n");
    let marks: String = [
        (extras.dart, "  mark leg_in, leg_out \"dart\"\n"),
        (extras.yoke, "  mark yoke_line \"yoke\"\n"),
        (extras.facing, "  mark facing_edge, facing_front, facing_end \"facing\"\n"),
        (extras.pocket, "  mark pocket_upper, pocket_left, pocket_right \"pocket\"\n  mark pocket_lower_left, pocket_lower_right \"pocket\"\n"),
    ]
    .iter()
    .filter(|(drawn, _)| *drawn)
    .map(|(_, marks)| *marks)
    .collect();
    if extras.yoke {
        let _ = writeln!(
            text,
            "check \"armhole of part {number}\" that length of part_{number}.yoke_armhole + length of part_{number}.lower_armhole is within 0.1mm of length of part_{number}.armhole"
        );
    }
    let _ = writeln!(
        text,
        "piece part_{number} \"Part {number}\" {{
  outline centre, hem, side, armhole, shoulder, neck
  cut 1 on fold at centre from shirting
  grain along centre
  notch single at (8cm along armhole from underarm)
  finish neck \"sewn to the collar\"
  finish armhole \"sewn to the sleeve\"
  finish shoulder, hem \"turned twice\"
{marks}  allow 1cm
  allow 6mm on neck
}}
check \"neck of part {number}\" that length of part_{number}.neck is between 5cm and 30cm"
    );
}

fn seam(text: &mut String, pair: usize) {
    let (a, b) = (2 * pair, 2 * pair + 1);
    let _ = writeln!(
        text,
        "seam side_{pair} joins part_{a}.side to part_{b}.side {{\n  notch single at 85mm from part_{a}.underarm\n  allow 12mm\n}}"
    );
}

fn frame(text: &mut String, f: &Figures, words: bool) {
    let note = if words {
        "    note \"Draw the centre, and square out the scye line.\"\n"
    } else {
        ""
    };
    let _ = writeln!(
        text,
        "  step \"Frame\" {{
{note}    point nape = origin
    point scye = nape down trunk_girth / {:.3}
    point low = nape down trunk_length + {:.2}cm
    line centre = from nape to low
    line scye_line = square to centre at scye
    length quarter = (trunk_girth + part_ease) / 4
  }}",
        f.scye, f.low
    );
}

fn neck(text: &mut String, f: &Figures, extras: &Extras) {
    let _ = writeln!(
        text,
        "  step \"Neck and shoulder\" {{
    point neck_point = nape right trunk_girth / 14 + {:.2}mm up {:.2}mm
    point shoulder_point = {:.2}cm from neck_point toward {:.2}deg below right
    line shoulder = from neck_point to shoulder_point
    point neck_corner = where (square to shoulder at neck_point) meets (square to centre at nape)",
        f.neck, f.rise, f.shoulder, f.slope
    );
    if extras.solved {
        let _ = writeln!(
            text,
            "    note \"Try more and less round, until the neck is 4 mm longer than its chord.\"
    try roundness between 0.2 and 0.9 {{
      curve neck = from nape to neck_point around neck_corner with fullness roundness
    }} until length of neck is 4mm longer than (distance from nape to neck_point)"
        );
    } else {
        let _ = writeln!(
            text,
            "    curve neck = from nape to neck_point around neck_corner with fullness {:.3}",
            f.full
        );
    }
    if extras.words {
        text.push_str("    why \"Square at both ends, the neck runs on over the centre; it is {length of neck} long.\"\n");
    }
    text.push_str("  }\n");
}

fn armhole(text: &mut String, f: &Figures, words: bool) {
    let slip = if words {
        "    slip quarter is trunk_girth / 4 \"You left out the ease, {part_ease}.\"\n"
    } else {
        ""
    };
    let _ = writeln!(
        text,
        "  step \"Armhole\" {{
    point underarm = scye right quarter
    line across = square to scye_line at scye right 0.68 * quarter
    point armhole_mid = (1/2 of the way from shoulder_point to underarm) left until across
    curve armhole = from shoulder_point through armhole_mid to underarm
        leaving square to shoulder arriving along scye_line
{slip}  }}
  step \"Side and hem\" {{
    point side_low = low right quarter + {:.2}cm
    curve side = from underarm to side_low leaving down arriving down
    line hem = from low to side_low
  }}",
        f.flare
    );
}

const DART: &str = "  step \"Waist dart\" {
    # Its point lies below the fullest part.
    point dart_tip = scye right quarter / 2 down 3cm
    point dart_in = 1/3 of the way along hem from low
    angle dart = opening 2cm at dart_in about dart_tip
    note \"Pivot the leg about its point until the mouth is 2 cm: {dart}.\"
    point dart_out = pivot dart_in about dart_tip by dart clockwise
    line leg_in = from dart_in to dart_tip
    line leg_out = from dart_tip to dart_out
  }
";

const YOKE: &str = "  step \"Yoke line\" {
    point yoke_centre = nape down 7cm
    require \"the shoulder ends below the yoke line\"
        that (rise from yoke_centre to shoulder_point) >= 5mm
    point yoke_end = where (square to centre at yoke_centre toward right) meets armhole
    line yoke_line = from yoke_centre to yoke_end
    curve yoke_armhole = part of armhole from shoulder_point to yoke_end
    curve lower_armhole = part of armhole from yoke_end to underarm
    length yoke_depth = rise from yoke_centre to nape
    why \"The yoke is {yoke_depth} deep at the centre.\"
  }
";

const FACING: &str = "  step \"Facing\" {
    curve facing_edge = parallel to neck by 4cm toward armhole_mid
    point facing_centre = where facing_edge meets centre
    point facing_shoulder = nearest_end of facing_edge to shoulder_point
    line facing_front = from facing_centre to nape
    line facing_end = from facing_shoulder to neck_point
    note \"Trace the facing apart; its edge is {length of facing_edge} long.\"
  }
";

const POCKET: &str = "  step \"Pocket\" {
    point pocket_top = scye right quarter / 3 up 2cm
    point pocket_side = pocket_top right 11cm
    line pocket_upper = from pocket_top to pocket_side
    point pocket_low = pocket_top down 12cm
    line pocket_left = from pocket_top to pocket_low
    line pocket_right = slide pocket_left from pocket_top to pocket_side
    point pocket_point = (1/2 of the way from pocket_low to (end of pocket_right)) down 2cm
    line pocket_lower_left = from pocket_low to pocket_point
    line pocket_lower_right = from pocket_point to end of pocket_right
  }
";
