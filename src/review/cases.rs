//! Reports the cases: levels of every basin in every case, what moved, and the worst, worded once.

use crate::{
    formulas::{
        routing::{Ending, ShutReason},
        weir,
    },
    hydraulics::{
        self, BasinOutcome, LostAt, LostBy, Outcome, ScenarioRun, Siphoned, Stopped, WHY_CREDIBLE, worst,
    },
    quantity::{Kind, show_computed},
    read::Place,
    review::{
        ReviewContext, Value,
        case_report::{CaseBasin, CaseLost, CaseReport, CaseSiphon, CaseStopped, Cases, Series, Worst},
        figure_lines::why_none,
    },
};

const NOTES: [&str; 7] = [
    "levels are simulated in time from the flow of each line, crest, stream and pipe at the levels of that instant; water is conserved",
    "water over a rim leaves as over a broad crest as long as the rim: a rectangle’s sides, else a circle of the same area",
    "overflows carry what they can; where one helped, the same case follows with every overflow blocked",
    "the catchment drains into the basin that the plan names, or into the only one open to rain; rain falls at a constant rate over the storm’s duration on basins open to it",
    "a stream fills and runs out by the resistance of its stone, also below the tested depths",
    "each end of a line keeps its share of the pump’s flow; a stopped pump and a leaking check valve hold nothing back, and ends that run back share the main",
    "water lost goes on until it is noticed, which is taken to be after a day; what still leaves then is given by the hour",
];

/// Follows every case of a plan, and the combinations asked for, and tells them.
pub fn report(context: &ReviewContext<'_>, asked: &[Vec<&'static hydraulics::NamedScenario>]) -> Cases {
    let followed = hydraulics::run_scenarios(context.plan, context.outcomes, asked);
    let all = |cases: &[ScenarioRun]| {
        cases
            .iter()
            .map(|followed| case_report(context, followed))
            .collect()
    };
    let missing = followed
        .missing
        .iter()
        .map(|(at, gap)| format!("{}: {}", context.name(at), why_none(context, gap)));
    Cases {
        cases: all(&followed.single),
        asked: all(&followed.named),
        worst: worst(&followed.single).map(|followed| worst_case(context, followed, None)),
        combined: worst(&followed.credible).map(|followed| worst_case(context, followed, Some(WHY_CREDIBLE))),
        missing: missing.collect(),
        notes: NOTES.map(str::to_owned).to_vec(),
    }
}

fn value(context: &ReviewContext<'_>, si: f64, kind: Kind) -> Value {
    Value {
        text: show_computed(si, kind, context.units),
        si: Some(si),
    }
}

fn case_report(context: &ReviewContext<'_>, followed: &ScenarioRun) -> CaseReport {
    let outcome = followed.outcome.as_deref();
    let each = |outcome: &Outcome| {
        let basins = in_plan_order(context, outcome).map(|basin| case_basin(context, basin));
        let siphons = outcome.siphons.iter().map(|siphon| case_siphon(context, siphon));
        let lost = outcome.lost.iter().map(|lost| case_lost(context, lost));
        (basins.collect(), siphons.collect(), lost.collect())
    };
    let (basins, siphons, lost) = outcome.map(each).unwrap_or_default();
    let stopped = |outcome: &Outcome| {
        outcome
            .stopped
            .iter()
            .map(|pump| stopped_at(context, pump))
            .collect()
    };
    let ended = |outcome: &Outcome| value(context, outcome.ended_at, Kind::Time);
    CaseReport {
        name: followed.name.clone(),
        title: followed.title.clone(),
        supposes: context.words(&followed.supposes),
        gap: outcome.err().map(|gap| why_none(context, gap)),
        basins,
        siphons,
        lost,
        stopped: outcome.map(stopped).unwrap_or_default(),
        ended_at: outcome.ok().map(ended),
        told: outcome
            .map(|outcome| sentences(context, outcome))
            .unwrap_or_default(),
        settled_after: outcome
            .ok()
            .map(|outcome| value(context, outcome.settled_after, Kind::Time)),
        unsettled: outcome.ok().and_then(unsettled).map(str::to_owned),
    }
}

