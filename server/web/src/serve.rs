//! The layers around the routes, and the server's life from start to a graceful end.
use crate::{App, context, daily, guard, letterbox, routes, upkeep};
use axum::Router;
use axum::extract::{DefaultBodyLimit, MatchedPath, Request};
use axum::middleware;
use std::net::SocketAddr;
use std::time::Duration;
use tokio::net::TcpListener;
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::request_id::{MakeRequestUuid, SetRequestIdLayer};
use tower_http::trace::TraceLayer;

/// Bodies of ordinary forms; uploads set their own limit.
const FORM_BYTES: usize = 2 << 20;

/// How long the letter that is being handed over may still take at the end.
const LAST_LETTER: Duration = Duration::from_secs(25);

/// The whole application as a service.
pub fn router(app: &App) -> Router {
    routes::all(app)
        .into_router()
        .fallback(guard::nowhere)
        .layer(DefaultBodyLimit::max(FORM_BYTES))
        .layer(middleware::from_fn_with_state(app.clone(), context::clear_notice))
        .layer(middleware::from_fn_with_state(app.clone(), context::remember_project))
        .layer(middleware::from_fn_with_state(app.clone(), guard::same_origin))
        .layer(middleware::from_fn(guard::safe_headers))
        .layer(middleware::from_fn_with_state(app.clone(), guard::strict_transport))
        .layer(CompressionLayer::new().quality(CompressionLevel::Precise(4)))
        .layer(CatchPanicLayer::new())
        .layer(TraceLayer::new_for_http().make_span_with(span_of))
        .layer(SetRequestIdLayer::x_request_id(MakeRequestUuid))
        .with_state(app.clone())
}

/// A request in the log: the path as the routes know it, since a link from a letter carries what lets somebody in.
fn span_of(request: &Request) -> tracing::Span {
    let path = request.extensions().get::<MatchedPath>().map_or("", MatchedPath::as_str);
    tracing::debug_span!("request", method = %request.method(), path)
}

/// Serves until the process is told to stop, then lets running requests end.
pub async fn run(app: App, listener: TcpListener) -> std::io::Result<()> {
    let letters = tokio::spawn(letterbox::run(app.clone()));
    let upkeep = tokio::spawn(upkeep::run(app.clone()));
    let daily = tokio::spawn(daily::run(app.clone()));
    let service = router(&app).into_make_service_with_connect_info::<SocketAddr>();
    tracing::info!(address = %listener.local_addr()?, base = app.config.base_url, "serving");
    axum::serve(listener, service).with_graceful_shutdown(told_to_stop()).await?;
    upkeep.abort();
    daily.abort();
    app.letterbox.shut();
    if tokio::time::timeout(LAST_LETTER, letters).await.is_err() {
        tracing::warn!("a letter was still on its way; it will be tried again");
    }
    app.db.close().await;
    tracing::info!("stopped");
    Ok(())
}

async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let Ok(mut terminate) = signal(SignalKind::terminate()) else { return };
    let interrupt = tokio::signal::ctrl_c();
    tokio::select! { _ = terminate.recv() => {}, _ = interrupt => {} }
}
