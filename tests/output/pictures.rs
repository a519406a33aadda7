//! Previews and files for a cutting machine, read back: the picture with the `png` decoder, the hairlines with `roxmltree`.

use crate::example_drafts;

use kurbo::{BezPath, Shape as _};
use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::{Layer, Shape};
use oaktag_output::png::{MOST_DOTS, PictureFault, write};
use oaktag_output::svg;
use roxmltree::Document;

fn shirt() -> Pattern {
    example_drafts::example("ferry-shirt.draft", &[]).pattern
}

struct Picture {
    width: usize,
    height: usize,
    per_metre: u32,
    dots: Vec<u8>,
}

impl Picture {
    fn is_ink(&self, x: usize, y: usize) -> bool {
        let at = 3 * (y * self.width + x);
        self.dots[at..at + 3]
            .iter()
            .map(|part| u32::from(*part))
            .sum::<u32>()
            < 500
    }
}

fn picture(bytes: &[u8]) -> Picture {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let mut dots = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut dots).unwrap();
    let per_metre = reader.info().pixel_dims.unwrap();
    assert!(per_metre.unit == png::Unit::Meter && per_metre.xppu == per_metre.yppu);
    Picture {
        width: info.width as usize,
        height: info.height as usize,
        per_metre: per_metre.xppu,
        dots,
    }
}

/// PNG (third edition, 11.3.4.3, from memory) states dots per metre; an inch is 0.0254 m.
#[test]
fn a_picture_states_its_resolution_and_keeps_it() {
    let drawing = compose(&shirt());
    for resolution in [40.0, 72.0] {
        let made = picture(&write(&drawing, resolution, &[]).unwrap().bytes);
        assert_eq!(made.per_metre, (resolution / 0.0254_f64).round() as u32);
        let dots = resolution / 25.4;
        let wanted = (
            (drawing.width * dots).ceil() as usize,
            (drawing.height * dots).ceil() as usize,
        );
        assert_eq!((made.width, made.height), wanted);
        let square = drawing
            .layer(Layer::TestSquare)
            .find_map(|item| match &item.shape {
                Shape::Stroke(path, _) => Some(path.bounding_box()),
                Shape::Fill(..) | Shape::Text(_) => None,
            });
        let square = square.unwrap();
        let row = ((square.y0 + 5.0) * dots) as usize;
        let ink = (0..((square.x1 + 3.0) * dots) as usize).filter(|x| made.is_ink(*x, row));
        let ink: Vec<usize> = ink.collect();
        let across = (ink[ink.len() - 1] - ink[0]) as f64;
        assert!(
            (across - 100.0 * dots).abs() <= 1.5,
            "{across} dots, wanted {}",
            100.0 * dots
        );
    }
}

#[test]
fn the_same_drawing_is_the_same_picture() {
    let drawing = compose(&shirt().only(&["yoke".to_owned()]).unwrap());
    assert!(write(&drawing, 50.0, &[]).unwrap() == write(&drawing, 50.0, &[]).unwrap());
}

#[test]
fn a_picture_too_large_is_refused_with_what_would_do() {
    let drawing = compose(&shirt());
    let told = write(&drawing, 1200.0, &[]).unwrap_err();
    let PictureFault::TooLarge {
        width,
        height,
        finest,
    } = told
    else {
        panic!("{told:?}")
    };
    assert!(width * height > MOST_DOTS && told.to_string().contains("--resolution"));
    let dots = finest / 25.4;
    assert!(
        (drawing.width * dots).ceil() * (drawing.height * dots).ceil() <= MOST_DOTS,
        "{finest} does"
    );
    for wrong in [0.0, -72.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(
            matches!(
                write(&drawing, wrong, &[]),
                Err(PictureFault::Resolution(_))
            ),
            "{wrong}"
        );
    }
}

#[test]
fn letters_a_picture_lacks_are_told() {
    let mut pattern = shirt();
    pattern.title = "漢 and é".to_owned();
    assert_eq!(
        write(&compose(&pattern), 30.0, &[]).unwrap().missing,
        ['漢']
    );
}

/// A machine follows every line: hairlines with their style on them, no fill, no dash, each layer in a colour of its own.
#[test]
fn hairlines_are_plain_lines_in_named_groups() {
    let mut pattern = shirt();
    pattern.pieces[0].cautions = vec!["<script>Check fails</script>".to_owned()];
    let drawing = compose(&pattern);
    let text = svg::hairlines(&drawing);
    let document = Document::parse(&text).unwrap();
    let root = document.root_element();
    assert_eq!(
        root.attribute("width").unwrap(),
        format!("{}mm", drawing.width)
    );
    let groups: Vec<_> = root
        .children()
        .filter(|node| node.has_tag_name("g"))
        .collect();
    let mut colours: Vec<&str> = groups
        .iter()
        .map(|group| group.attribute("stroke").unwrap())
        .collect();
    colours.sort_unstable();
    colours.dedup();
    assert_eq!(colours.len(), groups.len());
    for group in &groups {
        assert_eq!(group.attribute("fill"), Some("none"));
        assert!(
            group
                .attribute("stroke-width")
                .unwrap()
                .parse::<f64>()
                .unwrap()
                <= 0.1
        );
    }
    for node in document.descendants() {
        assert!(node.attribute("stroke-dasharray").is_none() && node.attribute("class").is_none());
        assert!(!node.has_tag_name("style") && !node.has_tag_name("script"));
    }
    let cut = groups
        .iter()
        .find(|group| group.attribute("id") == Some("cut"))
        .unwrap();
    let found: f64 = cut
        .children()
        .filter_map(|node| node.attribute("d"))
        .map(|d| BezPath::from_svg(d).unwrap().perimeter(1e-6))
        .sum();
    let wanted: f64 = drawing
        .layer(Layer::Cut)
        .map(|item| match &item.shape {
            Shape::Stroke(path, _) => path.perimeter(1e-6),
            Shape::Fill(..) | Shape::Text(_) => 0.0,
        })
        .sum();
    assert!((found - wanted).abs() < 0.05, "{found}, wanted {wanted}");
    let said = document
        .descendants()
        .filter_map(|node| node.text())
        .any(|text| text.contains("Check fails"));
    assert!(said, "what must not be overlooked is still there");
}
