//! Sample generator.
fn main() {}
