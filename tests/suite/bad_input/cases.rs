//! Plans with something wrong in them, as data: what is changed in a sound plan, and what must be told.

use super::{PLAN, SOUND, assert_none, changed, hold, marked, review_bytes};

/// Name; passage of the sound plan; what stands there instead, with a `«` before the place to be told; what is said.
type Case = (&'static str, &'static str, &'static str, &'static [&'static str]);

const CASES: &[Case] = &[
    (
        "control character in a string",
        r#""to": "bed""#,
        "\"to\": \"b«\u{7}ed\"",
        &["control character U+0007"],
    ),
    (
        "text not closed",
        r#""still": "-6 in","#,
        r#""still": «"-6 in,"#,
        &["a text is not closed", "expected `\"`"],
    ),
    (
        "value left out",
        r#""length": "30 ft","#,
        r#""length": «,"#,
        &["expected a value"],
    ),
    (
        "wrong bracket",
        r#""fittings": { "90 elbow": 2 },"#,
        r#""fittings": { "90 elbow": 2 «],"#,
        &["`]` where `}` is due", "this `{` is still open"],
    ),
    (
        "unknown key",
        r#""length": "30 ft""#,
        r#"«"lenght": "30 ft""#,
        &["unknown key `lenght`", "did you mean `length`?"],
    ),
    (
        "unknown key at the top",
        r#""falls": {"#,
        r#"«"fals": {"#,
        &["unknown key `fals`", "did you mean `falls`?"],
    ),
    (
        "unknown unit",
        r#""length": "30 ft""#,
        r#""length": «"30 foots""#,
        &["30 foots", "`ft`", "expected a length"],
    ),
    (
        "wrong dimension",
        r#""length": "30 ft""#,
        r#""length": «"3 gph""#,
        &["`3 gph` is a flow, where a length is due", "a length is given in in, ft"],
    ),
    (
        "bare number in quotes",
        r#""length": "30 ft""#,
        r#""length": «"30""#,
        &["30", "unit", "a length is given in in, ft"],
    ),
    (
        "bare number",
        r#""length": "30 ft""#,
        r#""length": «30"#,
        &["30", "a length", "3 ft 6 in"],
    ),
    (
        "number no double holds",
        r#""90 elbow": 2"#,
        r#""90 elbow": «1e400"#,
        &["1e400"],
    ),
    (
        "half a fitting",
        r#""90 elbow": 2"#,
        r#""90 elbow": «1.5"#,
        &["1.5", "whole number"],
    ),
    (
        "negative size",
        r#""size": "2 in""#,
        r#""size": «"-2 in""#,
        &["-2 in", "must not be negative"],
    ),
    (
        "no size",
        r#""size": "2 in""#,
        r#""size": «"0 in""#,
        &["0 in", "must be more than zero"],
    ),
    (
        "absurd length",
        r#""length": "30 ft""#,
        r#""length": «"30,000 km""#,
        &["30,000 km", "at most 5000 m (16,400 ft)"],
    ),
    (
        "absurd level",
        r#""crest": "+8 in""#,
        r#""crest": «"+8 mi""#,
        &["+8 mi", "at most 200 m (650 ft)"],
    ),
    (
        "value that is not of the list",
        r#""kind": "bed""#,
        r#""kind": «"bedd""#,
        &["bedd", "did you mean `bed`?"],
    ),
    (
        "text for an object",
        r#"{ "90 elbow": 2 }"#,
        r#"«"two elbows""#,
        &["a text", "an object"],
    ),
    (
        "null",
        r#""length": "30 ft""#,
        r#""length": «null"#,
        &["null", "a length"],
    ),
    (
        "line to a basin that is not there",
        r#""to": "bed""#,
        r#""to": «"bad""#,
        &["no basin called \"bad\"", "the nearest is `bed`", "`pond`"],
    ),
    (
        "pump in a basin that is not there",
        r#""basin": "pond""#,
        r#""basin": «"pnd""#,
        &["no basin called \"pnd\"", "the nearest is `pond`"],
    ),
    (
        "fall to a basin that is not there",
        r#""to": "pond""#,
        r#""to": «"sea""#,
        &["called \"sea\"", "there are `pond`, `bed`"],
    ),
    (
        "line from a pump that is not there",
        r#""from": "main""#,
        r#""from": «"mian""#,
        &["no pump called \"mian\"", "`main`"],
    ),
    (
        "unknown fitting",
        r#""90 elbow": 2"#,
        r#""90 elbo": «2"#,
        &["no fitting is called", "90 elbo", "the nearest is `90 elbow`"],
    ),
    (
        "unknown pipe class",
        r#""class": "sch 40""#,
        r#""class": «"sch 41""#,
        &["sch 41", "`inside`"],
    ),
    (
        "run after a run that is not there",
        r#""length": "30 ft""#,
        r#""length": "30 ft", "after": «"rise""#,
        &["no run called \"rise\"", "`riser`"],
    ),
    (
        "run after itself",
        r#""length": "30 ft""#,
        r#""length": "30 ft", "after": «"riser""#,
        &["follows itself in a circle"],
    ),
    (
        "falls in a circle",
        r#""falls": {"#,
        r#""falls": { "up": { "from": "pond", "to": «"bed" },"#,
        &["lead back to where they start", "can't fall in a circle"],
    ),
    (
        "water without a way back",
        r#""from": "bed", "to": "pond", "crest": "+8 in""#,
        r#""from": "pond", "to": "low", "crest": "-6 in""#,
        &["called \"low\"", "water is pumped into \"bed\" and finds no way out"],
    ),
    (
        "line back into its own pump's basin",
        r#""to": "bed""#,
        r#""to": «"pond""#,
        &["ends in the basin its pump draws from"],
    ),
    (
        "head that does not fall",
        r#"[["0 gph", "8 ft"], ["1600 gph", "6 ft"], ["3200 gph", "2 ft"]]"#,
        r#"«[["0 gph", "6 ft"], ["1600 gph", "6 ft"], ["3200 gph", "8 ft"]]"#,
        &["pump curve", "head must fall"],
    ),
    (
        "flow that does not rise",
        r#"[["0 gph", "8 ft"], ["1600 gph", "6 ft"], ["3200 gph", "2 ft"]]"#,
        r#"«[["0 gph", "8 ft"], ["1600 gph", "6 ft"], ["1500 gph", "2 ft"]]"#,
        &["pump curve", "flow must rise"],
    ),
    (
        "curve of one point",
        r#"[["0 gph", "8 ft"], ["1600 gph", "6 ft"], ["3200 gph", "2 ft"]]"#,
        r#"«[["0 gph", "8 ft"]]"#,
        &["1 item", "2"],
    ),
    (
        "crest below the pond",
        r#""crest": "+8 in""#,
        r#""crest": «"-9 in""#,
        &["crest", "below the still water it falls into"],
    ),
    (
        "floor above the rim",
        r#""floor": "-3 ft""#,
        r#""floor": «"+3 ft""#,
        &["the floor of `pond` lies above its rim"],
    ),
    (
        "wrong version of the format",
        r#""bywash plan 1""#,
        r#"«"bywash plan 9""#,
        &["bywash plan 9", "bywash plan 1"],
    ),
    (
        "no format",
        "\"format\": \"bywash plan 1\",\n",
        "\n",
        &["`format`", "plan.jsonc:1:1"],
    ),
    (
        "date that is not in the calendar",
        r#""basins": {"#,
        r#""project": { "date": «"2026-02-30" }, "basins": {"#,
        &["2026-02-30"],
    ),
    (
        "long key in a long line",
        r#""length": "30 ft""#,
        concat!(
            r#"«"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"#,
            r#"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa": "30 ft""#
        ),
        &["unknown key", "known here"],
    ),
    (
        "turned direction of writing",
        r#""to": "bed""#,
        "\"to\": \"«\u{202e}deb\"",
        &["U+202E"],
    ),
];

#[test]
fn the_plan_that_cases_change_can_be_reviewed() {
    let run = review_bytes(SOUND.as_bytes());
    assert!(matches!(run.code, Some(0 | 1)), "{}", run.err);
    assert!(!run.out.is_empty() && run.err.is_empty(), "{}", run.err);
}

#[test]
fn a_bad_value_is_told_with_its_place_and_what_is_accepted() {
    let failures: Vec<_> = CASES
        .iter()
        .filter_map(|(name, passage, replacement, says)| {
            let (text, place) = changed(passage, replacement);
            let place = place.map(|place| format!("{PLAN}:{place}"));
            let says: Vec<&str> = says.iter().copied().chain(place.as_deref()).collect();
            hold(name, &review_bytes(text.as_bytes()), &says)
        })
        .collect();
    assert_none(&failures);
}

#[test]
fn a_key_given_twice_is_told_with_both_places() {
    let again = r#""length": "30 ft", «"length": "31 ft""#;
    let (text, second) = changed(r#""length": "30 ft""#, again);
    let (_, first) = changed(r#""length": "30 ft""#, &format!("«{}", again.replace('«', "")));
    let places = [first, second].map(|place| format!("{PLAN}:{}", place.unwrap()));
    let says = ["the key `length` is given twice", &places[0], &places[1]];
    assert_none(&Vec::from_iter(hold("twice", &review_bytes(text.as_bytes()), &says)));
}

#[test]
fn several_faults_are_told_at_once_in_the_order_of_the_text() {
    let replaced = SOUND
        .replace(r#""rim": "0 in""#, r#""rim": "0 gph""#)
        .replace(r#""length": "30 ft""#, r#""lenght": "30 ft""#)
        .replace(r#""width": "24 in""#, r#""width": 24"#);
    let run = review_bytes(replaced.as_bytes());
    let says = ["`0 gph` is a flow", "unknown key `lenght`", "24", "3 things to put right"];
    assert_none(&Vec::from_iter(hold("several of the schema", &run, &says)));
    let at = |words: &str| run.told().find(words).unwrap();
    assert!(at("`0 gph`") < at("`lenght`"));

    let dangling = SOUND
        .replace(r#""to": "bed""#, r#""to": "bad""#)
        .replace(r#""90 elbow""#, r#""90 elbo""#)
        .replace(r#""crest": "+8 in""#, r#""crest": "-9 in""#);
    let says = ["\"bad\"", "90 elbo", "crest", "3 things to put right"];
    assert_none(&Vec::from_iter(hold(
        "several of sense",
        &review_bytes(dangling.as_bytes()),
        &says,
    )));
}

#[test]
fn runs_that_follow_each_other_in_a_circle_are_told() {
    let circle = r#""length": "30 ft", "after": «"b" }, "b": { "after": "riser", "length": "1 ft""#;
    let (text, place) = changed(r#""length": "30 ft""#, circle);
    // What followed the length in the sound plan belongs to the second run now.
    let place = format!("{PLAN}:{}", place.unwrap());
    let says = ["in a circle", place.as_str()];
    assert_none(&Vec::from_iter(hold("circle", &review_bytes(text.as_bytes()), &says)));
}

#[test]
fn a_basin_that_is_fed_and_has_no_fall_is_told_where_falls_are_shown() {
    let (text, place) = marked(
        &SOUND
            .replace(r#""bed": {"#, r#""far": { "kind": "pool" }, "bed": {"#)
            .replace(r#""to": "bed""#, r#""to": «"far""#),
    );
    let place = format!("{PLAN}:{}", place.unwrap());
    let says = ["water is pumped into \"far\" and finds no way out", place.as_str()];
    assert_none(&Vec::from_iter(hold("no way", &review_bytes(text.as_bytes()), &says)));
}

#[test]
fn keys_of_the_users_own_and_a_byte_order_mark_pass() {
    let (own, _) = changed(
        r#""length": "30 ft""#,
        r#""length": "30 ft", "x-crew": { "length": 3, "still": [null] }"#,
    );
    for text in [own, format!("\u{feff}{SOUND}"), SOUND.replace('\n', "\r\n")] {
        let run = review_bytes(text.as_bytes());
        assert!(matches!(run.code, Some(0 | 1)), "{}", run.err);
        assert!(run.err.is_empty(), "{}", run.err);
    }
}
