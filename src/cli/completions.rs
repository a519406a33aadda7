//! Completions for shells.

use super::{End, told};
use clap::CommandFactory;

/// Arguments of `completions`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Which shell
    shell: clap_complete::Shell,
}

/// Prints them.
pub(super) fn run(arguments: &Arguments) -> End {
    let mut out = Vec::new();
    clap_complete::generate(
        arguments.shell,
        &mut super::Arguments::command(),
        "oaktag",
        &mut out,
    );
    told::result(&String::from_utf8_lossy(&out));
    End::Well
}
