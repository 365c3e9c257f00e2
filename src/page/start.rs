//! Where a plan begins: four pictures, a file, or an example; and a plan as plain text.

use maud::{Markup, html};
use serde_json::json;

use super::{act::Refusal, assess::Misfit, document::Document, form::edit_of};

/// The examples that come with the program: name, text, what each shows.
pub const EXAMPLES: [(&str, &str, &str); 5] = [
    (
        "courtyard-as-sent",
        include_str!("../../examples/courtyard-as-sent.jsonc"),
        "a pond and bed as a subcontractor sent them, with faults",
    ),
    (
        "courtyard-retrofit",
        include_str!("../../examples/courtyard-retrofit.jsonc"),
        "the same, corrected",
    ),
    (
        "ledge-run",
        include_str!("../../examples/ledge-run.jsonc"),
        "a stream over a hidden reservoir",
    ),
    (
        "mill-yard-metric",
        include_str!("../../examples/mill-yard-metric.jsonc"),
        "a metric plan",
    ),
    (
        "two-ponds",
        include_str!("../../examples/two-ponds.jsonc"),
        "two ponds, two beds, three pumps and a stream",
    ),
];

/// The text of an example.
pub fn example(name: &str) -> Option<&'static str> {
    let found = EXAMPLES.iter().find(|(known, ..)| *known == name);
    found.map(|(_, text, _)| *text)
}

/// A starting point: its name, what it is called, and the parts of its plan.
struct Start {
    name: &'static str,
    title: &'static str,
    what: &'static str,
    /// The basin that lies open first.
    opens_at: &'static str,
    parts: &'static str,
}

const STARTS: [Start; 4] = [
    Start {
        name: "pond-fall",
        title: "Pond with a fall",
        what: "a pump lifts pond water to a small upper basin that spills back",
        opens_at: "/basins/pond",
        parts: r#"  "basins": {
    "pond": { "kind": "pond" },
    "head": { "kind": "pool" }
  },
  "pumps": {
    "pump": { "basin": "pond" }
  },
  "lines": {
    "line": { "from": "pump", "runs": { "main": { "to": "head" } } }
  },
  "falls": {
    "fall": { "from": "head", "to": "pond" }
  }"#,
    },
    Start {
        name: "pond-bed",
        title: "Pond with a stone bed",
        what: "water rises through a planted bed of stone and spills back into the pond",
        opens_at: "/basins/pond",
        parts: r#"  "basins": {
    "pond": { "kind": "pond" },
    "bed": { "kind": "bed", "flow_direction": "upward" }
  },
  "pumps": {
    "pump": { "basin": "pond" }
  },
  "lines": {
    "line": { "from": "pump", "runs": { "main": { "to": "bed" } } }
  },
  "falls": {
    "lip": { "from": "bed", "to": "pond" }
  }"#,
    },
    Start {
        name: "stream-reservoir",
        title: "Stream over a hidden reservoir",
        what: "a stream runs from a head pool into a stone-filled reservoir; no open pond",
        opens_at: "/basins/reservoir",
        parts: r#"  "basins": {
    "head": { "kind": "pool" },
    "reservoir": { "kind": "reservoir" }
  },
  "pumps": {
    "pump": { "basin": "reservoir" }
  },
  "lines": {
    "line": { "from": "pump", "runs": { "main": { "to": "head" } } }
  },
  "falls": {
    "head-fall": { "from": "head", "to": "stream" }
  },
  "streams": {
    "stream": { "ends_in": "reservoir", "reaches": { "reach": {} } }
  }"#,
    },
    Start {
        name: "formal-pool",
        title: "Formal pool",
        what: "a raised pool with a spout from a trough in its wall",
        opens_at: "/basins/pool",
        parts: r#"  "basins": {
    "pool": { "kind": "pond" },
    "trough": { "kind": "pool" }
  },
  "pumps": {
    "pump": { "basin": "pool" }
  },
  "lines": {
    "line": { "from": "pump", "runs": { "main": { "to": "trough" } } }
  },
  "falls": {
    "spout": { "from": "trough", "to": "pool" }
  }"#,
    },
];

/// The basin that lies open first in a plan that is begun from a picture.
pub fn opens_at(start: &str) -> Option<&'static str> {
    let found = STARTS.iter().find(|known| known.name == start);
    found.map(|start| start.opens_at)
}

/// The text of a plan that is begun from a picture.
///
/// # Errors
/// A picture or a system of units that there is none of.
pub fn begin(start: &str, units: &str, name: &str, town: &str) -> Result<String, Refusal> {
    let start = STARTS
        .iter()
        .find(|known| known.name == start)
        .ok_or("choose one of the pictures")?;
    if !matches!(units, "US" | "SI") {
        return Err("choose US or SI units".to_owned());
    }
    let mut project = Vec::new();
    for (key, text) in [("name", name), ("place", town)] {
        if !text.trim().is_empty() {
            project.push(format!("{}: {}", json!(key), json!(text.trim())));
        }
    }
    project.push(format!("\"units\": {}", json!(units)));
    Ok(format!(
        "{{\n  \"format\": \"bywash plan 1\",\n  \"project\": {{ {} }},\n{}\n}}\n",
        project.join(", "),
        start.parts
    ))
}

