//! What stands where an output is to go.

use std::{
    ffi::OsString,
    fs::{self, Metadata},
    io,
    path::{Path, PathBuf},
};

/// Links followed at most before a path is taken to lead in a circle.
const MOST_LINKS: usize = 40;

/// Where an output goes.
#[derive(Clone, Debug)]
pub(super) enum Target {
    /// Standard output itself, by whatever name.
    Stdout,
    /// Standard error itself, by whatever name.
    Stderr,
    /// A device or a pipe: written to, never replaced.
    Device(PathBuf),
    /// A file, there or not.
    File(Place),
}

/// A folder and a name in it, no link among them.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub folder: PathBuf,
    pub name: OsString,
    /// The file that bears the name now.
    pub there: Option<Metadata>,
}

impl Place {
    pub fn path(&self) -> PathBuf {
        self.folder.join(&self.name)
    }
}

/// What tells one file from another, whatever they are called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Identity {
    Stdout,
    /// A file by its device and number.
    #[cfg(unix)]
    File(u64, u64),
    /// A file by its path without links: one that is not there yet, or where files have no number.
    Path(PathBuf),
}

impl Target {
    /// Follows a path to what stands there.
    ///
    /// # Errors
    /// A path that leads nowhere a file could be, or to a folder.
    pub fn of(path: &Path) -> io::Result<Self> {
        if path.as_os_str().as_encoded_bytes().ends_with(b"/") {
            return Err(is_folder());
        }
        let mut path = path.to_owned();
        for _ in 0..MOST_LINKS {
            let Some(name) = path.file_name() else {
                return Err(is_folder());
            };
            let folder = folder_of(&path).canonicalize()?;
            match descriptor(&folder, name) {
                Some(1) => return Ok(Self::Stdout),
                Some(2) => return Ok(Self::Stderr),
                Some(_) => return Ok(Self::Device(path)),
                None => {}
            }
            let real = folder.join(name);
            let there = match fs::symlink_metadata(&real) {
                Err(error) if error.kind() == io::ErrorKind::NotFound => None,
                there => Some(there?),
            };
            match &there {
                Some(link) if link.is_symlink() => {
                    path = folder.join(fs::read_link(&real)?);
                    continue;
                }
                Some(there) if there.is_dir() => return Err(is_folder()),
                Some(there) if !there.is_file() => return device(real, there),
                _ => {}
            }
            let name = name.to_owned();
            return Ok(Self::File(Place { folder, name, there }));
        }
        Err(io::Error::other("its links lead in a circle"))
    }

    /// What tells it from other outputs; nothing for a device, which several outputs may go to.
    pub fn identity(&self) -> Option<Identity> {
        match self {
            Self::Stdout => Some(Identity::Stdout),
            Self::Stderr | Self::Device(_) => None,
            Self::File(place) => Some(match &place.there {
                Some(there) => Identity::of(&place.path(), there),
                None => Identity::Path(place.path()),
            }),
        }
    }
}

impl Identity {
    /// Of a file that is there, under a path without links.
    #[cfg(unix)]
    pub fn of(_: &Path, there: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt;
        Self::File(there.dev(), there.ino())
    }

    #[cfg(not(unix))]
    pub fn of(path: &Path, _: &Metadata) -> Self {
        Self::Path(path.to_owned())
    }

    /// Of an input, by any spelling; nothing where there is none.
    pub fn of_input(path: &Path) -> Option<Self> {
        let real = path.canonicalize().ok()?;
        let there = fs::metadata(&real).ok()?;
        Some(Self::of(&real, &there))
    }
}

fn is_folder() -> io::Error {
    io::Error::other("it is a folder")
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Which of this program's open files a path names, as `/dev/stdout` and `/dev/fd/1` do.
fn descriptor(folder: &Path, name: &std::ffi::OsStr) -> Option<u32> {
    let own = |known: &str| Path::new(known).canonicalize().is_ok_and(|known| known == folder);
    if own("/proc/self/fd") || own("/dev/fd") {
        name.to_str()?.parse().ok()
    } else {
        None
    }
}

#[cfg(unix)]
fn device(path: PathBuf, there: &Metadata) -> io::Result<Target> {
    use std::os::unix::fs::FileTypeExt;
    let kind = there.file_type();
    if kind.is_char_device() || kind.is_fifo() {
        Ok(Target::Device(path))
    } else if kind.is_block_device() {
        Err(io::Error::other("it is a disk"))
    } else {
        Err(io::Error::other("it is neither a file nor a pipe"))
    }
}

#[cfg(not(unix))]
fn device(path: PathBuf, _: &Metadata) -> io::Result<Target> {
    Ok(Target::Device(path))
}

/// Why a file that is there may not be replaced unless that is forced; nothing where it may.
#[cfg(unix)]
pub(super) fn protection(place: &Place) -> Option<&'static str> {
    use rustix::{
        fs::{Access, access},
        process::geteuid,
    };
    use std::os::unix::fs::MetadataExt;

    const WRITE_BITS: u32 = 0o222;
    const STICKY: u32 = 0o1000;
    let there = place.there.as_ref()?;
    let me = geteuid();
    // Root may write to anything; that a file is read-only still says something.
    if there.mode() & WRITE_BITS == 0 || access(place.path(), Access::WRITE_OK).is_err() {
        return Some("it is read-only");
    }
    let folder = fs::metadata(&place.folder).ok()?;
    let mine = there.uid() == me.as_raw();
    // In a folder shared by all, such as the one for passing files, everybody keeps files of their own.
    let shared = folder.mode() & STICKY != 0 && mine;
    if folder.uid() != me.as_raw() && !shared {
        return Some("its folder belongs to somebody else");
    }
    if !mine && !me.is_root() {
        return Some("it belongs to somebody else");
    }
    None
}

#[cfg(not(unix))]
pub(super) fn protection(place: &Place) -> Option<&'static str> {
    let there = place.there.as_ref()?;
    there.permissions().readonly().then_some("it is read-only")
}

/// Whether new files may be made in a folder, as far as that can be known beforehand.
#[cfg(unix)]
pub(super) fn may_make(folder: &Path) -> io::Result<()> {
    use rustix::fs::{Access, access};
    Ok(access(folder, Access::WRITE_OK | Access::EXEC_OK)?)
}

#[cfg(not(unix))]
pub(super) fn may_make(folder: &Path) -> io::Result<()> {
    fs::metadata(folder).map(drop)
}
