//! Where a find is when it is not in the house, and where it was.
use super::May;
use crate::dispatches::view;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use domain::Instant;
use domain::dispatch::Amount;
use store::Tx;
use store::dispatches::items::{self, Out, Travelled};
use store::finds::Find;

/// Where it is out, one sentence a dispatch; for the project’s people.
pub(super) async fn out(tx: &mut Tx, (find, may): (&Find, &May), now: Instant) -> Answer<Vec<String>> {
    if !may.team {
        return Ok(Vec::new());
    }
    let out = items::list_out(tx, find.id).await?;
    let sentence = |out: &Out| {
        let part = match out.outstanding() {
            pieces if pieces > 0 && pieces < find.quantity => {
                format!("{} of {} pieces are out", pieces, find.quantity)
            }
            _ => "Out".to_owned(),
        };
        let due = view::due(out.due_on, now.date_naive());
        format!("{part} with {} since {}, {due} (D{}).", out.recipient, show_day(out.sent_on), out.serial)
    };
    let away = out.iter().filter(|out| out.complete_at.is_none()).map(sentence);
    let differs = out.iter().filter(|out| out.complete_at.is_some()).map(|out| {
        format!(
            "It came back from {} otherwise than it went (D{}); that is not explained yet.",
            out.recipient, out.serial
        )
    });
    Ok(away.chain(differs).collect())
}

/// Every dispatch it was on; for the project’s people.
pub(super) async fn dispatches(tx: &mut Tx, (find, may): (&Find, &May)) -> Answer<Vec<(String, String)>> {
    if !may.team {
        return Ok(Vec::new());
    }
    let all = items::list_of_find(tx, find.id).await?;
    Ok(all.into_iter().map(|one| (links::dispatch(one.dispatch_id), words(&one))).collect())
}

fn words(one: &Travelled) -> String {
    let sent = view::amount(Amount { pieces: one.quantity, mass_g: one.mass_g });
    let back = one.back.map(|pieces| view::amount(Amount { pieces, mass_g: one.back_g }));
    let stands = match (back, one.complete_at, one.settled_at) {
        (Some(back), _, Some(_)) => format!("back {back}"),
        (Some(back), Some(_), None) => format!("back {back}, to be explained"),
        (Some(back), None, _) => format!("back so far {back}"),
        (None, None, _) => format!("due back {}", show_day(one.due_on)),
        (None, Some(_), _) => "nothing of it came back".to_owned(),
    };
    format!("D{}, to {}, {}: {sent}; {stands}", one.serial, one.recipient, show_day(one.sent_on))
}
