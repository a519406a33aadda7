//! Every draft of `errors` through every command that takes a draft, as it is called, but within this process. Whatever the
//! command, the draft has the same verdict and the same messages; what cannot be drawn leaves no file and no old file changed;
//! what is written is whole.

mod whole;

use super::{drafts, run};
use oaktag::cli::{Said, run_within};
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Severity;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// A draft that is well, to be compared with.
const GOOD: &str = "draft \"Square\"\nunit cm\npanel back {\n  point b = origin right 20cm\n  point c = origin down 30cm\n  line top = from origin to b\n  line slant = from b to c\n  line centre = from c to origin\n}\npiece back \"Back\" {\n  outline top, slant, centre\n  cut 1 from main\n  grain along centre\n  allow 1cm\n  finish top, slant, centre \"bound\"\n}\n";

/// What stands where a result is to be written.
const OLD: &str = "an old result\n";

/// Files that `draw` makes, and the options that it is given.
const DRAWN: [(&str, &str); 20] = [
    ("svg", ""),
    ("svg", "--hairlines"),
    ("svg", "--lay"),
    ("svg", "--unfold"),
    ("svg", "--allowances off"),
    ("svg", "--scale 1:4"),
    ("png", "--resolution 10"),
    ("pdf", ""),
    ("pdf", "--sheet a4"),
    ("pdf", "--lay"),
    ("dxf", ""),
    ("json", ""),
    ("txt", ""),
    ("csv", ""),
    ("csv", "--table finished"),
    ("csv", "--table lay"),
    ("pdf", "--unfinished --sheet a4"),
    ("dxf", "--unfinished"),
    ("txt", "--unfinished"),
    ("csv", "--unfinished"),
];

/// Files that the other commands make.
const TAUGHT: [(&str, &str); 5] = [
    ("html", ""),
    ("html", "--unfold --unit in"),
    ("pdf", ""),
    ("pdf", "--sheet letter --scale half"),
    ("pdf", "--unfinished"),
];
const COMPARED: [&str; 6] = ["txt", "md", "json", "svg", "pdf", "html"];
const NESTED: [&str; 5] = ["svg", "pdf", "png", "dxf", "json"];

/// A draft of the folder, and what is true of it by reading, checking, drawing and judging it in memory.
struct Case {
    name: String,
    text: String,
    /// Its copy, in a folder of its own.
    file: PathBuf,
    /// `--set` and its values.
    set: Vec<String>,
    /// A table with one body, and whether the draft wants that body.
    table: PathBuf,
    wants_body: bool,
    /// Whether the draft can be drawn for a table.
    has_body: bool,
    /// Whether a value is given for one side of the body.
    is_sided: bool,
    /// Codes and messages, and which of them are errors.
    told: Vec<(String, String, bool)>,
    is_whole: bool,
    /// What can be drawn is, though not all can.
    is_drawn: bool,
    has_errors: bool,
    has_pieces: bool,
    seam: Option<String>,
    /// Something that `--why` can be asked of.
    figure: Option<String>,
    /// Complaints.
    wrong: Vec<String>,
}

