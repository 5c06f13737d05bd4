//! Shear, bending moment and deflection of a straight timber from the forces that its
//! contacts put on it: pure statics of a prismatic beam, with nothing of the engine in it.

/// A force across the beam at a place along it; upwards is positive.
#[derive(Clone, Copy, Debug)]
pub struct Across {
    pub at_m: f64,
    pub n: f64,
}

/// A beam lying between 0 and its length, with everything that acts on it.
#[derive(Clone, Debug)]
pub struct LoadedBeam {
    pub length_m: f64,
    /// Its own weight, N/m, downwards.
    pub weight_n_m: f64,
    pub forces: Vec<Across>,
}

/// A rectangular section.
#[derive(Clone, Copy, Debug)]
pub struct BeamSection {
    pub width_m: f64,
    pub height_m: f64,
    /// Modulus of elasticity along the grain, Pa.
    pub modulus_pa: f64,
}

impl BeamSection {
    /// Second moment of area, m4.
    pub fn second_moment_m4(self) -> f64 {
        self.width_m * self.height_m.powi(3) / 12.0
    }

    /// Largest bending stress under a moment, Pa.
    pub fn bending_pa(self, moment_nm: f64) -> f64 {
        moment_nm.abs() * self.height_m / 2.0 / self.second_moment_m4()
    }

    /// Largest shear stress under a shear force, Pa.
    pub fn shear_pa(self, shear_n: f64) -> f64 {
        1.5 * shear_n.abs() / (self.width_m * self.height_m)
    }
}

impl LoadedBeam {
    /// Shear just beyond x, N: the sum of all on its left, upwards positive.
    pub fn shear_n(&self, x: f64) -> f64 {
        let left = self.forces.iter().filter(|f| f.at_m <= x);
        left.map(|f| f.n).sum::<f64>() - self.weight_n_m * x.clamp(0.0, self.length_m)
    }

    /// Bending moment at x, N m; sagging is positive.
    pub fn moment_nm(&self, x: f64) -> f64 {
        let left = self.forces.iter().filter(|f| f.at_m <= x);
        let x_on = x.clamp(0.0, self.length_m);
        left.map(|f| f.n * (x - f.at_m)).sum::<f64>() - self.weight_n_m * x_on * (x - x_on / 2.0)
    }

    /// Deflection at each of `points`, m, downwards positive, with two places held level:
    /// the curvature `M / E I` summed up twice over `cells` pieces.
    pub fn deflections_m(
        &self,
        section: BeamSection,
        held: [f64; 2],
        points: &[f64],
        cells: usize,
    ) -> Vec<f64> {
        let stiffness = section.modulus_pa * section.second_moment_m4();
        let dx = self.length_m / cells as f64;
        let (mut slope, mut sag) = (0.0, 0.0);
        let mut shape = vec![0.0];
        for i in 0..cells {
            let curvature = self.moment_nm((i as f64 + 0.5) * dx) / stiffness;
            // Sagging curves the beam upwards, so that what lies ahead is less far down.
            sag += slope * dx - curvature * dx * dx / 2.0;
            slope -= curvature * dx;
            shape.push(sag);
        }
        let at = |x: f64| {
            let cell = ((x / dx) as usize).min(cells - 1);
            let share = x / dx - cell as f64;
            shape[cell] + share * (shape[cell + 1] - shape[cell])
        };
        let [a, b] = held;
        let level = |x: f64| at(a) + (at(b) - at(a)) * (x - a) / (b - a);
        points.iter().map(|x| at(*x) - level(*x)).collect()
    }
}
