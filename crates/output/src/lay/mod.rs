//! Yield: a simple, honest lay of the pieces of one garment on a cloth, to know how much to buy. Pieces keep their grain, and
//! on a cloth with nap, or with a print that has a direction, all lie the same way. Large pieces first, each as near to the end of
//! the cloth as it goes, in a few orders of which the shortest is kept; a marker maker, who turns and interlocks, will do better.

mod field;
mod items;
mod picture;
mod stripes;
mod tables;

pub use picture::draw;
pub use tables::{COLUMNS, Gap, NOTE, csv, text};

use field::Field;
use items::{Grid, Item, Turned};
use kurbo::{Affine, BezPath};
use oaktag_language::pattern::cut_list::ClothCuts;
use oaktag_language::pattern::spec::ClothSpec;
use oaktag_language::pattern::{Pattern, Piece, WearerSide};

/// The most pieces that are laid at once.
const MOST_LAID: usize = 400;

/// How the cloth is spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// One open layer, right side up.
    Open,
    /// Folded along its length, right side inside.
    Folded,
}

impl Way {
    /// As one says it.
    pub fn words(self) -> &'static str {
        match self {
            Way::Open => "open, one layer face up",
            Way::Folded => "folded along its length, face to face",
        }
    }
}

/// A piece on the cloth.
#[derive(Clone, Debug)]
pub struct Placed<'a> {
    /// The piece as it was drafted, before it was turned or laid on the fold.
    pub piece: &'a Piece,
    /// Which of its kind, from 1.
    pub copy: u32,
    /// How many are cut at once: two halves, or the two of a pair, on folded cloth.
    pub layers: u32,
    /// Of a pair, the sides of the wearer that are cut of it here; empty where nothing tells them.
    pub sides: Vec<WearerSide>,
    /// Its left edge lies on the fold of the cloth.
    pub on_fold: bool,
    /// Its cutting line in millimetres: x from the left edge or the fold, y from the end of the cloth.
    pub outline: BezPath,
    /// Its lines that are to lie on stripes of the cloth, where they lie.
    pub stripes: Vec<OnStripe>,
}

/// A line that is to lie on a stripe, or on a bar of a plaid.
#[derive(Clone, Debug)]
pub struct OnStripe {
    /// The line's full name.
    pub name: String,
    /// Where it lies, as the cutting line does.
    pub path: BezPath,
    /// Whether a stripe runs there.
    pub lies: bool,
}

/// Pieces laid on one cloth.
#[derive(Clone, Debug)]
pub struct Lay<'a> {
    /// How the cloth is spread.
    pub way: Way,
    /// Width of what is laid upon: the cloth's, after shrinkage, or half of it.
    pub width: f64,
    /// Length in use, after shrinkage.
    pub length: f64,
    /// Length to buy: longer where the warp shrinks, and by the repeat of the cloth's stripes where it has any.
    pub to_buy: f64,
    /// The repeat that was added, in millimetres.
    pub repeat: f64,
    /// Area inside the cutting lines of all that is cut, as a share of the cloth in use.
    pub usage: f64,
    /// The pieces, where they lie on the cloth.
    pub placed: Vec<Placed<'a>>,
    /// Of a cloth with stripes: across which seams they meet, and across which not, and why; a sentence each, without its stop.
    pub stripes: Vec<String>,
    /// How far two pieces lie apart at the least, in millimetres.
    pub gap: f64,
}

/// Why a cloth has no lay.
#[derive(Clone, Debug, PartialEq)]
pub enum LayFault {
    /// The draft does not say how wide the cloth is.
    NoWidth,
    /// A piece is wider than the cloth: its label and its width.
    TooWide(String, f64),
    /// More pieces than anybody lays: how many.
    TooMany(usize),
}

/// Both lays of a cloth.
#[derive(Debug)]
pub struct Lays<'a> {
    /// What is cut from it.
    pub cuts: ClothCuts<'a>,
    /// Pieces that are wider than the cloth, and how wide; they are in neither lay.
    pub left_out: Vec<(&'a Piece, f64)>,
    /// On one open layer.
    pub open: Result<Lay<'a>, LayFault>,
    /// On cloth folded lengthwise; why not, where it cannot be.
    pub folded: Result<Lay<'a>, LayFault>,
}

impl<'a> Lays<'a> {
    /// Both that there are, the one that takes less cloth first.
    pub fn drawn(&self) -> Vec<&Lay<'a>> {
        let mut found: Vec<&Lay<'a>> = [&self.open, &self.folded].into_iter().flatten().collect();
        found.sort_by(|a, b| a.length.total_cmp(&b.length));
        found
    }

    /// The one that takes less cloth; the open one where both take as much.
    pub fn better(&self) -> Option<&Lay<'a>> {
        match (&self.open, &self.folded) {
            (Ok(open), Ok(folded)) if folded.length < open.length => Some(folded),
            (Ok(open), _) => Some(open),
            (Err(_), Ok(folded)) => Some(folded),
            (Err(_), Err(_)) => None,
        }
    }
}

/// Lays out every cloth that pieces say they are cut from, with a gap of so many millimetres between two pieces at the least.
pub fn lays(pattern: &Pattern, gap: f64) -> Vec<Lays<'_>> {
    let cloths = pattern
        .cut_list()
        .into_iter()
        .filter(|cuts| !cuts.name.is_empty());
    cloths
        .map(|cuts| {
            let left_out = left_out(&cuts);
            Lays {
                open: lay(pattern, &cuts, &left_out, (Way::Open, gap)),
                folded: lay(pattern, &cuts, &left_out, (Way::Folded, gap)),
                cuts,
                left_out,
            }
        })
        .collect()
}

