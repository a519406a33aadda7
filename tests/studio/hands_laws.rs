//! The laws of two-way editing, for whatever can be dragged in the examples: putting back what was got changes nothing; after a
//! put, getting gives what was put; the edit differs in one figure; what stays has a reason. OAKTAG_DRAGS=all plays every thing of
//! every example, a number so many of each by chance, and the table that is printed says how many of them a hand can move.

use crate::chance::Chance;
use kurbo::{Point, Vec2};
use oaktag_language::library;
use oaktag_language::pattern::spec::Value;
use oaktag_language::syntax::project::{ReadFault, Reader};
use oaktag_studio::hands::{End, Fineness, Mover, Movers, Thing};
use oaktag_studio::session::Session;
use std::path::{Path, PathBuf};

/// Reads below a root, one file with another text in its place.
#[derive(Clone)]
struct Below {
    root: PathBuf,
    home: String,
    put: Option<(String, String)>,
}

impl Reader for Below {
    fn home(&self) -> &str {
        &self.home
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        match &self.put {
            Some((name, text)) if name == path => Ok(text.clone()),
            _ => std::fs::read_to_string(self.root.join(path))
                .map_err(|why| ReadFault::Unreadable(why.to_string())),
        }
    }
}

/// A draft of the examples.
pub(crate) struct Example {
    pub(crate) file: String,
    pub(crate) text: String,
    below: Below,
}

impl Example {
    fn open(&self, text: &str, put: Option<(String, String)>) -> Session {
        let below = Below {
            put,
            ..self.below.clone()
        };
        Session::open(&self.file, text, Box::new(below), library::MODULES)
    }

    pub(crate) fn session(&self) -> Session {
        self.open(&self.text, None)
    }

    /// With another text.
    pub(crate) fn with(&self, text: &str) -> Session {
        self.open(text, None)
    }
}

/// Every draft of the examples.
pub(crate) fn examples() -> Vec<Example> {
    let mut found = Vec::new();
    gather(Path::new("examples"), Path::new("examples"), "", &mut found);
    found.sort_by(|a, b| a.file.cmp(&b.file));
    assert!(found.len() > 20);
    found
}

fn gather(folder: &Path, root: &Path, home: &str, found: &mut Vec<Example>) {
    let (root, home) = match folder.join("oaktag.root").exists() {
        true => (folder, ""),
        false => (root, home),
    };
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let inner = [home, name.as_str()].join("/");
        let inner = inner.trim_start_matches('/');
        if path.is_dir() {
            gather(&path, root, inner, found);
        } else if name.ends_with(".draft") {
            found.push(Example {
                text: std::fs::read_to_string(&path).unwrap(),
                file: inner.to_owned(),
                below: Below {
                    root: root.to_owned(),
                    home: home.to_owned(),
                    put: None,
                },
            });
        }
    }
}

/// Whatever a hand can take hold of, by the name of its kind.
fn things(session: &Session) -> Vec<(&'static str, Thing)> {
    let pattern = &session.outcome().pattern;
    let mut found = Vec::new();
    for one in &pattern.values {
        let name = || one.name.clone();
        match &one.value {
            Value::Point(_) => found.push(("points", Thing::Point(name()))),
            Value::Line(path) | Value::Curve(path) if !path.is_endless() => {
                found.push(("lines", Thing::On(name(), 0.5)));
                for end in [End::Start, End::End] {
                    found.push(("handles", Thing::Handle(name(), end)));
                }
            }
            _ => {}
        }
    }
    for piece in &pattern.pieces {
        let name = || piece.name.clone();
        let notches = (0..piece.notches.len()).map(|at| ("notches", Thing::Notch(name(), at)));
        let marks = (0..piece.marks.len()).map(|at| ("marks", Thing::Mark(name(), at)));
        found.extend(notches.chain(marks));
    }
    found.retain(|(_, thing)| thing.place(session.outcome()).is_some());
    found
}

/// How the things of an example fare.
#[derive(Clone, Copy, Default)]
struct Tally {
    /// A figure of the text moves it.
    text: usize,
    /// An option or a choice that is not written yet.
    offered: usize,
    /// A figure of an import.
    import: usize,
    /// The body, or a value beside the text.
    held: usize,
    /// No figure at all.
    none: usize,
}

impl Tally {
    fn add(&mut self, movers: &Movers) {
        match movers.movers.first() {
            Some(Mover { file: Some(_), .. }) => self.import += 1,
            Some(Mover {
                is_option: true, ..
            }) => self.offered += 1,
            Some(_) => self.text += 1,
            None if movers
                .held
                .iter()
                .any(|why| why.contains("measure") || why.contains("given")) =>
            {
                self.held += 1;
            }
            None => self.none += 1,
        }
    }

    fn all(&self) -> usize {
        self.text + self.offered + self.import + self.held + self.none
    }