fn in_plan_order<'o>(
    context: &ReviewContext<'_>,
    outcome: &'o Outcome,
) -> impl Iterator<Item = &'o BasinOutcome> {
    let position = |basin: &&BasinOutcome| {
        let mut basins = context.plan.basins.values();
        basins.position(|known| known.place == basin.at)
    };
    let mut basins: Vec<&BasinOutcome> = outcome.basins.iter().collect();
    basins.sort_by_key(position);
    basins.into_iter()
}

fn unsettled(outcome: &Outcome) -> Option<&'static str> {
    match outcome.ending {
        Ending::Settled => None,
        Ending::TimeLimit => Some("still moving after ten days"),
        Ending::StepLimit => Some("not simulated to the end: it takes too many steps"),
        Ending::Chattering => Some("not simulated to the end: something opens and shuts without end"),
    }
}

fn case_basin(context: &ReviewContext<'_>, basin: &BasinOutcome) -> CaseBasin {
    let over = basin.over_rim > 0.0;
    CaseBasin {
        object: basin.at.clone(),
        object_name: context.name(&basin.at),
        highest: value(context, basin.highest.level, Kind::Level),
        highest_at: value(context, basin.highest.time, Kind::Time),
        lowest: value(context, basin.lowest.level, Kind::Level),
        lowest_at: value(context, basin.lowest.time, Kind::Time),
        end: value(context, basin.end, Kind::Level),
        freeboard: basin
            .freeboard
            .filter(|_| !over)
            .map(|freeboard| value(context, freeboard, Kind::Length)),
        over_rim: over.then(|| value(context, basin.over_rim, Kind::Volume)),
        over_rim_rate: over.then(|| value(context, basin.over_rim_rate, Kind::Flow)),
        over_rim_for: basin
            .over_rim_for
            .filter(|_| over)
            .map(|time| value(context, time, Kind::Time)),
        left: value(context, basin.left, Kind::Volume),
        left_depth: value(context, basin.left_depth, Kind::Length),
        fish: basin.fish,
    }
}

fn case_siphon(context: &ReviewContext<'_>, siphon: &Siphoned) -> CaseSiphon {
    CaseSiphon {
        object: siphon.run.clone(),
        object_name: context.name(&siphon.run),
        volume: value(context, siphon.volume, Kind::Volume),
        fall: value(context, siphon.fall, Kind::Length),
        duration: value(context, siphon.duration, Kind::Time),
        stop: siphon.stop.map_or("nothing: it still runs", stop),
    }
}

/// What shuts a way, in words.
fn stop(why: ShutReason) -> &'static str {
    match why {
        ShutReason::AirInlet => "the water fell to the air inlet",
        ShutReason::Mouth => "the water fell to the mouth of the line",
        ShutReason::LevelsMet => "the levels met",
        ShutReason::Intake => "its intake came clear of the water",
        ShutReason::CutOff => "its low-level cut-off",
        ShutReason::Empty => "the basin ran empty",
    }
}

fn case_lost(context: &ReviewContext<'_>, lost: &LostAt) -> CaseLost {
    CaseLost {
        object: lost.at.clone(),
        object_name: context.name(&lost.at),
        by: match lost.by {
            LostBy::Rim => "over the rim",
            LostBy::Overflow => "by the overflow",
            LostBy::Break => "out of the broken line",
        },
        volume: value(context, lost.volume, Kind::Volume),
        rate: (lost.rate > 0.0).then(|| value(context, lost.rate, Kind::Flow)),
    }
}

