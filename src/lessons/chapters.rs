//! The chapters of the rule book and its glossary, in the order they are learned.

use super::Term;

/// Discipline, heading, and what it is about.
const CHAPTERS: [(&str, &str, &str); 11] = [
    (
        "site",
        "The site",
        "What is there before anybody digs: wires and pipes in the ground and overhead, children who will come to the water, the house's drinking water, and where the overflow goes. Most of what kills on these jobs is in this chapter and in the one on electricity.",
    ),
    (
        "levels",
        "Levels",
        "Everything is set out from one benchmark: levels are heights above (+) or below (−) it. Water stands at the crest when the pump is off and above it by the head of the weir when it runs; what is in flight is missing from the lowest basin and comes back within minutes of a power cut. A line that ends under water above the basin it starts in is a siphon: its check valve will leak one day, and then the air inlet decides how much comes down.",
    ),
    (
        "hydraulics",
        "Pumps and lines",
        "A pump's catalogue flow is at no lift. What arrives is where its curve meets what levels, pipe, fittings and crests ask for. Pipe one size larger costs little and pays every hour; pipe that is too large settles mud.",
    ),
    (
        "returns",
        "Falls, streams and overflows",
        "Water that comes back has to pile up before it runs over: a wide crest carries it thin and stands low, a narrow one carries it thick. Every open basin overflows one day; the plan chooses where.",
    ),
    (
        "bed",
        "Stone beds",
        "Water rises slowly from an open space under the stone through coarse, then medium, then fine round stone, and leaves over a spillway. Mud settles below and is lifted out through the well. Whatever keeps water from rising evenly, or mud from being reached, ends the filter.",
    ),
    (
        "lining",
        "Lining",
        "The liner is never stronger than what lies under and over it. The highest water must stay below the lowest edge of the sheet, wherever stone hides that edge.",
    ),
    (
        "ground",
        "Ground, walls and digging",
        "Soil stands until it does not. An empty lined hole in wet ground floats; a wall is pushed by wet soil twice as hard as by dry; an edge on loose fill settles. A trench that people enter is sloped, shored or shielded.",
    ),
    (
        "filling",
        "Filling and joining",
        "Fill water is stood and aerated until its temperature matches, its disinfectant is taken out and tested, and the bed is washed to waste before it is joined to a stocked pond. Stone goes in and water follows the same day. Planting comes last.",
    ),
    (
        "water",
        "Living water",
        "The bed is the biological filter: stone area, oxygen, warmth and alkalinity bound how much feed it carries. Fish are bought small; the design is for what they become, on the warmest night.",
    ),
    (
        "planting",
        "Planting",
        "Roots and shade do half of a bed's work, and runners undo a liner's edge. Lists of regulated plants are kept in botanical names and change from state to state.",
    ),
    (
        "electrical",
        "Electricity at the water",
        "Facts to be shown on the plan, no design: the local code and a licensed electrician decide. Water and a cut cord kill before a breaker knows.",
    ),
];

/// Where a discipline stands in the book; one of a house's own stands last.
pub(super) fn rank(discipline: &str) -> usize {
    let known = CHAPTERS.iter().position(|(name, ..)| *name == discipline);
    known.unwrap_or(CHAPTERS.len())
}

/// Heading and introduction of a discipline; one of a house's own goes by its name.
pub(super) fn about(discipline: &str) -> (String, &'static str) {
    CHAPTERS.get(rank(discipline)).map_or_else(
        || (discipline.to_owned(), "Rules of the house."),
        |(_, title, about)| ((*title).to_owned(), *about),
    )
}

const fn term(word: &'static str, meaning: &'static str) -> Term {
    Term { word, meaning }
}

/// The words of the trade as they are used here.
pub(super) const GLOSSARY: &[Term] = &[
    term(
        "air inlet",
        "a tee off the line just under the bed's surface that lets air in once the level falls to it, and so ends a siphon",
    ),
    term("as-built", "the levels and sizes as surveyed after the work"),
    term("batter", "how far a wall leans back as it rises, run to rise"),
    term(
        "bed",
        "a basin filled with graded stone through which water rises; the filter",
    ),
    term("benchmark", "the fixed mark that every level is measured from"),
    term(
        "clean-out well",
        "a shaft to the floor of a bed, through which settled mud is pumped out",
    ),
    term("contact time", "how long water takes through the stone"),
    term("crest", "the edge that water runs over"),
    term("cushion", "fabric between liner and stone"),
    term(
        "drain-back",
        "water that runs back through the line when the pump stops and the check valve leaks",
    ),
    term("fluidising", "stone lifted by rising water until it boils"),
    term(
        "freeboard",
        "the height from the water to the lowest edge of the liner",
    ),
    term(
        "head",
        "height of water; of a pump, the height it can hold water to; of a crest, the water standing above it",
    ),
    term("invert", "the lowest point of a pipe's inside"),
    term("lift (of fill)", "the layer of soil that is compacted in one go"),
    term(
        "line",
        "the pipe from a pump to where its water comes out, with all its branches",
    ),
    term(
        "plenum",
        "the open space under the stone of a bed, where water spreads and mud settles",
    ),
    term(
        "power-off level",
        "the level once the pumps have stopped and all water in flight is back",
    ),
    term("reach", "a stretch of stream with one width and slope"),
    term("rim", "the lowest edge of the liner round a basin"),
    term(
        "run (of a line)",
        "a stretch of pipe of one size between two joints",
    ),
    term("running level", "the level while the pumps run"),
    term("spillway", "the place where a basin's water leaves over a crest"),
    term(
        "still level",
        "the level with the pumps off and nothing in flight",
    ),
    term(
        "tempering",
        "bringing fill water to the temperature of the pond, step by step",
    ),
    term("toe", "the part of a wall below the ground in front of it"),
    term(
        "turnover",
        "how long the flow takes to move a basin's whole water",
    ),
    term("underlay", "fabric between soil and liner"),
    term(
        "upflow rate",
        "flow over the open surface of a bed: the speed at which water rises",
    ),
    term("uplift", "groundwater that lifts a lined basin from below"),
    term(
        "void modules",
        "plastic crates that are nearly all empty space, set under the stone of a bed",
    ),
    term(
        "water in flight",
        "what stands above still level on weirs, beds and streams while the pumps run",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_glossary_is_in_order_and_says_each_word_once() {
        assert!(GLOSSARY.is_sorted_by(|a, b| a.word < b.word));
    }
}
