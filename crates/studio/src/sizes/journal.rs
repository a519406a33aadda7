//! The journal of a batch: answers as lines of JSON under a heading that says of which draft, table and settings they are.
//! A batch that was broken off goes on behind the last whole line; a journal of anything else is refused, not continued.

use super::answer::Answer;
use oaktag_language::report::SourceMap;
use serde::{Deserialize, Serialize};

/// The heading of a journal.
#[derive(Debug, Serialize, Deserialize)]
struct Heading {
    batch: String,
}

/// What a batch is of: every file and setting that its answers depend on, and the program's own version, as a number.
/// FNV-1a in 64 bits, from memory of its published definition: it has to tell batches apart, not to resist anybody.
pub fn mark_of(sources: &SourceMap, settings: &[String]) -> String {
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut take = |text: &str| {
        // A byte that no text holds parts one from the next.
        for byte in text.bytes().chain([0xff]) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(PRIME);
        }
    };
    take(env!("CARGO_PKG_VERSION"));
    for (_, file) in sources.files() {
        take(&file.name);
        take(&file.text);
    }
    for setting in settings {
        take(setting);
    }
    format!("{hash:016x}")
}

/// The first line of a journal, with the mark of the batch that it belongs to.
pub fn heading(mark: &str) -> String {
    let heading = Heading {
        batch: mark.to_owned(),
    };
    let line = serde_json::to_string(&heading).unwrap_or_default();
    format!("{line}\n")
}

/// What stands in a journal.
#[derive(Debug, Default)]
pub struct Kept {
    /// Answers, from the first body on.
    pub answers: Vec<Answer>,
    /// Bytes up to the end of the last whole line; what stands behind was broken off.
    pub bytes: usize,
}

/// Reads a journal; `name` gives the name of each body, from the first on. What was broken off goes on, wherever it was.
///
/// # Errors
/// Where it is the journal of another batch, or of other bodies, or none, in words.
pub fn read(
    text: &[u8],
    mark: &str,
    name: impl Fn(usize) -> Option<String>,
) -> Result<Kept, String> {
    let mut kept = Kept::default();
    let whole = heading(mark);
    // Broken off in its heading, or right behind it: nothing was answered yet.
    if text.len() < whole.len() && whole.as_bytes().starts_with(text) {
        return Ok(kept);
    }
    let mut lines = text.split_inclusive(|byte| *byte == b'\n');
    let Some(first) = lines.next() else {
        return Ok(kept);
    };
    match serde_json::from_slice::<Heading>(first) {
        Ok(heading) if heading.batch == mark => kept.bytes = first.len(),
        Ok(_) => {
            return Err("is the journal of another batch: the draft, the table or a setting has changed since. Remove it, or name another".into());
        }
        Err(_) => return Err("is no journal of a batch, and is left as it is".into()),
    }
    for line in lines.take_while(|line| line.ends_with(b"\n")) {
        match serde_json::from_slice(line) {
            Ok(answer) => {
                is_next(&answer, name(kept.answers.len()), kept.answers.len())?;
                kept.answers.push(answer);
            }
            Err(_) => break,
        }
        kept.bytes += line.len();
    }
    Ok(kept)
}

/// Holds an answer against the body of the table whose turn it is.
fn is_next(answer: &Answer, name: Option<String>, number: usize) -> Result<(), String> {
    let line = number + 2;
    let wrong = match name {
        Some(name) if name == answer.name => return Ok(()),
        Some(name) => format!("is of `{}` where the table has `{name}`", answer.name),
        None => format!("is of `{}`, and the table has no more bodies", answer.name),
    };
    Err(format!(
        "does not go with the table: its line {line} {wrong}. Remove it, or name another"
    ))
}
