//! Puts what the crew brings in place: everything touches, nothing overlaps.

use super::bag::GasBag;
use super::engine::{BodySpec, Groups, Mass, Rotation, Vector};
use super::shapes::{collider, vector};
use super::site::{Cut, Site, about, cut_points, wedge_points};
use crate::bag_law::Membrane;
use crate::scene::{Bag, CarriedBy, Footprint, LeaningSeat, Scene, Stack, VoidFill, Wedge};
use crate::snapshot::{Footing, PartKind, Shape};
use crate::tables::{BAG_FACE_KG_M2, BAG_FACE_M, DRIVEN_M, Material, SHIM_IN_M, SHIM_LENGTH_M};

impl Site<'_> {
    /// Packing between the ground and the vehicle, driven until it bears.
    pub fn void_fills(&mut self, scene: &Scene) {
        for (index, fill) in scene.void_fill.iter().enumerate() {
            self.void_fill(index, fill);
        }
    }

    fn void_fill(&mut self, index: usize, fill: &VoidFill) {
        let kind = PartKind::VoidFill(index);
        self.sole(&fill.name, Footing::VoidFill(index), fill.at, fill.sole);
        let (base_m, layer_m) = (fill.sole_m(), fill.timber.height_m);
        let foot = Footprint::of_size(fill.at, [fill.length_m; 2]);
        let space =
            self.vehicle.outline(self.engine, self.bodies).clearance(foot, base_m).unwrap_or(0.0);
        let fit = ((space - Wedge::LEAST_M) / layer_m).max(0.0) as usize;
        for layer in 0..fit {
            self.layer(&fill.name, fill.crib(), layer, 2, base_m + layer as f64 * layer_m, kind);
        }
        let driven = Cut { room_m: -DRIVEN_M, most_m: f64::INFINITY };
        self.strips(&fill.name, fill.crib(), base_m + fit as f64 * layer_m, driven, kind);
    }

    /// Every stack with its pads.
    pub fn stacks(&mut self, scene: &Scene) {
        for (index, stack) in scene.stacks.iter().enumerate() {
            self.stack(index, stack);
        }
    }

    fn stack(&mut self, index: usize, stack: &Stack) {
        self.sole(&stack.name, Footing::Stack(index), stack.layer_at(0), stack.sole);
        for layer in 0..stack.layers {
            let bottom = stack.sole_m() + layer as f64 * stack.timber.height_m;
            let kind = PartKind::StackTimber { stack: index, layer };
            self.layer(&stack.name, stack.crib_of(layer), layer, stack.members, bottom, kind);
        }
        let mut bottom = stack.sole_m() + stack.layers as f64 * stack.timber.height_m;
        for (k, thickness) in stack.pads_m.iter().enumerate() {
            let half = stack.length_m / 2.0;
            self.timber(
                format!("{} pad {}", stack.name, k + 1),
                PartKind::Pad { stack: index, layer: stack.layers + k },
                Shape::Box([half, thickness / 2.0, half]),
                [stack.at[0], bottom + thickness / 2.0, stack.at[1]],
            );
            bottom += thickness;
        }
    }

    /// A bag lying empty on what it rests on: level, or leaning on the wedge under it.
    pub fn bag(&mut self, scene: &Scene, index: usize) -> GasBag {
        let bag = &scene.bags[index];
        let (at, bottom) = top_of(scene, bag.on);
        let stack = CarriedBy::Bag(index).stack(&scene.bags);
        let seat = scene.wedges.iter().find(|w| w.on == CarriedBy::Stack(stack));
        let seat = seat.and_then(|wedge| self.leaning_seat(scene, wedge));
        let stack_m = scene.stacks[stack].height_m();
        let half = [bag.size[0] / 2.0, BAG_FACE_M / 2.0, bag.size[1] / 2.0];
        let mut face = |upper: bool| {
            let shape = Shape::Box(half);
            let y = bottom + BAG_FACE_M * if upper { 1.5 } else { 0.5 };
            let (position, rotation) = match seat {
                Some((seat, _)) => {
                    let square = seat.square();
                    let [x, up, z] = square.map(|part| part * (y - stack_m));
                    let middle = [at[0] + x, stack_m + seat.middle_m + up, at[1] + z];
                    (middle, Rotation::from_rotation_arc(Vector::Y, vector(square)))
                }
                None => ([at[0], y, at[1]], Rotation::IDENTITY),
            };
            let spec = BodySpec {
                position: vector(position),
                rotation,
                shapes: collider(&shape).into_iter().collect(),
                mass: Mass::Density(BAG_FACE_KG_M2 / BAG_FACE_M),
                fixed: false,
                friction: self.bodies.grip_of(Material::Rubber),
                groups: Groups::Part,
            };
            let kind = PartKind::BagFace { bag: index, upper };
            let part = self.bodies.add(self.engine, bag.name.clone(), kind, shape, spec);
            self.bodies.handles[part]
        };
        let (lower, upper) = (face(false), face(true));
        let face_m = Bag::face_m(index, scene.beam.as_ref());
        let membrane = Membrane::of_size(bag.size).under(face_m);
        GasBag::new(self.engine, lower, upper, membrane, bag.working_pa)
    }

    /// Wedges cut to the face above: on top of bags, and under them.
    pub fn wedges(&mut self, scene: &Scene) {
        for (index, wedge) in scene.wedges.iter().enumerate() {
            let (at, bottom_m) = top_of(scene, wedge.on);
            let foot = Footprint::of_size(at, wedge.size);
            let kind = PartKind::Wedge(index);
            match wedge.on {
                CarriedBy::Bag(_) => {
                    self.wedge(&wedge.name, kind, foot, bottom_m, Cut::SNUG);
                }
                CarriedBy::Stack(_) => {
                    if let Some((_, corners)) = self.leaning_seat(scene, wedge) {
                        self.lay_wedge(&wedge.name, kind, (foot, bottom_m), corners);
                    }
                }
            }
        }
    }

    /// The upper face of a wedge under bags with the wedge's corners; none where there is no
    /// room for its thin end.
    fn leaning_seat(&self, scene: &Scene, wedge: &Wedge) -> Option<(LeaningSeat, Vec<[f64; 3]>)> {
        let (at, bottom_m) = top_of(scene, wedge.on);
        let foot = Footprint::of_size(at, wedge.size);
        let outline = self.vehicle.outline(self.engine, self.bodies);
        let outline = outline.over(foot);
        let underside = |spot| outline.underside(spot);
        let seat = LeaningSeat::of(wedge, &scene.stacks, &scene.bags, underside)?;
        let tops_m = seat.corners_m().map(|thick| bottom_m + thick);
        let cut = Cut { room_m: 0.0, most_m: f64::INFINITY };
        Some((seat, cut_points(foot, tops_m, bottom_m, cut)?))
    }

    /// The beam on its bags or stacks, with its shims.
    pub fn beam(&mut self, scene: &Scene) {
        let Some(beam) = &scene.beam else { return };
        let mut bottom = 0.0_f64;
        for &support in &beam.rests_on {
            let (at, top_m) = top_of(scene, support);
            let pad_m = beam.pad_on(support).unwrap_or(0.0);
            bottom = bottom.max(top_m + pad_m);
            if let (CarriedBy::Bag(bag), true) = (support, pad_m > 0.0) {
                self.bag_pad(scene, bag, at, [top_m, pad_m]);
            }
        }
        let half = [beam.timber.width_m / 2.0, beam.timber.height_m / 2.0, beam.length_m / 2.0];
        let centre = [beam.at[0], bottom + half[1], beam.at[1]];
        let part = self.timber("beam".into(), PartKind::Beam, Shape::Box(half), centre);
        if !beam.shims {
            return;
        }
        // Shims are nailed to the beam: they share its body.
        let body = self.bodies.handles[part];
        let inner = scene.vehicle.half_width.belt - SHIM_IN_M;
        for side in [-1.0, 1.0] {
            let foot =
                Footprint { at: [beam.at[0], side * inner], half: [half[0], SHIM_LENGTH_M / 2.0] };
            let top_m = bottom + 2.0 * half[1];
            let (engine, bodies) = (&*self.engine, &*self.bodies);
            let points =
                wedge_points(&self.vehicle.outline(engine, bodies), foot, top_m, Cut::SNUG);
            let Some(points) = points else { continue };
            self.bodies.add_shim(self.engine, Shape::Hull(about(points, centre)), body);
        }
    }
}

impl Site<'_> {
    /// A board on a bag, as large as it.
    fn bag_pad(&mut self, scene: &Scene, bag: usize, at: [f64; 2], [bottom_m, pad_m]: [f64; 2]) {
        let bag_spec = &scene.bags[bag];
        let half = [bag_spec.size[0] / 2.0, pad_m / 2.0, bag_spec.size[1] / 2.0];
        let name = format!("board on {}", bag_spec.name);
        let centre = [at[0], bottom_m + half[1], at[1]];
        self.timber(name, PartKind::BagPad(bag), Shape::Box(half), centre);
    }
}

/// Middle and height of the top of a stack or bag as placed, m.
fn top_of(scene: &Scene, rest: CarriedBy) -> ([f64; 2], f64) {
    match rest {
        CarriedBy::Stack(i) => (scene.stacks[i].at, scene.stacks[i].height_m()),
        CarriedBy::Bag(i) => {
            let (at, below) = top_of(scene, scene.bags[i].on);
            (at, below + Bag::FLAT_M)
        }
    }
}
