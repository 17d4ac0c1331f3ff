//! What a sheet draws from other worksheets: a slot for each value that a formula names. It opens no worksheet.

use super::super::drawn::DrawnValue;
use super::super::model::{Named, Node, Origin, Slot, Written, WrittenValue};
use super::super::order::Reference;
use super::super::types::Type;
use super::Settler;
use crate::syntax::tree::{FileName, Name, StatementKind};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use crate::units::vocabulary;
use std::collections::{HashMap, HashSet};

impl<'a> Settler<'a> {
    /// Gives each value that is drawn from another worksheet a slot called `name.value`.
    pub(super) fn drawn_sheets(&mut self) {
        let gathered = self.gathered;
        let mut lines: HashMap<&str, (&Name, &'a FileName, Place)> = HashMap::new();
        for statement in &gathered.statements {
            let StatementKind::Draw(name, file) = &statement.kind else { continue };
            if !self.define(name, Named::Sheet) {
                continue;
            }
            match self.given.sheets.get(&name.key) {
                Some(Ok(drawn)) if drawn.troubles > 0 => {
                    let kind = Kind::TroubleElsewhere { file: file.path.clone(), count: drawn.troubles };
                    self.lose_sheet(name, file.place, kind);
                }
                Some(Ok(_)) => {
                    lines.insert(&name.key, (name, file, statement.place));
                }
                Some(Err(kind)) => self.lose_sheet(name, file.place, kind.clone()),
                None => self.lose_sheet(name, file.place, Kind::FileMissing { file: file.path.clone() }),
            }
        }
        for (sheet, member) in self.members() {
            let Some((name, file, place)) = lines.get(sheet.as_str()) else { continue };
            self.drawn_value(name, file, &member, *place);
        }
    }

    pub(super) fn lose_sheet(&mut self, name: &Name, place: Place, kind: Kind) {
        self.names.remove(&name.key);
        self.unread.insert(name.key.clone());
        self.refuse(place, kind);
    }

    /// Every `sheet.value` that a formula names, once.
    pub(super) fn members(&self) -> Vec<(String, String)> {
        let mut seen = HashSet::new();
        let member = |reference| match reference {
            Reference::Member(sheet, member) => Some((sheet.key.clone(), member.key.clone())),
            Reference::Name(_) | Reference::Chosen(..) => None,
        };
        self.references().into_iter().filter_map(member).filter(|found| seen.insert(found.clone())).collect()
    }

    fn drawn_value(&mut self, sheet: &Name, file: &'a FileName, member: &str, place: Place) {
        let given = self.given;
        let Some(Ok(drawn)) = given.sheets.get(&sheet.key) else { return };
        if drawn.readings.contains(member) {
            self.names.insert(format!("{}.{member}", sheet.key), Named::ReadingsElsewhere);
        }
        let Some(value) = drawn.values.get(member) else { return };
        self.checked.asks_today |= value.given.rests_on_today;
        let (kind, shown, origin) = match value.taken(&self.measures) {
            Ok((kind, shown)) => (kind, shown, Origin::Entered(given_at(place, value))),
            Err(counter) => {
                self.refuse_drawn(file, counter.kind(&file.path));
                (Type::Unknown, Vec::new(), Origin::Broken)
            }
        };
        let slot = self.add_slot(Slot {
            name: format!("{}.{}", sheet.written, value.name),
            place,
            remark: None,
            kind,
            origin,
            shown,
            remarks: Vec::new(),
            is_crew_measure: false,
            is_default: false,
            from: Some(file.path.clone()),
        });
        self.names.insert(format!("{}.{member}", sheet.key), Named::Slot(slot));
        self.checked.order.push(Node::Slot(slot));
        self.money.extend(value.currency.map(|currency| (slot, currency, file)));
    }

    /// Holds the money that is drawn against the currency of the worksheet, which what stands in it says first: entries
    /// and tables have been settled, and formulas have not.
    pub(super) fn drawn_money(&mut self) {
        for (slot, currency, file) in std::mem::take(&mut self.money) {
            let own = self.measures.currency.get().filter(|own| *own != currency);
            let Some(own) = own else {
                if self.measures.currency.replace(Some(currency)).is_none() {
                    self.measures.currency_from = Some(file.path.clone());
                }
                continue;
            };
            let (file_name, of_file) = (file.path.clone(), vocabulary::symbol(currency));
            let kind = match &self.measures.currency_from {
                Some(first) if *first != file.path => Kind::CurrenciesDrawn {
                    file: file_name,
                    found: of_file,
                    other: first.clone(),
                    first: vocabulary::symbol(own),
                },
                _ => Kind::CurrencyDrawn { file: file_name, found: of_file, own: vocabulary::symbol(own) },
            };
            self.refuse_drawn(file, kind);
            if let Some(slot) = self.checked.slots.get_mut(slot) {
                (slot.kind, slot.origin) = (Type::Unknown, Origin::Broken);
                slot.shown.clear();
            }
        }
    }

    /// Several values of one worksheet may be refused for the same reason, which is told once.
    fn refuse_drawn(&mut self, file: &FileName, kind: Kind) {
        let trouble = Trouble::new(file.place, kind);
        if !self.checked.troubles.contains(&trouble) {
            self.checked.troubles.push(trouble);
        }
    }
}

fn given_at(place: Place, value: &DrawnValue) -> Written {
    Written {
        place,
        value: WrittenValue::Given(value.given.clone()),
        text: String::new(),
        doubt_text: String::new(),
        says_unit: false,
    }
}
