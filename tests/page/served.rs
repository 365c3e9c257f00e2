//! The program serving a plan; and a plain server of a folder.

use std::{
    fs,
    io::{BufRead, BufReader, Read, Write},
    net::{TcpListener, TcpStream},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    time::Duration,
};

/// A second program on the same plan.
pub struct Beside {
    process: Child,
    /// The address it printed.
    pub address: String,
}

impl Beside {
    /// Kills it.
    pub fn kill(&mut self) {
        drop(self.process.kill());
        drop(self.process.wait());
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        self.kill();
    }
}

/// `bywash open`, running.
pub struct Served {
    process: Child,
    /// The address it printed.
    pub address: String,
    /// The plan's file.
    pub plan: PathBuf,
    /// The folder it lies in.
    pub folder: tempfile::TempDir,
}

impl Drop for Served {
    fn drop(&mut self) {
        self.kill();
    }
}

impl Served {
    /// Serves a plan of this text, in a folder of its own.
    pub fn text(text: &[u8]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let plan = folder.path().join("plan.jsonc");
        fs::write(&plan, text).unwrap();
        Self::run(folder, plan, &["plan.jsonc"])
    }

    /// Serves a shipped example.
    pub fn example(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("examples")
            .join(format!("{name}.jsonc"));
        Self::text(&fs::read(path).unwrap())
    }

    /// Serves no plan.
    pub fn nothing() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let plan = folder.path().join("new-plan.jsonc");
        Self::run(folder, plan, &[])
    }

    fn run(folder: tempfile::TempDir, plan: PathBuf, arguments: &[&str]) -> Self {
        let (process, address) = launch(folder.path(), arguments);
        Self {
            process,
            address,
            plan,
            folder,
        }
    }

    /// Starts the program once more on the same plan, beside this one.
    pub fn beside(&self) -> Beside {
        let (process, address) = launch(self.folder.path(), &["plan.jsonc"]);
        Beside { process, address }
    }

    /// Kills the program, as a crash or a lost battery would.
    pub fn kill(&mut self) {
        drop(self.process.kill());
        drop(self.process.wait());
    }

    /// Starts it again on the same plan.
    pub fn again(&mut self) {
        (self.process, self.address) = launch(self.folder.path(), &["plan.jsonc"]);
    }

    /// The bytes of the plan's file.
    pub fn bytes(&self) -> Vec<u8> {
        fs::read(&self.plan).unwrap()
    }

    /// The port it answers on, and the path with its token.
    pub fn port_and_path(&self) -> (u16, String) {
        let rest = self.address.strip_prefix("http://127.0.0.1:").unwrap();
        let (port, path) = rest.split_once('/').unwrap();
        (port.parse().unwrap(), format!("/{path}"))
    }
}

fn launch(folder: &Path, arguments: &[&str]) -> (Child, String) {
    let mut process = Command::new(env!("CARGO_BIN_EXE_bywash"))
        .args(["open", "--no-browser"])
        .args(arguments)
        .current_dir(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(process.stdout.take().unwrap())
        .read_line(&mut first)
        .unwrap();
    let address = first.trim().rsplit(' ').next().unwrap_or_default().to_owned();
    assert!(address.starts_with("http://127.0.0.1:"), "{first}");
    (process, address)
}

/// Serves the files of a folder, as any web host would.
pub fn serve_folder(folder: PathBuf) -> String {
    let listener = TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let address = format!("http://127.0.0.1:{}/", listener.local_addr().unwrap().port());
    std::thread::spawn(move || {
        for stream in listener.incoming().flatten() {
            let folder = folder.clone();
            std::thread::spawn(move || drop(answer(stream, &folder)));
        }
    });
    address
}

fn answer(mut stream: TcpStream, folder: &Path) -> std::io::Result<()> {
    let mut lines = BufReader::new(stream.try_clone()?).lines();
    let first = lines.next().unwrap_or_else(|| Ok(String::new()))?;
    for line in lines.by_ref() {
        if line?.is_empty() {
            break;
        }
    }
    let asked = first.split(' ').nth(1).unwrap_or("/").trim_start_matches('/');
    let name = if asked.is_empty() { "index.html" } else { asked };
    let kind = match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("wasm") => "application/wasm",
        _ => "application/octet-stream",
    };
    let (status, bytes) =
        fs::read(folder.join(name)).map_or(("404 Not Found", Vec::new()), |bytes| ("200 OK", bytes));
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        bytes.len()
    );
    stream.write_all(head.as_bytes())?;
    stream.write_all(&bytes)
}

/// Sends bytes to a port and gives back all that is answered.
pub fn raw(port: u16, request: &[u8]) -> String {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
    drop(stream.write_all(request));
    let mut answer = Vec::new();
    drop(stream.read_to_end(&mut answer));
    String::from_utf8_lossy(&answer).into_owned()
}
