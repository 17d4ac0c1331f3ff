//! The crew's own measures settled: `1 scoop = 2.4 oz of product`, `1 basket`. One may be counted in another, whichever
//! stands first. It does not know what is counted in them.

use super::super::model::{Node, Origin, Slot};
use super::super::{display, literals::Literals, order};
use super::Settler;
use crate::syntax::tree::{Item, Name, Statement, StatementKind};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::{self, Lookup};
use crate::units::{CrewWord, Dimension, Labels, unit};
use std::collections::HashMap;

/// The most measures of the crew's own in a worksheet.
const MOST: usize = 1000;

/// A measure with its size, on its line.
struct Sized<'a> {
    statement: &'a Statement,
    word: &'a Name,
    item: &'a Item,
}

impl Settler<'_> {
    /// Settles the crew's own measures, each after those it is counted in.
    pub(super) fn crew_measures(&mut self) {
        let gathered = self.gathered;
        let mut sized = Vec::new();
        let mut counters = 0u16;
        let mut too_many = None;
        for statement in &gathered.statements {
            let StatementKind::Crew(word, size) = &statement.kind else { continue };
            if !self.crew_word_is_free(word) {
                continue;
            }
            if sized.len() + usize::from(counters) == MOST {
                too_many.get_or_insert(word.place);
                self.measures.lost.insert(word.key.clone());
                continue;
            }
            match size {
                Some(item) => sized.push(Sized { statement, word, item }),
                None => {
                    let base = unit::crew_counter(counters);
                    counters += 1;
                    self.add_crew_word(word, Dimension::of(base, WHOLE), None, Labels::none());
                }
            }
        }
        if let Some(place) = too_many {
            self.refuse(place, Kind::TooManyMeasures { most: MOST });
        }
        let sorted = order::sort(&needs(&sized));
        for circle in &sorted.circles {
            self.crew_circle(circle, &sized);
        }
        for measure in sorted.order.into_iter().filter_map(|index| sized.get(index)) {
            if !self.measures.lost.contains(&measure.word.key) {
                self.crew_measure(measure);
            }
        }
    }

    fn crew_word_is_free(&mut self, word: &Name) -> bool {
        let key = format!("1 {}", word.key);
        if let Some(first) = self.places.get(&key).copied() {
            let line = self.line(first);
            let kind = Kind::DefinedTwice { name: word.written.clone(), line };
            self.checked.troubles.push(Trouble::new(word.place, kind).beside(first));
            return false;
        }
        if let Some((first, one, several)) = self.plural(word) {
            let kind = Kind::CrewPlural { one, several, line: self.line(first) };
            let trouble = Trouble::new(word.place, kind).beside(first);
            self.lose(word, trouble);
            return false;
        }
        // `1 pas` would take the word of `2 pass`.
        let mut words = [word.written.clone(), format!("{}s", word.written)].into_iter();
        if let Some(taken) = words.find(|word| !matches!(vocabulary::lookup(word), Lookup::Unknown)) {
            let is_counter = |entry: &vocabulary::Entry| entry.kind == vocabulary::EntryKind::Counter;
            let counted = vocabulary::entries().iter().any(|entry| is_counter(entry) && entry.symbol == word.key);
            let instead =
                if counted { format!("the size with it, as in 50 lb/{}", word.key) } else { "another word".to_owned() };
            self.lose(word, Trouble::new(word.place, Kind::UnitTaken { word: taken, instead }));
            return false;
        }
        self.places.insert(key, word.place);
        true
    }

    /// Another measure whose plural this word is, or that is the plural of this one; the one and several of it.
    fn plural(&self, word: &Name) -> Option<(Place, String, String)> {
        let key = &word.key;
        let several = (key.clone(), format!("{key}s"));
        let one = key.strip_suffix('s').map(|one| (one.to_owned(), key.clone()));
        let place = |other: &String| self.places.get(&format!("1 {other}")).copied();
        let of_one = one.and_then(|(one, several)| Some((place(&one)?, one, several)));
        of_one.or_else(|| Some((place(&several.1)?, several.0, several.1)))
    }

    fn crew_circle(&mut self, circle: &[usize], sized: &[Sized<'_>]) {
        let on_it: Vec<&Sized<'_>> = circle.iter().filter_map(|index| sized.get(*index)).collect();
        let Some(first) = on_it.first() else { return };
        let names: Vec<String> = on_it.iter().chain([first]).map(|own| format!("1 {}", own.word.written)).collect();
        self.refuse(first.item.place, Kind::CrewCircle { chain: names.join(" needs ") });
        self.measures.lost.extend(on_it.iter().map(|own| own.word.key.clone()));
    }

    fn crew_measure(&mut self, Sized { statement, word, item }: &Sized<'_>) {
        let mut literals =
            Literals { measures: &self.measures, sources: self.sources, blanks: &mut self.checked.blanks };
        let (written, kind) = match literals.settle_item(item, &format!("1 {}", word.written)) {
            Ok(settled) => settled,
            Err(trouble) => return self.lose(word, trouble),
        };
        let number = match kind.number() {
            Some(number) if !number.is_range() && !number.is_point => number.clone(),
            _ => {
                let kind = Kind::CrewMeasureSize { word: word.written.clone() };
                return self.lose(word, Trouble::new(item.place, kind));
            }
        };
        let slot = self.add_slot(Slot {
            name: format!("1 {}", word.written),
            place: statement.place,
            remark: statement.remark.clone(),
            shown: display::in_own_unit(&kind, &self.measures),
            kind,
            origin: Origin::Entered(written),
            remarks: Vec::new(),
            is_crew_measure: true,
            is_default: false,
            from: None,
        });
        self.add_crew_word(word, number.dimension.clone(), Some(slot), number.labels);
        self.checked.order.push(Node::Slot(slot));
    }

    fn lose(&mut self, word: &Name, trouble: Trouble) {
        self.checked.troubles.push(trouble);
        self.measures.lost.insert(word.key.clone());
    }

    fn add_crew_word(&mut self, word: &Name, dimension: Dimension, slot: Option<usize>, labels: Labels) {
        let index = u16::try_from(self.measures.crew.len()).unwrap_or(u16::MAX);
        self.measures.crew.push(CrewWord { word: word.written.clone(), dimension });
        self.measures.crew_labels.push(labels);
        self.measures.crew_index.insert(word.key.clone(), index);
        self.checked.crew_slots.push(slot);
    }
}

/// For each measure, the others that it is counted in.
fn needs(sized: &[Sized<'_>]) -> Vec<Vec<usize>> {
    let index: HashMap<&str, usize> =
        sized.iter().enumerate().map(|(index, own)| (own.word.key.as_str(), index)).collect();
    let of = |own: &Sized<'_>| {
        let parts = own.item.amount.parts.iter().filter_map(|part| part.unit.as_ref());
        let words = parts.flat_map(|unit| &unit.terms).map(|term| term.words.to_lowercase());
        let found = words.filter_map(|word| {
            let singular = word.strip_suffix('s').and_then(|singular| index.get(singular));
            index.get(word.as_str()).or(singular).copied()
        });
        found.collect()
    };
    sized.iter().map(of).collect()
}
