//! A box goes to another place: does it sweat there?
use super::Known;
use crate::context::Ctx;
use crate::error::Answer;
use crate::figure::{Figure, figures, fixed};
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::runs::{DEGREES, PERCENT, amount};
use askama::Template;
use axum::response::IntoResponse;
use calc::air::{Air, BoxMove, Surface, moving};
use domain::ids::PlaceId;
use store::places::{self, Place};
use store::{StoreError, Tx, boxes};

/// Humidity in a box of which nothing is known, for the question what becomes of it.
const UNKNOWN_PCT: f64 = 50.0;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct BoxMoveForm {
    place: String,
    box_t_c: String,
    room_t_c: String,
    room_rh_pct: String,
    unread: String,
    stays_shut: String,
    moved_by: String,
    reason: String,
    only: String,
}

#[derive(Template)]
#[template(path = "packing/move.html")]
struct MovePage {
    chrome: Chrome,
    code: String,
    name: String,
    stands: String,
    back: String,
    action: String,
    places: Vec<Place>,
    handling: Option<String>,
    form: BoxMoveForm,
    errors: Errors,
    checked: Option<Checked>,
}

/// What the new air does to the box.
struct Checked {
    heading: &'static str,
    sentence: String,
    figures: Vec<Figure>,
    sweats: bool,
    /// For the journal.
    words: String,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<PlaceId>, Asked(mut form): Asked<BoxMoveForm>) -> Answer {
    let mut tx = ctx.read().await?;
    let known = Known::load(&ctx, &mut tx, id).await?;
    form.moved_by.clone_from(&ctx.actor.name);
    Ok(ok(page(&ctx, &mut tx, &known, form).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<PlaceId>, posted: Posted<BoxMoveForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = Known::load(&ctx, &mut tx, id).await?;
    let mut page = page(&ctx, &mut tx, &known, posted.form.clone()).await?;
    let only_checks = page.form.only == "check";
    let mut errors = Errors::default();
    let to = page.places.iter().find(|place| place.id.to_string() == page.form.place).cloned();
    if to.is_none() && !only_checks {
        errors.add("place", "Choose where it goes.");
    }
    let other_room = to.as_ref().is_some_and(|to| !same_room(&page.places, &known, to));
    page.checked = page.form.check(&known, other_room || only_checks, &mut errors);
    if let Some(checked) = page.checked.as_ref().filter(|c| c.sweats && !only_checks)
        && page.form.stays_shut.is_empty()
    {
        errors.add("stays_shut", format!("{} Say that it stays shut until then.", checked.sentence));
    }
    let moved_by = errors.line("moved_by", &page.form.moved_by);
    if moved_by.is_empty() && !only_checks {
        errors.add("moved_by", "Say who moved it.");
    }
    let reason = errors.line("reason", &page.form.reason);
    let Some(to) = to.filter(|_| errors.is_empty() && !only_checks) else {
        page.errors = errors;
        let sound = page.errors.is_empty();
        return Ok(if sound { ok(page).into_response() } else { again(page).into_response() });
    };
    let path = match boxes::update_parent(&mut tx, &known.stored, Some(to.id)).await {
        Err(StoreError::Taken) => {
            page.errors
                .add("place", format!("There is one named {} at {} already.", known.stored.name, to.path));
            return Ok(again(page).into_response());
        }
        path => path?,
    };
    let air = match &page.checked {
        Some(checked) => format!("; {}", checked.words),
        None if other_room => format!("; the air was not read: {}", page.form.unread.trim()),
        None => String::new(),
    };
    let because = if reason.is_empty() { String::new() } else { format!(": {reason}") };
    let words = format!("{moved_by} moved {} to {path}{because}{air}", known.stored.name);
    known.tell(&ctx, &mut tx, ("moved", &words)).await?;
    ctx.finish(tx, &posted, &links::stored_box(id), &format!("{} is now at {}.", known.stored.name, to.path))
        .await
}

/// Whether the box stays in its room, or its building where the places have no rooms.
fn same_room(all: &[Place], known: &Known, to: &Place) -> bool {
    let room = |start: Option<uuid::Uuid>| {
        let mut at = start;
        let mut last = None;
        while let Some(place) = at.and_then(|id| all.iter().find(|place| place.id.0 == id)) {
            last = Some(place.id);
            if matches!(place.kind.as_str(), "room" | "building") {
                break;
            }
            at = place.parent_id;
        }
        last
    };
    let from = room(known.stored.parent_id);
    from.is_some() && from == room(Some(to.id.0))
}

impl BoxMoveForm {
    /// The check, asked where the room changes; a reason stands for air that was not read.
    fn check(&self, known: &Known, asked: bool, errors: &mut Errors) -> Option<Checked> {
        let box_t = amount(errors, "box_t_c", &self.box_t_c, (&moving::FIND_TEMPERATURE, DEGREES));
        let room_t = amount(errors, "room_t_c", &self.room_t_c, (&moving::ROOM_TEMPERATURE, DEGREES));
        let room_rh = amount(errors, "room_rh_pct", &self.room_rh_pct, (&moving::ROOM_HUMIDITY, PERCENT));
        let unread = errors.line("unread", &self.unread);
        let (Some(box_t), Some(room_t), Some(room_rh)) = (box_t, room_t, room_rh) else {
            let typed = [&self.box_t_c, &self.room_t_c, &self.room_rh_pct];
            let is_begun = typed.iter().any(|typed| !typed.trim().is_empty());
            if errors.is_empty() && (is_begun || (asked && unread.is_empty())) {
                errors.add(
                    "room_t_c",
                    "It changes rooms: read the box, and temperature and humidity of the new room, or say why not.",
                );
            }
            return None;
        };
        let inside_pct = known.sealing().and_then(|sealing| sealing.start_pct);
        let moved = Air::new(box_t, inside_pct.unwrap_or(UNKNOWN_PCT))
            .and_then(|inside| Ok((inside, Air::new(room_t, room_rh)?)))
            .and_then(|(inside, room)| BoxMove::new(inside, room));
        match moved {
            Ok(moved) => Some(checked(&moved, (box_t, room_t, room_rh), inside_pct)),
            Err(refused) => {
                errors.add("room_t_c", refused.to_string());
                None
            }
        }
    }
}

fn checked(moved: &BoxMove, (box_t, room_t, room_rh): (f64, f64, f64), inside_pct: Option<f64>) -> Checked {
    let met = &moved.opened_at_once;
    let (dew, clear) = (fixed(met.dew_point.t_c, 1), fixed(met.clear_from_c, 1));
    let (heading, sentence) = match met.state {
        Surface::Condensation => (
            "It would sweat",
            format!(
                "The dew point there is {dew} °C and the box is at {} °C: keep it shut until it has reached {clear} °C.",
                fixed(box_t, 1)
            ),
        ),
        Surface::Caution => (
            "Close to sweating",
            format!(
                "The dew point there is {dew} °C, less than 3 K below the box: open it from {clear} °C on."
            ),
        ),
        Surface::Clear => ("It stays dry", format!("The dew point there is {dew} °C, well below the box.")),
    };
    let inputs = vec![
        ("Box", format!("{} °C", fixed(box_t, 1))),
        ("New room", format!("{} °C, {} % RH", fixed(room_t, 1), figures(room_rh, 3))),
        ("Humidity at the cold surface", format!("{} %", fixed(met.surface_rh_pct, 0))),
    ];
    let mut all = vec![Figure::of("Dew point there", format!("{dew} °C"), &moving::CONDENSATION, inputs)];
    if let Some(inside) = inside_pct {
        let inputs =
            vec![("In the box when sealed", format!("{} % at {} °C", figures(inside, 3), fixed(box_t, 1)))];
        let value = format!("{} %", fixed(moved.kept_shut.rh_pct, 0));
        all.push(Figure::of(
            "Air in the shut box, once it has that temperature",
            value,
            &moving::HUMIDITY_AFTER_CHANGE,
            inputs,
        ));
    }
    Checked {
        heading,
        sweats: met.state == Surface::Condensation,
        words: format!(
            "box {} °C, room {} °C and {} % RH, dew point {dew} °C{}",
            fixed(box_t, 1),
            fixed(room_t, 1),
            figures(room_rh, 3),
            if met.state == Surface::Clear {
                String::new()
            } else {
                format!(", stays shut until {clear} °C")
            }
        ),
        sentence,
        figures: all,
    }
}

async fn page(ctx: &Ctx, tx: &mut Tx, known: &Known, form: BoxMoveForm) -> Answer<MovePage> {
    let inside = format!("{}{}", known.stored.path, places::PARTING);
    let mut all = places::list(tx, known.stored.project_id).await?;
    all.retain(|place| place.id != known.stored.id && !place.path.starts_with(&inside));
    let gross = known.sealing().and_then(|sealing| sealing.gross_kg);
    Ok(MovePage {
        chrome: ctx.chrome_in(known.stored.project_id),
        code: known.stored.project_code.clone(),
        name: known.stored.name.clone(),
        stands: known.stored.parent_path.clone().unwrap_or_default(),
        back: links::stored_box(known.stored.id),
        action: links::box_move_new(known.stored.id),
        places: all,
        handling: gross.and_then(super::show::handling),
        form,
        errors: Errors::default(),
        checked: None,
    })
}
