//! Words that several panels share.

/// A sentence begun with a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|c| c.to_uppercase().to_string() + letters.as_str()).unwrap_or_default()
}
