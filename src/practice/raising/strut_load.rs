//! A strut bears no more than it is rated for, well short of what folds it.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::Strut;
use crate::snapshot::{PartKind, StrutState};
use crate::units::Dimension;

/// What is kept of the load that folds a strut: one half. A bent or worn one folds earlier.
const RESERVE: f64 = 2.0;

pub(super) static RULE: Rule = Rule {
    word: "strut_load",
    asks: "a strut bears no more than it is rated for, and half of what folds it at its length",
    unit: Unit::Si(Dimension::Force),
    limit: RuleLimit::OfThePart(
        "at most its rated load, or half of what folds it where that is less",
    ),
    takes: "the most that pressed it along its line, beside its rated load and Euler's load at the \
            length it stood at then",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} bore up to {} along its line (limit at its length {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let struts = record.scene.struts.iter().enumerate();
    let point = |(i, strut): (usize, &Strut)| {
        let limit_n = |state: &StrutState| strut.capacity_n.min(state.euler_n / RESERVE);
        // By the share of its limit, which changes with its length.
        let moments = record.history.iter().filter_map(|now| {
            let state = now.struts.get(i)?;
            Some((*now, limit_n(state), state.axial_n / limit_n(state)))
        });
        let (now, limit_n, share) = passes(1.0, moments)?;
        let place = record.place_of(PartKind::StrutFoot(i), now);
        Some(RULE.point((now.t_s, &strut.name, place), Some(share * limit_n), limit_n))
    };
    struts.filter_map(point).collect()
}
