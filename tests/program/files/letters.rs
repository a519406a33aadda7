//! Letters of a draft, of a table and of the command line that mean something to what reads a result: each output is read by
//! a reader of another house, which finds the same kinds of elements, keys and entities as in the output of a tame draft, and
//! the letters as they were written.

use super::Folder;
use std::collections::BTreeSet;

/// Places for texts, each with what a hostile hand writes there and what a tame one does. Formula signs: OWASP, "CSV
/// Injection"; markup: HTML (WHATWG), 13.1; PDF strings: ISO 32000-1, 7.3.4; `\U+` and `%%` of DXF: from memory.
const TEXTS: [(&str, &str, &str); 12] = [
    ("TITLE", "<script>x()</script>", "title"),
    ("LABEL", "=1+1]]>&amp;", "label"),
    ("CLOTH", "@a--><b>", "cloth"),
    ("MARK", "&lt;&#9;)", "mark"),
    ("CAUTION", "+c\\(%%u\\U+0041^J", "caution"),
    ("STEP", "' onload='y()", "step"),
    ("NOTE", "<!--<svg/onload=q()>", "note"),
    ("WHY", "]]></style><style>", "why"),
    ("FINISH", "-9 javascript:1`${{0}}", "finish"),
    ("SLIP", "</p><img src=x onerror=s()>", "slip"),
    ("CHOICE", "<b onclick=h()>*_`[x](y)", "choice"),
    ("OTHERWISE", "</li><iframe src=z()>", "otherwise"),
];

const DRAFT: &str = "draft \"TITLE\"\nunit cm\nbody girth = 80cm between 40cm and 160cm \"NOTE\"\nchoose style = \"CHOICE\" of \"CHOICE\", \"plain\" \"NOTE\"\ncloth main \"CLOTH\" width 150cm\npanel back {\n  step \"STEP\" {\n    note \"NOTE\"\n    why \"WHY\"\n    slip (girth / 4) is girth / 5 \"SLIP\"\n    point b = origin right girth / 4\n    point c = origin down 30cm\n    line top = from origin to b\n    line slant = from b to c\n    line centre = from c to origin\n    try climb between 0cm and 9cm {\n      line reach = from origin to (origin right 4cm up climb)\n    } until length of reach = 5cm otherwise \"OTHERWISE\"\n    if style = \"plain\" {\n      line plain_line = from b to (origin right 6cm)\n    }\n  }\n  caution \"CAUTION\"\n}\nlength finished_top = girth / 4\npiece back \"LABEL\" {\n  outline top, slant, centre\n  cut 1 from main\n  grain along centre\n  allow 1cm\n  finish top, slant, centre \"FINISH\"\n  mark (origin right 5cm down 5cm) \"MARK\"\n}\ncheck \"WHY\" that girth > 10cm\n";

/// A body's name in a table.
const BODY: [(&str, &str); 2] = [
    ("=2+5\u{1b}[31m<i>\"'&\n  0\nSECTION)", "tame"),
    ("\t@b\u{202e}]]>", "other"),
];

fn written(hostile: bool) -> Folder {
    let folder = Folder::new();
    let mut draft = DRAFT.to_owned();
    for (place, bad, tame) in TEXTS {
        draft = draft.replace(place, if hostile { bad } else { tame });
    }
    folder.put("d.draft", draft);
    let [one, two] = BODY.map(|(bad, tame)| if hostile { bad } else { tame }.replace('"', "\"\""));
    folder.put("t.csv", format!("name,girth\n\"{one}\",80\n\"{two}\",90\n"));
    let given = if hostile { BODY[0].0 } else { BODY[0].1 };
    for line in [
        "draw|d.draft|-o|a.svg",
        "draw|d.draft|-o|hair.svg|--hairlines",
        "draw|d.draft|-o|lay.svg|--lay",
        "draw|d.draft|-o|a.pdf|--sheet|a4",
        "draw|d.draft|-o|a.dxf",
        "draw|d.draft|-o|a.json",
        "draw|d.draft|-o|a.txt",
        "draw|d.draft|-o|cut.csv|--table|cut",
        "draw|d.draft|-o|finished.csv|--table|finished",
        "draw|d.draft|-o|lay.csv|--table|lay",
    ] {
        let mut arguments: Vec<&str> = line.split('|').collect();
        arguments.extend(["--for", given, "--revision", given]);
        done(&folder, &arguments);
    }
    for line in [
        "lesson|d.draft|-o|l.html",
        "lesson|d.draft|-o|l.pdf",
        "sizes|d.draft|--bodies|t.csv|--csv|sizes.csv|-o|nest.svg",
        "sizes|d.draft|--bodies|t.csv|-o|nest.dxf",
        "sizes|d.draft|--bodies|t.csv|-o|nest.pdf",
        "sizes|d.draft|--bodies|t.csv|-o|nest.json",
        "compare|d.draft|--new-set|girth=90cm|--new-set|style=plain|-o|c.html",
        "compare|d.draft|--new-set|girth=90cm|-o|c.svg",
        "compare|d.draft|--new-set|girth=90cm|-o|c.pdf",
        "compare|d.draft|--new-set|girth=90cm|--new-set|style=plain|-o|c.md",
        "compare|d.draft|--new-set|girth=90cm|-o|c.json",
    ] {
        done(&folder, &line.split('|').collect::<Vec<_>>());
    }
    folder
}

