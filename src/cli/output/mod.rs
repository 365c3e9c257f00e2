//! Writing files: each is whole or as it was, and none is written that a run also reads.
//!
//! The files a run writes are claimed before anything is computed, so that what can't be written, or would destroy
//! something, is refused at once. Their bytes are laid down first and named last.

mod draft;
mod fault;
mod signals;
mod target;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use std::{
    fs::OpenOptions,
    io::{self, Write},
    path::{Path, PathBuf},
};

use clap::Args;

use super::{Failure, print::print};
use draft::{Draft, Named};
pub(super) use signals::tell_size_limit;
use target::{Identity, Place, Target};

/// The name that means standard output.
const STDOUT: &str = "-";
/// How often a file is named anew because another program made one there.
const TRIES: usize = 4;

/// Whether protected files are replaced.
#[derive(Debug, Args)]
pub(super) struct ForceArgument {
    /// Replace files too that are read-only, somebody else's, or in a folder of somebody else's.
    #[arg(long)]
    force: bool,
}

impl ForceArgument {
    /// What is done where a file is in the way.
    pub fn in_the_way(&self) -> InTheWay {
        if self.force {
            InTheWay::Forced
        } else {
            InTheWay::Replaced
        }
    }
}

/// What is done where a file is in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum InTheWay {
    /// It is replaced, unless it is protected.
    Replaced,
    /// It is replaced even if it is protected.
    Forced,
    /// It stays, and the run fails.
    Kept,
}

/// One output that a run was asked for.
struct Claim {
    /// The argument that names it, as it is told.
    argument: &'static str,
    path: PathBuf,
    target: Target,
}

/// The outputs that a run was asked for.
pub(super) struct Outputs {
    claims: Vec<Claim>,
    in_the_way: InTheWay,
}

impl Outputs {
    /// Takes the places of the outputs asked for; each comes with the argument that names it.
    ///
    /// # Errors
    /// A place where nothing can be written, or nothing may, and one place named twice.
    pub fn claim<'a>(
        asked: impl IntoIterator<Item = (&'static str, &'a Path)>,
        in_the_way: InTheWay,
    ) -> Result<Self, Failure> {
        let mut claims: Vec<Claim> = Vec::new();
        for (argument, path) in asked {
            let target = target(path, in_the_way)?;
            let identity = target.identity();
            let same = claims
                .iter()
                .find(|claim| identity.is_some() && claim.target.identity() == identity);
            if let Some(other) = same {
                return Err(Failure::Argument {
                    message: format!("{} and {argument} name one file", other.argument),
                    help: "name two files; nothing was written".to_owned(),
                });
            }
            claims.push(Claim {
                argument,
                path: path.to_owned(),
                target,
            });
        }
        Ok(Self { claims, in_the_way })
    }

    /// Holds the outputs against what the run reads.
    ///
    /// # Errors
    /// An output that is also read.
    pub fn spare<'a>(&self, inputs: impl IntoIterator<Item = &'a Path>) -> Result<(), Failure> {
        for input in inputs {
            let identity = Identity::of_input(input);
            let same = self
                .claims
                .iter()
                .find(|claim| identity.is_some() && claim.target.identity() == identity);
            if let Some(claim) = same {
                return Err(Failure::OverInput {
                    argument: claim.argument,
                    output: claim.path.clone(),
                    input: input.to_owned(),
                });
            }
        }
        Ok(())
    }

    /// The outputs in turns of so many each, to be written one turn after another.
    pub fn in_turns(self, counts: &[usize]) -> Vec<Self> {
        let mut claims = self.claims.into_iter();
        let turns = counts.iter().map(|count| Self {
            claims: claims.by_ref().take(*count).collect(),
            in_the_way: self.in_the_way,
        });
        turns.collect()
    }

    /// Whether one of them is standard output, which then carries nothing else.
    pub fn take_stdout(&self) -> bool {
        self.claims
            .iter()
            .any(|claim| matches!(claim.target, Target::Stdout))
    }

    /// Writes the outputs, given in the order in which they were asked for. A device or a pipe is written to; a file is
    /// named when the bytes of all are on the disk.
    ///
    /// # Errors
    /// What could not be written; what is not written is as it was.
    pub fn write(self, contents: &[Vec<u8>]) -> Result<(), Failure> {
        let force = self.in_the_way == InTheWay::Forced;
        let mut drafts = Vec::new();
        for (claim, bytes) in self.claims.iter().zip(contents) {
            if let Target::File(place) = &claim.target {
                let draft =
                    Draft::new(place.clone(), bytes, force).map_err(|error| unwritten(&claim.path, error))?;
                drafts.push((claim.path.as_path(), draft));
            }
        }
        for (claim, bytes) in self.claims.iter().zip(contents) {
            let sent = match &claim.target {
                Target::File(_) => Ok(()),
                Target::Stdout => print(bytes),
                Target::Stderr => io::stderr().write_all(bytes),
                Target::Device(path) => send(path, bytes),
            };
            sent.map_err(|error| unwritten(&claim.path, error))?;
        }
        let mut written: Vec<(&Path, Option<Identity>)> = Vec::new();
        for (path, draft) in &mut drafts {
            match name(path, draft, self.in_the_way, &written) {
                Ok(()) => written.push((path, Identity::of_input(&draft.place().path()))),
                Err(failure) if written.is_empty() => return Err(failure),
                Err(failure) => {
                    return Err(Failure::WrittenInPart {
                        written: written.iter().map(|(path, _)| (*path).to_owned()).collect(),
                        failure: Box::new(failure),
                    });
                }
            }
        }
        Ok(())
    }
}

