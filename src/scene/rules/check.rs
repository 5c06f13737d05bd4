//! What rules ask of a scene, and where they complain.

use crate::scene::body::Body;
use crate::scene::envelope::{Envelope, Solid};
use crate::scene::equipment::{Bag, Beam, CarriedBy, Chock, SolePlate, Strut, Wedge};
use crate::scene::model::Scene;
use crate::scene::problem::{Problems, show};
use crate::scene::step_chock::StepChock;
use crate::scene::tree::Node;
use crate::units::Dimension::Length;
use crate::units::{UnitSystem, UnitText};

/// Overlaps below this are rounding, m.
pub(super) const SLACK_M: f64 = 1e-3;

/// A scene that is checked, with what its rules need of it, and where they complain.
pub(super) struct Check<'a> {
    pub(super) scene: &'a Scene,
    pub(super) doc: &'a Node,
    pub(super) problems: &'a Problems,
    pub(super) envelope: Envelope<'a>,
    pub(super) bodies: Vec<Body>,
}

/// Something that stands on the ground, with the list and the name it stands under.
pub(super) struct GroundPart<'a> {
    pub(super) list: &'static str,
    pub(super) noun: &'static str,
    pub(super) name: &'a str,
    pub(super) solid: Solid,
}

/// A measure as problems tell it: whole millimetres, or inches.
pub(super) fn mm(units: UnitSystem, m: f64) -> String {
    match units {
        UnitSystem::Si => format!("{:.0} mm", m * 1e3),
        UnitSystem::Us => units.gap(m),
    }
}

/// A place, as fields have it and no finer than a rule.
pub(super) fn place(units: UnitSystem, m: f64) -> String {
    show(units, Length, (m * 1e3).round() / 1e3)
}

