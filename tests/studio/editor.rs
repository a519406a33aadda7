//! What an editor asks: held against what the drafts at hand say themselves.

use crate::chance::Chance;
use crate::relaid::relaid;
use oaktag_language::library;
use oaktag_language::syntax::project::NoFiles;
use oaktag_language::syntax::tidy;
use oaktag_studio::editor::{Colour, Defined, Elsewhere, Renamed, outline_of, tidied};
use oaktag_studio::session::Session;
use oaktag_studio::session::places::Place;
use oaktag_studio::session::view::Offer;
use std::collections::BTreeSet;

const BAG: &str = "draft \"Überwurf ✂ 𝒳\"\nunit cm\nchoose deep = 30cm between 20cm and 40cm \"how deep\"\n\
    operation halved (point a \"one end\") to (point b) gives point \"Half way.\" {\n  give 1/2 of the way from a to b\n}\n\
    panel bag {\n  step \"Frame\" {\n    point top = origin\n    length half = deep / 2\n    point low = top down deep\n    \
    line centre = from top to low\n    point mid = halved top to low\n    redraw centre = from top to (low down half)\n  }\n  \
    step \"Side\" {\n    # The side.\n    line side = from low toward right for 10cm\n  }\n}\n\
    panel second traced from bag {\n  line more = from centre at 2cm toward left for 3cm\n}\n";

fn session(text: &str) -> Session {
    Session::open("bag.draft", text, Box::new(NoFiles), library::MODULES)
}

fn unit(text: &str, byte: usize) -> usize {
    text[..byte].encode_utf16().count()
}

fn at(text: &str, (from, to): (usize, usize)) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    String::from_utf16(&units[from..to]).unwrap()
}

/// The code unit within the `nth` time that a word stands in a text.
fn of(text: &str, word: &str, nth: usize) -> usize {
    let (byte, _) = text.match_indices(word).nth(nth).unwrap();
    unit(text, byte) + 1
}

fn with(text: &str, edits: &[Offer]) -> String {
    let mut units: Vec<u16> = text.encode_utf16().collect();
    for edit in edits.iter().rev() {
        units.splice(edit.at.from..edit.at.to, edit.text.encode_utf16());
    }
    String::from_utf16(&units).unwrap()
}

/// The drafts that stand alone.
fn examples() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir("examples").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "draft") {
            let text = std::fs::read_to_string(&path).unwrap();
            if !text.contains("import \"") {
                found.push((path.display().to_string(), text));
            }
        }
    }
    found.sort();
    assert!(found.len() > 5, "{found:?}");
    found
}

