//! Where a test may let a write fail. Outside tests nothing is here.

/// The steps of writing a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// The file is made.
    Make,
    /// Its bytes are written.
    Write,
    /// It is given the owner and mode of the file that is there.
    Keep,
    /// Its bytes reach the disk.
    Sync,
    /// It is given a name.
    Name,
    /// Its name replaces another's.
    Rename,
}

#[cfg(not(test))]
#[allow(clippy::unnecessary_wraps)]
pub(super) const fn at(_: Step) -> std::io::Result<()> {
    Ok(())
}

#[cfg(all(not(test), target_os = "linux"))]
pub(super) const fn without_unnamed() -> bool {
    false
}

#[cfg(test)]
pub(super) use planted::{Planted, at, without_unnamed};

#[cfg(test)]
mod planted {
    use std::{cell::Cell, io};

    use super::Step;

    thread_local! {
        static FAILING: Cell<Option<Step>> = const { Cell::new(None) };
        static UNNAMED: Cell<bool> = const { Cell::new(true) };
    }

    /// A fault, there until it is dropped.
    pub struct Planted;

    impl Planted {
        /// A step that fails, if any, and whether the system has files without a name.
        pub fn new(failing: Option<Step>, unnamed: bool) -> Self {
            FAILING.set(failing);
            UNNAMED.set(unnamed);
            Self
        }
    }

    impl Drop for Planted {
        fn drop(&mut self) {
            FAILING.set(None);
            UNNAMED.set(true);
        }
    }

    pub fn at(step: Step) -> io::Result<()> {
        if FAILING.get() == Some(step) {
            Err(io::ErrorKind::StorageFull.into())
        } else {
            Ok(())
        }
    }

    pub fn without_unnamed() -> bool {
        !UNNAMED.get()
    }
}
