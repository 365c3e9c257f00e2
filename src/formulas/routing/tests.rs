#![allow(clippy::unwrap_used)]

use super::*;
use crate::formulas::{
    pipe::Run,
    storage::Profile,
    weir::{Crest, Edge},
};

fn upright(area: f64) -> Storage {
    Storage::open(&Profile::contours(&[(-5.0, area), (5.0, area)]).unwrap())
}

const PIPE: Run = Run::new(0.05, 8.0, 1.5e-6).with_k(4.0);

fn siphon() -> FlowLaw<'static> {
    FlowLaw::FullPipe {
        run: PIPE,
        nu: 1e-6,
        outlet: None,
    }
}

#[test]
fn an_inflow_runs_for_its_time_and_is_all_there() {
    let pond = upright(10.0);
    let mut routing = Routing::default();
    let sky = routing.store(Store::Outside, 0.0);
    let pond = routing.basin(&pond, 0.0);
    let flow = 0.002;
    let rain = FlowLaw::Inflow {
        flow,
        from: 100.0,
        until: 1300.0,
    };
    routing.link(sky, pond, rain);
    let series = routing.run(&Settings::default());
    assert_eq!(series.ending, Ending::Settled);
    assert!((series.passed[0] - 2.4).abs() < 1e-12);
    assert!((series.highest(pond).0 - 0.24).abs() < 1e-12);
}

#[test]
fn an_air_inlet_breaks_the_siphon_where_it_stands() {
    let (bed, pond) = (upright(2.0), upright(8.0));
    let mut routing = Routing::default();
    let (upper, lower) = (routing.basin(&bed, 1.0), routing.basin(&pond, 0.0));
    let shuts = vec![(0.9, ShutReason::AirInlet), (-1.0, ShutReason::Mouth)];
    routing.link_shut_at(upper, lower, siphon(), shuts);
    let series = routing.run(&Settings::default());
    assert_eq!(series.shut[0].unwrap().reason, ShutReason::AirInlet);
    assert!((series.last().unwrap().levels[upper] - 0.9).abs() < 1e-11);
    assert!((series.passed[0] - 0.2).abs() < 1e-11);
}

#[test]
fn a_pump_that_empties_its_basin_stays_off() {
    let (bed, pond) = (upright(2.0), upright(1.0));
    let mut routing = Routing::default();
    let (upper, lower) = (routing.basin(&bed, 1.0), routing.basin(&pond, 0.0));
    let pumped = routing.link_shut_at(
        lower,
        upper,
        FlowLaw::Constant(0.01),
        vec![(-0.25, ShutReason::Intake)],
    );
    let crest = FlowLaw::Crest {
        crest: Crest::in_open_water(Edge::ThinLip, 0.5),
        level: 1.1,
    };
    routing.link(upper, lower, crest);
    let series = routing.run(&Settings::default());
    let shut = series.shut[pumped].unwrap();
    assert_eq!(shut.reason, ShutReason::Intake);
    assert_eq!(series.ending, Ending::Settled);
    // What stood over the crest has run back, and the pump did not start again.
    assert!((series.last().unwrap().levels[upper] - 1.1).abs() < 1e-12);
    assert!(series.last().unwrap().levels[lower] > -0.25);
}

#[test]
fn a_watched_level_is_noted_when_it_is_reached_and_not_when_water_stands_at_it() {
    let pond = upright(10.0);
    let mut routing = Routing::default();
    let sky = routing.store(Store::Outside, 0.0);
    let pond = routing.basin(&pond, 0.0);
    let rain = FlowLaw::Inflow {
        flow: 0.01,
        from: 0.0,
        until: 500.0,
    };
    routing.link(sky, pond, rain);
    for level in [0.0, 0.25, 0.75] {
        routing.watched.push(WatchedLevel { store: pond, level });
    }
    let series = routing.run(&Settings::default());
    assert_eq!(series.marks.len(), 1);
    assert_eq!(series.marks[0].watched, 1);
    assert!((series.marks[0].time - 250.0).abs() < 1e-6);
}

