//! What an assignment shares and what was agreed, in words.
use crate::filters::show_measure;
use domain::review::share::{FeeFor, Shares};
use store::review::assignments::Assignment;

/// “4.5 days”, “1 day”.
pub(super) fn days(days: f64) -> String {
    let unit = if (days - 1.0).abs() < 1e-9 { "day" } else { "days" };
    format!("{} {unit}", show_measure(days))
}

/// An amount of money: “1,250.00 EUR”.
pub(super) fn money(amount: f64, currency: &str) -> String {
    format!("{amount:.2} {currency}").trim_end().to_owned()
}

/// “4.5 days, 310.00 EUR for each day”; empty where nothing was agreed.
pub(super) fn agreed(agreed_days: Option<f64>, fee: Option<(f64, FeeFor, &str)>) -> String {
    let fee = fee.map(|(fee, base, currency)| format!("{} {}", money(fee, currency), base.label()));
    [agreed_days.map(days), fee].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The same of an assignment.
pub(super) fn agreed_for(one: &Assignment) -> String {
    agreed(one.agreed_days, one.fee.map(|fee| (fee, one.fee_for, one.currency.as_str())))
}

/// What is shared, in words.
pub(super) fn shared(shares: Shares) -> String {
    let parts: Vec<&str> = shares.parts().map(|part| part.label()).collect();
    if parts.is_empty() { "nothing but what the register says".into() } else { parts.join("; ") }
}
