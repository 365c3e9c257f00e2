//! A real browser, driven over its own protocol.

use std::{
    collections::HashMap,
    net::TcpStream,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    thread::sleep,
    time::{Duration, Instant},
};

use serde_json::{Value, json};
use tungstenite::{Message, WebSocket, stream::MaybeTlsStream};

/// Longest wait for anything; machines that test are busy.
pub const PATIENCE: Duration = Duration::from_mins(1);

/// The programs a Chromium goes by.
const NAMES: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "chromium-headless-shell",
    "headless_shell",
];

/// Where a Chromium is, if there is one; `BYWASH_CHROMIUM` names it where it goes by another name.
pub fn chromium() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("BYWASH_CHROMIUM") {
        return Some(PathBuf::from(named));
    }
    let folders = std::env::split_paths(&std::env::var_os("PATH")?).collect::<Vec<_>>();
    let all = NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)));
    all.into_iter().find(|path| path.is_file())
}

/// A browser with one page.
pub struct Browser {
    process: Child,
    socket: WebSocket<MaybeTlsStream<TcpStream>>,
    session: String,
    calls: u64,
    sent: HashMap<String, String>,
    /// What the page logged, threw, or was kept from by its policy.
    pub complaints: Vec<String>,
    /// The addresses it asked for.
    pub requests: Vec<String>,
    /// Dialogs that a script opened.
    pub dialogs: usize,
    _profile: tempfile::TempDir,
}

impl Drop for Browser {
    fn drop(&mut self) {
        drop(self.process.kill());
        drop(self.process.wait());
    }
}

