//! The operands of a formula: amounts, and names with what they stand for.

use super::super::literals;
use super::super::model::{Does, Expression, Named};
use super::super::types::{NumberType, Type};
use super::super::units::Position;
use super::{Typing, unknown, yes_no};
use crate::quantity::Measured;
use crate::syntax::tree::{Amount, Joint, Name, Operator};
use crate::trouble::Kind;
use crate::units::dimension::WHOLE;

impl Typing<'_> {
    /// A number with its unit; where it says none, it has that of `unsaid`.
    pub(super) fn amount(&mut self, amount: &Amount, unsaid: Option<&NumberType>) -> Expression {
        let settled = {
            let scope = &self.scope;
            let is_name = |key: &str| scope.is_name(key);
            literals::settle_amount(scope.measures, amount, unsaid, Position::Value, &is_name)
        };
        let settled = match settled {
            Ok(settled) => settled,
            Err(trouble) => {
                let trouble = self.scope.measures.substance_in(trouble, amount, &|place| self.scope.text(place));
                self.troubles.push(self.scope.with_factor(trouble, amount));
                return unknown(amount.place);
            }
        };
        if let Some((reading, product)) = self.label_or_name(amount, &settled.kind) {
            return self.refuse(amount.place, Kind::ShareOrSubstance { reading, product });
        }
        let number = self.literal_number(amount, &settled);
        settled.names.iter().fold(number, |left, (joint, name)| {
            let right = self.name(name);
            let place = left.place.to(right.place);
            let operator = if *joint == Joint::Times { Operator::Times } else { Operator::Over };
            self.combined(place, operator, left, right)
        })
    }

    /// A number, times the sizes of the crew measures it is counted in.
    pub(super) fn literal_number(&mut self, amount: &Amount, settled: &literals::SettledAmount) -> Expression {
        let place = amount.place;
        let number = Measured::exact(settled.number.unwrap_or_default());
        let kind = Type::Number(settled.kind.clone());
        let mut whole = Expression { place, kind: kind.clone(), does: Does::Number(number) };
        for (word, twelfths) in settled.kind.unit.crew_words() {
            let Some(slot) = self.scope.crew_slot(word) else { continue };
            let size = Expression { place, kind: kind.clone(), does: Does::Slot(slot) };
            let power = f64::from(twelfths.abs()) / f64::from(WHOLE);
            let exponent = Expression { place, kind: Type::plain(), does: Does::Number(Measured::exact(power)) };
            let raised = Does::Arithmetic(Operator::Power, Box::new(size.clone()), Box::new(exponent));
            let factor = if power == 1.0 { size } else { Expression { place, kind: kind.clone(), does: raised } };
            let operator = if twelfths > 0 { Operator::Times } else { Operator::Over };
            whole = Expression {
                place,
                kind: kind.clone(),
                does: Does::Arithmetic(operator, Box::new(whole), Box::new(factor)),
            };
        }
        whole
    }

    /// `0.25 % v/v of tank` and `1/2 of tank`, where `tank` is a name.
    pub(super) fn label_or_name(&self, amount: &Amount, kind: &NumberType) -> Option<(String, String)> {
        let term = amount.parts.last()?.unit.as_ref()?.terms.last()?;
        let label = term.label.as_ref()?;
        let is_ratio = kind.dimension.is_plain() && (kind.ratio.is_some() || term.words.is_empty());
        (is_ratio && self.scope.is_name(&label.key)).then(|| {
            let text = self.scope.text(amount.place);
            let number = text.split(" of ").next().unwrap_or(&text).to_owned();
            (text.clone(), format!("{number} * {}", label.written))
        })
    }

    /// A name by itself.
    pub fn name(&mut self, name: &Name) -> Expression {
        let place = name.place;
        if let Some(expression) = self.scope.cell(name) {
            return expression;
        }
        match self.scope.find(&name.key) {
            Some(Named::Slot(slot)) => self.scope.slot(slot, place),
            Some(Named::Sheet) => self.refuse(place, Kind::SheetAsValue { name: name.written.clone() }),
            Some(Named::Table(table)) => {
                let (name, offer) = (name.written.clone(), self.scope.column_offer(table));
                self.refuse(place, Kind::TableAsValue { name, offer })
            }
            None | Some(Named::ReadingsElsewhere) => self.constant_or_missing(name),
        }
    }

    pub(super) fn constant_or_missing(&mut self, name: &Name) -> Expression {
        let place = name.place;
        if self.scope.is_column_of_choice(&name.key) {
            return self.refuse(place, Kind::ChoiceRightSide { name: name.written.clone() });
        }
        match name.key.as_str() {
            "pi" => {
                Expression { place, kind: Type::plain(), does: Does::Number(Measured::exact(std::f64::consts::PI)) }
            }
            "today" => {
                self.asks_today = true;
                Expression { place, kind: Type::Date { hour: false }, does: Does::Today }
            }
            "yes" => yes_no(place, Does::YesNo(true)),
            "no" => yes_no(place, Does::YesNo(false)),
            key if self.scope.is_unread(key) => unknown(place),
            _ => {
                let kind = self.scope.missing(name);
                self.refuse(place, kind)
            }
        }
    }

    pub(super) fn member(&mut self, table: &Name, member: &Name) -> Expression {
        let place = table.place.to(member.place);
        match self.scope.find(&table.key) {
            Some(Named::Table(index)) => match self.scope.column(index, &member.key, place) {
                Some(column) => column,
                None => {
                    let near = self.scope.nearest_column(index, &member.key, false);
                    self.refuse(
                        member.place,
                        Kind::MissingMember { table: table.written.clone(), column: member.written.clone(), near },
                    )
                }
            },
            Some(Named::Sheet) => match self.scope.find(&format!("{}.{}", table.key, member.key)) {
                Some(Named::Slot(slot)) => self.scope.slot(slot, place),
                Some(Named::ReadingsElsewhere) => {
                    let (sheet, name) = (table.written.clone(), member.written.clone());
                    self.refuse(member.place, Kind::ReadingsElsewhere { sheet, name })
                }
                _ => self.refuse(
                    member.place,
                    Kind::MissingMember {
                        table: table.written.clone(),
                        column: member.written.clone(),
                        near: String::new(),
                    },
                ),
            },
            Some(Named::Slot(slot)) if self.scope.slot_type(slot).is_unknown() => unknown(place),
            // Defined twice, and the other one may be the table.
            Some(Named::Slot(_)) if self.scope.is_unread(&table.key) => unknown(place),
            Some(Named::Slot(_) | Named::ReadingsElsewhere) => {
                self.refuse(place, Kind::NotATable { name: table.written.clone() })
            }
            None if self.scope.is_unread(&table.key) => unknown(place),
            None => {
                let kind = self.scope.missing(table);
                self.refuse(table.place, kind)
            }
        }
    }
}