impl Check<'_> {
    pub(super) fn complain(&self, path: &[&str], text: impl Into<UnitText>) {
        self.problems.add(self.doc.place_of(path), &path.join("."), text);
    }

    /// The bag that lies on a support.
    pub(super) fn bag_on(&self, support: CarriedBy) -> Option<usize> {
        self.scene.bags.iter().position(|bag| bag.on == support)
    }

    /// About what the vehicle is chocked, over the ground, m: the origin; on its side half
    /// the way up its belt line.
    pub(super) fn middle(&self) -> [f64; 2] {
        let v = &self.scene.vehicle;
        match v.rest_pose(self.scene.lies) {
            Some(pose) if self.scene.lies.on_side() => [0.0, pose.across(v.com_m[1], 0.0)[0]],
            _ => [0.0; 2],
        }
    }

    /// Height of the vehicle over the step of a step chock, m; zero where it is not over it.
    pub(super) fn edge_m(&self, chock: &StepChock) -> f64 {
        let foot = chock.packer();
        let over = Solid::around(foot.at, foot.half.map(|half| 2.0 * half), 0.0);
        self.envelope.underside_over(&over).map_or(0.0, |above| above.height_m.max(0.0))
    }

    pub(super) fn snug_step(&self, chock: &StepChock) -> Option<usize> {
        chock.snug_step(self.edge_m(chock))
    }

    pub(super) fn carries_beam(&self, support: CarriedBy) -> bool {
        self.scene.beam.as_ref().is_some_and(|beam| beam.rests_on.contains(&support))
    }

    pub(super) fn name(&self, support: CarriedBy) -> &str {
        match support {
            CarriedBy::Stack(i) => &self.scene.stacks[i].name,
            CarriedBy::Bag(i) => &self.scene.bags[i].name,
        }
    }

    /// Height of a support's top while the bags are empty, m.
    pub(super) fn top(&self, support: CarriedBy) -> f64 {
        match support {
            CarriedBy::Stack(i) => self.scene.stacks[i].height_m(),
            CarriedBy::Bag(i) => self.top(self.scene.bags[i].on) + Bag::FLAT_M,
        }
    }

    /// Height of the beam's foot on a support while the bags are empty, m.
    pub(super) fn under_beam(&self, beam: &Beam, support: CarriedBy) -> f64 {
        self.top(support) + beam.pad_on(support).unwrap_or(0.0)
    }

    /// The stack under a support, and how many bags lie between.
    pub(super) fn stack_under(&self, support: CarriedBy) -> (usize, usize) {
        match support {
            CarriedBy::Stack(i) => (i, 0),
            CarriedBy::Bag(i) => {
                let (stack, bags) = self.stack_under(self.scene.bags[i].on);
                (stack, bags + 1)
            }
        }
    }

    /// Size along X and Z of a support's top, m.
    pub(super) fn size(&self, support: CarriedBy) -> [f64; 2] {
        match support {
            CarriedBy::Stack(i) => [self.scene.stacks[i].length_m; 2],
            CarriedBy::Bag(i) => self.scene.bags[i].size,
        }
    }

    /// Everything that stands on the ground, bags counted to the stack they lie on.
    pub(super) fn parts(&self) -> Vec<GroundPart<'_>> {
        let scene = self.scene;
        let stacks = scene.stacks.iter().enumerate().map(|(i, s)| {
            let mut top = CarriedBy::Stack(i);
            while let Some(bag) = self.bag_on(top) {
                top = CarriedBy::Bag(bag);
            }
            let foot = s.layer_at(0);
            let middle = [0, 1].map(|i| (foot[i] + s.at[i]) / 2.0);
            let size = s.lean.map(|lean| s.length_m + lean.abs());
            let solid = Solid::around(middle, size, self.top(top));
            GroundPart { list: "stacks", noun: "stack", name: &s.name, solid }
        });
        let soles = soles(scene).map(|(list, name, at, _, sole)| GroundPart {
            list,
            noun: "sole plate of",
            name,
            solid: Solid::around(at, sole.size, sole.thickness_m),
        });
        // Void fill is packed until it touches the vehicle: it needs room for thin wedges only.
        let void_fill = scene.void_fill.iter().map(|v| GroundPart {
            list: "void_fill",
            noun: "void fill",
            name: &v.name,
            solid: Solid::around(v.at, [v.length_m; 2], v.sole_m() + Wedge::LEAST_M),
        });
        let captures = scene.captures.iter().map(|c| GroundPart {
            list: "captures",
            noun: "capture",
            name: &c.name,
            solid: Solid::around(c.at, [c.length_m; 2], c.height_m()),
        });
        let chocks = scene.chocks.iter().map(|c| {
            let [run, height, width] = Chock::SIZE_M;
            let [x, z] = c.away(scene.lies, self.middle());
            let middle = [c.at[0] + run / 2.0 * x, c.at[1] + run / 2.0 * z];
            let size = if scene.lies.on_side() { [width, run] } else { [run, width] };
            let solid = Solid::around(middle, size, height);
            GroundPart { list: "chocks", noun: "chock", name: &c.name, solid }
        });
        // Its steps go under the vehicle as far as they fit.
        let step_chocks = scene.step_chocks.iter().map(|s| {
            let step = self.snug_step(s).unwrap_or(0);
            let middle = s.middle(step, s.away(self.middle()));
            let solid = Solid::around(middle, s.size_m(), s.rise_m.min(self.edge_m(s)));
            GroundPart { list: "step_chocks", noun: "step chock", name: &s.name, solid }
        });
        let struts = scene.struts.iter().map(|s| GroundPart {
            list: "struts",
            noun: "foot of strut",
            name: &s.name,
            solid: Solid::around(s.at, [s.plate_m; 2], s.pin()[1] + Strut::PIN_M),
        });
        let on_timber = stacks.chain(soles).chain(void_fill).chain(captures);
        on_timber.chain(chocks).chain(step_chocks).chain(struts).collect()
    }
}

/// Every sole plate: its list, the name of what stands on it, where, and how wide that is.
pub(super) fn soles(
    scene: &Scene,
) -> impl Iterator<Item = (&'static str, &str, [f64; 2], f64, SolePlate)> {
    let stacks = scene
        .stacks
        .iter()
        .filter_map(|s| Some(("stacks", s.name.as_str(), s.at, s.length_m, s.sole?)));
    let fills = scene
        .void_fill
        .iter()
        .filter_map(|v| Some(("void_fill", v.name.as_str(), v.at, v.length_m, v.sole?)));
    let captures = scene
        .captures
        .iter()
        .filter_map(|v| Some(("captures", v.name.as_str(), v.at, v.length_m, v.sole?)));
    stacks.chain(fills).chain(captures)
}
