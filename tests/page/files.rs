//! The plan's file: saved as it was, never overwritten unasked, never lost.

use std::fs;

use serde_json::json;

use super::{browser::Browser, served::Served};

pub const TESTS: &[(&str, fn())] = &[
    ("a_plan_saved_unchanged_is_the_same_bytes", unchanged),
    ("a_file_changed_on_the_disk_is_not_overwritten", changed_on_disk),
    ("a_file_that_is_gone_or_read_only_is_told_in_words", gone),
    ("a_killed_program_loses_nothing_that_was_sent", killed),
    ("two_pages_show_one_plan_and_a_reload_loses_nothing", two_pages),
    ("two_programs_on_one_file_keep_both_works", two_programs),
    (
        "a_lost_connection_sends_what_was_typed_when_it_is_back",
        lost_connection,
    ),
    ("a_text_that_can_not_be_read_is_corrected_as_text", broken_text),
    ("a_new_plan_is_saved_under_a_name", new_plan),
    #[cfg(feature = "pdf")]
    ("the_review_is_written_beside_the_plan", pdf),
];

const PLAN: &str = "\u{feff}// With a mark, a comment, CR LF and a last line without an end.\r\n{\r\n\t\"format\" : \"bywash plan 1\", /* kept */\r\n\t\"basins\": { \"pond\": { \"kind\": \"pond\", \"still\": \"-6 in\", \"rim\": \"0 in\", }, }\r\n}";

fn save(browser: &mut Browser, wanted: &str) {
    browser.eval("[...document.querySelectorAll('.tools button')].find(button => button.textContent === 'Save').click()");
    browser.wait(wanted);
}

const SAVED: &str = "document.querySelector('#saved')?.textContent.startsWith('Saved')";

/// Types into the rim of the pond.
fn set_rim(browser: &mut Browser, text: &str) {
    if browser.eval("document.querySelector(\"[data-set='/basins/pond/rim']\") === null") == json!(true) {
        browser.act("document.querySelector('.member .folder').click()");
    }
    browser.act(&format!(
        "const box = document.querySelector(\"[data-set='/basins/pond/rim']\"); box.value = {}; box.dispatchEvent(new Event('change', {{ bubbles: true }}))",
        json!(text)
    ));
}

fn unchanged() {
    let mut browser = Browser::start();
    let served = Served::text(PLAN.as_bytes());
    browser.open(&served.address);
    save(&mut browser, SAVED);
    assert_eq!(served.bytes(), PLAN.as_bytes());
    // A change and its undoing leave the same bytes too; the change alone changes its value alone.
    set_rim(&mut browser, "+1 in");
    save(&mut browser, SAVED);
    assert_eq!(served.bytes(), PLAN.replace("\"0 in\"", "\"+1 in\"").as_bytes());
    browser.press_button("Undo");
    save(&mut browser, SAVED);
    assert_eq!(served.bytes(), PLAN.as_bytes());
    for name in ["courtyard-as-sent", "two-ponds"] {
        let served = Served::example(name);
        let before = served.bytes();
        browser.open(&served.address);
        save(&mut browser, SAVED);
        assert_eq!(served.bytes(), before, "{name}");
    }
}

fn changed_on_disk() {
    let mut browser = Browser::start();
    let served = Served::text(PLAN.as_bytes());
    browser.open(&served.address);
    set_rim(&mut browser, "+1 in");
    let other = PLAN.replace("\"0 in\"", "\"+9 in\"");
    fs::write(&served.plan, &other).unwrap();
    save(&mut browser, "document.querySelector('#dialog .conflict')");
    assert!(
        browser
            .text("document.querySelector('#dialog').innerText")
            .contains("changed on the disk")
    );
    assert_eq!(served.bytes(), other.as_bytes());
    // Under another name, beside it.
    browser.eval("const form = document.querySelector('#dialog form'); form.elements.name.value = 'mine'; form.querySelector('button').click()");
    browser.wait(SAVED);
    assert_eq!(served.bytes(), other.as_bytes());
    let mine = fs::read(served.folder.path().join("mine.jsonc")).unwrap();
    assert_eq!(mine, PLAN.replace("\"0 in\"", "\"+1 in\"").as_bytes());
}

