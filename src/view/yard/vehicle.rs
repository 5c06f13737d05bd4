//! Turns the scene's vehicle into a car: a shell lofted from its side profile and
//! widths, posts, roof, wheels, inside and underbody.
//!
//! Space: the upright vehicle frame, X forwards, Y up, Z to its right.

use super::form::Form;
use super::shown::{Drawing, Drawn, Follows, Root, half_size, renewed, vec3};
use crate::scene::{Panel, TYRE_HALF_M, Vehicle};
use crate::snapshot::{PartKind, Shape};
use bevy::prelude::*;
use std::f32::consts::{FRAC_PI_2, PI};

/// Radius of the body's shoulder and of the roof's edge, m.
const SHOULDER_M: f32 = 0.06;
/// How far the middle of bonnet, deck and roof stands above their edges, m.
const CROWN_M: f32 = 0.012;
/// Free space between tyre and wheel arch, m.
const ARCH_M: f32 = 0.065;
/// How deep a wheel stands in its arch, m.
const WELL_M: f32 = 0.31;

/// One mesh a material.
#[derive(Default)]
struct Car {
    paint: Form,
    trim: Form,
    dark: Form,
    cloth: Form,
    metal: Form,
    rubber: Form,
    alloy: Form,
    glass: Form,
    lamp: Form,
    tail_lamp: Form,
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Update, build::<YARD>.run_if(renewed::<YARD>).in_set(Drawing::Build));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    root: Res<Root<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let (Some(scene), Some(vehicle_id)) = (&shown.scene, shown.find(PartKind::Vehicle)) else {
        return;
    };
    // A zone with a part of its own is left open in the shell.
    let zones: Vec<&Panel> = scene
        .vehicle
        .panels
        .iter()
        .enumerate()
        .filter(|(i, _)| shown.find(PartKind::Panel(*i)).is_some())
        .map(|(_, panel)| panel)
        .collect();
    let car = Car::new(&scene.vehicle, &zones);

    // Sheet metal is seen from both sides.
    let mut sheet = |r: f32, g: f32, b: f32, rough: f32, metallic: f32| {
        materials.add(StandardMaterial {
            base_color: Color::srgb(r, g, b),
            perceptual_roughness: rough,
            metallic,
            double_sided: true,
            cull_mode: None,
            ..default()
        })
    };
    let paint = sheet(0.30, 0.47, 0.57, 0.42, 0.0);
    let list = [
        (car.paint, paint.clone()),
        (car.trim, sheet(0.17, 0.18, 0.19, 0.8, 0.0)),
        (car.dark, sheet(0.085, 0.09, 0.095, 0.95, 0.0)),
        (car.cloth, sheet(0.27, 0.28, 0.30, 0.95, 0.0)),
        (car.metal, sheet(0.46, 0.45, 0.43, 0.6, 0.2)),
        (car.rubber, sheet(0.09, 0.09, 0.095, 0.9, 0.0)),
        (car.alloy, sheet(0.74, 0.75, 0.76, 0.4, 0.3)),
        (car.lamp, sheet(0.90, 0.92, 0.93, 0.2, 0.0)),
        (car.tail_lamp, sheet(0.50, 0.15, 0.15, 0.3, 0.0)),
    ];
    let glass = materials.add(StandardMaterial {
        base_color: Color::srgba(0.52, 0.66, 0.72, 0.26),
        alpha_mode: AlphaMode::Blend,
        perceptual_roughness: 0.15,
        double_sided: true,
        cull_mode: None,
        ..default()
    });
    let body = commands
        .spawn((
            Transform::default(),
            Visibility::Hidden,
            Follows::<YARD>(vehicle_id),
            ChildOf(root.0),
        ))
        .id();
    for (form, material) in list {
        commands.spawn((Mesh3d(meshes.add(form.build())), MeshMaterial3d(material), ChildOf(body)));
    }
    commands.spawn((
        Mesh3d(meshes.add(car.glass.build())),
        MeshMaterial3d(glass),
        bevy::light::NotShadowCaster,
        ChildOf(body),
    ));

    for (id, part) in shown.parts.iter().enumerate() {
        if !matches!(part.kind, PartKind::Panel(_)) {
            continue;
        }
        let mut form = Form::default();
        match &part.shape {
            Shape::Hull(points) => {
                let points: Vec<Vec3> = points.iter().map(|p| vec3(*p)).collect();
                for face in Form::hull_faces(&points) {
                    form.triangle(face, [Vec2::ZERO; 3]);
                }
            }
            shape => form.cuboid(Vec3::ZERO, half_size(shape)),
        }
        commands.spawn((
            Mesh3d(meshes.add(form.build())),
            MeshMaterial3d(paint.clone()),
            Transform::default(),
            Visibility::Hidden,
            Follows::<YARD>(id),
            ChildOf(root.0),
        ));
    }
}

