//! Words that native readers stumbled over, each as whole words in lower case.

/// What neither a guide, a message nor the window says.
pub const BANNED: &[&str] = &[
    "anew",
    "nought",
    "amiss",
    "mend",
    "alike",
    "unlike",
    "hangs on",
    "whoever",
    "of one who",
    "comes to",
    "tells",
];
