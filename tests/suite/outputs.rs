//! What a run writes: whole or not at all, over nothing that is to stay, and nothing left behind however it ends.

use std::{
    fs,
    os::unix::{
        fs::{MetadataExt, PermissionsExt, symlink},
        process::ExitStatusExt,
    },
    path::Path,
    process::{Child, Command, ExitStatus, Output, Stdio},
    time::{Duration, Instant},
};

use rustix::process::{Pid, Signal, kill_process};
use serde_json::Value;

use super::program::{bywash_in, folder, write};

const PLAN: &str = include_str!("../../examples/minimal.jsonc");

/// The program in a folder.
fn program(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bywash"));
    command.args(arguments).current_dir(folder);
    command.stdin(Stdio::null());
    command
}

/// A line of shell with the program as `$0`.
fn shell(folder: &Path, line: &str) -> Output {
    Command::new("sh")
        .args(["-c", line, env!("CARGO_BIN_EXE_bywash")])
        .current_dir(folder)
        .output()
        .unwrap()
}

fn stderr_of(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Whether a file holds a whole review.
fn is_review(path: &Path) -> bool {
    let review: Result<Value, _> = serde_json::from_str(&fs::read_to_string(path).unwrap());
    review.is_ok_and(|review| review["format"] == "bywash review 1")
}

/// A folder with a small plan in it.
fn with_plan() -> tempfile::TempDir {
    let folder = folder();
    write(folder.path(), "plan.jsonc", PLAN);
    folder
}

/// Whether the tests run as root, which no permission holds back.
fn is_root() -> bool {
    rustix::process::geteuid().is_root()
}

#[test]
fn a_device_or_a_pipe_is_written_to_and_never_replaced() {
    let folder = with_plan();
    let dir = folder.path();
    let before = fs::symlink_metadata("/dev/null").unwrap().rdev();
    for target in ["/dev/null", "/dev/fd/2", "/dev/stderr"] {
        let ran = bywash_in(dir, &["review", "plan.jsonc", "--json", target]);
        assert_eq!(ran.status, 1, "{target}: {}", ran.err);
        assert!(ran.out.contains("Recommended action"));
        let to_stderr = serde_json::from_str::<Value>(&ran.err).is_ok();
        assert_eq!(to_stderr, target != "/dev/null", "{target}");
    }
    let null = fs::symlink_metadata("/dev/null").unwrap();
    assert!(!null.is_file() && null.rdev() == before);
    let ran = bywash_in(dir, &["review", "plan.jsonc", "--json", "/dev/full"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{}", ran.err);
    assert!(ran.err.contains("`/dev/full` can’t be written"), "{}", ran.err);

    assert!(shell(dir, "mkfifo pipe").status.success());
    let ran = shell(
        dir,
        "\"$0\" review plan.jsonc --json pipe >text & cat pipe; wait $!",
    );
    assert!(
        serde_json::from_slice::<Value>(&ran.stdout).is_ok(),
        "{}",
        stderr_of(&ran)
    );
    assert!(
        fs::read_to_string(dir.join("text"))
            .unwrap()
            .contains("Recommended action")
    );
    assert_eq!(names(dir), ["pipe", "plan.jsonc", "text"]);
    assert!(!fs::metadata(dir.join("pipe")).unwrap().is_file());
}

#[test]
fn standard_output_by_any_name_carries_one_thing_alone() {
    let folder = with_plan();
    let dir = folder.path();
    symlink("/dev/stdout", dir.join("link")).unwrap();
    for target in [
        "-",
        "/dev/stdout",
        "/dev/fd/1",
        "/proc/self/fd/1",
        "link",
        "/dev/../dev/stdout",
    ] {
        for line in [
            "\"$0\" review plan.jsonc --json TARGET >out",
            "\"$0\" review plan.jsonc --json TARGET | cat >out",
        ] {
            let ran = shell(dir, &line.replace("TARGET", target));
            assert_eq!(stderr_of(&ran), "", "{target}");
            assert!(is_review(&dir.join("out")), "{target}");
        }
        let twice = bywash_in(dir, &["review", "plan.jsonc", "--json", target, "--pdf", "-"]);
        assert_eq!((twice.status, twice.out.as_str()), (2, ""));
        assert!(twice.err.contains("name one file"), "{}", twice.err);
    }
    let begun = shell(dir, "\"$0\" begin /dev/stdout >begun");
    assert!(begun.status.success());
    assert_eq!(
        fs::read_to_string(dir.join("begun")).unwrap(),
        bywash::engine::STARTER
    );
}

#[test]
fn a_link_is_followed_and_mode_and_owner_are_kept() {
    let folder = with_plan();
    let dir = folder.path();
    fs::create_dir(dir.join("kept")).unwrap();
    let target = write(&dir.join("kept"), "review.json", "old");
    fs::set_permissions(&target, fs::Permissions::from_mode(0o640)).unwrap();
    if is_root() {
        std::os::unix::fs::chown(&target, Some(65534), Some(65534)).unwrap();
    }
    let before = fs::metadata(&target).unwrap();
    symlink("kept/review.json", dir.join("link.json")).unwrap();
    symlink("kept/new.json", dir.join("dangling.json")).unwrap();
    for link in ["link.json", "dangling.json"] {
        let ran = bywash_in(dir, &["review", "plan.jsonc", "--json", link]);
        assert_eq!(ran.status, 1, "{}", ran.err);
        assert!(fs::symlink_metadata(dir.join(link)).unwrap().is_symlink());
        assert!(is_review(&dir.join(link)));
    }
    let after = fs::metadata(&target).unwrap();
    assert_eq!(
        (after.mode(), after.uid(), after.gid()),
        (before.mode(), before.uid(), before.gid())
    );
    assert_eq!(names(&dir.join("kept")), ["new.json", "review.json"]);
    let usual = write(dir, "usual", "");
    let (made, usual) = (dir.join("kept/new.json"), fs::metadata(usual).unwrap());
    assert_eq!(fs::metadata(made).unwrap().mode(), usual.mode());
}

#[test]
fn a_protected_file_is_replaced_only_by_force() {
    let folder = with_plan();
    let dir = folder.path();
    let target = write(dir, "review.json", "old");
    fs::set_permissions(&target, fs::Permissions::from_mode(0o444)).unwrap();
    let mut cases = vec![("review.json", "it is read-only")];
    if is_root() {
        let theirs = dir.join("theirs");
        fs::create_dir(&theirs).unwrap();
        write(&theirs, "review.json", "old");
        for path in [theirs.join("review.json"), theirs] {
            std::os::unix::fs::chown(path, Some(65534), Some(65534)).unwrap();
        }
        cases.push(("theirs/review.json", "its folder belongs to somebody else"));
    }
    for (path, why) in cases {
        let arguments = ["review", "plan.jsonc", "--json", path, "--force"];
        let ran = bywash_in(dir, &arguments[..4]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{path}");
        assert!(
            ran.err.contains(why) && ran.err.contains("--force"),
            "{}",
            ran.err
        );
        assert_eq!(fs::read_to_string(dir.join(path)).unwrap(), "old");
        let before = fs::metadata(dir.join(path)).unwrap();
        let ran = bywash_in(dir, &arguments);
        assert_eq!(ran.status, 1, "{path}: {}", ran.err);
        assert!(is_review(&dir.join(path)));
        let after = fs::metadata(dir.join(path)).unwrap();
        assert_eq!((after.mode(), after.uid()), (before.mode(), before.uid()));
    }
}

#[test]
fn what_a_run_reads_or_writes_twice_is_refused_before_anything_is_computed() {
    let folder = with_plan();
    let dir = folder.path();
    write(dir, "patch.json", "{}");
    symlink("plan.jsonc", dir.join("link")).unwrap();
    fs::hard_link(dir.join("plan.jsonc"), dir.join("hard")).unwrap();
    fs::create_dir(dir.join("house")).unwrap();
    write(&dir.join("house"), "PAGE.MD", "no page at all");
    let before: Vec<_> = names(dir);
    let with_patch = ["--with", "patch.json"];
    let as_built = ["--as-built", "patch.json"];
    let house = ["--house", "house"];
    let none: [&str; 0] = [];
    let cases: [(&[&str], &str); 8] = [
        (&none, "plan.jsonc"),
        (&none, "./plan.jsonc"),
        (&none, "house/../plan.jsonc"),
        (&none, "link"),
        (&none, "hard"),
        (&with_patch, "patch.json"),
        (&as_built, "patch.json"),
        (&house, "house/PAGE.MD"),
    ];
    for (more, output) in cases {
        for flag in ["--json", "--pdf"] {
            let arguments = [&["review", "plan.jsonc", flag, output], more].concat();
            let ran = bywash_in(dir, &arguments);
            assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{output}");
            assert!(ran.err.contains("would write over"), "{output}: {}", ran.err);
            let forced = bywash_in(dir, &[arguments.as_slice(), &["--force"]].concat());
            assert!(forced.err.contains("would write over"), "{output}");
        }
    }
    let key = bywash_in(
        dir,
        &["drill", "plan.jsonc", "--pdf", "a.pdf", "--key", "plan.jsonc"],
    );
    assert!(key.err.contains("--key would write over"), "{}", key.err);
    let same = bywash_in(
        dir,
        &["drill", "plan.jsonc", "--pdf", "a.pdf", "--key", "./a.pdf"],
    );
    assert!(same.err.contains("--pdf and --key name one file"), "{}", same.err);
    assert_eq!(names(dir), before);
    assert_eq!(fs::read_to_string(dir.join("plan.jsonc")).unwrap(), PLAN);
}

#[test]
fn a_full_standard_output_is_told_and_a_closed_pipe_is_not() {
    let folder = with_plan();
    let dir = folder.path();
    for command in [
        "review plan.jsonc",
        "figures plan.jsonc",
        "rules",
        "schema",
        "begin",
        "--help",
        "--version",
    ] {
        let ran = shell(dir, &format!("\"$0\" {command} >/dev/full"));
        assert_eq!(ran.status.code(), Some(2), "{command}");
        assert!(
            stderr_of(&ran).contains("standard output can’t be written"),
            "{command}: {}",
            stderr_of(&ran)
        );
        let ran = shell(dir, &format!("\"$0\" {command} | true"));
        assert_eq!(stderr_of(&ran), "", "{command}");
    }
    let ran = shell(dir, "\"$0\" review missing.jsonc 2>/dev/full");
    assert_eq!(ran.status.code(), Some(2));
    let ran = shell(dir, "\"$0\" review plan.jsonc --json - >/dev/full");
    assert_eq!(ran.status.code(), Some(2));
    assert!(stderr_of(&ran).contains("can’t be written"));
}

#[test]
fn a_form_is_written_only_under_an_ending_that_says_what_it_is() {
    let folder = with_plan();
    let dir = folder.path();
    let before = names(dir);
    for name in ["form.doc", "form", "form.pdf.bak", "form.xlsx"] {
        let ran = shell(dir, &format!("\"$0\" review plan.jsonc --form {name}"));
        assert_eq!(ran.status.code(), Some(2), "{name}");
        let told = stderr_of(&ran);
        for word in [name, ".pdf", ".txt"] {
            assert!(told.contains(word), "{name}: {told}");
        }
        assert_eq!(names(dir), before, "{name}");
    }
    let ran = shell(dir, "\"$0\" review plan.jsonc --form form.TXT");
    assert_ne!(ran.status.code(), Some(2), "{}", stderr_of(&ran));
    assert!(dir.join("form.TXT").is_file());
}

#[test]
fn a_limit_on_the_size_of_files_is_told_and_leaves_nothing() {
    let folder = with_plan();
    let dir = folder.path();
    write(dir, "there.json", "old");
    for target in ["new.json", "there.json"] {
        let ran = shell(
            dir,
            &format!("ulimit -f 1; \"$0\" review plan.jsonc --json {target}"),
        );
        assert_eq!(ran.status.code(), Some(2), "{}", stderr_of(&ran));
        assert!(
            stderr_of(&ran).contains(&format!("`{target}` can’t be written")),
            "{}",
            stderr_of(&ran)
        );
    }
    let ran = shell(dir, "ulimit -f 1; \"$0\" figures plan.jsonc >out");
    assert_eq!(ran.status.code(), Some(2));
    assert_eq!(names(dir), ["out", "plan.jsonc", "there.json"]);
    assert_eq!(fs::read_to_string(dir.join("there.json")).unwrap(), "old");
}

#[test]
fn a_folder_that_takes_nothing_is_told_and_left() {
    let folder = with_plan();
    let dir = folder.path();
    for target in [
        "missing/out.json",
        "plan.jsonc/out.json",
        "new/",
        "/proc/out.json",
        ".",
    ] {
        let ran = bywash_in(dir, &["review", "plan.jsonc", "--json", target]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{target}");
        assert!(ran.err.contains("can’t be written"), "{target}: {}", ran.err);
    }
    if !is_root() {
        let locked = dir.join("locked");
        fs::create_dir(&locked).unwrap();
        fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).unwrap();
        let ran = bywash_in(dir, &["review", "plan.jsonc", "--json", "locked/out.json"]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        fs::remove_dir(&locked).unwrap();
    }
    assert_eq!(names(dir), ["plan.jsonc"]);
}

/// Numbers that look drawn and are the same in every run: a 64-bit linear congruential generator.
struct Draws(u64);

impl Draws {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) % most.max(1)
    }
}

fn ended(child: &mut Child) -> ExitStatus {
    child.wait().unwrap()
}

/// How many runs are killed; `BYWASH_KILLS` sets it.
fn kills() -> u64 {
    let written = std::env::var("BYWASH_KILLS").ok();
    written.and_then(|number| number.parse().ok()).unwrap_or(40)
}

#[test]
fn a_run_that_is_killed_at_any_instant_leaves_nothing_behind() {
    let folder = with_plan();
    let dir = folder.path();
    let review = ["review", "plan.jsonc", "--json", "out.json"];
    let started = Instant::now();
    assert_eq!(
        program(dir, &review)
            .stdout(Stdio::null())
            .status()
            .unwrap()
            .code(),
        Some(1)
    );
    let takes = u64::try_from(started.elapsed().as_micros()).unwrap();
    let mut draws = Draws(7);
    let (mut cut, mut strays) = (0, 0);
    for number in 0..kills() {
        let there = number % 2 == 0;
        drop(fs::remove_file(dir.join("out.json")));
        if there {
            write(dir, "out.json", "old");
        }
        let signal = [Signal::KILL, Signal::TERM, Signal::INT, Signal::HUP][(number / 2 % 4) as usize];
        let mut child = program(dir, &review).stdout(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(draws.below(takes + takes / 10)));
        // A run that has ended already takes no signal.
        let _ = kill_process(Pid::from_child(&child), signal);
        let status = ended(&mut child);
        cut += u64::from(status.signal() == Some(signal.as_raw()));
        let left = names(dir);
        if signal == Signal::KILL {
            // Between its passing name and its own a file that replaces another has a name for one step of the system:
            // nothing can tidy up there after this signal.
            strays += left.iter().filter(|name| name.starts_with(".bywash-")).count();
        } else {
            assert!(
                left.iter().all(|name| !name.starts_with('.')),
                "{signal:?}: {left:?}"
            );
        }
        for name in left.iter().filter(|name| name.starts_with(".bywash-")) {
            fs::remove_file(dir.join(name)).unwrap();
        }
        let out = dir.join("out.json");
        let old = there && fs::read(&out).is_ok_and(|bytes| bytes == b"old");
        assert!(old || (!there && !out.exists()) || is_review(&out), "{signal:?}");
    }
    assert!(cut > 0 || kills() < 10, "no run was cut short");
    assert!(strays <= 1, "{strays} passing names are left");
}

#[test]
fn a_pipe_that_nobody_writes_to_is_no_plan() {
    let folder = with_plan();
    let dir = folder.path();
    assert!(shell(dir, "mkfifo pipe pipe.md").status.success());
    let ran = bywash_in(dir, &["review", "pipe"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("`pipe` is a pipe or a device"), "{}", ran.err);
    for arguments in [
        ["review", "plan.jsonc", "--with", "pipe"],
        ["review", "plan.jsonc", "--as-built", "/dev/zero"],
        ["review", "plan.jsonc", "--house", "."],
    ] {
        let ran = bywash_in(dir, &arguments);
        assert_eq!(ran.status, 2);
        assert!(ran.err.contains("is a pipe or a device"), "{}", ran.err);
    }
}

#[test]
fn an_output_over_a_photograph_of_a_plan_is_refused() {
    let folder = with_plan();
    let dir = folder.path();
    let with_photograph = PLAN.trim_end().trim_end_matches('}').trim_end().to_owned()
        + ",\n  \"attachments\": { \"rim\": { \"file\": \"out/plan.json\", \"caption\": \"The rim\" } }\n}\n";
    write(dir, "photographed.jsonc", &with_photograph);
    fs::create_dir(dir.join("out")).unwrap();
    write(&dir.join("out"), "plan.json", "a picture");
    for arguments in [
        &["review", "photographed.jsonc", "--json", "out/plan.json"][..],
        // Of many plans, the review of one would stand where the photograph of another lies.
        &["review", "photographed.jsonc", "plan.jsonc", "--json", "out"],
        &["review", "plan.jsonc", "photographed.jsonc", "--json", "out"],
        &[
            "backcheck",
            "plan.jsonc",
            "photographed.jsonc",
            "--json",
            "out/plan.json",
        ],
    ] {
        let ran = bywash_in(dir, arguments);
        assert_eq!(
            (ran.status, ran.out.as_str()),
            (2, ""),
            "{arguments:?}: {}",
            ran.err
        );
        assert!(
            ran.err
                .contains("would write over `out/plan.json`, which is read"),
            "{}",
            ran.err
        );
        assert_eq!(
            fs::read_to_string(dir.join("out/plan.json")).unwrap(),
            "a picture"
        );
        assert_eq!(names(&dir.join("out")), ["plan.json"]);
    }
}
