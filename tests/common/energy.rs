//! The balance of energy in a lift, kept tick by tick from what the loads and the parts did: the
//! work of the gas against the gain in height and motion, and each loss by its own law.

use inchwise::bag_law::Membrane;
use inchwise::scene::Scene;
use inchwise::snapshot::{BagState, Part, PartKind, Pose, Snapshot, StrapState};
use inchwise::tables::BAG_SHEAR_SHARE;
use inchwise::world::{Member, TICK_S};

/// Damping per stiffness of a bag's motors, s, and the least sideways stiffness of its folds,
/// N/m, as src/world/bag.rs has them.
const BAG_DAMPING_S: f64 = 0.02;
const BAG_FOLD_N_M: f64 = 2e3;

/// Where the work of the gas in a lift has gone, J.
#[derive(Clone, Copy, Default)]
pub struct EnergyBook {
    pub gas: f64,
    pub height: f64,
    pub motion: f64,
    pub panels: f64,
    pub limbs: f64,
    pub bag_damping: f64,
    pub bag_walls: f64,
    pub contacts: f64,
    pub straps: f64,
}

fn along(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

/// How far the material point of a part that is now at `point` has moved.
fn moved(before: Pose, after: Pose, point: [f64; 3]) -> [f64; 3] {
    let there = before.turned(after.local(point));
    [0, 1, 2].map(|i| point[i] - before.at()[i] - there[i])
}

impl EnergyBook {
    /// What a tick changed of the parts' height and motion. Timbers that the crew lays are
    /// not lifted by the bags, so both sides are of the same parts, after the crew's work.
    pub fn bodies(&mut self, before: &[Member], after: &[Member], gravity: [f64; 3]) {
        for now in after {
            let Some(then) = before.iter().find(|then| then.part == now.part) else { continue };
            let way = [0, 1, 2].map(|i| now.com[i] - then.com[i]);
            self.height -= now.kg * along(gravity, way);
            self.motion += now.kinetic_j - then.kinetic_j;
        }
    }

    /// Gas: p dV by the envelope's volume. Air comes in at the beginning of a step, of which a
    /// tick has two, and from there the pressure falls by the gas law as the bag rises: the mean
    /// over a step is k dh / 2 less force than at its beginning. Damping: the motor along the bag is the tangent of
    /// the gas law, k = p_abs A^2 / V - p dA/dh, with k times 0.02 s of damping. Walls: shear
    /// c F / h and the patch's shift, F k a radian.
    pub fn bags(&mut self, scene: &Scene, before: &Snapshot, now: &Snapshot) {
        for ((spec, then), now) in scene.bags.iter().zip(&before.bags).zip(&now.bags) {
            let bag = Membrane::of_size([spec.size[0], spec.size[1]]);
            let mean = |of: &dyn Fn(&BagState) -> f64| (of(then) + of(now)) / 2.0;
            let (h, p) = (mean(&|s| s.height_m), mean(&|s| s.gauge_pa));
            let absolute = p + inchwise::units::ATMOSPHERE_PA;
            let stiffness =
                absolute * bag.area_m2(h).powi(2) / bag.volume_m3(h) - p * bag.area_slope_m(h);
            let rise = now.height_m - then.height_m;
            self.gas += p * (bag.volume_m3(now.height_m) - bag.volume_m3(then.height_m))
                - stiffness * rise * rise / 4.0;
            self.bag_damping += BAG_DAMPING_S * stiffness * rise * rise / TICK_S;
            let shear = |s: &BagState| {
                (BAG_SHEAR_SHARE * s.force_n / s.height_m.max(0.02)).max(BAG_FOLD_N_M)
            };
            let side = now.shear_m - then.shear_m;
            self.bag_walls += mean(&|s| shear(s) * s.shear_m) * side;
            self.bag_walls += BAG_DAMPING_S * shear(now) * side * side / TICK_S;
            let lean = now.tilt_rad - then.tilt_rad;
            let arm = |s: &BagState| bag.tilt_arms_m(s.height_m)[1];
            self.bag_walls += mean(&|s| s.force_n * arm(s) * s.tilt_rad) * lean;
        }
    }

    /// Each load times the way that its two sides moved apart: friction, and what is lost in
    /// contacts that give. What goes into a panel or a wheel is its loads times its way
    /// against the vehicle; into a limb, times its way.
    pub fn loads(&mut self, parts: &[Part], before: &Snapshot, now: &Snapshot) {
        self.straps(before, now);
        let vehicle = parts.iter().position(|p| p.kind == PartKind::Vehicle).expect("it");
        let way = |part: usize, point| {
            before.poses.get(part).map(|then| moved(*then, now.poses[part], point))
        };
        for load in &now.loads {
            let on = way(load.on, load.point);
            let by = load.by.map_or(Some([0.0; 3]), |by| way(by, load.point));
            // A timber laid this tick has no earlier pose.
            let (Some(on), Some(by)) = (on, by) else { continue };
            self.contacts -= along(load.force, [0, 1, 2].map(|i| on[i] - by[i]));
            let sides = [(Some(load.on), on, 1.0), (load.by, by, -1.0)];
            for (part, way_m, sign) in sides {
                let Some(part) = part else { continue };
                match parts[part].kind {
                    PartKind::Panel(_) | PartKind::Wheel(_) => {
                        let Some(of) = way(vehicle, load.point) else { continue };
                        let pushed = [0, 1, 2].map(|i| way_m[i] - of[i]);
                        self.panels += sign * along(load.force, pushed);
                    }
                    PartKind::Limb(_) => self.limbs += sign * along(load.force, way_m),
                    _ => {}
                }
            }
        }
    }

    /// A strap takes its pull times the way that its ends move apart, and gives it back.
    fn straps(&mut self, before: &Snapshot, now: &Snapshot) {
        for (then, now) in before.straps.iter().zip(&now.straps) {
            let long = |strap: &StrapState| {
                let [a, b] = strap.ends;
                (0..3).map(|i| (b[i] - a[i]).powi(2)).sum::<f64>().sqrt()
            };
            self.straps += (then.tension_n + now.tension_n) / 2.0 * (long(now) - long(then));
        }
    }

    pub fn sum(&self) -> f64 {
        self.height
            + self.motion
            + self.panels
            + self.limbs
            + self.bag_damping
            + self.bag_walls
            + self.contacts
            + self.straps
    }
}
