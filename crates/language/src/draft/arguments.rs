//! What an operation is given: held against the ranges and the texts that its parameters list, and shown in the message of a
//! fault inside.

use super::fault::Stop;
use super::machine::{Frame, Machine};
use super::printed::printed;
use super::range::outside;
use crate::check::program::{ArgumentRange, ArgumentTexts, Node, OperationCall, Routine, Slot};
use crate::kind::Kind;
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::voice::{self, Words};

impl Machine<'_> {
    /// Every argument is within what its parameter says.
    ///
    /// # Errors
    /// With the first that is not, at its place in the call.
    pub(super) fn hold_arguments(
        &self,
        frame: &Frame,
        routine: &Routine,
        call: &OperationCall,
    ) -> Result<(), Stop> {
        for bounded in &routine.ranges {
            self.hold_argument(bounded, frame, routine, call)?;
        }
        for listed in &routine.texts {
            self.hold_text(listed, frame, routine, call)?;
        }
        Ok(())
    }

    /// An argument outside the range its operation declares is refused at the call.
    fn hold_argument(
        &self,
        bounded: &ArgumentRange,
        frame: &Frame,
        routine: &Routine,
        call: &OperationCall,
    ) -> Result<(), Stop> {
        let value = argument(routine, frame, bounded.argument);
        let Some(Value::Quantity(figure)) = value else {
            return Ok(());
        };
        let subject = || {
            let name = voice::capital(&voice::name(&bounded.name));
            format!("{name} of `{}`", routine.head)
        };
        let span = given_at(call, &bounded.name);
        match outside(&bounded.range, (*figure, &bounded.kind), subject, span) {
            Some(told) => Err(told.into()),
            None => Ok(()),
        }
    }

    /// A text that is known only where it is drawn must be one of the listed ones, too.
    fn hold_text(
        &self,
        listed: &ArgumentTexts,
        frame: &Frame,
        routine: &Routine,
        call: &OperationCall,
    ) -> Result<(), Stop> {
        let value = argument(routine, frame, listed.argument);
        let Some(Value::Text(text)) = value else {
            return Ok(());
        };
        if listed.texts.iter().any(|one| **one == **text) {
            return Ok(());
        }
        let quoted: Vec<String> = listed.texts.iter().map(|one| voice::text(one)).collect();
        let message = format!(
            "{} of `{}` is \"{text}\", and it should be {}.",
            voice::capital(&voice::name(&listed.name)),
            routine.head,
            voice::either(&quoted)
        );
        let told = Diagnostic::error(Code::OutOfRange, given_at(call, &listed.name), message);
        Err(told.see(listed.span, "its texts").into())
    }

    /// What the user passed, for the message of a fault inside.
    pub(super) fn given_values(&self, call: &OperationCall) -> Vec<(Span, Words)> {
        let shown = |(name, kind, span, at): &(String, Kind, Span, usize)| {
            let Kind::Quantity(_) = kind else { return None };
            let value = match &call.args.get(*at)?.node {
                Node::Slot(slot) => self.value(*slot)?.clone(),
                Node::Known(value) => value.clone(),
                node => Value::Quantity(self.program.figure_of(node)?),
            };
            let words = say!("{} is {}", voice::name(name), printed(&value, kind));
            Some((*span, words))
        };
        call.shown.iter().filter_map(shown).collect()
    }
}

/// The value of an argument, where there is one.
fn argument<'f>(routine: &Routine, frame: &'f Frame, at: usize) -> Option<&'f Value> {
    let (Slot::Local(at) | Slot::Global(at)) = routine.arguments.get(at)?;
    frame.values.get(*at as usize)?.as_ref()
}

/// Where the call gives the argument of that name; the call itself where it leaves it out.
fn given_at(call: &OperationCall, name: &str) -> Span {
    let given = call.shown.iter().find(|(shown, ..)| shown == name);
    given.map_or(call.span, |(_, _, span, _)| *span)
}
