//! The pieces of a circuit as the formulas want them: pumps, runs of pipe, crests.

use super::{
    super::{Gap, Input, ledger::Sheet},
    losses::Losses,
};
use crate::{
    formulas::{fittings::methods::MinorLoss, gravity_pipe, pipe, pipe_table, pump::Curve, water, weir},
    plan::{
        Drain, Duty, Edge, Fall, Given, Line, Measure, MouthForm, Pipe, PipeMaterial, Plan, Pump, Run, Shown,
    },
    quantity::Kind,
};

/// A piece ready for the network, with what it rests on.
#[derive(Debug)]
pub(in crate::figures) struct Piece<T> {
    pub item: T,
    pub inputs: Vec<Input>,
}

/// Collects the gaps of many pieces, so that everything missing is asked for at once.
#[derive(Default)]
pub(super) struct Gaps(Option<Gap>);

impl Gaps {
    /// The item, or its gap kept.
    pub fn keep<T>(&mut self, result: Result<T, Gap>) -> Option<T> {
        match result {
            Ok(item) => Some(item),
            Err(gap) => {
                self.0 = Some(match self.0.take() {
                    Some(earlier) => earlier.and(gap),
                    None => gap,
                });
                None
            }
        }
    }

    /// Nothing missing, or everything that is.
    pub fn settle(self) -> Result<(), Gap> {
        self.0.map_or(Ok(()), Err)
    }
}

