//! `findway people`: accounts from the command line.
use super::{Failure, open};
use clap::{Args, Subcommand};
use domain::people::{email, password};
use std::io::BufRead;
use store::people::NewPerson;
use web::config::Settings;

#[derive(Args)]
pub struct PeopleArguments {
    #[command(subcommand)]
    verb: PeopleVerb,
}

#[derive(Subcommand)]
enum PeopleVerb {
    /// Make an account; the password is read from standard input
    Add {
        #[arg(long)]
        email: String,
        #[arg(long)]
        name: String,
        /// May keep accounts and create projects
        #[arg(long)]
        administrator: bool,
        #[command(flatten)]
        settings: Settings,
    },
}

/// Runs the verb.
pub async fn run(arguments: PeopleArguments) -> Result<(), Failure> {
    match arguments.verb {
        PeopleVerb::Add { email, name, administrator, settings } => {
            add(email, name, administrator, settings).await
        }
    }
}

async fn add(typed: String, name: String, administrator: bool, settings: Settings) -> Result<(), Failure> {
    let address = email::normal(&typed).ok_or_else(|| format!("“{typed}” is no e-mail address"))?;
    eprintln!("Password for {address} (at least {} characters):", password::SHORTEST);
    let mut typed = String::new();
    std::io::stdin().lock().read_line(&mut typed)?;
    let secret = typed.trim_end_matches(['\r', '\n']).to_owned();
    password::judge(&secret, &address)?;
    let app = open(settings.check()?).await?;
    let hash = app.passwords.hash(secret).await?;
    let person = NewPerson {
        email: address.clone(),
        name,
        qualification: String::new(),
        password_hash: Some(hash),
        administrator,
    };
    let mut tx = app.db.write().await?;
    match store::people::insert(&mut tx, &person, app.clock.now()).await {
        Err(store::StoreError::Taken) => return Err(format!("{address} has an account already").into()),
        other => other?,
    };
    tx.commit().await?;
    app.db.close().await;
    println!("{address} can sign in");
    Ok(())
}
