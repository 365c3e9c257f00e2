//! Judging: a card held against every object it looks at.

use crate::{
    ledger::{Found, Gap, Ledger},
    quantity::{Kind, Quantity},
    read::{Node, Place, Value},
    rules::{
        bound::{Bound, Limit, Side},
        card::{Card, Severity, Test},
        subject::{Fact, Subject, fact, objects, place_of},
    },
};

/// A rule at an object, and how it came out.
#[derive(Clone, Debug)]
pub struct Judged<'c> {
    /// The rule.
    pub card: &'c Card,
    /// The object.
    pub object: Place,
    /// How bad it is there when it falls short.
    pub severity: Severity,
    /// How it came out.
    pub outcome: RuleOutcome,
}

/// How a rule came out at an object.
#[derive(Clone, Debug)]
pub enum RuleOutcome {
    /// Met.
    Meets(Standing),
    /// Falls short.
    FallsShort(Shortfall),
    /// These values are left out of the plan.
    NotShown(Vec<Place>),
    /// Shown, but not to be computed, for this reason.
    NotComputed(String),
    /// Does not apply.
    DoesNotApply,
}

/// How a value stands against what is required.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// A measured value and the limit it is nearest to, or over.
    Measured {
        /// In SI.
        found: f64,
        /// In SI; of a limit that is stated in two systems the looser.
        limit: f64,
        /// In SI, as stated in US units and as stated in metric ones.
        stated: (f64, f64),
        /// Which side of the limit counts.
        side: Side,
        /// What is measured.
        kind: Kind,
    },
    /// Something said.
    Said {
        /// What was found.
        found: String,
        /// What is required.
        required: String,
    },
}

/// A rule that falls short, and where to look.
#[derive(Clone, Debug)]
pub struct Shortfall {
    /// How the value stands.
    pub standing: Standing,
    /// The value of the plan to look at.
    pub place: Place,
}

/// Judges every card over a plan, object by object, in the cards' and the plan's order.
pub fn judge<'c>(cards: impl IntoIterator<Item = &'c Card>, plan: &Node, ledger: &Ledger) -> Vec<Judged<'c>> {
    let mut judged = Vec::new();
    for card in cards {
        let objects = objects(plan, card.looks_at);
        for place in objects.missing {
            judged.push(Judged {
                card,
                object: place.clone(),
                severity: card.severity,
                outcome: RuleOutcome::NotShown(vec![place]),
            });
        }
        for object in objects.found {
            let bench = Bench {
                plan,
                ledger,
                object: &object,
            };
            let (outcome, severity) = (bench.outcome(card), bench.severity(card));
            judged.push(Judged {
                card,
                object,
                severity,
                outcome,
            });
        }
    }
    judged
}

/// How a test came out.
enum Held {
    Yes(Standing),
    No(Standing, Option<Place>),
    NotShown(Vec<Place>),
    NotComputed(String),
    DoesNotApply,
}

/// One object, its plan and its figures.
struct Bench<'a> {
    plan: &'a Node,
    ledger: &'a Ledger,
    object: &'a Place,
}

