//! How a pattern is to be drawn: at which scale, on how wide a sheet, under which head. The same pattern in the same manner
//! is always the same drawing.

use kurbo::Size;

/// The size of the drawing beside the garment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Scale {
    /// As large as the garment, to be cut.
    #[default]
    Full,
    /// Half as long, to be drafted by hand on small paper.
    Half,
    /// A quarter as long, for a notebook.
    Quarter,
}

impl Scale {
    /// Millimetres of paper for one of the garment.
    pub fn factor(self) -> f64 {
        match self {
            Self::Full => 1.0,
            Self::Half => 0.5,
            Self::Quarter => 0.25,
        }
    }

    /// As written on paper and on the command line: `1:2`.
    pub fn ratio(self) -> &'static str {
        match self {
            Self::Full => "1:1",
            Self::Half => "1:2",
            Self::Quarter => "1:4",
        }
    }

    /// What the reader of the paper must know.
    pub fn words(self) -> &'static str {
        match self {
            Self::Full => "True size",
            Self::Half => "Half scale 1:2, not for cutting",
            Self::Quarter => "Quarter scale 1:4, not for cutting",
        }
    }
}

/// How wide the sheet may be.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Width {
    /// As wide as wastes least.
    #[default]
    Free,
    /// No more than so many millimetres: the width of a roll or page.
    Within(f64),
    /// Any, cut into tiles of this size: as few as can be.
    Tiles(Size),
}

/// What stands above the pieces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Head {
    /// The title block with its test square.
    #[default]
    Block,
    /// The same with a second square, for those who measure in inches.
    BlockWithInches,
    /// Nothing but the lines that prove the size of joined tiles; the block stands on a page of its own.
    CheckLines,
    /// Nothing at all; the block is put beside the pieces.
    Bare,
}

/// How a pattern is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Manner {
    /// Size beside the garment.
    pub scale: Scale,
    /// Width of the sheet.
    pub width: Width,
    /// What stands above the pieces.
    pub head: Head,
}

impl Manner {
    /// Room round the sheet: pages have margins of their own.
    pub(super) fn margin(&self) -> f64 {
        match self.width {
            Width::Free => 25.0,
            Width::Within(_) | Width::Tiles(_) => 8.0,
        }
    }

    /// Room for the block on a sheet whose pieces want `content`.
    pub(super) fn block_width(&self, content: f64) -> f64 {
        match self.width {
            // On large sheets the block stands on the first.
            Width::Tiles(tile) if self.head == Head::BlockWithInches => tile.width,
            Width::Free | Width::Tiles(_) => content.max(900.0),
            Width::Within(width) => width,
        }
    }
}
