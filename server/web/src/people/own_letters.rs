//! Which letters a person gets, and when the daily one comes.
use super::account::{self, ProfileForm};
use crate::config::Config;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use axum::response::IntoResponse;
use chrono_tz::{TZ_VARIANTS, Tz};
use domain::ids::PersonId;
use domain::letters::LetterKind;
use store::journal::{self, Entry};
use store::{Tx, daily, letter_wishes};

/// The form as typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct LettersForm {
    /// Codes of the kinds that are wanted.
    pub wanted: Vec<String>,
    pub hour: String,
    pub zone: String,
}

/// The hours of the day, as a list offers them.
pub(super) fn hours() -> impl Iterator<Item = (String, String)> {
    (0..24).map(|hour| (hour.to_string(), format!("{hour:02}:00")))
}

/// The names of time zones that are offered: those of places, and universal time.
pub(super) fn zones() -> impl Iterator<Item = &'static str> {
    const REGIONS: [&str; 9] = [
        "Africa/",
        "America/",
        "Antarctica/",
        "Asia/",
        "Atlantic/",
        "Australia/",
        "Europe/",
        "Indian/",
        "Pacific/",
    ];
    let of_places = |name: &&str| REGIONS.iter().any(|region| name.starts_with(region));
    std::iter::once("UTC").chain(TZ_VARIANTS.iter().map(|zone| zone.name()).filter(of_places))
}

pub(super) async fn update(ctx: Ctx, posted: Posted<LettersForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let hour = posted.form.hour.parse::<u32>().ok().filter(|hour| *hour < 24);
    if hour.is_none() {
        errors.add("hour", "Choose an hour of the day.");
    }
    let zone = zone(&posted.form.zone);
    if zone.is_none() {
        errors.add("zone", "There is no such time zone. Write it as in Europe/Lisbon, or UTC.");
    }
    let (Some(hour), Some(zone)) = (hour, zone) else {
        let person = account::own(&ctx, &mut tx).await?;
        let mut page = account::page(&ctx, &mut tx, &person, ProfileForm::of(&person)).await?;
        (page.letters, page.letters_errors) = (posted.form, errors);
        return Ok(again(page).into_response());
    };
    let person = ctx.actor.person;
    let mut words = Vec::new();
    for kind in LetterKind::stoppable() {
        let stopped = !posted.form.wanted.iter().any(|code| code == kind.code());
        if letter_wishes::update(&mut tx, person, kind, stopped, ctx.now).await? {
            words.push(said(kind, stopped));
        }
    }
    daily::update_hour(&mut tx, person, hour, zone.name()).await?;
    words.push(format!("the daily letter comes at {hour:02}:00, {}", zone.name()));
    let entry = Entry { verb: "changed", words: words.join("; "), by: Some(person), ..Entry::default() };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, links::ACCOUNT, "From now on letters come as you chose.").await
}

/// What the journal says of a wish.
pub(super) fn said(kind: LetterKind, stopped: bool) -> String {
    let verb = if stopped { "does without" } else { "wants again" };
    format!("{verb} letters about {kind}")
}

/// The zone of a name, however its letters are written; nothing typed is universal time.
pub(crate) fn zone(name: &str) -> Option<Tz> {
    match name.trim() {
        "" => Some(Tz::UTC),
        name => TZ_VARIANTS.iter().copied().find(|zone| zone.name().eq_ignore_ascii_case(name)),
    }
}

impl LettersForm {
    /// As it is kept.
    pub(super) async fn of(config: &Config, tx: &mut Tx, person: PersonId) -> Answer<LettersForm> {
        let stopped = letter_wishes::list_stopped(tx, person).await?;
        let wanted = LetterKind::stoppable().filter(|kind| !stopped.contains(kind));
        let (hour, zone) = daily::find_hour(tx, person).await?;
        Ok(LettersForm {
            wanted: wanted.map(|kind| kind.code().to_owned()).collect(),
            hour: hour.map_or(config.daily_hour, |hour| u32::try_from(hour).unwrap_or(0)).to_string(),
            zone: if zone.is_empty() { Tz::UTC.name().to_owned() } else { zone },
        })
    }

    /// The kinds one may do without, and whether they are wanted.
    pub(super) fn kinds(&self) -> impl Iterator<Item = (LetterKind, bool)> {
        LetterKind::stoppable().map(|kind| (kind, self.wanted.iter().any(|code| code == kind.code())))
    }
}
