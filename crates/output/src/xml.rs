//! XML written as it comes: each element on a line of its own, words beside or between its tags, letters escaped. Nothing
//! is kept but the text so far.

/// A document under way.
#[derive(Default)]
pub(crate) struct Xml {
    text: String,
    /// The element begun last still takes attributes.
    is_begun: bool,
}

impl Xml {
    /// A file, with its declaration.
    pub(crate) fn file() -> Self {
        Self {
            text: "<?xml version=\"1.0\" encoding=\"UTF-8\"?>".to_owned(),
            is_begun: false,
        }
    }

    /// Begins an element inside the one begun before. Its attributes follow, in alphabetical order.
    pub(crate) fn begin(&mut self, name: &str) {
        self.begun();
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push('<');
        self.text.push_str(name);
        self.is_begun = true;
    }

    /// Gives the element begun last an attribute.
    pub(crate) fn set(&mut self, name: &str, value: &str) {
        self.set_written(name, |text| {
            push_escaped(text, value, &['&', '<', '>', '"'])
        });
    }

    /// The same, its value written behind what there is; it holds no letters to be escaped.
    pub(crate) fn set_written(&mut self, name: &str, value: impl FnOnce(&mut String)) {
        self.text.push(' ');
        self.text.push_str(name);
        self.text.push_str("=\"");
        value(&mut self.text);
        self.text.push('"');
    }

    /// Ends the element of that name: the innermost that is not ended yet.
    pub(crate) fn end(&mut self, name: &str) {
        if self.is_begun {
            self.text.push_str("/>");
            self.is_begun = false;
        } else {
            self.text.push('\n');
            self.close(name);
        }
    }

    /// Ends the element with words right between its tags.
    pub(crate) fn end_with(&mut self, name: &str, words: &str) {
        self.begun();
        push_escaped(&mut self.text, words, &['&', '<', '>']);
        self.close(name);
    }

    /// Ends the element with words on lines of their own.
    pub(crate) fn end_with_lines(&mut self, name: &str, words: &str) {
        self.begun();
        self.text.push('\n');
        push_escaped(&mut self.text, words, &['&', '<', '>']);
        self.end(name);
    }

    /// The whole text.
    pub(crate) fn finish(self) -> String {
        self.text
    }

    fn begun(&mut self) {
        if self.is_begun {
            self.text.push('>');
            self.is_begun = false;
        }
    }

    fn close(&mut self, name: &str) {
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push('>');
    }
}

/// Letters as data, the special ones among them by their names.
fn push_escaped(text: &mut String, letters: &str, special: &[char]) {
    let mut rest = letters;
    while let Some(at) = rest.find(special) {
        let (plain, from) = rest.split_at(at);
        text.push_str(plain);
        let mut from = from.chars();
        text.push_str(match from.next() {
            Some('&') => "&amp;",
            Some('<') => "&lt;",
            Some('>') => "&gt;",
            _ => "&quot;",
        });
        rest = from.as_str();
    }
    text.push_str(rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_stand_inside_each_other_and_letters_are_data() {
        let mut xml = Xml::default();
        xml.begin("svg");
        xml.set("data-name", "<b> & \"x\"");
        xml.begin("title");
        xml.end_with("title", "<b> & \"x\"");
        xml.begin("text");
        xml.set_written("x", |text| text.push('1'));
        xml.end_with_lines("text", "");
        xml.begin("g");
        xml.end("g");
        xml.end("svg");
        let lines = [
            "<svg data-name=\"&lt;b&gt; &amp; &quot;x&quot;\">",
            "<title>&lt;b&gt; &amp; \"x\"</title>",
            "<text x=\"1\">",
            "",
            "</text>",
            "<g/>",
            "</svg>",
        ];
        assert_eq!(xml.finish(), lines.join("\n"));
    }
}
