//! The spellings of units: whatever a builder writes, brought to one canonical form.
//!
//! A unit is a row of parts divided by `/` or `per`; each part is looked up in [`SPELLINGS`] as written, then
//! without regard to case where that leaves no doubt, so `Gallons per Minute per sq. ft.` and `gpm/ft²` meet
//! at `gal/min/ft2`.

/// Canonical part or parts, and how they are written. A spelling of one letter counts only as listed:
/// `T` is left out, being a ton to some and a tonne to others.
pub(super) static SPELLINGS: &[(&str, &[&str])] = &[
    ("in", &["in", "inch", "inches", "ins", "\"", "''"]),
    ("ft", &["ft", "foot", "feet", "'", "lf", "lin ft", "linear feet"]),
    ("yd", &["yd", "yds", "yard", "yards"]),
    ("mi", &["mi", "mile", "miles"]),
    ("mil", &["mil", "mils", "thou"]),
    (
        "um",
        &[
            "um",
            "micron",
            "microns",
            "micrometer",
            "micrometers",
            "micrometre",
            "micrometres",
        ],
    ),
    (
        "mm",
        &["mm", "millimeter", "millimeters", "millimetre", "millimetres"],
    ),
    (
        "cm",
        &["cm", "centimeter", "centimeters", "centimetre", "centimetres"],
    ),
    ("m", &["m", "M", "meter", "meters", "metre", "metres"]),
    (
        "km",
        &["km", "kilometer", "kilometers", "kilometre", "kilometres"],
    ),
    ("ft2", &["sf", "sqft"]),
    ("ft3", &["cf", "cuft"]),
    ("yd2", &["sy", "sqyd"]),
    ("yd3", &["cy", "cuyd"]),
    ("m2", &["sqm"]),
    ("cm3", &["cc"]),
    ("acre", &["acre", "acres", "ac"]),
    ("ha", &["ha", "hectare", "hectares"]),
    (
        "gal",
        &[
            "gal",
            "gals",
            "gallon",
            "gallons",
            "us gal",
            "us gallon",
            "us gallons",
        ],
    ),
    (
        "kgal",
        &[
            "kgal",
            "1,000 gal",
            "1000 gal",
            "1,000 gallons",
            "1000 gallons",
            "thousand gallons",
        ],
    ),
    (
        "impgal",
        &[
            "imp gal",
            "imp gals",
            "imp gallon",
            "imp gallons",
            "imperial gal",
            "imperial gallon",
        ],
    ),
    (
        "impgal",
        &["imperial gallons", "uk gal", "uk gallon", "uk gallons"],
    ),
    ("qt", &["qt", "qts", "quart", "quarts"]),
    ("floz", &["fl oz", "floz", "fluid ounce", "fluid ounces"]),
    ("L", &["L", "l", "liter", "liters", "litre", "litres", "ltr"]),
    (
        "mL",
        &[
            "mL",
            "ml",
            "milliliter",
            "milliliters",
            "millilitre",
            "millilitres",
        ],
    ),
    (
        "ML",
        &["ML", "megaliter", "megaliters", "megalitre", "megalitres"],
    ),
    ("gal/h", &["gph", "us gph"]),
    ("gal/min", &["gpm", "us gpm"]),
    ("gal/d", &["gpd"]),
    ("impgal/h", &["imp gph", "imperial gph", "igph", "uk gph"]),
    ("impgal/min", &["imp gpm", "imperial gpm", "igpm", "uk gpm"]),
    ("L/s", &["lps"]),
    ("L/min", &["lpm"]),
    ("L/h", &["lph"]),
    ("m3/h", &["cmh"]),
    ("ft3/s", &["cfs", "cusec", "cusecs"]),
    ("ft3/min", &["cfm"]),
    ("ft/s", &["fps"]),
    ("ft/min", &["fpm"]),
    ("mi/h", &["mph"]),
    ("km/h", &["kph", "kmh"]),
    ("lb", &["lb", "lbs", "pound", "pounds", "#"]),
    ("oz", &["oz", "ounce", "ounces"]),
    ("gr", &["gr", "grain", "grains"]),
    (
        "ton",
        &["ton", "tons", "short ton", "short tons", "us ton", "us tons"],
    ),
    ("t", &["t", "tonne", "tonnes", "metric ton", "metric tons", "Mg"]),
    ("kg", &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"]),
    ("g", &["g", "gram", "grams", "gramme", "grammes"]),
    ("mg", &["mg", "milligram", "milligrams"]),
    ("ug", &["ug", "mcg", "microgram", "micrograms"]),
    ("lb/ft3", &["pcf"]),
    ("ppm", &["ppm"]),
    ("ppb", &["ppb"]),
    ("psi", &["psi", "psig"]),
    ("psf", &["psf"]),
    ("ksf", &["ksf"]),
    ("kPa", &["kPa", "kilopascal", "kilopascals"]),
    ("Pa", &["Pa", "pascal", "pascals"]),
    ("bar", &["bar", "bars"]),
    ("mbar", &["mbar", "millibar", "millibars"]),
    ("kN", &["kN"]),
    (
        "ftH2O",
        &[
            "ft of water",
            "ft water",
            "feet of water",
            "foot of water",
            "ft H2O",
            "ftH2O",
            "ft of head",
        ],
    ),
    (
        "inH2O",
        &[
            "in of water",
            "in water",
            "inches of water",
            "inch of water",
            "in H2O",
            "inH2O",
        ],
    ),
    (
        "mH2O",
        &[
            "m of water",
            "m water",
            "meters of water",
            "metres of water",
            "m H2O",
            "mH2O",
        ],
    ),
    (
        "°F",
        &[
            "°F",
            "° F",
            "F",
            "degF",
            "deg F",
            "degrees F",
            "degree F",
            "fahrenheit",
            "degrees fahrenheit",
        ],
    ),
    (
        "°C",
        &[
            "°C",
            "° C",
            "C",
            "degC",
            "deg C",
            "degrees C",
            "degree C",
            "celsius",
            "degrees celsius",
        ],
    ),
    ("K", &["K", "kelvin", "kelvins"]),
    ("s", &["s", "S", "sec", "secs", "second", "seconds"]),
    ("min", &["min", "mins", "minute", "minutes"]),
    ("h", &["h", "H", "hr", "hrs", "hour", "hours"]),
    ("d", &["d", "D", "day", "days"]),
    ("week", &["week", "weeks", "wk", "wks"]),
    ("month", &["month", "months", "mo", "mos"]),
    ("year", &["year", "years", "yr", "yrs"]),
    ("W", &["W", "w", "watt", "watts"]),
    ("kW", &["kW", "kilowatt", "kilowatts"]),
    ("hp", &["hp", "bhp", "horsepower"]),
    ("Wh", &["Wh"]),
    ("kWh", &["kWh", "kW h", "kW-h"]),
    ("J", &["J", "joule", "joules"]),
    ("kJ", &["kJ"]),
    ("%", &["%", "percent", "per cent", "pct"]),
    ("°", &["°", "deg", "degree", "degrees"]),
    ("rad", &["rad", "radian", "radians"]),
    ("V", &["V", "v", "volt", "volts", "vac", "vdc"]),
    ("kV", &["kV"]),
    ("A", &["A", "amp", "amps", "ampere", "amperes"]),
    ("mA", &["mA", "milliamp", "milliamps"]),
    ("", &["plant", "plants", "each", "ea"]),
];

/// One way of writing blanks, minus signs, primes, degree signs and division, so that the rest need know one only.
pub(super) fn plain(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            c if c.is_whitespace() => ' ',
            '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2013}' => '-',
            '\u{2032}' | '\u{2018}' | '\u{2019}' => '\'',
            '\u{2033}' | '\u{201c}' | '\u{201d}' => '"',
            '\u{ba}' | '\u{2da}' => '°',
            '\u{2044}' | '\u{2215}' => '/',
            c => c,
        })
        .collect()
}

