//! The car that is built up: one mesh a material.

use crate::view::yard::form::Form;

/// One mesh a material.
#[derive(Default)]
pub struct Car {
    pub paint: Form,
    pub trim: Form,
    pub dark: Form,
    pub cloth: Form,
    pub metal: Form,
    pub rubber: Form,
    pub alloy: Form,
    pub glass: Form,
    pub lamp: Form,
    pub tail_lamp: Form,
}
