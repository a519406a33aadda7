//! Documents of pages: which part of which drawing stands where on which sheet of paper. A page is a list of views, each a
//! drawing moved and cut to a window; nothing is scaled, so a millimetre of the drawing is one of the paper.

use super::drawing::compose::{compose_as, with_block_aside};
use super::drawing::labels::size_of;
use super::drawing::manner::{Head, Manner, Scale, Width};
use super::drawing::style::{Hand, Pen};
use super::drawing::tiles::{self, Tiling};
use super::drawing::{Anchor, Drawing, Layer, Shape, Text, cover, text};
use super::sheet::{FOOT, LONGEST_PAGE, MARGIN, PageSize, ROLLS, Sheet};
use kurbo::{BezPath, Point, Rect, Size, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_language::voice::LengthUnit;

/// A document ready to be written.
#[derive(Clone, Debug)]
pub struct Document {
    /// The draft's title, which readers show above the pages.
    pub title: String,
    /// What its pages show.
    pub drawings: Vec<Drawing>,
    /// The pages in order.
    pub pages: Vec<Page>,
}

/// One sheet of a document, as its reader turns to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// The tile's name, or what else it is.
    pub name: String,
    /// Width and height in millimetres.
    pub size: Size,
    /// What is shown, the lowest first.
    pub views: Vec<View>,
}

/// A window on a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Which drawing of the document, from 0.
    pub drawing: usize,
    /// From the drawing's coordinates to the page's; both y down.
    pub shift: Vec2,
    /// What of the drawing is shown, in its coordinates.
    pub shown: Rect,
}

/// Why a pattern cannot be laid on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PageFault {
    /// A piece is wider than the roll: the width that would do.
    RollTooNarrow {
        /// The width that would do, in millimetres.
        wanted: f64,
    },
    /// The drawing would be cut into more tiles than anybody joins: how many.
    TooManyTiles {
        /// Tiles, empty ones too.
        count: u32,
    },
    /// The drawing is larger than a page can be: its longer side.
    PageTooLong {
        /// Length of its longer side, in millimetres.
        length: f64,
    },
}

impl std::fmt::Display for PageFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::RollTooNarrow { wanted } if *wanted > ROLLS.1 => write!(
                f,
                "the widest piece wants a roll of {:.0} mm, and none is so wide: take tiles with --sheet a4.",
                wanted.ceil()
            ),
            Self::RollTooNarrow { wanted } => write!(
                f,
                "the widest piece does not fit on that roll: it wants one of {:.0} mm. Take a wider roll, or tiles with --sheet a4.",
                wanted.ceil()
            ),
            Self::TooManyTiles { count } => write!(
                f,
                "the drawing would be cut into {count} tiles, and {} are the most: choose pieces with --piece, or a larger sheet.",
                tiles::MOST_TILES
            ),
            Self::PageTooLong { length } => write!(
                f,
                "the drawing is {:.2} m long and one page may be {:.2} m: choose pieces with --piece, or a sheet with --sheet a0 or --sheet roll:914mm.",
                length / 1000.0,
                LONGEST_PAGE / 1000.0
            ),
        }
    }
}

