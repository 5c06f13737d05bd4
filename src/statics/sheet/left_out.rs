//! What a played lift depends on and no row of the sheet does: fields of the scene, with the
//! reason. `tests/statics/left_out.rs` changes every field and holds that a row changes with
//! it, or that it stands here.

/// Reasons, each with the fields that are left out by it, by their paths in the table.
pub const NOT_ON_THE_SHEET: &[(&str, &[&str])] = &[];
