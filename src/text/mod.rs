//! Texts: the bytes of worksheets, places in them, and their statements. It knows nothing of what a statement says.

pub mod crew_folder;
pub mod cut;
pub mod lines;
pub mod overlay;
pub mod place;
pub mod revision;
pub mod source;
pub mod words;

pub use crew_folder::{Folder, FolderError};
pub use lines::{Role, Written};
pub use place::{Place, Spot};
pub use source::Source;
pub use words::single_spaced;
