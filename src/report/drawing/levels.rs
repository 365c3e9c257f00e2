//! The levels a basin is drawn at: as shown or computed, else at a nominal place, told apart.

use crate::{
    ledger::Ledger,
    plan::{Basin, Given, Layer, Level, Measure, Plan, Shown, connections::receiver},
};

/// What a level is drawn at where nothing tells it, m from its neighbour: for the drawing only.
const NOMINAL_FREEBOARD: f64 = 0.2;
const NOMINAL_DEPTH: f64 = 0.6;
/// Thickness a layer is drawn with where the plan shows none, m.
pub const NOMINAL_LAYER: f64 = 0.15;
/// Levels are drawn within this of the benchmark, m; what lies farther is drawn as if not shown.
const FARTHEST: f64 = 3000.0;

/// A level of the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drawn {
    /// Height above the benchmark, m.
    pub level: f64,
    /// Whether the plan shows it.
    pub shown: bool,
}

/// The levels of a basin.
#[derive(Clone, Debug, PartialEq)]
pub struct BasinLevels {
    /// Lowest edge of the lining.
    pub rim: Drawn,
    /// Water with the pumps off.
    pub still: Drawn,
    /// Lowest point.
    pub floor: Drawn,
    /// Water while running, where it was computed.
    pub running: Option<f64>,
    /// Water after the pumps stop, where it was computed.
    pub power_off: Option<f64>,
    /// The ground outside.
    pub ground: Drawn,
    /// Top of what fills it, as far as that is drawn: no higher over the rim than the basin is deep.
    pub filled: f64,
}

impl BasinLevels {
    /// The levels of a basin; `crests` are those it spills over.
    pub fn of(basin: &Given<Basin>, ledger: &Ledger, crests: &[f64]) -> Self {
        let at = &basin.place;
        let computed = |name| ledger.quantity(at, name).and_then(within);
        let (running, power_off) = (computed("running-level"), computed("power-off-level"));
        let rim = level(&basin.rim);
        let still = level(&basin.still);
        let floor = floor(basin, rim);
        let water = still
            .or(running)
            .or_else(|| crests.iter().copied().reduce(f64::min));
        let still_drawn = water
            .or(rim.map(|rim| rim - NOMINAL_FREEBOARD))
            .or(floor.map(|floor| floor + NOMINAL_DEPTH))
            .unwrap_or(0.0);
        let rim_drawn = rim.unwrap_or(still_drawn + NOMINAL_FREEBOARD);
        let floor_drawn = floor.unwrap_or(still_drawn.min(rim_drawn) - NOMINAL_DEPTH);
        Self {
            rim: Drawn::new(rim_drawn, rim),
            still: Drawn::new(still_drawn, still),
            floor: Drawn::new(floor_drawn, floor),
            running,
            power_off,
            ground: ground(basin, still_drawn, rim_drawn),
            filled: filled(basin, floor_drawn, rim_drawn),
        }
    }

    /// The highest water of the ordinary cases.
    pub fn highest_water(&self) -> f64 {
        [self.running, self.power_off]
            .into_iter()
            .flatten()
            .fold(self.still.level, f64::max)
    }

    /// The water that is drawn filled: running where it is known.
    pub fn water(&self) -> f64 {
        self.running.unwrap_or(self.still.level)
    }
}

impl Drawn {
    fn new(level: f64, shown: Option<f64>) -> Self {
        Self {
            level,
            shown: shown.is_some(),
        }
    }
}

/// A level of the plan that can be drawn.
pub fn level(shown: &Shown<Level>) -> Option<f64> {
    shown.value().and_then(|level| within(level.si()))
}

fn within(level: f64) -> Option<f64> {
    (level.is_finite() && level.abs() <= FARTHEST).then_some(level)
}

/// As given, as the shape's depth below the rim, or the lowest contour.
fn floor(basin: &Basin, rim: Option<f64>) -> Option<f64> {
    let by_depth = || {
        let depth = basin.shape.value()?.depth.value()?.si();
        rim.and_then(|rim| within(rim - depth))
    };
    let by_contours = || level(&basin.contours.value()?.first()?.level);
    level(&basin.floor).or_else(by_depth).or_else(by_contours)
}

/// The ground outside, by how high the water stands above it; at the rim where the basin lies in the ground.
fn ground(basin: &Basin, still: f64, rim: f64) -> Drawn {
    match &basin.impounded {
        Shown::Is(height) if within(still - height.si()).is_some() => Drawn {
            level: still - height.si(),
            shown: true,
        },
        Shown::None(_) => Drawn {
            level: rim,
            shown: true,
        },
        _ => Drawn {
            level: rim,
            shown: false,
        },
    }
}

fn filled(basin: &Basin, floor: f64, rim: f64) -> f64 {
    let layers = basin.layers.values();
    let thick: f64 = layers
        .map(|layer| thickness(layer).unwrap_or(NOMINAL_LAYER))
        .sum();
    (floor + thick).min(rim + (rim - floor).abs())
}

/// The thickness of a layer that can be drawn, m.
pub fn thickness(layer: &Layer) -> Option<f64> {
    let thickness = layer.thickness.value()?.si();
    (0.0..FARTHEST).contains(&thickness).then_some(thickness)
}

/// The basins of a plan in the order water flows: each after those that spill into it, else as the plan lists them.
pub fn in_flow_order(plan: &Plan) -> Vec<&str> {
    let joined: Vec<(&str, &str)> = plan
        .falls
        .values()
        .filter_map(|fall| Some((fall.from.value()?.as_str(), receiver(plan, fall)?)))
        .chain(
            plan.drains
                .values()
                .filter_map(|drain| Some((drain.from.value()?.as_str(), drain.to.value()?.as_str()))),
        )
        .filter(|(from, to)| from != to)
        .collect();
    let mut left: Vec<&str> = plan.basins.keys().map(String::as_str).collect();
    let mut order = Vec::new();
    while !left.is_empty() {
        let waits = |id: &str| joined.iter().any(|(from, to)| *to == id && left.contains(from));
        let fed_by_last = |id: &str| {
            let last = order.last().copied();
            joined.iter().any(|(from, to)| *to == id && Some(*from) == last)
        };
        let ready: Vec<usize> = (0..left.len()).filter(|&index| !waits(left[index])).collect();
        let next = ready
            .iter()
            .copied()
            .find(|&index| fed_by_last(left[index]))
            .or(ready.first().copied())
            .unwrap_or(0);
        order.push(left.remove(next));
    }
    order
}
