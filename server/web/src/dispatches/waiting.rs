//! What of the dispatches waits for somebody: on Today, on the recipient’s desk, in the daily letter.
use super::index::standing;
use super::{Known, view};
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::planning::today::{Section, TodayLine};
use chrono::{Duration, NaiveDate};
use domain::dispatch::Way;
use domain::permission::{Action, Actor};
use store::Tx;

/// How far ahead a return is spoken of.
const AHEAD: Duration = Duration::days(7);
/// After so many days somebody asks whether a parcel arrived (common practice, no source).
const ARRIVES_WITHIN: Duration = Duration::days(7);

/// What is due back or overdue, what nobody acknowledged, and what came back otherwise than it went.
pub(crate) async fn sections(ctx: &Ctx, tx: &mut Tx) -> Answer<Vec<Section>> {
    let today = ctx.now.date_naive();
    let (mut out, mut differing) = (Vec::new(), Vec::new());
    for known in open(tx, &ctx.actor).await? {
        let asked = known.dispatch.due_on <= today + AHEAD
            || !known.has_arrived() && known.dispatch.sent_on + ARRIVES_WITHIN < today;
        if known.is_out() && asked {
            out.push(line(&known, today));
        }
        differing.extend(gaps(&known));
    }
    Ok(vec![
        Section::whole("Out of the house", out),
        Section::whole("Differences to be explained", differing),
    ])
}

/// The dispatches not settled in every project where this person dispatches, the soonest due first.
pub(crate) async fn open(tx: &mut Tx, actor: &Actor) -> Answer<Vec<Known>> {
    let mut all = Vec::new();
    for member in actor.projects(Action::DispatchFinds) {
        for dispatch in store::dispatches::list_open(tx, member.project).await? {
            all.extend(Known::visible(tx, actor, dispatch).await?);
        }
    }
    all.sort_by_key(|known| known.dispatch.due_on);
    Ok(all)
}

fn line(known: &Known, today: NaiveDate) -> TodayLine {
    let (why, overdue) = standing(known, today);
    TodayLine {
        href: links::dispatch(known.dispatch.id),
        number: format!("D{}", known.dispatch.serial),
        what: format!("with {}: {}", known.dispatch.recipient, view::contents(known)),
        why,
        overdue,
        project: known.dispatch.project_code.clone(),
        ..TodayLine::default()
    }
}

fn gaps(known: &Known) -> Vec<TodayLine> {
    let of = |item: &store::dispatches::items::Item| {
        let account = known.account(item);
        let (gap, way) = match (account.gap_there(), account.gap()) {
            (Some(gap), _) => (gap, Way::There),
            (None, Some(gap)) => (gap, Way::Back),
            (None, None) => return None,
        };
        Some(TodayLine {
            href: links::dispatch(known.dispatch.id),
            number: item.number.clone(),
            what: format!("{}, D{}, {}", item.object_type, known.dispatch.serial, known.dispatch.recipient),
            why: view::gap(gap, way),
            overdue: false,
            project: known.dispatch.project_code.clone(),
            ..TodayLine::default()
        })
    };
    known.items.iter().filter_map(of).collect()
}

/// A parcel on the desk of whoever it was sent to.
pub(crate) struct Parcel {
    pub href: String,
    pub name: String,
    pub contents: String,
    pub stands: String,
    pub overdue: bool,
    /// What to do about it: address and words.
    pub button: Option<(String, &'static str)>,
}

/// What was sent to this person and is not settled.
pub(crate) async fn parcels(ctx: &Ctx, tx: &mut Tx) -> Answer<Vec<Parcel>> {
    let today = ctx.now.date_naive();
    let mut parcels = Vec::new();
    for dispatch in store::dispatches::list_of_recipient(tx, ctx.actor.person).await? {
        let known = match ctx.actor.may(Action::AnswerDispatch, dispatch.project_id) {
            true if dispatch.settled_at.is_none() => Known::visible(tx, &ctx.actor, dispatch).await?,
            _ => None,
        };
        parcels.extend(known.map(|known| parcel(&known, today)));
    }
    Ok(parcels)
}

fn parcel(known: &Known, today: NaiveDate) -> Parcel {
    let differs = known.items.iter().find(|item| {
        let account = known.account(item);
        account.gap().is_some() || account.gap_there().is_some()
    });
    let (stands, overdue) = standing(known, today);
    let id = known.dispatch.id;
    Parcel {
        href: links::dispatch(id),
        name: known.dispatch.name(),
        contents: view::contents(known),
        stands,
        overdue,
        button: match differs {
            Some(item) => Some((links::explanation_new(item.id), "Explain the difference")),
            None if known.is_out() && !known.has_arrived() => {
                Some((links::receipt_new(id, Way::There), "Say what arrived"))
            }
            None => None,
        },
    }
}

/// What is overdue or due back before the day ends, for the daily letter: words and address.
pub(crate) async fn due_back(tx: &mut Tx, actor: &Actor, today: NaiveDate) -> Answer<Vec<(String, String)>> {
    let due =
        open(tx, actor).await?.into_iter().filter(|known| known.is_out() && known.dispatch.due_on <= today);
    let line = |known: Known| {
        let (stands, _) = standing(&known, today);
        let words = format!(
            "{}, with {}: {}\n  {stands}",
            known.dispatch.name(),
            known.dispatch.recipient,
            view::contents(&known)
        );
        (words, links::dispatch(known.dispatch.id))
    };
    Ok(due.map(line).collect())
}
