//! A box: what lies in it, how it is sealed, when it is looked at, how it is lifted.
use super::Known;
use super::climate::ClimateView;
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_day, show_measure};
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::PlaceId;
use domain::packing::{self, Sealing};
use domain::permission::Action;
use store::boxes::Content;

#[derive(Template)]
#[template(path = "packing/show.html")]
struct BoxPage {
    chrome: Chrome,
    code: String,
    name: String,
    stands: String,
    contents: Vec<Line>,
    hidden: usize,
    about: Vec<(&'static str, String)>,
    check: Check,
    handling: Option<String>,
    climate: Option<ClimateView>,
    earlier: Vec<Earlier>,
    id: PlaceId,
    may_seal: bool,
    may_move: bool,
    may_print: bool,
}

/// A find in it.
struct Line {
    href: String,
    number: String,
    words: String,
    /// The form that takes pieces out.
    taking: Option<String>,
}

/// When it is looked at next.
struct Check {
    heading: &'static str,
    sentence: String,
}

/// A sealing of before.
struct Earlier {
    day: String,
    words: String,
    by: String,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<PlaceId>) -> Answer {
    let known = Known::load(&ctx, &mut ctx.read().await?, id).await?;
    let project = known.stored.project_id;
    let content = |content: &Content| {
        let words =
            if content.object_type.is_empty() { &content.material_name } else { &content.object_type };
        let pieces = content.quantity.map(|n| format!(", {n} pieces")).unwrap_or_default();
        let unpacked = if content.since.is_none() { ", put there without a record of packing" } else { "" };
        let takes = content.bulk && content.since.is_some() && ctx.actor.may(Action::MoveFinds, project);
        Line {
            href: links::find(content.find),
            number: content.number.clone(),
            words: format!("{words}{pieces}{unpacked}"),
            taking: takes.then(|| format!("{}?find={}", links::taking_new(id), content.find)),
        }
    };
    let sealing = known.sealing();
    let page = BoxPage {
        chrome: ctx.chrome_in(project),
        code: known.stored.project_code.clone(),
        name: known.stored.name.clone(),
        stands: known.stored.parent_path.clone().unwrap_or_default(),
        contents: known.contents.iter().map(content).collect(),
        hidden: known.hidden,
        about: sealing.map(about).unwrap_or_default(),
        check: check(sealing, ctx.now.date_naive()),
        handling: sealing.and_then(|sealing| sealing.gross_kg).and_then(handling),
        climate: sealing.map(|sealing| ClimateView::of(sealing, None)),
        earlier: known.sealings.iter().skip(1).map(|(sealing, by)| earlier(sealing, by)).collect(),
        id,
        may_seal: ctx.actor.may(Action::RecordWork, project),
        may_move: ctx.actor.may(Action::MoveFinds, project),
        may_print: ctx.actor.may(Action::PrintLabels, project),
    };
    Ok(ok(page).into_response())
}

/// “23.4 kg. Two people or a trolley …”
pub(super) fn handling(gross_kg: f64) -> Option<String> {
    packing::handling(gross_kg).map(|words| format!("{} kg. {words}", show_measure(gross_kg)))
}

fn check(sealing: Option<&Sealing>, today: chrono::NaiveDate) -> Check {
    let Some(sealing) = sealing else {
        return Check { heading: "Not sealed yet", sentence: "Nothing is known of its climate.".into() };
    };
    match sealing.next_check_on {
        Some(day) if day < today => {
            let days = (today - day).num_days();
            Check {
                heading: "Look at it now",
                sentence: format!("The look of {} is {days} days overdue.", show_day(day)),
            }
        }
        Some(day) => {
            Check { heading: "Sealed", sentence: format!("Look at its indicator on {}.", show_day(day)) }
        }
        None => Check {
            heading: "Packed",
            sentence: "It has no climate of its own and no look is planned.".into(),
        },
    }
}

fn about(sealing: &Sealing) -> Vec<(&'static str, String)> {
    let mut about = vec![
        ("Container", sealing.container.clone()),
        ("Padding and materials", sealing.materials.clone()),
        ("Gel", super::form::gel_words(sealing)),
        ("Gross mass", sealing.gross_kg.map(|mass| format!("{} kg", show_measure(mass))).unwrap_or_default()),
        ("Sealed", format!("{} by {}", show_day(sealing.sealed_on), sealing.done_by)),
    ];
    about.retain(|(_, words)| !words.is_empty());
    about
}

fn earlier(sealing: &Sealing, by: &str) -> Earlier {
    Earlier {
        day: show_day(sealing.sealed_on),
        words: [sealing.container.clone(), super::form::climate_words(sealing)]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>()
            .join("; "),
        by: by.to_owned(),
    }
}
