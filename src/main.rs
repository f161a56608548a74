//! The program's entry: hands its arguments to the library.
//! Nothing worth testing lives here.

use std::process::ExitCode;

fn main() -> ExitCode {
    #[cfg(feature = "window")]
    let window = Some(deckle::app::run as deckle::verbs::OpenWindow);
    #[cfg(not(feature = "window"))]
    let window = None;
    ExitCode::from(deckle::verbs::run(std::env::args_os(), window))
}