/// Lays a pattern out on a sheet.
///
/// # Errors
/// Where a piece or the drawing is larger than the sheet allows.
pub fn lay_out(pattern: &Pattern, sheet: Sheet, scale: Scale) -> Result<Document, PageFault> {
    let manner = |width, head| Manner { scale, width, head };
    match sheet {
        Sheet::Fit => {
            let drawing = compose_as(pattern, manner(Width::Free, Head::BlockWithInches));
            single(drawing)
        }
        Sheet::Roll(width) => {
            let room = width - 2.0 * MARGIN;
            let drawing = compose_as(pattern, manner(Width::Within(room), Head::BlockWithInches));
            if drawing.width > room + 1.0 {
                return Err(PageFault::RollTooNarrow {
                    wanted: drawing.width + 2.0 * MARGIN,
                });
            }
            let wanted = drawing.height + 2.0 * MARGIN + FOOT;
            in_tiles(
                drawing,
                Size::new(width, wanted.min(LONGEST_PAGE - 80.0).ceil()),
                (scale, pattern.unit),
            )
        }
        Sheet::Page(size) if size.is_small() => with_cover(pattern, size, scale),
        Sheet::Page(size) => {
            let page = size.size();
            let pitch = tiles::pitch(window(page));
            let drawing = compose_as(pattern, manner(Width::Tiles(pitch), Head::BlockWithInches));
            let drawing = match is_bare(&drawing, pitch) && pattern.unfinished.is_none() {
                true => with_no_more_sheets(drawing, with_block_aside(pattern, scale, pitch), page),
                false => drawing,
            };
            in_tiles(drawing, page, (scale, pattern.unit))
        }
    }
}

/// Whether the first sheet of a drawing has its block and nothing of a piece.
fn is_bare(drawing: &Drawing, pitch: Size) -> bool {
    let cell = Rect::from_origin_size(Point::ORIGIN, pitch);
    let mut pieces = drawing.layer(Layer::Pieces);
    !pieces.any(|item| match &item.shape {
        Shape::Fill(path, _) => kurbo::Shape::bounding_box(path).overlaps(cell),
        Shape::Stroke(..) | Shape::Text(_) => false,
    })
}

/// The drawing, or another of the same where that takes no more sheets.
fn with_no_more_sheets(drawing: Drawing, other: Option<Drawing>, page: Size) -> Drawing {
    let sheets = |drawing: &Drawing| {
        let tiling = cut_up(drawing, page);
        tiling.map_or(usize::MAX, |tiling| tiling.tiles.len())
    };
    match other {
        Some(other) if sheets(&other) <= sheets(&drawing) => other,
        _ => drawing,
    }
}

/// What each page of a desk printer's size adds to the whole drawing; none for sheets on which the head of a drawing stands
/// on the drawing itself.
pub fn tile(sheet: Sheet) -> Option<Size> {
    match sheet {
        Sheet::Page(size) if size.is_small() => Some(tiles::pitch(window(size.size()))),
        Sheet::Page(_) | Sheet::Fit | Sheet::Roll(_) => None,
    }
}

/// Lays a finished drawing at true size out on a sheet; one with a preface has that on a page before its tiles.
///
/// # Errors
/// Where the drawing is larger than the sheet allows.
pub fn lay_out_drawing(drawing: Drawing, sheet: Sheet) -> Result<Document, PageFault> {
    match sheet {
        Sheet::Fit => single(drawing),
        Sheet::Page(size) if drawing.preface.is_some() => {
            let tiling = cut_up(&drawing, size.size())?;
            let preface = drawing.preface.clone().unwrap_or_default();
            let covers = cover::of_preface(&preface, size.size(), &drawing, &tiling);
            Ok(covered(covers, drawing, &tiling, size.size(), PLAIN))
        }
        Sheet::Page(size) => in_tiles(drawing, size.size(), PLAIN),
        Sheet::Roll(width) if drawing.width > width - 2.0 * MARGIN + 1.0 => {
            Err(PageFault::RollTooNarrow {
                wanted: drawing.width + 2.0 * MARGIN,
            })
        }
        Sheet::Roll(width) => {
            let wanted = drawing.height + 2.0 * MARGIN + FOOT;
            let page = Size::new(width, wanted.min(LONGEST_PAGE - 80.0).ceil());
            in_tiles(drawing, page, PLAIN)
        }
    }
}

/// A document of one page as large as its drawing.
///
/// # Errors
/// Where that is larger than a page can be.
pub fn single(drawing: Drawing) -> Result<Document, PageFault> {
    let size = Size::new(drawing.width, drawing.height);
    let length = size.width.max(size.height);
    if length > LONGEST_PAGE {
        return Err(PageFault::PageTooLong { length });
    }
    let view = View {
        drawing: 0,
        shift: Vec2::ZERO,
        shown: Rect::from_origin_size(Point::ORIGIN, size),
    };
    let page = Page {
        name: "whole".to_owned(),
        size,
        views: vec![view],
    };
    Ok(Document {
        title: drawing.title.clone(),
        drawings: vec![drawing],
        pages: vec![page],
    })
}

