//! A tablet: fingers instead of a mouse.

use serde_json::json;

use super::{browser::Browser, journey::plan_text, served::Served};

pub const TESTS: &[(&str, fn())] = &[("a_finger_on_a_tablet_drags_and_scrolls", finger)];

fn finger() {
    let mut browser = Browser::start();
    let size = json!({ "width": 1024, "height": 768, "deviceScaleFactor": 1, "mobile": true });
    browser.call("Emulation.setDeviceMetricsOverride", size);
    browser.call(
        "Emulation.setTouchEmulationEnabled",
        json!({ "enabled": true, "maxTouchPoints": 1 }),
    );
    let served = Served::example("courtyard-retrofit");
    browser.open(&served.address);
    let findings = "document.querySelectorAll('.findings:not(.questions) > li').length";
    assert_eq!(browser.eval(findings), json!(0));
    let rim = ".grip[data-at='/basins/bed/rim']";
    // A finger covers about 24 points, the least that guidelines ask of a target.
    let reach = browser.eval(&format!(
        "(() => {{ const box = document.querySelector(\"{rim} .reach\").getBoundingClientRect(); return [box.width, box.height]; }})()"
    ));
    assert!(
        reach[0].as_f64().unwrap() >= 24.0 && reach[1].as_f64().unwrap() >= 24.0,
        "{reach}"
    );
    browser.eval(&format!(
        "document.querySelector(\"{rim}\").scrollIntoView({{ block: 'center' }})"
    ));
    let at = browser.eval(&format!(
        "(() => {{ const box = document.querySelector(\"{rim}\").getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2, scrollY]; }})()"
    ));
    let [x, y, scrolled] = [0, 1, 2].map(|index| at[index].as_f64().unwrap());
    browser.touch("touchStart", x, y);
    for step in 1..=24 {
        browser.touch("touchMove", x, y + f64::from(step));
    }
    browser.wait(&format!("{findings} > 0"));
    browser.picture("touch-drag");
    browser.touch("touchEnd", x, y);
    browser.wait("document.querySelector('#page').dataset.state === 'ready'");
    // The drawing was dragged, not the page.
    assert_eq!(browser.eval("scrollY").as_f64(), Some(scrolled));
    browser.press_button("Undo");
    assert_eq!(plan_text(&mut browser).into_bytes(), served.bytes());
    // A finger beside the handles scrolls the page.
    let free = browser.eval("(() => { const box = document.querySelector('figure figcaption').getBoundingClientRect(); scrollTo(0, 0); return box.x + 10; })()");
    let x = free.as_f64().unwrap();
    browser.touch("touchStart", x, 600.0);
    for step in 1..=20 {
        browser.touch("touchMove", x, 600.0 - 15.0 * f64::from(step));
    }
    browser.touch("touchEnd", x, 300.0);
    browser.wait("scrollY > 50");
    assert_eq!(browser.complaints, Vec::<String>::new());
}
