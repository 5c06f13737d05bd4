//! `inchwise fields`: every field of a scene with its path, limits and default.

use crate::scene::schema::{Entry, GROUPS, Row, rows};

/// Prints the fields of a group, or of all.
pub fn print(group: Option<&str>) -> u8 {
    let wanted = |row: &Row| match group {
        None => true,
        Some(group) => {
            row.group == group
                || row.path == group
                || row.path.strip_prefix(group).is_some_and(|rest| rest.starts_with('.'))
        }
    };
    let found: Vec<Row> = rows().into_iter().filter(wanted).collect();
    if found.is_empty() {
        let groups = GROUPS.iter().map(|group| group.key).filter(|key| !key.is_empty());
        eprintln!(
            "there is no group of fields \"{}\"; choose one of {}",
            group.unwrap_or_default(),
            groups.collect::<Vec<_>>().join(", ")
        );
        return super::BAD_INPUT;
    }
    for row in found {
        println!("{}\n    {}\n    {}", row.path, row.field.about, says(&row));
    }
    super::MET
}

/// Kind, unit, limits and default in one line.
fn says(row: &Row) -> String {
    let field = row.field;
    let kind = match field.entry {
        Entry::Quantity(dimension) => {
            format!("{} such as {}", dimension.noun(), dimension.example())
        }
        entry => entry.noun(),
    };
    let limits = field.limits();
    let left_out = field.left_out();
    let parts = [
        kind.clone(),
        if limits == kind { String::new() } else { limits.replace('`', "") },
        match left_out.as_str() {
            "" => String::new(),
            "needed" | "needed there" => left_out,
            _ => format!("left out: {}", left_out.replace('`', "")),
        },
    ];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ")
}
