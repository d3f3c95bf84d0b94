//! A record of work on one find or several treated together.
use super::again::{self, AgainForm};
use super::bench_view::{self, BenchView};
use super::beyond;
use super::enter::{self, Entered, Stopped};
use super::form::RecordForm;
use super::forms::{Bench, Forms};
use super::level_form::LevelForm;
use super::step_form::{self, StepForm};
use super::test_form::TestForm;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::finds::{Chosen, cautions, load_chosen};
use crate::form::Asked;
use crate::form::{Errors, Posted};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{ImageId, RecordId};
use domain::stages::Stage;
use domain::treatment::Basis;
use domain::work::{EffectOnOriginal, TestDecision};
use store::Tx;
use store::finds::Find;
use store::work::records::Record;
use store::work::{records, standing};

/// Finds that one record may cover.
const MOST_FINDS: usize = 200;
/// Reasons told before anything is typed.
const MOST_FORESEEN: usize = 10;
/// Finds whose photographs are offered to a record.
const MOST_PICTURED: usize = 20;

#[derive(Template)]
#[template(path = "work/record_new.html")]
struct RecordPage {
    chrome: Chrome,
    stage: Stage,
    action: String,
    back: String,
    form: RecordForm,
    test: TestForm,
    level: LevelForm,
    step: StepForm,
    asks: Asks,
    bench: BenchView,
    /// This form with everything of the last record of its kind.
    again: Option<String>,
    /// Words, address and words of the way that says more.
    deeper: Option<(&'static str, String, &'static str)>,
    errors: Errors,
    stopped: Vec<StoppedLine>,
    /// What would stop it whatever is typed.
    foreseen: Vec<StoppedLine>,
    finds: Vec<Chosen>,
    pictures: Vec<PictureChoice>,
    cautions: Vec<String>,
    standing: Vec<StandingChoice>,
    effects: &'static [EffectOnOriginal],
    decisions: &'static [TestDecision],
}

/// What the form asks besides the words of every record.
struct Asks {
    cleaning: bool,
    materials: bool,
    bases: &'static [Basis],
}

/// A standing authorisation to choose.
struct StandingChoice {
    id: String,
    words: String,
}

/// A photograph to tick.
struct PictureChoice {
    picture: Picture,
    number: String,
    ticked: bool,
}

/// Why a find was stopped, with the way on.
pub(crate) struct StoppedLine {
    pub number: String,
    pub href: String,
    pub why: String,
    pub way_on: Option<(String, String)>,
    pub lift: Option<String>,
}

