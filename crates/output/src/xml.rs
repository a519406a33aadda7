//! XML as it is written from its first letter to its last: elements each on a line of its own, letters escaped (Extensible
//! Markup Language 1.0, sections 2.4 and 3.1). A tree of a drawing's elements would take longer to build than they to write.

/// A document as far as it is written.
#[derive(Default)]
pub(crate) struct Xml {
    text: String,
}

impl Xml {
    /// Behind the declaration that a file begins with.
    pub(crate) fn file() -> Self {
        Self {
            text: r#"<?xml version="1.0" encoding="UTF-8"?>"#.to_owned(),
        }
    }

    /// Begins an element; its attributes follow.
    pub(crate) fn element(&mut self, name: &str) -> &mut Self {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push('<');
        self.text.push_str(name);
        self
    }

    pub(crate) fn set(&mut self, name: &str, value: &str) -> &mut Self {
        self.text.push(' ');
        self.text.push_str(name);
        self.text.push_str("=\"");
        escape(&mut self.text, value, |letter| {
            matches!(letter, b'&' | b'<' | b'>' | b'"' | b'\'')
        });
        self.text.push('"');
        self
    }

    /// The same, with a value that is written here and has no letters to escape.
    pub(crate) fn set_written(&mut self, name: &str, write: impl FnOnce(&mut String)) -> &mut Self {
        self.text.push(' ');
        self.text.push_str(name);
        self.text.push_str("=\"");
        write(&mut self.text);
        self.text.push('"');
        self
    }

    /// Ends an element that holds nothing.
    pub(crate) fn empty(&mut self) {
        self.text.push_str("/>");
    }

    /// Ends the attributes of an element that holds others, until [`Self::leave`].
    pub(crate) fn enter(&mut self) {
        self.text.push('>');
    }

    pub(crate) fn leave(&mut self, name: &str) {
        self.text.push('\n');
        self.end(name);
    }

    /// Ends an element that holds these words and nothing else.
    pub(crate) fn words(&mut self, words: &str, name: &str) {
        self.text.push('>');
        self.letters(words);
        self.end(name);
    }

    /// The same, with the words on a line of their own.
    pub(crate) fn line_of_words(&mut self, words: &str, name: &str) {
        self.text.push_str(">\n");
        self.letters(words);
        self.leave(name);
    }

    fn letters(&mut self, words: &str) {
        escape(&mut self.text, words, |letter| {
            matches!(letter, b'&' | b'<' | b'>')
        });
    }

    fn end(&mut self, name: &str) {
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push('>');
    }

    /// All that is written.
    pub(crate) fn finish(self) -> String {
        self.text
    }
}

/// Writes letters, those that are markup as entities.
fn escape(text: &mut String, letters: &str, is_markup: impl Fn(u8) -> bool) {
    let mut rest = letters;
    while let Some(at) = rest.bytes().position(&is_markup) {
        let (plain, from) = rest.split_at(at);
        text.push_str(plain);
        text.push_str(match from.as_bytes().first() {
            Some(b'&') => "&amp;",
            Some(b'<') => "&lt;",
            Some(b'>') => "&gt;",
            Some(b'"') => "&quot;",
            _ => "&apos;",
        });
        rest = from.get(1..).unwrap_or("");
    }
    text.push_str(rest);
}