impl Case {
    fn of(folder: &Path, name: &str, text: &str) -> Self {
        let at = folder.join(name);
        std::fs::create_dir(&at).unwrap();
        let file = folder.join(format!("{name}.draft"));
        std::fs::write(&file, text).unwrap();
        let set: Vec<String> = text
            .lines()
            .filter_map(|line| line.strip_prefix("# run with --set "))
            .flat_map(|setting| ["--set".to_owned(), setting.to_owned()])
            .collect();
        let body = text
            .lines()
            .find_map(|line| line.strip_prefix("# run for the body "));
        let (body_name, measures) = match body {
            Some(body) => body.split_once(" with ").unwrap(),
            None => ("base", ""),
        };
        let (_, outcome) = run(name, text).drawn();
        let pattern = &outcome.pattern;
        let columns = measures.split(", ").filter(|one| !one.is_empty());
        let mut columns: Vec<(String, String)> = columns
            .map(|one| one.split_once('=').unwrap())
            .map(|(head, cell)| (head.to_owned(), cell.to_owned()))
            .collect();
        // A body of a draft that wants none has what the draft says.
        if columns.is_empty() {
            let own = pattern.measures.iter();
            let own = own.filter(|one| one.of_body && !one.worked_out);
            let figure = own.filter_map(|one| match one.value {
                Value::Length(mm) => Some((one.name.clone(), format!("{mm}mm"))),
                Value::Angle(degrees) => Some((one.name.clone(), format!("{degrees}deg"))),
                _ => None,
            });
            columns.extend(figure);
        }
        let has_body = !columns.is_empty();
        let heads: String = columns.iter().map(|(head, _)| format!(",{head}")).collect();
        let cells: String = columns.iter().map(|(_, cell)| format!(",{cell}")).collect();
        let table = at.with_extension("csv");
        let rows = format!("name,remarks{heads}\n{body_name},none{cells}\n");
        std::fs::write(&table, rows).unwrap();
        let edge = pattern.pieces.iter().find_map(|piece| {
            let edge = piece.edges.iter().find(|edge| edge.length > 0.0)?;
            Some(format!("{}.{}", piece.name, edge.name))
        });
        let seam = pattern.seams.first().map(|seam| seam.name.clone());
        Self {
            name: name.to_owned(),
            text: text.to_owned(),
            file,
            is_sided: set.iter().any(|one| one.contains(".left=")),
            set,
            table,
            wants_body: body.is_some(),
            has_body,
            told: outcome
                .diagnostics
                .iter()
                .map(|told| {
                    let is_error = told.severity == Severity::Error;
                    (
                        told.code.name().to_owned(),
                        told.message.in_unit(outcome.program.unit).into_owned(),
                        is_error,
                    )
                })
                .collect(),
            is_whole: outcome.is_whole(),
            is_drawn: outcome.pattern.unfinished.is_some(),
            has_errors: outcome.has_errors(),
            has_pieces: pattern.pieces.iter().any(|piece| piece.outer().is_some()),
            figure: seam.clone().or(edge),
            seam,
            wrong: Vec::new(),
        }
    }

    /// Where its results are written, and nothing else.
    fn folder(&self) -> PathBuf {
        self.file.with_extension("")
    }

    fn draft(&self) -> &str {
        self.file.to_str().unwrap()
    }

    fn bodies(&self) -> &str {
        self.table.to_str().unwrap()
    }

    /// The values that it wants, the body among them.
    fn values(&self) -> Vec<String> {
        let mut values = self.set.clone();
        if self.wants_body {
            let text = std::fs::read_to_string(&self.table).unwrap();
            let name = text.lines().nth(1).unwrap().split(',').next().unwrap();
            values.extend(["--body".to_owned(), format!("{}:{name}", self.bodies())]);
        }
        values
    }

    /// Runs a command with these arguments and then those values.
    fn oaktag(&mut self, arguments: &[&str], values: &[String]) -> Said {
        let all: Vec<String> = arguments
            .iter()
            .map(|one| (*one).to_owned())
            .chain(values.iter().cloned())
            .collect();
        let said = std::panic::catch_unwind(|| run_within(&all));
        said.unwrap_or_else(|_| {
            self.wrong(arguments, "panics");
            Said {
                status: 101,
                out: String::new(),
                err: String::new(),
            }
        })
    }

    fn wrong(&mut self, arguments: &[&str], words: &str) {
        let line = arguments.join(" ").replace(self.draft(), "DRAFT");
        self.wrong.push(format!("{}: {line}: {words}", self.name));
    }

    fn hold(&mut self, holds: bool, arguments: &[&str], words: &str) {
        if !holds {
            self.wrong(arguments, words);
        }
    }

    /// The status by the one policy: 1 where there is an error.
    fn judged(&mut self, said: &Said, arguments: &[&str]) {
        let wanted = u8::from(self.has_errors);
        if said.status != wanted {
            let words = format!("ends with {}, not {wanted}: {}", said.status, said.err);
            self.wrong(arguments, &words);
        }
    }

    /// Whether every error is told in a text that may break its lines.
    fn tells_all(&mut self, text: &str, arguments: &[&str]) {
        let close = |text: &str| -> String { text.split_whitespace().collect() };
        let text = close(text);
        for (_, message, is_error) in self.told.clone() {
            // Behind the name of its step a sentence begins small.
            let rest = message.trim_start_matches(char::is_alphabetic);
            if is_error && !text.contains(&close(rest)) {
                self.wrong(arguments, &format!("does not tell: {message}"));
            }
        }
    }

