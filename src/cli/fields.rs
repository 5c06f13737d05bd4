//! `inchwise fields`: every field of a scene with its path, limits and default.

use super::failure::{Failure, MET};
use super::say;
use crate::scene::schema::{Entry, GROUPS, Row, rows};
use clap::Args;

#[derive(Args)]
pub struct FieldsArgs {
    /// Only those of a group, such as `stacks`, or below a path, such as `vehicle.com`
    group: Option<String>,
}

/// Prints the fields of a group, or of all.
pub fn run(args: &FieldsArgs) -> Result<u8, Failure> {
    let group = args.group.as_deref();
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
        return Err(Failure::input(format_args!(
            "there is no group of fields \"{}\"; choose one of {}",
            group.unwrap_or_default(),
            groups.collect::<Vec<_>>().join(", ")
        )));
    }
    for row in found {
        say::line(format_args!("{}\n    {}\n    {}", row.path, row.field.about, says(&row)));
    }
    Ok(MET)
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
