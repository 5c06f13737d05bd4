//! From where a camera sees best what a finding, or a point of practice, is about: square to the motion, near enough, with
//! little in between, and the casualty in the picture where that can be.
//!
//! Space: the ground frame of [`crate::scene`], m and rad.

use crate::scene::{Cause, Scene, Vehicle};
use crate::snapshot::{Finding, Part, PartKind, Pose, Shape, Snapshot};
use std::f64::consts::TAU;

/// A place to look from: `yaw_rad` turns about the upright from +Z towards +X, `pitch_rad` is how
/// far above the level the eye stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// What is looked at, m.
    pub focus: [f64; 3],
    pub yaw_rad: f64,
    pub pitch_rad: f64,
    /// From the focus to the eye, m.
    pub radius_m: f64,
}

/// What is to be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    pub place: [f64; 3],
    /// When it began and when it is told, s.
    pub began_s: f64,
    pub t_s: f64,
    /// It is the vehicle that moves, whatever is nearer to the place.
    pub of_the_vehicle: bool,
}

impl From<&Finding> for Event {
    fn from(finding: &Finding) -> Self {
        let of_the_vehicle = matches!(finding.cause(), Cause::Slide | Cause::Roll | Cause::Drop);
        let &Finding { place, began_s, t_s, .. } = finding;
        Self { place, began_s, t_s, of_the_vehicle }
    }
}

/// The picture shows what comes of a finding so long after it, s.
const AFTER_S: f64 = 1.0;
/// Directions that are tried, and heights of the eye, rad: low, as motion shows best from the
/// side, but over what lies on the ground.
const YAWS: usize = 36;
const PITCHES_RAD: [f64; 4] = [0.08, 0.18, 0.30, 0.45];
/// Half the height of what is seen, as a share of the distance: less than any lens of the yard.
const HALF_HEIGHT: f64 = 0.33;
/// A place to look from, the same in the window and off screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From the end at which the lift is made, and from above.
    ThreeQuarter,
    /// Across the vehicle.
    Side,
    /// Along the vehicle.
    Front,
    /// The trapped limbs, from the side on which the casualty lies.
    Casualty,
    /// The stacks and the trapped limbs, near, across the vehicle.
    Stacks,
}

impl View {
    /// Each with its word in files and options.
    pub const WORDS: [(&str, View); 5] = [
        ("three-quarter", View::ThreeQuarter),
        ("side", View::Side),
        ("front", View::Front),
        ("casualty", View::Casualty),
        ("stacks", View::Stacks),
    ];

    /// Those that have a key, each with its name.
    pub const ALL: [(View, &str); 4] = [
        (View::ThreeQuarter, "Three-quarter"),
        (View::Side, "Side"),
        (View::Front, "Front"),
        (View::Casualty, "Casualty"),
    ];
}

/// How near and how far the eye stands, m.
const RADIUS_M: [f64; 2] = [1.7, 6.0];
/// How much of its surroundings is shown with a place, m.
const AROUND_M: f64 = 0.5;
/// Points around the place that ought to be seen, m off it.
const BESIDE_M: f64 = 0.10;
/// A limb that lies nearer than this to the place is in the picture too, m.
const NEAR_M: f64 = 1.5;
/// A way that shows where something goes, m.
const WAY_M: f64 = 0.003;
/// Steps along a line of sight through the vehicle, and how much of its end does not count, m: a
/// place on a face lies in that face.
const STEP_M: f64 = 0.04;
const END_M: f64 = 0.06;

impl Stand {
    /// Where the eye is, m.
    pub fn eye(&self) -> [f64; 3] {
        let (up, level) = self.pitch_rad.sin_cos();
        let (x, z) = self.yaw_rad.sin_cos();
        let way = [x * level, up, z * level];
        [0, 1, 2].map(|i| self.focus[i] + self.radius_m * way[i])
    }

    /// For an event of a lift with these parts; `history` is in turn of time.
    pub fn before(scene: &Scene, parts: &[Part], history: &[&Snapshot], event: Event) -> Self {
        let plain = |focus, radius_m| Self { focus, yaw_rad: 0.0, pitch_rad: 0.2, radius_m };
        let at = |t_s: f64| {
            let i = history.partition_point(|row| row.t_s < t_s);
            history.get(i).or(history.last()).copied()
        };
        let (Some(began), Some(after)) = (at(event.began_s), at(event.t_s + AFTER_S)) else {
            return plain(event.place, 4.0);
        };
        // A beam that breaks makes a part more.
        let parts = &parts[..parts.len().min(began.poses.len())];
        let subject = FindingSubject::new(scene, parts, [began, after], event);
        let sight = LineOfSight { scene, parts, now: after, but: subject.part };
        let (focus, radius_m) = subject.in_the_picture();
        let stands = (0..YAWS).flat_map(|i| {
            let yaw_rad = TAU * i as f64 / YAWS as f64;
            PITCHES_RAD.map(|pitch_rad| Self { focus, yaw_rad, pitch_rad, radius_m })
        });
        let rated = stands.map(|stand| (subject.worth(&sight, &stand), stand));
        let best = rated.max_by(|(a, _), (b, _)| a.total_cmp(b));
        best.map_or(plain(focus, radius_m), |(_, stand)| stand)
    }
}

