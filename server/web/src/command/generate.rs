//! `findway generate`: an invented project of any size, for load tests.
use super::{Failure, open};
use clap::Args;
use domain::Instant;
use domain::ids::{PersonId, ProjectId};
use domain::permission::Role;
use seed::growth::{Growth, Hands};
use store::people::NewPerson;
use store::projects::NewProject;
use store::{StoreError, Tx};
use web::App;
use web::config::Settings;

/// Finds written in one transaction.
const STEP: usize = 5_000;
/// For an invented project that is thrown away after the test.
const PASSWORD: &str = "quayside-lantern-42";

#[derive(Args)]
pub struct GenerateArguments {
    /// How many finds
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    finds: u32,
    /// Code of the project to be made
    #[arg(long, default_value = "LOAD")]
    project: String,
    /// How many more conservators, all with the same password
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=500))]
    people: u32,
    #[command(flatten)]
    settings: Settings,
}

/// Makes the project, its people and its finds.
pub async fn run(arguments: GenerateArguments) -> Result<(), Failure> {
    let all = arguments.finds as usize;
    let app = open(arguments.settings.check()?).await?;
    let hash = app.passwords.hash(PASSWORD.into()).await?;
    let now = app.clock.now();
    let begun = std::time::Instant::now();
    let mut tx = app.db.write().await?;
    let (project, hands) = found(&app, &mut tx, &arguments.project, &hash).await?;
    let more: Vec<String> = (1..=arguments.people).map(|nth| format!("bench.{nth}")).collect();
    for local in &more {
        let id = person(&mut tx, (local, local), &arguments.project, &hash, now).await?;
        store::people::insert_role(&mut tx, project, id, Role::Conservator).await?;
    }
    let mut growth = Growth::begin(&mut tx, project, hands, all, now).await?;
    tx.commit().await?;
    while !growth.is_complete() {
        let mut tx = app.db.write().await?;
        growth.step(&mut tx, STEP).await?;
        tx.commit().await?;
    }
    app.db.close().await;
    println!("{all} finds in project {} after {:.1} s", arguments.project, begun.elapsed().as_secs_f64());
    for (role, local, _) in PEOPLE {
        println!("{role:<32} {:<34} {PASSWORD}", address(local, &arguments.project));
    }
    for local in &more {
        println!("{:<32} {:<34} {PASSWORD}", "conservator", address(local, &arguments.project));
    }
    Ok(())
}

const PEOPLE: &[(&str, &str, &str)] = &[
    ("conservator, project manager", "wilma.harrow", "Wilma Harrow"),
    ("conservator", "jory.pell", "Jory Pell"),
];

fn address(local: &str, code: &str) -> String {
    format!("{local}@{}.example", code.to_lowercase())
}

async fn found(app: &App, tx: &mut Tx, code: &str, hash: &str) -> Result<(ProjectId, Hands), Failure> {
    let now = app.clock.now();
    let new = NewProject {
        code: code.to_owned(),
        name: format!("Grown project {code}"),
        site: "An invented site without end".into(),
        client: "Nobody".into(),
        summary: String::new(),
        number_pattern: "#".into(),
        date_convention: "thirds".into(),
    };
    let project = match store::projects::insert(tx, &new, now).await {
        Err(StoreError::Taken) => return Err(format!("there is a project {code} already").into()),
        other => other?,
    };
    let mut ids = Vec::new();
    for (_, local, name) in PEOPLE {
        let id = person(tx, (local, name), code, hash, now).await?;
        store::people::insert_role(tx, project, id, Role::Conservator).await?;
        ids.push(id);
    }
    store::people::insert_role(tx, project, ids[0], Role::Manager).await?;
    Ok((project, Hands { registrar: ids[0], bench: ids[1] }))
}

async fn person(
    tx: &mut Tx,
    (local, name): (&str, &str),
    code: &str,
    hash: &str,
    now: Instant,
) -> Result<PersonId, Failure> {
    let person = NewPerson {
        email: address(local, code),
        name: name.to_owned(),
        qualification: String::new(),
        password_hash: Some(hash.to_owned()),
        administrator: false,
    };
    Ok(store::people::insert(tx, &person, now).await?)
}
