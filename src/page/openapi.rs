//! The OpenAPI 3.1 document, put together from the routes themselves.

use serde_json::{Map, Value, json};

use super::routes::Route;
use super::schema::{number, object, reference, text};

/// The document.
pub(super) fn document(routes: &[Route]) -> Value {
    let fault = object(&[(
        "error",
        object(&[
            ("status", number("HTTP status")),
            ("message", text("What would work")),
        ]),
    )]);
    let mut schemas = Map::new();
    schemas.insert("Fault".to_owned(), fault);
    let mut paths = Map::new();
    for route in routes {
        for (name, schema) in &route.components {
            schemas.insert((*name).to_owned(), schema.clone());
        }
        let operations = paths.entry(route.path).or_insert_with(|| json!({}));
        operations[route.method.as_str().to_ascii_lowercase()] = operation(route);
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "thincut",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "How far off may a cue-ball aim be, and the object ball still drop? Quantities go in as text with units, as on the command line; numbers come out with the unit in their name."
        },
        "paths": paths,
        "components": {
            "schemas": schemas,
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}}
        },
        "security": [{}, {"token": []}]
    })
}

/// JSON, or the media types of a file.
fn answer(response: &Value) -> Value {
    let files = response["oneOf"].as_array().into_iter().flatten();
    let files: Map<String, Value> = files
        .filter_map(|s| Some((s["contentMediaType"].as_str()?.to_owned(), json!({}))))
        .collect();
    if files.is_empty() {
        json!({"application/json": {"schema": response}})
    } else {
        files.into()
    }
}

fn operation(route: &Route) -> Value {
    let content = |schema: &Value| json!({"application/json": {"schema": schema}});
    let mut operation = json!({
        "summary": route.summary,
        "responses": {
            "200": {"description": "The answer", "content": answer(&route.response)},
            "4XX": {"description": "What was wrong and what would work", "content": content(&reference("Fault"))}
        }
    });
    if let Some(request) = &route.request {
        let mut body = json!({"required": true, "content": content(request)});
        if let Some(example) = &route.example {
            body["content"]["application/json"]["example"] = example.clone();
        }
        operation["requestBody"] = body;
    }
    operation
}
