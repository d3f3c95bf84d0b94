//! Odile's tray: finds laid together for one entry.
use super::Site;
use crate::vessenholt::cast::ODILE;
use domain::stages::Stage;
use store::finds::progress;
use store::{Result, Tx};

/// Finds on the tray.
const LAID: usize = 3;

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let odile = site.person(ODILE);
    let mut laid = 0;
    for find in site.finds.iter().filter(|find| !find.told && !find.bulk) {
        let (stage, _) = progress::find_progress(tx, find.id).await?.current();
        if stage == Stage::DryClean && laid < LAID {
            store::finds::update_assignee(tx, find.id, Some(odile)).await?;
            store::tray::insert(tx, odile, find.id, site.now).await?;
            laid += 1;
        }
    }
    Ok(())
}
