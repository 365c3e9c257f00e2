//! Manning's n by lining against the printed tables.

use bywash::formulas::{
    channel::Section,
    roughness::{Lining, strickler},
    stream::{Bed, End},
};

use super::table::close;

/// Chow (1959), table 5-6, as two open copies print it.
#[test]
fn reference_manning_by_lining() {
    for (lining, n) in [
        (Lining::SmoothConcrete, (0.011, 0.013, 0.015)),
        (Lining::DressedStone, (0.013, 0.015, 0.017)),
        (Lining::MortaredRubble, (0.017, 0.025, 0.030)),
        (Lining::DryRubble, (0.023, 0.032, 0.035)),
        (Lining::Gravel, (0.022, 0.025, 0.030)),
        (Lining::Cobbles, (0.030, 0.040, 0.050)),
        (Lining::Boulders, (0.040, 0.050, 0.070)),
        (Lining::Grass, (0.022, 0.027, 0.033)),
    ] {
        let found = lining.manning();
        assert_eq!((found.least, found.usual, found.most), n, "{lining:?}");
    }
}

/// Strickler's n of gravel and cobbles lies in Chow's range of the same.
#[test]
fn reference_strickler_beside_chow() {
    for (d50, lining) in [(0.02, Lining::Gravel), (0.30, Lining::Cobbles)] {
        let (n, range) = (strickler(d50), lining.manning());
        assert!((range.least..=range.most).contains(&n), "{lining:?}: {n}");
    }
}

/// A dressed rill carries a flow at about a third of the depth of a stone stream; the ratio of two Manning depths in a wide channel
/// is that of their n to the power 0.6 (closed form).
#[test]
fn reference_a_rill_is_shallow() {
    let section = Section {
        bed_width: 100.0,
        side_slope: 0.0,
        slope: 0.02,
    };
    let smooth = Lining::DressedStone.manning().usual;
    let stone = Bed::Manning {
        smooth: 0.05,
        rough: 0.20,
    };
    let rough = stone.depth(&section, 1.0, End::Rough);
    let ratio = section.normal_depth(1.0, smooth) / rough;
    close(ratio, (smooth / 0.20_f64).powf(0.6), 5e-3, "depths");
}
