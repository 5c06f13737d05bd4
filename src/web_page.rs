//! What a page around the program can ask of it: which scenes are shipped, and the debrief of
//! one that is played by its own orders. A test of the page, and a page of a user's own, call
//! it from JavaScript.

use crate::debrief::{FrameRetention, play};
use crate::scene::{self, Problem};
use crate::units::UnitSystem;
use js_sys::{Array, Object, Reflect};
use std::sync::Arc;
use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;

/// The object in the page's `window` that holds the functions.
const NAME: &str = "inchwise";

/// Puts the functions into the page: `inchwise.scenes()` gives the names of the shipped
/// scenes, `inchwise.debrief(name)` the debrief of one as JSON, or throws what is wrong.
/// Playing takes as long as it takes: seconds, in which the page stands still.
pub fn offer() {
    let functions = Object::new();
    let scenes = Closure::<dyn Fn() -> Array>::new(|| {
        scene::builtin_names().into_iter().map(|name| JsValue::from_str(&name)).collect()
    });
    let debrief = Closure::<dyn Fn(String) -> Result<String, JsValue>>::new(|name: String| {
        debrief_of(&name).map_err(|why| JsValue::from_str(&why.to_string()))
    });
    let give = |name: &str, function: JsValue| {
        // Only a frozen object refuses a property, and this one is our own.
        let _ = Reflect::set(&functions, &JsValue::from_str(name), &function);
    };
    give("scenes", scenes.into_js_value());
    give("debrief", debrief.into_js_value());
    let _ = Reflect::set(&js_sys::global(), &JsValue::from_str(NAME), &functions);
}

/// Why there is no debrief of a scene, a line a problem.
#[derive(Debug, thiserror::Error)]
enum NoDebrief {
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Scene(Vec<Problem>),
    #[error(transparent)]
    Text(#[from] serde_json::Error),
}

/// The debrief of a shipped scene as JSON.
fn debrief_of(name: &str) -> Result<String, NoDebrief> {
    let loaded = scene::load(name, &[]).map_err(NoDebrief::Scene)?;
    let scene = Arc::new(loaded.scene);
    let debrief = play(scene, UnitSystem::Si, FrameRetention::None, &mut |_, _| {});
    match &debrief.impossible {
        Some(jam) => Err(NoDebrief::Scene(vec![jam.problem(&loaded.doc)])),
        None => Ok(debrief.json()?),
    }
}
