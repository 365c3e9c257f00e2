//! Signals that end the program while a file bears a name that is not its own.
//!
//! A file is named for good by one rename. Until then a signal takes the passing name away before it ends the program.

use std::{
    fs, io,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

/// The passing names that exist now.
static PASSING: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

fn passing() -> MutexGuard<'static, Vec<PathBuf>> {
    // The list is whole even where a thread that held it was ended.
    PASSING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A passing name, taken away when dropped or when a signal ends the program.
pub(super) struct PassingName {
    path: PathBuf,
}

impl PassingName {
    /// Makes something under a passing name. No signal comes between its making and its being known.
    pub fn make<T>(path: PathBuf, make: impl FnOnce(&Path) -> io::Result<T>) -> io::Result<(Self, T)> {
        watch()?;
        let mut list = passing();
        let made = make(&path)?;
        list.push(path.clone());
        Ok((Self { path }, made))
    }

    /// The name.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Gives what bears the name its own. No signal comes between.
    pub fn finish(self, rename: impl FnOnce(&Path) -> io::Result<()>) -> io::Result<()> {
        let mut list = passing();
        rename(&self.path)?;
        list.retain(|path| *path != self.path);
        Ok(())
    }
}

impl Drop for PassingName {
    fn drop(&mut self) {
        let mut list = passing();
        if let Some(at) = list.iter().position(|path| *path == self.path) {
            list.swap_remove(at);
            drop(fs::remove_file(&self.path));
        }
    }
}

/// From the first passing name on, the signals that end a program take the names away first.
#[cfg(unix)]
fn watch() -> io::Result<()> {
    use signal_hook::{
        consts::{SIGHUP, SIGINT, SIGTERM},
        iterator::Signals,
        low_level::emulate_default_handler,
    };
    static WATCHED: Mutex<bool> = Mutex::new(false);

    let mut watched = WATCHED.lock().unwrap_or_else(PoisonError::into_inner);
    if *watched {
        return Ok(());
    }
    let ending = [SIGHUP, SIGINT, SIGTERM];
    let mut signals = Signals::new(ending.into_iter().filter(|signal| !is_ignored(*signal)))?;
    std::thread::Builder::new().spawn(move || {
        for signal in signals.forever() {
            let list = passing();
            for path in list.iter() {
                drop(fs::remove_file(path));
            }
            // The list stays locked: no name is made any more.
            drop(emulate_default_handler(signal));
        }
    })?;
    *watched = true;
    Ok(())
}

#[cfg(not(unix))]
fn watch() -> io::Result<()> {
    Ok(())
}

/// Whether whoever started the program had it ignore a signal, as `nohup` does; that is kept.
#[cfg(unix)]
fn is_ignored(signal: i32) -> bool {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    match mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()) {
        Some(mask) => mask & (1 << (signal - 1)) != 0,
        // Where the system does not say, a hang-up is left as it is.
        None => signal == signal_hook::consts::SIGHUP,
    }
}

/// A write past the limit on the size of files then fails as any write does, and is told.
#[cfg(unix)]
pub(in super::super) fn tell_size_limit() {
    let flag = std::sync::Arc::default();
    drop(signal_hook::flag::register(signal_hook::consts::SIGXFSZ, flag));
}

#[cfg(not(unix))]
pub(in super::super) fn tell_size_limit() {}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use signal_hook::consts::{SIGPIPE, SIGTERM};

    #[test]
    fn a_signal_that_is_ignored_already_is_known() {
        // Every program of this language ignores a closed pipe from its start.
        assert!(super::is_ignored(SIGPIPE) && !super::is_ignored(SIGTERM));
    }
}
