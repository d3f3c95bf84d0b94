//! What each verb does.
pub mod compute;
pub mod demo;
pub mod generate;
pub mod import;
pub mod people;

use crate::{App, Clock, Settings, serve as server};
use tracing_subscriber::EnvFilter;
use web::config::Config;

/// A failure with the sentence that is printed.
pub type Failure = Box<dyn std::error::Error + Send + Sync>;

/// What is said to a verb that is promised and not there yet; taken as it comes.
#[derive(clap::Args)]
pub struct NotYet {
    #[arg(trailing_var_arg = true, allow_hyphen_values = true, hide = true)]
    _words: Vec<String>,
}

/// Says that a verb is not there yet.
pub fn not_yet(verb: &str) -> Result<(), Failure> {
    Err(format!("“{verb}” is not there yet").into())
}

/// Serves for real.
pub async fn serve(settings: Settings) -> Result<(), Failure> {
    log_lines("info");
    let config = settings.check()?;
    let app = open(config).await?;
    web::images::sweep(&app).await;
    let listener = tokio::net::TcpListener::bind(app.config.listen).await?;
    server::run(app, listener).await?;
    Ok(())
}

/// Opens database and folders, tables brought up to date.
pub async fn open(config: Config) -> Result<App, Failure> {
    media::FileStore::open(&config.files).await?;
    if let Some(folder) = sqlite_folder(&config.database_url) {
        tokio::fs::create_dir_all(folder).await?;
    }
    let db = store::Db::open(&config.database_url).await?;
    db.migrate().await?;
    Ok(App::new(db, config, Clock::Machine))
}

fn sqlite_folder(url: &str) -> Option<std::path::PathBuf> {
    let path = url.strip_prefix("sqlite:")?;
    let path = path.split('?').next().unwrap_or(path).trim_start_matches("//");
    std::path::Path::new(path)
        .parent()
        .map(std::path::Path::to_path_buf)
        .filter(|folder| !folder.as_os_str().is_empty())
}

/// Structured lines on standard error; `RUST_LOG` sets what is told.
pub fn log_lines(default: &str) {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new(default));
    tracing_subscriber::fmt().json().with_writer(std::io::stderr).with_env_filter(filter).init();
}
