//! A shot as it was asked for.

use crate::request::ShotRequest;

/// A shot as it was asked for: `half-ball cut, 2ft apart, 3ft to the corner`.
#[must_use]
pub fn shot_words(request: &ShotRequest, kind: &str) -> String {
    let p = &request.places;
    let text = |t: &Option<String>| spaced(t.as_deref().unwrap_or_default());
    if p.cue.is_some() {
        format!(
            "cue {}, object {}, {}",
            text(&p.cue),
            text(&p.object),
            text(&p.pocket)
        )
    } else {
        format!(
            "{}, {} apart, {} to the {kind}",
            cut(p.cut.as_deref().unwrap_or_default()),
            text(&p.apart),
            text(&p.to_pocket)
        )
    }
}

/// `half-ball cut`, `60° cut`, `straight`.
fn cut(text: &str) -> String {
    match text {
        "0" | "0deg" | "full-ball" => "straight".to_owned(),
        text => format!("{} cut", spaced(text)),
    }
}

/// A value as typed, for people: `60deg` as `60°`, `2ft` as `2 ft`.
fn spaced(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 1);
    for c in text.replace("deg", "°").chars() {
        if c.is_ascii_alphabetic() && out.ends_with(|b: char| b.is_ascii_digit()) {
            out.push(' ');
        }
        out.push(c);
    }
    out
}
