use bywash::{desk::Desk, figures::cases::cases};
#[test]
fn show() {
    for name in [
        "courtyard-retrofit",
        "courtyard-as-sent",
        "mill-yard-metric",
        "two-ponds",
    ] {
        let (mut desk, _) = Desk::new();
        let text = std::fs::read_to_string(format!("examples/{name}.jsonc")).unwrap();
        let source = desk.sources.add(name, &text);
        let opened = desk.open(source, Vec::new()).unwrap();
        let t = std::time::Instant::now();
        let all = cases(&opened.plan, &[]);
        println!("==== {name} {:?} missing {:?}", t.elapsed(), all.missing.len());
        for case in all.all() {
            match &case.outcome {
                Err(gap) => println!("{}: {gap:?}", case.name),
                Ok(o) => {
                    println!(
                        "{}: {:?} settled {:.0} s, {} moments",
                        case.name,
                        o.ending,
                        o.settled_after,
                        o.series.len()
                    );
                    for b in &o.basins {
                        let at = bywash::read::Place::root();
                        let _ = at;
                        println!(
                            "   {} hi {:.4}@{:.0} lo {:.4}@{:.0} end {:.4} fb {:?} over {:.4} left {:.2} {:.2}",
                            b.at.as_str(),
                            b.highest.level,
                            b.highest.time,
                            b.lowest.level,
                            b.lowest.time,
                            b.end,
                            b.freeboard,
                            b.over_rim,
                            b.left,
                            b.left_depth
                        );
                    }
                    for s in &o.siphons {
                        println!("   siphon {s:?}");
                    }
                    for s in &o.stopped {
                        println!("   stopped {s:?}");
                    }
                    for s in &o.lost {
                        println!("   lost {s:?}");
                    }
                }
            }
        }
        for b in opened.plan.basins.values() {
            for f in [
                "start-up-level",
                "running-level",
                "power-off-level",
                "blocked-level",
                "drain-back-level",
            ] {
                println!(
                    "{} {f} {:?}",
                    b.place.as_str(),
                    opened.ledger.quantity(&b.place, f)
                );
            }
        }
    }
}
