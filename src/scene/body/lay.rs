//! Lays a body: the trunk from the hips towards the head, each trapped part through its pad,
//! what joins it to the trunk by the reach of two bones, and the free limbs at rest beside the
//! trunk.

use super::first_lay::people_of;
use super::measures::Measures;
use super::reach::two_bone;
use super::segment::Segment;
use crate::scene::envelope::{Envelope, ROOF_DEPTH_M};
use crate::scene::equipment::Limb;
use crate::scene::model::Scene;
use crate::scene::person::{BodyPart, BodySide, Lying, Person};
use crate::scene::vehicle::RestsOn;

/// A pad lies at one of these shares of a trapped lower leg or forearm, from knee or elbow: what
/// lies best along the pad is taken.
const PRESSED_AT: [f64; 5] = [0.5, 0.4, 0.6, 0.3, 0.7];
/// A thigh or an upper arm is trapped between these shares of it.
const UPPER: [f64; 2] = [0.1, 0.9];
/// A free leg beside a trapped one is drawn up until its foot is this share of the leg's length
/// from the hip (assumed): on the back with its knee up, on the front with its knee out.
const KNEE_UP: f64 = 0.45;
const KNEE_OUT: f64 = 0.80;
/// Thickness of what of a vehicle lies under who is inside it, m: that of a door, where it lies
/// on its side (assumed).
const DOOR_M: f64 = 0.12;

/// A person where each part lies.
#[derive(Clone, Debug)]
pub struct Body {
    pub person: Person,
    pub segments: Vec<Segment>,
    /// Trapped limbs that it does not reach.
    pub misfits: Vec<Misfit>,
}

/// A trapped limb that a body cannot have where its pad lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// Of the scene's limbs.
    pub limb: usize,
    pub why: MisfitReason,
}

#[derive(Clone, Debug, PartialEq)]
pub enum MisfitReason {
    /// From a joint, "right hip", at a place the pad is `far_m` away, m, and the part can only
    /// be pressed where it is between two distances away.
    Reach { joint: String, at: [f64; 2], far_m: f64, least_m: f64, most_m: f64 },
    /// The part lies this far from the pad, m.
    Beside { off_m: f64 },
    /// Both limbs of its kind are trapped by other pads, or this side is.
    Taken,
}

/// Every body of a scene, in the order of its people.
pub fn bodies(scene: &Scene) -> Vec<Body> {
    let people = people_of(scene);
    let envelope = Envelope::new(&scene.vehicle, scene.lies);
    let floor = |at: [f64; 2]| {
        let under = envelope.as_ref().and_then(|e| e.underside(at)).unwrap_or(0.0);
        under + if scene.lies == RestsOn::Roof { ROOF_DEPTH_M } else { DOOR_M }
    };
    let limbs = |person: usize| {
        let own = scene.limbs.iter().enumerate();
        own.filter(move |(_, limb)| limb.of.unwrap_or(0) == person).collect::<Vec<_>>()
    };
    people
        .iter()
        .enumerate()
        .map(|(i, person)| {
            lay(person, &limbs(i), &|at| if person.inside { floor(at) } else { 0.0 })
        })
        .collect()
}

/// Ways over the ground from the trunk: towards the head, and towards a side.
struct TrunkFrame {
    at: [f64; 2],
    head: [f64; 2],
    right: [f64; 2],
}

impl TrunkFrame {
    fn place(&self, along: f64, right: f64) -> [f64; 2] {
        [0, 1].map(|k| self.at[k] + along * self.head[k] + right * self.right[k])
    }
}

/// A body as it is laid, part by part.
struct BodyBuilder<'a> {
    m: Measures,
    person: &'a Person,
    frame: TrunkFrame,
    floor: &'a dyn Fn([f64; 2]) -> f64,
    segments: Vec<Segment>,
    misfits: Vec<Misfit>,
}

