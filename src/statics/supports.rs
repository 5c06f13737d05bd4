//! What a vehicle can bear on: points of its outline over the ground, over sheet metal that
//! gives way, packing and trapped limbs, each with the force that it pushes back with.

use super::ground::{self as soil, Spring};
use super::plane::LaidOut;
use crate::scene::{
    Envelope, Limb, Panel, ProfilePoint, SidePose, Solid, Vehicle, VoidFill, Wedge, WheelLaw,
};
use crate::tables::{DRIVEN_M, FIRM_M, LIMB_KG, LIMB_LEAST_SHARE, Material, POST_END_M};
use crate::units::GRAVITY_M_S2;

/// Stiffness of a support that counts as rigid, N/m: under a whole car it gives 1 mm (assumed;
/// nothing on the sheet moves by more than that with it).
const RIGID_N_M: f64 = 1.2e7;
/// Half of the stretch over which the slope of the outline is taken, m.
const SPOT_M: f64 = 0.02;
/// What a support is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SupportKind {
    /// A point of the outline on the ground.
    Ground,
    /// A sheet-metal zone on the ground, by its index.
    Panel(usize),
    VoidFill(usize),
    Limb(usize),
}

/// A point of the vehicle over something that pushes back.
#[derive(Clone, Debug)]
pub struct Support {
    pub on: SupportKind,
    pub point: ProfilePoint,
    /// Height of its unloaded top, m.
    bed_m: f64,
    stiffness_n_m: f64,
    plateau_n: f64,
    /// Past this shortening it counts as rigid, m.
    depth_m: f64,
    /// Shortening that stays, m.
    set_m: f64,
    /// Front and rear edge of the sheet metal that gives way there.
    skin: Option<[ProfilePoint; 2]>,
    /// What stands on the ground under a sloping stretch of the outline: packing, a limb. The
    /// outline slips over it.
    under: Option<Under>,
    /// The wheels of a side, sprung: they push by their law as long as they stand.
    wheels: Option<[WheelLaw; 2]>,
    /// Friction there, at rest and once it slides.
    pub(super) mu: [f64; 2],
}

/// A place that stays where it is on the ground while the outline slips over it.
#[derive(Clone, Copy, Debug)]
struct Under {
    x_m: f64,
    /// Front and rear end of the stretch of the outline over it.
    face: [ProfilePoint; 2],
}

impl Support {
    pub(super) fn rigid(on: SupportKind, point: ProfilePoint, bed_m: f64, mu: [f64; 2]) -> Self {
        Self {
            mu,
            under: None,
            wheels: None,
            on,
            point,
            bed_m,
            stiffness_n_m: RIGID_N_M,
            plateau_n: f64::INFINITY,
            depth_m: f64::INFINITY,
            set_m: 0.0,
            skin: None,
        }
    }

    /// Puts soil under it: both give way under the same force. What goes down does not move
    /// along the ground.
    pub(super) fn stand_on(&mut self, soil: Spring) {
        let gives = 1.0 / self.stiffness_n_m + 1.0 / soil.stiffness_n_m;
        self.stiffness_n_m = 1.0 / gives;
        self.plateau_n = self.plateau_n.min(soil.plateau_n);
        self.depth_m = self.depth_m.min(FIRM_M);
        self.skin = None;
    }

    /// Where the part of the vehicle that bears stands along X, m. Sheet metal is pushed in
    /// along its normal, so that this place moves towards the end that stands lower.
    pub(super) fn bears_x(&self, side_pose: SidePose) -> f64 {
        let [x, y] = side_pose.ground(self.point);
        let pushed_in = (self.bed_m - y).max(0.0);
        match self.skin {
            Some(edges) if pushed_in > 0.0 => x + pushed_in * slope_of(side_pose, edges),
            _ => x,
        }
    }

    /// Rise over run of what it bears on; up towards the tail is positive.
    pub(super) fn slope(&self, side_pose: SidePose) -> f64 {
        self.under.map_or(0.0, |under| slope_of(side_pose, under.face))
    }

    /// Height of the outline over it, m.
    pub(super) fn height_m(&self, side_pose: SidePose) -> f64 {
        let [x, y] = side_pose.ground(self.point);
        self.under.map_or(y, |under| y + (x - under.x_m) * slope_of(side_pose, under.face))
    }

    /// Where its load acts along X, m.
    pub fn acts_x(&self, side_pose: SidePose) -> f64 {
        self.under.map_or_else(|| self.bears_x(side_pose), |under| under.x_m)
    }