fn gone() {
    let mut browser = Browser::start();
    let served = Served::text(PLAN.as_bytes());
    browser.open(&served.address);
    fs::remove_file(&served.plan).unwrap();
    save(&mut browser, "document.querySelector('#dialog .conflict')");
    assert!(
        browser
            .text("document.querySelector('#dialog').innerText")
            .contains("no longer on the disk")
    );
    browser.eval("[...document.querySelectorAll('#dialog button')].find(button => button.textContent.includes('again')).click()");
    browser.wait(SAVED);
    assert_eq!(served.bytes(), PLAN.as_bytes());
    let mut rights = fs::metadata(&served.plan).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&served.plan, rights).unwrap();
    set_rim(&mut browser, "+1 in");
    save(
        &mut browser,
        "document.querySelector('#offline').textContent.includes('read-only')",
    );
    assert_eq!(served.bytes(), PLAN.as_bytes());
}

fn killed() {
    let mut browser = Browser::start();
    let mut served = Served::text(PLAN.as_bytes());
    browser.open(&served.address);
    set_rim(&mut browser, "+2 in");
    served.kill();
    // The page says so, and keeps what is typed.
    browser.eval("const box = document.querySelector(\"[data-set='/basins/pond/rim']\"); box.value = '+3 in'; box.dispatchEvent(new Event('change', { bubbles: true }))");
    browser.wait("!document.querySelector('#offline').hidden");
    assert!(
        browser
            .text("document.querySelector('#offline').textContent")
            .contains("does not answer")
    );
    assert_eq!(served.bytes(), PLAN.as_bytes());
    served.again();
    browser.open(&served.address);
    browser.wait("document.querySelector('#dialog .conflict')");
    browser.eval("[...document.querySelectorAll('#dialog button')].find(button => button.textContent.includes('Take')).click()");
    browser.wait("!document.querySelector('#dialog .conflict')");
    save(&mut browser, SAVED);
    assert_eq!(served.bytes(), PLAN.replace("\"0 in\"", "\"+2 in\"").as_bytes());
}

fn two_pages() {
    let served = Served::text(PLAN.as_bytes());
    let (mut one, mut other) = (Browser::start(), Browser::start());
    one.open(&served.address);
    other.open(&served.address);
    set_rim(&mut one, "+2 in");
    other.act("document.querySelector('.member .folder').click()");
    let value = "document.querySelector(\"[data-set='/basins/pond/rim']\").value";
    if other.eval("document.querySelector(\"[data-set='/basins/pond/rim']\") === null") == json!(true) {
        other.act("document.querySelector('.member .folder').click()");
    }
    assert_eq!(other.text(value), "+2 in");
    // Reload, and the browser's way back and forth, in mid edit.
    other.call("Page.reload", json!({}));
    other.wait("document.querySelector('#page')?.dataset.state === 'ready'");
    other.call("Page.navigate", json!({ "url": "about:blank" }));
    other.wait("location.href === 'about:blank'");
    other.eval("history.back(); undefined");
    other.wait("document.querySelector('#page')?.dataset.state === 'ready'");
    assert_eq!(other.text(value), "+2 in");
    // A letter typed in the very moment of leaving or reloading is there too.
    for (typed, reload) in [("+4 in", true), ("+5 in", false)] {
        other.eval("{ const box = document.querySelector(\"[data-set='/basins/pond/rim']\"); box.focus(); box.select(); }; undefined");
        other.type_text(typed);
        if reload {
            other.call("Page.reload", json!({}));
        } else {
            other.call("Page.navigate", json!({ "url": "about:blank" }));
            other.wait("location.href === 'about:blank'");
            other.eval("history.back(); undefined");
        }
        other.wait(&format!(
            "document.querySelector('#page')?.dataset.state === 'ready' && {value} === '{typed}'"
        ));
    }
}

