//! A value drawn from another worksheet, in terms of the one that draws it. Counters of the crew's own have numbers of
//! each worksheet's own: what they have in common is their words.

use super::drawn::DrawnValue;
use super::model::ShownIn;
use super::types::{NumberType, Type};
use super::units::Measures;
use crate::trouble::Kind;
use crate::units::dimension::WHOLE;
use crate::units::{Base, Dimension, Factor, Unit, Word, unit};
use smallvec::smallvec;

/// A counter of another worksheet that the worksheet which draws on it does not have.
#[derive(Debug)]
pub struct OtherCounter {
    /// Its word.
    pub word: String,
    /// Whether the word is a measure with a size here.
    is_sized: bool,
}

impl OtherCounter {
    /// What is wrong, where a file is drawn on.
    pub fn kind(self, file: &str) -> Kind {
        let (file, word) = (file.to_owned(), self.word);
        if self.is_sized { Kind::CounterWithSize { file, word } } else { Kind::CounterElsewhere { file, word } }
    }
}

/// Numbers of counters there and here.
type Numbers = Vec<(u16, u16)>;

impl DrawnValue {
    /// Its type and how it is shown, with the counters of the worksheet that these are the measures of.
    ///
    /// # Errors
    /// The first counter that the worksheet does not have.
    pub fn taken(&self, measures: &Measures) -> Result<(Type, Vec<ShownIn>), OtherCounter> {
        let Type::Number(number) = &self.kind else { return Ok((self.kind.clone(), self.shown.clone())) };
        if self.counters.is_empty() {
            return Ok((self.kind.clone(), self.shown.clone()));
        }
        let own = |(there, word): &(u16, String)| Ok((*there, counter(word, measures)?));
        let numbers: Numbers = self.counters.iter().map(own).collect::<Result<_, _>>()?;
        let unit = own_unit(&number.unit, &numbers);
        let kind = NumberType {
            dimension: own_dimension(&number.dimension, &numbers),
            whole_units: smallvec![unit.clone()],
            unit,
            ..number.clone()
        };
        let shown = self.shown.iter().map(|shown| ShownIn { unit: own_unit(&shown.unit, &numbers), ..shown.clone() });
        Ok((Type::Number(kind), shown.collect()))
    }
}

/// The counter of that word.
fn counter(word: &str, measures: &Measures) -> Result<u16, OtherCounter> {
    let index = measures.crew_index.get(&word.to_lowercase()).copied();
    let own = index.and_then(|index| Some((index, measures.crew.get(usize::from(index))?)));
    match own {
        Some((index, own)) if own.dimension == Dimension::of(unit::crew_counter(index), WHOLE) => Ok(index),
        own => Err(OtherCounter { word: word.to_owned(), is_sized: own.is_some() }),
    }
}

fn own_number(there: u16, numbers: &Numbers) -> Option<u16> {
    numbers.iter().find(|(number, _)| *number == there).map(|(_, own)| *own)
}

fn own_unit(unit: &Unit, numbers: &Numbers) -> Unit {
    let own = |factor: &Factor| match factor.word {
        Word::Crew(there) => Factor { word: Word::Crew(own_number(there, numbers).unwrap_or(there)), ..*factor },
        Word::Known(_) => *factor,
    };
    Unit { factors: unit.factors.iter().map(own).collect() }
}

fn own_dimension(dimension: &Dimension, numbers: &Numbers) -> Dimension {
    let own = |base: Base| unit::own_counter(base).and_then(|there| own_number(there, numbers)).map(unit::crew_counter);
    let powers = dimension.powers().iter().map(|(base, power)| Dimension::of(own(*base).unwrap_or(*base), *power));
    powers.fold(Dimension::plain(), |whole, part| whole.times(&part))
}