fn done(folder: &Folder, arguments: &[&str]) {
    let said = folder.oaktag(arguments);
    assert_eq!(said.status, Some(0), "{arguments:?} {}", said.err);
    for text in [&said.out, &said.err] {
        let steers = |c: char| (c.is_control() && !matches!(c, '\n' | '\t')) || c == '\u{202e}';
        assert!(
            !text.contains(steers),
            "{arguments:?} steers the terminal: {text:?}"
        );
    }
}

/// As the draft prints it: `{{` is one brace.
fn shown(text: &str) -> String {
    text.replace("{{", "{").replace("}}", "}")
}

fn text_of(folder: &Folder, name: &str) -> String {
    String::from_utf8(folder.read(name)).unwrap()
}

/// What a document is made of: each element with each of its attributes, and how many comments there are.
fn xml(text: &str) -> (BTreeSet<String>, String) {
    let document = roxmltree::Document::parse(text).unwrap();
    let mut made_of = BTreeSet::new();
    let mut letters = String::new();
    for node in document.descendants() {
        for attribute in node.attributes() {
            made_of.insert(format!("{} {}", node.tag_name().name(), attribute.name()));
        }
        made_of.insert(format!("{:?} {}", node.node_type(), node.tag_name().name()));
        if node.is_text()
            && node
                .parent_element()
                .is_some_and(|e| e.tag_name().name() != "style")
        {
            letters.push_str(node.text().unwrap());
            letters.push(' ');
        }
    }
    (made_of, letters)
}

fn html(text: &str) -> (BTreeSet<String>, String) {
    let page = scraper::Html::parse_document(text);
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    let mut made_of = BTreeSet::new();
    let mut letters = String::new();
    for node in page.tree.nodes() {
        match node.value() {
            scraper::Node::Element(element) => {
                made_of.insert(element.name().to_owned());
                made_of.extend(
                    element
                        .attrs()
                        .map(|(name, _)| format!("{} {name}", element.name())),
                );
            }
            scraper::Node::Text(text) => {
                letters.push_str(text);
            }
            other => {
                made_of.insert(format!("{other:?}"));
            }
        }
    }
    (made_of, letters)
}

#[test]
fn markup_stays_letters() {
    let (hostile, tame) = (written(true), written(false));
    for (name, read, expected) in [
        (
            "a.svg",
            xml as fn(&str) -> _,
            &["TITLE", "LABEL", "CLOTH", "MARK", "CAUTION"][..],
        ),
        ("hair.svg", xml, &[]),
        ("lay.svg", xml, &["LABEL"]),
        ("nest.svg", xml, &["LABEL"]),
        ("c.svg", xml, &["LABEL"]),
        (
            "l.html",
            html,
            &[
                "TITLE",
                "LABEL",
                "STEP",
                "NOTE",
                "WHY",
                "CAUTION",
                "FINISH",
                "SLIP",
                "CHOICE",
                "OTHERWISE",
            ],
        ),
        ("c.html", html, &["LABEL", "TITLE", "CHOICE"]),
    ] {
        let (bad, letters) = read(&text_of(&hostile, name));
        let (good, _) = read(&text_of(&tame, name));
        let more: Vec<&String> = bad.difference(&good).collect();
        assert!(more.is_empty(), "{name} has more than a tame one: {more:?}");
        // Lines are broken at blanks, and a long label may be broken anywhere.
        let close = |text: &str| text.split_whitespace().collect::<String>();
        let letters = close(&letters);
        for (place, text, _) in TEXTS.iter().filter(|(place, ..)| expected.contains(place)) {
            assert!(
                letters.contains(&close(&shown(text))),
                "{name}: {place} {text}: {letters}"
            );
        }
    }
    let review = text_of(&hostile, "c.md");
    markdown(&review);
    assert!(review.contains("onclick=h"), "{review}");
    tables(&hostile);
    json(&hostile);
    cutting_room(&hostile, &tame);
    pages(&hostile, &tame);
    let ticket = text_of(&hostile, "a.txt");
    assert!(
        !ticket.contains(|c: char| c.is_control() && c != '\n'),
        "{ticket:?}"
    );
}

