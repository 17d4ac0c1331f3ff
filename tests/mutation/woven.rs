//! Writes a file anew: each place that mutants change in a form that does what was written there, or what one of them
//! would write when the switch names it. No line is added, so that places in messages stay.

use crate::found::Choices;
use std::cell::Cell;
use std::ops::Range;

/// A stretch of bytes that is written anew.
pub struct Rewrite {
    pub range: Range<usize>,
    pub form: Form,
}

/// What stands in the place of a stretch; its parts, which may hold other stretches, are ranges of bytes.
pub enum Form {
    /// The inside of a function.
    Body {
        choices: Choices,
    },
    /// The inside of a function that yields `impl Iterator`, which is one type whatever the switch says.
    Iterator {
        choices: Choices,
    },
    Logic {
        left: Range<usize>,
        right: Range<usize>,
        is_and: bool,
        choices: Choices,
    },
    Comparison {
        left: Range<usize>,
        right: Range<usize>,
        operator: String,
        choices: Choices,
    },
    Arithmetic {
        left: Range<usize>,
        right: Range<usize>,
        operator: String,
        choices: Choices,
    },
    Assignment {
        left: Range<usize>,
        right: Range<usize>,
        operator: String,
        choices: Choices,
    },
    Unary {
        operand: Range<usize>,
        operator: &'static str,
        choices: Choices,
    },
    /// What stands behind the pattern of an arm.
    Guard {
        guard: Option<Range<usize>>,
        deleted: Choices,
        replaced: Choices,
    },
    /// A field of a structure that has a base; where this is no place, it is held under a name around the structure.
    Field {
        structure: Range<usize>,
        name: Range<usize>,
        value: Range<usize>,
        base: Option<Range<usize>>,
        choices: Choices,
    },
    Hold {
        structure: Range<usize>,
        base: Range<usize>,
    },
    Held,
    LetGo,
}

pub fn woven(text: &str, mut rewrites: Vec<Rewrite>) -> String {
    rewrites.sort_by_key(|rewrite| (rewrite.range.start, usize::MAX - rewrite.range.end));
    let weaver = Weaver { text, rewrites: rewrites.into_iter().map(|rewrite| (Cell::new(false), rewrite)).collect() };
    weaver.written(0..text.len())
}

struct Weaver<'text> {
    text: &'text str,
    /// Outer ones before those inside; whether one is being written just now, since a part may be as long as the whole.
    rewrites: Vec<(Cell<bool>, Rewrite)>,
}

impl Weaver<'_> {
    /// A stretch of the text with what is to be rewritten in it.
    fn written(&self, range: Range<usize>) -> String {
        let mut written = String::new();
        let mut at = range.start;
        for (is_open, rewrite) in &self.rewrites {
            let own = &rewrite.range;
            if own.start < at || own.end > range.end || is_open.get() {
                continue;
            }
            written += &self.text[at..own.start];
            is_open.set(true);
            written += &self.formed(rewrite);
            is_open.set(false);
            at = own.end;
        }
        written + &self.text[at..range.end]
    }

    fn formed(&self, rewrite: &Rewrite) -> String {
        match &rewrite.form {
            Form::Body { choices } => {
                let choice = |(number, value): &(usize, String)| format!(" if {} {{ return {value}; }}", on(*number));
                choices.iter().map(choice).collect::<String>() + &self.written(rewrite.range.clone())
            }
            Form::Iterator { choices } => iterator(&self.written(rewrite.range.clone()), choices),
            Form::Logic { left, right, is_and, choices } => {
                logic(&self.written(left.clone()), &self.written(right.clone()), *is_and, choices)
            }
            Form::Comparison { left, right, operator, choices } => {
                comparison(&self.written(left.clone()), &self.written(right.clone()), operator, choices)
            }
            Form::Arithmetic { left, right, operator, choices } => {
                let (left, right) = (self.written(left.clone()), self.written(right.clone()));
                let cases = cases(choices, operator, |operator| format!("mutant_left {operator} mutant_right"));
                format!("(match ({left}, {right}) {{ (mutant_left, mutant_right) => {cases} }})")
            }
            Form::Assignment { left, right, operator, choices } => {
                let (left, right) = (self.written(left.clone()), self.written(right.clone()));
                let cases = cases(choices, operator, |operator| format!("{left} {operator} mutant_right"));
                format!("(match {right} {{ mutant_right => {cases} }})")
            }
            Form::Unary { operand, operator, choices } => {
                let (operand, on) = (self.written(operand.clone()), any(choices));
                let either = format!("if {on} {{ mutant_only }} else {{ {operator}mutant_only }}");
                format!("(match {operand} {{ mutant_only => {either} }})")
            }
            Form::Guard { guard, deleted, replaced } => {
                let guard = guard.clone().map_or_else(|| "true".to_owned(), |guard| self.written(guard));
                let cases = replaced.iter().map(|(number, value)| format!("if {} {{ {value} }} else ", on(*number)));
                format!(" if !{} && ({}{{ {guard} }})", any(deleted), cases.collect::<String>())
            }
            Form::Field { structure, name, value, base, choices } => {
                let base = base.clone().map_or_else(|| "mutant_base".to_owned(), |base| self.written(base));
                let [structure, name] = [structure, name].map(|part| &self.text[part.clone()]);
                field(structure, name, &self.written(value.clone()), &base, choices)
            }
            Form::Hold { structure, base } => self.hold(structure, base),
            Form::Held => "mutant_base".to_owned(),
            Form::LetGo => "})".to_owned(),
        }
    }

    /// The base of a structure held under a name, before the structure.
    fn hold(&self, structure: &Range<usize>, base: &Range<usize>) -> String {
        let held = |one: &&(Cell<bool>, Rewrite)| matches!(one.1.form, Form::Held) && one.1.range == *base;
        let held = self.rewrites.iter().find(held).map(|(is_open, _)| is_open);
        held.inspect(|is_open| is_open.set(true));
        let (structure, base) = (&self.text[structure.clone()], self.written(base.clone()));
        held.inspect(|is_open| is_open.set(false));
        format!("(match {base} {{ mutant_base @ {structure} {{ .. }} => ")
    }
}

