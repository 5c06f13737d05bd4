//! Words that several panels share.

use crate::scene::Cause;

pub fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::Slide => "The vehicle slides",
        Cause::Roll => "The vehicle rolls",
        Cause::KickOut => "Something kicks out",
        Cause::Topple => "A stack topples",
        Cause::Drop => "The load drops",
        Cause::CasualtyLoad => "Load on casualty increased",
        Cause::BagOverload => "A bag is at its limit",
        Cause::Sink => "Crib base sinks",
        Cause::Crush => "Timber is crushed",
        Cause::Strut => "A strut does not hold",
        Cause::Strap => "A strap does not hold",
        Cause::Beam => "The beam is overloaded",
    }
}

/// A sentence begun with a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|c| c.to_uppercase().to_string() + letters.as_str()).unwrap_or_default()
}
