//! What of a body the vehicle must not come down onto: head, chest and pelvis of who lies
//! outside, unless they are trapped already. The play looks at the room over them.

use super::lay::{Body, bodies};
use super::segment::Segment;
use crate::scene::cut::Footprint;
use crate::scene::model::Scene;
use crate::scene::person::BodyPart;

/// What is this close to a trapped part is pressed with it, m (assumed): a hand's breadth.
const WITH_IT_M: f64 = 0.10;
/// Of a part's breadth, what a square under its middle covers however the part is turned.
const SQUARE_SHARE: f64 = 0.7;

/// A part of a body with the ground under it in level rectangles.
#[derive(Clone, Debug)]
pub struct FreePart {
    /// "chest of driver".
    pub name: String,
    pub part: BodyPart,
    /// Its middle, m.
    pub at: [f64; 3],
    /// How deep it is, m.
    pub depth_m: f64,
    pub feet: Vec<Footprint>,
}

impl FreePart {
    /// What of a body's depth gives way before it counts as pressed (common practice, no
    /// source: nothing presses on head or trunk).
    pub const GIVES_SHARE: f64 = 0.10;
}

impl Body {
    /// Whether a place on the ground is under a trapped part, or so close to one that what lies
    /// there is pressed with it.
    pub fn beside_held(&self, at: [f64; 2]) -> bool {
        self.segments.iter().any(|segment| segment.held && segment.off_m(at) < WITH_IT_M)
    }
}

/// Every such part of a scene, in the order of its people.
pub fn free_parts(scene: &Scene) -> Vec<FreePart> {
    let outside = bodies(scene).into_iter().filter(|body| !body.person.inside);
    outside
        .flat_map(|body| {
            let trunk = body.segments.iter().filter(|s| s.side.is_none() && !s.held);
            trunk
                .map(|segment| free_part(&body, segment))
                .filter(|part| !part.feet.is_empty())
                .collect::<Vec<_>>()
        })
        .collect()
}

fn free_part(body: &Body, segment: &Segment) -> FreePart {
    let [a, b] = segment.ends;
    let half = SQUARE_SHARE * segment.half[0][0];
    let length = (b[0] - a[0]).hypot(b[2] - a[2]);
    let count = (length / (2.0 * half)).ceil().max(1.0);
    let squares = (0..count as usize).map(|i| {
        let t = (i as f64 + 0.5) / count;
        [0, 2].map(|k| a[k] + t * (b[k] - a[k]))
    });
    let feet = squares
        .filter(|at| !body.beside_held(*at))
        .map(|at| Footprint { at, half: [half; 2] })
        .collect();
    FreePart {
        name: format!("{} of {}", segment.part.word(), body.person.name),
        part: segment.part,
        at: [0, 1, 2].map(|k| f64::midpoint(a[k], b[k])),
        depth_m: 2.0 * segment.half[0][1],
        feet,
    }
}
