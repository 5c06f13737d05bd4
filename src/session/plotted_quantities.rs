//! The quantities that are plotted along the time line, and their lines.

use crate::scene::Scene;
use crate::snapshot::{Snapshot, StackState};
use crate::units::UnitSystem;

/// The quantities that are plotted, one plot each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlotKind {
    /// Gap at each limb, m.
    Gap,
    /// Height of each bag, m.
    Height,
    /// Gauge pressure in each bag, Pa.
    Pressure,
    /// Load on each limb and stack, N.
    Load,
    /// Roll and nose down, rad.
    Tilt,
    /// Thrust line to the edge it must keep within, of each stack, m.
    Margin,
}

impl PlotKind {
    /// Each with its heading.
    pub const ALL: [(PlotKind, &str); 6] = [
        (PlotKind::Gap, "Gap at the limbs"),
        (PlotKind::Height, "Bag height"),
        (PlotKind::Pressure, "Bag pressure"),
        (PlotKind::Load, "Load carried"),
        (PlotKind::Tilt, "Roll, nose down"),
        (PlotKind::Margin, "Thrust margin"),
    ];

    /// A value of it in words.
    pub fn say(self, units: UnitSystem, value: f64) -> String {
        match self {
            Self::Gap | Self::Height | Self::Margin => units.gap(value),
            Self::Pressure => units.pressure(value),
            Self::Load => units.force(value),
            Self::Tilt => units.angle(value),
        }
    }
}

/// One line of a plot.
pub struct Line {
    /// The plot that it belongs to.
    pub plot: PlotKind,
    /// What it is called.
    pub name: String,
    pub(super) read: Box<dyn Fn(&Snapshot) -> f64 + Send + Sync>,
}

/// Every line of every plot of a scene.
pub fn lines(scene: &Scene) -> Vec<Line> {
    let mut out = Vec::new();
    let mut line =
        |plot: PlotKind, name: &str, read: Box<dyn Fn(&Snapshot) -> f64 + Send + Sync>| {
            out.push(Line { plot, name: name.to_owned(), read });
        };
    for (i, limb) in scene.limbs.iter().enumerate() {
        let gap = move |s: &Snapshot| s.limbs.get(i).map_or(f64::NAN, |l| l.gap_m);
        line(PlotKind::Gap, &limb.name, Box::new(gap));
        let load = move |s: &Snapshot| s.limbs.get(i).map_or(f64::NAN, |l| l.load_n);
        line(PlotKind::Load, &limb.name, Box::new(load));
    }
    for (i, bag) in scene.bags.iter().enumerate() {
        let height = move |s: &Snapshot| s.bags.get(i).map_or(f64::NAN, |b| b.height_m);
        line(PlotKind::Height, &bag.name, Box::new(height));
        let pressure = move |s: &Snapshot| s.bags.get(i).map_or(f64::NAN, |b| b.gauge_pa);
        line(PlotKind::Pressure, &bag.name, Box::new(pressure));
    }
    for (i, stack) in scene.stacks.iter().enumerate() {
        let load = move |s: &Snapshot| s.stacks.get(i).map_or(f64::NAN, |s| s.load_n);
        line(PlotKind::Load, &stack.name, Box::new(load));
        let margin = move |s: &Snapshot| {
            s.stacks.get(i).and_then(StackState::least_margin_m).unwrap_or(f64::NAN)
        };
        line(PlotKind::Margin, &stack.name, Box::new(margin));
    }
    line(PlotKind::Tilt, "roll", Box::new(|s| s.vehicle.roll_rad));
    line(PlotKind::Tilt, "nose down", Box::new(|s| s.vehicle.pitch_rad));
    out
}