/// The canonical form of a unit as written; a part that no spelling matches stays as it is.
pub(super) fn canonical(text: &str) -> String {
    let text: String = plain(text)
        .chars()
        .filter(|c| !matches!(c, '^' | '.'))
        .map(|c| match c {
            '²' => '2',
            '³' => '3',
            'µ' | 'μ' => 'u',
            c => c,
        })
        .collect();
    divided(&text)
        .split('/')
        .map(|part| part_of(part.trim()))
        .collect::<Vec<_>>()
        .join("/")
}

/// The text with single blanks, and `/` for `per` (but not that of `per cent`).
fn divided(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut out: Vec<&str> = Vec::with_capacity(words.len());
    for (place, word) in words.iter().enumerate() {
        let of_cent = words
            .get(place + 1)
            .is_some_and(|next| next.eq_ignore_ascii_case("cent"));
        out.push(if word.eq_ignore_ascii_case("per") && !of_cent {
            "/"
        } else {
            word
        });
    }
    out.join(" ")
}

/// One part: a listed spelling, a square or a cube of one, or the part itself.
fn part_of(part: &str) -> String {
    if let Some(found) = listed(part) {
        return found.to_owned();
    }
    for (words, digit) in [(["sq ", "square "], '2'), (["cu ", "cubic "], '3')] {
        let base = words
            .iter()
            .find_map(|word| after(part, word))
            .or(part.strip_suffix(digit));
        if let Some(base) = base.and_then(|base| listed(base.trim())) {
            return format!("{base}{digit}");
        }
    }
    part.to_owned()
}

