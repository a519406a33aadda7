//! The words of a text, without reading it. The build script takes this file, too, to cut the library once and for all.

/// Names, and whatever looks like one in remarks and strings.
pub(super) fn plain_words(text: &str) -> impl Iterator<Item = &str> {
    text.as_bytes()
        .split(|byte| !(byte.is_ascii_alphanumeric() || *byte == b'_'))
        .filter(|word| !word.is_empty())
        .filter_map(|word| std::str::from_utf8(word).ok())
}