/// The vehicle's measures as the mesh needs them.
struct Plan<'a> {
    v: &'a Vehicle,
    nose: Vec2,
    cowl: Vec2,
    header: Vec2,
    roof_rear: Vec2,
    deck_front: Vec2,
    deck_rear: Vec2,
    floor: f32,
    half: f32,
    roof_half: f32,
    /// Shares of the half width at the belt line and at the floor.
    belt_share: f32,
    sill_share: f32,
    wheel: f32,
    /// Middle of the tyres across, m.
    wheel_z: f32,
}

impl<'a> Plan<'a> {
    fn new(v: &'a Vehicle) -> Self {
        let at = |p: [f64; 2]| Vec2::new(p[0] as f32, p[1] as f32);
        let p = &v.profile;
        // Sides that are given as upright are drawn a little full all the same.
        let drawn_in = |half: f64, least: f32| {
            let share = (half / v.half_width.body) as f32;
            if v.half_width.upright() { 1.0 - least } else { share }
        };
        Self {
            v,
            nose: at(p.nose),
            cowl: at(p.cowl),
            header: at(p.header),
            roof_rear: at(p.roof_rear),
            deck_front: at(p.deck_front),
            deck_rear: at(p.deck_rear),
            floor: p.floor_y as f32,
            half: v.half_width.body as f32,
            roof_half: v.half_width.roof as f32,
            belt_share: drawn_in(v.half_width.belt, 0.035),
            sill_share: drawn_in(v.half_width.sill, 0.045),
            wheel: v.wheel_radius_m as f32,
            wheel_z: (v.track_m / 2.0) as f32,
        }
    }

    /// Half width of the body at x: narrower towards both ends.
    fn half_at(&self, x: f32) -> f32 {
        let front = ((x - (self.nose.x - 0.6)) / 0.6).clamp(0.0, 1.0);
        let rear = ((self.deck_rear.x + 0.5 - x) / 0.5).clamp(0.0, 1.0);
        self.half * (1.0 - 0.13 * front.powf(2.4) - 0.09 * rear.powf(2.4))
    }

    fn belt(&self, x: f32) -> f32 {
        self.v.profile.belt_y(f64::from(x)) as f32
    }

    /// Upper edge of the lower body: bonnet, belt line or deck.
    fn top(&self, x: f32) -> f32 {
        if x < self.cowl.x && x > self.deck_front.x {
            self.belt(x)
        } else {
            self.v.profile.upper_y(f64::from(x)) as f32
        }
    }

    fn in_cabin(&self, x: f32) -> bool {
        x < self.cowl.x && x > self.deck_front.x
    }

    fn roof_y(&self, x: f32) -> f32 {
        let t = (x - self.roof_rear.x) / (self.header.x - self.roof_rear.x);
        self.roof_rear.y + t * (self.header.y - self.roof_rear.y)
    }

    /// Lower edge of the body's side at x: the sill, or a wheel arch.
    fn bottom(&self, x: f32) -> f32 {
        let radius = self.wheel + ARCH_M;
        let arch = self.v.wheel_x_m.iter().filter_map(|&wheel_x| {
            let dx = x - wheel_x as f32;
            (dx.abs() < radius).then(|| self.wheel + (radius * radius - dx * dx).sqrt())
        });
        // An arch never cuts through the shoulder.
        let limit = self.top(x) - SHOULDER_M - 0.05;
        arch.fold(self.floor, f32::max).min(limit)
    }

    /// Half width of the side at a place: fullest above the middle of its height.
    fn side(&self, x: f32, y: f32) -> f32 {
        let t = (y - self.floor) / (self.top(x) - self.floor).max(0.1);
        let lean = if t < 0.55 {
            (1.0 - self.sill_share) * ((0.55 - t) / 0.55).powi(2)
        } else {
            (1.0 - self.belt_share) * ((t - 0.55) / 0.45).powi(2)
        };
        self.half_at(x) * (1.0 - lean)
    }

    /// One side's section from the sill over the shoulder inwards: (half width, height).
    fn section(&self, x: f32, bottom: f32) -> Vec<Vec2> {
        const SIDE: usize = 9;
        const ROUND: usize = 5;
        let edge_top = self.top(x) - CROWN_M;
        let shoulder = edge_top - SHOULDER_M;
        let mut points: Vec<Vec2> = (0..=SIDE)
            .map(|i| {
                let y = bottom + (shoulder - bottom) * i as f32 / SIDE as f32;
                Vec2::new(self.side(x, y), y)
            })
            .collect();
        let z = self.side(x, shoulder);
        for i in 1..=ROUND {
            let a = FRAC_PI_2 * i as f32 / ROUND as f32;
            points
                .push(Vec2::new(z - SHOULDER_M * (1.0 - a.cos()), shoulder + SHOULDER_M * a.sin()));
        }
        points.push(Vec2::new(z - SHOULDER_M - 0.03, edge_top));
        points
    }

    /// Half width at which bonnet and deck begin.
    fn edge(&self, x: f32) -> f32 {
        self.side(x, self.top(x) - CROWN_M - SHOULDER_M) - SHOULDER_M - 0.03
    }

