//! The reviewer's engine: schema and rule library laid out once, plans opened and reviewed on it.

mod rule_examples;

use std::borrow::Cow;

pub use rule_examples::{SOUND, Trial};

use crate::{
    check::{Schema, SchemaBook, check},
    figures,
    hydraulics::{Followed, Memo, Outcomes},
    ledger::Ledger,
    plan::{self, Date, Plan, Units, country},
    quantity::UnitSystem,
    read::{Node, Patched, Problem, SourceId, Sources, in_order, parse},
    review::{self, Closing, Review, ReviewContext, Sheet, Tolerance},
    rules::Library,
};

/// The published schemas, by name.
pub const SCHEMAS: [(&str, &str); 6] = [
    ("plan", plan::SCHEMA),
    ("rule", crate::rules::RULE_SCHEMA),
    ("house", crate::rules::HOUSE_SCHEMA),
    ("review", include_str!("../../schema/review.schema.json")),
    ("problems", include_str!("../../schema/problems.schema.json")),
    (
        "field-paper",
        include_str!("../../schema/field-paper.schema.json"),
    ),
];

/// A starter plan with every part commented.
pub const STARTER: &str = include_str!("../../examples/starter.jsonc");

/// Schema, rule library, and every text that was read.
pub struct Engine {
    /// Every text: cards, plans, patches.
    pub sources: Sources,
    /// The rules.
    pub library: Library,
    schema: &'static Schema,
}

/// A plan that can be reviewed.
pub struct Opened {
    /// The text of the plan itself.
    pub source: SourceId,
    /// Names of the patches over it.
    pub patches: Vec<String>,
    /// Their texts.
    pub patch_sources: Vec<SourceId>,
    /// Its tree, patched.
    pub tree: Patched,
    /// The typed plan.
    pub plan: Plan,
    /// Its figures.
    pub ledger: Ledger,
    /// What the scenarios came to that its figures were read from.
    pub outcomes: Outcomes,
    /// What was followed to get there, for trials of the same plan with a value changed.
    pub memo: Memo,
}

/// What a review is asked for beside the plan.
#[derive(Clone, Copy, Debug, Default)]
pub struct ReviewOptions {
    /// Units to print in, where not the plan's own.
    pub units: Option<UnitSystem>,
    /// The date of the review, where not the plan's own.
    pub date: Option<Date>,
    /// Whether cures are worked out in numbers, which takes several times as long as all else.
    pub cures: bool,
    /// Whether the cases are followed in time.
    pub cases: bool,
    /// Whether all that takes many trials is worked out too: the changes that close the review, how far values may drift,
    /// what the answers to questions change, and how the worst end of a stated range comes out.
    pub in_depth: bool,
}

impl Engine {
    /// An engine with the library that comes with the program.
    ///
    /// # Errors
    /// A library whose cards can't be taken.
    pub fn new() -> (Self, Result<(), Vec<Problem>>) {
        let mut sources = Sources::default();
        let schema = plan::schema();
        let loaded = Library::embedded(&mut sources, schema.book());
        let (library, outcome) = match loaded {
            Ok(library) => (library, Ok(())),
            Err(problems) => (Library::default(), Err(problems)),
        };
        (
            Self {
                sources,
                library,
                schema,
            },
            outcome,
        )
    }

    /// Puts the pages of a house over the library.
    ///
    /// # Errors
    /// Every page that can't be taken; the library is then left as it was.
    pub fn take_house(&mut self, pages: &[SourceId]) -> Result<(), Vec<Problem>> {
        self.library.take_house(pages, &self.sources, self.schema.book())
    }

    /// The schema as a book, for names of places.
    pub fn book(&self) -> &SchemaBook {
        self.schema.book()
    }

    /// Reads, patches, checks and models a plan, and computes its figures.
    ///
    /// # Errors
    /// Everything that keeps it from being reviewed.
    pub fn open(&self, source: SourceId, patches: Vec<(String, Node)>) -> Result<Opened, Vec<Problem>> {
        self.open_after(source, patches, Memo::default())
    }

