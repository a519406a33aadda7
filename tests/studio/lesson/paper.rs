//! The booklet read back with an independent reader: its words in order, its figures beside them and at their scale.

use crate::lesson::reader::Pdf;
use crate::lesson::{every_step, example, oaktag, taught};
use kurbo::{BezPath, ParamCurveArclen};
use oaktag_output::drawing::{Layer, Shape};
use oaktag_output::pages::Document;
use oaktag_output::pdf;
use oaktag_output::sheet::PageSize;
use oaktag_studio::lesson::booklet::booklet;
use oaktag_studio::lesson::{Lesson, Options, Step};
use regex::Regex;

fn on(size: PageSize, unfold: bool, scale: Option<f64>) -> Options {
    Options {
        unfold,
        scale,
        paper: Some(size.size()),
        ..Options::default()
    }
}

fn printed(lesson: &Lesson, size: PageSize) -> (Document, Pdf) {
    let booklet = booklet(lesson, size.size());
    let written = pdf::write_with_outline(&booklet.document, &[], &booklet.bookmarks);
    assert!(written.missing.is_empty(), "{:?}", written.missing);
    (booklet.document, Pdf::read(&written.bytes))
}

/// All pages' words one after another without spaces and feet.
fn words(pdf: &Pdf) -> String {
    let pages: String = (1..=pdf.pages.len()).map(|page| pdf.text(page)).collect();
    let bare: String = pages.chars().filter(|c| !c.is_whitespace()).collect();
    let foot = Regex::new(r"[^·]{0,60}·page\d+of\d+(·figures1:\d,printat100%)?50mm").unwrap();
    // The title stands before the first point of each foot; what is cut off with it is checked page by page.
    foot.replace_all(&bare, |found: &regex::Captures<'_>| {
        let all = &found[0];
        all[..all.find('·').unwrap()].to_owned() + "\u{1}"
    })
    .into_owned()
}

fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn every_heading_and_sentence_is_read_back_in_order() {
    for (name, size) in [
        ("first-steps.draft", PageSize::A4),
        ("ferry-shirt.draft", PageSize::A4),
        ("ferry-shirt.draft", PageSize::Letter),
        ("womens-crew-shirt.draft", PageSize::A4),
    ] {
        let (lesson, _) = taught(&example(name), &on(size, true, None));
        let (_, pdf) = printed(&lesson, size);
        let text = words(&pdf);
        let title = bare(&lesson.title);
        let mut from = text.find("Beforeyoubegin").unwrap();
        assert!(text.contains("Blades.Closearotarycutter"), "{name}");
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        for step in steps {
            // A long step shows its figure first and its notes after it: heading, notes, deeds keep their order.
            let mut wanted = vec![format!("{}. {}", step.number, step.title)];
            wanted.extend(step.does.clone());
            wanted.extend(step.slips.iter().map(|slip| slip.text.clone()));
            wanted.extend(step.whys.clone());
            for said in wanted {
                let said = bare(&said);
                // A sentence may go on overleaf, after the foot of its page.
                let found = text[from..].find(&said).or_else(|| {
                    let feet = text[from..].replace(&format!("{title}\u{1}"), "");
                    feet.contains(&said).then_some(0)
                });
                let at = found.unwrap_or_else(|| panic!("{name}: {said} is not read back"));
                from += at;
            }
            let mut near = from.saturating_sub(6000);
            while !text.is_char_boundary(near) {
                near -= 1;
            }
            // A line of them may go on overleaf.
            let rest = text[near..].replace(&format!("{title}\u{1}"), "");
            for (name, length) in &step.measures {
                // What has its length in the figure's key is not told again.
                let figure = length.rsplit(", ").next().unwrap_or(length);
                let keyed = bare(&format!("{name} {figure}")).to_lowercase();
                let is_told = rest.contains(&bare(length)) || rest.to_lowercase().contains(&keyed);
                assert!(is_told, "{name} {length}");
            }
        }
        for (term, meaning) in &lesson.terms {
            assert!(
                text.contains(&bare(term)) && text.contains(&bare(meaning)),
                "{term}"
            );
        }
    }
}