/// A draft that fails says why in words of its own, and a comparison shows them: what `try … else`, `require` and `check` say.
const FAILS: &str = "draft \"d\"\nunit cm\nchoose girth = 80cm between 40cm and 160cm\npanel back {\n  require \"ELSE\" that girth < LIMIT\n  try x between 0cm and 3cm {\n    line l = from origin to (origin right 4cm up x)\n  } until length of l = 8cm otherwise \"ELSE\"\n}\ncheck \"ELSE\" that girth < 1cm\n";

#[test]
fn what_a_failure_says_stays_letters() {
    let bad = "</li><img src=x onerror=e()>*_`[x](y)&lt;";
    for (limit, least) in [("20cm", 1), ("90cm", 2)] {
        let written = |text: &str| {
            let folder = Folder::new();
            folder.put(
                "d.draft",
                FAILS.replace("ELSE", text).replace("LIMIT", limit),
            );
            for name in ["c.html", "c.md", "c.txt", "c.json"] {
                let said = folder.oaktag(&["compare", "d.draft", "d.draft", "-o", name]);
                assert_eq!(said.status, Some(1), "{}", said.err);
            }
            folder
        };
        let (hostile, tame) = (written(bad), written("Take a wider strip."));
        let (made_of, letters) = html(&text_of(&hostile, "c.html"));
        let (plain, _) = html(&text_of(&tame, "c.html"));
        let more: Vec<&String> = made_of.difference(&plain).collect();
        assert!(more.is_empty(), "more than a tame one: {more:?}");
        assert!(letters.matches(bad).count() >= least, "{letters}");
        let review = text_of(&hostile, "c.md");
        markdown(&review);
        assert!(review.matches("onerror=e").count() >= least, "{review}");
    }
}

/// CommonMark 0.31, 6.6: what begins with an angle bracket is markup unless a backslash stands before it.
fn markdown(text: &str) {
    for (at, _) in text.match_indices('<') {
        assert!(text[..at].ends_with('\\'), "{text}");
    }
}

fn tables(folder: &Folder) {
    let mut cells = Vec::new();
    for name in ["cut.csv", "finished.csv", "lay.csv", "sizes.csv"] {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_path(folder.at(name))
            .unwrap();
        // A reader of RFC 4180 refuses rows of another width.
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert!(rows.len() > 1, "{name}");
        for cell in rows.iter().flatten() {
            let is_formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
            assert!(
                !is_formula || cell.parse::<f64>().is_ok(),
                "{name}: {cell:?}"
            );
            cells.push(cell.to_owned());
        }
    }
    for text in ["'=1+1]]>&amp;", "'@a--><b>"] {
        assert!(cells.iter().any(|cell| cell == text), "{text}: {cells:?}");
    }
}

fn json(folder: &Folder) {
    fn strings(value: &serde_json::Value, found: &mut BTreeSet<String>) {
        match value {
            serde_json::Value::String(text) => {
                found.insert(text.clone());
            }
            serde_json::Value::Array(items) => items.iter().for_each(|item| strings(item, found)),
            serde_json::Value::Object(keys) => keys.values().for_each(|item| strings(item, found)),
            _ => {}
        }
    }
    let mut found = BTreeSet::new();
    for name in ["a.json", "nest.json", "c.json"] {
        strings(
            &serde_json::from_slice(&folder.read(name)).unwrap(),
            &mut found,
        );
    }
    for place in ["TITLE", "LABEL", "CLOTH", "CAUTION"] {
        let text = TEXTS.iter().find(|(known, ..)| *known == place).unwrap().1;
        assert!(found.contains(&shown(text)), "{place}: {found:?}");
    }
}

