//! The whole application in process: requests go through every layer, answers are read as pages.
use super::engines::quick_folder;
use super::{Site, Start, noon};
use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use domain::Instant;
use domain::ids::{PersonId, SubmissionId};
use domain::permission::Role;
use scraper::{ElementRef, Html, Selector};
use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};
use std::net::SocketAddr;
use std::rc::Rc;
use std::sync::Arc;
use store::Db;
use store::sessions::NewSession;
use tower::ServiceExt;
use web::App;
use web::clock::Clock;
use web::config::Settings;

/// The site, and the application that serves it at [`noon`].
#[derive(Clone)]
pub struct Lab {
    pub site: Site,
    pub app: App,
    router: Router,
    folder: Arc<tempfile::TempDir>,
}

impl Start for Lab {
    async fn start(db: Db) -> Self {
        Lab::of(Site::new(&db).await)
    }
}

impl Lab {
    /// The application over a site.
    pub fn of(site: Site) -> Self {
        let folder = tempfile::Builder::new().prefix("findway-test-").tempdir_in(quick_folder()).unwrap();
        Self::at(site, Arc::new(folder), noon())
    }

    /// The same application at another moment; sessions and files stay.
    pub fn later(&self, now: Instant) -> Self {
        Self::at(self.site.clone(), self.folder.clone(), now)
    }

    fn at(site: Site, folder: Arc<tempfile::TempDir>, now: Instant) -> Self {
        let settings = Settings::in_folder(folder.path(), ([127, 0, 0, 1], 8080).into());
        let config = settings.check().unwrap();
        std::fs::create_dir_all(&config.files).unwrap();
        let app = App::new(site.db.clone(), config, Clock::Fixed(now));
        Self { router: web::serve::router(&app), site, app, folder }
    }

    /// The same application on a free port, until the test ends; where it is.
    pub async fn serve(&self) -> String {
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let base = format!("http://{}", listener.local_addr().unwrap());
        let service = self.router.clone().into_make_service_with_connect_info::<SocketAddr>();
        tokio::spawn(async move { axum::serve(listener, service).await });
        base
    }

    /// Where files and letters go.
    pub fn folder(&self) -> &std::path::Path {
        self.folder.path()
    }

    /// Nobody in particular.
    pub fn stranger(&self) -> Visitor {
        Visitor { lab: self.clone(), cookies: BTreeMap::new(), token: String::new() }
    }

    /// The person of a role, signed in.
    pub async fn sign_in(&self, role: Role) -> Visitor {
        self.sign_in_as(self.site.person(role)).await
    }

    /// A person, signed in, without the sign-in page.
    pub async fn sign_in_as(&self, person: PersonId) -> Visitor {
        let (token, form_token) = (uuid::Uuid::new_v4().to_string(), uuid::Uuid::new_v4().to_string());
        let now = self.app.clock.now();
        let session = NewSession {
            token_hash: &web::session::digest(&token),
            person,
            form_token: &form_token,
            expires_at: now + web::session::ABSOLUTE,
        };
        let mut tx = self.site.db.write().await.unwrap();
        store::sessions::insert(&mut tx, &session, now).await.unwrap();
        tx.commit().await.unwrap();
        let name = web::session::cookie_name(&self.app.config).to_owned();
        Visitor { lab: self.clone(), cookies: BTreeMap::from([(name, token)]), token: form_token }
    }

    /// A person who came by a PIN, on a tablet that the lead shares.
    pub async fn come_by_pin(&self, person: PersonId) -> Visitor {
        let visitor = self.sign_in_as(person).await;
        let now = self.app.clock.now();
        let (hash, lead) = (uuid::Uuid::new_v4(), self.site.person(Role::Lead));
        let mut tx = self.site.db.write().await.unwrap();
        let tablet = store::tablets::insert(&mut tx, hash.as_bytes(), "Wet bench", lead, now).await.unwrap();
        store::sessions::update_tablet(&mut tx, &visitor.token_hash(), tablet, true).await.unwrap();
        tx.commit().await.unwrap();
        visitor
    }
}

/// A browser of one person: keeps cookies, fills in what forms hide.
#[derive(Clone)]
pub struct Visitor {
    lab: Lab,
    cookies: BTreeMap<String, String>,
    /// What every form of the session hides.
    pub token: String,
}

impl Visitor {
    /// What the database keeps of this session.
    pub fn token_hash(&self) -> Vec<u8> {
        web::session::digest(&self.cookies[web::session::cookie_name(&self.lab.app.config)])
    }
}

impl Visitor {
    /// Takes over the cookies of another browser.
    pub fn clone_cookies(&mut self, other: &Visitor) {
        self.cookies.clone_from(&other.cookies);
    }

    /// The cookies of this browser, name and value.
    pub fn cookies(&self) -> impl Iterator<Item = (&String, &String)> {
        self.cookies.iter()
    }

