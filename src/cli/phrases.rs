//! `phrases`: the reference, made from the table and from a draft's own operations.

use super::{End, library_page, load, told};
use oaktag_language::check::nearest_word;
use oaktag_language::kind::Kind;
use oaktag_language::library;
use oaktag_language::phrase::table::SCENE;
use oaktag_language::phrase::{Form, Gives, Table};
use oaktag_language::syntax::needed::Module;
use oaktag_language::syntax::sentences::{self, FRAME, Of, Row};
use oaktag_language::voice;
use std::fmt::Write;

/// Arguments of `phrases`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A head word, or a word to look for; without one, a line for every form
    #[arg(value_name = "WORD")]
    word: Vec<String>,
    /// Acts of this draft and of the library it uses are listed too
    #[arg(long, value_name = "FILE")]
    of: Option<String>,
    #[command(flatten)]
    root: load::Root,
    /// The whole reference as one page of Markdown
    #[arg(long, conflicts_with = "word")]
    markdown: bool,
    /// The library's operations as one page of Markdown
    #[arg(long, conflicts_with_all = ["word", "markdown"])]
    library: bool,
}

/// Prints the reference.
pub(super) fn run(arguments: &Arguments) -> End {
    let mut forms: Vec<Form> = Table::built_in().forms().to_vec();
    if let Some(file) = &arguments.of {
        let session = match load::session(file, &arguments.root) {
            Ok(session) => session,
            Err(end) => return end,
        };
        told::diagnostics(&session, session.not_read());
        let own = session.program().operations.iter();
        forms.extend(own.map(|operation| operation.form.clone()));
    }
    if arguments.markdown {
        told::result(&markdown(&forms));
        return End::Well;
    }
    let library = library_page::entries();
    match arguments.word.join(" ").trim() {
        word if !word.is_empty() => return about(&forms, &library, word),
        _ if arguments.library => {
            told::result(&library_page::markdown(&library));
        }
        _ => told::result(&format!(
            "{}\n{}{}{HINT}",
            list_of_sentences(),
            list(&forms),
            library_page::list(&library)
        )),
    }
    End::Well
}

fn list(forms: &[Form]) -> String {
    let mut text = String::new();
    for form in forms {
        let _ = writeln!(text, "{}  gives {}", form.signature(), gives(form));
    }
    text
}

fn list_of_sentences() -> String {
    let mut text = String::new();
    for of in Of::ALL {
        let _ = writeln!(text, "{}:", of.words());
        for row in sentences::ALL.iter().filter(|row| row.of == of) {
            let _ = writeln!(text, "  {}", row.form);
        }
    }
    text
}

const HINT: &str = "\n`oaktag phrases WORD` tells all about one of them.\n";

fn about(forms: &[Form], library: &[library_page::Entry], word: &str) -> End {
    let word = Table::built_in().head_also(word).unwrap_or(word);
    let sentences = || sentences::ALL.iter().filter(|row| row.is_called(word));
    let is_head = |entry: &library_page::Entry| entry.form.head.as_deref() == Some(word);
    let is_known = sentences().next().is_some() || library.iter().any(is_head);
    let word = match library::act_also(word) {
        Some(act) if !is_known && !Table::built_in().is_head(word) => act,
        _ => word,
    };
    if let Some(module) = library::module(word).filter(|_| !is_known) {
        told::result(&module_page(module));
        return End::Well;
    }
    let of_sentences: Vec<String> = sentences::ALL
        .iter()
        .filter(|row| row.is_called(word))
        .map(sentence_page)
        .collect();
    let head = |form: &&Form| form.head.as_deref() == Some(word);
    let mut of_library = library
        .iter()
        .filter(|entry| entry.form.head.as_deref() == Some(word))
        .peekable();
    if of_library.peek().is_some() && !forms.iter().any(|form| head(&form)) {
        let of_library = of_library.map(library_page);
        let pages: Vec<String> = of_sentences.into_iter().chain(of_library).collect();
        told::result(&pages.join("\n"));
        return End::Well;
    }
    let forms: Vec<Form> = forms
        .iter()
        .cloned()
        .chain(library.iter().map(|entry| entry.form.clone()))
        .collect();
    let mut found: Vec<&Form> = forms.iter().filter(head).collect();
    if found.is_empty() && of_sentences.is_empty() {
        let lower = word.to_lowercase();
        let has = |form: &&Form| {
            form.places
                .iter()
                .any(|p| p.link.is_some_and(|l| l.word() == lower))
                || form.doc.to_lowercase().contains(&lower)
        };
        found = forms.iter().filter(has).collect();
    }
    if found.is_empty() && of_sentences.is_empty() {
        let heads = forms.iter().filter_map(|form| form.head.as_deref());
        let near = nearest_word(word, heads)
            .map(|near| format!(" Did you mean `{near}`?"))
            .unwrap_or_default();
        told::line(&format!("no phrase is called `{word}`.{near}"));
        return End::Misused;
    }
    let found = found.into_iter().map(page);
    let pages: Vec<String> = of_sentences.into_iter().chain(found).collect();
    told::result(&pages.join("\n"));
    End::Well
}

