//! Finds in the tree of a file what each mutant changes, and which form of rewriting it takes.

use crate::mutants::{Genre, Mutant};
use crate::woven::{Form, Rewrite};
use anyhow::Result;
use std::collections::BTreeMap;
use std::ops::Range;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{
    Arm, BinOp, Block, Expr, ExprBinary, ExprStruct, ExprUnary, ImplItemFn, ItemFn, ReturnType, Signature, UnOp,
};

/// Why a mutant of a constant has no form.
const IN_CONSTANT: &str = "a constant";

/// What is to be rewritten in a file.
pub struct Found {
    pub rewrites: Vec<Rewrite>,
    /// Mutants that nothing can be written for that compiles, with the reason.
    pub formless: Vec<(usize, String)>,
}

pub fn find(text: &str, mutants: &[&Mutant]) -> Result<Found> {
    let file = syn::parse_file(text)?;
    let lines: Vec<usize> = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
    let mut wanted: BTreeMap<(Genre, usize), Vec<&Mutant>> = BTreeMap::new();
    for mutant in mutants {
        wanted.entry((mutant.genre, mutant.start(&lines, text))).or_default().push(mutant);
    }
    let mut finder = Finder { wanted, constants: 0, found: Found { rewrites: Vec::new(), formless: Vec::new() } };
    finder.visit_file(&file);
    let left = finder.wanted.into_values().flatten();
    finder.found.formless.extend(left.map(|mutant| (mutant.number, "not found in the tree".to_owned())));
    Ok(finder.found)
}

struct Finder<'mutants> {
    /// The mutants that have not been met yet, by where what they replace begins.
    wanted: BTreeMap<(Genre, usize), Vec<&'mutants Mutant>>,
    /// How many constants are around the place just visited: nothing can be switched in one.
    constants: usize,
    found: Found,
}

/// Numbers of mutants, each with what it writes.
pub type Choices = Vec<(usize, String)>;

impl Finder<'_> {
    fn take(&mut self, genre: Genre, at: usize) -> Choices {
        let taken = self.wanted.remove(&(genre, at)).unwrap_or_default();
        let choices = taken.into_iter().map(|mutant| (mutant.number, mutant.replacement.clone())).collect();
        if self.constants == 0 {
            return choices;
        }
        self.formless(choices, IN_CONSTANT);
        Choices::new()
    }

    fn constant(&mut self, visit: impl FnOnce(&mut Self)) {
        self.constants += 1;
        visit(self);
        self.constants -= 1;
    }

    fn rewrite(&mut self, range: Range<usize>, form: Form) {
        self.found.rewrites.push(Rewrite { range, form });
    }

    fn formless(&mut self, choices: Choices, why: &str) {
        self.found.formless.extend(choices.into_iter().map(|(number, _)| (number, why.to_owned())));
    }

    fn function(&mut self, signature: &Signature, block: &Block) {
        let Some(first) = block.stmts.first() else { return };
        let choices = self.take(Genre::FnValue, bytes(first).start);
        if choices.is_empty() {
            return;
        }
        let open = bytes(&block.brace_token.span.open()).end..bytes(&block.brace_token.span.close()).start;
        let yields = match &signature.output {
            ReturnType::Default => None,
            ReturnType::Type(_, kind) => Some(kind.as_ref()),
        };
        match yields {
            Some(syn::Type::ImplTrait(_)) => {
                // A leaked box is `&mut T`, and no iterator here is of such.
                let (leaked, choices) = choices.into_iter().partition(|(_, value)| value.contains("Box::leak"));
                self.formless(leaked, "an iterator over `&mut`");
                self.rewrite(open, Form::Iterator { choices });
            }
            _ => self.rewrite(open, Form::Body { choices }),
        }
    }
}

