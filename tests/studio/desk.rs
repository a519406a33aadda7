//! Questions of a page: the answers are those of a session opened afresh, whatever was asked before.

use oaktag_language::library;
use oaktag_language::pattern::Issue;
use oaktag_language::syntax::project::NoFiles;
use oaktag_studio::desk::{Desk, WRONG};
use oaktag_studio::session::{Form, Order, Part, Picture, Session};
use serde_json::{Value, json};

const STRIP: &str = "draft \"Strip\"\nunit cm\nchoose long = 30cm between 20cm and 40cm \"how long\"\nbody wrist = 16cm between 10cm and 30cm \"round\"\n\
    panel strip {\n  step \"Frame\" {\n    point top = origin\n    point low = top down long\n    line one = from top to low\n  }\n  \
    step \"Ends\" {\n    point top_end = top right wrist / 4\n    point low_end = low right wrist / 4\n    line upper = from top to top_end\n    \
    line lower = from low to low_end\n    line other = from top_end to low_end\n  }\n}\n\
    piece strip \"Strip\" {\n  outline one, lower, other, upper\n  cut 2\n  grain along one\n  allow 1cm\n  finish one, lower, other, upper \"turned\"\n}\n";

fn ask(desk: &mut Desk, question: &Value) -> Vec<u8> {
    desk.answer(question.to_string().as_bytes(), &|_| Box::new(NoFiles))
}

fn afresh(question: &Value) -> Vec<u8> {
    ask(&mut Desk::default(), question)
}

fn parsed(bytes: &[u8]) -> Value {
    assert_ne!(
        bytes.first(),
        Some(&WRONG),
        "{}",
        String::from_utf8_lossy(bytes)
    );
    serde_json::from_slice(bytes).unwrap()
}

#[test]
fn a_file_is_what_the_session_writes() {
    let session = Session::open("strip.draft", STRIP, Box::new(NoFiles), library::MODULES);
    let written = session.write(&Order {
        part: Part::default(),
        issue: Issue::default(),
        form: Form::Svg(Picture::default()),
        unfinished: false,
    });
    let answer = afresh(&json!({"name": "strip.draft", "text": STRIP, "form": "svg"}));
    assert_eq!(answer, written.unwrap().bytes);
}

#[test]
fn what_was_asked_before_changes_no_answer() {
    let table = "name,wrist\nmate,18cm\nbosun,20cm\n";
    let body = |name: &str| json!({"table": "crew.csv", "text": table, "name": name});
    let longer = STRIP.replace("30cm between", "31cm between");
    let broken = STRIP.replace("top down long", "top down lung");
    let questions = [
        json!({"name": "s", "text": STRIP, "form": "view"}),
        json!({"name": "s", "text": STRIP, "form": "picture"}),
        json!({"name": "s", "text": longer, "form": "picture"}),
        json!({"name": "s", "text": STRIP, "form": "view", "values": ["long=35cm"]}),
        json!({"name": "s", "text": longer, "form": "json", "values": ["long=35cm"]}),
        json!({"name": "s", "text": longer, "form": "json"}),
        json!({"name": "s", "text": longer, "form": "json", "body": body("mate")}),
        json!({"name": "s", "text": STRIP, "form": "json", "body": body("bosun")}),
        json!({"name": "s", "text": broken, "form": "view", "body": body("bosun")}),
        json!({"name": "s", "text": broken, "form": "messages"}),
        json!({"name": "s", "text": STRIP, "form": "view", "values": ["long=1m"]}),
        json!({"name": "s", "text": STRIP, "form": "json", "values": ["nothing"]}),
        json!({"name": "s", "text": STRIP, "form": "json", "body": body("nobody")}),
        json!({"name": "s", "text": STRIP, "form": "json"}),
        json!({"name": "other", "text": STRIP, "form": "txt"}),
    ];
    let mut desk = Desk::default();
    for first in &questions {
        for then in &questions {
            ask(&mut desk, first);
            let answer = ask(&mut desk, then);
            assert!(answer == afresh(then), "{first}\n{then}");
        }
    }
}

/// The parts of a picture, as the reference of questions counts them.
fn parts(picture: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for line in picture.split_inclusive('\n') {
        match parts.last_mut() {
            Some(last) if !line.starts_with('<') || line.starts_with("</text") => {
                last.push_str(line)
            }
            _ => parts.push(line.to_owned()),
        }
    }
    parts
}

/// A page that keeps the picture, and puts into it what it is told to.
#[derive(Default)]
struct Page {
    mark: String,
    picture: String,
    puts: usize,
    bytes: (usize, usize),
}

