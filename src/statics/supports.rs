//! What a vehicle can bear on: points of its outline over the ground, over sheet metal that
//! gives way, packing and trapped limbs, each with the force that it pushes back with.

use super::ground::{self as soil, Spring};
use super::plane::LaidOut;
use super::root::root;
use crate::scene::{
    BearingEdge, EdgeSection, Envelope, Limb, Panel, ProfilePoint, SidePose, Solid, Vehicle,
    VehicleEdge, VoidFill, Wedge, WheelLaw,
};
use crate::tables::{Bed, DRIVEN_M, FIRM_M, LIMB_KG, LIMB_LEAST_SHARE, Material, POST_END_M};
use crate::units::GRAVITY_M_S2;

/// Stiffness of a support that counts as rigid, N/m: under a whole car it gives 1 mm (assumed;
/// nothing on the sheet moves by more than that with it).
const RIGID_N_M: f64 = 1.2e7;
/// Points of the outline nearer than this are one, m.
const SAME_M: f64 = 1e-3;
/// The depth of an edge in soil is found to this, m.
const DEPTH_GRAIN_M: f64 = 1e-9;
/// Soil's stiffness is taken over this much more depth, m.
const STIFFNESS_OVER_M: f64 = 1e-6;
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
    StepChock(usize),
    Strut(usize),
    Limb(usize),
}

/// A point of the vehicle over something that pushes back.
#[derive(Clone, Debug)]
pub struct SupportPoint {
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
    /// The wheels of a side, sprung: each pushes by its law as long as it stands, where it stands
    /// along Z, m.
    wheels: Option<[(WheelLaw, f64); 2]>,
    /// Where anything else stands along Z, m.
    z_m: f64,
    /// Soil that gives way under it.
    earth: Option<Earth>,
    /// Friction there, at rest and once it slides.
    pub(super) mu: [f64; 2],
    /// The same between what stands there and the ground.
    base_mu: [f64; 2],
}

/// A turn of the vehicle out of the plane, rad: what stands further along Z than a line along X
/// stands higher.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    pub rad: f64,
    /// Where that line is, m along Z.
    pub about_z: f64,
}

impl Roll {
    pub const NONE: Self = Self { rad: 0.0, about_z: 0.0 };

    /// How much higher it stands at a place along Z, m.
    pub fn up_m(self, z: f64) -> f64 {
        self.rad.tan() * (z - self.about_z)
    }
}

/// Soil under an edge of the vehicle.
#[derive(Clone, Debug)]
struct Earth {
    bed: Bed,
    edge: BearingEdge,
    /// Its section where it stays upright whatever the vehicle does: a wheel's.
    upright: Option<EdgeSection>,
    /// Depth that stays under each part of it, m.
    sets_m: [f64; 2],
}

/// What goes into soil: an edge of the vehicle, how deep, m, and what presses it, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct InSoil {
    pub edge: VehicleEdge,
    pub depth_m: f64,
    pub load_n: f64,
}

impl Earth {
    fn section(&self, side_pose: SidePose) -> EdgeSection {
        self.upright.clone().unwrap_or_else(|| self.edge.section(in_plane(side_pose)))
    }

    fn bears_n(&self, section: &EdgeSection, part: usize, depth_m: f64) -> f64 {
        let print = self.edge.print(section, depth_m);
        soil::edge_n(self.bed, print, depth_m, self.sets_m[part])
    }

    /// How what it bears rises with the depth, N/m.
    fn stiffness_n_m(&self, section: &EdgeSection, part: usize, depth_m: f64) -> f64 {
        let bears_n = |depth_m: f64| self.bears_n(section, part, depth_m);
        (bears_n(depth_m + STIFFNESS_OVER_M) - bears_n(depth_m)) / STIFFNESS_OVER_M
    }

    fn keep_set(&mut self, section: &EdgeSection, part: usize, depth_m: f64) {
        let print = self.edge.print(section, depth_m);
        self.sets_m[part] = soil::edge_set_m(self.bed, print, depth_m, self.sets_m[part]);
    }
}

/// Puts a place that is laid out in the plane on the ground.
fn in_plane(side_pose: SidePose) -> impl Fn([f64; 3]) -> [f64; 2] {
    move |[x, y, _]| side_pose.ground([x, y])
}

