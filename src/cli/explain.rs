//! `explain`: what a message means.

use super::{End, told};
use oaktag_language::check::nearest_word;
use oaktag_language::report::Code;
use oaktag_language::report::explain::explanation;
use std::fmt::Write;

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The name of a message, such as never-meet; without one, a line for each
    #[arg(value_name = "CODE")]
    code: Option<String>,
}

/// Explains.
pub(super) fn run(arguments: &Arguments) -> End {
    let Some(name) = &arguments.code else {
        told::result(&list());
        return End::Well;
    };
    let Some(code) = Code::named(name) else {
        let near = nearest_word(name, Code::ALL.iter().map(|code| code.name()));
        let near = near
            .map(|near| format!(" Did you mean `{near}`?"))
            .unwrap_or_default();
        told::line(&format!("no message is called `{name}`.{near}"));
        return End::Misused;
    };
    told::result(&page(code));
    End::Well
}

fn list() -> String {
    let mut text = String::new();
    let wide = Code::ALL
        .iter()
        .map(|code| code.name().len())
        .max()
        .unwrap_or(0);
    for code in Code::ALL {
        let _ = writeln!(text, "{:wide$}  {}", code.name(), meaning(*code));
    }
    text
}

/// The first sentence of the meaning is enough of it in a list.
fn meaning(code: Code) -> String {
    let meaning = explanation(code).map_or_else(String::new, |said| said.meaning);
    let first = meaning.split_inclusive(". ").next().unwrap_or("");
    first.trim_end().to_owned()
}

/// Everything about a code.
pub(super) fn page(code: Code) -> String {
    let Some(said) = explanation(code) else {
        return format!("{code}\n");
    };
    let given = said
        .given
        .words()
        .map(|words| format!(", {words}"))
        .unwrap_or_default();
    let mut text = format!("{code}\n\n{}\n\nFor example{given}:\n\n", said.meaning);
    for line in said.example.lines() {
        let _ = writeln!(text, "    {line}");
    }
    let _ = write!(text, "\nCure: {}\n", said.cure);
    text
}
