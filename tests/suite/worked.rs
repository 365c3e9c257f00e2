//! Worked lines: the numbers put into a formula are those that give its result.

use bywash::{
    engine::ReviewOptions,
    review::{FigureLine, figure_lines},
};

use super::changed;

fn lines(name: &str) -> Vec<FigureLine> {
    let (engine, opened) = changed::example(name, &[]);
    figure_lines(&engine.context(&opened, ReviewOptions::default()))
}

fn worked(lines: &[FigureLine], object: &str, name: &str) -> String {
    let line = lines
        .iter()
        .find(|line| line.object.as_str() == object && line.name == name);
    line.and_then(|line| line.worked.clone()).unwrap()
}

#[test]
fn the_finest_stone_is_the_one_put_in() {
    let lines = lines("courtyard-as-sent");
    let lifts = worked(&lines, "/basins/bed", "fluidising-velocity");
    assert!(lifts.contains("(ρ·0.75 in)"), "{lifts}");
}

#[test]
fn a_symbol_of_several_values_is_left_as_it_is() {
    let lines = lines("courtyard-as-sent");
    let clean = worked(&lines, "/basins/bed", "bed-head-loss");
    assert!(clean.contains("Σ t·(150·μ·(1−n)²·0.792 gpm/ft²"), "{clean}");
    let fouled = worked(&lines, "/basins/bed", "bed-head-loss-fouled");
    assert!(fouled.starts_with("h = "), "{fouled}");
    let open = worked(&lines, "/basins/bed", "open-water-depth");
    assert_eq!(
        open,
        "d_open = max(0, 36 in − (12 in + 10 in + 7 in + 6 in)) = 1 in"
    );
}

#[test]
fn a_number_of_the_formula_meets_no_unit_that_is_not_its_own() {
    for name in ["courtyard-as-sent", "starter", "mill-yard-metric"] {
        let turned = worked(&lines(name), "", "nitrifying-capacity");
        assert!(turned.contains("1.07^(T_mean − 20)"), "{turned}");
    }
}
