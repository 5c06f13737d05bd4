//! The job of `inchwise check`: reads scene files and lets each settle.

use super::common::Common;
use super::failure::{BAD_INPUT, Failure, MET};
use super::say;
use crate::debrief;
use crate::scene;
use crate::units::UnitSystem;
use clap::Args;
use std::sync::Arc;

#[derive(Args)]
pub struct CheckArgs {
    #[arg(required = true)]
    scenes: Vec<String>,
    #[command(flatten)]
    common: Common,
}

pub fn run(CheckArgs { scenes, common }: &CheckArgs) -> Result<u8, Failure> {
    let units = UnitSystem::from(common.units);
    let mut code = MET;
    if let Ok(spec) = std::env::var("LAYS") {
        for name in scenes {
            search(name, &spec);
        }
        return Ok(0);
    }
    for name in scenes {
        match scene::load(name, &common.changes) {
            Ok(loaded) => {
                // What no rule sees on paper shows once everything has settled.
                let scene = Arc::new(loaded.scene);
                match debrief::start(scene.clone()) {
                    Ok(unrest) => {
                        say::line(format_args!("{name}: \"{}\" is in order", scene.name));
                        let other_poses = scene.vehicle.say_other_poses(scene.lies, units);
                        let unrest = unrest.map(|finding| finding.say(&scene, units));
                        for note in [other_poses, unrest].into_iter().flatten() {
                            say::line(format_args!("  note: {note}"));
                        }
                    }
                    Err(jam) => {
                        say::problem(jam.problem(&loaded.doc).in_units(units));
                        say::problem(format_args!("{name}: 1 to mend"));
                        code = BAD_INPUT;
                    }
                }
            }
            Err(problems) => {
                for problem in &problems {
                    say::problem(problem.in_units(units));
                }
                say::problem(format_args!("{name}: {} to mend", problems.len()));
                code = BAD_INPUT;
            }
        }
    }
    Ok(code)
}

fn search(name: &str, spec: &str) {
    use crate::scene::tree::parse_change_value;
    let v: Vec<&str> = spec.split(';').collect();
    let Ok(doc) = scene::tree_of(name, &[]) else { return };
    let n = |i: usize| v[i].parse::<f64>().unwrap();
    let (x0, x1, z0, z1, step, da) = (n(0), n(1), n(2), n(3), n(4), n(5));
    let extra = v[6];
    let limb = v.get(7).copied().unwrap_or("");
    let mut found = 0;
    let mut x = x0;
    while x <= x1 + 1e-9 {
        let mut z = z0;
        while z <= z1 + 1e-9 {
            let mut a = -180.0 + da;
            while a <= 180.0 {
                let mut d = doc.clone();
                let text = format!(
                    "[(name: \"p\", at: [\"{x:.3} m\", \"{z:.3} m\"], head_towards: \"{a} deg\"{extra})]"
                );
                let node = parse_change_value(&text, &"".into());
                let _ = d.set("people", node);
                if !limb.is_empty() {
                    for set in limb.split('|') {
                        let (k, val) = set.split_once('=').unwrap();
                        let _ = d.set(k, parse_change_value(val, &"".into()));
                    }
                }
                let p = scene::read_and_check(&d).1;
                if p.is_empty() {
                    found += 1;
                    say::line(format_args!("OK x {x:.2} z {z:.2} a {a}"));
                } else if x1 == x0 && z1 == z0 {
                    for q in p {
                        say::line(format_args!("a {a}: {q}"));
                    }
                }
                a += da;
            }
            z += step;
        }
        x += step;
    }
    say::line(format_args!("{name}: {found}"));
}
