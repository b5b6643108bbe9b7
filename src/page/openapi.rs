//! The OpenAPI 3.1 document, put together from the routes themselves.

use std::borrow::Cow;

use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform as _};
use schemars::{JsonSchema as _, Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::fault::FaultBody;
use super::route::{Body, Route};

/// The document.
pub(super) fn document(routes: &[Route]) -> Value {
    let mut schemas = Schemas::new();
    let fault = FaultBody::json_schema(&mut schemas.answered);
    let mut paths = Map::new();
    for route in routes {
        let operation = json!({"post": operation(route, &mut schemas)});
        paths.insert(route.path.to_owned(), operation);
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "thincut",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "How far off may a cue-ball aim be, and the object ball still drop? Quantities go in as text with units, as people write them; numbers come out with the unit in their name."
        },
        "paths": paths,
        "components": {
            "schemas": schemas.components(fault),
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}}
        },
        "security": [{}, {"token": []}]
    })
}

/// Schemas as they are written down (JSON Schema 2020-12, which OpenAPI 3.1 takes).
struct Schemas {
    /// Of requests, each whole: what may be left out differs from answers of the same type.
    asked: SchemaGenerator,
    /// Of answers, whose parts are named.
    answered: SchemaGenerator,
}

const COMPONENTS: &str = "/components/schemas";

impl Schemas {
    fn new() -> Self {
        let settings = SchemaSettings::draft2020_12().with(|s| {
            s.meta_schema = None;
            s.definitions_path = Cow::Borrowed(COMPONENTS);
        });
        let whole = settings.clone().with(|s| s.inline_subschemas = true);
        Self {
            asked: whole.for_deserialize().into_generator(),
            answered: settings.for_serialize().into_generator(),
        }
    }

    fn components(mut self, fault: Schema) -> Map<String, Value> {
        let mut all = Map::new();
        all.insert("Fault".to_owned(), plain(fault));
        for (name, schema) in self.answered.take_definitions(false) {
            if let Ok(schema) = schema.try_into() {
                all.insert(name, plain(schema));
            }
        }
        all
    }
}

/// Without what says nothing to a reader: names of Rust's types, absent values as defaults. Objects
/// have no properties but those told, unless they say so.
fn plain(mut schema: Schema) -> Value {
    let each = |schema: &mut Schema| {
        let Some(map) = schema.as_object_mut() else {
            return;
        };
        map.remove("title");
        map.remove("format");
        if matches!(map.get("default"), Some(Value::Null | Value::Bool(false))) {
            map.remove("default");
        }
        if map.contains_key("properties") && !map.contains_key("additionalProperties") {
            map.insert("additionalProperties".to_owned(), false.into());
        }
    };
    RecursiveTransform(each).transform(&mut schema);
    schema.to_value()
}

fn operation(route: &Route, schemas: &mut Schemas) -> Value {
    let content = |schema: Value| json!({"application/json": {"schema": schema}});
    let answer = match route.answer {
        Body::Json(says) => content(plain(says(&mut schemas.answered))),
        Body::File(kinds) => {
            let kinds = kinds.iter().map(|kind| ((*kind).to_owned(), json!({})));
            Value::Object(kinds.collect())
        }
    };
    let mut body = content(plain((route.asked)(&mut schemas.asked)));
    body["application/json"]["example"] = route.example.clone();
    let fault = json!({"$ref": format!("#{COMPONENTS}/Fault")});
    json!({
        "summary": route.summary,
        "requestBody": {"required": true, "content": body},
        "responses": {
            "200": {"description": "The answer", "content": answer},
            "4XX": {"description": "What was wrong and what would work", "content": content(fault)}
        }
    })
}
