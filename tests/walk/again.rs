//! The second walker against the first: on every example, and on garments by chance, faulty ones among them.

use crate::{proof, run, second};
use oaktag_language::draft::Inputs;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_output::json;
use serde_json::Value as Json;
use std::path::{Path, PathBuf};

struct Folder(PathBuf);

impl Reader for Folder {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = self.0.join(path);
        std::fs::read_to_string(full).map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

/// Seams of which the two walkers think otherwise. One whose ends nothing decides is left out: it cannot be walked.
fn differences(json: &Json) -> Vec<String> {
    let found = second::judge(json);
    let seams = json["seams"].as_array().into_iter().flatten();
    seams
        .zip(found)
        .filter(|(seam, _)| seam["decided"] != "unsure")
        .filter(|(seam, (_, finding))| (seam["ok"] == true) != finding.is_none())
        .map(|(seam, (name, finding))| {
            format!(
                "{name}: the program says ok {}, the second walker {finding:?}",
                seam["ok"]
            )
        })
        .collect()
}

fn drafts(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            drafts(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "draft") {
            found.push(path);
        }
    }
}

#[test]
fn the_second_walker_judges_every_example_the_same_way() {
    let mut all = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    drafts(&root.join("examples"), &mut all);
    drafts(&root.join("stdlib/examples"), &mut all);
    all.sort();
    let mut seams = 0;
    let mut wrong = Vec::new();
    for path in &all {
        let text = std::fs::read_to_string(path).unwrap();
        let name = path.file_name().unwrap().to_str().unwrap();
        let folder = Folder(path.parent().unwrap().to_owned());
        let project = Project::load(name, &text, &folder, &oaktag_language::library::module);
        let outcome = oaktag_language::draft::make(&project, &Inputs::default());
        let json: Json = serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap();
        seams += json["seams"].as_array().map_or(0, Vec::len);
        let found = differences(&json).into_iter().chain(second::darts(&json));
        wrong.extend(found.map(|what| format!("{name}: {what}")));
    }
    assert!(
        wrong.is_empty(),
        "{} of {seams} seams:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(seams > 50);
}

#[test]
fn the_second_walker_judges_garments_by_chance_the_same_way() {
    let mut wrong = Vec::new();
    let (mut faulty, mut dart_faults) = (0, 0);
    for seed in 0..500 {
        let garment = proof::of_seed(seed);
        let told = run::told(&garment);
        let darts = second::darts(&told.json);
        let dart_told = told.codes.contains(&"dart-differs");
        dart_faults += usize::from(dart_told);
        if darts.is_empty() == dart_told {
            wrong.push(format!("seed {seed}: {darts:?}"));
        }
        faulty += told.seams.iter().filter(|seam| !seam.ok).count();
        let found = differences(&told.json);
        wrong.extend(found.into_iter().map(|what| format!("seed {seed}: {what}")));
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(faulty > 100 && dart_faults > 5, "{faulty} {dart_faults}");
}
