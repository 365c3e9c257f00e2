//! Basin volumes against independent integrations.

use bywash::formulas::storage::{Bank, Inner, Layer, Outline, Profile, Shelf, Storage};
use proptest::prelude::*;

use super::table::{Row, close, rows};

fn outline(row: &Row) -> Outline {
    match row.text("shape") {
        "rectangle" => Outline::Rectangle,
        "ellipse" => Outline::Ellipse,
        other => panic!("shape {other}"),
    }
}

/// Prismoidal formula, verified with `scipy.integrate.quad`.
#[test]
fn reference_tapered_basins() {
    for row in rows("storage/13a_frustum_volumes.csv") {
        let depth = row.num("depth_m");
        let floor = (0.0, row.num("L_bottom_m"), row.num("W_bottom_m"));
        let top = (depth, row.num("L_top_m"), row.num("W_top_m"));
        let storage = Storage::open(&Profile::tapered(outline(&row), floor, top).unwrap());
        let volume = storage.volume(depth);
        close(volume, row.num("V_prismoidal_m3"), 1e-9, "volume");
        close(volume, row.num("V_quad_m3"), 1e-9, "volume by quadrature");
        close(storage.area(depth), row.num("A_top_m2"), 1e-9, "top area");
        close(storage.area(0.0), row.num("A_bottom_m2"), 1e-9, "floor area");
        close(
            storage.area(depth / 2.0),
            row.num("A_mid_m2"),
            1e-9,
            "middle area",
        );
        close(
            storage.level_of(volume / 2.0),
            row.num("z_half_volume_m"),
            1e-9,
            "half volume",
        );
    }
}

/// The same basins by their contours: as frustums a little below the prismoidal volume, with which they are one where length and
/// width keep their ratio; as linear areas above it. Held to the table's volumes.
#[test]
fn reference_tapered_basins_by_contours() {
    for row in rows("storage/13a_frustum_volumes.csv") {
        let depth = row.num("depth_m");
        let contours = [(0.0, row.num("A_bottom_m2")), (depth, row.num("A_top_m2"))];
        let volume = |profile: Profile| Storage::open(&profile).volume(depth);
        let frustum = volume(Profile::frustums(&contours).unwrap());
        let linear = volume(Profile::contours(&contours).unwrap());
        let exact = row.num("V_prismoidal_m3");
        assert!(frustum <= exact * (1.0 + 1e-9) && exact <= linear * (1.0 + 1e-9));
        let by_hand = depth / 3.0 * (contours[0].1 + contours[1].1 + (contours[0].1 * contours[1].1).sqrt());
        close(frustum, by_hand, 1e-12, "frustum");
        let ratios = [
            row.num("L_bottom_m") / row.num("L_top_m"),
            row.num("W_bottom_m") / row.num("W_top_m"),
        ];
        if (ratios[0] - ratios[1]).abs() < 1e-9 {
            close(frustum, exact, 1e-9, "a true frustum");
        }
    }
}

/// Two banks with a shelf between, per tier by the prismoidal formula; and the same basin part filled with
/// stone.
#[test]
fn reference_bowls_with_a_shelf() {
    for row in rows("storage/13b_bowl_with_shelf.csv") {
        let banks = [
            Bank {
                height: row.num("d_lower_m"),
                slope: row.num("side_slope_lower_H_per_V"),
                shelf: row.num("shelf_width_m"),
            },
            Bank {
                height: row.num("d_upper_m"),
                slope: row.num("side_slope_upper_H_per_V"),
                shelf: 0.0,
            },
        ];
        let profile = Profile::from_floor(
            outline(&row),
            0.0,
            row.num("L_bottom_m"),
            row.num("W_bottom_m"),
            &banks,
        )
        .unwrap();
        let (shelf, top) = (banks[0].height, profile.top());
        let storage = Storage::open(&profile);
        let volume = storage.volume(top);
        close(
            storage.volume(shelf),
            row.num("V_lower_m3"),
            1e-9,
            "below the shelf",
        );
        close(volume, row.num("V_exact_m3"), 1e-9, "whole volume");
        close(
            storage.area(shelf),
            row.num("A_above_shelf_m2"),
            1e-9,
            "shelf area",
        );
        close(storage.area(top), row.num("A_top_m2"), 1e-9, "top area");

        let stone_top = storage.level_of(row.num("fill_fraction") * volume);
        let stone = Layer {
            bottom: 0.0,
            top: stone_top,
            porosity: row.num("void_fraction"),
            inner: None,
        };
        let filled = Storage::filled(&profile, &[stone]).unwrap();
        close(filled.volume(top), row.num("water_m3"), 1e-9, "water");
        let solids = filled.plan_volume(top) - filled.volume(top);
        close(
            solids * row.num("rho_stone_kg_m3") / 1000.0,
            row.num("stone_t"),
            1e-9,
            "stone",
        );
    }
}

