//! What only some views of a plan show.

use std::rc::Rc;

use super::{
    assess::Desk,
    document::{Document, FoundCures},
    paper::PaperWish,
};
use crate::read::Place;

impl Desk {
    /// Works out what only some views show: the water of a case, a paper, the curves of pumps, and the cures of the
    /// finding that is unfolded. Right after a change the last two stay as they were; returns whether they did.
    pub(super) fn look_closer(&self, document: &mut Document, changed: bool) -> bool {
        let Some(assessed) = &document.assessed else {
            return false;
        };
        let Some(reviewed) = &assessed.reviewed else {
            return false;
        };
        let closer = &mut document.closer;
        let fresh = |text: &Rc<str>| Rc::ptr_eq(text, &assessed.text);
        let case = document.view.case.as_ref().map(|(name, _)| name.clone());
        let known = closer.case.as_ref();
        if case.is_none() || !known.is_some_and(|(text, name, _)| fresh(text) && Some(name) == case.as_ref())
        {
            let follow = |name: String| {
                let levels = Rc::new(Self::case(reviewed, &name));
                (assessed.text.clone(), name, levels)
            };
            closer.case = case.map(follow);
        }
        let wish = document.view.paper.as_ref();
        let known = closer.paper.as_ref();
        if !known.is_some_and(|(text, known, _)| fresh(text) && Some(known) == wish) {
            let make = |wish: &PaperWish| {
                (
                    assessed.text.clone(),
                    wish.clone(),
                    Rc::new(self.paper(reviewed, wish)),
                )
            };
            closer.paper = wish.filter(|_| assessed.is_current()).map(make);
        }
        let mut later = false;
        if !closer.curves.as_ref().is_some_and(|(text, _)| fresh(text)) {
            if changed && closer.curves.is_some() {
                later = true;
            } else {
                closer.curves = Some((assessed.text.clone(), Rc::new(Self::curves(reviewed))));
            }
        }
        let raised = |(rule, object): &(String, Place)| {
            let findings = &mut reviewed.review.findings.iter();
            findings.any(|finding| finding.rule == *rule && finding.object == *object)
        };
        let Some(chosen) = document.view.chosen.clone().filter(raised) else {
            closer.cures = None;
            return later;
        };
        let same = |(_, known, _): &&FoundCures| *known == chosen;
        let known = closer.cures.as_ref().filter(same);
        if known.is_some_and(|(text, ..)| fresh(text)) {
            return later;
        }
        if changed && known.is_some() {
            return true;
        }
        let cures = self.cures(reviewed, &chosen.0, &chosen.1);
        closer.cures = Some((assessed.text.clone(), chosen, Rc::new(cures)));
        later
    }
}
