//! The same asked of a raster, drawn by an independent renderer (`hayro`): what comes out of a printer is dots.

use super::tiles::whole;
use super::{document, shirt};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::pages::{Document, lay_out};
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};

const DOTS: f64 = 150.0;
const MM: f64 = DOTS / 25.4;

/// A page in dots: how much light each gives, 0 to 765.
struct Dots {
    width: i64,
    height: i64,
    light: Vec<u32>,
}

impl Dots {
    fn light(&self, x: i64, y: i64) -> u32 {
        let inside = (0..self.width).contains(&x) && (0..self.height).contains(&y);
        if inside {
            self.light[usize::try_from(y * self.width + x).unwrap()]
        } else {
            765
        }
    }

    /// Plainly ink.
    fn at(&self, x: i64, y: i64) -> bool {
        self.light(x, y) < 420
    }

    /// Whether there is any ink here or in a dot beside it; a thin line may be shared out among two dots.
    fn near(&self, x: i64, y: i64) -> bool {
        (-1..=1).any(|dy| (-1..=1).any(|dx| self.light(x + dx, y + dy) < 700))
    }
}

fn rendered(document: &Document, only: &[usize]) -> Vec<Dots> {
    let bytes = pdf::write(document, &[Layer::Construction]).bytes;
    let file = hayro::hayro_syntax::Pdf::new(bytes).unwrap();
    let scale = (DOTS / 72.0) as f32;
    let cache = RenderCache::new();
    // Hinting moves letters onto the dots of each page.
    let plain = RenderSettings {
        hinting: false,
        ..RenderSettings::default()
    };
    let settings = PixmapSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: WHITE,
    };
    let pages = file.pages();
    let pages = only.iter().map(|page| {
        let map = render(
            &pages[*page],
            &cache,
            &InterpreterSettings::default(),
            &plain,
            &settings,
        );
        let light = map
            .data()
            .iter()
            .map(|dot| u32::from(dot.r) + u32::from(dot.g) + u32::from(dot.b));
        Dots {
            width: i64::from(map.width()),
            height: i64::from(map.height()),
            light: light.collect(),
        }
    });
    pages.collect()
}

#[test]
fn the_square_is_a_hundred_millimetres_of_dots() {
    let dots = &rendered(&document(Sheet::Page(PageSize::A4), Scale::Full), &[0])[0];
    // A quarter of the way down the square: its sides, and nothing between them.
    let row = ((10.0 + 32.0 + 25.0) * MM).round() as i64;
    let ink: Vec<i64> = (0..(112.0 * MM) as i64)
        .filter(|x| dots.at(*x, row))
        .collect();
    let (left, right) = (*ink.first().unwrap(), *ink.last().unwrap());
    // From the outside of one line to the outside of the other: the side and a line of 0.5 mm.
    let wanted = 100.5 * MM;
    assert!(
        ((right - left + 1) as f64 - wanted).abs() <= 1.5,
        "{left} to {right}, wanted {wanted}"
    );
}

/// Tiles of two pieces against the same drawing on one sheet, dot by dot: where one has ink the other has it in the same
/// dot or the next.
#[test]
fn tiles_are_the_one_sheet_drawing_in_dots() {
    let part = shirt().only(&["yoke".to_owned()]).unwrap();
    let mut tiled = lay_out(&part, Sheet::Page(PageSize::A4), Scale::Full).unwrap();
    let whole = whole(&tiled);
    let drawn: Vec<Layer> = Layer::ALL
        .into_iter()
        .filter(|layer| !matches!(layer, Layer::Title | Layer::Paper))
        .collect();
    tiled.keep(&drawn);
    let numbers: Vec<usize> = (0..tiled.pages.len())
        .filter(|page| tiled.pages[*page].name.len() == 2)
        .collect();
    assert!(numbers.len() > 1, "the piece lies on several tiles");
    let pages = rendered(&tiled, &numbers);
    let sheet = &rendered(&whole, &[0])[0];
    let mut compared = 0;
    for (number, page) in numbers.iter().zip(&pages) {
        let view = tiled.pages[*number].views[0];
        let window = view.shown + view.shift;
        let (dx, dy) = (-view.shift.x * MM, -view.shift.y * MM);
        let inner = window.inset(-1.0);
        for y in (inner.y0 * MM) as i64..(inner.y1 * MM) as i64 {
            for x in (inner.x0 * MM) as i64..(inner.x1 * MM) as i64 {
                let (u, v) = (
                    (x as f64 + dx).round() as i64,
                    (y as f64 + dy).round() as i64,
                );
                if u < 2 || v < 2 || u >= sheet.width - 2 || v >= sheet.height - 2 {
                    continue;
                }
                assert!(
                    !page.at(x, y) || sheet.near(u, v),
                    "tile has ink at {x} {y}, the sheet none at {u} {v}"
                );
                assert!(
                    !sheet.at(u, v) || page.near(x, y),
                    "sheet has ink at {u} {v}, the tile none at {x} {y}"
                );
                compared += usize::from(page.at(x, y));
            }
        }
    }
    assert!(compared > 10_000, "{compared} dots of ink");
}
