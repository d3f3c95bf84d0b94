//! Every path of the application: the action it is bound to and its handler. The only way to add a route.
use crate::guard;
use crate::{
    App, assets, attachments, bench, contexts, dispatches, finds, health, images, packing, people, planning,
    projects, registers, report, review, rings, rounds, rows, runs, shots, stores, work,
};
use axum::Router;
use axum::extract::{DefaultBodyLimit, Request};
use axum::handler::Handler;
use axum::http::{Method, StatusCode};
use axum::middleware::{self, Next};
use axum::routing::{MethodRouter, get, post};
use domain::permission::Action;
use std::convert::Infallible;
use std::time::Duration;
use tower_http::timeout::TimeoutLayer;

/// Longest an ordinary request may take.
const PATIENCE: Duration = Duration::from_secs(120);
/// Longest an upload may take: 200 MB over a line of half a megabit a second.
const UPLOAD_PATIENCE: Duration = Duration::from_secs(3600);

/// A path with the action it asks for, as the permission tests read it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    pub method: Method,
    pub path: &'static str,
    pub action: Action,
}

/// The routes while they are being written down.
pub struct Routes {
    app: App,
    router: Router<App>,
    pub listed: Vec<Listed>,
}

/// Every route.
pub fn all(app: &App) -> Routes {
    let routes = Routes { app: app.clone(), router: Router::new(), listed: Vec::new() };
    let routes = routes
        .get("/healthz", Action::Public, health::live)
        .get("/readyz", Action::Public, health::ready)
        .get("/static/{*path}", Action::Public, assets::show);
    let routes = people::routes(routes);
    let routes = projects::routes(routes);
    let routes = planning::routes(routes);
    let routes = finds::routes(routes);
    let routes = images::routes(routes);
    let routes = attachments::routes(routes);
    let routes = shots::routes(routes);
    let routes = work::routes(routes);
    let routes = rounds::routes(routes);
    let routes = runs::routes(routes);
    let routes = packing::routes(routes);
    let routes = bench::routes(routes);
    let routes = contexts::routes(routes);
    let routes = stores::routes(routes);
    let routes = review::routes(routes);
    let routes = rings::routes(routes);
    let routes = rows::routes(routes);
    let routes = dispatches::routes(routes);
    let routes = report::routes(routes);
    registers::routes(routes)
}

impl Routes {
    /// A page.
    pub fn get<H, T>(self, path: &'static str, action: Action, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        self.add(Listed { method: Method::GET, path, action }, get(handler), PATIENCE)
    }

    /// A change.
    pub fn post<H, T>(self, path: &'static str, action: Action, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        self.add(Listed { method: Method::POST, path, action }, post(handler), PATIENCE)
    }

    /// A change that brings files; it may be as large as the installation allows.
    pub fn upload<H, T>(self, path: &'static str, action: Action, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        let most = usize::try_from(self.app.config.max_upload_bytes).unwrap_or(usize::MAX);
        self.upload_within(DefaultBodyLimit::max(most), path, action, handler)
    }

    /// A change that brings many files; its handler counts the bytes itself, so that each file can be answered.
    pub fn upload_many<H, T>(self, path: &'static str, action: Action, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        self.upload_within(DefaultBodyLimit::disable(), path, action, handler)
    }

    fn upload_within<H, T>(
        self,
        limit: DefaultBodyLimit,
        path: &'static str,
        action: Action,
        handler: H,
    ) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        let handlers = post(handler).layer::<_, Infallible>(limit);
        self.add(Listed { method: Method::POST, path, action }, handlers, UPLOAD_PATIENCE)
    }

    fn add(mut self, listed: Listed, handlers: MethodRouter<App>, patience: Duration) -> Self {
        let action = listed.action;
        let app = self.app.clone();
        let gate = middleware::from_fn(move |request: Request, next: Next| {
            guard::admit(action, app.clone(), request, next)
        });
        let timeout = TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, patience);
        self.router = self.router.route(listed.path, handlers.layer::<_, Infallible>(gate).layer(timeout));
        self.listed.push(listed);
        self
    }

    /// The routes as axum serves them.
    pub fn into_router(self) -> Router<App> {
        self.router
    }
}
