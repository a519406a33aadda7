//! A size set: one draft drawn anew for each body of a table, the sizes then laid side by side. What is compared is what
//! has the same name in every size.

pub mod constant;
pub mod dxf;
mod inside;
pub mod json;
mod key;
pub mod ladder;
mod laid;
pub mod nest;
pub mod rules;
pub mod stack;
pub mod table;

use super::{ordered, sides};
use oaktag_language::check::Checked;
use oaktag_language::draft::Inputs;
use oaktag_language::draft::bodies::Table;
use oaktag_language::pattern::Pattern;
use oaktag_language::report::Diagnostic;
use oaktag_language::syntax::project::Project;
use oaktag_output::lay;
use std::num::NonZeroUsize;
use std::ops::ControlFlow;

/// Most sizes of a set: more are a batch, and nobody reads their nest.
pub const MOST: usize = 40;

/// A body of the set and what was drawn for it.
#[derive(Clone, Debug)]
pub struct Size {
    /// As the table calls it.
    pub name: String,
    /// Drawn for this body.
    pub pattern: Pattern,
    /// Everything told of it.
    pub told: Vec<Diagnostic>,
    /// How much of each cloth is bought for it, by name, in millimetres; of those whose width the draft says.
    pub yields: Vec<(String, f64)>,
}

impl Size {
    /// Whether nothing is missing from its drawing; a failed check or seam stands in it.
    pub fn is_whole(&self) -> bool {
        !self.told.iter().any(Diagnostic::stops)
    }

    /// Whether nothing is wrong with it.
    pub fn is_well(&self) -> bool {
        !self.told.iter().any(Diagnostic::is_error)
    }
}

/// The sizes of one draft, in the table's order.
#[derive(Clone, Debug)]
pub struct Set {
    /// Every size that could be read; never none.
    pub sizes: Vec<Size>,
    /// Which of them the others are held against.
    pub base: usize,
}

impl Set {
    /// The size the others are held against; none only where there are no sizes.
    pub fn base(&self) -> Option<&Size> {
        self.sizes.get(self.base)
    }

    /// The sizes from which nothing is missing; the base is taken for one of them.
    pub fn whole(&self) -> Set {
        let whole = |size: &&Size| size.is_whole();
        Set {
            base: self.sizes.iter().take(self.base).filter(whole).count(),
            sizes: self.sizes.iter().filter(whole).cloned().collect(),
        }
    }

    /// Names of the sizes with which something is wrong; they are in no nest.
    pub fn not_well(&self) -> Vec<&str> {
        let wrong = self.sizes.iter().filter(|size| !size.is_well());
        wrong.map(|size| size.name.as_str()).collect()
    }

    /// The well size nearest to the base, the smaller of two; none where no size is well.
    pub fn well_base(&self) -> Option<usize> {
        let all = self.sizes.iter().enumerate();
        all.filter(|(_, size)| size.is_well())
            .map(|(at, _)| at)
            .min_by_key(|at| at.abs_diff(self.base))
    }

    /// The names in order.
    pub fn names(&self) -> Vec<&str> {
        self.sizes.iter().map(|size| size.name.as_str()).collect()
    }
}

/// The length of each cloth that the better of its lays takes; none of one that has to leave a piece out.
fn yields(pattern: &Pattern) -> Vec<(String, f64)> {
    let lays = lay::lays(pattern, 0.0);
    let bought = lays.iter().filter_map(|lays| {
        let lay = lays.better().filter(|_| lays.left_out.is_empty())?;
        Some((lays.cuts.name.to_owned(), lay.to_buy))
    });
    bought.collect()
}

/// Draws a draft for each body of a table: what could be read, and what is wrong with the other rows.
pub fn draw(
    project: &Project,
    checked: &Checked,
    inputs: &Inputs,
    table: &Table,
    threads: NonZeroUsize,
) -> (Vec<Size>, Vec<Diagnostic>) {
    let work = |number: usize| {
        let body = table.body(number)?;
        let name = body.name.clone();
        let inputs = Inputs {
            body: Some(body),
            ..inputs.clone()
        };
        let outcome = sides::draw(project, checked, &inputs);
        Ok(Size {
            name,
            yields: yields(&outcome.pattern),
            pattern: outcome.pattern,
            told: outcome.diagnostics,
        })
    };
    let (mut sizes, mut wrong) = (Vec::new(), Vec::new());
    let count = table.len().min(MOST);
    ordered::in_order(0..count, threads, work, |_, drawn| {
        match drawn {
            Ok(Ok(size)) => sizes.push(size),
            Ok(Err(told)) => wrong.extend::<Vec<Diagnostic>>(told),
            // Checking that body alone shows what went wrong.
            Err(_) => {}
        }
        ControlFlow::Continue(())
    });
    (sizes, wrong)
}
