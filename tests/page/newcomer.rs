//! A new user with a paper sketch: the numbers of the sketch typed by the page alone, step by step as a hand would, and
//! where such a user stumbled once.

use serde_json::{Value, json};

use super::{
    browser::Browser,
    journey::{plan_text, tab_to, type_into},
    looks::violations,
    served::Served,
};

pub const TESTS: &[(&str, fn())] = &[
    ("a_sketch_becomes_a_plan_whose_questions_make_sense", sketch),
    (
        "the_whole_sketch_is_typed_and_saved_by_keyboard_alone",
        by_keyboard,
    ),
    ("a_press_counts_where_the_page_moves_under_it", press_counts),
    ("what_keeps_a_plan_from_review_is_told_and_found", stale),
    ("no_example_in_a_box_is_cut_off", placeholders),
];

/// Steps of a hand: presses, and texts typed.
#[derive(Default)]
struct Hand {
    presses: usize,
    typed: usize,
}

impl Hand {
    /// Presses what an expression finds, where it is seen.
    fn press(&mut self, browser: &mut Browser, what: &str) {
        let at = browser.eval(&format!(
            "(() => {{ const e = {what}; e.scrollIntoView({{ block: 'nearest' }}); const box = e.getBoundingClientRect();
               const at = [box.x + Math.min(box.width / 2, 60), box.y + box.height / 2]; const seen = document.elementFromPoint(...at);
               return e === seen || e.contains(seen) || seen?.contains(e) ? at : null; }})()"
        ));
        let [x, y] = [0, 1].map(|side| at[side].as_f64().unwrap_or_else(|| panic!("covered: {what}")));
        browser.mouse("mousePressed", x, y);
        browser.mouse("mouseReleased", x, y);
        settled(browser);
        self.presses += 1;
    }

    /// Unfolds a part of the form, unless it is.
    fn unfold(&mut self, browser: &mut Browser, at: &str) {
        let folder = format!("document.getElementById('foldat{at}')");
        if browser.text(&format!("{folder}.getAttribute('aria-expanded')")) == "false" {
            self.press(browser, &folder);
        }
    }

    /// Types a value into its field and goes on to the next.
    fn type_in(&mut self, browser: &mut Browser, at: &str, text: &str) {
        let field = format!("document.querySelector(\"[data-set='{at}']\")");
        if browser.text(&format!("{field}.nodeName")) == "SELECT" {
            // The list is chosen from by its first letters, as the keyboard does.
            browser.eval(&format!("{field}.focus()"));
            for letter in text.chars() {
                browser.call(
                    "Input.dispatchKeyEvent",
                    json!({ "type": "char", "text": letter.to_string() }),
                );
            }
            browser.eval(&format!("{{ const list = {field}; if (list.value !== {0}) {{ list.value = {0}; list.dispatchEvent(new Event('change', {{ bubbles: true }})); }} }}; undefined", json!(text)));
        } else {
            self.press(browser, &field);
            browser.eval(&format!("{field}.select()"));
            browser.type_text(text);
        }
        browser.key("Tab");
        settled(browser);
        self.typed += 1;
        assert_eq!(browser.text(&format!("{field}.value")), text, "{at}");
    }

    /// Adds something by name.
    fn add(&mut self, browser: &mut Browser, at: &str, id: &str, kind: Option<&str>) {
        let form = format!("document.querySelector(\"[id='at{at}'] > form.add, [id='at{at}'] form.add\")");
        self.press(browser, &format!("{form}.elements.id"));
        browser.type_text(id);
        if let Some(kind) = kind {
            browser.eval(&format!("{form}.elements.kind.value = {}", json!(kind)));
        }
        self.press(browser, &format!("{form}.querySelector('button')"));
        self.typed += 1;
    }
}

fn settled(browser: &mut Browser) {
    // What a press leads to begins a moment after it.
    browser.eval("new Promise(done => setTimeout(done, 30))");
    browser.wait("document.querySelector('#page').dataset.state === 'ready'");
}

