//! Conditions: whether they hold, and what was found and wanted where somebody should be told.

use super::fault::{Stop, with_step};
use super::machine::Machine;
use super::printed::printed;
use crate::check::program::{ClaimCode, CompareNode, Node, RelationNode, SiteId};
use crate::kind::{Dimension, Kind};
use crate::pattern::spec::Check;
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::syntax::tree::Comparison;
use crate::voice::{Words, figure};

/// Two lengths within so many millimetres are equal, two angles within so many degrees.
pub(super) const EQUAL: f64 = 0.001;

/// What was found and what was wanted.
#[derive(Clone, Debug, Default)]
pub(super) struct Finding {
    pub measured: Words,
    pub wanted: Words,
    /// How far the figure may still go before it would not hold, in its own measure; less than nothing where it does not.
    pub margin: f64,
}

/// A comparison carried out, its figures as figures: they are put in words only where somebody is told of them.
struct Compared {
    ok: bool,
    margin: f64,
    told: Told,
}

enum Told {
    /// Two values that are not figures, and are only the same or not.
    Values(Value, Value),
    /// Found, a word before what is wanted, and that.
    Plain(f64, &'static str, f64),
    /// A figure found, one wanted, and how far they may lie apart.
    Within(f64, f64, f64),
    /// Found, at least, at most.
    Between(f64, f64, f64),
}

fn between(found: f64, low: f64, high: f64, slack: f64) -> Compared {
    Compared {
        ok: found >= low - slack && found <= high + slack,
        margin: (found - low).min(high - found),
        told: Told::Between(found, low, high),
    }
}

impl Compared {
    fn finding(&self, kind: &Kind) -> Finding {
        let dimension = match kind {
            Kind::Quantity(dimension) => *dimension,
            _ => Dimension::NUMBER,
        };
        // Figures that part where it does not hold are told in as many places as part them.
        let said = |figures: [f64; 4]| {
            if self.ok {
                figures.map(|value| figure::quantity(dimension, value))
            } else {
                figure::apart(dimension, figures)
            }
        };
        let (measured, wanted) = match &self.told {
            Told::Values(found, wanted) => (printed(found, kind), printed(wanted, kind)),
            Told::Plain(found, word, right) => {
                let [measured, wanted, ..] = said([*found, *right, *right, *right]);
                (measured.into(), say!("{}{}", word, wanted))
            }
            Told::Within(found, right, tolerance) => {
                // The edge that it passed is told apart from what was found, too.
                let edge = right + tolerance.copysign(found - right);
                let [measured, wanted, _, within] = said([*found, *right, edge, *tolerance]);
                (measured.into(), say!("{} within {}", wanted, within))
            }
            Told::Between(found, low, high) => {
                let [measured, least, most, _] = said([*found, *low, *high, *high]);
                (measured.into(), say!("{} to {}", least, most))
            }
        };
        Finding {
            measured,
            wanted,
            margin: self.margin,
        }
    }
}

impl<'a> Machine<'a> {
    /// Whether a condition holds.
    ///
    /// # Errors
    /// Where a side of it was not drawn.
    pub(super) fn holds(&mut self, node: &'a Node) -> Result<bool, Stop> {
        match node {
            Node::Not(inner) => Ok(!self.holds(inner)?),
            Node::Both(a, b) => Ok(self.holds(a)? && self.holds(b)?),
            Node::Either(a, b) => Ok(self.holds(a)? || self.holds(b)?),
            Node::Compare(compare) => self.compare(compare).map(|compared| compared.ok),
            _ => match self.eval(node)? {
                Value::Answer(answer) => Ok(answer),
                _ => Err(self.wrong_kind("Yes or no is wanted here.")),
            },
        }
    }