/// What follows `word` at the head of `part`, whatever its case.
fn after<'a>(part: &'a str, word: &str) -> Option<&'a str> {
    let head = part.get(..word.len())?;
    head.eq_ignore_ascii_case(word)
        .then(|| part.get(word.len()..))
        .flatten()
}

/// The canonical form of a listed spelling: as written, or in another case if that leaves one reading.
fn listed(part: &str) -> Option<&'static str> {
    let matching = |same: &dyn Fn(&str) -> bool| {
        SPELLINGS
            .iter()
            .filter(move |(_, spellings)| spellings.iter().any(|spelling| same(spelling)))
            .map(|(canonical, _)| *canonical)
            .collect::<Vec<_>>()
    };
    if let Some(exact) = matching(&|spelling| spelling == part).first() {
        return Some(exact);
    }
    let mut any_case = matching(&|spelling| spelling.len() > 1 && spelling.eq_ignore_ascii_case(part));
    any_case.dedup();
    match any_case.as_slice() {
        [only] => Some(only),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_of_writing_meet() {
        for (text, want) in [
            ("gpm/ft²", "gal/min/ft2"),
            ("Gallons per Minute per sq. ft.", "gal/min/ft2"),
            ("GPM / SF", "gal/min/ft2"),
            ("gal/min/ft^2", "gal/min/ft2"),
            ("cubic yards", "yd3"),
            ("M³/H", "m3/h"),
            ("oz per square yard", "oz/yd2"),
            ("per ft2", "/ft2"),
            ("plants/m²", "/m2"),
            ("per cent", "%"),
            ("µg/L", "ug/L"),
            ("deg F", "°F"),
            ("º C", "°C"),
            ("″", "in"),
            ("Imp. Gal.", "impgal"),
            ("ft of Water", "ftH2O"),
        ] {
            assert_eq!(canonical(text), want, "{text}");
        }
    }

    #[test]
    fn case_is_ignored_only_where_one_reading_is_left() {
        assert_eq!(listed("GALLONS"), Some("gal"));
        assert_eq!(listed("ml"), Some("mL"));
        assert_eq!(listed("ML"), Some("ML"));
        assert_eq!(listed("Ml"), None);
        assert_eq!(listed("Mg"), Some("t"));
        assert_eq!(listed("T"), None);
    }

    #[test]
    fn no_spelling_has_two_meanings() {
        let mut all: Vec<_> = SPELLINGS
            .iter()
            .flat_map(|(canonical, spellings)| spellings.iter().map(move |s| (*s, *canonical)))
            .collect();
        all.sort_unstable();
        assert!(all.windows(2).all(|pair| pair[0].0 != pair[1].0));
    }
}
