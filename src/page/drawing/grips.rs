//! Handles on a section: levels and layers that are dragged, or moved with the arrow keys.

use maud::{Markup, html};

use super::svg::number;
use crate::{
    check::SchemaBook,
    page::{form::anchor, typed::snap},
    quantity::{Kind, Quantity, UnitSystem, show, show_level},
    read::{Node, Place, Value},
    report::drawing::LiveSection,
};

/// The values that have a handle, by their places in the plan.
const DRAGGED: [&str; 9] = [
    "/basins/*/rim",
    "/basins/*/still",
    "/basins/*/floor",
    "/basins/*/overflow/level",
    "/pumps/*/intake",
    "/falls/*/crest",
    "/lines/*/air_inlet/level",
    "/lines/*/runs/*/discharge/level",
    "/basins/*/inlet/level",
];

/// A handle.
struct Grip {
    at: Place,
    /// What the plan gives, m.
    value: f64,
    kind: Kind,
    /// Where it stands, pt.
    x: f64,
    y: f64,
}

/// The handles of a section.
pub fn grips(section: &LiveSection, tree: &Node, book: &SchemaBook, units: UnitSystem) -> Markup {
    let mut grips: Vec<Grip> = Vec::new();
    for pattern in DRAGGED {
        let mut places = Vec::new();
        matching(tree, &Place::root(), pattern.trim_start_matches('/'), &mut places);
        grips.extend(places.into_iter().filter_map(|at| level_grip(section, tree, at)));
    }
    for basin in &section.basins {
        for (at, top) in &basin.layers {
            let value = written(tree, at, Kind::Length);
            let middle = basin
                .walls
                .first()
                .map(|(_, [left, right])| left + (right - left) * 0.9);
            if let (Some(value), Some(x)) = (value, middle) {
                grips.push(Grip {
                    at: at.clone(),
                    value,
                    kind: Kind::Length,
                    x,
                    y: section.y(*top),
                });
            }
        }
    }
    // Handles at one point stand side by side.
    for index in 1..grips.len() {
        let (before, rest) = grips.split_at_mut(index);
        let grip = &mut rest[0];
        while before
            .iter()
            .any(|other| (other.x - grip.x).abs() < 11.0 && (other.y - grip.y).abs() < 7.0)
        {
            grip.x -= 12.0;
        }
    }
    html! {
        @for grip in &grips { (handle(section, book, grip, units)) }
    }
}

fn handle(section: &LiveSection, book: &SchemaBook, grip: &Grip, units: UnitSystem) -> Markup {
    let told = match grip.kind {
        Kind::Level => show_level(grip.value, units),
        kind => show(grip.value, kind, units),
    };
    let name = book.title_of(&grip.at);
    let (x, y) = (grip.x, grip.y);
    html! {
        g.grip id={ "grip" (anchor(&grip.at)) } role="slider" tabindex="0" aria-orientation="vertical" aria-label=(name) aria-valuetext=(told)
            aria-valuenow=(number(grip.value)) aria-valuemin="-200" aria-valuemax="200"
            data-at=(grip.at) data-grip=(grip.value) data-scale=(section.points_per_metre) data-snap=(snap(units)) {
            title { (name) ", " (told) ": drag it, or use the arrow keys" }
            rect.reach x=(number(x - 12.0)) y=(number(y - 7.0)) width="24" height="14" {}
            path d={ "M" (number(x - 5.0)) " " (number(y)) "H" (number(x + 5.0)) } class="bar" {}
            path d={ "M" (number(x)) " " (number(y - 4.6)) "l2.4 3h-4.8zM" (number(x)) " " (number(y + 4.6)) "l2.4,-3h-4.8z" } class="arrows" {}
        }
    }
}

/// A handle at a level of the plan, beside what stands for it in the section.
fn level_grip(section: &LiveSection, tree: &Node, at: Place) -> Option<Grip> {
    let value = written(tree, &at, Kind::Level)?;
    let in_line = at.as_str().starts_with("/lines/");
    let mut nearest = Some(at.clone());
    let spot = loop {
        let place = nearest?;
        // What a line passes through several sections with has its handle only where it is drawn itself.
        let least = if in_line { at.parts().count() - 1 } else { 2 };
        if place.parts().count() < least {
            return None;
        }
        if let Some((_, spot)) = section.anchors.iter().rfind(|(anchor, _)| *anchor == place) {
            break *spot;
        }
        nearest = place.parent();
    };
    let y = section.y(value);
    (y > -20.0 && y < section.scene.height + 20.0).then_some(Grip {
        at,
        value,
        kind: Kind::Level,
        x: spot[0],
        y,
    })
}

fn written(tree: &Node, at: &Place, kind: Kind) -> Option<f64> {
    let quantity = Quantity::parse(tree.at(at)?.text()?, kind).ok()?;
    quantity.si.is_finite().then_some(quantity.si)
}

/// The places of a tree that a pattern names; `*` stands for any id.
fn matching(node: &Node, here: &Place, pattern: &str, found: &mut Vec<Place>) {
    let (first, rest) = pattern.split_once('/').unwrap_or((pattern, ""));
    let Value::Object(members) = &node.value else {
        return;
    };
    let wanted = members
        .iter()
        .filter(|(key, _)| first == "*" || first == key.as_str());
    for (key, member) in wanted {
        let place = here.child(key);
        if rest.is_empty() {
            found.push(place);
        } else {
            matching(&member.node, &place, rest, found);
        }
    }
}
