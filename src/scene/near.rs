//! What was meant by a word that is not known.

/// The most letters that a slip changes.
const MOST_APART: usize = 2;
/// No longer word is looked up: comparing takes the product of two lengths.
const LONGEST: usize = 40;

/// "did you mean `layers`? ", or nothing where no known word is near.
pub fn did_you_mean<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> String {
    if word.len() >= LONGEST {
        return String::new();
    }
    let apart = known.into_iter().map(|known| (strsim::levenshtein(known, word), known));
    let is_near = |apart: usize| apart <= MOST_APART && apart < word.len();
    let near = apart.filter(|(apart, _)| is_near(*apart)).min();
    near.map_or_else(String::new, |(_, known)| format!("did you mean `{known}`? "))
}

/// What to write in place of a word that is not known: what was meant, and all that there is.
pub fn choose_from(word: &str, known: &[String]) -> String {
    let near = did_you_mean(word, known.iter().map(String::as_str));
    format!("{near}choose from {}", known.join(", "))
}

#[cfg(test)]
mod tests {
    use super::did_you_mean;

    #[test]
    fn the_nearest_word_is_told_and_a_far_one_is_not() {
        let known = ["lock_out", "lower", "beam-lift"];
        assert_eq!(did_you_mean("lockout", known), "did you mean `lock_out`? ");
        assert_eq!(did_you_mean("beam-lif", known), "did you mean `beam-lift`? ");
        assert_eq!(did_you_mean("nowhere", known), "");
        assert_eq!(did_you_mean(&"x".repeat(100_000), known), "");
    }
}
