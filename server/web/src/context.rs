//! What a handler knows besides the request: who asks, under which action, at which moment.
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::page::{Chrome, NavItem, ProjectName};
use crate::review::settlement_mail;
use crate::{App, links, session};
use axum::extract::FromRequestParts;
use axum::http::header;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Redirect, Response};
use domain::Instant;
use domain::ids::{FindId, ImageId, ProjectId};
use domain::permission::{Action, Actor, Membership};
use domain::review::share::Share;
use store::finds::Find;
use store::images::Image;
use store::{StoreError, Tx};

/// A signed-in visitor.
#[derive(Debug, Clone)]
pub struct Visitor {
    pub actor: Actor,
    /// Stands hidden in every form of this session.
    pub form_token: String,
    pub token_hash: Vec<u8>,
    /// On a tablet that several people share.
    pub tablet: bool,
}

/// The context of a request by a signed-in person on an admitted route.
#[derive(Clone)]
pub struct Ctx {
    pub app: App,
    pub actor: Actor,
    pub form_token: String,
    pub token_hash: Vec<u8>,
    /// On a tablet that several people share.
    pub tablet: bool,
    pub now: Instant,
    /// The action the route is bound to.
    pub action: Action,
    path: String,
    notice: Option<String>,
    /// Code of the project this browser looked at last.
    last_project: Option<String>,
}

const NOTICE: &str = "findway-notice";
const LAST_PROJECT: &str = "findway-project";

impl FromRequestParts<App> for Ctx {
    type Rejection = AppError;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, AppError> {
        let visitor = parts.extensions.get::<Option<Visitor>>().cloned().flatten();
        let visitor = visitor.ok_or(AppError::Forbidden)?;
        let action =
            *parts.extensions.get::<Action>().ok_or_else(|| AppError::inside("a route without an action"))?;
        Ok(Ctx {
            actor: visitor.actor,
            form_token: visitor.form_token,
            token_hash: visitor.token_hash,
            tablet: visitor.tablet,
            now: app.clock.now(),
            action,
            path: parts.uri.path().to_owned(),
            notice: session::cookie(&parts.headers, NOTICE).map(|text| decode(&text)),
            last_project: session::cookie(&parts.headers, LAST_PROJECT),
            app: app.clone(),
        })
    }
}

fn decode(text: &str) -> String {
    let pair = format!("n={text}");
    form_urlencoded::parse(pair.as_bytes()).next().map(|(_, v)| v.into_owned()).unwrap_or_default()
}

impl Ctx {
    /// A transaction for looking.
    pub async fn read(&self) -> Answer<Tx> {
        Ok(self.app.db.read().await?)
    }

    /// A transaction for changing.
    pub async fn write(&self) -> Answer<Tx> {
        Ok(self.app.db.write().await?)
    }

    /// The membership in the project a path names, the route's action being granted in it.
    pub fn project(&self, code: &str) -> Answer<&Membership> {
        let member = self.actor.memberships.iter().find(|m| m.code.eq_ignore_ascii_case(code));
        let member = member.ok_or(AppError::NotFound)?;
        if self.actor.may(self.action, member.project) { Ok(member) } else { Err(AppError::Forbidden) }
    }

    /// Gates 2 and 1 for a find: visible to this person, and the route's action granted in its project.
    pub async fn find(&self, tx: &mut Tx, id: FindId) -> Answer<Find> {
        let find = store::finds::find_visible(tx, &self.actor, id).await?.ok_or(AppError::NotFound)?;
        self.allow(find.project_id)?;
        Ok(find)
    }

    /// The same where this part of its records is to be seen: what was not shared is not there.
    pub async fn find_sharing(&self, tx: &mut Tx, id: FindId, part: Share) -> Answer<Find> {
        let find = self.find(tx, id).await?;
        if find.seen.has(part) { Ok(find) } else { Err(AppError::NotFound) }
    }

    /// Gates 2 and 1 for a photograph.
    pub async fn image(&self, tx: &mut Tx, id: ImageId) -> Answer<Image> {
        let image = store::images::find_visible(tx, &self.actor, id).await?.ok_or(AppError::NotFound)?;
        self.allow(image.project_id)?;
        Ok(image)
    }

