//! The `oaktag` program.

fn main() -> std::process::ExitCode {
    oaktag::cli::run()
}
