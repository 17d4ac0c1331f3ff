//! What an editor asks about worksheets that are open in it, as plain data: places in bytes, words, figures. It knows no
//! protocol and no window; worksheets need not have been saved.

pub mod completion;
pub mod desk;
pub mod hints;
pub mod hover;
pub mod layout;
pub mod marks;
pub mod meanings;
pub mod outline;
pub mod pieces;
pub mod rename;
pub mod sheet;
pub mod stands;
pub mod tokens;
pub mod uses;

pub use desk::Desk;
pub use sheet::Sheet;