    /// Every comparison of a condition that decides it, in words.
    pub(super) fn findings(
        &mut self,
        node: &'a Node,
        out: &mut Vec<Finding>,
    ) -> Result<bool, Stop> {
        match node {
            Node::Compare(compare) => {
                let compared = self.compare(compare)?;
                out.push(compared.finding(&compare.kind));
                Ok(compared.ok)
            }
            Node::Both(a, b) => {
                let (a, b) = (self.findings(a, out)?, self.findings(b, out)?);
                Ok(a && b)
            }
            Node::Either(a, b) => {
                let (a, b) = (self.findings(a, out)?, self.findings(b, out)?);
                Ok(a || b)
            }
            Node::Not(inner) => Ok(!self.findings(inner, out)?),
            _ => {
                let ok = self.holds(node)?;
                out.push(Finding {
                    measured: if ok { "yes" } else { "no" }.into(),
                    wanted: "yes".into(),
                    margin: endless(ok),
                });
                Ok(ok)
            }
        }
    }

    fn compare(&mut self, compare: &'a CompareNode) -> Result<Compared, Stop> {
        let left = self.eval(&compare.left)?;
        let Value::Quantity(found) = left else {
            let RelationNode::Plain(_, right) = &compare.relation else {
                let message = "Figures are compared.";
                return Err(Diagnostic::error(Code::WrongKind, compare.span, message).into());
            };
            let right = self.eval(right)?;
            let ok = left == right;
            return Ok(Compared {
                ok,
                margin: endless(ok),
                told: Told::Values(left, right),
            });
        };
        let slack = slack(&compare.kind);
        Ok(match &compare.relation {
            RelationNode::Plain(comparison, right) => {
                let right = self.figure(right)?;
                let (ok, word) = plain(*comparison, found, right, slack);
                Compared {
                    ok,
                    margin: match comparison {
                        Comparison::Less | Comparison::AtMost => right - found,
                        Comparison::Equal => -(found - right).abs(),
                        Comparison::AtLeast | Comparison::More => found - right,
                    },
                    told: Told::Plain(found, word, right),
                }
            }
            RelationNode::Within(tolerance, right) => {
                let (tolerance, right) = (self.figure(tolerance)?, self.figure(right)?);
                let off = (found - right).abs();
                Compared {
                    ok: off <= tolerance + slack,
                    margin: tolerance - off,
                    told: Told::Within(found, right, tolerance),
                }
            }
            RelationNode::Between(low, high) => {
                let (low, high) = (self.figure(low)?, self.figure(high)?);
                between(found, low, high, slack)
            }
            RelationNode::Than {
                by,
                up_to,
                more,
                than,
            } => {
                let (by, than) = (self.figure(by)?, self.figure(than)?);
                let up_to = up_to.as_ref().map(|node| self.figure(node)).transpose()?;
                let sign = if *more { 1.0 } else { -1.0 };
                let ends = [than + sign * by, than + sign * up_to.unwrap_or(by)];
                let compared = between(found, ends[0].min(ends[1]), ends[0].max(ends[1]), slack);
                match up_to {
                    Some(_) => compared,
                    None => Compared {
                        told: Told::Plain(found, "", ends[0]),
                        ..compared
                    },
                }
            }
        })
    }

    /// `require`: a limit the body passes is told, and ends the drawing of what follows it.
    pub(super) fn require(&mut self, claim: &'a ClaimCode) -> Result<(), Stop> {
        self.site = Some(claim.site);
        if self.holds(&claim.condition)? {
            return Ok(());
        }
        let mut findings = Vec::new();
        self.findings(&claim.condition, &mut findings)?;
        self.refused |= self.strict == 0;
        let text = self.words(&claim.text)?;
        let span = self.condition_span(claim.site);
        let mut told = Diagnostic::error(Code::Required, span, text.sentence());
        // What is asked of a name is said by the author's words alone.
        for finding in findings
            .iter()
            .filter(|finding| finding.wanted != "yes".into())
        {
            told = told.note(say!(
                "Found {}, and {} is required.",
                finding.measured,
                finding.wanted
            ));
        }
        Err(told.at("does not hold").into())
    }

