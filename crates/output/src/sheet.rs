//! The sheets a drawing is printed on, and what fits on them. Sizes in millimetres: the A series as ISO 216 gives it, Letter
//! and Tabloid as ASME Y14.1 and ANSI X3.151 do (215.9 by 279.4 and 279.4 by 431.8, 8 1/2 by 11 and 11 by 17 inches), all
//! from memory.

use kurbo::Size;
use oaktag_language::voice::INCH;

/// What a drawing is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Sheet {
    /// One page as large as the drawing.
    #[default]
    Fit,
    /// Pages of a size, as many as it takes.
    Page(PageSize),
    /// A roll of so many millimetres' width.
    Roll(f64),
}

/// Pages of a fixed size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageSize {
    /// 210 by 297 mm.
    A4,
    /// 297 by 420 mm.
    A3,
    /// 841 by 1189 mm.
    A0,
    /// 8 1/2 by 11 in.
    Letter,
    /// 11 by 17 in.
    Tabloid,
}

/// The narrowest and the widest roll.
pub(crate) const ROLLS: (f64, f64) = (300.0, 2000.0);
/// The longest side of a page: 14,400 units of 1/72 in (ISO 32000-1, annex C.2, from memory), in whole millimetres.
pub const LONGEST_PAGE: f64 = 5080.0;
/// Room at the sides of a page that printers leave white (5 to 10 mm, common practice).
pub(crate) const MARGIN: f64 = 10.0;
/// How much of a tile stands on its neighbour as well.
pub(crate) const OVERLAP: f64 = 10.0;
/// Room for the words at the foot of a page.
pub(crate) const FOOT: f64 = 7.0;

impl PageSize {
    /// Every size, as help and completions list them.
    pub const ALL: [PageSize; 5] = [Self::A4, Self::A3, Self::A0, Self::Letter, Self::Tabloid];

    /// Width and height, upright.
    pub fn size(self) -> Size {
        match self {
            Self::A4 => Size::new(210.0, 297.0),
            Self::A3 => Size::new(297.0, 420.0),
            Self::A0 => Size::new(841.0, 1189.0),
            Self::Letter => Size::new(215.9, 279.4),
            Self::Tabloid => Size::new(279.4, 431.8),
        }
    }

    /// As people write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::A0 => "A0",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
        }
    }

    /// Whether a desk printer takes it: its first page is then a page of its own with the title, the squares and the map.
    pub fn is_small(self) -> bool {
        self != Self::A0
    }
}

/// A length as it is typed, a figure with its unit, in millimetres; none where it is none.
pub(crate) fn length(typed: &str) -> Option<f64> {
    let units = [("mm", 1.0), ("cm", 10.0), ("in", INCH), ("m", 1000.0)];
    let read = units.iter().find_map(|(unit, mm)| {
        let figure = typed.trim().strip_suffix(unit)?.trim();
        Some(figure.parse::<f64>().ok()? * mm)
    });
    read.filter(|mm| mm.is_finite())
}

impl std::str::FromStr for Sheet {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let word = typed.trim().to_lowercase();
        if word == "fit" {
            return Ok(Self::Fit);
        }
        if let Some(size) = PageSize::ALL
            .into_iter()
            .find(|size| size.name().to_lowercase() == word)
        {
            return Ok(Self::Page(size));
        }
        let Some(width) = word.strip_prefix("roll:") else {
            return Err(format!(
                "no sheet is called `{typed}`; write a4, letter, a3, tabloid, a0, fit, or roll:WIDTH as in roll:914mm"
            ));
        };
        let Some(mm) = length(width) else {
            return Err(format!(
                "`{typed}` has no width with its unit; write roll:914mm or roll:36in"
            ));
        };
        if mm < ROLLS.0 || mm > ROLLS.1 {
            return Err(format!(
                "a roll is between {} mm and {} mm wide",
                ROLLS.0, ROLLS.1
            ));
        }
        Ok(Self::Roll(mm))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_are_read_as_people_write_them() {
        assert_eq!("A4".parse(), Ok(Sheet::Page(PageSize::A4)));
        assert_eq!("letter".parse(), Ok(Sheet::Page(PageSize::Letter)));
        assert_eq!("fit".parse(), Ok(Sheet::Fit));
        assert_eq!("roll:914mm".parse(), Ok(Sheet::Roll(914.0)));
        assert_eq!("roll:36in".parse(), Ok(Sheet::Roll(914.4)));
        assert_eq!("roll:91.4cm".parse(), Ok(Sheet::Roll(914.0)));
        for wrong in [
            "a5",
            "roll:914",
            "roll:",
            "roll:3mm",
            "roll:NaNmm",
            "roll:infmm",
            "roll:-914mm",
            "",
        ] {
            assert!(wrong.parse::<Sheet>().is_err(), "{wrong}");
        }
    }

    /// ISO 216: each size has half the area of the last, and sides as 1 to the root of 2, to the millimetre.
    #[test]
    fn the_a_series_keeps_its_proportion() {
        for size in [PageSize::A4, PageSize::A3, PageSize::A0] {
            let size = size.size();
            assert!((size.height - size.width * 2f64.sqrt()).abs() < 1.0);
        }
        assert_eq!(PageSize::A3.size(), Size::new(297.0, 2.0 * 210.0));
    }
}
