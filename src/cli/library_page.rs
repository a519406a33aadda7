//! The library as pages: every operation with what a cutter gets, its words and options, the steps it takes, an example.

use oaktag_language::check::program::OperationInfo;
use oaktag_language::check::{self, Checked};
use oaktag_language::library;
use oaktag_language::phrase::Form;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::syntax::tree::{Block, ExprKind, SentenceKind, TextPart};
use oaktag_studio::editor::asks;
use std::fmt::Write;

/// An operation of the library.
pub(super) struct Entry {
    /// The module it stands in.
    pub module: &'static str,
    /// How it is said.
    pub form: Form,
    /// What it needs of the panels it is given, and what it draws on the one it gives, where its head says so.
    info: Option<OperationInfo>,
    /// The names of its steps, in order.
    pub steps: Vec<String>,
}

impl Entry {
    /// What it needs of its panels and draws on them; where its head does not say, as in the draft that shows it.
    pub(super) fn asks(&self) -> Vec<String> {
        if let Some(info) = &self.info {
            return asks(info);
        }
        let head = self.form.head.as_deref().unwrap_or_default();
        let Some((_, draft)) = library::example_in(self.module, head) else {
            return Vec::new();
        };
        let project = Project::load("example", draft, &NoFiles, &library::module);
        let checked = check::check(&project);
        let known = checked.program.operations.iter();
        let mut same = known.filter(|info| info.form.signature() == self.form.signature());
        same.next().map_or_else(Vec::new, asks)
    }
}

/// Every operation of every module, in the order of the modules' names.
pub(super) fn entries() -> Vec<Entry> {
    let (project, checked) = whole_library();
    let mut entries = Vec::new();
    for module in library::MODULES {
        let Some(file) = project
            .modules
            .get(module.name)
            .and_then(|at| project.file(*at))
        else {
            continue;
        };
        for sentence in &file.tree.sentences {
            let SentenceKind::Operation(operation) = &sentence.kind else {
                continue;
            };
            let known = checked.program.operations.iter();
            let Some(info) = known.into_iter().find(|info| info.span == sentence.span) else {
                continue;
            };
            let mut steps = Vec::new();
            steps_of(&operation.body, &mut steps);
            entries.push(Entry {
                module: module.name,
                form: info.form.clone(),
                info: operation.needs.is_some().then(|| info.clone()),
                steps,
            });
        }
    }
    entries
}

/// A draft that uses every module and names every operation, since only what is named is read.
fn whole_library() -> (Project, Checked) {
    let mut text = String::new();
    for module in library::MODULES {
        let _ = writeln!(text, "use {}", module.name);
        for operation in module.operations {
            let _ = writeln!(text, "# {}", operation.head);
        }
    }
    let project = Project::load("library", &text, &NoFiles, &library::module);
    let checked = check::check_with_library(&project);
    (project, checked)
}

fn steps_of(block: &Block, steps: &mut Vec<String>) {
    for sentence in &block.sentences {
        match &sentence.kind {
            SentenceKind::Step(step) => {
                let letters = step.name.parts.iter().map(|part| match part {
                    TextPart::Letters(letters) => letters.to_string(),
                    TextPart::Hole(_) => "…".into(),
                });
                steps.push(letters.collect());
                steps_of(&step.body, steps);
            }
            SentenceKind::Panel(panel) => steps_of(&panel.body, steps),
            SentenceKind::If(choice) => {
                let blocks = choice.branches.iter().map(|(_, block)| block);
                blocks
                    .chain(&choice.otherwise)
                    .for_each(|block| steps_of(block, steps));
            }
            _ => {}
        }
    }
}

/// A line for every operation, by module.
pub(super) fn list(entries: &[Entry]) -> String {
    let mut text = String::new();
    let mut module = "";
    for entry in entries {
        if entry.module != module {
            module = entry.module;
            let _ = writeln!(text, "\nThe library, `use {module}`:");
        }
        let _ = writeln!(text, "{}", short(&entry.form));
    }
    text
}

/// The signature with its options counted: a library operation has many.
fn short(form: &Form) -> String {
    let whole = form.signature();
    match whole.split_once(" [with ") {
        Some((front, _)) => format!("{front} [with …]"),
        None => whole,
    }
}