    /// `check`: judges the drawing.
    pub(super) fn check(&mut self, claim: &'a ClaimCode) -> Result<(), Stop> {
        if self.quiet > 0 {
            return Ok(());
        }
        self.site = Some(claim.site);
        let mut findings = Vec::new();
        let ok = self.findings(&claim.condition, &mut findings)?;
        let margins = findings.iter().map(|finding| finding.margin);
        let margin = margins.fold(f64::INFINITY, f64::min);
        self.record.margins.push((claim.site, margin));
        let text = self.words(&claim.text)?;
        let list = |pick: fn(&Finding) -> &Words| {
            Words::joined(findings.iter().map(|found| pick(found).clone()), "; ")
        };
        let (measured, wanted) = (list(|f| &f.measured), list(|f| &f.wanted));
        self.tags.taken = None;
        let tag = self.tags.tag(self.claim_span(claim.site));
        let letters = |words: &Words| words.in_unit(self.program.unit).into_owned();
        self.drawn.checks.push(Check {
            tag,
            text: letters(&text),
            measured: letters(&measured),
            wanted: letters(&wanted),
            ok,
            reads: self.final_names(claim.site),
            of: self.owner_of(claim),
            redrawn: Vec::new(),
        });
        let message = (!ok).then(|| {
            say!(
                "Check \"{}\" fails: found {}, wanted {}.",
                text,
                measured,
                wanted
            )
        });
        self.note_judged(claim, message.clone(), findings);
        if let Some(message) = message {
            self.charge(super::work::FAILING_CHECK)?;
            let span = self.condition_span(claim.site);
            let told = Diagnostic::error(Code::CheckFails, span, message)
                .at("does not hold")
                .seen(self.last_change(claim.site));
            self.diagnostics
                .push(with_step(told, self.program, Some(claim.site)));
        }
        Ok(())
    }

    fn claim_span(&self, site: SiteId) -> Span {
        self.program
            .site(site)
            .map(|site| site.span)
            .unwrap_or_default()
    }

    fn condition_span(&self, site: SiteId) -> Span {
        self.program
            .site(site)
            .map(|site| site.value)
            .unwrap_or_default()
    }

    /// The names at the end of the draft of what a sentence reads.
    fn final_names(&self, site: SiteId) -> Vec<String> {
        let Some(site) = self.program.site(site) else {
            return Vec::new();
        };
        let names = site.reads.iter();
        let names = names.flat_map(|slot| self.program.names_of(*slot));
        names.map(str::to_owned).collect()
    }

    /// The sentence that last drew one of the lines a check reads.
    fn last_change(&self, site: SiteId) -> Option<(Span, Words)> {
        let info = self.program.site(site)?;
        let latest = info
            .reads
            .iter()
            .filter_map(|slot| self.entry_of(*slot))
            .max()?;
        let drawn = self.record.get(latest)?.site;
        let drawn = self.program.site(drawn)?;
        let name = drawn.targets.first().map(|t| t.name.to_string())?;
        let step = drawn.step.and_then(|id| self.program.step(id));
        let words = match step {
            Some(step) => say!(
                "`{}` was last drawn here, in step {}, \"{}\"",
                name,
                step.number,
                step.name
            ),
            None => say!("`{}` was last drawn here", name),
        };
        Some((drawn.span, words))
    }
}

/// The margin of what is not a matter of more or less.
fn endless(ok: bool) -> f64 {
    if ok { f64::INFINITY } else { f64::NEG_INFINITY }
}

/// How much two figures of a kind may differ and still be equal.
pub(super) fn slack(kind: &Kind) -> f64 {
    match kind {
        Kind::Quantity(Dimension::LENGTH | Dimension::ANGLE) => EQUAL,
        _ => 1e-9,
    }
}

fn plain(comparison: Comparison, a: f64, b: f64, slack: f64) -> (bool, &'static str) {
    match comparison {
        Comparison::Less => (a < b - slack, "less than "),
        Comparison::AtMost => (a <= b + slack, "at most "),
        Comparison::Equal => ((a - b).abs() <= slack, ""),
        Comparison::AtLeast => (a >= b - slack, "at least "),
        Comparison::More => (a > b + slack, "more than "),
    }
}
