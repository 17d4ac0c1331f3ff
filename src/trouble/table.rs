//! The form in which the table of troubles is written: a kind, its data, its name in reports, what it says and what
//! to write instead, each in one row.

/// Makes the enum of troubles from its table. The sentences take the data by name; an empty `instead` is none.
macro_rules! troubles {
    ($($(#[$doc:meta])* $variant:ident $({ $($field:ident : $kind:ty),* $(,)? })? $name:literal : $says:literal => $instead:literal;)*) => {
        /// What is wrong, as plain data.
        #[derive(Debug, Clone, PartialEq)]
        #[allow(missing_docs, reason = "the fields are the words that the sentence beside them puts in place")]
        pub enum Kind {
            $($(#[$doc])* $variant $({ $($field: $kind),* })?,)*
        }

        impl Kind {
            /// The names of all kinds, in the order of the table.
            pub const NAMES: &'static [&'static str] = &[$($name),*];

            /// The name of the kind in reports.
            pub fn name(&self) -> &'static str {
                match self {
                    $(Self::$variant { .. } => $name,)*
                }
            }

            /// What is wrong, in the trade's words.
            pub fn says(&self) -> String {
                match self {
                    $(#[allow(unused_variables, reason = "some data is only in the advice")] Self::$variant $({ $($field),* })? => {
                        $($(let $field = $field.shown();)*)?
                        format!($says)
                    })*
                }
            }

            /// What to write instead, where that is known.
            pub fn instead(&self) -> Option<String> {
                let instead = match self {
                    $(#[allow(unused_variables, reason = "some data is only in the sentence")] Self::$variant $({ $($field),* })? => {
                        $($(let $field = $field.shown();)*)?
                        format!($instead)
                    })*
                };
                (!matches!(instead.as_str(), "" | "``")).then_some(instead)
            }
        }
    };
}

pub(super) use troubles;

/// The most characters of a text that a sentence quotes.
const MOST_QUOTED: usize = 300;

/// Data as a sentence quotes it: what is very long is cut in the middle.
pub(super) trait Shown {
    fn shown(&self) -> String;
}

impl Shown for String {
    fn shown(&self) -> String {
        if self.len() <= MOST_QUOTED {
            return self.clone();
        }
        let start: String = self.chars().take(MOST_QUOTED / 2).collect();
        let end =
            self.char_indices().rev().nth(MOST_QUOTED / 4).map_or("", |(index, _)| self.get(index..).unwrap_or(""));
        if start.len() + end.len() < self.len() { format!("{start} … {end}") } else { self.clone() }
    }
}

macro_rules! shown_as_they_are {
    ($($kind:ty),*) => {
        $(impl Shown for $kind {
            fn shown(&self) -> String {
                self.to_string()
            }
        })*
    };
}

shown_as_they_are!(usize, u32, i16, char);