    /// Runs what writes a file where an old one stands; whether it is written.
    fn writes(&mut self, arguments: &[&str], ending: &str, values: &[String]) -> (Said, bool) {
        let path = self.folder().join(format!("out.{ending}"));
        std::fs::write(&path, OLD).unwrap();
        let mut all = arguments.to_vec();
        all.extend(["-o", path.to_str().unwrap()]);
        let said = self.oaktag(&all, values);
        let entries = std::fs::read_dir(self.folder()).unwrap();
        let names: Vec<_> = entries.map(|one| one.unwrap().file_name()).collect();
        self.hold(names.len() == 1, &all, &format!("leaves {names:?}"));
        let bytes = std::fs::read(&path).unwrap_or_default();
        let is_new = bytes != OLD.as_bytes();
        if is_new && let Err(why) = whole::is_whole(ending, &bytes) {
            self.wrong(&all, &format!("is not whole: {why}"));
        }
        self.hold(
            said.out.contains(" written.\n") == is_new,
            &all,
            "says what it did not do",
        );
        std::fs::remove_file(&path).unwrap();
        (said, is_new)
    }
}

/// Words by blanks.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(' ').filter(|word| !word.is_empty())
}

/// `check` tells what is so; its messages are what every other command has to tell.
fn check(case: &mut Case) -> String {
    let (draft, values) = (case.draft().to_owned(), case.values());
    let json = ["check", "--format", "json", &draft];
    let said = case.oaktag(&json, &values);
    case.judged(&said, &json);
    let value: serde_json::Value = serde_json::from_str(&said.out).unwrap_or_default();
    case.hold(value["ok"] == !case.has_errors, &json, "is not `ok`");
    let told = value["diagnostics"].as_array().cloned().unwrap_or_default();
    let told: Vec<(String, String, bool)> = told
        .iter()
        .map(|one| {
            let text = |key: &str| one[key].as_str().unwrap_or_default().to_owned();
            (text("code"), text("message"), text("severity") == "error")
        })
        .collect();
    case.hold(told == case.told, &json, "tells something else");
    let plain = ["check", &draft];
    let said = case.oaktag(&plain, &values);
    case.judged(&said, &plain);
    case.tells_all(&said.err, &plain);
    case.hold(
        said.out.contains("All well") != case.has_errors,
        &plain,
        "has another verdict",
    );
    let quiet = case.oaktag(&["check", "--quiet", &draft], &values);
    case.judged(&quiet, &["check", "--quiet"]);
    // The report says how many there are; without it the messages do, above them.
    let head = match case.told.len() {
        0 | 1 => Some(""),
        _ => quiet.err.strip_suffix(&said.err),
    };
    let is_count = |head: &str| head.is_empty() || head.lines().count() == 2;
    case.hold(
        quiet.out.is_empty()
            && head.is_some_and(is_count)
            && quiet.err == format!("{}{}", head.unwrap_or_default(), said.err),
        &["check", "--quiet"],
        "tells something else",
    );
    quiet.err
}

fn draw(case: &mut Case, told: &str) {
    let (draft, values) = (case.draft().to_owned(), case.values());
    let mut forms: Vec<(&str, String)> = DRAWN.map(|(e, more)| (e, more.to_owned())).to_vec();
    if let Some(seam) = &case.seam {
        forms.extend(["svg", "pdf", "png"].map(|ending| (ending, format!("--seam {seam}"))));
    }
    for (ending, more) in forms {
        let mut arguments = vec!["draw", &draft];
        arguments.extend(words(&more));
        let (said, written) = case.writes(&arguments, ending, &values);
        let nothing_to_cut = ending == "dxf" && !case.has_pieces;
        let is_lay = more.contains("--lay") || more.contains("--hairlines");
        let for_the_eye = matches!(ending, "svg" | "png" | "json") && !is_lay;
        let may_lack = for_the_eye || more.contains("--unfinished");
        let wanted = (case.is_whole || case.is_drawn && may_lack) && !nothing_to_cut;
        case.hold(
            written == wanted,
            &arguments,
            &format!("{ending}: written {written}: {}", said.err),
        );
        if nothing_to_cut {
            case.hold(said.status == 1, &arguments, "cuts nothing and is well");
        } else {
            case.judged(&said, &arguments);
        }
        same_messages(case, &said, told, written, &arguments);
    }
}

/// The messages are those of `check`, and behind them at most a line of why nothing was written.
fn same_messages(case: &mut Case, said: &Said, told: &str, written: bool, arguments: &[&str]) {
    match said.err.strip_prefix(told) {
        Some("") if written => {}
        Some(rest) if !written && rest.starts_with("oaktag: ") && rest.lines().count() == 1 => {}
        rest => case.wrong(
            arguments,
            &format!("tells something else: {rest:?} {}", said.err),
        ),
    }
}

