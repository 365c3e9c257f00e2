//! What a user does from the first picture to a reviewed plan.

use serde_json::{Value, json};

use super::{browser::Browser, served::Served};

pub const TESTS: &[(&str, fn())] = &[
    ("each_start_opens_as_a_plan_with_questions", each_start),
    ("a_small_plan_is_typed_by_keyboard_alone", by_keyboard),
    ("a_crest_is_dragged_and_a_finding_comes_and_goes", dragging),
    ("a_cure_is_tried_and_taken_back_and_a_finding_is_accepted", cures),
    ("objects_are_added_renamed_copied_and_removed", objects),
    ("water_moves_through_a_case_in_time", water),
    ("form_drawing_and_findings_light_each_other", links),
    ("a_level_is_given_as_a_depth_below_another", depth),
];

/// The plan as the page has it now: what it would save.
pub fn plan_text(browser: &mut Browser) -> String {
    browser.press_button("Show the plan as text");
    let text = browser.text("document.querySelector('#plan-text').value");
    browser.press_button("Show the form");
    text
}

fn each_start() {
    let served = Served::nothing();
    let mut browser = Browser::start();
    browser.open(&served.address);
    let count = browser.eval("document.querySelectorAll('[name=start]').length");
    assert_eq!(count, json!(4));
    for index in 0..4 {
        browser.act(&format!(
            "document.querySelectorAll('[name=start]')[{index}].click(); document.querySelector('form.begin [type=submit]').click()"
        ));
        browser.wait("document.querySelector('.verdict')");
        assert!(
            browser
                .eval("document.querySelectorAll('.questions li').length")
                .as_u64()
                .unwrap()
                > 10
        );
        assert!(
            browser
                .eval("document.querySelectorAll('svg.scene').length")
                .as_u64()
                .unwrap()
                >= 1
        );
        browser.press_button("Another plan");
        browser.wait("document.querySelector('form.begin')");
    }
    assert_eq!(browser.complaints, Vec::<String>::new());
}

/// Goes to an element with the tabulator alone.
pub fn tab_to(browser: &mut Browser, selector: &str) {
    for _ in 0..400 {
        if browser.eval(&format!("document.activeElement?.matches({})", json!(selector))) == json!(true) {
            return;
        }
        browser.key("Tab");
    }
    panic!("{selector} can't be reached with the tabulator");
}

pub fn type_into(browser: &mut Browser, at: &str, text: &str) {
    tab_to(browser, &format!("[data-set='{at}']"));
    let before = browser.text("document.querySelector('#page').dataset.turns");
    browser.type_text(text);
    browser.key("Tab");
    browser.wait(&format!("document.querySelector('#page').dataset.turns !== '{before}' && document.querySelector('#page').dataset.state === 'ready'"));
}

fn by_keyboard() {
    let served = Served::nothing();
    let mut browser = Browser::start();
    browser.open(&served.address);
    tab_to(&mut browser, "[name=start]");
    browser.key("ArrowDown");
    tab_to(&mut browser, "[name=name]");
    browser.type_text("Back yard");
    tab_to(&mut browser, "form.begin [type=submit]");
    browser.key("Enter");
    browser.wait("document.querySelector('.verdict')");
    // The second picture is the pond with a bed; the pond lies open. The tabulator goes on from the head of the page.
    browser.eval("document.activeElement.blur()");
    browser.wait("document.querySelector(\"[data-set='/basins/pond/still']\")");
    for (at, text) in [
        ("/basins/pond/still", "-6 in"),
        ("/basins/pond/rim", "0 in"),
        ("/basins/pond/floor", "-3' 0\""),
        ("/basins/pond/stated_volume", "1500 gal"),
    ] {
        type_into(&mut browser, at, text);
    }
    let text = plan_text(&mut browser);
    let plan: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        plan.pointer("/basins/pond"),
        Some(
            &json!({ "kind": "pond", "still": "-6 in", "rim": "0 in", "floor": "-3' 0\"", "stated_volume": "1500 gal" })
        )
    );
    // What was typed is echoed as it is understood; what can't be read stands at its field in the command line's words.
    assert!(
        browser
            .text("document.querySelector('[id=\"at/basins/pond/floor-note\"]').textContent")
            .contains("−3 ft 0 in")
    );
    browser.eval("document.querySelector(\"[data-set='/basins/pond/floor']\").focus()");
    browser.eval("document.activeElement.select()");
    browser.type_text("3");
    browser.wait("document.querySelector('[id=\"at/basins/pond/floor-note\"] .error')");
    let told =
        browser.text("document.querySelector('[id=\"at/basins/pond/floor-note\"] .error').textContent");
    assert!(told.contains("unit"), "{told}");
    // The last good review stays.
    assert!(
        browser
            .eval("document.querySelectorAll('.questions li').length")
            .as_u64()
            .unwrap()
            > 5
    );
    assert!(
        browser
            .text("document.querySelector('.stale').textContent")
            .contains("last review")
    );
    assert_eq!(browser.complaints, Vec::<String>::new());
}

