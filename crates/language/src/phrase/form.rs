//! One form of a phrase: its words, what stands behind each of them, and what comes out.

use super::argument::{Asked, CarriesOut, Function};
use super::wording::{ByHand, Taught};
use crate::kind::{Dimension, Kind};
use crate::syntax::guess::Guess;
use crate::syntax::tree::Link;
use std::borrow::Cow;

/// A set of kinds a place takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Takes(u32);

impl Takes {
    /// A point of the sheet.
    pub const POINT: Takes = Takes(1);
    /// A straight line, endless or bounded.
    pub const LINE: Takes = Takes(1 << 1);
    /// A line or a curve.
    pub const PATH: Takes = Takes(1 << 1 | 1 << 2);
    /// A length, in whatever unit it is written.
    pub const LENGTH: Takes = Takes(1 << 3);
    /// An angle without a sense.
    pub const ANGLE: Takes = Takes(1 << 4);
    /// An area, as a product of lengths.
    pub const AREA: Takes = Takes(1 << 5);
    /// A figure without a unit.
    pub const NUMBER: Takes = Takes(1 << 6);
    /// A direction that is the same wherever it is used.
    pub(crate) const DIRECTION: Takes = Takes(1 << 7);
    /// A direction, fixed or settled on the spot.
    pub const BEARING: Takes = Takes(1 << 7 | 1 << 8);
    /// An angle with its sense.
    pub const TURN: Takes = Takes(1 << 9);
    /// Letters in quotation marks.
    pub const TEXT: Takes = Takes(1 << 10);
    /// Yes or no, as a kind.
    pub(crate) const ANSWER: Takes = Takes(1 << 11);
    /// A list, as one value.
    pub const LIST: Takes = Takes(1 << 12);
    /// A panel, all of whose drawn members are taken.
    pub const PANEL: Takes = Takes(1 << 13);
    /// A product of units that has no name.
    pub(crate) const UNNAMED: Takes = Takes(1 << 14);
    /// A length with a sense, to be gone round a circle.
    pub(crate) const LENGTH_ROUND: Takes = Takes(1 << 15);
    /// A point with the sense in which it is gone to round a circle.
    pub(crate) const POINT_ROUND: Takes = Takes(1 << 16);
    /// Points, lines and curves.
    pub const DRAWN: Takes = Takes(1 | 1 << 1 | 1 << 2);
    /// Any figure: length, angle, area or number.
    pub const FIGURE: Takes = Takes(1 << 3 | 1 << 4 | 1 << 5 | 1 << 6);

    /// The kinds of both sets together.
    pub const fn or(self, other: Takes) -> Takes {
        Takes(self.0 | other.0)
    }

    /// Whether a kind is in the set.
    pub fn takes(self, kind: &Kind) -> bool {
        let bit = match kind {
            Kind::Unknown => return true,
            Kind::Point => 1,
            Kind::Line => 1 << 1,
            Kind::Curve => 1 << 2,
            Kind::Quantity(Dimension::LENGTH) => 1 << 3,
            Kind::Quantity(Dimension::ANGLE) => 1 << 4,
            Kind::Quantity(Dimension::AREA) => 1 << 5,
            Kind::Quantity(Dimension::NUMBER) => 1 << 6,
            Kind::Quantity(_) => 1 << 14,
            Kind::Direction => 1 << 7,
            Kind::Bearing => 1 << 8,
            Kind::Turn => 1 << 9,
            Kind::Text => 1 << 10,
            Kind::Answer => 1 << 11,
            Kind::List(_) => 1 << 12,
            Kind::Panel => 1 << 13,
            Kind::LengthRound => 1 << 15,
            Kind::PointRound => 1 << 16,
        };
        self.0 & bit != 0
    }

    /// Whether every kind of the set is in the other.
    pub const fn within(self, other: Takes) -> bool {
        self.0 & !other.0 == 0
    }

    /// Whether no kind is in both sets.
    pub fn disjoint(self, other: Takes) -> bool {
        self.0 & other.0 == 0
    }

