//! For whom and as what a pattern is drawn this time: said on the command line, printed on every piece, never part of a
//! draft. A wearer's name is personal data, so nothing prints one unless it was given.

/// What is printed beside the draft's own words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Issue {
    /// The body of a table it is drawn for, by name.
    pub body: Option<String>,
    /// Customer, size or whatever else the user wants to read on the pieces.
    pub made_for: Option<String>,
    /// Which version of the pattern this is, in the user's words.
    pub revision: Option<String>,
}

impl Issue {
    /// As printed, in one line; empty where nothing was given.
    pub fn words(&self) -> String {
        let parts = [
            self.made_for.as_ref().map(|text| format!("for {text}")),
            self.body.as_ref().map(|name| format!("body {name}")),
            self.revision
                .as_ref()
                .map(|text| format!("revision {text}")),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
    }
}
