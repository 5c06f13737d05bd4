//! Why a set-up cannot be opened.

use crate::draft::EditError;
use crate::draft::keep::AutosaveError;
use crate::scene::Problem;

/// Why a set-up cannot be opened.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum OpenError {
    /// What is wrong with the scene.
    #[error("{}", reasons(.0))]
    Scene(Vec<Problem>),
    /// What is wrong with the scene, where nothing that a crew brings is in it.
    #[error("its vehicle, ground or casualty cannot be read: {}", reasons(.0))]
    Bare(Vec<Problem>),
    #[error(transparent)]
    Clearing(#[from] EditError),
    #[error(transparent)]
    Unsaved(#[from] AutosaveError),
}

/// What is wrong with a scene, in one line.
pub(super) fn reasons(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
