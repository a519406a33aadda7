//! What is said once and done several times, held against the same draft written out by hand, copy by copy.

use crate::drawing::Run;

use oaktag_language::draft::Outcome;
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit;
use std::fmt::Write;

/// A strip 30 cm deep, `wide` and its place worked out from `n` and from what is carried; `here` is what its names end in.
fn strip(here: &str, n: &str, place: &str) -> String {
    format!(
        "panel strip{here} {{
  length wide = 10cm + {n} * 5mm
  point p0 = origin right {place}
  point p1 = p0 right wide
  point p2 = p1 down 30cm
  point p3 = p0 down 30cm
  line top = from p0 to p1
  line right_side = from p1 to p2
  line low = from p2 to p3
  line left_side = from p3 to p0
}}
piece strip{here} \"Strip{label}\" {{
  outline top, right_side, low, left_side
  cut 2
  grain along left_side
  allow 10mm
  finish low \"bound\"
  finish top \"raw\"
}}
",
        label = here.replace('_', " ")
    )
}

const HEAD: &str = "draft \"Strips\"\nunit cm\nchoose strips = 4 between 2 and 5 \"how many\"\n";

fn said_once(round: &str) -> String {
    let body = strip("", "n", "place");
    format!(
        "{HEAD}each n from 1 to strips{round} carrying place from 1cm {{
{body}
seam side joins strip.right_side to next strip.left_side from strip.p1, next strip.p0 {{
  notch single at 5cm from strip.p1
}}
carry place = place + strip.wide + 2cm
}}
panel band {{
  line upper = from (origin up 20cm) toward right for place
  line lower = from (origin up 15cm) toward right for place
  line first_end = from start of upper to start of lower
  line last_end = from end of upper to end of lower
}}
"
    )
}

fn by_hand(count: usize, ring: bool) -> String {
    let mut text = format!("{HEAD}number counted = strips\nlength place_1 = 1cm\n");
    for n in 1..=count {
        let here = format!("_{n}");
        text += &strip(&here, &n.to_string(), &format!("place_{n}"));
        let next = n + 1;
        writeln!(
            text,
            "length place_{next} = place_{n} + strip_{n}.wide + 2cm"
        )
        .unwrap();
    }
    for n in 1..=count {
        let next = match n + 1 {
            next if next <= count => next,
            _ if ring => 1,
            _ => continue,
        };
        writeln!(
            text,
            "seam side_{n} joins strip_{n}.right_side to strip_{next}.left_side from strip_{n}.p1, strip_{next}.p0 {{
  notch single at 5cm from strip_{n}.p1
}}"
        )
        .unwrap();
    }
    let last = count + 1;
    write!(
        text,
        "panel band {{
  line upper = from (origin up 20cm) toward right for place_{last}
  line lower = from (origin up 15cm) toward right for place_{last}
  line first_end = from start of upper to start of lower
  line last_end = from end of upper to end of lower
}}
"
    )
    .unwrap();
    text
}

/// Pieces with their edges, seams with what was found of them, and every point and line of the panels.
fn drawn(text: &str, count: usize) -> (String, Outcome) {
    let (_, outcome) = Run::of(text).set(&format!("strips={count}")).drawn();
    let mut shown = String::new();
    for piece in &outcome.pattern.pieces {
        let _ = write!(shown, "{} {}", piece.name, piece.label);
        for edge in &piece.edges {
            let _ = write!(shown, " {} {:.6}", edge.name, edge.path.length().unwrap());
        }
        shown.push('\n');
    }
    for seam in &outcome.pattern.seams {
        let (one, other) = (seam.first.length, seam.second.length);
        let _ = writeln!(
            shown,
            "{} {one:.6} {other:.6} {} {}",
            seam.name,
            seam.ok,
            seam.decided.word()
        );
    }
    let mut values: Vec<String> = outcome
        .drawn
        .values
        .iter()
        .filter_map(|named| {
            let on_panel = named.name.contains('.');
            let is_drawn = matches!(
                named.value,
                Value::Point(_) | Value::Line(_) | Value::Length(_)
            );
            (on_panel && is_drawn).then(|| format!("{} {:?}", named.name, named.value))
        })
        .collect();
    values.sort();
    shown += &values.join("\n");
    (shown, outcome)
}

#[test]
fn what_is_laid_out_is_what_would_be_written_by_hand() {
    for count in 2..=5 {
        for (round, ring) in [("", false), (" all round", true)] {
            let (once, outcome) = drawn(&said_once(round), count);
            let errors: Vec<_> = outcome
                .diagnostics
                .iter()
                .filter(|told| told.is_error())
                .collect();
            assert!(errors.is_empty(), "{count}{round}: {errors:?}");
            let (by_hand, _) = drawn(&by_hand(count, ring), count);
            assert_eq!(once, by_hand, "{count}{round}");
            let seams = if ring { count } else { count - 1 };
            assert_eq!(outcome.pattern.seams.len(), seams, "{count}{round}");
        }
    }
}

