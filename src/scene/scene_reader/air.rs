//! Reads the air supply.

use crate::scene::equipment::{Air, Outlet};
use crate::scene::field_reader::{Fields, all};
use crate::scene::lists::Named;
use crate::scene::schema::{air, outlet};

/// Without outlets of its own it has one for each bag, of the bag's name.
pub(super) fn air(
    g: &Fields<'_>,
    outlets: &Named<'_>,
    bags: &Named<'_>,
    reads_on: bool,
) -> Option<Air> {
    let cylinder_m3 = g.take(air::CYLINDER);
    let cylinder_pa = g.take(air::PRESSURE);
    let regulator_pa = g.take(air::REGULATOR);
    let outlets = if outlets.items.is_empty() {
        all(bags.names.iter().enumerate().map(|(to, name)| {
            Some(Outlet {
                name: name.clone()?,
                to,
                and: None,
                conductance: g.default_of(outlet::CONDUCTANCE)?,
                opening: g.default_of(outlet::OPENING)?,
            })
        }))
    } else {
        outlets.read(|g| {
            let to = bags.take(g, outlet::TO);
            let and =
                if g.has(outlet::AND) { bags.take(g, outlet::AND).map(Some) } else { Some(None) };
            let conductance = g.take(outlet::CONDUCTANCE);
            let opening = g.take(outlet::OPENING);
            Some(Outlet {
                name: g.take(outlet::NAME)?,
                to: to?,
                and: and?,
                conductance: conductance?,
                opening: opening?,
            })
        })
    };
    g.end();
    Some(Air {
        cylinder_m3: cylinder_m3?,
        cylinder_pa: cylinder_pa?,
        regulator_pa: regulator_pa?,
        outlets: outlets.or_else(|| reads_on.then(Vec::new))?,
    })
}
