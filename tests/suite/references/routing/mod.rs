//! Levels in time against closed forms and independent integrations.

mod generated;

use bywash::formulas::{
    gravity_pipe::{GravityPipe, Mouth},
    pipe::{Run, flow_under_head},
    routing::{Ending, FlowLaw, Routing, Settings, ShutReason, StorageDischarge, Store, TimeSeries},
    storage::{Profile, Storage},
    water::STANDARD_GRAVITY as G,
    weir::{BROAD, Crest, Edge},
};

use super::table::{Row, close, rows};

/// A basin with upright walls.
fn upright(area: f64) -> Storage {
    Storage::open(&Profile::contours(&[(-5.0, area), (5.0, area)]).unwrap())
}

/// Followed as closely as the arithmetic allows.
const CLOSE: Settings = Settings {
    tolerance: 1e-13,
    still: 1e-12,
    until: 1e9,
    steps: 100_000,
};

/// A tank that drains to the outside down to a level, by its series.
fn drained(tank: &Storage, level: f64, down_to: f64, law: FlowLaw<'_>, settings: &Settings) -> TimeSeries {
    let mut routing = Routing::default();
    let outside = routing.store(Store::Outside, 0.0);
    let tank = routing.basin(tank, level);
    routing.link_shut_at(tank, outside, law, vec![(down_to, ShutReason::Mouth)]);
    routing.run(settings)
}

/// Closed form of a draining tank, and scipy 1.17.1 `solve_ivp` (DOP853).
#[test]
fn reference_tank_drained_through_an_orifice() {
    for row in rows("routing/12a_drain_orifice.csv") {
        let tank = upright(row.num("A_m2") * row.num("porosity"));
        let diameter = row.num("d_orifice_m");
        let area = row.num("Cd") * std::f64::consts::PI * diameter * diameter / 4.0;
        let law = FlowLaw::Orifice { level: 0.0, area };
        let series = drained(&tank, row.num("h1_m"), row.num("h2_m"), law, &CLOSE);
        let shut = series.shut[0].unwrap();
        close(shut.time, row.num("t_closed_s"), 1e-9, "time");
        close(series.passed[0], row.num("V_drained_m3"), 1e-9, "volume");
    }
}

/// scipy 1.17.1 `quad` of A/Q(h), exact Colebrook of fluids 1.3.1.
#[test]
fn reference_tank_drained_through_a_pipe() {
    for row in rows("routing/12b_drain_pipe.csv") {
        let tank = upright(row.num("A_m2"));
        let law = FlowLaw::FullPipe {
            run: run(&row),
            nu: row.num("nu_m2_s"),
            outlet: Some(-row.num("z_fall_m")),
        };
        let series = drained(&tank, row.num("h1_m"), row.num("h2_m"), law, &Settings::default());
        close(series.shut[0].unwrap().time, row.num("t_ref_s"), 1e-4, "time");
    }
}

fn run(row: &Row) -> Run {
    Run::new(row.num("D_m"), row.num("L_m"), row.num("eps_m")).with_k(row.num("K_total"))
}

/// scipy 1.17.1 `quad` of dh over the rate of change, fluids 1.3.1 Colebrook; followed as in a review.
#[test]
fn reference_siphon_drain_back_in_time() {
    for row in rows("routing/12c_siphon_drain_back.csv") {
        let upper = upright(row.num("A_upper_m2") * row.num("porosity_upper"));
        let lower = upright(row.num("A_lower_m2") * row.num("porosity_lower"));
        let mut routing = Routing::default();
        let above = routing.basin(&upper, row.num("z_upper0_m"));
        let below = routing.basin(&lower, row.num("z_lower0_m"));
        let law = FlowLaw::FullPipe {
            run: run(&row),
            nu: row.num("nu_m2_s"),
            outlet: row.opt("z_outlet_m"),
        };
        let shuts = vec![(row.num("z_vent_m"), ShutReason::AirInlet)];
        routing.link_shut_at(above, below, law, shuts);
        let series = routing.run(&Settings::default());
        let shut = series.shut[0].unwrap();
        let why = match row.text("stop") {
            "vent" => ShutReason::AirInlet,
            "equalized" => ShutReason::LevelsMet,
            other => panic!("stop {other}"),
        };
        assert_eq!(shut.reason, why);
        let end = series.last().unwrap();
        close(series.passed[0], row.num("V_moved_m3"), 1e-6, "volume");
        close(end.levels[above], row.num("z_upper_end_m"), 1e-6, "upper level");
        close(end.levels[below], row.num("z_lower_end_m"), 1e-6, "lower level");
        close(shut.time, row.num("t_end_s"), 5e-3, "time");
    }
}

