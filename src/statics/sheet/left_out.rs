//! What a played lift depends on and no row of the sheet does: fields of the scene, with the
//! reason. `tests/statics/left_out.rs` changes every field and holds that a row changes with
//! it, or that it stands here.

/// Heading of what is left out.
pub const NOT_ON_THE_SHEET_TITLE: &str = "Not on the sheet, but the played lift depends on it";

/// Reasons, each with the fields that are left out by it, by their paths in the table.
pub const NOT_ON_THE_SHEET: &[(&str, &[&str])] = &[
    (
        "a lift is balanced at rest, so how hard a body is to turn does not count",
        &["vehicle.inertia.roll", "vehicle.inertia.yaw", "vehicle.inertia.pitch"],
    ),
    (
        "each capture is taken to follow the load as ordered, with layers enough",
        &[
            "captures.NAME.layers",
            "captures.NAME.steps",
            "captures.NAME.sole.thickness",
            "orders.N.capture",
            "orders.N.wait.on_timber",
        ],
    ),
    (
        "chocks are counted, and taken to be set and to meet the vehicle",
        &["chocks.NAME.at", "chocks.NAME.set", "orders.N.set_chocks"],
    ),
    ("a step chock is taken to bear as much whichever way it lies", &["step_chocks.NAME.across"]),
    (
        "the beam is taken to have room between its posts, which the scene's rules check",
        &["vehicle.posts.NAME.belt", "vehicle.openings.NAME.between", "beam.through"],
    ),
    (
        "each strut is taken to be set snug; how snug it is moves its share of the load",
        &["struts.NAME.seated", "straps.NAME.preload", "straps.NAME.elongation"],
    ),
    ("the roof's corners are taken to bear what lies on them", &["vehicle.roof_bears"]),
    (
        "of who lies there only the trapped limbs bear; the play looks at the room over the others",
        &[
            "people.NAME.at",
            "people.NAME.head_towards",
            "people.NAME.lies",
            "people.NAME.stature",
            "people.NAME.inside",
            "casualty.NAME.of",
            "casualty.NAME.part",
            "casualty.NAME.side",
        ],
    ),
    ("tyres bear at the edges of their treads", &["vehicle.wheels.radius"]),
    ("whether it slides is worked out, and not how far", &["aims.slide"]),
];

/// A line for each reason.
pub fn left_out_lines() -> impl Iterator<Item = String> {
    NOT_ON_THE_SHEET.iter().map(|(why, fields)| format!("{}: {why}", fields.join(", ")))
}
