//! The search for the step of a drift at which the first rule gives way.

use super::model::{Drift, Until};
use crate::{
    hydraulics::Scenario,
    quantity::{INCH, UnitSystem, feet_inches},
    read::Place,
    review::{
        ReviewContext, Value,
        trial::{SeriousRules, ValueChange, is_serious, is_short, margin_of, scenarios_behind},
    },
    rules::{Card, Judged, RuleOutcome, Severity},
};

/// Steps in which drifts of a level are followed: 1/8 in or 1 mm.
const EIGHTH: f64 = INCH / 8.0;
const MILLIMETRE: f64 = 0.001;
/// How many steps they are followed: 4 in or 100 mm.
const STEPS_US: usize = 32;
const STEPS_SI: usize = 100;
/// Times that another rule may turn out to give way earlier, at most.
const TRIES: usize = 24;
/// Tries after which the place is halved instead of guessed by a straight line.
const GUESSES: usize = 4;

/// What drifts: values of the plan that move together.
pub(super) struct Drifting<'v> {
    /// The place that it is named by.
    pub at: &'v Place,
    /// The size of a step, in SI.
    pub step: f64,
    /// How many steps it is followed.
    pub steps: usize,
    /// The values where it stands off by so much, in SI.
    pub changes: &'v dyn Fn(f64) -> Vec<ValueChange>,
}

/// How many steps something may drift, and where what gives way then was seen to.
pub(super) type Side<'a> = (usize, Option<(usize, Fault<'a>)>);

pub(super) fn level_step(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => EIGHTH,
        UnitSystem::Si => MILLIMETRE,
    }
}

pub(super) fn level_steps(units: UnitSystem) -> usize {
    match units {
        UnitSystem::Us => STEPS_US,
        UnitSystem::Si => STEPS_SI,
    }
}

/// The search for tolerances of one plan.
pub(super) struct DriftSearch<'a> {
    pub context: &'a ReviewContext<'a>,
    pub serious: &'a SeriousRules<'a>,
}

/// What gives way.
pub(super) enum Fault<'a> {
    /// A rule at an object, and how far it is from its limit where that is measured.
    Rule {
        card: &'a Card,
        object: Place,
        severity: Severity,
        margin: Option<f64>,
    },
    /// The plan can't be so.
    Unsound,
}