impl<'tree> Visit<'tree> for Finder<'_> {
    fn visit_item_const(&mut self, item: &'tree syn::ItemConst) {
        self.constant(|finder| visit::visit_item_const(finder, item));
    }

    fn visit_item_static(&mut self, item: &'tree syn::ItemStatic) {
        self.constant(|finder| visit::visit_item_static(finder, item));
    }

    fn visit_impl_item_const(&mut self, item: &'tree syn::ImplItemConst) {
        self.constant(|finder| visit::visit_impl_item_const(finder, item));
    }

    fn visit_type_array(&mut self, array: &'tree syn::TypeArray) {
        self.constant(|finder| visit::visit_type_array(finder, array));
    }

    fn visit_expr_repeat(&mut self, repeat: &'tree syn::ExprRepeat) {
        self.visit_expr(&repeat.expr);
        self.constant(|finder| finder.visit_expr(&repeat.len));
    }

    fn visit_item_fn(&mut self, item: &'tree ItemFn) {
        let visit = |finder: &mut Self| {
            finder.function(&item.sig, &item.block);
            visit::visit_item_fn(finder, item);
        };
        if item.sig.constness.is_some() { self.constant(visit) } else { visit(self) }
    }

    fn visit_impl_item_fn(&mut self, item: &'tree ImplItemFn) {
        self.function(&item.sig, &item.block);
        visit::visit_impl_item_fn(self, item);
    }

    fn visit_trait_item_fn(&mut self, item: &'tree syn::TraitItemFn) {
        if let Some(block) = &item.default {
            self.function(&item.sig, block);
        }
        visit::visit_trait_item_fn(self, item);
    }

    fn visit_expr_binary(&mut self, binary: &'tree ExprBinary) {
        let choices = self.take(Genre::BinaryOperator, bytes(&binary.op).start);
        if !choices.is_empty() {
            let (left, right) = (bytes(binary.left.as_ref()), bytes(binary.right.as_ref()));
            let operator = written(&binary.op);
            match &binary.op {
                // `||` cannot stand in a chain with `let`.
                BinOp::And(_) if has_let(&binary.left) || has_let(&binary.right) => {
                    self.formless(choices, "a chain with `let`");
                }
                BinOp::And(_) | BinOp::Or(_) => {
                    let is_and = matches!(binary.op, BinOp::And(_));
                    self.rewrite(bytes(binary), Form::Logic { left, right, is_and, choices });
                }
                BinOp::Eq(_) | BinOp::Ne(_) | BinOp::Lt(_) | BinOp::Le(_) | BinOp::Gt(_) | BinOp::Ge(_) => {
                    self.rewrite(bytes(binary), Form::Comparison { left, right, operator, choices });
                }
                _ if operator.ends_with('=') => {
                    self.rewrite(bytes(binary), Form::Assignment { left, right, operator, choices });
                }
                _ => self.rewrite(bytes(binary), Form::Arithmetic { left, right, operator, choices }),
            }
        }
        visit::visit_expr_binary(self, binary);
    }

    fn visit_expr_unary(&mut self, unary: &'tree ExprUnary) {
        let choices = self.take(Genre::UnaryOperator, bytes(&unary.op).start);
        if !choices.is_empty() {
            let operator = if matches!(unary.op, UnOp::Not(_)) { "!" } else { "-" };
            let operand = bytes(unary.expr.as_ref());
            self.rewrite(bytes(unary), Form::Unary { operand, operator, choices });
        }
        visit::visit_expr_unary(self, unary);
    }

    fn visit_expr_match(&mut self, expression: &'tree syn::ExprMatch) {
        let takes_all = |arm: &Arm| arm.guard.is_none() && matches!(arm.pat, syn::Pat::Wild(_));
        if !expression.arms.iter().any(takes_all) {
            for arm in &expression.arms {
                let choices = self.take(Genre::MatchArm, bytes(arm).start);
                self.formless(choices, "no arm would take what the deleted one took");
            }
        }
        visit::visit_expr_match(self, expression);
    }

    fn visit_arm(&mut self, arm: &'tree Arm) {
        let deleted = self.take(Genre::MatchArm, bytes(arm).start);
        let guard = arm.guard.as_ref().map(|(_, guard)| bytes(guard.as_ref()));
        let replaced = guard.clone().map(|guard| self.take(Genre::MatchArmGuard, guard.start)).unwrap_or_default();
        if !deleted.is_empty() || !replaced.is_empty() {
            let pattern = bytes(&arm.pat).end;
            let end = guard.as_ref().map_or(pattern, |guard| guard.end);
            self.rewrite(pattern..end, Form::Guard { guard, deleted, replaced });
        }
        visit::visit_arm(self, arm);
    }

    fn visit_expr_struct(&mut self, expression: &'tree ExprStruct) {
        let mut is_held = false;
        for field in &expression.fields {
            let choices = self.take(Genre::StructField, bytes(field).start);
            let Some(base) = expression.rest.as_ref().filter(|_| !choices.is_empty()) else {
                self.formless(choices, "a structure without a base");
                continue;
            };
            let (name, value) = (bytes(&field.member), bytes(&field.expr));
            let (structure, whole) = (bytes(&expression.path), bytes(base.as_ref()));
            let base = is_place(base).then(|| whole.clone());
            if base.is_none() && !is_held {
                is_held = true;
                let all = bytes(expression);
                self.rewrite(all.start..all.start, Form::Hold { structure: structure.clone(), base: whole.clone() });
                self.rewrite(whole, Form::Held);
                self.rewrite(all.end..all.end, Form::LetGo);
            }
            self.rewrite(bytes(field), Form::Field { structure, name, value, base, choices });
        }
        visit::visit_expr_struct(self, expression);
    }
}

