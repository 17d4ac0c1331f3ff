//! The entries of a sheet settled: what stands on the right of each colon, what fills a template's blanks, and what is
//! set for a run.

use super::super::model::{Named, Node, Origin, Remark, Written};
use super::super::order::Reference;
use super::super::types::Type;
use super::super::{beside, display, fit, literals::Literals, scope};
use super::Settler;
use crate::gathered::Fill;
use crate::syntax::tree::{Literal, Name, Statement, StatementKind};
use crate::trouble::{Kind, Trouble};
use std::collections::HashSet;

impl<'a> Settler<'a> {
    /// Settles what stands on the right of each colon, and what is set for this run.
    pub(super) fn entries(&mut self, settings: &[(Name, Literal)]) {
        let gathered = self.gathered;
        let mut done = HashSet::new();
        for statement in &gathered.statements {
            let StatementKind::Entry(name, literal) = &statement.kind else { continue };
            let Some(Named::Slot(slot)) = self.names.get(&name.key).copied() else { continue };
            if !done.insert(slot) || self.places.get(&name.key) != Some(&name.place) {
                continue;
            }
            self.entry(slot, name, literal, settings);
            self.checked.order.push(Node::Slot(slot));
        }
        for (name, _) in settings {
            let is_entry = matches!(self.names.get(&name.key), Some(Named::Slot(slot)) if done.contains(slot));
            if is_entry {
                continue;
            }
            if self.names.contains_key(&name.key) {
                self.refuse(name.place, Kind::SetOfNoEntry { name: name.written.clone() });
                continue;
            }
            let entries = done.iter().filter_map(|slot| self.checked.slots.get(*slot)).map(|slot| slot.name.as_str());
            let mut entries: Vec<&str> = entries.collect();
            entries.sort_unstable();
            let near = scope::nearest(&name.key, entries.into_iter()).unwrap_or_default().to_owned();
            self.refuse(name.place, Kind::NoSuchEntry { name: name.written.clone(), near });
        }
    }

    pub(super) fn entry(&mut self, slot: usize, name: &Name, literal: &Literal, settings: &[(Name, Literal)]) {
        let gathered = self.gathered;
        let fills: Vec<&Fill> = gathered.fills.iter().filter(|fill| fill.name.key == name.key).collect();
        let mut given = settings.iter().filter(|(set, _)| set.key == name.key);
        let setting = given.next();
        if let Some((again, _)) = given.next() {
            let kind = Kind::FilledTwice { name: again.written.clone() };
            return self.lost_entry(slot, Trouble::new(again.place, kind));
        }
        let last = setting.map(|(_, set)| set).or(fills.last().map(|fill| &fill.literal));
        // What a template fills in another is the template's to the worksheet that fills it.
        let (own, templates): (Vec<&Fill>, Vec<&Fill>) = fills.iter().partition(|fill| fill.place.source == 0);
        let of_template = templates.last().map_or(literal, |fill| &fill.literal);
        let mut remarks = Vec::new();
        let settled = match last {
            None => self.literal(literal, &name.written),
            Some(last) => {
                // What the template has is a blank or a default: it says the kind, and is not a value itself.
                if !own.is_empty() && !of_template.has_blank() {
                    remarks.push(Remark::Departs(self.scope(None).text(of_template.place)));
                }
                if setting.is_some() {
                    let before = fills.last().map_or(literal, |fill| &fill.literal);
                    remarks.push(Remark::SetForRun(self.scope(None).text(before.place)));
                }
                // The tool is the same, however many have filled the blank since.
                let before = std::iter::once(literal).chain(fills.iter().map(|fill| &fill.literal));
                self.filled(literal, &beside::with_doubt_of(before, last), &name.written)
            }
        };
        let (written, kind) = match settled {
            Ok(settled) => settled,
            Err(trouble) => return self.lost_entry(slot, trouble),
        };
        let shown = display::in_own_unit(&kind, &self.measures);
        let is_own = !own.is_empty() || setting.is_some();
        let remark = fills.last().and_then(|fill| fill.remark.clone());
        if let Some(own) = self.checked.slots.get_mut(slot) {
            own.is_default = own.place.source > 0 && !is_own;
            own.remarks.extend(remarks);
            own.remark = remark.or(own.remark.take());
            own.shown = shown;
            own.kind = kind;
            own.origin = Origin::Entered(written);
        }
    }

    /// Settles the value that stands in the place of another, whose kind it must have; blanks in that one are none.
    pub(super) fn filled(&mut self, blank: &Literal, value: &Literal, name: &str) -> Result<(Written, Type), Trouble> {
        let count = self.checked.blanks.len();
        let (_, wanted) = self.literal(blank, name)?;
        self.checked.blanks.truncate(count);
        let (written, kind) = self.literal(value, name)?;
        let fitted = fit::fit(&kind, &wanted, &self.measures).map_err(|kind| Trouble::new(value.place, kind))?;
        Ok((written, fitted))
    }

    pub(super) fn literal(&mut self, literal: &Literal, name: &str) -> Result<(Written, Type), Trouble> {
        let mut literals =
            Literals { measures: &self.measures, sources: self.sources, blanks: &mut self.checked.blanks };
        literals.settle(literal, name, None)
    }

    /// An entry in trouble, or one that waits on a crew measure in trouble.
    pub(super) fn lost_entry(&mut self, slot: usize, trouble: Trouble) {
        let measure = self.measures.lost_word(&trouble.kind);
        if let (Some(measure), Some(own)) = (measure, self.checked.slots.get_mut(slot)) {
            own.origin = Origin::Stuck(vec![measure]);
        }
        self.checked.troubles.push(trouble);
    }

    /// A line that a worksheet adds to its template's, that nothing uses and that is called nearly like one of those,
    /// may be meant for that one.
    pub(super) fn near_misses(&mut self) {
        let entry = |statement: &'a Statement| match &statement.kind {
            StatementKind::Entry(name, _) => Some(name),
            _ => None,
        };
        let entries = self.gathered.statements.iter().map(Box::as_ref).filter_map(entry);
        let (own, inherited): (Vec<&Name>, Vec<&Name>) = entries.partition(|name| name.place.source == 0);
        if inherited.is_empty() || own.is_empty() {
            return;
        }
        let name = |reference| match reference {
            Reference::Name(name) => Some(name.key.clone()),
            Reference::Member(..) | Reference::Chosen(..) => None,
        };
        let used: HashSet<String> = self.references().into_iter().filter_map(name).collect();
        for name in own.into_iter().filter(|name| !used.contains(&name.key)) {
            let near = scope::nearest(&name.key, inherited.iter().map(|name| name.written.as_str()));
            let (Some(near), Some(Named::Slot(slot))) = (near, self.names.get(&name.key)) else { continue };
            if let Some(slot) = self.checked.slots.get_mut(*slot) {
                slot.remarks.push(Remark::NearTemplates(near.to_owned()));
            }
        }
    }
}
