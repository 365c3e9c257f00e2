//! The papers for the site on the page, and as files.

use std::{fs, path::Path, process::Command, thread::sleep, time::Duration};

use serde_json::{Value, json};

use super::{browser::Browser, export::exported, looks::violations, served::Served};

pub const TESTS: &[(&str, fn())] = &[
    ("every_paper_is_shown_and_accessible", shown),
    ("papers_are_written_as_the_command_line_writes_them", written),
    ("the_export_gives_the_same_papers", from_the_export),
    ("papers_are_printed_whole_and_alone", printed),
    ("a_price_list_and_a_yard_are_given_as_files", priced),
    (
        "what_the_yard_changes_is_taken_over_or_written_as_a_patch",
        yard_changes,
    ),
];

/// The papers, by the words on their buttons, their command, and their arguments.
const PAPERS: [(&str, &str, &[&str]); 4] = [
    ("Grade sheet", "grades", &["--backsight", "4 ft 2 in"]),
    ("Materials list", "takeoff", &[]),
    ("Runbook", "runbook", &[]),
    ("Day at the pond", "day", &[]),
];

/// Goes to a paper; a grade sheet is given what the rod reads.
fn go_to(browser: &mut Browser, words: &str, name: &str) {
    if browser.eval("document.querySelector('.paper-tools') === null") == json!(true) {
        browser.press_button("Papers");
    }
    browser.press_button(words);
    if name == "grades" {
        browser.eval("document.querySelector('[name=backsight]').value = '4 ft 2 in'");
        browser.press_button("Work out the readings");
    }
    browser.wait(&format!("document.querySelector('article[data-paper={name}]')"));
}

/// What the command line writes of a plan, in its folder.
fn by_command(plan: &Path, name: &str, arguments: &[&str], form: &str) -> Vec<u8> {
    let folder = plan.parent().unwrap();
    let file = folder.join(format!("told.{form}"));
    let status = Command::new(env!("CARGO_BIN_EXE_bywash"))
        .arg(name)
        .arg(plan.file_name().unwrap())
        .args(arguments)
        .arg(format!("--{form}"))
        .arg(&file)
        .current_dir(folder)
        .output()
        .unwrap();
    assert!(
        status.status.success(),
        "{}",
        String::from_utf8_lossy(&status.stderr)
    );
    fs::read(file).unwrap()
}

/// Presses the button that writes a form of the paper that is shown.
fn write(browser: &mut Browser, form: &str) {
    browser.eval("document.querySelector('#saved').textContent = ''");
    browser.eval(&format!(
        "[...document.querySelectorAll('#paper [data-host=paper]')].find(one => JSON.parse(one.dataset.choice).form === '{form}').click()"
    ));
    browser.wait("document.querySelector('#saved').textContent !== ''");
}

fn shown() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-retrofit");
    browser.open(&served.address);
    browser.press_button("Papers");
    browser.wait("document.querySelector('article[data-paper=review]')");
    browser.picture("paper-review");
    let mut failures = violations(&mut browser);
    browser.press_button("Grade sheet");
    // Without a reading there are no readings; one that can't be read is told in the command line's words.
    assert_eq!(browser.eval("document.querySelector('article')"), Value::Null);
    browser.eval("document.querySelector('[name=backsight]').value = '4 parsecs'");
    browser.press_button("Work out the readings");
    let told = browser.text("document.querySelector('.paper-tools .error').textContent");
    assert!(told.contains("parsecs"), "{told}");
    for (words, name, _) in PAPERS {
        go_to(&mut browser, words, name);
        browser.picture(&format!("paper-{name}"));
        failures.extend(
            violations(&mut browser)
                .into_iter()
                .map(|found| format!("{name}: {found}")),
        );
        assert!(
            browser
                .eval("document.querySelectorAll('article .sheet').length")
                .as_u64()
                > Some(0),
            "{name}"
        );
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    // The line of sight is the reading above the benchmark: a mark at 0 reads what the rod read.
    go_to(&mut browser, "Grade sheet", "grades");
    let sheet = browser.text("document.querySelector('article').innerText");
    assert!(sheet.contains("4 ft 2 in"), "{sheet}");
    browser.press_button("Back to the plan");
    assert_eq!(browser.text("document.activeElement.id"), "papers");
    assert!(
        browser
            .eval("document.querySelector('svg.scene') !== null")
            .as_bool()
            .unwrap()
    );
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn written() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-retrofit");
    let folder = served.folder.path();
    browser.open(&served.address);
    let forms: &[&str] = if cfg!(feature = "pdf") {
        &["csv", "xlsx", "pdf"]
    } else {
        &["csv", "xlsx"]
    };
    for (words, name, arguments) in PAPERS {
        go_to(&mut browser, words, name);
        for form in forms {
            write(&mut browser, form);
            let bytes = fs::read(folder.join(format!("plan-{name}.{form}"))).unwrap();
            assert!(
                bytes == by_command(&served.plan, name, arguments, form),
                "{name} as {form} differs from the command line's"
            );
        }
    }
    // One that is there already may have been filled in by hand.
    let filled = folder.join("plan-day.csv");
    fs::write(&filled, "filled in").unwrap();
    write(&mut browser, "csv");
    assert_eq!(fs::read_to_string(filled).unwrap(), "filled in");
    assert!(folder.join("plan-day-2.csv").is_file());
    if cfg!(not(feature = "pdf")) {
        browser.eval("document.querySelector('#paper [data-choice*=pdf]').click()");
        browser.wait("document.querySelector('#offline').textContent.includes('typesetter')");
    }
    assert_eq!(
        served.bytes(),
        fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/courtyard-retrofit.jsonc")).unwrap()
    );
    assert_eq!(browser.complaints, Vec::<String>::new());
}

