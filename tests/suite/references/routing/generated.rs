//! What holds for every system of basins: checked over generated ones.

use bywash::formulas::{
    pipe::Run,
    routing::{Ending, FlowLaw, Routing, Settings, ShutReason, Store, TimeSeries, WatchedLevel},
    storage::{Profile, Storage},
    weir::{Crest, Edge, head_for_flow},
};
use proptest::prelude::*;

use super::upright;

/// A chain of basins that spill one into the next, with a pump or a siphon from the last to the first, and rain.
#[derive(Clone, Debug)]
struct Made {
    basins: Vec<Basin>,
    pumped: Option<f64>,
    siphon: bool,
    rain: f64,
}

#[derive(Clone, Debug)]
struct Basin {
    floor_area: f64,
    top_area: f64,
    depth: f64,
    /// Share of the depth.
    start: f64,
    crest: f64,
    width: f64,
    /// Below the one before, m.
    drop: f64,
}

fn made() -> impl Strategy<Value = Made> {
    let basin = (
        0.1..20.0,
        1.0..2.5,
        0.3..1.5,
        0.2..1.0,
        0.5..0.95,
        0.1..2.0,
        0.0..0.8,
    )
        .prop_map(|(floor_area, wider, depth, start, crest, width, drop)| Basin {
            floor_area,
            top_area: floor_area * wider,
            depth,
            start,
            crest,
            width,
            drop,
        });
    let basins = prop::collection::vec(basin, 2..5);
    (basins, prop::option::of(1e-4..0.01), any::<bool>(), 0.0..3e-5).prop_map(
        |(basins, pumped, siphon, rain)| Made {
            basins,
            pumped,
            siphon,
            rain,
        },
    )
}

struct Built {
    storages: Vec<Storage>,
    tops: Vec<f64>,
}

impl Made {
    fn built(&self) -> Built {
        let mut tops = Vec::new();
        let mut top = 0.0;
        for basin in &self.basins {
            top -= basin.drop;
            tops.push(top);
        }
        let storages = self.basins.iter().zip(&tops).map(|(basin, top)| {
            let contours = [(top - basin.depth, basin.floor_area), (*top, basin.top_area)];
            Storage::open(&Profile::contours(&contours).unwrap())
        });
        Built {
            storages: storages.collect(),
            tops,
        }
    }

    /// The routing, with ways in one order or the other.
    fn routing<'a>(&self, built: &'a Built, backward: bool) -> Routing<'a> {
        let mut routing = Routing::default();
        for (index, basin) in self.basins.iter().enumerate() {
            let floor = built.tops[index] - basin.depth;
            routing.basin(&built.storages[index], floor + basin.start * basin.depth);
        }
        let (ground, sky) = (
            routing.store(Store::Outside, 0.0),
            routing.store(Store::Outside, 0.0),
        );
        let last = self.basins.len() - 1;
        let mut ways = Vec::new();
        for (index, basin) in self.basins.iter().enumerate() {
            let top = built.tops[index];
            let crest = top - basin.depth * (1.0 - basin.crest);
            let over = |width, level| FlowLaw::Crest {
                crest: Crest::in_open_water(Edge::BroadStone, width),
                level,
            };
            ways.push((index, ground, over(RIM, top), Vec::new()));
            if index < last {
                ways.push((index, index + 1, over(basin.width, crest), Vec::new()));
            }
            let rain = FlowLaw::Inflow {
                flow: self.rain * basin.top_area,
                from: 60.0,
                until: 1800.0,
            };
            ways.push((sky, index, rain, Vec::new()));
            routing.watched.push(WatchedLevel {
                store: index,
                level: top,
            });
        }
        let floor = |index: usize| built.tops[index] - self.basins[index].depth;
        if let Some(flow) = self.pumped {
            let intake = floor(last) + 0.1;
            ways.push((
                last,
                0,
                FlowLaw::Constant(flow),
                vec![(intake, ShutReason::Intake)],
            ));
        } else if self.siphon {
            let law = FlowLaw::FullPipe {
                run: LINE,
                nu: 1e-6,
                outlet: None,
            };
            ways.push((0, last, law, vec![(floor(0) + 0.05, ShutReason::Mouth)]));
        }
        if backward {
            ways.reverse();
        }
        for (from, to, law, shuts) in ways {
            routing.link_shut_at(from, to, law, shuts);
        }
        routing
    }
}

const RIM: f64 = 6.0;
const LINE: Run = Run::new(0.05, 10.0, 1.5e-6).with_k(5.0);

fn total(series: &TimeSeries, at: usize) -> f64 {
    series.snapshots[at].volumes.iter().sum()
}