/// Two communicating basins joined by an opening: the head falls as the square of time, `t = 2·A·(√h₁ − √h₂)/(C·a·√2g)`
/// with `1/A = 1/A₁ + 1/A₂` (closed form).
#[test]
fn reference_two_communicating_basins() {
    // A pipe of no length, with fittings alone, passes a·√(2·g·h/K).
    let (first, second) = (upright(3.0), upright(7.5));
    let (diameter, k) = (0.06, 2.5);
    let mut routing = Routing::default();
    let (a, b) = (routing.basin(&first, 1.4), routing.basin(&second, 0.2));
    let run = Run::new(diameter, 0.0, 0.0).with_k(k);
    routing.link(
        a,
        b,
        FlowLaw::FullPipe {
            run,
            nu: 1e-6,
            outlet: None,
        },
    );
    let series = routing.run(&CLOSE);
    let both = 1.0 / (1.0 / 3.0 + 1.0 / 7.5);
    let opening = run.area() / f64::sqrt(k);
    let time = 2.0 * both * (1.2_f64.sqrt() - 1e-3_f64.sqrt()) / (opening * (2.0 * G).sqrt());
    let shut = series.shut[0].unwrap();
    assert_eq!(shut.reason, ShutReason::LevelsMet);
    close(shut.time, time, 1e-9, "time");
    close(series.passed[0], both * (1.2 - 1e-3), 1e-9, "volume");
}

/// Worked by hand: a bed of 12 m² with 40 % voids stands at +0.50 m, a pond of 9 m² at −0.20 m, joined by a full line
/// whose mouth lies at −0.30 m and whose air inlet lies at +0.42 m.
///
/// With the inlet the bed falls 0.08 m: 12 × 0.40 × 0.08 = 0.384 m³, and the pond rises 0.384/9 = 0.04267 m, to
/// −0.15733 m. Without it the levels meet (to 1 mm): 4.8·(0.50 − z) = 9·(z − 0.001 + 0.20), so that 13.8·z = 0.609 and
/// z = 0.0441304 m: 2.188174 m³ run, and the pond stands at +0.0431304 m.
#[test]
fn reference_siphon_between_bed_and_pond_by_hand() {
    let (bed, pond) = (upright(12.0 * 0.4), upright(9.0));
    let run = Run::new(0.05, 9.0, 1.5e-6).with_k(5.0);
    let moved = |inlet: Option<f64>| {
        let mut routing = Routing::default();
        let (upper, lower) = (routing.basin(&bed, 0.5), routing.basin(&pond, -0.2));
        let law = FlowLaw::FullPipe {
            run,
            nu: 1.1e-6,
            outlet: None,
        };
        let inlet = inlet.map(|level| (level, ShutReason::AirInlet));
        let shuts = inlet.into_iter().chain([(-0.3, ShutReason::Mouth)]).collect();
        routing.link_shut_at(upper, lower, law, shuts);
        let series = routing.run(&Settings::default());
        (series.passed[0], series.last().unwrap().levels[lower])
    };
    let (volume, level) = moved(Some(0.42));
    close(volume, 0.384, 1e-9, "volume with the inlet");
    close(level, -0.2 + 0.384 / 9.0, 1e-9, "pond with the inlet");
    let (volume, level) = moved(None);
    close(volume, 2.188174, 1e-6, "volume without");
    close(level, 0.0431304, 1e-6, "pond without");
}

/// Time for an upper basin of upright walls to give a volume to a lower one through a full line, s: `t = ∫ dV/Q(h)`. With
/// `w = V·s²` left to go the integrand stays bounded where the flow dies away. Composite three-point Gauss–Legendre.
fn time_by_quadrature(areas: (f64, f64), head: f64, volume: f64, line: &Run, nu: f64) -> f64 {
    const PANELS: u32 = 200;
    let node = 0.6_f64.sqrt();
    let rate = |s: f64| {
        let moved = volume * (1.0 - s * s);
        let left = head - moved / areas.0 - moved / areas.1;
        2.0 * volume * s / flow_under_head(left, line, nu)
    };
    let half = 0.5 / f64::from(PANELS);
    let panels = (0..PANELS).map(|panel| {
        let middle = (2.0 * f64::from(panel) + 1.0) * half;
        half * (5.0 * rate(middle - half * node) + 8.0 * rate(middle) + 5.0 * rate(middle + half * node))
            / 9.0
    });
    panels.sum()
}