/// What is carried: 1 + 2 + … + n, closed form n (n + 1) / 2; in a list and in copies, and as the sum of the list.
#[test]
fn what_is_carried_adds_up() {
    let text = "draft \"Sums\"
unit cm
list steps = each n from 1 to 12 { give n * 1cm }
list sums = each n from 1 to 12 carrying so_far from 0cm {
  length now = so_far + n * 1cm
  give now
  carry so_far = now
}
each n from 1 to 12 carrying whole from 0cm, times from 1 {
  carry whole = whole + n * 1cm
  carry times = times * 2
}
list nothing = each n from 1 to 0 { give n * 1cm }
check \"list\" that sum of steps = 78cm and last of sums = 78cm and (item 4 from sums) = 10cm
check \"copies\" that whole = 78cm and times = 4096
check \"nought\" that sum of nothing = 0cm and (sum of 1cm, 25mm) = 35mm
";
    let (_, outcome) = Run::of(text).drawn();
    assert!(
        outcome.diagnostics.iter().all(|told| !told.is_error()),
        "{:?}",
        outcome.diagnostics
    );
    assert_eq!(outcome.pattern.checks.len(), 3);
    assert!(outcome.pattern.checks.iter().all(|check| check.ok));
}

/// A line redrawn in each copy goes on from the last: a corner cut off n times.
#[test]
fn a_line_is_redrawn_from_copy_to_copy() {
    let text = |count: u32| {
        format!(
            "draft \"Shorter\"
unit cm
choose times = {count} between 0 and 5
panel flap {{
  line edge = from origin toward right for 20cm
  each n from 1 to times {{
    redraw edge = from start of edge to (2cm from (end of edge) toward (start of edge))
  }}
}}
length left_over = length of flap.edge
check \"shorter\" that left_over = 20cm - times * 2cm
"
        )
    };
    for count in 0..=5 {
        let (_, outcome) = Run::of(&text(count)).drawn();
        let told: Vec<_> = outcome
            .diagnostics
            .iter()
            .filter(|told| told.is_error())
            .collect();
        assert!(told.is_empty(), "{count}: {told:?}");
        assert!(
            outcome.pattern.checks.iter().all(|check| check.ok),
            "{count}"
        );
    }
}

/// Panels out of a list, by number and one after the other, are those that were put in.
#[test]
fn a_list_of_panels_gives_the_panels_that_were_put_in() {
    let text = "draft \"Panels\"
unit cm
panel one {
  line edge = from origin toward right for 3cm
  length tall = 4cm
}
panel other {
  length tall = 6cm
  line edge = from origin toward right for 5cm
}
list both = [one, other]
panel second = item 2 from both
panel foremost = first of both
list areas = each each_one in both { give length of each_one.edge * each_one.tall }
check \"second\" that length of second.edge = 5cm and second.tall = 6cm
check \"first\" that length of foremost.edge = 3cm and foremost.tall = 4cm
check \"areas\" that sum of areas = 42cm * 1cm and count of both = 2
";
    let (_, outcome) = Run::of(text).drawn();
    let told: Vec<_> = outcome
        .diagnostics
        .iter()
        .filter(|told| told.is_error())
        .collect();
    assert!(told.is_empty(), "{told:?}");
    assert_eq!(
        outcome
            .pattern
            .checks
            .iter()
            .filter(|check| check.ok)
            .count(),
        3
    );
}

/// A slip in the block is told once, however many copies there are.
#[test]
fn a_slip_in_the_block_is_told_once() {
    let text = said_once("").replace("p1 down 30cm", "p9 down 30cm");
    let (_, outcome) = Run::of(&text).drawn();
    let unknown = outcome
        .diagnostics
        .iter()
        .filter(|told| told.code == Code::UnknownName);
    assert_eq!(unknown.count(), 1, "{:?}", outcome.diagnostics);
}

/// A draft that takes all that the other offers.
fn taken(house: &str, count: usize, rest: &str) -> Outcome {
    let text = format!(
        "draft \"Taker\"\nunit cm\nimport \"house.draft\" as house with strips {count}\n{rest}"
    );
    Run::of(&text).beside("house.draft", house).drawn().1
}

