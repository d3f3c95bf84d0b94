//! Today: what waits for this person, most urgent first.
use super::{cleaning, photographs, questions};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::page::{Chrome, ProjectName, ok};
use crate::rounds::words::standing;
use askama::Template;
use axum::response::{IntoResponse, Redirect};
use chrono::Duration;
use domain::permission::{Action, Actor, Membership, Role};
use domain::stages::Stage;
use store::Tx;
use store::clocks::round::{self, Passed};
use store::filter::{self, FindFilter, Order};
use store::planning::WaitingFind;

/// Lines of one section.
pub(super) const MOST: i64 = 30;
/// Clocks shown; the round shows them all.
const MOST_DUE: usize = 10;
/// Arrivals of a project.
const ARRIVALS: i64 = 10;
/// How far ahead a clock is shown.
const AHEAD: Duration = Duration::days(2);

#[derive(Template)]
#[template(path = "planning/today.html")]
struct TodayPage {
    chrome: Chrome,
    greeting: String,
    sections: Vec<Section>,
    projects: Vec<ProjectName>,
    /// Finds are sent to this person.
    has_desk: bool,
}

/// Something that waits, in one table.
pub(crate) struct Section {
    pub title: &'static str,
    pub lines: Vec<TodayLine>,
    /// The whole of it, where the section shows only the beginning: address and words.
    pub all: Vec<(String, String)>,
}

impl Section {
    /// A section that shows all there is.
    pub fn whole(title: &'static str, lines: Vec<TodayLine>) -> Self {
        Self { title, lines, all: Vec::new() }
    }
}