    /// Force at a height of its point, N.
    pub(super) fn force_n(&self, height_m: f64) -> f64 {
        if let Some(wheels) = self.wheels {
            return wheels.iter().map(|law| law.presses(height_m)[0].max(0.0)).sum();
        }
        let shortened = self.bed_m - height_m;
        let spring = (self.stiffness_n_m * (shortened - self.set_m)).clamp(0.0, self.plateau_n);
        spring + RIGID_N_M * (shortened - self.depth_m).max(0.0)
    }

    /// Keeps what has been pushed in past the plateau.
    pub(super) fn keep_set(&mut self, height_m: f64) {
        let elastic = self.plateau_n / self.stiffness_n_m;
        self.set_m = self.set_m.max(self.bed_m - height_m - elastic);
    }
}

/// The zone of thin metal at an x of the profile.
pub fn panel_at(vehicle: &Vehicle, x: f64) -> Option<&Panel> {
    vehicle.panels.iter().find(|p| p.x[1] <= x && x <= p.x[0])
}

/// Rise over run of a stretch of the profile as it lies, front and rear end; up towards the
/// tail is positive.
fn slope_of(side_pose: SidePose, [front, rear]: [ProfilePoint; 2]) -> f64 {
    let (f, r) = (side_pose.ground(front), side_pose.ground(rear));
    (r[1] - f[1]) / (f[0] - r[0])
}

/// Slope of the outline over a stretch of the profile as it lies, rad; up towards the tail
/// is positive.
pub fn face_slope_rad(side_pose: SidePose, front: ProfilePoint, rear: ProfilePoint) -> f64 {
    let (f, r) = (side_pose.ground(front), side_pose.ground(rear));
    (r[1] - f[1]).atan2(f[0] - r[0])
}

fn panel_slope_rad(vehicle: &Vehicle, panel: &Panel, side_pose: SidePose) -> f64 {
    let [front, rear] = skin(vehicle, panel);
    face_slope_rad(side_pose, front, rear)
}

/// Front and rear edge of a panel on the profile.
fn skin(vehicle: &Vehicle, panel: &Panel) -> [ProfilePoint; 2] {
    panel.x.map(|x| [x, vehicle.profile.upper_y(x)])
}

/// Stiffness, plateau and depth of a panel for a vertical load. It moves along its normal
/// only, so straight down it is stiffer by `1 / cos²` and stronger by `1 / cos`.
fn yielding(vehicle: &Vehicle, panel: &Panel, side_pose: SidePose) -> (f64, f64, f64) {
    let cos = panel_slope_rad(vehicle, panel, side_pose).cos();
    (panel.stiffness_n_m / (cos * cos), panel.plateau_n / cos, panel.depth_m * cos)
}

/// Every point of the outline that can meet the ground.
pub(super) fn ground_supports(
    vehicle: &Vehicle,
    side_pose: SidePose,
    mu: [f64; 2],
) -> Vec<Support> {
    let profile = &vehicle.profile;
    let bare = profile.upper().into_iter().filter(|p| panel_at(vehicle, p[0]).is_none());
    let mut supports: Vec<Support> =
        bare.map(|p| Support::rigid(SupportKind::Ground, p, 0.0, mu)).collect();
    // A post that stands out past the roof's edge may be what it comes to rest on.
    for post in &vehicle.posts {
        let y = profile.upper_y(post.roof_x) - POST_END_M;
        let ends = [-0.5, 0.5].map(|half| [post.roof_x + half * post.width_m, y]);
        supports.extend(ends.map(|p| Support::rigid(SupportKind::Ground, p, 0.0, mu)));
    }
    for (index, panel) in vehicle.panels.iter().enumerate() {
        let edges = skin(vehicle, panel);
        let height = |p: &ProfilePoint| side_pose.ground(*p)[1];
        let low = if height(&edges[0]) <= height(&edges[1]) { edges[0] } else { edges[1] };
        let (stiffness_n_m, plateau_n, depth_m) = yielding(vehicle, panel, side_pose);
        supports.push(Support {
            stiffness_n_m,
            plateau_n,
            depth_m,
            skin: Some(edges),
            ..Support::rigid(SupportKind::Panel(index), low, 0.0, mu)
        });
        // Beside its zone the body stands as it was.
        for edge in edges {
            if edge[0] < profile.nose[0] - 1e-6 && edge[0] > profile.deck_rear[0] + 1e-6 {
                supports.push(Support::rigid(SupportKind::Ground, edge, 0.0, mu));
            }
        }
    }
    supports
}