/// Pieces with their edges and seams with their lengths.
fn offered(outcome: &Outcome) -> Vec<String> {
    let pieces = outcome.pattern.pieces.iter().map(|piece| {
        let edges = piece.edges.iter();
        let edges: Vec<String> = edges
            .map(|edge| {
                format!(
                    "{} {:.6} {:?}",
                    edge.name,
                    edge.path.length().unwrap(),
                    edge.allowance
                )
            })
            .collect();
        format!("{} {} {edges:?}", piece.name, piece.label)
    });
    let seams = outcome.pattern.seams.iter().map(|seam| {
        let (one, other) = (seam.first.length, seam.second.length);
        format!("{} {one:.6} {other:.6} {}", seam.name, seam.ok)
    });
    pieces.chain(seams).collect()
}

fn errors(outcome: &Outcome) -> Vec<String> {
    let told = outcome.diagnostics.iter().filter(|told| told.is_error());
    told.map(|told| told.message.in_unit(LengthUnit::Centimetre).into_owned())
        .collect()
}

/// A draft that is brought in offers what it lays out as if every copy were written there.
#[test]
fn what_an_import_lays_out_is_offered() {
    for count in 2..=5 {
        for (round, ring) in [("", false), (" all round", true)] {
            for rest in [
                "pieces of house\n",
                "pieces of house without strip_1\n",
                "pieces of house without side_1\n",
                "piece wide traced from house.strip_2 {\n  allow 3cm on low\n}\n",
                "panel strip_2 traced from house.strip_2 {\n  redraw low = from p2 to (p3 down 1cm)\n  redraw left_side = from (end of low) to p0\n}\npieces of house\n",
            ] {
                let once = taken(&said_once(round), count, rest);
                let hand = taken(&by_hand(count, ring), count, rest);
                assert_eq!(
                    offered(&once),
                    offered(&hand),
                    "{count}{round}: {rest} {:?}",
                    errors(&once)
                );
                assert_eq!(errors(&once), errors(&hand), "{count}{round}: {rest}");
                assert!(!offered(&once).is_empty());
            }
        }
    }
}

/// One file under two names: what is taken second bears the import's name, its copies their numbers.
#[test]
fn copies_are_taken_of_two_imports() {
    let rest = "import \"house.draft\" as full with strips 2\npieces of house\npieces of full\norder side, full_side\n";
    let outcome = taken(&said_once(""), 2, rest);
    assert_eq!(errors(&outcome), Vec::<String>::new());
    let pieces = outcome.pattern.pieces.iter();
    let pieces: Vec<String> = pieces
        .map(|piece| format!("{} {}", piece.name, piece.label))
        .collect();
    assert_eq!(
        pieces,
        [
            "strip_1 Strip 1",
            "strip_2 Strip 2",
            "full_strip_1 Strip 1 (full)",
            "full_strip_2 Strip 2 (full)"
        ]
    );
    let seams = outcome.pattern.seams.iter().map(|seam| seam.name.as_str());
    assert_eq!(seams.collect::<Vec<_>>(), ["side_1", "full_side_1"]);
}

/// The name in the block stands for all copies; a seam that sews one of them goes with it, be it by `each`.
#[test]
fn every_copy_is_left_by_the_name_in_the_block() {
    let band = "piece band \"Band\" {
  outline lower, last_end, upper, first_end
  cut 1
  allow 1cm
  finish upper, first_end, last_end \"bound\"
}
seam waist joins band.lower to each strip.top from (start of band.lower), (start of strip_1.top)
";
    let house = |count: u32| {
        let text = said_once("").replace("finish top \"raw\"", "");
        let text = text.replace("between 2 and 5", "between 3 and 5");
        // As long as the strips are together: 10 cm each and half a centimetre more from one to the next.
        let long = 10.0 * f64::from(count) + 0.25 * f64::from(count * (count + 1));
        text.replace(
            "toward right for place",
            &format!("toward right for {long}cm"),
        ) + band
    };
    for count in 3..=5 {
        let whole = taken(&house(count), count as usize, "pieces of house\n");
        assert_eq!(errors(&whole), Vec::<String>::new());
        let waist = whole.pattern.seams.iter().find(|seam| seam.name == "waist");
        let waist = waist.unwrap();
        assert!(waist.ok && waist.second.edges.len() == count as usize);
        let without = |left: &str| {
            let rest = format!("pieces of house without {left}\n");
            let outcome = taken(&house(count), count as usize, &rest);
            let pieces = outcome
                .pattern
                .pieces
                .iter()
                .map(|piece| piece.name.clone());
            let seams = outcome.pattern.seams.iter().map(|seam| seam.name.clone());
            pieces.chain(seams).collect::<Vec<_>>()
        };
        assert_eq!(without("strip"), ["band"]);
        let one = without("strip_2");
        assert_eq!(one.len(), count as usize + (count as usize - 3), "{one:?}");
        assert!(
            !one.iter()
                .any(|name| ["strip_2", "side_1", "side_2", "waist"].contains(&name.as_str()))
        );
    }
}
