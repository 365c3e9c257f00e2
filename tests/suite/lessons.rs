//! The rule book and the drills.

use std::{collections::BTreeSet, fmt::Write as _};

use super::program::{bywash_in, folder, write};
use bywash::{
    engine::{Engine, ReviewOptions, SOUND},
    lessons::{Drill, DrillError, DrillLevel, handbook, plant},
    read::SourceId,
    rules::{Bound, Subject},
};

fn engine() -> Engine {
    let (engine, loaded) = Engine::new();
    loaded.unwrap();
    engine
}

fn on_the_sound_plan(faults: usize, seed: u64) -> (Engine, Drill) {
    let mut engine = engine();
    let plan = engine.sources.add("plan", SOUND);
    let drill = plant(&engine, plan, faults, seed).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
    (engine, drill)
}

#[test]
fn the_rule_book_teaches_every_rule_by_a_right_and_a_wrong_example() {
    let mut engine = engine();
    let book = handbook(&mut engine).unwrap().pages;
    let lessons: Vec<_> = book
        .chapters
        .iter()
        .flat_map(|chapter| &chapter.lessons)
        .collect();
    let ids: BTreeSet<&str> = lessons.iter().map(|lesson| lesson.id.as_str()).collect();
    assert_eq!(lessons.len(), engine.library.cards.len());
    assert_eq!(
        ids,
        engine.library.cards.iter().map(|card| card.id.as_str()).collect()
    );
    let mut gaps = String::new();
    for lesson in lessons {
        if lesson.right.is_none() {
            writeln!(gaps, "{}: no right example", lesson.id).unwrap();
        }
        // A rule that something must be shown has nothing to show where it is not.
        let must_be_shown = lesson.asks.ends_with("shown on the plan");
        if lesson.wrong.is_none() && !must_be_shown {
            writeln!(gaps, "{}: no wrong example", lesson.id).unwrap();
        }
    }
    assert!(gaps.is_empty(), "{gaps}");
    for chapter in &book.chapters {
        assert_ne!(
            chapter.title, chapter.discipline,
            "{} has no introduction",
            chapter.discipline
        );
        assert!(
            chapter.lessons.is_sorted_by_key(|lesson| lesson.severity),
            "{}",
            chapter.discipline
        );
    }
    assert!(book.sources.len() > 20 && book.glossary.len() > 20 && !book.cautions.is_empty());
}

/// An example of one wall, basin or layer is worked for that one, not for another that keeps the rule as well.
#[test]
fn an_example_is_worked_for_what_it_changes() {
    let mut engine = engine();
    let book = handbook(&mut engine).unwrap().pages;
    let lessons = book.chapters.iter().flat_map(|chapter| &chapter.lessons);
    let mut tried = 0;
    for lesson in lessons {
        let Some(right) = &lesson.right else { continue };
        // A card that asks for a measure of the plan itself: the measure that its example sets is the one found.
        let card = engine
            .library
            .cards
            .iter()
            .find(|card| card.id == lesson.id)
            .unwrap();
        let (Subject::Field { title, .. }, [change]) = (&card.asks.subject, right.changes.as_slice()) else {
            continue;
        };
        let measured = matches!(
            card.asks.bound,
            Bound::AtLeast(..) | Bound::AtMost(..) | Bound::Between(..)
        );
        let own = change.place_name.to_lowercase().ends_with(&title.to_lowercase());
        if measured && own && lesson.both.is_empty() {
            let number = |text: &str| text.split(' ').next().unwrap().to_owned();
            assert_eq!(number(&right.outcome), number(&change.value), "{}", lesson.id);
            tried += 1;
        }
    }
    assert!(tried > 5, "{tried}");
}