/// What a step says of a kind stands in the order of its text, and the steps in theirs: in the lesson, on the page and on paper.
#[test]
fn what_a_step_says_keeps_the_order_of_the_text() {
    let text = "draft \"Order\"
unit cm
choose wide = 20cm between 10cm and 40cm
panel back {
  step \"Square down\" {
    note \"Zinc is said first.\"
    why \"Yew is the first reason.\"
    slip wide is wide / 2 \"Xylem is the first slip.\"
    caution \"Willow is the first caution.\"
    point b = origin right wide
    note \"Amber is said second.\"
    why \"Birch is the second reason.\"
    slip wide is wide / 4 \"Cedar is the second slip.\"
    caution \"Dill is the second caution.\"
    point c = origin down 30cm
    note \"Maple is said third.\"
    why \"Nettle is the third reason.\"
  }
  step \"Across\" {
    note \"Beryl opens the second step.\"
    line top = from origin to b
    line slant = from b to c
    line centre = from c to origin
  }
}
check \"velvet is judged first\" that wide > 5cm
check \"ash is judged second\" that wide > 6cm
";
    let rows: [(&str, &[&str]); 6] = [
        (
            "notes",
            &[
                "Zinc is said first.",
                "Amber is said second.",
                "Maple is said third.",
            ],
        ),
        (
            "whys",
            &[
                "Yew is the first reason.",
                "Birch is the second reason.",
                "Nettle is the third reason.",
            ],
        ),
        (
            "slips",
            &["Xylem is the first slip.", "Cedar is the second slip."],
        ),
        (
            "cautions",
            &[
                "Willow is the first caution.",
                "Dill is the second caution.",
            ],
        ),
        (
            "steps",
            &["Zinc is said first.", "Beryl opens the second step."],
        ),
        (
            "checks",
            &["velvet is judged first", "ash is judged second"],
        ),
    ];
    let (lesson, _) = taught(text, &on(PageSize::A4, true, None));
    let step = &lesson.steps[0];
    assert_eq!(step.notes, rows[0].1);
    assert_eq!(step.whys, rows[1].1);
    let slips: Vec<&String> = step.slips.iter().map(|slip| &slip.text).collect();
    assert_eq!(slips, rows[2].1);
    assert_eq!(step.cautions, rows[3].1);
    let page = oaktag_studio::lesson::page::html(&lesson);
    let (_, pdf) = printed(&lesson, PageSize::A4);
    for (form, shown) in [("page", bare(&page)), ("paper", words(&pdf))] {
        // Cautions and checks are gathered elsewhere as well: the last of each is in its step or list.
        for (kind, said) in rows {
            let places: Vec<Option<usize>> =
                said.iter().map(|one| shown.rfind(&bare(one))).collect();
            assert!(
                places.iter().all(Option::is_some),
                "{form} {kind}: {places:?}"
            );
            assert!(places.is_sorted(), "{form}: {kind} at {places:?}");
            let places: Vec<Option<usize>> =
                said.iter().map(|one| shown.find(&bare(one))).collect();
            assert!(places.is_sorted(), "{form}: {kind} at {places:?}");
        }
    }
}

/// The shirt is sewn in the order that its draft says, last line of it.
#[test]
fn the_seams_are_sewn_in_the_order_of_the_draft() {
    let text = example("womens-crew-shirt.draft");
    let order = text
        .lines()
        .find_map(|line| line.strip_prefix("order "))
        .unwrap();
    let order: Vec<String> = order
        .split(", ")
        .map(|seam| seam.replace('_', " "))
        .collect();
    assert!(order.len() > 5, "{order:?}");
    let (lesson, _) = taught(&text, &on(PageSize::A4, false, None));
    let mut left = lesson.order.iter();
    for seam in &order {
        let found = left.any(|said| said.starts_with(&format!("Sew the {seam}")));
        assert!(found, "{seam} in {order:?}: {:?}", lesson.order);
    }
    let (_, pdf) = printed(&lesson, PageSize::A4);
    for (form, shown) in [
        ("page", bare(&oaktag_studio::lesson::page::html(&lesson))),
        ("paper", words(&pdf)),
    ] {
        let places: Vec<Option<usize>> = lesson
            .order
            .iter()
            .map(|said| shown.rfind(&bare(said)))
            .collect();
        assert!(
            places.is_sorted() && places[0].is_some(),
            "{form}: {places:?}"
        );
    }
}

fn page_with(document: &Document, is_it: impl Fn(&str) -> bool) -> Option<usize> {
    document.pages.iter().position(|page| {
        let drawings = page
            .views
            .iter()
            .map(|view| &document.drawings[view.drawing]);
        drawings
            .flat_map(|drawing| drawing.layer(Layer::Text))
            .any(|item| matches!(&item.shape, Shape::Text(text) if is_it(&text.letters)))
    })
}

#[test]
fn a_figure_stands_on_the_page_of_its_step() {
    for (name, size) in [
        ("first-steps.draft", PageSize::A4),
        ("house-block.draft", PageSize::A4),
        ("ferry-shirt.draft", PageSize::A4),
        ("ferry-shirt.draft", PageSize::Letter),
        ("womens-crew-shirt.draft", PageSize::Letter),
    ] {
        let (lesson, _) = taught(&example(name), &on(size, true, None));
        let (document, _) = printed(&lesson, size);
        let mut steps = Vec::new();
        every_step(&lesson.steps, &mut steps);
        let pictured: Vec<&&Step> = steps
            .iter()
            .filter(|step| !step.plates.is_empty())
            .collect();
        assert!(!pictured.is_empty());
        for step in pictured {
            let heading = format!("{}. {}", step.number, step.title);
            let heading = page_with(&document, |letters| letters == heading);
            assert_eq!(
                heading,
                page_with(&document, |letters| {
                    letters.split(" | ").next() == Some(&step.caption(&step.plates[0]))
                }),
                "{name} {}",
                step.number
            );
            assert!(heading.is_some());
        }
    }
}

