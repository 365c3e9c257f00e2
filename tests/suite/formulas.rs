//! What holds for every public formula: no number in, no number out.

use std::{collections::BTreeSet, fs, path::Path};

use bywash::formulas::{
    air_inlet, bed, channel, channel_lining, conductor, evaporation, filling, fittings, gravity_pipe,
    inlet_control, levelling, lining, nappe, part_full, pipe, pipe_table, pump, riprap, roughness, settling,
    siphon, storage, stream, uplift, walls, water, water_hammer, water_quality, weir,
};

/// A formula by its name in the source, arguments it is meant for, and all numbers it gives for such arguments.
struct Formula {
    name: &'static str,
    arguments: &'static [f64],
    results: fn(&[f64]) -> Vec<f64>,
}

const fn formula(name: &'static str, arguments: &'static [f64], results: fn(&[f64]) -> Vec<f64>) -> Formula {
    Formula {
        name,
        arguments,
        results,
    }
}

fn run(a: &[f64]) -> pipe::Run {
    pipe::Run::new(a[0], a[1], a[2]).with_k(a[3]).with_laminar_k(a[4])
}

fn crest(edge: weir::Edge, a: &[f64]) -> weir::Crest {
    weir::Crest {
        edge,
        width: a[0],
        height: a[1],
        approach_width: a[2],
    }
}

fn section(a: &[f64]) -> channel::Section {
    channel::Section {
        bed_width: a[0],
        side_slope: a[1],
        slope: a[2],
    }
}

fn stone(a: &[f64]) -> (bed::Stone, bed::Water) {
    let stone = bed::Stone {
        size: a[0],
        sphericity: a[1],
        porosity: a[2],
    };
    (stone, fluid(&a[3..]))
}

fn fluid(a: &[f64]) -> bed::Water {
    bed::Water {
        density: a[0],
        viscosity: a[1],
    }
}

fn gravity_pipe(mouth: fn(f64) -> gravity_pipe::Mouth, a: &[f64]) -> gravity_pipe::GravityPipe {
    gravity_pipe::GravityPipe::new(mouth(a[0]), a[1], run(&a[2..]))
}

fn part_full(a: &[f64]) -> part_full::PartFullPipe {
    part_full::PartFullPipe::new(a[0], a[1])
}

fn basin() -> storage::Storage {
    storage::Storage::open(&storage::Profile::contours(&[(0.0, 2.0), (1.0, 4.0)]).unwrap())
}

fn wall(a: &[f64]) -> walls::Gravity {
    walls::Gravity {
        height: a[0],
        base: a[1],
        batter: a[2],
        density: a[3],
    }
}

fn backing(a: &[f64]) -> walls::Backing {
    walls::Backing {
        height: a[0],
        friction: a[1],
        density: a[2],
        surcharge: a[3],
        drained: false,
    }
}

const LIP: fn(f64) -> gravity_pipe::Mouth = |width| gravity_pipe::Mouth::Lip { width };
const DRAIN: &[f64] = &[0.2, 0.0, 0.1, 6.0, 1.5e-6, 2.5, 100.0, 0.05, -0.5, 1e-6];
const RUN: &[f64] = &[0.05, 20.0, 1.5e-6, 3.0, 100.0, 1e-3, 1e-6];
const CREST: &[f64] = &[0.5, 0.3, 0.8, 0.05];
const SECTION: &[f64] = &[0.6, 1.0, 0.02, 0.05];
const STONE: &[f64] = &[0.02, 0.8, 0.4, 998.0, 1e-3, 0.005];
const WALLS: &[f64] = &[1.0, 0.6, 0.1, 2200.0, 1.0, 0.52, 1900.0, 1000.0, 0.5];

