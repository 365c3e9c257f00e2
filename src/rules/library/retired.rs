//! Rules that are no longer in use.

/// The page of ids that are no longer in use.
const RETIRED: &str = include_str!("../../../rules/retired.md");

/// Why a rule was retired, where an id is that of one.
pub fn retired(id: &str) -> Option<&'static str> {
    let entries = RETIRED
        .lines()
        .filter_map(|line| line.strip_prefix("- `")?.split_once("`: "));
    entries
        .filter(|(retired, _)| *retired == id)
        .map(|(_, reason)| reason)
        .next()
}
