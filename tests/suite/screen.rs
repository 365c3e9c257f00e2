//! What a reader sees at a terminal: the review on one screen, one finding in full, completions and the manual.

use std::process::{Command, Stdio};

use super::program::{bywash, bywash_in, folder, too_wide};

const AS_SENT: &str = "examples/courtyard-as-sent.jsonc";

#[test]
fn the_careless_plan_fits_a_screen_of_fifty_lines_and_eighty_columns() {
    let out = bywash(&["review", AS_SENT]).out;
    assert!(out.lines().count() <= 50, "{} lines\n{out}", out.lines().count());
    assert_eq!(too_wide(&out), Vec::<&str>::new());
    let last: Vec<&str> = out.lines().rev().take(2).collect();
    assert!(
        last.iter().any(|line| line.starts_with("Recommended action")),
        "{last:?}"
    );
}

#[test]
fn what_was_found_never_stands_without_its_name() {
    let out = bywash(&["review", AS_SENT]).out;
    let text = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!text.contains("stated flow: 46.5 %"), "{out}");
    assert!(text.contains("1,390 gph computed, 3,000 gph stated"), "{out}");
    assert!(!text.contains("rim level: −0.02 in"), "{out}");
}

#[test]
fn one_finding_is_explained_in_full_by_its_number() {
    let ran = bywash(&["explain", "finding", "3", AS_SENT]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // The lines of the plan, the values, the worked figure, the source.
    for said in ["basin-volume-agrees", "6,200 gal", "4,590 gal", "common practice"] {
        assert!(text.contains(said), "{said}: {}", ran.out);
    }
    assert!(ran.out.contains("courtyard-as-sent.jsonc:55:24"), "{}", ran.out);
    assert!(!text.contains("Ground-fault protection near water"));
    // In a folder that holds one plan its name may be left out.
    let folder = folder();
    let plan = format!("{}/{AS_SENT}", env!("CARGO_MANIFEST_DIR"));
    std::fs::copy(plan, folder.path().join("plan.jsonc")).unwrap();
    let short = bywash_in(folder.path(), &["explain", "finding", "3"]);
    assert_eq!(short.status, 1, "{}", short.err);
    assert!(short.out.contains("basin-volume-agrees"));
}

#[test]
fn completions_are_printed_for_every_shell_and_bash_reads_them() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let ran = bywash(&["completions", shell]);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{shell}");
        for command in ["review", "backcheck", "answers", "explain"] {
            assert!(ran.out.contains(command), "{shell}: {command}");
        }
    }
    let script = bywash(&["completions", "bash"]).out;
    let ask =
        "COMP_WORDS=(bywash backc); COMP_CWORD=1; _bywash bywash backc bywash; echo \"${COMPREPLY[@]}\"";
    let Ok(asked) = Command::new("bash")
        .args(["-c", &format!("{script}\n{ask}")])
        .stdin(Stdio::null())
        .output()
    else {
        return;
    };
    let offered = String::from_utf8_lossy(&asked.stdout).into_owned();
    assert_eq!(
        offered.trim(),
        "backcheck",
        "{}",
        String::from_utf8_lossy(&asked.stderr)
    );
}

/// Every page of a manual begins with a line `.TH` and has a section NAME (man-pages(7)).
#[test]
fn the_manual_has_a_page_for_the_program_and_for_each_command() {
    let ran = bywash(&["manual"]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    let pages: Vec<&str> = ran.out.lines().filter(|line| line.starts_with(".TH ")).collect();
    let commands = bywash(&["--help"]).out;
    let listed = commands
        .lines()
        .skip_while(|line| *line != "Commands:")
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter(|line| !line.trim_start().starts_with("help") && !line.trim_start().starts_with('-'))
        .count();
    assert_eq!(pages.len(), listed + 1, "{pages:?}");
    assert_eq!(ran.out.matches(".SH NAME").count(), pages.len());
    assert!(ran.out.contains("previous"));
}
