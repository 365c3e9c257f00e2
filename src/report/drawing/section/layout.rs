//! What stands in which section, and how wide.

use crate::{
    ledger::Ledger,
    plan::{Measure, Plan, connections::ending},
    report::drawing::{
        WIDTH,
        levels::{BasinLevels, in_flow_order, level},
        section::{BasinProfile, COLUMN, CORRIDOR, LEFT, Shown, WIDEST, stream::Course},
    },
};

/// Basins that one section has room for.
const ROOM: f64 = 3.0;
/// Room a stream takes, in basins.
const STREAM: f64 = 0.75;

/// One thing in the order water flows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum FlowItem<'a> {
    Basin(&'a str),
    Stream(&'a str),
}

/// A slot with the share of the sheet it stands in, pt.
pub(super) type Placed<'a> = (FlowItem<'a>, (f64, f64));

impl FlowItem<'_> {
    const fn room(self) -> f64 {
        match self {
            Self::Basin(_) => 1.0,
            Self::Stream(_) => STREAM,
        }
    }
}

/// Everything in the order water flows: a stream after what feeds it, one that nothing feeds before where it ends.
fn in_order(plan: &Plan) -> Vec<FlowItem<'_>> {
    let mut slots = Vec::new();
    let mut open: Vec<&str> = plan.streams.keys().map(String::as_str).collect();
    for id in in_flow_order(plan) {
        let unfed = |stream: &&str| {
            let fed = plan
                .falls
                .values()
                .any(|fall| fall.to.value().is_some_and(|to| to == stream));
            !fed && ending(plan, stream) == Some(id)
        };
        while let Some(index) = open.iter().position(unfed) {
            slots.push(FlowItem::Stream(open.remove(index)));
        }
        slots.push(FlowItem::Basin(id));
        let mut upper = id;
        while let Some(index) = open.iter().position(|stream| feeds(plan, upper, stream)) {
            let stream = open.remove(index);
            slots.push(FlowItem::Stream(stream));
            if open.iter().any(|next| feeds(plan, stream, next)) {
                upper = stream;
            }
        }
    }
    slots.extend(open.into_iter().map(FlowItem::Stream));
    slots
}

/// Whether a fall leads from a basin or stream into a stream.
pub(super) fn feeds(plan: &Plan, upper: &str, stream: &str) -> bool {
    plan.falls.values().any(|fall| {
        fall.from.value().is_some_and(|from| from == upper) && fall.to.value().is_some_and(|to| to == stream)
    })
}

/// Whether nothing flows into a slot from above.
fn starts(plan: &Plan, slot: FlowItem<'_>) -> bool {
    let (FlowItem::Basin(id) | FlowItem::Stream(id)) = slot;
    let falls = plan.falls.values().any(|fall| {
        let to = fall.to.value();
        to.is_some_and(|to| to == id || ending(plan, to) == Some(id))
    });
    let runs = plan
        .drains
        .values()
        .any(|drain| drain.to.value().is_some_and(|to| to == id));
    !falls && !runs
}

/// The room that a slot and what it flows on into take.
fn chain_room(plan: &Plan, slots: &[FlowItem<'_>]) -> f64 {
    let after = slots.iter().skip(1).take_while(|slot| !starts(plan, **slot));
    slots.iter().take(1).chain(after).map(|slot| slot.room()).sum()
}

/// The sections: what stands in each, in the order water flows, as even as can be.
pub(super) fn groups(plan: &Plan) -> Vec<Vec<FlowItem<'_>>> {
    let slots = in_order(plan);
    let total: f64 = slots.iter().map(|slot| slot.room()).sum();
    let share = total / (total / ROOM).ceil().max(1.0);
    let mut groups: Vec<Vec<FlowItem<'_>>> = vec![Vec::new()];
    let mut used = 0.0;
    for (at, &slot) in slots.iter().enumerate() {
        // What hangs together stands together where it can.
        let chain: f64 = if starts(plan, slot) {
            chain_room(plan, &slots[at..])
        } else {
            0.0
        };
        let chain = if chain > ROOM { 0.0 } else { chain };
        let full = used + slot.room().max(chain) > ROOM || used + slot.room() / 2.0 > share;
        if let Some(group) = groups.last_mut().filter(|group| group.is_empty() || !full) {
            group.push(slot);
            used += slot.room();
        } else {
            groups.push(vec![slot]);
            used = slot.room();
        }
    }
    groups
}

/// How wide the inside of the shortest basin is drawn beside one as long as the longest.
const SHORTEST: f64 = 0.6;