fn piece<T>(work: impl FnOnce(&mut Sheet<'_>) -> Result<T, Gap>) -> Result<Piece<T>, Gap> {
    let mut sheet = Sheet::blank();
    let item = work(&mut sheet)?;
    Ok(Piece {
        item,
        inputs: sheet.into_inputs(),
    })
}

/// The curve of a pump: as given, or through its one duty point by the usual assumption.
pub(in crate::figures) fn curve(pump: &Given<Pump>) -> Result<Piece<Curve>, Gap> {
    piece(|sheet| {
        let points = match (&pump.curve, &pump.duty) {
            (Shown::Is(curve), _) => {
                sheet.note_place("H(Q)", &curve.place);
                curve.iter().map(|(flow, head)| (flow.si(), head.si())).collect()
            }
            (_, Shown::Is(duty)) => through(sheet, duty)?,
            _ => return Err(Gap::NotShown(vec![pump.place.child("curve")])),
        };
        Curve::new(&points).map_err(|fault| Gap::NotComputed(fault.to_string()))
    })
}

/// A curve through one duty point: a parabola with the shut-off head at 4/3 of the duty head and no head at twice
/// the duty flow.
fn through(sheet: &mut Sheet<'_>, duty: &Given<Duty>) -> Result<Vec<(f64, f64)>, Gap> {
    let flow = sheet.given("Q_duty", &duty.flow, &duty.place, "flow")?;
    let head = sheet.given("H_duty", &duty.head, &duty.place, "head")?;
    sheet.assumed(
        "H_0",
        4.0 / 3.0 * head,
        Kind::Length,
        "a pump given by one duty point follows a parabola with 4/3 of the duty head at shut-off and none at twice the duty flow",
    );
    let points = 0..=10;
    Ok(points
        .map(|i| {
            let share = f64::from(i) / 5.0;
            (share * flow, head * (4.0 - share * share) / 3.0)
        })
        .collect())
}

/// A run of a line as a pipe: its inside diameter, roughness and losses.
pub(in crate::figures) fn run(
    run: &Given<Run>,
    line: &Given<Line>,
    losses: Losses<'_>,
) -> Result<Piece<pipe::Run>, Gap> {
    piece(|sheet| {
        let first = !matches!(run.after, Shown::Is(_));
        let bare = bare(sheet, run)?;
        let mut sum = losses.of(sheet, run, bare.diameter).fittings(run)?;
        if first && let Shown::Is(valve) = &line.check_valve {
            sum = sum.check_valve(valve)?;
        }
        if matches!(run.to, Shown::Is(_)) {
            sum = sum.exit(run);
        }
        let minor = sum.total();
        Ok(rough(sheet, run, with(minor, bare)))
    })
}

/// The suction run of a dry pump, with its entrance.
pub(in crate::figures) fn suction(
    run: &Given<Box<Run>>,
    losses: Losses<'_>,
) -> Result<Piece<pipe::Run>, Gap> {
    piece(|sheet| {
        let run = unboxed(run);
        let bare = bare(sheet, &run)?;
        let minor = losses
            .of(sheet, &run, bare.diameter)
            .fittings(&run)?
            .entrance(&run)
            .total();
        Ok(rough(sheet, &run, with(minor, bare)))
    })
}

/// A gravity line: its mouth, and its pipe with entrance and exit.
pub(in crate::figures) fn drain(
    drain: &Given<Drain>,
    losses: Losses<'_>,
) -> Result<Piece<gravity_pipe::GravityPipe>, Gap> {
    piece(|sheet| {
        let mut gaps = Gaps::default();
        let mouth = gaps.keep(mouth(sheet, drain));
        let pipe = gaps.keep(drain_pipe(sheet, drain, losses));
        gaps.settle()?;
        match (mouth, pipe) {
            (Some((mouth, level)), Some(pipe)) => Ok(gravity_pipe::GravityPipe { mouth, level, pipe }),
            _ => Err(Gap::NotComputed("the drain is incomplete".to_owned())),
        }
    })
}

fn mouth(sheet: &mut Sheet<'_>, drain: &Given<Drain>) -> Result<(gravity_pipe::Mouth, f64), Gap> {
    let missing = || Gap::NotShown(vec![drain.place.child("mouth")]);
    let mouth = drain.mouth.given().ok_or_else(missing)?;
    let form = mouth
        .form
        .given()
        .ok_or_else(|| Gap::NotShown(vec![mouth.place.child("form")]))?;
    sheet.note_place("mouth", &form.place);
    let level = sheet.given("z_lip", &mouth.level, &mouth.place, "level")?;
    let mouth = match form.value {
        MouthForm::Skimmer => gravity_pipe::Mouth::Lip {
            width: sheet.given("b", &mouth.width, &mouth.place, "width")?,
        },
        MouthForm::Standpipe => gravity_pipe::Mouth::Riser,
        MouthForm::WallPipe => gravity_pipe::Mouth::Wall,
        MouthForm::BottomDrain => gravity_pipe::Mouth::Submerged,
    };
    Ok((mouth, level))
}

fn drain_pipe(sheet: &mut Sheet<'_>, drain: &Given<Drain>, losses: Losses<'_>) -> Result<pipe::Run, Gap> {
    let missing = || Gap::NotShown(vec![drain.place.child("run")]);
    let run = unboxed(drain.run.given().ok_or_else(missing)?);
    let bare = bare(sheet, &run)?;
    let sum = losses.of(sheet, &run, bare.diameter).fittings(&run)?;
    let minor = sum.entrance(&run).exit(&run).total();
    Ok(rough(sheet, &run, with(minor, bare)))
}

fn unboxed(run: &Given<Box<Run>>) -> Given<Run> {
    Given {
        value: (*run.value).clone(),
        place: run.place.clone(),
    }
}

/// A run without friction and losses yet.
fn bare(sheet: &mut Sheet<'_>, run: &Given<Run>) -> Result<pipe::Run, Gap> {
    Ok(pipe::Run {
        diameter: inside_diameter(sheet, run)?,
        length: sheet.given("L", &run.length, &run.place, "length")?,
        roughness: 0.0,
        minor_k: 0.0,
        laminar_k: 0.0,
    })
}

fn with(minor: MinorLoss, pipe: pipe::Run) -> pipe::Run {
    pipe::Run {
        minor_k: minor.turbulent,
        laminar_k: minor.laminar,
        ..pipe
    }
}

fn rough(sheet: &mut Sheet<'_>, run: &Run, pipe: pipe::Run) -> pipe::Run {
    pipe::Run {
        roughness: roughness(sheet, run),
        ..pipe
    }
}

/// A pump's own check valve, of the size of the first run it feeds, as a pipe without length; none where it has none.
pub(super) fn own_check_valve(
    pump: &Given<Pump>,
    line: &Given<Line>,
    losses: Losses<'_>,
) -> Result<Option<Piece<pipe::Run>>, Gap> {
    let Shown::Is(valve) = &pump.check_valve else {
        return Ok(None);
    };
    let first = line.runs.values().find(|run| run.after.value().is_none());
    let first = first.ok_or_else(|| Gap::NotShown(vec![line.place.child("runs")]))?;
    piece(|sheet| {
        let diameter = inside_diameter(sheet, first)?;
        let minor = losses.of(sheet, first, diameter).check_valve(valve)?.total();
        let pipe = pipe::Run {
            diameter,
            length: 0.0,
            roughness: 0.0,
            minor_k: 0.0,
            laminar_k: 0.0,
        };
        Ok(with(minor, pipe))
    })
    .map(Some)
}

/// The inside diameter as given, or from the published tables by size and class.
pub(in crate::figures) fn inside_diameter(sheet: &mut Sheet<'_>, run: &Given<Run>) -> Result<f64, Gap> {
    let pipe = run
        .pipe
        .given()
        .ok_or_else(|| Gap::NotShown(vec![run.place.child("pipe")]))?;
    if let Shown::Is(inside) = &pipe.inside {
        sheet.note_given("D", inside);
        return Ok(inside.si());
    }
    let (size, class) = size_and_class(pipe)?;
    sheet.note_given("D_nominal", size);
    let entry = pipe_table::inside_diameter(size.si() / 0.0254, class)
        .map_err(|error| Gap::NotComputed(error.to_string()))?;
    sheet.assumed(
        "D",
        entry.inside_diameter,
        Kind::Length,
        &format!("inside diameters from {}", entry.source),
    );
    Ok(entry.inside_diameter)
}

/// Nominal size and class, both of which the tables need.
pub(in crate::figures) fn size_and_class(
    pipe: &Given<Pipe>,
) -> Result<(&Given<crate::plan::Length>, &str), Gap> {
    match (&pipe.size, &pipe.class) {
        (Shown::Is(size), Shown::Is(class)) => Ok((size, class)),
        (Shown::Is(_), _) => Err(Gap::NotShown(vec![pipe.place.child("class")])),
        _ => Err(Gap::NotShown(vec![pipe.place.child("size")])),
    }
}

fn roughness(sheet: &mut Sheet<'_>, run: &Run) -> f64 {
    let material = run.pipe.value().and_then(|pipe| pipe.material.value());
    let material = match material {
        Some(PipeMaterial::Steel) => pipe_table::Material::Steel,
        _ => pipe_table::Material::Pvc,
    };
    let why = "roughness of new pipe from the EPANET 2.2 manual: plastic, copper and hose 0.00006 in (0.0015 mm), \
               steel 0.0018 in (0.046 mm)";
    sheet.assumed("ε", material.roughness(), Kind::Length, why)
}

/// A crest: its level, and what passes it.
pub(super) fn crest(fall: &Given<Fall>) -> Result<(f64, Piece<weir::Crest>), Gap> {
    let mut sheet = Sheet::blank();
    let mut gaps = Gaps::default();
    let level = gaps.keep(sheet.given("z_crest", &fall.crest, &fall.place, "crest"));
    let item = gaps.keep(edge(&mut sheet, fall));
    let (Some(level), Some(item)) = (level, item) else {
        gaps.settle()?;
        return Err(Gap::NotComputed("the crest is incomplete".to_owned()));
    };
    Ok((
        level,
        Piece {
            item,
            inputs: sheet.into_inputs(),
        },
    ))
}

/// The edge of a crest with its size: a width, or the sides of a notch.
fn edge(sheet: &mut Sheet<'_>, fall: &Given<Fall>) -> Result<weir::Crest, Gap> {
    let edge = fall.edge.given();
    let missing = edge
        .is_none()
        .then(|| Gap::NotShown(vec![fall.place.child("edge")]));
    let size = match (note_size(sheet, fall), missing) {
        (Ok(size), None) => size,
        (Ok(_), Some(gap)) | (Err(gap), None) => return Err(gap),
        (Err(size), Some(edge)) => return Err(size.and(edge)),
    };
    if let Some(edge) = edge {
        sheet.note_place("edge", &edge.place);
    }
    let (edge, width) = match edge.map(|edge| edge.value) {
        // tan of half the angle is the slope of a side.
        Some(Edge::VNotch) => {
            let angle = 2.0 * size.atan().to_degrees();
            (weir::Edge::VNotch(weir::Notch { angle }), 0.0)
        }
        Some(Edge::BroadStone) => (weir::Edge::BroadStone, size),
        Some(Edge::RoughStone) => (weir::Edge::RoughStone, size),
        Some(Edge::ThinLip) | None => (weir::Edge::ThinLip, size),
    };
    Ok(weir::Crest::in_open_water(edge, width))
}

/// What sizes a crest: its width in m, or the slope of the sides of a V-notch.
pub(in crate::figures) fn note_size(sheet: &mut Sheet<'_>, fall: &Given<Fall>) -> Result<f64, Gap> {
    if fall.edge.value() == Some(&Edge::VNotch) {
        sheet.given("z", &fall.notch_sides, &fall.place, "notch_sides")
    } else {
        sheet.given("b", &fall.width, &fall.place, "width")
    }
}

/// Temperature of the water, K: half way between coldest and warmest, else 60 °F.
pub(in crate::figures) fn temperature(plan: &Plan) -> Piece<f64> {
    let mut sheet = Sheet::blank();
    let water = plan.water.value();
    let coldest = water.and_then(|water| water.coldest.given());
    let warmest = water.and_then(|water| water.warmest.given());
    for (symbol, given) in [("T_coldest", coldest), ("T_warmest", warmest)] {
        if let Some(given) = given {
            sheet.note_given(symbol, given);
        }
    }
    let item = match (coldest.map(|given| given.si()), warmest.map(|given| given.si())) {
        (Some(cold), Some(warm)) => f64::midpoint(cold, warm),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => {
            let why = "water at 60 °F (15.6 °C) where no temperature is shown";
            sheet.assumed("T", SIXTY_FAHRENHEIT, Kind::Temperature, why)
        }
    };
    Piece {
        item,
        inputs: sheet.into_inputs(),
    }
}

/// K.
const SIXTY_FAHRENHEIT: f64 = (60.0 + 459.67) / 1.8;

/// Kinematic viscosity of the water, m²/s.
pub(in crate::figures) fn viscosity(plan: &Plan) -> Piece<f64> {
    let temperature = temperature(plan);
    Piece {
        item: water::kinematic_viscosity(temperature.item),
        inputs: temperature.inputs,
    }
}