    /// Opens a page.
    pub async fn get(&mut self, path: &str) -> Reply {
        self.send(Method::GET, path, &[], Vec::new()).await
    }

    /// Opens a page that must be there.
    pub async fn page(&mut self, path: &str) -> Reply {
        let reply = self.get(path).await;
        assert_eq!(reply.status, StatusCode::OK, "{path}: {}", reply.text("main"));
        reply
    }

    /// Sends a form with its hidden token and a fresh submission id; fields may repeat.
    pub async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Reply {
        let submission = SubmissionId::new(self.lab.app.clock.now()).to_string();
        let token = self.token.clone();
        let hidden = [("_token", token.as_str()), ("submission", submission.as_str())];
        self.post_bare(path, &[&hidden, fields].concat()).await
    }

    /// Sends exactly these fields.
    pub async fn post_bare(&mut self, path: &str, fields: &[(&str, &str)]) -> Reply {
        self.send(Method::POST, path, &[(header::CONTENT_TYPE.as_str(), FORM)], encode(fields)).await
    }

    /// Sends a form of a page as a browser would: what stands in its fields, with these changed.
    pub async fn submit(&mut self, page: &Reply, form: &str, changes: &[(&str, &str)]) -> Reply {
        let (path, fields) = page.form(form);
        let mut fields: Vec<(String, String)> = fields
            .into_iter()
            .filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name))
            .collect();
        fields.extend(changes.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        self.post_bare(&path, &fields).await
    }

    /// Sends files with the hidden fields, as a browser does with `multipart/form-data`.
    pub async fn upload(
        &mut self,
        path: &str,
        fields: &[(&str, &str)],
        files: &[(&str, &str, &[u8])],
    ) -> Reply {
        const EDGE: &str = "findway-test-edge";
        let submission = SubmissionId::new(self.lab.app.clock.now()).to_string();
        let token = self.token.clone();
        let hidden = [("_token", token.as_str()), ("submission", submission.as_str())];
        let mut body = Vec::new();
        for (name, value) in hidden.iter().chain(fields) {
            let part =
                format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
            body.extend_from_slice(part.as_bytes());
        }
        for (name, file, bytes) in files {
            let head = format!(
                "--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"{file}\"\r\nContent-Type: \
                 application/octet-stream\r\n\r\n"
            );
            body.extend_from_slice(head.as_bytes());
            body.extend_from_slice(bytes);
            body.extend_from_slice(b"\r\n");
        }
        body.extend_from_slice(format!("--{EDGE}--\r\n").as_bytes());
        let kind = format!("multipart/form-data; boundary={EDGE}");
        self.send(Method::POST, path, &[(header::CONTENT_TYPE.as_str(), &kind)], body).await
    }

    /// Follows a redirect to the page it leads to.
    pub async fn follow(&mut self, reply: &Reply) -> Reply {
        let to = reply.location();
        self.page(&to).await
    }

    /// Signs in by the page.
    pub async fn sign_in(&mut self, email: &str, password: &str) -> Reply {
        self.post_bare(web::links::SIGN_IN, &[("email", email), ("password", password)]).await
    }

    /// Any request, with the cookies of this browser.
    pub async fn send(
        &mut self,
        method: Method,
        path: &str,
        headers: &[(&str, &str)],
        body: Vec<u8>,
    ) -> Reply {
        let mut request = Request::builder().method(method).uri(path).header(header::HOST, "127.0.0.1:8080");
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        if !cookies.is_empty() {
            request = request.header(header::COOKIE, cookies.join("; "));
        }
        let peer: SocketAddr = ([127, 0, 0, 1], 50_000).into();
        let request = request.extension(ConnectInfo(peer)).body(Body::from(body)).unwrap();
        let response = self.lab.router.clone().oneshot(request).await.unwrap();
        let (head, body) = response.into_parts();
        self.keep(&head.headers);
        let body = axum::body::to_bytes(body, 64 << 20).await.unwrap().to_vec();
        Reply { status: head.status, headers: head.headers, body }
    }

    fn keep(&mut self, headers: &HeaderMap) {
        for line in headers.get_all(header::SET_COOKIE) {
            let line = line.to_str().unwrap();
            let (name, value) = line.split(';').next().unwrap().split_once('=').unwrap();
            if line.contains("Max-Age=0") {
                self.cookies.remove(name);
            } else {
                self.cookies.insert(name.to_owned(), value.to_owned());
            }
        }
    }
}

const FORM: &str = "application/x-www-form-urlencoded";

fn encode(fields: &[(&str, &str)]) -> Vec<u8> {
    url_encoded(fields).into_bytes()
}

/// Fields as an address or a form body carries them.
pub fn url_encoded(fields: &[(&str, &str)]) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish()
}

/// An answer.
#[derive(Debug, Clone)]
pub struct Reply {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: Vec<u8>,
}

/// Pages kept parsed, as a test asks one or two of them many things in a row.
const KEPT: usize = 2;

