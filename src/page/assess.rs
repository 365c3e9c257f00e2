//! What becomes of a plan's text: its tree, what is wrong with it, its review and drawings.

use std::{borrow::Cow, collections::BTreeSet, rc::Rc};

use super::mark::Mark;
use crate::{
    check::SchemaBook,
    engine::{Engine, Opened, ReviewOptions},
    hydraulics,
    quantity::UnitSystem,
    read::{Node, Place, Problem, SourceId, Value, parse},
    report::drawing::{LiveDrawings, Scene, live, pump_curves},
    review::{Cure, Review, ReviewContext},
    rules::Library,
};

/// What became of a text.
#[derive(Clone, Debug)]
pub struct Assessed {
    /// The text.
    pub text: Rc<str>,
    /// Its tree; none where it is not JSON.
    pub tree: Option<Rc<Node>>,
    /// What keeps it from being reviewed.
    pub problems: Rc<Vec<Misfit>>,
    /// Its review; while something keeps it from being reviewed, the last one there was.
    pub reviewed: Option<Rc<Reviewed>>,
}

/// What is wrong with a text at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// The value, where the text has a tree.
    pub at: Option<Place>,
    /// Line and column from 1, where it is at one.
    pub line: Option<(usize, usize)>,
    /// What is wrong, as the command line says it.
    pub words: String,
    /// What is accepted.
    pub help: Option<String>,
}

/// A plan that was reviewed.
pub struct Reviewed {
    /// Its review.
    pub review: Review,
    /// Its drawings.
    pub drawings: LiveDrawings,
    /// The plan.
    pub opened: Opened,
    /// Where its text is kept.
    slot: usize,
}

impl std::fmt::Debug for Reviewed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Reviewed")
            .field("counts", &self.review.counts)
            .finish_non_exhaustive()
    }
}

/// The levels of every basin in a case, in time.
#[derive(Clone, Debug, Default)]
pub struct CaseLevels {
    /// What the case supposes.
    pub supposes: String,
    /// Basins, each with its instants, s, and its levels then, m.
    pub basins: Vec<(Place, Vec<(f64, f64)>)>,
    /// Whether it could not be simulated.
    pub gap: bool,
}

/// The engine, kept between edits, with room for two texts: the present one and the last that could be reviewed.
pub struct Desk {
    engine: Engine,
    slots: [SourceId; 2],
}

impl Desk {
    /// The engine over the embedded rules.
    ///
    /// # Errors
    /// Rules that can't be read, in words.
    pub fn new() -> Result<Self, String> {
        let (mut engine, loaded) = Engine::new();
        loaded.map_err(|problems| {
            let words: Vec<String> = problems.into_iter().map(|problem| problem.message).collect();
            words.join("; ")
        })?;
        let slots = ["", ""].map(|text| engine.sources.add("plan", text));
        Ok(Self { engine, slots })
    }

    /// The schema as a book.
    pub fn book(&self) -> &SchemaBook {
        self.engine.book()
    }

    /// Reads and reviews a text. `before` is what became of the text before it.
    pub fn assess(&mut self, name: &str, text: &Rc<str>, before: Option<&Assessed>) -> Assessed {
        let last = before.and_then(|before| before.reviewed.clone());
        let slot = last.as_ref().map_or(0, |last| 1 - last.slot);
        let source = self.slots[slot];
        self.engine.sources.replace(source, name, &**text);
        let memo = last.as_ref().map(|last| last.opened.memo.carried());
        let opened = match self
            .engine
            .open_after(source, Vec::new(), memo.unwrap_or_default())
        {
            Ok(opened) => opened,
            Err(problems) => {
                let tree = parse(&self.engine.sources, source).ok().map(Rc::new);
                let told = problems
                    .into_iter()
                    .map(|problem| self.misfit(tree.as_deref(), problem));
                return Assessed {
                    text: text.clone(),
                    problems: Rc::new(told.collect()),
                    tree,
                    reviewed: last,
                };
            }
        };
        let review = self.engine.review_for_screen(&opened, QUICK);
        let drawings = live(&opened.plan, &opened.ledger, &review);
        Assessed {
            text: text.clone(),
            tree: Some(Rc::new(opened.tree.root.clone())),
            problems: Rc::default(),
            reviewed: Some(Rc::new(Reviewed {
                review,
                drawings,
                opened,
                slot,
            })),
        }
    }

    fn misfit(&self, tree: Option<&Node>, problem: Problem) -> Misfit {
        let span = problem.at.as_ref().map(|(span, _)| *span);
        let words = match problem.at {
            Some((_, label)) if !label.is_empty() && !problem.message.contains(&label) => {
                format!("{}: {label}", problem.message)
            }
            _ => problem.message,
        };
        Misfit {
            at: tree
                .zip(span)
                .map(|(tree, span)| place_at(tree, span.start, Place::root())),
            line: span.map(|span| self.engine.sources.line_column(span)),
            words,
            help: problem.help,
        }
    }

