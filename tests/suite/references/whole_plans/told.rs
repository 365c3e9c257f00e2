//! What the machine form of the review says of a plan under `tests/plans/engines`.

use std::{
    collections::HashMap,
    fs,
    path::{Path, PathBuf},
};

use serde_json::Value;

use crate::program::bywash;

/// A review in its machine form.
pub struct Told(Value);

/// The file of a plan by its name.
fn file_of(plan: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/plans/engines");
    folder.join(plan).with_extension("jsonc")
}

/// The text of a plan by its name.
pub fn text_of(plan: &str) -> String {
    fs::read_to_string(file_of(plan)).unwrap()
}

/// The review of a plan by its name, with values set first: `/basins/pond/rim=-0.1 m`; with combined cases by
/// `--case=NAME+NAME`.
pub fn review(plan: &str, changes: &[&str]) -> Told {
    let file = file_of(plan);
    let mut arguments = vec!["review", file.to_str().unwrap(), "--json", "-"];
    for change in changes {
        if change.starts_with("--") {
            arguments.push(change);
        } else {
            arguments.extend(["--set", change]);
        }
    }
    let ran = bywash(&arguments);
    Told(serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{plan}: {}", ran.err)))
}

/// Reviews of plans as they stand, each made once.
#[derive(Default)]
pub struct Reviews(HashMap<String, Told>);

impl Reviews {
    pub fn of(&mut self, plan: &str) -> &Told {
        self.0.entry(plan.to_owned()).or_insert_with(|| review(plan, &[]))
    }
}

impl Told {
    /// A case by its name.
    pub fn case(&self, name: &str) -> Case<'_> {
        self.listed("cases", name)
    }

    /// A combination that was asked for.
    pub fn asked(&self, name: &str) -> Case<'_> {
        self.listed("asked", name)
    }

    fn listed(&self, list: &str, name: &str) -> Case<'_> {
        let cases = self.0["cases"][list].as_array().unwrap();
        let case = cases.iter().find(|case| case["name"] == name);
        let case = case.unwrap_or_else(|| panic!("no case {name}"));
        assert!(case["gap"].is_null(), "{name}: {}", case["gap"]);
        Case(case)
    }
}

/// A case of a review.
pub struct Case<'t>(&'t Value);

impl Case<'_> {
    /// A level of a basin, m: `highest`, `lowest` or `end`.
    pub fn level(&self, basin: &str, which: &str) -> f64 {
        let at = format!("/basins/{basin}");
        si(&self.member("basins", &at)[which]).unwrap()
    }

    /// Water moved through an end of a line, m³, and how long it ran, s.
    pub fn siphoned(&self, line: &str, run: &str) -> (f64, f64) {
        let siphon = self.member("siphons", &format!("/lines/{line}/runs/{run}"));
        (si(&siphon["volume"]).unwrap(), si(&siphon["duration"]).unwrap())
    }

    /// Water that left a basin for good, m³; `by` is a part of how, such as `rim`.
    pub fn lost(&self, basin: &str, by: &str) -> f64 {
        let lost = self.0["lost"].as_array().unwrap().iter();
        let at = format!("/basins/{basin}");
        let here = lost.filter(|lost| lost["object"] == at && lost["by"].as_str().unwrap().contains(by));
        here.map(|lost| si(&lost["volume"]).unwrap()).sum()
    }

    fn member(&self, of: &str, at: &str) -> &Value {
        let all = self.0[of].as_array().unwrap();
        all.iter()
            .find(|member| member["object"] == at)
            .unwrap_or_else(|| panic!("nothing of {at} in {}", self.0[of]))
    }
}

fn si(value: &Value) -> Option<f64> {
    value["si"].as_f64()
}