fn lesson(case: &mut Case, told: &str) {
    let (draft, values) = (case.draft().to_owned(), case.values());
    for (ending, more) in TAUGHT {
        let mut arguments = vec!["lesson", &draft];
        arguments.extend(words(more));
        let (said, written) = case.writes(&arguments, ending, &values);
        if case.is_sided {
            refuses_a_side(case, &said, written, &arguments);
            continue;
        }
        let may_lack = ending == "html" || more.contains("--unfinished");
        case.hold(
            written == (case.is_whole || case.is_drawn && may_lack),
            &arguments,
            &format!("{ending}: written {written}: {}", said.err),
        );
        case.judged(&said, &arguments);
        // In another unit the figures of a message are others.
        if !more.contains("--unit") {
            same_messages(case, &said, told, written, &arguments);
        }
    }
}

/// One half alone is drawn here.
fn refuses_a_side(case: &mut Case, said: &Said, written: bool, arguments: &[&str]) {
    let refused = said.status == 1 && !written && said.err.contains("one half is drawn here");
    case.hold(refused, arguments, "draws one half for a whole body");
}

fn compare(case: &mut Case, good: &str) {
    let (draft, values) = (case.draft().to_owned(), case.values());
    for old in [good, &draft] {
        let arguments = ["compare", old, &draft];
        if old == good && !values.is_empty() {
            continue;
        }
        let said = case.oaktag(&arguments, &values);
        if case.is_sided {
            case.hold(said.status == 1, &arguments, "is well");
            continue;
        }
        case.judged(&said, &arguments);
        case.tells_all(&said.out, &arguments);
    }
    for ending in COMPARED {
        let arguments = ["compare", &draft, &draft];
        let (said, written) = case.writes(&arguments, ending, &values);
        case.hold(written, &arguments, "is not written");
        if case.is_sided {
            case.hold(said.status == 1, &arguments, "is well");
        } else {
            case.judged(&said, &arguments);
        }
    }
}

/// Many bodies, and the sizes of a set: one of each.
fn bodies(case: &mut Case) {
    let (draft, table) = (case.draft().to_owned(), case.bodies().to_owned());
    let set = case.set.clone();
    let path = case.folder().join("{name}.svg");
    let each = [
        "draw",
        &draft,
        "--bodies",
        &table,
        "-o",
        path.to_str().unwrap(),
    ];
    let check = ["check", &draft, "--bodies", &table];
    let sizes = ["sizes", &draft, "--bodies", &table];
    // What is wrong with the draft itself is told before a table is looked at.
    let no_table = |said: &Said| said.status == 3 && said.err.contains("[body-table]");
    for arguments in [&check[..], &each, &sizes] {
        let said = case.oaktag(arguments, &set);
        let entries: Vec<_> = std::fs::read_dir(case.folder()).unwrap().collect();
        let files = entries.len();
        for entry in entries {
            std::fs::remove_file(entry.unwrap().path()).unwrap();
        }
        if !case.has_body && no_table(&said) {
            case.hold(files == 0, arguments, "writes for no body");
            continue;
        }
        case.judged(&said, arguments);
        let wanted = usize::from(case.is_whole && arguments[0] == "draw");
        case.hold(
            files == wanted,
            arguments,
            &format!("{files} files are written"),
        );
        let all = said.out.clone() + &said.err;
        if arguments[0] == "sizes" {
            case.tells_all(&all, arguments);
        } else if case.has_errors {
            // In a batch one error stands for its body.
            let close = |text: &str| -> String { text.split_whitespace().collect() };
            let all = close(&all);
            let told = case.told.iter().filter(|(.., is_error)| *is_error);
            let is_told = told
                .map(|(_, message, _)| message.trim_start_matches(char::is_alphabetic))
                .any(|rest| all.contains(&close(rest)));
            case.hold(is_told, arguments, &format!("tells no error: {all}"));
        }
    }
    for ending in NESTED {
        let (said, written) = case.writes(&sizes, ending, &set);
        if !case.has_body && no_table(&said) {
            case.hold(!written, &sizes, "writes for no body");
            continue;
        }
        let nothing_to_cut = ending == "dxf" && !case.has_pieces;
        if nothing_to_cut {
            case.hold(said.status == 1, &sizes, "cuts nothing and is well");
        } else {
            case.judged(&said, &sizes);
        }
        // A nest holds no size with which anything is wrong.
        let wanted = !case.has_errors && !nothing_to_cut;
        let words = format!("{ending}: written {written}: {}{}", said.out, said.err);
        case.hold(written == wanted, &sizes, &words);
    }
}

