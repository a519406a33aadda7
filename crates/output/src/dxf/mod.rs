//! Writes a pattern as DXF for cutting rooms: one block a piece, its lines on the layers of ASTM D6673 (from memory; believed
//! withdrawn since): 1 boundary, 2 turn points, 3 curve points, 4 notches, 6 mirror line, 7 grain, 8 lines and points
//! inside, 11 cut-outs, 13 drill holes, 14 sewing lines, 15 words, 80 T-notches. A machine reads no words: only what is to be
//! a hole is on 13, and what one side of the wearer alone has is in that side's block. Millimetres, y up, curves as chords
//! within [`CHORD`] of them. Of several sizes each corner has a number, the same in all of them, on layer 2. No date is in it: the same pattern is the same bytes.

mod groups;
mod piece;
mod sizes;
mod words;

use super::layout;
use groups::Groups;
use kurbo::{Point, Rect, Size, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::{Pattern, Piece};
pub use sizes::{Placed, write_sizes};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// How far a chord may stand off its curve, in millimetres.
pub const CHORD: f64 = 0.01;
/// Between pieces as they lie in the file.
const GAP: f64 = 40.0;
/// Height of the words.
const LETTERS: f64 = 5.0;
/// Height of the words beside a mark.
const SMALL: f64 = 3.0;
/// The layers in use, and their colours for readers that show any.
const LAYERS: [(u16, i32); 14] = [
    (1, 7),
    (2, 8),
    (3, 9),
    (4, 1),
    (6, 5),
    (7, 3),
    (8, 4),
    (9, 6),
    (10, 6),
    (11, 7),
    (13, 1),
    (14, 2),
    (15, 7),
    (80, 1),
];

/// What a block says of its size.
struct OfSize<'a> {
    name: &'a str,
    /// Edges at whose starts a corner is graded, and its number.
    graded: &'a [(String, usize)],
}

/// Writes a pattern; `size` is what the body is called.
pub fn write(pattern: &Pattern, size: &str) -> String {
    let cut: Vec<Cow<'_, Piece>> = pattern.pieces.iter().flat_map(Piece::as_cut).collect();
    let closed: Vec<(&Piece, &Path, Rect)> = cut
        .iter()
        .filter_map(|piece| {
            let outer = piece.outer()?;
            Some((piece.as_ref(), outer, outer.bounds().ok()?))
        })
        .collect();
    let sizes: Vec<Size> = closed.iter().map(|(_, _, bounds)| bounds.size()).collect();
    let layout = layout::lay(&sizes, GAP);
    let names = block_names(closed.iter().map(|(piece, ..)| *piece), size);
    let mut blocks = Groups::default();
    let mut inserts = Groups::default();
    for (((piece, outer, bounds), at), name) in closed.iter().zip(&layout.places).zip(&names) {
        let size = OfSize {
            name: size,
            graded: &[],
        };
        block(&mut blocks, (pattern, piece, outer), name, &size);
        inserts.entity("INSERT", 1);
        inserts.put(2, name);
        // The layout's y runs down from the top left corner, the file's up.
        inserts.point(10, Point::new(at.x - bounds.x0, -at.y - bounds.y1));
    }
    whole((pattern, None), size, layout.size, &blocks, &inserts)
}

/// The block of a piece.
fn block(
    blocks: &mut Groups,
    (pattern, piece, outer): (&Pattern, &Piece, &Path),
    name: &str,
    size: &OfSize<'_>,
) {
    blocks.put(0, "BLOCK");
    blocks.put(8, "1");
    blocks.put(2, name);
    blocks.whole(70, 0);
    blocks.point(10, Point::ZERO);
    blocks.put(3, name);
    piece::write(blocks, pattern, piece, outer, size);
    blocks.put(0, "ENDBLK");
    blocks.put(8, "1");
}

