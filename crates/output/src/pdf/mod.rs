//! Writes a document of pages as PDF (ISO 32000-1) at true size. Path data stands in millimetres under one matrix a page,
//! curves stay curves, each layer can be shown and hidden, and each size of a nest too, and text is text: it can be searched and copied. A print
//! dialogue that heeds the document's wishes does not scale it. No date and no chance is in it: the same document is the
//! same bytes.

mod content;
mod font;
mod outline;

use super::drawing::Layer;
use super::letters::Weight;
use super::pages::{Document, Page};
use content::Writer;
use font::Alphabet;
use oaktag_language::voice::INCH;
pub use outline::Bookmark;
use pdf_writer::{Chunk, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

/// Points in a millimetre: an inch is 25.4 mm and 72 points.
pub(crate) const POINT: f64 = 72.0 / INCH;

/// A document as written, and what could not be.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// The bytes of the PDF file.
    pub bytes: Vec<u8>,
    /// Letters that the faces lack; a box stands for each.
    pub missing: Vec<char>,
}

/// Writes a document. Layers that are `hidden` are in it, to be switched on by the reader.
pub fn write(document: &Document, hidden: &[Layer]) -> Written {
    write_with_outline(document, hidden, &[])
}

/// The same, with headings that a reader lists beside the pages.
pub fn write_with_outline(
    document: &Document,
    hidden: &[Layer],
    bookmarks: &[Bookmark],
) -> Written {
    let mut names = Names::default();
    let (catalog, tree) = (names.next(), names.next());
    let sizes = Sizes::of(document, &mut names);
    let layers: Vec<(Layer, Ref)> = used(document).map(|layer| (layer, names.next())).collect();
    let mut alphabets = Weight::ALL.map(Alphabet::new);
    let contents: Vec<Vec<u8>> = document
        .pages
        .iter()
        .map(|page| Writer::new(&layers, &sizes, &mut alphabets).page(document, page))
        .collect();
    let mut pdf = Pdf::new();
    let mut fonts = Vec::new();
    for alphabet in alphabets.iter().filter(|alphabet| !alphabet.is_empty()) {
        let font = names.next();
        fonts.push((alphabet.weight(), font));
        pdf.extend(&alphabet.write(font, &mut names));
    }
    let pages: Vec<(Ref, Ref)> = contents
        .iter()
        .map(|_| (names.next(), names.next()))
        .collect();
    let root = outline::write(&mut pdf, bookmarks, document, &pages, &mut names);
    let groups = Groups {
        layers: &layers,
        sizes: &sizes,
    };
    write_catalog(&mut pdf, document, (catalog, tree, root), groups, hidden);
    let info = names.next();
    pdf.document_info(info)
        .title(TextStr(&document.title))
        .creator(TextStr("Oaktag"))
        .producer(TextStr("Oaktag"));
    for (name, words) in groups.named() {
        let mut group = pdf.indirect(name).dict();
        group
            .pair(Name(b"Type"), Name(b"OCG"))
            .pair(Name(b"Name"), TextStr(&words));
    }
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree)
        .kids(pages.iter().map(|(page, _)| *page))
        .count(count);
    for ((page, (name, stream)), bytes) in document.pages.iter().zip(&pages).zip(&contents) {
        write_page(&mut pdf, page, (*name, tree, *stream), groups, &fonts);
        let packed = packed(bytes);
        pdf.stream(*stream, &packed).filter(Filter::FlateDecode);
    }
    let mut missing: Vec<char> = Vec::new();
    for letter in alphabets.iter().flat_map(Alphabet::missing) {
        if !missing.contains(&letter) {
            missing.push(letter);
        }
    }
    Written {
        bytes: pdf.finish(),
        missing,
    }
}

/// The sizes of a document's nests, each a layer of its own beside those of the lines: what belongs to a size shows where
/// both its size and its kind of line do, so that a reader prints one size alone.
#[derive(Default)]
struct Sizes(Vec<(String, Ref)>);

impl Sizes {
    fn of(document: &Document, names: &mut Names) -> Self {
        let mut found: Vec<(String, Ref)> = Vec::new();
        for size in document.drawings.iter().flat_map(|drawing| &drawing.sizes) {
            if !found.iter().any(|(known, _)| known == size) {
                found.push((size.clone(), names.next()));
            }
        }
        Self(found)
    }

    /// What a size is called in the properties of a page; its own letters would have to be escaped.
    fn id(&self, size: &str) -> Option<String> {
        let number = self.0.iter().position(|(known, _)| known == size)?;
        Some(format!("size-{}", number + 1))
    }
}

/// Everything that can be shown and hidden.
#[derive(Clone, Copy)]
struct Groups<'a> {
    layers: &'a [(Layer, Ref)],
    sizes: &'a Sizes,
}

