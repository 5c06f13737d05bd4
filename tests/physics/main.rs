//! What the world does, held against closed forms, published values and a second engine,
//! from single bodies up to vehicles and set-ups.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/energy.rs"]
mod energy;

mod bag;
mod cut;
mod extremes;
mod gaps;
mod laid;
mod recorded;
mod rest;
mod ruler;
mod sight;
mod survey;
mod val_bag;
mod val_balance;
mod val_beam;
mod val_contact;
mod val_crib;
mod val_crush;
mod val_drop;
mod val_give;
mod val_limb_sizes;
mod val_load;
mod val_measured;
mod val_reference;
mod val_soil;
mod val_springs;
mod val_step;
mod val_strut;
mod val_tables;
mod val_wedge;
mod vehicles;
