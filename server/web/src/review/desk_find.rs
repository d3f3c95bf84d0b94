//! What the desk shows beside the form of an opinion, as far as it is shared.
use super::thread_view::{ThreadView, threads};
use crate::context::Ctx;
use crate::contexts::shared::{ContextCard, card};
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::work::{AssessmentView, ExaminationView, latest_assessment};
use domain::ids::FindId;
use domain::review::asking::LineKind;
use domain::review::share::Share;
use store::Tx;
use store::finds::Find;
use store::review::companions;
use store::review::desk::{self, Stop};
use store::work::records::{self, Record};

/// The find beside the form.
pub(super) struct Beside {
    /// What the register says of it.
    pub facts: Vec<(&'static str, String)>,
    pub conservation: Option<Conservation>,
    pub examined: Vec<ExaminationView>,
    pub context: Option<ContextCard>,
    /// Whether something is left out of the context’s date because the own opinion is still to come.
    pub is_blind: bool,
    pub threads: Vec<ThreadView>,
    pub asks: &'static [LineKind],
}

/// The conservation record in short.
pub(super) struct Conservation {
    pub assessed: Option<AssessmentView>,
    /// One line for each record that stands.
    pub work: Vec<String>,
}

impl Beside {
    pub async fn of(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<Self> {
        let unspoken = companions::list_unspoken(tx, ctx.actor.person).await?;
        Ok(Self {
            facts: crate::finds::facts::lines(ctx, find),
            conservation: conservation(tx, find).await?,
            examined: ExaminationView::all_of(tx, find).await?,
            context: card(ctx, tx, find, &unspoken).await?,
            is_blind: unspoken.contains(&find.id),
            threads: threads(ctx, tx, find).await?,
            asks: LineKind::ASKED,
        })
    }
}

async fn conservation(tx: &mut Tx, find: &Find) -> Answer<Option<Conservation>> {
    if !find.seen.has(Share::Conservation) {
        return Ok(None);
    }
    let records = records::list_of_find(tx, find.id).await?;
    let standing = records.iter().filter(|r| r.superseded_at.is_none() && !r.stage.only_looks());
    let assessed = latest_assessment(tx, find.id).await?;
    Ok(Some(Conservation { assessed, work: standing.map(line).collect() }))
}

/// “wet clean, 3 Sep 2031: ethanol 50 %, soil gone, gilding kept”.
fn line(record: &Record) -> String {
    let said = [record.method.as_str(), record.materials.as_str(), record.outcome.as_str()];
    let said: Vec<&str> = said.into_iter().filter(|words| !words.is_empty()).collect();
    let head = format!("{}, {}", record.stage.label(), show_day(record.done_on));
    if said.is_empty() { head } else { format!("{head}: {}", said.join(", ")) }
}

/// Where a find stands among those of the desk.
pub(super) struct Series {
    /// Address and number.
    pub before: Option<(String, String)>,
    pub after: Option<(String, String)>,
    pub words: String,
}

/// The series, where the find is on the desk and not alone there.
pub(super) async fn series(ctx: &Ctx, tx: &mut Tx, find: FindId) -> Answer<Option<Series>> {
    let stops = desk::list_series(tx, ctx.actor.person).await?;
    let Some(at) = stops.iter().position(|stop| stop.id == find).filter(|_| stops.len() > 1) else {
        return Ok(None);
    };
    let way = |stop: &Stop| (links::opinion_form(stop.id), stop.number.clone());
    Ok(Some(Series {
        before: at.checked_sub(1).and_then(|at| stops.get(at)).map(way),
        after: stops.get(at + 1).map(way),
        words: format!("{} of {}", at + 1, stops.len()),
    }))
}

/// Where it goes on after an opinion was submitted: the next find of the desk, or the desk.
pub(super) async fn next_address(ctx: &Ctx, tx: &mut Tx, find: FindId) -> Answer<String> {
    let next = series(ctx, tx, find).await?.and_then(|series| series.after);
    Ok(next.map_or_else(|| links::MY_FINDS.to_owned(), |(href, _)| href))
}
