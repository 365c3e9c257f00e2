//! What holds of every quantity: nothing panics, what is shown parses back, pairs keep their order.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::{
    Kind, Quantity, UNITS, UnitSystem, agree, feet_inches, natural_unit, show, show_in, show_level,
    show_margin, show_pair,
    spelling::{SPELLINGS, canonical},
};

fn kinds() -> impl Strategy<Value = Kind> {
    proptest::sample::select(Kind::ALL.to_vec())
}

fn systems() -> impl Strategy<Value = UnitSystem> {
    prop_oneof![Just(UnitSystem::Us), Just(UnitSystem::Si)]
}

/// Text made of what quantities are made of, so that it goes deep into the parser.
fn nearly_quantities() -> impl Strategy<Value = String> {
    let pieces = proptest::sample::select(vec![
        "1", "0", "6", "12", ",", ".", "/", "-", "+", "\u{2212}", "½", " ", "in", "ft", "'", "\"", "gpm",
        "²", "3", "per", "cent", "%", "°", "F", ":", "H", "V", "e", "E9", "sq", "lb", "oz", "h", "min",
        "\u{a0}", "µ", "…",
    ]);
    proptest::collection::vec(pieces, 0..12).prop_map(|pieces| pieces.concat())
}

#[test]
fn every_spelling_of_every_unit_parses() {
    let mut seen = 0;
    for unit in UNITS {
        let spelling = canonical(unit.symbol);
        let spelled = SPELLINGS
            .iter()
            .filter(|(canonical, _)| *canonical == spelling && !spelling.is_empty())
            .flat_map(|(_, spellings)| *spellings);
        for text in spelled.chain([&unit.symbol]).map(|name| format!("2 {name}")) {
            if unit.kind == Kind::Slope {
                continue;
            }
            let quantity = Quantity::parse(&text, unit.kind).unwrap();
            assert_eq!(quantity.unit, Some(unit), "{text}");
            assert_eq!(quantity.si, unit.to_si(2.0), "{text}");
            seen += 1;
        }
    }
    assert!(seen > 2 * UNITS.len());
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>(), nearly in nearly_quantities(), kind in kinds()) {
        for text in [text, nearly] {
            match Quantity::parse(&text, kind) {
                Ok(quantity) => prop_assert!(quantity.si.is_finite() && quantity.unit.is_some()),
                Err(error) => {
                    prop_assert!(!error.to_string().ends_with('.'));
                    prop_assert!(!error.help().is_empty());
                }
            }
        }
    }

    #[test]
    fn any_value_is_shown(si in any::<f64>(), other in any::<f64>(), kind in kinds(), system in systems()) {
        for text in [
            show(si, kind, system),
            show_margin(si, si, kind, system),
            show_level(si, system),
            feet_inches(si),
            show_pair(si, other, kind, system).0,
        ] {
            prop_assert!(!text.is_empty());
        }
    }

    #[test]
    fn what_is_shown_in_full_parses_back(
        mantissa in 1.0..10.0_f64,
        power in -5..9_i32,
        kind in kinds(),
        system in systems(),
    ) {
        let si = mantissa * 10_f64.powi(power);
        let text = show_in(si, natural_unit(si, kind, system), 17);
        let back = Quantity::parse(&text, kind).unwrap().si;
        prop_assert!((back - si).abs() <= 1e-12 * si.max(300.0 * f64::from(kind == Kind::Temperature)), "{text}");
    }

    #[test]
    fn what_is_written_to_an_eighth_prints_as_written(eighths in 1..2000_u32) {
        let text = show_in(f64::from(eighths) / 8.0 * 0.0254, natural_unit(0.0, Kind::Length, UnitSystem::Us), 3);
        prop_assert_eq!(text, format!("{} in", super::digits::decimal(f64::from(eighths) / 8.0, 17)));
        let inches = f64::from(eighths) / 8.0 * 0.0254;
        let back = Quantity::parse(&feet_inches(-inches), Kind::Length).unwrap().si;
        prop_assert!((back + inches).abs() < 1e-12);
    }

    #[test]
    fn pairs_keep_their_order_in_print(
        limit in 1e-4..1e4_f64,
        power in -8..1_i32,
        below in any::<bool>(),
        kind in kinds(),
        system in systems(),
    ) {
        let step = limit * 10_f64.powi(power) * if below { -0.5 } else { 0.5 };
        let found = limit + step;
        let (shown, bound) = show_pair(found, limit, kind, system);
        if agree(found, limit) {
            prop_assert_eq!(shown, bound);
        } else {
            let parsed = |text: &str| Quantity::parse(text, kind).map(|quantity| quantity.si);
            if let (Ok(shown), Ok(bound)) = (parsed(&shown), parsed(&bound)) {
                prop_assert_eq!(shown < bound, found < limit);
                prop_assert!(shown != bound);
            } else {
                prop_assert!(shown != bound);
            }
        }
    }
}
