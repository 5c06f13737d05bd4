//! The time history as a table: one row every tenth of a second, SI, the unit in each heading.
//! In a lift of over ten minutes a rest may have its first and last row only.

use super::report::Debrief;
use crate::snapshot::{Snapshot, Support, bearings};

/// Five decimals; nothing where nothing is known. What rounds to zero has no sign.
fn cell(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| format!("{:.5}", (value * 1e5).round() / 1e5 + 0.0))
}

impl Debrief {
    /// The history as CSV.
    ///
    /// # Errors
    /// None in practice: it is written to memory.
    pub fn csv(&self) -> Result<Vec<u8>, csv::Error> {
        let mut bytes = Vec::new();
        let mut out = csv::Writer::from_writer(&mut bytes);
        let supports = Support::all(&self.scene);
        // Each heading begins with its kind, so that no name can make it a formula.
        out.write_record(self.csv_headings(&supports))?;
        for row in &self.history {
            out.write_record(self.csv_figures(&supports, row).into_iter().map(cell))?;
        }
        out.flush()?;
        drop(out);
        Ok(bytes)
    }

    fn csv_headings(&self, supports: &[Support]) -> Vec<String> {
        let scene = &self.scene;
        let mut head: Vec<String> =
            ["t_s", "rise_m", "roll_deg", "pitch_deg", "slide_m", "vehicle_on_ground_n"]
                .map(String::from)
                .to_vec();
        head.push("cylinder_bar".into());
        for bag in &scene.bags {
            for what in ["height_m", "gauge_bar", "force_n", "load_n", "tilt_deg", "shear_m"] {
                head.push(format!("bag {} {what}", bag.name));
            }
        }
        for limb in &scene.limbs {
            head.push(format!("limb {} gap_m", limb.name));
            head.push(format!("limb {} load_n", limb.name));
        }
        for stack in &scene.stacks {
            for what in ["load_n", "lean_m", "least_margin_m"] {
                head.push(format!("stack {} {what}", stack.name));
            }
        }
        for capture in &scene.captures {
            head.push(format!("capture {} load_n", capture.name));
            head.push(format!("capture {} clearance_m", capture.name));
        }
        // All that holds the vehicle up: the sum of these is its weight and its inertia.
        head.extend(["vehicle_weight_n", "vehicle_inertia_n"].map(String::from));
        for support in supports {
            let name = support.name(scene);
            head.push(format!("{name} up_n"));
            if matches!(support, Support::Ground { .. }) {
                head.extend([format!("{name} x_m"), format!("{name} z_m")]);
            }
        }
        head
    }

    /// A moment's figures, in the order of the headings.
    fn csv_figures(&self, supports: &[Support], row: &Snapshot) -> Vec<Option<f64>> {
        let v = &row.vehicle;
        let mut cells: Vec<Option<f64>> = [
            row.t_s,
            row.rise_m,
            v.roll_rad.to_degrees(),
            v.pitch_rad.to_degrees(),
            v.slide_m,
            v.ground_n,
            row.cylinder_pa / 1e5,
        ]
        .map(Some)
        .into();
        for bag in &row.bags {
            cells.extend(
                [
                    bag.height_m,
                    bag.gauge_pa / 1e5,
                    bag.force_n,
                    bag.load_n,
                    bag.tilt_rad.to_degrees(),
                    bag.shear_m,
                ]
                .map(Some),
            );
        }
        for limb in &row.limbs {
            cells.extend([limb.gap_m, limb.load_n].map(Some));
        }
        for stack in &row.stacks {
            // A stack that bears next to nothing has no thrust line: an empty cell.
            cells.extend([Some(stack.load_n), Some(stack.lean_m), stack.least_margin_m()]);
        }
        for capture in &row.captures {
            cells.extend([capture.load_n, capture.clearance_m].map(Some));
        }
        cells.extend([v.weight_n, v.inertia_n].map(Some));
        for (support, bearing) in supports.iter().zip(bearings(&self.scene, &self.parts, row)) {
            cells.push(Some(bearing.up_n));
            if matches!(support, Support::Ground { .. }) {
                // Where nothing bears there is no place: empty cells.
                cells.extend([0, 1].map(|i| bearing.at.map(|at| at[i])));
            }
        }
        cells
    }
}