    /// The set of one kind, as an operation's parameter asks for it.
    pub fn of(kind: &Kind) -> Takes {
        match kind {
            Kind::Point => Takes::POINT,
            Kind::Line => Takes::LINE,
            Kind::Curve => Takes::PATH,
            Kind::Quantity(Dimension::LENGTH) => Takes::LENGTH,
            Kind::Quantity(Dimension::ANGLE) => Takes::ANGLE,
            Kind::Quantity(Dimension::AREA) => Takes::AREA,
            Kind::Quantity(Dimension::NUMBER) => Takes::NUMBER,
            Kind::Quantity(_) => Takes::UNNAMED,
            Kind::Direction | Kind::Bearing => Takes::BEARING,
            Kind::Turn => Takes::TURN,
            Kind::LengthRound => Takes::LENGTH_ROUND,
            Kind::PointRound => Takes::POINT_ROUND,
            Kind::Text => Takes::TEXT,
            Kind::Answer => Takes::ANSWER,
            Kind::List(_) => Takes::LIST,
            Kind::Panel => Takes::PANEL,
            Kind::Unknown => Takes(u32::MAX),
        }
    }

    /// In words: "a point", "a length or a number".
    pub fn words(self) -> String {
        const NAMES: [(Takes, &str); 15] = [
            (Takes::POINT, "a point"),
            (Takes::LINE, "a line"),
            (Takes(1 << 2), "a curve"),
            (Takes::LENGTH, "a length"),
            (Takes::ANGLE, "an angle"),
            (Takes::AREA, "an area"),
            (Takes::NUMBER, "a number"),
            (Takes::DIRECTION, "a direction"),
            (Takes::TURN, "a turn"),
            (
                Takes::LENGTH_ROUND,
                "a length, `clockwise` or `anticlockwise`",
            ),
            (
                Takes::POINT_ROUND,
                "a point, `clockwise` or `anticlockwise`",
            ),
            (Takes::TEXT, "a text"),
            (Takes::ANSWER, "yes or no"),
            (Takes::LIST, "a list"),
            (Takes::PANEL, "a panel"),
        ];
        let words: Vec<&str> = NAMES
            .iter()
            .filter(|(set, _)| !set.disjoint(self))
            .map(|(_, word)| *word)
            .collect();
        if words.is_empty() {
            return "nothing".into();
        }
        crate::voice::either(&words)
    }
}

/// A place of a form: the direct argument or what follows a linking word.
#[derive(Clone, Debug)]
pub struct Place {
    /// The linking word; none for the direct argument.
    pub link: Option<Link>,
    /// The kinds it takes.
    pub takes: Takes,
    /// Takes several, separated by commas.
    pub many: bool,
    /// May be left out.
    pub optional: bool,
    /// What to call it in a signature.
    pub name: Cow<'static, str>,
    /// What stands in it, for the reference.
    pub doc: Cow<'static, str>,
    /// Exact kind, for an operation's parameters; the built-in forms look at `takes` alone.
    pub kind: Option<Kind>,
}

/// An option after `with`.
#[derive(Clone, Debug)]
pub struct Option_ {
    /// The name that is written after `with`.
    pub name: Cow<'static, str>,
    /// The kinds it takes.
    pub takes: Takes,
    /// What it is and its default.
    pub doc: Cow<'static, str>,
    /// Must be given (an operation's option without a default).
    pub required: bool,
    /// Exact kind, for an operation's options.
    pub kind: Option<Kind>,
}

/// The kind of the result.
#[derive(Clone, Debug)]
pub enum Gives {
    /// The same kind whatever it is given.
    Kind(Kind),
    /// The kind of the first place's argument; several give as many.
    SameAsFirst,
    /// The item of the list that stands in the place of this index.
    ItemOf(usize),
    /// A figure of the kind of those that stand in the place of this index.
    LikeItemsOf(usize),
    /// The dimension's square root.
    RootOfFirst,
}

/// What a form does.
#[derive(Clone)]
pub enum Meaning {
    /// Computed by a function of the program.
    Built(Function),
    /// An operation in the language.
    Operation,
}

/// One form of a phrase: a row of the table, or an operation of a draft.
#[derive(Clone)]
pub struct Form {
    /// The head word; none for a phrase that begins with its argument or linking word.
    pub head: Option<Cow<'static, str>>,
    /// Takes only `HEAD of X`, with one complete operand.
    pub tight: bool,
    /// The direct argument first, then the linking words in the order they are usually said.
    pub places: Vec<Place>,
    /// Options after `with`, in the order of the reference.
    pub options: Vec<Option_>,
    /// The kind of its value.
    pub gives: Gives,
    /// Two lines at most, in the trade's words.
    pub doc: Cow<'static, str>,
    /// A sentence or two in the scene of [`super::table::SCENE`].
    pub example: Cow<'static, str>,
    /// Words that people may try for the head.
    pub also: &'static [&'static str],
    /// Whole forms that people guess.
    pub guessed: Vec<Guess>,
    /// How a lesson says it.
    pub taught: Taught,
    /// How many plain sentences it is worth, in work, for each part it is given.
    pub weight: u64,
    /// By what it is carried out.
    pub meaning: Meaning,
}