fn lay(person: &Person, limbs: &[(usize, &Limb)], floor: &dyn Fn([f64; 2]) -> f64) -> Body {
    let head = person.towards_head();
    // Right hand, face and head stand square to each other.
    let right = match person.lies {
        Lying::Back => [head[1], -head[0]],
        Lying::Front => [-head[1], head[0]],
        // On a side this points to the front of the body.
        Lying::LeftSide => [-head[1], head[0]],
        Lying::RightSide => [head[1], -head[0]],
    };
    let mut builder = BodyBuilder {
        m: Measures::of(person.stature_m),
        person,
        frame: TrunkFrame { at: person.at, head, right },
        floor,
        segments: Vec::new(),
        misfits: Vec::new(),
    };
    builder.trunk(limbs);
    builder.pair(limbs, true);
    builder.pair(limbs, false);
    for i in 0..builder.misfits.len() {
        let limb = builder.misfits[i].limb;
        builder.lone(limbs.iter().find(|(index, _)| *index == limb));
    }
    Body { person: person.clone(), segments: builder.segments, misfits: builder.misfits }
}

/// A limb: its bones, how thick it is at its joints, and what its parts are called.
struct Chain {
    bones: [f64; 3],
    /// At the root, at the joint, at the end; then half the breadth and the thickness of what
    /// lies flat at its end.
    radii: [f64; 3],
    end: [f64; 2],
    parts: [BodyPart; 3],
}

