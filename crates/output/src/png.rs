//! Draws a preview as PNG at a stated resolution, which the file states too (pHYs). One sheet, seen through the same pens,
//! inks and letters as paper; for the eye, not for cutting.

use super::drawing::style::{Ink, Pen};
use super::drawing::{Anchor, Drawing, Layer, Shape, Text};
use super::letters::{self, Weight};
use kurbo::{Affine, BezPath, PathEl};
use oaktag_language::voice::INCH;
use std::collections::BTreeSet;
use tiny_skia::{
    FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash, Transform,
};

/// The coarsest and the finest resolution, in dots per inch.
pub(crate) const RESOLUTIONS: (f64, f64) = (10.0, 1200.0);
/// A preview is made of at most so many dots; four bytes each are held while it is drawn.
pub const MOST_DOTS: f64 = 120_000_000.0;

/// Why no picture can be made.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureFault {
    /// The resolution is beyond [`RESOLUTIONS`].
    Resolution(f64),
    /// More than [`MOST_DOTS`]: width and height in dots, and the finest resolution that would do.
    TooLarge {
        /// How many dots across the picture would have.
        width: f64,
        /// How many dots down it would have.
        height: f64,
        /// The most dots per inch at which it can be drawn.
        finest: f64,
    },
    /// The encoder's own, in its words.
    Encoder(String),
}

impl std::fmt::Display for PictureFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Resolution(found) => write!(
                f,
                "a picture has {} to {} dots per inch; {found} were asked for.",
                RESOLUTIONS.0, RESOLUTIONS.1
            ),
            Self::TooLarge { finest, .. } if *finest < RESOLUTIONS.0 => write!(
                f,
                "the drawing is too large for a preview: choose pieces with --piece."
            ),
            Self::TooLarge {
                width,
                height,
                finest,
            } => write!(
                f,
                "the picture would be {width:.0} by {height:.0} dots, more than a preview holds; write --resolution {finest:.0}, or choose pieces with --piece."
            ),
            Self::Encoder(words) => write!(f, "the picture could not be made: {words}"),
        }
    }
}

/// A picture, and the letters that no face has.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The bytes of the PNG file.
    pub bytes: Vec<u8>,
    /// A box stands for each.
    pub missing: Vec<char>,
}

/// Draws a drawing at so many dots per inch, without the layers that are `hidden`.
///
/// # Errors
/// Where the picture would be too large, or the encoder fails.
pub fn write(
    drawing: &Drawing,
    resolution: f64,
    hidden: &[Layer],
) -> Result<Picture, PictureFault> {
    if !(RESOLUTIONS.0..=RESOLUTIONS.1).contains(&resolution) {
        return Err(PictureFault::Resolution(resolution));
    }
    let scale = resolution / INCH;
    let (width, height) = (
        (drawing.width * scale).ceil().max(1.0),
        (drawing.height * scale).ceil().max(1.0),
    );
    let too_large = || PictureFault::TooLarge {
        width,
        height,
        finest: (resolution * (MOST_DOTS / (width * height)).sqrt()).floor(),
    };
    if width * height > MOST_DOTS {
        return Err(too_large());
    }
    let mut sheet = Pixmap::new(width as u32, height as u32).ok_or_else(too_large)?;
    sheet.fill(tiny_skia::Color::WHITE);
    let mut brush = Brush {
        sheet,
        scale,
        missing: BTreeSet::new(),
    };
    let shown: Vec<Layer> = Layer::of_pages()
        .filter(|layer| !hidden.contains(layer))
        .collect();
    let mut drawing = drawing.clone();
    drawing.keep(&shown);
    for layer in shown {
        for item in drawing.layer(layer) {
            brush.shape(&item.shape);
        }
    }
    let bytes = encoded(&brush.sheet, resolution)
        .map_err(|error| PictureFault::Encoder(error.to_string()))?;
    Ok(Picture {
        bytes,
        missing: brush.missing.into_iter().collect(),
    })
}

