//! The reaches of a stream as the formulas want them, and the water they hold.

use crate::{
    formulas::{
        channel::{STONE_STREAM_ROUGH, STONE_STREAM_WHY, Section},
        stream::{Bed, End, SUBMERGENCE},
    },
    ledger::{Gap, Input, Notes},
    plan::{Given, Measure, Reach, Shown, Stream},
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

/// How the bed holds the water back: by its stone, or within a range where no size is shown.
fn bed(sheet: &mut Notes, reach: &Given<Reach>) -> Bed {
    match &reach.stone {
        Shown::Is(stone) if stone.si() > 0.0 => {
            sheet.note_given("D50", stone);
            let why = "the size that 84 % of a stream's stone is finer than is 1.5 times its middle size; resistance \
                       lies between half and twice what the variable-power equation gives (common practice)";
            let d84 = sheet.assumed("D84", D84_OVER_MIDDLE * stone.si(), Kind::Length, why);
            Bed::Stone { d84 }
        }
        _ => {
            sheet.assumed("n_rough", STONE_STREAM_ROUGH, Kind::Ratio, STONE_STREAM_WHY);
            Bed::Unknown
        }
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