/// The middle of an element in the window.
fn middle(browser: &mut Browser, selector: &str) -> [f64; 2] {
    let selector = json!(selector);
    browser.eval(&format!(
        "document.querySelector({selector}).scrollIntoView({{ block: 'center' }})"
    ));
    let at = browser.eval(&format!(
        "(() => {{ const box = document.querySelector({selector}).getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; }})()"
    ));
    [at[0].as_f64().unwrap(), at[1].as_f64().unwrap()]
}

fn rules_shown(browser: &mut Browser) -> String {
    browser.text("[...document.querySelectorAll('.findings:not(.questions) .line')].map(line => line.textContent).join('\\n')")
}

fn dragging() {
    let served = Served::example("courtyard-retrofit");
    let mut browser = Browser::start();
    browser.open(&served.address);
    assert_eq!(
        browser.eval("document.querySelectorAll('.findings:not(.questions) li').length"),
        json!(0)
    );
    let rim = ".grip[data-at='/basins/bed/rim']";
    let [x, y] = middle(&mut browser, rim);
    let level = browser
        .eval(&format!("Number(document.querySelector(\"{rim}\").dataset.grip)"))
        .as_f64()
        .unwrap();
    browser.mouse("mouseMoved", x, y);
    browser.mouse("mousePressed", x, y);
    for step in 1..=20 {
        browser.mouse("mouseMoved", x, y + f64::from(step));
    }
    browser.wait("document.querySelectorAll('.findings:not(.questions) li').length > 0");
    assert!(
        rules_shown(&mut browser).contains("rim"),
        "{}",
        rules_shown(&mut browser)
    );
    // Back to where it was, and let go.
    for step in (0..20).rev() {
        browser.mouse("mouseMoved", x, y + f64::from(step));
    }
    browser.mouse("mouseReleased", x, y);
    browser.wait("document.querySelectorAll('.findings:not(.questions) li').length === 0 && document.querySelector('#page').dataset.state === 'ready'");
    let now = browser
        .eval(&format!("Number(document.querySelector(\"{rim}\").dataset.grip)"))
        .as_f64()
        .unwrap();
    assert!((now - level).abs() < 0.004, "{now} {level}");
    // With the arrow keys: 1/4 in a step.
    browser.eval(&format!("document.querySelector(\"{rim}\").focus()"));
    browser.key("ArrowUp");
    browser.wait(&format!(
        "Math.abs(Number(document.querySelector(\"{rim}\").dataset.grip) - {now} - 0.00635) < 1e-6"
    ));
    assert_eq!(
        browser.eval("document.activeElement.dataset.at"),
        json!("/basins/bed/rim")
    );
    // The whole drag is one step to take back.
    browser.press_button("Undo");
    browser.press_button("Undo");
    let text = plan_text(&mut browser);
    assert_eq!(text.into_bytes(), served.bytes());
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn cures() {
    let served = Served::example("courtyard-as-sent");
    let mut browser = Browser::start();
    browser.open(&served.address);
    let count = "document.querySelectorAll('.findings:not(.questions) > li').length";
    let before = browser.eval(count).as_u64().unwrap();
    // The first finding that a value cures.
    for index in 0..before {
        browser.act(&format!(
            "document.querySelectorAll('.findings:not(.questions) .line')[{index}].click()"
        ));
        if browser.eval("document.querySelector('.cures button') !== null") == json!(true) {
            break;
        }
    }
    let headline = browser.text("document.querySelector('[aria-expanded=true] .headline').textContent");
    assert!(browser.eval("document.querySelector('.detail .worked') !== null || document.querySelector('.detail') !== null").as_bool().unwrap());
    browser.act("document.querySelector('.cures button').click()");
    browser.wait("document.querySelector('.tried')");
    let did = browser.text("document.querySelector('.tried').innerText");
    assert!(
        did.contains("Closed:") && did.contains(&headline),
        "{headline}\n{did}"
    );
    assert!(browser.eval(count).as_u64().unwrap() < before);
    browser.press_button("Take it back");
    assert_eq!(browser.eval(count).as_u64().unwrap(), before);
    assert_eq!(plan_text(&mut browser).into_bytes(), served.bytes());
    // Accepting asks for reason, initials and a day.
    for index in 0..before {
        browser.act(&format!(
            "document.querySelectorAll('.findings:not(.questions) .line')[{index}].click()"
        ));
        if browser.eval("document.querySelector('.accept form') !== null") == json!(true) {
            break;
        }
    }
    let headline = browser.text("document.querySelector('[aria-expanded=true] .headline').textContent");
    browser.act(
        "document.querySelector('.accept').open = true;
         for (const [name, text] of [['reason', 'agreed on site'], ['initials', 'RT'], ['until', '2027-12-31']])
           document.querySelector(`.accept [name=${name}]`).value = text;
         document.querySelector('.accept [type=submit]').click()",
    );
    browser.wait("document.querySelector('ul.accepted')");
    assert!(
        browser
            .text("document.querySelector('ul.accepted').innerText")
            .contains(&headline)
    );
    assert!(
        browser
            .text("document.querySelector('.changes').textContent")
            .contains("1 closed")
    );
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn objects() {
    let served = Served::example("courtyard-retrofit");
    let mut browser = Browser::start();
    browser.open(&served.address);
    browser.act("[...document.querySelectorAll('.member > .fold > .folder')].find(b => b.textContent.includes('bed')).click()");
    browser.act("const form = document.querySelector(\"[id='at/basins/bed'] form.rename\"); form.elements.id.value = 'north bed'; form.querySelector('button').click()");
    browser.wait("document.querySelector(\"[id='at/basins/north%20bed']\")");
    let text = plan_text(&mut browser);
    assert!(
        text.contains("\"to\": \"north bed\"") && text.contains("\"from\": \"north bed\""),
        "{text}"
    );
    assert!(
        !text.contains("\"to\": \"bed\"") && !text.contains("\"basin\": \"bed\""),
        "{text}"
    );
    assert_eq!(
        browser.eval("document.querySelectorAll('.error').length"),
        json!(0)
    );
    browser.act("document.querySelector(\"[aria-label='Copy north bed']\").click()");
    browser.wait("document.querySelector(\"[id='at/basins/north%20bed-2']\")");
    browser.act("document.querySelector(\"[aria-label='Remove north bed-2']\").click()");
    browser.act("const form = document.querySelector(\"[id='at/basins'] > .inside > form.add\"); form.elements.id.value = 'well'; form.elements.kind.value = 'reservoir'; form.querySelector('button').click()");
    browser.wait("document.querySelector(\"[id='at/basins/well']\")");
    let text = plan_text(&mut browser);
    assert!(
        text.contains("\"well\"") && text.contains("\"reservoir\"") && !text.contains("north bed-2"),
        "{text}"
    );
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn water() {
    let served = Served::example("two-ponds");
    let mut browser = Browser::start();
    browser.open(&served.address);
    browser.press_button("power off");
    browser.wait("document.querySelector('#moment')");
    let words = "[...document.querySelectorAll('.moved-words')].map(text => text.textContent).join(' ')";
    let first = browser.text(words);
    assert!(
        browser
            .text("document.querySelector('output').textContent")
            .contains("beginning")
    );
    browser.act("const slider = document.querySelector('#moment'); slider.value = slider.max; slider.dispatchEvent(new Event('input', { bubbles: true }))");
    browser.wait("document.querySelector('output').textContent.includes('after')");
    assert_ne!(browser.text(words), first);
    browser.press_button("running");
    browser.wait("!document.querySelector('#moment')");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn links() {
    let served = Served::example("courtyard-as-sent");
    let mut browser = Browser::start();
    browser.open(&served.address);
    let line = ".findings:not(.questions) .line";
    browser.eval(&format!("document.querySelector('{line}').focus()"));
    let at = browser.text("document.querySelector('.findings:not(.questions) > li').dataset.at");
    browser.wait("document.querySelectorAll('.findings .lit').length > 0");
    browser.act(&format!("document.querySelector('{line}').click()"));
    browser.press_button("Go to the value");
    let focused = browser.text("document.activeElement.closest('[data-at]').dataset.at");
    assert!(
        at.starts_with(&focused) || focused.starts_with(&at),
        "{at} {focused}"
    );
    // And from the drawing to its finding.
    browser.act("document.querySelector('g.mark').dispatchEvent(new MouseEvent('click', { bubbles: true }))");
    browser.wait("document.querySelector('.findings .detail')");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn depth() {
    let served = Served::text(br#"{ "format": "bywash plan 1", "basins": { "pond": { "kind": "pond", "still": "-6 in", "rim": "0 in" } } }"#);
    let mut browser = Browser::start();
    browser.open(&served.address);
    browser.act("document.querySelector('.member .folder').click()");
    browser.act("document.querySelector(\"[data-at='/basins/pond/floor'] button.below\").click()");
    browser.act("const form = document.querySelector('form.depth'); form.elements.text.value = '4 ft'; form.elements.from.value = '/basins/pond/still'; form.querySelector('button').click()");
    assert!(plan_text(&mut browser).contains("\"floor\": \"-4 ft 6 in\""));
}
