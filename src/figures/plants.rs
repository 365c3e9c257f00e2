//! Plants: the lists of regulated water plants that were read, and the water they stand in.
//!
//! The lists hold what was read of each and no more; they change, and other states have lists of their own.

use crate::{
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, stated, verdict},
    plan::{
        Given, Plan, Species,
        country::{self, Country},
    },
    quantity::{INCH, Kind},
    read::Place,
};

/// Aquatic and wetland weeds of 7 CFR 360.200 (a), read in the source; a genus alone stands for all its species.
const FEDERAL: &[&str] = &[
    "Azolla pinnata",
    "Caulerpa taxifolia",
    "Eichhornia azurea",
    "Hydrilla verticillata",
    "Hygrophila polysperma",
    "Ipomoea aquatica",
    "Lagarosiphon major",
    "Limnophila sessiliflora",
    "Melaleuca quinquenervia",
    "Monochoria hastata",
    "Monochoria vaginalis",
    "Ottelia alismoides",
    "Sagittaria sagittifolia",
    "Salvinia auriculata",
    "Salvinia biloba",
    "Salvinia herzogii",
    "Salvinia molesta",
    "Solanum tampicense",
    "Sparganium erectum",
];

/// A state, as places are written, and plants of its list.
type State = (&'static str, &'static str, &'static [&'static str]);

/// Lists of five states, as far as read: of Maine what a trade journal names of chapter 273; Florida rule 5B-64.011 in a copy; Vermont's noxious weeds on the agency's
/// page; of Texas what the Parks and Wildlife Department names in a letter to dealers, in a copy; of Washington what
/// rules of the noxious weed board of 2001 and WAC 16-750-011 name.
const STATES: [State; 5] = [
    (
        "Florida",
        "FL",
        &[
            "Alternanthera philoxeroides",
            "Crassula helmsii",
            "Eichhornia",
            "Hydrilla verticillata",
            "Hygrophila polysperma",
            "Ipomoea aquatica",
            "Lagarosiphon",
            "Limnocharis flava",
            "Limnophila sessiliflora",
            "Lythrum salicaria",
            "Melaleuca quinquenervia",
            "Monochoria hastata",
            "Monochoria vaginalis",
            "Myriophyllum spicatum",
            "Nechamandra alternifolia",
            "Pistia stratiotes",
            "Pontederia rotundifolia",
            "Sparganium erectum",
            "Stratiotes aloides",
            "Trapa",
            "Vossia cuspidata",
        ],
    ),
    ("Maine", "ME", &["Iris pseudacorus", "Lythrum salicaria"]),
    (
        "Texas",
        "TX",
        &["Eichhornia", "Pistia stratiotes", "Salvinia molesta"],
    ),
    (
        "Vermont",
        "VT",
        &[
            "Butomus umbellatus",
            "Cabomba caroliniana",
            "Egeria densa",
            "Hydrilla verticillata",
            "Hydrocharis morsus-ranae",
            "Hygrophila polysperma",
            "Iris pseudacorus",
            "Lythrum salicaria",
            "Myriophyllum aquaticum",
            "Myriophyllum heterophyllum",
            "Myriophyllum spicatum",
            "Najas minor",
            "Nymphoides peltata",
            "Phragmites australis",
            "Potamogeton crispus",
            "Salvinia auriculata",
            "Salvinia biloba",
            "Salvinia herzogii",
            "Salvinia molesta",
            "Trapa natans",
        ],
    ),
    (
        "Washington",
        "WA",
        &[
            "Egeria densa",
            "Iris pseudacorus",
            "Myriophyllum spicatum",
            "Nymphaea odorata",
            "Phragmites australis",
        ],
    ),
];

/// Water and bog plants of the list of invasive alien species of Union concern, Regulation (EU) 1143/2014, with the
/// updates of 2017, 2019 and 2022: those of 2016 and two more read in copies, the others from memory.
const UNION: &[&str] = &[
    "Alternanthera philoxeroides",
    "Cabomba caroliniana",
    "Eichhornia crassipes",
    "Elodea nuttallii",
    "Gymnocoronis spilanthoides",
    "Hydrocotyle ranunculoides",
    "Lagarosiphon major",
    "Ludwigia grandiflora",
    "Ludwigia peploides",
    "Lysichiton americanus",
    "Myriophyllum aquaticum",
    "Myriophyllum heterophyllum",
    "Pistia stratiotes",
    "Salvinia molesta",
];

/// Names that a listed species also goes by, each with the name its lists use (from memory).
const SYNONYMS: [(&str, &str); 14] = [
    ("Ambulia sessiliflora", "Limnophila sessiliflora"),
    ("Castalia odorata", "Nymphaea odorata"),
    ("Elodea crispa", "Lagarosiphon major"),
    ("Elodea densa", "Egeria densa"),
    ("Ipomoea reptans", "Ipomoea aquatica"),
    ("Limnanthemum peltatum", "Nymphoides peltata"),
    ("Myriophyllum brasiliense", "Myriophyllum aquaticum"),
    ("Phragmites communis", "Phragmites australis"),
    ("Pontederia azurea", "Eichhornia azurea"),
    ("Pontederia crassipes", "Eichhornia crassipes"),
    ("Pontederia hastata", "Monochoria hastata"),
    ("Pontederia vaginalis", "Monochoria vaginalis"),
    ("Sparganium ramosum", "Sparganium erectum"),
    ("Tillaea helmsii", "Crassula helmsii"),
];

