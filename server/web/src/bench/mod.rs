//! The bench: what is due, in hand and next, the scan field, the tray, and the tablet that several people share.
//!
//! - `scan`: a code or a number becomes a find
//! - `tray`: finds laid together to be treated in one entry
//! - `tablet`: makes a browser a shared tablet
//! - `hand`: the locked tablet and the PIN that opens it
mod hand;
mod lines;
pub(crate) mod scan;
mod show;
mod tablet;
mod tray;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get(links::BENCH, Action::RecordWork, show::show)
        .post(links::SCAN, Action::RecordWork, scan::create)
        .post(links::TRAY, Action::RecordWork, tray::create)
        .post(links::TRAY_REMOVAL, Action::RecordWork, tray::remove)
        .post(links::TRAY_EMPTYING, Action::RecordWork, tray::empty)
        .get(links::TABLETS, Action::ShareTablet, tablet::index)
        .post(links::TABLETS, Action::ShareTablet, tablet::create)
        .post("/bench/tablets/{tablet}/ending", Action::ShareTablet, tablet::end)
        .get(links::AWAKE, Action::OwnStart, hand::awake)
        .post(links::LOCK, Action::OwnStart, hand::lock)
        .get("/bench/locked", Action::Public, hand::index)
        .get("/bench/locked/{person}", Action::Public, hand::edit)
        .post("/bench/locked/{person}", Action::Public, hand::open)
}
