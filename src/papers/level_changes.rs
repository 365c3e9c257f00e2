//! What the values of a plan become where its marks stand off: the step from shots to a plan as built.

use std::collections::HashMap;

use crate::{
    papers::marks::{Mark, Target},
    plan::{Fall, Given, Measure, Plan, Shown},
    quantity::{INCH, Kind, UnitSystem},
    read::{Place, Value},
    review::ValueChange,
};

/// Water this near a basin's lowest crest stands at that crest, m.
const AT_CREST: f64 = INCH / 2.0;

/// A value of the plan as it is built, in m.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BuiltValue {
    pub place: Place,
    pub metres: f64,
}

impl BuiltValue {
    /// The change that sets it, as it is written.
    pub fn change(&self, units: UnitSystem) -> ValueChange {
        ValueChange {
            place: self.place.clone(),
            value: Value::Text(self.written(units)),
        }
    }

    /// As a plan in these units writes it: to a hundredth of an inch or a tenth of a millimetre.
    pub fn written(&self, units: UnitSystem) -> String {
        let to = |value: f64, parts: f64| (value * parts).round() / parts;
        match units {
            UnitSystem::Us => format!("{} in", to(self.metres / INCH, 100.0)),
            UnitSystem::Si => format!("{} m", to(self.metres, 10_000.0)),
        }
    }

    /// The change that sets it to the last digit: for drifts, which end where a rule’s limit stands.
    pub fn exact(&self) -> ValueChange {
        ValueChange::quantity(self.place.clone(), self.metres, Kind::Level)
    }
}

/// The values of the plan that change where marks stand off by so much, m upward. A crest takes the mean of its ends, and
/// its tolerance the difference between them; the still water of a basin that spills follows its lowest crest, unless
/// it was shot itself.
pub(super) fn built_values(plan: &Plan, marks: &[Mark], off: &HashMap<&str, f64>) -> Vec<BuiltValue> {
    let mut values = Vec::new();
    let mut set = |place: &Place, metres: f64| {
        values.push(BuiltValue {
            place: place.clone(),
            metres,
        });
    };
    for mark in marks {
        let Some(by) = off.get(mark.id.as_str()) else {
            continue;
        };
        match &mark.target {
            Target::Value(place) => set(place, mark.level - mark.offset + by),
            Target::CrestEnd(_) | Target::Computed => {}
            Target::Height {
                place,
                height,
                from,
                upper,
            } => {
                let rise = by - off.get(from.as_str()).unwrap_or(&0.0);
                set(place, height + if *upper { rise } else { -rise });
            }
        }
    }
    let mut crests: HashMap<&str, f64> = HashMap::new();
    for (id, fall) in &plan.falls {
        let Some(built) = built_crest(fall, off) else {
            continue;
        };
        crests.insert(id, built.level);
        set(&fall.place.child("crest"), built.level);
        let given = fall
            .level_tolerance
            .value()
            .map_or(0.0, |tolerance| tolerance.si());
        if built.out_of_level > given {
            set(&fall.place.child("level_tolerance"), built.out_of_level);
        }
    }
    for (id, basin) in &plan.basins {
        let leaving = || {
            plan.falls
                .iter()
                .filter(|(_, fall)| fall.from.value() == Some(id))
        };
        let lowest = |levels: &mut dyn Iterator<Item = f64>| levels.reduce(f64::min);
        let drawn = lowest(&mut leaving().filter_map(|(_, fall)| Some(fall.crest.value()?.si())));
        let built = lowest(&mut leaving().filter_map(|(fall_id, fall)| {
            let drawn = fall.crest.value()?.si();
            Some(crests.get(fall_id.as_str()).copied().unwrap_or(drawn))
        }));
        let (Some(drawn), Some(built), Shown::Is(still)) = (drawn, built, &basin.still) else {
            continue;
        };
        let was_shot = values.iter().any(|value| value.place == still.place);
        if !was_shot && drawn != built && (still.si() - drawn).abs() <= AT_CREST {
            values.push(BuiltValue {
                place: still.place.clone(),
                metres: still.si() + built - drawn,
            });
        }
    }
    values
}

/// A crest as it was built.
struct BuiltCrest {
    level: f64,
    out_of_level: f64,
}

/// The crest of a fall by the ends that were shot; none where neither was.
fn built_crest(fall: &Given<Fall>, off: &HashMap<&str, f64>) -> Option<BuiltCrest> {
    let crest = fall.crest.given()?;
    let end = |side: &str| {
        let id = super::marks::id_of(&crest.place.child(side));
        off.get(id.as_str()).copied()
    };
    let (by, out_of_level) = match (end("left"), end("right")) {
        (Some(left), Some(right)) => (f64::midpoint(left, right), (left - right).abs()),
        (Some(one), None) | (None, Some(one)) => (one, 0.0),
        (None, None) => return None,
    };
    Some(BuiltCrest {
        level: crest.si() + by,
        out_of_level,
    })
}
