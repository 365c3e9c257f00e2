//! What is told on a terminal while a review takes longer than a moment.

use std::{
    io::{IsTerminal, Write, stderr},
    sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel},
    thread::{JoinHandle, spawn},
    time::{Duration, Instant},
};

/// Nothing is told before, and then as often.
const MOMENT: Duration = Duration::from_secs(1);

/// A line on the standard error that says what is being worked at and for how long; gone once this is dropped. Nothing where
/// the standard error is no terminal.
pub(super) struct Progress(Option<(Sender<()>, JoinHandle<()>)>);

impl Progress {
    /// Starts to tell.
    pub fn of(what: &'static str) -> Self {
        Self(stderr().is_terminal().then(|| {
            let (done, until) = channel();
            let teller = spawn(move || tell(&until, MOMENT, what, &mut stderr()));
            (done, teller)
        }))
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((done, teller)) = self.0.take() {
            drop(done);
            // The line is taken away before anything else is printed.
            let _ = teller.join();
        }
    }
}

/// Tells until the other end is gone. A line that can't be written is not worth stopping for.
fn tell(until: &Receiver<()>, moment: Duration, what: &str, out: &mut impl Write) {
    let began = Instant::now();
    let mut told = false;
    while until.recv_timeout(moment) == Err(RecvTimeoutError::Timeout) {
        told = true;
        let seconds = began.elapsed().as_secs();
        let _ = write!(out, "\r{what}, {seconds} s").and_then(|()| out.flush());
    }
    if told {
        let _ = write!(out, "\r\u{1b}[K").and_then(|()| out.flush());
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::{sync::mpsc::channel, thread, time::Duration};

    use super::tell;

    /// Told while it takes, and taken away at the end.
    #[test]
    fn a_long_search_is_told_and_a_short_one_is_not() {
        let told = |takes: u64| {
            let (done, until) = channel::<()>();
            let teller = thread::spawn(move || {
                let mut out = Vec::new();
                tell(&until, Duration::from_millis(100), "trying changes", &mut out);
                String::from_utf8(out).unwrap()
            });
            thread::sleep(Duration::from_millis(takes));
            drop(done);
            teller.join().unwrap()
        };
        assert_eq!(told(0), "");
        let long = told(350);
        assert!(long.starts_with("\rtrying changes, 0 s"), "{long:?}");
        assert!(long.ends_with("\r\u{1b}[K"), "{long:?}");
    }
}
