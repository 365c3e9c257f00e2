//! What tells two routings apart, as one number: trials that leave the water as it is are known by it.

use std::hash::{DefaultHasher, Hash, Hasher};

use super::{
    FlowLaw, Link, Manifold, ManifoldPipe, PumpedLineCurve, Routing, StorageDischarge, Store, WatchedLevel,
};
use crate::formulas::{
    gravity_pipe::{GravityPipe, Mouth},
    pipe::Run,
    weir::{Crest, Edge},
};

impl Routing<'_> {
    /// A number that two routings share where every number and choice in them is the same to the last bit.
    ///
    /// ```
    /// use bywash::formulas::routing::{FlowLaw, Routing, Store};
    ///
    /// let routing = |flow| {
    ///     let mut routing = Routing::default();
    ///     let outside = routing.store(Store::Outside, 0.0);
    ///     routing.link(outside, outside, FlowLaw::Constant(flow));
    ///     routing.fingerprint()
    /// };
    /// assert_eq!(routing(0.001), routing(0.001));
    /// assert_ne!(routing(0.001), routing(0.002));
    /// ```
    pub fn fingerprint(&self) -> u64 {
        // Every field is named, so that a new one can’t be forgotten.
        let Self {
            stores,
            volumes,
            links,
            watched,
            manifolds,
        } = self;
        let mut print = Print(DefaultHasher::new());
        print.count(stores.len());
        for store in stores {
            print.store(store);
        }
        print.numbers(volumes.iter().copied());
        print.count(links.len());
        for link in links {
            print.link(link);
        }
        print.count(watched.len());
        for WatchedLevel { store, level } in watched {
            print.count(*store);
            print.number(*level);
        }
        print.count(manifolds.len());
        for manifold in manifolds {
            print.manifold(manifold);
        }
        print.0.finish()
    }
}

struct Print(DefaultHasher);

impl Print {
    fn count(&mut self, count: usize) {
        count.hash(&mut self.0);
    }

    fn number(&mut self, number: f64) {
        number.to_bits().hash(&mut self.0);
    }

    fn numbers(&mut self, numbers: impl IntoIterator<Item = f64>) {
        let mut count = 0;
        for number in numbers {
            self.number(number);
            count += 1;
        }
        self.count(count);
    }

    fn maybe(&mut self, number: Option<f64>) {
        number.map(f64::to_bits).hash(&mut self.0);
    }

    fn kind<T>(&mut self, of: &T) {
        std::mem::discriminant(of).hash(&mut self.0);
    }

    fn store(&mut self, store: &Store<'_>) {
        self.kind(store);
        match store {
            Store::Basin(storage) => self.numbers(storage.numbers()),
            Store::Stream(held) => self.held(held),
            Store::Outside => {}
        }
    }

    fn held(&mut self, held: &StorageDischarge) {
        self.numbers(held.knots().iter().flat_map(|(volume, flow)| [*volume, *flow]));
    }

    fn link(&mut self, link: &Link<'_>) {
        let Link { from, to, law, shuts } = link;
        self.count(*from);
        self.count(*to);
        self.law(law);
        self.count(shuts.len());
        for (level, reason) in shuts {
            self.number(*level);
            reason.hash(&mut self.0);
        }
    }

    fn law(&mut self, law: &FlowLaw<'_>) {
        self.kind(law);
        match law {
            FlowLaw::Pumped { curve, outlet } => {
                self.pumped(curve);
                self.maybe(*outlet);
            }
            FlowLaw::Constant(flow) => self.number(*flow),
            FlowLaw::FullPipe { run, nu, outlet } => {
                self.run(run);
                self.number(*nu);
                self.maybe(*outlet);
            }
            FlowLaw::GravityPipe { pipe, nu, outlet } => {
                self.gravity_pipe(pipe);
                self.number(*nu);
                self.maybe(*outlet);
            }
            FlowLaw::Crest { crest, level } => {
                self.crest(crest);
                self.number(*level);
            }
            FlowLaw::Orifice { level, area } => self.numbers([*level, *area]),
            FlowLaw::Branch { manifold, end } => {
                self.count(*manifold);
                self.count(*end);
            }
            FlowLaw::FloatValve { flow, level, band } => self.numbers([*flow, *level, *band]),
            FlowLaw::Release {
                after,
                flow,
                duration,
            } => {
                self.count(*after);
                self.numbers([*flow, *duration]);
            }
            FlowLaw::Restart {
                after,
                flow,
                level,
                band,
            } => {
                self.count(*after);
                self.numbers([*flow, *level, *band]);
            }
            FlowLaw::StreamOutflow(held) => self.held(held),
            FlowLaw::Inflow { flow, from, until } => self.numbers([*flow, *from, *until]),
        }
    }

    fn pumped(&mut self, curve: &PumpedLineCurve) {
        self.numbers(curve.knots().iter().flat_map(|(lift, flow)| [*lift, *flow]));
    }

    fn run(&mut self, run: &Run) {
        let Run {
            diameter,
            length,
            roughness,
            minor_k,
            laminar_k,
        } = *run;
        self.numbers([diameter, length, roughness, minor_k, laminar_k]);
    }

    fn gravity_pipe(&mut self, pipe: &GravityPipe) {
        let GravityPipe { mouth, level, pipe } = pipe;
        self.kind(mouth);
        match mouth {
            Mouth::Lip { width } => self.number(*width),
            Mouth::Wall { slope } => self.number(*slope),
            Mouth::Riser | Mouth::Submerged => {}
        }
        self.number(*level);
        self.run(pipe);
    }

    fn crest(&mut self, crest: &Crest) {
        let Crest {
            edge,
            width,
            height,
            approach_width,
        } = crest;
        self.kind(edge);
        match edge {
            Edge::Stone(stone) => stone.hash(&mut self.0),
            Edge::VNotch(notch) => self.number(notch.angle),
            Edge::ThinLip | Edge::BroadStone | Edge::RoughStone => {}
        }
        self.numbers([*width, *height, *approach_width]);
    }

    fn manifold(&mut self, manifold: &Manifold) {
        let Manifold { nu, pipes } = manifold;
        self.number(*nu);
        self.count(pipes.len());
        for ManifoldPipe { run, into, end } in pipes {
            self.run(run);
            into.hash(&mut self.0);
            end.hash(&mut self.0);
        }
    }
}
