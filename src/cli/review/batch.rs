//! Many plans: reviewed side by side on the cores there are, told in their order, with one table at the end.

use std::{
    collections::BTreeMap,
    io::{self, IsTerminal},
    num::NonZeroUsize,
    path::PathBuf,
    sync::{
        atomic::{AtomicBool, AtomicUsize, Ordering},
        mpsc::{self, Receiver},
    },
    thread,
};

use super::{
    super::{
        Failure, Status,
        input::engine_under,
        output::Outputs,
        print::{paint, say, say_error},
    },
    Arguments, Wanted, contents,
};
use crate::{
    engine::{Engine, ReviewOptions},
    report::terminal::{self, BatchRow, Selected},
    review::Action,
};

/// Results that may wait for an earlier plan before the workers wait too.
const WAITING: usize = 32;

/// What became of a plan: its row, and what is printed of it.
struct Told {
    row: BatchRow,
    text: String,
}

/// A plan with the files it is written to.
struct Job<'a> {
    plan: &'a PathBuf,
    wanted: Vec<Wanted>,
    outputs: std::sync::Mutex<Option<Outputs>>,
}

/// Reviews many plans.
pub(super) fn run(
    arguments: &Arguments,
    wanted: Vec<Vec<Wanted>>,
    outputs: Outputs,
    pages: &[PathBuf],
    options: ReviewOptions,
) -> Result<Status, Failure> {
    let mut engine = engine_under(pages)?;
    let read_too = readable(arguments, &mut engine)?;
    outputs.spare(read_too.iter().map(PathBuf::as_path))?;
    drop(engine);
    let counts: Vec<usize> = wanted.iter().map(Vec::len).collect();
    let jobs: Vec<Job<'_>> = arguments
        .plans
        .iter()
        .zip(wanted)
        .zip(outputs.in_turns(&counts))
        .map(|((plan, wanted), outputs)| Job {
            plan,
            wanted,
            outputs: std::sync::Mutex::new(Some(outputs)),
        })
        .collect();
    let cores = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let (next, failed) = (AtomicUsize::new(0), AtomicBool::new(false));
    let (send, receive) = mpsc::sync_channel(WAITING);
    thread::scope(|scope| {
        for _ in 0..cores.min(jobs.len()) {
            let (send, jobs, next, failed) = (send.clone(), &jobs, &next, &failed);
            scope.spawn(move || {
                let mut engine = match engine_under(pages) {
                    Ok(engine) => engine,
                    Err(failure) => {
                        failed.store(true, Ordering::Relaxed);
                        drop(send.send((0, Err(failure))));
                        return;
                    }
                };
                while !failed.load(Ordering::Relaxed) {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(job) = jobs.get(index) else { return };
                    let told = one(arguments, &mut engine, job, options);
                    if told.is_err() {
                        failed.store(true, Ordering::Relaxed);
                    }
                    if send.send((index, told)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        let ended = tell(&receive, jobs.len());
        failed.store(true, Ordering::Relaxed);
        drop(receive);
        ended
    })
}

/// Every plan is looked at before anything is written: what can’t be read stops the run with nothing half done. Gives the
/// files that the plans refer to.
fn readable(arguments: &Arguments, engine: &mut Engine) -> Result<Vec<PathBuf>, Failure> {
    let mut read_too = Vec::new();
    let mut problems = 0;
    let (mut told, mut listed) = (String::new(), Vec::new());
    for plan in &arguments.plans {
        let kept = engine.sources.count();
        match arguments.plan.check(engine, plan) {
            Ok(files) => read_too.extend(files),
            Err(Failure::Problems {
                count,
                told: text,
                listed: those,
            }) => {
                problems += count;
                told.push_str(&text);
                listed.extend(those);
            }
            Err(other) => return Err(other),
        }
        engine.sources.forget_since(kept);
    }
    if problems == 0 {
        return Ok(read_too);
    }
    Err(Failure::Problems {
        count: problems,
        told,
        listed,
    })
}

/// Reviews one plan and writes its files.
fn one(
    arguments: &Arguments,
    engine: &mut Engine,
    job: &Job<'_>,
    options: ReviewOptions,
) -> Result<Told, Failure> {
    let kept = engine.sources.count();
    let opened = arguments.plan.open(engine, job.plan)?;
    let review = engine.review(&opened, options);
    let full = arguments.selection.full;
    let contents = contents(&arguments.outputs, engine, &opened, &review, &job.wanted, full)?;
    let outputs = job.outputs.lock().ok().and_then(|mut outputs| outputs.take());
    if let Some(outputs) = outputs {
        outputs.write(&contents)?;
    }
    let text = if arguments.outputs.is_any() {
        String::new()
    } else {
        let selected = arguments.selection.of(&review, &engine.rules_for(&opened))?;
        shown(arguments, engine, &opened, &review, &selected)
    };
    let row = BatchRow::of(&review);
    drop(opened);
    engine.sources.forget_since(kept);
    Ok(Told { row, text })
}

/// What is printed of one plan of many: no cautions, those come once.
fn shown(
    arguments: &Arguments,
    engine: &Engine,
    opened: &crate::engine::Opened,
    review: &crate::review::Review,
    selected: &Selected<'_>,
) -> String {
    let mut out = terminal::named(review, paint());
    if arguments.selection.is_full() {
        out.push_str(&terminal::review(engine, opened, review, selected, paint()));
    } else {
        out.push_str(&terminal::list_of(selected, paint()));
    }
    out.push('\n');
    out
}

/// Prints what the workers send, in the order of the plans, then the table.
fn tell(receive: &Receiver<(usize, Result<Told, Failure>)>, count: usize) -> Result<Status, Failure> {
    let progress = io::stderr().is_terminal();
    let mut waiting = BTreeMap::new();
    let mut rows = Vec::new();
    let mut status = Status::Clear;
    for (index, told) in receive {
        waiting.insert(index, told?);
        while let Some(told) = waiting.remove(&rows.len()) {
            say(&told.text)?;
            if told.row.action == Action::ReviseAndResubmit {
                status = Status::Revise;
            }
            rows.push(told.row);
            if progress {
                say_error(&format!("\r{} of {count} plans", rows.len()));
            }
        }
    }
    if progress {
        say_error("\r\u{1b}[K");
    }
    say(&terminal::batch(&rows, paint()))?;
    Ok(status)
}
