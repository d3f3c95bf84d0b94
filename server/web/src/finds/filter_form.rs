//! A filter as it stands in an address, and what it asks of the store.
use crate::context::Ctx;
use crate::error::Answer;
use domain::ids::{PersonId, ProjectId};
use domain::permission::Action;
use store::Tx;
use store::filter::{After, FindFilter, FindLine, Order};

/// As it stands in the address.
#[derive(Debug, Clone, Default, serde::Deserialize, serde::Serialize)]
#[serde(default)]
pub struct FilterForm {
    #[serde(skip_serializing_if = "String::is_empty")]
    pub q: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub headline: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub stage: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub material: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub context: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub person: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub kind: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub held: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub overdue: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub void: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub sort: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub after: String,
}

impl FilterForm {
    /// What it asks of the store; words that mean nothing narrow to nothing rather than widen to everything.
    pub async fn read(&self, ctx: &Ctx, tx: &mut Tx, project: ProjectId) -> Answer<Option<FindFilter>> {
        let mut filter = FindFilter {
            headline: parsed(&self.headline),
            stage: parsed(&self.stage),
            material: Some(self.material.clone()).filter(|m| !m.is_empty()),
            place: parsed(&self.place),
            assignee: match self.person.as_str() {
                "me" => Some(ctx.actor.person),
                other => parsed::<PersonId>(other),
            },
            held: !self.held.is_empty(),
            overdue_at: (!self.overdue.is_empty()).then_some(ctx.now),
            bulk: match self.kind.as_str() {
                "bulk" => Some(true),
                "single" => Some(false),
                _ => None,
            },
            void: !self.void.is_empty(),
            words: self.q.clone(),
            opinions: ctx.actor.may(Action::ViewOpinions, project),
            restricted_too: ctx.actor.sees_restricted(project),
            context: None,
        };
        let meaningless = (filter.headline.is_none() && !self.headline.is_empty())
            || (filter.stage.is_none() && !self.stage.is_empty())
            || (filter.place.is_none() && !self.place.is_empty())
            || (filter.assignee.is_none() && !self.person.is_empty())
            || (filter.bulk.is_none() && !self.kind.is_empty())
            || (store::search::terms(&self.q).is_empty() && !self.q.trim().is_empty());
        if let Some(number) = domain::finds::number::normal(&self.context) {
            match store::contexts::find_by_number(tx, project, &number).await? {
                Some(context) => filter.context = Some(context.id),
                None => return Ok(None),
            }
        }
        Ok((!meaningless).then_some(filter))
    }

    /// In which order.
    pub fn order(&self) -> Order {
        match self.sort.as_str() {
            "waiting" => Order::LongestWaiting,
            "newest" => Order::Newest,
            _ => Order::Number,
        }
    }

    /// What the page goes on after: a find, and in microseconds since when it stood at its stage when that page was shown, so
    /// that work done on it meanwhile skips nobody.
    pub fn after(&self) -> Option<After> {
        let (find, since) = self.after.split_once('.').unwrap_or((&self.after, ""));
        let since = parsed(since).and_then(chrono::DateTime::from_timestamp_micros);
        Some(After { find: parsed(find)?, since })
    }

    /// The filter as the query part of an address, from its first page.
    pub fn query(&self) -> String {
        let first = FilterForm { after: String::new(), ..self.clone() };
        serde_html_form::to_string(&first).unwrap_or_default()
    }

    /// The address of the page after a find.
    pub fn older(&self, last: &FindLine) -> String {
        let after = match self.order() {
            Order::LongestWaiting => format!("{}.{}", last.id, last.stage_since.timestamp_micros()),
            Order::Number | Order::Newest => last.id.to_string(),
        };
        let next = FilterForm { after, ..self.clone() };
        serde_html_form::to_string(&next).unwrap_or_default()
    }

    /// Whether anything narrows the list.
    pub fn narrows(&self) -> bool {
        let bare = FilterForm { sort: self.sort.clone(), ..FilterForm::default() };
        self.query() != bare.query()
    }
}

fn parsed<T: std::str::FromStr>(text: &str) -> Option<T> {
    text.parse().ok()
}
