//! Everything that draws the yards, the same in the window and off screen.

use super::shown::{self, HERE};
use super::vehicle::build as vehicle;
use super::{air, bag, dummy, strut, surroundings, timber};
use bevy::ecs::schedule::{Schedules, SingleThreadedExecutor};
use bevy::prelude::{App, Plugin};
use bevy::render::RenderApp;

/// Has a frame's systems run one after the other. They are many and short: to hand them to
/// threads costs more than it saves (7.1 ms of a processor a frame, against 5.1), and a
/// frame is late whenever one of those threads is.
struct OneByOne;

impl Plugin for OneByOne {
    fn build(&self, _: &mut App) {}

    /// All schedules are there by now.
    fn finish(&self, app: &mut App) {
        let one_by_one = |app: &mut bevy::app::SubApp| {
            for (_, schedule) in app.world_mut().resource_mut::<Schedules>().iter_mut() {
                schedule.set_executor(SingleThreadedExecutor::new());
            }
        };
        one_by_one(app.main_mut());
        if let Some(render) = app.get_sub_app_mut(RenderApp) {
            one_by_one(render);
        }
    }
}

/// Draws the yard of the run that is worked on, and what all yards share.
pub fn draw_here(app: &mut App) {
    app.add_plugins(OneByOne);
    surroundings::light(app);
    timber::mix(app);
    draw_yard::<HERE>(app);
}

/// Draws one of the yards.
pub fn draw_yard<const YARD: usize>(app: &mut App) {
    shown::plugin::<YARD>(app);
    surroundings::plugin::<YARD>(app);
    vehicle::plugin::<YARD>(app);
    timber::plugin::<YARD>(app);
    strut::plugin::<YARD>(app);
    bag::plugin::<YARD>(app);
    air::plugin::<YARD>(app);
    dummy::plugin::<YARD>(app);
}
