//! A batch of ten thousand crew shirts: shirts a second and core, the most memory at a hundred, a thousand and ten thousand
//! bodies, and what a second core is worth. The bodies are made from the 254 of `tests/data/body_dimensions.csv` (source in
//! `tests/data/README.md`), each figure moved by up to three parts in a hundred, from a fixed seed.
//!
//! `cargo bench --bench batch`, or with a count: `cargo bench --bench batch -- 1000`.

use oaktag::check::{self, Checked};
use oaktag::draft::Inputs;
use oaktag::draft::bodies::Table;
use oaktag::sizes::answer::{Answer, Verdict};
use oaktag::sizes::ordered::{all_threads, in_order};
use oaktag::sizes::tally::Tally;
use oaktag::syntax::project::{NoFiles, Project};
use std::error::Error;
use std::num::NonZeroUsize;
use std::ops::ControlFlow;
use std::time::Instant;

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

/// A table of so many bodies (xorshift, as Marsaglia gives it).
fn table(people: &[Vec<f64>], count: usize) -> String {
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut random = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
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

/// The most memory this process has had, in megabytes; where the system does not tell, nothing.
fn most_memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    let kilobytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024.0)
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
    let most = std::env::args()
        .filter_map(|word| word.parse().ok())
        .next()
        .unwrap_or(10_000);
    let people = people()?;
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/examples/womens-crew-shirt.draft"
    );
    let text = std::fs::read_to_string(path)?;
    let mut project = Project::load("shirt.draft", &text, &NoFiles, &oaktag::library::module);
    let checked = check::check(&project);
    let one = NonZeroUsize::MIN;
    let mut single = None;
    for count in [100, 1_000, 10_000]
        .into_iter()
        .filter(|count| *count <= most)
    {
        let file = project
            .sources
            .add("bodies.csv", &table(&people, count), false);
        let table = Table::read(&project.sources, file, &checked.program).map_err(|wrong| {
            wrong
                .iter()
                .map(|told| told.message.clone())
                .collect::<Vec<_>>()
                .join(" ")
        })?;
        let (seconds, tally) = batch(&project, &checked, &table, one);
        let rate = count as f64 / seconds;
        let memory = most_memory().map_or("not told".to_owned(), |mb| format!("{mb:.1} MB"));
        println!(
            "{count:>6} bodies, 1 thread: {seconds:.2} s, {rate:.0} shirts/s; most memory so far {memory}; {} well, {} refused, {} fail",
            tally.count(Verdict::Well),
            tally.count(Verdict::Refused),
            tally.count(Verdict::Fails),
        );
        single = Some((table, seconds, rate));
    }
    if let Some((table, seconds, _)) = single {
        let threads = all_threads();
        let (shared, _) = batch(&project, &checked, &table, threads);
        let memory = most_memory().map_or("not told".to_owned(), |mb| format!("{mb:.1} MB"));
        println!(
            "{:>6} bodies, {threads} threads: {shared:.2} s, {:.2} times as fast; most memory {memory}",
            table.len(),
            seconds / shared
        );
    }
    Ok(())
}
