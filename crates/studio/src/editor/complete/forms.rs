//! Forms of phrases, acts and sentences: what may follow a head, and letters to fill in.

use super::{Before, Offered, plain};
use crate::editor::Editor;
use crate::editor::hover::rows_of;
use oaktag_language::check;
use oaktag_language::kind::Kind;
use oaktag_language::library;
use oaktag_language::phrase::{Form, Gives, Table, Takes};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::Link;
use oaktag_language::voice;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

impl Editor<'_> {
    /// The heads of phrases and acts; first those that give what is wanted.
    pub(super) fn phrases(&self, wanted: Option<&Kind>) -> Vec<Offered> {
        let built = Table::built_in()
            .forms()
            .iter()
            .map(|form| (form, "phrase"));
        let acts = self.session.program().operations.iter();
        let acts = acts.map(|act| (&act.form, "act"));
        // What gives the kind that is wanted, then what may, then the others.
        let rank = |form: &Form| match (&form.gives, wanted) {
            (Gives::Kind(Kind::Unknown), _) | (_, None) => 1,
            (Gives::Kind(kind), Some(wanted)) if kind.fits(wanted) => 0,
            (Gives::Kind(_), Some(_)) => 2,
            _ => 1,
        };
        let mut found: Vec<(u8, Offered)> = built
            .chain(acts)
            .filter_map(|(form, kind)| {
                let one = Offered {
                    label: form.head.as_deref()?.to_owned(),
                    kind: kind.to_owned(),
                    insert: called(form),
                    detail: form.signature(),
                };
                Some((rank(form), one))
            })
            .collect();
        let read: BTreeSet<String> = found.iter().map(|(_, one)| one.label.clone()).collect();
        for module in self.session.modules() {
            let unknown = module
                .operations
                .iter()
                .filter(|act| !read.contains(act.head));
            for act in unknown {
                let forms = library_forms().iter();
                for form in forms.filter(|form| form.head.as_deref() == Some(act.head)) {
                    let one = Offered {
                        label: act.head.to_owned(),
                        kind: "act".into(),
                        insert: called(form),
                        detail: form.signature(),
                    };
                    found.push((rank(form), one));
                }
            }
        }
        found.sort_by_key(|(rank, _)| *rank);
        found.dedup_by(|a, b| a.1 == b.1);
        found.into_iter().map(|(_, one)| one).collect()
    }

    /// The forms of each head that stands before the caret, with the links said since, the nearest first; those without a head
    /// last.
    pub(in crate::editor) fn forms_before(
        &self,
        before: &Before<'_>,
    ) -> Vec<(Vec<&Form>, Vec<Link>)> {
        let table = Table::built_in();
        let mut said = Vec::new();
        let mut found = Vec::new();
        for (tok, at) in before.tokens.iter().rev() {
            if let Tok::Link(link) = tok {
                said.push(*link);
            }
            if *tok == Tok::Name {
                let word = self.letters(at.clone());
                let acts = self.session.program().operations.iter();
                let forms = table.forms().iter().chain(acts.map(|act| &act.form));
                let forms: Vec<&Form> = forms
                    .filter(|form| form.head.as_deref() == Some(word))
                    .collect();
                if !forms.is_empty() {
                    found.push((forms, std::mem::take(&mut said)));
                }
            }
        }
        let headless = table.forms().iter().filter(|form| form.head.is_none());
        found.push((headless.collect(), said));
        found
    }

    /// The kinds that may stand behind a link, or behind the head alone, by the nearest head that has such a place.
    pub(super) fn taken_by(&self, before: &Before<'_>, link: Option<Link>) -> Option<Takes> {
        let groups = self.forms_before(before);
        let groups = groups
            .iter()
            .take(if link.is_none() { 1 } else { usize::MAX });
        let mut takes = groups.filter_map(|(forms, _)| {
            let places = forms
                .iter()
                .filter_map(|form| form.places.get(form.place_of(link)?));
            places.map(|place| place.takes).reduce(Takes::or)
        });
        takes.next()
    }

    /// The linking words that may follow.
    pub(super) fn links(&self, before: &Before<'_>) -> Vec<Offered> {
        if before.first == "panel" && before.tokens.len() == 2 {
            return vec![plain("traced from")];
        }
        let mut found = BTreeMap::new();
        for (forms, said) in self.forms_before(before) {
            for form in forms {
                if !said.iter().all(|link| form.place_of(Some(*link)).is_some()) {
                    continue;
                }
                for place in &form.places {
                    if let Some(link) = place.link.filter(|link| !said.contains(link)) {
                        found.entry(link.word()).or_insert_with(|| Offered {
                            detail: place.name.to_string(),
                            ..plain(link.word())
                        });
                    }
                }
                if form.tight && said.is_empty() {
                    found.entry("of").or_insert_with(|| plain("of"));
                }
                if !form.options.is_empty() && !said.contains(&Link::With) {
                    found.entry("with").or_insert_with(|| plain("with"));
                }
            }
        }
        found.into_values().collect()
    }

    /// The seams of the draft.
    pub(super) fn seams(&self) -> Vec<Offered> {
        let seams = self.session.program().seams.iter();
        let seams = seams.map(|seam| Offered {
            kind: "seam".into(),
            ..plain(&seam.name)
        });
        seams.collect()
    }

    pub(super) fn is_in_options(&self, before: &Before<'_>) -> bool {
        let links = before.tokens.iter().rev();
        let mut links = links.filter_map(|(tok, _)| match tok {
            Tok::Link(link) => Some(*link),
            _ => None,
        });
        links.next() == Some(Link::With)
    }

    /// The options of the act before the caret that are not yet said.
    pub(super) fn options_of(&self, before: &Before<'_>) -> Vec<Offered> {
        let said = |name: &str| {
            let mut words = before.tokens.iter();
            words.any(|(tok, at)| *tok == Tok::Name && self.letters(at.clone()) == name)
        };
        let nearest = self.forms_before(before).into_iter().next();
        let forms = nearest.into_iter().flat_map(|(forms, _)| forms);
        let options = forms.flat_map(|form| &form.options);
        let fresh = options.filter(|option| !said(&option.name));
        fresh
            .map(|option| Offered {
                label: option.name.to_string(),
                kind: "option".into(),
                detail: option.doc.trim().to_owned(),
                insert: format!("{} ${{{}}}", option.name, option.takes.words()),
            })
            .collect()
    }
}

