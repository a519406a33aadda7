//! Settling measures and choices: `--set` first, then the body, then the import line, then the default; every declared
//! range holds.

use super::fault::Stop;
use super::inputs::SET;
use super::inputs::{Given, Setting};
use super::machine::Machine;
use super::range::outside;
use super::record::ValueId;
use crate::check::nearest_word;
use crate::check::program::{MeasureCode, Range};
use crate::kind::{Dimension, Kind};
use crate::pattern::WearerSide;
use crate::pattern::spec::MeasureUsed;
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::MeasureOf;
use crate::voice::{self, INCH, decimals};

impl<'a> Machine<'a> {
    /// Tells of settings that reach nothing, or several choices.
    pub(super) fn check_settings(&mut self) {
        for sided in self.inputs.sided() {
            let name = voice::name(&sided.name);
            let message =
                format!("`{name}` is of one side of the body, and one half is drawn here.");
            let told = Diagnostic::error(Code::NothingToSet, sided.span, message);
            self.diagnostics.push(told.help(
                "Both halves are drawn by `check`, `draw` and `sizes`; here give one value for either side.",
            ));
        }
        let of_both = |setting: &&Setting| WearerSide::split(&setting.name).is_none();
        for setting in self.inputs.set.iter().filter(of_both) {
            let reached: Vec<&MeasureCode> = self
                .program
                .measures
                .iter()
                .filter(|m| reaches(setting, &m.name))
                .collect();
            let exact = reached.iter().any(|m| m.name == setting.name);
            match reached.as_slice() {
                [] => {
                    let names = self.program.measures.iter().map(|m| m.name.as_str());
                    let message =
                        format!("This draft has no measure or choice `{}`.", setting.name);
                    let mut diagnostic =
                        Diagnostic::error(Code::NothingToSet, setting.span, message);
                    if let Some(near) = nearest_word(&setting.name, names) {
                        diagnostic = diagnostic.meant(near);
                    }
                    self.diagnostics.push(diagnostic);
                }
                [_] => {}
                several if !exact => {
                    let list: Vec<String> =
                        several.iter().map(|m| format!("`{}`", m.name)).collect();
                    let message = format!(
                        "More than one file has a choice `{}`: {}.",
                        setting.name,
                        list.join(", ")
                    );
                    self.diagnostics.push(
                        Diagnostic::error(Code::NothingToSet, setting.span, message)
                            .help("Set it by its full name."),
                    );
                }
                _ => {}
            }
        }
    }

