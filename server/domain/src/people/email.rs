//! E-mail addresses as they are kept: trimmed and in lower case.

/// The address as it is stored and compared, or `None` when no letter could reach it.
///
/// ```
/// assert_eq!(domain::people::email::normal(" Bea@Vessenholt.Example "), Some("bea@vessenholt.example".into()));
/// assert_eq!(domain::people::email::normal("bea"), None);
/// ```
pub fn normal(typed: &str) -> Option<String> {
    let address = typed.trim().to_lowercase();
    let (local, host) = address.split_once('@')?;
    let plain = !address.contains(|c: char| c.is_whitespace() || c.is_control() || "<>,;\"".contains(c));
    let whole = !local.is_empty()
        && host.contains('.')
        && !host.starts_with('.')
        && !host.ends_with('.')
        && !host.contains('@');
    (plain && whole && address.len() <= 254).then_some(address)
}