    /// The same after another version of the plan: what that followed in time is not followed again where it stays.
    ///
    /// # Errors
    /// Everything that keeps it from being reviewed.
    pub fn open_after(
        &self,
        source: SourceId,
        patches: Vec<(String, Node)>,
        memo: Memo,
    ) -> Result<Opened, Vec<Problem>> {
        let names = patches.iter().map(|(name, _)| name.clone()).collect();
        let patch_sources = patches.iter().map(|(_, node)| node.span.source).collect();
        let (tree, plan) = self.model(source, patches.into_iter().map(|(_, patch)| patch))?;
        let followed = Followed {
            memo: Some(&memo),
            only: None,
        };
        let (ledger, outcomes) = figures::compute_with_outcomes(&plan, followed);
        Ok(Opened {
            source,
            patches: names,
            patch_sources,
            tree,
            plan,
            ledger,
            outcomes,
            memo,
        })
    }

    /// Reads, patches, checks and models a plan.
    ///
    /// # Errors
    /// Everything that keeps it from being reviewed.
    pub fn model(
        &self,
        source: SourceId,
        patches: impl IntoIterator<Item = Node>,
    ) -> Result<(Patched, Plan), Vec<Problem>> {
        let mut tree = Patched::new(parse(&self.sources, source)?);
        for patch in patches {
            tree.apply(patch);
        }
        let plan = self.plan_of(&tree.root)?;
        Ok((tree, plan))
    }

    /// The plan that a tree describes, checked.
    ///
    /// # Errors
    /// Everything that keeps it from being reviewed.
    pub fn plan_of(&self, tree: &Node) -> Result<Plan, Vec<Problem>> {
        let problems = check(self.schema, tree);
        if !problems.is_empty() {
            return Err(problems);
        }
        let plan = Plan::from_tree(tree).map_err(|problem| vec![problem])?;
        let problems = plan.problems(tree);
        if problems.is_empty() {
            Ok(plan)
        } else {
            Err(in_order(problems))
        }
    }

    /// A plan laid out for review, in the units and at the date asked for, else the plan's own.
    pub fn context<'a>(&'a self, opened: &'a Opened, options: ReviewOptions) -> ReviewContext<'a> {
        let project = opened.plan.project.value();
        let own_units = project
            .and_then(|project| project.units.value())
            .map(|units| match units {
                Units::Us => UnitSystem::Us,
                Units::Si => UnitSystem::Si,
            });
        ReviewContext {
            sources: &self.sources,
            tree: &opened.tree,
            plan: &opened.plan,
            ledger: &opened.ledger,
            outcomes: &opened.outcomes,
            memo: &opened.memo,
            book: self.book(),
            units: options.units.or(own_units).unwrap_or_default(),
            cures: options.cures,
            cases: options.cases,
            in_depth: options.in_depth,
            date: options
                .date
                .or_else(|| project.and_then(|project| project.date.value().copied())),
        }
    }

    /// The texts that a plan was read from, each with its fingerprint.
    pub fn sheets(&self, opened: &Opened) -> Vec<Sheet> {
        let plan = (self.sources.name(opened.source).to_owned(), opened.source);
        let patches = opened
            .patches
            .iter()
            .cloned()
            .zip(opened.patch_sources.iter().copied());
        std::iter::once(plan)
            .chain(patches)
            .map(|(file, source)| Sheet {
                file,
                sha256: self.sources.sha256(source),
            })
            .collect()
    }

    /// The rules as they read where the work of a plan stands, which every word on that plan goes by.
    pub fn rules_for(&self, opened: &Opened) -> Cow<'_, Library> {
        self.library.for_work(country::of(&opened.plan))
    }

    /// The changes that close the review of a plan.
    pub fn closing(&self, opened: &Opened, options: ReviewOptions) -> Closing {
        review::closing(&self.context(opened, options), &self.rules_for(opened))
    }

    /// How far each level, width and flow of a plan may drift before the review is worse.
    pub fn tolerances(&self, opened: &Opened, options: ReviewOptions) -> Vec<Tolerance> {
        review::tolerances(&self.context(opened, options), &self.rules_for(opened))
    }

    /// The review without the lists of figures and of values that nothing evaluates, for a screen that shows neither.
    pub fn review_for_screen(&self, opened: &Opened, options: ReviewOptions) -> Review {
        let file = self.sources.name(opened.source);
        let context = self.context(opened, options);
        review::review_for_screen(&context, file, self.sheets(opened), &self.rules_for(opened))
    }

    /// Reviews a plan by the library.
    pub fn review(&self, opened: &Opened, options: ReviewOptions) -> Review {
        let file = self.sources.name(opened.source).to_owned();
        review::review(
            &self.context(opened, options),
            &file,
            opened.patches.clone(),
            self.sheets(opened),
            &self.rules_for(opened),
        )
    }
}
