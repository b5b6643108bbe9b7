//! Large and small letters.

/// With a large first letter, as at the start of a sentence.
#[must_use]
pub fn first_large(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