/// The sections, entities and layers of a DXF file, and its texts.
fn entities(folder: &Folder, name: &str) -> (BTreeSet<String>, Vec<String>) {
    let drawing = dxf::Drawing::load_file(folder.at(name)).unwrap();
    let (mut made_of, mut texts) = (BTreeSet::new(), Vec::new());
    let blocks: Vec<&dxf::Block> = drawing.blocks().collect();
    for entity in drawing
        .entities()
        .chain(blocks.iter().flat_map(|block| &block.entities))
    {
        let kind = format!("{:?}", entity.specific);
        made_of.insert(format!(
            "{} on {}",
            kind.split('(').next().unwrap(),
            entity.common.layer
        ));
        if let dxf::entities::EntityType::Text(text) = &entity.specific {
            texts.push(text.value.clone());
        }
    }
    made_of.insert(format!("{} blocks", blocks.len()));
    made_of.insert(format!("{} layers", drawing.layers().count()));
    (made_of, texts)
}

fn cutting_room(hostile: &Folder, tame: &Folder) {
    for name in ["a.dxf", "nest.dxf"] {
        let ((bad, texts), (good, _)) = (entities(hostile, name), entities(tame, name));
        let more: Vec<&String> = bad.difference(&good).collect();
        assert!(more.is_empty(), "{name} has more than a tame one: {more:?}");
        assert!(
            texts.iter().any(|text| text.contains("=1+1]]>&amp;")),
            "{texts:?}"
        );
        // Every line is ASCII, and the codes stand on every other.
        let text = text_of(hostile, name);
        assert!(
            text.bytes()
                .all(|byte| byte == b'\n' || (b' '..=b'~').contains(&byte))
        );
        let lines: Vec<&str> = text.lines().collect();
        assert!(
            lines
                .iter()
                .step_by(2)
                .all(|code| code.trim().parse::<u16>().is_ok()),
            "{name}"
        );
        assert_eq!(
            lines
                .iter()
                .step_by(2)
                .filter(|code| code.trim() == "0")
                .count(),
            {
                let plain = text_of(tame, name);
                let codes: Vec<&str> = plain.lines().step_by(2).collect();
                codes.iter().filter(|code| code.trim() == "0").count()
            }
        );
    }
}

/// The keys of every dictionary of a PDF file.
fn keys(folder: &Folder, name: &str) -> BTreeSet<String> {
    fn gather(object: &lopdf::Object, found: &mut BTreeSet<String>) {
        match object {
            lopdf::Object::Dictionary(dictionary) => {
                for (key, value) in dictionary {
                    found.insert(String::from_utf8_lossy(key).into_owned());
                    gather(value, found);
                }
            }
            lopdf::Object::Stream(stream) => {
                gather(&lopdf::Object::Dictionary(stream.dict.clone()), found);
            }
            lopdf::Object::Array(items) => items.iter().for_each(|item| gather(item, found)),
            _ => {}
        }
    }
    let document = lopdf::Document::load(folder.at(name)).unwrap();
    let mut found = BTreeSet::new();
    document
        .objects
        .values()
        .for_each(|object| gather(object, &mut found));
    for page in document.get_pages().into_values() {
        let content = document.get_and_decode_page_content(page).unwrap();
        assert!(!content.operations.is_empty());
    }
    found
}

fn pages(hostile: &Folder, tame: &Folder) {
    for name in ["a.pdf", "l.pdf", "nest.pdf", "c.pdf"] {
        let (bad, good) = (keys(hostile, name), keys(tame, name));
        // Fonts and layers are counted and named by the writer: F1, L2.
        let own = |key: &&&String| key.len() > 3;
        let more: Vec<&String> = bad
            .iter()
            .filter(|key| own(&key))
            .filter(|key| !good.contains(*key))
            .collect();
        assert!(more.is_empty(), "{name} has more than a tame one: {more:?}");
        for key in [
            "JavaScript",
            "JS",
            "OpenAction",
            "AA",
            "Launch",
            "URI",
            "EmbeddedFiles",
        ] {
            assert!(!bad.contains(key), "{name}: {key}");
        }
    }
}