thread_local! {
    static PARSED: RefCell<VecDeque<(Vec<u8>, Rc<Html>)>> = RefCell::default();
}

impl Reply {
    /// The page as a browser reads it.
    fn page(&self) -> Rc<Html> {
        PARSED.with_borrow_mut(|kept| {
            if let Some((_, page)) = kept.iter().find(|(body, _)| *body == self.body) {
                return page.clone();
            }
            let page = Rc::new(Html::parse_document(self.source()));
            kept.truncate(KEPT - 1);
            kept.push_front((self.body.clone(), page.clone()));
            page
        })
    }

    /// The page as sent.
    pub fn source(&self) -> &str {
        std::str::from_utf8(&self.body).unwrap()
    }

    /// Where it leads.
    pub fn location(&self) -> String {
        let to = self.headers.get(header::LOCATION);
        let to = to.unwrap_or_else(|| panic!("{} leads nowhere: {}", self.status, self.text("main")));
        to.to_str().unwrap().to_owned()
    }

    /// The words of everything a CSS selector finds, blanks folded.
    pub fn texts(&self, selector: &str) -> Vec<String> {
        let page = self.page();
        page.select(&parse(selector)).map(words).collect()
    }

    /// The words of the first thing a CSS selector finds; empty when it finds none.
    pub fn text(&self, selector: &str) -> String {
        self.texts(selector).into_iter().next().unwrap_or_default()
    }

    /// How many things a CSS selector finds.
    pub fn count(&self, selector: &str) -> usize {
        self.page().select(&parse(selector)).count()
    }

    /// Whether it is a page, not a file.
    pub fn is_page(&self) -> bool {
        let kind = self.headers.get(header::CONTENT_TYPE);
        kind.is_some_and(|kind| kind.to_str().unwrap().starts_with("text/html"))
    }

    /// An attribute of everything a CSS selector finds.
    pub fn attributes(&self, selector: &str, name: &str) -> Vec<String> {
        let page = self.page();
        page.select(&parse(selector)).filter_map(|e| e.value().attr(name)).map(str::to_owned).collect()
    }

    /// Where a link or form with exactly these words leads.
    pub fn link(&self, label: &str) -> String {
        let page = self.page();
        let link = page.select(&parse("a[href]")).find(|link| words(*link) == label);
        let link = link.unwrap_or_else(|| panic!("no link “{label}” on {}", self.text("title")));
        link.value().attr("href").unwrap().to_owned()
    }

    /// Where a form is sent and what stands in its fields, as a browser reads them.
    pub fn form(&self, selector: &str) -> (String, Vec<(String, String)>) {
        self.nth_form(selector, 0)
    }

    /// The same of the form at that place among those a CSS selector finds.
    pub fn nth_form(&self, selector: &str, at: usize) -> (String, Vec<(String, String)>) {
        let page = self.page();
        let form = page.select(&parse(selector)).nth(at);
        let form = form.unwrap_or_else(|| panic!("no form {selector} on {}", self.text("title")));
        let path = form.value().attr("action").expect("every form says where it is sent").to_owned();
        let mut fields = Vec::new();
        for field in form.select(&parse("input[name], textarea[name], select[name]")) {
            let name = field.value().attr("name").unwrap();
            fields.extend(values(field).into_iter().map(|value| (name.to_owned(), value)));
        }
        (path, fields)
    }
}

fn values(field: ElementRef<'_>) -> Vec<String> {
    let element = field.value();
    let value = element.attr("value").unwrap_or_default().to_owned();
    match (element.name(), element.attr("type").unwrap_or_default()) {
        _ if element.attr("disabled").is_some() => Vec::new(),
        ("textarea", _) => vec![field.text().collect::<String>().trim_start_matches('\n').to_owned()],
        ("select", _) => selected(field),
        (_, "checkbox" | "radio") if element.attr("checked").is_some() => {
            vec![if value.is_empty() { "on".into() } else { value }]
        }
        (_, "checkbox" | "radio" | "submit" | "button" | "file" | "image") => Vec::new(),
        _ => vec![value],
    }
}

fn selected(field: ElementRef<'_>) -> Vec<String> {
    let value =
        |option: ElementRef<'_>| option.value().attr("value").map_or_else(|| words(option), str::to_owned);
    let options: Vec<_> = field.select(&parse("option")).collect();
    let chosen: Vec<_> = options
        .iter()
        .filter(|option| option.value().attr("selected").is_some())
        .map(|o| value(*o))
        .collect();
    if chosen.is_empty() && field.value().attr("multiple").is_none() {
        return options.first().map(|o| value(*o)).into_iter().collect();
    }
    chosen
}

fn parse(selector: &str) -> Selector {
    Selector::parse(selector).unwrap_or_else(|cause| panic!("{selector} is no selector: {cause}"))
}

fn words(element: ElementRef<'_>) -> String {
    element.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}