/// The start of the page.
pub fn start(document: &Document) -> Markup {
    html! {
        h1 { "Begin a plan" }
        p { "Choose the picture that comes nearest. The values follow one by one, and any of them can be left open." }
        @if let Some(notice) = &document.notice { p.notice role="status" { (notice) } }
        form.begin data-edit=(edit_of(&json!({ "do": "begin" }))) {
            fieldset.pictures {
                legend { "Picture" }
                @for (index, start) in STARTS.iter().enumerate() {
                    label.picture {
                        input type="radio" name="start" value=(start.name) checked[index == 0];
                        (picture(start.name))
                        b { (start.title) }
                        span { (start.what) }
                    }
                }
            }
            div.asked {
                label { "Name of the job " input name="name" type="text" maxlength="2000" autocomplete="off"; }
                label { "Town and state or country " input name="town" type="text" maxlength="2000" autocomplete="off"; }
                fieldset { legend { "Units" }
                    label { input type="radio" name="units" value="US" checked; " feet, inches, gallons" }
                    label { input type="radio" name="units" value="SI"; " meters, liters" }
                }
                button.first type="submit" { "Begin" }
            }
        }
        div.others {
            section aria-label="open a file" {
                h2 { "Open a plan" }
                label { "A plan file " input type="file" id="open-file" accept=".json,.jsonc" data-file="open"; }
            }
            section aria-label="look at an example" {
                h2 { "Look at an example" }
                ul {
                    @for (name, _, what) in EXAMPLES {
                        li { button type="button" data-edit=(edit_of(&json!({ "do": "example", "name": name }))) { (name) } " " (what) }
                    }
                }
            }
        }
        p.note { "What is entered here stays on this machine." }
    }
}

/// A section in a few lines.
fn picture(name: &str) -> Markup {
    let (ground, water, stone, flow) = match name {
        "pond-fall" => (
            "M2 40H14V34H30V44H38L44 64H104L112 44H118",
            "M39 48H110L104 64H44ZM15 38H29V44H15Z",
            "",
            "M29 38C36 38 37 42 38 48M98 62V20H22V34",
        ),
        "pond-bed" => (
            "M2 36H8V66H42V36H50L56 64H106L112 44H118",
            "M51 46H111L106 64H56ZM9 40H41V66H9Z",
            "M10 50H40M10 56H40M10 62H40",
            "M41 40C48 40 50 42 51 46M100 62V24H24V36",
        ),
        "stream-reservoir" => (
            "M2 24H10V34H24L80 50V66H116V50",
            "M81 54H115V66H81ZM11 27H23V34H11Z",
            "M82 57H114M82 61H114",
            "M24 28L80 47M110 64V14H16V24",
        ),
        _ => (
            "M2 56H24V30H26V56H94V30H96V56H118M92 14H104V24H92Z",
            "M27 36H93V54H27ZM93 17H103V23H93Z",
            "",
            "M92 18C86 18 85 26 84 36M34 52V8H98V14",
        ),
    };
    html! {
        svg viewBox="0 0 120 70" aria-hidden="true" focusable="false" {
            path.water d=(water) {}
            path.ground d=(ground) {}
            path.stone d=(stone) {}
            path.flow d=(flow) {}
        }
    }
}

/// The plan as text: to read, or to correct where it can't be read as a form.
pub fn text_view(text: &str, problems: &[Misfit], has_form: bool) -> Markup {
    html! {
        @for misfit in problems {
            p.error {
                "✕ " @if let Some((line, column)) = misfit.line { "line " (line) ", column " (column) ": " }
                (misfit.words) @if let Some(help) = &misfit.help { "; " (help) }
            }
        }
        form.as-text data-edit=(edit_of(&json!({ "do": "text" }))) {
            label for="plan-text" { "The plan as text" }
            textarea id="plan-text" name="text" rows="30" spellcheck="false" autocomplete="off" { (text) }
            button type="submit" { "Take this text" }
        }
        @if has_form {
            p { button type="button" data-edit=(edit_of(&json!({ "do": "as-text", "on": false }))) { "Show the form" } }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{
        page::{Desk, Document, Edit},
        quantity::UnitSystem,
    };

    #[test]
    fn every_start_and_example_can_be_reviewed() {
        let mut desk = Desk::new().unwrap();
        for start in &STARTS {
            for (units, system) in [("US", UnitSystem::Us), ("SI", UnitSystem::Si)] {
                let begin = Edit::Begin {
                    start: start.name.to_owned(),
                    units: units.to_owned(),
                    name: "A \"quoted\" job".to_owned(),
                    town: String::new(),
                };
                let turn = desk.turn(Document::default(), begin);
                let assessed = turn.document.assessed.unwrap();
                assert!(assessed.is_current(), "{}: {:?}", start.name, assessed.problems);
                let review = &assessed.reviewed.unwrap().review;
                assert!(review.questions.len() > 10, "{}", start.name);
                assert_eq!(review.subject.units, system);
                let open = &turn.document.view.open;
                assert!(open.contains(start.opens_at), "{}", start.name);
                assert!(
                    assessed.text.contains(&start.opens_at["/basins/".len()..]),
                    "{}",
                    start.name
                );
            }
        }
        for (name, ..) in EXAMPLES {
            let turn = desk.turn(
                Document::default(),
                Edit::Example {
                    name: name.to_owned(),
                },
            );
            assert!(turn.document.assessed.unwrap().is_current(), "{name}");
        }
    }
}
