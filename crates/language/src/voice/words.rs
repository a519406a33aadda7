//! Names and lists as they are spoken.

/// Names or other words in a row: `a, b and c`.
pub fn list(words: &[String]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// A name as it is spoken: `back.shoulder_point` is "back shoulder point".
pub fn name(full: &str) -> String {
    full.replace(['.', '_'], " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_spoken() {
        assert_eq!(name("back.shoulder_point"), "back shoulder point");
        assert_eq!(name("arm.top.cap_back"), "arm top cap back");
    }
}
