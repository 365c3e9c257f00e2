//! The chapters of the rule book and its glossary, in the order they are learned.

use serde::Serialize;

/// A word of the trade.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Term {
    /// The word.
    pub word: &'static str,
    /// What it means here.
    pub meaning: &'static str,
}

/// Discipline, heading, and what it is about.
const CHAPTERS: [(&str, &str, &str); 11] = [
    (
        "site",
        "The site",
        "What is there before anybody digs: wires and pipes in the ground and overhead, children who will come to \
        the water, the house’s drinking water, and where the overflow goes. Most of what kills on these jobs is \
        in this chapter and in the one on electricity.",
    ),
    (
        "levels",
        "Levels",
        "Everything is set out from one benchmark: levels are heights above (+) or below (−) it. Water stands at the crest when the pump is off and above it by the head of the weir when it runs; what is in flight is missing from the lowest basin and comes back within minutes of a power cut. A line that ends under water above the basin it starts in is a siphon: its check valve will leak one day, and then the air inlet decides how much comes down.",
    ),
    (
        "hydraulics",
        "Pumps and lines",
        "A pump’s catalogue flow is at no lift. It delivers the flow at which its curve meets the head \
        that levels, pipe, fittings and crests require. Pipe one size larger costs little and pays every hour; pipe that is too large \
        settles mud.",
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
        "Roots and shade do half of a bed’s work, and runners undo a liner’s edge. Lists of regulated plants are \
        kept in botanical names and change from state to state.",
    ),
    (
        "electrical",
        "Electricity at the water",
        "Water and a cut cord kill before a breaker trips. The local code and a licensed electrician decide.",
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

/// The first caution of the book; the rest are those of a review.
pub(super) const CAUTION: &str = "This book teaches what the program requires and why; on the job a responsible person decides and signs. The numbers belong to the examples.";

const fn term(word: &'static str, meaning: &'static str) -> Term {
    Term { word, meaning }
}

/// The words of the trade as they are used here.
pub(super) const GLOSSARY: &[Term] = &[
    term(
        "air gap",
        "the open height between a filling spout and the highest level the water can reach",
    ),
    term(
        "air inlet",
        "a tee off the line just under the bed’s surface that lets air in once the level falls to it, and so ends \
        a siphon",
    ),
    term(
        "alkalinity",
        "what holds the pH of water steady; bacteria of the bed use it up",
    ),
    term("as-built", "the levels and sizes as surveyed after the work"),
    term(
        "backflow",
        "water that runs backwards, from the pond into the drinking-water pipe",
    ),
    term("batter", "how far a wall leans back as it rises, run to rise"),
    term(
        "bed",
        "a basin filled with graded stone through which water rises; the filter",
    ),
    term("benching", "sides of a dig cut in steps"),
    term("benchmark", "the fixed mark that every level is measured from"),
    term(
        "best-efficiency flow",
        "the flow at which a pump turns most of its power into moving water",
    ),
    term(
        "bonding",
        "joining all metal parts and equipment so that no voltage stands between them",
    ),
    term(
        "check valve",
        "a valve that lets water through one way only; sooner or later it leaks",
    ),
    term(
        "chloramine",
        "chlorine bound to ammonia, used in tap water; it does not air out",
    ),
    term(
        "clean-out well",
        "a shaft to the floor of a bed, through which settled mud is pumped out",
    ),
    term(
        "competent person",
        "whoever is trained to see what is dangerous in a dig and may stop the work",
    ),
    term("contact time", "how long water takes through the stone"),
    term("crest", "the edge that water runs over"),
    term("cushion", "fabric between liner and stone"),
    term(
        "D15, D85",
        "the stone sizes that 15 % and 85 % of a layer are finer than",
    ),
    term("dechlorinator", "a chemical that breaks chlorine or chloramine"),
    term(
        "design storm",
        "the rain a plan is checked against: so much in so long",
    ),
    term(
        "dewatering",
        "holding the groundwater down with a drain or a pump while a basin is empty",
    ),
    term(
        "disconnect",
        "a switch that cuts a circuit off all live wires, in sight of the equipment",
    ),
    term(
        "drain-back",
        "water that runs back through the line when the pump stops and the check valve leaks",
    ),
    term(
        "DWV",
        "drain, waste and vent: pipe made for gravity, without a pressure rating",
    ),
    term(
        "factor of safety",
        "what holds, divided by what pulls it down: over 1 it holds",
    ),
    term("flood level", "the level at which a basin runs over; the rim"),
    term("fluidising", "stone lifted by rising water until it boils"),
    term(
        "flush",
        "lifting settled mud out of a bed with more water than it runs on",
    ),
    term(
        "freeboard",
        "the height from the water to the lowest edge of the liner",
    ),
    term(
        "GFCI",
        "ground-fault circuit interrupter: cuts the power when current strays, before it kills",
    ),
    term(
        "head",
        "height of water; of a pump, the height it can hold water to; of a crest, the water standing above it",
    ),
    term("invert", "the lowest point of a pipe’s inside"),
    term("lift (of fill)", "the layer of soil that is compacted in one go"),
    term(
        "line",
        "the pipe from a pump to where its water comes out, with all its branches",
    ),
    term("liner", "the same as the membrane"),
    term(
        "lining",
        "all that keeps a basin’s water in: underlay, membrane, cushion and edge",
    ),
    term(
        "make-up",
        "water added to replace what evaporates, splashes out or leaks",
    ),
    term(
        "membrane",
        "the watertight layer of a lining; also called liner or sheet",
    ),
    term(
        "NPSH",
        "net positive suction head: the pressure at a pump’s inlet over that at which water boils, as a height of \
        water",
    ),
    term(
        "operating point",
        "the flow and head at which a pump’s curve meets the head that pipe and levels require",
    ),
    term("overcut", "how far a dig goes beyond the void modules all round"),
    term(
        "plenum",
        "the open space under the stone of a bed, where water spreads and mud settles",
    ),
    term(
        "power-off level",
        "the level once the pumps have stopped and all water in flight is back",
    ),
    term("reach", "a stretch of stream with one width and slope"),
    term("residual", "the chlorine or chloramine left in tap water"),
    term("rim", "the lowest edge of the liner round a basin"),
    term(
        "run (of a line)",
        "a stretch of pipe of one size between two joints",
    ),
    term("running level", "the level while the pumps run"),
    term(
        "schedule",
        "the wall thickness of a pipe: schedule 80 is thicker than 40 and narrower inside",
    ),
    term(
        "sheet",
        "a membrane as it is bought and laid; over a fall, the falling water",
    ),
    term("shoring", "bracing that holds the sides of a dig apart"),
    term(
        "shut-off head",
        "the head of a pump against a shut valve, at no flow",
    ),
    term(
        "side slope",
        "how far a side leans back, run to rise: 2:1 is flat, 0.2:1 is steep",
    ),
    term(
        "siphon",
        "a full pipe that goes on carrying water over a high point to a lower level without a pump",
    ),
    term(
        "skimmer",
        "an intake at the surface that draws in leaves over a lip",
    ),
    term("spillway", "the place where a basin’s water leaves over a crest"),
    term("spoil", "the soil that comes out of a dig"),
    term(
        "still level",
        "the level with the pumps off and nothing in flight",
    ),
    term(
        "submergence",
        "how deep an intake or suction mouth lies under water",
    ),
    term(
        "surcharge",
        "a load on the ground behind a wall: a car, a slope, a building",
    ),
    term(
        "tempering",
        "bringing fill water to the temperature of the pond, step by step",
    ),
    term("toe", "the part of a wall below the ground in front of it"),
    term("trash pump", "a pump that passes mud and small stone"),
    term(
        "turnover",
        "how long the flow takes to move a basin’s whole water",
    ),
    term(
        "un-ionized ammonia",
        "the part of ammonia that harms fish; it grows with pH and warmth",
    ),
    term("underlay", "fabric between soil and liner"),
    term(
        "upflow rate",
        "flow over the open surface of a bed: the speed at which water rises",
    ),
    term("uplift", "groundwater that lifts a lined basin from below"),
    term(
        "vacuum breaker",
        "a valve that lets air into a pipe when its pressure is lost, so that nothing is sucked back",
    ),
    term(
        "void modules",
        "plastic crates that are nearly all empty space, set under the stone of a bed",
    ),
    term(
        "water in flight",
        "what stands above still level on weirs, beds and streams while the pumps run",
    ),
    term(
        "weir",
        "an edge that water runs over; its width and the height of water above it give the flow",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_glossary_is_in_order_and_says_each_word_once() {
        assert!(GLOSSARY.is_sorted_by(|a, b| a.word.to_lowercase() < b.word.to_lowercase()));
    }
}