/// What of a page is free for a tile.
fn window(page: Size) -> Size {
    Size::new(page.width - 2.0 * MARGIN, page.height - 2.0 * MARGIN - FOOT)
}

fn cut_up(drawing: &Drawing, page: Size) -> Result<Tiling, PageFault> {
    tiles::cut_up(drawing, window(page)).map_err(|count| PageFault::TooManyTiles { count })
}

/// Tiles of a desk printer's size, after pages with squares, map and tables.
fn with_cover(pattern: &Pattern, size: PageSize, scale: Scale) -> Result<Document, PageFault> {
    let page = size.size();
    let pitch = tiles::pitch(window(page));
    let manner = Manner {
        scale,
        width: Width::Tiles(pitch),
        head: Head::CheckLines,
    };
    let whole = compose_as(pattern, manner);
    let tiling = cut_up(&whole, page)?;
    let covers = cover::draw(pattern, manner, page, &whole, &tiling);
    Ok(covered(covers, whole, &tiling, page, (scale, pattern.unit)))
}

fn covered(
    covers: Vec<Drawing>,
    whole: Drawing,
    tiling: &Tiling,
    page: Size,
    shown: (Scale, LengthUnit),
) -> Document {
    let mut document = Document {
        title: whole.title.clone(),
        drawings: Vec::new(),
        pages: Vec::new(),
    };
    for (index, drawing) in covers.into_iter().enumerate() {
        let name = if index == 0 {
            "squares and map"
        } else {
            "tables"
        };
        document.plain_page(name, page, drawing);
    }
    document.tile_pages(whole, tiling, page, shown.0);
    document.feet(shown);
    document
}

/// Large sheets, whose title block stands on the drawing itself.
fn in_tiles(
    drawing: Drawing,
    page: Size,
    shown: (Scale, LengthUnit),
) -> Result<Document, PageFault> {
    let tiling = cut_up(&drawing, page)?;
    let mut document = Document {
        title: drawing.title.clone(),
        drawings: Vec::new(),
        pages: Vec::new(),
    };
    document.tile_pages(drawing, &tiling, page, shown.0);
    document.feet(shown);
    Ok(document)
}

impl Document {
    /// Leaves out every layer but these, and what the key says of their lines.
    pub fn keep(&mut self, layers: &[Layer]) {
        Drawing::keep_all(&mut self.drawings, layers);
    }

    fn add(&mut self, drawing: Drawing) -> usize {
        self.drawings.push(drawing);
        self.drawings.len() - 1
    }

    fn plain_page(&mut self, name: &str, size: Size, drawing: Drawing) {
        let shown = Rect::from_origin_size(Point::ORIGIN, size);
        let view = View {
            drawing: self.add(drawing),
            shift: Vec2::ZERO,
            shown,
        };
        self.pages.push(Page {
            name: name.to_owned(),
            size,
            views: vec![view],
        });
    }

    fn tile_pages(&mut self, whole: Drawing, tiling: &Tiling, page: Size, scale: Scale) {
        let joins = (tiling.tiles.len() > 1).then(|| tiles::joins(&whole, tiling, scale));
        let whole = self.add(whole);
        let joins = joins.map(|joins| self.add(joins));
        for tile in &tiling.tiles {
            let shift = Vec2::new(MARGIN, MARGIN) - tile.window.origin().to_vec2();
            let view = |drawing| View {
                drawing,
                shift,
                shown: tile.window,
            };
            let views = std::iter::once(whole).chain(joins).map(view).collect();
            self.pages.push(Page {
                name: tile.name(),
                size: page,
                views,
            });
        }
    }

