//! The texts of a shot by name: the fields of its request, so that one added there is kept with the rest.

use std::sync::LazyLock;

use crate::columns::{Cell, Columns, read};
use crate::field::FIRST_EDITION;
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};

/// One text.
struct Text {
    /// As the request calls it.
    field: String,
    /// As files do: `to_pocket`.
    name: String,
}

static PLACES: LazyLock<Columns> = LazyLock::new(Columns::of::<PlacesRequest>);
static STROKE: LazyLock<Columns> = LazyLock::new(Columns::of::<StrokeRequest>);

static TEXTS: LazyLock<Vec<Text>> = LazyLock::new(|| {
    let fields = PLACES.names().chain(STROKE.names());
    let text = |field: &str| Text {
        field: field.to_owned(),
        name: column(field).replace('-', "_"),
    };
    fields.map(text).collect()
});

/// The column of an input: logs keep the names they were first given.
pub(super) fn column(name: &str) -> &str {
    let first = FIRST_EDITION.iter().find(|(_, now)| now.name() == name);
    first.map_or(name, |(was, _)| was)
}

/// What files call them, in the order of the request's fields.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    TEXTS.iter().map(|text| text.name.as_str())
}

/// Whether this is one that holds one quantity, which may have a decimal comma.
pub(super) fn is_quantity(name: &str) -> bool {
    names().any(|text| text == name) && !PlacesRequest::is_place(name)
}

/// The texts of a shot, in the order of [`names`].
pub(super) fn of(request: &ShotRequest) -> Vec<Option<String>> {
    let mut texts = Vec::with_capacity(TEXTS.len());
    let mut push = |cell: Cell<'_>| {
        texts.push(match cell {
            Cell::Absent => None,
            given => Some(given.csv()),
        });
    };
    PLACES.cells(&request.places, &mut push);
    STROKE.cells(&request.stroke, &mut push);
    texts
}

/// Reads cells by name, `""` where there is none.
pub(super) fn request<'a>(cell: &dyn Fn(&str) -> &'a str) -> Result<ShotRequest, String> {
    let told = || {
        let cells = TEXTS.iter().map(|t| (t.field.as_str(), cell(&t.name)));
        cells.filter(|(_, text)| !text.is_empty())
    };
    let fault = |e: serde::de::value::Error| e.to_string();
    Ok(ShotRequest {
        places: read(told()).map_err(fault)?,
        stroke: read(told()).map_err(fault)?,
    })
}