impl BodyBuilder<'_> {
    fn push(
        &mut self,
        part: BodyPart,
        side: Option<BodySide>,
        ends: [[f64; 2]; 2],
        half: [[f64; 2]; 2],
        over_m: [f64; 2],
    ) {
        let at = |k: usize| {
            let [x, z] = ends[k];
            [x, (self.floor)(ends[k]) + over_m[k] + half[k][1], z]
        };
        self.segments.push(Segment {
            part,
            side,
            ends: [at(0), at(1)],
            half,
            limb: None,
            held: false,
            outside: !self.person.inside,
        });
    }

    /// What the body does not reach lies by itself, along the longer side of its pad.
    fn lone(&mut self, limb: Option<&(usize, &Limb)>) {
        let Some(&(index, limb)) = limb else { return };
        let long = usize::from(limb.size[1] >= limb.size[0]);
        let radius = limb.thickness_m / 2.0;
        let half = (limb.size[long] / 2.0).max(0.02);
        let ends = [-half, half].map(|off| {
            let mut end = [limb.at[0], radius, limb.at[1]];
            end[2 * long] += off;
            end
        });
        self.segments.push(Segment {
            part: limb.part,
            side: limb.side,
            ends,
            half: [[limb.size[1 - long] / 2.0, radius]; 2],
            limb: Some(index),
            held: true,
            outside: true,
        });
    }

    /// Pelvis, chest, neck and head; the parts of them that are trapped.
    fn trunk(&mut self, limbs: &[(usize, &Limb)]) {
        let (m, on_side) = (self.m, self.person.lies.on_side());
        let turned = |[breadth, depth]: [f64; 2]| {
            let [across, up] = if on_side { [depth, breadth] } else { [breadth, depth] };
            [across / 2.0, up / 2.0]
        };
        let round = [m.neck / 2.0; 2];
        let along = m.along;
        let parts = [
            (BodyPart::Pelvis, along.seat, along.waist, turned(m.pelvis)),
            (BodyPart::Chest, along.waist, along.shoulder, turned(m.chest)),
            (BodyPart::Head, along.shoulder, along.chin, round),
            (BodyPart::Head, along.chin, along.crown, turned(m.head)),
        ];
        for (part, from, to, half) in parts {
            let ends = [from, to].map(|a| self.frame.place(a, 0.0));
            self.push(part, None, ends, [half; 2], [0.0; 2]);
        }
        for &(index, limb) in limbs {
            let part = match limb.part {
                BodyPart::Back => BodyPart::Chest,
                part if part.of_leg() || part.of_arm() => continue,
                part => part,
            };
            // The last of its name: the head, not the neck.
            let Some(segment) = self.segments.iter_mut().rev().find(|s| s.part == part) else {
                continue;
            };
            let off_m = segment.off_m(limb.at);
            if segment.covers(limb.at) && segment.limb.is_none() {
                (segment.limb, segment.held) = (Some(index), true);
                segment.outside = true;
            } else {
                let why = match segment.limb {
                    Some(_) => MisfitReason::Taken,
                    None => MisfitReason::Beside { off_m },
                };
                self.misfits.push(Misfit { limb: index, why });
            }
        }
    }

    /// Both legs, or both arms.
    fn pair(&mut self, limbs: &[(usize, &Limb)], legs: bool) {
        let own: Vec<(usize, &Limb)> = limbs
            .iter()
            .copied()
            .filter(|(_, l)| if legs { l.part.of_leg() } else { l.part.of_arm() })
            .collect();
        let sides = [BodySide::Left, BodySide::Right];
        let roots = sides.map(|side| self.root(legs, side));
        let mut trapped: [Option<(usize, &Limb)>; 2] = [None; 2];
        // A side that is said comes first; the others take the nearer one that is left.
        let said = own.iter().filter(|(_, l)| l.side.is_some());
        for &(index, limb) in said.chain(own.iter().filter(|(_, l)| l.side.is_none())) {
            let far = |k: usize| {
                let [x, z] = [0, 1].map(|i| limb.at[i] - roots[k][i]);
                x.hypot(z)
            };
            let nearer = usize::from(far(1) < far(0) - 1e-9);
            let wanted = match limb.side {
                Some(side) => vec![usize::from(side == BodySide::Right)],
                None => vec![nearer, 1 - nearer],
            };
            match wanted.into_iter().find(|&k| trapped[k].is_none()) {
                Some(k) => trapped[k] = Some((index, limb)),
                None => self.misfits.push(Misfit { limb: index, why: MisfitReason::Taken }),
            }
        }
        for k in [0, 1] {
            let beside_trapped = trapped[1 - k].is_some();
            self.limb(legs, sides[k], roots[k], trapped[k], beside_trapped);
        }
    }

    /// The place over the ground of a hip or a shoulder.
    fn root(&self, legs: bool, side: BodySide) -> [f64; 2] {
        let m = &self.m;
        let along = if legs { 0.0 } else { m.along.shoulder };
        if self.person.lies.on_side() {
            // One limb above the other; arms before the chest.
            let before = if legs { 0.0 } else { (m.chest[1] + m.upper_arm) / 2.0 };
            return self.frame.place(along, before);
        }
        let out = if legs { m.hip_out } else { m.arm_out };
        self.frame.place(along, if side == BodySide::Right { out } else { -out })
    }

    /// How high over what the body lies on a limb lies: on its side the upper one lies on the
    /// trunk.
    fn over_m(&self, legs: bool, side: BodySide) -> f64 {
        let upper = match self.person.lies {
            Lying::LeftSide => side == BodySide::Right,
            Lying::RightSide => side == BodySide::Left,
            _ => false,
        };
        match (upper, legs) {
            (false, _) => 0.0,
            (true, true) => self.m.pelvis[0] - self.m.thigh,
            (true, false) => self.m.chest[0],
        }
    }

    fn chain(&self, legs: bool) -> Chain {
        let m = &self.m;
        if legs {
            return Chain {
                bones: m.leg,
                radii: [m.thigh, m.knee.max(m.calf), m.ankle].map(|d| d / 2.0),
                end: m.foot,
                parts: [BodyPart::Thigh, BodyPart::LowerLeg, BodyPart::Foot],
            };
        }
        Chain {
            bones: m.arm,
            radii: [m.upper_arm, m.forearm, m.wrist].map(|d| d / 2.0),
            end: m.hand,
            parts: [BodyPart::UpperArm, BodyPart::Forearm, BodyPart::Hand],
        }
    }

    fn limb(
        &mut self,
        legs: bool,
        side: BodySide,
        root: [f64; 2],
        trapped: Option<(usize, &Limb)>,
        beside_trapped: bool,
    ) {
        let chain = self.chain(legs);
        let reached = trapped.and_then(|(index, limb)| {
            let joints = joints_through(&chain, root, self.outwards(side), limb);
            if joints.is_none() {
                self.misfits.push(misfit(&chain, legs, side, root, (index, limb)));
            }
            joints
        });
        let hold = reached.and(trapped);
        let over_m = if hold.is_some() { 0.0 } else { self.over_m(legs, side) };
        let drawn_up = legs && beside_trapped && hold.is_none();
        let (joints, knee_m) = match reached {
            Some(joints) => (joints, 0.0),
            None if drawn_up => self.drawn_up(&chain, side, root),
            None => (self.at_rest(&chain, root), 0.0),
        };
        let heights = [over_m, over_m + knee_m, over_m, over_m];
        let first = self.segments.len();
        let [a, b, c] = chain.radii;
        let flat = [chain.end[0] / 2.0, chain.end[1] / 2.0];
        let halves = [[[a; 2], [b; 2]], [[b; 2], [c; 2]], [flat; 2]];
        for k in 0..3 {
            let ends = [joints[k], joints[k + 1]];
            let over = [heights[k], heights[k + 1]];
            self.push(chain.parts[k], Some(side), ends, halves[k], over);
        }
        let Some((index, limb)) = hold else { return };
        let pressed = chain.parts.iter().position(|p| *p == limb.part).unwrap_or(1);
        for (k, segment) in self.segments[first..].iter_mut().enumerate() {
            // A limb that is trapped lies on the ground, and what joins it to who is inside
            // comes out to it.
            segment.outside = true;
            for (end, half) in segment.ends.iter_mut().zip(segment.half) {
                end[1] = half[1];
            }
            if k >= pressed {
                segment.held = true;
            }
            if k == pressed {
                segment.limb = Some(index);
                let thick = limb.thickness_m / 2.0;
                for (end, half) in segment.ends.iter_mut().zip(&mut segment.half) {
                    half[1] = half[1].min(thick);
                    end[1] = half[1];
                }
            }
        }
    }

    /// The way over the ground that a knee or an elbow goes rather than the other: out from the
    /// trunk, on a side to the front.
    fn outwards(&self, side: BodySide) -> [f64; 2] {
        let out = side == BodySide::Right || self.person.lies.on_side();
        self.frame.right.map(|w| if out { w } else { -w })
    }

    /// `far` from a place along the trunk towards the feet.
    fn down(&self, from: [f64; 2], far: f64) -> [f64; 2] {
        [0, 1].map(|k| from[k] - far * self.frame.head[k])
    }

    /// Root, joint, end and tip of a free limb, straight beside the trunk.
    fn at_rest(&self, chain: &Chain, root: [f64; 2]) -> [[f64; 2]; 4] {
        let [first, second, third] = chain.bones;
        let joint = self.down(root, first);
        let end = self.down(joint, second);
        [root, joint, end, self.down(end, third)]
    }

    /// The same of a leg that is drawn up beside a trapped one, and how high its knee is, m.
    fn drawn_up(&self, chain: &Chain, side: BodySide, root: [f64; 2]) -> ([[f64; 2]; 4], f64) {
        let [first, second, third] = chain.bones;
        if self.person.lies == Lying::Back {
            // In the upright plane along the trunk: the same two bones.
            let far = KNEE_UP * (first + second);
            let knees = two_bone([0.0; 2], [far, 0.0], first, second);
            let [along, up] = knees.map_or([first, 0.0], |[knee, _]| knee);
            let foot = self.down(root, far);
            return ([root, self.down(root, along), foot, self.down(foot, third)], up.abs());
        }
        if self.person.lies.on_side() {
            return (self.at_rest(chain, root), 0.0);
        }
        let foot = self.down(root, KNEE_OUT * (first + second));
        let out = self.outwards(side);
        let outwards = |at: &[f64; 2]| at[0] * out[0] + at[1] * out[1];
        let knees = two_bone(root, foot, first, second).into_iter().flatten();
        let knee = knees.max_by(|a, b| outwards(a).total_cmp(&outwards(b)));
        (
            knee.map_or_else(
                || self.at_rest(chain, root),
                |knee| [root, knee, foot, self.down(foot, third)],
            ),
            0.0,
        )
    }
}

