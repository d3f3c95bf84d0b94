//! Style, script and marks, under names that change with their content.
use crate::path::Path;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use std::collections::HashMap;
use std::sync::LazyLock;

#[derive(rust_embed::RustEmbed)]
#[folder = "../../static/"]
struct Static;

/// Hashed name by plain name, and back.
static NAMES: LazyLock<(HashMap<String, String>, HashMap<String, String>)> = LazyLock::new(|| {
    let mut hashed_of = HashMap::new();
    let mut plain_of = HashMap::new();
    for name in Static::iter() {
        let Some(file) = Static::get(&name) else { continue };
        let (stem, ending) = name.rsplit_once('.').unwrap_or((&name, ""));
        let hashed = format!("{stem}.{}.{ending}", hex(&file.metadata.sha256_hash()[..6]));
        plain_of.insert(hashed.clone(), name.to_string());
        hashed_of.insert(name.to_string(), hashed);
    }
    (hashed_of, plain_of)
});

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// The path of a file in `static/`.
pub fn asset(name: &str) -> String {
    format!("/static/{}", NAMES.0.get(name).map_or(name, String::as_str))
}

/// Serves a file of `static/`; under its hashed name it may be kept for ever.
pub async fn show(Path(path): Path<String>, headers: HeaderMap) -> Response {
    let (name, cache) = match NAMES.1.get(&path) {
        Some(name) => (name.as_str(), "public, max-age=31536000, immutable"),
        None => (path.as_str(), "no-cache"),
    };
    let Some(file) = Static::get(name) else { return StatusCode::NOT_FOUND.into_response() };
    let etag = format!("\"{}\"", hex(&file.metadata.sha256_hash()[..8]));
    if headers.get(header::IF_NONE_MATCH).is_some_and(|v| v == etag.as_str()) {
        return StatusCode::NOT_MODIFIED.into_response();
    }
    let kind = mime_guess::from_path(name).first_or_octet_stream().to_string();
    let headers =
        [(header::CONTENT_TYPE, kind), (header::ETAG, etag), (header::CACHE_CONTROL, cache.to_owned())];
    (headers, file.data).into_response()
}