impl Bench<'_> {
    /// What the fault costs there: a suggestion counts as a revision where all that the card names for it holds.
    fn severity(&self, card: &Card) -> Severity {
        let graver = !card.revise_when.is_empty()
            && card
                .revise_when
                .iter()
                .all(|condition| matches!(self.hold(condition), Held::Yes(_)));
        if graver {
            card.severity.min(Severity::Revise)
        } else {
            card.severity
        }
    }

    /// A condition that fails, or a subject that does not arise, settles it whatever else is left out.
    fn outcome(&self, card: &Card) -> RuleOutcome {
        let (mut missing, mut uncomputed) = (Vec::new(), None);
        for condition in &card.when {
            match self.hold(condition) {
                Held::Yes(_) => {}
                Held::No(..) | Held::DoesNotApply => return RuleOutcome::DoesNotApply,
                Held::NotShown(places) => missing.extend(places),
                Held::NotComputed(why) => uncomputed = Some(why),
            }
        }
        let held = self.hold(&card.asks);
        match (held, uncomputed) {
            (Held::DoesNotApply, _) => RuleOutcome::DoesNotApply,
            _ if !missing.is_empty() => RuleOutcome::NotShown(missing),
            (_, Some(why)) | (Held::NotComputed(why), None) => RuleOutcome::NotComputed(why),
            (Held::Yes(standing), None) => RuleOutcome::Meets(standing),
            (Held::NotShown(places), None) => RuleOutcome::NotShown(places),
            (Held::No(standing, at), None) => RuleOutcome::FallsShort(Shortfall {
                standing,
                place: self.pointed(card, at),
            }),
        }
    }

    /// The value to look at: the part that a yes-or-no figure names, the one the card names, the field itself, or
    /// the first value that the figure rests on.
    fn pointed(&self, card: &Card, at: Option<Place>) -> Place {
        if let Some(place) = at {
            return place;
        }
        match (&card.point_at, &card.asks.subject) {
            (Some(path), _) | (None, Subject::Field { path, .. }) => place_of(self.object, path),
            (None, Subject::Figure(definition)) => {
                let figure = self.ledger.get(self.object, definition.name);
                let first = figure.and_then(|figure| self.ledger.roots(figure).into_iter().next());
                first.unwrap_or_else(|| self.object.clone())
            }
        }
    }

    fn hold(&self, test: &Test) -> Held {
        match &test.subject {
            Subject::Field { path, .. } => self.hold_field(path, test),
            Subject::Figure(definition) => match self.ledger.get(self.object, definition.name) {
                None => Held::DoesNotApply,
                Some(figure) => match &figure.answer {
                    Ok(Found::Quantity(si) | Found::Stated { us: si, .. }) => {
                        self.hold_number(*si, &test.bound)
                    }
                    Ok(Found::Verdict { holds, because, at }) => {
                        let wanted = !matches!(test.bound, Bound::Is(false));
                        said(*holds == wanted, because.clone(), required_of(test), at.clone())
                    }
                    Err(gap) => gap.into(),
                },
            },
        }
    }

    fn hold_field(&self, path: &str, test: &Test) -> Held {
        let bound = &test.bound;
        let required = || required_of(test);
        let (node, place) = match fact(self.plan, self.object, path) {
            Fact::NotShown(place) => return Held::NotShown(vec![place]),
            Fact::None(place) => {
                let no = self
                    .plan
                    .at(&place)
                    .is_some_and(|node| node.value == Value::Bool(false));
                return says_none(bound, place, no, required());
            }
            Fact::Is(node, place) => (node, place),
        };
        match bound {
            Bound::Shown => said(true, "shown".to_owned(), required(), None),
            Bound::Is(wanted) => {
                let yes = node.value == Value::Bool(true);
                let found = if yes { "yes" } else { "shown" };
                said(*wanted, found.to_owned(), required(), Some(place))
            }
            Bound::OneOf(words) => {
                let found = node.text().unwrap_or(if node.value == Value::Bool(true) {
                    "yes"
                } else {
                    "another kind of value"
                });
                said(
                    words.iter().any(|word| word == found),
                    found.to_owned(),
                    one_of(words),
                    Some(place),
                )
            }
            Bound::AtLeast(_, kind)
            | Bound::MoreThan(_, kind)
            | Bound::AtMost(_, kind)
            | Bound::Between(_, _, kind) => match number(node, *kind) {
                Some(si) => self.hold_number(si, bound),
                None => Held::NotComputed("the value is not a quantity".to_owned()),
            },
        }
    }

    fn hold_number(&self, found: f64, bound: &Bound) -> Held {
        let sides: Vec<(Side, &Limit, Kind)> = match bound {
            Bound::AtLeast(limit, kind) => vec![(Side::AtLeast, limit, *kind)],
            Bound::MoreThan(limit, _) => return self.hold_over(found, limit, bound),
            Bound::AtMost(limit, kind) => vec![(Side::AtMost, limit, *kind)],
            Bound::Between(low, high, kind) => vec![(Side::AtLeast, low, *kind), (Side::AtMost, high, *kind)],
            _ => return Held::NotComputed("a quantity where a word was due".to_owned()),
        };
        let mut nearest: Option<Standing> = None;
        let mut least = f64::INFINITY;
        for (side, limit, kind) in sides {
            let stated = match self.limit(limit) {
                Ok(stated) => stated,
                Err(gap) => return (&gap).into(),
            };
            let limit = side.looser(stated.0, stated.1);
            let standing = Standing::Measured {
                found,
                limit,
                stated,
                side,
                kind,
            };
            if !side.met(found, limit) {
                return Held::No(standing, None);
            }
            if side.margin(found, limit) < least {
                least = side.margin(found, limit);
                nearest = Some(standing);
            }
        }
        nearest.map_or(Held::DoesNotApply, Held::Yes)
    }

    /// A value at the limit is not over it.
    fn hold_over(&self, found: f64, limit: &Limit, bound: &Bound) -> Held {
        match self.limit(limit) {
            Ok((us, si)) => said(
                !Side::AtMost.met(found, Side::AtMost.looser(us, si)),
                String::new(),
                bound.to_string(),
                None,
            ),
            Err(gap) => (&gap).into(),
        }
    }

    /// The limit as stated in US units and as stated in metric ones, in SI.
    fn limit(&self, limit: &Limit) -> Result<(f64, f64), Gap> {
        match limit {
            Limit::Fixed { si, metric, .. } => Ok((*si, *metric)),
            Limit::Figure { definition, times } => match self.ledger.get(self.object, definition.name) {
                None => Err(Gap::DoesNotApply(String::new())),
                Some(figure) => match &figure.answer {
                    Ok(Found::Quantity(si)) => Ok((si * times, si * times)),
                    Ok(Found::Stated { us, metric }) => Ok((us * times, metric * times)),
                    Ok(Found::Verdict { .. }) => {
                        Err(Gap::NotComputed("the limit is not a quantity".to_owned()))
                    }
                    Err(gap) => Err(gap.clone()),
                },
            },
        }
    }
}

