//! JSON Schema (2020-12, as in OpenAPI 3.1) in few words.

use serde_json::{Map, Value, json};

/// A schema.
pub(super) type Schema = Value;

fn typed(kind: &str, says: &str) -> Schema {
    json!({"type": kind, "description": says})
}

/// A text.
pub(super) fn text(says: &str) -> Schema {
    typed("string", says)
}

/// A number.
pub(super) fn number(says: &str) -> Schema {
    typed("number", says)
}

/// Yes or no.
pub(super) fn truth(says: &str) -> Schema {
    typed("boolean", says)
}

/// A number, or nothing.
pub(super) fn maybe_number(says: &str) -> Schema {
    json!({"type": ["number", "null"], "description": says})
}

/// A text, or nothing.
pub(super) fn maybe_text(says: &str) -> Schema {
    json!({"type": ["string", "null"], "description": says})
}

/// A list.
pub(super) fn list(of: Schema, says: &str) -> Schema {
    json!({"type": "array", "items": of, "description": says})
}

/// A place on the table, mm from the head rail and from the right rail.
pub(super) fn place(says: &str) -> Schema {
    json!({"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2, "description": says})
}

/// Another schema, or nothing.
pub(super) fn maybe(schema: Schema) -> Schema {
    json!({"anyOf": [schema, {"type": "null"}]})
}

/// A schema kept under `components`.
pub(super) fn reference(name: &str) -> Schema {
    json!({"$ref": format!("#/components/schemas/{name}")})
}

/// An object with exactly these properties, all present.
pub(super) fn object(properties: &[(&str, Schema)]) -> Schema {
    with_required(properties, properties.len())
}

/// An object of which none of the properties must be given.
pub(super) fn options(properties: &[(&str, Schema)]) -> Schema {
    with_required(properties, 0)
}

/// An object with these properties, of which the optional ones may be missing.
pub(super) fn with_optional(needed: &[(&str, Schema)], optional: &[(&str, Schema)]) -> Schema {
    let all: Vec<(&str, Schema)> = needed.iter().chain(optional).cloned().collect();
    with_required(&all, needed.len())
}

/// An object of which only the kind is documented here; its parts are as on the command line.
pub(super) fn open_object(says: &str) -> Schema {
    json!({"type": "object", "additionalProperties": true, "description": says})
}

/// An answer that is a file of one of these media types.
pub(super) fn file(kinds: &[&str]) -> Schema {
    let one = |kind: &&str| json!({"type": "string", "contentMediaType": kind});
    json!({"oneOf": kinds.iter().map(one).collect::<Vec<_>>()})
}

fn with_required(properties: &[(&str, Schema)], required: usize) -> Schema {
    let map: Map<String, Value> = properties
        .iter()
        .map(|(name, schema)| ((*name).to_owned(), schema.clone()))
        .collect();
    let names: Vec<&str> = properties.iter().take(required).map(|(n, _)| *n).collect();
    json!({"type": "object", "properties": map, "required": names, "additionalProperties": false})
}
