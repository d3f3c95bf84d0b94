//! `findway demo`: the invented site, from a throw-away folder or one that is kept.
use super::{Failure, log_lines, open};
use clap::Args;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use web::config::Settings;

/// Stands in a kept folder once the site in it is whole.
const WHOLE: &str = "demo-is-whole";

#[derive(Args)]
pub struct DemoArguments {
    /// Address to listen on
    #[arg(long, default_value = "127.0.0.1:8080")]
    listen: SocketAddr,
    /// Folder in which the site is kept, to be served again as it was left; without one it is thrown away
    #[arg(long, value_name = "FOLDER")]
    data: Option<PathBuf>,
}

/// Seeds, unless the folder holds the site already, and serves.
pub async fn run(arguments: DemoArguments) -> Result<(), Failure> {
    log_lines("warn");
    let taken = |cause| format!("{} cannot be listened on: {cause}", arguments.listen);
    let listener = tokio::net::TcpListener::bind(arguments.listen).await.map_err(taken)?;
    let thrown_away = tempfile::tempdir()?;
    let folder = arguments.data.as_deref().unwrap_or(thrown_away.path());
    let whole = folder.join(WHOLE);
    let kept = whole.try_exists()?;
    if !kept {
        ensure_empty(folder)?;
    }
    let app = open(Settings::in_folder(folder, arguments.listen).check()?).await?;
    if !kept {
        web::demo::seed(&app).await?;
        std::fs::write(whole, "")?;
    }
    println!("{} demo at {}", domain::PROGRAM, app.config.base_url);
    for person in web::demo::people() {
        println!("{:<32} {:<34} {}", person.role, person.email, person.password);
    }
    println!("{:<32} {}", "PIN on shared tablets", web::demo::PIN);
    crate::serve::run(app, listener).await?;
    Ok(())
}

/// A folder with part of a site in it, or with anything else, is left as it is.
fn ensure_empty(folder: &Path) -> Result<(), Failure> {
    if folder.try_exists()? && folder.read_dir()?.next().is_some() {
        let folder = folder.display();
        return Err(format!(
            "{folder} holds something, and not a whole demo: empty it or name another folder"
        )
        .into());
    }
    Ok(())
}
