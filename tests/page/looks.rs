//! Every view: without a violation of accessibility, at every size, dark, printed; pictures to be looked at.

use std::path::Path;

use serde_json::{Value, json};

use super::{browser::Browser, served::Served};

pub const TESTS: &[(&str, fn())] = &[
    ("every_view_is_accessible", accessible),
    ("a_tablet_and_twice_the_zoom_show_all", small),
    ("dark_and_print_are_readable", dark_and_print),
    ("keyboard_alone_reaches_everything", keyboard),
];

/// The violations that axe finds in the page.
pub fn violations(browser: &mut Browser) -> Vec<String> {
    let axe = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/axe/axe.min.js");
    browser.eval(&format!("{}; undefined", std::fs::read_to_string(axe).unwrap()));
    let found = browser.eval(
        "axe.run(document, { resultTypes: ['violations'] }).then(found => found.violations.map(one => one.id + ': ' + one.nodes.map(node => node.html.slice(0, 160) + ' ' + (node.any[0]?.message ?? '')).slice(0, 3).join(' | ')))",
    );
    let list = found.as_array().unwrap().iter();
    list.map(|one| one.as_str().unwrap().to_owned()).collect()
}

fn accessible() {
    let mut browser = Browser::start();
    let mut failures = Vec::new();
    let mut look = |browser: &mut Browser, view: &str| {
        browser.picture(view);
        failures.extend(
            violations(browser)
                .into_iter()
                .map(|found| format!("{view}: {found}")),
        );
    };
    let nothing = Served::nothing();
    browser.open(&nothing.address);
    look(&mut browser, "start");
    browser.act("document.querySelector('form.begin [type=submit]').click()");
    browser.wait("document.querySelector('.verdict')");
    look(&mut browser, "begun");
    let served = Served::example("courtyard-as-sent");
    browser.open(&served.address);
    look(&mut browser, "as-sent");
    // Everything unfolded.
    for _ in 0..40 {
        if browser.eval("document.querySelector('#form .folder[aria-expanded=false]') === null")
            == json!(true)
        {
            break;
        }
        browser.act("for (const folder of document.querySelectorAll('#form .folder[aria-expanded=false]')) folder.click()");
    }
    look(&mut browser, "unfolded");
    browser.act("document.querySelector('.findings .line').click()");
    browser.eval("document.querySelector('.accept')?.setAttribute('open', ''); document.querySelector('.changes').open = true; document.querySelector('.cautions').open = true");
    look(&mut browser, "finding");
    browser.press_button("power off");
    browser.press_button("Send-back list");
    look(&mut browser, "case-and-letter");
    browser.press_button("Show the plan as text");
    look(&mut browser, "text");
    browser.act("const box = document.querySelector('#plan-text'); box.value = '{ \"a\" }'; box.form.querySelector('button').click()");
    look(&mut browser, "broken");
    browser.media("screen", "dark");
    browser.open(&served.address);
    browser.press_button("Undo");
    look(&mut browser, "dark");
    browser.press_button("Show the form");
    browser.press_button("Send-back list");
    look(&mut browser, "dark-form");
    browser.media("print", "light");
    look(&mut browser, "printed");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Whether anything is wider than the window.
fn overflow(browser: &mut Browser) -> Value {
    browser.eval(
        "(() => { const wide = document.documentElement.clientWidth; if (document.documentElement.scrollWidth <= wide + 1) return null; return [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > wide + 1).slice(0, 3).map(e => e.outerHTML.slice(0, 120)); })()",
    )
}

fn small() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-as-sent");
    browser.open(&served.address);
    browser
        .act("for (const folder of document.querySelectorAll('.member > .fold > .folder')) folder.click()");
    // A tablet; a window of 1440 at twice the zoom; the narrowest that guidelines ask for.
    for (name, width, height) in [("tablet", 1024, 768), ("zoomed", 720, 450), ("narrow", 320, 640)] {
        browser.size(width, height);
        browser.picture(name);
        assert_eq!(overflow(&mut browser), Value::Null, "{name}");
        // What stands below one another has the whole width.
        let widths =
            browser.eval("[...document.querySelectorAll('.columns > section')].map(e => e.clientWidth)");
        let narrowest = widths.as_array().unwrap().iter().filter_map(Value::as_u64).min();
        let least = u64::from(if width > 800 { 280 } else { width - 4 });
        assert!(narrowest >= Some(least), "{name}: {widths}");
    }
}

fn dark_and_print() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-as-sent");
    browser.media("screen", "dark");
    browser.open(&served.address);
    let light = |text: &str| -> u32 {
        let numbers = text
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|part| part.parse::<u32>().ok());
        numbers.take(3).sum()
    };
    let paper = browser.text("getComputedStyle(document.body).backgroundColor");
    let ink = browser.text("getComputedStyle(document.body).color");
    assert!(light(&paper) < 150 && light(&ink) > 500, "{paper} {ink}");
    browser.media("print", "dark");
    browser.picture("print");
    let paper = browser.text("getComputedStyle(document.body).backgroundColor");
    assert_eq!(light(&paper), 765, "{paper}");
    for hidden in ["#form", ".tools", ".grip", ".cases"] {
        assert_eq!(
            browser.text(&format!(
                "getComputedStyle(document.querySelector('{hidden}')).display"
            )),
            "none",
            "{hidden}"
        );
    }
    assert!(
        browser
            .text("document.body.innerText")
            .contains("Recommended action")
    );
    let pdf = browser.call("Page.printToPDF", json!({ "printBackground": true }));
    assert!(pdf["data"].as_str().unwrap().starts_with("JVBERi"));
    // A case is printed without what moves its water.
    browser.media("screen", "light");
    browser.press_button("power off");
    browser.media("print", "light");
    let display = browser.text("getComputedStyle(document.querySelector('.moment button')).display");
    assert_eq!(display, "none");
}

/// All that can be pressed or typed into can be reached, and shows where it is.
fn keyboard() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-as-sent");
    browser.open(&served.address);
    let all = "[...document.querySelectorAll('button:not(:disabled), input, select, textarea, summary, .grip, g.mark')].filter(e => e.checkVisibility() && e.type !== 'radio')";
    let count = browser.eval(&format!("{all}.length")).as_u64().unwrap();
    browser.eval("window.reached = new Set(); window.bare = []; document.addEventListener('focusin', event => reached.add(event.target)); undefined");
    for _ in 0..count + 20 {
        browser.key("Tab");
        browser.eval("{ const e = document.activeElement; const s = getComputedStyle(e); if (e !== document.body && s.outlineStyle === 'none' && !e.matches('.grip, .mark')) bare.push(e.outerHTML.slice(0, 100)); }; undefined");
    }
    let missed = browser.eval(&format!(
        "{all}.filter(e => !reached.has(e)).map(e => e.outerHTML.slice(0, 100))"
    ));
    assert_eq!(missed, json!([]));
    assert_eq!(browser.eval("bare.slice(0, 5)"), json!([]));
}