    /// The setting for a measure: by its full name, or by its own name where that is the only one.
    fn setting_for(&self, code: &MeasureCode) -> Option<&'a Setting> {
        let exact = self.inputs.set.iter().rev().find(|s| s.name == code.name);
        exact.or_else(|| {
            let found = self
                .inputs
                .set
                .iter()
                .rev()
                .find(|s| reaches(s, &code.name))?;
            let only = self
                .program
                .measures
                .iter()
                .filter(|m| reaches(found, &m.name))
                .count()
                == 1;
            only.then_some(found)
        })
    }

    /// A choice that the table of bodies has for this one.
    fn choice_of_body(&self, code: &MeasureCode) -> Option<&'a Setting> {
        if code.of == MeasureOf::Body {
            return None;
        }
        self.inputs.body.as_ref()?.measures.get(&code.name)
    }

    /// Settles the measure of that number.
    pub(super) fn settle_measure(&mut self, number: usize) -> Result<(), Stop> {
        let Some(code) = self.program.measures.get(number) else {
            return Ok(());
        };
        self.site = Some(code.site);
        self.put(code.slot, None, None);
        let mut worked_out = false;
        let mut example = false;
        let (value, span) = if let Some(setting) = self.setting_for(code) {
            (self.given(code, setting)?, setting.span)
        } else if let Some(setting) = self.choice_of_body(code) {
            (self.given(code, setting)?, setting.span)
        } else if let (MeasureOf::Body, Some(body)) = (code.of, &self.inputs.body) {
            match body.measures.get(&code.name) {
                Some(setting) => (self.given(code, setting)?, setting.span),
                None if code.is_idle => return Ok(()),
                None if code.worked_out => {
                    worked_out = true;
                    (self.eval(&code.default)?, code.name_span)
                }
                None => {
                    let message =
                        format!("Body `{}` has no {}.", body.name, voice::name(&code.name));
                    let help =
                        "Measure it and add it; another body's figure is never taken for it.";
                    let told = Diagnostic::error(Code::MeasureMissing, code.name_span, message);
                    return Err(told.help(help).into());
                }
            }
        } else if let Some(set) = &code.set_by_import {
            (self.eval(set)?, code.name_span)
        } else {
            worked_out = code.worked_out;
            example = !worked_out
                && code.of == MeasureOf::Body
                && self.sources.is_library(code.name_span.file);
            (self.eval(&code.default)?, code.name_span)
        };
        self.hold_ranges(code, &value, span)?;
        let entry = self.open_entry(code.site);
        self.put(code.slot, Some(value.clone()), entry.map(ValueId::only));
        self.close_entry(entry, vec![value.clone()], None);
        if code.is_idle {
            return Ok(());
        }
        self.drawn.measures.push(MeasureUsed {
            name: code.name.clone(),
            of_body: code.of == MeasureOf::Body,
            value: super::handover::spec_value(&value, &code.kind),
            text: code.text.clone(),
            worked_out,
            example,
        });
        Ok(())
    }

    /// A value from outside, held against the measure's kind.
    fn given(&self, code: &MeasureCode, setting: &Setting) -> Result<Value, Stop> {
        let value = match (&setting.value, &code.kind) {
            (Given::Figure(figure, dimension), Kind::Quantity(wanted)) if dimension == wanted => {
                Value::Quantity(*figure)
            }
            (Given::Text(text), Kind::Text) => Value::Text(text.as_str().into()),
            (Given::Answer(answer), Kind::Answer) => Value::Answer(*answer),
            (given, wanted) => {
                let found = match given {
                    Given::Figure(_, dimension) => Kind::Quantity(*dimension),
                    Given::Text(_) => Kind::Text,
                    Given::Answer(_) => Kind::Answer,
                };
                let message = format!(
                    "`{}` is {}, and {} was given.",
                    code.name,
                    wanted.with_article(),
                    found.with_article()
                );
                let told = |code| Diagnostic::error(code, setting.span, message);
                let told = if let Given::Figure(figure, Dimension::NUMBER) = given
                    && *wanted == Kind::LENGTH
                {
                    self.with_its_unit(told(Code::UnitMissing), code, setting.span, *figure)
                } else {
                    told(Code::WrongKind)
                };
                return Err(told.into());
            }
        };
        if let (Value::Text(text), false) = (&value, code.choices.is_empty())
            && !code
                .choices
                .iter()
                .any(|choice| choice.as_str() == text.as_ref())
        {
            let choices: Vec<String> = code.choices.iter().map(|c| voice::text(c)).collect();
            let message = format!(
                "`{}` is {}, and not \"{text}\".",
                code.name,
                voice::either(&choices)
            );
            let mut told = Diagnostic::error(Code::OutOfRange, setting.span, message);
            if let Some(near) = nearest_word(text, code.choices.iter().map(String::as_str)) {
                told = told.help(format!("Did you mean `{near}`?"));
                told = self.offer_setting(told, setting.span, near);
            }
            return Err(told.into());
        }
        Ok(value)
    }

    /// The message with the figure in each unit in which it lies within the ranges.
    fn with_its_unit(
        &self,
        told: Diagnostic,
        code: &MeasureCode,
        name: Span,
        figure: f64,
    ) -> Diagnostic {
        let units = [("cm", 10.0), ("mm", 1.0), ("in", INCH)];
        let lies = |mm: f64| code.ranges.iter().all(|range| range.holds(figure * mm));
        let units = units.into_iter().filter(|(_, mm)| lies(*mm));
        let written: Vec<String> = units
            .map(|(unit, _)| format!("{}{unit}", decimals(figure, 3)))
            .collect();
        if written.is_empty() {
            return told.help("Give the unit, as in `94cm`, `940mm` or `37in`.");
        }
        let shown: Vec<String> = written.iter().map(|one| format!("`{one}`")).collect();
        let told = told.help(format!("Write {}.", voice::either(&shown)));
        written
            .iter()
            .fold(told, |told, one| self.offer_setting(told, name, one))
    }

    /// The message with another value for a setting that stands at a place; a value given elsewhere is put there by no page.
    fn offer_setting(&self, told: Diagnostic, name: Span, value: &str) -> Diagnostic {
        let text = self.sources.text(name.file);
        if self.sources.name(name.file) != SET {
            return told;
        }
        let start = self.sources.bytes(name).end + 1;
        told.offer(Span::new(name.file, start, text.len()), value)
    }

    fn hold_ranges(&self, code: &MeasureCode, value: &Value, span: Span) -> Result<(), Stop> {
        let Value::Quantity(figure) = value else {
            return Ok(());
        };
        for range in &code.ranges {
            let name = || voice::capital(&voice::name(&code.name));
            let Some(mut told) = outside(range, (*figure, &code.kind), name, span) else {
                continue;
            };
            if !code.text.is_empty() {
                told = told.note(format!("How it is taken: {}.", code.text));
            }
            if code.kind == Kind::LENGTH
                && let Some((unit, written)) = other_unit(*figure, range)
            {
                told = told.help(format!(
                    "Was it measured in {unit}? Then write `{written}`."
                ));
                told = self.offer_setting(told, span, &written);
            }
            return Err(told.into());
        }
        Ok(())
    }
}

/// The unit that a figure was probably measured in, and the figure in it.
fn other_unit(figure: f64, range: &Range) -> Option<(&'static str, String)> {
    let fits = |mm: f64| mm >= range.low && mm <= range.high;
    let said = |figure: f64| decimals(figure, 2);
    let (as_inches, as_centimetres) = (figure / 10.0 * INCH, figure * 10.0);
    if fits(as_inches) {
        return Some(("inches", format!("{}in", said(figure / 10.0))));
    }
    fits(as_centimetres).then(|| ("centimetres", format!("{}cm", said(figure))))
}

fn reaches(setting: &Setting, name: &str) -> bool {
    setting.name == name || name.rsplit('.').next() == Some(setting.name.as_str())
}