#[test]
fn a_name_leads_to_the_sentence_that_drew_it_last_before() {
    let session = session(BAG);
    let editor = session.editor();
    let defined = |word: &str, nth| match editor.definition(of(BAG, word, nth)) {
        Some(Defined::At(place)) => (place.from, at(BAG, (place.from, place.to))),
        other => panic!("{word}: {other:?}"),
    };
    // `low`, read by `centre`, is the one drawn.
    let (from, word) = defined("low", 1);
    assert_eq!((from, &*word), (of(BAG, "low", 0) - 1, "low"));
    // What is traced from the bag is its redrawn centre.
    let (from, _) = defined("centre", 2);
    assert_eq!(from, of(BAG, "centre", 1) - 1);
    // A choice, and an act, which is its sentence.
    assert_eq!(defined("deep", 2).0, of(BAG, "deep", 0) - 1);
    let (_, act) = defined("halved", 1);
    assert!(act.starts_with("operation halved") && act.ends_with('}'));
    let shirt = "use body\nuse block\nunit cm\npanel block = womens_block\n";
    let shirt = self::session(shirt);
    match shirt
        .editor()
        .definition(of(shirt.text(), "womens_block", 0))
    {
        Some(Defined::Elsewhere(Elsewhere { said, text })) => {
            assert!(said.contains("block") && said.contains("line"), "{said}");
            assert!(text.starts_with("operation womens_block"));
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_mention_is_found_from_every_other() {
    let session = session(BAG);
    let editor = session.editor();
    for (word, count) in [
        ("centre", 3),
        ("low", 5),
        ("deep", 3),
        ("top", 5),
        ("bag", 2),
    ] {
        let places = editor.mentions(of(BAG, word, 0));
        let words: Vec<String> = places
            .iter()
            .map(|one| at(BAG, (one.from, one.to)))
            .collect();
        assert_eq!(words, vec![word; count], "{word}");
        for place in &places {
            assert_eq!(editor.mentions(place.from + 1), places, "{word}");
        }
    }
    assert_eq!(editor.mentions(of(BAG, "Frame", 0)), []);
}

#[test]
fn another_name_and_back_is_the_same_text() {
    let mut all = 0;
    for (file, text) in examples() {
        let session = session(&text);
        let editor = session.editor();
        let mut names: Vec<(String, usize)> = Vec::new();
        let mut seen = BTreeSet::new();
        for (place, colour) in editor.colours() {
            let word = at(&text, (place.from, place.to));
            if colour == Colour::Name && !word.contains('.') && seen.insert(word.clone()) {
                names.push((word, place.from));
            }
        }
        assert!(names.len() > 3, "{file}");
        let (mut renamed, mut refused) = (0, Vec::new());
        for (word, place) in names.iter().step_by(names.len() / 12 + 1) {
            let edits = match editor.rename(*place, "zz_other") {
                Renamed::Edits(edits) => edits,
                Renamed::Said(why) => {
                    refused.push(format!("{word}: {why}"));
                    continue;
                }
            };
            let changed = with(&text, &edits);
            let after = self::session(&changed);
            assert_eq!(
                after.checked().len(),
                session.checked().len(),
                "{file}, {word}"
            );
            let back = after.editor().rename(edits[0].at.from, word);
            let Renamed::Edits(back) = back else {
                panic!("{file}, {word}: {back:?}");
            };
            assert_eq!(with(&changed, &back), text, "{file}, {word}");
            renamed += 1;
        }
        println!("{file}: {renamed} renamed; {refused:#?}");
        all += renamed;
    }
    assert!(all > 40, "{all}");
}

#[test]
fn a_name_that_is_taken_or_none_is_refused() {
    let session = session(BAG);
    let editor = session.editor();
    for (to, why) in [
        ("top", "drawn already"),
        ("from", "cannot be a name"),
        ("two words", "cannot be a name"),
        ("", "cannot be a name"),
        ("halved", "begins a phrase"),
    ] {
        match editor.rename(of(BAG, "low", 0), to) {
            Renamed::Said(said) => assert!(said.contains(why), "{to}: {said}"),
            Renamed::Edits(edits) => panic!("{to}: {edits:?}"),
        }
    }
    let shirt = self::session(
        "use body\nuse block\nunit cm\npanel block = womens_block\npanel b traced from block.back {\n  point p = scye_point right 1cm\n}\n",
    );
    match shirt
        .editor()
        .rename(of(shirt.text(), "scye_point", 0), "other")
    {
        Renamed::Said(said) => assert!(
            said.contains("stdlib/") || said.contains("has a name"),
            "{said}"
        ),
        Renamed::Edits(edits) => panic!("{edits:?}"),
    }
}

#[test]
fn what_is_written_is_among_what_is_offered() {
    let mut all = (0, 0);
    for (file, text) in examples() {
        let session = session(&text);
        let editor = session.editor();
        let (mut asked, mut missed) = (0, Vec::new());
        for (place, colour) in editor.colours().into_iter().step_by(3) {
            if !matches!(colour, Colour::Name | Colour::Act | Colour::Word) {
                continue;
            }
            let word = at(&text, (place.from, place.to));
            let choices = editor.completions(place.from);
            assert_eq!(choices.from, place.from, "{file}, {word}");
            // What is drawn here has a name of the writer's own.
            let is_new = match editor.definition(place.from + 1) {
                Some(Defined::At(of)) => of.from == place.from,
                _ => false,
            };
            if is_new {
                continue;
            }
            // Seams and cloths have names of their own, too.
            let start = byte(&text, place.from);
            let line = text[..start].rfind('\n').map_or(0, |at| at + 1);
            if matches!(text[line..start].trim(), "seam" | "cloth") {
                continue;
            }
            asked += 1;
            let is_it = |label: &str| {
                let rest = label.strip_prefix(&word);
                rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
            };
            if !choices.options.iter().any(|one| is_it(&one.label)) {
                missed.push(format!("{}<{word}>", text[line..start].trim()));
            }
        }
        println!("{file}: {asked} asked, {} missed: {missed:?}", missed.len());
        all = (all.0 + asked, all.1 + missed.len());
    }
    // Of a few words that nobody would look up the language does not know where they stand: `zip from`.
    assert!(all.1 * 20 < all.0, "{all:?}");
}

fn byte(text: &str, unit: usize) -> usize {
    let units: Vec<u16> = text.encode_utf16().take(unit).collect();
    String::from_utf16_lossy(&units).len()
}

#[test]
fn what_gives_the_kind_that_is_wanted_comes_first() {
    let text = "use body\nuse shirt\nunit cm\npanel block = womens_block\npanel shirt = \n";
    let shirt = session(text);
    let end = text.find("shirt = ").unwrap() + "shirt = ".len();
    let first = shirt.editor().completions(end).options;
    let labels: Vec<&str> = first.iter().take(5).map(|one| one.label.as_str()).collect();
    assert!(
        first
            .iter()
            .take(5)
            .all(|one| one.kind == "act" || one.label == "mirror"),
        "{labels:?}"
    );
    let body = first.iter().find(|one| one.label == "shirt_body").unwrap();
    assert_eq!(body.insert, "shirt_body on ${BLOCK}");
    // A place of two words is one to fill in; where more may follow, no comma is left behind.
    let cap = first.iter().find(|one| one.label == "sleeve_cap").unwrap();
    assert!(!cap.insert.contains("} ${"), "{}", cap.insert);
    let line = "unit cm\npanel a {\n  point p = origin\n  line q = \n}\n";
    let lines = session(line)
        .editor()
        .completions(line.find("q = ").unwrap() + 4);
    let from: Vec<&str> = lines
        .options
        .iter()
        .filter(|one| one.label == "from")
        .map(|one| one.insert.as_str())
        .collect();
    assert!(
        from.iter()
            .any(|insert| insert.starts_with("from ${") && insert.contains(" to ${")),
        "{from:?}"
    );
    let join = lines
        .options
        .iter()
        .find(|one| one.label == "join")
        .unwrap();
    assert_eq!(join.insert, "join ${LINES}");
    let blank = session("unit cm\n\n");
    for one in blank
        .editor()
        .completions(9)
        .options
        .iter()
        .chain(&lines.options)
        .chain(&first)
    {
        assert!(
            !one.insert.contains(", ") || one.insert.contains(", ${"),
            "{}",
            one.insert
        );
        assert!(
            !one.insert.ends_with(',') && !one.insert.contains([',', '…', '|'])
                || one.insert.contains(", ${"),
            "{}",
            one.insert
        );
    }
    // Every act of the modules, with its form, is there, whatever words stand in its head.
    for module in ["shirt", "body"] {
        for act in library::module(module).unwrap().operations {
            let one = first.iter().find(|one| one.label == act.head).unwrap();
            assert!(!one.insert.contains(['"', '(']), "{}", one.insert);
        }
    }
    // A panel has figures, and they are not said of it.
    assert_eq!(shirt.editor().figures(), []);
}

#[test]
fn why_a_thing_is_where_it_is_leads_through_the_act_that_drew_it() {
    let session = session(BAG);
    let editor = session.editor();
    let why = editor.why("bag.mid").unwrap();
    let place = why.at.unwrap();
    assert_eq!(
        at(BAG, (place.from, place.to)),
        "point mid = halved top to low"
    );
    // What is given at once is drawn by no sentence of its own.
    assert!(why.within.is_empty());
    let reads: Vec<(&str, &str)> = why
        .reads
        .iter()
        .map(|one| (one.name.as_str(), one.said.as_str()))
        .collect();
    assert_eq!(reads, [("bag.top", "a point"), ("bag.low", "a point")]);
    let why = editor.why("bag.centre").unwrap();
    let place = why.at.unwrap();
    assert!(why.anew && at(BAG, (place.from, place.to)).starts_with("redraw centre"));
    assert!(
        why.reads
            .iter()
            .any(|one| one.name == "bag.half" && one.said == "15 cm"),
        "{:?}",
        why.reads
    );
    assert!(editor.why("bag.none").is_none());
    let shirt = self::session(
        "use body\nuse shirt\nunit cm\npanel block = womens_block\npanel shirt = shirt_body on block\n",
    );
    let why = shirt.editor().why("shirt.front.neck").unwrap();
    assert!(
        why.within
            .iter()
            .all(|one| one.said.contains("shirt.draft")),
        "{:?}",
        why.within
    );
    assert!(!why.within.is_empty() && !why.reads.is_empty());
}

#[test]
fn no_place_of_no_text_breaks_it_down() {
    let cut: String = BAG.chars().take(BAG.chars().count() / 2).collect();
    for text in [
        BAG,
        &cut,
        "",
        "𝒳",
        "panel",
        "point a = ",
        "seam s joins",
        "}{)(",
    ] {
        let session = session(text);
        let editor = session.editor();
        for place in 0..=text.encode_utf16().count() + 2 {
            let choices = editor.completions(place);
            assert!(choices.from <= place);
            let _ = (
                editor.hover(place),
                editor.definition(place),
                editor.mentions(place),
            );
        }
        let mut end = 0;
        for (place, _) in editor.colours() {
            assert!(end <= place.from && place.from < place.to, "{place:?}");
            end = place.to;
        }
    }
}

#[test]
fn figures_and_words_beside_the_text_are_the_drafts_own() {
    let session = session(BAG);
    let editor = session.editor();
    let figures = editor.figures();
    assert_eq!(figures.len(), 1, "{figures:?}");
    assert_eq!(figures[0].text, "15 cm");
    assert_eq!(figures[0].at, of(BAG, "deep / 2", 0) + "deep / 2".len() - 1);
    let said = |word: &str, nth| editor.hover(of(BAG, word, nth)).unwrap();
    assert_eq!(said("half", 1).title, "bag.half: 15 cm");
    assert_eq!(said("side", 1).title, "bag.side: a line, 10 cm");
    assert_eq!(said("deep", 2).title, "deep: 30 cm");
    assert_eq!(said("deep", 2).lines, ["how deep"]);
    // The line as it was drawn there, not as it was drawn anew.
    assert_eq!(said("centre", 0).title, "bag.centre: a line, 30 cm");
    assert_eq!(said("centre", 1).title, "bag.centre: a line, 45 cm");
    assert!(said("halved", 1).title.starts_with("halved A to B"));
    assert!(said("redraw", 0).title.starts_with("redraw NAME"));
    let colour = |word: &str, nth| {
        let place = of(BAG, word, nth) - 1;
        let mut all = editor.colours().into_iter();
        all.find(|(at, _)| at.from == place).unwrap().1
    };
    assert_eq!(colour("redraw", 0), Colour::Word);
    assert_eq!(colour("halved", 1), Colour::Act);
    assert_eq!(colour("# The side.", 0), Colour::Comment);
    assert_eq!(colour("10cm", 0), Colour::Figure);
    assert_eq!(colour("\"Side\"", 0), Colour::Text);
    assert_eq!(colour("low", 1), Colour::Name);
    let folds: Vec<String> = editor
        .folds()
        .iter()
        .map(|one| at(BAG, (one.from, one.to)))
        .collect();
    assert_eq!(folds.len(), 5);
    assert!(folds[0].trim().starts_with("give"));
}

/// All that changes comes to the one layout; what changes within some lines comes to it once the rest has been laid out, too.
#[test]
fn a_text_is_laid_out_by_edits_whole_or_in_part() {
    let mut chance = Chance::new(5);
    let mut parts = 0;
    for (file, text) in examples() {
        let text = relaid(&text, &mut chance).replace("# ", "# 𝄞 ");
        let wanted = tidy(&text).text;
        assert_eq!(with(&text, &tidied(&text, None)), wanted, "{file}");
        assert_eq!(tidied(&wanted, None), [], "{file}");
        let crlf = text.replace('\n', "\r\n");
        let laid_out = with(&crlf, &tidied(&crlf, None));
        assert_eq!(laid_out, wanted.replace('\n', "\r\n"), "{file}");
        let units = text.encode_utf16().count();
        for _ in 0..4 {
            let from = chance.below(units);
            let to = (from + chance.below(400)).min(units);
            let some = tidied(&text, Some(Place { from, to }));
            parts += usize::from(some != tidied(&text, None));
            let partly = with(&text, &some);
            assert_eq!(tidy(&partly).text, wanted, "{file}, {from} to {to}");
        }
    }
    assert!(parts > 20, "{parts}");
}

/// The table of contents of a draft at hand is that of its text, and each name in it stands where it says.
#[test]
fn a_table_of_contents_names_what_stands_there() {
    for (file, text) in examples() {
        let session = session(&text);
        let outline = session.editor().outline();
        assert_eq!(outline, outline_of(&text), "{file}");
        let mut open: Vec<_> = outline.iter().collect();
        assert!(!open.is_empty(), "{file}");
        while let Some(part) = open.pop() {
            let word = at(&text, (part.word.from, part.word.to));
            assert!(
                word.trim_matches('"') == part.name || part.name.contains('…'),
                "{word}"
            );
            assert!(part.whole.from <= part.word.from && part.word.to <= part.whole.to);
            open.extend(&part.inside);
        }
    }
}