/// The same case by storage routing and by a quadrature of its own: two methods, one answer.
#[test]
fn reference_two_methods_agree_on_the_time() {
    let (bed, pond) = (upright(2.1), upright(9.0));
    let line = Run::new(0.0525, 10.4, 1.5e-6).with_k(6.2);
    let (start_upper, start_lower, nu, inlet) = (0.25, -0.3, 1.2e-6, 0.1);
    let volume = 2.1 * (start_upper - inlet);
    let time = time_by_quadrature((2.1, 9.0), start_upper - start_lower, volume, &line, nu);
    let mut routing = Routing::default();
    let (upper, lower) = (
        routing.basin(&bed, start_upper),
        routing.basin(&pond, start_lower),
    );
    let law = FlowLaw::FullPipe {
        run: line,
        nu,
        outlet: None,
    };
    routing.link_shut_at(upper, lower, law, vec![(inlet, ShutReason::AirInlet)]);
    let series = routing.run(&CLOSE);
    assert_eq!(series.ending, Ending::Settled);
    close(series.shut[0].unwrap().time, time, 1e-7, "time");
    close(series.passed[0], volume, 1e-9, "volume");
}

/// Steps of an even length, each half the one before: the error of a smooth drawdown falls sixteenfold (order 4).
#[test]
fn reference_order_of_the_integrator() {
    // Over a broad crest h' = −k·h^1.5, and so 1/√h grows evenly (closed form).
    let (area, width, start, until): (f64, f64, f64, f64) = (2.0, 0.6, 0.3, 40.0);
    let by_time = BROAD * width / (2.0 * area);
    let exact = (1.0 / start.sqrt() + by_time * until).powi(-2);
    let tank = upright(area);
    let error = |steps: u32| {
        let mut routing = Routing::default();
        let outside = routing.store(Store::Outside, 0.0);
        let tank = routing.basin(&tank, start);
        let crest = Crest::in_open_water(Edge::BroadStone, width);
        routing.link(tank, outside, FlowLaw::Crest { crest, level: 0.0 });
        let end = routing.run_evenly(until, steps);
        (end[tank] / area - 5.0 - exact).abs()
    };
    let errors: Vec<f64> = [16, 32, 64, 128].map(error).to_vec();
    for pair in errors.windows(2) {
        let order = (pair[0] / pair[1]).log2();
        assert!((order - 4.0).abs() < 0.3, "order {order} from {errors:?}");
    }
}

/// Balances of volume computed with numpy 2.4.6 (film by Q = 1.84·b·h^1.5): a start-up followed until it runs evenly comes
/// to the same drawdown.
#[test]
fn reference_start_up_in_time() {
    for row in rows("routing/12d_startup_drawdown.csv") {
        let flow = row.num("Q_m3_s");
        let lower = upright(row.num("A_open_m2") + row.num("A_media_m2") * row.num("porosity_media"));
        let upper = upright(row.num("A_upper_m2"));
        let stream = row.num("A_stream_m2") * row.num("depth_stream_m");
        let held = StorageDischarge::new(vec![(stream * 0.01, flow * 1e-4), (stream, flow)]).unwrap();
        let mut routing = Routing::default();
        let (below, above) = (routing.basin(&lower, 0.0), routing.basin(&upper, 2.0));
        let bed = routing.store(Store::Stream(held.clone()), 0.0);
        routing.link(below, above, FlowLaw::Constant(flow));
        let lip = GravityPipe {
            mouth: Mouth::Lip {
                width: row.num("b_weir_m"),
            },
            level: 2.0,
            // Wide enough that the lip alone holds the water back.
            pipe: Run::new(3.0, 0.0, 0.0).with_k(1.0),
        };
        let over = FlowLaw::GravityPipe {
            pipe: lip,
            nu: 1e-6,
            outlet: Some(-5.0),
        };
        routing.link(above, bed, over);
        routing.link(bed, below, FlowLaw::StreamOutflow(held));
        let series = routing.run(&Settings {
            tolerance: 1e-9,
            still: 1e-12,
            ..Settings::default()
        });
        assert_eq!(series.ending, Ending::Settled);
        let end = series.last().unwrap();
        close(-end.levels[below], row.num("drawdown_m"), 1e-6, "drawdown");
        close(end.levels[above] - 2.0, row.num("h_weir_m"), 1e-6, "film");
        close(end.volumes[bed], row.num("V_stream_m3"), 1e-6, "stream");
    }
}