/// A pond of 11 by 8 ft, 30 in deep, under a bed of stone 8 by 4 ft with a 24 in lip; a pump, 25 ft of 2 in pipe.
const SKETCH: [(&str, &str); 19] = [
    ("/basins/pond/still", "-4 in"),
    ("/basins/pond/rim", "0"),
    ("/basins/pond/floor", "-34 in"),
    ("/basins/pond/shape/form", "rectangle"),
    ("/basins/pond/shape/length", "11 ft"),
    ("/basins/pond/shape/width", "8'"),
    ("/basins/pond/shape/depth", "34 in"),
    ("/basins/pond/shape/side_slope", "0:1"),
    ("/basins/bed/still", "+1 in"),
    ("/basins/bed/rim", "+6 in"),
    ("/basins/bed/floor", "-22 in"),
    ("/basins/bed/shape/form", "rectangle"),
    ("/basins/bed/shape/length", "8 ft"),
    ("/basins/bed/shape/width", "4 ft"),
    ("/basins/bed/shape/depth", "28 in"),
    ("/basins/bed/shape/side_slope", "0:1"),
    ("/basins/bed/layers/stone/thickness", "21 in"),
    ("/basins/bed/layers/stone/smallest", "1 in"),
    ("/basins/bed/layers/stone/largest", "2 in"),
];

fn sketch() {
    let served = Served::nothing();
    let mut browser = Browser::start();
    let mut hand = Hand::default();
    browser.open(&served.address);
    hand.press(&mut browser, "document.querySelectorAll('.picture')[1]");
    hand.press(&mut browser, "document.querySelector('[name=name]')");
    browser.type_text("Garden pond");
    browser.key("Tab");
    browser.type_text("Cary, North Carolina");
    hand.press(&mut browser, "document.querySelector('form.begin [type=submit]')");
    browser.wait("document.querySelector('.verdict')");
    browser.picture("sketch-begun");
    let questions = "document.querySelectorAll('.questions > li').length";
    let at_first = browser.eval(questions).as_u64().unwrap();
    for (at, text) in SKETCH {
        let parts: Vec<&str> = at.split('/').collect();
        hand.unfold(&mut browser, &format!("/basins/{}", parts[2]));
        if parts.len() == 5 {
            hand.unfold(&mut browser, &format!("/basins/{}/{}", parts[2], parts[3]));
        }
        if parts.len() == 6
            && browser.eval("document.querySelector(\"[id='at/basins/bed/layers/stone']\")") == Value::Null
        {
            hand.add(&mut browser, "/basins/bed/layers", "stone", Some("stone"));
        }
        hand.type_in(&mut browser, at, text);
    }
    // The only pump, line, run and fall lie open with the part they are in.
    hand.unfold(&mut browser, "/pumps");
    hand.type_in(&mut browser, "/pumps/pump/mount", "submerged");
    hand.type_in(&mut browser, "/pumps/pump/intake", "-30 in");
    for (row, flow, head) in [
        (0, "0", "20 ft"),
        (1, "2000 gph", "15 ft"),
        (2, "3600 gph", "8 ft"),
    ] {
        // Two empty rows stand there; a third is asked for.
        if row == 2 {
            hand.press(&mut browser, "[...document.getElementById('at/pumps/pump/curve').querySelectorAll('button')].find(button => button.textContent === 'Add a row')");
            assert_eq!(
                browser.text("document.activeElement.dataset.set"),
                "/pumps/pump/curve/2/0"
            );
        }
        hand.type_in(&mut browser, &format!("/pumps/pump/curve/{row}/0"), flow);
        hand.type_in(&mut browser, &format!("/pumps/pump/curve/{row}/1"), head);
        // Nothing is judged before a row is complete.
        assert_eq!(
            browser.eval("document.querySelector('.stale, #form .error')"),
            Value::Null
        );
    }
    hand.unfold(&mut browser, "/lines");
    hand.unfold(&mut browser, "/lines/line/runs/main/pipe");
    hand.type_in(&mut browser, "/lines/line/runs/main/pipe/size", "2 in");
    hand.type_in(&mut browser, "/lines/line/runs/main/pipe/class", "sch 40");
    hand.type_in(&mut browser, "/lines/line/runs/main/length", "25 ft");
    hand.unfold(&mut browser, "/falls");
    hand.type_in(&mut browser, "/falls/lip/crest", "+1 in");
    hand.type_in(&mut browser, "/falls/lip/width", "24 in");
    hand.type_in(&mut browser, "/falls/lip/edge", "natural stone");
    browser.picture("sketch-typed");
    println!("a sketch: {} presses, {} values typed", hand.presses, hand.typed);
    assert!(
        hand.presses + hand.typed < 110,
        "{} presses, {} typed",
        hand.presses,
        hand.typed
    );
    // What was typed is what the plan says.
    let plan: Value = serde_json::from_str(&plan_text(&mut browser)).unwrap();
    for (at, text) in SKETCH {
        assert_eq!(plan.pointer(at), Some(&json!(text)), "{at}");
    }
    assert_eq!(
        plan["pumps"]["pump"]["curve"],
        json!([["0", "20 ft"], ["2000 gph", "15 ft"], ["3600 gph", "8 ft"]])
    );
    // It ends in a review without an error, with fewer questions than at first, each in words of the trade.
    assert_eq!(
        browser.eval("document.querySelector('.stale, #form .error')"),
        Value::Null
    );
    let now = browser.eval(questions).as_u64().unwrap();
    assert!(now < at_first, "{now} of {at_first}");
    let shown = browser
        .text("document.querySelector('#findings').innerText + document.querySelector('#form').innerText");
    for of_the_file in ["[[", "{", "\"", "`", " by id", "; false"] {
        let around = shown.find(of_the_file).map(|at| {
            shown[at.saturating_sub(60)..]
                .chars()
                .take(120)
                .collect::<String>()
        });
        assert_eq!(around, None, "{of_the_file}");
    }
    let asked = browser.text("document.querySelector('.questions').innerText");
    for (words, must_stay) in [
        ("pump curve", false),
        ("crest level", false),
        ("electrical", true),
        ("fish", true),
        ("lining", true),
    ] {
        assert_eq!(asked.contains(words), must_stay, "{words}: {asked}");
    }
    // A question leads to its field, is answered there, and goes.
    hand.press(
        &mut browser,
        "[...document.querySelectorAll('.questions .line')].find(line => line.innerText.includes('/ fish'))",
    );
    hand.press(&mut browser, "[...document.querySelectorAll('.questions button')].find(button => button.textContent === 'Answer it')");
    hand.press(&mut browser, "[...document.querySelectorAll(\"[id='at/basins/pond/fish'] button\")].find(button => button.textContent === 'there is none')");
    assert!(
        !browser
            .text("document.querySelector('.questions').innerText")
            .contains("/ fish")
    );
    // The head stays in sight, however long the form is.
    assert_eq!(browser.eval("document.scrollingElement.scrollHeight <= innerHeight + 1 && document.querySelector('#top').getBoundingClientRect().y >= 0"), json!(true));
    assert_eq!(violations(&mut browser), Vec::<String>::new());
    // And is saved as a file.
    hand.press(&mut browser, "document.querySelector('[data-host=save]')");
    browser.wait("document.querySelector('#dialog form')");
    browser.eval("document.querySelector('#dialog [name=name]').value = 'garden'");
    hand.press(&mut browser, "document.querySelector('#dialog button')");
    browser.wait("document.querySelector('#saved').textContent.startsWith('Saved')");
    assert!(served.folder.path().join("garden.jsonc").is_file());
    assert_eq!(browser.complaints, Vec::<String>::new());
}