/// What a message quotes of a draft cannot steer the terminal; nor can a file's name.
#[test]
fn a_message_cannot_steer_the_terminal() {
    let folder = Folder::new();
    let steer = "\u{1b}]0;owned\u{7}\u{1b}[2J\u{9b}31m\u{202e}\u{200b}\r";
    folder.put(
        "t.csv",
        format!("name,girth\n\"{steer}\",8 feet\n\"b{steer}\",900\n"),
    );
    let name = format!("{}.draft", "x\u{1b}[2J");
    folder.put(&name, format!("panel back {{\n  point p{steer} = 3\n  note \"{steer}\"\n  import \"{steer}\" as x\n}}\n"));
    let odd = format!("{steer}=1");
    for arguments in [
        &["check", &name][..],
        &["check", &name, "--format", "json"],
        &["tidy", &name],
        &["draw", &name, "-o", "a\u{1b}[2J.svg"],
        &["draw", "square.draft", "-o", "a\u{1b}[2J.bmp"],
        &["draw", "square.draft", "-o", "gone\u{1b}[2J/a.svg"],
        &["check", "square.draft", "--set", &odd],
        &["check", "square.draft", "--body", &format!("t.csv:{steer}")],
        &["check", "square.draft", "--bodies", "t.csv"],
        &["sizes", "square.draft", "--bodies", "t.csv"],
        &["explain", steer],
        &["phrases", steer],
        &["compare", "square.draft", &name],
    ] {
        let said = folder.oaktag(arguments);
        for text in [&said.out, &said.err] {
            let steers = |c: char| {
                (c.is_control() && !matches!(c, '\n' | '\t'))
                    || matches!(c, '\u{202e}' | '\u{200b}')
            };
            assert!(!text.contains(steers), "{arguments:?}: {text:?}");
        }
    }
}

/// Escape, bell, a control letter of the second row, a mark that turns the reading round, and a separator of lines.
const STEERING: [char; 5] = ['\u{1b}', '\u{7}', '\u{9b}', '\u{202e}', '\u{2028}'];

/// A draft whose every text and sentence holds them.
fn steering(down: &str) -> String {
    let letters: String = STEERING.iter().collect();
    super::SQUARE
        .replace("\"Square\"", &format!("\"Square {letters}=1\""))
        .replace("\"Back\"", &format!("\"{letters}=1+1 Back\""))
        .replace("down 30cm", down)
        + &format!(
            "cloth main \"{letters}Poplin\" width 150cm\nlength finished_waist = girth\ncaution \"{letters} mind\"\ncheck \"wide {letters}\" that girth = 70cm\n"
        )
}

#[test]
fn letters_that_steer_a_terminal_are_in_no_text() {
    let folder = Folder::new();
    folder.put("old.draft", steering("down 30cm"));
    folder.put(
        "new.draft",
        steering("down 31cm").replace("mind", "mind it"),
    );
    // Of the second the check holds: where no size is well no table is written.
    folder.put("t.csv", "name,girth\na\u{1b}[2J,80\nb\u{202e},70\n");
    let mut looked_at = 0;
    for (words, name) in [
        ("draw old.draft -o a.txt", "a.txt"),
        ("draw old.draft -o a.csv", "a.csv"),
        ("draw old.draft -o a.csv --table finished", "a.csv"),
        ("draw old.draft -o a.csv --table lay", "a.csv"),
        ("compare old.draft new.draft -o a.txt", "a.txt"),
        ("compare old.draft new.draft -o a.md", "a.md"),
        ("compare old.draft new.draft --format markdown", ""),
        ("sizes old.draft --bodies t.csv --csv a.csv", "a.csv"),
        ("check old.draft", ""),
        ("check --bodies t.csv old.draft", ""),
    ] {
        let words: Vec<&str> = words.split(' ').collect();
        let said = folder.oaktag(&words);
        assert!(matches!(said.status, Some(0 | 1)), "{words:?} {}", said.err);
        let mut text = said.out + &said.err;
        if !name.is_empty() {
            text += &String::from_utf8(folder.read(name)).unwrap();
            std::fs::remove_file(folder.at(name)).unwrap();
        }
        for letter in STEERING {
            assert!(!text.contains(letter), "{words:?} {letter:?}: {text}");
        }
        looked_at += usize::from(text.contains('\u{fffd}') || text.contains('¿'));
    }
    assert!(looked_at >= 8, "the texts are in {looked_at} of them");
}

#[cfg(unix)]
#[test]
fn a_name_of_two_lines_stays_on_its_line() {
    let folder = Folder::new();
    let name = "a\noaktag: all well.draft";
    folder.put(name, "point p = nothing\n");
    for words in [vec!["check", name], vec!["check", "no\nsuch.draft"]] {
        let said = folder.oaktag(&words);
        assert!(
            !said.err.contains("\noaktag: all") && !said.err.contains("\nsuch"),
            "{}",
            said.err
        );
    }
}
