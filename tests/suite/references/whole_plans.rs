//! Whole plans, from the file to the machine form of the review, against independent integrations, a public storm-water
//! engine, closed forms and sums by hand. Their plans are under `tests/plans/engines`.

mod by_hand;
mod communicating;
mod integrated;
mod storm_water;
mod told;

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got - want).abs() <= within, "{what}: got {got}, want {want}");
}