/// From `from` through `to`: the place `far` behind `from`, m.
fn towards(from: [f64; 2], to: [f64; 2], far: f64) -> [f64; 2] {
    let way = [0, 1].map(|k| to[k] - from[k]);
    let length = way[0].hypot(way[1]).max(1e-9);
    [0, 1].map(|k| from[k] + far * way[k] / length)
}

/// Root, joint, end and tip of a limb whose trapped part passes over the middle of its pad.
fn joints_through(
    chain: &Chain,
    root: [f64; 2],
    out: [f64; 2],
    limb: &Limb,
) -> Option<[[f64; 2]; 4]> {
    let [first, second, third] = chain.bones;
    if limb.part == chain.parts[0] {
        let far = (limb.at[0] - root[0]).hypot(limb.at[1] - root[1]);
        if !(UPPER[0] * first..=UPPER[1] * first).contains(&far) {
            return None;
        }
        let joint = towards(root, limb.at, first);
        let end = towards(root, limb.at, first + second);
        return Some([root, joint, end, towards(root, limb.at, first + second + third)]);
    }
    let shares: Vec<f64> = if limb.part == chain.parts[1] {
        PRESSED_AT.map(|share| share * second).to_vec()
    } else {
        vec![second + third / 2.0]
    };
    // Along the longer side of the pad; a square one lies as well either way.
    let [x, z] = limb.size;
    let axis = if x > z { 0 } else { 1 };
    let even = (x - z).abs() < 1e-6;
    let mut best: Option<(f64, [f64; 2])> = None;
    for far in shares {
        let Some(mut joints) = two_bone(root, limb.at, first, far) else { continue };
        let outwards = |at: &[f64; 2]| at[0] * out[0] + at[1] * out[1];
        joints.sort_by(|a, b| outwards(b).total_cmp(&outwards(a)));
        for joint in joints {
            let along = ((limb.at[axis] - joint[axis]) / far).abs();
            let along = if even { 1.0 } else { along };
            if best.is_none_or(|(most, _)| along > most + 0.02) {
                best = Some((along, joint));
            }
        }
    }
    let (_, joint) = best?;
    let end = towards(joint, limb.at, second);
    Some([root, joint, end, towards(joint, limb.at, second + third)])
}

fn misfit(
    chain: &Chain,
    legs: bool,
    side: BodySide,
    root: [f64; 2],
    (index, limb): (usize, &Limb),
) -> Misfit {
    let [first, second, third] = chain.bones;
    let [least_m, most_m] = if limb.part == chain.parts[0] {
        UPPER.map(|share| share * first)
    } else if limb.part == chain.parts[1] {
        let [near, far] = [0.3, 0.7].map(|share| share * second);
        [(first - far).abs().min((first - near).abs()), first + far]
    } else {
        let far = second + third / 2.0;
        [(first - far).abs(), first + far]
    };
    let joint = if legs { "hip" } else { "shoulder" };
    Misfit {
        limb: index,
        why: MisfitReason::Reach {
            joint: format!("{} {joint}", side.word()),
            at: root,
            far_m: (limb.at[0] - root[0]).hypot(limb.at[1] - root[1]),
            least_m,
            most_m,
        },
    }
}
