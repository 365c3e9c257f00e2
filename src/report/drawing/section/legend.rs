//! The legend below a section: only what was drawn.

use super::{
    super::{
        WIDTH,
        scene::{Anchor, Fill, Pattern, Point, Stroke, Text, Tone},
        text::width,
    },
    SMALL, SectionDrawing,
    piping::Toward,
};

/// What a legend explains.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Key {
    /// Level of the benchmark.
    Datum,
    /// Ground outside.
    Ground,
    /// Still water.
    Still,
    /// Running water.
    Running,
    /// Water after power-off.
    PowerOff,
    /// The level that a finding rests on.
    Finding,
    /// Groundwater.
    Groundwater,
    /// Lining.
    Lining,
    /// Underlay.
    Underlay,
    /// Wall of a basin without lining.
    Unlined,
    /// Void modules.
    Modules,
    /// Round stone.
    Stone,
    /// Gravel.
    Gravel,
    /// Soil or fabric.
    Soil,
    /// Clean-out well.
    Well,
    /// Pumped line.
    Line,
    /// Pump.
    Pump,
    /// Intake of a dry pump.
    Intake,
    /// Check valve.
    CheckValve,
    /// Air inlet.
    AirInlet,
    /// Water over a crest.
    Nappe,
    /// Stream over its bed.
    Stream,
    /// Gravity line.
    Gravity,
    /// Overflow.
    Overflow,
    /// Skimmer.
    Skimmer,
    /// Bottom drain.
    BottomDrain,
}

pub(super) const STILL: Stroke = Stroke::solid(0.9, Tone::Accent);
pub(super) const RUNNING: Stroke = Stroke::new(0.9, Tone::Accent, Pattern::Dashed);
pub(super) const POWER_OFF: Stroke = Stroke::new(1.0, Tone::Accent, Pattern::Dotted);
pub(super) const FINDING: Stroke = Stroke::new(1.2, Tone::Ink, Pattern::DashDotted);
pub(super) const GROUNDWATER: Stroke = Stroke::new(1.0, Tone::Soft, Pattern::Dotted);
pub(super) const LINING: Stroke = Stroke::solid(1.4, Tone::Ink);
pub(super) const UNDERLAY: Stroke = Stroke::new(0.5, Tone::Soft, Pattern::Dashed);
pub(super) const UNLINED: Stroke = Stroke::solid(2.4, Tone::Soft);
pub(super) const PIPE: Stroke = Stroke::solid(1.7, Tone::Soft);
pub(super) const GROUND: Stroke = Stroke::solid(0.7, Tone::Ink);
pub(super) const NAPPE: Stroke = Stroke::solid(1.4, Tone::Accent);
pub(super) const WELL: Stroke = Stroke::solid(0.6, Tone::Ink);

impl Key {
    const fn words(self) -> &'static str {
        match self {
            Self::Datum => "benchmark level",
            Self::Ground => "ground",
            Self::Still => "still water",
            Self::Running => "running",
            Self::PowerOff => "after power-off",
            Self::Finding => "level behind a finding",
            Self::Groundwater => "groundwater",
            Self::Lining => "liner",
            Self::Underlay => "underlay",
            Self::Unlined => "wall, no liner shown",
            Self::Modules => "void modules",
            Self::Stone => "stone",
            Self::Gravel => "gravel",
            Self::Soil => "soil or fabric",
            Self::Well => "clean-out well",
            Self::Line => "pumped line",
            Self::Pump => "pump",
            Self::Intake => "pump intake",
            Self::CheckValve => "check valve",
            Self::AirInlet => "air inlet",
            Self::Nappe => "fall over its crest",
            Self::Stream => "stream, with its reaches",
            Self::Gravity => "gravity line",
            Self::Overflow => "overflow",
            Self::Skimmer => "skimmer",
            Self::BottomDrain => "bottom drain",
        }
    }
}