/// One thing that waits.
#[derive(Default)]
pub(crate) struct TodayLine {
    pub href: String,
    pub number: String,
    pub what: String,
    pub why: String,
    pub overdue: bool,
    pub project: String,
    /// A button that deals with it on the spot: address and words.
    pub button: Option<(String, &'static str)>,
    /// The page of the next step: address and words.
    pub step: Option<(String, String)>,
}

/// Leads to the page this person starts from.
pub(super) async fn start(ctx: Ctx) -> Redirect {
    Redirect::to(&landing(&ctx.actor, ctx.last_project()))
}

/// Where a person begins: whoever works on finds with what waits, the others with what is theirs.
fn landing(actor: &Actor, last: Option<&Membership>) -> String {
    let works = [Action::RecordWork, Action::RegisterFinds, Action::UploadImages];
    let reads = last.or(actor.memberships.first()).filter(|member| member.roles == [Role::Reader]);
    let holds = |role| actor.memberships.iter().any(|member| member.roles.contains(&role));
    if actor.may_somewhere(Action::WriteOpinion) && !actor.may_somewhere(Action::ViewProject) {
        links::MY_FINDS.into()
    } else if holds(Role::Manager) && !works.iter().any(|action| actor.may_somewhere(*action)) {
        links::BACKLOG.into()
    } else if let Some(member) = reads {
        links::report(&member.code)
    } else if actor.administrator && actor.memberships.is_empty() {
        links::PEOPLE.into()
    } else {
        links::TODAY.into()
    }
}

pub(super) async fn show(ctx: Ctx) -> Answer {
    let mut tx = ctx.read().await?;
    let (rounds, reviews) = due(&ctx, &mut tx).await?;
    let mut sections =
        vec![rounds, reviews, cleaning::authorisations(&ctx, &mut tx).await?, bench(&ctx, &mut tx).await?];
    sections.insert(3, questions::section(&ctx, &mut tx).await?);
    sections.push(cleaning::later_looks(&ctx, &mut tx).await?);
    sections.push(cleaning::answers(&ctx, &mut tx).await?);
    sections.push(cleaning::open_records(&ctx, &mut tx).await?);
    sections.push(photographs::lacking(&ctx, &mut tx).await?);
    sections.push(arrivals(&ctx, &mut tx).await?);
    sections.push(crate::review::reopened::section(&ctx, &mut tx).await?);
    sections.extend(crate::dispatches::waiting::sections(&ctx, &mut tx).await?);
    sections.retain(|section| !section.lines.is_empty());
    let chrome = ctx.chrome();
    let page = TodayPage {
        greeting: show_day(ctx.now.date_naive()),
        sections,
        projects: chrome.projects.clone(),
        has_desk: ctx.actor.may_somewhere(Action::WriteOpinion),
        chrome,
    };
    Ok(ok(page).into_response())
}

/// Projects whose finds this person works with.
fn working(ctx: &Ctx) -> impl Iterator<Item = &Membership> {
    ctx.actor.projects(Action::ListFinds)
}

/// What a round passes, and the conditions to be assessed again.
async fn due(ctx: &Ctx, tx: &mut Tx) -> Answer<(Section, Section)> {
    let (mut lines, mut reviews) = (Vec::new(), Vec::new());
    // whoever may do nothing about it is not told of it
    for member in working(ctx).filter(|m| m.grants(Action::RecordWork) || m.grants(Action::EditProject)) {
        let until = (ctx.now + AHEAD, ctx.now);
        let found = round::list_due(tx, member.project, until, member.restricted, MOST).await?;
        let may_look = member.grants(Action::RecordWork);
        for pack in found {
            let lines = if pack.kind.is_of_rounds() { &mut lines } else { &mut reviews };
            lines.push((pack.due_at(), due_line(ctx, &pack, may_look)));
        }
    }
    lines.sort_by_key(|(due, _)| *due);
    reviews.sort_by_key(|(due, _)| *due);
    let all_words = match lines.len() {
        n if n > MOST_DUE => format!("Go round: {n} are due"),
        _ => "Go round".to_owned(),
    };
    let lines: Vec<TodayLine> = lines.into_iter().map(|(_, line)| line).take(MOST_DUE).collect();
    let goes_round = ctx.actor.may_somewhere(Action::RecordWork);
    let all = goes_round.then(|| (links::ROUNDS.to_owned(), all_words)).into_iter().collect();
    let reviews = reviews.into_iter().map(|(_, line)| line).collect();
    let reviews = Section::whole("Conditions to be assessed again", reviews);
    Ok((Section { title: "Wet packs and checks due", lines, all }, reviews))
}

fn due_line(ctx: &Ctx, pack: &Passed, may_look: bool) -> TodayLine {
    let stands = standing(pack.limit_at, pack.next_check_at, ctx.now);
    let open = pack.left_open.iter().filter(|words| !words.is_empty());
    let why: Vec<String> = std::iter::once(format!("{}: {}", pack.kind, stands.words))
        .chain(open.map(|words| format!("not in order: {words}")))
        .collect();
    let place = pack.place_path.as_ref().map(|path| format!(", {path}")).unwrap_or_default();
    let of_rounds = pack.kind.is_of_rounds();
    TodayLine {
        href: links::find(pack.find_id),
        number: pack.number.clone(),
        what: crate::rounds::what(pack) + &place,
        why: why.join("; "),
        overdue: stands.overdue,
        project: pack.project_code.clone(),
        button: (may_look && of_rounds).then(|| (links::clock_look(pack.id), "In order")),
        step: (may_look && !of_rounds)
            .then(|| (links::condition_of(&pack.project_code, pack.find_id), "Assess again".to_owned())),
    }
}

async fn bench(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut lines = Vec::new();
    for member in working(ctx) {
        let found = store::planning::list_bench(tx, member.project, ctx.actor.person, MOST).await?;
        lines.extend(found.into_iter().map(|find| {
            let days = (ctx.now - find.stage_since).num_days();
            let why = format!("{}, {}, {days} days", find.stage.label(), find.stage_state.label());
            let at = find.stage;
            let records = member.grants(Action::RecordWork)
                && at.takes_record()
                && !at.only_looks()
                && at != Stage::Desalination;
            let step = records
                .then(|| (links::record_of(&member.code, at, find.id), format!("Record {}", at.label())));
            (find.stage_since, TodayLine { step, ..line(&find, why) })
        }));
    }
    lines.sort_by_key(|(since, _)| *since);
    let lines = lines.into_iter().map(|(_, line)| line).take(MOST as usize).collect();
    Ok(Section::whole("On your bench", lines))
}

/// New finds without a first record: for whoever registers.
async fn arrivals(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let (mut lines, mut all) = (Vec::new(), Vec::new());
    for member in ctx.actor.projects(Action::RegisterFinds) {
        let at = Stage::FirstAid;
        let filter =
            FindFilter { stage: Some(at), restricted_too: member.restricted, ..FindFilter::default() };
        let found =
            filter::list(tx, member.project, &filter, Order::LongestWaiting, None, ARRIVALS + 1).await?;
        if found.len() > ARRIVALS as usize {
            let list = format!("{}?stage={}&sort=waiting", links::finds(&member.code), at.code());
            all.push((list, format!("All of {}", member.code)));
        }
        let records = member.grants(Action::RecordWork);
        lines.extend(found.into_iter().take(ARRIVALS as usize).map(|find| {
            let line = TodayLine {
                href: links::find(find.id),
                number: find.number,
                what: [find.object_type, find.material_name].join(", "),
                why: format!("registered {}", show_day(find.stage_since.date_naive())),
                project: member.code.clone(),
                step: records
                    .then(|| (links::record_of(&member.code, at, find.id), format!("Record {}", at.label()))),
                ..TodayLine::default()
            };
            (find.stage_since, line)
        }));
    }
    lines.sort_by_key(|(since, _)| *since);
    let lines = lines.into_iter().map(|(_, line)| line).collect();
    Ok(Section { title: "Arrivals without a first record", lines, all })
}

fn line(find: &WaitingFind, why: String) -> TodayLine {
    let what = [find.object_type.as_str(), find.material_name.as_str()];
    let place = find.place_path.as_ref().map(|path| format!(", {path}")).unwrap_or_default();
    TodayLine {
        href: links::find(find.id),
        number: find.number.clone(),
        what: what.iter().filter(|w| !w.is_empty()).copied().collect::<Vec<_>>().join(", ") + &place,
        why,
        project: find.project_code.clone(),
        ..TodayLine::default()
    }
}
