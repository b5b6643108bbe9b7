//! Schemas of counting.

use super::ask::shot_properties;
use crate::page::schema::{
    Schema, list, maybe, maybe_number, maybe_text, number, object, options, place, reference, text,
};

/// A shot of one's own.
pub(super) fn shot_schema() -> Schema {
    options(&shot_properties())
}

/// Who counts.
pub(super) fn phone() -> (&'static str, Schema) {
    (
        "phone",
        text("22 to 64 letters and digits that are this phone's own; with the phones' link needed"),
    )
}

/// A try.
pub(super) fn tap_properties() -> Vec<(&'static str, Schema)> {
    vec![
        ("code", text("Code of a sheet")),
        ("shot", reference("TallyShot")),
        ("rung", number("Rung of the sheet, from 1")),
        ("student", text("Whose try")),
        ("outcome", text("made, full, thin or unseen")),
        (
            "when",
            text("The time to the millisecond, with its offset; of today, a day either way"),
        ),
        phone(),
    ]
}

/// What was counted.
pub(super) fn counted() -> Schema {
    let shown = object(&[
        ("cue", place("Cue ball's centre, mm")),
        ("object", place("Object ball's centre, mm")),
        ("pocket", text("Pocket on the table")),
    ]);
    let rung = object(&[
        (
            "rung",
            maybe_number("From 1; absent for a shot of one's own"),
        ),
        ("student", maybe_text("On a marks sheet, whose mark")),
        ("words", text("How to set it up")),
        ("places", maybe(shown)),
        ("gear", text("Name of the equipment")),
        ("set", list(text("key=value"), "What is changed of it")),
    ]);
    let count = object(&[
        ("student", text("Who")),
        ("rung", maybe_number("Which rung")),
        ("tries", number("Tries")),
        ("made", number("Makes")),
        ("full", number("Missed too full")),
        ("thin", number("Missed too thin")),
    ]);
    object(&[
        ("code", maybe_text("Code of the sheet")),
        ("kind", text("ladder, marks, lesson or shot")),
        ("title", text("What it is")),
        ("day", text("The day counted")),
        ("students", list(text("A label"), "Everybody")),
        ("rungs", list(rung, "The shots")),
        ("counts", list(count, "Who has tried what")),
    ])
}