/// A crest a hair below its rim: at rest the error of a step stays what it was, and steps stay short.
#[test]
fn rest_is_seen_though_steps_stay_short() {
    let basin = |floor_area, top_area, depth, start, crest, width, drop| Basin {
        floor_area,
        top_area,
        depth,
        start,
        crest,
        width,
        drop,
    };
    let made = Made {
        basins: vec![
            basin(
                5.4277654990901025,
                11.297929683900504,
                0.7008426336362918,
                0.3051872923914755,
                0.8042933541317555,
                1.563172732506504,
                0.0,
            ),
            basin(
                12.925262512396253,
                29.75979623421309,
                0.7015945904673566,
                0.9970094700930272,
                0.7015603488409771,
                1.8536808291509477,
                0.06478707513072196,
            ),
            basin(
                17.47977116323638,
                35.97267234080174,
                0.3879790680553151,
                0.6975362519650672,
                0.5,
                0.1,
                0.10160271787080516,
            ),
        ],
        pumped: Some(0.007324188831969834),
        siphon: false,
        rain: 2.7528384111333023e-5,
    };
    let series = made.routing(&made.built(), false).run(&Settings::default());
    assert_eq!(series.ending, Ending::Settled);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Water is conserved to 1e-9 of the total at every instant, what left included; no level lies below its floor, or
    /// above its rim by more than the head of all that can come.
    #[test]
    fn water_is_conserved_and_levels_stay_in_bounds(made in made()) {
        let built = made.built();
        let series = made.routing(&built, false).run(&Settings::default());
        prop_assert!(matches!(series.ending, Ending::Settled | Ending::TimeLimit), "{:?}", series.ending);
        let begin = total(&series, 0);
        let scale: f64 = series.snapshots[0].volumes.iter().map(|volume| volume.abs()).sum();
        for at in 0..series.snapshots.len() {
            prop_assert!((total(&series, at) - begin).abs() <= 1e-9 * scale);
        }
        for (index, basin) in made.basins.iter().enumerate() {
            let (top, floor) = (built.tops[index], built.tops[index] - basin.depth);
            // All the basins' rain, the pump, and the fullest crest or line above.
            let rain: f64 = made.basins.iter().map(|basin| made.rain * basin.top_area).sum();
            let most = rain + made.pumped.unwrap_or(0.0) + 5.0;
            let head = head_for_flow(&Crest::in_open_water(Edge::BroadStone, RIM), most);
            prop_assert!(series.highest(index).0 <= (top + head).max(series.snapshots[0].levels[index]));
            prop_assert!(series.lowest(index).0 >= floor - 1e-9);
        }
    }

    /// The order in which ways are listed changes nothing.
    #[test]
    fn order_changes_nothing(made in made()) {
        let built = made.built();
        let forward = made.routing(&built, false).run(&Settings::default());
        let backward = made.routing(&built, true).run(&Settings::default());
        prop_assert_eq!(forward.ending, backward.ending);
        for index in 0..made.basins.len() {
            let (a, b) = (forward.last().unwrap().levels[index], backward.last().unwrap().levels[index]);
            prop_assert!((a - b).abs() < 1e-4, "{} and {}", a, b);
        }
    }

    /// A system twice as large all over (areas, widths, flows) keeps its levels: nothing hangs on the unit of area.
    #[test]
    fn wider_is_the_same(made in made(), by in 1.5..4.0) {
        let mut wide = made.clone();
        // A pipe does not scale this way.
        prop_assume!(!(made.siphon && made.pumped.is_none()));
        for basin in &mut wide.basins {
            basin.floor_area *= by;
            basin.top_area *= by;
            basin.width *= by;
        }
        wide.pumped = wide.pumped.map(|flow| flow * by);
        let (built, built_wide) = (made.built(), wide.built());
        let narrow = made.routing(&built, false).run(&Settings::default());
        // The rims keep their length.
        prop_assume!(narrow.marks.is_empty());
        let wide = wide.routing(&built_wide, false).run(&Settings::default());
        for index in 0..made.basins.len() {
            let (a, b) = (narrow.last().unwrap().levels[index], wide.last().unwrap().levels[index]);
            prop_assert!((a - b).abs() < 1e-4, "{} and {}", a, b);
        }
    }

    /// Two basins alike end alike, whichever stood higher.
    #[test]
    fn symmetric_basins_settle_equal(area in 0.5..30.0, high in 0.05..2.0, low in -2.0..0.0) {
        let (first, second) = (upright(area), upright(area));
        let mut routing = Routing::default();
        let (a, b) = (routing.basin(&first, high), routing.basin(&second, low));
        routing.link(a, b, FlowLaw::FullPipe { run: LINE, nu: 1e-6, outlet: None });
        let series = routing.run(&Settings::default());
        let end = series.last().unwrap();
        let middle = f64::midpoint(high, low);
        prop_assert!((end.levels[a] - middle - 5e-4).abs() < 1e-9);
        prop_assert!((end.levels[b] - middle + 5e-4).abs() < 1e-9);
    }
}