impl SectionDrawing<'_> {
    /// What is to scale and what is not, in the drawing itself.
    pub(super) fn say_scale(&mut self) {
        let words = format!("not to scale across; heights {}", self.scale.words);
        let at = [WIDTH, self.depth + 8.0];
        self.put(Text::new(at, Anchor::End, SMALL, words).strong());
    }

    /// Sets the legend in rows below everything.
    pub(super) fn draw_legend(&mut self) {
        const SAMPLE: f64 = 20.0;
        const ROW: f64 = 12.0;
        const BETWEEN: f64 = 6.0;
        let mut keys = self.legend.clone();
        keys.sort_by_key(|(key, _)| *key as usize);
        let (mut x, mut y) = (0.0, self.depth + 12.0);
        for (key, unbroken) in keys {
            let long = SAMPLE + 4.0 + width(key.words(), SMALL, false) + BETWEEN;
            if x + long - BETWEEN > WIDTH {
                (x, y) = (0.0, y + ROW);
            }
            self.sample(key, unbroken, [x, y], SAMPLE);
            self.put(Text::new(
                [x + SAMPLE + 4.0, y],
                Anchor::Start,
                SMALL,
                key.words(),
            ));
            x += long;
        }
        self.depth = self.depth.max(y + 6.0);
    }

    /// What the key looks like; dashed where it is nowhere drawn unbroken.
    fn sample(&mut self, key: Key, unbroken: bool, [x, y]: Point, long: f64) {
        let middle = x + long / 2.0;
        let stroke = match key {
            Key::Datum => Stroke::new(0.4, Tone::Soft, Pattern::DashDotted),
            Key::Ground => GROUND,
            Key::Still => {
                self.water_mark(middle, y);
                STILL
            }
            Key::Running => RUNNING,
            Key::PowerOff => POWER_OFF,
            Key::Finding => FINDING,
            Key::Groundwater => GROUNDWATER,
            Key::Lining => LINING,
            Key::Underlay => UNDERLAY,
            Key::Unlined => UNLINED,
            Key::Line => PIPE,
            Key::Nappe => return self.nappe([x + 3.0, y - 2.4], [x + long - 2.2, y + 4.6]),
            Key::Modules => return self.swatch(Fill::Modules, x, y, long),
            Key::Stone => return self.swatch(Fill::Stone, x, y, long),
            Key::Gravel => return self.swatch(Fill::Gravel, x, y, long),
            Key::Soil => return self.swatch(Fill::Soil, x, y, long),
            Key::Well => {
                self.scene.line(&[[x, y - 2.0], [x + long, y - 2.0]], WELL);
                self.scene.line(&[[x, y + 2.0], [x + long, y + 2.0]], WELL);
                return;
            }
            Key::Pump => return self.pump_symbol([middle, y]),
            Key::Intake => {
                self.scene.line(&[[middle, y], [x + long, y]], PIPE);
                return self.disc([middle, y], 2.4, Stroke::solid(0.9, Tone::Ink), Some(Fill::Paper));
            }
            Key::CheckValve => return self.check_valve_symbol([middle, y], Toward::Right),
            Key::Stream => {
                let down = [[x, y - 1.0], [x + long, y + 1.0]];
                let (water, bed) = (STILL.dashed_unless(unbroken), LINING.dashed_unless(unbroken));
                self.scene.line(&down.map(|[x, y]| [x, y - 2.0]), water);
                self.scene.line(&down.map(|[x, y]| [x, y + 2.0]), bed);
                return;
            }
            Key::Gravity => return self.gravity_pipe(&[[x, y], [x + long, y]], unbroken),
            Key::Overflow => return self.overflow_symbol([middle - 3.0, y - 2.0], 7.0, unbroken),
            Key::Skimmer => return self.skimmer_symbol([middle, y - 3.0], 2.5),
            Key::BottomDrain => return self.bottom_drain_symbol([middle, y - 2.0]),
            Key::AirInlet => return self.air_inlet_symbol([middle - 4.0, y], 1.0),
        };
        self.scene
            .line(&[[x, y], [x + long, y]], stroke.dashed_unless(unbroken));
        if key == Key::Ground {
            let corners = [[x, y], [x + long, y], [x + long, y + 3.5], [x, y + 3.5]];
            self.scene.area(&corners, Fill::Ground, None);
        }
    }

    fn swatch(&mut self, fill: Fill, x: f64, y: f64, long: f64) {
        let corners = [
            [x, y - 4.0],
            [x + long, y - 4.0],
            [x + long, y + 4.0],
            [x, y + 4.0],
        ];
        self.scene
            .area(&corners, fill, Some(Stroke::solid(0.3, Tone::Soft)));
    }
}
