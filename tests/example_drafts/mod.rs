//! The drafts of `examples/` and drafts of a test's own, read and drawn as the program does.

use oaktag_language::draft::{self, Inputs, Outcome, inputs};
use oaktag_language::syntax::project::{NoFiles, Project, ReadFault, Reader};
use oaktag_output::json;
use serde_json::Value as Json;

/// Reads the files of one folder of examples.
struct Folder(String);

impl Reader for Folder {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = format!("{}/{path}", self.0);
        std::fs::read_to_string(full).map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

/// Draws an example with settings as typed after `--set`.
pub fn example(path: &str, set: &[String]) -> Outcome {
    let (folder, file) = path.rsplit_once('/').unwrap_or(("", path));
    let folder = Folder(format!("{}/examples/{folder}", env!("CARGO_MANIFEST_DIR")));
    let text = folder.read(file).unwrap();
    make(
        Project::load(file, &text, &folder, &oaktag_language::library::module),
        set,
    )
}

/// Draws a text in place of an example.
#[allow(dead_code, reason = "not every test changes examples")]
pub fn example_as(path: &str, text: &str) -> Outcome {
    let (folder, file) = path.rsplit_once('/').unwrap_or(("", path));
    let folder = Folder(format!("{}/examples/{folder}", env!("CARGO_MANIFEST_DIR")));
    let library = &oaktag_language::library::module;
    make(Project::load(file, text, &folder, library), &[])
}

/// Draws a draft that imports nothing.
#[allow(dead_code, reason = "not every test has drafts of its own")]
pub fn text(text: &str, set: &[String]) -> Outcome {
    make(
        Project::load("a.draft", text, &NoFiles, &oaktag_language::library::module),
        set,
    )
}

fn make(mut project: Project, set: &[String]) -> Outcome {
    let set = set
        .iter()
        .map(|one| inputs::setting(&mut project.sources, one).unwrap())
        .collect();
    draft::make(
        &project,
        &Inputs {
            set,
            ..Inputs::default()
        },
    )
}

/// What `draw FILE -o OUT.json` writes.
#[allow(dead_code, reason = "not every test reads the JSON")]
pub fn as_json(outcome: &Outcome) -> Json {
    serde_json::from_str(&json::write(&outcome.pattern).unwrap()).unwrap()
}
