//! The pages that are written, lesson and comparison, held against what a reader by ear, by keyboard or on a phone needs:
//! the HTML standard's rules for ids and headings, WCAG 2.2 for names and contrast (formulas from memory of the standard's
//! own definitions of relative luminance and contrast ratio).

use oaktag_language::draft::{self, Inputs};
use oaktag_language::library;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::voice::LengthUnit;
use oaktag_output::web;
use oaktag_studio::compare::report::{Detail, report};
use oaktag_studio::compare::{self, Options as CompareOptions, Side};
use oaktag_studio::lesson::{self, Options};
use scraper::{ElementRef, Html, Selector};
use std::collections::{BTreeMap, BTreeSet};

struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        Ok(example(path))
    }
}

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn load(text: &str) -> Project {
    Project::load("page.draft", text, &Examples, &library::module)
}

fn lesson_page(text: &str, unfold: bool) -> String {
    let project = load(text);
    let outcome = draft::make(&project, &Inputs::default());
    let options = Options {
        unfold,
        ..Options::default()
    };
    lesson::page::html(&lesson::lesson(
        &project,
        &outcome,
        LengthUnit::Centimetre,
        &options,
    ))
}

fn comparison_page() -> String {
    let (old, new) = (
        example("ferry-shirt.draft"),
        example("ferry-shirt.draft").replace("pleat = 6cm", "pleat = 8cm"),
    );
    let (old, new) = (load(&old), load(&new));
    let (before, after) = (
        draft::make(&old, &Inputs::default()),
        draft::make(&new, &Inputs::default()),
    );
    let old = Side {
        label: "old",
        project: &old,
        outcome: &before,
    };
    let new = Side {
        label: "new",
        project: &new,
        outcome: &after,
    };
    let comparison = compare::compare(old, new, &CompareOptions::default()).unwrap();
    compare::page::html(&comparison, &report(&comparison, Detail::Outline), old, new)
}

fn pages() -> Vec<String> {
    vec![
        lesson_page(&example("first-steps.draft"), false),
        lesson_page(&example("ferry-shirt.draft"), true),
        lesson_page(&example("womens-crew-shirt.draft"), true),
        comparison_page(),
    ]
}

fn all<'a>(page: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    page.select(&Selector::parse(selector).unwrap()).collect()
}

fn attribute(element: &ElementRef<'_>, name: &str) -> String {
    element.value().attr(name).unwrap_or("").to_owned()
}

#[test]
fn ids_are_unique_and_every_reference_has_its_goal() {
    for text in pages() {
        let page = Html::parse_document(&text);
        assert!(page.errors.is_empty(), "{:?}", page.errors);
        let ids: Vec<String> = all(&page, "[id]")
            .iter()
            .map(|one| attribute(one, "id"))
            .collect();
        let unique: BTreeSet<&String> = ids.iter().collect();
        assert_eq!(unique.len(), ids.len(), "an id stands twice");
        for (selector, name) in [
            ("[aria-labelledby]", "aria-labelledby"),
            ("[aria-describedby]", "aria-describedby"),
            ("label[for]", "for"),
        ] {
            for one in all(&page, selector) {
                for id in attribute(&one, name).split_whitespace() {
                    assert!(ids.iter().any(|known| known == id), "{name} names {id}");
                }
            }
        }
        for link in all(&page, "a[href]") {
            let goal = attribute(&link, "href");
            assert!(
                ids.contains(&goal.strip_prefix('#').unwrap().to_owned()),
                "{goal}"
            );
        }
    }
}

#[test]
fn a_page_has_its_landmarks_and_headings_in_order() {
    for text in pages() {
        let page = Html::parse_document(&text);
        assert_eq!(all(&page, "html[lang=en]").len(), 1);
        assert_eq!(all(&page, "main").len(), 1);
        assert_eq!(all(&page, "h1").len(), 1);
        assert!(!all(&page, "title")[0].inner_html().trim().is_empty());
        assert_eq!(
            all(&page, "a.skip").len(),
            1,
            "a way past the head for the keyboard"
        );
        assert_eq!(all(&page, "meta[name=viewport]").len(), 1);
        let mut level = 0;
        for heading in all(&page, "h1,h2,h3,h4,h5,h6") {
            let own: u32 = heading.value().name()[1..].parse().unwrap();
            assert!(
                own <= level + 1,
                "a heading skips a level: {}",
                heading.inner_html()
            );
            assert!(!heading.inner_html().trim().is_empty());
            level = own;
        }
    }
}

