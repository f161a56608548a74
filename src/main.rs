//! The program's entry: hands its arguments to the library.
//! Nothing worth testing lives here.

fn main() {}
