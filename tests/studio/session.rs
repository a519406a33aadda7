//! A draft at hand: whatever was changed in whatever order, it is as if it had been opened so; what cannot be done leaves it as
//! it was.

use crate::chance::Chance;
use oaktag_language::library;
use oaktag_language::pattern::Issue;
use oaktag_language::report::json;
use oaktag_language::syntax::project::{NoFiles, ReadFault, Reader};
use oaktag_language::voice::LengthUnit;
use oaktag_studio::session::{
    BodyOf, Change, Form, Order, Part, Picture, Refused, Session, Unchanged,
};

const BOX: &str = "\
draft \"Box\"
unit cm
body chest = 80cm between 60cm and 120cm
choose long = 40cm between 20cm and 60cm \"finished\"
panel back {
  line top = from origin toward right for chest / 4
  line side = from end of top toward down for long
  line hem = from end of side toward left for chest / 4
  line centre = from end of hem to origin
}
check \"long enough\" that length of back.side >= 30cm
piece back \"Back\" {
  outline top, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish top, side, hem \"bound\"
}
";

fn open(text: &str) -> Session {
    Session::open("box.draft", text, Box::new(NoFiles), library::MODULES)
}

fn order(form: Form) -> Order {
    Order {
        part: Part::default(),
        issue: Issue::default(),
        form,
        unfinished: false,
    }
}

/// The drawing and the messages, as letters.
fn state(session: &Session) -> (Result<String, Refused>, String) {
    let written = session.write(&order(Form::Svg(Picture::default())));
    let told = json::all_to_json(
        session.sources(),
        &session.outcome().diagnostics,
        session.unit(),
    );
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (written.map(|written| text(written.bytes)), told.to_string())
}

fn body(name: &str) -> Change {
    Change::Body(BodyOf {
        table: "crew.csv".into(),
        bytes: b"name,chest,long\nmate,92,50\ncook,100,25\n".to_vec(),
        name: name.into(),
    })
}

#[test]
fn a_changed_draft_is_as_if_it_had_been_opened_so() {
    let longer = BOX.replace("40cm between", "45cm between");
    let mut changed = open(BOX);
    let at = BOX.find("40cm").unwrap();
    changed
        .change(Change::Edit(at..at + 4, "45cm".into()))
        .unwrap();
    assert_eq!(changed.text(), longer);
    assert!(state(&changed).0.is_ok(), "it is drawn");
    assert_eq!(state(&changed), state(&open(&longer)));
    changed.change(Change::Text(BOX.into())).unwrap();
    assert_eq!(state(&changed), state(&open(BOX)));
}

/// Settings, the body and the unit go with the draft through an edit of its text; a table's bare figures stand in the draft's
/// own unit, whatever people read in.
#[test]
fn values_are_kept_through_an_edit() {
    let laid = |text: &str| {
        let mut session = open(text);
        session.change(body("mate")).unwrap();
        session.change(Change::Value("long=35cm".into())).unwrap();
        session.change(Change::Unit(LengthUnit::Inch)).unwrap();
        session
    };
    let edited = BOX.replace("\"Box\"", "\"Chest\"");
    let mut session = laid(BOX);
    session.change(Change::Text(edited.clone())).unwrap();
    assert_eq!(state(&session).0, state(&laid(&edited)).0);
    let side = |session: &Session| {
        let back = session.outcome().pattern.piece("back").unwrap().clone();
        back.edges[1].path.length().unwrap()
    };
    assert!((side(&session) - 350.0).abs() < 1e-6);
    let top = session.outcome().pattern.piece("back").unwrap().edges[0]
        .path
        .length()
        .unwrap();
    assert!(
        (top - 230.0).abs() < 1e-6,
        "92 cm of chest, a quarter: {top}"
    );
    session.change(Change::NoBody).unwrap();
    let top = session.outcome().pattern.piece("back").unwrap().edges[0]
        .path
        .length()
        .unwrap();
    assert!((top - 200.0).abs() < 1e-6, "{top}");
}

#[test]
fn what_cannot_be_done_leaves_the_draft_as_it_was() {
    let mut session = open(BOX);
    let before = state(&session);
    let refused = session.change(Change::Value("long".into()));
    assert!(matches!(
        refused,
        Err(Unchanged::Told { of_body: false, .. })
    ));
    let refused = session.change(body("bosun"));
    assert!(matches!(refused, Err(Unchanged::NoBody(words)) if words.contains("bosun")));
    let refused = session.change(Change::Edit(3..100_000, String::new()));
    assert!(matches!(refused, Err(Unchanged::NoRange)));
    let utf16 = Change::Body(BodyOf {
        table: "crew.csv".into(),
        bytes: vec![0xff; 7],
        name: "mate".into(),
    });
    assert!(matches!(session.change(utf16), Err(Unchanged::NoTable(_))));
    assert_eq!(state(&session), before);
}

/// One policy: where something is missing, what is cut or counted from is refused; a check that fails is drawn.
#[test]
fn forms_are_refused_for_what_is_missing_and_for_nothing_else() {
    let forms = || {
        [
            Form::Svg(Picture::default()),
            Form::Dxf,
            Form::Json,
            Form::Ticket(Default::default()),
        ]
    };
    let mut session = open(BOX);
    session.change(Change::Value("long=25cm".into())).unwrap();
    assert!(session.outcome().has_errors(), "the check fails");
    for form in forms() {
        assert!(session.write(&order(form)).is_ok());
    }
    let broken = open(&BOX.replace("down for long", "down for lung"));
    for form in [Form::Dxf, Form::Ticket(Default::default())] {
        let refused = broken.write(&order(form)).err();
        assert_eq!(refused, Some(Refused::Unfinished(true)));
    }
}

struct Hook;

impl Reader for Hook {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        match path {
            "block.draft" => Ok(BOX.into()),
            _ => Err(ReadFault::Unreadable("there is no such card".into())),
        }
    }
}

#[test]
fn imports_are_named_and_settings_are_not_taken_for_them() {
    let text = "draft \"Two\"\nunit cm\nimport \"block.draft\" as block\npieces of block\n";
    let mut session = Session::open("two.draft", text, Box::new(Hook), library::MODULES);
    session
        .change(Change::Value("block.long=35cm".into()))
        .unwrap();
    session.change(body("cook")).unwrap();
    let imports: Vec<&str> = session.imports().collect();
    assert_eq!(imports, ["block.draft"]);
    assert!(
        !session.outcome().has_errors(),
        "{:?}",
        session.outcome().diagnostics
    );
}

/// After any chain of chance edits a draft at hand says and draws what a fresh one does.
#[test]
fn any_chain_of_edits_ends_where_a_fresh_draft_begins() {
    for seed in 0..40 {
        let mut chance = Chance::new(seed);
        let mut session = open(BOX);
        for _ in 0..6 {
            let text = session.text().to_owned();
            let from = chance.below(text.len());
            let to = (from + chance.below(12)).min(text.len());
            let letters = ["", "x", "10cm", "\n", "}", "# ", "\"", "right"][chance.below(8)];
            session
                .change(Change::Edit(from..to, letters.into()))
                .unwrap();
            assert_eq!(state(&session), state(&open(session.text())), "{seed}");
        }
    }
}