#[test]
fn whatever_is_a_picture_a_region_or_a_control_has_a_name() {
    for text in pages() {
        let page = Html::parse_document(&text);
        let svgs = all(&page, "svg");
        assert!(!svgs.is_empty());
        for svg in svgs {
            assert_eq!(attribute(&svg, "role"), "img");
            assert!(!attribute(&svg, "aria-labelledby").is_empty());
            let title = svg
                .select(&Selector::parse("title").unwrap())
                .next()
                .unwrap();
            assert!(!title.text().collect::<String>().trim().is_empty());
        }
        for region in all(&page, "[role=region],section") {
            let named = attribute(&region, "aria-label") + &attribute(&region, "aria-labelledby");
            let in_list = region.value().name() == "section"
                && region
                    .select(&Selector::parse("h2").unwrap())
                    .next()
                    .is_some();
            assert!(!named.is_empty() || in_list, "{:?}", region.value());
        }
        for button in all(&page, "button") {
            assert!(!button.text().collect::<String>().trim().is_empty());
        }
        for input in all(&page, "input") {
            assert_eq!(
                all(&page, &format!("label[for={}]", attribute(&input, "id"))).len(),
                1
            );
        }
        for cell in all(&page, "th") {
            assert!(["row", "col"].contains(&attribute(&cell, "scope").as_str()));
        }
    }
}

#[test]
fn a_page_stands_alone_and_nothing_a_draft_says_becomes_markup() {
    for text in pages() {
        for outside in [
            "http:", "https:", "@import", "url(", " src=", "<link", "<iframe",
        ] {
            let text = text.replace("http://www.w3.org/2000/svg", "");
            assert!(!text.contains(outside), "{outside}");
        }
    }
    let hostile = example("first-steps.draft")
        .replace(
            "First steps: half a back",
            "</title><script>alert(1)</script>",
        )
        .replace("\"Half back\"", "\"<img onerror=x>\"");
    let page = lesson_page(&hostile, false);
    assert!(
        !page.contains("<script>alert") && !page.contains("<img"),
        "markup came through"
    );
    // The page's own alone, which plays the steps.
    assert_eq!(page.matches("<script").count(), 1);
}

/// Relative luminance, WCAG 2.2.
fn luminance(colour: &str) -> f64 {
    let full = if colour.len() == 4 {
        colour[1..].chars().flat_map(|c| [c, c]).collect()
    } else {
        colour[1..].to_owned()
    };
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&full[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4)
}

fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// The colours of each `:root` in the shared style: light, dark, print.
fn palettes() -> Vec<BTreeMap<String, String>> {
    let blocks = web::STYLE.split(":root{").skip(1);
    let palettes = blocks.map(|block| {
        let inside = block.split('}').next().unwrap();
        let pairs = inside
            .split(';')
            .filter_map(|pair| pair.strip_prefix("--")?.split_once(':'));
        pairs
            .map(|(name, colour)| (name.to_owned(), colour.to_owned()))
            .collect()
    });
    palettes.collect()
}

#[test]
fn letters_and_lines_stand_out_from_their_ground_in_light_dark_and_print() {
    assert!(
        (contrast("#000", "#ffffff") - 21.0).abs() < 1e-9,
        "black on white is 21 to 1 by definition"
    );
    let palettes = palettes();
    assert_eq!(palettes.len(), 3);
    for palette in palettes {
        for ground in ["paper", "card", "mark"] {
            for letters in ["ink", "accent", "new", "slate"] {
                let ratio = contrast(&palette[letters], &palette[ground]);
                assert!(ratio >= 4.5, "{letters} on {ground}: {ratio:.2}");
            }
        }
        assert!(contrast(&palette["soft"], &palette["paper"]) >= 4.5);
        assert!(contrast(&palette["old"], &palette["card"]) >= 3.0);
    }
}
