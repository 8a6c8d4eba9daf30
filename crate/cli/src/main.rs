//! The fairpen command.
fn main() {}
