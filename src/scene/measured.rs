//! What was measured in one's own yard, and how it stands in for the tables.

use super::crew::Drill;
use super::vehicle::Vehicle;
use crate::bag_law::Membrane;
use crate::tables::{FrictionPair, MEASURED, Material, Surface, friction_pair, friction_pairs};
use crate::units::GRAVITY_M_S2;

/// A set of scales reads to this share (assumed): so far a weighed vehicle's mass is not known.
pub const SCALES_SHARE: f64 = 0.02;

/// Measurements of one yard. Nothing else in a scene changes by them.
#[derive(Clone, Debug)]
pub struct Measurements {
    /// How, where and when.
    pub data: String,
    pub weights: Option<Weighed>,
    pub slides: Vec<MeasuredSlide>,
    pub raised: Vec<RaisedBag>,
    /// Tasks that the crew was timed at.
    pub drills: Vec<Drill>,
}

/// Weights under the wheels on the level: front left, front right, rear left, rear right, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    pub wheels_n: [f64; 4],
    /// What the vehicle's own file says of them.
    pub foretold_n: [f64; 4],
}

/// What a measured thing is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stuff {
    Timber,
    Metal,
    Rubber,
    Ground,
}

impl Stuff {
    pub const WORDS: &[(&str, Self)] = &[
        ("timber", Self::Timber),
        ("metal", Self::Metal),
        ("rubber", Self::Rubber),
        ("ground", Self::Ground),
    ];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, stuff)| *stuff == self).map_or("", |(word, _)| word)
    }

    fn material(self, surface: Surface) -> Material {
        match self {
            Self::Timber => Material::Timber,
            Self::Metal => Material::Sheet,
            Self::Rubber => Material::Rubber,
            Self::Ground => Material::Ground(surface),
        }
    }
}

/// The angle at which one thing began to slide on another, as wet or dry as the scene's ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredSlide {
    pub what: Stuff,
    pub on: Stuff,
    pub angle_rad: f64,
}

impl MeasuredSlide {
    /// The angle that the table foretells, rad; none for a pair that it does not have.
    pub fn foretold_rad(&self, surface: Surface, wet: bool) -> Option<f64> {
        let [a, b] = [self.what, self.on].map(|stuff| stuff.material(surface));
        let pair = friction_pair(surface, a, b)?;
        Some(pair.friction(wet)[0].atan())
    }
}

/// A bag that was raised under a known load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RaisedBag {
    pub size: [f64; 2],
    pub load_n: f64,
    pub gauge_pa: f64,
    /// Between what lies under it and what lies on it, m.
    pub height_m: f64,
}

impl RaisedBag {
    /// The height at which the law has it carry that load, m.
    pub fn foretold_m(&self) -> f64 {
        let bag = Membrane::of_size(self.size);
        let (mut low, mut high) = (0.0, bag.height_limit_m());
        // It pushes less the higher it is.
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if bag.force_n(self.gauge_pa, middle) > self.load_n {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::midpoint(low, high)
    }

    /// The share of its size with which the law would have it carry the load at its height: what
    /// of the flat bag swells.
    pub fn size_share(&self) -> f64 {
        let (mut low, mut high) = (0.2, 2.0);
        for _ in 0..60 {
            let share = f64::midpoint(low, high);
            let bag = Membrane::of_size(self.size.map(|side| share * side));
            let open = self.height_m < bag.height_limit_m();
            let pushes = open && bag.force_n(self.gauge_pa, self.height_m) > self.load_n;
            if pushes { high = share } else { low = share }
        }
        f64::midpoint(low, high)
    }
}

impl Measurements {
    /// The pair table with what was measured in the place of its values.
    pub fn pairs(&self, surface: Surface) -> Vec<FrictionPair> {
        let mut pairs = friction_pairs(surface).to_vec();
        for slide in &self.slides {
            let [a, b] = [slide.what, slide.on].map(|stuff| stuff.material(surface));
            let same =
                |pair: &&mut FrictionPair| (pair.a, pair.b) == (a, b) || (pair.b, pair.a) == (a, b);
            if let Some(pair) = pairs.iter_mut().find(same) {
                let mu = slide.angle_rad.tan();
                *pair = FrictionPair { dry: mu, wet: mu, source: MEASURED, ..*pair };
            }
        }
        pairs
    }