    /// Places along the body where its section is taken, from nose to tail.
    fn stations(&self) -> Vec<f32> {
        let mut xs: Vec<f32> = (1..36)
            .map(|i| self.deck_rear.x + (self.nose.x - self.deck_rear.x) * i as f32 / 36.0)
            .collect();
        xs.extend([self.nose.x, self.deck_rear.x]);
        for &wheel_x in &self.v.wheel_x_m {
            let radius = self.wheel + ARCH_M;
            for k in 0..=24 {
                let dx = -radius * (PI * k as f32 / 24.0).cos();
                xs.push(wheel_x as f32 + dx * 0.9995);
            }
            xs.extend([wheel_x as f32 - radius * 1.0005, wheel_x as f32 + radius * 1.0005]);
        }
        for x in [self.cowl.x, self.deck_front.x] {
            xs.extend([x - 1e-3, x + 1e-3]);
        }
        xs.retain(|x| *x <= self.nose.x && *x >= self.deck_rear.x);
        xs.sort_by(|a, b| b.total_cmp(a));
        xs.dedup_by(|a, b| (*a - *b).abs() < 5e-5);
        xs
    }
}

impl Car {
    fn new(vehicle: &Vehicle, zones: &[&Panel]) -> Self {
        let plan = Plan::new(vehicle);
        let mut car = Self::default();
        car.sides(&plan);
        car.lids(&plan, zones);
        for front in [true, false] {
            car.end(&plan, front);
        }
        car.roof(&plan, zones);
        car.posts(&plan);
        car.screens(&plan);
        car.inside(&plan);
        car.doors(&plan);
        car.wheels(&plan);
        car.underbody(&plan);
        car
    }

    fn sides(&mut self, plan: &Plan<'_>) {
        let stations = plan.stations();
        for side in [-1.0, 1.0] {
            let loft = |low: &dyn Fn(f32) -> f32| -> Vec<Vec<Vec3>> {
                stations
                    .iter()
                    .map(|&x| {
                        plan.section(x, low(x))
                            .into_iter()
                            .map(|p| Vec3::new(x, p.y, side * p.x))
                            .collect()
                    })
                    .collect()
            };
            self.paint.grid(&loft(&|x| plan.bottom(x)));
            // The sill's lower band between the arches, of plain dark plastic.
            let radius = plan.wheel + ARCH_M;
            let [front, rear] = plan.v.wheel_x_m.map(|x| x as f32);
            let band: Vec<Vec<Vec3>> = stations
                .iter()
                .filter(|&&x| x < front - radius && x > rear + radius)
                .map(|&x| {
                    [0.0, 0.03, 0.07]
                        .map(|up| {
                            let y = plan.floor + up;
                            Vec3::new(x, y, side * (plan.side(x, y) + 0.006))
                        })
                        .to_vec()
                })
                .collect();
            self.trim.grid(&band);
            for wheel_x in [front, rear] {
                self.wheel_well(plan, wheel_x, side);
            }
        }
    }

    /// The dark inside of a wheel arch.
    fn wheel_well(&mut self, plan: &Plan<'_>, wheel_x: f32, side: f32) {
        let radius = plan.wheel + ARCH_M;
        let mut rim = vec![Vec2::new(wheel_x + radius, plan.floor)];
        for k in 0..=20 {
            let a = PI * k as f32 / 20.0;
            let (x, y) = (wheel_x + radius * a.cos(), plan.wheel + radius * a.sin());
            rim.push(Vec2::new(x, y.min(plan.top(x) - SHOULDER_M - 0.05)));
        }
        rim.push(Vec2::new(wheel_x - radius, plan.floor));
        let inner = plan.half - WELL_M;
        let rows: Vec<Vec<Vec3>> = rim
            .iter()
            .map(|p| {
                let outer = plan.side(p.x, p.y) - 0.002;
                vec![
                    Vec3::new(p.x, p.y, side * outer),
                    Vec3::new(p.x, p.y, side * (outer - 0.025)),
                    Vec3::new(p.x, p.y, side * inner),
                ]
            })
            .collect();
        self.dark.grid(&rows);
        let hub = Vec3::new(wheel_x, plan.wheel, side * inner);
        for pair in rim.windows(2) {
            let at = |p: Vec2| Vec3::new(p.x, p.y, side * inner);
            self.dark.triangle([hub, at(pair[0]), at(pair[1])], [Vec2::ZERO; 3]);
        }
    }