/// Has the tyres at either end of a cross-section stand on their springs.
pub(super) fn spring_tyres(supports: &mut [Support], vehicle: &Vehicle, laws: [WheelLaw; 2]) {
    let feet = [vehicle.profile.nose, vehicle.profile.deck_rear];
    for support in supports.iter_mut().filter(|support| feet.contains(&support.point)) {
        support.wheels = Some(laws);
    }
}

/// Where the vehicle is over the rear and the front edge of a void fill: along X, and how high,
/// m; none where it is not over both.
pub(super) fn fill_edges(envelope: &Envelope<'_>, fill: &VoidFill) -> Option<[[f64; 2]; 2]> {
    let half = fill.length_m / 2.0;
    let edge = |dx: f64| {
        let at = [fill.at[0] + dx, fill.at[1]];
        envelope.underside(at).map(|height| [at[0], height])
    };
    Some([edge(-half)?, edge(half)?])
}

/// Both edges of a void fill of the scene, by its index, under the vehicle as it lies; none
/// where there is no room for it.
pub(super) fn fill_supports(
    scene: &LaidOut,
    side_pose: SidePose,
    index: usize,
) -> Option<[Support; 2]> {
    let (vehicle, fill) = (&scene.vehicle, &scene.void_fill[index]);
    let envelope = Envelope::posed(vehicle, side_pose);
    let [rear, front] = fill_edges(&envelope, fill)?;
    if rear[1].min(front[1]) < Wedge::LEAST_M {
        return None;
    }
    Some([rear, front].map(|place| {
        let point = side_pose.profile(place);
        let mu = scene.friction(Material::Sheet, Material::Timber);
        let mu = mu.map_or([0.0; 2], |pair| pair.friction(scene.ground.wet));
        let bed_m = place[1] + DRIVEN_M;
        let mut support = Support::rigid(SupportKind::VoidFill(index), point, bed_m, mu);
        let face = [SPOT_M, -SPOT_M].map(|dx| {
            let x = point[0] + dx;
            [x, vehicle.profile.upper_y(x)]
        });
        support.under = Some(Under { x_m: place[0], face });
        if let Some(panel) = panel_at(vehicle, point[0]) {
            (support.stiffness_n_m, support.plateau_n, support.depth_m) =
                yielding(vehicle, panel, side_pose);
            support.skin = Some(skin(vehicle, panel));
        }
        if let Some(bed) = scene.ground.soil {
            // Each edge has half of the base under it.
            let area_m2 = fill.bearing_area_m2() / 2.0;
            support.stand_on(soil::spring(bed, area_m2, fill.bearing_strip_m()));
        }
        support
    }))
}

/// A limb's pad under the lowest part of the vehicle above it.
pub(super) fn limb_support(envelope: &Envelope<'_>, index: usize, limb: &Limb) -> Option<Support> {
    let [hx, hz] = limb.size.map(|s| s / 2.0);
    let [x, z] = limb.at;
    // The lowest place over the pad, along X.
    const SPOTS: usize = 40;
    let lowest = (0..=SPOTS)
        .map(|i| x - hx + 2.0 * hx * i as f64 / SPOTS as f64)
        .filter_map(|x| {
            let strip = Solid { x: [x, x], z: [z - hz, z + hz], top: 0.0 };
            envelope.underside_over(&strip).map(|c| [x, c.height_m])
        })
        .min_by(|a, b| a[1].total_cmp(&b[1]))?;
    let [x_m, _] = lowest;
    let over =
        |x| envelope.underside([x, z]).map(|height| envelope.side_pose().profile([x, height]));
    let under = match [over(x_m + SPOT_M), over(x_m - SPOT_M)] {
        [Some(front), Some(rear)] => Some(Under { x_m, face: [front, rear] }),
        _ => None,
    };
    // Its own weight has pressed it a little before anything else does.
    let own_m = LIMB_KG * GRAVITY_M_S2 / limb.stiffness_n_m;
    Some(Support {
        under,
        stiffness_n_m: limb.stiffness_n_m,
        depth_m: (1.0 - LIMB_LEAST_SHARE) * limb.thickness_m - own_m,
        ..Support::rigid(
            SupportKind::Limb(index),
            envelope.side_pose().profile(lowest),
            limb.thickness_m - own_m,
            [0.0; 2],
        )
    })
}
