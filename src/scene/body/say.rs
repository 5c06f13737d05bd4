//! How somebody lies and what of the body is trapped, in one sentence.

use super::lay::{Body, bodies};
use crate::scene::model::Scene;
use std::f64::consts::FRAC_PI_4;

impl Body {
    /// "The driver lies on the back in the cabin, head towards the tail; trapped: left forearm."
    pub fn say(&self, scene: &Scene) -> String {
        let person = &self.person;
        let place = if person.inside { " in the cabin" } else { "" };
        let trapped: Vec<String> = self
            .segments
            .iter()
            .filter(|segment| segment.limb.is_some())
            .map(super::segment::Segment::say)
            .collect();
        let trapped = match &trapped[..] {
            [] => "nothing is trapped".to_owned(),
            parts => format!("trapped: {}", parts.join(", ")),
        };
        format!(
            "The {} lies {}{place}, head towards {}; {trapped}.",
            person.name,
            person.lies.word(),
            towards(scene, person.head_rad)
        )
    }
}

/// What of the vehicle a way over the ground points to.
fn towards(scene: &Scene, rad: f64) -> String {
    let [plus, minus] = scene.lies.sides();
    let side = |what: &str| match what.strip_suffix(" side") {
        Some(side) => format!("the vehicle's {side}"),
        None => format!("the vehicle's {what}"),
    };
    let (along, across) = (rad.cos(), rad.sin());
    if along.abs() >= FRAC_PI_4.cos() - 1e-9 {
        return if along > 0.0 { "the nose" } else { "the tail" }.to_owned();
    }
    side(if across > 0.0 { plus } else { minus })
}

/// One sentence for everybody who lies there.
pub fn say_people(scene: &Scene) -> Vec<String> {
    bodies(scene).iter().map(|body| body.say(scene)).collect()
}