/// Every public formula. Where only the sign of an argument tells what is asked, it is in here twice.
#[rustfmt::skip]
static FORMULAS: &[Formula] = &[
    formula("water::density", &[293.15], |a| vec![water::density(a[0])]),
    formula("water::dynamic_viscosity", &[293.15], |a| vec![water::dynamic_viscosity(a[0])]),
    formula("water::kinematic_viscosity", &[293.15], |a| vec![water::kinematic_viscosity(a[0])]),
    formula("water::vapour_pressure", &[293.15], |a| vec![water::vapour_pressure(a[0])]),
    formula("water::atmospheric_pressure", &[500.0], |a| vec![water::atmospheric_pressure(a[0])]),
    formula("levelling::height_of_instrument", &[100.0, 4.2], |a| vec![levelling::height_of_instrument(a[0], a[1])]),
    formula("levelling::reading", &[104.2, 101.7], |a| vec![levelling::reading(a[0], a[1])]),
    formula("levelling::level", &[104.2, 2.5], |a| vec![levelling::level(a[0], a[1])]),
    formula("levelling::turned", &[104.2, 2.5, 5.15], |a| vec![levelling::turned(a[0], a[1], a[2])]),
    formula("levelling::allowed_closing_error", &[0.003, 4.0], |a| vec![levelling::allowed_closing_error(a[0], a[1])]),
    formula("water_quality::diffused_oxygen", &[1e-3, 1.0, 5e-3, 8e-3], |a| vec![water_quality::diffused_oxygen(a[0], a[1], a[2], a[3])]),
    formula("water_quality::oxygen_saturation", &[293.15, 101_325.0], |a| vec![water_quality::oxygen_saturation(a[0], a[1])]),
    formula("water_quality::un_ionised_share", &[293.15, 8.0], |a| vec![water_quality::un_ionised_share(a[0], a[1])]),
    formula("water_quality::ammonia_made", &[1.0, 0.35], |a| vec![water_quality::ammonia_made(a[0], a[1])]),
    formula("water_quality::nitrifying_oxygen", &[1.0], |a| vec![water_quality::nitrifying_oxygen(a[0])]),
    formula("water_quality::nitrifying_alkalinity", &[1.0], |a| vec![water_quality::nitrifying_alkalinity(a[0])]),
    formula("water_quality::oxygen_for_feed", &[1.0], |a| vec![water_quality::oxygen_for_feed(a[0])]),
    formula("water_quality::nitrifying_capacity", &[10.0, 293.15], |a| vec![water_quality::nitrifying_capacity(a[0], a[1])]),
    formula("water_quality::deficit_ratio", &[0.5, 293.15], |a| vec![water_quality::deficit_ratio(a[0], a[1])]),
    formula("water_hammer::wave_speed", &[998.0, 2.8e9, 0.05, 0.004], |a| vec![water_hammer::wave_speed(a[0], a[1], a[2], a[3])]),
    formula("water_hammer::joukowsky", &[998.0, 400.0, 1.0], |a| vec![water_hammer::joukowsky(a[0], a[1], a[2])]),
    formula("channel_lining::grass_velocity", &[0.08], |a| vec![channel_lining::grass_velocity(a[0])]),
    formula("riprap::isbash_size", &[1.2, 2.65, 0.86], |a| vec![riprap::isbash_size(a[0], a[1], a[2])]),
    formula("riprap::hec_15_size", &[0.1, 0.05, 0.047, 1.0, 2.65], |a| riprap::hec_15_size(a[0], a[1], a[2], a[3], a[4]).into_iter().collect()),
    formula("riprap::hec_11_size", &[1.8, 0.12, 0.9], |a| vec![riprap::hec_11_size(a[0], a[1], a[2])]),
    formula("riprap::chute_size", &[0.2, 0.05], |a| riprap::chute_size(a[0], a[1]).into_iter().collect()),
    formula("air_inlet::air_over_water", &[0.0127, 0.0525], |a| vec![air_inlet::air_over_water(a[0], a[1])]),
    formula("nappe::brink_velocity", &[0.01], |a| vec![nappe::brink_velocity(a[0])]),
    formula("nappe::throw", &[0.01, 0.6], |a| vec![nappe::throw(a[0], a[1])]),
    formula("nappe::throw", &[0.0, 0.6], |a| vec![nappe::throw(a[0], a[1])]),
    formula("nappe::landing_thickness", &[0.01, 0.6], |a| vec![nappe::landing_thickness(a[0], a[1])]),
    formula("nappe::landing_thickness", &[0.0, 0.6], |a| vec![nappe::landing_thickness(a[0], a[1])]),
    formula("uplift::total", &[1.0, 2.0, 3.0, 4.0], |a| vec![ballast(a).total()]),
    formula("uplift::factor", &[1.0, 2.0, 3.0, 4.0, 8.0], |a| vec![ballast(a).factor(a[4])]),
    formula("uplift::wanting", &[1.0, 2.0, 3.0, 4.0, 8.0, 1.5], |a| vec![ballast(a).wanting(a[4], a[5])]),
    formula("uplift::uplift", &[1000.0, 0.5, 10.0], |a| vec![uplift::uplift(a[0], a[1], a[2])]),
    formula("uplift::stone_mass", &[10.0, 0.5, 0.4, 2650.0], |a| vec![uplift::stone_mass(a[0], a[1], a[2], a[3])]),
    formula("uplift::water_mass", &[1000.0, 10.0, 0.8, 0.5, 0.4], |a| vec![uplift::water_mass(a[0], a[1], a[2], a[3], a[4])]),
    formula("uplift::walls", &[0.2, 1.1, 7.0, -2.0, 0.0], |a| vec![shell(a[0], 0.2, a[1]).walls(|_| a[2], a[3], a[4])]),
    formula("uplift::slab", &[0.2, 0.15, 1.1, 7.0], |a| vec![shell(a[0], a[1], a[2]).slab(a[3])]),
    formula("filling::mixed_temperature", &[1.0, 290.0, 2.0, 280.0], |a| vec![filling::mixed_temperature((a[0], a[1]), (a[2], a[3]))]),
    formula("filling::staged_dilution", &[2.0, 0.1, 0.2], |a| vec![filling::staged_dilution(a[0], a[1], a[2], 3)]),
    formula("filling::stages_needed", &[2.0, 0.1, 0.2, 0.5], |a| vec![filling::stages_needed(a[0], a[1], a[2], a[3])]),
    formula("filling::thiosulfate", &[1.0], |a| { let (least, most) = filling::thiosulfate(a[0]); vec![least, most] }),
    formula("filling::ammonia_of_chloramine", &[1.0], |a| vec![filling::ammonia_of_chloramine(a[0])]),
    formula("evaporation::evaporation", &[2300.0, 1200.0, 1.0, 2450.0], |a| vec![evaporation::evaporation(a[0], a[1], a[2], a[3])]),
    formula("evaporation::from_weather", &[298.15, 303.15, 0.5, 2.0], |a| vec![evaporation::from_weather(a[0], a[1], a[2], a[3])]),
    formula("evaporation::latent_heat", &[298.15], |a| vec![evaporation::latent_heat(a[0])]),
    formula("air_inlet::air_flow", &[0.006, 0.2, 998.0], |a| vec![air_inlet::air_flow(a[0], a[1], a[2])]),
    formula("air_inlet::least_bore", &[1e-3, 0.2, 998.0], |a| vec![air_inlet::least_bore(a[0], a[1], a[2])]),
    formula("inlet_control::headwater", &[0.3, 0.01, 0.05], |a| vec![inlet_control::headwater(inlet_control::Inlet::SquareEdge, &part_full(a), a[2])]),
    formula("inlet_control::headwater", &[0.3, 0.01, 0.0], |a| vec![inlet_control::headwater(inlet_control::Inlet::SquareEdge, &part_full(a), a[2])]),
    formula("inlet_control::capacity", &[0.3, 0.01, 0.4], |a| vec![inlet_control::capacity(inlet_control::Inlet::ThinProjecting, &part_full(a), a[2])]),
    formula("roughness::strickler", &[0.025], |a| vec![roughness::strickler(a[0])]),
    formula("weir::cipolletti", &[0.6, 0.1], |a| vec![weir::cipolletti(a[0], a[1])]),
    formula("weir::cipolletti", &[0.6, -0.1], |a| vec![weir::cipolletti(a[0], a[1])]),
    formula("weir::cipolletti_head", &[0.6, 0.02], |a| vec![weir::cipolletti_head(a[0], a[1])]),
    formula("weir::with_velocity_of_approach", &[1.84, 1.0, 0.3, 0.6], |a| vec![weir::with_velocity_of_approach(a[0], a[1], a[2], a[3])]),
    formula("weir::with_velocity_of_approach", &[1.84, 1.0, -0.3, 0.6], |a| vec![weir::with_velocity_of_approach(a[0], a[1], a[2], a[3])]),
    formula("fittings::bend", &[0.3, 0.1, 60.0], |a| vec![fittings::bend(a[0], a[1], a[2])]),
    formula("fittings::bend", &[0.3, 0.1, 180.0], |a| vec![fittings::bend(a[0], a[1], a[2])]),
    formula("fittings::entrance", &[0.006, 0.1], |a| vec![fittings::entrance(fittings::Entrance::Rounded { radius: a[0] }, a[1])]),
    formula("fittings::entrance", &[0.1], |a| vec![fittings::entrance(fittings::Entrance::Projecting, a[0])]),
    formula("storage::frustums", &[0.0, 2.0, 1.0, 4.0], |a| storage::Profile::frustums(&[(a[0], a[1]), (a[2], a[3])]).map(|profile| profile.top()).into_iter().collect()),
    formula("lining::developed", &[8.0, 1.0, 0.5], |a| vec![lining::developed(a[0], a[1], a[2])]),
    formula("lining::developed_bowl", &[8.0, 1.0], |a| vec![lining::developed_bowl(a[0], a[1])]),
    formula("lining::developed_by_contours", &[0.0, 2.0, 3.0, 10.0], |a| vec![lining::developed_by_contours(&[(a[0], a[1]), (a[2], a[3])])]),
    formula("lining::least_surface", &[0.0, 2.0, 3.0, 10.0, 0.3], |a| vec![lining::least_surface(&[(a[0], a[1]), (a[2], a[3])], a[4])]),
    formula("lining::allowed", &[0.5, 0.02, 0.5, 2.0], |a| vec![lining::Puncture { cushion: a[0], protrusion: a[1], shape: a[2] }.allowed(a[3])]),
    formula("conductor::resistance", &[3.3e-6, 30.0], |a| vec![copper(a).resistance(a[1])]),
    formula("conductor::drop_share", &[3.3e-6, 30.0, 8.0, 230.0], |a| vec![copper(a).drop_share(a[1], a[2], a[3])]),
    formula("conductor::greatest_current", &[2.081e-6], |a| copper(a).greatest_current().into_iter().collect()),
    formula("pipe::relative_roughness", &[0.05, 1.5e-6], |a| vec![pipe::Run::new(a[0], 1.0, a[1]).relative_roughness()]),
    formula("pipe::area", &[0.05], |a| vec![pipe::Run::new(a[0], 1.0, 0.0).area()]),
    formula("pipe::volume", &[0.05, 10.0], |a| vec![pipe::Run::new(a[0], a[1], 0.0).volume()]),
    formula("pipe::velocity", &[1e-3, 0.05], |a| vec![pipe::velocity(a[0], a[1])]),
    formula("pipe::reynolds", &[1e-3, 0.05, 1e-6], |a| vec![pipe::reynolds(a[0], a[1], a[2])]),
    formula("pipe::velocity_head", &[1.0], |a| vec![pipe::velocity_head(a[0])]),
    formula("pipe::friction_factor", &[1e5, 1e-4], |a| vec![pipe::friction_factor(a[0], a[1])]),
    formula("pipe::friction_factor", &[1e3, 1e-4], |a| vec![pipe::friction_factor(a[0], a[1])]),
    formula("pipe::head_loss", RUN, |a| vec![pipe::head_loss(a[5], &run(a), a[6])]),
    formula("pipe::head_loss", &[0.05, 20.0, 1.5e-6, 3.0, 100.0, 1e-6, 1e-6], |a| vec![pipe::head_loss(a[5], &run(a), a[6])]),
    formula("pipe::head_loss_and_slope", RUN, |a| { let (head, slope) = pipe::head_loss_and_slope(a[5], &run(a), a[6]); vec![head, slope] }),
    formula("pipe::flow_under_head", &[0.05, 20.0, 1.5e-6, 3.0, 100.0, 0.5, 1e-6], |a| vec![pipe::flow_under_head(a[5], &run(a), a[6])]),
    formula("pipe::flow_under_head", &[0.05, 20.0, 1.5e-6, 3.0, 100.0, -0.5, 1e-6], |a| vec![pipe::flow_under_head(a[5], &run(a), a[6])]),
    formula("weir::discharge", CREST, |a| vec![weir::discharge(&crest(weir::Edge::ThinLip, a), a[3])]),
    formula("weir::discharge", CREST, |a| vec![weir::discharge(&crest(weir::Edge::BroadStone, a), a[3])]),
    formula("weir::discharge", &[0.5, 0.3, 0.8, -0.05], |a| vec![weir::discharge(&crest(weir::Edge::RoughStone, a), a[3])]),
    formula("weir::discharge", &[60.0, 0.05], |a| vec![weir::discharge(&notch(a), a[1])]),
    formula("weir::discharge_and_slope", CREST, |a| { let (flow, slope) = weir::discharge_and_slope(&crest(weir::Edge::ThinLip, a), a[3]); vec![flow, slope] }),
    formula("weir::head_for_flow", &[0.5, 0.3, 0.8, 0.01], |a| vec![weir::head_for_flow(&crest(weir::Edge::ThinLip, a), a[3])]),
    formula("weir::head_for_flow", &[0.5, 0.3, 0.8, 0.01], |a| vec![weir::head_for_flow(&crest(weir::Edge::RoughStone, a), a[3])]),
    formula("weir::head_for_flow", &[0.5, 0.3, 0.8, -0.01], |a| vec![weir::head_for_flow(&crest(weir::Edge::RoughStone, a), a[3])]),
    formula("weir::head_for_flow", &[60.0, 0.01], |a| vec![weir::head_for_flow(&notch(a), a[1])]),
    formula("weir::francis", &[0.5, 0.1], |a| vec![weir::francis(a[0], a[1], 2)]),
    formula("weir::broad_crested", &[1.7, 0.5, 0.1], |a| vec![weir::broad_crested(a[0], a[1], a[2])]),
    formula("weir::broad_crested", &[1.7, 0.5, -0.1], |a| vec![weir::broad_crested(a[0], a[1], a[2])]),
    formula("weir::critical_depth", &[0.01], |a| vec![weir::critical_depth(a[0])]),
    formula("weir::brink_depth", &[0.01], |a| vec![weir::brink_depth(a[0])]),
    formula("weir::villemonte", &[0.2, 0.1, 1.5], |a| vec![weir::villemonte(a[0], a[1], a[2])]),
    formula("weir::villemonte", &[0.2, -0.1, 1.5], |a| vec![weir::villemonte(a[0], a[1], a[2])]),
    formula("weir::submerged_discharge", &[0.5, 0.3, 0.8, 0.2, 0.1], |a| vec![weir::submerged_discharge(&crest(weir::Edge::ThinLip, a), a[3], a[4])]),
    formula("weir::submerged_discharge", &[0.5, 0.3, 0.8, 0.1, 0.2], |a| vec![weir::submerged_discharge(&crest(weir::Edge::ThinLip, a), a[3], a[4])]),
    formula("weir::submerged_discharge_and_slope", &[0.5, 0.3, 0.8, 0.2, -0.1], |a| { let (flow, slope) = weir::submerged_discharge_and_slope(&crest(weir::Edge::BroadStone, a), a[3], a[4]); vec![flow, slope] }),
    formula("weir::submerged_discharge_and_slopes", &[0.5, 0.3, 0.8, 0.2, 0.1], |a| { let (flow, up, down) = weir::submerged_discharge_and_slopes(&crest(weir::Edge::BroadStone, a), a[3], a[4]); vec![flow, up, down] }),
    formula("weir::coefficient", &[60.0], |a| vec![weir::Notch { angle: a[0] }.coefficient()]),
    formula("weir::head_correction", &[60.0], |a| vec![weir::Notch { angle: a[0] }.head_correction()]),
    formula("weir::narrowed", &[60.0, 0.5], |a| vec![weir::Notch { angle: a[0] }.narrowed(a[1]).angle]),
    formula("channel::area", &[0.6, 1.0, 0.05], |a| vec![section(&[a[0], a[1], 0.0]).area(a[2])]),
    formula("channel::perimeter", &[0.6, 1.0, 0.05], |a| vec![section(&[a[0], a[1], 0.0]).perimeter(a[2])]),
    formula("channel::top_width", &[0.6, 1.0, 0.05], |a| vec![section(&[a[0], a[1], 0.0]).top_width(a[2])]),
    formula("channel::hydraulic_radius", &[0.6, 1.0, 0.05], |a| vec![section(&[a[0], a[1], 0.0]).hydraulic_radius(a[2])]),
    formula("channel::flow", &[0.6, 1.0, 0.02, 0.05, 0.04], |a| vec![section(a).flow(a[3], a[4])]),
    formula("channel::froude", &[0.6, 1.0, 0.01, 0.05], |a| vec![section(&[a[0], a[1], 0.0]).froude(a[2], a[3])]),
    formula("channel::specific_energy", &[0.6, 1.0, 0.01, 0.05], |a| vec![section(&[a[0], a[1], 0.0]).specific_energy(a[2], a[3])]),
    formula("channel::normal_depth", &[0.6, 1.0, 0.02, 0.01, 0.04], |a| vec![section(a).normal_depth(a[3], a[4])]),
    formula("channel::normal_depth", &[0.6, 1.0, 0.0, 0.0, 0.04], |a| vec![section(a).normal_depth(a[3], a[4])]),
    formula("channel::critical_depth", SECTION, |a| vec![section(a).critical_depth(a[3])]),
    formula("channel::critical_slope", &[0.6, 1.0, 0.02, 0.01, 0.04], |a| vec![section(a).critical_slope(a[3], a[4])]),
    formula("stream::variable_power", &[1.0], |a| vec![stream::variable_power(a[0])]),
    formula("stream::flow", &[0.6, 1.0, 0.02, 0.1, 0.05], |a| vec![stream::Bed::Stone { d84: a[3] }.flow(&section(a), a[4], stream::End::Rough)]),
    formula("stream::depth", &[0.6, 1.0, 0.02, 0.1, 0.01], |a| vec![stream::Bed::Stone { d84: a[3] }.depth(&section(a), a[4], stream::End::Rough)]),
    formula("stream::outside", &[0.6, 1.0, 0.01, 0.0005], |a| stream::Bed::Stone { d84: a[2] }.outside(&section(&[a[0], a[1], 0.0]), a[3]).into_iter().collect()),
    formula("gravity_pipe::discharge", DRAIN, |a| vec![gravity_pipe::discharge(&gravity_pipe(LIP, a), a[7], a[8], a[9]).0]),
    formula("gravity_pipe::discharge", &[0.2, 0.1, 0.1, 6.0, 1.5e-6, 2.5, 100.0, 0.05, -0.5, 1e-6], |a| vec![gravity_pipe::discharge(&gravity_pipe(LIP, a), a[7], a[8], a[9]).0]),
    formula("gravity_pipe::lip_flow", &[0.2, 0.0, 0.1, 6.0, 1.5e-6, 2.5, 100.0, 0.05], |a| vec![gravity_pipe::lip_flow(&gravity_pipe(LIP, a), a[7])]),
    formula("gravity_pipe::mouth_flow", &[0.0, 0.1, 6.0, 1.5e-6, 2.5, 100.0, 0.25], |a| vec![gravity_pipe::mouth_flow(&gravity_pipe::GravityPipe::new(gravity_pipe::Mouth::Wall { slope: 0.02 }, a[0], run(&a[1..])), a[6])]),
    formula("gravity_pipe::level_for_flow", &[0.2, 0.0, 0.1, 6.0, 1.5e-6, 2.5, 100.0, 0.002, -0.5, 1e-6], |a| vec![gravity_pipe::level_for_flow(&gravity_pipe(LIP, a), a[7], a[8], a[9])]),
    formula("part_full::area", &[0.1, 0.01, 0.05], |a| vec![part_full(a).area(a[2])]),
    formula("part_full::perimeter", &[0.1, 0.01, 0.05], |a| vec![part_full(a).perimeter(a[2])]),
    formula("part_full::top_width", &[0.1, 0.01, 0.05], |a| vec![part_full(a).top_width(a[2])]),
    formula("part_full::hydraulic_radius", &[0.1, 0.01, 0.05], |a| vec![part_full(a).hydraulic_radius(a[2])]),
    formula("part_full::flow", &[0.1, 0.01, 0.05, 0.011], |a| vec![part_full(a).flow(a[2], a[3])]),
    formula("part_full::full_flow", &[0.1, 0.01, 0.011], |a| vec![part_full(a).full_flow(a[2])]),
    formula("part_full::most_flow", &[0.1, 0.01, 0.011], |a| vec![part_full(a).most_flow(a[2])]),
    formula("part_full::normal_depth", &[0.1, 0.01, 0.003, 0.011], |a| vec![part_full(a).normal_depth(a[2], a[3])]),
    formula("part_full::normal_depth", &[0.1, 0.01, 0.0, 0.011], |a| vec![part_full(a).normal_depth(a[2], a[3])]),
    formula("part_full::critical_depth", &[0.1, 0.01, 0.003], |a| vec![part_full(a).critical_depth(a[2])]),
    formula("part_full::critical_flow_under", &[0.1, 0.01, 0.06], |a| vec![part_full(a).critical_flow_under(a[2])]),
    formula("part_full::froude", &[0.1, 0.01, 0.003, 0.05], |a| vec![part_full(a).froude(a[2], a[3])]),
    formula("part_full::full_area", &[0.1], |a| vec![part_full::full_area(a[0])]),
    formula("bed::at", &[293.15], |a| { let water = bed::Water::at(a[0]); vec![water.density, water.viscosity] }),
    formula("bed::ergun_reynolds", STONE, |a| { let (stone, water) = stone(a); vec![bed::ergun_reynolds(a[5], &stone, &water)] }),
    formula("bed::ergun_gradient", STONE, |a| { let (stone, water) = stone(a); vec![bed::ergun_gradient(a[5], &stone, &water)] }),
    formula("bed::ergun_head_loss", &[0.02, 0.8, 0.4, 998.0, 1e-3, 0.005, 0.5], |a| { let (stone, water) = stone(a); vec![bed::ergun_head_loss(a[5], a[6], &stone, &water)] }),
    formula("bed::as_fitting", &[0.02, 0.8, 0.4, 0.5, 2.0, 0.05], |a| { let stone = stone(&[a[0], a[1], a[2], 1.0, 1.0]).0; let loss = bed::as_fitting(&[(a[3], stone)], a[4], a[5]); vec![loss.laminar, loss.turbulent] }),
    formula("bed::archimedes", &[0.02, 2650.0, 998.0, 1e-3], |a| vec![bed::archimedes(a[0], a[1], &fluid(&a[2..]))]),
    formula("bed::minimum_fluidising_velocity", &[0.02, 2650.0, 998.0, 1e-3], |a| vec![bed::minimum_fluidising_velocity(a[0], a[1], &fluid(&a[2..]))]),
    formula("bed::settling_velocity", &[0.002, 2650.0, 998.0, 1e-3], |a| vec![bed::settling_velocity(a[0], a[1], &fluid(&a[2..]))]),
    formula("bed::specific_area", &[0.02, 0.8, 0.4], |a| vec![bed::specific_area(&stone(&[a[0], a[1], a[2], 1.0, 1.0]).0)]),
    formula("bed::porosity", &[1600.0, 2650.0], |a| vec![bed::porosity(a[0], a[1])]),
    formula("bed::of", &[3.0, 4.0, 0.1, 0.2, 0.3], |a| { let coarser = bed::Grading { d15: a[0], d50: a[1], d85: 5.0 }; let finer = bed::Grading { d15: a[2], d50: a[3], d85: a[4] }; let ratios = bed::FilterRatios::of(&coarser, &finer); vec![ratios.bridging + ratios.middle + ratios.draining] }),
    formula("bed::empty_bed_contact_time", &[1.0, 1e-3], |a| vec![bed::empty_bed_contact_time(a[0], a[1])]),
    formula("bed::void_contact_time", &[1.0, 0.4, 1e-3], |a| vec![bed::void_contact_time(a[0], a[1], a[2])]),
    formula("bed::upflow_rate", &[1e-3, 2.0], |a| vec![bed::upflow_rate(a[0], a[1])]),
    formula("settling::finest_settled", &[1e-3, 2650.0, 998.0, 1e-3], |a| settling::finest_settled(a[0], a[1], &fluid(&a[2..])).into_iter().collect()),
    formula("fittings::k", &[0.05], |a| vec![fittings::k("90 elbow", a[0]).unwrap()]),
    formula("fittings::k", &[0.05], |a| vec![fittings::k("exit", a[0]).unwrap()]),
    formula("fittings::crane_friction_factor", &[0.05], |a| vec![fittings::crane_friction_factor(a[0])]),
    formula("fittings::sudden_expansion", &[0.05, 0.1], |a| vec![fittings::sudden_expansion(a[0], a[1])]),
    formula("fittings::sudden_contraction", &[0.05, 0.1], |a| vec![fittings::sudden_contraction(a[0], a[1])]),
    formula("fittings::loss", &[0.05], |a| vec![fittings::methods::two_k(fittings::find("elbow").unwrap()).unwrap().loss(a[0]).turbulent]),
    formula("fittings::loss", &[2.0], |a| vec![fittings::methods::three_k(fittings::find("elbow").unwrap()).unwrap().loss(a[0]).turbulent]),
    formula("pipe_table::rating_factor", &[290.0], |a| pipe_table::Material::Pvc.rating_factor(a[0]).into_iter().collect()),
    formula("pump::head", &[1e-3], |a| curve().head(a[0]).into_iter().collect()),
    formula("pump::head_and_slope", &[1e-3], |a| curve().head_and_slope(a[0]).into_iter().map(|found| found.0).collect()),
    formula("pump::water_power", &[998.0, 1e-3, 5.0], |a| vec![pump::water_power(a[0], a[1], a[2])]),
    formula("pump::brake_power", &[998.0, 1e-3, 5.0, 0.5], |a| vec![pump::brake_power(a[0], a[1], a[2], a[3])]),
    formula("pump::npsh_available", &[1e5, 2300.0, 998.0, 2.0, 1.0], |a| vec![pump::npsh_available(&pump::Suction { surface_pressure: a[0], vapour_pressure: a[1], density: a[2], lift: a[3], loss: a[4] })]),
    formula("pump::least_submergence", &[1e-3, 0.05], |a| vec![pump::least_submergence(a[0], a[1])]),
    formula("walls::active", &[0.5], |a| vec![walls::active(a[0])]),
    formula("walls::thrust", &[1.0, 0.52, 1900.0, 1000.0], |a| { let (thrust, moment) = backing(a).thrust(); vec![thrust, moment] }),
    formula("walls::uplift", &[1.0, 0.6], |a| { let (uplift, moment) = backing(&[a[0], 0.5, 1900.0, 0.0]).uplift(a[1]); vec![uplift, moment] }),
    formula("walls::weight", &[1.0, 0.6, 0.1, 2200.0], |a| { let (weight, moment) = wall(a).weight(); vec![weight, moment] }),
    formula("walls::against", WALLS, |a| { let stability = wall(a).against(&backing(&a[4..]), a[8]); vec![stability.sliding + stability.overturning] }),
    formula("storage::volume", &[0.5], |a| vec![basin().volume(a[0])]),
    formula("storage::plan_volume", &[0.5], |a| vec![basin().plan_volume(a[0])]),
    formula("storage::area", &[0.5], |a| vec![basin().area(a[0])]),
    formula("storage::plan_area", &[0.5], |a| vec![basin().plan_area(a[0])]),
    formula("storage::level_of", &[0.5], |a| vec![basin().level_of(a[0])]),
    formula("storage::contours", &[0.0, 2.0, 1.0, 4.0], |a| storage::Profile::contours(&[(a[0], a[1]), (a[2], a[3])]).map(|profile| profile.top()).into_iter().collect()),
    formula("storage::tapered", &[0.0, 2.0, 1.0, 1.0, 4.0, 3.0], |a| storage::Profile::tapered(storage::Outline::Rectangle, (a[0], a[1], a[2]), (a[3], a[4], a[5])).map(|profile| profile.top()).into_iter().collect()),
    formula("storage::bowl", &[0.0, 2.0, 1.0, 1.0], |a| storage::Profile::bowl(a[0], a[1], a[2], a[3]).map(|profile| profile.top()).into_iter().collect()),
    formula("storage::from_floor", &[0.0, 2.0, 1.0, 0.5, 1.0, 0.2], |a| storage::Profile::from_floor(storage::Outline::Ellipse, a[0], a[1], a[2], &[storage::Bank { height: a[3], slope: a[4], shelf: a[5] }]).map(|profile| profile.top()).into_iter().collect()),
    formula("storage::from_top", &[0.0, 6.0, 4.0, 1.0, 0.5, 0.3, 0.4], |a| storage::Profile::from_top(storage::Outline::Ellipse, a[0], a[1], a[2], a[3], a[4], &[storage::Shelf { depth: a[5], width: a[6] }]).map(|profile| profile.top()).into_iter().collect()),
    formula("storage::filled", &[0.1, 0.4, 0.4, 1.0, 0.9], |a| storage::Storage::filled(&storage::Profile::contours(&[(0.0, 2.0), (1.0, 4.0)]).unwrap(), &[storage::Layer::new(a[0], a[1], a[2]).with_inner(a[3], a[4])]).map(|filled| filled.volume(1.0)).into_iter().collect()),
    formula("siphon::rest", &[1.0, 0.0, -1.0], |a| { let basin = basin(); let end = siphon::rest(&siphon::DrainBack { upper: &basin, upper_level: a[0], lower: &basin, lower_level: a[1], mouth: a[2], air_inlet: None, outlet: None }); vec![end.volume] }),
    formula("siphon::drawn_down", &[1.0, 0.5], |a| { let end = siphon::drawn_down(&basin(), a[0], a[1]); vec![end.level, end.lacking] }),
    formula("siphon::level_after_return", &[1.0, 0.5], |a| vec![siphon::level_after_return(&basin(), a[0], a[1])]),
    formula("siphon::total", &[1.0, 0.5, 0.2], |a| vec![in_transit(a).total()]),
    formula("siphon::time_to_fill", &[1.0, 0.5, 0.2, 1e-3], |a| vec![in_transit(a).time_to_fill(a[3])]),
];