impl Groups<'_> {
    /// Each with its words, in the order of a reader's list: sizes, which are chosen most, first.
    fn named(&self) -> impl Iterator<Item = (Ref, String)> {
        let sizes = self.sizes.0.iter();
        let sizes = sizes.map(|(size, name)| (*name, format!("Size {size}")));
        let layers = self.layers.iter();
        sizes.chain(layers.map(|(layer, name)| (*name, title(*layer).to_owned())))
    }

    fn names(&self) -> impl Iterator<Item = Ref> {
        self.named().map(|(name, _)| name)
    }
}

/// Gives out names of objects in order.
#[derive(Default)]
struct Names(i32);

impl Names {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// Compressed, always the same way.
fn packed(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
}

/// Layers with something on them. What only tints the sheet is not printed.
fn used(document: &Document) -> impl Iterator<Item = Layer> {
    let printed = Layer::of_pages().filter(|layer| is_printed(*layer));
    printed.filter(|layer| {
        let mut drawings = document.drawings.iter();
        drawings.any(|drawing| drawing.layer(*layer).next().is_some())
    })
}

/// Whether a layer is ink on the paper rather than the paper.
pub(crate) fn is_printed(layer: Layer) -> bool {
    !matches!(layer, Layer::Paper | Layer::Pieces)
}

/// What a reader's list of layers calls it.
pub fn title(layer: Layer) -> &'static str {
    match layer {
        Layer::Paper => "Paper",
        Layer::Pieces => "Pieces",
        Layer::Construction => "Construction",
        Layer::Sew => "Sewing lines",
        Layer::Cut => "Cutting lines",
        Layer::Fold => "Folds",
        Layer::Notches => "Notches",
        Layer::Marks => "Marks for the cloth",
        Layer::Grain => "Grain",
        Layer::Names => "Names of points",
        Layer::Text => "Labels and edges",
        Layer::Cautions => "Cautions",
        Layer::Title => "Title and tables",
        Layer::TestSquare => "Test squares",
        Layer::Joins => "Joints of the tiles",
    }
}

fn write_catalog(
    pdf: &mut Pdf,
    document: &Document,
    (catalog, tree, root): (Ref, Ref, Option<Ref>),
    groups: Groups<'_>,
    hidden: &[Layer],
) {
    let mut catalog = pdf.catalog(catalog);
    catalog.pages(tree).lang(TextStr("en"));
    if let Some(root) = root {
        catalog.outlines(root);
    }
    let mut viewer = catalog.viewer_preferences();
    viewer.display_doc_title(true);
    // ISO 32000-1, table 150: the print dialogue starts out at 100 %.
    viewer.pair(Name(b"PrintScaling"), Name(b"None"));
    viewer.finish();
    let mut labels = catalog.insert(Name(b"PageLabels")).dict();
    let mut rows = labels.insert(Name(b"Nums")).array();
    for (index, page) in document.pages.iter().enumerate() {
        rows.item(i32::try_from(index).unwrap_or(i32::MAX));
        rows.push().dict().pair(Name(b"P"), TextStr(&page.name));
    }
    rows.finish();
    labels.finish();
    let mut optional = catalog.insert(Name(b"OCProperties")).dict();
    optional.insert(Name(b"OCGs")).array().items(groups.names());
    let mut shown = optional.insert(Name(b"D")).dict();
    shown.pair(Name(b"Name"), TextStr("Layers"));
    shown.insert(Name(b"Order")).array().items(groups.names());
    let off = groups
        .layers
        .iter()
        .filter(|(layer, _)| hidden.contains(layer));
    shown
        .insert(Name(b"OFF"))
        .array()
        .items(off.map(|(_, name)| *name));
}

fn write_page(
    pdf: &mut Pdf,
    page: &Page,
    (name, tree, stream): (Ref, Ref, Ref),
    groups: Groups<'_>,
    fonts: &[(Weight, Ref)],
) {
    let mut written = pdf.page(name);
    let (width, height) = (
        content::number(page.size.width * POINT),
        content::number(page.size.height * POINT),
    );
    written
        .parent(tree)
        .media_box(Rect::new(0.0, 0.0, width, height))
        .contents(stream);
    let mut resources = written.resources();
    let mut named = resources.fonts();
    for (weight, font) in fonts {
        named.pair(Name(content::font_name(*weight)), *font);
    }
    named.finish();
    let mut properties = resources.insert(Name(b"Properties")).dict();
    for (layer, group) in groups.layers {
        properties.pair(Name(layer.id().as_bytes()), *group);
    }
    for (size, group) in &groups.sizes.0 {
        if let Some(id) = groups.sizes.id(size) {
            properties.pair(Name(id.as_bytes()), *group);
        }
    }
}

/// What fonts share: the identity of their letters' codes.
pub(crate) const CODES: pdf_writer::types::SystemInfo<'static> = pdf_writer::types::SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

type Objects = Chunk;