    /// The review with all that a report prints: cures in numbers, and levels in every case.
    pub fn whole_review(&self, reviewed: &Reviewed) -> Review {
        let options = ReviewOptions {
            cures: true,
            cases: true,
            in_depth: true,
            ..QUICK
        };
        self.engine.review(&reviewed.opened, options)
    }

    /// The review with cures in numbers, as it is printed from the page.
    pub(super) fn review_with_cures(&self, reviewed: &Reviewed) -> Review {
        let options = ReviewOptions { cures: true, ..QUICK };
        self.engine.review(&reviewed.opened, options)
    }

    /// The review with its lists of figures, from which papers for the site take their amounts.
    pub(super) fn review_with_figures(&self, reviewed: &Reviewed) -> Review {
        self.engine.review(&reviewed.opened, QUICK)
    }

    /// A plan laid out for review.
    pub(super) fn context<'a>(&'a self, reviewed: &'a Reviewed) -> ReviewContext<'a> {
        self.engine.context(&reviewed.opened, QUICK)
    }

    /// The rules as they read for a plan's work.
    pub(super) fn library(&self, reviewed: &Reviewed) -> Cow<'_, Library> {
        self.engine.rules_for(&reviewed.opened)
    }

    /// Each pump whose curve is shown, with what the system asks of it.
    pub(super) fn curves(reviewed: &Reviewed) -> Vec<Scene> {
        pump_curves(&reviewed.opened.plan, &reviewed.opened.ledger, reviewed.units())
    }

    /// The cures in numbers of a finding.
    pub fn cures(&self, reviewed: &Reviewed, rule: &str, object: &Place) -> Vec<Cure> {
        crate::review::cures_of(&self.context(reviewed), &self.library(reviewed), rule, object)
    }

    /// The levels of a case in time.
    pub fn case(reviewed: &Reviewed, name: &str) -> CaseLevels {
        let opened = &reviewed.opened;
        let runs = hydraulics::run_scenarios(&opened.plan, &opened.outcomes, &[]);
        let Some(run) = runs.single.into_iter().find(|run| run.name == name) else {
            return CaseLevels::default();
        };
        let outcome = run.outcome.as_ref().ok();
        let basins = outcome.into_iter().flat_map(|outcome| &outcome.basins);
        CaseLevels {
            supposes: run.supposes,
            gap: outcome.is_none(),
            basins: basins
                .map(|basin| (basin.at.clone(), basin.series.clone()))
                .collect(),
        }
    }
}

/// Without what takes several times as long as all else.
const QUICK: ReviewOptions = ReviewOptions {
    units: None,
    date: None,
    cures: false,
    cases: false,
    in_depth: false,
};

impl Assessed {
    /// Whether the review is of this text, not of one before it.
    pub fn is_current(&self) -> bool {
        self.problems.is_empty() && self.reviewed.is_some()
    }

    /// The units the plan is printed in.
    pub fn units(&self) -> UnitSystem {
        self.reviewed.as_ref().map_or_else(
            || {
                let units = Place::from_pointer("/project/units");
                let written = self.tree.as_ref().and_then(|tree| tree.at(&units)?.text());
                if written == Some("SI") {
                    UnitSystem::Si
                } else {
                    UnitSystem::Us
                }
            },
            |reviewed| reviewed.units(),
        )
    }
}

impl Reviewed {
    /// The units it is printed in.
    pub fn units(&self) -> UnitSystem {
        self.review.subject.units
    }

    /// Its findings and questions by what tells them apart.
    pub fn marks(&self) -> BTreeSet<Mark> {
        let findings = self.review.findings.iter().map(|finding| Mark {
            rule: finding.rule.clone(),
            places: [finding.object.clone(), finding.place.clone()],
            words: finding.headline.clone(),
        });
        let questions = self.review.questions.iter().map(|question| Mark {
            rule: String::new(),
            places: [question.place.clone(), question.place.clone()],
            words: question.ask.clone(),
        });
        findings.chain(questions).collect()
    }
}

/// The innermost place whose key or value covers a byte of the text.
fn place_at(node: &Node, byte: usize, here: Place) -> Place {
    let holds = |from: usize, to: usize| (from..to.max(from + 1)).contains(&byte);
    match &node.value {
        Value::Object(members) => {
            for (key, member) in members {
                if holds(member.key.start, member.key.end) {
                    return here.child(key);
                }
                if holds(member.node.span.start, member.node.span.end) {
                    return place_at(&member.node, byte, here.child(key));
                }
            }
        }
        Value::List(items) => {
            for (index, item) in items.iter().enumerate() {
                if holds(item.span.start, item.span.end) {
                    return place_at(item, byte, here.child(&index.to_string()));
                }
            }
        }
        _ => {}
    }
    here
}
