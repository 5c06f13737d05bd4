//! Why a picture cannot be drawn or written.

use super::driver::DriverError;
use crate::files::WriteError;
use bevy::image::IntoDynamicImageError;
use std::io;
use std::path::PathBuf;

/// Why a picture cannot be drawn or written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    #[error(transparent)]
    Driver(#[from] DriverError),
    #[error("nothing is drawn in a blind trial")]
    Blind,
    /// A lost device, or a driver that takes too long.
    #[error("the graphics driver did not hand the picture back")]
    NotHandedBack,
    #[error("the picture is unreadable: {0}")]
    Unreadable(#[from] IntoDynamicImageError),
    #[error(transparent)]
    Encoding(#[from] png::EncodingError),
    #[error("cannot write the picture {}: {}", .0.path.display(), .0.source)]
    Write(#[source] WriteError),
    /// A picture that moves.
    #[error("{}: {source}", path.display())]
    Animation { path: PathBuf, source: io::Error },
}