/// What a finding is about.
struct FindingSubject {
    /// Where it was as it began, and where it has come to, m.
    way: [[f64; 3]; 2],
    /// The part that it is a place of.
    part: usize,
    /// Middles of the limbs that are near.
    limbs: Vec<[f64; 3]>,
    /// Middles of what belongs to it: the other timbers of a stack.
    with: Vec<[f64; 3]>,
}

impl FindingSubject {
    fn new(scene: &Scene, parts: &[Part], [began, after]: [&Snapshot; 2], event: Event) -> Self {
        let vehicle = parts.iter().position(|p| p.kind == PartKind::Vehicle).unwrap_or(0);
        let away = |i: &usize| boxed(&parts[*i], &began.poses[*i]).away_m(event.place);
        let nearest = (0..parts.len())
            .filter(|&i| parts[i].present && !parts[i].kind.is_vehicle())
            .filter(|i| away(i) < AROUND_M)
            .min_by(|a, b| away(a).total_cmp(&away(b)));
        let part = nearest.filter(|_| !event.of_the_vehicle).unwrap_or(vehicle);
        let local = began.poses[part].local(event.place);
        let came = after.poses[part].turned(local);
        let came = [0, 1, 2].map(|i| came[i] + after.poses[part].at()[i]);
        let limbs = scene.limbs.iter().map(|l| [l.at[0], 0.5 * l.thickness_m, l.at[1]]);
        let limbs = limbs.filter(|at| apart_m(*at, came) < NEAR_M).collect();
        let stack = |kind: PartKind| match kind {
            PartKind::StackTimber { stack, .. } | PartKind::Pad { stack, .. } => Some(stack),
            _ => None,
        };
        let of = stack(parts[part].kind);
        let with = (0..parts.len()).filter(|&i| of.is_some() && stack(parts[i].kind) == of);
        let with = with.map(|i| after.poses[i].at()).collect();
        Self { way: [event.place, came], part, limbs, with }
    }

    /// What is looked at, and from how far: the whole way, what belongs to it, and the limbs that
    /// are near.
    fn in_the_picture(&self) -> ([f64; 3], f64) {
        let shown: Vec<[f64; 3]> =
            self.way.iter().chain(&self.limbs).chain(&self.with).copied().collect();
        let low = [0, 1, 2].map(|i| shown.iter().map(|p| p[i]).fold(f64::MAX, f64::min));
        let high = [0, 1, 2].map(|i| shown.iter().map(|p| p[i]).fold(f64::MIN, f64::max));
        let focus = [0, 1, 2].map(|i| 0.5 * (low[i] + high[i]));
        let reach_m = shown.iter().map(|p| apart_m(*p, focus)).fold(0.0, f64::max) + AROUND_M;
        (focus, (reach_m / HALF_HEIGHT).clamp(RADIUS_M[0], RADIUS_M[1]))
    }

    /// How good a place to look from is: what is seen of it and that one looks
    /// across its way, then that a limb is seen.
    fn worth(&self, sight: &LineOfSight<'_>, stand: &Stand) -> f64 {
        let eye = stand.eye();
        let seen = |points: &[[f64; 3]]| {
            let open = points.iter().filter(|&&point| sight.is_open(eye, point)).count();
            open as f64 / points.len().max(1) as f64
        };
        let [x, _, z] = [0, 1, 2].map(|i| self.way[1][i] - self.way[0][i]);
        let way_m = x.hypot(z);
        let (to_x, to_z) = stand.yaw_rad.sin_cos();
        let across = if way_m < WAY_M { 0.0 } else { ((x * to_z - z * to_x) / way_m).abs() };
        let limbs = if self.limbs.is_empty() { 0.0 } else { seen(&self.limbs) };
        3.0 * seen(&self.points()) + 3.0 * across + 0.7 * limbs - stand.pitch_rad
    }