impl Browser {
    /// Starts a browser and opens an empty page.
    pub fn start() -> Self {
        let profile = tempfile::tempdir().unwrap();
        let process = Command::new(chromium().unwrap())
            .args([
                "--headless=new",
                "--no-sandbox",
                "--disable-gpu",
                "--hide-scrollbars",
                "--no-first-run",
            ])
            .args([
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-dev-shm-usage",
            ])
            .args([
                "--remote-debugging-port=0",
                "--window-size=1440,900",
                "about:blank",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let address = debugger_of(profile.path());
        let (socket, _) = tungstenite::connect(&address).unwrap();
        let mut browser = Self {
            process,
            socket,
            session: String::new(),
            calls: 0,
            sent: HashMap::new(),
            complaints: Vec::new(),
            requests: Vec::new(),
            dialogs: 0,
            _profile: profile,
        };
        let target = browser.call("Target.createTarget", json!({ "url": "about:blank" }))["targetId"].clone();
        let attached = browser.call(
            "Target.attachToTarget",
            json!({ "targetId": target, "flatten": true }),
        );
        attached["sessionId"]
            .as_str()
            .unwrap()
            .clone_into(&mut browser.session);
        for domain in ["Page", "Runtime", "Network", "Log"] {
            browser.call(&format!("{domain}.enable"), json!({}));
        }
        browser.size(1440, 900);
        browser
    }

    /// Calls a method of the protocol and waits for its result.
    pub fn call(&mut self, method: &str, parameters: impl std::borrow::Borrow<Value>) -> Value {
        self.calls += 1;
        let id = self.calls;
        let mut message = json!({ "id": id, "method": method, "params": parameters.borrow() });
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        self.socket.send(Message::text(message.to_string())).unwrap();
        loop {
            let Message::Text(text) = self.socket.read().unwrap() else {
                continue;
            };
            let answer: Value = serde_json::from_str(&text).unwrap();
            if answer["id"] == json!(id) {
                assert!(answer.get("error").is_none(), "{method}: {}", answer["error"]);
                return answer["result"].clone();
            }
            self.heard(&answer);
        }
    }

    fn heard(&mut self, event: &Value) {
        let parameters = &event["params"];
        match event["method"].as_str().unwrap_or_default() {
            "Runtime.exceptionThrown" => self.complaints.push(parameters["exceptionDetails"].to_string()),
            "Runtime.consoleAPICalled" if parameters["type"] != "log" => {
                self.complaints.push(parameters["args"].to_string());
            }
            "Log.entryAdded" => self.complaints.push(parameters["entry"]["text"].to_string()),
            "Network.responseReceived" if parameters["response"]["status"].as_u64() >= Some(400) => {
                let sent = self
                    .sent
                    .get(parameters["requestId"].as_str().unwrap_or_default());
                self.complaints.push(format!("refused: {sent:?}"));
            }
            "Network.requestWillBeSent" => {
                let id = parameters["requestId"].as_str().unwrap_or_default().to_owned();
                self.sent.insert(
                    id,
                    parameters["request"]["postData"]
                        .as_str()
                        .unwrap_or_default()
                        .to_owned(),
                );
                self.requests.push(
                    parameters["request"]["url"]
                        .as_str()
                        .unwrap_or_default()
                        .to_owned(),
                );
            }
            "Page.javascriptDialogOpening" => {
                self.dialogs += 1;
                self.calls += 1;
                let close = json!({ "id": self.calls, "sessionId": self.session, "method": "Page.handleJavaScriptDialog", "params": { "accept": true } });
                self.socket.send(Message::text(close.to_string())).unwrap();
            }
            _ => {}
        }
    }

    /// Goes to an address and waits until the page has shown its first turn.
    pub fn open(&mut self, address: &str) {
        self.call("Page.navigate", json!({ "url": address }));
        self.wait("document.querySelector('#page')?.dataset.state === 'ready'");
    }

    /// What an expression comes to in the page.
    pub fn eval(&mut self, expression: &str) -> Value {
        let asked = json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let result = self.call("Runtime.evaluate", asked);
        assert!(result.get("exceptionDetails").is_none(), "{expression}: {result}");
        result["result"]["value"].clone()
    }

    /// An expression as text.
    pub fn text(&mut self, expression: &str) -> String {
        self.eval(expression).as_str().unwrap_or_default().to_owned()
    }

    /// Waits until an expression holds.
    pub fn wait(&mut self, condition: &str) {
        let begun = Instant::now();
        while !self
            .eval(&format!("Boolean({condition})"))
            .as_bool()
            .unwrap_or_default()
        {
            let shown = if begun.elapsed() > PATIENCE {
                self.text("document.body.innerText")
            } else {
                String::new()
            };
            assert!(
                begun.elapsed() <= PATIENCE,
                "waited in vain for {condition}; the page shows:\n{shown}\n{:?}",
                self.complaints
            );
            sleep(Duration::from_millis(20));
        }
    }

    /// Does something in the page and waits until the turn that it leads to is shown.
    pub fn act(&mut self, doing: &str) {
        let before = self.text("document.querySelector('#page').dataset.turns || ''");
        self.eval(&format!("{{ {doing} }}; undefined"));
        self.turned(&before);
    }

    fn turned(&mut self, before: &str) {
        self.wait(&format!("(document.querySelector('#page').dataset.turns || '') !== '{before}' && document.querySelector('#page').dataset.state === 'ready'"));
    }

    /// Presses the button with these words.
    pub fn press_button(&mut self, words: &str) {
        let words = json!(words);
        self.act(&format!("[...document.querySelectorAll('button')].find(button => button.textContent.trim().startsWith({words})).click()"));
    }

    /// Presses a key, with the text it gives.
    pub fn key(&mut self, key: &str) {
        let (code, text) = match key {
            "Tab" => (9, None),
            "Enter" => (13, Some("\r")),
            " " => (32, Some(" ")),
            "ArrowUp" => (38, None),
            "ArrowDown" => (40, None),
            "ArrowRight" => (39, None),
            _ => (0, None),
        };
        let mut down = json!({ "type": if text.is_some() { "keyDown" } else { "rawKeyDown" }, "key": key, "code": if key == " " { "Space" } else { key }, "windowsVirtualKeyCode": code });
        if let Some(text) = text {
            down["text"] = json!(text);
        }
        self.call("Input.dispatchKeyEvent", down);
        self.call(
            "Input.dispatchKeyEvent",
            json!({ "type": "keyUp", "key": key, "windowsVirtualKeyCode": code }),
        );
    }

    /// Types a text where the caret is.
    pub fn type_text(&mut self, text: &str) {
        self.call("Input.insertText", json!({ "text": text }));
    }

    /// Moves the mouse, or presses or releases its button.
    pub fn mouse(&mut self, kind: &str, x: f64, y: f64) {
        let buttons = i32::from(kind != "mouseReleased");
        self.call(
            "Input.dispatchMouseEvent",
            json!({ "type": kind, "x": x, "y": y, "button": "left", "buttons": buttons, "clickCount": 1 }),
        );
    }

    /// Sets the size of the window.
    pub fn size(&mut self, width: u32, height: u32) {
        let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.call("Emulation.setDeviceMetricsOverride", size);
    }

    /// Sets the medium and the preferred colors.
    pub fn media(&mut self, media: &str, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.call(
            "Emulation.setEmulatedMedia",
            json!({ "media": media, "features": features }),
        );
    }

    /// A picture of the window, kept under the build's folder to be looked at.
    pub fn picture(&mut self, name: &str) {
        let shot = self.call("Page.captureScreenshot", json!({ "format": "png" }));
        keep(&format!("{name}.png"), shot["data"].as_str().unwrap());
    }

    /// Touches the window, moves the finger there, or lifts it.
    pub fn touch(&mut self, kind: &str, x: f64, y: f64) {
        let points = if kind == "touchEnd" {
            json!([])
        } else {
            json!([{ "x": x, "y": y }])
        };
        self.call(
            "Input.dispatchTouchEvent",
            json!({ "type": kind, "touchPoints": points }),
        );
    }
}

/// Keeps bytes, given in base 64, under the build's folder to be looked at.
pub fn keep(name: &str, data: &str) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(name), base64(data)).unwrap();
}

/// Where the browser listens, once it has said so.
fn debugger_of(profile: &Path) -> String {
    let said = profile.join("DevToolsActivePort");
    let begun = Instant::now();
    loop {
        let lines = std::fs::read_to_string(&said).unwrap_or_default();
        if let Some((port, path)) = lines.split_once('\n').filter(|(_, path)| !path.is_empty()) {
            return format!("ws://127.0.0.1:{port}{}", path.trim());
        }
        assert!(begun.elapsed() < PATIENCE, "the browser does not start");
        sleep(Duration::from_millis(20));
    }
}

/// Bytes from their base 64 text.
fn base64(text: &str) -> Vec<u8> {
    let value = |c: u8| match c {
        b'A'..=b'Z' => u32::from(c - b'A'),
        b'a'..=b'z' => u32::from(c - b'a') + 26,
        b'0'..=b'9' => u32::from(c - b'0') + 52,
        b'+' => 62,
        _ => 63,
    };
    let mut bytes = Vec::new();
    let (mut bits, mut count) = (0_u32, 0);
    for c in text.bytes().filter(|c| *c != b'=') {
        bits = bits << 6 | value(c);
        count += 6;
        if count >= 8 {
            count -= 8;
            bytes.push((bits >> count & 0xff) as u8);
        }
    }
    bytes
}
