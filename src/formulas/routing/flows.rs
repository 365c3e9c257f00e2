//! The flow of every link at once, from the volumes that stand in the stores.

use super::{
    FlowLaw, Routing,
    law::{Circumstances, Flow},
    manifold::LineSearch,
    rosenbrock::Rates,
};

/// Works out flows, with what they hang on beside the levels.
pub(super) struct Flows<'b, 'a> {
    routing: &'b Routing<'a>,
    /// What the flows hang on beside the levels.
    pub at: Circumstances,
    /// Which links pass water.
    pub open: Vec<bool>,
    /// Of each branched line, the link of each end.
    branches: Vec<Vec<Option<usize>>>,
    /// Space for levels, and for those at the ends of a line, m.
    levels: Vec<f64>,
    at_ends: Vec<Option<f64>>,
}

impl<'b, 'a> Flows<'b, 'a> {
    /// Of a routing at its beginning.
    pub fn new(routing: &'b Routing<'a>) -> Self {
        let lines: Vec<LineSearch> = routing.manifolds.iter().map(LineSearch::new).collect();
        let mut branches: Vec<Vec<Option<usize>>> =
            lines.iter().map(|line| vec![None; line.ends.len()]).collect();
        for (index, link) in routing.links.iter().enumerate() {
            if let FlowLaw::Branch { manifold, end } = link.law {
                branches[manifold][end] = Some(index);
            }
        }
        let links = routing.links.len();
        Self {
            routing,
            at: Circumstances {
                time: 0.0,
                shut: vec![None; links],
                lines,
            },
            open: vec![true; links],
            branches,
            levels: Vec::with_capacity(routing.stores.len()),
            at_ends: Vec::new(),
        }
    }

    /// The flow of each link at some volumes, m³/s.
    pub fn read(&mut self, volumes: &[f64], flows: &mut [f64]) {
        let mut levels = std::mem::take(&mut self.levels);
        self.routing.levels_into(volumes, &mut levels);
        self.solve_lines(&levels);
        for (index, flow) in flows.iter_mut().enumerate() {
            *flow = self.flow(index, &levels).rate;
        }
        self.levels = levels;
    }

    /// The flow of each link at some levels, with the derivatives by volume. A derivative that would have the water rise
    /// by flowing off is left out.
    pub fn rates(&mut self, levels: &[f64]) -> Rates {
        self.solve_lines(levels);
        let links = &self.routing.links;
        let mut rates = Rates {
            flow: Vec::with_capacity(links.len()),
            by_from: Vec::with_capacity(links.len()),
            by_to: Vec::with_capacity(links.len()),
        };
        for (index, link) in links.iter().enumerate() {
            let flow = self.flow(index, levels);
            let by_volume = |store: usize| self.routing.level_by_volume(store, levels[store]);
            rates.flow.push(flow.rate);
            rates.by_from.push((flow.by_from * by_volume(link.from)).max(0.0));
            rates.by_to.push((flow.by_to * by_volume(link.to)).min(0.0));
        }
        rates
    }

    /// The flow of a link at some levels, its line solved for them.
    fn flow(&self, index: usize, levels: &[f64]) -> Flow {
        if !self.open[index] {
            return Flow::default();
        }
        let link = &self.routing.links[index];
        let to = self.routing.against(link, levels[link.to]);
        link.law.flow(levels[link.from], to, &self.at)
    }

    /// Whether something keeps water moving whatever the levels are.
    pub fn are_driven(&self, levels: &[f64]) -> bool {
        let links = self.routing.links.iter().zip(&self.open);
        let mut open = links.filter(|(_, open)| **open).map(|(link, _)| link);
        open.any(|link| {
            let to = self.routing.against(link, levels[link.to]);
            link.law.drives(levels[link.from], to, &self.at)
        })
    }

    /// The next instant at which a flow changes by itself, s.
    pub fn next_change(&self) -> Option<f64> {
        let links = self.routing.links.iter();
        links
            .filter_map(|link| link.law.next_change(&self.at))
            .reduce(f64::min)
    }

    fn solve_lines(&mut self, levels: &[f64]) {
        for (line, branches) in self.at.lines.iter_mut().zip(&self.branches) {
            let mut start = None;
            self.at_ends.clear();
            for link in branches {
                let open = link.filter(|link| self.open[*link]);
                let link = open.map(|link| &self.routing.links[link]);
                self.at_ends.push(link.map(|link| levels[link.from]));
                start = start.or(link.map(|link| levels[link.to]));
            }
            if let Some(start) = start {
                line.solve(start, &self.at_ends);
            }
        }
    }
}