    /// Draws the foot of each page: which it is, at what scale, and a bar to measure.
    fn feet(&mut self, (scale, unit): (Scale, LengthUnit)) {
        let count = self.pages.len();
        for index in 0..count {
            let Some((name, size)) = self
                .pages
                .get(index)
                .map(|page| (page.name.clone(), page.size))
            else {
                continue;
            };
            let foot = foot(&self.title, &name, (index + 1, count), size, (scale, unit));
            let view = View {
                drawing: self.add(foot),
                shift: Vec2::ZERO,
                shown: Rect::from_origin_size(Point::ORIGIN, size),
            };
            if let Some(page) = self.pages.get_mut(index) {
                page.views.push(view);
            }
        }
    }
}

/// What every page says of its size.
fn foot_words(scale: Scale) -> String {
    let how = if scale == Scale::Full {
        ": print at 100 %"
    } else {
        ""
    };
    format!("{}{how}", scale.words().to_lowercase())
}

/// Length of the bar at the foot of a page, and of that for inch rulers: two inches of 25.4 mm.
pub const BAR: f64 = 50.0;
const INCH_BAR: f64 = 50.8;

/// What is drawn at full size and measured in millimetres, the unit of the square.
const PLAIN: (Scale, LengthUnit) = (Scale::Full, LengthUnit::Millimetre);

fn foot(
    title: &str,
    name: &str,
    (number, count): (usize, usize),
    page: Size,
    (scale, unit): (Scale, LengthUnit),
) -> Drawing {
    let mut foot = Drawing::new(title);
    (foot.width, foot.height) = (page.width, page.height);
    let hand = Hand::Foot;
    let base = page.height - MARGIN - 1.2;
    let (long, parts, words) = match unit {
        LengthUnit::Inch => (INCH_BAR, 4, "2 in"),
        LengthUnit::Millimetre | LengthUnit::Centimetre => (BAR, 5, "50 mm"),
    };
    let bar = Point::new(page.width - MARGIN - long, base - 1.0);
    let path = ticked(bar, long, parts);
    foot.add(
        Layer::TestSquare,
        None,
        Some(words),
        Shape::Stroke(path, Pen::Frame),
    );
    let said = Text::new(words, bar - Vec2::new(2.0, 0.0), Anchor::End, hand);
    let left = said.frame().bounds().x0;
    foot.add(Layer::TestSquare, None, None, Shape::Text(said));
    let facts = format!("{name} · {number} of {count} · {}", foot_words(scale));
    let room = left - 4.0 - MARGIN;
    let title = text::printable(title);
    let one = format!("{title} · {facts}");
    // In one line, or the title over the rest, in smaller letters.
    let lines = if size_of(&one, hand).0 <= room {
        vec![(one, hand, 0.6)]
    } else {
        let small = [Hand::FootSmall, Hand::PieceTiny];
        let (title, of_title) = text::shrunk(&title, &small, room);
        let (facts, of_facts) = text::shrunk(&facts, &small, room);
        vec![(title, of_title, 3.6), (facts, of_facts, 0.4)]
    };
    for (words, hand, up) in lines {
        let at = Point::new(MARGIN, base - up);
        let words = Shape::Text(Text::new(&words, at, Anchor::Start, hand));
        foot.add(Layer::Title, None, None, words);
    }
    foot
}

/// The bar at the foot of a page, 50 mm from its left end, a tick every centimetre.
pub fn ruler(from: Point) -> BezPath {
    ticked(from, BAR, 5)
}

/// A bar in so many parts, its ends marked by longer ticks.
fn ticked(from: Point, long: f64, parts: u32) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(from + Vec2::new(long, 0.0));
    for part in 0..=parts {
        let at = from + Vec2::new(long * f64::from(part) / f64::from(parts), 0.0);
        path.move_to(at);
        path.line_to(at - Vec2::new(0.0, if part % parts == 0 { 2.4 } else { 1.4 }));
    }
    path
}
