//! What goes to the cutting table: labels, the cut list as text and as CSV, and whether what the seams need is what is cut.
//! The CSV is read here by the rules of RFC 4180, the drawing by an XML reader, neither of which the writers know.

use std::path::Path;
use std::process::{Command, Stdio};

const CREW: &str = "examples/womens-crew-shirt.draft";

fn run(folder: &Path, arguments: &[&str]) -> (String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    (
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// Draws the crew shirt, and gives what was written.
fn drawn(out: &str, options: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let draft = Path::new(env!("CARGO_MANIFEST_DIR")).join(CREW);
    let out = folder.path().join(out);
    let mut arguments = vec!["draw", draft.to_str().unwrap(), "-o", out.to_str().unwrap()];
    arguments.extend(options);
    let (_, told) = run(folder.path(), &arguments);
    std::fs::read_to_string(&out).unwrap_or_else(|_| panic!("{told}"))
}

/// Records of a CSV by RFC 4180: commas, CRLF or LF, fields in quotation marks with theirs doubled.
fn records(text: &str) -> Vec<Vec<String>> {
    let mut all = vec![vec![String::new()]];
    let mut quoted = false;
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        let record = all.last_mut().unwrap();
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                record.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => record.push(String::new()),
            '\r' if !quoted => {}
            '\n' if !quoted => all.push(vec![String::new()]),
            letter => record.last_mut().unwrap().push(letter),
        }
    }
    all.retain(|record| record != &[String::new()]);
    all
}

/// The usual cut list of a shirt (common practice): yoke twice and the back once on the fold, fronts, sleeves and plackets in
/// pairs, four cuffs, two stands and an upper and an under fall on the fold, and of the interlining what is fused.
const WANTED: [(&str, &str, &str, &str); 14] = [
    ("main", "Yoke", "2", "on fold"),
    ("main", "Back", "1", "on fold"),
    ("main", "Patch pocket", "1", "single"),
    ("main", "Front", "2", "pair"),
    ("main", "Sleeve", "2", "pair"),
    ("main", "Placket overlap", "2", "pair"),
    ("main", "Placket underlap", "2", "pair"),
    ("main", "Cuff", "4", "pair"),
    ("main", "Collar stand", "2", "on fold"),
    ("main", "Collar fall, upper", "1", "on fold"),
    ("main", "Collar fall, under", "1", "on fold"),
    ("interlining", "Cuff, interlining", "2", "pair"),
    ("interlining", "Stand interlining", "1", "on fold"),
    ("interlining", "Fall interlining", "1", "on fold"),
];

#[test]
fn the_cut_list_of_the_crew_shirt_goes_by_cloth() {
    let rows = records(&drawn("cut.csv", &[]));
    let column = |name: &str| rows[0].iter().position(|heading| heading == name).unwrap();
    let found: Vec<_> = rows[1..]
        .iter()
        .map(|row| {
            let cell = |name| row[column(name)].as_str();
            (cell("cloth"), cell("label"), cell("cut"), cell("laid"))
        })
        .collect();
    assert_eq!(found, WANTED);
    assert!(rows.iter().all(|row| row.len() == rows[0].len()));
    let numbers = rows[1..]
        .iter()
        .map(|row| row[column("number")].parse::<usize>().unwrap());
    let mut numbers: Vec<usize> = numbers.collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=14).collect::<Vec<_>>());
    let text = drawn("cut.txt", &[]);
    for (_, label, ..) in WANTED {
        assert!(
            text.contains(label),
            "{label} is not on the ticket:\n{text}"
        );
    }
    assert!(
        text.contains("Cut from main: poplin, 150 cm wide"),
        "{text}"
    );
}

