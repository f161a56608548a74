//! The program's entry: hands its arguments to the library.
//! Nothing worth testing lives here.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(deckle::verbs::run(std::env::args_os(), None))
}