impl From<&Gap> for Held {
    fn from(gap: &Gap) -> Self {
        match gap {
            Gap::NotShown(places) => Self::NotShown(places.clone()),
            Gap::NotComputed(why) => Self::NotComputed(why.clone()),
            Gap::DoesNotApply(_) => Self::DoesNotApply,
        }
    }
}

/// What a plan that says no, or that there is none, comes to: it fails what must be there, and has nothing to measure.
fn says_none(bound: &Bound, place: Place, no: bool, required: String) -> Held {
    let found = if no { "no" } else { "none" }.to_owned();
    match bound {
        Bound::Is(false) => said(true, found, required, None),
        Bound::Is(true) | Bound::Shown => said(false, found, required, Some(place)),
        Bound::OneOf(words) => said(false, found, one_of(words), Some(place)),
        Bound::AtLeast(..) | Bound::MoreThan(..) | Bound::AtMost(..) | Bound::Between(..) => {
            Held::DoesNotApply
        }
    }
}

/// What a yes-or-no test requires, in words: what its title says, or none of it.
fn required_of(test: &Test) -> String {
    let title = test.subject.title();
    match test.bound {
        Bound::Is(false) => format!("no {title}"),
        _ => title.to_owned(),
    }
}

fn said(holds: bool, found: String, required: String, at: Option<Place>) -> Held {
    let standing = Standing::Said { found, required };
    if holds {
        Held::Yes(standing)
    } else {
        Held::No(standing, at)
    }
}

fn one_of(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// A quantity of a kind, or a plain number.
fn number(node: &Node, kind: Kind) -> Option<f64> {
    match &node.value {
        Value::Text(text) => Quantity::parse(text, kind).ok().map(|quantity| quantity.si),
        Value::Number(raw) => raw.parse().ok(),
        _ => None,
    }
}
