//! What the benches share: how a bench is asked, times, growth, tables, chance, and drafts of any size. Each bench uses a
//! part of it. All of them run with the allocator of the program.

#![allow(dead_code, unreachable_pub)]

pub mod chance;
pub mod drafts;
pub mod table;
pub mod time;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// What was asked on the command line.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// A size of the bench's own: bodies, or how many times the smallest draft.
    pub most: Option<usize>,
    /// A short run, to see that it works: `quick`.
    pub quick: bool,
}

/// What was asked, after `cargo bench --bench NAME --`. Nothing where the tests build and run everything: no time is
/// taken then.
pub fn asked() -> Option<Asked> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let has = |word: &str| words.iter().any(|given| given == word);
    if !has("--bench") || has("--test") || has("--list") {
        return None;
    }
    Some(Asked {
        most: words.iter().find_map(|word| word.parse().ok()),
        quick: has("quick"),
    })
}

impl Asked {
    /// The sizes of a series, as far as was asked for: a quick run stops a hundred times earlier.
    pub fn sizes(self, series: &[usize]) -> Vec<usize> {
        let last = series.iter().copied().max().unwrap_or(0);
        let most = self
            .most
            .unwrap_or(if self.quick { last / 100 } else { last });
        let first = series.first().copied().unwrap_or(0);
        let within = series.iter().copied();
        within.filter(|size| *size <= most.max(first)).collect()
    }

    /// How many seconds to spend on one figure.
    pub fn patience(self) -> f64 {
        if self.quick { 0.02 } else { 0.4 }
    }
}

/// A file of the project, as text, from whichever package of it.
pub fn read(path: &str) -> Result<String, Box<dyn std::error::Error>> {
    let own = env!("CARGO_MANIFEST_DIR").trim_end_matches("/benches/peers");
    let whole = format!("{own}/{path}");
    std::fs::read_to_string(&whole).map_err(|why| format!("{whole}: {why}").into())
}

/// The most memory this process has had, in megabytes; where the system does not tell, nothing.
pub fn most_memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    let kilobytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024.0)
}