/// What moves a figure, and the search for a body on which the draft fails.
fn asked(case: &mut Case, told: &str) {
    let (draft, values) = (case.draft().to_owned(), case.values());
    let name = case.figure.clone();
    let arguments = [
        "check",
        &draft,
        "--why",
        name.as_deref().unwrap_or("nowhere"),
    ];
    let said = case.oaktag(&arguments, &values);
    match name {
        _ if case.is_sided => case.hold(said.status == 2, &arguments, "draws one half"),
        Some(_) => {
            case.judged(&said, &arguments);
            case.tells_all(&said.err, &arguments);
        }
        None => {
            case.hold(said.status == 2, &arguments, "finds what is not there");
            same_messages(case, &said, told, false, &arguments);
        }
    }
    let arguments = ["check", &draft, "--search", "--tries", "2"];
    let said = case.oaktag(&arguments, &values);
    if case.is_sided {
        case.hold(said.status == 2, &arguments, "draws one half");
    } else if case.has_errors {
        let sent = said.err.contains("first mend what `oaktag check");
        case.hold(said.status == 1 && sent, &arguments, "searches");
    } else {
        case.hold(said.status != 101, &arguments, "ends badly");
    }
}

/// Laid out, a draft means what it meant; where a sentence cannot be read, that one stays.
fn tidy(case: &mut Case) {
    let copy = case.folder().join(case.file.file_name().unwrap());
    std::fs::write(&copy, &case.text).unwrap();
    let path = copy.to_str().unwrap();
    let arguments = ["tidy", "--check", path];
    let checked = case.oaktag(&arguments, &[]);
    let untouched = std::fs::read_to_string(&copy).unwrap() == case.text;
    case.hold(untouched, &arguments, "touches the draft");
    let arguments = ["tidy", path];
    let said = case.oaktag(&arguments, &[]);
    let after = std::fs::read_to_string(&copy).unwrap();
    if said.status == 0 {
        let codes = |told: &[(String, String, bool)]| -> Vec<String> {
            told.iter().map(|(code, ..)| code.clone()).collect()
        };
        let told = run(&case.name, &after).told();
        let again: Vec<String> = told.iter().map(|one| one.code.name().to_owned()).collect();
        case.hold(
            codes(&case.told) == again,
            &arguments,
            "changes the meaning",
        );
        let changed = after != case.text;
        case.hold(
            checked.status == u8::from(changed),
            &arguments,
            "is of two minds",
        );
        let again = case.oaktag(&["tidy", "--check", path], &[]);
        case.hold(again.status == 0, &arguments, "is not tidy when tidied");
    } else {
        case.hold(said.status == 1, &arguments, "ends badly");
        let told = run(&case.name, &after).told();
        let again: Vec<String> = told.iter().map(|one| one.code.name().to_owned()).collect();
        let were: Vec<String> = case.told.iter().map(|(code, ..)| code.clone()).collect();
        case.hold(were == again, &arguments, "changes what is wrong");
        let codes = said.err.lines().filter_map(|line| {
            let (code, _) = line.strip_prefix('[')?.split_once(']')?;
            Some(code.to_owned())
        });
        let codes: Vec<String> = codes.collect();
        case.hold(!codes.is_empty(), &arguments, "does not say why");
        let known = codes
            .iter()
            .all(|code| case.told.iter().any(|(c, ..)| c == code));
        case.hold(known, &arguments, "tells what `check` does not");
    }
    std::fs::remove_file(&copy).unwrap();
}

#[test]
fn every_draft_has_one_verdict_by_every_command() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::create_dir(at.join("beside")).unwrap();
    for entry in std::fs::read_dir(super::folder().join("beside")).unwrap() {
        let from = entry.unwrap().path();
        std::fs::copy(&from, at.join("beside").join(from.file_name().unwrap())).unwrap();
    }
    let good = at.join("good.draft");
    std::fs::write(&good, GOOD).unwrap();
    let good = good.to_str().unwrap();
    let drafts = drafts();
    let next = AtomicUsize::new(0);
    let wrong = Mutex::new(Vec::new());
    let labour = || {
        while let Some((name, text)) = drafts.get(next.fetch_add(1, Ordering::Relaxed)) {
            let mut case = Case::of(at, name, text);
            let told = check(&mut case);
            draw(&mut case, &told);
            lesson(&mut case, &told);
            compare(&mut case, good);
            bodies(&mut case);
            asked(&mut case, &told);
            tidy(&mut case);
            wrong.lock().unwrap().extend(case.wrong);
        }
    };
    std::thread::scope(|scope| {
        // More than there are processors: most of a run waits until the disk has its file.
        for _ in 0..8 {
            scope.spawn(labour);
        }
    });
    let wrong = wrong.into_inner().unwrap();
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
}
