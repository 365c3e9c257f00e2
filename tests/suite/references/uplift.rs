//! Uplift against independent values and published examples.

use bywash::formulas::uplift::{Ballast, stone_mass, uplift, water_mass};

use super::table::{close, rows};

const G: f64 = 9.80665;

/// Total weights over full uplift; densities from `CoolProp` 8.0.0.
#[test]
fn reference_flotation() {
    for row in rows("uplift/14_uplift.csv") {
        let (area, density) = (row.num("A_m2"), row.num("rho_kg_m3"));
        let (stone_depth, porosity) = (row.num("h_stone_m"), row.num("void_fraction"));
        let ballast = Ballast {
            slab: row.num("t_slab_m") * row.num("rho_slab_kg_m3") * area,
            stone: stone_mass(area, stone_depth, porosity, row.num("rho_stone_kg_m3")),
            water: water_mass(density, area, row.num("h_water_m"), stone_depth, porosity),
            ..Ballast::default()
        };
        let lift = uplift(density, row.num("h_groundwater_m"), area);
        close(lift * G / 1000.0, row.num("U_uplift_kN"), 1e-9, "uplift");
        close(
            ballast.stone * G / 1000.0 + 1.0,
            row.num("W_stone_kN") + 1.0,
            1e-9,
            "stone",
        );
        close(
            ballast.water * G / 1000.0 + 1.0,
            row.num("W_water_kN") + 1.0,
            1e-9,
            "water",
        );
        let factor = ballast.factor(lift);
        close(factor, row.num("FS"), 1e-9, "factor");
        let required = row.num("FS_required");
        close(
            ballast.wanting(lift, required) + 1.0,
            row.num("extra_ballast_kg") + 1.0,
            1e-9,
            "ballast",
        );
        assert_eq!(factor >= required, row.text("ok") == "true");
    }
}

/// FEMA P-259, example C7: a tank of 250 gal that holds 670 lb: 250 gal · 0.134 ft³/gal · 62.4 lb/ft³ · 1.3 less its
/// own weight asks for 2048 lb of anchor.
#[test]
fn reference_flood_tank() {
    let displaced = 250.0 * 0.134 * 62.4;
    let tank = Ballast {
        slab: 670.0,
        ..Ballast::default()
    };
    close(tank.wanting(displaced, 1.3), 2048.0, 5e-4, "anchor, lb");
}

/// A tank of concrete 340 ft³ at 150 lb/ft³ with soil 384 ft³ at 110 lb/ft³ on its ledge round a void of 256 ft³, all
/// under water (computed). Three definitions give three numbers; ours is the first, the form of USACE EM 1110-2-2100:
/// soil submerged, and the water above the ledge taken off the uplift.
#[test]
fn reference_the_definition_belongs_to_the_number() {
    let (concrete, soil, void, water) = (340.0, 384.0, 256.0, 62.4);
    let ours = Ballast {
        slab: concrete * 150.0,
        soil: soil * (110.0 - water),
        ..Ballast::default()
    };
    close(ours.factor(water * (concrete + void)), 1.86, 5e-3, "ours");
    let all_whole = (concrete * 150.0 + soil * 110.0) / (water * (concrete + void + soil));
    close(all_whole, 1.52, 5e-3, "soil and the water it displaces whole");
    let all_net = (concrete * (150.0 - water) + soil * (110.0 - water)) / (water * void);
    close(
        all_net,
        3.0,
        5e-3,
        "all weights submerged, over the uplift of the void",
    );
}

/// A basin of 4 by 4 ft and 80 lb on a slab of 5 by 5 by 1/2 ft, groundwater 3 ft above the slab, 4 ft of soil on its
/// ledge (110 lb/ft³ moist, 120 lb/ft³ saturated), computed: 4500 lb over 3775 lb, 1.19, less than 1.2.
#[test]
fn reference_soil_on_a_ledge() {
    let (water, ledge) = (62.4, 25.0 - 16.0);
    let ballast = Ballast {
        slab: 25.0 * 0.5 * 150.0 + 80.0,
        soil: ledge * (110.0 + 3.0 * (120.0 - water)),
        ..Ballast::default()
    };
    let lift = uplift(water, 3.5, 25.0) - uplift(water, 3.0, ledge);
    close(lift, 3775.0, 5e-4, "uplift less the water above the ledge, lb");
    close(ballast.total(), 4500.0, 5e-4, "down, lb");
    close(ballast.factor(lift), 1.19, 5e-3, "factor");
    assert!(ballast.factor(lift) < 1.2);
}

/// Common practice, no source, computed: dry stone of 40 % voids and specific gravity 2.65 weighs 15.6 kPa a metre, so
/// 0.63 of a foot of it holds a foot of groundwater at a factor of one.
#[test]
fn reference_stone_against_water() {
    let stone = stone_mass(1.0, 1.0, 0.40, 2650.0);
    close(stone * G / 1000.0, 15.6, 1e-3, "kPa a metre");
    let ballast = Ballast {
        stone: 0.63 * stone,
        ..Ballast::default()
    };
    close(ballast.factor(uplift(1000.0, 1.0, 1.0)), 1.0, 5e-3, "factor");
}