/// The file round its blocks, and what is said once of it: what is not in it, and `sample`, the size that it is drawn in,
/// or from.
fn whole(
    (pattern, left_out): (&Pattern, Option<String>),
    sample: &str,
    extent: Size,
    blocks: &Groups,
    inserts: &Groups,
) -> String {
    let mut file = Groups::default();
    header(&mut file, extent);
    tables(&mut file);
    file.section("BLOCKS");
    file.append(blocks);
    file.end_section();
    file.section("ENTITIES");
    file.append(inserts);
    style(&mut file, (pattern, left_out), sample, Point::new(0.0, GAP));
    file.end_section();
    file.finish()
}

/// A name for each piece's block, none twice.
fn block_names<'a>(pieces: impl Iterator<Item = &'a Piece>, size: &str) -> Vec<String> {
    names(pieces.map(|piece| (piece.name.as_str(), size)))
}

/// A name for each piece and size, none twice.
fn names<'a>(pieces: impl Iterator<Item = (&'a str, &'a str)>) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let mut names = Vec::new();
    for (piece, size) in pieces {
        let plain: String = groups::name(&format!("{piece}-{size}"));
        let numbered = (2u32..).map(|n| format!("{plain}-{n}"));
        let free = std::iter::once(plain.clone())
            .chain(numbered)
            .find(|name| !taken.contains(name));
        let name = free.unwrap_or(plain);
        taken.insert(name.clone());
        names.push(name);
    }
    names
}

fn header(file: &mut Groups, size: Size) {
    file.section("HEADER");
    file.put(9, "$ACADVER");
    file.put(1, "AC1009");
    for (name, at) in [
        ("$INSBASE", Point::ZERO),
        ("$EXTMIN", Point::new(0.0, -size.height)),
        ("$EXTMAX", Point::new(size.width, 2.0 * GAP)),
    ] {
        file.put(9, name);
        file.point(10, at);
    }
    file.end_section();
}

fn tables(file: &mut Groups) {
    file.section("TABLES");
    let open = |file: &mut Groups, name: &str, count: usize| {
        file.put(0, "TABLE");
        file.put(2, name);
        file.whole(70, i32::try_from(count).unwrap_or(0));
    };
    open(file, "LTYPE", 1);
    file.put(0, "LTYPE");
    file.put(2, "CONTINUOUS");
    file.whole(70, 0);
    file.put(3, "Solid line");
    file.whole(72, 65);
    file.whole(73, 0);
    file.figure(40, 0.0);
    file.put(0, "ENDTAB");
    open(file, "LAYER", LAYERS.len() + 1);
    for (layer, colour) in std::iter::once((0, 7)).chain(LAYERS) {
        file.put(0, "LAYER");
        file.put(2, &layer.to_string());
        file.whole(70, 0);
        file.whole(62, colour);
        file.put(6, "CONTINUOUS");
    }
    file.put(0, "ENDTAB");
    open(file, "STYLE", 1);
    file.put(0, "STYLE");
    file.put(2, "STANDARD");
    file.whole(70, 0);
    file.figure(40, 0.0);
    file.figure(41, 1.0);
    file.figure(50, 0.0);
    file.whole(71, 0);
    file.figure(42, LETTERS);
    file.put(3, "txt");
    file.put(4, "");
    file.put(0, "ENDTAB");
    file.end_section();
}

/// What is said once for the whole file.
fn style(
    file: &mut Groups,
    (pattern, left_out): (&Pattern, Option<String>),
    size: &str,
    top: Point,
) {
    let lines = [
        format!("Style Name: {}", pattern.title),
        format!("Sample Size: {size}"),
        "Units: METRIC".to_owned(),
        "Author: Oaktag".to_owned(),
    ];
    let cautions = left_out.iter().chain(&pattern.cautions);
    let cautions = cautions.map(|caution| format!("Annotation: {caution}"));
    for (row, line) in (0u32..).zip(lines.into_iter().chain(cautions)) {
        let at = top + Vec2::new(0.0, -1.5 * LETTERS * f64::from(row));
        file.text(1, at, LETTERS, &line);
    }
}