    /// The mean share of a bag's size that swells; 1 where none was raised.
    pub fn bag_share(&self) -> f64 {
        if self.raised.is_empty() {
            return 1.0;
        }
        self.raised.iter().map(RaisedBag::size_share).sum::<f64>() / self.raised.len() as f64
    }
}

/// Weights under the wheels that a vehicle's own figures give, N.
pub fn wheel_weights_n(v: &Vehicle) -> [f64; 4] {
    let [front, rear] = v.wheel_x_m;
    let along = (v.com_m[0] - rear) / (front - rear);
    let right = 0.5 + v.com_m[2] / v.track_m;
    let weight = v.mass_kg * GRAVITY_M_S2;
    [along * (1.0 - right), along * right, (1.0 - along) * (1.0 - right), (1.0 - along) * right]
        .map(|share| share * weight)
}

/// Gives a vehicle the mass and the centre of mass that its weighed wheels tell. Its height is
/// not weighed; its moments grow with the mass.
pub fn weigh(v: &mut Vehicle, wheels_n: [f64; 4]) -> Weighed {
    let foretold_n = wheel_weights_n(v);
    let sum: f64 = wheels_n.iter().sum();
    let [front, rear] = v.wheel_x_m;
    let heavier = sum / GRAVITY_M_S2 / v.mass_kg;
    v.mass_kg *= heavier;
    v.inertia_kg_m2 = v.inertia_kg_m2.map(|moment| heavier * moment);
    let along = (wheels_n[0] + wheels_n[1]) / sum;
    let right = (wheels_n[1] + wheels_n[3]) / sum;
    v.com_m[0] = rear + along * (front - rear);
    v.com_m[2] = (right - 0.5) * v.track_m;
    Weighed { wheels_n, foretold_n }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// What a vehicle's own figures give is weighed back to that vehicle.
    #[test]
    fn a_vehicle_that_weighs_what_it_should_is_unchanged() {
        let before = crate::scene::load("sill-crib", &[]).unwrap().scene.vehicle;
        let mut after = before.clone();
        weigh(&mut after, wheel_weights_n(&before));
        assert_relative_eq!(after.mass_kg, before.mass_kg, max_relative = 1e-12);
        assert_relative_eq!(after.com_m[0], before.com_m[0], max_relative = 1e-12);
        assert_relative_eq!(after.com_m[2], before.com_m[2], epsilon = 1e-12);
    }

    /// By hand: 1.2 kN more on either front wheel of a hatchback of 1020 kg is 244.7 kg, and
    /// moves its centre of mass to (0.22 x 1020 + 1.26 x 244.7) / 1264.7 = 0.4213 m.
    #[test]
    fn val_weight_on_the_front_wheels_moves_the_centre_of_mass() {
        let mut v = crate::scene::load("sill-crib", &[]).unwrap().scene.vehicle;
        let mut wheels = wheel_weights_n(&v);
        wheels[0] += 1200.0;
        wheels[1] += 1200.0;
        weigh(&mut v, wheels);
        assert_relative_eq!(v.mass_kg, 1264.7, max_relative = 1e-4);
        assert_relative_eq!(v.com_m[0], 0.4213, max_relative = 1e-3);
    }

    /// A bag that stands where the law has it has its whole size; `A = (W - pi h / 2)^2` gives
    /// 0.5 m at 100 mm and 2 bar 23.52 kN.
    #[test]
    fn val_a_bag_that_keeps_to_the_law_has_its_whole_size() {
        let bag =
            |height_m| RaisedBag { size: [0.5; 2], load_n: 23_524.0, gauge_pa: 2e5, height_m };
        assert_relative_eq!(bag(0.1).foretold_m(), 0.1, max_relative = 1e-3);
        assert_relative_eq!(bag(0.1).size_share(), 1.0, max_relative = 1e-3);
        // 90 mm under the same load: sqrt(A) is the same, so W is less by pi x 5 mm.
        assert_relative_eq!(bag(0.09).size_share(), 1.0 - 0.015_708 / 0.5, max_relative = 1e-3);
    }
}