/// Unfolds by keyboard what lies folded above a field.
fn unfold_by_key(browser: &mut Browser, at: &str) {
    let parts: Vec<usize> = at.match_indices('/').map(|(end, _)| end).skip(1).collect();
    for end in parts {
        let folder = format!("[id='foldat{}'][aria-expanded=false]", &at[..end]);
        if browser.eval(&format!("document.querySelector({})", json!(folder))) != Value::Null {
            tab_to(browser, &folder);
            press_key(browser, "Enter");
        }
    }
}

fn press_key(browser: &mut Browser, key: &str) {
    browser.key(key);
    settled(browser);
}

/// Goes to a list and chooses by the first letter.
fn choose_by_letter(browser: &mut Browser, list: &str, value: &str) {
    tab_to(browser, list);
    let letter = &value[..1];
    let code = u32::from(letter.to_ascii_uppercase().as_bytes()[0]);
    browser.call(
        "Input.dispatchKeyEvent",
        json!({ "type": "keyDown", "key": letter, "text": letter, "windowsVirtualKeyCode": code }),
    );
    browser.call(
        "Input.dispatchKeyEvent",
        json!({ "type": "keyUp", "key": letter, "windowsVirtualKeyCode": code }),
    );
    settled(browser);
    assert_eq!(browser.text("document.activeElement.value"), value, "{list}");
}