#[test]
fn limits_end_it_and_are_told() {
    let (bed, pond) = (upright(2.0), upright(8.0));
    let mut routing = Routing::default();
    let (upper, lower) = (routing.basin(&bed, 1.0), routing.basin(&pond, 0.0));
    routing.link(upper, lower, siphon());
    let short = Settings {
        until: 30.0,
        ..Settings::default()
    };
    let series = routing.run(&short);
    assert_eq!(series.ending, Ending::TimeLimit);
    assert_eq!(series.last().unwrap().time, 30.0);
    let few = Settings {
        steps: 2,
        ..Settings::default()
    };
    assert_eq!(routing.run(&few).ending, Ending::StepLimit);
}

#[test]
fn a_stiff_system_takes_few_steps() {
    // A cup of a basin behind a wide crest settles in a fraction of a second; the pond takes hours, and drowns it.
    let (cup, pond) = (upright(0.01), upright(200.0));
    let mut routing = Routing::default();
    let sky = routing.store(Store::Outside, 0.0);
    let (cup, pond) = (routing.basin(&cup, 1.0), routing.basin(&pond, 0.0));
    let rain = FlowLaw::Inflow {
        flow: 0.01,
        from: 0.0,
        until: 36_000.0,
    };
    routing.link(sky, cup, rain);
    let crest = FlowLaw::Crest {
        crest: Crest::in_open_water(Edge::BroadStone, 3.0),
        level: 1.0,
    };
    routing.link(cup, pond, crest);
    let series = routing.run(&Settings::default());
    assert_eq!(series.ending, Ending::Settled);
    assert!(series.snapshots.len() < 120, "{} steps", series.snapshots.len());
    assert!((series.last().unwrap().levels[pond] - series.last().unwrap().levels[cup]).abs() < 1e-5);
}

#[test]
fn a_pump_below_its_intake_from_the_start_never_runs() {
    let (bed, pond) = (upright(2.0), upright(1.0));
    let mut routing = Routing::default();
    let (upper, lower) = (routing.basin(&bed, 1.0), routing.basin(&pond, 0.0));
    routing.link_shut_at(
        lower,
        upper,
        FlowLaw::Constant(0.01),
        vec![(0.1, ShutReason::Intake)],
    );
    let series = routing.run(&Settings::default());
    assert_eq!(series.shut[0].unwrap().time, 0.0);
    assert_eq!(series.passed[0], 0.0);
}

#[test]
fn a_stream_holds_what_its_flow_needs_and_runs_dry_at_the_end() {
    let held = StorageDischarge::new(vec![(0.01, 1e-4), (0.1, 4e-3), (0.2, 1e-2)]).unwrap();
    for flow in [1e-5, 3e-4, 4e-3, 2e-2] {
        assert!((held.flow(held.volume(flow)).0 - flow).abs() < 1e-12 * flow.max(1e-3));
    }
    let pond = upright(4.0);
    let mut routing = Routing::default();
    let stream = routing.store(Store::Stream(held.clone()), 0.15);
    let pond = routing.basin(&pond, 0.0);
    routing.link(stream, pond, FlowLaw::StreamOutflow(held));
    let series = routing.run(&Settings::default());
    assert_eq!(series.last().unwrap().volumes[stream], 0.0);
    assert!((series.passed[0] - 0.15).abs() < 1e-12);
}

#[test]
fn a_pumped_line_curve_passes_its_knots_and_ends_with_them() {
    let curve = PumpedLineCurve::new(vec![(2.0, 0.0), (0.0, 0.004), (1.0, 0.003)]).unwrap();
    assert_eq!(curve.flow(1.0).0, 0.003);
    assert!((curve.flow(1.5).0 - 0.0015).abs() < 1e-15);
    assert_eq!(curve.flow(2.5), (0.0, 0.0));
    assert_eq!(curve.flow(-1.0), (0.004, 0.0));
    assert!(PumpedLineCurve::new(vec![(1.0, 0.1), (1.0, 0.2)]).is_none());
    assert!(PumpedLineCurve::new(vec![(f64::NAN, 0.1), (1.0, 0.2)]).is_none());
}