    /// Bonnet and deck lid.
    fn lids(&mut self, plan: &Plan<'_>, zones: &[&Panel]) {
        for [front, rear] in [[plan.nose.x, plan.cowl.x], [plan.deck_front.x, plan.deck_rear.x]] {
            // Just inside, so that the height is the lid's and not the belt line's.
            let inside =
                |x: f32| x.clamp(rear + 5e-4 * f32::from(u8::from(rear == plan.cowl.x)), front);
            let xs = cuts(rear, front, 12, zones.iter().flat_map(|z| z.x.map(|x| x as f32)));
            let shares = share_cuts(plan.edge(0.5 * (front + rear)), zones);
            let place = |x: f32, share: f32| {
                let x = inside(x);
                let edge = plan.edge(x);
                let y = plan.top(x) - CROWN_M * share * share;
                Vec3::new(x, y, share * edge)
            };
            self.open_surface(&xs, &shares, place, zones);
            // A dark seam along either side of the lid.
            for side in [-1.0f32, 1.0] {
                let rows: Vec<Vec<Vec3>> = xs
                    .iter()
                    .map(|&x| [0.965, 0.98].map(|s| place(x, side * s) + Vec3::Y * 0.002).to_vec())
                    .collect();
                self.trim.grid(&rows);
            }
        }
    }

    /// A painted surface over x and a share of its half width, left open where a
    /// panel is a part of its own.
    fn open_surface(
        &mut self,
        xs: &[f32],
        shares: &[f32],
        place: impl Fn(f32, f32) -> Vec3,
        zones: &[&Panel],
    ) {
        let rows: Vec<Vec<Vec3>> =
            xs.iter().map(|&x| shares.iter().map(|&s| place(x, s)).collect()).collect();
        self.paint.grid_where(&rows, |r, c| {
            let middle = 0.25 * (rows[r][c] + rows[r + 1][c] + rows[r][c + 1] + rows[r + 1][c + 1]);
            !zones.iter().any(|z| {
                (z.x[1] as f32..=z.x[0] as f32).contains(&middle.x)
                    && middle.z.abs() < z.half_width_m as f32
            })
        });
    }

    /// The front or the rear: bumper, lamps, and at the front an air inlet.
    fn end(&mut self, plan: &Plan<'_>, front: bool) {
        let (x, way) = if front { (plan.nose.x, 1.0) } else { (plan.deck_rear.x, -1.0) };
        let section = plan.section(x, plan.floor);
        let height = plan.top(x) - plan.floor;
        let bulge = |y: f32| {
            let t = ((y - plan.floor) / height).clamp(0.0, 1.0);
            0.13 * (PI * t).sin().max(0.0).powf(0.7) * (1.0 - 0.35 * t)
        };
        let half_at = |y: f32| {
            let above = section.windows(2).find(|w| w[0].y <= y && y <= w[1].y);
            above.map_or(section[0].x, |w| {
                let t = if w[1].y > w[0].y { (y - w[0].y) / (w[1].y - w[0].y) } else { 0.0 };
                w[0].x + t * (w[1].x - w[0].x)
            })
        };
        // A place on the end's face: share across, height; `out` m in front of it.
        let face = |share: f32, y: f32, out: f32| {
            let depth = bulge(y) * (1.0 - share.abs().powf(2.6));
            Vec3::new(x + way * (depth + out), y, share * half_at(y))
        };
        let shares: Vec<f32> = (-12..=12).map(|i| i as f32 / 12.0).collect();
        let row =
            |y: f32, out: f32| -> Vec<Vec3> { shares.iter().map(|&s| face(s, y, out)).collect() };
        let at = |t: f32| plan.floor + t * height;
        let bumper_top = at(0.40);
        let painted: Vec<Vec<Vec3>> =
            section.iter().map(|p| row(p.y.max(bumper_top), 0.0)).collect();
        self.paint.grid(&painted);
        // The bumper stands out a little and is of plain plastic.
        let bumper: Vec<Vec<Vec3>> =
            [(0.0, 0.0), (0.03, 0.02), (0.2, 0.032), (0.37, 0.025), (0.40, 0.0)]
                .iter()
                .map(|&(t, out)| row(at(t), out))
                .collect();
        self.trim.grid(&bumper);

        let patch = |form: &mut Form, across: [f32; 2], up: [f32; 2], out: f32| {
            let rows: Vec<Vec<Vec3>> = (0..=4)
                .map(|i| {
                    let t = up[0] + (up[1] - up[0]) * i as f32 / 4.0;
                    (0..=8)
                        .map(|k| {
                            let s = across[0] + (across[1] - across[0]) * k as f32 / 8.0;
                            face(s, at(t), out)
                        })
                        .collect()
                })
                .collect();
            form.grid(&rows);
        };
        if front {
            patch(&mut self.dark, [-0.46, 0.46], [0.50, 0.70], 0.006);
            for t in [0.55, 0.60, 0.65] {
                patch(&mut self.trim, [-0.45, 0.45], [t - 0.008, t + 0.008], 0.012);
            }
            patch(&mut self.dark, [-0.5, 0.5], [0.10, 0.24], 0.036);
            for side in [-1.0, 1.0] {
                patch(&mut self.trim, [side * 0.52, side * 0.95], [0.50, 0.74], 0.005);
                patch(&mut self.lamp, [side * 0.54, side * 0.93], [0.53, 0.71], 0.010);
            }
        } else {
            patch(&mut self.dark, [-0.24, 0.24], [0.48, 0.64], 0.005);
            for side in [-1.0, 1.0] {
                patch(&mut self.tail_lamp, [side * 0.60, side * 0.96], [0.52, 0.78], 0.008);
                patch(&mut self.lamp, [side * 0.60, side * 0.76], [0.56, 0.64], 0.012);
            }
        }
    }

