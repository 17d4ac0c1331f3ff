//! The order in which to work: each formula after all that it needs, and circles found.

use crate::syntax::tree::{self, Formula, FormulaKind, Joint, Name};

/// A name that a formula refers to.
pub enum Reference<'f> {
    /// `strip length`
    Name(&'f Name),
    /// `passes.flow`
    Member(&'f Name, &'f Name),
    /// A column on the left of a choice of rows of that table, or `row`.
    Chosen(&'f Name, &'f Name),
}

/// Everything a formula refers to, in order.
pub fn references<'f>(formula: &'f Formula, found: &mut Vec<Reference<'f>>) {
    match &formula.kind {
        FormulaKind::Name(name) => found.push(Reference::Name(name)),
        FormulaKind::Member(table, member) => found.push(Reference::Member(table, member)),
        FormulaKind::Call(_, arguments) => {
            for argument in arguments {
                references(&argument.value, found);
                match (&argument.value.kind, &argument.choice) {
                    (FormulaKind::Member(table, _), Some(choice)) => chosen(table, choice, found),
                    (_, choice) => choice.iter().for_each(|choice| references(choice, found)),
                }
            }
        }
        _ => formula.parts().into_iter().for_each(|part| references(part, found)),
    }
}

/// Everything that a choice of rows of a table refers to: its columns on the left, values on the right.
fn chosen<'f>(table: &'f Name, choice: &'f Formula, found: &mut Vec<Reference<'f>>) {
    match &choice.kind {
        FormulaKind::Name(column) => found.push(Reference::Chosen(table, column)),
        FormulaKind::Not(inner) => chosen(table, inner, found),
        FormulaKind::Both(left, right) | FormulaKind::Either(left, right) => {
            chosen(table, left, found);
            chosen(table, right, found);
        }
        FormulaKind::Comparison(_, left, right) | FormulaKind::WithinRange(left, right) => {
            chosen(table, left, found);
            references(right, found);
        }
        FormulaKind::WithinDistance(left, distance, base) => {
            chosen(table, left, found);
            references(distance, found);
            references(base, found);
        }
        _ => references(choice, found),
    }
}

/// The words behind numbers that may be names, in lower case: `height` of `2 ft/height`.
pub fn unit_words(formula: &Formula, found: &mut Vec<String>) {
    if let FormulaKind::Amount(amount) = &formula.kind {
        let units = || amount.parts.iter().filter_map(|part| part.unit.as_ref());
        let behind_first = units().flat_map(|unit| &unit.terms).skip(1);
        let first = units().filter_map(|unit| unit.terms.first()).filter(|term| term.joint != Joint::First);
        found.extend(behind_first.chain(first).map(|term| tree::key(&term.words)));
    }
    formula.parts().into_iter().for_each(|part| unit_words(part, found));
}

/// What to work after what.
#[derive(Debug, Default)]
pub struct Sorted {
    /// Every node, each after all that it needs; those in circles too, wherever they fall.
    pub order: Vec<usize>,
    /// Circles, each as the nodes on it in order.
    pub circles: Vec<Vec<usize>>,
}

/// Sorts nodes by what they need (`needs[n]` are the nodes that `n` needs): Tarjan's strongly connected components,
/// with a stack of its own so that long chains do not recurse.
pub fn sort(needs: &[Vec<usize>]) -> Sorted {
    let mut sorted = Sorted::default();
    let mut state = Tarjan {
        needs,
        index: vec![0; needs.len()],
        low: vec![0; needs.len()],
        on_stack: vec![false; needs.len()],
        stack: Vec::new(),
        next: 1,
    };
    for node in 0..needs.len() {
        if state.index.get(node) == Some(&0) {
            state.visit(node, &mut sorted);
        }
    }
    sorted
}

struct Tarjan<'n> {
    needs: &'n [Vec<usize>],
    index: Vec<usize>,
    low: Vec<usize>,
    on_stack: Vec<bool>,
    stack: Vec<usize>,
    next: usize,
}

#[allow(clippy::indexing_slicing, reason = "every node is below the length of the vectors made above")]
impl Tarjan<'_> {
    fn enter(&mut self, node: usize) {
        self.index[node] = self.next;
        self.low[node] = self.next;
        self.next += 1;
        self.stack.push(node);
        self.on_stack[node] = true;
    }

    fn visit(&mut self, root: usize, sorted: &mut Sorted) {
        let mut path = vec![(root, 0)];
        self.enter(root);
        while let Some(&mut (node, ref mut child)) = path.last_mut() {
            if let Some(&need) = self.needs[node].get(*child) {
                *child += 1;
                if self.index[need] == 0 {
                    self.enter(need);
                    path.push((need, 0));
                } else if self.on_stack[need] {
                    self.low[node] = self.low[node].min(self.index[need]);
                }
                continue;
            }
            path.pop();
            if let Some(&(parent, _)) = path.last() {
                self.low[parent] = self.low[parent].min(self.low[node]);
            }
            if self.low[node] == self.index[node] {
                self.close(node, sorted);
            }
        }
    }

    /// All that stands above `node` on the stack is one component with it.
    fn close(&mut self, node: usize, sorted: &mut Sorted) {
        let mut component = Vec::new();
        while let Some(top) = self.stack.pop() {
            self.on_stack[top] = false;
            component.push(top);
            if top == node {
                break;
            }
        }
        component.reverse();
        if component.len() > 1 || self.needs[node].contains(&node) {
            sorted.circles.push(self.circle(&component));
        }
        component.reverse();
        sorted.order.extend(component);
    }

    /// A way round within a component, from its first node back to it.
    fn circle(&self, component: &[usize]) -> Vec<usize> {
        let first = component.iter().copied().min().unwrap_or_default();
        let inside: std::collections::HashSet<usize> = component.iter().copied().collect();
        let mut before = std::collections::HashMap::from([(first, first)]);
        let mut next = std::collections::VecDeque::from([first]);
        while let Some(node) = next.pop_front() {
            for need in self.needs[node].iter().copied().filter(|need| inside.contains(need)) {
                if need == first {
                    return walk_back(&before, first, node);
                }
                if let std::collections::hash_map::Entry::Vacant(entry) = before.entry(need) {
                    entry.insert(node);
                    next.push_back(need);
                }
            }
        }
        component.to_vec()
    }
}

fn walk_back(before: &std::collections::HashMap<usize, usize>, first: usize, last: usize) -> Vec<usize> {
    let mut way = vec![last];
    let mut node = last;
    while node != first {
        node = before.get(&node).copied().unwrap_or(first);
        way.push(node);
    }
    way.reverse();
    way
}
