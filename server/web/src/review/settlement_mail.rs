//! Letters about settlements: to the authors when one is made, to them and the editor when it is open again. Queued in the
//! transaction of what they tell of.
use crate::config::Config;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::links;
use askama::Template;
use domain::Instant;
use domain::ids::{FindId, SettlementId};
use domain::letters::LetterKind;
use domain::review::{Outcome, Reopened, Stance};
use store::Tx;
use store::finds::Find;
use store::letters::NewLetter;
use store::review::reopenings::{self, Concerned, Untold};
use store::review::settlements::{self, NewSettlement};

/// A settlement was made. Of restricted finds nothing but the number leaves the house.
#[derive(Template)]
#[template(path = "mail/settled.txt")]
struct Settled<'a> {
    program: &'static str,
    name: &'a str,
    editor: &'a str,
    find: String,
    project: String,
    restricted: bool,
    outcome: Outcome,
    what: String,
    reason: &'a str,
    stance: &'static str,
    link: String,
}

/// Something opened a settlement again.
#[derive(Template)]
#[template(path = "mail/reopened.txt")]
struct ReopenedLetter<'a> {
    program: &'static str,
    name: &'a str,
    find: String,
    project: String,
    restricted: bool,
    why: String,
    /// Empty for the program itself.
    by: &'a str,
    editor: bool,
    link: String,
}

/// Writes to the authors of the opinions that were settled, except to whoever settled them.
pub(super) async fn tell_settled(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    (id, new): (SettlementId, &NewSettlement),
) -> Answer<()> {
    let stances = settlements::list_stances(tx, id).await?;
    let project = store::projects::find(tx, find.project_id).await?.ok_or(AppError::NotFound)?;
    for author in reopenings::list_authors(tx, id).await? {
        if author.id == ctx.actor.person {
            continue;
        }
        let own = stances.iter().find(|line| line.author_id == author.id);
        let what = [new.identification.as_str(), new.date_words.as_str()];
        let letter = Settled {
            program: domain::PROGRAM,
            name: &author.name,
            editor: &ctx.actor.name,
            find: named(&find.number, &find.object_type, find.restricted),
            project: format!("{} ({})", project.name, project.code),
            restricted: find.restricted,
            outcome: new.outcome,
            what: what.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", "),
            reason: &new.reason,
            stance: match own.map(|line| line.stance) {
                Some(Stance::Adopted) => "Your opinion was adopted.",
                Some(Stance::Dissent) => "Your opinion stays on record as dissent, as you wrote it.",
                None => "",
            },
            link: link(&ctx.app.config, &author, find.id),
        };
        let subject = format!("Find {} of {} is settled", find.number, find.project_code);
        queue(tx, &author, subject, &letter, ctx.now).await?;
    }
    Ok(())
}

/// Writes to everybody concerned by a settlement that was opened again and that nobody was told of: once, by what opened
/// it first. What else befalls it until it is settled anew is read on its page.
pub async fn tell_reopened(config: &Config, tx: &mut Tx, now: Instant) -> Answer<()> {
    for untold in reopenings::list_untold(tx).await? {
        if !reopenings::update_told(tx, &untold, now).await? {
            continue;
        }
        let authors = reopenings::list_authors(tx, untold.settlement_id).await?;
        let editor = reopenings::find_editor(tx, untold.settlement_id).await?;
        let editor = editor.filter(|editor| authors.iter().all(|author| author.id != editor.id));
        let all = authors.iter().map(|author| (author, false)).chain(editor.iter().map(|one| (one, true)));
        for (person, is_editor) in all.filter(|(person, _)| Some(person.id.0) != untold.caused_by) {
            let letter = reopened(config, &untold, person, is_editor);
            let subject = format!("Find {} of {} is open again", untold.number, untold.project_code);
            queue(tx, person, subject, &letter, now).await?;
        }
    }
    Ok(())
}

fn reopened<'a>(
    config: &Config,
    untold: &'a Untold,
    person: &'a Concerned,
    editor: bool,
) -> ReopenedLetter<'a> {
    ReopenedLetter {
        program: domain::PROGRAM,
        name: &person.name,
        find: named(&untold.number, &untold.object_type, untold.restricted),
        project: format!("{} ({})", untold.project_name, untold.project_code),
        restricted: untold.restricted,
        why: match untold.cause {
            // what was seen on an X-ray is read where X-rays are shared, not in a letter
            Reopened::Xray if !editor => untold.cause.to_string(),
            cause => format!("{cause}: {}", untold.words),
        },
        by: &untold.by_name,
        editor,
        link: if editor {
            format!("{}{}", config.base_url, links::opinions(untold.find_id))
        } else {
            link(config, person, untold.find_id)
        },
    }
}

/// “88, panel, carved”; of a restricted find the number alone.
fn named(number: &str, object_type: &str, restricted: bool) -> String {
    match object_type {
        "" => number.to_owned(),
        _ if restricted => number.to_owned(),
        what => format!("{number}, {what},"),
    }
}

/// Where the find is read; nothing for whoever has no password.
fn link(config: &Config, person: &Concerned, find: FindId) -> String {
    if person.signs_in { format!("{}{}", config.base_url, links::find(find)) } else { String::new() }
}

async fn queue(
    tx: &mut Tx,
    to: &Concerned,
    subject: String,
    body: &impl Template,
    now: Instant,
) -> Answer<()> {
    let letter = NewLetter {
        kind: LetterKind::Settlement,
        to_address: to.email.clone(),
        to_name: to.name.clone(),
        subject,
        body: body.render().map_err(AppError::inside)?,
    };
    store::letters::insert(tx, &letter, now).await?;
    Ok(())
}
