//! Plans under assignments, as `--set` makes them.

use bywash::{
    engine::{Engine, Opened},
    read::assignment,
};

/// An example of the name, and of the engine that opened it, with values set first: `/basins/pond/rim=-6 in`.
pub fn example(name: &str, changes: &[&str]) -> (Engine, Opened) {
    let path = format!("{}/examples/{name}.jsonc", env!("CARGO_MANIFEST_DIR"));
    plan(name, &std::fs::read_to_string(path).unwrap(), changes)
}

/// A plan's text, the same way.
pub fn plan(name: &str, text: &str, changes: &[&str]) -> (Engine, Opened) {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let source = engine.sources.add(name, text);
    let patches = changes.iter().map(|change| {
        let patch = assignment(&mut engine.sources, change).unwrap();
        ((*change).to_owned(), patch)
    });
    let patches = patches.collect();
    let opened = engine.open(source, patches).unwrap();
    (engine, opened)
}