/// The whole library as one page of Markdown, with the draft that shows an operation, where there is one.
pub(super) fn markdown(entries: &[Entry]) -> String {
    let mut text = String::from(
        "# The library\n\nEvery act of the library, made by `oaktag phrases --library` from the library itself. A module is taken with `use NAME`;\n`use shirt` brings what a whole shirt needs. An act that is given a panel may lay its result over that very panel, so a\ngarment is made line by line: see [the reference](reference.md#11-acts). Figures are this project's own where an\nact does not say where they come from; nothing here has been sewn.\n\n",
    );
    for module in library::MODULES {
        let name = module.name;
        let _ = writeln!(text, "- [{name}](#{name}): {}", remark(module.text));
    }
    for module in library::MODULES {
        let name = module.name;
        let _ = writeln!(text, "\n## {name}");
        measures(&mut text, name);
        for entry in entries.iter().filter(|entry| entry.module == name) {
            operation(&mut text, entry);
        }
    }
    text
}

/// The measures a module works out from others, each as it is written there.
fn measures(text: &mut String, module: &str) {
    let only = |name: &str| library::module(name).filter(|found| found.name == module);
    let project = Project::load("library", &format!("use {module}\n"), &NoFiles, &only);
    let Some(file) = project.modules.get(module).and_then(|at| project.file(*at)) else {
        return;
    };
    let mut rows = String::new();
    for sentence in &file.tree.sentences {
        if let SentenceKind::Measure(measure) = &sentence.kind
            && !matches!(measure.default.kind, ExprKind::Figure { .. })
        {
            let formula = project.sources.slice(measure.default.span);
            let range = measure.range.as_ref().map_or(String::new(), |(low, high)| {
                let figure = |span| project.sources.slice(span);
                format!("{} to {}", figure(low.span), figure(high.span))
            });
            let _ = writeln!(rows, "| {} | `{formula}` | {range} |", measure.name.text);
        }
    }
    if !rows.is_empty() {
        let _ = writeln!(
            text,
            "\n| measure | worked out as | between |\n| --- | --- | --- |\n{}",
            rows.trim_end()
        );
    }
}

/// The first sentence of the remark that opens a module.
fn remark(draft: &str) -> String {
    let lines = draft.lines().filter_map(|line| line.strip_prefix("# "));
    let words: Vec<&str> = lines.take(3).collect();
    let whole = words.join(" ");
    whole
        .split_once(". ")
        .map_or(whole.clone(), |(first, _)| format!("{first}."))
}

fn operation(text: &mut String, entry: &Entry) {
    let form = &entry.form;
    let head = form.head.as_deref().unwrap_or_default();
    let _ = writeln!(text, "\n### {head}\n\n{}\n", form.doc);
    let _ = writeln!(
        text,
        "`{}`, gives {}.\n",
        short(form),
        super::phrases::gives(form)
    );
    if !form.places.is_empty() || !form.options.is_empty() {
        text.push_str("| word | kind | what it is |\n| --- | --- | --- |\n");
    }
    for place in &form.places {
        let link = place
            .link
            .map_or(String::new(), |link| format!("{} ", link.word()));
        let kind = place.kind.as_ref().map_or_else(
            || place.takes.words(),
            oaktag_language::kind::Kind::with_article,
        );
        let _ = writeln!(
            text,
            "| {link}{} | {kind} | {} |",
            oaktag_language::voice::place(&place.name),
            place.doc
        );
    }
    for option in &form.options {
        let kind = option.kind.as_ref().map_or_else(
            || option.takes.words(),
            oaktag_language::kind::Kind::with_article,
        );
        let _ = writeln!(text, "| with {} | {kind} | {} |", option.name, option.doc);
    }
    let asks = entry.asks();
    if !asks.is_empty() {
        let _ = writeln!(text, "\n{}", asks.join(" "));
    }
    if !entry.steps.is_empty() {
        text.push_str("\nSteps: ");
        text.push_str(&entry.steps.join("; "));
        text.push_str(".\n");
    }
    if let Some((name, draft)) = library::example_in(entry.module, head) {
        let _ = writeln!(text, "\n```draft library\n{draft}```");
        let _ = writeln!(
            text,
            "\n<img src=\"pictures/library/{name}.svg\" alt=\"What the draft above draws\" width=\"560\">"
        );
    }
}
