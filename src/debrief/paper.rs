//! The sheet's figures beside the played lift's.

use super::report::Debrief;
use crate::scene::RestsOn;
use crate::snapshot::{PartId, PartKind, Snapshot};
use crate::statics::air::cylinder_air_m3;
use crate::statics::plan::Plan;
use crate::statics::predict::{PredictedQuantity, ReadAt, moments, predictions};
use crate::statics::sheet::Figure;

/// A rise counts as reached when it is this near, m.
const NEARLY_M: f64 = 5e-4;

/// One figure of the sheet and the same of the played lift.
#[derive(Clone, Debug)]
pub struct Beside {
    pub quantity: PredictedQuantity,
    pub what: String,
    pub paper: Figure,
    /// None where the lift did not get there.
    pub played: Option<Figure>,
}

impl Beside {
    /// How far the played figure is from the paper's, as a share of the paper's.
    pub fn difference(&self) -> Option<f64> {
        let (paper, played) = (self.paper.value(), self.played?.value());
        (paper.abs() > 1e-9).then(|| (played - paper) / paper.abs())
    }
}

impl Debrief {
    /// Every figure of the sheet that a played lift shows. Loads at the start are read
    /// when the load is off what it lay on, the rest when it stands as high as the orders ask.
    pub fn beside_paper(&self) -> Vec<Beside> {
        let Some(plan) = Plan::new(&self.scene) else { return Vec::new() };
        let Some(moments) = moments(&plan) else { return Vec::new() };
        // How far it still is from there, m.
        let short = |moment: ReadAt, now: &Snapshot| match moment {
            ReadAt::Risen(rise_m) => rise_m - now.rise_m,
            ReadAt::Freed { limb, gap_m } => gap_m - now.limbs[limb].gap_m,
        };
        let [off, end] = moments.map(|m| self.history.iter().position(|s| short(m, s) <= NEARLY_M));
        let (first, off) = (self.history.first(), off.map(|row| &self.history[row]));
        let full = end.map(|row| &self.history[row]);
        // It may be there before that row is written; air flows and time goes on until then.
        let before = end.and_then(|row| self.history.get(row.checked_sub(1)?)).zip(full);
        let share = before.map_or(1.0, |(before, full)| {
            let [was, is] = [before, full].map(|now| short(moments[1], now));
            if is < 0.0 { was / (was - is) } else { 1.0 }
        });
        let until = |quantity| {
            let (before, full) = before?;
            Some([self.read(quantity, before)?.value(), self.read(quantity, full)?.value()])
        };
        let there = |quantity| until(quantity).map(|[was, is]| was + share * (is - was));
        predictions(&plan)
            .into_iter()
            .map(|p| {
                let at = match p.quantity {
                    PredictedQuantity::LimbBefore(_) => first,
                    PredictedQuantity::StackAtStart(_) | PredictedQuantity::PivotAtStart => off,
                    _ => full,
                };
                let played = match p.quantity {
                    PredictedQuantity::FreeAir => there(p.quantity).map(Figure::Volume),
                    PredictedQuantity::Time => there(p.quantity).map(Figure::Time),
                    _ => at.and_then(|now| self.read(p.quantity, now)),
                };
                Beside {
                    quantity: p.quantity,
                    what: p.quantity.name(&self.scene),
                    paper: p.figure,
                    played,
                }
            })
            .collect()
    }

    /// What holds the vehicle up besides what lifts it, captures and trapped limbs, N.
    fn on_pivot_n(&self, now: &Snapshot) -> f64 {
        let vehicle = |part: PartId| self.parts[part].kind.is_vehicle();
        let holds = |part: Option<PartId>| {
            part.is_none_or(|part| {
                matches!(
                    self.parts[part].kind,
                    PartKind::VoidFill(_)
                        | PartKind::Chock(_)
                        | PartKind::StepChock(_)
                        | PartKind::StepPacker(_)
                        | PartKind::Strut(_)
                )
            })
        };
        now.loads
            .iter()
            .map(|load| match load.by {
                by if vehicle(load.on) && holds(by) => load.force[1],
                Some(by) if vehicle(by) && holds(Some(load.on)) => -load.force[1],
                _ => 0.0,
            })
            .sum()
    }

    fn read(&self, quantity: PredictedQuantity, now: &Snapshot) -> Option<Figure> {
        Some(match quantity {
            PredictedQuantity::StackAtStart(s) | PredictedQuantity::StackAtFullHeight(s) => {
                Figure::Load(now.stacks.get(s)?.load_n)
            }
            PredictedQuantity::PivotAtStart | PredictedQuantity::PivotAtFullHeight => {
                Figure::Load(self.on_pivot_n(now))
            }
            PredictedQuantity::LimbBefore(l) => Figure::Load(now.limbs.get(l)?.load_n),
            PredictedQuantity::Rise => Figure::Gap(now.rise_m),
            PredictedQuantity::GapAtFullHeight(l) => Figure::Gap(now.limbs.get(l)?.gap_m),
            PredictedQuantity::BagPressure(b) => Figure::Air(now.bags.get(b)?.gauge_pa),
            PredictedQuantity::BagHeight(b) => Figure::Gap(now.bags.get(b)?.height_m),
            PredictedQuantity::Turned if self.scene.lies == RestsOn::Roof => {
                Figure::Angle(now.vehicle.pitch_rad)
            }
            PredictedQuantity::Turned => Figure::Angle(now.vehicle.roll_rad.abs()),
            PredictedQuantity::FreeAir => {
                let full = self.history.first()?.cylinder_pa;
                let volume = self.scene.air.cylinder_m3;
                Figure::Volume(cylinder_air_m3(volume, full, now.cylinder_pa))
            }
            PredictedQuantity::Time => Figure::Time(now.t_s),
        })
    }
}