impl<'a> DriftSearch<'a> {
    /// How many steps something may drift in one direction.
    pub fn side(&self, drifting: &Drifting<'_>, toward: f64) -> Side<'a> {
        let step = toward * drifting.step;
        let Some(mut fault) = self.fault(drifting, step * drifting.steps as f64) else {
            return (drifting.steps, None);
        };
        let mut outside = drifting.steps;
        let mut inside = 0;
        // The most steps at which the whole review was no worse.
        let mut sound = 0;
        for _ in 0..TRIES {
            if sound == 0
                && let Some(guess) = self.guess(&fault, outside)
            {
                match self.fault(drifting, step * guess as f64) {
                    Some(earlier) => {
                        (fault, outside) = (earlier, guess);
                        continue;
                    }
                    None => sound = guess,
                }
            }
            (inside, outside) = self.closed_in(drifting, step, &fault, (sound, outside));
            if inside == sound {
                break;
            }
            // Another rule may give way before this one.
            match self.fault(drifting, step * inside as f64) {
                Some(earlier) => (fault, outside) = (earlier, inside),
                None => break,
            }
            inside = sound;
        }
        (inside, Some((outside, fault)))
    }

    /// The step up to which what gives way at `outside` holds by a straight line; none where nothing is measured, or where it is
    /// the plan as it is.
    fn guess(&self, fault: &Fault<'a>, outside: usize) -> Option<usize> {
        let Fault::Rule {
            card, object, margin, ..
        } = fault
        else {
            return None;
        };
        let now = margin_of(&self.judged_as(card, object)?.outcome)?;
        let guess = ahead(outside, now, (*margin)?);
        (1..outside).contains(&guess).then_some(guess)
    }

    /// The same of values that no rule rests on: they may still contradict others.
    pub fn unread_side(&self, drifting: &Drifting<'_>, toward: f64) -> Side<'a> {
        let sound = |steps: usize| {
            let by = toward * drifting.step * steps as f64;
            self.context.start().is_sound_with(&(drifting.changes)(by))
        };
        if sound(drifting.steps) {
            return (drifting.steps, None);
        }
        let (mut inside, mut outside) = (0, drifting.steps);
        while outside - inside > 1 {
            let middle = usize::midpoint(inside, outside);
            if sound(middle) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        (inside, Some((outside, Fault::Unsound)))
    }

    /// The most steps at which what gives way at `outside` still holds, and the least at which it was seen not to, from one at
    /// which it holds.
    fn closed_in(
        &self,
        drifting: &Drifting<'_>,
        step: f64,
        fault: &Fault<'a>,
        (sound, mut outside): (usize, usize),
    ) -> (usize, usize) {
        let known = match fault {
            Fault::Rule { card, object, .. } => self.judged_as(card, object),
            Fault::Unsound => None,
        };
        let scenarios = match fault {
            Fault::Rule { .. } => known.map(|judged| scenarios_behind(self.context.ledger, judged)),
            Fault::Unsound => Some(Vec::new()),
        };
        // Margins at both ends, the one that has stood twice halved: regula falsi with the Illinois rule.
        let mut margins = match fault {
            Fault::Rule { margin, .. } => known.and_then(|now| margin_of(&now.outcome)).zip(*margin),
            Fault::Unsound => None,
        };
        let mut inside = sound;
        let mut tries = 0;
        while outside - inside > 1 {
            let ahead = match margins.filter(|_| tries < GUESSES) {
                // A step that was guessed is the last one that holds, most often.
                _ if sound > 0 && tries == 0 => 1,
                Some((met, short)) => ahead(outside - inside, met, short),
                None => (outside - inside) / 2,
            };
            let next = (inside + ahead).clamp(inside + 1, outside - 1);
            let (held, margin) = self.holds(drifting, step * next as f64, fault, scenarios.as_deref());
            margins = margins.zip(margin).map(|((met, short), margin)| {
                if held {
                    (margin, short / 2.0)
                } else {
                    (met / 2.0, margin)
                }
            });
            if held {
                inside = next;
            } else {
                outside = next;
            }
            tries += 1;
        }
        (inside, outside)
    }

    /// Whether what gives way further on still holds at a drift, and its margin.
    fn holds(
        &self,
        drifting: &Drifting<'_>,
        by: f64,
        fault: &Fault<'a>,
        only: Option<&[Scenario]>,
    ) -> (bool, Option<f64>) {
        let changes = (drifting.changes)(by);
        let (card, object) = match fault {
            Fault::Unsound => return (self.context.start().is_sound_with(&changes), None),
            Fault::Rule { card, object, .. } => (card, object),
        };
        let Some(trial) = self.context.start().changed(&changes, only) else {
            return (false, None);
        };
        let judged = trial.judged(std::slice::from_ref(*card));
        match judged.into_iter().find(|judged| judged.object == *object) {
            // Other scenarios are needed than at first: all are followed.
            Some(judged) if only.is_some() && matches!(judged.outcome, RuleOutcome::NotComputed(_)) => {
                self.holds(drifting, by, fault, None)
            }
            Some(judged) => (!is_serious(&judged), margin_of(&judged.outcome)),
            None => (true, None),
        }
    }

    /// The first new fault of the whole review at a drift: the one that, by a straight line, gave way earliest.
    fn fault(&self, drifting: &Drifting<'_>, by: f64) -> Option<Fault<'a>> {
        let Some(tried) = self.serious.tried(&self.context.start(), &(drifting.changes)(by)) else {
            return Some(Fault::Unsound);
        };
        let new = tried.into_iter();
        let new = new.filter(|judged| is_short(judged) && !self.serious.was_short(judged));
        let faults = new.map(|judged| {
            let now = self.judged_as(judged.card, &judged.object);
            let met = now.and_then(|now| margin_of(&now.outcome));
            let margin = margin_of(&judged.outcome);
            let share = met.zip(margin).map_or(0.5, |(met, short)| met / (met - short));
            let fault = Fault::Rule {
                card: judged.card,
                object: judged.object,
                severity: judged.severity,
                margin,
            };
            (share, fault)
        });
        faults
            .min_by(|(a, _), (b, _)| a.total_cmp(b))
            .map(|(_, fault)| fault)
    }

    /// How a rule came out at an object before anything drifted.
    fn judged_as(&self, card: &Card, object: &Place) -> Option<&'a Judged<'a>> {
        let same = |judged: &&Judged<'_>| judged.card.id == card.id && judged.object == *object;
        self.serious.judged.iter().find(same)
    }

    pub fn drift(
        &self,
        (inside, until): Side<'_>,
        drifting: &Drifting<'_>,
        shown: &dyn Fn(f64) -> String,
    ) -> Drift {
        let until = until.map(|(outside, fault)| {
            let seen_at = drifting.step * outside as f64;
            match fault {
                Fault::Rule {
                    card,
                    object,
                    severity,
                    ..
                } => Until {
                    seen_at,
                    rule: Some(card.id.clone()),
                    severity,
                    title: card.title.clone(),
                    object_name: self.context.name(&object),
                },
                Fault::Unsound => Until {
                    seen_at,
                    rule: None,
                    severity: Severity::Revise,
                    title: "the plan contradicts itself".to_owned(),
                    object_name: self.context.name(drifting.at),
                },
            }
        });
        let by = drifting.step * inside as f64;
        Drift {
            by: Value {
                text: shown(by),
                si: Some(by),
            },
            until,
        }
    }
}

/// How many of so many steps a margin takes to be used up, by a straight line from where it is met to where it falls short.
fn ahead(steps: usize, met: f64, short: f64) -> usize {
    // What meets its limit at a step meets it but for rounding.
    (steps as f64 * (met / (met - short)) + 1e-6).floor() as usize
}

pub(super) fn shown_level_drift(by: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => feet_inches(by),
        UnitSystem::Si => format!("{:.0} mm", by * 1000.0),
    }
}
