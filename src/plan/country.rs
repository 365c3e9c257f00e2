//! The country of a project, as far as its place tells: whose laws and codes its review may cite.

use serde::Deserialize;

use super::Plan;

/// A country, or a group of countries, whose texts the rules cite.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Country {
    /// The United States.
    #[serde(rename = "us")]
    UnitedStates,
    /// The United Kingdom.
    #[serde(rename = "uk")]
    UnitedKingdom,
    /// Germany.
    #[serde(rename = "de")]
    Germany,
    /// Another member of the European Union; of a source, all of it.
    #[serde(rename = "eu")]
    Union,
    /// Any other country.
    #[serde(skip)]
    Elsewhere,
}

/// Members of the European Union, as places are written.
const MEMBERS: [&str; 28] = [
    "Austria",
    "Belgium",
    "Bulgaria",
    "Croatia",
    "Cyprus",
    "Czechia",
    "Czech",
    "Denmark",
    "Estonia",
    "Finland",
    "France",
    "Germany",
    "Greece",
    "Hungary",
    "Ireland",
    "Italy",
    "Latvia",
    "Lithuania",
    "Luxembourg",
    "Malta",
    "Netherlands",
    "Poland",
    "Portugal",
    "Romania",
    "Slovakia",
    "Slovenia",
    "Spain",
    "Sweden",
];

/// Other countries outside the United States, whose law its federal list is not.
const ELSEWHERE: [&str; 12] = [
    "Australia",
    "Britain",
    "Canada",
    "England",
    "Iceland",
    "Ireland",
    "Japan",
    "Kingdom",
    "Norway",
    "Scotland",
    "Switzerland",
    "Wales",
];

/// States of the United States by name and code.
const STATES: [(&str, &str); 49] = [
    ("Alabama", "AL"),
    ("Alaska", "AK"),
    ("Arizona", "AZ"),
    ("Arkansas", "AR"),
    ("California", "CA"),
    ("Colorado", "CO"),
    ("Connecticut", "CT"),
    ("Delaware", "DE"),
    ("Florida", "FL"),
    ("Georgia", "GA"),
    ("Hawaii", "HI"),
    ("Idaho", "ID"),
    ("Illinois", "IL"),
    ("Indiana", "IN"),
    ("Iowa", "IA"),
    ("Kansas", "KS"),
    ("Kentucky", "KY"),
    ("Louisiana", "LA"),
    ("Maine", "ME"),
    ("Maryland", "MD"),
    ("Massachusetts", "MA"),
    ("Michigan", "MI"),
    ("Minnesota", "MN"),
    ("Mississippi", "MS"),
    ("Missouri", "MO"),
    ("Montana", "MT"),
    ("Nebraska", "NE"),
    ("Nevada", "NV"),
    ("New Hampshire", "NH"),
    ("New Jersey", "NJ"),
    ("New Mexico", "NM"),
    ("New York", "NY"),
    ("North Carolina", "NC"),
    ("North Dakota", "ND"),
    ("Ohio", "OH"),
    ("Oklahoma", "OK"),
    ("Oregon", "OR"),
    ("Pennsylvania", "PA"),
    ("Rhode Island", "RI"),
    ("South Carolina", "SC"),
    ("South Dakota", "SD"),
    ("Tennessee", "TN"),
    ("Texas", "TX"),
    ("Utah", "UT"),
    ("Vermont", "VT"),
    ("Virginia", "VA"),
    ("Washington", "WA"),
    ("Wisconsin", "WI"),
    ("Wyoming", "WY"),
];

const KINGDOM: [&str; 5] = ["Britain", "England", "Kingdom", "Scotland", "Wales"];

/// The country of a plan; none where its place does not tell.
pub fn of(plan: &Plan) -> Option<Country> {
    let place = plan.project.value()?.place.value()?;
    of_place(place)
}

fn of_place(place: &str) -> Option<Country> {
    let is = |countries: &[&str]| in_one_of(place, countries);
    let home = |(state, code): &(&str, &str)| lies_in(place, state, code);
    if is(&["Germany", "Deutschland"]) {
        Some(Country::Germany)
    } else if is(&MEMBERS) {
        Some(Country::Union)
    } else if is(&KINGDOM) || lies_in(place, "UK", "UK") {
        Some(Country::UnitedKingdom)
    } else if is(&ELSEWHERE) {
        Some(Country::Elsewhere)
    } else if STATES.iter().any(home) || lies_in(place, "USA", "US") {
        Some(Country::UnitedStates)
    } else {
        None
    }
}

/// Whether a place lies in the European Union.
pub fn in_union(place: &str) -> bool {
    in_one_of(place, &MEMBERS)
}

impl Country {
    /// Whether a text of this country, or of this group of countries, binds work in another. Where nobody knows where the
    /// work stands, it is cited all the same.
    pub fn binds(self, work: Option<Self>) -> bool {
        match (self, work) {
            (_, None) | (Self::Union, Some(Self::Union | Self::Germany)) => true,
            (own, Some(work)) => own == work,
        }
    }
}

fn in_one_of(place: &str, countries: &[&str]) -> bool {
    countries.iter().any(|country| lies_in(place, country, country))
}

/// Whether a place lies in a state, named or by its code, after the town where one is set off by a comma. Codes count in
/// capitals alone, so that no small word is taken for one.
pub fn lies_in(place: &str, state: &str, code: &str) -> bool {
    let region = place.split_once(',').map_or(place, |(_, region)| region);
    let words: Vec<&str> = region.split(|c: char| !c.is_alphanumeric()).collect();
    let named: Vec<&str> = state.split(' ').collect();
    let same = |part: &[&str]| {
        part.iter()
            .zip(&named)
            .all(|(word, named)| word.eq_ignore_ascii_case(named))
    };
    words.windows(named.len()).any(same) || words.contains(&code)
}

#[cfg(test)]
mod tests {
    use super::{Country, ELSEWHERE, MEMBERS, in_one_of, lies_in, of_place};

    #[test]
    fn a_state_is_not_looked_for_in_the_name_of_a_town() {
        assert!(lies_in("Ocala, florida", "Florida", "FL"));
        assert!(lies_in("Ocala, FL 34470, USA", "Florida", "FL"));
        assert!(lies_in("Vermont", "Vermont", "VT"));
        assert!(!lies_in("Port Washington, New York", "Washington", "WA"));
        assert!(!lies_in("Wadi, wa", "Washington", "WA"));
    }

    #[test]
    fn a_town_named_for_a_country_lies_at_home() {
        assert!(in_one_of("Kleindorf, Germany", &MEMBERS) && in_one_of("Cobham, England", &ELSEWHERE));
        assert!(!in_one_of("Paris, Texas", &MEMBERS) && !in_one_of("Poland, Ohio", &MEMBERS));
    }

    #[test]
    fn a_place_tells_whose_codes_bind_it() {
        for (place, country) in [
            ("Duluth, Minnesota", Some(Country::UnitedStates)),
            ("Santa Fe, NM", Some(Country::UnitedStates)),
            ("Voss, Norway", Some(Country::Elsewhere)),
            ("Leeds, United Kingdom", Some(Country::UnitedKingdom)),
            ("Freiburg, Germany", Some(Country::Germany)),
            ("Linz, Austria", Some(Country::Union)),
            ("by the lake", None),
        ] {
            assert_eq!(of_place(place), country, "{place}");
        }
        assert!(
            Country::Union.binds(Some(Country::Germany)) && !Country::Germany.binds(Some(Country::Union))
        );
        assert!(!Country::UnitedStates.binds(Some(Country::Elsewhere)) && Country::UnitedStates.binds(None));
    }
}