/// The inside of a function that yields an iterator: whichever it is, it is of one type.
fn iterator(inside: &str, choices: &Choices) -> String {
    let choice = |rest: String, (number, value): &(usize, String)| {
        let (on, other) = (on(*number), format!("crate::mutant::Either::Left({value})"));
        format!("{{ if {on} {{ {other} }} else {{ crate::mutant::Either::Right({rest}) }} }}")
    };
    choices.iter().rev().fold(format!("{{ (move || {{{inside}}})() }}"), choice)
}

/// `&&` and `||`, each of which the mutant makes the other: the right side is written once, whatever stands in it.
fn logic(left: &str, right: &str, is_and: bool, choices: &Choices) -> String {
    let (equal, on) = (if is_and { "!=" } else { "==" }, any(choices));
    let either = format!("if mutant_left {equal} {on} {{ {right} }} else {{ mutant_left }}");
    format!("(match {{ {left} }} {{ mutant_left => {either} }})")
}

fn comparison(left: &str, right: &str, operator: &str, choices: &Choices) -> String {
    // Only the opposite is asked of these, and a comparison as it was written is understood with less said.
    if let ("==" | "!=", [(number, _)]) = (operator, choices.as_slice()) {
        return format!("((({left}) {operator} ({right})) != {})", on(*number));
    }
    let cases = cases(choices, operator, |operator| format!("*mutant_left {operator} *mutant_right"));
    format!("(match (&({left}), &({right})) {{ (mutant_left, mutant_right) => {cases} }})")
}

/// A field of a structure, or the base's where it is left out.
fn field(structure: &str, name: &str, value: &str, base: &str, choices: &Choices) -> String {
    let of_base = format!("{structure} {{ {name}: mutant_field, .. }} => mutant_field, _ => unreachable!()");
    let of_base = format!("#[allow(unreachable_patterns)] match {base} {{ {of_base} }}");
    format!("{name}: if {} {{ {of_base} }} else {{ {value} }}", any(choices))
}

/// Each choice by its number, and the operator as it stands.
fn cases(choices: &Choices, operator: &str, write: impl Fn(&str) -> String) -> String {
    let cases = choices.iter().map(|(number, other)| format!("if {} {{ {} }} else ", on(*number), write(other)));
    format!("{}{{ {} }}", cases.collect::<String>(), write(operator))
}

fn any(choices: &Choices) -> String {
    let calls: Vec<String> = choices.iter().map(|(number, _)| on(*number)).collect();
    if calls.is_empty() { "false".to_owned() } else { format!("({})", calls.join(" | ")) }
}

fn on(number: usize) -> String {
    format!("crate::mutant::on({number})")
}
