//! Where each weir law holds, as data.

use super::{Crest, Edge, Notch};

/// A weir law with limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Equation {
    /// Kindsvater & Carter's, for thin lips.
    KindsvaterCarter,
    /// [`super::francis`].
    Francis,
    /// [`super::cipolletti`].
    Cipolletti,
    /// [`super::broad_crested`].
    BroadCrested,
    /// [`Notch::discharge`].
    KindsvaterShen,
}

impl Equation {
    /// The law [`super::discharge`] uses for an edge.
    ///
    /// ```
    /// use bywash::formulas::weir::{Edge, Equation};
    /// assert_eq!(Equation::of(Edge::ThinLip), Equation::KindsvaterCarter);
    /// ```
    pub fn of(edge: Edge) -> Self {
        match edge {
            Edge::ThinLip => Self::KindsvaterCarter,
            Edge::BroadStone | Edge::RoughStone | Edge::Stone(_) => Self::BroadCrested,
            Edge::VNotch(_) => Self::KindsvaterShen,
        }
    }
}

/// What a limit is set on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LimitOn {
    /// Upstream head, m.
    Head,
    /// Crest width, m.
    Width,
    /// Crest height above the floor upstream, m.
    Height,
    /// Head over crest height.
    HeadOverHeight,
    /// Head over crest width.
    HeadOverWidth,
    /// Angle between the sides of a V-notch, degrees.
    Angle,
}

impl LimitOn {
    /// The measure in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Width => "crest width",
            Self::Height => "crest height above the floor upstream",
            Self::HeadOverHeight => "head over crest height",
            Self::HeadOverWidth => "head over crest width",
            Self::Angle => "angle of the notch",
        }
    }

    fn of(self, crest: &Crest, head: f64) -> f64 {
        match self {
            Self::Head => head,
            Self::Width => crest.width,
            Self::Height => crest.height,
            Self::HeadOverHeight => head / crest.height,
            Self::HeadOverWidth => head / crest.width,
            Self::Angle => match crest.edge {
                Edge::VNotch(notch) => notch.angle,
                _ => 180.0,
            },
        }
    }
}

/// A bound on a measure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// Not less than.
    AtLeast(LimitOn, f64),
    /// Not more than.
    AtMost(LimitOn, f64),
}

/// A limit that does not hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitExceeded {
    /// The limit.
    pub bound: Bound,
    /// What was found, in the measure's own unit.
    pub found: f64,
}

/// The limits of a law. ISO 1438 for Kindsvater–Carter, USBR Water Measurement Manual for Francis and Cipolletti, common handbook
/// range for the broad crest, all from memory.
///
/// ```
/// use bywash::formulas::weir::{Bound, Equation, LimitOn, limits};
/// // ISO 1438: heads from 30 mm.
/// assert_eq!(limits(Equation::KindsvaterCarter)[0], Bound::AtLeast(LimitOn::Head, 0.03));
/// ```
pub fn limits(law: Equation) -> &'static [Bound] {
    use Bound::{AtLeast, AtMost};
    use LimitOn::{Head, HeadOverHeight, HeadOverWidth, Height, Width};
    match law {
        Equation::KindsvaterCarter => &[
            AtLeast(Head, 0.03),
            AtMost(HeadOverHeight, 1.0),
            AtLeast(Height, 0.1),
            AtLeast(Width, 0.15),
        ],
        Equation::Francis => &[
            AtLeast(Head, 0.03),
            AtMost(HeadOverWidth, 1.0 / 3.0),
            AtLeast(Width, 0.15),
        ],
        Equation::Cipolletti => &[
            AtLeast(Head, 0.06),
            AtMost(HeadOverHeight, 0.5),
            AtMost(HeadOverWidth, 1.0 / 3.0),
        ],
        Equation::BroadCrested => &[AtLeast(Head, 0.01), AtMost(HeadOverHeight, 1.5)],
        Equation::KindsvaterShen => &NOTCH,
    }
}

/// Where Kindsvater & Shen's law holds.
static NOTCH: [Bound; 3] = [
    Bound::AtLeast(LimitOn::Head, Notch::LEAST_HEAD),
    Bound::AtLeast(LimitOn::Angle, *Notch::ANGLES.start()),
    Bound::AtMost(LimitOn::Angle, *Notch::ANGLES.end()),
];

/// The limits of a law that a crest breaks at a head in m; empty where the law holds.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, Equation, outside};
/// let crest = Crest::in_open_water(Edge::ThinLip, 0.5);
/// assert_eq!(outside(Equation::KindsvaterCarter, &crest, 0.02).len(), 1);
/// ```
pub fn outside(law: Equation, crest: &Crest, head: f64) -> Vec<LimitExceeded> {
    let holds = |bound: &Bound, found: f64| match *bound {
        Bound::AtLeast(_, least) => found >= least,
        Bound::AtMost(_, most) => found <= most,
    };
    limits(law)
        .iter()
        .filter_map(|bound| {
            let (Bound::AtLeast(measure, _) | Bound::AtMost(measure, _)) = *bound;
            let found = measure.of(crest, head);
            (!holds(bound, found)).then_some(LimitExceeded { bound: *bound, found })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_broken_limit_is_named() {
        let crest = Crest::in_open_water(Edge::ThinLip, 0.5);
        assert!(outside(Equation::KindsvaterCarter, &crest, 0.05).is_empty());
        let broken = outside(Equation::KindsvaterCarter, &crest, 0.02);
        assert_eq!(
            broken,
            [LimitExceeded {
                bound: Bound::AtLeast(LimitOn::Head, 0.03),
                found: 0.02
            }]
        );
    }
}