impl Page {
    fn told(&mut self, told: &Value) {
        self.mark = told["mark"].as_str().unwrap().to_owned();
        if let Some(whole) = told["whole"].as_str() {
            self.picture = whole.to_owned();
            return;
        }
        let mut all = parts(&self.picture);
        for put in told["puts"].as_array().unwrap().iter().rev() {
            let at = |place: usize| usize::try_from(put[place].as_u64().unwrap()).unwrap();
            let (from, taken) = (at(0), at(1));
            assert!(all[from..from + taken].iter().all(|part| {
                ["<path ", "<text ", "<svg "]
                    .iter()
                    .any(|kind| part.starts_with(kind))
            }));
            let new = put[2]
                .as_array()
                .unwrap()
                .iter()
                .map(|part| part.as_str().unwrap().to_owned());
            all.splice(from..from + taken, new);
        }
        self.picture = all.concat();
        self.puts += 1;
    }
}

#[test]
fn what_is_put_into_a_picture_makes_it_the_one_of_the_text() {
    let text = |name: &str| {
        let path = format!("{}/examples/{name}.draft", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).unwrap()
    };
    for (name, edits) in [
        (
            "womens-crew-shirt",
            vec![
                ("bust_ease = 10cm", "bust_ease = 10.5cm"),
                ("take 6cm", "take 7cm"),
                ("patch_pocket", "patch_pockets"),
                ("pieces of cuff", "# none"),
                ("forward 2cm", "forward 1cm"),
                ("unit cm", "unit in"),
            ],
        ),
        (
            "deck-vest",
            vec![
                ("edition 1", "edition 1\n# No more."),
                ("cut 1", "cut 2"),
                ("{", "("),
                ("\"", ""),
            ],
        ),
        (
            "first-steps",
            vec![
                ("42", "42.5"),
                ("piece", "# piece"),
                ("draft \"", "draft \"My "),
            ],
        ),
    ] {
        let whole = text(name);
        let mut desk = Desk::default();
        let mut page = Page::default();
        let mut texts = vec![whole.clone()];
        for (old, new) in edits {
            texts.push(whole.replacen(old, new, 1));
            texts.push(whole.clone());
        }
        for text in texts {
            let question = json!({"name": "d", "text": text, "form": "picture", "has": page.mark});
            let answer = ask(&mut desk, &question);
            // Words of the messages between two pictures change neither.
            ask(
                &mut desk,
                &json!({"name": "d", "text": text, "form": "view"}),
            );
            let svg = afresh(&json!({"name": "d", "text": text, "form": "svg"}));
            let told = parsed(&answer);
            if told.is_null() {
                assert_eq!(svg.first(), Some(&WRONG), "{text}");
                continue;
            }
            page.told(&told);
            page.bytes = (page.bytes.0 + answer.len(), page.bytes.1 + svg.len());
            assert!(page.picture.as_bytes() == svg, "{text}");
        }
        println!(
            "{name}: {} of the pictures put in, {} bytes for {}",
            page.puts, page.bytes.0, page.bytes.1
        );
        assert!(page.puts > 0, "{name}");
    }
    // Who has another picture than was given last is given the whole.
    let mut desk = Desk::default();
    ask(
        &mut desk,
        &json!({"name": "s", "text": STRIP, "form": "picture"}),
    );
    let told = parsed(&ask(
        &mut desk,
        &json!({"name": "s", "text": STRIP, "form": "picture", "has": "another"}),
    ));
    assert!(told["whole"].is_string());
}

#[test]
fn the_drawing_after_a_step_has_what_was_drawn_by_then() {
    let after = |step| afresh(&json!({"name": "s", "text": STRIP, "form": "after", "step": step}));
    let (first, second) = (after(1), after(2));
    let texts = |bytes: &[u8]| {
        let page = roxmltree::Document::parse(std::str::from_utf8(bytes).unwrap()).unwrap();
        page.descendants()
            .filter_map(|one| one.text())
            .collect::<String>()
    };
    assert!(texts(&first).contains("low") && !texts(&first).contains("top_end"));
    assert!(texts(&second).contains("top_end") || texts(&second).contains("top end"));
    assert_eq!(after(3).first(), Some(&WRONG));
    // It is the drawing of the text that ends there.
    let cut = &STRIP[..STRIP.find("  step \"Ends\"").unwrap()];
    let cut = afresh(&json!({"name": "s", "text": format!("{cut}}}\n"), "form": "svg"}));
    assert!(cut == first);
}