/// Gives a file to an input, as a user chooses one.
fn choose(browser: &mut Browser, input: &str, file: &Path) {
    let document = browser.call("DOM.getDocument", json!({}))["root"]["nodeId"].clone();
    let wanted = json!({ "nodeId": document, "selector": input });
    let node = browser.call("DOM.querySelector", wanted)["nodeId"].clone();
    browser.call(
        "DOM.setFileInputFiles",
        json!({ "nodeId": node, "files": [file] }),
    );
}

fn priced() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-retrofit");
    let folder = served.folder.path();
    browser.open(&served.address);
    go_to(&mut browser, "Materials list", "takeoff");
    // Items by the names that the list itself gives them.
    let bare = String::from_utf8(by_command(&served.plan, "takeoff", &[], "csv")).unwrap();
    let mut rows = csv::Reader::from_reader(bare.as_bytes());
    let at = rows
        .headers()
        .unwrap()
        .iter()
        .position(|head| head.eq_ignore_ascii_case("item"))
        .unwrap();
    let item = rows.records().next().unwrap().unwrap()[at].to_owned();
    let prices = folder.join("prices.csv");
    fs::write(
        &prices,
        format!("item,price,currency\n\"{item}\",12.50,USD\nmoon rock,1,USD\n"),
    )
    .unwrap();
    choose(&mut browser, "#list-prices", &prices);
    browser.wait("document.querySelector('.paper-tools .notice')?.textContent.includes('moon rock')");
    browser.picture("paper-takeoff-priced");
    assert_eq!(violations(&mut browser), Vec::<String>::new());
    write(&mut browser, "csv");
    let written = fs::read(folder.join("plan-takeoff.csv")).unwrap();
    let told = by_command(&served.plan, "takeoff", &["--prices", "prices.csv"], "csv");
    assert_eq!(
        String::from_utf8(written).unwrap(),
        String::from_utf8(told).unwrap()
    );
    assert!(bare.len() < fs::read(folder.join("plan-takeoff.csv")).unwrap().len());
    // A file with a slip is told by row and column, as on the command line.
    fs::write(
        folder.join("yard.csv"),
        "load,smallest,largest,shape,washed,price,tons\nheap,2,3 in,round,yes,40,5\n",
    )
    .unwrap();
    choose(&mut browser, "#list-yard", &folder.join("yard.csv"));
    browser.wait("document.querySelector('.paper-tools .error')?.textContent.includes('row 2')");
    browser.press_button("Without yard.csv");
    browser.wait("document.querySelector('article[data-paper=takeoff]')");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

