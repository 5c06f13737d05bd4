//! Inchwise rehearses the lift of an overturned vehicle off a trapped casualty, in 3D and
//! with true forces. It trains judgement; it never says that a real lift is safe.
//!
//! A scene file says what lies where, who is trapped and what the crew is told to do. The
//! same scene is worked out on paper ([`Sheet`]) and played in a simulation ([`Lift`]);
//! neither looks at the other, so that where they agree is evidence. The program `inchwise`
//! is a thin layer over this library.
//!
//! # Play a lift
//!
//! [`load`] reads and checks a scene, by its path or by the name of a shipped one, and
//! [`play`] plays its own orders to the end:
//!
//! ```
//! use inchwise::{Cause, FrameRetention, Outcome, UnitSystem, load, play};
//! use std::sync::Arc;
//!
//! let scene = load("verge-bare", &[]).expect("a shipped scene").scene;
//! let debrief = play(Arc::new(scene), UnitSystem::Si, FrameRetention::None, &mut |_t_s, _orders| {});
//!
//! // The stack stands on mud without a board under it.
//! assert_eq!(debrief.outcome, Outcome::Failed);
//! assert_eq!(debrief.cause, Some(Cause::Sink));
//! for finding in &debrief.findings {
//!     println!("{:.1} s: {}", finding.t_s, finding.say(&debrief.scene, UnitSystem::Si));
//! }
//! let most_n = debrief.history.iter().map(|s| s.stacks[0].load_n).fold(0.0, f64::max);
//! assert!(most_n > 1_000.0, "the stack carries {most_n} N at most");
//! ```
//!
//! The same scene gives the same [`state_hash`](lift::Played::state_hash) each time it is
//! played by the same binary.
//!
//! # Go tick by tick
//!
//! A [`Lift`] is plain data that goes on by one tick of [`world::TICK_S`] at a time. A clone
//! of it is a moment to come back to, and goes on to the same end to the last bit:
//!
//! ```
//! use inchwise::{Lift, load};
//! use std::sync::Arc;
//!
//! let scene = load("verge-bare", &[]).expect("a shipped scene").scene;
//! let mut lift = Lift::new(Arc::new(scene));
//! let at_rest_n = lift.snapshot().stacks[0].load_n;
//! while lift.snapshot().t_s < 1.0 {
//!     lift.tick();
//! }
//! assert!(lift.snapshot().stacks[0].load_n > at_rest_n);
//!
//! let mut again = lift.clone();
//! lift.tick();
//! again.tick();
//! assert_eq!(again.snapshot(), lift.snapshot());
//! ```
//!
//! # Work it out on paper
//!
//! ```
//! use inchwise::{Cause, Sheet, UnitSystem, Verdict, load};
//!
//! let scene = load("verge-bare", &[]).expect("a shipped scene").scene;
//! let sheet = Sheet::new(&scene, UnitSystem::Si);
//! assert!(sheet.count(Verdict::Fails) > 0);
//! for row in sheet.rows.iter().filter(|row| row.verdict() == Some(Verdict::Fails)) {
//!     let result = row.result.map_or(String::new(), |figure| figure.show(UnitSystem::Si));
//!     println!("{}: {result} ({})", row.what(), row.source);
//! }
//! // The least margin against sinking into the ground, as a share of what the ground bears.
//! let margin = sheet.margin(Cause::Sink).expect("the ground is soft");
//! assert!(margin < 0.0, "the margin is {margin}");
//! ```
//!
//! [`Sheet::html`] is the same as a page to print.
//!
//! # Vary one field
//!
//! A sweep plays a scene over a grid of values and gives a table in grid order, the same
//! whatever the number of threads:
//!
//! ```
//! use inchwise::{Axis, Grid, SweepPart, Sweep};
//!
//! let axis = Axis::parse("vehicle.mass=700 kg..1100 kg:2").expect("well written");
//! let grid = Grid::new(vec![axis]).expect("each field is varied once");
//! let sweep = Sweep::new("verge-bare", &[], grid, None, 1).expect("a shipped scene");
//! let table = sweep.play(SweepPart::WHOLE, 2, None, &mut |_progress| {}).expect("no journal");
//! assert_eq!(table.rows.len(), 2);
//! println!("{}", String::from_utf8_lossy(&table.csv().expect("text")));
//! ```
//!
//! # What is wrong with a scene
//!
//! A scene with mistakes never starts. [`load`] tells all of them at once, each with its
//! place, its field and how to mend it:
//!
//! ```
//! use inchwise::load;
//!
//! let change = "vehicle.mass=-3 kg".to_owned();
//! let problems = load("verge-bare", &[change]).err().expect("no vehicle weighs that");
//! assert_eq!(problems[0].path, "vehicle.mass");
//! println!("{}", problems[0]);
//! ```
//!
//! # Units and axes
//!
//! SI inside: m, kg, s, N, Pa, rad; the unit is in a field's name (`height_m`, `gauge_pa`).
//! Pressures are gauge unless a name says absolute. Text with units ("48 in") is read and
//! written at the edge, by [`units`]. The ground frame is right-handed: X towards the
//! vehicle's nose, Y up; [`scene`] says where its origin is.
//!
//! # Features
//!
//! `view`, on by default, adds the window and the pictures, and with them Bevy. Without it
//! the library draws nothing and needs no graphics.

// What a user hands in never ends the program: it is refused with a reason.
#![cfg_attr(not(test), warn(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

pub mod answer;
pub mod bag_law;
pub mod caution;
pub mod class;
pub mod cli;
pub mod debrief;
pub mod digest;
pub mod draft;
pub mod files;
pub mod framing;
pub mod lift;
pub mod parallel;
pub mod practice;
pub mod printable;
pub mod scene;
pub mod session;
pub mod shelf;
pub mod snapshot;
pub mod statics;
pub mod sweep;
pub mod tables;
pub mod task;
pub mod units;
#[cfg(feature = "view")]
pub mod view;
pub mod watch;
#[cfg(target_family = "wasm")]
pub mod web_page;
pub mod world;

// What most users need; everything else is reached through its module.
pub use debrief::{Debrief, FrameRetention, play};
pub use lift::Lift;
pub use scene::{Cause, Loaded, Outcome, Problem, Scene, load};
pub use snapshot::{Finding, Snapshot};
pub use statics::sheet::{Sheet, Verdict};
pub use sweep::{Axis, Grid, Sweep, SweepPart};
pub use units::UnitSystem;
