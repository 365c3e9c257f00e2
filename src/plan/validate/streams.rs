//! Streams: where they end, and how their levels lie to the crests at both ends.

use super::Sense;
use crate::{
    plan::{Given, Stream, connections::falls_into},
    quantity::agree,
    read::ProblemKind,
    text::shown,
};

impl<'a> Sense<'a> {
    /// A stream runs downhill from what feeds it to a basin, or to the one fall that leaves it.
    pub(super) fn stream(&mut self, stream: &'a Given<Stream>) {
        self.basin_id(&stream.ends_in);
        let id = stream.place.key();
        self.one_end(&id, stream);
        self.runs_down(&id, stream);
    }

    fn one_end(&mut self, id: &str, stream: &'a Given<Stream>) {
        let plan = self.plan;
        let leaves = plan.falls.values();
        let leaves: Vec<_> = leaves
            .filter_map(|fall| fall.from.given().filter(|from| from.value == id))
            .collect();
        if let [_, second, ..] = leaves.as_slice() {
            self.tell(
                ProblemKind::Joint,
                &second.place,
                format!("two falls leave the stream `{}`", shown(id)),
                "a stream ends in one fall, or in a basin",
            );
        }
        match (leaves.first(), stream.ends_in.given()) {
            (Some(_), Some(ends_in)) => self.tell(
                ProblemKind::Joint,
                &ends_in.place,
                format!("the stream `{}` ends in a basin and in a fall", shown(id)),
                "a fall leaves this stream: leave `ends_in` out, or let the fall start elsewhere",
            ),
            (None, None) => self.tell(
                ProblemKind::NoWayOut,
                &stream.place,
                format!("the stream `{}` ends nowhere", shown(id)),
                "name the basin in `ends_in`, or let a fall start `from` this stream",
            ),
            _ => {}
        }
    }

    fn runs_down(&mut self, id: &str, stream: &'a Given<Stream>) {
        let plan = self.plan;
        let above = |a: f64, b: f64| a > b && !agree(a, b);
        let head = stream.head.given();
        let crests = falls_into(plan, id).filter_map(|fall| fall.crest.value());
        let lowest = crests.map(|crest| crest.0).reduce(f64::min);
        if let (Some(head), Some(crest)) = (head, lowest)
            && above(head.value.0, crest)
        {
            self.tell(
                ProblemKind::Uphill,
                &head.place,
                format!(
                    "the head of the stream `{}` lies above the crest that feeds it",
                    shown(id)
                ),
                "water can’t fall upward",
            );
        }
        let lowest = [lowest, head.map(|head| head.value.0)];
        let source = lowest.into_iter().flatten().reduce(f64::min);
        if let (Some(end), Some(source)) = (stream.end.given(), source)
            && above(end.value.0, source)
        {
            self.tell(
                ProblemKind::Uphill,
                &end.place,
                format!("the end of the stream `{}` lies above its head", shown(id)),
                "water can’t run upward",
            );
        }
    }
}
