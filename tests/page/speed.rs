//! How long a change takes to the screen. The limits hold for a build with optimisation; without, only the way is run.

use super::{browser::Browser, served::Served};

pub const TESTS: &[(&str, fn())] = &[("a_change_is_on_the_screen_at_once", change)];

/// Changes that are timed.
const CHANGES: usize = 15;

fn change() {
    let served = Served::example("two-ponds");
    let mut browser = Browser::start();
    browser.open(&served.address);
    let first = browser.text("document.querySelector('#page').dataset.first");
    let mut times = Vec::new();
    for index in 0..CHANGES {
        let steps = if index % 2 == 0 { 1 } else { -1 };
        let took = browser.eval(&format!(
            "new Promise(done => {{
               const page = document.querySelector('#page'); const before = page.dataset.turns; const begun = performance.now();
               const look = new MutationObserver(() => {{ if (page.dataset.turns !== before) {{ look.disconnect(); requestAnimationFrame(() => setTimeout(() => done(performance.now() - begun))); }} }});
               look.observe(page, {{ attributes: true }});
               const grip = document.querySelector(\".grip[data-at='/basins/lower/rim']\");
               grip.dispatchEvent(new KeyboardEvent('keydown', {{ key: {steps} > 0 ? 'ArrowUp' : 'ArrowDown', bubbles: true }}));
             }})"
        ));
        times.push(took.as_f64().unwrap());
    }
    times.sort_by(f64::total_cmp);
    let median = times[CHANGES / 2];
    println!(
        "first view {first} ms, change to screen: median {median:.0} ms, worst {:.0} ms",
        times[CHANGES - 1]
    );
    if !cfg!(debug_assertions) {
        assert!(first.parse::<f64>().unwrap() < 500.0, "{first}");
        assert!(median < 100.0, "median {median:.0} ms of {times:?}");
    }
}