    /// Refuses unless the route's action is granted in this project.
    pub fn allow(&self, project: ProjectId) -> Answer<()> {
        if self.actor.may(self.action, project) {
            Ok(())
        } else if self.actor.membership(project).is_some() {
            Err(AppError::Forbidden)
        } else {
            Err(AppError::NotFound)
        }
    }

    /// Where the first sending of this form led, when this is the second.
    pub async fn repeated<F>(&self, tx: &mut Tx, posted: &Posted<F>) -> Answer<Option<Response>> {
        let reply = store::submissions::find_reply(tx, posted.submission, self.actor.person).await?;
        Ok(reply.map(|reply| Redirect::to(&reply).into_response()))
    }

    /// Ends a change: notes the submission, writes of settlements it opened again, commits, leads on with a notice.
    pub async fn finish<F>(&self, mut tx: Tx, posted: &Posted<F>, to: &str, notice: &str) -> Answer {
        let noted =
            store::submissions::insert(&mut tx, posted.submission, self.actor.person, to, self.now).await;
        match noted {
            Ok(()) => {
                settlement_mail::tell_reopened(&self.app.config, &mut tx, self.now).await?;
                tx.commit().await?;
                self.app.letterbox.ring();
                Ok(self.lead_on(to, notice))
            }
            Err(StoreError::Taken) => {
                drop(tx);
                let mut tx = self.read().await?;
                self.repeated(&mut tx, posted).await?.ok_or(AppError::Store(StoreError::Changed))
            }
            Err(other) => Err(other.into()),
        }
    }

    /// Leads to a page that shows a notice once.
    pub fn lead_on(&self, to: &str, notice: &str) -> Response {
        ([(header::SET_COOKIE, self.notice(notice))], Redirect::to(to)).into_response()
    }

    /// The same where what was asked for cannot be done.
    pub fn lead_back(&self, to: String, notice: &str) -> AppError {
        AppError::Led { to, notice: self.notice(notice) }
    }

    fn notice(&self, words: &str) -> String {
        let value: String = form_urlencoded::byte_serialize(words.as_bytes()).collect();
        session::set_cookie(&self.app.config, NOTICE, &value, 60)
    }

    /// What surrounds a page that belongs to no one project.
    pub fn chrome(&self) -> Chrome {
        self.chrome_of(None)
    }

    /// What surrounds a page of a project.
    pub fn chrome_in(&self, project: ProjectId) -> Chrome {
        self.chrome_of(self.actor.membership(project))
    }

    /// Where the trail of a find’s pages begins for this person: the project’s list, or what was assigned to them.
    pub fn trail_of_finds(&self, project: ProjectId, code: &str) -> (String, &'static str) {
        if self.actor.may(Action::ListFinds, project) {
            (links::finds(code), "Finds")
        } else {
            (links::MY_FINDS.into(), "My finds")
        }
    }

    fn chrome_of(&self, own: Option<&Membership>) -> Chrome {
        let name = |m: &Membership| ProjectName {
            code: m.code.clone(),
            name: m.name.clone(),
            href: links::project(&m.code),
        };
        let project = own.or(self.last_project()).or(self.actor.memberships.first());
        Chrome {
            program: domain::PROGRAM,
            signed_in: true,
            person_name: self.actor.name.clone(),
            nav: self.nav(project),
            project: project.map(name),
            is_of_project: own.is_some(),
            projects: self.actor.projects(Action::ViewProject).map(name).collect(),
            search_href: project.filter(|m| m.grants(Action::ListFinds)).map(|m| links::finds(&m.code)),
            search_query: String::new(),
            token: self.form_token.clone(),
            notice: self.notice.clone(),
            locks_after_s: self.tablet.then(|| self.app.config.tablet_idle.num_seconds()),
            now: self.now,
        }
    }

    /// The project this browser looked at last, if this person is still in it.
    pub fn last_project(&self) -> Option<&Membership> {
        self.actor.memberships.iter().find(|m| Some(&m.code) == self.last_project.as_ref())
    }

