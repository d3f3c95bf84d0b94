//! The bench, its tray, shared tablets and PINs.
use domain::ids::{PersonId, TabletId};

pub const BENCH: &str = "/bench";
/// Takes what a scanner or a person typed.
pub const SCAN: &str = "/bench/scan";
/// Lays a find on the tray.
pub const TRAY: &str = "/bench/tray";
/// Takes one find off the tray.
pub const TRAY_REMOVAL: &str = "/bench/tray/removal";
/// Takes everything off the tray.
pub const TRAY_EMPTYING: &str = "/bench/tray/emptying";
/// Says that somebody is still there.
pub const AWAKE: &str = "/bench/awake";
/// Locks a shared tablet, for the next person.
pub const LOCK: &str = "/bench/lock";
/// Whether this browser is shared.
pub const TABLETS: &str = "/bench/tablets";
pub const ACCOUNT_PIN: &str = "/account/pin";
pub const ACCOUNT_PIN_REMOVAL: &str = "/account/pin/removal";

/// The bench with the scan field set to `open` or `tray`.
pub fn bench(mode: &str) -> String {
    format!("{BENCH}?mode={mode}")
}

/// Ends the sharing of a tablet.
pub fn tablet_ending(id: TabletId) -> String {
    format!("{TABLETS}/{id}/ending")
}

/// The page that says a shared tablet is locked; `next` is where it leads in the end.
pub fn locked(next: &str) -> String {
    format!("/bench/locked{}", next_query(next))
}

/// Where a person types the PIN.
pub fn locked_hand(id: PersonId, next: &str) -> String {
    format!("/bench/locked/{id}{}", next_query(next))
}

/// The sign-in page for something a PIN does not reach.
pub fn sign_in_for(next: &str) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("next", next).append_pair("ended", "bench");
    format!("{}?{}", super::SIGN_IN, query.finish())
}

fn next_query(next: &str) -> String {
    if next == "/" {
        return String::new();
    }
    let next: String = form_urlencoded::byte_serialize(next.as_bytes()).collect();
    format!("?next={next}")
}