    fn roof(&mut self, plan: &Plan<'_>, zones: &[&Panel]) {
        let xs = cuts(
            plan.roof_rear.x,
            plan.header.x,
            14,
            zones.iter().flat_map(|z| z.x.map(|x| x as f32)),
        );
        let flat = plan.roof_half - SHOULDER_M;
        let shares = share_cuts(flat, zones);
        // Falls a little towards both screens.
        let dip = |x: f32| {
            let near = (plan.header.x - x).min(x - plan.roof_rear.x);
            0.014 * (1.0 - near / 0.18).clamp(0.0, 1.0).powi(2)
        };
        let place =
            |x: f32, s: f32| Vec3::new(x, plan.roof_y(x) - CROWN_M * s * s - dip(x), s * flat);
        self.open_surface(&xs, &shares, place, zones);
        for side in [-1.0f32, 1.0] {
            let rows: Vec<Vec<Vec3>> = xs
                .iter()
                .map(|&x| {
                    let edge = place(x, side);
                    (0..=8)
                        .map(|i| {
                            let a = 1.25 * FRAC_PI_2 * i as f32 / 8.0;
                            edge + Vec3::new(
                                0.0,
                                -SHOULDER_M * (1.0 - a.cos()),
                                side * SHOULDER_M * a.sin(),
                            )
                        })
                        .collect()
                })
                .collect();
            self.paint.grid(&rows);
            let rail = |p: Vec2| Vec3::new(p.x, p.y - 0.055, side * (plan.roof_half - 0.045));
            self.paint.capsule(rail(plan.header), rail(plan.roof_rear), 0.032, 0.032);
        }
        for p in [plan.header, plan.roof_rear] {
            let at = |side: f32| Vec3::new(p.x, p.y - 0.05, side * (plan.roof_half - 0.045));
            self.paint.capsule(at(-1.0), at(1.0), 0.032, 0.032);
        }
        let lining: Vec<Vec<Vec3>> = xs
            .iter()
            .map(|&x| [-1.0, -0.5, 0.0, 0.5, 1.0].map(|s| place(x, s) - Vec3::Y * 0.05).to_vec())
            .collect();
        self.cloth.grid(&lining);
    }

    fn posts(&mut self, plan: &Plan<'_>) {
        for post in &plan.v.posts {
            let (foot_x, head_x) = (post.belt_x as f32, post.roof_x as f32);
            for side in [-1.0f32, 1.0] {
                let foot = Vec3::new(
                    foot_x,
                    plan.belt(foot_x) - 0.05,
                    side * (plan.half_at(foot_x) * plan.belt_share - 0.055),
                );
                let head_y = plan.roof_y(head_x.clamp(plan.roof_rear.x, plan.header.x)) - 0.045;
                let head = Vec3::new(head_x, head_y, side * (plan.roof_half - 0.035));
                let half = Vec2::new(post.width_m as f32 / 2.0, 0.028);
                let rows: Vec<Vec<Vec3>> = (0..=8)
                    .map(|i| {
                        let t = i as f32 / 8.0;
                        // Bowed outwards a little, and wider at both ends.
                        let bow = side * 0.018 * (PI * t).sin();
                        let flare =
                            half.x + 0.35 * half.x.min(0.045) * (2.0 * t - 1.0).abs().powi(5);
                        let middle = foot.lerp(head, t) + Vec3::Z * bow;
                        (0..=16)
                            .map(|k| {
                                let a = std::f32::consts::TAU * k as f32 / 16.0;
                                let soft = |v: f32| v.signum() * v.abs().powf(0.5);
                                middle
                                    + Vec3::new(flare * soft(a.cos()), 0.0, half.y * soft(a.sin()))
                            })
                            .collect()
                    })
                    .collect();
                self.paint.grid(&rows);
            }
        }
    }

    /// Windscreen and rear window, faintly tinted. The side windows are open.
    fn screens(&mut self, plan: &Plan<'_>) {
        for (foot, head) in [(plan.cowl, plan.header), (plan.deck_front, plan.roof_rear)] {
            let wide = plan.half_at(foot.x) * plan.belt_share - 0.075;
            let narrow = plan.roof_half - 0.055;
            let rows: Vec<Vec<Vec3>> = (0..=6)
                .map(|i| {
                    let t = i as f32 / 6.0;
                    let p = foot.lerp(head, t);
                    let half = wide + t * (narrow - wide);
                    (-6..=6)
                        .map(|k| {
                            let s = k as f32 / 6.0;
                            Vec3::new(p.x, p.y - 0.02, s * half)
                        })
                        .collect()
                })
                .collect();
            self.glass.grid(&rows);
        }
    }

