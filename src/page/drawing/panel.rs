//! The middle of the page: the sections with their handles and cases, the basins in plan, the pump curves.

use maud::{Markup, html};
use serde_json::json;

use super::{
    grips::grips,
    svg::{Layer, patterns, svg},
    water::Moment,
};
use crate::{
    check::SchemaBook,
    hydraulics::SCENARIOS,
    page::{
        assess::{CaseLevels, Reviewed},
        form::edit_of,
    },
    read::Node,
    report::drawing::{LiveSection, Scene},
};

/// What is drawn.
pub struct Panel<'a> {
    /// The reviewed plan.
    pub reviewed: &'a Reviewed,
    /// The schema.
    pub book: &'a SchemaBook,
    /// The curves of pumps.
    pub curves: &'a [Scene],
    /// The tree of the present text, where it is what was reviewed.
    pub tree: Option<&'a Node>,
    /// The case whose water is drawn, its levels, and the moment.
    pub case: Option<(&'a str, &'a CaseLevels, Option<Moment>)>,
}

/// A part of the middle: its id, and what is in it. Each is sent by itself, where it changed.
pub type Part = (String, Markup);

impl Panel<'_> {
    /// The parts, in the order they stand.
    pub fn parts(&self) -> Vec<Part> {
        let drawings = &self.reviewed.drawings;
        let numbered = |what: &str, index: usize| format!("drawing-{what}-{index}");
        let mut parts = vec![("drawing-cases".to_owned(), cases(self))];
        let sections = drawings.sections.iter().enumerate();
        parts
            .extend(sections.map(|(index, section)| (numbered("section", index), section_of(self, section))));
        for (what, title, scenes) in [
            ("sketch", "In plan", drawings.sketches.as_slice()),
            ("curve", "Pump and system", self.curves),
        ] {
            parts.extend(scenes.iter().enumerate().map(|(index, scene)| {
                let part = html! {
                    @if index == 0 { h2 { (title) } }
                    (figure(self, scene))
                };
                (numbered(what, index), part)
            }));
        }
        parts
    }
}

/// Where the parts stand.
pub fn frame(parts: &[Part]) -> Markup {
    html! {
        (patterns())
        @for (id, _) in parts { div id=(id) data-region {} }
    }
}

fn section_of(panel: &Panel<'_>, section: &LiveSection) -> Markup {
    let units = panel.reviewed.units();
    let moment = panel.case.as_ref().and_then(|(_, _, moment)| moment.as_ref());
    let layer = Layer {
        under: moment.map(|moment| moment.water(section)),
        over: Some(html! {
            @for (place, [x, y]) in &section.anchors {
                circle.spot data-at=(place) cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="9" {}
            }
            @if let Some(moment) = moment { (moment.levels(section, units)) }
            @if let (Some(tree), None) = (panel.tree, moment) { (grips(section, tree, panel.book, units)) }
        }),
    };
    html! {
        figure.section {
            figcaption { (section.scene.title) }
            (svg(&section.scene, &panel.reviewed.review.findings, &layer))
            @for note in &section.scene.notes { p.note { (note) } }
        }
    }
}

fn figure(panel: &Panel<'_>, scene: &Scene) -> Markup {
    html! {
        figure {
            figcaption { (scene.title) }
            (svg(scene, &panel.reviewed.review.findings, &Layer::default()))
            @for note in &scene.notes { p.note { (note) } }
        }
    }
}

/// The buttons of the cases, and the slider through time.
fn cases(panel: &Panel<'_>) -> Markup {
    let units = panel.reviewed.units();
    let chosen = panel.case.as_ref().map_or("", |(name, ..)| *name);
    let case = |name: &str| edit_of(&json!({ "do": "case", "name": name }));
    html! {
        div.cases role="group" aria-label="what the water does" {
            button type="button" aria-pressed=(chosen.is_empty()) data-edit=(case("")) { "running" }
            @for scenario in SCENARIOS.iter().filter(|scenario| scenario.name != "running") {
                button type="button" aria-pressed=(chosen == scenario.name) data-edit=(case(scenario.name)) title=(scenario.supposes) {
                    (scenario.title)
                }
            }
        }
        @if let Some((name, levels, moment)) = &panel.case {
            div.moment {
                p { (levels.supposes) @if levels.gap { ": this could not be simulated with what the plan shows" } }
                @if let Some(moment) = moment {
                    @if moment.steps > 1 {
                        button type="button" data-play { "Play" }
                        label { span.unseen { "time in the case" }
                            input type="range" id="moment" min="0" max=(moment.steps - 1) value=(moment.step) data-case=(name)
                                aria-valuetext=(moment.told(units));
                        }
                    }
                    output for="moment" { (moment.told(units)) }
                }
            }
        }
    }
}