/// Everything about a form of a sentence.
fn sentence_page(row: &Row) -> String {
    let mut text = format!("{}\n  {}\n", row.form, row.doc);
    let _ = writeln!(text, "  {}", row.of.stands());
    for line in row.example.lines() {
        let _ = writeln!(text, "      {line}");
    }
    text
}

/// What a module of the library brings: its measures and choices, and its operations.
fn module_page(module: &Module) -> String {
    let mut text = format!("In the library: `use {}`.\n", module.name);
    let lines = || module.text.lines();
    for line in lines().filter_map(|line| line.strip_prefix("# ")) {
        let _ = writeln!(text, "  {line}");
    }
    let measures: Vec<&str> = lines()
        .filter(|line| line.starts_with("body ") || line.starts_with("choose "))
        .collect();
    if !measures.is_empty() {
        let _ = writeln!(text, "\nIt brings");
    }
    for line in measures {
        let _ = writeln!(text, "  {line}");
    }
    let heads: Vec<&str> = module.operations.iter().map(|one| one.head).collect();
    if !heads.is_empty() {
        let _ = writeln!(text, "\nIts acts: {}.", heads.join(", "));
    }
    if !module.uses.is_empty() {
        let _ = writeln!(
            text,
            "It uses {}, and brings what they bring.",
            voice::list(module.uses)
        );
    }
    text
}

/// Everything about an operation of the library, with a draft that shows it.
fn library_page(entry: &library_page::Entry) -> String {
    let mut text = format!(
        "In the library: `use {}`.\n\n{}",
        entry.module,
        page(&entry.form)
    );
    for said in entry.asks() {
        let _ = writeln!(text, "  {said}");
    }
    if !entry.steps.is_empty() {
        let _ = writeln!(text, "  Steps: {}.", entry.steps.join("; "));
    }
    let head = entry.form.head.as_deref().unwrap_or_default();
    if let Some((_, words)) = library::synonyms().find(|(act, _)| *act == head) {
        let words: Vec<&str> = words.collect();
        let _ = writeln!(text, "  others say {}", voice::either(&words));
    }
    if let Some((_, draft)) = library::example_in(entry.module, head) {
        let _ = writeln!(text, "\n{draft}");
    }
    text
}

/// What a form gives, in a word.
pub(super) fn gives(form: &Form) -> String {
    match &form.gives {
        Gives::Kind(kind) => kind.with_article(),
        Gives::SameAsFirst => "what it is given".into(),
        Gives::ItemOf(_) => "one of them".into(),
        Gives::LikeItemsOf(_) => "a figure of their kind".into(),
        Gives::RootOfFirst => "the root's kind".into(),
    }
}