/// Where an output goes, if it may.
fn target(path: &Path, in_the_way: InTheWay) -> Result<Target, Failure> {
    if path == Path::new(STDOUT) {
        return Ok(Target::Stdout);
    }
    let target = Target::of(path).map_err(|error| unwritten(path, error))?;
    if let Target::File(place) = &target {
        allowed(path, place, in_the_way)?;
    }
    Ok(target)
}

/// Whether a file may come to a place.
fn allowed(path: &Path, place: &Place, in_the_way: InTheWay) -> Result<(), Failure> {
    if in_the_way == InTheWay::Kept && place.there.is_some() {
        return Err(Failure::InTheWay {
            path: path.to_owned(),
        });
    }
    if in_the_way == InTheWay::Replaced
        && let Some(why) = target::protection(place)
    {
        return Err(Failure::Protected {
            path: path.to_owned(),
            why,
        });
    }
    target::may_make(&place.folder).map_err(|error| unwritten(path, error))
}

/// Gives a file its name. Where another program has made a file of that name meanwhile, that one is looked at as if it had
/// been there from the start.
fn name(
    path: &Path,
    draft: &mut Draft,
    in_the_way: InTheWay,
    written: &[(&Path, Option<Identity>)],
) -> Result<(), Failure> {
    let failed = |error| unwritten(path, error);
    for _ in 0..TRIES {
        if draft.finish().map_err(failed)? == Named::Done {
            return Ok(());
        }
        let Target::File(place) = target(path, in_the_way)? else {
            return Err(Failure::InTheWay {
                path: path.to_owned(),
            });
        };
        // Where a system takes two spellings for one name, that shows only now.
        let now = place
            .there
            .as_ref()
            .map(|there| Identity::of(&place.path(), there));
        if now.is_some() && written.iter().any(|(_, known)| *known == now) {
            return Err(Failure::InTheWay {
                path: path.to_owned(),
            });
        }
        draft
            .retarget(place, in_the_way == InTheWay::Forced)
            .map_err(failed)?;
    }
    Err(Failure::InTheWay {
        path: path.to_owned(),
    })
}

/// Bytes to a device or a pipe.
fn send(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // Through a name of an open file, what it holds already stays.
    let mut device = OpenOptions::new().append(true).open(path)?;
    device.write_all(bytes)?;
    device.flush()
}

fn unwritten(path: &Path, source: io::Error) -> Failure {
    Failure::Write {
        path: path.to_owned(),
        source,
    }
}