/// The areas of the list are those that the JSON's cutting lines enclose, halves counted twice, by the shoelace formula over
/// chords of 0.001 of each curve's length.
#[test]
fn areas_of_the_list_are_those_of_the_drawn_cutting_lines() {
    let json: serde_json::Value = serde_json::from_str(&drawn("a.json", &[])).unwrap();
    let rows = records(&drawn("cut.csv", &[]));
    let column = |name: &str| rows[0].iter().position(|heading| heading == name).unwrap();
    for row in &rows[1..] {
        let pieces = json["pieces"].as_array().unwrap();
        let piece = pieces
            .iter()
            .find(|piece| piece["name"] == row[column("piece")])
            .unwrap();
        let one = area(piece["cutting"]["path"].as_str().unwrap());
        let halves = if piece["cut"]["fold"].is_null() {
            1.0
        } else {
            2.0
        };
        let wanted = one * halves * piece["cut"]["count"].as_f64().unwrap();
        let found: f64 = row[column("area_mm2")].parse().unwrap();
        assert!((found - wanted).abs() < 1e-4 * wanted, "{row:?}: {wanted}");
    }
}

/// Area inside absolute path data of M, L, C and Z.
fn area(path: &str) -> f64 {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut figures: Vec<f64> = Vec::new();
    let mut letter = ' ';
    let mut ends = |letter: char, figures: &mut Vec<f64>| {
        for chunk in figures.chunks(if letter == 'C' { 6 } else { 2 }) {
            if letter == 'C' {
                let from = *points.last().unwrap();
                for step in 1..=1000 {
                    let t = f64::from(step) / 1000.0;
                    let u = 1.0 - t;
                    let at = |a: f64, n: usize| {
                        u * u * u * a
                            + 3.0 * u * u * t * chunk[n]
                            + 3.0 * u * t * t * chunk[n + 2]
                            + t * t * t * chunk[n + 4]
                    };
                    points.push((at(from.0, 0), at(from.1, 1)));
                }
            } else {
                points.push((chunk[0], chunk[1]));
            }
        }
        figures.clear();
    };
    for word in path.split_whitespace() {
        let word = match word.chars().next().filter(char::is_ascii_alphabetic) {
            Some(head) => {
                ends(letter, &mut figures);
                letter = head;
                &word[1..]
            }
            None => word,
        };
        if !word.is_empty() {
            figures.push(word.parse().unwrap());
        }
    }
    ends(letter, &mut figures);
    let next = points.iter().cycle().skip(1);
    let twice: f64 = points
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum();
    (twice / 2.0).abs()
}

/// Every piece says number, and the draft where it is not small, size, how it is cut and of which cloth; a name given for the drawing is on all of them, and
/// on none where none was given.
#[test]
fn labels_say_what_the_cutter_needs() {
    let named = drawn(
        "a.svg",
        &["--for", "Crew <7> & \"mate\"", "--revision", "B"],
    );
    let words = words_by_piece(&named);
    assert_eq!(words.len(), 14);
    let mut numbers = Vec::new();
    for (piece, words) in &words {
        let all = words.join(" ");
        let all = all.split_whitespace().collect::<Vec<_>>().join(" ");
        // The number before the name of a small piece stands for the draft's title as well.
        let said = |number: &usize| {
            let is_small = words.iter().any(|words| {
                let after = words.trim().strip_prefix(&format!("{number} "));
                after.is_some_and(|name| name.starts_with(char::is_uppercase))
            });
            let large = format!("piece {number} of 14");
            is_small || (all.contains("Women's crew shirt") && all.contains(&large))
        };
        let number = (1..=14).find(said);
        numbers.push(number.unwrap_or_else(|| panic!("{piece} does not say which it is: {all}")));
        for wanted in [
            "Crew <7> & \"mate\"".to_owned(),
            "revision B".to_owned(),
            "cut ".to_owned(),
        ] {
            assert!(
                all.contains(&wanted),
                "{piece} does not say {wanted}: {all}"
            );
        }
        let cloth = if piece.ends_with("interlining") {
            "interlining: woven fusible"
        } else {
            "main: poplin"
        };
        assert!(all.contains(cloth), "{piece}: {all}");
    }
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=14).collect::<Vec<_>>());
    assert!(!drawn("a.svg", &[]).contains("Crew &lt;7"));
}

/// The words of each piece's group in the drawing's layer of text.
fn words_by_piece(svg: &str) -> Vec<(String, Vec<String>)> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let is = |node: &roxmltree::Node<'_, '_>, id: &str| node.attribute("id") == Some(id);
    let layer = document
        .descendants()
        .find(|node| is(node, "text"))
        .unwrap();
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    for node in layer.descendants().filter(|node| node.has_tag_name("text")) {
        let piece = node
            .ancestors()
            .find_map(|above| above.attribute("data-piece"));
        let Some(piece) = piece else { continue };
        let words = node.text().unwrap_or("").to_owned();
        match found.iter_mut().find(|(name, _)| name == piece) {
            Some((_, all)) => all.push(words),
            None => found.push((piece.to_owned(), vec![words])),
        }
    }
    found
}