    fn inside(&mut self, plan: &Plan<'_>) {
        let [front, rear] = [plan.cowl.x, plan.deck_front.x];
        let xs: Vec<f32> = (0..=12).map(|i| rear + (front - rear) * i as f32 / 12.0).collect();
        let floor = plan.floor + 0.04;
        for side in [-1.0, 1.0] {
            let rows: Vec<Vec<Vec3>> = xs
                .iter()
                .map(|&x| {
                    let z = side * (plan.half_at(x) * plan.belt_share - SHOULDER_M - 0.03);
                    vec![Vec3::new(x, floor, z), Vec3::new(x, plan.belt(x) - CROWN_M, z)]
                })
                .collect();
            self.cloth.grid(&rows);
        }
        let carpet: Vec<Vec<Vec3>> = xs
            .iter()
            .map(|&x| {
                let z = plan.half_at(x) * plan.sill_share.min(plan.belt_share) * 0.97;
                vec![Vec3::new(x, floor, -z), Vec3::new(x, floor, z)]
            })
            .collect();
        self.dark.grid(&carpet);
        for x in [front, rear] {
            let z = plan.half_at(x) * plan.sill_share.min(plan.belt_share) * 0.97;
            let top = plan.belt(x) - 0.015;
            self.dark.quad([
                Vec3::new(x, floor, -z),
                Vec3::new(x, floor, z),
                Vec3::new(x, top, z),
                Vec3::new(x, top, -z),
            ]);
        }
        let belt = plan.belt(0.5 * (front + rear));
        let across = plan.half * 0.86;
        self.trim.cushion(
            Vec3::new(front - 0.22, plan.belt(front) - 0.10, 0.0),
            Vec3::new(0.22, 0.10, across),
            Quat::IDENTITY,
        );
        self.trim.cuboid(
            Vec3::new(rear + 0.10, plan.belt(rear) - 0.035, 0.0),
            Vec3::new(0.11, 0.02, across),
        );
        // Seats end below the belt line: the openings stay free.
        let cabin = front - rear;
        let back_half = 0.5 * (belt - floor - 0.28).clamp(0.15, 0.6);
        let seat = |car: &mut Self, x: f32, z: f32, half: f32| {
            car.cloth.cushion(
                Vec3::new(x, floor + 0.20, z),
                Vec3::new(0.26, 0.09, half),
                Quat::IDENTITY,
            );
            car.cloth.cushion(
                Vec3::new(x - 0.30, floor + 0.22 + back_half, z),
                Vec3::new(0.085, back_half, half),
                Quat::from_rotation_z(0.22),
            );
        };
        for z in [-0.36, 0.36] {
            seat(self, front - 0.46 * cabin, z * plan.half / 0.85, 0.25);
        }
        seat(self, rear + 0.24 * cabin, 0.0, plan.half * 0.72);
        // Steering wheel: a ring turned about its own axis.
        let ring: Vec<[f32; 2]> = (0..=10)
            .map(|k| {
                let a = std::f32::consts::TAU * k as f32 / 10.0;
                [0.18 + 0.014 * a.cos(), 0.014 * a.sin()]
            })
            .collect();
        let wheel = Vec3::new(front - 0.42, plan.belt(front) - 0.06, -0.36 * plan.half / 0.85);
        self.dark.lathe(wheel, Vec3::new(-0.85, 0.5, 0.0), &ring, 28);
        self.dark.bar(wheel + Vec3::new(0.25, -0.14, 0.0), wheel, 0.025, 10);
    }