fn ballast(a: &[f64]) -> uplift::Ballast {
    uplift::Ballast {
        slab: a[0],
        stone: a[1],
        water: a[2],
        soil: a[3],
    }
}

fn shell(wall: f64, floor: f64, outline: f64) -> uplift::Shell {
    uplift::Shell { wall, floor, outline }
}

fn copper(a: &[f64]) -> conductor::Conductor {
    conductor::Conductor {
        metal: conductor::Metal::Copper,
        area: a[0],
        standard: None,
    }
}

fn notch(a: &[f64]) -> weir::Crest {
    let edge = weir::Edge::VNotch(weir::Notch { angle: a[0] });
    weir::Crest::in_open_water(edge, 0.0)
}

fn curve() -> pump::Curve {
    pump::Curve::new(&[(0.0, 10.0), (1e-3, 9.5), (2e-3, 8.0)]).unwrap()
}

fn in_transit(a: &[f64]) -> siphon::InTransit {
    siphon::InTransit {
        films: a[0],
        streams: a[1],
        lines: a[2],
    }
}

/// The arguments give numbers; with any one of them no number, no result is finite.
#[test]
fn no_number_never_becomes_a_plausible_one() {
    let mut wrong = Vec::new();
    for formula in FORMULAS {
        let sound = (formula.results)(formula.arguments);
        if sound.is_empty() || !sound.iter().all(|value| value.is_finite()) {
            wrong.push(format!("{} gives {sound:?} for sound arguments", formula.name));
        }
        for at in 0..formula.arguments.len() {
            let mut arguments = formula.arguments.to_vec();
            arguments[at] = f64::NAN;
            let found = (formula.results)(&arguments);
            if found.iter().any(|value| value.is_finite()) {
                wrong.push(format!(
                    "{} makes {found:?} of argument {at} that is no number",
                    formula.name
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A temperature given in degrees Celsius is refused by every formula of a temperature in kelvin.
#[test]
fn degrees_celsius_are_no_kelvin() {
    let celsius = 20.0;
    let water = bed::Water::at(celsius);
    let run = pipe::Run::new(0.05, 10.0, 1.5e-6).with_k(2.0);
    for value in [
        water::density(celsius),
        water::kinematic_viscosity(celsius),
        water::vapour_pressure(celsius),
        water_quality::oxygen_saturation(celsius, 101_325.0),
        water_quality::un_ionised_share(celsius, 8.0),
        water_quality::nitrifying_capacity(10.0, celsius),
        water_quality::deficit_ratio(0.5, celsius),
        bed::settling_velocity(1e-3, 2650.0, &water),
        pipe::flow_under_head(1.0, &run, water::kinematic_viscosity(celsius)),
    ] {
        assert!(value.is_nan(), "{value}");
    }
}

/// Sizes below zero are no sizes.
#[test]
fn sizes_below_zero_are_refused() {
    for value in [
        pipe::head_loss(1e-3, &pipe::Run::new(-0.05, 10.0, 0.0), 1e-6),
        pipe::head_loss(1e-3, &pipe::Run::new(0.05, -10.0, 0.0), 1e-6),
        pipe::flow_under_head(1.0, &pipe::Run::new(0.05, 10.0, -1e-6), 1e-6),
        weir::discharge(&weir::Crest::in_open_water(weir::Edge::ThinLip, -1.0), 0.1),
        section(&[-0.6, 1.0, 0.02]).normal_depth(0.01, 0.03),
        part_full(&[-0.1, 0.01]).normal_depth(0.01, 0.03),
        riprap::isbash_size(1.0, 0.9, 0.86),
        fittings::crane_friction_factor(-0.05),
    ] {
        assert!(value.is_nan(), "{value}");
    }
}

/// What is public and takes or gives no number that a formula works on.
const EXEMPT: &[&str] = &[
    // Makers of a thing from its parts, and ways to name it.
    "new",
    "with_k",
    "with_laminar_k",
    "with_inner",
    "in_open_water",
    "in_channel",
    "open",
    "words",
    "source",
    "parse",
    "find",
    "holds",
    "two_k",
    "three_k",
    "classes",
    "sizes",
    "size_text",
    "nominal_size",
    "inside_diameter",
    "limits",
    "roughness",
    // What was put in, read back or held against limits (a limit that no number meets is not met).
    "outside",
    "of",
    "coefficients",
    "manning",
    "ends",
    "shut_off_head",
    "highest_head",
    "floor",
    "top",
    "hold",
    "at_speed_ratio",
];

/// Every public function of the formulas is in the table and has a runnable example, or is exempt with a reason.
#[test]
fn every_formula_is_in_the_table_and_has_an_example() {
    let known: BTreeSet<&str> = FORMULAS.iter().map(|formula| formula.name).collect();
    let mut missing = Vec::new();
    let mut open = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src/formulas")];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                // Solvers: they refuse what is no number, and have tests and examples of their own.
                if stem != "network" && stem != "routing" {
                    open.push(path);
                }
                continue;
            }
            let parent = folder.file_name().unwrap().to_string_lossy().into_owned();
            let module = if parent == "formulas" { stem } else { parent };
            let text = fs::read_to_string(&path).unwrap();
            let mut example = false;
            for line in text.lines().map(str::trim_start) {
                if line.starts_with("///") || line.starts_with("#[") {
                    example |= line.starts_with("/// ```");
                    continue;
                }
                let public = line
                    .strip_prefix("pub fn ")
                    .or_else(|| line.strip_prefix("pub const fn "));
                if let Some(rest) = public {
                    let letter = |c: &char| c.is_alphanumeric() || *c == '_';
                    let name: String = rest.chars().take_while(letter).collect();
                    let full = format!("{module}::{name}");
                    let exempt = EXEMPT.contains(&name.as_str());
                    if !exempt && !known.contains(full.as_str()) {
                        missing.push(format!("{full} is not in the table"));
                    }
                    if !exempt && !example {
                        missing.push(format!("{full} has no example"));
                    }
                }
                example = false;
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}
