//! The one place that asks the machine what time it is.

use web_time::SystemTime;

/// What time it is by the machine, which dates files.
pub fn now() -> SystemTime {
    SystemTime::now()
}
