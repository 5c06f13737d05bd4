//! What a played lift depends on and no row of the sheet does: fields of the scene, with the
//! reason. `tests/statics/left_out.rs` changes every field and holds that a row changes with
//! it, or that it stands here.

/// Heading of what is left out.
pub const NOT_ON_THE_SHEET_TITLE: &str = "Not on the sheet, but the played lift depends on it";

/// Reasons, each with the fields that are left out by it, by their paths in the table.
pub const NOT_ON_THE_SHEET: &[(&str, &[&str])] = &[
    (
        "a lift is balanced at rest, so how fast a body turns does not count",
        &["vehicle.inertia.roll", "vehicle.inertia.yaw", "vehicle.inertia.pitch"],
    ),
    (
        "a capture is taken to follow the load as ordered, whatever it is built of",
        &[
            "captures.NAME.layers",
            "captures.NAME.timber",
            "captures.NAME.step",
            "captures.NAME.steps",
        ],
    ),
    (
        "chocks are counted, and taken to meet the vehicle where they stand",
        &["chocks.NAME.at", "chocks.NAME.set"],
    ),
    ("posts leave room for a beam, which the scene's rules check", &["vehicle.posts.NAME.belt"]),
    ("whether it slides is worked out, not how far", &["aims.slide"]),
    (
        "orders that move no air change nothing on paper but when",
        &["orders.N.stop", "orders.N.set_chocks"],
    ),
];

/// A line for each reason.
pub fn left_out_lines() -> impl Iterator<Item = String> {
    NOT_ON_THE_SHEET.iter().map(|(why, fields)| format!("{}: {why}", fields.join(", ")))
}
