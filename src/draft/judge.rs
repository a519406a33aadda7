//! The pattern is built and its faults told where the draft says what they concern.

use super::handover::{Tags, print_unit};
use crate::check::program::Program;
use crate::pattern::spec::Drawn;
use crate::pattern::{self, Pattern};
use crate::report::{Diagnostic, Severity, SourceMap};

/// Builds the pattern and tells its faults.
pub fn judge(
    drawn: &Drawn,
    tags: &Tags,
    program: &Program,
    _sources: &SourceMap,
    _before: &[Diagnostic],
) -> (Pattern, Vec<Diagnostic>) {
    let (pattern, faults) = pattern::build(drawn);
    let unit = print_unit(program.unit);
    let told = faults.iter().map(|fault| {
        let span = tags.place(fault.tag).unwrap_or_default();
        let mut diagnostic = match fault.severity {
            Severity::Error => Diagnostic::error(fault.code, span, fault.message(unit)),
            Severity::Warning => Diagnostic::warning(fault.code, span, fault.message(unit)),
        };
        diagnostic = diagnostic.at(fault.label(unit));
        for (tag, words) in fault.see(unit) {
            if let Some(place) = tags.place(tag) {
                diagnostic = diagnostic.see(place, words);
            }
        }
        diagnostic.notes = fault.notes(unit);
        diagnostic.help = fault.help(unit);
        diagnostic
    });
    (pattern, told.collect())
}