/// Pieces that lie on the whole width of their cloth in none of their ways.
fn left_out<'a>(cuts: &ClothCuts<'a>) -> Vec<(&'a Piece, f64)> {
    let Some((cloth, width)) = cuts.cloth.and_then(|cloth| Some((cloth, cloth.width?))) else {
        return Vec::new();
    };
    let width = width * left(cloth.shrinkage.1);
    let (items, grid) = items::items(&cuts.pieces, Way::Open, cloth, (width, 0.0));
    let field = Field::of(grid.columns);
    let mut found: Vec<(&Piece, f64)> = Vec::new();
    for item in items {
        let fits = |turned: &Turned| field.place(&turned.cells, false).is_some();
        let known = found.iter().any(|(piece, _)| piece.name == item.piece.name);
        if !known && !item.turns.iter().any(fits) {
            found.push((item.piece, size(&item).width));
        }
    }
    found
}

fn lay<'a>(
    pattern: &Pattern,
    cuts: &ClothCuts<'a>,
    left_out: &[(&Piece, f64)],
    (way, gap): (Way, f64),
) -> Result<Lay<'a>, LayFault> {
    let cloth = cuts.cloth.ok_or(LayFault::NoWidth)?;
    let whole = cloth.width.ok_or(LayFault::NoWidth)? * left(cloth.shrinkage.1);
    let width = match way {
        Way::Open => whole,
        Way::Folded => whole / 2.0,
    };
    let copies: usize = cuts
        .pieces
        .iter()
        .map(|piece| piece.cut.count as usize)
        .sum();
    if copies > MOST_LAID {
        return Err(LayFault::TooMany(copies));
    }
    let (mut items, grid) = items::items(&cuts.pieces, way, cloth, (width, gap));
    items.retain(|item| {
        !left_out
            .iter()
            .any(|(piece, _)| piece.name == item.piece.name)
    });
    if let (true, Some((piece, width))) = (items.is_empty(), left_out.first()) {
        return Err(LayFault::TooWide(piece.label.clone(), *width));
    }
    let mut best: Option<(f64, Vec<Placed<'a>>)> = None;
    for order in ORDERS {
        let (length, placed) = in_order(&items, grid, order)?;
        if best
            .as_ref()
            .is_none_or(|(least, _)| length < *least - 1e-9)
        {
            best = Some((length, placed));
        }
    }
    let (length, placed) = best.unwrap_or_default();
    let mut lay = finished(cloth, (way, gap), width, length, placed);
    lay.stripes = stripes::said(pattern, cuts, &lay.placed);
    Ok(lay)
}

fn finished<'a>(
    cloth: &ClothSpec,
    (way, gap): (Way, f64),
    width: f64,
    length: f64,
    placed: Vec<Placed<'a>>,
) -> Lay<'a> {
    let layers = match way {
        Way::Open => 1.0,
        Way::Folded => 2.0,
    };
    let net: f64 = placed
        .iter()
        .map(|one| kurbo::Shape::area(&one.outline).abs() * f64::from(one.layers))
        .sum();
    let cloth_area = width * layers * length;
    // A repeat is what is lost while the first piece is laid to the stripes.
    let repeat = cloth.plaid.or(cloth.stripe).unwrap_or(0.0).max(0.0);
    Lay {
        way,
        width,
        length,
        to_buy: (length + repeat) / left(cloth.shrinkage.0),
        repeat,
        usage: if cloth_area > 0.0 {
            net / cloth_area
        } else {
            0.0
        },
        placed,
        stripes: Vec::new(),
        gap,
    }
}

/// What is left of a length that shrinks by a share.
fn left(shrinkage: f64) -> f64 {
    (1.0 - shrinkage).clamp(0.1, 1.0)
}

/// What is put down first: the larger by this measure of its box.
type Order = fn(&Item<'_>) -> f64;

const ORDERS: [Order; 4] = [
    |item| size(item).area(),
    |item| size(item).height,
    |item| size(item).width,
    // What lies on the fold can lie nowhere else.
    |item| size(item).area() + if item.on_fold { 1e9 } else { 0.0 },
];

fn size(item: &Item<'_>) -> kurbo::Size {
    item.turns
        .first()
        .map_or(kurbo::Size::ZERO, |turned| turned.size)
}

fn in_order<'a>(
    items: &[Item<'a>],
    grid: Grid,
    order: Order,
) -> Result<(f64, Vec<Placed<'a>>), LayFault> {
    let mut ordered: Vec<&Item<'a>> = items.iter().collect();
    ordered.sort_by(|a, b| order(b).total_cmp(&order(a)));
    let mut field = Field::of(grid.columns);
    let mut length = 0.0_f64;
    let mut placed = Vec::new();
    for item in ordered {
        let tried = item.turns.iter().filter_map(|turned| {
            let place = field.place(&turned.cells, item.on_fold)?;
            let end = place.1 as f64 * grid.step.height + turned.size.height;
            Some((end, place, turned))
        });
        let best: Option<(f64, field::Place, &Turned)> =
            tried.reduce(|a, b| if b.0 < a.0 - 1e-9 { b } else { a });
        let Some((end, place, turned)) = best else {
            return Err(LayFault::TooWide(
                item.piece.label.clone(),
                size(item).width,
            ));
        };
        field.put(&turned.cells, place);
        length = length.max(end);
        let at = Affine::translate((
            place.0 as f64 * grid.step.width,
            place.1 as f64 * grid.step.height,
        ));
        let stripes = turned.lines.iter().map(|line| line.moved(at).laid());
        placed.push(Placed {
            piece: item.piece,
            copy: item.copy,
            layers: item.layers,
            sides: item.sides.clone(),
            on_fold: item.on_fold,
            outline: at * turned.outline.clone(),
            stripes: stripes.collect(),
        });
    }
    Ok((length, placed))
}