fn by_keyboard() {
    let served = Served::nothing();
    let mut browser = Browser::start();
    browser.open(&served.address);
    tab_to(&mut browser, "[name=start]");
    browser.key("ArrowDown");
    tab_to(&mut browser, "form.begin [type=submit]");
    press_key(&mut browser, "Enter");
    browser.wait("document.querySelector('.verdict')");
    let enter = |browser: &mut Browser, at: &str, text: &str| {
        unfold_by_key(browser, at);
        let field = format!("[data-set='{at}']");
        if browser.text(&format!("document.querySelector({}).nodeName", json!(field))) == "SELECT" {
            choose_by_letter(browser, &field, text);
        } else {
            type_into(browser, at, text);
        }
    };
    for (at, text) in SKETCH {
        if at == "/basins/bed/layers/stone/thickness" {
            tab_to(&mut browser, "[id='at/basins/bed/layers'] form.add [name=id]");
            browser.type_text("stone");
            choose_by_letter(
                &mut browser,
                "[id='at/basins/bed/layers'] form.add [name=kind]",
                "stone",
            );
            tab_to(&mut browser, "[id='at/basins/bed/layers'] form.add button");
            press_key(&mut browser, "Enter");
        }
        enter(&mut browser, at, text);
    }
    unfold_by_key(&mut browser, "/pumps/pump/mount");
    for (at, text) in [
        ("/pumps/pump/mount", "submerged"),
        ("/pumps/pump/curve/0/0", "0"),
        ("/pumps/pump/curve/0/1", "20 ft"),
        ("/pumps/pump/curve/1/0", "3600 gph"),
        ("/pumps/pump/curve/1/1", "8 ft"),
        ("/falls/lip/crest", "+1 in"),
        ("/falls/lip/width", "24 in"),
        ("/falls/lip/edge", "natural stone"),
    ] {
        enter(&mut browser, at, text);
    }
    assert_eq!(
        browser.eval("document.querySelector('.stale, #form .error')"),
        Value::Null
    );
    browser.call("Input.dispatchKeyEvent", json!({ "type": "rawKeyDown", "key": "s", "code": "KeyS", "windowsVirtualKeyCode": 83, "modifiers": 2 }));
    browser.wait("document.querySelector('#dialog [name=name]')");
    tab_to(&mut browser, "#dialog [name=name]");
    browser.type_text("typed");
    browser.key("Enter");
    browser.wait("document.querySelector('#saved').textContent.startsWith('Saved')");
    let text = std::fs::read_to_string(served.folder.path().join("typed.jsonc")).unwrap();
    let plan: Value = serde_json::from_str(&text).unwrap();
    for (at, text) in SKETCH {
        assert_eq!(plan.pointer(at), Some(&json!(text)), "{at}");
    }
    assert_eq!(
        plan["pumps"]["pump"]["curve"],
        json!([["0", "20 ft"], ["3600 gph", "8 ft"]])
    );
    assert_eq!(plan["falls"]["lip"]["edge"], json!("natural stone"));
    assert_eq!(browser.complaints, Vec::<String>::new());
}

/// The note of a field folds away when the field is left: what lay under the pointer has moved when the button is let go.
fn press_counts() {
    let served = Served::nothing();
    let mut browser = Browser::start();
    browser.open(&served.address);
    browser.act("document.querySelectorAll('[name=start]')[1].click(); document.querySelector('form.begin [type=submit]').click()");
    browser.wait("document.querySelector(\"[data-set='/basins/pond/floor']\")");
    browser.eval("document.querySelector(\"[data-set='/basins/pond/floor']\").focus(); document.querySelector(\"[data-set='/basins/pond/floor']\").scrollIntoView({ block: 'center' })");
    let folder = "document.getElementById('foldat/basins/pond/shape')";
    let at = browser.eval(&format!("(() => {{ const box = {folder}.getBoundingClientRect(); return [box.x + 40, box.y + box.height - 4]; }})()"));
    let [x, y] = [0, 1].map(|side| at[side].as_f64().unwrap());
    browser.mouse("mousePressed", x, y);
    // Only where something moved does the press need help; else this test shows nothing.
    browser.eval("new Promise(done => setTimeout(done, 100))");
    let under = browser.eval(&format!("{folder}.contains(document.elementFromPoint({x}, {y}))"));
    assert_eq!(under, json!(false));
    browser.mouse("mouseReleased", x, y);
    browser.wait(&format!("{folder}.getAttribute('aria-expanded') === 'true'"));
    // A press that is not helped counts once.
    browser.eval(&format!("{folder}.scrollIntoView({{ block: 'center' }})"));
    Hand::default().press(&mut browser, folder);
    assert_eq!(
        browser.text(&format!("{folder}.getAttribute('aria-expanded')")),
        "false"
    );
}