    /// Points that ought to be seen: the place as it began and as it is, and around it.
    fn points(&self) -> Vec<[f64; 3]> {
        let [_, came] = self.way;
        let around = (0..3).flat_map(|axis| {
            [-BESIDE_M, BESIDE_M].map(|off| {
                let mut at = came;
                at[axis] += off;
                at
            })
        });
        let above_ground = |[x, y, z]: [f64; 3]| [x, y.max(0.02), z];
        self.way.into_iter().chain(around).map(above_ground).collect()
    }
}

/// What may stand between an eye and a place.
struct LineOfSight<'a> {
    scene: &'a Scene,
    parts: &'a [Part],
    now: &'a Snapshot,
    /// The part that is looked at.
    but: usize,
}

impl LineOfSight<'_> {
    /// Nothing lies between an eye and a point.
    fn is_open(&self, eye: [f64; 3], point: [f64; 3]) -> bool {
        let boxes_open = self.parts.iter().enumerate().all(|(i, part)| {
            let skip = i == self.but || !part.present || part.kind.is_vehicle();
            skip || boxed(part, &self.now.poses[i]).is_clear_of(eye, point)
        });
        boxes_open && self.vehicle_is_clear_of(eye, point)
    }

    fn vehicle_is_clear_of(&self, eye: [f64; 3], point: [f64; 3]) -> bool {
        let Some(i) = self.parts.iter().position(|p| p.kind == PartKind::Vehicle) else {
            return true;
        };
        let pose = &self.now.poses[i];
        let long_m = apart_m(eye, point);
        let steps = ((long_m - END_M) / STEP_M).max(0.0) as usize;
        (0..steps).all(|step| {
            let t = STEP_M * step as f64 / long_m;
            let at = [0, 1, 2].map(|k| eye[k] + t * (point[k] - eye[k]));
            !is_inside(&self.scene.vehicle, pose.local(at))
        })
    }
}

/// Whether a place of a vehicle's frame lies in its body; windows count as body.
fn is_inside(vehicle: &Vehicle, [x, y, z]: [f64; 3]) -> bool {
    let p = &vehicle.profile;
    let along = (p.deck_rear[0]..=p.nose[0]).contains(&x);
    let belt_y = p.belt_y(x);
    let half_m = if y <= belt_y {
        vehicle.side_at(y)
    } else {
        let top = p.header[1].max(p.roof_rear[1]);
        let t = ((y - belt_y) / (top - belt_y).max(1e-6)).clamp(0.0, 1.0);
        vehicle.half_width.belt + t * (vehicle.half_width.roof - vehicle.half_width.belt)
    };
    along && (p.floor_y..=p.upper_y(x)).contains(&y) && z.abs() <= half_m
}

/// A part's outside as a box of its own frame.
struct Boxed<'a> {
    low: [f64; 3],
    high: [f64; 3],
    pose: &'a Pose,
}

fn boxed<'a>(part: &Part, pose: &'a Pose) -> Boxed<'a> {
    let (low, high) = match &part.shape {
        Shape::Box(half) => (half.map(|h| -h), *half),
        Shape::Hull(points) => (
            [0, 1, 2].map(|i| points.iter().map(|p| p[i]).fold(f64::MAX, f64::min)),
            [0, 1, 2].map(|i| points.iter().map(|p| p[i]).fold(f64::MIN, f64::max)),
        ),
        Shape::Vehicle => ([0.0; 3], [0.0; 3]),
    };
    Boxed { low, high, pose }
}

impl Boxed<'_> {
    /// How far a point lies outside it, m.
    fn away_m(&self, point: [f64; 3]) -> f64 {
        let at = self.pose.local(point);
        let out = |i: usize| (self.low[i] - at[i]).max(at[i] - self.high[i]).max(0.0);
        out(0).hypot(out(1)).hypot(out(2))
    }

    /// A line of sight passes it by; its end does not count.
    fn is_clear_of(&self, eye: [f64; 3], point: [f64; 3]) -> bool {
        let (from, to) = (self.pose.local(eye), self.pose.local(point));
        let long_m = apart_m(eye, point);
        let mut inside = [0.0, (1.0 - END_M / long_m).max(0.0)];
        for i in 0..3 {
            let way = to[i] - from[i];
            if way.abs() < 1e-12 {
                if !(self.low[i]..=self.high[i]).contains(&from[i]) {
                    return true;
                }
                continue;
            }
            let [a, b] = [self.low[i], self.high[i]].map(|face| (face - from[i]) / way);
            inside = [inside[0].max(a.min(b)), inside[1].min(a.max(b))];
        }
        inside[0] > inside[1]
    }
}

fn apart_m(a: [f64; 3], b: [f64; 3]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2])
}
