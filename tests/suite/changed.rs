//! Plans under assignments, as `--set` makes them.

use bywash::{
    desk::{Desk, Opened},
    read::assignment,
};

/// An example of the name, and of the desk that opened it, with values set first: `/basins/pond/rim=-6 in`.
pub fn example(name: &str, changes: &[&str]) -> (Desk, Opened) {
    let path = format!("{}/examples/{name}.jsonc", env!("CARGO_MANIFEST_DIR"));
    plan(name, &std::fs::read_to_string(path).unwrap(), changes)
}

/// A plan's text, the same way.
pub fn plan(name: &str, text: &str, changes: &[&str]) -> (Desk, Opened) {
    let (mut desk, loaded) = Desk::new();
    loaded.unwrap();
    let source = desk.sources.add(name, text);
    let patches = changes.iter().map(|change| {
        let patch = assignment(&mut desk.sources, change).unwrap();
        ((*change).to_owned(), patch)
    });
    let patches = patches.collect();
    let opened = desk.open(source, patches).unwrap();
    (desk, opened)
}
