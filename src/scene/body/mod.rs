//! The casualty as a body: how large its parts are, and where each of them lies. The rules
//! keep them clear, and the view draws them: what is checked is what is seen.

mod first_lay;
mod keep_free;
mod lay;
mod measures;
mod reach;
mod say;
mod segment;

pub use first_lay::people_of;
pub use keep_free::{FreePart, free_parts};
pub use lay::{Body, Misfit, MisfitReason, bodies};
pub use measures::{Measures, TrunkLengths};
pub use reach::two_bone;
pub use say::say_people;
pub use segment::Segment;
