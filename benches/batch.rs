//! A batch of ten thousand crew shirts: shirts a second and core, the most memory from a hundred to ten thousand bodies, the
//! exponent with which the time grows (1 is linear), and what a second core is worth. The bodies are made from the 254 of `tests/data/body_dimensions.csv` (source in
//! `tests/data/README.md`), each figure moved by up to three parts in a hundred, from a fixed seed.
//!
//! `cargo bench --bench batch`, or with a count: `cargo bench --bench batch -- 1000`.

mod support;

use oaktag_language::check::{self, Checked};
use oaktag_language::draft::Inputs;
use oaktag_language::draft::bodies::Table;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_studio::sizes::answer::{Answer, Verdict};
use oaktag_studio::sizes::ordered::{all_threads, in_order};
use oaktag_studio::sizes::tally::Tally;
use std::error::Error;
use std::num::NonZeroUsize;
use std::ops::ControlFlow;
use std::time::Instant;
use support::chance::Chance;
use support::table::{Table as Rows, at_least, seconds};
use support::time::exponent;
use support::{asked, most_memory, read};

const COLUMNS: [&str; 6] = ["hgt", "che_gi", "wai_gi", "hip_gi", "bic_gi", "wri_gi"];

/// Stature and girths of each of the women, in centimetres.
fn people() -> Result<Vec<Vec<f64>>, Box<dyn Error>> {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/body_dimensions.csv"
    );
    let mut table = csv::Reader::from_path(path)?;
    let headers = table.headers()?.clone();
    let column = |name: &str| {
        headers
            .iter()
            .position(|head| head == name)
            .unwrap_or_default()
    };
    let sex = column("sex");
    let mut people = Vec::new();
    for row in table.records() {
        let row = row?;
        if row.get(sex) == Some("0") {
            let cell = |name: &&str| row.get(column(name)).unwrap_or_default().parse();
            people.push(COLUMNS.iter().map(cell).collect::<Result<_, _>>()?);
        }
    }
    Ok(people)
}

/// A table of so many bodies.
fn table(people: &[Vec<f64>], count: usize) -> String {
    let mut chance = Chance::new(0x2545_f491_4f6c_dd1d);
    let mut random = || chance.share();
    let mut text = String::from(
        "name,stature [cm],upper_chest_girth [cm],waist_girth [cm],hip_girth [cm],upper_arm_girth [cm],wrist_girth [cm]\n",
    );
    for number in 0..count {
        let person = people.get((random() * people.len() as f64) as usize);
        text.push_str(&format!("body_{number}"));
        for figure in person.into_iter().flatten() {
            text.push_str(&format!(",{:.2}", figure * (0.97 + 0.06 * random())));
        }
        text.push('\n');
    }
    text
}

fn batch(
    project: &Project,
    checked: &Checked,
    table: &Table,
    threads: NonZeroUsize,
) -> (f64, Tally) {
    let inputs = Inputs::default();
    let mut tally = Tally::default();
    let began = Instant::now();
    let work = |number| Answer::of_body(project, checked, &inputs, table, number);
    in_order(0..table.len(), threads, work, |_, answer| {
        if let Ok(answer) = answer {
            tally.add(&answer);
        }
        ControlFlow::Continue(())
    });
    (began.elapsed().as_secs_f64(), tally)
}

fn main() -> Result<(), Box<dyn Error>> {
    let Some(asked) = asked() else {
        return Ok(());
    };
    let people = people()?;
    let text = read("examples/womens-crew-shirt.draft")?;
    let mut project = Project::load(
        "shirt.draft",
        &text,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let checked = check::check(&project);
    let mut printed = Printed::new();
    let mut pairs = Vec::new();
    let mut largest = None;
    for count in asked.sizes(&[100, 300, 1_000, 3_000, 10_000]) {
        let file = project.sources.add("bodies.csv", &table(&people, count));
        let table = Table::read(&project.sources, file, &checked.program).map_err(|wrong| {
            wrong
                .iter()
                .map(|told| told.message.in_unit(MM).into_owned())
                .collect::<Vec<_>>()
                .join(" ")
        })?;
        let (taken, tally) = batch(&project, &checked, &table, NonZeroUsize::MIN);
        printed.row(count, NonZeroUsize::MIN, taken, &tally);
        pairs.push((count as f64, taken));
        largest = Some((table, taken));
    }
    let Some((table, alone)) = largest else {
        return Ok(());
    };
    let threads = all_threads();
    let (shared, tally) = batch(&project, &checked, &table, threads);
    printed.row(table.len(), threads, shared, &tally);
    printed.table.print("Crew shirts, a body each");
    let rate = table.len() as f64 / alone;
    println!(
        "  {rate:.0} a second and core (goal 500, {}); growth exponent {:.2}; {threads} threads {:.2} times as fast\n",
        at_least(rate, 500.0),
        exponent(&pairs),
        alone / shared
    );
    Ok(())
}

/// The table that is printed.
struct Printed {
    table: Rows,
}

impl Printed {
    fn new() -> Self {
        let heads = [
            "bodies",
            "threads",
            "time",
            "a second",
            "most memory so far",
            "well",
            "refused",
            "fail",
        ];
        Self {
            table: Rows::new(&heads),
        }
    }

    fn row(&mut self, bodies: usize, threads: NonZeroUsize, taken: f64, tally: &Tally) {
        let memory = most_memory().map_or("not told".to_owned(), |mb| format!("{mb:.1} MB"));
        let counts = [Verdict::Well, Verdict::Refused, Verdict::Fails];
        let row = [
            bodies.to_string(),
            threads.to_string(),
            seconds(taken),
            format!("{:.0}", bodies as f64 / taken),
            memory,
        ];
        let counts = counts.map(|verdict| tally.count(verdict).to_string());
        self.table.row(row.into_iter().chain(counts));
    }
}