    fn row(&self, name: &str) -> String {
        let Self {
            text,
            offered,
            import,
            held,
            none,
        } = self;
        format!(
            "{name:<32}{:>7}{text:>7}{offered:>9}{import:>8}{held:>6}{none:>10}",
            self.all()
        )
    }
}

/// The draft with an edit in it, in its own text or an import.
fn put(example: &Example, mover: &Mover, letters: &str) -> Session {
    let text = match &mover.file {
        None => example.text.clone(),
        Some((file, _)) => example.below.read(file).unwrap(),
    };
    let units: Vec<u16> = text.encode_utf16().collect();
    let mut after = units[..mover.at.from].to_vec();
    after.extend(letters.encode_utf16());
    after.extend(&units[mover.at.to..]);
    let after = String::from_utf16(&after).unwrap();
    match &mover.file {
        None => example.open(&after, None),
        Some((file, _)) => example.open(&example.text, Some((file.clone(), after))),
    }
}

/// Holds one thing to the laws.
fn lawful(example: &Example, session: &Session, thing: &Thing) -> Movers {
    let file = &example.file;
    let mut hands = session.hands();
    let here = thing.place(session.outcome()).unwrap();
    let all = hands.movers(thing, 2).unwrap();
    assert!(
        !all.movers.is_empty() || !all.held.is_empty(),
        "{file}: {thing:?} stays, and nothing says why"
    );
    for mover in &all.movers {
        let told = || format!("{file}: {thing:?} by {} of {}", mover.written, mover.of);
        // Putting back what was got changes nothing.
        let still = hands.drag(thing, mover, here, Fineness::AsWritten).unwrap();
        assert!(still.edit.is_none(), "{} {still:?}", told());
        let to = here + Vec2::new(mover.right, mover.up) * mover.step * 2.0;
        let dragged = hands.drag(thing, mover, to, Fineness::AsWritten).unwrap();
        let Some(edit) = &dragged.edit else {
            continue;
        };
        // What was written is a figure, and stands where the other stood.
        assert_eq!(
            (edit.at, &dragged.file),
            (mover.at, &mover.file.clone().map(|one| one.0)),
            "{}",
            told()
        );
        let figure = edit.text.trim_end_matches(" of the way");
        let figure = figure.rsplit(' ').next().unwrap();
        assert!(
            figure
                .trim_start_matches('-')
                .starts_with(|c: char| c.is_ascii_digit()),
            "{} {edit:?}",
            told()
        );
        // Getting after putting gives what was put, in the text itself.
        let after = put(example, mover, &edit.text);
        let found = thing.place(after.outcome());
        let promised = Point::new(dragged.x, dragged.y);
        assert!(
            found.is_some_and(|found| (found - promised).hypot() < 1e-6),
            "{} {edit:?}: {found:?}",
            told()
        );
        assert!(
            (promised - to).hypot() <= (here - to).hypot() + 1e-9,
            "{} {edit:?}",
            told()
        );
        // And putting that again changes nothing.
        let mut again = after.hands();
        let own = again.movers(thing, 4).unwrap().movers;
        if let Some(own) = own
            .iter()
            .find(|one| one.at.from == mover.at.from && !one.is_option)
        {
            let still = again
                .drag(thing, own, promised, Fineness::AsWritten)
                .unwrap();
            assert!(still.edit.is_none(), "{} {still:?}", told());
        }
    }
    all
}

#[test]
fn the_laws_hold_for_what_can_be_dragged_in_the_examples() {
    let asked = std::env::var("OAKTAG_DRAGS").unwrap_or_else(|_| "2".to_owned());
    println!(
        "{:<32}{:>7}{:>7}{:>9}{:>8}{:>6}{:>10}",
        "", "things", "text", "offered", "import", "held", "no figure"
    );
    let mut kinds: std::collections::BTreeMap<&str, Tally> = Default::default();
    let mut whole = Tally::default();
    for example in examples() {
        let session = example.session();
        let mut all = things(&session);
        if let Ok(count) = asked.parse::<usize>() {
            let mut chance = Chance::new(7919 + example.file.len() as u64);
            let mut some = Vec::new();
            for _ in 0..count.min(all.len()) {
                some.push(all.swap_remove(chance.below(all.len())));
            }
            all = some;
        }
        let mut tally = Tally::default();
        for (kind, thing) in all {
            let movers = lawful(&example, &session, &thing);
            tally.add(&movers);
            whole.add(&movers);
            kinds.entry(kind).or_default().add(&movers);
        }
        println!("{}", tally.row(&example.file));
    }
    for (kind, tally) in &kinds {
        println!("{}", tally.row(kind));
    }
    println!("{}", whole.row("all"));
    assert!(
        whole.text + whole.offered > whole.held,
        "hardly anything moves"
    );
}
