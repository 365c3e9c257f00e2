//! A hostile plan, another page, another host, slow and greedy clients.

use std::{io::Read, net::TcpStream, time::Instant};

use serde_json::{Value, json};

use super::{
    browser::Browser,
    served::{Served, raw},
};

pub const IN_BROWSER: &[(&str, fn())] = &[
    ("a_hostile_plan_runs_no_script_and_no_markup", hostile_plan),
    ("the_page_asks_nothing_of_anybody_else", no_outside),
    ("another_page_can_not_reach_the_plan", other_page),
];

pub const WITHOUT_BROWSER: &[(&str, fn())] = &[
    ("only_the_page_itself_is_answered", only_the_page),
    ("greedy_slow_and_broken_requests_are_turned_away", greedy),
];

/// Texts that would act where they are not shown as texts.
const HOSTILE: [&str; 12] = [
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "'><svg onload=alert(1)>",
    "</textarea><script>alert(1)</script>",
    "</title><script>alert(1)</script>",
    "</option></select><iframe src=javascript:alert(1)>",
    "javascript:alert(1)",
    "{{constructor.constructor('alert(1)')()}}",
    "<!--<script>alert(1)//-->",
    "\u{202e}gpj.exe\u{2066}",
    "&lt;script&gt;alert(1)&lt;/script&gt;",
    "<style>*{display:none}</style><base href=//evil.example>",
];

