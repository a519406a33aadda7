//! The `oaktag` program.

/// Drafts are checked and drawn with very many small allocations.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    oaktag::cli::run()
}
