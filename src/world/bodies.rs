//! The parts that stand in the yard, each with its body in the engine.

use super::engine::{BodySpec, Engine, Friction, RigidBody, RigidBodyHandle, SlidingShares};
use super::shapes::{collider, crest};
use crate::scene::Scene;
use crate::snapshot::{Part, PartId, PartKind, Pose, Shape};
use crate::tables::{Grip, Material, TIMBER_KG_M3, sliding_shares};

/// Parts and bodies, in the order in which they came.
#[derive(Clone)]
pub(super) struct Bodies {
    pub parts: Vec<Part>,
    /// The body of each part; shims share the beam's, the layers of a step chock one.
    pub handles: Vec<RigidBodyHandle>,
    /// The ground's body, which is no part. Its frame lies 1 m under its surface.
    pub ground: RigidBodyHandle,
    grip: Grip,
}

impl Bodies {
    /// The ground of a scene alone, with each material's friction figure.
    pub fn on_ground(engine: &mut Engine, scene: &Scene, grip: Grip) -> Self {
        let shares = sliding_shares(&scene.pairs()).map(Vec::from);
        engine.set_sliding_shares(SlidingShares::from(shares));
        let ground = engine.add_ground(friction_of(grip, Material::Ground(scene.ground.surface)));
        Self { parts: Vec::new(), handles: Vec::new(), ground, grip }
    }

    /// Adds a part with a body of its own.
    pub fn add(
        &mut self,
        engine: &mut Engine,
        name: String,
        kind: PartKind,
        shape: Shape,
        spec: BodySpec,
    ) -> PartId {
        let body = engine.add(spec);
        self.parts.push(Part { name, kind, shape, present: true });
        self.handles.push(body);
        self.parts.len() - 1
    }

    /// Adds a timber part that shares another part's body.
    pub fn add_to(
        &mut self,
        engine: &mut Engine,
        (name, kind): (String, PartKind),
        shape: Shape,
        other: PartId,
    ) {
        let body = self.handles[other];
        if let Some(builder) = collider(&shape) {
            engine.add_shape_like_first(body, builder, TIMBER_KG_M3);
        }
        self.parts.push(Part { name, kind, shape, present: true });
        self.handles.push(body);
    }

    /// Adds a shim that shares a beam's body.
    pub fn add_shim(&mut self, engine: &mut Engine, shape: Shape, beam: RigidBodyHandle) {
        self.parts.push(Part { name: "shim".into(), kind: PartKind::Shim, shape, present: true });
        self.handles.push(beam);
        self.nail(engine, self.parts.len() - 1, beam);
    }

    /// Makes a shim share a beam's body.
    pub fn nail(&mut self, engine: &mut Engine, shim: PartId, beam: RigidBodyHandle) {
        self.handles[shim] = beam;
        let Some(builder) = crest(&self.parts[shim].shape) else { return };
        engine.add_shape_like_first(beam, builder, TIMBER_KG_M3);
    }

    /// Takes a part and its body away. The part keeps its place in the list.
    pub fn take_away(&mut self, engine: &mut Engine, part: PartId) {
        engine.remove(self.handles[part]);
        self.parts[part].present = false;
    }

    /// How a material holds.
    pub fn grip_of(&self, material: Material) -> Friction {
        friction_of(self.grip, material)
    }

    pub fn rigid<'a>(&self, engine: &'a Engine, part: PartId) -> &'a RigidBody {
        &engine.bodies[self.handles[part]]
    }

    pub fn is_vehicle(&self, part: PartId) -> bool {
        self.parts[part].kind.is_vehicle()
    }

    /// The part of a body; a shim counts as the beam.
    pub fn part_of(&self, body: RigidBodyHandle) -> Option<PartId> {
        let mut pairs = self.handles.iter().enumerate();
        pairs.find(|(part, handle)| **handle == body && self.parts[*part].present).map(|(p, _)| p)
    }

    /// The two parts that stand deepest in each other, and how deep, m; none where none do. The
    /// vehicle's own metal gives way into it.
    pub fn deepest_overlap(&self, engine: &Engine) -> Option<(PartId, PartId, f64)> {
        let present = |part: &PartId| self.parts[*part].present;
        let parts: Vec<PartId> = (0..self.parts.len()).filter(present).collect();
        let pairs = parts
            .iter()
            .enumerate()
            .flat_map(|(i, one)| parts[i + 1..].iter().map(move |other| (*one, *other)));
        pairs
            .filter(|(one, other)| self.handles[*one] != self.handles[*other])
            .filter(|(one, other)| !(self.is_vehicle(*one) && self.is_vehicle(*other)))
            .map(|(a, b)| (a, b, engine.overlap_m(self.handles[a], self.handles[b])))
            .filter(|(.., depth_m)| *depth_m > 0.0)
            .max_by(|a, b| a.2.total_cmp(&b.2))
    }

    /// Where each part is. One that was taken away keeps its `last` pose; nothing draws it.
    pub fn poses(&self, engine: &Engine, last: &[Pose]) -> Vec<Pose> {
        let pose = |(part, body): (PartId, &RigidBodyHandle)| {
            if self.parts[part].present {
                engine.pose(*body)
            } else {
                last.get(part).copied().unwrap_or(Pose::ORIGIN)
            }
        };
        self.handles.iter().enumerate().map(pose).collect()
    }
}

fn friction_of(grip: Grip, material: Material) -> Friction {
    Friction { figure: grip.share_of(material), kind: material.index() }
}