    /// Door seams, handles, mirrors and the trim along the belt line.
    fn doors(&mut self, plan: &Plan<'_>) {
        let radius = plan.wheel + ARCH_M;
        let on_side =
            |side: f32, x: f32, y: f32, out: f32| Vec3::new(x, y, side * (plan.side(x, y) + out));
        let mut seams: Vec<f32> = plan.v.posts.iter().map(|p| p.belt_x as f32).collect();
        seams.retain(|x| plan.v.wheel_x_m.iter().all(|w| (x - *w as f32).abs() > 0.25));
        for side in [-1.0f32, 1.0] {
            for &x in &seams {
                let low = plan.bottom(x).max(plan.floor + 0.09);
                let high = plan.top(x) - CROWN_M - SHOULDER_M * 0.7;
                let rows: Vec<Vec<Vec3>> = (0..=10)
                    .map(|i| {
                        let y = low + (high - low) * i as f32 / 10.0;
                        [-0.004, 0.004].map(|dx| on_side(side, x + dx, y, 0.0025)).to_vec()
                    })
                    .collect();
                self.dark.grid(&rows);
            }
            let [wheel_front, wheel_rear] = plan.v.wheel_x_m.map(|x| x as f32);
            let strip = |form: &mut Form, from: f32, to: f32, y: &dyn Fn(f32) -> f32, half: f32| {
                let rows: Vec<Vec<Vec3>> = (0..=20)
                    .map(|i| {
                        let x = from + (to - from) * i as f32 / 20.0;
                        [-half, half].map(|dy| on_side(side, x, y(x) + dy, 0.003)).to_vec()
                    })
                    .collect();
                form.grid(&rows);
            };
            strip(
                &mut self.dark,
                wheel_front - radius,
                wheel_rear + radius,
                &|_| plan.floor + 0.09,
                0.003,
            );
            strip(
                &mut self.trim,
                plan.cowl.x - 0.05,
                plan.deck_front.x + 0.05,
                &|x| plan.top(x) - CROWN_M - SHOULDER_M - 0.006,
                0.008,
            );
            // A crease low on the doors.
            strip(
                &mut self.trim,
                wheel_front - radius - 0.03,
                wheel_rear + radius + 0.03,
                &|x| plan.floor + 0.36 * (plan.top(x) - plan.floor),
                0.014,
            );
            for pair in seams.windows(2) {
                let x = pair[1] + 0.16;
                if pair[0] - pair[1] > 0.4 && plan.in_cabin(x) {
                    let y = plan.top(x) - 0.15;
                    let at = on_side(side, x, y, 0.012);
                    self.trim.cushion(at, Vec3::new(0.085, 0.016, 0.014), Quat::IDENTITY);
                }
            }
            let x = plan.cowl.x - 0.16;
            let at = Vec3::new(x, plan.belt(x) + 0.045, side * (plan.half_at(x) + 0.075));
            self.paint.cushion(at, Vec3::new(0.05, 0.06, 0.09), Quat::IDENTITY);
            self.trim.bar(
                at - Vec3::new(0.0, 0.04, side * 0.13),
                at - Vec3::new(0.0, 0.02, 0.0),
                0.02,
                8,
            );
        }
    }

    fn wheels(&mut self, plan: &Plan<'_>) {
        let r = plan.wheel;
        let w = TYRE_HALF_M as f32;
        let tyre = [
            [0.66 * r, -0.82 * w],
            [0.80 * r, -w],
            [0.90 * r, -w],
            [0.97 * r, -0.88 * w],
            [r, -0.62 * w],
            [r, -0.62 * w],
            [r, -0.28 * w],
            [0.975 * r, -0.26 * w],
            [0.975 * r, -0.20 * w],
            [r, -0.18 * w],
            [r, 0.18 * w],
            [0.975 * r, 0.20 * w],
            [0.975 * r, 0.26 * w],
            [r, 0.28 * w],
            [r, 0.62 * w],
            [r, 0.62 * w],
            [0.97 * r, 0.88 * w],
            [0.90 * r, w],
            [0.80 * r, w],
            [0.66 * r, 0.82 * w],
        ];
        let rim = [
            [0.0, 0.52 * w],
            [0.14 * r, 0.50 * w],
            [0.17 * r, 0.42 * w],
            [0.17 * r, 0.42 * w],
            [0.20 * r, 0.30 * w],
            [0.52 * r, 0.30 * w],
            [0.58 * r, 0.66 * w],
            [0.58 * r, 0.66 * w],
            [0.67 * r, 0.84 * w],
            [0.67 * r, 0.70 * w],
        ];
        for &wheel_x in &plan.v.wheel_x_m {
            for side in [-1.0f32, 1.0] {
                let hub = Vec3::new(wheel_x as f32, r, side * plan.wheel_z);
                let out = Vec3::Z * side;
                self.rubber.lathe(hub, out, &tyre, 40);
                self.alloy.lathe(hub, out, &rim, 40);
                self.dark.lathe(hub, out, &[[0.0, -0.5 * w], [0.64 * r, -0.5 * w]], 24);
                for k in 0..6 {
                    let a = std::f32::consts::TAU * k as f32 / 6.0;
                    let dir = Vec3::new(a.cos(), a.sin(), 0.0);
                    let gap = a + std::f32::consts::TAU / 12.0;
                    self.alloy.turned_cuboid(
                        hub + dir * 0.37 * r + out * 0.42 * w,
                        Vec3::new(0.22 * r, 0.045 * r, 0.12 * w),
                        Quat::from_rotation_z(a),
                    );
                    let hole = Vec3::new(gap.cos(), gap.sin(), 0.0);
                    let foot = hub + hole * 0.38 * r + out * 0.30 * w;
                    self.dark.bar(foot, foot + out * 0.012, 0.095 * r, 12);
                }
            }
        }
    }