/// The yard is given as a workbook. What it changes is the patch of the command line, and is in the plan after a press, with
/// all else as it was.
fn yard_changes() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-retrofit");
    let folder = served.folder.path();
    let rows = [
        ["load", "smallest", "largest", "shape", "washed", "price", "tons"],
        ["cobble", "2.75 in", "4.5 in", "round", "yes", "60", "4"],
        ["mix", "0.75 in", "2.5 in", "round", "yes", "40", "20"],
    ];
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, cells) in (0..).zip(rows) {
        for (column, cell) in (0..).zip(cells) {
            sheet.write(row, column, cell).unwrap();
        }
    }
    let yard = folder.join("yard.xlsx");
    book.save(&yard).unwrap();
    browser.open(&served.address);
    go_to(&mut browser, "Materials list", "takeoff");
    choose(&mut browser, "#list-yard", &yard);
    browser.wait("document.querySelector('.paper-tools .notice li')");
    browser.picture("paper-takeoff-yard");
    assert_eq!(violations(&mut browser), Vec::<String>::new());
    write(&mut browser, "patch");
    let written = fs::read(folder.join("plan-takeoff.patch.json")).unwrap();
    let told = Command::new(env!("CARGO_BIN_EXE_bywash"))
        .args([
            "takeoff",
            "plan.jsonc",
            "--yard",
            "yard.xlsx",
            "--patch",
            "told.json",
        ])
        .current_dir(folder)
        .output()
        .unwrap();
    assert!(told.status.success());
    assert_eq!(
        String::from_utf8(written).unwrap(),
        fs::read_to_string(folder.join("told.json")).unwrap()
    );
    let before = String::from_utf8(served.bytes()).unwrap();
    browser.press_button("Take these sizes into the plan");
    browser.wait("document.querySelector('#top .notice')?.textContent.includes('Undo takes it back')");
    assert_eq!(
        browser.eval("document.querySelector('.paper-tools .notice li')"),
        Value::Null
    );
    browser.press_button("Back to the plan");
    let after = super::journey::plan_text(&mut browser);
    // The yard's cobble reaches to 4.5 in, where the plan had 5 in; every other line is the same.
    let changed: Vec<(&str, &str)> = before
        .lines()
        .zip(after.lines())
        .filter(|(old, new)| old != new)
        .collect();
    assert_eq!(before.lines().count(), after.lines().count());
    assert!(
        !changed.is_empty() && changed.iter().all(|(_, new)| new.contains(" in\"")),
        "{changed:?}"
    );
    assert!(
        changed.iter().any(|(_, new)| new.contains("4.5 in")),
        "{changed:?}"
    );
    browser.press_button("Undo");
    assert_eq!(super::journey::plan_text(&mut browser), before);
    // Bytes that are no workbook are told in the command line's words.
    browser.press_button("Papers");
    go_to(&mut browser, "Materials list", "takeoff");
    fs::write(&yard, "no workbook").unwrap();
    choose(&mut browser, "#list-yard", &yard);
    browser.wait("document.querySelector('.paper-tools .error')?.textContent.includes('no workbook')");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn from_the_export() {
    let folder = tempfile::tempdir().unwrap();
    let address = exported(&folder);
    let mut browser = Browser::start();
    browser.open(&address);
    let plan = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/courtyard-retrofit.jsonc");
    // A workbook names its plan's file.
    let copied = folder.path().join("courtyard-retrofit.jsonc");
    fs::copy(plan, &copied).unwrap();
    browser.press_button("courtyard-retrofit");
    let saved = folder.path().join("saved");
    let allow = json!({ "behavior": "allow", "downloadPath": saved });
    browser.call("Page.setDownloadBehavior", allow);
    browser.eval("window.print = () => { window.printed = (window.printed ?? 0) + 1; }; undefined");
    for (words, name, arguments) in PAPERS {
        go_to(&mut browser, words, name);
        for form in ["csv", "xlsx"] {
            write(&mut browser, form);
            let file = saved.join(format!("courtyard-retrofit-{name}.{form}"));
            for _ in 0..200 {
                if file.is_file() {
                    break;
                }
                sleep(Duration::from_millis(50));
            }
            let bytes = fs::read(&file).unwrap();
            assert!(
                bytes == by_command(&copied, name, arguments, form),
                "{name} as {form} differs from the command line's"
            );
        }
        // The browser sets what is to be a PDF.
        write(&mut browser, "pdf");
    }
    browser.wait("window.printed === 4");
    // From the plan, the whole review is printed.
    browser.press_button("Back to the plan");
    browser.eval("document.querySelector('.tools [data-host=pdf]').click()");
    browser.wait("window.printed === 5 && document.querySelector('article[data-paper=review]')");
    assert_eq!(browser.complaints, Vec::<String>::new());
}

fn printed() {
    let mut browser = Browser::start();
    let served = Served::example("courtyard-as-sent");
    browser.open(&served.address);
    for (words, name) in [
        ("Papers", "review"),
        ("Grade sheet", "grades"),
        ("Runbook", "runbook"),
    ] {
        if name == "review" {
            browser.press_button(words);
        } else {
            go_to(&mut browser, words, name);
        }
        browser.media("print", "light");
        for hidden in ["#top", ".paper-tools"] {
            let display = browser.text(&format!(
                "getComputedStyle(document.querySelector('{hidden}')).display"
            ));
            assert_eq!(display, "none", "{name}: {hidden}");
        }
        let text = browser.text("document.body.innerText");
        assert!(text.contains("Courtyard") || text.len() > 1000, "{name}: {text}");
        if name == "review" {
            // All that is unfolded one by one on the page is on the paper.
            let count = browser.eval("document.querySelectorAll('article .finding').length");
            let whole = browser.eval("[...document.querySelectorAll('article .finding')].filter(one => one.innerText.includes('Cure:') && one.innerText.includes('Source:')).length");
            assert!(count.as_u64() > Some(5), "{count}");
            assert_eq!(count, whole);
        }
        let pdf = browser.call(
            "Page.printToPDF",
            json!({ "printBackground": true, "preferCSSPageSize": false }),
        );
        super::browser::keep(&format!("print-{name}.pdf"), pdf["data"].as_str().unwrap());
        // Nothing is wider than the sheet.
        browser.size(740, 1000);
        let wide =
            browser.eval("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert!(wide.as_i64() <= Some(1), "{name}: {wide}");
        browser.size(1440, 900);
        browser.media("screen", "light");
    }
}