#[test]
fn changes_bodies_and_layout_are_answered() {
    let older = STRIP.replace("30cm between", "29cm between");
    let compared = parsed(&afresh(
        &json!({"name": "s", "text": STRIP, "form": "compare", "with": older}),
    ));
    assert!(
        compared["words"].as_str().unwrap().contains("1 cm"),
        "{compared}"
    );
    assert!(
        compared["picture"].as_str().unwrap().starts_with("<?xml")
            || compared["picture"].as_str().unwrap().starts_with("<svg")
    );
    let bodies = json!({"name": "s", "text": STRIP, "form": "bodies", "table": "crew.csv", "csv": "name,wrist\nmate,18cm\n"});
    assert_eq!(
        parsed(&afresh(&bodies)),
        json!({"names": ["mate"], "said": null})
    );
    // Who is in the table can be read though a heading is wrong.
    let twice = json!({"name": "s", "text": STRIP, "form": "bodies", "table": "crew.csv", "csv": "name,wrist,wrist\nmate,18cm,18cm\nbosun,20cm,20cm\n"});
    let twice = parsed(&afresh(&twice));
    assert_eq!(twice["names"], json!(["mate", "bosun"]));
    assert!(
        twice["said"].as_str().unwrap().contains("there twice"),
        "{twice}"
    );
    let wrong = json!({"name": "s", "text": STRIP, "form": "bodies", "table": "crew.csv", "csv": "name,\u{0}\nmate"});
    assert_eq!(afresh(&wrong).first(), Some(&WRONG));
    let tidied = parsed(&afresh(
        &json!({"name": "s", "text": "unit   cm\n", "form": "tidy"}),
    ));
    assert_eq!(tidied, json!({"text": "unit cm\n"}));
    let lesson = afresh(&json!({"name": "s", "text": STRIP, "form": "lesson"}));
    assert!(lesson.starts_with(b"<!DOCTYPE html>"));
    assert_eq!(
        afresh(&json!({"name": "s", "text": STRIP, "form": "walk", "seam": "none"})).first(),
        Some(&WRONG)
    );
}

#[test]
fn imports_that_come_with_the_question_are_read() {
    let text = "unit cm\nimport \"strip.draft\" as base\npieces of base\n";
    let question = json!({"name": "styles/one.draft", "text": text, "form": "json", "files": {"styles/strip.draft": STRIP}});
    let drawn = parsed(&afresh(&question));
    assert_eq!(drawn["pieces"].as_array().unwrap().len(), 1);
    let without = json!({"name": "styles/one.draft", "text": text, "form": "dxf", "files": {"strip.draft": STRIP}});
    assert_eq!(afresh(&without).first(), Some(&WRONG));
}

#[test]
fn what_is_no_question_is_answered_in_words() {
    for question in [
        &b""[..],
        b"{",
        b"[]",
        b"{\"name\":\"a\",\"form\":\"hat\"}",
        b"\xff\xfe",
        b"{\"form\":\"view\"}",
    ] {
        let answer = Desk::default().answer(question, &|_| Box::new(NoFiles));
        assert_eq!(answer.first(), Some(&WRONG));
        let said: Value = serde_json::from_slice(&answer[1..]).unwrap();
        assert!(!said["said"].as_str().unwrap().is_empty());
    }
}

#[test]
fn a_thing_is_held_and_dragged_whatever_was_asked_between() {
    let hold = |called: &str| json!({"name": "s", "text": STRIP, "form": "hold", "piece": "strip", "called": called});
    let held = parsed(&afresh(&hold("strip.low")));
    assert_eq!(held["movers"][0]["written"], "30cm");
    assert_eq!(held["thing"], json!({"point": "strip.low"}));
    let figure = |name: &str| held[name].as_f64().unwrap();
    let drag = |down: f64| {
        json!({"name": "s", "text": STRIP, "form": "drag", "thing": held["thing"], "piece": "strip", "mover": 0,
            "to": [figure("x"), figure("y") + down], "beside": true})
    };
    let mut desk = Desk::default();
    for down in [-50.0, 33.3, -50.0, 700.0] {
        let dragged = ask(&mut desk, &drag(down));
        assert_eq!(dragged, afresh(&drag(down)));
        let dragged = parsed(&dragged);
        if let Some(letters) = dragged["edit"]["text"].as_str() {
            // What is shown meanwhile is another text of the same draft.
            let shown = STRIP.replace("30cm between", &format!("{letters} between"));
            let mut shown = json!({"name": "s", "text": shown, "form": "view"});
            let view = ask(&mut desk, &shown);
            assert_eq!(view, afresh(&shown));
            for part in ["seams", "checks", "messages", "choices"] {
                assert_eq!(dragged["beside"][part], parsed(&view)[part]);
            }
            shown["form"] = json!("json");
            assert_eq!(ask(&mut desk, &shown), afresh(&shown));
        }
    }
    let gone = parsed(&afresh(&hold("strip.none")));
    assert!(gone["said"].as_str().unwrap().contains("none"), "{gone}");
    let gone = json!({"name": "s", "text": STRIP, "form": "drag", "thing": {"point": "strip.none"}, "piece": "strip", "mover": 0, "to": [0.0, 0.0]});
    assert_eq!(afresh(&gone), b"null");
}