#[test]
fn pages_have_the_size_asked_for_and_nothing_leaves_them() {
    for (size, points) in [
        (PageSize::A4, (595.2756, 841.8898)),
        (PageSize::Letter, (612.0, 792.0)),
    ] {
        let (lesson, _) = taught(&example("ferry-shirt.draft"), &on(size, true, None));
        let (document, pdf) = printed(&lesson, size);
        for page in &pdf.pages {
            assert!((page.size.0 - points.0).abs() < 0.01 && (page.size.1 - points.1).abs() < 0.01);
        }
        let pages = document.pages.iter();
        for (page, view) in pages.flat_map(|page| page.views.iter().map(move |view| (page, view))) {
            let Some(bounds) = document.drawings[view.drawing].bounds() else {
                continue;
            };
            let bounds = bounds + view.shift;
            assert!(bounds.x0 >= 5.0 && bounds.y0 >= 5.0, "{bounds:?}");
            // Boxes of texts are made wider than their letters; white paper round them takes that.
            assert!(
                bounds.x1 <= page.size.width + 25.0 && bounds.y1 <= page.size.height - 5.0,
                "{bounds:?}"
            );
        }
    }
}

fn length(path: &BezPath) -> f64 {
    path.segments().map(|seg| seg.arclen(1e-6)).sum()
}

/// A line of the figure, as it lies on the paper, times the scale is the line of the draft.
#[test]
fn figures_at_a_fixed_scale_measure_right_on_paper() {
    for (scale, size) in [(2.0, PageSize::A4), (4.0, PageSize::Letter)] {
        let (lesson, json) = taught(&example("first-steps.draft"), &on(size, false, Some(scale)));
        let step = &lesson.steps[0];
        let drawn_at = step.plates[0].scale.unwrap();
        assert!(drawn_at == scale, "{drawn_at}");
        let (_, pdf) = printed(&lesson, size);
        for edge in ["back.hem", "back.neck", "back.centre", "back.armhole"] {
            let wanted = json["values"][edge]["length_mm"].as_f64().unwrap() / scale;
            let paths = pdf.pages.iter().flat_map(|page| &page.paths);
            let found = paths.filter(|one| (length(&one.path) - wanted).abs() < 0.002);
            assert!(found.count() >= 1, "{edge}: no line of {wanted} mm");
        }
        let text = words(&pdf);
        assert!(
            text.contains(&format!("Step1,acts1to5,1:{scale}")),
            "the scale stands under the figure"
        );
    }
    // What does not fit the paper is drawn at half the scale again, and says so.
    let (lesson, _) = taught(
        &example("ferry-shirt.draft"),
        &on(PageSize::A4, false, Some(2.0)),
    );
    let plates = || lesson.steps.iter().flat_map(|step| &step.plates);
    let scales: Vec<f64> = plates().filter_map(|plate| plate.scale).collect();
    assert!(scales.iter().all(|scale| [2.0, 4.0, 8.0].contains(scale)) && scales.contains(&4.0));
    let free = PageSize::A4.size();
    for plate in plates().map(|plate| &plate.drawing) {
        assert!(plate.width <= free.width - 30.0 && plate.height <= free.height - 39.0);
    }
}

#[test]
fn the_command_writes_a_booklet_and_the_same_bytes_again() {
    let folder = tempfile::TempDir::new().unwrap();
    let draft = format!("{}/examples/first-steps.draft", env!("CARGO_MANIFEST_DIR"));
    let out = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (one, other) = (out("one.pdf"), out("other.pdf"));
    for path in [&one, &other] {
        let (status, _, err) = oaktag(&["lesson", &draft, "-o", path, "--sheet", "letter"]);
        assert_eq!(status, 0, "{err}");
    }
    let bytes = std::fs::read(&one).unwrap();
    assert!(bytes.starts_with(b"%PDF-") && bytes == std::fs::read(&other).unwrap());
    let pdf = Pdf::read(&bytes);
    let outline = pdf.file.get_toc().unwrap();
    let titles: Vec<&str> = outline.toc.iter().map(|one| one.title.as_str()).collect();
    assert!(
        titles.contains(&"1. Back") && titles.contains(&"Glossary"),
        "{titles:?}"
    );
    for (arguments, wanted) in [
        (["--sheet", "roll:914mm"], "printed on pages"),
        (["--sheet", "fit"], "printed on pages"),
    ] {
        let all = ["lesson", &draft, "-o", &one, arguments[0], arguments[1]];
        let (status, _, err) = oaktag(&all);
        assert!(status == 2 && err.contains(wanted), "{err}");
    }
    let page = out("one.html");
    assert_eq!(
        oaktag(&["lesson", &draft, "-o", &page, "--sheet", "a4"]).0,
        2
    );
}