#[test]
fn a_drill_plants_what_it_says_and_nothing_else() {
    for seed in 1..=12 {
        let (_, drill) = on_the_sound_plan(5, seed);
        assert_eq!(drill.key.len(), 5, "seed {seed}");
        let causes = drill
            .review
            .findings
            .iter()
            .filter(|finding| finding.follows.is_none());
        let of_key: BTreeSet<&str> = drill
            .key
            .iter()
            .map(|planted| {
                let number = planted
                    .finding
                    .follows
                    .as_ref()
                    .unwrap_or(&planted.finding.number);
                number.as_str()
            })
            .collect();
        let causes: BTreeSet<&str> = causes.map(|finding| finding.number.as_str()).collect();
        assert_eq!(
            causes, of_key,
            "seed {seed}: a fault that was not planted, or one that is not told"
        );
        for planted in &drill.key {
            assert!(!planted.changes.is_empty());
        }
    }
}

#[test]
fn one_seed_gives_one_sheet_and_seeds_differ() {
    let sheet = |seed| serde_json::to_string(&on_the_sound_plan(4, seed).1.sheet).unwrap();
    assert_eq!(sheet(3), sheet(3));
    let sheets: BTreeSet<String> = (1..=6).map(sheet).collect();
    assert_eq!(sheets.len(), 6);
}

/// The sheet shows the plan as it is, the faults in it; it tells of no fault, and lists the rules that are broken
/// among others that are not.
#[test]
fn a_sheet_shows_the_faults_and_does_not_tell_them() {
    let (_, drill) = on_the_sound_plan(5, 7);
    let text = serde_json::to_string(&drill.sheet).unwrap();
    for planted in &drill.key {
        assert!(
            !text.contains(&planted.finding.headline),
            "{}",
            planted.finding.headline
        );
        assert!(!text.contains(&planted.finding.rule), "{}", planted.finding.rule);
        let rule = drill
            .sheet
            .rules
            .iter()
            .find(|rule| rule.title == planted.finding.title);
        assert!(rule.is_some(), "{} is not among the rules", planted.finding.title);
    }
    assert_eq!(drill.sheet.rules.len(), 20);
    let rows: Vec<&(String, String)> = drill.sheet.plan.iter().flat_map(|part| &part.rows).collect();
    assert!(
        rows.iter()
            .any(|(name, value)| name == "rim level" && value.ends_with("in")),
        "{rows:?}"
    );
}

/// Every drill has a sheet at each level. What each leaves off is gone from it, and the key is the same.
#[test]
fn a_drill_has_three_levels_and_one_key() {
    for seed in [1, 2, 5] {
        let (engine, mut drill) = on_the_sound_plan(4, seed);
        let key = serde_json::to_string(&drill.key).unwrap();
        let figures = serde_json::to_string(&drill.sheet).unwrap();
        assert_eq!(drill.sheet.level, DrillLevel::Figures);
        assert!(drill.sheet.water.len() > 3 && drill.sheet.rules.len() == 16);
        let plan = drill.sheet.plan.clone();
        let values = |drill: &Drill| drill.sheet.plan.iter().map(|part| part.rows.len()).sum::<usize>();

        drill.set_level(&engine, DrillLevel::Plain).unwrap();
        assert!(drill.sheet.water.is_empty() && drill.shown.is_none());
        assert_eq!((&drill.sheet.plan, drill.sheet.rules.len()), (&plan, 16));
        assert_eq!(drill.sheet.faults, Some(4));
        let whole = values(&drill);

        drill.set_level(&engine, DrillLevel::Sent).unwrap();
        let sent = serde_json::to_string(&drill.sheet).unwrap();
        assert!(drill.sheet.water.is_empty() && drill.sheet.rules.is_empty());
        for card in &engine.library.cards {
            assert!(!sent.contains(&card.id), "seed {seed}: {}", card.id);
        }
        assert_eq!(drill.sheet.faults, None, "the number of faults is a hint");
        assert!(drill.sheet.answers > 4);
        let gone = drill.left_out.len();
        assert!((8..=20).contains(&gone), "seed {seed}: {gone} left out");
        assert_eq!(values(&drill) + gone, whole, "seed {seed}");

        drill.set_level(&engine, DrillLevel::Figures).unwrap();
        assert_eq!(serde_json::to_string(&drill.sheet).unwrap(), figures);
        assert_eq!(serde_json::to_string(&drill.key).unwrap(), key, "seed {seed}");
    }
}

