//! The page as a folder, from a plain server of files: the engine runs in the browser.

use std::{
    path::{Path, PathBuf},
    process::Command,
    sync::OnceLock,
};

use serde_json::json;

use super::{
    browser::Browser,
    served::{Served, serve_folder},
};

pub const TESTS: &[(&str, fn())] = &[
    ("the_export_is_there_at_once_and_follows_at_once", speed),
    ("the_export_shows_what_the_program_shows", same_page),
    ("the_export_keeps_the_plan_in_the_browser", keeps),
    ("an_export_without_an_engine_says_how_to_build_one", no_engine),
];

/// The engine for the browser, built once; `BYWASH_ENGINE` names one that is built already.
fn engine() -> &'static Path {
    static ENGINE: OnceLock<PathBuf> = OnceLock::new();
    ENGINE.get_or_init(|| {
        if let Some(named) = std::env::var_os("BYWASH_ENGINE") {
            return PathBuf::from(named);
        }
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("web");
        let status = Command::new(env!("CARGO"))
            .args(["build", "--locked", "--quiet", "-p", "bywash-web", "--profile", "web", "--target", "wasm32-unknown-unknown"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .env("CARGO_TARGET_DIR", &folder)
            .status()
            .unwrap();
        assert!(status.success(), "the engine for the browser does not build; `rustup target add wasm32-unknown-unknown` may be missing");
        folder.join("wasm32-unknown-unknown/web/bywash_web.wasm")
    })
}

/// Writes the folder and serves it.
pub fn exported(folder: &tempfile::TempDir) -> String {
    let target = folder.path().join("site");
    let output = Command::new(env!("CARGO_BIN_EXE_bywash"))
        .args(["open", "--export"])
        .arg(&target)
        .arg("--engine")
        .arg(engine())
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serve_folder(target)
}

/// All that the page shows, as the browser has it.
const SHOWN: &str = "['start', 'top', 'form', 'drawing', 'findings'].map(id => document.getElementById(id).innerHTML.replace(/<span class=\"saved\".*?<\\/span>/, '').replace(/ class=\"[^\"]*lit[^\"]*\"/g, '')).join('\\n')";

fn same_page() {
    let folder = tempfile::tempdir().unwrap();
    let address = exported(&folder);
    let served = Served::nothing();
    let mut alone = Browser::start();
    let mut with_program = Browser::start();
    alone.open(&address);
    with_program.open(&served.address);
    let both = |one: &mut Browser, other: &mut Browser, doing: &str| {
        one.act(doing);
        other.act(doing);
        let (one, other) = (one.text(SHOWN), other.text(SHOWN));
        assert!(one.len() > 1000);
        assert_eq!(one, other, "after {doing}");
    };
    for name in ["courtyard-as-sent", "two-ponds"] {
        let open = format!(
            "[...document.querySelectorAll('.others button')].find(button => button.textContent === '{name}').click()"
        );
        both(&mut alone, &mut with_program, &open);
        let choose =
            "(document.querySelector('#findings .line') ?? document.querySelector('.cases button')).click()";
        both(&mut alone, &mut with_program, choose);
        both(
            &mut alone,
            &mut with_program,
            "document.querySelectorAll('.cases button')[3].click()",
        );
        both(
            &mut alone,
            &mut with_program,
            "document.querySelector('.member .folder').click()",
        );
        both(
            &mut alone,
            &mut with_program,
            "[...document.querySelectorAll('.tools button')].find(button => button.textContent === 'Another plan').click()",
        );
    }
    assert_eq!(alone.complaints, Vec::<String>::new());
    let outside: Vec<&String> = alone
        .requests
        .iter()
        .filter(|url| !url.starts_with(&address) && !url.starts_with("data:") && *url != "about:blank")
        .collect();
    assert_eq!(outside, Vec::<&String>::new());
    alone.picture("export");
}

fn keeps() {
    let folder = tempfile::tempdir().unwrap();
    let address = exported(&folder);
    let mut browser = Browser::start();
    browser.open(&address);
    browser.act("document.querySelector('[name=name]').value = 'Kept job'; document.querySelector('form.begin [type=submit]').click()");
    browser.wait("document.querySelector('#top h1')?.textContent === 'Kept job'");
    browser.call("Page.reload", json!({}));
    browser.wait("document.querySelector('#top h1')?.textContent === 'Kept job'");
    let saved = folder.path().join("saved");
    browser.call(
        "Page.setDownloadBehavior",
        json!({ "behavior": "allow", "downloadPath": saved }),
    );
    browser.eval("[...document.querySelectorAll('.tools button')].find(button => button.textContent === 'Save').click()");
    browser.wait("document.querySelector('#saved').textContent.startsWith('Saved')");
    let file = saved.join("new plan.jsonc");
    for _ in 0..200 {
        if file.exists() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    let text = std::fs::read_to_string(file).unwrap();
    assert!(text.contains("Kept job"), "{text}");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn no_engine() {
    let folder = tempfile::tempdir().unwrap();
    let run = |engine: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_bywash"))
            .args(["open", "--export", "site", "--engine", engine])
            .current_dir(folder.path())
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    };
    std::fs::write(folder.path().join("other"), "no engine").unwrap();
    for (engine, told) in [("missing", "is not there"), ("other", "is no engine")] {
        let (status, error) = run(engine);
        assert_eq!(status, Some(2));
        assert!(
            error.contains(told) && error.contains("cargo build -p bywash-web"),
            "{error}"
        );
        assert!(!folder.path().join("site").exists());
    }
}

/// First view and changes of the largest example.
fn speed() {
    let folder = tempfile::tempdir().unwrap();
    let address = exported(&folder);
    let mut browser = Browser::start();
    browser.open(&address);
    browser.act("[...document.querySelectorAll('.others button')].find(button => button.textContent === 'two-ponds').click()");
    browser.call("Page.reload", json!({}));
    browser.wait(
        "document.querySelector('#page')?.dataset.state === 'ready' && document.querySelector('svg.scene')",
    );
    let first: f64 = browser
        .text("document.querySelector('#page').dataset.first")
        .parse()
        .unwrap();
    let mut times = super::speed::changes(&mut browser);
    times.sort_by(f64::total_cmp);
    let median = times[times.len() / 2];
    println!("export: first view {first:.0} ms, change to screen: median {median:.0} ms");
    if !cfg!(debug_assertions) {
        assert!(
            first < 1500.0 && median < 100.0,
            "first {first:.0} ms, median {median:.0} ms"
        );
    }
}
