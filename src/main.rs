//! Arguments in, exit status out.

use std::process::ExitCode;

fn main() -> ExitCode {
    bywash::cli::run().into()
}