/// A list of lines that stand under names of their own is not drawn again.
#[test]
fn lists_of_named_lines_are_not_drawn_again() {
    let svg = drawn("a.svg", &[]);
    let document = roxmltree::Document::parse(&svg).unwrap();
    let names = document
        .descendants()
        .filter_map(|node| node.attribute("data-name"));
    let again: Vec<&str> = names
        .filter(|name| {
            ["edges_", "neckline_", "side_edges_"]
                .iter()
                .any(|list| name.starts_with(list))
        })
        .collect();
    assert!(again.is_empty(), "{again:?}");
}

/// Text that a spreadsheet would run stays text.
#[test]
fn cells_are_data() {
    let rows = records(&drawn("cut.csv", &["--for", "=HYPERLINK(\"x\")"]));
    let issue = rows[0]
        .iter()
        .position(|heading| heading == "issue")
        .unwrap();
    assert!(
        rows[1..]
            .iter()
            .all(|row| row[issue] == "for =HYPERLINK(\"x\")")
    );
}

const TWO: &str = "draft \"Two\"
panel back {
  line side = from origin to (origin down 30cm)
  line hem = from end of side to (origin left 20cm down 30cm)
  line slant = from end of hem to origin
}
panel front {
  line side = from origin to (origin down 30cm)
  line hem = from end of side to (origin right 20cm down 30cm)
  line slant = from end of hem to origin
}
piece back { outline side, hem, slant
  cut BACK
  grain along side
  allow 1cm
  finish hem, slant
}
piece front { outline side, hem, slant
  cut FRONT
  grain along side
  allow 1cm
  finish hem, slant
}
seam side joins SIDES
";

fn judged(back: &str, front: &str, sides: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let text = TWO
        .replace("BACK", back)
        .replace("FRONT", front)
        .replace("SIDES", sides);
    std::fs::write(folder.path().join("two.draft"), text).unwrap();
    run(folder.path(), &["check", "two.draft"]).1
}

/// What the seams need is what is cut: layers are whole multiples, one for two is short, and what does not go round is told.
#[test]
fn a_seam_that_lacks_a_piece_is_told() {
    let plain = "front.side to back.side";
    for (back, front) in [("2", "2"), ("4", "2"), ("2", "4"), ("1", "1"), ("2", "6")] {
        let told = judged(back, front, plain);
        assert!(!told.contains("cut-count"), "{back} and {front}: {told}");
    }
    for (back, front) in [("2", "1"), ("1", "2"), ("2", "3"), ("4", "6")] {
        let told = judged(back, front, plain);
        assert!(told.contains("cut-count"), "{back} and {front}: {told}");
    }
    let told = judged("2", "1", plain);
    assert!(
        told.contains("front side comes once from front (cut 1, right side up)"),
        "{told}"
    );
    assert!(
        told.contains("Back side comes twice from back (cut 2, a mirrored pair)."),
        "{told}"
    );
    // A back on the fold has two sides.
    assert!(judged("1 on fold at slant", "1", plain).contains("cut-count"));
    assert!(!judged("1 on fold at slant", "2", plain).contains("cut-count"));
}

