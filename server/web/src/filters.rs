//! How values read on a page.
use askama::{Values, filter_fn};
use chrono::NaiveDate;
use domain::Instant;

/// “25 Nov 2026”.
#[filter_fn]
pub fn day(date: &NaiveDate, _: &dyn Values) -> askama::Result<String> {
    Ok(show_day(*date))
}

/// The day of an instant, in universal time: “25 Nov 2026”.
#[filter_fn]
pub fn on_day(at: &Instant, _: &dyn Values) -> askama::Result<String> {
    Ok(show_day(at.date_naive()))
}

/// “25 Nov 2026, 14:05”, in universal time.
#[filter_fn]
pub fn moment(at: &Instant, _: &dyn Values) -> askama::Result<String> {
    Ok(show_moment(*at))
}

/// “25 Nov 2026”.
pub fn show_day(date: NaiveDate) -> String {
    date.format("%-d %b %Y").to_string()
}

/// “25 Nov 2026, 14:05”, in universal time.
pub fn show_moment(at: Instant) -> String {
    at.format("%-d %b %Y, %H:%M").to_string()
}

/// A number with its thousands apart: “12 345”.
pub fn show_count(n: i64) -> String {
    let digits = n.unsigned_abs().to_string();
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(c);
    }
    if n < 0 { format!("−{out}") } else { out }
}

/// A measure without needless zeros: 12.50 is “12.5”.
pub fn show_measure(value: f64) -> String {
    // the sum of nothing is a nought with a minus
    let text = format!("{:.3}", value + 0.0);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A word as part of a class name.
#[filter_fn]
pub fn slug(word: &str, _: &dyn Values) -> askama::Result<String> {
    Ok(domain::words::fold(word).replace(' ', "-"))
}
