//! The limits of a project's clocks: the usual ones with their source, and what a lead set apart from them.
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use domain::clocks::{ClockKind, MOST_DAYS, OTHERS, Rule, usual};
use domain::ids::ProjectId;
use domain::permission::Action;
use store::clocks::rules::{self, OwnRule};
use store::journal::{self, Entry};
use store::{StoreError, Tx};

#[derive(Template)]
#[template(path = "rounds/rules.html")]
struct RulesPage {
    chrome: Chrome,
    code: String,
    kinds: Vec<KindRules>,
    edits: bool,
    /// Code and name of each group, for a limit of its own.
    groups: Vec<(String, String)>,
}

struct KindRules {
    label: &'static str,
    lines: Vec<RuleLine>,
}

struct RuleLine {
    group: String,
    limit: String,
    look: String,
    source: String,
    href: String,
}

#[derive(Template)]
#[template(path = "rounds/rule.html")]
struct RulePage {
    chrome: Chrome,
    code: String,
    kind: ClockKind,
    group: String,
    usual: String,
    form: RuleForm,
    errors: Errors,
    conflict: Option<Conflict>,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RuleForm {
    kind: String,
    material: String,
    revision: String,
    take: String,
    limit_days: String,
    warn_days: String,
    look_days: String,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let own = rules::list(&mut tx, member.project).await?;
    let groups: Vec<(String, String)> = store::materials::list(&mut tx, member.project)
        .await?
        .into_iter()
        .map(|group| (group.code, group.name))
        .collect();
    let lines = |kind: ClockKind| {
        let others = std::iter::once((OTHERS.to_owned(), OTHERS_NAME.to_owned()));
        let special = groups.iter().filter(|(material, _)| special(&own, kind, material)).cloned();
        others.chain(special).map(|(material, name)| line(&code, &own, kind, (&material, name))).collect()
    };
    let page = RulesPage {
        chrome: ctx.chrome_in(member.project),
        code: member.code.clone(),
        kinds: ClockKind::ROUNDS.iter().map(|k| KindRules { label: k.plural(), lines: lines(*k) }).collect(),
        edits: member.grants(Action::EditRoutes),
        groups,
    };
    Ok(ok(page).into_response())
}

const OTHERS_NAME: &str = "every other material";

/// Whether a group has a rule of its own, usual or set by a lead.
fn special(own: &[OwnRule], kind: ClockKind, material: &str) -> bool {
    usual(kind, material).is_some() || own.iter().any(|o| o.kind == kind && o.material == material)
}

fn line(code: &str, own: &[OwnRule], kind: ClockKind, (material, group): (&str, String)) -> RuleLine {
    let rule = rules::choose(own, kind, material);
    let set = own.iter().any(|o| o.kind == kind && o.material == material);
    let source = if set {
        "set by the project’s lead".to_owned()
    } else {
        usual(kind, material).or_else(|| usual(kind, OTHERS)).map(|u| u.source.to_owned()).unwrap_or_default()
    };
    RuleLine {
        group,
        limit: limit_words(rule),
        look: format!("every {}", days(rule.look_days)),
        source,
        href: links::clock_rule(code, kind, material),
    }
}

fn limit_words(rule: Rule) -> String {
    match rule.limit_days {
        Some(limit) => format!("{}, spoken of {} before", days(limit), days(rule.warn_days)),
        None => "none".into(),
    }
}

fn days(n: i64) -> String {
    if n == 1 { "1 day".into() } else { format!("{n} days") }
}

pub(super) async fn edit(ctx: Ctx, Path(code): Path<String>, Asked(asked): Asked<RuleForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let (kind, group) = subject(&mut tx, project, &asked).await?;
    let form = kept(&mut tx, project, kind, &asked.material).await?;
    Ok(ok(page(&ctx, &code, (kind, group), form)?).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(code): Path<String>, posted: Posted<RuleForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut form = posted.form.clone();
    let (kind, group) = subject(&mut tx, project, &form).await?;
    let now = kept(&mut tx, project, kind, &form.material).await?;
    if !form.take.is_empty() || form.revision != now.revision {
        form.take_over(&now);
        let conflict = Some(Conflict::between(&form.fields(), &now.fields()));
        let page = RulePage { conflict, ..page(&ctx, &code, (kind, group), form)? };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let rule = match form.parse() {
        Ok(rule) => rule,
        Err(errors) => {
            let page = RulePage { errors, ..page(&ctx, &code, (kind, group), form)? };
            return Ok(again(page).into_response());
        }
    };
    let revision = form.revision.parse().unwrap_or_default();
    match rules::replace(&mut tx, project, (kind, &form.material), rule, revision).await {
        Err(StoreError::Changed) => return Err(AppError::Store(StoreError::Changed)),
        other => other?,
    }
    let words = format!(
        "set the limits of {}, {group}: limit {}, a look every {}",
        kind.plural().to_lowercase(),
        limit_words(rule),
        days(rule.look_days)
    );
    let entry = Entry {
        project: Some(project),
        verb: "changed",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(
        tx,
        &posted,
        &links::clock_rules(&code),
        "The limits are saved. They hold from the next start or look on.",
    )
    .await
}

/// The kind and the name of the group an address or a form speaks of.
async fn subject(tx: &mut Tx, project: ProjectId, form: &RuleForm) -> Answer<(ClockKind, String)> {
    let Some(kind) = form.kind.parse().ok().filter(|kind: &ClockKind| kind.is_of_rounds()) else {
        return Err(AppError::Unreadable(
            "Choose a kind of clock and a material in the list of limits.".into(),
        ));
    };
    if form.material == OTHERS {
        return Ok((kind, OTHERS_NAME.to_owned()));
    }
    let group = store::materials::find(tx, project, &form.material).await?.ok_or(AppError::NotFound)?;
    Ok((kind, group.name))
}

/// The form of the rule that holds now.
async fn kept(tx: &mut Tx, project: ProjectId, kind: ClockKind, material: &str) -> Answer<RuleForm> {
    let own = rules::list(tx, project).await?;
    let rule = rules::choose(&own, kind, material);
    let revision = own.iter().find(|o| o.kind == kind && o.material == material).map_or(0, |o| o.revision);
    Ok(RuleForm {
        kind: kind.code().into(),
        material: material.to_owned(),
        revision: revision.to_string(),
        take: String::new(),
        limit_days: rule.limit_days.map(|days| days.to_string()).unwrap_or_default(),
        warn_days: rule.warn_days.to_string(),
        look_days: rule.look_days.to_string(),
    })
}

fn page(ctx: &Ctx, code: &str, (kind, group): (ClockKind, String), form: RuleForm) -> Answer<RulePage> {
    let member = ctx.project(code)?;
    let usual = usual(kind, &form.material).or_else(|| usual(kind, OTHERS));
    let usual = usual.map(|u| {
        format!(
            "Usually: limit {}; a look every {}. {}.",
            limit_words(u.rule),
            days(u.rule.look_days),
            u.source
        )
    });
    Ok(RulePage {
        chrome: ctx.chrome_in(member.project),
        code: member.code.clone(),
        kind,
        group,
        usual: usual.unwrap_or_default(),
        form,
        errors: Errors::default(),
        conflict: None,
    })
}

impl RuleForm {
    fn parse(&self) -> Result<Rule, Errors> {
        let mut errors = Errors::default();
        let limit_days = within(&mut errors, "limit_days", &self.limit_days, 1);
        let warn_days = within(&mut errors, "warn_days", &self.warn_days, 0).unwrap_or_default();
        let look_days = within(&mut errors, "look_days", &self.look_days, 1);
        if limit_days.is_some_and(|limit| warn_days > limit) {
            errors.add("warn_days", "The warning comes before the limit: no more days than that.");
        }
        if look_days.is_none() {
            errors.add("look_days", "Say after how many days somebody looks again.");
        }
        match look_days {
            Some(look_days) if errors.is_empty() => Ok(Rule { limit_days, warn_days, look_days }),
            _ => Err(errors),
        }
    }

    fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        vec![
            ("limit_days", "Limit", self.limit_days.clone()),
            ("warn_days", "Spoken of before", self.warn_days.clone()),
            ("look_days", "Days between looks", self.look_days.clone()),
        ]
    }

    /// Takes the field asked for over from the kept version; what is sent next starts from that.
    fn take_over(&mut self, kept: &RuleForm) {
        match std::mem::take(&mut self.take).as_str() {
            "limit_days" => self.limit_days.clone_from(&kept.limit_days),
            "warn_days" => self.warn_days.clone_from(&kept.warn_days),
            "look_days" => self.look_days.clone_from(&kept.look_days),
            _ => {}
        }
        self.revision.clone_from(&kept.revision);
    }
}

fn within(errors: &mut Errors, field: &'static str, typed: &str, least: i64) -> Option<i64> {
    let days = errors.whole(field, typed, least);
    if days.is_some_and(|days| days > MOST_DAYS) {
        errors.add(field, format!("Write {MOST_DAYS} days or fewer."));
    }
    days
}
