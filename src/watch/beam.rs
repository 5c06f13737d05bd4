//! Beam: it cracks, or breaks. That it carries more than its design values is no failure
//! yet, and the debrief tells it among the largest values.

use super::{Crossing, Moment};
use crate::scene::Cause;
use crate::snapshot::{BeamState, Finding, PartKind, Reach};
use crate::units::{Dimension, System, Words};

/// What a jolt does to it is not what it carries, s.
const HOLD_S: f64 = 0.1;
/// It begins at this share of what makes it crack.
const ONSET_SHARE: f64 = 0.9;

#[derive(Clone, Default)]
pub(super) struct Beam {
    cracked: Crossing,
    broken: Crossing,
}

impl Beam {
    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        let Some(beam) = m.now.beam else { return found };
        let part = m.parts.iter().position(|p| p.kind == PartKind::Beam);
        let place = part.and_then(|id| m.now.poses.get(id)).map_or([0.0; 3], |pose| {
            let along = pose.turned([0.0, 0.0, beam.at_m]);
            let at = pose.at();
            [0, 1, 2].map(|i| at[i] + along[i])
        });
        let mut add = |began_s, text, values| {
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::Beam,
                part: "beam".into(),
                place,
                text,
                values,
                follows: None,
            });
        };
        let bent = |u: System| {
            let (moment, at) = (u.moment(beam.moment_nm.abs()), u.gap(beam.at_m.abs()));
            format!("{moment} of bending {at} from its middle")
        };
        let spread = 100.0 * m.scene.wood.rupture_variation();
        let broken = f64::from(u8::from(beam.broken));
        if let Some(began_s) = self.broken.look(m.now.t_s, broken, 0.5, 0.5, 0.0) {
            let text = Words::of(|u| {
                format!(
                    "the beam broke in two under {}: {} in the wood, which bears {} give or take \
                     {spread:.0} %",
                    bent(u),
                    u.stress(beam.bending_pa),
                    u.stress(beam.rupture_pa)
                )
            });
            add(began_s, text, values(&beam, beam.rupture_pa));
        }
        if beam.broken {
            return found;
        }
        let (stress, cracks_pa) = (beam.bending_pa, beam.cracks_pa);
        if let Some(began_s) =
            self.cracked.look(m.now.t_s, stress, ONSET_SHARE * cracks_pa, cracks_pa, HOLD_S)
        {
            let text = Words::of(|u| {
                format!(
                    "the beam cracks under {}: {} in the wood, which breaks at {} give or take \
                     {spread:.0} %",
                    bent(u),
                    u.stress(stress),
                    u.stress(beam.rupture_pa)
                )
            });
            add(began_s, text, values(&beam, cracks_pa));
        }
        found
    }

    pub fn reach(&self) -> Option<Reach> {
        self.cracked.reach(Cause::Beam, "beam", Dimension::Stress)
    }
}

fn values(beam: &BeamState, limit_pa: f64) -> Vec<(&'static str, f64)> {
    vec![
        ("bending_pa", beam.bending_pa),
        ("limit_pa", limit_pa),
        ("moment_nm", beam.moment_nm.abs()),
        ("shear_pa", beam.shear_pa),
        ("bearing_pa", beam.bearing_pa),
        ("sag_m", beam.sag_m),
    ]
}
