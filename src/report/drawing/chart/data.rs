//! What a pump chart shows, from plan and ledger.

use crate::{
    formulas::pump::Curve,
    ledger::Ledger,
    plan::{Given, Measure, Pump},
};

/// Points a curve is drawn through.
const STEPS: u32 = 64;

/// What a chart shows, SI.
pub(super) struct Data {
    pub curve: Vec<(f64, f64)>,
    pub points: Vec<(f64, f64)>,
    /// Flow and head at which pump and system meet.
    pub duty: Option<(f64, f64)>,
    /// Lift with no flow.
    pub lift: Option<f64>,
    pub stated: Option<f64>,
    /// Flow at best efficiency.
    pub best: Option<f64>,
    /// Flow and head once the system is fouled.
    pub fouled: Option<(f64, f64)>,
    /// Pumps that run together.
    pub count: u32,
}

impl Data {
    /// What is known of a pump whose curve is shown.
    pub fn of(ledger: &Ledger, pump: &Given<Pump>) -> Option<Self> {
        let pumps = pump.count.value().copied().unwrap_or(1).max(1);
        let count = f64::from(pumps);
        let given = pump.curve.value()?;
        let points: Vec<(f64, f64)> = given.iter().map(|(q, h)| (q.si() * count, h.si())).collect();
        let curve = Curve::new(&points).ok()?;
        let (first, last) = curve.ends();
        let sampled = (0..=STEPS).filter_map(|step| {
            let flow = first + (last - first) * f64::from(step) / f64::from(STEPS);
            let flow = flow.min(last);
            Some((flow, curve.head(flow)?))
        });
        let figure = |name| ledger.quantity(&pump.place, name);
        let duty = figure("duty-flow")
            .zip(figure("duty-head"))
            .filter(|(q, _)| *q > 0.0);
        let lift = figure("static-lift")
            .zip(duty)
            .and_then(|(lift, (_, head))| (0.0..head).contains(&lift).then_some(lift));
        Some(Self {
            curve: sampled.collect(),
            points,
            duty,
            lift,
            stated: pump
                .stated_flow
                .value()
                .map(|flow| flow.si())
                .filter(|q| *q > 0.0),
            best: pump
                .best_flow
                .value()
                .map(|flow| flow.si() * count)
                .filter(|q| *q > 0.0),
            fouled: figure("fouled-flow")
                .filter(|q| *q > 0.0)
                .and_then(|q| Some((q, curve.head(q)?))),
            count: pumps,
        })
    }

    /// What the pump gives at a flow within its curve.
    pub fn head_at(&self, flow: f64) -> Option<f64> {
        let pair = self
            .curve
            .windows(2)
            .find(|pair| (pair[0].0..=pair[1].0).contains(&flow))?;
        let share = (flow - pair[0].0) / (pair[1].0 - pair[0].0);
        Some(pair[0].1 + (pair[1].1 - pair[0].1) * if share.is_finite() { share } else { 0.0 })
    }
}
