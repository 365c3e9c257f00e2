//! `bywash open`: the page on this machine, or as a folder that needs no program.

mod browser;
mod dialogs;
mod export;
mod file;
mod guard;
mod serve;
mod session;
mod side;

use std::path::PathBuf;

use clap::Args;

use super::{Failure, Status, print::say};
use file::PlanFile;
use guard::Guard;
use session::Session;

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan to open; one that is not there yet is begun.
    #[arg(value_name = "PLAN")]
    plan: Option<PathBuf>,
    /// Print the address and leave the browser to the user.
    #[arg(long)]
    no_browser: bool,
    /// Write the page as a folder of files to put on any web host; it runs in the browser alone.
    #[arg(long, value_name = "DIR", conflicts_with_all = ["plan", "no_browser"])]
    export: Option<PathBuf>,
    /// The engine for the browser [default: `bywash-engine.wasm` beside the program].
    #[arg(long, value_name = "FILE", requires = "export")]
    engine: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    if let Some(folder) = &arguments.export {
        return export::run(folder, arguments.engine.as_deref());
    }
    let file = PlanFile::open(arguments.plan.as_deref())?;
    let session = Session::new(file).map_err(Failure::Report)?;
    let refused = |source| Failure::Serve { source };
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .build()
        .map_err(refused)?;
    let local = tokio::task::LocalSet::new();
    local.block_on(&runtime, async {
        // The loopback address alone, and a port that the system chooses.
        let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0))
            .await
            .map_err(refused)?;
        let port = listener.local_addr().map_err(refused)?.port();
        let guard = Guard::new(port).map_err(refused)?;
        let address = guard.address();
        say(&format!(
            "the plan is open at {address}\npress Ctrl-C to end; what is not saved is kept beside the plan\n"
        ))?;
        if !arguments.no_browser && !browser::start(&address) {
            say("no browser could be started; open the address above in one\n")?;
        }
        serve::serve(listener, guard, session).await.map_err(refused)
    })?;
    Ok(Status::Clear)
}