fn encoded(sheet: &Pixmap, resolution: f64) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, sheet.width(), sheet.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    // The one packing that is the encoder's own: others differ by the features another crate asks of it.
    encoder.set_compression(png::Compression::Fast);
    let per_metre = (resolution / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    let dots: Vec<u8> = sheet
        .pixels()
        .iter()
        .flat_map(|dot| [dot.red(), dot.green(), dot.blue()])
        .collect();
    writer.write_image_data(&dots)?;
    writer.finish()?;
    Ok(bytes)
}

struct Brush {
    sheet: Pixmap,
    scale: f64,
    missing: BTreeSet<char>,
}

impl Brush {
    fn shape(&mut self, shape: &Shape) {
        match shape {
            Shape::Fill(path, fill) => self.fill(path, Affine::IDENTITY, fill.ink()),
            Shape::Stroke(path, pen) => self.stroke(path, *pen),
            Shape::Text(text) => self.text(text),
        }
    }

    fn place(&self) -> Transform {
        Transform::from_scale(self.scale as f32, self.scale as f32)
    }

    fn fill(&mut self, path: &BezPath, by: Affine, ink: Ink) {
        if let Some(path) = outline(path, by) {
            self.sheet
                .fill_path(&path, &paint(ink), FillRule::Winding, self.place(), None);
        }
    }

    fn stroke(&mut self, path: &BezPath, pen: Pen) {
        let Some(path) = outline(path, Affine::IDENTITY) else {
            return;
        };
        let look = pen.look();
        let dashes: Vec<f32> = look.dashes.iter().map(|dash| *dash as f32).collect();
        let stroke = Stroke {
            // Never thinner than a dot: a line that fades away is not seen.
            width: look.width.max(1.0 / self.scale) as f32,
            line_cap: if dashes.is_empty() {
                LineCap::Round
            } else {
                LineCap::Butt
            },
            line_join: LineJoin::Round,
            dash: StrokeDash::new(dashes, 0.0),
            ..Stroke::default()
        };
        self.sheet
            .stroke_path(&path, &paint(look.tone.ink()), &stroke, self.place(), None);
    }

    fn text(&mut self, text: &Text) {
        let weight = Weight::of(text.hand.bold());
        let line = letters::set(&text.letters, weight);
        let (size, along) = (text.hand.size(), text.along);
        let share = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5,
            Anchor::End => 1.0,
        };
        let start = text.at - along * (line.width * size * share);
        for letter in &line.letters {
            if letter.glyph == 0 {
                self.missing.insert(letter.letter);
            }
            let at = start + along * (letter.x * size);
            let place = Affine::new([
                along.x * size,
                along.y * size,
                along.y * size,
                -along.x * size,
                at.x,
                at.y,
            ]);
            self.fill(&weight.outline(letter.glyph), place, text.hand.ink());
        }
    }
}

fn paint(ink: Ink) -> Paint<'static> {
    let Ink(r, g, b) = ink;
    let mut paint = Paint::default();
    paint.set_color_rgba8(r, g, b, 255);
    paint
}

fn outline(path: &BezPath, by: Affine) -> Option<Path> {
    let mut built = PathBuilder::new();
    for element in path.elements() {
        let at = |p: kurbo::Point| {
            let p = by * p;
            (p.x as f32, p.y as f32)
        };
        match *element {
            PathEl::MoveTo(p) => {
                let (x, y) = at(p);
                built.move_to(x, y);
            }
            PathEl::LineTo(p) => {
                let (x, y) = at(p);
                built.line_to(x, y);
            }
            PathEl::QuadTo(a, p) => {
                let ((ax, ay), (x, y)) = (at(a), at(p));
                built.quad_to(ax, ay, x, y);
            }
            PathEl::CurveTo(a, b, p) => {
                let ((ax, ay), (bx, by), (x, y)) = (at(a), at(b), at(p));
                built.cubic_to(ax, ay, bx, by, x, y);
            }
            PathEl::ClosePath => built.close(),
        }
    }
    built.finish()
}