    /// What shows on top once it lies on its roof.
    fn underbody(&mut self, plan: &Plan<'_>) {
        let y = plan.floor;
        let radius = plan.wheel + ARCH_M;
        let near_wheel = |x: f32| plan.v.wheel_x_m.iter().any(|w| (x - *w as f32).abs() < radius);
        let mut xs = plan.stations();
        xs.retain(|x| *x < plan.nose.x - 0.02 && *x > plan.deck_rear.x + 0.02);
        let pan: Vec<Vec<Vec3>> = xs
            .iter()
            .map(|&x| {
                let half = if near_wheel(x) { plan.half - WELL_M } else { plan.side(x, y) - 0.004 };
                [-1.0, -0.4, 0.4, 1.0].map(|s| Vec3::new(x, y + 0.004, s * half)).to_vec()
            })
            .collect();
        self.dark.grid(&pan);
        let [front, rear] = plan.v.wheel_x_m.map(|x| x as f32);
        for side in [-1.0, 1.0] {
            // Frame rails, stiffening swages and the jacking edge along the sill.
            let z = side * 0.47 * plan.half;
            self.trim.cuboid(
                Vec3::new(0.5 * (front + rear), y - 0.012, z),
                Vec3::new(0.5 * (front - rear) + 0.35, 0.022, 0.04),
            );
            self.trim.cuboid(
                Vec3::new(0.5 * (front + rear), y - 0.01, side * (plan.half * 0.90)),
                Vec3::new(0.5 * (front - rear) - radius - 0.02, 0.016, 0.012),
            );
            for x in [front, rear] {
                let hub = Vec3::new(x, plan.wheel, side * plan.wheel_z);
                let inboard = Vec3::new(x - 0.10, y + 0.03, side * 0.30);
                self.metal.bar(inboard, hub, 0.022, 10);
                self.metal.bar(
                    Vec3::new(x + 0.18, y + 0.02, side * 0.34),
                    hub - Vec3::Z * side * 0.06,
                    0.018,
                    10,
                );
            }
        }
        // Tunnel, engine sump and gearbox, fuel tank, rear axle.
        self.trim.cushion(
            Vec3::new(0.5 * (front + rear) - 0.1, y + 0.01, 0.0),
            Vec3::new(0.5 * (front - rear) - 0.25, 0.035, 0.13),
            Quat::IDENTITY,
        );
        self.metal.cushion(
            Vec3::new(front + 0.05, y - 0.005, 0.10),
            Vec3::new(0.24, 0.055, 0.19),
            Quat::IDENTITY,
        );
        self.metal.cushion(
            Vec3::new(front - 0.06, y - 0.002, -0.22),
            Vec3::new(0.19, 0.05, 0.14),
            Quat::IDENTITY,
        );
        self.trim.cushion(
            Vec3::new(rear + 0.52, y - 0.012, -0.12),
            Vec3::new(0.24, 0.06, 0.36),
            Quat::IDENTITY,
        );
        self.metal.bar(
            Vec3::new(rear, y + 0.05, -(plan.half - 0.25)),
            Vec3::new(rear, y + 0.05, plan.half - 0.25),
            0.035,
            12,
        );
        // Exhaust: pipe, middle box, over the axle, end box, tail pipe.
        let z = 0.30;
        let pipe = y - 0.018;
        let tail = plan.deck_rear.x;
        self.metal.tube(
            &[
                Vec3::new(front + 0.1, pipe + 0.02, 0.12),
                Vec3::new(front - 0.35, pipe, z - 0.08),
                Vec3::new(front - 0.6, pipe, z),
                Vec3::new(rear + 0.45, pipe, z),
                Vec3::new(rear + 0.2, pipe - 0.05, z + 0.03),
                Vec3::new(rear - 0.2, pipe - 0.05, z + 0.03),
                Vec3::new(tail + 0.45, pipe, z),
            ],
            0.026,
            12,
        );
        self.metal.capsule(Vec3::new(0.15, pipe, z), Vec3::new(-0.25, pipe, z), 0.06, 0.06);
        self.metal.capsule(
            Vec3::new(tail + 0.30, pipe + 0.01, -0.12),
            Vec3::new(tail + 0.30, pipe + 0.01, 0.34),
            0.085,
            0.085,
        );
        self.metal.bar(
            Vec3::new(tail + 0.30, pipe + 0.01, 0.42),
            Vec3::new(tail - 0.06, pipe + 0.02, 0.45),
            0.024,
            12,
        );
    }
}

/// Evenly spread places from `low` to `high` with some more that must be among them.
fn cuts(low: f32, high: f32, steps: usize, more: impl Iterator<Item = f32>) -> Vec<f32> {
    let mut all: Vec<f32> =
        (0..=steps).map(|i| low + (high - low) * i as f32 / steps as f32).collect();
    all.extend(more.filter(|x| *x > low + 1e-3 && *x < high - 1e-3));
    all.sort_by(|a, b| b.total_cmp(a));
    all.dedup_by(|a, b| (*a - *b).abs() < 1e-4);
    all
}

/// Shares of a half width, with the edges of the panels among them.
fn share_cuts(half: f32, zones: &[&Panel]) -> Vec<f32> {
    let edges = zones.iter().flat_map(|z| [-1.0, 1.0].map(|s| s * z.half_width_m as f32 / half));
    cuts(-1.0, 1.0, 12, edges)
}
