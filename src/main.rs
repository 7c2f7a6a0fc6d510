//! The `thumbpot` program: reads the command line, opens the journal, hands over to a face.

use std::process::ExitCode;

fn main() -> ExitCode {
    thumbpot::cli::run(std::env::args_os().skip(1))
}
