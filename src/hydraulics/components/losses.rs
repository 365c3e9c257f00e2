//! Minor losses of a pipe: fittings, check valve, entrance and exit, by the method the plan names.

use crate::{
    formulas::fittings::{
        self,
        methods::{Method, MinorLoss, Size},
    },
    ledger::{Gap, Notes},
    plan::{CheckKind, CheckValve, FittingLosses, Given, Measure, Plan, Run, Shown},
    quantity::Kind,
    read::Place,
};

/// How the plan has losses of fittings worked out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Losses<'a> {
    method: Method,
    /// Where the plan names the method; none where it is the default.
    named: Option<&'a Place>,
}

impl<'a> Losses<'a> {
    /// By the method the plan names, or the default.
    pub fn by(plan: &'a Plan) -> Self {
        let named = plan
            .project
            .value()
            .and_then(|project| project.fitting_losses.given());
        Self {
            method: match named.map(|named| named.value) {
                Some(FittingLosses::Crane) => Method::Crane,
                Some(FittingLosses::Hooper) => Method::TwoK,
                Some(FittingLosses::Darby) => Method::ThreeK,
                None => Method::default(),
            },
            named: named.map(|named| &named.place),
        }
    }

    /// Whose method it is.
    pub fn source(self) -> &'static str {
        self.method.source()
    }

    /// Begins the sum of the losses in a run of an inside diameter in m, with what the plan gives in velocity heads.
    pub(crate) fn of<'s>(self, sheet: &'s mut Notes, run: &Given<Run>, inside_diameter: f64) -> Sum<'s> {
        if let Some(named) = self.named {
            sheet.note_place("method", named);
        }
        let size = Size {
            inside_diameter,
            nominal: nominal(sheet, self.method, run, inside_diameter),
        };
        Sum {
            sheet,
            method: self.method,
            size,
            total: MinorLoss::default(),
        }
    }
}

/// The size of a pipe in inches that the tables know it by, m; Darby asks for it.
fn nominal(sheet: &mut Notes, method: Method, run: &Run, inside_diameter: f64) -> f64 {
    let pipe = run.pipe.value();
    let by_table = pipe.filter(|pipe| matches!(pipe.inside, Shown::NotShown));
    let size = by_table.and_then(|pipe| pipe.size.value()).map(|size| size.si());
    let metres = match size {
        Some(size) => size,
        None if method == Method::ThreeK => {
            let why = "the inside diameter stands for the nominal size of Darby’s 3-K where the pipe is not from a table";
            sheet.assumed("D_n", inside_diameter, Kind::Length, why)
        }
        None => inside_diameter,
    };
    metres / 0.0254
}

/// Losses of one pipe as they are added up, each noted.
pub(crate) struct Sum<'s> {
    sheet: &'s mut Notes,
    method: Method,
    size: Size,
    total: MinorLoss,
}

impl Sum<'_> {
    /// With the fittings a run lists and what it gives in velocity heads.
    pub fn fittings(mut self, run: &Given<Run>) -> Result<Self, Gap> {
        let missing = || Gap::NotShown(vec![run.place.child("fittings")]);
        let list = run.fittings.given().ok_or_else(missing)?;
        self.sheet.note_place("K", &list.place);
        self.total.turbulent +=
            run.extra_k.value().copied().unwrap_or(0.0) + run.throttle_k.value().copied().unwrap_or(0.0);
        for (name, count) in list.iter() {
            self.add(name, *count)?;
        }
        Ok(self)
    }

    /// With a check valve.
    pub fn check_valve(mut self, valve: &Given<CheckValve>) -> Result<Self, Gap> {
        self.sheet.note_place("K_check", &valve.place);
        let name = match valve.kind.value() {
            Some(CheckKind::Spring) => "spring check",
            Some(CheckKind::Swing) => "swing check",
            None => {
                let why = "a check valve whose kind is not shown is a swing check";
                self.sheet.assumed("K_check", 0.0, Kind::Ratio, why);
                "swing check"
            }
        };
        self.add(name, 1)?;
        Ok(self)
    }

    /// With an entrance, where the run that takes water from a basin names none.
    pub fn entrance(mut self, run: &Run) -> Self {
        let named = [
            "entrance sharp",
            "entrance bell",
            "entrance projecting",
            "foot valve",
            "screen",
        ];
        if !named.iter().any(|name| lists(run, name)) {
            let why = "a pipe that takes water from a basin has a sharp entrance where none is named, K 0.5";
            self.total.turbulent += self.sheet.assumed("K_entrance", 0.5, Kind::Ratio, why);
        }
        self
    }

    /// With an exit, where the run that ends in a basin names none.
    pub fn exit(mut self, run: &Run) -> Self {
        if !lists(run, "exit") {
            let why = "one velocity head is lost where a run ends in a basin";
            self.total.turbulent += self.sheet.assumed("K_exit", 1.0, Kind::Ratio, why);
        }
        self
    }

    /// The sum.
    pub fn total(self) -> MinorLoss {
        self.total
    }

    fn add(&mut self, name: &str, count: u32) -> Result<(), Gap> {
        let unknown = |error: fittings::UnknownFitting| Gap::NotComputed(error.to_string());
        let fitting = fittings::find(name).map_err(unknown)?;
        let loss = self.method.loss(name, &self.size).map_err(unknown)?;
        if !self.method.holds(fitting) {
            let why = format!(
                "{}: {} has no constants for it, so its K is that of the table after Crane ({})",
                fitting.name,
                self.method.source(),
                fitting.source
            );
            self.sheet.assumed("K_table", loss.turbulent, Kind::Ratio, &why);
        }
        self.total.laminar += f64::from(count) * loss.laminar;
        self.total.turbulent += f64::from(count) * loss.turbulent;
        Ok(())
    }
}

fn lists(run: &Run, fitting: &str) -> bool {
    run.fittings
        .value()
        .is_some_and(|list| list.contains_key(fitting))
}
