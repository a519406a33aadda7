//! The table itself: every built-in row, found by its head.

use super::family;
use super::form::Form;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What the examples of the rows may name: two lines square to each other, a neck, a hem and a few points on a small
/// panel, drawn before each example runs.
pub const SCENE: &str = include_str!("scene.draft");

/// Heads that are words of the trade for other things too: they may be names, wherever no phrase can stand.
const NAMES_TOO: [&str; 9] = [
    "rise", "run", "mouth", "opening", "turn", "slope", "foot", "bow", "spread",
];

static TABLE: LazyLock<Table> = LazyLock::new(|| Table::new(family::all()));

/// The rows that the program knows by itself, found by their heads.
pub struct Table {
    forms: Vec<Form>,
    by_head: BTreeMap<String, Vec<usize>>,
}

impl Table {
    /// The phrases that the program knows by itself.
    pub fn built_in() -> &'static Table {
        &TABLE
    }

    fn new(forms: Vec<Form>) -> Self {
        debug_assert_eq!(forms.iter().find_map(Form::disagreement), None);
        let mut by_head: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, form) in forms.iter().enumerate() {
            let head = form.head.as_deref().unwrap_or_default();
            by_head.entry(head.to_owned()).or_default().push(at);
        }
        Self { forms, by_head }
    }

    /// Every row in the order of the reference.
    pub fn forms(&self) -> &[Form] {
        &self.forms
    }

    /// The row of that number.
    pub fn get(&self, at: usize) -> Option<&Form> {
        self.forms.get(at)
    }

    /// The rows of a head (`""`: those without one), with their numbers.
    pub(crate) fn with_head(&self, head: &str) -> impl Iterator<Item = (usize, &Form)> {
        let numbers = self
            .by_head
            .get(head)
            .map(Vec::as_slice)
            .unwrap_or_default();
        numbers
            .iter()
            .filter_map(|&at| Some((at, self.forms.get(at)?)))
    }

    /// Whether a head may be a name too.
    pub(crate) fn is_name_too(&self, head: &str) -> bool {
        NAMES_TOO.contains(&head)
    }

    /// The head that does what people may call otherwise.
    pub fn head_also(&self, word: &str) -> Option<&str> {
        let form = self.forms.iter().find(|form| form.also.contains(&word))?;
        form.head.as_deref()
    }

    /// Whether a word begins a phrase.
    pub fn is_head(&self, word: &str) -> bool {
        !word.is_empty() && self.by_head.contains_key(word)
    }

    /// Every head word in alphabetical order.
    pub fn heads(&self) -> impl Iterator<Item = &str> {
        self.by_head
            .keys()
            .map(String::as_str)
            .filter(|head| !head.is_empty())
    }
}
