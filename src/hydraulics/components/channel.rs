//! The reaches of a stream as the formulas want them, and the water they hold.

use crate::{
    formulas::{
        channel::{STONE_STREAM_ROUGH, STONE_STREAM_SMOOTH, STONE_STREAM_WHY, Section},
        channel_lining::GRASS,
        roughness::Lining,
        stream::{Bed, End, SUBMERGENCE},
    },
    ledger::{Gap, Input, Notes},
    plan::{ChannelLining, Given, Measure, Reach, Shown, Stream},
    quantity::Kind,
};

/// The size that 84 % of graded stone is finer than, over its middle size.
const D84_OVER_MIDDLE: f64 = 1.5;

/// A reach ready for the formulas.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Channel {
    pub section: Section,
    pub bed: Bed,
    /// m.
    pub length: f64,
}

impl Channel {
    /// The channel of a reach.
    pub fn of(sheet: &mut Notes, reach: &Given<Reach>) -> Result<Self, Gap> {
        let at = &reach.place;
        let drop = sheet.given("Δz", &reach.drop, at, "drop")?;
        let length = sheet.given("L", &reach.length, at, "length")?;
        let section = Section {
            bed_width: sheet.given("b", &reach.bed_width, at, "bed_width")?,
            side_slope: sheet.given("z", &reach.side_slope, at, "side_slope")?,
            slope: drop / length,
        };
        Ok(Self {
            section,
            bed: bed(sheet, reach),
            length,
        })
    }

    /// Depth at one end of the range of resistance, m; a gap on a bed without fall.
    pub fn depth(&self, flow: f64, end: End) -> Result<f64, Gap> {
        let depth = self.bed.depth(&self.section, flow, end);
        if depth.is_finite() {
            Ok(depth)
        } else {
            Err(Gap::NotComputed("a level bed carries no even flow".to_owned()))
        }
    }
}

/// How the bed holds the water back: by its roughness where that is given, by its stone where its size is shown, else
/// within the range of its lining, or of a stone stream where none is shown.
fn bed(sheet: &mut Notes, reach: &Given<Reach>) -> Bed {
    if let Shown::Is(roughness) = &reach.roughness {
        let n = roughness.value;
        sheet.note_value("n_rough", n, Kind::Ratio, &roughness.place);
        return Bed::Manning { smooth: n, rough: n };
    }
    if let Some(stone) = reach.stone.given().filter(|stone| stone.si() > 0.0) {
        sheet.note_given("D50", stone);
        let why = "the size that 84 % of a stream’s stone is finer than is 1.5 times its middle size; resistance \
                   lies between half and twice what the variable-power equation gives (common practice)";
        let d84 = sheet.assumed("D84", D84_OVER_MIDDLE * stone.si(), Kind::Length, why);
        return Bed::Stone { d84 };
    }
    let lining = reach.lining.given();
    if let Some(lining) = lining {
        sheet.note_place("lining", &lining.place);
    }
    let ((smooth, rough), why) = range(lining.map(|lining| lining.value));
    sheet.assumed("n_rough", rough, Kind::Ratio, why);
    Bed::Manning { smooth, rough }
}

/// Manning’s n of a lining at both ends of its range, and where it comes from. Over stone of unknown size the rough end is
/// that of a shallow stone stream.
fn range(lining: Option<ChannelLining>) -> ((f64, f64), &'static str) {
    let smooth = |lining: Lining| (lining.manning().least, lining.manning().most);
    let stony = |lining: Lining| (lining.manning().least, STONE_STREAM_ROUGH);
    match lining {
        Some(ChannelLining::SmoothConcrete) => (
            smooth(Lining::SmoothConcrete),
            "Manning’s n of smooth concrete or render from 0.011 to 0.015 (Chow 1959, table 5-6)",
        ),
        Some(ChannelLining::DressedStone) => (
            smooth(Lining::DressedStone),
            "Manning’s n of dressed stone in mortar from 0.013 to 0.017 (Chow 1959, table 5-6)",
        ),
        Some(ChannelLining::Grass) => (
            GRASS,
            "Manning’s n of a grass lining from 0.030 to 0.500 (Chow 1959, table 5-6; from memory)",
        ),
        Some(ChannelLining::Gravel) => (
            stony(Lining::Gravel),
            "Manning’s n of gravel from 0.022 (Chow 1959, table 5-6) to the 0.20 of a shallow stone stream, where the \
             size of its stone is not shown",
        ),
        Some(ChannelLining::Cobbles) => (
            stony(Lining::Cobbles),
            "Manning’s n of cobbles from 0.030 (Chow 1959, table 5-6) to the 0.20 of a shallow stone stream, where the \
             size of its stone is not shown",
        ),
        Some(ChannelLining::Boulders) => (
            stony(Lining::Boulders),
            "Manning’s n of boulders from 0.040 (Chow 1959, table 5-6) to the 0.20 of a shallow stone stream, where the \
             size of its stone is not shown",
        ),
        None => ((STONE_STREAM_SMOOTH, STONE_STREAM_ROUGH), STONE_STREAM_WHY),
    }
}

/// What is told of water too shallow or too deep against its stone, where it is counted all the same.
fn beyond_measured() -> String {
    format!(
        "the resistance of stone was measured in water {} to {} times as deep as the stone; outside that range the \
         water a stream holds is an estimate",
        SUBMERGENCE.start(),
        SUBMERGENCE.end()
    )
}

/// Water held in a stream while it runs, m³: at the rough end of the range, which holds the most.
pub(crate) fn stream_water(stream: &Given<Stream>, flow: f64, inputs: &mut Vec<Input>) -> Result<f64, Gap> {
    let mut volume = 0.0;
    for reach in stream.reaches.values() {
        let mut sheet = Notes::default();
        let channel = Channel::of(&mut sheet, reach)?;
        let why =
            "a stream holds the water of the rough end of its range: the most, which is on the safe side";
        let depth = sheet.assumed("y_rough", channel.depth(flow, End::Rough)?, Kind::Length, why);
        if let Some(submergence) = channel.bed.outside(&channel.section, depth) {
            sheet.assumed("x_stone", submergence, Kind::Ratio, &beyond_measured());
        }
        volume += channel.section.area(depth) * channel.length;
        inputs.extend(sheet.into_inputs());
    }
    Ok(volume)
}