/// Half-ellipsoids: `π/6·a·b·d`.
#[test]
fn reference_half_ellipsoids() {
    for row in rows("storage/13c_half_ellipsoid.csv") {
        let depth = row.num("depth_m");
        let profile = Profile::bowl(0.0, row.num("axis_a_m"), row.num("axis_b_m"), depth).unwrap();
        let stone = Layer {
            bottom: 0.0,
            top: depth,
            porosity: row.num("void_fraction"),
            inner: None,
        };
        let filled = Storage::filled(&profile, &[stone]).unwrap();
        close(
            filled.plan_volume(depth),
            row.num("V_exact_m3"),
            1e-9,
            "whole volume",
        );
        close(
            filled.volume(depth),
            row.num("pore_water_m3"),
            1e-9,
            "water in the pores",
        );
    }
}

/// A basin with sloping sides, a shelf, void modules and stone.
fn basins() -> impl Strategy<Value = Storage> {
    let outline = prop_oneof![Just(Outline::Rectangle), Just(Outline::Ellipse)];
    let size = (2.0..10.0f64, 2.0..10.0f64, 0.3..2.0f64);
    let sides = (0.0..0.4f64, 0.05..0.15f64);
    let fill = (0.1..0.6f64, 0.3..0.6f64, 0.0..1.0f64);
    (outline, size, sides, fill).prop_map(|(outline, (length, width, depth), (slope, shelf), fill)| {
        let shelf = Shelf {
            depth: depth / 3.0,
            width: shelf,
        };
        let profile = Profile::from_top(outline, 5.0, length, width, depth, slope, &[shelf]).unwrap();
        let floor = 5.0 - depth;
        let (share, porosity, block) = fill;
        let layer = Layer {
            bottom: floor,
            top: floor + share * depth,
            porosity,
            inner: Some(Inner {
                area: block * Storage::open(&profile).plan_area(floor),
                porosity: 0.95,
            }),
        };
        Storage::filled(&profile, &[layer]).unwrap()
    })
}

proptest! {
    /// The level of a volume is the level that holds it, above the top too.
    #[test]
    fn level_inverts_volume(storage in basins(), share in 0.0..1.3f64) {
        let level = storage.floor() + share * (storage.top() - storage.floor());
        let back = storage.level_of(storage.volume(level));
        prop_assert!((back - level).abs() < 1e-9, "{level} came back {back}");
    }

    /// Water held rises with level, and its rate of rise is the area.
    #[test]
    fn volume_rises_by_area(storage in basins(), share in 0.0..1.3f64) {
        let level = storage.floor() + share * (storage.top() - storage.floor());
        let step = 1e-6;
        let rise = storage.volume(level + step) - storage.volume(level);
        let (here, there) = (storage.area(level), storage.area(level + step));
        prop_assert!(rise > 0.0);
        prop_assert!(rise >= here.min(there) * step * (1.0 - 1e-6));
        prop_assert!(rise <= here.max(there) * step * (1.0 + 1e-6));
    }

    /// A bowl is emptied to a point at its floor; small volumes still find their level.
    #[test]
    fn bowls_invert_near_the_floor(share in 1e-6..1.0f64) {
        let storage = Storage::open(&Profile::bowl(0.0, 3.0, 2.0, 1.0).unwrap());
        let back = storage.level_of(storage.volume(share));
        prop_assert!((back - share).abs() < 1e-9);
    }
}