/// A value that can't be read stands at its field and beside the last review, in words; and a question that was answered
/// meanwhile is no question any more.
fn stale() {
    let served = Served::nothing();
    let mut browser = Browser::start();
    browser.open(&served.address);
    browser.act("document.querySelectorAll('[name=start]')[1].click(); document.querySelector('form.begin [type=submit]').click()");
    browser.wait("document.querySelector(\"[data-set='/basins/pond/floor']\")");
    let mut hand = Hand::default();
    hand.type_in(&mut browser, "/basins/pond/floor", "34");
    let told = browser.text("document.querySelector('.stale').innerText");
    assert!(told.contains("“34” has no unit"), "{told}");
    assert_eq!(told.matches("expected a level").count(), 1, "{told}");
    assert!(
        browser
            .text("document.querySelector('[id=\"at/basins/pond/rim-note\"]').textContent")
            .contains("benchmark")
    );
    hand.type_in(&mut browser, "/basins/pond/rim", "0");
    assert_eq!(
        browser.eval("document.querySelector('[id=\"at/basins/pond/rim-note\"] .ask')"),
        Value::Null
    );
    // From the words to the value, even where it is folded away.
    browser.act("document.getElementById('foldat/basins').click()");
    browser.press_button("Go to it");
    assert_eq!(
        browser.text("document.activeElement.dataset.set"),
        "/basins/pond/floor"
    );
    hand.type_in(&mut browser, "/basins/pond/floor", "-34 in");
    assert_eq!(browser.eval("document.querySelector('.stale')"), Value::Null);
}

fn placeholders() {
    let served = Served::example("courtyard-as-sent");
    let mut browser = Browser::start();
    browser.open(&served.address);
    for _ in 0..40 {
        if browser.eval("document.querySelector('#form .folder[aria-expanded=false]') === null")
            == json!(true)
        {
            break;
        }
        browser.act("for (const folder of document.querySelectorAll('#form .folder[aria-expanded=false]')) folder.click()");
    }
    let cut = browser.eval(
        "(() => { const pen = document.createElement('canvas').getContext('2d');
           return [...document.querySelectorAll('#form input[placeholder]')].filter(box => {
             const style = getComputedStyle(box, '::placeholder'); pen.font = `italic ${style.fontSize} ${style.fontFamily}`;
             const room = box.clientWidth - parseFloat(getComputedStyle(box).paddingLeft) - parseFloat(getComputedStyle(box).paddingRight);
             return pen.measureText(box.placeholder).width > room; }).map(box => box.id + ': ' + box.placeholder); })()",
    );
    assert_eq!(cut, json!([]));
    // Sizes that stone is sold by are offered, and one of them is the example.
    assert!(browser.eval("[...document.querySelectorAll(\"[data-set$='/smallest']\")].filter(box => box.list).every(box => box.list.options.length > 5 && [...box.list.options].some(one => box.placeholder === 'such as ' + one.value)) && document.querySelector(\"[data-set$='/smallest']\") !== null") == json!(true));
    // A value, none, or not shown yet: three buttons where they differ.
    let states = ".states[aria-label^='vent below the sheet']";
    assert_eq!(
        browser.text(&format!(
            "document.querySelector(\"{states}\").innerText.replace(/\\s+/g, ' ')"
        )),
        "not shown none value"
    );
    browser.act(&format!(
        "document.querySelector(\"{states}\").children[1].click()"
    ));
    assert_eq!(
        browser.text(&format!(
            "document.querySelector(\"{states}\").children[1].getAttribute('aria-pressed')"
        )),
        "true"
    );
    browser.act(&format!(
        "document.querySelector(\"{states}\").children[0].click()"
    ));
    assert_eq!(
        browser.text(&format!(
            "document.querySelector(\"{states}\").children[0].getAttribute('aria-pressed')"
        )),
        "true"
    );
}
