//! Dimensions: units multiply freely inside an expression, and the whole must come out as a kind that has a name.

use std::fmt;

/// Powers of length and of angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// How often lengths are multiplied in it: 2 for an area, less than nothing where they are divided by.
    pub length: i8,
    /// How often angles are multiplied in it.
    pub angle: i8,
}

impl Dimension {
    /// Neither length nor angle: a share, a count.
    pub const NUMBER: Self = Self {
        length: 0,
        angle: 0,
    };
    /// A length, in millimetres.
    pub const LENGTH: Self = Self {
        length: 1,
        angle: 0,
    };
    /// An area, in square millimetres.
    pub const AREA: Self = Self {
        length: 2,
        angle: 0,
    };
    /// An angle, in degrees.
    pub const ANGLE: Self = Self {
        length: 0,
        angle: 1,
    };

    /// The dimension of a product of figures of these two.
    pub fn times(self, other: Self) -> Self {
        Self {
            length: self.length.saturating_add(other.length),
            angle: self.angle.saturating_add(other.angle),
        }
    }

    /// The dimension of a figure of this one divided by one of the other.
    pub fn over(self, other: Self) -> Self {
        Self {
            length: self.length.saturating_sub(other.length),
            angle: self.angle.saturating_sub(other.angle),
        }
    }

    /// Of a square root, where there is one.
    pub fn root(self) -> Option<Self> {
        let halves = self.length % 2 == 0 && self.angle % 2 == 0;
        halves.then_some(Self {
            length: self.length / 2,
            angle: self.angle / 2,
        })
    }

    /// The kind's name, where it has one.
    pub fn name(self) -> Option<&'static str> {
        match (self.length, self.angle) {
            (0, 0) => Some("number"),
            (1, 0) => Some("length"),
            (2, 0) => Some("area"),
            (0, 1) => Some("angle"),
            _ => None,
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(name) = self.name() {
            return f.write_str(name);
        }
        let power = |base: &str, n: i8| match n {
            0 => None,
            1 => Some(base.to_owned()),
            _ => Some(format!("{base} to the power {n}")),
        };
        let parts: Vec<String> = [power("length", self.length), power("angle", self.angle)]
            .into_iter()
            .flatten()
            .collect();
        write!(f, "product of {}", crate::voice::list(&parts))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_product_half_way_has_no_name_and_the_whole_has() {
        // 1.4deg * (bust - upper chest) / 1cm
        let half_way = Dimension::ANGLE.times(Dimension::LENGTH);
        assert_eq!(half_way.name(), None);
        assert_eq!(half_way.over(Dimension::LENGTH), Dimension::ANGLE);
    }
}
