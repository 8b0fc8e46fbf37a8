//! maskwright
fn main() {}
