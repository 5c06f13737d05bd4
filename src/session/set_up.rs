//! Sets a lift up a tick at a time: the vehicle comes to rest, then what stands around it.

use super::background::{TaskProgress, Work};
use crate::lift::Lift;
use crate::scene::Scene;
use crate::world::{Physics, SettlingYard, Yard};
use std::sync::Arc;

/// A vehicle that comes to rest.
pub struct Laying {
    /// What has yet to be laid down.
    scene: Option<Arc<Scene>>,
    settling: Option<Box<SettlingYard>>,
}

impl Laying {
    /// A scene's vehicle.
    pub fn new(scene: Arc<Scene>) -> Self {
        Self { scene: Some(scene), settling: None }
    }
}

impl Work for Laying {
    type Output = Yard;

    /// A tick, at the most.
    fn go_on(&mut self) -> TaskProgress<Yard> {
        if let Some(scene) = self.scene.take() {
            self.settling = Some(Box::new(SettlingYard::with_vehicle(scene, Physics::default())));
        } else if self.settling.as_mut().is_none_or(|settling| !settling.tick()) {
            let settled = self.settling.take();
            return settled.map_or(TaskProgress::Over, |yard| TaskProgress::Result(yard.at_rest()));
        }
        TaskProgress::Working
    }
}

/// A lift that is set up.
pub struct SettingUp {
    scene: Arc<Scene>,
    step: Step,
}

enum Step {
    Vehicle(Laying),
    /// The vehicle is at rest.
    Laid(Box<Yard>),
    Equipment {
        laid: Box<Yard>,
        settling: Box<SettlingYard>,
    },
    Over,
}

/// What comes of it.
pub struct Settled {
    /// The lift before its first tick.
    pub lift: Lift,
    /// The yard with nothing but the vehicle in it.
    pub laid: Yard,
}

impl SettingUp {
    /// A scene's lift; `laid` where its vehicle lies at rest already.
    pub fn new(scene: Arc<Scene>, laid: Option<Yard>) -> Self {
        let step = laid.map_or_else(
            || Step::Vehicle(Laying::new(scene.clone())),
            |laid| Step::Laid(Box::new(laid)),
        );
        Self { scene, step }
    }
}

impl Work for SettingUp {
    type Output = Settled;

    /// A tick, at the most.
    fn go_on(&mut self) -> TaskProgress<Settled> {
        match std::mem::replace(&mut self.step, Step::Over) {
            Step::Vehicle(mut laying) => {
                self.step = match laying.go_on() {
                    TaskProgress::Result(laid) => Step::Laid(Box::new(laid)),
                    TaskProgress::Working => Step::Vehicle(laying),
                    TaskProgress::Over => Step::Over,
                };
            }
            Step::Laid(laid) => {
                let settling = SettlingYard::with_equipment((*laid).clone(), self.scene.clone());
                self.step = Step::Equipment { laid, settling: Box::new(settling) };
            }
            Step::Equipment { laid, mut settling } => {
                if settling.tick() {
                    self.step = Step::Equipment { laid, settling };
                } else {
                    let lift = Lift::on_settled_yard(settling.at_rest());
                    return TaskProgress::Result(Settled { lift, laid: *laid });
                }
            }
            Step::Over => return TaskProgress::Over,
        }
        TaskProgress::Working
    }
}
