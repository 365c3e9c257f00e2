//! A file that is written and has no name yet.

use std::{
    fs::{self, File, Metadata},
    io::{self, Write},
    path::Path,
};

use super::{
    fault::{self, Step},
    signals::PassingName,
    target::Place,
};

/// What passing names start with; the number of the process and a count follow.
const PREFIX: &str = ".bywash-";
/// Passing names tried before the folder is taken to refuse them.
const TRIES: usize = 16;

/// Bytes on the disk of their target, under no name where the system has such files, else under a passing one.
pub(super) struct Draft {
    place: Place,
    file: File,
    named: Option<PassingName>,
}

/// How the name was given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Named {
    /// The target has the bytes.
    Done,
    /// Another program has made a file of that name meanwhile; it is untouched.
    Taken,
}

impl Draft {
    /// Writes the bytes. Mode and owner are those of the file that is there; where `force` is given, the owner as far as
    /// the system allows.
    pub fn new(place: Place, bytes: &[u8], force: bool) -> io::Result<Self> {
        fault::at(Step::Make)?;
        let (named, mut file) = match unnamed(&place.folder)? {
            Some(file) => (None, file),
            None => passing(&place, |path| File::create_new(path)).map(|(name, file)| (Some(name), file))?,
        };
        fault::at(Step::Write)?;
        file.write_all(bytes)?;
        if let Some(there) = &place.there {
            fault::at(Step::Keep)?;
            keep(there, &file, force)?;
        }
        // What is named has its bytes, even after the power fails.
        fault::at(Step::Sync)?;
        file.sync_all()?;
        Ok(Self { place, file, named })
    }

    /// Where it goes.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// Gives the file its name, in one step: the bytes before or the bytes after, never others.
    pub fn finish(&mut self) -> io::Result<Named> {
        let path = self.place.path();
        if self.place.there.is_none() {
            fault::at(Step::Name)?;
            let linked = match &self.named {
                None => link(&self.file, &path),
                Some(name) => fs::hard_link(name.path(), &path),
            };
            return match linked {
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(Named::Taken),
                // Where the system has no second names, a rename must do.
                Err(error) if error.kind() == io::ErrorKind::Unsupported && self.named.is_some() => {
                    if path.exists() {
                        return Ok(Named::Taken);
                    }
                    self.rename(&path)
                }
                linked => linked.map(|()| Named::Done),
            };
        }
        if self.named.is_none() {
            let file = &self.file;
            fault::at(Step::Name)?;
            let (name, ()) = passing(&self.place, |path| link(file, path))?;
            self.named = Some(name);
        }
        self.rename(&path)
    }

    /// Takes the place as it is now for the target, after another program has changed it.
    pub fn retarget(&mut self, place: Place, force: bool) -> io::Result<()> {
        if let Some(there) = &place.there {
            keep(there, &self.file, force)?;
        }
        self.place = place;
        Ok(())
    }

    fn rename(&mut self, path: &Path) -> io::Result<Named> {
        let Some(name) = self.named.take() else {
            return Ok(Named::Taken);
        };
        name.finish(|passing| {
            fault::at(Step::Rename)?;
            fs::rename(passing, path)
        })?;
        Ok(Named::Done)
    }
}

/// Makes something under a passing name beside the target.
fn passing<T>(place: &Place, make: impl Fn(&Path) -> io::Result<T>) -> io::Result<(PassingName, T)> {
    let process = std::process::id();
    let mut refused = None;
    for number in 0..TRIES {
        let path = place.folder.join(format!("{PREFIX}{process}-{number}"));
        match PassingName::make(path, &make) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => refused = Some(error),
            made => return made,
        }
    }
    Err(refused.unwrap_or_else(|| io::ErrorKind::AlreadyExists.into()))
}

/// The program's folder of open files, through which an unnamed file is named.
#[cfg(target_os = "linux")]
const OPEN_FILES: &str = "/proc/self/fd";

/// A file without a name; nothing where the system or the folder's disk has none.
#[cfg(target_os = "linux")]
fn unnamed(folder: &Path) -> io::Result<Option<File>> {
    use rustix::{
        fs::{Mode, OFlags, open},
        io::Errno,
    };
    if fault::without_unnamed() || !Path::new(OPEN_FILES).exists() {
        return Ok(None);
    }
    // As a file made in the usual way; the caller's mask applies.
    let mode = Mode::from_raw_mode(0o666);
    match open(folder, OFlags::TMPFILE | OFlags::RDWR | OFlags::CLOEXEC, mode) {
        Ok(file) => Ok(Some(file.into())),
        Err(Errno::OPNOTSUPP | Errno::ISDIR | Errno::INVAL | Errno::NOSYS | Errno::NOENT) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

#[cfg(not(target_os = "linux"))]
fn unnamed(_: &Path) -> io::Result<Option<File>> {
    Ok(None)
}

/// Gives an unnamed file a name that nothing bears.
#[cfg(target_os = "linux")]
fn link(file: &File, path: &Path) -> io::Result<()> {
    use rustix::fs::{AtFlags, CWD, linkat};
    use std::os::fd::AsRawFd;
    let open = format!("{OPEN_FILES}/{}", file.as_raw_fd());
    Ok(linkat(CWD, open, CWD, path, AtFlags::SYMLINK_FOLLOW)?)
}

#[cfg(not(target_os = "linux"))]
fn link(_: &File, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Gives a file the owner and the mode of the one that it replaces.
#[cfg(unix)]
fn keep(there: &Metadata, file: &File, force: bool) -> io::Result<()> {
    use rustix::fs::{Gid, Uid, fchown};
    use std::os::unix::fs::MetadataExt;
    let made = file.metadata()?;
    let differs = |now: u32, then: u32| (now != then).then_some(then);
    let owner = differs(made.uid(), there.uid()).map(Uid::from_raw);
    let group = differs(made.gid(), there.gid()).map(Gid::from_raw);
    if owner.is_some() || group.is_some() {
        match fchown(file, owner, group) {
            Err(_) if force => {}
            kept => kept?,
        }
    }
    // After the owner, whose change takes bits away.
    file.set_permissions(there.permissions())
}

#[cfg(not(unix))]
fn keep(there: &Metadata, file: &File, _: bool) -> io::Result<()> {
    let mut permissions = there.permissions();
    // A forced output replaces a read-only file; renaming needs it writable until then.
    #[allow(clippy::permissions_set_readonly_false)]
    permissions.set_readonly(false);
    file.set_permissions(permissions)
}
