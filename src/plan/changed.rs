//! A plan after some of its values were changed: only what holds them is read again.

use std::collections::HashSet;

use indexmap::IndexMap;
use serde::Deserialize;

use super::{Given, Map, Plan, de, unreadable};
use crate::read::{Node, Place, Problem};

impl Plan {
    /// The plan of a tree that differs from this plan's own at these places only.
    ///
    /// # Errors
    /// A tree that the schema would have refused.
    pub fn changed(&self, tree: &Node, places: &[Place]) -> Result<Self, Problem> {
        let mut plan = self.clone();
        let mut members: HashSet<Vec<String>> = HashSet::new();
        for place in places {
            // Several values of one member are read with it once.
            if !members.insert(place.parts().take(2).collect()) {
                continue;
            }
            plan.read_again(tree, place)
                .map_err(|error| unreadable(tree, &error, "the plan"))?;
        }
        plan.follow_from(tree);
        Ok(plan)
    }

    /// Reads the member of a collection that holds a place again, or the part of the plan that does.
    fn read_again(&mut self, tree: &Node, place: &Place) -> Result<(), de::Error> {
        let mut keys = place.parts();
        let Some(part) = keys.next() else {
            *self = super::read(tree)?;
            return Ok(());
        };
        let from = At {
            tree,
            part: &part,
            id: keys.next(),
        };
        match part.as_str() {
            "project" => self.project = from.whole()?,
            "benchmark" => self.benchmark = from.whole()?,
            "site" => self.site = from.whole()?,
            "water" => self.water = from.whole()?,
            "basins" => from.member(&mut self.basins)?,
            "pumps" => from.member(&mut self.pumps)?,
            "lines" => from.member(&mut self.lines)?,
            "falls" => from.member(&mut self.falls)?,
            "streams" => from.member(&mut self.streams)?,
            "drains" => from.member(&mut self.drains)?,
            "walls" => from.member(&mut self.walls)?,
            "excavations" => from.member(&mut self.excavations)?,
            "backfill" => self.backfill = from.whole()?,
            "electrical" => self.electrical = from.whole()?,
            "planting" => self.planting = from.whole()?,
            "filling" => self.filling = from.whole()?,
            "upkeep" => self.upkeep = from.whole()?,
            "attachments" => from.member(&mut self.attachments)?,
            "accepted" => from.member(&mut self.accepted)?,
            _ => *self = super::read(tree)?,
        }
        Ok(())
    }
}

/// Where a part of the plan, or a member of it, stands in a tree.
struct At<'t> {
    tree: &'t Node,
    part: &'t str,
    id: Option<String>,
}

impl<'t> At<'t> {
    /// The part as a whole; left out where the tree has none.
    fn whole<T: Deserialize<'t> + Default>(&self) -> Result<T, de::Error> {
        let place = Place::root().child(self.part);
        let node = self.tree.get(self.part);
        node.map_or_else(|| Ok(T::default()), |node| T::deserialize(de::At { node, place }))
    }

    /// One member of a collection that has it already; else the collection as a whole.
    fn member<T: Deserialize<'t>>(&self, members: &mut Map<T>) -> Result<(), de::Error>
    where
        IndexMap<String, Given<T>>: Deserialize<'t>,
    {
        let node = self
            .id
            .as_deref()
            .and_then(|id| self.tree.get(self.part)?.get(id));
        let known = self.id.as_deref().and_then(|id| members.get_mut(id));
        if let (Some(node), Some(known), Some(id)) = (node, known, &self.id) {
            let place = Place::root().child(self.part).child(id);
            *known = Given::deserialize(de::At { node, place })?;
        } else {
            *members = self.whole()?;
        }
        Ok(())
    }
}
