//! Errors as JSON.

use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;

use super::face::PAGE;
use crate::field::spoken_by;
use crate::stop::Stopped;

/// Largest body, bytes (assumption: a shot needs 500, a table full of balls 2 000).
pub(super) const LARGEST_BODY: usize = 64 * 1024;
/// A refusal: a status and one sentence.
#[derive(Debug)]
pub(super) struct ApiFault {
    status: StatusCode,
    message: String,
}

/// The body of every refusal.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct FaultBody {
    /// What was refused.
    error: Told,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Told {
    /// HTTP status.
    status: u16,
    /// What would work.
    message: String,
}

impl ApiFault {
    pub(super) fn new(status: StatusCode, message: impl Into<String>) -> Self {
        Self {
            status,
            message: message.into(),
        }
    }

    /// The sentence alone.
    pub(super) fn into_message(self) -> String {
        self.message
    }

    /// An option that nobody takes.
    pub(super) fn unknown(name: &str) -> Self {
        Self::value(format!(
            "\"{name}\" is not known here; see /api/v1/openapi.json for what is"
        ))
    }

    /// A value that cannot be used.
    pub(super) fn value(message: impl ToString) -> Self {
        let message = spoken_by(PAGE, || message.to_string());
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, message)
    }
}

impl IntoResponse for ApiFault {
    fn into_response(self) -> Response {
        let error = Told {
            status: self.status.as_u16(),
            message: self.message,
        };
        (self.status, Json(FaultBody { error })).into_response()
    }
}

impl From<Stopped> for ApiFault {
    /// Nobody hears it: the answer is thrown away.
    fn from(stopped: Stopped) -> Self {
        Self::new(StatusCode::REQUEST_TIMEOUT, stopped.to_string())
    }
}

impl From<JsonRejection> for ApiFault {
    fn from(rejection: JsonRejection) -> Self {
        let text = rejection.body_text();
        // The extractor's own words up to the colon speak of its types, not of the request.
        let reason = text
            .split_once(": ")
            .map_or(text.as_str(), |(_, reason)| reason);
        let message = match &rejection {
            JsonRejection::JsonSyntaxError(_) => format!("the body is not valid JSON: {reason}"),
            JsonRejection::JsonDataError(_) => {
                format!("the body does not fit what is documented: {reason}")
            }
            _ => format!("the body could not be read: {text} (at most {LARGEST_BODY} bytes)"),
        };
        Self::new(rejection.status(), message)
    }
}

macro_rules! api_fault {
    ($($error:ty => $told:expr,)*) => {$(
        impl From<$error> for ApiFault {
            fn from(error: $error) -> Self {
                let told: fn(&$error) -> bool = $told;
                if told(&error) {
                    Self::value(error)
                } else {
                    let message = spoken_by(PAGE, || error.to_string());
                    Self::new(StatusCode::INTERNAL_SERVER_ERROR, message)
                }
            }
        }
    )*};
}

crate::bad_inputs!(api_fault);
