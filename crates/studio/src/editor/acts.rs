//! What an act asks of its panels, in words.

use oaktag_language::check::program::OperationInfo;
use oaktag_language::kind::Kind;
use oaktag_language::voice;

/// What an act needs of its panels and draws on them, a sentence each.
pub fn asks(info: &OperationInfo) -> Vec<String> {
    let needs = |if_drawn: bool| {
        let of = info
            .needs
            .iter()
            .filter(move |need| need.if_drawn == if_drawn);
        grouped(of.map(|need| {
            let doc = if need.doc.is_empty() {
                String::new()
            } else {
                format!(" ({})", need.doc)
            };
            (&need.kind, format!("`{}`{doc}", need.name))
        }))
    };
    let draws = |anew: bool| {
        let of = info.draws.iter().filter(move |one| one.anew == anew);
        grouped(of.map(|one| (&one.kind, format!("`{}`", one.name))))
    };
    let said = [
        ("Needs", needs(false)),
        ("Uses, if drawn,", needs(true)),
        ("Draws", draws(false)),
        ("Draws anew", draws(true)),
    ];
    let said = said.into_iter().filter(|(_, names)| !names.is_empty());
    said.map(|(word, names)| format!("{word} {names}."))
        .collect()
}

/// Names by their kinds: "the point `a`; the lines `b` and `c`".
fn grouped<'k>(names: impl Iterator<Item = (&'k Kind, String)>) -> String {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for (kind, name) in names {
        let kind = match kind {
            Kind::List(_) => "list".to_owned(),
            kind => kind.to_string(),
        };
        match groups.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, group)) => group.push(name),
            None => groups.push((kind, vec![name])),
        }
    }
    let said = groups.iter().map(|(kind, names)| {
        let several = if names.len() > 1 { "s" } else { "" };
        format!("{kind}{several} {}", voice::list(names))
    });
    said.collect::<Vec<String>>().join("; ")
}