    fn nav(&self, project: Option<&Membership>) -> Vec<NavItem> {
        let mut items: Vec<(&'static str, String)> = Vec::new();
        // Somebody who only writes opinions begins with the finds that were sent.
        let outside = self.actor.may_somewhere(Action::WriteOpinion)
            && !self.actor.may_somewhere(Action::ViewProject)
            && !self.actor.administrator;
        if !outside {
            items.push(("Today", links::TODAY.into()));
        }
        if self.actor.may_somewhere(Action::WriteOpinion) {
            items.push(("My finds", links::MY_FINDS.into()));
        }
        if self.actor.may_somewhere(Action::RecordWork) {
            items.push(("Bench", links::BENCH.into()));
            items.push(("Rounds", links::ROUNDS.into()));
        }
        if let Some(member) = project {
            let of_project: [(&str, Action, String); 5] = [
                ("Finds", Action::ListFinds, links::finds(&member.code)),
                ("Contexts", Action::ViewContexts, links::contexts(&member.code)),
                ("Specialists", Action::ViewAssignments, links::specialists(&member.code)),
                ("Places", Action::ListFinds, links::places(&member.code)),
                ("Report", Action::ViewReport, links::report(&member.code)),
            ];
            let granted = of_project.into_iter().filter(|(_, action, _)| member.grants(*action));
            items.extend(granted.map(|(label, _, href)| (label, href)));
        }
        if self.actor.may_somewhere(Action::ViewBacklog) {
            let before_places = items.iter().position(|(label, _)| *label == "Places").unwrap_or(items.len());
            items.insert(before_places, ("Backlog", links::BACKLOG.into()));
        }
        if project.is_some_and(|m| m.grants(Action::EditProject)) {
            items.extend(project.map(|m| ("People", links::members(&m.code))));
        } else if self.actor.administrator {
            items.push(("People", links::PEOPLE.into()));
        }
        let several = self.actor.memberships.len() > 1 && self.actor.reaches(Action::OwnAccount);
        if self.actor.administrator || several {
            items.push(("Projects", links::PROJECTS.into()));
        }
        let path = project.map_or_else(|| self.path.clone(), |member| home(&self.path, &member.code));
        let under = |href: &str| path == href || path.starts_with(&format!("{href}/"));
        let longest =
            items.iter().map(|(_, href)| href).filter(|href| under(href)).max_by_key(|href| href.len());
        let longest = longest.cloned();
        let here = |href: &str| longest.as_deref() == Some(href);
        items.into_iter().map(|(label, href)| NavItem { label, current: here(&href), href }).collect()
    }
}

/// Pages of a project that belong to another item of the menu.
const AT_HOME_IN: [(&str, &str); 3] =
    [("diagram", "contexts"), ("dispatches", "specialists"), ("assignments", "specialists")];

/// The path by which the menu knows where a page belongs.
fn home(path: &str, code: &str) -> String {
    let page = path.strip_prefix(&format!("/projects/{code}/")).and_then(|rest| rest.split('/').next());
    let item = AT_HOME_IN.iter().find(|(own, _)| Some(*own) == page);
    item.map_or_else(|| path.to_owned(), |(_, item)| format!("/projects/{code}/{item}"))
}

/// Remembers which project was looked at last, so that pages across projects lead back to it.
pub async fn remember_project(
    axum::extract::State(app): axum::extract::State<App>,
    request: axum::extract::Request,
    next: axum::middleware::Next,
) -> Response {
    let code = request.uri().path().strip_prefix("/projects/").and_then(|rest| rest.split('/').next());
    let code =
        code.filter(|code| !code.is_empty() && code.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-'));
    let code = code
        .map(str::to_uppercase)
        .filter(|code| session::cookie(request.headers(), LAST_PROJECT).as_ref() != Some(code));
    let mut response = next.run(request).await;
    if let Some(code) = code
        && response.status().is_success()
        && let Ok(cookie) = session::set_cookie(&app.config, LAST_PROJECT, &code, 180 * 86_400).parse()
    {
        response.headers_mut().append(header::SET_COOKIE, cookie);
    }
    response
}

/// Takes a shown notice away again.
pub async fn clear_notice(
    axum::extract::State(app): axum::extract::State<App>,
    request: axum::extract::Request,
    next: axum::middleware::Next,
) -> Response {
    let shown = session::cookie(request.headers(), NOTICE).is_some();
    let mut response = next.run(request).await;
    let html = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if shown
        && html
        && let Ok(cookie) = session::set_cookie(&app.config, NOTICE, "", 0).parse()
    {
        response.headers_mut().append(header::SET_COOKIE, cookie);
    }
    response
}