/// Begins a row: a form with this head; `""` for none.
pub fn form(head: &'static str) -> Form {
    Form {
        head: (!head.is_empty()).then_some(Cow::Borrowed(head)),
        tight: false,
        places: Vec::new(),
        options: Vec::new(),
        gives: Gives::Kind(Kind::Unknown),
        doc: Cow::Borrowed(""),
        example: Cow::Borrowed(""),
        also: &[],
        guessed: Vec::new(),
        taught: Taught::AS_WRITTEN,
        weight: 1,
        meaning: Meaning::Operation,
    }
}

impl Form {
    fn place(
        mut self,
        link: Option<Link>,
        takes: Takes,
        name: &'static str,
        doc: &'static str,
    ) -> Self {
        self.places.push(Place {
            link,
            takes,
            many: false,
            optional: false,
            name: name.into(),
            doc: doc.into(),
            kind: None,
        });
        self
    }

    /// The direct argument, right after the head.
    #[inline(never)]
    pub fn direct(self, takes: Takes, name: &'static str, doc: &'static str) -> Self {
        self.place(None, takes, name, doc)
    }

    /// A linking word and its argument.
    #[inline(never)]
    pub fn at(self, link: Link, takes: Takes, name: &'static str, doc: &'static str) -> Self {
        self.place(Some(link), takes, name, doc)
    }

    /// The last place may be left out.
    #[inline(never)]
    pub fn optional(mut self) -> Self {
        if let Some(place) = self.places.last_mut() {
            place.optional = true;
        }
        self
    }

    /// The last place takes several.
    #[inline(never)]
    pub fn many(mut self) -> Self {
        if let Some(place) = self.places.last_mut() {
            place.many = true;
        }
        self
    }

    /// `HEAD of X` alone, with one complete operand.
    #[inline(never)]
    pub fn tight(mut self, takes: Takes, name: &'static str, doc: &'static str) -> Self {
        self.tight = true;
        self.place(Some(Link::Of), takes, name, doc)
    }

    /// An option after `with`.
    #[inline(never)]
    pub fn with(mut self, name: &'static str, takes: Takes, doc: &'static str) -> Self {
        self.options.push(Option_ {
            name: name.into(),
            takes,
            doc: doc.into(),
            required: false,
            kind: None,
        });
        self
    }

    /// As much work as so many plain sentences, for each part it is given; one where nothing is said.
    #[inline(never)]
    pub fn costs(mut self, weight: u64) -> Self {
        self.weight = weight;
        self
    }

    /// What comes out is always of this kind.
    #[inline(never)]
    pub fn gives(mut self, kind: Kind) -> Self {
        self.gives = Gives::Kind(kind);
        self
    }

    /// What comes out, by rule.
    #[inline(never)]
    pub(crate) fn gives_by(mut self, gives: Gives) -> Self {
        self.gives = gives;
        self
    }

    /// Documentation and an example the tests run.
    #[inline(never)]
    pub fn says(mut self, doc: &'static str, example: &'static str) -> Self {
        self.doc = doc.into();
        self.example = example.into();
        self
    }