/// A place that stays where it is on the ground while the outline slips over it.
#[derive(Clone, Copy, Debug)]
struct Under {
    x_m: f64,
    /// Front and rear end of the stretch of the outline over it.
    face: [ProfilePoint; 2],
}

impl SupportPoint {
    pub(super) fn rigid(on: SupportKind, point: ProfilePoint, bed_m: f64, mu: [f64; 2]) -> Self {
        Self {
            mu,
            base_mu: [f64::INFINITY; 2],
            under: None,
            wheels: None,
            z_m: 0.0,
            earth: None,
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
        let [x, y] = self.lowest(side_pose);
        let Some(edges) = self.skin else { return x };
        // What goes down into soil does not move along the ground.
        let pushed_in = (self.bed_m - y - self.sunk_m(side_pose, 0, y)).max(0.0);
        x + pushed_in * slope_of(side_pose, edges)
    }

    /// Rise over run of what it bears on; up towards the tail is positive.
    pub(super) fn slope(&self, side_pose: SidePose) -> f64 {
        self.under.map_or(0.0, |under| slope_of(side_pose, under.face))
    }

    /// What friction holds there of a pull along the ground under a load of one, at rest and once
    /// it slides: the outline slips over what stands there, or that over the ground. The way of the
    /// pull along X is 1 towards the nose, -1 towards the tail, 0 across the plane.
    pub(super) fn holds(&self, side_pose: SidePose, way: f64) -> [f64; 2] {
        let slope = way * self.slope(side_pose);
        [0, 1].map(|i| tan_of_sum(self.mu[i], -slope).min(self.base_mu[i]))
    }

    /// Height of the outline over it in the plane, m.
    fn height_m(&self, side_pose: SidePose) -> f64 {
        let [x, y] = self.lowest(side_pose);
        self.under.map_or(y, |under| y + (x - under.x_m) * slope_of(side_pose, under.face))
    }

    /// Where its load acts along X, m.
    pub fn acts_x(&self, side_pose: SidePose) -> f64 {
        self.under.map_or_else(|| self.bears_x(side_pose), |under| under.x_m)
    }

    /// Where its point stands, m; on soil it is the lowest of its edge.
    fn lowest(&self, side_pose: SidePose) -> [f64; 2] {
        match &self.earth {
            Some(Earth { edge, upright: None, .. }) => edge.lowest(in_plane(side_pose)),
            _ => side_pose.ground(self.point),
        }
    }

    pub(super) fn is_on_soil(&self) -> bool {
        self.earth.is_some()
    }

    /// Where each part of it stands along Z, m: either wheel of a side, or else all of it.
    fn parts_z_m(&self) -> impl Iterator<Item = (usize, f64)> {
        let [first, second] = match self.wheels {
            Some(wheels) => wheels.map(|(_, z)| Some(z)),
            None => [Some(self.z_m), None],
        };
        [first, second].into_iter().flatten().enumerate()
    }

    /// What of the vehicle goes into soil there; nothing on hard ground.
    pub(super) fn goes_in(&self, side_pose: SidePose, roll: Roll) -> Vec<InSoil> {
        let Some(earth) = &self.earth else { return Vec::new() };
        let height_m = self.height_m(side_pose);
        let in_soil = |(part, z): (usize, f64)| {
            let height_m = height_m + roll.up_m(z);
            let depth_m = self.sunk_m(side_pose, part, height_m);
            // The wheels of a side are the front and the rear one.
            let edge = match earth.edge.of {
                VehicleEdge::Wheel(front) => VehicleEdge::Wheel(front + 2 * part),
                other => other,
            };
            InSoil { edge, depth_m, load_n: self.part_n(part, height_m + depth_m) }
        };
        self.parts_z_m().map(in_soil).collect()
    }

    /// How deep a part of it is in soil, m, with its height over the ground: there what is above it
    /// presses as hard as soil bears. Nothing on hard ground.
    fn sunk_m(&self, side_pose: SidePose, part: usize, height_m: f64) -> f64 {
        let Some(earth) = &self.earth else { return 0.0 };
        let presses_n = |depth_m: f64| self.part_n(part, height_m + depth_m);
        if presses_n(0.0) <= 0.0 {
            return 0.0;
        }
        let section = earth.section(side_pose);
        let over_n = |depth_m: f64| earth.bears_n(&section, part, depth_m) - presses_n(depth_m);
        root(over_n, [0.0, FIRM_M], DEPTH_GRAIN_M)
    }

    /// Force of a part of it at a height of its point over what it stands on, N.
    fn part_n(&self, part: usize, height_m: f64) -> f64 {
        if let Some(wheels) = self.wheels {
            return wheels[part].0.presses(height_m)[0].max(0.0);
        }
        let shortened = self.bed_m - height_m;
        let spring = (self.stiffness_n_m * (shortened - self.set_m)).clamp(0.0, self.plateau_n);
        spring + RIGID_N_M * (shortened - self.depth_m).max(0.0)
    }

    /// Force in a pose, N, and its moment about a line along X, N m: along Z from there it is
    /// positive.
    pub(super) fn force(&self, side_pose: SidePose, roll: Roll, about_z: f64) -> [f64; 2] {
        let height_m = self.height_m(side_pose);
        self.parts_z_m().fold([0.0; 2], |[sum, moment], (part, z)| {
            let height_m = height_m + roll.up_m(z);
            let n = self.part_n(part, height_m + self.sunk_m(side_pose, part, height_m));
            [sum + n, moment + n * (z - about_z)]
        })
    }

    /// How its wheels hold against a roll in a pose, N m/rad: `sum k z^2`, soil giving way with the
    /// spring; nothing where it has none.
    pub(super) fn wheels_nm_rad(&self, side_pose: SidePose, roll: Roll) -> f64 {
        let height_m = self.height_m(side_pose);
        let holds = |(part, (law, z)): (usize, &(WheelLaw, f64))| {
            let height_m = height_m + roll.up_m(*z);
            let depth_m = self.sunk_m(side_pose, part, height_m);
            let [n, falls_n_m] = law.presses(height_m + depth_m);
            if n <= 0.0 {
                return 0.0;
            }
            let soil_n_m = self.earth.as_ref().map_or(f64::INFINITY, |earth| {
                earth.stiffness_n_m(&earth.section(side_pose), part, depth_m)
            });
            (z - roll.about_z).powi(2) / (1.0 / falls_n_m + 1.0 / soil_n_m)
        };
        self.wheels.iter().flatten().enumerate().map(holds).sum()
    }

    /// Keeps what has been pushed in past the plateau, of it and of the soil under it.
    pub(super) fn keep_set(&mut self, side_pose: SidePose, roll: Roll) {
        let mut height_m = self.height_m(side_pose) + roll.up_m(self.z_m);
        let in_soil = self.goes_in(side_pose, roll);
        if let Some(earth) = &mut self.earth {
            let section = earth.section(side_pose);
            for (part, in_soil) in in_soil.iter().enumerate() {
                earth.keep_set(&section, part, in_soil.depth_m);
                height_m += in_soil.depth_m;
            }
        }
        let elastic = self.plateau_n / self.stiffness_n_m;
        self.set_m = self.set_m.max(self.bed_m - height_m - elastic);
    }
}

/// Tangent of the sum of two angles by theirs.
pub(super) fn tan_of_sum(a: f64, b: f64) -> f64 {
    (a + b) / (1.0 - a * b)
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
) -> Vec<SupportPoint> {
    let profile = &vehicle.profile;
    let bare = profile.upper().into_iter().filter(|p| panel_at(vehicle, p[0]).is_none());
    let mut supports: Vec<SupportPoint> =
        bare.map(|p| SupportPoint::rigid(SupportKind::Ground, p, 0.0, mu)).collect();
    // A post that stands out past the roof's edge may be what it comes to rest on.
    for post in &vehicle.posts {
        let y = profile.upper_y(post.roof_x) - POST_END_M;
        let ends = [-0.5, 0.5].map(|half| [post.roof_x + half * post.width_m, y]);
        supports.extend(ends.map(|p| SupportPoint::rigid(SupportKind::Ground, p, 0.0, mu)));
    }
    for (index, panel) in vehicle.panels.iter().enumerate() {
        let edges = skin(vehicle, panel);
        let height = |p: &ProfilePoint| side_pose.ground(*p)[1];
        let low = if height(&edges[0]) <= height(&edges[1]) { edges[0] } else { edges[1] };
        let (stiffness_n_m, plateau_n, depth_m) = yielding(vehicle, panel, side_pose);
        supports.push(SupportPoint {
            stiffness_n_m,
            plateau_n,
            depth_m,
            skin: Some(edges),
            ..SupportPoint::rigid(SupportKind::Panel(index), low, 0.0, mu)
        });
        // Beside its zone the body stands as it was.
        for edge in edges {
            if edge[0] < profile.nose[0] - 1e-6 && edge[0] > profile.deck_rear[0] + 1e-6 {
                supports.push(SupportPoint::rigid(SupportKind::Ground, edge, 0.0, mu));
            }
        }
    }
    supports
}

/// Puts soil that gives way under the edges by which the vehicle bears: in the place of the points
/// of its outline on the ground each edge has one, at its lowest, over the sheet metal there. Past
/// its tyres a vehicle that stands on them has hard ground.
pub(super) fn lay_on_soil(supports: &mut Vec<SupportPoint>, scene: &LaidOut, side_pose: SidePose) {
    let Some(bed) = scene.ground.soil else { return };
    let on_tyres = scene.wheels().is_some();
    let mu = supports.first().map_or([0.0; 2], |support| support.mu);
    let on_soil = scene.edges.iter().map(|laid| {
        let (point, edge) = (laid.lowest(side_pose), laid.edge.clone());
        let near =
            |support: &&SupportPoint| (0..2).all(|k| (support.point[k] - point[k]).abs() < SAME_M);
        let own = supports.iter().find(near).cloned();
        let own = own.unwrap_or_else(|| SupportPoint::rigid(SupportKind::Ground, point, 0.0, mu));
        let upright = laid.upright.clone();
        let earth = Earth { bed, edge, upright, sets_m: [0.0; 2] };
        SupportPoint { earth: Some(earth), ..own }
    });
    let on_soil: Vec<SupportPoint> = on_soil.collect();
    supports.retain(|own| on_tyres && on_soil.iter().all(|other| other.point != own.point));
    supports.extend(on_soil);
}

/// Has the tyres at either end of a cross-section stand on their springs.
pub(super) fn spring_tyres(
    supports: &mut [SupportPoint],
    vehicle: &Vehicle,
    wheels: [(WheelLaw, f64); 2],
) {
    let feet = [vehicle.profile.nose, vehicle.profile.deck_rear];
    for support in supports.iter_mut().filter(|support| feet.contains(&support.point)) {
        support.wheels = Some(wheels);
    }
}

/// Where the vehicle is over two places of a void fill that lie a distance behind and ahead of its
/// middle: along X, and how high, m; none where it is not over both.
pub(super) fn fill_edges(
    envelope: &Envelope<'_>,
    fill: &VoidFill,
    off_middle_m: f64,
) -> Option<[[f64; 2]; 2]> {
    let edge = |dx: f64| {
        let at = [fill.at[0] + dx, fill.at[1]];
        envelope.underside(at).map(|height| [at[0], height])
    };
    Some([edge(-off_middle_m)?, edge(off_middle_m)?])
}

/// Both edges of a void fill of the scene, by its index, under the vehicle as it lies, and on soil
/// the middles of its force; none where there is no room for it.
pub(super) fn fill_supports(
    scene: &LaidOut,
    side_pose: SidePose,
    index: usize,
) -> Option<[SupportPoint; 2]> {
    let (vehicle, fill) = (&scene.vehicle, &scene.void_fill[index]);
    let envelope = Envelope::posed(vehicle, side_pose);
    // Timber on soil turns with what lies on it, and soil under a length L holds against that as two
    // halves of it do that stand L / sqrt 12 off its middle: both have k L² / 12.
    let off_middle = if scene.ground.soil.is_some() { 1.0 / 12_f64.sqrt() } else { 0.5 };
    let [rear, front] = fill_edges(&envelope, fill, off_middle * fill.length_m)?;
    if rear[1].min(front[1]) < Wedge::LEAST_M {
        return None;
    }
    Some([rear, front].map(|place| {
        let point = side_pose.profile(place);
        let mu = scene.friction(Material::Sheet, Material::Timber);
        let mu = mu.map_or([0.0; 2], |pair| pair.friction(scene.ground.wet));
        let bed_m = place[1] + DRIVEN_M;
        let mut support = SupportPoint::rigid(SupportKind::VoidFill(index), point, bed_m, mu);
        let face = [SPOT_M, -SPOT_M].map(|dx| {
            let x = point[0] + dx;
            [x, vehicle.profile.upper_y(x)]
        });
        support.under = Some(Under { x_m: place[0], face });
        support.z_m = fill.at[1];
        let base = scene.friction(Material::Timber, Material::Ground(scene.ground.surface));
        if let Some(pair) = base {
            support.base_mu = pair.friction(scene.ground.wet);
        }
        if let Some(panel) = panel_at(vehicle, point[0]) {
            (support.stiffness_n_m, support.plateau_n, support.depth_m) =
                yielding(vehicle, panel, side_pose);
            support.skin = Some(skin(vehicle, panel));
        }
        if let Some(bed) = scene.ground.soil {
            // Each has half of the base under it.
            let area_m2 = fill.bearing_area_m2() / 2.0;
            support.stand_on(soil::spring(bed, area_m2, fill.bearing_strip_m()));
        }
        support
    }))
}

/// The step of a step chock that is snug.
#[derive(Clone, Copy, Debug)]
pub struct SnugStep {
    /// From 0.
    pub step: usize,
    /// The packer between it and the vehicle, m.
    pub packer_m: f64,
}

/// A step chock of the scene, by its index, under the vehicle as it lies, with its snug step; none
/// where it has none. What lies on it slips over its packer, and it over the ground.
pub(super) fn step_support(
    scene: &LaidOut,
    side_pose: SidePose,
    index: usize,
) -> Option<(SupportPoint, SnugStep)> {
    let (vehicle, chock) = (&scene.vehicle, &scene.step_chocks[index]);
    let envelope = Envelope::posed(vehicle, side_pose);
    let over_m = scene.over_step_m(chock);
    let edge_m = envelope.underside([over_m, chock.at[1]])?;
    let step = chock.snug_step(edge_m)?;
    let snug = SnugStep { step, packer_m: edge_m - chock.top_m(step) };
    let point = side_pose.profile([chock.at[0], edge_m]);
    let wet = scene.ground.wet;
    let mu = scene.friction(Material::Sheet, Material::Timber);
    let mu = mu.map_or([0.0; 2], |pair| pair.friction(wet));
    let bed_m = edge_m + DRIVEN_M;
    let mut support = SupportPoint::rigid(SupportKind::StepChock(index), point, bed_m, mu);
    let read_x = side_pose.profile([over_m, edge_m])[0];
    let face = [SPOT_M, -SPOT_M].map(|dx| [point[0] + dx, vehicle.profile.upper_y(read_x + dx)]);
    support.under = Some(Under { x_m: chock.at[0], face });
    support.z_m = chock.at[1];
    let base = scene.friction(Material::Timber, Material::Ground(scene.ground.surface));
    support.base_mu = base.map_or([0.0; 2], |pair| pair.friction(wet));
    if let Some(bed) = scene.ground.soil {
        let [x, z] = chock.size_m();
        support.stand_on(soil::spring(bed, x * z, x.min(z)));
    }
    Some((support, snug))
}

/// The head of a strut of the scene, by its index, under the vehicle as it lies. It goes with the
/// vehicle, turns about its foot and so holds nothing along the ground.
pub(super) fn strut_support(scene: &LaidOut, side_pose: SidePose, index: usize) -> SupportPoint {
    let [x, height_m, z] = scene.strut_heads[index];
    let point = side_pose.profile([x, height_m]);
    let mut support = SupportPoint::rigid(SupportKind::Strut(index), point, height_m, [0.0; 2]);
    support.z_m = z;
    if let Some(bed) = scene.ground.soil {
        let plate_m = scene.struts()[index].plate_m;
        support.stand_on(soil::spring(bed, plate_m.powi(2), plate_m));
    }
    support
}

/// A limb's pad under the lowest part of the vehicle above it.
pub(super) fn limb_support(
    envelope: &Envelope<'_>,
    index: usize,
    limb: &Limb,
) -> Option<SupportPoint> {
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
    Some(SupportPoint {
        under,
        z_m: z,
        stiffness_n_m: limb.stiffness_n_m,
        depth_m: (1.0 - LIMB_LEAST_SHARE) * limb.thickness_m - own_m,
        ..SupportPoint::rigid(
            SupportKind::Limb(index),
            envelope.side_pose().profile(lowest),
            limb.thickness_m - own_m,
            [0.0; 2],
        )
    })
}
