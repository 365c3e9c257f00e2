//! Side files: changes that are kept beside a plan until they are saved, each held by the session that makes them.

use std::{
    ffi::OsString,
    fs::{self, File, OpenOptions, TryLockError},
    io::{self, Write},
    path::{Path, PathBuf},
};

use crate::read::{Sources, read_file};

/// Side files of one plan at most; more windows than that keep nothing beside it, and say so.
const MOST: usize = 20;

/// The side file of a session. It has a name of its own, and is locked as long as the session lives, so that a session
/// never takes the changes of another one that is still at work.
#[derive(Debug)]
pub(super) struct SideFile {
    /// The plan.
    plan: PathBuf,
    /// The file, once there is something to keep, and its lock.
    held: Option<(PathBuf, File)>,
}

/// Changes that are kept beside a plan by another session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum LeftOver {
    /// The session is over: they can be taken up.
    Left {
        /// Where they are.
        path: PathBuf,
        /// The plan with them.
        text: String,
    },
    /// The session is at work in another window.
    AtWork,
}

impl SideFile {
    /// A side file of a plan; nothing is written yet.
    pub fn beside(plan: &Path) -> Self {
        Self {
            plan: plan.to_owned(),
            held: None,
        }
    }

    /// Keeps a text: the file is complete at any time.
    ///
    /// # Errors
    /// A folder that can't be written to.
    pub fn keep(&mut self, text: &str) -> io::Result<()> {
        let path = if let Some((path, _)) = &self.held {
            path.clone()
        } else {
            let (path, file) = self.claim()?;
            self.held.insert((path, file)).0.clone()
        };
        let mut passing = path.clone().into_os_string();
        passing.push(".new");
        let mut file = File::create(&passing)?;
        file.write_all(text.as_bytes())?;
        lock(&file);
        fs::rename(&passing, &path)?;
        self.held = Some((path, file));
        Ok(())
    }

    /// A name that no session has.
    fn claim(&self) -> io::Result<(PathBuf, File)> {
        for number in 1..=MOST {
            let path = self.numbered(number);
            match OpenOptions::new().write(true).create_new(true).open(&path) {
                Ok(file) => {
                    lock(&file);
                    return Ok((path, file));
                }
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Err(io::Error::other(format!(
            "{MOST} files of unsaved changes are there already"
        )))
    }

    fn numbered(&self, number: usize) -> PathBuf {
        let mut name = self.stem();
        if number > 1 {
            name.push(format!("-{number}"));
        }
        self.plan.with_file_name(name)
    }

    fn stem(&self) -> OsString {
        let mut name = OsString::from(".");
        name.push(self.plan.file_name().unwrap_or_default());
        name.push(".unsaved");
        name
    }

    /// Forgets what was kept.
    pub fn forget(&mut self) {
        if let Some((path, file)) = self.held.take() {
            drop(file);
            drop(fs::remove_file(path));
        }
    }

    /// What other sessions keep or left, but for what `is_saved`.
    pub fn left_over(&self, is_saved: impl Fn(&str) -> bool) -> Vec<LeftOver> {
        let own = self.held.as_ref().map(|(path, _)| path);
        let others = (1..=MOST).map(|number| self.numbered(number));
        let found = others.filter(|path| Some(path) != own).filter_map(|path| {
            let file = File::open(&path).ok()?;
            if matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock)) {
                return Some(LeftOver::AtWork);
            }
            let mut sources = Sources::default();
            let source = read_file(&mut sources, &path).ok()?;
            let text = sources.text(source).to_owned();
            // A session that ended between claiming a name and writing left nothing.
            (!text.is_empty() && !is_saved(&text)).then_some(LeftOver::Left { path, text })
        });
        found.collect()
    }
}

/// Locks a file for as long as it is open. Where a file system knows no locks, the session goes on without.
fn lock(file: &File) {
    let _unknown = file.try_lock();
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn two_sessions_keep_their_changes_apart() {
        let folder = std::env::temp_dir().join(format!("bywash-side-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let plan = folder.join("a.jsonc");
        let never = |_: &str| false;
        let mut one = SideFile::beside(&plan);
        let mut other = SideFile::beside(&plan);
        one.keep("one").unwrap();
        other.keep("other").unwrap();
        one.keep("one more").unwrap();
        let text = |name: &str| fs::read_to_string(folder.join(name)).unwrap();
        assert_eq!(text(".a.jsonc.unsaved"), "one more");
        assert_eq!(text(".a.jsonc.unsaved-2"), "other");
        // What a living session keeps is not offered to another.
        assert_eq!(other.left_over(never), [LeftOver::AtWork]);
        // What a dead one left is, until it is saved.
        drop(one);
        let path = folder.join(".a.jsonc.unsaved");
        let text = "one more".to_owned();
        assert_eq!(other.left_over(never), [LeftOver::Left { path, text }]);
        assert_eq!(other.left_over(|text| text == "one more"), []);
        other.forget();
        assert!(!folder.join(".a.jsonc.unsaved-2").exists());
        fs::remove_dir_all(&folder).unwrap();
    }
}
