//! `findway people`: accounts from the command line.
use super::{Failure, open};
use crate::App;
use clap::{Args, Subcommand};
use domain::people::{email, password};
use std::io::BufRead;
use store::journal::{self, Entry};
use store::people::NewPerson;
use web::config::Settings;
use web::letters::Desk;

#[derive(Args)]
pub struct PeopleArguments {
    #[command(subcommand)]
    verb: PeopleVerb,
}

#[derive(Subcommand)]
enum PeopleVerb {
    /// Make an account; the password is read from standard input, or chosen by the person who is invited by mail
    Add {
        #[arg(long)]
        email: String,
        #[arg(long)]
        name: String,
        /// May keep accounts and create projects
        #[arg(long)]
        administrator: bool,
        /// Send an invitation instead of asking for a password
        #[arg(long)]
        invite: bool,
        #[command(flatten)]
        settings: Box<Settings>,
    },
}

/// Runs the verb.
pub async fn run(arguments: PeopleArguments) -> Result<(), Failure> {
    let PeopleVerb::Add { email: typed, name, administrator, invite, settings } = arguments.verb;
    let address = email::normal(&typed).ok_or_else(|| format!("“{typed}” is no e-mail address"))?;
    let secret = if invite { None } else { Some(ask_password(&address)?) };
    let app = open(settings.check()?).await?;
    let password_hash = match secret {
        Some(secret) => Some(app.passwords.hash(secret).await?),
        None => None,
    };
    let person = NewPerson {
        email: address,
        name: name.trim().to_owned(),
        qualification: String::new(),
        password_hash,
        administrator,
    };
    let outcome = add(&app, &person).await;
    app.db.close().await;
    println!("{}", outcome?);
    Ok(())
}

fn ask_password(address: &str) -> Result<String, Failure> {
    eprintln!("Password for {address} (at least {} characters):", password::SHORTEST);
    let mut typed = String::new();
    std::io::stdin().lock().read_line(&mut typed)?;
    let secret = typed.trim_end_matches(['\r', '\n']).to_owned();
    password::judge(&secret, address)?;
    Ok(secret)
}

/// Makes the account, with the invitation where it has no password; what to tell.
async fn add(app: &App, person: &NewPerson) -> Result<String, Failure> {
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    let id = match store::people::insert(&mut tx, person, now).await {
        Err(store::StoreError::Taken) => {
            return Err(format!("{} has an account already", person.email).into());
        }
        other => other?,
    };
    let entry = Entry {
        verb: "created",
        words: format!("made an account for {} ({}) on the command line", person.name, person.email),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, now).await?;
    if person.password_hash.is_some() {
        tx.commit().await?;
        return Ok(format!("{} can sign in", person.email));
    }
    let kept = store::people::find(&mut tx, id).await?.ok_or("the account is gone")?;
    let desk = Desk { config: &app.config, now, inviter: "its administrator" };
    desk.invite(&mut tx, &kept, "").await?;
    tx.commit().await?;
    match web::letterbox::send_due(app).await {
        Ok(_) => Ok(format!("{} is invited by mail", person.email)),
        Err(cause) => Ok(format!("{} is invited; the letter waits for the server: {cause}", person.email)),
    }
}
