//! The daily letters: what is overdue or due today in the projects of a person, at their hour, once a day and never twice;
//! and with them what reminds a specialist.
use crate::App;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::links;
use crate::people::own_letters::zone;
use crate::rounds::what;
use crate::rounds::words::standing;
use askama::Template;
use chrono::{Duration, NaiveDate, NaiveTime, Timelike};
use chrono_tz::Tz;
use domain::Instant;
use domain::ids::PersonId;
use domain::letters::LetterKind;
use domain::permission::{Action, Actor};
use store::Tx;
use store::clocks::round::{self, Passed};
use store::letter_wishes;
use store::letters::NewLetter;

/// Between two looks at the clock on the wall.
const EVERY: std::time::Duration = std::time::Duration::from_secs(120);
/// Lines of one letter; the page shows all.
const MOST: i64 = 40;
/// Days that are remembered as seen to.
const DAYS_KEPT: Duration = Duration::days(60);

#[derive(Template)]
#[template(path = "mail/daily.txt")]
struct Daily<'a> {
    program: &'static str,
    name: &'a str,
    day: String,
    lines: Vec<String>,
    more: bool,
    today: String,
    account: String,
}

/// Queues the letters of the day when their hour has come, until the task is dropped.
pub async fn run(app: App) {
    loop {
        match queue_due(&app).await {
            Ok(0) => {}
            Ok(queued) => {
                tracing::info!(queued, "daily letters queued");
                app.letterbox.ring();
            }
            Err(cause) => tracing::warn!(%cause, "daily letters wait"),
        }
        tokio::time::sleep(EVERY).await;
    }
}

/// Queues the letters of everybody whose hour has come and whose day has not been seen to; how many letters were queued.
///
/// Each person's day is taken in the transaction that queues the letters, so that a second program, or this one started
/// again, queues none twice. Where nothing is due the day is taken without a letter.
pub async fn queue_due(app: &App) -> Answer<usize> {
    let now = app.clock.now();
    let waiting = store::daily::list_waiting(&mut app.db.read().await?).await?;
    let mut queued = 0;
    for one in waiting {
        let here = now.with_timezone(&zone(&one.time_zone).unwrap_or(Tz::UTC));
        let day = here.date_naive();
        let hour = one.daily_hour.map_or(app.config.daily_hour, |hour| u32::try_from(hour).unwrap_or(0));
        if here.hour() < hour || one.last_day.is_some_and(|last| last >= day) {
            continue;
        }
        let mut tx = app.db.write().await?;
        if store::daily::take(&mut tx, one.id, day).await? {
            queued += crate::review::reminders::queue(app, &mut tx, one.id, (now, day)).await?;
            queued += usize::from(queue(app, &mut tx, one.id, (now, day)).await?);
            tx.commit().await?;
        }
    }
    Ok(queued)
}

/// Forgets days long past.
pub async fn forget_old(tx: &mut Tx, today: NaiveDate) -> store::Result<()> {
    store::daily::delete_before(tx, today - DAYS_KEPT).await.map(|_| ())
}

async fn queue(app: &App, tx: &mut Tx, person: PersonId, (now, today): (Instant, NaiveDate)) -> Answer<bool> {
    let Some(actor) = store::people::find_actor(tx, person).await? else { return Ok(false) };
    let Some(account) = store::people::find(tx, person).await? else { return Ok(false) };
    if account.password_hash.is_none() || letter_wishes::is_stopped(tx, person, LetterKind::Digest).await? {
        return Ok(false);
    }
    let due = due(tx, &actor, now).await?;
    let out = crate::dispatches::waiting::due_back(tx, &actor, today).await?;
    let said = crate::review::reminders::for_the_house(tx, &actor, today).await?;
    if due.is_empty() && out.is_empty() && said.is_empty() {
        return Ok(false);
    }
    let overdue = due.iter().filter(|pack| pack.due_at().is_some_and(|at| at < now)).count();
    let base = &app.config.base_url;
    let packs = due.iter().map(|pack| line(pack, base, now));
    let linked = |(words, href): (String, String)| format!("{words}\n  {base}{href}");
    let (returns, opinions) = (out.len(), said.len());
    let first = out.into_iter().chain(said).map(linked);
    let lines: Vec<String> = first.chain(packs).collect();
    let letter = Daily {
        program: domain::PROGRAM,
        name: &account.name,
        day: show_day(today),
        more: lines.len() > MOST as usize,
        lines: lines.into_iter().take(MOST as usize).collect(),
        today: format!("{base}{}", links::TODAY),
        account: format!("{base}{}", links::ACCOUNT),
    };
    let subject = subject(overdue, returns, opinions);
    let letter = NewLetter {
        kind: LetterKind::Digest,
        to_address: account.email.clone(),
        to_name: account.name.clone(),
        subject,
        body: letter.render().map_err(AppError::inside)?,
    };
    Ok(store::letters::insert(tx, &letter, now).await?.is_some())
}

fn subject(overdue_packs: usize, returns: usize, opinions: usize) -> String {
    let packs = match overdue_packs {
        0 => None,
        1 => Some("1 wet pack or check is overdue".to_owned()),
        n => Some(format!("{n} wet packs and checks are overdue")),
    };
    let returns = match returns {
        0 => None,
        1 => Some("1 dispatch is due back".to_owned()),
        n => Some(format!("{n} dispatches are due back")),
    };
    let opinions = match opinions {
        0 => None,
        1 => Some("1 opinion waits to be asked for or settled".to_owned()),
        n => Some(format!("{n} opinions wait to be asked for or settled")),
    };
    let said: Vec<String> = returns.into_iter().chain(opinions).chain(packs).collect();
    if said.is_empty() { "Wet packs and checks due today".to_owned() } else { said.join(", ") }
}

/// What is overdue or becomes due before the day ends, in every project where this person records work.
async fn due(tx: &mut Tx, actor: &Actor, now: Instant) -> Answer<Vec<Passed>> {
    let tomorrow = (now.date_naive() + Duration::days(1)).and_time(NaiveTime::MIN).and_utc();
    let mut due = Vec::new();
    for member in actor.projects(Action::RecordWork) {
        let until = (tomorrow, now);
        due.extend(round::list_due(tx, member.project, until, member.restricted, MOST + 1).await?);
    }
    due.sort_by_key(Passed::due_at);
    Ok(due)
}

fn line(pack: &Passed, base: &str, now: Instant) -> String {
    let place = pack.place_path.as_ref().map(|path| format!(", {path}")).unwrap_or_default();
    let stands = standing(pack.limit_at, pack.next_check_at, now).words;
    format!(
        "{} {}, {}{place}\n  {}: {stands}\n  {base}{}",
        pack.project_code,
        pack.number,
        what(pack),
        pack.kind,
        links::find(pack.find_id)
    )
}
