//! Struts and straps: what buckles a strut, whether friction holds its foot, and what a strap has
//! to pull where it does not. What a strut bears is worked out with each set snug and as stiff as
//! the rest; how snug it really was set moves that, so its foot and its strap are held against its
//! rated load.

use super::context::{RowContext, STATICS, most_on_strut_n};
use crate::scene::{Cause, Strap, StrapEnd, Strut};
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::tables::{Material, stake_holds_n};

pub fn struts(d: &RowContext<'_>) -> Vec<Row> {
    let mut rows = Vec::new();
    for (index, strut) in d.scene.struts().iter().enumerate() {
        rows.extend(bears(d, index, strut));
        rows.push(euler(d, strut));
        let tied = d.scene.straps().iter().any(|s| s.ends.contains(&StrapEnd::Foot(index)));
        rows.extend(foot(d, strut, tied));
    }
    rows.extend(d.scene.straps().iter().map(|strap| tension(d, strap)));
    rows
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

fn unit(v: [f64; 3]) -> [f64; 3] {
    let length = dot(v, v).sqrt();
    v.map(|part| part / length)
}

/// The way along a strut's line from its foot to its head, unit length.
fn along(strut: &Strut) -> [f64; 3] {
    unit(minus(strut.aims_at(), strut.pin()))
}

fn part(strut: &Strut) -> RowPart {
    RowPart::Strut(strut.name.clone())
}

/// Friction of its foot plate on the ground at rest.
fn foot_mu(d: &RowContext<'_>) -> f64 {
    let ground = &d.scene.ground;
    let pair = d.scene.friction(Material::Sheet, Material::Ground(ground.surface));
    pair.map_or(0.0, |pair| pair.friction(ground.wet)[0])
}

/// The most that a strut bears in the lift: what its head bears, along its line.
fn bears(d: &RowContext<'_>, index: usize, strut: &Strut) -> Option<Row> {
    let u = d.units;
    let most_n = most_on_strut_n(d, d.lift()?, index);
    let [x, y, z] = along(strut);
    Some(
        Row::new(
            RowGroup::Struts,
            RowQuantity::StrutBears.of(part(strut)),
            Figure::Force(most_n / y),
        )
        .by(
            "N / cos of its line's angle off upright; moments and forces cancel",
            format!("N {}, slope {:.2}", u.force(most_n), x.hypot(z) / y),
            STATICS,
        )
        .at_most(Figure::Force(strut.capacity_n))
        .warns(Cause::Strut)
        .note("As if all were set snug. One set tight bears more, and one set slack less."),
    )
}

fn euler(d: &RowContext<'_>, strut: &Strut) -> Row {
    let u = d.units;
    let line = minus(strut.aims_at(), strut.pin());
    let length_m = dot(line, line).sqrt();
    let (_, second_m4) = strut.section();
    let euler_n = strut.euler_n(length_m);
    Row::new(RowGroup::Struts, RowQuantity::StrutBuckles.of(part(strut)), Figure::Force(euler_n))
        .by(
            "pi^2 E I / L^2, pins at both ends",
            format!(
                "E {}, I {:.1} cm4, L {}",
                u.stress(Strut::STEEL_PA),
                second_m4 * 1e8,
                u.span(length_m)
            ),
            "Euler; strength of materials (textbook)",
        )
        .at_least(Figure::Force(strut.capacity_n))
        .warns(Cause::Strut)
        .note("Held against its rated load. A bent tube buckles earlier.")
}

/// Whether friction alone holds the foot: the line's slope off upright against it.
fn foot(d: &RowContext<'_>, strut: &Strut, tied: bool) -> Option<Row> {
    let [x, y, z] = along(strut);
    let (slope, mu) = (x.hypot(z) / y, foot_mu(d));
    if !strut.staked {
        let row = Row::new(
            RowGroup::Struts,
            RowQuantity::StrutFoot.of(part(strut)),
            Figure::Number(slope),
        )
        .by(
            "tan of its line's angle off upright",
            format!("{:.2} m along the ground to {:.2} m up", x.hypot(z), y),
            STATICS,
        );
        return Some(if tied {
            row.note(format!(
                "Friction alone holds {mu:.2}; what it does not hold is its strap's to pull."
            ))
        } else {
            row.at_most(Figure::Number(mu)).warns(Cause::Strut)
        });
    }
    let ground = &d.scene.ground;
    let holds_n = stake_holds_n(ground.surface, ground.soil, ground.wet)?;
    let pushes_n = (strut.capacity_n * (x.hypot(z) - mu * y)).max(0.0);
    Some(
        Row::new(
            RowGroup::Struts,
            RowQuantity::StrutStakes.of(part(strut)),
            Figure::Force(pushes_n),
        )
        .by(
            "rated load x (sin - mu cos) of its line's angle off upright",
            format!("sin {:.2}, cos {y:.2}, mu {mu:.2}", x.hypot(z)),
            STATICS,
        )
        .at_most(Figure::Force(holds_n))
        .warns(Cause::Strut),
    )
}

/// What a strap at a foot has to pull under the strut's rated load, where it does it alone: the
/// foot is pushed out by C sin, held by friction on C cos less what the strap pulls up.
fn tension(d: &RowContext<'_>, strap: &Strap) -> Row {
    let subject = RowQuantity::StrapPull.of(RowPart::Strap(strap.name.clone()));
    let struts = d.scene.struts();
    let at = |end: StrapEnd| match end {
        StrapEnd::Foot(i) => struts[i].pin(),
        StrapEnd::Vehicle(at) => at,
        StrapEnd::Ground([x, z]) => [x, 0.0, z],
    };
    let foot = strap.ends.iter().position(|end| matches!(end, StrapEnd::Foot(_)));
    let (Some(foot), mu) = (foot, foot_mu(d)) else {
        return Row::missing(
            RowGroup::Struts,
            subject,
            "no strut pushes on it: only the played lift shows its load",
        );
    };
    let StrapEnd::Foot(index) = strap.ends[foot] else {
        return Row::missing(RowGroup::Struts, subject, "it is at no strut's foot");
    };
    let strut = &struts[index];
    let line = along(strut);
    let pull = unit(minus(at(strap.ends[1 - foot]), strut.pin()));
    let (sin, cos) = (line[0].hypot(line[2]), line[1]);
    // Along the ground towards what it is aimed at.
    let inwards = if sin > 0.0 { (line[0] * pull[0] + line[2] * pull[2]) / sin } else { 0.0 };
    let helps = inwards - mu * pull[1];
    let rest_n = strut.capacity_n * (sin - mu * cos);
    if rest_n > 0.0 && helps <= 0.0 {
        return Row::missing(
            RowGroup::Struts,
            subject,
            "it pulls its foot up or outwards, and so cannot hold it however hard it pulls",
        );
    }
    let tension_n = if rest_n > 0.0 { rest_n / helps } else { 0.0 };
    Row::new(RowGroup::Struts, subject, Figure::Force(tension_n))
        .by(
            "rated load x (sin - mu cos) / (inwards - mu upwards)",
            format!(
                "{} of {}, sin {sin:.2}, cos {cos:.2}, mu {mu:.2}; the strap inwards {inwards:.2}, \
                 upwards {:.2}",
                d.units.force(strut.capacity_n),
                strut.name,
                pull[1]
            ),
            STATICS,
        )
        .at_most(Figure::Force(strap.capacity_n))
        .warns(Cause::Strap)
        .note("At the strut's rated load, as if this strap alone held its foot.")
}