pub(super) async fn new(
    ctx: Ctx,
    Path((code, stage)): Path<(String, String)>,
    Asked(mut form): Asked<RecordForm>,
    Asked(asked): Asked<AgainForm>,
) -> Answer {
    let stage = record_stage(&stage)?;
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let finds = load_chosen(&ctx, &mut tx, project, &form.find, MOST_FINDS).await?;
    let mut forms = Forms::default();
    let bench = Bench { project, stage, finds: &finds, images: &[], tests: &[] };
    let old = corrected(&mut tx, &form, &finds).await?;
    if let Some(old) = &old {
        form = RecordForm { find: form.find, ..RecordForm::of(old) };
        if asked.close == "yes" {
            form.finished = "yes".into();
        }
        forms.offer_corrected(&mut tx, &bench, old.id).await?;
        if asked.close == "yes" && old.done_on == ctx.now.date_naive() {
            forms.step.offer_times(None, ctx.now);
        }
    }
    let last = records::find_last_words(&mut tx, project, stage, ctx.actor.person).await?.unwrap_or_default();
    let or = |typed: &str, offered: String| if typed.is_empty() { offered } else { typed.to_owned() };
    form.done_by = or(&form.done_by, or(&last.done_by, ctx.actor.name.clone()));
    form.done_on = or(&form.done_on, ctx.now.date_naive().to_string());
    form.method = or(&form.method, last.method);
    form.materials = or(&form.materials, last.materials);
    form.finished = or(&form.finished, "yes".into());
    if let (true, Ok(old)) = (form.image.is_empty(), form.supersedes.parse::<RecordId>()) {
        for find in &finds {
            let of_records = store::images::list_of_records(&mut tx, find.id).await?;
            form.image.extend(
                of_records.iter().filter(|line| line.record == old).map(|line| line.image.to_string()),
            );
        }
    }
    forms.record = form;
    if old.is_none() {
        forms.offer_last(&ctx, &mut tx, &bench, asked.again == "yes").await?;
    }
    let foreseen =
        if old.is_none() { enter::foresee(&ctx, &mut tx, &finds, stage).await? } else { Vec::new() };
    let foreseen = foreseen.iter().take(MOST_FORESEEN).map(|s| stopped_line(&ctx, &code, project, s));
    let foreseen = foreseen.collect();
    let page = RecordPage { foreseen, ..page(&ctx, &mut tx, &code, stage, forms, finds).await? };
    Ok(ok(page).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path((code, stage)): Path<(String, String)>,
    posted: Posted<RecordForm>,
) -> Answer {
    let stage = record_stage(&stage)?;
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let finds = load_chosen(&ctx, &mut tx, project, &posted.form.find, MOST_FINDS).await?;
    corrected(&mut tx, &posted.form, &finds).await?;
    let forms = Forms::posted(&posted)?;
    let chosen = choose_pictures(&mut tx, &finds, &posted.form).await?;
    let images: Vec<ImageId> = chosen.iter().map(|choice| choice.picture.id).collect();
    let tests = tests_of(&mut tx, stage, &finds).await?;
    let bench = Bench { project, stage, finds: &finds, images: &images, tests: &tests };
    let (new, more) = match forms.parse(&ctx, &bench) {
        Ok(parsed) => parsed,
        Err(errors) => {
            let mut page = page(&ctx, &mut tx, &code, stage, forms, finds).await?;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    let standing = standing::list(&mut tx, project).await?.into_iter().find(|s| Some(s.id) == new.standing);
    let further = beyond::judge(&mut tx, &finds, &new, standing.as_ref(), more.beyond()).await?;
    match enter::record(&ctx, &mut tx, &finds, &new, standing.as_ref()).await? {
        Entered::In(record) => {
            more.keep(&ctx, &mut tx, (record, &new), &finds).await?;
            beyond::keep(&ctx, &mut tx, record, &finds, &further).await?;
            let images: Vec<ImageId> =
                chosen.iter().filter(|choice| choice.ticked).map(|choice| choice.picture.id).collect();
            store::images::insert_of_record(&mut tx, record, &images).await?;
            let at_bench = posted.form.from == "bench";
            let (to, words) = match finds.as_slice() {
                all if at_bench => (
                    links::BENCH.to_owned(),
                    format!("The record of {} covers {}.", stage.label(), numbers(all)),
                ),
                [one] => (
                    links::find(one.id),
                    format!("The record of {} is on {}’s page.", stage.label(), one.number),
                ),
                many => (
                    links::finds(&code),
                    format!("The record of {} covers {} finds.", stage.label(), many.len()),
                ),
            };
            ctx.finish(tx, &posted, &to, &words).await
        }
        Entered::Stopped(stopped) => {
            let mut page = page(&ctx, &mut tx, &code, stage, forms, finds).await?;
            page.stopped = stopped.iter().map(|s| stopped_line(&ctx, &code, project, s)).collect();
            Ok(again(page).into_response())
        }
    }
}

/// “61, 62 and 63”, or how many there are of them.
fn numbers(finds: &[Find]) -> String {
    match finds {
        [one] => one.number.clone(),
        [first @ .., last] if finds.len() <= 8 => {
            let first: Vec<&str> = first.iter().map(|find| find.number.as_str()).collect();
            format!("{} and {}", first.join(", "), last.number)
        }
        many => format!("{} finds", many.len()),
    }
}

fn record_stage(word: &str) -> Answer<Stage> {
    word.parse()
        .ok()
        .filter(|stage: &Stage| stage.takes_record() && !stage.only_looks() && *stage != Stage::Desalination)
        .ok_or(AppError::NotFound)
}

/// The record a form corrects: it must stand, and cover one of these finds.
async fn corrected(tx: &mut Tx, form: &RecordForm, finds: &[Find]) -> Answer<Option<Record>> {
    let Some(id) = form.corrected() else { return Ok(None) };
    let covered = records::list_finds(tx, id).await?;
    let ours = finds.iter().any(|find| covered.iter().any(|(covered, _)| *covered == find.id));
    let record = records::find(tx, id).await?.filter(|record| ours && record.superseded_at.is_none());
    // what a run or a box tells is corrected there
    let elsewhere =
        store::runs::is_of_run(tx, id).await? || store::boxes::find_of_record(tx, id).await?.is_some();
    record.filter(|_| !elsewhere).map(Some).ok_or(AppError::NotFound)
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    code: &str,
    stage: Stage,
    forms: Forms,
    finds: Vec<Find>,
) -> Answer<RecordPage> {
    let Forms { record: mut form, test, level, step } = forms;
    let project = ctx.project(code)?.project;
    let standing = if stage == Stage::WetClean { standing::list(tx, project).await? } else { Vec::new() };
    let fits = |material: &str| finds.iter().all(|find| find.material == material);
    let standing = standing.into_iter().filter(|s| s.withdrawn_at.is_none() && fits(&s.material)).map(|s| {
        StandingChoice {
            id: s.id.to_string(),
            words: format!("{}: {}, stop-point: {}", s.words, s.mixture, s.stop_point),
        }
    });
    let bench = bench_view::of(tx, stage, &finds).await?;
    if let (Stage::WetClean, "", [accepted]) =
        (stage, form.mixture.as_str(), bench.verdict.accepted.as_slice())
    {
        form.mixture.clone_from(accepted);
    }
    Ok(RecordPage {
        again: again::link(code, stage, &form),
        deeper: deeper(code, stage, &finds).filter(|_| form.supersedes.is_empty()),
        test,
        level,
        step,
        asks: Asks {
            cleaning: step_form::cleans(stage),
            materials: step_form::uses_materials(stage),
            bases: Basis::ALL,
        },
        bench,
        chrome: ctx.chrome_in(project),
        stage,
        action: links::record_new(code, stage),
        back: match finds.as_slice() {
            _ if form.from == "bench" => links::BENCH.to_owned(),
            [one] => links::find(one.id),
            _ => links::finds(code),
        },
        stopped: Vec::new(),
        foreseen: Vec::new(),
        errors: Errors::default(),
        finds: Chosen::lines(&finds, &form.find, &form.quantity),
        pictures: choose_pictures(tx, &finds, &form).await?,
        form,
        cautions: cautions(&finds),
        standing: standing.collect(),
        effects: EffectOnOriginal::ALL,
        decisions: TestDecision::ALL,
    })
}

/// The way that says more than a plain record, with words that tell what each is for: a drying run, a box.
fn deeper(code: &str, stage: Stage, finds: &[Find]) -> Option<(&'static str, String, &'static str)> {
    let (before, path, link) = match stage {
        Stage::Drying => (
            "For what dries in the air, or cannot be weighed. To weigh until the mass is constant:",
            links::run_new(code, domain::runs::RunKind::Drying),
            "begin a drying run",
        ),
        Stage::Packing => (
            "For a bag or a crate, in words alone. For a box with its climate, label and next look:",
            links::packing_new(code),
            "pack into a box",
        ),
        _ => return None,
    };
    let finds: Vec<String> = finds.iter().map(|find| format!("find={}", find.id)).collect();
    Some((before, format!("{path}?{}", finds.join("&")), link))
}

/// The spot tests that a level of these finds may name.
async fn tests_of(tx: &mut Tx, stage: Stage, finds: &[Find]) -> Answer<Vec<RecordId>> {
    let mut tests = Vec::new();
    if stage == Stage::CleaningLevel {
        for find in finds {
            let of_find = store::work::spot_tests::list_of_find(tx, find.id).await?;
            tests.extend(of_find.iter().map(|test| test.row.record_id));
        }
    }
    Ok(tests)
}

/// The photographs of the finds, ticked as the form has it; a correction begins with those of the record it corrects.
async fn choose_pictures(tx: &mut Tx, finds: &[Find], form: &RecordForm) -> Answer<Vec<PictureChoice>> {
    let mut choices: Vec<PictureChoice> = Vec::new();
    for find in finds.iter().take(MOST_PICTURED) {
        for image in store::images::list_seen(tx, find).await? {
            if choices.iter().any(|choice| choice.picture.id == image.id) {
                continue;
            }
            let ticked = form.image.contains(&image.id.to_string());
            choices.push(PictureChoice {
                picture: Picture::of(&image, &find.number),
                number: find.number.clone(),
                ticked,
            });
        }
    }
    Ok(choices)
}

pub(crate) fn stopped_line(
    ctx: &Ctx,
    code: &str,
    project: domain::ids::ProjectId,
    stopped: &Stopped,
) -> StoppedLine {
    use domain::permission::Action;
    use domain::refusal::Refusal;
    let gate = match &stopped.why {
        Refusal::GateShut { gate, .. } => Some(*gate),
        _ => None,
    };
    let way_on = gate.map(|gate| {
        let stage = gate.opened_by();
        let href = if stage.takes_record() {
            links::record_of(code, stage, stopped.find)
        } else {
            links::mark_of(code, stage, stopped.find)
        };
        (href, format!("Record {}", stage.label()))
    });
    StoppedLine {
        number: stopped.number.clone(),
        href: links::find(stopped.find),
        why: stopped.why.to_string(),
        way_on,
        lift: gate
            .filter(|_| ctx.actor.may(Action::LiftGate, project))
            .map(|gate| links::lift_new(stopped.find, gate)),
    }
}