/// Whether `let` stands in a row of `&&`.
fn has_let(expression: &Expr) -> bool {
    match expression {
        Expr::Let(_) => true,
        Expr::Binary(binary) if matches!(binary.op, BinOp::And(_)) => has_let(&binary.left) || has_let(&binary.right),
        _ => false,
    }
}

/// Whether an expression is a place, which may be named more than once.
fn is_place(expression: &Expr) -> bool {
    match expression {
        Expr::Path(_) | Expr::Field(_) | Expr::Index(_) => true,
        Expr::Unary(unary) => matches!(unary.op, UnOp::Deref(_)),
        _ => false,
    }
}

fn bytes(part: &impl Spanned) -> Range<usize> {
    part.span().byte_range()
}

fn written(operator: &BinOp) -> String {
    match operator {
        BinOp::Add(_) => "+",
        BinOp::Sub(_) => "-",
        BinOp::Mul(_) => "*",
        BinOp::Div(_) => "/",
        BinOp::Rem(_) => "%",
        BinOp::And(_) => "&&",
        BinOp::Or(_) => "||",
        BinOp::BitXor(_) => "^",
        BinOp::BitAnd(_) => "&",
        BinOp::BitOr(_) => "|",
        BinOp::Shl(_) => "<<",
        BinOp::Shr(_) => ">>",
        BinOp::Eq(_) => "==",
        BinOp::Lt(_) => "<",
        BinOp::Le(_) => "<=",
        BinOp::Ne(_) => "!=",
        BinOp::Ge(_) => ">=",
        BinOp::Gt(_) => ">",
        BinOp::AddAssign(_) => "+=",
        BinOp::SubAssign(_) => "-=",
        BinOp::MulAssign(_) => "*=",
        BinOp::DivAssign(_) => "/=",
        BinOp::RemAssign(_) => "%=",
        BinOp::BitXorAssign(_) => "^=",
        BinOp::BitAndAssign(_) => "&=",
        BinOp::BitOrAssign(_) => "|=",
        BinOp::ShlAssign(_) => "<<=",
        BinOp::ShrAssign(_) => ">>=",
        _ => "",
    }
    .to_owned()
}