    /// Words that people may try for the head.
    #[inline(never)]
    pub fn also(mut self, words: &'static [&'static str]) -> Self {
        self.also = words;
        self
    }

    /// Forms that people guess, and what to write for them: see [`Guess`].
    #[inline(never)]
    pub fn guessed(mut self, said: &'static [&'static str], write: &'static str) -> Self {
        self.guessed.push(Guess { said, write });
        self
    }

    /// How a lesson names it, as something that is there: a template, see [`super::wording`].
    #[inline(never)]
    pub fn thing(mut self, template: &'static str) -> Self {
        self.taught.thing = Some(template);
        self
    }

    /// How a lesson tells to do it, where it is not enough to name the thing.
    #[inline(never)]
    pub fn act(mut self, template: &'static str) -> Self {
        self.taught.act = Some(template);
        self
    }

    /// A lesson tells to draw it, and names it by the same words.
    #[inline(never)]
    pub fn drawn(mut self, template: &'static str) -> Self {
        self.taught.drawn = Some(template);
        self
    }

    /// What a lesson tells beside the sentence, so that a hand can draw what no ruler gives.
    #[inline(never)]
    pub fn by_hand(mut self, by_hand: ByHand) -> Self {
        self.taught.by_hand = by_hand;
        self
    }

    /// The function, whose parameters are the places in their order, then the options.
    #[inline(never)]
    pub fn means<P>(mut self, function: impl CarriesOut<P>) -> Self {
        self.meaning = Meaning::Built(Function::of(function));
        self
    }

    /// Where the row is at odds with itself: with the parameters of its function, or with a place that its wording names.
    pub fn disagreement(&self) -> Option<String> {
        let Meaning::Built(function) = &self.meaning else {
            return Some("it has no function".into());
        };
        let places = self.places.iter().map(|place| Asked {
            takes: place.takes,
            many: place.many,
            optional: place.optional,
        });
        let options = self.options.iter().map(|option| Asked {
            takes: option.takes,
            many: false,
            optional: !option.required,
        });
        let row: Vec<Asked> = places.chain(options).collect();
        if row.len() != function.asked.len() {
            return Some(format!(
                "it has {} places and options, and its function {} parameters",
                row.len(),
                function.asked.len()
            ));
        }
        let fits = |(own, asked): (&Asked, &Asked)| {
            let alike = (own.many, own.optional) == (asked.many, asked.optional);
            alike && own.takes.within(asked.takes)
        };
        if let Some(at) = row.iter().zip(function.asked).position(|pair| !fits(pair)) {
            return Some(format!("parameter {} is not what its place takes", at + 1));
        }
        self.taught.disagreement(self)
    }

    /// Whether the given linking words are exactly ones it can take: all required, none foreign.
    pub(crate) fn words_fit(&self, direct: bool, links: &[Link]) -> bool {
        let given = |link: Option<Link>| match link {
            None => direct,
            Some(link) => links.contains(&link),
        };
        let known = |link: Option<Link>| self.places.iter().any(|place| place.link == link);
        let mut places = self.places.iter();
        places.all(|place| place.optional || given(place.link))
            && links.iter().all(|link| known(Some(*link)))
            && (!direct || known(None))
    }

    /// Required places that are missing, and given words it does not take (`None` is the direct argument).
    pub(crate) fn words_off(
        &self,
        direct: bool,
        links: &[Link],
    ) -> (Vec<Option<Link>>, Vec<Option<Link>>) {
        let given = |link: Option<Link>| match link {
            None => direct,
            Some(link) => links.contains(&link),
        };
        let missing = self
            .places
            .iter()
            .filter(|p| !p.optional && !given(p.link))
            .map(|p| p.link)
            .collect();
        let foreign = |link: &Option<Link>| !self.places.iter().any(|p| p.link == *link);
        let mut extra: Vec<Option<Link>> = links.iter().map(|l| Some(*l)).filter(foreign).collect();
        if direct && foreign(&None) {
            extra.insert(0, None);
        }
        (missing, extra)
    }

    /// The place of a linking word (none: the direct argument), by index.
    pub fn place_of(&self, link: Option<Link>) -> Option<usize> {
        self.places.iter().position(|p| p.link == link)
    }

    /// The signature as the reference prints it: `swing LENGTH from POINT onto PATH [near POINT]`.
    pub fn signature(&self) -> String {
        self.parts().join(" ")
    }

    /// The same in its parts: the head, if it has one, each place, the options.
    pub fn parts(&self) -> Vec<String> {
        let mut words: Vec<String> = self.head.iter().map(|h| h.to_string()).collect();
        for place in &self.places {
            let name = crate::voice::place(&place.name);
            let said = match place.link {
                None => name,
                Some(link) => format!("{} {name}{}", link.word(), link.close()),
            };
            let said = if place.many {
                format!("{said}, …")
            } else {
                said
            };
            words.push(if place.optional {
                format!("[{said}]")
            } else {
                said
            });
        }
        if !self.options.is_empty() {
            let options: Vec<String> = self
                .options
                .iter()
                .map(|o| format!("{} …", o.name))
                .collect();
            words.push(format!("[with {}]", options.join(", ")));
        }
        words
    }
}

/// Whether two forms could both take one call: same head, words that one call can satisfy for both, and no shared
/// place whose kinds tell them apart.
pub fn overlap(a: &Form, b: &Form) -> bool {
    if a.head != b.head {
        return false;
    }
    let accepts = |form: &Form, other: &Form| {
        other
            .places
            .iter()
            .filter(|p| !p.optional)
            .all(|p| form.place_of(p.link).is_some())
    };
    if !accepts(a, b) || !accepts(b, a) {
        return false;
    }
    // A call may name every place both know; those that one of them must have are in all such calls.
    !a.places.iter().any(|place| {
        b.places.iter().any(|other| {
            let always = !place.optional || !other.optional;
            place.link == other.link && always && place.takes.disjoint(other.takes)
        })
    })
}
