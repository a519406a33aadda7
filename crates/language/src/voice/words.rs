//! Names, lists and counts as they are spoken.

/// Letters of a name on paper and in tables, which name what the draft calls so: `back.shoulder_point` is "back shoulder point".
pub fn letters(full: &str) -> String {
    let words: Vec<&str> = full
        .split(['.', '_', ' '])
        .filter(|w| !w.is_empty())
        .collect();
    words.join(" ")
}

/// A name in a sentence: as its letters, and `cb` is "CB", `womens_block` "women's block".
pub fn name(full: &str) -> String {
    // Centre back and centre front are written in capitals wherever patterns are cut; no name can have an apostrophe.
    let said = |word: &'_ str| match word {
        "cb" => "CB".to_owned(),
        "cf" => "CF".to_owned(),
        "mens" | "womens" | "childrens" => format!("{}'s", word.trim_end_matches('s')),
        other => other.to_owned(),
    };
    let words: Vec<String> = letters(full).split(' ').map(said).collect();
    words.join(" ")
}

/// A name in a sentence, without its panel.
pub fn own_name(full: &str) -> String {
    name(full.rsplit('.').next().unwrap_or(full))
}

/// A name with its article: "the neck point"; what is numbered has none: "fold 1".
pub fn the(full: &str) -> String {
    let said = name(full);
    let last = said.rsplit(' ').next().unwrap_or_default();
    if !last.is_empty() && last.chars().all(|c| c.is_ascii_digit()) {
        said
    } else {
        format!("the {said}")
    }
}

/// Words of a name that say how something is and not what; and so do those that end in `ed`.
const HOW: [&str; 18] = [
    "sewn", "upper", "lower", "inner", "outer", "over", "under", "on", "out", "in", "off", "up",
    "down", "drawn", "cut", "taken", "given", "left",
];

/// Words that say where something is, and begin a name that says no more: the point "at armhole".
const WHERE: [&str; 9] = [
    "at", "by", "from", "of", "to", "above", "below", "beside", "behind",
];

/// The same of a line, an edge, a point or a figure: where the name says only how or where it is, with what it is: "the
/// turned edge", "the point at armhole".
pub fn the_thing(full: &str, what: &str) -> String {
    let says_how = |word: &str| HOW.contains(&word) || (word.len() > 4 && word.ends_with("ed"));
    let said = name(full);
    let mut words = said.split(' ');
    if said.contains(' ') && words.next().is_some_and(|first| WHERE.contains(&first)) {
        format!("the {what} {said}")
    } else if said.split(' ').all(says_how) {
        format!("{} {what}", the(full))
    } else {
        the(full)
    }
}

/// The name of a place to be filled in: `turned_to` is "TURNED TO".
pub fn place(name: &str) -> String {
    letters(name).to_uppercase()
}

/// With a capital letter first.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// With a small letter first.
pub fn small(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

/// All of them: `a, b and c`.
pub fn list<S: AsRef<str>>(words: &[S]) -> String {
    joined(words, "and")
}

/// One of them: `a, b or c`.
pub fn either<S: AsRef<str>>(words: &[S]) -> String {
    joined(words, "or")
}

/// The first few of many: `a, b and 3 more`.
pub fn few<S: AsRef<str>>(words: &[S], most: usize) -> String {
    let shown: Vec<&str> = words.iter().take(most).map(AsRef::as_ref).collect();
    let rest = words.len() - shown.len();
    if rest == 0 {
        return shown.join(", ");
    }
    format!("{} and {rest} more", shown.join(", "))
}

fn joined<S: AsRef<str>>(words: &[S], last_by: &str) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} {last_by} {last}", rest.join(", ")),
    }
}

/// A word as a draft writes it.
pub fn written(word: &str) -> String {
    format!("`{word}`")
}

/// A text as a draft writes it.
pub fn text(words: &str) -> String {
    format!("\"{words}\"")
}

/// "1 seam", "3 seams", "2 notches", "5 bodies".
pub fn count(number: usize, one: &str) -> String {
    let many = match one.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'o', 'u']) => format!("{stem}ies"),
        _ if one.ends_with("ch") || one.ends_with("sh") => format!("{one}es"),
        _ => format!("{one}s"),
    };
    format!("{number} {}", agree(number, one, &many))
}

/// The word that goes with so many: "is" or "are".
pub fn agree<'w>(number: usize, one: &'w str, many: &'w str) -> &'w str {
    if number == 1 { one } else { many }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_spoken() {
        assert_eq!(name("back.shoulder_point"), "back shoulder point");
        assert_eq!(name("arm.top.cap_back"), "arm top cap back");
        assert_eq!(name("skirt.cb"), "skirt CB");
        assert_eq!(letters("skirt.cb"), "skirt cb");
        assert_eq!(own_name("skirt.cb_notch"), "CB notch");
        assert_eq!(place("turned_to"), "TURNED TO");
        assert_eq!(the_thing("at_armhole", "point"), "the point at armhole");
        assert_eq!(the_thing("taken_in", "length"), "the taken in length");
        assert_eq!(the_thing("to", "line"), "the to");
        assert_eq!(the_thing("neck_point", "point"), "the neck point");
        assert_eq!(capital("école"), "École");
        assert_eq!(small(&capital("")), "");
    }

    #[test]
    fn lists_and_counts_are_spoken() {
        assert_eq!(list::<&str>(&[]), "");
        assert_eq!(list(&["a"]), "a");
        assert_eq!(list(&["a", "b"]), "a and b");
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
        assert_eq!(few(&["a", "b"], 2), "a, b");
        assert_eq!(few(&["a", "b", "c"], 2), "a, b and 1 more");
        assert_eq!(count(1, "notch"), "1 notch");
        assert_eq!(count(0, "notch"), "0 notches");
        assert_eq!(count(2, "seam"), "2 seams");
        assert_eq!(count(1, "body"), "1 body");
        assert_eq!(count(3, "body"), "3 bodies");
        assert_eq!(count(3, "way"), "3 ways");
    }
}
