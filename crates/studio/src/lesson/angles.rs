//! Angles for whoever has a ruler and no protractor: how far a thing goes that is turned, the mouth of a turn at a round
//! distance, how far a slanting line falls in a round length.

use super::places::SAME;
use super::speech::{Speech, the_thing, unbracketed};
use super::steps::Maker;
use super::trees;
use kurbo::{Point, Vec2};
use oaktag_language::check::program::Site;
use oaktag_language::draft::record::Entry;
use oaktag_language::kind::Kind;
use oaktag_language::phrase::Value;
use oaktag_language::phrase::aid::Aid;
use oaktag_language::syntax::tree::{Expr, ExprKind, Link};
use oaktag_language::voice::{self, LengthUnit};

/// Most things of which a turn tells how far each goes.
const MOST_TOLD: usize = 4;

/// A round length, to tell a slope or a mouth over: about a hand's span, in the unit that is told.
pub(super) fn round_length(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::Inch => 8.0 * voice::INCH,
        LengthUnit::Millimetre | LengthUnit::Centimetre => 200.0,
    }
}

/// "6.5 cm down in 20 cm", of so many degrees from the level or, `upright`, from the plumb line.
pub(super) fn slope(unit: LengthUnit, degrees: f64, way: &str) -> Option<String> {
    let base = round_length(unit);
    // The steeper, the shorter: what is told fits the sheet.
    let base = [base, base / 2.0, base / 4.0]
        .into_iter()
        .find(|base| base * degrees.to_radians().tan().abs() < 450.0)?;
    let rise = base * degrees.to_radians().tan().abs();
    (rise >= SAME).then(|| format!("{} {way} in {}", unit.length(rise), unit.length(base)))
}

impl Maker<'_> {
    /// "By the ruler, the low tip lies 0.84 cm from the tip.": what a turn by an angle comes to.
    pub(super) fn by_ruler(&self, entry: &Entry, site: &Site) -> Option<String> {
        let (centre, degrees) = entry.aids.iter().find_map(|aid| match aid {
            Aid::Turn { centre, degrees } if degrees.abs() > 1e-6 => Some((*centre, *degrees)),
            _ => None,
        })?;
        let speech = self.speech(entry);
        let expr = unbracketed(trees::value(self.trees.sentence(site)?)?);
        let said = speech.said(expr)?;
        // Where a slash opens, only what lies beyond it goes.
        let is_whole = said.form.head.as_deref() == Some("pivot") && said.one(Link::From).is_none();
        let things: Vec<&Expr> = said.direct.clone();
        let told = is_whole
            .then(|| self.goes(&speech, site, &things, centre))
            .flatten();
        told.or_else(|| {
            let about = speech.noun(said.one(Link::About)?);
            let base = round_length(self.unit);
            let mouth = 2.0 * base * (degrees.abs().to_radians() / 2.0).sin();
            Some(format!(
                "By the ruler, {} from {about} the turn opens {}.",
                self.unit.length(base),
                self.unit.length(mouth)
            ))
        })
    }

    /// How far each of the things goes, straight; none where that cannot be told of all of them.
    fn goes(
        &self,
        speech: &Speech<'_>,
        site: &Site,
        things: &[&Expr],
        centre: Point,
    ) -> Option<String> {
        if things.len() != site.targets.len() || things.len() > MOST_TOLD {
            return None;
        }
        let mut told = Vec::new();
        for ((thing, target), value) in things.iter().zip(&site.targets).zip(&speech.entry.values) {
            let ExprKind::Name(name) = &unbracketed(thing).kind else {
                return None;
            };
            let (old, _) = speech.read(&super::speech::dotted(name))?;
            let own = target.name.rsplit('.').next().unwrap_or_default();
            let is_line = matches!(target.kind, Kind::Line | Kind::Curve);
            let new_name = the_thing(own, &target.kind);
            let old_name = speech.noun(thing);
            match (old, value) {
                (Value::Point(old), Value::Point(new)) => {
                    let far = (*new - *old).hypot();
                    if far < SAME {
                        continue;
                    }
                    told.push(format!(
                        "{new_name} lies {} from {old_name}",
                        self.unit.length(far)
                    ));
                }
                (Value::Path(old), Value::Path(new)) if is_line => {
                    let (from, to) = (old.start().ok()?, old.end().ok()?);
                    let is_start = (from - centre).hypot() > (to - centre).hypot();
                    let (was, is, end) = if is_start {
                        (from, new.start().ok()?, "start")
                    } else {
                        (to, new.end().ok()?, "end")
                    };
                    told.push(format!(
                        "the {end} of {new_name} lies {} from that of {old_name}",
                        self.unit.length((is - was).hypot())
                    ));
                }
                _ => return None,
            }
        }
        (!told.is_empty()).then(|| format!("By the ruler, {}.", voice::list(&told)))
    }

    /// The ends of an arc that is struck by its angle: "By the ruler, its ends lie 12.3 cm apart."
    pub(super) fn arc_by_ruler(&self, speech: &Speech<'_>, expr: &Expr) -> Option<String> {
        let said = speech.said(expr)?;
        if said.form.head.as_deref() != Some("arc") || said.one(Link::By).is_none() {
            return None;
        }
        let Some(Value::Path(arc)) = speech.entry.values.first() else {
            return None;
        };
        let far: Vec2 = arc.end().ok()? - arc.start().ok()?;
        Some(format!(
            "By the ruler, its ends lie {} apart.",
            self.unit.length(far.hypot())
        ))
    }
}
