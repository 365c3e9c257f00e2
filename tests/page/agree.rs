//! What the page shows is what the command line says.

use std::process::Command;

use serde_json::{Value, json};

use super::{browser::Browser, served::Served};

pub const TESTS: &[(&str, fn())] = &[("examples_show_the_findings_of_the_command_line", examples)];

const EXAMPLES: [&str; 6] = [
    "courtyard-as-sent",
    "courtyard-retrofit",
    "ledge-run",
    "mill-yard-metric",
    "minimal",
    "two-ponds",
];

/// A question as the page words it: of the form, where the command line speaks of the file.
fn on_the_page(ask: &str) -> String {
    let ask = ask
        .replace(", by id", "")
        .replace(" by id", "")
        .replace("; false ", "; no ");
    if ask.contains("[[") {
        let pairs = ask.replace("], [", "; ").replace("\", \"", " at ");
        return pairs.replace(['[', ']', '"'], "");
    }
    ask
}

fn examples() {
    let mut browser = Browser::start();
    for name in EXAMPLES {
        let served = Served::example(name);
        let output = Command::new(env!("CARGO_BIN_EXE_bywash"))
            .args(["review", "--json", "-"])
            .arg(&served.plan)
            .output()
            .unwrap();
        let review: Value = serde_json::from_slice(&output.stdout).unwrap();
        browser.open(&served.address);
        let shown = browser.eval("[...document.querySelectorAll('.findings:not(.questions) > li')].map(line => [line.dataset.at, line.dataset.severity, line.querySelector('.headline').textContent])");
        let findings = review["findings"].as_array().unwrap();
        let told: Value = findings
            .iter()
            .map(|finding| json!([finding["place"], finding["severity"], finding["headline"]]))
            .collect();
        assert_eq!(shown, told, "{name}");
        let shown = browser.eval("[...document.querySelectorAll('.questions > li')].map(line => [line.dataset.at, line.querySelector('.headline').textContent.replace(/[“”]/g, '\"')])");
        let questions = review["questions"].as_array().unwrap();
        let told: Value = questions
            .iter()
            .map(|question| json!([question["place"], on_the_page(question["ask"].as_str().unwrap())]))
            .collect();
        assert_eq!(shown, told, "{name}");
        let action = browser.text("document.querySelector('.action b').textContent");
        assert_eq!(json!(action), review["action"]["words"], "{name}");
    }
}
