//! Reads pages with `lopdf`, an independent reader: boxes, layers, text, and every path where it lands on the paper, in
//! millimetres from the top left corner with y down.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _};
use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

/// Millimetres in a point: 72 points are an inch of 25.4 mm (ISO 32000-1, 8.3.2.3).
pub const POINT: f64 = 25.4 / 72.0;

pub struct Pdf {
    pub file: Document,
    pub pages: Vec<Page>,
}

pub struct Page {
    pub label: String,
    /// Width and height in points.
    pub size: (f64, f64),
    pub paths: Vec<Painted>,
}

/// A path as painted.
#[derive(Clone, Debug)]
pub struct Painted {
    pub layer: String,
    /// The layer of a size, inside the other.
    pub size: Option<String>,
    pub path: BezPath,
    pub is_filled: bool,
    /// What of it shows.
    pub clip: Option<Rect>,
}

impl Painted {
    pub fn points(&self) -> Vec<Point> {
        let of = |element: &PathEl| match *element {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => vec![p],
            PathEl::QuadTo(a, p) => vec![a, p],
            PathEl::CurveTo(a, b, p) => vec![a, b, p],
            PathEl::ClosePath => vec![],
        };
        self.path.elements().iter().flat_map(of).collect()
    }
}

impl Pdf {
    pub fn read(bytes: &[u8]) -> Self {
        let file = Document::load_mem(bytes).unwrap();
        let labels = labels(&file);
        let pages = file.get_pages();
        let pages = pages
            .values()
            .zip(labels)
            .map(|(id, label)| page(&file, *id, label));
        Self {
            pages: pages.collect(),
            file,
        }
    }

    pub fn text(&self, number: usize) -> String {
        self.file
            .extract_text(&[u32::try_from(number).unwrap()])
            .unwrap()
    }

    fn dictionary<'a>(&'a self, within: &'a Dictionary, key: &[u8]) -> &'a Dictionary {
        self.file.get_dict_in_dict(within, key).unwrap()
    }

    /// The layers that a viewer lists, and whether each is shown at first.
    pub fn layers(&self) -> Vec<(String, bool)> {
        let optional = self.dictionary(self.file.catalog().unwrap(), b"OCProperties");
        let shown = self.dictionary(optional, b"D");
        let off = shown.get(b"OFF").unwrap().as_array().unwrap();
        let order = shown.get(b"Order").unwrap().as_array().unwrap();
        let of = |name: &Object| {
            let group = self
                .file
                .get_dictionary(name.as_reference().unwrap())
                .unwrap();
            (text_of(group.get(b"Name").unwrap()), !off.contains(name))
        };
        order.iter().map(of).collect()
    }
}

fn text_of(object: &Object) -> String {
    lopdf::decode_text_string(object).unwrap()
}

fn labels(file: &Document) -> Vec<String> {
    let labels = file
        .get_dict_in_dict(file.catalog().unwrap(), b"PageLabels")
        .unwrap();
    let rows = labels.get(b"Nums").unwrap().as_array().unwrap();
    rows.chunks(2)
        .map(|row| text_of(row[1].as_dict().unwrap().get(b"P").unwrap()))
        .collect()
}

fn figures(objects: &[Object]) -> Vec<f64> {
    objects
        .iter()
        .map(|object| f64::from(object.as_float().unwrap()))
        .collect()
}

fn page(file: &Document, id: ObjectId, label: String) -> Page {
    let media = file
        .get_dictionary(id)
        .unwrap()
        .get(b"MediaBox")
        .unwrap()
        .as_array()
        .unwrap();
    let media = figures(media);
    assert_eq!((media[0], media[1]), (0.0, 0.0));
    let size = (media[2], media[3]);
    let content = Content::decode(&file.get_page_content(id)).unwrap();
    let mut state = State {
        // Points from the bottom left corner become millimetres from the top left.
        place: Affine::new([POINT, 0.0, 0.0, -POINT, 0.0, size.1 * POINT]),
        clip: None,
    };
    let (mut saved, mut layers, mut path, mut clips) =
        (Vec::new(), Vec::new(), BezPath::new(), false);
    let mut paths = Vec::new();
    for operation in &content.operations {
        let n = operation
            .operands
            .iter()
            .filter_map(|object| object.as_float().ok())
            .map(f64::from)
            .collect::<Vec<_>>();
        let at = |index: usize| state.place * Point::new(n[index], n[index + 1]);
        match operation.operator.as_str() {
            "q" => saved.push(state.clone()),
            "Q" => state = saved.pop().unwrap(),
            "cm" => state.place *= Affine::new([n[0], n[1], n[2], n[3], n[4], n[5]]),
            "BDC" => layers.push(
                String::from_utf8(operation.operands[1].as_name().unwrap().to_vec()).unwrap(),
            ),
            "EMC" => {
                layers.pop();
            }
            "m" => path.move_to(at(0)),
            "l" => path.line_to(at(0)),
            "c" => path.curve_to(at(0), at(2), at(4)),
            "h" => path.close_path(),
            "re" => {
                let far = state.place * Point::new(n[0] + n[2], n[1] + n[3]);
                path = Rect::from_points(at(0), far).to_path(0.1);
            }
            "W" => clips = true,
            "n" | "S" | "f" => {
                let done = std::mem::take(&mut path);
                if clips {
                    state.clip = Some(done.bounding_box());
                    clips = false;
                } else if operation.operator != "n" {
                    assert!(layers.len() <= 2, "{layers:?}");
                    let layer = layers.first().cloned().unwrap_or_default();
                    let is_filled = operation.operator == "f";
                    paths.push(Painted {
                        layer,
                        size: layers.get(1).cloned(),
                        path: done,
                        is_filled,
                        clip: state.clip,
                    });
                }
            }
            _ => {}
        }
    }
    assert!(
        saved.is_empty() && layers.is_empty(),
        "states and layers are closed"
    );
    Page { label, size, paths }
}

#[derive(Clone)]
struct State {
    place: Affine,
    clip: Option<Rect>,
}
