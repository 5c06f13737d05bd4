//! The one place for files: whatever a user has is read, written, listed, dated and removed
//! here, on a disk or, on a page, in the browser's storage.
//!
//! A file that is written is there whole or not at all: what stood there before stays until
//! all of the new is in its place. A file of lines grows by whole lines.

#[cfg(target_family = "wasm")]
mod browser;
mod clock;
#[cfg(not(target_family = "wasm"))]
mod disk;
mod error;
mod output;
mod places;

#[cfg(target_family = "wasm")]
pub use browser::{
    append, is_file, is_folder, list, places, read, remove, store, try_out, write_with, written_at,
};
pub use clock::now;
#[cfg(not(target_family = "wasm"))]
pub use disk::{
    append, is_file, is_folder, list, places, read, remove, store, try_out, write_with, written_at,
};
pub use error::{ReadError, WriteError};
pub use output::{OutputPath, folder_of};
pub use places::Places;

use std::path::Path;

/// Writes a file so that it is there whole or not at all.
///
/// # Errors
/// Why it could not be written; a file that stood there is as it was.
pub fn write(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), WriteError> {
    write_with(path, |out| out.write_all(bytes.as_ref()))
}
