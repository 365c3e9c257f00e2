//! The water lost in a day, season by season, as bars.

use crate::{
    papers::SeasonLoss,
    quantity::{Kind, UnitSystem, show_estimate},
    report::drawing::{
        WIDTH,
        board::LABEL,
        scene::{Anchor, Fill, Item, Scene, Stroke, Text, Tone},
    },
};

/// Where bars begin and how long the longest is, pt.
const LEFT: f64 = 60.0;
const LONGEST: f64 = WIDTH - LEFT - 120.0;
/// Height of a row and of its bar, pt.
const ROW: f64 = 24.0;
const BAR: f64 = 14.0;

/// The bars of a day sheet; none where nothing is lost.
pub(super) fn day_chart(losses: &[SeasonLoss], units: UnitSystem) -> Vec<Scene> {
    let all = |loss: &SeasonLoss| loss.evaporation + loss.splash.1;
    let most = losses.iter().map(all).fold(0.0, f64::max);
    if most <= 0.0 {
        return Vec::new();
    }
    if let [only] = losses {
        let splash = show_estimate(only.splash.1, Kind::Volume, units);
        let told = format!(
            "In {}, {} evaporate in a day, and at most {splash} splash out.",
            only.season,
            show_estimate(only.evaporation, Kind::Volume, units),
        );
        return vec![Scene::sentence("Water lost in a day", told)];
    }
    let mut scene = Scene {
        width: WIDTH,
        height: ROW * losses.len() as f64 + 4.0,
        title: "Water lost in a day".to_owned(),
        ..Scene::default()
    };
    let volume = |si: f64| show_estimate(si, Kind::Volume, units);
    let edge = Stroke::solid(0.5, Tone::Ink);
    let mut told = Vec::new();
    for (index, loss) in losses.iter().enumerate() {
        let middle = ROW * (index as f64 + 0.5);
        let (top, bottom) = (middle - BAR / 2.0, middle + BAR / 2.0);
        let x = |si: f64| LEFT + si / most * LONGEST;
        let parts = [
            (0.0, loss.evaporation, Fill::Water),
            (loss.evaporation, loss.evaporation + loss.splash.0, Fill::Accent),
            (
                loss.evaporation + loss.splash.0,
                loss.evaporation + loss.splash.1,
                Fill::Soil,
            ),
        ];
        for (from, to, fill) in parts {
            let (from, to) = (x(from), x(to));
            scene.area(
                &[[from, top], [to, top], [to, bottom], [from, bottom]],
                fill,
                Some(edge),
            );
        }
        let season = Text::new([LEFT - 6.0, middle], Anchor::End, LABEL, loss.season).strong();
        scene.items.push(Item::Text(season));
        let words = format!(
            "{} to {}",
            volume(loss.evaporation + loss.splash.0),
            volume(loss.evaporation + loss.splash.1)
        );
        let after = [x(all(loss)) + 6.0, middle];
        scene
            .items
            .push(Item::Text(Text::new(after, Anchor::Start, LABEL, words.clone())));
        told.push(format!("{} {words}", loss.season));
    }
    scene.alt = format!("Water lost in a day: {}.", told.join(", "));
    scene
        .notes
        .push("Pale: evaporation. Dark: the least splash. Hatched: up to the most splash.".to_owned());
    vec![scene]
}
