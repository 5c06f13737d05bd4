//! How a person lies of whom the scene says nothing: by one rule, from the trapped limbs.

use super::measures::Measures;
use crate::scene::equipment::Limb;
use crate::scene::model::Scene;
use crate::scene::person::{BodyPart, Lying, Person};
use std::borrow::Cow;

/// Stature of a person of whom none is said, m: about the median of men (ANSUR II).
pub const STATURE_M: f64 = 1.75;
/// A limb that is reached for is all but straight.
const STRAIGHT: f64 = 0.998;

/// The people of a scene; where it names none, one who lies on the back: out from under the
/// vehicle, to the side on which the trapped limbs are. A trapped leg or pelvis points to the
/// vehicle, a trapped head too; a trapped arm is stretched out to it, and the head lies towards
/// the nose. Between a trapped leg and a trapped arm the person lies from the one to the other.
pub fn people_of(scene: &Scene) -> Cow<'_, [Person]> {
    if scene.people.is_empty() {
        Cow::Owned(first_lay(&scene.limbs).into_iter().collect())
    } else {
        Cow::Borrowed(&scene.people)
    }
}

/// One who lies as the limbs say; none where none is trapped.
fn first_lay(limbs: &[Limb]) -> Option<Person> {
    let m = Measures::of(STATURE_M);
    let out = if limbs.iter().map(|l| l.at[1]).sum::<f64>() < 0.0 { -1.0 } else { 1.0 };
    let leg = limbs.iter().find(|l| l.part.of_leg());
    let arm = limbs.iter().find(|l| l.part.of_arm());
    let person = |at: [f64; 2], head: [f64; 2]| Person {
        name: "casualty".to_owned(),
        at,
        lies: Lying::Back,
        head_rad: head[1].atan2(head[0]),
        stature_m: STATURE_M,
        inside: false,
    };
    Some(match (leg, arm) {
        (Some(leg), Some(arm)) => {
            let way = [0, 1].map(|k| arm.at[k] - leg.at[k]);
            let far = way[0].hypot(way[1]).max(1e-3);
            let head = way.map(|w| w / far);
            let [down, up] = [reach(&m, leg.part), reach(&m, arm.part)];
            let share = ((far - m.along.shoulder) / (down + up)).clamp(0.4, STRAIGHT);
            person([0, 1].map(|k| leg.at[k] + share * down * head[k]), head)
        }
        (Some(_), None) => {
            let legs: Vec<&Limb> = limbs.iter().filter(|l| l.part.of_leg()).collect();
            let middle = legs.iter().map(|l| l.at[0]).sum::<f64>() / legs.len() as f64;
            let x = if legs.len() == 1 { middle - m.hip_out } else { middle };
            let z = legs
                .iter()
                .map(|l| out * l.at[1] + STRAIGHT * reach(&m, l.part))
                .fold(f64::NEG_INFINITY, f64::max);
            person([x, out * z], [0.0, out])
        }
        (None, Some(arm)) => {
            let aside = STRAIGHT * reach(&m, arm.part) + m.arm_out;
            person([arm.at[0] - m.along.shoulder, arm.at[1] + out * aside], [1.0, 0.0])
        }
        (None, None) => {
            let trunk = limbs.first()?;
            let head = if trunk.part == BodyPart::Head { -out } else { out };
            let along = middle_of_trunk(&m, trunk.part);
            person([trunk.at[0], trunk.at[1] - head * along], [0.0, head])
        }
    })
}

/// How far the middle of a limb's part is from hip or shoulder, the limb straight, m.
fn reach(m: &Measures, part: BodyPart) -> f64 {
    let [first, second, third] = if part.of_leg() { m.leg } else { m.arm };
    match part {
        BodyPart::Thigh | BodyPart::UpperArm => first / 2.0,
        BodyPart::Foot | BodyPart::Hand => first + second + third / 2.0,
        _ => first + second / 2.0,
    }
}

/// From the hips to the middle of a part of the trunk, or of the head, m.
fn middle_of_trunk(m: &Measures, part: BodyPart) -> f64 {
    let along = m.along;
    match part {
        BodyPart::Head => f64::midpoint(along.chin, along.crown),
        BodyPart::Pelvis => f64::midpoint(along.seat, along.waist),
        _ => f64::midpoint(along.waist, along.shoulder),
    }
}
