//! A lead’s answer to a proposed cleaning level, with the evidence before it.
use super::bench_view::BenchView;
use super::enter::find_entry;
use super::{level_mail, step_words};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::form::{Asked, Errors, Posted};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::RecordId;
use domain::stages::{Stage, StageMark, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::journal;
use store::work::records::{self, Record};
use store::work::{levels, spot_tests};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AnswerForm {
    /// `authorised` or `refused`.
    answer: String,
    words: String,
}

#[derive(Template)]
#[template(path = "work/authorisation.html")]
struct AuthorisationPage {
    chrome: Chrome,
    title: String,
    action: String,
    /// Address, number and words of each find.
    finds: Vec<(String, String, String)>,
    facts: Vec<(&'static str, String)>,
    bench: BenchView,
    /// Number, mixture, effects and decision of each test that speaks for it.
    tests: Vec<TestLine>,
    pictures: Vec<Picture>,
    /// Whether it still waits.
    waiting: bool,
    answer: String,
    words: String,
    errors: Errors,
}

/// A test that speaks for a level.
struct TestLine {
    number: usize,
    site: String,
    mixture: String,
    soiling: String,
    original: &'static str,
    decision: &'static str,
}

/// A level with the finds it is for.
struct Known {
    record: Record,
    finds: Vec<Find>,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<RecordId>) -> Answer {
    let mut tx = ctx.read().await?;
    let known = known(&ctx, &mut tx, id).await?;
    Ok(ok(page(&ctx, &mut tx, known, String::new(), Errors::default()).await?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path(id): Path<RecordId>,
    Asked(asked): Asked<AnswerForm>,
    posted: Posted<AnswerForm>,
) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = known(&ctx, &mut tx, id).await?;
    // Today answers by one button, whose address says how.
    let from_today = posted.form.answer.is_empty() && !asked.answer.is_empty();
    let answer = if from_today { asked.answer } else { posted.form.answer.clone() };
    let mut errors = Errors::default();
    let words = errors.text("words", &posted.form.words);
    let (answer, state, told) = match answer.as_str() {
        "authorised" => ("authorised", StageState::Done, "authorised"),
        "refused" => ("refused", StageState::InHand, "refused"),
        _ => return Err(AppError::Unreadable("Choose to authorise or to refuse.".into())),
    };
    if answer == "refused" && words.is_empty() {
        errors.add("words", "Say why it is refused, so that another level can be proposed.");
    }
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &mut tx, known, posted.form.words, errors).await?).into_response());
    }
    levels::update_answer(&mut tx, id, answer, ctx.actor.person, ctx.now).await?;
    levels::update_answer_words(&mut tx, id, &words).await?;
    let level = known.record.level.clone().unwrap_or_default();
    let said = if words.is_empty() { String::new() } else { format!("; {words}") };
    for find in &known.finds {
        let mark = StageMark {
            stage: Stage::CleaningLevel,
            state,
            quantity_done: find.quantity,
            reason: String::new(),
        };
        progress::mark(&mut tx, find.id, &mark, ctx.now).await?;
        let entry = find_entry(&ctx, find, answer, format!("{told} the cleaning level: {level}{said}"));
        journal::append(&mut tx, &entry, ctx.now).await?;
    }
    level_mail::answer(&ctx, &mut tx, id, &known.finds, (told, &words)).await?;
    let to = known.finds.first().filter(|_| !from_today).map(|find| links::find(find.id));
    let to = to.unwrap_or_else(|| links::TODAY.to_owned());
    ctx.finish(tx, &posted, &to, &format!("You {told} the cleaning level.")).await
}

async fn known(ctx: &Ctx, tx: &mut Tx, id: RecordId) -> Answer<Known> {
    let record = records::find(tx, id).await?.filter(|r| r.level.is_some() && r.superseded_at.is_none());
    let record = record.ok_or(AppError::NotFound)?;
    ctx.allow(record.project_id)?;
    let mut finds = Vec::new();
    for (find, _) in records::list_finds(tx, id).await? {
        finds.push(ctx.find(tx, find).await?);
    }
    Ok(Known { record, finds })
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    known: Known,
    words: String,
    errors: Errors,
) -> Answer<AuthorisationPage> {
    let Known { record, finds } = known;
    let first = finds.first().ok_or(AppError::NotFound)?;
    let tests = spot_tests::list_of_find(tx, first.id).await?;
    let images = store::images::list_seen(tx, first).await?;
    let of_records = store::images::list_of_records(tx, first.id).await?;
    let reasoned = levels::list_reasoned(tx, first.id).await?.into_iter().find(|l| l.record == record.id);
    let spoken: Vec<RecordId> = reasoned.as_ref().map(|l| l.reasons.tests.clone()).unwrap_or_default();
    let speaking = tests.iter().filter(|test| spoken.contains(&test.row.record_id));
    let lines: Vec<TestLine> = speaking.map(TestLine::of).collect();
    let pictures = of_records.iter().filter(|image| image.record == record.id);
    let pictures = pictures.map(|image| Picture::of_record(image, &first.number)).collect();
    let answer = match record.level_answer.as_deref() {
        Some("waiting") | None => String::new(),
        Some(answer) => answer.to_owned(),
    };
    Ok(AuthorisationPage {
        chrome: ctx.chrome_in(record.project_id),
        title: finds.iter().map(|find| find.number.as_str()).collect::<Vec<_>>().join(", "),
        action: links::authorisation(record.id),
        finds: finds.iter().map(|f| (links::find(f.id), f.number.clone(), f.object_type.clone())).collect(),
        bench: BenchView::of(first, &images, &tests),
        facts: facts(&record, reasoned.as_ref()),
        tests: lines,
        pictures,
        waiting: answer.is_empty() && record.finished,
        answer,
        words,
        errors,
    })
}

fn facts(record: &Record, reasoned: Option<&levels::Reasoned>) -> Vec<(&'static str, String)> {
    let text = |words: &Option<String>| words.clone().unwrap_or_default();
    let mut lines = vec![
        ("Level", text(&record.level)),
        ("Layers to keep", text(&record.layers_to_keep)),
        ("Stop-point", text(&record.stop_point)),
        ("Decided by", text(&record.decided_by)),
    ];
    lines.extend(reasoned.map(|level| step_words::of_level(level, &[])).unwrap_or_default());
    lines.push(("Proposed", format!("{}, {}", show_day(record.done_on), record.done_by)));
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

impl TestLine {
    fn of(test: &spot_tests::SpotTest) -> Self {
        Self {
            number: test.number,
            site: test.row.site.clone(),
            mixture: test.row.mixture.clone(),
            soiling: test.row.effect_on_soiling.clone(),
            original: test.worst_effect().label(),
            decision: test.row.decision.label(),
        }
    }
}