/// Puts a text in place of every text of a plan, keys of the user's own among them.
fn with_text(value: &mut Value, hostile: &str) {
    match value {
        Value::Object(members) => {
            let ids: Vec<String> = members.keys().cloned().collect();
            for id in ids {
                with_text(&mut members[&id], hostile);
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| with_text(item, hostile)),
        Value::String(text) if text != "bywash plan 1" => hostile.clone_into(text),
        _ => {}
    }
}

fn strip_comments(text: &str) -> String {
    let lines = text.lines().map(
        |line| match line.find("//").filter(|at| !line[..*at].ends_with(':')) {
            Some(at) => &line[..at],
            None => line,
        },
    );
    lines.collect::<Vec<_>>().join("\n")
}

/// A sound plan whose free texts and ids are hostile, so that it is reviewed and drawn; and one all of whose texts are.
fn plans(hostile: &str) -> [String; 2] {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/courtyard-as-sent.jsonc");
    let text = std::fs::read_to_string(path).unwrap();
    let visible: String = hostile
        .chars()
        .filter(|c| !matches!(c, '\u{202e}' | '\u{2066}'))
        .collect();
    let quoted = json!(visible).to_string();
    let mut sound: Value = serde_json::from_str(&strip_comments(&text)).unwrap();
    sound["project"]["name"] = json!(visible);
    sound["project"]["revision"] = json!(visible);
    sound["basins"]["pond"]["name"] = json!(visible);
    sound["pumps"]
        .as_object_mut()
        .unwrap()
        .values_mut()
        .for_each(|pump| pump["name"] = json!(visible));
    let sound = sound
        .to_string()
        .replace("\"bed\"", &quoted)
        .replace(&format!("\"kind\":{quoted}"), "\"kind\":\"bed\"");
    let mut all: Value = serde_json::from_str(&strip_comments(&text)).unwrap();
    with_text(&mut all, hostile);
    [sound, all.to_string()]
}

fn hostile_plan() {
    let mut browser = Browser::start();
    for hostile in HOSTILE {
        for plan in plans(hostile) {
            let served = Served::text(plan.as_bytes());
            browser.open(&served.address);
            let _ = browser.eval("for (const folder of document.querySelectorAll('#form .folder[aria-expanded=false]')) folder.click(); undefined");
            browser.wait("document.querySelector('#page').dataset.state === 'ready'");
            for press in ["#findings .line", "g.mark", ".cases button:nth-child(4)"] {
                browser.eval(&format!("document.querySelector('{press}')?.dispatchEvent(new MouseEvent('click', {{ bubbles: true }})); undefined"));
                browser.wait("document.querySelector('#page').dataset.state === 'ready'");
            }
            // Nothing of it became an element.
            let foreign = browser.eval("document.querySelectorAll('#page script, #page iframe, #page img, #page style, #page base, #page [onload], #page [onerror], #page a').length");
            assert_eq!(foreign, json!(0), "{hostile}");
            assert_eq!(browser.dialogs, 0, "{hostile}");
            assert!(
                browser
                    .eval("document.querySelector('#form').children.length > 0")
                    .as_bool()
                    .unwrap(),
                "{hostile}"
            );
        }
    }
    assert_eq!(browser.complaints, Vec::<String>::new());
    // A text of a million letters, and one typed in.
    let served = Served::text(
        json!({ "format": "bywash plan 1", "project": { "name": "x".repeat(1_000_000) } })
            .to_string()
            .as_bytes(),
    );
    browser.open(&served.address);
    browser.wait("document.querySelector('#form .error')");
    let served = Served::example("minimal");
    browser.open(&served.address);
    browser.act("const box = document.querySelector(\"[data-set='/project/name']\"); box.value = 'y'.repeat(1_000_000) + '<script>alert(1)</script>'; box.dispatchEvent(new Event('change', { bubbles: true }))");
    browser.wait("document.querySelector('#form .error')");
    assert_eq!(browser.dialogs, 0);
}

fn no_outside() {
    let mut browser = Browser::start();
    let served = Served::example("two-ponds");
    browser.open(&served.address);
    browser.press_button("power off");
    let foreign: Vec<&String> = browser
        .requests
        .iter()
        .filter(|url| !url.starts_with(&served.address) && !url.starts_with("data:") && *url != "about:blank")
        .collect();
    assert_eq!(foreign, Vec::<&String>::new());
    // The policy holds: what is put in by force does not run.
    browser.eval("document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=\"window.ran = 1\">'); const script = document.createElement('script'); script.textContent = 'window.ran = 1'; document.body.append(script); undefined");
    std::thread::sleep(std::time::Duration::from_millis(200));
    assert_eq!(browser.eval("window.ran ?? null"), Value::Null);
    assert!(
        browser
            .complaints
            .iter()
            .any(|told| told.contains("Content Security Policy")),
        "{:?}",
        browser.complaints
    );
}

fn other_page() {
    let mut browser = Browser::start();
    let served = Served::example("minimal");
    let other = Served::example("minimal");
    browser.open(&other.address);
    let before = served.bytes();
    // Even one that knows the whole address, from another port.
    let reached = browser.eval(&format!(
        "fetch('{}turn?page=1', {{ method: 'POST', headers: {{ 'Content-Type': 'application/json' }}, body: '{{\"do\":\"close\"}}' }}).then(answer => answer.status, () => 'kept off')",
        served.address
    ));
    assert_eq!(reached, json!("kept off"));
    assert_eq!(served.bytes(), before);
}

fn request(port: u16, head: &str, body: &str) -> String {
    raw(
        port,
        format!(
            "{head}Connection: close\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        )
        .as_bytes(),
    )
}

fn only_the_page() {
    let served = Served::example("minimal");
    let (port, path) = served.port_and_path();
    let show = r#"{"do":"show"}"#;
    let head = |path: &str, host: &str, origin: &str| {
        format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: {origin}\r\nContent-Type: application/json\r\n"
        )
    };
    let own = format!("127.0.0.1:{port}");
    let origin = format!("http://{own}");
    let turn = format!("{path}turn?page=1");
    assert!(request(port, &head(&turn, &own, &origin), show).starts_with("HTTP/1.1 200"));
    for (path, host, origin, status) in [
        // A name of the web made to lead here, another page, no token, a wrong one.
        (turn.as_str(), "plans.example", origin.as_str(), "421"),
        (turn.as_str(), own.as_str(), "http://plans.example", "403"),
        (turn.as_str(), own.as_str(), "null", "403"),
        ("/turn?page=1", own.as_str(), origin.as_str(), "403"),
        (
            "/0123456789abcdef0123456789abcdef/turn?page=1",
            own.as_str(),
            origin.as_str(),
            "403",
        ),
    ] {
        let answer = request(port, &head(path, host, origin), show);
        assert!(answer.starts_with(&format!("HTTP/1.1 {status}")), "{answer}");
        assert!(!answer.contains("Tillery"), "{answer}");
    }
    let page = request(port, &format!("GET {path} HTTP/1.1\r\nHost: {own}\r\n"), "");
    for header in [
        "content-security-policy: default-src 'none'",
        "x-content-type-options: nosniff",
        "cache-control: no-store",
        "referrer-policy: no-referrer",
        "x-frame-options: DENY",
    ] {
        assert!(page.contains(header), "{header}: {page}");
    }
    assert!(
        !page.contains("<style") && !page.contains("onclick") && !page.contains("style="),
        "{page}"
    );
    for (what, status) in [("../Cargo.toml", "404"), ("nothing", "404"), ("%2e%2e/x", "404")] {
        let answer = request(port, &format!("GET {path}{what} HTTP/1.1\r\nHost: {own}\r\n"), "");
        assert!(
            answer.starts_with(&format!("HTTP/1.1 {status}")),
            "{what}: {answer}"
        );
    }
    let answer = request(port, &format!("DELETE {path} HTTP/1.1\r\nHost: {own}\r\n"), "");
    assert!(answer.starts_with("HTTP/1.1 405"), "{answer}");
    // It answers on the loopback address alone: no other address of this machine leads to it.
    let addresses = std::fs::read_to_string("/proc/net/tcp").unwrap_or_default();
    let listening: Vec<&str> = addresses
        .lines()
        .filter(|line| line.contains(&format!(":{port:04X} 00000000:0000 0A")))
        .collect();
    assert!(
        listening.iter().all(|line| line.contains(" 0100007F:")),
        "{listening:?}"
    );
}

fn greedy() {
    let served = Served::example("minimal");
    let (port, path) = served.port_and_path();
    let head = format!(
        "POST {path}turn?page=1 HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
    );
    // What is no edit changes nothing and is told so.
    for body in [
        "",
        "{",
        "[]",
        "{\"do\":\"dig\"}",
        "{\"do\":\"set\"}",
        "\u{0}",
        "{\"do\":\"drag\",\"at\":\"/basins/pond/rim\",\"to\":1e999}",
    ] {
        let answer = request(port, &head, body);
        assert!(answer.starts_with("HTTP/1.1 400"), "{body}: {answer}");
    }
    // Edits that can't be made are told on the page.
    for body in [
        r#"{"do":"drag","at":"/basins/pond/rim","to":1e300}"#,
        r#"{"do":"forget","at":""}"#,
        r#"{"do":"rename","at":"/basins/pond","id":"bed"}"#,
        r#"{"do":"set","at":"/basins/pond/rim/deeper/still","text":"1"}"#,
        r#"{"do":"add","at":"/nowhere","id":"x"}"#,
        r#"{"do":"try","at":"no pointer","text":"1","words":"x"}"#,
        r#"{"do":"case","name":"no such case","step":99999999}"#,
        r#"{"do":"example","name":"../../etc/passwd"}"#,
    ] {
        let answer = request(port, &head, body);
        assert!(answer.starts_with("HTTP/1.1 200"), "{body}: {answer}");
    }
    // More than any plan holds is turned away before it is taken in.
    let large = format!("{head}Content-Length: 400000000\r\n\r\n{{\"do\":\"text\",\"text\":\"");
    let mut whole = large.into_bytes();
    whole.extend(std::iter::repeat_n(b'x', 60_000_000));
    let answer = raw(port, &whole);
    assert!(
        answer.is_empty() || answer.starts_with("HTTP/1.1 413"),
        "{}",
        &answer[..answer.len().min(200)]
    );
    // A client that says nothing holds up nobody, and is let go.
    let mut slow: Vec<TcpStream> = (0..10)
        .map(|_| TcpStream::connect(("127.0.0.1", port)).unwrap())
        .collect();
    let begun = Instant::now();
    assert!(request(port, &head, r#"{"do":"show"}"#).starts_with("HTTP/1.1 200"));
    assert!(begun.elapsed().as_secs() < 9, "{:?}", begun.elapsed());
    let mut rest = Vec::new();
    slow[0]
        .set_read_timeout(Some(std::time::Duration::from_mins(1)))
        .unwrap();
    slow[0].read_to_end(&mut rest).unwrap();
}
