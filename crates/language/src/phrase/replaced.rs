//! Forms that people try and the language does not have, with the form that says the same. A phrase that fits one is answered
//! with the other, filled in with the writer's own words.

use super::form::{Form, Takes, form};
use crate::syntax::tree::Link;
use std::sync::LazyLock;

/// A form that is tried, and what says the same.
pub(crate) struct Replaced {
    /// Its words and what stands in its places.
    pub form: Form,
    /// The same as it is said: `{from}` is what stands behind that word, `{length}` the direct argument of that name; what stands
    /// in `[ ]` is left out where its place was not given.
    pub now: &'static str,
    /// Why it is said so.
    pub why: &'static str,
}

static FORMS: LazyLock<Vec<Replaced>> = LazyLock::new(forms);

/// Every such form of a head (`""`: those without one).
pub(crate) fn of_head(head: &str) -> impl Iterator<Item = &'static Replaced> {
    FORMS
        .iter()
        .filter(move |tried| tried.form.head.as_deref().unwrap_or_default() == head)
}

const WAY: Takes = Takes::BEARING.or(Takes::POINT);

fn tried(form: Form, now: &'static str, why: &'static str) -> Replaced {
    Replaced { form, now, why }
}

const SHARE: &str = "A share says of which way it is one, so that it is not read as a length.";
const LEVEL: &str = "`until` runs to a line; beside a point it stops level with it.";
const THROUGH: &str =
    "A square is drawn from the line: it runs from its foot on the line to the point.";

fn forms() -> Vec<Replaced> {
    let plain = |link, takes, name| (link, takes, name);
    let of =
        |head, direct: Option<(Takes, &'static str)>, places: &[(Link, Takes, &'static str)]| {
            let mut row = form(head);
            if let Some((takes, name)) = direct {
                row = row.direct(takes, name, "").many();
            }
            for &(link, takes, name) in places {
                row = row.at(link, takes, name, "");
            }
            row
        };
    let number = Some((Takes::NUMBER, "share"));
    vec![
        tried(
            of(
                "",
                number,
                &[
                    plain(Link::From, Takes::POINT, "point"),
                    plain(Link::To, Takes::POINT, "point"),
                ],
            ),
            "{share} of the way from {from} to {to}",
            SHARE,
        ),
        tried(
            of("", number, &[plain(Link::Along, Takes::PATH, "line")])
                .at(Link::From, Takes::POINT, "point", "")
                .optional(),
            "{share} of the way along {along}[ from {from}]",
            SHARE,
        ),
        tried(
            of(
                "",
                None,
                &[
                    plain(Link::From, Takes::POINT, "point"),
                    plain(Link::Toward, WAY, "way"),
                    plain(Link::Until, Takes::POINT, "stop"),
                ],
            ),
            "from {from} toward {toward} to level of {until}",
            LEVEL,
        ),
        tried(
            of(
                "square",
                None,
                &[
                    plain(Link::To, Takes::PATH, "line"),
                    plain(Link::At, Takes::POINT, "point"),
                ],
            )
            .at(Link::Toward, WAY, "way", "")
            .optional()
            .at(Link::Until, Takes::POINT, "stop", ""),
            "square to {to} at {at}[ toward {toward}] to level of {until}",
            LEVEL,
        ),
        tried(
            of(
                "square",
                None,
                &[
                    plain(Link::From, Takes::POINT, "point"),
                    plain(Link::Onto, Takes::PATH, "line"),
                ],
            ),
            "square to {onto} through {from}",
            THROUGH,
        ),
        tried(
            of(
                "square",
                None,
                &[
                    plain(Link::To, Takes::PATH, "line"),
                    plain(Link::From, Takes::POINT, "point"),
                ],
            ),
            "square to {to} through {from}",
            THROUGH,
        ),
        tried(
            of(
                "angle",
                None,
                &[
                    plain(Link::Between, Takes::PATH, "line"),
                    plain(Link::And, Takes::PATH, "line"),
                    plain(Link::Near, Takes::POINT, "point"),
                ],
            ),
            "angle between {between} and {and} at {near}",
            "`near` chooses one of several meetings; where an angle is measured is said by `at`.",
        ),
    ]
}