/// Finished measures against what the pieces measure: at a level of the body, the half back without its pleat and the front
/// from its centre make half the garment; and against the sums of body and ease that a regular shirt is cut to (ease at bust
/// and hip as the draft chooses, 50 mm at the wrist: common practice).
#[test]
fn the_spec_sheet_is_what_the_pieces_measure() {
    let rows = records(&drawn("a.csv", &["--table", "finished"]));
    assert_eq!(rows[0][..3], ["measure", "mm", "tolerance_mm"]);
    let figure = |name: &str| {
        let row = rows
            .iter()
            .find(|row| row[0] == name)
            .unwrap_or_else(|| panic!("no {name}"));
        row[1].parse::<f64>().unwrap()
    };
    let json: serde_json::Value = serde_json::from_str(&drawn("a.json", &[])).unwrap();
    let value = |name: &str, key: &str| json["values"][name][key].as_f64().unwrap();
    let mm = |name: &str| json["measures"][name]["mm"].as_f64().unwrap();
    for (measure, back, front) in [
        ("bust", "underarm", "underarm"),
        ("waist", "waist_side", "waist_side"),
        ("hip", "hip_side", "hip_side"),
    ] {
        let back = value(&format!("shirt.back.{back}"), "x") - value("shirt.back.cb_neck", "x");
        let front = value("shirt.front.cf_neck", "x") - value(&format!("shirt.front.{front}"), "x");
        let wanted = 2.0 * (back.abs() + front.abs());
        assert!(
            (figure(measure) - wanted).abs() < 0.01,
            "{measure}: {wanted}"
        );
    }
    assert!((figure("bust") - mm("bust_girth") - mm("bust_ease")).abs() < 0.01);
    assert!((figure("hip") - mm("hip_girth") - mm("hip_ease")).abs() < 0.01);
    assert!((figure("cuff") - mm("wrist_girth") - 50.0).abs() < 0.01);
    let down = value("shirt.back.cb_neck", "y") - value("shirt.back.cb_hem", "y");
    assert!((figure("back length") - down).abs() < 0.01, "{down}");
    for seam in json["seams"].as_array().unwrap() {
        let name = seam["name"].as_str().unwrap().replace('_', " ");
        let name = if name.contains("seam") {
            name
        } else {
            format!("{name} seam")
        };
        let side = |side: &str| seam[side]["length_mm"].as_f64().unwrap();
        assert!(
            (figure(&name) - side("first").min(side("second"))).abs() < 1e-3,
            "{name}"
        );
    }
    let text = drawn("a.txt", &[]);
    assert!(text.contains("without pleats and overlap"), "{text}");
}

/// A longer shirt is longer by as much on the sheet, and nothing else changes but the side seam.
#[test]
fn a_longer_shirt_is_longer_on_the_sheet() {
    let sheet = |options: &[&str]| {
        records(&drawn(
            "a.csv",
            &[&["--table", "finished"], options].concat(),
        ))
    };
    let (plain, longer) = (sheet(&[]), sheet(&["--set", "longer=4cm"]));
    for (a, b) in plain[1..].iter().zip(&longer[1..]) {
        let more = b[1].parse::<f64>().unwrap() - a[1].parse::<f64>().unwrap();
        let wanted = if ["back length", "side seam"].contains(&a[0].as_str()) {
            40.0
        } else {
            0.0
        };
        assert!((more - wanted).abs() < 0.01, "{}: {more}", a[0]);
    }
}

/// Of a pair the wearer's left and right are told apart wherever it is counted: in the list, the ticket, the JSON and the lay.
#[test]
fn a_pair_is_so_many_left_and_so_many_right() {
    let table = records(&drawn("cut.csv", &[]));
    let at = |name: &str| table[0].iter().position(|head| head == name).unwrap();
    let of = |piece: &str| {
        let row = table.iter().find(|row| row[at("piece")] == piece).unwrap();
        (
            row[at("cut")].as_str(),
            row[at("left")].as_str(),
            row[at("right")].as_str(),
        )
    };
    assert_eq!(of("front"), ("2", "1", "1"));
    assert_eq!(of("sleeve"), ("2", "1", "1"));
    // Layers that face each other are no left and right; a pocket is cut once.
    assert_eq!(of("cuff"), ("4", "", ""));
    assert_eq!(of("pocket"), ("1", "", ""));
    let ticket = drawn("ticket.txt", &[]);
    assert!(ticket.contains("cut 2: 1 left, 1 right"), "{ticket}");
    let json: serde_json::Value = serde_json::from_str(&drawn("shirt.json", &[])).unwrap();
    let front = json["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .find(|piece| piece["name"] == "front");
    let cut = &front.unwrap()["cut"];
    assert_eq!(
        (&cut["left"], &cut["right"], &cut["shown"]),
        (&1.into(), &1.into(), &"right".into())
    );
    let lay = drawn("lay.svg", &["--lay"]);
    for name in ["4 Front L", "4 Front R"] {
        assert!(lay.contains(name), "{name}");
    }
}