/// The plan of a sheet as sent, reviewed as it is shown, raises each fault of the key at its place and no other, so that
/// the answers are graded as on the other sheets. A drawing shows levels and sizes and leaves out properties and notes
/// (common practice).
#[test]
fn what_a_sheet_as_sent_leaves_out_hides_no_fault() {
    for seed in [3, 4] {
        let (engine, mut drill) = on_the_sound_plan(5, seed);
        drill.set_level(&engine, DrillLevel::Sent).unwrap();
        let review = engine.review(drill.shown.as_ref().unwrap(), ReviewOptions::default());
        let raised: BTreeSet<(&str, &str)> = review
            .findings
            .iter()
            .map(|finding| (finding.rule.as_str(), finding.object.as_str()))
            .collect();
        for planted in &drill.key {
            let at = (planted.finding.rule.as_str(), planted.finding.object.as_str());
            assert!(raised.contains(&at), "seed {seed}: {at:?}");
            for change in &planted.changes {
                assert!(
                    !drill
                        .left_out
                        .iter()
                        .any(|gone| gone.place_name == change.place_name)
                );
            }
        }
        let of_key = drill.review.findings.iter();
        let of_key: BTreeSet<(&str, &str)> = of_key
            .map(|finding| (finding.rule.as_str(), finding.object.as_str()))
            .collect();
        assert!(raised.is_subset(&of_key), "seed {seed}: {raised:?}");
        for gone in &drill.left_out {
            let last = gone.place_name.rsplit(" / ").next().unwrap();
            let drawn = [
                "length",
                "width",
                "rim level",
                "still level",
                "floor level",
                "crest level",
            ];
            assert!(!drawn.contains(&last), "{gone:?}");
        }
    }
}

#[test]
fn an_unknown_level_is_answered_with_the_levels_and_the_nearest() {
    let dir = folder();
    write(dir.path(), "plan.jsonc", SOUND);
    let ran = |level| {
        bywash_in(
            dir.path(),
            &["drill", "plan.jsonc", "--pdf", "a.pdf", "--level", level],
        )
    };
    let near = ran("plane");
    assert_eq!(near.status, 2);
    for said in [
        "'plane'",
        "--level",
        "figures, plain, sent",
        "similar value exists: 'plain'",
    ] {
        assert!(near.err.contains(said), "{said}: {}", near.err);
    }
    assert!(ran("").err.contains("figures, plain, sent"));
    assert!(!dir.path().join("a.pdf").exists());
    let help = bywash_in(dir.path(), &["drill", "--help"]).out;
    assert!(
        help.contains("--level") && help.contains("[default: figures]"),
        "{help}"
    );
}

#[test]
fn a_drill_that_can_t_be_made_says_why() {
    let mut engine = engine();
    let sound = engine.sources.add("plan", SOUND);
    let careless = include_str!("../../examples/courtyard-as-sent.jsonc");
    let careless = engine.sources.add("careless", careless);
    let broken = engine.sources.add("broken", "{");
    let told = |plan: SourceId, faults| match plant(&engine, plan, faults, 1) {
        Ok(_) => panic!("made"),
        Err(error) => error,
    };
    assert!(matches!(told(careless, 3), DrillError::NotSound { .. }));
    assert!(matches!(told(broken, 3), DrillError::Plan(problems) if !problems.is_empty()));
    let DrillError::TooMany { most } = told(sound, 500) else {
        panic!("not too many")
    };
    assert!((10..500).contains(&most), "{most}");
}
