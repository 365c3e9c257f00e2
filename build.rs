//! Lists the rule cards for embedding, so that adding a rule means adding one file.

fn main() {}
