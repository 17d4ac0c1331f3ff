//! What a sheet draws from other worksheets: a slot for each value that a formula names. It opens no worksheet.

use super::super::model::{Named, Node, Origin, Slot, Written, WrittenValue};
use super::super::order::Reference;
use super::Settler;
use crate::syntax::tree::{FileName, Name, StatementKind};
use crate::text::Place;
use crate::trouble::Kind;
use std::collections::{HashMap, HashSet};

impl Settler<'_> {
    /// Gives each value that is drawn from another worksheet a slot called `name.value`.
    pub(super) fn drawn_sheets(&mut self) {
        let gathered = self.gathered;
        let mut lines: HashMap<&str, (&Name, &FileName, Place)> = HashMap::new();
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

    pub(super) fn drawn_value(&mut self, sheet: &Name, file: &FileName, member: &str, place: Place) {
        let Some(Ok(drawn)) = self.given.sheets.get(&sheet.key) else { return };
        if drawn.readings.contains(member) {
            self.names.insert(format!("{}.{member}", sheet.key), Named::ReadingsElsewhere);
        }
        let Some(value) = drawn.values.get(member) else { return };
        self.checked.asks_today |= value.given.rests_on_today;
        let given = Written {
            place,
            value: WrittenValue::Given(value.given.clone()),
            text: String::new(),
            doubt_text: String::new(),
            says_unit: false,
        };
        let slot = self.add_slot(Slot {
            name: format!("{}.{}", sheet.written, value.name),
            place,
            remark: None,
            kind: value.kind.clone(),
            origin: Origin::Entered(given),
            shown: value.shown.clone(),
            remarks: Vec::new(),
            is_crew_measure: false,
            is_default: false,
            from: Some(file.path.clone()),
        });
        self.names.insert(format!("{}.{member}", sheet.key), Named::Slot(slot));
        self.checked.order.push(Node::Slot(slot));
    }
}
