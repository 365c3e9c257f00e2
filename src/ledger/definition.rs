//! What a figure is: its name, the object it belongs to, its formula and source.

use crate::quantity::Kind;

/// The source of what needs none: geometry, sums and balances of the plan's own values.
pub const OWN_ARITHMETIC: &str = "the plan’s own arithmetic";

/// What a figure is.
#[derive(Debug)]
pub struct Definition {
    /// Stable name, in kebab case; rule cards use it.
    pub name: &'static str,
    /// Name in words, in lower case.
    pub title: &'static str,
    /// The objects it belongs to.
    pub of: Scope,
    /// What it measures; none for a yes-or-no figure.
    pub kind: Option<Kind>,
    /// The formula in words.
    pub words: &'static str,
    /// The formula in symbols, the figure's own symbol first.
    pub symbols: &'static str,
    /// Where the formula comes from.
    pub source: &'static str,
    /// Where the formula holds; empty for plain arithmetic.
    pub range: &'static str,
    /// The values a reader knows, in words, for a figure that only compares them: `{V_stated} stated, {V} computed`,
    /// each symbol that of an input; empty where the figure's own value says it.
    pub compared: &'static str,
    /// The same where the figure comes to zero.
    pub compared_at_zero: &'static str,
}

/// The kinds of object a plan is made of; rules and figures belong to one each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Scope {
    /// The plan as a whole.
    Plan,
    /// A basin.
    Basins,
    /// A layer of a bed or stone-filled reservoir.
    Layers,
    /// A pump.
    Pumps,
    /// A line.
    Lines,
    /// A run of a line.
    Runs,
    /// A fall.
    Falls,
    /// A stream.
    Streams,
    /// A reach of a stream.
    Reaches,
    /// A wall.
    Walls,
    /// A dig.
    Excavations,
    /// A circuit.
    Circuits,
    /// A planted species.
    Species,
    /// A gravity line.
    Drains,
}

impl Scope {
    /// Where its objects stand in the plan; `*` is an object's id.
    pub const fn pattern(self) -> &'static [&'static str] {
        match self {
            Self::Plan => &[],
            Self::Basins => &["basins", "*"],
            Self::Layers => &["basins", "*", "layers", "*"],
            Self::Pumps => &["pumps", "*"],
            Self::Lines => &["lines", "*"],
            Self::Runs => &["lines", "*", "runs", "*"],
            Self::Falls => &["falls", "*"],
            Self::Streams => &["streams", "*"],
            Self::Reaches => &["streams", "*", "reaches", "*"],
            Self::Walls => &["walls", "*"],
            Self::Excavations => &["excavations", "*"],
            Self::Circuits => &["electrical", "circuits", "*"],
            Self::Species => &["planting", "species", "*"],
            Self::Drains => &["drains", "*"],
        }
    }
}

impl Definition {
    /// A quantity that follows from the plan's own numbers, until a source is named.
    pub(crate) const fn quantity(of: Scope, name: &'static str, title: &'static str, kind: Kind) -> Self {
        Self::new(of, name, title, Some(kind))
    }

    /// A yes or no that follows from the plan's own numbers.
    pub(crate) const fn verdict(of: Scope, name: &'static str, title: &'static str) -> Self {
        Self::new(of, name, title, None)
    }

    const fn new(of: Scope, name: &'static str, title: &'static str, kind: Option<Kind>) -> Self {
        let source = OWN_ARITHMETIC;
        Self {
            name,
            title,
            of,
            kind,
            words: "",
            symbols: "",
            source,
            range: "",
            compared: "",
            compared_at_zero: "",
        }
    }

    /// The same figure with its formula in words and in symbols.
    pub(crate) const fn by(mut self, words: &'static str, symbols: &'static str) -> Self {
        self.words = words;
        self.symbols = symbols;
        self
    }

    /// The same figure with the source of its formula.
    pub(crate) const fn from(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }

    /// The same figure with the values it compares, in words.
    pub(crate) const fn comparing(mut self, values: &'static str) -> Self {
        self.compared = values;
        self
    }

    /// The same figure with other words where it comes to zero.
    pub(crate) const fn at_zero(mut self, words: &'static str) -> Self {
        self.compared_at_zero = words;
        self
    }

    /// The same figure with the range its formula holds in.
    pub(crate) const fn within(mut self, range: &'static str) -> Self {
        self.range = range;
        self
    }
}
