//! `findway demo`: the invented site, from a throw-away folder.
use super::{Failure, log_lines, open};
use clap::Args;
use std::net::SocketAddr;
use web::config::Settings;

#[derive(Args)]
pub struct DemoArguments {
    /// Address to listen on
    #[arg(long, default_value = "127.0.0.1:8080")]
    listen: SocketAddr,
}

/// Seeds and serves; the folder goes when the process ends.
pub async fn run(arguments: DemoArguments) -> Result<(), Failure> {
    log_lines("warn");
    let folder = tempfile::tempdir()?;
    let settings = Settings::in_folder(folder.path(), arguments.listen);
    let app = open(settings.check()?).await?;
    let people = web::demo::seed(&app).await?;
    println!("{} demo at {}", domain::PROGRAM, app.config.base_url);
    for person in people {
        println!("{:<32} {:<34} {}", person.role, person.email, person.password);
    }
    println!("{:<32} {}", "PIN on shared tablets", web::demo::PIN);
    let listener = tokio::net::TcpListener::bind(arguments.listen).await?;
    crate::serve::run(app, listener).await?;
    Ok(())
}