/// Everything about a form.
pub(super) fn page(form: &Form) -> String {
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
            "    {word}{}: {kind}{many}{}",
            voice::place(&place.name),
            after(&place.doc)
        );
    }
    for option in &form.options {
        let kind = option
            .kind
            .as_ref()
            .map_or_else(|| option.takes.words(), |kind| kind.with_article());
        let _ = writeln!(
            text,
            "    with {}: {kind}{}",
            option.name,
            after(&option.doc)
        );
    }
    let _ = writeln!(text, "  gives {}", gives(form));
    if !form.also.is_empty() {
        let _ = writeln!(text, "  others say {}", voice::either(form.also));
    }
    for line in form.example.lines() {
        let _ = writeln!(text, "      {line}");
    }
    text
}

/// What a word is, behind its kind; nothing where that says it all.
fn after(doc: &str) -> String {
    if doc.is_empty() {
        String::new()
    } else {
        format!("; {doc}")
    }
}

const ABOUT_THE_PAGE: &str = "\
# Every phrase

This page is written by `oaktag phrases --markdown` from the table that the program itself reads. A word in small letters
is written as it stands; a word in CAPITALS is yours to fill in; what stands in `[ ]` may be left out; `, …` takes
several, with commas between. The words after the head may stand in any order.

The examples are drawn on this sheet:

```draft
";

/// Every form on one page: those without a head word first, by what they give, then a section for each head.
fn markdown(forms: &[Form]) -> String {
    let mut text = format!("{ABOUT_THE_PAGE}{}\n```\n", SCENE.trim_end());
    let headless = || forms.iter().filter(|form| form.head.is_none());
    let mut given: Vec<String> = headless().map(gives).collect();
    given.dedup();
    for kind in given {
        let _ = write!(text, "\n## Without a head word, giving {kind}\n");
        for form in headless().filter(|form| gives(form) == kind) {
            text.push_str(&entry(form));
        }
    }
    let mut before = None;
    for form in forms.iter().filter(|form| form.head.is_some()) {
        if before != form.head {
            let _ = write!(text, "\n## {}\n", form.head.as_deref().unwrap_or_default());
            before.clone_from(&form.head);
        }
        text.push_str(&entry(form));
    }
    sentences_on_the_page(&mut text);
    text
}

const ABOUT_THE_SENTENCES: &str = "
## Every sentence

A `|` stands between words of which you write one. The examples are from this draft, each in the place of its comment:

```oaktag
";

/// Every form of every sentence, by where it stands.
fn sentences_on_the_page(text: &mut String) {
    let _ = write!(text, "{ABOUT_THE_SENTENCES}{}\n```\n", FRAME.trim_end());
    for of in Of::ALL {
        let _ = write!(text, "\n## {}\n", of.words());
        for row in sentences::ALL.iter().filter(|row| row.of == of) {
            let (form, doc, example) = (row.form, row.doc, row.example);
            let _ = write!(text, "\n**`{form}`**\n{doc}\n\n```oaktag\n{example}\n```\n");
        }
    }
}

/// One form of that page.
fn entry(form: &Form) -> String {
    let mut text = format!("\n**`{}`** gives {}.\n", form.signature(), gives(form));
    let _ = write!(text, "{}", form.doc);
    if !form.also.is_empty() {
        let _ = write!(text, " Others say {}.", voice::either(form.also));
    }
    text.push_str("\n\n");
    for place in &form.places {
        let link = place
            .link
            .map_or(String::new(), |link| format!("{} ", link.word()));
        let name = voice::place(&place.name);
        let takes = place
            .kind
            .as_ref()
            .map_or_else(|| place.takes.words(), Kind::with_article);
        let many = if place.many { ", or several" } else { "" };
        let _ = writeln!(text, "- `{link}{name}`: {takes}{many}{}", after(&place.doc));
    }
    for option in &form.options {
        let takes = option
            .kind
            .as_ref()
            .map_or_else(|| option.takes.words(), Kind::with_article);
        let _ = writeln!(
            text,
            "- `with {}`: {takes}{}",
            option.name,
            after(&option.doc)
        );
    }
    if !form.example.is_empty() {
        let _ = write!(text, "\n```draft fragment\n{}\n```\n", form.example);
    }
    text
}
