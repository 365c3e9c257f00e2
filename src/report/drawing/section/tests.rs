#![allow(clippy::unwrap_used)]

use std::path::Path;

use proptest::prelude::*;

use super::super::{Drawings, Item, drawings};
use crate::{
    figures,
    plan::Plan,
    read::{Place, Sources, parse},
    review::{Finding, Location, Review, Value},
    rules::Severity,
};

fn plan(text: &str) -> Plan {
    let mut sources = Sources::default();
    let id = sources.add("plan.jsonc", text.to_owned());
    Plan::from_tree(&parse(&sources, id).unwrap()).unwrap()
}
