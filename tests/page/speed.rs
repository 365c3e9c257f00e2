//! How long a change takes to the screen. The limits hold for a build with optimisation; without, only the way is run.

use super::{browser::Browser, served::Served};

pub const TESTS: &[(&str, fn())] = &[
    ("a_change_is_on_the_screen_at_once", change),
    ("a_drag_is_smooth_and_the_findings_follow", drag),
];

/// Changes that are timed.
const CHANGES: usize = 15;

fn change() {
    let served = Served::example("two-ponds");
    let mut browser = Browser::start();
    browser.open(&served.address);
    let first = browser.text("document.querySelector('#page').dataset.first");
    let mut times = changes(&mut browser);
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

/// Drags a rim up and down for two seconds; counts the frames and the turns meanwhile.
fn drag() {
    let served = Served::example("two-ponds");
    let mut browser = Browser::start();
    browser.open(&served.address);
    let counted = browser.eval(
        "new Promise(done => {
           const grip = document.querySelector(\".grip[data-at='/basins/lower/rim']\");
           const box = grip.getBoundingClientRect();
           const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
           const page = document.querySelector('#page');
           page.setPointerCapture = () => {};
           const event = (kind, dy) => (kind === 'pointerdown' ? grip : page).dispatchEvent(new PointerEvent(kind, { bubbles: true, clientX: x, clientY: y + dy, button: 0 }));
           event('pointerdown', 0);
           const before = Number(page.dataset.turns);
           const begun = performance.now();
           let frames = 0;
           const frame = () => {
             frames++;
             const now = performance.now() - begun;
             if (now > 2000) {
               event('pointerup', 0);
               done({ frames: frames / now * 1000, turns: (Number(page.dataset.turns) - before) / now * 1000 });
             } else {
               event('pointermove', 12 * Math.sin(now / 200));
               requestAnimationFrame(frame);
             }
           };
           requestAnimationFrame(frame);
         })",
    );
    let (frames, turns) = (
        counted["frames"].as_f64().unwrap(),
        counted["turns"].as_f64().unwrap(),
    );
    println!("dragging: {frames:.0} frames and {turns:.1} reviews a second");
    assert!(turns > 0.0);
    if !cfg!(debug_assertions) {
        assert!(
            frames >= 30.0 && turns >= 5.0,
            "{frames:.0} frames, {turns:.1} reviews a second"
        );
    }
}

/// How long each of some changes takes to the screen, ms.
pub fn changes(browser: &mut Browser) -> Vec<f64> {
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
    times
}
