//! Who may ask, and in what form.
//!
//! A server on a person's own machine is reachable from every web page they open. What is refused:
//!
//! | attempt | refused by |
//! |---|---|
//! | a foreign name resolved to this machine (rebinding) | `Host` must be on an exact list |
//! | another site's page sending a request | `Origin` and `Sec-Fetch-Site`, on every request |
//! | a form or `text/plain` that carries JSON | `Content-Type: application/json` on every POST |
//! | reading answers from another origin | no CORS headers at all |
//! | an image tag that changes something | no GET has side effects |
//! | framing, foreign scripts | Content-Security-Policy, embedded files only |
//! | a neighbour on the network | a token beyond this machine, compared in constant time |
//! | a phone that writes or reads more than tries | a token of its own, good for [`PHONES`] only |
//!
//! The hall's network carries all this in the clear: whoever listens on it can read both tokens.

use std::net::IpAddr;

use axum::http::header::{self, HeaderName};
use axum::http::{HeaderMap, Method, StatusCode};

use super::fault::ApiFault;
use super::options::bracketed;

/// What the phones' token opens: counting tries, and looking at shots.
const PHONES: [&str; 23] = [
    "advice",
    "aims",
    "attempts",
    "budget",
    "chart",
    "charts",
    "choose",
    "gear",
    "hand-out",
    "layout",
    "live",
    "open",
    "openapi.json",
    "order",
    "places",
    "pocket",
    "picture",
    "sheets",
    "shot",
    "students",
    "tally",
    "tap",
    "untap",
];

/// Whose request it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Caller {
    /// May do everything; everybody is, where there is no token.
    Coach,
    /// May do what [`PHONES`] lists.
    Phone,
}

tokio::task_local! {
    /// Set round every request.
    pub(super) static CALLER: Caller;
}

/// Who asks; outside of a request nobody may more than a phone.
pub(super) fn caller() -> Caller {
    CALLER.try_get().unwrap_or(Caller::Phone)
}

/// Names under which this server answers, and the tokens.
#[derive(Debug)]
pub(super) struct Allowed {
    hosts: Vec<String>,
    coach: Option<String>,
    phones: Option<String>,
}

impl Allowed {
    /// Loopback names, the address reached at and `more` names, all with the port; the coach's token
    /// and the phones'.
    pub(super) fn new(
        port: u16,
        reached: IpAddr,
        more: &[String],
        [coach, phones]: [Option<String>; 2],
    ) -> Self {
        let names = [
            "127.0.0.1".to_owned(),
            "localhost".to_owned(),
            "[::1]".to_owned(),
        ];
        let all = names
            .into_iter()
            .chain([bracketed(reached)])
            .chain(more.iter().map(|h| h.to_ascii_lowercase()));
        let mut hosts: Vec<String> = Vec::new();
        for name in all {
            // Browsers leave port 80 out.
            if port == 80 {
                hosts.push(name.clone());
            }
            hosts.push(format!("{name}:{port}"));
        }
        Self {
            hosts,
            coach,
            phones,
        }
    }

    fn host(&self, headers: &HeaderMap) -> bool {
        let mut given = headers.get_all(header::HOST).iter();
        let (Some(host), None) = (given.next(), given.next()) else {
            return false;
        };
        host.to_str()
            .is_ok_and(|h| self.hosts.contains(&h.to_ascii_lowercase()))
    }

    /// The origin, where a browser gives one, is this server under the very name asked for.
    fn origin(headers: &HeaderMap) -> bool {
        let text = |name: HeaderName| headers.get(name).and_then(|v| v.to_str().ok());
        let host = text(header::HOST).unwrap_or_default();
        let mut origins = headers.get_all(header::ORIGIN).iter();
        let own = format!("http://{host}");
        match (origins.next(), origins.next()) {
            (None, _) => true,
            (Some(one), None) => one.to_str().is_ok_and(|o| o.eq_ignore_ascii_case(&own)),
            _ => false,
        }
    }

    /// What the browser says of the page that asks: following a link here is fine, embedding or
    /// fetching from elsewhere is not.
    fn fetch_site(method: &Method, headers: &HeaderMap) -> bool {
        let text = |name: &str| headers.get(name).and_then(|v| v.to_str().ok());
        match text("sec-fetch-site") {
            None | Some("same-origin" | "none") => true,
            Some(_) => method == Method::GET && text("sec-fetch-mode") == Some("navigate"),
        }
    }

    /// Who has the token that came; nobody has a wrong one.
    fn caller(&self, headers: &HeaderMap) -> Option<Caller> {
        let Some(coach) = &self.coach else {
            return Some(Caller::Coach);
        };
        let given = headers
            .get(header::AUTHORIZATION)
            .and_then(|v| v.to_str().ok())
            .and_then(|v| v.strip_prefix("Bearer "))
            .unwrap_or_default();
        let is = |token: &String| same_text(given.as_bytes(), token.as_bytes());
        // Both are compared whichever it is.
        let (coach, phone) = (is(coach), self.phones.as_ref().is_some_and(is));
        match (coach, phone) {
            (true, _) => Some(Caller::Coach),
            (false, true) => Some(Caller::Phone),
            (false, false) => None,
        }
    }

    /// Whose request it is, if it may be answered.
    pub(super) fn check(
        &self,
        method: &Method,
        path: &str,
        headers: &HeaderMap,
    ) -> Result<Caller, ApiFault> {
        let fault = |status, message| Err(ApiFault::new(status, message));
        if !self.host(headers) {
            return fault(
                StatusCode::MISDIRECTED_REQUEST,
                "this server does not answer under that Host; open the link it printed",
            );
        }
        if !Self::origin(headers) || !Self::fetch_site(method, headers) {
            return fault(
                StatusCode::FORBIDDEN,
                "requests from other sites are refused; open the page itself",
            );
        }
        let interface = path.strip_prefix("/api/");
        let caller = match (self.caller(headers), interface) {
            (Some(caller), _) => caller,
            // The page itself is no secret.
            (None, None) => Caller::Phone,
            (None, Some(_)) => {
                return fault(
                    StatusCode::UNAUTHORIZED,
                    "the token is missing or wrong; open the link the program printed, or send Authorization: Bearer TOKEN",
                );
            }
        };
        let for_phones = |name: &str| PHONES.iter().any(|p| name.strip_prefix("v1/") == Some(p));
        if caller == Caller::Phone && !interface.is_none_or(for_phones) {
            return fault(
                StatusCode::FORBIDDEN,
                "the phones' link counts tries and looks at shots; this takes the coach's link",
            );
        }
        if method != Method::GET && method != Method::HEAD && !is_json(headers) {
            return fault(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "send JSON with Content-Type: application/json",
            );
        }
        Ok(caller)
    }
}

fn is_json(headers: &HeaderMap) -> bool {
    headers
        .get(header::CONTENT_TYPE)
        .and_then(|v| v.to_str().ok())
        .and_then(|v| v.split(';').next())
        .is_some_and(|kind| kind.trim().eq_ignore_ascii_case("application/json"))
}

/// Takes as long for a wrong text as for a right one of the same length.
fn same_text(a: &[u8], b: &[u8]) -> bool {
    a.len() == b.len() && a.iter().zip(b).fold(0, |acc, (x, y)| acc | (x ^ y)) == 0
}
