//! The reserved words with their spelling.

use super::tree::{DirectionWord, KindWord, Link};

impl Link {
    /// The single words, in the order in which they are declared.
    pub const ALL: [Link; 35] = [
        Link::From,
        Link::To,
        Link::Through,
        Link::Around,
        Link::Toward,
        Link::At,
        Link::On,
        Link::Onto,
        Link::By,
        Link::For,
        Link::About,
        Link::Over,
        Link::Along,
        Link::Until,
        Link::Near,
        Link::With,
        Link::Leaving,
        Link::Arriving,
        Link::Hollow,
        Link::Into,
        Link::Meets,
        Link::Of,
        Link::Between,
        Link::And,
        Link::Or,
        Link::Not,
        Link::That,
        Link::Is,
        Link::Within,
        Link::Than,
        Link::Above,
        Link::Below,
        Link::Joins,
        Link::As,
        Link::Gives,
    ];

    /// The word by which a draft writes it.
    pub fn word(self) -> &'static str {
        match self {
            Link::From => "from",
            Link::To => "to",
            Link::Through => "through",
            Link::Around => "around",
            Link::Toward => "toward",
            Link::At => "at",
            Link::On => "on",
            Link::Onto => "onto",
            Link::By => "by",
            Link::For => "for",
            Link::About => "about",
            Link::Over => "over",
            Link::Along => "along",
            Link::Until => "until",
            Link::Near => "near",
            Link::With => "with",
            Link::Leaving => "leaving",
            Link::Arriving => "arriving",
            Link::Hollow => "hollow",
            Link::Into => "into",
            Link::Meets => "meets",
            Link::Of => "of",
            Link::Between => "between",
            Link::And => "and",
            Link::Or => "or",
            Link::Not => "not",
            Link::That => "that",
            Link::Is => "is",
            Link::Within => "within",
            Link::Than => "than",
            Link::Above => "above",
            Link::Below => "below",
            Link::Joins => "joins",
            Link::As => "as",
            Link::Gives => "gives",
            Link::OfTheWay => "of the way",
            Link::WayFrom => "of the way from",
            Link::WayAlong => "of the way along",
            Link::LevelOf => "to level of",
            Link::LeavingFor | Link::LeavingShare | Link::ArrivingFor | Link::ArrivingShare => {
                "for"
            }
        }
    }
}

impl Link {
    /// What a wording calls its place: its word, and of which way where one word stands behind two.
    pub(crate) fn place(self) -> &'static str {
        match self {
            Link::LeavingFor => "leaving for",
            Link::LeavingShare => "leaving share",
            Link::ArrivingFor => "arriving for",
            Link::ArrivingShare => "arriving share",
            link => link.word(),
        }
    }

    /// What closes the place behind its argument.
    pub fn close(self) -> &'static str {
        match self {
            Link::LeavingShare | Link::ArrivingShare => " of the way",
            _ => "",
        }
    }
}

impl DirectionWord {
    /// In the order in which they are declared.
    pub const ALL: [DirectionWord; 8] = [
        DirectionWord::Up,
        DirectionWord::Down,
        DirectionWord::Left,
        DirectionWord::Right,
        DirectionWord::Inside,
        DirectionWord::Outside,
        DirectionWord::Clockwise,
        DirectionWord::Anticlockwise,
    ];

    /// The word by which a draft writes it.
    pub fn word(self) -> &'static str {
        match self {
            DirectionWord::Up => "up",
            DirectionWord::Down => "down",
            DirectionWord::Left => "left",
            DirectionWord::Right => "right",
            DirectionWord::Inside => "inside",
            DirectionWord::Outside => "outside",
            DirectionWord::Clockwise => "clockwise",
            DirectionWord::Anticlockwise => "anticlockwise",
        }
    }
}

impl KindWord {
    /// Every kind word, each known by its place.
    pub const ALL: [KindWord; 12] = [
        KindWord::Point,
        KindWord::Line,
        KindWord::Curve,
        KindWord::Length,
        KindWord::Angle,
        KindWord::Area,
        KindWord::Number,
        KindWord::Direction,
        KindWord::Text,
        KindWord::List,
        KindWord::Panel,
        KindWord::Answer,
    ];

    /// The word by which a draft writes it.
    pub fn word(self) -> &'static str {
        match self {
            KindWord::Point => "point",
            KindWord::Line => "line",
            KindWord::Curve => "curve",
            KindWord::Length => "length",
            KindWord::Angle => "angle",
            KindWord::Area => "area",
            KindWord::Number => "number",
            KindWord::Direction => "direction",
            KindWord::Text => "text",
            KindWord::List => "list",
            KindWord::Panel => "panel",
            KindWord::Answer => "answer",
        }
    }
}
