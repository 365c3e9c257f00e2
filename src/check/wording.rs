//! The words of violations: types, values and lists of them, and the nearest right name.

use serde_json::Value as Json;

use crate::text::shown;

/// The most accepted values or keys that are listed.
const MOST_LISTED: usize = 16;

/// A type of JSON Schema as a reader of plans would call it.
pub(super) fn sort_name(sort: &str) -> &str {
    match sort {
        "null" => "`null`",
        "boolean" => "`true` or `false`",
        "integer" => "a whole number",
        "number" => "a number",
        "string" => "a text",
        "array" => "a list",
        "object" => "an object",
        other => other,
    }
}

/// A value as it stands in a message: texts in double quotes, other simple values in backticks, the rest by type.
pub(super) fn value_name(value: &Json) -> String {
    match value {
        Json::String(text) => format!("\"{}\"", shown(text)),
        Json::Array(_) => "a list".to_owned(),
        Json::Object(_) => "an object".to_owned(),
        simple => format!("`{}`", shown(&simple.to_string())),
    }
}

/// `a, b or c`; a long list ends in a count.
pub(super) fn either(mut names: Vec<String>) -> String {
    if names.len() > MOST_LISTED {
        let more = names.len() - MOST_LISTED;
        names.truncate(MOST_LISTED);
        names.push(format!("{more} more"));
    }
    match names.as_slice() {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// The name nearest to a text, if one is near enough to be what was meant.
pub(super) fn nearest<'n>(text: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    // A long text is no slip of the pen, and comparing it would take long.
    const LONGEST: usize = 60;
    if text.len() > LONGEST {
        return None;
    }
    let plain = |name: &str| name.to_lowercase().replace(['-', '_', ' '], "");
    let text = plain(text);
    let within = |name: &str| name.chars().count().max(text.chars().count()).div_ceil(3);
    names
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(&text, &plain(name)), name))
        .filter(|(distance, name)| *distance <= within(name) && *distance < text.chars().count().max(1))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// `1 item`, `3 items`.
pub(super) fn counted(count: u64, noun: &str) -> String {
    if count == 1 {
        format!("1 {noun}")
    } else {
        format!("{count} {noun}s")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn lists_read_as_a_sentence() {
        let names = |count: usize| (1..=count).map(|n| n.to_string()).collect::<Vec<_>>();
        assert_eq!(either(names(1)), "1");
        assert_eq!(either(names(3)), "1, 2 or 3");
        assert!(either(names(20)).ends_with("16 or 4 more"));
    }

    #[test]
    fn the_nearest_name_is_near() {
        let known = ["rim", "still", "stated_volume", "bottom_drain"];
        assert_eq!(nearest("stil", known), Some("still"));
        assert_eq!(nearest("Bottom drain", known), Some("bottom_drain"));
        assert_eq!(nearest("rmi", known), Some("rim"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("", known), None);
        assert_eq!(nearest(&"rim".repeat(100), known), None);
    }

    #[test]
    fn values_are_told_apart_by_their_marks() {
        assert_eq!(value_name(&json!("none")), "\"none\"");
        assert_eq!(value_name(&json!(false)), "`false`");
        assert_eq!(value_name(&json!([1])), "a list");
    }
}
