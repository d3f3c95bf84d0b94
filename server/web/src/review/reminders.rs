//! What is due of specialists: reminders to them, once before the day and once after, and a line for the house.
use crate::App;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::letters::issue;
use crate::links;
use askama::Template;
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::PersonId;
use domain::letters::LetterKind;
use domain::people::link::LinkPurpose;
use domain::permission::{Action, Actor};
use domain::review::reminded_from;
use store::letters::NewLetter;
use store::people::Person;
use store::review::assignments::{self, Assignment};
use store::review::reopenings;
use store::{Tx, reminders};

#[derive(Template)]
#[template(path = "mail/reminder.txt")]
struct Reminder<'a> {
    program: &'static str,
    name: &'a str,
    overdue: bool,
    asked: Vec<Asked<'a>>,
    link: String,
}

/// One assignment of a reminder.
struct Asked<'a> {
    left: String,
    project: String,
    question: &'a str,
    due: String,
}

impl<'a> Asked<'a> {
    fn of(due: &'a Assignment) -> Self {
        Self {
            left: left(due),
            project: format!("{} ({})", due.project_name, due.project_code),
            question: &due.question,
            due: show_day(due.due_on),
        }
    }
}

/// Queues what reminds a specialist today, one letter of each kind however much it speaks of; how many were queued.
pub(crate) async fn queue(
    app: &App,
    tx: &mut Tx,
    person: PersonId,
    (now, today): (Instant, NaiveDate),
) -> Answer<usize> {
    let (mut soon, mut overdue) = (Vec::new(), Vec::new());
    for due in assignments::list_of_specialist(tx, person).await? {
        let Some(kind) = kind(&due, today) else { continue };
        if reminders::take(tx, due.id, kind, due.due_on, now).await? {
            if kind == LetterKind::Overdue { overdue.push(due) } else { soon.push(due) }
        }
    }
    let mut queued = 0;
    for (kind, asked) in [(LetterKind::DueSoon, soon), (LetterKind::Overdue, overdue)] {
        if asked.is_empty() {
            continue;
        }
        let specialist = store::people::find(tx, person).await?.ok_or(AppError::NotFound)?;
        let letter = letter(app, tx, (&specialist, &asked), kind, now).await?;
        queued += usize::from(store::letters::insert(tx, &letter, now).await?.is_some());
    }
    Ok(queued)
}

/// Which reminder an assignment asks for on a day, if it is open and something is left to say.
fn kind(due: &Assignment, today: NaiveDate) -> Option<LetterKind> {
    if due.closed_at.is_some() || due.answered >= due.finds {
        return None;
    }
    if today > due.due_on {
        return Some(LetterKind::Overdue);
    }
    (today >= reminded_from(due.made_at.date_naive(), due.due_on)).then_some(LetterKind::DueSoon)
}

async fn letter(
    app: &App,
    tx: &mut Tx,
    (to, asked): (&Person, &[Assignment]),
    kind: LetterKind,
    now: Instant,
) -> Answer<NewLetter> {
    let link = match to.password_hash {
        Some(_) => format!("{}{}", app.config.base_url, links::MY_FINDS),
        None => issue(&app.config, tx, to.id, LinkPurpose::Invitation, now, links::MY_FINDS).await?,
    };
    let overdue = kind == LetterKind::Overdue;
    let body = Reminder {
        program: domain::PROGRAM,
        name: &to.name,
        overdue,
        asked: asked.iter().map(Asked::of).collect(),
        link,
    };
    let verb = if overdue { "was due" } else { "is due" };
    let subject = match asked {
        [one] => format!("{}: your opinion {verb} {}", one.project_name, show_day(one.due_on)),
        all if overdue => format!("{} of your opinions are overdue", all.len()),
        all => format!("{} of your opinions are due soon", all.len()),
    };
    Ok(NewLetter {
        kind,
        to_address: to.email.clone(),
        to_name: to.name.clone(),
        subject,
        body: body.render().map_err(AppError::inside)?,
    })
}

/// “one find”, “3 finds”, “2 of 5 finds”.
fn left(due: &Assignment) -> String {
    match (due.finds - due.answered, due.finds) {
        (1, 1) => "one find".to_owned(),
        (left, all) if left == all => format!("{all} finds"),
        (left, all) => format!("{left} of {all} finds"),
    }
}

/// What the house waits for, for the daily letter, words and address: opinions overdue where this person assigns,
/// settlements open again where they settle.
pub(crate) async fn for_the_house(
    tx: &mut Tx,
    actor: &Actor,
    today: NaiveDate,
) -> Answer<Vec<(String, String)>> {
    let mut lines = Vec::new();
    for member in actor.projects(Action::AssignSpecialists) {
        let all = assignments::list_of_project(tx, member.project).await?;
        let overdue = all.iter().filter(|due| kind(due, today) == Some(LetterKind::Overdue));
        lines.extend(overdue.map(|due| {
            let who = &due.specialist_name;
            let words =
                format!("{}: {} with {who}, due {}", due.project_code, left(due), show_day(due.due_on));
            (words, links::specialists(&due.project_code))
        }));
    }
    for member in actor.projects(Action::Settle) {
        for open in reopenings::list_open(tx, member.project, member.restricted, 20).await? {
            let words =
                format!("{} {}: the settlement is open again, {}", member.code, open.number, open.cause);
            lines.push((words, links::opinions(open.find_id)));
        }
    }
    Ok(lines)
}
