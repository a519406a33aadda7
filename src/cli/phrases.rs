//! `phrases`: the reference, made from the table and from a draft's own operations.

use super::{End, load, told};
use crate::check;
use crate::check::nearest_word;
use crate::phrase::{Form, Gives, Table};
use std::fmt::Write;

/// Arguments of `phrases`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A head word, or a word to look for; without one, a line for every form
    #[arg(value_name = "WORD")]
    word: Option<String>,
    /// Operations of this draft and of the library it uses are listed too
    #[arg(long, value_name = "FILE")]
    of: Option<String>,
}

/// Prints the reference.
pub fn run(arguments: &Arguments) -> End {
    let mut forms: Vec<Form> = Table::built_in().forms().to_vec();
    if let Some(file) = &arguments.of {
        let project = match load::project(file) {
            Ok(project) => project,
            Err(end) => return end,
        };
        let checked = check::check(&project);
        told::diagnostics(&project.sources, &project.diagnostics);
        forms.extend(
            checked
                .program
                .operations
                .into_iter()
                .map(|operation| operation.form),
        );
    }
    match &arguments.word {
        None => told::result(&list(&forms)),
        Some(word) => return about(&forms, word),
    }
    End::Well
}

fn list(forms: &[Form]) -> String {
    let mut text = String::new();
    for form in forms {
        let _ = writeln!(text, "{}  gives {}", form.signature(), gives(form));
    }
    let _ = writeln!(text, "\n`oaktag phrases WORD` tells all about one of them.");
    text
}

fn about(forms: &[Form], word: &str) -> End {
    let head = |form: &&Form| form.head.as_deref() == Some(word);
    let mut found: Vec<&Form> = forms.iter().filter(head).collect();
    if found.is_empty() {
        let lower = word.to_lowercase();
        let has = |form: &&Form| {
            form.places
                .iter()
                .any(|p| p.link.is_some_and(|l| l.word() == lower))
                || form.doc.to_lowercase().contains(&lower)
        };
        found = forms.iter().filter(has).collect();
    }
    if found.is_empty() {
        let heads = forms.iter().filter_map(|form| form.head.as_deref());
        let near = nearest_word(word, heads)
            .map(|near| format!(" Did you mean `{near}`?"))
            .unwrap_or_default();
        told::line(&format!("no phrase is called `{word}`.{near}"));
        return End::Wrong;
    }
    let pages: Vec<String> = found.into_iter().map(page).collect();
    told::result(&pages.join("\n"));
    End::Well
}

/// What a form gives, in a word.
pub fn gives(form: &Form) -> String {
    match &form.gives {
        Gives::Kind(kind) => kind.with_article(),
        Gives::SameAsFirst => "what it is given".into(),
        Gives::ItemOf(_) => "one of them".into(),
        Gives::RootOfFirst => "the root's kind".into(),
    }
}

/// Everything about a form.
pub fn page(form: &Form) -> String {
    let mut text = format!("{}\n", form.signature());
    if !form.doc.is_empty() {
        let _ = writeln!(text, "  {}", form.doc);
    }
    for place in &form.places {
        let word = place
            .link
            .map_or(String::new(), |link| format!("{} ", link.word()));
        let kind = place
            .kind
            .as_ref()
            .map_or_else(|| place.takes.words(), |kind| kind.with_article());
        let many = if place.many { ", or several" } else { "" };
        let _ = writeln!(
            text,
            "    {word}{}: {kind}{many}; {}",
            place.name.to_uppercase().replace('_', " "),
            place.doc
        );
    }
    for option in &form.options {
        let kind = option
            .kind
            .as_ref()
            .map_or_else(|| option.takes.words(), |kind| kind.with_article());
        let _ = writeln!(text, "    with {}: {kind}; {}", option.name, option.doc);
    }
    let _ = writeln!(text, "  gives {}", gives(form));
    for line in form.example.lines() {
        let _ = writeln!(text, "      {line}");
    }
    text
}