/// Deepest water over the crown of emergent plants, in, after the Handbook of Constructed Wetlands, volume 1 (from
/// memory).
const DEPTHS: [(&str, f64); 12] = [
    ("Acorus calamus", 3.0),
    ("Eleocharis palustris", 3.0),
    ("Iris versicolor", 6.0),
    ("Juncus effusus", 3.0),
    ("Peltandra virginica", 12.0),
    ("Pontederia cordata", 12.0),
    ("Sagittaria latifolia", 12.0),
    ("Saururus cernuus", 6.0),
    ("Schoenoplectus pungens", 6.0),
    ("Schoenoplectus tabernaemontani", 12.0),
    ("Typha angustifolia", 12.0),
    ("Typha latifolia", 18.0),
];

static FEDERAL_LISTED: Definition = Definition::verdict(
    Scope::Species,
    "federal-noxious",
    "on the federal list of noxious weeds",
)
.by(
    "its botanical name stands among the aquatic and wetland weeds",
    "",
)
.from("7 CFR 360.200 (a)");
static STATE_LISTED: Definition = Definition::verdict(
    Scope::Species,
    "state-listed",
    "regulated in the project’s state",
)
.by(
    "its botanical name stands in what was read of the list of the state, or of the European Union",
    "",
)
.from(
    "lists of Florida, Texas, Vermont and Washington as far as read, and of Regulation (EU) 1143/2014; lists \
             change: check yours",
);
static DEPTH_ALLOWED: Definition = Definition::quantity(
    Scope::Species,
    "depth-allowed",
    "depth of water that the species stands over its crown",
    Kind::Length,
)
.by("by species", "d_max")
.from("Handbook of Constructed Wetlands, volume 1 (from memory)");

pub(super) static DEFINITIONS: &[&Definition] = &[&FEDERAL_LISTED, &STATE_LISTED, &DEPTH_ALLOWED];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let species = plan.planting.value().map(|planting| &planting.species);
    for species in species.into_iter().flat_map(|species| species.values()) {
        let at = &species.place;
        ledger.enter(&FEDERAL_LISTED, at, |sheet| {
            if country::of(plan).is_some_and(|country| country != Country::UnitedStates) {
                return Err(Gap::DoesNotApply(
                    "the place lies outside the United States".to_owned(),
                ));
            }
            listed(sheet, species, FEDERAL, "the federal list")
        });
        ledger.enter(&STATE_LISTED, at, |sheet| state_listed(sheet, plan, species));
        ledger.enter(&DEPTH_ALLOWED, at, |sheet| depth_allowed(sheet, species));
    }
}

fn botanical<'p>(sheet: &mut Worksheet<'_>, species: &'p Given<Species>) -> Result<&'p Given<String>, Gap> {
    let at = species.place.child("botanical");
    let name = species.botanical.given().ok_or_else(|| missing(at))?;
    sheet.note_place("name", &name.place);
    Ok(name)
}

/// Whether a botanical name is that of a list's entry, or of a species of its genus where the genus alone is listed.
fn is_of(name: &str, entry: &str) -> bool {
    let mut words = name.split_whitespace();
    entry
        .split_whitespace()
        .all(|part| words.next().is_some_and(|word| word.eq_ignore_ascii_case(part)))
}

fn listed(sheet: &mut Worksheet<'_>, species: &Given<Species>, list: &[&str], of: &str) -> Answer {
    let name = botanical(sheet, species)?;
    let synonym = SYNONYMS.iter().find(|(other, _)| is_of(&name.value, other));
    let listed_name = synonym.map_or(name.value.as_str(), |(_, listed)| listed);
    let found = list.iter().find(|entry| is_of(listed_name, entry));
    verdict(
        found.is_some(),
        match found {
            Some(entry) if synonym.is_some() => format!("it is {listed_name}, and {entry} is on {of}"),
            Some(entry) => format!("{entry} is on {of}"),
            None => format!("not on {of}, as far as read"),
        },
        Some(name.place.clone()),
    )
}

fn state_listed(sheet: &mut Worksheet<'_>, plan: &Plan, species: &Given<Species>) -> Answer {
    let place = plan.project.value().and_then(|project| project.place.given());
    let place = place.ok_or_else(|| missing(Place::from_pointer("/project/place")))?;
    sheet.note_place("place", &place.place);
    let state = STATES
        .iter()
        .find(|(name, short, _)| country::lies_in(&place.value, name, short));
    match state {
        Some((name, _, list)) => listed(sheet, species, list, &format!("the list of {name}")),
        None if country::in_union(&place.value) => listed(
            sheet,
            species,
            UNION,
            "the list of invasive species of the European Union",
        ),
        None => Err(Gap::DoesNotApply(
            "no list of this state was read: check your state".to_owned(),
        )),
    }
}

fn depth_allowed(sheet: &mut Worksheet<'_>, species: &Given<Species>) -> Answer {
    let name = botanical(sheet, species)?;
    let entry = DEPTHS.iter().find(|(entry, _)| is_of(&name.value, entry));
    let none = || does_not_apply("the table of depths does not hold this species");
    let (_, inches) = entry.ok_or_else(none)?;
    stated(inches * INCH, inches * 0.025)
}

#[cfg(test)]
mod tests {
    use super::is_of;

    #[test]
    fn a_genus_stands_for_its_species_and_a_species_for_its_kinds() {
        assert!(is_of("Eichhornia crassipes", "Eichhornia"));
        assert!(is_of("iris pseudacorus 'Variegata'", "Iris pseudacorus"));
        assert!(!is_of("Iris versicolor", "Iris pseudacorus"));
        assert!(!is_of("Iris", "Iris pseudacorus"));
    }
}
