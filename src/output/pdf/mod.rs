//! Writes a document of pages as PDF (ISO 32000-1) at true size. Path data stands in millimetres under one matrix a page,
//! curves stay curves, each layer can be shown and hidden, and text is text: it can be searched and copied. A print
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
pub use outline::Bookmark;
use pdf_writer::{Chunk, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

/// Points in a millimetre: an inch is 25.4 mm and 72 points.
pub(crate) const POINT: f64 = 72.0 / 25.4;

/// A document as written, and what could not be.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// The file.
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
    let layers: Vec<(Layer, Ref)> = used(document).map(|layer| (layer, names.next())).collect();
    let mut alphabets = Weight::ALL.map(Alphabet::new);
    let contents: Vec<Vec<u8>> = document
        .pages
        .iter()
        .map(|page| Writer::new(&layers, &mut alphabets).page(document, page))
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
    write_catalog(&mut pdf, document, (catalog, tree, root), &layers, hidden);
    let info = names.next();
    pdf.document_info(info)
        .title(TextStr(&document.title))
        .creator(TextStr("Oaktag"))
        .producer(TextStr("Oaktag"));
    for (layer, name) in &layers {
        let mut group = pdf.indirect(*name).dict();
        group
            .pair(Name(b"Type"), Name(b"OCG"))
            .pair(Name(b"Name"), TextStr(title(*layer)));
    }
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree)
        .kids(pages.iter().map(|(page, _)| *page))
        .count(count);
    for ((page, (name, stream)), bytes) in document.pages.iter().zip(&pages).zip(&contents) {
        write_page(&mut pdf, page, *name, tree, *stream, &layers, &fonts);
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
        Layer::Text => "Names and labels",
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
    layers: &[(Layer, Ref)],
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
    optional
        .insert(Name(b"OCGs"))
        .array()
        .items(layers.iter().map(|(_, name)| *name));
    let mut shown = optional.insert(Name(b"D")).dict();
    shown.pair(Name(b"Name"), TextStr("Layers"));
    shown
        .insert(Name(b"Order"))
        .array()
        .items(layers.iter().map(|(_, name)| *name));
    let off = layers.iter().filter(|(layer, _)| hidden.contains(layer));
    shown
        .insert(Name(b"OFF"))
        .array()
        .items(off.map(|(_, name)| *name));
}

fn write_page(
    pdf: &mut Pdf,
    page: &Page,
    name: Ref,
    tree: Ref,
    stream: Ref,
    layers: &[(Layer, Ref)],
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
    for (layer, group) in layers {
        properties.pair(Name(layer.id().as_bytes()), *group);
    }
}

/// What fonts share: the identity of their letters' codes.
pub(crate) const CODES: pdf_writer::types::SystemInfo<'static> = pdf_writer::types::SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

type Objects = Chunk;