/// The elements of a drawing that are of some pieces, by layer.
fn elements(svg: &str, of: &[&str]) -> Vec<(String, String)> {
    let page = roxmltree::Document::parse(svg).unwrap();
    let groups = page.root_element().children();
    let mut found = Vec::new();
    for group in groups.filter(|one| one.has_tag_name("g")) {
        for item in group.children().filter(|one| one.is_element()) {
            if of.contains(&item.attribute("data-piece").unwrap_or_default()) {
                let layer = group.attribute("id").unwrap().to_owned();
                found.push((layer, svg[item.range()].to_owned()));
            }
        }
    }
    found
}

#[test]
fn a_drag_shows_what_the_text_then_draws_and_moves_no_other_piece() {
    let text = std::fs::read_to_string("examples/womens-crew-shirt.draft").unwrap();
    let picture = |text: &str| {
        let asked = json!({"name": "s", "text": text, "form": "picture"});
        parsed(&afresh(&asked))["whole"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    let before = picture(&text);
    let hold = json!({"name": "s", "text": text, "form": "hold", "piece": "front", "called": "shirt.front.cf_hem"});
    let held = parsed(&afresh(&hold));
    let (x, y) = (held["x"].as_f64().unwrap(), held["y"].as_f64().unwrap());
    let drag = |down: f64| {
        let drag = json!({"name": "s", "text": text, "form": "drag", "thing": held["thing"], "piece": "front", "mover": 0, "to": [x, y + down]});
        parsed(&afresh(&drag))
    };
    // Farther than there is room: the pieces keep their places all the same.
    for down in [-20.0, 90.0] {
        let dragged = drag(down);
        let now = dragged["picture"]["whole"].as_str().unwrap();
        let others = ["sleeve", "cuff", "collar_fall", "yoke"];
        assert!(
            elements(now, &others) == elements(&before, &others),
            "{down}"
        );
        let at =
            |name: &str| usize::try_from(dragged["edit"]["at"][name].as_u64().unwrap()).unwrap();
        let letters = dragged["edit"]["text"].as_str().unwrap();
        let after = picture(&format!(
            "{}{letters}{}",
            &text[..at("from")],
            &text[at("to")..]
        ));
        if down < 0.0 {
            // These lie where they lay, in both.
            let own = ["front", "back"];
            assert!(elements(now, &own) == elements(&after, &own));
            assert!(elements(now, &own).len() > 100);
        }
    }
}

#[test]
fn what_is_set_by_hand_is_answered_with_its_sentence() {
    let add = |x: f64, y: f64| json!({"name": "s", "text": STRIP, "form": "add", "what": "point", "piece": "strip", "at": [x, y], "near": 2.0});
    let hold = json!({"name": "s", "text": STRIP, "form": "hold", "piece": "strip", "called": "strip.low"});
    let low = parsed(&afresh(&hold));
    let (x, y) = (low["x"].as_f64().unwrap(), low["y"].as_f64().unwrap());
    let set = parsed(&afresh(&add(x, y - 40.0)));
    assert_eq!(set["sentence"], "point one_point = 4cm along one from low");
    assert!((set["y"].as_f64().unwrap() - (y - 40.0)).abs() < 1e-6);
    let there = parsed(&afresh(&add(x, y)));
    assert_eq!(there["said"], "low is there already");
    let line = json!({"name": "s", "text": STRIP, "form": "add", "what": "line", "piece": "strip", "ends": ["strip.top", "strip.low_end"]});
    let line = parsed(&afresh(&line));
    assert_eq!(line["sentence"], "line top_low_end = from top to low_end");
    assert!(line["path"].as_str().unwrap().starts_with('M'));
}
