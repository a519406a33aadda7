//! A shirt of the library as a draft of lines, and its figures.

use oaktag_language::draft::{self, Inputs, Outcome, inputs};
use oaktag_language::report::Diagnostic;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_output::json;
use serde_json::Value as Json;

/// The women's crew shirt, each line of it to be changed.
pub const LINES: &[(&str, &str)] = &[
    ("block", "panel shirt = womens_block"),
    ("body", "panel shirt = shirt_body on shirt"),
    ("sides", "panel shirt = side_seams on shirt"),
    ("hem", "panel shirt = tail_hem on shirt"),
    ("yoke", "panel shirt = forward_yoke on shirt"),
    ("back", "panel shirt = box_pleat on shirt"),
    ("front", "panel shirt = folded_stand on shirt"),
    ("cap", "panel sleeve = sleeve_cap for shirt"),
    ("sleeve", "panel sleeve = tower_placket on sleeve"),
    ("cuff", "panel cuff = single_cuff for sleeve"),
    ("collar", "panel collar = stand_and_fall for shirt"),
    (
        "pieces",
        "pieces of shirt\npieces of sleeve\npieces of cuff\npieces of collar",
    ),
];

/// A drawn shirt.
pub struct Shirt {
    pub outcome: Outcome,
    pub json: Json,
}

/// The shirt with some lines changed; a body's measures and choices as typed after `--set`.
pub fn shirt(changed: &[(&str, &str)], set: &[&str]) -> Shirt {
    let mut text =
        String::from("draft \"Crew shirt\"\nunit cm\nuse body\nuse shirt\nuse fitting\n");
    for (key, line) in LINES {
        let line = changed
            .iter()
            .find(|(other, _)| other == key)
            .map_or(*line, |(_, line)| line);
        text.push_str(line);
        text.push('\n');
    }
    draw(&text, set)
}

/// A draft of its own.
pub fn draw(text: &str, set: &[&str]) -> Shirt {
    let mut project = Project::load(
        "shirt.draft",
        text,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let set = set
        .iter()
        .map(|one| inputs::setting(&mut project.sources, one).unwrap())
        .collect();
    let outcome = draft::make(
        &project,
        &Inputs {
            set,
            ..Inputs::default()
        },
    );
    let json = serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap();
    Shirt { outcome, json }
}

impl Shirt {
    /// Nothing is wrong, nothing left unwalked, and every outline is closed and simple (a fault would be told).
    pub fn sound(self) -> Self {
        let errors = self.errors();
        assert!(errors.is_empty(), "{errors:#?}");
        assert_eq!(self.json["unwalked"].as_array().unwrap().len(), 0);
        for seam in self.json["seams"].as_array().unwrap() {
            assert_eq!(seam["ok"], true, "{seam}");
        }
        self
    }

    pub fn errors(&self) -> Vec<std::borrow::Cow<'_, str>> {
        let told = self.outcome.diagnostics.iter();
        told.filter(|d| d.is_error())
            .map(|d| d.message.in_unit(MM))
            .collect()
    }

    pub fn cautions(&self) -> Vec<&Diagnostic> {
        let told = self.outcome.diagnostics.iter();
        told.filter(|d| d.code == oaktag_language::report::Code::Caution)
            .collect()
    }

    /// A value of the drawing in millimetres or degrees.
    pub fn figure(&self, name: &str) -> f64 {
        let value = &self.json["values"][name];
        let keys = ["mm", "deg", "value", "length_mm"];
        keys.iter()
            .find_map(|key| value[*key].as_f64())
            .unwrap_or_else(|| panic!("no figure {name}: {value}"))
    }

    pub fn point(&self, name: &str) -> (f64, f64) {
        let value = &self.json["values"][name];
        (value["x"].as_f64().unwrap(), value["y"].as_f64().unwrap())
    }

    pub fn pieces(&self) -> Vec<&str> {
        let pieces = self.json["pieces"].as_array().unwrap();
        pieces.iter().map(|p| p["name"].as_str().unwrap()).collect()
    }

    pub fn piece(&self, name: &str) -> &Json {
        let pieces = self.json["pieces"].as_array().unwrap();
        pieces.iter().find(|p| p["name"] == name).unwrap()
    }

    /// Every edge of a piece with its length and path.
    pub fn edges(&self, piece: &str) -> Vec<(String, f64, String)> {
        let edges = self.piece(piece)["edges"].as_array().unwrap();
        edges
            .iter()
            .map(|edge| {
                (
                    edge["name"].as_str().unwrap().to_owned(),
                    edge["length_mm"].as_f64().unwrap(),
                    edge["path"].as_str().unwrap().to_owned(),
                )
            })
            .collect()
    }

    pub fn edge(&self, piece: &str, name: &str) -> f64 {
        let edges = self.edges(piece);
        edges
            .iter()
            .find(|(edge, ..)| edge == name)
            .unwrap_or_else(|| panic!("{piece} has no edge {name}"))
            .1
    }
}

/// Both within a hundredth of a millimetre.
pub fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 0.01
}

/// Pieces whose every edge has kept its name, length and place.
pub fn unchanged(a: &Shirt, b: &Shirt, pieces: &[&str]) {
    for piece in pieces {
        let (old, new) = (a.edges(piece), b.edges(piece));
        assert_eq!(old.len(), new.len(), "{piece}");
        for (old, new) in old.iter().zip(&new) {
            assert_eq!(old.0, new.0, "{piece}");
            assert!(same(old.1, new.1), "{piece} {}: {} {}", old.0, old.1, new.1);
        }
    }
}
