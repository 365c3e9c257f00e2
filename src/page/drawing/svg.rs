//! A scene as SVG. Looks are set by classes, so that the page's style decides the colours.

use maud::{Markup, html};
use serde_json::json;

use crate::{
    page::form::edit_of,
    report::drawing::{Anchor, Fill, Item, Mark, Pattern, Scene, Stroke, Text, Tone},
    review::Finding,
};

/// What is laid under and over a scene.
#[derive(Default)]
pub struct Layer {
    /// Under it, in place of the running water.
    pub under: Option<Markup>,
    /// Over it.
    pub over: Option<Markup>,
}

/// A scene as SVG; marks lead to their findings.
pub fn svg(scene: &Scene, findings: &[Finding], layer: &Layer) -> Markup {
    let hides_water = layer.under.is_some();
    html! {
        svg.scene viewBox={ "0 0 " (number(scene.width)) " " (number(scene.height + 2.0)) } role="group" aria-label=(scene.title) {
            desc { (scene.alt) }
            @if let Some(under) = &layer.under { (under) }
            @for item in &scene.items { (piece(item, findings, hides_water)) }
            @if let Some(over) = &layer.over { (over) }
        }
    }
}

/// The patterns that areas are filled with, once on the page.
pub fn patterns() -> Markup {
    html! {
        svg.defs width="0" height="0" aria-hidden="true" focusable="false" {
            defs {
                pattern id="fill-modules" width="7" height="7" patternUnits="userSpaceOnUse" { path d="M0 0H7M0 0V7" {} }
                pattern id="fill-stone" width="9" height="8" patternUnits="userSpaceOnUse" {
                    circle cx="2.6" cy="2.6" r="2" {} circle cx="7" cy="6.2" r="1.6" {}
                }
                pattern id="fill-gravel" width="4" height="4" patternUnits="userSpaceOnUse" {
                    circle cx="1" cy="1" r=".5" {} circle cx="3" cy="3" r=".5" {}
                }
                pattern id="fill-soil" width="5" height="5" patternUnits="userSpaceOnUse" { path d="M0 5L5 0" {} }
                pattern id="fill-ground" width="6" height="5" patternUnits="userSpaceOnUse" { path d="M1 4L4 1" {} }
            }
        }
    }
}

/// A coordinate with the digits a screen can show.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Corners as an attribute.
pub(super) fn corners(points: impl IntoIterator<Item = [f64; 2]>) -> String {
    let each = points
        .into_iter()
        .map(|[x, y]| format!("{},{}", number(x), number(y)));
    each.collect::<Vec<_>>().join(" ")
}

fn piece(item: &Item, findings: &[Finding], hides_water: bool) -> Markup {
    match item {
        Item::Path {
            fill: Some(Fill::Water),
            ..
        } if hides_water => html! {},
        Item::Path {
            points,
            closed,
            stroke,
            fill,
        } => {
            let class = class(stroke.as_ref(), *fill);
            let weight = stroke.map(|stroke| number(stroke.weight));
            let corners = corners(points.iter().copied());
            html! {
                @if *closed { polygon points=(corners) class=(class) stroke-width=[weight] {} }
                @else { polyline points=(corners) class=(class) stroke-width=[weight] {} }
            }
        }
        Item::Disc {
            at,
            radius,
            stroke,
            fill,
        } => html! {
            circle cx=(number(at[0])) cy=(number(at[1])) r=(number(*radius)) class=(class(Some(stroke), *fill)) stroke-width=(number(stroke.weight)) {}
        },
        Item::Text(text) => words(text),
        Item::Mark(mark) => mark_of(mark, findings),
    }
}

fn class(stroke: Option<&Stroke>, fill: Option<Fill>) -> String {
    let line = stroke.map_or("bare", |stroke| match stroke.tone {
        Tone::Ink => "ink",
        Tone::Soft => "soft",
        Tone::Faint => "faint",
        Tone::Accent => "accent",
    });
    let pattern = stroke.map_or("", |stroke| match stroke.pattern {
        Pattern::Solid => "",
        Pattern::Dashed => " dashed",
        Pattern::Dotted => " dotted",
        Pattern::DashDotted => " dash-dotted",
    });
    let fill = match fill {
        None => " open",
        Some(Fill::Water) => " on-water",
        Some(Fill::Modules) => " on-modules",
        Some(Fill::Stone) => " on-stone",
        Some(Fill::Gravel) => " on-gravel",
        Some(Fill::Soil) => " on-soil",
        Some(Fill::Ground) => " on-ground",
        Some(Fill::Ink) => " on-ink",
        Some(Fill::Accent) => " on-accent",
        Some(Fill::Paper) => " on-paper",
    };
    format!("{line}{pattern}{fill}")
}

fn words(text: &Text) -> Markup {
    let anchor = match text.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    html! {
        text x=(number(text.at[0])) y=(number(text.at[1] + text.size * 0.33)) font-size=(number(text.size)) text-anchor=(anchor)
            class=[text.strong.then_some("strong")] { (text.text) }
    }
}

/// A numbered mark: pressing it unfolds its finding.
fn mark_of(mark: &Mark, findings: &[Finding]) -> Markup {
    let [x, y] = mark.at;
    let [wide, high] = mark.size;
    let finding = findings.get(mark.finding);
    let choose = finding.map(|finding| {
        edit_of(&json!({ "do": "choose", "rule": finding.rule, "at": finding.object.as_str() }))
    });
    let name =
        finding.map(|finding| format!("{} {}: {}", mark.severity.word(), mark.number, finding.headline));
    html! {
        g.mark role="button" tabindex="0" data-edit=[choose] data-at=[finding.map(|finding| finding.place.as_str())]
            data-severity=(mark.severity.word()) aria-label=[name] {
            rect x=(number(x - 0.5)) y=(number(y - 0.5)) width=(number(wide + 1.0)) height=(number(high + 1.0)) {}
            text x=(number(x + wide / 2.0)) y=(number(y + high / 2.0 + 2.6)) font-size="7.4" text-anchor="middle" aria-hidden="true" {
                (mark.severity.mark()) " " (mark.number)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_plan_are_no_markup_in_a_drawing() {
        let mut scene = Scene::default();
        let hostile = "</text><script>alert(1)</script>&\"'";
        scene
            .items
            .push(Item::Text(Text::new([1.0, 2.0], Anchor::Start, 7.0, hostile)));
        scene.alt = hostile.to_owned();
        scene.title = hostile.to_owned();
        let markup = svg(&scene, &[], &Layer::default()).into_string();
        assert!(
            !markup.contains("<script") && !markup.contains("alert(1)</"),
            "{markup}"
        );
        assert_eq!(markup.matches("&lt;script&gt;").count(), 3);
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!([0.0, 1.5, -2.004, 10.0].map(number), ["0", "1.5", "-2", "10"]);
    }
}
