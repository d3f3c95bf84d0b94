//! Letters about cleaning levels: to the leads who may answer, and the answer to whoever asked.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::links;
use askama::Template;
use domain::ids::RecordId;
use domain::letters::LetterKind;
use domain::permission::{Action, grants};
use store::Tx;
use store::finds::Find;
use store::letters::NewLetter;
use store::work::levels;

/// A level waits for an answer. Of restricted finds nothing but the number leaves the house.
#[derive(Template)]
#[template(path = "mail/level_asked.txt")]
struct Asked<'a> {
    program: &'static str,
    name: &'a str,
    asker: &'a str,
    about: &'a str,
    restricted: bool,
    level: &'a str,
    stop_point: &'a str,
    link: &'a str,
}

/// The answer.
#[derive(Template)]
#[template(path = "mail/level_answered.txt")]
struct Answered<'a> {
    program: &'static str,
    name: &'a str,
    lead: &'a str,
    told: &'a str,
    about: &'a str,
    words: &'a str,
    link: &'a str,
}

/// Queues a letter to everybody who may answer, except whoever asks.
pub(super) async fn ask(
    ctx: &Ctx,
    tx: &mut Tx,
    record: RecordId,
    finds: &[Find],
    (level, stop_point): (&str, &str),
) -> Answer<()> {
    let Some(project) = finds.first().map(|find| find.project_id) else { return Ok(()) };
    let restricted = finds.iter().any(|find| find.restricted);
    let (about, link) =
        (about(finds), format!("{}{}", ctx.app.config.base_url, links::authorisation(record)));
    for member in store::members::list(tx, project).await? {
        let may = member.rights.roles.iter().any(|role| grants(*role).contains(&Action::AuthoriseWork));
        let sees = member.rights.restricted || !restricted;
        if !may || !sees || member.disabled_at.is_some() || member.id == ctx.actor.person {
            continue;
        }
        let letter = Asked {
            program: domain::PROGRAM,
            name: &member.name,
            asker: &ctx.actor.name,
            about: &about,
            restricted,
            level,
            stop_point,
            link: &link,
        };
        let subject = format!("A cleaning level for {about} waits for your answer");
        queue(ctx, tx, (&member.name, &member.email), subject, &letter).await?;
    }
    Ok(())
}

/// Queues the letter to whoever asked.
pub(super) async fn answer(
    ctx: &Ctx,
    tx: &mut Tx,
    record: RecordId,
    finds: &[Find],
    (told, words): (&str, &str),
) -> Answer<()> {
    let Some(asker) = levels::find_asker(tx, record).await? else { return Ok(()) };
    let (Some(first), None) = (finds.first(), asker.disabled_at) else { return Ok(()) };
    if asker.id == ctx.actor.person {
        return Ok(());
    }
    let restricted = finds.iter().any(|find| find.restricted);
    let (about, link) = (about(finds), format!("{}{}", ctx.app.config.base_url, links::find(first.id)));
    let letter = Answered {
        program: domain::PROGRAM,
        name: &asker.name,
        lead: &ctx.actor.name,
        told,
        about: &about,
        words: if restricted { "" } else { words },
        link: &link,
    };
    queue(ctx, tx, (&asker.name, &asker.email), format!("{}: cleaning level {told}", about), &letter).await
}

/// “VSQ31 88, 89”.
fn about(finds: &[Find]) -> String {
    let numbers: Vec<&str> = finds.iter().map(|find| find.number.as_str()).take(10).collect();
    let more = if finds.len() > numbers.len() { " and more" } else { "" };
    let code = finds.first().map_or("", |find| find.project_code.as_str());
    format!("{code} {}{more}", numbers.join(", "))
}

async fn queue(
    ctx: &Ctx,
    tx: &mut Tx,
    (name, email): (&str, &str),
    subject: String,
    body: &impl Template,
) -> Answer<()> {
    let letter = NewLetter {
        kind: LetterKind::Level,
        to_address: email.to_owned(),
        to_name: name.to_owned(),
        subject,
        body: body.render().map_err(AppError::inside)?,
    };
    store::letters::insert(tx, &letter, ctx.now).await?;
    Ok(())
}