/// The forms of all acts of the library, those that the draft does not name, and which are therefore not read, among them. They are
/// read once.
fn library_forms() -> &'static [Form] {
    static FORMS: LazyLock<Vec<Form>> = LazyLock::new(|| {
        let lines = library::MODULES.iter().flat_map(|module| {
            let acts = module.operations.iter();
            let acts = acts.map(|act| format!("# {}\n", act.head));
            std::iter::once(format!("use {}\n", module.name)).chain(acts)
        });
        let text: String = lines.collect();
        let project = Project::load("library", &text, &NoFiles, &library::module);
        let operations = check::check(&project).program.operations.clone();
        operations.into_iter().map(|act| act.form).collect()
    });
    &FORMS
}

/// Heads of one operand, which need no brackets: `end of`, `length of`.
pub(super) fn tight_heads() -> Vec<Offered> {
    let heads = Table::built_in().forms().iter();
    let heads = heads.filter(|form| form.tight);
    heads
        .filter_map(|form| form.head.as_deref())
        .map(plain)
        .collect()
}

/// The words in the forms of the sentences that begin with a word.
pub(super) fn words_after(first: &str) -> Vec<Offered> {
    let mut found = BTreeMap::new();
    if first == "notch" {
        let forms = ["single", "double", "tee", "vee", "slit"];
        found.extend(forms.map(|form| (form, plain(form))));
    }
    for row in rows_of(first) {
        let rest = row.form.split_once(' ').map_or("", |(_, rest)| rest);
        for word in rest.split(|letter: char| !letter.is_ascii_lowercase()) {
            if !word.is_empty() {
                found.entry(word).or_insert_with(|| plain(word));
            }
        }
    }
    found.into_values().collect()
}

pub(super) fn modules() -> Vec<Offered> {
    let modules = library::MODULES.iter().map(|module| Offered {
        kind: "module".into(),
        ..plain(module.name)
    });
    modules.collect()
}

/// The forms that begin with a link: `from START to END`.
pub(super) fn headless() -> impl Iterator<Item = Offered> {
    let forms = Table::built_in().forms().iter();
    let forms = forms.filter(|form| form.head.is_none());
    forms.filter_map(|form| {
        let link = form.places.first()?.link?;
        Some(Offered {
            label: link.word().to_owned(),
            kind: "phrase".into(),
            insert: called(form),
            detail: form.signature(),
        })
    })
}

/// A form of a phrase or an act as letters: what may be left out is, and each place is to be filled in, by its whole name.
fn called(form: &Form) -> String {
    let mut words: Vec<String> = form.head.iter().map(ToString::to_string).collect();
    for place in form.places.iter().filter(|place| !place.optional) {
        let name = voice::place(&place.name);
        words.push(match place.link {
            None => format!("${{{name}}}"),
            Some(link) => format!("{} ${{{name}}}{}", link.word(), link.close()),
        });
    }
    words.join(" ")
}

/// The form of a sentence as letters: what may be left out is, and each place is to be filled in.
pub(super) fn fill_in(form: &str) -> String {
    let mut kept = String::new();
    let mut depth = 0_usize;
    for letter in form.chars() {
        match letter {
            '[' => depth += 1,
            ']' => depth = depth.saturating_sub(1),
            _ if depth == 0 => kept.push(letter),
            _ => {}
        }
    }
    let words = kept.split_whitespace().map(|word| {
        let bare = word.trim_matches(|letter: char| !letter.is_alphanumeric() && letter != '_');
        let is_place = !bare.is_empty()
            && bare
                .chars()
                .all(|letter| letter.is_uppercase() || letter.is_ascii_digit() || letter == '_')
            && bare.chars().any(char::is_alphabetic);
        match is_place {
            true => word.replacen(bare, &format!("${{{bare}}}"), 1),
            false => word.to_owned(),
        }
    });
    let mut kept: Vec<String> = Vec::new();
    let mut is_other = false;
    for word in words {
        // Of words to choose among the first stands there.
        if word == "|" {
            is_other = true;
        } else if !std::mem::take(&mut is_other) {
            kept.push(word);
        }
    }
    // Where more may follow, none does.
    kept.join(" ").replace(", …", "").replace(" …", "")
}
