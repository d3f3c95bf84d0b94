//! A later look at the spot of a test, a day on.
use super::enter::find_entry;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_moment;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::RecordId;
use domain::permission::may_record;
use domain::refusal::Refusal;
use domain::spot_tests::recheck_from;
use domain::stages::{Stage, StageMark, StageState};
use domain::work::EffectOnOriginal;
use store::Tx;
use store::finds::{Find, progress};
use store::journal;
use store::work::records;
use store::work::spot_tests::{self, NewLook, SpotTest};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct LookForm {
    effect_on_original: String,
    seen: String,
    looked_by: String,
}

#[derive(Template)]
#[template(path = "work/recheck.html")]
struct RecheckPage {
    chrome: Chrome,
    number: String,
    test: usize,
    about: Vec<(&'static str, String)>,
    action: String,
    back: String,
    form: LookForm,
    effects: &'static [EffectOnOriginal],
    errors: Errors,
}

/// A test with the finds it was made on, which this person may see.
struct Known {
    test: SpotTest,
    finds: Vec<Find>,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<RecordId>) -> Answer {
    let known = known(&ctx, &mut ctx.read().await?, id).await?;
    let form = LookForm { looked_by: ctx.actor.name.clone(), ..LookForm::default() };
    Ok(ok(page(&ctx, &known, form, Errors::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<RecordId>, posted: Posted<LookForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = known(&ctx, &mut tx, id).await?;
    let look = match posted.form.parse(&ctx, &known) {
        Ok(look) => look,
        Err(errors) => return Ok(again(page(&ctx, &known, posted.form, errors)).into_response()),
    };
    spot_tests::insert_look(&mut tx, &look, ctx.actor.person, ctx.now).await?;
    let effect = look.effect_on_original;
    for find in &known.finds {
        let said = if look.seen.is_empty() { String::new() } else { format!("; {}", look.seen) };
        let words = format!(
            "looked again at spot test {}, {}: {}{said}",
            known.test.number,
            known.test.row.mixture,
            effect.label()
        );
        journal::append(&mut tx, &find_entry(&ctx, find, "looked", words), ctx.now).await?;
        if effect != EffectOnOriginal::None {
            reopen(&ctx, &mut tx, find).await?;
        }
    }
    let to = known.finds.first().map_or_else(|| links::TODAY.to_owned(), |find| links::spot_tests(find.id));
    let notice = if effect == EffectOnOriginal::None {
        "The later look is recorded."
    } else {
        "The later look is recorded. This mixture is no longer accepted for the find."
    };
    ctx.finish(tx, &posted, &to, notice).await
}

/// When no accepted mixture is left, the stage of testing is in hand again, unless the wet cleaning is behind the find.
async fn reopen(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<()> {
    let facts = progress::find_facts(tx, find.id).await?;
    let settled = |stage| facts.progress.is_settled(stage);
    if facts.accepted_mixtures.is_empty() && settled(Stage::SpotTest) && !settled(Stage::WetClean) {
        let reason = "a later look showed harm".to_owned();
        let mark = StageMark { stage: Stage::SpotTest, state: StageState::InHand, quantity_done: 0, reason };
        progress::mark(tx, find.id, &mark, ctx.now).await?;
    }
    Ok(())
}

async fn known(ctx: &Ctx, tx: &mut Tx, id: RecordId) -> Answer<Known> {
    let mut finds = Vec::new();
    for (find, _) in records::list_finds(tx, id).await? {
        finds.push(ctx.find(tx, find).await?);
    }
    let first = finds.first().ok_or(AppError::NotFound)?;
    let tests = spot_tests::list_of_find(tx, first.id).await?;
    let test = tests.into_iter().find(|t| t.row.record_id == id && t.row.superseded_at.is_none());
    Ok(Known { test: test.ok_or(AppError::NotFound)?, finds })
}

impl LookForm {
    fn parse(&self, ctx: &Ctx, known: &Known) -> Result<NewLook, Errors> {
        let (mut errors, test) = (Errors::default(), &known.test);
        let mut finds = known.finds.iter();
        if finds.any(|f| !may_record(&ctx.actor, f.project_id, Stage::SpotTest, f.bulk, &f.material)) {
            errors.add("looked_by", Refusal::NotYours.to_string());
        }
        let effect = errors.choice("effect_on_original", &self.effect_on_original);
        let seen = errors.text("seen", &self.seen);
        let looked_by = errors.required("looked_by", &self.looked_by, "Say who looked.");
        if effect.is_some_and(|effect| effect != EffectOnOriginal::None) && seen.is_empty() {
            errors.add("seen", "Say what is seen at the spot.");
        }
        if let Some(due) = test.row.recheck_due_at
            && ctx.now < recheck_from(due)
        {
            let from = show_moment(recheck_from(due));
            errors.add(
                "effect_on_original",
                format!("Some harm shows late: the look counts from {from} on. Look again then."),
            );
        }
        match effect {
            Some(effect_on_original) if errors.is_empty() => {
                Ok(NewLook { record: test.row.record_id, effect_on_original, seen, looked_by })
            }
            _ => Err(errors),
        }
    }
}

fn page(ctx: &Ctx, known: &Known, form: LookForm, errors: Errors) -> RecheckPage {
    let row = &known.test.row;
    let numbers: Vec<&str> = known.finds.iter().map(|find| find.number.as_str()).collect();
    let mut about = vec![
        ("Site", row.site.clone()),
        ("Mixture", row.mixture.clone()),
        ("Tested", show_moment(row.recorded_at)),
        ("Effect on the original", row.effect_on_original.label().to_owned()),
        ("Decision", row.decision.label().to_owned()),
        ("Later look", super::test_words::looks(&known.test)),
    ];
    about.retain(|(_, words)| !words.is_empty());
    RecheckPage {
        chrome: match known.finds.first() {
            Some(find) => ctx.chrome_in(find.project_id),
            None => ctx.chrome(),
        },
        number: numbers.join(", "),
        test: known.test.number,
        about,
        action: links::recheck(row.record_id),
        back: known.finds.first().map_or_else(|| links::TODAY.to_owned(), |find| links::spot_tests(find.id)),
        form,
        effects: EffectOnOriginal::ALL,
        errors,
    }
}
