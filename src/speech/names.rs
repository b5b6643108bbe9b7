//! Several names in a sentence.

/// "K, L and M".
#[must_use]
pub fn named(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