/// The size by which basins are drawn wider or narrower: the longest way across, m, or what a square of the largest area has.
fn across(plan: &Plan, id: &str) -> Option<f64> {
    let basin = plan.basins.get(id)?;
    let length = || Some(basin.shape.value()?.length.value()?.si());
    let areas = || {
        let contours = basin.contours.value()?.iter();
        let areas = contours.filter_map(|contour| contour.area.value().map(|area| area.si()));
        areas.reduce(f64::max).map(f64::sqrt)
    };
    length()
        .or_else(areas)
        .filter(|size| *size > 0.0 && size.is_finite())
}

/// The slots of a section side by side, the basins in the order of their size; one of unknown size stands between.
pub(super) fn placed<'a>(plan: &Plan, group: &[FlowItem<'a>]) -> Vec<Placed<'a>> {
    let total: f64 = group.iter().map(|slot| slot.room()).sum();
    let unit = (WIDTH - LEFT) / total.max(1.0);
    let size = |slot: FlowItem<'_>| match slot {
        FlowItem::Basin(id) => across(plan, id),
        FlowItem::Stream(_) => None,
    };
    let longest = group.iter().filter_map(|slot| size(*slot)).fold(0.0, f64::max);
    let weight = |slot: FlowItem<'_>| {
        let share = size(slot).map_or(0.5, |size| size / longest);
        SHORTEST + (1.0 - SHORTEST) * share
    };
    let basins = group.iter().filter(|slot| matches!(slot, FlowItem::Basin(_)));
    let weights: Vec<f64> = basins.map(|slot| weight(*slot)).collect();
    // What labels and pipes beside a basin take is the same for all.
    let beside = COLUMN + 2.0 * CORRIDOR;
    let inside = (unit - beside).max(0.0) * weights.len() as f64 / weights.iter().sum::<f64>().max(1e-9);
    let mut left = LEFT;
    let mut placed = Vec::new();
    for &slot in group {
        let right = left
            + match slot {
                FlowItem::Basin(_) if unit > beside => beside + inside * weight(slot),
                _ => unit * slot.room(),
            };
        placed.push((slot, (left, right)));
        left = right;
    }
    placed
}

/// The basins of a section.
pub(super) fn basins<'a>(plan: &'a Plan, ledger: &Ledger, placed: &[Placed<'a>]) -> Vec<Shown<'a>> {
    let last = placed.len().saturating_sub(1);
    let widest = placed
        .iter()
        .filter(|(slot, _)| matches!(slot, FlowItem::Basin(_)))
        .map(|(_, share)| share.1 - share.0 - COLUMN - 2.0 * CORRIDOR)
        .fold(WIDEST, f64::max);
    let basins = placed.iter().enumerate().filter_map(|(at, &(slot, share))| {
        let FlowItem::Basin(id) = slot else { return None };
        let basin = plan.basins.get(id)?;
        let levels = BasinLevels::of(basin, ledger, &crests(plan, id));
        let labels_left = at == 0 || at < last;
        let (left, right) = if labels_left { (COLUMN, 0.0) } else { (0.0, COLUMN) };
        let room = (share.0 + left + CORRIDOR, share.1 - right - CORRIDOR);
        // Where the widest would be too wide, all are narrower by as much.
        let spare = (room.1 - room.0) * (1.0 - WIDEST / widest);
        let inside = if labels_left {
            (room.0, room.1 - spare)
        } else {
            (room.0 + spare, room.1)
        };
        Some(Shown {
            id,
            basin,
            profile: BasinProfile::of(basin, &levels),
            levels,
            share,
            inside,
            labels_left,
            labels: Vec::new(),
            piped: (0.0, 0.0),
        })
    });
    basins.collect()
}

/// The crests a basin spills over.
pub(in super::super) fn crests(plan: &Plan, id: &str) -> Vec<f64> {
    let falls = plan.falls.values();
    let of_this = falls.filter(|fall| fall.from.value().is_some_and(|from| from == id));
    of_this.filter_map(|fall| level(&fall.crest)).collect()
}

/// The streams of a section.
pub(super) fn courses<'a>(plan: &'a Plan, ledger: &Ledger, placed: &[Placed<'a>]) -> Vec<Course<'a>> {
    let streams = placed.iter().filter_map(|&(slot, share)| match slot {
        FlowItem::Stream(id) => Course::of(plan, ledger, id, share),
        FlowItem::Basin(_) => None,
    });
    streams.collect()
}

/// The lowest and highest level of what is drawn, m.
pub(super) fn range(levels: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = levels.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), level| {
        (low.min(level), high.max(level))
    });
    if !low.is_finite() {
        (-0.5, 0.5)
    } else if high - low > 1e-3 {
        (low, high)
    } else {
        (low - 0.3, low + 0.3)
    }
}
