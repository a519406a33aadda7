//! The cut list: what is cut from each cloth, how often and how laid, derived from the pieces so that it cannot disagree
//! with them. Cloths come in the order declared, then those that are only named, then what names none.

use super::spec::ClothSpec;
use super::{Pattern, Piece};
use crate::voice;

/// What is cut from one cloth.
#[derive(Clone, Debug)]
pub struct ClothCuts<'a> {
    /// The cloth's name; empty where pieces name none.
    pub name: &'a str,
    /// The cloth, where it is declared.
    pub cloth: Option<&'a ClothSpec>,
    /// Its pieces in the order of the draft.
    pub pieces: Vec<&'a Piece>,
}

/// How a piece lies when it is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// Half of it, its edge on the fold of the cloth.
    OnFold,
    /// In mirrored pairs, on two layers or turned over.
    Paired,
    /// A single one, right side up.
    Single,
    /// Several the same way up.
    Alike,
}

impl Laid {
    /// One word for tables.
    pub fn word(self) -> &'static str {
        match self {
            Laid::OnFold => "on fold",
            Laid::Paired => "pair",
            Laid::Single => "single",
            Laid::Alike => "alike",
        }
    }
}

impl Piece {
    /// How it lies when it is cut.
    pub fn laid(&self) -> Laid {
        match (self.on_fold(), self.cut.count, self.cut.alike) {
            (true, ..) => Laid::OnFold,
            (false, 0 | 1, _) => Laid::Single,
            (false, _, true) => Laid::Alike,
            (false, _, false) if self.mirror_line.is_some() => Laid::Alike,
            (false, _, false) => Laid::Paired,
        }
    }

    /// Area of cloth that all of its copies take, allowances included, in square millimetres; none where it has no
    /// outline or the draft does not say how often it is cut.
    pub fn cloth_area(&self) -> Option<f64> {
        let halves = if self.on_fold() { 2.0 } else { 1.0 };
        let area = self.cut_area.or(self.drawn_area)?;
        (self.cut.count > 0).then(|| area * halves * f64::from(self.cut.count))
    }
}

impl ClothCuts<'_> {
    /// The cloth as people say it: `main: poplin`.
    pub fn words(&self) -> String {
        let label = self.cloth.map_or("", |cloth| cloth.label.as_str());
        match (self.name.is_empty(), label.is_empty()) {
            (true, _) => "no cloth named".to_owned(),
            (false, true) => voice::letters(self.name),
            (false, false) => format!("{}: {label}", voice::letters(self.name)),
        }
    }

    /// As a heading: `Cut from main: poplin`, `Cut` where no cloth is named.
    pub fn heading(&self) -> String {
        if self.name.is_empty() {
            "Cut".to_owned()
        } else {
            format!("Cut from {}", self.words())
        }
    }

    /// Area that all its pieces take, in square millimetres.
    pub fn area(&self) -> f64 {
        self.pieces
            .iter()
            .filter_map(|piece| piece.cloth_area())
            .sum()
    }
}

impl Pattern {
    /// What is cut from each cloth; cloths that nothing is cut from are left out.
    pub fn cut_list(&self) -> Vec<ClothCuts<'_>> {
        let mut names: Vec<&str> = self
            .cloths
            .iter()
            .map(|cloth| cloth.name.as_str())
            .collect();
        let named = self
            .pieces
            .iter()
            .filter_map(|piece| piece.cut.cloth.as_deref());
        for name in named.chain([""]) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let cuts = names.into_iter().map(|name| ClothCuts {
            name,
            cloth: self.cloths.iter().find(|cloth| cloth.name == name),
            pieces: self
                .pieces
                .iter()
                .filter(|piece| piece.cut.cloth.as_deref().unwrap_or("") == name)
                .collect(),
        });
        cuts.filter(|cuts| !cuts.pieces.is_empty()).collect()
    }
}