fn sentences(context: &ReviewContext<'_>, outcome: &Outcome) -> Vec<String> {
    let show = |si, kind| show_computed(si, kind, context.units);
    let siphons = outcome
        .siphons
        .iter()
        .filter(|siphon| siphon.volume > 0.0)
        .map(|siphon| {
            let told = case_siphon(context, siphon);
            format!(
                "{} siphon back through {} in {}, until {}",
                told.volume.text, told.object_name, told.duration.text, told.stop
            )
        });
    let stopped = outcome.stopped.iter().map(|pump| stopped_sentence(context, pump));
    let lost = outcome.lost.iter().map(|lost| {
        let told = case_lost(context, lost);
        let reached = outcome.basins.iter().find(|basin| basin.at == lost.at);
        let rim = reached.filter(|_| lost.by == LostBy::Rim);
        let when = rim.and_then(|basin| Some((basin.rim_reached?, basin.rim_length)));
        let when = when.map(|(time, length)| {
            format!(
                ", from {} on, along {} of rim",
                show(time, Kind::Time),
                show(length, Kind::Length)
            )
        });
        let from = if lost.by == LostBy::Break { "from" } else { "of" };
        let goes_on = told.rate.map(|rate| format!(", and {} still leaves", rate.text));
        format!(
            "{} lost {} {from} {}{}{}",
            told.volume.text,
            told.by,
            told.object_name,
            when.unwrap_or_default(),
            goes_on.unwrap_or_default()
        )
    });
    let fish = in_plan_order(context, outcome)
        .filter(|basin| basin.fish && basin.lowest.level < basin.highest.level - FISH_FALL)
        .map(|basin| {
            format!(
                "{} left for the fish in {}, {} deep",
                show(basin.left, Kind::Volume),
                context.name(&basin.at),
                show(basin.left_depth, Kind::Length)
            )
        });
    let drowned = outcome.drowned.iter().map(|fall| {
        let (name, most) = (context.name(fall), weir::SUBMERGENCE.end());
        format!(
            "{name} is drowned by more than {most} of the water over it, beyond what its law was measured for: how \
             fast the levels even out there is an estimate"
        )
    });
    siphons
        .chain(stopped)
        .chain(lost)
        .chain(fish)
        .chain(drowned)
        .collect()
}

/// A fall of the water that is worth telling for the fish, m.
const FISH_FALL: f64 = 0.1;

fn stopped_at(context: &ReviewContext<'_>, pump: &Stopped) -> CaseStopped {
    CaseStopped {
        object: pump.pump.clone(),
        object_name: context.name(&pump.pump),
        at: value(context, pump.time, Kind::Time),
        by: stop(pump.why),
    }
}

fn stopped_sentence(context: &ReviewContext<'_>, pump: &Stopped) -> String {
    let because = match pump.why {
        ShutReason::CutOff => "is stopped by its low-level cut-off",
        ShutReason::Empty => "stops with its basin empty",
        _ => "draws air: its intake comes clear of the water, and it counts as stopped",
    };
    let after = if pump.time > 0.0 {
        format!("after {}", show_computed(pump.time, Kind::Time, context.units))
    } else {
        "at once".to_owned()
    };
    format!("{} {because} {after}", context.name(&pump.pump))
}

fn worst_case(context: &ReviewContext<'_>, followed: &ScenarioRun, reasoning: Option<&str>) -> Worst {
    let outcome = followed.outcome.as_deref().ok();
    let series = outcome.into_iter().flat_map(|outcome| {
        outcome.basins.iter().map(|basin| Series {
            object: basin.at.clone(),
            object_name: context.name(&basin.at),
            rim: basin.rim,
            points: basin.series.clone(),
        })
    });
    let (because, object) = outcome
        .map(|outcome| verdict(context, outcome, reasoning.is_some()))
        .unwrap_or_default();
    Worst {
        case: case_report(context, followed),
        because,
        object_name: object.as_ref().map(|at| context.name(at)),
        object,
        compared: reasoning.map(str::to_owned),
        series: series.collect(),
    }
}

/// What makes it the worst, and the basin where it is.
fn verdict(context: &ReviewContext<'_>, outcome: &Outcome, combined: bool) -> (String, Option<Place>) {
    let spilled = outcome.over_rims();
    if spilled > 0.0 {
        let most = outcome
            .basins
            .iter()
            .max_by(|a, b| a.over_rim.total_cmp(&b.over_rim));
        let spilled = show_computed(spilled, Kind::Volume, context.units);
        let of = if combined { "combinations" } else { "single cases" };
        let because = format!("the {of} that spills most: {spilled} over the rims, most of it");
        return (because, most.map(|basin| basin.at.clone()));
    }
    let freeboard = |basin: &&BasinOutcome| basin.freeboard.unwrap_or(f64::INFINITY);
    let least = outcome
        .basins
        .iter()
        .min_by(|a, b| freeboard(a).total_cmp(&freeboard(b)));
    match least.and_then(|basin| Some((basin, basin.freeboard?))) {
        Some((basin, freeboard)) => {
            let left = show_computed(freeboard, Kind::Length, context.units);
            let because = format!("no water goes over a rim; the smallest freeboard left is {left}");
            (because, Some(basin.at.clone()))
        }
        None => ("no rim is shown".to_owned(), None),
    }
}
