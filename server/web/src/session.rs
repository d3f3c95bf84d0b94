//! Session tokens and the cookie that carries them.
use crate::config::Config;
use axum::http::{HeaderMap, header};
use chrono::Duration;
use sha2::Digest;

/// A session ends after this long without use.
pub const IDLE: Duration = Duration::hours(12);
/// A session ends after this long, however busy.
pub const ABSOLUTE: Duration = Duration::days(14);
/// How old the note of last use may grow before it is written again.
pub const NOTE_USE_AFTER: Duration = Duration::minutes(5);

/// The same on a shared tablet, which locks after minutes.
pub const NOTE_TABLET_USE_AFTER: Duration = Duration::seconds(20);
/// A session opened by a PIN ends after this long, however busy.
pub const PIN_ABSOLUTE: Duration = Duration::hours(12);
/// How long a browser stays a shared tablet.
pub const TABLET_KEPT: Duration = Duration::days(180);

/// The name of the cookie that makes a browser a shared tablet.
pub fn tablet_cookie_name(config: &Config) -> &'static str {
    if config.secure { "__Host-findway-tablet" } else { "findway-tablet" }
}

/// The token of the shared tablet a request comes from.
pub fn tablet_token_of(headers: &HeaderMap, config: &Config) -> Option<String> {
    cookie(headers, tablet_cookie_name(config))
}

/// The cookie's name: bound to the host where the connection is secure.
pub fn cookie_name(config: &Config) -> &'static str {
    if config.secure { "__Host-findway" } else { "findway" }
}

/// The session token a request carries.
pub fn token_of(headers: &HeaderMap, config: &Config) -> Option<String> {
    cookie(headers, cookie_name(config))
}

/// The value of a cookie.
pub fn cookie(headers: &HeaderMap, name: &str) -> Option<String> {
    let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|line| line.split("; ")).find_map(|pair| {
        let (key, value) = pair.split_once('=')?;
        (key == name).then(|| value.to_owned())
    })
}

/// A `Set-Cookie` line; `max_age_s` 0 takes the cookie away.
pub fn set_cookie(config: &Config, name: &str, value: &str, max_age_s: i64) -> String {
    let secure = if config.secure { "; Secure" } else { "" };
    format!("{name}={value}; Path=/; HttpOnly; SameSite=Lax; Max-Age={max_age_s}{secure}")
}

/// 32 random bytes in URL-safe letters.
pub fn fresh_token() -> Result<String, getrandom::Error> {
    use base64::Engine;
    let mut bytes = [0u8; 32];
    getrandom::fill(&mut bytes)?;
    Ok(base64::engine::general_purpose::URL_SAFE_NO_PAD.encode(bytes))
}

/// What is kept of a token.
pub fn digest(token: &str) -> Vec<u8> {
    sha2::Sha256::digest(token.as_bytes()).to_vec()
}
