//! The page as a folder of files that needs no program: the engine runs in the browser.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use crate::{
    cli::{
        Failure, Status,
        output::{InTheWay, Outputs},
        print::say,
    },
    page::{SCRIPT, STYLE, shell},
    text::shown_path,
};

/// The engine's name beside the program.
const BESIDE: &str = "bywash-engine.wasm";
/// What every module for the browser begins with.
const MAGIC: &[u8] = b"\0asm";
/// The largest engine taken, bytes.
const MOST_BYTES: u64 = 100_000_000;

/// Nothing from elsewhere, nothing inline but the engine.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; connect-src 'self'; \
                      img-src 'self' data:; base-uri 'none'; form-action 'none'";

/// Writes the folder.
pub(super) fn run(folder: &Path, engine: Option<&Path>) -> Result<Status, Failure> {
    let module = module(engine)?;
    let made = !folder.exists();
    if made {
        fs::create_dir(folder).map_err(|source| Failure::Write {
            path: folder.to_owned(),
            source,
        })?;
    }
    let page = shell("module", "0", Some(POLICY)).into_string();
    let files: [(&'static str, Vec<u8>); 4] = [
        ("index.html", page.into_bytes()),
        ("page.js", SCRIPT.into()),
        ("page.css", STYLE.into()),
        ("engine.wasm", module),
    ];
    let paths: Vec<(&str, PathBuf)> = files.iter().map(|(name, _)| (*name, folder.join(name))).collect();
    let outputs = Outputs::claim(
        paths.iter().map(|(_, path)| ("--export", path.as_path())),
        InTheWay::Kept,
    );
    let contents: Vec<Vec<u8>> = files.into_iter().map(|(_, bytes)| bytes).collect();
    let written = outputs.and_then(|outputs| outputs.write(&contents));
    if let Err(failure) = written {
        if made {
            drop(fs::remove_dir(folder));
        }
        return Err(failure);
    }
    say(&format!(
        "wrote the page to {}; put the folder on any web host\n",
        shown_path(folder)
    ))?;
    Ok(Status::Clear)
}

/// The engine for the browser.
fn module(named: Option<&Path>) -> Result<Vec<u8>, Failure> {
    let beside = || Some(std::env::current_exe().ok()?.with_file_name(BESIDE));
    let path = named
        .map(Path::to_owned)
        .or_else(beside)
        .unwrap_or_else(|| PathBuf::from(BESIDE));
    let refuse = |why: String| {
        Failure::Argument {
        message: format!("`{}` {why}", shown_path(&path)),
        help: "build the engine with `cargo build -p bywash-web --profile web --target wasm32-unknown-unknown` and \
               name target/wasm32-unknown-unknown/web/bywash_web.wasm with --engine; nothing was written"
            .to_owned(),
    }
    };
    let size = fs::metadata(&path).map(|there| there.len());
    let bytes = match size {
        Ok(size) if size > MOST_BYTES => return Err(refuse("is too large for an engine".to_owned())),
        Ok(_) => fs::read(&path).map_err(|error| refuse(format!("can’t be read: {error}")))?,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(refuse(
                "is not there: the engine for the browser is built apart".to_owned(),
            ));
        }
        Err(error) => return Err(refuse(format!("can’t be read: {error}"))),
    };
    if !bytes.starts_with(MAGIC) {
        return Err(refuse("is no engine for the browser".to_owned()));
    }
    Ok(bytes)
}
