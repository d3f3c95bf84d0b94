//! The standing settlement on the find page: for whoever reads opinions, and for the authors it was made of.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use domain::review::Reopened;
use domain::review::share::Share;
use store::Tx;
use store::finds::Find;
use store::review::reopenings::{self, Reopening};
use store::review::settlements::{self, Settlement};

/// The standing settlement in a sentence, and what opened it again.
pub(super) struct Settled {
    pub sentence: String,
    pub reopened: Vec<String>,
}

/// The settlement as far as this person may read it.
pub(super) async fn of(
    tx: &mut Tx,
    find: &Find,
    (ctx, reads_opinions): (&Ctx, bool),
) -> Answer<Option<Settled>> {
    let all = settlements::list_of_find(tx, find.id).await?;
    let Some(made) = all.into_iter().find(|s| s.superseded_at.is_none()) else { return Ok(None) };
    let authors = reopenings::list_authors(tx, made.id).await?;
    if !reads_opinions && authors.iter().all(|author| author.id != ctx.actor.person) {
        return Ok(None);
    }
    let what: Vec<&str> = [made.identification.as_str(), made.date_words.as_str()]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect();
    let reopened = reopenings::list_of_find(tx, find.id).await?;
    let reopened = reopened.into_iter().filter(|one| one.settlement_id == made.id);
    // what was seen on an X-ray is told where X-rays are
    let said = |one: Reopening| match one.cause {
        Reopened::Xray if !find.seen.has(Share::Xrays) => one.cause.to_string(),
        _ => one.said(),
    };
    Ok(Some(Settled {
        sentence: sentence(&made, &what.join(", ")),
        reopened: reopened
            .map(|one| format!("Open again since {}, {}", show_day(one.happened_at.date_naive()), said(one)))
            .collect(),
    }))
}

/// “Settled as agreed: beaker, late C14. The foot ring.”
fn sentence(made: &Settlement, what: &str) -> String {
    let colon = if what.is_empty() { "" } else { ": " };
    let mut letters = made.reason.chars();
    let reason: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
    format!("Settled as {}{colon}{what}. {reason}", made.outcome.label())
}