/// The plan's file opened twice, as by two people or in two terminals.
fn two_programs() {
    let mut served = Served::text(PLAN.as_bytes());
    let mut other_program = served.beside();
    let (mut one, mut other) = (Browser::start(), Browser::start());
    one.open(&served.address);
    set_rim(&mut one, "+2 in");
    other.open(&other_program.address);
    set_rim(&mut other, "+3 in");
    let kept = |name: &str| fs::read_to_string(served.folder.path().join(name)).unwrap_or_default();
    assert!(kept(".plan.jsonc.unsaved").contains("+2 in"));
    assert!(kept(".plan.jsonc.unsaved-2").contains("+3 in"));
    // A third one is told so from the beginning, and is offered nothing that somebody is at work on.
    let third = served.beside();
    let mut third_page = Browser::start();
    third_page.open(&third.address);
    let told = third_page.text("document.querySelector('#top .notice').textContent");
    assert!(told.contains("open in another window"), "{told}");
    assert_eq!(
        third_page.eval("document.querySelector('.conflict')"),
        json!(null)
    );
    drop(third);
    // Whoever saves second is asked.
    save(&mut one, SAVED);
    save(&mut other, "document.querySelector('#dialog .conflict')");
    assert_eq!(served.bytes(), PLAN.replace("\"0 in\"", "\"+2 in\"").as_bytes());
    // Both die: what the second one had is offered, what the first one saved is in the file.
    served.kill();
    other_program.kill();
    served.again();
    one.open(&served.address);
    one.wait("document.querySelector('#dialog .conflict')");
    one.eval("[...document.querySelectorAll('#dialog button')].find(button => button.textContent.includes('Take')).click()");
    one.wait("!document.querySelector('#dialog .conflict')");
    save(&mut one, SAVED);
    assert_eq!(served.bytes(), PLAN.replace("\"0 in\"", "\"+3 in\"").as_bytes());
    let left: Vec<_> = fs::read_dir(served.folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(left, ["plan.jsonc"]);
}

/// The network between the page and the program fails for a while, as when a machine sleeps.
fn lost_connection() {
    let served = Served::text(PLAN.as_bytes());
    let mut browser = Browser::start();
    browser.open(&served.address);
    set_rim(&mut browser, "+1 in");
    let network = |offline: bool| json!({ "offline": offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
    browser.call("Network.emulateNetworkConditions", network(true));
    browser.eval("{ const box = document.querySelector(\"[data-set='/basins/pond/rim']\"); box.value = '+3 in'; box.dispatchEvent(new Event('change', { bubbles: true })) }; undefined");
    browser.wait("!document.querySelector('#offline').hidden");
    let told = browser.text("document.querySelector('#offline').textContent");
    assert!(
        told.contains("does not answer") && told.contains("kept"),
        "{told}"
    );
    browser.call("Network.emulateNetworkConditions", network(false));
    browser.wait("document.querySelector('#offline').hidden && document.querySelector('#page').dataset.state === 'ready'");
    save(&mut browser, SAVED);
    assert_eq!(served.bytes(), PLAN.replace("\"0 in\"", "\"+3 in\"").as_bytes());
}

fn broken_text() {
    let mut browser = Browser::start();
    let served = Served::text(b"{ \"format\": \"bywash plan 1\", \"basins\": { \"pond\" { } } }");
    browser.open(&served.address);
    assert!(
        browser
            .text("document.querySelector('#form .error').textContent")
            .contains("line 1")
    );
    browser.act("const form = document.querySelector('form.as-text'); form.elements.text.value = '{ \"format\": \"bywash plan 1\", \"basins\": { \"pond\": { \"kind\": \"pond\" } } }'; form.querySelector('button').click()");
    browser.wait("document.querySelector('.questions')");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn new_plan() {
    let mut browser = Browser::start();
    let served = Served::nothing();
    browser.open(&served.address);
    browser.act("document.querySelector('form.begin [type=submit]').click()");
    save(&mut browser, "document.querySelector('#dialog form')");
    browser.eval("const form = document.querySelector('#dialog form'); form.elements.name.value = 'garden'; form.querySelector('button').click()");
    browser.wait(SAVED);
    let text = fs::read_to_string(served.folder.path().join("garden.jsonc")).unwrap();
    assert!(text.starts_with("{\n  \"format\": \"bywash plan 1\""), "{text}");
    // One that is named from the beginning is saved there.
    browser.act("document.querySelector('[data-host=close]').click()");
    browser.wait("document.querySelector('form.begin')");
    let left: Vec<_> = fs::read_dir(served.folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(left, ["garden.jsonc"]);
}

#[cfg(feature = "pdf")]
fn pdf() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-retrofit");
    browser.open(&served.address);
    browser.eval("document.querySelector('[data-host=pdf]').click()");
    browser.wait("document.querySelector('#saved')?.textContent.startsWith('Wrote')");
    let bytes = fs::read(served.plan.with_extension("pdf")).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
    // One that is there may have been marked up by hand: the next has a name of its own.
    fs::write(served.plan.with_extension("pdf"), "marked up").unwrap();
    browser.eval("document.querySelector('#saved').textContent = ''; document.querySelector('[data-host=pdf]').click()");
    browser.wait("document.querySelector('#saved')?.textContent.includes('plan-2.pdf')");
    assert_eq!(
        fs::read_to_string(served.plan.with_extension("pdf")).unwrap(),
        "marked up"
    );
    assert!(
        fs::read(served.folder.path().join("plan-2.pdf"))
            .unwrap()
            .starts_with(b"%PDF-")
    );
}
